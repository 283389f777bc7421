"""What can be done at a drawbar and behind it: tongue, jack, pin, clip, chain, further joints with the bus
that goes over them, locks of parts, the shaft.

`CHECKS` say what the yard does not let happen (see `refusals`), `DEEDS` what an action does (see `engine`).
Done wrongly is legal here as everywhere.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from trainer.core import drawbar
from trainer.core.actions import Action, Refusal
from trainer.core.case import Case
from trainer.core.state import State, replace
from trainer.core.units import micro, milli, whole

STRUCK_M = 0.04
"""How far short of the pin the tractor stops where clevis and tongue meet face to face (our own yard)."""
_CHAIN_REACH_M = 0.5
"""How far apart the machines may stand for the chain to be hooked."""
_JACK_FOOT_M = 0.02
"""How far below the clevis the jack's foot swings down: it is cranked before it carries (our own yard)."""
_STOPPED = "stopped for safety"


class Teller(Protocol):
    """Takes the events of a tick (`engine.Telling`)."""

    def tell(
        self, kind: str, thing: str = "", place: str = "", *, hose: int = -1, port: int = -1, **values: int
    ) -> None: ...

    def note(self, kind: str, thing: str = "", place: str = "", **values: int) -> None: ...


# --- what cannot be done --------------------------------------------------------------------------------


def _check_jack(case: Case, state: State, action: Action) -> Refusal | None:
    tongue, clevis = case.implement.tongue, case.tractor.drawbar
    if tongue is None or clevis is None:
        return Refusal("not_on_this_machine")
    if state.weight == "fallen":
        return Refusal("fallen")
    assert action.amount is not None
    low, high = micro(tongue.jack_low_m), micro(tongue.jack_high_m)
    if not low <= action.amount <= high:
        return Refusal("jack_range", (("low_um", low), ("high_um", high)))
    if not state.stands:
        return Refusal("jack_is_up")
    held = state.pin_in or (state.gap_um == 0 and drawbar.tongue_fits(case, state))
    if held and action.amount > micro(clevis.height_m + clevis.play_m):
        return Refusal("clevis_holds_tongue", (("high_um", micro(clevis.height_m + clevis.play_m)),))
    return None


def _check_pin(case: Case, state: State, action: Action) -> Refusal | None:
    if not case.implement.drawn:
        return Refusal("not_on_this_machine")
    if (action.thing == "fit") == state.pin_in:
        return Refusal("is_so_already")
    if action.thing == "remove":
        return Refusal("clip_is_in") if state.pin_clipped else None
    if state.weight == "fallen":
        return Refusal("fallen")
    if state.gap_um > 0 or state.drawbar_stowed or not drawbar.tongue_fits(case, state):
        return Refusal("holes_apart")
    return None


def _check_clip(case: Case, state: State, action: Action) -> Refusal | None:
    if not case.implement.drawn:
        return Refusal("not_on_this_machine")
    if (action.thing == "fit") == state.pin_clipped:
        return Refusal("is_so_already")
    return Refusal("no_pin_in") if action.thing == "fit" and not state.pin_in else None


def _check_chain(case: Case, state: State, action: Action) -> Refusal | None:
    if not case.implement.drawn:
        return Refusal("not_on_this_machine")
    if (action.thing == "hook") == state.chained:
        return Refusal("is_so_already")
    return Refusal("too_far") if action.thing == "hook" and state.gap_um > micro(_CHAIN_REACH_M) else None


def _check_drawbar_reach(case: Case, state: State, action: Action) -> Refusal | None:
    assert action.amount is not None
    clevis = case.tractor.drawbar
    if clevis is None:
        return Refusal("not_on_this_machine")
    settings = [micro(reach) for reach in clevis.reaches_m]
    if action.amount not in settings:
        return Refusal("drawbar_range", (("low_um", settings[0]), ("high_um", settings[-1])))
    if action.amount == state.drawbar_reach_um:
        return Refusal("is_so_already")
    if state.drawbar_stowed:
        return Refusal("drawbar_is_in")
    return Refusal("pin_is_in") if state.pin_in else None


def _check_drawbar(case: Case, state: State, action: Action) -> Refusal | None:
    if (action.thing == "stow") == state.drawbar_stowed:
        return Refusal("is_so_already")
    return Refusal("pin_is_in") if state.pin_in else None


def _check_joint(case: Case, state: State, action: Action) -> Refusal | None:
    secured = state.joints_secured[case.joint(action.thing)]
    return Refusal("is_so_already") if secured == (action.word == "secure") else None


