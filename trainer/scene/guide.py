"""Which steps of a job are done and which are safe to do next, read off the yard's own conditions.

A step counts as done from the moment at which its conditions held while every step before it was done; it
stays done when a later step undoes a condition on purpose (the engine is started again). What has to be made
good once more for a step at hand is asked of the yard afresh each time.
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


class Guide:
    """Follows one attempt; `see` is told how things stand whenever something happened."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.done: set[str] = set()

    @classmethod
    def after(cls, attempt: Attempt) -> Guide:
        """The guide as it stands now in an attempt that was begun earlier: its log is run once more."""
        guide = cls(attempt.case)
        again = Attempt(attempt.case, ())
        guide.see(standing(again.case, again.state))
        for entry in attempt.log:
            guide._pass_time(again, entry.tick)
            again.do(entry.action)
            guide.see(standing(again.case, again.state))
        guide._pass_time(again, attempt.state.tick)
        return guide

    def _pass_time(self, attempt: Attempt, until_tick: int) -> None:
        while attempt.state.tick < until_tick and not attempt.state.ended:
            attempt.run_to(min(until_tick, (attempt.state.tick // LOOK_TICKS + 1) * LOOK_TICKS))
            self.see(standing(attempt.case, attempt.state))

    def see(self, bits: int) -> bool:
        """Take how things stand (bits of `CONDITIONS`); True where a step became done."""
        grown = False
        again = True
        while again:
            again = False
            for step in self.case.steps:
                if step.name in self.done or not self._open(step):
                    continue
                wanted = mask(*step.done)
                if bits & wanted == wanted:
                    self.done.add(step.name)
                    grown = again = True
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
