"""The attempt file: what is written, what is read, and the message for each thing that can be wrong."""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.authoring.source import ContentError
from trainer.core.actions import WORDS, Action, from_line
from trainer.records import attempt_file
from trainer.records.attempt_file import Done, Mark, Versions

DIGEST = "0123456789abcdef"
HEADER = attempt_file.header_line("first-week/couple", Versions(1, 2, 3), {"job.yaml": "title: Couple\n"})
RESULT = {"ended": "handed in", "passed": True, "points": 100, "findings": []}
FINDING = {
    "rule": "case_pressure",
    "severity": "critical",
    "harm": "destruction",
    "tick": 40,
    "thing": "fan",
    "place": "",
    "measured": 18_700_000,
    "limit": 500_000,
    "measure": "case_pa",
    "unit": "bar",
    "source": "the trade",
    "standing": "practice",
    "root": "",
}


def action(tick: int, line: str = "key: out", refused: str = "", digest: str = DIGEST) -> str:
    return attempt_file.action_line(tick, from_line(line), refused, digest)


def sealed(text: str, last: bool = True) -> str:
    """The same lines, each with its chain; the last one bare, where it is the fault that is looked for."""
    chain = attempt_file.Chain()
    lines = text.splitlines(keepends=True)
    return "".join(chain.seal(line) for line in lines[: None if last else -1]) + ("" if last else lines[-1])


def faults(text: str) -> list[str]:
    """What is told of a text that is at fault in its last line."""
    with pytest.raises(ContentError) as caught:
        attempt_file.parse((sealed(text, last=False) if text else "").encode("utf-8"), "a.jsonl")
    return str(caught.value).splitlines()


def fault(text: str) -> str:
    return faults(text)[0]


def test_what_is_written_is_read_again() -> None:
    text = (
        HEADER
        + action(4)
        + action(9, "hitch: 620 mm", "no_oil_to_lift")
        + attempt_file.mark_line(1200, DIGEST)
    )
    text += attempt_file.result_line(1300, {**RESULT, "findings": [FINDING]})
    text = sealed(text)
    record = attempt_file.parse(text.encode("ascii"), "a.jsonl")
    assert (record.job, record.versions) == ("first-week/couple", Versions(1, 2, 3))
    assert record.files == {"job.yaml": "title: Couple\n"}
    first, second, mark = record.entries
    assert isinstance(first, Done)
    assert isinstance(second, Done)
    assert isinstance(mark, Mark)
    assert (first.tick, first.action, first.refused) == (4, Action("key", "out"), "")
    assert (second.action, second.refused) == (Action("hitch", amount=620_000), "no_oil_to_lift")
    assert (mark.tick, str(mark.place)) == (1200, "a.jsonl:4:1")
    assert record.claim is not None
    assert record.claim.result["findings"] == [FINDING]
    assert (record.last_tick, record.cut, record.whole_bytes) == (1300, None, len(text))


def test_the_bytes_are_plain_and_in_one_order() -> None:
    line = attempt_file.header_line("a", Versions(1, 1, 1), {"b.yaml": "temp: 5 °C\r\n", "a.yaml": "x"})
    assert line.isascii()
    assert line.endswith('"scoring":1}}\n')
    assert line.count("\n") == 1
    assert ": " not in line.replace("temp: ", "")
    assert line.index('"a.yaml"') < line.index('"b.yaml"')


def test_a_line_that_was_never_finished_is_told_and_left_out() -> None:
    text = sealed(HEADER + action(4))
    record = attempt_file.parse((text + action(9)[:-20]).encode(), "a.jsonl")
    assert len(record.entries) == 1
    assert record.whole_bytes == len(text)
    assert record.cut is not None
    assert record.cut.render() == (
        "a.jsonl:3:1: the last line was never finished: the program was stopped while it wrote it. "
        "Write: nothing; the attempt counts up to the line above"
    )


def test_zeros_that_a_power_cut_left_count_as_a_line_never_finished() -> None:
    record = attempt_file.parse(sealed(HEADER + action(4)).encode() + bytes(512), "a.jsonl")
    assert len(record.entries) == 1
    assert record.cut is not None


def test_a_last_line_counts_once_its_newline_is_written() -> None:
    text = sealed(HEADER + action(4) + action(9))
    record = attempt_file.parse(text.rstrip("\n").encode(), "a.jsonl")
    assert len(record.entries) == 1
    assert record.cut is not None
    assert record.whole_bytes == len(sealed(HEADER + action(4)))


