"""Charts of a debrief as SVG: drawn here, without a library, so that a page needs nothing from outside.

A chart shows one or two traces over the time of an attempt, a limit, the US shop's unit on the left and the
metric one on the right, and a numbered flag at each finding. Nothing is told by colour alone: a limit is
dashed and named, what lies beyond it is hatched, the second trace is thinner and dashed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup, escape

from trainer.core.units import TICKS_PER_S
from trainer.records.traces import Trace

WIDTH, HEIGHT = 720, 190
_LEFT, _RIGHT, _TOP, _BOTTOM = 58, 58, 26, 26
_MOST_POINTS = 1400


@dataclass(frozen=True, slots=True)
class Scale:
    """A unit on an axis: shown = SI value * factor."""

    unit: str
    factor: float


@dataclass(frozen=True, slots=True)
class Curve:
    """One trace and what it is called; `main` is drawn heavier."""

    name: str
    trace: Trace
    main: bool = True


@dataclass(frozen=True, slots=True)
class Limit:
    """A level or a band that should not be left. `low` alone is a least, `high` alone a most."""

    name: str
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Flag:
    """A finding on the time axis."""

    tick: int
    label: str


@dataclass(frozen=True, slots=True)
class Chart:
    """What is drawn: SI values, the two units, the range of SI values that must be in view."""

    title: str
    curves: tuple[Curve, ...]
    left: Scale
    right: Scale
    limit: Limit | None
    low: float
    high: float


def nice_step(span: float, most: int = 5) -> float:
    """A step of 1, 2, 2.5 or 5 times a power of ten that divides a span into at most `most` parts.

    >>> nice_step(47.0), nice_step(0.9), nice_step(3000.0)
    (10.0, 0.2, 1000.0)
    """
    if span <= 0.0:
        return 1.0
    power = 10.0 ** math.floor(math.log10(span / most))
    for factor in (1.0, 2.0, 2.5, 5.0, 10.0):
        if span / (factor * power) <= most:
            return factor * power
    return 10.0 * power


def clock(tick: int) -> str:
    """A tick as minutes and seconds.

    >>> clock(20 * 75)
    '1:15'
    """
    minutes, seconds = divmod(tick // TICKS_PER_S, 60)
    return f"{minutes}:{seconds:02d}"


def draw(chart: Chart, end_tick: int, flags: Sequence[Flag]) -> Markup:
    """A chart as one SVG element."""
    frame = _Frame(chart, max(1, end_tick))
    parts = [
        f'<svg class="chart" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-label="{escape(chart.title)}">',
        f'<text x="{_LEFT}" y="14" class="name">{escape(chart.title)}</text>',
        f'<rect x="{_LEFT}" y="{_TOP}" width="{frame.width}" height="{frame.height}" class="field"/>',
    ]
    parts += _axis(frame, chart.left, left=True)
    parts += _axis(frame, chart.right, left=False)
    parts += _times(frame)
    parts += _limit(frame, chart.limit)
    parts += [_curve(frame, curve) for curve in chart.curves if not curve.main]
    parts += [_curve(frame, curve) for curve in chart.curves if curve.main]
    parts += _key(chart)
    parts += _flags(frame, flags)
    parts.append("</svg>")
    return Markup("\n".join(parts))  # noqa: S704 (made of numbers and escaped texts)


class _Frame:
    """Where a tick and a value lie."""

    def __init__(self, chart: Chart, end_tick: int) -> None:
        self.end_tick = end_tick
        self.width, self.height = WIDTH - _LEFT - _RIGHT, HEIGHT - _TOP - _BOTTOM
        low = min([chart.low, *(curve.trace.least() for curve in chart.curves)])
        high = max([chart.high, *(curve.trace.largest() for curve in chart.curves)])
        room = (high - low) * 0.06 or 1.0
        self.low = low if low == 0.0 else low - room
        self.high = high + room

    def x(self, tick: float) -> float:
        return _LEFT + self.width * min(max(tick / self.end_tick, 0.0), 1.0)

    def y(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return _TOP + self.height * (1.0 - min(max(share, 0.0), 1.0))


def _axis(frame: _Frame, scale: Scale, left: bool) -> list[str]:
    step = nice_step((frame.high - frame.low) * scale.factor)
    first = math.ceil(frame.low * scale.factor / step - 1e-9)
    last = math.floor(frame.high * scale.factor / step + 1e-9)
    decimals = max(0, -math.floor(math.log10(step) + 1e-9)) if step < 1 else int(step % 1 > 0)
    x, anchor = (_LEFT - 6, "end") if left else (WIDTH - _RIGHT + 6, "start")
    parts = [f'<text x="{x}" y="14" text-anchor="{anchor}" class="unit">{escape(scale.unit)}</text>']
    for number in range(first, last + 1):
        y = frame.y(number * step / scale.factor)
        if left:
            parts.append(f'<line x1="{_LEFT}" x2="{WIDTH - _RIGHT}" y1="{y:.1f}" y2="{y:.1f}" class="grid"/>')
        else:
            parts.append(
                f'<line x1="{WIDTH - _RIGHT}" x2="{WIDTH - _RIGHT + 4}" y1="{y:.1f}" y2="{y:.1f}" '
                'class="tick"/>'
            )
        parts.append(
            f'<text x="{x}" y="{y + 3.5:.1f}" text-anchor="{anchor}">{number * step:.{decimals}f}</text>'
        )
    return parts


def _times(frame: _Frame) -> list[str]:
    seconds = frame.end_tick / TICKS_PER_S
    steps = (10, 30, 60, 120, 300, 600, 1200, 3600)
    step = next((step for step in steps if seconds / step <= 9), steps[-1])
    parts = []
    for number in range(int(seconds // step) + 1):
        tick = number * step * TICKS_PER_S
        x, y = frame.x(tick), HEIGHT - _BOTTOM
        parts.append(f'<line x1="{x:.1f}" x2="{x:.1f}" y1="{y}" y2="{y + 4}" class="tick"/>')
        parts.append(f'<text x="{x:.1f}" y="{y + 16}" text-anchor="middle">{clock(tick)}</text>')
    return parts


def _limit(frame: _Frame, limit: Limit | None) -> list[str]:
    if limit is None:
        return []
    parts = []
    top, bottom = _TOP, HEIGHT - _BOTTOM
    if limit.high is not None and (y := frame.y(limit.high)) > top:
        parts.append(_beyond(top, y))
    if limit.low is not None and (y := frame.y(limit.low)) < bottom:
        parts.append(_beyond(y, bottom))
    for value in (limit.low, limit.high):
        if value is not None:
            y = frame.y(value)
            parts.append(
                f'<line x1="{_LEFT}" x2="{WIDTH - _RIGHT}" y1="{y:.1f}" y2="{y:.1f}" class="limit"/>'
            )
    named = limit.high if limit.high is not None else limit.low
    if named is not None:
        y = frame.y(named)
        y = y - 4 if y > top + 14 else y + 11
        parts.append(
            f'<text x="{WIDTH - _RIGHT - 4}" y="{y:.1f}" text-anchor="end" class="limit-name">'
            f"{escape(limit.name)}</text>"
        )
    return parts


def _beyond(top: float, bottom: float) -> str:
    """Hatching over what lies beyond a limit."""
    box = f'x="{_LEFT}" y="{top:.1f}" width="{WIDTH - _LEFT - _RIGHT}" height="{max(0.0, bottom - top):.1f}"'
    return f'<rect {box} class="beyond"/>'


def _curve(frame: _Frame, curve: Curve) -> str:
    path: list[str] = []
    last: float | None = None
    for x, value in _points(frame, curve.trace):
        if value is None:
            last = None
            continue
        y = frame.y(value)
        if last is None:
            path.append(f"M{x:.1f} {y:.1f}")
        else:
            path.append(f"H{x:.1f}V{y:.1f}")
        last = y
    if last is not None:
        path.append(f"H{frame.x(frame.end_tick):.1f}")
    return f'<path d="{"".join(path)}" class="{"main" if curve.main else "second"}"/>'


def _points(frame: _Frame, trace: Trace) -> list[tuple[float, float | None]]:
    """Points to draw; where there are more than can be seen, each column keeps its least and its largest."""
    points = [(frame.x(tick), value) for tick, value in zip(trace.ticks, trace.values, strict=True)]
    if len(points) <= _MOST_POINTS:
        return points
    columns: dict[int, list[tuple[float, float | None]]] = {}
    for point in points:
        columns.setdefault(int(point[0]), []).append(point)
    kept: list[tuple[float, float | None]] = []
    for column in columns.values():
        numbers = [(value, x) for x, value in column if value is not None]
        if not numbers:
            kept.append(column[-1])
            continue
        wanted = {min(numbers)[1], max(numbers)[1], column[0][0], column[-1][0]}
        kept += [point for point in column if point[0] in wanted]
    return kept


def _key(chart: Chart) -> list[str]:
    if len(chart.curves) < 2:
        return []
    parts, x = [], WIDTH - _RIGHT - 4
    for curve in reversed(chart.curves):
        width = 34 + 6 * len(curve.name)
        x -= width
        kind = "main" if curve.main else "second"
        parts.append(
            f'<path d="M{x} 10h20" class="{kind}"/><text x="{x + 25}" y="14">{escape(curve.name)}</text>'
        )
    return parts


def _flags(frame: _Frame, flags: Sequence[Flag]) -> list[str]:
    """A dashed line at each finding, its number on top; findings at one moment share a flag."""
    parts: list[str] = []
    free_from = 0.0
    for flag in sorted(flags, key=lambda flag: flag.tick):
        x = frame.x(flag.tick)
        parts.append(f'<line x1="{x:.1f}" x2="{x:.1f}" y1="{_TOP}" y2="{HEIGHT - _BOTTOM}" class="flag"/>')
        width = 6.5 * len(flag.label) + 8
        at = max(x - width / 2, free_from)
        free_from = at + width + 1
        parts.append(
            f'<rect x="{at:.1f}" y="{_TOP}" width="{width:.1f}" height="14" rx="3" class="flag-box"/>'
            f'<text x="{at + width / 2:.1f}" y="{_TOP + 10.5}" text-anchor="middle" class="flag-name">'
            f"{escape(flag.label)}</text>"
        )
    return parts


def draw_strip(
    places: Sequence[tuple[int, str, str]], end_tick: int, flags: Sequence[Flag], title: str
) -> Markup:
    """Where someone stood over time: (from tick, what it is called, kind); the kind picks the pattern."""
    height, top, tall = 74, 26, 22
    end_tick = max(1, end_tick)
    width = WIDTH - _LEFT - _RIGHT
    parts = [
        f'<svg class="strip" viewBox="0 0 {WIDTH} {height}" role="img" aria-label="{escape(title)}">',
        f'<text x="{_LEFT}" y="14" class="name">{escape(title)}</text>',
    ]
    for number, (tick, name, kind) in enumerate(places):
        until = places[number + 1][0] if number + 1 < len(places) else end_tick
        x, wide = _LEFT + width * tick / end_tick, width * (until - tick) / end_tick
        parts.append(
            f'<rect x="{x:.1f}" y="{top}" width="{wide:.1f}" height="{tall}" class="at at-{escape(kind)}"/>'
        )
        if wide > 6.2 * len(name) + 6:
            parts.append(
                f'<text x="{x + wide / 2:.1f}" y="{top + 15}" text-anchor="middle">{escape(name)}</text>'
            )
    free_from = 0.0
    for flag in flags:
        x = _LEFT + width * min(flag.tick / end_tick, 1.0)
        wide = 6.5 * len(flag.label) + 8
        at = max(x - wide / 2, free_from)
        free_from = at + wide + 1
        parts.append(
            f'<path d="M{x:.1f} {top - 3}V{top + tall + 4}" class="flag"/>'
            f'<rect x="{at:.1f}" y="{top + tall + 4}" width="{wide:.1f}" height="14" rx="3" '
            f'class="flag-box"/><text x="{at + wide / 2:.1f}" y="{top + tall + 14.5}" '
            f'text-anchor="middle" class="flag-name">{escape(flag.label)}</text>'
        )
    parts.append("</svg>")
    return Markup("\n".join(parts))  # noqa: S704 (made of numbers and escaped texts)
