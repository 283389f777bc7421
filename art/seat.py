"""Seat place: the right-hand console with its controls (px, 1280 by 720, y down)."""

from __future__ import annotations

import random

from kit import GRAPH, ICE, LINE, PLUM, SAND, STEEL, Point, Sheet, mix, polar
from places import H, W, band, clouds, ridge, trees

HORIZON_Y = 200
EYE_X = 532
"""Where the eye looks: the horizon and the middle of what stands behind the tractor."""
LEVER_X = (330, 410, 490, 570, 650)
LEVER_Y, DIAL_Y = 396, 538
CONTROLS: dict[str, Point] = {
    **{f"lever_{i + 1}": (x, LEVER_Y) for i, x in enumerate(LEVER_X)},
    **{f"dial_{i + 1}": (x, DIAL_Y) for i, x in enumerate(LEVER_X)},
    "key": (136, 372),
    "brake": (106, 562),
    "throttle": (238, LEVER_Y),
    "hitch_lever": (758, LEVER_Y),
    "pto": (880, 380),
    "speed_source": (880, 470),
    "gauge_engine_speed": (150, 176),
    "gauge_oil_temperature": (300, 176),
}
TERMINAL = (650, 66, 320, 222)  # bezel: left, top, width, height
SCREEN = (22, 20, 276, 166)  # within the bezel


def stitched(s: Sheet, points: list[Point], tone: str) -> None:
    """Seam with stitches."""
    s.line(points, tone, 1.2, 0.8, dash="5 4")


def outside() -> None:
    """What is seen through the rear window with nothing behind the tractor: sky, trees, the yard's ground."""
    rng = random.Random(4)
    s = Sheet("seat_backdrop", W, H)
    top = HORIZON_Y
    s.box(0, 0, W, top + 4, s.lin(0, 0, 0, top, "#a9bfc8", "#d5dbd8", "#f3e6d2"))
    s.c(150, top - 40, 380, s.rad(150, top - 40, 380, (0, "#fff4dc", 0.8), (1, "#ffeccb", 0.0)))
    clouds(s, rng, [(520, 70, 260), (1000, 60, 240)], "#fbf7f0")
    band(s, ridge(rng, top - 20, 16, 40), top + 40, "#a5a8ae")
    trees(s, rng, -10, 1290, top + 3, 13, "#74757b", "#9a9690")
    s.box(0, top, W, H - top, s.lin(0, top, 0, top + 26, "#b0a48b", "#a4977f"))
    slab = top + 16
    s.box(0, slab, W, H - slab, s.lin(0, slab, 0, 330, "#b9b1a6", "#a9a096"))
    for x in range(-3200, 4800, 400):  # joints, running to where the eye looks
        s.line([(EYE_X + (x - EYE_X) * (slab - top) / 160, slab), (x, top + 160)], "#857d75", 1.0, 0.55)
    for far in (16, 27, 48, 92):
        s.line([(0, top + far), (W, top + far)], "#857d75", 1.0, 0.5)
    s.save()


