"""What a run did to people and machines, judged without the rules.

The scoring rules look at events and at the readings and conditions those carry. This second judge looks at
neither: it reads the states of a run one after the other, with its own sums, and holds each against the
physical criteria of `criteria.py` and against the orders of the job's steps (an order is broken when the
later step's deed happens while the earlier step's state does not stand). `audit.py` plays runs before both
and compares.
"""

from __future__ import annotations

import math
from collections.abc import Collection
from copy import copy
from dataclasses import dataclass
from typing import Self

from trainer.authoring.criteria import CLASSES, CRITERIA, NONE, Criterion, held_orders
from trainer.core.actions import Action
from trainer.core.case import Case, Function
from trainer.core.state import State

_REACHES_UNDER = (
    *("stands", "chock", "unchock", "latch", "unlatch"),
    *("sway", "drawbar", "bushings", "top_link", "top_hook"),
)
"""Work at coupler, links, wheels and stands: body or limb below or inside the lifted frame."""
_BETWEEN = ("panel", "hitch")
_AT_THE_MACHINES = ("panel", "hitch", "implement")
_NEAR_UM = 5_000_000
"""Tractor and implement this near to each other can still crush somebody at either."""
_DEAD_STOP_S = 0.3
"""A rotor that runs out freely takes longer to lose its speed: its time constant is 0.44 s (derived)."""
_TANK_KINDS = ("case_drain", "free_return", "pb_return")


@dataclass(frozen=True, slots=True)
class Mark:
    """A criterion met: when, and on what."""

    criterion: Criterion
    tick: int
    what: str


