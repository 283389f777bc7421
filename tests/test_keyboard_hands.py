"""Hands that work by keys: whatever can be taken, dropped or pressed is reached, shown and done by keys."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

import numpy as np
import pygame
import pytest

import eyes
from test_scene import COUPLE, Sitting, sittings
from trainer.core.actions import as_line
from trainer.scene.shell import Shell
from trainer.scene.stations.hands import Handwork
from trainer.scene.stations.panel import Panel

BALER = "class/couple_baler"
PLAIN_STEPS = 20.0
"""Of lightness: seen in passing (`test_colour_sight.py`)."""


@pytest.fixture
def sit() -> Iterator[Callable[..., Sitting]]:
    yield from sittings()


def stand(sitting: Sitting, job: str, station: str) -> tuple[Shell, Handwork]:
    """Be at a station of a job, both machines close together."""
    shell = sitting.begin(job)
    attempt = shell.attempt
    attempt.state = attempt.state._replace(station=station, gap_um=0)
    sitting.frame(3)
    here = shell.station
    assert isinstance(here, Handwork)
    return shell, here


def on_stage(sitting: Sitting, shell: Shell) -> list[str]:
    """What of the ring is on the stage."""
    return [target.id for target in sitting.kit.ring() if target.clip == shell.stage]


def to(sitting: Sitting, ident: str) -> None:
    if sitting.kit.focus != ident or not sitting.kit.focus_shown:
        sitting.to_key(ident)
        sitting.event(pygame.KEYUP, key=pygame.K_TAB, mod=0)  # else it would go on


def log(shell: Shell) -> list[str]:
    return [as_line(entry.action) for entry in shell.attempt.log]


@pytest.mark.parametrize("calm", [False, True])
def test_a_hose_in_the_hand_goes_where_the_keyboard_goes(sit: Callable[..., Sitting], calm: bool) -> None:
    sitting = sit(reduced_motion=calm)
    shell, here = stand(sitting, COUPLE, "panel")
    assert isinstance(here, Panel)
    to(sitting, "end:fan_drain")
    sitting.key(pygame.K_RETURN)
    assert here.in_hand == "fan_drain"
    taken_at = here.held.at
    to(sitting, "port:case_drain")
    sitting.frame(1)
    first = here.held.at
    sitting.frame(40)
    goal = here.spot("port:case_drain").centre
    assert math.dist(here.held.at, goal) < 1.0
    assert math.dist(taken_at, goal) > 100.0
    assert (first == goal) == calm  # it is carried there, unless motion is reduced
    assert math.dist(here._ropes.points("fan_drain")[-1], goal) < 60.0  # the hose hangs from the hand
    sitting.key(pygame.K_RETURN)
    sitting.until(lambda: not shell.busy)
    assert log(shell)[-1] == "couple: fan_drain to case_drain"


def test_the_pointer_takes_over_what_the_keyboard_led(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    shell, here = stand(sitting, COUPLE, "panel")
    to(sitting, "end:fan_drain")
    sitting.key(pygame.K_RETURN)
    to(sitting, "port:case_drain")
    at = shell.stage.center
    sitting.event(pygame.MOUSEMOTION, pos=at, rel=(1, 1), buttons=(0, 0, 0))
    sitting.frame(40)
    assert math.dist(here.held.at, here.view.drawn(at)) < 1.0
    sitting.key(pygame.K_TAB)
    sitting.event(pygame.KEYUP, key=pygame.K_TAB, mod=0)
    sitting.frame(40)
    assert math.dist(here.held.at, here.spot(sitting.kit.focus).centre) < 1.0


def test_with_full_hands_the_keyboard_goes_only_where_they_can_be_emptied(
    sit: Callable[..., Sitting],
) -> None:
    sitting = sit()
    shell, here = stand(sitting, COUPLE, "panel")
    free = on_stage(sitting, shell)
    to(sitting, "end:fan_drain")
    sitting.key(pygame.K_RETURN)
    full = on_stage(sitting, shell)
    assert set(full) == {spot.id for spot in here.spots() if spot.accepts}
    assert {"hitch:up", "meter:knob", "engine:start"} & set(full) == set()
    assert {"hitch:up", "meter:knob", "engine:start"} <= set(free)


def test_tab_goes_on_from_where_something_was_taken(sit: Callable[..., Sitting]) -> None:
    """The end that is in the hand is no place any more: what came after it comes next."""
    sitting = sit()
    shell, _ = stand(sitting, COUPLE, "panel")
    ring = on_stage(sitting, shell)
    index = ring.index("end:fan_drain")
    for key, way in (((pygame.K_TAB,), 1), ((pygame.K_TAB, pygame.KMOD_SHIFT), -1)):
        to(sitting, "end:fan_drain")
        sitting.key(pygame.K_RETURN)
        sitting.key(*key)
        left = on_stage(sitting, shell)
        wanted = next(name for name in ring[index + way :: way] if name in left)
        assert sitting.kit.focus == wanted
        sitting.key(pygame.K_ESCAPE)
    to(sitting, "end:fan_drain")
    before = sitting.target("end:fan_drain").rect
    sitting.key(pygame.K_RETURN)
    sitting.key(pygame.K_LEFT)
    after = sitting.target(sitting.kit.focus).rect
    assert 0 < before.centerx - after.centerx < 200


@pytest.mark.parametrize(
    ("job", "station"),
    [
        (COUPLE, "panel"),
        (COUPLE, "hitch"),
        (BALER, "panel"),
        (BALER, "hitch"),
        (BALER, "implement"),
        (BALER, "yard"),
    ],
)
def test_every_spot_is_reached_by_keys_and_the_frame_round_it_is_seen(
    sit: Callable[..., Sitting], job: str, station: str
) -> None:
    sitting = sit(reduced_motion=True)
    shell, here = stand(sitting, job, station)
    wanted = {spot.id for spot in here.spots()}
    plain = eyes.pixels(sitting.program.surface).copy()
    reached = set()
    kit = sitting.kit
    for name in on_stage(sitting, shell):
        kit._put_focus(sitting.target(name))
        box = sitting.target(name).seen.inflate(24, 24).clip(shell.stage)
        sitting.program.draw(sitting.now_s)
        before = eyes.lightness(plain[box.top : box.bottom, box.left : box.right])
        ringed = eyes.lightness(eyes.pixels(sitting.program.surface, box))
        changed = np.abs(ringed - before) >= PLAIN_STEPS
        assert changed.sum() >= 0.5 * (box.width + box.height), name
        reached.add(name)
    assert wanted <= reached
    for name in sorted(wanted)[::9]:  # and Tab gets there
        sitting.to_key(name)


def test_the_tips_of_the_meter_are_put_on_pins_by_keys(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    shell, here = stand(sitting, COUPLE, "panel")
    for name in ("meter:pins", "meter:knob", "pin:bus_2", "pin:bus_5"):
        to(sitting, name)
        sitting.key(pygame.K_RETURN)
        sitting.frame()
    sitting.until(lambda: not shell.busy)
    assert log(shell)[-1] == "ohms: bus_2 to bus_5"
    sitting.key(pygame.K_ESCAPE)
    sitting.frame()
    assert here.spot("end:fan_drain") is not None
    assert shell.dialog == ""
