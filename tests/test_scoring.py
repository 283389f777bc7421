"""Points: what a mistake and its echoes cost, what for, and which time counts."""

from collections.abc import Iterator
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.authoring.compile import Item, Job, load_job
from trainer.authoring.orders import answer_items, play_items
from trainer.core.actions import Action
from trainer.core.attempt import Attempt
from trainer.core.rules import HARMS, SEVERITIES, Finding
from trainer.core.scoring import (
    FULL_MARKS,
    MOST_TIME_POINTS,
    PART_OF_HARM,
    PARTS,
    POINTS,
    TIME_RULE,
    UnplugWait,
    grade,
    mistakes,
    roots,
)

UNCOUPLE, COUPLE = "first-week/uncouple", "first-week/couple"


@cache
def job(name: str) -> Job:
    return load_job(name)


def found(
    rule: str, severity: str, thing: str = "", root: str = "", harm: str = "function", tick: int = 0
) -> Finding:
    return Finding(
        rule, severity, harm, tick, thing, "", "lines_on_count", "1", 1, 0, "trade", "practice", root
    )


def with_wait(name: str, after: str, seconds: int) -> Attempt:
    """The answer with a wait more behind an action."""
    return play_items(job(name).case, job(name).rules, list(waiting(name, after, seconds)))


def waiting(name: str, after: str, seconds: int) -> Iterator[Item]:
    for item in answer_items(job(name)):
        yield item
        if item.line == after:
            yield Item(line=f"wait: {seconds} s")


# --- which time counts ---


def test_waiting_longer_before_a_plug_is_pulled_costs_nothing() -> None:
    usual = play_items(job(UNCOUPLE).case, job(UNCOUPLE).rules, answer_items(job(UNCOUPLE))).score()
    score = with_wait(UNCOUPLE, "read: port_plan", 2400).score()
    assert (score.points, score.over_s, score.deductions) == (FULL_MARKS, 0, ())
    assert score.waited_s - usual.waited_s == pytest.approx(2400, abs=1)
    assert usual.waited_s >= 150, "most of the three minutes themselves"


@pytest.mark.parametrize(
    ("name", "after"),
    [
        (UNCOUPLE, "look: area"),  # in the seat with the engine running
        (UNCOUPLE, "unplug: lighting"),  # key off, but both plugs are out
        (COUPLE, "plug: lighting to lighting"),  # key off and plugs in, but none is pulled after it
    ],
)
def test_dawdling_costs_points_and_a_few_at_most(name: str, after: str) -> None:
    score = with_wait(name, after, 2400).score()
    assert score.deductions == ((TIME_RULE, MOST_TIME_POINTS),)
    assert dict(score.parts)["time"] == FULL_MARKS - score.points == MOST_TIME_POINTS
    assert score.passed


def test_work_done_in_the_wait_counts_as_time() -> None:
    attempt = Attempt(job(UNCOUPLE).case, job(UNCOUPLE).rules)
    for line in ("engine: stop", "wait: 60 s", "key: out", "go: panel", "uncouple: gen_return"):
        word, _, thing = line.partition(": ")
        amount = 60_000 if word == "wait" else None
        attempt.settle()
        attempt.do(Action(word, "" if amount else thing, "", amount))
    attempt.settle()
    before = attempt.wait.since_ticks
    attempt.do(Action("uncouple", "gen_sense"))
    attempt.settle()
    assert attempt.wait.since_ticks - before <= 1, "four seconds of pulling are no wait"
    attempt.run(40)
    assert attempt.wait.since_ticks - before >= 40
    assert attempt.wait.ticks == 0, "nothing was pulled yet"
    before = attempt.wait.since_ticks
    attempt.do(Action("unplug", "bus"))
    assert attempt.wait.ticks == before


def test_a_wait_broken_by_the_key_counts_as_time() -> None:
    wait, state = UnplugWait(), Attempt(job(UNCOUPLE).case, job(UNCOUPLE).rules).state
    off = state._replace(key="off", key_off_tick=0, tick=0, doing="", busy_until=0)
    wait = wait.after(off, off._replace(tick=500))
    assert wait == UnplugWait(500, 0)
    assert wait.after(off._replace(tick=500), state._replace(key="on", tick=501)) == UnplugWait(0, 0)


