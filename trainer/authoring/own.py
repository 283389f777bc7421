"""A folder of somebody's own, laid out like `scenarios/`: its jobs, and what is wrong with its files.

Each job is read with its machines as it would be to be played, so that a mistake is told before anybody picks
the job; one that cannot be read keeps none of the others from being used.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from trainer.authoring.check import Checked, check_paths, look_problems, machine_problems, shape_of
from trainer.authoring.compile import folders_of, load_job
from trainer.authoring.photos import SUFFIXES, photo_problems
from trainer.authoring.source import ContentError, Place, Problem
from trainer.lang import Texts

MOST_JOBS: Final = 500
_PARTS: Final = ("jobs", "machines", "lang")
_SEEN: Final = (".yaml", *SUFFIXES)
_Stamps = tuple[tuple[str, int, int], ...]


@dataclass(frozen=True, slots=True)
class OwnJob:
    """A job of the folder: its name, its file, and what is wrong with it or its machines."""

    name: str
    path: Path
    problems: tuple[Problem, ...]

    @property
    def usable(self) -> bool:
        return not self.problems


@dataclass(frozen=True, slots=True)
class OwnFolder:
    """What lies in a folder. `problems` are those of machines that no job of it uses."""

    path: Path
    there: bool
    jobs: tuple[OwnJob, ...] = ()
    problems: tuple[Problem, ...] = ()
    stamps: _Stamps = ()


def look_into(folder: Path, before: OwnFolder | None = None) -> OwnFolder:
    """Read a folder; what was found `before` is kept as long as no file of it changed.

    Where one did, each job is kept of which neither the file nor any machine changed.

    >>> look_into(Path("no/such/folder")).there
    False
    """
    if not folder.is_dir():
        return OwnFolder(folder, False)
    stamps = _stamps(folder)
    if before is not None and (not before.there or before.path != folder):
        before = None
    if before is not None and before.stamps == stamps:
        return before
    jobs = tuple(_jobs(folder, _kept(folder, before, stamps)))
    told = {problem for job in jobs for problem in job.problems}
    problems = tuple(problem for problem in _alone(folder) if problem not in told)
    return OwnFolder(folder, True, jobs, problems, stamps)


def check_folder(folder: Path, texts: Texts | None = None) -> Checked:
    """Check every machine and every job of a folder; raise ContentError where there is no such folder."""
    if not folder.is_dir():
        raise ContentError((Problem(Place(str(folder), 1, 1), "there is no such folder", "a folder"),))
    alone = tuple(_alone(folder))
    paths = list(own_jobs(folder).values())
    checked = check_paths(paths, texts=texts) if paths else Checked((), (), 0, ())
    problems = dict.fromkeys((*alone, *(_from(folder, problem) for problem in checked.problems)))
    return replace(checked, problems=tuple(problems))


def own_jobs(folder: Path) -> dict[str, Path]:
    """Return the jobs of a folder by name, sorted, read or not."""
    jobs = folder / "jobs"
    found = sorted(jobs.rglob("*.yaml"))[:MOST_JOBS] if jobs.is_dir() else []
    return {path.relative_to(jobs).with_suffix("").as_posix(): path for path in found}


def _kept(folder: Path, before: OwnFolder | None, stamps: _Stamps) -> dict[Path, OwnJob]:
    """Jobs that need not be read again."""
    if before is None:
        return {}
    same, jobs = set(before.stamps) & set(stamps), (folder / "jobs").as_posix()
    if {one for one in (*before.stamps, *stamps) if not one[0].startswith(jobs)} - same:
        return {}
    unchanged = {name for name, _, _ in same}
    return {job.path: job for job in before.jobs if job.path.as_posix() in unchanged}


def _jobs(folder: Path, kept: Mapping[Path, OwnJob]) -> Iterator[OwnJob]:
    for name, path in own_jobs(folder).items():
        if path in kept:
            yield kept[path]
            continue
        try:
            job = load_job(path, folder=folder)
            problems = (
                *look_problems(job.files),
                *photo_problems(job.files, job.name, folders_of(path, folder=folder)),
            )
        except ContentError as error:
            problems = error.problems
        yield OwnJob(name, path, tuple(_from(folder, problem) for problem in problems))


def own_machines(folder: Path) -> tuple[Path, ...]:
    """Return the files of a folder's machines, sorted."""
    return tuple(path for path in sorted((folder / "machines").rglob("*.yaml")) if shape_of(path) is not None)


def _alone(folder: Path) -> Iterator[Problem]:
    """What is wrong in the machines, each by itself; files are named from the folder."""
    for path in own_machines(folder):
        yield from machine_problems(path, path.relative_to(folder).as_posix())


def _from(folder: Path, problem: Problem) -> Problem:
    """The problem with its file named from the folder, as it is found there."""
    path = Path(problem.place.file)
    try:
        file = path.resolve().relative_to(folder.resolve()).as_posix()
    except (ValueError, OSError):
        return problem
    return replace(problem, place=replace(problem.place, file=file))


def _stamps(folder: Path) -> _Stamps:
    found = []
    for part in _PARTS:
        for path in sorted((folder / part).rglob("*")):
            if path.suffix.lower() in _SEEN:
                try:
                    told = path.stat()
                except OSError:
                    continue  # gone since it was listed
                found.append((path.as_posix(), told.st_mtime_ns, told.st_size))
    return tuple(found)
