"""Couplers, plugs, sockets, shaft ends and the small things of the rear panel (px, y down)."""

from __future__ import annotations

import math

from kit import GRAPH, ICE, LINE, SAND, STEEL, Sheet, polar, spline

# kind: (outer sleeve radius on the panel, half width of the male nose in side view)
SIZES = {"poppet": (29.0, 10.0), "flush": (29.0, 11.0), "flush_small": (21.5, 7.5), "flush_large": (34.0, 14.0),
         "return": (33.0, 14.0)}
FACE, C = 76, 38.0
END_W, END_H, X = 60, 112, 30.0


def ring(s: Sheet, r: float, tones: tuple[str, ...], edge: str = LINE, sw: float = 1.1) -> None:
    """Turned ring about the middle of the face, lit from the upper left."""
    s.c(C, C, r, s.lin(C - r * 0.8, C - r * 0.7, C + r * 0.8, C + r * 0.7, *tones), edge, sw)


def glint(s: Sheet, r: float, a0: float, a1: float, sw: float = 1.4, op: float = 0.75) -> None:
    """Bright arc on a ring."""
    (x0, y0), (x1, y1) = polar(C, C, r, a0), polar(C, C, r, a1)
    s.p(f"M {x0} {y0} A {r} {r} 0 0 1 {x1} {y1}", None, "#ffffff", sw, op)


def knurl(s: Sheet, r0: float, r1: float, count: int) -> None:
    """Grip marks round a sleeve."""
    for k in range(count):
        a = 360 * k / count
        s.line([polar(C, C, r0, a), polar(C, C, r1, a)], STEEL[0], 0.9, 0.55)


def socket_face(s: Sheet, kind: str) -> None:
    """Female coupler seen on its face."""
    r = SIZES[kind][0]
    s.c(C + 1.5, C + 3, r + 1, "#0d0b10", op=0.4)
    if kind == "poppet":  # deep bore, ring of balls, a pointed poppet in the middle
        ring(s, r, (STEEL[5], STEEL[3], STEEL[0]))
        knurl(s, r - 4.5, r - 0.8, 40)
        glint(s, r - 2.4, 190, 262)
        ring(s, r * 0.80, (STEEL[1], STEEL[3], STEEL[4]))
        ring(s, r * 0.70, (GRAPH[0], GRAPH[2]), GRAPH[0])
        for k in range(8):
            x, y = polar(C, C, r * 0.63, 45 * k + 10)
            s.c(x, y, 2.5, s.rad(x - 0.8, y - 0.8, 3, STEEL[5], STEEL[2]), GRAPH[0], 0.6)
        ring(s, r * 0.50, (GRAPH[1], GRAPH[4]), GRAPH[0])
        ring(s, r * 0.36, (STEEL[5], STEEL[3], STEEL[0]))
        ring(s, r * 0.17, (STEEL[0], STEEL[2]), STEEL[1], 0.6)
        s.c(C - 2.2, C - 2.4, 1.5, "#ffffff", op=0.9)
    elif kind.startswith("flush"):  # flat face: three plain rings flush with each other
        ring(s, r, (STEEL[4], STEEL[2], STEEL[0]))
        ring(s, r * 0.90, (GRAPH[2], GRAPH[4]), GRAPH[0], 0.8)
        ring(s, r * 0.84, (STEEL[5], STEEL[3], STEEL[1]))
        glint(s, r * 0.95, 190, 262, 1.2)
        ring(s, r * 0.62, (ICE[0], ICE[1]), LINE, 0.8)  # seal ring
        ring(s, r * 0.56, (STEEL[5], STEEL[4], STEEL[2]))
        s.p(f"M {C - r * .4} {C + r * .32} L {C + r * .1} {C - r * .5} L {C + r * .34} {C - r * .42} L {C - r * .18} {C + r * .5} Z",
            "#ffffff", op=0.4)
        s.c(C, C, r * 0.30, None, STEEL[1], 0.8, 0.6)
        x, y = polar(C, C, r * 0.95, 90)
        s.c(x, y, 2.4, GRAPH[1], STEEL[4], 0.7)  # locking ball of the sleeve
    else:  # free return: wide bore with a three-legged guide, plain thick rim, no balls
        ring(s, r, (GRAPH[5], GRAPH[4], GRAPH[2]))
        for k in range(3):
            s.c(*polar(C, C, r * 0.9, 120 * k + 30), 2.2, STEEL[3], LINE, 0.6)
        ring(s, r * 0.80, (STEEL[5], STEEL[3], STEEL[0]))
        ring(s, r * 0.70, (GRAPH[0], GRAPH[1]), GRAPH[0])
        for k in range(3):
            a = 120 * k - 90
            s.line([(C, C), polar(C, C, r * 0.68, a)], LINE, 7)
            s.line([(C, C), polar(C, C, r * 0.67, a)], STEEL[2], 4.6)
            s.line([polar(C, C, 3, a - 20), polar(C, C, r * 0.65, a - 3)], STEEL[4], 1.2)
        ring(s, r * 0.22, (STEEL[5], STEEL[1]))
        glint(s, r * 0.92, 190, 262, 1.6, 0.5)


