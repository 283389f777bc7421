"""What two machines, a start and a job's settings come to: facts, sets of parts, and amounts worked out.

`scenarios/steps.yaml` speaks of these by name: `when:` asks `FACTS`, `each:` runs over `SETS`, and a gap such
as `<top_link>` is filled from `AMOUNTS`. Everything is worked out from the case with the sums of the core, so
that a step and the yard cannot disagree.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from trainer.authoring.supplies import POWER_BEYOND, SHAFT
from trainer.core import budget, circuits, readings
from trainer.core import drawbar as towed
from trainer.core import hydraulics as hyd
from trainer.core import linkage as link
from trainer.core.actions import amount_text
from trainer.core.case import Case, Function
from trainer.core.units import RAD_S_PER_REV_MIN, whole

BELOW_TO_BACK_IN_M: Final = 0.12
BELOW_TO_LEAVE_M: Final = 0.17
"""How far the hooks go below the pins: to come under them, and more to leave, for tyres and stands settle."""
LIFT_M: Final = 0.28
"""How far a first lift goes: well clear of the stands, within what the lines were laid for."""
ROUND_REV_MIN: Final = 100.0
FAST_IDLE: Final = 1.4
"""Engine speed for moving the hitch, over idle."""
_SPARE: Final = 1.2
"""Waits are this much longer than the sums say, and a second more."""


class Unmet(ValueError):
    """What a job's machines or yard cannot give: the job's key, what is wrong, what to write."""

    def __init__(self, path: tuple[str, ...], message: str, advice: str) -> None:
        super().__init__(message)
        self.path, self.message, self.advice = path, message, advice


@dataclass(frozen=True)
class Pair:
    """A case with its choice of supplies. `ports` names the port of each hose, in the order of coupling."""

    case: Case
    supplies: Mapping[str, str]
    ports: Mapping[str, str]

    # - parts

    @cached_property
    def found_on(self) -> dict[str, str]:
        """Hoses that are on at the start, with their ports."""
        return dict(self.case.start.lines_on)

    @cached_property
    def strokes(self) -> dict[str, float]:
        return dict(self.case.start.cylinders)

    def functions(self, kinds: Iterable[str] = ()) -> list[Function]:
        """Functions that have a supply, of some kinds or all, in the order of the file."""
        wanted = tuple(kinds)
        return [
            function
            for function in self.case.implement.functions
            if function.name in self.supplies and (not wanted or function.kind in wanted)
        ]

    def valve(self, function: Function) -> int:
        """The section a function hangs on, or -1."""
        return self.case.valve(self.supplies.get(function.name, ""))

    @cached_property
    def motors(self) -> list[Function]:
        return [function for function in self.functions() if function.is_motor]

    @cached_property
    def valve_motors(self) -> list[Function]:
        return [function for function in self.motors if self.valve(function) >= 0]

    @cached_property
    def valve_functions(self) -> list[Function]:
        return [function for function in self.functions() if self.valve(function) >= 0]

    @cached_property
    def cylinders(self) -> list[Function]:
        return [function for function in self.functions() if function.is_cylinder]

    @cached_property
    def driven(self) -> list[Function]:
        """What the drive shaft turns."""
        return [function for function in self.functions() if self.supplies[function.name] == SHAFT]

    @cached_property
    def turning(self) -> list[Function]:
        """What oil or the shaft turns."""
        return [function for function in self.functions() if function.turns]

    @cached_property
    def folding(self) -> list[Function]:
        """Parts that have a place of their own on the road: markers, wings, booms, gates."""
        parts = [function for function in self.cylinders if function.kind != "lift"]
        return [function for function in parts if function.rest != "any"]

    @cached_property
    def unfolded(self) -> list[Function]:
        """Those of them that are found elsewhere."""
        at_rest = {one.name: 1.0 if one.rest == "out" else 0.0 for one in self.folding}
        return [one for one in self.folding if self.strokes.get(one.name, 0.0) != at_rest[one.name]]

    @cached_property
    def lockable(self) -> list[str]:
        return [function.name for function in self.cylinders if function.lockable]

    @cached_property
    def shafts(self) -> list[str]:
        return [
            hose.name
            for hose in self.case.implement.hoses
            if hose.role == "shaft" and hose.name in self.ports
        ]

    @cached_property
    def lifts(self) -> list[Function]:
        return self.functions(("lift",))

    @cached_property
    def valves(self) -> list[str]:
        """Sections that hoses come from or go to, and those whose ports still hold pressure."""
        limit = self.case.limits.couple_pressure_pa
        names = [*self.ports.values(), *self.found_on.values()]
        names += [port for port, pressure in self.case.start.pressures if pressure > limit]
        used = {
            self.case.tractor.ports[self.case.port(name)].valve for name in names if self.case.port(name) >= 0
        }
        return [valve.name for index, valve in enumerate(self.case.tractor.valves) if index in used]

    # - sums

    def dial(self, function: Function) -> str:
        """Setting of a function's section that gives what it needs, to a tenth of a step."""
        valve = self.valve(function)
        if valve < 0:
            return "0"
        return amount_text(whole(circuits.dial_for_flow(self.case, valve, function.needs_m3_s) * 10) * 100)

    def stroke_wait(self, function: Function, area_m2: float) -> str:
        time = hyd.cylinder_stroke_time_s(function.stroke_m, area_m2, function.needs_m3_s)
        return _seconds(time)

    def speed_for(self, functions: Iterable[Function]) -> float:
        """Engine speed at which the pump gives what these take together, within idle and work."""
        tractor = self.case.tractor
        asked = math.fsum(one.needs_m3_s for one in functions if self.supplies[one.name] != SHAFT)
        rated = circuits.pump_available_m3_s(self.case, tractor.rated_rev_min)
        speed = (asked + tractor.steering_flow_m3_s) / rated * tractor.rated_rev_min
        return min(max(speed, tractor.idle_rev_min), self.case.engine_work_rev_min)

    def speed_to_move(self, functions: list[Function]) -> str:
        """Engine speed for moving these one at a time while every motor runs."""
        greatest = sorted(functions, key=lambda one: one.needs_m3_s)[-1:]
        return _rev_min(self.speed_for([*self.motors, *greatest]), self.case.engine_work_rev_min)

    def run_down_s(self) -> float:
        """Time in which the slowest fan to stop falls below what counts as still."""
        still = self.case.limits.still_rev_min * RAD_S_PER_REV_MIN / (2 * math.pi)
        times = [0.0]
        for function in self.turning:
            if function.kind == "driven":
                # Its drag is constant.
                speed = function.high_rev_min * RAD_S_PER_REV_MIN
                times.append(function.inertia_kg_m2 * speed / function.rated_torque_n_m)
            elif function.inertia_kg_m2 and function.rated_rev_min:
                constant, rated = circuits.coast_constant_s(function)
                start = function.high_rev_min * RAD_S_PER_REV_MIN / (2 * math.pi)
                # Exact solution of the run-down for the time: w = w0 / (1 + w0 t / (wr T)).
                times.append(max(0.0, (start / still - 1.0) * rated * constant / start))
        return max(times)

    def ballast_kg(self) -> int:
        """The least step that keeps the front share with the implement raised, never less than is on."""
        for step in sorted(self.case.tractor.ballast_steps_kg):
            if step >= self.case.start.ballast_kg and budget.axle_load(self.case, step, True).enough:
                return step
        share, most = self.case.limits.front_share, max(self.case.tractor.ballast_steps_kg)
        message = (
            f"{self.case.tractor.name} cannot carry {self.case.implement.name}: with all its ballast, "
            f"{most} kg, less than {share * 100:g} % is left on its front axle"
        )
        raise Unmet(("tractor",), message, "a heavier tractor, or a lighter implement")

    def top_link_mm(self) -> int:
        """Top link that stands the mast plumb at working height."""
        tractor = self.case.tractor
        angle = link.angle_for_ball_height_rad(tractor.linkage, self.case.implement.work_ball_m)
        length = link.plumb_top_link_m(tractor.linkage, angle)
        if not tractor.top_link_short_m <= length <= tractor.top_link_long_m:
            low, high = tractor.top_link_short_m * 1000, tractor.top_link_long_m * 1000
            message = (
                f"the top link of {tractor.name} goes from {low:g} mm to {high:g} mm; "
                f"{self.case.implement.name} stands plumb at {length * 1000:.0f} mm"
            )
            raise Unmet(("tractor",), message, "a tractor or an implement that fits")
        return whole(length * 1000)

    def reach_m(self) -> float:
        """Setting of the drawbar that suits the shaft: the one it has, else the first that does."""
        drawbar = self.case.tractor.drawbar
        assert drawbar is not None  # a drawn machine is not compiled without
        for reach in (self.case.start.drawbar_reach_m, *drawbar.reaches_m):
            if self.reach_fits(reach):
                return reach
        names = ", ".join(f"{reach * 1000:g} mm" for reach in drawbar.reaches_m)
        message = f"the drive shaft fits no setting of the drawbar of {self.case.tractor.name} ({names})"
        raise Unmet(("implement",), message, "a shaft of another length in the implement's file")

    def reach_fits(self, reach_m: float) -> bool:
        return towed.reach_fits(self.case, towed.shaft_fit(self.case, reach_m))

    def eye_off(self) -> bool:
        """Whether the eye stands at a height where it does not slide into the clevis."""
        drawbar = self.case.tractor.drawbar
        return drawbar is not None and abs(self.case.start.jack_m - drawbar.height_m) > drawbar.play_m

    def clevis_mm(self) -> str:
        """Height at which the jack just carries the eye in the clevis."""
        drawbar = self.case.tractor.drawbar
        assert drawbar is not None  # a drawn machine is not compiled without
        return f"{math.ceil(round(drawbar.height_m * 1000, 3))} mm"

    def stub_rev_min(self) -> float:
        """Speed the stub has to be shifted to; 0 where nothing hangs on it."""
        return next((one.pto_rev_min for one in self.driven), 0.0)

    def level_site(self) -> str:
        for site in self.case.sites:
            if site.slope <= self.case.limits.slope:
                return site.name
        message = f"no place of this yard slopes {self.case.limits.slope * 100:g} % or less"
        raise Unmet(("sites",), message, "pad: {title: Concrete pad, slope: 0.5 %}")

    def hitch(self, height_m: float) -> str:
        """A hitch height within reach, to the millimetre."""
        tractor = self.case.tractor
        return f"{whole(min(max(height_m, tractor.hitch_low_m), tractor.hitch_high_m) * 1000)} mm"

    def last_unit(self) -> str:
        """Where the bus has to be ended; '' where nobody moves a terminator."""
        units = self.case.implement.units
        return units[-1].name if units else ""

    def front_light(self) -> bool:
        return not budget.axle_load(self.case, self.case.start.ballast_kg, True).enough

    def bushings_needed(self) -> bool:
        return readings.bushings_right(self.case, True)


