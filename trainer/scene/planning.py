"""The plan board: step cards laid into the order the trainee means to work in.

A card can be dragged; or picked up with a click and put down with another; or moved with the keys: right lays
it at the end, left takes it back, up and down move it within the row. All three do the same few things.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pygame

from trainer.authoring.compile import Job
from trainer.authoring.plan import cards
from trainer.scene.desk import Desk, Screen
from trainer.scene.kit import Point, Target, View
from trainer.scene.palette import (
    ACCENT,
    ACCENT_DARK,
    ACCENT_LIGHT,
    ACCENT_PALE,
    BAR,
    BAR_INK,
    BAR_MUTED,
    EDGE,
    INK,
    MUTED,
    PAPER,
    PLUM,
    SAND,
    SHEET,
    Colour,
)

_DRAG_FROM = 6
_CARD = "plan.card."
_TEXT = 14


class PlanBoard(Screen):
    """Cards on the left, the plan on the right. `read` are papers looked through on the job sheet."""

    name = "plan"

    def __init__(self, desk: Desk, job: Job, read: Sequence[str] = (), plan: Sequence[str] = ()) -> None:
        super().__init__(desk)
        self.job = job
        self.read = tuple(read)
        self.all = cards(job.case)
        self.titles = {step.name: step.title for step in job.case.steps}
        self.plan = [name for name in plan if name in self.all]
        self.held = ""
        self.dragged = ""
        self._pressed: tuple[str, Point, Point] | None = None
        self._places: list[pygame.Rect] = []
        self._rail = pygame.Rect(0, 0, 0, 0)

    @property
    def pile(self) -> list[str]:
        """Cards not laid yet, always in the same order."""
        return [name for name in self.all if name not in self.plan]

    def status(self) -> dict[str, object]:
        return {"plan": list(self.plan), "held": self.held}

    # --- what can be done with a card ----------------------------------------------------------------------

    def lay(self, name: str, index: int) -> None:
        """Lay a card at a place of the plan; those behind it move on."""
        if name in self.plan:
            here = self.plan.index(name)
            self.plan.remove(name)
            index -= here < index
        self.plan.insert(max(0, min(index, len(self.plan))), name)
        self.held = ""

    def take_back(self, name: str) -> None:
        if name in self.plan:
            self.plan.remove(name)
        self.held = ""

    def _click(self, name: str) -> None:
        if not self.held or (name in self.pile and name != self.held):
            self.held = name
        elif name == self.held:
            self.held = ""
        else:
            self.lay(self.held, self.plan.index(name))

    def _lay_last(self) -> None:
        if self.held:
            self.lay(self.held, len(self.plan))

    def _put_back(self) -> None:
        if self.held:
            self.take_back(self.held)

    def _step(self, name: str) -> Callable[[int], None]:
        def act(direction: int) -> None:
            if direction < 0:
                self.take_back(name)
            elif name not in self.plan:
                self.lay(name, len(self.plan))

        return act

    # --- events --------------------------------------------------------------------------------------------

    def before_kit(self, event: pygame.event.Event) -> bool:
        kit = self.desk.kit
        if self._key(event):
            return True
        if event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
            target = kit.at(event.pos)
            if target is None or not target.id.startswith(_CARD):
                return False
            kit.pointer, kit.focus, kit.focus_shown = event.pos, target.id, False
            grip = event.pos[0] - target.rect.left, event.pos[1] - target.rect.top
            self._pressed = target.id.removeprefix(_CARD), event.pos, grip
            return True
        if event.type == pygame.MOUSEMOTION and self._pressed is not None:
            name, start, _ = self._pressed
            far = max(abs(event.pos[0] - start[0]), abs(event.pos[1] - start[1]))
            if far >= kit.px(_DRAG_FROM):
                self.dragged, self.held = name, ""
            return True
        if event.type == pygame.MOUSEBUTTONUP and event.button == 1 and self._pressed is not None:
            name, _, _ = self._pressed
            kit.pointer = event.pos
            if not self.dragged:
                self._click(name)
            elif (index := self._index_at(event.pos)) >= 0:
                self.lay(name, index)
            else:
                self.take_back(name)
            self._pressed, self.dragged = None, ""
            return True
        return False

    def handle(self, event: pygame.event.Event) -> bool:
        if not self.desk.kit.keys.asks(event, "back"):
            return False
        if self.held:
            self.held = ""
        else:
            self._back()
        return True

    def _key(self, event: pygame.event.Event) -> bool:
        """Keys move the laid card that has the focus."""
        name = self.desk.kit.focus.removeprefix(_CARD)
        asked = self.desk.kit.keys.asked(event)
        if name in self.plan and asked in ("up", "down"):
            here = self.plan.index(name)
            self.lay(name, here - 1 if asked == "up" else here + 2)
            self._show_focus()
            return True
        if name in self.plan and asked == "take_away":
            self.take_back(name)
            return True
        return False

    def _show_focus(self) -> None:
        """Keep the card that the keys move in sight."""
        kit = self.desk.kit
        kit.focus_shown = True
        target, area = kit.find(kit.focus), kit.areas.get("plan.rail")
        if target is None or area is None:
            return
        if target.rect.top - target.rect.height < area.rect.top:
            area.move(-target.rect.height - kit.px(8))
        elif target.rect.bottom + target.rect.height > area.rect.bottom:
            area.move(target.rect.height + kit.px(8))

    def _index_at(self, at: Point) -> int:
        """The place in the plan that a card let go here would take; -1 outside the plan."""
        if not self._rail.collidepoint(at):
            return -1
        laid = self._places[: len(self.plan)]
        if not laid:
            return 0
        column = min(laid, key=lambda place: abs(place.centerx - at[0])).left
        if at[0] > max(place.right for place in laid):
            return len(self.plan)
        inside = [(index, place) for index, place in enumerate(laid) if place.left == column]
        for index, place in inside:
            if at[1] < place.centery:
                return index
        return inside[-1][0] + 1

    def update(self, dt_s: float) -> None:
        """A card held at the edge of the plan scrolls it."""
        kit = self.desk.kit
        area = kit.areas.get("plan.rail")
        if not self.dragged or area is None or not area.most:
            return
        edge, speed = kit.px(34), round(kit.px(520) * dt_s)
        if kit.pointer[1] < area.rect.top + edge:
            area.move(-speed)
        elif kit.pointer[1] > area.rect.bottom - edge:
            area.move(speed)

    # --- drawing -------------------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        desk, kit = self.desk, self.desk.kit
        surface.fill(BAR)
        window = surface.get_rect()
        margin, gap = kit.px(26), kit.px(16)
        wide = window.width - 2 * margin
        at = (margin, kit.px(14))
        title = desk.say("screens.plan.title", job=self.job.case.title)
        kit.text(surface, title, at, 24, BAR_INK, True, width=wide, may_cut=True)
        says = desk.say("screens.plan.says")
        top = kit.paragraph(surface, says, (margin, at[1] + kit.line(24)), wide, 14, BAR_MUTED) + kit.px(10)
        button = kit.line(16) + kit.px(18)
        foot = self._draw_foot(surface, margin, button)
        room = pygame.Rect(margin, top, wide, foot - top - gap)
        columns = 2 if kit.text_scale <= 1.25 else 1
        left = pygame.Rect(room.left, room.top, (room.width - gap) // 2, room.height)
        right = pygame.Rect(left.right + gap, room.top, room.right - left.right - gap, room.height)
        self._draw_pile(surface, left, columns)
        self._draw_plan(surface, right, columns)
        self._draw_dragged(surface)
        if self.dragged:
            self._draw_mark(surface, self._index_at(kit.pointer))

    def _draw_foot(self, surface: pygame.Surface, margin: int, button: int) -> int:
        """The buttons, in two rows where one does not hold them; gives where they begin."""
        desk, kit = self.desk, self.desk.kit
        window = surface.get_rect()
        foot = window.bottom - kit.px(20) - button
        items: list[tuple[str, str, Callable[[], None]]] = [("start", "strong", self._start)]
        if desk.settings.mode != "check_out":
            items.append(("skip", "bar", self._skip))
        x = window.right - margin
        for name, kind, act in items:
            label = desk.say(f"screens.plan.{name}")
            wide = kit.width(label, 16, True) + kit.px(44)
            x -= wide
            box = pygame.Rect(x, foot, wide, button)
            enabled = name != "start" or bool(self.plan)
            kit.button(surface, box, label, f"plan.{name}", act, kind=kind, size=16, enabled=enabled)
            x -= kit.px(10)
        label = desk.say("screens.plan.back")
        back = pygame.Rect(margin, foot, kit.width(label, 15, True) + kit.px(56), button)
        kit.button(surface, back, label, "plan.back", self._back, kind="bar", symbol="back")
        if self.held:
            says, ink = desk.say("screens.plan.held", step=self.titles[self.held]), BAR_INK
        else:
            says, ink = desk.say("screens.plan.laid", done=len(self.plan), count=len(self.all)), BAR_MUTED
        between = pygame.Rect(back.right + kit.px(16), foot, x - back.right - kit.px(22), button)
        if kit.width(says, 14) > between.width:
            foot -= kit.line(14) + kit.px(8)
            between = pygame.Rect(margin, foot, window.width - 2 * margin, kit.line(14))
        kit.text(surface, says, between.midleft, 14, ink, anchor="midleft", width=between.width, may_cut=True)
        return foot

    def _board(self, surface: pygame.Surface, room: pygame.Rect, key: str, fill: Colour) -> pygame.Rect:
        """A board with its name on it; gives the room that is left on it."""
        kit = self.desk.kit
        pad = kit.px(12)
        kit.box(surface, room, fill, SAND[2], radius=9, border=1.5)
        kit.text(surface, self.desk.say(key), (room.left + pad, room.top + kit.px(8)), 15, INK, True)
        top = room.top + kit.px(12) + kit.line(15)
        return pygame.Rect(room.left + pad, top, room.width - 2 * pad + kit.px(6), room.bottom - top - pad)

    def _draw_pile(self, surface: pygame.Surface, room: pygame.Rect, columns: int) -> None:
        kit = self.desk.kit
        inside = self._board(surface, room, "screens.plan.cards", SAND[3])
        if self.held in self.plan:
            label = self.desk.say("screens.plan.pile")
            wide = kit.width(label, 13, True) + kit.px(30)
            box = pygame.Rect(0, room.top + kit.px(4), wide, kit.line(13) + kit.px(8))
            box.right = room.right - kit.px(12)
            kit.button(surface, box, label, "plan.pile", self._put_back, size=13)
        with kit.scroll(surface, "plan.cards", inside) as view:
            names = self.pile
            rows = -(-len(self.all) // columns)
            view.bottom = view.top
            for name, place in zip(names, self._flow(names, view, columns, rows), strict=True):
                self._card(surface, name, place, 0)
                view.bottom = max(view.bottom, place.bottom + kit.px(6))

    def _draw_plan(self, surface: pygame.Surface, room: pygame.Rect, columns: int) -> None:
        desk, kit = self.desk, self.desk.kit
        self._rail = room
        inside = self._board(surface, room, "screens.plan.order", PAPER)
        with kit.scroll(surface, "plan.rail", inside) as view:
            rows = -(-len(self.all) // columns)
            names = [*self.plan, *[""] * (len(self.all) - len(self.plan))]
            self._places = self._flow(names, view, columns, rows)
            for number, (name, place) in enumerate(zip(names, self._places, strict=True), start=1):
                if name:
                    self._card(surface, name, place, number)
                else:
                    self._empty(surface, place, number)
                view.bottom = max(view.bottom, place.bottom + kit.px(6))
            last = self._places[len(self.plan)] if self.pile else None
            if last is not None:
                kit.add(Target("plan.end", last, desk.say("screens.plan.next"), act=self._lay_last))

    def _flow(self, names: Sequence[str], view: View, columns: int, rows: int) -> list[pygame.Rect]:
        """Places for cards, down one column and on in the next; each as high as its words."""
        kit = self.desk.kit
        left, top, width = view.left, view.top, view.width
        gap = kit.px(6)
        wide = (width - gap * (columns - 1)) // columns
        places = []
        y = top
        for number, name in enumerate(names):
            if number % rows == 0:
                y = top
            tall = kit.height(self.titles[name] if name else "", wide - self._lead(), _TEXT, True) + kit.px(
                14
            )
            places.append(pygame.Rect(left + number // rows * (wide + gap), y, wide, tall))
            y += tall + gap
        return places

    def _lead(self) -> int:
        """Width that grip, number and edges take from a card's words."""
        kit = self.desk.kit
        return kit.tx(30) + kit.px(26)

    def _card(self, surface: pygame.Surface, name: str, place: pygame.Rect, number: int) -> None:
        kit = self.desk.kit
        target = Target(_CARD + name, place, self.titles[name], act=lambda: self._click(name))
        target.step = self._step(name)
        kit.add(target)
        if name == self.dragged:
            kit.box(surface, place, SAND[4], SAND[2], radius=6, border=1.4)
            return
        lifted = name == self.held
        self._draw_card(surface, name, place, number, lifted, kit.hovers(target) and not self.dragged)

    def _draw_card(
        self,
        surface: pygame.Surface,
        name: str,
        place: pygame.Rect,
        number: int,
        lifted: bool,
        hovered: bool,
    ) -> None:
        """A card of stiff paper: light from the left, its shade to the right, a grip to take it by."""
        kit = self.desk.kit
        shade = place.move(kit.px(5 if lifted else 2), kit.px(5 if lifted else 2))
        kit.box(surface, shade, SAND[1] if lifted else SAND[2], None, radius=6)
        fill = ACCENT_PALE if lifted else SHEET if not hovered else PAPER
        edge = ACCENT_DARK if lifted or hovered else EDGE
        kit.box(surface, place, fill, edge, radius=6, border=2 if lifted else 1.4)
        grip = pygame.Rect(
            place.left + kit.px(4), place.top + kit.px(4), kit.tx(30), place.height - kit.px(8)
        )
        kit.box(surface, grip, PLUM[1] if number else ACCENT, None, radius=4)
        if number:
            kit.text(surface, str(number), grip.center, _TEXT, PAPER, True, anchor="center")
        else:
            for row in (-1, 0, 1):
                for side in (-1, 1):
                    spot = grip.centerx + side * kit.px(4), grip.centery + row * kit.px(6)
                    pygame.draw.circle(surface, ACCENT_PALE, spot, max(2, kit.px(1.8)))
        words = grip.right + kit.px(10)
        kit.paragraph(
            surface,
            self.titles[name],
            (words, place.top + kit.px(7)),
            place.width - self._lead(),
            _TEXT,
            INK,
            True,
        )

    def _empty(self, surface: pygame.Surface, place: pygame.Rect, number: int) -> None:
        kit = self.desk.kit
        following = number == len(self.plan) + 1
        edge = ACCENT if following and self.held else SAND[2] if following else SAND[4]
        kit.box(surface, place, SHEET if following else None, edge, radius=6, border=2 if following else 1.4)
        middle = place.left + kit.px(4) + kit.tx(30) // 2, place.centery
        kit.text(surface, str(number), middle, _TEXT, MUTED, anchor="center")
        if following:
            key = "screens.plan.put_here" if self.held else "screens.plan.next"
            words = pygame.Rect(place.left + self._lead() - kit.px(12), place.top, 0, place.height)
            room = place.right - words.left - kit.px(8)
            text = self.desk.say(key)
            kit.text(surface, text, words.midleft, 13, MUTED, anchor="midleft", width=room, may_cut=True)

    def _draw_mark(self, surface: pygame.Surface, index: int) -> None:
        """Where the card would go."""
        kit = self.desk.kit
        if index < 0 or not self._places:
            return
        if index < len(self._places) and (index == 0 or index < len(self.plan) or self.pile):
            place = self._places[index]
            y = place.top - kit.px(3)
        else:
            place = self._places[index - 1]
            y = place.bottom + kit.px(3)
        bar = pygame.Rect(place.left, y - kit.px(2.5), place.width, kit.px(5))
        clip = surface.get_clip()
        surface.set_clip(self._rail)
        kit.box(surface, bar.inflate(kit.px(2), kit.px(2)), SHEET, None, radius=3)
        kit.box(surface, bar, ACCENT, None, radius=2)
        for x in (bar.left, bar.right):
            pygame.draw.circle(surface, ACCENT_DARK, (x, bar.centery), kit.px(5))
        surface.set_clip(clip)

    def _draw_dragged(self, surface: pygame.Surface) -> None:
        if not self.dragged or self._pressed is None:
            return
        kit = self.desk.kit
        wide = self._places[0].width if self._places else kit.px(260)
        words = kit.height(self.titles[self.dragged], wide - self._lead(), _TEXT, True)
        _, _, grip = self._pressed
        place = pygame.Rect(kit.pointer[0] - grip[0], kit.pointer[1] - grip[1], wide, words + kit.px(14))
        self._draw_card(surface, self.dragged, place, 0, True, False)
        pygame.draw.rect(surface, ACCENT_LIGHT, place, max(1, kit.px(1)), border_radius=kit.px(6))

    # --- the way on ----------------------------------------------------------------------------------------

    def _start(self) -> None:
        self.desk.go("yard", self.job, self.desk.settings.mode, self.read, tuple(self.plan))

    def _skip(self) -> None:
        self.desk.go("yard", self.job, self.desk.settings.mode, self.read)

    def _back(self) -> None:
        self.desk.go("sheet", self.job.name, self.read, tuple(self.plan))
