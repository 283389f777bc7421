"""What a coupling needs against what the tractor has: oil by phase of the work, weight, current.

The sums behind a plan. Oil goes through the very solver that the yard runs on (`circuits.solve`), with every
line on its proper port and every dial at what its function needs, so that the plan and the yard cannot
disagree. Nothing here looks at what a trainee did.

Phases: `transport` (frame lifted, markers, wings and booms folded for the road, motors at rest), `working`
(motors run), `headland` (motors run while the frame lifts, the markers fold and gates move), `headland_idle`
(the same with the engine let down to idle) and `cold` (working with the oil as the yard is found, where that
is colder). Where a shaft can stand in for the hoses of a function, each phase in which it runs is shown both
ways.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from trainer.core import balance, circuits, electrics, readings
from trainer.core import hydraulics as hyd
from trainer.core.actions import from_line
from trainer.core.case import MOTOR_KINDS, Case, Function
from trainer.core.units import RAD_S_PER_REV_MIN

WORKING_OIL_C = 50.0
"""Middle of the range of oil temperature called good (published: 38 to 60 degC)."""

_ON_THE_ROAD = ("lift", "marker", "fold")
_AT_THE_HEADLAND = ("lift", "marker", "cylinder")


@dataclass(frozen=True, slots=True)
class Draw:
    """One function in one phase. Pa, m3/s, rev/min, s; None where a figure means nothing for it.

    `supply` names the port it draws from, `by` is `oil` or `shaft`. `dial` is the setting of its section that
    gives what it needs, in steps; None on power beyond and by shaft. `time_s` is one full stroke.
    """

    function: str
    title: str
    kind: str
    by: str
    supply: str
    dial: float | None
    needs_m3_s: float
    asked_m3_s: float
    got_m3_s: float
    pressure_pa: float
    return_pa: float
    return_limit_pa: float | None
    case_pa: float | None
    case_limit_pa: float | None
    speed_rev_min: float | None
    speed_band_rev_min: tuple[float, float] | None
    time_s: float | None
    longest_s: float | None


@dataclass(frozen=True, slots=True)
class Phase:
    """All functions that run together at one engine speed and oil temperature."""

    name: str
    by: str
    """How a function that hoses or a shaft can drive is driven: `oil` or `shaft`; '' where there is none."""
    engine_rev_min: float
    oil_c: float
    asked_m3_s: float
    available_m3_s: float
    got_m3_s: float
    pump_pa: float
    heat_w: float
    draws: tuple[Draw, ...]

    @property
    def short_m3_s(self) -> float:
        """Flow asked for and not there; nought where there is enough."""
        return max(0.0, self.asked_m3_s - self.available_m3_s)


@dataclass(frozen=True, slots=True)
class AxleLoad:
    """Axle loads in kg at one ballast; `front_share` is of the tractor's own mass."""

    ballast_kg: int
    raised: bool
    front_kg: float
    rear_kg: float
    front_share: float
    enough: bool


@dataclass(frozen=True, slots=True)
class PlugLoad:
    """Current through one plug in A. `offered_a` is None where no figure is known for its form."""

    plug: str
    tag: str
    role: str
    current_a: float
    offered_a: float | None
    source: str


@dataclass(frozen=True, slots=True)
class Budget:
    phases: tuple[Phase, ...]
    axles: tuple[AxleLoad, ...]
    front_share_limit: float
    least_ballast_kg: float
    plugs: tuple[PlugLoad, ...]
    supply_hold_s: float
    """How long the plugs stay live after key off."""


def budget(case: Case) -> Budget:
    """The whole plan of a case: every phase, every ballast step, every plug."""
    tractor = case.tractor
    return Budget(
        phases(case),
        tuple(
            axle_load(case, ballast, raised)
            for raised in (False, True)
            for ballast in tractor.ballast_steps_kg
        ),
        case.limits.front_share,
        least_ballast_kg(case),
        plug_loads(case),
        electrics.supply_hold_s(tractor.supply_hold_s, case.implement.save_time_s, tractor.supply_cap_s),
    )


def least_ballast_kg(case: Case) -> float:
    """Front ballast in kg that leaves the wanted share in front with the implement raised; 0 where none is
    needed. A kilogram of ballast adds (a + L) / L kilograms in front."""
    tractor = case.tractor
    bare, _ = readings.axle_loads_kg(case, 0.0, True)
    wanted = case.limits.front_share * tractor.mass_kg - bare
    return max(0.0, wanted * tractor.wheelbase_m / (tractor.ballast_arm_m + tractor.wheelbase_m))


