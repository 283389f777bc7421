"""Implements from the side, as they stand behind a tractor.

Drawing unit: cm. Drawn machines: x rearward of the eye of the tongue; mounted ones: x rearward of the lower
pins; y up from the ground. What moves by itself (gate, auger, wings, booms) is a file of its own, drawn
about the point it turns on.
"""

from __future__ import annotations

from kit import GRAPH, ICE, LINE, PLUM, SAND, STEEL, Point, Sheet, mix, polar
from linkage import bar, headstock, toolbar_end
from planter import PIN_Y, Lifted, disc, fan, press_wheel

YARD = 0.9
EYE_Y = 48.0
CAST = (GRAPH[5], GRAPH[3], GRAPH[1])
BODY = (PLUM[5], PLUM[3], PLUM[1])
BRIGHT = (STEEL[4], STEEL[2], STEEL[0])


def side(name: str, left: float, right: float, high: float) -> Lifted:
    """Sheet of a machine that stands on the ground line."""
    return Lifted(name, (right - left) * YARD, (high + 4) * YARD, YARD, -left * YARD, high * YARD, True)


def part(name: str, left: float, right: float, low: float, high: float) -> Sheet:
    """Sheet of a part drawn about its own pivot."""
    return Sheet(name, (right - left) * YARD, (high - low) * YARD, YARD, -left * YARD, high * YARD, True)


def tyre(s: Sheet, x: float, y: float, r: float, rim: float, lugs: int = 0, behind: bool = True) -> None:
    """Implement wheel; with `lugs` a driven-field tread, else ribs. The far one peeps out behind it."""
    if behind:
        s.c(x + 8, y + 2, r * 0.97, GRAPH[0], LINE, 0.8)
    s.c(x, y, r, s.rad(x, y, r, (0, GRAPH[1]), (0.62, GRAPH[2]), (0.84, GRAPH[3]), (0.93, GRAPH[2]), (1, GRAPH[0])), LINE, 1.2)
    if lugs:
        for k in range(lugs):
            a = 360 / lugs * k
            s.poly([polar(x, y, r * 1.005, a - 3), polar(x, y, r * 1.005, a + 3), polar(x, y, r * 0.86, a - 4),
                    polar(x, y, r * 0.84, a - 9)], GRAPH[2], LINE, 0.7, 0.6)
            s.line([polar(x, y, r * 0.985, a - 2), polar(x, y, r * 0.87, a - 6)], GRAPH[4], 0.8, 0.8)
    else:
        for k in range(40):
            s.line([polar(x, y, r, 9 * k), polar(x, y, r * 0.93, 9 * k + 3)], GRAPH[0], 0.9, 0.9)
    for share, tone, op in ((0.8, GRAPH[4], 0.5), (0.7, GRAPH[0], 0.5)):
        s.c(x, y, rim + (r - rim) * share, None, tone, 0.8, op)
    s.c(x, y, rim, s.lin(x - rim, y + rim, x + rim, y - rim, SAND[6], SAND[4], SAND[1]), LINE, 1.0)
    s.c(x, y, rim * 0.83, s.lin(x - rim, y + rim, x + rim, y - rim, SAND[1], SAND[3]), SAND[0], 0.8)
    for k in range(8):
        s.c(*polar(x, y, rim * 0.5, 45 * k + 20), rim * 0.062, STEEL[3], LINE, 0.6)
    s.c(x, y, rim * 0.3, s.rad(x, y, rim * 0.3, (0, GRAPH[5]), (1, GRAPH[2])), LINE, 0.9)
    s.c(x, y, rim * 0.11, STEEL[3], LINE, 0.5)
    s.p(f"M {x - rim * .78} {y + rim * .5} A {rim * .93} {rim * .93} 0 0 0 {x - rim * .2} {y + rim * .91}", None, "#ffffff", 1.3, 0.5)