@settings(max_examples=20, deadline=None)
@given(cuts=st.lists(st.integers(1, 700), max_size=12))
def test_however_time_is_cut_the_wait_is_the_same(cuts: list[int]) -> None:
    whole, cut = key_off(), key_off()
    whole.run(4000)
    for ticks in cuts:
        cut.run(min(ticks, whole.state.tick - cut.state.tick))
    cut.run_to(whole.state.tick)
    assert cut.wait == whole.wait
    assert whole.wait.since_ticks > 3900


def key_off() -> Attempt:
    attempt = Attempt(job(UNCOUPLE).case, job(UNCOUPLE).rules)
    attempt.do(Action("engine", "stop"))
    attempt.settle()
    attempt.do(Action("key", "out"))
    return attempt


def test_points_for_time_come_by_the_full_minute() -> None:
    case = job(UNCOUPLE).case
    state = Attempt(case, ()).state
    for over_s, points in ((-600, 0), (0, 0), (59, 0), (60, 1), (119, 1), (300, 5), (3000, 5)):
        score = grade(case, (), state._replace(tick=round(case.par_s + over_s) * 20, ended="handed in"))
        assert (FULL_MARKS - score.points, score.over_s) == (points, max(0, over_s))


# --- mistakes and their echoes ---


def test_an_echo_is_counted_with_its_mistake_by_the_worst_of_them() -> None:
    findings = [
        found("fit_unchecked", "marginal", harm="damage"),
        found("overspeed", "marginal", "fan", harm="damage"),
        found("wrong_bushings", "critical", root="fit_unchecked", harm="destruction"),
        found("seal_blown", "critical", "fan", root="wrong_bushings", harm="injury"),
    ]
    first, second = mistakes(findings)
    assert (first.rule, first.severity, first.points, first.findings) == (
        "fit_unchecked",
        "critical",
        POINTS["critical"],
        (0, 2, 3),
    )
    assert first.part == "workmanship", "of equals the first: what broke, not what might hurt"
    assert (second.rule, second.findings) == ("overspeed", (1,))


def test_a_root_is_the_finding_of_the_same_thing() -> None:
    findings = [
        found("case_pressure", "critical", "fan"),
        found("case_pressure", "critical", "generator"),
        found("seal_blown", "critical", "generator", root="case_pressure"),
        found("lines_missing", "marginal", root="case_pressure"),
    ]
    assert roots(findings) == [None, None, 1, 0]


def test_one_rule_can_be_a_mistake_first_and_an_echo_later() -> None:
    findings = [
        found("overspeed", "marginal", "fan"),
        found("starved", "marginal"),
        found("overspeed", "marginal", "generator", root="starved"),
    ]
    assert [mistake.findings for mistake in mistakes(findings)] == [(0,), (1, 2)]


@given(
    st.lists(
        st.tuples(st.sampled_from("abc"), st.sampled_from(SEVERITIES), st.sampled_from(HARMS)), max_size=8
    )
)
def test_parts_add_up_to_what_was_taken(drawn: list[tuple[str, str, str]]) -> None:
    case = job(UNCOUPLE).case
    findings = [found(rule, severity, str(at), harm=harm) for at, (rule, severity, harm) in enumerate(drawn)]
    state = Attempt(case, ()).state._replace(tick=round(case.par_s + 130) * 20, ended="handed in")
    score = grade(case, findings, state)
    taken = [points for _, points in score.deductions]
    assert [part for part, _ in score.parts] == list(PARTS)
    assert sum(points for _, points in score.parts) == sum(taken)
    assert score.points == max(0, FULL_MARKS - sum(taken))
    assert sorted(place for mistake in score.mistakes for place in mistake.findings) == list(
        range(len(drawn))
    )
    for harm, part in PART_OF_HARM.items():
        worst = [POINTS[each.severity] for each in findings if each.harm == harm]
        assert dict(score.parts)[part] >= (max(worst) if worst else 0)


def test_every_harm_belongs_to_a_part() -> None:
    assert set(PART_OF_HARM) == set(HARMS)
    assert set(PART_OF_HARM.values()) | {"time"} == set(PARTS)
