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
from functools import lru_cache
from typing import NamedTuple

from trainer.core import hydraulics as hyd
from trainer.core.case import OIL_ROLES, Case, Function, Port
from trainer.core.rising import Rising
from trainer.core.units import RAD_S_PER_REV_MIN

OPEN_CENTRE = "open_centre"
"""The third kind of hydraulics beside the two load-sensing ones: a fixed pump whose oil goes round through
the valves, and of what is wanted the easiest load comes first."""
SHUT, SUPPLY, RETURN, OPEN, DRAIN, SENSE = "shut", "supply", "return", "open", "drain", "sense"


_LEADS_AWAY = (RETURN, OPEN, DRAIN)
_WORKING_HOSES = 4
"""The hoses among a function's ends that work it; the others drain and sense."""

_STANDING_ROLES = {
    "pb_pressure": SUPPLY,
    "pb_return": RETURN,
    "free_return": RETURN,
    "case_drain": DRAIN,
    "pb_sense": SENSE,
}
"""What the ports do that no lever changes."""


# Named tuples, not data classes: the solver makes several in each tick, and these cost a quarter.


class Flow(NamedTuple):
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


class Solution(NamedTuple):
    """Pressures and flows of one tick."""

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
    return _role(case, plumbing.levers if plumbing.valves_live else None, port)


def _role(case: Case, levers: tuple[str, ...] | None, port: int) -> str:
    if port < 0:
        return SHUT
    kind, valve = case.tractor.ports[port].kind, case.tractor.ports[port].valve
    if kind in ("extend", "retract"):
        lever = levers[valve] if levers else "block"
        if lever == "float":
            return OPEN
        if lever == "block":
            return SHUT
        return SUPPLY if lever == kind else RETURN
    return _STANDING_ROLES.get(kind, SHUT)


def motor_drop_pa(function: Function, flow: float) -> float:
    """What a motor takes of the pressure at a flow: its load grows with the square of the speed."""
    speed = hyd.motor_speed_rev_s(flow, function.displacement_m3, function.volumetric_efficiency)
    torque = hyd.fan_torque_n_m(function.rated_torque_n_m, function.rated_rev_min / 60.0, speed)
    return hyd.motor_pressure_drop_pa(torque, function.displacement_m3, function.mechanical_efficiency)


def coupler_loss_pa(case: Case, hose: int, port: Port, flow: float) -> float:
    """Loss over a coupler; one that is not pushed home opens its poppets by a share only, and what its
    edges take grows with the square of the speed through them."""
    opening = case.implement.hoses[hose].opening_share
    return hyd.coupler_loss_pa(flow, port.rated_flow_m3_s, port.rated_loss_pa) / opening**2


_Law = Callable[[float], tuple[float, float]]


class _Ends(NamedTuple):
    """The ports at a function's hoses, in the order of `OIL_ROLES`; -1 where it has no such hose or it hangs
    free."""

    pressure: int
    back: int
    extend: int
    retract: int
    drain: int
    sense: int


class _Layout(NamedTuple):
    """What changes only when a hose is moved or a lever set."""

    roles: tuple[str, ...]
    """What each port does; at the end, for -1, that of no port at all."""
    ends: tuple[_Ends, ...]
    sense_on_pressure: bool
    supplies_nothing: bool
    """A section is held open onto a port with no hose: that drives the pump to its cut-off."""


class _Now(NamedTuple):
    """What everything in one solution is worked out from."""

    case: Case
    plumbing: Plumbing
    layout: _Layout
    available: float
    turning: bool
    viscosity_m2_s: float


class _Want:
    """A function that asks the pump for oil."""

    __slots__ = ("ahead", "asked", "dial", "felt", "forward", "function", "port", "pressures_pa")

    def __init__(self, now: _Now, function: int, port: int, asked: float, ahead: bool, forward: bool) -> None:
        self.function, self.port, self.ahead, self.forward = function, port, ahead, forward
        self.dial = self.asked = asked
        """What the dial asks for; `asked` is what the pump's cut-off lets through of it."""
        self.pressures_pa = pressures_pa = _remembered(_law_of(now, self))
        """(pressure the section must hold at its port, pressure at the function's outlet) at a flow."""
        tractor = now.case.tractor
        edge_pa = 0.0 if tractor.compensation == OPEN_CENTRE else tractor.pump_margin_pa
        # No method of this want: what refers to itself is left to the collector, at ten times the price.
        self.felt = Rising(lambda flow: pressures_pa(flow)[0] + edge_pa * (flow / asked) ** 2)
        """Pressure the pump must hold for a flow: the load's, and what the set edge takes of the margin,
        which falls with the square."""


