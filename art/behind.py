"""Implements as the rear window shows them: from in front, 100 px per metre, standing on the ground."""

from __future__ import annotations

from kit import GRAPH, ICE, LINE, PLUM, SAND, STEEL, Point, Sheet

BODY = (PLUM[5], PLUM[3], PLUM[1])
CAST = (GRAPH[5], GRAPH[3], GRAPH[1])


class Front(Sheet):
    """Sheet in centimetres about the middle of the machine on the ground, y up."""

    def __init__(self, name: str, half: float, high: float) -> None:
        super().__init__(name, 2 * half, high + 6, 1.0, half, high, True)

    def panel(self, points: list[Point], tones: tuple[str, str, str] = BODY, r: float = 5.0) -> None:
        """Sheet metal lit from the left."""
        xs = [x for x, _ in points]
        self.poly(points, self.lin(min(xs), 0, max(xs), 0, *tones), LINE, 1.6, r)

    def bar(self, x: float, y: float, w: float, h: float, tones: tuple[str, str, str] = CAST) -> None:
        """A square tube lying across, or standing."""
        way = (0, y + h, 0, y) if w > h else (x, 0, x + w, 0)
        self.box(x, y, w, h, self.lin(*way, *tones), LINE, 1.4, 1.5)

    def wheels(self, out: float, r: float, wide: float) -> None:
        """A tyre on either side, seen from its tread."""
        for side in (-1, 1):
            x = side * out
            self.box(x - wide / 2, 0, wide, 2 * r, self.lin(x - wide / 2, 0, x + wide / 2, 0, GRAPH[2], GRAPH[4], GRAPH[1]), LINE, 1.6, wide * 0.3)
            for k in range(1, 8):
                y = 2 * r * k / 8
                self.line([(x - wide * 0.42, y - 3), (x, y + 3), (x + wide * 0.42, y - 3)], GRAPH[0], 2.0, 0.9)

    def tongue(self, to: float, high: float) -> None:
        """The tongue coming towards you, widening with nearness."""
        self.panel([(-to, high), (-8, 52), (8, 52), (to, high), (to, high - 14), (10, 36), (-10, 36), (-to, high - 14)], BODY, 2)
        self.c(0, 44, 10, self.lin(-10, 54, 10, 34, STEEL[4], STEEL[1]), LINE, 1.4)
        self.c(0, 44, 4, GRAPH[1])

    def done(self, **spots: Point) -> None:
        """Name the ground and save."""
        self.mark(ground=(0, 0), **spots)
        self.save()


def tines(s: Front, half: float, count: int, top: float) -> None:
    """A rank of shanks under a bar."""
    for k in range(count):
        x = -half + 2 * half * k / (count - 1)
        s.bar(x - 2.5, 12, 5, top - 12, (STEEL[3], STEEL[2], STEEL[0]))
        s.poly([(x - 9, 2), (x + 9, 2), (x, 18)], s.lin(x - 9, 0, x + 9, 0, STEEL[4], STEEL[1]), LINE, 1.2)


def wings(s: Front, at: float, low: float, high: float) -> None:
    """Folded wings standing upright on both sides."""
    for side in (-1, 1):
        x = side * at
        s.bar(x - 6, low, 12, high - low, BODY)
        for k in range(5):
            y = low + 16 + (high - low - 24) * k / 4
            s.line([(x, y), (x - side * 26, y + 4), (x - side * 36, y - 12)], LINE, 4.6)
            s.line([(x, y), (x - side * 26, y + 4), (x - side * 36, y - 12)], STEEL[2], 2.6)


