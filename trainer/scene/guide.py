"""Which steps of a job are done and which are safe to do next, read off the yard's own conditions.

A step counts as done from the moment at which its conditions held while every step before it was done; it
stays done when a later step undoes a condition on purpose (the engine is started again). What has to be made
good once more for a step at hand is asked of the yard afresh each time.

A step whose conditions hold before anything was done (the engine stands, the key is out) keeps no other step
waiting, but nobody has done it yet: it counts once its conditions were lost and hold again after every step
listed before it. A step without conditions, the hand-over, is done by handing in.
"""

from __future__ import annotations

from trainer.core.actions import CONDITIONS, mask
from trainer.core.attempt import Attempt
from trainer.core.case import Case, Edge, Step
from trainer.core.readings import standing

READY: dict[str, tuple[str, ...]] = {
    "": (),
    "ground": ("engine_off", "brake_set", "key_out", "fan_still"),
    "key_on": ("seated", "engine_off"),
    "running": ("seated", "running", "brake_set"),
}


LOOK_TICKS = 20
"""How often the yard is looked at while time passes; it is looked at after every action too."""


HANDED_IN = "handed in"
"""How an attempt ends that was handed in."""


def _holds(step: Step, bits: int) -> bool:
    wanted = mask(*step.done)
    return bits & wanted == wanted


class Guide:
    """Follows one attempt; `see` is told how things stand whenever something happened."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.done: set[str] = set()
        self.given: set[str] = set()
        """Steps among the done that held from the start and were not yet called for."""
        self._lost: set[str] = set()
        self._begun = False

    @property
    def count(self) -> int:
        """How many steps were done in this attempt; all of them where nothing is left to do."""
        return len(self.done) - len(self.given if self.next_steps() else ())

    @classmethod
    def after(cls, attempt: Attempt) -> Guide:
        """The guide as it stands now in an attempt that was begun earlier: its log is run once more."""
        guide = cls(attempt.case)
        again = Attempt(attempt.case, ())
        guide.look(again)
        for entry in attempt.log:
            guide._pass_time(again, entry.tick)
            guide.look(again)
            again.do(entry.action)
            guide.look(again)
        guide._pass_time(again, attempt.state.tick)
        return guide

    def _pass_time(self, attempt: Attempt, until_tick: int) -> None:
        while attempt.state.tick < until_tick and not attempt.state.ended:
            attempt.run_to(min(until_tick, (attempt.state.tick // LOOK_TICKS + 1) * LOOK_TICKS))
            self.look(attempt)

    def look(self, attempt: Attempt) -> bool:
        """See how things stand once the hands are free: what has only been begun is not done."""
        state = attempt.state
        if state.busy_until > state.tick and not state.ended:
            return False
        return self.see(standing(attempt.case, state), state.ended == HANDED_IN)

    def see(self, bits: int, handed_in: bool = False) -> bool:
        """Take how things stand (bits of `CONDITIONS`); True where a step became done."""
        grown = self._called_for(bits)
        again = True
        while again:
            again = False
            for step in self.case.steps:
                if step.name in self.done or not self._open(step):
                    continue
                if _holds(step, bits) if step.done else handed_in:
                    self.done.add(step.name)
                    grown = again = True
        if not self._begun:
            self._begun = True
            self.given = set(self.done)
        return grown

    def _called_for(self, bits: int) -> bool:
        """Count steps that held from the start, were lost on the way and have been made good in turn."""
        grown = False
        listed_before: list[str] = []
        for step in self.case.steps:
            if step.name in self.given:
                if not _holds(step, bits):
                    self._lost.add(step.name)
                elif step.name in self._lost and self.done.issuperset(listed_before):
                    self.given.discard(step.name)
                    grown = True
            listed_before.append(step.name)
        return grown

    def next_steps(self) -> list[Step]:
        """Steps not done of which every step before is done, in the order of the job."""
        return [step for step in self.case.steps if step.name not in self.done and self._open(step)]

    def reason(self, step: Step) -> Edge | None:
        """Why this step comes now: the gravest reason of those that a later step names for it."""
        found = [
            edge
            for later in self.case.steps
            for edge in later.after
            if edge.before == step.name and later.name not in self.done
        ]
        order = "IDF"
        return min(found, key=lambda edge: order.find(edge.kind) % (len(order) + 1), default=None)

    def missing(self, step: Step, bits: int) -> tuple[str, ...]:
        """Conditions to make good before this step is begun."""
        wanted = dict.fromkeys((*READY.get(step.ready, ()), *step.also))
        return tuple(name for name in wanted if not bits >> CONDITIONS.index(name) & 1)

    def _open(self, step: Step) -> bool:
        return all(edge.before in self.done for edge in step.after)
