"""What the yard does not let happen, and why: the only place that says no.

Right and wrong do not matter here. What can be done wrongly is legal; what is refused cannot be done at
all (the coupler does not fit, the hose does not reach, the key is out). Each reason is a key into the
texts, told in the yard's words.
"""

from __future__ import annotations

from collections.abc import Callable

from trainer.core import faults, towing
from trainer.core import hydraulics as hyd
from trainer.core.actions import TESTS, WORDS, Action, Refusal, Word
from trainer.core.case import STATIONS, Case
from trainer.core.readings import (
    OUT_OF_REACH_URAD,
    clear_um,
    connectors,
    hangs,
    hose_short_um,
    lines_on,
    page_up,
    pitch_urad,
    raised,
    supply_live,
)
from trainer.core.state import State
from trainer.core.units import micro, milli, whole

_PLUG_REACH_M = 0.5
"""How far apart the machines may stand for a plug's cable to reach."""


def legal(case: Case, state: State, action: Action) -> Refusal | None:
    """Why the yard does not let this action happen now, or None. Changes nothing.

    Right and wrong do not matter here: what can be done wrongly is legal.
    """
    case = faults.present(case, state)
    word = WORDS.get(action.word)
    if word is None:
        return Refusal("no_such_word")
    if state.ended:
        return Refusal("ended")
    unknown = _unknown(case, word, action)
    if unknown is not None:
        return unknown
    if state.busy_until > state.tick:
        return Refusal("busy")
    if state.station not in word.stations:
        return Refusal("not_here")
    check = _CHECKS.get(action.word)
    return check(case, state, action) if check is not None else None


def _unknown(case: Case, word: Word, action: Action) -> Refusal | None:
    for kind, name in ((word.thing, action.thing), (word.place, action.place)):
        if isinstance(kind, tuple):
            if name not in kind:
                return Refusal("no_such_choice")
        elif not _known(case, kind, name):
            return Refusal("no_such_name")
    if bool(word.unit) != (action.amount is not None):
        return Refusal("no_such_choice")
    if action.amount is not None and not word.low * 1000 <= action.amount <= word.high * 1000:
        return Refusal("out_of_range")
    return None


def _known(case: Case, kind: str, name: str) -> bool:
    if kind not in _KNOWN:
        raise ValueError(f"no kind of name called {kind!r}")
    return _KNOWN[kind](case, name)


_KNOWN: dict[str, Callable[[Case, str], bool]] = {
    "": lambda case, name: name == "",
    "station": lambda case, name: name in STATIONS,
    "hose": lambda case, name: case.hose(name) >= 0,
    "plug": lambda case, name: case.plug(name) >= 0,
    "end": lambda case, name: case.hose(name) >= 0 or case.plug(name) >= 0,
    "port": lambda case, name: case.port(name) >= 0,
    "socket": lambda case, name: case.socket(name) >= 0,
    "line_or_port": lambda case, name: case.hose(name) >= 0 or case.port(name) >= 0,
    "valve": lambda case, name: case.valve(name) >= 0,
    "part": lambda case, name: name in faults.part_names(case),
    "paper": lambda case, name: any(paper.name == name for paper in case.papers),
    "function": lambda case, name: case.function(name) >= 0,
    "joint": lambda case, name: case.joint(name) >= 0,
    "unit": lambda case, name: name == "off" or case.unit(name) >= 0,
    "site": lambda case, name: any(site.name == name for site in case.sites),
    "source": lambda case, name: name in case.tractor.speed_sources,
    "function_or_line": lambda case, name: case.function(name) >= 0 or name in TESTS,
}
"""Whether there is a thing of that kind and name."""


def _check_look(case: Case, state: State, action: Action) -> Refusal | None:
    where = {
        "area": ("yard", "seat"),
        "latches": ("hitch",),
        "supports": ("implement",),
        "lines": ("yard", "seat"),
    }[action.thing]
    return None if state.station in where else Refusal("not_seen_from_here")


