"""What general-purpose libraries say, asked from first principles and not from the core's code.

Every function takes and gives SI (turns in rev/s) and imports nothing of the program.
"""

import math
from collections.abc import Callable

import numpy as np
from scipy.differentiate import derivative
from scipy.integrate import solve_bvp, solve_ivp
from scipy.linalg import solve
from scipy.optimize import brentq, fsolve, linprog, minimize_scalar
from scipy.spatial.transform import Rotation
from sympy import Point, Ray, symbols
from sympy import solve as solve_symbolically
from sympy.geometry import Circle, Line
from sympy.physics.continuum_mechanics.beam import Beam

Place = tuple[float, float]


# --------------------------------------------------------------------------------------------- valve sections


def lowest_load_first(
    asked: tuple[float, ...], loads: tuple[float, ...], available: float
) -> tuple[float, ...]:
    """Flows of sections compensated before the edge: the most flow, the lowest loads counting most."""
    order = sorted(loads)
    # Each rank counts more than all above it together could.
    counts = [-(1000.0 ** (len(loads) - order.index(load))) for load in loads]
    scale = max(asked)
    found = linprog(
        counts,
        A_ub=[[1.0] * len(asked)],
        b_ub=[available / scale],
        bounds=[(0.0, flow / scale) for flow in asked],
    )
    assert found.success
    return tuple(float(flow) * scale for flow in found.x)


def common_drop_pa(asked: tuple[float, ...], margin_pa: float, available: float) -> float:
    """The one drop over all metering edges at which they pass what there is: flow sharing."""
    areas = [flow / math.sqrt(margin_pa) for flow in asked]
    return float(
        brentq(
            lambda drop: math.fsum(area * math.sqrt(drop) for area in areas) - available,
            0.0,
            margin_pa,
            xtol=1e-9,
        )
    )


# ----------------------------------------------------------------------------------------------------- motors


def coasted_rev_s(inertia: float, power_w: float, speed_rev_s: float, seconds: float) -> float:
    """Speed of a fan left to itself: I dω/dt = -k ω²."""
    omega = math.tau * speed_rev_s
    drag = power_w / omega**3
    run = solve_ivp(lambda _, y: -drag * y**2 / inertia, (0.0, seconds), [omega], rtol=1e-11, atol=1e-11)
    return float(run.y[0, -1]) / math.tau


def spike_pa(
    start_pa: float,
    inertia: float,
    speed_rev_s: float,
    modulus_pa: float,
    volume_m3: float,
    displacement_m3: float = 10e-6,
) -> float:
    """Highest pressure behind a spinning motor on a shut hose: rotor and oil swing as mass and spring."""
    return _swing(start_pa, inertia, speed_rev_s, modulus_pa, volume_m3, displacement_m3)[1]


def stop_s(
    inertia: float, speed_rev_s: float, modulus_pa: float, volume_m3: float, displacement_m3: float = 10e-6
) -> float:
    """Time in which a motor stops against a shut hose that held no pressure."""
    return _swing(0.0, inertia, speed_rev_s, modulus_pa, volume_m3, displacement_m3)[0]


def _swing(
    start_pa: float,
    inertia: float,
    speed_rev_s: float,
    modulus_pa: float,
    volume_m3: float,
    displacement_m3: float,
) -> tuple[float, float]:
    """When the rotor stands, and the pressure then."""
    per_rad = displacement_m3 / math.tau

    def swing(_: float, y: np.ndarray) -> list[float]:
        return [-per_rad * y[1] / inertia, modulus_pa / volume_m3 * per_rad * y[0]]

    def stands(_: float, y: np.ndarray) -> float:
        return float(y[0])

    stands.terminal = True  # type: ignore[attr-defined]
    run = solve_ivp(
        swing,
        (0.0, 10.0),
        [math.tau * speed_rev_s, start_pa],
        events=stands,
        rtol=1e-10,
        atol=1e-8,
    )
    return float(run.t_events[0][0]), float(run.y_events[0][0][1])


# ------------------------------------------------------------------------------------------------------- heat


def warmed_c(
    start_c: float, heat_w: float, air_c: float, cooler_w_k: float, capacity_j_k: float, seconds: float
) -> float:
    """Temperature of a tank after steady heat."""
    run = solve_ivp(
        lambda _, y: (heat_w - cooler_w_k * (y - air_c)) / capacity_j_k,
        (0.0, seconds),
        [start_c],
        rtol=1e-11,
        atol=1e-11,
    )
    return float(run.y[0, -1])


