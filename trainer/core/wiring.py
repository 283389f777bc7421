"""The wires between the two machines, and what a meter reads between any two pins of their connectors.

A `Wiring` says what can differ: the supply, a series resistance or a gap at each pin (in the tractor's wire,
in the contact, in the implement's cable), blown fuses, how many resistors end the bus at either machine, what
the implement draws. A `Moment` says what is switched on and plugged in. From the two follows one circuit of
resistors, and from the circuit every reading.

Where what stands: which pin carries what, 120 ohm at either end and 2.5 V on both lines at rest are those of
`electrics`. That pin 4 is tied to pin 5 in the implement's plug stands as `memory`. Simplifications, stated:
a load is a resistor that draws its rated current at 12 V and is an open wire while it is switched off, but
lamps, whose filaments are always there; the bus is at rest; a machine's frame is no return; where a flasher
is on, its lit moment is read.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final, NamedTuple

from trainer.core import electrics
from trainer.core.electrics import Branch

BUS_PINS: Final = 9
LAMPS_PINS: Final = 7
FRAME: Final = "frame"
PROBED: Final = (
    *(f"bus_{pin}" for pin in range(1, BUS_PINS + 1)),
    *(f"bus_plug_{pin}" for pin in range(1, BUS_PINS + 1)),
    *(f"lamps_{pin}" for pin in range(1, LAMPS_PINS + 1)),
    *(f"lamps_plug_{pin}" for pin in range(1, LAMPS_PINS + 1)),
    FRAME,
)
"""Where the tips of a meter can be held: the pins of the tractor's two sockets and of the implement's two
plugs (pushed home as well as pulled), and the tractor's frame."""

METER_OHM: Final = 10.0e6
"""Input resistance of the meter on volts (practice: the usual handheld meter)."""
METER_TEST_A: Final = 1.0e-3
"""Current the meter puts through what it measures on ohms (practice)."""
OVER_RANGE_OHM: Final = 20.0e6
"""From here up the meter shows an open wire (practice)."""
LAMP_DIM_V: Final = 11.0
"""Voltage over a 12 V lamp below which it is seen to be dim (practice)."""
BUS_TOLERANCE: Final = 0.1
"""How far from 60 ohm the bus may end and still talk without errors (practice)."""
_LAMP_V: Final = 12.0
_RECESSIVE_OHM: Final = 15_000.0
"""What holds each line of the bus at its rest voltage, at either machine (practice: tens of kilohm)."""
_LINE_LOST_OHM: Final = 50.0
"""Series resistance in one line of the bus beyond which nothing is understood (practice: of the order of its
ends)."""
_TBC_DIS_OHM: Final = 10_000.0
_FUSED: Final = {"PWR": (3,), "ECU_PWR": (4, 6), "lamps": (3, 4, 5, 6, 7)}
_NO_OHMS_BUS: Final = (0.0,) * BUS_PINS
_NO_OHMS_LAMPS: Final = (0.0,) * LAMPS_PINS


@dataclass(frozen=True, slots=True)
class Wiring:
    """What of the wiring between two machines can be one way or another.

    Resistances are in ohm, pin 1 first; `math.inf` is an open wire. `..._feed_ohm` lies in the tractor behind
    its socket, `..._contact_ohm` between socket and plug, `..._lead_ohm` in the implement behind its plug.
    """

    supply_v: float = 12.0
    supply_ohm: float = 0.0
    """In the wire that feeds all pins: whatever is drawn anywhere takes its drop here."""
    bus_feed_ohm: tuple[float, ...] = _NO_OHMS_BUS
    bus_contact_ohm: tuple[float, ...] = _NO_OHMS_BUS
    bus_lead_ohm: tuple[float, ...] = _NO_OHMS_BUS
    lamps_feed_ohm: tuple[float, ...] = _NO_OHMS_LAMPS
    lamps_contact_ohm: tuple[float, ...] = _NO_OHMS_LAMPS
    lamps_lead_ohm: tuple[float, ...] = _NO_OHMS_LAMPS
    fuses_blown: tuple[str, ...] = ()
    """Of `PWR`, `ECU_PWR` and `lamps`."""
    terminators_tractor: int = 1
    terminators_implement: int = 1
    bus_short_ohm: float = math.inf
    """Between the two lines of the bus in the implement's cable."""
    ecu_a: float = 1.0
    """What the implement's control unit draws."""
    power_a: float = 0.0
    """What its motors and valves draw on PWR while any of them works."""
    lamps_a: float = 4.2
    """What all it has on the lighting plug draws, evenly on the pins that are fed."""
    lamps_fed: tuple[int, ...] = (3, 5, 6, 7)
    """Pins of the lighting socket with power while the key is on; the stop lamps wait for the pedal."""


