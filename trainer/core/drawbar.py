"""A machine drawn by the drawbar: heights and pitch of its tongue, loads, and the drive shaft's fit.

Heights are those of the middle of the tongue's eye above the ground. The eye stands on its jack, or lies in
the clevis of the drawbar once the jack lets it down there. Everything is derived from the state; the deeds
are in `towing`.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from trainer.core import balance, driveline
from trainer.core.case import Case
from trainer.core.state import State
from trainer.core.units import micro, whole

_SAME_STUB_REV_MIN = 1.0
_NO_FIT_UM = 10_000_000
"""Reading of a shaft whose lengths are not known: it is taken to fit."""


class ShaftFit(NamedTuple):
    """How a drive shaft lies, at its worst over the turns (or the lift) the pair makes. µm and µrad."""

    bottom_um: int
    """Distance from bottoming; below nought it has bottomed."""
    overlap_um: int
    """Overlap of its tubes; below nought it has come apart."""
    angle_urad: int
    """Greatest angle of a joint."""


def eye_um(case: Case, state: State) -> int:
    """Height of the eye; 0 for a machine without a tongue.

    The clevis holds a pinned eye within its play, whatever the jack is set for.
    """
    if case.implement.tongue is None or case.tractor.drawbar is None:
        return 0
    height, play = micro(case.tractor.drawbar.height_m), micro(case.tractor.drawbar.play_m)
    if state.weight == "drawbar":
        return height
    if state.weight == "fallen":
        return 0
    if state.pin_in:
        return min(max(state.jack_um, height), height + play)
    return state.jack_um


def tongue_off_um(case: Case, state: State) -> int:
    """How far the eye is above (below: negative) the middle of the clevis; 0 without a tongue."""
    if case.implement.tongue is None or case.tractor.drawbar is None:
        return 0
    return eye_um(case, state) - micro(case.tractor.drawbar.height_m)


def tongue_fits(case: Case, state: State) -> bool:
    """Whether the eye slides into the clevis at this height."""
    drawbar = case.tractor.drawbar
    return drawbar is None or abs(tongue_off_um(case, state)) <= micro(drawbar.play_m)


def tongue_pitch_urad(case: Case, state: State) -> int:
    """Pitch of a drawn frame, nose down positive: atan(height off level / tongue)."""
    tongue = case.implement.tongue
    if tongue is None:
        return 0
    return micro(math.atan((tongue.eye_height_m - eye_um(case, state) / 1e6) / tongue.length_m))


def pin_behind_m(case: Case, reach_m: float) -> float:
    """How far the drawbar pin stands behind the rear axle at a setting."""
    return case.tractor.stub_behind_m + reach_m


def axle_loads_kg(case: Case, ballast_kg: float, carried: bool, reach_m: float) -> tuple[float, float]:
    """Front and rear axle load with this ballast, the tongue on the drawbar or not."""
    tractor, tongue = case.tractor, case.implement.tongue
    front, rear = balance.axle_loads_kg(
        tractor_kg=tractor.mass_kg,
        front_unladen_kg=tractor.front_load_kg,
        wheelbase_m=tractor.wheelbase_m,
        ballast_kg=ballast_kg,
        ballast_ahead_m=tractor.ballast_arm_m,
        implement_kg=0.0,
        hitch_behind_m=0.0,
        implement_behind_m=0.0,
    )
    if tongue is None or not carried:
        return front, rear
    lighter, heavier = balance.drawbar_shift_kg(
        tongue.load_kg, pin_behind_m(case, reach_m), tractor.wheelbase_m
    )
    return front + lighter, rear + heavier


def overload_kg(case: Case) -> int:
    """By how much the tongue is too heavy for the drawbar, or the machine for tractor or chain."""
    tongue, drawbar = case.implement.tongue, case.tractor.drawbar
    if tongue is None or drawbar is None:
        return 0
    over = max(tongue.load_kg - drawbar.most_load_kg, case.implement.mass_kg - drawbar.most_mass_kg)
    return max(0, whole(over))


def chain_short_kg(case: Case) -> int:
    """By how much the chain is rated below the machine's mass; 0 where it is strong enough."""
    tongue = case.implement.tongue
    return max(0, whole(case.implement.mass_kg - tongue.chain_rating_kg)) if tongue is not None else 0


