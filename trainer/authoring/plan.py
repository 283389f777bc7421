"""A plan: the order in which a trainee means to do a job's steps, held against the reasons of the job.

A plan is a row of step names. It is never judged: it is kept with the attempt and compared afterwards with
what was done and with what the job says has to come before what.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from trainer.core.actions import from_line, mask
from trainer.core.attempt import Attempt
from trainer.core.case import Case
from trainer.core.readings import standing
from trainer.core.units import TICKS_PER_S


@dataclass(frozen=True, slots=True)
class Broken:
    """An order of two steps that was not kept: `before` had to come before `after`. `left_out` where it
    was not done at all. `kind` is I (injury), D (damage) or F (function)."""

    before: str
    after: str
    kind: str
    why: str
    left_out: bool = False


def cards(case: Case) -> tuple[str, ...]:
    """The steps to be laid in order, shuffled: the same job always gives the same row.

    The step that hands in is not among them; it comes last whatever the plan.

    >>> from trainer.authoring.compile import load_job
    >>> case = load_job("first-week/couple").case
    >>> row = cards(case)
    >>> row == cards(case), len(row) == len(case.steps) - 1, "hand_over" in row
    (True, True, False)
    """
    names = [step.name for step in case.steps if not _hands_in(step.actions)]
    random.Random(case.job).shuffle(names)  # noqa: S311 (the same row every time is the point)
    return tuple(names)


def broken(case: Case, order: Sequence[str]) -> tuple[Broken, ...]:
    """Orders that a plan does not keep, the gravest first; of steps that are in it.

    >>> from trainer.authoring.compile import load_job
    >>> case = load_job("first-week/couple").case
    >>> [(one.before, one.after) for one in broken(case, ["back_align", "area_clear"])]
    [('area_clear', 'back_align')]
    """
    place = {name: number for number, name in enumerate(order)}
    return _sorted(
        Broken(edge.before, step.name, edge.kind, edge.why)
        for step in case.steps
        for edge in step.after
        if step.name in place and edge.before in place and place[edge.before] > place[step.name]
    )


def nearest_safe(case: Case, order: Sequence[str]) -> tuple[str, ...]:
    """All steps in an order that keeps every reason of the job and goes from an order no further than those
    ask: always the first step of it that waits for nothing any more. What it does not name comes last.

    >>> from trainer.authoring.compile import load_job
    >>> case = load_job("first-week/couple").case
    >>> row = nearest_safe(case, cards(case))
    >>> broken(case, row), len(row) == len(case.steps)
    ((), True)
    """
    place = {name: number for number, name in enumerate(order)}
    rest = sorted(case.steps, key=lambda step: place.get(step.name, len(place)))
    safe: list[str] = []
    while rest:
        free = next(step for step in rest if all(edge.before in safe for edge in step.after))
        safe.append(free.name)
        rest.remove(free)
    return tuple(safe)


def deeds(attempt: Attempt) -> dict[str, tuple[int, ...]]:
    """For each step the ticks at which what shows it done came to stand, the first of them 0 where it stood
    from the start. The attempt is run once more for it and looked at after every action and once a second.
    """
    case = attempt.case
    wanted = {step.name: mask(*step.done) for step in case.steps if step.done}
    risen: dict[str, list[int]] = {name: [] for name in wanted}
    stood = dict.fromkeys(wanted, False)
    again = Attempt(case, ())

    def look() -> None:
        bits = standing(case, again.state)
        for name, needs in wanted.items():
            now = bits & needs == needs
            if now and not stood[name]:
                risen[name].append(again.state.tick)
            stood[name] = now

    def pass_time(until_tick: int) -> None:
        while again.state.tick < until_tick and not again.state.ended:
            again.run_to(min(until_tick, (again.state.tick // TICKS_PER_S + 1) * TICKS_PER_S))
            look()

    look()
    for entry in attempt.log:
        pass_time(entry.tick)
        again.do(entry.action)
        look()
    pass_time(attempt.state.tick)
    return {name: tuple(ticks) for name, ticks in risen.items()}


def broken_in_deed(case: Case, risen: Mapping[str, Sequence[int]]) -> tuple[Broken, ...]:
    """Orders that were not kept in what was done (`deeds`), the gravest first.

    A step counts from when what shows it done was first brought about; what stood from the start is no deed
    of the trainee, but is there for the steps that wait for it. So a step that is a state (stopped, in the
    seat) shows as broken only where that state was never there; what it protects is for the rules to see.
    """
    found = []
    for step in case.steps:
        first = next((tick for tick in risen.get(step.name, ()) if tick > 0), None)
        if first is None:
            continue
        for edge in step.after:
            before = min(risen.get(edge.before, ()), default=None)
            if before is None or before > first:
                found.append(Broken(edge.before, step.name, edge.kind, edge.why, before is None))
    return _sorted(found)


def _sorted(found: Iterable[Broken]) -> tuple[Broken, ...]:
    return tuple(sorted(found, key=lambda one: "IDF".find(one.kind) % 4))


def _hands_in(lines: Sequence[str]) -> bool:
    return any(from_line(line).word == "hand_in" for line in lines)
