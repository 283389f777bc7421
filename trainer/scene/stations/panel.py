"""The rear panel: ports, plugs, the drive stub, and the hose ends that hang from the implement's side.

Ends are dragged by hand onto ports and off them again. The view keeps only how things hang; what is on,
clean, capped, stored or laid through the guides is read from the state.
"""

from __future__ import annotations

import math

import pygame

from trainer.core.actions import Event
from trainer.core.units import PA_PER_BAR
from trainer.scene.effects import Effects
from trainer.scene.palette import (
    ACCENT_LIGHT,
    GRAPHITE,
    ICE,
    INK,
    ORANGE,
    SAND,
    SHEET,
    STEEL,
    mix,
)
from trainer.scene.ropes import Ropes, curve, draw_tube
from trainer.scene.shapes import meter
from trainer.scene.station import Yard
from trainer.scene.stations.finding import draw_spanner, mend, spanner_spots
from trainer.scene.stations.hands import Box, Handwork, Held, Place, Spot, Tool
from trainer.scene.stations.lines import Bends, flatness
from trainer.scene.stations.photo import FRAME, PhotoLayout
from trainer.scene.stations.pins import Pins
from trainer.scene.stations.rear import SECTION_WIDE, TO_TANK, End, Rear
from trainer.scene.stations.tees import Tees

RAIL_Y = 590.0
_ROOT_Y = 720.0
_MANIFOLDS: dict[str, Place] = {"manifold_left": (222.0, 392.0), "manifold_right": (740.0, 386.0)}
_END_SIZE = 0.74
_HELD_SIZE = 0.86
_LOOSE_LEAN = 58.0
"""How far over an end lies that was let go, in degrees."""
_DRIP_S, _DRIP_DIRTY_S, _DRIP_PUSHED_S = 4.0, 1.9, 0.5
"""Seconds between two drops: of an open end, of one with dirt in its seals, of one pushed against oil."""
_SMOOTH = 3
"""Pieces drawn between two masses of a rope."""
_WALL_M = 0.0055
"""Of a two-wire hose (from memory)."""
_RUB_S = 0.2
_PULL_OFF = 58.0
"""How far an end is drawn from its port before it comes off."""
_TOOLS = (
    Tool("rag", "rag", 0.72),
    Tool("caps", "cap", 0.7),
    Tool("gauge", "tool_gauge", 0.34),
    Tool("flow_meter", "tool_flow_meter", 0.42),
    Tool("thermometer", "tool_thermometer", 0.4),
    Tool("meter", "tool_multimeter", 0.36),
)
_SHOWN_S = 6.0
_FULL_SCALE_PA = {"pressure": 250.0 * PA_PER_BAR, "case_pressure": 10.0 * PA_PER_BAR}


