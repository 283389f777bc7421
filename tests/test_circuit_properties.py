"""What must hold of whole circuits as the engine solves them, however they are hosed up.

The table of invariants is in ``test_physics_properties.py``, which holds the same of single parts.
"""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from random_circuits import BASE, some_circuit
from trainer.core import circuits, hydraulics
from trainer.core.case import Case
from trainer.core.circuits import Plumbing, Solution

seeds = st.integers(1000, 1_000_000)
TOLERANCE = 1e-9


def with_compensation(case: Case, compensation: str) -> Case:
    return replace(case, tractor=replace(case.tractor, compensation=compensation))


def fed_by(case: Case, plumbing: Plumbing, index: int) -> int:
    """The port that feeds a function which oil moves; -1 where none does."""
    for role in ("pressure", "return", "extend", "retract"):
        hose = case.hose_of(index, role)
        at = plumbing.hose_at[hose] if hose >= 0 else -1
        if at >= 0 and circuits.port_role(case, plumbing, at) == circuits.SUPPLY:
            return at
    return -1


def moved(case: Case, plumbing: Plumbing, solution: Solution, *, ahead: bool) -> list[int]:
    """Functions that ask for oil ahead of the sections (power beyond), or through a section."""
    found = []
    for index, flow in enumerate(solution.functions):
        if flow.course in ("driven", "reversed"):
            beyond = case.tractor.ports[fed_by(case, plumbing, index)].valve < 0
            if beyond == ahead:
                found.append(index)
    return found


@given(seeds)
def test_what_leaves_the_pump_arrives_and_nothing_else_does(seed: int) -> None:
    case, plumbing = some_circuit(seed)
    solution = circuits.solve(case, plumbing)
    flows = [abs(flow.flow_m3_s) for flow in solution.functions]
    assert solution.pump_m3_s == pytest.approx(math.fsum(flows), rel=1e-12, abs=1e-18)
    assert solution.pump_m3_s <= solution.available_m3_s * (1.0 + TOLERANCE)
    for flow in solution.functions:
        assert abs(flow.flow_m3_s) <= flow.asked_m3_s
        assert flow.flow_m3_s == 0.0 or flow.course == ("driven" if flow.flow_m3_s > 0.0 else "reversed")


@given(seeds)
def test_all_that_is_asked_for_flows_or_the_pump_gives_all_it_has(seed: int) -> None:
    case, plumbing = some_circuit(seed)
    solution = circuits.solve(case, plumbing)
    asked = math.fsum(flow.asked_m3_s for flow in solution.functions)
    assert solution.pump_m3_s == pytest.approx(min(asked, solution.available_m3_s), rel=1e-9, abs=1e-15)


@given(seeds)
def test_the_pumps_power_is_useful_work_and_heat(seed: int) -> None:
    case, plumbing = some_circuit(seed)
    solution = circuits.solve(case, plumbing)
    work = []
    for function, flow in zip(case.implement.functions, solution.functions, strict=True):
        through = abs(flow.flow_m3_s)
        if function.is_motor:
            turns = function.volumetric_efficiency * through / function.displacement_m3
            share = turns * 60.0 / function.rated_rev_min
            work.append(math.tau * turns * function.rated_torque_n_m * share**2)
        else:
            out = flow.flow_m3_s > 0.0
            area = function.bore_area_m2 if out else function.rod_side_area_m2
            work.append((function.load_n if out else function.back_load_n) * through / area)
    shaft = solution.available_m3_s / case.tractor.pump_volumetric_efficiency - solution.available_m3_s
    power = solution.pump_pa * (solution.pump_m3_s + shaft)
    assert solution.heat_w >= 0.0
    assert solution.heat_w + math.fsum(work) == pytest.approx(power, rel=1e-6, abs=1e-6)


