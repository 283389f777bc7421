"""Backdrops out of doors: the yard, the hitch place and the first screen (px, 1280 by 720)."""

from __future__ import annotations

import math
import random

from kit import ICE, PLUM, SAND, STEEL, Point, Sheet, mix, spline

W, H = 1280, 720


def ridge(rng: random.Random, base: float, swing: float, step: float, left: float = -20) -> list[Point]:
    """Soft hill line across the sheet."""
    a, b, c = (rng.uniform(0, 6.28) for _ in range(3))
    points = []
    x = left
    while x <= W + 40:
        y = base - swing * (0.5 * math.sin(x / 330 + a) + 0.3 * math.sin(x / 170 + b) + 0.12 * math.sin(x / 61 + c))
        points.append((x, y))
        x += step
    return points


def band(s: Sheet, points: list[Point], floor: float, fill: str, op: float = 1.0) -> None:
    """Fill from a line down to `floor`."""
    s.p(spline(points) + f" L {points[-1][0]} {floor} L {points[0][0]} {floor} Z", fill, op=op)


def trees(s: Sheet, rng: random.Random, x0: float, x1: float, y: float, size: float, tone: str, light: str) -> None:
    """Row of broad trees, each a few lobes lit from the left."""
    x = x0
    while x < x1:
        r = size * rng.uniform(0.6, 1.15)
        lobes = [(x + rng.uniform(-0.7, 0.7) * r, y - r * rng.uniform(0.35, 1.25), r * rng.uniform(0.42, 0.66))
                 for _ in range(5)]
        for cx, cy, q in lobes:
            s.e(cx, cy, q, q * 0.86, tone)
        s.p(f"M {x - r} {y + 2} L {x - r * 0.9} {y - r * 0.7} L {x + r * 0.9} {y - r * 0.7} L {x + r} {y + 2} Z", tone)
        for cx, cy, q in sorted(lobes, key=lambda lobe: lobe[1])[:2]:
            s.e(cx - q * 0.2, cy - q * 0.16, q * 0.78, q * 0.66,
                s.rad(cx - q * 0.45, cy - q * 0.4, q * 0.8, (0, light, 0.6), (1, light, 0.0)))
        x += r * rng.uniform(0.9, 1.7)


def clouds(s: Sheet, rng: random.Random, spots: list[tuple[float, float, float]], tone: str) -> None:
    """Long flat morning clouds."""
    for x, y, w in spots:
        for _ in range(5):
            u, v = x + rng.uniform(-0.5, 0.5) * w, y + rng.uniform(-6, 6)
            rx = w * rng.uniform(0.25, 0.5)
            s.e(u, v, rx, rx * 0.055 + 2, s.rad(u, v, rx, (0, tone, 0.55), (1, tone, 0.0), squash=(rx * 0.055 + 2) / rx))


def sky(s: Sheet, horizon: float, top: str, middle: str, low: str) -> None:
    """Sky down to the horizon."""
    s.box(0, 0, W, horizon + 4, s.lin(0, 0, 0, horizon, top, (0.6, middle), low))