def with_ohm(wiring: Wiring, where: str, pin: int, series_ohm: float) -> Wiring:
    """The wiring with this resistance at one pin; `where` names one of the six fields, `bus_feed_ohm` and on.

    >>> with_ohm(Wiring(), "lamps_contact_ohm", 1, 0.5).lamps_contact_ohm
    (0.5, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)

    Raises ValueError for a pin the connector has not, or a resistance below nought.
    """
    pin, ohms = int(pin), getattr(wiring, where)
    if not 1 <= pin <= len(ohms):
        raise ValueError(f"the connector has pins 1 to {len(ohms)}, no pin {pin}")
    if not series_ohm >= 0.0:
        raise ValueError(f"{series_ohm} ohm is no resistance")
    return replace(wiring, **{where: (*ohms[: pin - 1], series_ohm, *ohms[pin:])})  # type: ignore[arg-type]


@lru_cache(maxsize=64)
def without_end(wiring: Wiring) -> Wiring:
    """The wiring with the terminator pulled out of the implement's last unit.

    Where it sits along the bus makes no difference to a meter: the wire itself is nothing beside it.

    >>> bus_ends_ohm(without_end(Wiring()), True)
    120.0
    """
    return replace(wiring, terminators_implement=max(0, wiring.terminators_implement - 1))


class Moment(NamedTuple):
    """What is plugged in and switched on."""

    bus_home: bool = True
    lamps_home: bool = True
    supply_on: bool = True
    """The supply lines are up: key on, or held after key off."""
    key_on: bool = True
    working: bool = False
    """Something of the implement that draws on PWR works."""


def circuit(wiring: Wiring, moment: Moment) -> tuple[list[Branch], dict[str, float]]:
    """The circuit of that moment: its branches, and the nodes whose voltage is given (frame and battery).

    >>> branches, held = circuit(Wiring(), Moment())
    >>> round(electrics.node_voltages_v(branches, held)["bus_plug_4"], 3)
    12.0
    """
    branches: list[Branch] = []
    held = {FRAME: 0.0, "battery": wiring.supply_v}
    branches.append(Branch("battery", "feed", wiring.supply_ohm))
    _bus(wiring, moment, branches)
    if moment.supply_on:
        ecu_v = electrics.node_voltages_v(branches, held)
        if ecu_v["ecu_pwr_far"] - ecu_v["ecu_gnd_far"] >= electrics.ECU_RESET_V.value:
            _rest_voltage(branches, "ecu_gnd_far", "high_far", "low_far")
    _lamps(wiring, moment, branches)
    return branches, held


def _bus(wiring: Wiring, moment: Moment, branches: list[Branch]) -> None:
    on = moment.supply_on
    live = {pin for fuse in ("PWR", "ECU_PWR") if fuse not in wiring.fuses_blown for pin in _FUSED[fuse]}
    behind = {1: FRAME, 2: FRAME, 7: FRAME, 5: "tbc_dis", 8: "high", 9: "low"}
    far = {1: "pwr_gnd_far", 2: "ecu_gnd_far", 3: "pwr_far", 4: "ecu_pwr_far", 8: "high_far", 9: "low_far"}
    for pin in range(1, BUS_PINS + 1):
        fed = pin in live and on
        source = behind.get(pin, "feed" if fed else f"dead_{pin}")
        branches.append(Branch(source, f"bus_{pin}", wiring.bus_feed_ohm[pin - 1]))
        if moment.bus_home:
            branches.append(Branch(f"bus_{pin}", f"bus_plug_{pin}", wiring.bus_contact_ohm[pin - 1]))
        branches.append(Branch(f"bus_plug_{pin}", far.get(pin, f"far_{pin}"), wiring.bus_lead_ohm[pin - 1]))
    branches.append(Branch("tbc_dis", FRAME, _TBC_DIS_OHM))
    branches.append(Branch("bus_plug_4", "bus_plug_5", 0.0))
    for count, high, low in (
        (wiring.terminators_tractor, "high", "low"),
        (wiring.terminators_implement, "high_far", "low_far"),
    ):
        branches.extend([Branch(high, low, electrics.TERMINATOR_OHM)] * int(count))
    branches.append(Branch("high_far", "low_far", wiring.bus_short_ohm))
    if on:
        _rest_voltage(branches, FRAME, "high", "low")
        branches.append(Branch("ecu_pwr_far", "ecu_gnd_far", _load_ohm(wiring.ecu_a)))
        if moment.working:
            branches.append(Branch("pwr_far", "pwr_gnd_far", _load_ohm(wiring.power_a)))


