"""What a debrief says of the points: which mistake cost how many and why, what they were taken for, and in
which order findings are told, each with what followed from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from trainer.core.case import Case
from trainer.core.rules import Finding
from trainer.core.scoring import MOST_TIME_POINTS, TIME_RULE, Mistake, Score, mistakes, roots
from trainer.lang import Texts
from trainer.records import telling


@dataclass(frozen=True, slots=True)
class Told:
    """A finding's turn in a debrief: its number (in the order in which things happened, from 1) and the
    number of the finding it followed from, 0 for a mistake of its own."""

    number: int
    follows: int


@dataclass(frozen=True, slots=True)
class Taken:
    """Points taken: for what, how many, of which part, and why that many, in one line.

    `numbers` are those of the findings it covers, the mistake's own first; none where it is for time.
    """

    rule: str
    title: str
    points: int
    part: str
    why: str
    numbers: tuple[int, ...]

    def to_json(self) -> dict[str, Any]:
        """Return it as plain values for `json.dumps`."""
        return {
            "rule": self.rule,
            "points": self.points,
            "part": self.part,
            "why": self.why,
            "findings": list(self.numbers),
        }


def turns(findings: Sequence[Finding]) -> list[Told]:
    """The findings in the order they are told: each mistake with all that followed from it behind it."""
    above = roots(findings)
    order = [place for mistake in mistakes(findings) for place in mistake.findings]
    return [Told(place + 1, 0 if (root := above[place]) is None else root + 1) for place in order]


def taken(case: Case, score: Score, findings: Sequence[Finding], texts: Texts) -> list[Taken]:
    """Every deduction with its reason, in the order of the score's: mistakes first, time last."""
    found = [
        Taken(
            mistake.rule,
            telling.say_finding(case, findings[mistake.findings[0]], texts),
            mistake.points,
            mistake.part,
            _why(mistake, texts),
            tuple(place + 1 for place in mistake.findings),
        )
        for mistake in score.mistakes
    ]
    late = [points for rule, points in score.deductions if rule == TIME_RULE]
    return found + [
        Taken(TIME_RULE, texts.say("cli.points.time"), points, "time", _late(score, texts), ())
        for points in late
    ]


def _why(mistake: Mistake, texts: Texts) -> str:
    severity = texts.say(f"cli.severity.{mistake.severity}")
    if len(mistake.findings) == 1:
        return texts.say("cli.points.one", severity=severity)
    others = ", ".join(str(place + 1) for place in mistake.findings[1:])
    return texts.say("cli.points.worst", severity=severity, count=len(mistake.findings), others=others)


def _late(score: Score, texts: Texts) -> str:
    key = "cli.points.late_waited" if score.waited_s else "cli.points.late"
    over, waited = minutes(score.over_s), minutes(score.waited_s)
    return texts.say(key, over=over, waited=waited, most=MOST_TIME_POINTS)


def minutes(seconds: int) -> str:
    """Seconds as minutes and seconds.

    >>> minutes(129)
    '2:09'
    """
    return f"{seconds // 60}:{seconds % 60:02d}"


def parts(score: Score, texts: Texts) -> list[tuple[str, int]]:
    """What points were taken for, each part by its name, time last.

    >>> parts(Score(90, True, "", (), parts=(("safety", 8), ("time", 2))), Texts.load())
    [('Safety', 8), ('Time', 2)]
    """
    return [(texts.say(f"cli.points.parts.{part}"), points) for part, points in score.parts]


def parts_line(score: Score, texts: Texts) -> str:
    """The same in one line."""
    return "  ·  ".join(
        texts.say("cli.points.of_part", part=part, points=f"−{points}" if points else "0")
        for part, points in parts(score, texts)
    )
