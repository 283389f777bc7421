"""A trainee's hand on the window: every action of the yard as the gesture that asks for it, mouse only.

The hand sees what an assistive tool sees: the file in which the window tells what can be pointed at and how
things stand. That what it meant was done it learns from the record of the attempt on the disk, where every
action stands before the next one can be done. It never waits for a time, only for one of these to say so.
"""

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path
from typing import Any

import pytest

import xvfb
from trainer.authoring.compile import Job
from trainer.authoring.orders import answer_items, play_items
from trainer.core import faults
from trainer.core.actions import Action, as_line, from_line
from trainer.core.attempt import Attempt
from trainer.core.state import State
from trainer.core.units import TICKS_PER_S

_MOVES = 3
"""Moves of the pointer between taking something and letting it go."""
_MOVING = ("yard", "hitch", "implement")
"""Places where a thing to be pointed at may still be on its way."""
_TIMED_BY_BUTTONS_S = 100
"""Longer waits are sat out with the fast-forward button held."""
_SET = ("throttle", "hitch", "top_link", "sway", "dial", "ballast", "jack", "drawbar_reach", "pto_speed")
"""Words that set a control to an amount."""
_NEARLY_TICKS = TICKS_PER_S
"""The button is let go when so much is left: what time it takes to see that runs fast, too."""


@dataclass(frozen=True)
class Intent:
    """An action of a plan, and the yard as it stands when the action's turn comes."""

    action: Action
    before: State


def plan_of(job: Job) -> list[Intent]:
    """The job's own answer, action by action."""
    played = play_items(job.case, job.rules, answer_items(job))
    attempt = Attempt(job.case, job.rules)
    plan = []
    for entry in played.log:
        attempt.settle()
        plan.append(Intent(entry.action, attempt.state))
        attempt.do(entry.action)
    return plan


