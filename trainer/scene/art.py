"""The drawings: SVG files rendered once for the size they are shown at, and the points named on them."""

from __future__ import annotations

import io
import re
from collections import OrderedDict
from pathlib import Path
from typing import Any

import pygame

from trainer.authoring.source import plain, read_source
from trainer.content import content_root
from trainer.scene import weather

_SIZE = re.compile(r'<svg[^>]*?\bwidth="([\d.]+)"[^>]*?\bheight="([\d.]+)"', re.DOTALL)
_MOST_PIXELS = 36_000_000  # of rendered pictures kept: about 145 MB, a 1080p window needs a third of it
_MOST_TURNED = 12_000_000  # of those turned or narrowed, apart: quickly made again, many while a link swings


class ArtMissing(RuntimeError):
    """A drawing the scene asks for is not in the art folder."""


class _Kept:
    """Pictures by key, those not used for longest dropped once all of them have more than `most` pixels."""

    def __init__(self, most: int) -> None:
        self._most, self._pixels = most, 0
        self._pictures: OrderedDict[tuple[Any, ...], pygame.Surface] = OrderedDict()

    def get(self, key: tuple[Any, ...]) -> pygame.Surface | None:
        kept = self._pictures.get(key)
        if kept is not None:
            self._pictures.move_to_end(key)
        return kept

    def put(self, key: tuple[Any, ...], made: pygame.Surface) -> pygame.Surface:
        self._pictures[key] = made
        self._pixels += made.get_width() * made.get_height()
        while self._pixels > self._most and len(self._pictures) > 1:
            _, dropped = self._pictures.popitem(last=False)
            self._pixels -= dropped.get_width() * dropped.get_height()
        return made