def cap_face(s: Sheet, r: float) -> None:
    """Rubber dust cap over a coupler, with its strap."""
    low = min(C + r * 1.25, FACE + 1.0)
    s.tube(f"M {C + r * 0.5} {C + r * 0.6} C {C + r * 0.95} {low - 6} {C + r * 0.6} {low} {C} {min(C + r * 1.02, low - 6)}", 3.4,
           (GRAPH[1], GRAPH[3], GRAPH[4]))
    s.c(C + 1.5, C + 3, r, "#0d0b10", op=0.4)
    for k in range(24):
        s.c(*polar(C, C, r * 0.95, 15 * k), r * 0.085, GRAPH[2], LINE, 0.8)
    ring(s, r * 0.95, (GRAPH[5], GRAPH[3], GRAPH[1]), GRAPH[1], 0.8)
    ring(s, r * 0.74, (GRAPH[2], GRAPH[3], GRAPH[4]), GRAPH[1], 1.0)
    ring(s, r * 0.66, (GRAPH[4], GRAPH[3], GRAPH[2]), GRAPH[2], 0.7)
    glint(s, r * 0.86, 190, 265, 1.6, 0.5)
    s.poly([(C - 5, C - r * 0.34), (C + 5, C - r * 0.34), (C + 7, C + r * 0.34), (C - 7, C + r * 0.34)],
           s.lin(C - 7, 0, C + 7, 0, ICE[3], ICE[2], ICE[1]), LINE, 1.0, 3)
    s.line([(C - 3, C - r * 0.2), (C + 3, C - r * 0.2)], ICE[4], 1.0)


