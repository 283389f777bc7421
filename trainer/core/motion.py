"""Fifty milliseconds of the yard: engine, hitch, tractor, oil and what they do by themselves."""

from __future__ import annotations

import math
from collections.abc import Callable

from trainer.core import accumulators, circuits, wiring
from trainer.core import hydraulics as hyd
from trainer.core.case import Case, Function
from trainer.core.circuits import Flow, Solution
from trainer.core.drawbar import stub_rev_min, tongue_off_um
from trainer.core.readings import (
    at_speed,
    ecu_live,
    falls_to_um,
    lies,
    pin_height_um,
    plumbing,
    raised,
    supply_live,
    wired,
    wires,
)
from trainer.core.state import State, Working, replace
from trainer.core.towing import STRUCK_M
from trainer.core.units import TICK_S, TICKS_PER_S, micro, milli, mm3, mrad_s, rev_min, ticks, whole

Tell = Callable[..., None]

_FLOAT_TIME_CONSTANT_S = 0.5
_GALLERY_TIME_CONSTANT_S = 0.8
_MOTOR_TIME_CONSTANT_S = 0.5
_STILL_MRAD_S = mrad_s(40)
_SHORT_BY = 0.98
_SHORT_TICKS = TICKS_PER_S
_DROP_M_S = 0.15
_INLET_VAPOUR_PA = 5_000.0
"""Absolute pressure left in a shut-in inlet of a spinning motor: oil vapour and air out of solution
(common practice: some hundredths of a bar)."""
_SEAL_LEAK_M3_S = 2.0e-5
"""Oil thrown by a burst shaft seal while the motor runs (from memory: about a litre a minute)."""
TOLD_LIMIT, TOLD_OVERSPEED, TOLD_RETURN, TOLD_SHUT, TOLD_SHORT, TOLD_STALL, TOLD_ROD, TOLD_BACKWARD = (
    1,
    2,
    4,
    8,
    16,
    32,
    64,
    128,
)
TOLD_MOVES, TOLD_LOCK = 256, 512
TOLD_CUTOFF, TOLD_TWO_DRIVES, TOLD_HOT = 1, 2, 4
_HARM_MC = 82_000
"""Oil temperature above which it takes harm (published)."""


def advance(case: Case, state: State, see: Callable[[State], None], tell: Tell) -> State:
    """The yard one tick on. `see` shows the teller the state its next readings are taken from."""
    quiet = replace(state, tick=state.tick + 1, moving=False)
    s = _engine(case, quiet)
    s = _tractor(case, s, see, tell)
    s = _hitch(case, s, see, tell)
    s = _oil(case, s, see, tell)
    s = _control_unit(case, s, see, tell)
    if s.key != "on" and any(lever != "block" for lever in s.levers) and not supply_live(s):
        # Electric sections spring back to centre when their supply falls.
        s = replace(s, levers=("block",) * len(s.levers))
    if s.busy_until <= s.tick and s.doing:
        s = replace(s, doing="")
    if not s.ended and s.tick >= case.time_limit_s * TICKS_PER_S:
        see(s)
        tell("out_of_time")
        s = replace(s, ended="out of time")
    # What only waits for its time (busy hands, a supply that holds) is seen to once a second anyway.
    return s if s == quiet else replace(s, moving=True)


def with_page(case: Case, s: State) -> State:
    """The state with the implement's control unit on its way up where it has just got what it needs."""
    if s.key != "on" or not ecu_live(case, s):
        return s
    return replace(s, page_tick=s.tick + ticks(case.implement.boot_s))


def _control_unit(case: Case, s: State, see: Callable[[State], None], tell: Tell) -> State:
    """A control unit that loses its voltage or its bus begins anew as soon as it has them back."""
    if s.key != "on":
        return s
    if s.page_tick < 0:
        return with_page(case, s)
    if ecu_live(case, s):
        return s
    see(s)
    tell("unit_lost", "", "", ecu_mv=milli(wiring.ecu_v(wired(case, s), wires(case, s))))
    return replace(s, page_tick=-1)


