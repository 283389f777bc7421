"""The yard from the side: both machines, where to walk, ballast, slope, and a look all round."""

from __future__ import annotations

import math

import pygame

from trainer.core import linkage
from trainer.core.actions import Action
from trainer.core.readings import pin_height_um, pitch_urad
from trainer.scene.palette import GRAPHITE, INK, PLUM, SAND, SHEET, STEEL
from trainer.scene.station import Yard
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

_TOOLS = (
    Tool("eye", "sym_help", 0.8),
    Tool("weight", "front_ballast", 0.72),
    Tool("axle_scale", "sym_good", 0.8),
    Tool("level", "tool_level", 0.3),
)
_STAND_UP_M = 0.34
_SHOWN_S = 6.0
_WALK_S = 1.3
_SIZE = 0.8
"""Size of both machines against the drawings: with the gap of a job's start the pair fills the stage."""
_AHEAD, _BEHIND = 404.0, 236.0
"""How far the pair reaches ahead of the rear axle (ballast) and behind the pins (chock), in drawings."""
_PERSON_ROOM = 62.0
"""What is left free ahead of the pair, where the trainee's figure stands."""
_GAP_SHOWN_M = 3.6
"""A tractor further off is shown at this distance, and the distance is told."""


class Overview(Handwork):
    """In the yard, off to the left-hand side of the pair."""

    name = "yard"
    tray_at: Place = (62.0, 106.0)
    tray_step: Place = (88.0, 0.0)

    def __init__(self, yard: Yard) -> None:
        super().__init__(yard)
        art = yard.art
        self._px_per_m = float(art.note("scales", "yard_px_per_m")) * _SIZE
        self._ground_y = float(art.note("yard", "ground_y"))
        self._reading: tuple[str, float] | None = None
        self._came_s = 0.0
        self._fan_turn = 0.0

    # --- where everything stands --------------------------------------------------------------------------

    def _axle_x(self) -> float:
        """Where the tractor's rear axle is."""
        return self._parked_x() - self._reach() - self._gap()

    def _gap(self) -> float:
        return self.eased("gap", min(self.yard.state.gap_um / 1e6, _GAP_SHOWN_M), 6.0) * self._px_per_m

    def _reach(self) -> float:
        """From the rear axle to the hooks."""
        case = self.yard.case
        parked = linkage.ball_m(
            case.tractor.linkage,
            linkage.angle_for_ball_height_rad(case.tractor.linkage, case.implement.parked_ball_m),
        )
        hook = self.anchor("quick_coupler_side", "lower_hook")[0]
        return parked[0] * self._px_per_m + (hook - self.anchor("quick_coupler_side", "ball")[0]) * _SIZE

    def _parked_x(self) -> float:
        """Where the implement's pins are shown: the pair keeps to the middle, so the implement moves too."""
        long = _AHEAD * _SIZE + self._reach() + self._gap() + _BEHIND * _SIZE
        spare = SHOWN[2] - long
        left = _PERSON_ROOM + max(0.0, spare - _PERSON_ROOM) / 2
        return left + _AHEAD * _SIZE + self._reach() + self._gap()

    def _angle(self) -> float:
        height = self.eased("hitch", self.yard.state.hitch_um / 1e6)
        return linkage.angle_for_ball_height_rad(self.yard.case.tractor.linkage, height)

    def _ball(self) -> Place:
        x, z = linkage.ball_m(self.yard.case.tractor.linkage, self._angle())
        return self._axle_x() + x * self._px_per_m, self._ground_y - z * self._px_per_m

    def _pitch(self) -> float:
        try:
            pitch = linkage.mast_pitch_rad(
                self.yard.case.tractor.linkage, self._angle(), self.yard.state.top_link_um / 1e6
            )
        except linkage.OutOfReach:
            pitch = 0.0
        return round(math.degrees(pitch))

    def _pin(self) -> Place:
        if self.yard.state.engaged:
            return self.from_anchor(
                "quick_coupler_side", "ball", self._ball(), "lower_hook", self._pitch(), _SIZE
            )
        height = self.eased("pin", pin_height_um(self.yard.case, self.yard.state) / 1e6)
        return self._parked_x(), self._ground_y - height * self._px_per_m

    def _lean(self) -> float:
        pitch = pitch_urad(self.yard.case, self.yard.state) / 1e6
        return round(math.degrees(pitch) / 0.5) * 0.5 if abs(pitch) < 0.5 else 0.0

    def _on(self, point: str) -> Place:
        return self.from_anchor("planter_side", "lower_pin", self._pin(), point, self._lean(), _SIZE)

    def _on_tractor(self, point: str) -> Place:
        at = self._axle_x(), self._ground_y
        return self.from_anchor("tractor_side", "rear_axle_ground", at, point, size=_SIZE)

    # --- spots --------------------------------------------------------------------------------------------

    def spots(self) -> list[Spot]:
        cab, hook = self._on_tractor("cab_door"), self._on_tractor("ballast_hook")
        wheel, pto = self._on_tractor("front_axle"), self._on_tractor("pto_stub")
        ball, bar = self._ball(), self._on("toolbar_centre")

        def walk(station: str, box: Box) -> Spot:
            return Spot(
                f"go:{station}",
                box,
                self.word(f"yard.go_{station}"),
                tap=lambda: self.do("go", station),
                accepts=True,
            )

        planter: Box = (bar[0] + 24, bar[1] - 88, 120, 152)
        spots = [
            Spot("ground", (10, self._ground_y + 30, 960, 32), self.word("yard.ground"), accepts=True),
            walk("bench", (700, 270, 180, 110)),
            walk("seat", (cab[0] - 35, cab[1] - 83, 120, 136)),
            walk("implement", planter),
            walk("panel", (pto[0] - 15, pto[1] - 77, 52, 90)),
            walk("hitch", (ball[0] - 38, ball[1] - 30, 66, 74)),
            Spot("axle", (wheel[0] - 50, wheel[1] - 50, 100, 104), self.word("yard.axle"), accepts=True),
            Spot(
                "nose",
                (hook[0] - 36, hook[1] - 30, 62, 64),
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
                (cab[0] - 36, cab[1] + 62, 68, 26),
                self.word(f"yard.engine_{deed}"),
                tap=lambda: self.do("engine", deed),
            )
        )
        spots += self.tray_spots(_TOOLS, "yard")
        return [spot for spot in spots if spot.box[0] + spot.box[2] > 0]

    # --- hands --------------------------------------------------------------------------------------------

    def enter(self) -> None:
        self._reading = None
        self._came_s = self.yard.now_s
        super().enter()

    def dropped(self, held: Held, on: str) -> None:
        if held.thing == "eye" and on and not on.startswith("eye"):
            self.do("look", "lines" if on == "go:panel" else "area")
        elif held.thing == "level" and on == "ground":
            self._measure("slope")
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
        fans = [
            work.speed_mrad_s
            for function, work in zip(self.yard.case.implement.functions, self.yard.state.works, strict=True)
            if function.kind == "fan"
        ]
        # Above a few turns a second the eye sees a blur, so the blades are shown slower than they run.
        self._fan_turn += (
            min(9.0, max(fans, default=0) / 1000 * 0.06) * dt_s * 6 * (0 if self.yard.calm else 1)
        )

    # --- drawing ------------------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        self.show_layer(surface, self.layer("ground", "yard", self._paint_ground, opaque=True))
        axle = self._axle_x()
        self.put(surface, "shadow_tractor", (axle - 140 * _SIZE, self._ground_y + 4), (240, 11), _SIZE)
        planter = self._pin()[0] + 96 * _SIZE
        self.put(surface, "shadow_planter", (planter, self._ground_y + 4), (120, 11), _SIZE)
        self._draw_oil(surface)
        self._draw_planter(surface)
        self._draw_linkage(surface)
        self._draw_tractor(surface)
        self._draw_person(surface)
        self._draw_labels(surface)
        self._draw_drop_places(surface)
        tray = self.layer("tray", "yard", lambda made: self.paint_tray(made, _TOOLS, "yard"))
        self.show_layer(surface, tray)
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

    def _draw_oil(self, surface: pygame.Surface) -> None:
        litres = self.yard.state.lost_oil_mm3 / 1e6
        if litres > 0.0005:
            size = min(1.2, 0.22 + 0.45 * math.sqrt(litres))
            at = self._axle_x() + 78 * _SIZE, self._ground_y + 12
            self.put(surface, "oil_pool", at, (90, 26), size * _SIZE)

    def _draw_planter(self, surface: pygame.Surface) -> None:
        state, lean = self.yard.state, self._lean()
        pivot = self._on("lift_assist_pivot")
        first, wheel = self.anchor("lift_assist", "pivot"), self.anchor("lift_assist", "wheel")
        radius = (self.anchor("lift_assist", "ground")[1] - wheel[1]) * _SIZE
        arm = math.dist(first, wheel) * _SIZE
        down = max(-0.9, min(0.97, (self._ground_y - radius - pivot[1]) / arm))
        rest = math.atan2(wheel[1] - first[1], wheel[0] - first[0])
        turned = round(math.degrees(rest - math.asin(down)))
        on_wheel = self.from_anchor("lift_assist", "pivot", pivot, "wheel", turned, _SIZE)
        chock = self.anchor("chock", "ground")
        if state.chock_right:
            self.put(surface, "chock", (on_wheel[0] + 28, self._ground_y + 1), chock, 0.85 * _SIZE)
        self.put(surface, "lift_assist", pivot, first, _SIZE, turned)
        self.put(surface, "planter_side", self._pin(), self.anchor("planter_side", "lower_pin"), _SIZE, lean)
        raised = self.eased("stand", 0.0 if state.stands else _STAND_UP_M, 5.0)
        x, y = self._on("stand_sleeve")
        at = x, y - raised * self._px_per_m
        self.put(surface, "stand", at, self.anchor("stand", "sleeve_pin"), _SIZE)
        strokes = [
            work.stroke_um / (function.stroke_m * 1e6)
            for function, work in zip(self.yard.case.implement.functions, state.works, strict=True)
            if function.kind == "marker" and function.stroke_m
        ]
        out = self.eased("marker", strokes[0] if strokes else 0.0)
        self.put(
            surface,
            "marker_arm",
            self._on("marker_pivot"),
            self.anchor("marker_arm", "pivot"),
            _SIZE,
            round(-70 * out / 2) * 2.0,
        )
        self._draw_fan(surface)
        if state.chock_left:
            self.put(surface, "chock", (on_wheel[0] - 28, self._ground_y + 4), chock, _SIZE)

    def _draw_fan(self, surface: pygame.Surface) -> None:
        x, y = self.view.at(*self._on("fan"))
        far = 10.5 * _SIZE * self.view.scale
        pygame.draw.aacircle(surface, GRAPHITE[2], (x, y), round(far * 1.15))
        for blade in range(5):
            angle = self._fan_turn + blade * math.tau / 5
            tip = (x + far * math.cos(angle), y + far * math.sin(angle))
            pygame.draw.aaline(surface, STEEL[3], (x, y), tip, self.px(3))
        pygame.draw.aacircle(surface, PLUM[4], (x, y), self.px(3))

    def _draw_linkage(self, surface: pygame.Surface) -> None:
        state = self.yard.state
        low = self._on_tractor("lower_pivot")
        shift = self.eased("drawbar", 22.0 if state.drawbar_stowed else 0.0, 5.0) * _SIZE
        root = self._on_tractor("drawbar_root")
        at = root[0] - shift, root[1]
        self.put(surface, "drawbar", at, self.anchor("drawbar", "drawbar_root"), _SIZE)
        self.put(
            surface,
            "lower_link",
            low,
            self.anchor("lower_link", "front_ball"),
            _SIZE,
            round(math.degrees(self._angle())),
        )
        top = self._on_tractor("top_pivot")
        ball, pitch = self._ball(), self._pitch()
        coupler = self.anchor("quick_coupler_side", "ball")
        self.put(surface, "quick_coupler_side", ball, coupler, _SIZE, pitch)
        end = self.from_anchor("quick_coupler_side", "ball", ball, "top_link_pin", pitch, _SIZE)
        eye, other = self.anchor("top_link", "tractor_eye"), self.anchor("top_link", "implement_eye")
        size = math.dist(top, end) / math.dist(eye, other)
        self.put(
            surface,
            "top_link",
            top,
            eye,
            round(size, 2),
            round(math.degrees(math.atan2(top[1] - end[1], end[0] - top[0]))),
        )
        if any(at >= 0 for at in state.hose_at):
            self._draw_hoses(surface)

    def _draw_hoses(self, surface: pygame.Surface) -> None:
        start, end = self._on_tractor("hose_root"), self._on("hose_root")
        count = min(4, len([at for at in self.yard.state.hose_at if at >= 0]))
        for index in range(count):
            dots = []
            for step in range(9):
                t = step / 8
                dots.append(
                    self.view.at(
                        start[0] + (end[0] - start[0]) * t,
                        start[1] + (end[1] - start[1]) * t + (11 + 5 * index) * 4 * t * (1 - t),
                    )
                )
            pygame.draw.lines(surface, INK, False, dots, self.px(4))
            pygame.draw.lines(surface, GRAPHITE[4], False, dots, self.px(2))

    def _draw_tractor(self, surface: pygame.Surface) -> None:
        state = self.yard.state
        axle = self._axle_x()
        shake = 0.0
        if state.engine and not self.yard.calm:
            shake = 0.5 * math.sin(self.yard.now_s * 31.0)
        self.put(
            surface,
            "tractor_side",
            (axle, self._ground_y + shake),
            self.anchor("tractor_side", "rear_axle_ground"),
            _SIZE,
        )
        if state.ballast_kg:
            at = self._on_tractor("ballast_hook")
            count = max(1, round(state.ballast_kg / max(1, self.yard.case.tractor.ballast_steps_kg[1])))
            for index in range(count):
                self.put(
                    surface,
                    "front_ballast",
                    (at[0] + (9 - 7 * index) * _SIZE, at[1]),
                    self.anchor("front_ballast", "ballast_hook"),
                    0.8 * _SIZE,
                )
        for name, anchor in (("wheel_front", "front_axle"), ("wheel_rear", "rear_axle")):
            at = self._on_tractor(anchor)
            radius = (self.anchor(name, "ground")[1] - self.anchor(name, "axle")[1]) * _SIZE
            turned = round(math.degrees(self._gap() / radius) / 4) * 4.0 % 360
            self.put(surface, name, at, self.anchor(name, "axle"), _SIZE, turned)
            self.put(surface, f"{name}_light", at, self.anchor(f"{name}_light", "axle"), _SIZE)
        if state.engine and not self.yard.calm:
            self._draw_exhaust(surface)

    def _draw_exhaust(self, surface: pygame.Surface) -> None:
        x, y = self._on_tractor("exhaust_tip")
        for puff in range(4):
            age = (self.yard.now_s * 0.9 + puff / 4) % 1.0
            radius = max(1, self.px(3 + 8 * age))
            mist = pygame.Surface((2 * radius, 2 * radius), pygame.SRCALPHA)
            pygame.draw.aacircle(mist, (*STEEL[1], round(90 * (1 - age))), (radius, radius), radius - 1)
            surface.blit(mist, mist.get_rect(center=self.view.at(x + 14 * age, y - 6 - 34 * age)))

    def _draw_person(self, surface: pygame.Surface) -> None:
        walked = 1.0 if self.yard.calm else min(1.0, (self.yard.now_s - self._came_s) / _WALK_S)
        x = self._axle_x() - _AHEAD * _SIZE - 30.0 - 110 * (1 - walked)
        name = "person" if walked >= 1.0 else ("person_walk1", "person_walk2")[int(self.yard.now_s * 5) % 2]
        self.put(surface, name, (x, 606), self.anchor(name, "feet"), 0.84)

    def _draw_labels(self, surface: pygame.Surface) -> None:
        for name in ("seat", "panel", "hitch", "implement", "bench"):
            spot = self.spot(f"go:{name}")
            if spot is not None:
                x, y, wide, tall = spot.box
                low = name == "hitch"
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
            hook = self._on_tractor("ballast_hook")
            told = self.yard.amount("mass", self.yard.state.ballast_kg)
            self.plate(surface, told, (hook[0] - 6, hook[1] - 38), 12.5)
        gap = self.yard.state.gap_um / 1e6
        if gap > _GAP_SHOWN_M:
            told = self.word("yard.away", distance=self.yard.amount("distance", gap))
            self.plate(surface, told, (self._pin()[0] - self._gap() / 2, self._ground_y - 24), 13, SHEET)

    def _draw_drop_places(self, surface: pygame.Surface) -> None:
        """Where what is in the hand can be put."""
        if self.held is None:
            return
        places = {
            "eye": ("go:panel", "go:implement"),
            "weight": ("nose",),
            "hung": ("weight",),
            "axle_scale": ("axle",),
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
        found = next(
            (
                event
                for event in reversed(self.yard.attempt.events[-40:])
                if event.kind == "measured" and event.thing == thing
            ),
            None,
        )
        if found is None:
            return
        text = f"{found.values[0][1] / 10:.1f} %"
        if thing == "slope":
            self.put(surface, "tool_level", (640, 612), (124, 42), 0.6)
            self.plate(surface, self.word("yard.slope", amount=text), (640, 580), 15, SHEET)
        else:
            x, y = self._on_tractor("front_axle")
            self.plate(surface, self.word("yard.front", amount=text), (max(x, 120), y - 70), 15, SHEET)
