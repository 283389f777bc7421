"""Beside the implement: stands, chocks, lock, bushings; a close look, the level and the tape."""

from __future__ import annotations

import math

import pygame

from trainer.core import linkage
from trainer.core.readings import pin_height_um, pitch_urad
from trainer.scene.palette import GRAPHITE, INK, SAND, SHEET
from trainer.scene.station import Yard
from trainer.scene.stations.hands import Handwork, Held, Place, Spot, Tool

_TOOLS = (
    Tool("eye", "sym_help", 0.8),
    Tool("chock", "chock", 1.5),
    Tool("lock_pin", "sym_lock", 0.8),
    Tool("bushing", "hitch_bushing", 0.62),
    Tool("level", "tool_level", 0.3),
    Tool("tape", "tool_tape", 0.46),
)
_SIZE = 2.3
"""How much larger than in the overview everything is shown here."""
_GROUND_Y = 570.0
_PIN_X = 214.0
_STAND_UP_M = 0.34
_FAR_SIDE: Place = (166.0, -8.0)
_SHOWN_S = 6.0


class ImplementSide(Handwork):
    """At the left side of the implement."""

    name = "implement"

    def __init__(self, yard: Yard) -> None:
        super().__init__(yard)
        self._px_per_m = float(yard.art.note("scales", "yard_px_per_m")) * _SIZE
        self._reading: tuple[str, float] | None = None
        self._looked_s = -100.0

    # --- where everything stands --------------------------------------------------------------------------

    def _pin(self) -> Place:
        if self.yard.state.engaged:
            return self.from_anchor(
                "quick_coupler_side", "ball", self._ball(), "lower_hook", self._coupler_deg(), _SIZE
            )
        height = self.eased("pin", pin_height_um(self.yard.case, self.yard.state) / 1e6)
        return _PIN_X, _GROUND_Y - height * self._px_per_m

    def _tractor_at(self, x_m: float, z_m: float) -> Place:
        """A point behind and above the middle of the tractor's rear axle on the ground."""
        case = self.yard.case
        arm = case.tractor.linkage
        parked = linkage.ball_m(arm, linkage.angle_for_ball_height_rad(arm, case.implement.parked_ball_m))
        hook, ball = (
            self.anchor("quick_coupler_side", "lower_hook"),
            self.anchor("quick_coupler_side", "ball"),
        )
        gap = self.eased("gap", min(self.yard.state.gap_um / 1e6, 5.0), 6.0)
        axle = _PIN_X - (hook[0] - ball[0]) * _SIZE - (parked[0] + gap) * self._px_per_m
        return axle + x_m * self._px_per_m, _GROUND_Y - z_m * self._px_per_m

    def _angle(self) -> float:
        height = self.eased("hitch", self.yard.state.hitch_um / 1e6)
        return linkage.angle_for_ball_height_rad(self.yard.case.tractor.linkage, height)

    def _ball(self) -> Place:
        return self._tractor_at(*linkage.ball_m(self.yard.case.tractor.linkage, self._angle()))

    def _coupler_deg(self) -> float:
        arm, top_link_m = self.yard.case.tractor.linkage, self.yard.state.top_link_um / 1e6
        try:
            return float(round(math.degrees(linkage.mast_pitch_rad(arm, self._angle(), top_link_m))))
        except linkage.OutOfReach:
            return 0.0

    def _lean(self) -> float:
        """How far the implement leans, in degrees anticlockwise."""
        pitch = pitch_urad(self.yard.case, self.yard.state) / 1e6
        return round(math.degrees(self.eased("pitch", pitch if abs(pitch) < 0.5 else 0.0)) / 0.2) * 0.2

    def _on(self, point: str) -> Place:
        return self.from_anchor("planter_side", "lower_pin", self._pin(), point, self._lean(), _SIZE)

    def _wheel_lean(self) -> float:
        """Turn of the lift wheel's arm that keeps the wheel on the ground, in degrees anticlockwise."""
        pivot = self._on("lift_assist_pivot")
        first, wheel = self.anchor("lift_assist", "pivot"), self.anchor("lift_assist", "wheel")
        arm = math.dist(first, wheel) * _SIZE
        rest = math.atan2(wheel[1] - first[1], wheel[0] - first[0])
        radius = (self.anchor("lift_assist", "ground")[1] - wheel[1]) * _SIZE
        down = max(-0.9, min(0.97, (_GROUND_Y - radius - pivot[1]) / arm))
        return round(math.degrees(rest - math.asin(down)))

    def _wheel(self) -> Place:
        return self.from_anchor(
            "lift_assist", "pivot", self._on("lift_assist_pivot"), "wheel", self._wheel_lean(), _SIZE
        )

    def _chock_at(self, side: str) -> Place:
        x, _ = self._wheel()
        far = _FAR_SIDE if side == "right" else (0.0, 0.0)
        return x - 82 + far[0], _GROUND_Y + 4 + far[1]

    def _lock_at(self) -> Place:
        """The hole for the lock pin, part of the way down the lift wheel's arm."""
        pivot, wheel = self._on("lift_assist_pivot"), self._wheel()
        return pivot[0] + 0.3 * (wheel[0] - pivot[0]), pivot[1] + 0.3 * (wheel[1] - pivot[1])

    # --- spots --------------------------------------------------------------------------------------------

    def spots(self) -> list[Spot]:
        state = self.yard.state

        def around(name: str, at: Place, wide: float, tall: float, label: str, thing: str = "") -> Spot:
            return Spot(
                name,
                (at[0] - wide / 2, at[1] - tall / 2, wide, tall),
                self.word(f"implement.{label}"),
                thing=thing,
                accepts=True,
            )

        spots = [Spot("ground", (20, _GROUND_Y + 8, 840, 44), self.word("implement.ground"), accepts=True)]
        for side in ("right", "left"):
            lies = state.chock_left if side == "left" else state.chock_right
            x, y = self._chock_at(side)
            spots.append(
                around(
                    f"chock:{side}",
                    (x, y - 22),
                    60,
                    52,
                    f"chock_{side}",
                    "laid_chock" if lies else "",
                )
            )
        stand = self._on("stand_sleeve")
        spots.append(around("stands", (stand[0], stand[1] + 40), 64, 176, "stands", "stand"))
        spots.append(around("bar", self._on("toolbar_centre"), 64, 64, "bar"))
        spots.append(around("mast", self._on("top_pin"), 50, 50, "mast"))
        spots.append(around("pins", self._pin(), 54, 54, "pins", "bushing" if state.bushings else ""))
        spots.append(
            around("lift_lock", self._lock_at(), 66, 52, "lift_lock", "lock_pin" if state.lift_locked else "")
        )
        spots += self.tray_spots(_TOOLS, "implement")
        return spots

    # --- hands --------------------------------------------------------------------------------------------

    def enter(self) -> None:
        self._reading = None
        self._looked_s = -100.0
        super().enter()

    def dropped(self, held: Held, on: str) -> None:
        thing = held.thing
        if thing == "chock" and on in ("chock:left", "chock:right"):
            self.do("chock", on.partition(":")[2])
        elif thing == "laid_chock" and on != held.origin:
            self.do("unchock", held.origin.partition(":")[2])
        elif thing == "stand":
            self._move_stand(held, on)
        elif thing == "bushing":
            self.fit(held, on, "bushings", "pins", "bushing")
        elif thing == "lock_pin":
            if held.origin == "lift_lock" and on != "lift_lock":
                self.do("lift_lock", "release")
            elif held.origin == "lock_pin" and on == "lift_lock":
                self.do("lift_lock", "set")
        elif thing == "eye" and on in ("stands", "chock:left", "chock:right"):
            self._looked_s = self.yard.now_s
            self.do("look", "supports")
        elif thing == "level" and on in ("bar", "ground"):
            self._measure("bar_pitch" if on == "bar" else "slope")
        elif thing == "tape" and on in ("bar", "mast", "pins"):
            self._measure("bar_height" if on == "bar" else "mast_pins")

    def _move_stand(self, held: Held, on: str) -> None:
        spot = self.spot("stands")
        up = spot.centre[1] - held.at[1] if spot is not None else 0.0
        down_now = self.yard.state.stands
        if held.by_click:
            if on == "stands":
                self.do("stands", "up" if down_now else "down")
        elif abs(up) > 20:
            self.do("stands", "up" if up > 0 else "down")

    def _measure(self, thing: str) -> None:
        self._reading = (thing, self.yard.now_s + _SHOWN_S)
        self.do("measure", thing)

    # --- drawing ------------------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        self.show_layer(surface, self.layer("ground", "implement", self._paint_ground, opaque=True))
        self._draw_chock(surface, "right")
        self._draw_tractor(surface)
        self._draw_machine(surface)
        self._draw_chock(surface, "left")
        self.show_layer(
            surface, self.layer("tray", "implement", lambda made: self.paint_tray(made, _TOOLS, "implement"))
        )
        self._draw_looked(surface)
        self.hover_box(surface)
        if self.held is not None and self.held.thing != "stand":
            for name in ("chock:left", "chock:right", "stands", "bar", "mast", "pins", "lift_lock"):
                spot = self.spot(name)
                if spot is not None:
                    self.ring(surface, spot.centre, 24, SHEET, 2.0)
        self._draw_reading(surface)
        if self.held is not None:
            for tool in _TOOLS:
                if tool.name == self.held.thing or (tool.name == "chock" and self.held.thing == "laid_chock"):
                    self.draw_tool(surface, tool, self.held.at, 1.3)
        self.draw_setting(surface)

    def _paint_ground(self, surface: pygame.Surface) -> None:
        self.backdrop(surface, "hitch_backdrop")
        self.put(surface, "shadow_planter", (440, _GROUND_Y + 4), (120, 11), 2.7)

    def _draw_tractor(self, surface: pygame.Surface) -> None:
        """What of the tractor is to be seen from here: its rear wheel, the links and the coupler."""
        arm = self.yard.case.tractor.linkage
        axle, _ = self._tractor_at(0.0, 0.0)
        radius = (self.anchor("wheel_rear", "ground")[1] - self.anchor("wheel_rear", "axle")[1]) * _SIZE
        if axle + radius < 0:
            return
        for name in ("wheel_rear", "wheel_rear_light"):
            self.put(surface, name, (axle, _GROUND_Y - radius), self.anchor(name, "axle"), _SIZE)
        ball, pitch = self._ball(), self._coupler_deg()
        low, top = self._tractor_at(*arm.lower_pivot_m), self._tractor_at(*arm.top_pivot_m)
        end = self.from_anchor("quick_coupler_side", "ball", ball, "top_link_pin", pitch, _SIZE)
        lean = round(math.degrees(math.atan2(top[1] - end[1], end[0] - top[0])))
        self.put(surface, "top_link", top, self.anchor("top_link", "tractor_eye"), _SIZE, lean)
        level = round(math.degrees(self._angle()))
        self.put(surface, "lower_link", low, self.anchor("lower_link", "front_ball"), _SIZE, level)
        coupler = self.anchor("quick_coupler_side", "ball")
        self.put(surface, "quick_coupler_side", ball, coupler, _SIZE, pitch)

    def _draw_machine(self, surface: pygame.Surface) -> None:
        state = self.yard.state
        pivot = self._on("lift_assist_pivot")
        self.put(
            surface, "lift_assist", pivot, self.anchor("lift_assist", "pivot"), _SIZE, self._wheel_lean()
        )
        self.put(
            surface,
            "planter_side",
            self._pin(),
            self.anchor("planter_side", "lower_pin"),
            _SIZE,
            self._lean(),
        )
        raised = self.eased("stand", 0.0 if state.stands else _STAND_UP_M, 5.0)
        if self.held is not None and self.held.thing == "stand" and not self.held.by_click:
            spot = self.spot("stands")
            if spot is not None:
                raised = min(
                    _STAND_UP_M, max(0.0, raised + (spot.centre[1] - self.held.at[1]) / self._px_per_m)
                )
        x, y = self._on("stand_sleeve")
        self.put(
            surface, "stand", (x, y - raised * self._px_per_m), self.anchor("stand", "sleeve_pin"), _SIZE
        )
        markers = [
            work.stroke_um / (function.stroke_m * 1e6)
            for function, work in zip(self.yard.case.implement.functions, state.works, strict=True)
            if function.kind == "marker" and function.stroke_m
        ]
        out = self.eased("marker", markers[0] if markers else 0.0)
        self.put(
            surface,
            "marker_arm",
            self._on("marker_pivot"),
            self.anchor("marker_arm", "pivot"),
            _SIZE * 0.92,
            round(-70 * out),
        )
        if state.bushings:
            self.draw_ring(surface, self._pin(), 10)
        at = self._lock_at()
        if state.lift_locked:
            self.draw_lock_pin(surface, at, 1.2)
        else:
            pygame.draw.aacircle(surface, INK, self.view.at(*at), self.px(7))
            pygame.draw.aacircle(surface, GRAPHITE[2], self.view.at(*at), self.px(5))

    def _draw_chock(self, surface: pygame.Surface, side: str) -> None:
        state = self.yard.state
        lies = state.chock_left if side == "left" else state.chock_right
        taken = self.held is not None and self.held.origin == f"chock:{side}"
        if lies and not taken:
            self.put(
                surface,
                "chock",
                self._chock_at(side),
                self.anchor("chock", "ground"),
                _SIZE * (0.86 if side == "right" else 1.0),
                mirrored=side == "right",
            )

    def _draw_looked(self, surface: pygame.Surface) -> None:
        """What the look found, beside each support: what bears and what does not."""
        if self.yard.now_s - self._looked_s > _SHOWN_S:
            return
        state = self.yard.state
        for name, good in (
            ("stands", state.stands and state.weight == "stands"),
            ("chock:left", state.chock_left),
            ("chock:right", state.chock_right),
        ):
            spot = self.spot(name)
            if spot is not None:
                x, y, wide, tall = spot.box
                text = self.word("implement.bears" if good else "implement.bears_not")
                # Below, at the ground, where it bears: a tooltip lies above.
                self.plate(surface, text, (x + wide / 2, y + tall + 10), 13, SHEET)

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
        raw, yard = found.values[0][1], self.yard
        if thing == "slope":
            text = f"{raw / 10:.1f} %"
            at: Place = (430.0, _GROUND_Y + 12)
            self.put(surface, "tool_level", (430, _GROUND_Y + 34), (124, 42), 0.8)
        elif thing == "bar_pitch":
            text, at = yard.amount("angle", raw / 1e6, 2), self._on("toolbar_centre")
            self.put(surface, "tool_level", (at[0], at[1] - 24), (124, 42), 0.55, self._lean())
        else:
            text = yard.amount("length", raw / 1e6, 2 if thing == "mast_pins" and not yard.metric else 1)
            at = self._on("toolbar_underside" if thing == "bar_height" else "top_pin")
            if thing == "bar_height":
                line = (self.view.at(at[0], at[1]), self.view.at(at[0], _GROUND_Y))
                for thick, ink in ((7, INK), (4, SAND[5])):
                    pygame.draw.line(surface, ink, *line, self.px(thick))
        self.plate(surface, text, (at[0] + 64, at[1] - 44), 16, SHEET)
