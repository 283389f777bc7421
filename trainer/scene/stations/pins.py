"""The meter's two tips on the pins of sockets and plugs: a close view laid over the rear panel.

One tip after the other is put on a pin; the reading follows. Each pin wears its number, and what was read
stands on the meter's display until the next reading.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pygame

from trainer.core.actions import Event
from trainer.core.electrics import NINE_PIN
from trainer.core.readings import connectors
from trainer.core.wiring import BUS_PINS, FRAME, LAMPS_PINS
from trainer.records import telling
from trainer.scene.palette import GRAPHITE, INK, PLUM, SAND, SHEET, STEEL, VERMILLION
from trainer.scene.stations.hands import Box, Place, Spot

if TYPE_CHECKING:
    from trainer.scene.stations.panel import Panel

_CARD: Box = (72.0, 96.0, 800.0, 430.0)
_FACE_PX = 38.0
"""Middle of a connector's drawing, in its own pixels."""
_SIZE = 2.75
_PIN = 30.0
_FACES = {
    "bus": "socket_bus",
    "bus_plug": "plug_bus",
    "lamps": "socket_lighting",
    "lamps_plug": "plug_lighting",
}


class Pins:
    """The close view; `shown` while it lies over the panel."""

    def __init__(self, panel: Panel) -> None:
        self._panel = panel
        self.shown = False
        self._red = ""
        self._black = ""
        """Where the tips are; with the black one on, what lies between them has been read."""
        self._told = ""

    def open(self) -> None:
        self.shown, self._red, self._black, self._told = True, "", "", ""

    def close(self) -> None:
        self.shown, self._red, self._black = False, "", ""

    def show(self, event: Event) -> None:
        """Put a reading on the display."""
        yard = self._panel.yard
        self._told = telling.say_event(yard.case, event, yard.texts, yard.metric)

    # --- what is where --------------------------------------------------------------------------------------

    def _middles(self) -> dict[str, Place]:
        """Middle of each connector's face; a plug's is a mirror of its socket's."""
        names = connectors(self._panel.yard.case)
        left, top, width, _ = _CARD
        step = width / max(1, len(names))
        return {name: (left + step * (index + 0.5), top + 200) for index, name in enumerate(names)}

    def _pin_places(self) -> dict[str, Place]:
        art, places = self._panel.yard.art, {}
        for connector, (x, y) in self._middles().items():
            turned = -1.0 if connector.endswith("plug") else 1.0
            for pin in range(1, (BUS_PINS if connector.startswith("bus") else LAMPS_PINS) + 1):
                across, down = art.anchor(_FACES[connector], f"pin_{pin}")
                places[f"{connector}_{pin}"] = (
                    x + turned * (across - _FACE_PX) * _SIZE,
                    y + (down - _FACE_PX) * _SIZE,
                )
        return places

    def spots(self) -> list[Spot]:
        word = self._panel.word
        left, top, width, height = _CARD
        result = [
            Spot(
                f"pin:{name}",
                (x - _PIN / 2, y - _PIN / 2, _PIN, _PIN),
                self._label(name),
                tap=lambda name=name: self._touch(name),  # type: ignore[misc]
            )
            for name, (x, y) in self._pin_places().items()
        ]
        base = top + height - 56
        result.append(
            Spot(
                f"pin:{FRAME}", (left + 24, base, 110, 40), self._label(FRAME), tap=lambda: self._touch(FRAME)
            )
        )
        result.append(
            Spot(
                "meter:knob", (left + 150, base, 60, 40), word("panel.meter_knob"), tap=self._panel.turn_knob
            )
        )
        close = (left + width - 134, base, 110, 40)
        result.append(Spot("pins:close", close, word("panel.pins_close"), tap=self.close))
        return result

    def _label(self, name: str) -> str:
        yard = self._panel.yard
        said = telling.name_of(yard.case, name, yard.texts)
        connector, _, number = name.rpartition("_")
        if connector.startswith("bus"):
            said = f"{said}, {NINE_PIN[int(number) - 1].name}"
        return said

    def _touch(self, name: str) -> None:
        self._told = ""
        if not self._red or self._black:
            self._red, self._black = name, ""
        elif self._red == name:
            self._red = ""
        else:
            self._black = name
            self._panel.do("ohms" if self._panel.on_ohms else "volts", self._red, name)

    # --- drawing --------------------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        panel = self._panel
        kit, view = panel.yard.kit, panel.view
        left, top, width, height = _CARD
        card = view.area(*_CARD)
        kit.box(surface, card.move(panel.px(3), panel.px(5)), GRAPHITE[0], None, radius=12)
        kit.box(surface, card, PLUM[1], INK, radius=12, border=2)
        panel.text(
            surface, panel.word("panel.pins_title"), (left + 24, top + 22), 17, SAND[6], True, "midleft"
        )
        said = panel.word("panel.pins_red")
        if self._red and not self._black:
            said = panel.word("panel.pins_black", pin=self._label(self._red))
        panel.text(surface, said, (left + 24, top + 48), 14, SAND[5], False, "midleft")
        for connector, at in self._middles().items():
            plug = connector.endswith("plug")
            panel.put(surface, _FACES[connector], at, (_FACE_PX, _FACE_PX), _SIZE, mirrored=plug)
            named = panel.yard.texts.say(f"pins.{connector}", number="").strip()
            panel.text(surface, named, (at[0], top + 80), 14, SAND[6], True)
        for name, at in self._pin_places().items():
            _, _, number = name.rpartition("_")
            panel.plate(surface, number, (at[0], at[1]), 12, SAND[6], INK)
        base = top + height - 36
        kit.box(surface, view.area(left + 24, base - 20, 110, 40), STEEL[2], INK, radius=6, border=1.6)
        panel.text(surface, panel.word("panel.pins_frame"), (left + 79, base), 14, INK, True)
        kit.box(surface, view.area(left + 150, base - 20, 60, 40), SAND[4], INK, radius=20, border=1.6)
        panel.text(surface, "Ω" if panel.on_ohms else "V", (left + 180, base), 17, INK, True)
        kit.box(
            surface, view.area(left + width - 134, base - 20, 110, 40), SAND[5], INK, radius=6, border=1.6
        )
        panel.text(
            surface, panel.yard.texts.say("stations.bench.close"), (left + width - 79, base), 14, INK, True
        )
        if self._told:
            panel.plate(surface, self._told, (left + width / 2, top + 322), 15, SHEET)
        places = {**self._pin_places(), FRAME: (left + 79, base)}
        for name, colour, sign in ((self._red, VERMILLION, "+"), (self._black, INK, "−")):
            if name:
                x, y = places[name]
                panel.ring(surface, (x, y), 17, colour, 3.5)
                # A light plate and a dark one: who sees no red tells the tips by these.
                fill, ink = (SHEET, INK) if sign == "+" else (INK, SHEET)
                panel.plate(surface, sign, (x + 18, y - 17), 14, fill, ink)
