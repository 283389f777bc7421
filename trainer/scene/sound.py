"""What can be heard in the yard, and the loudspeaker that plays it.

Two halves. `steady` and `STROKES` say what is heard, from the state and the events alone: the captions are
written from them, and whoever cannot hear or has no sound card misses nothing. `Speaker` makes the sounds
out of sums (no recordings), one at a time when first wanted, and plays them. Where there is no sound card
it stays silent without a word.
"""

from __future__ import annotations

import array
import contextlib
import functools
import math
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import pygame

from trainer.core.actions import Event
from trainer.core.case import Case
from trainer.core.readings import supply_live
from trainer.core.state import State
from trainer.core.units import rev_min

RATE_HZ = 22_050
_LOOP_S = 0.5
_STEP = 1.06
"""Ratio of two neighbouring pitches of a loop: a semitone."""
_SLEW_PER_S = 4.0
"""How fast a loudness may change, in full scales a second: nothing clicks on or off."""
_CHANNELS = 12
_CYLINDERS, _PISTONS, _BLADES = 6, 9, 7
"""Of an engine that fires every second turn, of the pump and of a fan: they set the pitches (invented)."""
_CAPTION_S = 3.0
_LEAST_SHARE = 0.05
"""Of its rated speed: what turns more slowly is not heard."""

STROKES: dict[str, str] = {
    "coupled": "click",
    "plugged": "click",
    "clip_fitted": "click",
    "latch_closed": "clack",
    "latch_opened": "clack",
    "part_locked": "clack",
    "part_unlocked": "clack",
    "joint_secured": "clack",
    "joint_released": "clack",
    "floated": "clack",
    "lock_moved": "clack",
    "engine_started": "clack",
    "engine_stopped": "clack",
    "key_off": "tick",
    "capped": "tick",
    "uncoupled": "hiss",
    "bled": "hiss",
    "seal_blown": "burst",
    "lines_torn": "burst",
    "pins_seated": "clunk",
    "pin_fitted": "clunk",
    "set_down": "clunk",
    "backed_in": "clunk",
    "shaft_joined": "clunk",
    "chain_hooked": "chain",
    "chain_unhooked": "chain",
    "dragged_by_chain": "chain",
    "fell": "crash",
    "rolled_away": "crash",
    "tongue_struck": "crash",
    "pin_lost": "crash",
    "joint_parted": "crash",
    "pulled_off": "crash",
    "dropped": "thud",
    "jack_dragged": "crash",
    "shaft_bottomed": "crash",
    "refused": "thud",
    "overspeed": "alarm",
    "overheated": "alarm",
    "case_pressure": "alarm",
    "motor_shut_in": "screech",
    "motor_stalled": "groan",
}
"""Event kind -> the short sound it makes."""


@dataclass(frozen=True, slots=True)
class Tone:
    """A sound that goes on: `level` 0 to 1, `pitch_hz` of its lowest strong part."""

    name: str
    level: float
    pitch_hz: float


def steady(case: Case, state: State) -> tuple[Tone, ...]:
    """What sounds on and on at this moment, loudest first.

    The engine by its speed, the pump by its speed and what it works against, fans and other motors by
    theirs, oil running off where a valve floats under pressure or a seal has burst.
    """
    heard = []
    turns_s = state.engine_mrev_min / 60_000.0
    if state.engine_mrev_min > 0:
        share = state.engine_mrev_min / 1000.0 / case.tractor.rated_rev_min
        heard.append(Tone("engine", min(1.0, 0.35 + 0.4 * share), turns_s * _CYLINDERS / 2))
        load = state.pump_pa / case.tractor.pump_cutoff_pa
        if load > 0.3:
            heard.append(Tone("pump", min(0.6, 0.6 * load), turns_s * case.tractor.pump_ratio * _PISTONS))
    for function, work in zip(case.implement.functions, state.works, strict=True):
        speed = rev_min(work.speed_mrad_s)
        if not function.rated_rev_min:
            continue
        share = min(1.3, abs(speed) / function.rated_rev_min)
        if share < _LEAST_SHARE:
            continue
        if function.kind == "fan":
            heard.append(Tone("fan", 0.5 * share, abs(speed) / 60.0 * _BLADES))
        else:
            heard.append(Tone("turning", 0.35 * share, max(30.0, abs(speed) / 60.0 * 4)))
    bleeding = supply_live(state) and any(
        port.valve >= 0 and state.levers[port.valve] == "float" and pressure > 200_000
        for port, pressure in zip(case.tractor.ports, state.port_pa, strict=True)
    )
    if bleeding or any(work.blown and work.flow_mm3_s for work in state.works):
        heard.append(Tone("oil", 0.4, 900.0))
    return tuple(sorted(heard, key=lambda tone: -tone.level))


def stroke_of(event: Event) -> str:
    """The short sound of an event, '' where it makes none."""
    return STROKES.get(event.kind, "")


