"""A plan against the job's reasons, and what was done against the same."""

import random
from pathlib import Path

import pytest

from trainer.authoring.compile import load_job
from trainer.authoring.orders import play_items, play_order, reversed_orders, safe_order, slip_items
from trainer.authoring.plan import broken, broken_in_deed, cards, deeds
from trainer.authoring.source import ContentError
from trainer.core.actions import Action
from trainer.core.attempt import Attempt
from trainer.core.engine import digest
from trainer.records import attempt_file, journal
from trainer.records.attempt_file import Notes, Versions
from trainer.records.replay import regrade_file

JOBS = ["first-week/couple", "first-week/uncouple"]


@pytest.mark.parametrize("name", JOBS)
def test_the_cards_are_the_steps_in_an_order_that_gives_nothing_away(name: str) -> None:
    case = load_job(name).case
    row = cards(case)
    assert row == cards(load_job(name).case)
    assert sorted(row) == sorted(step.name for step in case.steps if step.name != "hand_over")
    assert len(broken(case, row)) > 5


@pytest.mark.parametrize("name", JOBS)
def test_a_safe_order_breaks_nothing_as_plan_or_as_deed(name: str) -> None:
    job = load_job(name)
    for seed in range(3):
        order = safe_order(job.case, random.Random(seed))  # noqa: S311
        assert broken(job.case, order) == ()
        assert broken(job.case, order[::3]) == ()
        if not seed:
            assert broken_in_deed(job.case, deeds(play_order(job, order))) == ()


@pytest.mark.parametrize("name", JOBS)
def test_a_plan_is_told_each_order_it_breaks_with_its_reason(name: str) -> None:
    job = load_job(name)
    reasons = {(edge.before, step.name): edge for step in job.case.steps for edge in step.after}
    for edge, order in reversed_orders(job.case):
        found = broken(job.case, order)
        assert edge in [f"{one.before}<{one.after}" for one in found]
        assert [(one.kind, one.why) for one in found] == [
            (reasons[one.before, one.after].kind, reasons[one.before, one.after].why) for one in found
        ]
        assert [one.kind for one in found] == sorted((one.kind for one in found), key="IDF".index)


@pytest.mark.parametrize(
    ("name", "edge"),
    [
        (JOBS[0], "area_clear<back_align"),
        (JOBS[0], "lift_lock<sway_set"),
        (JOBS[1], "chock_wheels<latch_open"),
        (JOBS[1], "area_clear<fold_park"),
    ],
)
def test_an_order_broken_in_deed_is_told(name: str, edge: str) -> None:
    job = load_job(name)
    attempt = play_order(job, dict(reversed_orders(job.case))[edge])
    assert edge in [f"{one.before}<{one.after}" for one in broken_in_deed(job.case, deeds(attempt))]


def test_what_was_left_out_is_told_as_left_out() -> None:
    job = load_job(JOBS[0])
    attempt = play_items(job.case, job.rules, slip_items(job, "no_bushings"))
    found = broken_in_deed(job.case, deeds(attempt))
    assert [(one.before, one.after, one.left_out) for one in found] == [("check_fit", "back_align", True)]


def test_a_plan_and_a_branch_are_kept_in_the_header_and_never_judged(tmp_path: Path) -> None:
    job = load_job(JOBS[0])
    first = journal.start(job, tmp_path, Notes(plan=("area_clear", "check_fit")))
    for action in (Action("go", "hitch"), Action("drawbar", "stow"), Action("go", "seat")):
        first.settle()
        first.do(action)
    first.settle()
    kept = first.finish()
    assert attempt_file.read(kept).notes == Notes(("area_clear", "check_fit"))

    tick = first.attempt.log[1].tick
    second = journal.branch(job, first.attempt, tick, kept.name, ("area_clear",), tmp_path)
    assert second.path != kept
    assert second.attempt.state.tick == tick
    assert [entry.action for entry in second.attempt.log] == [Action("go", "hitch")]
    stood = Attempt(job.case, job.rules)
    stood.do(Action("go", "hitch"))
    stood.run_to(tick)
    assert digest(second.attempt.state) == digest(stood.state)
    second.do(Action("go", "bench"))
    second.close()

    again = journal.resume(second.path)
    assert again.notes == Notes(("area_clear",), kept.name, tick)
    done = again.finish()
    assert kept.exists()
    assert regrade_file(kept).agrees
    assert regrade_file(done).agrees


@pytest.mark.parametrize(
    ("notes", "wrong"),
    [
        ("[]", "'notes' is not a mapping"),
        ('{"plans":[]}', "'plans' is not a key here"),
        ('{"plan":[1]}', "'plan' is not a list"),
        ('{"plan":"a"}', "'plan' is not a list"),
        ('{"branch":{"of":"a"}}', "'tick' is missing"),
        ('{"branch":{"of":"","tick":1}}', "'branch' does not name"),
        ('{"branch":{"of":"a","tick":-1}}', "'branch' does not name"),
        ('{"branch":3}', "'branch' is not a mapping"),
    ],
)
def test_notes_that_make_no_sense_are_told(notes: str, wrong: str) -> None:
    line = attempt_file.header_line("a", Versions(1, 1, 1), {}).rstrip("}\n")
    with pytest.raises(ContentError, match=wrong):
        attempt_file.parse((line + '},"notes":' + notes + "}\n").encode(), "a.jsonl")
