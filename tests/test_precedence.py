"""Steps derived from machine files: the trade's orders hold for drawn machines too, any safe order of them
can be done, amounts agree with sums made by hand, and a bad file of steps is told with its place.

The orders below are common practice of the trade for a machine drawn by the drawbar, with their physical
reasons in `scenarios/steps.yaml`; those of a mounted machine stand in `test_orders.py`. `unfold_test` is here
`function_test`.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest
import yaml

import pairs
from trainer.authoring import orders
from trainer.authoring.check import check_job
from trainer.authoring.compile import Job, compile_texts, load_job
from trainer.authoring.precedence import read_steps
from trainer.authoring.reader import read_as
from trainer.authoring.source import ContentError

COUPLE, UNCOUPLE = "first-week/couple", "first-week/uncouple"
JOB = f"jobs/{COUPLE}.yaml"
STEPS = "steps.yaml"

_DRAWN_COUPLE = """
    check_fit<back_align:D set_drawbar<back_align:D impl_chocked<back_align:I tongue_on_jack<back_align:I
    area_clear<back_align:I safe_stop<pin_in:I back_align<pin_in:D pin_in<pin_retainer:I
    pin_retainer<jack_up_stow:I pin_retainer<chain_on:I chain_on<chock_remove:I pin_retainer<chock_remove:I
    jack_up_stow<chock_remove:D safe_stop<hyd_connect:I bleed_zero<hyd_connect:I clean_couplers<hyd_connect:D
    safe_stop<elec_connect:D pin_retainer<hyd_connect:D pin_retainer<elec_connect:D hyd_connect<route_hoses:D
    elec_connect<route_hoses:D route_hoses<start_from_seat:D jack_up_stow<tongue_level:F
    hyd_connect<tongue_level:F tongue_level<function_test:F elec_connect<bus_check:F bus_check<speed_source:F
    elec_connect<light_check:I area_clear<function_test:I start_from_seat<function_test:I
"""
_DRAWN_UNCOUPLE = """
    area_clear<fold_park:I site_level<impl_chocked:I fold_park<jack_down_loaded:I lower_lock<bleed_zero:I
    impl_chocked<pin_out:I bleed_zero<hyd_off:I bleed_zero<ecu_wait:D safe_stop<ecu_wait:D ecu_wait<elec_off:D
    safe_stop<hyd_off:I safe_stop<jack_down_loaded:I jack_down_loaded<pin_out:I
    jack_down_loaded<pin_unloaded:F pin_unloaded<pin_out:I chain_off<creep_forward:D
    impl_chocked<chain_off:I elec_off<creep_forward:D
    hyd_off<creep_forward:D pin_out<reseat:I reseat<creep_forward:I elec_off<stow_plugs:D hyd_off<stow_plugs:D
    creep_forward<check_hoses:D check_hoses<drive_off:D
