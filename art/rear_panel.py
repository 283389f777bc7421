"""Rear panel: what stands before you behind the tractor (px, 1280 by 720, y down)."""

from __future__ import annotations

import math
import random

from kit import GRAPH, ICE, LINE, PLUM, STEEL, Point, Sheet, mix, polar, rounded

W, H = 1280, 720
VALVE_X = (306, 398, 490, 582, 674)
EXTEND_Y, RETRACT_Y = 188, 274
RACK_Y = 590
RACK_X = tuple(112 + 66 * i for i in range(10))
PLUG_X = (780, 848)
SHAFT_X = 926

PORTS: dict[str, Point] = {
    **{f"v{i + 1}_extend": (x, EXTEND_Y) for i, x in enumerate(VALVE_X)},
    **{f"v{i + 1}_retract": (x, RETRACT_Y) for i, x in enumerate(VALVE_X)},
    "pb_pressure": (146, 392),
    "pb_return": (222, 392),
    "pb_sense": (298, 392),
    "free_return": (690, 386),
    "case_drain": (782, 386),
    "implement_bus": (700, 488),
    "lighting": (796, 488),
    "pto_stub": (490, 486),
}


def tyre_back(s: Sheet, cx: float, half: float, side: int) -> None:
    """Tyre seen from behind; `side` is +1 when its inner edge is on the right."""
    axle, r = 340.0, 465.0
    inner, outer = cx + side * half, cx - side * half
    s.p(f"M {outer} -20 L {inner - side * 26} -20 Q {inner} 200 {inner} 340 Q {inner} 520 {inner - side * 20} 740 L {outer} 740 Z",
        s.lin(cx - half, 0, cx + half, 0, GRAPH[1], (0.3, GRAPH[3]), (0.62, GRAPH[2]), GRAPH[0]), LINE, 1.4)
    for k in range(-5, 6):
        for way, shift in ((side, 0.0), (-side, 0.5)):
            angle = (k + shift) * 15.65 * math.pi / 180
            if abs(angle) > 1.25:
                continue
            y, f = axle + r * math.sin(angle), math.cos(angle)
            t = 24 * f + 5
            edge = cx + way * (half + 7)
            pts = [(cx - way * 12, y - 58 * f - t * 0.5), (cx + way * half * 0.45, y - 26 * f - t * 0.7), (edge, y + 14 * f - t * 0.55),
                   (edge, y + 14 * f + t * 1.0), (cx + way * half * 0.5, y - 14 * f + t * 0.75), (cx - way * 12, y - 54 * f + t * 0.6)]
            s.poly([(x, v + 7 * f) for x, v in pts], GRAPH[0], None, r=5, op=0.8)
            s.poly(pts, s.lin(cx - half, 0, cx + half, 0, GRAPH[4], GRAPH[3], GRAPH[1]), LINE, 1.3, 5)
            s.p(rounded([pts[0], pts[1], pts[2]], 6, False), None, GRAPH[5], 1.6, 0.8)


def plate(s: Sheet, x: float, y: float, w: float, h: float, r: float = 8, bolts: bool = True) -> None:
    """Bright machined plate, screwed on."""
    s.box(x + 3, y + 6, w, h, "#0d0b10", None, r=r, op=0.4)
    s.box(x, y, w, h, s.lin(x, y, x + w, y + h, STEEL[4], (0.35, STEEL[3]), STEEL[1]), LINE, 1.6, r)
    s.p(f"M {x + 3} {y + h - r} L {x + 3} {y + r} Q {x + 3} {y + 3} {x + r} {y + 3} L {x + w - r} {y + 3}", None, STEEL[5], 1.6, 0.8)
    if bolts:
        for u, v in ((x + 11, y + 11), (x + w - 11, y + 11), (x + 11, y + h - 11), (x + w - 11, y + h - 11)):
            s.bolt(u, v, 4)


def boss(s: Sheet, x: float, y: float, r: float = 33) -> None:
    """Machined seat a coupler is screwed into."""
    s.c(x + 1.5, y + 3, r + 1, "#0d0b10", None, op=0.35)
    s.c(x, y, r, s.lin(x - r, y - r, x + r, y + r, STEEL[5], STEEL[3], STEEL[0]), LINE, 1.2)
    s.c(x, y, r - 4, s.lin(x - r, y - r, x + r, y + r, STEEL[0], STEEL[2]), None)
    s.c(x, y, r - 6.5, s.lin(x - r, y - r, x + r, y + r, GRAPH[1], GRAPH[3]), GRAPH[0], 1)


