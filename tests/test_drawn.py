"""A drawn machine in the yard: figures against sources, and what happens when it is not made fast."""

import math
import random
from dataclasses import replace as changed
from functools import cache

import pytest

from trainer.authoring import orders
from trainer.authoring.compile import Job, load_job
from trainer.authoring.oracle_drawn import judge_of
from trainer.core import drawbar, readings
from trainer.core.actions import from_line
from trainer.core.attempt import Attempt
from trainer.core.case import Case
from trainer.core.engine import start
from trainer.core.state import State, replace
from trainer.core.units import micro, mrad_s

COUPLE, UNCOUPLE = "class/couple_baler", "class/uncouple_baler"


@cache
def job(name: str) -> Job:
    return load_job(name)


def case_with(name: str, **tongue: float) -> Case:
    """The job's case with some facts of the tongue changed."""
    case = job(name).case
    assert case.implement.tongue is not None
    return changed(case, implement=changed(case.implement, tongue=changed(case.implement.tongue, **tongue)))


def done(name: str, *lines: str, **found: object) -> Attempt:
    attempt = Attempt(job(name).case, job(name).rules)
    attempt.state = replace(attempt.state, **found)
    for line in lines:
        attempt.settle()
        assert attempt.do(from_line(line)) is None, line
        attempt.settle()
    return attempt


def told(attempt: Attempt) -> list[str]:
    return [event.kind for event in attempt.events]


def test_fifty_millimetres_over_four_metres_pitch_a_frame_by_0_716_degrees() -> None:
    # Handbook figure for a drawn frame: atan(dh / tongue), 50 mm over 4.0 m is 0.716 degrees (derived).
    case = case_with(COUPLE, length_m=4.0, eye_height_m=0.480)
    state = replace(start(case), jack_um=530_000)
    assert math.degrees(-drawbar.tongue_pitch_urad(case, state) / 1e6) == pytest.approx(0.716, abs=5e-4)


def test_the_tongue_takes_from_the_front_what_it_adds_behind() -> None:
    # V cd / L off the front, V (1 + cd / L) onto the rear: moments about the rear axle (handbook).
    case = job(COUPLE).case
    assert case.implement.tongue is not None
    tractor, load_kg, reach_m = case.tractor, case.implement.tongue.load_kg, 0.3556
    free = readings.axle_loads_kg(case, 0.0, False, reach_m)
    laden = readings.axle_loads_kg(case, 0.0, True, reach_m)
    lever = load_kg * (tractor.stub_behind_m + reach_m) / tractor.wheelbase_m
    assert laden[0] - free[0] == pytest.approx(-lever)
    assert laden[1] - free[1] == pytest.approx(load_kg + lever)
    assert sum(laden) == pytest.approx(tractor.mass_kg + load_kg)
    share = judge_of(case).front_share(replace(start(case), drawbar_reach_um=micro(reach_m)))
    assert share == pytest.approx(laden[0] / tractor.mass_kg)


def test_a_flywheel_runs_down_in_inertia_times_speed_over_drag() -> None:
    attempt = done(UNCOUPLE)
    function = job(UNCOUPLE).case.implement.functions[0]
    speed = attempt.state.works[0].speed_mrad_s
    assert speed == mrad_s(880)
    expected_s = function.inertia_kg_m2 * speed / 1000.0 / function.rated_torque_n_m
    ticks = 0
    while attempt.state.works[0].speed_mrad_s:
        attempt.run()
        ticks += 1
    assert ticks / 20.0 == pytest.approx(expected_s, rel=0.01)


def test_the_drawbar_setting_decides_whether_the_shaft_fits() -> None:
    # At least 150 mm of overlap in line, 50 mm before it bottoms in the turn (trade practice).
    case = job(COUPLE).case
    fits = {inch: drawbar.reach_fits(case, drawbar.shaft_fit(case, inch * 0.0254)) for inch in (14, 16, 20)}
    assert fits == {14: True, 16: False, 20: False}


