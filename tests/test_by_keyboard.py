"""Both jobs from the first screen to a passed debrief, in the real window, with nothing but the keyboard."""

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

import xvfb
from hand import Hand, Intent, plan_of
from trainer.authoring.compile import load_job
from trainer.core.actions import Action, as_line
from trainer.core.state import State
from trainer.core.units import TICKS_PER_S
from trainer.records.replay import regrade_file

_AT_ONCE = 40
"""Key presses sent in one go while time is hurried on."""
_STATION_KEYS = {"yard": "F5", "seat": "F6", "panel": "F7", "hitch": "F8", "implement": "F9", "bench": "F10"}


class KeyHand(Hand):
    """A hand that never touches the mouse: it goes to a thing and presses."""

    def start(self) -> None:
        super().start()
        self._sent = self.told()["presses"]

    def press(self, *keys: str) -> None:
        """Press keys in turn, and wait until the window has taken them all and told what came of it."""
        if not keys:
            return
        self.pointer.key(*keys)
        self._sent += sum(len(key.split("+")) for key in keys)
        self.until(lambda told: told["presses"] >= self._sent, f"{len(keys)} keys to come")
        told = self.told()["presses"]
        assert told == self._sent, f"{keys}: {told} for {self._sent}"

    def focus(self, name: str) -> None:
        """Have the frame that shows where the keyboard is stand around something."""

        def there() -> bool:
            told = self.until(lambda told: name in told["ring"], f"{name} to go to")
            ring, at = told["ring"], told["focus"]
            if at == name:
                return True
            steps = (ring.index(name) - (ring.index(at) if at in ring else -1)) % len(ring)
            back = len(ring) - steps
            self.press(*(["Tab"] * steps if steps <= back or at not in ring else ["shift+Tab"] * back))
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
        arrow = "Right" if steps > 0 else "Left"
        self.press(*[f"shift+{arrow}"] * tens, *[arrow] * ones, "Return")

    def _wipe(self, actions: Sequence[Action]) -> None:
        self.free()
        self.click("rag")
        for action in actions:
            kind = "port" if self.job.case.port(action.thing) >= 0 else "end"
            count = len(self.done())
            self.click(f"{kind}:{action.thing}")
            self._recorded(count, action)
        self.free()

    def _fast_forward(self, action: Action) -> None:
        goal = self.free()["tick"] + (action.amount or 0) // 1000 * TICKS_PER_S
        while (left := goal - self.told()["tick"]) > 0:
            count = min(_AT_ONCE, -(-left // TICKS_PER_S))
            tick = self.told()["tick"]
            self.press(*["f"] * count)
            self.until(lambda told, to=tick + count * TICKS_PER_S: told["tick"] >= to, "time to pass")  # type: ignore[misc]


@pytest.mark.parametrize(
    "name",
    [
        "first-week/couple",
        pytest.param(
            "first-week/uncouple",
            marks=pytest.mark.skipif(not os.environ.get("CI"), reason="as long again: with CI set"),
        ),
    ],
)
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
