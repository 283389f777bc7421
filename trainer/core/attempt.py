"""A sitting: the state, what happened, what it means, and the log of actions that repeats it.

The window, replays, tests and bots drive this and nothing else.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Self

from trainer.core import faults
from trainer.core.actions import Action, Event, Refusal
from trainer.core.case import Case
from trainer.core.engine import digest, legal, skip, start, step
from trainer.core.rules import Finding, Memory, Rule, judge
from trainer.core.scoring import Score, UnplugWait, grade
from trainer.core.state import State


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the log: the action, the tick it was done at, the reason if it was refused, and the
    digest of the state after that tick."""

    tick: int
    action: Action
    refused: str
    digest: str


_SOUND = ""
"""The name under which `faults.rivals` gives the machines without any fault."""


class Attempt:
    """One trainee's run of one case. `do` and `run` are the only ways on."""

    def __init__(self, case: Case, rules: Sequence[Rule]) -> None:
        self.case = case
        self.rules = tuple(rules)
        self.state: State = start(case)
        self.events: list[Event] = []
        self.findings: list[Finding] = []
        self.log: list[Entry] = []
        self.wait = UnplugWait()
        self._memory = Memory()
        self.taken: list[faults.Taken] = []
        """The measurements in the order they were taken; evidence names them by their number from 1."""
        self._rivals: dict[str, Attempt] | None = None
        self._fresh = 0

    @property
    def present(self) -> Case:
        """The machines as they are now: sound again once a drawn fault is mended."""
        return faults.present(self.case, self.state)

    def do(self, action: Action) -> Refusal | None:
        """Do one action now; it takes one tick and its hands-busy time follows. Refused actions are
        logged too. After the end nothing is done or logged."""
        if self.state.ended:
            return Refusal("ended")
        refusal = legal(self.case, self.state, action)
        tick = self.state.tick
        self._step((action,))
        seen = len(self.events) - self._fresh
        measured = faults.taken(len(self.log), tuple(self.events[seen:]))
        if measured is not None:
            self.taken.append(measured)
        self.log.append(Entry(tick, action, refusal.reason if refusal else "", digest(self.state)))
        return refusal

    def run(self, ticks: int = 1) -> None:
        """Let time pass; stops at the end of the attempt."""
        goal = self.state.tick + ticks
        while self.state.tick < goal and not self.state.ended:
            before = self.state
            self.state = skip(before, goal - before.tick)
            self.wait = self.wait.after(before, self.state)
            if self.state.tick < goal:
                self._step(())

    def run_to(self, tick: int) -> None:
        """Let time pass up to a tick."""
        self.run(max(0, tick - self.state.tick))

    def settle(self) -> None:
        """Let time pass until the hands are free."""
        self.run_to(self.state.busy_until)

    def fork(self) -> Self:
        """A second attempt that stands where this one stands; from here on each goes its own way."""
        twin = type(self).__new__(type(self))
        twin.case, twin.rules, twin.state, twin.wait = self.case, self.rules, self.state, self.wait
        twin.events, twin.findings, twin.log = list(self.events), list(self.findings), list(self.log)
        twin._memory = self._memory.copy()  # noqa: SLF001  a twin is one of us
        twin.taken, twin._rivals, twin._fresh = list(self.taken), None, 0  # noqa: SLF001
        return twin

    def score(self) -> Score:
        return grade(self.case, self.findings, self.state, self.wait.ticks)

    def _step(self, actions: tuple[Action, ...]) -> None:
        before = self.state
        self.state, events = step(self.case, before, actions)
        self._fresh = len(events)
        self.wait = self.wait.after(before, self.state, events)
        if not events:
            return
        events = tuple(self._weighed(event, before) if event.kind == "named" else event for event in events)
        self.events.extend(events)
        blamed = [event for event in events if not self._by_fault_alone(event, before, actions)]
        self.findings.extend(judge(self.rules, blamed, self.case.goal, self._memory))

    def _by_fault_alone(self, event: Event, before: State, actions: tuple[Action, ...]) -> bool:
        """Whether a harm comes from the drawn fault and from nothing that was done: the sound machine, with
        the same done to it at the same ticks, does not tell it. Once the fault is found it is known."""
        if self.case.fault is None or before.found or before.mended or event.kind not in faults.OWN_HARM:
            return False
        sound = self._beside()[_SOUND]
        self._follow(sound)
        if actions and sound.state.tick <= before.tick:
            sound.run_to(before.tick)
            sound.do(actions[0])
        sound.run_to(self.state.tick)
        return not any(
            (told.kind, told.thing, told.place) == (event.kind, event.thing, event.place)
            for told in sound.events
        )

    def _beside(self) -> dict[str, Attempt]:
        """The other machines it might have been, each with the same done to it."""
        if self._rivals is None:
            self._rivals = {name: Attempt(case, ()) for name, case in faults.rivals(self.case).items()}
        return self._rivals

    def _follow(self, rival: Attempt) -> None:
        """Do to that machine what was done to this one since."""
        for entry in self.log[len(rival.log) :]:
            rival.run_to(entry.tick)
            if rival.state.ended:
                break
            rival.do(entry.action)

    def not_told_apart(self, numbers: Sequence[int]) -> tuple[str, ...]:
        """Names of the faults of this job ('' for none at all) that these measurements, by their numbers,
        leave open beside the one that is there: on such a machine each would have come out the same.

        The same actions are done at the same ticks on each of those machines, so a measurement may tell by
        what was done before it too.
        """
        shown = [self.taken[number - 1] for number in numbers if 1 <= number <= len(self.taken)]
        open_still = []
        for name, rival in self._beside().items():
            self._follow(rival)
            there = {taken.entry: taken for taken in rival.taken}
            if not any(faults.apart(one, there.get(one.entry)) for one in shown):
                open_still.append(name)
        return tuple(open_still)

    def _weighed(self, event: Event, before: State) -> Event:
        """A naming with the number of other faults that its evidence leaves open: what only the whole
        record can tell, and no tick by itself."""
        open_still = len(self.not_told_apart(before.cited)) if event.value("right_count") else 0
        values = tuple((name, open_still if name == "open_count" else value) for name, value in event.values)
        return replace(event, values=values)


def play(case: Case, rules: Sequence[Rule], actions: Iterable[Action]) -> Attempt:
    """Do one action after another, each as soon as the hands are free."""
    attempt = Attempt(case, rules)
    for action in actions:
        attempt.settle()
        attempt.do(action)
    attempt.settle()
    return attempt
