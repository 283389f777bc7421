"""Safe and unsafe runs of a job, drawn by the hundred, before the rules and before a judge of another kind.

Safe runs are drawn orders of the steps that keep every edge. Unsafe ones are made from the answer, or from
a drawn safe order, by operators: an edge turned round, a step or an action left out, a wrong port, dial or
amount, a step done in the wrong state, too early or from the wrong place, something undone that stood.
`oracle.Oracle` says what each run did to people and machines; the audit holds that against what the rules
found. The same seed draws the same runs, in one process or in many.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, replace
from multiprocessing import get_context
from typing import Any

from trainer.authoring import orders
from trainer.authoring.compile import Job, compile_texts, names_of
from trainer.authoring.criteria import CLASSES, DAMAGE, FUNCTION, INJURY, NONE
from trainer.authoring.edits import Item
from trainer.authoring.oracle import Mark
from trainer.authoring.oracle_drawn import judge_of
from trainer.core import faults
from trainer.core.actions import WORDS, Action, as_line, from_line
from trainer.core.attempt import Attempt
from trainer.core.case import Case, Step
from trainer.core.engine import digest, legal, step
from trainer.core.rules import Finding, Rule
from trainer.core.state import State
from trainer.core.units import TICKS_PER_S

SAFE = "safe_order"
"""The operator's name of a run that keeps every edge."""
WEIGHTS = {INJURY: ("injury",), DAMAGE: ("injury", "destruction", "damage")}
"""Harms of the findings by which a run of that class counts as caught; any finding for the others."""
PROCESSES = 2
_MOST_DRAWS = 12
"""Draws for each unsafe run wanted: some edits change nothing, or nothing that matters, or come twice."""
_SECOND_EDIT = 0.2
_MEDDLED = 0.5
_BATCH = 8
_AT_ONCE_TICKS = 5 * TICKS_PER_S
_RANDOM_ACTIONS = 40


# --- watching ---------------------------------------------------------------------------------------------


class Watched(Attempt):
    """An attempt whose states an oracle sees as they come."""

    def __init__(self, case: Case, rules: Sequence[Rule]) -> None:
        super().__init__(case, rules)
        self.oracle = judge_of(case)
        self._sound: Watched | None = None

    def _step(self, actions: tuple[Action, ...]) -> None:
        before = self.state
        action = actions[0] if actions else None
        refusal = legal(self.present, before, action) if action is not None else None
        known = set(self.oracle.marks)
        super()._step(actions)
        self.oracle.see(before, action, refusal.reason if refusal else "", self.state)
        fresh = [name for name in self.oracle.marks if name not in known]
        if fresh and self.case.fault is not None:
            self._forgive(fresh, before, actions)

    def fork(self) -> Watched:
        twin = super().fork()
        twin.oracle, twin._sound = self.oracle.fork(), None  # noqa: SLF001  a twin is one of us
        return twin

    def _forgive(self, fresh: Sequence[str], before: State, actions: tuple[Action, ...]) -> None:
        """Take back what the drawn fault does alone: the same done to the sound machine does no such harm.

        Once the fault is found, or mended, it is known. Handing on what the shop is to mend harms nobody.
        """
        if before.mended or (before.found and not self.state.ended):
            return
        if self.state.ended == "handed in" and faults.mendable(self.case):
            return
        if self._sound is None:
            self._sound = Watched(faults.rivals(self.case)[""], ())
        self._follow(self._sound)
        if actions and self._sound.state.tick <= before.tick:
            self._sound.run_to(before.tick)
            self._sound.do(actions[0])
        self._sound.run_to(self.state.tick)
        self.oracle.forget(fresh, self._sound.oracle)