def planter() -> None:
    """The planter from in front, 100 px per metre: bar, rows, seed boxes, fan; markers move by themselves."""
    s = Sheet("seat_planter", 680, 170)
    x0, y0 = 340.0, 165.0

    def at(right_m: float, up_m: float) -> Point:
        return x0 + right_m * 100, y0 - up_m * 100

    rows = [0.762 * (k - 3.5) for k in range(8)]
    for r in rows:  # behind the bar: discs, wheels, shanks
        for side in (-0.13, 0.13):
            x, y = at(r + side, 0.22)
            s.e(x, y, 7.5, 22, s.lin(x - 8, 0, x + 8, 0, GRAPH[4], GRAPH[1]), LINE, 1.2)
        x, y = at(r, 0.2)
        s.e(x, y, 2.6, 20, s.lin(x - 3, 0, x + 3, 0, STEEL[5], STEEL[2]), LINE, 1.0)
        left, top = at(r - 0.09, 0.62)
        s.box(left, top, 18, 30, s.lin(left, 0, left + 18, 0, GRAPH[5], GRAPH[2]), LINE, 1.1, 2)
    for r in rows:
        a, b = at(r - 0.27, 1.36)[0], at(r + 0.27, 1.36)[0]
        t, m, low = at(r, 1.36)[1], at(r, 1.02)[1], at(r, 0.82)[1]
        s.poly([(a, t), (b, t), (b - 2, m), (b - 15, low), (a + 15, low), (a + 2, m)],
               s.lin(a, 0, b, 0, SAND[5], SAND[3], SAND[1]), LINE, 1.2, 3)
        s.box(a - 2, t - 8, b - a + 4, 10, s.lin(a, 0, b, 0, PLUM[5], PLUM[2]), LINE, 1.1, 3)
    left, top = at(-3.1, 0.71)
    s.box(left, top, 620, 18, s.lin(0, top, 0, top + 18, PLUM[5], PLUM[3], PLUM[1]), LINE, 1.3, 2)
    for r in (-0.42, 0.42):  # headstock
        left, top = at(r - 0.05, 1.0)
        s.box(left, top, 10, 62, s.lin(left, 0, left + 10, 0, PLUM[5], PLUM[2]), LINE, 1.2, 2)
    s.poly([at(-0.44, 0.98), at(-0.1, 1.27), at(0.1, 1.27), at(0.44, 0.98), at(0.36, 0.94), at(0.06, 1.17),
            at(-0.06, 1.17), at(-0.36, 0.94)], s.lin(*at(-0.4, 1.2), *at(0.4, 1.0), PLUM[5], PLUM[2]), LINE, 1.2, 3)
    x, y = at(0.76, 1.02)  # fan, on the bar
    s.c(x, y, 24, s.lin(x - 24, y - 24, x + 24, y + 24, PLUM[5], PLUM[2]), LINE, 1.3)
    s.c(x, y, 15, GRAPH[2], LINE, 1.0)
    s.c(x, y, 4.5, STEEL[3], LINE, 0.9)
    s.mark(ground=(x0, y0), marker=at(3.06, 0.68))
    s.save()


def coupler() -> None:
    """The quick coupler from the seat, 100 px per metre: its upper part, as much as the window shows."""
    s = Sheet("seat_coupler", 120, 90)
    s.poly([(8, 86), (50, 6), (70, 6), (112, 86), (98, 86), (64, 20), (56, 20), (22, 86)],
           s.lin(8, 0, 112, 0, PLUM[5], PLUM[3], PLUM[1]), LINE, 1.4, 4)
    s.poly([(22, 62), (98, 62), (102, 72), (18, 72)], s.lin(0, 62, 0, 72, PLUM[4], PLUM[2]), LINE, 1.2, 2)
    s.box(55, 2, 10, 22, s.lin(55, 0, 65, 0, STEEL[4], STEEL[1]), LINE, 1.2, 3)
    s.mark(ball_line=(60, 86), top=(60, 6))
    s.save()


