"""The trainee's figure, the first screen and the emblem."""

from __future__ import annotations

import math
import random

from kit import DRAWN, GRAPH, ICE, LINE, PLUM, SAND, Point, Sheet, spline
from places import H, W, band, clouds, ridge, shed, trees

YARD = 0.9
SKIN = ["#6d4f40", "#a17860", "#c49a80"]


def limb(s: Sheet, joints: list[Point], widths: list[float], tones: tuple[str, str, str]) -> None:
    """Tapered limb along its joints, rounded at both ends."""
    left: list[Point] = []
    right: list[Point] = []
    for i, (x, y) in enumerate(joints):
        (xa, ya), (xb, yb) = joints[max(i - 1, 0)], joints[min(i + 1, len(joints) - 1)]
        n = math.hypot(xb - xa, yb - ya) or 1.0
        nx, ny = -(yb - ya) / n * widths[i], (xb - xa) / n * widths[i]
        left.append((x + nx, y + ny))
        right.append((x - nx, y - ny))
    xs = [x for x, _ in left + right]
    s.p(spline(left + right[::-1], True, 0.9), s.lin(min(xs), 0, max(xs), 0, *tones), LINE, 1.0)


def boot(s: Sheet, x: float, y: float, tilt: float, near: bool) -> None:
    """Work boot, toe to the right."""
    s.turn(-tilt, x, y)
    a, b = (SAND[2], SAND[0]) if near else (SAND[1], SAND[0])
    s.poly([(x - 6.5, y + 13), (x + 5, y + 13), (x + 6, y + 6), (x + 17, y + 3), (x + 19, y - 3), (x - 7.5, y - 3), (x - 7.5, y + 4)],
           s.lin(x - 7, 0, x + 18, 0, a, b), LINE, 1.0, 2.6)
    s.box(x - 8, y - 5, 27.5, 3.2, GRAPH[1], LINE, 0.7, 1)
    s.pop()