def loop_pitch_hz(pitch_hz: float) -> float:
    """The nearest pitch that loops are made for: a semitone apart, so that few are ever made.

    >>> round(loop_pitch_hz(110.0), 1), loop_pitch_hz(110.0) == loop_pitch_hz(111.0)
    (112.1, True)
    """
    return _STEP ** round(math.log(max(pitch_hz, 20.0), _STEP))


class Speaker:
    """Plays what is heard. All of it is optional: without a sound card every call does nothing.

    `mixer` opens the card and answers whether there is one; a test hands in its own.
    """

    def __init__(self, mixer: Callable[[], bool] | None = None) -> None:
        self._open = mixer or _open_mixer
        self._works: bool | None = None
        self._made: dict[tuple[str, float], pygame.mixer.Sound] = {}
        self._playing: dict[str, _Voice] = {}
        self._recent: list[tuple[str, float]] = []
        self._now_s = 0.0

    @property
    def works(self) -> bool:
        """Whether there is a sound card; opens it when first asked."""
        if self._works is None:
            self._works = self._open()
        return self._works

    def hear(self, tones: Sequence[Tone], strokes: Sequence[str], dt_s: float, loudness: float) -> None:
        """Let `dt_s` seconds pass with these sounds. `loudness` 0 to 1 is the listener's own."""
        self._now_s += dt_s
        for name in strokes:
            self._recent = [(kept, at) for kept, at in self._recent if kept != name]
            self._recent.append((name, self._now_s))
        if loudness <= 0.0 and not self._playing:
            return  # the card is not even opened for someone who wants no sound
        if not self.works:
            return
        self._loops(tones, dt_s, loudness)
        for name in dict.fromkeys(strokes):
            channel = pygame.mixer.find_channel()
            if channel is not None and loudness > 0.0:
                channel.set_volume(loudness)
                channel.play(self._sound(name, 0.0))

    def captions(self, tones: Sequence[Tone]) -> tuple[str, ...]:
        """What is heard now, by name: short sounds of the last seconds first, then what goes on."""
        self._recent = [(name, at) for name, at in self._recent if self._now_s - at < _CAPTION_S]
        return (*(name for name, _ in reversed(self._recent)), *dict.fromkeys(tone.name for tone in tones))

    def silence(self) -> None:
        """Nothing sounds any more: the yard is left or stands still."""
        for voice in self._playing.values():
            voice.channel.stop()
        self._playing.clear()

    def _loops(self, tones: Sequence[Tone], dt_s: float, loudness: float) -> None:
        wanted = {tone.name: tone for tone in reversed(tones)}
        reach = _SLEW_PER_S * dt_s
        for name in list(self._playing):
            voice = self._playing[name]
            tone = wanted.get(name)
            goal = tone.level * loudness if tone else 0.0
            voice.level += max(-reach, min(reach, goal - voice.level))
            if tone is None and voice.level <= 0.0:
                voice.channel.stop()
                del self._playing[name]
                continue
            voice.channel.set_volume(max(0.0, voice.level))
            if tone and loop_pitch_hz(tone.pitch_hz) != voice.pitch_hz:
                voice.pitch_hz = loop_pitch_hz(tone.pitch_hz)
                voice.channel.play(self._sound(name, voice.pitch_hz), loops=-1)
        for name, tone in wanted.items():
            if name in self._playing or loudness <= 0.0:
                continue
            channel = pygame.mixer.find_channel()
            if channel is not None:
                pitch_hz = loop_pitch_hz(tone.pitch_hz)
                channel.set_volume(0.0)
                channel.play(self._sound(name, pitch_hz), loops=-1)
                self._playing[name] = _Voice(channel, pitch_hz, 0.0)

    def _sound(self, name: str, pitch_hz: float) -> pygame.mixer.Sound:
        key = (name, pitch_hz)
        if key not in self._made:
            wave = loop(name, pitch_hz) if pitch_hz else stroke(name)
            self._made[key] = pygame.mixer.Sound(buffer=wave.tobytes())
        return self._made[key]


@dataclass(slots=True)
class _Voice:
    channel: pygame.mixer.Channel
    pitch_hz: float
    level: float


def _open_mixer() -> bool:
    """Open the sound card; False where there is none. What its library grumbles is not shown."""
    with _quiet():
        try:
            pygame.mixer.init(RATE_HZ, -16, 1, 512)
        except (pygame.error, NotImplementedError):
            return False
    pygame.mixer.set_num_channels(_CHANNELS)
    return True


@contextlib.contextmanager
def _quiet() -> Iterator[None]:
    """Nothing that a C library writes to stderr is seen meanwhile."""
    try:
        sys.stderr.flush()
        kept = os.dup(2)
    except (OSError, AttributeError):  # a windowed program on some systems has no stderr
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 2)
        yield
    finally:
        os.dup2(kept, 2)
        os.close(kept)
        os.close(nowhere)