def valve_section() -> None:
    """One valve section, drawn about the middle of its extend coupler; the program sets as many as there are."""
    s = Sheet("valve_section", 104, 240, 1, 52, 76)
    low, top = 138, -48
    s.box(-44, top + 8, 94, low - top, "#0d0b10", None, r=6, op=0.4)
    s.poly([(-45, top + 6), (-36, top), (36, top), (45, top + 6), (45, low - 8), (34, low), (-34, low), (-45, low - 8)],
           s.lin(-46, top, 46, low, STEEL[4], (0.3, STEEL[3]), (0.75, STEEL[2]), STEEL[1]), LINE, 1.5, 3)
    s.p(f"M -42 {low - 10} L -42 {top + 7} L -35 {top + 3} L 34 {top + 3}", None, STEEL[5], 1.4, 0.85)
    s.p(f"M 42 {top + 12} L 42 {low - 10} L 33 {low - 3}", None, STEEL[0], 1.4, 0.55)
    s.p(f"M -32 {(RETRACT_Y - EXTEND_Y) / 2 + 8} L 32 {(RETRACT_Y - EXTEND_Y) / 2 + 8}", None, STEEL[1], 1.2, 0.5)
    for y in (0, RETRACT_Y - EXTEND_Y):
        boss(s, 0, y)
    s.box(-24, low - 20, 48, 13, GRAPH[2], LINE, 1, 4)  # field for the punched dots
    # spool cap on top, going up behind the window sill
    s.box(-17, top - 17, 34, 19, s.lin(-17, 0, 17, 0, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.2, 4)
    for x in (-10, 10):
        s.bolt(x, top - 8, 3)
    s.mark(extend=(0, 0), retract=(0, RETRACT_Y - EXTEND_Y), dots=(0, low - 13.5))
    s.save()
    e = Sheet("valve_end", 36, 200, 1, 4, 6)
    e.box(0, 0, 28, 174, e.lin(0, 0, 28, 0, STEEL[3], STEEL[1], STEEL[0]), LINE, 1.5, 5)
    for y in (18, 87, 156):
        e.bolt(14, y, 6)
    e.mark(middle=(14, 87))
    e.save()


def manifold(name: str, wide: float, tall: float) -> None:
    """A bright plate that carries ports of one kind; the program sets the bosses' couplers on it."""
    s = Sheet(name, wide + 12, tall + 14, 1, 4, 2)
    plate(s, 0, 0, wide, tall)
    s.mark(middle=(wide / 2, tall / 2))
    s.save()


def lift_rod(s: Sheet, top: Point, low: Point) -> None:
    """Lift rod with its adjusting box."""
    (x1, y1), (x2, y2) = top, low
    s.tube(f"M {x1} {y1} L {x2} {y2}", 13, (STEEL[0], STEEL[2], STEEL[4]), sw=1.4)
    mx, my = x1 + (x2 - x1) * 0.45, y1 + (y2 - y1) * 0.45
    s.box(mx - 11, my - 30, 22, 54, s.lin(mx - 11, 0, mx + 11, 0, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.3, 5)
    s.pin(x1, y1, 10)


def rear_casting(s: Sheet) -> None:
    """Axle trumpets, housing, top link bracket, shield."""
    for side in (-1, 1):
        xa, xb = 490 + side * 120, 490 + side * 420
        lo, hi = min(xa, xb), max(xa, xb)
        s.poly([(xa, 372), (490 + side * 250, 402), (xb, 406), (xb, 508), (490 + side * 250, 512), (xa, 548)],
               s.lin(0, 372, 0, 548, GRAPH[5], (0.25, GRAPH[4]), (0.6, GRAPH[2]), GRAPH[0]), LINE, 1.5, 6)
        s.line([(lo + 8, 412 if side < 0 else 384), (hi - 8, 384 if side < 0 else 412)], GRAPH[6], 1.6, 0.5)
        for k in range(3):
            x = 490 + side * (278 + 38 * k)
            s.box(x - 5, 404, 10, 106, s.lin(x - 5, 0, x + 5, 0, GRAPH[4], GRAPH[1]), None, r=4, op=0.55)
        xf = 490 + side * 382
        s.box(xf - 12, 388, 24, 138, s.lin(0, 388, 0, 526, GRAPH[5], GRAPH[3], GRAPH[0]), LINE, 1.4, 5)
        for y in (404, 440, 474, 508):
            s.bolt(xf, y, 5)
    # housing
    s.poly([(366, 352), (386, 330), (594, 330), (614, 352), (622, 470), (606, 560), (570, 600), (410, 600), (374, 560), (358, 470)],
           s.lin(358, 330, 622, 600, GRAPH[5], (0.4, GRAPH[3]), GRAPH[1]), LINE, 1.8, 16)
    s.p("M 366 540 Q 360 470 372 360 L 390 338 L 588 338", None, GRAPH[6], 2, 0.6)
    s.poly([(392, 356), (588, 356), (596, 460), (584, 540), (396, 540), (384, 460)],
           s.lin(384, 356, 596, 540, GRAPH[4], GRAPH[2]), GRAPH[1], 1.4, 14)
    for x, y in ((404, 370), (576, 370), (396, 450), (584, 450), (406, 526), (574, 526)):
        s.bolt(x, y, 5.5)
    for x in (424, 448, 532, 556):  # ribs below
        s.poly([(x - 4, 540), (x + 4, 540), (x + 6, 596), (x - 6, 596)], s.lin(x - 5, 0, x + 5, 0, GRAPH[4], GRAPH[1]), None, r=2, op=0.8)
    # rockshaft behind the valve block with its arms
    for side in (-1, 1):
        x = 490 + side * 140
        s.poly([(x - 22, 330), (x + 22, 330), (x + 17, 372), (x, 388), (x - 17, 372)],
               s.lin(x - 22, 330, x + 22, 388, PLUM[4], PLUM[3], PLUM[1]), LINE, 1.5, 8)
    # top link bracket: two cheeks, three holes
    for x in (456, 500):
        s.poly([(x, 334), (x + 24, 334), (x + 26, 398), (x + 12, 412), (x - 2, 398)],
               s.lin(x, 334, x + 24, 410, STEEL[3], STEEL[1], STEEL[0]), LINE, 1.5, 6)
        for y in (350, 371, 392):
            s.c(x + 12, y, 5.2, GRAPH[0], STEEL[0], 1.4)
    s.box(450, 366, 80, 10, s.lin(0, 366, 0, 376, STEEL[5], STEEL[2], STEEL[0]), LINE, 1.2, 4)
    s.p("M 526 371 C 544 366 546 384 538 392", None, LINE, 4.4)
    s.p("M 526 371 C 544 366 546 384 538 392", None, ICE[2], 2.6)
    # PTO: bearing cap and master shield
    s.c(490, 486, 55, s.lin(440, 436, 540, 536, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.5)
    for k in range(6):
        s.bolt(*polar(490, 486, 46, 60 * k + 30), 4.4)
    s.c(490, 486, 36, s.lin(460, 456, 520, 516, GRAPH[1], GRAPH[3]), GRAPH[0], 1.4)
    s.p("M 416 520 L 420 448 Q 424 420 452 418 L 528 418 Q 556 420 560 448 L 564 520 L 548 520 L 544 456 Q 542 436 522 436 "
        "L 458 436 Q 438 436 436 456 L 432 520 Z", s.lin(416, 418, 564, 520, PLUM[5], (0.35, PLUM[4]), (0.7, PLUM[2]), PLUM[1]), LINE, 1.6)
    s.p("M 421 512 L 425 449 Q 428 425 453 423 L 524 423", None, PLUM[6], 1.8, 0.75)
    # drawbar end
    s.poly([(462, 566), (518, 566), (522, 582), (522, 604), (458, 604), (458, 582)],
           s.lin(0, 566, 0, 604, STEEL[3], STEEL[1], STEEL[0]), LINE, 1.5, 6)
    s.c(490, 585, 10, STEEL[3], LINE, 1.3)
    s.c(490, 585, 6, STEEL[1], STEEL[0], 1)


def lower_links(s: Sheet) -> None:
    """Ends of the lower links, coming towards you, with their lift rods."""
    for side in (-1, 1):
        lift_rod(s, (490 + side * 140, 366), (490 + side * 158, 540))
        x0, x1 = 490 + side * 128, 490 + side * 196
        s.poly([(x0 - side * 13, 520), (x0 + side * 13, 514), (x1 + side * 19, 542), (x1 + side * 16, 578),
                (x1 - side * 20, 580), (x0 - side * 13, 550)],
               s.lin(min(x0, x1), 516, max(x0, x1), 580, STEEL[3], STEEL[1], STEEL[0]), LINE, 1.5, 8)
        s.c(x1, 560, 21, s.lin(x1 - 20, 540, x1 + 20, 580, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.5)
        s.c(x1, 560, 14.5, s.rad(x1 - 5, 554, 20, STEEL[5], STEEL[3], STEEL[0]), LINE, 1.2)
        s.c(x1, 560, 6.5, GRAPH[0], STEEL[0], 1.2)


def rack(s: Sheet) -> None:
    """Hose holder on the implement: rail with open cups."""
    y = RACK_Y
    s.box(60, y + 18, 910, 8, "#0d0b10", None, r=3, op=0.35)
    for x in (86, 500, 952):
        s.poly([(x - 9, y + 10), (x + 9, y + 10), (x + 13, 724), (x - 13, 724)], s.lin(x - 10, 0, x + 10, 0, PLUM[5], PLUM[3], PLUM[1]), LINE, 1.5, 3)
    s.box(56, y - 4, 918, 20, s.lin(0, y - 4, 0, y + 16, PLUM[5], (0.3, PLUM[4]), PLUM[2], PLUM[1]), LINE, 1.6, 6)
    s.line([(62, y - 0.5), (968, y - 0.5)], PLUM[6], 1.4, 0.8)


def cups() -> None:
    """Open cups of the hose holder: one for a hose or plug, a wider one for the drive shaft."""
    s = Sheet("rack_cup", 44, 40, 1, 22, 14)
    s.p("M -20 -10 L -20 12 Q -20 22 -10 22 L 10 22 Q 20 22 20 12 L 20 -10 L 15 -10 L 15 8 Q 0 20 -15 8 L -15 -10 Z",
        s.lin(-20, 0, 20, 0, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.2)
    s.mark(clip=(0, 0))
    s.save()
    s = Sheet("rack_cup_shaft", 66, 46, 1, 33, 17)
    s.p("M -30 -14 L -30 10 Q -28 26 0 26 Q 28 26 30 10 L 30 -14 L 23 -14 L 23 6 Q 0 26 -23 6 L -23 -14 Z",
        s.lin(-30, 0, 30, 0, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.3)
    s.mark(clip=(0, 0))
    s.save()
    s = Sheet("port_boss", 76, 78, 1, 38, 38)
    boss(s, 0, 0, 34)
    s.mark(centre=(0, 0))
    s.save()


def cab_back(s: Sheet) -> None:
    """Rear window, sill, fenders' inner walls and lamps."""
    s.poly([(150, -10), (830, -10), (800, 112), (180, 112)], s.lin(180, 0, 800, 112, ICE[3], (0.25, mix(ICE[1], GRAPH[3], 0.4)), GRAPH[2]), LINE, 2, 10)
    s.poly([(210, -10), (330, -10), (270, 108), (196, 108)], "#eef8f8", None, r=4, op=0.22)
    s.poly([(380, -10), (410, -10), (356, 108), (332, 108)], "#eef8f8", None, r=4, op=0.14)
    s.p("M 430 108 C 426 70 432 40 440 -10 L 548 -10 C 556 40 560 70 556 108 Z", GRAPH[0], None, op=0.55)  # seat back
    s.line([(620, 100), (700, 24)], GRAPH[0], 4)
    s.line([(560, 96), (706, 18)], GRAPH[1], 2.4)
    s.c(620, 101, 6, GRAPH[3], LINE, 1)
    s.poly([(128, 102), (852, 102), (866, 136), (850, 152), (130, 152), (114, 136)], s.lin(114, 102, 866, 152, PLUM[5], (0.4, PLUM[3]), PLUM[1]), LINE, 1.8, 9)
    s.line([(136, 107), (844, 107)], PLUM[6], 1.6, 0.8)
    s.box(236, 150, 508, 190, s.lin(0, 150, 0, 340, GRAPH[1], GRAPH[2]), LINE, 1.4, 6)
    for side in (-1, 1):
        cx = 490

        def q(u: float, v: float, side: int = side, cx: int = cx) -> str:
            return f"{cx + side * u} {v}"

        # inner wall of the fender and its rolled edge over the tyre
        s.p(f"M {q(258, 120)} L {q(352, 120)} L {q(376, 150)} L {q(388, 330)} L {q(360, 392)} L {q(280, 372)} L {q(256, 330)} Z",
            s.lin(cx + side * 256, 0, cx + side * 388, 0, PLUM[2] if side < 0 else PLUM[1], PLUM[3] if side < 0 else PLUM[2]), LINE, 1.6)
        s.p(f"M {q(274, 150)} L {q(348, 150)} L {q(362, 320)} L {q(284, 340)} Z", PLUM[1], PLUM[1], 1, 0.35)
        s.p(f"M {q(262, 103)} C {q(312, 58)} {q(402, 66)} {q(408, 210)} L {q(410, 330)} L {q(394, 338)} L {q(386, 210)} "
            f"C {q(381, 104)} {q(330, 88)} {q(292, 103)} Z",
            s.lin(cx + side * 262, 56, cx + side * 410, 330, PLUM[6] if side < 0 else PLUM[4],
                  PLUM[4] if side < 0 else PLUM[3], PLUM[2]), LINE, 1.7)
        if side < 0:
            s.p(f"M {q(330, 84)} C {q(372, 92)} {q(396, 130)} {q(400, 214)} L {q(402, 320)}", None, PLUM[6], 1.8, 0.7)
        # work lamp under the sill end
        x = cx + side * 316
        s.box(x - 27, 112, 54, 30, s.lin(x - 27, 112, x + 27, 142, GRAPH[4], GRAPH[1]), LINE, 1.4, 7)
        s.box(x - 21, 117, 42, 20, s.lin(x - 21, 117, x + 21, 137, STEEL[5], STEEL[3], STEEL[1]), GRAPH[1], 1, 4)
        for k in range(1, 5):
            s.line([(x - 21 + k * 8.4, 118), (x - 21 + k * 8.4, 136)], STEEL[1], 0.9, 0.6)


def panel() -> None:
    """Backdrop of the rear panel; couplers, sockets and stub are drawn on it by the program."""
    rng = random.Random(5)
    s = Sheet("panel_backdrop", W, H)
    s.box(0, 0, W, H, s.lin(0, 0, 0, H, "#c4ccca", (0.45, "#d8d2c4"), (0.5, "#b9ae9c"), "#948a7f"))
    s.c(60, 120, 420, s.rad(60, 120, 420, (0, "#fff3da", 0.7), (1, "#fff3da", 0.0)))
    for _ in range(90):
        y = rng.uniform(400, 720)
        s.e(rng.uniform(900, W), y, rng.uniform(1, 4), 1.2, rng.choice(("#85796d", "#cdc2b1")), op=0.5)
    # dark hollow under the tractor
    s.box(60, 100, 860, 560, s.lin(0, 100, 0, 640, "#1b191e", "#262329", "#3a3537"), None, r=40)
    s.poly([(80, 600), (900, 600), (960, 720), (20, 720)], s.lin(0, 600, 0, 720, "#4a4443", "#8a8077"), None)
    tyre_back(s, -50, 132, 1)
    tyre_back(s, 1030, 132, -1)
    cab_back(s)
    rear_casting(s)
    # steel pipes from the valve block down to the housing
    for x, tx in ((250, 376), (268, 388), (712, 592), (730, 604)):
        s.tube(f"M {x} 318 C {x} 356 {tx} 330 {tx} 384", 9, (STEEL[0], STEEL[2], STEEL[4]), sw=1.2)
    # power beyond manifold, return manifold, socket bracket
    for x in (146, 222, 298):
        s.tube(f"M {x} 430 C {x} 470 350 440 372 480", 10, (STEEL[0], STEEL[2], STEEL[4]), sw=1.2)
    s.tube("M 690 424 C 700 446 640 430 612 450", 12, (STEEL[0], STEEL[2], STEEL[4]), sw=1.2)
    s.tube("M 782 424 C 782 448 650 438 612 462", 8, (STEEL[0], STEEL[2], STEEL[4]), sw=1.2)
    s.poly([(646, 444), (852, 444), (858, 452), (858, 524), (850, 534), (648, 534), (640, 524), (640, 452)],
           s.lin(640, 444, 858, 534, GRAPH[5], GRAPH[3], GRAPH[2]), LINE, 1.6, 6)
    s.line([(650, 448), (848, 448)], GRAPH[6], 1.4, 0.8)
    for x in (748,):
        s.bolt(x, 456, 4)
        s.bolt(x, 522, 4)
    for name in ("implement_bus", "lighting"):
        x, y = PORTS[name]
        s.c(x, y, 36, GRAPH[0], GRAPH[5], 1.4, 0.9)
    lower_links(s)
    # light falling from the left over all of it
    s.box(0, 0, W, H, s.lin(0, 0, W, 150, (0, "#fff3dd", 0.16), (0.42, "#fff3dd", 0.0), (0.5, "#0d0b10", 0.0), (1, "#0d0b10", 0.2)))
    rack(s)
    s.save()


def draw() -> None:
    """All files of this part."""
    panel()
    valve_section()
    manifold("manifold_left", 240, 96)
    manifold("manifold_right", 200, 92)
    cups()


if __name__ == "__main__":
    draw()
