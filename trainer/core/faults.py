"""Faults to be found: each a change of the machines or of how they were left, from which the sums make the
symptom. No reading is ever made up for one.

A job lists what may be wrong (`Case.faults`); a seed draws one for an attempt (`draw`). The faulty case that
comes back keeps the sound one beside it (`Case.sound`), which is what the machines are once they are mended
(`present`). A fault is named by *where* it sits (`parts`) and *what is wrong* there (`WRONGS`), with
measurements as evidence: they count where they come out otherwise on every other machine it might have been
(`rivals`, `apart`). The rivals are run beside the attempt by `trainer.core.attempt`.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from trainer.core import readings
from trainer.core.actions import Event
from trainer.core.case import Case, Fault, Function, Hose, Implement, Start, Tractor
from trainer.core.state import State
from trainer.core.units import milli
from trainer.core.wiring import BUS_PINS, LAMPS_PINS, with_ohm

SETTING, YARD, SHOP = "setting", "yard", "shop"
"""Who mends it: the tools that set it, the word `mend` in the yard, or the shop (it is handed on)."""

_Parts = Callable[[Case, Fault], tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of fault. `at` and `to` say what names it takes (as `actions.Word` does), `unit` its amount.

    `worsen` gives the case with the fault in it; `parts` and `wrongs` are what it may rightly be called;
    `gone` says of a fault that is set right with ordinary tools whether it is.
    """

    at: str
    to: str
    unit: str
    low: float
    high: float
    mend: str
    wrongs: tuple[str, ...]
    parts: _Parts
    worsen: Callable[[Case, Fault], Case]
    gone: Callable[[Case, State, Fault], bool] | None = None


# --- parts of the machines ---------------------------------------------------------------------------------

_HITCH_PARTS = (
    "top_link",
    "sway_blocks",
    "left_latch",
    "right_latch",
    "top_hook",
    "bushings",
    "drawbar",
    "front_ballast",
)


_FUSES = {"fuse_pwr": "PWR", "fuse_ecu_pwr": "ECU_PWR", "fuse_lamps": "lamps"}
"""The fuses as parts, and what `wiring.Wiring` calls them."""


def parts(case: Case) -> dict[str, tuple[str, ...]]:
    """Every part a fault can be named at, by the place where it is found; each part stands once.

    A plug and the socket of the same name are one part.
    """
    tractor, implement = case.tractor, case.implement
    groups = {
        "tractor": ("pump", "pump_control", "oil", *(valve.name for valve in tractor.valves)),
        "ports": tuple(port.name for port in tractor.ports),
        "hoses": tuple(hose.name for hose in implement.hoses),
        "plugs": (*(plug.name for plug in implement.plugs), *(socket.name for socket in tractor.sockets)),
        "hitch": _HITCH_PARTS,
        "implement": (*(function.name for function in implement.functions), "lift_lock", "stands"),
        "electrics": ("supply", *_FUSES, "terminator", "bus_cable"),
        "bus_pins": _pins(case, "bus", BUS_PINS),
        "lamps_pins": _pins(case, "lamps", LAMPS_PINS),
        "terminal": ("speed_source",),
    }
    seen: set[str] = set()
    out: dict[str, tuple[str, ...]] = {}
    for group, names in groups.items():
        fresh = []
        for name in names:
            if name not in seen:
                seen.add(name)
                fresh.append(name)
        out[group] = tuple(fresh)
    return out


def _pins(case: Case, connector: str, count: int) -> tuple[str, ...]:
    there = connector in readings.connectors(case)
    return tuple(f"{connector}_{pin}" for pin in range(1, count + 1)) if there else ()


def names(case: Case, kind: str) -> tuple[str, ...]:
    """Names of a kind that only faults ask for: `pin`, `fuse`, `side`, `part`."""
    return {
        "pin": (*_pins(case, "bus", BUS_PINS), *_pins(case, "lamps", LAMPS_PINS)),
        "fuse": tuple(_FUSES),
        "side": ("left", "right"),
        "part": part_names(case),
    }[kind]


def part_names(case: Case) -> tuple[str, ...]:
    """All parts in one row."""
    return tuple(name for names in parts(case).values() for name in names)


def _fixed(*names: str) -> _Parts:
    return lambda case, fault: names


def _thing(case: Case, fault: Fault) -> tuple[str, ...]:
    return (fault.thing,)


