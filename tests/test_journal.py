"""The journal: a program may be killed at any moment and the attempt goes on from its last action."""

import errno
import io
import json
import os
import shutil
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

from trainer.authoring.compile import Job, load_job
from trainer.authoring.source import ContentError
from trainer.core.actions import from_line
from trainer.core.engine import digest
from trainer.records import attempt_file, journal
from trainer.records.attempt_file import MARK_TICKS, Mark
from trainer.records.replay import NOW, regrade

REPOSITORY = Path(__file__).resolve().parent.parent
SOME = [from_line(line) for line in ("look: area", "go: hitch", "drawbar: stow", "latch: left", "go: seat")]

# Does one action after the other and says so; its parent kills it in the middle.
BUSY_PROGRAM = """
import itertools, sys
from trainer.authoring.compile import load_job
from trainer.core.actions import from_line
from trainer.records import journal

running = journal.start(load_job("first-week/couple"))
doing = ["go: hitch", "sway: 60 mm", "latch: left", "go: yard", "unlatch: left", "look: area"]
for line in itertools.cycle(doing):
    running.settle()
    running.do(from_line(line))
    print(line, flush=True)
"""


@cache
def couple() -> Job:
    return load_job("first-week/couple")


def play(running: journal.Recorder, times: int = 1) -> None:
    for action in SOME * times:
        running.settle()
        running.do(action)


def cut(path: Path, end: int) -> None:
    path.write_bytes(path.read_bytes()[:end])


def test_an_attempt_goes_on_where_it_was_left_off() -> None:
    begun = journal.start(couple())
    play(begun)
    state, log = begun.attempt.state, list(begun.attempt.log)
    begun.close()
    path = journal.pending()
    assert path == begun.path
    again = journal.resume(path)
    assert again.attempt.log == log
    assert digest(again.attempt.state) == digest(state)
    again.settle()
    again.do(from_line("key: on"))
    again.close()
    assert [entry.action for entry in journal.resume(path).attempt.log] == [*SOME, from_line("key: on")]


def test_the_file_holds_what_a_recorder_in_memory_hands_on(tmp_path: Path) -> None:
    lines: list[str] = []
    recorder = journal.Recorder.begin(couple(), lines.append)
    play(recorder)
    recorder.run(2 * MARK_TICKS)
    recorder.grade()
    begun = journal.start(couple(), tmp_path)
    play(begun)
    begun.close()
    resumed = journal.resume(begun.path)
    resumed.run(2 * MARK_TICKS)
    kept = resumed.finish()
    assert kept.read_bytes() == "".join(lines).encode()


def test_marks_fall_on_whole_intervals_however_time_is_let_pass() -> None:
    marks = []
    for step in (1, 700, 5 * MARK_TICKS):
        lines: list[str] = []
        recorder = journal.Recorder.begin(couple(), lines.append)
        while recorder.attempt.state.tick < 3 * MARK_TICKS + 10:
            recorder.run(min(step, 3 * MARK_TICKS + 10 - recorder.attempt.state.tick))
        record = attempt_file.parse("".join(lines).encode(), "a.jsonl")
        marks.append([entry.tick for entry in record.entries if isinstance(entry, Mark)])
    assert marks == [[MARK_TICKS, 2 * MARK_TICKS, 3 * MARK_TICKS]] * 3


def test_time_that_was_marked_is_not_lost() -> None:
    begun = journal.start(couple())
    begun.run(MARK_TICKS + 300)
    begun.close()
    assert journal.resume(begun.path).attempt.state.tick == MARK_TICKS


def test_a_finished_attempt_is_put_away_and_agrees_with_its_record() -> None:
    begun = journal.start(couple())
    play(begun)
    begun.settle()
    begun.do(from_line("hand_in:"))
    kept = begun.finish()
    assert not begun.path.parent.parent.joinpath("running", kept.name).exists()
    assert journal.finished() == (kept,)
    assert journal.pending() is None
    graded = regrade(journal.load(kept))
    assert graded.agrees
    assert graded.claimed is not None
    assert graded.claimed.result["ended"] == "handed in"


def test_nothing_goes_on_record_after_the_end() -> None:
    begun = journal.start(couple())
    begun.do(from_line("hand_in:"))
    size = begun.path.stat().st_size
    refusal = begun.do(from_line("look: area"))
    assert refusal is not None
    assert refusal.reason == "ended"
    assert begun.path.stat().st_size == size
    begun.close()


