"""The yard's frame: bar, stage, side panel and message strip around the station where the trainee stands.

The shell hands actions to the attempt one after another as the hands come free, puts what happened into
words, and offers the stations what `station.Yard` promises. It judges nothing.
"""

from __future__ import annotations

import contextlib
from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Protocol

import pygame

from trainer.core.actions import Action, Event, Refusal
from trainer.core.attempt import Attempt
from trainer.core.case import STATIONS, Case
from trainer.core.engine import legal
from trainer.core.readings import standing
from trainer.core.state import State
from trainer.core.units import TICKS_PER_S
from trainer.lang import TextMissing, Texts
from trainer.records import inquiry, telling
from trainer.records.charts import clock
from trainer.scene import stations, weather
from trainer.scene.desk import Desk, Screen
from trainer.scene.effects import GLIDE_S, Glide, beside
from trainer.scene.guide import LOOK_TICKS, Guide
from trainer.scene.kit import Target
from trainer.scene.palette import (
    ACCENT_LIGHT,
    BAR,
    BAR_EDGE,
    BAR_INK,
    BAR_MUTED,
    BAR_RAISED,
    GREEN,
    INK,
    ORANGE,
    SEVERITY,
    SKY,
    Colour,
    mix,
)
from trainer.scene.pointing import Pointing
from trainer.scene.report import Draft, Report, said_of_mending
from trainer.scene.side import SidePanel
from trainer.scene.sound import Tone, steady, stroke_of
from trainer.scene.station import STAGE, Station

_PACE_BUSY, _PACE_WAIT, _PACE_FAST = 10.0, 30.0, 60.0
_MOST_MESSAGES = 80
_WAIT_S = 10
_EVENTS_RECALLED = 30
_MESSAGE_SIZE = 13
_MESSAGE_LINES = 4
_CROWDED = 1.4
_SILENT = ("refused_what", "works_at", "went", "dial_left", "handed_in")
"""What the strip need not say: it shows, or was asked for just now."""


class Driver(Protocol):
    """What drives the attempt: the journal, which writes it down as it goes, or the attempt itself."""

    def do(self, action: Action) -> Refusal | None: ...

    def run(self, ticks: int = 1) -> None: ...


@dataclass(frozen=True, slots=True)
class Message:
    """A line of the strip: `happened`, `refused`, `finding` or `note`."""

    kind: str
    text: str
    tick: int
    severity: str = ""


_MESSAGE_SIGNS: dict[str, tuple[str, Colour]] = {
    "happened": ("arrow", SKY),
    "refused": ("cross", ORANGE),
    "note": ("square", ACCENT_LIGHT),
    "done": ("check", GREEN),
}


