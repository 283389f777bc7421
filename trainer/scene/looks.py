"""Which drawing shows a machine: `art/looks.yaml` read into values, chosen by the `look` of its file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from trainer.core.case import Function, Implement, Tractor
from trainer.scene.art import Art

_SMALLEST, _LARGEST = 0.7, 1.3
"""A drawing is never shown more than this much smaller or larger than it was made for."""
SIDE_PX_PER_M = 90.0
"""Side views are made at this scale."""


@dataclass(frozen=True, slots=True)
class Part:
    """Something of an implement that moves: what it turns on and what moves it."""

    art: str
    at: str
    moved_by: tuple[str, ...] = ()
    turn_deg: float = 0.0
    fold: str = ""
    """`up` or `along` for what folds, '' for what turns."""
    wheel: str = ""
    """Point of its wheel, for an arm that is carried by the ground."""
    behind: bool = False
    level: bool = False
    """Stands on wheels of its own: does not lean with the frame."""


@dataclass(frozen=True, slots=True)
class Spin:
    """Something of an implement that turns; `style` is `blades`, `tines` or `disc`."""

    at: str
    radius: float
    style: str
    moved_by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ImplementLook:
    """The side view of an implement and what of it moves. `size` is how much larger than drawn it is."""

    name: str
    side: str
    front: str
    """What the tractor's rear window shows of it."""
    hold: str
    """Point by which it is coupled: `lower_pin` or `eye`."""
    size: float
    parts: tuple[Part, ...]
    spins: tuple[Spin, ...]


@dataclass(frozen=True, slots=True)
class TractorLook:
    """The side view of a tractor and its wheels."""

    name: str
    side: str
    rear: str
    front: str
    size: float


def tractor_look(art: Art, tractor: Tractor) -> TractorLook:
    """The look its file names, or the general one; sized by its wheelbase."""
    known = art.looks["tractors"]
    name = tractor.look if tractor.look in known else "general"
    side, rear, front = (str(known[name][key]) for key in ("side", "rear", "front"))
    base = (art.anchor(side, "rear_axle")[0] - art.anchor(side, "front_axle")[0]) / SIDE_PX_PER_M
    return TractorLook(name, side, rear, front, _bounded(tractor.wheelbase_m / base))


def implement_look(art: Art, implement: Implement) -> ImplementLook:
    """The look its file names, or the general one of its coupling.

    A mounted machine is sized by its mast, a drawn one by the length from its eye to its wheels.
    """
    known = art.looks["implements"]
    name = implement.look
    if name not in known or known[name]["coupling"] != implement.coupling:
        name = "general_drawn" if implement.drawn else "general_mounted"
    look = known[name]
    side = str(look["side"])
    if implement.tongue is not None:
        drawn_m = (art.anchor(side, "wheel_ground")[0] - art.anchor(side, "eye")[0]) / SIDE_PX_PER_M
        size = implement.tongue.length_m / drawn_m
    else:
        size = (
            implement.mast_height_m
            * SIDE_PX_PER_M
            / (art.anchor(side, "lower_pin")[1] - art.anchor(side, "top_pin")[1])
        )
    return ImplementLook(
        name,
        side,
        str(look["front"]),
        "eye" if implement.drawn else "lower_pin",
        _bounded(size),
        tuple(_part(each) for each in look.get("parts", ())),
        tuple(_spin(each) for each in look.get("spins", ())),
    )


def movers(moved: Sequence[Part | Spin], functions: Sequence[Function]) -> tuple[int, ...]:
    """For each the function that moves it, -1 where there is none.

    Names count before kinds; two that turn do not share a function while another one fits as well.
    """
    found: list[int] = []
    for each in moved:
        fits = [
            index
            for word in each.moved_by
            for index, function in enumerate(functions)
            if word in (function.name, function.kind)
        ]
        unused = [index for index in fits if index not in found]
        found.append((unused or fits or [-1])[0])
    return tuple(found)


def _bounded(size: float) -> float:
    return round(min(_LARGEST, max(_SMALLEST, size)), 3)


def _part(told: dict[str, Any]) -> Part:
    return Part(
        told["art"],
        told["at"],
        tuple(told.get("moved_by", ())),
        float(told.get("turn", 0.0)),
        told.get("fold", ""),
        told.get("wheel", ""),
        told.get("behind") == "yes",
        told.get("level") == "yes",
    )


def _spin(told: dict[str, Any]) -> Spin:
    return Spin(told["at"], float(told["radius"]), told["as"], tuple(told["moved_by"]))