@dataclass(frozen=True, slots=True)
class Audited:
    """One run that was played: how it was made, what the oracle says of it and what the rules found."""

    number: int
    operator: str
    edit: str
    harm: str
    marks: tuple[Mark, ...]
    findings: tuple[Finding, ...]
    points: int
    passed: bool
    actions: tuple[str, ...]
    """What was done, line by line: two runs with the same lines are the same run."""

    @property
    def caught(self) -> bool:
        """Whether a finding of the matching weight was earned."""
        wanted = WEIGHTS.get(self.harm)
        return any(wanted is None or finding.harm in wanted for finding in self.findings)

    def answered(self, mark: Mark) -> bool:
        """Whether a finding of a criterion's weight came within seconds of it: a stricter look than `caught`,
        which any finding of the run's weight satisfies."""
        wanted = WEIGHTS.get(mark.criterion.harm)
        return any(
            (wanted is None or finding.harm in wanted) and abs(finding.tick - mark.tick) <= _AT_ONCE_TICKS
            for finding in self.findings
        )

    @property
    def failed(self) -> bool:
        """Whether a finding failed the attempt by itself."""
        return any(finding.fails for finding in self.findings)

    @property
    def alarmed(self) -> bool:
        """Whether a run that does nobody and nothing harm was failed; a safe order earns nothing at all."""
        if self.operator == SAFE:
            return bool(self.findings) or self.harm != NONE
        return self.harm in (FUNCTION, NONE) and self.failed

    def to_json(self) -> dict[str, Any]:
        """Return the run as plain values for `json.dumps`."""
        return {
            "operator": self.operator,
            "edit": self.edit,
            "harm": self.harm,
            "reasons": [
                {
                    "criterion": mark.criterion.name,
                    "harm": mark.criterion.harm,
                    "why": mark.criterion.why,
                    "what": mark.what,
                    "at_s": mark.tick / TICKS_PER_S,
                }
                for mark in self.marks
            ],
            "findings": [
                {"rule": finding.rule, "severity": finding.severity, "at_s": finding.at_s}
                for finding in self.findings
            ],
            "points": self.points,
            "passed": self.passed,
        }


@dataclass(frozen=True, slots=True)
class Stem:
    """A run that was played: its items, and how it stood before some of them."""

    items: tuple[Item, ...]
    stood: tuple[tuple[int, Watched], ...]

    def before(self, items: Sequence[Item]) -> tuple[int, Watched] | None:
        """How many items of another run were played here too, and how it stood after them."""
        pairs = enumerate(zip(self.items, items, strict=False))
        same = next((place for place, (one, other) in pairs if one != other), len(items))
        return max((at for at in self.stood if at[0] <= same), key=lambda at: at[0], default=None)


def watch(case: Case, rules: Sequence[Rule], items: Iterable[Item], stem: Stem | None = None) -> Watched:
    """Play items before the rules and the oracle; of what a stem has played of them nothing is played twice.

    >>> from trainer.authoring.compile import load_job
    >>> job = load_job("first-week/uncouple")
    >>> run = watch(job.case, job.rules, [Item(line="go: panel")])
    >>> run.oracle.harm, run.findings[0].rule
    ('injury', 'left_fan_turning')
    """
    return _grown(case, rules, tuple(items), stem)[0]


def _grown(
    case: Case, rules: Sequence[Rule], items: tuple[Item, ...], stem: Stem | None = None
) -> tuple[Watched, Stem]:
    """Play items, and keep how the run stood before each of its steps."""
    begun = stem.before(items) if stem is not None else None
    place, attempt = (begun[0], begun[1].fork()) if begun is not None else (0, Watched(case, rules))
    stood = []
    for at in range(place, len(items)):
        if items[at].step:
            stood.append((at, attempt.fork()))
        orders.play_on(attempt, items[at : at + 1])
        if attempt.state.ended:
            break
    if not attempt.state.ended:
        # Left as it is: what still moves comes to its end, and the oracle sees that nothing was handed in.
        attempt.run(5 * TICKS_PER_S)
        attempt.oracle.see(attempt.state, None, "", attempt.state._replace(ended="left"))
    return attempt, Stem(items, tuple(stood))


# --- operators --------------------------------------------------------------------------------------------

Edit = tuple[str, list[Item]]
"""What was changed, in words and lines, and the run that makes."""


def _drawn(rng: random.Random, choices: Sequence[Any]) -> Any:
    """One of the choices; IndexError where there is none, which tells that an operator does not fit here."""
    return choices[rng.randrange(len(choices))] if choices else choices[0]


def _heads(items: Sequence[Item]) -> list[int]:
    return [place for place, item in enumerate(items) if item.step]


def _end(items: Sequence[Item], head: int) -> int:
    """Where the step that begins at `head` ends."""
    return next((place for place in _heads(items) if place > head), len(items))


def _lines(items: Sequence[Item], *words: str) -> list[int]:
    return [place for place, item in enumerate(items) if item.line and (from_line(item.line).word in words)]


def _said(*lines: str) -> list[Item]:
    return [Item(line=line) for line in lines]


def _step_of(case: Case, name: str) -> Step:
    return next(step for step in case.steps if step.name == name)


def _quiet_step(case: Case) -> Item:
    """The head of a step that brings the yard to rest: engine off, brake set, key out, fan still."""
    return Item(step=next(step.name for step in case.steps if step.ready == "ground" and not step.also))


