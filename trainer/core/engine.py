"""What happens in the yard, tick by tick: pure functions from state and actions to state and events.

    start(case) -> State
    legal(case, state, action) -> Refusal | None
    step(case, state, actions=()) -> (State, tuple[Event, ...])

One call of `step` is one tick of 50 ms. The engine lets everything happen that a yard would let happen,
right or wrong, and tells it as events with the readings of that moment; what an event means is the
business of `rules`. A refused action is an event too and leaves the state as it was.

Simplifications, stated: the hitch has its own oil; the implement's own wheels follow the hitch; the
implement is level while it stands on its stands; a shut-in port neither warms nor leaks; the tractor is
driven only along the line of the hitch.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TypeVar

from trainer.core import faults, towing, wiring
from trainer.core.actions import WORDS, Action, Event
from trainer.core.case import BETWEEN, SPEED_SOURCES, STATION_M, Case
from trainer.core.drawbar import stub_rev_min, tongue_fits, tongue_off_um
from trainer.core.motion import advance, with_page
from trainer.core.readings import (
    at_speed,
    bus_ends_mohm,
    bus_mohm,
    dials_left,
    fan_rev_min,
    gauge_pa,
    handed_in,
    hangs,
    held,
    highest_pa,
    lamps_bright,
    lies,
    lines_on,
    meter_mm3_s,
    metered_mohm,
    page_up,
    parts_up,
    pitch_urad,
    raised,
    readings,
    standing,
    supply_hold_ticks,
    units_off,
    wired,
    wires,
)
from trainer.core.refusals import legal
from trainer.core.state import State, Working, digest, replace
from trainer.core.units import TICKS_PER_S, micro, milli, mrad_s, ticks, whole

__all__ = ["ENGINE_VERSION", "digest", "legal", "skip", "start", "step", "walk_s"]

ENGINE_VERSION = 3
"""Raised, with a line of reason in `CHANGES`, whenever the same actions would give another state or event."""

CHANGES: tuple[tuple[int, str], ...] = (
    (1, "the first"),
    (
        2,
        (
            "what a pulled plug or hose had proved has to be proved again, looks at the latches count from "
            "when both were closed, hands under a frame on its own lift and parts that begin to move are told"
        ),
    ),
    (
        3,
        (
            "bushings on pins that fill the hook are told by what they add; "
            "machines drawn by the drawbar: tongue, jack, pin, clip, chain, drive shaft; folding parts and "
            "their locks; volts and ohms from pin to pin, and all that has power, follow from one circuit "
            "of the wiring between the machines; the hand-in tells the flow each dial was left at and "
            "whether the lamps are plugged in, and a shortage of oil is told at working speed only; faults "
            "are drawn, measured with gauge and meter, named with evidence and mended; an accumulator keeps "
            "its line charged, and ports that lead home stand at their back pressure; a mounted machine may "
            "work on the hitch; oil that pushes on a mechanical lock is told, and a part that "
            "folds over the top hangs on oil between its ends only; "
            "the terminator of a bus with more than one unit is moved by hand"
        ),
    ),
)

_WALK_M_S = 1.2
_CLIMB_S = 4.0
_REVERSE_M_S = 0.3
_CREEP_M = 0.5
_AWAY_M = 20.0
_MOVE_PAIR_S = 25.0
_MOST_HOSE_LEAD_M = 0.35
_REACHES_UNDER = (
    "stands",
    "chock",
    "unchock",
    "latch",
    "unlatch",
    "top_hook",
    "top_link",
    "sway",
    "drawbar",
    "bushings",
)
"""Work that puts a hand or a foot under a raised machine."""
_PORT_FACES_DEG, _ROOT_FACES_DEG = 0.0, 180.0
"""Ports face rearward, the implement's hose guide faces the tractor."""


