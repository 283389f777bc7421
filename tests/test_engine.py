"""The engine's contract: pure, refusing without a trace, and the same however time is cut."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.authoring import orders
from trainer.authoring.compile import load_job
from trainer.core.actions import WORDS, Action, as_line, from_line
from trainer.core.attempt import Attempt, play
from trainer.core.case import STATIONS, Case
from trainer.core.engine import digest, legal, skip, start, step
from trainer.core.units import TICKS_PER_S

JOBS = {name: load_job(name) for name in ("first-week/couple", "first-week/uncouple")}
NAMES = {
    "station": lambda _: STATIONS,
    "hose": lambda case: [hose.name for hose in case.implement.hoses],
    "plug": lambda case: [plug.name for plug in case.implement.plugs],
    "end": lambda case: [end.name for end in (*case.implement.hoses, *case.implement.plugs)],
    "port": lambda case: [port.name for port in case.tractor.ports],
    "socket": lambda case: [socket.name for socket in case.tractor.sockets],
    "line_or_port": lambda case: [x.name for x in (*case.implement.hoses, *case.tractor.ports)],
    "valve": lambda case: [valve.name for valve in case.tractor.valves],
    "paper": lambda case: [paper.name for paper in case.papers],
    "site": lambda case: [site.name for site in case.sites],
    "source": lambda case: list(case.tractor.speed_sources),
    "function_or_line": lambda case: [*(f.name for f in case.implement.functions), "lights", "bus"],
}


def any_action(case: Case, rng: random.Random) -> Action:
    """Some action that names only what there is; the hand-in is left out so that a run goes on."""
    word = WORDS[rng.choice([name for name in WORDS if name != "hand_in"])]
    names = []
    for kind in (word.thing, word.place):
        choices = kind if isinstance(kind, tuple) else NAMES[kind](case) if kind else ("",)
        names.append(rng.choice(list(choices)))
    most = min(word.high, 60) if word.name == "wait" else word.high
    amount = rng.randint(word.low * 1000, most * 1000) if word.unit else None
    return Action(word.name, names[0], names[1], amount)


@pytest.mark.parametrize("name", JOBS)
@given(seed=st.integers(0, 10**6))
def test_random_actions_never_break_the_yard(name: str, seed: int) -> None:
    job = JOBS[name]
    rng = random.Random(seed)  # noqa: S311  a draw, not a secret
    attempt = Attempt(job.case, job.rules)
    for _ in range(60):
        attempt.settle()
        if attempt.state.ended:
            break
        before = attempt.state
        action = any_action(job.case, rng)
        refusal = attempt.do(action)
        if refusal is not None:
            after, _ = step(job.case, before)
            assert attempt.state == after, f"{as_line(action)} was refused and yet did something"
    score = attempt.score()
    assert 0 <= score.points <= 100
    again = play_log(attempt)
    assert digest(again.state) == digest(attempt.state)
    assert again.findings == attempt.findings


def play_log(attempt: Attempt) -> Attempt:
    again = Attempt(attempt.case, attempt.rules)
    for entry in attempt.log:
        again.run_to(entry.tick)
        again.do(entry.action)
        assert again.log[-1] == entry
    again.run_to(attempt.state.tick)
    return again


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
