"""What the findings are worth.

An attempt starts at 100 points. Each mistake takes points by the worst severity among its finding and what
followed from it, so that its echoes are not counted again. Time over the job's par counts last: it takes a
few points at most and never outweighs anything else. A wait that protects is not counted at all: what is
waited with the key off before a plug is pulled stands the clock still, so haste there is never paid for. One
injury- or destruction-class finding fails the attempt whatever the points, and so does an attempt that was
not handed in, and one at a fault that was never named as it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.core.actions import Event
from trainer.core.case import Case
from trainer.core.rules import SEVERITIES, Finding
from trainer.core.state import State
from trainer.core.units import TICKS_PER_S

SCORING_VERSION = 3
"""Raised, with a line of reason in `CHANGES`, whenever the same findings would give another score."""

CHANGES: tuple[tuple[int, str], ...] = (
    (1, "the first"),
    (2, "what is waited with the key off before a plug is pulled no longer counts as time over par"),
    (3, "a job to find a fault is passed only when the fault was named"),
)

FULL_MARKS = 100
POINTS = {"catastrophic": 60, "critical": 35, "marginal": 8, "negligible": 3}
"""Points a finding takes by severity (our own weights; the order is MIL-STD-882E's)."""

PARTS = ("safety", "workmanship", "result", "time")
"""What points are taken for, in the order it matters."""

PART_OF_HARM = {
    "injury": "safety",
    "destruction": "workmanship",
    "damage": "workmanship",
    "workmanship": "workmanship",
    "function": "result",
}
TIME_RULE = "time_over_par"
"""Stands in place of a rule where points are taken for time."""

_SECONDS_PER_POINT = 60
MOST_TIME_POINTS = 5


@dataclass(frozen=True, slots=True)
class Mistake:
    """One mistake with all that followed from it.

    `findings` are places (from 0) in the list of findings, the mistake's own first; `severity` is the worst
    among them, and `part` what the harm of that one belongs to.
    """

    rule: str
    thing: str
    severity: str
    part: str
    points: int
    findings: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Score:
    """Points left of 100, whether the attempt passed, how it ended, and each deduction in order.

    `mistakes` says of each deduction but the one for time why it is as high as it is; `parts` gives the
    points taken for each of `PARTS`; `over_s` is the time over par and `waited_s` what was not counted of it.
    """

    points: int
    passed: bool
    ended: str
    deductions: tuple[tuple[str, int], ...]
    mistakes: tuple[Mistake, ...] = ()
    parts: tuple[tuple[str, int], ...] = ()
    over_s: int = 0
    waited_s: int = 0


@dataclass(frozen=True, slots=True)
class UnplugWait:
    """Time waited with the key off before a plug is pulled, in ticks.

    `since_ticks` waits for a plug to be pulled after all; `ticks` is what was ended by one.
    """

    since_ticks: int = 0
    ticks: int = 0

    def after(self, before: State, now: State, events: Sequence[Event] = ()) -> UnplugWait:
        """The wait after a stretch in which at most one action was done, at its start.

        Waiting is standing with free hands, or the action of that name. Work done meanwhile counts as time.
        The supplies themselves may be down before: the shop waits longer than the longest hold.
        """
        since, ticks = self.since_ticks, self.ticks
        if any(event.kind == "unplugged" for event in events):
            since, ticks = 0, ticks + since
        if now.key == "on" or now.key_off_tick < 0 or all(at < 0 for at in now.plug_at):
            return UnplugWait(0, ticks)
        free_from = before.tick if now.doing in ("", "wait") else max(before.tick, now.busy_until)
        return UnplugWait(since + max(0, now.tick - free_from), ticks)


def grade(case: Case, findings: Sequence[Finding], state: State, waited_ticks: int = 0) -> Score:
    """Fold findings, and the time taken, into a score. `waited_ticks` is time that does not count."""
    found = mistakes(findings)
    deductions = [(mistake.rule, mistake.points) for mistake in found]
    over_s = max(0, int((state.tick - waited_ticks) // TICKS_PER_S - case.par_s))
    late = min(MOST_TIME_POINTS, over_s // _SECONDS_PER_POINT)
    if late:
        deductions.append((TIME_RULE, late))
    points = max(0, FULL_MARKS - sum_whole(deductions))
    failing = any(finding.fails for finding in findings)
    passed = state.ended == "handed in" and not failing and points >= case.pass_points
    if case.goal == "find":
        passed = passed and state.found
    taken = [(mistake.part, mistake.points) for mistake in found] + [("time", late)]
    parts = tuple((part, sum_whole([each for each in taken if each[0] == part])) for part in PARTS)
    return Score(
        points,
        passed,
        state.ended,
        tuple(deductions),
        tuple(found),
        parts,
        over_s,
        waited_ticks // TICKS_PER_S,
    )


def mistakes(findings: Sequence[Finding]) -> list[Mistake]:
    """Each mistake once, with all that followed from it, in the order the mistakes were made."""
    groups: dict[int, list[int]] = {}
    heads: list[int] = []
    for place, above in enumerate(roots(findings)):
        heads.append(place if above is None else heads[above])
        groups.setdefault(heads[place], []).append(place)
    out = []
    for head, places in groups.items():
        worst = min((findings[place] for place in places), key=lambda each: SEVERITIES.index(each.severity))
        out.append(
            Mistake(
                findings[head].rule,
                findings[head].thing,
                worst.severity,
                PART_OF_HARM[worst.harm],
                POINTS[worst.severity],
                tuple(places),
            )
        )
    return out


def roots(findings: Sequence[Finding]) -> list[int | None]:
    """For each finding the place (from 0) of the one it follows from, None for a mistake of its own.

    Of several findings of that rule it is the one that concerns the same thing, else the first.
    """
    above: list[int | None] = []
    for place, finding in enumerate(findings):
        known = [at for at in range(place) if finding.root and findings[at].rule == finding.root]
        same = [at for at in known if findings[at].thing == finding.thing]
        above.append((same or known)[0] if known else None)
    return above


def sum_whole(deductions: Sequence[tuple[str, int]]) -> int:
    """Points of all deductions together (whole numbers: exact in any order).

    >>> sum_whole([("a", 8), ("b", 3)])
    11
    """
    total = 0
    for _, points in deductions:
        total += points
    return total
