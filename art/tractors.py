"""The other four tractors from the side: small utility, flow-sharing row-crop, large on duals, and an old one.

Drawing unit: cm, x rearward of the rear axle, y up from the ground. Wheels are files of their own.
"""

from __future__ import annotations

from dataclasses import dataclass

from kit import GRAPH, ICE, LINE, PLUM, SAND, STEEL, Point, Sheet, mix, polar, rounded
from tractor import wheel, wheel_light

YARD = 0.9  # px per cm


@dataclass(frozen=True)
class Build:
    """The measures of a tractor's side view, in cm."""

    name: str
    rear_r: float
    rear_rim: float
    front_r: float
    front_rim: float
    base: float
    lugs: tuple[int, int]
    high: float
    """Highest point."""
    nose: float
    """How far the nose lies ahead of the rear axle."""
    lower_pivot: Point = (5.0, 55.0)
    top_pivot: Point = (30.0, 110.0)


SMALL = Build("tractor_utility", 71, 42, 50, 29, 205, (19, 17), 250, 276, (2.0, 48.0), (24.0, 92.0))
FLOW = Build("tractor_flow", 100, 60, 78, 46, 292, (23, 21), 330, 404)
LARGE = Build("tractor_large", 108, 64, 88, 52, 310, (25, 22), 352, 446)
OLD = Build("tractor_old", 91, 53, 47, 27, 252, (21, 16), 292, 348)


def wheels(build: Build, dual: bool = False, plain: bool = False) -> None:
    """Both wheels of a tractor and the light that stays still while they turn."""
    sizes = (("rear", build.rear_r, build.rear_rim, build.lugs[0]), ("front", build.front_r, build.front_rim, build.lugs[1]))
    for which, r, rim, lugs in sizes:
        half = r * YARD + 3
        name = f"{build.name.replace('tractor', 'wheel')}_{which}"
        s = Sheet(name, 2 * half, 2 * half, YARD, half, half, True)
        if plain and which == "front":
            ribbed(s, r, rim)
        else:
            wheel(s, 0, 0, r, rim, lugs, which == "front")
        if dual:  # the outer wheel's disc is dished inwards, its hub far back
            s.c(0, 0, rim * 0.62, s.rad(0, 0, rim * 0.62, (0, GRAPH[1]), (0.8, GRAPH[1]), (1, SAND[1])), LINE, 1.0)
            s.c(0, 0, rim * 0.34, s.rad(0, 0, rim * 0.34, (0, STEEL[3]), (0.7, STEEL[1]), (1, GRAPH[2])), LINE, 0.9)
            for k in range(10):
                s.c(*polar(0, 0, rim * 0.5, 36 * k), rim * 0.035, STEEL[3], LINE, 0.6)
            s.c(0, 0, rim * 0.16, STEEL[4], LINE, 0.7)
        s.mark(axle=(0, 0), ground=(0, -r))
        s.save()
        wheel_light(name, half, r, rim)


def ribbed(s: Sheet, r: float, rim: float) -> None:
    """A steered wheel of a two-wheel drive: rings round the tread, no lugs."""
    s.c(0, 0, r, s.rad(0, 0, r, (0, GRAPH[1]), (0.66, GRAPH[2]), (0.84, GRAPH[3]), (0.93, GRAPH[2]), (1, GRAPH[0])), LINE, 1.2)
    for share, tone, op in ((0.96, GRAPH[4], 0.6), (0.9, GRAPH[0], 0.8), (0.74, GRAPH[4], 0.5)):
        s.c(0, 0, r * share, None, tone, 0.8, op)
    for k in range(28):
        s.line([polar(0, 0, r * 0.995, 360 / 28 * k), polar(0, 0, r * 0.94, 360 / 28 * k + 2)], GRAPH[0], 0.9, 0.9)
    s.c(0, 0, rim, s.rad(0, 0, rim, (0, SAND[2]), (0.8, SAND[3]), (0.93, SAND[5]), (1, SAND[2])), LINE, 1.0)
    s.c(0, 0, rim * 0.82, s.rad(0, 0, rim, (0.3, SAND[4]), (0.7, SAND[2]), (0.82, SAND[1])), SAND[0], 0.8)
    for k in range(6):
        s.c(*polar(0, 0, rim * 0.56, 60 * k + 30), rim * 0.07, STEEL[2], LINE, 0.6)
    s.c(0, 0, rim * 0.34, s.rad(0, 0, rim * 0.34, (0, GRAPH[5]), (1, GRAPH[2])), LINE, 0.9)
    s.c(0, 0, rim * 0.14, STEEL[2], LINE, 0.6)


def begin(build: Build) -> Sheet:
    """The sheet with the far wheels and the frame that carries everything."""
    left, right = build.nose + 12, build.rear_r + 22
    s = Sheet(build.name, (left + right) * YARD, (build.high + 6) * YARD, YARD, left * YARD, build.high * YARD, True)
    s.c(6, build.rear_r - 2, build.rear_r - 5, GRAPH[0])
    s.c(-build.base + 5, build.front_r - 1, build.front_r - 4, GRAPH[0])
    return s


