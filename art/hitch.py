"""Hitch place, close up: 300 px per metre (cm, y up; x rearward of the rear axle or of the part's own pin)."""

from __future__ import annotations

from kit import GRAPH, ICE, LINE, PLUM, SAND, STEEL, Sheet, polar
from linkage import (
    HITCH,
    LINK_CM,
    MAST_CM,
    TOP_CM,
    bar,
    coupler,
    headstock,
    latch,
    lower_link,
    stand,
    top_hook,
    top_link,
)
from planter import row_unit
from tractor import wheel

ARM_PIVOT = (5.0, 140.0)
ARM_CM, ROD_CM = 40.0, 78.5


def _sheet(name: str, left: float, right: float, low: float, high: float, scale: float = HITCH) -> Sheet:
    return Sheet(name, (right - left) * scale, (high - low) * scale, scale, -left * scale, high * scale, True)


def tractor_rear() -> None:
    """Rear quarter: far tyre behind, axle end with its flange (near wheel left out), casting, brackets, stub."""
    s = _sheet("hitch_tractor_rear", -74, 104, -2, 204)
    far = _sheet("far_wheel", -74, 104, -2, 204)
    wheel(far, 4, 96, 96, 58, 23)
    s.place(far, 0, 0, 1, "#1a171d", 0.5)  # it stands in the shade of the machine
    # rear wall of the cab, lower edge of its window
    s.poly([(-78, 206), (16, 206), (27, 190), (29, 150), (20, 140), (-78, 140)],
           s.lin(-78, 206, 29, 140, PLUM[4], PLUM[2], PLUM[1]), LINE, 1.6, 4)
    s.poly([(-78, 206), (10, 206), (18, 194), (-78, 194)], s.lin(-78, 0, 18, 0, ICE[2], GRAPH[3]), LINE, 1.4, 2)
    s.poly([(-50, 206), (-34, 206), (-42, 194), (-58, 194)], "#eef8f8", None, op=0.2)
    s.line([(-76, 190), (20, 190)], PLUM[5], 1.6, 0.7)
    s.box(-60, 160, 62, 22, PLUM[2], PLUM[1], 1.2, 3, op=0.7)
    # frame and housing
    s.poly([(-76, 64), (-30, 58), (28, 60), (40, 74), (44, 120), (30, 150), (-6, 158), (-76, 154)],
           s.lin(-76, 150, 40, 60, GRAPH[5], (0.4, GRAPH[3]), GRAPH[1]), LINE, 1.6, 9)
    s.p("M -72 150 L -8 154 L 27 146 L 40 119", None, GRAPH[6], 2, 0.6)
    s.poly([(-70, 74), (-34, 70), (-34, 142), (-70, 146)], s.lin(-70, 140, -34, 70, GRAPH[4], GRAPH[2]), GRAPH[1], 1.3, 6)
    for x, y in ((-65, 79), (-39, 76), (-39, 136), (-65, 140), (-65, 110), (-39, 106)):
        s.bolt(x, y, 1.7)
    s.poly([(30, 68), (44, 76), (46, 118), (34, 146), (28, 146), (28, 68)], s.lin(28, 0, 46, 0, GRAPH[4], GRAPH[2], GRAPH[1]), LINE, 1.4, 3)
    for y in (78, 94, 110, 126):
        s.bolt(33, y, 1.6)
    # axle end, flange and bar axle towards the viewer
    s.c(1.5, 95, 33, "#0d0b10", op=0.4)
    s.c(0, 97, 32, s.lin(-28, 125, 28, 69, GRAPH[6], GRAPH[4], GRAPH[2], GRAPH[1]), LINE, 1.6)
    for k in range(10):
        s.bolt(*polar(0, 97, 27, 36 * k + 10), 1.9)
    s.c(0, 97, 22, s.lin(-20, 115, 20, 79, GRAPH[3], GRAPH[4], GRAPH[2]), GRAPH[1], 1.2)
    s.c(0, 97, 12.5, s.lin(-11, 108, 11, 86, STEEL[5], STEEL[3], STEEL[0]), LINE, 1.4)
    s.c(0, 97, 9.5, s.lin(-9, 105, 9, 89, STEEL[3], STEEL[2]), STEEL[1], 1)
    s.box(-1.7, 105, 3.4, 4.6, GRAPH[2], LINE, 0.9)
    s.c(0, 97, 2, STEEL[0], STEEL[4], 0.8)
    s.p("M -24 113 A 29 29 0 0 0 -8 124.9", None, "#ffffff", 2, 0.5)
    # fender flange above
    x0, y0 = polar(0, 97, 101, 152)
    x1, y1 = polar(0, 97, 101, 40)
    x2, y2 = polar(0, 97, 107, 39)
    x3, y3 = polar(0, 97, 107, 153)
    s.p(f"M {x0} {y0} A 101 101 0 0 0 {x1} {y1} L {x2} {y2} A 107 107 0 0 1 {x3} {y3} Z",
        s.lin(-90, 190, 90, 160, PLUM[5], PLUM[3], PLUM[1]), LINE, 1.5)
    # top link bracket with three holes
    s.poly([(18, 128), (26, 132), (36, 124), (38, 98), (32, 90), (20, 96)], s.lin(18, 130, 38, 92, STEEL[3], STEEL[1], STEEL[0]), LINE, 1.5, 3)
    for y in (118, 110, 102):
        s.c(30, y, 2.0, GRAPH[1], STEEL[0], 1.2)
    # lower pivot bracket
    s.poly([(-10, 68), (16, 70), (18, 52), (10, 44), (-2, 44), (-12, 54)], s.lin(-10, 70, 16, 46, STEEL[3], STEEL[1], STEEL[0]), LINE, 1.5, 4)
    for x, y in ((-5, 63), (11, 64)):
        s.bolt(x, y, 1.6)
    s.pin(5, 55, 3.4)
    # stub with its master shield
    s.box(42, 71, 14, 7, s.lin(0, 78, 0, 71, STEEL[5], STEEL[2], STEEL[0]), LINE, 1.2, 0.6)
    for y in (72.6, 74.2, 75.8):
        s.line([(47, y), (56, y)], STEEL[0], 1.1, 0.8)
    s.line([(50.5, 71.2), (50.5, 77.8)], STEEL[0], 2.0, 0.8)
    s.poly([(38, 96), (60, 92), (64, 88), (64, 82), (61, 82), (60, 87), (40, 90)], s.lin(38, 96, 62, 82, PLUM[5], PLUM[3], PLUM[1]), LINE, 1.4, 1)
    # rockshaft boss
    s.c(*ARM_PIVOT, 10, s.lin(-5, 150, 15, 130, GRAPH[6], GRAPH[3], GRAPH[1]), LINE, 1.5)
    for k in range(6):
        s.bolt(*polar(*ARM_PIVOT, 7.4, 60 * k), 0.9)
    # valve block edge and two couplers, high up
    s.poly([(26, 182), (44, 182), (44, 152), (26, 152)], s.lin(26, 0, 44, 0, STEEL[4], STEEL[2], STEEL[1]), LINE, 1.4, 1.5)
    for y in (173, 160):
        s.box(43, y - 3.6, 9, 7.2, s.lin(0, y + 3.6, 0, y - 3.6, STEEL[5], STEEL[3], STEEL[0]), LINE, 1.2, 1)
        s.box(47, y - 4.4, 3.4, 8.8, s.lin(0, y + 4.4, 0, y - 4.4, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.1, 0.6)
    s.tube("M 30 152 C 30 142 24 140 20 136", 2.4, (STEEL[0], STEEL[2], STEEL[4]))
    s.mark(rear_axle=(0, 97), rear_axle_ground=(0, 0), lower_pivot=(5, 55), top_pivot=(30, 110), top_pivot_upper=(30, 118),
           top_pivot_lower=(30, 102), lift_arm_pivot=ARM_PIVOT, pto_stub=(56, 74.5), hose_root=(52, 173), hose_root_lower=(52, 160),
           drawbar_root=(0, 46))
    s.save()


def lift_parts() -> None:
    """Lift arm and lift rod."""
    s = _sheet("hitch_lift_arm", -12, 48, -9, 9)
    bar(s, (0, 0), (ARM_CM, 0), 6.0, 3.6, (PLUM[5], PLUM[3], PLUM[1]), 2)
    s.c(0, 0, 7.6, s.lin(-7, 7, 7, -7, PLUM[5], PLUM[3], PLUM[1]), LINE, 1.3)
    s.c(0, 0, 4, GRAPH[3], LINE, 1.1)
    s.pin(ARM_CM, 0, 3.0)
    s.mark(pivot=(0, 0), rod_pin=(ARM_CM, 0))
    s.save()
    s = _sheet("hitch_lift_rod", -7, 7, -6, ROD_CM + 6)
    bar(s, (0, 0), (0, ROD_CM), 2.2, 2.2, (STEEL[4], STEEL[2], STEEL[0]), 1)
    s.box(-4.2, 34, 8.4, 18, s.lin(-4, 0, 4, 0, GRAPH[6], GRAPH[3], GRAPH[1]), LINE, 1.3, 1.4)
    for k in range(8):
        s.line([(-2.2, 18 + k * 1.9), (2.2, 18.8 + k * 1.9)], STEEL[0], 1.0, 0.8)
    s.p("M 4 46 L 6 46", None, ICE[2], 3)
    for y in (0.0, ROD_CM):
        s.pin(0, y, 3.6)
    s.mark(link_pin=(0, 0), arm_pin=(0, ROD_CM))
    s.save()


def scaled_parts() -> None:
    """Pieces shared with the yard, at hitch scale."""
    s = _sheet("hitch_lower_link", -8, LINK_CM + 10, -10, 10)
    lower_link(s)
    s.save()
    s = _sheet("hitch_top_link", -7, TOP_CM + 7, -7, 10)
    top_link(s)
    s.save()
    s = _sheet("hitch_coupler", -11, 25, -15, MAST_CM + 12)
    coupler(s, with_latch=False, with_hook=False)
    s.mark(latch_pivot=(6, 17))
    s.save()
    s = _sheet("hitch_top_hook", 2, 24, MAST_CM - 12, MAST_CM + 11)
    top_hook(s)
    s.save()
    s = _sheet("hitch_latch", -5, 14, -15, 25)
    latch(s)
    s.save()
    s = _sheet("hitch_headstock", -12, 50, -14, MAST_CM + 10)
    headstock(s)
    s.poly([(11, 64), (19, 66), (22, 42), (14, 40)], s.lin(11, 0, 22, 0, STEEL[4], STEEL[1]), LINE, 1.2, 1.5)  # hose clamp
    for y in (61, 54, 47):
        s.c(16.4, y, 2.3, GRAPH[1], STEEL[4], 1.0)
    s.mark(lower_pin=(0, 0), top_pin=(0, MAST_CM), toolbar_underside=(36, -2), toolbar_top=(36, 16), toolbar_centre=(36, 7),
           toolbar_rear=(45, 7), hose_root=(16.4, 54), stand_sleeve=(19, 7), level_seat=(36, 16), mast_face=(-5, 40),
           ground_at_work=(0, -55))
    s.save()
    s = _sheet("hitch_stand", -16, 16, -64, 17)
    stand(s)
    s.save()
    s = _sheet("hitch_row_unit", 40, 188, -4, 152)
    row_unit(s)
    s.mark(toolbar_rear=(45, 62), ground=(103, 0))
    s.save()
    s = _sheet("hitch_drawbar", -4, 116, 26, 66)
    s.poly([(-2, 50), (84, 48), (84, 40), (-2, 42)], s.lin(0, 50, 0, 40, STEEL[3], STEEL[1], GRAPH[2]), LINE, 1.5, 1)
    s.p("M 2 48.6 L 80 46.8", None, STEEL[5], 1.6, 0.7)
    s.poly([(74, 57), (110, 57), (112, 54), (112, 50), (80, 50.5)], s.lin(0, 57, 0, 50, STEEL[3], STEEL[1]), LINE, 1.4, 1.6)
    s.poly([(74, 38.5), (110, 38.5), (112, 35), (110, 32.5), (78, 32.5)], s.lin(0, 38, 0, 32, STEEL[2], GRAPH[2]), LINE, 1.4, 1.6)
    s.box(97, 29, 6, 30, s.lin(97, 0, 103, 0, STEEL[5], STEEL[2], STEEL[0]), LINE, 1.3, 0.6)
    s.box(94, 57, 12, 3.2, STEEL[2], LINE, 1.2, 0.8)
    s.p("M 100 60 C 100 66 109 65 108 58", None, LINE, 4.4)
    s.p("M 100 60 C 100 66 109 65 108 58", None, ICE[2], 2.6)
    for x in (22, 50, 79):
        s.bolt(x, 45.6, 1.5)
    s.mark(drawbar_root=(0, 46), hook=(100, 50), ground=(0, 26))
    s.save()


def drawbar_parts() -> None:
    """What a drawn machine is held by: clevis, pin, clip, tongue with its eye, and the telescoping drive shaft."""
    s = _sheet("hitch_clevis", -62, 118, 24, 62)
    s.poly([(-60, 50.4), (84, 48.6), (84, 40.4), (-60, 41.6)], s.lin(0, 50, 0, 40, STEEL[3], STEEL[1], GRAPH[2]), LINE, 1.6, 1)
    s.p("M -40 49 L 80 47.4", None, STEEL[5], 1.8, 0.7)
    s.poly([(56, 50), (74, 58), (109, 58), (112, 55.5), (112, 51), (88, 51), (88, 39), (112, 39), (112, 34.5), (109, 32), (74, 32),
            (56, 40)], s.lin(0, 58, 0, 32, STEEL[4], STEEL[2], GRAPH[2]), LINE, 1.6, [2, 3, 1.6, 1.6, 1, 1.6, 1.6, 1, 1.6, 1.6, 3, 2])
    s.p("M 75 56.6 L 108 56.6", None, STEEL[5], 1.6, 0.8)
    s.p("M 90 37.8 L 110 37.8", None, STEEL[4], 1.2, 0.6)
    for y in (51.4, 32.4):  # the hole, in both plates
        s.box(97, y, 6, 6.2, GRAPH[1], STEEL[0], 1.0, 0.8, op=0.85)
    for x in (-20, 2, 24, 46):  # holes of the other settings
        s.c(x, 45.6, 2.0, GRAPH[1], STEEL[4], 1.1)
    s.mark(hole=(100, 45), root=(0, 46), setting=(24, 45.6))
    s.save()
    s = _sheet("hitch_drawbar_support", -22, 34, 28, 70)
    s.poly([(-18, 68), (20, 68), (26, 54), (26, 38), (16, 34), (-14, 34), (-20, 42)], s.lin(-20, 68, 26, 34, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.6, 4)
    s.p("M -15 66 L 18 66 L 23 55", None, GRAPH[6], 1.6, 0.7)
    for x, y in ((-10, 61), (12, 61), (-10, 39), (14, 39)):
        s.bolt(x, y, 1.7)
    s.p("M 20 42 C 33 42 33 30 23 30", None, LINE, 5.6)
    s.p("M 20 42 C 33 42 33 30 23 30", None, STEEL[3], 3.6)
    s.mark(root=(0, 46), chain=(29, 35))
    s.save()
    s = _sheet("hitch_drawbar_pin", -9, 12, -18, 27)
    s.box(-2.9, -15, 5.8, 32, s.lin(-2.9, 0, 2.9, 0, STEEL[5], STEEL[2], STEEL[0]), LINE, 1.4, 1.2)
    s.box(-6, 15, 12, 3.6, s.lin(-6, 0, 6, 0, STEEL[4], STEEL[1]), LINE, 1.3, 0.9)
    s.p("M -3 18 C -6 26 7 27 6 18", None, LINE, 6.0)
    s.p("M -3 18 C -6 26 7 27 6 18", None, ICE[2], 3.8)
    s.c(0, -12, 1.1, GRAPH[0], STEEL[0], 0.9)
    s.mark(middle=(0, 0), grip=(1.5, 22), clip=(0, -12))
    s.save()
    s = _sheet("hitch_pin_clip", -6, 17, -7, 7)
    for wide, tone in ((4.6, LINE), (2.6, ICE[3])):
        s.p("M -4 0.6 L 12 0.6 C 16 0.6 16 -5 12 -5 C 9 -5 8.5 -2 6 -1.8 C 3 -1.6 2.4 -4.4 0 -4 C -1.6 -3.6 -3 -2.4 -4.6 -2.4", None, tone, wide)
    s.mark(hole=(0, 0.6), grip=(12, -2))
    s.save()
    s = _sheet("hitch_tongue", -10, 190, -34, 96)
    # far side of the tongue, then the near channel with its web, rising to the machine
    s.poly([(20, 2), (186, 22), (186, 6), (24, -9)], s.lin(0, 20, 0, -8, PLUM[2], PLUM[1]), LINE, 1.4, 2)
    s.poly([(16, 6.5), (60, 9), (188, 26), (188, 4), (60, -10), (16, -8.5)], s.lin(40, 24, 46, -10, PLUM[5], (0.4, PLUM[3]), PLUM[1]), LINE, 1.7, 2)
    s.p("M 18 4.6 L 60 7 L 186 23.6", None, PLUM[6], 2.0, 0.75)
    s.p("M 20 -6.4 L 60 -7.6 L 186 6.4", None, PLUM[1], 1.4, 0.7)
    # forged eye bolted through the tongue's front
    s.poly([(-5.4, 4.2), (2, 5.6), (14, 5.2), (40, 5.4), (40, -6), (14, -5.4), (2, -5.6), (-5.4, -4.2), (-7.4, 0)],
           s.lin(0, 6, 0, -6, STEEL[5], STEEL[3], STEEL[1]), LINE, 1.6, 2.4)
    s.p("M -4.6 3 L 2 4.2 L 38 4", None, "#ffffff", 1.4, 0.5)
    s.box(-3.5, -5.4, 7, 10.8, s.lin(-3.5, 0, 3.5, 0, GRAPH[0], STEEL[0], GRAPH[1]), LINE, 1.0, 1.6, op=0.75)
    for x in (20, 32):
        s.bolt(x, -0.4, 2.3)
    # safety chain's lug, jack sleeve, rest of the shaft, hose mast
    s.poly([(44, -8), (56, -8.6), (52, -19), (46, -19)], s.lin(44, 0, 56, 0, STEEL[3], STEEL[0]), LINE, 1.4, 1.5)
    s.c(49, -14, 2.2, GRAPH[1], STEEL[4], 1.0)
    s.c(92, 3, 10, s.lin(84, 12, 100, -6, PLUM[5], PLUM[3], PLUM[1]), LINE, 1.6)
    s.c(92, 3, 5, GRAPH[2], LINE, 1.2)
    for k in range(6):
        s.bolt(*polar(92, 3, 7.6, 60 * k + 30), 0.9)
    bar(s, (66, 8), (66, 24), 2.2, 2.0, (GRAPH[5], GRAPH[3], GRAPH[1]), 0.6)
    s.p("M 58 34 C 58 24 74 24 74 34", None, LINE, 5.0)
    s.p("M 58 34 C 58 24 74 24 74 34", None, GRAPH[5], 2.8)
    bar(s, (124, 14), (124, 84), 2.6, 2.2, (GRAPH[5], GRAPH[3], GRAPH[1]), 0.8)
    s.p("M 124 84 C 122 94 108 94 104 86", None, LINE, 7.0)
    s.p("M 124 84 C 122 94 108 94 104 86", None, GRAPH[5], 4.4)
    s.c(105, 86, 3.4, ICE[2], LINE, 1.2)
    # front bearing of the machine's drive line
    s.poly([(140, 18), (168, 22), (166, 40), (142, 40)], s.lin(140, 0, 168, 0, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.5, 3)
    s.c(154, 31, 7, s.lin(148, 38, 160, 24, STEEL[4], STEEL[1]), LINE, 1.2)
    s.mark(eye=(0, 0), jack=(92, 3), chain=(49, -14), hose_root=(106, 86), level=(78, 12), joint=(138, 31), rest=(66, 29), front=(16, 0))
    s.save()
    for guarded in (True, False):
        tail = "" if guarded else "_bare"
        for name, half, to in (("tractor", 5.0, 1), ("implement", 4.0, -1)):
            box = (-12.0, 112.0) if to > 0 else (-112.0, 12.0)
            s = _sheet(f"hitch_shaft_{name}{tail}", box[0], box[1], -13, 13)
            # yoke and cross
            s.poly([(-9 * to, 5), (2 * to, 6), (8 * to, 3), (8 * to, -3), (2 * to, -6), (-9 * to, -5)], s.lin(0, 6, 0, -6, STEEL[4], STEEL[1], STEEL[0]), LINE, 1.5, 1.5)
            s.c(0, 0, 3.2, s.lin(-3, 3, 3, -3, STEEL[5], STEEL[1]), LINE, 1.2)
            if guarded:
                s.box(*((10.0, -half) if to > 0 else (-106.0, -half)), 96, 2 * half,
                      s.lin(0, half, 0, -half, GRAPH[6], GRAPH[4], GRAPH[2], GRAPH[1]), LINE, 1.6, 1.4)
                s.line([((14) * to, half * 0.55), (102 * to, half * 0.55)], GRAPH[6], 1.6, 0.8)
                s.poly([(-7 * to, 10.5), (2 * to, 10), (14 * to, 6.4), (22 * to, 6), (22 * to, -6), (14 * to, -6.4), (2 * to, -10), (-7 * to, -10.5)],
                       s.lin(0, 10, 0, -10, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.6, 2)
                for x in (-3, 1, 5, 9):
                    s.line([(x * to, 9.6 - max(0, x - 1) * 0.3), (x * to, -9.6 + max(0, x - 1) * 0.3)], GRAPH[1], 1.4, 0.8)
                s.box(*((24.0, -half - 1) if to > 0 else (-30.0, -half - 1)), 6, 2 * half + 2, s.lin(0, half, 0, -half, SAND[5], SAND[3], SAND[1]), LINE, 1.2, 1)
            else:
                thin = half * 0.62
                s.box(*((8.0, -thin) if to > 0 else (-106.0, -thin)), 98, 2 * thin, s.lin(0, thin, 0, -thin, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.5, 0.8)
                for y in (-thin * 0.4, thin * 0.4):
                    s.line([(10 * to, y), (104 * to, y)], STEEL[0], 1.2, 0.7)
            s.mark(joint=(0, 0), end=(106 * to, 0))
            s.save()


def details() -> None:
    """Sway block, bushing, level, tape: drawn larger than life where they must be handled."""
    s = Sheet("hitch_sway_block", 84, 96)
    s.poly([(14, 10), (60, 6), (72, 18), (70, 78), (58, 90), (18, 88), (10, 76)], s.lin(10, 8, 72, 90, STEEL[4], (0.35, STEEL[2]), STEEL[0]), LINE, 1.6, 6)
    s.p("M 14 76 L 18 14 L 58 10", None, STEEL[5], 1.8, 0.8)
    s.poly([(30, 22), (50, 22), (50, 72), (30, 72)], s.lin(30, 0, 50, 0, GRAPH[0], GRAPH[2]), STEEL[0], 1.4, 10)
    for y in (32, 62):
        s.bolt(40, y, 8.5)
    for y in range(24, 76, 8):
        s.line([(56, y), (63, y)], STEEL[0], 1.6)
    s.p("M 70 42 C 84 44 82 60 70 60", None, LINE, 5)
    s.p("M 70 42 C 84 44 82 60 70 60", None, ICE[2], 3)
    s.mark(centre=(40, 47), wear_face=(10, 47))
    s.save()
    b = Sheet("hitch_bushing", 64, 48)
    b.e(40, 26, 13, 19, "#0d0b10", op=0.3)
    b.p("M 22 5 L 44 5 A 12 19 0 0 1 44 43 L 22 43 Z", b.lin(0, 5, 0, 43, STEEL[5], (0.3, STEEL[3]), STEEL[0]), LINE, 1.4)
    b.e(22, 24, 12, 19, b.lin(12, 6, 32, 42, STEEL[5], STEEL[2]), LINE, 1.4)
    b.e(22, 24, 8, 13, b.lin(14, 12, 30, 36, GRAPH[0], GRAPH[3]), STEEL[0], 1.2)
    b.line([(28, 8.5), (48, 8.5)], "#ffffff", 1.6, 0.7)
    b.mark(centre=(22, 24))
    b.save()
    v = Sheet("spirit_level", 186, 34)  # 600 mm at hitch scale
    v.box(3, 6, 180, 22, v.lin(0, 6, 0, 28, SAND[6], (0.25, SAND[4]), (0.8, SAND[2]), SAND[1]), LINE, 1.3, 2.5)
    v.box(3, 22.5, 180, 5.5, v.lin(0, 22, 0, 28, STEEL[4], STEEL[1]), LINE, 1.0, 1)
    v.line([(7, 8.6), (179, 8.6)], "#ffffff", 1.2, 0.8)
    for x in (26, 160):
        v.box(x - 11, 10.5, 22, 9, GRAPH[2], LINE, 1.0, 4)
    for x in (4, 174):
        v.box(x, 6, 8, 22, v.lin(x, 0, x + 8, 0, GRAPH[5], GRAPH[2]), LINE, 1.0, 2)
    v.box(66, 7.5, 54, 14, GRAPH[1], LINE, 1.2, 6)
    v.box(70, 9.6, 46, 9.8, v.lin(0, 9, 0, 20, ICE[4], ICE[3], ICE[2]), ICE[0], 1.0, 4.9)
    for x in (86, 100):
        v.line([(x, 9.6), (x, 19.4)], GRAPH[1], 1.2)
    v.mark(base_centre=(93, 28), bubble_zero=(93, 14.5))
    v.save()
    u = Sheet("level_bubble", 16, 12)
    u.box(1.5, 2, 13, 8, u.lin(0, 2, 0, 10, "#ffffff", ICE[5], ICE[4]), ICE[0], 1.0, 4)
    u.e(5.4, 4.4, 2.4, 1.2, "#ffffff", op=0.95)
    u.mark(centre=(8, 6))
    u.save()
    t = Sheet("tape", 66, 58)
    t.box(7, 8, 46, 44, "#0d0b10", None, r=9, op=0.35)
    t.poly([(5, 14), (14, 4), (40, 4), (50, 16), (50, 48), (5, 48)], t.lin(5, 4, 50, 48, PLUM[5], PLUM[3], PLUM[1]), LINE, 1.4, 7)
    t.p("M 9 42 L 9 17 L 16 8.5 L 38 8.5", None, PLUM[6], 1.6, 0.8)
    t.c(27, 27, 14, t.lin(15, 15, 39, 39, GRAPH[4], GRAPH[2]), LINE, 1.2)
    t.c(27, 27, 9.5, t.lin(18, 18, 36, 36, SAND[5], SAND[3]), SAND[0], 1)
    t.box(40, 6, 9, 9, ICE[2], LINE, 1.1, 3)
    t.box(50, 41, 11, 5.4, SAND[5], LINE, 1.0, 0.5)
    t.line([(53, 42), (53, 45.6)], LINE, 0.9)
    t.line([(57, 42), (57, 44.4)], LINE, 0.9)
    t.poly([(60, 38), (62.4, 38), (62.4, 50), (60, 50)], STEEL[3], LINE, 1.0)
    t.mark(blade_mouth=(50, 44), hook=(62, 44))
    t.save()
    w = Sheet("tape_blade", 306, 14)  # one metre at hitch scale, a tick each centimetre
    w.box(2, 2, 302, 10, w.lin(0, 2, 0, 12, SAND[6], SAND[5], SAND[4]), LINE, 0.9)
    for k in range(101):
        long = 7.0 if k % 10 == 0 else (5.0 if k % 5 == 0 else 3.0)
        w.line([(3 + 3 * k, 12), (3 + 3 * k, 12 - long)], GRAPH[1], 0.9 if k % 10 else 1.3)
    w.mark(zero=(3, 12), metre=(303, 12))
    w.save()


def draw() -> None:
    """All files of this part."""
    tractor_rear()
    lift_parts()
    scaled_parts()
    drawbar_parts()
    details()


if __name__ == "__main__":
    draw()