def stub_rev_min(case: Case, state: State) -> float:
    """Speed of the PTO stub now, whether it is engaged or not."""
    return state.pto_mrev_min / 1000.0 * state.engine_mrev_min / 1000.0 / case.tractor.rated_rev_min


def stub_suits(stub_rev_min: float, made_for_rev_min: float) -> bool:
    """Whether a stub of that rated speed is the one a shaft is made for.

    >>> stub_suits(540.0, 540.4), stub_suits(1000.0, 540.0)
    (True, False)
    """
    return abs(stub_rev_min - made_for_rev_min) <= _SAME_STUB_REV_MIN


def shaft_right(case: Case, state: State) -> bool:
    """Whether the stub is shifted to the speed that everything on a shaft is made for."""
    for function, hose in _shafts(case):
        made_for = case.implement.functions[function].pto_rev_min
        if state.hose_at[hose] >= 0 and not stub_suits(state.pto_mrev_min / 1000.0, made_for):
            return False
    return True


def shafts_on(case: Case, state: State) -> bool:
    """Whether a drive shaft is on the stub."""
    return any(state.hose_at[hose] >= 0 for _, hose in _shafts(case))


def _shafts(case: Case) -> list[tuple[int, int]]:
    """(function, hose) of every drive shaft."""
    return [(hose.function, index) for index, hose in enumerate(case.implement.hoses) if hose.role == "shaft"]


def shaft_fit(case: Case, reach_m: float, spans_m: tuple[float, ...] = ()) -> ShaftFit:
    """The worst of every shaft of a drawn pair with the drawbar at this setting, straight and in its turn.

    A mounted pair's shafts have their spans (joint to joint, at each end of the lift) given instead.
    """
    worst = [ShaftFit(_NO_FIT_UM, _NO_FIT_UM, 0)]
    tongue = case.implement.tongue
    for _, index in _shafts(case):
        shaft = case.implement.hoses[index]
        if not shaft.closed_m:
            continue
        spans, angle = spans_m, 0.0
        if tongue is not None:
            # The implement's joint stands behind the pin by where the shaft's root is behind the eye.
            behind = shaft.root_m[1]
            spans = tuple(driveline.turning_span_m(reach_m, behind, turn) for turn in (0.0, tongue.turn_rad))
            angle = max(abs(one) for one in driveline.joint_angles_rad(reach_m, behind, tongue.turn_rad))
        fits = [driveline.shaft_fit_m(span, shaft.closed_m, shaft.closed_overlap_m) for span in spans]
        worst.append(
            ShaftFit(micro(min(fit[0] for fit in fits)), micro(min(fit[1] for fit in fits)), micro(angle))
        )
    return ShaftFit(
        min(fit.bottom_um for fit in worst),
        min(fit.overlap_um for fit in worst),
        max(fit.angle_urad for fit in worst),
    )


def joint_limit_urad(case: Case) -> int:
    """Greatest angle the joints of any shaft may turn through; a right angle where none is known."""
    return min(
        (micro(hose.most_angle_rad) for hose in case.implement.hoses if hose.most_angle_rad),
        default=micro(math.pi / 2.0),
    )


def shaft_made_rev_min(case: Case) -> int:
    """Stub speed that what hangs on a shaft is made for; 0 without a shaft."""
    speeds = [case.implement.functions[function].pto_rev_min for function, _ in _shafts(case)]
    return whole(min(speeds, default=0.0))


def holds(case: Case, state: State) -> bool:
    """Whether a drawn machine by itself stays where it stands: both wheels chocked, or less slope than its
    wheels resist. A mounted one stands on its stands."""
    tongue = case.implement.tongue
    if tongue is None or (state.chock_left and state.chock_right):
        return True
    slope = next(site.slope for site in case.sites if site.name == state.site)
    return slope <= tongue.wheel_roll_resistance


def reach_fits(case: Case, fit: ShaftFit) -> bool:
    """Whether a shaft that lies so has its trade distances left (practice) and bends as far as it may."""
    return (
        fit.bottom_um >= micro(driveline.LEAST_FROM_BOTTOMING_M)
        and fit.overlap_um >= micro(driveline.LEAST_OVERLAP_M)
        and fit.angle_urad <= joint_limit_urad(case)
    )
