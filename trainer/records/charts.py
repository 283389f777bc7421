"""Charts of a debrief as SVG: drawn here, without a library, so that a page needs nothing from outside.

A chart shows one or two traces over the time of an attempt, a limit, the US shop's unit on the left and the
metric one on the right, and a numbered flag at each finding. Nothing is told by colour alone: a limit is
dashed and named, what lies beyond it is hatched, the second trace is thinner and dashed. How things look is
written on each element, so that a chart cut out of its page looks the same.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup, escape

from trainer.core.case import BETWEEN
from trainer.core.units import TICKS_PER_S
from trainer.records.traces import Trace

WIDTH, HEIGHT = 720, 190
_LEFT, _RIGHT, _TOP, _BOTTOM = 58, 58, 26, 26
_INNER = float(WIDTH - _LEFT - _RIGHT)
_MOST_POINTS = 1400
_HATCH = 7.0
_INK, _PLUM, _EDGE, _ACCENT, _BAD, _SHEET = "#1c191f", "#2b232f", "#8d7f8f", "#173f45", "#a33f00", "#ffffff"
_FACE = "Segoe UI, Helvetica Neue, Noto Sans, DejaVu Sans, Arial, sans-serif"
_LOOKS: dict[str, dict[str, str | float]] = {
    "name": {"font_size": 12.5, "font_weight": "bold"},
    "unit": {"font_weight": "bold"},
    "limit_name": {"fill": _BAD},
    "flag_name": {"fill": _SHEET, "font_size": 10, "font_weight": "bold", "text_anchor": "middle"},
    "field": {"fill": _SHEET, "stroke": _EDGE},
    "backing": {"fill": _SHEET, "fill_opacity": 0.85},
    "grid": {"stroke": "#e8e1d6"},
    "tick": {"stroke": _EDGE},
    "main": {"fill": "none", "stroke": _ACCENT, "stroke_width": 2, "stroke_linejoin": "round"},
    "second": {"fill": "none", "stroke": "#786a80", "stroke_width": 1.4, "stroke_dasharray": "5 3"},
    "limit": {"stroke": _BAD, "stroke_width": 1.3, "stroke_dasharray": "7 4"},
    "flag": {"stroke": "#5a4d62", "stroke_dasharray": "2 2"},
    "flag_box": {"fill": _PLUM},
    "place": {"fill": "#ece3d0", "stroke": _EDGE},
    "seat": {"fill": "#e0f3f3", "stroke": _EDGE},
    "measured": {"fill": "#5a4d62"},
    "allowed": {"fill": "none", "stroke": _ACCENT, "stroke_width": 1.5},
}


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
    return _svg(
        WIDTH,
        HEIGHT,
        chart.title,
        [
            _text(_LEFT, 14, chart.title, "name"),
            _box(_LEFT, _TOP, frame.width, frame.height, "field"),
            *_axis(frame, chart.left, left=True),
            *_axis(frame, chart.right, left=False),
            *_times(frame),
            *_limit(frame, chart.limit),
            *(_curve(frame, curve) for curve in chart.curves if not curve.main),
            *(_curve(frame, curve) for curve in chart.curves if curve.main),
            *_key(chart),
            *_flags(flags, frame.end_tick, _TOP, HEIGHT - _BOTTOM, _TOP),
        ],
    )


def draw_strip(
    places: Sequence[tuple[int, str, str]], end_tick: int, flags: Sequence[Flag], title: str
) -> Markup:
    """Where someone stood over time: (from tick, what it is called, station); between machines is hatched."""
    top, tall = 26, 22
    end_tick = max(1, end_tick)
    parts = [_text(_LEFT, 14, title, "name")]
    for number, (tick, name, station) in enumerate(places):
        until = places[number + 1][0] if number + 1 < len(places) else end_tick
        x = _LEFT + _INNER * tick / end_tick
        wide = _INNER * (until - tick) / end_tick
        parts.append(_box(x, top, wide, tall, "seat" if station == "seat" else "place"))
        if station in BETWEEN:
            parts.append(_hatching(x, top, wide, tall, "#786a80"))
        if wide > 6.2 * len(name) + 6:
            if station in BETWEEN:
                parts.append(
                    _box(x + wide / 2 - 3.1 * len(name) - 3, top + 4, 6.2 * len(name) + 6, 14, "field")
                )
            parts.append(_text(x + wide / 2, top + 15, name, text_anchor="middle"))
    parts += _flags(flags, end_tick, top - 3, top + tall + 4, top + tall + 4)
    return _svg(WIDTH, 74, title, parts)


def draw_bar(share: float, filled: bool, label: str) -> Markup:
    """A bar for a share in 0..1: filled for what was measured, hollow for a limit."""
    width = max(1.5, 110 * share)
    return _svg(112, 13, label, [_box(1, 1, width, 11, "measured" if filled else "allowed")])


# --- elements ---


def _element(name: str, look: str = "", inside: str = "", **attributes: str | float) -> str:
    """An element; `look` names a row of `_LOOKS`, underscores in names stand for hyphens."""
    written = []
    for key, value in {**_LOOKS.get(look, {}), **attributes}.items():
        shown = f"{value:.1f}".removesuffix(".0") if isinstance(value, float) else value
        written.append(f' {key.replace("_", "-")}="{escape(shown)}"')
    return f"<{name}{''.join(written)}>{inside}</{name}>" if inside else f"<{name}{''.join(written)}/>"


def _svg(width: int, height: int, label: str, parts: Sequence[str]) -> Markup:
    inside = "\n".join(parts)
    return Markup(  # noqa: S704 (made of numbers and escaped texts)
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" role="img" '
        f'aria-label="{escape(label)}" font-family="{_FACE}" font-size="11" fill="{_INK}">\n{inside}\n</svg>'
    )


def _text(x: float, y: float, text: str, look: str = "", **attributes: str | float) -> str:
    return _element("text", look, str(escape(text)), x=float(x), y=float(y), **attributes)


def _line(x1: float, y1: float, x2: float, y2: float, look: str) -> str:
    return _element("line", look, x1=float(x1), y1=float(y1), x2=float(x2), y2=float(y2))


def _box(x: float, y: float, width: float, height: float, look: str, corner: float = 0.0) -> str:
    wide, tall = float(max(0.0, width)), float(max(0.0, height))
    return _element("rect", look, x=float(x), y=float(y), width=wide, height=tall, rx=corner)


def _hatching(x: float, y: float, width: float, height: float, colour: str) -> str:
    """Slanting lines over a box, clipped to it by arithmetic: no pattern has to be known to the page."""
    lines = []
    start = -height
    while start < width:
        # A line from (start, height) up to (start + height, 0), cut at both sides of the box.
        x1, x2 = max(0.0, start), min(width, start + height)
        if x2 > x1:
            y1, y2 = height - (x1 - start), height - (x2 - start)
            lines.append(f"M{x + x1:.1f} {y + y1:.1f}L{x + x2:.1f} {y + y2:.1f}")
        start += _HATCH
    return _element(
        "path", d="".join(lines), fill="none", stroke=colour, stroke_opacity=0.35, stroke_width=1.2
    )


class _Frame:
    """Where a tick and a value lie."""

    def __init__(self, chart: Chart, end_tick: int) -> None:
        self.end_tick = end_tick
        self.width, self.height = _INNER, HEIGHT - _TOP - _BOTTOM
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
    edge = _LEFT if left else WIDTH - _RIGHT
    x, anchor = (edge - 6, "end") if left else (edge + 6, "start")
    parts = [_text(x, 14, scale.unit, "unit", text_anchor=anchor)]
    for number in range(first, last + 1):
        y = frame.y(number * step / scale.factor)
        if left:
            parts.append(_line(_LEFT, y, WIDTH - _RIGHT, y, "grid"))
        else:
            parts.append(_line(edge, y, edge + 4, y, "tick"))
        parts.append(_text(x, y + 3.5, f"{number * step:.{decimals}f}", text_anchor=anchor))
    return parts


def _times(frame: _Frame) -> list[str]:
    seconds = frame.end_tick / TICKS_PER_S
    steps = (10, 30, 60, 120, 300, 600, 1200, 3600)
    step = next((step for step in steps if seconds / step <= 9), steps[-1])
    parts, y = [], HEIGHT - _BOTTOM
    for number in range(int(seconds // step) + 1):
        tick = number * step * TICKS_PER_S
        x = frame.x(tick)
        parts.append(_line(x, y, x, y + 4, "tick"))
        parts.append(_text(x, y + 16, clock(tick), text_anchor="middle"))
    return parts


def _limit(frame: _Frame, limit: Limit | None) -> list[str]:
    if limit is None:
        return []
    parts = []
    top, bottom = float(_TOP), float(HEIGHT - _BOTTOM)
    if limit.high is not None:
        parts.append(_hatching(_LEFT, top, _INNER, frame.y(limit.high) - top, _BAD))
    if limit.low is not None:
        y = frame.y(limit.low)
        parts.append(_hatching(_LEFT, y, _INNER, bottom - y, _BAD))
    for value in (limit.low, limit.high):
        if value is not None:
            y = frame.y(value)
            parts.append(_line(_LEFT, y, WIDTH - _RIGHT, y, "limit"))
    named = limit.high if limit.high is not None else limit.low
    if named is not None:
        y = frame.y(named)
        outside = y + 13 if limit.high is None or y - 16 < top else y - 4
        if outside > bottom:
            outside = y - 4
        parts.append(_box(_LEFT + 3, outside - 10, 5.9 * len(limit.name) + 4, 13, "backing"))
        parts.append(_text(_LEFT + 5, outside, limit.name, "limit_name"))
    return parts


def _curve(frame: _Frame, curve: Curve) -> str:
    path: list[str] = []
    drawing = False
    for x, value in _points(frame, curve.trace):
        if drawing:
            path.append(f"H{x:.1f}")
        if value is not None:
            y = frame.y(value)
            path.append(f"V{y:.1f}" if drawing else f"M{x:.1f} {y:.1f}")
        drawing = value is not None
    if drawing:
        path.append(f"H{frame.x(frame.end_tick):.1f}")
    return _element("path", "main" if curve.main else "second", d="".join(path)) if path else ""


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
        x -= 34 + 6 * len(curve.name)
        parts.append(_element("path", "main" if curve.main else "second", d=f"M{x} 10h20"))
        parts.append(_text(x + 25, 14, curve.name))
    return parts


def _flags(flags: Sequence[Flag], end_tick: int, top: int, bottom: int, box: int) -> list[str]:
    """A dashed line at each finding with its number in a box; boxes make room for each other."""
    parts: list[str] = []
    free_from = 0.0
    for flag in sorted(flags, key=lambda flag: flag.tick):
        x = _LEFT + _INNER * min(flag.tick / end_tick, 1.0)
        wide = 6.5 * len(flag.label) + 8
        at = min(max(x - wide / 2, free_from), WIDTH - wide)
        free_from = at + wide + 1
        parts.append(_line(x, top, x, bottom, "flag"))
        parts.append(_box(at, box, wide, 14, "flag_box", corner=3.0))
        parts.append(_text(at + wide / 2, box + 10.5, flag.label, "flag_name"))
    return parts
