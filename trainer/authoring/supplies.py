"""Which function of an implement draws from what, and the port each of its hoses belongs on for that.

A job says it with names: `fan: v1`, `generator: power_beyond`, `drive: pto`. Where it says nothing, a choice
is worked out: every hose on a port of its kind and form that it reaches with the hitch at its top.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from trainer.core import engine, readings
from trainer.core.case import Case, Hose
from trainer.core.state import State, replace
from trainer.core.units import micro

POWER_BEYOND, SHAFT = "power_beyond", "pto"
ROLES = ("drain", "return", "sense", "pressure", "extend", "retract", "shaft")
"""The order in which a function's hoses are coupled: the way to tank is open before oil can come."""

Wrong = Callable[[str, str], None]
"""Takes what is wrong and what to write instead."""


def choices(case: Case, function: int) -> tuple[str, ...]:
    """Return what a function could draw from by the hoses it brings, whether or not they fit.

    >>> from trainer.authoring.compile import load_job
    >>> case = load_job("first-week/couple").case
    >>> choices(case, case.function("generator")), choices(case, case.function("markers"))[:2]
    (('power_beyond', 'pto'), ('v1', 'v2'))
    """
    roles = [hose.role for hose in case.implement.hoses if hose.function == function]
    found: list[str] = []
    if "sense" in roles:
        found.append(POWER_BEYOND)
    elif "pressure" in roles or "extend" in roles:
        found += [valve.name for valve in case.tractor.valves]
        if "pressure" in roles:
            found.append(POWER_BEYOND)
    if "shaft" in roles:
        found.append(SHAFT)
    return tuple(found)


def hoses_in_order(case: Case, function: int, supply: str) -> Iterator[int]:
    """Yield the hoses of a function that a supply needs, in the order they are coupled."""
    for role in ROLES:
        for index, hose in enumerate(case.implement.hoses):
            if hose.function == function and hose.role == role and (role == "shaft") == (supply == SHAFT):
                yield index


def ports_for(
    case: Case, supplies: Mapping[str, str], wrong: Callable[[str, str, str], None]
) -> dict[str, str]:
    """Return the port of each hose, by name, in the order the hoses are coupled.

    `supplies` maps functions to a valve, `power_beyond` or `pto`. Where a hose finds no port of its kind and
    form that is free, `wrong(function, message, advice)` is told and the hose is left out.

    >>> from trainer.authoring.compile import load_job
    >>> case = load_job("first-week/couple").case
    >>> ports_for(case, {"fan": "v1"}, print)
    {'fan_drain': 'case_drain', 'fan_return': 'free_return', 'fan_pressure': 'v1_extend'}
    """
    found: dict[str, str] = {}
    for index, function in enumerate(case.implement.functions):
        supply = supplies.get(function.name, "")
        if not supply:
            continue
        for hose_index in hoses_in_order(case, index, supply):
            hose = case.implement.hoses[hose_index]
            ports = [port for port in _ports_of(case, hose, supply) if port not in found.values()]
            if ports:
                found[hose.name] = ports[0]
                continue
            forms = sorted(
                {port.form for port in case.tractor.ports if port.kind in port_kinds(hose, supply)}
            )
            has = f"; it has {', '.join(forms)}" if forms else ""
            message = f"{case.tractor.name} has no port free on {supply} for {hose.name} ({hose.form}){has}"
            others = [choice for choice in choices(case, index) if choice != supply]
            wrong(function.name, message, f"one of {', '.join(others)}" if others else "another tractor")
    return found


def port_kinds(hose: Hose, supply: str) -> tuple[str, ...]:
    """Return the kinds of port a hose belongs on when its function draws from a supply, the best first."""
    beyond = supply == POWER_BEYOND
    return {
        "pressure": ("pb_pressure",) if beyond else ("extend",),
        "return": ("pb_return", "free_return") if beyond else ("free_return", "retract"),
        "drain": ("case_drain",),
        "sense": ("pb_sense",),
        "shaft": ("pto",),
    }.get(hose.role, (hose.role,))


def _ports_of(case: Case, hose: Hose, supply: str) -> Iterator[str]:
    for kind in port_kinds(hose, supply):
        for port in case.tractor.ports:
            on_it = port.valve < 0 or case.tractor.valves[port.valve].name == supply
            if port.kind == kind and port.form == hose.form and on_it:
                yield port.name


def supplies_of(case: Case, lines: Mapping[str, str]) -> dict[str, str]:
    """Return what the functions draw from when these hoses are on these ports.

    >>> from trainer.authoring.compile import load_job
    >>> case = load_job("first-week/uncouple").case
    >>> supplies_of(case, dict(case.start.lines_on))["generator"]
    'power_beyond'
    """
    found: dict[str, str] = {}
    for hose_name, port_name in lines.items():
        hose, port = case.hose(hose_name), case.port(port_name)
        if hose < 0 or port < 0:
            continue
        one, at = case.implement.hoses[hose], case.tractor.ports[port]
        if one.role in ("pressure", "extend", "shaft"):
            kind = {"pb_pressure": POWER_BEYOND, "pto": SHAFT}.get(at.kind, "")
            supply = kind or (case.tractor.valves[at.valve].name if at.valve >= 0 else "")
            if supply:
                found[case.implement.functions[one.function].name] = supply
    return found


def worked_out(case: Case) -> dict[str, str]:
    """Return a choice of supplies under which every hose fits, is free and reaches; functions that find none
    are left out of it.

    Power beyond goes to what brings a sense line, sections in the order of the file, the first choice that
    leaves one for every function behind it.

    >>> from trainer.authoring.compile import load_job
    >>> worked_out(load_job("first-week/couple").case)
    {'fan': 'v1', 'frame_lift': 'v2', 'markers': 'v3', 'generator': 'power_beyond'}
    """
    state = backed_up(case)
    best: dict[str, str] = {}

    def fits(chosen: Mapping[str, str]) -> bool:
        faults: list[str] = []
        ports = ports_for(case, chosen, lambda *said: faults.append(said[0]))
        return not faults and all(reaches(case, state, hose, port) for hose, port in ports.items())

    def search(index: int, chosen: dict[str, str]) -> bool:
        nonlocal best
        if len(chosen) > len(best):
            best = dict(chosen)
        if index == len(case.implement.functions):
            return len(chosen) == index
        name = case.implement.functions[index].name
        for supply in choices(case, index):
            if supply in chosen.values():
                continue
            more = {**chosen, name: supply}
            if fits(more) and search(index + 1, more):
                return True
        return False

    search(0, {})
    return best


def backed_up(case: Case) -> State:
    """Return the start with the two machines at working distance, which is where hoses have to reach."""
    return replace(engine.start(case), gap_um=0)


def reaches(case: Case, state: State, hose_name: str, port_name: str) -> bool:
    """Whether a hose reaches a port and lies in a wide enough bend there, the hitch at its top."""
    hose, port, top_um = case.hose(hose_name), case.port(port_name), micro(case.tractor.hitch_high_m)
    data = case.implement.hoses[hose]
    if data.role == "shaft":
        return True
    if readings.hose_short_um(case, state, hose, port, top_um) > 0:
        return False
    return readings.hose_bend_um(case, state, hose, port, top_um) >= micro(data.least_bend_m)
