"""The compiled job: two machines, a yard and the state they are found in. Immutable; indices inside.

Files describe machines by name and with units (`scenarios/`); `trainer.authoring.compile` turns them into
this one value. The engine, the rules and the scene read it and never change it. All quantities are SI
floats (Pa, m, m3/s, kg, s, K as degC where the name says so); they are data, not state, and stay as written.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Protocol

from trainer.core.hydraulics import Line, Oil
from trainer.core.linkage import Linkage
from trainer.core.wiring import Wiring

STATIONS = ("yard", "seat", "panel", "hitch", "implement", "bench")
STATION_M = {
    "yard": (-6.0, 3.0),
    "seat": (-1.5, 0.0),
    "panel": (0.6, 0.5),
    "hitch": (0.9, -0.9),
    "implement": (2.5, 2.0),
    "bench": (-3.0, 8.0),
}
"""Where the stations lie: rearward of the rear axle and across, in m (our own yard)."""
BETWEEN = ("panel", "hitch")
"""Stations between the two machines: whoever stands there is crushed if either moves."""

LEVER_STATES = ("block", "extend", "retract", "float")
SKIES = ("midday", "dawn", "dusk", "rain")
"""Light and weather. They change what is seen, nothing that is worked out."""
SPEED_SOURCES = ("wheel", "ground_radar", "navigation", "blended", "simulated")
COUPLINGS = ("three_point", "drawbar")
"""How an implement hangs on the tractor: carried on the hitch, or drawn by the drawbar pin."""
MOTOR_KINDS = ("fan", "generator", "motor")
CYLINDER_KINDS = ("lift", "marker", "fold", "cylinder")
SHAFT_KINDS = ("driven",)
FUNCTION_KINDS = (*MOTOR_KINDS, *CYLINDER_KINDS, *SHAFT_KINDS)
RESTS = ("in", "out", "any")


@dataclass(frozen=True, slots=True)
class Port:
    """One coupler socket on the tractor's rear panel.

    `kind` says what stands behind it: `extend` and `retract` (of section `valve`), `pb_pressure`,
    `pb_return`, `pb_sense`, `free_return`, `case_drain`, `pto`.
    """

    name: str
    tag: str
    kind: str
    form: str
    valve: int
    seat_diameter_m: float
    rated_flow_m3_s: float
    rated_loss_pa: float
    at_m: tuple[float, float, float]
    """x to the right, y rearward of the rear axle, z up, seen from behind."""


@dataclass(frozen=True, slots=True)
class Valve:
    """One section. `dial_flow_m3_s[i]` is the flow at dial step i; between steps it is straight."""

    name: str
    dial_flow_m3_s: tuple[float, ...]
    return_loss_pa: float
    """Back-pressure of a return through this section at `dial_flow_m3_s[-1]`; grows with flow squared."""

    @property
    def top(self) -> int:
        return len(self.dial_flow_m3_s) - 1


@dataclass(frozen=True, slots=True)
class Socket:
    name: str
    tag: str
    form: str


@dataclass(frozen=True, slots=True)
class Drawbar:
    """The tractor's drawbar. Its pin stands one of `reaches_m` behind the end of the PTO stub."""

    height_m: float
    """Of the middle of the clevis above the ground."""
    play_m: float
    """How far a tongue's eye may be off that height and still slide into the clevis."""
    pin_diameter_m: float
    reaches_m: tuple[float, ...]
    most_load_kg: float
    """Most weight a tongue may lay on it."""
    most_mass_kg: float
    """Most mass the tractor may draw by it."""


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture of the rear panel of somebody's own tractor, and where on it the ports and sockets are.

    Only shown: where hoses reach is worked out from `Port.at_m`, with or without it.
    """

    picture: str
    """Its path, from the folder of the tractor's file."""
    width_px: int
    height_px: int
    places_px: tuple[tuple[str, float, float], ...]
    """Name, right and down from the picture's upper left corner."""