def person(name: str, legs: tuple[list[Point], list[Point]], arms: tuple[list[Point], list[Point]],
           tilts: tuple[float, float], bob: float = 0.0) -> None:
    """Figure facing right. Legs: hip, knee, ankle; arms: shoulder, elbow, hand; far one first."""
    s = Sheet(name, 92, 172, YARD, 42, 166, True)
    s.ground_shadow(8, 0, 38, 4, 0.4)
    far = (PLUM[2], PLUM[1], PLUM[0])
    near = (PLUM[4], PLUM[3], PLUM[1])
    shirt = (SAND[5], SAND[4], SAND[2])
    limb(s, arms[0], [5.4, 4.8, 3.8], (SAND[3], SAND[2], SAND[1]))
    x, y = arms[0][-1]
    s.e(x + 0.5, y - 4, 4.0, 5.2, GRAPH[3], LINE, 0.9)
    for i in (0, 1):
        tones = far if i == 0 else near
        boot(s, legs[i][-1][0], legs[i][-1][1] - 7, tilts[i], i == 1)
        limb(s, legs[i], [10.4, 8.0, 6.2], tones)
    # trunk: overall with bib over a shirt
    s.p(f"M -11 {92 + bob} C -14 {112 + bob} -15 {132 + bob} -11 {146 + bob} C -8 {152 + bob} 4 {153 + bob} 8 {147 + bob} "
        f"C 14 {136 + bob} 14 {112 + bob} 11 {92 + bob} C 6 {86 + bob} -6 {86 + bob} -11 {92 + bob} Z",
        s.lin(-14, 0, 14, 0, *shirt), LINE, 1.1)
    s.p(f"M -12 {90 + bob} L -13.4 {118 + bob} L -9 {122 + bob} L -9.6 {150 + bob} L -6.6 {151 + bob} L -4 {124 + bob} L 8 {126 + bob} L 13 {120 + bob} "
        f"L 11.4 {90 + bob} C 6 {84 + bob} -6 {84 + bob} -12 {90 + bob} Z", s.lin(-14, 0, 14, 0, *near), LINE, 1.0)
    s.p(f"M 8 {126 + bob} L 4.6 {150 + bob}", None, LINE, 3.4)
    s.p(f"M 8 {126 + bob} L 4.6 {150 + bob}", None, PLUM[3], 2.0)
    s.p(f"M -11 {108 + bob} L 12 {108 + bob}", None, PLUM[1], 1.2, 0.8)
    s.poly([(2, 122 + bob), (10, 121 + bob), (9.4, 113 + bob), (3, 113 + bob)], PLUM[2], PLUM[1], 0.8, 1)
    s.p(f"M -11.6 {98 + bob} L -12 {114 + bob}", None, PLUM[5], 1.2, 0.7)
    s.poly([(-12, 100 + bob), (-5, 100 + bob), (-5.6, 88 + bob), (-12, 88 + bob)], PLUM[3], PLUM[1], 0.8, 1)
    # neck, head, cap
    s.poly([(-4, 158 + bob), (5, 157 + bob), (6, 148 + bob), (-6, 149 + bob)], s.lin(-5, 0, 5, 0, SKIN[2], SKIN[1]), LINE, 0.9, 2)
    s.p(f"M -8.5 {168 + bob} C -9.5 {158 + bob} -4 {153.6 + bob} 2 {153.4 + bob} C 7 {153.4 + bob} 9.6 {156 + bob} 9.4 {160 + bob} L 11.4 {162.6 + bob} "
        f"L 9.8 {165 + bob} L 9.4 {172 + bob} L -7 {174 + bob} Z", s.lin(-9, 0, 10, 0, SKIN[2], SKIN[1], SKIN[0]), LINE, 1.0)
    s.p(f"M -8.6 {170 + bob} C -10.4 {162 + bob} -7.6 {156.6 + bob} -5 {156 + bob} L -3.4 {164 + bob} L -2 {170 + bob} Z", GRAPH[1], None)
    s.e(-2.4, 163 + bob, 1.9, 2.9, SKIN[1], LINE, 0.7)
    s.p(f"M 6.6 {165.4 + bob} L 8.4 {165.2 + bob}", None, LINE, 1.3)
    s.p(f"M -9.6 {169 + bob} C -10 {180 + bob} -2 {182.6 + bob} 3 {181.4 + bob} C 8.6 {180 + bob} 10 {175 + bob} 10 {171.4 + bob} L 19 {169.6 + bob} "
        f"C 19 {167.6 + bob} 14 {167.8 + bob} 9.6 {168.6 + bob} C 3 {169.6 + bob} -4 {169 + bob} -9.6 {169 + bob} Z",
        s.lin(-10, 0, 14, 0, ICE[3], ICE[2], ICE[1]), LINE, 1.0)
    s.p(f"M -7.6 {173 + bob} C -6 {179 + bob} -1 {180 + bob} 2 {179.6 + bob}", None, ICE[4], 1.2, 0.8)
    limb(s, arms[1], [6.0, 5.2, 4.2], shirt)
    x, y = arms[1][-1]
    s.e(x + 0.6, y - 4, 4.4, 5.6, s.lin(x - 4, 0, x + 4, 0, GRAPH[5], GRAPH[2]), LINE, 0.9)
    s.mark(feet=(0, 0), head=(0, 168), hand=(x, y - 4))
    s.save()


def figures() -> None:
    """Standing and two steps of walking."""
    person("person", ([(2, 90), (3, 48), (3, 12)], [(-2, 90), (-2, 48), (-4, 12)]),
           ([(3, 142), (6, 116), (9, 94)], [(-2, 142), (-5, 116), (0, 94)]), (0, 0))
    person("person_walk1", ([(2, 90), (-8, 52), (-27, 22)], [(-1, 90), (12, 52), (20, 13)]),
           ([(3, 142), (14, 120), (25, 103)], [(-2, 142), (-14, 118), (-16, 96)]), (-28, 10), -1)
    person("person_walk2", ([(2, 91), (10, 53), (-4, 24)], [(-1, 91), (0, 50), (-2, 12)]),
           ([(3, 143), (5, 118), (11, 98)], [(-2, 143), (-4, 117), (4, 97)]), (-22, 0), 1)


