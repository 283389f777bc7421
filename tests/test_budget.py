"""The plan of a coupling: it has to be the yard's own sums, and every figure has to add up."""

import math
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.authoring.compile import Job, load_job
from trainer.authoring.orders import answer_items, play_items
from trainer.core import circuits, readings
from trainer.core.budget import Budget, Draw, Phase, axle_load, budget, least_ballast_kg, proper_ports
from trainer.core.units import M3_S_PER_L_MIN, PA_PER_BAR, whole


@cache
def couple() -> Job:
    return load_job("first-week/couple")


@cache
def worked() -> Budget:
    return budget(couple().case)


def phase(name: str, by: str = "oil") -> Phase:
    return next(phase for phase in worked().phases if (phase.name, phase.by) == (name, by))


def draw(of: Phase, function: str) -> Draw:
    return next(draw for draw in of.draws if draw.function == function)


def test_every_phase_is_shown_by_oil_and_by_shaft() -> None:
    names = ("transport", "working", "headland", "headland_idle", "cold")
    assert [(phase.name, phase.by) for phase in worked().phases] == [
        (name, by) for name in names for by in ("oil", "shaft")
    ]


def test_a_dial_is_the_setting_at_which_the_section_gives_what_is_needed() -> None:
    case = couple().case
    for phase in worked().phases:
        for draw in phase.draws:
            if draw.dial is not None:
                valve = case.tractor.ports[case.port(draw.supply)].valve
                assert circuits.dial_flow_m3_s(case, valve, draw.dial) == pytest.approx(draw.needs_m3_s)
    assert draw_of("working", "fan").dial == pytest.approx(6.0)  # 40 L/min is point 6 of the flow table


def draw_of(name: str, function: str, by: str = "oil") -> Draw:
    return draw(phase(name, by), function)


def test_the_plan_agrees_with_what_a_second_technician_reads_at_hand_in() -> None:
    """The yard, played through by its answer, measures the case pressure the plan foretells."""
    job = couple()
    attempt = play_items(job.case, job.rules, answer_items(job))
    handed_in = next(event for event in attempt.events if event.kind == "handed_in")
    fan = job.case.function("fan")
    dial = attempt.state.dials_milli[
        job.case.tractor.ports[attempt.state.hose_at[job.case.hose("fan_pressure")]].valve
    ]
    assert dial == whole((draw_of("working", "fan").dial or 0.0) * 1000)
    assert handed_in.value("case_pa") == whole(draw_of("working", "fan").case_pa or 0.0)
    assert readings.handed_in(job.case, attempt.state)["case_pa"] == handed_in.value("case_pa")
    assert job.case.implement.functions[fan].case_good_pa > handed_in.value("case_pa") > 0


def test_flows_add_up() -> None:
    for phase in worked().phases:
        oil = [draw for draw in phase.draws if draw.by == "oil"]
        assert phase.asked_m3_s == pytest.approx(math.fsum(draw.asked_m3_s for draw in oil))
        assert phase.got_m3_s == pytest.approx(math.fsum(draw.got_m3_s for draw in oil))
        assert phase.got_m3_s <= phase.available_m3_s * (1 + 1e-9)
        assert phase.got_m3_s == pytest.approx(min(phase.asked_m3_s, phase.available_m3_s))
        assert phase.short_m3_s == max(0.0, phase.asked_m3_s - phase.available_m3_s)
        assert phase.heat_w >= 0.0
        for draw in phase.draws:
            assert 0.0 <= draw.got_m3_s <= draw.asked_m3_s * (1 + 1e-9)


def test_a_shaft_frees_the_oil_its_function_would_take() -> None:
    for name in ("transport", "working", "headland"):
        freed = phase(name).asked_m3_s - phase(name, "shaft").asked_m3_s
        assert freed == pytest.approx(draw_of(name, "generator").needs_m3_s)
    shaft = draw_of("working", "generator", "shaft")
    assert (shaft.by, shaft.dial, shaft.got_m3_s) == ("shaft", None, 0.0)
    tractor = couple().case.tractor
    generator = couple().case.implement.functions[couple().case.function("generator")]
    slowed = couple().case.engine_work_rev_min / tractor.rated_rev_min
    assert shaft.speed_rev_min == pytest.approx(
        generator.rated_rev_min * tractor.pto_rev_min / generator.pto_rev_min * slowed
    )


def test_the_headland_is_where_oil_runs_short() -> None:
    assert phase("working").short_m3_s == 0.0
    assert phase("headland").asked_m3_s > phase("working").asked_m3_s
    slower = budget(replace(couple().case, engine_work_rev_min=2000.0))
    by_oil, by_shaft = (one for one in slower.phases if one.name == "headland")
    assert by_oil.short_m3_s > 0.0
    assert by_shaft.short_m3_s == 0.0
    assert phase("headland_idle").short_m3_s > by_oil.short_m3_s
    # Short of flow the pump's pressure falls: the heaviest loads get less, the lightest keeps all it asks.
    missing = [one.needs_m3_s - one.got_m3_s for one in by_oil.draws]
    assert math.fsum(missing) == pytest.approx(by_oil.short_m3_s, rel=1e-6)
    assert draw(by_oil, "fan").got_m3_s < draw(by_oil, "fan").needs_m3_s
    assert draw(by_oil, "markers").got_m3_s == pytest.approx(draw(by_oil, "markers").needs_m3_s)


