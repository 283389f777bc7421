"""Runs of a job as the trade would make them: answer, slips, safe orders of its steps and unsafe ones.

A step says in which state the yard has to be before it. That state is brought about by real actions, chosen
from what the yard is like at that moment, so that the same steps can be played in any order.
"""

from __future__ import annotations

import random
from collections.abc import Collection, Iterable, Iterator, Sequence

from trainer.authoring.compile import Job, Slip
from trainer.authoring.edits import Item
from trainer.core import readings
from trainer.core.actions import Action, Event, from_line
from trainer.core.attempt import Attempt
from trainer.core.case import Case, Step
from trainer.core.rules import Rule
from trainer.core.units import TICKS_PER_S, rev_min

_WAIT_S = 1
_MOST_WAITS = 120
"""Longest that is waited, a second at a time, for something to come to rest."""


# --- bringing the yard into a state -----------------------------------------------------------------------


def ready_actions(attempt: Attempt, ready: str, also: Sequence[str] = ()) -> Iterator[Action]:
    """Yield, one at a time, the actions that bring the yard into a step's ready state.

    Each action has to be done (`attempt.settle()`, `attempt.do(action)`, `attempt.settle()`) before the next
    one is asked for: it is chosen from what the yard is like then. `ready` is `ground`, `key_on`, `running`
    or ''; `also` names conditions to be made good again. Raises ValueError for another name.
    """
    makers = {
        "ground": _to_ground,
        "key_on": _to_key_on,
        "running": _to_running,
        "waited": _to_waited,
        "supplies_down": _to_supplies_down,
        "area_clear": _to_area_clear,
        "bled": _to_bled,
    }
    for name in (*([ready] if ready else []), *also):
        if name not in makers:
            raise ValueError(f"no way to bring the yard into the state {name!r}")
        yield from makers[name](attempt)


def stands(attempt: Attempt, condition: str) -> bool:
    """Whether a condition stands at this moment."""
    held = readings.standing(attempt.case, attempt.state)
    return Event("", attempt.state.tick, standing=held).stands(condition)


def _to_seat(attempt: Attempt) -> Iterator[Action]:
    if attempt.state.station != "seat":
        yield Action("go", "seat")


def _waits(attempt: Attempt, until: str) -> Iterator[Action]:
    """Wait, second by second, for a condition that comes by itself."""
    for _ in range(_MOST_WAITS):
        if stands(attempt, until):
            return
        yield Action("wait", amount=_WAIT_S * 1000)


def _stop_motors(attempt: Attempt) -> Iterator[Action]:
    """Shaft off; every motor that a section drives let run down in float."""
    case = attempt.case
    if attempt.state.pto:
        yield Action("pto", "off")
    for index, function in enumerate(case.implement.functions):
        valve = _valve_of(attempt, index)
        if not function.is_motor or valve < 0 or attempt.state.levers[valve] in ("float", "block"):
            continue
        if readings.supply_live(attempt.state):
            yield Action("lever", case.tractor.valves[valve].name, "float")
            for _ in range(_MOST_WAITS):
                if rev_min(attempt.state.works[index].speed_mrad_s) <= case.limits.still_rev_min:
                    break
                yield Action("wait", amount=_WAIT_S * 1000)


def _valve_of(attempt: Attempt, function: int) -> int:
    """Index of the section that a motor's pressure hose hangs on, or -1."""
    hose = attempt.case.hose_of(function, "pressure")
    at = attempt.state.hose_at[hose] if hose >= 0 else -1
    return attempt.case.tractor.ports[at].valve if at >= 0 else -1


def _stop_engine(attempt: Attempt) -> Iterator[Action]:
    """From the seat: motors at rest, brake set, engine stopped, all movement at its end."""
    yield from _stop_motors(attempt)
    if not attempt.state.brake:
        yield Action("brake", "set")
    if attempt.state.engine:
        yield Action("engine", "stop")
    yield from _waits(attempt, "engine_off")
    yield from _waits(attempt, "fan_still")


