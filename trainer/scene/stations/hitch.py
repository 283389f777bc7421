"""Beside the hitch, seen from its left: links, coupler, hooks and pins at one scale.

Where the links, the coupler and the implement stand is worked out by the core's own linkage page from the
heights and lengths in the state. Latches, hook, bushings, lock, drawbar and links are moved by hand here.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import pygame

from trainer.core import linkage
from trainer.core.actions import Action
from trainer.core.readings import pin_height_um, pitch_urad
from trainer.scene.looks import SIDE_PX_PER_M, implement_look
from trainer.scene.palette import ICE, INK, SAND, SHEET, STEEL
from trainer.scene.station import Yard
from trainer.scene.stations.finding import draw_spanner, mend, spanner_spots
from trainer.scene.stations.hands import (
    SHOWN,
    Box,
    Dial,
    Handwork,
    Held,
    Place,
    Spot,
    Tool,
    typed_thousandths,
)
from trainer.scene.stations.lines import Lines

_TOOLS = (
    Tool("eye", "sym_help", 0.8),
    Tool("level", "tool_level", 0.3),
    Tool("tape", "tool_tape", 0.46),
    Tool("bushing", "hitch_bushing", 0.62),
    Tool("hook", "hitch_top_hook", 0.72),
    Tool("lock_pin", "sym_lock", 0.8),
)
_LATCH_OPEN_DEG = 48.0
_STAND_UP_CM = 34.0
_DRAWBAR_IN_CM = 25.0
_SWAY_ON_LINK_M = 0.34
_FAR_SIDE: Place = (-20.0, -13.0)
"""How far the right-hand side of the hitch lies behind the left in the picture."""
_BUTTONS: Place = (10.0, 66.0)
_SPANNER: Place = (10.0, 196.0)
_LOOK_S = 6.0


class Hitch(Handwork):
    """On the ground beside the quick coupler."""

    name = "hitch"

    def __init__(self, yard: Yard) -> None:
        super().__init__(yard)
        art = yard.art
        self._px_per_m = float(art.note("scales", "hitch_px_per_m"))
        self._axle_x = float(art.note("hitch", "rear_axle_x"))
        self._ground_y = float(art.note("hitch", "ground_y"))
        self._looked_s = -100.0
        self._reading: tuple[Place, str, float] | None = None
        self._seen_events = 0
        self._lines = Lines(self, self._ground_y)
        self._look = implement_look(art, yard.case.implement)

    # --- where everything stands --------------------------------------------------------------------------

    def _at(self, x_m: float, z_m: float) -> Place:
        return self._axle_x + x_m * self._px_per_m, self._ground_y - z_m * self._px_per_m

    def _angle(self) -> float:
        tractor = self.yard.case.tractor
        height = self.eased("hitch", self.yard.state.hitch_um / 1e6)
        return linkage.angle_for_ball_height_rad(tractor.linkage, height)

    def _top_link_m(self) -> float:
        setting = self.setting
        amount = (
            setting.amount
            if setting is not None and setting.spot.id == "top_link"
            else (self.yard.state.top_link_um)
        )
        return self.eased("top_link", amount / 1e6)

    def _pitch_deg(self) -> float:
        """How far the coupler leans, anticlockwise; plumb where the links cannot reach."""
        try:
            pitch = linkage.mast_pitch_rad(self.yard.case.tractor.linkage, self._angle(), self._top_link_m())
        except linkage.OutOfReach:
            pitch = 0.0
        return round(math.degrees(pitch) / 0.2) * 0.2

    def _ball(self) -> Place:
        return self._at(*linkage.ball_m(self.yard.case.tractor.linkage, self._angle()))

    def _on_coupler(self, name: str) -> Place:
        ball = self.anchor("hitch_coupler", "ball")
        point = self.anchor("hitch_coupler", name)
        return self.turned(self._ball(), (point[0] - ball[0], point[1] - ball[1]), self._pitch_deg())

    def _pin(self) -> Place:
        """The implement's lower pin."""
        case, state = self.yard.case, self.yard.state
        if state.engaged:
            return self._on_coupler("lower_hook")
        parked = linkage.ball_m(
            case.tractor.linkage,
            linkage.angle_for_ball_height_rad(case.tractor.linkage, case.implement.parked_ball_m),
        )
        hook, ball = self.anchor("hitch_coupler", "lower_hook"), self.anchor("hitch_coupler", "ball")
        x, _ = self._at(parked[0], 0.0)
        gap = self.eased("gap", state.gap_um / 1e6)
        return x + hook[0] - ball[0] + gap * self._px_per_m, self._at(0.0, pin_height_um(case, state) / 1e6)[
            1
        ]

    def _implement_deg(self) -> float:
        state = self.yard.state
        if state.engaged and state.weight in ("hitch", "ground"):
            return self._pitch_deg()
        pitch = pitch_urad(self.yard.case, state) / 1e6
        return math.degrees(pitch) if abs(pitch) < 0.5 else 0.0

    def _on_headstock(self, name: str) -> Place:
        pin = self.anchor("hitch_headstock", "lower_pin")
        point = self.anchor("hitch_headstock", name)
        return self.turned(self._pin(), (point[0] - pin[0], point[1] - pin[1]), self._implement_deg())

    # --- spots --------------------------------------------------------------------------------------------

    def spots(self) -> list[Spot]:
        state = self.yard.state
        spots: list[Spot] = []

        def box(at: Place, wide: float, tall: float) -> Box:
            return at[0] - wide / 2, at[1] - tall / 2, wide, tall

        bar = self._on_headstock("toolbar_centre")
        pin = self._pin()
        spots.append(Spot("bar", box(bar, 70, 76), self.word("hitch.bar"), accepts=True))
        spots.append(
            Spot("mast", box(self._on_headstock("top_pin"), 50, 50), self.word("hitch.mast"), accepts=True)
        )
        spots.append(
            Spot(
                "pins",
                box((pin[0] + 14, pin[1] + 8), 54, 50),
                self.word("hitch.pins"),
                thing="bushing" if state.bushings else "",
                accepts=True,
            )
        )
        drawbar = self._drawbar_at()
        spots.append(
            Spot(
                "drawbar",
                (drawbar[0] + 170, drawbar[1] - 38, 170, 80),
                self.word("hitch.drawbar"),
                thing="drawbar",
                accepts=True,
            )
        )
        hook = self._on_coupler("top_hook")
        spots.append(
            Spot(
                "top_hook",
                box(hook, 58, 66),
                self.word("hitch.top_hook"),
                thing="hook" if state.top_hook else "",
                accepts=True,
            )
        )
        arm = self._lift_arm_end()
        spots.append(
            Spot(
                "lift_lock",
                box(arm, 54, 50),
                self.word("hitch.lift_lock"),
                thing="lock_pin" if state.lift_locked else "",
                accepts=True,
            )
        )
        spots.append(
            Spot(
                "sway",
                box(self._sway_at(), 66, 72),
                self.word("hitch.sway"),
                dial=self._sway_dial(),
                accepts=True,
            )
        )
        sleeve = self._top_link_middle()
        spots.append(
            Spot("top_link", box(sleeve, 110, 52), self.word("hitch.top_link"), dial=self._top_link_dial())
        )
        for side in ("right", "left"):
            at = self._latch_at(side)
            off = -26.0 if side == "right" else 6.0
            spots.append(
                Spot(
                    f"latch:{side}",
                    box((at[0] + off, at[1] - 40 if side == "right" else at[1] + 6), 44, 66),
                    self.word(f"hitch.latch_{side}"),
                    tap=self._latch_tap(side),
                    lever=True,
                    accepts=True,
                )
            )
        spots = [spot for spot in spots if spot.box[0] < SHOWN[0] + SHOWN[2]]
        spots += self.lift_spots(*_BUTTONS, 90)
        spots += spanner_spots(self, _SPANNER)
        spots += self.tray_spots(_TOOLS, "hitch")
        return spots

    def _top_link_dial(self) -> Dial:
        tractor, yard = self.yard.case.tractor, self.yard
        return Dial(
            round(tractor.top_link_short_m * 1e6),
            round(tractor.top_link_long_m * 1e6),
            1000,
            yard.state.top_link_um,
            (0.6, -0.8),
            700.0,
            lambda amount: Action("top_link", amount=amount),
            self._length,
            typed_thousandths,
        )

    def _sway_dial(self) -> Dial:
        tractor, yard = self.yard.case.tractor, self.yard
        return Dial(
            0,
            round(tractor.sway_free_m * 1e6),
            1000,
            yard.state.sway_um,
            (1.0, 0.0),
            400.0,
            lambda amount: Action("sway", amount=amount),
            self._length,
            typed_thousandths,
        )

    def _length(self, amount: int) -> str:
        return f"{amount / 1000:.0f} mm  ·  {amount / 25400:.2f} in"

    def _latch_tap(self, side: str) -> Callable[[], None]:
        def act() -> None:
            state = self.yard.state
            closed = state.latch_left if side == "left" else state.latch_right
            self.do("unlatch" if closed else "latch", side)

        return act

    # --- hands --------------------------------------------------------------------------------------------

    def enter(self) -> None:
        self._seen_events = len(self.yard.attempt.events)
        self._reading = None
        self._looked_s = -100.0
        self._lines.clear()
        super().enter()

    def update(self, dt_s: float) -> None:
        super().update(dt_s)
        self._lines.update(dt_s, *self._line_ends(), self._drawbar_line())

    def _line_ends(self) -> tuple[Place, Place]:
        """Where the hoses leave the tractor and the implement."""
        start = self.from_anchor("hitch_tractor_rear", "rear_axle_ground", self._at(0, 0), "hose_root")
        return start, self._on_headstock("hose_root")

    def _drawbar_line(self) -> tuple[Place, Place]:
        """Top of the drawbar, on which hoses come to lie."""
        at = self._drawbar_at()
        return at, self.from_anchor("hitch_drawbar", "drawbar_root", at, "hook")

    def dropped(self, held: Held, on: str) -> None:
        thing = held.thing
        if mend(self, held, on):
            return
        if thing == "eye":
            if on in ("latch:left", "latch:right", "pins", "top_hook"):
                self._looked_s = self.yard.now_s
                self.do("look", "latches")
        elif thing == "level":
            if on in ("bar", "mast"):
                self._measure("bar_pitch", on)
        elif thing == "tape":
            measured = {
                "bar": "bar_height",
                "sway": "sway",
                "pins": "mast_pins",
                "mast": "mast_pins",
                "top_hook": "mast_pins",
            }.get(on)
            if measured:
                self._measure(measured, on)
        elif thing == "bushing":
            self.fit(held, on, "bushings", "pins", "bushing")
        elif thing == "hook":
            self.fit(held, on, "top_hook", "top_hook", "hook")
        elif thing == "lock_pin":
            if held.origin == "lift_lock" and on != "lift_lock":
                self.do("lift_lock", "release")
            elif held.origin == "lock_pin" and on == "lift_lock":
                self.do("lift_lock", "set")
        elif thing == "drawbar":
            out = held.at[0] - (self._drawbar_at()[0] + 255)
            stowed = self.yard.state.drawbar_stowed
            if on == "drawbar" and abs(out) < 30 and held.by_click:
                self.do("drawbar", "extend" if stowed else "stow")
            elif out > 15 or out < -15:
                self.do("drawbar", "extend" if out > 0 else "stow")

    def _measure(self, thing: str, on: str) -> None:
        spot = self.spot(on)
        if spot is not None:
            self._reading = (spot.centre, thing, self.yard.now_s + _LOOK_S)
        self.do("measure", thing)

    # --- drawing ------------------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        self.show_layer(surface, self.layer("ground", "hitch", self._paint_ground, opaque=True))
        self._draw_implement_behind(surface)
        self.show_layer(surface, self.layer("tractor", "hitch", self._paint_tractor))
        self._draw_links(surface)
        self._draw_implement(surface)
        self._draw_coupler(surface)
        self._draw_stand(surface)
        self._lines.draw(surface)
        self._draw_gap_note(surface)
        self.show_layer(surface, self.layer("tray", "hitch", self._paint_tray))
        self.draw_lift_buttons(surface, *_BUTTONS, 90)
        self.hover_box(surface)
        self._draw_drop_places(surface)
        self._draw_loupe(surface)
        draw_spanner(self, surface)
        self._draw_reading(surface)
        self._draw_held(surface)
        self.draw_setting(surface)

    def _paint_ground(self, surface: pygame.Surface) -> None:
        self.backdrop(surface, "hitch_backdrop")

    def _paint_tractor(self, surface: pygame.Surface) -> None:
        self.put(
            surface,
            "hitch_tractor_rear",
            self._at(0, 0),
            self.anchor("hitch_tractor_rear", "rear_axle_ground"),
        )

    def _paint_tray(self, surface: pygame.Surface) -> None:
        self.paint_tray(surface, _TOOLS, "hitch")

    def _drawbar_at(self) -> Place:
        x, y = self.anchor("hitch_tractor_rear", "drawbar_root")
        axle = self.anchor("hitch_tractor_rear", "rear_axle_ground")
        shift = self.eased("drawbar", 0.0 if not self.yard.state.drawbar_stowed else _DRAWBAR_IN_CM, 5.0)
        base = self._at(0, 0)
        return base[0] + x - axle[0] - shift * self._px_per_m / 100, base[1] + y - axle[1]

    def _lift_arm_end(self) -> Place:
        """Where lift arm and lift rod meet: off the link by the rod, off the pivot by the arm."""
        art = self.yard.art
        pivot_x, pivot_z = (float(v) / 100 for v in art.note("hitch", "lift_arm_pivot_cm"))
        arm = float(art.note("hitch", "lift_arm_cm")) / 100
        rod = float(art.note("hitch", "lift_rod_cm")) / 100
        low_x, low_z = self._on_link(float(art.note("hitch", "lift_rod_on_link_cm")) / 100)
        dx, dz = pivot_x - low_x, pivot_z - low_z
        far = math.hypot(dx, dz)
        along = (rod * rod - arm * arm + far * far) / (2 * far)
        across = math.sqrt(max(0.0, rod * rod - along * along))
        x, z = low_x + (dx * along + dz * across) / far, low_z + (dz * along - dx * across) / far
        return self._at(x, z)

    def _on_link(self, far_m: float) -> Place:
        """A point of the lower link, in metres."""
        angle, (x, z) = self._angle(), self.yard.case.tractor.linkage.lower_pivot_m
        return x + far_m * math.cos(angle), z + far_m * math.sin(angle)

    def _sway_at(self) -> Place:
        x, y = self._at(*self._on_link(_SWAY_ON_LINK_M))
        return x, y + 12

    def _top_link_middle(self) -> Place:
        start = self._at(*self.yard.case.tractor.linkage.top_pivot_m)
        end = self._on_coupler("top_link_pin")
        return (start[0] + end[0]) / 2, (start[1] + end[1]) / 2

    def _latch_at(self, side: str) -> Place:
        x, y = self._on_coupler("latch_pivot")
        return (x, y) if side == "left" else (x + _FAR_SIDE[0], y + _FAR_SIDE[1])

    def _draw_links(self, surface: pygame.Surface) -> None:
        link_deg = round(math.degrees(self._angle()) / 0.2) * 0.2
        lower = self._at(*self.yard.case.tractor.linkage.lower_pivot_m)
        self.put(surface, "hitch_drawbar", self._drawbar_at(), self.anchor("hitch_drawbar", "drawbar_root"))
        end = self._lift_arm_end()
        low = self._at(*self._on_link(float(self.yard.art.note("hitch", "lift_rod_on_link_cm")) / 100))
        lean = round(math.degrees(math.atan2(low[0] - end[0], low[1] - end[1])) / 0.2) * 0.2
        self.put(surface, "hitch_lift_rod", low, self.anchor("hitch_lift_rod", "link_pin"), 1.0, lean)
        self.put(
            surface, "hitch_lower_link", lower, self.anchor("hitch_lower_link", "front_ball"), 1.0, link_deg
        )
        gap = self.eased(
            "sway",
            self.yard.state.sway_um / 1000
            if self.setting is None or self.setting.spot.id != "sway"
            else self.setting.amount / 1000,
        )
        x, y = self._sway_at()
        self.put(
            surface,
            "hitch_sway_block",
            (x - 4 - gap * 0.25, y),
            self.anchor("hitch_sway_block", "centre"),
            0.72,
            link_deg,
        )
        pivot = self._at(*(float(v) / 100 for v in self.yard.art.note("hitch", "lift_arm_pivot_cm")))
        arm_deg = round(math.degrees(math.atan2(pivot[1] - end[1], end[0] - pivot[0])) / 0.2) * 0.2
        self.put(surface, "hitch_lift_arm", pivot, self.anchor("hitch_lift_arm", "pivot"), 1.0, arm_deg)
        if self.yard.state.lift_locked:
            self.draw_lock_pin(surface, end, 1.1)

    def _draw_top_link(self, surface: pygame.Surface) -> None:
        """The turnbuckle: both ends keep their size, the sleeve between them grows."""
        start = self._at(*self.yard.case.tractor.linkage.top_pivot_m)
        end = self._on_coupler("top_link_pin")
        far = math.dist(start, end)
        nominal = 243.0
        degrees = round(math.degrees(math.atan2(start[1] - end[1], end[0] - start[0])) / 0.2) * 0.2
        if far > nominal:
            pygame.draw.aaline(surface, INK, self.view.at(*start), self.view.at(*end), self.px(11))
            pygame.draw.aaline(surface, STEEL[2], self.view.at(*start), self.view.at(*end), self.px(8))
        share = far / nominal
        self.put(
            surface,
            "hitch_top_link",
            start,
            self.anchor("hitch_top_link", "tractor_eye"),
            1.0 if 0.97 < share < 1.03 else share,
            degrees,
        )

    def _draw_implement_behind(self, surface: pygame.Surface) -> None:
        if self._pin()[0] > 1100:
            return
        if "planter" in self._look.side:
            rear = self._on_headstock("toolbar_rear")
            self.put(surface, "hitch_row_unit", rear, self.anchor("hitch_row_unit", "toolbar_rear"))
            return
        look, degrees = self._look, float(round(self._implement_deg()))  # large: turned in whole degrees
        size = look.size * self._px_per_m / SIDE_PX_PER_M
        self.put(surface, look.side, self._pin(), self.anchor(look.side, look.hold), size, degrees)

    def _draw_implement(self, surface: pygame.Surface) -> None:
        pin = self._pin()
        if pin[0] > 1100:
            return
        degrees = round(self._implement_deg() / 0.2) * 0.2
        self.put(surface, "hitch_headstock", pin, self.anchor("hitch_headstock", "lower_pin"), 1.0, degrees)
        if self.yard.state.bushings:
            self.draw_ring(surface, pin, 9.5)

    def _draw_coupler(self, surface: pygame.Surface) -> None:
        degrees = self._pitch_deg()
        self._draw_latch(surface, "right", degrees)
        self._draw_top_link(surface)
        ball, anchor = self._ball(), self.anchor("hitch_coupler", "ball")
        self.put(surface, "hitch_coupler", ball, anchor, 1.0, degrees)
        if self.yard.state.top_hook and not (self.held is not None and self.held.origin == "top_hook"):
            hook = self.anchor("hitch_top_hook", "top_hook")
            self.put(surface, "hitch_top_hook", self._on_coupler("top_hook"), hook, 1.0, degrees)
        self._draw_latch(surface, "left", degrees)

    def _draw_latch(self, surface: pygame.Surface, side: str, degrees: float) -> None:
        closed = self.yard.state.latch_left if side == "left" else self.yard.state.latch_right
        open_deg = self.eased(f"latch_{side}", 0.0 if closed else _LATCH_OPEN_DEG, 9.0)
        turned = round((degrees + open_deg) / 2) * 2.0
        self.put(
            surface, "hitch_latch", self._latch_at(side), self.anchor("hitch_latch", "pivot"), 1.0, turned
        )

    def _draw_stand(self, surface: pygame.Surface) -> None:
        if self._pin()[0] > 1100:
            return
        up = self.eased("stand", 0.0 if self.yard.state.stands else _STAND_UP_CM, 5.0)
        x, y = self._on_headstock("stand_sleeve")
        self.put(
            surface,
            "hitch_stand",
            (x, y - up * self._px_per_m / 100),
            self.anchor("hitch_stand", "sleeve_pin"),
        )

    def _draw_gap_note(self, surface: pygame.Surface) -> None:
        gap = self.yard.state.gap_um / 1e6
        if gap * self._px_per_m > 180:
            self.plate(
                surface,
                self.word("hitch.gap", distance=self.yard.amount("distance", gap)),
                (740, 590),
                14,
                SHEET,
            )

    def _draw_drop_places(self, surface: pygame.Surface) -> None:
        if self.held is None:
            return
        for name in ("bar", "mast", "pins", "top_hook", "lift_lock", "sway", "latch:left", "latch:right"):
            spot = self.spot(name)
            if spot is not None and self.held.thing != "drawbar":
                self.ring(surface, spot.centre, 26, SHEET, 2.0)

    def _draw_loupe(self, surface: pygame.Surface) -> None:
        """What a close look shows of both lower hooks."""
        left_s = self._looked_s + _LOOK_S - self.yard.now_s
        if left_s <= 0:
            return
        state = self.yard.state
        for index, side in enumerate(("left", "right")):
            x, y = 84.0 + 132 * index, 520.0
            centre = self.view.at(x, y)
            pygame.draw.aacircle(surface, INK, centre, self.px(62))
            pygame.draw.aacircle(surface, SAND[5], centre, self.px(58))
            closed = state.latch_left if side == "left" else state.latch_right
            hook = [
                (-34, -22),
                (-34, 16),
                (-16, 34),
                (14, 34),
                (34, 14),
                (34, -16),
                (20, -16),
                (20, 8),
                (8, 18),
                (-8, 18),
                (-20, 8),
                (-20, -22),
            ]
            dots = [self.view.at(x + dx, y + dy + 8) for dx, dy in hook]
            pygame.draw.polygon(surface, STEEL[2], dots)
            pygame.draw.aalines(surface, INK, True, dots)
            pin_y = y + 10 if state.engaged else y - 30
            if state.engaged or state.gap_um < 60_000:
                self.draw_ring(surface, (x, pin_y), 17 if state.bushings else 13)
            latch = (
                [(-30, -32), (-18, -38), (20, -12), (16, -4), (-10, -12)]
                if closed
                else [(-30, -32), (-36, -44), (-10, -56), (-2, -48), (-22, -34)]
            )
            dots = [self.view.at(x + dx, y + dy + 8) for dx, dy in latch]
            pygame.draw.polygon(surface, ICE[2], dots)
            pygame.draw.aalines(surface, INK, True, dots)
            self.plate(surface, self.word(f"hitch.short_{side}"), (x, y + 66), 13, SHEET)

    def _draw_reading(self, surface: pygame.Surface) -> None:
        if self._reading is None or self.yard.now_s > self._reading[2]:
            return
        (x, y), thing, _ = self._reading
        found = self.last_measured(thing)
        if found is None:
            return
        value = found.values[0][1] / 1e6
        yard = self.yard
        if thing == "bar_pitch":
            at = self._on_headstock("toolbar_top")
            self.put(
                surface,
                "tool_level",
                (at[0], at[1] + 2),
                (124, 44),
                0.62,
                round(self._implement_deg() / 0.2) * 0.2,
            )
            text = yard.amount("angle", value, 2)
            if abs(value) > 0.0005:
                text = f"{text}  {self.word('hitch.nose_down' if value > 0 else 'hitch.nose_up')}"
        else:
            decimals = 2 if thing in ("sway", "mast_pins") else 1
            text = f"{yard.amount('length', value, decimals if not yard.metric else 0)}"
            if thing == "mast_pins":
                text = self.word("hitch.play", amount=text)
            if thing == "bar_height":
                top, low = self._on_headstock("toolbar_underside"), self._ground_y
                first, last = self.view.at(top[0] + 26, top[1]), self.view.at(top[0] + 26, low)
                pygame.draw.line(surface, INK, first, last, self.px(7))
                pygame.draw.line(surface, SAND[5], first, last, self.px(4))
                x, y = top[0] + 40, (top[1] + low) / 2
        self.plate(surface, text, (min(x + 10, 830), y - 46), 16, SHEET)

    def _draw_held(self, surface: pygame.Surface) -> None:
        if self.held is None:
            return
        for tool in _TOOLS:
            if tool.name == self.held.thing:
                self.draw_tool(surface, tool, self.held.at, 1.3)