@dataclass(frozen=True, slots=True)
class Tractor:
    name: str
    title: str
    idle_rev_min: float
    rated_rev_min: float
    engine_rise_rev_min_s: float
    pump_displacement_m3: float
    pump_ratio: float
    pump_volumetric_efficiency: float
    pump_cutoff_pa: float
    pump_margin_pa: float
    pump_standby_pa: float
    compensation: str
    steering_flow_m3_s: float
    oil: Oil
    oil_volume_m3: float
    cooler_w_k: float
    tank_pressure_pa: float
    free_return_pa_at_full: float
    power_beyond_return_pa_at_full: float
    full_flow_m3_s: float
    """Flow at which the two return pressures above hold; they grow with flow squared."""
    valves: tuple[Valve, ...]
    ports: tuple[Port, ...]
    sockets: tuple[Socket, ...]
    linkage: Linkage
    hitch_low_m: float
    hitch_high_m: float
    hitch_speed_m_s: float
    top_link_short_m: float
    top_link_long_m: float
    hook_diameter_m: float
    coupler_offset_m: float
    coupler_mass_kg: float
    sway_free_m: float
    drawbar_clear_m: float
    """How far the drawbar reaches behind the balls when it is not stowed."""
    mass_kg: float
    front_load_kg: float
    wheelbase_m: float
    ballast_arm_m: float
    ballast_steps_kg: tuple[int, ...]
    supply_volt: float
    supply_hold_s: float
    supply_cap_s: float
    pto_rev_min: float
    speed_sources: tuple[str, ...]
    wheel_slip: float
    invented: bool = True
    drawbar: Drawbar | None = None
    pto_speeds_rev_min: tuple[float, ...] = ()
    """Speeds the stub can be shifted to, `pto_rev_min` first; empty where it has that one alone."""
    look: str = ""
    """Which of the drawings shows it; says nothing to the engine."""
    photo: Photo | None = None
    """What is shown in place of the drawn rear panel; says nothing to the engine."""

    @property
    def stub_behind_m(self) -> float:
        """How far the end of the PTO stub stands behind the rear axle; 0 without one."""
        return next((port.at_m[1] for port in self.ports if port.kind == "pto"), 0.0)

    @property
    def compensation_kind(self) -> str:
        """How a flow that is short is split: open centres serve the lightest load first, as sections
        compensated before the edge do."""
        return "flow_sharing" if self.compensation == "flow_sharing" else "before_edge"


@dataclass(frozen=True, slots=True)
class Hose:
    """A hose end (or the drive shaft) the implement brings. `role` within its function:
    `pressure`, `return`, `drain`, `sense`, `extend`, `retract`, `shaft`."""

    name: str
    tag: str
    function: int
    role: str
    form: str
    length_m: float
    line: Line
    least_bend_m: float
    work_pressure_pa: float
    root_m: tuple[float, float, float]
    """Where it leaves the implement, from the lower pins (of a drawn machine: from the eye of its tongue):
    x right, y rearward, z up. Of a shaft: the implement's joint."""
    closed_m: float = 0.0
    """Of a shaft: its length between the joints when pushed together, and how far its tubes overlap then.
    0 where it is not known; the shaft is then taken to fit."""
    closed_overlap_m: float = 0.0
    most_angle_rad: float = 0.0
    """Of a shaft: the angle its joints may turn through at most; 0 where it is not known."""
    """Where it leaves the implement, from the lower pins: x right, y rearward, z up."""
    opening_share: float = 1.0
    """How far its coupler stands open once it is on; the loss over it grows as 1/opening²."""


@dataclass(frozen=True, slots=True)
class Plug:
    name: str
    tag: str
    form: str
    role: str
    """`bus` or `lighting`"""
    contact: bool = True
    """False where it sits in its socket without touching the pins: not pushed home."""


