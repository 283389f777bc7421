"""Runs as items to be played, and the edits that make a slip of the answer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from trainer.authoring.machines import nearest
from trainer.authoring.quantities import quoted
from trainer.authoring.schema import Edit, Placed, StepText
from trainer.authoring.source import Place


@dataclass(frozen=True, slots=True)
class Item:
    """One entry of a run to be played: the head of a step (`step` set) or an action (`line` set).

    At the head of a step the yard is brought into the step's ready state, unless `ready` is off.
    """

    step: str = ""
    ready: bool = True
    line: str = ""


class Unfit(Exception):
    """An edit that fits nothing of the answer."""

    def __init__(self, place: Place, message: str, advice: str) -> None:
        super().__init__(message)
        self.place, self.message, self.advice = place, message, advice


def items_of(steps: Sequence[StepText], names: Sequence[str]) -> Iterator[Item]:
    """The steps of these names as items: for each its head, then its actions."""
    by_name = {step.name: step for step in steps}
    for name in names:
        if name in by_name:
            yield Item(step=name)
            yield from (Item(line=line.text) for line in by_name[name].do if line.text)


def new_items(steps: Sequence[StepText], lines: Sequence[Placed]) -> list[Item]:
    items: list[Item] = []
    for line in lines:
        if line.text.startswith("step:"):
            items.extend(items_of(steps, [line.text.removeprefix("step:").strip()]))
        elif line.text:
            items.append(Item(line=line.text))
    return items


def _found(items: Sequence[Item], edit: Edit) -> list[int]:
    """Positions of the edit's action; there has to be one, or as many as it counts to."""
    lines = [item.line for item in items]
    found = [position for position, line in enumerate(lines) if line == edit.what.text]
    if not found:
        message = f"{quoted(edit.what.text)} is not in the answer, or an edit above took it out"
        raise Unfit(edit.what.place, message, nearest(edit.what.text, [line for line in lines if line]))
    if edit.nth > len(found):
        message = f"{quoted(edit.what.text)} is in the answer {len(found)} times only"
        raise Unfit(edit.what.place, message, f"nth: {len(found)}")
    return found


def _block(items: Sequence[Item], step: Placed) -> tuple[int, int]:
    """Position of a step's head and of the first item behind the step."""
    heads = [(position, item.step) for position, item in enumerate(items) if item.step]
    for place, (position, name) in enumerate(heads):
        if name == step.text:
            return position, heads[place + 1][0] if place + 1 < len(heads) else len(items)
    message = f"the answer has no step {quoted(step.text)}, or an edit above took it out"
    raise Unfit(step.place, message, nearest(step.text, [name for _, name in heads]))


def edited_items(steps: Sequence[StepText], items: list[Item], edit: Edit) -> list[Item]:
    """Return the items after one edit; raises Unfit where it fits nothing."""
    if edit.kind == "leave_out":
        found = _found(items, edit)
        return [item for position, item in enumerate(items) if position not in found]
    if edit.kind in ("instead", "before", "after", "stop_after"):
        at = _found(items, edit)[edit.nth - 1]
        if edit.kind == "stop_after":
            return items[: at + 1]
        new = new_items(steps, edit.do)
        head, tail = (at + 1 if edit.kind == "after" else at), (at if edit.kind == "before" else at + 1)
        return [*items[:head], *new, *items[tail:]]
    start, end = _block(items, edit.what)
    if edit.kind == "leave_out_step":
        return [*items[:start], *items[end:]]
    if edit.kind == "raw":
        return [*items[:start], replace(items[start], ready=False), *items[start + 1 :]]
    assert edit.other is not None  # swap_steps, the only edit of two steps
    to, _ = _block(items, edit.other)
    if start <= to:
        message = f"{edit.what.text} already comes before {edit.other.text}"
        raise Unfit(edit.what.place, message, f"[{edit.other.text}, {edit.what.text}]")
    return [*items[:to], *items[start:end], *items[to:start], *items[end:]]
