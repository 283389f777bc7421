"""Every word on every screen and at every station stands out from what it is drawn on.

Looked at are the pixels that are there when the letters are drawn, before they are. Of these count the ones
below the letters and up to two pixels beside them: what the eye has to tell the strokes from (W3C's technique
G18 asks for the ground next to the letter). Of those the darkest or lightest twentieth decides: the worst
single pixel would be the smoothed rim of a button or a blade of grass, and the mean would let half a word
vanish in a shadow. Sizes are taken at the usual size of text: that a reader has it enlarged asks for no less.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import pygame
import pytest

import eyes
from test_scene import COUPLE, Sitting, played, screens, sittings
from test_text_fits import TABS
from trainer.authoring.compile import Job, load_job
from trainer.core.attempt import Attempt
from trainer.core.case import SKIES, STATIONS
from trainer.scene import shapes
from trainer.scene.kit import Kit
from trainer.scene.replaying import Replaying
from trainer.scene.report import Report
from trainer.scene.shell import Shell

BALER, ROWS = "class/couple_baler", "class/find_rows_wander"
NEAR_PX = 2
WORST = 0.05
INKED = 90
"""Of 255: a pixel covered so far belongs to a letter."""


@dataclass(frozen=True)
class Seen:
    """Some words, or a sign, and how much they stand out from what is below them."""

    words: str
    ratio: float
    asked: float
    colour: tuple[int, ...]
    ground: tuple[int, ...]

    def __str__(self) -> str:
        return f"{self.words!r} {self.colour} on {self.ground}: {self.ratio:.2f}, asked {self.asked:g}"


def near(inked: np.ndarray) -> np.ndarray:
    """What lies below letters or up to `NEAR_PX` beside them."""
    tall, wide = inked.shape
    rows = np.zeros((tall + 2 * NEAR_PX, wide), bool)
    for down in range(2 * NEAR_PX + 1):
        rows[down : down + tall] |= inked
    found = np.zeros((tall + 2 * NEAR_PX, wide + 2 * NEAR_PX), bool)
    for right in range(2 * NEAR_PX + 1):
        found[:, right : right + wide] |= rows
    return found


class Looker:
    """Stands between the kit and the surface, and keeps what stands out too little."""

    def __init__(self) -> None:
        self.words = 0
        self.signs = 0
        self.faint: dict[str, Seen] = {}
        self.where = ""
        self._looked_at: set[tuple[object, ...]] = set()

    def look(
        self,
        surface: pygame.Surface,
        made: pygame.Surface,
        place: pygame.Rect,
        words: str,
        asked: float,
        *colours: tuple[int, ...],
    ) -> bool:
        """False where nothing of it is seen. Of a sign's two colours one has to stand out at each place."""
        whole = place.inflate(2 * NEAR_PX, 2 * NEAR_PX)
        seen = whole.clip(surface.get_clip())
        if min(seen.size) <= 2 * NEAR_PX or not place.colliderect(surface.get_clip()):
            return False
        under = (words, colours, tuple(place), pygame.image.tobytes(surface.subsurface(seen), "RGBA"))
        if under in self._looked_at:
            return True
        self._looked_at.add(under)
        inked = near(pygame.surfarray.array_alpha(made).swapaxes(0, 1) > INKED)
        inked = inked[seen.top - whole.top :, seen.left - whole.left :][: seen.height, : seen.width]
        ground = eyes.pixels(surface, seen)[inked]
        if not len(ground):
            return False
        if surface.get_flags() & pygame.SRCALPHA:
            cover = pygame.surfarray.array_alpha(surface.subsurface(seen)).swapaxes(0, 1)[inked]
            assert np.mean(cover == 255) > 1 - WORST, f"{words!r} is drawn on nothing, in {self.where}"
        ratios = np.max([eyes.contrast(np.array(colour[:3]), ground) for colour in colours], axis=0)
        ratio = float(np.quantile(ratios, WORST))
        if ratio < asked:
            typical = tuple(int(value) for value in np.median(ground, axis=0))
            told = Seen(words, ratio, asked, tuple(colours[0][:3]), typical)
            self.faint.setdefault(f"{words} {colours[0]}", told)
        return True


@pytest.fixture
def looker(monkeypatch: pytest.MonkeyPatch) -> Looker:
    found = Looker()
    letter, symbol = Kit._letter, Kit.symbol

    def lettered(
        kit: Kit,
        surface: pygame.Surface,
        text: str,
        at: tuple[int, int],
        size: float,
        colour: tuple[int, int, int],
        bold: bool,
        anchor: str = "topleft",
    ) -> pygame.Rect:
        made = kit.picture(text, size, colour, bold)
        if text.strip():
            asked = eyes.LARGE_RATIO if eyes.is_large(size, bold) else eyes.NORMAL_RATIO
            place = made.get_rect(**{anchor: at})
            found.words += found.look(surface, made, place, text, asked, colour)
        return letter(kit, surface, text, at, size, colour, bold, anchor)

    def signed(
        kit: Kit,
        surface: pygame.Surface,
        name: str,
        centre: tuple[float, float],
        size: float,
        fill: tuple[int, int, int],
        edge: tuple[int, int, int] | None = None,
    ) -> pygame.Rect:
        pixels = max(6, kit.tx(size))
        made = shapes.symbol(name, pixels, fill, edge)
        place = made.get_rect(center=(round(centre[0]), round(centre[1])))
        colours = (fill,) if edge is None else (fill, edge)
        found.signs += found.look(surface, made, place, f"sign {name}", eyes.SIGN_RATIO, *colours)
        assert symbol(kit, surface, name, centre, size, fill, edge) == place
        return place

    monkeypatch.setattr(Kit, "_letter", lettered)
    monkeypatch.setattr(Kit, "symbol", signed)
    return found