def shed(s: Sheet, x: float, ground: float, k: float) -> None:
    """Open-fronted machine shed, six posts, low mono-pitch roof; k scales it."""

    def at(u: float, v: float) -> Point:
        return x + u * k, ground - v * k

    roof_left, roof_right = at(-14, 150), at(402, 128)
    # dark inside with floor light falling in from the left
    s.poly([at(0, 140), at(390, 122), at(390, 0), at(0, 0)], s.lin(*at(0, 140), *at(0, 0), "#2b2730", "#4a434c", "#746a68"))
    s.poly([at(0, 0), at(0, 22), at(260, 10), at(390, 0)], "#b9a88e", None, op=0.28)
    # back wall sheets
    for u in range(10, 390, 13):
        s.line([at(u, 118), at(u, 34)], "#554d58", 1.0, 0.5)
    # shelves, drums, a parked wagon as dark shapes
    s.poly([at(16, 96), at(104, 92), at(104, 88), at(16, 92)], "#6a6066")
    s.poly([at(16, 64), at(104, 62), at(104, 58), at(16, 60)], "#6a6066")
    for u, v, w, h in ((22, 92, 14, 14), (40, 92, 20, 10), (66, 91, 10, 16), (80, 91, 18, 9), (26, 61, 22, 12),
                       (54, 61, 12, 18), (74, 61, 22, 10)):
        s.box(at(u, v + h)[0], at(u, v + h)[1], w * k, h * k, mix("#4a434c", SAND[2], (u % 7) / 10), "#332e37", 0.8, 1.5)
    for u in (20, 44, 68):
        a, b = at(u, 36)
        s.poly([at(u, 34), at(u + 20, 34), at(u + 20, 2), at(u, 2)], s.lin(a, b, a + 20 * k, b, "#5f7376", "#3c4c50", "#2c3236"),
               "#26232a", 1.0, 2)
        s.e(*at(u + 10, 34), 10 * k, 2.4 * k, "#71878a", "#26232a", 0.8)
    s.poly([at(158, 60), at(264, 60), at(272, 38), at(150, 38)], "#4d4352", "#2a2630", 1.2, 3)
    s.poly([at(164, 58), at(206, 58), at(202, 41), at(158, 41)], "#5f5364", None, r=2)
    for u in (176, 246):
        s.c(*at(u, 20), 20 * k, "#242227", "#151417", 1.2)
        s.c(*at(u, 20), 10 * k, "#6f6452", "#2c2822", 1.0)
    s.line([at(272, 40), at(312, 20)], "#2a2630", 3.2)
    s.poly([at(318, 54), at(372, 54), at(372, 0), at(318, 0)], "#5a5250", "#332e30", 1.0, 1)
    for v in (14, 28, 42):
        s.line([at(318, v), at(372, v)], "#3c3638", 1.2)
    # posts
    for u in (0, 96, 194, 290, 384):
        a, b = at(u, 140)
        top = 141 - u * 0.047
        s.poly([at(u - 3.4, top), at(u + 4.6, top), at(u + 4.6, 0), at(u - 3.4, 0)],
               s.lin(a - 4 * k, b, a + 5 * k, b, SAND[5], SAND[2], SAND[0]), "#2c2a2c", 1.0)
        s.poly([at(u - 6, 5), at(u + 7, 5), at(u + 8, 0), at(u - 7, 0)], "#9a948c", "#4a4648", 0.9)
        s.line([at(u + 1, top - 26), at(u + 20, top - 4)], "#2c2a2c", 3.4)
        s.line([at(u + 1, top - 26), at(u + 20, top - 4)], SAND[1], 2.0)
    # eaves beam and roof sheets
    s.poly([at(-8, 143), at(396, 124), at(396, 116), at(-8, 134)], s.lin(*at(0, 143), *at(0, 120), SAND[3], SAND[1]),
           "#2c2a2c", 1.0)
    s.poly([roof_left, at(30, 172), at(372, 152), roof_right, at(402, 122), at(-14, 143)],
           s.lin(*at(-14, 172), *at(402, 120), PLUM[6], PLUM[5], PLUM[3]), "#2c2a2c", 1.2)
    s.poly([roof_left, roof_right, at(402, 122), at(-14, 143)], PLUM[2], "#2c2a2c", 1.0)
    for i in range(1, 30):
        t = i / 30
        s.line([at(-14 + 416 * t, 150 - 22 * t), at(30 + 342 * t, 172 - 20 * t)], PLUM[3], 0.9, 0.6)


def concrete(s: Sheet, top: float, bottom: float, vanish: Point, joints: list[float], rows: list[float],
             light: str = "#cfc8bd", dark: str = "#a79f96") -> None:
    """Concrete slab filling the width, with cut joints running to a vanishing point."""
    s.box(0, top, W, bottom - top, s.lin(0, top, 0, bottom, light, mix(light, dark, 0.5), dark))
    vx, vy = vanish
    for x in joints:
        t = (top - vy) / (bottom - vy)
        xt = vx + (x - vx) * t
        s.line([(xt, top), (x, bottom)], "#7d756f", 1.1, 0.6)
        s.line([(xt + 1.3, top), (x + 1.6, bottom)], "#e9e4da", 0.8, 0.5)
    for y in rows:
        s.line([(0, y), (W, y)], "#7d756f", 1.1, 0.6)
        s.line([(0, y + 1.4), (W, y + 1.4)], "#e9e4da", 0.8, 0.5)


def specks(s: Sheet, rng: random.Random, count: int, y0: float, y1: float, tones: tuple[str, ...], big: float = 1.6) -> None:
    """Gravel: flat grains that grow towards the viewer."""
    for _ in range(count):
        t = rng.random() ** 0.7
        y = y0 + (y1 - y0) * t
        r = big * (0.35 + 0.65 * t) * rng.uniform(0.5, 1.1)
        s.e(rng.uniform(0, W), y, r * 1.5, r * 0.7, rng.choice(tones), op=rng.choice((0.35, 0.5, 0.7)))