def _hose_and_port(case: Case, fault: Fault) -> tuple[str, ...]:
    """A hose's coupler has two halves: either is the place."""
    on = dict(case.start.lines_on)
    return tuple(name for name in (fault.thing, on.get(fault.thing, ""), fault.place) if name)


def _plug_and_socket(case: Case, fault: Fault) -> tuple[str, ...]:
    on = dict(case.start.plugs_on)
    return tuple(name for name in (fault.thing, on.get(fault.thing, "")) if name)


def _function_ends(case: Case, fault: Fault) -> tuple[str, ...]:
    """The two ends that were changed over, and their ports."""
    names = list(_pair(case, fault))
    on = dict(case.start.lines_on)
    return (*names, *(on[name] for name in names if name in on), fault.thing)


def _latch(case: Case, fault: Fault) -> tuple[str, ...]:
    return (f"{fault.thing}_latch",)


def _dial_of(case: Case, fault: Fault) -> tuple[str, ...]:
    return (fault.thing,)


def _pair(case: Case, fault: Fault) -> tuple[str, str]:
    index = case.function(fault.thing)
    roles = ("pressure", "return") if case.implement.functions[index].is_motor else ("extend", "retract")
    hoses = case.implement.hoses
    first, second = (case.hose_of(index, role) for role in roles)
    return (hoses[first].name if first >= 0 else "", hoses[second].name if second >= 0 else "")


# --- what each kind does to the machines -------------------------------------------------------------------


def _with_tractor(case: Case, change: Callable[[Tractor], Tractor]) -> Case:
    return replace(case, tractor=change(case.tractor))


def _with_implement(case: Case, change: Callable[[Implement], Implement]) -> Case:
    return replace(case, implement=change(case.implement))


def _with_start(case: Case, change: Callable[[Start], Start]) -> Case:
    return replace(case, start=change(case.start))


def _with_hose(case: Case, name: str, change: Callable[[Hose], Hose]) -> Case:
    hoses = tuple(change(hose) if hose.name == name else hose for hose in case.implement.hoses)
    return _with_implement(case, lambda implement: replace(implement, hoses=hoses))


def _with_function(case: Case, name: str, change: Callable[[Function], Function]) -> Case:
    functions = tuple(
        change(function) if function.name == name else function for function in case.implement.functions
    )
    return _with_implement(case, lambda implement: replace(implement, functions=functions))


def _pump_worn(case: Case, fault: Fault) -> Case:
    return _with_tractor(case, lambda old: replace(old, pump_volumetric_efficiency=fault.amount))


def _cutoff_low(case: Case, fault: Fault) -> Case:
    return _with_tractor(case, lambda old: replace(old, pump_cutoff_pa=fault.amount))


def _coupler_half_home(case: Case, fault: Fault) -> Case:
    return _with_hose(case, fault.thing, lambda old: replace(old, opening_share=fault.amount))


def _hose_kinked(case: Case, fault: Fault) -> Case:
    return _with_hose(
        case,
        fault.thing,
        lambda old: replace(old, line=replace(old.line, bore_m=old.line.bore_m * fault.amount)),
    )


def _motor_worn(case: Case, fault: Fault) -> Case:
    return _with_function(case, fault.thing, lambda old: replace(old, volumetric_efficiency=fault.amount))


def _cylinder_leaks(case: Case, fault: Fault) -> Case:
    def leaking(old: Function) -> Function:
        work_pa = old.load_n / old.bore_area_m2
        return replace(old, piston_leak_m3_s_pa=fault.amount * old.needs_m3_s / work_pa)

    return _with_function(case, fault.thing, leaking)


def _oil_cold(case: Case, fault: Fault) -> Case:
    return _with_start(case, lambda old: replace(old, oil_c=fault.amount))


def _plug_not_home(case: Case, fault: Fault) -> Case:
    plugs = tuple(
        replace(plug, contact=False) if plug.name == fault.thing else plug for plug in case.implement.plugs
    )
    return _with_implement(case, lambda old: replace(old, plugs=plugs))


def _dial_wrong(case: Case, fault: Fault) -> Case:
    levers = tuple(
        (valve, lever, fault.amount if valve == fault.thing else dial)
        for valve, lever, dial in case.start.levers
    )
    return _with_start(case, lambda old: replace(old, levers=levers))


def _source_left(case: Case, fault: Fault) -> Case:
    return _with_start(case, lambda old: replace(old, speed_source=fault.thing))


def _sway_free(case: Case, fault: Fault) -> Case:
    return _with_start(case, lambda old: replace(old, sway_m=fault.amount))


