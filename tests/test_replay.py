"""Replay and re-grading: an attempt is what its actions make it, whatever its record claims."""

import json
from functools import cache
from pathlib import Path

import pytest

from trainer.authoring.compile import Job, load_job
from trainer.authoring.orders import play_items
from trainer.authoring.source import ContentError
from trainer.core.actions import from_line
from trainer.core.attempt import Attempt
from trainer.core.engine import digest
from trainer.records import attempt_file, replay
from trainer.records.journal import Recorder, record_of

SLIP = "drain_on_power_beyond"


@cache
def couple() -> Job:
    return load_job("first-week/couple")


@cache
def slipped() -> Attempt:
    job = couple()
    return play_items(job.case, job.rules, job.slip(SLIP).items)


@cache
def lines() -> tuple[str, ...]:
    return tuple(record_of(couple(), slipped()))


def graded(changed: list[str]) -> replay.Regrade:
    """Grade changed lines whose chain was worked out again: only running it again shows the change."""
    return replay.regrade(attempt_file.parse("".join(rechained(changed)).encode(), "a.jsonl"))


def rechained(changed: list[str]) -> list[str]:
    chain = attempt_file.Chain()
    bare = [{key: value for key, value in json.loads(line).items() if key != "chain"} for line in changed]
    return [chain.seal(json.dumps(line, sort_keys=True, separators=(",", ":")) + "\n") for line in bare]


def place_of(word: str) -> int:
    return next(number for number, line in enumerate(lines()) if f'"do":"{word}' in line)


def test_a_record_runs_again_to_the_same_end() -> None:
    again = graded(list(lines()))
    assert again.agrees
    assert again.first_difference is None
    assert again.version_differences == ()
    assert again.attempt.findings == slipped().findings
    assert digest(again.attempt.state) == digest(slipped().state)
    assert again.attempt.score() == slipped().score()
    assert again.attempt.findings, "the slip is found"


def test_the_job_travels_in_the_record() -> None:
    record = attempt_file.parse("".join(lines()).encode(), "a.jsonl")
    assert replay.job_of(record) == couple()


def test_an_attempt_can_be_looked_at_as_it_stood() -> None:
    record = attempt_file.parse("".join(lines()).encode(), "a.jsonl")
    middle = slipped().log[20].tick
    attempt = replay.replay(record, until_tick=middle)
    assert attempt.state.tick == middle
    assert len(attempt.log) == 20
    assert attempt.log == slipped().log[:20]
    assert replay.replay(record, until_tick=0).log == []
    assert replay.replay(record).state == slipped().state


def test_an_action_put_right_afterwards_is_found_at_its_tick() -> None:
    number = place_of("couple: fan_drain")
    changed = list(lines())
    wrong = changed[number]
    changed[number] = wrong.replace("fan_drain to pb_pressure", "fan_drain to case_drain")
    assert changed[number] != wrong
    again = graded(changed)
    assert not again.agrees
    assert again.first_difference is not None
    assert again.first_difference.field == "digest"
    assert str(again.first_difference.place) == f"a.jsonl:{number + 1}:1"
    assert f'"tick":{again.first_difference.tick}}}' in wrong.replace("\n", "")


def test_a_finding_struck_out_of_the_result_is_found() -> None:
    changed = list(lines())
    record = attempt_file.parse("".join(changed).encode(), "a.jsonl")
    assert record.claim is not None
    result = dict(record.claim.result)
    result["findings"] = result["findings"][1:]
    changed[-1] = attempt_file.result_line(record.claim.tick, result)
    difference = graded(changed).first_difference
    assert difference is not None
    assert difference.field.startswith("findings[1].")


@pytest.mark.parametrize(
    ("key", "value", "field"),
    [
        ("points", 100, "points"),
        ("passed", True, "passed"),
        ("ended", "out of time", "ended"),
        ("findings", [], "findings"),
    ],
)
def test_a_result_that_claims_too_much_is_found(key: str, value: object, field: str) -> None:
    changed = list(lines())
    record = attempt_file.parse("".join(changed).encode(), "a.jsonl")
    assert record.claim is not None
    changed[-1] = attempt_file.result_line(record.claim.tick, {**record.claim.result, key: value})
    difference = graded(changed).first_difference
    assert difference is not None
    assert difference.field == field
    assert difference.recorded != difference.now


def test_a_refusal_struck_out_is_found() -> None:
    written: list[str] = []
    recorder = Recorder.begin(couple(), written.append)
    recorder.do(from_line("engine: start"))
    assert '"refused":"not_here"' in written[1] or '"refused":"key_not_on"' in written[1]
    recorder.grade()
    assert graded(written).agrees
    reason = recorder.attempt.log[0].refused
    written[1] = written[1].replace(f'"{reason}"', '""')
    difference = graded(written).first_difference
    assert difference is not None
    assert (difference.field, difference.recorded, difference.now, difference.tick) == (
        "refused",
        "",
        reason,
        0,
    )


def test_other_versions_are_told() -> None:
    changed = list(lines())
    changed[0] = changed[0].replace(f'"engine":{replay.NOW.engine}', '"engine":999')
    again = graded(changed)
    assert again.agrees
    assert again.version_differences == (("engine", 999, replay.NOW.engine),)


def test_actions_after_the_end_do_not_count() -> None:
    written: list[str] = []
    recorder = Recorder.begin(couple(), written.append)
    recorder.do(from_line("hand_in:"))
    tick = recorder.attempt.state.tick
    written.append(
        attempt_file.action_line(tick, from_line("look: area"), "", digest(recorder.attempt.state))
    )
    difference = graded(written).first_difference
    assert difference is not None
    assert (difference.field, difference.now) == ("refused", "ended")


def test_a_record_whose_job_is_broken_is_told_by_its_place() -> None:
    header = attempt_file.header_line(
        "first-week/couple", replay.NOW, {"jobs/first-week/couple.yaml": "title: x\n"}
    )
    record = attempt_file.parse(attempt_file.Chain().seal(header).encode(), "a.jsonl")
    with pytest.raises(ContentError) as told:
        replay.regrade(record)
    assert "jobs/first-week/couple.yaml" in str(told.value)


def test_a_file_is_graded_by_its_name(tmp_path: Path) -> None:
    path = tmp_path / "a.jsonl"
    attempt_file.save(path, lines())
    assert replay.regrade_file(path).agrees


def test_every_version_has_its_reason() -> None:
    for what, now in (
        ("engine", replay.NOW.engine),
        ("rules", replay.NOW.rules),
        ("scoring", replay.NOW.scoring),
    ):
        changes = replay.CHANGES[what]
        assert [version for version, _ in changes] == list(range(1, now + 1)), what
        assert all(reason for _, reason in changes)