def _check_lock(case: Case, state: State, action: Action) -> Refusal | None:
    """A part's lock goes in at either end of its way: there its holes are in line."""
    index = case.function(action.thing)
    function = case.implement.functions[index]
    if not function.lockable:
        return Refusal("no_lock_here")
    if state.locked[index] == (action.word == "lock"):
        return Refusal("is_so_already")
    at_end = state.works[index].stroke_um in (0, micro(function.stroke_m))
    return Refusal("lock_holes_apart") if action.word == "lock" and not at_end else None


def _check_terminator(case: Case, state: State, action: Action) -> Refusal | None:
    if not case.implement.units:
        return Refusal("not_on_this_machine")
    return Refusal("is_so_already") if action.thing == state.terminator_at else None


def _check_pto_speed(case: Case, state: State, action: Action) -> Refusal | None:
    assert action.amount is not None
    speeds = [milli(speed) for speed in case.tractor.pto_speeds_rev_min]
    if not speeds:
        return Refusal("not_on_this_machine")
    if action.amount not in speeds:
        return Refusal("no_such_speed")
    if action.amount == state.pto_mrev_min:
        return Refusal("is_so_already")
    return Refusal("pto_turns") if state.pto else None


def _check_shaft_guard(case: Case, state: State, action: Action) -> Refusal | None:
    return Refusal("is_so_already") if (action.thing == "fit") == state.shaft_guard else None


# --- what an action does --------------------------------------------------------------------------------


def _jack(case: Case, s: State, a: Action, t: Teller) -> State:
    assert a.amount is not None
    t.tell("jacked", jack_um=s.jack_um)
    after = settled(case, replace(s, jack_um=a.amount))
    if s.weight == "drawbar" and after.weight == "stands":
        t.tell("set_down", "jack")
    return after


def settled(case: Case, s: State) -> State:
    """What carries the tongue after jack, pin or stand were moved: the clevis, once the eye is in it and the
    jack does not hold it up."""
    clevis = case.tractor.drawbar
    if case.implement.tongue is None or clevis is None or s.weight == "fallen":
        return s
    in_clevis = s.gap_um == 0 and not s.drawbar_stowed and (s.pin_in or drawbar.tongue_fits(case, s))
    low = s.jack_um < micro(clevis.height_m)
    carried = in_clevis and (not s.stands or low)
    weight = "drawbar" if carried else "stands"
    return s if weight == s.weight else replace(s, weight=weight, supports_seen=False)


def stand_moved(case: Case, s: State, down: bool) -> State:
    """The jack's foot swung down, not carrying yet, or up; then the clevis takes what the jack lets go."""
    clevis = case.tractor.drawbar
    if down and clevis is not None and s.weight == "drawbar":
        s = replace(s, jack_um=min(s.jack_um, micro(clevis.height_m - _JACK_FOOT_M)))
    return settled(case, replace(s, stands=down, supports_seen=False))


def rolled(case: Case, s: State, t: Teller) -> State:
    """A machine that nothing holds, on a slope its wheels do not resist, runs away."""
    if not case.implement.drawn or s.pin_in or s.chained or s.ended or s.weight == "fallen":
        return s
    if drawbar.holds(case, s):
        return s
    t.tell("rolled_away", fall_kg=whole(case.implement.mass_kg))
    return replace(s, weight="fallen", ended=_STOPPED)


def parts_company(case: Case, s: State, t: Teller) -> State:
    """The tractor moves ahead of a tongue that no pin holds: a chain left on drags it off its jack, and an
    eye that lay in the clevis falls."""
    if s.chained:
        t.tell("dragged_by_chain", fall_kg=whole(case.implement.mass_kg))
        return replace(s, weight="fallen", ended=_STOPPED)
    if s.weight == "drawbar" and case.implement.tongue is not None:
        t.tell("fell", "tongue", "", fall_kg=whole(case.implement.tongue.load_kg))
        return replace(s, weight="fallen", ended=_STOPPED)
    return s


