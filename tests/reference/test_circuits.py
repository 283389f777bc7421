"""Whole circuits and whole courses of the engine against solutions by other means (fluids, scipy)."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import oracles
import pytest
from network import Network, Solved
from scipy.integrate import solve_ivp

from random_circuits import some_circuit
from trainer.authoring.compile import load_job
from trainer.core import circuits, readings
from trainer.core.actions import Action
from trainer.core.attempt import Attempt
from trainer.core.case import Case
from trainer.core.state import State
from trainer.core.units import RAD_S_PER_REV_MIN, TICK_S, TICKS_PER_S

AT_WORK = load_job("first-week/uncouple").case
"""As it is found: fan and generator turn, everything is on, the engine runs."""
FAN, LIFT = AT_WORK.function("fan"), AT_WORK.function("frame_lift")
CIRCUITS = 300
BLEEDS_IN_S = 0.5
"""Time constant of a port in float (the yard's own)."""


MADE = [some_circuit(seed) for seed in range(CIRCUITS)]
THEIRS: list[Solved] = [Network(case, plumbing).solve() for case, plumbing in MADE]


def asked(solved: Solved) -> float:
    return math.fsum(consumer.asked for consumer in solved.consumers)


def short(seed: int) -> bool:
    return asked(THEIRS[seed]) > THEIRS[seed].available


@pytest.mark.parametrize("seed", range(CIRCUITS))
def test_a_circuit_is_solved_alike(seed: int) -> None:
    case, plumbing = MADE[seed]
    ours, theirs = circuits.solve(case, plumbing), THEIRS[seed]
    assert [flow.course for flow in ours.functions] == theirs.courses
    assert ours.available_m3_s == pytest.approx(theirs.available, rel=1e-12)
    for index, flow in enumerate(ours.functions):
        # The engine's search for the flow at cut-off ends at 1e-12 m³/s.
        assert flow.flow_m3_s == pytest.approx(theirs.flows[index], rel=1e-6, abs=4e-12)
        assert flow.pressure_pa == pytest.approx(theirs.pressures[index], rel=1e-6, abs=1.0)
        assert flow.case_pa == pytest.approx(theirs.cases[index], rel=1e-6, abs=1.0)
        if flow.flow_m3_s:
            assert flow.return_pa == pytest.approx(theirs.backs[index], rel=1e-6, abs=1.0)
    assert ours.pump_m3_s == pytest.approx(math.fsum(map(abs, theirs.flows)), rel=1e-6, abs=4e-12)
    assert ours.pump_pa == pytest.approx(theirs.pump_pa, rel=1e-6, abs=1.0)


@pytest.mark.parametrize("seed", range(0, CIRCUITS, 3))
def test_an_open_centre_is_solved_alike(seed: int) -> None:
    """A fixed pump: the oil goes the easiest way first, and all of it goes somewhere."""
    case, plumbing = MADE[seed]
    case = replace(case, tractor=replace(case.tractor, compensation="open_centre"))
    ours, theirs = circuits.solve(case, plumbing), Network(case, plumbing).solve()
    assert [flow.course for flow in ours.functions] == theirs.courses
    assert ours.pump_m3_s == (ours.available_m3_s if plumbing.engine_rev_min else 0.0)
    for index, flow in enumerate(ours.functions):
        assert flow.flow_m3_s == pytest.approx(theirs.flows[index], rel=1e-6, abs=4e-12)
        if flow.flow_m3_s:
            assert flow.pressure_pa == pytest.approx(theirs.pressures[index], rel=1e-6, abs=1.0)


def test_the_circuits_are_of_every_sort() -> None:
    seeds = range(CIRCUITS)
    courses = {course for solved in THEIRS for course in solved.courses}
    assert courses == {"idle", "driven", "reversed", "stalled", "coasting", "shut_in"}
    for compensation in ("before_edge", "flow_sharing"):
        of_kind = [seed for seed in seeds if MADE[seed][0].tractor.compensation == compensation]
        assert len([seed for seed in of_kind if short(seed) and len(THEIRS[seed].consumers) > 1]) >= 30
    at_cutoff = [
        consumer for solved in THEIRS for consumer in solved.consumers if consumer.asked < consumer.dial
    ]
    assert len(at_cutoff) >= 30
    assert len([solved for solved in THEIRS if len(solved.consumers) >= 3]) >= 60


# --- whole courses: the engine tick by tick against the differential equation ---


def run_of(case: Case, *actions: Action, seconds: float) -> list[State]:
    """States after each tick of a run that begins with these actions; at 0 before them."""
    attempt = Attempt(case, ())
    states = [attempt.state]
    for action in actions:
        assert attempt.do(action) is None
        states.append(attempt.state)
    while attempt.state.tick < seconds * TICKS_PER_S:
        attempt.run(1)
        states.append(attempt.state)
    assert [state.tick for state in states] == list(range(len(states)))
    return states


def at_ticks(
    slope: Callable[[float, np.ndarray], list[float]],
    start: float,
    ticks: int,
    longest_step: float = math.inf,
) -> np.ndarray:
    """A differential equation integrated from a start, read off at each tick."""
    end = ticks * TICK_S
    run = solve_ivp(
        slope,
        (0.0, end),
        [start],
        t_eval=np.linspace(0.0, end, ticks + 1),
        rtol=1e-8,
        atol=1e-9,
        max_step=longest_step,
    )
    assert run.success
    return run.y[0]


def test_a_fan_in_float_coasts_as_its_law_says() -> None:
    function = AT_WORK.implement.functions[FAN]
    states = run_of(AT_WORK, Action("lever", "v1", "float"), seconds=12.0)
    rated = function.rated_rev_min * RAD_S_PER_REV_MIN

    def slope(_: float, speed: np.ndarray) -> list[float]:
        return [-function.rated_torque_n_m * (speed[0] / rated) ** 2 / function.inertia_kg_m2]

    speeds = at_ticks(slope, states[0].works[FAN].speed_mrad_s / 1e3, len(states) - 1)
    assert states[-1].works[FAN].speed_mrad_s < 0.06 * states[0].works[FAN].speed_mrad_s
    for state, speed in zip(states, speeds, strict=True):
        assert state.works[FAN].speed_mrad_s / 1e3 == pytest.approx(float(speed), rel=0.01)


def test_a_fan_stopped_in_block_makes_the_spike_of_rotor_and_hose() -> None:
    lines = dict(AT_WORK.start.lines_on) | {"fan_return": "v1_retract"}
    case = replace(AT_WORK, start=replace(AT_WORK.start, lines_on=tuple(lines.items())))
    function = case.implement.functions[FAN]
    attempt = Attempt(case, ())
    attempt.run(40)
    before = attempt.state.works[FAN]
    attempt.do(Action("lever", "v1", "block"))
    (event,) = [event for event in attempt.events if event.kind == "motor_shut_in"]
    assert before.return_pa > 5e5
    expected = oracles.spike_pa(
        before.return_pa,
        function.inertia_kg_m2,
        before.speed_mrad_s / 1e3 / math.tau,
        function.hose_bulk_modulus_pa,
        function.hose_volume_m3,
        function.displacement_m3,
    )
    assert event.value("peak_pa") == pytest.approx(expected, rel=0.01)
    attempt.run(TICKS_PER_S)
    assert attempt.state.works[FAN].speed_mrad_s == 0


@pytest.mark.parametrize("compensation", ["before_edge", "flow_sharing"])
def test_a_lift_slows_down_as_the_engine_does(compensation: str) -> None:
    """Full dial, the engine let down to idle meanwhile, the generator ahead on power beyond."""
    case = replace(
        AT_WORK,
        tractor=replace(AT_WORK.tractor, compensation=compensation),
        start=replace(
            AT_WORK.start,
            engine_rev_min=2200.0,
            fan_rev_min=0.0,
            cylinders=(("frame_lift", 0.0), ("markers", 1.0)),
            levers=(("v1", "block", 6.0), ("v2", "extend", 8.0), ("v3", "block", 4.0)),
        ),
    )
    function, tractor = case.implement.functions[LIFT], case.tractor
    states = run_of(case, Action("throttle", amount=850_000), seconds=11.0)

    def flow_at(engine_rev_min: float) -> float:
        now = replace(readings.plumbing(case, states[3]), engine_rev_min=engine_rev_min)
        return Network(case, now).solve().flows[LIFT]

    speeds = np.linspace(850.0, 2200.0, 400)
    flows = np.array([flow_at(speed) for speed in speeds])
    assert flows[0] < 0.5 * flows[-1]

    def slope(time: float, _: np.ndarray) -> list[float]:
        engine = max(850.0, 2200.0 - tractor.engine_rise_rev_min_s * time)
        return [float(np.interp(engine, speeds, flows)) / function.bore_area_m2]

    strokes = at_ticks(slope, 0.0, len(states) - 1, longest_step=0.02)
    moving = [
        (state.works[LIFT].stroke_um / 1e6, float(stroke))
        for state, stroke in zip(states, strokes, strict=True)
        if stroke < function.stroke_m
    ]
    assert len(moving) > 100
    for ours, theirs in moving[4:]:  # a fifth of a second on: before that one tick is more than a hundredth
        assert ours == pytest.approx(theirs, rel=0.01)
    took = float(np.argmax(strokes >= function.stroke_m)) * TICK_S
    assert states[-1].works[LIFT].stroke_ms / 1e3 == pytest.approx(took, abs=2.0 * TICK_S)


def test_oil_warms_up_as_its_heat_says() -> None:
    """Fan and generator from a cold morning on; as the oil thins, the heat falls."""
    case = replace(AT_WORK, start=replace(AT_WORK.start, oil_c=-5.0, air_c=-5.0, engine_rev_min=1800.0))
    tractor = case.tractor
    states = run_of(case, seconds=1200.0)
    running = readings.plumbing(case, states[-1])

    def heat_w(oil_c: float) -> float:
        network = Network(case, replace(running, oil_c=oil_c))
        solved = network.solve()
        pumped = math.fsum(map(abs, solved.flows))
        leaks = network.available * (1.0 / tractor.pump_volumetric_efficiency - 1.0)
        work = 0.0
        for function, flow in zip(case.implement.functions, solved.flows, strict=True):
            if flow:
                turns = flow * function.volumetric_efficiency / function.displacement_m3
                torque = function.rated_torque_n_m * (turns * 60.0 / function.rated_rev_min) ** 2
                work += torque * math.tau * turns
        return solved.pump_pa * (pumped + leaks) - work

    temperatures = np.linspace(-6.0, 90.0, 200)
    heats = np.array([heat_w(float(each)) for each in temperatures])
    assert heats[10] > 1.05 * heats[100]
    capacity = tractor.oil.density_kg_m3 * tractor.oil.heat_capacity_j_kg_k * tractor.oil_volume_m3

    def slope(_: float, oil: np.ndarray) -> list[float]:
        heat = float(np.interp(oil[0], temperatures, heats))
        return [(heat - tractor.cooler_w_k * (oil[0] - case.start.air_c)) / capacity]

    theirs = at_ticks(slope, case.start.oil_c, len(states) - 1, longest_step=5.0)
    ours = np.array([state.oil_mc / 1e3 for state in states])
    rise, expected = ours - case.start.oil_c, theirs - case.start.oil_c
    assert expected[-1] > 25.0
    whole_seconds = np.arange(60 * TICKS_PER_S, len(states), TICKS_PER_S)
    assert np.max(np.abs(rise - expected)[whole_seconds] / expected[whole_seconds]) < 0.01


def test_a_port_in_float_bleeds_to_the_tank() -> None:
    states = run_of(AT_WORK, Action("lever", "v3", "float"), seconds=6.0)
    port, tank = AT_WORK.port("v3_extend"), AT_WORK.tractor.tank_pressure_pa
    theirs = at_ticks(lambda _, p: [-(p[0] - tank) / BLEEDS_IN_S], states[0].port_pa[port], len(states) - 1)
    assert states[0].port_pa[port] == 90e5
    # Six seconds are twelve time constants: e to the minus twelfth of it is left.
    assert states[-1].port_pa[port] - tank == pytest.approx((90e5 - tank) * math.exp(-12.0), abs=10.0)
    for state, expected in zip(states, theirs, strict=True):
        assert state.port_pa[port] == pytest.approx(float(expected), rel=0.01)