class Oracle:
    """Sees the states of one run, in order, and keeps what each criterion first met.

    >>> from trainer.authoring.compile import load_job
    >>> from trainer.core.engine import start
    >>> oracle = Oracle(load_job("first-week/couple").case)
    >>> state = start(oracle.case)
    >>> oracle.see(state, None, "", state._replace(station="panel", engine=True))
    >>> sorted(oracle.marks), oracle.harm
    (['between_running', 'running_alone'], 'injury')
    """

    def __init__(self, case: Case) -> None:
        self.case = case
        self.marks: dict[str, Mark] = {}
        self._orders = held_orders(case)
        self._latches_proved = case.start.latches_seen
        self._supports_proved = False
        self._looked_back = False

    @property
    def harm(self) -> str:
        """The worst class of all that was met."""
        met = {mark.criterion.harm for mark in self.marks.values()}
        return next((harm for harm in CLASSES if harm in met), NONE)

    def see(self, before: State, action: Action | None, refused: str, after: State) -> None:
        """One tick: the state before, what was done in it and whether that was refused, the state after."""
        self._people(after)
        if action is not None:
            if refused:
                self._tried(before, action, refused)
            else:
                self._done(before, action)
                self._did_to_lines(before, action)
                self._did_to_parts(before, action)
                self._looked(before, action)
        self._carried(before, after)
        for index in range(len(after.works)):
            self._function(before, after, index)
        if after.oil_mc > 82_000:
            self._mark("oil_hot", after)
        if after.ended and not before.ended:
            self._ended(after)

    def _mark(self, name: str, state: State, what: str = "") -> None:
        criterion = CRITERIA[name]
        if name in self.marks:
            return
        # Nobody puts steps in order where a fault is looked for: there each is looked at for its own sake.
        held = self.case.goal == "find" or self._orders.intersection(criterion.orders)
        if criterion.by_order and not held:
            return
        self.marks[name] = Mark(criterion, state.tick, what)

    def fork(self) -> Self:
        """A second oracle that has seen what this one has."""
        twin = copy(self)
        twin.marks = dict(self.marks)
        return twin

    def forget(self, names: Collection[str], sound: Oracle) -> None:
        """Take back those of these marks that the sound machine, the same done to it, does not earn; a report
        that names no fault stays wrong."""
        for name in names:
            if name not in sound.marks and name != "not_ready":
                del self.marks[name]

    # --- people ---

    def _people(self, s: State) -> None:
        if s.station == "seat":
            return
        if s.engine:
            self._mark("running_alone", s, s.station)
            if s.station in _BETWEEN:
                self._mark("between_running", s, s.station)
        if not s.brake:
            self._mark("unbraked", s, s.station)
        if s.key != "out" and s.station in _AT_THE_MACHINES and s.gap_um < _NEAR_UM:
            self._mark("key_left", s, s.station)
        if s.pto:
            self._mark("shaft_engaged", s, s.station)
        for function, work in zip(self.case.implement.functions, s.works, strict=True):
            still_rad_s = self.case.limits.still_rev_min * math.pi / 30.0
            if function.exposed and work.speed_mrad_s / 1000.0 > still_rad_s * 1.01:
                self._mark("fan_turning", s, function.name)

    # --- deeds ---

    def _tried(self, s: State, action: Action, refused: str) -> None:
        if action.word == "couple" and refused == "pressure":
            self._mark("pressed_on", s, action.thing)

    def _done(self, s: State, action: Action) -> None:
        case, word = self.case, action.word
        if word in _REACHES_UNDER and self._hangs_on_oil(s):
            self._mark("under_oil", s, word)
        if word == "engine" and action.thing == "start" and s.station != "seat":
            self._mark("ground_start", s, s.station)
        if word == "hitch" and s.station != "seat":
            self._mark("hitch_from_beside", s, s.station)
        if word == "reverse":
            self._backs(s)
        if word in ("creep", "drive", "park_at"):
            self._moves(s, word)
        if word == "latch" and not s.engaged:
            self._mark("latched_empty", s, action.thing)
        if word == "unlatch":
            # At work its own wheels carry it, and who closes the latch again has let nothing go.
            leaves = case.goal != "find"
            if s.weight == "hitch" or (leaves and (s.weight != "stands" or self._stroke(s, "lift"))):
                self._mark("unlatched_hanging", s, action.thing)
            if leaves and not (s.chock_left and s.chock_right):
                self._mark("unlatched_unchocked", s, action.thing)
            self._latches_proved = False
        taken = (word == "stands" and action.thing == "up") or word == "unchock"
        if taken and not self._latches_proved:
            self._mark("support_taken", s, word)
        if word == "unchock":
            self._supports_proved = False
        # At working height the functions are tried; nobody goes from there to a coupler.
        if word == "lever" and action.place == "float" and s.engine and not self._works(s):
            valve = case.valve(action.thing)
            ports = [i for i, port in enumerate(case.tractor.ports) if port.valve == valve]
            nothing_on = not any(port in s.hose_at for port in ports)
            if nothing_on and any(s.port_pa[port] > case.limits.couple_pressure_pa for port in ports):
                self._mark("bled_running", s, action.thing)

    def _backs(self, s: State) -> None:
        case = self.case
        if not s.area_looks:
            self._mark("backed_unseen", s)
        if not s.drawbar_stowed:
            self._mark("drawbar_struck", s)
        if not self._fits(s) or case.fit_paper not in s.papers:
            self._mark("wrong_fit", s)
        if s.hitch_um / 1e6 >= case.implement.parked_ball_m - case.implement.pin_diameter_m / 2.0:
            self._mark("hooks_struck", s)
        if s.sway_um / 1e6 < case.tractor.sway_free_m / 2.0:
            self._mark("stiff_links", s)

    def _moves(self, s: State, word: str) -> None:
        if s.weight == "hitch":
            if s.chock_left or s.chock_right:
                self._mark("chocks_dragged", s)
            self._front(s)
            return
        if s.engaged:
            self._mark("pulled_off", s)
        if any(at >= 0 for at in s.hose_at + s.plug_at):
            self._mark("lines_torn", s)
        if word == "drive" and not self._looked_back:
            self._mark("left_unseen", s)
        self._looked_back = False

    def _looked(self, s: State, action: Action) -> None:
        if action.word != "look":
            return
        if action.thing == "latches":
            self._latches_proved = s.engaged and s.latch_left and s.latch_right
        elif action.thing == "supports":
            self._supports_proved = s.weight == "stands" and s.chock_left and s.chock_right
        elif action.thing == "lines":
            self._looked_back = s.crept

    def _did_to_parts(self, s: State, action: Action) -> None:
        case = self.case
        if action.word == "unlock" and case.goal == "couple":
            lines = zip(case.implement.hoses, s.hose_at, strict=True)
            own = [at for hose, at in lines if hose.function == case.function(action.thing)]
            if min(own, default=0) < 0:
                self._mark("unlocked_bare", s, action.thing)
        if action.word == "pto" and action.thing == "on":
            self._bare(s, "")
            self._stub(s)

    def _shaft_on(self, s: State) -> bool:
        hoses = zip(self.case.implement.hoses, s.hose_at, strict=True)
        return any(hose.role == "shaft" and at >= 0 for hose, at in hoses)

    def _bare(self, s: State, when: str) -> None:
        if self._shaft_on(s) and not s.shaft_guard:
            self._mark("shaft_bare", s, when)

    def _stub(self, s: State) -> None:
        for index, function in enumerate(self.case.implement.functions):
            shaft = self.case.hose_of(index, "shaft")
            on = shaft >= 0 and s.hose_at[shaft] >= 0
            if on and abs(s.pto_mrev_min / 1000.0 - function.pto_rev_min) > 1.0:
                self._mark("shaft_speed", s, function.name)

    def _did_to_lines(self, s: State, action: Action) -> None:
        case, word = self.case, action.word
        if word in ("couple", "uncouple"):
            hose = case.hose(action.thing)
            if s.pto and case.implement.hoses[hose].role == "shaft":
                self._mark("shaft_touched", s, action.thing)
            port = case.port(action.place) if word == "couple" else s.hose_at[hose]
            pressure_pa = max(s.hose_pa[hose], s.port_pa[port])
            if pressure_pa > case.limits.couple_pressure_pa:
                self._mark("pressed_on" if word == "couple" else "jet", s, action.thing)
            oil = case.implement.hoses[hose].role != "shaft"
            if word == "couple" and oil and not (s.hose_clean[hose] and s.port_clean[port]):
                self._mark("dirt", s, action.thing)
        if word in ("gauge", "flow_meter", "mend"):
            hose, port = case.hose(action.thing), case.port(action.thing)
            inside_pa = max(s.hose_pa[hose] if hose >= 0 else 0, s.port_pa[port] if port >= 0 else 0)
            if inside_pa > case.limits.couple_pressure_pa:
                self._mark("jet", s, action.thing)
        live = s.key == "on" or s.tick < s.supply_until
        if word == "plug" and live:
            self._mark("plugged_live", s, action.thing)
        if word == "unplug":
            if live:
                self._mark("unplugged_live", s, action.thing)
            waited_s = (s.tick - s.key_off_tick) / 20.0 if s.key_off_tick >= 0 else math.inf
            if s.key == "on" or waited_s < case.limits.unplug_wait_s:
                self._mark("unplugged_early", s, action.thing)
            charged = [
                at
                for at in s.hose_at
                if at >= 0
                and case.tractor.ports[at].valve >= 0
                and s.port_pa[at] > case.limits.couple_pressure_pa
            ]
            if charged:
                self._mark("shut_down_charged", s, case.tractor.ports[charged[0]].name)

    # --- what carries the implement ---

    def _hangs_on_oil(self, s: State) -> bool:
        lifted = not s.lift_locked and (self._raised(s, s.hitch_um) or self._stroke(s, "lift") > 0)
        return lifted or bool(self._parts_on_oil(s))

    def _parts_on_oil(self, s: State) -> list[str]:
        """Gates, wings and the like that are up with no lock of their own in."""
        parts = zip(self.case.implement.functions, s.works, s.locked, strict=True)
        return [
            one.name
            for one, work, locked in parts
            if one.held_kg and not locked and not self._rests(one, work.stroke_um)
        ]

    def _rests(self, part: Function, stroke_um: int) -> bool:
        """Whether a part lies where no weight moves it: home, or out once it is over the top."""
        over = part.kind == "fold" and part.back_load_n > 0.0
        return stroke_um == 0 or (over and stroke_um == round(part.stroke_m * 1e6))

    def _clear_m(self, s: State) -> float:
        """Height of the pins at which stands, or wheels where the stands are up, leave the ground."""
        implement = self.case.implement
        return implement.lifted_clear_m + (implement.parked_ball_m if s.stands else implement.ground_ball_m)

    def _raised(self, s: State, hitch_um: int) -> bool:
        return s.engaged and hitch_um / 1e6 >= self._clear_m(s) - 1e-9

    def _stroke(self, s: State, kind: str) -> int:
        functions = self.case.implement.functions
        strokes = [w.stroke_um for f, w in zip(functions, s.works, strict=True) if f.kind == kind]
        return max(strokes, default=0)

    def _fits(self, s: State) -> bool:
        """Bushings on just where a bare pin would be loose in its hook by more than 1.5 mm (practice)."""
        loose = self.case.tractor.hook_diameter_m - self.case.implement.pin_diameter_m > 0.0015
        return s.bushings == loose

    def front_share(self, s: State) -> float:
        """Load on the front axle, the implement carried, as a share of the tractor's own mass.

        Moments about the rear axle: F L = F0 L + Gf (a + L) - sum of what hangs behind times its arm.
        """
        tractor, implement = self.case.tractor, self.case.implement
        balls_m = tractor.linkage.lower_pivot_m[0] + tractor.linkage.lower_link_m
        carried_kg = implement.mass_kg * implement.carried_share
        moment = math.fsum(
            (
                tractor.front_load_kg * tractor.wheelbase_m,
                s.ballast_kg * (tractor.ballast_arm_m + tractor.wheelbase_m),
                -tractor.coupler_mass_kg * balls_m,
                -carried_kg * (balls_m + tractor.coupler_offset_m + implement.behind_balls_m),
            )
        )
        return moment / tractor.wheelbase_m / tractor.mass_kg

    def _front(self, s: State) -> None:
        share = self.front_share(s)
        if share < self.case.limits.front_share - 0.0005:
            self._mark("light_front", s, f"{share:.1%}")

    def _carried(self, before: State, after: State) -> None:
        if before.weight == after.weight and before.hitch_um == after.hitch_um:
            return
        if after.engaged and not before.engaged:
            self._front(after)
        rises = after.hitch_um > before.hitch_um
        if rises and before.weight in ("stands", "ground") and self._raised(before, after.hitch_um):
            self._lifts(before)
        if after.engaged and after.hitch_um < before.hitch_um and not after.drawbar_stowed:
            self._mark("drawbar_struck", after)
        if before.weight == "hitch" and after.weight == "stands":
            self._supports_proved = False
            self._stands(after)
            if not after.area_looks:
                self._mark("lowered_unseen", after)
        latched = before.latch_left or before.latch_right
        dragged_m = self.case.implement.parked_ball_m - self.case.implement.pin_diameter_m
        standing = before.engaged and before.weight == "stands" and after.hitch_um < before.hitch_um
        if standing and latched and after.hitch_um / 1e6 < dragged_m:
            self._mark("dragged", after)
        if standing and not after.engaged:
            self._lets_go(before)
        if after.weight == "fallen" and before.weight != "fallen" and "pulled_off" not in self.marks:
            self._mark("fell", after)

    def _lifts(self, s: State) -> None:
        if not (s.latch_left and s.latch_right):
            self._mark("lifted_open", s)
        self._fit_to_lift(s)

    def _fit_to_lift(self, s: State) -> None:
        if not self._latches_proved:
            self._mark("latches_unproved", s)
        if self.case.implement.uses_top_hook and not s.top_hook:
            self._mark("mast_loose", s)
        if not self._fits(s):
            self._mark("wrong_fit", s)
        ends = s.hose_at + s.plug_at
        loose = [i for i, (at, laid) in enumerate(zip(ends, s.routed, strict=True)) if at >= 0 and not laid]
        if loose:
            self._mark("unrouted", s)
        self._front(s)
        for index, hose in enumerate(self.case.implement.hoses):
            if hose.role != "shaft" and s.hose_at[index] >= 0 and self._stretched(index, s.hose_at[index]):
                self._mark("hose_stretched", s, hose.name)

    def _stretched(self, hose: int, port: int) -> bool:
        """Whether the straight way from port to hose guide, hitch at its top, is longer than the hose."""
        tractor, data = self.case.tractor, self.case.implement.hoses[hose]
        across, rearward, up = tractor.ports[port].at_m
        balls_m = tractor.linkage.lower_pivot_m[0] + tractor.linkage.lower_link_m
        away_m = math.dist(
            (across, rearward, up),
            (
                data.root_m[0],
                balls_m + tractor.coupler_offset_m + data.root_m[1],
                tractor.hitch_high_m + data.root_m[2],
            ),
        )
        return away_m > data.length_m

    def _stands(self, s: State) -> None:
        if self.case.site(s.site).slope > self.case.limits.slope:
            self._mark("set_on_slope", s, s.site)
        for function, work in zip(self.case.implement.functions, s.works, strict=True):
            if function.kind not in ("marker", "fold", "cylinder") or function.rest == "any":
                continue
            home_um = round(function.stroke_m * 1e6) if function.rest == "out" else 0
            if work.stroke_um != home_um:
                self._mark("parked_unfolded", s, function.name)

    def _lets_go(self, s: State) -> None:
        """The hooks leave the pins."""
        if not self._supports_proved:
            self._mark("support_unproved", s)
        if not (s.chock_left and s.chock_right):
            self._mark("unlatched_unchocked", s)
        self._stands(s)

    # --- oil ---

    def _function(self, before: State, after: State, index: int) -> None:
        was, now = before.works[index], after.works[index]
        if was == now:
            return
        function = self.case.implement.functions[index]
        if function.kind == "driven":
            if now.speed_mrad_s and not was.speed_mrad_s and not after.area_looks:
                self._mark("moved_unseen", after, function.name)
            if now.speed_mrad_s > function.overspeed_rev_min * 104.75:
                self._mark("overspeed", after, function.name)
            return
        if not function.is_motor:
            if now.stroke_um != was.stroke_um and not after.area_looks:
                self._mark("moved_unseen", after, function.name)
            carries = function.kind == "lift" or function.held_kg > 0.0
            if carries and now.stroke_um != was.stroke_um and not now.flow_mm3_s:
                self._mark("dropped", after, function.name)
            rod = self.case.hose_of(index, "retract")
            if rod >= 0 and now.rod_side_pa > self.case.implement.hoses[rod].work_pressure_pa:
                self._mark("rod_side", after, function.name)
            held = after.locked[index] or (function.kind == "lift" and after.lift_locked)
            if held and now.course == "stalled" and self._pushes(after, index):
                self._mark("lock_bent", after, function.name)
            return
        if function.case_limit_pa and now.case_pa > function.case_limit_pa:
            self._mark("case_burst", after, function.name)
        if now.course in ("driven", "stalled") and 0 < function.return_limit_pa < now.return_pa:
            self._mark("return_high", after, function.name)
        if function.overspeed_rev_min and now.speed_mrad_s > function.overspeed_rev_min * 104.75:
            self._mark("overspeed", after, function.name)
        rated_mrad_s = function.rated_rev_min * math.pi / 30.0 * 1000.0
        # What drags at it as it works stops an auger as fast, and nothing takes harm: half as much again is
        # more than that.
        own_mrad_s = function.rated_torque_n_m / function.inertia_kg_m2 * 1000.0 * 0.05 * 1.5
        dead_mrad_s = max(rated_mrad_s * 0.05 / _DEAD_STOP_S, own_mrad_s)
        if was.speed_mrad_s - now.speed_mrad_s > dead_mrad_s:
            self._mark("stopped_dead", after, function.name)
        if now.course == "reversed" and now.flow_mm3_s:
            self._mark("backwards", after, function.name)
        shaft = self.case.hose_of(index, "shaft")
        if after.pto and after.engine and shaft >= 0 and after.hose_at[shaft] >= 0 and now.flow_mm3_s > 0:
            self._mark("two_drives", after, function.name)

    def _pushes(self, s: State, index: int) -> bool:
        """Whether a section pushes a cylinder away from the end it stands at, its other line open."""
        full_um = round(self.case.implement.functions[index].stroke_m * 1e6)
        lines = [s.hose_at[self.case.hose_of(index, role)] for role in ("extend", "retract")]
        if min(lines) < 0:
            return False
        for at, end_um in zip(lines, (full_um, 0), strict=True):
            port = self.case.tractor.ports[at]
            if port.valve >= 0 and s.levers[port.valve] == port.kind:
                return s.works[index].stroke_um != end_um
        return False

    # --- the end ---

    def _ended(self, s: State) -> None:
        if s.ended != "handed in":
            self._mark("not_handed_in", s, s.ended)
            return
        ends = zip(s.hose_at, s.hose_capped, s.hose_stored, strict=True)
        open_ends = [at for at, capped, stored in ends if at < 0 and not (capped and stored)]
        plugs = zip(s.plug_at, s.plug_stored, strict=True)
        open_ends += [at for at, stored in plugs if at < 0 and not stored]
        if open_ends:
            self._mark("left_open", s)
        if self._parts_on_oil(s):
            self._mark("left_on_oil", s)
        parts = zip(self.case.implement.functions, s.locked, strict=True)
        loose = [part.name for part, locked in parts if part.lockable and not locked]
        if loose:
            self._mark("lock_off", s, loose[0])
        if self.case.goal == "uncouple":
            self._put_away(s)
        else:
            self._handed_over(s)

    def _handed_over(self, s: State) -> None:
        """What the next one to drive the pair meets."""
        case = self.case
        if s.engaged:
            self._coupled_for_work(s)
        lamps = any(
            plug.role == "lighting" and at >= 0
            for plug, at in zip(case.implement.plugs, s.plug_at, strict=True)
        )
        has = {plug.role for plug in case.implement.plugs}
        proved = self.case.goal == "find" or "lights" in s.proved
        if "lighting" in has and not (lamps and proved):
            self._mark("no_lamps", s)
        for index, function in enumerate(case.implement.functions):
            if not function.is_motor or self._kind(s, index, "pressure") in ("", "case_drain", "free_return"):
                continue
            if case.hose_of(index, "drain") >= 0 and self._kind(s, index, "drain") not in _TANK_KINDS:
                self._mark("drain_shut", s, function.name)
            shut = self._kind(s, index, "return") in ("", "pb_pressure", "pb_sense")
            if shut and function.pto_rev_min == 0:
                self._mark("return_shut", s, function.name)
        if any(at < 0 for at in s.plug_at):
            self._mark("not_ready", s)
        if case.goal == "find":
            if not s.found:
                self._mark("not_ready", s)
            return
        plumb = self._at_working_height(s)
        unproved = [f.name for f in case.implement.functions if f.name not in s.proved]
        no_bus = "bus" in has and "bus" not in s.proved
        if not plumb or unproved or no_bus or case.speed_source not in ("", s.speed_source):
            self._mark("not_ready", s)

    def _coupled_for_work(self, s: State) -> None:
        """What holds the implement at its next lift, and what is in its way."""
        if not (s.latch_left and s.latch_right):
            self._mark("lifted_open", s, "handed over")
        self._fit_to_lift(s)
        self._bare(s, "handed over")
        if not s.drawbar_stowed:
            self._mark("drawbar_struck", s)
        if s.stands:
            self._mark("stand_bent", s)

    def _works(self, s: State) -> bool:
        """Whether the implement stands, or hangs, where it works: there within an inch."""
        off_m = abs(s.hitch_um / 1e6 - self.case.implement.work_ball_m)
        hanging = self.case.implement.works_hanging
        return s.weight == "hitch" and off_m <= 0.0254 if hanging else s.weight == "ground"

    def _at_working_height(self, s: State) -> bool:
        return self._works(s)

    def _kind(self, s: State, function: int, role: str) -> str:
        """Kind of the port that a function's hose of this role is on; '' where it is on none."""
        hose = self.case.hose_of(function, role)
        at = s.hose_at[hose] if hose >= 0 else -1
        return self.case.tractor.ports[at].kind if at >= 0 else ""

    def _put_away(self, s: State) -> None:
        """How the implement stands when nobody is there any more."""
        if s.engaged:
            self._mark("not_ready", s)
            return
        if not (s.chock_left and s.chock_right):
            self._mark("left_rolling", s)
        self._stands(s)
        if not s.driven_off or any(at >= 0 for at in s.hose_at + s.plug_at):
            self._mark("not_ready", s)
