"""Tractor from the side, wheels, ballast and drawbar (drawing unit: cm, x rearward of the rear axle, y up)."""

from __future__ import annotations

from kit import GRAPH, ICE, LINE, PLUM, SAND, STEEL, Sheet, mix, polar, rounded

YARD = 0.9  # px per cm


def wheel(sheet: Sheet, cx: float, cy: float, r: float, rim: float, lugs: int, front: bool = False) -> None:
    """Lugged tyre and rim seen from the side, lit evenly so that it can be turned."""
    s = sheet
    fine = s.scale > 1.5
    pitch = 360 / lugs
    base = r * 0.952
    for k in range(lugs):  # lugs of the far half of the tread, seen only as a broken outline
        a = (k + 0.5) * pitch
        s.poly(
            [polar(cx, cy, base * 0.97, a - 3.1), polar(cx, cy, r * 0.992, a - 1.6),
             polar(cx, cy, r * 0.992, a + 2.4), polar(cx, cy, base * 0.97, a + 3.6)],
            GRAPH[0], LINE, 0.6, 0.3,
        )
    s.c(cx, cy, base, s.rad(cx, cy, base, (0, GRAPH[2]), (0.84, GRAPH[2]), (0.93, GRAPH[1]), (1, GRAPH[0])), LINE, 1)
    for k in range(lugs):
        a = k * pitch
        lug = [
            polar(cx, cy, r, a - 2.2), polar(cx, cy, r, a + 2.9), polar(cx, cy, r * 0.93, a + 1.6),
            polar(cx, cy, r * 0.835, a - 3.3), polar(cx, cy, r * 0.80, a - 5.8), polar(cx, cy, r * 0.815, a - 7.4),
            polar(cx, cy, r * 0.88, a - 5.6), polar(cx, cy, r * 0.945, a - 3.4),
        ]
        s.poly(lug, GRAPH[2], LINE, 0.8, r * 0.012)
        face = [lug[0], lug[1], polar(cx, cy, r * 0.955, a + 2.1), polar(cx, cy, r * 0.955, a - 2.9)]
        s.poly(face, GRAPH[3], None, r=0.2)
        s.line([polar(cx, cy, r * 0.94, a - 2.9), polar(cx, cy, r * 0.885, a - 4.9),
                polar(cx, cy, r * 0.825, a - 6.6)], GRAPH[4], 1.0 if fine else 0.7, 0.9)
    wall = r * 0.815
    q = rim / r
    s.c(cx, cy, wall, s.rad(cx, cy, r, (0, GRAPH[1]), (q, GRAPH[0]), (q + 0.05, GRAPH[2]), (q + 0.11, GRAPH[3]),
                            (0.74, GRAPH[2]), (0.815, GRAPH[1])))
    for share, tone, op in ((0.792, GRAPH[4], 0.5), (q + 0.125, GRAPH[4], 0.55), (q + 0.045, GRAPH[0], 0.9)):
        s.c(cx, cy, r * share, None, tone, 1.0 if fine else 0.7, op)
    for k in range(3):  # raised blocks of the moulded side wall: no lettering
        for j in range(-2, 3):
            a = k * 120 + 30 + j * 5
            s.poly([polar(cx, cy, r * (q + 0.07), a - 1.9), polar(cx, cy, r * (q + 0.07), a + 1.9),
                    polar(cx, cy, r * (q + 0.105), a + 1.7), polar(cx, cy, r * (q + 0.105), a - 1.7)],
                   mix(GRAPH[3], GRAPH[4], 0.5), None, op=0.8)
    # rim: flange, well, disc
    s.c(cx, cy, rim, s.rad(cx, cy, rim, (0, SAND[2]), (0.93, SAND[3]), (0.965, SAND[5]), (1, SAND[2])), LINE, 1.0)
    s.c(cx, cy, rim * 0.935, s.rad(cx, cy, rim, (0.70, SAND[0]), (0.82, SAND[1]), (0.935, SAND[2])), LINE, 0.8)
    disc = rim * (0.80 if not front else 0.82)
    s.c(cx, cy, disc, s.rad(cx, cy, disc, (0, SAND[2]), (0.55, SAND[3]), (0.86, SAND[4]), (0.97, SAND[5]),
                            (1, SAND[3])), LINE, 0.9)
    count = 8 if not front else 6
    for k in range(count):  # hand holes between disc and rim, clamp lugs between them
        a = k * 360 / count + 22.5
        s.poly([polar(cx, cy, disc * 0.90, a - 7), polar(cx, cy, disc * 0.90, a + 7),
                polar(cx, cy, disc * 0.70, a + 6), polar(cx, cy, disc * 0.70, a - 6)],
               s.rad(cx, cy, disc, (0.7, GRAPH[0]), (0.9, GRAPH[2])), SAND[1], 0.9, rim * 0.05)
        b = a + 180 / count
        s.poly([polar(cx, cy, rim * 0.93, b - 4.5), polar(cx, cy, rim * 0.93, b + 4.5),
                polar(cx, cy, disc * 0.93, b + 6), polar(cx, cy, disc * 0.93, b - 6)], SAND[4], SAND[0], 0.7, rim * 0.02)
        s.c(*polar(cx, cy, disc * 0.985, b), rim * 0.027, STEEL[2], LINE, 0.5)
    s.c(cx, cy, disc * 0.64, s.rad(cx, cy, disc * 0.64, (0, SAND[1]), (0.85, SAND[2]), (0.93, SAND[1]), (1, SAND[3])),
        SAND[0], 0.8)
    hub = rim * (0.40 if not front else 0.44)
    s.c(cx, cy, hub, s.rad(cx, cy, hub, (0, GRAPH[4]), (0.8, GRAPH[3]), (1, GRAPH[2])), LINE, 0.9)
    bolts = 10 if not front else 8
    for k in range(bolts):
        x, y = polar(cx, cy, hub * 0.78, k * 360 / bolts + 9)
        s.c(x, y, rim * 0.035, STEEL[3], LINE, 0.6)
        if fine:
            s.c(x, y, rim * 0.014, STEEL[1])
    s.c(cx, cy, hub * 0.52, s.rad(cx, cy, hub * 0.52, (0, GRAPH[5]), (0.6, GRAPH[4]), (1, GRAPH[2])), LINE, 0.8)
    s.c(cx, cy, hub * 0.24, STEEL[2], LINE, 0.7)
    s.c(cx, cy, hub * 0.09, STEEL[0])


