"""Everything that can change in the yard, in whole numbers and names: one immutable value per tick."""

from __future__ import annotations

import hashlib
from typing import Any, NamedTuple, TypeVar


class Working(NamedTuple):
    """What one function of the implement does right now."""

    course: str = "idle"
    speed_mrad_s: int = 0
    stroke_um: int = 0
    flow_mm3_s: int = 0
    asked_mm3_s: int = 0
    pressure_pa: int = 0
    return_pa: int = 0
    case_pa: int = 0
    rod_side_pa: int = 0
    blown: bool = False
    told: int = 0
    """Bits of the events already told in this episode, so that each is told once."""
    short_ticks: int = 0
    stroke_from: int = -1
    """Tick at which a full stroke began, -1 outside one."""
    stroke_ms: int = 0
    """Time of the last full extension."""


class State(NamedTuple):
    """The yard at one tick. Kept in whole quanta (`trainer.core.units`); compared and hashed as it stands."""

    tick: int
    moving: bool
    """False once a tick changed nothing: the engine may then skip the sums until something is done."""
    busy_until: int
    doing: str
    ended: str
    station: str
    key: str
    key_off_tick: int
    supply_until: int
    """Tick up to which the supply lines stay up after key off: settled at key off."""
    engine: bool
    engine_mrev_min: int
    throttle_mrev_min: int
    brake: bool
    site: str
    gap_um: int
    gap_target_um: int
    crept: bool
    driven_off: bool
    hitch_um: int
    hitch_target_um: int
    engaged: bool
    """The hooks hold the pins."""
    weight: str
    """What carries the implement: `stands` (of a drawn machine its jack), `ground` (its wheels at working
    height), `hitch`, `drawbar`, `fallen`."""
    top_link_um: int
    sway_um: int
    drawbar_stowed: bool
    bushings: bool
    top_hook: bool
    latch_left: bool
    latch_right: bool
    latches_seen: bool
    lift_locked: bool
    stands: bool
    """Parking stands, or the foot of the jack, are down."""
    chock_left: bool
    chock_right: bool
    supports_seen: bool
    lines_seen: bool
    area_looks: int
    latch_looks: int
    ballast_kg: int
    papers: tuple[str, ...]
    levers: tuple[str, ...]
    dials_milli: tuple[int, ...]
    port_pa: tuple[int, ...]
    hose_pa: tuple[int, ...]
    hose_at: tuple[int, ...]
    plug_at: tuple[int, ...]
    hose_clean: tuple[bool, ...]
    port_clean: tuple[bool, ...]
    hose_capped: tuple[bool, ...]
    hose_stored: tuple[bool, ...]
    plug_stored: tuple[bool, ...]
    routed: tuple[bool, ...]
    """Per hose, then per plug."""
    works: tuple[Working, ...]
    pump_pa: int
    pump_mm3_s: int
    oil_mc: int
    """Oil temperature in thousandths of a degree Celsius."""
    pto: bool
    speed_source: str
    page_tick: int
    """Tick at which the implement's page is up on the terminal; -1 while it is not coming."""
    proved: tuple[str, ...]
    lost_oil_mm3: int
    told: int
    drawbar_reach_um: int = 0
    jack_um: int = 0
    """Height of the eye that the jack is cranked to; its foot is down while `stands`."""
    pin_in: bool = False
    pin_clipped: bool = False
    chained: bool = False
    joints_secured: tuple[bool, ...] = ()
    locked: tuple[bool, ...] = ()
    """Per function: its own mechanical lock is in."""
    shaft_guard: bool = True
    pto_mrev_min: int = 0
    """Speed the stub is shifted to, at rated engine speed."""
    gauge_at: str = ""
    """Hose end or port that the pressure gauge is teed in at; '' while it lies on the bench."""
    meter_at: str = ""
    """Hose that the flow meter is put in; '' while it lies on the bench."""
    cited: tuple[int, ...] = ()
    """Numbers of the measurements put down as evidence for the next naming."""
    named: tuple[str, ...] = ()
    """What was named as the fault, `part as what`, right or wrong."""
    found: bool = False
    """The fault was named as it is."""
    mended: bool = False
    """The fault of the machine is no more there."""
    terminator_at: str = ""
    """Unit of the implement whose outlet holds the bus terminator; `off` while it hangs in its holder, ''
    where there is none to move."""


_Kept = TypeVar("_Kept", State, Working)


def replace(value: _Kept, **changes: Any) -> _Kept:
    """The same value with some fields changed.

    State and Working are named tuples because a tick copies them several times, and a tuple of sixty fields
    is copied four times as fast as a frozen dataclass.

    >>> replace(Working(), stroke_um=5).stroke_um
    5
    """
    return value._replace(**changes)


def digest(state: State) -> str:
    """Sixteen hex digits that differ when anything in the state differs.

    The text under the hash is the fields in their order, whole numbers, names and truth values only.

    >>> hashlib.sha256(repr(tuple(Working())).encode()).hexdigest()[:4]
    '6fe9'
    """
    return hashlib.sha256(repr(tuple(state)).encode("utf-8")).hexdigest()[:16]
