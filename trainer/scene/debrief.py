"""The debrief: the score, then each finding on a time line with its number, limit, reason and source."""

from __future__ import annotations

import threading
from functools import partial
from pathlib import Path

import pygame

from trainer.authoring.compile import Job
from trainer.core.attempt import Attempt, Entry
from trainer.core.units import TICKS_PER_S
from trainer.records import debriefing, inquiry, pages, telling, traces
from trainer.records.charts import Chart, clock
from trainer.records.pages import FindingRow
from trainer.scene.charts import draw_chart, draw_strip
from trainer.scene.desk import Desk, Screen
from trainer.scene.inquest import draw_inquiry
from trainer.scene.palette import (
    ACCENT,
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
    SEVERITY,
    SHEET,
    VERMILLION,
)
from trainer.scene.review import Review
from trainer.scene.screens import caution_box


class Debrief(Screen):
    """After the attempt. `folder` is where a page is saved."""

    name = "debrief"

    def __init__(
        self,
        desk: Desk,
        job: Job,
        attempt: Attempt,
        mode: str,
        folder: Path,
        plan: tuple[str, ...] = (),
    ) -> None:
        super().__init__(desk)
        self.job = job
        self.attempt = attempt
        self.mode = mode
        self.folder = folder
        self.score = attempt.score()
        self.rows = pages.finding_rows(attempt.case, attempt.findings, desk.texts)
        self.taken = debriefing.taken(attempt.case, self.score, attempt.findings, desk.texts)
        self.review = Review(desk, job, attempt, mode, plan)
        self.flags = pages.flags_of(attempt.findings)
        self.done = [self._done(number, entry) for number, entry in enumerate(attempt.log)]
        self.drawn: traces.Traces | None = None
        self.inquiry: inquiry.Inquiry | None = None
        self.part = "findings"
        self.saved = ""
        self._drawing = threading.Thread(target=self._record, daemon=True)

    def _done(self, number: int, entry: Entry) -> tuple[str, str, bool]:
        """When, what, and whether it was refused."""
        text = telling.say_action(self.attempt.case, entry.action, self.desk.texts)
        why = telling.refusal_on_record(self.attempt, number, self.desk.texts, self.desk.settings.metric)
        return clock(entry.tick), f"{text}. {why}" if why else text, bool(why)

    def enter(self) -> None:
        """Drawing the traces runs the attempt once more, which takes a moment: it is done aside."""
        if self.drawn is None and not self._drawing.ident:
            self._drawing.start()

    def leave(self) -> None:
        self.review.stop()

    def finish_drawing(self) -> None:
        """Wait for the traces (for pictures and tests)."""
        self.enter()
        self._drawing.join()

    def _record(self) -> None:
        self.drawn = traces.record(self.attempt.case, tuple(self.attempt.log), self.attempt.state.tick)
        self.inquiry = inquiry.inquiry(self.job, self.attempt, self.desk.texts, self.desk.settings.metric)
        self.review.begin()

    def status(self) -> dict[str, object]:
        return {
            "ended": self.attempt.state.ended,
            "points": self.score.points,
            "passed": self.score.passed,
            "findings": [finding.rule for finding in self.attempt.findings],
            "saved": self.saved,
        }

    def draw(self, surface: pygame.Surface) -> None:
        desk, kit = self.desk, self.desk.kit
        surface.fill(PAPER)
        window = surface.get_rect()
        margin = kit.px(24)
        head = self._draw_head(surface, window, margin)
        y = head + kit.px(12)
        strip_tall = kit.line(12) + kit.px(8) + (kit.line(11) + kit.px(8) if self.flags else 0)
        strip = pygame.Rect(margin, y, window.width - 2 * margin, strip_tall)
        places = [
            (tick, desk.say(f"screens.stations.{station}"), station)
            for tick, station in (self.drawn.station if self.drawn is not None else ())
        ]
        draw_strip(kit, surface, strip, places, self.attempt.state.tick, self.flags)
        y = strip.bottom + kit.px(10)
        foot = kit.line(15) + kit.px(18)
        body = pygame.Rect(margin, y, strip.width, window.bottom - margin // 2 - foot - kit.px(12) - y)
        if kit.text_scale <= 1.25:
            left = pygame.Rect(body.left, body.top, body.width * 54 // 100, body.height)
            right = pygame.Rect(left.right + margin, body.top, body.right - left.right - margin, body.height)
            self._draw_findings(surface, left)
            self._draw_charts(surface, right)
        else:
            tab = kit.line(14) + kit.px(12)
            items = [(name, desk.say(f"screens.debrief.{name}")) for name in ("findings", "charts")]
            bar = pygame.Rect(body.left, body.top, body.width, tab)
            kit.tabs(surface, bar, items, self.part, self._show_part, "debrief.part.")
            rest = pygame.Rect(
                body.left, bar.bottom + kit.px(8), body.width, body.bottom - bar.bottom - kit.px(8)
            )
            (self._draw_findings if self.part == "findings" else self._draw_charts)(surface, rest)
        self._draw_foot(surface, pygame.Rect(margin, body.bottom + kit.px(10), body.width, foot))

    def _show_part(self, name: str) -> None:
        self.part = name

    def _draw_head(self, surface: pygame.Surface, window: pygame.Rect, margin: int) -> int:
        desk, kit = self.desk, self.desk.kit
        big = 62 / (1 + 0.5 * (kit.text_scale - 1))
        tall = max(kit.line(big), kit.line(24) + kit.line(14) * 2) + kit.px(18)
        surface.fill(BAR, (0, 0, window.width, tall))
        middle = tall // 2
        points = kit.text(
            surface, str(self.score.points), (margin, middle), big, BAR_INK, True, anchor="midleft"
        )
        of = kit.text(
            surface,
            desk.say("screens.debrief.of"),
            (points.right + kit.px(8), points.bottom - kit.px(14)),
            15,
            BAR_MUTED,
            anchor="bottomleft",
        )
        x = max(of.right, points.right) + kit.px(30)
        sign, colour, word = (
            ("check", GREEN, "passed") if self.score.passed else ("cross", VERMILLION, "failed")
        )
        y = middle - (kit.line(24) + 2 * kit.line(14)) // 2
        kit.symbol(surface, sign, (x + kit.tx(13), y + kit.line(24) // 2), 26, colour, SHEET)
        kit.text(surface, desk.say(f"screens.debrief.{word}"), (x + kit.tx(34), y), 24, BAR_INK, True)
        y += kit.line(24)
        room = window.right - margin - x
        kit.text(surface, self._reason(), (x, y), 14, BAR_INK, width=room, may_cut=True)
        y += kit.line(14)
        facts = desk.say(
            "screens.debrief.facts",
            job=self.job.case.title,
            mode=desk.say(f"screens.modes.{self.mode}.title"),
            time=clock(self.attempt.state.tick),
            par=clock(round(self.attempt.case.par_s * TICKS_PER_S)),
        )
        name = desk.settings.name
        kit.text(
            surface, f"{facts}  ·  {name}" if name else facts, (x, y), 14, BAR_MUTED, width=room, may_cut=True
        )
        return tall

    def _reason(self) -> str:
        desk = self.desk
        if self.score.passed:
            return pages.ended(self.score, desk.texts).capitalize()
        if any(finding.fails for finding in self.attempt.findings):
            return desk.say("screens.debrief.failed_by_finding")
        if self.score.ended != "handed in":
            return desk.say("screens.debrief.failed_by_ending")
        return desk.say("screens.debrief.failed_by_points", needed=self.attempt.case.pass_points)

    def _draw_findings(self, surface: pygame.Surface, room: pygame.Rect) -> None:
        desk, kit = self.desk, self.desk.kit
        count = len(self.rows)
        key = "none" if not count else "one" if count == 1 else "count"
        kit.text(
            surface,
            desk.say(f"screens.debrief.{key}", count=count),
            room.topleft,
            15,
            INK,
            True,
            width=room.width,
            may_cut=True,
        )
        top = room.top + kit.line(15) + kit.px(6)
        with kit.scroll(
            surface, "debrief.findings", pygame.Rect(room.left, top, room.width, room.bottom - top)
        ) as view:
            y = view.top
            if self.attempt.case.fault is not None:
                y = draw_inquiry(desk, surface, self.inquiry, view.left, y, view.width) + kit.px(12)
            for row in self.rows:
                inset = kit.px(28) if row.follows else 0
                card = pygame.Rect(view.left + inset, y, view.width - inset, 0)
                card.height = self._draw_finding(surface, row, card.left, y, card.width) - y
                y = self.review.draw(surface, row, card) + kit.px(8)
            y = self._draw_points(surface, view.left, y, view.width) + kit.px(10)
            y = self.review.draw_plan(surface, view.left, y, view.width) + kit.px(6)
            text = desk.say("caution.debrief")
            y = caution_box(kit, surface, text, (view.left, y), view.width).bottom
            view.bottom = self._draw_done(surface, view.left, y + kit.px(14), view.width)

    def _draw_points(self, surface: pygame.Surface, x: int, y: int, width: int) -> int:
        """What points were taken for, and each deduction with its reason."""
        desk, kit = self.desk, self.desk.kit
        y = kit.paragraph(
            surface, debriefing.parts_line(self.score, desk.texts), (x, y), width, 14, INK, True
        )
        for row in self.taken:
            cost = desk.say("screens.debrief.points", points=row.points)
            wide = kit.width(cost, 13, True) + kit.px(12)
            kit.text(surface, cost, (x + width, y), 13, INK, True, anchor="topright")
            number = f"{row.numbers[0]}.  " if row.numbers else ""
            y = kit.paragraph(surface, number + row.title, (x, y), width - wide, 13)
            y = kit.paragraph(surface, row.why, (x, y), width - wide, 12, MUTED) + kit.px(3)
        return y

    def _draw_done(self, surface: pygame.Surface, x: int, y: int, width: int) -> int:
        """Everything that was done, and what the yard did not let happen."""
        kit = self.desk.kit
        kit.text(surface, self.desk.say("screens.debrief.done"), (x, y), 15, INK, True)
        y += kit.line(15) + kit.px(4)
        column = kit.width("000:00", 13) + kit.px(10)
        for at, text, refused in self.done:
            kit.text(surface, at, (x + column - kit.px(10), y), 13, MUTED, anchor="topright")
            left = x + column
            if refused:
                kit.symbol(surface, "cross", (left + kit.tx(7), y + kit.line(13) // 2), 12, ORANGE, INK)
                left += kit.tx(20)
            y = kit.paragraph(surface, text, (left, y), x + width - left, 13) + kit.px(2)
        return y

    def _draw_finding(self, surface: pygame.Surface, row: FindingRow, x: int, y: int, width: int) -> int:
        desk, kit = self.desk, self.desk.kit
        pad = kit.px(12)
        sign_wide = kit.tx(30)
        inner = width - 3 * pad - sign_wide
        left = x + 2 * pad + sign_wide
        sign, colour = SEVERITY[row.severity]
        small = row.severity_name + (f", {desk.say('screens.debrief.fails')}" if row.fails else "")
        if row.follows:
            small = f"{desk.say('cli.points.followed', number=row.follows)}  ·  {small}"
        head = f"{row.number}.  {small}  ·  {desk.say('screens.debrief.at', time=row.at)}"
        source = desk.say("screens.debrief.source", source=row.source) if row.source else ""
        tall = 2 * pad + kit.height(head, inner, 12.5) + kit.height(row.title, inner, 15, True) + kit.px(4)
        tall += kit.height(row.harm, inner, 13.5) if row.harm else 0
        numbers = bool(row.measured)
        tall += kit.line(13) + kit.px(22) if numbers else 0
        tall += kit.height(source, inner, 12) + kit.px(4) if source else 0
        box = pygame.Rect(x, y, width, tall)
        kit.box(surface, box, SHEET, EDGE, radius=7, border=1.4)
        kit.symbol(surface, sign, (x + pad + sign_wide // 2, y + pad + sign_wide // 2), 30, colour, INK)
        below = kit.paragraph(surface, head, (left, y + pad), inner, 12.5, MUTED)
        below = kit.paragraph(surface, row.title, (left, below), inner, 15, INK, True) + kit.px(4)
        if row.harm:
            below = kit.paragraph(surface, row.harm, (left, below), inner, 13.5)
        if numbers:
            below = self._draw_numbers(surface, row, left, below + kit.px(4), inner)
        if source:
            kit.paragraph(surface, source, (left, below + kit.px(4)), inner, 12, MUTED)
        return box.bottom

    def _draw_numbers(self, surface: pygame.Surface, row: FindingRow, x: int, y: int, width: int) -> int:
        """What was measured against its limit, as numbers and as a bar with the limit's mark on it."""
        desk, kit = self.desk, self.desk.kit
        measured = f"{desk.say('screens.debrief.measured')} {row.measured}"
        limit = f"{desk.say('screens.debrief.limit')} {row.limit}"
        kit.text(surface, measured, (x, y), 13, INK, True)
        kit.text(surface, limit, (x + width, y), 13, INK, anchor="topright")
        y += kit.line(13) + kit.px(2)
        track = pygame.Rect(x, y, width, kit.px(8))
        kit.box(surface, track, PAPER_DEEP, None, radius=3)
        kit.box(
            surface,
            pygame.Rect(x, y, round(width * row.measured_share), track.height),
            ACCENT,
            None,
            radius=3,
        )
        mark = x + min(width - kit.px(2), round(width * row.limit_share))
        pygame.draw.line(surface, INK, (mark, y - kit.px(3)), (mark, y + kit.px(11)), max(2, kit.px(3)))
        return y + kit.px(14)

    def _draw_charts(self, surface: pygame.Surface, room: pygame.Rect) -> None:
        desk, kit = self.desk, self.desk.kit
        drawn = self.drawn
        if drawn is None:
            kit.text(surface, desk.say("screens.debrief.drawing"), room.topleft, 14, MUTED)
            return
        charts = pages.charts_of(self.attempt.case, drawn, desk.texts)
        gap = kit.px(8)
        least = kit.tx(108)
        tall = max(least, (room.height - gap * (len(charts) - 1)) // len(charts))
        with kit.scroll(surface, "debrief.charts", room) as view:
            y = view.top
            for number, chart in enumerate(charts):
                box = pygame.Rect(view.left, y, view.width, tall)
                key = ("chart", number, box.size, id(drawn))
                picture = kit.keep(key, partial(self._picture, chart, box))
                surface.blit(picture, box)
                y += tall + gap
            view.bottom = y - gap

    def _picture(self, chart: Chart, box: pygame.Rect) -> pygame.Surface:
        picture = pygame.Surface(box.size)
        picture.fill(PAPER)
        end_tick = self.attempt.state.tick
        draw_chart(self.desk.kit, picture, picture.get_rect(), chart, end_tick, self.flags)
        return picture

    def _draw_foot(self, surface: pygame.Surface, room: pygame.Rect) -> None:
        desk, kit = self.desk, self.desk.kit
        x = room.right
        for name, act, kind in (
            ("save", self._save, "strong"),
            ("again", self._again, "plain"),
            ("jobs", self._jobs, "plain"),
        ):
            label = desk.say(f"screens.debrief.{name}")
            wide = kit.width(label, 15, True) + kit.px(36)
            x -= wide
            kit.button(
                surface, pygame.Rect(x, room.top, wide, room.height), label, f"debrief.{name}", act, kind=kind
            )
            x -= kit.px(10)
        if self.saved:
            text = self.saved
            kit.text(
                surface,
                text,
                (room.left, room.centery),
                13,
                ACCENT_DARK,
                anchor="midleft",
                width=max(1, x - room.left),
                may_cut=True,
            )

    def _save(self) -> None:
        desk = self.desk
        stem = self.job.name.replace("/", "-")
        number = 1
        while (path := self.folder / f"{stem}-{number:03d}.html").exists():
            number += 1
        title = f"{self.job.case.title}, {desk.settings.name}" if desk.settings.name else self.job.case.title
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            self.review.finish()
            found = [self.review.others[number] for number in sorted(self.review.others)]
            pages.write(path, self.job, self.attempt, desk.texts, title, self.review.plan, found)
        except OSError:
            self.saved = desk.say("screens.debrief.not_saved")
            return
        self.saved = desk.say("screens.debrief.saved", path=path)

    def _again(self) -> None:
        self.desk.go("sheet", self.job.name)

    def _jobs(self) -> None:
        self.desk.go("first")