def _swap(case: Case, items: list[Item], rng: random.Random) -> Edit:
    """A broken edge: the later step directly before the earlier one."""
    edges = [(edge, step.name) for step in case.steps for edge in step.after if edge.kind in ("I", "D")]
    edge, later = _drawn(rng, edges)
    heads = {items[place].step: place for place in _heads(items)}
    if edge.before not in heads or later not in heads or heads[later] < heads[edge.before]:
        raise IndexError
    first, second = heads[edge.before], heads[later]
    moved = items[second : _end(items, second)]
    raw = rng.random() < 0.5
    if raw:
        moved = [replace(moved[0], ready=False), *moved[1:]]
    rest = items[:second] + items[_end(items, second) :]
    told = f"{later} before {edge.before}" + (" as the yard is" if raw else "")
    return told, rest[:first] + moved + rest[first:]


def _omit_step(_case: Case, items: list[Item], rng: random.Random) -> Edit:
    head = _drawn(rng, _heads(items)[:-1])
    return items[head].step, items[:head] + items[_end(items, head) :]


def _omit_action(_case: Case, items: list[Item], rng: random.Random) -> Edit:
    places = [p for p, item in enumerate(items) if item.line and from_line(item.line).word != "hand_in"]
    place = _drawn(rng, places)
    return items[place].line, items[:place] + items[place + 1 :]


def _wrong_port(case: Case, items: list[Item], rng: random.Random) -> Edit:
    """A hose on another port it fits, wiped before; or two hoses changed over."""
    places = _lines(items, "couple")
    place = _drawn(rng, places)
    action = from_line(items[place].line)
    form = case.implement.hoses[case.hose(action.thing)].form
    fitting = [p.name for p in case.tractor.ports if p.form == form and p.name != action.place]
    port = _drawn(rng, fitting)
    changed = list(items)
    changed[place] = Item(line=as_line(replace(action, place=port)))
    other = next((p for p in places if p != place and from_line(items[p].line).place == port), -1)
    if other >= 0 and rng.random() < 0.7:
        changed[other] = Item(line=as_line(replace(from_line(items[other].line), place=action.place)))
        return f"{action.thing} and {from_line(items[other].line).thing} changed over", changed
    return f"{action.thing} to {port}", changed[:place] + _said(f"wipe: {port}") + changed[place:]


def _wrong_amount(case: Case, items: list[Item], rng: random.Random) -> Edit:
    """A dial, height, length, speed or ballast that is not the one."""
    place = _drawn(rng, _lines(items, "dial", "dial", "hitch", "throttle", "sway", "top_link", "ballast"))
    action = from_line(items[place].line)
    word, tractor = WORDS[action.word], case.tractor
    amount = {
        "dial": lambda: rng.randrange(0, 21) * 500,
        "hitch": lambda: (
            rng.randint(int(tractor.hitch_low_m * 100), int(tractor.hitch_high_m * 100)) * 10_000
        ),
        "throttle": lambda: rng.randrange(9, 23) * 100_000,
        "sway": lambda: rng.randrange(0, 12) * 5_000,
        "top_link": lambda: rng.randrange(74, 90) * 10_000,
        "ballast": lambda: rng.choice(tractor.ballast_steps_kg) * 1000,
    }[action.word]()
    amount = min(max(amount, word.low * 1000), word.high * 1000)
    if amount == action.amount:
        raise IndexError
    line = as_line(replace(action, amount=amount))
    return f"{line} in place of {items[place].line}", [*items[:place], Item(line=line), *items[place + 1 :]]


def _wrong_lever(case: Case, items: list[Item], rng: random.Random) -> Edit:
    place = _drawn(rng, _lines(items, "lever"))
    action = from_line(items[place].line)
    if rng.random() < 0.3:
        valve = rng.choice([v.name for v in case.tractor.valves if v.name != action.thing])
        changed = replace(action, thing=valve)
    else:
        states = [s for s in ("block", "extend", "retract", "float") if s != action.place]
        changed = replace(action, place=rng.choice(states))
    line = as_line(changed)
    return f"{line} in place of {items[place].line}", [*items[:place], Item(line=line), *items[place + 1 :]]


