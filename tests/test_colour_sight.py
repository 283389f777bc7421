"""What colour tells is told by shape and lightness too: seen as people see it who lack one kind of cone.

Two pictures count as told apart when, as each of them is seen, at least a share of the pixels that either
covers differ in lightness alone by twenty steps of L*. One step is about the least that can be seen, side by
side and at leisure; twenty is seen in passing (white paper against newsprint). The share is a seventh: of the
smallest sign, thirteen pixels across, that is an area of five by five. Hue is not asked for at all, so the
same holds for a window that shows greys only. That colour by itself would not pass is tested too.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import numpy as np
import pygame
import pytest

import eyes
from test_stations import Ground
from trainer.authoring.compile import Job, load_job
from trainer.scene import inquest, palette, screens, shapes, shell
from trainer.scene.palette import BAR, GREEN, INK, ORANGE, PAPER, PAPER_DEEP, SHEET, VERMILLION, Colour
from trainer.scene.stations import panel

STEPS_OF_LIGHTNESS = 20.0
SHARE = 1 / 7
SPOT_PX = 40
"""Of something drawn at a station: a spot of about six by six pixels has to change."""
SIGHTS = ("", *eyes.DEFICIENCIES)
COUPLE, BALER = "first-week/couple", "class/couple_baler"

Sign = tuple[str, Colour]
FAMILIES: dict[str, tuple[dict[str, Sign], int, Colour, Colour]] = {
    # which signs mean what, how large the smallest are, their edge, what they are drawn on
    "severity on the strip": (palette.SEVERITY, 13, INK, BAR),
    "severity on a card": (palette.SEVERITY, 30, INK, SHEET),
    "messages": (
        {
            **shell._MESSAGE_SIGNS,
            **{f"finding, {name}": sign for name, sign in palette.SEVERITY.items()},
        },
        13,
        BAR,
        BAR,
    ),
    "verdict": ({"passed": ("check", GREEN), "failed": ("cross", VERMILLION)}, 13, INK, PAPER_DEEP),
    "reports": (inquest._SIGNS, 13, INK, PAPER),
    "results": (
        {name: (name, colour) for name, colour in screens._RESULT_SIGNS.items() if name},
        13,
        INK,
        SHEET,
    ),
    "orders": (
        {"kept": ("check", GREEN), "injury": ("diamond", ORANGE), "damage": ("triangle", PAPER_DEEP)},
        13,
        INK,
        PAPER,
    ),
}


@pytest.fixture(scope="module", autouse=True)
def _window() -> Iterator[None]:
    pygame.display.init()
    pygame.font.init()
    pygame.display.set_mode((1280, 720))
    yield
    pygame.display.quit()


@pytest.fixture(scope="module")
def jobs() -> dict[str, Job]:
    return {name: load_job(name) for name in (COUPLE, BALER)}


def sign(name: str, colour: Colour, size: int, edge: Colour, ground: Colour) -> np.ndarray:
    made = pygame.Surface((size, size))
    made.fill(ground)
    made.blit(shapes.symbol(name, size, colour, edge), (0, 0))
    return eyes.pixels(made)


def told_apart(one: np.ndarray, other: np.ndarray, ground: Colour, sight: str) -> float:
    """Share of what either covers where the two differ plainly in lightness, as somebody sees them."""
    covered = (one != np.array(ground)).any(axis=2) | (other != np.array(ground)).any(axis=2)
    apart = np.abs(eyes.lightness(eyes.seen_by(sight, one)) - eyes.lightness(eyes.seen_by(sight, other)))
    return float(np.sum(apart >= STEPS_OF_LIGHTNESS) / np.sum(covered))


@pytest.mark.parametrize("sight", eyes.DEFICIENCIES)
def test_white_stays_white_and_greys_stay_grey(sight: str) -> None:
    assert eyes.DEFICIENCIES[sight].sum(axis=1) == pytest.approx(1.0, abs=2e-6)
    greys = np.repeat(np.arange(256)[:, None], 3, axis=1)
    assert np.abs(eyes.seen_by(sight, greys).astype(int) - greys).max() <= 1


def test_reds_and_greens_of_one_lightness_fall_together_for_who_lacks_a_cone() -> None:
    """A red and a green that the simulation must bring closer, and a blue and yellow for the third kind."""
    for sight, pair in {
        "protanopia": ((190, 60, 60), (90, 110, 40)),
        "deuteranopia": ((180, 90, 60), (110, 120, 60)),
        "tritanopia": ((60, 120, 200), (60, 140, 130)),
    }.items():
        first, second = (np.array(colour) for colour in pair)
        seen = eyes.seen_by(sight, np.array(pair)).astype(int)
        assert np.abs(seen[0] - seen[1]).sum() < 0.6 * np.abs(first - second).sum(), sight


@pytest.mark.parametrize("sight", SIGHTS)
@pytest.mark.parametrize("family", FAMILIES)
def test_signs_that_mean_different_things_are_told_apart_by_everybody(family: str, sight: str) -> None:
    signs, size, edge, ground = FAMILIES[family]
    for (one, first), (other, second) in itertools.combinations(signs.items(), 2):
        pictures = [sign(*each, size, edge, ground) for each in (first, second)]
        share = told_apart(*pictures, ground, sight)
        assert share >= SHARE, f"{one} and {other}: {share:.2f}"


@pytest.mark.parametrize("sight", SIGHTS)
@pytest.mark.parametrize("family", FAMILIES)
def test_every_sign_stands_out_for_everybody(family: str, sight: str) -> None:
    """Its filling or its edge is three to one on what it is drawn on (WCAG 2, non-text contrast)."""
    signs, _, edge, ground = FAMILIES[family]
    for name, (_, colour) in signs.items():
        seen = eyes.seen_by(sight, np.array([colour, edge, ground]))
        best = max(float(eyes.contrast(seen[0], seen[2])), float(eyes.contrast(seen[1], seen[2])))
        assert best >= eyes.SIGN_RATIO, f"{name}: {best:.2f}"


def test_colour_alone_would_not_do() -> None:
    discs = [sign("disc", colour, 30, INK, SHEET) for colour in (GREEN, VERMILLION)]
    assert told_apart(*discs, SHEET, "deuteranopia") < SHARE


# --- at the stations ----------------------------------------------------------------------------------------

Change = dict[str, object]
STATES: dict[str, tuple[str, str, str, Change, Change]] = {
    # what it is: job, station, the target whose place is looked at, and the two states
    "lamp of the brake": (COUPLE, "seat", "brake", {"brake": True}, {"brake": False}),
    "engine runs": (COUPLE, "seat", "engine:start", {"engine": True}, {"engine": False}),
    "shaft on": (COUPLE, "seat", "pto", {"pto": True}, {"pto": False}),
    "page of the terminal": (COUPLE, "seat", "page:functions", {"key": "on"}, {"key": "off"}),
    "speed source": (
        *(COUPLE, "seat", "source:ground_radar"),
        *({"key": "on", "speed_source": "ground_radar"}, {"key": "on", "speed_source": "wheel"}),
    ),
    "latch": (COUPLE, "hitch", "latch:left", {"latch_left": True}, {"latch_left": False}),
    "lift lock": (COUPLE, "hitch", "lift_lock", {"lift_locked": True}, {"lift_locked": False}),
    "chock": (COUPLE, "implement", "chock:left", {"chock_left": True}, {"chock_left": False}),
    "clean port": (COUPLE, "panel", "port:v1_extend", {"port_clean": 1}, {"port_clean": 0}),
    "pin": (BALER, "hitch", "pin_hole", {"pin_in": True}, {"pin_in": False}),
    "clip": (BALER, "hitch", "clip_hole", {"pin_clipped": True}, {"pin_clipped": False}),
    "chain": (BALER, "hitch", "chain_hook", {"chained": True}, {"chained": False}),
    "shaft guard": (BALER, "panel", "shaft_guard", {"shaft_guard": True}, {"shaft_guard": False}),
}


def plainly(one: np.ndarray, other: np.ndarray, sight: str) -> int:
    """How many pixels differ plainly in lightness."""
    seen = [eyes.lightness(eyes.seen_by(sight, each)) for each in (one, other)]
    return int(np.sum(np.abs(seen[0] - seen[1]) >= STEPS_OF_LIGHTNESS))


def shown(job: Job, station: str, target: str, change: Change) -> np.ndarray:
    yard = Ground(job.case)
    if "port_clean" in change:
        change = {"port_clean": (bool(change["port_clean"]),) * len(job.case.tractor.ports)}
    yard.change(gap_um=0, **change)
    yard.stand(station)
    if target.startswith("source:"):
        yard.click("page:speed")
    yard.frame(2)
    return eyes.pixels(yard.surface, yard.target(target).rect.clip(yard.stage)).copy()


@pytest.mark.parametrize("name", STATES)
def test_how_a_thing_stands_is_seen_by_everybody(jobs: dict[str, Job], name: str) -> None:
    job, station, target, one, other = STATES[name]
    pictures = [shown(jobs[job], station, target, change) for change in (one, other)]
    assert pictures[0].shape == pictures[1].shape
    for sight in SIGHTS:
        assert plainly(*pictures, sight) >= SPOT_PX, sight


def test_the_two_tips_of_the_meter_are_told_apart_by_everybody(jobs: dict[str, Job]) -> None:
    """Red and black are what the trade calls them; each also wears its sign."""
    pictures = []
    for way in (1, -1):
        yard = Ground(jobs[COUPLE].case)
        yard.change(gap_um=0, key="off")
        yard.stand("panel")
        yard.click("meter:pins")
        first, second = ("pin:bus_2", "pin:bus_5")[::way]
        yard.click(first)
        yard.click(second)
        yard.here.let_go()
        yard.frame()
        pictures.append(eyes.pixels(yard.surface, yard.target("pin:bus_2").rect.inflate(24, 24)).copy())
    for sight in SIGHTS:
        assert plainly(*pictures, sight) >= SPOT_PX, sight


def test_hoses_are_told_apart_by_their_tags_whatever_their_colour(jobs: dict[str, Job]) -> None:
    for job in jobs.values():
        ends = panel.Rear(Ground(job.case)).ends.values()
        assert len({end.tag for end in ends}) == len(ends)
