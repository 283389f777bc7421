"""Whole circuits solved a second time: the same machines, other formulas, other solvers.

Losses come from `fluids`, what a load lets through at the cut-off from a root finder of scipy, the split of a
flow that is short from cumulated sums. Of the program only the descriptions of the machines are read, never a
function.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import fluids
import numpy as np
from scipy.optimize import brentq

from trainer.core.case import Case, Function
from trainer.core.circuits import Plumbing

AWAY = ("return", "open", "drain")


def viscosity_m2_s(warm: float, hot: float, temperature_c: float) -> float:
    """Walther's line through two points, drawn by interpolation."""
    ends = np.log10([313.15, 373.15])
    heights = np.log10(np.log10(np.array([warm, hot]) * 1e6 + 0.7))
    slope, height = np.polyfit(ends, heights, 1)
    return float((10 ** (10 ** (slope * math.log10(temperature_c + 273.15) + height)) - 0.7) * 1e-6)


@dataclass
class Consumer:
    """A function that draws oil."""

    function: int
    forward: bool
    ahead: bool
    asked: float
    load: Callable[[float], float]
    """Pressure at the port that feeds it, by flow."""
    back: Callable[[float], float]
    """Pressure behind it, by flow into it."""
    got: float = 0.0
    dial: float = 0.0
    """What is asked at the dial, before the pump's cut-off cuts it."""


@dataclass
class Solved:
    """Per function the flow (below nought when it retracts or turns backwards), the pressures before and
    behind it, in its case; and the pump."""

    flows: list[float]
    pressures: list[float]
    backs: list[float]
    cases: list[float]
    courses: list[str]
    available: float
    pump_pa: float
    consumers: list[Consumer]


