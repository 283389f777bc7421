"""Mounted planter from the side (cm; x rearward of the lower hitch pins, y up from the ground)."""

from __future__ import annotations

from kit import GRAPH, ICE, LINE, PLUM, SAND, STEEL, Sheet, mix, polar
from linkage import bar, headstock, toolbar_end

YARD = 0.9
PIN_Y = 55.0


class Lifted(Sheet):
    """Sheet whose origin can be moved while drawing a part made about its own origin."""

    def at(self, x: float, y: float) -> None:
        """Move the origin by (x, y) drawing units."""
        self.ox += x * self.scale
        self.oy += (-y if self.flip else y) * self.scale


def disc(s: Sheet, x: float, y: float, r: float) -> None:
    """Opener disc, ground bright at the edge."""
    s.c(x, y, r, s.lin(x - r, y + r, x + r, y - r, STEEL[5], STEEL[3], STEEL[1]), LINE, 1.1)
    s.c(x, y, r * 0.9, s.lin(x - r, y + r, x + r, y - r, STEEL[3], STEEL[2], STEEL[1]), STEEL[1], 0.5)
    s.p(f"M {x - r * .62} {y + r * .3} L {x - r * .3} {y + r * .62} L {x} {y} Z", "#ffffff", op=0.35)
    s.c(x, y, r * 0.3, GRAPH[3], LINE, 0.8)
    s.c(x, y, r * 0.13, STEEL[3], LINE, 0.5)


def press_wheel(s: Sheet, x: float, y: float, r: float, tyre: float, rim: str = SAND[3]) -> None:
    """Small rubber-tyred wheel."""
    s.c(x, y, r, s.rad(x, y, r, (0, GRAPH[1]), (0.7, GRAPH[2]), (0.88, GRAPH[4]), (1, GRAPH[1])), LINE, 1.1)
    q = r - tyre
    s.c(x, y, q, s.lin(x - q, y + q, x + q, y - q, SAND[5], rim, SAND[1]), LINE, 0.9)
    for k in range(5):
        s.c(*polar(x, y, q * 0.62, 72 * k + 20), q * 0.17, SAND[0], SAND[1], 0.5)
    s.c(x, y, q * 0.3, GRAPH[3], LINE, 0.7)
    s.c(x, y, q * 0.12, STEEL[3])


