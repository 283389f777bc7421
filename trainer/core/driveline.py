"""The power take-off: stubs and speeds, what a joint does to a speed, the shaft's span in a turn, torque.

Speeds in rev/s, lengths in m, angles in rad. The turn angle is nought when tractor and implement stand in
line.
"""

import math
from dataclasses import dataclass
from typing import Final

_INCH_M: Final = 0.0254

GUARD_RULE: Final = (
    "29 CFR 1928.57: guards in place, instruction at the start and every year, stop and wait until nothing "
    "moves, and a master shield that carries 250 lb"
)
LEAST_FROM_BOTTOMING_M: Final = 0.050
LEAST_OVERLAP_M: Final = 0.150
SHAFT_FIT_STANDING: Final = "practice"


@dataclass(frozen=True, slots=True)
class PtoStub:
    """A PTO stub of ISO 500: speed in rev/s, diameter in m, splines, and stub end to drawbar pin in m.

    The distance has its own standing; it is None where no figure is at hand.
    """

    name: str
    speed_rev_s: float
    diameter_m: float
    splines: int
    standing: str
    stub_to_pin_m: float | None
    stub_to_pin_standing: str | None


PTO_STUBS: Final = (
    PtoStub("1", 540 / 60, 0.035, 6, "published", 14 * _INCH_M, "published"),
    PtoStub("2", 1000 / 60, 0.035, 21, "published", 16 * _INCH_M, "published"),
    PtoStub("3", 1000 / 60, 0.045, 20, "published", 20 * _INCH_M, "memory"),
    PtoStub("4", 1300 / 60, 0.0575, 22, "published", None, None),
)


def pto_stub(name: str) -> PtoStub:
    """Return the stub of type '1' to '4' (ISO 500). Raises KeyError for another name.

    >>> pto_stub("2").splines, round(pto_stub("2").speed_rev_s * 60)
    (21, 1000)
    """
    for stub in PTO_STUBS:
        if stub.name == name:
            return stub
    raise KeyError(name)


def pto_speed_rev_s(
    engine_speed_rev_s: float, rated_engine_speed_rev_s: float, stub_speed_rev_s: float
) -> float:
    """Return the stub's speed in rev/s at an engine speed; it has its own speed at the rated engine speed.

    >>> round(pto_speed_rev_s(1600 / 60, 2000 / 60, 1000 / 60) * 60)
    800
    """
    return stub_speed_rev_s * engine_speed_rev_s / rated_engine_speed_rev_s


def overspeed_ratio(driven_rev_s: float, rated_rev_s: float) -> float:
    """Return how many times its rated speed a machine is driven.

    >>> round(overspeed_ratio(1000 / 60, 540 / 60), 2)
    1.85
    """
    return driven_rev_s / rated_rev_s


def rotation_energy_ratio(driven_rev_s: float, rated_rev_s: float) -> float:
    """Return how many times its rated energy of rotation a driven machine holds: the ratio squared.

    >>> round(rotation_energy_ratio(1000 / 60, 540 / 60), 2)
    3.43
    """
    return overspeed_ratio(driven_rev_s, rated_rev_s) ** 2


def pto_torque_n_m(power_w: float, speed_rev_s: float) -> float:
    """Return the torque in N·m of a power at a speed above nought: P / (2π n).

    >>> round(pto_torque_n_m(100e3, 540 / 60))
    1768
    """
    return power_w / (math.tau * speed_rev_s)


def single_joint_speeds_rev_s(speed_rev_s: float, joint_angle_rad: float) -> tuple[float, float]:
    """Return least and greatest speed in rev/s behind a single joint within one turn: n cos b and n / cos b.

    Raises ValueError for an angle of a right angle or more, which no joint turns through.

    >>> slow, fast = single_joint_speeds_rev_s(540 / 60, math.radians(15.0))
    >>> round(slow * 60, 1), round(fast * 60, 1)
    (521.6, 559.0)
    """
    if not abs(joint_angle_rad) < math.pi / 2.0:
        raise ValueError("a joint turns only at less than a right angle")
    bend = math.cos(joint_angle_rad)
    return speed_rev_s * bend, speed_rev_s / bend


def turning_span_m(stub_to_pin_m: float, pin_to_implement_m: float, turn_rad: float) -> float:
    """Return the distance in m between a shaft's two joints in a turn: √(A² + B² + 2 A B cos δ).

    A runs from the tractor's joint to the drawbar pin, B from the pin to the implement's joint.

    >>> round(turning_span_m(0.4064, 0.6, 0.0), 4), round(turning_span_m(0.4064, 0.6, math.radians(60.0)), 3)
    (1.0064, 0.877)
    """
    # Three squares in a form that cannot turn negative by rounding.
    return math.hypot(
        stub_to_pin_m + pin_to_implement_m * math.cos(turn_rad), pin_to_implement_m * math.sin(turn_rad)
    )


def joint_angles_rad(stub_to_pin_m: float, pin_to_implement_m: float, turn_rad: float) -> tuple[float, float]:
    """Return the angles in rad of the tractor's and the implement's joint in a turn; they add up to it.

    The tractor's is asin(B sin δ / span), written so that it stays right beyond a right angle.

    >>> angles = joint_angles_rad(0.4064, 0.6, math.radians(60.0))
    >>> [round(math.degrees(angle), 1) for angle in angles]
    [36.3, 23.7]
    """
    tractor = math.atan2(
        pin_to_implement_m * math.sin(turn_rad), stub_to_pin_m + pin_to_implement_m * math.cos(turn_rad)
    )
    return tractor, turn_rad - tractor


def shaft_fit_m(span_m: float, closed_length_m: float, closed_overlap_m: float) -> tuple[float, float]:
    """Return how far a telescoping shaft is from bottoming and how much its tubes overlap, both in m.

    `closed_length_m` is the shaft pushed together, `closed_overlap_m` the overlap it then has. Trade
    practice asks for at least 50 mm and 150 mm. A first figure below nought means the shaft has bottomed,
    a second one that it has come apart.

    >>> [round(figure, 3) for figure in shaft_fit_m(1.0, 0.9, 0.6)]
    [0.1, 0.5]
    """
    drawn_m = span_m - closed_length_m
    return drawn_m, closed_overlap_m - drawn_m