def accumulator_bled_pa(seconds: float) -> float:
    """Gauge pressure in 0.75 L charged to 60 bar, bled from 150 bar through 0.8 mm² to 2 bar."""
    atmosphere = 101_325.0
    charge, tank = 60e5 + atmosphere, 2e5 + atmosphere
    gas = charge * 0.75e-3

    def slope(_: float, gas_volume: list[float]) -> list[float]:
        drop = gas / gas_volume[0] - tank
        return [0.6 * 0.8e-6 * (2.0 * drop / 870.0) ** 0.5]

    def empty(_: float, gas_volume: list[float]) -> float:
        return gas_volume[0] - 0.75e-3

    empty.terminal = True  # type: ignore[attr-defined]
    full = gas / (150e5 + atmosphere)
    run = solve_ivp(slope, (0.0, seconds), [full], events=empty, rtol=1e-11, atol=1e-16)
    return float(gas / run.y[0, -1]) - atmosphere


# ------------------------------------------------------------------------------------------------------ hoses


def heavy_elastica(
    over: float, rise: float, length: float, leaving: float, arriving: float, bending: float
) -> tuple[float, float]:
    """Smallest radius and sag of a clamped rod with weight, from its differential equation.

    The weight beyond s and the pulls at the far end turn it: b³ θ'' = (L - s + v) cos θ - h sin θ, in which
    h and v are unknown as θ, θ', x and z are.
    """

    def equations(s: np.ndarray, y: np.ndarray, pulls: np.ndarray) -> np.ndarray:
        angle, bend = y[0], y[1]
        moment = (length - s + pulls[1]) * np.cos(angle) - pulls[0] * np.sin(angle)
        return np.vstack((bend, moment / bending**3, np.cos(angle), np.sin(angle)))

    def ends(first: np.ndarray, last: np.ndarray, _: np.ndarray) -> np.ndarray:
        held = (first[0] - leaving, last[0] - arriving, first[2], first[3], last[2] - over, last[3] - rise)
        return np.array(held)

    at = np.linspace(0.0, length, 400)
    # A wave that leaves downwards and comes back up, whatever the core may say.
    share = at / length
    guess = leaving + (arriving - leaving) * share - 0.8 * np.sin(math.tau * share)
    start = np.vstack((guess, np.gradient(guess, at), over * share, rise * share))
    solved = solve_bvp(equations, ends, at, start, p=[-1.0, -length / 2], tol=1e-8, max_nodes=40_000)
    assert solved.success
    fine = solved.sol(np.linspace(0.0, length, 4001))
    return 1.0 / float(np.abs(fine[1]).max()), max(0.0, min(0.0, rise) - float(fine[3].min()))


def catenary(span: float, length: float) -> tuple[float, float, float]:
    """Smallest radius and sag of a limp rope, and the slope at its ends in degrees."""
    tension = float(brentq(lambda a: 2.0 * a * math.sinh(span / (2.0 * a)) - length, 0.05, 50.0))
    sag = tension * (math.cosh(span / (2.0 * tension)) - 1.0)
    return tension, sag, math.degrees(math.atan(math.sinh(span / (2.0 * tension))))


# ---------------------------------------------------------------------------------------------------- linkage


class Bars:
    """A four-bar linkage solved as such: lower link and mast by their angles, closed by the top link."""

    def __init__(self, lower: Place, upper: Place, lower_link: float, mast: float, top_link: float) -> None:
        self.lower, self.upper = np.array(lower), np.array(upper)
        self.lower_link, self.mast, self.top_link = lower_link, mast, top_link

    def ball(self, angle: float) -> np.ndarray:
        """The lower ball."""
        return self.lower + self.lower_link * np.array((math.cos(angle), math.sin(angle)))

    def pitch(self, angle: float) -> float:
        """Pitch of the mast, nose down above nought, for a lower link's angle."""

        def gap(lean: np.ndarray) -> float:
            top = self.ball(angle) + self.mast * np.array((-math.sin(lean[0]), math.cos(lean[0])))
            return float(np.hypot(*(top - self.upper)) - self.top_link)

        return float(fsolve(gap, [0.0], xtol=1e-13)[0])

    def pitch_slope(self, angle: float) -> float:
        """How much the mast pitches per turn of the lower link."""
        return self._slope(self.pitch, angle)

    def lift_ratio(self, angle: float, behind: float) -> float:
        """Rise of a point now `behind` the balls per rise of the balls: the work of the one is that of the
        other."""
        held = behind / math.cos(self.pitch(angle))
        rise = self._slope(lambda a: float(self.ball(a)[1]) + held * math.sin(self.pitch(a)), angle)
        return rise / self._slope(lambda a: float(self.ball(a)[1]), angle)

    @staticmethod
    def _slope(function: Callable[[float], float], at: float) -> float:
        found = derivative(np.vectorize(function), at, initial_step=0.05)
        assert found.success
        return float(found.df)


def circles_meet(centre: Place, radius: float, other: Place, other_radius: float) -> Place:
    """The higher of the two places where circles meet."""
    meet = Circle(Point(*centre), radius).intersection(Circle(Point(*other), other_radius))
    high = max(meet, key=lambda point: float(point.y))
    return float(high.x), float(high.y)


