"""An attempt beside others: with one step put right, and in the order of the plan and of a safe run.

What the debrief shows of `authoring.whatif` and `authoring.plan`, in words; the window and the page share it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from trainer.authoring.plan import Broken, broken, broken_in_deed, deeds, nearest_safe
from trainer.authoring.whatif import Alternative, Edit
from trainer.core.actions import Action
from trainer.core.attempt import Attempt
from trainer.core.case import Case
from trainer.core.rules import shown
from trainer.core.scoring import Score
from trainer.lang import Texts
from trainer.records import telling

_MOST_TOLD = 3


@dataclass(frozen=True, slots=True)
class Other:
    """What would have happened without one mistake: `number` is that of its finding, `edit` the one thing
    done otherwise, in words; `rows` hold a name and how it stands in both endings. No rows where no single
    step puts it right."""

    number: int
    edit: str
    rows: tuple[tuple[str, str, str], ...]
    still: str


@dataclass(frozen=True, slots=True)
class BrokenRow:
    """An order that was not kept: what, why not, and its kind (I, D or F)."""

    kind: str
    what: str
    why: str


@dataclass(frozen=True, slots=True)
class Orders:
    """Steps by their titles: as planned (empty without a plan), as done, and the safe order nearest to the
    plan (to what was done where there was none); and which orders plan and deed broke."""

    plan: tuple[str, ...]
    deed: tuple[str, ...]
    safe: tuple[str, ...]
    plan_broke: tuple[BrokenRow, ...]
    deed_broke: tuple[BrokenRow, ...]


def say_edit(case: Case, edit: Edit, texts: Texts) -> str:
    """What is done otherwise, in the words of the yard."""
    did = _deeds(case, edit.did, texts)
    if edit.step:
        title = next(step.title for step in case.steps if step.name == edit.step)
        return texts.say("screens.whatif.step", step=title, did=did)
    put = [action for action in edit.put if action.word != "go"] or list(edit.put)
    return texts.say(f"screens.whatif.{edit.kind}", did=did, put=_deeds(case, put, texts))


def _deeds(case: Case, actions: Iterable[Action], texts: Texts) -> str:
    said = [telling.say_action(case, action, texts) for action in actions]
    said = [text[:1].lower() + text[1:] for text in said]
    return ", ".join([*said[:_MOST_TOLD], "…"] if len(said) > _MOST_TOLD else said)


def others(attempt: Attempt, found: Sequence[Alternative], texts: Texts) -> list[Other]:
    """Each mistake's other ending, in the order the mistakes were made."""
    roots = [number for number, one in enumerate(attempt.findings, start=1) if not one.root]
    return [_other(attempt, number, one, texts) for number, one in zip(roots, found, strict=False)]


def _other(attempt: Attempt, number: int, other: Alternative, texts: Texts) -> Other:
    if other.edit is None:
        return Other(number, texts.say("screens.whatif.none"), (), "")
    finding, first, case = other.finding, attempt.score(), attempt.case
    unit = f" {finding.unit}" if finding.unit != "1" else ""
    gone = texts.say("screens.whatif.not_there")
    then = gone
    if other.measured is not None:
        then = telling.number(shown(other.measured, finding.measure, finding.unit)) + unit
    rows = (
        ("points", _points(first, texts), _points(other.score, texts)),
        ("measured", telling.number(finding.measured_shown) + unit, then),
        ("findings", str(len(attempt.findings)), str(len(other.findings))),
    )
    left = [one for one in other.findings if not one.root]
    still = ""
    if left:
        told = "  ·  ".join(telling.say_finding(case, one, texts) for one in left[:_MOST_TOLD])
        if len(left) > _MOST_TOLD:
            told += texts.say("screens.whatif.more", count=len(left) - _MOST_TOLD)
        still = texts.say("screens.whatif.still", findings=told)
    named = tuple((texts.say(f"screens.whatif.{name}"), one, two) for name, one, two in rows)
    return Other(number, say_edit(case, other.edit, texts), named, still)


def _points(score: Score, texts: Texts) -> str:
    if not score.ended:
        return f"{score.points} ({texts.say('cli.ended.not_yet')})"
    return f"{score.points} ({texts.say('cli.verdict.passed' if score.passed else 'cli.verdict.failed')})"


def orders(attempt: Attempt, plan: Sequence[str], texts: Texts) -> Orders:
    """Plan, deed and a safe order of an attempt's job."""
    case = attempt.case
    titles = {step.name: step.title for step in case.steps}
    risen = deeds(attempt)
    first = {name: next((tick for tick in ticks if tick > 0), -1) for name, ticks in risen.items()}
    done = sorted((name for name, tick in first.items() if tick > 0), key=lambda name: first[name])
    return Orders(
        tuple(titles[name] for name in plan if name in titles),
        tuple(titles[name] for name in done),
        tuple(titles[name] for name in nearest_safe(case, plan or done)),
        tuple(_row(one, titles, texts) for one in broken(case, plan)),
        tuple(_row(one, titles, texts) for one in broken_in_deed(case, risen)),
    )


def _row(one: Broken, titles: dict[str, str], texts: Texts) -> BrokenRow:
    key = "screens.orders.left_out" if one.left_out else "screens.orders.broken"
    what = texts.say(key, before=titles[one.before], after=titles[one.after])
    return BrokenRow(one.kind, what, texts.say("screens.orders.why", why=one.why))
