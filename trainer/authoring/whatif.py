"""What would have happened: an attempt run again with one step put right, for each mistake that was found.

An attempt is repeated from its log with one edit. Edits are tried from the plain to the roundabout: leave an
action out, do what the answer does in its place, put in what is missing, do a thing earlier or later, make
good what the rule asks for, do the step first that it guards. Of those in which the mistake is gone and
nothing as bad comes instead, the one that ends best is told, the plainer one of equals. Where none does, one
step does not put it right, and that is told.

Later actions keep their own pauses: each waits for the hands as it did, so that all of them shift by the time
the edit takes. What was refused is tried again all the same.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from trainer.authoring.compile import Job
from trainer.authoring.orders import actions_of, answer_items, ready_actions
from trainer.core.actions import Action, as_line, from_line
from trainer.core.attempt import Attempt
from trainer.core.case import Step
from trainer.core.readings import readings
from trainer.core.rules import SEVERITIES, Finding, Rule
from trainer.core.scoring import Score, sum_whole
from trainer.core.state import State, Working
from trainer.core.units import TICKS_PER_S, rev_min

_MOST_EARLIER = 10
_MOST_MISSING = 14
_REWIND_TICKS = 5 * TICKS_PER_S
_NOT_A_DEED = ("go", "wait", "read")
_MADE_GOOD = {
    "engine_off": "ground",
    "brake_set": "ground",
    "key_out": "ground",
    "fan_still": "ground",
    "pto_off": "ground",
    "seated": "running",
    "running": "running",
    "area_clear": "area_clear",
    "waited": "waited",
    "supplies_down": "supplies_down",
    "bled": "bled",
    "no_pressure_here": "bled",
}
"""Condition a rule asks for -> the state of the yard (`orders.ready_actions`) in which it stands."""

_OF_FUNCTION: dict[str, Callable[[Working], int]] = {
    "case_pa": lambda work: work.case_pa,
    "return_pa": lambda work: work.return_pa,
    "rod_side_pa": lambda work: work.rod_side_pa,
    "speed_rev_min": lambda work: rev_min(work.speed_mrad_s),
}
"""Measures of events that tell of one function -> how it stands with it now."""

_Maker = Callable[[Attempt], Iterator[Action]]


@dataclass(frozen=True, slots=True)
class Edit:
    """The one thing done otherwise.

    `kind` is `left_out` (`did` was not done), `instead` (`put` in place of `did`), `first` (`put` before
    `did`), `later` (`did` only after `put`) or `added` (`put` after `did`, where the answer has it). `step`
    names the step that `put` belongs to, where it is one whole step. `at` is the place in the log.
    """

    kind: str
    at: int
    did: tuple[Action, ...]
    put: tuple[Action, ...] = ()
    step: str = ""

    def __str__(self) -> str:
        """As lines of an action list.

        >>> str(Edit("left_out", 3, (Action("go", "panel"),)))
        "left out 'go: panel'"
        """
        did = ", ".join(as_line(action) for action in self.did)
        put = ", ".join(as_line(action) for action in self.put)
        return {
            "left_out": f"left out '{did}'",
            "instead": f"'{put}' instead of '{did}'",
            "first": f"'{put}' done before '{did}'",
            "later": f"'{did}' done after '{put}'",
            "added": f"'{put}' done after '{did}'",
        }[self.kind]


@dataclass(frozen=True, slots=True)
class Alternative:
    """One mistake, and how the attempt would have ended without it.

    `edit` is None where one step does not put it right; then the other fields repeat the attempt itself.
    `measured` is what the finding's measure comes to in the other ending, in its quantum; None where what
    it was measured at does not come about there.
    """

    finding: Finding
    edit: Edit | None
    score: Score
    findings: tuple[Finding, ...]
    measured: int | None
    end_tick: int

    @property
    def found(self) -> bool:
        return self.edit is not None


def alternatives(
    job: Job, attempt: Attempt, wanted: Callable[[], bool] = lambda: True
) -> tuple[Alternative, ...]:
    """For each mistake of its own (findings without a root), the attempt with it put right.

    `wanted` is asked between tries; once it says no, what is found by then is returned.

    >>> from trainer.authoring.compile import load_job
    >>> from trainer.authoring.orders import play_items, slip_items
    >>> job = load_job("first-week/couple")
    >>> attempt = play_items(job.case, job.rules, slip_items(job, "dial_read_as_flow"))
    >>> other, = alternatives(job, attempt)
    >>> str(other.edit), attempt.score().points, other.score.points
    ("'dial: v1 to 6' instead of 'dial: v1 to 10'", 92, 100)
    """
    return tuple(each_alternative(job, attempt, wanted))


def each_alternative(
    job: Job, attempt: Attempt, wanted: Callable[[], bool] = lambda: True
) -> Iterator[Alternative]:
    """As `alternatives`, one at a time: working one out takes up to some seconds."""
    roots = [finding for finding in attempt.findings if not finding.root]
    if not roots:
        return
    rerun = _Rerun(job, attempt)
    for finding in roots:
        if wanted():
            yield rerun.put_right(finding, wanted)


def rewind_tick(attempt: Attempt, finding: Finding) -> int:
    """The tick to try again from: that of the last action begun at least 5 s before the finding, so that it
    can be done otherwise too; 0 where there is none.

    >>> from trainer.authoring.compile import load_job
    >>> job = load_job("first-week/couple")
    >>> attempt = Attempt(job.case, job.rules)
    >>> for line in ("go: seat", "key: on", "engine: start", "wait: 20 s", "go: hitch"):
    ...     attempt.settle()
    ...     _ = attempt.do(from_line(line))
    >>> rewind_tick(attempt, attempt.findings[0]) == attempt.log[3].tick
    True
    """
    latest = finding.tick - _REWIND_TICKS
    return max((entry.tick for entry in attempt.log if entry.tick <= latest), default=0)


# --- one edited run -----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Change:
    """An edit as it is run: places of the log left out or done otherwise, and what goes in before a place."""

    kind: str
    did: tuple[int, ...]
    put: tuple[Action, ...] = ()
    skip: tuple[int, ...] = ()
    swap: tuple[tuple[int, Action], ...] = ()
    before: int = -1
    maker: _Maker | None = field(default=None, compare=False)
    step: str = ""
    seat: int = -1
    """Where the trainee next sits in the cab, and finds it as it was then."""
    way: str = ""
    """Tells apart changes that put the same in by other ways."""

    @property
    def at(self) -> int:
        """The first place of the log that is not as it was."""
        return min([*self.skip, *(place for place, _ in self.swap), *([self.before] if self.maker else [])])


@dataclass(frozen=True, slots=True)
class _Answered:
    """An action of the answer, with its step and where the trainee stands for it."""

    step: str
    action: Action
    station: str


class _Rerun:
    """An attempt with how it stood before each of its actions, to start edited runs from."""

    def __init__(self, job: Job, attempt: Attempt) -> None:
        self.attempt, self.case, self.log = attempt, attempt.case, attempt.log
        self.rules = {rule.name: rule for rule in attempt.rules}
        self.steps = {step.name: step for step in self.case.steps}
        self.cost = _cost(attempt)
        self.answer = _answered(job)
        answered = Counter(one.action for one in self.answer)
        done: Counter[Action] = Counter()
        self.extra: list[int] = []
        for place, entry in enumerate(self.log):
            done[entry.action] += 1
            if entry.action.word != "wait" and done[entry.action] > answered[entry.action]:
                self.extra.append(place)
        self.extra += [
            place
            for place, entry in enumerate(self.log)
            if place not in self.extra and entry.action in {self.log[other].action for other in self.extra}
        ]
        self.missing: list[int] = []
        seen: Counter[Action] = Counter()
        for number, one in enumerate(self.answer):
            seen[one.action] += 1
            if one.action.word not in ("go", "wait", "hand_in") and seen[one.action] > done[one.action]:
                self.missing.append(number)
        self.before: list[Attempt] = []
        self.pause: list[int] = []
        again = Attempt(attempt.case, attempt.rules)
        for entry in self.log:
            self.pause.append(entry.tick - max(again.state.tick, again.state.busy_until))
            self.before.append(again.fork())
            again.run_to(entry.tick)
            again.do(entry.action)
        self.pause.append(attempt.state.tick - max(again.state.tick, again.state.busy_until))

    def put_right(self, finding: Finding, wanted: Callable[[], bool]) -> Alternative:
        """The attempt without this finding."""
        best: tuple[int, _Change, tuple[Action, ...], Attempt] | None = None
        tried: set[_Change] = set()
        for change in self._changes(finding):
            if change in tried or not wanted():
                continue
            tried.add(change)
            run = self._run(change, finding)
            if run is None or not self._better(run[0], finding):
                continue
            other, put = run
            cost = _cost(other)
            if cost < (best[0] if best is not None else self.cost):
                best = cost, change, put, other
                if self._clean(other):
                    break
        if best is None:
            told = tuple(self.attempt.findings)
            end_tick = self.attempt.state.tick
            return Alternative(finding, None, self.attempt.score(), told, finding.measured, end_tick)
        _, change, put, other = best
        did = tuple(self.log[place].action for place in change.did)
        edit = Edit(change.kind, change.at, did, change.put or _with_waits_as_one(put), change.step)
        measured = _measured(self.rules[finding.rule], finding, self.before[change.at], other)
        return Alternative(finding, edit, other.score(), tuple(other.findings), measured, other.state.tick)

    def _clean(self, other: Attempt) -> bool:
        """Whether nothing was found in the other run that was not found in the attempt too."""
        known = {one.rule for one in self.attempt.findings}
        return all(one.rule in known for one in other.findings)

    def _better(self, other: Attempt, finding: Finding) -> bool:
        """Whether nothing as bad came in place of the mistake, and the job was still handed in."""
        if self.attempt.state.ended == "handed in" != other.state.ended:
            return False
        known = {(one.rule, one.thing) for one in self.attempt.findings}
        bad = SEVERITIES.index(finding.severity)
        return all(
            one.root or (one.rule, one.thing) in known or SEVERITIES.index(one.severity) > bad
            for one in other.findings
        )

    def _run(self, change: _Change, finding: Finding) -> tuple[Attempt, tuple[Action, ...]] | None:
        """The edited run and what was put in; None where the finding comes all the same."""
        other = self.before[change.at].fork()
        swap = dict(change.swap)
        put: list[Action] = []
        for place in range(change.at, len(self.log) + 1):
            if place == change.before and change.maker is not None:
                put.extend(_do_all(other, change.maker))
            if place == change.seat:
                then = self.before[place].state
                for _ in _do_all(other, lambda attempt, then=then: _cab_as(attempt, then)):  # type: ignore[misc]
                    pass
            if place == len(self.log) or other.state.ended or _has(other, finding):
                break
            if place in change.skip:
                continue
            entry = self.log[place]
            action = swap.get(place, entry.action)
            if entry.refused == "busy":
                other.run(max(0, entry.tick - (self.log[place - 1].tick if place else -1) - 1))
            elif action == Action("go", other.state.station) and not entry.refused:
                continue
            else:
                other.settle()
                other.run(max(0, self.pause[place]))
            other.do(action)
        other.settle()
        other.run(max(0, self.pause[-1]))
        return None if _has(other, finding) else (other, tuple(put))

    # - what may be done otherwise

    def _changes(self, finding: Finding) -> Iterator[_Change]:
        """Every edit worth a try, from the plain to the roundabout."""
        at = max((place for place, entry in enumerate(self.log) if entry.tick <= finding.tick), default=-1)
        if at < 0:
            return
        rule = self.rules[finding.rule]
        near = [place for place in sorted(self.extra, reverse=True) if place < at][:_MOST_EARLIER]
        if at in self.extra:
            yield _left_out(at)
            yield from self._instead(at)
        for place in near:
            yield from self._instead(place)
        for place in near:
            yield _left_out(place)
        asked_for = list(dict.fromkeys(_MADE_GOOD[need] for need in rule.needs if need in _MADE_GOOD))
        yield from self._made_good(asked_for, at)
        yield from self._put_in(rule, at)
        yield from self._moved(at)
        yield from self._steps_first(rule, at)
        yield from self._made_good([state for state in ("ground", "bled") if state not in asked_for], at)
        yield from self._step_as_answered(near)
        yield _left_out(at)

    def _instead(self, place: int) -> Iterator[_Change]:
        """What the answer does with the same thing; where two were changed over, both."""
        did = self.log[place].action
        if did.word in _NOT_A_DEED:
            return
        answered = [one.action for one in self.answer]
        for right in self._answers(did):
            for other in self.extra:
                back = replace(self.log[other].action, place=did.place)
                taken = right.place and self.log[other].action.place == right.place
                if other != place and taken and back in answered:
                    swap = tuple(sorted([(place, right), (other, back)], key=lambda pair: pair[0]))
                    places = tuple(one for one, _ in swap)
                    yield _Change("instead", places, tuple(action for _, action in swap), swap=swap)
            yield _Change("instead", (place,), (right,), swap=((place, right),))

    def _answers(self, did: Action) -> list[Action]:
        """The answer's actions with the same word and thing, those first that were never done."""
        same = dict.fromkeys(
            one.action
            for one in self.answer
            if (one.action.word, one.action.thing) == (did.word, did.thing) and one.action != did
        )
        missing = [self.answer[number].action for number in self.missing]
        return sorted(same, key=lambda action: action not in missing)

    def _put_in(self, rule: Rule, at: int) -> Iterator[_Change]:
        """What the answer does and the attempt did not: one action, or all that is missing of a step."""
        about = self._about(rule)
        numbers = sorted(self.missing, key=lambda number: self.answer[number].step not in about)
        for number in numbers[:_MOST_MISSING]:
            yield self._added((number,), at)
        groups: dict[str, list[int]] = {}
        for number in numbers:
            groups.setdefault(self.answer[number].step, []).append(number)
        for step, group in groups.items():
            deeds = [one for one in self.answer if one.step == step and one.action.word not in _NOT_A_DEED]
            if len(group) >= len(deeds):
                yield from self._whole_step(self.steps[step], at)
            elif len(group) > 1:
                yield self._added(tuple(group), at)

    def _about(self, rule: Rule) -> list[str]:
        """Steps that the rule is about: those it wants first, and those that bring its conditions about."""
        names = [edge.partition("<")[0] for edge in rule.guards]
        return names + [step.name for step in self.case.steps if set(step.done) & set(rule.needs)]

    def _added(self, numbers: tuple[int, ...], at: int) -> _Change:
        """Actions of the answer put in where the answer has them, at the latest before `at`."""
        after = self._place_after(numbers[0])
        place = min(at, after + 1)
        ones = [self.answer[number] for number in numbers]
        actions = tuple(one.action for one in ones)

        def make(attempt: Attempt) -> Iterator[Action]:
            was = attempt.state
            for one in ones:
                if attempt.state.station != one.station:
                    yield Action("go", one.station)
                yield one.action
            yield from _back(attempt, was)

        kind, did = ("added", after) if 0 <= after < at else ("first", place)
        return _Change(kind, (did,), actions, before=place, maker=make)

    def _place_after(self, number: int) -> int:
        """Place in the log of what the answer does last before this action; -1 where none of it was done."""
        for earlier in range(number - 1, -1, -1):
            action = self.answer[earlier].action
            if action.word in ("go", "wait"):
                continue
            nth = [one.action for one in self.answer[: earlier + 1]].count(action)
            places = [n for n, entry in enumerate(self.log) if entry.action == action and not entry.refused]
            if nth <= len(places):
                return places[nth - 1]
        return -1

    def _moved(self, at: int) -> Iterator[_Change]:
        """A later action of the same step done before; or this one done after what comes before it."""
        did = self.log[at].action
        place_in = {one.action: number for number, one in reversed(list(enumerate(self.answer)))}
        if did not in place_in or did.word in _NOT_A_DEED:
            return
        here = place_in[did]
        step = self.answer[here].step
        for place in range(at + 1, len(self.log)):
            action = self.log[place].action
            number = place_in.get(action, here)
            if action.word == did.word and number < here and self.answer[number].step == step:
                station = self.answer[number].station

                def make(
                    attempt: Attempt, action: Action = action, station: str = station
                ) -> Iterator[Action]:
                    was = attempt.state
                    if was.station != station:
                        yield Action("go", station)
                    yield action
                    yield from _back(attempt, was)

                yield _Change("first", (at,), (action,), skip=(place,), before=at, maker=make)
        last = self._place_after(here)
        if last > at:

            def again(_: Attempt) -> Iterator[Action]:
                yield did

            after = (self.log[last].action,)
            yield _Change("later", (at,), after, skip=(at,), before=last + 1, maker=again)

    def _made_good(self, states: Sequence[str], at: int) -> Iterator[_Change]:
        """One of these states of the yard brought about before the action."""
        for state in states:
            for way, cab, seat in self._ways(at):

                def make(attempt: Attempt, state: str = state, cab: bool = cab) -> Iterator[Action]:
                    was = attempt.state
                    if state in ("ground", "key_on", "running"):
                        yield from ready_actions(attempt, state)
                    else:
                        yield from ready_actions(attempt, "", (state,))
                    yield from _back(attempt, was, cab)

                yield _Change("first", (at,), before=at, maker=make, seat=seat, way=f"{state} {way}")

    def _ways(self, at: int) -> Iterator[tuple[str, bool, int]]:
        """How to go on after something put in: as the yard then is; with the cab as it was, at once or later.

        (name, whether at once, place of the log where later).
        """
        yield "as it is", False, -1
        yield "at once", True, -1
        places = range(at + 1, len(self.log))
        seat = next((place for place in places if self.before[place].state.station == "seat"), -1)
        if seat >= 0:
            yield "later", False, seat

    def _steps_first(self, rule: Rule, at: int) -> Iterator[_Change]:
        """A whole step that the rule wants done before."""
        for name in dict.fromkeys(self._about(rule)):
            if name in self.steps:
                yield from self._whole_step(self.steps[name], at)

    def _whole_step(self, step: Step, at: int) -> Iterator[_Change]:
        """A step done where the answer has it, at the latest before `at`; or directly before `at`."""
        actions = [from_line(line) for line in step.actions]
        if any(action.word == "hand_in" for action in actions):
            return
        first = next(number for number, one in enumerate(self.answer) if one.step == step.name)
        for place in dict.fromkeys((min(at, self._place_after(first) + 1), at)):
            for way, cab, seat in self._ways(place):

                def make(attempt: Attempt, cab: bool = cab) -> Iterator[Action]:
                    was = attempt.state
                    yield from ready_actions(attempt, step.ready, step.also)
                    for action in actions:
                        if action != Action("go", attempt.state.station):
                            yield action
                    yield from _back(attempt, was, cab)

                yield _Change("first", (place,), before=place, maker=make, seat=seat, step=step.name, way=way)

    def _step_as_answered(self, places: Sequence[int]) -> Iterator[_Change]:
        """All that was done otherwise with the things of one step, done as the answer has it."""
        groups: dict[str, dict[int, Action]] = {}
        for place in places:
            for right in self._answers(self.log[place].action)[:1]:
                step = next(one.step for one in self.answer if one.action == right)
                groups.setdefault(step, {})[place] = right
        for step, group in groups.items():
            swap = tuple(sorted(group.items(), key=lambda pair: pair[0]))
            if len(swap) > 1:
                places_did = tuple(place for place, _ in swap)
                put = tuple(action for _, action in swap)
                yield _Change("instead", places_did, put, swap=swap, way=step)


