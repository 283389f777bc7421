"""A match of machines in words, and as one page to print: HTML that needs nothing from outside."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from trainer.authoring.matching import LEVELS, SUBJECTS, Figure, Line, Match
from trainer.lang import Texts
from trainer.records.pages import template


def say_line(line: Line, texts: Texts, metric: bool = False) -> str:
    """Return one thing that was found, in words.

    >>> line = Line("ports", "fits", "ports_fit", {"function": "Fan", "supply": "v1", "ports": "v1_extend"})
    >>> say_line(line, Texts.load())
    'Fan on v1: v1_extend.'
    """
    gaps: dict[str, str] = {}
    for name, gap in line.gaps.items():
        if isinstance(gap, Figure):
            decimals = gap.decimals
            if decimals is not None and metric and gap.kind == "length":
                decimals = max(0, decimals - 2)  # a hundredth of an inch is a quarter of a millimetre
            gaps[name] = texts.amount(gap.kind, gap.value_si, metric, decimals)
        elif gap.startswith("@"):
            gaps[name] = texts.say(f"cli.budget.phases.{gap[1:]}")
        else:
            gaps[name] = texts.translated(gap)
    return texts.say(f"match.says.{line.says}", **gaps)


def say_about(matches: Sequence[Match], texts: Texts) -> str:
    """Return how many pairs fit, need adapting and are short."""
    levels = [match.level() for match in matches]
    return texts.say("match.about", pairs=len(matches), **{level: levels.count(level) for level in LEVELS})


def write(path: Path, matches: Sequence[Match], texts: Texts, metric: bool = False) -> None:
    """Write the matches to a file."""
    path.write_text(render(matches, texts, metric), "utf-8")


def render(matches: Sequence[Match], texts: Texts, metric: bool = False) -> str:
    """Return the matches as the text of an HTML page; the same matches give the same page."""
    return template("matches.html.j2").render(
        language=texts.language,
        say=texts.say,
        title=texts.translated,
        about=say_about(matches, texts),
        matches=matches,
        subjects=SUBJECTS,
        in_words=lambda line: say_line(line, texts, metric),
    )