def draw() -> None:
    """All files of this part."""
    s = Front("seat_drawn_planter", 350, 300)
    for x in (-72, 72):
        s.panel([(x - 62, 286), (x - 66, 204), (x - 24, 150), (x + 24, 150), (x + 66, 204), (x + 62, 286)], (SAND[5], SAND[4], SAND[1]), 9)
        s.panel([(x - 50, 284), (x - 46, 297), (x + 46, 297), (x + 50, 284)])
    s.wheels(118, 46, 34)
    s.bar(-336, 66, 672, 20, BODY)
    for k in range(8):
        x = -318 + 636 * k / 7
        s.panel([(x - 20, 122), (x - 18, 84), (x + 18, 84), (x + 20, 122)], (SAND[5], SAND[3], SAND[1]), 3)
        s.box(x - 9, 2, 18, 66, s.lin(x - 9, 0, x + 9, 0, GRAPH[5], GRAPH[2]), LINE, 1.3, 3)
    s.tongue(46, 92)
    s.done(marker=(336, 92))

    s = Front("seat_air_seeder", 330, 290)
    s.panel([(-130, 276), (-142, 190), (-80, 110), (80, 110), (142, 190), (130, 276)], (SAND[5], SAND[4], SAND[1]), 14)
    s.panel([(-46, 274), (-42, 288), (42, 288), (46, 274)])
    s.bar(-9, 84, 18, 140, (STEEL[4], STEEL[2], STEEL[0]))
    s.wheels(150, 33, 30)
    wings(s, 210, 84, 250)
    tines(s, 200, 11, 78)
    s.bar(-216, 74, 432, 18, BODY)
    s.tongue(70, 92)
    s.done()

    s = Front("seat_round_baler", 160, 262)
    s.wheels(116, 44, 36)
    s.panel([(-92, 236), (-96, 60), (96, 60), (92, 236), (70, 250), (-70, 250)], BODY, 10)
    s.panel([(-70, 236), (-78, 190), (78, 190), (70, 236)], (SAND[5], SAND[3], SAND[1]), 6)
    for x in range(-76, 77, 19):
        s.bar(x - 6, 66, 12, 116, (GRAPH[4], GRAPH[3], GRAPH[1]))
    s.line([(-92, 186), (92, 186)], ICE[2], 3)
    s.bar(-104, 22, 208, 22, CAST)
    for k in range(17):
        s.line([(-98 + k * 12.2, 40), (-98 + k * 12.2, 14)], STEEL[2], 2.0)
    s.tongue(40, 84)
    s.done()

    s = Front("seat_mower_conditioner", 190, 168)
    s.wheels(96, 42, 30)
    s.panel([(-168, 84), (-150, 128), (150, 128), (168, 84)], BODY, 8)
    s.panel([(-174, 88), (-174, 28), (174, 28), (174, 88)], (GRAPH[4], GRAPH[3], GRAPH[1]), 4)
    for k in range(20):
        s.line([(-166 + k * 17.5, 86), (-166 + k * 17.5, 30)], GRAPH[0], 1.6, 0.8)
    s.bar(-178, 14, 356, 14, (STEEL[4], STEEL[2], STEEL[0]))
    s.line([(-150, 108), (150, 108)], ICE[2], 3)
    s.bar(-40, 124, 80, 16, BODY)
    s.tongue(26, 142)
    s.done()

    s = Front("seat_sprayer", 170, 260)
    s.wheels(100, 86, 32)
    s.panel([(-84, 150), (-66, 106), (66, 106), (84, 150), (84, 196), (60, 234), (-60, 234), (-84, 196)], (SAND[6], SAND[4], SAND[2]), 24)
    s.panel([(-26, 232), (-22, 246), (22, 246), (26, 232)])
    s.bar(-70, 80, 140, 20, BODY)
    for side in (-1, 1):
        for y in (126, 178):
            s.bar(side * 138 - 7, y - 7, 14, 14, BODY)
        s.bar(side * 138 - 4, 112, 8, 84, BODY)
        s.line([(side * 134, 132), (side * 90, 120)], LINE, 4)
    s.tongue(44, 92)
    s.done()

    s = Front("seat_grain_cart", 200, 336)
    s.wheels(128, 90, 56)
    s.panel([(-164, 312), (-164, 250), (-60, 104), (60, 104), (164, 250), (164, 312)], BODY, 6)
    s.panel([(-164, 312), (-164, 254), (164, 254), (164, 312)], (PLUM[6], PLUM[4], PLUM[2]), 5)
    s.line([(-162, 258), (162, 258)], ICE[2], 3.4)
    s.bar(-172, 312, 344, 14, (SAND[5], SAND[3], SAND[1]))
    s.box(-30, 270, 60, 30, s.lin(-30, 300, 30, 270, ICE[4], ICE[2]), LINE, 1.4, 4)
    s.tube("M 40 104 L 142 236", 26, (PLUM[1], PLUM[3], PLUM[5]))
    s.tongue(46, 96)
    s.done()

    for name, folded, half, count in (("seat_tillage", True, 150, 9), ("seat_general_mounted", False, 140, 8)):
        s = Front(name, 220, 220 if folded else 140)
        if folded:
            wings(s, 168, 70, 206)
        tines(s, half, count, 62)
        s.bar(-half - 14, 58, 2 * half + 28, 18, BODY)
        for x in (-43, 43):
            s.panel([(x - 9, 56), (x - 9, 76), (x * 0.3 - 6, 124), (x * 0.3 + 6, 124), (x + 9, 76), (x + 9, 56)], BODY, 3)
        s.done()

    s = Front("seat_spreader", 130, 196)
    for x in (-58, 58):
        s.bar(x - 6, 4, 12, 140, BODY)
    s.panel([(-112, 182), (-106, 144), (-40, 84), (40, 84), (106, 144), (112, 182)], (SAND[5], SAND[4], SAND[1]), 7)
    s.bar(-118, 180, 236, 10, BODY)
    for x in (-46, 46):
        s.e(x, 66, 40, 7, s.lin(x - 40, 0, x + 40, 0, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.4)
    s.bar(-64, 48, 128, 10, CAST)
    s.done()

    s = Front("seat_general_drawn", 170, 196)
    s.wheels(120, 50, 40)
    s.panel([(-104, 168), (-104, 78), (104, 78), (104, 168), (88, 184), (-88, 184)], BODY, 8)
    s.line([(-104, 122), (104, 122)], ICE[2], 3)
    s.box(-30, 134, 60, 34, s.lin(-30, 168, 30, 134, GRAPH[3], GRAPH[1]), PLUM[1], 1.4, 4)
    s.tongue(42, 86)
    s.done()


if __name__ == "__main__":
    draw()
