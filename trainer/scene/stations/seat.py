"""The seat: key, brake, throttle, five valve levers with their dials, hitch lever, drive shaft, terminal.

Levers, dials and knobs show what the state holds; while a hand is on one it shows the hand's wish.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import pygame

from trainer.core import linkage, wiring
from trainer.core.actions import TESTS, Action, amount_text
from trainer.core.case import SPEED_SOURCES, Function
from trainer.core.readings import page_up, pin_height_um, plug_home, supply_live, units_off, wired
from trainer.core.state import Working
from trainer.core.units import TICKS_PER_S, rev_min
from trainer.scene.looks import implement_look
from trainer.scene.palette import (
    ACCENT,
    GRAPHITE,
    GREEN,
    ICE,
    INK,
    ORANGE,
    PLUM,
    SAND,
    SHEET,
    STEEL,
    Colour,
    mix,
)
from trainer.scene.station import Yard
from trainer.scene.stations.finding import to_find
from trainer.scene.stations.hands import Box, Dial, Handwork, Place, Spot, typed_thousandths

LEVERS = ("extend", "block", "retract", "float")
"""Positions of a valve lever from the top of its slot to the bottom."""
_MEASURES = ("fan_speed", "flow", "case_pressure", "oil_temperature", "lift_height", "speed_source")
_GAUGE_ENGINE_TOP = 2500.0
_GAUGE_OIL_TOP_C = 120.0
_DRIVE: Box = (716.0, 517.0, 252.0, 100.0)
_ROWS = 6
_SLOT = 0.84
"""Size at which the lever slots are shown, and how far up of their anchors."""
_SLOT_UP = 8.0
_THROTTLE: Place = (238.0, 378.0)
_THROTTLE_SLOT = 0.72
_NEEDLE = 0.62
"""Size of a gauge's needle: it ends inside the ring of numbers."""
_ROW_BUTTON = 46.0


_EYE_UP_M, _EYE_BEHIND_AXLE_M, _BAR_BEHIND_PINS_M, _PIN_UP_M = 2.1, 0.4, 0.36, 0.55
"""The eye over the ground and from the axle, the planter's bar from its pins, its pins over its wheels."""
_TONGUE_SHARE = 0.45
"""How far along its tongue a drawn machine's front is taken to stand."""
_PX_AT_A_METRE = 200.0
"""Drawing units that a metre takes a metre away from the eye."""
_OUT_OF_SIGHT_M = 60.0


@dataclass(frozen=True, slots=True)
class _Behind:
    """What stands behind the tractor: how far off the planter's bar is in steps of 3 %, how far its wheels
    hang, the coupler's distance and height, and how far the markers are out (0 to 1)."""

    far_step: int
    up_m: float
    ball_m: float
    ball_up_m: float
    marker: float


@dataclass(frozen=True, slots=True)
class _Row:
    """A line of the terminal: what it says, its figure, and what its button does."""

    label: str
    figure: str
    spot: str
    button: str
    act: Callable[[], None]
    on: bool = False


