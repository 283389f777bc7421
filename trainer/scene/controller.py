"""A game controller, where one is plugged in: it asks for what keys ask for, and for nothing else.

Stick and cross move what the keyboard moves; buttons press, go back and walk on. Whatever the person laid on
other keys stays as it is here. Where there is no controller, or no driver for one, nothing is said.
"""

from __future__ import annotations

import contextlib
from typing import Final

import pygame

from trainer.scene.keys import AGAIN_S, Keys

BUTTONS: Final = {
    0: "press",
    1: "back",
    2: "side",
    3: "take_away",
    4: "before",
    5: "next",
    6: "help",
    7: "pause",
}
"""What the buttons ask for, by their number from 0."""
_FAR, _NEAR = 0.6, 0.4
"""A stick counts as pushed beyond the first, and as let go below the second."""
_THEN_S = 0.12
_EVENTS: Final = (pygame.JOYBUTTONDOWN, pygame.JOYHATMOTION, pygame.JOYAXISMOTION)


class Controller:
    """Turns what comes from a controller into key presses."""

    def __init__(self) -> None:
        self._sticks: dict[int, pygame.joystick.JoystickType] = {}
        self._pushed: dict[tuple[int, int], str] = {}
        self._held = ""
        """The direction that is held, and when it is asked for again."""
        self._due_s = 0.0

    def listen(self) -> None:
        """Begin to listen to what is plugged in now or later."""
        with contextlib.suppress(pygame.error):
            pygame.joystick.init()

    def keys(self, event: pygame.event.Event, keys: Keys) -> list[pygame.event.Event] | None:
        """The key presses an event asks for; None where it comes from no controller."""
        if event.type == pygame.JOYDEVICEADDED:
            with contextlib.suppress(pygame.error):
                stick = pygame.joystick.Joystick(event.device_index)
                self._sticks[stick.get_instance_id()] = stick
            return []
        if event.type == pygame.JOYDEVICEREMOVED:
            self._sticks.pop(event.instance_id, None)
            self._pushed.clear()
            self._held = ""
            return []
        if event.type not in _EVENTS:
            return None
        if event.type == pygame.JOYBUTTONDOWN:
            name = BUTTONS.get(event.button, "")
            return [keys.event(name)] if name else []
        if event.type == pygame.JOYHATMOTION:
            right, up = event.value
            asked = _direction(right, -up)
            source = (-1, event.hat)
        else:
            source = (getattr(event, "instance_id", 0), event.axis)
            asked = self._axis(event.axis, event.value, self._pushed.get(source, ""))
        before = self._pushed.get(source, "")
        self._pushed[source] = asked
        if asked == before:
            return []
        self._held, self._due_s = asked, AGAIN_S
        return [keys.event(asked)] if asked else []

    def wait(self, dt_s: float, keys: Keys) -> list[pygame.event.Event]:
        """Time passes: a direction that is held is asked for again and again, as with a held key."""
        if not self._held:
            return []
        self._due_s -= dt_s
        if self._due_s > 0:
            return []
        self._due_s = _THEN_S
        return [keys.event(self._held)]

    def _axis(self, axis: int, value: float, before: str) -> str:
        if axis > 1:  # the first stick only: triggers rest at their end
            return ""
        if abs(value) < (_NEAR if before else _FAR):
            return ""
        way = 1 if value > 0 else -1
        return _direction(way, 0) if axis == 0 else _direction(0, way)


def _direction(right: int, down: int) -> str:
    if right:
        return "right" if right > 0 else "left"
    return "" if not down else "down" if down > 0 else "up"