def finish(s: Sheet, build: Build, **spots: Point) -> None:
    """Name the points every tractor has, and save."""
    usual: dict[str, Point] = {
        "rear_axle_ground": (0, 0), "rear_axle": (0, build.rear_r), "front_axle": (-build.base, build.front_r),
        "lower_pivot": build.lower_pivot, "top_pivot": build.top_pivot, "pto_stub": (build.rear_r * 0.58, 72),
        "hose_root": (62, 126), "drawbar_root": (0, 46), "ballast_hook": (-build.nose + 2, 92),
    }
    s.mark(**{**usual, **spots})
    s.save()


def chassis(s: Sheet, build: Build, low: float, top: float, tank: tuple[float, float] | None) -> None:
    """Transmission, engine and front axle carrier; between the axles the tank with its steps."""
    b, r, f = build.base, build.rear_r, build.front_r
    s.poly([(-b * 0.5, low + 4), (-b * 0.2, low), (r * 0.5, low + 4), (r * 0.58, r * 1.12), (r * 0.4, top), (-b * 0.5, top)],
           s.lin(0, top, 0, low, GRAPH[4], GRAPH[2], GRAPH[0]), LINE, 1.2, 5)
    s.poly([(-b * 0.9, low + 6), (-b * 0.5, low + 2), (-b * 0.48, top), (-b * 0.92, top)],
           s.lin(0, top, 0, low, GRAPH[3], GRAPH[2], GRAPH[0]), LINE, 1.2, 3)
    nose = -build.nose + 2
    s.poly([(nose, f * 1.14), (nose + 12, f * 1.02), (-b * 0.86, f * 0.92), (-b * 0.62, low + 10), (-b * 0.62, f * 1.34),
            (-b * 0.86, f * 1.4), (nose + 16, f * 1.48), (nose, f * 1.42)],
           s.lin(nose, f * 1.5, -b * 0.6, f * 0.9, GRAPH[5], GRAPH[3], GRAPH[2]), LINE, 1.2, 4)
    s.poly([(-b - 20, f * 0.78), (-b + 20, f * 0.78), (-b + 26, f * 1.28), (-b - 26, f * 1.28)],
           s.lin(0, f * 1.3, 0, f * 0.8, GRAPH[4], GRAPH[1]), LINE, 1, 3)
    for k, x in enumerate((nose + 26, nose + 42, -b * 0.82, -b * 0.76)):
        s.bolt(x, f * 1.22 + (k > 1) * 2, 2.2)
    for k in range(3):  # engine ribs and a pulley below the bonnet
        x = -b * 0.84 + k * 14
        s.box(x, top - 30, 9, 24, s.lin(x, 0, x + 9, 0, STEEL[1], GRAPH[3], GRAPH[1]), LINE, 0.7, 2)
    s.c(-b * 0.66, top - 26, 9, s.lin(-b * 0.69, top - 18, -b * 0.63, top - 34, GRAPH[5], GRAPH[2]), LINE, 0.9)
    s.c(-b * 0.66, top - 26, 3.4, GRAPH[1], GRAPH[5], 0.6)
    s.tube(f"M {-b * 0.86} {top - 40} C {-b * 0.8} {top - 48} {-b * 0.74} {top - 42} {-b * 0.62} {top - 44}", 3.0)
    if tank is None:
        return
    x0, x1 = tank
    s.poly([(x0, top - 20), (x0 + 4, low), (x0 + 13, low - 10), (x1 - 18, low - 14), (x1 + 4, low - 10), (x1 + 8, top - 14),
            (x1 - 40, top - 8), (x0 + 10, top - 10)],
           s.lin(x0, top, x1, low - 14, GRAPH[4], GRAPH[2], GRAPH[1]), LINE, 1.3, 7)
    s.p(f"M {x0 + 8} {top - 20} C {x0 + 14} {top - 16} {x0 + 34} {top - 14} {x0 + 50} {top - 14}", None, GRAPH[5], 1.1, 0.8)
    s.c(x0 + 24, top - 26, 6, s.lin(x0 + 18, top - 20, x0 + 30, top - 32, GRAPH[4], GRAPH[1]), LINE, 0.9)
    s.c(x0 + 24, top - 26, 3, GRAPH[2], GRAPH[5], 0.6)


def steps(s: Sheet, x: float, top: float, low: float, count: int, rail: bool = True) -> None:
    """A ladder of treads with its hand rail."""
    s.poly([(x + 2, top + 6), (x + 46, top + 6), (x + 48, low), (x + 6, low)], GRAPH[0], LINE, 1, 4)
    for k in range(count):
        y = top - k * (top - low) / max(1, count - 1)
        s.poly([(x + k * 1.4, y), (x + 50, y), (x + 52, y - 5), (x + 2 + k * 1.4, y - 5)],
               s.lin(x, 0, x + 52, 0, GRAPH[6], GRAPH[4], GRAPH[3]), LINE, 0.9, 1.5)
    if rail:
        d = f"M {x - 4} {top + 8} C {x - 8} {top + 36} {x - 6} {top + 54} {x + 2} {top + 70}"
        s.p(d, None, LINE, 3.6)
        s.p(d, None, GRAPH[5], 2.0)


