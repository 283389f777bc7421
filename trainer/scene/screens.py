"""Before the yard: the first screen, where a job is picked, and the job sheet with its papers."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pygame

from trainer.authoring.compile import Job
from trainer.authoring.translation import course_title
from trainer.core.case import Case, Paper
from trainer.core.units import TICKS_PER_S
from trainer.lang import languages
from trainer.records import results
from trainer.records.charts import clock
from trainer.records.settings import MODES
from trainer.scene.desk import Desk, Screen
from trainer.scene.kit import Kit
from trainer.scene.palette import (
    ACCENT_DARK,
    BAR,
    BAR_INK,
    BAR_MUTED,
    EDGE,
    GREEN,
    INK,
    MUTED,
    ORANGE,
    PAPER,
    PAPER_DEEP,
    SHEET,
    YELLOW,
)


@dataclass(frozen=True, slots=True)
class Listed:
    """A job as the first screen lists it."""

    name: str
    title: str
    course: str
    says: str
    """The first lines of its text."""
    own: bool = False
    """It lies in a folder of somebody's own."""
    trouble: tuple[str, ...] = ()
    """What is wrong with its files: it cannot be begun."""


@dataclass(frozen=True, slots=True)
class Unfinished:
    """An attempt that can be gone on with."""

    path: Path
    title: str


def backdrop(desk: Desk, surface: pygame.Surface, name: str) -> None:
    """A drawing that covers the window, whatever the window's proportions."""
    width, height = desk.art.size(name)
    scale = max(surface.get_width() / width, surface.get_height() / height)
    drawn = desk.art.picture(name, scale, opaque=True)
    surface.blit(drawn, drawn.get_rect(center=surface.get_rect().center))


