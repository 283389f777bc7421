"""The bench in the shed: papers to read, the tools, a clock to let time pass, a tray for finished work."""

from __future__ import annotations

import math
from collections.abc import Callable

import pygame

from trainer.core.actions import Action
from trainer.core.case import Paper
from trainer.core.units import TICKS_PER_S
from trainer.scene.palette import GRAPHITE, ICE, INK, MUTED, PLUM, SAND, SHEET, STEEL
from trainer.scene.screens import draw_paper
from trainer.scene.station import Yard
from trainer.scene.stations.finding import clipboard_spots, draw_clipboard
from trainer.scene.stations.hands import Box, Dial, Handwork, Place, Spot, typed_thousandths

_CLOCK: Place = (306.0, 403.0)
_CLOCK_RADIUS = 32.0
_LEAST_LETTERING = 8.5
_TITLE_LINES = 5
_FOLDER: Place = (912.0, 536.0)
_REPORT: Place = (206.0, 416.0)
_SHEET: Box = (208.0, 66.0, 560.0, 548.0)
_MOST_WAIT_S = 600
_TOOLS = ("gauge", "flow_meter", "multimeter", "thermometer", "tape", "level")


class Bench(Handwork):
    """In the shed."""

    name = "bench"

    def __init__(self, yard: Yard) -> None:
        super().__init__(yard)
        self._open = ""

    def _paper_boxes(self) -> list[tuple[Paper, Box]]:
        """Where each paper hangs: on the pinned sheets, closer together where there are more than four."""
        papers = self.yard.case.papers
        left, top = (float(value) for value in self.yard.art.note("bench_papers", "paper_1"))
        if len(papers) <= 4:
            notes = [self.yard.art.note("bench_papers", f"paper_{i + 1}") for i in range(len(papers))]
            return [
                (paper, (float(x), float(y), 118.0, 156.0))
                for paper, (x, y) in zip(papers, notes, strict=True)
            ]
        step = 540.0 / len(papers)
        return [(paper, (left - 16 + step * i, top, step - 8, 156.0)) for i, paper in enumerate(papers)]

    def spots(self) -> list[Spot]:
        if self._open:
            x, y, wide, _ = _SHEET
            return [
                Spot(
                    "paper:close",
                    (x + wide - 96, y + 10, 84, 32),
                    self.word("bench.close"),
                    tap=self._close,
                    written=True,
                ),
                Spot("paper:open", _SHEET, self.word("bench.close"), tap=self._close, written=True),
            ]
        spots = [
            Spot(f"paper:{paper.name}", box, paper.title, tap=self._reader(paper.name))
            for paper, box in self._paper_boxes()
        ]
        spots += clipboard_spots(self, _REPORT, 0.22)
        for tool in _TOOLS:
            x, y = self.yard.art.note("bench_tools", f"tool_{tool}")
            spots.append(
                Spot(
                    f"tool:{tool}",
                    (x - 54, y - 96, 108, 116),
                    self.word(f"bench.tool_{tool}"),
                    tap=self._teller(tool),
                    written=True,
                )
            )
        dial = Dial(
            0,
            _MOST_WAIT_S * 1000,
            10_000,
            0,
            (1.0, 0.0),
            4000.0,
            lambda amount: Action("wait", amount=amount),
            self._show_wait,
            typed_thousandths,
        )
        x, y = _CLOCK
        spots.append(Spot("clock", (x - 44, y - 44, 88, 88), self.word("bench.clock"), dial=dial))
        x, y = _FOLDER
        spots.append(
            Spot(
                "hand_in",
                (x - 62, y - 60, 124, 112),
                self.word("bench.hand_in"),
                tap=lambda: self.do("hand_in"),
            )
        )
        return spots

    def _reader(self, name: str) -> Callable[[], None]:
        def act() -> None:
            self._open = name
            if name not in self.yard.state.papers:
                self.do("read", name)

        return act

    def _close(self) -> None:
        self._open = ""
        self.yard.paper_closed()

    def _teller(self, tool: str) -> Callable[[], None]:
        def act() -> None:
            self.yard.say(f"stations.bench.where_{tool}")

        return act

    def _show_wait(self, amount: int) -> str:
        minutes, seconds = divmod(amount // 1000, 60)
        return self.word("bench.wait", time=f"{minutes}:{seconds:02d}")

    def enter(self) -> None:
        self._open = ""
        super().enter()

    # --- drawing ------------------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        key = ("bench", self.yard.state.papers)
        self.show_layer(surface, self.layer("ground", key, self._paint, opaque=True))
        self._draw_clock(surface)
        if not self._open:
            self.hover_box(surface)
        self._draw_paper(surface)
        self.draw_setting(surface)

    def _paint(self, surface: pygame.Surface) -> None:
        kit = self.yard.kit
        self.backdrop(surface, "bench_backdrop")
        crowded = len(self.yard.case.papers) > 4
        for paper, (x, y, wide, tall) in self._paper_boxes():
            box = self.view.area(x, y, wide, tall)
            if crowded:
                kit.box(surface, box, SHEET, PLUM[2], radius=2, border=1.2)
            read = paper.name in self.yard.state.papers
            self._paint_small(surface, paper, box, read)
        for tool in _TOOLS:
            x, y = self.yard.art.note("bench_tools", f"tool_{tool}")
            self.put(
                surface,
                f"tool_{tool}",
                (float(x), float(y)),
                self.anchor(f"tool_{tool}", "foot"),
                0.72 if tool == "level" else 0.86,
            )
            self.plate(surface, self.word(f"bench.tool_{tool}"), (float(x), float(y) + 24), 11.5)
        draw_clipboard(self, surface, _REPORT, 0.22)
        x, y = _FOLDER
        self.put(surface, "clipboard", (x, y - 4), (150, 200), 0.3)
        self.plate(surface, self.word("bench.hand_in_short"), (x, y + 64), 12.5)

    def _paint_small(self, surface: pygame.Surface, paper: Paper, box: pygame.Rect, read: bool) -> None:
        kit = self.yard.kit
        clip = surface.get_clip()
        inside = box.inflate(-self.px(18), -self.px(20)).move(0, self.px(8))
        surface.set_clip(box.clip(clip) if clip.width else box)
        size = self.lettering(12)
        least, words = self.lettering(_LEAST_LETTERING), paper.title.split()
        while size > least and (
            any(kit.width(word, size, True) > inside.width for word in words)
            or len(kit.wrap(paper.title, inside.width, size, True)) > _TITLE_LINES
        ):
            size -= 0.25  # rather smaller than a word broken in two or a title cut short
        y = kit.paragraph(
            surface, paper.title, inside.topleft, inside.width, size, INK, True, lines=_TITLE_LINES
        )
        y += self.px(6)
        for index in range(9):
            wide = inside.width * (0.95 - 0.13 * ((index * 5) % 4))
            if y > inside.bottom - self.px(22):
                break
            pygame.draw.line(surface, SAND[3], (inside.left, y), (inside.left + wide, y), self.px(2))
            y += self.px(8)
        if read:
            kit.symbol(surface, "check", (box.right - self.px(18), box.bottom - self.px(16)), 13, ICE[1])
        surface.set_clip(clip)

    def _draw_clock(self, surface: pygame.Surface) -> None:
        centre = self.view.at(*_CLOCK)
        radius = self.px(_CLOCK_RADIUS)
        pygame.draw.aacircle(surface, INK, centre, radius + self.px(3))
        pygame.draw.aacircle(surface, PLUM[2], centre, radius + self.px(1))
        pygame.draw.aacircle(surface, SHEET, centre, radius - self.px(4))
        for hour in range(12):
            c, s = math.cos(hour * math.tau / 12), math.sin(hour * math.tau / 12)
            pygame.draw.aaline(
                surface,
                INK,
                (centre[0] + c * radius * 0.7, centre[1] + s * radius * 0.7),
                (centre[0] + c * radius * 0.82, centre[1] + s * radius * 0.82),
                2 if hour % 3 == 0 else 1,
            )
        seconds = self.yard.state.tick / TICKS_PER_S
        for turns, far, wide, ink in (
            (0.604 + seconds / 43200, 0.42, 4, INK),
            (0.25 + seconds / 3600, 0.66, 3, INK),
            (seconds / 60, 0.7, 1, ICE[1]),
        ):
            angle = turns * math.tau - math.pi / 2
            tip = (centre[0] + math.cos(angle) * radius * far, centre[1] + math.sin(angle) * radius * far)
            pygame.draw.aaline(surface, ink, centre, tip, self.px(wide))
        self.plate(surface, self.word("bench.clock_short"), (_CLOCK[0], _CLOCK[1] + _CLOCK_RADIUS + 12), 11.5)

    def _draw_paper(self, surface: pygame.Surface) -> None:
        paper = next((one for one in self.yard.case.papers if one.name == self._open), None)
        if paper is None:
            return
        kit = self.yard.kit
        box = self.view.area(*_SHEET)
        kit.box(surface, box.move(self.px(5), self.px(7)), GRAPHITE[1], None, radius=6)
        kit.box(surface, box, SHEET, STEEL[0], radius=5, border=1.6)
        inside = box.inflate(-self.px(44), -self.px(30))
        kit.paragraph(
            surface,
            paper.title,
            inside.topleft,
            inside.width - self.px(96),
            self.lettering(19),
            INK,
            True,
            lines=2,
        )
        top = inside.top + self.px(52)
        if paper.name not in self.yard.state.papers:
            kit.paragraph(surface, self.word("bench.reading"), (inside.left, top), inside.width, 15, MUTED)
        else:
            size = 14.5
            while size > 10 and self._paper_height(paper, inside.width, size) > inside.bottom - top:
                size -= 0.5
            draw_paper(kit, surface, paper, inside.left, top, inside.width, size)
        close = self.spot("paper:close")
        if close is not None:
            self.button(surface, close, self.word("bench.close"))

    def _paper_height(self, paper: Paper, width: int, size: float) -> int:
        kit = self.yard.kit
        return sum(kit.height(line, width, size) + self.px(9) for line in paper.lines)