def _wrong_state(case: Case, items: list[Item], rng: random.Random) -> Edit:
    """Somewhere in a step on the ground: the engine running, the key in, the brake off, pressure trapped."""
    heads = [p for p in _heads(items)[:-1] if _step_of(case, items[p].step).ready == "ground"]
    head = _drawn(rng, heads)
    goes = [p for p in range(head, _end(items, head)) if items[p].line.startswith("go: ")]
    place = _drawn(rng, goes)
    valve = rng.choice([v.name for v in case.tractor.valves[:3]])
    states = {
        "engine running": ["key: on", "engine: start"],
        "key on": ["key: on"],
        "key off and left in": ["key: on", "key: off"],
        "brake off": ["brake: release"],
        "shaft engaged": ["key: on", "engine: start", "pto: on"],
        f"pressure trapped in {valve}": [
            "key: on",
            "engine: start",
            f"lever: {valve} to extend",
            "wait: 2 s",
            f"lever: {valve} to block",
            "engine: stop",
            "key: out",
        ],
        "fan turning": [
            "key: on",
            "engine: start",
            "lever: v1 to extend",
            "wait: 4 s",
            "engine: stop",
            "key: out",
        ],
    }
    what = rng.choice(list(states))
    made = _said("go: seat", *states[what])
    return f"{what} in {items[head].step}", items[:place] + made + items[place:]


def _raw(case: Case, items: list[Item], rng: random.Random) -> Edit:
    """A step begun as the yard is, without bringing it into the state the step asks for."""
    head = _drawn(rng, [p for p in _heads(items) if _step_of(case, items[p].step).ready])
    changed = [*items[:head], replace(items[head], ready=False), *items[head + 1 :]]
    return f"{items[head].step} as the yard is", changed


def _early(case: Case, items: list[Item], rng: random.Random) -> Edit:
    """A wait cut short and the next step begun at once; or some seconds in place of the wait for supplies."""
    held = [p for p in _heads(items) if _step_of(case, items[p].step).also]
    if held and rng.random() < 0.5:
        changed = [replace(item, ready=False) if p in held else item for p, item in enumerate(items)]
        first, wait_s = held[0], rng.randrange(1, 175)
        key_out = [_quiet_step(case), *_said(f"wait: {wait_s} s")]
        return f"{wait_s} s waited before {items[first].step}", changed[:first] + key_out + changed[first:]
    place = _drawn(rng, _lines(items, "wait"))
    action = from_line(items[place].line)
    assert action.amount is not None
    short = Item(line=as_line(replace(action, amount=max(500, int(action.amount * rng.random() * 0.5)))))
    changed = [*items[:place], short, *items[place + 1 :]]
    later = next((p for p in _heads(items) if p > place), -1)
    hurried = later >= 0 and rng.random() < 0.7
    if hurried:
        changed[later] = replace(changed[later], ready=False)
    told = f"{short.line} in place of {items[place].line}"
    return told + (f", {items[later].step} at once" if hurried else ""), changed


def _wrong_place(case: Case, items: list[Item], rng: random.Random) -> Edit:
    """The hitch moved, or the engine started, from the ground."""
    hitches = _lines(items, "hitch")
    if hitches and rng.random() < 0.5:
        place, beside = _drawn(rng, hitches), rng.choice(["panel", "hitch"])
        made = [*_said(f"go: {beside}"), items[place], *_said("go: seat")]
        return f"{items[place].line} from the {beside}", items[:place] + made + items[place + 1 :]
    heads = [p for p in _heads(items) if _step_of(case, items[p].step).ready == "running"]
    place, beside = _drawn(rng, heads), rng.choice(["yard", "panel"])
    made = [_quiet_step(case), *_said("go: seat", "key: on", f"go: {beside}", "engine: start", "go: seat")]
    told = f"engine started from the {beside} before {items[place].step}"
    return told, items[:place] + made + items[place:]


_CONTRARY = {
    "chock: left": ("implement", "unchock: left"),
    "chock: right": ("implement", "unchock: right"),
    "unchock: left": ("implement", "chock: left"),
    "latch: left": ("hitch", "unlatch: left"),
    "latch: right": ("hitch", "unlatch: right"),
    "unlatch: left": ("hitch", "latch: left"),
    "stands: up": ("implement", "stands: down"),
    "stands: down": ("implement", "stands: up"),
    "lift_lock: set": ("implement", "lift_lock: release"),
    "drawbar: stow": ("hitch", "drawbar: extend"),
    "top_hook: fit": ("hitch", "top_hook: remove"),
    "bushings: fit": ("hitch", "bushings: remove"),
    "look: latches": ("hitch", "unlatch: left"),
    "look: supports": ("implement", "unchock: right"),
    "plug: lighting to lighting": ("panel", "unplug: lighting"),
    "test: lights": ("panel", "unplug: lighting"),
    "plug: bus to implement_bus": ("panel", "unplug: bus"),
}