def walk_s(origin: str, goal: str) -> float:
    """Time to walk from one station to another; climbing in or out of the cab takes its own.

    >>> walk_s("panel", "panel")
    0.0
    >>> walk_s("seat", "yard") > walk_s("hitch", "panel")
    True
    """
    if origin == goal:
        return 0.0
    (x0, y0), (x1, y1) = STATION_M[origin], STATION_M[goal]
    climb = _CLIMB_S if "seat" in (origin, goal) else 0.0
    return float(((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5 / _WALK_M_S + climb)


def start(case: Case) -> State:
    """The yard as it is found."""
    begin, tractor, implement = case.start, case.tractor, case.implement
    hose_at = [-1] * len(implement.hoses)
    plug_at = [-1] * len(implement.plugs)
    for hose, port in begin.lines_on:
        hose_at[case.hose(hose)] = case.port(port)
    for plug, socket in begin.plugs_on:
        plug_at[case.plug(plug)] = case.socket(socket)
    levers, dials = ["block"] * len(tractor.valves), [0] * len(tractor.valves)
    for valve, lever, dial in begin.levers:
        levers[case.valve(valve)], dials[case.valve(valve)] = lever, milli(dial)
    port_pa = [0] * len(tractor.ports)
    for port, pressure in begin.pressures:
        port_pa[case.port(port)] = whole(pressure)
    strokes = dict(begin.cylinders)
    turning = {function.name: begin.fan_rev_min for function in implement.functions if function.kind == "fan"}
    turning |= dict(begin.turning)
    works = tuple(
        Working(
            course="driven" if turning.get(function.name) else "idle",
            speed_mrad_s=mrad_s(turning.get(function.name, 0.0)),
            stroke_um=micro(function.stroke_m * strokes.get(function.name, 0.0)),
        )
        for function in implement.functions
    )
    attached = begin.latched or begin.pinned
    lines = [at >= 0 for at in hose_at + plug_at]
    return State(
        tick=0,
        moving=True,
        busy_until=0,
        doing="",
        ended="",
        station=begin.station,
        key=begin.key,
        key_off_tick=-1,
        supply_until=0,
        engine=begin.engine,
        engine_mrev_min=milli(begin.engine_rev_min if begin.engine else 0),
        throttle_mrev_min=milli(begin.engine_rev_min or tractor.idle_rev_min),
        brake=begin.brake,
        site=begin.site,
        gap_um=micro(begin.distance_m),
        gap_target_um=micro(begin.distance_m),
        crept=False,
        driven_off=False,
        hitch_um=micro(begin.hitch_m),
        hitch_target_um=micro(begin.hitch_m),
        engaged=attached,
        weight=_weight(case),
        top_link_um=micro(begin.top_link_m),
        sway_um=micro(begin.sway_m),
        drawbar_stowed=begin.drawbar_stowed,
        bushings=begin.bushings,
        top_hook=begin.top_hook,
        latch_left=begin.latched and begin.latch_open != "left",
        latch_right=begin.latched and begin.latch_open != "right",
        latches_seen=begin.latches_seen,
        lift_locked=begin.lift_locked,
        stands=begin.stands,
        chock_left=begin.chocked,
        chock_right=begin.chocked,
        supports_seen=False,
        lines_seen=False,
        area_looks=0,
        latch_looks=int(begin.latches_seen),
        ballast_kg=begin.ballast_kg,
        papers=(),
        levers=tuple(levers),
        dials_milli=tuple(dials),
        port_pa=tuple(port_pa),
        hose_pa=tuple(port_pa[at] if at >= 0 else 0 for at in hose_at),
        hose_at=tuple(hose_at),
        plug_at=tuple(plug_at),
        hose_clean=(begin.clean,) * len(hose_at),
        port_clean=(begin.clean,) * len(tractor.ports),
        hose_capped=tuple(at < 0 for at in hose_at),
        hose_stored=tuple(at < 0 for at in hose_at),
        plug_stored=tuple(at < 0 for at in plug_at),
        routed=tuple(lines),
        works=works,
        pump_pa=0,
        pump_mm3_s=0,
        oil_mc=milli(begin.oil_c),
        pto=False,
        speed_source=begin.speed_source,
        page_tick=0 if begin.key == "on" and _bus_on(case, plug_at) else -1,
        proved=(),
        lost_oil_mm3=0,
        told=0,
        drawbar_reach_um=micro(begin.drawbar_reach_m),
        jack_um=micro(begin.jack_m),
        pin_in=begin.pinned,
        pin_clipped=begin.clipped,
        chained=begin.chained,
        joints_secured=tuple(joint.name in begin.joints_secured for joint in implement.joints),
        locked=tuple(function.name in begin.locked for function in implement.functions),
        shaft_guard=begin.shaft_guard,
        pto_mrev_min=milli(begin.pto_rev_min or tractor.pto_rev_min),
        terminator_at=begin.terminator,
    )


def _weight(case: Case) -> str:
    """What carries the implement where the yard is found: coupled on the hitch it hangs, or stands at its
    working height."""
    begin, implement = case.start, case.implement
    if begin.stands:
        return "stands"
    if implement.drawn:
        return "drawbar"
    return "hitch" if begin.hitch_m >= implement.ground_ball_m + implement.lifted_clear_m else "ground"


def _bus_on(case: Case, plug_at: Sequence[int]) -> bool:
    """Whether everything the page comes over is there, plugged, and touches."""
    return any(plug.role == "bus" for plug in case.implement.plugs) and all(
        at >= 0 and (plug.contact or plug.role != "bus")
        for plug, at in zip(case.implement.plugs, plug_at, strict=True)
    )


# --- what an action does -----------------------------------------------------------------------------


class Telling:
    """Collects the events of one tick; readings and conditions are those from before the action."""

    def __init__(self, case: Case, state: State) -> None:
        self._case = case
        self.events: list[Event] = []
        self.see(state)

    def see(self, state: State) -> None:
        """Take the readings of this state for the events that follow."""
        self._state = state
        self._readings: tuple[tuple[str, int], ...] | None = None

    def tell(
        self, kind: str, thing: str = "", place: str = "", *, hose: int = -1, port: int = -1, **values: int
    ) -> None:
        if self._readings is None:
            self._readings = tuple(readings(self._case, self._state).items())
        bits = standing(self._case, self._state, hose=hose, port=port)
        self.events.append(
            Event(kind, self._state.tick, thing, place, (*values.items(), *self._readings), bits)
        )

    def note(self, kind: str, thing: str = "", place: str = "", **values: int) -> None:
        """An event no rule looks at: without the readings."""
        self.events.append(Event(kind, self._state.tick, thing, place, tuple(values.items())))


def step(case: Case, state: State, actions: Sequence[Action] = ()) -> tuple[State, tuple[Event, ...]]:
    """One tick: first the actions, each on what the one before left, then 50 ms of the yard."""
    if not actions and _quiet(state):
        return replace(state, tick=state.tick + 1), ()
    case = faults.present(case, state)
    telling = Telling(case, state)
    for action in actions:
        refusal = legal(case, state, action)
        telling.see(state)
        if refusal is not None:
            target = f"{action.thing} {action.place}".strip()
            telling.tell("refused", action.word, refusal.reason, **dict(refusal.values))
            telling.note("refused_what", target)
            continue
        word = WORDS[action.word]
        if action.word in _REACHES_UNDER:
            if hangs(case, state):
                telling.tell("reached_under", action.word)
            if parts_up(case, state) and (state.lift_locked or not hangs(case, state)):
                telling.tell("reached_under_part", action.word)
        busy = state.tick + ticks(word.busy_s)
        state = _DEEDS[action.word](
            case, replace(state, busy_until=busy, doing=action.word, moving=True), action, telling
        )
    if state.ended:
        return replace(state, tick=state.tick + 1, moving=False), tuple(telling.events)
    if _quiet(state):
        return replace(state, tick=state.tick + 1), tuple(telling.events)
    after = advance(case, state, telling.see, telling.tell)
    return after, tuple(telling.events)


def _quiet(state: State) -> bool:
    """Whether the coming tick moves nothing but the clock; once a second everything is looked at."""
    return not state.moving and (state.tick + 1) % TICKS_PER_S != 0


def skip(state: State, most: int) -> State:
    """The state after up to `most` ticks in which nothing but the clock moves; the same that `step` gives.

    Where something moves, or is due this tick, the state comes back as it is.
    """
    if state.moving or state.ended:
        return state
    quiet = min(most, TICKS_PER_S - 1 - state.tick % TICKS_PER_S)
    return replace(state, tick=state.tick + quiet) if quiet > 0 else state


def _go(case: Case, s: State, a: Action, t: Telling) -> State:
    t.tell("went", s.station, a.thing)
    if a.thing in BETWEEN or a.thing == "implement":
        t.tell("works_at", a.thing)
    return replace(s, station=a.thing, busy_until=s.tick + ticks(walk_s(s.station, a.thing)))


def _read(case: Case, s: State, a: Action, t: Telling) -> State:
    t.note("read", a.thing)
    return replace(s, papers=s.papers if a.thing in s.papers else (*s.papers, a.thing))


def _look(case: Case, s: State, a: Action, t: Telling) -> State:
    t.tell("looked", a.thing)
    if a.thing == "area":
        return replace(s, area_looks=s.area_looks + 1)
    if a.thing == "latches":
        both = held(s) and s.engaged
        return replace(s, latches_seen=both, latch_looks=s.latch_looks + int(both))
    if a.thing == "supports":
        return replace(s, supports_seen=s.weight == "stands" and s.chock_left and s.chock_right)
    return replace(s, lines_seen=s.crept)


def _brake(case: Case, s: State, a: Action, t: Telling) -> State:
    t.note("brake", a.thing)
    return replace(s, brake=a.thing == "set")


def _key(case: Case, s: State, a: Action, t: Telling) -> State:
    if a.thing == "on":
        t.note("key", "on")
        return with_page(case, replace(s, key="on", key_off_tick=-1, page_tick=-1))
    if s.key == "on":
        t.tell("key_off", "", case.goal)
        until = s.tick + supply_hold_ticks(case, s)
        return replace(
            s, key=a.thing, key_off_tick=s.tick, supply_until=until, engine=False, page_tick=-1, pto=False
        )
    t.note("key", a.thing)
    return replace(s, key=a.thing)


def _engine(case: Case, s: State, a: Action, t: Telling) -> State:
    if a.thing == "start":
        t.tell("engine_started", s.station)
        return replace(s, engine=True, throttle_mrev_min=milli(case.tractor.idle_rev_min))
    t.tell("engine_stopped", s.station)
    return replace(s, engine=False, pto=False)


def _throttle(case: Case, s: State, a: Action, t: Telling) -> State:
    assert a.amount is not None
    t.note("throttle", rev_min=a.amount // 1000)
    return replace(s, throttle_mrev_min=a.amount)


def _hitch(case: Case, s: State, a: Action, t: Telling) -> State:
    assert a.amount is not None
    if s.station != "seat":
        t.tell("hitch_from_ground", s.station)
    travel = abs(a.amount - s.hitch_um) / 1e6 / case.tractor.hitch_speed_m_s
    return replace(s, hitch_target_um=a.amount, busy_until=s.tick + ticks(travel) + 1)


def _reverse(case: Case, s: State, a: Action, t: Telling) -> State:
    t.tell("backing")
    goal = 0
    if case.implement.drawn and (s.drawbar_stowed or not tongue_fits(case, s)):
        # Clevis and tongue meet face to face; a stowed drawbar leaves the tongue to the panel behind it.
        goal = micro(towing.STRUCK_M)
        if s.gap_um <= goal:
            t.tell("tongue_struck", strike_um=abs(tongue_off_um(case, s)))
            return s
    travel = (s.gap_um - goal) / 1e6
    return replace(s, gap_target_um=goal, busy_until=s.tick + ticks(travel / _REVERSE_M_S) + 1)


def _creep(case: Case, s: State, a: Action, t: Telling) -> State:
    if s.pin_in:
        t.tell("moving", "creep")
        if s.stands:
            t.tell("jack_dragged")
        return replace(s, busy_until=s.tick + ticks(_CREEP_M / _REVERSE_M_S) + 1)
    t.tell("creeping")
    return _pull_away(case, replace(s, crept=True, lines_seen=False), t, _CREEP_M)


def _drive(case: Case, s: State, a: Action, t: Telling) -> State:
    if s.pin_in:
        s = towing.pair_moves(case, s, t, "drive")
        return replace(s, driven_off=not s.ended, busy_until=s.tick + ticks(_MOVE_PAIR_S))
    if raised(case, s) and (s.latch_left or s.latch_right):
        t.tell("moving", "drive")
        return replace(s, driven_off=True, busy_until=s.tick + ticks(_MOVE_PAIR_S))
    t.tell("driving_off")
    return replace(_pull_away(case, s, t, _AWAY_M), driven_off=True)


def _pull_away(case: Case, s: State, t: Telling, distance_m: float) -> State:
    """The tractor moves ahead of the implement: what still hangs between them tears."""
    if case.implement.drawn:
        s = towing.parts_company(case, s, t)
        if s.ended:
            return s
    if s.engaged:
        t.tell("pulled_off", "stands", fall_kg=whole(case.implement.mass_kg))
        return replace(s, weight="fallen", engaged=False, ended="stopped for safety")
    slack = micro(_MOST_HOSE_LEAD_M)
    if lines_on(s) and micro(distance_m) > slack:
        t.tell("lines_torn", "", "", torn_count=lines_on(s))
        off = tuple(-1 for _ in s.hose_at)
        s = replace(s, hose_at=off, plug_at=tuple(-1 for _ in s.plug_at))
    travel = (micro(distance_m) - s.gap_um) / 1e6
    speed = _REVERSE_M_S if distance_m <= _CREEP_M else 2.0
    return replace(s, gap_target_um=micro(distance_m), busy_until=s.tick + ticks(travel / speed) + 1)


def _park_at(case: Case, s: State, a: Action, t: Telling) -> State:
    if s.pin_in:
        s = towing.pair_moves(case, s, t, "park_at", a.thing)
    else:
        t.tell("moving", "park_at", a.thing)
    return replace(s, site=a.thing, busy_until=s.tick + ticks(_MOVE_PAIR_S))


def _bushings(case: Case, s: State, a: Action, t: Telling) -> State:
    t.note("bushings", a.thing)
    return replace(s, bushings=a.thing == "fit")


def _top_hook(case: Case, s: State, a: Action, t: Telling) -> State:
    t.note("top_hook", a.thing)
    return replace(s, top_hook=a.thing == "fit")


def _sway(case: Case, s: State, a: Action, t: Telling) -> State:
    assert a.amount is not None
    t.note("sway", sway_um=a.amount)
    return replace(s, sway_um=a.amount)


def _top_link(case: Case, s: State, a: Action, t: Telling) -> State:
    assert a.amount is not None
    t.note("top_link", top_link_um=a.amount)
    return replace(s, top_link_um=a.amount)


def _latch(case: Case, s: State, a: Action, t: Telling) -> State:
    t.tell("latch_closed", a.thing)
    return _with_latch(s, a.thing, True)


def _unlatch(case: Case, s: State, a: Action, t: Telling) -> State:
    t.tell("latch_opened", a.thing)
    s = _with_latch(s, a.thing, False)
    if s.weight == "hitch" and raised(case, s):
        t.tell("fell", "latch", fall_kg=whole(case.implement.mass_kg))
        return replace(s, weight="fallen", engaged=False, ended="stopped for safety")
    return s


def _with_latch(s: State, side: str, closed: bool) -> State:
    left = closed if side == "left" else s.latch_left
    right = closed if side == "right" else s.latch_right
    both = left and right
    looks = s.latch_looks if both else 0
    return replace(
        s, latch_left=left, latch_right=right, latches_seen=s.latches_seen and both, latch_looks=looks
    )


def _drawbar(case: Case, s: State, a: Action, t: Telling) -> State:
    t.note("drawbar", a.thing)
    return replace(s, drawbar_stowed=a.thing == "stow")


def _ballast(case: Case, s: State, a: Action, t: Telling) -> State:
    assert a.amount is not None
    t.note("ballast", ballast_kg=a.amount // 1000)
    return replace(s, ballast_kg=a.amount // 1000)


def _chock(case: Case, s: State, a: Action, t: Telling) -> State:
    lay = a.word == "chock"
    t.tell("chock_laid" if lay else "chock_taken", a.thing)
    if a.thing == "left":
        s = replace(s, chock_left=lay)
    else:
        s = replace(s, chock_right=lay)
    return towing.rolled(case, replace(s, supports_seen=s.supports_seen and lay), t)


def _stands(case: Case, s: State, a: Action, t: Telling) -> State:
    t.tell("stands_moved", a.thing)
    if case.implement.drawn:
        return towing.stand_moved(case, s, a.thing == "down")
    return replace(s, stands=a.thing == "down", supports_seen=False)


def _lift_lock(case: Case, s: State, a: Action, t: Telling) -> State:
    t.tell("lock_moved", a.thing)
    return replace(s, lift_locked=a.thing == "set")


def _wipe(case: Case, s: State, a: Action, t: Telling) -> State:
    t.note("wiped", a.thing)
    hose, port = case.hose(a.thing), case.port(a.thing)
    if hose >= 0:
        return replace(
            s, hose_clean=_put(s.hose_clean, hose, True), hose_capped=_put(s.hose_capped, hose, False)
        )
    return replace(s, port_clean=_put(s.port_clean, port, True))


def _couple(case: Case, s: State, a: Action, t: Telling) -> State:
    hose, port = case.hose(a.thing), case.port(a.place)
    role = case.implement.hoses[hose].role
    if role == "shaft" and s.pto:
        return _caught(case, s, t, a.thing)
    t.tell(
        "coupled",
        a.thing,
        a.place,
        hose=hose,
        port=port,
        dirty_count=int(not s.hose_clean[hose]) + int(not s.port_clean[port]) if role != "shaft" else 0,
        pressure_pa=max(s.hose_pa[hose], s.port_pa[port]),
        drain_missing_count=int(role != "drain" and not _standing_bit(case, s, hose, "drain_on")),
    )
    if role == "shaft":
        t.tell("shaft_joined", a.thing)
    pressure = max(s.hose_pa[hose], s.port_pa[port])
    return replace(
        s,
        hose_at=_put(s.hose_at, hose, port),
        hose_pa=_put(s.hose_pa, hose, pressure),
        port_pa=_put(s.port_pa, port, pressure),
        hose_capped=_put(s.hose_capped, hose, False),
        hose_stored=_put(s.hose_stored, hose, False),
        routed=_put(s.routed, hose, False),
        # Taken off, and pushed home again: whatever kept it half home is gone.
        mended=s.mended or (faults.mends(case, a.thing) and _is_kind(case, "coupler_half_home")),
    )


def _caught(case: Case, s: State, t: Telling, shaft: str) -> State:
    """Hands on a shaft that is driven."""
    t.tell("caught_by_shaft", shaft, shaft_rev_min=whole(stub_rev_min(case, s)))
    return replace(s, ended="stopped for safety")


def _is_kind(case: Case, kind: str) -> bool:
    return case.fault is not None and case.fault.kind == kind


def _uncouple(case: Case, s: State, a: Action, t: Telling) -> State:
    hose = case.hose(a.thing)
    port = s.hose_at[hose]
    if case.implement.hoses[hose].role == "shaft" and s.pto:
        return _caught(case, s, t, a.thing)
    pressure = max(s.hose_pa[hose], s.port_pa[port])
    others = len(
        [
            1
            for other, at in zip(case.implement.hoses, s.hose_at, strict=True)
            if at >= 0
            and other.function == case.implement.hoses[hose].function
            and other.role in ("pressure", "return")
        ]
    )
    t.tell(
        "uncoupled",
        a.thing,
        case.tractor.ports[port].name,
        hose=hose,
        port=port,
        pressure_pa=pressure,
        others_on_count=others if case.implement.hoses[hose].role == "drain" else 0,
    )
    return replace(
        s,
        hose_at=_put(s.hose_at, hose, -1),
        proved=_without(s.proved, case.implement.functions[case.implement.hoses[hose].function].name),
        routed=_put(s.routed, hose, False),
        hose_clean=_put(s.hose_clean, hose, s.hose_clean[hose]),
    )


def _plug(case: Case, s: State, a: Action, t: Telling) -> State:
    plug, socket = case.plug(a.thing), case.socket(a.place)
    t.tell("plugged", a.thing, a.place)
    mended = s.mended or (faults.mends(case, a.thing) and _is_kind(case, "plug_not_home"))
    home = replace(
        s,
        plug_at=_put(s.plug_at, plug, socket),
        plug_stored=_put(s.plug_stored, plug, False),
        routed=_put(s.routed, len(s.hose_at) + plug, False),
        mended=mended,
    )
    return with_page(case, home) if case.implement.plugs[plug].role == "bus" else home


def _unplug(case: Case, s: State, a: Action, t: Telling) -> State:
    plug = case.plug(a.thing)
    role = case.implement.plugs[plug].role
    t.tell("unplugged", a.thing, role)
    page = -1 if role == "bus" else s.page_tick
    return replace(
        s,
        plug_at=_put(s.plug_at, plug, -1),
        page_tick=page,
        proved=_without(s.proved, "bus" if role == "bus" else "lights"),
        routed=_put(s.routed, len(s.hose_at) + plug, False),
    )


def _cap(case: Case, s: State, a: Action, t: Telling) -> State:
    t.note("capped", a.thing)
    hose = case.hose(a.thing)
    return replace(s, hose_capped=_put(s.hose_capped, hose, True)) if hose >= 0 else s


def _store(case: Case, s: State, a: Action, t: Telling) -> State:
    t.note("stored", a.thing)
    hose, plug = case.hose(a.thing), case.plug(a.thing)
    if hose >= 0:
        return replace(s, hose_stored=_put(s.hose_stored, hose, True))
    return replace(s, plug_stored=_put(s.plug_stored, plug, True))


def _route(case: Case, s: State, a: Action, t: Telling) -> State:
    t.note("routed")
    straight = s.mended or _is_kind(case, "hose_kinked")
    return replace(s, routed=tuple(at >= 0 for at in s.hose_at + s.plug_at), mended=straight)


def _lever(case: Case, s: State, a: Action, t: Telling) -> State:
    valve = case.valve(a.thing)
    was = s.levers[valve]
    attached = any(at >= 0 and case.tractor.ports[at].valve == valve for at in s.hose_at)
    trapped = max(
        (s.port_pa[index] for index, port in enumerate(case.tractor.ports) if port.valve == valve), default=0
    )
    t.tell(
        "lever",
        a.thing,
        a.place,
        attached_count=int(attached),
        trapped_pa=trapped,
        moves_marker_count=int(_feeds(case, s, valve, "marker")),
        moves_lift_count=int(_feeds(case, s, valve, "lift")),
        moves_part_count=int(_feeds(case, s, valve, "fold") or _feeds(case, s, valve, "cylinder")),
    )
    if a.place == "float" and was != "float":
        if _feeds(case, s, valve, "lift"):
            t.tell("floated", a.thing, "lift")
        if not attached and trapped > whole(case.limits.couple_pressure_pa):
            t.tell("bled", a.thing, trapped_pa=trapped)
    return replace(s, levers=_put(s.levers, valve, a.place))


def _feeds(case: Case, s: State, valve: int, kind: str) -> bool:
    """Whether a section's ports lead to a function of that kind."""
    return any(
        at >= 0
        and case.tractor.ports[at].valve == valve
        and case.implement.functions[hose.function].kind == kind
        for hose, at in zip(case.implement.hoses, s.hose_at, strict=True)
    )


def _dial(case: Case, s: State, a: Action, t: Telling) -> State:
    assert a.amount is not None
    t.note("dial", a.thing, dial_milli=a.amount)
    return replace(s, dials_milli=_put(s.dials_milli, case.valve(a.thing), a.amount))


def _pto(case: Case, s: State, a: Action, t: Telling) -> State:
    t.tell("pto", a.thing)
    return replace(s, pto=a.thing == "on")


def _speed_source(case: Case, s: State, a: Action, t: Telling) -> State:
    t.note("speed_source", a.thing)
    return replace(s, speed_source=a.thing)


def _measure(case: Case, s: State, a: Action, t: Telling) -> State:
    taken = readings(case, s)
    value = {
        "bar_height": ("bar_um", taken["bar_um"]),
        "bar_pitch": ("pitch_urad", pitch_urad(case, s)),
        "sway": ("sway_um", s.sway_um),
        "mast_pins": ("bushing_play_um", taken["bushing_play_um"]),
        "slope": ("slope_permille", taken["slope_permille"]),
        "front_axle": ("front_permille", taken["front_permille"]),
        "pressure": ("pressure_pa", max((highest_pa(s), *s.port_pa))),
        "case_pressure": ("case_pa", max((work.case_pa for work in s.works), default=0)),
        "fan_speed": ("fan_rev_min", fan_rev_min(case, s)),
        "flow": ("flow_mm3_s", max((abs(work.flow_mm3_s) for work in s.works), default=0)),
        "oil_temperature": ("oil_mc", s.oil_mc),
        "supply_volts": ("supply_mv", milli(wiring.volts(wired(case, s), wires(case, s), "bus_4", "bus_2"))),
        "bus_ohms": ("bus_mohm", bus_mohm(case, s)),
        "tongue_height": ("eye_um", taken["eye_um"]),
        "tongue_pitch": ("pitch_urad", pitch_urad(case, s)),
        "overlap": ("overlap_um", taken["overlap_um"]),
        "gauge": ("gauge_pa", gauge_pa(case, s, s.gauge_at) if s.gauge_at else 0),
        "flow_meter": ("meter_mm3_s", meter_mm3_s(case, s, case.hose(s.meter_at)) if s.meter_at else 0),
        "lift_height": ("lift_um", taken["lift_um"]),
        "speed_source": ("source_code_count", SPEED_SOURCES.index(s.speed_source)),
    }[a.thing]
    where = {"gauge": s.gauge_at, "flow_meter": s.meter_at}.get(a.thing, "")
    t.note("measured", a.thing, where, **{value[0]: value[1]})
    if a.thing == "bus_ohms" and wiring.powered(wires(case, s)):
        t.tell("ohms_live", "bus_8", "bus_9", shown_mohm=value[1])
    return s


def _volts(case: Case, s: State, a: Action, t: Telling) -> State:
    between = milli(wiring.volts(wired(case, s), wires(case, s), a.thing, a.place))
    t.note("volts_read", a.thing, a.place, between_mv=between)
    return s


def _ohms(case: Case, s: State, a: Action, t: Telling) -> State:
    moment = wires(case, s)
    between = wiring.ohms(wired(case, s), moment, a.thing, a.place)
    if wiring.powered(moment):
        t.tell("ohms_live", a.thing, a.place, shown_mohm=metered_mohm(between))
    elif math.isinf(between):
        t.note("ohms_open", a.thing, a.place, between_mohm=metered_mohm(between))
    else:
        t.note("ohms_read", a.thing, a.place, between_mohm=metered_mohm(between))
    return s


def _inside_pa(case: Case, s: State, name: str) -> int:
    """Pressure in a hose or at a port; 0 for any other part."""
    hose, port = case.hose(name), case.port(name)
    return max(s.hose_pa[hose] if hose >= 0 else 0, s.port_pa[port] if port >= 0 else 0)


def _gauge(case: Case, s: State, a: Action, t: Telling) -> State:
    t.tell("opened_line", a.word, a.thing, inside_pa=_inside_pa(case, s, a.thing))
    if a.word == "gauge":
        return replace(s, gauge_at=a.thing)
    return replace(s, meter_at=a.thing)


def _evidence(case: Case, s: State, a: Action, t: Telling) -> State:
    assert a.amount is not None
    t.note("evidence", number_count=a.amount // 1000)
    return replace(s, cited=(*s.cited, a.amount // 1000))


def _name(case: Case, s: State, a: Action, t: Telling) -> State:
    right_part = a.thing in faults.right_parts(case)
    right = right_part and a.place in faults.right_wrongs(case)
    t.tell(
        "named",
        a.thing,
        a.place,
        wrong_part_count=int(not right_part),
        wrong_what_count=int(right_part and not right),
        # What the evidence leaves open is told by the attempt, which knows what was measured.
        open_count=1 + len(case.faults) if right else 0,
        right_count=int(right),
    )
    return replace(s, found=right, cited=(), named=(*s.named, f"{a.thing} as {a.place}"))


def _mend(case: Case, s: State, a: Action, t: Telling) -> State:
    cures = faults.mends(case, a.thing) and not s.mended
    inside = _inside_pa(case, s, a.thing)
    t.tell("mended", a.thing, "", good_count=int(not cures), unnamed_count=int(not s.found), inside_pa=inside)
    return replace(s, mended=s.mended or cures)


def _test(case: Case, s: State, a: Action, t: Telling) -> State:
    index = case.function(a.thing)
    if a.thing == "lights":
        bright = lamps_bright(case, s)
        good, values = s.key == "on" and bright == len(case.wiring.lamps_fed), {"lights_count": bright}
    elif a.thing == "bus":
        good = page_up(case, s) and wiring.bus_talks(wired(case, s), True) and not units_off(case, s)
        values = {"page_count": int(page_up(case, s)), "bus_ends_mohm": bus_ends_mohm(case, s)}
    else:
        good, values = _function_good(case, s, index)
    t.tell("tested", a.thing, "good" if good else "not_good", **values)
    if good and a.thing not in s.proved:
        return replace(s, proved=tuple(sorted((*s.proved, a.thing))))
    return s


def _function_good(case: Case, s: State, index: int) -> tuple[bool, dict[str, int]]:
    function, work = case.implement.functions[index], s.works[index]
    if function.turns:
        speed = whole(work.speed_mrad_s * 60.0 / (2000.0 * 3.141592653589793))
        low, high = whole(function.low_rev_min), whole(function.high_rev_min)
        good = low <= speed <= high and at_speed(case, s) and work.course == "driven"
        return good, {
            "speed_rev_min": speed,
            "low_rev_min": low,
            "high_rev_min": high,
            "test_engine_rev_min": s.engine_mrev_min // 1000,
        }
    limit = whole(function.longest_s * 1000)
    return 0 < work.stroke_ms <= limit, {"stroke_ms": work.stroke_ms, "limit_ms": limit}


def _wait(case: Case, s: State, a: Action, t: Telling) -> State:
    assert a.amount is not None
    t.note("waits", wait_ms=a.amount)
    return replace(s, busy_until=s.tick + ticks(a.amount / 1000.0))


def _hand_in(case: Case, s: State, a: Action, t: Telling) -> State:
    for name, valve, values in dials_left(case, s):
        t.tell("dial_left", name, valve, **values)
    t.tell("handed_in", "", case.goal, **handed_in(case, s), **_report(case, s))
    for kind, hose, port, values in lies(case, s):
        t.tell(kind, hose, port, **values)
    return replace(s, ended="handed in")


def _report(case: Case, s: State) -> dict[str, int]:
    """What is asked of a fault report at hand-in: named, mended where the yard can, and proved again."""
    if case.goal != "find":
        return {}
    mendable = faults.mendable(case)
    unproved = [name for name in case.proof if name not in s.proved]
    return {
        "unfound_count": int(not s.found),
        "fault_left_count": int(mendable and faults.left(case, s)),
        "proof_missing_count": len(unproved) if mendable else 0,
    }


def _standing_bit(case: Case, s: State, hose: int, condition: str) -> bool:
    return Event("", 0, standing=standing(case, s, hose=hose)).stands(condition)


_T = TypeVar("_T")


def _put(values: tuple[_T, ...], index: int, value: _T) -> tuple[_T, ...]:
    return (*values[:index], value, *values[index + 1 :])


def _without(proved: tuple[str, ...], name: str) -> tuple[str, ...]:
    """What stays proved when the line of one thing is taken off."""
    return tuple(other for other in proved if other != name)


_DEEDS: dict[str, Callable[[Case, State, Action, Telling], State]] = {
    "go": _go,
    "read": _read,
    "look": _look,
    "brake": _brake,
    "key": _key,
    "engine": _engine,
    "throttle": _throttle,
    "hitch": _hitch,
    "reverse": _reverse,
    "creep": _creep,
    "drive": _drive,
    "park_at": _park_at,
    "bushings": _bushings,
    "top_hook": _top_hook,
    "sway": _sway,
    "top_link": _top_link,
    "latch": _latch,
    "unlatch": _unlatch,
    "drawbar": _drawbar,
    "ballast": _ballast,
    "chock": _chock,
    "unchock": _chock,
    "stands": _stands,
    "lift_lock": _lift_lock,
    "wipe": _wipe,
    "couple": _couple,
    "uncouple": _uncouple,
    "plug": _plug,
    "unplug": _unplug,
    "cap": _cap,
    "store": _store,
    "route": _route,
    "lever": _lever,
    "dial": _dial,
    "pto": _pto,
    "speed_source": _speed_source,
    "measure": _measure,
    "volts": _volts,
    "ohms": _ohms,
    "test": _test,
    "gauge": _gauge,
    "flow_meter": _gauge,
    "evidence": _evidence,
    "name": _name,
    "mend": _mend,
    "wait": _wait,
    "hand_in": _hand_in,
    **towing.DEEDS,
}
