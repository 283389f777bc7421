"""Every screen and station in every language, at the smallest window and at twice the size of text."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pygame
import pytest

from test_scene import COUPLE, Sitting, played, screens, sittings
from trainer.authoring.compile import Job, load_job
from trainer.authoring.translation import load_texts, translated
from trainer.core.attempt import Attempt
from trainer.core.case import STATIONS
from trainer.lang import FALLBACK, languages
from trainer.scene.shell import Shell

TABS = ("look", "sound", "keys")


@pytest.fixture
def sit() -> Iterator[Callable[..., Sitting]]:
    yield from sittings()


@pytest.fixture(scope="module", params=sorted(languages()))
def job(request: pytest.FixtureRequest) -> tuple[str, Job]:
    language = str(request.param)
    return language, translated(load_job(COUPLE), load_texts(language))


@pytest.fixture(scope="module")
def careless(job: tuple[str, Job]) -> Attempt:
    return played(job[1], ("look", "wipe", "read"))


def stations(sitting: Sitting, job: Job, attempt: Attempt) -> Iterator[str]:
    """Each station as the job begins and as an attempt left it, and the settings over it."""
    for name, each in (("begun", Attempt(job.case, job.rules)), ("left", attempt)):
        for station in STATIONS:
            sitting.desk.show(Shell(sitting.desk, each, each, "guided", resumed=True, shown=station))
            sitting.frame(3)
            yield f"{station}, {name}"
    for tab in TABS:
        sitting.program.open_settings(tab)
        sitting.frame(2)
        yield f"settings, {tab}"
        sitting.desk.take_off()


def overlapping(sitting: Sitting) -> Iterator[tuple[str, str]]:
    """Buttons of the frame that lie over each other. What a station draws may: hoses hang over ports."""
    screen = sitting.desk.front
    stage = screen.stage if isinstance(screen, Shell) else None
    buttons = [
        target
        for target in sitting.kit.targets
        if target.seen.size != (0, 0) and (stage is None or target.clip != stage) and target.act is not None
    ]
    for number, one in enumerate(buttons):
        for other in buttons[number + 1 :]:
            shared = one.seen.clip(other.seen)
            if min(shared.size) > 2:
                yield one.id, other.id


@pytest.mark.parametrize("percent", [100, 200])
def test_every_screen_and_station_fits_in_every_language(
    sit: Callable[..., Sitting], job: tuple[str, Job], careless: Attempt, percent: int
) -> None:
    language, shown = job
    sitting = sit((1280, 720), text_percent=percent, language=language)
    window = pygame.Rect(0, 0, 1280, 720)
    faults: dict[str, str] = {}

    def look(where: str) -> None:
        for one, other in overlapping(sitting):
            faults.setdefault(f"{one} and {other} lie over each other", where)
        for overflow in sitting.kit.overflows:
            faults.setdefault(overflow, where)
        for target in sitting.kit.targets:
            if target.seen.size != (0, 0) and not window.contains(target.seen):
                faults.setdefault(f"{target.id} lies outside the window", where)

    if language != FALLBACK:  # the English screens are looked at in test_scene.py, at more sizes
        for where in screens(sitting, shown, careless):
            look(where)
    for where in stations(sitting, shown, careless):
        look(where)
    assert "\n".join(f"{where}: {fault}" for fault, where in faults.items()) == ""
