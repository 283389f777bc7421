"""Signs and boxes with smooth edges, drawn four times as large and scaled down; a round gauge."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import pygame

from trainer.scene.palette import GRAPHITE, INK, SHEET, STEEL, Colour, mix

Outline = tuple[tuple[float, float], ...]


def _outlines(text: str) -> tuple[Outline, ...]:
    """Closed outlines in a square from -1 to 1, y down; points apart by spaces, outlines by semicolons.

    >>> _outlines("0,-1 1,0; 0,0 1,1")
    (((0.0, -1.0), (1.0, 0.0)), ((0.0, 0.0), (1.0, 1.0)))
    """
    return tuple(
        tuple((float(point.split(",")[0]), float(point.split(",")[1])) for point in outline.split())
        for outline in text.split(";")
    )


def _ring(corners: int, turn: float = 0.0) -> tuple[Outline, ...]:
    step = 2 * math.pi / corners
    return (tuple((math.cos(n * step + turn), math.sin(n * step + turn)) for n in range(corners)),)


SYMBOLS: dict[str, tuple[Outline, ...]] = {
    "octagon": _ring(8, math.pi / 8),
    "disc": _ring(48),
    "clock": _ring(48),
    "diamond": _outlines("0,-1 1,0 0,1 -1,0"),
    "triangle": _outlines("0,-0.92 1,0.82 -1,0.82"),
    "square": _outlines("-0.8,-0.8 0.8,-0.8 0.8,0.8 -0.8,0.8"),
    "play": _outlines("-0.6,-0.85 0.85,0 -0.6,0.85"),
    "sound": _outlines(
        "-0.9,-0.35 -0.4,-0.35 0.15,-0.85 0.15,0.85 -0.4,0.35 -0.9,0.35; "
        "0.5,-0.55 0.75,-0.55 0.75,0.55 0.5,0.55"
    ),
    "fast": _outlines("-0.95,-0.75 0.05,0 -0.95,0.75; 0,-0.75 1,0 0,0.75"),
    "pause": _outlines("-0.7,-0.8 -0.2,-0.8 -0.2,0.8 -0.7,0.8; 0.2,-0.8 0.7,-0.8 0.7,0.8 0.2,0.8"),
    "back": _outlines("0.75,-0.85 -0.75,0 0.75,0.85"),
    "check": _outlines("-0.95,0.05 -0.6,-0.3 -0.22,0.1 0.6,-0.8 0.95,-0.45 -0.2,0.82"),
    "cross": _outlines(
        "-0.85,-0.5 -0.5,-0.85 0,-0.35 0.5,-0.85 0.85,-0.5 0.35,0 0.85,0.5 0.5,0.85 0,0.35 -0.5,0.85 "
        "-0.85,0.5 -0.35,0"
    ),
    "arrow": _outlines("-0.9,-0.28 0.1,-0.28 0.1,-0.8 0.95,0 0.1,0.8 0.1,0.28 -0.9,0.28"),
    "plus": _outlines(
        "-0.2,-0.85 0.2,-0.85 0.2,-0.2 0.85,-0.2 0.85,0.2 0.2,0.2 0.2,0.85 -0.2,0.85 -0.2,0.2 -0.85,0.2 "
        "-0.85,-0.2 -0.2,-0.2"
    ),
    "minus": _outlines("-0.85,-0.2 0.85,-0.2 0.85,0.2 -0.85,0.2"),
    "sheet": _outlines("-0.65,-0.9 0.35,-0.9 0.7,-0.5 0.7,0.9 -0.65,0.9"),
}

# What is cut out of a sign, in the colour of its edge.
MARKS: dict[str, tuple[Outline, ...]] = {
    "octagon": _outlines("-0.48,-0.3 -0.3,-0.48 0.48,0.3 0.3,0.48; 0.3,-0.48 0.48,-0.3 -0.3,0.48 -0.48,0.3"),
    "diamond": _outlines(
        "-0.12,-0.55 0.12,-0.55 0.12,0.15 -0.12,0.15; -0.12,0.33 0.12,0.33 0.12,0.57 -0.12,0.57"
    ),
    "triangle": _outlines(
        "-0.11,-0.4 0.11,-0.4 0.11,0.28 -0.11,0.28; -0.11,0.43 0.11,0.43 0.11,0.65 -0.11,0.65"
    ),
    "clock": _outlines("-0.08,-0.65 0.08,-0.65 0.08,-0.08 0.55,0.2 0.46,0.34 -0.08,0.08"),
    "sheet": _outlines(
        "-0.4,-0.2 0.45,-0.2 0.45,-0.05 -0.4,-0.05; -0.4,0.15 0.45,0.15 0.45,0.3 -0.4,0.3; "
        "-0.4,0.5 0.2,0.5 0.2,0.65 -0.4,0.65"
    ),
}


def for_screen(made: pygame.Surface) -> pygame.Surface:
    """In the screen's own pixel format, which blits fastest; as it is where there is no screen yet."""
    return made.convert_alpha() if pygame.display.get_surface() is not None else made


