"""What a person has chosen: read when the program starts, kept in the user's folder, never in an attempt.

The file is JSON that a person can read and mend. Whatever cannot be read stays on the disk under another name
and is told in plain words; the program goes on with what it knows. What the file holds beyond that (a newer
version wrote it) is written back as it came.
"""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final, NamedTuple

from trainer.records import journal

MODES: Final = ("guided", "practice", "check_out")
UNITS: Final = ("us", "metric")
TEXT_PERCENT: Final = (100, 125, 150, 175, 200)
FILE_NAME: Final = "settings.json"
MAX_BYTES: Final = 200_000
_LONGEST_TEXT: Final = 200
_LONGEST_PATH: Final = 4000
_MOST_KEYS: Final = 400


@dataclass
class Settings:
    """Chosen by the person at this machine; every value has a default that serves.

    >>> settings = Settings(text_percent=150, units="metric")
    >>> settings.text_scale, settings.metric, settings.loudness
    (1.5, True, 0.7)
    """

    language: str = ""
    """Code of a file in `trainer/lang`; '' until somebody has chosen: the program's own."""
    units: str = "us"
    text_percent: int = 100
    reduced_motion: bool = False
    full_screen: bool = False
    volume: int = 70
    """0 to 100."""
    mute: bool = False
    captions: bool = True
    """What is heard is also written on the screen."""
    controller: bool = True
    """A game controller is listened to where one is plugged in."""
    keys: dict[str, str] = field(default_factory=dict)
    """Keys of commands that differ from the program's own, by the command's name."""
    name: str = ""
    """The trainee who sat here last."""
    mode: str = "guided"
    job: str = ""
    folder: str = ""
    """A folder of somebody's own with jobs and machines; '' for none."""
    running: str = ""
    """File name of the attempt begun last, and the way it was run: an unfinished one goes on the same way."""
    running_mode: str = "guided"
    beyond: dict[str, object] = field(default_factory=dict, repr=False)
    """What the file held that this version knows nothing about."""

    @property
    def metric(self) -> bool:
        return self.units == "metric"

    @metric.setter
    def metric(self, yes: bool) -> None:
        self.units = UNITS[yes]

    @property
    def text_scale(self) -> float:
        """Size of all text as a share of its own: 1.0 to 2.0."""
        return self.text_percent / 100

    @property
    def loudness(self) -> float:
        """0.0 to 1.0; 0 while muted."""
        return 0.0 if self.mute else self.volume / 100

    def larger(self, steps: int) -> None:
        """Change the size of all text by so many steps of `TEXT_PERCENT`, as far as it goes.

        >>> settings = Settings(text_percent=130)
        >>> settings.larger(1)
        >>> settings.text_percent
        150
        >>> settings.larger(-9)
        >>> settings.text_percent
        100
        """
        for _ in range(abs(steps)):
            found = [
                p for p in TEXT_PERCENT if (p > self.text_percent if steps > 0 else p < self.text_percent)
            ]
            if not found:
                return
            self.text_percent = min(found) if steps > 0 else max(found)


class Loaded(NamedTuple):
    """Settings as they were found, and what there is to say about it."""

    settings: Settings
    trouble: str = ""
    """Key of a text below `screens.settings_trouble`; '' where all was well."""
    kept_as: Path | None = None
    """Where a file that could not be used, or not all of it, lies now."""


def path_of(folder: Path | None = None) -> Path:
    """The file of the settings, in the folder of the records."""
    return (folder or journal.user_folder()) / FILE_NAME


def load(path: Path | None = None) -> Loaded:
    """Read the settings. Never raises: what cannot be used is kept aside, and its place taken by defaults.

    A value that makes no sense costs that value only.
    """
    path = path or path_of()
    try:
        with open(path, "rb") as file:
            raw = file.read(MAX_BYTES + 1)
    except FileNotFoundError:
        return Loaded(Settings())
    except OSError:
        return Loaded(Settings(), "unreadable")
    try:
        if len(raw) > MAX_BYTES:
            raise ValueError("too long for settings")
        tree = json.loads(raw.decode("utf-8"))
    except (ValueError, RecursionError):
        tree = None
    if not isinstance(tree, dict):
        return Loaded(Settings(), "broken", _keep_aside(path, raw))
    settings, strange = _from_tree(tree)
    if strange:
        return Loaded(settings, "strange", _keep_aside(path, raw))
    return Loaded(settings)


