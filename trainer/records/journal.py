"""The running attempt on the disk: every action before the next one, so that a killed program loses nothing.

`Recorder` drives an attempt and hands on the lines of its record; `Journal` is a recorder whose lines go to a
file in the user's folder. A window drives a journal in place of the attempt itself:

=====================  ====================================================================================
``attempts/running``   the attempts that nobody finished; one that a living program holds is locked
``attempts/finished``  the graded ones
=====================  ====================================================================================
"""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import IO

import platformdirs

from trainer.authoring.compile import Job
from trainer.authoring.source import ContentError, Problem
from trainer.core.actions import Action, Refusal
from trainer.core.attempt import Attempt
from trainer.core.engine import digest
from trainer.core.scoring import Score
from trainer.records import attempt_file
from trainer.records.attempt_file import MARK_TICKS, Chain, Notes, Record
from trainer.records.replay import NOW, Difference, regrade, result_of

HOME_VARIABLE = "COUPLING_YARD_HOME"
NO_NOTES = Notes()
Opener = Callable[[Path, str], IO[bytes]]
_RUNNING, _FINISHED, _ASIDE = "running", "finished", "aside"


class CannotResume(RuntimeError):
    """The attempt does not run again as it ran: this program moves its yard otherwise."""

    def __init__(self, path: Path, difference: Difference) -> None:
        self.path = path
        self.difference = difference
        super().__init__(
            f"{difference.place}: at tick {difference.tick} the yard no longer stands as it stood"
            f" ({difference.field}: {difference.recorded} then, {difference.now} now)"
        )


class InUse(RuntimeError):
    """Another program that is running holds this attempt."""


def user_folder() -> Path:
    """Where this program keeps what belongs to the person running it.

    The environment variable `COUPLING_YARD_HOME` takes the place of the platform's folder.
    """
    named = os.environ.get(HOME_VARIABLE, "")
    return Path(named) if named else platformdirs.user_data_path("coupling-yard", appauthor=False)


