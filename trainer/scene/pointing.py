"""Pointing at the thing: for a step whose "how" is open, the next gesture, where it begins and where it ends.

It is read off the actions of the step and what the yard says to them, afresh whenever it is asked for; what
the trainee does otherwise is in no way hindered. Amounts are not told: those are for the trainee to find.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

import pygame

from trainer.core.actions import CONDITIONS, WORDS, Action, from_line
from trainer.core.case import Step
from trainer.scene.guide import READY
from trainer.scene.palette import BAR, BAR_INK, INK, YELLOW

if TYPE_CHECKING:
    from trainer.scene.shell import Shell

_SO_ALREADY: Final = frozenset({"is_so_already", "is_coupled", "is_off", "already_clear", "already_under"})
"""The yard's reasons for which an action need not be done any more."""
_ELSEWHERE: Final = frozenset({"not_seen_from_here", "not_measured_here"})
"""Its reasons for which a look or a measurement is taken where the step walks to."""
_RING_WIDE = 4
_BEAT_S = 1.6


class Gesture(NamedTuple):
    """`kind` is a text under `screens.pointing`; of the targets the first one that is there counts."""

    kind: str
    at: tuple[str, ...]
    to: tuple[str, ...] = ()


class Pointing:
    """Follows one sitting; `next` says what to point at now, `draw` points."""

    def __init__(self, shell: Shell, from_start: bool) -> None:
        self.shell = shell
        self._since: dict[str, int] = {}
        self._from_start = from_start

    def next(self) -> Gesture | None:
        """The next gesture of the first step whose "how" is open; None where none is."""
        shell = self.shell
        if shell.busy or shell.state.ended:
            return None
        for step in shell.guide.next_steps():
            if step.name in shell.side.how and shell.side.offers:
                return self._of(step)
        return None

    def _of(self, step: Step) -> Gesture | None:
        log = self.shell.attempt.log
        since = self._since.setdefault(step.name, 0 if self._from_start else len(log))
        done = [entry.action for entry in log[since:] if not entry.refused]
        actions = [from_line(line) for line in step.actions]
        begun = any(action in done for action in actions)
        gesture = None if begun else self._made_good(step)
        if gesture is not None:
            return gesture
        place = self.shell.state.station
        for action in actions:
            if action.word == "go":
                place = action.thing
                continue
            if action in done:
                done.remove(action)
                continue
            if action.word == "wait" and any(each.word == "wait" for each in done):
                continue
            refusal = self.shell.legal(action)
            if refusal is not None and refusal.reason in _SO_ALREADY:
                continue
            not_from_here = refusal is not None and refusal.reason in _ELSEWHERE
            if not_from_here and place != self.shell.state.station:
                return self._walk(place)
            if refusal is not None and refusal.reason == "not_here":
                stations = WORDS[action.word].stations
                return self._walk(place if not stations or place in stations else stations[0])
            return self._gesture(action)
        if place != self.shell.state.station:
            return self._walk(place)
        return None

    def _made_good(self, step: Step) -> Gesture | None:
        """What brings the yard into the state that the step is done from."""
        shell, state = self.shell, self.shell.state
        if not step.ready or not any(line.partition(":")[0] != "go" for line in step.actions):
            return None
        missing = [name for name in READY[step.ready] if not shell.bits >> CONDITIONS.index(name) & 1]
        key = state.key != "on" and step.ready != "ground"
        if not missing and not key:
            return None
        if missing == ["fan_still"]:
            return Gesture("press", ("yard.wait_10",))
        if state.station != "seat":
            return self._walk("seat")
        if "engine_off" in missing:
            return Gesture("press", ("engine:stop",))
        if "brake_set" in missing:
            return Gesture("press", ("brake",))
        if "key_out" in missing:
            return Gesture("press", ("key:out",))
        if key:
            return Gesture("press", ("key:on",))
        return Gesture("press", ("engine:start",)) if "running" in missing else None

    def _walk(self, place: str) -> Gesture:
        return Gesture("walk", (f"yard.go.{place}",))

    def _gesture(self, action: Action) -> Gesture:
        word, thing, place = action.word, action.thing, action.place
        case = self.shell.case
        end = f"{'plug' if case.plug(thing) >= 0 else 'end'}:{thing}"
        face = f"port:{thing}" if case.port(thing) >= 0 else end
        carried = {
            "couple": (end, f"port:{place}"),
            "plug": (end, f"socket:{place}"),
            "cap": ("caps", end),
            "store": (end, f"holder:{thing}"),
            "route": ("guide", "guide:right"),
            "chock": ("chock", f"chock:{thing}"),
            "unchock": (f"chock:{thing}", "chock"),
            "bushings": ("bushing", "pins"),
            "top_hook": ("hook", "top_hook"),
            "lift_lock": ("lock_pin", "lift_lock") if thing == "set" else ("lift_lock", "lock_pin"),
            "ballast": ("weight", "nose"),
        }
        if word == "terminator":
            carried[word] = (f"outlet:{self.shell.state.terminator_at}", f"outlet:{thing}")
        if word == "wipe":
            return Gesture("wipe", ("rag",), (face,))
        if word in ("uncouple", "unplug"):
            return Gesture("pull", (end,), (f"holder:{thing}",))
        if word in carried:
            at, to = carried[word]
            return Gesture("carry", (at,), (to,))
        if word == "look" and self.shell.state.station != "seat":
            seen = {"latches": ("latch:left",), "supports": ("stands",)}
            return Gesture("look", ("eye",), seen.get(thing, ("go:implement", "go:hitch")))
        if word == "read":
            return Gesture("paper", (f"yard.paper.{thing}", "yard.side.papers"))
        if word in ("dial", "throttle", "hitch", "top_link", "sway"):
            control = f"{word}:{thing}" if word == "dial" else word
            return Gesture("set", ("adjust:set", control))
        if word == "hand_in":
            return Gesture("press", ("dialog.hand_in", "yard.hand_in"))
        pressed = {
            "lever": (f"lever:{thing}:{place}",),
            "reverse": ("drive:reverse",),
            "creep": ("drive:creep",),
            "drive": ("drive:off",),
            "park_at": (f"park:{thing}",),
            "wait": ("yard.wait_10",),
            "latch": (f"latch:{thing}",),
            "unlatch": (f"latch:{thing}",),
        }
        slid = ("drawbar", "stands")
        return Gesture("press", pressed.get(word, (word,) if word in slid else (f"{word}:{thing}", word)))

    # --- drawing -------------------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        """Ring what comes next and say beside it what to do there."""
        gesture = self.next()
        if gesture is None:
            return
        kit = self.shell.kit
        at, to = self._box(gesture.at), self._box(gesture.to)
        held = self.shell.station.in_hand
        if held and to is not None:
            at, to = to, None
            kind = f"{gesture.kind}_on"
        else:
            kind = gesture.kind
        if at is None:
            return
        for box in (at, to):
            if box is not None:
                self._ring(surface, box)
        says = self.shell.texts.say(
            f"screens.pointing.{kind}", by_key=kit.keys.shown("press", self.shell.texts)
        )
        self._say(surface, says, [box for box in (at, to) if box is not None])

    def _box(self, names: tuple[str, ...]) -> pygame.Rect | None:
        found = (self.shell.kit.find(name) for name in names)
        seen = (target.seen for target in found if target is not None)
        return next((box for box in seen if box.width > 0 and box.height > 0), None)

    def _ring(self, surface: pygame.Surface, box: pygame.Rect) -> None:
        """A ring that breathes slowly, or stands still where motion is reduced."""
        kit = self.shell.kit
        beat = 0.0 if self.shell.calm else abs((self.shell.now_s / _BEAT_S) % 1.0 - 0.5) * 2
        ring = box.inflate(kit.px(8 + 6 * beat), kit.px(8 + 6 * beat))
        wide, edge = kit.px(_RING_WIDE), max(2, kit.px(2))
        pygame.draw.rect(
            surface, INK, ring.inflate(2 * edge, 2 * edge), wide + 2 * edge, border_radius=kit.px(9)
        )
        pygame.draw.rect(surface, YELLOW, ring, wide, border_radius=kit.px(8))

    def _say(self, surface: pygame.Surface, says: str, boxes: list[pygame.Rect]) -> None:
        """The words in a box beside the first ring, over neither and over as little else as can be."""
        kit = self.shell.kit
        pad = kit.px(10)
        wide = min(kit.width(says, 14, True) + 1, kit.tx(260))
        tall = kit.height(says, wide, 14, True)
        card = pygame.Rect(0, 0, wide + 2 * pad, tall + 2 * pad)
        first, gap = boxes[0], kit.px(20)
        room = self.shell.stage if self.shell.stage.contains(first) else surface.get_rect()
        room = room.inflate(-kit.px(12), -kit.px(12))
        others = [target.seen for target in kit.targets]
        places: list[tuple[int, int, int, pygame.Rect]] = []
        for place in (
            {"midleft": (first.right + gap, first.centery)},
            {"midright": (first.left - gap, first.centery)},
            {"midbottom": (first.centerx, first.top - gap)},
            {"midtop": (first.centerx, first.bottom + gap)},
        ):
            wish = card.copy()
            for name, point in place.items():
                setattr(wish, name, point)
            moved = wish.clamp(room)
            over = 100 * sum(moved.clip(box.inflate(gap, gap)).width > 0 for box in boxes)
            over += sum(moved.colliderect(box) for box in others)
            far = abs(moved.x - wish.x) + abs(moved.y - wish.y)
            places.append((over, far, len(places), moved))
        card = min(places, key=lambda place: place[:3])[3]
        kit.box(surface, card, BAR, YELLOW, radius=7, border=2)
        kit.paragraph(surface, says, (card.left + pad, card.top + pad), wide, 14, BAR_INK, True)
