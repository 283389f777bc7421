"""What a run did to people and machines, judged without the rules.

The scoring rules look at events and at the readings and conditions those carry. This second judge looks at
neither: it reads the states of a run one after the other, with its own sums, and holds each against physical
criteria and against the orders of the job's steps (an order is broken when the later step's deed happens
while the earlier step's state does not stand). `audit.py` plays runs before both and compares.

Every criterion says why it is one and where that comes from. None was taken from `scenarios/rules.yaml`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from trainer.core.actions import Action
from trainer.core.case import Case
from trainer.core.state import State

INJURY, DAMAGE, FUNCTION, NONE = "injury", "damage", "function", "none"
CLASSES = (INJURY, DAMAGE, FUNCTION, NONE)
"""What a run can come to, worst first."""


@dataclass(frozen=True, slots=True)
class Criterion:
    """One way to come to harm. `orders` names the orders of steps it stands for, as `earlier<later` in the
    conditions that show the two steps done (`case.Step.done`); with `by_order` it is looked at only where
    the job holds one of them with kind I or D."""

    name: str
    harm: str
    why: str
    source: str
    standing: str
    orders: tuple[str, ...] = ()
    by_order: bool = False


_TRADE = "order of the steps, common practice"
_CRITERIA = (
    # people
    Criterion(
        "between_running",
        INJURY,
        "somebody stands between the machines while the engine runs",
        "NIOSH FACE 05IA034: crushed between tractor and implement",
        "published",
        (
            "engine_off<latches_seen",
            "engine_off<lines_all_on",
            "engine_off<plugs_all_off",
            "engine_off<lines_all_off",
        ),
    ),
    Criterion(
        "running_alone",
        INJURY,
        "the engine runs with nobody in the seat",
        "safe stop: engine off and key out before leaving the seat",
        "practice",
    ),
    Criterion(
        "unbraked",
        INJURY,
        "nobody in the seat and the brake off: the tractor can roll over who stands beside it",
        "safe stop: brake set before leaving the seat",
        "practice",
    ),
    Criterion(
        "key_left",
        INJURY,
        "hands at the machines while the key is in: another can start the engine",
        "safe stop: key out before anyone comes near",
        "practice",
    ),
    Criterion(
        "fan_turning",
        INJURY,
        "out of the seat while the fan turns",
        "29 CFR 1928.57: wait for all movement to stop",
        "published",
        ("fan_still<engine_off", "fan_still<stands_down"),
    ),
    Criterion(
        "shaft_engaged",
        INJURY,
        "out of the seat with the power take-off engaged",
        "29 CFR 1928.57: power off before anyone comes near the shaft",
        "published",
    ),
    Criterion(
        "under_oil",
        INJURY,
        "hands or feet under a mass that nothing but oil holds up",
        "block a raised implement, never trust oil",
        "practice",
        (
            "raised<lift_locked",
            "lift_locked<stands_up",
            "lift_locked<unchocked",
            "lift_locked<sway_set",
            "parked<chocked",
        ),
    ),
    Criterion(
        "ground_start",
        INJURY,
        "the engine started from beside the tractor: it can run over who starts it",
        "start only from the seat",
        "practice",
        ("running<raised",),
    ),
    Criterion(
        "hitch_from_beside",
        INJURY,
        "the hitch moved from beside the coupler: whoever presses the button is within its reach",
        _TRADE,
        "practice",
        ("seated<hooks_clear",),
    ),
    Criterion(
        "backed_unseen",
        INJURY,
        "backed towards a place nobody had looked at",
        "NIOSH FACE 05IA034: 35 rearward movements, 28 fatal",
        "published",
        ("area_clear<backed_in",),
    ),
    Criterion(
        "moved_unseen",
        INJURY,
        "markers or frame moved by oil and nobody had looked round: they strike a bystander",
        _TRADE,
        "practice",
        ("area_clear<functions_proved", "area_clear<folded"),
    ),
    Criterion(
        "lowered_unseen",
        INJURY,
        "the frame set down and nobody had looked round: feet and legs under the toolbar",
        _TRADE,
        "practice",
        ("area_clear<parked",),
        True,
    ),
    # what holds the machine
    Criterion(
        "fell",
        INJURY,
        "the frame fell",
        "a mass without support",
        "derived",
    ),
    Criterion(
        "pulled_off",
        DAMAGE,
        "the tractor pulled the standing frame off its stands: the hooks were not clear of the pins",
        _TRADE,
        "practice",
        ("hooks_clear<crept",),
    ),
    Criterion(
        "lifted_open",
        INJURY,
        "lifted with a latch open: the pins jump out of the hooks",
        _TRADE,
        "practice",
    ),
    Criterion(
        "latches_unproved",
        INJURY,
        "lifted, or handed over to be lifted, without a look at both closed latches since they were closed",
        "the place of the handle is no proof; " + _TRADE,
        "practice",
        ("latched<latches_seen", "latches_seen<raised"),
        True,
    ),
    Criterion(
        "support_taken",
        INJURY,
        "stands or chocks taken away before both latches were proved: nothing else holds the machine",
        _TRADE,
        "practice",
        ("latches_seen<stands_up", "latches_seen<unchocked"),
        True,
    ),
    Criterion(
        "latched_empty",
        INJURY,
        "a latch closed on no pin: it looks closed and holds nothing",
        _TRADE,
        "practice",
        ("pins_seated<latched",),
        True,
    ),
    Criterion(
        "light_front",
        INJURY,
        "the implement on the hitch with less than the least share on the front axle: no steering, the front "
        "can rise",
        "front axle at least 20 % of the tractor's own mass",
        "published",
        ("balanced<pins_seated",),
    ),
    Criterion(
        "set_on_slope",
        INJURY,
        "set down where the ground slopes: stands sink, the frame rolls",
        "NIOSH FACE 05IA034: it happened on a knoll; limit of the job",
        "practice",
        ("site_level<parked",),
        True,
    ),
    Criterion(
        "parked_unfolded",
        INJURY,
        "set down or let go with the markers out: the centre of mass is not where the stands expect it",
        _TRADE,
        "practice",
        ("folded<parked",),
        True,
    ),
    Criterion(
        "unlatched_hanging",
        INJURY,
        "a latch opened while the frame did not stand on its stands alone",
        _TRADE,
        "practice",
        ("parked<latches_open", "stands_down<parked"),
        True,
    ),
    Criterion(
        "unlatched_unchocked",
        INJURY,
        "let go of a machine on wheels without both chocks",
        "NIOSH FACE 05IA034: one block at one wheel",
        "published",
        ("chocked<latches_open",),
        True,
    ),
    Criterion(
        "support_unproved",
        INJURY,
        "the hooks let go of a frame and nobody had looked that it stands, chocked, by itself",
        _TRADE,
        "practice",
        ("supports_seen<hooks_clear", "parked<supports_seen"),
        True,
    ),
    Criterion(
        "no_lamps",
        INJURY,
        "handed over for the road with lamps not proved or not plugged in",
        _TRADE,
        "practice",
        ("plugs_all_on<lights_proved",),
        True,
    ),
    Criterion(
        "wrong_fit",
        DAMAGE,
        "backed in or lifted without knowing that pins fit hooks: thin pins ride on the hook's edge",
        "smaller pins take bushings up to the hook size",
        "practice",
        ("fit_checked<backed_in",),
    ),
    Criterion(
        "drawbar_struck",
        DAMAGE,
        "backed in or lowered with the drawbar out: it strikes toolbar and coupler frame",
        _TRADE,
        "practice",
        ("drawbar_clear<backed_in",),
    ),
    Criterion(
        "hooks_struck",
        DAMAGE,
        "backed in with the hooks as high as the pins: they push the frame off instead of passing under it",
        _TRADE,
        "practice",
        ("backed_in<pins_seated",),
    ),
    Criterion(
        "mast_loose",
        DAMAGE,
        "lifted or handed over without the top hook the mast needs: the frame tips about its lower pins",
        _TRADE,
        "practice",
        ("top_hook_right<raised",),
    ),
    Criterion(
        "dragged",
        DAMAGE,
        "the hooks lowered with a latch closed and the frame on its stands: it is dragged over",
        _TRADE,
        "practice",
        ("latches_open<hooks_clear",),
    ),
    Criterion(
        "stand_bent",
        DAMAGE,
        "handed over for work with the stands down: they bend in the first row",
        _TRADE,
        "practice",
        ("stands_up<at_work",),
        True,
    ),
    Criterion(
        "chocks_dragged",
        DAMAGE,
        "the pair moved against its chocks",
        "chocks away before the pair moves",
        "practice",
    ),
    # lines
    Criterion(
        "lines_torn",
        DAMAGE,
        "the tractor left with lines on",
        _TRADE,
        "practice",
        ("plugs_all_off<crept", "lines_all_off<crept"),
    ),
    Criterion(
        "left_unseen",
        DAMAGE,
        "drove off without stopping after the first half metre to look what still hangs",
        _TRADE,
        "practice",
        ("crept<lines_seen", "lines_seen<driven_off"),
        True,
    ),
    Criterion(
        "unrouted",
        DAMAGE,
        "lifted, or handed over to be lifted, with a line that is on and not laid in its guides",
        "the first lift cuts or tears it",
        "practice",
        ("lines_all_on<routed", "plugs_all_on<routed", "routed<raised"),
    ),
    Criterion(
        "hose_stretched",
        DAMAGE,
        "a hose shorter than the straight line between its ends at full lift",
        "geometry",
        "derived",
    ),
    Criterion(
        "dirt",
        DAMAGE,
        "coupled with a face that was not wiped",
        "each ISO 4406 code doubles the particles",
        "published",
        ("clean<lines_all_on",),
    ),
    Criterion(
        "left_open",
        DAMAGE,
        "an end left off, open or on the ground: dirt and water get in",
        _TRADE,
        "practice",
        ("plugs_all_off<lines_stored", "lines_all_off<lines_stored"),
    ),
    Criterion(
        "jet",
        INJURY,
        "a coupler opened under pressure",
        "oil at 7 bar can break skin (published); the job's limit lies below that",
        "published",
        ("bled<lines_all_off",),
    ),
    Criterion(
        "pressed_on",
        INJURY,
        "a hose end pushed against a port, or from a line, that holds pressure: it jets or jumps back",
        "oil at 7 bar can break skin (published); the job's limit lies below that",
        "published",
        ("bled<lines_all_on",),
    ),
    Criterion(
        "bled_running",
        INJURY,
        "a port let off while the pump runs and can fill it again",
        _TRADE,
        "practice",
        ("engine_off<bled",),
        True,
    ),
    # oil
    Criterion(
        "dropped",
        INJURY,
        "the frame sank on its own weight: its line was opened to tank with the load on it",
        "a load on the cylinder",
        "derived",
        ("parked<bled",),
    ),
    Criterion(
        "case_burst",
        DAMAGE,
        "case pressure above what the shaft seal stands (machine's file)",
        "above 5 bar the seal is damaged",
        "practice",
    ),
    Criterion(
        "drain_shut",
        DAMAGE,
        "handed over with a motor on pressure whose case drain does not end at the tank",
        "the case climbs to the motor's inlet pressure at once",
        "derived",
    ),
    Criterion(
        "return_high",
        DAMAGE,
        "pressure behind a motor above what its return side stands (machine's file)",
        "a return through a valve adds 5 to 20 bar",
        "practice",
    ),
    Criterion(
        "return_shut",
        DAMAGE,
        "handed over with a motor on pressure whose return ends at no way to the tank",
        "both its ports stand at pump pressure",
        "derived",
    ),
    Criterion(
        "overspeed",
        DAMAGE,
        "a motor faster than it stands (machine's file)",
        "rated speed times 1.25",
        "practice",
    ),
    Criterion(
        "stopped_dead",
        DAMAGE,
        "a motor stopped from speed within a third of a second: its return hose takes the rotor's energy",
        "energy of the rotor in a shut-in hose",
        "derived",
    ),
    Criterion(
        "backwards",
        DAMAGE,
        "a motor driven backwards: pressure on the seal of its low side",
        "pressure and return changed over",
        "practice",
    ),
    Criterion(
        "rod_side",
        DAMAGE,
        "pressure on a cylinder's shut rod side above what its hose stands",
        "pressure times the ratio of the areas",
        "derived",
    ),
    Criterion(
        "two_drives",
        DAMAGE,
        "a motor driven by oil and by shaft at once",
        "machine's file",
        "derived",
    ),
    Criterion("oil_hot", DAMAGE, "oil above 82 degC", "oil takes harm above 82 degC", "published"),
    # current
    Criterion(
        "plugged_live",
        DAMAGE,
        "a plug pushed in with the supply up: pins arc, the control unit starts half",
        _TRADE,
        "practice",
        ("engine_off<plugs_all_on",),
    ),
    Criterion(
        "unplugged_live",
        DAMAGE,
        "a plug pulled with the supply up: totals lost, pins arced",
        "supplies hold on after key off (code citing ISO 11783-9)",
        "published",
    ),
    Criterion(
        "unplugged_early",
        DAMAGE,
        "a plug pulled before the wait after key off was over",
        "at least three minutes after key off",
        "practice",
        ("waited<plugs_all_off", "engine_off<waited"),
        True,
    ),
    Criterion(
        "shut_down_charged",
        DAMAGE,
        "unplugged with pressure left behind the sections' couplers: electric valves need power to float",
        _TRADE,
        "practice",
        ("bled<waited",),
        True,
    ),
    # work
    Criterion("not_handed_in", FUNCTION, "the job was not brought to its end", "the job", "derived"),
    Criterion("not_ready", FUNCTION, "handed over and cannot do its work", "the job", "derived"),
    Criterion("stiff_links", FUNCTION, "backed in with stiff links", _TRADE, "practice"),
)
CRITERIA = {criterion.name: criterion for criterion in _CRITERIA}

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
        if name in self.marks or (criterion.by_order and not self._orders.intersection(criterion.orders)):
            return
        self.marks[name] = Mark(criterion, state.tick, what)

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
            if function.kind == "fan" and work.speed_mrad_s / 1000.0 > still_rad_s * 1.01:
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
            if s.weight != "stands" or self._stroke(s, "lift"):
                self._mark("unlatched_hanging", s, action.thing)
            if not (s.chock_left and s.chock_right):
                self._mark("unlatched_unchocked", s, action.thing)
            self._latches_proved = False
        taken = (word == "stands" and action.thing == "up") or word == "unchock"
        if taken and not self._latches_proved:
            self._mark("support_taken", s, word)
        if word == "unchock":
            self._supports_proved = False
        if word == "lever" and action.place == "float" and s.engine:
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

    def _did_to_lines(self, s: State, action: Action) -> None:
        case, word = self.case, action.word
        if word in ("couple", "uncouple"):
            hose = case.hose(action.thing)
            port = case.port(action.place) if word == "couple" else s.hose_at[hose]
            pressure_pa = max(s.hose_pa[hose], s.port_pa[port])
            if pressure_pa > case.limits.couple_pressure_pa:
                self._mark("pressed_on" if word == "couple" else "jet", s, action.thing)
            if word == "couple" and not (s.hose_clean[hose] and s.port_clean[port]):
                self._mark("dirt", s, action.thing)
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
        return not s.lift_locked and (self._raised(s, s.hitch_um) or self._stroke(s, "lift") > 0)

    def _clear_m(self, s: State) -> float:
        """Height of the pins at which stands, or wheels where the stands are up, leave the ground."""
        implement = self.case.implement
        return implement.lifted_clear_m + (implement.parked_ball_m if s.stands else implement.work_ball_m)

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
        if self._stroke(s, "marker"):
            self._mark("parked_unfolded", s)

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
        if not function.is_motor:
            if now.stroke_um != was.stroke_um and not after.area_looks:
                self._mark("moved_unseen", after, function.name)
            if function.kind == "lift" and now.stroke_um < was.stroke_um and not now.flow_mm3_s:
                self._mark("dropped", after, function.name)
            rod = self.case.hose_of(index, "retract")
            if rod >= 0 and now.rod_side_pa > self.case.implement.hoses[rod].work_pressure_pa:
                self._mark("rod_side", after, function.name)
            return
        if function.case_limit_pa and now.case_pa > function.case_limit_pa:
            self._mark("case_burst", after, function.name)
        if now.course in ("driven", "stalled") and 0 < function.return_limit_pa < now.return_pa:
            self._mark("return_high", after, function.name)
        if function.overspeed_rev_min and now.speed_mrad_s > function.overspeed_rev_min * 104.75:
            self._mark("overspeed", after, function.name)
        rated_mrad_s = function.rated_rev_min * math.pi / 30.0 * 1000.0
        if was.speed_mrad_s - now.speed_mrad_s > rated_mrad_s * 0.05 / _DEAD_STOP_S:
            self._mark("stopped_dead", after, function.name)
        if now.course == "reversed" and now.flow_mm3_s:
            self._mark("backwards", after, function.name)
        shaft = self.case.hose_of(index, "shaft")
        if after.pto and after.engine and shaft >= 0 and after.hose_at[shaft] >= 0 and now.flow_mm3_s > 0:
            self._mark("two_drives", after, function.name)

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
        if self.case.goal == "couple":
            self._handed_over(s)
        else:
            self._put_away(s)

    def _handed_over(self, s: State) -> None:
        """What the next one to drive the pair meets."""
        case = self.case
        if s.engaged:
            if not (s.latch_left and s.latch_right):
                self._mark("lifted_open", s, "handed over")
            self._fit_to_lift(s)
            if not s.drawbar_stowed:
                self._mark("drawbar_struck", s)
            if s.stands:
                self._mark("stand_bent", s)
        lamps = any(
            plug.role == "lighting" and at >= 0
            for plug, at in zip(case.implement.plugs, s.plug_at, strict=True)
        )
        if not lamps or "lights" not in s.proved:
            self._mark("no_lamps", s)
        for index, function in enumerate(case.implement.functions):
            if not function.is_motor or self._kind(s, index, "pressure") in ("", "case_drain", "free_return"):
                continue
            if case.hose_of(index, "drain") >= 0 and self._kind(s, index, "drain") not in _TANK_KINDS:
                self._mark("drain_shut", s, function.name)
            shut = self._kind(s, index, "return") in ("", "pb_pressure", "pb_sense")
            if shut and function.pto_rev_min == 0:
                self._mark("return_shut", s, function.name)
        plumb = s.weight == "ground"
        unproved = [f.name for f in case.implement.functions if f.name not in s.proved]
        if not plumb or unproved or "bus" not in s.proved or s.speed_source != case.speed_source:
            self._mark("not_ready", s)
        if any(at < 0 for at in s.plug_at):
            self._mark("not_ready", s)

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
            self._mark("unlatched_unchocked", s, "left so")
        self._stands(s)
        if not s.driven_off or any(at >= 0 for at in s.hose_at + s.plug_at):
            self._mark("not_ready", s)


def held_orders(case: Case) -> frozenset[str]:
    """The orders of kind I and D a job holds, in the conditions that show their steps done.

    >>> from trainer.authoring.compile import load_job
    >>> "area_clear<backed_in" in held_orders(load_job("first-week/couple").case)
    True
    """
    done = {step.name: step.done for step in case.steps}
    return frozenset(
        f"{earlier}<{later}"
        for step in case.steps
        for edge in step.after
        if edge.kind in ("I", "D")
        for earlier in done[edge.before]
        for later in step.done
    )


def unwatched(case: Case) -> list[str]:
    """Orders of kind I and D, by their steps, that no criterion stands for.

    >>> from trainer.authoring.compile import load_job
    >>> unwatched(load_job("first-week/couple").case)
    []
    """
    watched = {order for criterion in CRITERIA.values() for order in criterion.orders}
    done = {step.name: step.done for step in case.steps}
    return [
        f"{edge.before}<{step.name}"
        for step in case.steps
        for edge in step.after
        if edge.kind in ("I", "D")
        and not any(f"{a}<{b}" in watched for a in done[edge.before] for b in step.done)
    ]
