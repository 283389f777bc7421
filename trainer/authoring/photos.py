"""A photo of somebody's own tractor under the rear panel: where it lies, and whether it may be opened.

A tractor's file names the picture, its size and where on it each port and socket sits (`case.Photo`). That
is read with the rest of the file and needs no picture: a record is re-graded from its texts alone. Here the
picture itself is looked for and looked at, by its first bytes and never by decoding it: what is too large,
no picture, or of another size than the file says is told before anything opens it.
"""

from __future__ import annotations

import stat
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Final

from trainer.authoring.quantities import Refused, quoted
from trainer.authoring.source import (
    MapNode,
    Node,
    Problem,
    Scalar,
    check_path,
    place_at,
    plain,
    read_source,
    safe_child,
)

SUFFIXES: Final = (".png", ".jpg", ".jpeg")
MOST_BYTES: Final = 12_000_000
MOST_SIDE_PX: Final = 8000
MOST_PIXELS: Final = 16_000_000
"""Of one picture: 64 MB once it is decoded."""
ROOM: Final = (730.0, 452.0)
"""Room for the picture at the rear panel, in drawing units."""
LEAST_APART: Final = 40.0
"""As near may two ports stand in that room: nearer, no hand hits the one it means."""

_PNG: Final = b"\x89PNG\r\n\x1a\n"
_JPEG: Final = b"\xff\xd8\xff"
_FRAMES: Final = frozenset({*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC})
"""Markers of a JPEG that say its size."""
_BARE: Final = frozenset({0x01, *range(0xD0, 0xD8)})
_ORIENTATION: Final = 0x0112
_PATH_ADVICE: Final = "a path below the tractor's own folder, such as photos/rear.jpg"


def picture_name(text: str) -> str:
    """Return the path of a picture as written; raise Refused for one that no picture can have.

    >>> picture_name("photos/rear.jpg")
    'photos/rear.jpg'
    >>> picture_name("photos/rear.gif")
    Traceback (most recent call last):
    trainer.authoring.quantities.Refused: 'photos/rear.gif' is not a kind of picture known here. \
Write: a picture saved as .png or .jpg
    """
    try:
        check_path(text)
    except Refused as refused:
        raise Refused(refused.message, _PATH_ADVICE) from None
    if not text.lower().endswith(SUFFIXES):
        raise Refused(
            f"{quoted(text)} is not a kind of picture known here", "a picture saved as .png or .jpg"
        )
    return text


def scale_in_room(width_px: float, height_px: float) -> float:
    """Drawing units for each pixel of a picture that fills the room.

    >>> scale_in_room(1460, 400)
    0.5
    """
    return min(ROOM[0] / width_px, ROOM[1] / height_px)


def picture_size_px(path: Path) -> tuple[int, int]:
    """Return width and height of a picture from its first bytes; raise Refused for what cannot be shown."""
    try:
        told = path.stat()
        if not stat.S_ISREG(told.st_mode):
            raise Refused("this is not a file", "a picture")
        if told.st_size > MOST_BYTES:
            raise Refused(
                f"the picture is longer than {MOST_BYTES // 1_000_000} MB", "the same picture, saved smaller"
            )
        with open(path, "rb") as file:
            data = file.read(MOST_BYTES)
    except FileNotFoundError:
        raise Refused("there is no such picture", _PATH_ADVICE) from None
    except OSError:
        raise Refused("the picture cannot be read", "a picture you may read") from None
    size = _png_size(data) if data.startswith(_PNG) else _jpeg_size(data) if data.startswith(_JPEG) else None
    if size is None or 0 in size:
        raise Refused("this is not a picture that can be read", "a picture saved as .png or .jpg")
    width, height = size
    if max(size) > MOST_SIDE_PX or width * height > MOST_PIXELS:
        most = f"at most {MOST_PIXELS // 1_000_000} million pixels, {MOST_SIDE_PX} to a side"
        raise Refused(
            f"the picture has {width} by {height} pixels", f"the same picture, saved smaller: {most}"
        )
    return size