class Panel(Handwork):
    """Between the machines, facing the tractor's rear."""

    name = "panel"

    def __init__(self, yard: Yard) -> None:
        super().__init__(yard)
        self._rear = Rear(yard)
        self._places, self._ends = self._rear.places, self._rear.ends
        self._ropes = Ropes()
        self._trying: dict[str, tuple[str, float]] = {}
        self._effects = Effects(self)
        self._bends = Bends(yard)
        self._home_flash: tuple[Place, float] | None = None
        self._recoil: tuple[str, Place, float] | None = None
        self._reading: tuple[Place, str, float, float] | None = None
        self._seen_events = 0
        self._told_photo = False
        self._settled: dict[str, Place] = {}
        """Where the hose ends lay when their ropes last came to rest there."""
        self._knob = "supply_volts"
        self._pins = Pins(self)
        self._tees = Tees(self, self._rear)
        self._rubbed: tuple[str, float] = ("", 0.0)
        self._lean = 0.0
        self._last_hand: Place = (0.0, 0.0)
        for name, first, last, radius in self._frame():
            self._ropes.bar(name, first, last, radius)
        for end in self._ends.values():
            if not end.shaft:
                self._ropes.add(end.name, (end.slot[0], _ROOT_Y), self._rear.rest(end), end.width / 2)

    def _frame(self) -> list[tuple[str, Place, Place, float]]:
        """What stands out of the panel, so that hoses lie against it: the shield of the drive stub, the box
        of the buttons on the fender."""
        left, top = self._rear.fender
        frame = [("fender", (left + 40, top + 20), (left + 40, top + 96), 40.0)]
        stub = self._places.get("pto_stub")
        if stub is not None:
            frame.append(("shield", stub, stub, 40.0 * self._rear.size))
        return frame

    # --- spots --------------------------------------------------------------------------------------------

    def spots(self) -> list[Spot]:
        if self._pins.shown:
            return self._pins.spots()
        case = self.yard.case
        taken = self._rear.taken_ports()
        result: list[Spot] = []
        for port in case.tractor.ports:
            x, y = self._places[port.name]
            radius = (46.0 if port.kind == "pto" else 36.0) * self._rear.size
            if port.kind in ("extend", "retract") and self._rear.photo is None:
                radius = min(radius, 0.44 * SECTION_WIDE * self._rear.section)
            result.append(
                Spot(
                    f"port:{port.name}",
                    (x - radius, y - radius, 2 * radius, 2 * radius),
                    self.word("panel.port", tag=port.tag),
                    accepts=True,
                )
            )
        for socket in case.tractor.sockets:
            x, y = self._places[socket.name]
            result.append(
                Spot(
                    f"socket:{socket.name}",
                    (x - 36 * self._rear.size, y - 36 * self._rear.size, *(72 * self._rear.size,) * 2),
                    self.word("panel.socket", tag=socket.tag),
                    accepts=True,
                )
            )
        for end in self._ends.values():
            x, y = end.slot
            wide = 30.0 if not end.shaft else 38.0
            result.append(
                Spot(
                    f"holder:{end.name}",
                    (x - wide, y - 50, 2 * wide, 84),
                    self.word("panel.holder", tag=end.tag),
                    accepts=True,
                )
            )
        for name, (x, y) in self._rear.guides.items():
            result.append(
                Spot(name, (x - 30, y - 26, 60, 58), self.word("panel.guide"), thing="strap", accepts=True)
            )
        for end in self._ends.values():
            held = self.held is not None and self.held.thing == end.name
            if held:
                continue
            kind = "plug" if end.plug else "end"
            result.append(
                Spot(
                    f"{kind}:{end.name}",
                    self._end_box(end),
                    self.word("panel.end", tag=end.tag, what=self._what(end)),
                    thing=end.name,
                    accepts=True,
                )
            )
        if self._has_shaft():
            deed = "remove" if self.yard.state.shaft_guard else "fit"
            told = self.word(f"panel.guard_{deed}")
            guard = Spot("shaft_guard", self._guard_box(), told, tap=lambda: self.do("shaft_guard", deed))
            result.append(guard)
        if self.held is None:
            # A port in use lies under its end: the end is what a hand can take there.
            hidden = {f"{kind}:{name}" for kind in ("port", "socket") for name in taken}
            result = [spot for spot in result if spot.id not in hidden]
        result += self._tees.spots()
        result += self.tray_spots(_TOOLS, "panel")
        x, y = self.tray_at[0], self.tray_at[1] + 5 * self.tray_step[1]
        result.append(
            Spot("meter:knob", (x + 12, y - 22, 28, 28), self.word("panel.meter_knob"), tap=self.turn_knob)
        )
        result.append(
            Spot("meter:pins", (x - 42, y + 36, 84, 30), self.word("panel.pins_open"), tap=self._pins.open)
        )
        result += spanner_spots(self, self._rear.spanner)
        result += self.lift_spots(*self._rear.fender)
        result.append(
            Spot(
                "engine:start",
                (self._rear.fender[0] + 60, self._rear.fender[1] + 48, 40, 40),
                self.word("panel.starter"),
                tap=lambda: self.do("engine", "start"),
            )
        )
        return result

    def _what(self, end: End) -> str:
        case = self.yard.case
        if end.plug:
            return self.word(f"panel.plug_{case.implement.plugs[case.plug(end.name)].role}")
        hose = case.implement.hoses[case.hose(end.name)]
        function = case.implement.functions[hose.function]
        return self.word(f"panel.role_{hose.role}", function=function.title)

    @property
    def on_ohms(self) -> bool:
        """Whether the meter's knob stands on ohms."""
        return self._knob == "bus_ohms"

    def turn_knob(self) -> None:
        self._knob = "bus_ohms" if self._knob == "supply_volts" else "supply_volts"

    def _end_box(self, end: End) -> tuple[float, float, float, float]:
        port = self._rear.on(end)
        if port:
            x, y = self._places[port]
            half = (34.0 if not end.shaft else 44.0) * self._rear.size
            return x - half, y - half, 2 * half, 2 * half
        x, y = end.slot
        if end.shaft:
            return x - 30, y - 66, 60, 96
        if self._rear.stored(end):
            return x - 24, y - 50, 48, 80
        return x - 28, y - 38, 64, 62

    # --- hands --------------------------------------------------------------------------------------------

    def enter(self) -> None:
        super().enter()
        self._pins.close()
        if self.yard.case.tractor.photo is not None and self._rear.photo is None and not self._told_photo:
            self._told_photo = True
            self.yard.say("stations.panel.no_photo")
        self._seen_events = len(self.yard.attempt.events)
        rests = self._rests()
        if rests != self._settled:  # else they hang as they were left
            for name, rest in rests.items():
                self._ropes.fix(name, rest)
                self._ropes.place(name, rest)
            for _ in range(50):
                self._ropes.step(1 / 30)
            self._settled = rests
        self._trying.clear()
        self._effects.clear()

    def leave(self) -> None:
        super().leave()
        if self._settled:
            self._settled = self._rests()

    def _rests(self) -> dict[str, Place]:
        """Where each hose's end belongs as things stand."""
        return {end.name: self._rear.rest(end) for end in self._ends.values() if not end.shaft}

    def _key(self, event: pygame.event.Event) -> bool:
        if self._pins.shown and self.yard.kit.keys.asks(event, "back"):
            self._pins.close()
            return True
        return super()._key(event)

    def taken(self, held: Held) -> None:
        self._last_hand = held.at
        self._trying.pop(held.thing, None)
        end = self._ends.get(held.thing)
        if end is not None and self._rear.on(end):
            # Until it is drawn far enough it is still home.
            held.home = True

    def carried(self, held: Held, over: str) -> None:
        end = self._ends.get(held.thing)
        if end is not None:
            if held.home and not held.by_click:
                port = self._rear.on(end)
                if port and math.dist(held.at, self._places[port]) > _PULL_OFF:
                    held.home = False
                    self._pull(end)
            return
        if held.thing == "rag" and over != self._rubbed[0]:
            self._rubbed = over, self.yard.now_s

    def _pull(self, end: End) -> None:
        self.do("unplug" if end.plug else "uncouple", end.name)

    def _wipe(self, over: str) -> None:
        kind, _, name = over.partition(":")
        end = self._ends.get(name)
        if kind == "port":
            can = name not in self._rear.taken_ports() and name != "pto_stub"
        else:
            loose = end is not None and not (end.plug or end.shaft or self._rear.on(end))
            can = loose and kind in ("end", "holder")
        if can:
            self.do("wipe", name)

    def dropped(self, held: Held, on: str) -> None:
        kind, _, name = on.partition(":")
        end = self._ends.get(held.thing)
        if end is not None:
            self._drop_end(held, end, kind, name)
        elif held.thing == "strap":
            self.do("route", "lines")
        elif held.thing == "rag":
            if on and on not in held.wiped:
                self._wipe(on)
            self._keep_in_hand(held, on)
        elif held.thing == "caps":
            if kind in ("port", "end", "holder") and name != "pto_stub":
                self.do("cap", name)
            self._keep_in_hand(held, on)
        elif mend(self, held, on):
            pass
        elif on and not self._tees.put_in(held.thing, kind, name):
            self._measure(held.thing, kind, name)

    def _keep_in_hand(self, held: Held, on: str) -> None:
        """Rag and caps stay in a hand that works click by click, until it clicks on nothing."""
        if held.by_click and on:
            self.held = Held(held.thing, held.origin, held.at, True)

    def _drop_end(self, held: Held, end: End, kind: str, name: str) -> None:
        port = self._rear.on(end)
        if port and held.home:
            if (
                name == port
                or (kind in ("end", "plug") and name == end.name)
                or (not held.by_click and math.dist(held.at, self._places[port]) <= _PULL_OFF)
            ):
                return
            self._pull(end)
        if kind in ("end", "plug") and name in self._ends:
            other = self._rear.on(self._ends[name])
            kind, name = ("socket" if self._ends[name].plug else "port", other) if other else ("holder", name)
        if kind == "holder":
            self.do("store", end.name)
        elif kind == "port" and not end.plug:
            self._trying[end.name] = (name, self.yard.now_s + 4.0)
            self.do("couple", end.name, name)
        elif kind == "socket" and end.plug:
            self._trying[end.name] = (name, self.yard.now_s + 4.0)
            self.do("plug", end.name, name)
        elif kind in ("port", "socket"):
            self.yard.say("stations.panel.other_kind", tag=end.tag)
            self._recoil = (end.name, self._places[name], self.yard.now_s)

    def _measure(self, tool: str, kind: str, name: str) -> None:
        case = self.yard.case
        drain = name == "case_drain" or (
            kind == "end" and case.hose(name) >= 0 and case.implement.hoses[case.hose(name)].role == "drain"
        )
        electric = kind in ("socket", "plug")
        thing = {
            "gauge": "case_pressure" if drain else "pressure",
            "flow_meter": "flow",
            "thermometer": "oil_temperature",
            "meter": self._knob,
        }[tool]
        if electric != (tool == "meter"):
            self.yard.say("stations.panel.other_kind", tag=self.word(f"panel.tool_{tool}"))
            return
        spot = self.spot(f"{kind}:{name}")
        at = spot.centre if spot is not None else (600.0, 300.0)
        self.needle_rests("reading")
        self._reading = (at, thing, self.yard.now_s + _SHOWN_S, -1.0)
        self.do("measure", thing)

    # --- time ---------------------------------------------------------------------------------------------

    def update(self, dt_s: float) -> None:
        super().update(dt_s)
        self._hear()
        now = self.yard.now_s
        for name, (_, until) in list(self._trying.items()):
            if self._rear.on(self._ends[name]) or now > until:
                del self._trying[name]
        held = self.held
        self._rub()
        for end in self._ends.values():
            if end.shaft:
                continue
            if held is not None and held.thing == end.name:
                self._ropes.hold(end.name, self._root_in_hand(held))
            elif end.name in self._trying:
                self._ropes.fix(end.name, self._rear.mouth(self._trying[end.name][0], 46.0))
            elif self._rear.on(end) or self._rear.stored(end):
                self._ropes.fix(end.name, self._rear.rest(end), 1.16 if self._rear.routed(end) else 1.1)
            else:
                self._ropes.lay(end.name, self._rear.rest(end), 4.0)
            self._ropes.thread(end.name, self._guide_of(end))
            self._ropes.kink(end.name, self._flat(end))
        self._bends.update()
        if held is not None:
            speed = (held.at[0] - self._last_hand[0]) / max(dt_s, 1e-3)
            self._last_hand = held.at
            wanted = 0.0 if self.yard.calm else max(-32.0, min(32.0, -speed * 0.03))
            self._lean += (wanted - self._lean) * min(1.0, dt_s * 9)
        self._ropes.soothe(self.yard.calm)
        self._ropes.step(dt_s)
        self._drip()
        self._effects.update(dt_s)

    def _drip(self) -> None:
        """Oil drips from ends that hang open, the faster with dirt between the seals, and from open ports
        that are dirty and under pressure."""
        case, state = self.yard.case, self.yard.state
        held = self.held.thing if self.held is not None else ""
        for end in self._ends.values():
            if end.plug or end.shaft or self._rear.on(end) or self._rear.capped(end) or held == end.name:
                continue
            dirty = not self._rear.clean(end)
            if end.name in self._trying:
                at = self._rear.mouth(self._trying[end.name][0], 12.0)
                self._effects.drip(end.name, at, _DRIP_PUSHED_S)
            elif dirty or not self._rear.stored(end):
                self._effects.drip(end.name, self._nose(end), _DRIP_DIRTY_S if dirty else _DRIP_S)
        taken = self._rear.taken_ports()
        for port, clean, pressure in zip(case.tractor.ports, state.port_clean, state.port_pa, strict=True):
            if port.kind != "pto" and not clean and pressure > 0 and port.name not in taken:
                x, y = self._places[port.name]
                self._effects.drip(port.name, (x, y + 22.0 * self._rear.size), _DRIP_DIRTY_S)

    def _nose(self, end: End) -> Place:
        """Where a drop leaves an end that is neither home nor in the hand."""
        if self._rear.stored(end):  # it hangs nose up: the drop runs down beside it
            return end.slot[0] + 10.0, end.slot[1] - 32.0
        x, y = self._ropes.points(end.name)[-1]
        angle = math.radians(-_LOOSE_LEAN * self._fallen(y))
        far = (111 - 8) * _END_SIZE
        return x - far * math.sin(angle), y - far * math.cos(angle) + 4.0

    def _fallen(self, y: float) -> float:
        """How far over an end that was let go leans where it is, 0 to 1."""
        return max(0.0, min(1.0, (y - 420.0) / 160.0))

    def _rub(self) -> None:
        """A rag that stays on a face for a moment wipes it; one that is only carried across does not."""
        held, (over, since) = self.held, self._rubbed
        if held is None or held.thing != "rag" or held.by_click or not over or over in held.wiped:
            return
        if self.yard.now_s - since >= _RUB_S:
            held.wiped.add(over)
            self._wipe(over)

    def _flat(self, end: End) -> float:
        """How flat a hose is at its tightest bend. One that is on: as the core judges it. One in the hand: by
        the bend a hand has given it, in hose widths, as no view this close has a scale of length."""
        if end.plug:
            return 0.0
        hose = self.yard.case.hose(end.name)
        if self._rear.on(end):
            return self._bends.of(hose)
        if self.held is None or self.held.thing != end.name:
            return 0.0
        told = self.yard.case.implement.hoses[hose]
        widths = told.least_bend_m / (told.line.bore_m + 2 * _WALL_M)
        return 0.5 * flatness(self._ropes.tightest(end.name)[1], widths * end.width)

    def _guide_of(self, end: End) -> Place | None:
        port = self._rear.on(end)
        if not port or not self._rear.routed(end):
            return None
        x = self._places[port][0]
        return self._rear.guides["guide" if x < 490 else "guide:right"]

    def _root_in_hand(self, held: Held) -> Place:
        angle = math.radians(self._lean)
        far = (111 - 57) * _HELD_SIZE
        return held.at[0] - far * math.sin(angle), held.at[1] + far * math.cos(angle)

    def _hear(self) -> None:
        """Look at what has happened since the last frame, for what is only to be seen."""
        events = self.yard.attempt.events
        if self._seen_events > len(events):
            self._seen_events = 0
        for event in events[self._seen_events :]:
            self._show(event)
        self._seen_events = len(events)

    def _show(self, event: Event) -> None:
        now = self.yard.now_s
        if event.kind in ("coupled", "plugged") and event.place in self._places:
            self._home_flash = (self._places[event.place], now)
        elif event.kind == "uncoupled" and event.place in self._places:
            at = self._rear.mouth(event.place, 10.0)
            pressure = event.value("pressure_pa", 0)
            if pressure > self.yard.case.limits.couple_pressure_pa:
                self._effects.jet(at, 90.0 - self._rear.leaves(event.place), pressure)
            self._effects.spill(at, 26 if pressure > 0 else 7)
        elif event.kind == "refused" and event.thing in ("couple", "plug"):
            for name, (port, _) in list(self._trying.items()):
                self._recoil = (name, self._places[port], now)
                del self._trying[name]
        elif event.kind in ("volts_read", "ohms_read", "ohms_open", "ohms_live"):
            self._pins.show(event)
        elif event.kind == "measured" and self._reading is not None and event.values:
            at, thing, _, _ = self._reading
            self._reading = (at, thing, now + _SHOWN_S, float(event.values[0][1]))

    # --- drawing ------------------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        state = self.yard.state
        in_hand = self._ends.get(self.held.thing) if self.held is not None else None
        key = (state.port_clean, state.hose_at, state.plug_at, in_hand is not None and in_hand.plug)
        self.show_layer(surface, self.layer("ports", key, self._paint_ports, opaque=True))
        self._draw_fender(surface)
        self._draw_guides(surface, back=True)
        held = self.held.thing if self.held is not None else ""
        for end in self._ends.values():
            if end.name != held:
                self._draw_line(surface, end)
        self._draw_guides(surface, back=False)
        self._draw_guard_chain(surface)
        for end in self._ends.values():
            if end.name != held:
                self._draw_end(surface, end)
        self._draw_home_tags(surface)
        self._draw_drop_places(surface)
        self._tees.draw(surface)
        self._draw_tags(surface)
        draw_spanner(self, surface)
        self.hover_box(surface)
        self._draw_effects(surface)
        self._draw_held(surface)
        if self._pins.shown:
            self._pins.draw(surface)
        self.draw_setting(surface)

    def _paint_ground(self, surface: pygame.Surface) -> None:
        self.backdrop(surface, "panel_backdrop")
        if self._rear.photo is not None:
            self._paint_photo(surface, self._rear.photo)
        else:
            self._paint_block(surface)
        self._paint_cups(surface)
        self.paint_tray(surface, _TOOLS, "panel")

    def _paint_block(self, surface: pygame.Surface) -> None:
        """As many valve sections as the tractor has, plates for its other ports, the cups of the holder."""
        anchor, section = self.anchor, self._rear.section
        for name, kinds in (("manifold_left", "pb_"), ("manifold_right", TO_TANK)):
            ports = [port.name for port in self.yard.case.tractor.ports if port.kind.startswith(kinds)]
            if ports:
                beside, wide = self._rear.plate_to_tank() if name == "manifold_right" else (0.0, 1.0)
                x, y = _MANIFOLDS[name]
                self.put(surface, name, (x + beside, y), anchor(name, "middle"), narrowed=(wide, 1.0))
            for port in ports:
                self.put(surface, "port_boss", self._places[port], anchor("port_boss", "centre"))
        y = float(self.yard.art.note("panel_ports", "v1_extend")[1])
        low = float(self.yard.art.note("panel_ports", "v1_retract")[1])
        for x in (self._rear.valve_x[:1] + self._rear.valve_x[-1:])[:2]:
            off = -58 * section if x == self._rear.valve_x[0] else 58 * section
            self.put(surface, "valve_end", (x + off, (y + low) / 2 + 3), anchor("valve_end", "middle"))
        for index, x in enumerate(self._rear.valve_x):
            # Narrow sections keep their height: both couplers stay where they are.
            self.put(
                surface, "valve_section", (x, y), anchor("valve_section", "extend"), narrowed=(section, 1.0)
            )
            for dot in range(index + 1):
                spot = x + (dot - index / 2) * min(6.4, 40 / (index + 1)), y + 124.5
                pygame.draw.aacircle(surface, ICE[4], self.view.at(*spot), self.px(2.2))

    def _paint_photo(self, surface: pygame.Surface, photo: PhotoLayout) -> None:
        """The picture on a dark board, with a ring round each place that takes something."""
        x, y, wide, tall = FRAME
        self.yard.kit.box(
            surface, self.view.area(x - 8, y - 8, wide + 16, tall + 16), GRAPHITE[1], INK, radius=8
        )
        box = self.view.area(*photo.box)
        picture = self.yard.art.photo_at(box.size)
        if picture is not None:
            surface.blit(picture, box)
        pygame.draw.rect(surface, INK, box, max(1, self.px(1.5)))
        for port in self.yard.case.tractor.ports:
            radius = (42.0 if port.kind == "pto" else 34.0) * photo.size
            self.ring(surface, self._places[port.name], radius, SAND[5], 1.6)
        for socket in self.yard.case.tractor.sockets:
            self.ring(surface, self._places[socket.name], 34.0 * photo.size, SAND[5], 1.6)

    def _paint_cups(self, surface: pygame.Surface) -> None:
        anchor = self.anchor
        for end in self._ends.values():
            cup = "rack_cup_shaft" if end.shaft else "rack_cup"
            self.put(surface, cup, end.slot, anchor(cup, "clip"))

    def _draw_home_tags(self, surface: pygame.Surface) -> None:
        """What is home in which port, in front of all ends."""
        held = self.held.thing if self.held is not None else ""
        for end in self._ends.values():
            port = self._rear.on(end)
            if not port or end.name == held:
                continue
            x, y = self._places[port]
            if end.shaft:
                at = (x, y + 56 * self._rear.size)
            elif end.plug:  # on its back: below it stands the socket's own
                at = (x, y + 4)
            else:
                at = self._rear.sleeve(port)
                self._draw_leader(surface, port, at)
            self.tag(surface, end.tag, end.sign, at, light=True)

    def _draw_leader(self, surface: pygame.Surface, port: str, at: Place) -> None:
        """A thin line from a port to its tag, where a photo leaves no room for it close by."""
        photo = self._rear.photo
        if photo is not None and math.dist(at, self._places[port]) > photo.leader_from:
            for thick, tone in ((3.4, INK), (1.6, SAND[5])):
                line = self.view.at(*self._places[port]), self.view.at(*at)
                pygame.draw.line(surface, tone, *line, max(1, self.px(thick)))

    def _draw_tags(self, surface: pygame.Surface) -> None:
        """What is what on the panel: in front of hoses, cables and rings, so that it can always be read."""
        tractor = self.yard.case.tractor
        for port in tractor.ports:
            above = {"extend": 42.0, "retract": 43.0, "pto": 61.0}.get(port.kind, 42.0)
            at = self._rear.tag_at(port.name, above)
            self._draw_leader(surface, port.name, at)
            self.tag(surface, port.tag, port.kind, at)
        for socket in tractor.sockets:
            role = "lighting" if "seven" in socket.form else "bus"
            self.tag(surface, socket.tag, role, self._rear.tag_at(socket.name, -45.0))

    def _draw_fender(self, surface: pygame.Surface) -> None:
        (left, top) = self._rear.fender
        self.draw_lift_buttons(surface, left, top, 108)
        x, y = self.view.at(left + 80, top + 68)
        pygame.draw.aacircle(surface, STEEL[2], (x, y), self.px(20))
        pygame.draw.aacircle(surface, INK, (x, y), self.px(17))
        pygame.draw.aacircle(
            surface, SAND[2] if self.pressing("engine:start") else SAND[4], (x, y), self.px(14)
        )
        self.text(surface, self.word("panel.start_short"), (left + 80, top + 100), 11, SAND[6], True)
        knob = self.tray_at[0] + 26, self.tray_at[1] + 5 * self.tray_step[1] - 8
        pygame.draw.aacircle(surface, INK, self.view.at(*knob), self.px(12))
        pygame.draw.aacircle(surface, SAND[4], self.view.at(*knob), self.px(10))
        self.text(surface, "Ω" if self.on_ohms else "V", knob, 13, INK, True)
        below = self.tray_at[1] + 5 * self.tray_step[1] + 51
        self.plate(surface, self.word("panel.pins_short"), (self.tray_at[0], below), 13)

    def _paint_ports(self, surface: pygame.Surface) -> None:
        surface.blit(self.layer("ground", "panel", self._paint_ground, opaque=True), (0, 0))
        case, state = self.yard.case, self.yard.state
        taken, photo = self._rear.taken_ports(), self._rear.photo
        for index, port in enumerate(case.tractor.ports):
            at = self._places[port.name]
            if port.kind == "pto":
                if photo is None:
                    self.put(surface, "pto_stub", at, (38, 38), 1.2)
                continue
            name = "port_return" if port.kind == "free_return" else f"port_{port.form}"
            size = min(1.0, self._rear.section * 1.1) if port.kind in ("extend", "retract") else 1.0
            if photo is None:
                self.put(surface, name, at, (38, 38), size)
            if port.name not in taken and not state.port_clean[index]:
                self.put(surface, "dirt", at, (38, 38), 0.92 * size * self._rear.size)
        if photo is not None:
            return  # it shows its sockets itself
        plug_in_hand = (
            self.held is not None and self.held.thing in self._ends and self._ends[self.held.thing].plug
        )
        for socket in case.tractor.sockets:
            role = "lighting" if "seven" in socket.form else "bus"
            shut = socket.name not in taken and not plug_in_hand
            self.put(
                surface,
                f"socket_{role}_closed" if shut else f"socket_{role}",
                self._places[socket.name],
                (38, 38),
            )

    def _draw_guides(self, surface: pygame.Surface, back: bool) -> None:
        state = self.yard.state
        lines = [at >= 0 for at in state.hose_at + state.plug_at]
        shut = any(lines) and all(routed for on, routed in zip(lines, state.routed, strict=True) if on)
        for name, (x, y) in self._rear.guides.items():
            gate_in_hand = self.held is not None and self.held.thing == "strap" and self.held.origin == name
            if back:
                arm = [self.view.at(x + dx, y + dy) for dx, dy in ((-26, 4), (-26, 20), (26, 20), (26, 4))]
                for thick, tone in ((9, INK), (6, STEEL[1]), (2, STEEL[4])):
                    pygame.draw.lines(surface, tone, False, arm, max(1, self.px(thick)))
                continue
            open_angle = -70.0 if not shut else 0.0
            if gate_in_hand:
                open_angle = -30.0
            angle = math.radians(open_angle)
            hinge = (x - 26, y + 4)
            tip = (hinge[0] + 54 * math.cos(angle), hinge[1] + 54 * math.sin(angle))
            for thick, tone in ((9, INK), (6, ICE[2]), (2, ICE[4])):
                pygame.draw.line(
                    surface, tone, self.view.at(*hinge), self.view.at(*tip), max(1, self.px(thick))
                )
            pygame.draw.aacircle(surface, STEEL[3], self.view.at(*hinge), self.px(5))

    def _draw_line(self, surface: pygame.Surface, end: End) -> None:
        """The hose, cable or shaft behind an end."""
        port = self._rear.on(end)
        if end.shaft:
            if port:
                x, y = self._places[port]
                self._draw_shaft(surface, (x, y + 30 * self._rear.size), (x + 34, _ROOT_Y))
            return
        if not port and self._rear.stored(end):
            return
        self._draw_rope(surface, end)

    def _has_shaft(self) -> bool:
        return "pto_stub" in self._places and any(end.shaft for end in self._ends.values())

    def _guard_box(self) -> Box:
        x, y = self._places["pto_stub"]
        return x + 44, y + 6, 50, 50

    def _draw_guard_chain(self, surface: pygame.Surface) -> None:
        """The chain that keeps the shaft's guard from turning: hooked while the guard is on."""
        if not self._has_shaft():
            return
        x, y, wide, tall = self._guard_box()
        on = self.yard.state.shaft_guard
        eye, end = (x + wide - 12, y + 12), ((x + 4, y + 34) if on else (x + wide - 12, y + tall - 2))
        pygame.draw.aacircle(surface, INK, self.view.at(*eye), self.px(7))
        pygame.draw.aacircle(surface, ICE[2] if on else STEEL[3], self.view.at(*eye), self.px(5.4))
        pygame.draw.aacircle(surface, GRAPHITE[1], self.view.at(*eye), self.px(2.4))
        for link in range(7):
            t = link / 6
            sag = 12 * 4 * t * (1 - t) if on else 0.0
            at = self.view.at(eye[0] + (end[0] - eye[0]) * t, eye[1] + 4 + (end[1] - eye[1] - 4) * t + sag)
            pygame.draw.aacircle(surface, INK, at, self.px(4))
            pygame.draw.aacircle(surface, STEEL[3], at, self.px(2.6))

    def _draw_shaft(self, surface: pygame.Surface, top: Place, low: Place) -> None:
        scale = self.view.scale
        points = [
            self.view.at(top[0] + (low[0] - top[0]) * t / 4, top[1] + (low[1] - top[1]) * t / 4)
            for t in range(5)
        ]
        if self.yard.state.shaft_guard:
            draw_tube(surface, points, 32 * scale, 44 * scale, GRAPHITE[3], GRAPHITE[0], GRAPHITE[5])
        else:
            draw_tube(surface, points, 18 * scale, 24 * scale, STEEL[2], GRAPHITE[0], STEEL[4])

    def _draw_end(self, surface: pygame.Surface, end: End) -> None:
        port = self._rear.on(end)
        trying = self._trying.get(end.name)
        if port:
            centre = (48, 48) if end.shaft else (38, 38)
            turned = 0.0 if end.shaft or end.plug else self._rear.leaves(port)
            self.put(surface, end.home, self._places[port], centre, self._rear.size, turned)
            return
        if trying is not None:
            self._draw_loose(surface, end, self._rear.mouth(trying[0], 8), 0.0, _HELD_SIZE, nose=True)
            return
        x, y = end.slot
        if end.shaft:
            self.put(surface, end.art, (x, y + 20), (42, 88), 0.7)
            self.tag(surface, end.tag, end.sign, (x, y + 24), light=True)
        elif end.plug:
            self.put(
                surface,
                end.art,
                (x, y - 14) if self._rear.stored(end) else (x + 8, y + 4),
                (38, 38),
                0.78,
                0.0 if self._rear.stored(end) else -40.0,
            )
            self.tag(surface, end.tag, end.sign, (x, y + 24), light=True)
        elif self._rear.stored(end):
            self._draw_loose(surface, end, (x, y), 0.0, _END_SIZE, nose=False)
            self.tag(surface, end.tag, end.sign, (x, y + 24), light=True)
        else:
            root = self._ropes.points(end.name)[-1]
            lean = -_LOOSE_LEAN * self._fallen(root[1])
            self._draw_body(surface, end, root, (30, 111), lean, _END_SIZE)
            self.tag(
                surface, end.tag, end.sign, (min(root[0] + 8, 960.0), min(root[1] + 16, 612.0)), light=True
            )

    def _draw_loose(
        self, surface: pygame.Surface, end: End, at: Place, lean: float, size: float, nose: bool
    ) -> None:
        if end.plug:
            self.put(surface, end.art, at, (38, 38), size)
        else:
            self._draw_body(surface, end, at, (30, 5) if nose else (30, 64), lean, size)

    def _draw_body(
        self, surface: pygame.Surface, end: End, at: Place, anchor: Place, lean: float, size: float
    ) -> None:
        """A hose end with its dirt or its cap; leaning anticlockwise by `lean` degrees."""
        lean = round(lean / 3) * 3.0
        self.put(surface, end.art, at, anchor, size, lean)
        angle = math.radians(lean)
        up = (anchor[1] - 16) * size
        x, y = at[0] - up * math.sin(angle), at[1] - up * math.cos(angle)
        if self._rear.capped(end):
            points = []
            for right, down in ((-15, 14), (-15, -9), (-10, -16), (10, -16), (15, -9), (15, 14)):
                dx, dy = right * size, down * size
                points.append(
                    self.view.at(
                        x + dx * math.cos(angle) + dy * math.sin(angle),
                        y - dx * math.sin(angle) + dy * math.cos(angle),
                    )
                )
            pygame.draw.polygon(surface, GRAPHITE[3], points)
            pygame.draw.aalines(surface, INK, True, points)
            pygame.draw.aaline(surface, ICE[2], points[0], points[-1], max(2, self.px(3)))
        elif not self._rear.clean(end):
            self.put(surface, "dirt", (x, y + 3), (38, 38), 0.52 * size)

    def _draw_drop_places(self, surface: pygame.Surface) -> None:
        """Where what is in the hand could be put: every free place alike, right or wrong."""
        if self.held is None:
            return
        end = self._ends.get(self.held.thing)
        taken = self._rear.taken_ports()
        if end is not None:
            tractor = self.yard.case.tractor
            names = (
                [socket.name for socket in tractor.sockets]
                if end.plug
                else [port.name for port in tractor.ports]
            )
            for name in names:
                if name not in taken:
                    radius = (37 if name != "pto_stub" else 42) * self._rear.size
                    self.ring(surface, self._places[name], radius, SHEET, 2.0)
            self.ring(surface, (end.slot[0], end.slot[1] - 4), 24, SHEET, 2.0)
            kind, _, name = self._over.partition(":")
            if kind in ("port", "socket") and name not in taken and self._fits_shape(end, name):
                self.ring(surface, self._places[name], 30 * self._rear.size, ACCENT_LIGHT, 3.5)
        elif self.held.thing == "rag":
            for port in self.yard.case.tractor.ports:
                if port.kind != "pto" and port.name not in taken:
                    self.ring(surface, self._places[port.name], 37 * self._rear.size, SHEET, 1.5)

    def _fits_shape(self, end: End, place: str) -> bool:
        """Whether the two faces would slide into each other: what a look at both tells, and no more."""
        case = self.yard.case
        if end.plug:
            socket = case.socket(place)
            return (
                socket >= 0
                and case.tractor.sockets[socket].form == case.implement.plugs[case.plug(end.name)].form
            )
        port = case.port(place)
        return port >= 0 and case.tractor.ports[port].form == case.implement.hoses[case.hose(end.name)].form

    def _draw_effects(self, surface: pygame.Surface) -> None:
        now = self.yard.now_s
        self._effects.draw(surface)
        if self._home_flash is not None and now - self._home_flash[1] < 0.5:
            share = (now - self._home_flash[1]) / 0.5
            self.ring(surface, self._home_flash[0], 34 + 16 * share, ACCENT_LIGHT, 4 * (1 - share) + 1)
        if self._recoil is not None and now - self._recoil[2] < 0.7:
            share = (now - self._recoil[2]) / 0.7
            x, y = self._recoil[1]
            self.ring(surface, (x, y), 36, ORANGE, 4 * (1 - share) + 1)
            far = 10 + 22 * share
            for turn in range(8):
                c, s = math.cos(turn * math.tau / 8), math.sin(turn * math.tau / 8)
                pygame.draw.aaline(
                    surface,
                    ORANGE,
                    self.view.at(x + c * (34 + far * 0.4), y + s * (34 + far * 0.4)),
                    self.view.at(x + c * (34 + far), y + s * (34 + far)),
                    self.px(3),
                )
        if self._reading is not None and now < self._reading[2]:
            self._draw_reading(surface)

    def _draw_reading(self, surface: pygame.Surface) -> None:
        assert self._reading is not None
        (x, y), thing, _, value = self._reading
        yard = self.yard
        x, y = min(max(x, 80.0), 860.0), y - 70 if y > 200 else y + 80
        if thing in _FULL_SCALE_PA:
            share = self.needle("reading", max(0.0, value) / _FULL_SCALE_PA[thing])
            meter(surface, self.view.at(x, y), self.px(34), share)
        if value >= 0:
            kind, factor = {
                "pressure": ("pressure", 1.0),
                "case_pressure": ("pressure", 1.0),
                "flow": ("flow", 1e-9),
                "oil_temperature": ("temperature", 1e-3),
                "supply_volts": ("voltage", 1e-3),
                "bus_ohms": ("", 1e-3),
            }[thing]
            text = yard.amount(kind, value * factor) if kind else f"{value * factor:.0f} Ω"
            self.plate(surface, text, (x, y + 46), 15, SHEET)

    def _draw_held(self, surface: pygame.Surface) -> None:
        if self.held is None:
            return
        held = self.held
        end = self._ends.get(held.thing)
        if end is None:
            for tool in _TOOLS:
                if tool.name == held.thing:
                    self.draw_tool(surface, tool, held.at, 1.35)
            return
        if end.shaft:
            self._draw_shaft(surface, (held.at[0], held.at[1] + 50), (held.at[0] * 0.4 + 340, _ROOT_Y + 40))
            self.put(surface, end.art, held.at, (42, 60), 0.85)
            self.tag(surface, end.tag, end.sign, (held.at[0] + 48, held.at[1]), light=True)
            return
        self._draw_rope(surface, end)
        if end.plug:
            self.put(surface, end.art, held.at, (38, 38), 0.92)
        else:
            self._draw_body(surface, end, held.at, (30, 57), -self._lean, _HELD_SIZE)
        self.tag(surface, end.tag, end.sign, (held.at[0] + 42, held.at[1] + 18), light=True)

    def _draw_rope(self, surface: pygame.Surface, end: End) -> None:
        scale = self.view.scale
        left, top = self.view.at(0, 0)
        run = self._ropes.points(end.name)
        fold, flat = self._ropes.kinked(end.name)
        first = next((i for i in range(len(run) - 3) if run[i + 1][1] < 660.0), len(run) - 3)
        points = [(left + x * scale, top + y * scale) for x, y in curve(run[first:], _SMOOTH)]
        thick, thin = end.width * (1.3 - 0.3 * first / len(run)) * scale, end.width * scale
        tone, kink = mix(end.tint, STEEL[3], 0.55), (_SMOOTH * (fold - first), flat)
        draw_tube(surface, points, thick, thin, end.tint, GRAPHITE[0], tone, kink)