def wheel_light(name: str, half: float, r: float, rim: float) -> None:
    """The light on a wheel, which stays still while the wheel turns."""
    light = Sheet(name + "_light", 2 * half, 2 * half, YARD, half, half, True)
    light.c(0, 0, r * 0.96, light.lin(-r, r * 0.6, r, -r * 0.6, (0, "#ffffff", 0.20), (0.38, "#ffffff", 0.0),
                                      (0.55, "#0d0b10", 0.0), (1, "#0d0b10", 0.5)))
    light.p(f"M {-rim * 0.8} {rim * 0.52} A {rim * 0.955} {rim * 0.955} 0 0 0 {-rim * 0.2} {rim * 0.934}",
            None, "#ffffff", 1.4, 0.55)
    light.mark(axle=(0, 0))
    light.save()


def wheel_files() -> None:
    """Wheels at yard scale, and the light that stays still while they turn."""
    for name, r, rim, lugs, front in (("wheel_rear", 97, 59, 23, False), ("wheel_front", 75, 45, 21, True)):
        half = r * YARD + 3
        sheet = Sheet(name, 2 * half, 2 * half, YARD, half, half, True)
        wheel(sheet, 0, 0, r, rim, lugs, front)
        sheet.mark(axle=(0, 0), ground=(0, -r))
        sheet.save()
        wheel_light(name, half, r, rim)


