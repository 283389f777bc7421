"""The papers that lie at every job without being written in it (`scenarios/papers.yaml`).

The file holds them by goal, each with lines for the pairs they concern::

    couple:
      hitch_card:
        title: Hitch card
        when: [three_point]                 # facts of the pair, as in steps.yaml; left out: always
        lines:
          - "Engine at work: {derived.work_rev_min as 10 rev/min}"
          - when: [shaft]                   # lines for some pairs only
            lines: ["Guard on before it turns."]
          - each: tractor.drawbar.reaches_m # once for every part of a list; * stands for the part
            lines: ["Stub to pin: {tractor.drawbar.reaches_m.* as 1 in, 1 mm}"]

A paper of a machine or of a job takes the place of the one of its name here. What gaps may hold is told in
`trainer.authoring.papers`, facts are those of `trainer.authoring.pair`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass

from trainer.authoring.machines import PaperText, read_title
from trainer.authoring.pair import Pair
from trainer.authoring.papers import part_names
from trainer.authoring.precedence import read_when, stands
from trainer.authoring.quantities import Refused
from trainer.authoring.reader import Reader
from trainer.authoring.schema import GOALS
from trainer.authoring.source import MapNode, Place
from trainer.core import circuits, drawbar
from trainer.core.case import Case

PAPERS_FILE = "papers.yaml"
_PART = re.compile(r"\.\*(?![\w*])")


@dataclass(frozen=True, slots=True)
class Passage:
    """A line with gaps, or passages written only `when` facts stand, or once for `each` part of a list."""

    line: str
    place: Place
    when: tuple[str, ...] = ()
    each: str = ""
    passages: tuple[Passage, ...] = ()


@dataclass(frozen=True, slots=True)
class UsualPaper:
    """One paper of the catalogue."""

    name: str
    title: str
    when: tuple[str, ...]
    passages: tuple[Passage, ...]


Catalogue = Mapping[str, tuple[UsualPaper, ...]]
"""By goal, in the order they lie in."""


def read_catalogue(reader: Reader) -> Catalogue:
    """Read `papers.yaml`."""
    found: dict[str, tuple[UsualPaper, ...]] = {}
    for goal in GOALS:
        if reader.has(goal):
            found[goal] = tuple(make(name) for name, make in reader.map_of(goal, _paper).items())
    return found


def _paper(reader: Reader) -> Callable[[str], UsualPaper]:
    title, when = read_title(reader), read_when(reader)
    passages = reader.list_of("lines", read_passage, at_least=1, at_most=60)
    return lambda name: UsualPaper(name, title, when, passages)


def read_passage(reader: Reader) -> Passage:
    """Read a line, or lines for some pairs or for each part of a list."""
    if not isinstance(reader.node, MapNode):
        return Passage(reader.text(None, longest=400), reader.place())
    when, each = read_when(reader), reader.text("each", longest=100, default="")
    if reader.ok and not (when or each):
        reader.refuse(None, "neither facts nor a list for these lines", "when: [shaft], or each: sites")
    passages = reader.list_of("lines", read_passage, at_least=1, at_most=60)
    return Passage("", reader.place("each"), when, each, passages)


def usual_papers(
    papers: Collection[UsualPaper],
    pair: Pair,
    own: Collection[str],
    wrong: Callable[[Place, str, str], None],
) -> list[PaperText]:
    """Return the papers that lie at a job of this pair beside its `own` (names), gaps not yet filled.

    `wrong(place, message, advice)` is told of a list that is not there.
    """
    roots = figures(pair.case)
    found = []
    for paper in papers:
        if paper.name not in own and stands(pair, paper.when):
            lines = tuple(_lines(paper.passages, pair, roots, "", wrong))
            if lines:
                found.append(PaperText(paper.name, paper.title, lines))
    return found


def _lines(
    passages: Collection[Passage],
    pair: Pair,
    roots: Mapping[str, object],
    part: str,
    wrong: Callable[[Place, str, str], None],
) -> Iterator[tuple[str, Place]]:
    for passage in passages:
        if not stands(pair, passage.when):
            continue
        if passage.line:
            yield (_PART.sub(f".{part}", passage.line) if part else passage.line), passage.place
            continue
        parts: tuple[str, ...] = (part,)
        if passage.each:
            try:
                parts = part_names(passage.each, roots)
            except Refused as refused:
                wrong(passage.place, refused.message, refused.advice)
                continue
        for one in parts:
            yield from _lines(passage.passages, pair, roots, one, wrong)


def figures(case: Case) -> dict[str, object]:
    """Return what papers can take figures from, by the first word of a path."""
    tractor = case.tractor
    steps = (*tractor.ballast_steps_kg, tractor.ballast_steps_kg[-1])
    return {
        "tractor": tractor,
        "implement": case.implement,
        "limits": case.limits,
        "sites": case.sites,
        "case": case,
        "derived": {
            "work_rev_min": case.engine_work_rev_min,
            "pump_at_idle_m3_s": circuits.pump_available_m3_s(case, tractor.idle_rev_min),
            "pump_at_work_m3_s": circuits.pump_available_m3_s(case, case.engine_work_rev_min),
            "pump_at_rated_m3_s": circuits.pump_available_m3_s(case, tractor.rated_rev_min),
            "shaft_rev_min": drawbar.shaft_made_rev_min(case),
            "most_ballast_kg": steps[-1],
            "ballast_step_kg": steps[1] - steps[0],
        },
    }