def test_every_action_is_on_the_disk_before_the_next() -> None:
    begun = journal.start(couple())
    for number, action in enumerate(SOME, start=1):
        begun.settle()
        begun.do(action)
        assert len(attempt_file.read(begun.path).entries) == number
    begun.close()


@pytest.mark.parametrize("lost", [1, 5, 40])
def test_a_line_cut_off_in_the_middle_costs_that_line_only(lost: int) -> None:
    begun = journal.start(couple())
    play(begun)
    begun.close()
    size = begun.path.stat().st_size
    cut(begun.path, size - lost)
    resumed = journal.resume(begun.path)
    assert len(resumed.attempt.log) == len(SOME) - 1
    resumed.settle()
    resumed.do(from_line("look: area"))
    resumed.close()
    record = attempt_file.read(begun.path)
    assert record.cut is None
    assert regrade(record).agrees


def test_a_killed_program_loses_nothing(user_folder: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": str(REPOSITORY)}
    with subprocess.Popen(
        [sys.executable, "-c", BUSY_PROGRAM], env=environment, stdout=subprocess.PIPE, text=True
    ) as program:
        assert program.stdout is not None
        told = [program.stdout.readline().strip() for _ in range(15)]
        program.kill()  # no signal a program could catch
        told += [line.strip() for line in program.stdout if line.endswith("\n")]
    assert program.returncode != 0
    assert journal.user_folder() == user_folder
    path = journal.pending()
    assert path is not None
    resumed = journal.resume(path)
    done = [attempt_file.as_line(entry.action) for entry in resumed.attempt.log]
    assert done[: len(told)] == told
    assert len(done) <= len(told) + 1  # it may have been killed before it could say so
    resumed.settle()
    assert (
        resumed.do(from_line("measure: sway" if resumed.attempt.state.station == "hitch" else "hand_in:"))
        is None
    )
    resumed.close()


def test_two_programs_do_not_share_an_attempt() -> None:
    begun = journal.start(couple())
    play(begun)
    assert journal.pending() is None
    with pytest.raises(journal.InUse):
        journal.resume(begun.path)
    play(begun)
    begun.close()
    assert journal.pending() == begun.path
    assert len(journal.resume(begun.path).attempt.log) == 2 * len(SOME)


def test_attempts_of_one_job_lie_side_by_side() -> None:
    first, second = journal.start(couple()), journal.start(couple())
    assert [path.path.name for path in (first, second)] == [
        "first-week-couple-0001.jsonl",
        "first-week-couple-0002.jsonl",
    ]
    kept = second.finish()
    first.close()
    third = journal.start(couple())
    assert third.path.name == "first-week-couple-0003.jsonl"
    assert kept.name == "first-week-couple-0002.jsonl"
    third.close()


def test_a_graded_attempt_that_was_not_put_away_is_put_away_now() -> None:
    begun = journal.start(couple())
    begun.do(from_line("hand_in:"))
    begun.grade()
    begun.close()  # as if the program was killed here
    assert journal.pending() is None
    assert [path.name for path in journal.finished()] == [begun.path.name]


def test_an_attempt_that_no_longer_runs_as_it_ran_is_not_gone_on_with() -> None:
    begun = journal.start(couple())
    play(begun)
    begun.close()
    lines = begun.path.read_text().splitlines(keepends=True)
    chain, moved = attempt_file.Chain(), []
    for number, line in enumerate(lines):  # as a program would have written it whose yard moves otherwise
        value = {key: each for key, each in json.loads(line).items() if key != "chain"}
        if number == 3:
            value["digest"] = "0" + value["digest"]
        moved.append(chain.seal(json.dumps(value, sort_keys=True, separators=(",", ":")) + "\n"))
    begun.path.write_text("".join(moved))
    with pytest.raises(
        journal.CannotResume, match=r"0001\.jsonl:4:1: at tick \d+ the yard no longer stands"
    ) as told:
        journal.resume(begun.path)
    assert told.value.difference.field == "digest"
    aside = journal.set_aside(begun.path)
    assert journal.pending() is None
    assert aside.is_file()


def test_an_attempt_edited_while_it_lay_there_is_not_gone_on_with() -> None:
    begun = journal.start(couple())
    play(begun)
    begun.close()
    text = begun.path.read_text()
    begun.path.write_text(text.replace('"do":"latch: left"', '"do":"latch: right"'))
    with pytest.raises(ContentError, match=r"0001\.jsonl:5:\d+: this is not the line that was written here"):
        journal.resume(begun.path)
    begun.path.write_text(text)
    resumed = journal.resume(begun.path)
    assert len(resumed.attempt.log) == len(SOME)
    resumed.close()


def test_an_attempt_begun_before_lines_were_chained_goes_on_as_it_was_begun(tmp_path: Path) -> None:
    begun = journal.start(couple())
    header = attempt_file.header_line(couple().name, NOW, couple().files)
    lines = [header.replace('"attempt":2', '"attempt":1', 1)]
    old = journal.Recorder(couple(), begun.attempt, lines.append, None)
    play(old)
    begun.close()
    path = tmp_path / "old.jsonl"
    path.write_text("".join(lines))
    resumed = journal.resume(path)
    resumed.settle()
    resumed.do(from_line("key: on"))
    resumed.close()
    record = attempt_file.read(path)
    assert (record.chain, len(record.entries)) == (None, len(SOME) + 1)
    assert regrade(record).agrees


def test_what_is_no_attempt_is_left_alone() -> None:
    begun = journal.start(couple())
    begun.close()
    stranger = begun.path.with_name("stranger.jsonl")
    stranger.write_text("this is no attempt\n")
    assert journal.pending() == begun.path
    assert stranger.is_file()


def test_without_an_attempt_there_is_nothing_to_go_on_with(tmp_path: Path) -> None:
    assert journal.pending(tmp_path / "nobody") is None
    assert journal.finished(tmp_path / "nobody") == ()


# --- a disk that does not take it --------------------------------------------------------------------------


class Disk:
    """A disk with so much room: a write that does not fit leaves what fits, and fails."""

    def __init__(self, room_bytes: int) -> None:
        self.room_bytes = room_bytes

    def open(self, path: Path, mode: str) -> io.FileIO:
        disk = self

        class Small(io.FileIO):
            def write(self, data: memoryview) -> int:  # type: ignore[override]
                fits = max(0, disk.room_bytes - self.tell())
                if fits < len(data):
                    super().write(data[:fits])
                    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
                return super().write(data)

        return Small(path, mode)


def test_a_full_disk_stops_nobody_and_what_was_done_is_written_when_there_is_room(tmp_path: Path) -> None:
    lines: list[str] = []
    play(journal.Recorder.begin(couple(), lines.append), 2)
    disk = Disk(len("".join(lines[:4])) + 20)
    begun = journal.start(couple(), tmp_path, opener=disk.open)
    play(begun, 2)
    assert begun.trouble == os.strerror(errno.ENOSPC)
    assert [entry.action for entry in begun.attempt.log] == SOME * 2
    assert len(attempt_file.read(begun.path).entries) == 3, "what is on the disk can be gone on with"
    assert not begun.try_again()
    disk.room_bytes = 10_000_000
    assert begun.try_again()
    assert begun.trouble == ""
    assert begun.path.read_text("ascii") == "".join(lines)
    begun.close()
    assert journal.resume(begun.path).attempt.log == begun.attempt.log


def test_a_folder_that_is_gone_is_made_again_with_the_whole_record(tmp_path: Path) -> None:
    lines: list[str] = []
    play(journal.Recorder.begin(couple(), lines.append), 2)
    begun = journal.start(couple(), tmp_path)
    play(begun)
    shutil.rmtree(tmp_path / "attempts")
    play(begun)
    assert begun.trouble == ""
    assert begun.path.read_text("ascii") == "".join(lines)


def test_an_attempt_that_ends_on_a_full_disk_is_put_away_later(tmp_path: Path) -> None:
    disk = Disk(10_000_000)
    begun = journal.start(couple(), tmp_path, opener=disk.open)
    play(begun)
    disk.room_bytes = 0
    begun.settle()
    begun.do(from_line("hand_in:"))
    assert begun.finish().parent.name == "running"
    assert begun.trouble
    assert regrade(attempt_file.read(begun.rescue(tmp_path))).agrees
    disk.room_bytes = 10_000_000
    assert begun.try_again()
    assert begun.path.parent.name == "finished"
    assert regrade(journal.load(begun.path)).agrees


def test_an_unfinished_attempt_that_was_edited_is_named_with_its_line_and_left(tmp_path: Path) -> None:
    begun = journal.start(couple(), tmp_path)
    play(begun)
    begun.close()
    lines = begun.path.read_bytes().splitlines(keepends=True)
    lines[2] = lines[2].replace(b":", b": ", 1)
    begun.path.write_bytes(b"".join(lines))
    (problem,) = journal.spoiled(tmp_path)
    assert (problem.place.file, problem.place.line) == (str(begun.path), 3)
    assert journal.pending(tmp_path) is None
    assert begun.path.read_bytes() == b"".join(lines)