def _remembered(law: _Law) -> _Law:
    told: dict[float, tuple[float, float]] = {}

    def pressures_pa(flow: float) -> tuple[float, float]:
        if flow not in told:
            told[flow] = law(flow)
        return told[flow]

    return pressures_pa


def solve(case: Case, plumbing: Plumbing) -> Solution:
    """Pressures and flows of every function, port and the pump for one tick."""
    tractor = case.tractor
    layout = _layout(case, plumbing.hose_at, plumbing.levers, plumbing.valves_live)
    now = _Now(
        case,
        plumbing,
        layout,
        pump_available_m3_s(case, plumbing.engine_rev_min),
        plumbing.engine_rev_min > 0.0,
        hyd.kinematic_viscosity_m2_s(tractor.oil, plumbing.oil_c),
    )
    courses: list[str] = []
    wants: list[_Want] = []
    for index, function in enumerate(case.implement.functions):
        course, want = (_motor_course if function.is_motor else _cylinder_course)(now, index, function)
        courses.append(course)
        if want is not None:
            _within_cutoff(tractor.pump_cutoff_pa, want)
            if want.asked > 0.0:
                wants.append(want)
            else:
                # Not even standing oil moves it: the section pushes on a dead end.
                courses[index] = "stalled"
    wants.sort(key=lambda want: not want.ahead)
    got, short_pa = _share(now, wants)
    dead_ended = now.turning and (layout.sense_on_pressure or "stalled" in courses or layout.supplies_nothing)
    pump_pa, pump_flow = _pump(now, dead_ended, wants, got, short_pa)
    flows, work_w = _flows(now, courses, wants, got, pump_pa)
    ports = _ports(now, flows, pump_pa)
    leak = now.available * (1.0 / tractor.pump_volumetric_efficiency - 1.0)
    heat = max(0.0, pump_pa * (pump_flow + leak) - work_w)
    return Solution(pump_pa, pump_flow, now.available, layout.sense_on_pressure, heat, flows, ports)


@lru_cache(maxsize=256)
def _layout(case: Case, hose_at: tuple[int, ...], levers: tuple[str, ...], valves_live: bool) -> _Layout:
    ports = case.tractor.ports
    roles = [_role(case, levers if valves_live else None, port) for port in range(len(ports))]
    at = (*hose_at, -1)
    return _Layout(
        (*roles, SHUT),
        tuple(_Ends._make(at[hose] for hose in hoses) for hoses in case.oil_hoses),
        any(
            hose.role == "sense" and port >= 0 and ports[port].kind == "pb_pressure"
            for hose, port in zip(case.implement.hoses, hose_at, strict=True)
        ),
        any(
            role == SUPPLY and port.valve >= 0 and index not in hose_at
            for index, (role, port) in enumerate(zip(roles, ports, strict=True))
        ),
    )


def _within_cutoff(cutoff_pa: float, want: _Want) -> None:
    """Cut the flow asked to what the load lets through when the pump cannot go above its cut-off."""
    want.asked = hyd.flow_at_cutoff_m3_s(want.felt, cutoff_pa, want.dial)


def _share(now: _Now, wants: list[_Want]) -> tuple[tuple[float, ...], float | None]:
    """What each gets of the pump's flow, and the pressure sections before the edge are short at (else None).

    Whoever hangs on power beyond comes first. Where sections compensated before the metering edge ask for
    more than there is, the pump's pressure falls until what it pushes through them sums up to what there is:
    the lightest load keeps all it asks for, the heaviest takes what is left.
    """
    asked = [want.asked for want in wants]
    if math.fsum(asked) <= now.available:
        return tuple(asked), None
    first = len([want for want in wants if want.ahead])
    if now.case.tractor.compensation == "flow_sharing":
        return hyd.split_flow(asked, [0.0] * len(asked), now.available, "flow_sharing", first), None
    ahead = hyd.split_flow(asked[:first], [0.0] * first, now.available, "before_edge", first) if first else ()
    left = now.available - math.fsum(ahead)
    sections = wants[first:]
    if math.fsum(asked[first:]) <= left:
        return (*ahead, *asked[first:]), None

    def taken(pressure: float) -> list[float]:
        return [hyd.flow_at_cutoff_m3_s(want.felt, pressure, want.asked) for want in sections]

    most = max(want.felt(want.asked) for want in sections)
    pressure = hyd.common_pressure_pa(lambda p: math.fsum(taken(p)), left, most)
    return (*ahead, *taken(pressure)), pressure