def rounded(
    size: tuple[int, int], fill: Colour | None, edge: Colour | None, corner: int, thick: int
) -> pygame.Surface:
    """A rounded box: straight parts filled, corners from one tile drawn four times as large."""
    made = pygame.Surface(size, pygame.SRCALPHA)
    tile = _corner(corner, fill, edge, thick)
    width, height = size
    if fill is not None:
        made.fill(fill, (corner, 0, width - 2 * corner, height))
        made.fill(fill, (0, corner, width, height - 2 * corner))
    if edge is not None and thick:
        made.fill(edge, (corner, 0, width - 2 * corner, thick))
        made.fill(edge, (corner, height - thick, width - 2 * corner, thick))
        made.fill(edge, (0, corner, thick, height - 2 * corner))
        made.fill(edge, (width - thick, corner, thick, height - 2 * corner))
    for x, y in ((0, 0), (1, 0), (0, 1), (1, 1)):
        made.blit(
            tile, (x * (width - corner), y * (height - corner)), (x * corner, y * corner, corner, corner)
        )
    return for_screen(made)


@lru_cache(maxsize=128)
def _corner(corner: int, fill: Colour | None, edge: Colour | None, thick: int) -> pygame.Surface:
    large = 4 * corner
    ground = fill if fill is not None else edge if edge is not None else INK
    tile = pygame.Surface((2 * large, 2 * large), pygame.SRCALPHA)
    tile.fill((*ground, 0))
    if edge is not None and thick:
        tile.fill((*edge, 0))
        pygame.draw.circle(tile, edge, (large, large), large)
        inner = max(0, large - 4 * thick)
        pygame.draw.circle(tile, (*fill, 255) if fill is not None else (*edge, 0), (large, large), inner)
    else:
        pygame.draw.circle(tile, ground, (large, large), large)
    return pygame.transform.smoothscale(tile, (2 * corner, 2 * corner))


def symbol(name: str, pixels: int, fill: Colour, edge: Colour | None) -> pygame.Surface:
    large = pixels * 4
    ground = edge if edge is not None else fill
    made = pygame.Surface((large, large), pygame.SRCALPHA)
    made.fill((*ground, 0))
    middle = large / 2

    def spread(points: Sequence[tuple[float, float]], reach: float) -> list[tuple[float, float]]:
        return [(middle + x * reach, middle + y * reach) for x, y in points]

    for outline in SYMBOLS[name]:
        pygame.draw.polygon(made, ground, spread(outline, middle * 0.98))
        if edge is not None:
            pygame.draw.polygon(made, fill, spread(outline, middle * (0.98 - 6.5 / pixels * 0.62)))
    marks = MARKS.get(name, ())
    for mark in marks:
        dark = edge if edge is not None else mix(fill, SHEET if fill != SHEET else INK, 1.0)
        pygame.draw.polygon(made, dark, spread(mark, middle * 0.95))
    return for_screen(pygame.transform.smoothscale(made, (pixels, pixels)))


def meter(
    surface: pygame.Surface, centre: tuple[int, int], radius: int, share: float, hub: Colour = INK
) -> None:
    """A round gauge with a needle at `share` of its scale."""
    pygame.draw.aacircle(surface, GRAPHITE[1], centre, radius)
    pygame.draw.aacircle(surface, STEEL[3], centre, round(radius * 0.93))
    pygame.draw.aacircle(surface, SHEET, centre, round(radius * 0.84))
    for tick in range(11):
        angle = math.radians(225 - 27 * tick)
        c, s = math.cos(angle), -math.sin(angle)
        inner = 0.62 if tick % 5 == 0 else 0.7
        pygame.draw.aaline(
            surface,
            INK,
            (centre[0] + c * radius * inner, centre[1] + s * radius * inner),
            (centre[0] + c * radius * 0.8, centre[1] + s * radius * 0.8),
            2 if tick % 5 == 0 else 1,
        )
    angle = math.radians(225 - 270 * min(1.0, max(0.0, share)))
    tip = (centre[0] + math.cos(angle) * radius * 0.7, centre[1] - math.sin(angle) * radius * 0.7)
    pygame.draw.aaline(surface, hub, centre, tip, max(2, radius // 12))
    pygame.draw.aacircle(surface, hub, centre, max(2, radius // 8))
