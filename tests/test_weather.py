"""The same drawings under another sky: what is outside is lit, what is read keeps its colours."""

from __future__ import annotations

import pygame
import pytest

from trainer.core.case import SKIES
from trainer.scene import weather

STAGE = pygame.Rect(10, 20, 320, 180)


def grey(size: tuple[int, int] = (40, 40)) -> pygame.Surface:
    made = pygame.Surface(size, pygame.SRCALPHA)
    made.fill((200, 200, 200, 255))
    return made


@pytest.mark.parametrize("sky", SKIES)
def test_signs_and_tools_keep_their_colours_under_any_sky(sky: str) -> None:
    for name in ("sym_drain", "tool_gauge", "bench_backdrop", "gauge_face"):
        assert weather.lit(name, grey(), sky).get_at((5, 5)) == (200, 200, 200, 255)


@pytest.mark.parametrize("sky", [sky for sky in SKIES if sky != "midday"])
def test_what_stands_outside_is_darker_than_at_midday_and_no_less_solid(sky: str) -> None:
    at_midday, now = (weather.lit("tractor_side", grey(), each).get_at((5, 5)) for each in ("midday", sky))
    assert sum(now[:3]) < sum(at_midday[:3])
    assert now.a == at_midday.a


def test_light_comes_warm_in_the_morning_and_grey_in_the_rain() -> None:
    dawn, rain = (weather.lit("planter_side", grey(), sky).get_at((5, 5)) for sky in ("dawn", "rain"))
    assert dawn.r > dawn.b
    assert rain.b >= rain.r


def test_a_backdrop_glows_above_and_not_below() -> None:
    made = weather.lit("yard_backdrop", grey((40, 100)), "dusk")
    plain = weather.lit("tractor_side", grey((40, 100)), "dusk")
    assert made.get_at((5, 10)) != plain.get_at((5, 10))
    assert made.get_at((5, 90)) == plain.get_at((5, 90))


def rained(now_s: float, calm: bool) -> bytes:
    surface = pygame.Surface((400, 240))
    surface.set_clip(STAGE)
    weather.draw_rain(surface, STAGE, now_s, calm)
    return pygame.image.tobytes(surface, "RGB")


def test_rain_falls_and_stands_still_for_who_wants_less_motion() -> None:
    assert rained(0.0, calm=False) != rained(0.1, calm=False)
    assert rained(0.0, calm=True) == rained(7.3, calm=True)
    assert any(rained(0.0, calm=True))
