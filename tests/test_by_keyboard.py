"""Whole jobs from the first screen to a passed debrief, in the real window, with nothing but the keyboard."""

from collections.abc import Sequence
from itertools import chain, zip_longest
from pathlib import Path
from typing import Any

import pygame
import pytest

import xvfb
from hand import Hand, Intent, plan_of
from trainer.authoring.compile import load_job
from trainer.core.actions import Action, as_line
from trainer.core.state import State
from trainer.core.units import TICKS_PER_S
from trainer.records.replay import regrade_file
from trainer.scene.kit import Kit, Target

_AT_ONCE = 40
"""Key presses sent in one go while time is hurried on; of those that come in one moment one counts."""
_MARKS = ("F12", "F3")
"""Keys that nothing is laid on."""
_ARROWS = {"Left": (-1, 0), "Right": (1, 0), "Up": (0, -1), "Down": (0, 1)}
_STATION_KEYS = {"yard": "F5", "seat": "F6", "panel": "F7", "hitch": "F8", "implement": "F9", "bench": "F10"}


def way(told: dict[str, Any], goal: str, arrows: bool = True) -> list[str]:
    """The fewest keys that lead the frame to something, as the window's own map of itself has it."""
    ring, at = told["ring"], told["focus"]
    if at not in ring:
        return ["Tab"]
    kit = Kit(Path())
    places = {name: pygame.Rect(told["targets"][name]) for name in ring if name in told["targets"]}
    kit.targets = [Target(name, place, "", act=list) for name, place in places.items()]
    ways: dict[str, list[str]] = {at: []}
    for here in (edge := [at]):
        index = ring.index(here)
        found = [("Tab", ring[(index + 1) % len(ring)]), ("shift+Tab", ring[index - 1])]
        for key, (right, down) in _ARROWS.items() if arrows else ():
            if here in places and not (right and here in told["stepped"]):
                kit.focus = here
                if kit.move_towards(right, down):
                    found.append((key, kit.focus))
        for key, name in found:
            if name not in ways:
                ways[name] = [*ways[here], key]
                edge.append(name)
        if goal in ways:
            break
    return ways[goal]


class KeyHand(Hand):
    """A hand that never touches the mouse: it goes to a thing and presses."""

    long_ticks = 0

    def press(self, *keys: str) -> None:
        """Press keys in turn, and wait until the window has told what came of them.

        On a loaded machine two presses of one key may reach the window in one moment, and count as one that
        is held: what is pressed twice goes in two parts.
        """
        part: list[str] = []
        for key in keys:
            if key.split("+")[-1] in (one.split("+")[-1] for one in part):
                self._send(*part)
                part.clear()
            part.append(key)
        self._send(*part)

    def _send(self, *keys: str) -> None:
        """Send keys and after them one that asks for nothing: where that has come, the others have, too."""
        before = self.told()["key"]
        last = next(mark for mark in _MARKS if mark.lower() != before)
        self.pointer.key(*keys, last, delay_ms=3)
        self.until(lambda told: told["key"] == last.lower(), f"{', '.join(keys)} to come")

    def focus(self, name: str) -> None:
        """Have the frame that shows where the keyboard is stand around something."""
        arrows = True

        def there() -> bool:
            nonlocal arrows
            told = self.until(lambda told: name in told["ring"], f"{name} to go to")
            if told["focus"] != name:
                self.press(*way(told, name, arrows))
                arrows = False  # where the map of the window misled, along the ring
            return self.told()["focus"] == name

        self.program.until(there, f"the frame at {name}")

    def click(self, name: str) -> None:
        if name.startswith("yard.go."):
            self.press(_STATION_KEYS[name.removeprefix("yard.go.")])
            return
        self.focus(name)
        self.press("Return")

    def drag(self, start: str, end: str | xvfb.Point) -> None:
        self.click(start)
        self.until(lambda told: told["held"], f"{start} in the hand")
        self.click(end if isinstance(end, str) else start)  # what slides goes the other way by itself

    def free(self) -> dict[str, Any]:
        """Free and empty hands: a tool stays in the hand until it is put back."""
        told = super().free()
        if told["held"]:
            self.press("Escape")
            told = self.until(lambda told: not told["held"], "an empty hand")
        return told

    def _by_things(self, word: str, thing: str, place: str) -> None:
        if word in ("uncouple", "unplug"):
            self.click(f"{'end' if word == 'uncouple' else 'plug'}:{thing}")
            self.until(lambda told: told["held"], f"{thing} in the hand")
            self.press("Delete")
        else:
            super()._by_things(word, thing, place)

    def _gesture(self, intent: Intent) -> Action | None:
        action = intent.action
        if action.word == "lever":
            self.click(f"lever:{action.thing}:{action.place}")
        elif action.word == "hand_in":
            self.press("h")
            self.until(lambda told: told["dialog"] == "hand_in", "the question")
            self.press("Return")
        else:
            return super()._gesture(intent)
        return None

    def _set_to(self, action: Action, state: State) -> None:
        control, steps = self._control(action, state)
        if action.word == "ballast":
            self.drag("weight", "nose")
        else:
            self.click(control)
        self.until(lambda told: "adjust:set" in told["targets"], f"{control} open")
        tens, ones = divmod(abs(steps), 10)
        much, *little = ("Prior", "Right", "Up") if steps > 0 else ("Next", "Left", "Down")
        keys = zip_longest([much] * tens, little * (ones // 2), little[: ones % 2])
        self.press(*filter(None, chain(*keys)), "Return")

    def _wipe(self, actions: Sequence[Action]) -> None:
        self.free()
        self.click("rag")
        for action in actions:
            kind = "port" if self.job.case.port(action.thing) >= 0 else "end"
            count = len(self.done())
            self.click(f"{kind}:{action.thing}")
            self._recorded(count, action)
        self.free()

    def _hurry(self, goal: int, nearly: int = 0) -> None:
        """A second of the yard's time for each press."""
        while (left := goal - nearly - (told := self.told())["tick"]) > 0 and not told["ended"]:
            self._send(*["f"] * min(_AT_ONCE, -(-left // TICKS_PER_S)))


@pytest.mark.parametrize("name", ["first-week/couple", "first-week/uncouple", "class/couple_baler"])
def test_a_job_is_done_by_keyboard_and_its_record_grades_to_all_points(
    name: str, screen: xvfb.Screen, user_folder: Path, tmp_path: Path
) -> None:
    hand = KeyHand(screen, load_job(name), user_folder, tmp_path)
    plan = plan_of(hand.job)
    screen.pointer.move((1279, 719))
    hand.start()
    hand.begin()
    hand.work(plan)
    hand.until(lambda told: told["dialog"] == "ended", "the end")
    hand.pointer.key("Return")
    told = hand.until(lambda told: told["screen"] == "debrief", "the debrief")
    assert told["findings"] == []
    assert (told["points"], told["passed"], told["ended"]) == (100, True, "handed in")
    again = regrade_file(hand.record())
    assert again.agrees, again.first_difference
    done = [as_line(entry.action) for entry in again.attempt.log if entry.action.word != "wait"]
    assert done == [as_line(intent.action) for intent in plan if intent.action.word != "wait"]