# --- how the sounds are made: 16-bit mono, RATE_HZ ---------------------------------------------------------

_PARTS: dict[str, tuple[tuple[float, float], ...]] = {
    # (multiple of the pitch, strength); half multiples are an engine's turns between two firings
    "engine": ((0.5, 0.30), (1.0, 1.0), (1.5, 0.35), (2.0, 0.55), (3.0, 0.30), (4.0, 0.16), (6.0, 0.07)),
    "pump": ((1.0, 1.0), (2.0, 0.45), (3.0, 0.18)),
    "fan": ((1.0, 0.7), (2.0, 0.25), (0.5, 0.15)),
    "turning": ((1.0, 0.8), (2.0, 0.4), (3.0, 0.3), (0.5, 0.3)),
    "oil": (),
}
_NOISE: dict[str, float] = {"engine": 0.20, "pump": 0.05, "fan": 0.35, "turning": 0.25, "oil": 0.8}
_STROKE_SHAPES: dict[str, tuple[float, float, float, float]] = {
    # seconds, pitch in Hz, share of noise, how fast it dies away (1/s)
    "tick": (0.05, 2400.0, 0.4, 90.0),
    "click": (0.12, 1500.0, 0.5, 45.0),
    "clack": (0.16, 620.0, 0.5, 32.0),
    "clunk": (0.35, 140.0, 0.35, 13.0),
    "thud": (0.22, 95.0, 0.25, 18.0),
    "hiss": (0.60, 0.0, 1.0, 5.0),
    "burst": (0.70, 0.0, 1.0, 3.0),
    "chain": (0.50, 1900.0, 0.6, 7.0),
    "crash": (0.70, 70.0, 0.7, 4.5),
    "screech": (0.70, 2100.0, 0.3, 4.0),
    "groan": (0.80, 85.0, 0.2, 3.0),
    "alarm": (0.60, 880.0, 0.0, 0.0),
}


def _noise(count: int) -> Iterator[float]:
    """White noise between -1 and 1, the same every time (a linear congruential generator)."""
    word = 0x1234_5678
    for _ in range(count):
        word = (word * 1_664_525 + 1_013_904_223) & 0xFFFF_FFFF
        yield word / 0x8000_0000 - 1.0


def _samples(values: Sequence[float], peak: float) -> array.array[int]:
    most = max((abs(value) for value in values), default=0.0) or 1.0
    scale = 32_767 * peak / most
    return array.array("h", [round(value * scale) for value in values])


@functools.cache
def _hiss(count: int) -> tuple[float, ...]:
    """Dull noise whose end fades into its beginning."""
    blend = count // 10
    dull = 0.0
    rough = []
    for white in _noise(count + blend):
        dull += 0.35 * (white - dull)
        rough.append(dull)
    joined = [
        rough[index] * (index / blend) + rough[count + index] * (1.0 - index / blend)
        for index in range(blend)
    ]
    return (*joined, *rough[blend:count])


def loop(name: str, pitch_hz: float) -> array.array[int]:
    """A sound that goes on, cut so that its end meets its beginning: whole numbers of double periods.

    >>> wave = loop("engine", 100.0)
    >>> abs(wave[0] - wave[-1]) < 6000, max(abs(sample) for sample in wave) <= 32767
    (True, True)
    """
    period = round(RATE_HZ * 2 / pitch_hz)  # every part comes round within two periods of the pitch
    turn = 4 * math.pi / period
    parts = [(turn * multiple, strength) for multiple, strength in _PARTS[name]]
    once = [math.fsum(strength * math.sin(step * at) for step, strength in parts) for at in range(period)]
    times = max(1, round(_LOOP_S * RATE_HZ / period))
    share = _NOISE[name]
    rough = _hiss(round(_LOOP_S * RATE_HZ))
    values = [tone + share * rough[at % len(rough)] for at, tone in enumerate(once * times)]
    return _samples(values, 0.5)


def stroke(name: str) -> array.array[int]:
    """A short sound that dies away.

    >>> len(stroke("click")) / RATE_HZ
    0.12
    """
    seconds, pitch_hz, share, decay = _STROKE_SHAPES[name]
    count = round(seconds * RATE_HZ)
    values = []
    for index, white in enumerate(_noise(count)):
        now_s = index / RATE_HZ
        body = math.sin(2 * math.pi * pitch_hz * now_s) if pitch_hz else 0.0
        if name == "alarm":  # two short tones, no more than three a second
            body = body if (now_s % 0.3) < 0.18 else 0.0
        fade = math.exp(-decay * now_s) * min(1.0, (count - index) / (0.01 * RATE_HZ))
        values.append(((1.0 - share) * body + share * white) * fade)
    return _samples(values, 0.7)
