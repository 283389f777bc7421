"""A fault that was to be found, in words: what was measured, what was named, and what would have told it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.authoring.compile import Job
from trainer.authoring.orders import answer_items, play_items
from trainer.core import faults
from trainer.core.attempt import Attempt
from trainer.core.case import Case
from trainer.lang import Texts
from trainer.records import telling

_MEASURED = ("measured", "volts_read", "ohms_read", "ohms_open", "tested", "looked")


@dataclass(frozen=True, slots=True)
class Measured:
    """A measurement: its number from 1, when and where it was taken, and what it said."""

    number: int
    tick: int
    station: str
    text: str
    rules_out: int = -1
    """How many of the other faults it tells from the one that was there; -1 where not worked out."""


@dataclass(frozen=True, slots=True)
class Naming:
    """A signed report: part and what was said to be wrong with it, the evidence under it, and how right it
    was: `right`, `wrong_what` (the place only) or `wrong_part`. `open_still` are faults it left possible."""

    tick: int
    part: str
    wrong: str
    verdict: str
    evidence: tuple[int, ...]
    open_still: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Inquiry:
    """The whole of it for a debrief. `others` is how many other faults (and none at all) there were to be
    ruled out; `telling` are the measurements of the job's own answer."""

    part: str
    wrong: str
    symptom: str
    others: int
    measured: tuple[Measured, ...]
    namings: tuple[Naming, ...]
    telling: tuple[Measured, ...]


def station_at(attempt: Attempt, entry: int) -> str:
    """Where the trainee stood when an entry of the log was made."""
    went = [one.action.thing for one in attempt.log[:entry] if one.action.word == "go" and not one.refused]
    return went[-1] if went else attempt.case.start.station


def measurements(attempt: Attempt, texts: Texts, metric: bool = False) -> list[Measured]:
    """What was measured so far, in its order."""
    found = []
    for number, taken in enumerate(attempt.taken, start=1):
        event = next(
            event
            for event in attempt.events
            if event.tick == taken.tick and event.kind in _MEASURED and event.thing == taken.thing
        )
        if (taken.word, taken.thing) == ("look", "latches"):
            text = texts.say("screens.inquiry.looked_latches", count=taken.values[0][1])
        else:
            text = telling.say_event(attempt.case, event, texts, metric)
        found.append(Measured(number, taken.tick, station_at(attempt, taken.entry), text))
    return found


def part_name(case: Case, part: str, texts: Texts) -> str:
    """A part as a list of parts calls it: the tag of a line with what it does, the title of a function."""
    named = telling.name_of(case, part, texts)
    index = case.hose(part)
    if index >= 0:
        hose = case.implement.hoses[index]
        title = case.implement.functions[hose.function].title
        what = texts.say(f"stations.panel.role_{hose.role}", function=title)
        return f"{named}  {what}"
    return named[:1].upper() + named[1:]


def wrong_name(wrong: str, texts: Texts) -> str:
    """What may be wrong with a part, in words.

    >>> wrong_name("not_home", Texts.load())
    'not home'
    """
    return texts.say(f"wrongs.{wrong}")


def named(case: Case, texts: Texts) -> tuple[str, str]:
    """The drawn fault by the plainest of its names: the part, and what is wrong with it."""
    part, wrong = faults.right_parts(case)[0], faults.right_wrongs(case)[0]
    return part_name(case, part, texts), wrong_name(wrong, texts)


def namings(attempt: Attempt, texts: Texts) -> list[Naming]:
    """Every report that was signed. Those that were right tell what their evidence left possible."""
    case, found = attempt.case, []
    cited: list[int] = []
    others = faults.rivals(case)
    for entry in attempt.log:
        action = entry.action
        if entry.refused or action.word not in ("evidence", "name"):
            continue
        if action.word == "evidence":
            cited.append((action.amount or 0) // 1000)
            continue
        event = next(one for one in attempt.events if one.kind == "named" and one.tick == entry.tick)
        verdict = "wrong_part" if event.value("wrong_part_count", 0) else "wrong_what"
        open_still: tuple[str, ...] = ()
        if event.value("right_count", 0):
            verdict = "right"
            left = attempt.not_told_apart(cited) if event.value("open_count", 0) else ()
            open_still = tuple(_rival(others[name], texts) for name in left)
        part, wrong = part_name(case, action.thing, texts), wrong_name(action.place, texts)
        found.append(Naming(entry.tick, part, wrong, verdict, tuple(cited), open_still))
        cited = []
    return found


def _rival(case: Case, texts: Texts) -> str:
    if case.fault is None:
        return texts.say("screens.inquiry.sound")
    return texts.say("screens.inquiry.fault", part=(pair := named(case, texts))[0], wrong=pair[1])


def inquiry(job: Job, attempt: Attempt, texts: Texts, metric: bool = False) -> Inquiry | None:
    """Everything a debrief tells of the search; None where there was no fault to be found.

    It plays the job's own answer and every other fault beside both attempts, which takes a few seconds.
    """
    case = attempt.case
    if case.fault is None:
        return None
    answer = play_items(case, job.rules, answer_items(job))
    cited = [(one.action.amount or 0) // 1000 for one in answer.log if one.action.word == "evidence"]
    part, wrong = named(case, texts)
    return Inquiry(
        part,
        wrong,
        case.symptom,
        len(faults.rivals(case)),
        _weighed(attempt, range(1, len(attempt.taken) + 1), texts, metric),
        tuple(namings(attempt, texts)),
        _weighed(answer, cited, texts, metric),
    )


def _weighed(attempt: Attempt, numbers: Sequence[int], texts: Texts, metric: bool) -> tuple[Measured, ...]:
    """Measurements by their numbers, each with how many other faults it rules out."""
    others = len(faults.rivals(attempt.case))
    told = measurements(attempt, texts, metric)
    found = []
    for number in numbers:
        one = told[number - 1]
        rules_out = others - len(attempt.not_told_apart((number,)))
        found.append(Measured(one.number, one.tick, one.station, one.text, rules_out))
    return tuple(found)