class Shell(Screen):
    """The yard on the screen; implements `station.Yard`."""

    name = "yard"

    def __init__(
        self,
        desk: Desk,
        attempt: Attempt,
        driver: Driver,
        mode: str,
        *,
        resumed: bool = False,
        shown: str = "",
        newcomer: bool = False,
    ) -> None:
        super().__init__(desk)
        self.attempt = attempt
        self.driver = driver
        self.mode = mode
        self.art, self.kit = desk.art, desk.kit
        self.art.sky = self.case.start.sky
        self.stage = pygame.Rect(0, 0, *STAGE)
        self.scale = 1.0
        self.now_s = 0.0
        self.guide = Guide.after(attempt) if resumed else Guide(self.case)
        self.messages: deque[Message] = deque(maxlen=_MOST_MESSAGES)
        self.dialog = dialog = ""
        self.shown = shown
        self.side = SidePanel(self, newcomer)
        self.pointing = Pointing(self, resumed)
        self.draft = Draft()
        self.signed: Event | None = None
        """The report signed last, as it is told."""
        self.stations = stations.make(self)
        self._cold: list[str] = []
        """Stations not drawn yet at this size."""
        self._queue: deque[Action] = deque()
        self._busy_from = attempt.state.tick
        self._seen_events = max(0, len(attempt.events) - _EVENTS_RECALLED)
        self._seen_findings = len(attempt.findings)
        self._strokes: list[str] = []
        """Short sounds of what happened since the last frame."""
        self._tones: tuple[Tone, ...] = ()
        """What sounds on and on."""
        self._legal: dict[Action, Refusal | None] = {}
        self._legal_for: State | None = None
        self._here = ""
        self._came_s = -GLIDE_S
        self._glide: Glide | None = None
        self._doing = self._words(attempt.log[-1].action) if attempt.log else ""
        self.bits = standing(self.case, attempt.state)
        self.guide.look(attempt)
        self._tell()
        self._strokes.clear()  # what is only recalled is not heard again
        self.dialog = dialog
        if resumed:
            self._note("screens.yard.resumed")
        else:
            place = self.texts.say(f"screens.stations.{attempt.state.station}")
            self._note("screens.yard.begin", station=place)

    def again(self) -> Shell:
        """The same yard made anew, for words in another language; what was about to be done still is."""
        new = Shell(self.desk, self.attempt, self.driver, self.mode, resumed=True, shown=self.shown)
        new._queue, new._here = self._queue, self._here
        new.dialog, new.draft, new.signed = self.dialog, self.draft, self.signed
        return new

    # --- what stations are promised ------------------------------------------------------------------------

    @property
    def case(self) -> Case:
        """The machines as they are now: sound again once what was wrong is mended."""
        return self.attempt.present

    @property
    def state(self) -> State:
        return self.attempt.state

    @property
    def texts(self) -> Texts:
        return self.desk.texts

    @property
    def metric(self) -> bool:
        return self.desk.settings.metric

    @property
    def calm(self) -> bool:
        return self.desk.settings.reduced_motion

    @property
    def waiting(self) -> tuple[Action, ...]:
        """Actions that wait for the hands."""
        return tuple(self._queue)

    @property
    def hands_busy(self) -> bool:
        return self.state.busy_until > self.state.tick

    @property
    def busy(self) -> bool:
        return self.hands_busy or bool(self._queue)

    def do(self, action: Action) -> None:
        if self.state.ended:
            return
        if action.word == "hand_in":
            self.dialog = "hand_in"
            return
        if action.word == "read":
            self.side.show_paper(action.thing)
        else:
            self.side.close_paper()
        self._queue.append(action)

    def open_report(self) -> None:
        if self.case.fault is not None and not self.state.ended:
            self.desk.lay_over(Report(self.desk, self, self.draft))

    def paper_closed(self) -> None:
        self.side.close_paper()

    def legal(self, action: Action) -> Refusal | None:
        if self._legal_for is not self.state:
            self._legal_for = self.state
            self._legal.clear()
        if action not in self._legal:
            # Busy hands are no reason to call a port wrong: what is asked is whether it would go then.
            settled = self.state._replace(busy_until=self.state.tick) if self.hands_busy else self.state
            self._legal[action] = legal(self.case, settled, action)
        return self._legal[action]

    def say(self, key: str, **gaps: object) -> None:
        self._note(key, **gaps)

    def amount(self, kind: str, value_si: float, decimals: int | None = None) -> str:
        return self.desk.amount(kind, value_si, decimals)

    def refusal_text(self, refusal: Refusal) -> str:
        return telling.say_refusal(self.case, Action("wait"), refusal, self.texts, self.metric)

    def at(self, x: float, y: float) -> tuple[int, int]:
        return self.stage.left + round(x * self.scale), self.stage.top + round(y * self.scale)

    def area(self, x: float, y: float, width: float, height: float) -> pygame.Rect:
        left, top = self.at(x, y)
        right, bottom = self.at(x + width, y + height)
        return pygame.Rect(left, top, right - left, bottom - top)

    def drawn(self, point: tuple[int, int]) -> tuple[float, float]:
        return (point[0] - self.stage.left) / self.scale, (point[1] - self.stage.top) / self.scale

    # --- the course of things ------------------------------------------------------------------------------

    @property
    def here(self) -> str:
        """The station on the stage."""
        return self.shown or self.state.station

    @property
    def station(self) -> Station:
        return self.stations[self.here]

    @property
    def pace(self) -> float:
        if self.dialog or self.state.ended:
            return 0.0
        if self.kit.held == "yard.fast":
            return _PACE_FAST
        if self.hands_busy:
            return _PACE_WAIT if self.state.doing == "wait" else _PACE_BUSY
        return 1.0

    def tick(self) -> None:
        was_busy = self.hands_busy
        if self._queue and not was_busy:
            self._start_next()
            was_busy = True
        else:
            self._pass_tick()
        self._tell()
        freed = was_busy and not self.hands_busy
        if freed or self.state.ended or self.state.tick % LOOK_TICKS == 0:
            self._look()
        if self.state.ended and self.dialog != "ended":
            self.dialog = "ended"

    def _start_next(self) -> None:
        action = self._queue.popleft()
        tick = self.state.tick
        refusal = self.driver.do(action)
        self._busy_from = tick
        self._doing = self._words(action)
        if refusal is not None:
            self._queue.clear()  # what was meant to follow was meant to follow this

    def _pass_tick(self) -> None:
        self.driver.run(1)

    def read_first(self, papers: Iterable[str]) -> None:
        """Papers looked through before the start: they are on record as read in the yard's time."""
        self._queue.extend(Action("read", name) for name in papers)

    def _words(self, action: Action) -> str:
        """What the hands are doing."""
        key = f"screens.doing.{action.word}"
        if not self.texts.has(key):
            key = f"{key}_{action.thing}"
        return self.texts.say(
            key,
            thing=telling.name_of(self.case, action.thing, self.texts),
            place=telling.name_of(self.case, action.place, self.texts),
            amount=telling.amount_of(action, self.texts),
        )

    def _look(self) -> None:
        self.bits = standing(self.case, self.state)
        guide = self.guide
        before = guide.done - guide.given
        if guide.look(self.attempt):
            self.side.asked = False
            if self.mode == "guided":
                for step in self.case.steps:
                    if step.name in guide.done - guide.given - before:
                        text = self.texts.say("screens.yard.step_done", step=step.title)
                        self._put("done", text, self.state.tick)

    def _tell(self) -> None:
        """New events and findings as lines of the strip."""
        for event in self.attempt.events[self._seen_events :]:
            if stroke := stroke_of(event):
                self._strokes.append(stroke)
            if event.kind == "refused":
                log = self.attempt.log
                action = next(entry.action for entry in reversed(log) if entry.tick == event.tick)
                values = dict(event.values)
                why = telling.say_reason(self.case, action, event.place, values, self.texts, self.metric)
                self._put("refused", why, event.tick)
                continue
            if event.kind == "named":
                self.dialog, self.signed = "named", event
            if event.kind not in _SILENT:
                with contextlib.suppress(TextMissing):  # a line less in the strip; a test wants them all
                    text = telling.say_event(self.case, event, self.texts, self.metric)
                    self._put("happened", text, event.tick)
        self._seen_events = len(self.attempt.events)
        if self.mode == "guided":
            for finding in self.attempt.findings[self._seen_findings :]:
                text = telling.say_finding(self.case, finding, self.texts)
                self._put("finding", text, finding.tick, finding.severity)
        self._seen_findings = len(self.attempt.findings)

    def _note(self, key: str, **gaps: object) -> None:
        self._put("note", self.texts.say(key, **gaps), self.state.tick)

    def _put(self, kind: str, text: str, tick: int, severity: str = "") -> None:
        if self.messages and self.messages[-1].text == text and self.messages[-1].kind == kind:
            self.messages.pop()
        self.messages.append(Message(kind, text, tick, severity))
        self.kit.follow_end("yard.messages")

    def update(self, dt_s: float) -> None:
        if self.dialog:
            self.desk.speaker.silence()
            return
        self._hear(dt_s)
        self.now_s += dt_s
        if self._here != self.here:
            self._glide = self._set_out()
            if self._here in self.stations:
                self.stations[self._here].leave()
            self._here = self.here
            self._came_s = self.now_s
            self.station.enter()
        self.station.update(dt_s)

    def _set_out(self) -> Glide | None:
        """The camera's way from where it was; none where motion is reduced or nothing was shown before."""
        way = beside(self._here, self.here) if self._here in self.stations else ""
        if not way or self.calm:
            return None
        old = pygame.Surface(self.stage.bottomright)
        self.stations[self._here].draw(old)
        place = self._here if way == "out" else self.here
        at = self.stations["yard"].place_of(f"go:{place}")
        return Glide(old.subsurface(self.stage), way, at.move(-self.stage.left, -self.stage.top))

    def _hear(self, dt_s: float) -> None:
        """Let what is heard be heard; while the clock is hurried, short sounds only once."""
        self._tones = steady(self.case, self.state)
        self.desk.speaker.hear(self._tones, tuple(self._strokes), dt_s, self.desk.settings.loudness)
        self._strokes.clear()

    def warm(self) -> bool:
        """Draw one more station where nobody sees it, so that the first walk there shows no halt."""
        while self._cold:
            name = self._cold.pop(0)
            if name != self.here:
                station = self.stations[name]
                station.enter()
                station.draw(pygame.Surface(self.stage.bottomright))
                station.leave()
                return True
        return False

    def enter(self) -> None:
        self._here = ""

    def leave(self) -> None:
        self.desk.speaker.silence()
        if self._here in self.stations:
            self.stations[self._here].leave()

    def status(self) -> dict[str, object]:
        return {
            "station": self.state.station,
            "tick": self.state.tick,
            "busy": self.busy,
            "free_at": self.state.busy_until,
            "ended": self.state.ended,
            "dialog": self.dialog,
            "held": self.station.in_hand,
            "still": self.station.still,
            "message": self.messages[-1].text if self.messages else "",
        }

    # --- events --------------------------------------------------------------------------------------------

    def before_kit(self, event: pygame.event.Event) -> bool:
        if self.dialog or self.hands_full_of_kit:
            return False
        if event.type == pygame.MOUSEBUTTONDOWN:
            return self.stage.collidepoint(event.pos) and self.station.handle(event)
        if event.type in (pygame.MOUSEMOTION, pygame.MOUSEBUTTONUP):
            return self.station.handle(event)
        if event.type == pygame.MOUSEWHEEL:
            return self.stage.collidepoint(self.kit.pointer) and self.station.handle(event)
        if event.type in (pygame.KEYDOWN, pygame.KEYUP, pygame.TEXTINPUT):
            if self.kit.keys.asks(event, "next", "before"):
                return False
            return self.station.handle(event)
        return False

    @property
    def hands_full_of_kit(self) -> bool:
        """The pointer drags something of the frame, or a field of it is being typed in."""
        return bool(self.kit.held or self.kit.typing)

    def handle(self, event: pygame.event.Event) -> bool:
        asked = self.kit.keys.asked(event, bool(self.kit.typing))
        if asked in ("back", "pause"):
            if self.dialog in ("pause", "hand_in", "named"):
                self.dialog = ""
            elif not self.dialog:
                self.dialog = "pause"
            return True
        return not self.dialog and self._asked_for(asked)

    def _asked_for(self, asked: str) -> bool:
        """What the yard's own keys ask for."""
        if asked == "fast":
            self._skip(1)
        elif asked == "wait":
            self._waiter(_WAIT_S)()
        elif asked == "hand_in":
            self._ask_hand_in()
        elif asked == "side":
            self.side.next_tab()
        elif (place := asked.removeprefix("go_")) in STATIONS and place != asked:
            self._walk(place)
        else:
            return False
        return True

    # --- drawing -------------------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        bar, side, strip = self._layout(surface.get_rect())
        surface.fill(BAR)
        self._draw_bar(surface, bar)
        self._draw_stage(surface)
        self.side.draw(surface, side)
        self._draw_strip(surface, strip)
        if not self.dialog:
            self.pointing.draw(surface)
        self._draw_dialog(surface)

    def _layout(self, window: pygame.Rect) -> tuple[pygame.Rect, pygame.Rect, pygame.Rect]:
        kit = self.kit
        row = kit.line(14) + kit.px(16)
        tall = kit.px(16) + row * (2 if kit.text_scale > 1.2 else 1)
        bar = pygame.Rect(0, 0, window.width, tall)
        side_wide = round(kit.px(300) * (1 + 0.5 * (kit.text_scale - 1)))
        lines = _MESSAGE_LINES if kit.text_scale < 1.2 else 3 if kit.text_scale < 1.6 else 2
        strip_tall = kit.line(_MESSAGE_SIZE) * lines + row + kit.px(6)
        room = pygame.Rect(0, bar.bottom, window.width - side_wide, window.height - bar.bottom - strip_tall)
        scale = min(room.width / STAGE[0], room.height / STAGE[1])
        stage = pygame.Rect(0, 0, round(STAGE[0] * scale), round(STAGE[1] * scale))
        stage.midtop = room.midtop
        if stage != self.stage:
            self.stage, self.scale = stage, scale
            self._cold = list(self.stations)
            if self._here:
                self.station.enter()
        strip = pygame.Rect(0, stage.bottom, room.width, window.height - stage.bottom)
        side = pygame.Rect(room.right, bar.bottom, side_wide, window.height - bar.bottom)
        return bar, side, strip

    def _draw_stage(self, surface: pygame.Surface) -> None:
        kit = self.kit
        surface.set_clip(self.stage)
        if self._here != self.here:
            self.update(0.0)
        self.station.draw(surface)
        if weather.LIGHTS[self.art.sky].rain and self.here not in ("bench", "seat"):
            weather.draw_rain(surface, self.stage, self.now_s, self.calm)
        gone = self.now_s - self._came_s
        if self._glide is not None:
            if gone < GLIDE_S and not self.calm:
                self._glide.draw(surface, self.stage, gone / GLIDE_S)
            else:
                self._glide = None
        surface.set_clip(None)
        for target in self._reachable():
            target.clip = self.stage
            kit.add(target)

    def _reachable(self) -> list[Target]:
        """What hands can get at on the stage."""
        return self.station.targets()

    def _draw_bar(self, surface: pygame.Surface, bar: pygame.Rect) -> None:
        desk, kit = self.desk, self.kit
        row = kit.line(14) + kit.px(16)
        pad = kit.px(12)
        two_rows = bar.height > row + kit.px(20)
        top = bar.top + kit.px(8)
        # from the right: pause, clock, what the hands do
        x = bar.right - pad - row
        kit.button(
            surface,
            pygame.Rect(x, top, row, row),
            "",
            "yard.pause",
            self._pause,
            kind="bar",
            symbol="pause",
            hint=desk.say("screens.yard.pause_hint", by_key=desk.key("pause")),
        )
        time = clock(self.state.tick)
        x -= pad
        place = kit.text(surface, time, (x, top + row // 2), 18, BAR_INK, True, anchor="midright")
        kit.symbol(surface, "clock", (place.left - kit.tx(14), top + row // 2), 16, BAR_MUTED, BAR)
        x = place.left - kit.tx(26)
        doing_wide = kit.px(215) if not two_rows else bar.width // 3
        doing = pygame.Rect(x - doing_wide - pad, top, doing_wide, row)
        self._draw_doing(surface, doing)
        tabs_at = (bar.left + pad, top + row + kit.px(4)) if two_rows else (0, top)
        items = [(name, desk.say(f"screens.stations.{name}")) for name in STATIONS]
        tabs_wide = bar.width - 2 * pad
        if not two_rows:
            tabs_wide = sum(kit.width(label, 14, True) + kit.px(30) for _, label in items)
            tabs_at = (doing.left - pad - tabs_wide, top)
        kit.tabs(
            surface,
            pygame.Rect(*tabs_at, tabs_wide, row),
            items,
            self.here,
            self._walk,
            "yard.go.",
            kind="bar",
            size=14,
            hints={name: self._walk_hint(name) for name in STATIONS},
        )
        title_wide = (doing.left if two_rows else tabs_at[0]) - bar.left - 2 * pad
        kit.text(
            surface,
            self.case.title,
            (bar.left + pad, top + row // 2),
            15,
            BAR_INK,
            True,
            anchor="midleft",
            width=title_wide,
            may_cut=True,
        )

    def _walk_hint(self, name: str) -> str:
        return "" if name == self.state.station else self.desk.say(f"screens.station_hints.{name}")

    def _walk(self, name: str) -> None:
        if name != self.state.station or self._queue:
            self.do(Action("go", name))

    def _draw_doing(self, surface: pygame.Surface, box: pygame.Rect) -> None:
        desk, kit = self.desk, self.kit
        kit.box(surface, box, BAR_RAISED, BAR_EDGE, radius=6)
        inside = box.inflate(-kit.px(20), 0)
        if not self.busy:
            kit.text(
                surface,
                desk.say("screens.yard.hands_free"),
                inside.midleft,
                13,
                BAR_MUTED,
                anchor="midleft",
                width=inside.width,
                may_cut=True,
            )
            return
        text = self._doing if self.hands_busy else desk.say("screens.yard.about_to")
        if self._queue and self.hands_busy:
            text = desk.say("screens.yard.then", doing=self._doing, count=len(self._queue))
        kit.text(
            surface,
            text,
            (inside.left, box.top + (box.height - kit.px(6)) // 2),
            13,
            BAR_INK,
            anchor="midleft",
            width=inside.width,
            may_cut=True,
        )
        span = max(1, self.state.busy_until - self._busy_from)
        share = min(1.0, max(0.0, (self.state.tick - self._busy_from) / span))
        track = pygame.Rect(inside.left, box.bottom - kit.px(8), inside.width, kit.px(4))
        kit.box(surface, track, BAR_EDGE, None, radius=2)
        surface.fill(ACCENT_LIGHT, (track.left, track.top, round(track.width * share), track.height))

    # the strip

    def _draw_strip(self, surface: pygame.Surface, strip: pygame.Rect) -> None:
        kit = self.kit
        pad = kit.px(12)
        row = kit.line(14) + kit.px(10)
        step = kit.line(_MESSAGE_SIZE)
        buttons_top = strip.bottom - row - kit.px(6)
        room = pygame.Rect(strip.left + pad, strip.top, strip.width - 2 * pad, buttons_top - strip.top)
        room.height -= kit.px(4)
        spare = room.height % step  # whole lines only
        room.top, room.height = room.top + spare // 2 + kit.px(1), room.height - spare
        with kit.scroll(surface, "yard.messages", room, dark=True, grain=step) as view:
            y = view.top
            for message in self.messages:
                y += step * len(self._lines_of(message, view.width)[1])
            view.bottom = y
            for age, message in enumerate(reversed(self.messages)):
                y -= step * len(self._lines_of(message, view.width)[1])
                self._draw_message(surface, message, view.left, y, view.width, age)
        self._draw_buttons(surface, pygame.Rect(strip.left + pad, buttons_top, room.width, row))

    def _draw_buttons(self, surface: pygame.Surface, row: pygame.Rect) -> None:
        desk, kit = self.desk, self.kit
        x = row.left
        ended = bool(self.state.ended)
        waits: tuple[tuple[str, int], ...] = (("wait_10", _WAIT_S), ("wait_60", 60))
        if self.case.fault is not None and kit.text_scale > _CROWDED:
            waits = waits[:1]  # the report needs the room
        for name, seconds in waits:
            x = self._strip_button(surface, x, row, name, self._waiter(seconds), enabled=not ended)
        label = desk.say("screens.yard.fast")
        wide = kit.width(label, 14, True) + kit.px(52)
        fast = pygame.Rect(x, row.top, wide, row.height)
        target = kit.button(
            surface,
            fast,
            label,
            "yard.fast",
            _nothing,
            kind="bar",
            size=14,
            symbol="fast",
            hint=desk.say("screens.yard.fast_hint", by_key=desk.key("fast")),
            enabled=not ended,
        )
        target.step = self._skip
        x += wide + kit.px(8)
        if self._queue:
            x = self._strip_button(surface, x, row, "drop", self._queue.clear)
        if self.case.fault is not None:
            x = self._strip_button(surface, x, row, "report", self.open_report, enabled=not ended)
        label = desk.say("screens.yard.hand_in")
        wide = kit.width(label, 14, True) + kit.px(36)
        if desk.settings.captions:
            self._draw_captions(surface, x, pygame.Rect(x, row.top, row.right - wide - x, row.height))
        kit.button(
            surface,
            pygame.Rect(row.right - wide, row.top, wide, row.height),
            label,
            "yard.hand_in",
            self._ask_hand_in,
            kind="strong",
            size=14,
            enabled=not ended,
        )

    def _draw_captions(self, surface: pygame.Surface, x: int, room: pygame.Rect) -> None:
        """What is heard, in words, as much of it as the row has room for; what is new and loud first."""
        kit = self.kit
        heard = self.desk.speaker.captions(self._tones)
        x += kit.px(10)
        for number, name in enumerate(heard):
            words = self.desk.say(f"screens.sounds.{name}")
            wide = kit.width(words, _MESSAGE_SIZE)
            shown = pygame.Rect(x, room.top, wide + kit.tx(26), room.height)
            if shown.right > room.right - kit.px(10):
                return
            if number == 0:
                kit.symbol(surface, "sound", (x + kit.tx(7), room.centery), 14, BAR_MUTED, BAR)
                x += kit.tx(20)
            kit.text(surface, words, (x, room.centery), _MESSAGE_SIZE, BAR_INK, anchor="midleft")
            x += wide + kit.px(16)

    def _strip_button(
        self,
        surface: pygame.Surface,
        x: int,
        row: pygame.Rect,
        name: str,
        act: Callable[[], None],
        *,
        enabled: bool = True,
    ) -> int:
        kit = self.kit
        label = self.desk.say(f"screens.yard.{name}")
        wide = kit.width(label, 14, True) + kit.px(30)
        kit.button(
            surface,
            pygame.Rect(x, row.top, wide, row.height),
            label,
            f"yard.{name}",
            act,
            kind="bar",
            size=14,
            enabled=enabled,
        )
        return x + wide + kit.px(8)

    def _lines_of(self, message: Message, width: int) -> tuple[int, tuple[str, ...]]:
        """Where the text of a message begins, and its lines."""
        kit = self.kit
        indent = kit.width("00:00", _MESSAGE_SIZE) + kit.px(8) + kit.tx(20)
        bold = message.kind == "finding"
        return indent, kit.wrap(message.text, width - indent, _MESSAGE_SIZE, bold)

    def _draw_message(
        self, surface: pygame.Surface, message: Message, x: int, y: int, width: int, age: int
    ) -> None:
        """A line of the strip; the older it is, the dimmer."""
        kit = self.kit
        step = kit.line(_MESSAGE_SIZE)
        indent, lines = self._lines_of(message, width)
        clip = surface.get_clip()
        if not clip.top - step * len(lines) < y < clip.bottom:
            return
        if message.kind == "finding":
            sign, colour = SEVERITY[message.severity]
            edge = INK
        else:
            sign, colour = _MESSAGE_SIGNS[message.kind]
            edge = BAR
        column = indent - kit.tx(20)
        time = clock(message.tick)
        kit.text(surface, time, (x + column - kit.px(8), y), _MESSAGE_SIZE, BAR_MUTED, anchor="topright")
        kit.symbol(surface, sign, (x + column + kit.tx(7), y + step // 2 - kit.px(1)), 13, colour, edge)
        ink = mix(BAR_INK, BAR_MUTED, min(1.0, age / (_MESSAGE_LINES - 1)))
        for number, line in enumerate(lines):
            kit.text(
                surface, line, (x + indent, y + number * step), _MESSAGE_SIZE, ink, message.kind == "finding"
            )

    def _waiter(self, seconds: int) -> Callable[[], None]:
        def act() -> None:
            self.do(Action("wait", amount=seconds * 1000))

        return act

    def _skip(self, direction: int) -> None:
        """A second of the yard's time at each press of a key, or less: until the hands are free."""
        if direction > 0 and not self.state.ended:
            busy = self.hands_busy
            for _ in range(TICKS_PER_S):
                self.tick()
                if busy and not self.hands_busy:
                    break

    # dialogs

    def _draw_dialog(self, surface: pygame.Surface) -> None:
        desk = self.desk
        if self.dialog == "pause":
            self.kit.dialog(
                surface,
                desk.say("screens.pause.title"),
                desk.say("screens.pause.text"),
                [
                    ("dialog.go_on", desk.say("screens.pause.go_on"), "strong", self._close),
                    ("dialog.settings", desk.say("screens.settings.title"), "plain", self._settings),
                    ("dialog.leave", desk.say("screens.pause.leave"), "plain", self._leave),
                ],
                wide=560,
            )
        elif self.dialog == "hand_in":
            text = desk.say("screens.hand_in.text")
            self.kit.dialog(
                surface,
                desk.say("screens.hand_in.title"),
                text,
                [
                    ("dialog.hand_in", desk.say("screens.hand_in.yes"), "strong", self._hand_in),
                    ("dialog.back", desk.say("screens.hand_in.no"), "plain", self._close),
                ],
            )
        elif self.dialog == "named" and self.signed is not None:
            self._draw_named(surface, self.signed)
        elif self.dialog == "ended":
            reason = self.state.ended.replace(" ", "_")
            key = f"screens.ended.{reason}"
            text = desk.say(key) if self.texts.has(key) else self.state.ended
            last = self.attempt.findings[-1] if self.attempt.findings else None
            if last is not None and self.state.ended != "handed in":
                text = f"{text}\n\n{telling.say_finding(self.case, last, self.texts)}"
            self.kit.dialog(
                surface,
                desk.say("screens.ended.title"),
                text,
                [
                    ("dialog.debrief", desk.say("screens.ended.debrief"), "strong", self._debrief),
                ],
            )

    def _draw_named(self, surface: pygame.Surface, event: Event) -> None:
        """The report that was just signed: not that, or what it was, how it is mended and proved."""
        desk = self.desk
        part = inquiry.part_name(self.case, event.thing, self.texts)
        wrong = inquiry.wrong_name(event.place, self.texts)
        title = desk.say("screens.report.title")
        if event.value("right_count", 0):
            title = desk.say("screens.report.found")
            text = "\n\n".join(
                (desk.say("screens.report.line", part=part, wrong=wrong), *said_of_mending(desk, self.case))
            )
        else:
            key = "not_that" if event.value("wrong_part_count", 0) else "not_what"
            text = desk.say(f"screens.report.{key}", part=part, wrong=wrong)
        buttons = [("dialog.go_on", desk.say("screens.report.go_on"), "strong", self._close)]
        self.kit.dialog(surface, title, text, buttons, wide=560)

    def _pause(self) -> None:
        self.dialog = "pause"

    def _settings(self) -> None:
        self.desk.go("settings")

    def _close(self) -> None:
        self.dialog = ""

    def _ask_hand_in(self) -> None:
        self.dialog = "hand_in"

    def _hand_in(self) -> None:
        self.dialog = ""
        self._queue.clear()
        self._queue.append(Action("hand_in"))

    def _leave(self) -> None:
        self.desk.go("leave")

    def _debrief(self) -> None:
        self.desk.go("debrief", self.attempt, self.mode)


def _nothing() -> None:
    return None
