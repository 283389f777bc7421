"""A small kit of widgets: text, boxes, buttons, tabs, lists that scroll, fields, tooltips, one focus ring.

The kit is drawn afresh every frame: a screen draws a button and gives what it does in the same call, and the
kit keeps the list of what can be pointed at (`Target`) until the next frame. Mouse, keyboard, tests and
assistive tools all act on that one list, so nothing can be reached by one of them only.

Sizes are given in pixels of a 1280 x 720 window and grow with it; text grows with the reader's setting too.
"""

from __future__ import annotations

import math
from collections import OrderedDict
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pygame

from trainer.scene import shapes
from trainer.scene.keys import DIRECTIONS, Keys, ends_typing, erases
from trainer.scene.palette import (
    ACCENT,
    ACCENT_DARK,
    ACCENT_PALE,
    BAR,
    BAR_EDGE,
    BAR_INK,
    BAR_MUTED,
    BAR_RAISED,
    EDGE,
    INK,
    MUTED,
    PAPER,
    PAPER_DEEP,
    SHEET,
    Colour,
    mix,
)

Point = tuple[int, int]
BASE = (1280, 720)
_FINER = 3
_KEPT_PIXELS = 16_000_000
_KEPT_WIDTHS = 4000
_KEPT_PICTURES = 2_500
_TOOLTIP_AFTER_S = 0.45


@dataclass(slots=True)
class Target:
    """One thing that can be pointed at: by mouse, by Tab and Enter, by a test.

    `act` is done on a click or on Enter. `grab` follows the pointer while the button is held (sliders).
    `step` is what the left and right arrow keys do. A target that is not `enabled` keeps its tooltip.
    """

    id: str
    rect: pygame.Rect
    label: str
    hint: str = ""
    act: Callable[[], None] | None = None
    enabled: bool = True
    grab: Callable[[Point], None] | None = None
    step: Callable[[int], None] | None = None
    clip: pygame.Rect | None = None
    area: str = ""

    @property
    def seen(self) -> pygame.Rect:
        """The part of it that is not scrolled away."""
        return self.rect.clip(self.clip) if self.clip is not None else self.rect


@dataclass(slots=True)
class Area:
    """A part of the window that scrolls."""

    rect: pygame.Rect
    offset: int = 0
    content: int = 0
    seen: bool = False
    grain: int = 1
    """It scrolls by whole multiples of this: the height of a line where no line may be cut."""
    at_end: bool = False
    """Follows its end as more comes, until it is scrolled away from there."""

    @property
    def most(self) -> int:
        return max(0, self.content - self.rect.height)

    def move(self, by: int) -> None:
        """Scroll by so many pixels, as far as it goes."""
        wish = round((self.offset + by) / self.grain) * self.grain
        self.offset = min(self.most, max(0, wish))
        self.at_end = self.offset == self.most


@dataclass(slots=True)
class View:
    """Inside a scrolling area: draw from `top` down and set `bottom` to where it ended."""

    top: int
    bottom: int
    left: int
    width: int


@dataclass(slots=True)
class Field:
    """A line of text being typed."""

    text: str = ""
    most: int = 40