@given(seeds)
def test_both_compensations_solve_alike_where_there_is_enough(seed: int) -> None:
    case, plumbing = some_circuit(seed)
    before, sharing = (
        circuits.solve(with_compensation(case, kind), plumbing) for kind in ("before_edge", "flow_sharing")
    )
    assume(math.fsum(flow.asked_m3_s for flow in before.functions) <= before.available_m3_s)
    assert before == sharing


@given(seeds)
def test_flow_sharing_keeps_the_ratios_of_the_sections(seed: int) -> None:
    case, plumbing = some_circuit(seed)
    case = with_compensation(case, "flow_sharing")
    solution = circuits.solve(case, plumbing)
    shares = [
        abs(solution.functions[index].flow_m3_s) / solution.functions[index].asked_m3_s
        for index in moved(case, plumbing, solution, ahead=False)
        if solution.functions[index].asked_m3_s > 1e-12
    ]
    assert all(share == pytest.approx(shares[0], rel=1e-9) for share in shares)


@given(seeds)
def test_no_lower_load_goes_short_while_a_higher_one_is_served(seed: int) -> None:
    """Who goes short stands at the pump's pressure, and nobody who is served stands above it."""
    case, plumbing = some_circuit(seed)
    case = with_compensation(case, "before_edge")
    solution = circuits.solve(case, plumbing)
    sections = moved(case, plumbing, solution, ahead=False)
    asked = math.fsum(flow.asked_m3_s for flow in solution.functions)
    for index in sections:
        flow = solution.functions[index]
        assert flow.pressure_pa <= solution.pump_pa * (1.0 + 1e-9)
        got = abs(flow.flow_m3_s)
        starved = asked > solution.available_m3_s and 0.0 < got < flow.asked_m3_s * (1.0 - 1e-9)
        if starved and not any(course.course == "stalled" for course in solution.functions):
            # The margin left over the set edge goes with the square of the flow (orifice).
            felt = flow.pressure_pa + case.tractor.pump_margin_pa * (got / flow.asked_m3_s) ** 2
            cut = felt > solution.pump_pa * (
                1.0 + 1e-6
            )  # its dial asks for more than the cut-off lets through
            assert (
                cut
                or felt == pytest.approx(solution.pump_pa, rel=1e-6)
                or ahead_rules(case, plumbing, solution)
            )


def ahead_rules(case: Case, plumbing: Plumbing, solution: circuits.Solution) -> bool:
    """Whether what hangs on power beyond makes the pump stand higher than any section does."""
    return bool(moved(case, plumbing, solution, ahead=True)) or bool(dead_ended(case, plumbing))


def dead_ended(case: Case, plumbing: Plumbing) -> bool:
    """Whether a section pushes oil at a port with no hose on it."""
    return any(
        circuits.port_role(case, plumbing, index) == circuits.SUPPLY
        and port.valve >= 0
        and index not in plumbing.hose_at
        for index, port in enumerate(case.tractor.ports)
    )


@given(seeds)
def test_no_section_takes_from_what_is_ahead_of_it(seed: int) -> None:
    case, plumbing = some_circuit(seed)
    solution = circuits.solve(case, plumbing)
    ahead = moved(case, plumbing, solution, ahead=True)
    asked = math.fsum(solution.functions[index].asked_m3_s for index in ahead)
    got = math.fsum(abs(solution.functions[index].flow_m3_s) for index in ahead)
    assert got == pytest.approx(min(asked, solution.available_m3_s), rel=1e-12, abs=1e-18)
    idle = replace(plumbing, levers=("block",) * len(plumbing.levers))
    alone = circuits.solve(case, idle)
    for index in ahead:
        # A return that led through a section is shut now; what stayed as it was gets what it got.
        if alone.functions[index].course == solution.functions[index].course:
            assert alone.functions[index].flow_m3_s == solution.functions[index].flow_m3_s


