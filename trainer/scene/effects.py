"""What moves only to the eye: drops, jets, spray, pools, exhaust, needles, and the glide between two places.

Nothing here is judged, and nothing is kept that the engine knows: how much oil is lost, what pressure a line
was under and how fast a thing turns come from the state and the events. Lengths are drawing units, angles
degrees with 0 to the right and 90 down, times seconds. With motion reduced every effect stands still: a drop
hangs, a jet is its cone, exhaust is a plume.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING, Final

import pygame

from trainer.core.case import Case
from trainer.core.state import State
from trainer.core.units import PA_PER_BAR
from trainer.scene.palette import (
    GRAPHITE,
    INK,
    SAND,
    SHEET,
    STEEL,
    VERMILLION,
    YELLOW,
    Colour,
    mix,
)

if TYPE_CHECKING:
    from trainer.scene.stations.hands import Handwork

Place = tuple[float, float]

FILM_M: Final = 0.0015
"""How thick spilt oil lies on firm ground. Derived: 2·sqrt(γ/ρg)·sin(θ/2) for a flat drop, with γ = 0.03 N/m,
ρ = 870 kg/m³ and an edge angle θ of 47° (from memory) gives 1.5 mm."""
MOST_DROPS: Final = 140
JET_S: Final = 1.6
"""How long oil leaves a coupler that was pulled under pressure, as it is shown."""
CONE_S: Final = 4.0
"""How long the danger cone stays."""
HALF_CONE_DEG: Final = 15.0
_FULL_JET_PA: Final = 200.0 * PA_PER_BAR
_SHORTEST, _LONGEST = 110.0, 330.0
"""Length of the danger cone in drawing units at next to no pressure and at full pressure."""
_GRAVITY: Final = 900.0
_FORMING: Final = 0.75
"""Share of the time between two drips in which the drop grows."""
_PUFFS: Final = 7
_EDGE: Final = 5
_STREAK_S: Final = 0.022
"""Of its way that a streak of spray is drawn long."""
_OIL, _OIL_LIGHT = SAND[1], SAND[4]
_MOST_STEP_S: Final = 0.02
GLIDE_S: Final = 0.45
_NEEDLE_HZ: Final = 2.2
_NEEDLE_DAMPING: Final = 0.62


def pool_radius_m(volume_m3: float, film_m: float = FILM_M) -> float:
    """Radius of the round pool that so much oil makes, lying `film_m` thick.

    >>> round(pool_radius_m(1e-3), 3)
    0.461
    """
    return math.sqrt(max(0.0, volume_m3) / (math.pi * film_m))


def engine_load(case: Case, state: State) -> float:
    """Share of what the engine can be asked for here, 0 to 1: the pump's power, and the drive shaft."""
    if not state.engine_mrev_min:
        return 0.0
    tractor = case.tractor
    turns_s = state.engine_mrev_min / 60_000.0
    most_m3_s = tractor.pump_displacement_m3 * tractor.pump_ratio * turns_s
    flow = min(1.0, state.pump_mm3_s * 1e-9 / most_m3_s) if most_m3_s > 0 else 0.0
    return min(1.0, flow * state.pump_pa / tractor.pump_cutoff_pa + (0.35 if state.pto else 0.0))


def jet_length(pressure_pa: float) -> float:
    """How far the danger cone of a jet reaches: with the speed of the oil, so with the root of the pressure.

    >>> jet_length(0.0), jet_length(2e7), jet_length(9e7)
    (110.0, 330.0, 330.0)
    """
    return _SHORTEST + (_LONGEST - _SHORTEST) * min(1.0, math.sqrt(max(0.0, pressure_pa) / _FULL_JET_PA))


