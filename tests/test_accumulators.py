"""A line with an accumulator stays charged after key off, bleeds in its own time and holds real pressure."""

import math
from dataclasses import replace

import pytest
from scipy.integrate import solve_ivp

from trainer.authoring.compile import compile_texts, load_job
from trainer.core.accumulators import DISCHARGE, bled_pa, oil_held_m3
from trainer.core.actions import from_line, mask
from trainer.core.attempt import Attempt
from trainer.core.case import Case
from trainer.core.circuits import solve
from trainer.core.readings import plumbing, standing

VOLUME_M3, PRECHARGE_PA, ORIFICE_M2, DENSITY = 0.75e-3, 60e5, 0.8e-6, 870.0
ATMOSPHERE_PA = 101_325.0


def charged_case(volume_m3: float = VOLUME_M3) -> Case:
    """The planter with an accumulator on the line that swings its markers out: a machine of tests only."""
    case = load_job("first-week/uncouple").case
    functions = tuple(
        replace(
            one,
            accumulator_volume_m3=volume_m3,
            accumulator_precharge_pa=PRECHARGE_PA,
            accumulator_orifice_m2=ORIFICE_M2,
        )
        if one.kind == "marker"
        else one
        for one in case.implement.functions
    )
    return replace(
        case, job=f"test/charged{volume_m3}", implement=replace(case.implement, functions=functions)
    )


def found(case: Case) -> tuple[Attempt, int, str]:
    """Seated, key on, engine off, 150 bar in the markers' line; its port and the valve behind it."""
    attempt = Attempt(case, ())
    marker = next(index for index, one in enumerate(case.implement.functions) if one.kind == "marker")
    port = attempt.state.hose_at[case.hose_of(marker, "extend")]
    valve = case.tractor.valves[case.tractor.ports[port].valve].name
    state = attempt.state
    attempt.state = state._replace(
        station="seat",
        key="on",
        engine=False,
        engine_mrev_min=0,
        moving=True,
        works=tuple(work._replace(speed_mrad_s=0, course="idle", flow_mm3_s=0) for work in state.works),
        hose_pa=tuple(
            15_000_000 if at == port else pressure
            for at, pressure in zip(state.hose_at, state.hose_pa, strict=True)
        ),
        port_pa=(*state.port_pa[:port], 15_000_000, *state.port_pa[port + 1 :]),
    )
    return attempt, port, valve


def done(attempt: Attempt, *lines: str) -> None:
    for line in lines:
        attempt.settle()
        assert attempt.do(from_line(line)) is None, line
    attempt.settle()


@pytest.mark.parametrize("seconds", [0.05, 0.5, 1.5, 3.0])
@pytest.mark.parametrize("start_pa", [200e5, 150e5, 70e5])
def test_bleeding_follows_the_differential_equation(seconds: float, start_pa: float) -> None:
    """Boyle's law and the orifice's flow, by scipy with the pressure as its unknown: 1 %."""
    gas = (PRECHARGE_PA + ATMOSPHERE_PA) * VOLUME_M3

    def slope(_: float, pressure: list[float]) -> list[float]:
        if pressure[0] <= PRECHARGE_PA:
            return [0.0]
        flow = DISCHARGE * ORIFICE_M2 * math.sqrt(2 * (pressure[0] - 2e5) / DENSITY)
        return [-flow * (pressure[0] + ATMOSPHERE_PA) ** 2 / gas]

    expected = solve_ivp(slope, (0.0, seconds), [start_pa], rtol=1e-10, max_step=0.01).y[0][-1]
    ours = start_pa
    for _ in range(round(seconds / 0.05)):
        ours = bled_pa(ours, 2e5, VOLUME_M3, PRECHARGE_PA, ORIFICE_M2, DENSITY, 0.05)
    assert ours == pytest.approx(max(expected, PRECHARGE_PA), rel=0.01)


def test_what_is_held_is_boyles_law() -> None:
    """p V is the same before and after (ideal gas, one temperature)."""
    for pressure in (61e5, 100e5, 210e5):
        gas = VOLUME_M3 - oil_held_m3(pressure, VOLUME_M3, PRECHARGE_PA)
        assert gas * (pressure + ATMOSPHERE_PA) == pytest.approx(VOLUME_M3 * (PRECHARGE_PA + ATMOSPHERE_PA))
    assert oil_held_m3(PRECHARGE_PA, VOLUME_M3, PRECHARGE_PA) == 0.0
    with pytest.raises(ValueError, match="a volume"):
        oil_held_m3(1e5, 0.0, PRECHARGE_PA)