def _top_link_wrong(case: Case, fault: Fault) -> Case:
    return _with_start(case, lambda old: replace(old, top_link_m=fault.amount))


def _ballast_short(case: Case, fault: Fault) -> Case:
    return _with_start(case, lambda old: replace(old, ballast_kg=0))


def _latch_open(case: Case, fault: Fault) -> Case:
    return _with_start(case, lambda old: replace(old, latch_open=fault.thing, latches_seen=False))


def _hose_moved(case: Case, fault: Fault) -> Case:
    lines = tuple((hose, fault.place if hose == fault.thing else port) for hose, port in case.start.lines_on)
    return _with_start(case, lambda old: replace(old, lines_on=lines))


def _hoses_swapped(case: Case, fault: Fault) -> Case:
    first, second = _pair(case, fault)
    on = dict(case.start.lines_on)
    other = {first: on[second], second: on[first]}
    lines = tuple((hose, other.get(hose, port)) for hose, port in case.start.lines_on)
    return _with_start(case, lambda old: replace(old, lines_on=lines))


def _trapped(case: Case, fault: Fault) -> Case:
    held = {**dict(case.start.pressures), fault.thing: fault.amount}
    return _with_start(case, lambda old: replace(old, pressures=tuple(held.items())))


def _lock_left_in(case: Case, fault: Fault) -> Case:
    return _with_start(case, lambda old: replace(old, lift_locked=True))


def _bushings_off(case: Case, fault: Fault) -> Case:
    return _with_start(case, lambda old: replace(old, bushings=not old.bushings))


def _with_pin(case: Case, fault: Fault, part: str, series_ohm: float) -> Case:
    """The resistance at a pin of a connector; `part` is the tractor's wire (`feed`) or the contact."""
    connector, _, pin = fault.thing.rpartition("_")
    return replace(case, wiring=with_ohm(case.wiring, f"{connector}_{part}_ohm", int(pin), series_ohm))


def _pin_open(case: Case, fault: Fault) -> Case:
    return _with_pin(case, fault, "contact", math.inf)


def _pin_resistance(case: Case, fault: Fault) -> Case:
    return _with_pin(case, fault, "contact", fault.amount)


def _feed_open(case: Case, fault: Fault) -> Case:
    return _with_pin(case, fault, "feed", math.inf)


def _fuse_blown(case: Case, fault: Fault) -> Case:
    blown = (*case.wiring.fuses_blown, _FUSES[fault.thing])
    return replace(case, wiring=replace(case.wiring, fuses_blown=blown))


def _supply_drop(case: Case, fault: Fault) -> Case:
    return replace(case, wiring=replace(case.wiring, supply_ohm=fault.amount))


def _terminator_missing(case: Case, fault: Fault) -> Case:
    return replace(case, wiring=replace(case.wiring, terminators_implement=0))


def _terminator_spare(case: Case, fault: Fault) -> Case:
    return replace(case, wiring=replace(case.wiring, terminators_implement=2))


def _bus_short(case: Case, fault: Fault) -> Case:
    return replace(case, wiring=replace(case.wiring, bus_short_ohm=fault.amount))


def _stands(condition: str) -> Callable[[Case, State, Fault], bool]:
    """Gone once that condition stands."""

    def gone(case: Case, state: State, fault: Fault) -> bool:
        return Event("", state.tick, standing=readings.standing(case, state)).stands(condition)

    return gone


def _lines_as_meant(case: Case, state: State, fault: Fault) -> bool:
    """Every end hangs where it hung on the sound machine."""
    sound = case.sound if case.sound is not None else case
    at = {hose: case.port(port) for hose, port in sound.start.lines_on}
    return all(
        state.hose_at[index] == at.get(hose.name, -1) for index, hose in enumerate(case.implement.hoses)
    )


def _dial_as_meant(case: Case, state: State, fault: Fault) -> bool:
    """The dial gives again what it gave on the sound machine, within a quarter of a step."""
    sound = case.sound if case.sound is not None else case
    meant = {valve: dial for valve, _, dial in sound.start.levers}.get(fault.thing, 0.0)
    return abs(state.dials_milli[case.valve(fault.thing)] - milli(meant)) <= 250


def _pressure_gone(case: Case, state: State, fault: Fault) -> bool:
    return state.port_pa[case.port(fault.thing)] <= case.limits.couple_pressure_pa


def _oil_warm(case: Case, state: State, fault: Fault) -> bool:
    sound = case.sound if case.sound is not None else case
    return state.oil_mc >= milli(sound.start.oil_c) - 5_000