@dataclass(slots=True)
class Needle:
    """A needle with weight: a damped spring draws it to its value, it swings past once and comes to rest.

    >>> needle = Needle()
    >>> needle.follow(1.0, 0.016)  # at first it stands where it should
    1.0
    >>> needle.follow(0.0, 0.016) > 0.9
    True
    """

    place: float | None = None
    speed: float = 0.0

    def follow(self, goal: float, dt_s: float, calm: bool = False) -> float:
        """Where it stands `dt_s` later."""
        if self.place is None or calm:
            self.place, self.speed = goal, 0.0
            return goal
        stiff = (math.tau * _NEEDLE_HZ) ** 2
        rub = 2.0 * _NEEDLE_DAMPING * math.tau * _NEEDLE_HZ
        left = min(dt_s, 0.5)
        while left > 1e-9:
            step = min(left, _MOST_STEP_S)
            self.speed += (stiff * (goal - self.place) - rub * self.speed) * step
            self.place += self.speed * step
            left -= step
        return self.place


@dataclass(slots=True)
class _Drop:
    x: float
    y: float
    way_x: float
    way_y: float
    left_s: float
    floor: float
    long: float
    """0 for a drop; a streak of spray is drawn so many seconds of its way long."""


@dataclass(slots=True)
class _Jet:
    at: Place
    deg: float
    length: float
    since_s: float
    lasts: bool
    """It goes on for as long as it is asked for."""
    floor: float = 640.0
    asked: bool = True


