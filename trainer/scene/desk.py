"""What all screens share: texts, drawings, the kit, the reader's settings, the way between screens."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import asdict, dataclass, fields
from pathlib import Path

import pygame

from trainer.lang import Texts
from trainer.scene.art import Art
from trainer.scene.kit import TEXT_SIZES, Kit

MODES = ("guided", "practice", "check_out")


@dataclass
class Settings:
    """What the reader has chosen; kept in the user's folder, never in an attempt."""

    metric: bool = False
    text_size: float = 1.0
    calm: bool = False
    full_screen: bool = False
    name: str = ""
    mode: str = "guided"
    job: str = ""
    running: str = ""
    """File name of the attempt begun last, and the way it was run: an unfinished one goes on the same way."""
    running_mode: str = "guided"

    @classmethod
    def load(cls, path: Path) -> Settings:
        """Read the settings; what is missing or makes no sense stays as it is by default."""
        try:
            kept = json.loads(path.read_text("utf-8"))
        except (OSError, ValueError):
            return cls()
        settings = cls()
        for known in fields(cls):
            value = kept.get(known.name) if isinstance(kept, dict) else None
            if type(value) is type(getattr(settings, known.name)):
                setattr(settings, known.name, value)
        if settings.text_size not in TEXT_SIZES:
            settings.text_size = 1.0
        if settings.mode not in MODES:
            settings.mode = MODES[0]
        if settings.running_mode not in MODES:
            settings.running_mode = MODES[0]
        return settings

    def save(self, path: Path) -> None:
        """Write the settings; a folder that cannot be written to is no reason to stop."""
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(json.dumps(asdict(self), indent=1), "utf-8")
        except OSError:
            return


class Screen:
    """One full window: the first screen, the job sheet, the yard, the debrief."""

    name = ""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk

    @property
    def pace(self) -> float:
        """How much faster than real time the yard's clock runs; 0 where none runs."""
        return 0.0

    def enter(self) -> None:
        """It is shown now (also after the window changed its size)."""

    def leave(self) -> None:
        """Another screen is shown, or the program ends."""

    def tick(self) -> None:
        """One tick of the yard's clock."""

    def update(self, dt_s: float) -> None:
        """Move what moves only to the eye."""

    def draw(self, surface: pygame.Surface) -> None:
        raise NotImplementedError

    def before_kit(self, event: pygame.event.Event) -> bool:
        """Take an event before buttons and fields see it."""
        del event
        return False

    def handle(self, event: pygame.event.Event) -> bool:
        """Take an event that the kit did not take."""
        del event
        return False

    def status(self) -> dict[str, object]:
        """What assistive tools are told beside the targets."""
        return {}


class Desk:
    """Shared by all screens. `show` puts another screen up; `doors` are set by the program that runs them."""

    def __init__(self, kit: Kit, art: Art, texts: Texts, settings: Settings) -> None:
        self.kit = kit
        self.art = art
        self.texts = texts
        self.settings = settings
        self.screen: Screen | None = None
        self.doors: dict[str, Callable[..., None]] = {}

    def show(self, screen: Screen) -> None:
        """Put a screen up."""
        if self.screen is not None:
            self.screen.leave()
        self.screen = screen
        self.kit.focus = ""
        self.kit.typing = ""
        screen.enter()

    def go(self, door: str, *what: object) -> None:
        """Leave through a door: `first`, `sheet`, `yard`, `debrief`, `resume`, `quit`."""
        self.doors[door](*what)

    def handle(self, event: pygame.event.Event) -> bool:
        """Give an event to the screen and the kit; True where one of them took it."""
        if self.screen is None:
            return False
        if event.type in (pygame.MOUSEMOTION, pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP):
            self.kit.pointer = event.pos
            if event.type != pygame.MOUSEMOTION:
                self.kit.pressing = event.type == pygame.MOUSEBUTTONDOWN
        return self.screen.before_kit(event) or self.kit.handle(event) or self.screen.handle(event)

    def say(self, key: str, **gaps: object) -> str:
        return self.texts.say(key, **gaps)

    def amount(self, kind: str, value_si: float, decimals: int | None = None) -> str:
        return self.texts.amount(kind, value_si, self.settings.metric, decimals)

    def larger(self, steps: int) -> None:
        """Change the size of all text by so many steps of `TEXT_SIZES`."""
        here = TEXT_SIZES.index(self.settings.text_size)
        self.settings.text_size = TEXT_SIZES[min(max(here + steps, 0), len(TEXT_SIZES) - 1)]
        self.kit.text_scale = self.settings.text_size

    def toggle_metric(self) -> None:
        self.settings.metric = not self.settings.metric