KINDS: Mapping[str, Kind] = {
    "pump_worn": Kind("", "", "1", 0.2, 0.9, SHOP, ("worn", "leaks"), _fixed("pump"), _pump_worn),
    "cutoff_low": Kind(
        "", "", "Pa", 20e5, 250e5, SHOP, ("too_low",), _fixed("pump_control", "pump"), _cutoff_low
    ),
    "coupler_half_home": Kind(
        "hose", "", "1", 0.002, 0.6, YARD, ("not_home", "blocked"), _hose_and_port, _coupler_half_home
    ),
    "hose_kinked": Kind("hose", "", "1", 0.05, 0.8, YARD, ("blocked",), _thing, _hose_kinked),
    "motor_worn": Kind("function", "", "1", 0.3, 0.92, SHOP, ("worn", "leaks"), _thing, _motor_worn),
    "cylinder_leaks": Kind("function", "", "1", 0.05, 3.0, SHOP, ("leaks", "worn"), _thing, _cylinder_leaks),
    "oil_cold": Kind("", "", "°C", -30.0, 15.0, SETTING, ("cold",), _fixed("oil"), _oil_cold, _oil_warm),
    "plug_not_home": Kind(
        "plug", "", "", 0.0, 0.0, YARD, ("not_home", "open"), _plug_and_socket, _plug_not_home
    ),
    "pin_open": Kind("pin", "", "", 0.0, 0.0, YARD, ("open", "high_resistance"), _thing, _pin_open),
    "pin_resistance": Kind(
        "pin", "", "ohm", 0.05, 500.0, YARD, ("high_resistance",), _thing, _pin_resistance
    ),
    "feed_open": Kind("pin", "", "", 0.0, 0.0, YARD, ("open", "missing"), _thing, _feed_open),
    "fuse_blown": Kind("fuse", "", "", 0.0, 0.0, YARD, ("open", "missing"), _thing, _fuse_blown),
    "supply_drop": Kind("", "", "ohm", 0.01, 2.0, YARD, ("high_resistance",), _fixed("supply"), _supply_drop),
    "terminator_missing": Kind(
        "", "", "", 0.0, 0.0, YARD, ("missing", "open"), _fixed("terminator"), _terminator_missing
    ),
    "terminator_spare": Kind(
        "", "", "", 0.0, 0.0, YARD, ("one_too_many",), _fixed("terminator"), _terminator_spare
    ),
    "bus_short": Kind("", "", "ohm", 0.0, 20.0, SHOP, ("shorted",), _fixed("bus_cable"), _bus_short),
    "dial_low": Kind(
        "valve", "", "step", 0.0, 10.0, SETTING, ("too_low",), _dial_of, _dial_wrong, _dial_as_meant
    ),
    "dial_high": Kind(
        "valve", "", "step", 0.0, 10.0, SETTING, ("too_high",), _dial_of, _dial_wrong, _dial_as_meant
    ),
    "source_left": Kind(
        "source",
        "",
        "",
        0.0,
        0.0,
        SETTING,
        ("left_on", "wrong_place"),
        _fixed("speed_source"),
        _source_left,
        _stands("source_right"),
    ),
    "sway_free": Kind(
        "",
        "",
        "m",
        0.0,
        0.2,
        SETTING,
        ("not_closed", "too_high", "left_on"),
        _fixed("sway_blocks"),
        _sway_free,
        _stands("sway_set"),
    ),
    "top_link_short": Kind(
        "", "", "m", 0.2, 2.0, SETTING, ("too_short",), _fixed("top_link"), _top_link_wrong, _stands("plumb")
    ),
    "top_link_long": Kind(
        "", "", "m", 0.2, 2.0, SETTING, ("too_long",), _fixed("top_link"), _top_link_wrong, _stands("plumb")
    ),
    "ballast_short": Kind(
        "",
        "",
        "",
        0.0,
        0.0,
        SETTING,
        ("too_low", "missing"),
        _fixed("front_ballast"),
        _ballast_short,
        _stands("balanced"),
    ),
    "latch_open": Kind(
        "side", "", "", 0.0, 0.0, SETTING, ("not_closed", "open"), _latch, _latch_open, _stands("latched")
    ),
    "hose_in_wrong_port": Kind(
        "hose", "port", "", 0.0, 0.0, SETTING, ("wrong_place",), _hose_and_port, _hose_moved, _lines_as_meant
    ),
    "hoses_swapped": Kind(
        "function",
        "",
        "",
        0.0,
        0.0,
        SETTING,
        ("wrong_place",),
        _function_ends,
        _hoses_swapped,
        _lines_as_meant,
    ),
    "trapped_pressure": Kind(
        "port", "", "Pa", 5e5, 250e5, SETTING, ("too_high", "left_on"), _thing, _trapped, _pressure_gone
    ),
    "lock_left_in": Kind(
        "",
        "",
        "",
        0.0,
        0.0,
        SETTING,
        ("left_on", "not_home"),
        _fixed("lift_lock"),
        _lock_left_in,
        _stands("lift_unlocked"),
    ),
    "bushings_off": Kind(
        "",
        "",
        "",
        0.0,
        0.0,
        SHOP,
        ("missing", "left_on"),
        _fixed("bushings"),
        _bushings_off,
        _stands("bushings_right"),
    ),
}
"""What can be wrong. Whether the names and amounts of a job fit is told by `trainer.authoring.compile`."""


