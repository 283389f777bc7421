"""What is heard follows the state and the events; its captions say the same; no card, no complaint."""

from __future__ import annotations

import math

import pytest

from trainer.authoring import orders
from trainer.authoring.compile import load_job
from trainer.core.engine import start
from trainer.core.state import replace
from trainer.core.units import mrad_s
from trainer.lang import Texts, languages
from trainer.scene import sound


def test_an_engine_at_rest_is_silent_and_its_pitch_follows_its_speed() -> None:
    case = load_job("first-week/couple").case
    state = start(case)
    assert sound.steady(case, state) == ()
    slow, fast = (
        sound.steady(case, replace(state, engine=True, engine_mrev_min=speed * 1000))[0]
        for speed in (1000, 2000)
    )
    assert slow.name == fast.name == "engine"
    # A six-cylinder four-stroke engine fires three times a turn (textbook of engines).
    assert math.isclose(slow.pitch_hz, 1000 / 60 * 3)
    assert math.isclose(fast.pitch_hz, 2 * slow.pitch_hz)
    assert fast.level > slow.level


def test_the_pump_is_heard_under_load_and_a_fan_while_it_turns() -> None:
    case = load_job("first-week/couple").case
    state = replace(start(case), engine=True, engine_mrev_min=2_200_000, pump_pa=18_000_000)
    assert "pump" in [tone.name for tone in sound.steady(case, state)]
    assert "pump" not in [tone.name for tone in sound.steady(case, replace(state, pump_pa=2_500_000))]
    works = list(state.works)
    fan = case.function("fan")
    works[fan] = replace(works[fan], speed_mrad_s=mrad_s(3600))
    heard = {tone.name: tone for tone in sound.steady(case, replace(state, works=tuple(works)))}
    assert math.isclose(heard["fan"].pitch_hz, 3600 / 60 * 7, rel_tol=1e-3)


@pytest.mark.parametrize("name", sorted(set(sound.STROKES.values())))
def test_a_stroke_starts_loud_and_ends_in_silence(name: str) -> None:
    wave = sound.stroke(name)
    third = len(wave) // 3
    assert max(map(abs, wave)) > 10_000
    assert max(map(abs, wave[-20:])) < max(map(abs, wave[:third]))


@pytest.mark.parametrize("pitch_hz", [25.5, 55.0, 110.0, 330.0, 900.0])
def test_the_strongest_part_of_a_loop_is_its_pitch(pitch_hz: float) -> None:
    """Against the definition of the Fourier sum: at its own pitch a tone is stronger than beside it."""
    wave = sound.loop("pump", pitch_hz)

    def strength(hz: float) -> float:
        turn = 2 * math.pi * hz / sound.RATE_HZ
        real = math.fsum(value * math.cos(turn * at) for at, value in enumerate(wave))
        imaginary = math.fsum(value * math.sin(turn * at) for at, value in enumerate(wave))
        return math.hypot(real, imaginary)

    assert strength(pitch_hz) > 3 * max(strength(pitch_hz * 0.8), strength(pitch_hz * 1.25))


@pytest.mark.parametrize("language", sorted(languages()))
def test_every_sound_has_its_caption(language: str) -> None:
    texts = Texts.load(language)
    names = {*sound.STROKES.values(), "engine", "pump", "fan", "turning", "oil"}
    assert [name for name in sorted(names) if not texts.has(f"screens.sounds.{name}")] == []


def test_every_stroke_belongs_to_something_that_happens() -> None:
    texts = Texts.load("en")
    kinds = [key.removeprefix("events.") for key in texts.under("events")]
    lost = [kind for kind in sound.STROKES if not any(k == kind or k.startswith(f"{kind}_") for k in kinds)]
    assert lost == []


def test_a_coupling_is_heard_and_captioned_for_a_while_without_a_card() -> None:
    job = load_job("first-week/couple")
    kinds = [sound.stroke_of(event) for event in orders.play_order(job, job.answer).events]
    assert "click" in kinds
    assert "clunk" in kinds
    speaker = sound.Speaker(mixer=lambda: False)
    speaker.hear((), ("click",), 0.1, 0.7)
    assert speaker.captions(()) == ("click",)
    speaker.hear((), (), 5.0, 0.7)
    assert speaker.captions((sound.Tone("engine", 0.5, 50.0),)) == ("engine",)
    speaker.silence()


def test_the_card_is_not_opened_for_someone_who_wants_no_sound() -> None:
    asked = []
    speaker = sound.Speaker(mixer=lambda: bool(asked.append(True)))
    speaker.hear((sound.Tone("engine", 0.5, 50.0),), ("click",), 0.1, 0.0)
    assert asked == []
    speaker.hear((sound.Tone("engine", 0.5, 50.0),), (), 0.1, 0.5)
    speaker.hear((sound.Tone("engine", 0.5, 50.0),), (), 0.1, 0.5)
    assert asked == [True]


def test_on_a_card_loops_swell_follow_and_stop(monkeypatch: pytest.MonkeyPatch) -> None:
    """On SDL's dummy card, which plays to nobody."""
    pygame = pytest.importorskip("pygame")
    monkeypatch.setenv("SDL_AUDIODRIVER", "dummy")
    speaker = sound.Speaker()
    try:
        assert speaker.works
        tone = sound.Tone("engine", 0.5, 50.0)
        for _ in range(10):
            speaker.hear((tone,), (), 0.1, 0.8)
        voice = speaker._playing["engine"]
        assert voice.channel.get_busy()
        assert math.isclose(voice.level, 0.4)
        speaker.hear((sound.Tone("engine", 0.5, 100.0),), ("click",), 0.1, 0.8)
        assert math.isclose(voice.pitch_hz, 100.0, rel_tol=0.04)
        for _ in range(10):
            speaker.hear((), (), 0.1, 0.8)
        assert not speaker._playing
        assert not voice.channel.get_busy()
    finally:
        pygame.mixer.quit()
