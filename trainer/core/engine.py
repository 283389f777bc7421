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

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TypeVar

from trainer.core import hoses as lie
from trainer.core import hydraulics as hyd
from trainer.core.actions import WORDS, Action, Event, Refusal, Word
from trainer.core.case import BETWEEN, STATIONS, Case
from trainer.core.motion import advance
from trainer.core.readings import (
    OUT_OF_REACH_URAD,
    clear_um,
    fan_rev_min,
    handed_in,
    highest_pa,
    lines_on,
    page_up,
    pin_height_um,
    pitch_urad,
    plug_home,
    raised,
    readings,
    standing,
    supply_live,
)
from trainer.core.state import State, Working, digest
from trainer.core.units import TICKS_PER_S, micro, milli, mrad_s, ticks, whole

__all__ = ["ENGINE_VERSION", "digest", "legal", "start", "step", "walk_s"]

ENGINE_VERSION = 1
"""Raised, with a line of reason, whenever the same actions would give another state or event."""

_STATION_M = {
    "yard": (-6.0, 3.0),
    "seat": (-1.5, 0.0),
    "panel": (0.6, 0.5),
    "hitch": (0.9, -0.9),
    "implement": (2.5, 2.0),
    "bench": (-3.0, 8.0),
}
_WALK_M_S = 1.2
_CLIMB_S = 4.0
_REVERSE_M_S = 0.3
_CREEP_M = 0.5
_AWAY_M = 20.0
_MOVE_PAIR_S = 25.0
_MOST_HOSE_LEAD_M = 0.35
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
    (x0, y0), (x1, y1) = _STATION_M[origin], _STATION_M[goal]
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
    strokes = {name: share for name, share in begin.cylinders}
    works = tuple(
        Working(
            course="driven" if function.kind == "fan" and begin.fan_rev_min else "idle",
            speed_mrad_s=mrad_s(begin.fan_rev_min) if function.kind == "fan" else 0,
            stroke_um=micro(function.stroke_m * strokes.get(function.name, 0.0)),
        )
        for function in implement.functions
    )
    attached = begin.latched
    lines = [at >= 0 for at in hose_at + plug_at]
    state = State(
        tick=0,
        moving=True,
        busy_until=0,
        doing="",
        ended="",
        station=begin.station,
        key=begin.key,
        key_off_tick=-1,
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
        weight="stands" if begin.stands else "hitch",
        top_link_um=micro(begin.top_link_m),
        sway_um=micro(begin.sway_m),
        drawbar_stowed=begin.drawbar_stowed,
        bushings=begin.bushings,
        top_hook=begin.top_hook,
        latch_left=begin.latched,
        latch_right=begin.latched,
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
        page_tick=0 if begin.key == "on" and all(at >= 0 for at in plug_at) else -1,
        proved=(),
        lost_oil_mm3=0,
        told=0,
    )
    return state


# --- what the yard refuses ---------------------------------------------------------------------------


def legal(case: Case, state: State, action: Action) -> Refusal | None:
    """Why the yard does not let this action happen now, or None. Changes nothing.

    Right and wrong do not matter here: what can be done wrongly is legal.
    """
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
    match kind:
        case "":
            return name == ""
        case "station":
            return name in STATIONS
        case "hose":
            return case.hose(name) >= 0
        case "plug":
            return case.plug(name) >= 0
        case "end":
            return case.hose(name) >= 0 or case.plug(name) >= 0
        case "port":
            return case.port(name) >= 0
        case "socket":
            return case.socket(name) >= 0
        case "line_or_port":
            return case.hose(name) >= 0 or case.port(name) >= 0
        case "valve":
            return case.valve(name) >= 0
        case "paper":
            return any(paper.name == name for paper in case.papers)
        case "site":
            return any(site.name == name for site in case.sites)
        case "source":
            return name in case.tractor.speed_sources
        case "function_or_line":
            return case.function(name) >= 0 or name in ("lights", "bus")
        case _:
            raise ValueError(f"no kind of name called {kind!r}")


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
    }[action.thing]
    return None if state.station in where else Refusal("not_measured_here")


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
    if state.weight in ("hitch", "ground"):
        if pitch_urad(case, state, state.hitch_um, action.amount) == OUT_OF_REACH_URAD:
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
        if not raised(case, state):
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
    closed = state.latch_left if action.thing == "left" else state.latch_right
    return Refusal("is_so_already") if closed == (action.word == "latch") else None


def _check_drawbar(case: Case, state: State, action: Action) -> Refusal | None:
    return Refusal("is_so_already") if (action.thing == "stow") == state.drawbar_stowed else None


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
    if action.thing == "up" and state.weight == "stands":
        return Refusal("stand_is_loaded")
    if action.thing == "down" and state.hitch_um < micro(case.implement.parked_ball_m):
        return Refusal("too_low_for_stands")
    return None


