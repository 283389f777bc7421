"""Plugs between tractor and implement: pin tables, bus termination, wire and pin drops, supply after key off,
and the voltages and resistances of any circuit of resistors.

Volts, amperes, ohms, metres, seconds. Each row and figure carries its standing.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

_FOOT_M: Final = 0.3048
TERMINATOR_OHM: Final = 120.0


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of the trade with its standing and where it comes from."""

    value: float
    standing: str
    source: str


ECU_RESET_V: Final = Figure(9.0, "practice", "supply below which control units restart")
RECESSIVE_V: Final = Figure(2.5, "practice", "CAN_H and CAN_L to ground, bus at rest")
ECU_POWER_A: Final = Figure(15.0, "published", "code citing ISO 11783-9: least the tractor offers on ECU_PWR")
POWER_A: Final = Figure(50.0, "published", "code citing ISO 11783-9: least the tractor offers on PWR")
SUPPLY_STEP_S: Final = Figure(
    2.0, "published", "code citing ISO 11783-9: supplies stay this long, asked anew"
)
SUPPLY_CAP_S: Final = Figure(180.0, "published", "code citing ISO 11783-9: longest hold after key off")
UNPLUG_WAIT_S: Final = Figure(180.0, "practice", "least wait after key off before unplugging")


@dataclass(frozen=True, slots=True)
class Pin:
    """A pin of a plug: number, short name, what it carries, wire colour where one is given, standing."""

    number: int
    name: str
    carries: str
    colour: str | None
    standing: str


_NINE_PIN = (
    (1, "GND", "ground of the power supply"),
    (2, "ECU_GND", "ground of the control units"),
    (3, "PWR", "power for motors and valves"),
    (4, "ECU_PWR", "power for the control units"),
    (5, "TBC_DIS", "switches the tractor's own bus termination off"),
    (6, "TBC_PWR", "power for the bus termination"),
    (7, "TBC_RTN", "return of the bus termination"),
    (8, "CAN_H", "bus, high line"),
    (9, "CAN_L", "bus, low line"),
)
# ISO 11783-2 breakaway connector (IBBC).
NINE_PIN: Final = tuple(Pin(number, name, carries, None, "published") for number, name, carries in _NINE_PIN)

_SEVEN_PIN = (
    (1, "ground", "white"),
    (2, "pin 2", "black"),
    (3, "left turn", "yellow"),
    (4, "stop", "red"),
    (5, "right turn", "green"),
    (6, "tail", "brown"),
    (7, "auxiliary", "blue"),
)
# SAE J560 on road vehicles; tractors differ on these pins, so a job says what its tractor puts there.
SEVEN_PIN: Final = tuple(
    Pin(number, name, name if number != 2 else "by the maker's choice", colour, "published")
    for number, name, colour in _SEVEN_PIN
)
SEVEN_PIN_DIFFERING_ON_TRACTORS: Final = (2, 4, 7)
SEVEN_PIN_GROUND: Final = 1
# The other seven-pin plug in the field, ISO 1724, grounds on pin 3, the left turn here: the two never mix.
ISO_1724_GROUND: Final = 3


@dataclass(frozen=True, slots=True)
class Wire:
    """A copper wire by American wire gauge with its resistance per metre at room temperature."""

    gauge_awg: int
    stranded: bool
    resistance_ohm_m: float
    standing: str
    source: str


WIRES: Final = (
    Wire(12, False, 1.588 / (1000 * _FOOT_M), "published", "copper wire table, ohm per 1000 ft"),
    Wire(14, False, 2.525 / (1000 * _FOOT_M), "published", "copper wire table, ohm per 1000 ft"),
    Wire(16, True, 4.99 / (1000 * _FOOT_M), "published", "worked example of a stranded wire's drop"),
    Wire(18, False, 6.385 / (1000 * _FOOT_M), "published", "copper wire table, ohm per 1000 ft"),
)


def wire(gauge_awg: int) -> Wire:
    """Return the wire of gauge 12, 14, 16 (stranded) or 18 AWG. Raises KeyError for another.

    >>> round(wire(14).resistance_ohm_m * 304.8, 3)
    2.525
    """
    for row in WIRES:
        if row.gauge_awg == gauge_awg:
            return row
    raise KeyError(gauge_awg)