def hose_end(s: Sheet, kind: str) -> None:
    """Male hose end in side view, nose up; hose leaves at the bottom middle."""
    nose = SIZES[kind][1]
    body = nose + 4.5
    k = nose / 11

    def turned(y0: float, y1: float, half: float, tones: tuple[str, ...] = (STEEL[5], STEEL[3], STEEL[0]), r: float = 1.0) -> None:
        s.box(X - half, y0, 2 * half, y1 - y0, s.lin(X - half, 0, X + half, 0, tones[0], (0.28, tones[0]), tones[1], tones[-1]), LINE, 1.1, r)

    top = 5.0
    if kind == "poppet":  # narrow nose, poppet tip standing out, ball groove
        s.poly([(X - 2.4, top), (X + 2.4, top), (X + 4.6, top + 8), (X - 4.6, top + 8)], s.lin(X - 4, 0, X + 4, 0, STEEL[5], STEEL[1]), LINE, 1, 1.5)
        s.poly([(X - nose + 2.5, top + 6), (X + nose - 2.5, top + 6), (X + nose, top + 11), (X + nose, top + 16), (X - nose, top + 16), (X - nose, top + 11)],
               s.lin(X - nose, 0, X + nose, 0, STEEL[5], STEEL[3], STEEL[0]), LINE, 1.1, 1.2)
        turned(top + 16, top + 21, nose - 2.6, (STEEL[2], STEEL[1], GRAPH[3]), 0)
        turned(top + 21, top + 33, nose)
    elif kind.startswith("flush"):  # plain wide nose, flat end with a thin seal line
        turned(top + 3, top + 16, nose)
        s.line([(X - nose + 1, top + 4.2), (X + nose - 1, top + 4.2)], STEEL[5], 1.2)
        s.line([(X - nose + 0.8, top + 8), (X + nose - 0.8, top + 8)], ICE[1], 1.7)
        turned(top + 16, top + 21, nose - 2.2 * k, (STEEL[2], STEEL[1], GRAPH[3]), 0)
        turned(top + 21, top + 33, nose)
    else:  # motor return: long nose with drilled holes and a check cone
        s.poly([(X - nose + 4, top), (X + nose - 4, top), (X + nose, top + 6), (X + nose, top + 33), (X - nose, top + 33), (X - nose, top + 6)],
               s.lin(X - nose, 0, X + nose, 0, STEEL[5], STEEL[3], STEEL[0]), LINE, 1.1, 1.5)
        for row, xs in ((top + 9, (-8, 0, 8)), (top + 15.5, (-4, 4)), (top + 22, (-8, 0, 8))):
            for u in xs:
                s.c(X + u, row, 2.3, GRAPH[0], STEEL[1], 0.8)
        s.line([(X - nose + 1, top + 28), (X + nose - 1, top + 28)], STEEL[0], 1.4)
    # body: collar, hexagon, tag band, crimped ferrule, hose
    collar = body + 2.5
    turned(top + 33, top + 46, collar, (STEEL[4], STEEL[2], STEEL[0]), 2.5)
    for i in range(-4, 5):
        u = collar * math.sin(i * 0.33)
        s.line([(X + u, top + 35), (X + u, top + 44)], STEEL[0], 0.9, 0.6)
    turned(top + 46, top + 59, body, (STEEL[5], STEEL[2], STEEL[0]), 1.5)
    for u in (-body * 0.45, body * 0.45):
        s.line([(X + u, top + 46.5), (X + u, top + 58.5)], STEEL[0], 1.0, 0.8)
    turned(top + 59, top + 74, nose + 1.5, (SAND[6], SAND[5], SAND[2]), 1.5)
    turned(top + 74, top + 94, nose + 0.5, (STEEL[4], STEEL[2], STEEL[0]), 1.5)
    for y in (top + 78, top + 82.5, top + 87, top + 91):
        s.line([(X - nose, y), (X + nose, y)], STEEL[0], 1.3, 0.75)
    turned(top + 94, END_H + 2, nose * 0.78, (GRAPH[4], GRAPH[3], GRAPH[0]), 0)