def save(settings: Settings, path: Path | None = None) -> bool:
    """Write the settings so that a power cut leaves the old file or the new; False where it cannot be."""
    path = path or path_of()
    tree = {**settings.beyond, **{name: getattr(settings, name) for name in _KNOWN}}
    beside = path.with_name(f"{path.name}.{os.getpid()}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with open(beside, "w", encoding="utf-8", newline="\n") as file:
            file.write(json.dumps(tree, indent=1, ensure_ascii=False) + "\n")
            file.flush()
            os.fsync(file.fileno())
        os.replace(beside, path)
    except (OSError, ValueError):
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)
        return False
    return True


def _text(value: object) -> bool:
    return isinstance(value, str) and len(value) <= _LONGEST_TEXT and value.isprintable()


def _path(value: object) -> bool:
    return isinstance(value, str) and len(value) <= _LONGEST_PATH and "\0" not in value


def _flag(value: object) -> bool:
    return isinstance(value, bool)


def _whole(low: int, high: int) -> Callable[[object], bool]:
    return lambda value: type(value) is int and low <= value <= high


def _one_of(choices: tuple[str, ...]) -> Callable[[object], bool]:
    return lambda value: isinstance(value, str) and value in choices


def _keys(value: object) -> bool:
    return (
        isinstance(value, dict)
        and len(value) <= _MOST_KEYS
        and all(_text(name) and _text(key) for name, key in value.items())
    )


_KNOWN: Final[dict[str, Callable[[object], bool]]] = {
    "language": _text,
    "units": _one_of(UNITS),
    "text_percent": _whole(TEXT_PERCENT[0], TEXT_PERCENT[-1]),
    "reduced_motion": _flag,
    "full_screen": _flag,
    "volume": _whole(0, 100),
    "mute": _flag,
    "captions": _flag,
    "controller": _flag,
    "keys": _keys,
    "name": _text,
    "mode": _one_of(MODES),
    "job": _text,
    "folder": _path,
    "running": _text,
    "running_mode": _one_of(MODES),
}
"""Each setting and what its value must be."""


def _from_tree(tree: Mapping[str, object]) -> tuple[Settings, bool]:
    """Settings, and whether something was strange."""
    tree = _from_older(tree)
    settings, strange = Settings(), False
    for name, value in tree.items():
        if name not in _KNOWN:
            settings.beyond[name] = value
        elif _KNOWN[name](value):
            setattr(settings, name, value)
        else:
            strange = True
    return settings, strange


def _from_older(tree: Mapping[str, object]) -> dict[str, object]:
    """The three settings that the first version of this file named otherwise."""
    found = dict(tree)
    metric, size, calm = found.pop("metric", None), found.pop("text_size", None), found.pop("calm", None)
    if metric is not None:
        found.setdefault("units", UNITS[metric] if isinstance(metric, bool) else metric)
    if size is not None:
        usual = isinstance(size, float) and 1.0 <= size <= 2.0
        found.setdefault("text_percent", round(size * 100) if isinstance(size, float) and usual else size)
    if calm is not None:
        found.setdefault("reduced_motion", calm)
    return found


def _keep_aside(path: Path, raw: bytes) -> Path | None:
    """A copy beside the file under a name that nothing has yet; the same content is kept once."""
    for number in range(1, 1000):
        aside = path.with_name(f"settings-kept-{number}.json")
        try:
            with open(aside, "xb") as file:
                file.write(raw)
            if len(raw) > MAX_BYTES:
                os.replace(path, aside)  # the whole of it, not only what was read
            return aside
        except FileExistsError:
            try:
                if aside.read_bytes() == raw:
                    return aside
            except OSError:
                continue
        except OSError:
            return None
    return None