"""
PRACTICE = {"couple": _DRAWN_COUPLE.split(), "uncouple": _DRAWN_UNCOUPLE.split()}
"""Which step comes before which at a drawn machine, and I injury, D damage, F function (common practice)."""

DRAWN = [(machine, goal) for machine in (pairs.PLANTER, pairs.BALER) for goal in ("couple", "uncouple")]


def edges(job: Job) -> set[str]:
    return {f"{edge.before}<{step.name}:{edge.kind}" for step in job.case.steps for edge in step.after}


def actions(job: Job, step: str) -> tuple[str, ...]:
    return next(one.actions for one in job.case.steps if one.name == step)


def names(job: Job) -> list[str]:
    return [step.name for step in job.case.steps]


def with_text(file: str, old: str, new: str, job: str = COUPLE) -> dict[str, str]:
    """The files of a job, its slips left out, with one thing changed."""
    files = dict(load_job(job).files)
    files[f"jobs/{job}.yaml"] = files[f"jobs/{job}.yaml"].partition("\nslips:\n")[0] + "\n"
    assert old in files[file], f"{old!r} is no longer in {file}"
    return {**files, file: files[file].replace(old, new, 1)}


# --- drawn machines ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("goal", PRACTICE)
def test_a_drawn_machine_keeps_every_order_of_the_trade(goal: str) -> None:
    assert set(PRACTICE[goal]) - edges(pairs.drawn_job(pairs.PLANTER, goal)) == set()


@pytest.mark.parametrize(("machine", "goal"), DRAWN)
def test_an_order_holds_between_steps_that_are_there(machine: str, goal: str) -> None:
    job = pairs.drawn_job(machine, goal)
    for step in job.case.steps:
        assert {edge.before for edge in step.after} <= set(names(job))
    wanted = {edge for edge in PRACTICE[goal] if set(edge.partition(":")[0].split("<")) <= set(names(job))}
    assert wanted <= edges(job)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(("machine", "goal"), DRAWN)
def test_any_safe_order_of_a_drawn_machine_earns_full_marks(machine: str, goal: str, seed: int) -> None:
    job = pairs.drawn_job(machine, goal)
    order = orders.safe_order(job.case, random.Random(f"{machine} {goal} {seed}"))  # noqa: S311  a draw
    attempt = orders.play_order(job, order)
    assert [entry.refused for entry in attempt.log if entry.refused] == []
    assert [finding.rule for finding in attempt.findings] == []
    assert (attempt.state.ended, attempt.score().points) == ("handed in", 100)


@pytest.mark.parametrize(("machine", "goal"), DRAWN)
def test_every_step_of_a_drawn_machine_shows_when_it_is_done(machine: str, goal: str) -> None:
    (answer,) = check_job(pairs.drawn_job(machine, goal)).runs
    assert answer.faults == ()


@pytest.mark.parametrize(("machine", "goal"), DRAWN)
def test_what_no_rule_guards_is_listed(machine: str, goal: str) -> None:
    job = pairs.drawn_job(machine, goal)
    guarded = {edge for rule in job.rules for edge in rule.guards}
    report = check_job(job)
    for edge in edges(job):
        name, _, kind = edge.partition(":")
        assert (kind == "F" or name in guarded) != (name in report.unguarded)


# --- amounts -----------------------------------------------------------------------------------------------


def test_dials_come_from_the_flow_table() -> None:
    # 20 L/min lies between step 3 (15 L/min) and step 4 (22 L/min): 3 + 5/7.
    dials = [line for line in actions(load_job(COUPLE), "function_test") if line.startswith("dial")]
    assert dials == ["dial: v1 to 6", "dial: v2 to 6", "dial: v3 to 3.7"]


def test_the_top_link_stands_the_mast_plumb() -> None:
    # Pivots (0.30, 1.10) and (0.05, 0.55), lower link 1.05, mast 0.685, pins at 0.563 m (by Pythagoras).
    run = (1.05**2 - 0.013**2) ** 0.5 + 0.05 - 0.30
    rise = 0.563 + 0.685 - 1.10
    assert f"top_link: {(run**2 + rise**2) ** 0.5 * 1000:.0f} mm" in actions(load_job(COUPLE), "plumb_height")


def test_the_least_ballast_that_is_enough_is_hung() -> None:
    assert "ballast: 600 kg" in actions(load_job(COUPLE), "check_ballast_lift")
    job = compile_texts(COUPLE, with_text(JOB, "ballast: 0 kg", "ballast: 900 kg"))
    assert not [line for line in actions(job, "check_ballast_lift") if line.startswith("ballast")]
    texts = with_text("machines/implements/planter_8row.yaml", "mass: 3200 kg", "mass: 9000 kg")
    with pytest.raises(ContentError, match=r"rowcrop_mid cannot carry planter_8row"):
        compile_texts(COUPLE, texts)


def test_the_frame_is_lowered_and_the_markers_folded_at_a_speed_that_feeds_them() -> None:
    # Fan 40, generator 24 and markers 20 L/min, or the lift's 40; 63 cm3/rev x 0.93 gives 58.59 cm3/rev.
    job = load_job(UNCOUPLE)
    assert actions(job, "fold_park")[0] == f"throttle: {-(-84e3 / 58.59 // 100) * 100:.0f} rev/min"
    assert actions(job, "lower_to_stands")[0] == f"throttle: {-(-104e3 / 58.59 // 100) * 100:.0f} rev/min"


def test_a_cylinder_is_waited_for_as_long_as_its_oil_takes() -> None:
    # Two 80 mm bores, 400 mm: 4.02 L at 40 L/min are 6.03 s; a fifth more and a second is 8.2 s.
    lines = actions(load_job(COUPLE), "function_test")
    at = lines.index("lever: v2 to extend")
    assert lines[at + 1] == "wait: 9 s"


def test_the_jack_and_the_stub_are_set_for_the_tractor() -> None:
    assert "jack: 480 mm" in actions(pairs.drawn_job(pairs.PLANTER, "couple"), "tongue_on_jack")
    assert actions(pairs.drawn_job(pairs.BALER, "couple"), "stub_speed") == ("pto_speed: 540 rev/min",)


# --- the start ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "gone"),
    [
        ("drawbar: extended", "drawbar: stowed", "drawbar_clear"),
        ("sway: 6 mm", "sway: 60 mm", "sway_free"),
        ("top_hook: no", "top_hook: yes", "top_hook_fit"),
        ("chocks: yes", "chocks: no", "chocks_away"),
    ],
)
def test_what_is_right_already_is_no_step(old: str, new: str, gone: str) -> None:
    job = compile_texts(COUPLE, with_text(JOB, old, new))
    assert gone in names(load_job(COUPLE))
    assert gone not in names(job)
    assert not [edge for edge in edges(job) if gone in edge.partition(":")[0].split("<")]
    assert orders.play_order(job, job.answer).score().points == 100


def test_bushings_that_are_too_many_come_off() -> None:
    texts = with_text(JOB, "bushings: no", "bushings: yes")
    assert "bushings: fit" not in actions(compile_texts(COUPLE, texts), "check_fit")
    implement = "machines/implements/planter_8row.yaml"
    texts[implement] = texts[implement].replace("pin: 1 1/8 in", "pin: 1 7/16 in")
    assert "bushings: remove" in actions(compile_texts(COUPLE, texts), "check_fit")


def test_a_level_start_needs_no_drive_and_a_yard_without_a_level_place_is_told() -> None:
    job = compile_texts(UNCOUPLE, with_text(f"jobs/{UNCOUPLE}.yaml", "site: apron", "site: pad", UNCOUPLE))
    assert "site_level" not in names(job)
    texts = with_text(f"jobs/{UNCOUPLE}.yaml", "slope: 0.5 %}", "slope: 3.5 %}", UNCOUPLE)
    with pytest.raises(ContentError, match=r"no place of this yard slopes 2 % or less"):
        compile_texts(UNCOUPLE, texts)


# --- supplies ----------------------------------------------------------------------------------------------

SUPPLIES = "supplies: {fan: v1, frame_lift: v2, markers: v3, generator: power_beyond}\n"


def test_without_a_word_on_supplies_a_choice_is_worked_out() -> None:
    job = compile_texts(COUPLE, with_text(JOB, SUPPLIES, ""))
    assert job.case.steps == load_job(COUPLE).case.steps


def test_a_shaft_can_stand_in_for_hoses() -> None:
    job = compile_texts(COUPLE, with_text(JOB, "generator: power_beyond", "generator: pto"))
    assert "shaft_connect" in names(job)
    assert "couple: drive_shaft to pto_stub" in actions(job, "shaft_connect")
    assert not [line for line in actions(job, "hyd_connect") if "gen_" in line]
    assert {"pto: on", "pto: off"} <= set(actions(job, "function_test"))
    assert check_job(job).ok


@pytest.mark.parametrize(
    ("supplies", "message"),
    [
        ("{fun: v1}", r"1[0-9]:12: there is no function called 'fun'\. Write: fan"),
        ("{fan: v9}", r"1[0-9]:17: fan cannot draw from 'v9'\. Write: "),
        ("{generator: v1}", r"1[0-9]:23: generator cannot draw from 'v1'\. Write: one of power_beyond, pto"),
        ("{markers: v5}", r"1[0-9]:21: rowcrop_mid has no port free on v5 for marker_extend \(poppet\)"),
        ("{fan: v1, markers: v1}", r"1[0-9]:30: rowcrop_mid has no port free on v1 for marker_extend"),
    ],
)
def test_a_supply_that_does_not_do_is_told_at_its_place(supplies: str, message: str) -> None:
    with pytest.raises(ContentError, match=message):
        compile_texts(COUPLE, with_text(JOB, SUPPLIES, f"supplies: {supplies}\n"))


# --- what a job adds ---------------------------------------------------------------------------------------

OWN = """\
without: [light_check]
steps:
  wash_couplers:
    title: Wash the mud off
    ready: ground
    do:
      - go: panel
    after:
      safe_stop: {kind: I, why: hands are between the machines}
    before:
      clean_couplers: {kind: F, why: a rag does not take mud}
  area_clear:
    title: Ask your helper where he stands
    ready: ground
    do:
      - go: yard
      - look: area
    done: [area_clear]