def _check_measure(case: Case, state: State, action: Action) -> Refusal | None:
    where = {
        "bar_height": ("hitch", "implement"),
        "bar_pitch": ("hitch", "implement"),
        "sway": ("hitch",),
        "mast_pins": ("hitch", "implement"),
        "slope": ("yard", "implement"),
        "front_axle": ("yard",),
        "pressure": ("panel",),
        "case_pressure": ("panel", "seat"),
        "fan_speed": ("seat",),
        "flow": ("panel", "seat"),
        "oil_temperature": ("panel", "seat"),
        "supply_volts": ("panel",),
        "bus_ohms": ("panel",),
        "tongue_height": ("hitch", "implement"),
        "tongue_pitch": ("hitch", "implement"),
        "overlap": ("hitch", "panel"),
        "gauge": ("panel", "seat", "yard"),
        "flow_meter": ("panel", "seat", "yard"),
        "lift_height": ("seat", "yard", "implement"),
        "speed_source": ("seat",),
    }[action.thing]
    of_a_tongue = action.thing in ("tongue_height", "tongue_pitch")
    if of_a_tongue and not case.implement.drawn:
        return Refusal("not_on_this_machine")
    if state.station not in where:
        return Refusal("not_measured_here")
    if (action.thing == "gauge" and not state.gauge_at) or (
        action.thing == "flow_meter" and not state.meter_at
    ):
        return Refusal("nothing_fitted")
    return Refusal("no_page") if action.thing == "speed_source" and not page_up(case, state) else None


def _check_gauge(case: Case, state: State, action: Action) -> Refusal | None:
    there = state.gauge_at if action.word == "gauge" else state.meter_at
    return Refusal("is_so_already") if action.thing == there else None


def _check_name(case: Case, state: State, action: Action) -> Refusal | None:
    if case.fault is None:
        return Refusal("no_fault_report")
    return Refusal("named_already") if state.found else None


def _check_evidence(case: Case, state: State, action: Action) -> Refusal | None:
    if case.fault is None:
        return Refusal("no_fault_report")
    assert action.amount is not None
    if action.amount % 1000:
        return Refusal("no_such_choice")
    return Refusal("is_so_already") if action.amount // 1000 in state.cited else None


def _check_mend(case: Case, state: State, action: Action) -> Refusal | None:
    return Refusal("no_fault_report") if case.goal != "find" else None


def _check_meter(case: Case, state: State, action: Action) -> Refusal | None:
    for name in (action.thing, action.place):
        connector, _, _ = name.rpartition("_")
        if connector and connector not in connectors(case):
            return Refusal("no_such_plug")
    return Refusal("same_pin") if action.thing == action.place else None


def _check_engine(case: Case, state: State, action: Action) -> Refusal | None:
    if action.thing == "start":
        if state.engine:
            return Refusal("engine_runs")
        if state.key != "on":
            return Refusal("key_not_on")
    elif not state.engine:
        return Refusal("engine_stands")
    elif state.station != "seat":
        return Refusal("not_here")
    return None


def _check_throttle(case: Case, state: State, action: Action) -> Refusal | None:
    if not state.engine:
        return Refusal("engine_stands")
    assert action.amount is not None
    if not milli(case.tractor.idle_rev_min) <= action.amount <= milli(case.tractor.rated_rev_min):
        return Refusal("out_of_range")
    return None


def _check_hitch(case: Case, state: State, action: Action) -> Refusal | None:
    assert action.amount is not None
    target = action.amount
    low, high = micro(case.tractor.hitch_low_m), micro(case.tractor.hitch_high_m)
    if not low <= target <= high:
        return Refusal("hitch_range", (("low_um", low), ("high_um", high)))
    if state.weight == "fallen":
        return Refusal("fallen")
    if target > state.hitch_um and not state.engine:
        return Refusal("no_oil_to_lift")
    if state.lift_locked:
        return Refusal("lock_is_in")
    carries = state.engaged and (target >= clear_um(case, state) or not state.stands)
    if carries and pitch_urad(case, state, target, state.top_link_um) == OUT_OF_REACH_URAD:
        return Refusal("top_link_out_of_reach")
    return None


def _check_top_link(case: Case, state: State, action: Action) -> Refusal | None:
    assert action.amount is not None
    low, high = micro(case.tractor.top_link_short_m), micro(case.tractor.top_link_long_m)
    if not low <= action.amount <= high:
        return Refusal("top_link_range", (("low_um", low), ("high_um", high)))
    carried = state.weight in ("hitch", "ground")
    if carried and pitch_urad(case, state, state.hitch_um, action.amount) == OUT_OF_REACH_URAD:
        return Refusal("top_link_out_of_reach")
    return None


