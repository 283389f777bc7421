"""A sitting: the state, what happened, what it means, and the log of actions that repeats it.

The window, replays, tests and bots drive this and nothing else.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

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

    def do(self, action: Action) -> Refusal | None:
        """Do one action now; it takes one tick and its hands-busy time follows. Refused actions are
        logged too. After the end nothing is done or logged."""
        if self.state.ended:
            return Refusal("ended")
        refusal = legal(self.case, self.state, action)
        tick = self.state.tick
        self._step((action,))
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

    def fork(self) -> Attempt:
        """A second attempt that stands where this one stands; from here on each goes its own way."""
        twin = Attempt.__new__(Attempt)
        twin.case, twin.rules, twin.state, twin.wait = self.case, self.rules, self.state, self.wait
        twin.events, twin.findings, twin.log = list(self.events), list(self.findings), list(self.log)
        twin._memory = self._memory.copy()  # noqa: SLF001  a twin is one of us
        return twin

    def score(self) -> Score:
        return grade(self.case, self.findings, self.state, self.wait.ticks)

    def _step(self, actions: tuple[Action, ...]) -> None:
        before = self.state
        self.state, events = step(self.case, before, actions)
        self.wait = self.wait.after(before, self.state, events)
        if not events:
            return
        self.events.extend(events)
        self.findings.extend(judge(self.rules, events, self.case.goal, self._memory))


def play(case: Case, rules: Sequence[Rule], actions: Iterable[Action]) -> Attempt:
    """Do one action after another, each as soon as the hands are free."""
    attempt = Attempt(case, rules)
    for action in actions:
        attempt.settle()
        attempt.do(action)
    attempt.settle()
    return attempt