def _left_out(place: int) -> _Change:
    return _Change("left_out", (place,), skip=(place,))


def _answered(job: Job) -> list[_Answered]:
    """The answer as it is played, with what brings its ready states about."""
    attempt = Attempt(job.case, job.rules)
    step, played = "", []
    for item in answer_items(job):
        step = item.step or step
        for action in actions_of(attempt, item):
            attempt.settle()
            played.append(_Answered(step, action, attempt.state.station))
            attempt.do(action)
            attempt.settle()
    return played


def _cost(attempt: Attempt) -> int:
    """Points taken, also those below nought."""
    return sum_whole(attempt.score().deductions)


def _has(attempt: Attempt, finding: Finding) -> bool:
    return any((one.rule, one.thing) == (finding.rule, finding.thing) for one in attempt.findings)


def _do_all(attempt: Attempt, maker: _Maker) -> Iterator[Action]:
    """Do what is put in, each action chosen once the one before it is done."""
    for action in maker(attempt):
        attempt.settle()
        attempt.do(action)
        attempt.settle()
        yield action


def _with_waits_as_one(actions: Sequence[Action]) -> tuple[Action, ...]:
    """Waits that follow each other told as one."""
    told: list[Action] = []
    for action in actions:
        if action.word == "wait" and told and told[-1].word == "wait":
            told[-1] = Action("wait", amount=(told[-1].amount or 0) + (action.amount or 0))
        else:
            told.append(action)
    return tuple(told)


