"""The judged lie of a hose between two ports: reach, slack, smallest bend radius and how far it hangs.

The hose is an elastic rod with weight, clamped in the direction of both ports and lying in the vertical
plane through them. With θ(s) the angle of its run above level, it takes the shape of least energy

    E / w = ½ b³ ∫ θ'² ds + ∫ z ds,   θ(0) and θ(L) given,   ∫ cos θ ds = Δx,   ∫ sin θ ds = Δz

where w is its weight per length and b = (EI / w)^⅓ its bending length: how much of it sticks out before it
droops. The weight is what bends a hose between two ports that face each other on one line. The sums run over
nodes set close together near the ports, where a tight hose bends most; Newton steps with both reach
conditions as side conditions find the shape, and where the ports leave open which way round the hose goes,
each way is tried and the one of least energy kept.

A hose nearly straight but not in line with its ports bends in a short stretch at each of them. That stretch
shrinks with the slack, and the bend radius with it: below the slack at which the nodes still resolve it, the
radius is carried on in proportion to the slack, to nought for a taut hose kinked at its port.

What the rope on the screen does is never read here.
"""

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

Place = tuple[float, float] | tuple[float, float, float]

# From memory: a 12.7 mm two-wire hose full of oil, some 0.65 kg/m and 1.4 N·m² stiff.
BENDING_LENGTH_M: Final = 0.6
STRAIGHT_RADIUS_M: Final = 1000.0

_CELLS: Final = 32
_NODES: Final = tuple(0.5 * (1.0 - math.cos(math.pi * node / _CELLS)) for node in range(_CELLS + 1))
_LEAST_STRETCH: Final = 0.01
_LEAST_SLACK: Final = 1e-5
_LONGEST_TURN_RAD: Final = 0.7
_SETTLED: Final = 1e-9
_STEPS: Final = 60
# First guesses, tried one after the other until one comes to rest; nearly always the first does.
_FIRST_DROOPS: Final = (1.0, 0.3, -0.6, 1.6)
# Half a way round counts as open either way when it is within this much of a half turn.
_OPEN_TURN_RAD: Final = math.radians(80.0)


class TooShort(ValueError):
    """A hose does not span its ports; `missing_m` is how much longer it would have to be.

    >>> TooShort(0.25).missing_m
    0.25
    """

    def __init__(self, missing_m: float) -> None:
        super().__init__(f"the hose is {missing_m:.3f} m too short")
        self.missing_m = missing_m


@dataclass(frozen=True, slots=True)
class Lie:
    """How a hose lies.

    `slack_m` is its length less the straight distance, `smallest_bend_radius_m` is 0 for a kink and at most
    1000 m (straight), `sag_m` how far it hangs below the lower of its ports (0 when it does not), `points`
    run from the first port to the second.
    """

    slack_m: float
    smallest_bend_radius_m: float
    sag_m: float
    points: tuple[Place, ...]


def reach_shortfall_m(start_m: Place, end_m: Place, length_m: float) -> float:
    """Return by how much a hose of `length_m` fails to span two ports, in m; 0 when it reaches.

    Places are (x, z) or (x, y, z) in m, both of the same kind. Raises ValueError when they are not.

    >>> reach_shortfall_m((0.0, 1.0), (3.0, 5.0), 4.5)
    0.5
    """
    return max(0.0, _distance_m(start_m, end_m) - length_m)


def hose_lie(
    start_m: Place,
    end_m: Place,
    start_direction_deg: float,
    end_direction_deg: float,
    length_m: float,
    bending_length_m: float = BENDING_LENGTH_M,
) -> Lie:
    """Return how a hose of `length_m` lies between two ports.

    Places are (x, z) or (x, y, z) in m with z up. A direction is the one its port faces, in degrees above
    level: 0 faces towards greater x, 90 up, 180 towards smaller x; two ports at 0 and 180 face each other.
    With y given, directions are taken in the vertical plane through both ports. Raises TooShort when the
    hose does not reach, ValueError for places of different kinds or a bending length not above nought.

    >>> lie = hose_lie((0.0, 1.0), (1.5, 1.0), 0.0, 180.0, 1.8)
    >>> round(lie.slack_m, 3), round(lie.smallest_bend_radius_m, 2), round(lie.sag_m, 2)
    (0.3, 0.29, 0.44)
    """
    if bending_length_m <= 0.0:
        raise ValueError("a hose has some stiffness")
    missing_m = reach_shortfall_m(start_m, end_m, length_m)
    if missing_m > 0.0:
        raise TooShort(missing_m)
    return _lie(
        tuple(start_m), tuple(end_m), start_direction_deg, end_direction_deg, length_m, bending_length_m
    )


