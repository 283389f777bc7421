"""The terminator of a bus over two units: what the meter, the terminal and the yard say of where it hangs.

60 ohm between the bus wires with an end of 120 ohm at either side, 120 ohm with one end missing (practice).
Resistors side by side tell nothing of where along the wire they sit, so a unit that is left out shows on the
terminal and nowhere else.
"""

import pytest

from trainer.authoring.compile import Job, load_job
from trainer.core.actions import Action, Event, from_line
from trainer.core.attempt import Attempt
from trainer.core.engine import legal
from trainer.core.readings import readings, standing
from trainer.lang import Texts
from trainer.records import telling


@pytest.fixture(scope="module")
def job() -> Job:
    return load_job("class/couple_air_seeder")


def plugged(job: Job, at: str, **found: object) -> Attempt:
    """The seeder coupled, its plugs in, the terminator in that outlet."""
    attempt = Attempt(job.case, job.rules)
    at_home = {"gap_um": 0, "pin_in": True, "pin_clipped": True, "plug_at": (0, 1), "terminator_at": at}
    attempt.state = attempt.state._replace(**{**at_home, **found})
    return attempt


def done(attempt: Attempt, *lines: str) -> None:
    for line in lines:
        attempt.settle()
        assert attempt.do(from_line(line)) is None, line
    attempt.settle()


@pytest.mark.parametrize(
    ("at", "ohm", "off", "good"), [("cart", 60, 0, True), ("tool", 60, 1, False), ("off", 120, 2, False)]
)
def test_where_it_hangs_is_metered_and_tested(job: Job, at: str, ohm: int, off: int, good: bool) -> None:
    attempt = plugged(job, at, station="panel", key="out", supply_until=0)
    done(attempt, "measure: bus_ohms")
    measured = next(event for event in reversed(attempt.events) if event.kind == "measured")
    assert measured.value("bus_mohm") == 1000 * ohm
    assert readings(job.case, attempt.state)["units_off_count"] == off
    ended = Event("", 0, standing=standing(job.case, attempt.state)).stands("bus_ended")
    assert ended == good

    attempt = plugged(job, at, station="seat", key="off")
    done(attempt, "key: on", "wait: 20 s", "test: bus")
    assert ("bus" in attempt.state.proved) == good


def test_a_bus_that_was_proved_has_to_be_proved_again(job: Job) -> None:
    attempt = plugged(job, "cart", station="seat", key="off")
    done(attempt, "key: on", "wait: 20 s", "test: bus", "key: out", "go: implement", "terminator: off")
    assert "bus" not in attempt.state.proved
    done(attempt, "terminator: cart", "go: seat", "key: on", "wait: 20 s", "test: bus")
    assert "bus" in attempt.state.proved


def test_it_is_moved_at_the_implement_and_to_where_it_is_not(job: Job) -> None:
    attempt = plugged(job, "tool", station="implement")
    case, texts = job.case, Texts.load("en")
    for line, reason, said in (
        ("terminator: tool", "is_so_already", "so already"),
        ("terminator: boom", "no_such_name", ""),
    ):
        refusal = legal(case, attempt.state, from_line(line))
        assert refusal is not None
        assert refusal.reason == reason
        assert said in telling.say_refusal(case, from_line(line), refusal, texts)
    elsewhere = legal(case, attempt.state._replace(station="hitch"), Action("terminator", "cart"))
    assert elsewhere is not None
    assert elsewhere.reason == "not_here"
    done(attempt, "terminator: cart")
    told = next(event for event in attempt.events if event.kind == "terminator_moved")
    assert telling.say_event(case, told, texts).startswith("The bus ends at: cart.")


def test_a_machine_with_one_unit_has_none_to_move() -> None:
    case = load_job("first-week/couple").case
    state = Attempt(case, ()).state._replace(station="implement")
    assert state.terminator_at == ""
    refusal = legal(case, state, Action("terminator", "off"))
    assert refusal is not None
    assert refusal.reason == "not_on_this_machine"
    assert Event("", 0, standing=standing(case, state)).stands("bus_ended")


def test_left_out_of_the_start_it_is_in_the_last_unit() -> None:
    assert load_job("class/couple_air_seeder").case.start.terminator == "tool"
    found = load_job("class/uncouple_air_seeder").case
    assert found.start.terminator == found.implement.units[-1].name == "cart"
