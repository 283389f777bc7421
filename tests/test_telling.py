"""Nothing happens in the yard that there are no words for."""

import ast
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from trainer.authoring.compile import Job, load_job
from trainer.authoring.orders import play_items
from trainer.core.actions import WORDS, Action, Event, Refusal, from_line
from trainer.core.attempt import Attempt
from trainer.core.case import STATIONS
from trainer.core.engine import start
from trainer.core.readings import readings
from trainer.core.rules import SEVERITIES, Finding
from trainer.lang import Texts
from trainer.records import telling

CORE = Path(__file__).resolve().parent.parent / "trainer" / "core"
TEXTS = Texts.load("en")


@cache
def couple() -> Job:
    return load_job("first-week/couple")


def calls(*names: str) -> Iterator[ast.Call]:
    """Every call of a function or method of one of these names in the core."""
    for path in sorted(CORE.glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call):
                function = node.func
                name = function.attr if isinstance(function, ast.Attribute) else getattr(function, "id", "")
                if name in names:
                    yield node


def constants(node: ast.expr) -> list[str]:
    """The texts an argument can be: one, or both ends of a conditional."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return [node.value]
    if isinstance(node, ast.IfExp):
        return constants(node.body) + constants(node.orelse)
    return []


def texts_of(section: str, name: str) -> list[str]:
    """Keys of a name's text and of its variants."""
    whole = f"{section}.{name}"
    return [key for key in TEXTS.under(section) if key == whole or key.startswith(f"{whole}_")]


REASONS = sorted({reason for call in calls("Refusal") if call.args for reason in constants(call.args[0])})
KINDS = sorted({kind for call in calls("tell", "note") if call.args for kind in constants(call.args[0])})
ENDS = sorted(
    {
        end
        for call in calls("replace")
        for word in call.keywords
        if word.arg == "ended"
        for end in constants(word.value)
    }
)


def test_the_source_is_read() -> None:
    assert {"not_here", "pressure", "too_short", "busy"} <= set(REASONS)
    assert {"case_pressure", "coupled", "chock_laid", "measured", "out_of_time"} <= set(KINDS)
    assert {"handed in", "stopped for safety", "out of time"} <= set(ENDS)


@pytest.mark.parametrize("reason", REASONS)
def test_every_refusal_has_a_text_and_its_numbers(reason: str) -> None:
    key = f"refusals.{reason}"
    assert TEXTS.has(key)
    given: set[str] = set()
    for call in calls("Refusal"):
        if constants(call.args[0]) == [reason] and len(call.args) > 1:
            given |= {
                telling.short_name(node.value)
                for node in ast.walk(call.args[1])
                if isinstance(node, ast.Constant) and isinstance(node.value, str)
            }
    assert set(TEXTS.gaps(key)) <= given


def test_no_refusal_text_is_left_over() -> None:
    assert {key.removeprefix("refusals.") for key in TEXTS.under("refusals")} == set(REASONS)


@pytest.mark.parametrize("kind", KINDS)
def test_every_event_has_a_text_whose_gaps_it_fills(kind: str) -> None:
    keys = texts_of("events", kind)
    assert keys
    always = {"thing", "place"}
    case = couple().case
    taken = always | {telling.short_name(name) for name in readings(case, start(case))}
    for call in calls("tell", "note"):
        if kind not in constants(call.args[0]):
            continue
        if any(word.arg is None for word in call.keywords):
            continue  # its values are put together elsewhere: played below
        noted = isinstance(call.func, ast.Attribute) and call.func.attr == "note"
        given = {telling.short_name(word.arg) for word in call.keywords if word.arg}
        exact = [key for key in keys if key == f"events.{kind}"]
        for key in exact or keys:
            assert set(TEXTS.gaps(key)) <= given | (always if noted else taken), key


@pytest.mark.parametrize("word", sorted(WORDS))
def test_every_action_has_a_text(word: str) -> None:
    entry = WORDS[word]
    action = from_line(entry.example)
    things = entry.thing if isinstance(entry.thing, tuple) else (action.thing,)
    places = entry.place if isinstance(entry.place, tuple) else (action.place,)
    for thing in things:
        for place in places:
            said = telling.say_action(couple().case, Action(word, thing, place, action.amount), TEXTS)
            assert said
            assert "_" not in said


def test_every_rule_has_its_texts_and_they_can_be_filled() -> None:
    for rule in couple().rules:
        found = Finding(
            rule=rule.name,
            severity=rule.severity,
            harm=rule.harm,
            tick=40,
            thing="fan",
            place="v1_extend",
            measure=rule.measure,
            unit=rule.unit,
            measured=3,
            limit=2,
            source=rule.source,
            standing=rule.standing,
        )
        for field in ("title", "harm", "typical", "right"):
            assert "{" not in telling.say_finding(couple().case, found, TEXTS, field)