# --- drawing and mending -----------------------------------------------------------------------------------


def posed(case: Case, fault: Fault) -> Case:
    """The case with one fault in it, and the sound one beside it."""
    sound = replace(case, fault=fault, sound=None)
    return replace(KINDS[fault.kind].worsen(sound, fault), sound=sound)


def draw(case: Case, seed: int) -> Case:
    """The case with the fault that a seed draws, as bad as the seed says; the case itself where it has none.

    The same seed gives the same fault on every machine; which one cannot be told from the number.
    """
    if not case.faults:
        return case
    digits = hashlib.sha256(f"{case.job} {seed}".encode()).digest()
    fault = case.faults[int.from_bytes(digits[:8], "big") % len(case.faults)]
    share = int.from_bytes(digits[8:10], "big") / 65535.0
    return posed(case, replace(fault, amount=_amount(fault, share)))


def _amount(fault: Fault, share: float) -> float:
    """An amount between both ends, to three figures: what a record says of it can be read."""
    return float(f"{fault.low + (fault.high - fault.low) * share:.3g}")


def middling(fault: Fault) -> Fault:
    """The fault in the middle of its range.

    >>> middling(Fault("worn", "pump_worn", low=0.5, high=0.7)).amount
    0.6
    """
    return replace(fault, amount=_amount(fault, 0.5))


def misplaced(case: Case, fault: Fault) -> str:
    """Why a fault cannot sit where a job puts it, in words; '' where it can. Its names are known."""
    on = dict(case.start.lines_on)
    plugged = dict(case.start.plugs_on)
    dialled = [valve for valve, _, _ in case.start.levers]
    match fault.kind:
        case "coupler_half_home" | "hose_in_wrong_port" if fault.thing not in on:
            return f"{fault.thing} is not on"
        case "hose_in_wrong_port" if fault.place in on.values():
            return f"{fault.place} is taken"
        case "hose_in_wrong_port" if (
            _form_of(case, fault.thing) != case.tractor.ports[case.port(fault.place)].form
        ):
            return f"{fault.thing} does not fit {fault.place}"
        case "plug_not_home" if fault.thing not in plugged:
            return f"{fault.thing} is not plugged"
        case "dial_low" | "dial_high" if fault.thing not in dialled:
            return f"the lever of {fault.thing} is not set where the yard is found"
        case "hoses_swapped" if not all(name in on for name in _pair(case, fault)):
            return f"the lines of {fault.thing} are not on"
        case "motor_worn" if not case.implement.functions[case.function(fault.thing)].is_motor:
            return f"{fault.thing} is no motor"
        case "cylinder_leaks" if case.implement.functions[case.function(fault.thing)].is_motor:
            return f"{fault.thing} is no cylinder"
        case _:
            return ""


def _form_of(case: Case, hose: str) -> str:
    return case.implement.hoses[case.hose(hose)].form


def present(case: Case, state: State) -> Case:
    """The machines as they are at this moment: the sound ones once the fault is mended.

    >>> # What was never faulty stays as it is: `present(case, state) is case`.
    """
    return case.sound if state.mended and case.sound is not None else case


def left(case: Case, state: State) -> bool:
    """Whether the fault is still there. What only the shop can mend is, until the machine goes there."""
    fault = case.fault
    if fault is None:
        return False
    gone = KINDS[fault.kind].gone
    return not (gone(case, state, fault) if gone is not None else state.mended)


def mendable(case: Case) -> bool:
    """Whether the drawn fault can be mended in the yard at all."""
    return case.fault is not None and KINDS[case.fault.kind].mend != SHOP


