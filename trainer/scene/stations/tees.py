"""Gauge and flow meter put in between a hose and its port: where they go, where they hang, what they show.

With one of them in the hand, a hose that is home takes it behind its coupler, and the mark over a port takes
the gauge before it. What is fitted hangs there with its dial; a tap reads it. Its line reaches seat and yard.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pygame

from trainer.core.case import Case
from trainer.core.readings import gauge_pa, meter_mm3_s
from trainer.core.state import State
from trainer.core.units import PA_PER_BAR
from trainer.records import telling
from trainer.scene.palette import ACCENT_DARK, GRAPHITE, ICE, INK, SAND, SHEET, STEEL
from trainer.scene.ropes import curve
from trainer.scene.shapes import meter
from trainer.scene.stations.hands import Place, Spot
from trainer.scene.stations.rear import Rear

if TYPE_CHECKING:
    from trainer.scene.stations.panel import Panel

TEED = ("gauge", "flow_meter")
"""Tools that go into a line; the words that fit them and the quantities they read bear their names."""
_FULL_SCALE_PA = 250.0 * PA_PER_BAR
_FULL_SCALE_MM3_S = 150.0 / 60_000 * 1e9
_DIAL = 36.0
_MARK = 15.0
_BELOW_TAG = 86.0


def dial_share(case: Case, state: State, tool: str) -> float:
    """How far a tool that is fitted in a line stands on its scale, 0 to 1."""
    if tool == "gauge":
        return gauge_pa(case, state, state.gauge_at) / _FULL_SCALE_PA
    return abs(meter_mm3_s(case, state, case.hose(state.meter_at))) / _FULL_SCALE_MM3_S


class Tees:
    """What hangs in the lines at the rear panel."""

    def __init__(self, panel: Panel, rear: Rear) -> None:
        self._panel, self._rear = panel, rear

    # --- where ----------------------------------------------------------------------------------------------

    def fitted(self, tool: str) -> str:
        """The hose or port a tool is fitted at; '' where it lies in the tray."""
        state = self._panel.yard.state
        return state.gauge_at if tool == "gauge" else state.meter_at

    def _mark(self, port: str) -> Place:
        """Where the gauge goes in before a port's coupler."""
        x, y = self._rear.places[port]
        # Between two rows a mark would cover the tag of a hose.
        size = self._rear.size
        return x + 33.0 * size, y + (21.0 if port.endswith("_retract") else -30.0) * size

    def _joint(self, tool: str) -> Place:
        """Where in the line a fitted tool is."""
        name = self.fitted(tool)
        if name in self._rear.places:
            return self._mark(name)
        end = self._rear.ends[name]
        port = self._rear.on(end)
        if not port:
            return self._rear.rest(end)
        if not self._rear.leaves(port):  # straight down the tag hangs on the hose: below it
            return self._rear.mouth(port, _BELOW_TAG)
        return self._rear.mouth(port, 44.0 if tool == "gauge" else 58.0)

    def spots(self) -> list[Spot]:
        """Dials to be read, and with the gauge in the hand the marks over the ports."""
        panel = self._panel
        case, held = panel.yard.case, panel.held
        found = []
        for tool in TEED:
            if self.fitted(tool) and (held is None or held.thing not in TEED):
                x, y = self._rear.dials[tool]
                told = panel.word(f"panel.read_{tool}", place=self._named(tool))
                box = (x - _DIAL, y - _DIAL, 2 * _DIAL, 2 * _DIAL + 22)
                found.append(Spot(f"{tool}:read", box, told, tap=self._reader(tool)))
        if held is not None and held.thing == "gauge":
            for port in case.tractor.ports:
                if port.kind != "pto":
                    x, y = self._mark(port.name)
                    box = (x - _MARK, y - _MARK, 2 * _MARK, 2 * _MARK)
                    told = panel.word("panel.tee_port", tag=port.tag)
                    found.append(Spot(f"tee:{port.name}", box, told, accepts=True))
        return found

    def _named(self, tool: str) -> str:
        yard = self._panel.yard
        return telling.name_of(yard.case, self.fitted(tool), yard.texts)

    def _reader(self, tool: str):  # type: ignore[no-untyped-def]
        return lambda: self._panel.do("measure", tool)

    # --- hands ----------------------------------------------------------------------------------------------

    def put_in(self, tool: str, kind: str, name: str) -> bool:
        """Fit a tool where it was let go; False where nothing takes it there."""
        end = self._rear.ends.get(name)
        if kind == "tee" and tool == "gauge":
            self._panel.do("gauge", name)
        elif kind == "end" and tool in TEED and end is not None and not end.shaft and self._rear.on(end):
            self._panel.do(tool, name)
        else:
            return False
        return True

    # --- drawing --------------------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface) -> None:
        panel = self._panel
        held = panel.held.thing if panel.held is not None else ""
        if held in TEED:
            for end in self._rear.ends.values():
                port = self._rear.on(end)
                if port and not (end.plug or end.shaft):
                    panel.ring(surface, self._rear.places[port], 34 * self._rear.size, SHEET, 2.0)
        if held == "gauge":
            for each in self._panel.yard.case.tractor.ports:
                if each.kind != "pto":
                    at = self._mark(each.name)
                    hot = panel.hovering(f"tee:{each.name}")
                    pygame.draw.aacircle(surface, INK, panel.view.at(*at), panel.px(10))
                    pygame.draw.aacircle(surface, SHEET, panel.view.at(*at), panel.px(8))
                    tone = ACCENT_DARK if hot else STEEL[1]
                    pygame.draw.aacircle(surface, tone, panel.view.at(*at), panel.px(5))
        for tool in TEED:
            if self.fitted(tool):
                self._draw_dial(surface, tool)

    def _draw_dial(self, surface: pygame.Surface, tool: str) -> None:
        """The dial on the fender, the thin line that leads to it and the fitting in the hose."""
        panel = self._panel
        yard, (x, y), joint = panel.yard, self._rear.dials[tool], self._joint(tool)
        low = max(joint[1], y) + 20.0
        side = math.copysign(_DIAL, joint[0] - x)
        run = [joint, ((joint[0] + x) / 2, low), (x + side, y + 12.0)]
        points = [panel.view.at(*at) for at in curve(run, 8)]
        for thick, tone in ((6, INK), (3, STEEL[2] if tool == "gauge" else ICE[2])):
            pygame.draw.lines(surface, tone, False, points, max(1, panel.px(thick)))
        pygame.draw.aacircle(surface, INK, panel.view.at(*joint), panel.px(11))
        pygame.draw.aacircle(surface, SAND[3], panel.view.at(*joint), panel.px(9))
        pygame.draw.aacircle(surface, GRAPHITE[2], panel.view.at(*joint), panel.px(4))
        share = dial_share(yard.case, yard.state, tool)
        pygame.draw.aacircle(surface, INK, panel.view.at(x, y), panel.px(_DIAL + 2))
        meter(surface, panel.view.at(x, y), panel.px(_DIAL), panel.needle(tool, share))
        sign = "pressure" if tool == "gauge" else "motor"
        panel.tag(surface, self._named(tool), sign, (x, y + _DIAL + 8))