class Network:
    """A tractor and an implement, hosed up in some way."""

    def __init__(self, case: Case, plumbing: Plumbing) -> None:
        self.case, self.now = case, plumbing
        oil = case.tractor.oil
        self.density = oil.density_kg_m3
        self.viscosity = viscosity_m2_s(oil.viscosity_40_m2_s, oil.viscosity_100_m2_s, plumbing.oil_c)
        self.turning = plumbing.engine_rev_min > 0.0
        tractor = case.tractor
        per_s = plumbing.engine_rev_min * tractor.pump_ratio / 60.0
        self.available = per_s * tractor.pump_displacement_m3 * tractor.pump_volumetric_efficiency

    # --- the parts ---

    def hose(self, function: int, role: str) -> int | None:
        """The hose of a role, if the function has one."""
        return next(
            (
                at
                for at, hose in enumerate(self.case.implement.hoses)
                if hose.function == function and hose.role == role
            ),
            None,
        )

    def port(self, function: int, role: str) -> int | None:
        """The port that the hose of a role is on, if it is on one."""
        hose = self.hose(function, role)
        return None if hose is None or self.now.hose_at[hose] < 0 else self.now.hose_at[hose]

    def does(self, port: int | None) -> str:
        """What a port does: supply, return, open, drain, sense or shut."""
        if port is None:
            return "shut"
        made = self.case.tractor.ports[port]
        if made.valve < 0:
            return {
                "pb_pressure": "supply",
                "pb_return": "return",
                "free_return": "return",
                "case_drain": "drain",
                "pb_sense": "sense",
            }.get(made.kind, "shut")
        lever = self.now.levers[made.valve] if self.now.valves_live else "block"
        if lever in ("float", "block"):
            return "open" if lever == "float" else "shut"
        return "supply" if lever == made.kind else "return"

    def loss(self, hose: int, port: int, flow: float) -> float:
        """What a hose and its coupler cost."""
        if flow <= 0.0:
            return 0.0
        line, made = self.case.implement.hoses[hose].line, self.case.tractor.ports[port]
        speed = 4.0 * flow / (math.pi * line.bore_m**2)
        number = fluids.Reynolds(V=speed, D=line.bore_m, nu=self.viscosity)
        rough = line.roughness_m / line.bore_m
        factor = 64.0 / number if number < 1.0 else fluids.Churchill_1977(number, rough)
        hose_pa = fluids.dP_from_K(K=factor * line.length_m / line.bore_m, rho=self.density, V=speed)
        return float(hose_pa) + made.rated_loss_pa * (flow / made.rated_flow_m3_s) ** 2

    def home(self, port: int, flow: float) -> float:
        """Pressure at a port that leads to tank."""
        tractor, made = self.case.tractor, self.case.tractor.ports[port]
        at_full, full = 0.0, tractor.full_flow_m3_s
        if made.valve >= 0:
            valve = tractor.valves[made.valve]
            at_full, full = valve.return_loss_pa, max(valve.dial_flow_m3_s)
        elif made.kind == "free_return":
            at_full = tractor.free_return_pa_at_full
        elif made.kind == "pb_return":
            at_full = tractor.power_beyond_return_pa_at_full
        return tractor.tank_pressure_pa + at_full * (flow / full) ** 2

    def wanted(self, port: int, function: Function, sensed: bool) -> float:
        """What is asked through a port that supplies."""
        made = self.case.tractor.ports[port]
        if made.kind == "pb_pressure":
            return function.needs_m3_s if sensed else 0.0
        table, dial = self.case.tractor.valves[made.valve].dial_flow_m3_s, self.now.dials[made.valve]
        set_flow = float(np.interp(dial, range(len(table)), table))
        return max(set_flow, self.available) if dial >= len(table) - 1 else set_flow

    # --- the functions ---

    def motor(self, index: int) -> tuple[str, Consumer | None]:
        """What becomes of a motor."""
        function = self.case.implement.functions[index]
        feed, back = self.port(index, "pressure"), self.port(index, "return")
        spinning = self.now.speeds_rad_s[index] > 0.0
        for first, second, forward in ((feed, back, True), (back, feed, False)):
            if self.does(first) != "supply" or not self.turning:
                continue
            if self.does(second) not in AWAY or (not forward and function.one_way_return):
                return "stalled", None
            assert first is not None
            assert second is not None
            sensed = not forward or self.sense_on_pressure() or self.sense_in_place(index)
            asked = self.wanted(first, function, sensed)
            if asked <= 0.0:
                return ("coasting" if spinning and forward else "idle"), None
            return ("driven" if forward else "reversed"), self.turned(index, first, second, forward, asked)
        if not spinning:
            return "idle", None
        held = feed is not None and self.does(feed) == "shut" and self.case.tractor.ports[feed].valve >= 0
        return ("shut_in" if held else "coasting"), None

    def turned(self, index: int, feed: int, back: int, forward: bool, asked: float) -> Consumer:
        """A motor under oil: the fan's law, 2π T = ηm D Δp, and the losses of both lines."""
        function = self.case.implement.functions[index]
        roles = ("pressure", "return") if forward else ("return", "pressure")
        hose_in, hose_out = (self.hose(index, role) for role in roles)
        assert hose_in is not None
        assert hose_out is not None

        drained = self.port(index, "drain") is not None
        through_case = (1.0 - function.volumetric_efficiency) * function.case_share if drained else 0.0

        def behind(flow: float) -> float:
            out = flow - flow * through_case
            return self.home(back, out) + self.loss(hose_out, back, out)

        def before(flow: float) -> float:
            rev_min = flow * function.volumetric_efficiency / function.displacement_m3 * 60.0
            torque = function.rated_torque_n_m * (rev_min / function.rated_rev_min) ** 2
            drop = torque * math.tau / function.displacement_m3 / function.mechanical_efficiency
            return behind(flow) + drop + self.loss(hose_in, feed, flow)

        ahead = self.case.tractor.ports[feed].valve < 0
        return Consumer(index, forward, ahead, asked, before, behind)

    def cylinder(self, index: int) -> tuple[str, Consumer | None]:
        """What becomes of a cylinder."""
        function = self.case.implement.functions[index]
        ends = (self.port(index, "extend"), self.port(index, "retract"))
        for forward in (True, False):
            feed, back = ends if forward else ends[::-1]
            if self.does(feed) != "supply" or not self.turning:
                continue
            at_end = self.now.strokes[index] >= 1.0 if forward else self.now.strokes[index] <= 0.0
            locked = self.now.locked and function.kind == "lift"
            dead = function.power_from == "lighting" and not self.now.controls_live
            if self.does(back) not in AWAY or at_end or locked or dead:
                return "stalled", None
            assert feed is not None
            assert back is not None
            asked = self.wanted(feed, function, True)
            if asked <= 0.0:
                return "idle", None
            return ("driven" if forward else "reversed"), self.pushed(index, feed, back, forward, asked)
        floating = all(self.does(end) == "open" for end in ends)
        return ("coasting" if floating else "idle"), None

    def pushed(self, index: int, feed: int, back: int, forward: bool, asked: float) -> Consumer:
        """A cylinder under oil: forces on the piston in balance, and the losses of both lines."""
        function = self.case.implement.functions[index]
        areas = (function.bore_area_m2, function.rod_side_area_m2)
        driven, other = areas if forward else areas[::-1]
        force = function.load_n if forward else function.back_load_n
        roles = ("extend", "retract") if forward else ("retract", "extend")
        hose_in, hose_out = (self.hose(index, role) for role in roles)
        assert hose_in is not None
        assert hose_out is not None

        def behind(flow: float) -> float:
            out = flow / driven * other
            return self.home(back, out) + self.loss(hose_out, back, out)

        def before(flow: float) -> float:
            return max(0.0, (force + behind(flow) * other) / driven) + self.loss(hose_in, feed, flow)

        ahead = self.case.tractor.ports[feed].valve < 0
        return Consumer(index, forward, ahead, asked, before, behind)

    def sense_on_pressure(self) -> bool:
        """Whether a sense line hangs on pump pressure."""
        return any(
            hose.role == "sense" and at >= 0 and self.case.tractor.ports[at].kind == "pb_pressure"
            for hose, at in zip(self.case.implement.hoses, self.now.hose_at, strict=True)
        )

    def sense_in_place(self, index: int) -> bool:
        """Whether a function's sense line is where it belongs."""
        port = self.port(index, "sense")
        return port is not None and self.case.tractor.ports[port].kind == "pb_sense"

    # --- all together ---

    def felt(self, consumer: Consumer, flow: float) -> float:
        """Pressure at the pump: the load, and the drop over the metering edge set for the flow asked.

        The edge is an orifice: its drop is the margin at the flow it is set for, and goes with the square.
        """
        open_centre = self.case.tractor.compensation == "open_centre"
        margin = 0.0 if open_centre else self.case.tractor.pump_margin_pa
        return consumer.load(flow) + margin * flow * flow / (consumer.dial * consumer.dial)

    def at_pressure(self, consumer: Consumer, pressure: float, most: float) -> float:
        """What a consumer takes at a pump pressure, up to `most`."""
        if self.felt(consumer, most) <= pressure:
            return most
        if self.felt(consumer, 0.0) >= pressure:
            return 0.0
        root = brentq(lambda q: self.felt(consumer, q) - pressure, 0.0, most, xtol=1e-18, rtol=1e-14)
        return float(root)

    def let_through(self, consumer: Consumer) -> float:
        """What a consumer takes when the pump gives no more than its cut-off."""
        return self.at_pressure(consumer, self.case.tractor.pump_cutoff_pa, consumer.dial)

    def settle(self, sections: Sequence[Consumer], left: float) -> float:
        """Pressure at which sections that ask for more than there is take just what there is."""
        highest = max(self.felt(each, each.asked) for each in sections)

        def excess(pressure: float) -> float:
            return math.fsum(self.at_pressure(each, pressure, each.asked) for each in sections) - left

        pressure = float(brentq(excess, 0.0, highest, xtol=1e-7, rtol=1e-15))
        for each in sections:
            each.got = self.at_pressure(each, pressure, each.asked)
        return pressure

    def solve(self) -> Solved:
        """Courses, flows and pressures."""
        made = [
            self.motor(index) if function.is_motor else self.cylinder(index)
            for index, function in enumerate(self.case.implement.functions)
        ]
        courses = [course for course, _ in made]
        consumers = [consumer for _, consumer in made if consumer is not None]
        for consumer in consumers:
            consumer.dial = consumer.asked
            consumer.asked = self.let_through(consumer)
            if consumer.asked <= 0.0:
                courses[consumer.function] = "stalled"
        consumers = [consumer for consumer in consumers if consumer.asked > 0.0]
        first = [consumer for consumer in consumers if consumer.ahead]
        sections = [consumer for consumer in consumers if not consumer.ahead]
        left = self.serve(first, self.available)
        total = float(np.sum([consumer.asked for consumer in sections]))
        common = None
        if total <= left or self.case.tractor.compensation == "flow_sharing":
            share = min(1.0, left / total) if total > 0.0 else 1.0
            for consumer in sections:
                consumer.got = share * consumer.asked
        elif left > 0.0:
            common = self.settle(sections, left)
        count = len(self.case.implement.functions)
        solved = Solved(
            [0.0] * count,
            [0.0] * count,
            [0.0] * count,
            [0.0] * count,
            courses,
            self.available,
            self.pump_pa(consumers, courses, common),
            consumers,
        )
        for consumer in consumers:
            at = consumer.function
            solved.flows[at] = consumer.got if consumer.forward else -consumer.got
            solved.pressures[at] = consumer.load(consumer.got)
            solved.backs[at] = consumer.back(consumer.got)
        for at, course in enumerate(solved.courses):
            if course == "stalled":
                solved.pressures[at] = solved.pump_pa
            if self.case.implement.functions[at].is_motor:
                solved.cases[at] = self.in_case(at, abs(solved.flows[at]), solved)
        return solved

    @staticmethod
    def serve(queue: Sequence[Consumer], there: float) -> float:
        """Give to one after the other what there is; return what is left."""
        before = 0.0
        for consumer, upto in zip(queue, np.cumsum([each.asked for each in queue]), strict=True):
            consumer.got = float(np.clip(min(float(upto), there) - before, 0.0, consumer.asked))
            before = min(float(upto), there)
        return there - before

    def pump_pa(self, consumers: Sequence[Consumer], courses: Sequence[str], common: float | None) -> float:
        """Outlet of the pump: what the hardest of those that move makes it feel, or where it rests."""
        if not self.turning:
            return 0.0
        tractor = self.case.tractor
        ports = range(len(tractor.ports))
        dead_end = any(
            self.does(port) == "supply" and tractor.ports[port].valve >= 0 and port not in self.now.hose_at
            for port in ports
        )
        dead_end = dead_end or self.sense_on_pressure() or "stalled" in courses
        moved = [each for each in consumers if each.got > 0.0 and (each.ahead or common is None)]
        felt = [self.felt(each, each.got) for each in moved] + ([] if common is None else [common])
        if tractor.compensation == "open_centre":
            return max(felt) if felt else tractor.pump_cutoff_pa if dead_end else tractor.pump_standby_pa
        if dead_end:
            return tractor.pump_cutoff_pa
        return min(tractor.pump_cutoff_pa, max([tractor.pump_standby_pa, *felt]))

    def in_case(self, index: int, flow: float, solved: Solved) -> float:
        """Pressure in a motor's case: where the drain ends, and what its leakage costs on the way there."""
        function, hose = self.case.implement.functions[index], self.hose(index, "drain")
        if hose is None:
            return 0.0
        leaks = flow * (1.0 - function.volumetric_efficiency) * function.case_share
        port = self.port(index, "drain")
        does = self.does(port)
        if port is None or does == "shut":
            return solved.pressures[index] if solved.flows[index] > 0.0 else 0.0
        line = self.case.implement.hoses[hose].line
        # Hagen and Poiseuille: eight times viscosity, length and flow, over pi and the radius' fourth power.
        radius = line.bore_m / 2.0
        own = 8.0 * self.viscosity * self.density * line.length_m * leaks / (math.pi * radius**4)
        end = self.case.tractor.tank_pressure_pa
        if does == "supply":
            end = solved.pump_pa
        elif does == "sense":
            end = max(0.0, solved.pump_pa - self.case.tractor.pump_margin_pa)
        return end + own