def yard() -> None:
    """Machinery yard in the morning; machines stand on y = 560."""
    rng = random.Random(11)
    s = Sheet("yard_backdrop", W, H)
    sky(s, 352, "#a9bfc8", "#d3d9d6", "#f3e6d2")
    s.c(120, 296, 360, s.rad(120, 296, 360, (0, "#fff4dc", 0.85), (0.35, "#ffeccb", 0.4), (1, "#ffeccb", 0.0)))
    clouds(s, rng, [(330, 120, 300), (760, 88, 340), (1090, 150, 260), (560, 190, 240)], "#fbf7f0")
    band(s, ridge(rng, 318, 34, 40), 380, s.lin(0, 290, 0, 360, "#a9b1ba", "#c3c3c1"))
    band(s, ridge(rng, 334, 22, 30), 380, s.lin(0, 310, 0, 370, "#8f929b", "#b1aca8"))
    trees(s, rng, -10, 620, 352, 15, "#6c6d75", "#9a9690")
    trees(s, rng, 1060, 1300, 352, 18, "#64656e", "#94908c")
    band(s, [(-20, 350), (300, 346), (640, 349), (980, 345), (1300, 350)], 420, s.lin(0, 346, 0, 412, "#b7aa8e", "#a4967c"))
    for k in range(9):  # stubble rows
        y = 352 + k * k * 0.62
        s.line([(0, y), (W, y - 1)], "#8d7f68", 0.8, 0.35)
    # grain bins left of the shed
    for x, r, h in ((92, 34, 92), (168, 30, 80)):
        s.box(x - r, 396 - h, 2 * r, h, s.lin(x - r, 0, x + r, 0, STEEL[5], STEEL[3], STEEL[1]), "#4d5157", 1.0)
        for k in range(1, 8):
            s.line([(x - r, 396 - h * k / 8), (x + r, 396 - h * k / 8)], STEEL[1], 0.8, 0.6)
        s.poly([(x - r - 3, 396 - h), (x - 4, 396 - h - 26), (x + 4, 396 - h - 26), (x + r + 3, 396 - h)],
               s.lin(x - r, 0, x + r, 0, STEEL[4], STEEL[2], STEEL[0]), "#4d5157", 1.0)
        s.box(x - 4, 396 - h - 31, 8, 6, STEEL[2], "#4d5157", 0.8)
        s.line([(x + r * 0.55, 396), (x + r * 0.55, 396 - h)], "#4d5157", 1.6, 0.7)
    # the yard's ground: gravel, then slab, then gravel
    s.box(0, 394, W, 326, s.lin(0, 394, 0, 720, "#b8ab98", "#a99d8d", "#978c80"))
    specks(s, rng, 260, 400, 500, ("#8f8375", "#cbbfac", "#7f766d", "#d9cfbf"), 1.5)
    s.ground_shadow(900, 408, 420, 20, 0.5)
    shed(s, 640, 410, 1.12)
    s.poly([(640, 410), (1092, 410), (1190, 432), (700, 436)], "#4e4549", None, op=0.32)
    # fence and post left
    for x in range(-6, 236, 46):
        s.box(x, 392, 4, 30, SAND[1], "#4a4038", 0.7)
    for y in (398, 409):
        s.line([(-6, y), (236, y)], "#5f5446", 1.6)
    # slab
    top, bottom = 486, 640
    s.box(0, top - 5, W, 9, "#8a8074", op=0.6)
    concrete(s, top, bottom, (640, 250), [-640, -320, 0, 320, 640, 960, 1280, 1600, 1920], [516, 560.5], "#d2cbc0", "#b4aca2")
    s.poly([(0, 486), (420, 486), (260, 640), (0, 640)], "#fff3dd", None, op=0.12)
    for x, y, w in ((260, 540, 90), (760, 590, 120), (1010, 530, 70), (520, 612, 60), (90, 604, 70)):
        s.e(x, y, w, w * 0.13, s.rad(x, y, w, (0, "#6e655f", 0.28), (1, "#6e655f", 0.0), squash=0.13))
    # marked-out pad: painted corner lines with worn paint
    quad = [(330, 508), (950, 508), (1030, 622), (250, 622)]
    for (xa, ya), (xb, yb) in zip(quad, quad[1:] + quad[:1], strict=True):
        s.line([(xa, ya), (xb, yb)], "#eef0ec", 5.0 if ya != yb or ya > 600 else 3.4, 0.72)
        s.line([(xa, ya), (xb, yb)], ICE[2], 1.6, 0.45)
    for _ in range(26):
        t = rng.random()
        i = rng.randrange(4)
        (xa, ya), (xb, yb) = quad[i], quad[(i + 1) % 4]
        s.e(xa + (xb - xa) * t, ya + (yb - ya) * t, rng.uniform(4, 12), 1.3, "#c2bbb0", op=0.9)
    s.p("M 640 508 L 640 514 M 640 616 L 640 622", None, "#eef0ec", 3, 0.7)
    # tyre traces coming in from the left, faded
    for y0, y1 in ((536, 546), (584, 596)):
        s.poly([(0, y0), (300, y0 - 2), (330, y0 + 2), (300, y1 - 1), (0, y1)],
               s.lin(0, 0, 330, 0, (0, "#6e655f", 0.22), (1, "#6e655f", 0.0)), None)
        for k in range(26):
            x = k * 12 + (4 if y0 > 560 else 0)
            s.line([(x, y0 + 1), (x + 7, (y0 + y1) / 2), (x, y1 - 1)], "#5d554f", 2.2, 0.22 * (1 - k / 27))
    # near edge of the slab and the gravel in front
    s.box(0, 640, W, 6, s.lin(0, 640, 0, 646, "#8b837a", "#6f6861"))
    s.box(0, 646, W, 74, s.lin(0, 646, 0, 720, "#a1968a", "#8a8077"))
    specks(s, rng, 240, 650, 718, ("#7d746b", "#b9ad9d", "#6d655f", "#c9bfb0"), 2.6)
    s.save()