def _rest_voltage(branches: list[Branch], ground: str, *lines: str) -> None:
    rest_v = electrics.RECESSIVE_V.value
    branches.extend([Branch(line, ground, _RECESSIVE_OHM, rest_v) for line in lines])


def _lamps(wiring: Wiring, moment: Moment, branches: list[Branch]) -> None:
    # Pin 7 feeds the implement's control, which the supply holds up; lamps go out with the key.
    on = {pin for pin in wiring.lamps_fed if moment.key_on or (pin == LAMPS_PINS and moment.supply_on)}
    share_a = wiring.lamps_a / max(1, len(wiring.lamps_fed))
    for pin in range(1, LAMPS_PINS + 1):
        fed = pin in on and "lamps" not in wiring.fuses_blown
        source = FRAME if pin == electrics.SEVEN_PIN_GROUND else "feed" if fed else f"dead_lamps_{pin}"
        branches.append(Branch(source, f"lamps_{pin}", wiring.lamps_feed_ohm[pin - 1]))
        if moment.lamps_home:
            branches.append(Branch(f"lamps_{pin}", f"lamps_plug_{pin}", wiring.lamps_contact_ohm[pin - 1]))
        branches.append(Branch(f"lamps_plug_{pin}", f"lamp_{pin}", wiring.lamps_lead_ohm[pin - 1]))
        if pin in wiring.lamps_fed or pin == 4:
            branches.append(Branch(f"lamp_{pin}", "lamp_1", _load_ohm(share_a)))


def _load_ohm(current_a: float) -> float:
    return _LAMP_V / current_a if current_a > 0.0 else math.inf


@lru_cache(maxsize=512)
def volts(wiring: Wiring, moment: Moment, plus: str, minus: str) -> float:
    """What the meter reads on volts with its tips on two of `PROBED`, in V. Raises ValueError for others.

    >>> [round(volts(Wiring(), Moment(), pin, "bus_2"), 1) for pin in ("bus_4", "bus_8", "bus_9")]
    [12.0, 2.5, 2.5]
    >>> bad = with_ohm(Wiring(supply_v=12.6), "lamps_contact_ohm", 1, 0.5)
    >>> round(volts(bad, Moment(), "lamps_plug_6", "lamps_plug_1"), 1)
    10.7
    """
    _check(plus, minus)
    branches, held = circuit(wiring, moment)
    found = electrics.node_voltages_v([*branches, Branch(plus, minus, METER_OHM)], held)
    return found[plus] - found[minus]


@lru_cache(maxsize=512)
def ohms(wiring: Wiring, moment: Moment, start: str, end: str) -> float:
    """What the meter reads on ohms between two of `PROBED`, in ohm; infinite beyond its range.

    It puts a small current through and tells the voltage by ohms. With the supply up that voltage is not the
    current's alone and the figure means nothing. Raises ValueError for places that are not of `PROBED`.

    >>> off = Moment(supply_on=False, key_on=False)
    >>> [round(ohms(Wiring(terminators_implement=ends), off, "bus_8", "bus_9")) for ends in (1, 0, 2)]
    [60, 120, 40]
    """
    _check(start, end)
    branches, held = circuit(wiring, moment)
    if not powered(moment):
        # The battery is cut off by the key: nothing joins it to a pin.
        found = electrics.resistance_ohm(branches, start, end)
    else:
        still = electrics.node_voltages_v([*branches, Branch(start, end, METER_OHM)], held)
        driven = electrics.node_voltages_v(
            [*branches, Branch(start, end, METER_OHM)], held, {start: METER_TEST_A, end: -METER_TEST_A}
        )
        assert still.keys() == driven.keys()
        found = abs(driven[start] - driven[end]) / METER_TEST_A
        if found >= 0.99 * METER_OHM:
            found = math.inf
    return found if found < OVER_RANGE_OHM else math.inf