def fender(s: Sheet, build: Build, a0: float, a1: float, thick: float, cheek: list[Point] | None = None) -> None:
    """Rear mudguard: its cheek, the rolled flange round the wheel and the light along it."""
    y, inner = build.rear_r, build.rear_r + 4
    outer = inner + thick
    x0, y0 = polar(0, y, inner, a1)
    x1, y1 = polar(0, y, inner, a0)
    if cheek:
        points = " L ".join(f"{a} {b}" for a, b in cheek)
        s.p(f"M {points} L {x1} {y1} A {inner} {inner} 0 0 1 {x0} {y0} Z",
            s.lin(-inner, y + inner, inner, y, PLUM[3], PLUM[2], PLUM[1]), LINE, 1.2)
    xo0, yo0 = polar(0, y, outer, a1 + 1)
    xo1, yo1 = polar(0, y, outer, a0 - 1)
    s.p(f"M {xo0} {yo0} A {outer} {outer} 0 0 0 {xo1} {yo1} L {x1} {y1} A {inner} {inner} 0 0 1 {x0} {y0} Z",
        s.lin(-inner, y + 70, inner, y + 70, PLUM[5], (0.3, PLUM[4]), (0.62, PLUM[3]), PLUM[1]), LINE, 1.3)
    h0, h1 = polar(0, y, outer - 2.4, a1 - 6), polar(0, y, outer - 2.4, a0 + 34)
    s.p(f"M {h0[0]} {h0[1]} A {outer - 2.4} {outer - 2.4} 0 0 0 {h1[0]} {h1[1]}", None, PLUM[6], 1.2, 0.75)


def tail_lamp(s: Sheet, x: float, y: float) -> None:
    """The lamp on the rear edge of a mudguard."""
    s.box(x, y, 9, 15, s.lin(x, 0, x + 9, 0, GRAPH[3], GRAPH[1]), LINE, 1, 2)
    s.line([(x + 8, y + 3), (x + 8, y + 12)], "#b5686c", 2.0)