def _undo(case: Case, items: list[Item], rng: random.Random) -> Edit:
    """Something that stood is taken back later, the yard at rest and the hands where they should be."""
    undone: list[tuple[int, str, list[str]]] = []
    for place, item in enumerate(items):
        if item.line in _CONTRARY:
            station, line = _CONTRARY[item.line]
            undone.append((place, station, [line]))
        action = from_line(item.line) if item.line else Action("")
        if action.word == "couple":
            undone.append((place, "panel", [f"uncouple: {action.thing}"]))
            again = [f"uncouple: {action.thing}", f"wipe: {action.thing}", as_line(action)]
            undone.append((place, "panel", again))
        if action.word == "sway":
            undone.append((place, "hitch", [f"sway: {rng.randrange(0, 100)} mm"]))
        if action.word == "ballast" or (action.word == "look" and action.thing == "area"):
            undone.append((place, "yard", ["ballast: 0 kg"]))
        if action.word == "lever" and action.place == "retract":
            undone.append((place, "seat", [as_line(replace(action, place="extend")), "wait: 6 s"]))
    place, station, lines = _drawn(rng, undone)
    heads = [p for p in _heads(items) if p > place]
    at = _drawn(rng, heads)
    made = [_quiet_step(case)] if station != "seat" else []
    way = ["go: seat", "key: on", "engine: start"] if station == "seat" else [f"go: {station}"]
    told = f"{', '.join(lines)} before {items[at].step}"
    return told, items[:at] + made + _said(*way, *lines) + items[at:]


def _holds(case: Case, rng: random.Random) -> tuple[str, list[str]]:
    """Something that holds, guards or connects, and is taken away: where that is done, and how."""
    implement, choices = case.implement, [("panel", ["shaft_guard: remove"])]
    at_hitch = ("clip: remove", "chain: unhook", "unlatch: left", "unlatch: right", "drawbar: extend")
    choices += [("hitch", [line]) for line in (*at_hitch, "top_hook: remove")]
    choices += [("hitch", ["clip: remove", "pin: remove"]), ("hitch", ["clip: remove", "clip: fit"])]
    choices += [("hitch", ["unlatch: left", "latch: left"])]
    beside = ("stands: down", "unchock: left", "chock: right", "lift_lock: release")
    choices += [("implement", [line]) for line in beside]
    choices += [("implement", [f"unlock: {part.name}"]) for part in implement.functions if part.lockable]
    choices += [("implement", [f"release: {joint.name}"]) for joint in implement.joints]
    for hose in implement.hoses:
        choices += [("panel", [f"uncouple: {hose.name}"]), ("panel", [f"gauge: {hose.name}"])]
    choices += [("panel", [f"unplug: {plug.name}"]) for plug in implement.plugs]
    return rng.choice(choices)


def _meddle(case: Case, items: list[Item], rng: random.Random) -> Edit:
    """Something that holds or connects is taken away: at rest, the engine running, or with oil trapped."""
    at = _drawn(rng, _heads(items)[1:])
    station, lines = _holds(case, rng)
    valve = rng.choice(case.tractor.valves).name
    live = ["go: seat", "key: on", "engine: start"]
    trapped = [f"lever: {valve} to extend", "wait: 2 s", f"lever: {valve} to block"]
    trapped += ["engine: stop", "key: out"]
    how = rng.choice(["at rest", "engine running", f"pressure trapped in {valve}"])
    first = {"at rest": [], "engine running": live}.get(how, live + trapped)
    head = [_quiet_step(case), *_said(*first)]
    told = f"{', '.join(lines)} before {items[at].step}, {how}"
    return told, items[:at] + head + _said(f"go: {station}", *lines) + items[at:]


OPERATORS: dict[str, Callable[[Case, list[Item], random.Random], Edit]] = {
    "edge_broken": _swap,
    "step_left_out": _omit_step,
    "action_left_out": _omit_action,
    "wrong_port": _wrong_port,
    "wrong_amount": _wrong_amount,
    "wrong_lever": _wrong_lever,
    "wrong_state": _wrong_state,
    "state_not_made": _raw,
    "too_early": _early,
    "wrong_place": _wrong_place,
    "undone": _undo,
    "taken_away": _meddle,
}
"""Ways to make a wrong run from a right one. Each raises IndexError where it does not fit."""


_MEASURING = ("measure", "volts", "ohms", "test")


def _measures(item: Item) -> bool:
    """Whether an item is a measurement that evidence can name."""
    action = from_line(item.line) if item.line else Action("")
    looked = action.word == "look" and action.thing in ("latches", "lines")
    return looked or action.word in _MEASURING


