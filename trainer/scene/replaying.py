"""An attempt shown once more: its own actions at their own ticks, at a pace of the onlooker's choice."""

from __future__ import annotations

import pygame

from trainer.core.actions import Action
from trainer.core.attempt import Attempt
from trainer.records.charts import clock
from trainer.scene.desk import Desk
from trainer.scene.kit import Target
from trainer.scene.palette import ACCENT_LIGHT, BAR_EDGE, BAR_MUTED, VERMILLION
from trainer.scene.shell import Shell

_PACES = (1, 4, 16, 64)


class Replaying(Shell):
    """The yard as in the attempt; nothing can be done in it, only watched."""

    name = "replay"

    def __init__(self, desk: Desk, recorded: Attempt) -> None:
        attempt = Attempt(recorded.case, recorded.rules)
        super().__init__(desk, attempt, attempt, "guided")
        self.recorded = recorded
        self.end_tick = recorded.state.tick
        self.speed = 4
        self.stopped = False
        self._next = 0

    @property
    def pace(self) -> float:
        return 0.0 if self.stopped or self.state.tick >= self.end_tick else float(self.speed)

    def do(self, action: Action) -> None:
        """Nothing: the actions are on record."""
        del action

    def tick(self) -> None:
        log = self.recorded.log
        if self._next < len(log) and log[self._next].tick <= self.state.tick:
            action = log[self._next].action
            self._next += 1
            self._queue.append(action)
            self._start_next()
        else:
            self._pass_tick()
        self._tell()

    def before_kit(self, event: pygame.event.Event) -> bool:
        del event
        return False

    def handle(self, event: pygame.event.Event) -> bool:
        if self.kit.keys.asks(event, "press", "pause"):
            self.stopped = not self.stopped
            return True
        if self.kit.keys.asks(event, "back"):
            self.desk.go("leave")
            return True
        return False

    def _reachable(self) -> list[Target]:
        return []

    def _walk(self, name: str) -> None:
        """Look at another station than the one where the trainee stood."""
        self.shown = "" if name == self.state.station else name
        self._here = ""

    def _draw_buttons(self, surface: pygame.Surface, row: pygame.Rect) -> None:
        desk, kit = self.desk, self.kit
        x = row.left
        label = desk.say("screens.replay.go_on" if self.stopped else "screens.replay.stop")
        wide = kit.width(label, 14, True) + kit.px(52)
        kit.button(
            surface,
            pygame.Rect(x, row.top, wide, row.height),
            label,
            "replay.stop",
            self._toggle,
            kind="bar",
            size=14,
            symbol="play" if self.stopped else "pause",
        )
        x += wide + kit.px(8)
        items = [(str(pace), f"{pace}×") for pace in _PACES]
        tabs = pygame.Rect(x, row.top, kit.tx(46) * len(items), row.height)
        kit.tabs(surface, tabs, items, str(self.speed), self._set_speed, "replay.pace.", kind="bar", size=14)
        x = tabs.right + kit.px(8)
        label = desk.say("screens.replay.next")
        wide = kit.width(label, 14, True) + kit.px(30)
        kit.button(
            surface,
            pygame.Rect(x, row.top, wide, row.height),
            label,
            "replay.next",
            self._to_next,
            kind="bar",
            size=14,
        )
        x += wide + kit.px(14)
        track = pygame.Rect(
            x, row.centery - kit.px(4), max(kit.px(40), row.right - x - kit.tx(60)), kit.px(8)
        )
        kit.box(surface, track, BAR_EDGE, None, radius=3)
        end = max(1, self.end_tick)
        done = pygame.Rect(
            track.left, track.top, track.width * min(self.state.tick, end) // end, track.height
        )
        kit.box(surface, done, ACCENT_LIGHT, None, radius=3)
        for finding in self.recorded.findings:
            at = track.left + track.width * min(finding.tick, end) // end
            pygame.draw.line(
                surface,
                VERMILLION,
                (at, track.top - kit.px(4)),
                (at, track.bottom + kit.px(4)),
                max(2, kit.px(3)),
            )
        kit.text(surface, clock(end), row.midright, 13, BAR_MUTED, anchor="midright")

    def _toggle(self) -> None:
        self.stopped = not self.stopped

    def _set_speed(self, name: str) -> None:
        self.speed = int(name)

    def _to_next(self) -> None:
        """To the next action, and through it."""
        log = self.recorded.log
        if self._next < len(log):
            goal = log[self._next].tick + 1
            while self.state.tick < goal and not self.state.ended:
                self.tick()

    def _pause(self) -> None:
        self.desk.go("leave")