class Effects:
    """Everything of this kind at one station."""

    def __init__(self, station: Handwork) -> None:
        self._station = station
        self._drops: list[_Drop] = []
        self._jets: dict[str, _Jet] = {}
        self._drips: dict[str, float] = {}
        self._dripping: dict[str, tuple[Place, float]] = {}
        self._asked: dict[str, tuple[Place, float]] = {}
        """What has been asked to drip since the last update."""
        self._now_s = 0.0
        self._puffs = 0.0
        # Drops fall where they like: seen, never judged.
        self._chance = random.Random(7)  # noqa: S311

    @property
    def _calm(self) -> bool:
        return self._station.yard.calm

    def clear(self) -> None:
        """Nothing is in the air: the station is entered."""
        self._drops.clear()
        self._jets.clear()
        self._drips.clear()
        self._dripping.clear()

    # --- what begins --------------------------------------------------------------------------------------

    def spill(self, at: Place, count: int, floor: float = 640.0) -> None:
        """So many drops fall from a place at once."""
        if self._calm:
            return
        chance = self._chance.uniform
        for _ in range(count):
            self._add(at[0] + chance(-8, 8), at[1], chance(-25, 25), chance(-40, 60), chance(0.5, 1.6), floor)

    def jet(self, at: Place, deg: float, pressure_pa: float) -> None:
        """Oil leaves here under this pressure for a moment, in this direction."""
        self._jets[f"once {at}"] = _Jet(at, deg, jet_length(pressure_pa), self._now_s, False)

    def leak(
        self, name: str, at: Place, deg: float, pressure_pa: float, size: float = 1.0, floor: float = 640.0
    ) -> None:
        """Oil leaves here for as long as this is called in every frame: no further than down to the floor,
        and `size` times as far as it would be shown close up."""
        kept = self._jets.get(name)
        since = kept.since_s if kept is not None else self._now_s
        down = math.sin(math.radians(deg))
        length = size * jet_length(pressure_pa)
        if down > 0.0:
            length = min(length, max(24.0, (floor - at[1]) / down))
        self._jets[name] = _Jet(at, deg, length, since, True, floor)

    def drip(self, name: str, at: Place, every_s: float) -> None:
        """Drops form and fall here for as long as this is called in every frame."""
        self._asked[name] = at, every_s

    # --- time ---------------------------------------------------------------------------------------------

    def update(self, dt_s: float) -> None:
        self._now_s += dt_s
        for name, jet in list(self._jets.items()):
            if (jet.lasts and not jet.asked) or (not jet.lasts and self._now_s - jet.since_s > CONE_S):
                del self._jets[name]
            jet.asked = False
        self._dripping, self._asked = self._asked, {}
        self._drips = {name: self._drips.get(name, 0.0) for name in self._dripping}
        if self._calm:
            self._drops.clear()
            return
        for name, (at, every_s) in self._dripping.items():
            self._drips[name] += dt_s / every_s
            if self._drips[name] >= 1.0:
                self._drips[name] -= 1.0
                self._add(at[0], at[1] + 3.0, 0.0, 0.0, 2.0, 640.0)
        for jet in self._jets.values():
            self._spray(jet, dt_s)
        for drop in self._drops:
            drop.way_y += _GRAVITY * dt_s
            drop.x += drop.way_x * dt_s
            drop.y += drop.way_y * dt_s
            drop.left_s -= dt_s
        self._drops = [drop for drop in self._drops if drop.left_s > 0 and drop.y < drop.floor]

    def _spray(self, jet: _Jet, dt_s: float) -> None:
        age = self._now_s - jet.since_s
        if not jet.lasts and age > JET_S:
            return
        strong = 1.0 if jet.lasts else 1.0 - age / JET_S
        chance = self._chance.uniform
        for _ in range(round(150 * dt_s * (0.3 + 0.7 * strong))):
            angle = math.radians(jet.deg + chance(-HALF_CONE_DEG, HALF_CONE_DEG) * 0.8)
            speed = jet.length * chance(2.2, 4.2) * (0.45 + 0.55 * strong)
            c, s = math.cos(angle), math.sin(angle)
            self._add(jet.at[0] + 6 * c, jet.at[1] + 6 * s, speed * c, speed * s, 0.34, jet.floor, _STREAK_S)

    def _add(
        self, x: float, y: float, way_x: float, way_y: float, left_s: float, floor: float, long: float = 0.0
    ) -> None:
        if len(self._drops) < MOST_DROPS:
            self._drops.append(_Drop(x, y, way_x, way_y, left_s, floor, long))

    # --- drawing ------------------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        """Jets with their danger cones, what drips and what falls: before everything else of the station."""
        station = self._station
        view, px = station.view, station.px
        for jet in self._jets.values():
            self._draw_jet(surface, jet)
        for name, (at, _) in self._dripping.items():
            grown = 1.0 if self._calm else min(1.0, self._drips.get(name, 0.0) / _FORMING)
            if grown > 0.25:
                station.put(surface, "drop", (at[0], at[1] + 2.0 * grown), (10, 4), round(8.4 * grown) / 20)
        thin = max(1, px(1.6))
        for drop in self._drops:
            if drop.long:
                tail = view.at(drop.x - drop.way_x * drop.long, drop.y - drop.way_y * drop.long)
                pygame.draw.line(surface, _OIL_LIGHT, tail, view.at(drop.x, drop.y), thin)
            else:
                station.put(surface, "drop", (drop.x, drop.y), (10, 10), 0.4)

    def _draw_jet(self, surface: pygame.Surface, jet: _Jet) -> None:
        """Fine streaks and a mist; round them, edged and with its sign, the room that a hand keeps out of."""
        station, view = self._station, self._station.view
        age = self._now_s - jet.since_s
        deg, length = round(jet.deg / 4) * 4, round(jet.length / 20) * 20
        key = ("cone", deg, length, round(view.scale, 3))
        cone = station.yard.kit.keep(key, lambda: _cone(deg, length * view.scale))
        left = 1.0 if jet.lasts else min(1.0, max(0.0, (CONE_S - age) / 0.8))
        cone.set_alpha(round(255 * left))
        x, y = view.at(*jet.at)
        left_px, top_px = _cone_corner(deg, length * view.scale)
        surface.blit(cone, (x + left_px, y + top_px))
        if self._calm:
            for turn in range(-3, 4):
                angle = math.radians(deg + turn * HALF_CONE_DEG / 4)
                far = length * (0.5 + 0.06 * (turn * 5 % 4)) * view.scale
                tip = x + far * math.cos(angle), y + far * math.sin(angle)
                pygame.draw.line(surface, _OIL_LIGHT, (x, y), tip, max(1, station.px(1.6)))
        angle = math.radians(deg)
        sign = view.at(
            jet.at[0] + 0.72 * length * math.cos(angle), jet.at[1] + 0.72 * length * math.sin(angle)
        )
        if left > 0.5:
            large = 26 if length > 90 else 17
            station.yard.kit.symbol(surface, "triangle", sign, large, YELLOW, INK)

    def draw_exhaust(
        self, surface: pygame.Surface, at: Place, dt_s: float, speed: float, load: float, size: float
    ) -> None:
        """Puffs from a stack: their pace follows the engine's speed, how dark and large they are its load."""
        station = self._station
        if not self._calm:
            self._puffs += dt_s * (0.35 + 0.9 * speed)
        tone = mix(STEEL[1], GRAPHITE[2], round(min(1.0, 0.25 + load), 1))
        high = (34.0 + 26.0 * speed) * size
        for puff in range(_PUFFS):
            age = (self._puffs + puff / _PUFFS) % 1.0
            radius = max(1, station.px((2.5 + (7 + 5 * load) * age) * size))
            alpha = round((60 + 120 * load) * (1 - age) / 15) * 15
            if alpha <= 0:
                continue
            made = partial(_mist, radius, alpha, tone)
            mist = station.yard.kit.keep(("mist", radius, alpha, tone), made)
            sway = 2.0 * math.sin(5.0 * age + puff) * size * age
            place = at[0] + 16 * age * age * size + sway, at[1] - 5 * size - high * age
            surface.blit(mist, mist.get_rect(center=station.view.at(*place)))

    def draw_pool(self, surface: pygame.Surface, at: Place, volume_mm3: int, px_per_m: float) -> None:
        """The oil on the ground: a pool as wide as its volume makes it, at a film of `FILM_M`."""
        radius = pool_radius_m(volume_mm3 * 1e-9) * px_per_m
        if radius < 1.5:
            return
        station = self._station
        # In steps of a twentieth, so that a growing pool is not drawn anew in every frame.
        radius = math.exp(round(math.log(radius) * 20) / 20)
        wide = station.anchor("oil_pool", "right")[0] - station.anchor("oil_pool", "left")[0]
        centre = station.anchor("oil_pool", "centre")
        station.put(surface, "oil_pool", at, centre, round(2 * radius / wide, 3))