def searched(items: Sequence[Item], rng: random.Random) -> list[Item]:
    """A search for a fault, gone about otherwise: what is measured in one place is measured in any order,
    some of it twice, and the evidence, put down in any order, still names the same measurements. What is read
    while a lever is held hangs on the moment: there the order stays."""
    named: dict[int, int] = {}
    runs: list[list[tuple[int, Item]]] = [[]]
    kinds: list[str] = [""]
    count, held = 0, False
    for item in items:
        action = from_line(item.line) if item.line else Action("")
        word = action.word
        if word == "lever":
            held = action.place != "block"
        at_rest = _measures(item) and word != "test" and not held
        kind = "measure" if at_rest else word if word == "evidence" else ""
        if kind != kinds[-1] or not kind:
            runs.append([])
            kinds.append(kind)
        if _measures(item):
            count += 1
        runs[-1].append((count if _measures(item) else 0, item))
    told: list[Item] = []
    count = 0
    for kind, run in zip(kinds, runs, strict=True):
        drawn = rng.sample(run, len(run)) if kind else run
        if kind == "measure" and rng.random() < 0.3:
            drawn.append(rng.choice(drawn))
        for number, item in drawn:
            if number:
                count += 1
                named[number] = count
            if kind == "evidence":
                amount = from_line(item.line).amount
                assert amount is not None
                item = Item(line=f"evidence: {named[amount // 1000]}")
            told.append(item)
    return told


def base(job: Job, rng: random.Random, answer: bool = False) -> tuple[Job, str, list[Item]]:
    """Draw a right run: the job as it is met, what it is in words, and its items; the answer, if asked for.

    Where a fault is to be found, one is drawn for the run and the order of its search.
    """
    if job.draws:
        job = job.drawn(rng.randrange(1 << 32))
        assert job.case.fault is not None
        items = list(orders.answer_items(job))
        return job, job.case.fault.name, items if answer else searched(items, rng)
    order = None if answer else orders.safe_order(job.case, rng)
    return job, ", ".join(order or job.answer), list(orders.answer_items(job, order))


def unsafe_items(case: Case, items: list[Item], rng: random.Random) -> tuple[str, str, list[Item]]:
    """Draw a wrong run out of a right one: names of its operators, what they changed, and its items.

    >>> from trainer.authoring.compile import load_job
    >>> job = load_job("first-week/couple")
    >>> unsafe_items(job.case, list(orders.answer_items(job)), random.Random(3))[0] in OPERATORS
    True
    """
    operators: list[str] = []
    edits: list[str] = []
    wanted = 2 if rng.random() < _SECOND_EDIT else 1
    while len(operators) < wanted:
        # Much of a search is measuring, where little can be hurt: there it is meddled with more.
        name = (
            "taken_away" if case.goal == "find" and rng.random() < _MEDDLED else rng.choice(list(OPERATORS))
        )
        try:
            told, items = OPERATORS[name](case, items, rng)
        except IndexError:
            continue
        operators.append(name)
        edits.append(told)
    return "+".join(operators), "; ".join(edits), items


# --- the audit --------------------------------------------------------------------------------------------


def draw(seed: int, *what: object) -> random.Random:
    """The lots for one run, the same in every process."""
    return random.Random(" ".join(map(str, (seed, *what))))  # noqa: S311  a draw, not a secret


_ANSWER = -1
"""Stands for the answer where right runs are numbered."""


class Bench:
    """Plays the runs of one job. What a wrong run has in common with the right one it was made from, as far
    as that was played here, is not played again: the outcome is the same, sooner."""

    def __init__(self, job: Job, seed: int) -> None:
        self.job, self.seed = job, seed
        self._stems: dict[int, Stem] = {}

    def safe(self, number: int) -> Audited:
        """Play a drawn safe order."""
        met, told, items = self._base(number)
        run, stem = _grown(met.case, met.rules, tuple(items))
        self._stems[number] = stem
        return audited(number, SAFE, told, run)

    def unsafe(self, number: int) -> Audited:
        """Play a wrong run, drawn from the answer or from the safe order of that number."""
        lots = draw(self.seed, self.job.name, "unsafe", number)
        answer = lots.random() < 0.5
        met, _, items = self._base(number, answer)
        kept = _ANSWER if answer and not self.job.draws else number
        if kept == _ANSWER and kept not in self._stems:
            self._stems[kept] = _grown(met.case, met.rules, tuple(items))[1]
        operator, edit, changed = unsafe_items(met.case, items, lots)
        return audited(number, operator, edit, watch(met.case, met.rules, changed, self._stems.get(kept)))

    def _base(self, number: int, answer: bool = False) -> tuple[Job, str, list[Item]]:
        return base(self.job, draw(self.seed, self.job.name, SAFE, number), answer)