def powered(moment: Moment) -> bool:
    """Whether anything in the connectors has power.

    >>> powered(Moment()), powered(Moment(supply_on=False, key_on=False))
    (True, False)
    """
    return moment.supply_on or moment.key_on


def _check(start: str, end: str) -> None:
    for name in (start, end):
        if name not in PROBED:
            raise ValueError(f"{name} is no place a meter's tip can be held")


@lru_cache(maxsize=256)
def ecu_v(wiring: Wiring, moment: Moment) -> float:
    """Voltage in V at the implement's control unit.

    >>> round(ecu_v(with_ohm(Wiring(), "bus_contact_ohm", 4, 12.0), Moment()), 1)
    6.0
    """
    branches, held = circuit(wiring, moment)
    found = electrics.node_voltages_v(branches, held)
    return found["ecu_pwr_far"] - found["ecu_gnd_far"]


@lru_cache(maxsize=256)
def power_v(wiring: Wiring, moment: Moment) -> float:
    """Voltage in V at the implement's motors and valves.

    >>> round(power_v(Wiring(fuses_blown=("PWR",)), Moment(working=True)), 1)
    0.0
    """
    branches, held = circuit(wiring, moment)
    found = electrics.node_voltages_v([*branches, Branch("pwr_far", "pwr_gnd_far", METER_OHM)], held)
    return found["pwr_far"] - found["pwr_gnd_far"]


@lru_cache(maxsize=256)
def lamp_v(wiring: Wiring, moment: Moment, pin: int) -> float:
    """Voltage in V over what a pin of the lighting plug feeds.

    >>> round(lamp_v(with_ohm(Wiring(supply_v=12.6), "lamps_contact_ohm", 1, 0.5), Moment(), 6), 1)
    10.7
    """
    branches, held = circuit(wiring, moment)
    found = electrics.node_voltages_v(branches, held)
    return found[f"lamp_{pin}"] - found["lamp_1"]


@lru_cache(maxsize=256)
def bus_ends_ohm(wiring: Wiring, bus_home: bool) -> float:
    """What ends the bus, seen from the tractor with all power off, in ohm.

    >>> bus_ends_ohm(Wiring(), True), bus_ends_ohm(Wiring(), False)
    (60.0, 120.0)
    """
    branches, _ = circuit(wiring, Moment(bus_home, False, False, False))
    return electrics.resistance_ohm(branches, "high", "low")


def bus_reaches(wiring: Wiring) -> bool:
    """Whether both lines of the bus go through from the tractor to the implement, its plug pushed home.

    >>> bus_reaches(Wiring()), bus_reaches(with_ohm(Wiring(), "bus_contact_ohm", 8, math.inf))
    (True, False)
    """
    ways = (wiring.bus_feed_ohm, wiring.bus_contact_ohm, wiring.bus_lead_ohm)
    return all(math.fsum(ohm[pin - 1] for ohm in ways) < _LINE_LOST_OHM for pin in (8, 9))


def bus_talks(wiring: Wiring, bus_home: bool) -> bool:
    """Whether the bus is ended as it must be to carry messages without errors.

    >>> bus_talks(Wiring(), True), bus_talks(Wiring(terminators_implement=0), True)
    (True, False)
    """
    healthy = electrics.termination_ohm(2)
    return abs(bus_ends_ohm(wiring, bus_home) - healthy) <= BUS_TOLERANCE * healthy


class Fed(NamedTuple):
    """What of the implement has the voltage it needs."""

    unit: bool
    """Its control unit, with both lines of the bus."""
    power: bool
    """What that unit commands: motors and valves on PWR."""
    control: bool
    """Markers and frame control on the lighting plug."""


@lru_cache(maxsize=256)
def fed(wiring: Wiring, moment: Moment) -> Fed:
    """What of the implement works at that moment.

    >>> fed(Wiring(), Moment()), fed(Wiring(fuses_blown=("PWR",)), Moment(lamps_home=False))
    (Fed(unit=True, power=True, control=True), Fed(unit=True, power=False, control=False))
    """
    least = electrics.ECU_RESET_V.value
    unit = moment.bus_home and ecu_v(wiring, moment) >= least and bus_reaches(wiring)
    unit = unit and bus_ends_ohm(wiring, True) >= 0.5 * electrics.termination_ohm(2)
    power = unit and power_v(wiring, moment) >= least
    return Fed(unit, power, moment.lamps_home and lamp_v(wiring, moment, LAMPS_PINS) >= least)