def title() -> None:
    """First screen: the yard before sunrise, machines dark against it; the left stays calm for words."""
    rng = random.Random(31)
    s = Sheet("title_backdrop", W, H)
    horizon, ground = 452, 596
    s.box(0, 0, W, horizon + 6, s.lin(0, 0, 0, horizon, "#2d2a3a", (0.35, "#54506a"), (0.65, "#8d8390"), (0.86, "#cdb39d"), "#f0d9b4"))
    s.e(800, 452, 640, 250, s.rad(800, 452, 640, (0, "#fff0cf", 0.95), (0.22, "#fbe0b4", 0.6), (0.6, "#e9c9a4", 0.18), (1, "#e9c9a4", 0.0), squash=250 / 640))
    for x, y, r in ((96, 70, 1.3), (210, 124, 1.0), (352, 52, 1.2), (468, 160, 0.9), (560, 84, 1.1), (128, 214, 0.9), (700, 44, 1.0), (880, 78, 0.9), (1120, 52, 1.1), (300, 252, 0.8)):
        s.c(x, y, r, "#f4efe8", op=0.7)
    clouds(s, rng, [(950, 250, 420), (620, 318, 380), (1120, 170, 300), (300, 372, 320)], "#f3dcc0")
    clouds(s, rng, [(1060, 218, 360), (420, 300, 300)], "#6a6078")
    band(s, ridge(rng, 424, 30, 40), 480, s.lin(0, 395, 0, 460, "#857c8b", "#b39c93"))
    band(s, ridge(rng, 438, 20, 30), 490, s.lin(0, 415, 0, 470, "#655d6d", "#897a7c"))
    trees(s, rng, -10, 560, 458, 15, "#4a4453", "#6a616c")
    trees(s, rng, 1180, 1300, 458, 18, "#4a4453", "#6a616c")
    band(s, [(-20, 456), (300, 453), (700, 455), (1300, 456)], 560, s.lin(0, 453, 0, 540, "#7c6d66", "#5a4f52"))
    for k in range(8):
        y = 458 + k * k * 1.1
        s.line([(0, y), (W, y - 1)], "#4f4649", 1.0, 0.4)
    # bins and a lamp, left of the machines but low
    for x, r, h in ((604, 19, 56), (650, 16, 48)):
        s.box(x - r, 470 - h, 2 * r, h, s.lin(x - r, 0, x + r, 0, "#8d8289", "#544d59", "#3d3743"))
        s.poly([(x - r - 2, 470 - h), (x - 3, 470 - h - 15), (x + 3, 470 - h - 15), (x + r + 2, 470 - h)], "#5a5260")
    # ground: slab with the light lying on it
    s.box(0, 516, W, 204, s.lin(0, 516, 0, 720, "#776a69", "#514853", "#37313d"))
    for xb in (-900, -420, 60, 540, 1020, 1500, 1980):
        t = (516 - 330) / (720 - 330)
        s.line([(800 + (xb - 800) * t, 516), (xb, 720)], "#3b3440", 1.4, 0.6)
        s.line([(800 + (xb - 800) * t + 1.6, 516), (xb + 2, 720)], "#9c8b86", 0.8, 0.4)
    for y in (540, 596, 676):
        s.line([(0, y), (W, y)], "#3b3440", 1.4, 0.5)
    s.e(840, 560, 430, 46, s.rad(840, 560, 430, (0, "#f6dcb4", 0.5), (1, "#f6dcb4", 0.0), squash=46 / 430))
    s.line([(0, 516), (W, 516)], "#b8a094", 1.2, 0.5)
    # lit shed behind the implement
    hall = Sheet("hall", W, H)
    shed(hall, 0, 300, 1.0)
    s.place(hall, 968, 534 - 300 * 0.86, 0.86, "#2c2636", 0.58)
    s.e(1120, 480, 190, 66, s.rad(1120, 480, 190, (0, "#ffe2ae", 0.62), (0.5, "#f6d3a0", 0.28), (1, "#f6d3a0", 0.0), squash=66 / 190))
    s.poly([(975, 534), (1280, 534), (1280, 580), (930, 580)], s.lin(0, 534, 0, 580, (0, "#f6d9a8", 0.34), (1, "#f6d9a8", 0.0)))
    # machines
    k = 0.71
    ox, g = 962.0, float(ground)
    dusk, share = "#2a2433", 0.52

    def put(name: str, anchor: str, x_cm: float, y_cm: float) -> None:
        sheet = DRAWN[name]
        ax, ay = sheet.anchors[anchor]
        s.place(sheet, ox + x_cm * YARD * k - ax * k, g - y_cm * YARD * k - ay * k, k, dusk, share)

    s.ground_shadow(950, g + 4, 330, 18, 0.6)
    s.ground_shadow(1180, g + 4, 120, 9, 0.5)
    pin = 123.0
    put("lift_assist", "pivot", pin + 158, 96)
    put("marker_arm", "pivot", pin + 36, 71)
    put("planter_side", "lower_pin", pin, 55)
    put("lower_link", "front_ball", 5, 55)
    put("quick_coupler_side", "ball", 110, 55)
    put("tractor_side", "rear_axle_ground", 0, 0)
    put("front_ballast", "ballast_hook", -390, 96)
    put("wheel_rear", "axle", 0, 97)
    put("wheel_front", "axle", -305, 75)
    # light on the edges that look at the sun
    s.p(f"M {ox - 100} {g - 199} C {ox - 62} {g - 202} {ox - 10} {g - 203} {ox + 20} {g - 200}", None, "#ffe9c4", 2.0, 0.7)
    s.p(f"M {ox - 246} {g - 118} C {ox - 240} {g - 132} {ox - 160} {g - 143} {ox - 104} {g - 145}", None, "#ffe9c4", 2.0, 0.75)
    s.c(ox - 245, g - 116, 22, s.rad(ox - 245, g - 116, 22, (0, "#ffffff", 0.95), (0.25, ICE[4], 0.6), (1, ICE[4], 0.0)))
    s.c(ox - 102, g - 187, 12, s.rad(ox - 102, g - 187, 12, (0, "#ffffff", 0.8), (0.3, ICE[4], 0.4), (1, ICE[4], 0.0)))
    # calm field for the words
    s.box(0, 0, 760, H, s.lin(0, 0, 760, 0, (0, "#1d1a26", 0.7), (0.7, "#1d1a26", 0.45), (1, "#1d1a26", 0.0)))
    s.mark(words_top_left=(72, 84), words_bottom_right=(690, 640))
    s.save()