def audited(number: int, operator: str, edit: str, run: Watched) -> Audited:
    done = tuple(as_line(entry.action) + (" refused" if entry.refused else "") for entry in run.log)
    marks = tuple(sorted(run.oracle.marks.values(), key=lambda mark: mark.tick))
    score = run.score()
    found = tuple(run.findings)
    return Audited(number, operator, edit, run.oracle.harm, marks, found, score.points, score.passed, done)


@dataclass(frozen=True, slots=True)
class Report:
    """What came of one job: its safe runs, and every distinct wrong run, harmless ones among them."""

    job: str
    seed: int
    safe: tuple[Audited, ...]
    wrong: tuple[Audited, ...]

    def of_class(self, harm: str) -> list[Audited]:
        """The wrong runs the oracle puts in a class."""
        return [run for run in self.wrong if run.harm == harm]

    @property
    def unsafe(self) -> list[Audited]:
        return [run for run in self.wrong if run.harm in (INJURY, DAMAGE)]

    @property
    def missed(self) -> list[Audited]:
        """Runs that hurt somebody or broke something, and no finding says so."""
        return [run for run in self.unsafe if not run.caught]

    @property
    def alarms(self) -> list[Audited]:
        """Safe orders that earned anything, and harmless runs that were failed."""
        return [run for run in (*self.safe, *self.wrong) if run.alarmed]

    @property
    def ok(self) -> bool:
        return not self.missed and not any(run.operator == SAFE for run in self.alarms)

    def by_criterion(self) -> dict[str, tuple[str, int, int, int]]:
        """For each criterion that was met: its class, runs that met it, those of them caught, and those
        where a finding of the criterion's own weight came within seconds of it."""
        told: dict[str, tuple[str, int, int, int]] = {}
        for run in self.wrong:
            for mark in run.marks:
                harm, met, caught, near = told.get(mark.criterion.name, (mark.criterion.harm, 0, 0, 0))
                told[mark.criterion.name] = (harm, met + 1, caught + run.caught, near + run.answered(mark))
        return dict(sorted(told.items()))

    def to_json(self) -> dict[str, Any]:
        """Return the report as plain values for `json.dumps`."""
        return {
            "job": self.job,
            "seed": self.seed,
            "ok": self.ok,
            "safe": len(self.safe),
            "wrong": len(self.wrong),
            "classes": {
                harm: {
                    "runs": len(self.of_class(harm)),
                    "caught": sum(run.caught for run in self.of_class(harm)),
                    "failed": sum(run.failed for run in self.of_class(harm)),
                    "passed": sum(run.passed for run in self.of_class(harm)),
                }
                for harm in CLASSES
            },
            "criteria": {
                name: {"harm": harm, "runs": met, "caught": caught, "at_once": near}
                for name, (harm, met, caught, near) in self.by_criterion().items()
            },
            "missed": [run.to_json() for run in self.missed],
            "alarms": [run.to_json() for run in self.alarms],
        }


def audit_job(job: Job, runs: int, seed: int, pool: Executor | None = None) -> Report:
    """Play `runs` safe orders and wrong runs until `runs` distinct ones did harm, or no more are found.

    Without a pool everything is played in this process, with the same outcome.
    """
    safe = _played(_safe_task, job, seed, range(runs), pool)
    wrong: dict[tuple[str, ...], Audited] = {}
    harmed = number = 0
    while harmed < runs and number < runs * _MOST_DRAWS:
        many = min(max(_BATCH, runs - harmed), runs * _MOST_DRAWS - number)
        for run in _played(_unsafe_task, job, seed, range(number, number + many), pool):
            if run.actions not in wrong and harmed < runs:
                wrong[run.actions] = run
                harmed += run.harm in (INJURY, DAMAGE)
        number += many
    return Report(job.name, seed, tuple(safe), tuple(wrong.values()))


def _played(
    task: Callable[[tuple[str, int, int]], Any],
    job: Job,
    seed: int,
    numbers: Sequence[int],
    pool: Executor | None,
) -> list[Any]:
    tasks = [(job.name, seed, number) for number in numbers]
    if pool is None:
        if _known.get(job.name) is not job:
            _benches.clear()
        _known[job.name] = job
        return [task(each) for each in tasks]
    return list(pool.map(task, tasks, chunksize=4))


_known: dict[str, Job] = {}
"""The jobs this process plays; a process of a pool is given them when it starts."""


def begin(texts: dict[str, dict[str, str]]) -> None:
    """Compile, in a process of a pool, the jobs it is to play: their names and `Job.files`."""
    for name, files in texts.items():
        _known[name] = compile_texts(name, files)


