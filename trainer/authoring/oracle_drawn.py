"""The judge that knows no rule, for machines drawn by the drawbar: its own sums of tongue, pin and shaft.

Lengths and masses come from the machines' files, positions from the states; nothing is asked of
`trainer.core.drawbar`, so that the two can disagree.
"""

from __future__ import annotations

import math

from trainer.authoring.oracle import Oracle
from trainer.core.actions import Action
from trainer.core.case import Case, Drawbar, Tongue
from trainer.core.state import State

LEAST_OVERLAP_M = 0.15
LEAST_TO_BOTTOM_M = 0.05
"""What the trade leaves a telescoping shaft (practice)."""


def judge_of(case: Case) -> Oracle:
    """The oracle for a case's kind of coupling.

    >>> from trainer.authoring.compile import load_job
    >>> type(judge_of(load_job("class/couple_baler").case)).__name__
    'DrawnOracle'
    """
    return DrawnOracle(case) if case.implement.tongue is not None else Oracle(case)


class DrawnOracle(Oracle):
    """An oracle that looks at a drawbar instead of a three-point hitch."""

    @property
    def _tongue(self) -> Tongue:
        assert self.case.implement.tongue is not None
        return self.case.implement.tongue

    @property
    def _clevis(self) -> Drawbar:
        assert self.case.tractor.drawbar is not None
        return self.case.tractor.drawbar

    def _held(self, s: State) -> bool:
        return s.pin_in and s.pin_clipped

    def _chocked(self, s: State) -> bool:
        return s.chock_left and s.chock_right

    # --- deeds ---

    def _done(self, before: State, action: Action) -> None:
        super()._done(before, action)
        case, word, thing = self.case, action.word, action.thing
        coupling = case.goal == "couple"
        if word == "unchock" and coupling:
            if not before.chained:
                self._mark("unchained_free", before, thing)
            if not all(before.joints_secured):
                self._mark("joint_loose", before, thing)
            if before.stands:
                self._mark("jack_rolls", before, thing)
        if word == "jack" and coupling and not before.pin_in and not self._chocked(before):
            self._mark("cranked_free", before)
        if word in ("couple", "plug") and coupling and not self._held(before):
            self._mark("lines_before_hold", before, thing)
        shaft = word == "couple" and case.implement.hoses[case.hose(thing)].role == "shaft"
        if shaft and not self._shaft_fits(before):
            self._mark("shaft_length", before, thing)
        if word in ("pin", "clip", "chain"):
            self._at_the_pin(before, word, thing)

    def _at_the_pin(self, before: State, word: str, thing: str) -> None:
        self._latches_proved = False
        if word == "pin" and thing == "fit" and not self._fits(before):
            self._mark("pin_hammers", before)
        if word == "pin" and thing == "remove":
            if before.weight != "stands":
                self._mark("pin_loaded", before)
            if not self._chocked(before):
                self._mark("unlatched_unchocked", before, "pin")
        let_go = word == "chain" and thing == "unhook" and self.case.goal != "couple"
        if let_go and not self._chocked(before):
            self._mark("unlatched_unchocked", before, "chain")

    def _tried(self, s: State, action: Action, refused: str) -> None:
        super()._tried(s, action, refused)
        if action.word == "pin" and refused == "holes_apart":
            self._mark("finger_in_hole", s)

    def _looked(self, s: State, action: Action) -> None:
        super()._looked(s, action)
        if action.word == "look" and action.thing == "latches":
            self._latches_proved = self._held(s)

    def _backs(self, s: State) -> None:
        if not s.area_looks:
            self._mark("backed_unseen", s)
        if self.case.fit_paper not in s.papers:
            self._mark("wrong_fit", s)
        off_m = s.jack_um / 1e6 - self._clevis.height_m
        if s.drawbar_stowed or abs(off_m) > self._clevis.play_m + 1e-9:
            self._mark("tongue_hit", s)
        if self.case.goal == "couple" and not self._chocked(s):
            self._mark("pushed_rolling", s)

    def _moves(self, s: State, word: str) -> None:
        if not s.pin_in:
            if s.chained:
                self._mark("pulled_off", s, "chain")
            if any(at >= 0 for at in s.hose_at + s.plug_at):
                self._mark("lines_torn", s)
            if word == "drive" and not self._looked_back:
                self._mark("left_unseen", s)
            self._looked_back = False
            return
        if s.chock_left or s.chock_right:
            self._mark("chocks_dragged", s)
        if word == "creep" and self.case.goal == "uncouple":
            self._mark("pulled_off", s, "pin")
        self._road(s)
        if s.stands:
            self._mark("stand_bent", s, "moved")
        self._front(s)

    def _road(self, s: State) -> None:
        """What holds the machine while it is drawn."""
        if not self._held(s):
            self._mark("lifted_open", s, "drawn")
        elif not self._latches_proved:
            self._mark("latches_unproved", s, "drawn")
        if not s.chained:
            self._mark("unchained", s)
        if not all(s.joints_secured):
            self._mark("joint_loose", s)

    # --- what carries it ---

    def _fits(self, s: State) -> bool:
        loose = self._tongue.eye_diameter_m - self._clevis.pin_diameter_m > 0.0015
        return s.bushings == loose

    def _hangs_on_oil(self, s: State) -> bool:
        lifted = not s.lift_locked and self._stroke(s, "lift") > 0
        return lifted or bool(self._parts_on_oil(s))

    def front_share(self, s: State) -> float:
        """Load on the front axle with the tongue on the drawbar: moments about the rear axle."""
        tractor = self.case.tractor
        stub = next((port.at_m[1] for port in tractor.ports if port.kind == "pto"), 0.0)
        moment = math.fsum(
            (
                tractor.front_load_kg * tractor.wheelbase_m,
                s.ballast_kg * (tractor.ballast_arm_m + tractor.wheelbase_m),
                -self._tongue.load_kg * (stub + s.drawbar_reach_um / 1e6),
            )
        )
        return moment / tractor.wheelbase_m / tractor.mass_kg

    def _carried(self, before: State, after: State) -> None:
        if before.weight == after.weight:
            return
        dragged = "pulled_off" in self.marks and self.marks["pulled_off"].tick >= before.tick
        if after.weight == "fallen" and not dragged:
            self._mark("fell", after)
        if before.weight == "drawbar" and after.weight == "stands":
            self._stands(after)
            if not self._chocked(after):
                self._mark("unlatched_unchocked", after, "jack")

    def _fit_to_lift(self, s: State) -> None:
        ends = s.hose_at + s.plug_at
        if any(at >= 0 and not laid for at, laid in zip(ends, s.routed, strict=True)):
            self._mark("unrouted", s)
        self._front(s)
        for index, hose in enumerate(self.case.implement.hoses):
            if hose.role != "shaft" and s.hose_at[index] >= 0 and self._stretched_in_turn(s, index):
                self._mark("hose_stretched", s, hose.name)

    def _stretched_in_turn(self, s: State, hose: int) -> bool:
        """Whether the straight way from port to tongue is longer than the hose, in line or in the turn."""
        tractor, data = self.case.tractor, self.case.implement.hoses[hose]
        across, rearward, up = tractor.ports[s.hose_at[hose]].at_m
        stub = next((port.at_m[1] for port in tractor.ports if port.kind == "pto"), 0.0)
        pin_m, (x, y, z) = stub + s.drawbar_reach_um / 1e6, data.root_m
        out_m, at_rad = math.hypot(x, y), math.atan2(x, y)
        for turn in (-self._tongue.turn_rad, 0.0, self._tongue.turn_rad):
            end = (
                out_m * math.sin(at_rad + turn),
                pin_m + out_m * math.cos(at_rad + turn),
                self._clevis.height_m + z,
            )
            if math.dist((across, rearward, up), end) > data.length_m:
                return True
        return False

    # --- the shaft ---

    def _shaft_fits(self, s: State) -> bool:
        """Law of cosines for the span in the sharpest turn, law of sines for the joint's angle."""
        a = s.drawbar_reach_um / 1e6
        for shaft in self.case.implement.hoses:
            if shaft.role != "shaft" or not shaft.closed_m:
                continue
            b, turn = shaft.root_m[1], self._tongue.turn_rad
            bent = math.sqrt(a * a + b * b - 2.0 * a * b * math.cos(math.pi - turn))
            angle = math.acos(max(-1.0, min(1.0, (a * a + bent * bent - b * b) / (2.0 * a * bent))))
            longest, shortest = max(a + b, bent), min(a + b, bent)
            if shaft.closed_overlap_m - (longest - shaft.closed_m) < LEAST_OVERLAP_M - 1e-6:
                return False
            if shortest - shaft.closed_m < LEAST_TO_BOTTOM_M - 1e-6:
                return False
            if shaft.most_angle_rad and max(angle, turn - angle) > shaft.most_angle_rad + 1e-6:
                return False
        return True

    # --- the end ---

    def _coupled_for_work(self, s: State) -> None:
        if not self._held(s):
            self._mark("lifted_open", s, "handed over")
        elif not self._latches_proved:
            self._mark("latches_unproved", s, "handed over")
        if not s.chained:
            self._mark("unchained", s, "handed over")
        if not all(s.joints_secured):
            self._mark("joint_loose", s, "handed over")
        if s.stands:
            self._mark("stand_bent", s)
        self._bare(s, "handed over")
        self._fit_to_lift(s)

    def _works(self, s: State) -> bool:
        return s.weight == "drawbar"

    def _at_working_height(self, s: State) -> bool:
        off_m = self._tongue.eye_height_m - self._clevis.height_m
        level = abs(math.atan(off_m / self._tongue.length_m)) <= self._tongue.level_limit_rad
        return s.weight == "drawbar" and level