def test_it_stays_charged_after_key_off() -> None:
    attempt, port, _ = found(charged_case())
    done(attempt, "key: off", "wait: 600 s")
    assert attempt.state.port_pa[port] == 15_000_000
    assert not standing(attempt.case, attempt.state) & mask("bled")


def test_a_moment_in_float_is_not_enough_and_longer_is() -> None:
    times = {}
    for volume in (0.0, VOLUME_M3, 2 * VOLUME_M3):
        attempt, port, valve = found(charged_case(volume))
        done(attempt, f"lever: {valve} to float")
        began = attempt.state.tick
        while attempt.state.port_pa[port] > 500_000:
            attempt.run(1)
            assert attempt.state.tick - began < 1200
        times[volume] = attempt.state.tick - began
    assert times[0.0] < times[VOLUME_M3] < times[2 * VOLUME_M3]
    assert times[VOLUME_M3] - times[0.0] > 20


def test_uncoupling_it_charged_is_told_with_its_pressure() -> None:
    attempt, port, _ = found(charged_case())
    done(attempt, "key: out")
    case = attempt.case
    marker = next(index for index, one in enumerate(case.implement.functions) if one.kind == "marker")
    hose = case.implement.hoses[case.hose_of(marker, "extend")].name
    done(attempt, "go: panel", f"uncouple: {hose}")
    told = next(event for event in attempt.events if event.kind == "uncoupled")
    assert told.value("pressure_pa") == 15_000_000
    assert attempt.state.hose_pa[case.hose(hose)] == 15_000_000
    # It cannot be pushed home again: the line still holds what it was charged to.
    again = attempt.do(from_line(f"couple: {hose} to {case.tractor.ports[port].name}"))
    attempt.settle()
    again = attempt.do(from_line(f"couple: {hose} to {case.tractor.ports[port].name}"))
    assert again is not None
    assert again.reason == "pressure"


def test_a_machine_file_says_it() -> None:
    job = load_job("first-week/uncouple")
    path = next(name for name in job.files if name.endswith("planter_8row.yaml"))
    text = job.files[path]
    held = "    accumulator: {volume: 0.75 L, precharge: 60 bar, orifice: 1 mm}\n"
    assert text.count("    stroke: 600 mm\n") == 1
    made = compile_texts(
        job.name, {**job.files, path: text.replace("    stroke: 600 mm\n", f"    stroke: 600 mm\n{held}")}
    )
    marker = next(one for one in made.case.implement.functions if one.kind == "marker")
    assert marker.accumulator_volume_m3 == pytest.approx(0.75e-3)
    assert marker.accumulator_precharge_pa == pytest.approx(60e5)
    assert marker.accumulator_orifice_m2 == pytest.approx(math.pi / 4 * 1e-6)


def test_a_port_that_leads_home_stands_at_the_pressure_of_what_flows_through_it() -> None:
    """Back pressure grows with the square of the flow: the return law of `circuits.back_pressure_pa`."""
    attempt = Attempt(load_job("first-week/uncouple").case, ())
    case, live = attempt.case, plumbing(attempt.case, attempt.state)
    fan = case.function("fan")
    pressure, back = (live.hose_at[case.hose_of(fan, role)] for role in ("pressure", "return"))
    levers = list(live.levers)
    levers[case.tractor.ports[pressure].valve] = case.tractor.ports[pressure].kind
    running = replace(live, engine_rev_min=case.engine_work_rev_min, levers=tuple(levers), valves_live=True)
    solution = solve(case, running)
    flow = solution.functions[fan]
    assert flow.course == "driven"
    at_port = solution.ports_pa[back]
    assert at_port is not None
    assert case.tractor.tank_pressure_pa < at_port < flow.return_pa
    still = solve(case, replace(running, engine_rev_min=0.0)).ports_pa[back]
    assert still == pytest.approx(case.tractor.tank_pressure_pa)
