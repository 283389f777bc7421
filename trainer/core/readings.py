"""What instruments and eyes would tell of the yard at this moment.

`readings` gives numbers (whole quanta, unit in the name), `standing` the conditions of `CONDITIONS` that
hold. Both are derived from the state alone, so the engine puts them on its events, the guide asks them
what is done, and the scene shows them; nobody keeps a second truth.
"""

from __future__ import annotations

import math

from trainer.core import balance, circuits, drawbar, electrics, hoses, seeding, wiring
from trainer.core import linkage as link
from trainer.core.actions import CONDITIONS
from trainer.core.case import STATION_M, Case, Function
from trainer.core.state import State
from trainer.core.units import TICKS_PER_S, micro, milli, mm3, rev_min, ticks, whole

OUT_OF_REACH_URAD = 999_999
"""Pitch reading where the top link cannot reach the mast at all."""
_PORT_FACES_DEG, _ROOT_FACES_DEG = 0.0, 180.0
"""Ports face rearward, the implement's hose guide faces the tractor."""
_AT_WORK_UM = 25_000
_HOOK_CLEARANCE_UM = 30_000
_WORKING_OIL_C = 50.0
"""Oil temperature at which the hand-in judges pressures: the middle of the range called good (published)."""
_SPEED_SHORT_REV_MIN = 50.0
"""As near to working speed as a throttle is set by hand (common practice)."""
_DIAL_UNDER, _DIAL_OVER = 0.05, 0.15
"""How far the flow a dial is set to may lie below and above what a cylinder needs. Below: a tenth of a step
misread (derived from usual flow tables). Above: some in hand for what cuts in, as where 28.3 gal/min are set
for a lift that needs 25 (common practice), and no more: the rest is taken from other functions, and heat."""
_LONG_OFF_MS = 3_600_000
"""Time since key off where the key was off before the yard was found."""
_FITTED_PLAY_M = 0.0005
_MOST_PLAY_M = 0.0015
"""Play of a pin in a hook with the right bushing, and the most that still seats (common practice)."""
_BUSHING_M = 0.0079
"""What a bushing adds to a pin: from 1 1/8 in of category 2 to 1 7/16 in of category 3 (published)."""


def supply_live(state: State) -> bool:
    """Whether the supply lines have power: key on, or held after key off while the implement saves."""
    return state.key == "on" or state.tick < state.supply_until


def supply_hold_ticks(case: Case, state: State) -> int:
    """How long the supply lines stay up when the key goes off now."""
    tractor = case.tractor
    save_s = case.implement.save_time_s if plug_home(case, state, "bus") else 0.0
    return ticks(electrics.supply_hold_s(tractor.supply_hold_s, save_s, tractor.supply_cap_s))


def plug_home(case: Case, state: State, role: str) -> bool:
    """Whether a plug of that role (`bus` or `lighting`) is in a socket and touches its pins."""
    for plug, at in zip(case.implement.plugs, state.plug_at, strict=True):
        if at >= 0 and plug.role == role and plug.contact:
            return True
    return False


def wires(case: Case, state: State) -> wiring.Moment:
    """What is plugged in and switched on between the two machines."""
    return wiring.Moment(
        bus_home=plug_home(case, state, "bus"),
        lamps_home=plug_home(case, state, "lighting"),
        supply_on=supply_live(state),
        key_on=state.key == "on",
        working=any(work.course in ("driven", "reversed") for work in state.works),
    )


def wired(case: Case, state: State) -> wiring.Wiring:
    """The wires between the two machines, with the terminator as it hangs now."""
    return wiring.without_end(case.wiring) if state.terminator_at == "off" else case.wiring


def units_off(case: Case, state: State) -> int:
    """Units of the implement that are on no ended bus: all where the terminator hangs in its holder, else
    those behind it, whose plug found no free outlet."""
    return len(case.implement.units) - 1 - case.unit(state.terminator_at) if case.implement.units else 0


def connectors(case: Case) -> tuple[str, ...]:
    """Sockets and plugs between the two machines on whose pins a meter can be held, as in `wiring.PROBED`."""
    sockets = {"lamps" if "seven" in socket.form else "bus" for socket in case.tractor.sockets}
    plugs = {"lamps_plug" if plug.role == "lighting" else "bus_plug" for plug in case.implement.plugs}
    return tuple(name for name in ("bus", "bus_plug", "lamps", "lamps_plug") if name in sockets | plugs)


def ecu_live(case: Case, state: State) -> bool:
    """Whether the implement's control unit has the voltage it needs, and both lines of the bus reach it."""
    return wiring.fed(wired(case, state), wires(case, state)).unit


def lamps_bright(case: Case, state: State) -> int:
    """How many of the lamps that are fed are seen to be bright."""
    moment = wires(case, state)
    if not moment.lamps_home:
        return 0
    found = [wiring.lamp_v(wired(case, state), moment, pin) for pin in case.wiring.lamps_fed]
    return len([volts for volts in found if volts >= wiring.LAMP_DIM_V])


def bus_mohm(case: Case, state: State) -> int:
    """What a meter reads from one line of the bus to the other at the tractor's socket."""
    return metered_mohm(wiring.ohms(wired(case, state), wires(case, state), "bus_8", "bus_9"))


def bus_ends_mohm(case: Case, state: State) -> int:
    """What ends the bus, seen from the tractor as it would be with all power off."""
    return metered_mohm(wiring.bus_ends_ohm(wired(case, state), plug_home(case, state, "bus")))


