"""The settings: laid over whatever screen is up, so that they can be changed in the middle of an attempt.

Everything takes effect at once and is kept when the page is closed. The keys are listed here too, whether
somebody wants to change them or only to look one up.
"""

from __future__ import annotations

from collections.abc import Callable

import pygame

from trainer.lang import languages
from trainer.records.settings import TEXT_PERCENT
from trainer.scene.controller import BUTTONS
from trainer.scene.desk import Desk, Screen
from trainer.scene.keys import COMMANDS, GROUPS, name_of, shown
from trainer.scene.palette import ACCENT_DARK, BAR, BAR_INK, INK, MUTED, PAPER, PAPER_DEEP

TABS = ("look", "sound", "keys")
_VOLUME_STEP = 5


class SettingsPage(Screen):
    """`tab` is one of `TABS`."""

    name = "settings"

    def __init__(self, desk: Desk, tab: str = "") -> None:
        super().__init__(desk)
        self.tab = tab or TABS[0]
        self.listening = ""
        """The command whose new key is waited for."""
        self.conflict = ("", "", "")
        """Command, key that was pressed, and the command that has it."""

    # --- events --------------------------------------------------------------------------------------------

    def before_kit(self, event: pygame.event.Event) -> bool:
        if not self.listening:
            return False
        if event.type == pygame.MOUSEBUTTONDOWN:
            self.listening = ""
            return False
        if event.type != pygame.KEYDOWN:
            return False
        key = name_of(event)
        if not key:  # Ctrl, Shift or Alt on the way to another key
            return True
        name, self.listening = self.listening, ""
        keys = self.desk.kit.keys
        if keys.asks(event, "back") and name != "back":
            return True
        other = keys.lay(name, key)
        if other:
            self.conflict = name, key, other
        self._keep_keys()
        return True

    def handle(self, event: pygame.event.Event) -> bool:
        if self.desk.kit.keys.asks(event, "back", "settings", "help"):
            if self.conflict[0]:
                self._let_be()
            else:
                self.desk.take_off()
            return True
        return event.type == pygame.KEYDOWN

    def status(self) -> dict[str, object]:
        return {"tab": self.tab, "listening": self.listening}

    # --- what the controls do ------------------------------------------------------------------------------

    def _show(self, tab: str) -> None:
        self.tab, self.listening = tab, ""

    def _listen(self, name: str) -> Callable[[], None]:
        def act() -> None:
            self.listening = "" if self.listening == name else name

        return act

    def _swap(self) -> None:
        name, key, _ = self.conflict
        self.desk.kit.keys.lay(name, key, swap=True)
        self._keep_keys()
        self._let_be()

    def _let_be(self) -> None:
        self.conflict = ("", "", "")

    def _reset(self) -> None:
        self.desk.kit.keys.reset()
        self.listening = ""
        self._keep_keys()

    def _keep_keys(self) -> None:
        self.desk.settings.keys = dict(self.desk.kit.keys.changed)

    def _set(self, name: str) -> Callable[[str], None]:
        """Sets one of the settings that are on or off."""

        def pick(value: str) -> None:
            setattr(self.desk.settings, name, value == "on")

        return pick

    def _pick_units(self, units: str) -> None:
        self.desk.settings.units = units

    def _pick_window(self, kind: str) -> None:
        if (kind == "on") != self.desk.settings.full_screen:
            self.desk.go("full_screen")

    def _leave_folder(self) -> None:
        self.desk.go("folder", "")

    def _pick_volume(self, volume: int) -> None:
        self.desk.settings.volume = volume

    # --- drawing -------------------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        desk, kit = self.desk, self.desk.kit
        kit.modal()
        surface.fill(BAR)
        window = surface.get_rect()
        margin, gap = kit.px(26), kit.px(14)
        y = kit.px(16)
        title = kit.text(surface, desk.say("screens.settings.title"), (margin, y), 24, BAR_INK, True)
        row = kit.line(15) + kit.px(16)
        items = [(name, desk.say(f"screens.settings.tabs.{name}")) for name in TABS]
        wide = sum(kit.width(label, 15, True) + kit.px(44) for _, label in items)
        tabs = pygame.Rect(window.right - margin - wide, y, wide, row)
        if tabs.left < title.right + gap:
            tabs.topleft = margin, title.bottom + kit.px(6)
            tabs.width = min(wide, window.width - 2 * margin)
        kit.tabs(surface, tabs, items, self.tab, self._show, "settings.tab.", kind="bar", size=15)
        label = desk.say("screens.settings.done")
        button = kit.line(16) + kit.px(18)
        done_wide = kit.width(label, 16, True) + kit.px(80)
        done = pygame.Rect(
            window.right - margin - done_wide, window.bottom - margin - button, done_wide, button
        )
        top = max(tabs.bottom, title.bottom) + gap
        sheet = pygame.Rect(margin, top, window.width - 2 * margin, done.top - gap - top)
        kit.box(surface, sheet, PAPER, None, radius=8)
        pad = kit.px(20)
        draw = {"look": self._draw_look, "sound": self._draw_sound, "keys": self._draw_keys}[self.tab]
        with kit.scroll(surface, f"settings.{self.tab}", sheet.inflate(-2 * pad + kit.px(10), -pad)) as view:
            view.bottom = draw(surface, view.left, view.top + kit.px(6), view.width) + kit.px(10)
        kit.button(surface, done, label, "settings.done", desk.take_off, kind="strong", size=16)
        note = desk.say("screens.settings.note", by_key=desk.key("settings"))
        room = done.left - 2 * margin
        if kit.width(note, 13) <= room:
            kit.text(surface, note, (margin, done.centery), 13, BAR_INK, anchor="midleft")
        if self.conflict[0]:
            self._draw_conflict(surface)

    def _draw_look(self, surface: pygame.Surface, x: int, y: int, width: int) -> int:
        desk, settings = self.desk, self.desk.settings
        y = self._choice(
            surface, "language", list(languages().items()), desk.texts.language, desk.speak, x, y, width
        )
        y = self._choice(
            surface,
            "units",
            self._words("units", "us", "metric"),
            settings.units,
            self._pick_units,
            x,
            y,
            width,
        )

        def size(percent: int) -> None:
            desk.text_size(percent)

        low, high = TEXT_PERCENT[0], TEXT_PERCENT[-1]
        says = desk.say("screens.settings.percent", percent=settings.text_percent)
        y = self._slide(surface, "text", says, (low, settings.text_percent, high, 5), size, x, y, width)
        y = self._switch(surface, "reduced_motion", settings.reduced_motion, x, y, width)
        y = self._choice(
            surface,
            "full_screen",
            self._words("full_screen", "off", "on"),
            "on" if settings.full_screen else "off",
            self._pick_window,
            x,
            y,
            width,
        )
        return self._draw_folder(surface, x, y, width)

    def _draw_folder(self, surface: pygame.Surface, x: int, y: int, width: int) -> int:
        """The folder of somebody's own, and a button to do without it."""
        desk, kit = self.desk, self.desk.kit
        folder = desk.settings.folder
        room, below = self._row(surface, "folder", x, y, width)
        label = desk.say("screens.settings.folder.leave")
        button = room.copy()
        button.width = min(room.width, kit.width(label, 15, True) + kit.px(40))
        kit.button(surface, button, label, "settings.folder", self._leave_folder, enabled=bool(folder))
        if kit.width(folder, 14) <= room.right - button.right - kit.px(14):
            kit.text(surface, folder, (button.right + kit.px(14), button.centery), 14, INK, anchor="midleft")
            return below
        return kit.paragraph(surface, folder, (x, below), width, 14, INK) + kit.px(8)

    def _draw_sound(self, surface: pygame.Surface, x: int, y: int, width: int) -> int:
        settings = self.desk.settings
        says = self.desk.say("screens.settings.percent", percent=settings.volume)
        at = (0, settings.volume, 100, _VOLUME_STEP)
        y = self._slide(surface, "volume", says, at, self._pick_volume, x, y, width)
        y = self._switch(surface, "mute", settings.mute, x, y, width)
        return self._switch(surface, "captions", settings.captions, x, y, width)

    def _draw_keys(self, surface: pygame.Surface, x: int, y: int, width: int) -> int:
        desk, kit = self.desk, self.desk.kit
        y = kit.paragraph(surface, desk.say("screens.settings.keys_says"), (x, y), width, 14, INK)
        y += kit.px(8)
        columns = 2 if width > kit.tx(1000) else 1
        gap = kit.px(40)
        wide = (width - gap * (columns - 1)) // columns
        for group in GROUPS:
            kit.text(surface, desk.say(f"keys.groups.{group}"), (x, y), 16, ACCENT_DARK, True)
            y += kit.line(16) + kit.px(4)
            commands = [command for command in COMMANDS if command.group == group]
            tall = 0
            for number, command in enumerate(commands):
                column = number % columns
                took = self._draw_key(surface, command.name, x + column * (wide + gap), y, wide)
                tall = max(tall, took)
                if column == columns - 1 or number == len(commands) - 1:
                    y, tall = y + tall + kit.px(5), 0
            y += kit.px(12)
        label = desk.say("screens.settings.reset")
        button = pygame.Rect(x, y, kit.width(label, 15, True) + kit.px(40), kit.line(15) + kit.px(16))
        changed = bool(desk.settings.keys)
        kit.button(surface, button, label, "settings.reset", self._reset, enabled=changed)
        y = button.bottom + kit.px(20)
        kit.text(surface, desk.say("screens.settings.controller_title"), (x, y), 16, ACCENT_DARK, True)
        y += kit.line(16) + kit.px(4)
        y = self._switch(surface, "controller", desk.settings.controller, x, y, width, title=False)
        for number, command_name in sorted(BUTTONS.items()):
            says = desk.say(
                "screens.settings.controller_button",
                number=number + 1,
                what=desk.say(f"keys.commands.{command_name}"),
            )
            y = kit.paragraph(surface, says, (x, y), width, 14, INK)
        return y

    def _draw_key(self, surface: pygame.Surface, name: str, x: int, y: int, width: int) -> int:
        """A command and the button with its key; gives the height of the row."""
        desk, kit = self.desk, self.desk.kit
        listening = self.listening == name
        label = desk.say("screens.settings.press_key") if listening else desk.key(name)
        wide = max(kit.tx(150), kit.width(label, 14, True) + kit.px(24))
        wide = min(wide, width // 2)
        says = desk.say(f"keys.commands.{name}")
        room = width - wide - kit.px(14)
        tall = max(kit.line(14) + kit.px(10), kit.height(says, room, 14))
        box = pygame.Rect(x + width - wide, y, wide, tall)
        kit.button(surface, box, label, f"settings.key.{name}", self._listen(name), size=14, chosen=listening)
        kit.paragraph(surface, says, (x, y + (tall - kit.height(says, room, 14)) // 2), room, 14, INK)
        return tall

    def _draw_conflict(self, surface: pygame.Surface) -> None:
        desk = self.desk
        name, key, other = self.conflict
        says = desk.say(
            "screens.settings.conflict",
            by_key=shown(key, desk.texts),
            other=desk.say(f"keys.commands.{other}"),
            wanted=desk.say(f"keys.commands.{name}"),
            before=desk.key(name),
        )
        desk.kit.dialog(
            surface,
            desk.say("screens.settings.conflict_title"),
            says,
            [
                ("settings.swap", desk.say("screens.settings.swap"), "strong", self._swap),
                ("settings.let_be", desk.say("screens.settings.let_be"), "plain", self._let_be),
            ],
        )

    # --- rows ----------------------------------------------------------------------------------------------

    def _words(self, name: str, *values: str) -> list[tuple[str, str]]:
        return [(value, self.desk.say(f"screens.settings.{name}.{value}")) for value in values]

    def _row(
        self, surface: pygame.Surface, name: str, x: int, y: int, width: int, title: bool = True
    ) -> tuple[pygame.Rect, int]:
        """The name of a setting and what it does; gives the room for its control and the y below all."""
        desk, kit = self.desk, self.desk.kit
        control = kit.line(15) + kit.px(16)
        beside = width >= kit.tx(880)
        left = width * 52 // 100 if beside else width
        below = y
        if title:
            below = kit.paragraph(
                surface, desk.say(f"screens.settings.{name}.title"), (x, y), left, 16, INK, True
            )
        says = desk.say(f"screens.settings.{name}.says")
        below = kit.paragraph(surface, says, (x, below), left, 14, MUTED)
        if beside:
            room = pygame.Rect(x + left + kit.px(24), y + kit.px(2), width - left - kit.px(24), control)
            below = max(below, room.bottom)
        else:
            room = pygame.Rect(x, below + kit.px(6), width, control)
            below = room.bottom
        line = below + kit.px(11)
        pygame.draw.line(surface, PAPER_DEEP, (x, line), (x + width, line), max(1, kit.px(1.5)))
        return room, below + kit.px(22)

    def _choice(
        self,
        surface: pygame.Surface,
        name: str,
        items: list[tuple[str, str]],
        chosen: str,
        pick: Callable[[str], None],
        x: int,
        y: int,
        width: int,
        title: bool = True,
    ) -> int:
        room, below = self._row(surface, name, x, y, width, title)
        kit = self.desk.kit
        wide = sum(kit.width(label, 15, True) + kit.px(38) for _, label in items)
        room.width = min(room.width, wide)
        kit.tabs(surface, room, items, chosen, pick, f"settings.{name}.", size=15)
        return below

    def _switch(
        self, surface: pygame.Surface, name: str, on: bool, x: int, y: int, width: int, title: bool = True
    ) -> int:
        items = self._words("switch", "off", "on")
        chosen = "on" if on else "off"
        return self._choice(surface, name, items, chosen, self._set(name), x, y, width, title)

    def _slide(
        self,
        surface: pygame.Surface,
        name: str,
        says: str,
        at: tuple[int, int, int, int],
        pick: Callable[[int], None],
        x: int,
        y: int,
        width: int,
    ) -> int:
        """`at` is the lowest, the present and the highest value, and the step."""
        room, below = self._row(surface, name, x, y, width)
        kit = self.desk.kit
        value = kit.width(says, 15, True) + kit.px(10)
        value = max(value, kit.width(self.desk.say("screens.settings.percent", percent=200), 15, True))
        kit.text(surface, says, (room.right, room.centery), 15, INK, True, anchor="midright")
        room.width -= value + kit.px(14)
        title = self.desk.say(f"screens.settings.{name}.title")
        kit.slider(surface, room, title, f"settings.{name}", *at, pick)
        return below
