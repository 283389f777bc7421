"""What a job to find a fault adds to the stations: the spanner that mends, the clipboard with the report."""

from __future__ import annotations

import pygame

from trainer.scene.palette import GRAPHITE, INK, PLUM, SAND, SHEET, STEEL
from trainer.scene.stations.hands import Handwork, Held, Place, Spot

SPANNER = "spanner"
_POCKET = 62.0
_BOARD: Place = (150.0, 200.0)
"""Middle of the clipboard's drawing, in its own pixels."""
_PARTS = {
    "sway": "sway_blocks",
    "top_link": "top_link",
    "latch:left": "left_latch",
    "latch:right": "right_latch",
    "pins": "bushings",
    "drawbar": "drawbar",
    "top_hook": "top_hook",
    "lift_lock": "lift_lock",
    "stands": "stands",
}
"""Spots of hitch and implement, and the parts they are."""


def to_find(hand: Handwork) -> bool:
    """Whether the job at hand has a fault to be found."""
    return hand.yard.case.goal == "find"


def spanner_spots(hand: Handwork, at: Place) -> list[Spot]:
    """The spanner in its pocket, whose top left corner is given."""
    if not to_find(hand):
        return []
    told = hand.word("finding.spanner")
    return [Spot(SPANNER, (*at, _POCKET, _POCKET), told, thing=SPANNER, accepts=True)]


def mend(hand: Handwork, held: Held, on: str) -> bool:
    """Work on the part the spanner was let go on; False where something else was in the hand."""
    if held.thing != SPANNER:
        return False
    kind, _, name = on.partition(":")
    part = name if kind in ("end", "plug", "port", "socket") else _PARTS.get(on, "")
    if part:
        hand.do("mend", part)
    elif on != SPANNER:
        hand.yard.say("stations.finding.no_part")
    return True


def draw_spanner(hand: Handwork, surface: pygame.Surface) -> None:
    """The pocket, and the spanner in it or in the hand."""
    spot = hand.spot(SPANNER) if to_find(hand) else None
    if spot is None:
        return
    kit, (x, y, wide, tall) = hand.yard.kit, spot.box
    kit.box(surface, hand.view.area(x, y, wide, tall), PLUM[1], INK, radius=9, border=1.6)
    told = hand.word("finding.short_spanner")
    hand.text(surface, told, (x + wide / 2, y + tall - 9), 11, SAND[6], True)
    held = hand.held is not None and hand.held.thing == SPANNER
    _draw_at(hand, surface, hand.held.at if held and hand.held is not None else (x + wide / 2, y + 25), held)


def _draw_at(hand: Handwork, surface: pygame.Surface, at: Place, held: bool) -> None:
    size = 1.35 if held else 1.0
    low = (at[0] - 13 * size, at[1] + 13 * size)
    high = (at[0] + 11 * size, at[1] - 11 * size)
    for extra, tone in ((2.6, INK), (0.0, STEEL[3])):
        pygame.draw.aaline(
            surface, tone, hand.view.at(*low), hand.view.at(*high), hand.px(6 * size + 2 * extra)
        )
        for end in (low, high):
            pygame.draw.aacircle(surface, tone, hand.view.at(*end), hand.px(7.5 * size + extra))
    pygame.draw.aacircle(surface, GRAPHITE[1], hand.view.at(*low), hand.px(3.4 * size))
    mouth = (high[0] + 3 * size, high[1] - 3 * size)
    pygame.draw.aaline(surface, GRAPHITE[1], hand.view.at(*high), hand.view.at(*mouth), hand.px(5 * size))


def clipboard_spots(hand: Handwork, at: Place, size: float) -> list[Spot]:
    """The fault report on its clipboard, with its middle at a point."""
    if not to_find(hand):
        return []
    wide, tall = 2 * _BOARD[0] * size, 2 * _BOARD[1] * size
    box = (at[0] - wide / 2, at[1] - tall / 2, wide, tall + 16)
    return [Spot("report", box, hand.word("finding.report"), tap=hand.yard.open_report, written=True)]


def draw_clipboard(hand: Handwork, surface: pygame.Surface, at: Place, size: float) -> None:
    if not to_find(hand):
        return
    hand.put(surface, "clipboard", at, _BOARD, size)
    for line in range(4):
        y = at[1] + (-70 + 48 * line) * size
        ends = [hand.view.at(at[0] + side * 80 * size * (0.6 if line == 3 else 1), y) for side in (-1, 1)]
        pygame.draw.line(surface, SAND[3], ends[0], ends[1], hand.px(2))
    told = hand.word("finding.report_short")
    hand.plate(surface, told, (at[0], at[1] + _BOARD[1] * size + 8), 12, SHEET)