def metered_mohm(ohms: float) -> int:
    """A reading of the meter on ohms, to its four figures; its full range where it shows an open wire.

    >>> metered_mohm(59.760599), metered_mohm(math.inf)
    (59760, 20000000000)
    """
    shown = milli(min(ohms, wiring.OVER_RANGE_OHM))
    coarse = 10 ** max(0, len(str(shown)) - 4)
    return int((shown + coarse // 2) // coarse * coarse)


def _supply_mv(case: Case, state: State) -> int:
    """Highest voltage at the socket of the bus: what an arc would draw on."""
    moment, read = wires(case, state), wiring.volts
    pairs = (("bus_3", "bus_1"), ("bus_4", "bus_2"))
    return max(milli(read(wired(case, state), moment, plus, minus)) for plus, minus in pairs)


def lamps_off(case: Case, state: State) -> int:
    """Plugs of the lamps that are in no socket."""
    plugs = zip(case.implement.plugs, state.plug_at, strict=True)
    return len([1 for plug, at in plugs if plug.role == "lighting" and at < 0])


def at_speed(case: Case, state: State) -> bool:
    """Whether the engine runs at working speed, or faster."""
    return state.engine_mrev_min >= milli(case.engine_work_rev_min - _SPEED_SHORT_REV_MIN)


def page_up(case: Case, state: State) -> bool:
    """Whether the implement's page is up on the terminal."""
    return 0 <= state.page_tick <= state.tick and state.key == "on" and ecu_live(case, state)


def plumbing(case: Case, state: State) -> circuits.Plumbing:
    """The part of the state that the oil cares about.

    Of a motor it only matters whether it turns, of a cylinder whether it stands at an end: so told, the same
    plumbing comes back tick after tick, and what was worked out for it serves again.
    """
    fed = wiring.fed(wired(case, state), wires(case, state))
    strokes = []
    for function, work in zip(case.implement.functions, state.works, strict=True):
        at_top = work.stroke_um >= micro(function.stroke_m)
        strokes.append(0.0 if work.stroke_um <= 0 else 1.0 if at_top else 0.5)
    return circuits.Plumbing(
        engine_rev_min=state.engine_mrev_min / 1000.0,
        oil_c=state.oil_mc / 1000.0,
        hose_at=state.hose_at,
        levers=state.levers,
        dials=tuple([dial / 1000.0 for dial in state.dials_milli]),
        valves_live=supply_live(state),
        controls_live=fed.control,
        bus_live=fed.power,
        speeds_rad_s=tuple([1.0 if work.speed_mrad_s else 0.0 for work in state.works]),
        strokes=tuple(strokes),
        locked=state.lift_locked,
        parts_locked=state.locked,
    )


def pin_height_um(case: Case, state: State) -> int:
    """Height of the implement's lower pins; of a drawn one that of its tongue's eye."""
    if case.implement.drawn:
        return drawbar.eye_um(case, state)
    if state.weight in ("hitch", "ground"):
        return state.hitch_um
    return micro(case.implement.parked_ball_m)


def pitch_urad(case: Case, state: State, hitch_um: int | None = None, top_link_um: int | None = None) -> int:
    """Pitch of the toolbar, nose down positive; 0 while it stands on its stands.

    `OUT_OF_REACH_URAD` where the top link cannot reach. A drawn frame pitches about its wheels.
    """
    if case.implement.drawn:
        return drawbar.tongue_pitch_urad(case, state)
    if hitch_um is None and state.weight not in ("hitch", "ground"):
        return 0
    height = (state.hitch_um if hitch_um is None else hitch_um) / 1e6
    top_link = (state.top_link_um if top_link_um is None else top_link_um) / 1e6
    try:
        angle = link.angle_for_ball_height_rad(case.tractor.linkage, height)
        return micro(link.mast_pitch_rad(case.tractor.linkage, angle, top_link))
    except ValueError:
        return OUT_OF_REACH_URAD


def bar_um(case: Case, state: State) -> int:
    """Height of the toolbar's underside above the ground."""
    pitch = pitch_urad(case, state)
    if pitch == OUT_OF_REACH_URAD:
        pitch = 0
    implement = case.implement
    return micro(
        link.point_height_m(
            pin_height_um(case, state) / 1e6,
            pitch / 1e6,
            implement.underside_behind_m,
            implement.underside_above_m,
        )
    )


def bushing_play_um(case: Case, bushings: bool) -> int:
    """How far the implement's pins are from the size of the hooks, either way: their play, or with bushings
    on pins that need none what is too thick. Of a drawn one the play of the drawbar pin in its eye."""
    if bushings:
        bare = bushing_play_um(case, False)
        return micro(_FITTED_PLAY_M) if bare > micro(_MOST_PLAY_M) else micro(_BUSHING_M) - bare
    if case.implement.drawn and case.tractor.drawbar is not None:
        return micro(case.implement.pin_diameter_m - case.tractor.drawbar.pin_diameter_m)
    return micro(abs(case.tractor.hook_diameter_m - case.implement.pin_diameter_m))


def bushings_right(case: Case, bushings: bool) -> bool:
    """Whether bushings are on just where the pins need them."""
    needed = bushing_play_um(case, False) > micro(_MOST_PLAY_M)
    return bushings == needed


def axle_loads_kg(
    case: Case, ballast_kg: float, raised: bool, reach_m: float | None = None
) -> tuple[float, float]:
    """Front and rear axle load with this front ballast, the implement raised (a drawn one: on the drawbar at
    this reach, or at the one it is found with) or not."""
    if case.implement.drawn:
        reach = case.start.drawbar_reach_m if reach_m is None else reach_m
        return drawbar.axle_loads_kg(case, ballast_kg, raised, reach)
    tractor, implement = case.tractor, case.implement
    carried = implement.mass_kg * implement.carried_share if raised else 0.0
    hung = carried + tractor.coupler_mass_kg
    behind = carried * (tractor.coupler_offset_m + implement.behind_balls_m) / hung
    return balance.axle_loads_kg(
        tractor_kg=tractor.mass_kg,
        front_unladen_kg=tractor.front_load_kg,
        wheelbase_m=tractor.wheelbase_m,
        ballast_kg=ballast_kg,
        ballast_ahead_m=tractor.ballast_arm_m,
        implement_kg=hung,
        hitch_behind_m=tractor.linkage.lower_pivot_m[0] + tractor.linkage.lower_link_m,
        implement_behind_m=behind,
    )


def front_permille(case: Case, ballast_kg: float, reach_m: float | None = None) -> int:
    """Front axle load with the implement raised, in thousandths of the tractor's own mass."""
    front, _ = axle_loads_kg(case, ballast_kg, True, reach_m)
    return whole(front / case.tractor.mass_kg * 1000.0)


def connected(case: Case, state: State, function: int) -> bool:
    """Whether everything a function needs is on, by oil or by shaft."""
    by_oil: list[bool] = []
    by_shaft: list[bool] = []
    for hose, at in zip(case.implement.hoses, state.hose_at, strict=True):
        if hose.function == function:
            (by_shaft if hose.role == "shaft" else by_oil).append(at >= 0)
    return (bool(by_oil) and all(by_oil)) or (bool(by_shaft) and all(by_shaft))


def lines_missing(case: Case, state: State) -> int:
    """Hoses still wanted so that every function has what it needs (a shaft may stand in for its hoses)."""
    missing = 0
    for index, function in enumerate(case.implement.functions):
        if function.kind == "driven":
            missing += int(not connected(case, state, index))
        elif not connected(case, state, index):
            missing += len(
                [
                    hose
                    for hose, at in zip(case.implement.hoses, state.hose_at, strict=True)
                    if hose.function == index and hose.role != "shaft" and at < 0
                ]
            )
    return missing


def highest_pa(state: State) -> int:
    """Highest pressure in any hose that is on, and in the sections' ports they hang on."""
    return max((state.port_pa[at] for at in state.hose_at if at >= 0), default=0)


def _section_pa(case: Case, state: State, with_lines: bool) -> int:
    """Highest pressure behind the sections' ports; with lines on, behind those that have one.

    Power beyond stands aside: its pressure comes and goes with the pump.
    """
    return max(
        (
            pressure
            for index, (port, pressure) in enumerate(zip(case.tractor.ports, state.port_pa, strict=True))
            if port.valve >= 0 and (not with_lines or index in state.hose_at)
        ),
        default=0,
    )


def port_pressure_pa(state: State) -> int:
    """Highest pressure behind any port."""
    return max(state.port_pa, default=0)


def _lift_um(case: Case, state: State, kind: str) -> int:
    return max(
        (
            work.stroke_um
            for function, work in zip(case.implement.functions, state.works, strict=True)
            if function.kind == kind
        ),
        default=0,
    )


def fan_rev_min(case: Case, state: State) -> int:
    """Speed of the fastest thing a hand can get into. What turns inside its housing does not count."""
    return max(
        (
            rev_min(work.speed_mrad_s)
            for function, work in zip(case.implement.functions, state.works, strict=True)
            if function.exposed
        ),
        default=0,
    )


def held(state: State) -> bool:
    """Whether both latches, or the pin with its clip, hold the implement."""
    return (state.latch_left and state.latch_right) or (state.pin_in and state.pin_clipped)


def raised(case: Case, state: State, hitch_um: int | None = None) -> bool:
    """Whether the hitch holds the implement clear of stands and working height; never of a drawn one."""
    if not state.engaged or case.implement.drawn:
        return False
    height = state.hitch_um if hitch_um is None else hitch_um
    return height >= clear_um(case, state)


def hangs(case: Case, state: State) -> bool:
    """Whether part of the implement would come down without the hitch or without its own lift."""
    return raised(case, state) or _lift_um(case, state, "lift") > 0


def clear_um(case: Case, state: State) -> int:
    """Hook height above which the implement hangs free."""
    implement = case.implement
    if state.stands:
        return micro(implement.parked_ball_m + implement.lifted_clear_m)
    return micro(implement.ground_ball_m + implement.lifted_clear_m)


def loose_ends(state: State) -> int:
    """Hose ends and plugs that are off and neither capped and hung up nor in their holder."""
    loose = 0
    for index, at in enumerate(state.hose_at):
        if at < 0 and not (state.hose_stored[index] and state.hose_capped[index]):
            loose += 1
    for index, at in enumerate(state.plug_at):
        if at < 0 and not state.plug_stored[index]:
            loose += 1
    return loose


def unrouted(state: State) -> int:
    """Lines that are on but not laid through their guides."""
    ends = state.hose_at + state.plug_at
    return len([1 for at, routed in zip(ends, state.routed, strict=True) if at >= 0 and not routed])


def lines_on(state: State) -> int:
    """Hoses, shaft and plugs that are on."""
    return len([at for at in state.hose_at + state.plug_at if at >= 0])


def site_permille(case: Case, state: State) -> int:
    """Slope of the ground the machines stand on, in thousandths."""
    return whole(case.site(state.site).slope * 1000.0)


def unproved(case: Case, state: State) -> int:
    """Functions of the implement that were not proved."""
    return len([function for function in case.implement.functions if function.name not in state.proved])


def readings(case: Case, state: State) -> dict[str, int]:
    """Every reading at this moment, by name."""
    fit = shaft_fit(case, state)
    off_ms = 0 if state.key == "on" else _LONG_OFF_MS
    if state.key_off_tick >= 0:
        off_ms = whole((state.tick - state.key_off_tick) * 1000 / TICKS_PER_S)
    pitch = pitch_urad(case, state)
    return {
        "engine_rev_min": whole(state.engine_mrev_min / 1000),
        "brake_off_count": int(not state.brake),
        "key_in_count": int(state.key != "out"),
        "key_off_ms": off_ms,
        "supply_mv": _supply_mv(case, state),
        "hitch_um": state.hitch_um,
        "hook_over_um": state.hitch_um - (pin_height_um(case, state) - _HOOK_CLEARANCE_UM),
        "front_permille": front_permille(case, state.ballast_kg, state.drawbar_reach_um / 1e6),
        "slope_permille": site_permille(case, state),
        "bushing_play_um": bushing_play_um(case, state.bushings),
        "sway_um": state.sway_um,
        "pitch_urad": abs(pitch),
        "bar_um": bar_um(case, state),
        "area_looks_count": state.area_looks,
        "chocks_count": state.chock_left + state.chock_right,
        "stands_count": int(state.stands),
        "latches_count": state.latch_left + state.latch_right + state.pin_in + state.pin_clipped,
        "latch_looks_count": state.latch_looks,
        "support_looks_count": int(state.supports_seen),
        "line_looks_count": int(state.lines_seen),
        "unrouted_count": unrouted(state),
        "lines_on_count": lines_on(state),
        "lines_missing_count": lines_missing(case, state),
        "plugs_off_count": len([at for at in state.plug_at if at < 0]),
        "loose_count": loose_ends(state),
        "held_kg": _held_by_oil_kg(case, state),
        "highest_pa": highest_pa(state),
        "drawbar_um": 0 if _drawbar_clear(case, state) else micro(case.tractor.drawbar_clear_m),
        "top_hook_missing_count": int(case.implement.uses_top_hook and not state.top_hook),
        "top_hook_spare_count": int(state.top_hook and not case.implement.uses_top_hook),
        "unseated_um": 0 if state.engaged else max(state.gap_um, pin_height_um(case, state) - state.hitch_um),
        "hitch_load_kg": _hitch_load_kg(case, state),
        "from_seat_um": _from_seat_um(state.station),
        "port_pa": port_pressure_pa(state),
        "fan_rev_min": fan_rev_min(case, state),
        "lift_um": _lift_um(case, state, "lift"),
        "unfolded_um": unfolded_um(case, state),
        "marker_um": unfolded_um(case, state),  # its name in the rules that older records carry
        "fit_papers_count": int(case.fit_paper in state.papers),
        "unproved_count": unproved(case, state),
        "lights_proved_count": int("lights" in state.proved or not _has_plug(case, "lighting")),
        "bus_proved_count": int("bus" in state.proved or not _has_plug(case, "bus")),
        "gap_um": state.gap_um,
        "oil_mc": state.oil_mc,
        "lost_oil_mm3": state.lost_oil_mm3,
        "pto_on_count": int(state.pto),
        "eye_um": drawbar.eye_um(case, state),
        "tongue_off_um": abs(drawbar.tongue_off_um(case, state)),
        "chains_count": int(state.chained),
        "joints_open_count": len([1 for secured in state.joints_secured if not secured]),
        "overload_kg": drawbar.overload_kg(case),
        "chain_short_kg": drawbar.chain_short_kg(case),
        "bottom_um": fit.bottom_um,
        "overlap_um": fit.overlap_um,
        "joint_urad": fit.angle_urad,
        "stub_rev_min": whole(drawbar.stub_rev_min(case, state)),
        "guard_missing_count": int(not state.shaft_guard),
        "play_um": micro(case.tractor.drawbar.play_m) if case.tractor.drawbar is not None else 0,
        "bar_low_um": micro(case.implement.underside_low_m),
        "bar_high_um": micro(case.implement.underside_high_m),
        "sway_low_um": micro(case.implement.sway_target_m - case.implement.sway_limit_m),
        "sway_high_um": micro(case.implement.sway_target_m + case.implement.sway_limit_m),
        "plumb_limit_urad": micro(case.implement.plumb_limit_rad),
        "joint_limit_urad": drawbar.joint_limit_urad(case),
        "stub_set_rev_min": whole(state.pto_mrev_min / 1000.0),
        "shaft_made_rev_min": drawbar.shaft_made_rev_min(case),
        "part_held_kg": parts_held_kg(case, state),
        "unlocked_count": len(parts_up(case, state)),
        "locks_off_count": locks_off(case, state),
        "ecu_mv": milli(wiring.ecu_v(wired(case, state), wires(case, state))),
        "bus_ends_mohm": bus_ends_mohm(case, state),
        "units_off_count": units_off(case, state),
        "dim_lamps_count": len(case.wiring.lamps_fed) - lamps_bright(case, state),
        "lamps_off_count": lamps_off(case, state),
    }


def _at_work(case: Case, state: State) -> bool:
    """Drawn on the drawbar, on the ground, or where the hitch carries it at work: there, within an inch."""
    implement = case.implement
    if implement.works_hanging:
        off = abs(state.hitch_um - micro(implement.work_ball_m))
        return state.weight == "hitch" and off <= _AT_WORK_UM
    return state.weight == ("drawbar" if implement.drawn else "ground")


def _drawbar_clear(case: Case, state: State) -> bool:
    """Nothing of the drawbar reaches under a mounted machine; a drawn one needs it where it is."""
    return state.drawbar_stowed or case.implement.drawn


def shaft_fit(case: Case, state: State) -> drawbar.ShaftFit:
    """How the drive shaft lies at this setting of the drawbar, at its worst over the turns of the pair; of a
    mounted pair over its lift."""
    if case.implement.drawn:
        return drawbar.shaft_fit(case, state.drawbar_reach_um / 1e6)
    spans = []
    stub = next((index for index, port in enumerate(case.tractor.ports) if port.kind == "pto"), -1)
    for hose, data in enumerate(case.implement.hoses):
        if data.role == "shaft" and data.closed_m and stub >= 0:
            spans += [
                math.dist(*hose_ends_m(case, state, hose, stub, micro(height), at_height=True))
                for height in (case.implement.work_ball_m, case.tractor.hitch_high_m)
            ]
    return drawbar.shaft_fit(case, state.drawbar_reach_um / 1e6, tuple(spans))


def falls_to_um(function: Function, stroke_um: int) -> int:
    """Where its own weight takes a part: home; one that folds over the top, so that it has to be pulled back
    against its weight, to the side of the top that it is on."""
    full_um = micro(function.stroke_m)
    over_the_top = function.kind == "fold" and function.back_load_n > 0.0
    return full_um if over_the_top and 2 * stroke_um >= full_um else 0


def parts_up(case: Case, state: State) -> tuple[int, ...]:
    """Functions (other than lifts) that hold a mass up by oil alone."""
    return tuple(
        index
        for index, (function, work) in enumerate(zip(case.implement.functions, state.works, strict=True))
        if function.held_kg
        and work.stroke_um != falls_to_um(function, work.stroke_um)
        and not state.locked[index]
    )


def parts_held_kg(case: Case, state: State) -> int:
    """Mass of such parts together."""
    return whole(math.fsum(case.implement.functions[index].held_kg for index in parts_up(case, state)))


def locks_off(case: Case, state: State) -> int:
    """How many parts that have a lock of their own are without it."""
    parts = zip(case.implement.functions, state.locked, strict=True)
    return len([1 for function, locked in parts if function.lockable and not locked])


def unfolded_um(case: Case, state: State) -> int:
    """How far the markers, or any folding or moving part, are from where they belong on the road."""
    away = [0]
    for function, work in zip(case.implement.functions, state.works, strict=True):
        if function.kind in ("marker", "fold", "cylinder") and function.rest != "any":
            there = micro(function.stroke_m) if function.rest == "out" else 0
            away.append(abs(work.stroke_um - there))
    return max(away)


def meter_mm3_s(case: Case, state: State, hose: int) -> int:
    """What a flow meter in a hose shows: what goes into its function, comes home, or leaks to its drain."""
    data = case.implement.hoses[hose]
    function, work = case.implement.functions[data.function], state.works[data.function]
    if state.hose_at[hose] < 0 or work.course not in ("driven", "reversed"):
        return 0
    into = abs(work.flow_mm3_s)
    if function.is_motor:
        leaked = whole(into * (1.0 - function.volumetric_efficiency) * function.case_share)
        if data.role == "drain":
            return leaked
        return into - leaked if data.role == "return" else into if data.role == "pressure" else 0
    if (data.role == "extend") == (work.flow_mm3_s > 0):
        return into
    drive, other = function.bore_area_m2, function.rod_side_area_m2
    return whole(into * (other / drive if work.flow_mm3_s > 0 else drive / other))


def gauge_pa(case: Case, state: State, name: str) -> int:
    """What a gauge shows that is teed in behind a hose's coupler, or at a port of the tractor."""
    hose, port = case.hose(name), case.port(name)
    if port >= 0:
        on = state.hose_at.index(port) if port in state.hose_at else -1
        flow = meter_mm3_s(case, state, on) / 1e9 if on >= 0 else 0.0
        role = circuits.port_role(case, plumbing(case, state), port)
        if flow > 0.0 and role in (circuits.RETURN, circuits.OPEN, circuits.DRAIN):
            return whole(circuits.back_pressure_pa(case, case.tractor.ports[port], flow))
        return state.port_pa[port]
    at, data = state.hose_at[hose], case.implement.hoses[hose]
    if at < 0:
        return state.hose_pa[hose]
    work = state.works[data.function]
    if data.role == "drain":
        return work.case_pa
    flow = meter_mm3_s(case, state, hose) / 1e9
    here = gauge_pa(case, state, case.tractor.ports[at].name)
    if flow <= 0.0 or data.role not in ("pressure", "return", "extend", "retract"):
        return here
    loss = whole(circuits.coupler_loss_pa(case, hose, case.tractor.ports[at], flow))
    entering = (data.role in ("pressure", "extend")) == (work.flow_mm3_s > 0)
    return max(0, here - loss) if entering else here + loss


def _hitch_load_kg(case: Case, state: State) -> int:
    """Mass of the implement that hangs on the hitch rather than on its stands."""
    hangs = state.engaged and state.weight != "stands"
    return whole(case.implement.mass_kg * case.implement.carried_share) if hangs else 0


def _from_seat_um(station: str) -> int:
    (x0, y0), (x1, y1) = STATION_M["seat"], STATION_M[station]
    return micro(math.hypot(x1 - x0, y1 - y0))


def _held_by_oil_kg(case: Case, state: State) -> int:
    """Mass that nothing but oil holds up."""
    implement = case.implement
    if state.lift_locked:
        return 0
    by_hitch = implement.mass_kg * implement.carried_share if raised(case, state) else 0.0
    by_lift = implement.mass_kg * (1 - implement.carried_share) if _lift_um(case, state, "lift") > 0 else 0.0
    return whole(by_hitch + by_lift)


def handed_in(case: Case, state: State) -> dict[str, int]:
    """Readings a second technician would take at hand-in: the settings at work, by the engine's own sums.

    Case and return pressure are those of the fan at the dial it was left on, engine at working speed;
    `return_over_pa` is how far behind any motor that stands above what its return side is made for,
    `budget_permille` is the flow all functions ask for together at their dials, in thousandths of what the
    pump gives; `population_permille` the seeding error of the chosen speed source at the usual wheel slip
    (none where the job asks for no source).
    """
    live = plumbing(case, state)
    levers = list(state.levers)
    for index, function in enumerate(case.implement.functions):
        hose = case.hose_of(index, "pressure")
        at = state.hose_at[hose] if hose >= 0 else -1
        if function.is_motor and at >= 0 and case.tractor.ports[at].kind in ("extend", "retract"):
            levers[case.tractor.ports[at].valve] = case.tractor.ports[at].kind
    working = circuits.Plumbing(
        engine_rev_min=case.engine_work_rev_min,
        oil_c=_WORKING_OIL_C,
        hose_at=live.hose_at,
        levers=tuple(levers),
        dials=live.dials,
        valves_live=True,
        controls_live=True,
        speeds_rad_s=live.speeds_rad_s,
        strokes=live.strokes,
        locked=False,
    )
    solution = circuits.solve(case, working)
    error = 0.0
    if case.speed_source:  # else nothing is metered by the speed
        error = seeding.population_error(state.speed_source, case.tractor.wheel_slip)
    return {
        "case_pa": max((whole(flow.case_pa) for flow in solution.functions), default=0),
        "return_pa": max((whole(flow.return_pa) for flow in solution.functions), default=0),
        "return_over_pa": max(
            (
                max(0, whole(flow.return_pa - function.return_limit_pa)) if function.return_limit_pa else 0
                for function, flow in zip(case.implement.functions, solution.functions, strict=True)
            ),
            default=0,
        ),
        "budget_permille": whole(1000.0 * asked_together_m3_s(case, state) / solution.available_m3_s),
        "population_permille": whole(1000.0 * error) if math.isfinite(error) else 1000,
    }


def dials_left(case: Case, state: State) -> list[tuple[str, str, dict[str, int]]]:
    """For each function on a section: its name, the section's, and the flow its dial was left at.

    Beside the flow (from the tractor's table, mm3/s) stand the least and the most that is right: for a motor
    what its slowest and fastest good speed take, for a cylinder its need with a margin.
    """
    told = []
    for index, function in enumerate(case.implement.functions):
        hose = case.hose_of(index, "pressure" if function.is_motor else "extend")
        at = state.hose_at[hose] if hose >= 0 else -1
        valve = case.tractor.ports[at].valve if at >= 0 else -1
        if valve < 0:
            continue
        least_m3_s = function.needs_m3_s * (1.0 - _DIAL_UNDER)
        most_m3_s = function.needs_m3_s * (1.0 + _DIAL_OVER)
        if function.is_motor:
            per_rev_m3 = function.displacement_m3 / function.volumetric_efficiency
            least_m3_s = per_rev_m3 * function.low_rev_min / 60.0
            most_m3_s = per_rev_m3 * function.high_rev_min / 60.0
        asked_m3_s = circuits.dial_flow_m3_s(case, valve, state.dials_milli[valve] / 1000.0)
        flows = {"dial_flow_mm3_s": asked_m3_s, "least_mm3_s": least_m3_s, "most_mm3_s": most_m3_s}
        shown = {name: mm3(flow) for name, flow in flows.items()}
        told.append((function.name, case.tractor.valves[valve].name, shown))
    return told


def asked_together_m3_s(case: Case, state: State) -> float:
    """Flow all functions ask for when they run at once at their dials."""
    asked = []
    for index, function in enumerate(case.implement.functions):
        for role in ("pressure", "extend"):
            hose = case.hose_of(index, role)
            at = state.hose_at[hose] if hose >= 0 else -1
            if at < 0:
                continue
            port = case.tractor.ports[at]
            if port.kind == "pb_pressure":
                asked.append(function.needs_m3_s)
            elif port.valve >= 0:
                dial = state.dials_milli[port.valve] / 1000.0
                asked.append(circuits.dial_flow_m3_s(case, port.valve, dial))
    return math.fsum(asked)


def hose_ends_m(
    case: Case,
    state: State,
    hose: int,
    port: int,
    hitch_um: int,
    *,
    at_height: bool = False,
    turn_rad: float = 0.0,
) -> tuple[tuple[float, float, float], ...]:
    """Port end and implement end of a hose, in m: rearward of the rear axle, across, above the ground.

    `at_height` takes the hitch height as that of the pins, wherever they are now; `turn_rad` is how far a
    drawn machine is turned about the pin, to the right positive.
    """
    root = case.implement.hoses[hose].root_m
    arm = case.tractor.linkage
    back = arm.lower_pivot_m[0] + arm.lower_link_m + case.tractor.coupler_offset_m + state.gap_um / 1e6
    if case.implement.drawn:
        back = drawbar.pin_behind_m(case, state.drawbar_reach_um / 1e6) + state.gap_um / 1e6
        across, rearward, up = case.tractor.ports[port].at_m
        eye = drawbar.eye_um(case, state) / 1e6
        behind = root[1] * math.cos(turn_rad) - root[0] * math.sin(turn_rad)
        aside = root[1] * math.sin(turn_rad) + root[0] * math.cos(turn_rad)
        return (rearward, across, up), (back + behind, aside, eye + root[2])
    height = hitch_um if state.engaged and state.weight != "stands" else pin_height_um(case, state)
    if at_height or hitch_um == micro(case.tractor.hitch_high_m):
        height = hitch_um
    across, rearward, up = case.tractor.ports[port].at_m
    return (rearward, across, up), (back + root[1], root[0], height / 1e6 + root[2])


def hose_short_um(
    case: Case, state: State, hose: int, port: int, hitch_um: int, turn_rad: float = 0.0
) -> int:
    """By how much a hose is too short for a port; 0 where it reaches."""
    start_m, end_m = hose_ends_m(case, state, hose, port, hitch_um, turn_rad=turn_rad)
    return max(0, micro(hoses.reach_shortfall_m(start_m, end_m, case.implement.hoses[hose].length_m)))


def hose_bend_um(case: Case, state: State, hose: int, port: int, hitch_um: int) -> int:
    """Smallest bend radius of a hose between port and implement at a hitch height."""
    start_m, end_m = hose_ends_m(case, state, hose, port, hitch_um)
    found = hoses.hose_lie(
        start_m, end_m, _PORT_FACES_DEG, _ROOT_FACES_DEG, case.implement.hoses[hose].length_m
    )
    return micro(found.smallest_bend_radius_m)


def lies(case: Case, state: State) -> list[tuple[str, str, str, dict[str, int]]]:
    """Hoses that would be too short, or bent tighter than they may be, with the hitch at its top; of a drawn
    machine those too short in its sharpest turn, to either side.

    Each as (event kind, hose, port, readings).
    """
    tongue = case.implement.tongue
    turns = (0.0,) if tongue is None else (0.0, tongue.turn_rad, -tongue.turn_rad)
    top_um = micro(case.tractor.hitch_high_m)
    told: list[tuple[str, str, str, dict[str, int]]] = []
    for hose, at in enumerate(state.hose_at):
        data = case.implement.hoses[hose]
        if at < 0 or data.role == "shaft":
            continue
        port = case.tractor.ports[at].name
        short = max(hose_short_um(case, state, hose, at, top_um, turn) for turn in turns)
        if short > 0:
            told.append(("hose_short", data.name, port, {"short_um": short}))
            continue
        radius, least = hose_bend_um(case, state, hose, at, top_um), micro(data.least_bend_m)
        if radius < least:
            told.append(("hose_bent", data.name, port, {"radius_um": radius, "limit_um": least}))
    return told


def standing(case: Case, state: State, *, hose: int = -1, port: int = -1) -> int:
    """Bits of the conditions that hold. With a hose or port, `clean`, `drain_on`, `others_off` and
    `no_pressure_here` are meant for that hose and port; otherwise for all."""
    off_ticks = state.tick - state.key_off_tick if state.key_off_tick >= 0 else 10**9
    latched = held(state)
    drawn = case.implement.drawn
    fit = shaft_fit(case, state)
    implement, tractor, limits = case.implement, case.tractor, case.limits
    fan_still = fan_rev_min(case, state) <= limits.still_rev_min
    pitch, bar = pitch_urad(case, state), bar_um(case, state)
    hooks_low = state.hitch_um <= pin_height_um(case, state) - _HOOK_CLEARANCE_UM
    hang_free = raised(case, state)
    frame_low = _lift_um(case, state, "lift") == 0
    plumb = state.weight in ("hitch", "ground", "drawbar") and abs(pitch) <= micro(implement.plumb_limit_rad)
    on = lines_on(state)
    stands = {
        "engine_off": not state.engine,
        "running": state.engine,
        "brake_set": state.brake,
        "key_out": state.key == "out",
        "key_off": state.key != "on",
        "seated": state.station == "seat",
        "fan_still": fan_still,
        "pto_off": not state.pto,
        "area_clear": state.area_looks > 0,
        "fit_checked": case.fit_paper in state.papers and bushings_right(case, state.bushings),
        "bushings_right": bushings_right(case, state.bushings),
        "drawbar_clear": _drawbar_clear(case, state),
        "sway_free": drawn or state.sway_um >= micro(tractor.sway_free_m * 0.5),
        "sway_set": drawn
        or abs(state.sway_um - micro(implement.sway_target_m)) <= micro(implement.sway_limit_m),
        "hooks_low": drawn or hooks_low,
        "backed_in": state.gap_um == 0,
        "pins_seated": state.engaged,
        "latched": latched,
        "latches_open": not (state.latch_left or state.latch_right or state.pin_in),
        "latches_seen": state.latches_seen and latched,
        "top_hook_right": state.top_hook == implement.uses_top_hook,
        "balanced": front_permille(case, state.ballast_kg, state.drawbar_reach_um / 1e6)
        >= whole(limits.front_share * 1000),
        "raised": hang_free or (drawn and not frame_low),
        "lift_locked": state.lift_locked,
        "lift_unlocked": not state.lift_locked,
        "stands_down": state.stands,
        "stands_up": not state.stands,
        "parked": state.weight == "stands" and frame_low,
        "at_work": _at_work(case, state),
        "chocked": state.chock_left and state.chock_right,
        "unchocked": not (state.chock_left or state.chock_right),
        "supports_seen": state.supports_seen and state.weight == "stands",
        "folded": unfolded_um(case, state) == 0,
        "site_level": case.site(state.site).slope <= limits.slope,
        "frame_down": frame_low and not hang_free,
        "bled": _section_pa(case, state, on > 0) <= whole(limits.couple_pressure_pa),
        "supplies_down": not supply_live(state),
        "waited": state.key != "on" and off_ticks >= limits.unplug_wait_s * TICKS_PER_S,
        "lines_all_on": lines_missing(case, state) == 0,
        "lines_all_off": all(at < 0 for at in state.hose_at),
        "plugs_all_on": all(at >= 0 for at in state.plug_at),
        "plugs_all_off": all(at < 0 for at in state.plug_at),
        "clean": _clean(case, state, hose, port),
        "routed": unrouted(state) == 0 and on > 0,
        "lines_stored": loose_ends(state) == 0 and on == 0,
        "hooks_clear": (drawn or hooks_low) and not state.engaged,
        "crept": state.crept,
        "lines_seen": state.lines_seen,
        "driven_off": state.driven_off,
        "plumb": plumb,
        "height_right": drawn or micro(implement.underside_low_m) <= bar <= micro(implement.underside_high_m),
        "source_right": case.speed_source in ("", state.speed_source),
        "lights_proved": "lights" in state.proved or not _has_plug(case, "lighting"),
        "bus_proved": "bus" in state.proved or not _has_plug(case, "bus"),
        "functions_proved": unproved(case, state) == 0,
        "drain_on": _drain_on(case, state, hose),
        "others_off": _others_off(case, state, hose),
        "no_pressure_here": _pressure_here(state, hose, port) <= whole(limits.couple_pressure_pa),
        "drawn": drawn,
        "tongue_right": drawbar.tongue_fits(case, state) and not (drawn and state.drawbar_stowed),
        "pinned": state.pin_in or not drawn,
        "unpinned": not state.pin_in,
        "clipped": (state.pin_in and state.pin_clipped) or not drawn,
        "chained": state.chained or not drawn,
        "unchained": not state.chained,
        "joints_secured": all(state.joints_secured),
        "drawbar_right": not drawn or (not state.drawbar_stowed and drawbar.reach_fits(case, fit)),
        "drawbar_strong": drawbar.overload_kg(case) == 0 and drawbar.chain_short_kg(case) == 0,
        "jack_carries": state.weight == "stands",
        "jack_stowed": not (drawn and state.stands),
        "level": plumb,
        "shaft_right": drawbar.shaft_right(case, state),
        "shaft_guarded": state.shaft_guard or not drawbar.shafts_on(case, state),
        "shaft_fits": drawbar.reach_fits(case, fit),
        "parts_locked": not parts_up(case, state),
        "site_holds": drawbar.holds(case, state),
        "shaft_on": drawbar.shafts_on(case, state),
        "shaft_off": not drawbar.shafts_on(case, state),
        "locks_in": locks_off(case, state) == 0,
        "bus_ended": units_off(case, state) == 0,
    }
    bits = 0
    for index, name in enumerate(CONDITIONS):
        if stands[name]:
            bits |= 1 << index
    return bits


def _has_plug(case: Case, role: str) -> bool:
    return any(plug.role == role for plug in case.implement.plugs)


def _clean(case: Case, state: State, hose: int, port: int) -> bool:
    if hose >= 0 and port >= 0:
        # Oil does not pass a shaft: a wipe is nothing to it.
        if case.implement.hoses[hose].role == "shaft":
            return True
        return state.hose_clean[hose] and state.port_clean[port]
    lines = list(enumerate(zip(case.implement.hoses, state.hose_at, strict=True)))
    by_shaft = {line.function for _, (line, at) in lines if line.role == "shaft" and at >= 0}
    return all(
        state.hose_clean[index] and (at < 0 or state.port_clean[at])
        for index, (line, at) in lines
        if line.role != "shaft" and (at >= 0 or line.function not in by_shaft)
    )


def _drain_on(case: Case, state: State, hose: int) -> bool:
    """The drain of that hose's motor (of every motor, without a hose) is on a port. A shaft asks for none: it
    turns the machine in the motor's place."""
    if hose >= 0 and case.implement.hoses[hose].role == "shaft":
        return True
    for index in range(len(case.implement.functions)):
        drain = case.hose_of(index, "drain")
        meant = hose < 0 or case.implement.hoses[hose].function == index
        if drain >= 0 and meant and state.hose_at[drain] < 0:
            return False
    return True


def _others_off(case: Case, state: State, hose: int) -> bool:
    """Of a drain: its motor's other hoses are off."""
    if hose < 0 or case.implement.hoses[hose].role != "drain":
        return True
    function = case.implement.hoses[hose].function
    return all(
        at < 0
        for other, at in zip(case.implement.hoses, state.hose_at, strict=True)
        if other.function == function and other.role in ("pressure", "return")
    )


def _pressure_here(state: State, hose: int, port: int) -> int:
    pressures = [0]
    if hose >= 0:
        pressures.append(state.hose_pa[hose])
    if port >= 0:
        pressures.append(state.port_pa[port])
    return max(pressures)
