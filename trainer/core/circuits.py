"""Who is connected to whom, and what the oil does about it in one tick.

The pages of the handbook (`hydraulics`) know single parts. This module walks from each function of the
implement through its hoses to the ports they were pushed onto, decides what that makes of the function
(driven, reversed, stalled, coasting, shut in), lets the pump share its oil and gives back pressures, flows
and heat. It neither knows nor cares whether a connection is right.

Simplifications, stated: lines are quasi-static (their pressure settles within a tick); the hitch has its own
oil; steering takes none while the pair stands still; a motor's load follows the speed its oil would give it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache, partial

from trainer.core import hydraulics as hyd
from trainer.core.case import Case, Function, Port
from trainer.core.units import RAD_S_PER_REV_MIN

OPEN_CENTRE = "open_centre"
"""The third kind of hydraulics beside the two load-sensing ones: a fixed pump whose oil goes round through
the valves, and of what is wanted the easiest load comes first."""
SHUT, SUPPLY, RETURN, OPEN, DRAIN, SENSE = "shut", "supply", "return", "open", "drain", "sense"


_STANDING_ROLES = {
    "pb_pressure": SUPPLY,
    "pb_return": RETURN,
    "free_return": RETURN,
    "case_drain": DRAIN,
    "pb_sense": SENSE,
}
"""What the ports do that no lever changes."""


@dataclass(frozen=True, slots=True)
class Flow:
    """What one function gets and feels in this tick.

    `course`: `idle`, `driven`, `reversed`, `stalled`, `coasting`, `shut_in`, `short_circuit`.
    `flow_m3_s` is signed by direction (retracting is negative). `case_pa` is meaningful for motors.
    """

    course: str = "idle"
    asked_m3_s: float = 0.0
    flow_m3_s: float = 0.0
    pressure_pa: float = 0.0
    return_pa: float = 0.0
    case_pa: float = 0.0
    rod_side_pa: float = 0.0


@dataclass(frozen=True, slots=True)
class Solution:
    pump_pa: float
    pump_m3_s: float
    available_m3_s: float
    sense_on_pressure: bool
    heat_w: float
    functions: tuple[Flow, ...]
    ports_pa: tuple[float | None, ...]
    """Pressure at each port this tick; None where the port is shut in and keeps what it has."""


@dataclass(frozen=True, slots=True)
class Plumbing:
    """What the solver needs to know of the moment."""

    engine_rev_min: float
    oil_c: float
    hose_at: tuple[int, ...]
    levers: tuple[str, ...]
    dials: tuple[float, ...]
    valves_live: bool
    controls_live: bool
    """The plug that feeds markers and frame control is home and has power."""
    speeds_rad_s: tuple[float, ...]
    """Above 0 where a motor turns; how fast does not matter here."""
    strokes: tuple[float, ...]
    """Position of each cylinder function as a share of its stroke; only its ends matter here."""
    locked: bool
    """The mechanical lift lock holds the lift cylinders."""
    parts_locked: tuple[bool, ...] = ()
    """Per function: its own mechanical lock is in; left out, none is."""
    bus_live: bool = True
    """The plug that carries the bus is home and has power."""


def dial_flow_m3_s(case: Case, valve: int, dial: float) -> float:
    """Flow a section asks for at a dial position (steps, straight between the table's points)."""
    table = case.tractor.valves[valve].dial_flow_m3_s
    dial = min(max(dial, 0.0), float(len(table) - 1))
    low = min(int(dial), len(table) - 2)
    return table[low] + (table[low + 1] - table[low]) * (dial - low)


def dial_for_flow(case: Case, valve: int, flow_m3_s: float) -> float:
    """Dial position (steps) at which a section gives a flow; its top where the table never reaches it."""
    table = case.tractor.valves[valve].dial_flow_m3_s
    for step in range(len(table) - 1):
        if table[step] <= flow_m3_s <= table[step + 1]:
            return step + (flow_m3_s - table[step]) / (table[step + 1] - table[step])
    return float(len(table) - 1)


def pump_available_m3_s(case: Case, engine_rev_min: float) -> float:
    """All the pump can give at an engine speed."""
    tractor = case.tractor
    return hyd.pump_flow_m3_s(
        tractor.pump_displacement_m3,
        engine_rev_min * tractor.pump_ratio / 60.0,
        tractor.pump_volumetric_efficiency,
    )


def back_pressure_pa(case: Case, port: Port, flow_m3_s: float) -> float:
    """Pressure at a port that leads back to tank, with this flow through it."""
    tractor = case.tractor
    if port.kind == "free_return":
        at_full, full = tractor.free_return_pa_at_full, tractor.full_flow_m3_s
    elif port.kind == "pb_return":
        at_full, full = tractor.power_beyond_return_pa_at_full, tractor.full_flow_m3_s
    elif port.valve >= 0:
        valve = tractor.valves[port.valve]
        at_full, full = valve.return_loss_pa, valve.dial_flow_m3_s[-1]
    else:
        at_full, full = 0.0, tractor.full_flow_m3_s
    return tractor.tank_pressure_pa + at_full * (flow_m3_s / full) ** 2


def port_role(case: Case, plumbing: Plumbing, port: int) -> str:
    """What a port does at this moment: supply, return, open (floating), shut, drain or sense."""
    if port < 0:
        return SHUT
    kind, valve = case.tractor.ports[port].kind, case.tractor.ports[port].valve
    if kind in ("extend", "retract"):
        lever = plumbing.levers[valve] if plumbing.valves_live else "block"
        if lever == "float":
            return OPEN
        if lever == "block":
            return SHUT
        return SUPPLY if lever == kind else RETURN
    return _STANDING_ROLES.get(kind, SHUT)


def motor_inlet_pa(
    case: Case, function: Function, hose: int, port: Port, flow: float, oil_c: float, return_pa: float
) -> float:
    """Pressure the tractor's side must hold to push `flow` through a motor and its pressure hose."""
    return return_pa + motor_drop_pa(function, flow) + hose_loss_pa(case, hose, port, flow, oil_c)


def motor_drop_pa(function: Function, flow: float) -> float:
    """What a motor takes of the pressure at a flow: its load grows with the square of the speed."""
    speed = hyd.motor_speed_rev_s(flow, function.displacement_m3, function.volumetric_efficiency)
    torque = hyd.fan_torque_n_m(function.rated_torque_n_m, function.rated_rev_min / 60.0, speed)
    return hyd.motor_pressure_drop_pa(torque, function.displacement_m3, function.mechanical_efficiency)


def hose_loss_pa(case: Case, hose: int, port: Port, flow: float, oil_c: float) -> float:
    """Loss in a hose and its coupler at a flow."""
    return _hose_law(case, hose, port, oil_c)(flow)


def _hose_law(case: Case, hose: int, port: Port, oil_c: float) -> Callable[[float], float]:
    """How the loss in a hose and its coupler goes with the flow."""
    along = hyd.line_law(case.implement.hoses[hose].line, case.tractor.oil, oil_c)
    return lambda flow: along(flow) + coupler_loss_pa(case, hose, port, flow) if flow > 0.0 else 0.0


def coupler_loss_pa(case: Case, hose: int, port: Port, flow: float) -> float:
    """Loss over a coupler; one that is not pushed home opens its poppets by a share only, and what its
    edges take grows with the square of the speed through them."""
    opening = case.implement.hoses[hose].opening_share
    return hyd.coupler_loss_pa(flow, port.rated_flow_m3_s, port.rated_loss_pa) / opening**2


def return_at_motor_pa(case: Case, hose: int, port: int, flow: float, oil_c: float) -> float:
    """Pressure at a motor's outlet when its return hose leads to `port` and that port leads to tank."""
    end = case.tractor.ports[port]
    return back_pressure_pa(case, end, flow) + hose_loss_pa(case, hose, end, flow, oil_c)


_Law = Callable[[float], tuple[float, float]]


@dataclass(slots=True)
class _Want:
    """A function that asks the pump for oil."""

    function: int
    port: int
    ahead: bool
    asked: float
    forward: bool
    dial: float
    """What the dial asks for; `asked` is what the pump's cut-off lets through of it."""
    load: float = 0.0
    back: float = 0.0
    """Pressure the tractor's port must hold, and that at the function's outlet, at the flow asked."""
    law: _Law | None = None
    """Both pressures at any flow; put together when first asked for."""


def solve(case: Case, plumbing: Plumbing) -> Solution:
    """Pressures and flows of every function, port and the pump for one tick."""
    tractor = case.tractor
    available = pump_available_m3_s(case, plumbing.engine_rev_min)
    turning = plumbing.engine_rev_min > 0.0
    roles = [port_role(case, plumbing, port) for port in range(len(tractor.ports))]
    courses: list[str] = []
    wants: list[_Want] = []
    sense_on_pressure = any(
        hose.role == "sense" and at >= 0 and tractor.ports[at].kind == "pb_pressure"
        for hose, at in zip(case.implement.hoses, plumbing.hose_at, strict=True)
    )
    for index, function in enumerate(case.implement.functions):
        if function.is_motor:
            course, want = _motor_course(case, plumbing, roles, index, available, turning, sense_on_pressure)
        else:
            course, want = _cylinder_course(case, plumbing, roles, index, available, turning)
        courses.append(course)
        if want is not None:
            wants.append(want)
    wants.sort(key=lambda want: not want.ahead)
    for want in wants:
        _within_cutoff(case, plumbing, want)
        if want.asked <= 0.0:
            # Not even standing oil moves it: the section pushes on a dead end.
            courses[want.function] = "stalled"
    wants = [want for want in wants if want.asked > 0.0]
    got, short_pa = _share(case, plumbing, wants, available)
    dead_ended = turning and (
        sense_on_pressure
        or any(course == "stalled" for course in courses)
        or _supplies_nothing(case, plumbing, roles)
    )
    pump_pa, pump_flow = _pump(case, plumbing, turning, dead_ended, wants, got, short_pa, available)
    flows, work_w = _flows(case, plumbing, roles, courses, wants, got, pump_pa)
    ports = _ports(case, plumbing, roles, flows, pump_pa)
    leak = available * (1.0 / tractor.pump_volumetric_efficiency - 1.0)
    heat = max(0.0, pump_pa * (pump_flow + leak) - work_w)
    return Solution(pump_pa, pump_flow, available, sense_on_pressure, heat, flows, ports)


def _share(
    case: Case, plumbing: Plumbing, wants: list[_Want], available: float
) -> tuple[tuple[float, ...], float | None]:
    """What each gets of the pump's flow, and the pressure sections before the edge are short at (else None).

    Whoever hangs on power beyond comes first. Where sections compensated before the metering edge ask for
    more than there is, the pump's pressure falls until what it pushes through them sums up to what there is:
    the lightest load keeps all it asks for, the heaviest takes what is left.
    """
    asked = [want.asked for want in wants]
    first = len([want for want in wants if want.ahead])
    short = math.fsum(asked) > available
    if not short or case.tractor.compensation == "flow_sharing":
        loads = [want.load for want in wants]
        return hyd.split_flow(asked, loads, available, case.tractor.compensation_kind, first), None
    ahead = hyd.split_flow(asked[:first], [0.0] * first, available, "before_edge", first) if first else ()
    left = available - math.fsum(ahead)
    sections = wants[first:]
    if math.fsum(asked[first:]) <= left:
        return (*ahead, *asked[first:]), None

    def taken(pressure: float) -> list[float]:
        return [
            hyd.flow_at_cutoff_m3_s(partial(_felt_pa, case, plumbing, want), pressure, want.asked)
            for want in sections
        ]

    most = max(_felt_pa(case, plumbing, want, want.asked) for want in sections)
    pressure = hyd.common_pressure_pa(lambda p: math.fsum(taken(p)), left, most)
    return (*ahead, *taken(pressure)), pressure


def _pump(
    case: Case,
    plumbing: Plumbing,
    turning: bool,
    dead_ended: bool,
    wants: list[_Want],
    got: tuple[float, ...],
    short_pa: float | None,
    available: float,
) -> tuple[float, float]:
    """(pressure at the pump, flow it gives) with these loads on it."""
    tractor = case.tractor
    if not turning:
        return 0.0, 0.0
    felt = [
        _felt_pa(case, plumbing, want, flow)
        for want, flow in zip(wants, got, strict=True)
        if flow > 0.0 and (want.ahead or short_pa is None)
    ]
    if short_pa is not None:
        felt.append(short_pa)
    if tractor.compensation == OPEN_CENTRE:
        # A fixed pump gives all it has. What nobody takes comes home at the pressure of what is moved; with
        # nothing moved it goes round at little pressure, or over the relief where a section pushes on a
        # dead end.
        resting = tractor.pump_cutoff_pa if dead_ended else tractor.pump_standby_pa
        return (max(felt) if felt else resting), available
    if dead_ended:
        felt.append(tractor.pump_cutoff_pa)
    # The margin is in what is felt: it falls with the flow a starved section gets.
    pressure = hyd.pump_pressure_pa(
        max(felt) if felt else None, 0.0, tractor.pump_standby_pa, tractor.pump_cutoff_pa
    )
    return pressure, math.fsum(got)


def _felt_pa(case: Case, plumbing: Plumbing, want: _Want, flow: float) -> float:
    """Pressure the pump must hold for a flow: the load's, and what the set edge takes of the margin."""
    load = want.load if flow == want.asked else _load_pa(case, plumbing, want, flow)[0]
    return load + _edge_pa(case, want, flow)


def _edge_pa(case: Case, want: _Want, flow: float) -> float:
    """Drop over a metering edge set for the flow at the dial: the margin there, falling with the square."""
    if case.tractor.compensation == OPEN_CENTRE:
        return 0.0
    return case.tractor.pump_margin_pa * (flow / want.dial) ** 2


solved = lru_cache(maxsize=256)(solve)
"""`solve`, remembering its last answers: most ticks ask the same as the one before."""


def _supplies_nothing(case: Case, plumbing: Plumbing, roles: list[str]) -> bool:
    """Whether a section is held open onto a port with no hose: that drives the pump to its cut-off."""
    for index, role in enumerate(roles):
        if role == SUPPLY and case.tractor.ports[index].valve >= 0 and index not in plumbing.hose_at:
            return True
    return False


def _ports_of(case: Case, plumbing: Plumbing, index: int, *roles: str) -> tuple[int, ...]:
    found = []
    for role in roles:
        hose = case.hose_of(index, role)
        found.append(plumbing.hose_at[hose] if hose >= 0 else -1)
    return tuple(found)


def _asked(
    case: Case, plumbing: Plumbing, port: int, function: Function, sensed: bool, available: float
) -> tuple[float, bool]:
    """Flow asked through a supplying port, and whether it is taken ahead of the sections."""
    if case.tractor.ports[port].kind == "pb_pressure":
        return (function.needs_m3_s if sensed else 0.0), True
    valve = case.tractor.ports[port].valve
    if plumbing.dials[valve] >= case.tractor.valves[valve].top:
        return max(available, dial_flow_m3_s(case, valve, plumbing.dials[valve])), False
    return dial_flow_m3_s(case, valve, plumbing.dials[valve]), False


def _motor_course(
    case: Case,
    plumbing: Plumbing,
    roles: list[str],
    index: int,
    available: float,
    turning: bool,
    sense_on_pressure: bool,
) -> tuple[str, _Want | None]:
    function = case.implement.functions[index]
    pressure, back, sense = _ports_of(case, plumbing, index, "pressure", "return", "sense")
    role_in = roles[pressure] if pressure >= 0 else SHUT
    role_out = roles[back] if back >= 0 else SHUT
    spinning = plumbing.speeds_rad_s[index] > 0.0
    leads_away = (RETURN, OPEN, DRAIN)
    if role_in == SUPPLY and turning:
        if role_out not in leads_away or not _controlled(plumbing, function):
            return "stalled", None
        sensed = sense_on_pressure or (sense >= 0 and case.tractor.ports[sense].kind == "pb_sense")
        asked, ahead = _asked(case, plumbing, pressure, function, sensed, available)
        if asked <= 0.0:
            return ("coasting" if spinning else "idle"), None
        return "driven", _Want(index, pressure, ahead, asked, True, asked)
    if role_out == SUPPLY and turning:
        if function.one_way_return or role_in not in leads_away:
            return "stalled", None
        asked, ahead = _asked(case, plumbing, back, function, True, available)
        if asked <= 0.0:
            return "idle", None
        return "reversed", _Want(index, back, ahead, asked, False, asked)
    if not spinning:
        return "idle", None
    if role_in == SHUT and pressure >= 0 and case.tractor.ports[pressure].valve >= 0:
        return "shut_in", None
    return "coasting", None


def _controlled(plumbing: Plumbing, function: Function) -> bool:
    """Whether the plug that a function's own valve needs is home and has power."""
    live = {"lighting": plumbing.controls_live, "bus": plumbing.bus_live}
    return live.get(function.power_from, True)


def _cylinder_course(
    case: Case,
    plumbing: Plumbing,
    roles: list[str],
    index: int,
    available: float,
    turning: bool,
) -> tuple[str, _Want | None]:
    function = case.implement.functions[index]
    if not function.is_cylinder:
        return "idle", None
    out, back = _ports_of(case, plumbing, index, "extend", "retract")
    role_out = roles[out] if out >= 0 else SHUT
    role_back = roles[back] if back >= 0 else SHUT
    if turning and SUPPLY in (role_out, role_back):
        forward = role_out == SUPPLY
        port, other = (out, role_back) if forward else (back, role_out)
        stroke = plumbing.strokes[index]
        at_end = stroke >= 1.0 if forward else stroke <= 0.0
        held = plumbing.locked and function.kind == "lift"
        held = held or (bool(plumbing.parts_locked) and plumbing.parts_locked[index])
        if other not in (RETURN, OPEN, DRAIN) or at_end or held or not _controlled(plumbing, function):
            return "stalled", None
        asked, ahead = _asked(case, plumbing, port, function, True, available)
        if asked <= 0.0:
            return "idle", None
        return ("driven" if forward else "reversed"), _Want(index, port, ahead, asked, forward, asked)
    if role_out == OPEN and role_back == OPEN:
        return "coasting", None
    return "idle", None


def _return_port(case: Case, plumbing: Plumbing, want: _Want) -> tuple[int, int]:
    """(hose, port) through which the oil of a driven function goes home."""
    function = case.implement.functions[want.function]
    role = (
        ("return" if want.forward else "pressure")
        if function.is_motor
        else ("retract" if want.forward else "extend")
    )
    hose = case.hose_of(want.function, role)
    return hose, plumbing.hose_at[hose]


def _load_pa(case: Case, plumbing: Plumbing, want: _Want, flow: float) -> tuple[float, float]:
    """(pressure the section must hold at its port, pressure at the function's outlet) at a flow."""
    if want.law is None:
        function = case.implement.functions[want.function]
        want.law = (_motor_law if function.is_motor else _cylinder_law)(case, plumbing, want, function)
    return want.law(flow)


def _motor_law(case: Case, plumbing: Plumbing, want: _Want, function: Function) -> _Law:
    hose_back, port_back = _return_port(case, plumbing, want)
    hose_in, oil_c = plumbing.hose_at.index(want.port), plumbing.oil_c
    end = case.tractor.ports[port_back]
    there = _hose_law(case, hose_in, case.tractor.ports[want.port], oil_c)
    home_again = _hose_law(case, hose_back, end, oil_c)
    drained = _to_case_m3_s(case, plumbing, want.function, 1.0) > 0.0

    def law(flow: float) -> tuple[float, float]:
        home = flow - _to_case_m3_s(case, plumbing, want.function, flow) if drained else flow
        back_pa = back_pressure_pa(case, end, home) + home_again(home)
        return back_pa + motor_drop_pa(function, flow) + there(flow), back_pa

    return law


def _cylinder_law(case: Case, plumbing: Plumbing, want: _Want, function: Function) -> _Law:
    hose_back, port_back = _return_port(case, plumbing, want)
    hose_in, oil_c = plumbing.hose_at.index(want.port), plumbing.oil_c
    end = case.tractor.ports[port_back]
    there = _hose_law(case, hose_in, case.tractor.ports[want.port], oil_c)
    home_again = _hose_law(case, hose_back, end, oil_c)
    drive, other = (
        (function.bore_area_m2, function.rod_side_area_m2)
        if want.forward
        else (function.rod_side_area_m2, function.bore_area_m2)
    )
    load = function.load_n if want.forward else function.back_load_n

    def law(flow: float) -> tuple[float, float]:
        home = flow * other / drive
        back_pa = back_pressure_pa(case, end, home) + home_again(home)
        return max(0.0, (load + back_pa * other) / drive) + there(flow), back_pa

    return law


def _to_case_m3_s(case: Case, plumbing: Plumbing, function: int, flow: float) -> float:
    """Leakage that goes home through a motor's drain line instead of its return."""
    drain = case.hose_of(function, "drain")
    if drain < 0 or plumbing.hose_at[drain] < 0:
        return 0.0
    data = case.implement.functions[function]
    return hyd.motor_leakage_m3_s(flow, data.volumetric_efficiency) * data.case_share


def _within_cutoff(case: Case, plumbing: Plumbing, want: _Want) -> None:
    """Cut the flow asked to what the load lets through when the pump cannot go above its cut-off."""
    want.load, want.back = _load_pa(case, plumbing, want, want.asked)
    cutoff = case.tractor.pump_cutoff_pa
    if want.load + _edge_pa(case, want, want.asked) > cutoff:
        want.asked = hyd.flow_at_cutoff_m3_s(
            lambda flow: _load_pa(case, plumbing, want, flow)[0] + _edge_pa(case, want, flow),
            cutoff,
            want.dial,
        )
        want.load, want.back = _load_pa(case, plumbing, want, want.asked)


def _flows(
    case: Case,
    plumbing: Plumbing,
    roles: list[str],
    courses: list[str],
    wants: list[_Want],
    got: tuple[float, ...],
    pump_pa: float,
) -> tuple[tuple[Flow, ...], float]:
    given = {want.function: (want, flow) for want, flow in zip(wants, got, strict=True)}
    flows: list[Flow] = []
    work: list[float] = []
    for index, (function, course) in enumerate(zip(case.implement.functions, courses, strict=True)):
        pressure = back = rod_side = flow = asked = 0.0
        if index in given:
            want, flow = given[index]
            asked = want.asked
            pressure, back = want.load, want.back
            if flow != want.asked:
                pressure, back = _load_pa(case, plumbing, want, flow)
            work.append(_work_w(function, want, flow))
            flow = flow if want.forward else -flow
        elif course == "stalled":
            pressure = pump_pa
            back, rod_side = _stalled(case, plumbing, roles, index, pump_pa)
        case_pa = 0.0
        if function.is_motor:
            case_pa = _case_pa(case, plumbing, roles, index, flow, pressure, pump_pa)
        flows.append(Flow(course, asked, flow, pressure, back, case_pa, rod_side))
    return tuple(flows), math.fsum(work)


def _work_w(function: Function, want: _Want, flow: float) -> float:
    """Useful power a driven function takes out of the oil."""
    if function.is_motor:
        speed = hyd.motor_speed_rev_s(flow, function.displacement_m3, function.volumetric_efficiency)
        torque = hyd.fan_torque_n_m(function.rated_torque_n_m, function.rated_rev_min / 60.0, speed)
        return torque * 2.0 * math.pi * speed
    area = function.bore_area_m2 if want.forward else function.rod_side_area_m2
    return (function.load_n if want.forward else function.back_load_n) * flow / area


def _stalled(
    case: Case, plumbing: Plumbing, roles: list[str], index: int, pump_pa: float
) -> tuple[float, float]:
    """(pressure on the return side, pressure on the rod side) of a function that cannot move."""
    function = case.implement.functions[index]
    if function.is_motor:
        return pump_pa, 0.0
    out, back = _ports_of(case, plumbing, index, "extend", "retract")
    if out >= 0 and roles[out] == SUPPLY and (back < 0 or roles[back] == SHUT):
        # At the bottom of its stroke the cylinder does not carry the load yet.
        load = function.load_n if plumbing.strokes[index] > 0.0 else 0.0
        rod = hyd.shut_rod_side_pressure_pa(pump_pa, function.bore_area_m2, function.rod_side_area_m2, load)
        return 0.0, max(0.0, rod)
    return 0.0, 0.0


def _case_pa(
    case: Case,
    plumbing: Plumbing,
    roles: list[str],
    index: int,
    flow: float,
    inlet_pa: float,
    pump_pa: float,
) -> float:
    """Case pressure of a motor from wherever its drain line ends; 0 for a motor without a drain line."""
    function = case.implement.functions[index]
    hose = case.hose_of(index, "drain")
    if hose < 0:
        return 0.0
    at = plumbing.hose_at[hose]
    leakage = hyd.motor_leakage_m3_s(abs(flow), function.volumetric_efficiency) * function.case_share
    role = roles[at] if at >= 0 else SHUT
    if role == SHUT:
        # Nowhere to go: a third of a millilitre fills the case, and it follows the inlet.
        return inlet_pa if flow != 0.0 else 0.0
    port = case.tractor.ports[at]
    if role == SUPPLY:
        end = pump_pa
    elif role == SENSE:
        end = max(0.0, pump_pa - case.tractor.pump_margin_pa)
    else:
        through = 0.0
        for other, other_at in enumerate(plumbing.hose_at):
            if other_at == at and other != hose:
                through += abs(flow)
        end = back_pressure_pa(case, port, through)
    line = case.implement.hoses[hose].line
    return hyd.case_pressure_pa(end, leakage, line, case.tractor.oil, plumbing.oil_c)


def _ports(
    case: Case, plumbing: Plumbing, roles: list[str], flows: tuple[Flow, ...], pump_pa: float
) -> tuple[float | None, ...]:
    """Pressure at each port; None where it is shut in."""
    tractor = case.tractor
    at_port: dict[int, float] = {}
    for index, flow in enumerate(flows):
        for role in ("pressure", "return", "extend", "retract"):
            hose = case.hose_of(index, role)
            if hose < 0 or plumbing.hose_at[hose] < 0:
                continue
            port = plumbing.hose_at[hose]
            if roles[port] == SUPPLY:
                at_port[port] = flow.pressure_pa
            elif flow.course == "stalled" and roles[port] == SHUT:
                at_port[port] = max(flow.return_pa, flow.rod_side_pa)
    home = _home_m3_s(case, plumbing, flows)
    pressures: list[float | None] = []
    for index, port_data in enumerate(tractor.ports):
        role = roles[index]
        if port_data.kind == "pb_pressure":
            pressures.append(pump_pa)
        elif role == SUPPLY:
            if pump_pa <= 0.0:
                pressures.append(None)
            else:
                pressures.append(at_port.get(index, pump_pa))
        elif role == SHUT:
            pressures.append(at_port.get(index))
        elif role == SENSE:
            pressures.append(max(0.0, pump_pa - tractor.pump_margin_pa))
        else:
            pressures.append(back_pressure_pa(case, port_data, home.get(index, 0.0)))
    return tuple(pressures)


def _home_m3_s(case: Case, plumbing: Plumbing, flows: tuple[Flow, ...]) -> dict[int, float]:
    """What of the functions' oil comes home through each port."""
    home: dict[int, float] = {}
    for index, flow in enumerate(flows):
        if not flow.flow_m3_s:
            continue
        function, forward = case.implement.functions[index], flow.flow_m3_s > 0.0
        through = abs(flow.flow_m3_s)
        if function.is_motor:
            role = "return" if forward else "pressure"
            through -= _to_case_m3_s(case, plumbing, index, through)
        else:
            role = "retract" if forward else "extend"
            areas = (function.rod_side_area_m2, function.bore_area_m2)
            through *= areas[0] / areas[1] if forward else areas[1] / areas[0]
        hose = case.hose_of(index, role)
        port = plumbing.hose_at[hose] if hose >= 0 else -1
        home[port] = home.get(port, 0.0) + through
    return home


def spin_rad_s(flow_m3_s: float, function: Function) -> float:
    """Speed a motor settles at with this flow."""
    speed = hyd.motor_speed_rev_s(abs(flow_m3_s), function.displacement_m3, function.volumetric_efficiency)
    return speed * 2.0 * math.pi


def coast_constant_s(function: Function) -> tuple[float, float]:
    """(time constant in s, speed in rev/s it holds at) of a fan's coast-down."""
    omega = function.rated_rev_min * RAD_S_PER_REV_MIN
    power = function.rated_torque_n_m * omega
    return hyd.coast_time_constant_s(function.inertia_kg_m2, power, omega / (2 * math.pi)), omega / (
        2 * math.pi
    )
