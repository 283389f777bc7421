"""What the findings are worth.

An attempt starts at 100 points. Each mistake takes points by the worst severity among its finding and what
followed from it, so that its echoes are not counted again; time over the job's par takes
at most a few and never outweighs anything else, so haste in a wait that protects is never paid for. One
injury- or destruction-class finding fails the attempt whatever the points, and so does an attempt that
was not handed in.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.core.case import Case
from trainer.core.rules import SEVERITIES, Finding
from trainer.core.state import State
from trainer.core.units import TICKS_PER_S

SCORING_VERSION = 1
"""Raised, with a line of reason, whenever the same findings would give another score."""

FULL_MARKS = 100
POINTS = {"catastrophic": 60, "critical": 35, "marginal": 8, "negligible": 3}
"""Points a finding takes by severity (our own weights; the order is MIL-STD-882E's)."""

_SECONDS_PER_POINT = 60
_MOST_TIME_POINTS = 5


@dataclass(frozen=True, slots=True)
class Score:
    """Points left of 100, whether the attempt passed, how it ended, and each deduction in order."""

    points: int
    passed: bool
    ended: str
    deductions: tuple[tuple[str, int], ...]


def grade(case: Case, findings: Sequence[Finding], state: State) -> Score:
    """Fold findings, and the time taken, into a score."""
    deductions = [(rule, POINTS[severity]) for rule, severity in mistakes(findings)]
    over_s = state.tick // TICKS_PER_S - case.par_s
    late = min(_MOST_TIME_POINTS, max(0, int(over_s // _SECONDS_PER_POINT)))
    if late:
        deductions.append(("time_over_par", late))
    points = max(0, FULL_MARKS - sum_whole(deductions))
    failing = any(finding.fails for finding in findings)
    passed = state.ended == "handed in" and not failing and points >= case.pass_points
    return Score(points, passed, state.ended, tuple(deductions))


def mistakes(findings: Sequence[Finding]) -> list[tuple[str, str]]:
    """Each mistake once, as (rule, worst severity among its finding and what followed from it)."""
    roots: dict[tuple[str, str], str] = {}
    under = {finding.rule: finding.root for finding in findings if finding.root}
    for finding in findings:
        rule = finding.rule
        while rule in under:
            rule = under[rule]
        key = (rule, finding.thing if rule == finding.rule else "")
        if rule != finding.rule:
            key = next(known for known in roots if known[0] == rule)
        worst = roots.get(key, finding.severity)
        roots[key] = min(worst, finding.severity, key=SEVERITIES.index)
    return [(rule, severity) for (rule, _), severity in roots.items()]


def sum_whole(deductions: Sequence[tuple[str, int]]) -> int:
    """Points of all deductions together (whole numbers: exact in any order).

    >>> sum_whole([("a", 8), ("b", 3)])
    11
    """
    total = 0
    for _, points in deductions:
        total += points
    return total