def test_speeds_and_strokes_follow_from_the_flow() -> None:
    case = couple().case
    fan = case.implement.functions[case.function("fan")]
    got = draw_of("working", "fan")
    assert got.speed_rev_min == pytest.approx(
        60.0 * fan.volumetric_efficiency * got.got_m3_s / fan.displacement_m3
    )
    low, high = got.speed_band_rev_min or (0.0, 0.0)
    assert low <= (got.speed_rev_min or 0.0) <= high
    lift = case.implement.functions[case.function("frame_lift")]
    stroke = draw_of("headland", "frame_lift")
    assert stroke.time_s == pytest.approx(lift.bore_area_m2 * lift.stroke_m / stroke.got_m3_s)
    assert (stroke.time_s or math.inf) <= (stroke.longest_s or 0.0)
    assert (draw_of("headland_idle", "frame_lift").time_s or 0.0) > lift.longest_s


def test_pressures_are_told_with_their_limits() -> None:
    fan = draw_of("working", "fan")
    assert fan.case_pa is not None
    assert fan.case_limit_pa == 5 * PA_PER_BAR
    assert 0.0 < fan.case_pa < fan.case_limit_pa
    assert draw_of("working", "generator").case_pa is None  # it has no drain line
    for each in phase("working").draws:
        assert each.pressure_pa > each.return_pa > 0.0
        assert each.pressure_pa < phase("working").pump_pa


def test_cold_oil_is_planned_for_where_the_yard_is_cold() -> None:
    cold = draw_of("cold", "fan")
    assert (cold.case_pa or 0.0) > (draw_of("working", "fan").case_pa or 0.0)
    case = couple().case
    warm = replace(case, start=replace(case.start, oil_c=55.0))
    assert "cold" not in {phase.name for phase in budget(warm).phases}


def test_lines_go_where_the_job_puts_them() -> None:
    case = couple().case
    ports = proper_ports(case)
    by_name = {
        hose.name: case.tractor.ports[ports[index]].name for index, hose in enumerate(case.implement.hoses)
    }
    assert by_name["fan_drain"] == "case_drain"
    assert by_name["fan_return"] == "free_return"
    assert by_name["gen_sense"] == "pb_sense"
    found_coupled = load_job("first-week/uncouple").case
    on = dict(found_coupled.start.lines_on)
    ports = proper_ports(found_coupled)
    for index, hose in enumerate(found_coupled.implement.hoses):
        if hose.name in on:
            assert found_coupled.tractor.ports[ports[index]].name == on[hose.name]


def test_lines_that_no_job_names_find_a_port_that_fits() -> None:
    case = replace(couple().case, steps=())
    ports = proper_ports(case)
    kinds = {}
    for index, hose in enumerate(case.implement.hoses):
        assert ports[index] >= 0, hose.name
        port = case.tractor.ports[ports[index]]
        assert port.form == hose.form
        kinds[hose.name] = (port.kind, port.valve)
    assert len(set(ports)) == len(ports)
    assert kinds["fan_drain"][0] == "case_drain"
    assert kinds["gen_pressure"][0] == "pb_pressure"
    assert kinds["lift_extend"][1] == kinds["lift_retract"][1] != kinds["marker_extend"][1]
    assert budget(case).phases == worked().phases


def test_axle_loads_carry_every_kilogram() -> None:
    case = couple().case
    steps = case.tractor.ballast_steps_kg
    assert [(axle.raised, axle.ballast_kg) for axle in worked().axles] == [
        (raised, ballast) for raised in (False, True) for ballast in steps
    ]
    for axle in worked().axles:
        carried = case.implement.mass_kg * case.implement.carried_share if axle.raised else 0.0
        whole_mass = case.tractor.mass_kg + case.tractor.coupler_mass_kg + axle.ballast_kg + carried
        assert axle.front_kg + axle.rear_kg == pytest.approx(whole_mass)
        assert axle.enough == (axle.front_kg >= case.limits.front_share * case.tractor.mass_kg)


@given(st.floats(0.1, 0.4))
def test_the_least_ballast_is_the_least(share: float) -> None:
    case = couple().case
    case = replace(case, limits=replace(case.limits, front_share=share))
    least = least_ballast_kg(case)
    front, _ = readings.axle_loads_kg(case, least, True)
    if least > 0.0:
        assert front == pytest.approx(share * case.tractor.mass_kg)
        assert not axle_load(case, int(least) - 1, True).enough
    assert axle_load(case, int(least) + 1, True).enough


def test_the_demo_pair_needs_ballast_the_rack_has() -> None:
    steps = couple().case.tractor.ballast_steps_kg
    assert 0.0 < worked().least_ballast_kg <= max(steps)
    assert not axle_load(couple().case, 0, True).enough


def test_plugs_draw_what_the_implement_takes() -> None:
    case = couple().case
    currents = {plug.role: plug.current_a for plug in worked().plugs}
    assert currents == {"bus": case.implement.bus_current_a, "lighting": case.implement.lighting_current_a}
    offers = {plug.role: plug.offered_a for plug in worked().plugs}
    assert offers == {"bus": 50.0, "lighting": None}
    # 95 s of saving, asked for two seconds at a time.
    assert worked().supply_hold_s == 96.0


def test_what_hangs_on_power_beyond_runs_in_every_phase() -> None:
    assert draw_of("transport", "generator").got_m3_s == pytest.approx(24 * M3_S_PER_L_MIN)
    assert "fan" not in {draw.function for draw in phase("transport").draws}