def _check_sway(case: Case, state: State, action: Action) -> Refusal | None:
    assert action.amount is not None
    if action.amount > micro(case.tractor.sway_free_m):
        return Refusal("sway_range", (("high_um", micro(case.tractor.sway_free_m)),))
    return None


def _check_move(case: Case, state: State, action: Action) -> Refusal | None:
    if state.weight == "fallen":
        return Refusal("fallen")
    if not state.engine:
        return Refusal("engine_stands")
    if state.brake:
        return Refusal("brake_holds")
    if action.word == "reverse" and state.gap_um == 0:
        return Refusal("already_under")
    if action.word == "reverse" and state.driven_off:
        return Refusal("driven_off")
    if action.word == "creep" and state.gap_um > 0:
        return Refusal("already_clear")
    if action.word == "park_at":
        if not (state.pin_in if case.implement.drawn else raised(case, state)):
            return Refusal("not_carried")
        if action.thing == state.site:
            return Refusal("there_already")
    return None


def _check_bushings(case: Case, state: State, action: Action) -> Refusal | None:
    if (action.thing == "fit") == state.bushings:
        return Refusal("is_so_already")
    return Refusal("pins_in_hooks") if state.engaged else None


def _check_top_hook(case: Case, state: State, action: Action) -> Refusal | None:
    if (action.thing == "fit") == state.top_hook:
        return Refusal("is_so_already")
    return Refusal("hook_is_loaded") if state.engaged and state.weight == "hitch" else None


def _check_latch(case: Case, state: State, action: Action) -> Refusal | None:
    if case.implement.drawn:
        return Refusal("not_on_this_machine")
    closed = state.latch_left if action.thing == "left" else state.latch_right
    return Refusal("is_so_already") if closed == (action.word == "latch") else None


def _check_ballast(case: Case, state: State, action: Action) -> Refusal | None:
    assert action.amount is not None
    if action.amount % 1000 or action.amount // 1000 not in case.tractor.ballast_steps_kg:
        return Refusal("no_such_ballast")
    return None


def _check_chock(case: Case, state: State, action: Action) -> Refusal | None:
    lies = state.chock_left if action.thing == "left" else state.chock_right
    return Refusal("is_so_already") if lies == (action.word == "chock") else None


def _check_stands(case: Case, state: State, action: Action) -> Refusal | None:
    if (action.thing == "down") == state.stands:
        return Refusal("is_so_already")
    if case.implement.drawn:
        # The jack is cranked: it lets the tongue down into the clevis; elsewhere there is nothing below.
        loaded = action.thing == "up" and state.weight == "stands" and state.gap_um > 0
        return Refusal("stand_is_loaded") if loaded else None
    if action.thing == "up" and state.weight == "stands":
        return Refusal("stand_is_loaded")
    if action.thing == "down" and state.hitch_um < micro(case.implement.parked_ball_m):
        return Refusal("too_low_for_stands")
    return None


def _check_lift_lock(case: Case, state: State, action: Action) -> Refusal | None:
    if (action.thing == "set") == state.lift_locked:
        return Refusal("is_so_already")
    up = hangs(case, state) if case.implement.drawn else raised(case, state)
    return Refusal("nothing_to_lock") if action.thing == "set" and not up else None


def _check_wipe(case: Case, state: State, action: Action) -> Refusal | None:
    hose, port = case.hose(action.thing), case.port(action.thing)
    if hose >= 0 and state.hose_at[hose] >= 0:
        return Refusal("is_coupled")
    if port >= 0 and port in state.hose_at:
        return Refusal("is_coupled")
    return None


def _check_couple(case: Case, state: State, action: Action) -> Refusal | None:
    hose, port = case.hose(action.thing), case.port(action.place)
    end, socket = case.implement.hoses[hose], case.tractor.ports[port]
    if state.hose_at[hose] >= 0:
        return Refusal("is_coupled")
    if port in state.hose_at:
        return Refusal("port_taken")
    short = hose_short_um(case, state, hose, port, state.hitch_um)
    if short > 0:
        return Refusal("too_short", (("short_um", short),))
    if end.form != socket.form:
        return Refusal("does_not_fit")
    pressure = max(state.hose_pa[hose], state.port_pa[port])
    force = hyd.coupling_force_n(pressure, socket.seat_diameter_m)
    if force > case.limits.couple_force_n:
        return Refusal(
            "pressure",
            (
                ("pressure_pa", pressure),
                ("force_mn", milli(force)),
                ("limit_pa", whole(case.limits.couple_pressure_pa)),
            ),
        )
    return None


