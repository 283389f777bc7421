"""What a debrief tells of a fault to be found: what it was, what was signed, what would have told it."""

from __future__ import annotations

import pygame

from trainer.records.charts import clock
from trainer.records.inquiry import Inquiry, Measured, Naming
from trainer.scene.desk import Desk
from trainer.scene.palette import ACCENT_DARK, ACCENT_PALE, GREEN, INK, MUTED, ORANGE, SAND, VERMILLION

_SIGNS = {
    "right": ("check", GREEN),
    "wrong_what": ("triangle", ORANGE),
    "wrong_part": ("cross", VERMILLION),
}


def draw_inquiry(
    desk: Desk, surface: pygame.Surface, told: Inquiry | None, x: int, y: int, width: int
) -> int:
    """All of it, or that it is being worked out; gives the y below."""
    kit = desk.kit
    if told is None:
        return kit.paragraph(surface, desk.say("screens.inquiry.working"), (x, y), width, 13, MUTED)
    pad = kit.px(12)
    inner = width - 2 * pad
    named = desk.say("screens.inquiry.was", part=told.part, wrong=told.wrong)
    tall = 2 * pad + kit.line(13) + kit.height(named, inner, 16, True)
    box = pygame.Rect(x, y, width, tall)
    kit.box(surface, box, ACCENT_PALE, ACCENT_DARK, radius=7, border=1.6)
    title = desk.say("screens.inquiry.title")
    below = kit.paragraph(surface, title, (x + pad, y + pad), inner, 13, MUTED)
    kit.paragraph(surface, named, (x + pad, below), inner, 16, INK, True)
    y = _heading(desk, surface, "namings", x, box.bottom, width)
    for naming in told.namings:
        y = _draw_naming(desk, surface, naming, x, y, width) + kit.px(4)
    if not told.namings:
        y = kit.paragraph(surface, desk.say("screens.inquiry.none"), (x, y), width, 13)
    y = _heading(desk, surface, "telling", x, y, width)
    for one in told.telling:
        y = _draw_measured(desk, surface, one, told.others, x, y, width)
    y = _heading(desk, surface, "measured", x, y, width)
    for one in told.measured:
        y = _draw_measured(desk, surface, one, told.others, x, y, width)
    if not told.measured:
        y = kit.paragraph(surface, desk.say("screens.inquiry.nothing"), (x, y), width, 13)
    pygame.draw.line(surface, SAND[2], (x, y + pad // 2), (x + width, y + pad // 2), max(1, kit.px(1)))
    return y + pad


def _heading(desk: Desk, surface: pygame.Surface, key: str, x: int, y: int, width: int) -> int:
    kit = desk.kit
    says = desk.say(f"screens.inquiry.{key}")
    return kit.paragraph(surface, says, (x, y + kit.px(8)), width, 14, ACCENT_DARK, True) + kit.px(2)


def _column(desk: Desk) -> int:
    return desk.kit.width("00:00", 13) + desk.kit.px(10)


def _draw_naming(desk: Desk, surface: pygame.Surface, one: Naming, x: int, y: int, width: int) -> int:
    kit = desk.kit
    column = _column(desk)
    kit.text(surface, clock(one.tick), (x + column - kit.px(10), y), 13, MUTED, anchor="topright")
    sign, colour = _SIGNS[one.verdict]
    kit.symbol(surface, sign, (x + column + kit.tx(7), y + kit.line(13) // 2), 14, colour, INK)
    left = x + column + kit.tx(20)
    room = x + width - left
    says = desk.say("screens.inquiry.was", part=one.part, wrong=one.wrong)
    y = kit.paragraph(surface, says, (left, y), room, 13, INK, True)
    verdict = desk.say(f"screens.inquiry.{one.verdict}")
    numbers = ", ".join(map(str, one.evidence))
    ground = desk.say("screens.inquiry.evidence", numbers=numbers)
    if not one.evidence:
        ground = desk.say("screens.inquiry.no_evidence")
    y = kit.paragraph(surface, f"{verdict}  ·  {ground}", (left, y), room, 12, MUTED)
    if one.open_still:
        others = "; ".join(one.open_still)
        y = kit.paragraph(surface, desk.say("screens.inquiry.open", others=others), (left, y), room, 12)
    return y


def _draw_measured(
    desk: Desk, surface: pygame.Surface, one: Measured, others: int, x: int, y: int, width: int
) -> int:
    """A measurement, and as how many squares of all other faults it rules out."""
    kit = desk.kit
    column = _column(desk)
    kit.text(surface, clock(one.tick), (x + column - kit.px(10), y), 13, MUTED, anchor="topright")
    left = x + column
    y = kit.paragraph(surface, f"{one.number}.  {one.text}", (left, y), width - column, 13)
    side, gap = kit.px(9), kit.px(3)
    for index in range(others):
        square = pygame.Rect(left + index * (side + gap), y + (kit.line(12) - side) // 2, side, side)
        kit.box(surface, square, ACCENT_DARK if index < one.rules_out else None, ACCENT_DARK, radius=2)
    says = desk.say("screens.inquiry.rules_out_none")
    if one.rules_out:
        says = desk.say("screens.inquiry.rules_out", count=one.rules_out, others=others)
    place = desk.say(f"screens.stations.{one.station}")
    words = left + others * (side + gap) + kit.px(6)
    return kit.paragraph(surface, f"{says}  ·  {place}", (words, y), x + width - words, 12, MUTED) + kit.px(3)
