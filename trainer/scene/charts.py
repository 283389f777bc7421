"""Charts of the debrief on the screen: the same charts that the saved page shows, drawn for the window."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pygame

from trainer.core.units import TICKS_PER_S
from trainer.records.charts import Chart, Flag, Limit, Scale, clock, nice_step
from trainer.records.traces import Trace
from trainer.scene.kit import Kit
from trainer.scene.palette import (
    ACCENT_DARK,
    ACCENT_PALE,
    EDGE,
    INK,
    MUTED,
    ORANGE,
    PAPER_DEEP,
    SAND,
    SHEET,
    VERMILLION,
    Colour,
    mix,
)

_STATION_TONES: dict[str, Colour] = {
    "yard": SAND[4],
    "seat": ACCENT_PALE,
    "panel": mix(SAND[3], SHEET, 0.15),
    "hitch": mix(ACCENT_PALE, MUTED, 0.25),
    "implement": SAND[5],
    "bench": SHEET,
}


class _Frame:
    """Where a tick and a value lie in the plot."""

    def __init__(self, chart: Chart, plot: pygame.Rect, end_tick: int) -> None:
        self.plot, self.end_tick = plot, max(1, end_tick)
        low = min([chart.low, *(curve.trace.least() for curve in chart.curves)])
        high = max([chart.high, *(curve.trace.largest() for curve in chart.curves)])
        room = (high - low) * 0.08 or 1.0
        self.low = low if low == 0.0 else low - room
        self.high = high + room

    def x(self, tick: float) -> float:
        return self.plot.left + self.plot.width * min(max(tick / self.end_tick, 0.0), 1.0)

    def y(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return self.plot.bottom - self.plot.height * min(max(share, 0.0), 1.0)


def draw_chart(
    kit: Kit, surface: pygame.Surface, box: pygame.Rect, chart: Chart, end_tick: int, flags: Sequence[Flag]
) -> None:
    """One chart in its box: US unit left, metric right, the limit dashed and what lies beyond it hatched."""
    name = kit.line(13)
    gutter = kit.width("gal/min", 11.5) + kit.px(6)  # the widest unit, so that all charts share one time axis
    kit.text(surface, chart.title, (box.left + gutter, box.top), 13, INK, True)
    plot = pygame.Rect(
        box.left + gutter,
        box.top + name + kit.px(4),
        box.width - 2 * gutter,
        box.height - name - kit.px(4) - kit.line(11.5) - kit.px(4),
    )
    surface.fill(SHEET, plot)
    frame = _Frame(chart, plot, end_tick)
    _axis(kit, surface, frame, chart.left, left=True, top=box.top)
    _axis(kit, surface, frame, chart.right, left=False, top=box.top)
    _limit(kit, surface, frame, chart.limit)
    _times(kit, surface, frame)
    _key(kit, surface, chart, plot.right, box.top)
    for flag in flags:
        x = round(frame.x(flag.tick))
        _dashed(surface, INK, (x, plot.top), (x, plot.bottom), kit.px(2), kit.px(4), max(1, kit.px(0.8)))
    clip = surface.get_clip()
    surface.set_clip(plot.clip(clip))
    for curve in sorted(chart.curves, key=lambda curve: curve.main):
        _curve(kit, surface, frame, curve.trace, main=curve.main)
    surface.set_clip(clip)
    pygame.draw.rect(surface, EDGE, plot, max(1, kit.px(1)))
    free_from = plot.left
    for flag in flags:
        free_from = _flag(kit, surface, flag.label, frame.x(flag.tick), plot.top, free_from, plot.right)


def _flag(kit: Kit, surface: pygame.Surface, label: str, x: float, y: int, free_from: int, right: int) -> int:
    """The number of a finding on its line, beside another's where that stands; gives where room begins."""
    wide = kit.width(label, 11, True) + kit.px(8)
    box = pygame.Rect(min(max(round(x) - wide // 2, free_from), right - wide), y, wide, kit.line(11))
    kit.box(surface, box, INK, None, radius=3)
    kit.text(surface, label, box.center, 11, SHEET, True, anchor="center")
    return box.right + kit.px(1)


def _axis(kit: Kit, surface: pygame.Surface, frame: _Frame, scale: Scale, *, left: bool, top: int) -> None:
    plot = frame.plot
    step = nice_step((frame.high - frame.low) * scale.factor, 4)
    first = math.ceil(frame.low * scale.factor / step - 1e-9)
    last = math.floor(frame.high * scale.factor / step + 1e-9)
    decimals = max(0, -math.floor(math.log10(step) + 1e-9)) if step < 1 else int(step % 1 > 0)
    x = plot.left - kit.px(5) if left else plot.right + kit.px(5)
    anchor = "midright" if left else "midleft"
    kit.text(surface, scale.unit, (x, top + kit.line(13) // 2), 11.5, MUTED, anchor=anchor)
    for number in range(first, last + 1):
        y = round(frame.y(number * step / scale.factor))
        if left:
            pygame.draw.line(surface, PAPER_DEEP, (plot.left, y), (plot.right, y), max(1, kit.px(1)))
        shown = f"{number * step:.{decimals}f}"
        kit.text(surface, shown, (x, y), 11.5, MUTED, anchor=anchor)


def _times(kit: Kit, surface: pygame.Surface, frame: _Frame) -> None:
    seconds = frame.end_tick / TICKS_PER_S
    most = max(2, frame.plot.width // max(1, kit.width("00:00", 11.5) + kit.px(22)))
    step = next((step for step in (10, 30, 60, 120, 300, 600, 1200, 3600) if seconds / step <= most), 7200)
    for number in range(int(seconds // step) + 1):
        tick = number * step * TICKS_PER_S
        x, y = round(frame.x(tick)), frame.plot.bottom
        pygame.draw.line(surface, EDGE, (x, y), (x, y + kit.px(3)), max(1, kit.px(1)))
        anchor = "midtop" if number else "topleft"
        kit.text(surface, clock(tick), (x, y + kit.px(3)), 11.5, MUTED, anchor=anchor)


def _limit(kit: Kit, surface: pygame.Surface, frame: _Frame, limit: Limit | None) -> None:
    if limit is None:
        return
    plot = frame.plot
    if limit.high is not None:
        _hatched(kit, surface, plot, plot.top, round(frame.y(limit.high)))
    if limit.low is not None:
        _hatched(kit, surface, plot, round(frame.y(limit.low)), plot.bottom)
    for value in (limit.low, limit.high):
        if value is not None:
            y = round(frame.y(value))
            ends = ((plot.left, y), (plot.right, y))
            _dashed(surface, VERMILLION, *ends, kit.px(7), kit.px(4), max(2, kit.px(2)))
    named = limit.high if limit.high is not None else limit.low
    if named is not None:
        y = round(frame.y(named))
        above = y - kit.line(11.5) > plot.top
        y = y - kit.line(11.5) - kit.px(1) if above else y + kit.px(2)
        kit.text(surface, limit.name, (plot.right - kit.px(5), y), 11.5, INK, anchor="topright")


def _hatched(kit: Kit, surface: pygame.Surface, plot: pygame.Rect, top: int, bottom: int) -> None:
    if bottom <= top:
        return
    clip = surface.get_clip()
    part = pygame.Rect(plot.left, top, plot.width, bottom - top)
    surface.set_clip(part.clip(clip))
    surface.fill(mix(ORANGE, SHEET, 0.86), part)
    step = max(6, kit.px(8))
    for x in range(plot.left - plot.height, plot.right, step):
        ends = ((x, plot.bottom), (x + plot.height, plot.top))
        pygame.draw.aaline(surface, mix(ORANGE, SHEET, 0.55), *ends)
    surface.set_clip(clip)


def _dashed(
    surface: pygame.Surface,
    colour: Colour,
    start: tuple[int, int],
    end: tuple[int, int],
    dash: int,
    gap: int,
    width: int,
) -> None:
    length = max(1, math.dist(start, end))
    way = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    at = 0.0
    while at < length:
        stop = min(at + max(1, dash), length)
        pygame.draw.line(
            surface,
            colour,
            (start[0] + way[0] * at, start[1] + way[1] * at),
            (start[0] + way[0] * stop, start[1] + way[1] * stop),
            width,
        )
        at = stop + max(1, gap)


def _curve(kit: Kit, surface: pygame.Surface, frame: _Frame, trace: Trace, *, main: bool) -> None:
    """A trace as steps; each column of pixels keeps its least and its largest value."""
    colour = ACCENT_DARK if main else MUTED
    width = max(2, kit.px(2.4)) if main else max(1, kit.px(1.4))
    run: list[tuple[float, float]] = []
    last: float | None = None

    def put() -> None:
        if len(run) > 1:
            pygame.draw.lines(surface, colour, False, run, width)
        run.clear()

    for tick, value in zip(trace.ticks, trace.values, strict=True):
        x = frame.x(tick)
        if value is None:
            if last is not None:
                run.append((x, last))
            put()
            last = None
            continue
        y = frame.y(value)
        if last is not None:
            run.append((x, last))
        run.append((x, y))
        last = y
    if last is not None:
        run.append((frame.x(frame.end_tick), last))
    put()


def _key(kit: Kit, surface: pygame.Surface, chart: Chart, right: int, top: int) -> None:
    if len(chart.curves) < 2:
        return
    x = right
    for curve in reversed(chart.curves):
        place = kit.text(surface, curve.name, (x, top), 11.5, MUTED, anchor="topright")
        y = place.centery
        start = place.left - kit.px(28)
        colour = ACCENT_DARK if curve.main else MUTED
        width = max(2, kit.px(2.4)) if curve.main else max(1, kit.px(1.4))
        pygame.draw.line(surface, colour, (start, y), (place.left - kit.px(6), y), width)
        x = start - kit.px(14)


def draw_strip(
    kit: Kit,
    surface: pygame.Surface,
    box: pygame.Rect,
    places: Sequence[tuple[int, str, str]],
    end_tick: int,
    flags: Sequence[Flag],
) -> None:
    """Where the trainee stood over time, (from tick, its name, station), with the findings' numbers below."""
    end_tick = max(1, end_tick)
    band = pygame.Rect(box.left, box.top, box.width, kit.line(12) + kit.px(8))
    for number, (tick, name, station) in enumerate(places):
        until = places[number + 1][0] if number + 1 < len(places) else end_tick
        left = band.left + band.width * tick // end_tick
        right = band.left + band.width * min(until, end_tick) // end_tick
        part = pygame.Rect(left, band.top, max(1, right - left), band.height)
        surface.fill(_STATION_TONES.get(station, SHEET), part)
        pygame.draw.line(surface, EDGE, part.topleft, part.bottomleft, max(1, kit.px(1)))
        if kit.width(name, 12) + kit.px(8) < part.width:
            kit.text(surface, name, part.center, 12, INK, anchor="center")
    pygame.draw.rect(surface, INK, band, max(1, kit.px(1.4)))
    free_from = band.left
    for flag in flags:
        x = band.left + band.width * min(flag.tick, end_tick) / end_tick
        pygame.draw.line(
            surface, INK, (x, band.top - kit.px(2)), (x, band.bottom + kit.px(3)), max(2, kit.px(1.6))
        )
        free_from = _flag(kit, surface, flag.label, x, band.bottom + kit.px(3), free_from, band.right)