def pair_moves(case: Case, s: State, t: Teller, how: str, place: str = "") -> State:
    """A pinned pair is driven through the yard and its turns: what was not made fast comes off."""
    t.tell("moving", how, place)
    fit = drawbar.shaft_fit(case, s.drawbar_reach_um / 1e6)
    if s.stands:
        t.tell("jack_dragged")
    if not s.pin_clipped:
        t.tell("pin_lost", "", "chained" if s.chained else "loose", fall_kg=whole(case.implement.mass_kg))
        return replace(s, weight="fallen", pin_in=False, engaged=False, ended=_STOPPED)
    for joint, secured in zip(case.implement.joints, s.joints_secured, strict=True):
        if not secured:
            t.tell("joint_parted", joint.name, fall_kg=whole(case.implement.mass_kg))
            return replace(s, weight="fallen", ended=_STOPPED)
    if drawbar.shafts_on(case, s):
        if fit.bottom_um < 0:
            t.tell("shaft_bottomed", short_um=-fit.bottom_um)
        elif fit.overlap_um < 0:
            t.tell("shaft_apart", short_um=-fit.overlap_um)
    return s


def _pin(case: Case, s: State, a: Action, t: Teller) -> State:
    if a.thing == "fit":
        t.tell("pin_fitted")
        return settled(case, replace(s, pin_in=True, engaged=True, latches_seen=False))
    t.tell("pin_removed")
    s = replace(s, pin_in=False, engaged=False, latches_seen=False, latch_looks=0)
    return rolled(case, s, t)


def _clip(case: Case, s: State, a: Action, t: Teller) -> State:
    t.tell("clip_fitted" if a.thing == "fit" else "clip_removed")
    return replace(s, pin_clipped=a.thing == "fit", latches_seen=False)


def _chain(case: Case, s: State, a: Action, t: Teller) -> State:
    t.tell("chain_hooked" if a.thing == "hook" else "chain_unhooked")
    s = replace(s, chained=a.thing == "hook", latches_seen=False)
    return rolled(case, s, t)


def _drawbar_reach(case: Case, s: State, a: Action, t: Teller) -> State:
    assert a.amount is not None
    t.note("reach_set", reach_um=a.amount)
    return replace(s, drawbar_reach_um=a.amount)


def _joint(case: Case, s: State, a: Action, t: Teller) -> State:
    t.tell("joint_secured" if a.word == "secure" else "joint_released", a.thing)
    at = case.joint(a.thing)
    secured = tuple(a.word == "secure" if index == at else was for index, was in enumerate(s.joints_secured))
    return replace(s, joints_secured=secured)


def _lock(case: Case, s: State, a: Action, t: Teller) -> State:
    at = case.function(a.thing)
    off = [hose for hose, port in zip(case.implement.hoses, s.hose_at, strict=True) if port < 0]
    dry = len([hose for hose in off if hose.function == at])
    t.tell("part_locked" if a.word == "lock" else "part_unlocked", a.thing, part_lines_off_count=dry)
    return replace(
        s, locked=tuple(a.word == "lock" if index == at else was for index, was in enumerate(s.locked))
    )


def _terminator(case: Case, s: State, a: Action, t: Teller) -> State:
    t.tell("terminator_moved", a.thing)
    proved = tuple(name for name in s.proved if name != "bus")
    return replace(s, terminator_at=a.thing, proved=proved)


def _pto_speed(case: Case, s: State, a: Action, t: Teller) -> State:
    assert a.amount is not None
    t.note("stub_shifted", speed_rev_min=a.amount // 1000)
    return replace(s, pto_mrev_min=a.amount)


def _shaft_guard(case: Case, s: State, a: Action, t: Teller) -> State:
    t.note("shaft_guard", a.thing)
    return replace(s, shaft_guard=a.thing == "fit")


DEEDS: dict[str, Callable[[Case, State, Action, Teller], State]] = {
    "jack": _jack,
    "pin": _pin,
    "clip": _clip,
    "chain": _chain,
    "drawbar_reach": _drawbar_reach,
    "secure": _joint,
    "release": _joint,
    "lock": _lock,
    "unlock": _lock,
    "terminator": _terminator,
    "pto_speed": _pto_speed,
    "shaft_guard": _shaft_guard,
}

CHECKS: dict[str, Callable[[Case, State, Action], Refusal | None]] = {
    "jack": _check_jack,
    "pin": _check_pin,
    "clip": _check_clip,
    "chain": _check_chain,
    "drawbar_reach": _check_drawbar_reach,
    "drawbar": _check_drawbar,
    "secure": _check_joint,
    "release": _check_joint,
    "lock": _check_lock,
    "unlock": _check_lock,
    "terminator": _check_terminator,
    "pto_speed": _check_pto_speed,
    "shaft_guard": _check_shaft_guard,
}