class Hand:
    """Starts the program on a screen as a trainee would, and works its mouse."""

    long_ticks = 2 * TICKS_PER_S
    """Hands that are busy for longer are hurried with the fast-forward button."""

    def __init__(self, screen: xvfb.Screen, job: Job, home: Path, folder: Path) -> None:
        self.screen = screen
        self.pointer = screen.pointer
        self.job = job
        self._home = home
        self._targets = folder / "targets.json"
        self._read: tuple[Path, int, list[tuple[int, Action, str]]] = (folder, -1, [])
        self.program: xvfb.Program

    def start(self) -> None:
        """Run the program until its first screen is up."""
        self._targets.unlink(missing_ok=True)
        self.program = self.screen.run(
            "-m",
            "trainer",
            COUPLING_YARD_HOME=str(self._home),
            COUPLING_YARD_TARGETS=str(self._targets),
        )
        self.program.until_window()
        self.until(lambda told: told["screen"] == "first", "the first screen")

    # --- seeing ---------------------------------------------------------------------------------------------

    def told(self) -> dict[str, Any]:
        """What the window tells of itself: screen, targets, and in the yard tick, station, busy, ended."""
        try:
            told: dict[str, Any] = json.loads(self._targets.read_text("utf-8"))
        except FileNotFoundError:
            return {"screen": "", "targets": {}}
        return told

    def until(self, holds: Callable[[dict[str, Any]], object], what: str) -> dict[str, Any]:
        """Wait until what the window tells is so, and return it."""
        found: dict[str, Any] = {}

        def look() -> bool:
            found.clear()
            found.update(self.told())
            return bool(holds(found))

        try:
            self.program.until(look, what)
        except pytest.fail.Exception as failure:
            seen = {key: value for key, value in found.items() if key != "targets"}
            pytest.fail(f"{failure}\nthe window told {seen}, to point at: {', '.join(found['targets'])}")
        return found

    def find(self, name: str) -> xvfb.Point:
        """The middle of a target, once it is there and nothing is on its way any more."""

        def rests(told: dict[str, Any]) -> bool:
            if name not in told["targets"] or told.get("dialog") or name.startswith("yard."):
                return name in told["targets"]
            return bool(told.get("station") not in _MOVING or told["still"])

        return _middle(self.until(rests, f"{name} to point at")["targets"][name])

    def done(self) -> list[tuple[int, Action, str]]:
        """The record as it is on the disk: tick, action, and the reason where it was refused."""
        path = self.record()
        size = path.stat().st_size
        if self._read[:2] != (path, size):
            lines = path.read_text("utf-8").split("\n")[1:-1]
            done = [
                (line["tick"], from_line(line["do"]), line["refused"])
                for line in map(json.loads, lines)
                if "do" in line
            ]
            self._read = path, size, done
        return self._read[2]

    def record(self) -> Path:
        """The file of the one attempt there is."""
        (path,) = (self._home / "attempts").glob("[rf]*/*.jsonl")
        return path

    # --- pointing -------------------------------------------------------------------------------------------

    def click(self, name: str) -> None:
        self.pointer.click(self.find(name))

    def drag(self, start: str, end: str | xvfb.Point) -> None:
        """Take hold of something, carry it and let go: on a target, or so many pixels from where it was."""
        first = self.find(start)
        last = self.find(end) if isinstance(end, str) else (first[0] + end[0], first[1] + end[1])
        self.pointer.carry(first, last, _MOVES)
        self.until(lambda told: told["pointer"] == list(last), "the pointer to have come there")
        self.pointer.release(last)

    def _turn_to(self, chooser: str, name: str) -> None:
        """Have a row shown that one of several pages carries."""
        if name not in self.told()["targets"]:
            self.click(chooser)

    def _nowhere(self, near: xvfb.Point, at_least: int) -> xvfb.Point:
        """The free place closest to a point where letting go of something does nothing."""
        boxes = self.told()["targets"].values()
        gap = 12  # a port is a little larger than the end that covers it
        places = [
            (x, y)
            for x in range(40, 900, 20)
            for y in range(90, 580, 20)
            if not any(
                left - gap <= x < left + wide + gap and top - gap <= y < top + tall + gap
                for left, top, wide, tall in boxes
            )
        ]

        def far(at: xvfb.Point) -> float:
            return ((at[0] - near[0]) ** 2 + (at[1] - near[1]) ** 2) ** 0.5

        return min((at for at in places if far(at) >= at_least), key=far)

    # --- working --------------------------------------------------------------------------------------------

    def begin(self) -> None:
        """From the first screen through the job's sheet into the yard."""
        wanted = f"first.job.{self.job.name}"
        while wanted not in (targets := self.told()["targets"]):
            jobs = [name for name in targets if name.startswith("first.job.")]
            self.pointer.scroll(_middle(targets[jobs[0]]), -2)
            self.until(lambda told, seen=targets: told["targets"] != seen, "more jobs")  # type: ignore[misc]
        self.click(wanted)
        self.click("first.open")
        self.click("sheet.start")
        self.until(lambda told: told["screen"] == "yard", "the yard")

    def drawn(self) -> Job:
        """The job with the fault that the program drew for this attempt: its seed stands on record."""
        head = json.loads(self.record().read_text("utf-8").split("\n", 1)[0])
        return self.job.drawn(int(head.get("seed", 0)))

    def work(self, plan: Sequence[Intent]) -> None:
        """Do what is planned, one thing at a time; the rag wipes one face after another without a pause."""
        evidence: list[Action] = []
        for word, group in groupby(plan, key=lambda intent: intent.action.word):
            intents = list(group)
            if word == "evidence":
                evidence += [intent.action for intent in intents]
                continue
            if word == "name":
                self._sign(evidence, intents[0].action)
                evidence.clear()
                continue
            if word == "wipe":
                self._wipe([intent.action for intent in intents])
                continue
            for intent in intents:
                self.do(intent)

    def do(self, intent: Intent) -> None:
        """One action: its gesture, then see that it is on record and the hands are free again."""
        action = intent.action
        if action.word == "wait" and (action.amount or 0) > _TIMED_BY_BUTTONS_S * 1000:
            self._fast_forward(action)
            return
        self.free()
        count = len(self.done())
        wanted = self._gesture(intent) or action
        self._recorded(count, wanted)

    def free(self) -> dict[str, Any]:
        """Wait until the hands are free."""
        return self.until(lambda told: not told["busy"], "free hands")

    def _sign(self, evidence: Sequence[Action], name: Action) -> None:
        """The fault report: tick what shows it, point out the part, say what is wrong there, sign."""
        self.free()
        count = len(self.done())
        self.click("yard.report")
        for action in evidence:
            self.click(f"report.tick.{(action.amount or 0) // 1000}")
        group = next(group for group, names in faults.parts(self.job.case).items() if name.thing in names)
        self.click(f"report.group.{group}")
        self.click(f"report.part.{name.thing}")
        self.click(f"report.wrong.{name.place}")
        written = {
            "ticked": sorted((action.amount or 0) // 1000 for action in evidence),
            "part": name.thing,
            "wrong": name.place,
        }
        self.until(lambda told: written.items() <= told.items(), f"{written} on the report")
        self.click("report.sign")
        self.until(lambda told: told.get("dialog") == "named", "what came of the report")
        assert [action for _, action, _ in self.done()[count:]] == [*evidence, name]
        self.click("dialog.go_on")
        self.free()

    def _recorded(self, count: int, wanted: Action, hurry: bool = True) -> None:
        """The next action on record is the wanted one, was not refused, and has been done."""
        self.until(lambda _: len(self.done()) > count, f"{as_line(wanted)} on record")
        tick, action, refused = self.done()[count]
        message = self.told().get("message", "")
        recorded = f"{as_line(action)} {refused}".strip()
        assert recorded == as_line(wanted), f"{recorded} on record; the window says: {message}"
        if hurry:
            told = self.until(lambda told: told["ended"] or told["tick"] > tick, "the window to tell of it")
            if not told["ended"] and told["free_at"] - told["tick"] > self.long_ticks:
                self._hurry(told["free_at"])
        self.until(lambda told: told["ended"] or (told["tick"] > tick and not told["busy"]), "free hands")

    def _gesture(self, intent: Intent) -> Action | None:
        """Ask for the action; returns what is asked for instead where the window has coarser steps."""
        action, state = intent.action, intent.before
        word, thing = action.word, action.thing
        taps = {
            "go": f"yard.go.{thing}",
            "brake": "brake",
            "engine": f"engine:{thing}",
            "key": f"key:{thing}",
            "latch": f"latch:{thing}",
            "unlatch": f"latch:{thing}",
            "reverse": "drive:reverse",
            "creep": "drive:creep",
            "drive": "drive:off",
            "park_at": f"park:{thing}",
            "pto": "pto",
            "secure": f"joint:{thing}",
            "release": f"joint:{thing}",
            "shaft_guard": "shaft_guard",
        }
        if word in taps:
            self.click(taps[word])
        elif word in _SET:
            self._set_to(action, state)
        elif word == "lever":
            now = state.levers[self.job.case.valve(thing)]
            self.drag(f"lever:{thing}:{now}", f"lever:{thing}:{action.place}")
        elif word == "wait":
            seconds = 10 if (action.amount or 0) <= 10_000 else 60
            self.click(f"yard.wait_{seconds}")
            return Action("wait", amount=seconds * 1000)
        elif word == "hand_in":
            self.click("yard.hand_in")
            self.click("dialog.hand_in")
        else:
            self._by_things(word, thing, action.place)
        return None

    def _by_things(self, word: str, thing: str, place: str) -> None:
        """What is done with a tool, a part or a page."""
        station = self.told()["station"]
        if word == "read":
            self._turn_to("yard.side.papers", f"yard.paper.{thing}")
            self.click(f"yard.paper.{thing}")
        elif word == "test":
            self._turn_to("page:functions", f"test:{thing}")
            self.click(f"test:{thing}")
        elif word == "speed_source":
            self._turn_to("page:speed", f"source:{thing}")
            self.click(f"source:{thing}")
        elif word == "look" and station == "seat":
            self.click(f"look:{thing}")
        elif word == "look":
            holds = "pin_hole" if self.job.case.implement.drawn else "latch:left"
            self.drag("eye", {"area": "go:implement", "latches": holds, "supports": "stands"}[thing])
        elif word in ("gauge", "flow_meter"):
            self.click(word)
            self.click(f"tee:{thing}" if self.job.case.port(thing) >= 0 else f"end:{thing}")
        elif word == "measure" and station == "seat":
            self._turn_to("page:figures", f"read:{thing}")
            self.click(f"read:{thing}")
        elif word == "mend":
            self.drag("spanner", f"{'plug' if self.job.case.plug(thing) >= 0 else 'end'}:{thing}")
        elif word in ("volts", "ohms"):
            self.click("meter:pins")
            if word == "ohms":
                self.click("meter:knob")
            self.click(f"pin:{thing}")
            self.click(f"pin:{place}")
            self.click("pins:close")
        elif word == "measure":
            self.drag(
                *{
                    "mast_pins": ("tape", "mast"),
                    "bar_height": ("tape", "bar"),
                    "sway": ("tape", "sway"),
                    "bar_pitch": ("level", "bar"),
                    "tongue_height": ("tape", "eye_hole"),
                    "tongue_pitch": ("level", "bar"),
                    "overlap": ("tape", "shaft"),
                }[thing]
            )
        elif word in ("drawbar", "stands"):
            far = 60 if thing in ("extend", "down") else -60
            self.drag(word, (far, 0) if word == "drawbar" else (0, far))
        elif word in ("uncouple", "unplug"):
            end = f"{'end' if word == 'uncouple' else 'plug'}:{thing}"
            x, y = self.find(end)
            free_x, free_y = self._nowhere((x, y), 90)
            self.drag(end, (free_x - x, free_y - y))
        elif word == "store":  # an end lies so close to its holder that it is clicked there, not carried
            self.click(f"{'plug' if self.job.case.plug(thing) >= 0 else 'end'}:{thing}")
            self.click(f"holder:{thing}")
        else:
            self.drag(
                *{
                    "couple": (f"end:{thing}", f"port:{place}"),
                    "plug": (f"plug:{thing}", f"socket:{place}"),
                    "cap": ("caps", f"end:{thing}"),
                    "route": ("guide", "guide:right"),
                    "chock": ("chock", f"chock:{thing}"),
                    "unchock": (f"chock:{thing}", "chock"),
                    "bushings": ("bushing", "pins"),
                    "top_hook": ("hook", "top_hook"),
                    "pin": ("pin", "pin_hole") if thing == "fit" else ("pin_hole", "pin"),
                    "clip": ("clip", "clip_hole") if thing == "fit" else ("clip_hole", "clip"),
                    "chain": ("chain", "chain_hook") if thing == "hook" else ("chain_hook", "tape"),
                    "lock": ("lock_pin", f"lock:{thing}"),
                    "unlock": (f"lock:{thing}", "lock_pin"),
                    "lift_lock": ("lock_pin", "lift_lock") if thing == "set" else ("lift_lock", "lock_pin"),
                }[word]
            )

    def _control(self, action: Action, state: State) -> tuple[str, int]:
        """The control that sets an amount, and how many of its steps away that is."""
        assert action.amount is not None
        case = self.job.case
        if action.word == "ballast":  # hanging a weight on hangs one step more
            steps_kg = case.tractor.ballast_steps_kg
            return "weight", steps_kg.index(action.amount // 1000) - steps_kg.index(state.ballast_kg) - 1
        valve = case.valve(action.thing)
        if action.word in ("drawbar_reach", "pto_speed"):  # from one notch to the next
            notches, now = self._notches(action.word, state)
            steps = notches.index(action.amount) - min(
                range(len(notches)), key=lambda index: abs(notches[index] - now)
            )
            return "reach" if action.word == "drawbar_reach" else "pto_speed", steps
        control, now, fine = {
            "jack": ("jack", state.jack_um, 1000),
            "throttle": ("throttle", state.throttle_mrev_min, 10_000),
            "hitch": ("hitch", state.hitch_target_um, 1000),
            "top_link": ("top_link", state.top_link_um, 1000),
            "sway": ("sway", state.sway_um, 1000),
            "dial": (f"dial:{action.thing}", state.dials_milli[valve], 100),
        }[action.word]
        return control, _steps(now, action.amount, fine)

    def _notches(self, word: str, state: State) -> tuple[list[int], int]:
        """What a control with notches can be set to, and what it is set to."""
        tractor = self.job.case.tractor
        if word == "pto_speed":
            return [round(speed * 1000) for speed in tractor.pto_speeds_rev_min], state.pto_mrev_min
        assert tractor.drawbar is not None
        return [round(reach * 1e6) for reach in tractor.drawbar.reaches_m], state.drawbar_reach_um

    def _set_to(self, action: Action, state: State) -> None:
        """Open the control, come near with the buttons for ten steps, turn the wheel for the rest, set it."""
        control, steps = self._control(action, state)
        if action.word == "ballast":
            self.drag("weight", "nose")
            at = self.find("adjust:more")
        else:
            self.click(control)
            at = self.find("adjust:set")
        way = 1 if steps > 0 else -1
        tens, ones = divmod(abs(steps), 10)
        if tens:
            button = self.find("adjust:much_more" if way > 0 else "adjust:much_less")
            self.pointer.click(button, times=tens)
        if ones:
            self.pointer.scroll(at, way * ones)
        self.click("adjust:set")

    def _wipe(self, actions: Sequence[Action]) -> None:
        """With the rag in the hand from one face to the next, staying on each until it is wiped."""
        self.free()
        self.pointer.press(self.find("rag"))
        for action in actions:
            name = action.thing
            count = len(self.done())
            self.pointer.move(self.find(f"{'port' if self.job.case.port(name) >= 0 else 'end'}:{name}"))
            self._recorded(count, action, hurry=False)  # the rag is in the hand
        self.pointer.release(self.find("rag"))

    def _fast_forward(self, action: Action) -> None:
        """Hold the button down until as much of the yard's time has gone by."""
        self._hurry(self.free()["tick"] + (action.amount or 0) // 1000 * TICKS_PER_S, nearly=0)

    def _hurry(self, goal: int, nearly: int = _NEARLY_TICKS) -> None:
        """Hold the fast-forward button down until a tick, or nearly."""
        self.pointer.press(self.find("yard.fast"))
        self.until(lambda told: told["ended"] or told["tick"] >= goal - nearly, f"tick {goal}")
        self.pointer.release(self.find("yard.fast"))


def _steps(now: int, goal: int, fine: int) -> int:
    """How many steps of a control lead from one amount to another, as the control takes them: tens first, and
    what stood between two of its steps is on one after the first turn."""

    def after(steps: int) -> int:
        amount, way = now, 1 if steps > 0 else -1
        tens, ones = divmod(abs(steps), 10)
        for turn in (*[10] * tens, *[1] * ones):
            amount = round((amount + way * turn * fine) / fine) * fine
        return amount

    near = (goal - now) // fine
    found = [steps for steps in range(near - 1, near + 3) if after(steps) == goal]
    assert found, f"{goal} lies between two steps of {fine}"
    return found[0]


def _middle(box: Sequence[int]) -> xvfb.Point:
    left, top, width, height = box
    return left + width // 2, top + height // 2