class Seat(Handwork):
    """In the cab, turned half round to the console and the rear window."""

    name = "seat"

    def __init__(self, yard: Yard) -> None:
        super().__init__(yard)
        self._page = "functions"
        self._look = implement_look(yard.art, yard.case.implement)

    # --- places -------------------------------------------------------------------------------------------

    def _control(self, name: str) -> Place:
        x, y = self.yard.art.note("seat_controls", name)[:2]
        return float(x), float(y)

    def _of_valve(self, kind: str, index: int) -> Place:
        """The lever or dial of a valve; more than the usual five stand closer together."""
        (first, y), last = self._control(f"{kind}_1"), self._control(f"{kind}_5")[0]
        return first + (last - first) / 4 * self._valve_share() * index, y

    def _valve_share(self) -> float:
        """How much of the usual width each valve's controls have."""
        return min(1.0, 4 / max(1, len(self.yard.case.tractor.valves) - 1))

    def _screen(self) -> Box:
        left, top, wide, tall = (
            float(value) for value in self.yard.art.note("seat_controls", "terminal_screen")
        )
        return left, top, wide, tall

    def _notch(self, drawing: str, name: str) -> float:
        """How far below the middle of a slot a position lies."""
        anchors = self.yard.art.note("files", f"{drawing}.svg", "anchors")
        return (float(anchors[name][1]) - float(anchors["centre"][1])) * _SLOT - _SLOT_UP

    # --- spots --------------------------------------------------------------------------------------------

    def spots(self) -> list[Spot]:
        spots = [
            Spot(
                "look:area",
                (420, 96, 106, 150),
                self.word("seat.look_area"),
                tap=lambda: self.do("look", "area"),
                written=True,
            ),
            Spot(
                "look:lines",
                (532, 96, 106, 150),
                self.word("seat.look_lines"),
                tap=lambda: self.do("look", "lines"),
                written=True,
            ),
        ]
        if to_find(self):
            told = self.word("finding.report")
            box = (476, 128, 106, 28)
            spots.append(Spot("report", box, told, tap=self.yard.open_report, written=True))
        spots += self._driving_spots()
        spots += self._lever_spots()
        spots += self._start_spots()
        spots += self._terminal_spots()
        return spots

    def _start_spots(self) -> list[Spot]:
        tractor, state = self.yard.case.tractor, self.yard.state
        x, y = self._control("key")
        spots = [
            Spot(
                "key:out",
                (x - 50, y - 48, 34, 30),
                self.word("seat.key_out"),
                tap=lambda: self.do("key", "out"),
            ),
            Spot(
                "key:off",
                (x - 16, y - 54, 32, 24),
                self.word("seat.key_off"),
                tap=lambda: self.do("key", "off"),
            ),
            Spot(
                "key:on", (x + 16, y - 48, 36, 30), self.word("seat.key_on"), tap=lambda: self.do("key", "on")
            ),
            Spot("key", (x - 26, y - 26, 52, 58), self.word("seat.key"), tap=self._turn_key, lever=True),
            Spot(
                "engine:start",
                (94, 456, 84, 40),
                self.word("seat.engine_start"),
                tap=lambda: self.do("engine", "start"),
                written=True,
            ),
            Spot(
                "engine:stop",
                (184, 456, 84, 40),
                self.word("seat.engine_stop"),
                tap=lambda: self.do("engine", "stop"),
                written=True,
            ),
            Spot(
                "brake",
                (94, 510, 174, 92),
                self.word("seat.brake"),
                lever=True,
                tap=lambda: self.do("brake", "release" if self.yard.state.brake else "set"),
                written=True,
            ),
        ]
        x, y = _THROTTLE
        dial = Dial(
            round(tractor.idle_rev_min) * 1000,
            round(tractor.rated_rev_min) * 1000,
            10_000,
            state.throttle_mrev_min,
            (0.0, -1.0),
            (tractor.rated_rev_min - tractor.idle_rev_min) * 1000 / 84.0,
            lambda amount: Action("throttle", amount=amount),
            self._show_speed,
            typed_thousandths,
        )
        spots.append(Spot("throttle", (x - 32, y - 66, 64, 130), self.word("seat.throttle"), dial=dial))
        return spots

    def _lever_spots(self) -> list[Spot]:
        case, state = self.yard.case, self.yard.state
        share = self._valve_share()
        spots: list[Spot] = []
        for index, valve in enumerate(case.tractor.valves):
            x, y = self._of_valve("lever", index)
            now = LEVERS.index(state.levers[index])
            dial = Dial(
                0,
                len(LEVERS) - 1,
                1,
                now,
                (0.0, 1.0),
                1 / 33.0,
                self._lever_action(valve.name),
                lambda amount: self.word(f"seat.lever_{LEVERS[amount]}"),
            )
            spots += [
                Spot(
                    f"lever:{valve.name}:{place}",
                    (x - 36 * share, y + self._notch("lever_slot", place) - 17, 72 * share, 34),
                    self.word("seat.lever", valve=valve.name.upper(), place=self.word(f"seat.lever_{place}")),
                    tap=self._deed("lever", valve.name, place),
                    dial=dial,
                    clear=(x - 40 * share, y - 84, 80 * share, 166),
                )
                for place in LEVERS
            ]
            x, y = self._of_valve("dial", index)
            flow = Dial(
                0,
                valve.top * 1000,
                100,
                state.dials_milli[index],
                (0.7, -0.7),
                38.0,
                self._dial_action(valve.name),
                amount_text,
                typed_thousandths,
            )
            spots.append(
                Spot(
                    f"dial:{valve.name}",
                    (x - 38 * share, y - 44, 76 * share, 102),
                    self.word("seat.dial", valve=valve.name.upper()),
                    dial=flow,
                )
            )
        x, y = self._control("hitch_lever")
        low, high = round(case.tractor.hitch_low_m * 1e6), round(case.tractor.hitch_high_m * 1e6)
        spots.append(
            Spot(
                "hitch",
                (x - 40, y - 84, 80, 168),
                self.word("seat.hitch"),
                dial=Dial(
                    low,
                    high,
                    1000,
                    state.hitch_target_um,
                    (0.0, -1.0),
                    (high - low) / 104.0,
                    lambda amount: Action("hitch", amount=amount),
                    self._show_height,
                    typed_thousandths,
                ),
            )
        )
        x, y = self._control("pto")
        spots.append(
            Spot(
                "pto",
                (x - 42, y - 42, 84, 84),
                self.word("seat.pto"),
                lever=True,
                tap=lambda: self.do("pto", "off" if self.yard.state.pto else "on"),
            )
        )
        if len(self.yard.case.tractor.pto_speeds_rev_min) > 1:
            spots.append(
                Spot(
                    "pto_speed",
                    self._pto_speed_box(),
                    self.word("seat.pto_speed"),
                    dial=self._pto_speed_dial(),
                )
            )
        x, y = self._control("speed_source")
        spots.append(
            Spot("speed", (x - 34, y - 30, 68, 62), self.word("seat.speed_knob"), tap=self._turner("speed"))
        )
        return spots

    def _driving_spots(self) -> list[Spot]:
        left, top, wide, tall = _DRIVE
        deeds: list[tuple[str, str, Callable[[], None]]] = [
            ("drive:reverse", self.word("seat.reverse"), self._deed("reverse", "in")),
            ("drive:creep", self.word("seat.creep"), self._deed("creep", "ahead")),
            ("drive:off", self.word("seat.drive_off"), self._deed("drive", "off")),
        ]
        deeds += [
            (f"park:{site.name}", self.word("seat.park", site=site.title), self._deed("park_at", site.name))
            for site in self.yard.case.sites
            if site.name != self.yard.state.site
        ]
        rows = (len(deeds) + 1) // 2
        high = (tall - 6.0) / rows
        spots = []
        for index, (name, label, act) in enumerate(deeds):
            alone = index == len(deeds) - 1 and index % 2 == 0
            x, y = left + 4 + (index % 2) * wide / 2, top + 4 + (index // 2) * high
            box = (x, y, wide - 8 if alone else wide / 2 - 8, high - 6)
            spots.append(Spot(name, box, label, tap=act, written=True))
        return spots

    def _terminal_spots(self) -> list[Spot]:
        left, top, wide, tall = self._screen()
        bezel_top = top + tall + 6
        spots = [
            Spot(
                f"page:{page}",
                (left + 2 + 92 * index, bezel_top, 88, 24),
                self.word(f"seat.page_{page}"),
                tap=self._turner(page),
                written=True,
            )
            for index, page in enumerate(("functions", "speed", "figures"))
        ]
        high = self._row_height()
        for index, row in enumerate(self._rows()):
            spots.append(
                Spot(
                    row.spot,
                    (left + wide - _ROW_BUTTON - 3, top + 24 + index * high, _ROW_BUTTON, high - 2),
                    f"{row.label}: {row.button}",
                    tap=row.act,
                    written=True,
                )
            )
        return spots

    def _row_height(self) -> float:
        _, _, _, tall = self._screen()
        return (tall - 26.0) / max(_ROWS, len(self._rows()))

    # --- deeds --------------------------------------------------------------------------------------------

    def _deed(self, word: str, thing: str, place: str = "") -> Callable[[], None]:
        return lambda: self.do(word, thing, place)

    def _turner(self, page: str) -> Callable[[], None]:
        def act() -> None:
            self._page = page

        return act

    def _turn_key(self) -> None:
        self.do("key", {"out": "off", "off": "on", "on": "off"}[self.yard.state.key])

    def _lever_action(self, valve: str) -> Callable[[int], Action]:
        return lambda amount: Action("lever", valve, LEVERS[amount])

    def _dial_action(self, valve: str) -> Callable[[int], Action]:
        return lambda amount: Action("dial", valve, amount=amount)

    def _show_speed(self, amount: int) -> str:
        return self.yard.amount("speed_of_turn", amount / 1000)

    def _show_height(self, amount: int) -> str:
        return f"{amount / 25400:.1f} in  ·  {amount / 1000:.0f} mm"

    def _wish(self, prefix: str, amount: int) -> int:
        """The value a control shows: the hand's wish while one is on it."""
        setting = self.setting
        if setting is not None and (setting.spot.id == prefix or setting.spot.id.startswith(f"{prefix}:")):
            return setting.amount
        return amount

    # --- the terminal -------------------------------------------------------------------------------------

    def _rows(self) -> list[_Row]:
        case, state = self.yard.case, self.yard.state
        up = page_up(case, state)
        if self._page == "speed":
            return [
                _Row(
                    self.word(f"seat.source_{source}"),
                    "",
                    f"source:{source}",
                    self.word("seat.chosen" if source == state.speed_source else "seat.choose"),
                    self._deed("speed_source", source),
                    source == state.speed_source,
                )
                for source in case.tractor.speed_sources
            ][:_ROWS]
        if self._page == "figures":
            return [
                _Row(
                    self.word(f"seat.figure_{thing}"),
                    self._last_figure(thing),
                    f"read:{thing}",
                    self.word("seat.read"),
                    self._deed("measure", thing),
                )
                for thing in (*_MEASURES, *self._in_lines())
            ]
        rows = [
            _Row(
                function.title,
                self._live(function, work) if up else "–",
                f"test:{function.name}",
                self.word("seat.note"),
                self._deed("test", function.name),
                function.name in state.proved,
            )
            for function, work in zip(case.implement.functions, state.works, strict=True)
        ]
        rows += [
            _Row(
                self.word(f"seat.line_{line}"),
                "",
                f"test:{line}",
                self.word("seat.note"),
                self._deed("test", line),
                line in state.proved,
            )
            for line in TESTS
        ]
        return rows[:_ROWS]

    def _in_lines(self) -> list[str]:
        """Gauge and flow meter, where they are in a line: their dials reach the seat."""
        state = self.yard.state
        return [tool for tool, at in (("gauge", state.gauge_at), ("flow_meter", state.meter_at)) if at]

    def _live(self, function: Function, work: Working) -> str:
        if function.is_motor:
            return self.yard.amount("speed_of_turn", float(rev_min(work.speed_mrad_s)))
        share = work.stroke_um / (function.stroke_m * 1e6) if function.stroke_m else 0.0
        told = f"{100 * share:.0f} %"
        return f"{told}  {work.stroke_ms / 1000:.1f} s" if work.stroke_ms else told

    def _last_figure(self, thing: str) -> str:
        found = self.last_measured(thing)
        if found is None or not found.values:
            return "–"
        value = found.values[0][1]
        if thing == "speed_source":
            return self.word(f"seat.source_{SPEED_SOURCES[value]}")
        kind, factor = {
            "gauge": ("pressure", 1.0),
            "flow_meter": ("flow", 1e-9),
            "lift_height": ("length", 1e-6),
            "fan_speed": ("speed_of_turn", 1.0),
            "flow": ("flow", 1e-9),
            "case_pressure": ("pressure", 1.0),
            "oil_temperature": ("temperature", 1e-3),
        }[thing]
        return self.yard.amount(kind, value * factor)

    def _status(self) -> tuple[str, Colour]:
        case, state = self.yard.case, self.yard.state
        if state.key != "on":
            return self.word("seat.screen_off"), STEEL[3]
        if page_up(case, state):
            units, off = case.implement.units, units_off(case, state)
            if 0 < off < len(units):
                return self.word("seat.screen_unit_off", unit=units[-off].title), SAND[4]
            if not wiring.bus_talks(wired(case, state), True):
                return self.word("seat.screen_errors"), SAND[4]
            return self.word("seat.screen_up"), ICE[4]
        if not plug_home(case, state, "bus"):
            return self.word("seat.screen_alone"), SAND[4]
        if state.page_tick > state.tick:
            left = math.ceil((state.page_tick - state.tick) / TICKS_PER_S)
            return self.word("seat.screen_boots", seconds=left), SAND[4]
        return self.word("seat.screen_alone"), SAND[4]

    # --- drawing ------------------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        behind = self._behind()
        paint = partial(self._paint_ground, behind)
        self.show_layer(surface, self.layer("ground", behind, paint, opaque=True))
        self._draw_gauges(surface)
        self._draw_start(surface)
        self._draw_levers(surface)
        self._draw_right(surface)
        self._draw_driving(surface)
        self._draw_terminal(surface)
        self._draw_looks(surface)
        self.hover_box(surface)
        self.draw_setting(surface)

    def _behind(self) -> _Behind:
        """What the rear window shows, in steps too small to be seen one by one."""
        case, state = self.yard.case, self.yard.state
        arm = case.tractor.linkage
        height = self.eased("behind_hitch", state.hitch_um / 1e6)
        ball = linkage.ball_m(arm, linkage.angle_for_ball_height_rad(arm, height))
        parked = linkage.ball_m(arm, linkage.angle_for_ball_height_rad(arm, case.implement.parked_ball_m))
        gap = self.eased("behind_gap", state.gap_um / 1e6, 6.0)
        if case.implement.drawn:
            # The machine's front stands well behind the eye of its tongue.
            hold = case.tractor.stub_behind_m + state.drawbar_reach_um / 1e6
            at = (
                hold
                + gap
                + _TONGUE_SHARE * (case.implement.tongue.length_m if case.implement.tongue else 0.0)
            )
        else:
            at = ball[0] if state.engaged else parked[0] + gap
        pin = self.eased("behind_pin", pin_height_um(case, state) / 1e6)
        out = [
            work.stroke_um / (function.stroke_m * 1e6)
            for function, work in zip(case.implement.functions, state.works, strict=True)
            if function.kind == "marker" and function.stroke_m
        ]
        marker = self.eased("behind_marker", out[0] if out else 0.0)
        return _Behind(
            round(math.log(_EYE_BEHIND_AXLE_M + at + _BAR_BEHIND_PINS_M) / 0.03),
            0.0 if case.implement.drawn else round(max(0.0, pin - _PIN_UP_M), 2),
            round(_EYE_BEHIND_AXLE_M + ball[0], 2),
            round(ball[1], 2),
            round(marker, 1),
        )

    def _paint_behind(self, surface: pygame.Surface, behind: _Behind) -> None:
        """The planter and the coupler as far off and as high as they are."""
        x, horizon = (float(value) for value in self.yard.art.note("seat_controls", "rear_view"))
        far = math.exp(behind.far_step * 0.03)
        if far < _OUT_OF_SIGHT_M:
            size = _PX_AT_A_METRE / far
            ground = horizon + _EYE_UP_M * size
            low = ground - behind.up_m * size
            front = self._look.front
            shown = size / 100 * self._look.size
            wide = self.yard.art.size(front)[0]
            self.put(surface, "shadow_planter", (x, ground), (120, 11), wide * shown / 240)
            if "marker" in self.yard.art.note("files", f"{front}.svg", "anchors"):
                self._paint_markers(surface, front, (x, low), shown, behind.marker)
            self.put(surface, front, (x, low), self.anchor(front, "ground"), shown)
        if self.yard.case.implement.drawn:
            return
        size = _PX_AT_A_METRE / behind.ball_m
        y = horizon + (_EYE_UP_M - behind.ball_up_m) * size
        self.put(surface, "seat_coupler", (x, y), self.anchor("seat_coupler", "ball_line"), size / 100)

    def _paint_markers(
        self, surface: pygame.Surface, front: str, low: Place, shown: float, out: float
    ) -> None:
        """The marker arms on both ends of the bar, upright or laid out."""
        wheels, arm, size = self.anchor(front, "ground"), self.anchor(front, "marker"), shown * 100
        for side in (-1, 1):
            root = low[0] + side * (arm[0] - wheels[0]) * shown, low[1] + (arm[1] - wheels[1]) * shown
            angle = math.radians(90 * (1 - out))
            tip = root[0] + side * 1.5 * size * math.cos(angle), root[1] - 1.5 * size * math.sin(angle)
            first, last = self.view.at(*root), self.view.at(*tip)
            for wide, tone in ((0.11, INK), (0.07, PLUM[3])):
                pygame.draw.aaline(surface, tone, first, last, max(1, self.px(wide * size)))
            pygame.draw.aacircle(surface, INK, last, max(1, self.px(0.2 * size)))
            pygame.draw.aacircle(surface, STEEL[3], last, max(1, self.px(0.17 * size)))

    def _paint_ground(self, behind: _Behind, surface: pygame.Surface) -> None:
        self.backdrop(surface, "seat_backdrop")
        self._paint_behind(surface, behind)
        surface.blit(self.yard.art.picture("seat_cab", self.view.scale), self.view.at(0, 0))
        left, top, _, _ = (float(value) for value in self.yard.art.note("seat_controls", "terminal_bezel"))
        self.put(surface, "terminal_bezel", (left, top), (0, 0))
        for name in ("gauge_engine_speed", "gauge_oil_temperature"):
            self.put(surface, "gauge_face", self._control(name), (74, 74), 0.98)
        self.put(surface, "throttle_slot", _THROTTLE, (28, 84), _THROTTLE_SLOT)
        share = self._valve_share()
        for index, valve in enumerate(self.yard.case.tractor.valves):
            x, y = self._of_valve("lever", index)
            self.put(surface, "lever_slot", (x, y - _SLOT_UP), (28, 84), _SLOT)
            self.put(surface, "dial_plate", self._of_valve("dial", index), (42, 42), 0.88 * share)
            self._paint_dial_numbers(surface, self._of_valve("dial", index), valve.top)
        for place in LEVERS:
            y = self._control("lever_1")[1] + self._notch("lever_slot", place)
            self.sign_at(surface, place, (303, y), 17, SHEET)
        x, y = self._control("hitch_lever")
        self.put(surface, "throttle_slot", (x, y - _SLOT_UP), (28, 84), _SLOT)
        self.put(surface, "key_barrel", self._control("key"), (36, 36), 0.9)
        kit, (left, top, wide, tall) = self.yard.kit, _DRIVE
        kit.box(
            surface,
            self.view.area(left - 4, top - 4, wide + 8, tall + 8),
            GRAPHITE[1],
            INK,
            radius=10,
            border=1.6,
        )
        self._paint_scale(
            surface, "gauge_engine_speed", (0, 5, 10, 15, 20, 25), self.word("seat.gauge_engine")
        )
        marks = (0, 20, 40, 60, 80, 100, 120) if self.yard.metric else (30, 80, 120, 160, 200, 250)
        self._paint_scale(surface, "gauge_oil_temperature", marks, self.word("seat.gauge_oil"))

    def _paint_dial_numbers(self, surface: pygame.Surface, centre: Place, top: int) -> None:
        share = self._valve_share()
        for step in (0, top // 2, top):
            angle = math.radians(225 - 270 * step / top)
            self.text(
                surface,
                str(step),
                (centre[0] + 43 * share * math.cos(angle), centre[1] - 41 * share * math.sin(angle)),
                10.5,
                STEEL[4],
                True,
            )

    def _paint_scale(self, surface: pygame.Surface, name: str, marks: tuple[int, ...], label: str) -> None:
        x, y = self._control(name)
        for mark in marks:
            angle = math.radians(225 - 270 * self._share(name, mark))
            self.text(
                surface, str(mark), (x + 43 * math.cos(angle), y - 43 * math.sin(angle)), 11, SAND[6], True
            )
        # In the part of the face that the needle never reaches.
        self.text(surface, label, (x, y + 17), 10.5, STEEL[4])

    def _share(self, name: str, mark: float) -> float:
        if name == "gauge_engine_speed":
            return mark * 100 / _GAUGE_ENGINE_TOP
        celsius = mark if self.yard.metric else (mark - 32) / 1.8
        return min(1.0, max(0.0, celsius / _GAUGE_OIL_TOP_C))

    def sign_at(self, surface: pygame.Surface, kind: str, at: Place, size: float, ink: Colour) -> None:
        self.sign(surface, kind, self.view.at(*at), self.px(size), ink)

    def _draw_gauges(self, surface: pygame.Surface) -> None:
        state = self.yard.state
        speed, oil = state.engine_mrev_min / 1000, state.oil_mc / 1000
        for name, share, text in (
            ("gauge_engine_speed", speed / _GAUGE_ENGINE_TOP, self.yard.amount("speed_of_turn", speed)),
            ("gauge_oil_temperature", oil / _GAUGE_OIL_TOP_C, self.yard.amount("temperature", oil)),
        ):
            x, y = self._control(name)
            share = self.needle(name, min(1.0, max(0.0, share)))
            turned = round((135 - 270 * min(1.02, max(-0.02, share))) / 1.5) * 1.5
            self.put(surface, "gauge_needle", (x, y), (12, 58), _NEEDLE, turned)
            figure, _, unit = text.partition(" ")
            self.text(surface, figure, (x, y + 33), 12, SHEET, True)
            self.text(surface, unit, (x, y + 48), 10.5, SHEET)
        lamps = [
            ("seat.lamp_brake", state.brake, ORANGE),
            ("seat.lamp_pto", state.pto, ORANGE),
            ("seat.lamp_supply", supply_live(state), GREEN),
        ]
        for index, (key, on, colour) in enumerate(lamps):
            self._draw_lamp(surface, (92 + 98 * index, 260), self.word(key), on, colour)

    def _draw_lamp(self, surface: pygame.Surface, at: Place, text: str, on: bool, colour: Colour) -> None:
        """A lamp with its word: lit it is filled and ringed, dark it is hollow."""
        centre = self.view.at(*at)
        pygame.draw.aacircle(surface, SHEET if on else GRAPHITE[5], centre, self.px(8))
        pygame.draw.aacircle(surface, colour if on else GRAPHITE[1], centre, self.px(6.5))
        self.text(surface, text, (at[0] + 13, at[1]), 11.5, SHEET if on else STEEL[4], on, anchor="midleft")

    def _draw_start(self, surface: pygame.Surface) -> None:
        state = self.yard.state
        x, y = self._control("key")
        if state.key == "out":
            self.put(surface, "key", (x + 34, y + 34), (30, 42), 0.62, -35)
        else:
            self.put(surface, "key", (x, y), (30, 62), 0.64, 0.0 if state.key == "off" else -38.0)
        for name, dx, dy in (("out", -34, -36), ("off", 0, -43), ("on", 38, -40)):
            on = state.key == name
            self.text(
                surface,
                self.word(f"seat.short_{name}"),
                (x + dx, y + dy),
                11.5,
                ICE[5] if on else SHEET,
                on,
            )
        for name, key, on in (
            ("engine:start", "seat.start", state.engine),
            ("engine:stop", "seat.stop", False),
        ):
            spot = self.spot(name)
            if spot is not None:
                self.button(surface, spot, self.word(key), on)
        set_share = self.eased("brake", 1.0 if state.brake else 0.0, 10)
        x, y = self._control("brake")
        self.put(surface, "brake_handle", (x + 6, y + 18), (18, 46), 0.92, round(18 * set_share))
        self.text(
            surface,
            self.word("seat.brake_set" if state.brake else "seat.brake_off"),
            (180, 596),
            11.5,
            SHEET if state.brake else STEEL[4],
            True,
        )
        x, y = _THROTTLE
        tractor = self.yard.case.tractor
        wish = self._wish("throttle", state.throttle_mrev_min) / 1000
        share = (wish - tractor.idle_rev_min) / (tractor.rated_rev_min - tractor.idle_rev_min)
        knob = y + 42 - 84 * self.eased("throttle", share, 18)
        self.put(surface, "throttle", (x - 5, knob), (32, 40), 0.72)
        pygame.draw.line(surface, GRAPHITE[0], self.view.at(94, 504), self.view.at(268, 504), self.px(1.5))

    def _draw_levers(self, surface: pygame.Surface) -> None:
        state = self.yard.state
        for index, valve in enumerate(self.yard.case.tractor.valves):
            x, y = self._of_valve("lever", index)
            wish = self._wish(f"lever:{valve.name}", LEVERS.index(state.levers[index]))
            notch = self.eased(f"lever_{index}", self._notch("lever_slot", LEVERS[wish]), 20)
            aside = 3.0 if LEVERS[wish] == "float" else 0.0
            self.put(surface, "lever", (x + aside, y + notch), (30, 36), 0.56)
            self.plate(surface, valve.name.upper(), (x + aside, y + notch - 5), 10.5, SHEET, fits=True)
            self.text(surface, self.word(f"seat.lever_{LEVERS[wish]}"), (x, 467), 11.5, SHEET, True)
            x, y = self._of_valve("dial", index)
            amount = self._wish(f"dial:{valve.name}", state.dials_milli[index])
            turned = 135 - 270 * self.eased(f"dial_{index}", amount / (valve.top * 1000), 20)
            size = 0.82 * self._valve_share()
            self.put(surface, "dial_knob", (x, y), (30, 30), size, round(turned / 1.5) * 1.5)
            self.text(surface, amount_text(amount), (x, y + 45), 13, ICE[4], True)

    def _draw_right(self, surface: pygame.Surface) -> None:
        state, tractor = self.yard.state, self.yard.case.tractor
        x, y = self._control("hitch_lever")
        span = (tractor.hitch_high_m - tractor.hitch_low_m) * 1e6
        low = tractor.hitch_low_m * 1e6
        wish = (self._wish("hitch", state.hitch_target_um) - low) / span
        real = (self.eased("hitch", state.hitch_um) - low) / span
        y -= _SLOT_UP
        mark = self.view.at(x + 24, y + 52 - 104 * real)
        pygame.draw.polygon(
            surface,
            ICE[3],
            [
                mark,
                (mark[0] + self.px(10), mark[1] - self.px(6)),
                (mark[0] + self.px(10), mark[1] + self.px(6)),
            ],
        )
        self.put(
            surface, "throttle", (x - 4, y + 52 - 104 * self.eased("hitch_wish", wish, 18)), (32, 40), 0.78
        )
        height = self.yard.amount("height", state.hitch_um / 1e6)
        self.text(surface, self.word("seat.hitch_at", height=height), (x, 467), 10.5, SHEET, True)
        x, y = self._control("pto")
        self.put(surface, "pto_knob", (x, y - (5 if state.pto else 0)), (38, 38), 1.12 if state.pto else 0.96)
        self.text(
            surface,
            self.word("seat.pto_on" if state.pto else "seat.pto_off"),
            (x, y + 46),
            11.5,
            SHEET if state.pto else STEEL[4],
            True,
        )
        x, y = self._control("speed_source")
        sources = tractor.speed_sources
        place = sources.index(state.speed_source) if state.speed_source in sources else 0
        self.put(surface, "dial_knob", (x, y), (30, 30), 0.78, 50.0 - 50.0 * place)
        self.text(surface, self.word("seat.speed_short"), (x, y + 32), 11, STEEL[4])

        spot = self.spot("pto_speed")
        if spot is not None:
            self.button(surface, spot, f"{state.pto_mrev_min / 1000:.0f}", size=11)

    def _pto_speed_box(self) -> Box:
        x, y = self._control("speed_source")
        return x - 60, y - 17, 40, 34

    def _pto_speed_dial(self) -> Dial:
        """The lever that shifts the stub: one notch for each of its speeds."""
        speeds, now = self.yard.case.tractor.pto_speeds_rev_min, self.yard.state.pto_mrev_min / 1000

        def near(rev_min: float) -> int:
            return min(range(len(speeds)), key=lambda index: abs(speeds[index] - rev_min))

        def typed(text: str) -> int | None:
            asked = typed_thousandths(text)
            return None if asked is None else near(asked / 1000)

        return Dial(
            0,
            len(speeds) - 1,
            1,
            near(now),
            (0.0, -1.0),
            0.03,
            lambda index: Action("pto_speed", amount=round(speeds[index] * 1000)),
            lambda index: f"{speeds[index]:.0f} {self.yard.texts.say('units.rev_min')}",
            typed,
        )

    def _draw_driving(self, surface: pygame.Surface) -> None:
        for spot in self._driving_spots():
            self.button(surface, spot, spot.label, size=12.5)

    def _draw_looks(self, surface: pygame.Surface) -> None:
        kit = self.yard.kit
        for name, text in (
            ("look:area", "seat.look_area_short"),
            ("look:lines", "seat.look_lines_short"),
            ("report", "finding.report_short"),
        ):
            spot = self.spot(name)
            if spot is None:
                continue
            box = self.view.area(spot.box[0], spot.box[1], spot.box[2], 26)
            kit.box(
                surface, box, GRAPHITE[1], SHEET if self.hovering(name) else PLUM[5], radius=12, border=1.2
            )
            kit.text(
                surface,
                self.word(text),
                box.center,
                self.lettering(12),
                SHEET,
                True,
                anchor="center",
                width=box.width,
                may_cut=True,
            )

    def _draw_terminal(self, surface: pygame.Surface) -> None:
        kit = self.yard.kit
        left, top, wide, tall = self._screen()
        screen = self.view.area(left, top, wide, tall)
        lit = self.yard.state.key == "on"
        if lit:
            kit.box(surface, screen, mix(ICE[0], GRAPHITE[1], 0.55), None, radius=3)
        status, tone = self._status()
        self.text(surface, status, (left + 6, top + 11), 12, tone, True, anchor="midleft")
        high = self._row_height()
        clip = surface.get_clip()
        surface.set_clip(screen.clip(clip))
        for index, row in enumerate(self._rows()):
            y = top + 24 + index * high
            middle = y + high / 2 - 1
            line = self.view.at(left + 4, y - 1)
            pygame.draw.line(surface, ICE[0], line, (screen.right - self.px(4), line[1]))
            ink = SHEET if lit else STEEL[3]
            size = self.lettering(11.5)
            room = self.px(wide - _ROW_BUTTON - 24) - (kit.width(row.figure, size, True) if row.figure else 0)
            kit.text(
                surface,
                row.label,
                self.view.at(left + 6, middle),
                size,
                ink,
                anchor="midleft",
                width=room,
                may_cut=True,
            )
            if row.figure:
                kit.text(
                    surface,
                    row.figure,
                    self.view.at(left + wide - _ROW_BUTTON - 10, middle),
                    size,
                    ICE[4] if lit else STEEL[3],
                    True,
                    anchor="midright",
                )
            box = self.view.area(left + wide - _ROW_BUTTON - 3, y, _ROW_BUTTON, high - 2)
            kit.box(
                surface,
                box,
                ACCENT if row.on else GRAPHITE[3],
                ICE[3] if self.hovering(row.spot) else GRAPHITE[0],
                radius=4,
                border=1.2,
            )
            if row.on:
                self.lit(surface, box)
            kit.text(
                surface,
                row.button,
                box.center,
                self.lettering(11.5),
                SHEET,
                True,
                anchor="center",
                width=box.width,
                may_cut=True,
            )
        surface.set_clip(clip)
        for page in ("functions", "speed", "figures"):
            spot = self.spot(f"page:{page}")
            if spot is not None:
                self.button(
                    surface, spot, self.word(f"seat.page_{page}"), on=page == self._page and lit, size=11.5
                )