# The same places come back tick after tick; a kept answer is the answer worked out again.
@lru_cache(maxsize=1024)
def _lie(
    start_m: Place,
    end_m: Place,
    start_direction_deg: float,
    end_direction_deg: float,
    length_m: float,
    bending_length_m: float,
) -> Lie:
    across_m = math.hypot(*(b - a for a, b in zip(start_m[:-1], end_m[:-1], strict=True)))
    over_m, rise_m = math.copysign(across_m, end_m[0] - start_m[0]), end_m[-1] - start_m[-1]
    chord_m = math.hypot(over_m, rise_m)
    slack_m = length_m - chord_m

    leaving_rad = math.radians(math.remainder(start_direction_deg, 360.0))
    # The hose runs into the second port, against the direction that port faces.
    arriving_rad = math.radians(math.remainder(end_direction_deg + 180.0, 360.0))
    chord_rad = math.atan2(rise_m, over_m) if chord_m > 0.0 else leaving_rad
    bends = math.fsum(
        1.0 - math.cos(0.5 * math.remainder(end_rad - chord_rad, math.tau))
        for end_rad in (leaving_rad, arriving_rad)
    )
    resolved_m = chord_m * max(_LEAST_SLACK, 2.0 * bends * _LEAST_STRETCH)
    shape = _shape_of_least_energy(
        over_m,
        rise_m,
        chord_m + max(slack_m, resolved_m),
        (leaving_rad, chord_rad, arriving_rad),
        bending_length_m,
    )
    radius_m = shape.smallest_radius_m()
    if slack_m < resolved_m and resolved_m > chord_m * _LEAST_SLACK:
        radius_m *= max(0.0, slack_m) / resolved_m
    runs = shape.points()
    return Lie(
        slack_m=slack_m,
        smallest_bend_radius_m=min(radius_m, STRAIGHT_RADIUS_M),
        sag_m=max(0.0, min(0.0, rise_m) - min(z for _, z in runs)),
        points=tuple(_place(start_m, end_m, over_m, run) for run in runs),
    )


def _distance_m(start_m: Place, end_m: Place) -> float:
    if len(start_m) != len(end_m) or len(start_m) not in (2, 3):
        raise ValueError("both places are (x, z) or both (x, y, z)")
    return math.dist(start_m, end_m)


def _place(start_m: Place, end_m: Place, over_m: float, run: tuple[float, float]) -> Place:
    along, height_m = run
    if len(start_m) == 2 or over_m == 0.0:
        if len(start_m) == 2:
            return start_m[0] + along, start_m[1] + height_m
        return start_m[0] + along, start_m[1], start_m[2] + height_m
    share = along / over_m
    return (
        start_m[0] + share * (end_m[0] - start_m[0]),
        start_m[1] + share * (end_m[1] - start_m[1]),
        start_m[-1] + height_m,
    )


def _ways_round(turn_rad: float) -> tuple[float, ...]:
    """The turn a hose may make to change its direction so: the near way, and the far one if both are open."""
    near = math.remainder(turn_rad, math.tau)
    if math.pi - abs(near) > _OPEN_TURN_RAD:
        return (near,)
    return near, near - math.copysign(math.tau, near)


def _shape_of_least_energy(
    over_m: float,
    rise_m: float,
    length_m: float,
    angles_rad: tuple[float, float, float],
    bending_length_m: float,
) -> "_Shape":
    leaving_rad, chord_rad, arriving_rad = angles_rad
    found: list[_Shape] = []
    for first_turn in _ways_round(chord_rad - leaving_rad):
        run_rad = leaving_rad + first_turn
        for second_turn in _ways_round(arriving_rad - run_rad):
            for droop in _FIRST_DROOPS:
                shape = _Shape(over_m, rise_m, length_m, bending_length_m)
                shape.lay(leaving_rad, run_rad, run_rad + second_turn, droop)
                if shape.settle():
                    break
            found.append(shape)
    best = found[0]
    for shape in found[1:]:
        if shape.better_than(best):
            best = shape
    return best


