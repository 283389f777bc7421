"""Attempts recorded once, re-graded for ever: the same digests, findings and points.

A record that no longer agrees means that the same actions now give something else. Where that is meant,
raise the version it belongs to (engine, rules or scoring), with its line of reason, make the records anew
with `python tests/test_golden_records.py`, and read in the difference what it did to each of them.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from trainer.authoring import orders
from trainer.authoring.compile import load_job
from trainer.records import replay
from trainer.records.journal import record_of

FOLDER = Path(__file__).parent / "records"
RUNS = {
    "couple_answer": ("first-week/couple", ""),
    "couple_drain_on_power_beyond": ("first-week/couple", "drain_on_power_beyond"),
    "couple_baler_answer": ("class/couple_baler", ""),
    "uncouple_answer": ("first-week/uncouple", ""),
    "uncouple_unplugged_at_once": ("first-week/uncouple", "unplugged_at_once"),
}


@pytest.mark.parametrize("name", RUNS)
def test_a_recorded_attempt_grades_as_it_did(name: str) -> None:
    regraded = replay.regrade_file(FOLDER / f"{name}.jsonl")
    assert regraded.agrees, regraded.first_difference
    score = regraded.attempt.score()
    failing = [finding.rule for finding in regraded.attempt.findings if finding.fails]
    if RUNS[name][1]:
        assert failing
        assert not score.passed
    else:
        assert (score.points, score.passed, failing) == (100, True, [])


def make() -> None:
    """Record the runs anew."""
    FOLDER.mkdir(exist_ok=True)
    for name, (job_name, slip) in RUNS.items():
        job = load_job(job_name)
        items = orders.slip_items(job, slip) if slip else orders.answer_items(job)
        attempt = orders.play_items(job.case, job.rules, items)
        (FOLDER / f"{name}.jsonl").write_text("".join(record_of(job, attempt)), "ascii", newline="\n")


if __name__ == "__main__":
    sys.exit(make())