def lines_meet(first: tuple[Place, Place], second: tuple[Place, Place]) -> Place:
    """The place where two lines cross."""
    (meet,) = Line(*(Point(*end) for end in first)).intersection(Line(*(Point(*end) for end in second)))
    return float(meet.x), float(meet.y)


# ---------------------------------------------------------------------------------------------------- balance


def axle_reactions(
    axles: tuple[float, float], weights: tuple[tuple[float, float], ...], length: float
) -> tuple[float, float]:
    """What two supports of a beam carry of weights, each (size, place)."""
    front, rear = symbols("front rear")
    beam = Beam(length, 1, 1)
    for size, place in weights:
        beam.apply_load(-size, place, -1)
    for reaction, place in zip((front, rear), axles, strict=True):
        beam.apply_load(reaction, place, -1)
    beam.bc_deflection = [(place, 0) for place in axles]
    beam.solve_for_reaction_loads(front, rear)
    return float(beam.reaction_loads[front]), float(beam.reaction_loads[rear])


def ballast_for_share(axles: tuple[float, float], tractor: Place, implement: Place, share: float) -> float:
    """Ballast at place 0 that leaves a share of the tractor's weight in front; both are (weight, place)."""
    ballast = symbols("ballast")
    front, rear = axles
    about_rear = (
        ballast * rear + tractor[0] * (rear - tractor[1]) + implement[0] * (rear - implement[1])
    ) / (rear - front)
    return float(solve_symbolically(about_rear - share * tractor[0], ballast)[0])


# -------------------------------------------------------------------------------------------------- driveline


def joint_speed_ratios(bend_rad: float) -> tuple[float, float]:
    """Least and greatest speed behind a cross joint per speed before it, from where its two pins point."""
    out = Rotation.from_euler("z", bend_rad).apply([1.0, 0.0, 0.0])
    across = np.array([-out[1], out[0], 0.0])

    def angle_behind(turn: float) -> float:
        pin = Rotation.from_euler("x", turn).apply([0.0, 1.0, 0.0])
        driven = np.cross(out, pin)  # at right angles to the other pin and to the shaft behind
        return math.atan2(float(np.dot(driven, np.cross(out, across))), float(np.dot(driven, across)))

    def ratio(turn: float) -> float:
        step = 1e-5
        return math.remainder(angle_behind(turn + step) - angle_behind(turn - step), math.tau) / (2.0 * step)

    ends = []
    for sign in (1.0, -1.0):  # one of the two lies where the pin lies in the plane of the bend, one across it
        for quarter in ((-0.8, 0.8), (0.8, 2.4)):
            found = minimize_scalar(
                lambda turn, sign=sign: sign * ratio(turn),
                bounds=quarter,
                method="bounded",
                options={"xatol": 1e-10},
            )
            ends.append(sign * float(found.fun))
    return min(ends), max(ends)


def shaft_in_turn(before: float, behind: float, turn_rad: float) -> tuple[float, float, float]:
    """Span, and the angles at the tractor's and at the implement's joint, of a shaft round a drawbar pin."""
    pin, tractor = Point(0, 0), Point(-before, 0)
    implement = Point(behind * math.cos(turn_rad), behind * math.sin(turn_rad))
    shaft = Ray(tractor, implement)
    at_tractor = shaft.closing_angle(Ray(tractor, pin))
    at_implement = Ray(pin, implement).closing_angle(shaft)
    return float(tractor.distance(implement)), abs(float(at_tractor)), abs(float(at_implement))


# ----------------------------------------------------------------------------------------------------- wiring


def behind_resistance_v(supply: float, series_ohm: float, load_ohm: float) -> float:
    """Voltage over a load behind a resistance: unknown are that voltage and the current."""
    found = solve([[1.0, -load_ohm], [1.0, series_ohm]], [0.0, supply])
    return float(found[0])


def bridge_ohm(first: float, second: float, third: float, fourth: float, across: float) -> float:
    """Resistance end to end of a bridge: two upper arms, two lower ones, and what joins their middles."""
    matrix = [
        [1 / first + 1 / second, -1 / first, -1 / second],
        [-1 / first, 1 / first + 1 / third + 1 / across, -1 / across],
        [-1 / second, -1 / across, 1 / second + 1 / fourth + 1 / across],
    ]
    return float(solve(matrix, [1.0, 0.0, 0.0])[0])


def ends_joined_ohm(ends: int) -> float:
    """Resistance between two lines joined by that many resistors of 120 ohm."""
    return joined_ohm(*[120.0] * ends)


def joined_ohm(*resistors: float) -> float:
    """Voltage between two lines joined by resistors, for one ampere sent through all of them."""
    # Unknown: the voltage and the current through each.
    matrix = [[0.0] + [1.0] * len(resistors)]
    for place, ohm in enumerate(resistors):
        row = [0.0] * (len(resistors) + 1)
        row[0], row[place + 1] = -1.0, ohm
        matrix.append(row)
    return float(solve(matrix, [1.0, *[0.0] * len(resistors)])[0])