def _check_uncouple(case: Case, state: State, action: Action) -> Refusal | None:
    return Refusal("is_off") if state.hose_at[case.hose(action.thing)] < 0 else None


def _check_plug(case: Case, state: State, action: Action) -> Refusal | None:
    plug, socket = case.plug(action.thing), case.socket(action.place)
    if state.plug_at[plug] >= 0:
        return Refusal("is_coupled")
    if socket in state.plug_at:
        return Refusal("port_taken")
    if state.gap_um > micro(_PLUG_REACH_M):
        return Refusal("too_far")
    if case.implement.plugs[plug].form != case.tractor.sockets[socket].form:
        return Refusal("does_not_fit")
    return None


def _check_unplug(case: Case, state: State, action: Action) -> Refusal | None:
    return Refusal("is_off") if state.plug_at[case.plug(action.thing)] < 0 else None


def _check_cap(case: Case, state: State, action: Action) -> Refusal | None:
    hose, port = case.hose(action.thing), case.port(action.thing)
    if (hose >= 0 and state.hose_at[hose] >= 0) or (port >= 0 and port in state.hose_at):
        return Refusal("is_coupled")
    return None


def _check_store(case: Case, state: State, action: Action) -> Refusal | None:
    hose, plug = case.hose(action.thing), case.plug(action.thing)
    at = state.hose_at[hose] if hose >= 0 else state.plug_at[plug]
    return Refusal("is_coupled") if at >= 0 else None


def _check_route(case: Case, state: State, action: Action) -> Refusal | None:
    return Refusal("nothing_to_route") if lines_on(state) == 0 else None


def _check_valve(case: Case, state: State, action: Action) -> Refusal | None:
    return None if supply_live(state) else Refusal("valves_have_no_power")


def _check_pto(case: Case, state: State, action: Action) -> Refusal | None:
    if (action.thing == "on") == state.pto:
        return Refusal("is_so_already")
    return Refusal("engine_stands") if action.thing == "on" and not state.engine else None


def _check_source(case: Case, state: State, action: Action) -> Refusal | None:
    if not page_up(case, state):
        return Refusal("no_page")
    return None


def _check_brake(case: Case, state: State, action: Action) -> Refusal | None:
    return Refusal("is_so_already") if (action.thing == "set") == state.brake else None


def _check_key(case: Case, state: State, action: Action) -> Refusal | None:
    return Refusal("is_so_already") if action.thing == state.key else None


def _check_go(case: Case, state: State, action: Action) -> Refusal | None:
    return Refusal("is_so_already") if action.thing == state.station else None


_CHECKS: dict[str, Callable[[Case, State, Action], Refusal | None]] = {
    "go": _check_go,
    "look": _check_look,
    "measure": _check_measure,
    "volts": _check_meter,
    "ohms": _check_meter,
    "gauge": _check_gauge,
    "flow_meter": _check_gauge,
    "evidence": _check_evidence,
    "name": _check_name,
    "mend": _check_mend,
    "engine": _check_engine,
    "throttle": _check_throttle,
    "hitch": _check_hitch,
    "top_link": _check_top_link,
    "sway": _check_sway,
    "reverse": _check_move,
    "creep": _check_move,
    "drive": _check_move,
    "park_at": _check_move,
    "bushings": _check_bushings,
    "top_hook": _check_top_hook,
    "latch": _check_latch,
    "unlatch": _check_latch,
    "ballast": _check_ballast,
    "chock": _check_chock,
    "unchock": _check_chock,
    "stands": _check_stands,
    "lift_lock": _check_lift_lock,
    "wipe": _check_wipe,
    "couple": _check_couple,
    "uncouple": _check_uncouple,
    "plug": _check_plug,
    "unplug": _check_unplug,
    "cap": _check_cap,
    "store": _check_store,
    "route": _check_route,
    "lever": _check_valve,
    "dial": _check_valve,
    "pto": _check_pto,
    "speed_source": _check_source,
    "brake": _check_brake,
    "key": _check_key,
    **towing.CHECKS,
}
