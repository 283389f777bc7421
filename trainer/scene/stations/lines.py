"""The hoses between the two machines seen from the side: they hang, lie on the ground and the drawbar, kink.

How much hose there is over the straight way, and how tightly it is bent, is the core's own answer for the
places the ports and the machine have now (`readings.hose_bend_um`, what the hand-in is judged by). The rope
only shows it. One hose is asked about at a time, so that no frame waits for all of them.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pygame

from trainer.core import hoses, readings
from trainer.core.case import Case, Hose
from trainer.core.state import State
from trainer.core.units import micro
from trainer.scene.palette import GRAPHITE
from trainer.scene.ropes import Ropes, curve, draw_tube

if TYPE_CHECKING:
    from trainer.scene.station import Yard
    from trainer.scene.stations.hands import Handwork

Place = tuple[float, float]

_ASK_EVERY = 4
"""Frames between two questions about a bend."""
_COARSE_UM = 10_000
"""A hitch or gap that moved by less asks nothing new."""
_LEAST_SLACK, _MOST_SLACK = 1.015, 1.4
_HANGS_LOOSE = 0.03
"""Further slack of a hose that is not laid through the guides."""
_SETTLE_FRAMES = 12
_SMOOTH = 2
"""Pieces drawn between two masses of a rope."""


class Bends:
    """How flat each hose is that is on, by its judged bend radius against the least it may have."""

    def __init__(self, yard: Yard) -> None:
        self._yard = yard
        self._flat: dict[int, tuple[object, float]] = {}
        self._frame = 0

    def update(self) -> None:
        """Ask the core about one hose, now and then."""
        self._frame += 1
        if self._frame % _ASK_EVERY:
            return
        case, state = self._yard.case, self._yard.state
        for hose, port in enumerate(state.hose_at):
            told = case.implement.hoses[hose]
            if port < 0 or told.role == "shaft":
                self._flat.pop(hose, None)
                continue
            key = (port, state.hitch_um // _COARSE_UM, state.gap_um // _COARSE_UM, state.engaged)
            if hose not in self._flat or self._flat[hose][0] != key:
                self._flat[hose] = key, self._ask(hose, port)
                return

    def _ask(self, hose: int, port: int) -> float:
        case, state = self._yard.case, self._yard.state
        try:
            radius_um = readings.hose_bend_um(case, state, hose, port, state.hitch_um)
        except hoses.TooShort:
            return 0.0  # taut as a string: torn rather than kinked
        return flatness(radius_um, micro(case.implement.hoses[hose].least_bend_m))

    def of(self, hose: int) -> float:
        """0 for a hose that is bent no tighter than it may be, 1 for one that is folded."""
        return self._flat[hose][1] if hose in self._flat else 0.0


def flatness(radius: float, least: float) -> float:
    """How flat a hose is at a bend: round down to its least radius, folded where the radius is nought.

    >>> flatness(200_000, 180_000), flatness(90_000, 180_000), flatness(0, 180_000)
    (0.0, 0.5, 1.0)
    """
    return min(1.0, max(0.0, 1.0 - radius / least)) if least > 0 else 0.0


def slack(case: Case, state: State, hose: int) -> float:
    """Length of a hose that is on against the straight way, as the core has both; bounded for the eye."""
    start_m, end_m = readings.hose_ends_m(case, state, hose, state.hose_at[hose], state.hitch_um)
    longer = case.implement.hoses[hose].length_m / max(0.05, math.dist(start_m, end_m))
    if not state.routed[hose]:
        longer += _HANGS_LOOSE
    return round(min(_MOST_SLACK, max(_LEAST_SLACK, longer)), 3)


def hang(far: float, longer: float) -> float:
    """How deep a flat arc hangs over a straight way, by how much longer than it the arc is.

    A parabola of sag s over a span d is about d + 8 s²/3 d long.

    >>> round(hang(100.0, 1.06), 1)
    15.0
    """
    return far * math.sqrt(max(0.0, longer - 1.0) * 3.0 / 8.0)


class Lines:
    """The hoses of one side view, as ropes between where they leave the tractor and the implement."""

    def __init__(self, station: Handwork, ground_y: float) -> None:
        self._station, self._yard = station, station.yard
        self._ropes = Ropes()
        self._ropes.bar("ground", (-2000.0, ground_y + 8.0), (4000.0, ground_y + 8.0), 6.0)
        self._bends = Bends(station.yard)
        self._entered = True

    def on(self) -> list[tuple[int, Hose]]:
        """Hoses that are on, with their places in the file."""
        hoses = self._yard.case.implement.hoses
        at = self._yard.state.hose_at
        return [(index, hose) for index, hose in enumerate(hoses) if at[index] >= 0 and hose.role != "shaft"]

    def clear(self) -> None:
        """The station is entered: all hang at rest from the first frame on."""
        for name in self._ropes.names():
            self._ropes.remove(name)
        self._entered = True

    def update(self, dt_s: float, start: Place, end: Place, drawbar: tuple[Place, Place]) -> None:
        """Let them hang between two places, with the drawbar below them."""
        ropes = self._ropes
        ropes.bar("drawbar", *drawbar, 9.0)
        ropes.soothe(self._yard.calm)
        on = self.on()
        for name in ropes.names():
            if all(name != hose.name for _, hose in on):
                ropes.remove(name)
        for place, (index, hose) in enumerate(on):
            longer = slack(self._yard.case, self._yard.state, index)
            last = (end[0], end[1] + 5.0 * (place % 5))
            if hose.name not in ropes:
                ropes.add(hose.name, (start[0], start[1] + 9.0 * (place % 5)), last, 5.0)
                ropes.fix(hose.name, last, longer)
                ropes.place(hose.name, last, hang(math.dist(start, last), longer))
            ropes.fix(hose.name, last, longer)
            ropes.kink(hose.name, self._bends.of(index))
        self._bends.update()
        if self._entered:
            self._entered = False
            for _ in range(_SETTLE_FRAMES):
                ropes.step(1 / 60)
        ropes.step(dt_s)

    def draw(self, surface: pygame.Surface) -> None:
        view = self._station.view
        for _, hose in self.on():
            if hose.name not in self._ropes:
                continue
            points = [view.at(x, y) for x, y in curve(self._ropes.points(hose.name), _SMOOTH)]
            wide = (5 + hose.line.bore_m * 260) * view.scale
            fold, flat = self._ropes.kinked(hose.name)
            draw_tube(
                surface, points, wide, wide, GRAPHITE[3], GRAPHITE[0], GRAPHITE[5], (_SMOOTH * fold, flat)
            )
