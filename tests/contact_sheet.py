"""Contact sheets to be looked at: every screen and station, every language, three sizes, every machine.

    python tests/contact_sheet.py FOLDER [JOB ...]

Writes pictures per job, language and size into FOLDER: the screens and stations of the first job, and the
stations of every other job named. When none is, it takes as many jobs as show every tractor and every
implement. A station is shown as the job begins, with everything at work, and as the answer leaves it.
Nothing here judges: `test_text_fits.py` and `test_scene.py` find what can be found by sums, this is for eyes.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")
os.environ.setdefault("COUPLING_YARD_HOME", tempfile.mkdtemp())

import pygame

from test_scene import COUPLE, Sitting, played, screens, sittings
from trainer.app import at_work, ports_for
from trainer.authoring.compile import Job, list_jobs, load_job
from trainer.authoring.translation import load_texts, translated
from trainer.core.attempt import Attempt
from trainer.core.case import STATIONS
from trainer.lang import languages
from trainer.scene.shell import Shell

SIZES = (((1280, 720), 100), ((1920, 1080), 100), ((1280, 720), 200))
_ACROSS = 3
_ON_A_SHEET = 9
_THUMB = (640, 360)
_LABEL = 22
_SHOWN = {
    "begun": ("yard", "seat", "panel"),
    "at work": ("yard", "hitch", "implement"),
    "done": ("panel", "hitch", "yard"),
}
"""Stations shown of every job but the first."""


def covering(names: list[str]) -> list[str]:
    """Jobs that together show every machine, the first one always: each adds one not seen before."""
    seen: set[str] = set()
    found = []
    for name in sorted(names, key=lambda name: name != COUPLE):
        case = load_job(name).case
        machines = {case.tractor.look, case.implement.look}
        if not machines <= seen:
            seen |= machines
            found.append(name)
    return found


def working(attempt: Attempt) -> Attempt:
    """The same with everything in motion and half the hoses on."""
    busy = attempt.fork()
    at_work(busy)
    ports = ports_for(busy.case)
    half = tuple(port if number % 2 else -1 for number, port in enumerate(ports))
    busy.state = busy.state._replace(hose_at=half)
    return busy


def stations(sitting: Sitting, job: Job, attempts: dict[str, Attempt]) -> Iterator[str]:
    """Stations as each attempt left them: of the first job all, of another those that show its machines."""
    for name, attempt in attempts.items():
        for station in STATIONS if job.name == COUPLE else _SHOWN[name]:
            mine = attempt.fork()
            shell = Shell(sitting.desk, mine, mine, "guided", resumed=True, shown=station)
            sitting.desk.show(shell)
            for _ in range(30):
                shell.update(1 / 60)
            sitting.frame(2)
            yield f"{job.name}: {station}, {name}"


def sheet(shots: list[tuple[str, pygame.Surface]]) -> pygame.Surface:
    """The pictures in rows, each with its name above it."""
    rows = -(-len(shots) // _ACROSS)
    whole = pygame.Surface((_ACROSS * _THUMB[0], rows * (_THUMB[1] + _LABEL)))
    font = pygame.font.Font(None, _LABEL)
    for number, (name, shot) in enumerate(shots):
        x, y = number % _ACROSS * _THUMB[0], number // _ACROSS * (_THUMB[1] + _LABEL)
        whole.blit(font.render(name, True, (255, 255, 255)), (x + 4, y + 3))
        whole.blit(shot, (x, y + _LABEL))
    return whole


@contextmanager
def seated(size: tuple[int, int], percent: int, language: str) -> Iterator[Sitting]:
    seats = sittings()
    try:
        yield next(seats)(size, text_percent=percent, language=language)
    finally:
        next(seats, None)


def main(folder: Path, names: list[str]) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    for language in sorted(languages()):
        texts = load_texts(language)
        jobs = [translated(load_job(name).posed(""), texts) for name in names or covering(list_jobs())]
        jobs.sort(key=lambda job: job.name != COUPLE)
        done = {job.name: played(job) if job.answer else Attempt(job.case, job.rules) for job in jobs}
        for size, percent in SIZES:
            with seated(size, percent, language) as sitting:
                shots: dict[str, list[tuple[str, pygame.Surface]]] = {}
                for job in jobs:
                    mine = shots.setdefault(job.name.replace("/", "-"), [])

                    def keep(name: str, mine: list[tuple[str, pygame.Surface]] = mine) -> None:
                        mine.append((name, pygame.transform.smoothscale(sitting.program.surface, _THUMB)))

                    begun = Attempt(job.case, job.rules)
                    attempts = {"begun": begun, "at work": working(begun), "done": done[job.name]}
                    for name in stations(sitting, job, attempts):
                        keep(name)
                    if job.name == COUPLE:
                        sitting.program.first()
                        sitting.frame(2)
                        for name in screens(sitting, job, done[job.name]):
                            keep(name)
                for job_name, mine in shots.items():
                    for page in range(0, len(mine), _ON_A_SHEET):
                        number = page // _ON_A_SHEET + 1
                        name = f"{job_name}-{language}-{size[0]}x{size[1]}-{percent}-{number}.png"
                        pygame.image.save(sheet(mine[page : page + _ON_A_SHEET]), folder / name)
                        sys.stdout.write(f"{folder / name}\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