LOOSE = ["brake: release", "drive: off"]
COUPLED: dict[str, object] = {
    "stands": False,
    "weight": "drawbar",
    "chock_left": False,
    "chock_right": False,
    "station": "seat",
}


@pytest.mark.parametrize(
    ("found", "kind", "ended"),
    [
        ({"pin_clipped": False}, "pin_lost", "stopped for safety"),
        ({"stands": True}, "jack_dragged", ""),
        ({"pin_in": False, "pin_clipped": False, "engaged": False}, "dragged_by_chain", "stopped for safety"),
        (
            {"pin_in": False, "pin_clipped": False, "engaged": False, "chained": False},
            "fell",
            "stopped for safety",
        ),
        ({}, "moving", ""),
    ],
)
def test_driven_off_not_made_fast(found: dict[str, object], kind: str, ended: str) -> None:
    attempt = done(UNCOUPLE, *LOOSE, **{**COUPLED, **found})
    assert kind in told(attempt)
    assert attempt.state.ended == ended


@pytest.mark.parametrize(("left", "right", "rolls"), [(True, True, False), (True, False, True)])
def test_on_a_slope_one_chock_holds_nothing(left: bool, right: bool, rolls: bool) -> None:
    found = {**COUPLED, "station": "hitch", "pin_clipped": False, "chained": False}
    attempt = done(UNCOUPLE, "pin: remove", **{**found, "chock_left": left, "chock_right": right})
    assert attempt.state.site == "apron"
    assert ("rolled_away" in told(attempt)) == rolls


def test_a_jack_carries_only_when_it_is_cranked_up_to_the_clevis() -> None:
    case = job(UNCOUPLE).case
    assert case.tractor.drawbar is not None
    attempt = done(UNCOUPLE, "stands: down", **{**COUPLED, "station": "implement"})
    assert attempt.state.weight == "drawbar"
    clevis_mm = case.tractor.drawbar.height_m * 1000
    attempt.do(from_line(f"jack: {clevis_mm:g} mm"))
    assert attempt.state.weight == "stands"
    refusal = Attempt(case, ()).do(from_line("jack: 480 mm"))
    assert refusal is not None


def test_a_gate_sinks_in_float_unless_it_is_locked() -> None:
    case = job(UNCOUPLE).case
    gate = case.function("gate")
    for locked in (False, True):
        locks = tuple(locked and index == gate for index in range(len(case.implement.functions)))
        attempt = done(UNCOUPLE, "lever: v1 to float", "wait: 5 s", locked=locks)
        assert (attempt.state.works[gate].stroke_um == 0) != locked
        assert ("dropped" in told(attempt)) != locked


def test_who_takes_hold_of_a_shaft_that_is_driven_is_caught() -> None:
    attempt = done(UNCOUPLE, "uncouple: drive_shaft", **{**COUPLED, "station": "panel", "pto": True})
    assert "caught_by_shaft" in told(attempt)
    assert attempt.state.ended == "stopped for safety"


@pytest.mark.parametrize("name", [COUPLE, UNCOUPLE])
@pytest.mark.parametrize("seed", range(4))
def test_a_safe_order_earns_nothing(name: str, seed: int) -> None:
    rng = random.Random(f"{name} {seed}")  # noqa: S311  a draw, not a secret
    attempt = orders.play_order(job(name), orders.safe_order(job(name).case, rng))
    assert [finding.rule for finding in attempt.findings] == []
    assert attempt.score().passed


def test_the_state_of_a_mounted_pair_knows_no_tongue() -> None:
    case = load_job("first-week/couple").case
    state: State = start(case)
    assert (drawbar.eye_um(case, state), drawbar.tongue_pitch_urad(case, state)) == (0, 0)
    assert drawbar.overload_kg(case) == 0


def test_a_machine_without_a_control_unit_loses_none_when_the_key_is_on() -> None:
    job = load_job("class/uncouple_mower")
    assert not any(plug.role == "bus" for plug in job.case.implement.plugs)
    attempt = Attempt(job.case, job.rules)
    assert attempt.state.key == "on"
    attempt.run(20)
    assert "unit_lost" not in [event.kind for event in attempt.events]
