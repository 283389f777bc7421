"""Three-point linkage, coupler frame and headstock from the side, at yard and at hitch scale (cm, y up)."""

from __future__ import annotations

import math

from kit import GRAPH, ICE, LINE, PLUM, SAND, STEEL, Point, Sheet

YARD, HITCH = 0.9, 3.0  # px per cm
LINK_CM, TOP_CM, MAST_CM, OFFSET_CM = 105.0, 81.0, 68.5, 13.0


def _sheet(name: str, scale: float, left: float, right: float, low: float, high: float) -> Sheet:
    """Sheet that shows x from left to right and y from low to high (cm)."""
    return Sheet(name, (right - left) * scale, (high - low) * scale, scale, -left * scale, high * scale, True)


def bar(s: Sheet, a: Point, b: Point, wa: float, wb: float, tones: tuple[str, str, str], r: float = 1.0) -> None:
    """Forged bar between two points, thicker or thinner along its way, lit from above left."""
    (x1, y1), (x2, y2) = a, b
    n = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
    nx, ny = -(y2 - y1) / n, (x2 - x1) / n
    pts = [(x1 + nx * wa, y1 + ny * wa), (x2 + nx * wb, y2 + ny * wb), (x2 - nx * wb, y2 - ny * wb),
           (x1 - nx * wa, y1 - ny * wa)]
    s.poly(pts, s.lin(x1 + nx * wa, y1 + ny * wa, x1 - nx * wa, y1 - ny * wa, *tones), LINE, 1.2, r)
    s.line([(x1 + nx * wa * 0.6, y1 + ny * wa * 0.6), (x2 + nx * wb * 0.6, y2 + ny * wb * 0.6)], tones[0],
           0.8 if s.scale < 1.5 else 1.6, 0.9)