def _engine(case: Case, s: State) -> State:
    goal = s.throttle_mrev_min if s.engine else 0
    if s.engine_mrev_min == goal:
        return s
    reach = milli(case.tractor.engine_rise_rev_min_s * TICK_S)
    return replace(s, engine_mrev_min=_towards(s.engine_mrev_min, goal, reach))


def _towards(value: int, goal: int, reach: int) -> int:
    return min(goal, value + reach) if value < goal else max(goal, value - reach)


def _tractor(case: Case, s: State, see: Callable[[State], None], tell: Tell) -> State:
    if s.gap_um == s.gap_target_um:
        return s
    left = max(1, s.busy_until - s.tick)
    reach = max(1, abs(s.gap_target_um - s.gap_um) // left)
    s = replace(s, gap_um=_towards(s.gap_um, s.gap_target_um, reach))
    if left == 1:
        s = replace(s, gap_um=s.gap_target_um)
    if s.gap_um == s.gap_target_um and s.gap_um == 0:
        see(s)
        tell("backed_in")
    elif s.gap_um == s.gap_target_um == micro(STRUCK_M) and case.implement.drawn:
        see(s)
        tell("tongue_struck", strike_um=abs(tongue_off_um(case, s)))
    return s


def _hitch(case: Case, s: State, see: Callable[[State], None], tell: Tell) -> State:
    if s.hitch_um == s.hitch_target_um or s.weight == "fallen":
        return s
    if s.hitch_target_um > s.hitch_um and not s.engine:
        return replace(s, hitch_target_um=s.hitch_um)
    reach = micro(case.tractor.hitch_speed_m_s * TICK_S)
    before = s
    s = replace(s, hitch_um=_towards(s.hitch_um, s.hitch_target_um, reach))
    if case.implement.drawn:
        return s
    if s.hitch_um > before.hitch_um:
        return _rising(case, before, s, see, tell)
    return _sinking(case, before, s, see, tell)


def _rising(case: Case, before: State, s: State, see: Callable[[State], None], tell: Tell) -> State:
    pins = pin_height_um(case, before)
    if not s.engaged and s.gap_um == 0 and before.hitch_um < pins <= s.hitch_um:
        see(before)
        tell("pins_seated")
        s = replace(s, engaged=True)
    if s.engaged and raised(case, s) and s.weight in ("stands", "ground"):
        see(replace(s, weight=before.weight))
        tell("raised_clear")
        for kind, hose, port, values in lies(case, s):
            tell(kind, hose, port, **values)
        s = replace(s, weight="hitch")
        if not (s.latch_left and s.latch_right):
            see(s)
            tell("fell", "latch", "", fall_kg=whole(case.implement.mass_kg))
            return replace(s, weight="fallen", engaged=False, ended="stopped for safety")
    return s


def _sinking(case: Case, before: State, s: State, see: Callable[[State], None], tell: Tell) -> State:
    parked = micro(case.implement.parked_ball_m)
    if s.weight == "hitch" and s.stands and s.hitch_um <= parked:
        see(s)
        tell("set_down", "stands")
        return replace(s, weight="stands", supports_seen=False)
    if s.weight == "hitch" and not s.stands and not raised(case, s):
        see(s)
        tell("lowered_to_work")
        return replace(s, weight="ground")
    clear = parked - 30_000
    if s.engaged and s.weight == "stands" and s.hitch_um <= clear < before.hitch_um:
        see(before)
        tell("hooks_lowered")
        if s.latch_left or s.latch_right:
            # A closed latch takes the frame down with it: the hitch stops where the stands hold it.
            return replace(
                s, hitch_um=clear + 1, hitch_target_um=clear + 1, busy_until=min(s.busy_until, s.tick)
            )
        return replace(s, engaged=False)
    if s.engaged and s.weight == "ground" and not (s.latch_left and s.latch_right):
        bottom = micro(case.implement.ground_ball_m) - 60_000
        if s.hitch_um <= bottom < before.hitch_um:
            see(before)
            tell("fell", "unsupported", "", fall_kg=whole(case.implement.mass_kg))
            return replace(s, weight="fallen", engaged=False, ended="stopped for safety")
    return s


def _oil(case: Case, s: State, see: Callable[[State], None], tell: Tell) -> State:
    turning = s.engine_mrev_min > 0
    if not turning and not _oil_moves(case, s):
        return s
    solution = circuits.solved(case, plumbing(case, s))
    works = tuple(_work(case, s, index, flow, see, tell) for index, flow in enumerate(solution.functions))
    port_pa, hose_pa = _pressures(case, s, works, solution)
    s = replace(
        s,
        works=works,
        pump_pa=whole(solution.pump_pa),
        pump_mm3_s=mm3(solution.pump_m3_s),
        port_pa=port_pa,
        hose_pa=hose_pa,
    )
    s = _machine_events(case, s, solution, see, tell)
    if s.tick % TICKS_PER_S == 0:
        tractor = case.tractor
        warm = hyd.tank_temperature_step_c(
            s.oil_mc / 1000.0,
            solution.heat_w,
            case.start.air_c,
            tractor.cooler_w_k,
            tractor.oil,
            tractor.oil_volume_m3,
            1.0,
        )
        s = replace(s, oil_mc=milli(warm))
    lost = [work for work in works if work.blown and abs(work.flow_mm3_s) > 0]
    if lost:
        s = replace(s, lost_oil_mm3=s.lost_oil_mm3 + mm3(_SEAL_LEAK_M3_S * TICK_S) * len(lost))
    return s


def _oil_moves(case: Case, s: State) -> bool:
    """With the pump at rest: is something still spinning, sinking, bleeding or falling in pressure?"""
    if s.pump_pa or any(work.speed_mrad_s or work.flow_mm3_s or work.case_pa for work in s.works):
        return True
    if any(
        pressure and port.kind in ("pb_pressure", "pb_sense")
        for port, pressure in zip(case.tractor.ports, s.port_pa, strict=True)
    ):
        return True
    if any(
        _slips(function, s, work.stroke_um)
        for function, work in zip(case.implement.functions, s.works, strict=True)
    ):
        return True
    return "float" in s.levers and supply_live(s)


def _work(case: Case, s: State, index: int, flow: Flow, see: Callable[[State], None], tell: Tell) -> Working:
    function, was = case.implement.functions[index], s.works[index]
    if function.is_motor:
        return _motor(case, s, index, function, was, flow, see, tell)
    if function.turns:
        return _driven(case, s, index, function, was, see, tell)
    return _cylinder(case, s, index, function, was, flow, see, tell)


def _motor(
    case: Case,
    s: State,
    index: int,
    function: Function,
    was: Working,
    flow: Flow,
    see: Callable[[State], None],
    tell: Tell,
) -> Working:
    told, speed = was.told, was.speed_mrad_s
    if flow.course in ("driven", "reversed"):
        goal = milli(circuits.spin_rad_s(flow.flow_m3_s, function))
        speed = _lag(speed, goal, _MOTOR_TIME_CONSTANT_S)
    elif s.pto and _shaft_on(case, s, index) and s.engine_mrev_min:
        speed = _by_shaft_mrad_s(case, s, function)
        told &= ~(TOLD_SHUT | TOLD_STALL)
        return replace(
            was,
            course="driven",
            speed_mrad_s=speed,
            flow_mm3_s=0,
            asked_mm3_s=0,
            pressure_pa=0,
            return_pa=0,
            case_pa=0,
            told=told,
        )
    elif flow.course == "shut_in":
        if not told & TOLD_SHUT and rev_min(speed) > case.limits.still_rev_min:
            _tell_shut_in(case, s, index, function, was, see, tell)
            told |= TOLD_SHUT
        speed = max(
            0, speed - max(1, whole(mrad_s(function.rated_rev_min) * TICK_S / _blocked_stop_s(function)))
        )
    elif speed:
        constant, at_speed = circuits.coast_constant_s(function)
        coasted = hyd.coast_step_rev_s(speed / 1000.0 / (2.0 * math.pi), constant, at_speed, TICK_S)
        speed = milli(coasted * 2.0 * math.pi)
        if speed <= _STILL_MRAD_S:
            speed = 0
    if flow.course in ("driven", "idle"):
        told &= ~(TOLD_SHUT | TOLD_STALL)
    work = replace(
        was,
        course=flow.course if speed or flow.course != "coasting" else "idle",
        speed_mrad_s=speed,
        flow_mm3_s=mm3(flow.flow_m3_s),
        asked_mm3_s=mm3(flow.asked_m3_s),
        pressure_pa=whole(flow.pressure_pa),
        return_pa=whole(flow.return_pa),
        case_pa=whole(flow.case_pa),
        told=told,
    )
    return _motor_events(case, s, function, was, work, see, tell)


def _blocked_stop_s(function: Function) -> float:
    """A quarter of the swing of rotor against hose, here in a straight line: it is three or four ticks long,
    and what is judged of it, its peak, is worked out by itself."""
    return hyd.blocked_motor_stop_s(
        function.displacement_m3,
        function.inertia_kg_m2,
        function.hose_bulk_modulus_pa,
        function.hose_volume_m3,
    )


def _shaft_on(case: Case, s: State, index: int) -> bool:
    shaft = case.hose_of(index, "shaft")
    return shaft >= 0 and s.hose_at[shaft] >= 0


def _by_shaft_mrad_s(case: Case, s: State, function: Function) -> int:
    """Speed at which the shaft turns a function."""
    if not function.pto_rev_min:
        return 0
    return mrad_s(function.rated_rev_min * stub_rev_min(case, s) / function.pto_rev_min)


def _driven(
    case: Case,
    s: State,
    index: int,
    function: Function,
    was: Working,
    see: Callable[[State], None],
    tell: Tell,
) -> Working:
    """What the shaft alone turns follows it, and runs down by itself under its constant drag."""
    speed = was.speed_mrad_s
    if s.pto and _shaft_on(case, s, index) and s.engine_mrev_min:
        if speed == 0:
            see(s)
            tell("part_moves", function.name)
        speed = _lag(speed, _by_shaft_mrad_s(case, s, function), _MOTOR_TIME_CONSTANT_S)
        course = "driven"
    else:
        lost = whole(function.rated_torque_n_m / function.inertia_kg_m2 * TICK_S * 1e3)
        speed = max(0, speed - max(1, lost))
        course = "coasting" if speed else "idle"
    work = replace(was, course=course, speed_mrad_s=speed)
    return _motor_events(case, s, function, was, work, see, tell)


def _lag(value: int, goal: int, time_constant_s: float) -> int:
    """First-order approach of a kept value to its goal; closes the last quanta so that it settles."""
    if abs(goal - value) <= 50:
        return goal
    return value + whole((goal - value) * -math.expm1(-TICK_S / time_constant_s))


def _tell_shut_in(
    case: Case,
    s: State,
    index: int,
    function: Function,
    was: Working,
    see: Callable[[State], None],
    tell: Tell,
) -> None:
    back = case.hose_of(index, "return")
    at = s.hose_at[back] if back >= 0 else -1
    outlet_shut = at < 0 or case.tractor.ports[at].valve >= 0
    peak = 0.0
    if outlet_shut:
        peak = hyd.blocked_motor_peak_pa(
            was.return_pa,
            function.inertia_kg_m2,
            was.speed_mrad_s / 1000.0 / (2.0 * math.pi),
            function.hose_bulk_modulus_pa,
            function.hose_volume_m3,
        )
    see(s)
    tell(
        "motor_shut_in",
        function.name,
        "outlet_shut" if outlet_shut else "outlet_open",
        peak_pa=whole(peak),
        inlet_abs_pa=whole(_INLET_VAPOUR_PA),
        stop_rev_min=rev_min(was.speed_mrad_s),
        limit_pa=whole(case.implement.hoses[back].work_pressure_pa),
    )


def _motor_events(
    case: Case,
    s: State,
    function: Function,
    was: Working,
    work: Working,
    see: Callable[[State], None],
    tell: Tell,
) -> Working:
    told, blown, short = work.told, work.blown, 0
    see(s)
    if function.case_limit_pa and work.case_pa > function.case_limit_pa:
        if not told & TOLD_LIMIT:
            tell(
                "case_pressure",
                function.name,
                _drain_place(case, s, function),
                case_pa=work.case_pa,
                limit_pa=whole(function.case_limit_pa),
            )
            told |= TOLD_LIMIT
        if work.case_pa > function.case_burst_pa and not blown:
            tell(
                "seal_blown",
                function.name,
                _drain_place(case, s, function),
                case_pa=work.case_pa,
                limit_pa=whole(function.case_burst_pa),
            )
            blown = True
    elif work.case_pa <= function.case_good_pa:
        told &= ~TOLD_LIMIT
    speed = rev_min(work.speed_mrad_s)
    if function.overspeed_rev_min and speed > function.overspeed_rev_min:
        if not told & TOLD_OVERSPEED:
            tell(
                "overspeed",
                function.name,
                "",
                speed_rev_min=speed,
                limit_rev_min=whole(function.overspeed_rev_min),
            )
            told |= TOLD_OVERSPEED
    elif speed <= function.high_rev_min:
        told &= ~TOLD_OVERSPEED
    if work.course == "driven" and work.return_pa > function.return_limit_pa > 0 and not told & TOLD_RETURN:
        tell(
            "return_pressure",
            function.name,
            "",
            return_pa=work.return_pa,
            limit_pa=whole(function.return_limit_pa),
        )
        told |= TOLD_RETURN
    if work.course == "stalled" and not told & TOLD_STALL:
        # The outlet of a motor fed backwards, or pushed against a shut port, stands at pump pressure.
        tell(
            "motor_stalled",
            function.name,
            _stall_place(case, s, function),
            return_pa=work.return_pa,
            limit_pa=whole(function.return_limit_pa),
        )
        told |= TOLD_STALL
    if work.course == "reversed" and not told & TOLD_BACKWARD:
        tell("motor_reversed", function.name, "", flow_back_mm3_s=abs(work.flow_mm3_s))
        told |= TOLD_BACKWARD
    told, short = _shortage(function, was, work, told, at_speed(case, s), tell)
    return replace(work, told=told, blown=blown, short_ticks=short)


def _shortage(
    function: Function, was: Working, work: Working, told: int, fast: bool, tell: Tell
) -> tuple[int, int]:
    """Below working speed nobody wonders that all goes slowly: only a shortage at that speed is told."""
    if (
        not fast
        or work.course not in ("driven", "reversed")
        or abs(work.flow_mm3_s) >= _SHORT_BY * work.asked_mm3_s
    ):
        return told & ~TOLD_SHORT, 0
    short = min(was.short_ticks + 1, _SHORT_TICKS)
    if short == _SHORT_TICKS and not told & TOLD_SHORT:
        tell("starved", function.name, "", flow_mm3_s=abs(work.flow_mm3_s), asked_mm3_s=work.asked_mm3_s)
        told |= TOLD_SHORT
    return told, short


def _drain_place(case: Case, s: State, function: Function) -> str:
    drain = case.hose_of(case.function(function.name), "drain")
    at = s.hose_at[drain] if drain >= 0 else -1
    return case.tractor.ports[at].kind if at >= 0 else "off"


def _stall_place(case: Case, s: State, function: Function) -> str:
    back = case.hose_of(case.function(function.name), "return")
    at = s.hose_at[back] if back >= 0 else -1
    if at < 0:
        return "return_off"
    role = circuits.port_role(case, plumbing(case, s), at)
    return "swapped" if role == circuits.SUPPLY else "return_shut"


def _cylinder(
    case: Case,
    s: State,
    index: int,
    function: Function,
    was: Working,
    flow: Flow,
    see: Callable[[State], None],
    tell: Tell,
) -> Working:
    see(s)
    stroke, full, told = was.stroke_um, micro(function.stroke_m), was.told
    flow_m3_s = flow.flow_m3_s
    if flow.course in ("driven", "reversed"):
        area = function.bore_area_m2 if flow_m3_s > 0 else function.rod_side_area_m2
        slipped = function.piston_leak_m3_s_pa * max(0.0, flow.pressure_pa - flow.return_pa)
        pushed = max(0.0, abs(flow_m3_s) - slipped)
        travel = micro(hyd.cylinder_speed_m_s(pushed, area) * TICK_S)
        stroke = min(full, stroke + travel) if flow_m3_s > 0 else max(0, stroke - travel)
    elif flow.course == "coasting" and stroke != falls_to_um(function, stroke) and _sinks(s, index, function):
        low = falls_to_um(function, stroke)
        if not told & TOLD_SHUT:
            tell("dropped", function.name, "", drop_um=abs(stroke - low))
            told |= TOLD_SHUT
        stroke = _towards(stroke, low, micro(_DROP_M_S * TICK_S))
    elif _slips(function, s, stroke) and flow.course != "stalled":
        # A load held by shut-in oil follows what slips past the pistons.
        slips = function.piston_leak_m3_s_pa * function.load_n / function.bore_area_m2
        stroke = max(0, stroke - micro(slips / function.bore_area_m2 * TICK_S))
    if flow.course != "coasting":
        told &= ~TOLD_SHUT
    if stroke == was.stroke_um:
        told &= ~TOLD_MOVES
    elif not told & TOLD_MOVES:
        tell("part_moves", function.name)
        told |= TOLD_MOVES
    began, took = was.stroke_from, was.stroke_ms
    if was.stroke_um == 0 and stroke > 0:
        began = s.tick
    if began >= 0 and stroke == full and was.stroke_um < full:
        took, began = whole((s.tick - began) * 1000 / TICKS_PER_S), -1
    if flow.rod_side_pa > 0 and not told & TOLD_ROD:
        hose = case.implement.hoses[case.hose_of(index, "retract")]
        tell(
            "rod_side",
            function.name,
            "",
            rod_side_pa=whole(flow.rod_side_pa),
            limit_pa=whole(hose.work_pressure_pa),
        )
        told |= TOLD_ROD
    if flow.course != "stalled":
        told &= ~TOLD_LOCK
    elif not told & TOLD_LOCK and (way := circuits.pushed_on_lock(case, plumbing(case, s), index)):
        area = function.bore_area_m2 if way > 0 else function.rod_side_area_m2
        tell("lock_pushed", function.name, "", push_mn=milli(flow.pressure_pa * area))
        told |= TOLD_LOCK
    work = replace(
        was,
        course=flow.course,
        stroke_um=stroke,
        flow_mm3_s=mm3(flow_m3_s),
        asked_mm3_s=mm3(flow.asked_m3_s),
        pressure_pa=whole(flow.pressure_pa),
        return_pa=whole(flow.return_pa),
        rod_side_pa=whole(flow.rod_side_pa),
        stroke_from=began,
        stroke_ms=took,
        told=told,
    )
    told, short = _shortage(function, was, work, told, at_speed(case, s), tell)
    return replace(work, told=told, short_ticks=short)


def _sinks(s: State, index: int, function: Function) -> bool:
    """Whether only oil holds up what a cylinder carries."""
    if function.kind == "lift":
        return not s.lift_locked
    return function.held_kg > 0.0 and not s.locked[index]


def _slips(function: Function, s: State, stroke: int) -> bool:
    return function.piston_leak_m3_s_pa > 0.0 and function.kind == "lift" and stroke > 0 and not s.lift_locked


def _pressures(
    case: Case, s: State, works: tuple[Working, ...], solution: Solution
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Pressures at the ports and in the hoses after this tick."""
    ports, live = list(s.port_pa), supply_live(s)
    for index, (socket, target) in enumerate(zip(case.tractor.ports, solution.ports_pa, strict=True)):
        if target is None:
            continue
        if socket.valve >= 0 and live and s.levers[socket.valve] == "float":
            ports[index] = _bled(case, s, index, ports[index], whole(target))
        elif socket.kind in ("pb_pressure", "pb_sense") and target < ports[index]:
            ports[index] = _fall(ports[index], whole(target), _GALLERY_TIME_CONSTANT_S)
        elif socket.valve >= 0 and target < ports[index] and _accumulator_at(case, s, index) is not None:
            ports[index] = _bled(case, s, index, ports[index], whole(target))
        else:
            ports[index] = whole(target)
    for index, function in enumerate(case.implement.functions):
        # A raised load keeps its pressure in the shut-in line that holds it.
        stroke = works[index].stroke_um
        out = falls_to_um(function, stroke) > 0
        hose = case.hose_of(index, "retract" if out else "extend")
        if hose < 0 or s.hose_at[hose] < 0 or not _sinks(s, index, function):
            continue
        port = s.hose_at[hose]
        valve = case.tractor.ports[port].valve
        if valve >= 0 and s.levers[valve] == "block" and stroke != falls_to_um(function, stroke):
            load_n = function.back_load_n if out else function.load_n
            area_m2 = function.rod_side_area_m2 if out else function.bore_area_m2
            ports[port] = max(ports[port], whole(load_n / area_m2))
    hoses = tuple(
        ports[at] if at >= 0 else pressure for at, pressure in zip(s.hose_at, s.hose_pa, strict=True)
    )
    return tuple(ports), hoses


def _accumulator_at(case: Case, s: State, port: int) -> Function | None:
    """The function whose accumulator hangs on a port through the hose that is on it."""
    for index, function in enumerate(case.implement.functions):
        hose = case.hose_of(index, "extend")
        if function.accumulator_volume_m3 > 0.0 and hose >= 0 and s.hose_at[hose] == port:
            return function
    return None


def _bled(case: Case, s: State, port: int, value: int, goal: int) -> int:
    """Pressure at a port that is open to tank, after a tick: what an accumulator holds leaves first."""
    charged = _accumulator_at(case, s, port)
    if charged is None or value <= max(goal, whole(charged.accumulator_precharge_pa)):
        return _fall(value, goal, _FLOAT_TIME_CONSTANT_S)
    return whole(
        accumulators.bled_pa(
            value,
            goal,
            charged.accumulator_volume_m3,
            charged.accumulator_precharge_pa,
            charged.accumulator_orifice_m2,
            case.tractor.oil.density_kg_m3,
            TICK_S,
        )
    )


def _fall(value: int, goal: int, time_constant_s: float) -> int:
    """Exponential fall of a kept pressure; it ends where a tick moves it by less than its quantum."""
    step = whole((goal - value) * -math.expm1(-TICK_S / time_constant_s))
    return value + step if step else goal


def _machine_events(
    case: Case, s: State, solution: Solution, see: Callable[[State], None], tell: Tell
) -> State:
    told = s.told
    see(s)
    if solution.sense_on_pressure and s.engine and not told & TOLD_CUTOFF:
        tell("pump_held_up", "", "", pump_pa=s.pump_pa, limit_pa=whole(case.tractor.pump_standby_pa))
        told |= TOLD_CUTOFF
    if s.oil_mc > _HARM_MC and not told & TOLD_HOT:
        tell("overheated", "", "", limit_mc=_HARM_MC)
        told |= TOLD_HOT
    for index, function in enumerate(case.implement.functions):
        both = s.pto and _shaft_on(case, s, index) and solution.functions[index].course == "driven"
        if both and not told & TOLD_TWO_DRIVES:
            flow = mm3(solution.functions[index].flow_m3_s)
            tell("two_drives", function.name, "", drive_flow_mm3_s=flow)
            told |= TOLD_TWO_DRIVES
    return s if told == s.told else replace(s, told=told)