class Art:
    """Pictures by name, rendered at the size asked for and kept until they have not been used for long.

    A display mode must be set before pictures are asked for with ``converted=True`` (the default), as they
    are kept in the screen's own pixel format.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = folder if folder is not None else content_root() / "art"
        self.sky = "midday"
        """In whose light drawings of what stands outside are shown (`trainer.scene.weather`)."""
        self.photo: Path | None = None
        """The picture of the tractor at hand, where its file names one that can be shown."""
        self._sources: dict[str, tuple[str, float, float]] = {}
        self._rendered = _Kept(_MOST_PIXELS)
        self._turned = _Kept(_MOST_TURNED)
        self._notes: dict[str, Any] | None = None
        self._looks: dict[str, Any] | None = None

    def size(self, name: str) -> tuple[float, float]:
        """Width and height the drawing was made at, in its own pixels."""
        _, width, height = self._source(name)
        return width, height

    def picture(
        self,
        name: str,
        scale: float = 1.0,
        *,
        turned_deg: float = 0.0,
        mirrored: bool = False,
        opaque: bool = False,
        narrowed: tuple[float, float] = (1.0, 1.0),
    ) -> pygame.Surface:
        """The drawing at `scale` times its own size; turned anticlockwise about its middle.

        Kept between calls; do not draw on it. `opaque` is for backdrops: no alpha, faster to blit. `narrowed`
        are shares of width and height left of something that swings towards the viewer.
        """
        key = (name, round(scale, 4), round(turned_deg, 1), mirrored, opaque, narrowed, self.sky)
        changed = bool(turned_deg) or mirrored or narrowed != (1.0, 1.0)
        pictures = self._turned if changed else self._rendered
        kept = pictures.get(key)
        if kept is not None:
            return kept
        if changed:
            made = self.picture(name, scale)
            if narrowed != (1.0, 1.0):
                wide, tall = made.get_size()
                left = max(1, round(wide * narrowed[0])), max(1, round(tall * narrowed[1]))
                made = pygame.transform.smoothscale(made, left)
            if mirrored:
                made = pygame.transform.flip(made, True, False)
            if turned_deg:
                made = pygame.transform.rotozoom(made, turned_deg, 1.0)
        else:
            text, width, height = self._source(name)
            pixels = (max(1, round(width * scale)), max(1, round(height * scale)))
            made = pygame.image.load_sized_svg(io.BytesIO(text.encode("utf-8")), pixels)
            if pygame.display.get_surface() is not None:
                made = made.convert() if opaque else made.convert_alpha()
            made = weather.lit(name, made, self.sky)
        return pictures.put(key, made)

    def photo_at(self, size: tuple[int, int]) -> pygame.Surface | None:
        """The photo of the tractor at hand at a size in pixels; None where there is none that opens.

        Whether it is small enough to be opened was found out before (`trainer.authoring.photos`).
        """
        key = ("photo", self.photo, size)
        kept = self._rendered.get(key)
        if kept is not None or self.photo is None:
            return kept
        try:
            made = pygame.transform.smoothscale(_in_colours(pygame.image.load(self.photo)), size)
        except (pygame.error, OSError):
            self.photo = None
            return None
        return self._rendered.put(key, made.convert() if pygame.display.get_surface() is not None else made)

    def fitted(self, name: str, size: tuple[int, int], *, opaque: bool = False) -> pygame.Surface:
        """The drawing at the largest scale that fits in `size`."""
        width, height = self.size(name)
        return self.picture(name, min(size[0] / width, size[1] / height), opaque=opaque)

    @property
    def notes(self) -> dict[str, Any]:
        """`anchors.yaml` as mappings, lists, numbers and texts: which point of a drawing is what."""
        if self._notes is None:
            self._notes = self._read("anchors.yaml")
        return self._notes

    @property
    def looks(self) -> dict[str, Any]:
        """`looks.yaml`: which drawings show a machine, and what of them moves (`trainer.scene.looks`)."""
        if self._looks is None:
            self._looks = self._read("looks.yaml")
        return self._looks

    def _read(self, name: str) -> dict[str, Any]:
        path = self.folder / name
        read = _numbers(plain(read_source(path))) if path.is_file() else {}
        return read if isinstance(read, dict) else {}

    def anchor(self, name: str, point: str) -> tuple[float, float]:
        """A named point of a drawing, in the drawing's own pixels."""
        x, y = self.note("files", f"{name}.svg", "anchors", point)
        return x, y

    def note(self, *path: str | int) -> Any:
        """What `anchors.yaml` says at a path, such as ``note("panel_ports", "v1_extend")``."""
        found: Any = self.notes
        for step in path:
            try:
                found = found[step]
            except (KeyError, IndexError, TypeError):
                raise ArtMissing(f"anchors.yaml says nothing at {'.'.join(map(str, path))}") from None
        return found

    def _source(self, name: str) -> tuple[str, float, float]:
        if name not in self._sources:
            path = self.folder / f"{name}.svg"
            if not path.is_file():
                raise ArtMissing(f"no drawing {path.name} in the art folder")
            text = path.read_text("utf-8")
            found = _SIZE.search(text)
            if found is None:
                raise ArtMissing(f"{path.name} does not say its width and height")
            self._sources[name] = text, float(found[1]), float(found[2])
        return self._sources[name]


def _in_colours(picture: pygame.Surface) -> pygame.Surface:
    """A picture on white, with three bytes a pixel: what is transparent in it shows the white."""
    made = pygame.Surface(picture.get_size(), depth=24)
    made.fill((255, 255, 255))
    made.blit(picture, (0, 0))
    return made


def _numbers(value: Any) -> Any:
    """Texts that are numbers as floats, all through the tree.

    >>> _numbers({"ball": ["12.5", "3"], "of": "lower_link"})
    {'ball': [12.5, 3.0], 'of': 'lower_link'}
    """
    if isinstance(value, dict):
        return {key: _numbers(below) for key, below in value.items()}
    if isinstance(value, list):
        return [_numbers(below) for below in value]
    try:
        return float(value)
    except ValueError:
        return value