@given(seeds)
def test_a_case_stands_no_lower_than_the_end_of_its_drain(seed: int) -> None:
    case, plumbing = some_circuit(seed)
    solution = circuits.solve(case, plumbing)
    for index, function in enumerate(case.implement.functions):
        drain = case.hose_of(index, "drain")
        if not function.is_motor or drain < 0 or plumbing.hose_at[drain] < 0:
            continue
        ends = {
            circuits.SUPPLY: solution.pump_pa,
            circuits.SENSE: solution.pump_pa - case.tractor.pump_margin_pa,
            circuits.DRAIN: case.tractor.tank_pressure_pa,
            circuits.RETURN: case.tractor.tank_pressure_pa,
            circuits.OPEN: case.tractor.tank_pressure_pa,
        }
        end = ends.get(circuits.port_role(case, plumbing, plumbing.hose_at[drain]), 0.0)
        assert solution.functions[index].case_pa >= end


@given(seeds, st.integers(0, 3), st.booleans())
def test_a_line_that_is_off_passes_exactly_nothing(seed: int, index: int, first: bool) -> None:
    case, plumbing = some_circuit(seed)
    function = case.implement.functions[index]
    roles = ("pressure", "return") if function.is_motor else ("extend", "retract")
    hose_at = list(plumbing.hose_at)
    hose_at[case.hose_of(index, roles[0] if first else roles[1])] = -1
    flow = circuits.solve(case, replace(plumbing, hose_at=tuple(hose_at))).functions[index]
    assert flow.flow_m3_s == 0.0
    assert flow.course not in ("driven", "reversed")


@given(seeds)
def test_no_pressure_anywhere_is_below_nought_absolute_nor_the_pump_above_its_cut_off(seed: int) -> None:
    case, plumbing = some_circuit(seed)
    solution = circuits.solve(case, plumbing)
    told = [pressure for pressure in solution.ports_pa if pressure is not None]
    for flow in solution.functions:
        told += [flow.pressure_pa, flow.return_pa, flow.case_pa, flow.rod_side_pa]
    assert all(hydraulics.absolute_pressure_pa(pressure) > 0.0 for pressure in told)
    assert all(math.isfinite(pressure) for pressure in told)
    assert 0.0 <= solution.pump_pa <= case.tractor.pump_cutoff_pa
    for flow in solution.functions:
        # A load that stands above the cut-off keeps its pressure behind the check; no oil goes there.
        assert flow.flow_m3_s == 0.0 or flow.pressure_pa <= case.tractor.pump_cutoff_pa


@given(st.floats(20.0, 85.0))
def test_the_load_of_a_fan_rises_with_its_flow_without_a_jump(oil_c: float) -> None:
    """Through the change from laminar to turbulent in its hoses: the dial is turned up in small steps."""
    case = replace(BASE, tractor=replace(BASE.tractor, pump_cutoff_pa=1e9))
    at = [-1] * len(case.implement.hoses)
    fan = case.function("fan")
    places = {"pressure": "v1_extend", "return": "free_return", "drain": "case_drain"}
    for role, port in places.items():
        at[case.hose_of(fan, role)] = case.port(port)
    idle = (0.0,) * len(case.implement.functions)
    levers = ("extend",) + ("block",) * (len(case.tractor.valves) - 1)
    loads, numbers = [], []
    bore = case.implement.hoses[case.hose_of(fan, "pressure")].line.bore_m
    viscosity = hydraulics.kinematic_viscosity_m2_s(case.tractor.oil, oil_c)
    for step in range(40, 901, 5):
        dials = (step / 100.0,) + (0.0,) * (len(case.tractor.valves) - 1)
        plumbing = Plumbing(2200.0, oil_c, tuple(at), levers, dials, True, True, idle, idle, False)
        flow = circuits.solve(case, plumbing).functions[fan]
        loads.append(flow.pressure_pa)
        numbers.append(hydraulics.reynolds(4.0 * flow.flow_m3_s / (math.pi * bore**2), bore, viscosity))
    assume(numbers[0] < 2000.0 and numbers[-1] > 4000.0)
    for before, after in pairwise(loads):
        assert before < after < 1.2 * before
