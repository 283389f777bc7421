"""The light of the day and the weather: the same drawings under another sky.

A drawing is made once, for midday. What stands out of doors is shown in the light of a sky: its colours
multiplied by that light, and a backdrop also gets that sky's glow at its upper half. Signs, papers and the
bench under its lamp keep their own colours, so that nothing gets harder to read or to tell apart.
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass

import pygame

from trainer.core.case import SKIES
from trainer.scene.palette import Colour

INDOORS = ("sym_", "bench", "tool_", "gauge_", "clipboard", "tape", "level_bubble", "title_", "terminal_")
"""How the names begin of drawings that no sky lights."""
_DROPS = 140
_FALL_PER_S, _SLANT = 1.9, 0.10
_DROP_LONG = 0.045


@dataclass(frozen=True, slots=True)
class Sky:
    """`light` multiplies all that stands outside; `glow` is laid on a backdrop's upper part, from the top of
    the picture (`high`) to the horizon (`low`), as strong as `veil` (0 to 1) says."""

    light: Colour
    high: Colour
    low: Colour
    veil: float
    rain: bool = False


LIGHTS: dict[str, Sky] = {
    "midday": Sky((255, 255, 255), (0, 0, 0), (0, 0, 0), 0.0),
    "dawn": Sky((255, 232, 214), (140, 140, 176), (250, 196, 160), 0.42),
    "dusk": Sky((214, 190, 190), (84, 78, 116), (232, 150, 114), 0.58),
    "rain": Sky((206, 212, 222), (122, 132, 142), (176, 182, 186), 0.60, rain=True),
}
assert tuple(LIGHTS) == SKIES


def lit(name: str, picture: pygame.Surface, sky: str) -> pygame.Surface:
    """The picture of a drawing in the light of that sky; the picture itself where it changes nothing."""
    if sky == "midday" or name.startswith(INDOORS):
        return picture
    light = LIGHTS[sky]
    made = picture.copy()
    made.fill(light.light, special_flags=pygame.BLEND_RGB_MULT)
    if "backdrop" in name:
        wide, tall = made.get_size()
        glow = _glow(sky, (wide, round(tall * 0.56)))
        made.blit(glow, (0, 0))
    return made


def _glow(sky: str, size: tuple[int, int]) -> pygame.Surface:
    light = LIGHTS[sky]
    column = pygame.Surface((1, size[1]), pygame.SRCALPHA)
    for y in range(size[1]):
        share = y / max(1, size[1] - 1)
        colour = [round(a + (b - a) * share**1.6) for a, b in zip(light.high, light.low, strict=True)]
        fade = light.veil * min(1.0, (1.0 - share) * 6.0)
        column.set_at((0, y), (*colour, round(255 * fade)))
    return pygame.transform.scale(column, size)


@functools.cache
def _drops() -> tuple[tuple[float, float, float], ...]:
    """Where drops start and how near they are: evenly strewn by the golden ratio."""
    golden = (math.sqrt(5) - 1) / 2
    return tuple(
        ((number * golden) % 1.0, (number * golden * golden * 7) % 1.0, 0.5 + (number * 37 % 50) / 100)
        for number in range(_DROPS)
    )


def draw_rain(surface: pygame.Surface, stage: pygame.Rect, now_s: float, calm: bool) -> None:
    """Rain before the stage; standing still for who wants less motion."""
    passed = 0.0 if calm else now_s
    for x, y, near in _drops():
        down = (y + passed * _FALL_PER_S * near) % 1.0
        long = _DROP_LONG * near * stage.height
        left = stage.left + (x * stage.width - down * _SLANT * stage.height) % stage.width
        top = stage.top + down * stage.height
        tone = round(150 + 60 * near)
        pygame.draw.line(surface, (tone, tone, tone + 8), (left, top), (left - long * _SLANT, top + long))
