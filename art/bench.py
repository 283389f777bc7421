"""Bench place and its tools (px, 1280 by 720, y down)."""

from __future__ import annotations

import random

from kit import GRAPH, ICE, LINE, PLUM, SAND, STEEL, Point, Sheet, polar
from places import H, W, trees

BENCH_Y = 470  # back edge of the bench top; front edge 590
TOOLS: dict[str, Point] = {  # where the middle of each tool's foot lies
    "tool_gauge": (120, 560),
    "tool_flow_meter": (268, 566),
    "tool_multimeter": (404, 562),
    "tool_thermometer": (520, 562),
    "tool_tape": (622, 560),
    "tool_level": (770, 572),
}
PAPERS: dict[str, Point] = {  # top left of each clipped sheet on the wall, 118 by 156
    "paper_1": (452, 132), "paper_2": (590, 132), "paper_3": (728, 132), "paper_4": (866, 132),
}


def backdrop() -> None:
    """Workbench under a pegboard; window left, vise right, lamp above."""
    rng = random.Random(9)
    s = Sheet("bench_backdrop", W, H)
    # wall of boards, lit by the window
    s.box(0, 0, W, 480, s.lin(0, 0, W, 120, "#cfc6ba", (0.45, "#b7aca3"), "#82787c"))
    for y in range(30, 480, 48):
        s.line([(0, y), (W, y)], "#8f847e", 1.2, 0.55)
        s.line([(0, y + 1.6), (W, y + 1.6)], "#e0d8cc", 0.9, 0.45)
    # window with the yard outside
    s.box(58, 78, 332, 286, "#0d0b10", None, r=4, op=0.25)
    s.box(50, 70, 332, 286, s.lin(50, 70, 382, 356, SAND[5], SAND[3], SAND[1]), LINE, 1.6, 3)
    s.box(66, 86, 300, 254, s.lin(0, 86, 0, 340, "#b3c8cf", "#dde0da", "#f6e9d4"), LINE, 1.3, 1)
    s.p("M 66.5 262 C 120 246 200 244 260 252 C 310 258 340 248 365.5 250 L 365.5 300 L 66.5 300 Z", "#a4a8ae")
    trees(s, rng, 84, 340, 280, 9, "#75767c", "#9d9993")
    s.box(66.6, 276, 298.8, 63.4, s.lin(0, 276, 0, 340, "#b7aa8e", "#a59a8a"))
    s.poly([(66.6, 318), (365.4, 310), (365.4, 339.4), (66.6, 339.4)], "#c2bbb0")
    s.box(276, 222, 40, 62, s.lin(276, 0, 316, 0, STEEL[5], STEEL[2]), "#4d5157", 0.8)
    s.poly([(273, 222), (292, 206), (300, 206), (319, 222)], STEEL[3], "#4d5157", 0.8)
    s.poly([(66.6, 86.6), (180, 86.6), (96, 339), (66.6, 339)], "#ffffff", None, op=0.16)
    for x in (164, 264):
        s.box(x, 86, 6, 254, s.lin(x, 0, x + 6, 0, SAND[5], SAND[2]), LINE, 1.0)
    s.box(66, 206, 300, 6, s.lin(0, 206, 0, 212, SAND[5], SAND[2]), LINE, 1.0)
    s.box(40, 352, 352, 15, s.lin(0, 352, 0, 367, SAND[5], SAND[3], SAND[1]), LINE, 1.4, 2)
    s.poly([(392, 90), (700, 190), (700, 470), (392, 470)], "#fff3dd", None, op=0.10)
    # plant pot and tin on the sill
    s.poly([(80, 328), (110, 328), (106, 352), (84, 352)], s.lin(80, 0, 110, 0, STEEL[4], STEEL[1]), LINE, 1.1, 1)
    for x, d in ((88, -6), (95, 2), (102, 9)):
        s.line([(x, 329), (x + d, 300)], LINE, 4)
        s.line([(x, 329), (x + d, 300)], SAND[3], 2.4)
    # pegboard
    s.box(432, 84, 570, 330, "#0d0b10", None, r=3, op=0.25)
    s.box(424, 76, 570, 330, s.lin(424, 76, 994, 406, SAND[4], SAND[3], SAND[2]), LINE, 1.6, 3)
    s.box(432, 84, 554, 314, None, SAND[1], 1.2, 2, op=0.7)
    for i in range(27):
        for j in range(15):
            s.c(449 + i * 20, 98 + j * 20.6, 1.7, SAND[1], op=0.8)
    # tools hanging low on the board: spanners, screwdrivers, pliers, a coil of hose
    for i, n in enumerate((66, 60, 54, 48, 42)):
        x = 462 + i * 24
        s.tube(f"M {x} 322 L {x} {322 + n - 8}", 6, (STEEL[1], STEEL[3], STEEL[5]), sw=1.1)
        s.c(x, 318, 8, STEEL[3], LINE, 1.1)
        s.c(x, 318, 4, SAND[2], LINE, 1)
        s.p(f"M {x - 8} {322 + n} L {x - 7} {322 + n - 10} L {x + 7} {322 + n - 10} L {x + 8} {322 + n} L {x + 3.4} {322 + n} L {x + 3} {322 + n - 5} L {x - 3} {322 + n - 5} L {x - 3.4} {322 + n} Z",
            STEEL[2], LINE, 1.1)
    for i in range(4):
        x = 604 + i * 22
        s.box(x - 5.5, 314, 11, 30, s.lin(x - 5, 0, x + 5, 0, PLUM[4], PLUM[2], PLUM[1]), LINE, 1.1, 4)
        s.box(x - 1.8, 344, 3.6, 26 + 5 * i, s.lin(x - 2, 0, x + 2, 0, STEEL[5], STEEL[1]), LINE, 0.9)
    x = 716
    s.p(f"M {x - 4} 336 C {x - 18} 350 {x - 16} 372 {x - 11} 388 L {x - 5} 386 C {x - 8} 370 {x - 6} 356 {x + 1} 344 Z", ICE[2], LINE, 1.2)
    s.p(f"M {x + 4} 336 C {x + 18} 350 {x + 16} 372 {x + 11} 388 L {x + 5} 386 C {x + 8} 370 {x + 6} 356 {x - 1} 344 Z", ICE[2], LINE, 1.2)
    s.poly([(x - 7, 338), (x - 5, 314), (x + 5, 314), (x + 7, 338), (x, 346)], s.lin(x - 7, 0, x + 7, 0, STEEL[4], STEEL[1]), LINE, 1.2, 2)
    s.c(x, 338, 3, STEEL[1], LINE, 0.9)
    for r in (38, 31, 24):
        s.p(f"M {850 - r} 350 A {r} {r} 0 1 1 {850 + r} 350 A {r} {r} 0 1 1 {850 - r} 350 Z", None, LINE, 9)
        s.p(f"M {850 - r} 350 A {r} {r} 0 1 1 {850 + r} 350 A {r} {r} 0 1 1 {850 - r} 350 Z", None, GRAPH[3], 6.6)
        s.p(f"M {850 - r} 348 A {r} {r} 0 0 1 {850} {349 - r}", None, GRAPH[5], 1.6, 0.9)
    s.box(846, 305, 8, 14, STEEL[2], LINE, 1.0, 2)
    s.tube("M 918 312 L 918 380", 7, (STEEL[1], STEEL[3], STEEL[5]), sw=1.1)  # hammer
    s.box(914, 332, 8, 58, s.lin(914, 0, 922, 0, SAND[4], SAND[1]), LINE, 1.1, 3)
    s.poly([(900, 308), (934, 308), (938, 314), (934, 324), (900, 324), (896, 316)], s.lin(0, 308, 0, 324, STEEL[4], STEEL[1]), LINE, 1.2, 2)
    # empty clipped sheets, to be written on by the program
    for i, (px_, py_) in enumerate(PAPERS.values()):
        s.turn((-1.2, 0.8, -0.6, 1.1)[i], px_ + 59, py_)
        s.box(px_ + 3, py_ + 5, 118, 156, "#0d0b10", None, r=2, op=0.22)
        s.box(px_, py_, 118, 156, s.lin(px_, py_, px_ + 118, py_ + 156, "#fbf9f4", SAND[6], SAND[5]), SAND[1], 1.0, 1.5)
        s.box(px_ + 44, py_ - 9, 30, 16, s.lin(0, py_ - 9, 0, py_ + 7, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.1, 3)
        s.pop()
    # lamp
    s.p("M 1090 0 L 1090 40", None, LINE, 3)
    s.poly([(1076, 38), (1104, 38), (1140, 84), (1040, 84)], s.lin(1040, 0, 1140, 0, PLUM[5], PLUM[3], PLUM[1]), LINE, 1.5, 6)
    s.e(1090, 84, 48, 7, ICE[5], LINE, 1.2)
    s.poly([(1042, 86), (1138, 86), (1250, 470), (930, 470)], s.lin(0, 86, 0, 470, (0, "#fff7e6", 0.26), (1, "#fff7e6", 0.03)))
    # shelf right with bins and cans
    s.box(1040, 238, 250, 10, s.lin(0, 238, 0, 248, SAND[4], SAND[1]), LINE, 1.3)
    for i, (x, w, h, fill) in enumerate(((1052, 52, 40, PLUM), (1110, 52, 40, PLUM), (1172, 34, 58, STEEL), (1212, 34, 50, GRAPH), (1250, 36, 62, SAND))):
        s.box(x, 238 - h, w, h, s.lin(x, 0, x + w, 0, fill[4], fill[3], fill[1]), LINE, 1.3, 3 if i < 2 else 5)
        if i < 2:
            s.p(f"M {x + 6} {238 - h + 2} Q {x + w / 2} {238 - h + 16} {x + w - 6} {238 - h + 2}", fill[1], LINE, 1.0)
        else:
            s.box(x + 4, 238 - h * 0.66, w - 8, h * 0.36, fill[4] if fill is not SAND else PLUM[4], LINE, 0.8, 1)
            s.box(x + w / 2 - 5, 238 - h - 6, 10, 7, STEEL[2], LINE, 1.0, 1)
    # bench top: planks, worn, with front edge and legs
    s.box(0, 462, W, 10, "#0d0b10", op=0.25)
    s.poly([(0, BENCH_Y), (W, BENCH_Y), (W, 592), (0, 592)], s.lin(0, BENCH_Y, W, 592, SAND[4], SAND[3], SAND[1]), None)
    for y in (498, 530, 562):
        s.line([(0, y), (W, y)], SAND[0], 1.3, 0.55)
        s.line([(0, y + 1.6), (W, y + 1.6)], SAND[5], 0.9, 0.45)
    for _ in range(46):
        x, y = rng.uniform(0, W), rng.uniform(476, 588)
        s.line([(x, y), (x + rng.uniform(20, 110), y + rng.uniform(-1, 1))], SAND[1], 0.9, 0.35)
    for x, y, r in ((340, 520, 34), (940, 556, 40), (660, 500, 26)):
        s.e(x, y, r, r * 0.3, s.rad(x, y, r, (0, "#3b2f24", 0.3), (1, "#3b2f24", 0.0), squash=0.3))
    s.e(1010, 512, 22, 6.5, None, "#5d4c37", 2.0, 0.35)
    s.line([(0, BENCH_Y), (W, BENCH_Y)], LINE, 1.5)
    s.box(-10, 590, W + 20, 34, s.lin(0, 590, 0, 624, SAND[3], SAND[2], SAND[0]), LINE, 1.5)
    s.line([(0, 593.5), (W, 593.5)], SAND[5], 1.6, 0.8)
    for x in range(60, 1280, 172):
        s.bolt(x, 608, 4.6)
    s.box(0, 624, W, 96, s.lin(0, 624, 0, 720, "#2b262d", "#403943"))
    for x in (70, 610, 1150):
        s.box(x, 624, 46, 100, s.lin(x, 0, x + 46, 0, SAND[3], SAND[1], SAND[0]), LINE, 1.5)
    # vise on the right, outside of what is shown at every shape of window
    s.push("translate(24 0)")
    s.ground_shadow(1120, 562, 110, 12, 0.5)
    s.poly([(1050, 556), (1058, 530), (1170, 530), (1180, 556), (1170, 566), (1060, 566)], s.lin(1050, 0, 1180, 0, GRAPH[6], GRAPH[3], GRAPH[1]), LINE, 1.5, 5)
    s.poly([(1080, 534), (1076, 500), (1090, 476), (1164, 476), (1172, 500), (1158, 534)], s.lin(1076, 0, 1172, 0, PLUM[5], PLUM[3], PLUM[1]), LINE, 1.6, 8)
    s.poly([(1096, 478), (1096, 452), (1128, 452), (1130, 478)], s.lin(1096, 0, 1130, 0, PLUM[5], PLUM[2]), LINE, 1.5, 3)
    s.poly([(1126, 446), (1140, 446), (1140, 470), (1126, 470)], STEEL[3], LINE, 1.2, 1)
    s.poly([(1034, 500), (1082, 490), (1082, 516), (1040, 520)], s.lin(0, 490, 0, 520, GRAPH[5], GRAPH[2]), LINE, 1.4, 3)
    s.poly([(1030, 446), (1070, 450), (1072, 494), (1050, 524), (1022, 512), (1024, 470)], s.lin(1022, 0, 1072, 0, PLUM[6], PLUM[4], PLUM[2]), LINE, 1.6, 7)
    s.poly([(1066, 444), (1080, 445), (1080, 470), (1066, 470)], STEEL[4], LINE, 1.2, 1)
    s.box(1000, 496, 26, 11, s.lin(0, 496, 0, 507, STEEL[5], STEEL[1]), LINE, 1.2, 3)
    s.tube("M 1004 462 L 1004 540", 5.4, (STEEL[0], STEEL[2], STEEL[5]), sw=1.2)
    for y in (462, 540):
        s.c(1004, y, 5, STEEL[3], LINE, 1.1)
    s.pop()
    s.box(0, 0, W, H, s.lin(0, 0, W, 220, (0, "#fff3dd", 0.2), (0.45, "#fff3dd", 0.0), (0.55, "#0d0b10", 0.0), (1, "#0d0b10", 0.3)))
    s.save()


def tools() -> None:
    """Six measuring tools and the clipboard."""
    s = Sheet("tool_gauge", 96, 150)  # pressure gauge on a short hose with a test coupler
    s.e(50, 142, 30, 6, "#0d0b10", op=0.35)
    s.tube("M 48 92 C 48 118 30 112 26 128 C 24 138 40 142 60 138", 7)
    s.box(58, 130, 22, 14, s.lin(0, 130, 0, 144, STEEL[5], STEEL[2], STEEL[0]), LINE, 1.2, 2)
    s.box(78, 132, 12, 10, s.lin(0, 132, 0, 142, STEEL[5], STEEL[1]), LINE, 1.1, 1)
    s.box(40, 82, 16, 14, s.lin(40, 0, 56, 0, STEEL[5], STEEL[2], STEEL[0]), LINE, 1.2, 1)
    s.c(49.5, 49, 40, "#0d0b10", op=0.35)
    s.c(48, 46, 40, s.lin(18, 16, 78, 76, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.5)
    s.c(48, 46, 33, s.lin(20, 20, 74, 74, STEEL[4], STEEL[1]), LINE, 1.0)
    s.c(48, 46, 31, s.lin(24, 20, 70, 74, "#fbf9f4", SAND[5]), None)
    for k in range(21):
        a = 135 + 13.5 * k
        s.line([polar(48, 46, 23 if k % 5 == 0 else 26, a), polar(48, 46, 29, a)], GRAPH[1], 1.8 if k % 5 == 0 else 1.0)
    s.line([polar(48, 46, 7, 320), polar(48, 46, 26, 140)], ICE[1], 2.4)
    s.c(48, 46, 4, GRAPH[2], LINE, 0.8)
    s.p("M 22 36 A 29 29 0 0 1 40 18", None, "#ffffff", 2.6, 0.8)
    s.mark(foot=(48, 142), dial_centre=(48, 46), coupler=(90, 137))
    s.save()

    f = Sheet("tool_flow_meter", 170, 104)  # turbine block with load valve, dial and two ends
    f.e(86, 96, 76, 6, "#0d0b10", op=0.35)
    f.box(30, 48, 110, 44, f.lin(30, 48, 140, 92, STEEL[5], STEEL[3], STEEL[0]), LINE, 1.5, 5)
    f.p("M 34 88 L 34 55 Q 34 52 37 52 L 134 52", None, "#ffffff", 1.6, 0.6)
    for x, side in ((30, -1), (140, 1)):
        lo = x - 16 if side < 0 else x
        f.box(lo, 56, 16, 28, f.lin(0, 56, 0, 84, STEEL[5], STEEL[2], STEEL[0]), LINE, 1.2, 2)
        f.box(lo - 10 if side < 0 else lo + 16, 61, 10, 18, f.lin(0, 61, 0, 79, STEEL[4], STEEL[1]), LINE, 1.1, 2)
    f.c(64, 34, 28, f.lin(40, 10, 88, 60, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.4)
    f.c(64, 34, 22, f.lin(46, 16, 82, 54, "#fbf9f4", SAND[5]), LINE, 1.0)
    for k in range(13):
        a = 150 + 20 * k
        f.line([polar(64, 34, 16 if k % 3 == 0 else 18, a), polar(64, 34, 20.5, a)], GRAPH[1], 1.4 if k % 3 == 0 else 0.9)
    f.line([(64, 34), polar(64, 34, 18, 230)], ICE[1], 2.0)
    f.c(64, 34, 3, GRAPH[2])
    f.box(112, 32, 12, 18, f.lin(112, 0, 124, 0, STEEL[4], STEEL[1]), LINE, 1.1, 1)
    f.c(118, 22, 14, f.lin(106, 10, 130, 34, PLUM[5], PLUM[3], PLUM[1]), LINE, 1.3)
    for k in range(8):
        f.c(*polar(118, 22, 13, 45 * k), 3, PLUM[3], LINE, 0.9)
    f.c(118, 22, 10, f.lin(108, 12, 128, 32, PLUM[4], PLUM[2]), None)
    f.c(118, 22, 4, ICE[2], LINE, 0.9)
    f.poly([(52, 66), (74, 66), (74, 62), (86, 70), (74, 78), (74, 74), (52, 74)], GRAPH[2], None, r=0.5, op=0.75)
    f.mark(foot=(85, 94), dial_centre=(64, 34), inlet=(4, 70), outlet=(166, 70), load_valve=(118, 22))
    f.save()

    m = Sheet("tool_multimeter", 116, 140)
    m.e(52, 130, 46, 7, "#0d0b10", op=0.35)
    m.tube("M 36 112 C 36 138 92 140 92 104 C 92 84 104 76 104 52", 3.4)
    m.tube("M 62 112 C 62 132 100 128 100 96", 3.4, (PLUM[1], PLUM[3], PLUM[5]))
    m.box(12, 6, 76, 118, m.lin(12, 6, 88, 124, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.6, 12)
    m.box(18, 11, 64, 108, m.lin(18, 11, 82, 119, PLUM[4], PLUM[2], PLUM[1]), LINE, 1.1, 8)
    m.box(25, 18, 50, 28, m.lin(25, 18, 75, 46, "#dfe9e2", "#b9c9c2"), LINE, 1.3, 3)
    m.p("M 20 112 L 20 20 Q 20 14 26 14", None, PLUM[6], 1.6, 0.7)
    for k in range(9):
        a = 160 + 27.5 * k
        m.line([polar(50, 78, 21, a), polar(50, 78, 25, a)], SAND[5], 1.5)
    m.c(50, 78, 18, m.lin(36, 64, 64, 92, GRAPH[4], GRAPH[1]), LINE, 1.2)
    m.poly([(47, 62), (53, 62), (54, 92), (46, 92)], m.lin(46, 0, 54, 0, GRAPH[6], GRAPH[3]), LINE, 1.0, 2)
    m.line([(50, 64), (50, 72)], ICE[4], 2)
    for x in (36, 62):
        m.c(x, 111, 5, GRAPH[0], STEEL[3], 1.2)
    m.box(100.6, 26, 7, 30, m.lin(100, 0, 108, 0, GRAPH[5], GRAPH[1]), LINE, 1.0, 3)
    m.line([(104, 26), (104, 12)], STEEL[3], 2)
    m.mark(foot=(50, 124), display_top_left=(25, 18), display_bottom_right=(75, 46), probe=(104, 12), dial=(50, 78))
    m.save()

    t = Sheet("tool_thermometer", 104, 132)
    t.e(50, 124, 34, 6, "#0d0b10", op=0.35)
    t.poly([(44, 56), (76, 52), (88, 112), (80, 122), (58, 124), (50, 116)], t.lin(44, 0, 88, 0, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.5, 8)
    for y in (78, 88, 98, 108):
        t.line([(56 + (y - 78) * 0.12, y), (80 + (y - 78) * 0.16, y - 2)], GRAPH[0], 2.0)
    t.poly([(8, 20), (18, 12), (78, 8), (92, 22), (92, 50), (80, 62), (40, 60), (28, 46), (8, 42)],
           t.lin(8, 8, 92, 62, PLUM[5], (0.35, PLUM[3]), PLUM[1]), LINE, 1.6, 8)
    t.p("M 12 36 L 12 22 L 20 16 L 76 12", None, PLUM[6], 1.8, 0.8)
    t.poly([(4, 20), (12, 17), (12, 44), (4, 41)], t.lin(4, 0, 12, 0, GRAPH[5], GRAPH[1]), LINE, 1.2, 2)
    t.box(2.5, 25, 4, 11, ICE[2], LINE, 0.9, 1.5)
    t.p("M 34 52 C 30 66 40 76 50 74", None, LINE, 4)
    t.p("M 34 52 C 30 66 40 76 50 74", None, GRAPH[4], 2)
    t.box(52, 18, 32, 24, t.lin(52, 18, 84, 42, "#dfe9e2", "#b9c9c2"), LINE, 1.2, 3)
    t.mark(foot=(68, 123), display_top_left=(52, 18), display_bottom_right=(84, 42), beam=(2, 30))
    t.save()

    a = Sheet("tool_tape", 100, 84)
    a.e(48, 74, 44, 6, "#0d0b10", op=0.35)
    a.poly([(8, 22), (24, 6), (58, 6), (76, 24), (76, 72), (8, 72)], a.lin(8, 6, 76, 72, PLUM[5], PLUM[3], PLUM[1]), LINE, 1.6, 9)
    a.p("M 13 62 L 13 25 L 26 11 L 56 11", None, PLUM[6], 1.8, 0.8)
    a.c(41, 40, 21, a.lin(24, 22, 58, 58, GRAPH[4], GRAPH[2]), LINE, 1.3)
    a.c(41, 40, 15, a.lin(28, 28, 54, 54, SAND[6], SAND[3]), SAND[0], 1.1)
    a.box(60, 9, 13, 13, ICE[2], LINE, 1.2, 4)
    a.box(76, 62, 16, 8, SAND[5], LINE, 1.1, 0.5)
    for x in (80, 84, 88):
        a.line([(x, 62.5), (x, 67 if x != 84 else 69)], LINE, 1.0)
    a.poly([(91, 58), (94, 58), (94, 75), (91, 75)], STEEL[3], LINE, 1.0)
    a.mark(foot=(42, 73), hook=(93, 66))
    a.save()

    v = Sheet("tool_level", 250, 52)
    v.e(124, 45, 118, 5, "#0d0b10", op=0.35)
    v.box(4, 8, 240, 34, v.lin(0, 8, 0, 42, SAND[6], (0.25, SAND[4]), (0.8, SAND[2]), SAND[1]), LINE, 1.5, 3)
    v.box(4, 35, 240, 7, v.lin(0, 35, 0, 42, STEEL[4], STEEL[1]), LINE, 1.1, 1)
    v.line([(10, 11.4), (238, 11.4)], "#ffffff", 1.4, 0.8)
    for x in (5, 230):
        v.box(x, 8, 13, 34, v.lin(x, 0, x + 13, 0, GRAPH[5], GRAPH[2]), LINE, 1.1, 3)
    for x in (52, 196):
        v.box(x - 20, 16, 40, 13, GRAPH[2], LINE, 1.1, 6)
    v.box(90, 10.5, 68, 21, GRAPH[1], LINE, 1.3, 8)
    v.box(95, 14, 58, 14, v.lin(0, 14, 0, 28, ICE[5], ICE[3], ICE[2]), ICE[0], 1.1, 7)
    v.box(114, 15.5, 20, 9.5, v.lin(0, 15, 0, 25, "#ffffff", ICE[4]), ICE[0], 1.0, 4.6)
    for x in (113, 135):
        v.line([(x, 14), (x, 28)], GRAPH[1], 1.4)
    v.mark(foot=(124, 42))
    v.save()

    c = Sheet("clipboard", 300, 400)
    c.box(10, 22, 284, 374, "#0d0b10", None, r=12, op=0.35)
    c.box(6, 16, 284, 376, c.lin(6, 16, 290, 392, SAND[3], SAND[2], SAND[1]), LINE, 1.8, 12)
    c.p("M 11 380 L 11 30 Q 11 21 20 21 L 276 21", None, SAND[5], 1.8, 0.7)
    c.box(22, 44, 254, 336, "#0d0b10", None, r=2, op=0.25)
    c.box(20, 40, 254, 336, c.lin(20, 40, 274, 376, "#fdfcf9", SAND[6], SAND[5]), SAND[1], 1.0, 1.5)
    c.p("M 92 50 L 92 34 Q 92 22 104 22 L 126 22 Q 130 6 148 6 Q 166 6 170 22 L 192 22 Q 204 22 204 34 L 204 50 Z",
        c.lin(92, 6, 204, 50, STEEL[5], STEEL[3], STEEL[0]), LINE, 1.6)
    c.c(148, 21, 6, GRAPH[2], STEEL[0], 1.4)
    c.line([(98, 43), (198, 43)], STEEL[5], 1.6, 0.8)
    c.mark(paper_top_left=(30, 62), paper_bottom_right=(264, 368))
    c.save()


def draw() -> None:
    """All files of this part."""
    backdrop()
    tools()


if __name__ == "__main__":
    draw()