def test_lines_that_end_as_another_system_ends_them_are_refused() -> None:
    text = sealed(HEADER + action(4)).replace("\n", "\r\n")
    with pytest.raises(ContentError, match=r"a\.jsonl:1:1: the line ends as another system ends lines"):
        attempt_file.parse(text.encode(), "a.jsonl")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "a.jsonl:1:1: the file is empty. Write: an attempt file"),
        (
            HEADER.rstrip("\n")[:-5],
            "a.jsonl:1:1: the first line was never finished. Write: a whole attempt file",
        ),
        (
            action(4),
            'a.jsonl:1:1: the header is missing. Write: a first line that starts {"attempt":2,...',
        ),
        (HEADER + HEADER, "a.jsonl:2:2: a second header. Write: one header, in line 1"),
        (
            HEADER + "tick 4\n",
            "a.jsonl:2:1: this is not JSON (expecting value). Write: a line such as "
            '{"digest":"...","do":"key: out","refused":"","tick":40}',
        ),
        (HEADER + '{"tick":4,,}\n', "this is not JSON"),
        (HEADER + "[4]\n", "a.jsonl:2:1: this is not a mapping"),
        # Nested this deep some Pythons give up and others read on: told either way.
        (HEADER + "[" * 5000 + "]" * 5000 + "\n", "a.jsonl:2:1: this is not "),
        (
            HEADER + '{"tick":' + "9" * 5000 + "}\n",
            "a.jsonl:2:1: this is not JSON that an attempt file holds",
        ),
        (HEADER + '{"digest":"00","tick":NaN}\n', "a.jsonl:2:1: NaN is not a whole number"),
        (HEADER + '{"digest":"00","tick":4.5}\n', "a.jsonl:2:1: 4.5 is not a whole number"),
        (HEADER + '{"digest":"00","tick":4,"tick":5}\n', "a.jsonl:2:16: 'tick' stands here twice"),
        (
            HEADER + '{"digest":"00","tick":true}\n',
            "a.jsonl:2:23: 'tick' is not a whole number from 0 to 1728000",
        ),
        (
            HEADER + '{"digest":"00","tick":-1}\n',
            "a.jsonl:2:23: 'tick' is not a whole number from 0 to 1728000",
        ),
        (HEADER + '{"digest":"00","tick":99999999}\n', "a.jsonl:2:23: 'tick' is not a whole number"),
        (HEADER + '{"digest":"xyz","tick":4}\n', "a.jsonl:2:11: 'digest' is not in hexadecimal digits"),
        (
            HEADER + '{"colour":1,"digest":"00","tick":4}\n',
            "a.jsonl:2:2: 'colour' is not a key here. Write: digest or tick",
        ),
        (HEADER + '{"digest":"00","do":"key: out","tick":4}\n', "a.jsonl:2:1: 'refused' is missing"),
        (HEADER + action(9) + action(9), "a.jsonl:3:59: tick 9 goes backwards. Write: a tick from 10 on"),
        (HEADER + action(9) + attempt_file.mark_line(3, DIGEST), "a.jsonl:3:30: tick 3 goes backwards"),
        (
            HEADER + action(4).replace("key: out", "kay: out"),
            "a.jsonl:2:35: no action word 'kay'. Write: one of",
        ),
        (
            HEADER + action(4).replace("key: out", "key: away"),
            "a.jsonl:2:35: 'key' takes 'out' or 'off' or 'on', not 'away'. Write: key: out",
        ),
        (HEADER + '{"digest":"00","do":4,"refused":"","tick":4}\n', "a.jsonl:2:21: 'do' is not a text"),
        (
            HEADER + attempt_file.result_line(4, RESULT) + action(9),
            "a.jsonl:3:1: a line stands after the result. Write: the result last",
        ),
        (HEADER + attempt_file.result_line(4, {**RESULT, "points": "all"}), "'points' is not a whole number"),
        (HEADER + attempt_file.result_line(4, {**RESULT, "passed": 1}), "'passed' is neither true nor false"),
        (HEADER + attempt_file.result_line(4, {**RESULT, "ended": 1}), "'ended' is not a text"),
        (HEADER + attempt_file.result_line(4, {**RESULT, "findings": {}}), "'findings' is not a list"),
        (HEADER + attempt_file.result_line(4, {**RESULT, "findings": [4]}), "finding 1 is not a mapping"),
        (
            HEADER + attempt_file.result_line(4, {**RESULT, "findings": [{**FINDING, "tick": "4"}]}),
            "'tick' of finding 1 is not a whole number",
        ),
        (HEADER + attempt_file.result_line(4, {**RESULT, "findings": [{}]}), "'harm' is missing"),
        (HEADER + '{"result":[],"tick":4}\n', "a.jsonl:2:11: 'result' is not a mapping"),
        (
            HEADER.replace('"attempt":2', '"attempt":3'),
            "a.jsonl:1:12: this attempt file is of another version",
        ),
        (HEADER.replace('"attempt":2', '"attempt":true'), "this attempt file is of another version"),
        (HEADER.replace('"engine":1', '"engine":0'), "the version of engine is not a whole number"),
        (HEADER.replace('"engine":1', '"motor":1'), "'motor' is not a key here"),
        (HEADER.replace('{"engine":1,"rules":2,"scoring":3}', "7"), "'versions' is not a mapping"),
        (HEADER.replace('"title: Couple\\n"', "7"), "the file 'job.yaml' is not a text"),
        (
            HEADER.replace('{"job.yaml":"title: Couple\\n"}', "7"),
            "'files' is not a mapping of at most 32 files",
        ),
        (HEADER.replace('"first-week/couple"', '"' + "x" * 300 + '"'), "'job' is not a text of at most 200"),
        (HEADER.replace('"job":', '"person":"A","job":'), "'person' is not a key here"),
        (HEADER + '{"digest":"°","tick":4}\n', "a.jsonl:2:12: byte C2 hex stands here"),
    ],
)
def test_every_fault_is_told_with_its_place(text: str, message: str) -> None:
    assert message in fault(text)


