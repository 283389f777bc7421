"""What all screens share: texts, drawings, the kit, the reader's settings, the way between screens."""

from __future__ import annotations

from collections.abc import Callable

import pygame

from trainer.authoring.translation import load_texts
from trainer.lang import Texts
from trainer.records.settings import Settings
from trainer.scene.art import Art
from trainer.scene.keys import Keys
from trainer.scene.kit import Kit
from trainer.scene.sound import Speaker


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

    def warm(self) -> bool:
        """Make ready a little of what may be seen next; True while there may be more to do."""
        return False

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
        self.speaker = Speaker()
        self.screen: Screen | None = None
        kit.keys = Keys(settings.keys)
        self.over: Screen | None = None
        """A page laid over the screen, which waits below it."""
        self._focus_below = ""
        self.doors: dict[str, Callable[..., None]] = {}
        self.texts_in: Callable[[str], Texts] = load_texts
        """The texts of a language, with what a folder of somebody's own has for its jobs."""

    def show(self, screen: Screen) -> None:
        """Put a screen up."""
        if self.over is not None:
            self.take_off()
        if self.screen is not None:
            self.screen.leave()
        self.screen = screen
        self.kit.focus = ""
        self.kit.typing = ""
        screen.enter()

    def lay_over(self, page: Screen) -> None:
        """Lay a page over the screen until it is taken off."""
        self.speaker.silence()
        if self.over is None:
            self._focus_below = self.kit.focus
        self.over = page
        self.kit.focus = self.kit.typing = ""
        page.enter()

    def take_off(self) -> None:
        """Take the page off that lies over the screen; what was chosen on it is kept."""
        if self.over is None:
            return
        self.over.leave()
        self.over = None
        self.kit.focus = self._focus_below
        self.go("keep_settings")

    @property
    def front(self) -> Screen | None:
        """What is seen: the page over the screen, or the screen."""
        return self.over or self.screen

    def go(self, door: str, *what: object) -> None:
        """Leave through a door: `first`, `sheet`, `yard`, `debrief`, `resume`, `quit`."""
        self.doors[door](*what)

    def handle(self, event: pygame.event.Event) -> bool:
        """Give an event to the screen and the kit; True where one of them took it."""
        front = self.front
        if front is None:
            return False
        if event.type in (pygame.MOUSEMOTION, pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP):
            self.kit.pointer = event.pos
            if event.type != pygame.MOUSEMOTION:
                self.kit.pressing = event.type == pygame.MOUSEBUTTONDOWN
        return front.before_kit(event) or self.kit.handle(event) or front.handle(event)

    def key(self, command: str) -> str:
        """The key that asks for something, as it stands on the keyboard."""
        return self.kit.keys.shown(command, self.texts)

    def say(self, key: str, **gaps: object) -> str:
        return self.texts.say(key, **gaps)

    def amount(self, kind: str, value_si: float, decimals: int | None = None) -> str:
        return self.texts.amount(kind, value_si, self.settings.metric, decimals)

    def larger(self, steps: int) -> None:
        """Change the size of all text by so many steps."""
        self.settings.larger(steps)
        self.kit.text_scale = self.settings.text_scale

    def text_size(self, percent: int) -> None:
        """Set the size of all text, 100 to 200 percent."""
        self.settings.text_percent = percent
        self.kit.text_scale = self.settings.text_scale

    def speak(self, language: str) -> None:
        """Speak another language from now on."""
        self.texts = self.texts_in(language)
        self.settings.language = language

    def toggle_metric(self) -> None:
        self.settings.metric = not self.settings.metric
