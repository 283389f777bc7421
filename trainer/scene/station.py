"""What the yard offers a station and what a station owes the yard.

A station draws one place (the rear panel, the seat ...) inside `yard.stage`, in drawing units of 1280 x 720,
and turns what is done with mouse and keys into actions. It keeps no truth of its own: what is coupled, open
or running is read from `yard.state`; what it adds is only how that looks (a hose swinging, a lever on its
way). Everything that can be done is listed by `targets`, so that the keyboard can do it too.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

import pygame

from trainer.core.actions import Action, Refusal
from trainer.core.case import Case
from trainer.core.state import State
from trainer.lang import Texts
from trainer.scene.art import Art
from trainer.scene.kit import Kit, Target

if TYPE_CHECKING:
    from trainer.core.attempt import Attempt

STAGE = (1280, 720)
"""Drawing units of every station; `yard.scale` turns them into pixels of the window."""

__all__ = ["STAGE", "Station", "Target", "Yard"]


class Yard(Protocol):
    """What a station may use of the window around it."""

    attempt: Attempt
    art: Art
    kit: Kit
    stage: pygame.Rect
    """Where the station draws, in pixels of the window."""
    scale: float
    """Pixels per drawing unit."""
    now_s: float
    """Time for things that move only to the eye, in seconds; stands still while the game is paused."""

    @property
    def case(self) -> Case:
        """The machines as they are now."""
        ...

    @property
    def state(self) -> State: ...

    @property
    def texts(self) -> Texts: ...

    @property
    def metric(self) -> bool:
        """Metric units first; the US shop's otherwise."""
        ...

    @property
    def calm(self) -> bool:
        """Motion reduced: no swinging, no shaking."""
        ...

    @property
    def busy(self) -> bool:
        """The hands are busy, or actions are waiting for them."""
        ...

    def do(self, action: Action) -> None:
        """Have an action done as soon as the hands are free; actions are done in the order given."""

    def open_report(self) -> None:
        """Take the fault report in hand, in a job to find a fault."""

    def paper_closed(self) -> None:
        """The paper that lay open on the stage is laid down."""

    def legal(self, action: Action) -> Refusal | None:
        """Why the yard would not let this happen now; None where it would. Worked out once per state."""

    def say(self, key: str, **gaps: object) -> None:
        """Put a line into the message strip."""

    def amount(self, kind: str, value_si: float, decimals: int | None = None) -> str:
        """A quantity in the units the trainee has chosen (`Texts.amount`)."""
        ...

    def refusal_text(self, refusal: Refusal) -> str:
        """A refusal in words, numbers in the trainee's units: for tooltips."""
        ...

    def at(self, x: float, y: float) -> tuple[int, int]:
        """A point of the drawing as a point of the window."""
        ...

    def area(self, x: float, y: float, width: float, height: float) -> pygame.Rect:
        """A box of the drawing as a box of the window."""
        ...

    def drawn(self, point: tuple[int, int]) -> tuple[float, float]:
        """A point of the window as a point of the drawing."""
        ...


class Station:
    """One place of the yard. Subclasses set `name` and draw.

    Points from events and rectangles of targets are pixels of the window; `yard.at`, `yard.area` and
    `yard.drawn` go between them and drawing units.
    """

    name = ""

    def __init__(self, yard: Yard) -> None:
        self.yard = yard

    @property
    def in_hand(self) -> str:
        """The name of what is held here; '' for empty hands."""
        return ""

    def place_of(self, target: str) -> pygame.Rect:
        """Where a target is on the window; the whole stage where it is not here."""
        found = next((one for one in self.targets() if one.id == target), None)
        return found.rect if found is not None else self.yard.stage

    @property
    def still(self) -> bool:
        """Nothing that can be pointed at is on its way."""
        return True

    def enter(self) -> None:
        """The trainee has come here (also after the window changed its size or an attempt was resumed)."""

    def leave(self) -> None:
        """The trainee goes; let go of what was held."""

    def update(self, dt_s: float) -> None:
        """Move what moves only to the eye by `dt_s` seconds of real time."""

    def draw(self, surface: pygame.Surface) -> None:
        """Draw into `yard.stage`; the surface is the window's, clipped to the stage."""
        raise NotImplementedError

    def handle(self, event: pygame.event.Event) -> bool:
        """Take an event inside the stage (or while something is held); True where it was for the station.

        A click that is not taken here falls to the target under it, whose `act` is then done.
        """
        del event
        return False

    def targets(self) -> list[Target]:
        """What can be pointed at, in the order of Tab; later ones lie on top."""
        return []