"""


def with_own(text: str) -> dict[str, str]:
    texts = with_text(JOB, "goal: couple", "goal: couple")
    return {**texts, JOB: texts[JOB] + text}


def test_a_job_adds_replaces_and_leaves_out_steps() -> None:
    job = compile_texts(COUPLE, with_own(OWN))
    assert "light_check" not in names(job)
    assert names(job).index("wash_couplers") == names(job).index("safe_stop") + 1
    assert "wash_couplers<clean_couplers:F" in edges(job)
    titles = {step.name: step.title for step in job.case.steps}
    assert titles["area_clear"] == "Ask your helper where he stands"
    assert names(job).index("area_clear") == names(load_job(COUPLE)).index("area_clear")


def test_what_a_job_cannot_leave_out_is_told() -> None:
    with pytest.raises(
        ContentError, match=r"there is no step called 'light_chek' to leave out\. Write: light_ch"
    ):
        compile_texts(COUPLE, with_own(OWN.replace("[light_check]", "[light_chek]")))
    with pytest.raises(ContentError, match=r"there is no step called 'clean'\. Write: "):
        compile_texts(COUPLE, with_own(OWN.replace("clean_couplers:", "clean:")))


# --- the file of steps -------------------------------------------------------------------------------------

BAD = yaml.safe_load((Path(__file__).parent / "problems" / "steps.yaml").read_text("utf-8"))


@pytest.mark.parametrize("case", BAD.values(), ids=BAD)
def test_a_bad_file_of_steps_is_told_with_its_place(case: dict[str, str]) -> None:
    texts = with_text(STEPS, case["old"], case["new"])
    position = texts[STEPS].index(case["mark"], texts[STEPS].index(case["new"]))
    before = texts[STEPS][:position]
    at = f"{before.count(chr(10)) + 1}:{len(before) - before.rfind(chr(10))}"
    with pytest.raises(ContentError) as caught:
        compile_texts(COUPLE, texts)
    told = [problem.render().splitlines()[0] for problem in caught.value.problems]
    assert [line for line in told if line.startswith(f"{STEPS}:{at}: ") and case["message"] in line], (
        at,
        told,
    )


def test_the_file_is_needed_where_a_job_has_no_steps_of_its_own() -> None:
    texts = dict(load_job(COUPLE).files)
    del texts[STEPS]
    with pytest.raises(ContentError, match=r"steps\.yaml:1:1: there is no such file"):
        compile_texts(COUPLE, texts)


def test_every_step_says_when_it_is_called_for_or_is_always_done() -> None:
    steps = read_as(load_job(COUPLE).files[STEPS], read_steps, STEPS)
    always = {goal: [step.name for step in steps[goal] if not step.when] for goal in ("couple", "uncouple")}
    for goal, machines in (("couple", pairs.PLANTER), ("uncouple", pairs.PLANTER)):
        assert set(always[goal]) <= set(names(pairs.drawn_job(machines, goal)))
    assert set(always["couple"]) <= set(names(load_job(COUPLE)))