def caution_box(kit: Kit, surface: pygame.Surface, text: str, at: tuple[int, int], width: int) -> pygame.Rect:
    """The caution, in its frame with its sign; gives the box it took."""
    pad = kit.px(12)
    sign = kit.tx(26)
    inner = width - 3 * pad - sign
    tall = max(kit.height(text, inner, 13), sign) + 2 * pad
    box = pygame.Rect(at[0], at[1], width, tall)
    kit.box(surface, box, PAPER, INK, radius=6, border=2)
    kit.symbol(surface, "triangle", (box.left + pad + sign // 2, box.top + pad + sign // 2), 26, YELLOW, INK)
    kit.paragraph(surface, text, (box.left + 2 * pad + sign, box.top + pad), inner, 13)
    return box


_RESULT_SIGNS = {"check": GREEN, "clock": YELLOW, "cross": ORANGE, "": MUTED}


_TROUBLES_SHOWN = 3


def _first_things_first(job: Listed) -> tuple[bool, bool, str, bool, str]:
    """One's own, the first lesson, the rest of its course, then the other courses."""
    course = job.name.rpartition("/")[0]
    return (
        not job.own,
        course != results.LESSON.rpartition("/")[0],
        course,
        job.name != results.LESSON,
        job.name,
    )


class FirstScreen(Screen):
    """Pick a job, a way to run it, or go on with what was left off."""

    name = "first"

    def __init__(
        self,
        desk: Desk,
        jobs: list[Listed],
        unfinished: Unfinished | None,
        trouble: str = "",
        *,
        done: Sequence[results.Result] = (),
        today: date = date.min,
        folder: str = "",
        folder_trouble: Sequence[str] = (),
    ) -> None:
        super().__init__(desk)
        self.jobs = sorted(jobs, key=_first_things_first)
        self.unfinished = unfinished
        self.trouble = trouble
        self.results = done
        self.today = today
        self.folder = folder
        """A folder of somebody's own, and what there is to say about it beside its jobs."""
        self.folder_trouble = tuple(folder_trouble)
        self.standings: dict[str, results.Standing] = {}
        self.signed = 0
        self.lesson = next((job.name for job in jobs if job.name == results.LESSON), None)
        self._whose: str | None = None
        names = [job.name for job in self.jobs]
        if desk.settings.job not in names:
            desk.settings.job = names[0] if names else ""

    def draw(self, surface: pygame.Surface) -> None:
        desk, kit = self.desk, self.desk.kit
        backdrop(desk, surface, "title_backdrop")
        window = surface.get_rect()
        margin = kit.px(32)
        wide = min(kit.px(470) + kit.px(150) * (kit.text_scale > 1.2), window.width * 58 // 100)
        card = pygame.Rect(margin, margin, wide, window.height - 2 * margin)
        left = card.right + margin
        self._draw_beside(surface, pygame.Rect(left, margin, window.right - margin - left, card.height))
        self._draw_card(surface, card)
        if self.trouble:
            ok = ("trouble.ok", desk.say("screens.first.trouble_ok"), "strong", self._no_trouble)
            kit.dialog(surface, desk.say("screens.first.trouble"), self.trouble, [ok], wide=760)

    def _no_trouble(self) -> None:
        self.trouble = ""

    def _draw_beside(self, surface: pygame.Surface, room: pygame.Rect) -> None:
        """The name and what it is about in the sky, the caution on the ground."""
        desk, kit = self.desk, self.desk.kit
        title = desk.say("screens.first.title")
        size = 52.0
        while size > 20 and kit.width(title, size, True) > room.width:
            size -= 4
        text = desk.say("screens.first.what")
        inner = min(room.width, kit.px(405) if kit.text_scale == 1 else room.width)
        tall = kit.line(size) + kit.height(text, inner, 16)
        if kit.text_scale > 1.25:  # larger text reaches down into the light of the sky
            ground = pygame.Rect(room.left, room.top, room.width, tall).inflate(kit.px(20), kit.px(20))
            kit.box(surface, ground, BAR, None, radius=8)
        kit.text(surface, title, room.topleft, size, BAR_INK, True, width=room.width)
        below = kit.paragraph(surface, text, (room.left, room.top + kit.line(size)), inner, 16, BAR_INK)
        caution = desk.say("caution.first")
        tall = kit.height(caution, room.width - 3 * kit.px(12) - kit.tx(26), 13) + 2 * kit.px(12)
        top = max(room.bottom - tall, below + kit.px(20))
        rest = pygame.Rect(room.left, top, room.width, room.bottom - top)
        with kit.scroll(surface, "first.caution", rest) as view:
            view.bottom = caution_box(kit, surface, caution, (view.left, view.top), room.width).bottom

    def _draw_card(self, surface: pygame.Surface, card: pygame.Rect) -> None:
        desk, kit = self.desk, self.desk.kit
        kit.box(surface, card, PAPER, EDGE, radius=10, border=1.5)
        pad = kit.px(22)
        button = kit.line(16) + kit.px(18)
        foot = card.bottom - pad - self._foot_tall(card.width - 2 * pad)
        body = pygame.Rect(
            card.left + pad, card.top + pad, card.width - 2 * pad + kit.px(10), foot - card.top - pad
        )
        body.height -= button + kit.px(26)
        with kit.scroll(surface, "first.body", body) as view:
            y = self._draw_choices(surface, view.left, view.top, view.width)
            view.bottom = y
        picked = next((job for job in self.jobs if job.name == desk.settings.job), None)
        start = pygame.Rect(card.left + pad, foot - button - kit.px(12), card.width - 2 * pad, button)
        kit.button(
            surface,
            start,
            desk.say("screens.first.open"),
            "first.open",
            self._open,
            kind="strong",
            enabled=picked is not None and not picked.trouble,
            size=16,
        )
        self._draw_settings(
            surface, pygame.Rect(card.left + pad, foot, card.width - 2 * pad, card.bottom - pad - foot)
        )

    def _draw_choices(self, surface: pygame.Surface, x: int, y: int, width: int) -> int:
        desk, kit = self.desk, self.desk.kit
        gap = kit.px(8)
        row = kit.line(15) + kit.px(16)
        if self.unfinished is not None:
            y = self._draw_unfinished(surface, x, y, width)
        y = self._heading(surface, "screens.first.who", x, y)
        name = kit.input(
            surface,
            pygame.Rect(x, y, width, row),
            desk.say("screens.first.name_hint"),
            "first.name",
            start=desk.settings.name,
        )
        self._sits_here(name.strip())
        y += row + kit.px(6)
        signed = min(self.signed, results.JOBS_TO_SIGN_OFF)
        progress = desk.say("screens.first.signed", done=signed, count=results.JOBS_TO_SIGN_OFF)
        y = kit.paragraph(surface, progress, (x, y), width, 13, MUTED) + kit.px(10)
        y = self._heading(surface, "screens.first.mode", x, y)
        third = (width - 2 * gap) // 3
        for number, mode in enumerate(MODES):
            kit.button(
                surface,
                pygame.Rect(x + number * (third + gap), y, third, row),
                desk.say(f"screens.modes.{mode}.title"),
                f"first.mode.{mode}",
                _mode_setter(desk, mode),
                chosen=mode == desk.settings.mode,
                size=14,
            )
        y += row + kit.px(4)
        says = desk.say(f"screens.modes.{desk.settings.mode}.says")
        y = kit.paragraph(surface, says, (x, y), width, 13, MUTED) + kit.px(10)
        if self.lesson is not None and not self.standings:
            label = desk.say("screens.first.lesson")
            tall = kit.height(label, width - kit.px(60), 15, True) + kit.px(18)
            box = pygame.Rect(x, y, width, tall)
            kit.button(surface, box, label, "first.lesson", self._to_lesson, kind="strong", symbol="play")
            y += tall + kit.px(12)
        y = self._heading(surface, "screens.first.job", x, y)
        if self.folder:
            told = desk.say("screens.first.own", folder=self.folder)
            y = kit.paragraph(surface, told, (x, y), width, 13, MUTED) + kit.px(3)
            for trouble in self.folder_trouble:
                y = self._draw_trouble(surface, trouble, x, y, width) + kit.px(4)
        course, own = "", True
        for job in self.jobs:
            if own and not job.own and self.folder:
                own, course = False, ""
                y = kit.paragraph(
                    surface, desk.say("screens.first.shipped"), (x, y + kit.px(6)), width, 13, MUTED
                )
            if job.course != course:
                y += kit.px(4) if course else 0
                course = job.course
                y = kit.paragraph(surface, course, (x, y), width, 13, ACCENT_DARK, True) + kit.px(3)
            y = self._draw_job(surface, job, x, y, width) + kit.px(6)
        return y

    def _draw_unfinished(self, surface: pygame.Surface, x: int, y: int, width: int) -> int:
        desk, kit = self.desk, self.desk.kit
        assert self.unfinished is not None
        text = desk.say("screens.first.unfinished", job=self.unfinished.title)
        y = kit.paragraph(surface, text, (x, y), width, 14) + kit.px(6)
        gap, row = kit.px(8), kit.line(15) + kit.px(16)
        half = (width - gap) // 2
        for number, (name, kind, act) in enumerate(
            (("resume", "strong", self._resume), ("set_aside", "plain", self._set_aside))
        ):
            box = pygame.Rect(x + number * (half + gap), y, half, row)
            kit.button(surface, box, desk.say(f"screens.first.{name}"), f"first.{name}", act, kind=kind)
        return y + row + kit.px(16)

    def _draw_job(self, surface: pygame.Surface, job: Listed, x: int, y: int, width: int) -> int:
        """A job with the trainee's best result and what it begins with where it is picked."""
        desk, kit = self.desk, self.desk.kit
        chosen = job.name == desk.settings.job
        standing = self.standings.get(job.name)
        sign, told = self._result_of(standing)
        if job.trouble:
            sign, told = "cross", desk.say("screens.first.broken")
        pad = kit.px(12)
        wide = kit.width(told, 13, True) + kit.tx(24) if told else 0
        beside = wide < width * 45 // 100
        room = width - 2 * pad - (wide + pad if beside else 0)
        tall = kit.height(job.title, room, 15, True) + kit.px(14)
        if told and not beside:
            tall += kit.line(13) + kit.px(2)
        says = (job.says if not job.trouble else self._troubles(job)) if chosen else ""
        below = kit.height(says, width - 2 * pad, 13) + kit.px(4) if says else 0
        box = pygame.Rect(x, y, width, tall + below)
        hint = "" if says else job.says or self._troubles(job)
        target = kit.button(surface, box, "", f"first.job.{job.name}", _setter(desk, job.name), chosen=chosen)
        target.label, target.hint = f"{job.title} {told}".strip(), hint
        top = y + kit.px(7)
        end = kit.paragraph(surface, job.title, (x + pad, top), room, 15, INK, True)
        if told:
            left = box.right - pad - wide if beside else x + pad
            middle = y + tall // 2 if beside else end + kit.line(13) // 2
            kit.symbol(surface, sign, (left + kit.tx(8), middle), 14, _RESULT_SIGNS[sign], INK)
            kit.text(surface, told, (left + kit.tx(22), middle), 13, INK, True, anchor="midleft")
        if says:
            kit.paragraph(surface, says, (x + pad, y + tall - kit.px(3)), width - 2 * pad, 13, INK)
        return box.bottom

    def _troubles(self, job: Listed) -> str:
        """What is wrong with a job, the first of it in full."""
        told = list(job.trouble[:_TROUBLES_SHOWN])
        more = len(job.trouble) - len(told)
        return "\n".join([*told, *([self.desk.say("screens.first.more_wrong", count=more)] if more else [])])

    def _draw_trouble(self, surface: pygame.Surface, told: str, x: int, y: int, width: int) -> int:
        kit = self.desk.kit
        kit.symbol(surface, "cross", (x + kit.tx(8), y + kit.line(13) // 2), 14, ORANGE, INK)
        return kit.paragraph(surface, told, (x + kit.tx(22), y), width - kit.tx(22), 13)

    def _result_of(self, standing: results.Standing | None) -> tuple[str, str]:
        """The sign and the words of a trainee's best result; none where there is none."""
        if standing is None:
            return "", ""
        points = standing.best.points
        if not standing.best.passed:
            return "cross", self.desk.say("screens.first.failed", points=points)
        if standing.due(self.today):
            return "clock", self.desk.say("screens.first.due", points=points)
        return "check", self.desk.say("screens.first.passed", points=points)

    def _sits_here(self, name: str) -> None:
        """Take the name in the field, and that trainee's results."""
        if self._whose != name:
            self._whose = self.desk.settings.name = name
            self.standings = results.standings(self.results, name)
            self.signed = results.signed_for(self.results, name)

    def _to_lesson(self) -> None:
        if self.lesson is not None:
            self.desk.settings.job, self.desk.settings.mode = self.lesson, MODES[0]
            self._open()

    def _heading(self, surface: pygame.Surface, key: str, x: int, y: int) -> int:
        kit = self.desk.kit
        kit.text(surface, self.desk.say(key), (x, y), 15, INK, True)
        return y + kit.line(15) + kit.px(4)

    def _quick_settings(self) -> list[tuple[str, str, str, Callable[[], None]]]:
        """The way to the settings, and what is changed most often."""
        desk = self.desk
        units = desk.say(f"screens.settings.units.{desk.settings.units}")
        return [
            ("open", desk.say("screens.settings.title"), desk.key("settings"), self._settings),
            ("language", desk.say("language.name"), "", self._next_language),
            ("units", units, desk.key("units"), desk.toggle_metric),
        ]

    def _foot_tall(self, width: int) -> int:
        """Height of the row of quick settings: two lines where a name needs them."""
        kit = self.desk.kit
        items = self._quick_settings()
        wide = (width - kit.px(6) * (len(items) - 1)) // len(items) - kit.px(14)
        lines = max(len(kit.wrap(label, wide, 13, True)) for _, label, _, _ in items)
        return kit.line(13) * lines + kit.px(14)

    def _draw_settings(self, surface: pygame.Surface, room: pygame.Rect) -> None:
        kit = self.desk.kit
        items, gap = self._quick_settings(), kit.px(6)
        wide = (room.width - gap * (len(items) - 1)) // len(items)
        for number, (name, label, key, act) in enumerate(items):
            box = pygame.Rect(room.left + number * (wide + gap), room.top, wide, room.height)
            kit.button(surface, box, label, f"settings.{name}", act, size=13, hint=key)

    def _next_language(self) -> None:
        codes = list(languages())
        here = codes.index(self.desk.texts.language)
        self.desk.speak(codes[(here + 1) % len(codes)])
        self.desk.go("keep_settings")

    def _settings(self) -> None:
        self.desk.go("settings")

    def _open(self) -> None:
        self.desk.go("sheet", self.desk.settings.job)

    def _resume(self) -> None:
        if self.unfinished is not None:
            self.desk.go("resume", self.unfinished.path)

    def _set_aside(self) -> None:
        if self.unfinished is not None:
            self.desk.go("set_aside", self.unfinished.path)


def _setter(desk: Desk, name: str):  # type: ignore[no-untyped-def]
    def act() -> None:
        desk.settings.job = name

    return act


def _mode_setter(desk: Desk, mode: str):  # type: ignore[no-untyped-def]
    def act() -> None:
        desk.settings.mode = mode

    return act


_BROKEN = re.compile(r"(?<=\d) (?=\d/\d|in\b|lb\b|kg\b|mm\b|psi\b|bar\b|gal/|L/)")
"""Spaces inside a quantity: no line is broken there."""


_LONGEST_LABEL = 50
"""More letters than that before a colon are a sentence, not the name of a value."""


def draw_paper(
    kit: Kit, surface: pygame.Surface, paper: Paper, x: int, y: int, width: int, size: float = 14
) -> int:
    """A paper as rows: what is said, and its value in bold, beside it or below; gives the y below."""
    for number, line in enumerate(paper.lines):
        line = _BROKEN.sub("\u00a0", line)
        label, colon, value = line.partition(": ")
        if number:
            pygame.draw.line(
                surface, PAPER_DEEP, (x, y + kit.px(3)), (x + width, y + kit.px(3)), max(1, kit.px(1))
            )
            y += kit.px(8)
        if not colon or len(label) > _LONGEST_LABEL or len(value) > 70 or ". " in label:
            y = kit.paragraph(surface, line, (x, y), width, size)
            continue
        value_wide = kit.width(value, size, True)
        if kit.width(label, size) + value_wide + kit.px(16) <= width:
            kit.text(surface, label, (x, y), size, MUTED)
            kit.text(surface, value, (x + width, y), size, INK, True, anchor="topright")
            y += kit.line(size)
        else:
            y = kit.paragraph(surface, label, (x, y), width, size, MUTED)
            y = kit.paragraph(surface, value, (x, y), width, size, INK, True)
    return y


class JobSheet(Screen):
    """What is to be done, what stood on the tractor before, and the papers that go with it."""

    name = "sheet"

    def __init__(self, desk: Desk, job: Job, opened: Sequence[str] = (), plan: tuple[str, ...] = ()) -> None:
        super().__init__(desk)
        self.job = job
        self.case: Case = job.case
        self.paper = ""
        self.opened: list[str] = list(opened)
        self.plan = plan
        """As it was left on the plan board."""

    def draw(self, surface: pygame.Surface) -> None:
        desk, kit = self.desk, self.desk.kit
        surface.fill(BAR)
        window = surface.get_rect()
        margin, gap = kit.px(26), kit.px(18)
        head = kit.line(24) + kit.line(14) + kit.px(20)
        kit.text(
            surface,
            self.case.title,
            (margin, kit.px(14)),
            24,
            BAR_INK,
            True,
            width=window.width - 2 * margin,
            may_cut=True,
        )
        facts = desk.say(
            "screens.sheet.facts",
            course=desk.texts.translated(course_title(self.case.course)),
            par=clock(round(self.case.par_s * TICKS_PER_S)),
            limit=clock(round(self.case.time_limit_s * TICKS_PER_S)),
            mode=desk.say(f"screens.modes.{desk.settings.mode}.title"),
            points=self.case.pass_points,
        )
        kit.text(
            surface,
            facts,
            (margin, kit.px(14) + kit.line(24)),
            14,
            BAR_MUTED,
            width=window.width - 2 * margin,
            may_cut=True,
        )
        button = kit.line(16) + kit.px(18)
        foot = window.bottom - margin - button
        room = pygame.Rect(margin, head, window.width - 2 * margin, foot - head - gap)
        left = pygame.Rect(room.left, room.top, room.width * 48 // 100 - gap // 2, room.height)
        right = pygame.Rect(left.right + gap, room.top, room.right - left.right - gap, room.height)
        self._draw_text(surface, left)
        self._draw_papers(surface, right)
        back = kit.width(desk.say("screens.sheet.back"), 15, True) + kit.px(56)
        kit.button(
            surface,
            pygame.Rect(margin, foot, back, button),
            desk.say("screens.sheet.back"),
            "sheet.back",
            self._back,
            kind="bar",
            symbol="back",
        )
        label = desk.say("screens.sheet.start")
        wide = kit.width(label, 16, True) + kit.px(60)
        start = pygame.Rect(window.right - margin - wide, foot, wide, button)
        kit.button(surface, start, label, "sheet.start", self._start, kind="strong", size=16)
        label = desk.say("screens.sheet.plan")
        wide = kit.width(label, 16, True) + kit.px(40)
        plan = pygame.Rect(start.left - kit.px(10) - wide, foot, wide, button)
        kit.button(surface, plan, label, "sheet.plan", self._plan, kind="bar", size=16)
        note = desk.say("screens.sheet.papers_note")
        if kit.width(note, 13) < plan.left - margin - back - 2 * gap:
            kit.text(surface, note, (plan.left - gap, plan.centery), 13, BAR_MUTED, anchor="midright")

    def _draw_text(self, surface: pygame.Surface, room: pygame.Rect) -> None:
        desk, kit = self.desk, self.desk.kit
        kit.box(surface, room, PAPER, None, radius=8)
        pad = kit.px(20)
        with kit.scroll(surface, "sheet.text", room.inflate(-2 * pad + kit.px(10), -2 * pad)) as view:
            y = view.top
            kit.text(surface, desk.say("screens.sheet.job"), (view.left, y), 17, ACCENT_DARK, True)
            y += kit.line(17) + kit.px(8)
            for paragraph in self.case.text:
                y = kit.paragraph(surface, paragraph, (view.left, y), view.width, 16) + kit.px(10)
            y += kit.px(6)
            for label, value in self._machines():
                y = kit.paragraph(surface, label, (view.left, y), view.width, 13, MUTED)
                y = kit.paragraph(surface, value, (view.left, y), view.width, 15, INK, True) + kit.px(8)
            view.bottom = y

    def _machines(self) -> list[tuple[str, str]]:
        desk, start = self.desk, self.case.start
        return [
            (desk.say("screens.sheet.tractor"), self.case.tractor.title),
            (desk.say("screens.sheet.implement"), self.case.implement.title),
            (
                desk.say("screens.sheet.weather"),
                desk.say(
                    "screens.sheet.temperatures",
                    air=desk.amount("temperature", start.air_c),
                    oil=desk.amount("temperature", start.oil_c),
                ),
            ),
        ]

    def _draw_papers(self, surface: pygame.Surface, room: pygame.Rect) -> None:
        desk, kit = self.desk, self.desk.kit
        papers = self.case.papers
        if not papers:
            return
        tab = kit.line(14) + kit.px(14)
        items = [(paper.name, paper.title) for paper in papers]
        rows = paper_rows(kit, items, room.width, 14)
        y = room.top
        for row in rows:
            kit.tabs(
                surface,
                pygame.Rect(room.left, y, room.width, tab),
                row,
                self.paper,
                self._read,
                "sheet.paper.",
                kind="bar",
                size=14,
            )
            y += tab + kit.px(4)
        sheet = pygame.Rect(room.left, y + kit.px(2), room.width, room.bottom - y - kit.px(2))
        kit.box(surface, sheet, SHEET, None, radius=8)
        pad = kit.px(20)
        shown = next((paper for paper in papers if paper.name == self.paper), None)
        with kit.scroll(
            surface, f"sheet.lines.{self.paper}", sheet.inflate(-2 * pad + kit.px(10), -2 * pad)
        ) as view:
            if shown is None:
                view.bottom = kit.paragraph(
                    surface,
                    desk.say("screens.sheet.pick_paper"),
                    (view.left, view.top),
                    view.width,
                    15,
                    MUTED,
                )
            else:
                kit.text(
                    surface,
                    shown.title,
                    (view.left, view.top),
                    17,
                    ACCENT_DARK,
                    True,
                    width=view.width,
                    may_cut=True,
                )
                top = view.top + kit.line(17) + kit.px(8)
                view.bottom = draw_paper(kit, surface, shown, view.left, top, view.width, 15)

    def _read(self, name: str) -> None:
        self.paper = name
        if name not in self.opened:
            self.opened.append(name)

    def _back(self) -> None:
        self.desk.go("first")

    def _start(self) -> None:
        self.desk.go("yard", self.job, self.desk.settings.mode, tuple(self.opened), self.plan)

    def _plan(self) -> None:
        self.desk.go("plan", self.job, tuple(self.opened), self.plan)

    def handle(self, event: pygame.event.Event) -> bool:
        if self.desk.kit.keys.asks(event, "back"):
            self._back()
            return True
        return False


def paper_rows(
    kit: Kit, items: list[tuple[str, str]], width: int, size: float
) -> list[list[tuple[str, str]]]:
    """Tabs in as many rows as they need."""
    rows: list[list[tuple[str, str]]] = [[]]
    used = 0
    for item in items:
        wide = kit.width(item[1], size, True) + kit.px(30)
        if rows[-1] and used + wide > width:
            rows.append([])
            used = 0
        rows[-1].append(item)
        used += wide
    return rows