def plugged(s: Sheet, kind: str) -> None:
    """Hose end pushed home, seen from behind: collar, hexagon, ferrule, hose bending down."""
    r = SIZES[kind][0]
    nose = SIZES[kind][1]
    s.c(C + 2, C + 4, r, "#0d0b10", op=0.45)
    ring(s, r, (STEEL[4], STEEL[2], STEEL[0]))
    knurl(s, r - 4, r - 0.8, 36)
    glint(s, r - 2, 190, 262)
    ring(s, r * 0.80, (STEEL[2], STEEL[3], STEEL[4]))
    pts = [polar(C, C, r * 0.74, 60 * k + 20) for k in range(6)]
    s.poly(pts, s.lin(C - r * .7, C - r * .6, C + r * .7, C + r * .6, STEEL[5], STEEL[3], STEEL[1]), LINE, 1.1, 1.5)
    # ferrule and elbow towards the viewer, then down
    w = nose * 2
    s.tube(f"M {C} {C - 1} C {C} {C + 8} {C} {C + 18} {C} {FACE + 2}", w * 0.86, (GRAPH[1], GRAPH[3], GRAPH[4]), sw=1.3)
    s.c(C, C, nose * 1.12, s.lin(C - nose, C - nose, C + nose, C + nose, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.2)
    s.p(f"M {C - nose * 1.02} {C + 2} Q {C - nose} {C + nose * 1.5} {C - nose * .9} {C + nose * 2} L {C + nose * .9} {C + nose * 2} "
        f"Q {C + nose} {C + nose * 1.5} {C + nose * 1.02} {C + 2} Z", s.lin(C - nose, 0, C + nose, 0, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.1)
    for u in (1.45, 1.75):
        s.line([(C - nose * 0.9, C + nose * u), (C + nose * 0.9, C + nose * u)], STEEL[0], 1.1, 0.7)
    s.e(C - nose * 0.3, C - nose * 0.3, nose * 0.4, nose * 0.3, "#ffffff", op=0.4)


def pins(s: Sheet, names: tuple[tuple[float, float, float], ...], male: bool) -> None:
    """Contacts: (radius from the middle, degrees, contact radius)."""
    for dist, angle, r in names:
        x, y = polar(C, C, dist, angle)
        if male:
            s.c(x + 0.6, y + 0.9, r, "#0d0b10", op=0.6)
            s.c(x, y, r, s.lin(x - r, y - r, x + r, y + r, SAND[6], SAND[3], SAND[0]), LINE, 0.8)
            s.c(x - r * 0.3, y - r * 0.3, r * 0.3, "#ffffff", op=0.8)
        else:
            s.c(x, y, r + 1, GRAPH[4], GRAPH[0], 0.6)
            s.c(x, y, r * 0.8, "#060607", SAND[1], 0.7)


NINE = ((18.5, 205, 4.2), (18.5, 335, 4.2), (18.5, 155, 4.2), (18.5, 25, 4.2), (17, 270, 2.7), (5.5, 90, 2.7), (17, 90, 2.7),
        (8, 215, 2.7), (8, 325, 2.7))
SEVEN = ((0.0, 0, 3.6), *((14.5, 60 * k + 30, 3.4) for k in range(6)))


def round_plug(s: Sheet, kind: str, face: str) -> None:
    """Bus or lighting connector. face: male (cable plug), female (socket), back (plug from behind)."""
    bus = kind == "bus"
    r = 31.0 if bus else 27.0
    s.c(C + 1.5, C + 3, r, "#0d0b10", op=0.4)
    tones = (GRAPH[6], GRAPH[4], GRAPH[2]) if bus else (STEEL[5], STEEL[3], STEEL[0])
    if bus and face != "female":  # bayonet ears of the coupling ring
        for a in (-150, -30, 90):
            s.poly([polar(C, C, r + 3.6, a - 9), polar(C, C, r + 3.6, a + 9), polar(C, C, r - 2, a + 12), polar(C, C, r - 2, a - 12)],
                   GRAPH[4], LINE, 1, 1.5)
    ring(s, r, tones)
    if bus:
        knurl(s, r - 4.5, r - 0.6, 48)
    glint(s, r - 2, 190, 262, 1.5, 0.6)
    if face == "back":
        ring(s, r * 0.74, (GRAPH[4], GRAPH[2], GRAPH[1]))
        s.tube(f"M {C} {C} L {C} {FACE + 2}", 13 if bus else 11, (GRAPH[1], GRAPH[3], GRAPH[4]), sw=1.2)
        ring(s, r * 0.42, (GRAPH[5], GRAPH[3], GRAPH[1]))
        s.box(C - 9, C + 2, 18, 22, s.lin(C - 9, 0, C + 9, 0, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.0, 3)
        for y in (C + 8, C + 13, C + 18):
            s.line([(C - 8, y), (C + 8, y)], GRAPH[1], 1.2)
        return
    ring(s, r * 0.82, (GRAPH[1], GRAPH[2], GRAPH[3]), GRAPH[0])
    inner = r * (0.76 if face == "male" else 0.72)
    ring(s, inner, (GRAPH[3], GRAPH[2], GRAPH[2]) if face == "male" else (GRAPH[5], GRAPH[4], GRAPH[3]), GRAPH[0], 0.9)
    # key: notch on top for the bus, rib below for the lamps
    if bus:
        s.poly([(C - 4, C - r * 0.84), (C + 4, C - r * 0.84), (C + 3, C - r * 0.66), (C - 3, C - r * 0.66)], ICE[2], LINE, 0.9, 0.8)
    else:
        s.poly([(C - 3, C + r * 0.84), (C + 3, C + r * 0.84), (C + 3, C + r * 0.66), (C - 3, C + r * 0.66)], STEEL[3], LINE, 0.9, 0.8)
    pins(s, NINE if bus else SEVEN, face == "male")


def terminator(s: Sheet) -> None:
    """The terminator of the bus, pushed home and seen from behind: a bus connector closed by a cap, no cable."""
    r = 31.0
    s.c(C + 1.5, C + 3, r, "#0d0b10", op=0.4)
    for a in (-150, -30, 90):
        s.poly([polar(C, C, r + 3.6, a - 9), polar(C, C, r + 3.6, a + 9), polar(C, C, r - 2, a + 12), polar(C, C, r - 2, a - 12)],
               GRAPH[4], LINE, 1, 1.5)
    ring(s, r, (GRAPH[6], GRAPH[4], GRAPH[2]))
    knurl(s, r - 4.5, r - 0.6, 48)
    glint(s, r - 2, 190, 262, 1.5, 0.6)
    ring(s, r * 0.74, (ICE[4], ICE[2], ICE[0]))  # the cap: what a hand takes hold of
    ring(s, r * 0.58, (ICE[1], ICE[2], ICE[3]), ICE[0], 0.9)
    zigzag = [(C - 15.0, C), (C - 9.5, C), *((C - 8.0 + 3.2 * k, C + (5.5 if k % 2 else -5.5)) for k in range(6)), (C + 9.5, C), (C + 15.0, C)]
    s.line(zigzag, GRAPH[0], 2.6)  # a resistor, stamped in


def lid(s: Sheet, kind: str, open_: bool) -> None:
    """Spring lid of a socket; hinge on top."""
    r = 33.0 if kind == "bus" else 29.0
    if open_:
        s.poly([(C - r * 0.8, 2), (C + r * 0.8, 2), (C + r * 0.66, 13), (C - r * 0.66, 13)],
               s.lin(C - r, 2, C + r, 13, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.1, 3)
        s.line([(C - r * 0.6, 12), (C + r * 0.6, 12)], STEEL[3], 1.8)
        return
    s.c(C + 1.5, C + 3, r, "#0d0b10", op=0.35)
    ring(s, r, (GRAPH[5], GRAPH[4], GRAPH[2]))
    ring(s, r * 0.84, (GRAPH[3], GRAPH[4]), GRAPH[2], 0.9)
    glint(s, r * 0.92, 190, 262, 1.6, 0.5)
    s.box(C - r * 0.5, C - r - 3, r, 8, s.lin(0, C - r - 3, 0, C - r + 5, STEEL[4], STEEL[1]), LINE, 1.0, 2)
    s.poly([(C - 8, C + r - 3), (C + 8, C + r - 3), (C + 6, C + r + 3), (C - 6, C + r + 3)], ICE[2], LINE, 1.0, 2)
    if kind == "bus":  # symbol stamped in the lid: nine contacts
        for k in range(9):
            s.c(C - 9 + 9 * (k % 3), C - 9 + 9 * (k // 3), 2.4, GRAPH[6], GRAPH[2], 0.7)
    else:  # lamp with rays
        s.c(C - 4, C, 7, None, GRAPH[6], 1.8)
        for v in (-6, 0, 6):
            s.line([(C + 6, C + v), (C + 13, C + v * 1.4)], GRAPH[6], 1.8)


def stub(s: Sheet, splines: int) -> None:
    """Drive stub seen on its end."""
    r = 24.0
    s.c(C + 2, C + 4, r + 6, "#0d0b10", op=0.4)
    ring(s, r + 6, (GRAPH[5], GRAPH[3], GRAPH[1]))
    ring(s, r + 2, (GRAPH[0], GRAPH[2]), GRAPH[0])
    pts = []
    for k in range(splines):
        a, step = 360 * k / splines, 360 / splines
        low = r * (0.80 if splines == 6 else 0.87)
        share = 0.26
        pts += [polar(C, C, low, a - step * 0.5 + step * 0.08), polar(C, C, r, a - step * share), polar(C, C, r, a + step * share),
                polar(C, C, low, a + step * 0.5 - step * 0.08)]
    s.poly(pts, s.lin(C - r, C - r, C + r, C + r, STEEL[5], STEEL[3], STEEL[0]), LINE, 1.1)
    ring(s, r * 0.70, (STEEL[4], STEEL[2]), STEEL[1], 0.8)
    ring(s, r * 0.22, (GRAPH[2], STEEL[1]), STEEL[0], 0.9)
    glint(s, r * 0.62, 190, 262, 1.4, 0.7)


def shaft_end() -> None:
    """Drive shaft, tractor end, nose up: quick-lock yoke, joint cone and guard tube with its chain."""
    s = Sheet("pto_shaft_end", 84, 156)
    x = 42.0
    s.box(x - 15, 4, 30, 24, s.lin(x - 15, 0, x + 15, 0, STEEL[5], STEEL[3], STEEL[0]), LINE, 1.2, 2)
    for u in (-10, -5, 0, 5, 10):
        s.line([(x + u, 5), (x + u, 12)], STEEL[0], 1.1, 0.8)
    s.box(x - 21, 16, 42, 13, s.lin(x - 21, 0, x + 21, 0, ICE[3], ICE[2], ICE[0]), LINE, 1.2, 4)  # locking collar
    for u in range(-16, 17, 4):
        s.line([(x + u, 18), (x + u, 27)], ICE[0], 1.0, 0.6)
    s.poly([(x - 20, 28), (x + 20, 28), (x + 25, 46), (x + 18, 64), (x - 18, 64), (x - 25, 46)],
           s.lin(x - 25, 0, x + 25, 0, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.3, 5)
    s.c(x, 48, 10, s.rad(x - 3, 45, 13, STEEL[4], STEEL[1]), LINE, 1.2)
    s.c(x, 48, 4, STEEL[0], LINE, 0.8)
    s.p(f"M {x - 19} 50 Q {x - 34} 58 {x - 33} 78 L {x - 18} 92 L {x + 18} 92 L {x + 33} 78 Q {x + 34} 58 {x + 19} 50 Q {x} 66 {x - 19} 50 Z",
        s.lin(x - 33, 0, x + 33, 0, GRAPH[5], (0.3, GRAPH[4]), GRAPH[2], GRAPH[0]), LINE, 1.4)
    for y in (66, 74, 82):
        s.p(f"M {x - 32 + (y - 66) * 0.3} {y} Q {x} {y + 9} {x + 32 - (y - 66) * 0.3} {y}", None, GRAPH[1], 1.2, 0.8)
    s.box(x - 17, 92, 34, 66, s.lin(x - 17, 0, x + 17, 0, GRAPH[5], (0.3, GRAPH[4]), GRAPH[2], GRAPH[0]), LINE, 1.3, 2)
    s.box(x - 19, 92, 38, 8, s.lin(x - 19, 0, x + 19, 0, GRAPH[6], GRAPH[3], GRAPH[1]), LINE, 1.1, 2)
    for k in range(6):
        s.e(x + 21 + k * 2.2, 98 + k * 6.2, 2.3, 3.5, None, STEEL[2], 1.4)
    s.box(x - 11, 116, 22, 16, SAND[4], SAND[0], 0.9, 2)  # warning plate, its sign drawn as a whirl
    s.p(f"M {x - 5} 124 C {x - 5} 118 {x + 5} 118 {x + 5} 124 C {x + 5} 129 {x - 2} 129 {x - 2} 125", None, GRAPH[1], 1.6)
    s.mark(nose_tip=(x, 4), collar=(x, 22), clip=(x, 88), shaft_root=(x, 155), chain=(x + 32, 129))
    s.save()
    p = Sheet("pto_shaft_plugged", 96, 96)
    p.c(50, 52, 42, "#0d0b10", op=0.4)
    p.c(48, 48, 42, p.lin(10, 10, 84, 84, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.4)
    for r in (36, 30):
        p.c(48, 48, r, None, GRAPH[1], 1.2, 0.8)
    p.p("M 14 42 A 36 36 0 0 1 42 12", None, GRAPH[6], 1.8, 0.7)
    p.tube("M 48 48 L 48 98", 36, (GRAPH[1], GRAPH[3], GRAPH[4]), sw=1.4)
    p.c(48, 48, 20, p.lin(30, 30, 66, 66, GRAPH[6], GRAPH[3], GRAPH[1]), LINE, 1.3)
    p.c(48, 48, 13, p.lin(36, 36, 60, 60, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.1)
    p.mark(centre=(48, 48), shaft_root=(48, 95))
    p.save()


def small() -> None:
    """Loose cap, rag, dirt, drop, pool."""
    s = Sheet("cap", FACE, FACE)
    cap_face(s, 24)
    s.save()
    r = Sheet("rag", 84, 68)
    cloth = [(8, 40), (14, 22), (30, 12), (44, 18), (58, 8), (74, 20), (76, 38), (66, 46), (68, 58), (50, 54), (40, 62), (26, 54), (16, 56)]
    r.p(spline([(x + 2, y + 4) for x, y in cloth], True), "#0d0b10", op=0.35)
    r.p(spline(cloth, True), r.lin(8, 10, 74, 60, SAND[6], SAND[4], SAND[2]), SAND[0], 1.3)
    for fold in ([(18, 26), (30, 32), (36, 46), (32, 56)], [(46, 20), (44, 34), (54, 44), (62, 46)], [(66, 18), (60, 26), (62, 36)], [(14, 44), (24, 40), (30, 44)]):
        r.p(spline([(float(x), float(y)) for x, y in fold]), None, SAND[1], 1.4, 0.8)
        r.p(spline([(x + 1.6, y + 1.4) for x, y in fold]), None, SAND[6], 1.2, 0.8)
    r.p(spline([(44, 44), (54, 40), (60, 48), (52, 52)], True), GRAPH[3], op=0.3)
    r.p("M 22 20 L 40 26 M 20 24 L 36 29", None, ICE[2], 1.4, 0.5)
    r.save()
    d = Sheet("dirt", FACE, FACE)
    for pts, op in (([(16, 30), (30, 20), (44, 26), (56, 22), (60, 36), (48, 44), (36, 40), (22, 46)], 0.62),
                    ([(26, 48), (40, 46), (54, 50), (48, 58), (34, 58)], 0.5)):
        d.p(spline([(float(x), float(y)) for x, y in pts], True), "#3b2f24", op=op)
    for x, y, q in ((20, 24, 3), (58, 44, 4), (30, 34, 5), (50, 30, 4), (42, 54, 3), (62, 28, 2.2), (24, 54, 2.4), (38, 22, 2.6)):
        d.e(x, y, q, q * 0.8, "#2a211a", op=0.8)
        d.e(x - q * 0.3, y - q * 0.3, q * 0.4, q * 0.3, "#8b7660", op=0.8)
    d.p("M 18 36 C 30 28 48 40 60 30", None, "#6a5843", 2.4, 0.7)
    d.save()
    o = Sheet("drop", 20, 30)
    o.p("M 10 2 C 12 9 17 14 17 20 A 7 7 0 0 1 3 20 C 3 14 8 9 10 2 Z", o.lin(3, 8, 17, 28, "#d9b36a", "#a87a2c", "#5c3f12"), LINE, 1.0)
    o.e(7.4, 19, 1.8, 3.4, "#fff3d2", op=0.85)
    o.mark(tip=(10, 2))
    o.save()
    q = Sheet("oil_pool", 180, 52)
    pool = [(8, 28), (24, 14), (58, 12), (84, 6), (120, 10), (152, 14), (172, 26), (158, 38), (124, 40), (96, 47), (60, 42), (28, 40)]
    q.p(spline([(float(x), float(y)) for x, y in pool], True), q.lin(10, 8, 170, 46, "#6b5228", "#3b2c16", "#1d160c"), "#20180d", 1.0, 0.93)
    q.p(spline([(26, 24), (56, 17), (88, 12), (116, 15)]), None, "#e3cb94", 2.2, 0.6)
    q.p(spline([(40, 31), (70, 26), (96, 24)]), None, ICE[4], 1.6, 0.4)
    q.p(spline([(120, 32), (140, 29), (154, 26)]), None, "#e3cb94", 1.4, 0.5)
    q.mark(centre=(90, 26), left=(8, 28), right=(172, 26))
    q.save()


def draw() -> None:
    """All files of this part."""
    for kind, (r, _) in SIZES.items():
        s = Sheet(f"port_{kind}", FACE, FACE)
        socket_face(s, kind)
        s.mark(centre=(C, C))
        s.save()
        s = Sheet(f"port_{kind}_capped", FACE, FACE)
        cap_face(s, r * 1.02)
        s.mark(centre=(C, C))
        s.save()
        s = Sheet(f"end_{kind}", END_W, END_H)
        hose_end(s, kind)
        s.mark(nose_tip=(X, 5), seat=(X, 30), grip=(X, 57), tag=(X, 71.5), clip=(X, 64), hose_root=(X, END_H - 1))
        s.save()
        s = Sheet(f"plugged_{kind}", FACE, FACE)
        plugged(s, kind)
        s.mark(centre=(C, C), hose_root=(C, FACE - 1))
        s.save()
    for kind in ("bus", "lighting"):
        for name, face in (("plug", "male"), ("plug", "back"), ("socket", "female")):
            s = Sheet(f"{name}_{kind}" + ("_back" if face == "back" else ""), FACE, FACE)
            round_plug(s, kind, face)
            if face == "female":
                lid(s, kind, True)
            s.mark(centre=(C, C))
            if face == "back":
                s.mark(cable_root=(C, FACE - 1))
            else:
                at = NINE if kind == "bus" else (*SEVEN[1:], SEVEN[0])
                s.mark(**{f"pin_{k + 1}": polar(C, C, dist, angle) for k, (dist, angle, _) in enumerate(at)})
            s.save()
        s = Sheet(f"socket_{kind}_closed", FACE, FACE)
        lid(s, kind, False)
        s.mark(centre=(C, C), latch=(C, C + 32))
        s.save()
    s = Sheet("bus_terminator", FACE, FACE)
    terminator(s)
    s.mark(centre=(C, C))
    s.save()
    for name, count in (("pto_stub", 21), ("pto_stub_6", 6), ("pto_stub_20", 20)):
        s = Sheet(name, FACE, FACE)
        stub(s, count)
        s.mark(centre=(C, C))
        s.save()
    shaft_end()
    small()


if __name__ == "__main__":
    draw()