@dataclass
class Kit:
    """See the module. `fonts` is the folder with the two faces."""

    fonts: Path
    scale: float = 1.0
    text_scale: float = 1.0
    now_s: float = 0.0
    targets: list[Target] = field(default_factory=list)
    areas: dict[str, Area] = field(default_factory=dict)
    overflows: list[str] = field(default_factory=list)
    focus: str = ""
    focus_shown: bool = False
    pointer: Point = (-1, -1)
    pressing: bool = False
    """A mouse button is held down, on whatever it may be."""
    typing: str = ""
    keys: Keys = field(default_factory=Keys)

    def __post_init__(self) -> None:
        self._widths: dict[tuple[str, int, bool], int] = {}
        self._fonts: dict[tuple[int, bool], pygame.font.Font] = {}
        self._kept: OrderedDict[tuple[object, ...], pygame.Surface] = OrderedDict()
        self._kept_pixels = 0
        self._fields: dict[str, Field] = {}
        self._pressed = ""
        self._grabbed: Callable[[Point], None] | None = None
        self._hovered = ("", 0.0)
        self._hushed = ""
        self._area: str = ""
        self._clip: pygame.Rect | None = None
        self._wrapped: OrderedDict[tuple[object, ...], tuple[str, ...]] = OrderedDict()
        self._offsets: dict[str, int] = {}
        self._following: set[str] = set()
        self._ring_was: list[str] = []
        self._focus_was = pygame.Rect(0, 0, 0, 0)
        """What the keyboard could be at, and where it was, when it last was at something that was there."""

    # --- sizes ---------------------------------------------------------------------------------------------

    def resize(self, window: tuple[int, int], text_scale: float | None = None) -> None:
        """Take the size of the window; everything drawn later is in proportion."""
        self.scale = min(window[0] / BASE[0], window[1] / BASE[1])
        if text_scale is not None:
            self.text_scale = text_scale

    def px(self, base: float) -> int:
        """Pixels of a 1280 x 720 window as pixels of this one."""
        return round(base * self.scale)

    def tx(self, base: float) -> int:
        """As `px`, for heights and widths that have to hold text."""
        return round(base * self.scale * self.text_scale)

    # --- text ----------------------------------------------------------------------------------------------

    def font(self, size: float = 15, bold: bool = False, finer: int = 1) -> pygame.font.Font:
        """One Font object per face and size: changing one's style is what costs."""
        pixels = max(8, round(size * self.scale * self.text_scale)) * finer
        key = pixels, bold
        if key not in self._fonts:
            name = "Inter-SemiBold.otf" if bold else "Inter-Regular.otf"
            self._fonts[key] = pygame.font.Font(self.fonts / name, pixels)
        return self._fonts[key]

    def line(self, size: float = 15) -> int:
        """Height of a line of text of this size."""
        return round(self.font(size).get_height() * 1.12)

    def width(self, text: str, size: float = 15, bold: bool = False) -> int:
        font = self.font(size, bold, _FINER)
        key = text, font.get_height(), bold
        kept = self._widths.get(key)
        if kept is None:
            if len(self._widths) >= _KEPT_WIDTHS:
                self._widths.clear()
            kept = self._widths[key] = math.ceil(font.size(text)[0] / _FINER)
        return kept

    def picture(
        self, text: str, size: float = 15, colour: Colour = INK, bold: bool = False
    ) -> pygame.Surface:
        """The text as a picture, kept for the next frame.

        It is set larger and scaled down: the font's own small sizes put letters on whole pixels, which tears
        words apart.
        """
        font = self.font(size, bold)
        key = ("text", text, font.get_height(), bold, colour)
        return self._keep(key, lambda: self._set(text, size, colour, bold))

    def _set(self, text: str, size: float, colour: Colour, bold: bool) -> pygame.Surface:
        large = self.font(size, bold, _FINER).render(text, True, colour)
        if not large.get_width():  # nothing to scale, and smoothscale does not survive the attempt
            return pygame.Surface((1, self.font(size, bold).get_height()), pygame.SRCALPHA)
        pixels = (max(1, self.width(text, size, bold)), self.font(size, bold).get_height())
        return shapes.for_screen(pygame.transform.smoothscale(large, pixels))

    def text(
        self,
        surface: pygame.Surface,
        text: str,
        at: tuple[float, float],
        size: float = 15,
        colour: Colour = INK,
        bold: bool = False,
        *,
        anchor: str = "topleft",
        width: int | None = None,
        may_cut: bool = False,
    ) -> pygame.Rect:
        """Draw one line; what does not fit in `width` is cut with dots and reported."""
        if width is not None and self.width(text, size, bold) > width:
            if not may_cut:
                self.overflows.append(f"{text!r} is wider than {width} px")
            text = self.cut(text, width, size, bold)
        return self._letter(surface, text, (round(at[0]), round(at[1])), size, colour, bold, anchor)

    def _letter(
        self,
        surface: pygame.Surface,
        text: str,
        at: Point,
        size: float,
        colour: Colour,
        bold: bool,
        anchor: str = "topleft",
    ) -> pygame.Rect:
        """Put letters on the surface: the one place where that is done, so that a test can look below all."""
        made = self.picture(text, size, colour, bold)
        place = made.get_rect(**{anchor: at})
        surface.blit(made, place)
        return place

    def cut(self, text: str, width: int, size: float = 15, bold: bool = False) -> str:
        """The text as far as it fits, with dots where it was cut."""
        if self.width(text, size, bold) <= width:
            return text
        low, high = 0, len(text)
        while low < high:
            middle = (low + high + 1) // 2
            if self.width(text[:middle].rstrip() + "…", size, bold) <= width:
                low = middle
            else:
                high = middle - 1
        return text[:low].rstrip() + "…"

    def wrap(self, text: str, width: int, size: float = 15, bold: bool = False) -> tuple[str, ...]:
        """The text broken into lines that fit; a word wider than the line is broken too."""
        key = (text, width, self.font(size, bold).get_height(), bold)
        kept = self._wrapped.get(key)
        if kept is not None:
            self._wrapped.move_to_end(key)
            return kept
        lines: list[str] = []
        for paragraph in text.split("\n"):
            current = ""
            for word in paragraph.split(" "):
                trial = f"{current} {word}" if current else word
                if self.width(trial, size, bold) <= width:
                    current = trial
                    continue
                if current:
                    lines.append(current)
                while len(word) > 1 and self.width(word, size, bold) > width:
                    end = next(
                        n
                        for n in range(len(word) - 1, 0, -1)
                        if n == 1 or self.width(word[:n], size, bold) <= width
                    )
                    lines.append(word[:end])
                    word = word[end:]
                current = word
            lines.append(current)
        self._wrapped[key] = tuple(lines)
        if len(self._wrapped) > 800:
            self._wrapped.popitem(last=False)
        return self._wrapped[key]

    def paragraph(
        self,
        surface: pygame.Surface,
        text: str,
        at: tuple[int, int],
        width: int,
        size: float = 15,
        colour: Colour = INK,
        bold: bool = False,
        *,
        lines: int | None = None,
    ) -> int:
        """Draw wrapped text and give the y below it. `lines` cuts it."""
        wrapped = self.wrap(text, width, size, bold)
        if lines is not None and len(wrapped) > lines:
            wrapped = (*wrapped[: lines - 1], self.cut(" ".join(wrapped[lines - 1 :]), width, size, bold))
        x, y = at
        step = self.line(size)
        clip = surface.get_clip()
        for one in wrapped:
            if one and clip.top - step < y < clip.bottom:
                self._letter(surface, one, (x, y), size, colour, bold)
            y += step
        return y

    def height(self, text: str, width: int, size: float = 15, bold: bool = False) -> int:
        """Height `paragraph` would take."""
        return len(self.wrap(text, width, size, bold)) * self.line(size)

    # --- shapes --------------------------------------------------------------------------------------------

    def box(
        self,
        surface: pygame.Surface,
        rect: pygame.Rect,
        fill: Colour | None = SHEET,
        edge: Colour | None = None,
        *,
        radius: float = 6,
        border: float = 1,
    ) -> None:
        """A box with smooth corners."""
        if rect.width <= 0 or rect.height <= 0:
            return
        corner = min(self.px(radius), rect.width // 2, rect.height // 2)
        thick = max(1, self.px(border)) if edge is not None else 0
        if corner < 1:
            if fill is not None:
                surface.fill(fill, rect)
            if edge is not None:
                pygame.draw.rect(surface, edge, rect, thick)
            return
        key = ("box", rect.size, fill, edge, corner, thick)
        surface.blit(self._keep(key, lambda: shapes.rounded(rect.size, fill, edge, corner, thick)), rect)

    def symbol(
        self,
        surface: pygame.Surface,
        name: str,
        centre: tuple[float, float],
        size: float,
        fill: Colour,
        edge: Colour | None = None,
    ) -> pygame.Rect:
        """A sign that says the same as a word beside it; names are the keys of `shapes.SYMBOLS`."""
        pixels = max(6, self.tx(size))
        key = ("symbol", name, pixels, fill, edge)
        made = self._keep(key, lambda: shapes.symbol(name, pixels, fill, edge))
        place = made.get_rect(center=(round(centre[0]), round(centre[1])))
        surface.blit(made, place)
        return place

    def keep(self, key: tuple[object, ...], make: Callable[[], pygame.Surface]) -> pygame.Surface:
        """A picture that a screen makes itself and wants again in the next frame."""
        return self._keep(("kept", self.scale, self.text_scale, *key), make)

    def _keep(self, key: tuple[object, ...], make: Callable[[], pygame.Surface]) -> pygame.Surface:
        kept = self._kept.get(key)
        if kept is not None:
            self._kept.move_to_end(key)
            return kept
        made = make()
        self._kept[key] = made
        self._kept_pixels += made.get_width() * made.get_height()
        while len(self._kept) > 1 and (self._kept_pixels > _KEPT_PIXELS or len(self._kept) > _KEPT_PICTURES):
            _, dropped = self._kept.popitem(last=False)
            self._kept_pixels -= dropped.get_width() * dropped.get_height()
        return made

    # --- the frame -----------------------------------------------------------------------------------------

    def begin(self, now_s: float) -> None:
        """Start a frame: what can be pointed at is listed anew while it is drawn."""
        self.now_s = now_s
        self.targets.clear()
        self.overflows.clear()
        for area in self.areas.values():
            area.seen = False

    def add(self, target: Target) -> Target:
        """List a target; of two at one place the later one is on top."""
        target.clip = target.clip if target.clip is not None else self._clip
        target.area = target.area or self._area
        self.targets.append(target)
        return target

    def modal(self) -> None:
        """What is drawn from now on lies over everything before: only it can be pointed at."""
        self.targets.clear()
        for area in self.areas.values():
            area.seen = False

    def end(self, surface: pygame.Surface) -> None:
        """Finish a frame: the focus ring and the tooltip over everything."""
        self.areas = {name: area for name, area in self.areas.items() if area.seen}
        shown = self.find(self.focus)
        if shown is not None:
            self._ring_was = [target.id for target in self.ring()]
            self._focus_was = shown.rect
        if shown is not None and self.focus_shown:
            ring = shown.rect.inflate(self.px(6), self.px(6))
            if shown.clip is not None:
                ring = ring.clip(shown.clip.inflate(self.px(6), self.px(6)))
            width = max(2, self.px(3))
            pygame.draw.rect(
                surface, INK, ring.inflate(2 * width, 2 * width), width, border_radius=self.px(8)
            )
            pygame.draw.rect(surface, (255, 255, 255), ring, width, border_radius=self.px(7))
        self._tell_what_is_under(surface, shown)

    def _tell_what_is_under(self, surface: pygame.Surface, focused: Target | None) -> None:
        """The tooltip of what the pointer rests on, or of what the keyboard is at.

        None while a button is held, and none over what was pressed or dropped on until the pointer has left
        it: what is looked for there is what comes of it.
        """
        under = self.at(self.pointer)
        here = under.id if under is not None else ""
        if self.pressing:
            self._hushed = here
        elif here != self._hushed:
            self._hushed = ""
        if under is None or not under.hint:
            self._hovered = ("", self.now_s)
            if focused is not None and self.focus_shown and focused.hint and not self.pressing:
                self._tooltip(surface, focused)
            return
        if self._hovered[0] != here:
            self._hovered = (here, self.now_s)
        rested = self.now_s - self._hovered[1] >= _TOOLTIP_AFTER_S
        if rested and not self.pressing and not self._hushed:
            self._tooltip(surface, under)

    def _tooltip(self, surface: pygame.Surface, target: Target) -> None:
        text = target.hint
        width = min(self.tx(300), self.width(text, 13) + 1)
        lines = self.wrap(text, width, 13)
        pad = self.px(8)
        wide = max(self.width(line, 13) for line in lines)
        box = pygame.Rect(0, 0, wide + 2 * pad, len(lines) * self.line(13) + 2 * self.px(6))
        box.midbottom = (target.seen.centerx, target.seen.top - self.px(6))
        # What belongs to a part of the window is told within that part: no tooltip of the stage on the tabs.
        bounds = target.clip if target.clip is not None else surface.get_rect()
        bounds = bounds.inflate(-self.px(8), -self.px(8))
        if box.top < bounds.top:
            box.top = target.seen.bottom + self.px(6)
        box.clamp_ip(bounds)
        self.box(surface, box, BAR, SHEET, radius=5)
        self.paragraph(surface, text, (box.left + pad, box.top + self.px(6)), width, 13, BAR_INK)

    # --- widgets -------------------------------------------------------------------------------------------

    def button(
        self,
        surface: pygame.Surface,
        rect: pygame.Rect,
        label: str,
        ident: str,
        act: Callable[[], None],
        *,
        kind: str = "plain",
        enabled: bool = True,
        hint: str = "",
        size: float = 15,
        symbol: str = "",
        chosen: bool = False,
    ) -> Target:
        """A button. `kind`: `plain` on paper, `strong` for the one thing to do next, `bar` on a dark bar."""
        target = self.add(Target(ident, rect, label, hint, act, enabled))
        hovered, held = self.hovers(target), self._pressed == ident
        fill, edge, ink = _BUTTONS["chosen" if chosen and kind != "bar" else "bar_chosen" if chosen else kind]
        if not enabled:
            ground = BAR if kind == "bar" else PAPER
            fill, edge, ink = mix(fill, ground, 0.65), mix(edge, ground, 0.6), mix(ink, ground, 0.30)
            if kind == "strong":
                ink = mix(INK, fill, 0.2)  # white on what is left of the accent could not be read
        elif held and hovered:
            fill = mix(fill, INK, 0.16)
        elif hovered:
            fill = mix(fill, INK if kind != "bar" else SHEET, 0.07)
        self.box(surface, rect, fill, edge, radius=6, border=1.4)
        inside = rect.inflate(-self.px(12), 0)
        lines = self._label_lines(
            label, inside.width - (self.tx(size + 4) if symbol else 0), rect.height, size
        )
        wide = max((self.width(one, size, True) for one in lines), default=0)
        left = rect.centerx - (wide + (self.tx(size + 5) if symbol and label else 0)) // 2
        if symbol:
            mark_x = left + self.tx(size * 0.5) if label else rect.centerx
            self.symbol(surface, symbol, (mark_x, rect.centery), size, ink)
            left += self.tx(size + 5)
        y = rect.centery - len(lines) * self.line(size) // 2 + self.px(0.5)
        for one in lines:
            x = left + (wide - self.width(one, size, True)) // 2
            self.text(surface, one, (x, y), size, ink, True)
            y += self.line(size)
        return target

    def _label_lines(self, label: str, width: int, height: int, size: float) -> tuple[str, ...]:
        if not label:
            return ()
        lines = self.wrap(label, max(width, 1), size, True)
        room = max(1, (height + self.px(4)) // self.line(size))
        if len(lines) > room or any(self.width(one, size, True) > width for one in lines):
            self.overflows.append(f"button {label!r}: {len(lines)} lines, {width} x {height} px are there")
            lines = (*lines[: room - 1], self.cut(" ".join(lines[room - 1 :]), width, size, True))
        return lines

    def tabs(
        self,
        surface: pygame.Surface,
        rect: pygame.Rect,
        items: Sequence[tuple[str, str]],
        chosen: str,
        pick: Callable[[str], None],
        prefix: str,
        *,
        kind: str = "plain",
        size: float = 14,
        hints: dict[str, str] | None = None,
    ) -> None:
        """Buttons side by side of which one is chosen; widths follow the labels."""
        if not items:
            return
        gap = self.px(4)
        pads = [self.width(label, size, True) + self.px(20) for _, label in items]
        spare = rect.width - gap * (len(items) - 1) - sum(pads)
        more = max(0, min(self.px(14), spare // len(items)))
        x = rect.left
        for (name, label), pad in zip(items, pads, strict=True):
            wide = pad + more if spare >= 0 else pad * (sum(pads) + spare) // sum(pads)
            box = pygame.Rect(x, rect.top, wide, rect.height)
            self.button(
                surface,
                box,
                label,
                f"{prefix}{name}",
                _picker(pick, name),
                kind=kind,
                size=size,
                chosen=name == chosen,
                hint=(hints or {}).get(name, ""),
            )
            x += wide + gap

    def input(
        self,
        surface: pygame.Surface,
        rect: pygame.Rect,
        label: str,
        ident: str,
        *,
        start: str = "",
        most: int = 40,
        size: float = 16,
    ) -> str:
        """A field for one line of text."""
        held = self._fields.setdefault(ident, Field(start, most))

        def take() -> None:
            self.typing = ident

        target = self.add(Target(ident, rect, label, "", take))
        active = self.typing == ident
        self.box(surface, rect, SHEET, ACCENT if active else EDGE, radius=5, border=2 if active else 1.4)
        x, y = rect.left + self.px(10), rect.centery
        room = rect.width - self.px(20)
        text = held.text
        while text and self.width(text, size) > room:
            text = text[1:]
        place = self.text(
            surface,
            text or (" " if active else label),
            (x, y),
            size,
            INK if held.text else MUTED,
            anchor="midleft",
            width=room,
            may_cut=True,
        )
        if active and self.now_s % 1.2 < 0.7:
            caret = place.right + 1 if held.text else x
            pygame.draw.line(
                surface,
                INK,
                (caret, target.rect.top + self.px(7)),
                (caret, target.rect.bottom - self.px(7)),
                max(1, self.px(1.5)),
            )
        return held.text

    def slider(
        self,
        surface: pygame.Surface,
        rect: pygame.Rect,
        label: str,
        ident: str,
        low: int,
        value: int,
        high: int,
        step: int,
        pick: Callable[[int], None],
    ) -> Target:
        """A value on a line: pulled with the pointer, or moved with the arrow keys by `step`."""
        knob = self.tx(11)
        track = pygame.Rect(0, 0, rect.width - 2 * knob, self.px(6))
        track.center = rect.center

        def near(wish: float) -> int:
            return min(high, max(low, low + round((wish - low) / step) * step))

        def grab(at: Point) -> None:
            pick(near(low + (at[0] - track.left) * (high - low) / max(1, track.width)))

        def by(steps: int) -> None:
            pick(near(value + steps * step))

        target = self.add(Target(ident, rect, label, "", grab=grab, step=by))
        self.box(surface, track, EDGE, None, radius=3)
        x = track.left + track.width * (value - low) // max(1, high - low)
        self.box(surface, pygame.Rect(track.left, track.top, x - track.left, track.height), ACCENT_DARK, None)
        self.symbol(surface, "disc", (x, rect.centery), 22, ACCENT, SHEET)
        return target

    @contextmanager
    def scroll(
        self, surface: pygame.Surface, ident: str, rect: pygame.Rect, *, dark: bool = False, grain: int = 1
    ) -> Iterator[View]:
        """A part that scrolls, by multiples of `grain`: draw from `view.top` down, set `view.bottom`."""
        area = self.areas.get(ident) or Area(rect, self._offsets.get(ident, 0))
        area.rect, area.seen, area.grain = rect, True, grain
        area.at_end = area.at_end or ident in self._following
        self._following.discard(ident)
        self.areas[ident] = area
        area.offset = min(max(area.offset, 0), area.most) if area.content else area.offset
        view = View(rect.top - area.offset, rect.top, rect.left, rect.width - self.px(12))
        clip_before, area_before, kit_clip = surface.get_clip(), self._area, self._clip
        surface.set_clip(rect.clip(clip_before))
        self._area, self._clip = ident, rect
        try:
            yield view
        finally:
            surface.set_clip(clip_before)
            self._area, self._clip = area_before, kit_clip
        area.content = view.bottom - view.top
        area.offset = area.most if area.at_end else min(area.offset, area.most)
        self._offsets[ident] = area.offset
        if area.most:
            track = pygame.Rect(rect.right - self.px(7), rect.top, self.px(5), rect.height)
            self.box(surface, track, BAR_RAISED if dark else PAPER_DEEP, None, radius=2.5)
            tall = max(self.px(24), rect.height * rect.height // area.content)
            top = rect.top + (rect.height - tall) * area.offset // area.most
            thumb = pygame.Rect(track.left, top, track.width, tall)
            self.box(surface, thumb, BAR_MUTED if dark else MUTED, None, radius=2.5)

            def grab(at: Point) -> None:
                room = max(1, rect.height - tall)
                area.move((at[1] - rect.top - tall // 2) * area.most // room - area.offset)

            self.targets.append(
                Target(f"{ident}.scroll", track.inflate(self.px(8), 0), "", grab=grab, clip=rect)
            )

    def follow_end(self, ident: str) -> None:
        """Let an area that scrolls show its end, and stay there as more comes."""
        self._following.add(ident)

    def dialog(
        self,
        surface: pygame.Surface,
        title: str,
        text: str,
        buttons: Sequence[tuple[str, str, str, Callable[[], None]]],
        *,
        wide: float = 460,
    ) -> None:
        """A question over everything: `buttons` are (id, label, kind, act); focus starts at the first."""
        self.modal()
        veil = self.keep(("veil", surface.get_size()), lambda: _veil(surface.get_size()))
        surface.blit(veil, (0, 0))
        pad = self.px(24)
        width = min(self.px(wide) * (2 if self.text_scale > 1.4 else 1), surface.get_width() - 4 * pad)
        tall_button = self.line(15) + self.px(18)
        rows = self._button_rows(buttons, width - 2 * pad)
        text_tall = self.height(text, width - 2 * pad) if text else 0
        tall = (
            pad * 2
            + self.line(22)
            + self.px(10)
            + text_tall
            + self.px(18)
            + len(rows) * (tall_button + self.px(8))
        )
        box = pygame.Rect(0, 0, width, tall)
        box.center = surface.get_rect().center
        self.box(surface, box, PAPER, INK, radius=10, border=2)
        self.text(surface, title, (box.left + pad, box.top + pad), 22, INK, True, width=width - 2 * pad)
        y = box.top + pad + self.line(22) + self.px(10)
        if text:
            y = self.paragraph(surface, text, (box.left + pad, y), width - 2 * pad)
        y += self.px(18)
        for row in rows:
            wides = [self.width(label, 15, True) + self.px(36) for _, label, _, _ in row]
            x = box.right - pad - sum(wides) - self.px(10) * (len(row) - 1)
            for (id_, label, kind, act), wide_button in zip(row, wides, strict=True):
                self.button(surface, pygame.Rect(x, y, wide_button, tall_button), label, id_, act, kind=kind)
                x += wide_button + self.px(10)
            y += tall_button + self.px(8)
        if self.find(self.focus) is None and buttons:
            self.focus = buttons[0][0]

    def _button_rows(
        self, buttons: Sequence[tuple[str, str, str, Callable[[], None]]], width: int
    ) -> list[list[tuple[str, str, str, Callable[[], None]]]]:
        rows: list[list[tuple[str, str, str, Callable[[], None]]]] = [[]]
        used = 0
        for button in buttons:
            wide = self.width(button[1], 15, True) + self.px(46)
            if rows[-1] and used + wide > width:
                rows.append([])
                used = 0
            rows[-1].append(button)
            used += wide
        return rows

    @property
    def held(self) -> str:
        """The target on which the mouse button is held down; '' where on none."""
        return self._pressed

    # --- pointing and keys ---------------------------------------------------------------------------------

    def find(self, ident: str) -> Target | None:
        return next((target for target in self.targets if target.id == ident), None)

    def at(self, point: Point) -> Target | None:
        """What lies on top at a point of the window."""
        for target in reversed(self.targets):
            if target.seen.collidepoint(point):
                return target
        return None

    def hovers(self, target: Target) -> bool:
        return target.seen.collidepoint(self.pointer)

    def handle(self, event: pygame.event.Event) -> bool:
        """Take a mouse or key event; False where it is nothing to the kit."""
        if event.type == pygame.MOUSEMOTION:
            self.pointer = event.pos
            if self._grabbed is not None:
                self._grabbed(event.pos)
                return True
            return False
        if event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
            return self._press(event.pos)
        if event.type == pygame.MOUSEBUTTONUP and event.button == 1:
            return self._release(event.pos)
        if event.type == pygame.MOUSEWHEEL:
            return self._wheel(-event.y)
        if event.type == pygame.TEXTINPUT and self.typing:
            held = self._fields[self.typing]
            held.text = (held.text + event.text)[: held.most]
            return True
        if event.type == pygame.KEYDOWN:
            return self._key(event)
        return False

    def _press(self, at: Point) -> bool:
        self.pointer = at
        target = self.at(at)
        self.focus_shown = False
        self.typing = ""
        if target is None:
            return False
        if target.enabled and target.grab is not None:
            self._grabbed = target.grab
            target.grab(at)
        self._pressed = target.id
        if target.act is not None or target.step is not None:
            self.focus = target.id
        return True

    def _release(self, at: Point) -> bool:
        self.pointer = at
        pressed, self._pressed, grabbed = self._pressed, "", self._grabbed
        self._grabbed = None
        if grabbed is not None:
            return True
        target = self.at(at)
        if pressed and target is not None and target.id == pressed:
            self.do(target)
            return True
        return bool(pressed)

    def do(self, target: Target) -> None:
        """What a click on it does."""
        if target.enabled and target.act is not None:
            target.act()

    def _wheel(self, notches: float) -> bool:
        for area in reversed(list(self.areas.values())):
            if area.rect.collidepoint(self.pointer) and area.most:
                area.move(round(notches * self.line(15) * 3))
                return True
        return False

    def _key(self, event: pygame.event.Event) -> bool:
        asked = self.keys.asked(event, bool(self.typing))
        if asked in ("next", "before"):
            self.move_focus(1 if asked == "next" else -1)
            return True
        if self.typing:
            held = self._fields[self.typing]
            if erases(event):
                held.text = held.text[:-1]
            elif ends_typing(event):
                self.typing = ""
            return True
        target = self.find(self.focus)
        if asked == "press" and target is not None:
            self.focus_shown = True
            self.do(target)
            return True
        if asked in ("left", "right") and target is not None and target.step is not None:
            target.step(DIRECTIONS[asked][0])
            return True
        if asked in DIRECTIONS:
            return self.move_towards(*DIRECTIONS[asked])
        pages = {"page_up": -1, "page_down": 1}
        if asked in pages:
            area = self.areas.get(target.area) if target is not None else None
            area = area or max(self.areas.values(), key=lambda one: one.most, default=None)
            if area is not None:
                area.move(pages[asked] * area.rect.height * 4 // 5)
                return True
        return False

    def ring(self) -> list[Target]:
        """What the keyboard can be at, in the order in which it gets there."""
        return [target for target in self.targets if target.act is not None or target.step is not None]

    def move_focus(self, direction: int) -> None:
        """To the next target (or the one before), scrolled into view."""
        ring = {target.id: target for target in self.ring()}
        if ring:
            self._put_focus(ring[self._beside_focus(list(ring), direction)])

    def _beside_focus(self, ids: list[str], direction: int) -> str:
        """The neighbour of what the keyboard is at. Where that has gone (it was taken in hand), the nearest
        one that is still there of those that came after or before it."""
        ring = ids if self.focus in ids else self._ring_was
        if self.focus in ring:
            here = ring.index(self.focus)
            for step in range(1, len(ring) + 1):
                name = ring[(here + direction * step) % len(ring)]
                if name in ids:
                    return name
        return ids[0 if direction > 0 else -1]

    def move_towards(self, right: int, down: int) -> bool:
        """To the target that lies nearest in a direction; False where none lies there.

        What lies aside counts as three times as far: along a row before across to the next one.
        """
        start = self.find(self.focus)
        if start is None and self.focus not in self._ring_was:
            self.move_focus(1)
            return bool(self.focus)
        here = start.rect if start is not None else self._focus_was
        nearest: tuple[float, Target] | None = None
        for target in self.targets:
            if target is start or (target.act is None and target.step is None):
                continue
            along = _apart(here, target.rect, right, down)
            aside = _apart(here, target.rect, abs(down), abs(right))
            aside = max(aside, _apart(here, target.rect, -abs(down), -abs(right)), 0)
            middle = (target.rect.centerx - here.centerx) * right
            middle += (target.rect.centery - here.centery) * down
            if along < -min(here.size) // 2 or middle <= 0:
                continue
            far = max(along, 0) + 3.0 * aside + middle / 100
            if nearest is None or far < nearest[0]:
                nearest = far, target
        if nearest is None:
            return False
        self._put_focus(nearest[1])
        return True

    def _put_focus(self, target: Target) -> None:
        """The keyboard is at this now, scrolled into view."""
        self.focus, self.focus_shown = target.id, True
        self.typing = ""
        if target.area in self.areas and target.clip is not None:
            area = self.areas[target.area]
            if target.rect.top < target.clip.top:
                area.move(target.rect.top - target.clip.top - self.px(10))
            elif target.rect.bottom > target.clip.bottom:
                area.move(target.rect.bottom - target.clip.bottom + self.px(10))


_BUTTONS: dict[str, tuple[Colour, Colour, Colour]] = {
    "plain": (SHEET, EDGE, INK),
    "strong": (ACCENT, ACCENT_DARK, (255, 255, 255)),
    "chosen": (ACCENT_PALE, ACCENT_DARK, INK),
    "bar": (BAR_RAISED, BAR_EDGE, BAR_INK),
    "bar_chosen": (PAPER, PAPER, INK),
}


def _picker(pick: Callable[[str], None], name: str) -> Callable[[], None]:
    def act() -> None:
        pick(name)

    return act


def _apart(one: pygame.Rect, other: pygame.Rect, right: int, down: int) -> int:
    """How far beyond one box the other begins in a direction; less than nothing where they overlap."""
    if right:
        return other.left - one.right if right > 0 else one.left - other.right
    return other.top - one.bottom if down > 0 else one.top - other.bottom


def _veil(size: tuple[int, int]) -> pygame.Surface:
    veil = pygame.Surface(size, pygame.SRCALPHA)
    veil.fill((*BAR, 170))
    return veil
