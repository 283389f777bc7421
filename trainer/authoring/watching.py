"""Content files that are looked at again whenever one of them changes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

LOOK_S = 0.5
"""Time between two looks: soon for a person, and nothing for a machine."""

_Stamps = dict[Path, tuple[int, int]]


def changes(folders: Sequence[Path], wait: Callable[[], bool]) -> Iterator[tuple[Path, ...]]:
    """Yield an empty tuple at once, then the files that changed, came or went, each time some did.

    `wait` lets time pass until the next look and tells whether there is to be one: the command line sleeps
    `LOOK_S`. A file counts as changed when its time or its size did. `folders` may hold single files.

    >>> list(changes([], lambda: False))
    [()]
    """
    before = _stamps(folders)
    yield ()
    while wait():
        now = _stamps(folders)
        changed = tuple(path for path in sorted({*before, *now}) if before.get(path) != now.get(path))
        before = now
        if changed:
            yield changed


def folders_of(jobs: Sequence[str], scenarios: Path) -> tuple[Path, ...]:
    """Return what to watch for some jobs: `scenarios`, and for a job's file the folder it lies in, or the one
    laid out like `scenarios` around it."""
    found = {scenarios: None}
    for job in jobs:
        path = Path(job).absolute()
        if path.suffix in (".yaml", ".yml"):
            around = [parent.parent for parent in path.parents if parent.name == "jobs"]
            found[around[0] if around else path.parent] = None
    return tuple(found)


def _stamps(folders: Sequence[Path]) -> _Stamps:
    stamps: _Stamps = {}
    for folder in folders:
        for path in [folder] if folder.is_file() else folder.rglob("*.yaml"):
            try:
                told = path.stat()
            except OSError:
                continue  # gone since it was listed
            stamps[path] = (told.st_mtime_ns, told.st_size)
    return stamps