def tractor() -> None:
    """Mid-size row-crop tractor, bonnet left; wheels are separate files."""
    s = Sheet("tractor_side", 484, 306, YARD, 366, 298, True)
    # far rear tyre and far front tyre peeping, for depth
    s.c(6, 95, 92, GRAPH[0])
    s.c(-300, 74, 71, GRAPH[0])
    # chassis: transmission, engine, front frame
    s.poly([(-150, 62), (-60, 56), (52, 60), (58, 112), (40, 138), (-150, 132)],
           s.lin(0, 140, 0, 55, GRAPH[4], GRAPH[2], GRAPH[0]), LINE, 1.2, 5)
    s.poly([(-268, 66), (-150, 60), (-146, 140), (-272, 140)], s.lin(0, 140, 0, 60, GRAPH[3], GRAPH[2], GRAPH[0]),
           LINE, 1.2, 3)
    s.poly([(-392, 84), (-380, 76), (-262, 70), (-200, 74), (-200, 100), (-262, 104), (-376, 112), (-392, 108)],
           s.lin(-392, 110, -200, 72, GRAPH[5], GRAPH[3], GRAPH[2]), LINE, 1.2, 4)
    s.poly([(-326, 60), (-286, 60), (-280, 96), (-332, 96)], s.lin(0, 96, 0, 60, GRAPH[4], GRAPH[1]), LINE, 1, 3)
    for x in (-366, -350, -250, -232):
        s.bolt(x, 92, 2.4)
    # engine details under the bonnet line
    for x in (-258, -244, -230):
        s.box(x, 108, 9, 24, s.lin(x, 0, x + 9, 0, STEEL[1], GRAPH[3], GRAPH[1]), LINE, 0.7, 2)
    s.c(-206, 112, 9, s.lin(-215, 120, -198, 104, GRAPH[5], GRAPH[2]), LINE, 0.9)
    s.c(-206, 112, 3.5, GRAPH[1], GRAPH[5], 0.6)
    s.tube("M -262 98 C -240 92 -225 96 -196 92", 3.2)
    # fuel tank with steps: moulded, dark
    s.poly([(-216, 112), (-212, 60), (-203, 50), (-118, 46), (-96, 50), (-92, 116), (-150, 122), (-205, 122)],
           s.lin(-216, 115, -120, 46, GRAPH[4], GRAPH[2], GRAPH[1]), LINE, 1.3, 7)
    s.p("M -206 110 C -200 114 -170 116 -150 116", None, GRAPH[5], 1.1, 0.8)
    s.p("M -204 66 C -190 60 -160 58 -152 58", None, GRAPH[0], 1.0, 0.8)
    s.c(-190, 106, 6.2, s.lin(-196, 110, -184, 100, GRAPH[4], GRAPH[1]), LINE, 0.9)
    s.c(-190, 106, 3.2, GRAPH[2], GRAPH[5], 0.6)
    # steps
    s.poly([(-147, 120), (-98, 120), (-96, 40), (-143, 40)], GRAPH[0], LINE, 1, 4)
    for i, y in enumerate((112, 88, 64, 40)):
        s.poly([(-149 + i * 1.5, y), (-96, y), (-94, y - 5), (-147 + i * 1.5, y - 5)],
               s.lin(-149, 0, -94, 0, GRAPH[6], GRAPH[4], GRAPH[3]), LINE, 0.9, 1.5)
    s.p("M -152 122 C -156 150 -154 170 -146 186", None, LINE, 3.6)
    s.p("M -152 122 C -156 150 -154 170 -146 186", None, GRAPH[5], 2.0)
    # bonnet
    bonnet = ("M -141 224 L -160 225 C -240 222 -318 214 -352 206 C -374 200 -388 184 -392 162 "
              "C -394 146 -391 132 -382 124 L -352 121 C -330 121 -306 129 -286 131 L -141 131 Z")
    s.p(bonnet, s.lin(-395, 150, -141, 150, PLUM[5], (0.10, PLUM[4]), (0.3, PLUM[3]), (1, PLUM[2])), LINE, 1.4)
    # top plane catches the sky, lower plane falls away
    s.p("M -141 224 L -160 225 C -240 222 -318 214 -352 206 C -362 203 -371 197 -378 189 C -330 196 -240 204 -141 206 Z",
        s.lin(-380, 0, -141, 0, PLUM[6], PLUM[5], PLUM[3]), None)
    s.p("M -378 189 C -330 196 -240 204 -141 206", None, PLUM[1], 0.9, 0.7)
    s.p("M -379 187 C -330 193.5 -240 201.5 -141 203.5", None, PLUM[5], 0.9, 0.7)
    s.p("M -388 138 C -360 146 -300 150 -141 150 L -141 131 L -286 131 C -306 129 -330 121 -352 121 L -382 124 Z",
        PLUM[1], None, op=0.55)
    # side grille: two dark fields with slats
    for pts in ([(-344, 184), (-270, 189), (-262, 154), (-338, 150)], [(-262, 190), (-186, 193), (-186, 156), (-254, 154)]):
        s.poly(pts, s.lin(0, 190, 0, 150, GRAPH[1], GRAPH[2]), PLUM[1], 1.1, 4)
        x0, x1 = pts[3][0] + 3, pts[2][0] - 1
        for k in range(6):
            y = 157.5 + k * 5
            lean = (y - 150) * -0.18
            s.line([(x0 + lean, y), (x1 + lean, y + 1.5)], GRAPH[4], 1.0, 0.9)
    # accent line and nose lamp
    s.p("M -388 146 C -340 151 -260 153 -141 153.5", None, ICE[2], 2.2)
    s.p("M -388 146.8 C -340 151.8 -260 153.8 -141 154.3", None, ICE[4], 0.7, 0.8)
    s.p("M -389 178 C -380 186 -368 189 -358 190 L -362 180 C -372 179 -382 175 -391 168 Z",
        s.lin(-391, 180, -358, 182, ICE[5], ICE[4], STEEL[1]), LINE, 1)
    s.p("M -391 160 L -372 164 L -366 132 L -386 128 C -391 136 -393 148 -391 160 Z",
        s.lin(-393, 0, -366, 0, GRAPH[3], GRAPH[1]), LINE, 1)
    for k in range(5):
        s.line([(-390.5 + k * 0.6, 157 - k * 6), (-372 + k, 160 - k * 6)], GRAPH[5], 0.9)
    s.line([(-160, 225), (-158, 131)], PLUM[1], 1.0, 0.7)
    s.line([(-158.6, 222), (-156.8, 134)], PLUM[4], 0.6, 0.7)
    for x, y in ((-172, 141), (-300, 139), (-366, 170)):
        s.c(x, y, 1.6, GRAPH[2], PLUM[4], 0.5)
    # cab interior (dark), then seat, column, console
    glass = [(-140, 226), (-116, 289), (24, 289), (44, 205), (26, 205), (-50, 205), (-56, 132), (-128, 130)]
    s.poly(glass, s.lin(-140, 290, 40, 130, mix(ICE[1], GRAPH[3], 0.35), GRAPH[2]), LINE, 1.2, 6)
    s.push("translate(-11 3)")  # seat and arm rest
    s.p("M -30 150 L -32 178 C -33 190 -22 196 -10 196 L -4 240 C -3 250 6 256 14 253 C 20 250 18 236 14 222 "
        "L 6 176 L 0 150 Z", GRAPH[0], GRAPH[4], 0.9)
    s.p("M -34 200 C -28 206 -10 206 0 204 L 2 196 C -10 198 -26 198 -34 196 Z", GRAPH[2], GRAPH[5], 0.7)
    s.pop()
    s.p("M -104 132 L -98 176 L -86 212", None, GRAPH[0], 5)
    s.p("M -104 132 L -98 176 L -86 212", None, GRAPH[3], 2.2)
    s.line([(-96, 206), (-74, 220)], GRAPH[0], 4.2)
    s.line([(-96, 206.5), (-74, 220.5)], GRAPH[5], 1.4)
    s.poly([(-126, 182), (-104, 186), (-100, 206), (-112, 210), (-128, 204)], GRAPH[1], GRAPH[4], 0.8, 4)
    s.poly([(-74, 230), (-60, 238), (-54, 222), (-68, 216)], GRAPH[1], ICE[2], 0.9, 2)
    # glass sheen
    s.poly([(-136, 226), (-114, 286), (-84, 286), (-116, 226)], "#e8f6f6", None, r=2, op=0.30)
    s.poly([(-74, 286), (-62, 286), (-98, 200), (-108, 192)], "#e8f6f6", None, r=1, op=0.17)
    s.poly([(-6, 286), (8, 286), (-22, 208), (-38, 208)], "#e8f6f6", None, r=1, op=0.13)
    s.poly(glass, s.lin(-140, 0, 44, 0, (0, ICE[4], 0.30), (0.5, ICE[3], 0.10), (1, ICE[1], 0.18)), None, r=6)
    # far door frame seen through, then near frame
    s.p("M -100 284 L -92 140", None, GRAPH[0], 1.4, 0.5)
    s.p(rounded([(-50, 289), (-48, 206), (-56, 132)], 10, False), None, LINE, 6.6)
    s.p(rounded([(-50, 289), (-48, 206), (-56, 132)], 10, False), None, GRAPH[3], 4.4)
    s.p("M -51.2 286 L -49.4 206", None, GRAPH[5], 1.0)
    s.p(rounded([(-117, 290), (-141, 226), (-129, 130)], 8, False), None, LINE, 6.6)
    s.p(rounded([(-117, 290), (-141, 226), (-129, 130)], 8, False), None, GRAPH[3], 4.4)
    s.p(rounded([(-119, 288), (-142.5, 226), (-130.5, 132)], 8, False), None, GRAPH[6], 1.1)
    s.p("M 24 289 L 44 204", None, LINE, 6.6)
    s.p("M 24 289 L 44 204", None, GRAPH[3], 4.4)
    s.p("M 22.6 287 L 42 206", None, GRAPH[5], 1.0)
    s.p("M -66 160 L -66 178", None, LINE, 4)
    s.p("M -66 161 L -66 177", None, ICE[3], 2)
    # rear of the cab below the window, fender with its flange
    inner = 101
    a0, a1 = 28, 152
    x0, y0 = polar(0, 97, inner, a1)
    x1, y1 = polar(0, 97, inner, a0)
    xo1, yo1 = polar(0, 97, 113, a0 - 1)
    xo0, yo0 = polar(0, 97, 113, a1 + 1)
    s.p(f"M -58 130 L -50 207 L 46 207 L {xo1} {yo1} L {x1} {y1} A {inner} {inner} 0 0 1 {x0} {y0} L -92 118 L -60 118 Z",
        s.lin(-100, 210, 100, 130, PLUM[3], PLUM[2], PLUM[1]), LINE, 1.2)
    s.p(f"M {xo0} {yo0} A 113 113 0 0 0 {xo1} {yo1} L {x1} {y1} A {inner} {inner} 0 0 1 {x0} {y0} Z",
        s.lin(-104, 170, 104, 170, PLUM[5], (0.3, PLUM[4]), (0.62, PLUM[3]), PLUM[1]), LINE, 1.3)
    xh0, yh0 = polar(0, 97, 110.5, 146)
    xh1, yh1 = polar(0, 97, 110.5, 60)
    s.p(f"M {xh0} {yh0} A 110.5 110.5 0 0 0 {xh1} {yh1}", None, PLUM[6], 1.2, 0.75)
    # tail lamp, seven-pin bracket, hand rail
    s.poly([polar(0, 97, 112, 40), polar(0, 97, 121, 39), polar(0, 97, 121, 33), polar(0, 97, 112, 32)],
           s.lin(80, 0, 105, 0, GRAPH[3], GRAPH[1]), LINE, 1, 2)
    s.line([polar(0, 97, 121, 38), polar(0, 97, 121, 34)], "#b5686c", 2.0)
    # roof
    s.poly([(-166, 297), (-156, 309), (-60, 316), (30, 313), (62, 304), (66, 293), (44, 287), (-120, 286), (-160, 289)],
           s.lin(-166, 312, 60, 288, PLUM[6], (0.25, PLUM[5]), (0.7, PLUM[3]), PLUM[2]), LINE, 1.4, 8)
    s.p("M -162 296 C -120 294 20 294 64 297 L 62 290 L 44 287 L -120 286 L -160 289 Z", GRAPH[2], None, op=0.85)
    s.p("M -152 308 C -110 313 -40 314 20 311", None, "#ffffff", 1.0, 0.6)
    s.poly([(-168, 297), (-156, 299), (-154, 289), (-166, 288)], s.lin(-168, 0, -154, 0, ICE[5], STEEL[1]), LINE, 1, 2)
    s.poly([(54, 299), (66, 297), (68, 289), (56, 289)], s.lin(54, 0, 68, 0, STEEL[1], STEEL[3]), LINE, 1, 2)
    s.poly([(-10, 314), (-8, 321), (10, 321), (12, 314)], GRAPH[2], LINE, 0.9, 3)  # receiver on the roof
    s.p("M 28 312 L 34 330", None, GRAPH[1], 1.2)
    # exhaust and mirror
    s.poly([(-171, 223), (-171, 250), (-155, 250), (-155, 223)],
           s.lin(-171, 0, -155, 0, STEEL[4], STEEL[2], GRAPH[2]), LINE, 1.1, 2)
    for k in range(4):
        s.line([(-168, 228 + k * 5.4), (-158, 228 + k * 5.4)], GRAPH[1], 1.2, 0.8)
    s.poly([(-168, 250), (-168, 305), (-175, 318), (-166, 320), (-158, 307), (-158, 250)],
           s.lin(-170, 0, -157, 0, STEEL[4], STEEL[2], GRAPH[2]), LINE, 1.1, 2)
    s.p("M -133 262 L -148 266 L -148 252", None, GRAPH[1], 1.8)
    s.poly([(-152, 258), (-144, 258), (-144, 230), (-152, 230)], s.lin(-152, 0, -144, 0, GRAPH[5], GRAPH[2]), LINE, 1, 2)
    # front mudguard
    xa, ya = polar(-305, 75, 82, 104)
    xb, yb = polar(-305, 75, 82, 18)
    xc, yc = polar(-305, 75, 87, 17)
    xd, yd = polar(-305, 75, 87, 106)
    s.p(f"M {xa} {ya} A 82 82 0 0 0 {xb} {yb} L {xc} {yc} A 87 87 0 0 1 {xd} {yd} Z",
        s.lin(-330, 160, -220, 100, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.1)
    s.p("M -262 142 L -268 108", None, GRAPH[1], 3)
    s.mark(rear_axle_ground=(0, 0), rear_axle=(0, 97), front_axle=(-305, 75), lower_pivot=(5, 55), top_pivot=(30, 110),
           pto_stub=(59, 75), hose_root=(62, 128), drawbar_root=(0, 46), ballast_hook=(-390, 96), exhaust_tip=(-168, 318),
           steps_foot=(-122, 40), cab_door=(-90, 170), seat=(-12, 200))
    s.save()


def small_parts() -> None:
    """Front ballast and drawbar."""
    s = Sheet("front_ballast", 66, 72, YARD, 50, 103, True)  # origin: bracket hook 3.90 m ahead of the axle, ground
    for k in range(3):
        x = -46 + k * 3
        s.poly([(x, 44), (x + 34 - k, 40), (x + 42 - 2 * k, 52), (x + 42 - 2 * k, 86), (x + 36, 100 - k),
                (x + 18, 104 - k), (x + 4, 98), (x - 2, 72)],
               s.lin(x - 2, 90, x + 44, 50, PLUM[5] if k == 2 else PLUM[2], PLUM[3] if k == 2 else PLUM[1], PLUM[1]),
               LINE, 1.2, 5)
    s.poly([(-28, 88), (-12, 90), (-10, 80), (-27, 78)], GRAPH[1], LINE, 1, 3)
    s.p("M -40 88 C -38 94 -30 98 -24 98", None, PLUM[6], 1.2, 0.8)
    s.pin(-6, 62, 3.2)
    s.poly([(-6, 108), (8, 108), (8, 78), (-2, 78)], s.lin(-6, 0, 8, 0, GRAPH[5], GRAPH[2]), LINE, 1.1, 2)
    s.mark(ballast_hook=(0, 96), ground=(0, 0))
    s.save()

    d = Sheet("drawbar", 112, 37, YARD, 6, 59, True)
    d.poly([(-2, 50), (84, 48), (84, 40), (-2, 42)], d.lin(0, 50, 0, 40, STEEL[3], STEEL[1], GRAPH[2]), LINE, 1.2, 2)
    d.p("M 2 48 L 80 46.5", None, STEEL[5], 0.9, 0.7)
    d.poly([(76, 56), (110, 56), (112, 52), (112, 50), (80, 51)], d.lin(0, 56, 0, 50, STEEL[3], STEEL[1]), LINE, 1.1, 2)
    d.poly([(76, 38), (110, 38), (112, 34), (80, 33)], d.lin(0, 38, 0, 33, STEEL[1], GRAPH[2]), LINE, 1.1, 2)
    d.box(97, 30, 6, 29, d.lin(97, 0, 103, 0, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.0, 1)
    d.box(94, 56, 12, 3.4, STEEL[2], LINE, 0.9, 1)
    d.p("M 100 59 C 100 64 108 64 108 58", None, ICE[2], 1.6)
    for x in (20, 50):
        d.bolt(x, 46, 2)
    d.mark(drawbar_root=(0, 46), hook=(100, 50), ground=(0, 0))
    d.save()


def draw() -> None:
    """All files of this part."""
    wheel_files()
    tractor()
    small_parts()


if __name__ == "__main__":
    draw()
