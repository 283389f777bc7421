"""Beside the hitch of a drawn machine: drawbar and tongue, pin, clip, chain, jack and drive shaft, close up.

The near lower link and wheel are left out so that the coupling can be seen. Heights come from the core's
page on drawbars; what the hands do here is the words `pin`, `clip`, `chain`, `jack`, `drawbar` and
`drawbar_reach`.
"""

from __future__ import annotations

import itertools
import math

import pygame

from trainer.core.actions import Action
from trainer.core.readings import pin_height_um, pitch_urad
from trainer.scene.palette import GRAPHITE, INK, SAND, SHEET, STEEL
from trainer.scene.stations.finding import draw_spanner, mend, spanner_spots
from trainer.scene.stations.hands import Box, Dial, Held, Place, Spot, Tool, typed_thousandths
from trainer.scene.stations.hitch import Hitch

_TOOLS = (
    Tool("eye", "sym_help", 0.8),
    Tool("level", "tool_level", 0.3),
    Tool("tape", "tool_tape", 0.46),
    Tool("pin", "hitch_drawbar_pin", 0.42),
    Tool("clip", "hitch_pin_clip", 0.78),
)
_GAP_SHOWN_M = 0.3
"""A tongue further off is shown at this distance, and the distance is told."""
_STOWED_CM = 25.0
_SHOWN_S = 6.0
_JACK_RATE = 1000.0
"""µm of the jack for each drawing unit the crank is dragged."""
_TURN_UM = 8000
"""What one turn of the crank lifts."""
_SWIVEL_DEG = 84.0
_FAR: Place = (-26.0, -16.0)
"""How far what is on the far side lies behind in the picture."""
_TURN_REACH = 26.0
"""Drawing units the drawbar has to be dragged to count."""
_SPANNER: Place = (10.0, 196.0)
_BUTTONS: Place = (10.0, 66.0)
_LINKS = 15


