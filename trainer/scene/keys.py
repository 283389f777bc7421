"""The keys: one table of what can be asked for by key, and the keys that a person laid elsewhere.

Nothing in the window looks at a key itself. A handler asks `keys.asks(event, "pause")`; which key that is, is
up to the person at the keyboard. Typing into a field is the one thing apart: letters are letters there.

A key is written as its name with what is held beside it: `m`, `ctrl+plus`, `shift+tab`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import pygame

from trainer.lang import Texts


@dataclass(frozen=True, slots=True)
class Command:
    """Something that can be asked for by key; its text is `keys.commands.<name>`."""

    name: str
    group: str
    """`moving`, `yard` or `window`: where it is listed."""
    key: str
    also: tuple[str, ...] = ()
    """Keys that do the same as long as nothing else was laid on them."""


COMMANDS: Final = (
    Command("next", "moving", "tab"),
    Command("before", "moving", "shift+tab"),
    Command("press", "moving", "return", ("kp_enter", "space")),
    Command("back", "moving", "escape"),
    Command("left", "moving", "left"),
    Command("right", "moving", "right"),
    Command("up", "moving", "up"),
    Command("down", "moving", "down"),
    Command("page_up", "moving", "pageup"),
    Command("page_down", "moving", "pagedown"),
    Command("take_away", "moving", "delete", ("backspace",)),
    Command("pause", "yard", "p", ("break",)),
    Command("fast", "yard", "f"),
    Command("wait", "yard", "w"),
    Command("hand_in", "yard", "h"),
    Command("go_yard", "yard", "f5"),
    Command("go_seat", "yard", "f6"),
    Command("go_panel", "yard", "f7"),
    Command("go_hitch", "yard", "f8"),
    Command("go_implement", "yard", "f9"),
    Command("go_bench", "yard", "f10"),
    Command("side", "yard", "n"),
    Command("help", "window", "f1"),
    Command("settings", "window", "f2"),
    Command("units", "window", "m"),
    Command("larger", "window", "ctrl+plus", ("ctrl+equals", "ctrl+kp_plus")),
    Command("smaller", "window", "ctrl+minus", ("ctrl+kp_minus",)),
    Command("mute", "window", "ctrl+m"),
    Command("full_screen", "window", "f11"),
)
GROUPS: Final = ("moving", "yard", "window")
AGAIN_S: Final = 0.35
THEN_S: Final = 0.05
"""After how long something held is asked for again, and how often from then on."""
_AGAIN: Final = frozenset(
    {"next", "before", "left", "right", "up", "down", "page_up", "page_down", "fast", "larger", "smaller"}
)
DIRECTIONS: Final = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}
"""Commands with a direction on the screen."""

_BY_NAME: Final = {command.name: command for command in COMMANDS}
_HELD: Final = (("ctrl", pygame.KMOD_CTRL), ("alt", pygame.KMOD_ALT), ("shift", pygame.KMOD_SHIFT))
_NAMES: Final[dict[int, str]] = {
    getattr(pygame, name): name[2:].lower() for name in sorted(dir(pygame), reverse=True) if name[:2] == "K_"
}
_CODES: Final = {name: code for code, name in _NAMES.items()}
_BESIDE: Final = frozenset(
    f"{side}{key}" for side in "lr" for key in ("ctrl", "alt", "shift", "meta", "super", "gui")
) | {"mode", "capslock", "numlock", "numlockclear", "scrollock", "scrolllock", "unknown"}
"""Keys that are only held beside another."""
_PAD: Final = frozenset(name for name in _CODES if name.startswith("kp") and name != "kp_enter")
"""Keys of the number pad that write into a field."""


def name_of(event: pygame.event.Event) -> str:
    """The key of a KEYDOWN with what is held beside it; '' for one that stands for nothing by itself.

    >>> name_of(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_TAB, mod=pygame.KMOD_LSHIFT))
    'shift+tab'
    """
    name = _NAMES.get(event.key, "")
    if not name or name in _BESIDE:
        return ""
    mod = getattr(event, "mod", 0)
    return "+".join((*(held for held, bit in _HELD if mod & bit), name))


def is_key(written: str) -> bool:
    """Whether this is how a key is written.

    >>> is_key("ctrl+plus"), is_key("ctrl+ctrl+a"), is_key("lshift")
    (True, False, False)
    """
    *held, name = written.split("+")
    ordered = [one for one, _ in _HELD if one in held]
    return name in _CODES and name not in _BESIDE and held == ordered


def _writes(written: str) -> bool:
    """Whether this key puts a letter into a field."""
    *held, name = written.split("+")
    return not {"ctrl", "alt"} & set(held) and (32 <= _CODES[name] < 127 or name in _PAD)


class Keys:
    """Which key asks for what. `changed` is what the person laid elsewhere, as the settings keep it.

    >>> keys = Keys({"pause": "f4"})
    >>> keys.key("pause"), keys.key("help")
    ('f4', 'f1')
    >>> keys.lay("units", "f1")
    'help'
    >>> keys.key("units")
    'm'
    >>> keys.lay("units", "u")
    ''
    >>> keys.changed
    {'pause': 'f4', 'units': 'u'}
    """

    def __init__(self, changed: Mapping[str, str] | None = None) -> None:
        self.changed: dict[str, str] = {}
        self._lay_all({} if changed is None else changed)

    def _lay_all(self, changed: Mapping[str, str]) -> None:
        """What makes no sense, or lies where another does, stays where the program has it."""
        wanted = {c.name: changed.get(c.name, c.key) for c in COMMANDS}
        wanted = {name: key if is_key(key) else _BY_NAME[name].key for name, key in wanted.items()}
        if len(set(wanted.values())) < len(wanted):
            wanted = {command.name: command.key for command in COMMANDS}
        self.changed.clear()
        self.changed.update({n: key for n, key in wanted.items() if key != _BY_NAME[n].key})
        self._asked = {key: name for name, key in wanted.items()}
        for command in COMMANDS:
            for key in command.also:
                self._asked.setdefault(key, command.name)

    def key(self, name: str) -> str:
        """The key that asks for this."""
        return self.changed.get(name, _BY_NAME[name].key)

    def asked(self, event: pygame.event.Event, typing: bool = False) -> str:
        """What a key asks for; '' for nothing. While `typing`, what writes into the field asks for nothing.

        With Shift held a key asks for the same as without, unless that has been laid somewhere itself.
        """
        if event.type != pygame.KEYDOWN:
            return ""
        written = name_of(event)
        if not written or (typing and _writes(written)):
            return ""
        found = self._asked.get(written, "")
        return found or self._asked.get(written.replace("shift+", ""), "")

    def asks(self, event: pygame.event.Event, *names: str, typing: bool = False) -> bool:
        """Whether a key asks for one of these."""
        found = self.asked(event, typing)
        return bool(found) and found in names

    def lay(self, name: str, key: str, swap: bool = False) -> str:
        """Have a key ask for this; where it asks for something else, that one's name comes back.

        Nothing is changed then, unless the two are to `swap`.
        """
        if not is_key(key):
            raise ValueError(f"{key!r} is not how a key is written")
        other = next((c.name for c in COMMANDS if c.name != name and self.key(c.name) == key), "")
        if other and not swap:
            return other
        before = self.key(name)
        self._lay_all({**self.changed, name: key, **({other: before} if other else {})})
        return other

    def reset(self) -> None:
        """All keys as the program has them."""
        self._lay_all({})

    def event(self, name: str, *, shift: bool = False) -> pygame.event.Event:
        """The key press that asks for this: how other devices ask for the same."""
        *held, key = self.key(name).split("+")
        mod = pygame.KMOD_NONE
        for one, bit in _HELD:
            if one in held or (shift and one == "shift"):
                mod |= bit
        return pygame.event.Event(pygame.KEYDOWN, key=_CODES[key], mod=mod, unicode="")

    def shown(self, name: str, texts: Texts) -> str:
        """The key as it stands on the keyboard, in the words of the language."""
        return shown(self.key(name), texts)


def shown(written: str, texts: Texts) -> str:
    """A key as it stands on the keyboard.

    >>> shown("ctrl+m", Texts({"keys": {"names": {"ctrl": "Ctrl"}}}))
    'Ctrl + M'
    """
    parts = [f"keys.names.{part}" for part in written.split("+")]
    said = [
        texts.say(key) if texts.has(key) else part.replace("_", " ").upper() if len(part) <= 3 else part
        for key, part in zip(parts, written.split("+"), strict=True)
    ]
    return " + ".join(said)


class Repeat:
    """A key that is held asks again and again, where that makes sense: moving on, never pressing.

    It is held for as long as its release has not come, looked at after all that has come was taken: a frame
    that takes long makes no press out of nothing.
    """

    def __init__(self) -> None:
        self._held: pygame.event.Event | None = None
        self._due_s = 0.0

    def see(self, event: pygame.event.Event) -> None:
        """Take notice of a key event."""
        if event.type == pygame.KEYDOWN and name_of(event):
            self._held, self._due_s = event, AGAIN_S
        elif event.type == pygame.KEYUP and self._held is not None and event.key == self._held.key:
            self._held = None

    def wait(self, dt_s: float, keys: Keys, typing: bool = False) -> list[pygame.event.Event]:
        """Time passes: the key press that is due again, if any."""
        if self._held is None:
            return []
        if keys.asked(self._held, typing) not in _AGAIN and not (typing and erases(self._held)):
            return []
        self._due_s -= dt_s
        if self._due_s > 0:
            return []
        self._due_s = THEN_S
        return [self._held]


def shift_held(event: pygame.event.Event) -> bool:
    """Shift is held: ten steps instead of one."""
    return bool(getattr(event, "mod", 0) & pygame.KMOD_SHIFT)


def erases(event: pygame.event.Event) -> bool:
    """While typing: the last letter goes."""
    return bool(event.key == pygame.K_BACKSPACE)


def ends_typing(event: pygame.event.Event) -> bool:
    """While typing: it is written."""
    return event.key in (pygame.K_RETURN, pygame.K_KP_ENTER, pygame.K_ESCAPE)