def _pump(
    now: _Now, dead_ended: bool, wants: list[_Want], got: tuple[float, ...], short_pa: float | None
) -> tuple[float, float]:
    """(pressure at the pump, flow it gives) with these loads on it."""
    tractor = now.case.tractor
    if not now.turning:
        return 0.0, 0.0
    felt = [
        want.felt(flow)
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
        return (max(felt) if felt else resting), now.available
    if dead_ended:
        felt.append(tractor.pump_cutoff_pa)
    # The margin is in what is felt: it falls with the flow a starved section gets.
    pressure = hyd.pump_pressure_pa(
        max(felt) if felt else None, 0.0, tractor.pump_standby_pa, tractor.pump_cutoff_pa
    )
    return pressure, math.fsum(got)


solved = lru_cache(maxsize=256)(solve)
"""`solve`, remembering its last answers: most ticks ask the same as the one before."""


def _asked(now: _Now, port: int, function: Function, sensed: bool) -> tuple[float, bool]:
    """Flow asked through a supplying port, and whether it is taken ahead of the sections."""
    at = now.case.tractor.ports[port]
    if at.kind == "pb_pressure":
        return (function.needs_m3_s if sensed else 0.0), True
    dial = now.plumbing.dials[at.valve]
    flow = dial_flow_m3_s(now.case, at.valve, dial)
    return (max(now.available, flow) if dial >= now.case.tractor.valves[at.valve].top else flow), False


def _motor_course(now: _Now, index: int, function: Function) -> tuple[str, _Want | None]:
    ends, spinning = now.layout.ends[index], now.plumbing.speeds_rad_s[index] > 0.0
    role_in, role_out = now.layout.roles[ends.pressure], now.layout.roles[ends.back]
    ports = now.case.tractor.ports
    if role_in == SUPPLY and now.turning:
        if role_out not in _LEADS_AWAY or not _controlled(now.plumbing, function):
            return "stalled", None
        sensed = now.layout.sense_on_pressure or (ends.sense >= 0 and ports[ends.sense].kind == "pb_sense")
        asked, ahead = _asked(now, ends.pressure, function, sensed)
        if asked <= 0.0:
            return ("coasting" if spinning else "idle"), None
        return "driven", _Want(now, index, ends.pressure, asked, ahead, True)
    if role_out == SUPPLY and now.turning:
        if function.one_way_return or role_in not in _LEADS_AWAY:
            return "stalled", None
        asked, ahead = _asked(now, ends.back, function, True)
        if asked <= 0.0:
            return "idle", None
        return "reversed", _Want(now, index, ends.back, asked, ahead, False)
    if not spinning:
        return "idle", None
    if role_in == SHUT and ends.pressure >= 0 and ports[ends.pressure].valve >= 0:
        return "shut_in", None
    return "coasting", None


def _controlled(plumbing: Plumbing, function: Function) -> bool:
    """Whether the plug that a function's own valve needs is home and has power."""
    if function.power_from == "lighting":
        return plumbing.controls_live
    return plumbing.bus_live if function.power_from == "bus" else True


def _cylinder_course(now: _Now, index: int, function: Function) -> tuple[str, _Want | None]:
    if not function.is_cylinder:
        return "idle", None
    ends, plumbing = now.layout.ends[index], now.plumbing
    role_out, role_back = now.layout.roles[ends.extend], now.layout.roles[ends.retract]
    if now.turning and SUPPLY in (role_out, role_back):
        forward = role_out == SUPPLY
        port, other = (ends.extend, role_back) if forward else (ends.retract, role_out)
        stroke = plumbing.strokes[index]
        at_end = stroke >= 1.0 if forward else stroke <= 0.0
        held = plumbing.locked and function.kind == "lift"
        held = held or (bool(plumbing.parts_locked) and plumbing.parts_locked[index])
        if other not in _LEADS_AWAY or at_end or held or not _controlled(plumbing, function):
            return "stalled", None
        asked, ahead = _asked(now, port, function, True)
        if asked <= 0.0:
            return "idle", None
        return ("driven" if forward else "reversed"), _Want(now, index, port, asked, ahead, forward)
    if role_out == OPEN and role_back == OPEN:
        return "coasting", None
    return "idle", None


def pushed_on_lock(case: Case, plumbing: Plumbing, index: int) -> int:
    """Which way oil pushes a cylinder's part against a mechanical lock: 1 out, -1 in; 0 where it does not, or
    where the cylinder stands at the end it is pushed to and holds itself."""
    function = case.implement.functions[index]
    locked = plumbing.locked and function.kind == "lift"
    locked = locked or (bool(plumbing.parts_locked) and plumbing.parts_locked[index])
    if not locked or not function.is_cylinder or not _controlled(plumbing, function):
        return 0
    hoses = (case.hose_of(index, role) for role in ("extend", "retract"))
    role_out, role_back = (
        port_role(case, plumbing, plumbing.hose_at[hose] if hose >= 0 else -1) for hose in hoses
    )
    if role_out == SUPPLY and role_back in _LEADS_AWAY and plumbing.strokes[index] < 1.0:
        return 1
    return -1 if role_back == SUPPLY and role_out in _LEADS_AWAY and plumbing.strokes[index] > 0.0 else 0


def _law_of(now: _Now, want: _Want) -> _Law:
    """Pressures at the port that feeds a function and behind it, by the flow into it."""
    case, ends = now.case, now.layout.ends[want.function]
    way = _way(case, want.function, want.forward, ends)
    oil = case.tractor.oil
    there = hyd.line_law(way.line_in, oil, now.viscosity_m2_s)
    home_again = hyd.line_law(way.line_back, oil, now.viscosity_m2_s)
    _, _, share, lever, held_pa, load_pa_s2, back_pa_s2, tank_pa = way

    def law(flow: float) -> tuple[float, float]:
        home = flow * share
        back_pa = tank_pa + back_pa_s2 * home * home + home_again(home)
        return max(0.0, held_pa + back_pa * lever) + load_pa_s2 * flow * flow + there(flow), back_pa

    return law


class _Way(NamedTuple):
    """The oil's way through a function and home, but for what its hoses take.

    Couplers, ports and a motor's load take what grows with the square of the flow.
    """

    line_in: hyd.Line
    line_back: hyd.Line
    share: float
    """Of what goes in, what comes back through the return."""
    lever: float
    """What the pressure behind counts for before it."""
    held_pa: float
    load_pa_s2: float
    """Per square of the flow (m³/s): the motor and the coupler before it."""
    back_pa_s2: float
    tank_pa: float


@lru_cache(maxsize=1024)
def _way(case: Case, index: int, forward: bool, ends: _Ends) -> _Way:
    function, hoses, ports = case.implement.functions[index], case.oil_hoses[index], case.tractor.ports
    there, back = ("pressure", "return") if function.is_motor else ("extend", "retract")
    if not forward:
        there, back = back, there
    place_in, place_back = OIL_ROLES.index(there), OIL_ROLES.index(back)
    hose_in, hose_back = hoses[place_in], hoses[place_back]
    end, tank_pa = ports[ends[place_back]], case.tractor.tank_pressure_pa
    load_pa_s2 = coupler_loss_pa(case, hose_in, ports[ends[place_in]], 1.0)
    if function.is_motor:
        load_pa_s2 += motor_drop_pa(function, 1.0)
        share, lever, held_pa = 1.0 - _to_case_m3_s(function, ends, 1.0), 1.0, 0.0
    else:
        drive, other = function.bore_area_m2, function.rod_side_area_m2
        if not forward:
            drive, other = other, drive
        share = lever = other / drive
        held_pa = (function.load_n if forward else function.back_load_n) / drive
    back_pa_s2 = back_pressure_pa(case, end, 1.0) - tank_pa + coupler_loss_pa(case, hose_back, end, 1.0)
    lines = case.implement.hoses
    return _Way(
        lines[hose_in].line, lines[hose_back].line, share, lever, held_pa, load_pa_s2, back_pa_s2, tank_pa
    )


def _to_case_m3_s(function: Function, ends: _Ends, flow: float) -> float:
    """Leakage that goes home through a motor's drain line instead of its return."""
    if ends.drain < 0:
        return 0.0
    return hyd.motor_leakage_m3_s(flow, function.volumetric_efficiency) * function.case_share


def _flows(
    now: _Now, courses: list[str], wants: list[_Want], got: tuple[float, ...], pump_pa: float
) -> tuple[tuple[Flow, ...], float]:
    given = {want.function: (want, flow) for want, flow in zip(wants, got, strict=True)}
    flows: list[Flow] = []
    work: list[float] = []
    for index, (function, course) in enumerate(zip(now.case.implement.functions, courses, strict=True)):
        pressure = back = rod_side = flow = asked = case_pa = 0.0
        if index in given:
            want, flow = given[index]
            asked = want.asked
            pressure, back = want.pressures_pa(flow)
            work.append(_work_w(function, want, flow))
            flow = flow if want.forward else -flow
        elif course == "stalled":
            pressure = pump_pa
            back, rod_side = _stalled(now, index, function, pump_pa)
        if function.is_motor:
            case_pa = _case_pa(now, index, function, flow, pressure, pump_pa)
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


def _stalled(now: _Now, index: int, function: Function, pump_pa: float) -> tuple[float, float]:
    """(pressure on the return side, pressure on the rod side) of a function that cannot move."""
    if function.is_motor:
        return pump_pa, 0.0
    ends = now.layout.ends[index]
    if now.layout.roles[ends.extend] == SUPPLY and now.layout.roles[ends.retract] == SHUT:
        # At the bottom of its stroke the cylinder does not carry the load yet.
        load = function.load_n if now.plumbing.strokes[index] > 0.0 else 0.0
        rod = hyd.shut_rod_side_pressure_pa(pump_pa, function.bore_area_m2, function.rod_side_area_m2, load)
        return 0.0, max(0.0, rod)
    return 0.0, 0.0


def _case_pa(
    now: _Now, index: int, function: Function, flow: float, inlet_pa: float, pump_pa: float
) -> float:
    """Case pressure of a motor from wherever its drain line ends; 0 for a motor without a drain line."""
    hose = now.case.hose_of(index, "drain")
    if hose < 0:
        return 0.0
    at = now.layout.ends[index].drain
    leakage = hyd.motor_leakage_m3_s(abs(flow), function.volumetric_efficiency) * function.case_share
    role = now.layout.roles[at]
    if role == SHUT:
        # Nowhere to go: a third of a millilitre fills the case, and it follows the inlet.
        return inlet_pa if flow != 0.0 else 0.0
    if role == SUPPLY:
        end = pump_pa
    elif role == SENSE:
        end = max(0.0, pump_pa - now.case.tractor.pump_margin_pa)
    else:
        others = now.plumbing.hose_at.count(at) - 1
        end = back_pressure_pa(now.case, now.case.tractor.ports[at], others * abs(flow))
    line = now.case.implement.hoses[hose].line
    return hyd.case_pressure_pa(end, leakage, line, now.case.tractor.oil, now.plumbing.oil_c)


def _ports(now: _Now, flows: tuple[Flow, ...], pump_pa: float) -> tuple[float | None, ...]:
    """Pressure at each port; None where it is shut in."""
    tractor, roles = now.case.tractor, now.layout.roles
    at_port: dict[int, float] = {}
    for ends, flow in zip(now.layout.ends, flows, strict=True):
        for port in ends[:_WORKING_HOSES]:
            if port < 0:
                continue
            if roles[port] == SUPPLY:
                at_port[port] = flow.pressure_pa
            elif flow.course == "stalled" and roles[port] == SHUT:
                at_port[port] = max(flow.return_pa, flow.rod_side_pa)
    home = _home_m3_s(now, flows)
    pressures: list[float | None] = []
    for index, port_data in enumerate(tractor.ports):
        role = roles[index]
        if port_data.kind == "pb_pressure":
            pressures.append(pump_pa)
        elif role == SUPPLY:
            pressures.append(None if pump_pa <= 0.0 else at_port.get(index, pump_pa))
        elif role == SHUT:
            pressures.append(at_port.get(index))
        elif role == SENSE:
            pressures.append(max(0.0, pump_pa - tractor.pump_margin_pa))
        elif index in home:
            pressures.append(back_pressure_pa(now.case, port_data, home[index]))
        else:
            pressures.append(tractor.tank_pressure_pa)
    return tuple(pressures)


def _home_m3_s(now: _Now, flows: tuple[Flow, ...]) -> dict[int, float]:
    """What of the functions' oil comes home through each port."""
    home: dict[int, float] = {}
    for index, flow in enumerate(flows):
        if not flow.flow_m3_s:
            continue
        function, ends, forward = (
            now.case.implement.functions[index],
            now.layout.ends[index],
            flow.flow_m3_s > 0.0,
        )
        through = abs(flow.flow_m3_s)
        if function.is_motor:
            port = ends.back if forward else ends.pressure
            through -= _to_case_m3_s(function, ends, through)
        else:
            port = ends.retract if forward else ends.extend
            areas = (function.rod_side_area_m2, function.bore_area_m2)
            through *= areas[0] / areas[1] if forward else areas[1] / areas[0]
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