def emblem() -> None:
    """Two coupler halves about to meet."""
    s = Sheet("mark", 128, 128)
    s.c(64, 64, 60, s.lin(20, 16, 108, 112, PLUM[3], PLUM[2], PLUM[0]), LINE, 2)
    s.c(64, 64, 54, None, PLUM[5], 1.6, 0.5)
    # male half, from the left
    s.p("M 14 50 L 30 50 L 30 42 L 44 42 L 44 50 L 62 50 Q 70 50 74 58 L 78 64 L 74 70 Q 70 78 62 78 L 44 78 L 44 86 L 30 86 L 30 78 L 14 78 Z",
        s.lin(0, 42, 0, 86, SAND[6], SAND[4], SAND[2]), LINE, 2.2)
    s.line([(55, 51.5), (55, 76.5)], SAND[0], 3)
    # female half, from the right
    s.p("M 114 46 L 104 46 L 104 36 L 72 36 Q 66 36 66 42 L 66 44 L 80 44 Q 92 50 92 64 Q 92 78 80 84 L 66 84 L 66 86 Q 66 92 72 92 L 104 92 L 104 82 L 114 82 Z",
        s.lin(0, 36, 0, 92, ICE[4], ICE[3], ICE[2]), LINE, 2.2)
    s.line([(98, 40), (98, 88)], ICE[1], 2.4)
    s.p("M 20 54 L 28 54 M 48 54 L 52 54", None, "#ffffff", 2, 0.8)
    s.p("M 72 40 L 94 40", None, "#ffffff", 2, 0.7)
    s.save()


def draw() -> None:
    """All files of this part; the machines must be drawn before."""
    figures()
    emblem()
    title()


if __name__ == "__main__":
    import linkage
    import planter
    import tractor

    for part in (tractor, linkage, planter):
        part.draw()
    draw()