def wire_drop_v(resistance_ohm_m: float, run_m: float, current_a: float, conductors: int = 2) -> float:
    """Return the drop in V along a run of wire, out and back (two conductors) unless told otherwise.

    >>> round(wire_drop_v(wire(16).resistance_ohm_m, 100 * 0.3048, 4.0), 1)
    4.0
    """
    return resistance_ohm_m * run_m * conductors * current_a


def load_voltage_v(
    supply_v: float, series_ohm: float, rated_current_a: float, rated_voltage_v: float = 12.0
) -> float:
    """Return the voltage in V left over a load behind a bad pin or a long wire of `series_ohm`.

    The load is taken as the resistance that draws its rated current, above nought, at its rated voltage.

    >>> round(load_voltage_v(12.6, 0.5, 4.2), 1)
    10.7
    """
    load_ohm = rated_voltage_v / rated_current_a
    return supply_v * load_ohm / (load_ohm + series_ohm)


def termination_ohm(ends: int) -> float:
    """Return the resistance in ohm between CAN_H and CAN_L, power off, with that many passive ends joined.

    60 with both ends there, 120 with one missing, 40 with one too many, infinite with none. A short reads
    nought whatever the ends. Classic active ends do not follow this rule. Raises ValueError below nought.

    >>> [termination_ohm(ends) for ends in (2, 1, 3)]
    [60.0, 120.0, 40.0]
    """
    if ends < 0:
        raise ValueError("a bus has no fewer than no ends")
    return TERMINATOR_OHM / ends if ends else math.inf


def supply_hold_s(minimum_hold_s: float, save_time_s: float, cap_s: float) -> float:
    """Return how long in s a supply stays after key off while a control unit saves for `save_time_s`.

    The supply stays for the minimum (2 s); as long as the unit still saves it asks for the same again, each
    supply on its own, up to the cap (180 s). Raises ValueError unless the minimum is above nought.

    >>> [supply_hold_s(2.0, save_s, 180.0) for save_s in (0.0, 2.0, 7.5, 600.0)]
    [2.0, 2.0, 8.0, 180.0]
    """
    if minimum_hold_s <= 0.0:
        raise ValueError("a supply stays for some time")
    # A save that ends with a hold, give or take a rounding error, does not ask for another.
    holds = max(1, math.ceil(save_time_s / minimum_hold_s - 1e-9))
    return min(cap_s, holds * minimum_hold_s)


@dataclass(frozen=True, slots=True)
class Branch:
    """A resistor between two nodes of a circuit, with a source in it where `emf_v` is not nought.

    With no current through it, `start` stands `emf_v` above `end`. Nought ohm ties the nodes together and
    takes no source; infinite ohm is an open wire.
    """

    start: str
    end: str
    resistance_ohm: float
    emf_v: float = 0.0


