"""What would have happened: each mistake with one step put right, and honesty where no step does it."""

from collections.abc import Iterator

import pytest

from trainer.authoring.compile import Job, load_job
from trainer.authoring.orders import actions_of, play_items, slip_items
from trainer.authoring.whatif import Alternative, alternatives, each_alternative
from trainer.core.actions import Action, from_line
from trainer.core.attempt import Attempt
from trainer.core.engine import digest
from trainer.core.rules import SEVERITIES

COUPLE, UNCOUPLE = "first-week/couple", "first-week/uncouple"


@pytest.fixture(scope="module")
def couple() -> Job:
    return load_job(COUPLE)


def of_slip(job: Job, name: str) -> tuple[Attempt, tuple[Alternative, ...]]:
    attempt = play_items(job.case, job.rules, slip_items(job, name))
    return attempt, alternatives(job, attempt)


@pytest.mark.parametrize(("name", "first"), [(COUPLE, 0), (COUPLE, 1), (UNCOUPLE, 0)])
def test_most_mistakes_are_put_right_by_one_step_and_none_ends_worse(name: str, first: int) -> None:
    job = load_job(name)
    mistakes = found = 0
    for slip in job.slips[first::4]:
        attempt, others = of_slip(job, slip.name)
        own = [finding for finding in attempt.findings if not finding.root]
        assert [other.finding for other in others] == own
        for other in others:
            mistakes += 1
            assert other.score.points >= attempt.score().points, (slip.name, other)
            if not other.found:
                assert other.findings == tuple(attempt.findings)
                continue
            found += 1
            key = other.finding.rule, other.finding.thing
            assert key not in [(one.rule, one.thing) for one in other.findings]
            known = {(one.rule, one.thing) for one in attempt.findings}
            for one in other.findings:
                new = (one.rule, one.thing) not in known and not one.root
                assert not new or SEVERITIES.index(one.severity) > SEVERITIES.index(other.finding.severity)
    assert mistakes >= 7
    assert found >= 0.8 * mistakes


@pytest.mark.parametrize(
    ("slip", "edit", "points"),
    [
        (
            "drain_on_power_beyond",
            "'couple: fan_drain to case_drain' instead of 'couple: fan_drain to pb_pressure'",
            92,
        ),
        ("no_ballast", "'ballast: 600 kg' done after 'read: weights'", 100),
        (
            "drain_last",
            "'couple: fan_drain to case_drain' done before 'couple: fan_return to free_return'",
            100,
        ),
        (
            "fan_lines_swapped",
            "'couple: fan_return to free_return, couple: fan_pressure to v1_extend' instead of "
            "'couple: fan_return to v1_extend, couple: fan_pressure to free_return'",
            100,
        ),
        ("between_with_engine_running", "'engine: stop, key: out' done before 'go: hitch'", 100),
    ],
)
def test_the_edit_is_the_one_a_foreman_would_name(couple: Job, slip: str, edit: str, points: int) -> None:
    _, others = of_slip(couple, slip)
    assert str(others[0].edit) == edit
    assert others[0].score.points == points


def test_the_number_of_the_finding_is_told_for_both_endings(couple: Job) -> None:
    _, (light,) = of_slip(couple, "no_ballast")
    assert light.finding.measured < light.finding.limit
    assert light.measured is not None
    assert light.measured >= light.finding.limit
    _, (case, *_) = of_slip(couple, "drain_on_valve_port")
    assert case.finding.measured > case.finding.limit
    assert case.measured is not None
    assert 0 < case.measured <= case.finding.limit
    _, (ground,) = of_slip(couple, "started_from_the_ground")
    assert ground.measured is None or ground.measured <= ground.finding.limit


def with_pauses(job: Job, slip: str, pause_ticks: int) -> Attempt:
    attempt = Attempt(job.case, job.rules)
    for item in slip_items(job, slip):
        for action in actions_of(attempt, item):
            attempt.settle()
            attempt.run(pause_ticks)
            attempt.do(action)
            attempt.settle()
    return attempt


def test_later_actions_keep_their_pauses(couple: Job) -> None:
    attempt = with_pauses(couple, "dial_read_as_flow", 30)
    (other,) = alternatives(couple, attempt)
    assert other.end_tick == attempt.state.tick  # one dial for another takes the same time
    attempt = with_pauses(couple, "drain_on_valve_port", 30)
    other = alternatives(couple, attempt)[0]
    assert other.end_tick == attempt.state.tick
    attempt = with_pauses(couple, "not_levelled", 30)
    (other,) = alternatives(couple, attempt)
    assert other.end_tick == attempt.state.tick + 15 * 20  # the top link takes 15 s


def test_where_nothing_helps_it_is_said(couple: Job) -> None:
    """Handed in untouched: no single step makes it a finished job, and none is claimed to make it so."""
    attempt = Attempt(couple.case, couple.rules)
    attempt.do(from_line("hand_in:"))
    others = alternatives(couple, attempt)
    assert any(not other.found for other in others)
    assert not any(other.score.passed for other in others)
    for other in others:
        assert other.score.ended == "handed in"
        if other.found:
            assert other.score.points > attempt.score().points
        else:
            assert other.edit is None
            assert other.score == attempt.score()
            assert other.measured == other.finding.measured


def test_a_clean_attempt_has_nothing_to_put_right_and_work_can_be_broken_off(couple: Job) -> None:
    attempt = Attempt(couple.case, couple.rules)
    attempt.do(Action("go", "hitch"))
    assert alternatives(couple, attempt) == ()
    attempt, others = of_slip(couple, "no_ballast")
    assert len(others) == 1
    asked: list[int] = []

    def never() -> bool:
        asked.append(1)
        return False

    assert list(each_alternative(couple, attempt, never)) == []
    assert asked


def test_a_fork_goes_its_own_way(couple: Job) -> None:
    attempt = play_items(couple.case, couple.rules, slip_items(couple, "not_bled")[:60])
    before = digest(attempt.state), len(attempt.log), len(attempt.events), list(attempt.findings)
    twin = attempt.fork()
    assert digest(twin.state) == before[0]

    def on(one: Attempt) -> Iterator[str]:
        for line in ("go: seat", "key: on", "wait: 9 s", "hand_in:"):
            one.settle()
            one.do(from_line(line))
            yield digest(one.state)

    gone = list(on(twin))
    assert (digest(attempt.state), len(attempt.log), len(attempt.events), attempt.findings) == before
    assert list(on(attempt)) == gone
    assert attempt.findings == twin.findings
    assert attempt.score() == twin.score()
