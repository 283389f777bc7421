"""What the hands can do at every station: tap, hold, take and drop, turn to a value; by drag, click or key.

A station lists its spots, front ones last. One spot may be tapped, held down, picked up from, dropped on or
set to a value. Whatever is picked up follows the pointer until it is let go; a click picks up as well as a
drag does, and the next click lets go, so nothing needs a steady hand. Keys do the same through the targets.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import pygame

from trainer.core.actions import Action, Event
from trainer.scene.effects import Needle
from trainer.scene.keys import erases, shift_held
from trainer.scene.palette import (
    ACCENT,
    ACCENT_DARK,
    ACCENT_LIGHT,
    BAR,
    BAR_INK,
    BAR_MUTED,
    GRAPHITE,
    ICE,
    INK,
    PAPER,
    PLUM,
    SAND,
    SHEET,
    STEEL,
    Colour,
)
from trainer.scene.station import Station, Target, Yard

Place = tuple[float, float]
Box = tuple[float, float, float, float]

SHOWN: Box = (0.0, 56.0, 980.0, 568.0)
"""The part of every drawing that is always to be seen: x, y, width, height."""
STEADY = 6.0
"""Drawing units the pointer may wander before a press counts as a drag."""
_STILL = 2.0
_EVENTS_BACK = 60
"""A reading older than that is shown no more."""
"""As far as this it has not moved at all: a press let go on another place is a click, not a short drag."""
_LED_RATE = 14.0
"""How fast what is in the hand follows the keyboard: it is there after a fifth of a second."""
_COARSE = 10
_WAYS = {"left": -1, "down": -1, "right": 1, "up": 1, "page_down": -_COARSE, "page_up": _COARSE}
"""Steps by which a key turns what is being set; with Shift ten times as many."""
_MOST_LETTERING = 1.2


@dataclass(frozen=True, slots=True)
class Dial:
    """Something set to a value. Amounts are thousandths of the word's unit, as actions carry them.

    A drag along `axis` changes the amount by `rate` per drawing unit; `fine` is the smallest change.
    """

    low: int
    high: int
    fine: int
    amount: int
    axis: Place
    rate: float
    action: Callable[[int], Action]
    show: Callable[[int], str]
    number: Callable[[str], int | None] = lambda _: None
    """What was typed, as an amount; None where it is no number."""

    def near(self, amount: float) -> int:
        """The amount that can be set closest to this one."""
        steps = round((min(self.high, max(self.low, amount)) - self.low) / self.fine)
        return min(self.high, self.low + steps * self.fine)


@dataclass(frozen=True, slots=True)
class Tool:
    """Something kept in the tray at the side: its name, its drawing and how large that is shown."""

    name: str
    art: str
    size: float


SIGNS = {
    "generator": "motor",
    "driven": "shaft",
    "cylinder": "extend",
    "pto": "shaft",
    "lighting": "lamp",
    "pb_pressure": "pressure",
    "pb_return": "return",
    "free_return": "return",
    "case_drain": "drain",
    "pb_sense": "sense",
}
"""Kinds of functions and ports whose sign has another name."""


@dataclass(slots=True)
class Spot:
    """One thing of a station that can be pointed at; `box` is x, y, width, height in drawing units."""

    id: str
    box: Box
    label: str
    tap: Callable[[], None] | None = None
    thing: str = ""
    """What a hand takes here."""
    dial: Dial | None = None
    hold: Callable[[float], None] | None = None
    """Done when a press ends, with how long it lasted in seconds."""
    accepts: bool = False
    """Something can be dropped here."""
    hint: str = ""
    lever: bool = False
    """A press that is dragged and let go anywhere counts as a tap."""
    written: bool = False
    """What the label says stands on it: no tooltip."""
    clear: Box | None = None
    """The whole of what it is a part of; the value being set is shown above that."""

    def holds(self, at: Place) -> bool:
        x, y, width, height = self.box
        return x <= at[0] < x + width and y <= at[1] < y + height

    @property
    def centre(self) -> Place:
        x, y, width, height = self.box
        return x + width / 2, y + height / 2


@dataclass(slots=True)
class Held:
    """What is in the hand, where it was taken and where it is."""

    thing: str
    origin: str
    at: Place
    by_click: bool
    home: bool = False
    """It is still pushed home where it was taken."""
    wiped: set[str] = field(default_factory=set)
    """What has been wiped with it since it was taken."""


@dataclass(slots=True)
class Setting:
    """A dial being set: by drag until the button is let go, or in the open bubble until it is confirmed."""

    spot: Spot
    amount: int
    start: Place
    first: int
    bubble: bool
    typed: str = ""


def typed_thousandths(text: str) -> int | None:
    """A number as it was typed, in thousandths; None where it is none.

    >>> typed_thousandths("5.9"), typed_thousandths(".")
    (5900, None)
    """
    try:
        return round(float(text) * 1000)
    except ValueError:
        return None


@dataclass(slots=True)
class View:
    """How a station's drawing lies in the stage: the part of it that matters fills the stage.

    Drawings are 1280 by 720; the panels at the window's edges cover what lies outside of `SHOWN`. A stage of
    another shape shows a little more of the drawing to the right or below.
    """

    left: float = 0.0
    top: float = 0.0
    scale: float = 1.0

    def fit(self, stage: pygame.Rect) -> None:
        """Take the stage as it is now, in pixels of the window."""
        x, y, wide, tall = SHOWN
        self.scale = min(stage.width / wide, stage.height / tall)
        self.left, self.top = stage.left - x * self.scale, stage.top - y * self.scale

    def at(self, x: float, y: float) -> tuple[int, int]:
        """A point of the drawing as a point of the window."""
        return round(self.left + x * self.scale), round(self.top + y * self.scale)

    def area(self, x: float, y: float, width: float, height: float) -> pygame.Rect:
        """A box of the drawing as a box of the window."""
        left, top = self.at(x, y)
        right, bottom = self.at(x + width, y + height)
        return pygame.Rect(left, top, right - left, bottom - top)

    def drawn(self, point: tuple[int, int]) -> Place:
        """A point of the window as a point of the drawing."""
        return (point[0] - self.left) / self.scale, (point[1] - self.top) / self.scale


class Handwork(Station):
    """A station with spots, one pair of hands and layers that are painted once."""

    tray_at: Place = (928.0, 106.0)
    """Middle of the first tool of the tray."""
    tray_step: Place = (0.0, 74.0)

    def __init__(self, yard: Yard) -> None:
        super().__init__(yard)
        self.view = View()
        self.view.fit(yard.stage)
        self.held: Held | None = None
        self.setting: Setting | None = None
        self._pressed: Spot | None = None
        self._pressed_at: Place = (0.0, 0.0)
        self._pressed_s = 0.0
        self._over = ""
        self._led = ""
        """Where the keyboard was when the hand last looked."""
        self._way_to: Place | None = None
        """Where the keyboard leads what is in the hand; the pointer takes it back."""
        self._spots: list[Spot] = []
        self._layers: dict[str, tuple[object, pygame.Surface]] = {}
        self._eased: dict[str, float] = {}
        self._needles: dict[str, Needle] = {}
        self._dt_s = 0.0
        self._still = True

    @property
    def still(self) -> bool:
        """Nothing that can be pointed at is on its way."""
        return self._still

    @property
    def in_hand(self) -> str:
        return self.held.thing if self.held is not None else ""

    # --- what a station fills in ----------------------------------------------------------------------------

    def spots(self) -> list[Spot]:
        """All spots as things stand; later ones lie in front."""
        return []

    def taken(self, held: Held) -> None:
        """Something was picked up."""

    def carried(self, held: Held, over: str) -> None:
        """What is in the hand moved; `over` is the spot under it or ''."""

    def dropped(self, held: Held, on: str) -> None:
        """What was in the hand was let go on a spot, or on nothing ('')."""

    # --- saying ---------------------------------------------------------------------------------------------

    def word(self, key: str, **gaps: object) -> str:
        """A text of this station."""
        return self.yard.texts.say(f"stations.{key}", **gaps)

    def last_measured(self, thing: str) -> Event | None:
        """The newest reading of that kind that was taken lately."""
        events = self.yard.attempt.events[-_EVENTS_BACK:]
        return next((one for one in reversed(events) if one.kind == "measured" and one.thing == thing), None)

    def do(self, word: str, thing: str = "", place: str = "", amount: int | None = None) -> None:
        self.yard.do(Action(word, thing, place, amount))

    # --- hands ----------------------------------------------------------------------------------------------

    def enter(self) -> None:
        self._layers.clear()
        self._eased.clear()
        self._needles.clear()
        self.let_go()
        self.view.fit(self.yard.stage)
        self._spots = self.spots()

    def leave(self) -> None:
        self.let_go()

    def let_go(self) -> None:
        """Empty hands, as if nothing had been touched."""
        self.held = None
        self.setting = None
        self._pressed = None
        self._over = ""
        self._way_to = None

    def update(self, dt_s: float) -> None:
        self._dt_s = dt_s
        self._still = True
        self.view.fit(self.yard.stage)
        self._spots = self.spots()
        self._follow_keyboard(dt_s)

    def _follow_keyboard(self, dt_s: float) -> None:
        """What is in the hand goes to the place the keyboard has moved to, as it goes with the pointer."""
        kit, held = self.yard.kit, self.held
        at = kit.focus if kit.focus_shown else ""
        moved, self._led = at != self._led, at
        if held is None or not held.by_click:
            self._way_to = None
            return
        if moved:
            spot = self.spot(at)
            if spot is not None:
                self._over = spot.id if spot.accepts else ""
                self._way_to = spot.centre
        if self._way_to is not None:
            (x, y), (to_x, to_y) = held.at, self._way_to
            near = self.yard.calm or math.dist(held.at, self._way_to) < 1.0
            share = 1.0 if near else min(1.0, dt_s * _LED_RATE)
            held.at = x + (to_x - x) * share, y + (to_y - y) * share
            self._way_to = None if near else self._way_to
            self.carried(held, self._over)

    def eased(self, name: str, value: float, rate: float = 12.0) -> float:
        """The value as the eye follows it: smooth between ticks, at once when the station is entered."""
        last = self._eased.get(name, value)
        share = 1.0 if self.yard.calm else min(1.0, self._dt_s * rate)
        now = value if abs(value - last) < 1e-4 else last + (value - last) * share
        self._still = self._still and now == last
        self._eased[name] = now
        return now

    def needle(self, name: str, share: float) -> float:
        """Where a gauge's needle stands that is drawn to this share of its scale; only seen, never read off
        by the program."""
        if name not in self._needles:
            self._needles[name] = Needle()
        return self._needles[name].follow(share, self._dt_s, self.yard.calm)

    def needle_rests(self, name: str) -> None:
        """Lay a needle on its stop: the gauge is put on afresh."""
        self._needles[name] = Needle(0.0)

    @property
    def dt_s(self) -> float:
        """How long the frame before this one took."""
        return self._dt_s

    @property
    def pressed_for_s(self) -> float:
        """How long the held-down spot has been held."""
        return self.yard.now_s - self._pressed_s if self._pressed is not None else 0.0

    def pressing(self, spot: str) -> bool:
        return self._pressed is not None and self._pressed.id == spot

    def spot(self, name: str) -> Spot | None:
        return next((one for one in self._everything() if one.id == name), None)

    def spot_at(self, at: Place) -> Spot | None:
        """The spot in front at a point; while something is held, only those it can be dropped on."""
        for one in reversed(self._everything()):
            if one.holds(at) and (self.held is None or one.accepts):
                return one
        return None

    def activate(self, name: str) -> None:
        """What Enter on a spot does: with full hands let go there, or of it where nothing can be put; else
        take, open or tap."""
        spot = self.spot(name)
        if spot is None:
            return
        if self.held is not None:
            self._drop(spot.id if spot.accepts else "")
        elif spot.thing:
            self._take(spot, spot.centre, by_click=True)
        elif spot.tap is not None:
            spot.tap()
        elif spot.dial is not None:
            self.setting = Setting(spot, spot.dial.amount, spot.centre, spot.dial.amount, bubble=True)
        elif spot.hold is not None:
            spot.hold(0.0)

    def targets(self) -> list[Target]:
        """All spots; with something in the hand the keyboard goes only where that can be let go."""
        result = []
        for spot in self._everything():
            open_now = self.held is None or spot.accepts
            step = self._stepper(spot) if spot.dial is not None and self.held is None else None
            result.append(
                Target(
                    spot.id,
                    self.view.area(*spot.box),
                    spot.label,
                    "" if self.setting is not None or spot.written else spot.hint or spot.label,
                    self._activator(spot.id) if open_now else None,
                    step=step,
                )
            )
        return result

    def handle(self, event: pygame.event.Event) -> bool:
        if event.type == pygame.MOUSEMOTION:
            return self._moved(self.view.drawn(event.pos))
        if event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
            return self._down(self.view.drawn(event.pos))
        if event.type == pygame.MOUSEBUTTONUP and event.button == 1:
            return self._up(self.view.drawn(event.pos))
        if event.type == pygame.MOUSEBUTTONDOWN and event.button == 3:
            busy = self.held is not None or self.setting is not None
            self.let_go()
            return busy
        if event.type == pygame.MOUSEWHEEL and self.setting is not None:
            self._turn(event.y)
            return True
        if event.type == pygame.KEYDOWN:
            return self._key(event)
        return False

    def _everything(self) -> list[Spot]:
        if not self._spots:
            self._spots = self.spots()
        if self.setting is None or not self.setting.bubble:
            return self._spots
        return [*self._spots, *self._bubble_spots()]

    def _down(self, at: Place) -> bool:
        spot = self.spot_at(at)
        if self.held is not None:
            self.held.at = at
            self._drop(spot.id if spot is not None else "")
            return True
        if self.setting is not None and (spot is None or not spot.id.startswith("adjust:")):
            self.setting = None
        self._pressed, self._pressed_at, self._pressed_s = spot, at, self.yard.now_s
        return spot is not None

    def _moved(self, at: Place) -> bool:
        pressed = self._pressed
        if pressed is not None and self.held is None and math.dist(at, self._pressed_at) > STEADY:
            if pressed.thing:
                self._pressed = None
                self._take(pressed, at, by_click=False)
            elif pressed.dial is not None and self.setting is None:
                self.setting = Setting(
                    pressed, pressed.dial.amount, self._pressed_at, pressed.dial.amount, False
                )
        if self.setting is not None and not self.setting.bubble:
            dial = self.setting.spot.dial
            assert dial is not None
            way = (at[0] - self.setting.start[0]) * dial.axis[0] + (
                at[1] - self.setting.start[1]
            ) * dial.axis[1]
            self.setting.amount = dial.near(self.setting.first + way * dial.rate)
            return True
        spot = self.spot_at(at)
        self._over = spot.id if spot is not None else ""
        if self.held is not None:
            self.held.at, self._way_to = at, None
            self.carried(self.held, self._over)
            return True
        return pressed is not None

    def _up(self, at: Place) -> bool:
        pressed, self._pressed = self._pressed, None
        if self.held is not None and not self.held.by_click:
            self.held.at = at
            spot = self.spot_at(at)
            self._drop(spot.id if spot is not None else "")
            return True
        if self.setting is not None and not self.setting.bubble:
            self.confirm()
            return True
        if pressed is None:
            return self.held is not None
        if pressed.hold is not None:
            pressed.hold(max(0.0, self.yard.now_s - self._pressed_s))
        elif pressed.holds(at) or pressed.lever:
            self.activate(pressed.id)
            if self.held is not None:
                self.held.at = at
                self._drop_at_once(pressed, at)
        return True

    def _drop_at_once(self, pressed: Spot, at: Place) -> None:
        """A short drag that ends on another place is a drag all the same: what lay loose is dropped there."""
        if self.held is None or self.held.home or math.dist(at, self._pressed_at) <= _STILL:
            return
        self._spots = self.spots()  # what is in the hand no longer lies over its place
        spot = self.spot_at(at)
        if spot is not None and spot.id != pressed.id:
            self.held.by_click = False
            self._drop(spot.id)

    def _take(self, spot: Spot, at: Place, by_click: bool) -> None:
        self.held = Held(spot.thing, spot.id, at, by_click)
        self.taken(self.held)

    def _drop(self, on: str) -> None:
        held, self.held = self.held, None
        if held is not None:
            self.dropped(held, on)

    def _key(self, event: pygame.event.Event) -> bool:
        keys = self.yard.kit.keys
        if keys.asks(event, "back") and (self.held is not None or self.setting is not None):
            self.let_go()
            return True
        if self.held is not None and keys.asks(event, "take_away"):
            self._drop("")
            return True
        setting = self.setting
        if setting is None or setting.spot.dial is None:
            return False
        asked = keys.asked(event, typing=True)
        if asked in _WAYS:
            self._turn(_WAYS[asked] * (_COARSE if shift_held(event) else 1))
            return True
        if asked == "press":
            focus = self.yard.kit.focus
            button = self.spot(focus) if focus.startswith("adjust:") else None
            self.confirm() if button is None or button.tap is None else button.tap()
            return True
        if erases(event):
            setting.typed = setting.typed[:-1]
        elif event.unicode and event.unicode in "0123456789.":
            setting.typed += event.unicode
        else:
            return False
        amount = setting.spot.dial.number(setting.typed)
        if amount is not None:
            setting.amount = setting.spot.dial.near(amount)
        return True

    def _turn(self, steps: int) -> None:
        if self.setting is not None and self.setting.spot.dial is not None:
            dial = self.setting.spot.dial
            self.setting.amount = dial.near(self.setting.amount + steps * dial.fine)
            self.setting.typed = ""

    def confirm(self) -> None:
        """Set the dial to what it shows."""
        setting, self.setting = self.setting, None
        if setting is not None and setting.spot.dial is not None:
            dial = setting.spot.dial
            if setting.bubble or setting.amount != dial.amount:
                self.yard.do(dial.action(setting.amount))

    def _activator(self, name: str) -> Callable[[], None]:
        return lambda: self.activate(name)

    def _stepper(self, spot: Spot) -> Callable[[int], None]:
        def step(way: int) -> None:
            if self.setting is None or self.setting.spot.id != spot.id:
                self.activate(spot.id)
            self._turn(way)

        return step

    # --- things several stations have -----------------------------------------------------------------------

    def tray_spots(self, tools: tuple[Tool, ...], section: str) -> list[Spot]:
        """The tools at the side of the stage."""
        return [
            Spot(
                tool.name,
                self._pocket(index),
                self.word(f"{section}.tool_{tool.name}"),
                thing=tool.name,
                accepts=True,
            )
            for index, tool in enumerate(tools)
        ]

    def paint_tray(self, surface: pygame.Surface, tools: tuple[Tool, ...], section: str) -> None:
        kit = self.yard.kit
        first, last = self._pocket(0), self._pocket(len(tools) - 1)
        board = self.view.area(
            first[0] - 6, first[1] - 6, last[0] - first[0] + last[2] + 12, last[1] - first[1] + last[3] + 12
        )
        kit.box(surface, board.move(self.px(2), self.px(4)), GRAPHITE[0], None, radius=10)
        kit.box(surface, board, PLUM[1], INK, radius=10, border=1.6)
        for index, tool in enumerate(tools):
            x, y, wide, _ = box = self._pocket(index)
            kit.box(surface, self.view.area(*box), PLUM[2], PLUM[0], radius=8, border=1.2)
            self.draw_tool(surface, tool, (x + wide / 2, y + 28))
            told = self.word(f"{section}.short_{tool.name}")
            self.text(surface, told, (x + wide / 2, y + 60), 11, SAND[6], True)

    def _pocket(self, index: int) -> Box:
        x, y = self.tray_at
        return x - 41 + index * self.tray_step[0], y - 37 + index * self.tray_step[1], 82.0, 70.0

    def draw_tool(self, surface: pygame.Surface, tool: Tool, at: Place, larger: float = 1.0) -> None:
        if tool.name == "eye":
            self.draw_eye(surface, at, 19 * larger)
            return
        if tool.name == "lock_pin":
            self.draw_lock_pin(surface, at, larger)
            return
        width, height = self.yard.art.size(tool.art)
        self.put(surface, tool.art, at, (width / 2, height / 2), tool.size * larger)

    def fit(self, held: Held, on: str, word: str, place: str, tool: str) -> None:
        """Something that is put on at a place out of the tray, and taken off by carrying it away."""
        if held.origin == place and on != place:
            self.do(word, "remove")
        elif held.origin == tool and on == place:
            self.do(word, "fit")

    def draw_eye(self, surface: pygame.Surface, at: Place, radius: float) -> None:
        """A magnifying glass."""
        x, y = self.view.at(at[0] - 4, at[1] - 4)
        handle = self.view.at(at[0] + radius * 0.95, at[1] + radius * 0.95)
        pygame.draw.aaline(surface, INK, (x, y), handle, self.px(9))
        pygame.draw.aaline(surface, SAND[1], (x, y), handle, self.px(5))
        pygame.draw.aacircle(surface, INK, (x, y), self.px(radius * 0.9))
        pygame.draw.aacircle(surface, STEEL[3], (x, y), self.px(radius * 0.82))
        pygame.draw.aacircle(surface, ICE[4], (x, y), self.px(radius * 0.64))
        pygame.draw.aaline(
            surface, SHEET, (x - self.px(6), y - self.px(1)), (x - self.px(1), y - self.px(6)), self.px(2)
        )

    def draw_lock_pin(self, surface: pygame.Surface, at: Place, larger: float = 1.0) -> None:
        left, right = self.view.at(at[0] - 20 * larger, at[1]), self.view.at(at[0] + 16 * larger, at[1])
        pygame.draw.aaline(surface, INK, left, right, self.px(11 * larger))
        pygame.draw.aaline(surface, STEEL[3], left, right, self.px(7 * larger))
        pygame.draw.aacircle(surface, INK, right, self.px(11 * larger))
        pygame.draw.aacircle(surface, ICE[2], right, self.px(9 * larger))
        pygame.draw.aacircle(surface, PLUM[2], right, self.px(5 * larger))

    def draw_ring(self, surface: pygame.Surface, at: Place, radius: float) -> None:
        """The end of a bushing, seen along its bore."""
        pygame.draw.aacircle(surface, INK, self.view.at(*at), self.px(radius + 1.5))
        pygame.draw.aacircle(surface, STEEL[5], self.view.at(*at), self.px(radius))
        pygame.draw.aacircle(surface, GRAPHITE[2], self.view.at(*at), self.px(radius - 3.5))
        pygame.draw.aacircle(surface, STEEL[2], self.view.at(*at), self.px(radius - 4.5))

    def lift_spots(self, left: float, top: float, wide: float = 60.0) -> list[Spot]:
        """The buttons outside the cab that move the hitch."""
        return [
            Spot(
                "hitch:up",
                (left + 8, top + 24, wide - 16, 40),
                self.word("hands.hitch_up"),
                hold=lambda seconds: self.lift(1, seconds),
            ),
            Spot(
                "hitch:down",
                (left + 8, top + 68, wide - 16, 40),
                self.word("hands.hitch_down"),
                hold=lambda seconds: self.lift(-1, seconds),
            ),
        ]

    def lift(self, way: int, seconds: float) -> None:
        """Move the hitch from the ground for as long as a button was held; a touch moves it 20 mm."""
        tractor, state = self.yard.case.tractor, self.yard.state
        far = max(20.0, tractor.hitch_speed_m_s * 1000 * seconds)
        amount = state.hitch_um + way * round(far) * 1000
        low, high = round(tractor.hitch_low_m * 1e6), round(tractor.hitch_high_m * 1e6)
        self.do("hitch", amount=min(high, max(low, amount)))

    def draw_lift_buttons(self, surface: pygame.Surface, left: float, top: float, wide: float) -> None:
        kit = self.yard.kit
        kit.box(surface, self.view.area(left, top, wide, 116), GRAPHITE[2], INK, radius=8, border=1.6)
        told, size = self.word("hands.outside"), 11.0
        room = self.px(wide - 8)
        size *= min(1.0, room / max(1, kit.width(told, self.lettering(size), True)))
        self.text(surface, told, (left + wide / 2, top + 12), size, SAND[6], True)
        for name, way in (("hitch:up", -1), ("hitch:down", 1)):
            spot = self.spot(name)
            if spot is None:
                continue
            self.button(surface, spot, "")
            x, y = self.view.area(*spot.box).center
            r = self.px(10)
            arrow = [(x - r, y - way * r // 2), (x + r, y - way * r // 2), (x, y + way * r // 2 + way)]
            pygame.draw.polygon(surface, ICE[4], arrow)
            pygame.draw.aalines(surface, ICE[4], True, arrow)

    # --- the bubble of a dial -------------------------------------------------------------------------------

    def _bubble_box(self) -> Box:
        assert self.setting is not None
        x, y, width, height = self.setting.spot.box
        wide, tall = 236.0, 92.0
        left = min(max(8.0, x + width / 2 - wide / 2), 980.0 - wide - 8.0)
        top = y - tall - 10.0 if y - tall - 10.0 > 62.0 else y + height + 10.0
        return left, min(top, 624.0 - tall - 6.0), wide, tall

    def _bubble_spots(self) -> list[Spot]:
        left, top, _, _ = self._bubble_box()
        row = top + 48.0
        say = self.yard.texts.say
        return [
            Spot(
                "adjust:much_less",
                (left + 8, row, 34, 34),
                say("stations.hands.much_less"),
                lambda: self._turn(-_COARSE),
            ),
            Spot("adjust:less", (left + 46, row, 34, 34), say("stations.hands.less"), lambda: self._turn(-1)),
            Spot("adjust:more", (left + 84, row, 34, 34), say("stations.hands.more"), lambda: self._turn(1)),
            Spot(
                "adjust:much_more",
                (left + 122, row, 34, 34),
                say("stations.hands.much_more"),
                lambda: self._turn(_COARSE),
            ),
            Spot("adjust:set", (left + 164, row, 64, 34), say("stations.hands.set"), self.confirm),
        ]

    def draw_setting(self, surface: pygame.Surface) -> None:
        """The value being set, beside its control: call last."""
        setting = self.setting
        if setting is None or setting.spot.dial is None:
            return
        kit, text = self.yard.kit, setting.spot.dial.show(setting.amount)
        if not setting.bubble:
            left, top, across, tall = setting.spot.clear or setting.spot.box
            wide = kit.width(text, 17, True) + self.px(24)
            box = pygame.Rect(0, 0, wide, kit.line(17) + self.px(10))
            if top > 100:
                box.midbottom = self.view.at(left + across / 2, top - 8)
            else:
                box.midtop = self.view.at(left + across / 2, top + tall + 8)
            box.clamp_ip(self.yard.stage)
            kit.box(surface, box, BAR, SHEET, radius=7, border=1.5)
            kit.text(surface, text, box.center, 17, BAR_INK, True, anchor="center")
            return
        place = self._bubble_box()
        left, top = place[:2]
        box = self.view.area(*place)
        kit.box(surface, box, BAR, SHEET, radius=9, border=1.5)
        kit.text(
            surface,
            setting.spot.label,
            self.view.at(left + 10, top + 5),
            self.lettering(12),
            BAR_MUTED,
            width=box.width - self.px(20),
            may_cut=True,
        )
        shown = f"{setting.typed}|" if setting.typed else text
        kit.text(
            surface,
            shown,
            self.view.at(left + 10, top + 20),
            self.lettering(18),
            BAR_INK,
            True,
            width=box.width - self.px(20),
            may_cut=True,
        )
        marks = {"adjust:much_less": "−−", "adjust:less": "−", "adjust:more": "+", "adjust:much_more": "++"}
        for spot in self._bubble_spots():
            button = self.view.area(*spot.box)
            strong = spot.id == "adjust:set"
            hot = self._over == spot.id
            kit.box(
                surface,
                button,
                ACCENT if strong else STEEL[4] if hot else PAPER,
                ACCENT_LIGHT if strong else GRAPHITE[2],
                radius=6,
                border=1.5,
            )
            kit.text(
                surface,
                marks.get(spot.id, spot.label),
                button.center,
                self.lettering(15),
                SHEET if strong else INK,
                True,
                anchor="center",
            )

    # --- sizes ----------------------------------------------------------------------------------------------

    def px(self, units: float) -> int:
        """Drawing units as pixels of the window."""
        return round(units * self.view.scale)

    def lettering(self, size: float) -> float:
        """Size to ask of the kit for letters that belong to the picture.

        They keep their place on plates and buttons: they grow with the picture, and with the reader's setting
        only as far as there is room. What they say stands in full size in the target's tooltip too.
        """
        kit = self.yard.kit
        return size * self.view.scale / kit.scale * min(kit.text_scale, _MOST_LETTERING) / kit.text_scale

    # --- places, said in the drawings' own points -----------------------------------------------------------

    def anchor(self, drawing: str, name: str) -> Place:
        """A named point of a drawing, in the drawing's own pixels."""
        x, y = self.yard.art.note("files", f"{drawing}.svg", "anchors", name)
        return float(x), float(y)

    def turned(self, about: Place, offset: Place, degrees: float) -> Place:
        """A point that lies `offset` from `about`, with the whole turned anticlockwise."""
        angle = math.radians(degrees)
        dx, dy = offset
        return (
            about[0] + dx * math.cos(angle) + dy * math.sin(angle),
            about[1] - dx * math.sin(angle) + dy * math.cos(angle),
        )

    def from_anchor(
        self, drawing: str, anchor: str, at: Place, point: str, degrees: float = 0.0, size: float = 1.0
    ) -> Place:
        """Where a named point of a drawing lies when another of its points lies at `at`."""
        first, second = self.anchor(drawing, anchor), self.anchor(drawing, point)
        return self.turned(at, ((second[0] - first[0]) * size, (second[1] - first[1]) * size), degrees)

    # --- drawing --------------------------------------------------------------------------------------------

    def layer(
        self, name: str, key: object, paint: Callable[[pygame.Surface], None], opaque: bool = False
    ) -> pygame.Surface:
        """A picture as large as the window's surface part left of and above the stage's end, painted once
        per `key` and size of the window."""
        stage = self.yard.stage
        full = (key, stage.size, stage.topleft, self.yard.kit.scale, self.yard.kit.text_scale)
        kept = self._layers.get(name)
        if kept is not None and kept[0] == full:
            return kept[1]
        size = (stage.right, stage.bottom)
        if opaque:
            made = pygame.Surface(size).convert() if pygame.display.get_surface() else pygame.Surface(size)
        else:
            made = pygame.Surface(size, pygame.SRCALPHA)
        paint(made)
        if not opaque and pygame.display.get_surface() is not None:
            made = made.convert_alpha()
        self._layers[name] = (full, made)
        return made

    def show_layer(self, surface: pygame.Surface, made: pygame.Surface) -> None:
        stage = self.yard.stage
        surface.blit(made, stage.topleft, stage)

    def backdrop(self, surface: pygame.Surface, name: str) -> None:
        """A drawing of 1280 by 720 that fills the stage; what it leaves free is filled in its own colour."""
        picture = self.yard.art.picture(name, self.view.scale, opaque=True)
        corner = self.view.at(0, 0)
        edge = picture.get_at((picture.get_width() - 1, picture.get_height() - 1))
        surface.fill(edge)
        surface.blit(picture, corner)

    def put(
        self,
        surface: pygame.Surface,
        name: str,
        at: Place,
        anchor: Place,
        size: float = 1.0,
        turned_deg: float = 0.0,
        mirrored: bool = False,
        narrowed: tuple[float, float] = (1.0, 1.0),
    ) -> pygame.Rect:
        """Draw a picture so that the point `anchor` of its own pixels lies at a point of the drawing."""
        art = self.yard.art
        scale = self.view.scale * size
        picture = art.picture(name, scale, turned_deg=turned_deg, mirrored=mirrored, narrowed=narrowed)
        width, height = art.size(name)
        dx = (anchor[0] - width / 2) * scale * (-1 if mirrored else 1) * narrowed[0]
        dy = (anchor[1] - height / 2) * scale * narrowed[1]
        angle = math.radians(turned_deg)
        x, y = self.view.at(*at)
        centre = (
            x - (dx * math.cos(angle) + dy * math.sin(angle)),
            y - (-dx * math.sin(angle) + dy * math.cos(angle)),
        )
        return surface.blit(picture, picture.get_rect(center=(round(centre[0]), round(centre[1]))))

    def text(
        self,
        surface: pygame.Surface,
        text: str,
        at: Place,
        size: float = 13,
        colour: Colour = INK,
        bold: bool = False,
        anchor: str = "center",
    ) -> pygame.Rect:
        where = self.view.at(*at)
        return self.yard.kit.text(surface, text, where, self.lettering(size), colour, bold, anchor=anchor)

    def sign(
        self, surface: pygame.Surface, kind: str, centre: tuple[float, float], pixels: int, ink: Colour
    ) -> None:
        """The sign of a function or a line in one colour, `pixels` of the window across."""
        art = self.yard.art

        def make() -> pygame.Surface:
            name = f"sym_{SIGNS.get(kind, kind)}"
            made = art.picture(name, pixels / art.size(name)[0]).copy()
            made.fill((*ink, 255), special_flags=pygame.BLEND_RGBA_MULT)
            return made

        made = self.yard.kit.keep(("sign", kind, pixels, ink), make)
        surface.blit(made, made.get_rect(center=(round(centre[0]), round(centre[1]))))

    def tag(
        self, surface: pygame.Surface, tag: str, kind: str, at: Place, light: bool = False
    ) -> pygame.Rect:
        """A plate with a sign and a tag, centred at a point."""
        kit, size = self.yard.kit, self.lettering(11.5)
        mark = self.px(13)
        box = pygame.Rect(0, 0, kit.width(tag, size, True) + mark + self.px(12), kit.line(size) + self.px(1))
        box.center = self.view.at(*at)
        kit.box(surface, box, SHEET if light else SAND[5], INK, radius=3, border=1.2)
        self.sign(surface, kind, (box.left + self.px(3.5) + mark / 2, box.centery), mark, INK)
        kit.text(surface, tag, (box.right - self.px(5), box.centery), size, INK, True, anchor="midright")
        return box

    def plate(
        self,
        surface: pygame.Surface,
        text: str,
        at: Place,
        size: float = 12,
        fill: Colour = SAND[6],
        ink: Colour = INK,
        fits: bool = False,
    ) -> pygame.Rect:
        """A small engraved plate with a tag, centred at a point; no larger than its letters if it `fits`."""
        kit, size = self.yard.kit, self.lettering(size)
        wide, tall = (self.px(5), 0) if fits else (self.px(12), self.px(2))
        box = pygame.Rect(0, 0, kit.width(text, size, True) + wide, kit.line(size) + tall)
        box.center = self.view.at(*at)
        box.clamp_ip(self.yard.stage)
        kit.box(surface, box, fill, INK, radius=3, border=1.2)
        kit.text(surface, text, box.center, size, ink, True, anchor="center")
        return box

    def ring(
        self,
        surface: pygame.Surface,
        at: Place,
        radius: float,
        colour: Colour = ACCENT_LIGHT,
        width: float = 2.5,
    ) -> None:
        """A ring with a dark edge, seen on light and dark ground."""
        centre, scale = self.view.at(*at), self.view.scale
        for extra, tone in ((width + 2.4, ACCENT_DARK if colour != INK else SHEET), (width, colour)):
            pygame.draw.aacircle(
                surface, tone, centre, round((radius + extra / 2) * scale), max(1, round(extra * scale))
            )

    def hovering(self, name: str) -> bool:
        return self._over == name

    def hover_box(self, surface: pygame.Surface) -> None:
        """A quiet frame round what a click would take."""
        if not self._over or self._over.startswith("adjust:"):
            return
        if self.setting is not None and not self.setting.bubble:
            return  # the hand has left it and drags
        spot = self.spot(self._over)
        if spot is None or (self.held is None and not (spot.thing or spot.tap or spot.dial or spot.hold)):
            return
        box = self.view.area(*spot.box)
        radius = max(2, round(7 * self.view.scale))
        pygame.draw.rect(surface, INK, box.inflate(2, 2), max(1, round(3 * self.view.scale)), radius)
        pygame.draw.rect(surface, ACCENT_LIGHT, box, max(1, round(1.6 * self.view.scale)), radius)

    def lit(self, surface: pygame.Surface, box: pygame.Rect) -> None:
        """A bright line along the foot of a button that is on: its colour alone would not tell everybody."""
        foot = pygame.Rect(0, 0, box.width * 3 // 5, max(2, self.px(3)))
        foot.midbottom = box.centerx, box.bottom - max(2, self.px(2.5))
        self.yard.kit.box(surface, foot, ICE[5], None, radius=2)

    def button(
        self, surface: pygame.Surface, spot: Spot, text: str, on: bool = False, size: float = 13
    ) -> None:
        """A push button on a panel; pressed in while it is held, lit while it is on."""
        kit, box, size = self.yard.kit, self.view.area(*spot.box), self.lettering(size)
        down = self.pressing(spot.id)
        fill = ACCENT if on else GRAPHITE[3] if not down else GRAPHITE[1]
        kit.box(surface, box, fill, GRAPHITE[0], radius=7, border=1.6)
        if on:
            self.lit(surface, box)
        room = box.width - self.px(8)
        widest = max((kit.width(word, size, True) for word in text.split()), default=1)
        size *= min(1.0, room / widest)  # rather smaller than a word broken in two
        lines = kit.wrap(text, room, size, True)
        y = box.centery - len(lines) * kit.line(size) / 2
        for line in lines:
            kit.text(surface, line, (box.centerx, y + (1 if down else 0)), size, SHEET, True, anchor="midtop")
            y += kit.line(size)