def _back(attempt: Attempt, was: State, cab: bool = False) -> Iterator[Action]:
    """Back to where the trainee stood; with `cab` the engine and the levers as they were, too."""
    if cab:
        yield from _cab_as(attempt, was)
    if attempt.state.station != was.station:
        yield Action("go", was.station)


def _cab_as(attempt: Attempt, was: State) -> Iterator[Action]:
    valves = attempt.case.tractor.valves
    if was.engine and not attempt.state.engine:
        yield from ready_actions(attempt, "running")
    elif attempt.state.engine and not was.engine:
        yield from ready_actions(attempt, "key_on" if was.key == "on" else "ground")
    now = attempt.state
    wanted: list[Action] = []
    if now.key != was.key:
        wanted.append(Action("key", was.key))
    if was.engine and now.throttle_mrev_min != was.throttle_mrev_min:
        wanted.append(Action("throttle", amount=was.throttle_mrev_min))
    for valve, before, after in zip(valves, was.levers, now.levers, strict=True):
        if before != after:
            wanted.append(Action("lever", valve.name, before))
    if now.brake != was.brake:
        wanted.append(Action("brake", "set" if was.brake else "release"))
    if wanted and now.station != "seat":
        yield Action("go", "seat")
    yield from wanted


# --- the number in the other ending -------------------------------------------------------------------------