def _check_lift_lock(case: Case, state: State, action: Action) -> Refusal | None:
    if (action.thing == "set") == state.lift_locked:
        return Refusal("is_so_already")
    return Refusal("nothing_to_lock") if action.thing == "set" and not raised(case, state) else None


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
    short = _short_um(case, state, hose, port, state.hitch_um)
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
    if state.gap_um > micro(_CREEP_M):
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
    return None if supply_live(case, state) else Refusal("valves_have_no_power")


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
    "drawbar": _check_drawbar,
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
}


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
    if not actions and not state.moving and (state.tick + 1) % TICKS_PER_S:
        return replace(state, tick=state.tick + 1), ()
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
        busy = state.tick + ticks(word.busy_s)
        state = _DEEDS[action.word](
            case, replace(state, busy_until=busy, doing=action.word, moving=True), action, telling
        )
    if state.ended:
        return replace(state, tick=state.tick + 1, moving=False), tuple(telling.events)
    after = advance(case, state, telling.see, telling.tell)
    return after, tuple(telling.events)


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
        both = s.latch_left and s.latch_right and s.engaged
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
        page = s.tick + ticks(case.implement.boot_s) if plug_home(case, s, "bus") else -1
        return replace(s, key="on", key_off_tick=-1, page_tick=page)
    if s.key == "on":
        t.tell("key_off", "", case.goal)
        return replace(s, key=a.thing, key_off_tick=s.tick, engine=False, page_tick=-1, pto=False)
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
    return replace(s, gap_target_um=0, busy_until=s.tick + ticks(s.gap_um / 1e6 / _REVERSE_M_S) + 1)


def _creep(case: Case, s: State, a: Action, t: Telling) -> State:
    t.tell("creeping")
    return _pull_away(case, replace(s, crept=True, lines_seen=False), t, _CREEP_M)


def _drive(case: Case, s: State, a: Action, t: Telling) -> State:
    if raised(case, s) and (s.latch_left or s.latch_right):
        t.tell("moving", "drive")
        return replace(s, driven_off=True, busy_until=s.tick + ticks(_MOVE_PAIR_S))
    t.tell("driving_off")
    return replace(_pull_away(case, s, t, _AWAY_M), driven_off=True)


def _pull_away(case: Case, s: State, t: Telling, distance_m: float) -> State:
    """The tractor moves ahead of the implement: what still hangs between them tears."""
    if s.engaged:
        t.tell("pulled_off", "stands")
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
        t.tell("fell", "latch")
        return replace(s, weight="fallen", engaged=False, ended="stopped for safety")
    return s


def _with_latch(s: State, side: str, closed: bool) -> State:
    left = closed if side == "left" else s.latch_left
    right = closed if side == "right" else s.latch_right
    return replace(s, latch_left=left, latch_right=right, latches_seen=s.latches_seen and left and right)


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
    return replace(s, supports_seen=s.supports_seen and lay)


def _stands(case: Case, s: State, a: Action, t: Telling) -> State:
    t.tell("stands_moved", a.thing)
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
    t.tell(
        "coupled",
        a.thing,
        a.place,
        hose=hose,
        port=port,
        dirty_count=int(not s.hose_clean[hose]) + int(not s.port_clean[port]),
        pressure_pa=max(s.hose_pa[hose], s.port_pa[port]),
        drain_missing_count=int(not standing_bit(case, s, hose, "drain_on")),
        role_drain_count=int(case.implement.hoses[hose].role == "drain"),
    )
    pressure = max(s.hose_pa[hose], s.port_pa[port])
    return replace(
        s,
        hose_at=_put(s.hose_at, hose, port),
        hose_pa=_put(s.hose_pa, hose, pressure),
        port_pa=_put(s.port_pa, port, pressure),
        hose_capped=_put(s.hose_capped, hose, False),
        hose_stored=_put(s.hose_stored, hose, False),
        routed=_put(s.routed, hose, False),
    )


def _uncouple(case: Case, s: State, a: Action, t: Telling) -> State:
    hose = case.hose(a.thing)
    port = s.hose_at[hose]
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
        routed=_put(s.routed, hose, False),
        hose_clean=_put(s.hose_clean, hose, s.hose_clean[hose]),
    )


def _plug(case: Case, s: State, a: Action, t: Telling) -> State:
    plug, socket = case.plug(a.thing), case.socket(a.place)
    t.tell("plugged", a.thing, a.place)
    at = _put(s.plug_at, plug, socket)
    booted = s.key == "on" and case.implement.plugs[plug].role == "bus"
    page = s.tick + ticks(case.implement.boot_s) if booted else s.page_tick
    return replace(
        s,
        plug_at=at,
        page_tick=page,
        plug_stored=_put(s.plug_stored, plug, False),
        routed=_put(s.routed, len(s.hose_at) + plug, False),
    )


