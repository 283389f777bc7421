"""The fault report: what was told, what was measured, where the fault sits, what is wrong there; and the pen.

Parts are pointed out among all parts of both machines, grouped by place; nothing here knows the answer. What
is ticked and pointed out is a draft (`Draft`) that the yard keeps until it is signed. Signing asks for the
same actions as a list of them would: one `evidence` for each tick, then `name`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import pygame

from trainer.core import faults
from trainer.core.actions import WORDS, WRONGS, Action
from trainer.core.case import Case
from trainer.records import inquiry, telling
from trainer.records.charts import clock
from trainer.scene.desk import Desk, Screen
from trainer.scene.kit import Target
from trainer.scene.palette import (
    ACCENT,
    ACCENT_DARK,
    ACCENT_PALE,
    EDGE,
    GREEN,
    INK,
    MUTED,
    ORANGE,
    PAPER,
    PLUM,
    SAND,
    SHEET,
    STEEL,
)

if TYPE_CHECKING:
    from trainer.scene.station import Yard

_TEXT = 14
_PARTS = ("told", "where", "what")


@dataclass(slots=True)
class Draft:
    """What is written on the report so far and not signed."""

    ticked: set[int] = field(default_factory=set)
    group: str = ""
    part: str = ""
    wrong: str = ""


class Report(Screen):
    """Laid over the yard, whose clock stands still as long as it is looked at."""

    name = "report"

    def __init__(self, desk: Desk, yard: Yard, draft: Draft) -> None:
        super().__init__(desk)
        self.yard, self.draft = yard, draft
        self.groups = {group: names for group, names in faults.parts(yard.case).items() if names}
        if draft.group not in self.groups:
            draft.group = next(iter(self.groups))
        if yard.state.found and not draft.part:
            draft.part = yard.state.named[-1].partition(" as ")[0]
        self.part = "found" if yard.state.found else _PARTS[0]
        """The page that is open where the letters are too large for all of them."""

    def status(self) -> dict[str, object]:
        draft = self.draft
        return {"ticked": sorted(draft.ticked), "part": draft.part, "wrong": draft.wrong}

    # --- what can be done ----------------------------------------------------------------------------------

    @property
    def cited(self) -> tuple[int, ...]:
        """Measurements under the report: those ticked, and those put there before."""
        return tuple(sorted({*self.draft.ticked, *self.yard.state.cited}))

    @property
    def can_sign(self) -> bool:
        here = self.yard.state.station in WORDS["name"].stations
        return here and not self.yard.state.found and bool(self.draft.part and self.draft.wrong)

    @property
    def can_mend(self) -> bool:
        return self.yard.state.station in WORDS["mend"].stations and bool(self.draft.part)

    def tick_off(self, number: int) -> None:
        """Put a measurement under the report, or take it away again."""
        if number not in self.yard.state.cited:
            self.draft.ticked ^= {number}

    def sign(self) -> None:
        draft, yard = self.draft, self.yard
        for number in sorted(draft.ticked - set(yard.state.cited)):
            yard.do(Action("evidence", amount=number * 1000))
        yard.do(Action("name", draft.part, draft.wrong))
        draft.ticked.clear()
        self._back()

    def mend(self) -> None:
        self.yard.do(Action("mend", self.draft.part))
        self._back()

    def _back(self) -> None:
        self.desk.take_off()

    def _open_group(self, name: str) -> None:
        self.draft.group = name

    def _open_part(self, name: str) -> None:
        self.part = name

    def _point_out(self, name: str) -> None:
        self.draft.part = "" if self.draft.part == name else name

    def _say_wrong(self, name: str) -> None:
        self.draft.wrong = "" if self.draft.wrong == name else name

    def handle(self, event: pygame.event.Event) -> bool:
        if self.desk.kit.keys.asks(event, "back"):
            self._back()
            return True
        return False

    # --- drawing -------------------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        kit = self.desk.kit
        surface.fill(PLUM[1])
        window = surface.get_rect()
        board = window.inflate(-kit.px(36), -kit.px(20))
        kit.box(surface, board.move(kit.px(4), kit.px(5)), PLUM[0], None, radius=14)
        kit.box(surface, board, SAND[2], INK, radius=14, border=2)
        button = kit.line(15) + kit.px(16)
        foot = board.bottom - kit.px(12) - button
        paper = pygame.Rect(board.left + kit.px(16), board.top + kit.px(22), board.width - kit.px(32), 0)
        paper.height = foot - kit.px(12) - paper.top
        kit.box(surface, paper.move(kit.px(3), kit.px(3)), SAND[1], None, radius=4)
        kit.box(surface, paper, SHEET, STEEL[0], radius=4, border=1.4)
        self._draw_clip(surface, board)
        room = paper.inflate(-kit.px(36), -kit.px(22))
        y = self._draw_head(surface, room)
        body = pygame.Rect(room.left, y, room.width, room.bottom - y)
        self._draw_body(surface, body)
        self._draw_foot(surface, pygame.Rect(paper.left, foot, paper.width, button))

    def _draw_clip(self, surface: pygame.Surface, board: pygame.Rect) -> None:
        kit = self.desk.kit
        clip = pygame.Rect(0, 0, kit.px(150), kit.px(26))
        clip.midtop = (board.centerx, board.top + kit.px(4))
        kit.box(surface, clip.move(0, kit.px(2)), INK, None, radius=8)
        kit.box(surface, clip, STEEL[3], INK, radius=8, border=1.6)
        kit.box(surface, clip.inflate(-kit.px(60), -kit.px(14)), STEEL[1], INK, radius=5, border=1.2)

    def _draw_head(self, surface: pygame.Surface, room: pygame.Rect) -> int:
        desk, kit, case = self.desk, self.desk.kit, self.yard.case
        title = kit.text(surface, desk.say("screens.report.title"), room.topleft, 22, ACCENT_DARK, True)
        machines = f"{case.tractor.title}  ·  {case.implement.title}"
        left = title.right + kit.px(24)
        kit.text(
            surface,
            machines,
            (room.right, title.centery),
            13,
            MUTED,
            anchor="midright",
            width=room.right - left,
            may_cut=True,
        )
        y = title.bottom + kit.px(4)
        pygame.draw.line(surface, ACCENT_DARK, (room.left, y), (room.right, y), max(2, kit.px(2)))
        return y + kit.px(8)

    def _draw_body(self, surface: pygame.Surface, body: pygame.Rect) -> None:
        desk, kit = self.desk, self.desk.kit
        if kit.text_scale <= 1.25:
            left = pygame.Rect(body.left, body.top, body.width * 45 // 100, body.height)
            right = pygame.Rect(left.right + kit.px(24), body.top, 0, body.height)
            right.width = body.right - right.left
            line = (right.left - kit.px(12), body.top), (right.left - kit.px(12), body.bottom)
            pygame.draw.line(surface, SAND[4], *line, max(1, kit.px(1)))
            self._draw_told(surface, left)
            if self.yard.state.found:
                self._draw_found(surface, right)
                return
            half = right.height * 56 // 100
            self._draw_where(surface, pygame.Rect(right.left, right.top, right.width, half - kit.px(8)))
            self._draw_what(
                surface, pygame.Rect(right.left, right.top + half, right.width, body.height - half)
            )
            return
        tab = kit.line(13) + kit.px(10)
        names = ("told", "found") if self.yard.state.found else _PARTS
        items = [
            (name, desk.say("screens.report.found" if name == "found" else f"screens.report.tab_{name}"))
            for name in names
        ]
        shown = self.part if self.part in names else names[-1]
        bar = pygame.Rect(body.left, body.top, body.width, tab)
        kit.tabs(surface, bar, items, shown, self._open_part, "report.page.", size=13)
        rest = pygame.Rect(body.left, bar.bottom + kit.px(8), body.width, 0)
        rest.height = body.bottom - rest.top
        {
            "told": self._draw_told,
            "where": self._draw_where,
            "what": self._draw_what,
            "found": self._draw_found,
        }[shown](surface, rest)

    def _heading(self, surface: pygame.Surface, key: str, x: int, y: int, width: int) -> int:
        kit = self.desk.kit
        says = self.desk.say(f"screens.report.{key}")
        kit.text(surface, says, (x, y), 15, INK, True, width=width, may_cut=True)
        return y + kit.line(15) + kit.px(4)

    # what was told and measured

    def _draw_told(self, surface: pygame.Surface, room: pygame.Rect) -> None:
        desk, kit = self.desk, self.desk.kit
        with kit.scroll(surface, "report.told", room) as view:
            y = self._heading(surface, "told", view.left, view.top, view.width)
            inner = view.width - kit.px(24)
            symptom = self.yard.case.symptom
            tall = kit.height(symptom, inner, _TEXT) + kit.px(16)
            box = pygame.Rect(view.left, y, view.width, tall)
            kit.box(surface, box, PAPER, SAND[3], radius=6)
            surface.fill(ORANGE, (box.left, box.top + kit.px(5), kit.px(4), tall - kit.px(10)))
            kit.paragraph(surface, symptom, (box.left + kit.px(14), y + kit.px(8)), inner, _TEXT)
            y = box.bottom + kit.px(12)
            y = self._heading(surface, "measured", view.left, y, view.width)
            rows = inquiry.measurements(self.yard.attempt, desk.texts, desk.settings.metric)
            if not (rows and self.yard.state.found):
                says = desk.say("screens.report.evidence_note" if rows else "screens.report.nothing")
                y = kit.paragraph(surface, says, (view.left, y), view.width, 13, MUTED) + kit.px(6)
            for row in rows:
                y = self._draw_measured(surface, row, view.left, y, view.width) + kit.px(5)
            y = self._draw_signed(surface, view.left, y, view.width)
            view.bottom = y

    def _draw_measured(
        self, surface: pygame.Surface, row: inquiry.Measured, x: int, y: int, width: int
    ) -> int:
        """A measurement with its box to tick."""
        desk, kit = self.desk, self.desk.kit
        found = self.yard.state.found
        pad, mark = kit.px(7), 0 if found else kit.tx(16)
        inner = width - mark - 3 * pad
        small = desk.say(
            "screens.report.row",
            number=row.number,
            time=clock(row.tick),
            place=desk.say(f"screens.stations.{row.station}"),
        )
        tall = 2 * pad + kit.height(row.text, inner, _TEXT, True) + kit.height(small, inner, 12)
        box = pygame.Rect(x, y, width, tall)
        on = row.number in self.cited
        target = Target(f"report.tick.{row.number}", box, f"{row.text} {small}")
        if not found:
            target.act = lambda: self.tick_off(row.number)
        kit.add(target)
        hot = kit.hovers(target) and target.act is not None
        kit.box(surface, box, ACCENT_PALE if on else PAPER, ACCENT_DARK if on or hot else EDGE, radius=6)
        square = pygame.Rect(x + pad, y + pad + kit.px(2), mark, mark)
        if not found:
            kit.box(surface, square, ACCENT if on else SHEET, ACCENT_DARK, radius=3, border=1.6)
        if on:
            kit.symbol(surface, "check", square.center, 13, SHEET)
        left = square.right + pad
        below = kit.paragraph(surface, row.text, (left, y + pad), inner, _TEXT, INK, True)
        kit.paragraph(surface, small, (left, below), inner, 12, MUTED)
        return box.bottom

    def _draw_signed(self, surface: pygame.Surface, x: int, y: int, width: int) -> int:
        """What was signed before, and that it was not that."""
        desk, kit = self.desk, self.desk.kit
        signed = self.yard.state.named[: -1 if self.yard.state.found else None]
        if not signed:
            return y
        y = self._heading(surface, "signed", x, y + kit.px(8), width)
        for line in signed:
            part, _, wrong = line.partition(" as ")
            says = desk.say("screens.report.line", part=self._named(part), wrong=self._wrong(wrong))
            kit.symbol(surface, "cross", (x + kit.tx(8), y + kit.line(13) // 2), 13, ORANGE, INK)
            y = kit.paragraph(surface, says, (x + kit.tx(20), y), width - kit.tx(20), 13) + kit.px(3)
        return y

    # where it sits and what is wrong there

    def _named(self, part: str) -> str:
        return inquiry.part_name(self.yard.case, part, self.desk.texts)

    def _wrong(self, wrong: str) -> str:
        return inquiry.wrong_name(wrong, self.desk.texts)

    def _draw_where(self, surface: pygame.Surface, room: pygame.Rect) -> None:
        desk, draft = self.desk, self.draft
        kit = desk.kit
        with kit.scroll(surface, f"report.where.{draft.group}", room) as view:
            y = self._heading(surface, "where", view.left, view.top, view.width)
            groups = [(name, desk.say(f"part_groups.{name}")) for name in self.groups]
            y = self._flow(
                surface, view.left, y, view.width, groups, draft.group, self._open_group, "group", 12.5
            )
            y += kit.px(5)
            pygame.draw.line(surface, SAND[3], (view.left, y), (view.left + view.width, y), max(1, kit.px(1)))
            y += kit.px(7)
            parts = [(name, self._named(name)) for name in self.groups[draft.group]]
            y = self._flow(surface, view.left, y, view.width, parts, draft.part, self._point_out, "part", 13)
            view.bottom = y

    def _draw_what(self, surface: pygame.Surface, room: pygame.Rect) -> None:
        kit = self.desk.kit
        with kit.scroll(surface, "report.what", room) as view:
            y = self._heading(surface, "what", view.left, view.top, view.width)
            wrongs = [(name, self._wrong(name)) for name in WRONGS]
            view.bottom = self._flow(
                surface, view.left, y, view.width, wrongs, self.draft.wrong, self._say_wrong, "wrong", 13
            )

    def _flow(
        self,
        surface: pygame.Surface,
        x: int,
        y: int,
        width: int,
        items: list[tuple[str, str]],
        chosen: str,
        pick: Callable[[str], None],
        prefix: str,
        size: float,
    ) -> int:
        """Buttons side by side in as many rows as they need; gives the y below them."""
        kit = self.desk.kit
        gap, row = kit.px(5), kit.line(size) + kit.px(9)
        left, below = x, y
        for name, label in items:
            wide = min(width, kit.width(label, size, True) + kit.px(22))
            tall = kit.height(label, wide - kit.px(14), size, True) + kit.px(9)
            if left > x and left + wide > x + width:
                left, y = x, below
            kit.button(
                surface,
                pygame.Rect(left, y, wide, max(row, tall)),
                label,
                f"report.{prefix}.{name}",
                _picker(pick, name),
                size=size,
                chosen=name == chosen,
            )
            left += wide + gap
            below = max(below, y + max(row, tall) + gap)
        return below

    # once it is found

    def _draw_found(self, surface: pygame.Surface, room: pygame.Rect) -> None:
        """What was named rightly, how it is mended, and what has to be proved."""
        desk, kit, case, state = self.desk, self.desk.kit, self.yard.case, self.yard.state
        with kit.scroll(surface, "report.found", room) as view:
            part, _, wrong = state.named[-1].partition(" as ")
            says = desk.say("screens.report.line", part=self._named(part), wrong=self._wrong(wrong))
            pad = kit.px(14)
            inner = view.width - 2 * pad - kit.tx(30)
            tall = 2 * pad + kit.line(13) + kit.height(says, inner, 17, True)
            box = pygame.Rect(view.left, view.top, view.width, tall)
            kit.box(surface, box, ACCENT_PALE, ACCENT_DARK, radius=8, border=2)
            kit.symbol(surface, "check", (box.left + pad + kit.tx(11), box.centery), 24, GREEN, INK)
            left = box.left + pad + kit.tx(30)
            kit.text(surface, desk.say("screens.report.found"), (left, box.top + pad), 13, MUTED)
            kit.paragraph(surface, says, (left, box.top + pad + kit.line(13)), inner, 17, INK, True)
            y = box.bottom + kit.px(14)
            y = kit.paragraph(surface, said_of_mending(desk, case)[0], (view.left, y), view.width, 15)
            if faults.mendable(case):
                y = self._draw_proof(surface, view.left, y + kit.px(12), view.width)
            view.bottom = y

    def _draw_proof(self, surface: pygame.Surface, x: int, y: int, width: int) -> int:
        desk, kit = self.desk, self.desk.kit
        proof = self.yard.case.proof
        says = desk.say("screens.report.prove" if proof else "screens.report.prove_nothing")
        y = kit.paragraph(surface, says, (x, y), width, 15) + kit.px(4)
        for name in proof:
            done = name in self.yard.state.proved
            square = pygame.Rect(x, y + kit.px(2), kit.tx(16), kit.tx(16))
            kit.box(surface, square, GREEN if done else SHEET, INK, radius=3, border=1.4)
            if done:
                kit.symbol(surface, "check", square.center, 13, SHEET)
            named = telling.name_of(self.yard.case, name, desk.texts)
            named = named[:1].upper() + named[1:]
            kit.text(surface, named, (square.right + kit.px(8), y), 15, INK, True)
            y += kit.line(15) + kit.px(4)
        return y

    # the foot

    def _draw_foot(self, surface: pygame.Surface, row: pygame.Rect) -> None:
        desk, kit, draft = self.desk, self.desk.kit, self.draft
        size = 15 if kit.text_scale <= 1.25 else 12.5
        label = desk.say("screens.report.back")
        back = pygame.Rect(row.left, row.top, kit.width(label, size, True) + kit.px(52), row.height)
        kit.button(surface, back, label, "report.back", self._back, size=size, symbol="back")
        x = row.right
        if self.yard.state.station in WORDS["mend"].stations:
            hint = desk.say("screens.report.mend_hint", part=self._named(draft.part)) if draft.part else ""
            x = self._foot_button(surface, x, row, "mend", self.mend, self.can_mend, hint, size)
        elif not self.yard.state.found:
            hint = desk.say("screens.report.sign_hint" if self._at_desk else "screens.report.sign_there")
            x = self._foot_button(surface, x, row, "sign", self.sign, self.can_sign, hint, size)
        self._draw_summary(surface, pygame.Rect(back.right, row.top, x - back.right, row.height))

    @property
    def _at_desk(self) -> bool:
        return self.yard.state.station in WORDS["name"].stations

    def _foot_button(
        self,
        surface: pygame.Surface,
        right: int,
        row: pygame.Rect,
        name: str,
        act: Callable[[], None],
        enabled: bool,
        hint: str,
        size: float,
    ) -> int:
        kit = self.desk.kit
        label = self.desk.say(f"screens.report.{name}")
        wide = kit.width(label, size, True) + kit.px(40)
        box = pygame.Rect(right - wide, row.top, wide, row.height)
        kit.button(
            surface, box, label, f"report.{name}", act, kind="strong", enabled=enabled, hint=hint, size=size
        )
        return box.left - kit.px(10)

    def _draw_summary(self, surface: pygame.Surface, room: pygame.Rect) -> None:
        """What the report says as it stands."""
        desk, kit, draft = self.desk, self.desk.kit, self.draft
        if self.yard.state.found:
            return
        part = self._named(draft.part) if draft.part else f"‹{desk.say('screens.report.no_part')}›"
        wrong = self._wrong(draft.wrong) if draft.wrong else f"‹{desk.say('screens.report.no_wrong')}›"
        line = desk.say("screens.report.line", part=part, wrong=wrong)
        numbers = ", ".join(map(str, self.cited))
        second = desk.say("screens.report.evidence", numbers=numbers)
        if not numbers:
            second = desk.say("screens.report.no_evidence")
        if not self._at_desk and self.yard.state.station not in WORDS["mend"].stations:
            second = f"{second}  ·  {desk.say('screens.report.sign_there')}"
        size = 13 / max(1.0, kit.text_scale * 0.75)
        width = room.width - kit.px(28)
        left = room.left + kit.px(16)
        top = room.centery - kit.line(size)
        kit.text(surface, line, (left, top), size, INK, True, width=width, may_cut=True)
        kit.text(surface, second, (left, room.centery), size, INK, width=width, may_cut=True)


def said_of_mending(desk: Desk, case: Case) -> tuple[str, ...]:
    """Who mends the fault that was found and how; where the yard can, also what has to be proved then."""
    how = faults.KINDS[case.fault.kind].mend if case.fault is not None else faults.SHOP
    told = desk.say(f"screens.report.mend_{how}")
    if how == faults.SHOP:
        return (told,)
    if not case.proof:
        return told, desk.say("screens.report.prove_nothing")
    named = ", ".join(telling.name_of(case, name, desk.texts) for name in case.proof)
    return told, f"{desk.say('screens.report.prove')} {named}."


def _picker(pick: Callable[[str], None], name: str) -> Callable[[], None]:
    def act() -> None:
        pick(name)

    return act
