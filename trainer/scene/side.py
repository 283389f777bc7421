"""The panel beside the stage: the next safe steps, the job's text and its papers."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import pygame

from trainer.core.actions import WORDS, Action
from trainer.core.case import STATIONS, Step
from trainer.core.units import TICKS_PER_S
from trainer.records.charts import clock
from trainer.scene.palette import ACCENT_DARK, INK, MUTED, PAPER, PAPER_DEEP, SHEET, YELLOW, Colour
from trainer.scene.screens import draw_paper

if TYPE_CHECKING:
    from trainer.scene.shell import Shell

_CAUTIONS = {
    "injection": ("couple", "uncouple", "wipe"),
    "crush": ("reverse", "hitch", "latch"),
    "support": ("stands", "lift_lock"),
}
"""The words of a step at which a caution counts, most telling first."""


class SidePanel:
    """What is offered depends on how the job is run: steps in guided mode, on request in practice."""

    def __init__(self, shell: Shell, newcomer: bool = False) -> None:
        self.shell = shell
        self.desk, self.kit = shell.desk, shell.kit
        self.tab = {"guided": "next", "practice": "help"}.get(shell.mode, "job")
        self.paper = ""
        self.how: set[str] = {step.name for step in shell.case.steps} if newcomer else set()
        """Steps of which it is told how they are done, and pointed at where."""
        self.asked = False

    def draw(self, surface: pygame.Surface, side: pygame.Rect) -> None:
        desk, kit = self.desk, self.kit
        surface.fill(PAPER, side)
        pygame.draw.line(surface, INK, side.topleft, side.bottomleft, max(1, kit.px(1.5)))
        pad = kit.px(12)
        items = [(name, desk.say(f"screens.side.{name}")) for name in self._tabs()]
        tab = kit.line(14) + kit.px(12)
        row = pygame.Rect(side.left + pad, side.top + kit.px(8), side.width - 2 * pad, tab)
        kit.tabs(surface, row, items, self.tab, self._show_side, "yard.side.", size=13.5)
        room = pygame.Rect(side.left + pad, row.bottom + kit.px(10), side.width - 2 * pad + kit.px(6), 0)
        room.height = side.bottom - room.top - kit.px(10)
        with kit.scroll(surface, f"yard.side.{self.tab}.{self.paper}", room) as view:
            draw = {
                "next": self._draw_next,
                "help": self._draw_help,
                "job": self._draw_job,
                "papers": self._draw_papers,
            }[self.tab]
            view.bottom = draw(surface, view.left, view.top, view.width)

    @property
    def offers(self) -> bool:
        """The next steps are offered: in guided mode, and in practice once they were asked for."""
        return self.shell.mode == "guided" or (self.shell.mode == "practice" and self.asked)

    def show_paper(self, name: str) -> None:
        """Turn to a paper; it can be read once the trainee has looked it through."""
        self.tab, self.paper = "papers", name

    def close_paper(self) -> None:
        """It was laid down, or something else is done: in guided mode what comes next is shown again."""
        if self.shell.mode == "guided" and self.tab == "papers":
            self.tab, self.paper = "next", ""

    def next_tab(self) -> None:
        """The tab after the one that is open."""
        names = self._tabs()
        self.tab = names[(names.index(self.tab) + 1) % len(names)]

    def _tabs(self) -> list[str]:
        first = {"guided": ["next"], "practice": ["help"]}.get(self.shell.mode, [])
        return [*first, "job", "papers"]

    def _show_side(self, name: str) -> None:
        self.tab = name

    def _draw_next(self, surface: pygame.Surface, x: int, y: int, width: int) -> int:
        desk, kit = self.desk, self.kit
        done, count = self.shell.guide.count, len(self.shell.case.steps)
        kit.text(surface, desk.say("screens.yard.steps_done", done=done, count=count), (x, y), 13, MUTED)
        y += kit.line(13) + kit.px(4)
        track = pygame.Rect(x, y, width, kit.px(6))
        kit.box(surface, track, PAPER_DEEP, None, radius=3)
        kit.box(
            surface, pygame.Rect(x, y, width * done // max(1, count), kit.px(6)), ACCENT_DARK, None, radius=3
        )
        y += kit.px(16)
        steps = self.shell.guide.next_steps()
        if not steps:
            return kit.paragraph(surface, desk.say("screens.yard.all_done"), (x, y), width, 14)
        caution_told = ""
        for step in steps:
            caution = self._caution(step)
            y = self._draw_step(
                surface, step, x, y, width, "" if caution == caution_told else caution
            ) + kit.px(10)
            caution_told = caution or caution_told
        return y

    def _caution(self, step: Step) -> str:
        words = {line.partition(":")[0].strip() for line in step.actions}
        return next((name for name, among in _CAUTIONS.items() if words & set(among)), "")

    def _draw_step(
        self, surface: pygame.Surface, step: Step, x: int, y: int, width: int, caution: str
    ) -> int:
        desk, kit = self.desk, self.kit
        pad = kit.px(10)
        inner = width - 2 * pad
        edge = self.shell.guide.reason(step)
        missing = self.shell.guide.missing(step, self.shell.bits)
        first = ", ".join(desk.say(f"screens.conditions.{name}") for name in missing)
        lines: list[tuple[str, float, Colour, bool]] = [(step.title, 15, INK, True)]
        if edge is not None:
            lines.append((desk.say("screens.yard.because", why=edge.why), 13, MUTED, False))
        if first:
            lines.append((desk.say("screens.yard.first", what=first), 13, INK, False))
        if step.name in self.how:
            lines += [(line, 13, INK, False) for line in self._how(step)]
        button = kit.line(12.5) + kit.px(8)
        tall = 2 * pad + button + kit.px(4)
        for text, size, _, bold in lines:
            tall += kit.height(text, inner, size, bold) + kit.px(3)
        box = pygame.Rect(x, y, width, tall)
        kit.box(surface, box, SHEET, MUTED, radius=7)
        surface.fill(ACCENT_DARK, (x, y + kit.px(8), max(2, kit.px(4)), tall - kit.px(16)))
        below = y + pad
        for text, size, colour, bold in lines:
            below = kit.paragraph(surface, text, (x + pad, below), inner, size, colour, bold) + kit.px(3)
        label = desk.say("screens.yard.how_hide" if step.name in self.how else "screens.yard.how")
        wide = kit.width(label, 12.5, True) + kit.px(24)
        kit.button(
            surface,
            pygame.Rect(x + pad, below + kit.px(2), wide, button),
            label,
            f"yard.how.{step.name}",
            self._toggle_how(step.name),
            size=12.5,
        )
        bottom = box.bottom
        if caution:
            text = desk.say(f"caution.{caution}")
            sign = kit.tx(20)
            bottom += kit.px(6)
            kit.symbol(surface, "triangle", (x + sign // 2, bottom + sign // 2), 20, YELLOW, INK)
            bottom = kit.paragraph(
                surface, text, (x + sign + kit.px(6), bottom), width - sign - kit.px(6), 12.5
            )
        return bottom

    def _toggle_how(self, name: str) -> Callable[[], None]:
        def act() -> None:
            self.how ^= {name}

        return act

    def _how(self, step: Step) -> list[str]:
        """Where and what, without the amounts: those are for the trainee to find."""
        lines: dict[str, None] = {}
        for line in step.actions:
            word = line.partition(":")[0].strip()
            if word in WORDS and word != "go":
                key = f"screens.how.{word}"
                texts = self.desk.texts
                says = texts.say(key) if texts.has(key) else texts.translated(WORDS[word].says)
                where = WORDS[word].stations
                if len(where) == len(STATIONS):
                    lines[f"–  {says}"] = None
                else:
                    places = self.desk.say("screens.yard.or").join(
                        self.desk.say(f"screens.stations.{name}") for name in where[:2]
                    )
                    lines[f"–  {places}: {says}"] = None
        return list(lines)

    def _draw_help(self, surface: pygame.Surface, x: int, y: int, width: int) -> int:
        desk, kit = self.desk, self.kit
        if self.asked:
            return self._draw_next(surface, x, y, width)
        y = kit.paragraph(surface, desk.say("screens.yard.help_says"), (x, y), width, 14, MUTED) + kit.px(10)
        tall = kit.line(15) + kit.px(16)
        kit.button(
            surface, pygame.Rect(x, y, width, tall), desk.say("screens.yard.help"), "yard.help", self._ask
        )
        return y + tall

    def _ask(self) -> None:
        self.asked = True

    def _draw_job(self, surface: pygame.Surface, x: int, y: int, width: int) -> int:
        desk, kit = self.desk, self.kit
        for paragraph in self.shell.case.text:
            y = kit.paragraph(surface, paragraph, (x, y), width, 14) + kit.px(8)
        y += kit.px(4)
        return kit.paragraph(
            surface,
            desk.say(
                "screens.yard.par",
                par=clock(round(self.shell.case.par_s * TICKS_PER_S)),
                limit=clock(round(self.shell.case.time_limit_s * TICKS_PER_S)),
            ),
            (x, y),
            width,
            13,
            MUTED,
        )

    def _draw_papers(self, surface: pygame.Surface, x: int, y: int, width: int) -> int:
        desk, kit = self.desk, self.kit
        inner = width - kit.px(14)
        for paper in self.shell.case.papers:
            label = paper.title
            if paper.name not in self.shell.state.papers:
                label = desk.say("screens.yard.paper_unread", title=paper.title)
            row = kit.height(label, inner, 13.5, True) + kit.px(14)
            kit.button(
                surface,
                pygame.Rect(x, y, width, row),
                label,
                f"yard.paper.{paper.name}",
                self._reader(paper.name),
                chosen=paper.name == self.paper,
                size=13.5,
            )
            y += row + kit.px(5)
        y += kit.px(8)
        shown = next((paper for paper in self.shell.case.papers if paper.name == self.paper), None)
        if shown is None:
            return y
        if shown.name not in self.shell.state.papers:
            return kit.paragraph(surface, desk.say("screens.yard.reading"), (x, y), width, 13, MUTED)
        y = kit.paragraph(surface, shown.title, (x, y), width, 15, ACCENT_DARK, True)
        return draw_paper(kit, surface, shown, x, y + kit.px(4), width, 13.5)

    def _reader(self, name: str) -> Callable[[], None]:
        def act() -> None:
            if self.paper == name:
                self.paper = ""
                self.close_paper()
                return
            self.paper = name
            if name not in self.shell.state.papers and Action("read", name) not in self.shell.waiting:
                self.shell.do(Action("read", name))

        return act
