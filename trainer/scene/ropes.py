"""Hoses as they are seen: chains of small masses under gravity, and the tubes drawn along them.

Nothing here is judged. What a hose can reach and how tightly it bends is worked out by the scored core from
lengths and places; these ropes only hang, swing and give way to the hose in the hand. Lengths are stage
units (a pixel of the 1280 by 720 layout), y points down, times are seconds.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

import pygame
import pymunk
import pymunk.batch

Point = tuple[float, float]
Colour = tuple[int, int, int]

NODES: Final = 13
"""Masses of one rope; the last one is its end."""
STEP_S: Final = 1.0 / 180.0
MOST_STEPS: Final = 6
"""Steps of one frame at most: after a long pause the ropes lag rather than the window."""
GRAVITY: Final = 1500.0
HAND_SPEED: Final = 4200.0
"""Fastest an end follows the hand, in units a second: a jump of the pointer must not tear a rope."""
PAY_OUT: Final = 900.0
"""How fast a rope grows or shrinks to its slack, in units a second."""
STIFFNESS: Final = 420.0
"""Of the springs that keep a hose from folding, in mass units per second squared."""
QUIET: Final = 6.0
"""Below this speed of every mass, in units a second, a rope counts as hanging still."""
_FAR: Final = 4000.0
_LOOSE: Final = 9.0
"""Play of a rope in its guide."""
_DAMPING: Final = 0.22
_DAMPING_CALM: Final = 0.0005
"""Share of its speed a mass keeps over a second."""
_RESTING, _IN_HAND, _FRAME = 0b001, 0b010, 0b100
_IN_COUPLER: Final = 2
"""So many masses at the end belong to the coupler: what stands out does not push them aside."""
_LEAST_FOLD: Final = 0.04


@dataclass(slots=True)
class _Rope:
    root: Point
    radius: float
    number: int
    nodes: list[pymunk.Body]
    links: list[pymunk.SlideJoint]
    bends: list[pymunk.DampedSpring]
    shapes: list[pymunk.Circle]
    hand: pymunk.Body
    grip: pymunk.SlideJoint
    target: Point
    through: pymunk.SlideJoint | None = None
    guide: Point | None = None
    reach: float = 0.0
    slack: float = 1.1
    length: float = 0.0
    points: list[Point] = field(default_factory=list)
    speed: float = 0.0
    fold: int = 0
    """Index of the point where it is kinked, 0 while it is not."""
    folded: float = 0.0


class Ropes:
    """All hoses of one view.

    >>> ropes = Ropes()
    >>> ropes.add("fan_drain", root=(100.0, 600.0), end=(100.0, 500.0), radius=5.0)
    >>> ropes.hold("fan_drain", (300.0, 300.0))
    >>> for _ in range(120):
    ...     ropes.step(1 / 60)
    >>> x, y = ropes.points("fan_drain")[-1]
    >>> abs(x - 300.0) < 3.0 and abs(y - 300.0) < 3.0
    True
    """

    def __init__(self) -> None:
        self._space = pymunk.Space()
        self._space.gravity = (0.0, GRAVITY)
        self._space.damping = _DAMPING
        self._space.iterations = 12
        self._ropes: dict[str, _Rope] = {}
        self._number = 0
        self._buffer = pymunk.batch.Buffer()
        self._order: list[tuple[_Rope | None, int]] = []
        self._left_s = 0.0
        self._frame: dict[str, pymunk.Segment] = {}

    def bar(self, name: str, first: Point, last: Point, radius: float) -> None:
        """Something that stands out and that ropes lie against: the ground, a drawbar, a shield. A round one
        has both ends in one place. Called again with the same name it is moved."""
        kept = self._frame.get(name)
        if kept is None:
            made = pymunk.Segment(self._space.static_body, first, last, radius)
            made.friction = 0.7
            made.filter = pymunk.ShapeFilter(categories=_FRAME, mask=_RESTING | _IN_HAND)
            self._space.add(made)
            self._frame[name] = made
        elif math.dist(kept.a, first) + math.dist(kept.b, last) > 0.5:
            kept.unsafe_set_endpoints(first, last)
            self._space.reindex_shape(kept)

    def soothe(self, calm: bool) -> None:
        """Let the ropes swing, or, with `calm`, only creep into place."""
        self._space.damping = _DAMPING_CALM if calm else _DAMPING

    def __contains__(self, name: str) -> bool:
        return name in self._ropes

    def names(self) -> list[str]:
        """The ropes in the order they were added."""
        return list(self._ropes)

    def add(self, name: str, root: Point, end: Point, radius: float) -> None:
        """Hang a rope between its root, which never moves, and its end, resting at `end`."""
        nodes, links, shapes = [], [], []
        self._number += 1
        number = self._number
        length = 1.1 * math.dist(root, end)
        part = length / NODES
        previous: pymunk.Body = self._space.static_body
        anchor: Point = root
        for index in range(1, NODES + 1):
            share = index / NODES
            body = pymunk.Body(1.0, 400.0)
            body.position = (root[0] + (end[0] - root[0]) * share, root[1] + (end[1] - root[1]) * share)
            shape = pymunk.Circle(body, radius)
            shape.friction = 0.6
            link = pymunk.SlideJoint(previous, body, anchor, (0.0, 0.0), 0.0, part)
            self._space.add(body, shape, link)
            nodes.append(body)
            links.append(link)
            shapes.append(shape)
            previous, anchor = body, (0.0, 0.0)
        # Two links on from each mass must stay apart: that is the hose's stiffness.
        bends = [
            pymunk.DampedSpring(first, second, (0.0, 0.0), (0.0, 0.0), 2.0 * part, STIFFNESS, 6.0)
            for first, second in zip(nodes, nodes[2:], strict=False)
        ]
        self._space.add(*bends)
        hand = pymunk.Body(body_type=pymunk.Body.KINEMATIC)
        hand.position = end
        grip = pymunk.SlideJoint(hand, nodes[-1], (0.0, 0.0), (0.0, 0.0), 0.0, 0.5)
        self._space.add(hand, grip)
        rope = _Rope(root, radius, number, nodes, links, bends, shapes, hand, grip, end, length=length)
        rope.points = [root, *((body.position.x, body.position.y) for body in nodes)]
        self._ropes[name] = rope
        self._touching(rope, False, anew=True)
        self._order.clear()

    def remove(self, name: str) -> None:
        """Take a rope away."""
        rope = self._ropes.pop(name)
        if rope.through is not None:
            self._space.remove(rope.through)
        self._space.remove(*rope.links, *rope.bends, rope.grip)
        self._space.remove(*rope.shapes, *rope.nodes, rope.hand)
        self._order.clear()

    def tightest(self, name: str) -> tuple[int, float]:
        """Where a rope is bent most, as an index of its points, and the radius there; of one in a guide, on
        the way from there to its end."""
        rope = self._ropes[name]
        points, first, last = rope.points, 2, NODES - _IN_COUPLER
        if rope.through is not None and rope.through.b in rope.nodes:
            first = min(last - 1, rope.nodes.index(rope.through.b) + 3)
        found, least = first, math.inf
        for index in range(first, last + 1):
            radius = bend_radius(points[index - 1], points[index], points[index + 1])
            if radius < least:
                found, least = index, radius
        return found, least

    def kink(self, name: str, share: float) -> None:
        """Let a rope fold where it is bent most, as a hose does that is bent too tightly: by this share of
        a full fold. Nought lets it spring back."""
        rope = self._ropes[name]
        share = 0.0 if share < _LEAST_FOLD else min(1.0, share)
        if share == rope.folded:
            return
        if not rope.fold:
            rope.fold = self.tightest(name)[0]
        rope.folded = share
        bend = rope.bends[rope.fold - 2]
        bend.rest_length = 2.0 * rope.length / NODES * (1.0 - 0.6 * share)
        bend.stiffness = STIFFNESS * (1.0 + 2.0 * share)
        if not share:
            rope.fold = 0

    def kinked(self, name: str) -> tuple[int, float]:
        """Index of the point where a rope is kinked, and by how much, 0 to 1."""
        rope = self._ropes[name]
        return rope.fold, rope.folded

    def hold(self, name: str, at: Point) -> None:
        """Lead the end by the hand to `at`; it gives way to nothing and pushes the others aside."""
        rope = self._ropes[name]
        rope.target, rope.reach, rope.slack = at, 0.5, 1.08
        self._touching(rope, True)

    def fix(self, name: str, at: Point, slack: float = 1.12) -> None:
        """Let the end rest at `at`, in a port or its holder, with so much more hose than the straight way."""
        rope = self._ropes[name]
        rope.target, rope.reach, rope.slack = at, 0.5, slack
        self._touching(rope, False)

    def lay(self, name: str, at: Point, reach: float) -> None:
        """Let the end go: it falls until it dangles `reach` below `at`."""
        rope = self._ropes[name]
        if rope.target != at:
            rope.reach = max(reach, math.dist(rope.nodes[-1].position, at))
            rope.hand.position = at
            rope.grip.max = rope.reach
        rope.target, rope.slack = at, 1.15
        rope.reach = reach
        self._touching(rope, False)

    def thread(self, name: str, at: Point | None) -> None:
        """Lead the rope through a guide at `at`, or free of it with None."""
        rope = self._ropes[name]
        if rope.guide == at:
            return
        if rope.through is not None:
            self._space.remove(rope.through)
            rope.through = None
        rope.guide = at
        if at is not None:
            before, behind = math.dist(rope.root, at), math.dist(at, rope.target)
            node = rope.nodes[min(NODES - 3, max(1, round(NODES * before / (before + behind + 1.0)) - 1))]
            far = max(_LOOSE, math.dist(node.position, at))
            rope.through = pymunk.SlideJoint(self._space.static_body, node, at, (0.0, 0.0), 0.0, far)
            self._space.add(rope.through)

    def place(self, name: str, at: Point, sag: float = 0.0) -> None:
        """Put the end there at once and the rope behind it in a flat arc that hangs `sag` deep, at rest: for
        opening a view."""
        rope = self._ropes[name]
        rope.target = at
        rope.hand.position, rope.hand.velocity = at, (0.0, 0.0)
        rope.grip.max = rope.reach or 0.5
        self._straighten(rope, at, sag)
        rope.length = rope.slack * math.dist(rope.root, at)
        self._set_length(rope)

    def step(self, elapsed_s: float) -> None:
        """Let `elapsed_s` pass, in whole steps; what is left over is kept for the next call."""
        if not self._ropes:
            return
        self._left_s += max(0.0, elapsed_s)
        count = min(MOST_STEPS, int(self._left_s / STEP_S))
        self._left_s = min(self._left_s - count * STEP_S, STEP_S)
        for _ in range(count):
            for rope in self._ropes.values():
                self._lead(rope)
            self._space.step(STEP_S)
        if count:
            self._read()

    def points(self, name: str) -> list[Point]:
        """Where the rope runs, from its root to its end: `NODES` + 1 points."""
        return self._ropes[name].points

    def still(self, name: str) -> bool:
        """Whether the rope hangs as good as motionless."""
        return self._ropes[name].speed < QUIET

    # ---------------------------------------------------------------------------------------- inside

    def _touching(self, rope: _Rope, in_hand: bool, anew: bool = False) -> None:
        categories, mask = (_IN_HAND, _RESTING) if in_hand else (_RESTING, _IN_HAND)
        if rope.shapes[0].filter.categories == categories and not anew:
            return
        for index, shape in enumerate(rope.shapes):
            hard = 0 if index >= NODES - _IN_COUPLER else _FRAME
            shape.filter = pymunk.ShapeFilter(group=rope.number, categories=categories, mask=mask | hard)

    def _lead(self, rope: _Rope) -> None:
        """Move hand, reach and length a step towards where they should be."""
        x, y = rope.hand.position
        way_x, way_y = rope.target[0] - x, rope.target[1] - y
        far = math.hypot(way_x, way_y)
        if far > 0.01:
            speed = min(HAND_SPEED, far / STEP_S)
            rope.hand.velocity = (way_x / far * speed, way_y / far * speed)
        else:
            rope.hand.velocity = (0.0, 0.0)
        if rope.grip.max > rope.reach:
            rope.grip.max = max(rope.reach, rope.grip.max - 1600.0 * STEP_S)
        if rope.through is not None and rope.through.max > _LOOSE:
            rope.through.max = max(_LOOSE, rope.through.max - 500.0 * STEP_S)
        way = (
            math.dist(rope.root, rope.hand.position)
            if rope.guide is None
            else (math.dist(rope.root, rope.guide) + math.dist(rope.guide, rope.hand.position))
        )
        wanted = max(60.0, rope.slack * way)
        if abs(wanted - rope.length) > 0.5:
            most = (4.0 if wanted > rope.length else 1.0) * PAY_OUT * STEP_S
            rope.length += max(-most, min(most, wanted - rope.length))
            self._set_length(rope)

    def _set_length(self, rope: _Rope) -> None:
        part = rope.length / NODES
        for link in rope.links:
            link.max = part
        for index, bend in enumerate(rope.bends, 2):
            bend.rest_length = 2.0 * part * (1.0 - 0.6 * rope.folded if index == rope.fold else 1.0)

    def _straighten(self, rope: _Rope, end: Point, sag: float = 0.0) -> None:
        for index, body in enumerate(rope.nodes, 1):
            share = index / NODES
            body.position = (
                rope.root[0] + (end[0] - rope.root[0]) * share,
                rope.root[1] + (end[1] - rope.root[1]) * share + sag * 4 * share * (1 - share),
            )
            body.velocity = (0.0, 0.0)
            body.angle = 0.0
            body.angular_velocity = 0.0
        rope.points = [rope.root, *((body.position.x, body.position.y) for body in rope.nodes)]

    def _read(self) -> None:
        """Take all places and speeds out of the space in one go."""
        if not self._order:
            for rope in self._ropes.values():
                rope.points = [rope.root] * (NODES + 1)
            by_id: dict[int, tuple[_Rope | None, int]] = {
                body.id: (rope, index)
                for rope in self._ropes.values()
                for index, body in enumerate(rope.nodes, 1)
            }
            pymunk.batch.get_space_bodies(self._space, pymunk.batch.BodyFields.BODY_ID, self._clear())
            self._order = [
                by_id.get(number, (None, 0)) for number in memoryview(self._buffer.int_buf()).cast("P")
            ]
        fields = pymunk.batch.BodyFields.POSITION | pymunk.batch.BodyFields.VELOCITY
        pymunk.batch.get_space_bodies(self._space, fields, self._clear())
        numbers = memoryview(self._buffer.float_buf()).cast("d")
        for rope in self._ropes.values():
            rope.speed = 0.0
        at = 0
        broken: list[_Rope] = []
        for one, index in self._order:
            if one is not None:
                x, y = numbers[at], numbers[at + 1]
                if not abs(x) + abs(y) < _FAR:
                    broken.append(one)
                one.points[index] = (x, y)
                one.speed = max(one.speed, abs(numbers[at + 2]) + abs(numbers[at + 3]))
            at += 4
        for thrown in broken:
            # A rope thrown out of the picture is laid straight again: it is only drawn, never judged.
            self._straighten(thrown, thrown.target)

    def _clear(self) -> pymunk.batch.Buffer:
        self._buffer.clear()
        return self._buffer


def bend_radius(before: Point, at: Point, behind: Point) -> float:
    """Radius of the circle through three points; infinite on a straight line.

    >>> round(bend_radius((-1.0, 0.0), (0.0, 1.0), (1.0, 0.0)), 6)
    1.0
    """
    (ax, ay), (bx, by) = (at[0] - before[0], at[1] - before[1]), (behind[0] - at[0], behind[1] - at[1])
    twice_area = abs(ax * by - ay * bx)
    if twice_area < 1e-9:
        return math.inf
    return math.hypot(ax, ay) * math.hypot(bx, by) * math.hypot(ax + bx, ay + by) / (2.0 * twice_area)


def curve(points: Sequence[Point], parts: int = 3) -> list[Point]:
    """A smooth line through the points, `parts` pieces between two of them.

    >>> len(curve([(0.0, 0.0), (10.0, 0.0), (20.0, 5.0)], 3))
    7
    """
    result = [points[0]]
    last = len(points) - 1
    for index in range(last):
        x0, y0 = points[max(index - 1, 0)]
        x1, y1 = points[index]
        x2, y2 = points[index + 1]
        x3, y3 = points[min(index + 2, last)]
        for part in range(1, parts + 1):
            t = part / parts
            t2, t3 = t * t, t * t * t
            a, b, c, d = (
                -0.5 * t3 + t2 - 0.5 * t,
                1.5 * t3 - 2.5 * t2 + 1,
                -1.5 * t3 + 2 * t2 + 0.5 * t,
                0.5 * t3 - 0.5 * t2,
            )
            result.append((a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3))
    return result


def draw_tube(
    surface: pygame.Surface,
    points: Sequence[Point],
    root_width: float,
    end_width: float,
    body: Colour,
    shade: Colour,
    light: Colour,
    kink: tuple[int, float] = (0, 0.0),
) -> None:
    """Draw a hose along the points: dark edge, body, and a line of light along its upper left.

    It is `root_width` wide at the first point and `end_width` at the last, in pixels. `kink` is the index of
    the point where it is pinched, and by how much, 0 to 1: there it is flat, with creases across.
    """
    count = len(points) - 1
    rim = max(1.2, end_width * 0.16)
    left: list[Point] = []
    right: list[Point] = []
    left_in: list[Point] = []
    right_in: list[Point] = []
    half, grow = root_width / 2, (end_width - root_width) / 2 / count
    before = points[0]
    for index, (x, y) in enumerate(points):
        behind = points[index + 1] if index < count else (x, y)
        dx, dy = behind[0] - before[0], behind[1] - before[1]
        far = math.sqrt(dx * dx + dy * dy) or 1.0
        nx, ny = -dy / far, dx / far
        wide = half
        if kink[1]:
            wide *= 1.0 - 0.62 * kink[1] * math.exp(-0.5 * (index - kink[0]) ** 2)
        slim = max(0.6, wide - rim)
        left.append((x + nx * wide, y + ny * wide))
        right.append((x - nx * wide, y - ny * wide))
        left_in.append((x + nx * slim, y + ny * slim))
        right_in.append((x - nx * slim, y - ny * slim))
        half += grow
        before = (x, y)
    pygame.draw.polygon(surface, shade, left + right[::-1])
    pygame.draw.aalines(surface, shade, False, left)
    pygame.draw.aalines(surface, shade, False, right)
    pygame.draw.polygon(surface, body, left_in + right_in[::-1])
    off = 0.13 * (root_width + end_width) / 2
    lit = [(x - off, y - off) for x, y in points]
    thick = max(1, round(end_width * 0.18))
    if thick > 1:
        pygame.draw.lines(surface, light, False, lit, thick)
    else:
        pygame.draw.aalines(surface, light, False, lit)
    if kink[1] > 0.25 and 0 < kink[0] < count:
        _draw_creases(surface, points, kink[0], end_width, shade, light)


def _draw_creases(
    surface: pygame.Surface,
    points: Sequence[Point],
    index: int,
    width: float,
    shade: Colour,
    light: Colour,
) -> None:
    """Two creases beside the pinch, each with the light that catches on its edge."""
    (x0, y0), (x1, y1) = points[index - 1], points[index + 1]
    far = math.hypot(x1 - x0, y1 - y0) or 1.0
    along, half = ((x1 - x0) / far, (y1 - y0) / far), 0.5 * width
    for way in (-1, 1):
        x = points[index][0] + way * 0.34 * width * along[0]
        y = points[index][1] + way * 0.34 * width * along[1]
        first = (x - along[1] * half, y + along[0] * half)
        last = (x + along[1] * half, y - along[0] * half)
        pygame.draw.aaline(surface, shade, first, last, max(1, round(width * 0.16)))
        pygame.draw.aaline(surface, light, (first[0] + 1, first[1]), (last[0] + 1, last[1]))