def _measured(rule: Rule, finding: Finding, since: Attempt, other: Attempt) -> int | None:
    """What the finding's measure came to: where the rule looked again, or else at its worst over time."""
    looked = [event for event in other.events[len(since.events) :] if event.kind == rule.on]
    for chosen in (
        [event for event in looked if (event.thing, event.place) == (finding.thing, finding.place)],
        [event for event in looked if event.thing == finding.thing],
    ):
        if chosen:
            return _worst(rule, finding, [event.value(rule.measure) for event in chosen])
    if rule.needs:
        return None
    values = list(_over_time(rule.measure, finding.thing, since, other))
    worst = _worst(rule, finding, values) if values else None
    if worst is None or _beyond(rule, finding, worst) > 0:
        return None
    return worst


def _worst(rule: Rule, finding: Finding, values: Sequence[int]) -> int:
    return max(values, key=lambda value: _beyond(rule, finding, value))


def _beyond(rule: Rule, finding: Finding, value: int) -> int:
    """How far a value lies beyond the limit; negative within it."""
    if rule.bound == "least":
        return finding.limit - value
    if rule.bound == "within":
        return max(rule.low - value, value - rule.high)
    return value - finding.limit


def _over_time(measure: str, thing: str, since: Attempt, other: Attempt) -> Iterator[int]:
    """A reading of the yard or of one function, once a second from where the two runs part."""
    again = since.fork()
    function = again.case.function(thing)
    if measure not in readings(again.case, again.state) and (function < 0 or measure not in _OF_FUNCTION):
        return
    ticks = [entry.tick for entry in other.log[len(since.log) :]]
    for tick in [*ticks, other.state.tick]:
        while again.state.tick < tick and not again.state.ended:
            again.run_to(min(tick, again.state.tick + TICKS_PER_S))
            if function >= 0 and measure in _OF_FUNCTION:
                yield _OF_FUNCTION[measure](again.state.works[function])
            else:
                yield readings(again.case, again.state)[measure]
        if len(again.log) < len(other.log):
            again.do(other.log[len(again.log)].action)
