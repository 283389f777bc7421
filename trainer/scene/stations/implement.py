"""Beside the implement: stands or jack, chocks, locks, bushings, joints, the ends of
the bus; a look, the level and the tape."""

from __future__ import annotations

from collections.abc import Callable

import pygame

from trainer.core.actions import Action
from trainer.core.case import Function, Unit
from trainer.scene.palette import GRAPHITE, INK, PLUM, SAND, SHEET, STEEL
from trainer.scene.station import Yard
from trainer.scene.stations.finding import SPANNER, draw_spanner, mend, spanner_spots
from trainer.scene.stations.hands import Dial, Handwork, Held, Place, Spot, Tool, typed_thousandths
from trainer.scene.stations.pair import Pair

_TOOLS = (
    Tool("eye", "sym_help", 0.8),
    Tool("chock", "chock", 1.5),
    Tool("lock_pin", "sym_lock", 0.8),
    Tool("bushing", "hitch_bushing", 0.62),
    Tool("level", "tool_level", 0.3),
    Tool("tape", "tool_tape", 0.46),
)
_DRAWN_TOOLS = tuple(tool for tool in _TOOLS if tool.name != "bushing")
_LARGEST, _SMALLEST = 2.15, 0.5
"""How much larger than drawn a machine is shown here: as large as it fits."""
_ROOM: Place = (690.0, 476.0)
_GROUND_Y = 570.0
_HOLD_X, _EYE_X = 214.0, 132.0
_SPANNER: Place = (14.0, 70.0)
_SHOWN_S = 6.0
_MOST_GAP_M = 5.0
_JACK_RATE = 1500.0
"""µm of the jack for each drawing unit the crank is dragged."""
_LEAST_SPOT = 44.0
_OUTLET_TOP, _OUTLET_ABOVE, _OUTLET_RIGHT, _OUTLETS_APART = 96.0, 100.0, 814.0, 150.0
_OUTLET_SIZE, _OUTLET_FRAME, _CABLE_SAG = 0.62, 74.0, 34.0


