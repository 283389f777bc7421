"""A record that was touched never grades as if it had not been: any byte, anywhere, in any way."""

from functools import cache
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from trainer.authoring.compile import load_job
from trainer.authoring.orders import play_items
from trainer.authoring.source import ContentError
from trainer.records import attempt_file
from trainer.records.attempt_file import Record
from trainer.records.journal import record_of
from trainer.records.replay import NOW, regrade

OLD = sorted(Path(__file__).parent.joinpath("records").glob("*_v1.jsonl"))
"""Records made before lines were chained, by scoring 1; and what scoring 2 makes of them."""
SCORING_1_AND_2 = {"couple_drain_v1.jsonl": (65, 65), "uncouple_long_wait_v1.jsonl": (97, 100)}


@cache
def real() -> bytes:
    job = load_job("first-week/couple")
    attempt = play_items(job.case, job.rules, job.slip("one_latch_open").items)
    return "".join(record_of(job, attempt)).encode("ascii")


@cache
def untouched() -> Record:
    return attempt_file.parse(real(), "a.jsonl")


def outcome(data: bytes) -> str:
    """What becomes of these bytes: `refused` with a place, `cut` short and told so, or `read`."""
    try:
        record = attempt_file.parse(data, "a.jsonl")
    except ContentError as error:
        (problem,) = error.problems
        assert problem.place.line >= 1
        assert problem.message
        return "refused"
    if record.cut is None:
        return "read"
    assert record.claim is None, "a record that was cut short has no result to agree with"
    assert record.cut.place.line == data.count(b"\n") + 1
    return "cut"


def test_the_real_record_is_read_whole() -> None:
    assert outcome(real()) == "read"
    assert untouched().claim is not None
    assert regrade(untouched()).agrees


PLACES = st.one_of(
    st.integers(0, len(real()) - 1),  # mostly in the header, which is longest
    st.integers(len(real()) - 12_000, len(real()) - 1),
    st.sampled_from([at for at, byte in enumerate(real()) if byte == 0x0A]),
)


@settings(max_examples=150, deadline=None)
@given(at=PLACES, byte=st.integers(0, 255))
@example(at=len(real()) - 1, byte=0x0D)
@example(at=11, byte=0x31)  # the format says 1: before lines were chained
def test_a_byte_changed_anywhere_is_told(at: int, byte: int) -> None:
    data = real()[:at] + bytes([byte]) + real()[at + 1 :]
    assert (outcome(data) == "read") == (data == real())


@settings(max_examples=150, deadline=None)
@given(
    at=st.one_of(PLACES, st.just(len(real()))),
    noise=st.one_of(st.binary(min_size=1, max_size=3), st.sampled_from([b" ", b"\n", b"\r"])),
)
@example(at=len(real()), noise=b"\n")
@example(at=len(real()), noise=b" ")
@example(at=0, noise=b"\xef\xbb\xbf")
def test_bytes_put_in_anywhere_are_told(at: int, noise: bytes) -> None:
    assert outcome(real()[:at] + noise + real()[at:]) == "refused" or at + len(noise) > len(real())
    assert outcome(real()[:at] + noise + real()[at:]) != "read"


@settings(max_examples=100, deadline=None)
@given(at=PLACES, length=st.integers(1, 40))
@example(at=len(real()) - 1, length=1)
def test_bytes_taken_out_anywhere_are_told(at: int, length: int) -> None:
    assert outcome(real()[:at] + real()[at + length :]) != "read"


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_lines_taken_out_or_changed_over_are_refused(data: st.DataObject) -> None:
    lines = real().splitlines(keepends=True)
    first = data.draw(st.integers(1, len(lines) - 2))
    second = data.draw(st.integers(first + 1, len(lines) - 1))
    assert outcome(b"".join(lines[:first] + lines[second:])) == "refused"
    swapped = list(lines)
    swapped[first], swapped[second] = swapped[second], swapped[first]
    assert outcome(b"".join(swapped)) == "refused"


def test_an_edited_line_is_told_by_its_line() -> None:
    lines = real().decode("ascii").splitlines(keepends=True)
    number = next(at for at, line in enumerate(lines) if '"do":"latch: left"' in line)
    lines[number] = lines[number].replace("latch: left", "latch: right")
    with pytest.raises(ContentError) as told:
        attempt_file.parse("".join(lines).encode(), "a.jsonl")
    assert str(told.value).startswith(f"a.jsonl:{number + 1}:2: this is not the line that was written here")


def test_a_result_taken_off_the_end_leaves_an_attempt_that_was_never_graded() -> None:
    lines = real().splitlines(keepends=True)
    record = attempt_file.parse(b"".join(lines[:-1]), "a.jsonl")
    assert record.claim is None
    assert regrade(record).claimed is None


@pytest.mark.parametrize("path", OLD, ids=lambda path: path.stem)
def test_a_record_of_an_earlier_version_is_graded_and_told_what_changed_since(path: Path) -> None:
    record = attempt_file.read(path)
    graded = regrade(record)
    assert record.chain is None
    assert record.versions.scoring == 1
    then, now = SCORING_1_AND_2[path.name]
    assert record.claim is not None
    assert record.claim.result["points"] == then
    if record.versions.engine == NOW.engine and record.versions.rules == NOW.rules:
        assert graded.attempt.score().points == now
    told = {(what, version) for what, version, _ in graded.version_reasons}
    assert ("scoring", 2) in told
    assert all(reason for _, _, reason in graded.version_reasons)


def test_every_old_record_has_its_points_here() -> None:
    assert {path.name for path in OLD} == set(SCORING_1_AND_2)


def test_an_old_record_that_claims_to_be_chained_is_refused() -> None:
    data = OLD[0].read_bytes().replace(b'"attempt":1', b'"attempt":2', 1)
    with pytest.raises(ContentError, match=":1:1: this is not the line that was written here"):
        attempt_file.parse(data, "a.jsonl")