def _seconds(time_s: float) -> str:
    return f"{math.ceil(time_s * _SPARE + 1.0)} s"


def _rev_min(speed: float, most: float = math.inf) -> str:
    return f"{whole(min(math.ceil(speed / ROUND_REV_MIN) * ROUND_REV_MIN, most))} rev/min"


def _turns(pair: Pair) -> bool:
    """Whether anything is found turning that does not stop with the engine."""
    levers = {valve: to for valve, to, _ in pair.case.start.levers}
    driven = any(
        levers.get(pair.supplies[one.name], "block") in ("extend", "retract") for one in pair.valve_motors
    )
    speeds = [pair.case.start.fan_rev_min, *(speed for _, speed in pair.case.start.turning)]
    return driven or max(speeds) > pair.case.limits.still_rev_min


FACTS: Final[dict[str, Callable[[Pair], bool]]] = {
    # how the two are held together
    "three_point": lambda pair: not pair.case.implement.drawn,
    "drawbar": lambda pair: pair.case.implement.drawn,
    # what the implement brings
    "hoses": lambda pair: any(supply != SHAFT for supply in pair.supplies.values()),
    "valve_hoses": lambda pair: bool(pair.valves),
    "power_beyond": lambda pair: POWER_BEYOND in pair.supplies.values(),
    "shaft": lambda pair: bool(pair.shafts),
    "joints": lambda pair: bool(pair.case.implement.joints),
    "chain": lambda pair: (
        pair.case.implement.tongue is not None and pair.case.implement.tongue.chain_rating_kg > 0.0
    ),
    "drained": lambda pair: any(
        one.role == "drain" and one.name in {*pair.ports, *pair.found_on} for one in pair.case.implement.hoses
    ),
    "plugs": lambda pair: bool(pair.case.implement.plugs),
    "bus": lambda pair: any(plug.role == "bus" for plug in pair.case.implement.plugs),
    "lighting": lambda pair: any(plug.role == "lighting" for plug in pair.case.implement.plugs),
    "both_plugs": lambda pair: {"bus", "lighting"} <= {plug.role for plug in pair.case.implement.plugs},
    "lines": lambda pair: bool(pair.ports or pair.found_on or pair.case.implement.plugs),
    "rows": lambda pair: pair.case.implement.row_width_m > 0.0,
    "top_hook_used": lambda pair: pair.case.implement.uses_top_hook,
    "functions": lambda pair: bool(pair.functions()),
    "dialled": lambda pair: bool(pair.valve_functions),
    "fan": lambda pair: bool(pair.functions(("fan",))),
    "motors": lambda pair: bool(pair.motors),
    "valve_motors": lambda pair: bool(pair.valve_motors),
    "something_turns": lambda pair: bool(pair.valve_motors or pair.driven),
    "only_fan": lambda pair: {one.kind for one in pair.turning if one.exposed} == {"fan"},
    "only_markers": lambda pair: {one.kind for one in pair.folding} == {"marker"},
    "cylinders": lambda pair: bool(pair.cylinders),
    "folding": lambda pair: bool(pair.folding),
    "lifts": lambda pair: bool(pair.lifts),
    "works_hanging": lambda pair: pair.case.implement.works_hanging,
    # how the yard is found
    "drawbar_out": lambda pair: not pair.case.start.drawbar_stowed,
    "bushings_wrong": lambda pair: pair.case.start.bushings != pair.bushings_needed(),
    "top_hook_wrong": lambda pair: pair.case.start.top_hook != pair.case.implement.uses_top_hook,
    "sway_tight": lambda pair: pair.case.start.sway_m < pair.case.tractor.sway_free_m * 0.5,
    "front_light": Pair.front_light,
    "stands_down": lambda pair: pair.case.start.stands,
    "chocked": lambda pair: pair.case.start.chocked,
    "slope": lambda pair: pair.case.site(pair.case.start.site).slope > pair.case.limits.slope,
    "unfolded": lambda pair: bool(pair.unfolded),
    "oil_holds": lambda pair: any(one.held_kg for one in pair.unfolded),
    "lifted": lambda pair: any(pair.strokes.get(one.name, 0.0) > 0.0 for one in pair.lifts),
    "turning": _turns,
    "stub_wrong": lambda pair: pair.stub_rev_min() not in (0.0, pair.case.start.pto_rev_min),
    "guard_off": lambda pair: not pair.case.start.shaft_guard,
    "reach_wrong": lambda pair: not pair.reach_fits(pair.case.start.drawbar_reach_m),
    "drawbar_to_set": lambda pair: (
        pair.case.start.drawbar_stowed or not pair.reach_fits(pair.case.start.drawbar_reach_m)
    ),
    "drawbar_stowed": lambda pair: pair.case.start.drawbar_stowed,
    "eye_off": Pair.eye_off,
    "joints_open": lambda pair: len(pair.case.start.joints_secured) < len(pair.case.implement.joints),
    "bus_open": lambda pair: pair.case.start.terminator != pair.last_unit(),
    "locks": lambda pair: bool(pair.lockable),
    "locked": lambda pair: bool(pair.case.start.locked),
    "unlocked": lambda pair: bool(set(pair.lockable) - set(pair.case.start.locked)),
    "chained": lambda pair: pair.case.start.chained,
    "latched": lambda pair: pair.case.start.latched,
    "source_asked": lambda pair: bool(pair.case.speed_source),
}
"""What `when:` may ask; with `not` before it, the contrary."""


