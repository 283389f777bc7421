"""The engine's contract: pure, refusing without a trace, and the same however time is cut."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.authoring import audit, orders
from trainer.authoring.compile import load_job
from trainer.core.actions import from_line
from trainer.core.attempt import Attempt, play
from trainer.core.engine import digest, legal, skip, start, step
from trainer.core.units import TICKS_PER_S

JOBS = {name: load_job(name) for name in ("first-week/couple", "first-week/uncouple")}


@pytest.mark.parametrize("name", JOBS)
@given(seed=st.integers(0, 10**6))
def test_random_actions_never_break_the_yard(name: str, seed: int) -> None:
    """Refused actions leave no trace, points stay within bounds, and the log gives the run again."""
    rng = random.Random(seed)  # noqa: S311  a draw, not a secret
    assert audit.random_run(JOBS[name], rng, actions=60) == []


@pytest.mark.parametrize("name", JOBS)
def test_time_may_be_cut_anyhow(name: str) -> None:
    """Tick by tick with `step` alone, or with the quiet ticks skipped: the same states."""
    job = JOBS[name]
    played = orders.play_items(job.case, job.rules, orders.answer_items(job))
    state, events = start(job.case), []
    for entry in played.log:
        while state.tick < entry.tick:
            state, told = step(job.case, state)
            events += told
        state, told = step(job.case, state, (entry.action,))
        events += told
        assert digest(state) == entry.digest
    assert [event for event in events if event.values] == [event for event in played.events if event.values]


@given(ticks=st.integers(0, 200), lead=st.integers(0, 40))
def test_skip_is_a_shorter_way_to_step(ticks: int, lead: int) -> None:
    case = JOBS["first-week/couple"].case
    state = start(case)
    for _ in range(lead):
        state, _ = step(case, state)
    skipped = skip(state, ticks)
    assert skipped.tick - state.tick <= min(ticks, TICKS_PER_S - 1)
    while state.tick < skipped.tick:
        state, told = step(case, state)
        assert told == ()
    assert state == skipped


@pytest.mark.parametrize("name", JOBS)
def test_start_is_quiet(name: str) -> None:
    """Nothing a trainee did not do is held against them."""
    job = JOBS[name]
    attempt = Attempt(job.case, job.rules)
    attempt.run(60 * TICKS_PER_S)
    assert attempt.findings == []


def test_what_is_refused_says_why() -> None:
    case = JOBS["first-week/couple"].case
    state = start(case)
    for line, reason in {
        "couple: fan_drain to case_drain": "not_here",
        "brake: release": "not_here",
        "look: latches": "not_seen_from_here",
        "measure: bar_pitch": "not_measured_here",
        "engine: start": "key_not_on",
        "go: yard": "is_so_already",
        "ballast: 250 kg": "no_such_ballast",
    }.items():
        refusal = legal(case, state, from_line(line))
        assert refusal is not None
        assert refusal.reason == reason, line


def test_a_coupler_that_holds_pressure_tells_the_force() -> None:
    """120 bar on a 10 mm seat: 45 N (ISO 5675, published) + 120 bar x 78.5 mm2 = 987 N."""
    job = JOBS["first-week/couple"]
    attempt = play(
        job.case,
        job.rules,
        [
            from_line(line)
            for line in (
                "look: area",
                "go: seat",
                "key: on",
                "engine: start",
                "hitch: 500 mm",
                "brake: release",
                "reverse: in",
                "brake: set",
                "engine: stop",
                "key: out",
                "go: panel",
            )
        ],
    )
    refusal = attempt.do(from_line("couple: lift_extend to v2_extend"))
    assert refusal is not None
    assert refusal.reason == "pressure"
    assert dict(refusal.values)["force_mn"] / 1000 == pytest.approx(45 + 120e5 * 78.54e-6, rel=1e-3)
