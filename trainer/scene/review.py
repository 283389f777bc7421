"""What a debrief adds to a finding that is picked: what would have happened, and the way back to before it.

Working an alternative out runs the attempt some dozens of times, in part; that is done aside, one finding
after the other, while the debrief is read.
"""

from __future__ import annotations

import threading
from collections.abc import Callable

import pygame

from trainer.authoring.compile import Job
from trainer.authoring.plan import Broken, broken, broken_in_deed, deeds
from trainer.authoring.whatif import Alternative, Edit, each_alternative, rewind_tick
from trainer.core.attempt import Attempt
from trainer.core.rules import shown
from trainer.records import comparing, telling
from trainer.records.charts import clock
from trainer.records.pages import FindingRow
from trainer.scene.desk import Desk
from trainer.scene.kit import Target
from trainer.scene.palette import (
    ACCENT,
    ACCENT_DARK,
    GREEN,
    INK,
    MUTED,
    ORANGE,
    PAPER_DEEP,
    SHEET,
    VERMILLION,
)

_MOST_TOLD = 3
_MOST_BROKEN = 5


class Review:
    """Of one attempt; `mode` decides whether one may try again, `plan` is what was laid on the plan board."""

    def __init__(self, desk: Desk, job: Job, attempt: Attempt, mode: str, plan: tuple[str, ...] = ()) -> None:
        self.desk, self.job, self.attempt, self.mode, self.plan = desk, job, attempt, mode, plan
        self.titles = {step.name: step.title for step in job.case.steps}
        self.others: dict[int, Alternative] = {}
        """By the number of the finding, from 1."""
        self.plan_broke = broken(job.case, plan)
        self.deed_broke: tuple[Broken, ...] | None = None
        roots = [number for number, one in enumerate(attempt.findings, start=1) if not one.root]
        self._roots = roots
        self.picked = roots[0] if roots else 0
        self._stopped = threading.Event()
        self._work = threading.Thread(target=self._work_out, daemon=True)

    # --- working it out ------------------------------------------------------------------------------------

    def begin(self) -> None:
        if not self._work.ident:
            self._work.start()

    def stop(self) -> None:
        """Nobody looks at it any more."""
        self._stopped.set()

    def finish(self) -> None:
        """Wait for all of it (for pictures and tests)."""
        self.begin()
        self._work.join()

    def _wanted(self) -> bool:
        return not self._stopped.is_set()

    def _work_out(self) -> None:
        self.deed_broke = broken_in_deed(self.job.case, deeds(self.attempt))
        found = each_alternative(self.job, self.attempt, self._wanted)
        for number, other in zip(self._roots, found, strict=False):
            self.others[number] = other

    # --- a finding -----------------------------------------------------------------------------------------

    def pick(self, number: int) -> Callable[[], None]:
        """Open a finding, or close the one that is open."""

        def act() -> None:
            self.picked = 0 if self.picked == number else number

        return act

    def draw(self, surface: pygame.Surface, row: FindingRow, card: pygame.Rect) -> int:
        """Below a finding's card, where it is the picked one; gives the y below all of it."""
        kit = self.desk.kit
        target = kit.add(Target(f"debrief.finding.{row.number}", card, row.title, act=self.pick(row.number)))
        open_now = row.number == self.picked
        if kit.hovers(target) or open_now:
            pygame.draw.rect(surface, ACCENT_DARK, card, max(2, kit.px(2)), border_radius=kit.px(7))
        mark = card.right - kit.px(8) - kit.tx(9), card.top + kit.px(8) + kit.tx(9)
        turn = "minus" if open_now else "plus"
        kit.symbol(surface, turn, mark, 13, ACCENT_DARK)
        if not open_now:
            return card.bottom
        pad, inset = kit.px(12), kit.px(14)
        width = card.width - inset
        tall = self._panel(None, row, card.left + inset + pad, card.bottom + pad, width - 2 * pad)
        panel = pygame.Rect(card.left + inset, card.bottom, width, tall - card.bottom + pad)
        kit.box(surface, panel, PAPER_DEEP, None, radius=7)
        surface.fill(ACCENT, (panel.left, panel.top, kit.px(4), panel.height - kit.px(7)))
        self._panel(surface, row, panel.left + pad, panel.top + pad, panel.width - 2 * pad)
        return panel.bottom

    def _panel(self, surface: pygame.Surface | None, row: FindingRow, x: int, y: int, width: int) -> int:
        """The inside of the panel, or only how far down it reaches where there is no surface."""
        desk, kit = self.desk, self.desk.kit
        if row.follows:
            says = desk.say("screens.whatif.follows", number=row.follows)
            y = self._words(surface, says, x, y, width, 13, MUTED)
        else:
            y = self._words(surface, desk.say("screens.whatif.title"), x, y, width, 14, ACCENT_DARK, True)
            other = self.others.get(row.number)
            if other is None:
                y = self._words(surface, desk.say("screens.whatif.working"), x, y, width, 13, MUTED)
            elif other.edit is None:
                y = self._words(surface, desk.say("screens.whatif.none"), x, y, width, 13)
            else:
                y = self._words(surface, self.say_edit(other.edit), x, y, width, 14, INK, True) + kit.px(5)
                y = self._endings(surface, row, other, x, y, width)
        if self.mode == "check_out":
            return y
        finding = self.attempt.findings[row.number - 1]
        tick = rewind_tick(self.attempt, finding)
        label = desk.say("screens.whatif.again", time=clock(tick))
        button = pygame.Rect(x, y + kit.px(8), 0, kit.line(14) + kit.px(14))
        button.width = min(width, kit.width(label, 14, True) + kit.px(58))
        if button.width < kit.width(label, 14, True) + kit.px(58):
            button.height += kit.line(14)
        if surface is not None:
            hint = desk.say("screens.whatif.again_hint")
            kit.button(
                surface,
                button,
                label,
                f"debrief.again.{row.number}",
                self._again(tick),
                size=14,
                symbol="back",
                hint=hint,
            )
        return button.bottom

    def _again(self, tick: int) -> Callable[[], None]:
        def act() -> None:
            self.desk.go("branch", self.attempt, self.mode, tick, self.plan)

        return act

    def _words(
        self,
        surface: pygame.Surface | None,
        text: str,
        x: int,
        y: int,
        width: int,
        size: float,
        colour: tuple[int, int, int] = INK,
        bold: bool = False,
    ) -> int:
        kit = self.desk.kit
        if surface is None:
            return y + kit.height(text, width, size, bold)
        return kit.paragraph(surface, text, (x, y), width, size, colour, bold)

    def _endings(
        self, surface: pygame.Surface | None, row: FindingRow, other: Alternative, x: int, y: int, width: int
    ) -> int:
        """Both endings side by side: points, the number of this finding, how many findings."""
        desk, kit = self.desk, self.desk.kit
        first = self.attempt.score()
        gone = other.measured is None
        measured = desk.say("screens.whatif.not_there") if gone else self._number(other)
        rows = [
            ("points", str(first.points), str(other.score.points)),
            ("measured", row.measured, measured),
            ("findings", str(len(self.attempt.findings)), str(len(other.findings))),
        ]
        third = width // 3
        size = 13.5
        heads = ("", desk.say("screens.whatif.as_it_was"), desk.say("screens.whatif.with_that"))
        for number, head in enumerate(heads):
            self._words(surface, head, x + number * third, y, third, 12, MUTED)
        y += max(kit.height(head, third, 12) for head in heads)
        for name, one, two in rows:
            cells = (desk.say(f"screens.whatif.{name}"), one, two)
            if surface is not None:
                pygame.draw.line(surface, SHEET, (x, y), (x + width, y), max(1, kit.px(1)))
            low = y + kit.px(2)
            for number, cell in enumerate(cells):
                left = x + number * third
                score = first if number == 1 else other.score
                mark = bool(number) and name == "points" and bool(score.ended)
                if mark and surface is not None:
                    passed = score.passed
                    sign, colour = ("check", GREEN) if passed else ("cross", VERMILLION)
                    kit.symbol(surface, sign, (left + kit.tx(7), low + kit.line(size) // 2), 13, colour, INK)
                lead = kit.tx(18) if mark else 0
                bold = number == 2
                self._words(surface, cell, left + lead, low, third - lead - kit.px(6), size, INK, bold)
            y = low + max(kit.height(cell, third - kit.px(6) - kit.tx(18), size, True) for cell in cells)
        if not other.score.ended:
            y = self._words(surface, desk.say("screens.whatif.open"), x, y + kit.px(3), width, 12.5, MUTED)
        left_over = [one for one in other.findings if not one.root]
        if left_over:
            titles = [telling.say_finding(self.job.case, one, desk.texts) for one in left_over[:_MOST_TOLD]]
            more = len(left_over) - _MOST_TOLD
            told = "  ·  ".join(titles) + (desk.say("screens.whatif.more", count=more) if more > 0 else "")
            says = desk.say("screens.whatif.still", findings=told)
            y = self._words(surface, says, x, y + kit.px(3), width, 12.5, MUTED)
        return y

    def _number(self, other: Alternative) -> str:
        finding = other.finding
        unit = f" {finding.unit}" if finding.unit != "1" else ""
        return telling.number(shown(other.measured or 0, finding.measure, finding.unit)) + unit

    def say_edit(self, edit: Edit) -> str:
        """What is done otherwise, in the words of the yard."""
        return comparing.say_edit(self.job.case, edit, self.desk.texts)

    # --- the plan ------------------------------------------------------------------------------------------

    def draw_plan(self, surface: pygame.Surface, x: int, y: int, width: int) -> int:
        """Plan and deed against what has to come before what; gives the y below."""
        desk = self.desk
        if self.plan:
            y = self._draw_broken(surface, "plan", self.plan_broke, x, y, width)
        if self.deed_broke is not None:
            y = self._draw_broken(surface, "deed", self.deed_broke, x, y, width)
        elif self.plan:
            y = self._words(surface, desk.say("screens.whatif.working"), x, y, width, 13, MUTED)
        return y

    def _draw_broken(
        self, surface: pygame.Surface, name: str, found: tuple[Broken, ...], x: int, y: int, width: int
    ) -> int:
        desk, kit = self.desk, self.desk.kit
        y = self._words(surface, desk.say(f"screens.orders.{name}"), x, y, width, 15, INK, True)
        lead = kit.tx(20)
        if not found:
            kit.symbol(surface, "check", (x + kit.tx(7), y + kit.line(13) // 2), 13, GREEN, INK)
            says = desk.say(f"screens.orders.{name}_kept")
            return self._words(surface, says, x + lead, y, width - lead, 13) + kit.px(8)
        for one in found[:_MOST_BROKEN]:
            grave = one.kind == "I"
            sign, colour = ("diamond", ORANGE) if grave else ("triangle", PAPER_DEEP)
            kit.symbol(surface, sign, (x + kit.tx(7), y + kit.line(13) // 2), 14, colour, INK)
            key = "screens.orders.left_out" if one.left_out else "screens.orders.broken"
            before, after = self.titles[one.before], self.titles[one.after]
            says = desk.say(key, before=before, after=after)
            y = self._words(surface, says, x + lead, y, width - lead, 13, INK, True)
            why = desk.say("screens.orders.why", why=one.why)
            y = self._words(surface, why, x + lead, y, width - lead, 12.5, MUTED) + kit.px(3)
        if len(found) > _MOST_BROKEN:
            says = desk.say("screens.orders.more", count=len(found) - _MOST_BROKEN)
            y = self._words(surface, says, x + lead, y, width - lead, 12.5, MUTED)
        return y + kit.px(8)
