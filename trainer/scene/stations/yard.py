"""The yard from the side: both machines, where to walk, ballast, slope, and a look all round."""

from __future__ import annotations

import math

import pygame

from trainer.core.actions import Action
from trainer.records import telling
from trainer.scene.palette import GRAPHITE, INK, PLUM, SAND, SHEET, STEEL
from trainer.scene.shapes import meter
from trainer.scene.station import Yard
from trainer.scene.stations.finding import clipboard_spots, draw_clipboard
from trainer.scene.stations.hands import (
    SHOWN,
    Box,
    Dial,
    Handwork,
    Held,
    Place,
    Setting,
    Spot,
    Tool,
    typed_thousandths,
)
from trainer.scene.stations.pair import Pair
from trainer.scene.stations.tees import TEED, dial_share

_TOOLS = (
    Tool("eye", "sym_help", 0.8),
    Tool("weight", "front_ballast", 0.72),
    Tool("axle_scale", "sym_good", 0.8),
    Tool("level", "tool_level", 0.3),
    Tool("tape", "tool_tape", 0.46),
)
_READ = ("lift_height", *TEED)
_REPORT: Place = (918.0, 116.0)
_SHOWN_S = 6.0
_GAUGES: Place = (540.0, 70.0)
_WALK_S = 1.3
_WALK, _SHORT_WALK = 110.0, 24.0
_PERSON_LEFT = 40.0
"""Furthest left that the figure is still wholly seen."""
_LARGEST, _SMALLEST = 0.8, 0.4
"""Sizes of the machines against the drawings: with the gap of a job's start the pair fills the stage."""
_ROOM_AHEAD, _ROOM_BEHIND = 20.0, 30.0
"""What hangs over ahead (ballast) and behind (chocks), in drawings."""
_PERSON_ROOM = 62.0
"""What is left free ahead of the pair, where the trainee's figure stands."""
_GAP_SHOWN_M = 3.6
"""A tractor further off is shown at this distance, and the distance is told."""
_SMALLEST_SPOT = 40.0