@pytest.mark.parametrize("slip", ["drain_on_power_beyond", "dial_read_as_flow"])
def test_what_happens_in_a_run_can_be_told(slip: str) -> None:
    job = couple()
    attempt = play_items(job.case, job.rules, job.slip(slip).items)
    assert len({event.kind for event in attempt.events}) > 20
    for event in attempt.events:
        said = telling.say_event(job.case, event, TEXTS)
        assert "_" not in said, event.kind
        assert telling.say_event(job.case, event, TEXTS, metric=True)


def test_every_measurement_can_be_told() -> None:
    attempt = Attempt(couple().case, ())
    for station, quantities in {
        "panel": "pressure bus_ohms supply_volts",
        "hitch": "sway mast_pins bar_pitch",
        "yard": "front_axle slope",
    }.items():
        attempt.settle()
        attempt.do(Action("go", station))
        for quantity in quantities.split():
            attempt.settle()
            assert attempt.do(Action("measure", quantity)) is None
    measured = [event for event in attempt.events if event.kind == "measured"]
    told = [telling.say_event(attempt.case, event, TEXTS) for event in measured]
    assert len(told) == 8
    assert told[0] == "Highest pressure on the ports: 1740 psi."
    assert "Toolbar: plumb." in told
    assert all(any(letter.isdigit() for letter in said) for said in told if "plumb" not in said)
    pitch = next(event for event in measured if event.thing == "bar_pitch")
    leaning = [replace(pitch, values=(("pitch_urad", value),)) for value in (20_000, -20_000, 300)]
    assert [telling.say_event(attempt.case, event, TEXTS) for event in leaning] == [
        "Toolbar: 1.1 ° nose down.",
        "Toolbar: 1.1 ° nose up.",
        "Toolbar: plumb.",
    ]


def test_a_refusal_on_record_is_told_with_its_numbers() -> None:
    attempt = Attempt(couple().case, ())
    attempt.do(from_line("engine: start"))
    attempt.do(from_line("look: area"))
    assert telling.refusal_on_record(attempt, 0, TEXTS) == TEXTS.say(f"refusals.{attempt.log[0].refused}")
    assert telling.refusal_on_record(attempt, 1, TEXTS) == ""
    coupling = from_line("couple: fan_pressure to v1_extend")
    refusal = Refusal("pressure", (("pressure_pa", 12_000_000), ("force_mn", 942_000), ("limit_pa", 500_000)))
    said = telling.say_refusal(attempt.case, coupling, refusal, TEXTS)
    assert "1740 psi" in said
    assert "212 lbf" in said
    metric = telling.say_refusal(attempt.case, coupling, refusal, TEXTS, metric=True)
    assert "120.0 bar" in metric
    assert "942 N" in metric


def test_things_go_by_the_names_they_wear() -> None:
    case = couple().case
    assert telling.name_of(case, "fan_drain", TEXTS) == "F-D"
    assert telling.name_of(case, "case_drain", TEXTS) == "CD"
    assert telling.name_of(case, "fan", TEXTS) == "vacuum fan"
    assert telling.name_of(case, "panel", TEXTS) == "rear panel"
    assert telling.name_of(case, "ground_radar", TEXTS) == "ground radar"
    couples = from_line("couple: fan_drain to case_drain")
    assert telling.say_action(case, couples, TEXTS) == "Pushed F-D home on CD"
    assert telling.say_action(case, from_line("hitch: 620 mm"), TEXTS) == "Set the hitch to 24.41 in (620 mm)"


def test_an_event_says_its_numbers() -> None:
    event = Event("case_pressure", 40, "fan", "pb_pressure", (("case_pa", 18_700_000), ("limit_pa", 500_000)))
    said = telling.say_event(couple().case, event, TEXTS)
    assert said == "Vacuum fan: case pressure 2712 psi, good for 73 psi."
    said = telling.say_event(couple().case, event, TEXTS, metric=True)
    assert said == "Vacuum fan: case pressure 187.0 bar, good for 5.0 bar."


def test_the_small_words_are_all_there() -> None:
    assert all(TEXTS.has(f"cli.stations.{station}") for station in STATIONS)
    assert all(TEXTS.has(f"cli.severity.{severity}") for severity in SEVERITIES)
    assert all(TEXTS.has(f"cli.ended.{end.replace(' ', '_')}") for end in ENDS)
    assert TEXTS.has("cli.ended.not_yet")
    assert TEXTS.has("cli.points.time")