@dataclass(frozen=True, slots=True)
class Function:
    """What hoses or the shaft drive. Motors (`MOTOR_KINDS`): `fan`, `generator`, any other `motor`. Cylinders
    (`CYLINDER_KINDS`): `lift` carries the machine itself, `marker` swings out beside it, `fold` folds a part
    of the machine (wings, booms), `cylinder` moves any other part (gate, spout). `driven` is turned by the
    shaft alone.

    Motors use the motor fields, cylinders the cylinder fields; the others stay at zero. A cylinder
    function with `count` > 1 moves that many alike in parallel.
    """

    name: str
    title: str
    kind: str
    needs_m3_s: float
    displacement_m3: float = 0.0
    volumetric_efficiency: float = 1.0
    mechanical_efficiency: float = 1.0
    rated_torque_n_m: float = 0.0
    rated_rev_min: float = 0.0
    low_rev_min: float = 0.0
    high_rev_min: float = 0.0
    overspeed_rev_min: float = 0.0
    inertia_kg_m2: float = 0.0
    case_share: float = 0.0
    case_good_pa: float = 0.0
    case_limit_pa: float = 0.0
    case_burst_pa: float = 0.0
    return_limit_pa: float = 0.0
    one_way_return: bool = False
    hose_volume_m3: float = 0.0
    hose_bulk_modulus_pa: float = 0.0
    bore_area_m2: float = 0.0
    rod_side_area_m2: float = 0.0
    stroke_m: float = 0.0
    count: int = 1
    load_n: float = 0.0
    back_load_n: float = 0.0
    longest_s: float = 0.0
    accumulator_volume_m3: float = 0.0
    """Gas volume of the accumulator on the line that extends it; 0 where it has none."""
    accumulator_precharge_pa: float = 0.0
    accumulator_orifice_m2: float = 0.0
    """What its oil has to go through to leave it."""
    power_from: str = ""
    """Plug role that must be home for this function to move: '' or 'lighting'."""
    pto_rev_min: float = 0.0
    """Speed at which the shaft may drive it; 0 where it cannot."""
    exposed: bool = False
    """Of what turns: a hand or a foot can get into it. What is not turns inside its housing."""
    held_kg: float = 0.0
    """Of a cylinder other than a lift: the mass it holds up whenever it is not all the way in."""
    lockable: bool = False
    """Of a cylinder other than a lift: a mechanical lock can hold it where it stands."""
    rest: str = "in"
    """Of a cylinder: where it belongs on the road and when the machine is parked (one of `RESTS`)."""
    piston_leak_m3_s_pa: float = 0.0
    """Oil that slips past the pistons, for each Pa between the two sides."""

    @property
    def is_motor(self) -> bool:
        """Turned by oil (some of these by the shaft instead)."""
        return self.kind in MOTOR_KINDS

    @property
    def is_cylinder(self) -> bool:
        return self.kind in CYLINDER_KINDS

    @property
    def turns(self) -> bool:
        return not self.is_cylinder


@dataclass(frozen=True, slots=True)
class Tongue:
    """What a drawn implement lays into the tractor's clevis."""

    eye_diameter_m: float
    eye_height_m: float
    """Height of the eye at which the frame is level."""
    length_m: float
    """From the eye to the wheels the frame turns about."""
    load_kg: float
    """Weight it lays on the drawbar."""
    parked_m: float
    """Height of the eye as the machine stands on its jack."""
    jack_low_m: float
    jack_high_m: float
    chain_rating_kg: float
    """Mass the safety chain is made to hold; 0 where there is no chain."""
    level_limit_rad: float
    """How far off level the frame may stand at work."""
    turn_rad: float
    """Sharpest turn the pair makes; the shaft has to bear it."""
    wheel_roll_resistance: float
    """Slope on which the machine rolls off by itself, as a ratio."""


@dataclass(frozen=True, slots=True)
class Joint:
    """A further joint behind (tool to cart): secured when pinned, clipped and chained."""

    name: str
    title: str


@dataclass(frozen=True, slots=True)
class Unit:
    """One of the implement's control units on the bus: its cable ends in an outlet that takes the next unit's
    plug or the terminator."""

    name: str
    title: str


@dataclass(frozen=True, slots=True)
class Implement:
    name: str
    title: str
    pin_diameter_m: float
    mast_height_m: float
    uses_top_hook: bool
    mass_kg: float
    carried_share: float
    """Share of the mass the hitch carries when raised; its own wheels carry the rest."""
    behind_balls_m: float
    underside_behind_m: float
    underside_above_m: float
    parked_ball_m: float
    """Height of its lower pins when it stands on its stands."""
    lifted_clear_m: float
    """How far above that the stands leave the ground."""
    work_ball_m: float
    underside_low_m: float
    underside_high_m: float
    plumb_limit_rad: float
    sway_target_m: float
    sway_limit_m: float
    hoses: tuple[Hose, ...]
    plugs: tuple[Plug, ...]
    functions: tuple[Function, ...]
    save_time_s: float
    boot_s: float
    bus_current_a: float
    lighting_current_a: float
    row_width_m: float
    population_per_m2: float
    """Both 0 for a machine that seeds nothing."""
    invented: bool = True
    coupling: str = "three_point"
    """One of `COUPLINGS`. Fields of the other coupling stay at 0."""
    tongue: Tongue | None = None
    joints: tuple[Joint, ...] = ()
    units: tuple[Unit, ...] = ()
    """Units on its bus in the order of the cable, where the terminator is moved by hand; () where it is built
    into the one unit there is."""
    look: str = ""
    """Which of the drawings shows it; says nothing to the engine."""
    rests_ball_m: float = 0.0
    """Of a mounted machine that works on the hitch, above the ground: height of its lower pins when it is let
    down to the ground with its stands up. 0 where it works on the ground."""

    @property
    def works_hanging(self) -> bool:
        """Whether the hitch carries it at work, as it does a spreader."""
        return self.rests_ball_m > 0.0

    @property
    def ground_ball_m(self) -> float:
        """Height of the lower pins at which the ground carries it."""
        return self.rests_ball_m or self.work_ball_m

    @property
    def drawn(self) -> bool:
        return self.coupling == "drawbar"