def row_unit(s: Sheet, dim: float = 0.0) -> None:
    """One row unit in profile; dim > 0 draws the farther one darker."""

    def tone(colour: str) -> str:
        return mix(colour, GRAPH[1], dim)

    # face plate on the bar with U-bolts
    s.box(45, 48, 6, 32, s.lin(45, 0, 51, 0, tone(GRAPH[5]), tone(GRAPH[2])), LINE, 1.1, 1)
    for y in (56, 68):
        s.line([(24, y), (47, y)], tone(STEEL[2]), 1.6)
        s.bolt(48.4, y, 1.6)
    # row cleaner ahead of the opener
    bar(s, (93, 44), (76, 22), 2.2, 1.8, (tone(GRAPH[5]), tone(GRAPH[3]), tone(GRAPH[1])), 1)
    for k in range(12):
        a = 30 * k + 8
        s.poly([polar(74, 14, 14, a), polar(74, 14, 9, a + 14), polar(74, 14, 9, a - 8)], tone(STEEL[2]), LINE, 0.7)
    s.c(74, 14, 9.6, s.lin(65, 22, 83, 6, tone(STEEL[4]), tone(STEEL[1])), LINE, 0.9)
    s.c(74, 14, 3, tone(GRAPH[3]), LINE, 0.7)
    # shank and frame
    s.poly([(88, 82), (99, 82), (104, 58), (132, 54), (152, 46), (158, 36), (150, 32), (128, 38), (108, 32), (94, 34),
            (89, 50)],
           s.lin(88, 82, 150, 32, tone(GRAPH[5]), tone(GRAPH[3]), tone(GRAPH[1])), LINE, 1.3, 3)
    s.p("M 91 79 L 96 79 L 100.5 55.5 L 130 51", None, tone(GRAPH[6]), 0.9, 0.8)
    # parallel arms with the down-force cylinder between them
    bar(s, (58, 58), (84, 71), 1.3, 1.3, (tone(STEEL[5]), tone(STEEL[3]), tone(STEEL[1])), 0.3)
    bar(s, (54, 57), (70, 64.5), 2.7, 2.7, (tone(GRAPH[5]), tone(GRAPH[3]), tone(GRAPH[1])), 1)
    bar(s, (52, 76), (92, 74), 2.3, 2.3, (tone(PLUM[5]), tone(PLUM[3]), tone(PLUM[1])), 1)
    bar(s, (52, 57), (92, 55), 2.3, 2.3, (tone(PLUM[5]), tone(PLUM[3]), tone(PLUM[1])), 1)
    for x, y in ((52, 76), (92, 74), (52, 57), (92, 55)):
        s.pin(x, y, 1.9)
    # opener, gauge wheel, closing wheels
    disc(s, 103, 17.5, 18.5)
    bar(s, (108, 42), (114, 22), 2.6, 2.0, (tone(GRAPH[5]), tone(GRAPH[3]), tone(GRAPH[1])), 1)
    press_wheel(s, 115, 20, 20, 5.5)
    bar(s, (138, 42), (170, 18), 2.6, 2.0, (tone(PLUM[4]), tone(PLUM[3]), tone(PLUM[1])), 1)
    s.p("M 146 48 L 149 43 L 152 44 L 154 38 L 157.5 39 L 158 34", None, tone(STEEL[2]), 1.5)
    press_wheel(s, 166, 14.5, 14.5, 3.6)
    s.poly([(126, 56), (132, 57), (136, 80), (132, 82), (128, 80)], tone(GRAPH[3]), LINE, 0.9, 1)  # depth handle
    s.c(133, 82, 2.2, ICE[2], LINE, 0.8)
    # meter housing and seed box
    s.c(112, 71, 14.5, s.lin(100, 84, 124, 60, tone(GRAPH[5]), tone(GRAPH[3]), tone(GRAPH[1])), LINE, 1.2)
    s.c(112, 71, 10.5, None, tone(GRAPH[5]), 0.9, 0.7)
    s.c(112, 71, 4, tone(STEEL[2]), LINE, 0.8)
    for k in range(6):
        s.c(*polar(112, 71, 12.4, 60 * k), 0.9, tone(STEEL[3]))
    s.poly([(92, 138), (88, 104), (99, 84), (130, 84), (146, 102), (146, 138)],
           s.lin(88, 0, 146, 0, tone(SAND[5]), (0.22, tone(SAND[4])), (0.7, tone(SAND[3])), tone(SAND[1])), LINE, 1.3, 4)
    s.p("M 91 106 L 145 104", None, tone(SAND[1]), 0.9, 0.8)
    s.p("M 101 86 L 92.5 103 L 94 134", None, "#ffffff", 1.0, 0.5)
    s.poly([(96, 112), (102, 112), (102, 132), (97, 132)], tone(SAND[2]), tone(SAND[1]), 0.7, 1.5)  # level window
    s.poly([(97, 112), (102, 112), (102, 123), (97.4, 124)], tone(SAND[0]), None, r=1)
    s.poly([(87, 137), (89, 144), (104, 147), (140, 146), (150, 142), (150, 137)],
           s.lin(87, 0, 150, 0, tone(PLUM[5]), tone(PLUM[3]), tone(PLUM[2])), LINE, 1.2, 2)
    s.p("M 91 143 L 104 145 L 138 144.4", None, tone(PLUM[6]), 0.9, 0.8)
    s.poly([(146, 132), (149, 132), (149, 124), (146, 124)], tone(GRAPH[3]), LINE, 0.8, 0.5)