def _png_size(data: bytes) -> tuple[int, int] | None:
    if len(data) < 33 or data[12:16] != b"IHDR":
        return None
    return int.from_bytes(data[16:20], "big"), int.from_bytes(data[20:24], "big")


def _jpeg_size(data: bytes) -> tuple[int, int] | None:
    """The size a JPEG's frame header gives, found by going from segment to segment."""
    at = 2
    while at + 9 < len(data) and data[at] == 0xFF:
        marker = data[at + 1]
        if marker == 0xFF:  # padding
            at += 1
        elif marker in _BARE:
            at += 2
        elif marker in _FRAMES:
            return int.from_bytes(data[at + 7 : at + 9], "big"), int.from_bytes(data[at + 5 : at + 7], "big")
        else:
            length = int.from_bytes(data[at + 2 : at + 4], "big")
            if marker == 0xE1 and _is_turned(data[at + 4 : at + 2 + length]):
                raise Refused("the picture is shown turned by a note in it", "it turned upright, saved anew")
            at += 2 + max(2, length)
    return None


def _is_turned(exif: bytes) -> bool:
    """Whether a camera's notes say that the picture is to be turned: positions in it would be others."""
    if not exif.startswith(b"Exif\0\0") or exif[6:8] not in (b"II", b"MM"):
        return False
    tiff, order = exif[6:], "little" if exif[6:8] == b"II" else "big"

    def number(at: int, size: int) -> int:
        return int.from_bytes(tiff[at : at + size], "little" if order == "little" else "big")

    first = number(4, 4)
    for entry in range(min(number(first, 2), 200)):
        at = first + 2 + 12 * entry
        if number(at, 2) == _ORIENTATION:
            return number(at + 8, 2) not in (0, 1)
    return False


# --- the picture of a job ----------------------------------------------------------------------------------


def photo_of(files: Mapping[str, str], job: str, folders: Sequence[Path]) -> Path | None:
    """Return the picture of a job's tractor if it has one that can be shown.

    `files` are those of the job (`Job.files`), `folders` are laid out like `scenarios/`; the first that has
    the tractor's file is the one whose picture counts.
    """
    for name, node in _with_photo(files, job):
        try:
            path, size = _picture(name, node, folders)
        except Refused:
            return None
        return path if size == _size_said(node) else None
    return None


def photo_problems(files: Mapping[str, str], job: str, folders: Sequence[Path]) -> Iterator[Problem]:
    """Yield what is wrong with the picture of a job's tractor, at its place in the tractor's file."""
    for name, node in _with_photo(files, job):
        try:
            _, size = _picture(name, node, folders)
        except Refused as refused:
            yield Problem(place_at(node, "picture"), refused.message, refused.advice)
            continue
        if size != _size_said(node):
            message = f"the picture has {size[0]} by {size[1]} pixels"
            yield Problem(place_at(node, "size"), message, f"[{size[0]}, {size[1]}], and places to match")


def _with_photo(files: Mapping[str, str], job: str) -> Iterator[tuple[str, MapNode]]:
    """The name of a job's tractor file and its `photo`, where it has one."""
    text = files.get(f"jobs/{job}.yaml")
    node = read_source(text, job) if text is not None else None
    named = node.get("tractor") if isinstance(node, MapNode) else None
    name = named.text if isinstance(named, Scalar) else ""
    if name in files:
        tractor: Node = read_source(files[name], name)
        photo = tractor.get("photo") if isinstance(tractor, MapNode) else None
        if isinstance(photo, MapNode):
            yield name, photo


def _picture(name: str, photo: MapNode, folders: Sequence[Path]) -> tuple[Path, tuple[int, int]]:
    """The picture a tractor's file means, and its size; raise Refused where it cannot be shown."""
    written = photo.get("picture")
    relative = picture_name(written.text if isinstance(written, Scalar) else "")
    for folder in folders:
        if (folder / name).is_file():
            path = safe_child((folder / name).parent, relative)
            return path, picture_size_px(path)
    raise Refused("there is no such picture", _PATH_ADVICE)


def _size_said(photo: MapNode) -> tuple[int, ...]:
    size = photo.get("size")
    return tuple(int(each) for each in plain(size)) if size is not None else ()
