"""The six places of the yard a trainee can stand at, by name."""

from __future__ import annotations

from trainer.scene.station import Station, Yard
from trainer.scene.stations.bench import Bench
from trainer.scene.stations.drawbar import DrawbarHitch
from trainer.scene.stations.hitch import Hitch
from trainer.scene.stations.implement import ImplementSide
from trainer.scene.stations.panel import Panel
from trainer.scene.stations.seat import Seat
from trainer.scene.stations.yard import Overview

__all__ = ["make"]


def make(yard: Yard) -> dict[str, Station]:
    """One station of each, for one attempt; the hitch is the one by which the implement is coupled."""
    hitch = DrawbarHitch if yard.case.implement.drawn else Hitch
    places: tuple[type[Station], ...] = (Overview, Seat, Panel, hitch, ImplementSide, Bench)
    return {place.name: place(yard) for place in places}