def front_guard(s: Sheet, build: Build, a0: float = 18.0, a1: float = 104.0) -> None:
    """Mudguard over the front wheel with its stay."""
    x, y, inner, outer = -build.base, build.front_r, build.front_r + 7, build.front_r + 12
    p = [polar(x, y, r, a) for r, a in ((inner, a1), (inner, a0), (outer, a0 - 1), (outer, a1 + 2))]
    s.p(f"M {p[0][0]} {p[0][1]} A {inner} {inner} 0 0 0 {p[1][0]} {p[1][1]} L {p[2][0]} {p[2][1]} "
        f"A {outer} {outer} 0 0 1 {p[3][0]} {p[3][1]} Z",
        s.lin(x - 30, y + outer, x + outer, y, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.1)


def slats(s: Sheet, corners: list[Point], count: int) -> None:
    """A dark field of louvres: corners top left, top right, bottom right, bottom left."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = corners
    s.poly(corners, s.lin(0, ay, 0, dy, GRAPH[1], GRAPH[2]), PLUM[1], 1.1, 4)
    for k in range(1, count):
        t = k / count
        s.line([(ax + (dx - ax) * t + 3, ay + (dy - ay) * t), (bx + (cx - bx) * t - 3, by + (cy - by) * t)], GRAPH[4], 1.0, 0.9)


def seat(s: Sheet, x: float, y: float, size: float = 1.0) -> None:
    """Operator's seat with its back to the right, foot at (x, y)."""
    def at(*pairs: float) -> str:
        spots = [f"{x + pairs[k] * size} {y + pairs[k + 1] * size}" for k in range(0, len(pairs), 2)]
        return " ".join(spots)

    s.p(f"M {at(0, 0)} L {at(-2, 28)} C {at(-3, 40, 8, 46, 20, 46)} L {at(26, 90)} C {at(27, 100, 36, 106, 44, 103)} "
        f"C {at(50, 100, 48, 86, 44, 72)} L {at(36, 26)} L {at(30, 0)} Z", GRAPH[0], GRAPH[4], 0.9)
    s.p(f"M {at(-4, 50)} C {at(2, 56, 20, 56, 30, 54)} L {at(32, 46)} C {at(20, 48, 4, 48, -4, 46)} Z", GRAPH[2], GRAPH[5], 0.7)


def column(s: Sheet, x: float, y: float, high: float) -> None:
    """Steering column and wheel, leaning back to the right."""
    d = f"M {x} {y} L {x + 7} {y + high * 0.55} L {x + 18} {y + high}"
    s.p(d, None, GRAPH[0], 5)
    s.p(d, None, GRAPH[3], 2.2)
    s.turn(-33, x + 19, y + high)
    s.e(x + 19, y + high, 17, 4.2, None, LINE, 4.2)
    s.e(x + 19, y + high, 17, 4.2, None, GRAPH[4], 2.2)
    s.pop()


def post(s: Sheet, points: list[Point], r: float = 8.0, wide: float = 4.4) -> None:
    """A cab pillar: contour, body, one bright edge."""
    d = rounded(points, r, False)
    s.p(d, None, LINE, wide + 2.2)
    s.p(d, None, GRAPH[3], wide)
    s.p(rounded([(x - 1.4, y) for x, y in points], r, False), None, GRAPH[5], 1.0)


def glasshouse(s: Sheet, glass: list[Point], r: float = 6.0) -> None:
    """The dark inside of a cab."""
    ys = [y for _, y in glass]
    xs = [x for x, _ in glass]
    s.poly(glass, s.lin(min(xs), max(ys), max(xs), min(ys), mix(ICE[1], GRAPH[3], 0.35), GRAPH[2]), LINE, 1.2, r)


def sheen(s: Sheet, glass: list[Point], bands: list[list[Point]], r: float = 6.0) -> None:
    """What the panes mirror."""
    xs = [x for x, _ in glass]
    for band, op in zip(bands, (0.30, 0.17, 0.13), strict=False):
        s.poly(band, "#e8f6f6", None, r=1.5, op=op)
    s.poly(glass, s.lin(min(xs), 0, max(xs), 0, (0, ICE[4], 0.30), (0.5, ICE[3], 0.10), (1, ICE[1], 0.18)), None, r=r)


def bonnet(s: Sheet, outline: str, low: str, crease: str, nose: float, back: float, top: str) -> None:
    """Sheet metal of the bonnet: body, top plane, shaded lower plane, crease."""
    s.p(outline, s.lin(nose, 150, back, 150, PLUM[5], (0.10, PLUM[4]), (0.3, PLUM[3]), (1, PLUM[2])), LINE, 1.4)
    s.p(top, s.lin(nose, 0, back, 0, PLUM[6], PLUM[5], PLUM[3]), None)
    s.p(crease, None, PLUM[1], 0.9, 0.7)
    s.p(low, PLUM[1], None, op=0.55)


def small() -> None:
    """Utility tractor with an open station: folding ROPS behind the seat."""
    b = SMALL
    wheels(b)
    s = begin(b)
    chassis(s, b, 40, 96, None)
    # platform, step and the side of the transmission
    s.poly([(-100, 76), (-8, 78), (0, 94), (-100, 92)], s.lin(-100, 92, 0, 76, GRAPH[5], GRAPH[3], GRAPH[2]), LINE, 1.2, 3)
    s.box(-92, 44, 30, 5, s.lin(-92, 49, -92, 44, GRAPH[6], GRAPH[3]), LINE, 1, 1.5)
    s.line([(-88, 48), (-86, 78)], LINE, 3.4)
    s.line([(-66, 48), (-66, 78)], LINE, 3.4)
    # the bonnet drops to the nose
    outline = ("M -96 166 L -118 167 C -180 165 -232 160 -252 152 C -266 146 -273 134 -274 118 C -275 104 -272 96 -266 90 "
               "L -96 92 Z")
    bonnet(s, outline, "M -273 108 C -250 112 -200 114 -96 114 L -96 92 L -266 90 Z",
           "M -262 143 C -230 150 -170 153 -96 154", -275, -96,
           "M -96 166 L -118 167 C -180 165 -232 160 -252 152 C -257 150 -260 147 -262 143 C -230 150 -170 153 -96 154 Z")
    slats(s, [(-238, 140), (-190, 144), (-186, 120), (-236, 118)], 5)
    slats(s, [(-182, 145), (-136, 147), (-134, 122), (-178, 121)], 5)
    s.p("M -273 112 C -250 116 -190 117.5 -96 117.5", None, ICE[2], 2.0)
    s.poly([(-272, 134), (-262, 140), (-262, 124), (-273, 120)], s.lin(-273, 0, -262, 0, ICE[5], STEEL[1]), LINE, 1, 2)
    s.poly([(-274, 116), (-264, 117), (-262, 94), (-268, 93)], s.lin(-274, 0, -262, 0, GRAPH[3], GRAPH[1]), LINE, 1, 1)
    # exhaust beside the bonnet, turned up ahead of the dashboard
    s.box(-140, 152, 11, 26, s.lin(-140, 0, -129, 0, STEEL[4], STEEL[2], GRAPH[2]), LINE, 1.1, 2)
    s.poly([(-138, 178), (-138, 222), (-143, 231), (-136, 233), (-131, 223), (-131, 178)],
           s.lin(-139, 0, -130, 0, STEEL[4], STEEL[2], GRAPH[2]), LINE, 1.0, 2)
    # dashboard, column, seat, levers
    s.poly([(-100, 168), (-84, 172), (-74, 160), (-80, 92), (-98, 92)], s.lin(-100, 0, -74, 0, GRAPH[4], GRAPH[2]), LINE, 1.2, 4)
    column(s, -82, 148, 34)
    seat(s, -50, 96, 0.9)
    s.line([(-14, 104), (-20, 132)], LINE, 3.4)
    s.c(-20.5, 134, 3.2, ICE[2], LINE, 0.9)
    s.line([(-24, 104), (-29, 126)], LINE, 3.2)
    s.c(-29.5, 128, 2.8, PLUM[3], LINE, 0.9)
    # roll-over frame: two posts with the hinge for folding, cross head
    for off, tone in ((-9, 2), (0, 4)):
        s.poly([(10 + off, 96), (20 + off, 96), (17 + off, 246), (9 + off, 246)],
               s.lin(9 + off, 0, 20 + off, 0, GRAPH[min(6, tone + 1)], GRAPH[tone - 1], GRAPH[1]), LINE, 1.2, 3)
        s.box(6.5 + off, 176, 14, 9, s.lin(6, 0, 20, 0, GRAPH[5], GRAPH[2]), LINE, 1.1, 1.5)
    s.pin(13.5, 180.5, 2.6)
    s.poly([(-2, 240), (18, 240), (17, 250), (0, 250)], s.lin(0, 250, 0, 240, GRAPH[5], GRAPH[2]), LINE, 1.1, 3)
    s.line([(16, 206), (22, 206)], ICE[3], 2.2)
    fender(s, b, 30, 140, 8, [(-58, 92), (-44, 138), (-10, 150), (34, 150)])
    tail_lamp(s, 58, 118)
    front_guard(s, b, 40, 100)
    finish(s, b, exhaust_tip=(-139, 232), cab_door=(-40, 150), seat=(-20, 150), steps_foot=(-78, 44), hose_root=(46, 104),
           pto_stub=(44, 60), ballast_hook=(-272, 84), drawbar_root=(0, 40))


def flow() -> None:
    """Row-crop tractor of a newer build: sloping bonnet, deep glass, curved cab posts."""
    b = FLOW
    wheels(b)
    s = begin(b)
    chassis(s, b, 58, 140, (-208, -92))
    steps(s, -142, 116, 42, 4)
    outline = ("M -128 232 C -200 232 -290 224 -340 208 C -374 197 -398 178 -403 152 C -405 140 -402 130 -394 124 L -360 122 "
               "C -336 124 -310 134 -284 136 L -128 136 Z")
    bonnet(s, outline, "M -402 142 C -370 148 -310 153 -128 154 L -128 136 L -284 136 C -310 134 -336 124 -360 122 L -394 124 Z",
           "M -388 186 C -340 196 -250 208 -128 210", -405, -128,
           "M -128 232 C -200 232 -290 224 -340 208 C -362 201 -379 193 -388 186 C -340 196 -250 208 -128 210 Z")
    slats(s, [(-346, 188), (-214, 202), (-196, 162), (-352, 156)], 7)
    s.poly([(-196, 203), (-150, 206), (-146, 178), (-184, 176)], s.lin(0, 206, 0, 176, GRAPH[1], GRAPH[3]), PLUM[1], 1.0, 4)
    s.p("M -401 147 C -350 154 -270 158 -128 158.5", None, ICE[2], 2.2)
    s.p("M -401 148 C -350 155 -270 159 -128 159.5", None, ICE[4], 0.7, 0.8)
    s.p("M -400 170 C -392 182 -380 188 -366 191 L -362 180 C -376 178 -388 170 -396 160 Z",
        s.lin(-400, 182, -362, 182, ICE[5], ICE[4], STEEL[1]), LINE, 1)
    s.p("M -403 154 L -380 158 L -376 130 L -395 126 C -401 132 -405 142 -403 154 Z", s.lin(-404, 0, -376, 0, GRAPH[3], GRAPH[1]), LINE, 1)
    for k in range(4):
        s.line([(-401 + k, 151 - k * 6), (-381 + k, 154 - k * 6)], GRAPH[5], 0.9)
    s.line([(-146, 230), (-144, 137)], PLUM[1], 1.0, 0.7)
    glass = [(-128, 232), (-108, 300), (34, 300), (56, 206), (30, 204), (-44, 204), (-52, 130), (-118, 128)]
    glasshouse(s, glass)
    seat(s, -42, 154, 1.0)
    column(s, -96, 136, 84)
    s.poly([(-66, 232), (-50, 240), (-44, 220), (-60, 214)], GRAPH[1], ICE[2], 0.9, 2)
    sheen(s, glass, [[(-124, 232), (-106, 297), (-74, 297), (-104, 232)], [(-60, 297), (-46, 297), (-84, 204), (-94, 198)],
                     [(6, 297), (22, 297), (-8, 208), (-26, 208)]])
    post(s, [(-110, 301), (-130, 232), (-120, 128)], 12)
    post(s, [(-44, 300), (-40, 206), (-52, 130)], 14)
    post(s, [(34, 300), (57, 205)], 0)
    s.line([(-62, 160), (-62, 178)], ICE[3], 2.4)
    fender(s, b, 28, 152, 12, [(-54, 130), (-44, 206), (56, 206)])
    tail_lamp(s, 92, 152)
    s.poly([(-146, 306), (-128, 319), (-40, 326), (44, 321), (70, 308), (72, 298), (50, 296), (-112, 296), (-142, 298)],
           s.lin(-146, 322, 72, 298, PLUM[6], (0.25, PLUM[5]), (0.7, PLUM[3]), PLUM[2]), LINE, 1.4, 9)
    s.p("M -142 304 C -100 302 40 302 71 304 L 70 298 L 50 296 L -112 296 L -142 298 Z", GRAPH[2], None, op=0.85)
    s.p("M -124 318 C -80 323 -10 323 36 319", None, "#ffffff", 1.0, 0.6)
    s.poly([(-148, 306), (-137, 308), (-135, 298), (-146, 297)], s.lin(-148, 0, -135, 0, ICE[5], STEEL[1]), LINE, 1, 2)
    s.poly([(-16, 323), (-12, 329), (4, 329), (8, 323)], GRAPH[2], LINE, 0.9, 3)
    # exhaust swept against the front pillar, mirror on a long arm
    s.poly([(-158, 228), (-158, 300), (-166, 313), (-157, 315), (-147, 301), (-147, 230)],
           s.lin(-160, 0, -147, 0, STEEL[4], STEEL[2], GRAPH[2]), LINE, 1.1, 3)
    for k in range(5):
        s.line([(-156, 238 + k * 8), (-150, 238 + k * 8)], GRAPH[1], 1.2, 0.8)
    s.p("M -126 268 L -142 272 L -142 258", None, GRAPH[1], 1.8)
    s.box(-146, 232, 8, 28, s.lin(-146, 0, -138, 0, GRAPH[5], GRAPH[2]), LINE, 1, 2)
    front_guard(s, b)
    finish(s, b, exhaust_tip=(-160, 313), cab_door=(-80, 170), seat=(-16, 200), steps_foot=(-116, 42))


def large() -> None:
    """High-horsepower row-crop tractor on duals: long bonnet, wide cooling screens."""
    b = LARGE
    wheels(b, dual=True)
    s = begin(b)
    for x, r, rim in ((0.0, b.rear_r, b.rear_rim), (-b.base, b.front_r, b.front_rim)):  # the inner wheels
        s.c(x + 9, r + 1, r * 0.985, s.rad(x + 9, r, r, (0, GRAPH[1]), (0.8, GRAPH[1]), (1, GRAPH[0])), LINE, 1.0)
        for k in range(25):
            a = 360 / 25 * k
            s.line([polar(x + 9, r + 1, r * 0.99, a), polar(x + 9, r + 1, r * 0.86, a - 5)], GRAPH[3], 2.2, 0.8)
        s.c(x + 9, r + 1, rim, GRAPH[2], LINE, 1.0)
    chassis(s, b, 62, 152, (-212, -92))
    steps(s, -146, 128, 40, 5)
    outline = ("M -132 250 C -220 252 -330 246 -392 232 C -424 224 -441 204 -444 172 C -445 152 -442 138 -434 130 L -396 128 "
               "C -370 130 -344 146 -316 148 L -132 148 Z")
    bonnet(s, outline, "M -444 156 C -400 164 -320 168 -132 168 L -132 148 L -316 148 C -344 146 -370 130 -396 128 L -434 130 Z",
           "M -432 208 C -380 218 -270 228 -132 229", -445, -132,
           "M -132 250 C -220 252 -330 246 -392 232 C -412 227 -425 219 -432 208 C -380 218 -270 228 -132 229 Z")
    slats(s, [(-400, 206), (-306, 218), (-298, 172), (-404, 166)], 8)
    slats(s, [(-294, 219), (-206, 224), (-202, 174), (-288, 173)], 8)
    s.poly([(-194, 225), (-146, 226), (-144, 196), (-188, 195)], s.lin(0, 226, 0, 195, GRAPH[1], GRAPH[3]), PLUM[1], 1.0, 4)
    s.p("M -443 162 C -400 169 -300 173 -132 173", None, ICE[2], 2.4)
    s.p("M -443 163 C -400 170 -300 174 -132 174", None, ICE[4], 0.8, 0.8)
    for y in (196, 182):
        s.poly([(-442, y), (-428, y + 6), (-416, y + 7), (-418, y - 3), (-444, y - 9)],
               s.lin(-444, 0, -416, 0, ICE[5], ICE[4], STEEL[1]), LINE, 1, 2)
    s.p("M -444 168 L -420 172 L -416 138 L -434 132 C -442 140 -446 154 -444 168 Z", s.lin(-445, 0, -416, 0, GRAPH[3], GRAPH[1]), LINE, 1)
    for k in range(5):
        s.line([(-443 + k, 164 - k * 6), (-421 + k, 168 - k * 6)], GRAPH[5], 0.9)
    s.line([(-150, 248), (-148, 150)], PLUM[1], 1.0, 0.7)
    glass = [(-132, 250), (-112, 322), (42, 322), (64, 220), (36, 218), (-44, 218), (-52, 142), (-122, 140)]
    glasshouse(s, glass)
    seat(s, -40, 164, 1.06)
    column(s, -98, 148, 90)
    s.poly([(-66, 248), (-48, 257), (-42, 236), (-60, 229)], GRAPH[1], ICE[2], 0.9, 2)
    sheen(s, glass, [[(-128, 250), (-110, 319), (-76, 319), (-106, 250)], [(-60, 319), (-44, 319), (-84, 218), (-96, 212)],
                     [(10, 319), (28, 319), (-4, 222), (-24, 222)]])
    post(s, [(-113, 323), (-134, 250), (-123, 140)], 12, 5)
    post(s, [(-44, 322), (-40, 220), (-52, 142)], 12, 5)
    post(s, [(42, 322), (65, 219)], 0, 5)
    s.line([(-62, 172), (-62, 192)], ICE[3], 2.4)
    fender(s, b, 30, 150, 12, [(-54, 142), (-44, 220), (62, 220)])
    tail_lamp(s, 100, 162)
    s.poly([(-152, 328), (-136, 341), (-40, 348), (54, 343), (80, 330), (82, 319), (58, 317), (-118, 317), (-148, 319)],
           s.lin(-152, 344, 82, 318, PLUM[6], (0.25, PLUM[5]), (0.7, PLUM[3]), PLUM[2]), LINE, 1.4, 9)
    s.p("M -148 326 C -100 324 44 324 81 326 L 80 319 L 58 317 L -118 317 L -148 319 Z", GRAPH[2], None, op=0.85)
    s.p("M -130 340 C -80 345 -10 345 46 341", None, "#ffffff", 1.0, 0.6)
    for x in (-154, -96, -60, 66):
        s.box(x, 317.5, 11, 7.5, s.lin(x, 0, x + 11, 0, ICE[5], STEEL[1]), LINE, 0.9, 2)
    s.poly([(-40, 346), (-36, 351), (-14, 351), (-10, 346)], GRAPH[2], LINE, 0.9, 3)
    # after-treatment can and stack ahead of the cab
    s.poly([(-176, 246), (-176, 292), (-170, 300), (-156, 300), (-150, 292), (-150, 246)],
           s.lin(-176, 0, -150, 0, STEEL[4], STEEL[2], GRAPH[2]), LINE, 1.1, 4)
    for k in range(5):
        s.line([(-172, 254 + k * 8), (-155, 254 + k * 8)], GRAPH[1], 1.2, 0.8)
    s.poly([(-168, 300), (-168, 326), (-176, 338), (-167, 341), (-157, 328), (-157, 300)],
           s.lin(-169, 0, -157, 0, STEEL[4], STEEL[2], GRAPH[2]), LINE, 1.1, 2)
    s.p("M -130 288 L -146 292 L -146 276", None, GRAPH[1], 1.8)
    s.box(-150, 248, 9, 30, s.lin(-150, 0, -141, 0, GRAPH[5], GRAPH[2]), LINE, 1, 2)
    finish(s, b, exhaust_tip=(-171, 339), cab_door=(-80, 180), seat=(-14, 212), steps_foot=(-120, 40), ballast_hook=(-444, 104),
           hose_root=(66, 134))


def old() -> None:
    """A tractor of an earlier day: square bonnet, stack in the middle, a box of a cab, steered wheels without drive."""
    b = OLD
    wheels(b, plain=True)
    s = begin(b)
    chassis(s, b, 56, 124, None)
    s.poly([(-338, 122), (-340, 84), (-322, 70), (-276, 62), (-200, 62), (-190, 122)],
           s.lin(0, 122, 0, 60, GRAPH[4], GRAPH[2], GRAPH[1]), LINE, 1.2, 4)  # front bolster
    s.poly([(-270, 64), (-234, 64), (-240, 40), (-264, 40)], s.lin(0, 64, 0, 40, GRAPH[5], GRAPH[2]), LINE, 1.1, 3)
    for x in (-326, -308, -220):
        s.bolt(x, 88, 2.2)
    s.tube("M -226 74 C -190 62 -150 64 -126 76", 3.0)
    # the radar that measures ground speed hangs below the belly
    s.poly([(-112, 58), (-88, 58), (-84, 46), (-104, 38), (-114, 44)], s.lin(-114, 58, -84, 38, SAND[5], SAND[2], SAND[1]), LINE, 1.1, 2)
    s.line([(-100, 58), (-100, 70)], LINE, 3.4)
    s.poly([(-104, 38), (-84, 46), (-84, 42), (-102, 35)], GRAPH[1], LINE, 0.8, 1)
    # battery box with a step
    s.box(-118, 72, 56, 34, s.lin(-118, 106, -62, 72, GRAPH[4], GRAPH[2], GRAPH[1]), LINE, 1.2, 3)
    s.box(-112, 48, 38, 5, s.lin(-112, 53, -112, 48, GRAPH[6], GRAPH[3]), LINE, 1, 1.5)
    for x in (-108, -80):
        s.line([(x, 52), (x, 74)], LINE, 3.2)
    outline = "M -110 204 L -330 200 L -343 194 L -346 120 L -336 112 L -262 116 L -110 118 Z"
    bonnet(s, outline, "M -346 136 L -110 140 L -110 118 L -262 116 L -336 112 L -346 120 Z",
           "M -343 192 L -110 193", -346, -110, "M -110 204 L -330 200 L -343 194 L -343 191 L -110 193 Z")
    s.p("M -346 150 L -110 153", None, ICE[2], 4.2)
    s.p("M -346 152 L -110 155", None, ICE[4], 0.9, 0.7)
    # side screens, nose with an upright grille and round lamps
    for x in (-318, -276, -234):
        slats(s, [(x, 186), (x + 36, 187), (x + 36, 161), (x, 160)], 6)
    s.poly([(-346, 194), (-334, 197), (-334, 116), (-346, 118)], s.lin(-346, 0, -334, 0, GRAPH[4], GRAPH[1]), LINE, 1.2, 2)
    for k in range(9):
        s.line([(-345, 186 - k * 7.4), (-335, 187 - k * 7.4)], GRAPH[5], 0.9)
    s.c(-341, 170, 8.5, s.lin(-349, 176, -333, 162, ICE[5], ICE[4], STEEL[2]), LINE, 1.2)
    s.line([(-186, 203), (-184, 120)], PLUM[1], 1.0, 0.7)
    for x, y in ((-170, 130), (-300, 130), (-130, 130)):
        s.c(x, y, 1.8, GRAPH[2], PLUM[4], 0.5)
    # stack with rain cap, and the air cleaner's bowl
    s.box(-216, 202, 15, 34, s.lin(-216, 0, -201, 0, STEEL[3], STEEL[1], GRAPH[2]), LINE, 1.1, 2)
    for k in range(4):
        s.line([(-213, 208 + k * 6), (-204, 208 + k * 6)], GRAPH[1], 1.1, 0.8)
    s.box(-213, 236, 9, 40, s.lin(-213, 0, -204, 0, STEEL[3], STEEL[1], GRAPH[2]), LINE, 1.0, 1)
    s.poly([(-214, 277), (-202, 284), (-200, 281), (-203, 276)], STEEL[2], LINE, 1.0, 0.5)
    s.box(-176, 202, 10, 22, s.lin(-176, 0, -166, 0, GRAPH[5], GRAPH[2]), LINE, 1.0, 2)
    s.poly([(-181, 224), (-161, 224), (-164, 234), (-178, 234)], s.lin(-181, 0, -161, 0, GRAPH[6], GRAPH[2]), LINE, 1.0, 3)
    # cab: upright panes between straight posts
    glass = [(-112, 206), (-104, 274), (34, 274), (40, 192), (-46, 192), (-50, 112), (-110, 112)]
    glasshouse(s, glass, 2)
    seat(s, -38, 134, 0.96)
    column(s, -88, 118, 74)
    sheen(s, glass, [[(-108, 206), (-101, 272), (-78, 272), (-88, 206)], [(-58, 272), (-48, 272), (-70, 192), (-78, 188)],
                     [(4, 272), (16, 272), (-2, 194), (-16, 194)]], 2)
    post(s, [(-104, 275), (-113, 206), (-111, 112)], 3, 5)
    post(s, [(-44, 275), (-46, 192), (-50, 112)], 3, 5)
    post(s, [(35, 275), (41, 192)], 0, 5)
    s.line([(-60, 140), (-60, 156)], ICE[3], 2.4)
    fender(s, b, 34, 148, 9, [(-52, 112), (-46, 193), (40, 193)])
    tail_lamp(s, 82, 144)
    s.poly([(-118, 274), (-114, 286), (44, 289), (52, 284), (52, 273)], s.lin(-118, 288, 52, 273, PLUM[6], (0.3, PLUM[4]), PLUM[2]), LINE, 1.4, 3)
    s.line([(-112, 284), (40, 286.6)], "#ffffff", 1.0, 0.55)
    s.c(-112, 268, 6, s.lin(-118, 272, -106, 264, ICE[5], ICE[4], STEEL[1]), LINE, 1.0)
    s.c(46, 266, 5, s.lin(40, 270, 52, 262, STEEL[3], STEEL[1]), LINE, 1.0)
    s.p("M -112 250 L -126 252", None, GRAPH[1], 1.8)
    s.box(-131, 236, 8, 22, s.lin(-131, 0, -123, 0, GRAPH[5], GRAPH[2]), LINE, 1, 1)
    s.poly([(-336, 96), (-300, 92), (-298, 110), (-338, 112)], s.lin(0, 112, 0, 92, GRAPH[5], GRAPH[2]), LINE, 1, 2)
    finish(s, b, exhaust_tip=(-206, 283), cab_door=(-78, 160), seat=(-16, 186), steps_foot=(-94, 48), ballast_hook=(-346, 88),
           hose_root=(54, 116))


def draw() -> None:
    """All files of this part."""
    small()
    flow()
    large()
    old()


if __name__ == "__main__":
    draw()