def _to_ground(attempt: Attempt) -> Iterator[Action]:
    wanted = ("engine_off", "brake_set", "key_out", "fan_still", "pto_off")
    if all(stands(attempt, condition) for condition in wanted):
        return
    yield from _to_seat(attempt)
    yield from _stop_engine(attempt)
    if attempt.state.key != "out":
        yield Action("key", "out")


def _to_key_on(attempt: Attempt) -> Iterator[Action]:
    yield from _to_seat(attempt)
    yield from _stop_engine(attempt)
    if attempt.state.key != "on":
        yield Action("key", "on")


def _to_running(attempt: Attempt) -> Iterator[Action]:
    yield from _to_seat(attempt)
    if not attempt.state.brake:
        yield Action("brake", "set")
    if attempt.state.key != "on":
        yield Action("key", "on")
    if not attempt.state.engine:
        yield Action("engine", "start")


def _to_waited(attempt: Attempt) -> Iterator[Action]:
    """Key off, and the wait before plugs are pulled over."""
    state = attempt.state
    if state.key == "on":
        yield from _to_seat(attempt)
        yield from _stop_engine(attempt)
        yield Action("key", "out")
    if stands(attempt, "waited"):
        return
    since = attempt.state.tick - attempt.state.key_off_tick
    left = int(attempt.case.limits.unplug_wait_s * TICKS_PER_S) - since
    yield Action("wait", amount=max(1, -(-left // TICKS_PER_S)) * 1000)


def _to_supplies_down(attempt: Attempt) -> Iterator[Action]:
    yield from _to_waited(attempt)
    yield from _waits(attempt, "supplies_down")


def _to_area_clear(attempt: Attempt) -> Iterator[Action]:
    if not stands(attempt, "area_clear"):
        if attempt.state.station not in ("yard", "seat"):
            yield Action("go", "seat" if attempt.state.key == "on" else "yard")
        yield Action("look", "area")


def _to_bled(attempt: Attempt) -> Iterator[Action]:
    """Every section that holds pressure let go through float, engine stopped and key on."""
    if stands(attempt, "bled"):
        return
    yield from _to_key_on(attempt)
    case, limit = attempt.case, attempt.case.limits.couple_pressure_pa
    for valve, section in enumerate(case.tractor.valves):
        if all(
            pressure <= limit
            for port, pressure in zip(case.tractor.ports, attempt.state.port_pa, strict=True)
            if port.valve == valve
        ):
            continue
        if attempt.state.levers[valve] != "float":
            yield Action("lever", section.name, "float")
        yield Action("wait", amount=5000)
        yield Action("lever", section.name, "block")
    yield from _waits(attempt, "bled")


# --- playing ----------------------------------------------------------------------------------------------


def answer_items(job: Job, steps: Iterable[str] | None = None) -> tuple[Item, ...]:
    """Return the job's answer, or the named steps in their order, as items to be played.

    Where the job is to find a fault it is the answer of the drawn one, or of the first.

    >>> from trainer.authoring.compile import load_job
    >>> answer_items(load_job("first-week/couple"), ["area_clear"])[0]
    Item(step='area_clear', ready=True, line='')
    """
    if steps is None and job.answers:
        drawn = job.case.fault.name if job.case.fault is not None else next(iter(job.answers))
        return job.answers[drawn]
    by_name = {step.name: step for step in job.case.steps}
    items: list[Item] = []
    for name in job.answer if steps is None else steps:
        items.append(Item(step=name))
        items.extend(Item(line=line) for line in by_name[name].actions)
    return tuple(items)


def slip_items(job: Job, slip: Slip | str) -> tuple[Item, ...]:
    """Return a slip of the job as items to be played."""
    return (job.slip(slip) if isinstance(slip, str) else slip).items


def play_items(case: Case, rules: Sequence[Rule], items: Iterable[Item]) -> Attempt:
    """Play items to their end or to the end of the attempt; refused actions are logged like any other."""
    attempt = Attempt(case, rules)
    play_on(attempt, items)
    return attempt


def play_on(attempt: Attempt, items: Iterable[Item]) -> None:
    """Go on with an attempt: play items to their end or to the end of the attempt."""
    for item in items:
        for action in actions_of(attempt, item):
            attempt.settle()
            attempt.do(action)
            attempt.settle()
        if attempt.state.ended:
            break


def actions_of(attempt: Attempt, item: Item) -> Iterator[Action]:
    """Yield the actions of one item, each chosen once the one before has been done.

    Where a step says to go to a place, somebody who is there already stays.

    >>> from trainer.authoring.compile import load_job
    >>> job = load_job("first-week/couple")
    >>> list(actions_of(Attempt(job.case, job.rules), Item(line="look: area")))
    [Action(word='look', thing='area', place='', amount=None)]
    """
    if item.line:
        action = from_line(item.line)
        if action != Action("go", attempt.state.station):
            yield action
    elif item.ready:
        step = next(step for step in attempt.case.steps if step.name == item.step)
        yield from ready_actions(attempt, step.ready, step.also)


def play_order(job: Job, order: Iterable[str], raw: Collection[str] = ()) -> Attempt:
    """Play the steps of a job in an order; the steps in `raw` without their ready state brought about."""
    items = [
        Item(item.step, item.step not in raw, item.line) if item.step else item
        for item in answer_items(job, order)
    ]
    return play_items(job.case, job.rules, items)


# --- orders -----------------------------------------------------------------------------------------------


def safe_order(case: Case, rng: random.Random) -> tuple[str, ...]:
    """Return all steps of a case in an order that keeps every edge, drawn step by step.

    Each draw is uniform among the steps that may come next (not among all orders). The step that hands in
    comes last whatever its edges.

    >>> from trainer.authoring.compile import load_job
    >>> order = safe_order(load_job("first-week/couple").case, random.Random(1))
    >>> order.index("area_clear") < order.index("back_align")
    True
    """
    order: list[str] = []
    before = _before(case)
    left = [step.name for step in case.steps]
    while left:
        free = [name for name in left if all(other in order for other in before[name])]
        order.append(rng.choice(free))
        left.remove(order[-1])
    return tuple(order)


def reversed_orders(case: Case) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield, for each edge of kind I or D, its name `before<after` and an order that breaks it.

    In that order the later step stands directly before the one it should wait for; of the other edges only
    those that cannot be kept with that are broken (steps between the two come after both). The order is
    the one nearest to the file's.

    >>> from trainer.authoring.compile import load_job
    >>> orders = dict(reversed_orders(load_job("first-week/couple").case))
    >>> order = orders["area_clear<back_align"]
    >>> order.index("area_clear") - order.index("back_align")
    1
    """
    before = _before(case)
    for step in case.steps:
        for edge in step.after:
            if edge.kind in ("I", "D"):
                yield f"{edge.before}<{step.name}", _reversed(case, before, edge.before, step.name)


def _before(case: Case) -> dict[str, list[str]]:
    """For each step, the steps that have to come before it."""
    before = {step.name: [edge.before for edge in step.after] for step in case.steps}
    for step in case.steps:
        if _hands_in(step):
            others = [other.name for other in case.steps if not _hands_in(other)]
            before[step.name] = sorted({*before[step.name], *others}, key=list(before).index)
    return before


def _hands_in(step: Step) -> bool:
    return any(from_line(line).word == "hand_in" for line in step.actions)


def _behind(before: dict[str, list[str]], first: str) -> set[str]:
    """All steps that have to wait for `first`."""
    found = {first}
    while True:
        more = {name for name, others in before.items() if found.intersection(others)} - found
        if not more:
            return found - {first}
        found |= more


def _reversed(case: Case, before: dict[str, list[str]], first: str, second: str) -> tuple[str, ...]:
    waiting = _behind(before, first)
    kept = {name: list(others) for name, others in before.items()}
    # What waits for the first and is waited for by the second cannot come before the second any more.
    kept[second] = [other for other in before[second] if other != first and other not in waiting]
    kept[second] += [other for other in before[first] if other not in kept[second]]
    order: list[str] = []
    left = [step.name for step in case.steps]
    while left:
        name = next(name for name in left if all(other in order for other in kept[name]) and name != first)
        for placed in (name, first) if name == second else (name,):
            order.append(placed)
            left.remove(placed)
    return tuple(order)
