"""Weight on a tractor's axles with an implement behind, ballast in front, or a load and pull at the drawbar.

Masses and axle loads in kg, lengths in m. All moments are taken about the rear axle. Ballast hangs
`ballast_ahead_m` ahead of the front axle; the lower balls are `hitch_behind_m` behind the rear axle and the
implement's centre of mass `implement_behind_m` behind the balls. An axle load below nought means that axle
is off the ground: the functions tell it and never clamp it.
"""

import math

_STANDARD_GRAVITY_M_S2 = 9.80665


def axle_loads_kg(
    *,
    tractor_kg: float,
    front_unladen_kg: float,
    wheelbase_m: float,
    ballast_kg: float,
    ballast_ahead_m: float,
    implement_kg: float,
    hitch_behind_m: float,
    implement_behind_m: float,
) -> tuple[float, float]:
    """Return front and rear axle load in kg: F = [F0 L + Gf (a + L) - Gr (c + d)] / L, R the rest.

    `front_unladen_kg` is the front axle's load of the bare tractor. The wheelbase is above nought.

    >>> front, rear = axle_loads_kg(
    ...     tractor_kg=9800.0, front_unladen_kg=3920.0, wheelbase_m=3.05, ballast_kg=700.0,
    ...     ballast_ahead_m=1.10, implement_kg=3200.0, hitch_behind_m=1.15, implement_behind_m=1.60)
    >>> round(front, 2), round(rear, 2)
    (1987.21, 11712.79)
    """
    moment = math.fsum(
        (
            front_unladen_kg * wheelbase_m,
            ballast_kg * (ballast_ahead_m + wheelbase_m),
            -implement_kg * (hitch_behind_m + implement_behind_m),
        )
    )
    front_kg = moment / wheelbase_m
    return front_kg, math.fsum((tractor_kg, ballast_kg, implement_kg, -front_kg))


def front_share(front_kg: float, reference_kg: float) -> float:
    """Return the front axle's load as a share of a reference mass, above nought.

    The published wording asks for at least 0.20 of the tractor's own mass; others count the total mass.
    The job says which, and gives that mass here.

    >>> round(front_share(1034.75, 9800.0), 3)
    0.106
    """
    return front_kg / reference_kg


def least_front_ballast_kg(
    *,
    tractor_kg: float,
    front_unladen_kg: float,
    wheelbase_m: float,
    ballast_ahead_m: float,
    implement_kg: float,
    hitch_behind_m: float,
    implement_behind_m: float,
    least_share: float = 0.20,
) -> float:
    """Return the least front ballast in kg that leaves `least_share` of the tractor's own mass in front.

    Nought when none is needed. Formula: [Gr (c + d) - F0 L + share mT L] / (a + L).

    >>> round(least_front_ballast_kg(
    ...     tractor_kg=9800.0, front_unladen_kg=3920.0, wheelbase_m=3.05, ballast_ahead_m=1.10,
    ...     implement_kg=3200.0, hitch_behind_m=1.15, implement_behind_m=1.60), 1)
    680.0
    """
    moment = math.fsum(
        (
            implement_kg * (hitch_behind_m + implement_behind_m),
            -front_unladen_kg * wheelbase_m,
            least_share * tractor_kg * wheelbase_m,
        )
    )
    return max(0.0, moment / (ballast_ahead_m + wheelbase_m))


def drawbar_shift_kg(drawbar_load_kg: float, behind_axle_m: float, wheelbase_m: float) -> tuple[float, float]:
    """Return the change of front and rear axle load in kg by a drawbar load: -V cd / L and V (1 + cd / L).

    >>> front, rear = drawbar_shift_kg(2000.0, 0.85, 3.05)
    >>> round(front, 1), round(rear, 1)
    (-557.4, 2557.4)
    """
    lever = drawbar_load_kg * behind_axle_m / wheelbase_m
    return -lever, drawbar_load_kg + lever


def pull_shift_n(pull_n: float, height_m: float, wheelbase_m: float) -> float:
    """Return the force in N that a level pull at `height_m` takes off the front axle and adds to the rear.

    >>> round(pull_shift_n(40_000.0, 0.45, 3.05))
    5902
    """
    return pull_n * height_m / wheelbase_m


def pull_shift_kg(pull_n: float, height_m: float, wheelbase_m: float) -> tuple[float, float]:
    """Return the change of front and rear axle load in kg by a level pull: -P y / L and its opposite.

    >>> front, rear = pull_shift_kg(40_000.0, 0.45, 3.05)
    >>> round(front), round(rear)
    (-602, 602)
    """
    shift_kg = pull_shift_n(pull_n, height_m, wheelbase_m) / _STANDARD_GRAVITY_M_S2
    return -shift_kg, shift_kg