def _hose_parts(lines: Mapping[str, str]) -> list[dict[str, str]]:
    return [{"hose": hose, "port": port} for hose, port in lines.items()]


def _oil(pair: Pair, lines: Mapping[str, str]) -> dict[str, str]:
    hoses = pair.case.implement.hoses
    return {name: port for name, port in lines.items() if hoses[pair.case.hose(name)].role != "shaft"}


def _to_couple(pair: Pair) -> dict[str, str]:
    return {hose: port for hose, port in pair.ports.items() if hose not in pair.found_on}


def _coupled(pair: Pair) -> dict[str, str]:
    """What is on at the start, in the order it comes off: the last on first, a drain last of its motor."""
    order = [name for name in pair.ports if name in pair.found_on]
    order = [*[name for name in pair.found_on if name not in order], *order]
    return {name: pair.found_on[name] for name in reversed(order)}


def _function_parts(pair: Pair, functions: Iterable[Function]) -> list[dict[str, str]]:
    parts = []
    for one in functions:
        supply = pair.supplies[one.name]
        part = {"function": one.name, "valve": supply, "dial": pair.dial(one)}
        if one.is_cylinder:
            part["out"] = pair.stroke_wait(one, one.bore_area_m2)
            part["in"] = pair.stroke_wait(one, one.rod_side_area_m2 or one.bore_area_m2)
        parts.append(part)
    return parts


