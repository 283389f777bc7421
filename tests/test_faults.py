"""Faults: drawn by a seed, made by the sums, told apart by measurements, kept in the record."""

import json
from dataclasses import replace

import pytest

from trainer.authoring.check import check_job
from trainer.authoring.compile import list_jobs, load_job
from trainer.authoring.orders import answer_items, play_items
from trainer.core import faults
from trainer.core.actions import from_line
from trainer.core.attempt import Attempt, play
from trainer.core.case import Case, Fault
from trainer.records.attempt_file import parse
from trainer.records.journal import record_of
from trainer.records.replay import regrade

FIND = [name for name in list_jobs() if load_job(name).draws]


def test_there_are_five_jobs_to_find_a_fault() -> None:
    assert len(FIND) >= 5


@pytest.mark.parametrize("name", FIND)
def test_every_fault_is_found_by_its_answer_and_every_slip_by_its_rules(name: str) -> None:
    assert list(check_job(load_job(name)).all_faults()) == []


@pytest.mark.parametrize("name", FIND)
def test_the_seed_draws_every_fault_and_the_same_one_each_time(name: str) -> None:
    job = load_job(name)
    drawn = [job.drawn(seed).case.fault for seed in range(60)]
    assert drawn == [job.drawn(seed).case.fault for seed in range(60)]
    assert {fault.name for fault in drawn if fault is not None} == {fault.name for fault in job.case.faults}
    for fault in drawn:
        assert fault is not None
        assert fault.low <= fault.amount <= fault.high


@pytest.mark.parametrize("seed", [0, 7])
def test_a_record_holds_its_seed_and_grades_the_same_again(seed: int) -> None:
    job = load_job("class/find_markers_dead")
    drawn = job.drawn(seed)
    played = play_items(drawn.case, drawn.rules, answer_items(drawn))
    lines = record_of(job, played, seed)
    assert json.loads(lines[0])["seed"] == seed
    again = regrade(parse("".join(lines).encode(), "made here"))
    assert again.agrees
    assert again.attempt.case.fault == drawn.case.fault


def test_a_record_without_a_fault_to_find_holds_no_seed() -> None:
    job = load_job("first-week/couple")
    assert "seed" not in json.loads(record_of(job, Attempt(job.case, job.rules), 5)[0])


def test_what_is_mended_is_the_sound_machine_again() -> None:
    case = load_job("class/find_markers_dead").posed("extend_half_home").case
    attempt = Attempt(case, ())
    assert faults.left(case, attempt.state)
    mended = attempt.state._replace(mended=True)
    assert not faults.left(case, mended)
    assert faults.present(case, mended) is case.sound


LIFT_TRIED = ("look: area", "go: seat", "key: on", "engine: start", "throttle: 2200 rev/min", "wait: 4 s")
ON_A_SHUT_PORT = Fault("", "hose_in_wrong_port", "lift_retract", "v4_retract")


def lifted(case: Case, *before: str) -> set[str]:
    rules = load_job("class/find_lift_stays_down").rules
    lines = (*before, *LIFT_TRIED, "lever: v2 to extend", "wait: 6 s")
    return {finding.rule for finding in play(case, rules, [from_line(line) for line in lines]).findings}


def test_what_the_fault_alone_did_is_charged_to_nobody() -> None:
    sound = replace(load_job("class/find_lift_stays_down").case, faults=())
    faulty = faults.posed(sound, ON_A_SHUT_PORT)
    assert lifted(sound) == set()
    assert lifted(replace(faulty, fault=None, sound=None)) == {"rod_side_trapped"}, "the harm is there"
    assert lifted(faulty) == set()


def test_what_was_done_on_top_of_the_fault_is_charged() -> None:
    faulty = faults.posed(replace(load_job("class/find_lift_stays_down").case, faults=()), ON_A_SHUT_PORT)
    assert "rod_side_trapped" in lifted(faulty, "go: panel", "uncouple: lift_retract")


def test_nothing_measured_leaves_every_other_fault_open() -> None:
    case = load_job("class/find_markers_dead").posed("").case
    open_still = Attempt(case, ()).not_told_apart(())
    assert set(open_still) == {"", *(fault.name for fault in case.faults[1:])}