def _unplug(case: Case, s: State, a: Action, t: Telling) -> State:
    plug = case.plug(a.thing)
    t.tell("unplugged", a.thing, case.implement.plugs[plug].role)
    page = -1 if case.implement.plugs[plug].role == "bus" else s.page_tick
    return replace(
        s,
        plug_at=_put(s.plug_at, plug, -1),
        page_tick=page,
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
    return replace(s, routed=tuple(at >= 0 for at in s.hose_at + s.plug_at))


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
        "pressure": ("pressure_pa", max(highest_pa(case, s), max(s.port_pa))),
        "case_pressure": ("case_pa", max(work.case_pa for work in s.works)),
        "fan_speed": ("fan_rev_min", fan_rev_min(case, s)),
        "flow": ("flow_mm3_s", max(abs(work.flow_mm3_s) for work in s.works)),
        "oil_temperature": ("oil_mc", s.oil_mc),
        "supply_volts": ("supply_mv", taken["supply_mv"]),
        "bus_ohms": ("bus_mohm", 60_000 if plug_home(case, s, "bus") else 120_000),
    }[a.thing]
    t.note("measured", a.thing, "", **{value[0]: value[1]})
    return s


def _test(case: Case, s: State, a: Action, t: Telling) -> State:
    index = case.function(a.thing)
    if a.thing == "lights":
        good, values = s.key == "on" and plug_home(case, s, "lighting"), {"lights_count": int(s.key == "on")}
    elif a.thing == "bus":
        good, values = page_up(case, s), {"page_count": int(page_up(case, s))}
    else:
        good, values = _function_good(case, s, index)
    t.tell("tested", a.thing, "good" if good else "not_good", **values)
    if good and a.thing not in s.proved:
        return replace(s, proved=tuple(sorted((*s.proved, a.thing))))
    return s


def _function_good(case: Case, s: State, index: int) -> tuple[bool, dict[str, int]]:
    function, work = case.implement.functions[index], s.works[index]
    if function.is_motor:
        speed = whole(work.speed_mrad_s * 60.0 / (2000.0 * 3.141592653589793))
        low, high = whole(function.low_rev_min), whole(function.high_rev_min)
        fast_enough = s.engine_mrev_min >= milli(case.engine_work_rev_min) - 50_000
        good = low <= speed <= high and fast_enough and work.course == "driven"
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
    t.tell("handed_in", "", case.goal, **handed_in(case, s))
    for hose, at in enumerate(s.hose_at):
        if at >= 0:
            _tell_lie(case, s, t, hose, at, micro(case.tractor.hitch_high_m))
    return replace(s, ended="handed in")


def _tell_lie(case: Case, s: State, t: Telling, hose: int, port: int, hitch_um: int) -> None:
    """The judged lie of one hose at a hitch height: too short, or bent tighter than it may be."""
    data = case.implement.hoses[hose]
    if data.role == "shaft":
        return
    short = _short_um(case, s, hose, port, hitch_um)
    if short > 0:
        t.tell("hose_short", data.name, case.tractor.ports[port].name, short_um=short)
        return
    radius = bend_um(case, s, hose, port, hitch_um)
    if radius < micro(data.least_bend_m):
        t.tell(
            "hose_bent",
            data.name,
            case.tractor.ports[port].name,
            radius_um=radius,
            limit_um=micro(data.least_bend_m),
        )


def _ends(
    case: Case, s: State, hose: int, port: int, hitch_um: int
) -> tuple[tuple[float, float, float], ...]:
    """Port end and implement end of a hose: rearward of the rear axle, across, above the ground."""
    root = case.implement.hoses[hose].root_m
    arm = case.tractor.linkage
    back = arm.lower_pivot_m[0] + arm.lower_link_m + case.tractor.coupler_offset_m + s.gap_um / 1e6
    height = hitch_um if s.engaged and s.weight != "stands" else pin_height_um(case, s)
    if hitch_um == micro(case.tractor.hitch_high_m):
        height = hitch_um
    across, rearward, up = case.tractor.ports[port].at_m
    return (rearward, across, up), (back + root[1], root[0], height / 1e6 + root[2])


def _short_um(case: Case, s: State, hose: int, port: int, hitch_um: int) -> int:
    """By how much a hose is too short for a port; 0 where it reaches."""
    start_m, end_m = _ends(case, s, hose, port, hitch_um)
    return max(0, micro(lie.reach_shortfall_m(start_m, end_m, case.implement.hoses[hose].length_m)))


def bend_um(case: Case, s: State, hose: int, port: int, hitch_um: int) -> int:
    """Smallest bend radius of a hose between port and implement at a hitch height."""
    start_m, end_m = _ends(case, s, hose, port, hitch_um)
    found = lie.hose_lie(
        start_m, end_m, _PORT_FACES_DEG, _ROOT_FACES_DEG, case.implement.hoses[hose].length_m
    )
    return micro(found.smallest_bend_radius_m)


def standing_bit(case: Case, s: State, hose: int, condition: str) -> bool:
    return Event("", 0, standing=standing(case, s, hose=hose)).stands(condition)


_T = TypeVar("_T")


def _put(values: tuple[_T, ...], index: int, value: _T) -> tuple[_T, ...]:
    return (*values[:index], value, *values[index + 1 :])


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
    "test": _test,
    "wait": _wait,
    "hand_in": _hand_in,
}
