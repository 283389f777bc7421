"""A tractor with a fixed pump and open-centre valves: all the oil goes round, all the time."""

from __future__ import annotations

from dataclasses import replace

import pytest

from trainer.authoring.compile import load_job
from trainer.core import circuits
from trainer.core.case import Case
from trainer.core.units import M3_S_PER_L_MIN, PA_PER_BAR

LINES = {
    "lift_extend": "v2_extend",
    "lift_retract": "v2_retract",
    "marker_extend": "v3_extend",
    "marker_retract": "v3_retract",
}


def open_centre() -> Case:
    case = load_job("first-week/couple").case
    return replace(case, tractor=replace(case.tractor, compensation=circuits.OPEN_CENTRE))


def solved(
    case: Case, levers: dict[str, str], strokes: tuple[float, ...], rev_min: float
) -> circuits.Solution:
    hose_at = [-1] * len(case.implement.hoses)
    for hose, port in LINES.items():
        hose_at[case.hose(hose)] = case.port(port)
    valves = [valve.name for valve in case.tractor.valves]
    return circuits.solve(
        case,
        circuits.Plumbing(
            engine_rev_min=rev_min,
            oil_c=50.0,
            hose_at=tuple(hose_at),
            levers=tuple(levers.get(valve, "block") for valve in valves),
            dials=(6.0,) * len(valves),
            valves_live=True,
            controls_live=True,
            speeds_rad_s=(0.0,) * len(case.implement.functions),
            strokes=tuple(strokes.get(function.name, 0.0) for function in case.implement.functions),
            locked=False,
        ),
    )


def test_at_rest_all_oil_goes_round_at_little_pressure() -> None:
    case = open_centre()
    solution = solved(case, {}, {}, 2200.0)
    assert solution.pump_m3_s == pytest.approx(63e-6 * 2200 / 60 * 0.93)
    assert solution.pump_pa == case.tractor.pump_standby_pa


def test_a_lever_held_at_the_end_of_the_stroke_sends_all_oil_over_the_relief() -> None:
    """kW = bar x L/min / 600 (definition of the units): 200 bar x 60 L/min is 20 kW of heat."""
    case = open_centre()
    rev_min = 60 * M3_S_PER_L_MIN / (63e-6 / 60)
    lossless = replace(case, tractor=replace(case.tractor, pump_volumetric_efficiency=1.0))
    solution = solved(lossless, {"v2": "extend"}, {"frame_lift": 1.0}, rev_min)
    assert solution.pump_pa == pytest.approx(200 * PA_PER_BAR)
    assert solution.heat_w == pytest.approx(20_000, rel=1e-6)


def test_the_easiest_load_comes_first() -> None:
    """At idle there is less than both ask for: the lighter load gets all it asks, the other the rest."""
    case = open_centre()
    solution = solved(case, {"v2": "extend", "v3": "extend"}, {"frame_lift": 0.5, "markers": 0.5}, 900.0)
    lift, markers = (solution.functions[case.function(name)] for name in ("frame_lift", "markers"))
    light, heavy = sorted((lift, markers), key=lambda flow: flow.pressure_pa)
    assert lift.asked_m3_s + markers.asked_m3_s > solution.available_m3_s
    assert light.flow_m3_s == pytest.approx(light.asked_m3_s)
    assert heavy.flow_m3_s == pytest.approx(solution.available_m3_s - light.flow_m3_s)


def test_what_is_not_taken_is_throttled_away() -> None:
    """Pump power is work plus heat: nothing is lost on the way."""
    case = open_centre()
    solution = solved(case, {"v3": "extend"}, {"markers": 0.5}, 2200.0)
    index = case.function("markers")
    moved, function = solution.functions[index], case.implement.functions[index]
    work_w = function.load_n * moved.flow_m3_s / function.bore_area_m2
    leak = solution.available_m3_s * (1 / case.tractor.pump_volumetric_efficiency - 1)
    assert solution.pump_pa * (solution.available_m3_s + leak) == pytest.approx(work_w + solution.heat_w)