def lower_link(s: Sheet) -> None:
    """Lower link lying level, front ball at the origin, rear ball at LINK_CM."""
    bar(s, (2, 0), (LINK_CM - 10, 0), 3.2, 4.4, (STEEL[3], STEEL[1], STEEL[0]), 2)
    s.poly([(36, 5.2), (58, 6.2), (60, -5.6), (36, -5.0)], s.lin(0, 6, 0, -6, STEEL[2], STEEL[0], GRAPH[2]), LINE, 1.1, 2)
    s.pin(48, 0, 2.6)  # lift rod pin
    if s.scale > 1.5:
        for x in (40, 55):
            s.bolt(x, 0.3, 1.0)
    # rear end: the ball is held in a hook shell
    x = LINK_CM
    s.poly([(x - 16, 4.8), (x - 4, 8), (x + 5, 7), (x + 8, 1), (x + 6, -6), (x - 3, -8), (x - 16, -4.8)],
           s.lin(x - 16, 8, x + 8, -8, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.2, 3.5)
    s.c(x, 0, 5.2, GRAPH[1], LINE, 1)
    s.c(x, 0, 4.3, s.rad(x - 1.2, 1.4, 6, STEEL[5], STEEL[3], STEEL[1]), LINE, 0.9)
    s.c(x, 0, 1.9, GRAPH[0], STEEL[0], 0.7)
    s.c(0, 0, 5.6, s.lin(-5, 5, 5, -5, STEEL[3], STEEL[1], STEEL[0]), LINE, 1.2)
    s.c(0, 0, 3.6, s.rad(-1, 1.2, 5, STEEL[5], STEEL[2], STEEL[0]), LINE, 0.9)
    s.c(0, 0, 1.7, GRAPH[0])
    s.mark(front_ball=(0, 0), ball=(LINK_CM, 0), lift_rod=(48, 0))


def top_link(s: Sheet) -> None:
    """Top link lying level, tractor eye at the origin, implement eye at TOP_CM: a turnbuckle with lock nut."""
    x = TOP_CM
    bar(s, (4, 0), (26, 0), 1.7, 1.7, (STEEL[4], STEEL[2], STEEL[0]), 0.3)
    bar(s, (x - 26, 0), (x - 4, 0), 1.7, 1.7, (STEEL[4], STEEL[2], STEEL[0]), 0.3)
    step = 1.8 if s.scale > 1.5 else 3.0
    for k in range(int(18 / step)):
        for start in (7.0, x - 24.0):
            u = start + k * step
            s.line([(u, 1.7), (u + 0.7, -1.7)], STEEL[0], 0.8, 0.8)
    bar(s, (22, 0), (x - 22, 0), 3.2, 3.2, (GRAPH[6], GRAPH[3], GRAPH[1]), 1.2)
    s.poly([(20, 3.9), (24, 3.9), (24, -3.9), (20, -3.9)], s.lin(0, 4, 0, -4, STEEL[4], STEEL[1]), LINE, 0.9, 0.5)
    s.poly([(x - 24, 3.9), (x - 20, 3.9), (x - 20, -3.9), (x - 24, -3.9)], s.lin(0, 4, 0, -4, STEEL[4], STEEL[1]), LINE,
           0.9, 0.5)
    s.p(f"M {x / 2 - 8} 3.2 C {x / 2 - 8} 8 {x / 2 + 8} 8 {x / 2 + 8} 3.2", None, LINE, 3.2 if s.scale > 1.5 else 1.8)
    s.p(f"M {x / 2 - 8} 3.2 C {x / 2 - 8} 8 {x / 2 + 8} 8 {x / 2 + 8} 3.2", None, ICE[3], 1.8 if s.scale > 1.5 else 0.9)
    for u in (0.0, x):
        s.c(u, 0, 4.6, s.lin(u - 4, 4, u + 4, -4, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.2)
        s.c(u, 0, 2.9, s.rad(u - 0.8, 1, 4, STEEL[5], STEEL[3], STEEL[1]), LINE, 0.8)
        s.c(u, 0, 1.5, GRAPH[0])
    s.mark(tractor_eye=(0, 0), implement_eye=(x, 0), handle=(x / 2, 7))


def latch(s: Sheet) -> None:
    """Latch lever of the coupler's lower hook, shut; origin at its pivot."""
    o = OFFSET_CM - 6.0
    s.poly([(-2, 3), (3, 4), (o + 1, -8), (o + 3, -12.4), (o - 1, -12.6), (o - 4, -10), (-2, -4)],
           s.lin(-2, 3, o + 2, -13, ICE[3], ICE[2], ICE[0]), LINE, 1.1, 1.2)
    s.poly([(-2.2, -2), (2.2, -2), (1.6, 15), (4.4, 21), (2.2, 22.6), (-1.6, 16)],
           s.lin(-2, 0, 3, 0, ICE[3], ICE[2], ICE[0]), LINE, 1.1, 1.2)
    s.c(0, 0, 2.0, STEEL[3], LINE, 0.8)
    if s.scale > 1.5:
        s.c(0, 0, 0.9, STEEL[1])
        s.p("M -0.8 2 L -0.4 14", None, ICE[4], 1.4, 0.8)
    s.mark(pivot=(0, 0), handle=(3, 20), tip=(o + 1, -12))


def top_hook(s: Sheet) -> None:
    """The centre top hook, open upward, so that the pin drops in; it can be taken off the coupler."""
    m, o = MAST_CM, OFFSET_CM
    s.poly([(4, m + 4), (6, m - 9), (o - 2, m - 10), (o + 5, m - 7), (o + 8.5, m - 1), (o + 9, m + 7), (o + 5, m + 9),
            (o + 3.6, m - 0.2), (o, m - 3.6), (o - 3.6, m - 0.2), (o - 4, m + 5), (o - 6, m + 9), (6, m + 9)],
           s.lin(0, m + 8, o + 6, m - 10, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.2, 1.4)
    s.mark(top_hook=(o, m))


def coupler(s: Sheet, with_latch: bool = True, with_hook: bool = True) -> None:
    """U-frame coupler. Origin: the tractor's lower ball; the pins it holds sit OFFSET_CM behind."""
    m, o = MAST_CM, OFFSET_CM
    # upright of the U and the arch on top
    s.poly([(-4, -12), (8, -12), (8, m - 12), (5, m + 8), (-3, m + 10), (-8, m + 4), (-6, m - 14), (-4, m - 20)],
           s.lin(-8, 0, 8, 0, PLUM[5], PLUM[3], PLUM[1]), LINE, 1.3, 2.5)
    s.p(f"M -2.2 -9 L -2.2 {m - 18}", None, PLUM[6], 0.9 if s.scale < 1.5 else 1.8, 0.7)
    s.p(f"M 5 -9 L 5 {m - 14}", None, PLUM[1], 0.8 if s.scale < 1.5 else 1.4, 0.6)
    if with_hook:
        top_hook(s)
    else:  # the hole for its bolt, which it hides when it is on
        s.c(6.1, m - 4.5, 0.9, GRAPH[1], LINE, 0.8)
    # lower hook with latch and spring lever
    s.poly([(4, 8), (6, -10), (o, -11.5), (o + 6, -8), (o + 9, -2), (o + 8.6, 6), (o + 5, 6.4), (o + 3.8, -0.2), (o, -3.9),
            (o - 3.9, 0), (o - 4, 7), (6, 10)],
           s.lin(2, 8, o + 8, -10, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.2, 1.4)
    if with_latch:
        s.poly([(4, 20), (9, 21), (o + 1, 9), (o + 3, 4.6), (o - 1, 4.4), (o - 4, 7), (4, 13)],
               s.lin(4, 20, o + 2, 4, ICE[3], ICE[2], ICE[0]), LINE, 1.1, 1.2)
    s.c(6, 17, 1.8, STEEL[3], LINE, 0.8)
    # ball sockets towards the tractor
    for y in (0.0, m):
        s.poly([(-9, y + 5.5), (-1, y + 6.5), (-1, y - 6.5), (-9, y - 5.5)], s.lin(0, y + 6, 0, y - 6, STEEL[3], STEEL[0]),
               LINE, 1.1, 2)
        s.pin(0, y, 3.2 if y == 0 else 2.6)
    if s.scale > 1.5:
        for y in (26, 42, 52):
            s.bolt(1.5, y, 1.1)
    s.mark(ball=(0, 0), top_link_pin=(0, m), lower_hook=(o, 0), top_hook=(o, m), latch=(6, 17))


def headstock(s: Sheet, bar_end: bool = True) -> None:
    """Implement headstock. Origin: lower pin; mast pin MAST_CM above; square toolbar behind."""
    m = MAST_CM
    fine = s.scale > 1.5
    # brace from the mast to the rear edge of the bar
    bar(s, (6, m - 2), (42, 15), 3.0, 3.0, (PLUM[4], PLUM[2], PLUM[1]), 1)
    # mast plate
    s.poly([(-5, m + 4), (4, m + 7), (11, m + 2), (18, 40), (27, 16), (27, -2), (18, -6), (8, -8), (-4, -7), (-7, 0), (-4, 8),
            (10, 12), (12, 26), (2, m - 12), (-6, m - 4)],
           s.lin(-6, m, 27, -6, PLUM[5], PLUM[3], PLUM[2]), LINE, 1.4, 3.2)
    s.p(f"M -2 {m + 3} L 4 {m + 4.6} L 8.6 {m} L 15.6 40 L 23 20", None, PLUM[6], 1.0 if not fine else 2.0, 0.7)
    s.c(14, 32, 3.2, s.lin(11, 34, 17, 30, GRAPH[1], GRAPH[3]), PLUM[1], 0.9)
    if fine:
        for y in (46, 54):  # second hole row for the other mast height
            s.c(10 - (y - 40) * 0.16, y, 1.9, GRAPH[1], PLUM[1], 1.2)
        s.p("M 25 14 C 22 10 22 4 25 0", None, PLUM[1], 2.2)
    s.pin(0, m, 3.0)
    s.c(0, 0, 6.2, s.lin(-6, 6, 6, -6, PLUM[5], PLUM[2]), LINE, 1.1)
    s.pin(0, 0, 3.6)
    if bar_end:
        toolbar_end(s, 27, -2, 18)


def toolbar_end(s: Sheet, x: float, y: float, w: float) -> None:
    """End of the square tube with its cap plate and weld."""
    s.box(x, y, w, w, s.lin(x, y + w, x + w, y, GRAPH[5], GRAPH[3], GRAPH[2]), LINE, 1.4, 1.6)
    s.box(x + 1.8, y + 1.8, w - 3.6, w - 3.6, s.lin(x, y + w, x + w, y, GRAPH[4], GRAPH[2]), GRAPH[1], 0.9, 1.0)
    s.line([(x + 1, y + w - 1), (x + w - 1.5, y + w - 1)], GRAPH[6], 0.9, 0.8)
    s.line([(x + 1, y + 2), (x + 1, y + w - 1)], GRAPH[6], 0.9, 0.8)
    if s.scale > 1.5:
        for u, v in ((4, 4), (14, 4), (4, 14), (14, 14)):
            s.bolt(x + u * w / 18, y + v * w / 18, 1.0)


def stand(s: Sheet) -> None:
    """Parking stand, down. Origin: sleeve pin; foot 62 cm below."""
    fine = s.scale > 1.5
    s.box(-3.6, -60, 7.2, 74, s.lin(-3.6, 0, 3.6, 0, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.2, 0.6)
    for y in range(-48, 14, 9):
        s.c(0, y, 1.3, GRAPH[1], STEEL[1], 0.6)
    s.poly([(-5.6, 9), (5.6, 9), (5.6, -10), (-5.6, -10)], s.lin(-6, 0, 6, 0, PLUM[5], PLUM[3], PLUM[1]), LINE, 1.2, 1)
    s.poly([(-12, -59), (12, -59), (14, -62), (-14, -62)], s.lin(-14, 0, 14, 0, STEEL[4], STEEL[1], GRAPH[3]), LINE, 1.2, 0.5)
    s.poly([(-3.6, -52), (-9, -59), (9, -59), (3.6, -52)], STEEL[1], LINE, 1, 0.3)
    s.pin(0, 0, 2.1)
    s.p("M 0 0 C 8 2 9 -6 5 -9", None, LINE, 4.4 if fine else 2.4)
    s.p("M 0 0 C 8 2 9 -6 5 -9", None, ICE[2], 2.6 if fine else 1.3)
    s.mark(sleeve_pin=(0, 0), foot=(0, -62), handle=(7, -5))


def yard_files() -> None:
    """Linkage pieces at yard scale."""
    for name, part, box in (
        ("lower_link", lower_link, (-8.0, LINK_CM + 10, -10.0, 10.0)),
        ("top_link", top_link, (-7.0, TOP_CM + 7, -7.0, 10.0)),
        ("quick_coupler_side", coupler, (-11.0, 25.0, -15.0, MAST_CM + 12)),
        ("stand", stand, (-16.0, 16.0, -64.0, 17.0)),
    ):
        s = _sheet(name, YARD, *box)
        part(s)
        s.save()
    for name, half in (("shadow_tractor", 240), ("shadow_planter", 120)):
        s = Sheet(name, 2 * half, 26)
        s.e(half, 13, half, 13, s.rad(half, 13, half, (0, "#120e14", 0.55), (0.6, "#120e14", 0.34), (1, "#120e14", 0.0),
                                      squash=13 / half))
        s.mark(ground_centre=(half, 11))
        s.save()
    _chock()


def _chock() -> None:
    """A moulded wedge: its hollow face with treads to the tyre (right), cleats under it, a rope to drag it out by."""
    s = _sheet("chock", YARD, -22, 22, -2, 27)
    s.ground_shadow(1, 0, 21, 2, 0.5)
    face = [(18.6 - 19.6 * t - 3.2 * t * (1 - t), 2.2 + 18.6 * t - 17.0 * t * (1 - t)) for t in (k / 10 for k in range(11))]
    s.p("M -13 19 C -20 24 -21 12 -15.5 10", None, LINE, 2.6)
    s.p("M -13 19 C -20 24 -21 12 -15.5 10", None, ICE[2], 1.4)
    s.poly([(-18, 0), (17.6, 0), *face, (-3.4, 22.4), (-8.4, 22), (-10.6, 20.4), (-18.8, 4.4)],
           s.lin(-18, 22, 18, 0, SAND[5], SAND[3], SAND[1]), LINE, 1.2, 1.4)
    s.poly([(-14.6, 3.6), (-8.6, 16.6), (-5.4, 17.4), (-5.4, 3.6)], s.lin(-14, 17, -5, 3, SAND[0], SAND[1]), LINE, 0.8, 0.8)
    s.poly([(-2.6, 3.6), (-2.6, 13.4), (8.6, 5.2), (8.6, 3.6)], s.lin(-2, 13, 9, 3, SAND[0], SAND[1]), LINE, 0.8, 0.8)
    s.p("M -17.6 5.4 L -9.8 20 L -8 21 L -3.8 21.2", None, SAND[6], 0.9, 0.8)
    s.p("M -14.2 3.6 L -5.4 3.6 M -2.6 3.6 L 8.6 3.6", None, SAND[4], 0.8, 0.9)
    for k in (2, 4, 6, 8):
        (x, y), (u, v) = face[k], face[k + 1]
        far = math.hypot(u - x, v - y)
        nx, ny = (v - y) / far, -(u - x) / far
        s.poly([(x, y), (x + 1.3 * nx, y + 1.3 * ny), (u + 1.3 * nx, v + 1.3 * ny), (u, v)], SAND[2], LINE, 0.7)
    for x in (-15, -9, -3, 3, 9, 14):
        s.poly([(x - 1.8, 0.2), (x + 1.8, 0.2), (x + 1.2, -1.2), (x - 1.2, -1.2)], SAND[0], LINE, 0.6)
    s.mark(ground=(0, 0), wheel_side=(6, 0), handle=(-18, 17))
    s.save()


def draw() -> None:
    """All yard-scale files of this part."""
    yard_files()


if __name__ == "__main__":
    draw()