def _plug_parts(pair: Pair) -> list[dict[str, str]]:
    parts = []
    taken = [socket for _, socket in pair.case.start.plugs_on]
    for plug in pair.case.implement.plugs:
        if plug.name in dict(pair.case.start.plugs_on):
            continue
        fitting = [
            one.name for one in pair.case.tractor.sockets if one.form == plug.form and one.name not in taken
        ]
        if fitting:
            taken.append(fitting[0])
            parts.append({"plug": plug.name, "socket": fitting[0]})
    return parts


def _out(pair: Pair, functions: Iterable[Function]) -> list[Function]:
    return [one for one in functions if pair.strokes.get(one.name, 0.0) > 0.0]


def _homeward(pair: Pair) -> list[dict[str, str]]:
    """Parts found elsewhere than they belong on the road, with the way there."""
    parts = _function_parts(pair, pair.unfolded)
    for part, one in zip(parts, pair.unfolded, strict=True):
        part["home"] = "extend" if one.rest == "out" else "retract"
        part["home_wait"] = part["out"] if one.rest == "out" else part["in"]
    return parts


_HOSE, _FUNCTION = ("hose", "port"), ("function", "valve", "dial")
_CYLINDER = (*_FUNCTION, "out", "in")

SETS: Final[dict[str, tuple[tuple[str, ...], Callable[[Pair], list[dict[str, str]]]]]] = {
    "hoses": (_HOSE, lambda pair: _hose_parts(_to_couple(pair))),
    "oil_hoses": (_HOSE, lambda pair: _hose_parts(_oil(pair, _to_couple(pair)))),
    "hoses_on": (_HOSE, lambda pair: _hose_parts(_coupled(pair))),
    "oil_hoses_on": (_HOSE, lambda pair: _hose_parts(_oil(pair, _coupled(pair)))),
    "plugs": (("plug", "socket"), _plug_parts),
    "plugs_on": (
        ("plug", "socket"),
        lambda pair: [{"plug": plug, "socket": socket} for plug, socket in pair.case.start.plugs_on],
    ),
    "valves": (("valve",), lambda pair: [{"valve": valve} for valve in pair.valves]),
    "functions": (("function",), lambda pair: _function_parts(pair, pair.functions())),
    "motors": (("function",), lambda pair: _function_parts(pair, pair.motors)),
    "valve_functions": (_FUNCTION, lambda pair: _function_parts(pair, pair.valve_functions)),
    "valve_motors": (_FUNCTION, lambda pair: _function_parts(pair, pair.valve_motors)),
    "driven": (("function",), lambda pair: _function_parts(pair, pair.driven)),
    "cylinders": (
        _CYLINDER,
        lambda pair: _function_parts(pair, [one for one in pair.cylinders if one.rest != "out"]),
    ),
    "lifts": (_CYLINDER, lambda pair: _function_parts(pair, pair.lifts)),
    "folding": (_CYLINDER, lambda pair: _function_parts(pair, pair.folding)),
    "lifts_out": (_CYLINDER, lambda pair: _function_parts(pair, _out(pair, pair.lifts))),
    "unfolded": ((*_CYLINDER, "home", "home_wait"), _homeward),
    "cylinders_out": (
        _CYLINDER,
        lambda pair: _function_parts(pair, [one for one in pair.cylinders if one.rest == "out"]),
    ),
    "turning": (("function",), lambda pair: _function_parts(pair, pair.turning)),
    "joints_open": (
        ("joint",),
        lambda pair: [
            {"joint": joint.name}
            for joint in pair.case.implement.joints
            if joint.name not in pair.case.start.joints_secured
        ],
    ),
    "shafts_on": (
        _HOSE,
        lambda pair: [
            {"hose": name, "port": port}
            for name, port in pair.found_on.items()
            if name not in _oil(pair, pair.found_on)
        ],
    ),
    "shafts": (_HOSE, lambda pair: [{"hose": name, "port": pair.ports[name]} for name in pair.shafts]),
    "locked": (("function",), lambda pair: [{"function": name} for name in pair.case.start.locked]),
    "unlocked": (
        ("function",),
        lambda pair: [{"function": name} for name in pair.lockable if name not in pair.case.start.locked],
    ),
    "lockable": (("function",), lambda pair: [{"function": name} for name in pair.lockable]),
}
"""What `each:` may run over, with the gaps each part fills."""

