"""A list of actions as a trainee, an instructor or another program writes it: YAML, one action an entry."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from trainer.authoring.source import (
    ContentError,
    ListNode,
    MapNode,
    Node,
    Place,
    Problem,
    Scalar,
    read_source,
)
from trainer.core.actions import Action, NotAnAction, from_line

MAX_ACTIONS = 5_000
_EXAMPLE = "- couple: fan_drain to case_drain"


@dataclass(frozen=True, slots=True)
class Listed:
    """An action and where it stands in its list."""

    action: Action
    place: Place


def read(origin: Path | str | bytes, name: str | None = None) -> tuple[Listed, ...]:
    """Read a list of actions (a Path, or its text or bytes); a ContentError tells every fault in it.

    >>> [listed.action.word for listed in read("- go: hitch\\n- hand_in:\\n", "do.yaml")]
    ['go', 'hand_in']
    >>> read("- go: hitch\\n- dial: v1 5\\n", "do.yaml")
    Traceback (most recent call last):
    trainer.authoring.source.ContentError: do.yaml:2:3: 'dial: v1 5' is not complete. Write: dial: v1 to 5.9
        - dial: v1 5
          ^
    """
    node = read_source(origin, name)
    if not isinstance(node, ListNode):
        raise ContentError([Problem(node.place, "this is not a list of actions", _EXAMPLE)])
    found: list[Listed] = []
    problems: list[Problem] = []
    for item in node.items[:MAX_ACTIONS]:
        try:
            found.append(_listed(item))
        except ContentError as error:
            problems += error.problems
    if len(node.items) > MAX_ACTIONS:
        extra = node.items[MAX_ACTIONS].place
        problems.append(Problem(extra, f"more than {MAX_ACTIONS} actions", "a shorter list"))
    if problems:
        raise ContentError(problems[:100], max(0, len(problems) - 100))
    return tuple(found)


def _listed(item: Node) -> Listed:
    text = ""
    if isinstance(item, Scalar):
        text = item.text
    elif isinstance(item, MapNode) and len(item.entries) == 1:
        key, value = item.entries[0]
        text = f"{key.text}: {value.text}" if isinstance(value, Scalar) else ""
    if not text:
        raise ContentError([Problem(item.place, "this is not one action", _EXAMPLE)])
    try:
        return Listed(from_line(text), item.place)
    except NotAnAction as error:
        message, _, advice = str(error).partition(". Write: ")
        raise ContentError([Problem(item.place, message, advice)]) from None
