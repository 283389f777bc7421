"""An attempt run again from its actions, and its claim held against what comes out.

Re-grading trusts nothing a record says about how it went: the yard is compiled from the texts in the record,
the actions are done at their ticks, and every digest, refusal, finding and point is compared on the way.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from trainer.authoring.compile import Job, compile_texts
from trainer.authoring.source import ContentError, Place, Problem
from trainer.core import engine, rules, scoring
from trainer.core.attempt import Attempt
from trainer.core.engine import ENGINE_VERSION, digest
from trainer.core.rules import RULES_VERSION, Finding
from trainer.core.scoring import SCORING_VERSION
from trainer.records import attempt_file
from trainer.records.attempt_file import Claim, Done, Record, Versions

NOW = Versions(ENGINE_VERSION, RULES_VERSION, SCORING_VERSION)
"""What judges an attempt in this program."""

CHANGES = {"engine": engine.CHANGES, "rules": rules.CHANGES, "scoring": scoring.CHANGES}
"""What each version changed, oldest first."""


@dataclass(frozen=True, slots=True)
class Difference:
    """The first thing that came out otherwise than the record says.

    `field` names it: `digest` (the yard itself stood otherwise), `refused`, `tick`, or a field of the result
    such as `points` or `findings[2].measured`.
    """

    tick: int
    field: str
    recorded: str
    now: str
    place: Place


@dataclass(frozen=True, slots=True)
class Regrade:
    """An attempt run again. `claimed` is what the record says it came to, None where it was never graded."""

    record: Record
    job: Job
    attempt: Attempt
    claimed: Claim | None
    agrees: bool
    first_difference: Difference | None

    @property
    def version_differences(self) -> tuple[tuple[str, int, int], ...]:
        """(what, version in the record, version here) for each that is not the same."""
        then = self.record.versions
        pairs = (
            ("engine", then.engine, NOW.engine),
            ("rules", then.rules, NOW.rules),
            ("scoring", then.scoring, NOW.scoring),
        )
        return tuple(pair for pair in pairs if pair[1] != pair[2])

    @property
    def version_reasons(self) -> tuple[tuple[str, int, str], ...]:
        """(what, version, what changed with it) for each version after the record's, up to the one here."""
        return tuple(
            (what, version, reason)
            for what, then, now in self.version_differences
            for version, reason in CHANGES[what]
            if then < version <= now
        )


def job_of(record: Record) -> Job:
    """The job as it was when the attempt was made, compiled from the texts in the record.

    A job to find a fault comes back with the one that was drawn. Raises ContentError where those texts do not
    compile with this program, or where no seed says which fault it was.
    """
    job = compile_texts(record.job, record.files)
    if job.draws and record.seed is None:
        place = Place(record.name, 1, 1)
        problem = Problem(place, "nothing says which fault was drawn", "the file as it was saved")
        raise ContentError((problem,))
    return job.drawn(record.seed) if record.seed is not None else job


def replay(record: Record, until_tick: int | None = None) -> Attempt:
    """Run an attempt again from its actions: to its last tick, or to a tick before.

    An action at or after `until_tick` is not done: what comes back stands where the trainee stood then.
    """
    job = job_of(record)
    attempt = Attempt(job.case, job.rules)
    for _ in _along(record, attempt, until_tick):
        pass
    return attempt


def regrade(record: Record) -> Regrade:
    """Run an attempt again and hold every digest, refusal and the claimed result against it."""
    job = job_of(record)
    attempt = Attempt(job.case, job.rules)
    first: Difference | None = None
    for difference in _along(record, attempt, None):
        first = first or difference
    if first is None and record.claim is not None:
        first = _result_difference(record.claim, result_of(attempt))
    return Regrade(record, job, attempt, record.claim, first is None, first)


def regrade_file(path: Path) -> Regrade:
    """Read an attempt file and grade it again."""
    return regrade(attempt_file.read(path))


def _along(record: Record, attempt: Attempt, until_tick: int | None) -> Iterator[Difference]:
    """Do the record's actions at their ticks; yields whatever differs from what it says."""
    last = record.last_tick if until_tick is None else min(until_tick, record.last_tick)
    for entry in record.entries:
        if until_tick is not None and entry.tick >= until_tick:
            break
        attempt.run(entry.tick - attempt.state.tick)
        if attempt.state.tick != entry.tick:
            yield Difference(
                attempt.state.tick, "tick", str(entry.tick), str(attempt.state.tick), entry.place
            )
        if isinstance(entry, Done):
            refusal = attempt.do(entry.action)
            reason = refusal.reason if refusal is not None else ""
            if reason != entry.refused:
                yield Difference(entry.tick, "refused", entry.refused, reason, entry.place)
        now = digest(attempt.state)
        if now != entry.digest:
            yield Difference(entry.tick, "digest", entry.digest, now, entry.place)
    attempt.run(last - attempt.state.tick)


def result_of(attempt: Attempt) -> dict[str, Any]:
    """What an attempt comes to, in the whole numbers and names it is judged in."""
    score = attempt.score()
    return {
        "ended": score.ended,
        "passed": score.passed,
        "points": score.points,
        "findings": [_finding(finding) for finding in attempt.findings],
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "severity": finding.severity,
        "harm": finding.harm,
        "tick": finding.tick,
        "thing": finding.thing,
        "place": finding.place,
        "measured": finding.measured,
        "limit": finding.limit,
        "measure": finding.measure,
        "unit": finding.unit,
        "source": finding.source,
        "standing": finding.standing,
        "root": finding.root,
    }


def _result_difference(claim: Claim, now: dict[str, Any]) -> Difference | None:
    """The first field of the claimed result that is not what comes out now."""
    then = claim.result
    for number, (claimed, found) in enumerate(zip(then["findings"], now["findings"], strict=False), start=1):
        for key in found:
            if claimed[key] != found[key]:
                field = f"findings[{number}].{key}"
                return Difference(found["tick"], field, str(claimed[key]), str(found[key]), claim.place)
    counts = len(then["findings"]), len(now["findings"])
    if counts[0] != counts[1]:
        return Difference(claim.tick, "findings", str(counts[0]), str(counts[1]), claim.place)
    for key in ("ended", "points", "passed"):
        if then[key] != now[key]:
            return Difference(claim.tick, key, str(then[key]), str(now[key]), claim.place)
    return None
