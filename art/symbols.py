"""White line symbols, 48 by 48, to be tinted by the program: stations, ports, functions, states."""

from __future__ import annotations

from kit import Point, Sheet, polar, rounded

WHITE = "#ffffff"
THICK = 3.4


class Symbol(Sheet):
    """Sheet with short words for white strokes."""

    def __init__(self, name: str) -> None:
        super().__init__(f"sym_{name}", 48, 48)

    def way(self, *points: Point, sw: float = THICK, dash: str = "") -> None:
        """Open line."""
        self.line(list(points), WHITE, sw, dash=dash)

    def loop(self, *points: Point, r: float = 0.0, sw: float = THICK) -> None:
        """Closed outline."""
        self.p(rounded(list(points), r), None, WHITE, sw)

    def ring(self, x: float, y: float, r: float, sw: float = THICK) -> None:
        """Circle line."""
        self.c(x, y, r, None, WHITE, sw)

    def full(self, *points: Point, r: float = 0.0) -> None:
        """Filled shape."""
        self.p(rounded(list(points), r), WHITE)

    def head(self, x: float, y: float, degrees: float, size: float = 8.0) -> None:
        """Arrow head with its tip at (x, y)."""
        self.full((x, y), polar(x, y, size, degrees + 152), polar(x, y, size, degrees - 152))

    def cylinder(self) -> None:
        """Cylinder with piston and rod, lying."""
        self.loop((5, 17), (31, 17), (31, 31), (5, 31), r=1.5)
        self.way((18, 17), (18, 31))
        self.way((18, 24), (43, 24))