def axle_load(case: Case, ballast_kg: int, raised: bool) -> AxleLoad:
    """Axle loads with this front ballast, the implement raised or on the ground."""
    front, rear = readings.axle_loads_kg(case, ballast_kg, raised)
    share = balance.front_share(front, case.tractor.mass_kg)
    return AxleLoad(ballast_kg, raised, front, rear, share, share >= case.limits.front_share)


def plug_loads(case: Case) -> tuple[PlugLoad, ...]:
    """Current of each plug against what the tractor must at least offer through a plug of that form."""
    loads = []
    for plug in case.implement.plugs:
        if plug.role == "bus":
            figure = electrics.POWER_A
            loads.append(
                PlugLoad(
                    plug.name,
                    plug.tag,
                    plug.role,
                    case.implement.bus_current_a,
                    figure.value,
                    f"{figure.source} ({figure.standing})",
                )
            )
        else:
            current_a = case.implement.lighting_current_a
            loads.append(PlugLoad(plug.name, plug.tag, plug.role, current_a, None, ""))
    return tuple(loads)


def proper_ports(case: Case) -> tuple[int, ...]:
    """Port that each hose belongs on, -1 where the tractor has none for it.

    What the job couples (or is found coupled) comes first; a hose the job leaves off goes to the first free
    port of the right kind and form, a cylinder's two hoses to one section.
    """
    ports = [-1] * len(case.implement.hoses)
    named = list(case.start.lines_on)
    for step in case.steps:
        for line in step.actions:
            action = from_line(line)
            if action.word == "couple":
                named.append((action.thing, action.place))
    for hose_name, port_name in named:
        hose, port = case.hose(hose_name), case.port(port_name)
        if hose >= 0 and port >= 0 and ports[hose] < 0:
            ports[hose] = port
    for hose in range(len(ports)):
        if ports[hose] < 0:
            ports[hose] = _fitting_port(case, hose, ports)
    return tuple(ports)


def _fitting_port(case: Case, hose: int, taken: list[int]) -> int:
    one = case.implement.hoses[hose]
    has_sense = case.hose_of(one.function, "sense") >= 0
    kinds = {
        "pressure": ("pb_pressure",) if has_sense else ("extend",),
        "return": ("pb_return",) if has_sense else ("free_return", "retract"),
        "drain": ("case_drain",),
        "sense": ("pb_sense",),
        "shaft": ("pto",),
    }.get(one.role, (one.role,))
    partner = case.hose_of(one.function, "extend") if one.role == "retract" else -1
    section = case.tractor.ports[taken[partner]].valve if partner >= 0 and taken[partner] >= 0 else -1
    used = [case.tractor.ports[at].valve for at in taken if at >= 0]
    for kind in kinds:
        for index, port in enumerate(case.tractor.ports):
            if port.kind != kind or port.form != one.form or index in taken:
                continue
            if one.role == "retract" and port.valve != section:
                continue
            if one.role != "retract" and port.valve >= 0 and port.valve in used:
                continue
            return index
    return -1


def phases(case: Case) -> tuple[Phase, ...]:
    """Every phase, each with a function that a shaft could drive shown by oil and by shaft."""
    work, idle = case.engine_work_rev_min, case.tractor.idle_rev_min
    together = MOTOR_KINDS + _AT_THE_HEADLAND
    plan = [
        ("transport", _ON_THE_ROAD, work, WORKING_OIL_C),
        ("working", MOTOR_KINDS, work, WORKING_OIL_C),
        ("headland", together, work, WORKING_OIL_C),
        ("headland_idle", together, idle, WORKING_OIL_C),
    ]
    if case.start.oil_c < WORKING_OIL_C:
        plan.append(("cold", MOTOR_KINDS, work, case.start.oil_c))
    found = []
    for name, kinds, engine_rev_min, oil_c in plan:
        either = any(
            one.is_motor and shaft_can_drive(case, index)
            for index, one in enumerate(case.implement.functions)
        )
        found += [
            _phase(case, name, kinds, by, engine_rev_min, oil_c)
            for by in (("oil", "shaft") if either else ("",))
        ]
    return tuple(found)