def test_a_fault_shows_its_line_and_a_caret() -> None:
    first, line, caret = faults(HEADER + action(9) + attempt_file.mark_line(3, DIGEST))
    assert first == "a.jsonl:3:30: tick 3 goes backwards. Write: a tick from 10 on"
    assert line.strip() == attempt_file.mark_line(3, DIGEST).strip()
    assert line[caret.index("^") :].startswith('"tick"')


def test_sizes_are_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(attempt_file, "MAX_LINES", 3)
    assert "more than 3 lines" in fault(HEADER + action(4) + action(9) + action(12))
    monkeypatch.setattr(attempt_file, "MAX_LINE_BYTES", 50)
    assert "a.jsonl:2:1: the line is longer than 50 bytes" in fault(HEADER + action(4))
    monkeypatch.setattr(attempt_file, "MAX_HEADER_BYTES", 60)
    assert "a.jsonl:1:1: the line is longer than 60 bytes" in fault(HEADER)
    monkeypatch.setattr(attempt_file, "MAX_BYTES", 70)
    assert "the file is longer than 70 bytes" in fault(HEADER)


def test_what_is_no_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(ContentError, match="there is no such file"):
        attempt_file.read(tmp_path / "gone.jsonl")
    with pytest.raises(ContentError, match="this is not a file"):
        attempt_file.read(tmp_path)


def test_a_saved_file_replaces_the_old_one_whole(tmp_path: Path) -> None:
    path = tmp_path / "a.jsonl"
    path.write_text("what was there before")
    attempt_file.save(path, [HEADER, action(4)])
    assert path.read_text() == HEADER + action(4)
    assert [child.name for child in tmp_path.iterdir()] == ["a.jsonl"]


@given(st.lists(st.sampled_from([word.example for word in WORDS.values()]), max_size=20), st.data())
def test_any_list_of_actions_comes_back(lines: list[str], data: st.DataObject) -> None:
    ticks = data.draw(
        st.lists(st.integers(0, 5000), min_size=len(lines), max_size=len(lines), unique=True).map(sorted)
    )
    text = HEADER + "".join(action(tick, line) for tick, line in zip(ticks, lines, strict=True))
    record = attempt_file.parse(sealed(text).encode(), "a.jsonl")
    read = [(entry.tick, entry.action) for entry in record.entries if isinstance(entry, Done)]
    assert read == [(tick, from_line(line)) for tick, line in zip(ticks, lines, strict=True)]


@given(st.binary(max_size=200), st.integers(0, 400))
def test_no_bytes_bring_it_down(noise: bytes, at: int) -> None:
    good = sealed(HEADER + action(4) + attempt_file.mark_line(1200, DIGEST)).encode()
    data = good[:at] + noise + good[at + len(noise) :]
    try:
        record = attempt_file.parse(data, "a.jsonl")
    except ContentError as error:
        record, problems = None, error.problems
    else:
        problems = ()
    assert (record is None) == bool(problems)
    assert all(problem.place.line >= 1 and problem.advice for problem in problems)
    assert record is None or record.whole_bytes <= len(data)


def test_a_header_is_json_that_anything_can_read() -> None:
    assert json.loads(HEADER)["files"] == {"job.yaml": "title: Couple\n"}