def hitch() -> None:
    """Between tractor and implement, from the side; ground line at y = 600."""
    rng = random.Random(23)
    s = Sheet("hitch_backdrop", W, H)
    sky(s, 400, "#bccbd0", "#dcdedb", "#f1e7d8")
    s.c(80, 330, 460, s.rad(80, 330, 460, (0, "#fff4dc", 0.8), (0.4, "#ffeccb", 0.35), (1, "#ffeccb", 0.0)))
    clouds(s, rng, [(420, 120, 340), (900, 170, 420)], "#fbf7f0")
    # soft, out of focus: hills
    band(s, ridge(rng, 372, 30, 60), 460, s.lin(0, 340, 0, 430, "#b9bdc2", "#cbc8c3"))
    band(s, ridge(rng, 392, 22, 60), 460, s.lin(0, 370, 0, 440, "#a9a9ad", "#beb9b2"))
    s.box(0, 440, W, 70, s.lin(0, 440, 0, 510, "#b9ae9d", "#aba092"))
    for _ in range(60):
        s.e(rng.uniform(0, W), rng.uniform(450, 506), rng.uniform(5, 16), rng.uniform(1, 2), rng.choice(("#9b8f81", "#cabfae")), op=0.3)
    concrete(s, 500, 720, (560, 120), [-900, -420, 60, 540, 1020, 1500, 1980, 2460], [540, 600.5], "#d0c9be", "#aca499")
    s.poly([(0, 500), (520, 500), (330, 720), (0, 720)], "#fff3dd", None, op=0.13)
    for x, y, w in ((520, 640, 130), (900, 566, 90), (240, 690, 150), (1080, 680, 110)):
        s.e(x, y, w, w * 0.12, s.rad(x, y, w, (0, "#6e655f", 0.26), (1, "#6e655f", 0.0), squash=0.12))
    for _ in range(120):
        s.e(rng.uniform(0, W), rng.uniform(505, 716), rng.uniform(0.7, 1.9), rng.uniform(0.5, 1.0), rng.choice(("#8b837b", "#e6e0d5")), op=0.45)
    for x, y in ((690, 655), (712, 671), (700, 663)):  # hairline crack
        s.p(f"M {x} {y} L {x + 14} {y + 6} L {x + 22} {y + 14}", None, "#827a73", 0.9, 0.5)
    s.ground_shadow(330, 604, 330, 16, 0.42)
    s.ground_shadow(760, 604, 260, 12, 0.25)
    s.save()


def draw() -> None:
    """All backdrops out of doors."""
    yard()
    hitch()


if __name__ == "__main__":
    draw()