PART_EXAMPLES: Final = {"dial": "5", "out": "8 s", "in": "8 s", "home": "retract", "home_wait": "8 s"}
"""What a gap of a part may look like; the others are names."""


def _fast_idle(pair: Pair) -> str:
    """Fast enough for what runs by itself on power beyond."""
    beyond = [one for one in pair.motors if pair.supplies[one.name] == POWER_BEYOND]
    return _rev_min(max(pair.case.tractor.idle_rev_min * FAST_IDLE, pair.speed_for(beyond)))


def _engine_rise(pair: Pair) -> str:
    rise = (
        pair.case.engine_work_rev_min - pair.case.tractor.idle_rev_min
    ) / pair.case.tractor.engine_rise_rev_min_s
    return f"{math.ceil(rise)} s"


AMOUNTS: Final[dict[str, tuple[str, Callable[[Pair], str]]]] = {
    "fit_paper": ("hitch_card", lambda pair: pair.case.fit_paper),
    "bushings": ("fit", lambda pair: "fit" if pair.bushings_needed() else "remove"),
    "top_hook": ("fit", lambda pair: "fit" if pair.case.implement.uses_top_hook else "remove"),
    "ballast": ("600 kg", lambda pair: f"{pair.ballast_kg()} kg"),
    "sway_free": ("60 mm", lambda pair: f"{whole(pair.case.tractor.sway_free_m * 1000)} mm"),
    "sway_work": ("6 mm", lambda pair: f"{whole(pair.case.implement.sway_target_m * 1000)} mm"),
    "hooks_under": (
        "500 mm",
        lambda pair: pair.hitch(pair.case.implement.parked_ball_m - BELOW_TO_BACK_IN_M),
    ),
    "hooks_away": ("450 mm", lambda pair: pair.hitch(pair.case.implement.parked_ball_m - BELOW_TO_LEAVE_M)),
    "parked": ("620 mm", lambda pair: pair.hitch(pair.case.implement.parked_ball_m)),
    "raised": ("900 mm", lambda pair: pair.hitch(pair.case.implement.parked_ball_m + LIFT_M)),
    "at_work": ("563 mm", lambda pair: pair.hitch(pair.case.implement.work_ball_m)),
    "reach": ("406.4 mm", lambda pair: f"{amount_text(whole(pair.reach_m() * 1e6))} mm"),
    "clevis": ("480 mm", Pair.clevis_mm),
    "stub_speed": ("540 rev/min", lambda pair: f"{pair.stub_rev_min():g} rev/min"),
    "top_link": ("813 mm", lambda pair: f"{pair.top_link_mm()} mm"),
    "last_unit": ("cart", Pair.last_unit),
    "speed_source": ("wheel", lambda pair: pair.case.speed_source),
    "level_site": ("pad", Pair.level_site),
    "idle": ("900 rev/min", lambda pair: _rev_min(pair.case.tractor.idle_rev_min)),
    "fast_idle": ("1200 rev/min", _fast_idle),
    "fold_speed": ("1500 rev/min", lambda pair: pair.speed_to_move(pair.folding)),
    "lift_speed": ("1500 rev/min", lambda pair: pair.speed_to_move(pair.lifts)),
    "work_speed": ("2200 rev/min", lambda pair: f"{whole(pair.case.engine_work_rev_min)} rev/min"),
    "engine_rise": ("3 s", _engine_rise),
    "boot": ("8 s", lambda pair: f"{math.ceil(pair.case.implement.boot_s)} s"),
    "run_down": ("45 s", lambda pair: _seconds(pair.run_down_s())),
}
"""What a gap may hold: an example, and how it is worked out."""
