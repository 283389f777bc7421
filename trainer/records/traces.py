"""What a recorder's pens would have drawn of an attempt: flow, case pressure, pitch, axle load over time."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from trainer.core import circuits, readings
from trainer.core.attempt import Attempt, Entry
from trainer.core.case import Case
from trainer.core.state import State


@dataclass(frozen=True, slots=True)
class Trace:
    """A quantity over time in SI units, as the ticks at which it changed and its value from then on.

    None where it means nothing (the pitch of an implement on its stands).
    """

    ticks: tuple[int, ...]
    values: tuple[float | None, ...]

    def largest(self) -> float:
        """The largest value, nought where there is none.

        >>> Trace((0, 7), (None, 3.0)).largest()
        3.0
        """
        return max((value for value in self.values if value is not None), default=0.0)

    def least(self) -> float:
        return min((value for value in self.values if value is not None), default=0.0)


@dataclass(frozen=True, slots=True)
class Traces:
    """Every trace of an attempt, from tick 0 to `end_tick`."""

    end_tick: int
    flow_asked_m3_s: Trace
    flow_there_m3_s: Trace
    case_pa: Trace
    pitch_rad: Trace
    front_share: Trace
    station: tuple[tuple[int, str], ...]
    """Where the trainee stood: (from tick, station)."""


class _Pen:
    """Collects one trace; a value is kept when it differs from the one before."""

    def __init__(self, take: Callable[[Case, State], float | None]) -> None:
        self.take = take
        self.ticks: list[int] = []
        self.values: list[float | None] = []

    def see(self, case: Case, state: State) -> None:
        value = self.take(case, state)
        if not self.values or value != self.values[-1]:
            self.ticks.append(state.tick)
            self.values.append(value)

    def trace(self) -> Trace:
        return Trace(tuple(self.ticks), tuple(self.values))


def record(case: Case, log: Iterable[Entry], end_tick: int) -> Traces:
    """Run the actions of a log again and draw along, tick by tick, so that no peak is lost."""
    attempt = Attempt(case, ())
    pens = [_Pen(take) for take in (_flow_asked, _flow_there, _case, _pitch, _front)]
    stations: list[tuple[int, str]] = []

    def see() -> None:
        state = attempt.state
        for pen in pens:
            pen.see(case, state)
        if not stations or stations[-1][1] != state.station:
            stations.append((state.tick, state.station))

    def run_to(tick: int) -> None:
        while attempt.state.tick < tick and not attempt.state.ended:
            before = attempt.state
            attempt.run()
            if before.moving or attempt.state.moving:
                see()

    see()
    for entry in log:
        run_to(entry.tick)
        attempt.do(entry.action)
        see()
    run_to(end_tick)
    asked, there, case_pa, pitch, front = (pen.trace() for pen in pens)
    return Traces(end_tick, asked, there, case_pa, pitch, front, tuple(stations))


def _flow_asked(_: Case, state: State) -> float:
    return math.fsum(work.asked_mm3_s for work in state.works) * 1e-9


def _flow_there(case: Case, state: State) -> float:
    return circuits.pump_available_m3_s(case, state.engine_mrev_min / 1000.0)


def _case(_: Case, state: State) -> float:
    return float(max((work.case_pa for work in state.works), default=0))


def _pitch(case: Case, state: State) -> float | None:
    if state.weight not in ("hitch", "ground"):
        return None
    pitch = readings.pitch_urad(case, state)
    return None if pitch == readings.OUT_OF_REACH_URAD else pitch * 1e-6


def _front(case: Case, state: State) -> float:
    front, _ = readings.axle_loads_kg(case, state.ballast_kg, readings.raised(case, state))
    return front / case.tractor.mass_kg