def _phase(
    case: Case, name: str, kinds: tuple[str, ...], by: str, engine_rev_min: float, oil_c: float
) -> Phase:
    tractor, functions = case.tractor, case.implement.functions
    ports = list(proper_ports(case))
    shafts = tuple(by == "shaft" and shaft_can_drive(case, index) for index in range(len(functions)))
    for hose, data in enumerate(case.implement.hoses):
        if shafts[data.function] != (data.role == "shaft"):
            ports[hose] = -1
    levers = ["block"] * len(tractor.valves)
    dials = [0.0] * len(tractor.valves)
    running = []
    for index, function in enumerate(functions):
        hose = case.hose_of(index, _driving_role(function, shafts[index]))
        port = ports[hose] if hose >= 0 else -1
        kind, valve = (tractor.ports[port].kind, tractor.ports[port].valve) if port >= 0 else ("", -1)
        # What hangs on power beyond runs whenever the pump does.
        if function.kind not in kinds and kind != "pb_pressure":
            continue
        running.append((index, port))
        if valve >= 0:
            levers[valve] = kind
            dials[valve] = circuits.dial_for_flow(case, valve, function.needs_m3_s)
    solution = circuits.solve(
        case,
        circuits.Plumbing(
            engine_rev_min=engine_rev_min,
            oil_c=oil_c,
            hose_at=tuple(ports),
            levers=tuple(levers),
            dials=tuple(dials),
            valves_live=True,
            controls_live=True,
            speeds_rad_s=(0.0,) * len(functions),
            strokes=(0.5,) * len(functions),
            locked=False,
        ),
    )
    draws = tuple(
        _by_shaft(case, index, port, engine_rev_min)
        if shafts[index]
        else _by_oil(case, index, port, solution.functions[index], dials)
        for index, port in running
    )
    return Phase(
        name,
        by,
        engine_rev_min,
        oil_c,
        math.fsum(draw.asked_m3_s for draw in draws),
        solution.available_m3_s,
        solution.pump_m3_s,
        solution.pump_pa,
        solution.heat_w,
        draws,
    )


def shaft_can_drive(case: Case, index: int) -> bool:
    """Whether a drive shaft can stand in for the hoses of a function."""
    return case.implement.functions[index].pto_rev_min > 0.0 and case.hose_of(index, "shaft") >= 0


def _driving_role(function: Function, by_shaft: bool) -> str:
    if by_shaft:
        return "shaft"
    if function.is_motor:
        return "pressure"
    return "retract" if _moves_in(function) else "extend"


def _moves_in(function: Function) -> bool:
    """Whether a cylinder's way in these phases is inwards: markers and what is folded in for the road. The
    frame lift and what rests folded out extend."""
    return function.kind == "marker" or (function.kind == "fold" and function.rest == "in")


def _by_shaft(case: Case, index: int, port: int, engine_rev_min: float) -> Draw:
    function, tractor = case.implement.functions[index], case.tractor
    shaft_rev_min = tractor.pto_rev_min * engine_rev_min / tractor.rated_rev_min
    return Draw(
        function=function.name,
        title=function.title,
        kind=function.kind,
        by="shaft",
        supply=tractor.ports[port].name if port >= 0 else "",
        dial=None,
        needs_m3_s=0.0,
        asked_m3_s=0.0,
        got_m3_s=0.0,
        pressure_pa=0.0,
        return_pa=0.0,
        return_limit_pa=None,
        case_pa=None,
        case_limit_pa=None,
        speed_rev_min=function.rated_rev_min * shaft_rev_min / function.pto_rev_min if port >= 0 else 0.0,
        speed_band_rev_min=(function.low_rev_min, function.high_rev_min),
        time_s=None,
        longest_s=None,
    )


def _by_oil(case: Case, index: int, port: int, flow: circuits.Flow, dials: list[float]) -> Draw:
    function = case.implement.functions[index]
    got = abs(flow.flow_m3_s)
    drained = function.is_motor and case.hose_of(index, "drain") >= 0
    area = function.rod_side_area_m2 if _moves_in(function) else function.bore_area_m2
    valve = case.tractor.ports[port].valve if port >= 0 else -1
    return Draw(
        function=function.name,
        title=function.title,
        kind=function.kind,
        by="oil",
        supply=case.tractor.ports[port].name if port >= 0 else "",
        dial=dials[valve] if valve >= 0 else None,
        needs_m3_s=function.needs_m3_s,
        asked_m3_s=flow.asked_m3_s,
        got_m3_s=got,
        pressure_pa=flow.pressure_pa,
        return_pa=flow.return_pa,
        return_limit_pa=function.return_limit_pa if function.is_motor else None,
        case_pa=flow.case_pa if drained else None,
        case_limit_pa=function.case_limit_pa if drained else None,
        speed_rev_min=circuits.spin_rad_s(got, function) / RAD_S_PER_REV_MIN if function.is_motor else None,
        speed_band_rev_min=(function.low_rev_min, function.high_rev_min) if function.is_motor else None,
        time_s=None if function.is_motor else hyd.cylinder_stroke_time_s(function.stroke_m, area, got),
        longest_s=None if function.is_motor else function.longest_s,
    )