def cab() -> None:
    """Cab interior without any movable control; the windows are left free."""
    s = Sheet("seat_cab", W, H)
    # glass tint and sheens
    s.box(0, 0, W, 340, s.lin(0, 0, W, 340, (0, ICE[4], 0.22), (0.5, ICE[3], 0.06), (1, ICE[1], 0.22)))
    s.poly([(330, 40), (420, 40), (340, 330), (270, 330)], "#ffffff", None, op=0.13)
    s.poly([(446, 40), (462, 40), (388, 330), (374, 330)], "#ffffff", None, op=0.10)
    # head lining and posts
    s.p("M -10 -10 L 1290 -10 L 1290 71 C 900 40 380 40 -10 62 Z", s.lin(0, 0, 0, 66, SAND[4], SAND[3], SAND[1]), LINE, 1.4)
    s.p("M 0 54 C 380 32 900 32 1280 62", None, SAND[5], 1.6, 0.7)
    for xa, xb, w in ((58, 24, 34), (986, 1040, 44)):
        s.poly([(xa - w / 2, 40), (xa + w / 2, 40), (xb + w / 2 + 6, 350), (xb - w / 2 - 6, 350)],
               s.lin(min(xa, xb) - w, 0, max(xa, xb) + w, 0, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.5, 4)
    s.poly([(1060, 60), (1280, 74), (1280, 350), (1096, 350)], s.lin(1060, 0, 1280, 0, mix(ICE[1], GRAPH[3], 0.5), GRAPH[2]), None, op=0.5)
    # window sill rubber
    s.p("M -10 330 C 300 306 900 304 1290 336 L 1290 360 C 900 326 300 328 -10 354 Z", s.lin(0, 306, 0, 360, GRAPH[4], GRAPH[1]), LINE, 1.4)
    # rest of the cab right of the console: door, side trim
    s.poly([(990, 346), (1290, 334), (1290, 730), (1060, 730)], s.lin(1016, 0, 1280, 0, GRAPH[2], GRAPH[1]), LINE, 1.5)
    s.poly([(1080, 420), (1300, 411), (1300, 560), (1112, 560)], s.lin(1080, 0, 1280, 0, PLUM[2], PLUM[1]), GRAPH[0], 1.3, 12)
    # console body
    body = "M -10 352 C 180 300 300 296 420 296 L 800 296 C 900 298 960 312 1010 352 L 1100 720 L -10 720 Z"
    s.p(body, s.lin(0, 300, 900, 720, PLUM[4], (0.3, PLUM[3]), (0.7, PLUM[2]), PLUM[1]), LINE, 1.8)
    s.p("M -10 356 C 180 305 300 301 420 301 L 800 301 C 894 303 950 315 1002 352", None, PLUM[6], 2, 0.7)
    s.p("M 1010 352 L 1100 720 L 1040 720 L 968 372 C 946 330 900 306 800 302 C 900 300 960 316 1010 352 Z", PLUM[1], None, op=0.7)
    # instrument pod, left
    s.poly([(52, 92), (398, 80), (412, 250), (380, 276), (74, 286), (48, 262)], "#0d0b10", None, r=22, op=0.3)
    s.poly([(46, 86), (394, 76), (408, 246), (376, 270), (70, 280), (42, 256)],
           s.lin(46, 80, 404, 270, GRAPH[5], (0.3, GRAPH[3]), GRAPH[1]), LINE, 1.7, 24)
    s.p("M 52 244 L 56 104 Q 58 92 72 91 L 376 82", None, GRAPH[6], 2, 0.7)
    s.poly([(60, 100), (380, 92), (392, 238), (366, 256), (80, 266), (58, 246)], GRAPH[1], GRAPH[0], 1.2, 18)
    s.poly([(196, 280), (262, 276), (276, 330), (186, 332)], s.lin(186, 0, 276, 0, GRAPH[4], GRAPH[1]), LINE, 1.4, 4)
    # terminal arm
    x, y, w, h = TERMINAL
    s.poly([(x + 130, y + h - 6), (x + 190, y + h - 6), (x + 204, 316), (x + 116, 316)], s.lin(x + 116, 0, x + 204, 0, GRAPH[4], GRAPH[1]), LINE, 1.5, 5)
    # recessed gate plate for the levers, and the dial row
    s.box(286, 312, 408, 166, "#0d0b10", None, r=16, op=0.35)
    s.box(288, 308, 404, 166, s.lin(288, 308, 692, 474, GRAPH[2], GRAPH[3]), LINE, 1.6, 14)
    s.p("M 292 462 L 292 322 Q 292 312 302 312 L 680 312", None, GRAPH[0], 2.4, 0.7)
    s.p("M 300 471 L 680 471 Q 689 471 689 462 L 689 324", None, GRAPH[5], 1.4, 0.7)
    s.box(288, 488, 404, 118, s.lin(288, 488, 692, 606, GRAPH[3], GRAPH[2]), LINE, 1.6, 14)
    s.p("M 292 596 L 292 502 Q 292 492 302 492 L 680 492", None, GRAPH[5], 1.4, 0.7)
    for lx in LEVER_X[:-1]:
        s.line([(lx + 40, 496), (lx + 40, 598)], GRAPH[1], 1.4, 0.7)
    # left field: key and throttle, brake
    s.box(82, 318, 106, 110, s.lin(82, 318, 188, 428, GRAPH[3], GRAPH[2]), LINE, 1.6, 14)
    s.p("M 86 416 L 86 334 Q 86 322 98 322 L 176 322", None, GRAPH[5], 1.4, 0.7)
    s.box(200, 308, 76, 166, s.lin(200, 308, 276, 474, GRAPH[3], GRAPH[2]), LINE, 1.6, 14)
    s.p("M 204 462 L 204 322 Q 204 312 214 312 L 262 312", None, GRAPH[5], 1.4, 0.7)
    s.box(82, 444, 190, 162, s.lin(82, 444, 272, 606, GRAPH[3], GRAPH[2]), LINE, 1.6, 14)
    s.p("M 86 594 L 86 460 Q 86 448 98 448 L 258 448", None, GRAPH[5], 1.4, 0.7)
    # right field: hitch lever, PTO, speed source
    s.box(710, 308, 96, 166, s.lin(710, 308, 806, 474, GRAPH[2], GRAPH[3]), LINE, 1.6, 14)
    s.p("M 714 462 L 714 322 Q 714 312 724 312 L 794 312", None, GRAPH[0], 2.4, 0.7)
    s.poly([(822, 326), (930, 330), (956, 404), (961, 508), (822, 508)], s.lin(822, 326, 960, 508, GRAPH[3], GRAPH[2]), LINE, 1.6, 14)
    s.p("M 826 496 L 826 342 Q 826 331 838 331 L 922 334", None, GRAPH[5], 1.4, 0.7)
    # padded arm rest along the near edge
    s.p("M -10 640 C 200 618 700 614 1064 640 L 1100 740 L -10 740 Z", s.lin(0, 616, 0, 724, GRAPH[5], (0.25, GRAPH[3]), GRAPH[1]), LINE, 1.8)
    s.p("M -10 648 C 200 626 700 622 1062 648", None, GRAPH[6], 1.8, 0.6)
    stitched(s, [(0, 664), (240, 648), (640, 642), (1064, 664)], SAND[3])
    s.box(0, 0, W, H, s.lin(0, 60, W, 300, (0, "#fff3dd", 0.18), (0.4, "#fff3dd", 0.0), (0.55, "#0d0b10", 0.0), (1, "#0d0b10", 0.3)))
    s.save()


def levers() -> None:
    """Lever, its gate, throttle and hitch gate."""
    s = Sheet("lever", 60, 132)
    s.e(34, 118, 17, 7, "#0d0b10", op=0.35)
    s.poly([(18, 108), (42, 108), (46, 120), (14, 120)], s.lin(14, 0, 46, 0, GRAPH[3], GRAPH[1]), LINE, 1.2, 4)
    for y in (111, 115):
        s.line([(17, y), (43, y)], GRAPH[0], 1.2)
    s.box(26, 50, 8, 62, s.lin(26, 0, 34, 0, STEEL[5], STEEL[2], STEEL[0]), LINE, 1.2, 2)
    s.p("M 12 36 C 10 14 20 4 30 4 C 42 4 50 16 48 36 C 47 52 42 64 38 68 L 22 68 C 17 62 13 50 12 36 Z",
        s.lin(12, 8, 48, 60, PLUM[5], (0.35, PLUM[3]), PLUM[1]), LINE, 1.4)
    s.p("M 15.5 36 C 14 20 21 9 30 8", None, PLUM[6], 2.2, 0.8)
    s.p("M 14 46 C 20 50 40 50 46.5 46 L 45 53 C 39 56 21 56 15.4 53 Z", s.lin(14, 0, 46, 0, ICE[3], ICE[2], ICE[0]), LINE, 0.9)
    s.c(30, 28, 9.5, s.lin(22, 20, 38, 36, SAND[6], SAND[4]), SAND[0], 1.0)  # blank field for the program's number
    s.mark(pivot=(30, 112), knob=(30, 30), number=(30, 28))
    s.save()
    g = Sheet("lever_slot", 56, 168)
    g.box(18, 8, 20, 152, g.lin(18, 0, 38, 0, "#060607", GRAPH[1]), GRAPH[4], 1.4, 9)
    g.p("M 36 124 L 44 124 L 44 146 L 36 152", "#060607", GRAPH[4], 1.4)
    for y, w in ((28, 8), (68, 12), (104, 8), (144, 8)):
        g.line([(14 - w, y), (13, y)], ICE[3] if y == 68 else STEEL[3], 2.2)
    g.line([(28, 14), (28, 154)], GRAPH[2], 1.2, 0.9)
    g.mark(extend=(28, 28), block=(28, 68), retract=(28, 104), float=(28, 144), centre=(28, 84))
    g.save()
    t = Sheet("throttle", 64, 74)
    t.e(35, 62, 22, 7, "#0d0b10", op=0.4)
    t.poly([(8, 34), (56, 34), (60, 50), (52, 64), (12, 64), (4, 50)], t.lin(4, 30, 60, 64, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.4, 7)
    t.poly([(10, 14), (54, 14), (58, 34), (54, 42), (10, 42), (6, 34)], t.lin(6, 14, 58, 42, PLUM[5], PLUM[3], PLUM[1]), LINE, 1.4, 8)
    t.p("M 11 32 L 14 18.6 L 50 18.6", None, PLUM[6], 1.8, 0.8)
    for y in (24, 29, 34):
        t.line([(20, y), (44, y)], ICE[3] if y == 29 else PLUM[1], 2.0)
    t.mark(pivot=(32, 40))
    t.save()
    q = Sheet("throttle_slot", 56, 168)
    q.box(22, 8, 12, 152, q.lin(22, 0, 34, 0, "#060607", GRAPH[1]), GRAPH[4], 1.4, 6)
    for k in range(9):
        y = 22 + k * 15.5
        q.line([(40, y), (40 + 4 + k * 1.0, y)], STEEL[3], 2.0)
    q.p("M 48 14 L 53 20 L 43 20 Z", STEEL[4])
    q.mark(high=(28, 22), low=(28, 146), centre=(28, 84))
    q.save()


def knobs() -> None:
    """Dial, key, brake, PTO knob."""
    s = Sheet("dial_plate", 84, 84)
    s.c(42, 42, 38, s.lin(12, 12, 72, 72, GRAPH[1], GRAPH[2]), GRAPH[5], 1.3)
    for k in range(11):
        a = 135 + 27 * k
        s.line([polar(42, 42, 30.5 if k % 5 else 29, a), polar(42, 42, 36, a)], STEEL[4] if k % 5 else ICE[4], 1.6 if k % 5 else 2.4)
    x0, y0 = polar(42, 42, 33, 135)
    s.mark(centre=(42, 42), zero=(x0, y0))
    s.save()
    d = Sheet("dial_knob", 60, 60)
    d.c(31.5, 33, 25, "#0d0b10", op=0.45)
    for k in range(18):
        d.c(*polar(30, 30, 23, 20 * k + 10), 3.4, GRAPH[3], LINE, 1.0)
    d.c(30, 30, 23, d.rad(30, 30, 23, (0, GRAPH[4]), (0.8, GRAPH[3]), (1, GRAPH[2])), LINE, 1.0)
    d.c(30, 30, 16.5, d.rad(30, 30, 17, (0, GRAPH[5]), (1, GRAPH[4])), GRAPH[2], 1.2)
    d.poly([(27.4, 5), (32.6, 5), (31.8, 22), (28.2, 22)], ICE[4], LINE, 0.9, 1.5)
    d.mark(centre=(30, 30), pointer=(30, 5))
    d.save()
    k = Sheet("key_barrel", 72, 72)
    k.c(37.5, 39, 31, "#0d0b10", op=0.4)
    k.c(36, 36, 31, k.lin(12, 12, 60, 60, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.4)
    for i, a in enumerate((-140, -90, -40)):
        k.line([polar(36, 36, 25, a), polar(36, 36, 29.5, a)], (STEEL[4], ICE[4], STEEL[4])[i], 2.6)
    k.c(36, 36, 21, k.lin(20, 20, 52, 52, STEEL[5], STEEL[3], STEEL[0]), LINE, 1.2)
    k.c(36, 36, 15, k.lin(24, 24, 48, 48, STEEL[1], STEEL[3]), STEEL[0], 1.0)
    k.box(34, 25, 4, 22, "#060607", STEEL[0], 0.8, 1.5)
    k.mark(centre=(36, 36), off=polar(36, 36, 29, -140), run=polar(36, 36, 29, -90), start=polar(36, 36, 29, -40))
    k.save()
    e = Sheet("key", 60, 84)  # bow towards you; turns about the barrel's middle
    e.e(32, 46, 16, 30, "#0d0b10", op=0.25)
    e.box(26.5, 22, 7, 40, e.lin(26, 0, 34, 0, STEEL[5], STEEL[2], STEEL[0]), LINE, 1.1, 2)
    e.p("M 22 26 C 10 22 10 4 30 4 C 50 4 50 22 38 26 L 37 54 L 23 54 Z", e.lin(14, 4, 46, 50, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.3)
    e.c(30, 14, 4.6, "#26232a", GRAPH[6], 1.2)
    e.p("M 25.5 30 L 25.5 50", None, GRAPH[6], 1.6, 0.7)
    e.p("M 30 10 C 40 2 54 8 52 20 C 51 28 50 30 52 36", None, ICE[2], 1.8)
    e.box(47, 34, 10, 16, ICE[3], LINE, 1.0, 2)
    e.mark(centre=(30, 42), bow=(30, 14))
    e.save()
    b = Sheet("brake_handle", 164, 74)  # lies level when off, turns up about its pivot when set
    b.e(80, 64, 70, 7, "#0d0b10", op=0.35)
    b.poly([(8, 36), (40, 28), (44, 46), (14, 58), (6, 50)], b.lin(8, 28, 40, 58, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.3, 5)
    b.poly([(34, 28), (96, 18), (98, 38), (38, 48)], b.lin(0, 18, 0, 48, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.3, 3)
    b.poly([(86, 14), (144, 8), (154, 16), (154, 30), (144, 38), (88, 44), (82, 38), (82, 20)],
           b.lin(0, 8, 0, 44, GRAPH[6], (0.3, GRAPH[4]), GRAPH[1]), LINE, 1.4, 7)
    for x in (98, 108, 118, 128):
        b.line([(x, 36 - (x - 98) * 0.1), (x + 1, 41 - (x - 98) * 0.1)], GRAPH[0], 2.4)
    b.p("M 90 19 L 142 13", None, GRAPH[6], 1.8, 0.7)
    b.box(151, 15, 9, 14, ICE[2], LINE, 1.2, 4)
    b.pin(18, 46, 7)
    b.mark(pivot=(18, 46), button=(156, 22), grip=(118, 26))
    b.save()
    p = Sheet("pto_knob", 76, 76)
    p.c(39.5, 42, 30, "#0d0b10", op=0.45)
    p.c(38, 38, 34, p.lin(10, 10, 66, 66, GRAPH[4], GRAPH[1]), LINE, 1.3)
    p.c(38, 38, 29, p.lin(14, 14, 62, 62, SAND[6], SAND[4], SAND[1]), LINE, 1.3)
    p.c(38, 38, 21, p.lin(22, 22, 56, 56, SAND[3], SAND[5]), SAND[1], 1.2)
    for q in range(6):  # splined shaft end as its sign
        p.poly([polar(38, 38, 9, 60 * q - 16), polar(38, 38, 13.5, 60 * q - 11), polar(38, 38, 13.5, 60 * q + 11), polar(38, 38, 9, 60 * q + 16)],
               GRAPH[2], None)
    p.c(38, 38, 9.4, GRAPH[2])
    p.c(38, 38, 3.4, SAND[5])
    p.p("M 14 32 A 25 25 0 0 1 32 14", None, "#ffffff", 2, 0.7)
    p.mark(centre=(38, 38))
    p.save()


def instruments() -> None:
    """Terminal frame and round gauge."""
    _x, _y, w, h = TERMINAL
    s = Sheet("terminal_bezel", w, h)
    s.box(4, 6, w - 6, h - 8, "#0d0b10", None, r=20, op=0.4)
    s.box(2, 2, w - 6, h - 8, s.lin(0, 0, w, h, GRAPH[5], (0.3, GRAPH[3]), GRAPH[1]), LINE, 1.8, 18)
    s.p(f"M 7 {h - 30} L 7 22 Q 7 7 22 7 L {w - 30} 7", None, GRAPH[6], 2, 0.7)
    u, v, sw, sh = SCREEN
    s.box(u - 6, v - 6, sw + 12, sh + 12, "#08090a", GRAPH[1], 1.4, 8)
    s.box(u, v, sw, sh, s.lin(u, v, u + sw, v + sh, "#1b2528", "#10181a"), None, r=3)
    s.poly([(u, v), (u + 120, v), (u + 30, v + sh), (u, v + sh)], "#ffffff", None, op=0.04)
    for k in range(6):
        s.box(u + 8 + k * 45, h - 28, 36, 15, s.lin(0, h - 28, 0, h - 12, GRAPH[4], GRAPH[2]), LINE, 1.1, 5)
    s.mark(screen_top_left=(u, v), screen_bottom_right=(u + sw, v + sh))
    s.save()
    g = Sheet("gauge_face", 148, 148)
    g.c(74, 74, 70, g.lin(20, 20, 128, 128, STEEL[5], STEEL[3], STEEL[0]), LINE, 1.5)
    g.c(74, 74, 63, g.rad(74, 60, 80, GRAPH[2], GRAPH[0]), LINE, 1.2)
    for k in range(41):
        a = 135 + 6.75 * k
        big = k % 5 == 0
        g.line([polar(74, 74, 50 if big else 54, a), polar(74, 74, 59, a)], STEEL[5] if big else STEEL[2], 2.2 if big else 1.1)
    g.p("M 24 50 A 56 56 0 0 1 56 21", None, "#ffffff", 2.4, 0.25)
    g.mark(centre=(74, 74), zero=polar(74, 74, 56, 135), full=polar(74, 74, 56, 45))
    g.save()
    n = Sheet("gauge_needle", 24, 76)  # points up; zero is turned -135 degrees, full +135
    n.poly([(11.2, 4), (12.8, 4), (15, 58), (14, 70), (10, 70), (9, 58)], n.lin(9, 0, 15, 0, ICE[5], ICE[3], ICE[2]), LINE, 0.9, 1)
    n.c(12, 58, 8.5, n.lin(4, 50, 20, 66, GRAPH[5], GRAPH[2]), LINE, 1.1)
    n.c(12, 58, 3, GRAPH[1], GRAPH[6], 0.8)
    n.mark(pivot=(12, 58), tip=(12, 4))
    n.save()


def draw() -> None:
    """All files of this part."""
    outside()
    planter()
    coupler()
    cab()
    levers()
    knobs()
    instruments()


if __name__ == "__main__":
    draw()
