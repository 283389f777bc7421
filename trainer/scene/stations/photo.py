"""A photo of the trainee's own tractor in place of the drawn rear panel: what goes where on it.

The picture fills a frame between the outside controls and the tray. Ports and sockets sit where the tractor's
file says. The nearer they stand together, the smaller couplers and rings are drawn; each tag goes where it
covers neither a port nor another tag and stands nearest to its own port.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

import pygame

from trainer.authoring.photos import ROOM, scale_in_room
from trainer.core.case import Photo
from trainer.scene.stations.hands import Box, Place

FRAME: Box = (124.0, 62.0, *ROOM)
"""Where the picture may lie, in drawing units."""
FENDER: Place = (8.0, 66.0)
SPANNER: Place = (24.0, 192.0)
GUIDES: dict[str, Place] = {"guide": (392.0, 512.0), "guide:right": (590.0, 512.0)}
DIALS: dict[str, Place] = {"gauge": (62.0, 304.0), "flow_meter": (62.0, 408.0)}
_USUAL_APART = 84.0
"""Ports that far apart are drawn at their full size."""
_RADIUS = 36.0
_LEAN_DEG = 52.0
_TALL = 22.0
_DOUBT = 500
_CLEARLY = 1.15
_NEAR_X, _NEAR_Y = 0.6, 2.2
"""A port that is less than so many gaps beside and below another one lies in the way of its hose."""


class PhotoLayout:
    """Places on a photo, in drawing units. `ports` are the tags of ports and sockets by name, `hoses` those
    of what is put there."""

    def __init__(self, photo: Photo, ports: Mapping[str, str], hoses: Iterable[str]) -> None:
        scale = scale_in_room(photo.width_px, photo.height_px)
        wide, tall = photo.width_px * scale, photo.height_px * scale
        left, top = FRAME[0] + (ROOM[0] - wide) / 2, FRAME[1] + (ROOM[1] - tall) / 2
        self.box: Box = (left, top, wide, tall)
        self.places = {name: (left + x * scale, top + y * scale) for name, x, y in photo.places_px}
        spots = list(self.places.values())
        self.apart = min(
            (math.dist(one, other) for index, one in enumerate(spots) for other in spots[:index]),
            default=_USUAL_APART,
        )
        self.size = min(1.0, self.apart / _USUAL_APART)
        """How large couplers are drawn, of their full size."""
        self.leader_from = _RADIUS * self.size + 0.8 * _TALL
        """A tag farther than that from its port has a line to it."""
        self.leans = {name: self._lean(name) for name in self.places}
        self.tag_at, self.sleeve_at = self._tags(ports, hoses)

    def _lean(self, name: str) -> float:
        """Angle at which a hose leaves a port, so that it does not lie over the port below."""
        x, y = self.places[name]
        below = [
            (right, down)
            for right, down in self.places.values()
            if abs(right - x) < _NEAR_X * self.apart and 0 < down - y < _NEAR_Y * self.apart
        ]
        return _LEAN_DEG if below else 0.0

    def _tags(
        self, ports: Mapping[str, str], hoses: Iterable[str]
    ) -> tuple[dict[str, Place], dict[str, Place]]:
        """For each port where its own tag goes, and where that of a hose which is home on it."""
        radius = _RADIUS * self.size
        faces = [_around(place, 1.7 * radius, 1.7 * radius) for place in self.places.values()]
        hose_wide = max((_wide(tag) for tag in hoses), default=0.0)
        laid: list[pygame.Rect] = []
        found: tuple[dict[str, Place], dict[str, Place]] = ({}, {})
        for turn, ways in enumerate((_BESIDE_PORT, _BESIDE_HOSE)):
            for name, (x, y) in self.places.items():
                wide = _wide(ports.get(name, "")) if turn == 0 else hose_wide
                across, down = radius + wide / 2, radius + _TALL / 2
                options = [(x + right * across, y + low * down) for right, low in ways]
                costs = [
                    (_cost(_around(at, wide, _TALL), laid, faces) + self._doubt(name, at), index)
                    for index, at in enumerate(options)
                ]
                found[turn][name] = at = options[min(costs)[1]]
                laid.append(_around(at, wide, _TALL))
        return found

    def _doubt(self, name: str, at: Place) -> int:
        """What it costs that a tag stands no nearer to its own port than to another one."""
        own = math.dist(self.places[name], at)
        others = (math.dist(place, at) for other, place in self.places.items() if other != name)
        return _DOUBT if min(others, default=math.inf) < _CLEARLY * own else 0


_BESIDE_PORT = (
    (0, -1),
    (0, 1),
    (-1, 0),
    (1, 0),
    (0, -1.7),
    (0, 1.7),
    (-0.7, -1),
    (0.7, -1),
    (-0.7, 1),
    (0.7, 1),
)
_BESIDE_HOSE = (
    *((0, 1), (0, 1.7), (0.8, 1), (-0.8, 1), (1, 0), (-1, 0), (0, 2.4), (0.8, 1.7), (-0.8, 1.7), (0, 3.1)),
    (0, -1),
)


def _wide(tag: str) -> float:
    """How wide a plate with a tag is when letters are largest."""
    return 24.0 + 8.4 * len(tag)


def _around(at: Place, wide: float, tall: float) -> pygame.Rect:
    return pygame.Rect(round(at[0] - wide / 2), round(at[1] - tall / 2), round(wide), round(tall))


def _cost(box: pygame.Rect, tags: Sequence[pygame.Rect], faces: Sequence[pygame.Rect]) -> int:
    """How much a tag would cover: other tags count three times, what lies outside of the frame five times."""
    frame = pygame.Rect(*map(round, FRAME))
    covered = 3 * _shared(box, tags) + _shared(box, faces)
    inside = box.clip(frame)
    return covered + 5 * (box.width * box.height - inside.width * inside.height)


def _shared(box: pygame.Rect, others: Sequence[pygame.Rect]) -> int:
    parts = [box.clip(other) for other in others]
    return sum(part.width * part.height for part in parts)