class DrawbarHitch(Hitch):
    """On the ground beside the drawbar."""

    # --- where everything stands --------------------------------------------------------------------------

    def _clevis(self) -> Place:
        """Where the middle of the pin stands, or would stand."""
        setting = self.setting
        reach = self.yard.state.drawbar_reach_um
        if setting is not None and setting.spot.id == "reach":
            reach = self._reaches()[setting.amount]
        stub = self._on_rear("pto_stub")
        out = self.eased("reach", reach / 1e6) * self._px_per_m
        stowed = self.eased("drawbar", _STOWED_CM if self.yard.state.drawbar_stowed else 0.0, 5.0)
        drawbar = self.yard.case.tractor.drawbar
        height = drawbar.height_m if drawbar is not None else 0.48
        return stub[0] + out - stowed * self._px_per_m / 100, self._at(0.0, height)[1]

    def _reaches(self) -> list[int]:
        """The settings of the drawbar, in µm."""
        drawbar = self.yard.case.tractor.drawbar
        return [round(reach * 1e6) for reach in drawbar.reaches_m] if drawbar is not None else [0]

    def _on_rear(self, name: str) -> Place:
        return self.from_anchor("hitch_tractor_rear", "rear_axle_ground", self._at(0, 0), name)

    def _eye(self) -> Place:
        state = self.yard.state
        stub = self._on_rear("pto_stub")[0] + state.drawbar_reach_um / 1e6 * self._px_per_m
        gap = self.eased("gap", min(_GAP_SHOWN_M, state.gap_um / 1e6))
        x = self._clevis()[0] if state.engaged or state.pin_in else stub + gap * self._px_per_m
        height = self.eased("pin_height", pin_height_um(self.yard.case, state) / 1e6)
        return x, self._at(0.0, height)[1]

    def _tongue_deg(self) -> float:
        """How far the tongue leans, anticlockwise."""
        pitch = pitch_urad(self.yard.case, self.yard.state) / 1e6
        return round(math.degrees(self.eased("tongue", pitch if abs(pitch) < 0.5 else 0.0)) / 0.2) * 0.2

    def _on_tongue(self, name: str) -> Place:
        return self.from_anchor("hitch_tongue", "eye", self._eye(), name, self._tongue_deg())

    def _chain_hook(self) -> Place:
        return self.from_anchor("hitch_drawbar_support", "root", self._drawbar_root(), "chain")

    def _drawbar_root(self) -> Place:
        return self._on_rear("drawbar_root")[0] + 60, self._clevis()[1] - 3

    def _pin_grip(self) -> Place:
        return self.from_anchor("hitch_drawbar_pin", "middle", self._clevis(), "grip")

    def _clip_at(self) -> Place:
        return self.from_anchor("hitch_drawbar_pin", "middle", self._clevis(), "clip")

    def _shaft_ends(self) -> tuple[Place, Place]:
        """Both joints of the shaft: coupled, or with its front end laid on the tongue's rest."""
        rear = self._on_tongue("joint")
        if self._shaft_on():
            return self._on_rear("pto_stub"), rear
        rest = self._on_tongue("rest")
        return (rear[0] - 330.0, rest[1] + (rest[1] - rear[1]) * 0.6 - 4), rear

    def _line_ends(self) -> tuple[Place, Place]:
        return self._on_rear("hose_root"), self._on_tongue("hose_root")

    def _drawbar_line(self) -> tuple[Place, Place]:
        return self._drawbar_root(), self._clevis()

    def _shaft_on(self) -> bool:
        state = self.yard.state
        hoses = self.yard.case.implement.hoses
        return any(at >= 0 and hose.role == "shaft" for hose, at in zip(hoses, state.hose_at, strict=True))

    def _has_shaft(self) -> bool:
        return any(hose.role == "shaft" for hose in self.yard.case.implement.hoses)

    # --- spots --------------------------------------------------------------------------------------------

    def spots(self) -> list[Spot]:
        state, clevis = self.yard.state, self._clevis()
        spots: list[Spot] = []

        def box(at: Place, wide: float, tall: float) -> Box:
            return at[0] - wide / 2, at[1] - tall / 2, wide, tall

        def add(
            name: str, where: Box, thing: str = "", dial: Dial | None = None, accepts: bool = True
        ) -> None:
            spots.append(
                Spot(name, where, self.word(f"hitch.{name}"), thing=thing, dial=dial, accepts=accepts)
            )

        add("drawbar", (clevis[0] - 172, clevis[1] - 34, 92, 62), "drawbar")
        add("reach", (clevis[0] - 268, clevis[1] - 26, 86, 50), dial=self._reach_dial(), accepts=False)
        add("chain_hook", box(self._chain_hook(), 54, 48), "hooked" if state.chained else "")
        eye, jack = self._eye(), self._on_tongue("jack")
        if self._has_shaft():
            first, last = self._shaft_ends()
            middle = (first[0] + last[0]) / 2, (first[1] + last[1]) / 2
            add("shaft", box(middle, 150, 44))
        add("frame", box(self._on_tongue("level"), 70, 46))
        if not state.chained:
            x, y = self._on_tongue("chain")
            add("chain", box((x - 2, y + 26), 48, 62), "chain")
        add("jack", box((jack[0] - 8, jack[1] - 158), 120, 96), dial=self._jack_dial(), accepts=False)
        add("eye_hole", (eye[0] + 30, eye[1] - 30, 76, 52))
        add("pin_hole", (clevis[0] - 42, clevis[1] - 92, 84, 92), "fitted" if state.pin_in else "")
        add("clip_hole", (clevis[0] - 34, clevis[1] + 8, 92, 56), "clipped" if state.pin_clipped else "")
        return [
            *spots,
            *self.lift_spots(*_BUTTONS, 90),
            *spanner_spots(self, _SPANNER),
            *self.tray_spots(_TOOLS, "hitch"),
        ]

    def _jack_dial(self) -> Dial:
        tongue, yard = self.yard.case.implement.tongue, self.yard
        assert tongue is not None
        return Dial(
            round(tongue.jack_low_m * 1e6),
            round(tongue.jack_high_m * 1e6),
            1000,
            yard.state.jack_um,
            (0.0, -1.0),
            _JACK_RATE,
            lambda amount: Action("jack", amount=amount),
            self._length,
            typed_thousandths,
        )

    def _reach_dial(self) -> Dial:
        reaches, now = self._reaches(), self.yard.state.drawbar_reach_um

        def near(um: int) -> int:
            return min(range(len(reaches)), key=lambda index: abs(reaches[index] - um))

        def typed(text: str) -> int | None:
            asked = typed_thousandths(text)
            return None if asked is None else near(asked)

        return Dial(
            0,
            len(reaches) - 1,
            1,
            near(now),
            (1.0, 0.0),
            0.03,
            lambda index: Action("drawbar_reach", amount=reaches[index]),
            lambda index: self._length(reaches[index]),
            typed,
        )

    # --- hands --------------------------------------------------------------------------------------------

    def dropped(self, held: Held, on: str) -> None:
        thing = held.thing
        if mend(self, held, on):
            return
        if thing == "eye" and on in ("pin_hole", "clip_hole", "chain_hook", "eye_hole"):
            self._looked_s = self.yard.now_s
            self.do("look", "latches")
        elif thing == "level" and on == "frame":
            self._measure("tongue_pitch", on)
        elif thing == "tape" and on in ("eye_hole", "shaft", "pin_hole"):
            measured = {"shaft": "overlap", "pin_hole": "mast_pins"}
            self._measure(measured.get(on, "tongue_height"), on)
        elif thing in ("pin", "fitted"):
            self._put(held, on, "pin", "pin_hole")
        elif thing in ("clip", "clipped"):
            self._put(held, on, "clip", "clip_hole")
        elif thing == "chain" and on == "chain_hook":
            self.do("chain", "hook")
        elif thing == "hooked" and on != "chain_hook":
            self.do("chain", "unhook")
        elif thing == "drawbar":
            self._slide(held, on)

    def _put(self, held: Held, on: str, word: str, hole: str) -> None:
        """Out of the tray into its hole, or out of the hole by carrying it away."""
        if held.origin == hole and on != hole:
            self.do(word, "remove")
        elif held.origin == word and on == hole:
            self.do(word, "fit")

    def _slide(self, held: Held, on: str) -> None:
        spot = self.spot("drawbar")
        way = held.at[0] - spot.centre[0] if spot is not None else 0.0
        if on == "drawbar" and held.by_click:
            self.do("drawbar", "extend" if self.yard.state.drawbar_stowed else "stow")
        elif abs(way) > _TURN_REACH:
            self.do("drawbar", "extend" if way > 0 else "stow")

    # --- drawing ------------------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        self.show_layer(surface, self.layer("ground", "hitch", self._paint_ground, opaque=True))
        self._draw_far_link(surface)
        self.show_layer(surface, self.layer("tractor", "hitch", self._paint_tractor))
        self._draw_tongue(surface)
        self._draw_drawbar(surface)
        self._draw_shaft(surface)
        self._draw_jack(surface)
        self._draw_pin(surface)
        self._draw_chain(surface)
        self._lines.draw(surface)
        self._draw_distance(surface)
        tray = self.layer("tray", "drawbar", lambda made: self.paint_tray(made, _TOOLS, "hitch"))
        self.show_layer(surface, tray)
        self.draw_lift_buttons(surface, *_BUTTONS, 90)
        draw_spanner(self, surface)
        self.hover_box(surface)
        self._draw_places(surface)
        self._draw_found(surface)
        self._draw_measured(surface)
        self._draw_in_hand(surface)
        self.draw_setting(surface)

    def _draw_far_link(self, surface: pygame.Surface) -> None:
        degrees = round(math.degrees(self._angle()) / 0.2) * 0.2
        x, y = self._at(*self.yard.case.tractor.linkage.lower_pivot_m)
        at, front = (x + _FAR[0], y + _FAR[1]), self.anchor("hitch_lower_link", "front_ball")
        self.put(surface, "hitch_lower_link", at, front, 0.96, degrees)

    def _draw_drawbar(self, surface: pygame.Surface) -> None:
        self.put(surface, "hitch_clevis", self._clevis(), self.anchor("hitch_clevis", "hole"))
        root = self._drawbar_root()
        self.put(surface, "hitch_drawbar_support", root, self.anchor("hitch_drawbar_support", "root"))

    def _draw_tongue(self, surface: pygame.Surface) -> None:
        anchor = self.anchor("hitch_tongue", "eye")
        self.put(surface, "hitch_tongue", self._eye(), anchor, 1.0, self._tongue_deg())

    def _draw_shaft(self, surface: pygame.Surface) -> None:
        if not self._has_shaft():
            return
        first, last = self._shaft_ends()
        lean = round(math.degrees(math.atan2(first[1] - last[1], last[0] - first[0])) / 0.2) * 0.2
        tail = "" if self.yard.state.shaft_guard else "_bare"
        for end, at in (("implement", last), ("tractor", first)):
            name = f"hitch_shaft_{end}{tail}"
            self.put(surface, name, at, self.anchor(name, "joint"), 1.0, lean)

    def _draw_jack(self, surface: pygame.Surface) -> None:
        state, setting = self.yard.state, self.setting
        up = self.eased("jack_up", 0.0 if state.stands else 1.0, 4.0)
        x, y = self._on_tongue("jack")
        turned = round(_SWIVEL_DEG * max(0.0, 2 * up - 1) / 2) * 2.0
        down = self._ground_y - y
        foot = down - min(1.0, 2 * up) * (down - 0.26 * self._px_per_m)
        at = self.turned((x, y), (0.0, foot), turned)
        self.put(surface, "hitch_jack_foot", at, self.anchor("hitch_jack_foot", "foot"), 1.0, turned)
        self.put(surface, "hitch_jack", (x, y), self.anchor("hitch_jack", "sleeve"), 1.0, turned)
        gear = self.from_anchor("hitch_jack", "sleeve", (x, y), "gear", turned)
        amount = setting.amount if setting is not None and setting.spot.id == "jack" else state.jack_um
        crank = round(self.eased("crank", amount / _TURN_UM * 360.0) / 3) * 3.0 % 360
        self.put(surface, "hitch_jack_crank", gear, self.anchor("hitch_jack_crank", "axle"), 1.0, crank)

    def _draw_pin(self, surface: pygame.Surface) -> None:
        state, taken = self.yard.state, self.held.origin if self.held is not None else ""
        if state.pin_in and taken != "pin_hole":
            middle = self.anchor("hitch_drawbar_pin", "middle")
            self.put(surface, "hitch_drawbar_pin", self._clevis(), middle)
        if state.pin_clipped and taken != "clip_hole":
            self.put(surface, "hitch_pin_clip", self._clip_at(), self.anchor("hitch_pin_clip", "hole"))

    def _draw_chain(self, surface: pygame.Surface) -> None:
        """Links one by one: flat and edge on in turn."""
        start = self._on_tongue("chain")
        if self.yard.state.chained and not (self.held is not None and self.held.thing == "hooked"):
            end, sag = self._chain_hook(), 64.0
        elif self.held is not None and self.held.thing in ("chain", "hooked"):
            end, sag = self.held.at, 30.0
        else:
            end, sag = (start[0] - 10, start[1] + 66), 0.0
        count = _LINKS if sag else 6
        dots = []
        for step in range(count + 1):
            t = step / count
            x, y = start[0] + (end[0] - start[0]) * t, start[1] + (end[1] - start[1]) * t
            dots.append((x, min(y + sag * 4 * t * (1 - t), self._ground_y - 6)))
        for index, (first, last) in enumerate(itertools.pairwise(dots)):
            one, two = self.view.at(*first), self.view.at(*last)
            flat = index % 2 == 0
            for thick, tone in (
                ((11, INK), (8, STEEL[3]), (2.6, GRAPHITE[1])) if flat else ((6, INK), (3.4, STEEL[4]))
            ):
                pygame.draw.aaline(surface, tone, one, two, self.px(thick))
            if flat:
                for end in (one, two):
                    pygame.draw.aacircle(surface, INK, end, self.px(5.5))
                    pygame.draw.aacircle(surface, STEEL[2], end, self.px(4))

    def _draw_distance(self, surface: pygame.Surface) -> None:
        gap = self.yard.state.gap_um / 1e6
        if gap > _GAP_SHOWN_M:
            told = self.word("hitch.gap", distance=self.yard.amount("distance", gap))
            self.plate(surface, told, (560, 606), 14, SHEET)

    def _draw_places(self, surface: pygame.Surface) -> None:
        """Where what is in the hand can be put."""
        if self.held is None or self.held.thing == "drawbar":
            return
        fits = {
            "eye": ("pin_hole", "clip_hole", "chain_hook", "eye_hole"),
            "level": ("frame",),
            "tape": ("eye_hole", "shaft", "pin_hole"),
            "pin": ("pin_hole",),
            "clip": ("clip_hole",),
            "chain": ("chain_hook",),
        }
        for name in fits.get(self.held.thing, ()):
            spot = self.spot(name)
            if spot is not None:
                self.ring(surface, spot.centre, 26, SHEET, 2.0)

    def _draw_found(self, surface: pygame.Surface) -> None:
        """What a close look at pin, clip and chain showed, each beside its place."""
        if self.yard.now_s - self._looked_s > _SHOWN_S:
            return
        state = self.yard.state
        clevis, hook = self._clevis(), self._chain_hook()
        for key, holds, at in (
            ("found_pin", state.pin_in, (clevis[0] + 10, clevis[1] - 106)),
            ("found_clip", state.pin_clipped, (clevis[0] + 110, clevis[1] + 62)),
            ("found_chain", state.chained, (hook[0] - 10, hook[1] + 66)),
        ):
            self.plate(surface, self.word(f"hitch.{key}_{'in' if holds else 'out'}"), at, 14, SHEET)

    def _draw_measured(self, surface: pygame.Surface) -> None:
        if self._reading is None or self.yard.now_s > self._reading[2]:
            return
        (x, y), thing, _ = self._reading
        found = self.last_measured(thing)
        if found is None:
            return
        value, yard = found.values[0][1] / 1e6, self.yard
        if thing == "tongue_pitch":
            at = self._on_tongue("level")
            self.put(surface, "tool_level", (at[0], at[1] - 2), (124, 44), 0.62, self._tongue_deg())
            text = yard.amount("angle", abs(value), 2)
            if abs(value) > 0.0005:
                text = f"{text}  {self.word('hitch.nose_down' if value > 0 else 'hitch.nose_up')}"
        else:
            fine = thing == "mast_pins"
            text = yard.amount("length", value, (1 if fine else 0) if yard.metric else (2 if fine else 1))
            if fine:
                text = self.word("hitch.play", amount=text)
            if thing == "tongue_height":
                line = (
                    self.view.at(self._eye()[0], self._eye()[1]),
                    self.view.at(self._eye()[0], self._ground_y),
                )
                for thick, ink in ((7, INK), (4, SAND[5])):
                    pygame.draw.line(surface, ink, *line, self.px(thick))
        self.plate(surface, text, (min(x + 10, 800), y - 52), 16, SHEET)

    def _draw_in_hand(self, surface: pygame.Surface) -> None:
        if self.held is None:
            return
        thing = {"fitted": "pin", "clipped": "clip"}.get(self.held.thing, self.held.thing)
        for tool in _TOOLS:
            if tool.name == thing:
                self.draw_tool(surface, tool, self.held.at, 1.5)