def fan(s: Sheet, x: float, y: float, r: float) -> None:
    """Vacuum fan: scroll housing, intake, hydraulic motor in the middle, outlet upward."""
    s.poly([(x - 8, y - r + 2), (x + 8, y - r + 2), (x + 2, y - r - 20), (x - 20, y - r - 20), (x - 20, y - r - 14)],
           s.lin(x - 10, 0, x + 10, 0, GRAPH[5], GRAPH[3], GRAPH[1]), LINE, 1.1, 1.5)
    s.p(f"M {x + r} {y} L {x + r + 2} {y + r + 10} L {x + r * 0.36} {y + r + 10} L {x + r * 0.36} {y + r * 0.933} "
        f"A {r} {r} 0 1 1 {x + r} {y} Z",
        s.lin(x - r, y + r, x + r, y - r, PLUM[6], (0.25, PLUM[5]), (0.6, PLUM[3]), PLUM[1]), LINE, 1.4)
    s.poly([(x + r + 3, y + r + 13), (x + r * 0.3, y + r + 13), (x + r * 0.3, y + r + 9), (x + r + 3, y + r + 9)],
           s.lin(x, 0, x + r, 0, PLUM[5], PLUM[2]), LINE, 1, 1)
    s.p(f"M {x - r * .86} {y + r * .1} A {r * .87} {r * .87} 0 0 0 {x + r * .1} {y + r * .86}", None, "#ffffff", 1.0, 0.6)
    s.c(x, y, r * 0.68, s.lin(x - r, y + r, x + r, y - r, PLUM[2], PLUM[4]), PLUM[1], 1.0)
    for k in range(16):
        s.line([polar(x, y, r * 0.4, 22.5 * k), polar(x, y, r * 0.62, 22.5 * k + 16)], PLUM[1], 1.1, 0.8)
    s.c(x, y, r * 0.36, s.lin(x - r * .3, y + r * .3, x + r * .3, y - r * .3, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.1)
    for k in range(4):
        s.c(*polar(x, y, r * 0.25, 90 * k + 45), 1.3, GRAPH[2])
    s.c(x, y, r * 0.13, GRAPH[3], LINE, 0.7)


def planter() -> None:
    """Planter without its lift-assist arm, marker and stands, which move by themselves."""
    left, right, high = -14.0, 192.0, 157.0
    s = Lifted("planter_side", (right - left) * YARD, (high + 4) * YARD, YARD, -left * YARD, high * YARD, True)
    # rear frame that carries the lift-assist pivot, behind the row units
    bar(s, (44, 66), (158, 96), 4.4, 4.0, (GRAPH[5], GRAPH[3], GRAPH[1]), 1.5)
    bar(s, (60, 62), (120, 86), 2.2, 2.2, (GRAPH[4], GRAPH[2], GRAPH[1]), 1)
    # farther row unit, a hand's breadth off by perspective
    s.push("translate(-7 -5)")
    row_unit(s, 0.55)
    s.pop()
    s.at(0, PIN_Y)
    headstock(s, bar_end=False)
    s.at(0, -PIN_Y)
    toolbar_end(s, 27, 53, 18)
    # hose bundle from the mast to the fan, suction hose from the fan to the meters
    s.tube("M 8 118 C 24 136 34 100 50 104", 2.2)
    s.tube("M 9 113 C 24 124 34 92 52 100", 2.2)
    s.tube("M 10 108 C 24 112 30 88 54 97", 1.8, (GRAPH[1], GRAPH[3], ICE[2]))
    row_unit(s)
    s.tube("M 74 98 C 84 84 90 92 100 74", 5.2, (GRAPH[2], GRAPH[4], GRAPH[6]))
    fan(s, 62, 112, 21)
    s.poly([(3, 122), (14, 124), (16, 104), (7, 102)], s.lin(3, 0, 16, 0, STEEL[3], STEEL[1]), LINE, 1.0, 1.5)
    for y in (119, 114, 109):
        s.c(9.6, y, 1.9, GRAPH[1], STEEL[4], 0.7)
    s.c(158, 96, 5.2, s.lin(153, 100, 163, 92, GRAPH[5], GRAPH[2]), LINE, 1.1)
    s.pin(158, 96, 2.6)
    s.mark(lower_pin=(0, PIN_Y), top_pin=(0, PIN_Y + 68.5), ground=(0, 0), toolbar_underside=(36, 53), toolbar_centre=(36, 62),
           stand_sleeve=(19, 62), marker_pivot=(36, 71), lift_assist_pivot=(158, 96), hose_root=(9.6, 114), fan=(62, 112),
           meter=(112, 71), seed_box=(120, 120), implement_shaft=(20, 78), opener=(103, 0),
           jack=(19, 62), level=(36, 71), underside=(36, 53), centre=(84, 86), wheel_ground=(166, 0))
    s.save()


def lift_assist() -> None:
    """Lift-assist arm and wheel; origin at its pivot, wheel axle 82 cm behind and 60 cm below."""
    s = Sheet("lift_assist", 130 * YARD, 108 * YARD, YARD, 8 * YARD, 8 * YARD, True)
    bar(s, (0, 0), (82, -60), 4.2, 3.2, (PLUM[5], PLUM[3], PLUM[1]), 2)
    s.pin(0, 0, 3)
    s.c(82, -60, 36, s.rad(82, -60, 36, (0, GRAPH[1]), (0.62, GRAPH[1]), (0.8, GRAPH[3]), (0.9, GRAPH[4]), (1, GRAPH[1])),
        LINE, 1.2)
    for k in range(30):
        s.line([polar(82, -60, 36, 12 * k), polar(82, -60, 31.5, 12 * k + 5)], GRAPH[0], 1.3, 0.9)
    for share, op in ((0.82, 0.5), (0.64, 0.6)):
        s.c(82, -60, 36 * share, None, GRAPH[5], 0.7, op)
    s.c(82, -60, 20, s.lin(62, -40, 102, -80, SAND[6], SAND[4], SAND[1]), LINE, 1.0)
    s.c(82, -60, 15, s.lin(62, -40, 102, -80, SAND[1], SAND[3]), SAND[0], 0.8)
    for k in range(6):
        s.c(*polar(82, -60, 9.5, 60 * k), 1.4, STEEL[3], LINE, 0.6)
    s.c(82, -60, 5.5, GRAPH[4], LINE, 0.8)
    s.c(82, -60, 2, STEEL[3])
    bar(s, (-2, 0), (10, -8), 3.0, 3.0, (PLUM[5], PLUM[3], PLUM[1]), 2)
    s.pin(0, 0, 2.6)
    s.mark(pivot=(0, 0), wheel=(82, -60), ground=(82, -96))
    s.save()


def marker() -> None:
    """Row marker folded upright; origin at its pivot on the bar end, standing straight up."""
    s = Sheet("marker_arm", 56 * YARD, 184 * YARD, YARD, 26 * YARD, 176 * YARD, True)
    s.poly([(-8, -5), (8, -5), (6, 14), (-6, 14)], s.lin(-8, 0, 8, 0, GRAPH[5], GRAPH[2]), LINE, 1.2, 2)
    bar(s, (0, 6), (0, 96), 3.6, 3.0, (PLUM[5], PLUM[3], PLUM[1]), 1)
    bar(s, (9, 10), (9, 62), 2.0, 2.0, (GRAPH[5], GRAPH[3], GRAPH[1]), 0.8)
    bar(s, (9, 58), (9, 82), 1.1, 1.1, (STEEL[5], STEEL[3], STEEL[1]), 0.2)
    s.pin(9, 10, 1.8)
    s.pin(9, 84, 1.8)
    s.poly([(-5, 92), (11, 80), (13, 86), (6, 102), (-5, 104)], s.lin(-5, 0, 13, 0, PLUM[4], PLUM[1]), LINE, 1.1, 2)
    bar(s, (0, 100), (0, 150), 2.4, 2.0, (PLUM[5], PLUM[3], PLUM[1]), 1)
    s.pin(0, 98, 2.2)
    disc(s, -3, 152, 19)
    s.pin(0, 0, 2.8)
    s.p("M -3 14 C -14 40 -12 80 -3 104", None, GRAPH[1], 2.0)
    s.mark(pivot=(0, 0), disc=(-3, 152), transport_pin=(0, 98))
    s.save()


def draw() -> None:
    """All files of this part."""
    planter()
    lift_assist()
    marker()


if __name__ == "__main__":
    draw()