def eye(s: Sheet, reach: float = 26.0) -> None:
    """Forged hitch eye at the front of a tongue, drawn about the origin at EYE_Y."""
    y = EYE_Y
    s.poly([(-5, y + 4), (3, y + 5), (reach, y + 5), (reach, y - 5), (3, y - 5), (-5, y - 4), (-7, y)],
           s.lin(0, y + 5, 0, y - 5, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.2, 2.5)
    s.line([(-4, y + 3), (reach - 2, y + 3.4)], STEEL[5], 0.9, 0.8)
    s.box(-3.2, y - 4.8, 6.4, 9.8, STEEL[0], LINE, 0.8, 1.5, op=0.7)
    for x in (reach - 14, reach - 6):
        s.bolt(x, y, 1.6)


def tongue(s: Sheet, to: Point, deep: float = 9.0, start: float = 20.0, far: bool = True) -> None:
    """Tongue from the eye to a point of the frame: a welded box with its bright upper edge."""
    x1, y1 = to
    if far:
        s.push("translate(3 -4)")
        bar(s, (start + 20, EYE_Y), (x1, y1), deep * 0.8, deep * 0.9, (PLUM[2], PLUM[1], PLUM[0]), 2)
        s.pop()
    bar(s, (start, EYE_Y), (x1, y1), deep * 0.82, deep, BODY, 2)
    eye(s, start + 8)


def jack_sleeve(s: Sheet, x: float, y: float) -> None:
    """The socket a tongue jack is pinned into; the jack itself is another file."""
    s.c(x, y, 8.6, s.lin(x - 8, y + 8, x + 8, y - 8, *BODY), LINE, 1.1)
    s.c(x, y, 4.4, GRAPH[2], LINE, 0.9)


def hose_mast(s: Sheet, x: float, low: float, high: float, lines: int = 3) -> Point:
    """Upright holder that carries hoses and cables over the coupling; returns the guide on top."""
    bar(s, (x, low), (x, high), 2.2, 2.0, CAST, 1)
    s.p(f"M {x} {high} C {x - 2} {high + 12} {x - 14} {high + 12} {x - 18} {high + 4}", None, LINE, 4.4)
    s.p(f"M {x} {high} C {x - 2} {high + 12} {x - 14} {high + 12} {x - 18} {high + 4}", None, GRAPH[4], 2.6)
    for k in range(lines):
        s.tube(f"M {x - 16 + k * 3} {high + 2} C {x - 4 + k} {high + 2 - k} {x + 6} {high - 20} {x + 8 + k * 3} {low + 6}", 2.2)
    s.c(x - 16, high + 3, 3.4, ICE[2], LINE, 0.9)
    return x - 16, high + 3


def lamp(s: Sheet, x: float, y: float) -> None:
    """Rear lamp and slow-vehicle plate bracket; the plate's face is left blank."""
    s.line([(x - 16, y + 3), (x + 2, y + 6)], LINE, 3.6)
    s.line([(x - 16, y + 3), (x + 2, y + 6)], GRAPH[4], 2.0)
    s.box(x, y, 6, 14, s.lin(x, 0, x + 6, 0, GRAPH[4], GRAPH[1]), LINE, 1, 1.5)
    s.line([(x + 4.6, y + 2.5), (x + 4.6, y + 11.5)], "#b5686c", 2.0)


def shaft(s: Sheet, start: Point, end: Point) -> None:
    """Drive line under its guard, from the front support to the gearbox."""
    s.tube(f"M {start[0]} {start[1]} L {end[0]} {end[1]}", 8.5, (GRAPH[1], GRAPH[3], GRAPH[5]))
    (x1, y1), (x2, y2) = start, end
    for t in (0.04, 0.5, 0.9):
        x, y = x1 + (x2 - x1) * t, y1 + (y2 - y1) * t
        s.box(x - 2.5, y - 6.4, 9, 12.8, s.lin(0, y + 6, 0, y - 6, GRAPH[4], GRAPH[1]), LINE, 1.0, 2.5)


def panel_box(s: Sheet, points: list[Point], tones: tuple[str, str, str] = BODY, r: float = 5.0) -> None:
    """Sheet-metal panel: long gradient, one bright upper edge."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    s.poly(points, s.lin(min(xs), max(ys), max(xs), min(ys), tones[0], (0.35, tones[1]), tones[2]), LINE, 1.4, r)


def tine(s: Sheet, x: float, top: float, dim: float = 0.0, reach: float = 22.0) -> None:
    """Spring shank with its sweep, from the frame at `top` to the ground."""
    tone = [mix(c, GRAPH[1], dim) for c in STEEL]
    d = f"M {x} {top} C {x + reach * .2} {top + 16} {x + reach * 1.3} {top + 6} {x + reach * 1.15} {top * .5} C {x + reach} {top * .2} {x + reach * .3} 12 {x + 1} 4"
    s.p(d, None, LINE, 4.6)
    s.p(d, None, tone[1], 2.8)
    s.p(d, None, tone[3], 0.9, 0.8)
    s.poly([(x - 9, 0), (x + 9, 3), (x + 5, 11), (x - 1, 8)], s.lin(x - 9, 10, x + 9, 0, tone[4], tone[1]), LINE, 0.9, 0.6)
    s.box(x - 4, top - 5, 9, 9, mix(GRAPH[3], GRAPH[1], dim), LINE, 0.9, 1)


def small_row(s: Sheet, dim: float = 0.0) -> None:
    """Row unit of a bulk-fed planter: a hand's breadth of hopper, the seed comes through a hose."""

    def t(colour: str) -> str:
        return mix(colour, GRAPH[1], dim)

    for y in (76, 57):
        bar(s, (52, y), (92, y - 2), 2.3, 2.3, (t(PLUM[5]), t(PLUM[3]), t(PLUM[1])), 1)
    s.poly([(88, 82), (99, 82), (104, 58), (132, 54), (152, 46), (158, 36), (150, 32), (128, 38), (108, 32), (94, 34), (89, 50)],
           s.lin(88, 82, 150, 32, t(GRAPH[5]), t(GRAPH[3]), t(GRAPH[1])), LINE, 1.3, 3)
    for x, y in ((52, 76), (92, 74), (52, 57), (92, 55)):
        s.pin(x, y, 1.9)
    s.c(76, 14, 11, t(STEEL[2]), LINE, 0.9)
    for k in range(11):
        s.poly([polar(76, 14, 14, 33 * k), polar(76, 14, 9, 33 * k + 14), polar(76, 14, 9, 33 * k - 8)], t(STEEL[2]), LINE, 0.6)
    disc(s, 103, 17.5, 18.5)
    press_wheel(s, 115, 20, 20, 5.5)
    bar(s, (138, 42), (170, 18), 2.6, 2.0, (t(PLUM[4]), t(PLUM[3]), t(PLUM[1])), 1)
    press_wheel(s, 166, 14.5, 14.5, 3.6)
    s.poly([(94, 116), (92, 96), (100, 82), (128, 82), (134, 96), (132, 116)],
           s.lin(92, 0, 134, 0, t(SAND[5]), t(SAND[3]), t(SAND[1])), LINE, 1.2, 3)
    s.poly([(91, 115), (93, 121), (132, 121), (136, 115)], s.lin(92, 0, 134, 0, t(PLUM[5]), t(PLUM[2])), LINE, 1.1, 1.5)
    s.c(113, 72, 12, s.lin(102, 82, 124, 62, t(GRAPH[5]), t(GRAPH[3]), t(GRAPH[1])), LINE, 1.1)
    s.c(113, 72, 3.4, t(STEEL[2]), LINE, 0.8)
    s.tube("M 112 118 C 108 138 84 142 60 136", 4.4, (t(GRAPH[1]), t(GRAPH[3]), t(GRAPH[5])))


def bulk_hopper(s: Sheet, x: float, y: float, dim: float = 0.0) -> None:
    """Moulded seed tank with a funnel below and a lid with its wheel."""

    def t(colour: str) -> str:
        return mix(colour, GRAPH[2], dim)

    s.poly([(x, y + 128), (x - 4, y + 56), (x + 34, y + 8), (x + 86, y + 8), (x + 124, y + 56), (x + 120, y + 128)],
           s.lin(x, 0, x + 124, 0, t(SAND[5]), (0.2, t(SAND[4])), (0.7, t(SAND[3])), t(SAND[1])), LINE, 1.4, 12)
    s.p(f"M {x + 4} {y + 60} L {x + 116} {y + 60}", None, t(SAND[1]), 1.0, 0.7)
    s.p(f"M {x + 8} {y + 118} L {x + 6} {y + 66} L {x + 30} {y + 30}", None, "#ffffff", 1.3, 0.5)
    for k in range(4):
        s.line([(x + 104, y + 72 + 12 * k), (x + 112, y + 72 + 12 * k)], t(SAND[0]), 1.0, 0.8)
    s.poly([(x + 12, y + 126), (x + 16, y + 138), (x + 104, y + 138), (x + 108, y + 126)],
           s.lin(x + 12, 0, x + 108, 0, t(PLUM[5]), t(PLUM[3]), t(PLUM[2])), LINE, 1.3, 4)
    s.line([(x + 20, y + 135), (x + 98, y + 135)], t(PLUM[6]), 0.9, 0.8)
    s.box(x + 52, y + 138, 16, 5, GRAPH[3], LINE, 1, 2)
    s.poly([(x + 38, y + 8), (x + 82, y + 8), (x + 76, y - 8), (x + 44, y - 8)], s.lin(x + 38, 0, x + 82, 0, t(GRAPH[5]), t(GRAPH[2])), LINE, 1.2, 2)


def drawn_planter() -> None:
    """Sixteen-row planter on a tongue: two bulk tanks and fans over the frame."""
    s = side("drawn_planter", -14, 640, 300)
    bulk_hopper(s, 316, 148, 0.3)
    s.push("translate(-9 -6)")
    s.at(430, 0)
    small_row(s, 0.5)
    s.at(-430, 0)
    s.pop()
    tongue(s, (330, 74), 11)
    jack_sleeve(s, 96, 56)
    root = hose_mast(s, 62, 52, 128, 4)
    for k, y in enumerate((3, 0, -3)):
        s.tube(f"M 70 {62 + y} C 150 {68 + y} 240 {80 + y} 330 {92 + y}", 2.0)
        if k < 2:
            s.box(150 + 90 * k, 62 + 6 * k, 6, 14, GRAPH[3], LINE, 0.9, 1)
    # main frame, transport wheel and its lift cylinder
    panel_box(s, [(308, 66), (470, 66), (484, 74), (484, 92), (308, 96)], BODY, 3)
    s.line([(312, 92), (478, 89)], PLUM[6], 1.0, 0.7)
    bar(s, (338, 78), (392, 50), 6, 5, CAST, 2)
    bar(s, (420, 90), (398, 56), 3.0, 3.0, BRIGHT, 1)
    tyre(s, 390, 46, 46, 26)
    toolbar_end(s, 470, 62, 20)
    # platform, ladder and rail by the tanks
    s.box(306, 128, 178, 6, s.lin(306, 0, 484, 0, GRAPH[6], GRAPH[3]), LINE, 1.1, 1)
    for x in (312, 396, 478):
        bar(s, (x, 94), (x, 130), 2.2, 2.2, CAST, 0.5)
    bulk_hopper(s, 338, 142)
    fan(s, 300, 158, 20)
    s.tube("M 306 140 C 316 120 344 124 392 132", 5.6, (GRAPH[2], GRAPH[4], GRAPH[6]))
    fan(s, 486, 122, 16)
    for k in range(3):
        s.tube(f"M {384 + 10 * k} 134 C {400 + 8 * k} 106 {450 + 6 * k} 120 {500 + 8 * k} {130 + 4 * k}", 3.6)
    for x in (316, 334):
        s.line([(x - 2, 60), (x, 214)], LINE, 3.0)
        s.line([(x - 2, 60), (x, 214)], GRAPH[5], 1.4)
    for y in range(66, 130, 14):
        s.line([(314, y), (333, y)], GRAPH[5], 2.0)
    s.line([(316, 214), (334, 214)], GRAPH[5], 2.0)
    s.at(432, 0)
    small_row(s)
    s.at(-432, 0)
    s.box(480, 50, 6, 34, s.lin(480, 0, 486, 0, GRAPH[5], GRAPH[2]), LINE, 1.1, 1)
    lamp(s, 492, 140)
    s.mark(eye=(0, EYE_Y), ground=(0, 0), jack=(96, 56), wheel=(390, 46), wheel_ground=(390, 0), hose_root=root, level=(250, 80),
           underside=(478, 62), centre=(410, 150), marker_pivot=(484, 82), fan=(300, 158), fan_2=(486, 122), drive=(60, 72), chain=(34, 52),
           end=(604, 14))
    s.save()


def air_seeder() -> None:
    """Seeding tool with a cart towed behind: openers in three ranks, tower, tank with metering."""
    s = side("air_seeder", -14, 620, 330)
    # far openers, then the frame's ranks
    for x in (292, 372, 452, 532):
        tine(s, x + 8, 76, 0.55, 20)
    tongue(s, (262, 78), 10)
    jack_sleeve(s, 92, 56)
    root = hose_mast(s, 58, 52, 126, 4)
    panel_box(s, [(250, 72), (560, 72), (560, 88), (250, 92)], BODY, 2)
    s.line([(254, 89), (556, 85)], PLUM[6], 1.0, 0.7)
    for x in (270, 350, 430, 510):
        toolbar_end(s, x, 72, 15)
    for x in (276, 356, 436, 516):
        tine(s, x, 74, 0.0, 24)
    bar(s, (246, 84), (216, 40), 5, 4, CAST, 2)
    tyre(s, 214, 33, 33, 18)
    bar(s, (470, 84), (486, 42), 5, 4, CAST, 2)
    tyre(s, 486, 36, 36, 20)
    for k in range(6):  # packer wheels on the rear gang
        press_wheel(s, 556 + k * 0.01, 19, 19, 5)
    bar(s, (548, 82), (558, 22), 3, 2.4, CAST, 1)
    # tower with distributor head and its hoses
    bar(s, (392, 88), (392, 208), 5, 5, (STEEL[4], STEEL[2], STEEL[0]), 1)
    s.poly([(374, 214), (410, 214), (404, 228), (380, 228)], s.lin(374, 0, 410, 0, PLUM[5], PLUM[3], PLUM[1]), LINE, 1.2, 3)
    for x in (276, 316, 356, 436, 476, 516):
        s.p(f"M 392 217 C {392 + (x - 392) * .7} 222 {x} 180 {x} 98", None, LINE, 3.6)
        s.p(f"M 392 217 C {392 + (x - 392) * .7} 222 {x} 180 {x} 98", None, GRAPH[4], 2.0)
    s.mark(eye=(0, EYE_Y), ground=(0, 0), jack=(92, 56), wheel=(486, 36), wheel_ground=(486, 0), hose_root=root, level=(300, 90),
           underside=(517, 72), centre=(400, 150), wing=(350, 90), cart=(562, 58), drive=(60, 72), chain=(34, 52), joint=(562, 58),
           end=(600, 60))
    s.save()
    air_cart()
    w = part("air_seeder_wing", -110, 140, -14, 214)
    lattice(w, 170)
    w.mark(pivot=(0, 0))
    w.save()


def air_cart() -> None:
    """The cart behind the seeding tool, in the tool's own coordinates: tongue, two-compartment tank, wheels."""
    s = side("air_cart", 380, 1130, 330)
    bar(s, (568, 56), (712, 66), 8, 9, BODY, 2)
    s.poly([(558, 61), (584, 62), (584, 50), (558, 51), (554, 56)], s.lin(0, 62, 0, 50, *BRIGHT), LINE, 1.1, 2)
    s.box(560, 44, 5, 24, s.lin(560, 0, 565, 0, STEEL[5], STEEL[1]), LINE, 1.0, 0.8)
    s.p("M 562 68 C 562 75 571 74 570 67", None, ICE[2], 1.8)
    for k in range(3):
        s.tube(f"M 392 {96 - 4 * k} C 460 {108 - 4 * k} 560 {86 - 4 * k} 720 {74 - 4 * k}", 4.2)
    panel_box(s, [(700, 52), (1062, 56), (1062, 72), (700, 76)], (GRAPH[5], GRAPH[3], GRAPH[1]), 3)
    bar(s, (716, 66), (738, 44), 5, 4, CAST, 1)
    tyre(s, 744, 40, 40, 22)
    for x, y in ((728, 150), (866, 170), (1040, 170)):
        bar(s, (x, 72), (x, y), 4.4, 4.4, CAST, 1)
    tank = [(708, 214), (704, 178), (756, 92), (822, 92), (866, 150), (912, 92), (990, 92), (1058, 178), (1054, 236), (1018, 262), (746, 248)]
    s.poly(tank, s.lin(700, 260, 1060, 90, SAND[5], (0.25, SAND[4]), (0.65, SAND[3]), SAND[1]), LINE, 1.5, 14)
    s.p("M 706 186 C 800 196 960 200 1056 190", None, SAND[1], 1.1, 0.7)
    s.p("M 866 150 L 868 250", None, SAND[1], 1.1, 0.7)
    s.p("M 716 212 L 714 182 L 758 108", None, "#ffffff", 1.6, 0.5)
    s.p("M 752 244 L 1016 257", None, "#ffffff", 1.4, 0.55)
    for x, y in ((764, 249), (934, 257)):
        s.poly([(x, y), (x + 5, y + 13), (x + 57, y + 15), (x + 62, y + 3)], s.lin(x, 0, x + 62, 0, PLUM[5], PLUM[3], PLUM[1]), LINE, 1.3, 3)
    for x in (752, 906):  # meters under the funnels
        s.poly([(x + 6, 94), (x + 68, 94), (x + 58, 72), (x + 16, 72)], s.lin(x, 0, x + 70, 0, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.2, 3)
        s.c(x + 36, 83, 6, STEEL[2], LINE, 0.9)
    s.tube("M 730 62 L 1040 62", 7.0, (STEEL[0], STEEL[2], STEEL[4]))
    fan(s, 692, 112, 24)
    bar(s, (692, 76), (692, 92), 6, 6, CAST, 1)
    s.tube("M 712 96 C 726 84 730 66 744 62", 7.5, (GRAPH[2], GRAPH[4], GRAPH[6]))
    tyre(s, 1000, 76, 76, 44, 24)
    # filling auger folded along the side, ladder at the back
    s.tube("M 800 118 L 1086 214", 13, (PLUM[1], PLUM[3], PLUM[5]))
    s.poly([(1078, 222), (1098, 222), (1100, 196), (1086, 192)], s.lin(1078, 0, 1100, 0, *BODY), LINE, 1.2, 3)
    s.poly([(786, 122), (804, 130), (810, 110), (792, 104)], s.lin(786, 0, 810, 0, *CAST), LINE, 1.1, 2)
    for x in (1084, 1102):
        s.line([(x, 64), (x - 6, 188)], LINE, 3.0)
        s.line([(x, 64), (x - 6, 188)], GRAPH[5], 1.4)
    for y in range(74, 190, 16):
        s.line([(1083, y), (1100, y)], GRAPH[5], 2.0)
    lamp(s, 1064, 84)
    s.mark(pivot=(562, 58), ground=(562, 0), wheel=(1000, 76), wheel_ground=(1000, 0), fan=(692, 112), end=(1104, 60))
    s.save()


def lattice(s: Sheet, high: float) -> None:
    """A folded wing: its frame stands upright over the hinge with the ranks seen end on and the shanks sideways."""
    for x in (-78, 0, 78):
        bar(s, (x, 0), (x, high), 4.2, 3.6, (PLUM[4], PLUM[2], PLUM[1]) if x else BODY, 1)
    for y in (16, high * 0.5, high - 10):
        bar(s, (-84, y), (84, y), 4.6, 4.6, BODY, 1)
        s.line([(-82, y + 2.6), (82, y + 2.6)], PLUM[6], 0.9, 0.7)
    for k, y in enumerate((30, high * 0.5 + 14, high * 0.78)):
        for x in (-62, -14, 42):
            d = f"M {x} {y} C {x + 14} {y + 12} {x + 44} {y + 8} {x + 46} {y - 14 + 3 * k}"
            s.p(d, None, LINE, 4.2)
            s.p(d, None, STEEL[1], 2.4)
            s.poly([(x + 40, y - 12), (x + 52, y - 12), (x + 47, y - 26)], s.lin(x + 40, 0, x + 52, 0, STEEL[4], STEEL[1]), LINE, 0.9, 0.5)
    bar(s, (-40, 6), (-26, high * 0.46), 3.6, 3.6, (GRAPH[5], GRAPH[3], GRAPH[1]), 1)
    bar(s, (-33, high * 0.24), (-26, high * 0.5), 1.6, 1.6, BRIGHT, 0.3)
    for x in (-78, 0, 78):
        s.pin(x, 0, 4)


def baler() -> None:
    """Round baler: pick-up under the nose, chamber between side plates, gate at the back."""
    s = side("round_baler", -14, 440, 268)
    tongue(s, (150, 70), 9)
    jack_sleeve(s, 74, 54)
    root = hose_mast(s, 52, 50, 122, 3)
    shaft(s, (34, 76), (150, 98))
    s.poly([(144, 124), (172, 128), (176, 84), (146, 80)], s.lin(144, 0, 176, 0, *CAST), LINE, 1.2, 4)
    # pick-up: tines round a reel, wind guard, its gauge wheel
    for k in range(14):
        a = 360 / 14 * k
        s.line([polar(146, 30, 12, a), polar(146, 30, 25, a + 14)], STEEL[1], 1.6)
    s.c(146, 30, 15, s.lin(132, 44, 160, 16, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.1)
    s.c(146, 30, 5, STEEL[2], LINE, 0.9)
    s.p("M 118 62 C 112 48 112 38 118 26", None, LINE, 3.0)
    s.p("M 118 62 C 112 48 112 38 118 26", None, STEEL[3], 1.4)
    bar(s, (124, 62), (172, 56), 3, 3, CAST, 1)
    press_wheel(s, 168, 15, 15, 4.5)
    # side of the front half
    panel_box(s, [(160, 74), (186, 56), (252, 48), (262, 60), (262, 236), (240, 246), (196, 232), (166, 176)], BODY, 10)
    s.p("M 172 172 L 200 226 L 240 240", None, PLUM[6], 1.4, 0.7)
    for x0, y0, r in ((206, 178, 24), (232, 112, 20), (196, 108, 15)):
        s.c(x0, y0, r, s.lin(x0 - r, y0 + r, x0 + r, y0 - r, PLUM[4], PLUM[2]), PLUM[1], 1.1)
        s.c(x0, y0, r * 0.3, s.lin(x0 - 5, y0 + 5, x0 + 5, y0 - 5, *CAST), LINE, 0.9)
    s.poly([(176, 132), (254, 132), (254, 150), (180, 150)], s.lin(0, 150, 0, 132, PLUM[2], PLUM[3]), PLUM[1], 1.0, 4)
    s.line([(178, 126), (256, 126)], ICE[2], 2.4)
    # frame, axle and wheel
    bar(s, (150, 64), (290, 62), 6, 7, CAST, 2)
    tyre(s, 262, 44, 44, 24)
    lamp(s, 284, 74)
    # net box over the front
    s.poly([(176, 196), (200, 234), (176, 246), (148, 210)], s.lin(150, 240, 200, 200, SAND[5], SAND[3], SAND[1]), LINE, 1.3, 4)
    s.line([(154, 211), (178, 243)], "#ffffff", 1.1, 0.5)
    s.poly([(186, 196), (194, 208), (190, 211), (182, 199)], ICE[2], LINE, 0.9, 1)
    s.mark(eye=(0, EYE_Y), ground=(0, 0), jack=(74, 54), wheel=(262, 44), wheel_ground=(262, 0), hose_root=root, level=(120, 76),
           underside=(200, 56), centre=(250, 140), gate=(256, 236), pickup=(146, 30), drive=(34, 76), chain=(34, 52), end=(398, 110))
    s.save()
    g = part("round_baler_gate", -20, 172, -206, 26)
    panel_box(g, [(4, 4), (28, 12), (76, -2), (126, -42), (146, -92), (140, -134), (112, -168), (62, -184), (4, -180)], BODY, 14)
    g.p("M 12 6 L 34 8 L 76 -8 L 120 -44 L 138 -88", None, PLUM[6], 1.5, 0.7)
    for x0, y0, r in ((54, -52, 22), (98, -92, 18), (62, -134, 22)):
        g.c(x0, y0, r, g.lin(x0 - r, y0 + r, x0 + r, y0 - r, PLUM[4], PLUM[2]), PLUM[1], 1.1)
        g.c(x0, y0, r * 0.28, g.lin(x0 - 5, y0 + 5, x0 + 5, y0 - 5, *CAST), LINE, 0.9)
    g.poly([(12, -84), (84, -84), (92, -102), (12, -102)], g.lin(0, -84, 0, -102, PLUM[2], PLUM[3]), PLUM[1], 1.0, 4)
    g.line([(8, -110), (104, -110)], ICE[2], 2.4)
    bar(g, (8, -166), (20, -60), 3.4, 3.4, CAST, 1)
    bar(g, (15, -104), (21, -50), 1.6, 1.6, BRIGHT, 0.3)
    g.box(126, -122, 12, 22, g.lin(126, 0, 138, 0, GRAPH[4], GRAPH[1]), LINE, 1, 2)
    g.line([(135, -118), (135, -104)], "#b5686c", 2.0)
    g.pin(0, 0, 6)
    g.mark(pivot=(0, 0))
    g.save()


def mower() -> None:
    """Mower-conditioner: long tongue, gearbox, cutter bar under its curtain, hood with rolls."""
    s = side("mower_conditioner", -14, 494, 182)
    # far tyre, then the tongue arching over the shaft
    s.c(394, 42, 41, GRAPH[0], LINE, 0.8)
    s.push("translate(2 -3)")
    bar(s, (40, 52), (300, 132), 7, 8, (PLUM[2], PLUM[1], PLUM[0]), 2)
    s.pop()
    bar(s, (24, EYE_Y), (84, 62), 7, 8, BODY, 2)
    bar(s, (80, 61), (306, 134), 8.4, 9, BODY, 2)
    eye(s, 30)
    jack_sleeve(s, 92, 66)
    root = hose_mast(s, 62, 58, 130, 3)
    shaft(s, (34, 78), (286, 104))
    for k in range(2):
        s.tube(f"M 70 {80 + 5 * k} C 130 {84 + 5 * k} 220 {116 + 5 * k} 304 {142 + 5 * k}", 2.0)
    s.poly([(280, 124), (318, 126), (322, 84), (284, 82)], s.lin(280, 0, 322, 0, *CAST), LINE, 1.3, 6)
    for x, y in ((290, 92), (314, 94), (312, 116), (290, 116)):
        s.bolt(x, y, 2.0)
    # header: hood, curtain, cutter bar with skid
    panel_box(s, [(270, 92), (292, 120), (340, 134), (412, 130), (450, 108), (470, 70), (452, 66), (400, 74), (338, 72)], BODY, 9)
    s.p("M 278 94 L 298 114 L 342 127 L 408 124 L 442 104", None, PLUM[6], 1.5, 0.7)
    s.p("M 300 96 C 350 104 410 100 452 82", None, ICE[2], 2.6)
    s.poly([(234, 92), (272, 98), (338, 74), (336, 30), (236, 26)], s.lin(234, 96, 338, 26, GRAPH[4], GRAPH[2], GRAPH[1]), LINE, 1.3, 5)
    for k in range(8):
        s.line([(244 + k * 12, 88 - k * 1.5), (245 + k * 12, 28)], GRAPH[0], 1.1, 0.8)
    s.line([(238, 90), (270, 95), (334, 72)], GRAPH[6], 1.2, 0.8)
    s.poly([(232, 20), (330, 16), (352, 26), (340, 32), (240, 30)], s.lin(232, 32, 352, 16, *BRIGHT), LINE, 1.2, 3)
    s.poly([(250, 16), (300, 4), (348, 6), (346, 12), (304, 12), (262, 20)], s.lin(250, 0, 348, 0, STEEL[3], STEEL[0]), LINE, 1.0, 2)
    for x in (352, 374):
        s.c(x, 44 if x == 352 else 56, 12, s.lin(x - 12, 60, x + 12, 36, GRAPH[5], GRAPH[2]), LINE, 1.0)
        for k in range(8):
            s.line([polar(x, 44 if x == 352 else 56, 7, 45 * k), polar(x, 44 if x == 352 else 56, 12, 45 * k + 20)], STEEL[1], 1.2)
    s.poly([(452, 70), (478, 42), (470, 34), (436, 62)], s.lin(436, 70, 478, 34, *BODY), LINE, 1.2, 3)
    # carrier frame, lift cylinder, wheel
    bar(s, (290, 128), (332, 148), 6, 5, BODY, 2)
    bar(s, (328, 148), (420, 138), 5, 5, BODY, 2)
    bar(s, (414, 138), (388, 52), 6, 5, CAST, 2)
    bar(s, (352, 140), (392, 84), 3.6, 3.6, CAST, 1)
    bar(s, (374, 110), (394, 80), 1.7, 1.7, BRIGHT, 0.3)
    tyre(s, 386, 42, 42, 23)
    lamp(s, 462, 92)
    s.mark(eye=(0, EYE_Y), ground=(0, 0), jack=(92, 66), wheel=(386, 42), wheel_ground=(386, 0), hose_root=root, level=(376, 148),
           underside=(300, 16), centre=(360, 110), rolls=(374, 56), drive=(34, 78), chain=(36, 52), end=(470, 60))
    s.save()


def sprayer() -> None:
    """Drawn sprayer: polymer tank, tall narrow wheels, booms folded along both sides."""
    s = side("drawn_sprayer", -14, 566, 268)
    tongue(s, (152, 84), 9)
    jack_sleeve(s, 78, 55)
    root = hose_mast(s, 54, 51, 128, 4)
    shaft(s, (34, 74), (118, 80))
    s.c(134, 80, 15, s.lin(120, 94, 148, 66, *CAST), LINE, 1.2)  # pump
    for k in range(6):
        s.c(*polar(134, 80, 11, 60 * k), 1.6, STEEL[3], LINE, 0.5)
    for k in range(3):
        s.tube(f"M 140 {92 + 3 * k} C 160 {112 + 4 * k} 170 {104 + 4 * k} 196 {96 + 3 * k}", 3.4)
    # frame and rinse tank
    panel_box(s, [(140, 78), (470, 78), (488, 86), (488, 100), (140, 98)], BODY, 3)
    s.line([(144, 95), (482, 96)], PLUM[6], 1.0, 0.7)
    s.poly([(148, 104), (146, 150), (168, 158), (196, 152), (196, 104)], s.lin(146, 0, 196, 0, SAND[6], SAND[4], SAND[2]), LINE, 1.2, 8)
    s.box(160, 156, 18, 6, GRAPH[3], LINE, 1, 2)
    # tank with its saddle bands and the level strip
    tank = "M 206 150 C 206 112 226 102 262 102 L 404 102 C 442 102 456 114 456 150 L 456 182 C 456 222 440 232 404 232 L 258 232 C 222 232 206 222 206 182 Z"
    s.p(tank, s.lin(206, 232, 456, 102, SAND[6], (0.3, SAND[5]), (0.65, SAND[4]), SAND[2]), LINE, 1.5)
    s.p("M 216 182 C 216 214 228 222 258 222 L 400 222", None, "#ffffff", 2.0, 0.6)
    for x in (258, 402):
        s.box(x, 101, 9, 132, s.lin(x, 0, x + 9, 0, GRAPH[5], GRAPH[2]), LINE, 1.1, 1.5)
    s.box(330, 112, 7, 108, SAND[5], SAND[1], 0.9, 2)
    s.box(331.5, 112, 4, 62, mix(ICE[3], SAND[4], 0.3), None, r=1)
    for k in range(9):
        s.line([(339, 118 + 12 * k), (345 if k % 2 else 349, 118 + 12 * k)], SAND[0], 1.0, 0.8)
    s.poly([(306, 230), (310, 244), (364, 244), (368, 230)], s.lin(306, 0, 368, 0, *BODY), LINE, 1.3, 4)
    s.line([(314, 241), (358, 241)], PLUM[6], 0.9, 0.8)
    # valves and the chemical inducer hung from the frame
    for k in range(4):
        s.box(214 + 13 * k, 64, 10, 16, s.lin(214, 80, 214, 64, GRAPH[5], GRAPH[2]), LINE, 1.0, 2)
        s.c(219 + 13 * k, 61, 3.2, ICE[2] if k == 0 else STEEL[2], LINE, 0.8)
    s.tube("M 206 60 L 270 60", 3.6, (STEEL[0], STEEL[2], STEEL[4]))
    s.poly([(404, 76), (444, 76), (436, 46), (412, 46)], s.lin(404, 0, 444, 0, SAND[5], SAND[3], SAND[1]), LINE, 1.2, 4)
    s.poly([(402, 76), (446, 76), (442, 82), (406, 82)], GRAPH[3], LINE, 1, 2)
    # rear lift frame of the booms
    for x in (486, 504):
        bar(s, (x, 62), (x, 206), 4, 4, (PLUM[4], PLUM[2], PLUM[1]) if x == 504 else BODY, 1)
    bar(s, (484, 196), (508, 196), 4, 4, BODY, 1)
    bar(s, (484, 74), (508, 70), 4, 4, BODY, 1)
    bar(s, (460, 92), (486, 160), 3, 3, CAST, 1)
    bar(s, (472, 124), (486, 162), 1.5, 1.5, BRIGHT, 0.3)
    bar(s, (300, 88), (334, 84), 8, 8, CAST, 1)
    tyre(s, 330, 86, 86, 58, 30)
    lamp(s, 512, 86)
    s.mark(eye=(0, EYE_Y), ground=(0, 0), jack=(78, 55), wheel=(330, 86), wheel_ground=(330, 0), hose_root=root, level=(176, 98),
           underside=(280, 78), centre=(330, 170), boom=(496, 152), pump=(134, 80), drive=(34, 74), chain=(34, 52), end=(512, 90))
    s.save()
    b = part("drawn_sprayer_boom", -480, 20, -46, 46)
    for y, deep in ((26, 3.4), (-22, 3.4)):
        bar(b, (0, y), (-462, y * 0.62), deep, deep * 0.75, BODY, 1)
    for k in range(14):
        x0, x1 = -33 * k, -33 * (k + 1)
        e0, e1 = 1 - 0.38 * k / 14, 1 - 0.38 * (k + 1) / 14
        first = (x0, -22 * e0) if k % 2 else (x0, 26 * e0)
        last = (x1, 26 * e1) if k % 2 else (x1, -22 * e1)
        bar(b, first, last, 1.6, 1.6, (PLUM[4], PLUM[2], PLUM[1]), 0.3)
    b.tube("M -4 -31 L -460 -19", 3.0, (STEEL[0], STEEL[2], STEEL[4]))
    for k in range(13):  # nozzle bodies
        x = -14 - 36 * k
        y = -31 - 12 * (x + 4) / 456 - 8
        b.poly([(x - 3, y + 8), (x + 3, y + 8), (x + 2, y), (x - 2, y)], GRAPH[2], LINE, 0.8, 0.5)
        b.c(x, y - 1, 2.2, ICE[2], LINE, 0.7)
    for x in (0, -160, -320):
        bar(b, (x, -26 + abs(x) * 0.022), (x, 30 - abs(x) * 0.026), 3.4, 3.4, CAST, 1)
    b.pin(0, 26, 3.4)
    b.pin(0, -22, 3.4)
    b.mark(pivot=(0, 0))
    b.save()


def grain_cart() -> None:
    """Grain cart: sloping sides, rolled tarpaulin, unloading auger that folds forward at the corner."""
    s = side("grain_cart", -14, 540, 336)
    tongue(s, (150, 84), 11)
    jack_sleeve(s, 84, 55)
    root = hose_mast(s, 56, 52, 128, 3)
    shaft(s, (34, 76), (146, 92))
    bar(s, (138, 86), (448, 88), 9, 9, CAST, 2)
    # hopper
    hull = [(112, 312), (108, 258), (196, 112), (220, 98), (400, 98), (424, 112), (512, 258), (508, 312)]
    panel_box(s, hull, BODY, 7)
    s.poly([(112, 312), (108, 258), (512, 258), (508, 312)], s.lin(108, 0, 512, 0, PLUM[6], PLUM[4], PLUM[2]), LINE, 1.2, [7, 2, 2, 7])
    for k in range(1, 7):
        x = 112 + 57 * k
        xl = 208 + 29.5 * k
        s.line([(x, 308), (x, 260), (xl, 104)], PLUM[1], 2.0, 0.6)
        s.line([(x - 2, 308), (x - 2, 261), (xl - 2, 106)], PLUM[5], 0.9, 0.6)
    s.p("M 118 306 L 116 264", None, "#ffffff", 1.6, 0.4)
    s.line([(110, 262), (510, 262)], ICE[2], 2.8)
    s.tube("M 106 318 L 514 318", 9, (SAND[1], SAND[3], SAND[5]))
    for x in (160, 260, 360, 460):
        s.box(x, 312, 4, 12, GRAPH[3], LINE, 0.8, 0.5)
    # window and ladder
    s.poly([(142, 300), (176, 300), (176, 274), (142, 274)], s.lin(142, 300, 176, 274, ICE[4], ICE[2], GRAPH[3]), LINE, 1.2, 3)
    for x in (470, 488):
        s.line([(x - 12, 96), (x, 256)], LINE, 3.0)
        s.line([(x - 12, 96), (x, 256)], GRAPH[5], 1.4)
    for y in range(106, 256, 18):
        t = (y - 96) / 160
        s.line([(458 + 12 * t, y), (476 + 12 * t, y)], GRAPH[5], 2.0)
    # floor auger gearbox and the fixed lower tube of the unloading auger
    s.poly([(150, 118), (190, 126), (198, 88), (156, 84)], s.lin(150, 0, 198, 0, *CAST), LINE, 1.3, 5)
    s.tube("M 176 104 L 138 222", 17, (PLUM[1], PLUM[3], PLUM[5]))
    s.poly([(122, 218), (150, 227), (148, 235), (119, 227)], s.lin(119, 0, 150, 0, *BRIGHT), LINE, 1.1, 1)
    # axle, wheel, rear hitch, lamps
    bar(s, (318, 92), (346, 92), 10, 10, CAST, 2)
    tyre(s, 332, 90, 90, 50, 24)
    bar(s, (424, 90), (504, 82), 5, 5, CAST, 1)
    lamp(s, 506, 92)
    s.mark(eye=(0, EYE_Y), ground=(0, 0), jack=(84, 55), wheel=(332, 90), wheel_ground=(332, 0), hose_root=root, level=(140, 96),
           underside=(240, 78), centre=(330, 200), auger=(135, 230), gearbox=(176, 104), drive=(34, 76), chain=(34, 52), gate=(176, 96), end=(510, 100))
    s.save()
    a = part("grain_cart_auger", -26, 250, -30, 34)
    a.tube("M 2 0 L 216 12", 17, (PLUM[1], PLUM[3], PLUM[5]))
    a.poly([(208, 26), (238, 22), (244, -8), (226, -20), (212, -4)], a.lin(208, 0, 244, 0, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.2, 4)
    a.line([(216, 16), (234, 12)], GRAPH[6], 1.0, 0.8)
    bar(a, (12, -12), (70, -2), 2.6, 2.6, CAST, 1)
    a.poly([(-4, 10), (8, 11), (9, -10), (-3, -10)], a.lin(0, 10, 0, -10, *BRIGHT), LINE, 1.1, 1)
    a.pin(0, 0, 4.4)
    a.mark(pivot=(0, 0))
    a.save()


def tillage() -> None:
    """Mounted cultivator: three ranks of shanks, wings that fold up, rolling basket behind."""
    s = side("tillage_mounted", -14, 322, 210)
    for x in (70, 126, 182):
        tine(s, x + 6, 64, 0.55, 18)
    s.at(0, PIN_Y)
    headstock(s, bar_end=False)
    s.at(0, -PIN_Y)
    panel_box(s, [(22, 58), (220, 58), (220, 74), (22, 76)], BODY, 2)
    s.line([(28, 73), (216, 71.5)], PLUM[6], 1.0, 0.7)
    for x in (28, 108, 166, 204):
        toolbar_end(s, x, 57, 17)
    for x in (56, 116, 174):
        tine(s, x, 60, 0.0, 22)
    bar(s, (8, 122), (116, 80), 3.6, 3.6, BODY, 1)
    # rolling basket on its arm with spring
    bar(s, (212, 68), (272, 42), 4, 3.4, CAST, 1)
    bar(s, (216, 90), (264, 50), 1.8, 1.8, BRIGHT, 0.3)
    s.p("M 226 84 L 232 84 L 232 76 L 238 76 L 238 69 L 245 69 L 245 62 L 252 62", None, STEEL[1], 1.8)
    s.c(282, 27, 27, None, LINE, 3.4)
    s.c(282, 27, 27, None, STEEL[2], 1.8)
    for k in range(10):
        s.line([polar(282, 27, 26, 36 * k), polar(282, 27, 15, 36 * k + 24)], LINE, 3.2)
        s.line([polar(282, 27, 26, 36 * k), polar(282, 27, 15, 36 * k + 24)], STEEL[2], 1.7)
    s.c(282, 27, 6, s.lin(276, 33, 288, 21, *CAST), LINE, 1.0)
    # gauge wheel ahead of the frame
    bar(s, (44, 68), (40, 24), 3.4, 3.0, CAST, 1)
    press_wheel(s, 40, 21, 21, 7)
    s.tube("M 8 118 C 22 134 40 120 96 92", 2.2)
    s.tube("M 9 112 C 22 124 40 110 98 88", 2.2)
    s.poly([(3, 122), (14, 124), (16, 104), (7, 102)], s.lin(3, 0, 16, 0, STEEL[3], STEEL[1]), LINE, 1.0, 1.5)
    lamp(s, 224, 80)
    s.mark(lower_pin=(0, PIN_Y), top_pin=(0, PIN_Y + 68.5), ground=(0, 0), underside=(116, 57), level=(116, 74), jack=(86, 66),
           hose_root=(9.6, 112), centre=(140, 90), wing=(118, 76), wheel=(282, 27), wheel_ground=(282, 0), end=(300, 40))
    s.save()
    w = part("tillage_wing", -110, 140, -14, 146)
    lattice(w, 128)
    w.mark(pivot=(0, 0))
    w.save()


def spreader() -> None:
    """Mounted spreader: hopper in a frame, shutter, gearbox and spinning discs at the back."""
    s = side("spreader_mounted", -14, 190, 196)
    s.at(0, PIN_Y)
    headstock(s, bar_end=False)
    s.at(0, -PIN_Y)
    # frame: uprights, sill and the cradle of the hopper
    bar(s, (20, 54), (150, 46), 5, 5, BODY, 2)
    bar(s, (22, 52), (30, 150), 4.4, 4, BODY, 1)
    bar(s, (30, 140), (160, 136), 3.8, 3.8, BODY, 1)
    bar(s, (148, 48), (158, 138), 3.6, 3.6, (PLUM[4], PLUM[2], PLUM[1]), 1)
    shaft(s, (2, 68), (62, 62))
    s.poly([(60, 74), (82, 74), (92, 64), (90, 50), (62, 50)], s.lin(60, 74, 92, 50, *CAST), LINE, 1.2, 3)
    for x, y in ((66, 69), (66, 55), (84, 56)):
        s.bolt(x, y, 1.6)
    bar(s, (88, 58), (124, 54), 3, 3, CAST, 1)
    # hopper
    s.poly([(18, 182), (22, 150), (72, 84), (126, 84), (172, 148), (176, 182)],
           s.lin(18, 182, 176, 84, SAND[5], (0.3, SAND[4]), (0.7, SAND[3]), SAND[1]), LINE, 1.4, 6)
    s.p("M 28 176 L 30 152 L 74 94", None, "#ffffff", 1.5, 0.5)
    s.line([(24, 150), (172, 148)], SAND[1], 1.1, 0.7)
    s.line([(98, 180), (98, 88)], SAND[1], 1.0, 0.5)
    s.poly([(14, 182), (16, 190), (178, 190), (180, 182)], s.lin(14, 0, 180, 0, PLUM[6], PLUM[4], PLUM[2]), LINE, 1.3, 2)
    for k in range(5):
        s.line([(150, 156 + 5 * k), (156 if k % 2 else 160, 156 + 5 * k)], SAND[0], 1.0, 0.8)
    # agitator bearing, shutter with scale and lever, the disc with its vanes
    s.c(98, 102, 7, s.lin(92, 108, 104, 96, *BRIGHT), LINE, 1.0)
    s.poly([(76, 84), (124, 84), (120, 74), (80, 74)], s.lin(76, 0, 124, 0, *BRIGHT), LINE, 1.1, 1)
    bar(s, (112, 80), (132, 112), 1.8, 1.8, BRIGHT, 0.4)
    s.c(133, 114, 4, ICE[2], LINE, 1.0)
    s.box(120, 42, 8, 22, s.lin(120, 0, 128, 0, *BRIGHT), LINE, 1.0, 1)
    s.e(126, 66, 46, 6, s.lin(80, 70, 172, 60, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.2)
    s.e(126, 68, 42, 4, s.lin(84, 72, 168, 64, STEEL[3], STEEL[1]), None)
    for x0, x1 in ((92, 114), (138, 164)):
        s.poly([(x0, 68), (x1, 68), (x1, 76), (x0 + 2, 74)], s.lin(x0, 0, x1, 0, STEEL[5], STEEL[1]), LINE, 1.0, 0.6)
    s.c(126, 71, 6, s.lin(120, 76, 132, 66, *CAST), LINE, 1.0)
    # guard hoop, feet with castors
    s.p("M 152 54 C 178 54 184 62 184 84", None, LINE, 4.6)
    s.p("M 152 54 C 178 54 184 62 184 84", None, GRAPH[5], 2.8)
    s.tube("M 8 118 C 18 130 26 128 34 116", 2.2)
    s.poly([(3, 122), (14, 124), (16, 104), (7, 102)], s.lin(3, 0, 16, 0, STEEL[3], STEEL[1]), LINE, 1.0, 1.5)
    lamp(s, 166, 96)
    s.mark(lower_pin=(0, PIN_Y), top_pin=(0, PIN_Y + 68.5), ground=(0, 0), underside=(60, 48), level=(60, 141), jack=(30, 62), jack_2=(146, 62),
           hose_root=(9.6, 112), centre=(100, 120), wheel=(146, 10), wheel_ground=(146, 0), gate=(98, 79), disc=(126, 70), end=(182, 80))
    s.save()


def general() -> None:
    """Decent stand-ins for a machine whose file names no look: a box on two wheels, and a tool in a frame."""
    s = side("general_drawn", -14, 420, 196)
    tongue(s, (140, 70), 9)
    jack_sleeve(s, 78, 55)
    root = hose_mast(s, 54, 51, 124, 3)
    panel_box(s, [(128, 62), (392, 62), (396, 78), (128, 80)], CAST, 3)
    panel_box(s, [(140, 80), (386, 80), (392, 168), (372, 182), (156, 182), (136, 166)], BODY, 8)
    s.line([(146, 166), (384, 166)], PLUM[6], 1.2, 0.7)
    s.line([(140, 122), (389, 122)], ICE[2], 2.6)
    for x in (200, 264, 328):
        s.line([(x, 164), (x, 84)], PLUM[1], 1.4, 0.7)
        s.line([(x - 1.6, 164), (x - 1.6, 84)], PLUM[4], 0.8, 0.7)
    s.poly([(214, 158), (252, 158), (252, 136), (214, 136)], s.lin(214, 158, 252, 136, GRAPH[3], GRAPH[1]), PLUM[1], 1.1, 3)
    tyre(s, 276, 50, 50, 28)
    lamp(s, 396, 88)
    s.mark(eye=(0, EYE_Y), ground=(0, 0), jack=(78, 55), wheel=(276, 50), wheel_ground=(276, 0), hose_root=root, level=(150, 82),
           underside=(170, 62), centre=(260, 120), gate=(386, 172), drive=(34, 74), chain=(34, 52), end=(392, 90), fan=(164, 124))
    s.save()
    s = side("general_mounted", -14, 250, 150)
    for x in (88, 158):
        tine(s, x + 6, 64, 0.5, 20)
    s.at(0, PIN_Y)
    headstock(s, bar_end=False)
    s.at(0, -PIN_Y)
    panel_box(s, [(22, 58), (230, 58), (230, 74), (22, 76)], BODY, 2)
    s.line([(28, 73), (226, 71.5)], PLUM[6], 1.0, 0.7)
    for x in (28, 104, 178):
        toolbar_end(s, x, 57, 17)
    for x in (76, 146):
        tine(s, x, 60, 0.0, 24)
    bar(s, (8, 122), (112, 78), 3.6, 3.6, BODY, 1)
    bar(s, (206, 62), (206, 24), 3.4, 3.0, CAST, 1)
    press_wheel(s, 206, 22, 22, 7)
    s.tube("M 8 118 C 22 134 40 120 96 92", 2.2)
    s.poly([(3, 122), (14, 124), (16, 104), (7, 102)], s.lin(3, 0, 16, 0, STEEL[3], STEEL[1]), LINE, 1.0, 1.5)
    s.mark(lower_pin=(0, PIN_Y), top_pin=(0, PIN_Y + 68.5), ground=(0, 0), underside=(112, 57), level=(112, 74), jack=(60, 66),
           hose_root=(9.6, 112), centre=(120, 84), wheel=(206, 22), wheel_ground=(206, 0), end=(228, 60), wing=(140, 74), gate=(200, 76),
           marker_pivot=(112, 76), fan=(70, 92))
    s.save()


def jacks() -> None:
    """Tongue jack about its sleeve pin: outer tube with crank, and the inner tube with its foot."""
    for name, scale in (("jack", YARD), ("hitch_jack", 3.0)):
        box = (-22.0, 22.0, -22.0, 70.0)
        s = Sheet(name, (box[1] - box[0]) * scale, (box[3] - box[2]) * scale, scale, -box[0] * scale, box[3] * scale, True)
        s.box(-4.6, -20, 9.2, 72, s.lin(-4.6, 0, 4.6, 0, GRAPH[6], GRAPH[4], GRAPH[2]), LINE, 1.3, 1)
        s.line([(-2.6, -18), (-2.6, 50)], GRAPH[6], 1.2, 0.8)
        s.poly([(-6, 52), (6, 52), (4.6, 60), (-4.6, 60)], s.lin(-6, 0, 6, 0, *BODY), LINE, 1.2, 1.5)
        s.poly([(-7, 8), (7, 8), (7, -8), (-7, -8)], s.lin(-7, 0, 7, 0, *BODY), LINE, 1.2, 1.5)
        s.pin(0, 0, 3.0)
        s.p("M 0 0 C 7 2 8 -6 5 -9", None, ICE[2], 1.4 if scale < 2 else 3)
        s.mark(sleeve=(0, 0), gear=(0, 56))
        s.save()
        box = (-16.0, 16.0, -78.0, 4.0)
        s = Sheet(f"{name}_foot", (box[1] - box[0]) * scale, (box[3] - box[2]) * scale, scale, -box[0] * scale, box[3] * scale, True)
        s.box(-3.2, -70, 6.4, 72, s.lin(-3.2, 0, 3.2, 0, *BRIGHT), LINE, 1.2, 0.5)
        s.line([(-1.8, -68), (-1.8, 0)], STEEL[5], 1.1, 0.8)
        s.poly([(-3, -62), (-9, -71), (9, -71), (3, -62)], STEEL[1], LINE, 1, 0.3)
        s.poly([(-13, -71), (13, -71), (15, -74), (-15, -74)], s.lin(-15, 0, 15, 0, STEEL[4], STEEL[1], GRAPH[3]), LINE, 1.2, 0.5)
        s.mark(top=(0, 0), foot=(0, -74))
        s.save()
        half = 24.0
        s = Sheet(f"{name}_crank", 2 * half * scale, 2 * half * scale, scale, half * scale, half * scale, True)
        bar(s, (0, 0), (17, 0), 1.5, 1.3, BRIGHT, 0.4)
        s.box(14.5, -1.8, 8, 3.6, s.lin(0, 2, 0, -2, ICE[3], ICE[2], ICE[0]), LINE, 1.0, 1.5)
        s.c(0, 0, 2.6, s.lin(-2, 2, 2, -2, *BRIGHT), LINE, 1.0)
        s.mark(axle=(0, 0), grip=(18, 0))
        s.save()


def draw() -> None:
    """All files of this part."""
    drawn_planter()
    air_seeder()
    baler()
    mower()
    sprayer()
    grain_cart()
    tillage()
    spreader()
    general()
    jacks()


if __name__ == "__main__":
    draw()