def _mist(radius: int, alpha: int, tone: Colour) -> pygame.Surface:
    made = pygame.Surface((2 * radius + 2, 2 * radius + 2), pygame.SRCALPHA)
    for share in (1.0, 0.7, 0.42):
        layer = pygame.Surface(made.get_size(), pygame.SRCALPHA)
        pygame.draw.aacircle(layer, (*tone, alpha // 3), (radius, radius), max(1, round(radius * share)))
        made.blit(layer, (0, 0))
    return made


def _between(first: Place, last: Place, share: float) -> Place:
    return first[0] + (last[0] - first[0]) * share, first[1] + (last[1] - first[1]) * share


def _cone_edge(deg: int, length: float) -> list[Place]:
    """From the mouth of a jet out, round, and back."""
    angles = [math.radians(deg + HALF_CONE_DEG * step / 8) for step in range(-8, 9)]
    return [(0.0, 0.0), *((length * math.cos(turn), length * math.sin(turn)) for turn in angles), (0.0, 0.0)]


def _cone_corner(deg: int, length: float) -> tuple[int, int]:
    """Where the picture of a cone begins, from the mouth."""
    edge = _cone_edge(deg, length)
    return math.floor(min(x for x, _ in edge)) - _EDGE, math.floor(min(y for _, y in edge)) - _EDGE


def _cone(deg: int, length: float) -> pygame.Surface:
    """The room in front of a jet, pale within, edged by a broken line seen on dark and light ground."""
    left, top = _cone_corner(deg, length)
    edge = [(x - left, y - top) for x, y in _cone_edge(deg, length)]
    size = max(x for x, _ in edge) + _EDGE, max(y for _, y in edge) + _EDGE
    made = pygame.Surface((math.ceil(size[0]), math.ceil(size[1])), pygame.SRCALPHA)
    for inner, alpha in ((1.0, 74), (0.75, 114), (0.5, 124)):
        pygame.draw.polygon(made, (*SHEET, alpha), [_between(edge[0], at, inner) for at in edge])
    for first, last in pairwise(edge):
        steps = max(1, round(math.dist(first, last) / max(8.0, length / 14)))
        for part in range(steps):
            start, end = _between(first, last, part / steps), _between(first, last, (part + 0.62) / steps)
            pygame.draw.line(made, INK, start, end, max(3, round(length / 60)))
            pygame.draw.line(made, VERMILLION, start, end, max(1, round(length / 130)))
    return made


def blurred_blades(radius: int, share: float, tone: Colour) -> pygame.Surface:
    """The disc that blades blur to as they turn fast; `share` 0 to 1 of how much of them is blurred."""
    made = pygame.Surface((2 * radius + 2, 2 * radius + 2), pygame.SRCALPHA)
    for inner, strong in ((1.0, 0.55), (0.82, 0.3), (0.5, 0.25)):
        layer = pygame.Surface(made.get_size(), pygame.SRCALPHA)
        alpha = round(150 * share * strong)
        pygame.draw.aacircle(layer, (*tone, alpha), (radius, radius), max(1, round(radius * inner)))
        made.blit(layer, (0, 0))
    return made


class Glide:
    """The camera's way from one place to another: nearer, back out, or along the machines.

    `way` is `in` (the old picture grows about `focus` and gives way), `out` (it shrinks to `focus`), `left`
    or `right` (both pictures pass by). The picture of the place that is left is drawn once, at the start.
    """

    def __init__(self, old: pygame.Surface, way: str, focus: pygame.Rect) -> None:
        self._old, self._way = old, way
        area = old.get_rect()
        focus = focus.clip(area)
        if focus.width < area.width // 6 or focus.height < area.height // 6:
            focus.inflate_ip(max(0, area.width // 6 - focus.width), max(0, area.height // 6 - focus.height))
        self._focus = focus.clamp(area)

    def draw(self, surface: pygame.Surface, stage: pygame.Rect, share: float) -> None:
        """Lay what is still seen of the old place over the new one; `share` 0 to 1 of the way is gone."""
        share = share * share * (3.0 - 2.0 * share)
        if self._way in ("left", "right"):
            far = round(stage.width * share)
            new = surface.subsurface(stage).copy()
            if self._way == "left":
                surface.blit(self._old, (stage.left + far, stage.top))
                surface.blit(new, (stage.left + far - stage.width, stage.top))
            else:
                surface.blit(self._old, (stage.left - far, stage.top))
                surface.blit(new, (stage.left - far + stage.width, stage.top))
            return
        whole, focus = self._old.get_rect(), self._focus
        box = pygame.Rect(
            round(focus.left * share),
            round(focus.top * share),
            max(2, round(whole.width + (focus.width - whole.width) * share)),
            max(2, round(whole.height + (focus.height - whole.height) * share)),
        )
        if self._way == "in":
            shown = pygame.transform.scale(self._old.subsurface(box.clip(whole)), whole.size)
            place = stage.topleft
        else:
            shown = pygame.transform.scale(self._old, box.size)
            place = stage.left + box.left, stage.top + box.top
        shown.set_alpha(round(255 * (1.0 - share)))
        surface.blit(shown, place)


def beside(old: str, new: str) -> str:
    """Which way the camera goes from one place to another; '' to a place that is not on the way.

    >>> beside("yard", "seat"), beside("panel", "seat"), beside("bench", "yard")
    ('in', 'left', 'out')
    """
    along = ("seat", "panel", "hitch", "implement", "bench")
    if old == new:
        return ""
    if old == "yard":
        return "in"
    if new == "yard":
        return "out"
    return "left" if along.index(new) < along.index(old) else "right"