def functions() -> None:
    """What a line or a valve position does."""
    s = Symbol("extend")
    s.cylinder()
    s.way((27, 9), (40, 9))
    s.head(45, 9, 0)
    s.save()
    s = Symbol("retract")
    s.cylinder()
    s.way((44, 9), (32, 9))
    s.head(27, 9, 180)
    s.save()
    s = Symbol("block")
    for x in (15, 33):
        s.way((x, 6), (x, 19))
        s.way((x - 6, 19), (x + 6, 19))
        s.way((x, 42), (x, 29))
        s.way((x - 6, 29), (x + 6, 29))
    s.save()
    s = Symbol("float")
    s.p("M 15 6 L 15 42 M 33 6 L 33 42 M 15 24 L 33 24", None, WHITE, THICK)
    s.c(15, 24, 4.4, WHITE)
    s.c(33, 24, 4.4, WHITE)
    s.save()
    s = Symbol("pressure")
    s.ring(24, 27, 15)
    s.full((24, 12), (31, 24), (17, 24))
    s.way((24, 12), (24, 4))
    s.save()
    s = Symbol("return")
    s.way((24, 5), (24, 34))
    s.head(24, 38, 90, 10)
    s.p("M 8 30 L 8 43 L 40 43 L 40 30", None, WHITE, THICK)
    s.save()
    s = Symbol("drain")
    s.way((24, 4), (24, 34), dash="6 6")
    s.p("M 8 30 L 8 43 L 40 43 L 40 30", None, WHITE, THICK)
    s.save()
    s = Symbol("sense")
    s.way((4, 34), (18, 34), dash="6 6")
    s.p("M 20 34 L 27 34 L 33 14 L 44 14", None, WHITE, THICK)
    s.c(27, 34, 3.6, WHITE)
    s.c(33, 14, 3.6, WHITE)
    s.save()
    s = Symbol("fan")
    s.ring(24, 24, 19)
    for k in range(3):
        a = 120 * k - 90
        (x1, y1), (x2, y2), (x3, y3) = polar(24, 24, 15, a - 22), polar(24, 24, 15, a + 22), polar(24, 24, 4, a + 60)
        s.p(f"M 24 24 Q {x1} {y1} {x2} {y2} Q {x3} {y3} 24 24 Z", WHITE)
    s.c(24, 24, 3.4, WHITE)
    s.save()
    s = Symbol("motor")
    s.ring(24, 24, 17)
    s.full((24, 18), (31, 7.6), (17, 7.6))
    s.way((41, 24), (47, 24))
    s.save()
    s = Symbol("lift")
    s.loop((7, 32), (41, 32), (41, 41), (7, 41), r=1)
    s.way((24, 28), (24, 13))
    s.head(24, 6, -90, 11)
    s.save()
    s = Symbol("lower")
    s.loop((7, 32), (41, 32), (41, 41), (7, 41), r=1)
    s.way((24, 6), (24, 20))
    s.head(24, 28, 90, 11)
    s.save()
    s = Symbol("marker")
    s.way((5, 42), (43, 42))
    s.way((8, 34), (33, 14))
    s.ring(37, 22, 8)
    s.save()
    s = Symbol("fold")
    s.way((24, 40), (24, 30))
    s.p("M 24 30 L 8 30 L 8 12 M 24 30 L 40 30 L 40 12", None, WHITE, THICK)
    s.head(8, 7, -90)
    s.head(40, 7, -90)
    s.save()
    s = Symbol("downforce")
    s.p("M 16 6 L 32 6 L 16 12 L 32 18 L 16 24 L 32 28", None, WHITE, THICK)
    s.head(24, 42, 90, 11)
    s.way((24, 28), (24, 36))
    s.save()
    s = Symbol("seed_drive")
    s.ring(24, 24, 17)
    for k in range(8):
        s.c(*polar(24, 24, 11, 45 * k), 2.6, WHITE)
    s.c(24, 24, 3, WHITE)
    s.save()
    s = Symbol("bus")
    s.ring(24, 24, 19)
    for k in range(9):
        s.c(15 + 9 * (k % 3), 15 + 9 * (k // 3), 2.7, WHITE)
    s.save()
    s = Symbol("lamp")
    s.p("M 20 10 C 8 10 6 18 6 24 C 6 30 8 38 20 38 Z", None, WHITE, THICK)
    for y in (12, 24, 36):
        s.way((27, y), (42, y + (y - 24) * 0.35))
    s.save()
    s = Symbol("shaft")
    s.way((4, 24), (16, 24), sw=5)
    s.way((32, 24), (44, 24), sw=5)
    s.p("M 16 14 L 16 34 M 32 14 L 32 34 M 16 14 L 28 24 L 16 34 M 32 14 L 20 24 L 32 34", None, WHITE, 2.6)
    s.save()


def stations() -> None:
    """Where the trainee can stand."""
    s = Symbol("yard")
    s.p("M 4 22 L 24 7 L 44 22 M 9 19 L 9 41 M 39 19 L 39 41 M 4 41 L 44 41", None, WHITE, THICK)
    s.save()
    s = Symbol("panel")
    s.loop((5, 9), (43, 9), (43, 39), (5, 39), r=4)
    for x in (14, 24, 34):
        for y in (18, 30):
            s.c(x, y, 3.2, WHITE)
    s.save()
    s = Symbol("hitch")
    s.p("M 6 38 L 38 38 M 6 16 L 30 22 M 38 38 L 32 20", None, WHITE, THICK)
    s.c(38, 38, 4.4, WHITE)
    s.c(31, 21, 4.4, WHITE)
    s.way((4, 8), (4, 44), sw=4)
    s.save()
    s = Symbol("seat")
    s.p("M 12 6 C 9 16 12 24 16 29 L 36 29 M 14 29 L 14 37 L 36 37 L 36 29 M 25 37 L 25 43 M 16 43 L 34 43", None, WHITE, THICK)
    s.save()
    s = Symbol("bench")
    s.p("M 3 30 L 45 30 M 9 30 L 9 44 M 39 30 L 39 44", None, WHITE, THICK)
    s.ring(17, 18, 8, 3)
    s.way((17, 18), (21, 14), sw=2.4)
    s.loop((30, 12), (39, 12), (39, 26), (30, 26), r=2, sw=3)
    s.save()


def states() -> None:
    """Safe stop, support, findings."""
    s = Symbol("key")
    s.ring(14, 24, 9)
    s.p("M 23 24 L 44 24 L 44 32 M 35 24 L 35 30", None, WHITE, THICK)
    s.save()
    s = Symbol("brake")
    s.ring(24, 24, 12)
    s.p("M 10 8 A 21 21 0 0 0 10 40 M 38 8 A 21 21 0 0 1 38 40", None, WHITE, THICK)
    s.way((24, 17), (24, 26))
    s.c(24, 31, 2.2, WHITE)
    s.save()
    s = Symbol("neutral")
    s.p("M 14 8 L 14 40 M 34 8 L 34 40 M 14 24 L 34 24", None, WHITE, THICK)
    s.ring(24, 24, 5, 3)
    s.save()
    s = Symbol("chock")
    s.ring(19, 22, 14)
    s.full((30, 40), (45, 40), (38, 25))
    s.way((3, 41), (46, 41))
    s.save()
    s = Symbol("stand")
    s.p("M 6 10 L 42 10 M 24 10 L 24 38 M 13 40 L 35 40", None, WHITE, THICK)
    s.full((24, 28), (33, 40), (15, 40))
    s.save()
    s = Symbol("latch")
    s.p("M 38 8 L 38 24 A 13 13 0 0 1 12 24 L 12 18", None, WHITE, 5)
    s.c(25, 22, 5.4, WHITE)
    s.save()
    s = Symbol("lock")
    s.full((10, 22), (38, 22), (38, 43), (10, 43), r=3)
    s.p("M 15 22 L 15 15 A 9 9 0 0 1 33 15 L 33 22", None, WHITE, THICK)
    s.save()
    s = Symbol("person")
    s.c(24, 11, 6.4, WHITE)
    s.full((14, 22), (34, 22), (32, 34), (29, 44), (19, 44), (16, 34), r=3)
    s.save()
    s = Symbol("drop")
    s.p("M 24 4 C 28 16 38 24 38 32 A 14 13 0 0 1 10 32 C 10 24 20 16 24 4 Z", WHITE)
    s.save()
    s = Symbol("heat")
    s.p("M 18 8 A 6 6 0 0 1 30 8 L 30 27 A 10 10 0 1 1 18 27 Z", None, WHITE, THICK)
    s.c(24, 35, 5, WHITE)
    s.way((24, 16), (24, 32))
    s.save()
    s = Symbol("wipe")
    s.full((8, 26), (20, 14), (36, 22), (42, 36), (28, 32), (18, 40), r=4)
    s.p("M 6 12 L 12 8 M 16 8 L 24 4", None, WHITE, THICK)
    s.save()
    s = Symbol("good")
    s.way((7, 26), (19, 38), (42, 10), sw=5.4)
    s.save()
    s = Symbol("wrong")
    s.p("M 10 10 L 38 38 M 38 10 L 10 38", None, WHITE, 5.4)
    s.save()
    s = Symbol("caution")
    s.loop((24, 5), (45, 42), (3, 42), r=4)
    s.way((24, 18), (24, 29), sw=4)
    s.c(24, 35.4, 2.4, WHITE)
    s.save()
    s = Symbol("stop")
    s.loop(*[polar(24, 24, 20, 45 * k + 22.5) for k in range(8)])
    s.way((15, 24), (33, 24), sw=5)
    s.save()
    s = Symbol("clock")
    s.ring(24, 24, 18)
    s.way((24, 13), (24, 24), (32, 29))
    s.save()
    s = Symbol("rewind")
    s.p("M 10 12 A 19 19 0 1 1 6 30", None, WHITE, THICK)
    s.full((3, 6), (19, 9), (8, 20))
    s.save()
    s = Symbol("help")
    s.p("M 15 17 A 9 9 0 1 1 27 25 C 24 27 24 29 24 32", None, WHITE, 4)
    s.c(24, 40, 2.8, WHITE)
    s.save()


def draw() -> None:
    """All symbols."""
    functions()
    stations()
    states()


if __name__ == "__main__":
    draw()