def mends(case: Case, part: str) -> bool:
    """Whether working on this part with the word `mend` (or taking it off and on again) cures the fault."""
    fault = case.fault
    return fault is not None and KINDS[fault.kind].mend == YARD and part in right_parts(case)


def right_parts(case: Case) -> tuple[str, ...]:
    """Where the drawn fault may be said to sit."""
    if case.fault is None:
        return ()
    return KINDS[case.fault.kind].parts(case.sound if case.sound is not None else case, case.fault)


def right_wrongs(case: Case) -> tuple[str, ...]:
    """What may be said to be wrong there, the plainest first."""
    return KINDS[case.fault.kind].wrongs if case.fault is not None else ()


OWN_HARM = (
    "case_pressure",
    "seal_blown",
    "overspeed",
    "return_pressure",
    "motor_stalled",
    "motor_reversed",
    "starved",
    "rod_side",
    "lock_pushed",
    "pump_held_up",
    "overheated",
    "two_drives",
)
"""What the machines do to themselves, by kind of event. Where the sound machine would not have told it, the
drawn fault did it, and nobody can be blamed for it before the fault is found."""


# --- evidence ----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Taken:
    """A measurement: the number of its action in the log and what came out; `answer` is what a test said."""

    entry: int
    tick: int
    word: str
    thing: str
    answer: str
    values: tuple[tuple[str, int], ...]


_TEST_VALUES = ("speed_rev_min", "test_engine_rev_min", "stroke_ms", "lights_count", "page_count")
_METERED = {"volts_read": "volts", "ohms_read": "ohms", "ohms_open": "ohms"}
"""Ohms read while something has power tell nothing: they are no measurement."""
_LOOK_VALUES = {"latches": ("latches_count",), "lines": ("line_looks_count",)}
_NOTICED = {
    "pa": 200_000,
    "um": 1_000,
    "mm3_s": 25_000,
    "ms": 400,
    "urad": 2_000,
    "permille": 8,
    "rev_min": 60,
    "mv": 300,
    "mohm": 3_000,
    "mc": 2_000,
    "kg": 10,
    "count": 0,
}
"""Differences that the yard's instruments show beyond doubt, in the quantum of the reading (practice)."""
_NOTICED_SHARE = 0.04


def taken(entry: int, events: tuple[Event, ...]) -> Taken | None:
    """The measurement among the events of one action, if there is one."""
    for event in events:
        if event.kind == "measured":
            return Taken(entry, event.tick, "measure", event.thing, event.place, event.values)
        if event.kind in _METERED:
            return Taken(entry, event.tick, _METERED[event.kind], event.thing, event.place, event.values)
        if event.kind == "tested":
            values = tuple((name, value) for name, value in event.values if name in _TEST_VALUES)
            return Taken(entry, event.tick, "test", event.thing, event.place, values)
        if event.kind == "looked" and event.thing in _LOOK_VALUES:
            wanted = _LOOK_VALUES[event.thing]
            values = tuple((name, value) for name, value in event.values if name in wanted)
            return Taken(entry, event.tick, "look", event.thing, "", values)
    return None


def apart(one: Taken, other: Taken | None) -> bool:
    """Whether two outcomes of the same measurement differ by more than doubt.

    >>> low = Taken(3, 40, "measure", "gauge", "", (("pressure_pa", 9_000_000),))
    >>> apart(low, replace(low, values=(("pressure_pa", 9_100_000),)))
    False
    >>> apart(low, replace(low, values=(("pressure_pa", 19_000_000),)))
    True
    """
    if other is None or one.answer != other.answer:
        return True
    there = dict(other.values)
    for name, value in one.values:
        if name not in there:
            return True
        quantum = max((key for key in _NOTICED if name.endswith("_" + key)), key=len, default="count")
        doubt = max(_NOTICED[quantum], int(_NOTICED_SHARE * max(abs(value), abs(there[name]))))
        if abs(value - there[name]) > (doubt if quantum != "count" else 0):
            return True
    return False


def rivals(case: Case) -> dict[str, Case]:
    """The other machines it might have been, by the name of their fault: '' is the sound one.

    Each other fault of the job stands in its middle; a rival has no rivals of its own.
    """
    if case.fault is None:
        return {}
    plain = replace(case.sound if case.sound is not None else case, faults=(), fault=None, sound=None)
    found = {"": plain}
    for fault in case.faults:
        if fault.name != case.fault.name:
            found[fault.name] = posed(plain, middling(fault))
    return found