def node_voltages_v(
    branches: Sequence[Branch], held_v: Mapping[str, float], injected_a: Mapping[str, float] | None = None
) -> dict[str, float]:
    """Return the voltage in V of every node of a resistive circuit (nodal analysis, Kirchhoff's laws).

    `held_v` are nodes whose voltage is given, `injected_a` currents in A put into nodes from outside. A part
    of the circuit that no held node reaches floats: its first node is taken as nought. Raises ValueError for
    a resistance below nought, a source without resistance, or two held nodes of unlike voltage tied together.

    >>> ladder = [Branch("plus", "pin", 0.5), Branch("pin", "frame", 12.0 / 4.2)]
    >>> round(node_voltages_v(ladder, {"plus": 12.6, "frame": 0.0})["pin"], 1)
    10.7
    """
    parent: dict[str, str] = {}

    def root(node: str) -> str:
        parent.setdefault(node, node)
        while parent[node] != node:
            node = parent[node]
        return node

    for node in (*held_v, *(injected_a or {})):
        root(node)
    for branch in branches:
        first, second = root(branch.start), root(branch.end)
        if branch.resistance_ohm < 0.0:
            raise ValueError(f"{branch.resistance_ohm} ohm is no resistance")
        if branch.resistance_ohm == 0.0:
            if branch.emf_v:
                raise ValueError("a source needs some resistance in its branch")
            parent[second] = first
    known: dict[str, float] = {}
    for node, volts in held_v.items():
        if known.setdefault(root(node), volts) != volts:
            raise ValueError(f"{node} is tied to a node held at another voltage")
    joined = [
        (root(one.start), root(one.end), 1.0 / one.resistance_ohm, one.emf_v)
        for one in branches
        if 0.0 < one.resistance_ohm < math.inf and root(one.start) != root(one.end)
    ]
    _hold_what_floats(list(dict.fromkeys(root(node) for node in parent)), joined, known)
    unknown = [node for node in dict.fromkeys(root(node) for node in parent) if node not in known]
    place = {node: index for index, node in enumerate(unknown)}
    matrix = [[0.0] * (len(unknown) + 1) for _ in unknown]
    for node, current in (injected_a or {}).items():
        if root(node) in place:
            matrix[place[root(node)]][-1] += current
    for start, end, siemens, emf in joined:
        for here, there, lift in ((start, end, emf), (end, start, -emf)):
            if here in place:
                row = matrix[place[here]]
                row[place[here]] += siemens
                row[-1] += siemens * lift
                if there in place:
                    row[place[there]] -= siemens
                else:
                    row[-1] += siemens * known[there]
    solved = _solve_linear(matrix)
    known.update(zip(unknown, solved, strict=True))
    return {node: known[root(node)] for node in parent}


def _hold_what_floats(
    nodes: list[str], joined: list[tuple[str, str, float, float]], known: dict[str, float]
) -> None:
    """Give each part of a circuit that no known node reaches a node of its own at nought."""
    beside: dict[str, list[str]] = {node: [] for node in nodes}
    for start, end, _, _ in joined:
        beside[start].append(end)
        beside[end].append(start)
    reached: set[str] = set()
    for node in (*list(known), *nodes):
        if node in reached:
            continue
        known.setdefault(node, 0.0)
        waiting = [node]
        while waiting:
            here = waiting.pop()
            if here not in reached:
                reached.add(here)
                waiting.extend(beside[here])


def _solve_linear(matrix: list[list[float]]) -> list[float]:
    """The unknowns of a square set of equations, right sides in the last column (Gauss, largest pivot)."""
    size = len(matrix)
    for column in range(size):
        size_there = [abs(row[column]) for row in matrix[column:]]
        pivot = column + size_there.index(max(size_there))
        matrix[column], matrix[pivot] = matrix[pivot], matrix[column]
        top = matrix[column]
        for row in matrix[column + 1 :]:
            share = row[column] / top[column]
            if share:
                for index in range(column, size + 1):
                    row[index] -= share * top[index]
    found = [0.0] * size
    for place in range(size - 1, -1, -1):
        line = matrix[place]
        rest = math.fsum(line[index] * found[index] for index in range(place + 1, size))
        found[place] = (line[-1] - rest) / line[place]
    return found


def resistance_ohm(branches: Sequence[Branch], start: str, end: str) -> float:
    """Return the resistance in ohm between two nodes of a circuit, sources dead; infinite where open.

    >>> ends = [Branch("high", "low", 120.0), Branch("high", "low", 120.0)]
    >>> resistance_ohm(ends, "high", "low"), resistance_ohm(ends[:1], "high", "low")
    (60.0, 120.0)
    >>> resistance_ohm([], "high", "low")
    inf
    """
    dead = [Branch(one.start, one.end, one.resistance_ohm) for one in branches]
    beside: dict[str, list[str]] = {start: [], end: []}
    for one in dead:
        if one.resistance_ohm < math.inf:
            beside.setdefault(one.start, []).append(one.end)
            beside.setdefault(one.end, []).append(one.start)
    reached, waiting = {start}, [start]
    while waiting:
        for node in beside[waiting.pop()]:
            if node not in reached:
                reached.add(node)
                waiting.append(node)
    if end not in reached:
        return math.inf
    return node_voltages_v(dead, {end: 0.0}, {start: 1.0})[start]
