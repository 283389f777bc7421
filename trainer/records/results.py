"""What came of the attempts of each trainee at this machine: best result per job, refreshers that fall due.

One line of JSON for each attempt that was finished, in the folder of the records; the records themselves
stay what counts. A line that cannot be read is passed over.

A passed job falls due for a refresher after three months. Skill in a procedure loses half of what was gained
in about six and a half months without practice (published meta-analyses of procedural skill); at half that
time most of it is still there, and going through the job once brings it back.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Final

from trainer.records import journal

FILE_NAME: Final = "results.jsonl"
REFRESH_AFTER: Final = timedelta(days=91)
JOBS_TO_SIGN_OFF: Final = 5
"""Sign-off rests on at least so many different jobs passed in check-out."""
LESSON: Final = "first-week/hands"
"""The job that teaches the hands; offered to whoever has finished none. It proves nothing about the trade and
counts for no sign-off."""
_MOST_LINES: Final = 50_000


@dataclass(frozen=True, slots=True)
class Result:
    """One attempt that came to its end."""

    trainee: str
    job: str
    mode: str
    points: int
    passed: bool
    day: date


@dataclass(frozen=True, slots=True)
class Standing:
    """How a trainee stands with a job."""

    best: Result
    last_pass: date | None

    def due(self, today: date) -> bool:
        """A refresher is due: passed once, and not again for three months.

        >>> done = Result("Ana", "a", "practice", 96, True, date(2030, 1, 10))
        >>> Standing(done, done.day).due(date(2030, 4, 10)), Standing(done, done.day).due(date(2030, 4, 11))
        (False, True)
        """
        return self.last_pass is not None and today - self.last_pass >= REFRESH_AFTER


def same_trainee(one: str, other: str) -> bool:
    """Whether two names as they were typed are one trainee's.

    >>> same_trainee("Ana  Ruiz", "ana ruiz "), same_trainee("Ana", "Anna")
    (True, False)
    """
    return " ".join(one.split()).casefold() == " ".join(other.split()).casefold()


def add(result: Result, folder: Path | None = None) -> bool:
    """Write one more line; False where the folder cannot be written to."""
    path = (folder or journal.user_folder()) / FILE_NAME
    line = {
        "trainee": result.trainee,
        "job": result.job,
        "mode": result.mode,
        "points": result.points,
        "passed": result.passed,
        "day": result.day.isoformat(),
    }
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with open(path, "a", encoding="utf-8", newline="\n") as file:
            file.write(json.dumps(line, ensure_ascii=False) + "\n")
            file.flush()
            os.fsync(file.fileno())
    except (OSError, ValueError):
        return False
    return True


def load(folder: Path | None = None) -> tuple[Result, ...]:
    """All results there are, in the order in which they came."""
    path = (folder or journal.user_folder()) / FILE_NAME
    try:
        lines = path.read_text("utf-8", errors="replace").splitlines()
    except OSError:
        return ()
    found = (_result(line) for line in lines[-_MOST_LINES:])
    return tuple(result for result in found if result is not None)


def _result(line: str) -> Result | None:
    try:
        tree = json.loads(line)
        day = date.fromisoformat(tree["day"])
        result = Result(tree["trainee"], tree["job"], tree["mode"], tree["points"], tree["passed"], day)
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
    texts = (result.trainee, result.job, result.mode)
    whole = type(result.points) is int and type(result.passed) is bool
    return result if whole and all(isinstance(text, str) for text in texts) else None


def standings(results: Iterable[Result], trainee: str) -> dict[str, Standing]:
    """For each job that a trainee has finished: the best result (one that passed before one that did not,
    then the points), and the day it was passed last."""
    found: dict[str, Standing] = {}
    for result in results:
        if not same_trainee(result.trainee, trainee):
            continue
        before = found.get(result.job)
        best, last = (result, None) if before is None else (before.best, before.last_pass)
        if (result.passed, result.points) > (best.passed, best.points):
            best = result
        if result.passed:
            last = result.day if last is None else max(last, result.day)
        found[result.job] = Standing(best, last)
    return found


def signed_for(results: Iterable[Result], trainee: str) -> int:
    """How many different jobs a trainee has passed in check-out, the lesson of the hands apart."""
    return len(
        {
            result.job
            for result in results
            if result.passed
            and result.mode == "check_out"
            and result.job != LESSON
            and same_trainee(result.trainee, trainee)
        }
    )