def workers(jobs: Sequence[Job], processes: int = PROCESSES) -> AbstractContextManager[Executor | None]:
    """A pool that plays these jobs, processes started afresh, the same on every system; one is this one."""
    if processes == 1:
        return nullcontext()
    texts = {job.name: job.files for job in jobs}
    return ProcessPoolExecutor(processes, get_context("spawn"), begin, (texts,))


def _bench(job: str, seed: int) -> Bench:
    """The bench of a job in this process; only the last one is kept, with what was played on it."""
    if (job, seed) not in _benches:
        _benches.clear()
        _benches[job, seed] = Bench(_known[job], seed)
    return _benches[job, seed]


_benches: dict[tuple[str, int], Bench] = {}


def _safe_task(task: tuple[str, int, int]) -> Audited:
    job, seed, number = task
    return _bench(job, seed).safe(number)


def _unsafe_task(task: tuple[str, int, int]) -> Audited:
    job, seed, number = task
    return _bench(job, seed).unsafe(number)


# --- anything at all --------------------------------------------------------------------------------------


def any_action(case: Case, rng: random.Random) -> Action:
    """Draw some action that names only what there is; the hand-in is left out so that a run goes on.

    >>> from trainer.authoring.compile import load_job
    >>> any_action(load_job("first-week/couple").case, random.Random(1)).word in WORDS
    True
    """
    choices: list[tuple[str, ...]] = []
    while not choices or not all(choices):  # a word may ask for what these machines do not have
        word = WORDS[rng.choice([name for name in WORDS if name != "hand_in"])]
        choices = [
            kind if isinstance(kind, tuple) else names_of(case, kind) if kind else ("",)
            for kind in (word.thing, word.place)
        ]
    names = [rng.choice(names) for names in choices]
    most = min(word.high, 60) if word.name == "wait" else word.high
    amount = rng.randint(word.low * 1000, most * 1000) if word.unit else None
    return Action(word.name, names[0], names[1], amount)


def random_run(job: Job, rng: random.Random, actions: int = _RANDOM_ACTIONS) -> list[str]:
    """Play drawn actions and return what does not hold: a refused action leaves the yard as it was, the
    score lies within 0 and 100, and the log played again gives the same digests and findings.

    One run in four begins somewhere within the answer, so that also a coupled pair meets anything.

    >>> from trainer.authoring.compile import load_job
    >>> random_run(load_job("first-week/uncouple"), random.Random(5), actions=10)
    []
    """
    job = job.drawn(rng.randrange(1 << 32))
    case, faults = job.case, []
    attempt = Attempt(case, job.rules)
    if rng.random() < 0.25:
        items = orders.answer_items(job)
        orders.play_on(attempt, items[: rng.randrange(len(items))])
    for _ in range(actions):
        attempt.settle()
        if attempt.state.ended:
            break
        action = any_action(case, rng)
        for _ in range(3):
            if legal(case, attempt.state, action) is None or rng.random() < 0.3:
                break
            action = any_action(case, rng)
        before = attempt.state
        if attempt.do(action) is not None and attempt.state != step(case, before)[0]:
            faults.append(f"{as_line(action)} was refused and yet did something")
    points = attempt.score().points
    if not 0 <= points <= 100:
        faults.append(f"{points} points")
    return [*faults, *_differs(attempt)]


def _differs(attempt: Attempt) -> Iterator[str]:
    """Play the log of an attempt again and tell where it goes another way."""
    again = Attempt(attempt.case, attempt.rules)
    for entry in attempt.log:
        again.run_to(entry.tick)
        again.do(entry.action)
        if again.log[-1] != entry:
            yield f"played again, {as_line(entry.action)} at tick {entry.tick} gives another state"
            return
    again.run_to(attempt.state.tick)
    if digest(again.state) != digest(attempt.state):
        yield "played again, it ends in another state"
    if again.findings != attempt.findings:
        yield "played again, other things are found"


def _random_task(task: tuple[str, int, int]) -> tuple[str, ...]:
    job, seed, number = task
    try:
        faults = random_run(_known[job], draw(seed, job, "random", number))
    except Exception as error:  # noqa: BLE001  any exception is what is looked for here
        faults = [f"{type(error).__name__}: {error}"]
    return tuple(f"{job}, sequence {number} of seed {seed}: {fault}" for fault in faults)


def audit_random(jobs: Sequence[Job], many: int, seed: int, pool: Executor | None = None) -> list[str]:
    """Play `many` drawn sequences of actions, shared out over the jobs, and return every fault."""
    faults: list[str] = []
    for index, job in enumerate(jobs):
        share = range(index, many, len(jobs))
        for told in _played(_random_task, job, seed, share, pool):
            faults.extend(told)
    return faults