class ImplementSide(Handwork):
    """At the left side of the implement."""

    name = "implement"

    def __init__(self, yard: Yard) -> None:
        super().__init__(yard)
        self.pair = Pair(self, _GROUND_Y, _LARGEST, _MOST_GAP_M)
        self.pair.parked_x = _EYE_X if self.pair.drawn else _HOLD_X
        wide, tall = self.pair.extent()[1], self.pair.tall()
        self.pair.size = max(_SMALLEST, min(_LARGEST, _ROOM[0] / wide, _ROOM[1] / tall))
        self._tools = _DRAWN_TOOLS if self.pair.drawn else _TOOLS
        self._reading: tuple[str, float] | None = None
        self._looked_s = -100.0

    # --- where everything stands --------------------------------------------------------------------------

    def _lock_at(self) -> Place:
        """The hole for the lock pin of the lift: part of the way down the arm of its wheel."""
        pair = self.pair
        pivot = pair.on("lift_assist_pivot") if pair.has("lift_assist_pivot") else pair.on("level")
        wheel = pair.wheel()[0]
        return pivot[0] + 0.3 * (wheel[0] - pivot[0]), pivot[1] + 0.3 * (wheel[1] - pivot[1])

    def _part_at(self, index: int) -> Place:
        """The lock of a part that moves: at its hinge, or in a row over the frame."""
        names = [index for index, function in enumerate(self._functions) if function.lockable]
        for part, function in self.pair.moved():
            if function == index:
                return self.pair.on(part.at)
        x, y = self.pair.on("level")
        return x + 56.0 * names.index(index), y - 30.0

    def _joint_at(self, index: int) -> Place:
        """A further joint: where the drawing has one, else behind the machine's end."""
        x, y = self.pair.on("joint" if self.pair.has("joint") else "end")
        return x + 52.0 * index, y

    def _outlet_at(self, index: int) -> Place:
        """The outlet of a unit on the bus, drawn larger than it is above where it sits. -1 is the holder of
        the terminator, between the first two."""
        y = max(_OUTLET_TOP, _GROUND_Y - self.pair.tall() * self.pair.size - _OUTLET_ABOVE)
        if index < 0:
            return (self._outlet_at(0)[0] + self._outlet_at(1)[0]) / 2, y
        left = _OUTLET_RIGHT - _OUTLETS_APART * (len(self._units) - 1 - index)
        return min(self._outlet_of(index)[0], left), y

    def _outlet_of(self, index: int) -> Place:
        """Where on the machine it sits."""
        if index == len(self._units) - 1:
            return self.pair.far_end()
        x, y = self._joint_at(index)
        return x - 26.0, y - 8.0

    # --- spots --------------------------------------------------------------------------------------------

    @property
    def _units(self) -> tuple[Unit, ...]:
        return self.yard.case.implement.units

    @property
    def _functions(self) -> tuple[Function, ...]:
        return self.yard.case.implement.functions

    def spots(self) -> list[Spot]:
        state, pair = self.yard.state, self.pair

        def around(
            name: str, at: Place, wide: float, tall: float, label: str, thing: str = "", **gaps: str
        ) -> Spot:
            wide, tall = max(wide, _LEAST_SPOT), max(tall, _LEAST_SPOT)
            return Spot(
                name,
                (at[0] - wide / 2, at[1] - tall / 2, wide, tall),
                self.word(f"implement.{label}", **gaps),
                thing=thing,
                accepts=True,
            )

        spots = [Spot("ground", (20, _GROUND_Y + 8, 840, 44), self.word("implement.ground"), accepts=True)]
        for side in ("right", "left"):
            lies = state.chock_left if side == "left" else state.chock_right
            x, y = pair.chock_at(side)
            spots.append(
                around(
                    f"chock:{side}",
                    (x, y - 22 * pair.size / _LARGEST),
                    60,
                    52,
                    f"chock_{side}",
                    "laid_chock" if lies else "",
                )
            )
        jack, s = pair.on("jack"), pair.size / _LARGEST
        low = (jack[1] + _GROUND_Y) / 2
        if pair.drawn:
            spots.append(
                around("stands", (jack[0], low + 26), 50, max(60, _GROUND_Y - low), "jack_foot", "stand")
            )
            jack_spot = around("jack", (jack[0], jack[1] - 46 * s), 74 * s, 100 * s, "jack")
            jack_spot.dial, jack_spot.accepts = self._jack_dial(), False
            spots.append(jack_spot)
            x, y = pair.hold()
            spots.append(around("mast", (x - 52, y), 44, 44, "bore"))
            spots.append(around("eye_hole", pair.hold(), 60 * s, 50 * s, "eye_hole"))
        else:
            spots.append(around("stands", (jack[0], jack[1] + 40), 64, 176, "stands", "stand"))
            spots.append(around("mast", pair.on("top_pin"), 50, 50, "mast"))
            bushing = "bushing" if state.bushings else ""
            spots.append(around("pins", pair.hold(), 54, 54, "pins", bushing))
        spots.append(around("bar", pair.on("level"), 64, 60, "bar"))
        if not pair.drawn or any(function.kind == "lift" for function in self._functions):
            pin = "lock_pin" if state.lift_locked else ""
            spots.append(around("lift_lock", self._lock_at(), 66, 52, "lift_lock", pin))
        for index, function in enumerate(self._functions):
            if function.lockable:
                pin = "lock_pin" if state.locked[index] else ""
                at, part = self._part_at(index), function.title
                spots.append(around(f"lock:{function.name}", at, 54, 48, "part_lock", pin, part=part))
        for index, joint in enumerate(self.yard.case.implement.joints):
            at = self._joint_at(index)
            key = "joint_release" if state.joints_secured[index] else "joint_secure"
            label = self.word(f"implement.{key}", joint=joint.title)
            box = (at[0] - 26, at[1] - 30, 52.0, 56.0)
            spots.append(Spot(f"joint:{joint.name}", box, label, tap=self._joint_tap(index), accepts=True))
        spots += self._outlet_spots()
        spots += spanner_spots(self, _SPANNER)
        spots += self.tray_spots(self._tools, "implement")
        return spots

    def _outlet_spots(self) -> list[Spot]:
        """The outlets of the bus and the holder of its terminator, where that is moved by hand."""
        at_now, wide = self.yard.state.terminator_at, _LEAST_SPOT
        spots = []
        for index, unit in enumerate(self._units):
            x, y = self._outlet_at(index)
            ended = unit.name == at_now
            label = self.word(f"implement.{'outlet_ended' if ended else 'outlet'}", unit=unit.title)
            box = (x - wide / 2, y - wide / 2, wide, wide)
            thing = "terminator" if ended else ""
            spots.append(Spot(f"outlet:{unit.name}", box, label, thing=thing, accepts=True))
        if spots:
            x, y = self._outlet_at(-1)
            box, thing = (x - wide / 2, y - wide / 2, wide, wide), "terminator" if at_now == "off" else ""
            label = self.word("implement.terminator_holder")
            spots.append(Spot("outlet:off", box, label, thing=thing, accepts=True))
        return spots

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
            lambda amount: f"{amount / 1000:.0f} mm  ·  {amount / 25400:.1f} in",
            typed_thousandths,
        )

    def _joint_tap(self, index: int) -> Callable[[], None]:
        def act() -> None:
            secured = self.yard.state.joints_secured[index]
            self.do("release" if secured else "secure", self.yard.case.implement.joints[index].name)

        return act

    # --- hands --------------------------------------------------------------------------------------------

    def enter(self) -> None:
        self._reading = None
        self._looked_s = -100.0
        self.pair.effects.clear()
        super().enter()

    def dropped(self, held: Held, on: str) -> None:
        thing = held.thing
        if mend(self, held, on):
            return
        if thing == "chock" and on in ("chock:left", "chock:right"):
            self.do("chock", on.partition(":")[2])
        elif thing == "laid_chock" and on != held.origin:
            self.do("unchock", held.origin.partition(":")[2])
        elif thing == "stand":
            self._move_stand(held, on)
        elif thing == "bushing":
            self.fit(held, on, "bushings", "pins", "bushing")
        elif thing == "lock_pin":
            self._move_lock(held, on)
        elif thing == "terminator":
            if on.startswith("outlet:") and on != held.origin:
                self.do("terminator", on.partition(":")[2])
        elif thing == "eye" and on in ("stands", "chock:left", "chock:right"):
            self._looked_s = self.yard.now_s
            self.do("look", "supports")
        elif thing == "level" and on in ("bar", "ground"):
            pitch = "tongue_pitch" if self.pair.drawn else "bar_pitch"
            self._measure(pitch if on == "bar" else "slope")
        elif thing == "tape" and on == "eye_hole":
            self._measure("tongue_height")
        elif thing == "tape" and on in ("mast", "pins"):
            self._measure("mast_pins")
        elif thing == "tape" and on == "bar" and not self.pair.drawn:
            self._measure("bar_height")
        elif thing == "tape" and on in ("ground", "lift_lock"):
            self._measure("lift_height")

    def _move_lock(self, held: Held, on: str) -> None:
        """A lock pin goes into the lift's hole or a part's out of the tray, and out by carrying it away."""
        kind, _, part = (on if held.origin == "lock_pin" else held.origin).partition(":")
        fitted = held.origin == "lock_pin"
        if not fitted and on == held.origin:
            return
        if kind == "lift_lock":
            self.do("lift_lock", "set" if fitted else "release")
        elif kind == "lock":
            self.do("lock" if fitted else "unlock", part)

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

    def update(self, dt_s: float) -> None:
        super().update(dt_s)
        self.pair.update(dt_s)

    # --- drawing ------------------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        self.show_layer(surface, self.layer("ground", "implement", self._paint_ground, opaque=True))
        self.pair.draw_pools(surface)
        self._draw_chock(surface, "right")
        self.pair.draw_rear_wheel(surface)
        self.pair.draw_linkage(surface)
        self._draw_machine(surface)
        self._draw_outlets(surface)
        self._draw_chock(surface, "left")
        self.pair.effects.draw(surface)
        tray = self.layer("tray", "implement", lambda made: self.paint_tray(made, self._tools, "implement"))
        self.show_layer(surface, tray)
        draw_spanner(self, surface)
        self._draw_looked(surface)
        self.hover_box(surface)
        if self.held is not None and self.held.thing != "stand":
            for spot in self.spots():
                if (
                    spot.accepts
                    and spot.id not in ("ground", SPANNER)
                    and not any(spot.id == tool.name for tool in self._tools)
                ):
                    self.ring(surface, spot.centre, 24, SHEET, 2.0)
        self._draw_reading(surface)
        if self.held is not None and self.held.thing == "terminator":
            self._put_round(surface, "bus_terminator", self.held.at)
        if self.held is not None:
            for tool in self._tools:
                if tool.name == self.held.thing or (tool.name == "chock" and self.held.thing == "laid_chock"):
                    self.draw_tool(surface, tool, self.held.at, 1.3)
        self.draw_setting(surface)

    def _paint_ground(self, surface: pygame.Surface) -> None:
        self.backdrop(surface, "hitch_backdrop")
        self.pair.draw_shadows(surface)

    def _draw_machine(self, surface: pygame.Surface) -> None:
        state, pair = self.yard.state, self.pair
        held_up: float | None = None
        if self.held is not None and self.held.thing == "stand" and not self.held.by_click:
            spot = self.spot("stands")
            if spot is not None:
                held_up = (spot.centre[1] - self.held.at[1]) / pair.px_per_m
        pair.draw_implement(surface, held_up, self._shown_jack_um())
        if state.bushings and not pair.drawn:
            self.draw_ring(surface, pair.hold(), 10)
        for spot in self.spots():
            kind, _, name = spot.id.partition(":")
            if kind in ("lift_lock", "lock"):
                index = self.yard.case.function(name)
                self._draw_lock(surface, spot.centre, state.locked[index] if name else state.lift_locked)
            elif kind == "joint":
                index = self.yard.case.joint(name)
                pair.draw_joint(surface, self._joint_at(index), state.joints_secured[index])

    def _draw_outlets(self, surface: pygame.Surface) -> None:
        """A closer look at the bus: each outlet with what is in it (the next unit's plug, the terminator
        or nothing), the cables, and the terminator's holder. A plug behind the terminator hangs loose."""
        if not self._units:
            return
        kit, state, view = self.yard.kit, self.yard.state, self.view
        last = self.yard.case.unit(state.terminator_at)
        taken = self.held is not None and self.held.thing == "terminator"
        places = [self._outlet_at(index) for index in range(len(self._units))]
        reached = len(places) - 1 if last < 0 else last
        (left, y), right = places[0], places[-1][0]
        box = (left - _OUTLET_FRAME, y - 62, right - left + _OUTLET_FRAME + 46, 134.0)
        for index, at in enumerate(places):
            self._draw_lead(surface, (at[0], box[1] + box[3]), self._outlet_of(index))
        kit.box(surface, view.area(*box), PLUM[1], INK, radius=10, border=1.6)
        self._draw_cable(surface, (box[0] + 2, y + 34), places[0])
        for index in range(1, len(places)):
            start = places[index - 1]
            if index > reached:
                start = start[0] + 46, start[1] + 46
                self.put(surface, "plug_bus", start, self.anchor("plug_bus", "centre"), 0.42)
            self._draw_cable(surface, start, places[index])
        for index, (unit, at) in enumerate(zip(self._units, places, strict=True)):
            ended = index == last and not taken
            shown = "bus_terminator" if ended else "plug_bus_back" if index < reached else "socket_bus"
            self._put_round(surface, shown, at)
            self.plate(surface, unit.title, (at[0], at[1] - 42), 12, SHEET)
        at = self._outlet_at(-1)
        for radius, tone in ((20, INK), (18, STEEL[2]), (14, GRAPHITE[1])):
            pygame.draw.aacircle(surface, tone, view.at(*at), self.px(radius))
        self.plate(surface, self.word("implement.holder"), (at[0], at[1] - 42), 12, SHEET)
        if state.terminator_at == "off" and not taken:
            self._put_round(surface, "bus_terminator", at)

    def _put_round(self, surface: pygame.Surface, name: str, at: Place) -> None:
        self.put(surface, name, at, self.anchor(name, "centre"), _OUTLET_SIZE)

    def _draw_cable(self, surface: pygame.Surface, start: Place, end: Place) -> None:
        """A cable that hangs between two places of the closer look."""
        dots = []
        for step in range(17):
            t = step / 16
            sag = _CABLE_SAG * 4 * t * (1 - t)
            x, y = start[0] + (end[0] - start[0]) * t, start[1] + (end[1] - start[1]) * t + sag
            dots.append(self.view.at(x, y))
        for thick, tone in ((8, INK), (5, GRAPHITE[4])):
            pygame.draw.lines(surface, tone, False, dots, max(1, self.px(thick)))

    def _draw_lead(self, surface: pygame.Surface, start: Place, end: Place) -> None:
        """A thin line from the closer look to where an outlet sits."""
        first, last = self.view.at(*start), self.view.at(*end)
        for thick, tone in ((4, INK), (2, SHEET)):
            pygame.draw.line(surface, tone, first, last, max(1, self.px(thick)))
        pygame.draw.aacircle(surface, INK, last, self.px(5))
        pygame.draw.aacircle(surface, SHEET, last, self.px(3))

    def _shown_jack_um(self) -> int:
        """What the crank stands at: the state's, or what a hand is setting."""
        setting = self.setting
        return (
            setting.amount if setting is not None and setting.spot.id == "jack" else self.yard.state.jack_um
        )

    def _draw_lock(self, surface: pygame.Surface, at: Place, fitted: bool) -> None:
        if fitted:
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
                self.pair.chock_at(side),
                self.anchor("chock", "ground"),
                max(0.8, self.pair.size) * (0.86 if side == "right" else 1.0),
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
        found = self.last_measured(thing)
        if found is None:
            return
        raw, yard = found.values[0][1], self.yard
        if thing == "slope":
            text = f"{raw / 10:.1f} %"
            at: Place = (430.0, _GROUND_Y + 12)
            self.put(surface, "tool_level", (430, _GROUND_Y + 34), (124, 42), 0.8)
        elif thing in ("bar_pitch", "tongue_pitch"):
            text, at = yard.amount("angle", raw / 1e6, 2), self.pair.on("level")
            self.put(surface, "tool_level", (at[0], at[1] - 4), (124, 42), 0.55, self.pair.lean())
        elif thing == "lift_height":
            text, at = yard.amount("length", raw / 1e6), self.pair.on("level")
        else:
            text = yard.amount("length", raw / 1e6, 2 if thing == "mast_pins" and not yard.metric else 1)
            places = {"bar_height": "underside", "tongue_height": "eye"}
            at = self.pair.on(places.get(thing, "eye" if self.pair.drawn else "top_pin"))
            if thing in places:
                line = (self.view.at(at[0], at[1]), self.view.at(at[0], _GROUND_Y))
                for thick, ink in ((7, INK), (4, SAND[5])):
                    pygame.draw.line(surface, ink, *line, self.px(thick))
        self.plate(surface, text, (at[0] + 64, at[1] - 44), 16, SHEET)