class _Shape:
    """A hose on its way to the shape of least energy: angles at the nodes and the two pulls at its end."""

    def __init__(self, over_m: float, rise_m: float, length_m: float, bending_length_m: float) -> None:
        self.over_m, self.rise_m, self.length_m = over_m, rise_m, length_m
        self.stiffness = bending_length_m**3
        self.at = [length_m * node for node in _NODES]
        self.cell = [after - before for before, after in zip(self.at, self.at[1:], strict=False)]
        inner = [0.5 * (before + after) for before, after in zip(self.cell, self.cell[1:], strict=False)]
        self.weight = [0.5 * self.cell[0], *inner, 0.5 * self.cell[-1]]
        self.angle = [0.0] * (_CELLS + 1)
        self.pull_x = self.pull_z = 0.0
        self.settled = False
        self.energy = self.gap_m = math.inf

    def lay(self, leaving_rad: float, run_rad: float, arriving_rad: float, droop: float) -> None:
        """Lay a first guess: a flat drooping arc along the chord with a bend at each port."""
        chord_m = math.hypot(self.over_m, self.rise_m)
        excess = self.length_m / chord_m - 1.0 if chord_m > 0.1 * self.length_m else 9.0
        arc = droop * math.copysign(min(1.45, math.sqrt(6.0 * max(0.0, excess))), math.cos(run_rad))
        bends = (1.0 - math.cos(0.5 * (leaving_rad - run_rad))) + (
            1.0 - math.cos(0.5 * (arriving_rad - run_rad))
        )
        stretch_m = min(self.stiffness ** (1.0 / 3.0), 0.25 * self.length_m)
        if bends > 0.0:
            stretch_m = min(stretch_m, max(1e-9, self.length_m - chord_m) / (2.0 * bends))
        for node, share in enumerate(_NODES):
            left_m = self.length_m - self.at[node]
            self.angle[node] = math.fsum(
                (
                    run_rad + arc * (2.0 * share - 1.0),
                    (leaving_rad - run_rad + arc) * math.exp(-self.at[node] / stretch_m) * (1.0 - share),
                    (arriving_rad - run_rad - arc) * math.exp(-left_m / stretch_m) * share,
                )
            )
        self.angle[0], self.angle[-1] = leaving_rad, arriving_rad

    def settle(self) -> bool:
        """Take Newton steps until the shape rests; say whether it does."""
        penalty = 1.0
        energy, gap_x, gap_z = self.measure(self.angle)
        for _ in range(_STEPS):
            slope, turn, pull_x, pull_z = self.newton(gap_x, gap_z)
            widest = max(map(abs, turn))
            gap = abs(gap_x) + abs(gap_z)
            if widest < _SETTLED and gap < _SETTLED:
                self.settled = True
                break
            penalty = max(penalty, 1.5 * abs(pull_x), 1.5 * abs(pull_z))
            merit = energy + penalty * gap
            fall = math.fsum(a * b for a, b in zip(slope, turn, strict=True)) - penalty * gap
            step = min(1.0, _LONGEST_TURN_RAD / widest)
            while True:
                trial = [angle + step * by for angle, by in zip(self.angle, turn, strict=True)]
                energy, gap_x, gap_z = self.measure(trial)
                reached = energy + penalty * (abs(gap_x) + abs(gap_z))
                if reached <= merit + 1e-4 * step * fall + 1e-12 * abs(merit) or step < 1e-3:
                    break
                step *= 0.5
            self.angle = trial
            self.pull_x += step * (pull_x - self.pull_x)
            self.pull_z += step * (pull_z - self.pull_z)
        self.energy = energy
        self.gap_m = abs(gap_x) + abs(gap_z)
        return self.settled

    def better_than(self, other: "_Shape") -> bool:
        """A shape at rest beats one that is not; of two at rest the clearly lower energy, else the first."""
        if self.settled != other.settled:
            return self.settled
        if not self.settled:
            return self.gap_m < other.gap_m
        return self.energy < other.energy - 1e-6 * max(1.0, abs(other.energy))

    def measure(self, angle: list[float]) -> tuple[float, float, float]:
        """Energy per weight of length, and how far the end misses its port in x and z."""
        bend = math.fsum(
            (after - before) ** 2 / cell
            for before, after, cell in zip(angle, angle[1:], self.cell, strict=False)
        )
        rises = [weight * math.sin(a) for weight, a in zip(self.weight, angle, strict=True)]
        height = math.fsum((self.length_m - at) * rise for at, rise in zip(self.at, rises, strict=True))
        reach = math.fsum(weight * math.cos(a) for weight, a in zip(self.weight, angle, strict=True))
        return 0.5 * self.stiffness * bend + height, reach - self.over_m, math.fsum(rises) - self.rise_m

    def newton(self, gap_x: float, gap_z: float) -> tuple[list[float], list[float], float, float]:
        """Slope of the energy, the Newton step in the angles, and the two pulls that go with it.

        The curvature of the energy is a band of three. It is made stiffer, if need be, until it curves
        upwards in every direction that keeps both reach conditions.
        """
        nodes = range(1, _CELLS)
        slope, reach_x, reach_z = ([0.0] * (_CELLS + 1) for _ in range(3))
        diagonal, beside = [0.0] * (_CELLS + 1), [0.0] * (_CELLS + 1)
        for node in nodes:
            angle, weight, above = self.angle[node], self.weight[node], self.length_m - self.at[node]
            sine, cosine = math.sin(angle), math.cos(angle)
            before, after = self.stiffness / self.cell[node - 1], self.stiffness / self.cell[node]
            slope[node] = (
                before * (angle - self.angle[node - 1])
                - after * (self.angle[node + 1] - angle)
                + weight * above * cosine
            )
            reach_x[node], reach_z[node] = -weight * sine, weight * cosine
            diagonal[node] = before + after - weight * ((above + self.pull_z) * sine + self.pull_x * cosine)
            beside[node] = -before if node > 1 else 0.0
        stiffer = 0.0
        while True:
            pivot, factor, falling = _factorised(
                [
                    d + stiffer * weight * self.length_m
                    for d, weight in zip(diagonal, self.weight, strict=True)
                ],
                beside,
            )
            by_slope, by_x, by_z = (_solved(pivot, factor, v) for v in (slope, reach_x, reach_z))
            xx, xz, zz = _dot(reach_x, by_x), _dot(reach_x, by_z), _dot(reach_z, by_z)
            determinant = xx * zz - xz * xz
            held = 1 if determinant < 0.0 else 2 if xx + zz > 0.0 else 0
            if falling == 2 - held:
                break
            stiffer = 3.0 * stiffer if stiffer > 0.0 else 0.05
        want_x, want_z = gap_x - _dot(reach_x, by_slope), gap_z - _dot(reach_z, by_slope)
        pull_x = (want_x * zz - want_z * xz) / determinant
        pull_z = (xx * want_z - xz * want_x) / determinant
        turn = [-(own + pull_x * x + pull_z * z) for own, x, z in zip(by_slope, by_x, by_z, strict=True)]
        return slope, turn, pull_x, pull_z

    def smallest_radius_m(self) -> float:
        """One over the greatest curvature, between nodes and carried on to the ports."""
        bend = [
            (after - before) / cell
            for before, after, cell in zip(self.angle, self.angle[1:], self.cell, strict=False)
        ]
        first = bend[0] + (bend[0] - bend[1]) * self.cell[0] / (self.cell[0] + self.cell[1])
        last = bend[-1] + (bend[-1] - bend[-2]) * self.cell[-1] / (self.cell[-1] + self.cell[-2])
        tightest = max(map(abs, (first, *bend, last)))
        return math.inf if tightest == 0.0 else 1.0 / tightest

    def points(self) -> list[tuple[float, float]]:
        """Run of the hose from (0, 0), over and up in m."""
        run, height = 0.0, 0.0
        made = [(0.0, 0.0)]
        for before, after, cell in zip(self.angle, self.angle[1:], self.cell, strict=False):
            run += 0.5 * cell * (math.cos(before) + math.cos(after))
            height += 0.5 * cell * (math.sin(before) + math.sin(after))
            made.append((run, height))
        return made


def _factorised(diagonal: list[float], beside: list[float]) -> tuple[list[float], list[float], int]:
    """Pivots and factors of a symmetric band of three, and how many pivots are below nought."""
    pivot, factor = [1.0] * len(diagonal), [0.0] * len(diagonal)
    falling = 0
    for node in range(1, len(diagonal) - 1):
        factor[node] = beside[node] / pivot[node - 1]
        made = diagonal[node] - factor[node] * beside[node]
        if abs(made) < 1e-12 * abs(diagonal[node]):
            made = 1e-12 * abs(diagonal[node])
        pivot[node] = made
        falling += made < 0.0
    return pivot, factor, falling


def _solved(pivot: list[float], factor: list[float], right: list[float]) -> list[float]:
    solution = right.copy()
    last = len(right) - 2
    for node in range(2, last + 1):
        solution[node] -= factor[node] * solution[node - 1]
    solution[last] /= pivot[last]
    for node in range(last - 1, 0, -1):
        solution[node] = solution[node] / pivot[node] - factor[node + 1] * solution[node + 1]
    return solution


def _dot(left: list[float], right: list[float]) -> float:
    return math.fsum(a * b for a, b in zip(left, right, strict=True))