class Overview(Handwork):
    """In the yard, off to the left-hand side of the pair."""

    name = "yard"
    tray_at: Place = (62.0, 106.0)
    tray_step: Place = (88.0, 0.0)

    def __init__(self, yard: Yard) -> None:
        super().__init__(yard)
        self._ground_y = float(yard.art.note("yard", "ground_y"))
        self._reading: tuple[str, float] | None = None
        self._came_s = 0.0
        self.pair = Pair(self, self._ground_y, _LARGEST, _GAP_SHOWN_M)
        ahead, behind = self.pair.extent()
        self._ahead, self._behind = ahead + _ROOM_AHEAD, behind + _ROOM_BEHIND
        between = self.pair.reach() + _GAP_SHOWN_M * self.pair.px_per_m
        long = self._ahead + self._behind + between / _LARGEST
        self.pair.size = min(_LARGEST, max(_SMALLEST, (SHOWN[2] - _PERSON_ROOM) / long))

    def _place(self) -> None:
        """The pair keeps to the middle, so the implement moves too."""
        pair = self.pair
        between = pair.reach() + pair.gap()
        ahead = self._ahead * pair.size
        spare = SHOWN[2] - ahead - between - self._behind * pair.size
        pair.parked_x = _PERSON_ROOM + max(0.0, spare - _PERSON_ROOM) / 2 + ahead + between

    # --- spots --------------------------------------------------------------------------------------------

    def spots(self) -> list[Spot]:
        self._place()
        pair, s = self.pair, self.pair.size / _LARGEST
        cab, hook = pair.on_tractor("cab_door"), pair.on_tractor("ballast_hook")
        axle, pto = pair.on_tractor("front_axle"), pair.on_tractor("pto_stub")
        held = pair.drawbar_pin() if pair.drawn else pair.ball()
        middle = pair.on("centre")

        def box(at: Place, left: float, above: float, wide: float, tall: float) -> Box:
            """So far left of and above a point at full size; never too small to be hit."""
            across, high = max(_SMALLEST_SPOT, wide * s), max(_SMALLEST_SPOT, tall * s)
            return (
                at[0] - left * s - (across - wide * s) / 2,
                at[1] - above * s - (high - tall * s) / 2,
                across,
                high,
            )

        def walk(station: str, box: Box) -> Spot:
            return Spot(
                f"go:{station}",
                box,
                self.word(f"yard.go_{station}"),
                tap=lambda: self.do("go", station),
                accepts=True,
            )

        spots = [
            Spot("ground", (10, self._ground_y + 30, 960, 32), self.word("yard.ground"), accepts=True),
            walk("bench", (700, 270, 180, 110)),
            walk("seat", box(cab, 35, 83, 120, 136)),
            walk("implement", box(middle, 48, 76, 120, 152)),
            walk("panel", box(pto, 15, 77, 52, 90)),
            walk("hitch", box(held, 38, 30, 66, 74)),
            Spot("axle", box(axle, 50, 50, 100, 104), self.word("yard.axle"), accepts=True),
            Spot(
                "nose",
                box(hook, 36, 30, 62, 64),
                self.word("yard.nose"),
                thing="hung" if self.yard.state.ballast_kg else "",
                dial=self._ballast_dial(),
                accepts=True,
            ),
        ]
        deed = "stop" if self.yard.state.engine else "start"
        spots.append(
            Spot(
                f"engine:{deed}",
                (cab[0] - 36, cab[1] + 62 * s, 68, 26),
                self.word(f"yard.engine_{deed}"),
                tap=lambda: self.do("engine", deed),
            )
        )
        spots += clipboard_spots(self, _REPORT, 0.2)
        spots += self._gauge_spots()
        spots += self.tray_spots(_TOOLS, "yard")
        return [spot for spot in spots if spot.box[0] + spot.box[2] > 0]

    def _gauge_spots(self) -> list[Spot]:
        """Gauge and flow meter that are in a line: their dials hang out where they are read from here."""
        state = self.yard.state
        fitted = [tool for tool, at in zip(TEED, (state.gauge_at, state.meter_at), strict=True) if at]
        return [
            Spot(
                f"{tool}:read",
                (_GAUGES[0] + 84 * index, _GAUGES[1], 76.0, 76.0),
                self.word(f"finding.read_{tool}"),
                tap=lambda tool=tool: self._measure(tool),  # type: ignore[misc]
            )
            for index, tool in enumerate(fitted)
        ]

    def _draw_gauges(self, surface: pygame.Surface) -> None:
        for spot in self._gauge_spots():
            tool = spot.id.partition(":")[0]
            x, y = spot.centre
            kit = self.yard.kit
            kit.box(surface, self.view.area(*spot.box), PLUM[2], INK, radius=8, border=1.4)
            share = dial_share(self.yard.case, self.yard.state, tool)
            meter(surface, self.view.at(x, y - 5), self.px(27), self.needle(tool, share))
            sign = "pressure" if tool == "gauge" else "motor"
            self.sign(surface, sign, self.view.at(x, y + 30), self.px(15), SHEET)

    # --- hands --------------------------------------------------------------------------------------------

    def enter(self) -> None:
        self._reading = None
        self._came_s = self.yard.now_s
        self.pair.effects.clear()
        super().enter()

    def dropped(self, held: Held, on: str) -> None:
        if held.thing == "eye" and on and not on.startswith("eye"):
            self.do("look", "lines" if on == "go:panel" else "area")
        elif held.thing == "level" and on == "ground":
            self._measure("slope")
        elif held.thing == "tape" and on == "go:implement":
            self._measure("lift_height")
        elif held.thing == "axle_scale" and on in ("axle", "nose"):
            self._measure("front_axle")
        elif held.thing == "weight" and on in ("nose", "axle"):
            self._hang(1)
        elif held.thing == "hung" and on != "nose":
            self._hang(-1)

    def _hang(self, way: int) -> None:
        """Begin with one step of ballast more or less; the bubble takes more and hangs it at once."""
        nose = self.spot("nose")
        if nose is not None and nose.dial is not None:
            wish = nose.dial.near(nose.dial.amount + way)
            self.setting = Setting(nose, wish, nose.centre, nose.dial.amount, bubble=True)

    def _ballast_dial(self) -> Dial:
        steps = self.yard.case.tractor.ballast_steps_kg
        now = self.yard.state.ballast_kg
        nearest = min(range(len(steps)), key=lambda index: abs(steps[index] - now))

        def typed(text: str) -> int | None:
            asked = typed_thousandths(text)
            if asked is None:
                return None
            return min(range(len(steps)), key=lambda index: abs(steps[index] * 1000 - asked))

        return Dial(
            0,
            len(steps) - 1,
            1,
            nearest,
            (0.0, -1.0),
            0.02,
            lambda index: Action("ballast", amount=steps[index] * 1000),
            lambda index: f"{steps[index]} kg  ·  {self.yard.texts.amount('mass', steps[index])}",
            typed,
        )

    def _measure(self, thing: str) -> None:
        self._reading = (thing, self.yard.now_s + _SHOWN_S)
        self.do("measure", thing)

    def update(self, dt_s: float) -> None:
        super().update(dt_s)
        self.pair.update(dt_s)

    # --- drawing ------------------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        self.show_layer(surface, self.layer("ground", "yard", self._paint_ground, opaque=True))
        self._place()
        pair, state = self.pair, self.yard.state
        pair.draw_shadows(surface)
        pair.draw_pools(surface)
        if state.chock_right:
            self._draw_chock(surface, "right", 0.85)
        pair.draw_implement(surface)
        if state.chock_left:
            self._draw_chock(surface, "left", 1.0)
        pair.draw_linkage(surface)
        shaken = state.engine and not self.yard.calm
        pair.draw_tractor(surface, 0.5 * math.sin(self.yard.now_s * 31.0) if shaken else 0.0)
        pair.draw_exhaust(surface, pair.size / _LARGEST)
        pair.effects.draw(surface)
        self._draw_person(surface)
        self._draw_labels(surface)
        self._draw_drop_places(surface)
        tray = self.layer("tray", "yard", lambda made: self.paint_tray(made, _TOOLS, "yard"))
        self.show_layer(surface, tray)
        draw_clipboard(self, surface, _REPORT, 0.2)
        self._draw_gauges(surface)
        self.hover_box(surface)
        self._draw_reading(surface)
        if self.held is not None:
            for tool in _TOOLS:
                if tool.name == self.held.thing or (tool.name == "weight" and self.held.thing == "hung"):
                    self.draw_tool(surface, tool, self.held.at, 1.3)
        self.draw_setting(surface)

    def _paint_ground(self, surface: pygame.Surface) -> None:
        self.backdrop(surface, "yard_backdrop")

    def draw_tool(self, surface: pygame.Surface, tool: Tool, at: Place, larger: float = 1.0) -> None:
        if tool.name != "axle_scale":
            super().draw_tool(surface, tool, at, larger)
            return
        kit = self.yard.kit
        kit.box(
            surface,
            self.view.area(at[0] - 30 * larger, at[1] + 6, 60 * larger, 12 * larger),
            STEEL[2],
            INK,
            radius=3,
            border=1.4,
        )
        kit.box(
            surface,
            self.view.area(at[0] - 12 * larger, at[1] - 16 * larger, 24 * larger, 16 * larger),
            GRAPHITE[2],
            INK,
            radius=3,
            border=1.2,
        )
        kit.box(
            surface,
            self.view.area(at[0] - 8 * larger, at[1] - 13 * larger, 16 * larger, 7 * larger),
            SAND[5],
            None,
            radius=1,
        )

    def _draw_chock(self, surface: pygame.Surface, side: str, larger: float) -> None:
        at = self.pair.chock_at(side)
        size, anchor = larger * self.pair.size, self.anchor("chock", "ground")
        self.put(surface, "chock", at, anchor, size, mirrored=side == "right")

    def _draw_person(self, surface: pygame.Surface) -> None:
        walked = 1.0 if self.yard.calm else min(1.0, (self.yard.now_s - self._came_s) / _WALK_S)
        there = max(_PERSON_LEFT, self.pair.axle_x() - self._ahead * self.pair.size - 30.0)
        way = min(_WALK, there - _PERSON_LEFT)  # never half out of the picture
        walked = walked if way > _SHORT_WALK else 1.0
        x = there - way * (1 - walked)
        name = "person" if walked >= 1.0 else ("person_walk1", "person_walk2")[int(self.yard.now_s * 5) % 2]
        size = 0.84 * max(0.7, self.pair.size / _LARGEST)
        self.put(surface, name, (x, 606), self.anchor(name, "feet"), round(size, 2))

    def _draw_labels(self, surface: pygame.Surface) -> None:
        for name in ("seat", "panel", "hitch", "implement", "bench"):
            spot = self.spot(f"go:{name}")
            if spot is not None:
                x, y, wide, tall = spot.box
                low = name == "hitch"
                if name == "implement" and not self.pair.drawn:  # above whatever is folded up on it
                    y = min(y, self._ground_y - self.pair.tall() * self.pair.size - 16.0)
                self.plate(
                    surface,
                    self.word(f"yard.place_{name}"),
                    (x + wide / 2, y + tall + 12 if low else y - 10),
                    12,
                    SHEET if self.hovering(spot.id) else SAND[5],
                )
        for name, key in (("engine:start", "start"), ("engine:stop", "stop")):
            spot = self.spot(name)
            if spot is not None:
                self.button(surface, spot, self.word(f"yard.{key}"), size=11)
        site = self.yard.case.site(self.yard.state.site)
        self.plate(surface, site.title, (900, 600), 12.5)
        if self.yard.state.ballast_kg:
            hook = self.pair.on_tractor("ballast_hook")
            told = self.yard.amount("mass", self.yard.state.ballast_kg)
            self.plate(surface, told, (hook[0] - 6, hook[1] - 38), 12.5)
        gap = self.yard.state.gap_um / 1e6
        if gap > _GAP_SHOWN_M:
            told = self.word("yard.away", distance=self.yard.amount("distance", gap))
            self.plate(
                surface, told, (self.pair.hold()[0] - self.pair.gap() / 2, self._ground_y - 24), 13, SHEET
            )

    def _draw_drop_places(self, surface: pygame.Surface) -> None:
        """Where what is in the hand can be put."""
        if self.held is None:
            return
        places = {
            "eye": ("go:panel", "go:implement"),
            "weight": ("nose",),
            "hung": ("weight",),
            "axle_scale": ("axle",),
            "tape": ("go:implement",),
        }
        for name in places.get(self.held.thing, ()):
            spot = self.spot(name)
            if spot is not None:
                self.ring(surface, spot.centre, 30 if name != "axle" else 50, SHEET, 2.0)
        if self.held.thing == "level":
            box = self.view.area(*self.spots()[0].box)
            pygame.draw.rect(surface, INK, box, self.px(4), self.px(8))
            pygame.draw.rect(surface, SHEET, box.inflate(-2, -2), self.px(2), self.px(8))

    def _draw_reading(self, surface: pygame.Surface) -> None:
        if self._reading is None or self.yard.now_s > self._reading[1]:
            return
        thing = self._reading[0]
        found = self.last_measured(thing)
        if found is None:
            return
        if thing in _READ:
            at = self.pair.on("centre") if thing == "lift_height" else (_GAUGES[0] + 80, _GAUGES[1] + 96)
            text = telling.say_event(self.yard.case, found, self.yard.texts, self.yard.metric)
            self.plate(surface, text, at, 15, SHEET)
            return
        text = f"{found.values[0][1] / 10:.1f} %"
        if thing == "slope":
            self.put(surface, "tool_level", (640, 612), (124, 42), 0.6)
            self.plate(surface, self.word("yard.slope", amount=text), (640, 580), 15, SHEET)
        else:
            x, y = self.pair.on_tractor("front_axle")
            self.plate(surface, self.word("yard.front", amount=text), (max(x, 120), y - 70), 15, SHEET)