@pytest.fixture
def sit() -> Iterator[Callable[..., Sitting]]:
    yield from sittings()


@pytest.fixture(scope="module")
def couple() -> Job:
    return load_job(COUPLE)


@pytest.fixture(scope="module")
def careless(couple: Job) -> Attempt:
    return played(couple, ("look", "wipe", "read"))


def told(looker: Looker, shown: Iterator[str]) -> str:
    """What stands out too little, and where it was seen first."""
    faults = {}
    for where in shown:
        for key, seen in looker.faint.items():
            faults.setdefault(key, f"{where}: {seen}")
        looker.where = f"what follows {where}"
    return "\n".join(faults.values())


def papers_and_pages(sitting: Sitting, job: Job, attempt: Attempt) -> Iterator[str]:
    """What `screens` does not put up: the settings, the fault report, a replay."""
    for tab in TABS:
        sitting.program.open_settings(tab)
        sitting.frame(2)
        yield f"settings, {tab}"
        sitting.desk.take_off()
    replay = Replaying(sitting.desk, attempt)
    sitting.desk.show(replay)
    sitting.frame(2)
    yield "replay"
    shell = Shell(sitting.desk, Attempt(job.case, job.rules), Attempt(job.case, job.rules), "guided")
    sitting.desk.show(shell)
    sitting.frame(2)
    sitting.desk.lay_over(Report(sitting.desk, shell, shell.draft))
    sitting.frame(2)
    yield "fault report"
    sitting.desk.take_off()


@pytest.mark.parametrize("percent", [100, 200])
def test_every_word_of_every_screen_stands_out(
    sit: Callable[..., Sitting], looker: Looker, couple: Job, careless: Attempt, percent: int
) -> None:
    sitting = sit((1280, 720), text_percent=percent)

    def shown() -> Iterator[str]:
        yield from screens(sitting, couple, careless)
        yield from papers_and_pages(sitting, load_job(ROWS).posed(""), careless)

    assert told(looker, shown()) == ""
    assert looker.words > 2000
    assert looker.signs > 100


def stations(sitting: Sitting, job: Job, attempts: dict[str, Attempt], sky: str) -> Iterator[str]:
    for name, attempt in attempts.items():
        for station in STATIONS:
            shell = Shell(sitting.desk, attempt, attempt, "guided", resumed=True, shown=station)
            sitting.desk.art.sky = sky
            sitting.desk.show(shell)
            sitting.frame(2)
            yield f"{job.name}, {station}, {name}, {sky}"


@pytest.mark.parametrize("name", [COUPLE, BALER, ROWS])
@pytest.mark.parametrize("sky", SKIES)
def test_every_word_at_every_station_stands_out_under_every_sky(
    sit: Callable[..., Sitting], looker: Looker, name: str, sky: str
) -> None:
    job = load_job(name).posed("")
    sitting = sit((1280, 720))
    attempts = {"begun": Attempt(job.case, job.rules)}
    assert told(looker, stations(sitting, job, attempts, sky)) == ""
    assert looker.words > 200


def laid_over(sitting: Sitting) -> Iterator[str]:
    """What lies over a station for a while: the meter's close view, a value being set, a tooltip, a find."""
    shell = sitting.begin(COUPLE)
    attempt = shell.attempt
    for station, keys in {
        "panel": ("meter:pins", "pin:bus_2", "pin:bus_5", "pins:close", "end:fan_drain"),
        "seat": ("dial:v1", "adjust:more", "adjust:set", "throttle"),
        "hitch": ("top_link", "adjust:set", "eye", "latch:left"),
        "implement": ("eye", "stands"),
        "yard": ("weight", "nose"),
    }.items():
        attempt.state = attempt.state._replace(
            station=station, gap_um=0, key="on" if station == "seat" else "off"
        )
        sitting.frame(2)
        for name in keys:
            target = sitting.target(name)
            sitting.kit._put_focus(target)
            sitting.kit.do(target)
            sitting.frame()
            sitting.until(lambda: not shell.busy)
            sitting.frame(2)
            yield f"{station} with {name} pressed"


def test_what_lies_over_a_station_stands_out(sit: Callable[..., Sitting], looker: Looker) -> None:
    assert told(looker, laid_over(sit((1280, 720)))) == ""
    assert looker.words > 200