@dataclass(frozen=True, slots=True)
class Start:
    """How the yard is found."""

    station: str
    site: str
    distance_m: float
    key: str
    engine: bool
    engine_rev_min: float
    brake: bool
    hitch_m: float
    top_link_m: float
    sway_m: float
    drawbar_stowed: bool
    bushings: bool
    top_hook: bool
    latched: bool
    latches_seen: bool
    lift_locked: bool
    stands: bool
    chocked: bool
    ballast_kg: int
    speed_source: str
    oil_c: float
    air_c: float
    lines_on: tuple[tuple[str, str], ...]
    plugs_on: tuple[tuple[str, str], ...]
    levers: tuple[tuple[str, str, float], ...]
    pressures: tuple[tuple[str, float], ...]
    cylinders: tuple[tuple[str, float], ...]
    fan_rev_min: float
    clean: bool
    """Coupler faces start wiped and capped."""
    drawbar_reach_m: float = 0.0
    """PTO stub to drawbar pin; 0 on a tractor without a drawbar."""
    jack_m: float = 0.0
    """Height of the eye that the jack is set for; 0 for a mounted machine."""
    pinned: bool = False
    clipped: bool = False
    chained: bool = False
    joints_secured: tuple[str, ...] = ()
    terminator: str = ""
    """Unit whose outlet holds the terminator; `off` where it hangs in its holder, '' where there is none to
    move."""
    locked: tuple[str, ...] = ()
    """Functions whose own mechanical lock is in."""
    shaft_guard: bool = True
    pto_rev_min: float = 0.0
    """Speed the stub is shifted to; 0 for the tractor's first."""
    turning: tuple[tuple[str, float], ...] = ()
    """Functions found turning, rev/min; `fan_rev_min` holds for every fan not named here."""
    sky: str = "midday"
    latch_open: str = ""
    """`left` or `right` where just one latch of a coupled implement was left open."""


@dataclass(frozen=True, slots=True)
class Fault:
    """Something wrong with the machines or with how they were left: see `trainer.core.faults`.

    `kind` is one of `faults.KINDS`; `thing` and `place` are what it sits at; `amount` (SI) is how bad it is,
    drawn between `low` and `high`.
    """

    name: str
    kind: str
    thing: str = ""
    place: str = ""
    low: float = 0.0
    high: float = 0.0
    amount: float = 0.0


@dataclass(frozen=True, slots=True)
class Edge:
    """`before` must be done before the step that holds this edge."""

    before: str
    kind: str
    why: str


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the job as the trade counts them: for the guide, the plan and the drawing of safe orders.

    `ready` is the state of the yard it is done from: `ground` (engine off, brake set, key out, fan at rest),
    `key_on` (seated, engine off, key on), `running` (seated, engine running, brake set) or '' (as it is).
    `also` names standing conditions to be made good again if lost in between (`supplies_down`).
    `done` names the standing conditions that show it done.
    """

    name: str
    title: str
    ready: str
    also: tuple[str, ...]
    actions: tuple[str, ...]
    done: tuple[str, ...]
    after: tuple[Edge, ...]


@dataclass(frozen=True, slots=True)
class Site:
    name: str
    title: str
    slope: float


@dataclass(frozen=True, slots=True)
class Paper:
    name: str
    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits that are the job's rather than a machine's, with where they come from kept in the rules."""

    front_share: float = 0.20
    couple_pressure_pa: float = 500_000.0
    couple_force_n: float = 150.0
    slope: float = 0.02
    unplug_wait_s: float = 180.0
    still_rev_min: float = 60.0
    plumb_rad: float = 0.00873