class Recorder:
    """Drives an attempt and hands each line of its record to `write` as soon as it happened."""

    def __init__(self, job: Job, attempt: Attempt, write: Callable[[str], None], chain: Chain | None) -> None:
        self.job = job
        self.attempt = attempt
        self.chain = chain
        self.seed = 0
        """What drew the fault, where the job is to find one."""
        self._write_line = write

    def _write(self, line: str) -> None:
        self._write_line(self.chain.seal(line) if self.chain is not None else line)

    @classmethod
    def begin(
        cls, job: Job, write: Callable[[str], None], notes: Notes = NO_NOTES, seed: int = 0
    ) -> Recorder:
        """A new attempt; the header is written at once. `seed` draws the fault that is to be found."""
        job = job.drawn(seed)
        recorder = cls(job, Attempt(job.case, job.rules), write, Chain())
        drew = seed if job.draws else None
        recorder._write(attempt_file.header_line(job.name, NOW, job.files, notes, drew))
        recorder.seed = seed
        return recorder

    def do(self, action: Action) -> Refusal | None:
        """Do an action (one tick); a refused one is on record too, one after the end is not."""
        if self.attempt.state.ended:
            return self.attempt.do(action)
        tick = self.attempt.state.tick
        refusal = self.attempt.do(action)
        reason = refusal.reason if refusal is not None else ""
        self._write(attempt_file.action_line(tick, action, reason, digest(self.attempt.state)))
        return refusal

    def run(self, ticks: int = 1) -> None:
        """Let time pass; every `MARK_TICKS` ticks the digest goes on record."""
        goal = self.attempt.state.tick + ticks
        while (tick := self.attempt.state.tick) < goal:
            self.attempt.run(min(goal, (tick // MARK_TICKS + 1) * MARK_TICKS) - tick)
            if self.attempt.state.tick == tick:
                return
            if self.attempt.state.tick % MARK_TICKS == 0:
                self._write(attempt_file.mark_line(self.attempt.state.tick, digest(self.attempt.state)))

    def settle(self) -> None:
        """Let time pass until the hands are free."""
        while not self.attempt.state.ended and self.attempt.state.busy_until > self.attempt.state.tick:
            self.run(self.attempt.state.busy_until - self.attempt.state.tick)

    def grade(self) -> Score:
        """Put the result on record; nothing may be done after it."""
        self._write(attempt_file.result_line(self.attempt.state.tick, result_of(self.attempt)))
        return self.attempt.score()


def record_of(job: Job, attempt: Attempt, seed: int = 0) -> list[str]:
    """The lines of the record of an attempt that ran without one, result and all; `seed` drew its fault."""
    lines: list[str] = []
    recorder = Recorder.begin(job, lines.append, seed=seed)
    for entry in attempt.log:
        recorder.run(entry.tick - recorder.attempt.state.tick)
        recorder.do(entry.action)
    recorder.run(attempt.state.tick - recorder.attempt.state.tick)
    recorder.grade()
    return lines


class Journal(Recorder):
    """A recorder that writes to the user's folder. Made by `start` and `resume`."""

    def __init__(
        self,
        job: Job,
        attempt: Attempt,
        path: Path,
        writer: attempt_file.Writer,
        chain: Chain | None,
        notes: Notes = NO_NOTES,
        written: Sequence[str] = (),
        opener: Opener | None = None,
    ) -> None:
        super().__init__(job, attempt, self._keep, chain)
        self.path = path
        self.notes = notes
        self.trouble = ""
        """Why the last lines are not on the disk, in the system's words; '' where all are."""
        self._writer = writer
        self._opener = opener
        self._lines = list(written)
        self._on_disk = len(self._lines)
        self._graded = False

    def _keep(self, line: str) -> None:
        self._lines.append(line)
        self.try_again()

    def try_again(self) -> bool:
        """Write what is not on the disk yet; whether all is there now. What fails is told in `trouble`.

        Where the folder or the file is gone, the whole record is written anew.
        """
        try:
            if not self._writer.closed and not self._writer.leads_to(self.path):
                self._begin_anew()
            while self._on_disk < len(self._lines):
                self._writer.write(self._lines[self._on_disk])
                self._on_disk += 1
            if self._graded:
                self._writer.close()
                self.path = _move(self.path, _FINISHED)
                self._graded = False
        except (OSError, InUse) as error:
            self.trouble = getattr(error, "strerror", None) or str(error)
            return False
        self.trouble = ""
        return True

    def rescue(self, folder: Path) -> Path:
        """Write the whole record to another folder, where its own will not take it; returns the path."""
        path = folder / self.path.name
        attempt_file.save(path, self._lines)
        return path

    def _begin_anew(self) -> None:
        self.path.parent.mkdir(parents=True, exist_ok=True)
        with contextlib.suppress(OSError):
            self._writer.close()
        self._writer = attempt_file.Writer.create(self.path, self._opener)
        self._on_disk = 0
        _lock(self._writer.descriptor, self.path)

    def finish(self) -> Path:
        """Grade the attempt and move its file to the finished ones; returns where it lies now.

        Where the disk does not take it, `trouble` says so and `try_again` goes on with it.
        """
        self.grade()
        self._graded = True
        self.try_again()
        return self.path

    def close(self) -> None:
        """Let go of the file without finishing: the attempt can be resumed."""
        with contextlib.suppress(OSError):
            self._writer.close()


def start(
    job: Job,
    folder: Path | None = None,
    notes: Notes = NO_NOTES,
    opener: Opener | None = None,
    seed: int = 0,
) -> Journal:
    """Begin an attempt at a job, in `folder` or the user's own; `seed` draws the fault to be found.

    `opener` opens its file in place of a plain open (for tests of disks that fail).
    """
    root = (folder or user_folder()) / "attempts"
    for name in (_RUNNING, _FINISHED):
        (root / name).mkdir(parents=True, exist_ok=True)
    stem = job.name.replace("/", "-")
    number = 1 + max((_number(path) for path in root.rglob(f"{stem}-*.jsonl")), default=0)
    while True:
        path = root / _RUNNING / f"{stem}-{number:04d}.jsonl"
        try:
            writer = attempt_file.Writer.create(path, opener)
            break
        except FileExistsError:  # another program began one at this moment
            number += 1
    _lock(writer.descriptor, path)
    written: list[str] = []
    begun = Recorder.begin(job, written.append, notes, seed)
    for line in written:
        writer.write(line)
    journal = Journal(begun.job, begun.attempt, path, writer, begun.chain, notes, written, opener)
    journal.seed = seed
    return journal


def branch(
    job: Job,
    first: Attempt,
    tick: int,
    of: str,
    plan: tuple[str, ...] = (),
    folder: Path | None = None,
    seed: int = 0,
) -> Journal:
    """Begin a second try that stands where the first attempt stood at a tick; the first stays as it is.

    What was done before that tick is done again and goes on record with it, so that the record of the second
    try is whole by itself; its header names the first record (`of`) and the tick.
    """
    begun = start(job, folder, Notes(plan, of, tick), seed=seed)
    for entry in first.log:
        if entry.tick >= tick:
            break
        begun.run(entry.tick - begun.attempt.state.tick)
        begun.do(entry.action)
    begun.run(tick - begun.attempt.state.tick)
    return begun


def _number(path: Path) -> int:
    digits = path.stem.rpartition("-")[2]
    return int(digits) if digits.isdecimal() and digits.isascii() else 0


def pending(folder: Path | None = None) -> Path | None:
    """The last unfinished attempt that no running program holds, or None.

    A graded one whose program was killed before it could put the file away is put away now.
    """
    running = (folder or user_folder()) / "attempts" / _RUNNING
    if not running.is_dir():
        return None
    found = []
    for path in running.glob("*.jsonl"):
        try:
            if _held(path):
                continue
            if attempt_file.read(path).claim is not None:
                _move(path, _FINISHED)
            else:
                found.append((path.stat().st_mtime_ns, path.name, path))
        except (ContentError, OSError):  # not an attempt, or gone by now
            continue
    return max(found)[2] if found else None


def spoiled(folder: Path | None = None) -> tuple[Problem, ...]:
    """What is wrong with each unfinished attempt that cannot be read, by file name. The files stay."""
    found = []
    for path in sorted(((folder or user_folder()) / "attempts" / _RUNNING).glob("*.jsonl")):
        try:
            attempt_file.read(path)
        except ContentError as error:
            found.append(error.problems[0])
        except OSError:  # gone by now
            continue
    return tuple(found)


def resume(path: Path) -> Journal:
    """Go on with an unfinished attempt from its last line, in the same file.

    Raises `CannotResume` where this program moves the yard otherwise than the one that began it, `InUse`
    where another program is at it, and ContentError for a file that is no attempt.
    """
    record = attempt_file.read(path)
    again = regrade(record)
    if again.first_difference is not None:
        raise CannotResume(path, again.first_difference)
    writer = attempt_file.Writer.go_on(path, record.whole_bytes, lambda descriptor: _lock(descriptor, path))
    chain = Chain(record.chain) if record.chain is not None else None
    written = path.read_bytes()[: record.whole_bytes].decode("ascii").splitlines(keepends=True)
    journal = Journal(again.job, again.attempt, path, writer, chain, record.notes, written)
    journal.seed = record.seed or 0
    return journal


def set_aside(path: Path) -> Path:
    """Put an unfinished attempt away that nobody wants to go on with; returns where it lies now."""
    return _move(path, _ASIDE)


def finished(folder: Path | None = None) -> tuple[Path, ...]:
    """The files of the graded attempts, by name."""
    return tuple(sorted(((folder or user_folder()) / "attempts" / _FINISHED).glob("*.jsonl")))


def load(path: Path) -> Record:
    """An attempt of the user's folder, to look at."""
    return attempt_file.read(path)


def _move(path: Path, to: str) -> Path:
    goal = path.parent.parent / to / path.name
    goal.parent.mkdir(parents=True, exist_ok=True)
    os.replace(path, goal)
    return goal


# A lock belongs to the open file and goes with its program, however that ends.
if sys.platform == "win32":
    import msvcrt

    _LOCKED_BYTE = attempt_file.MAX_BYTES + 1  # beyond anything written, so that others can still read

    def _lock(descriptor: int, path: Path) -> None:
        position = os.lseek(descriptor, 0, os.SEEK_CUR)
        os.lseek(descriptor, _LOCKED_BYTE, os.SEEK_SET)
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except OSError:
            raise InUse(f"{path} is in use") from None
        finally:
            os.lseek(descriptor, position, os.SEEK_SET)

else:
    import fcntl

    def _lock(descriptor: int, path: Path) -> None:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise InUse(f"{path} is in use") from None
        except OSError:  # a file system without locks: one program at a time is then up to its user
            return


def _held(path: Path) -> bool:
    """Whether a running program holds this attempt."""
    with open(path, "r+b") as file:
        try:
            _lock(file.fileno(), path)
        except InUse:
            return True
    return False