OIL_ROLES = ("pressure", "return", "extend", "retract", "drain", "sense")


@dataclass(frozen=True, slots=True)
class Case:
    job: str
    title: str
    course: str
    goal: str
    """`couple`, `uncouple` or `find`: which outcome the hand-in is inspected for."""
    text: tuple[str, ...]
    tractor: Tractor
    implement: Implement
    start: Start
    sites: tuple[Site, ...]
    papers: tuple[Paper, ...]
    steps: tuple[Step, ...]
    speed_source: str
    par_s: float
    time_limit_s: float
    pass_points: int
    engine_work_rev_min: float
    fit_paper: str = "hitch_card"
    """The paper that must have been read before the fit counts as checked."""
    limits: Limits = field(default_factory=Limits)
    wiring: Wiring = field(default_factory=Wiring)
    """The wires between the two machines as they are found: sound, unless something is wrong with them."""
    symptom: str = ""
    """What the operator told, where the job is to find a fault."""
    faults: tuple[Fault, ...] = ()
    """What it may be: one of these is drawn for each attempt."""
    proof: tuple[str, ...] = ()
    """Tests that have to come out good once the fault is mended."""
    fault: Fault | None = None
    """The one drawn; None as long as none was."""
    sound: Case | None = field(default=None, repr=False, compare=False)
    """The same machines without the drawn fault: what they are once it is mended."""
    hose_by_role: dict[tuple[int, str], int] = field(init=False, repr=False, compare=False)
    """(function, role) -> hose; derived, for the loops that ask every tick."""
    oil_hoses: tuple[tuple[int, ...], ...] = field(init=False, repr=False, compare=False)
    """Per function its hoses in the order of `OIL_ROLES`, -1 for none; derived, as above."""
    names: str = field(init=False, repr=False, compare=False)
    """The job and the fault drawn in it, which tell a case from most others; derived, as above."""

    def valve(self, name: str) -> int:
        return _index(self.tractor.valves, name)

    def port(self, name: str) -> int:
        return _index(self.tractor.ports, name)

    def hose(self, name: str) -> int:
        return _index(self.implement.hoses, name)

    def plug(self, name: str) -> int:
        return _index(self.implement.plugs, name)

    def socket(self, name: str) -> int:
        return _index(self.tractor.sockets, name)

    def function(self, name: str) -> int:
        return _index(self.implement.functions, name)

    def joint(self, name: str) -> int:
        return _index(self.implement.joints, name)

    def unit(self, name: str) -> int:
        return _index(self.implement.units, name)

    def site(self, name: str) -> Site:
        return self.sites[_index(self.sites, name)]

    def hose_of(self, function: int, role: str) -> int:
        """Index of the hose with that role, or -1 where the function has none."""
        return self.hose_by_role.get((function, role), -1)

    def __hash__(self) -> int:
        """By the job and its fault alone: walking both machines for a hash would cost more than it saves."""
        return self.names.__hash__()

    def __post_init__(self) -> None:
        by_role: dict[tuple[int, str], int] = {}
        for index, hose in enumerate(self.implement.hoses):
            by_role.setdefault((hose.function, hose.role), index)
        oil_hoses = tuple(
            tuple(by_role.get((index, role), -1) for role in OIL_ROLES)
            for index in range(len(self.implement.functions))
        )
        # The one way to fill derived fields of a frozen value.
        object.__setattr__(self, "hose_by_role", by_role)
        object.__setattr__(self, "oil_hoses", oil_hoses)
        drawn = f"{self.job} {self.fault.name if self.fault else ''} {self.sound is None}"
        object.__setattr__(self, "names", drawn)


class _Named(Protocol):
    @property
    def name(self) -> str: ...


def _index(things: Sequence[_Named], name: str) -> int:
    """Place of the thing called `name`, or -1.

    >>> _index((Socket("a", "A", "nine_pin"), Socket("b", "B", "seven_pin")), "b")
    1
    """
    for index, thing in enumerate(things):
        if thing.name == name:
            return index
    return -1
