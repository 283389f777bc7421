"""What must hold of the scored core's physics for every input, not only for the published ones.

The invariants of the hydraulics, and where each is held: of single parts in this file, of whole circuits as
the engine solves them in ``test_circuit_properties.py``.

=============================================  ====================================================================
invariant                                      tests
=============================================  ====================================================================
mass balance at every node                     test_no_more_flows_out_than_the_pump_gives_and_none_is_lost
                                               test_oil_and_power_that_enter_a_motor_circuit_leave_it
                                               test_what_leaves_the_pump_arrives_and_nothing_else_does
                                               test_all_that_is_asked_for_flows_or_the_pump_gives_all_it_has
pump power = work + heat, to 1e-6              test_the_pumps_power_is_work_and_heat
                                               test_the_pumps_power_is_useful_work_and_heat
compensations agree when there is enough       test_both_compensations_agree_when_there_is_enough_flow
                                               test_both_compensations_solve_alike_where_there_is_enough
flow sharing keeps ratios                      test_flow_sharing_keeps_the_ratios
                                               test_flow_sharing_keeps_the_ratios_of_the_sections
no lower load is cut before a higher one       test_a_lower_load_is_never_cut_before_a_higher_one
                                               test_no_lower_load_goes_short_while_a_higher_one_is_served
case pressure >= pressure at the drain's end   test_the_case_is_never_below_the_end_of_its_drain
                                               test_a_case_stands_no_lower_than_the_end_of_its_drain
a closed coupler passes exactly nothing        test_a_closed_coupler_passes_exactly_nothing_and_an_open_one_what_it_costs
                                               test_a_line_that_is_off_passes_exactly_nothing
loss continuous and rising, Re 2000 to 4000    test_loss_rises_without_a_jump_from_laminar_to_turbulent
                                               test_the_load_of_a_fan_rises_with_its_flow_without_a_jump
absolute pressure >= 0                         test_absolute_pressure_is_never_below_nought
                                               test_no_pressure_anywhere_is_below_nought_absolute_nor_the_pump_above_its_cut_off
steering never cut by others                   test_steering_and_power_beyond_are_never_cut_by_the_sections
                                               test_no_section_takes_from_what_is_ahead_of_it
case pressure free of viscosity, one warmth    test_case_pressure_does_not_depend_on_viscosity_when_motor_and_drain_are_equally_warm
a bar behind raises the inlet by one bar       test_a_bar_of_back_pressure_raises_the_inlet_by_a_bar
the pump never passes its cut-off              test_the_pump_never_passes_its_cut_off
                                               test_flow_at_cut_off_is_the_most_the_pump_can_push
=============================================  ====================================================================
"""  # noqa: E501 (the names of tests are as long as they are)

import math
import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from trainer.core import balance, driveline, electrics, hydraulics, linkage, seeding
from trainer.core.hoses import STRAIGHT_RADIUS_M, TooShort, hose_lie, reach_shortfall_m
from trainer.core.hydraulics import Line, Oil
from trainer.core.linkage import (
    Linkage,
    OutOfReach,
    angle_for_ball_height_rad,
    ball_height_m,
    ball_m,
    distance_to_virtual_point_m,
    lift_force_factor,
    mast_pitch_rad,
    mast_top_m,
    pitch_change_rad,
    pitch_per_lift,
    plumb_top_link_m,
    top_link_reach_m,
    virtual_hitch_point_m,
)

TRACTOR_OIL = Oil(60e-6, 9.5e-6, 870.0, 1900.0, 1.5e9)
INVENTED = Linkage((0.05, 0.55), (0.30, 1.10), 1.05, 0.685)


def within(least: float, greatest: float) -> st.SearchStrategy[float]:
    return st.floats(least, greatest, allow_nan=False, allow_infinity=False)


flows = within(0.0, 2.5e-3)
loads = within(0.0, 200e5)
shares = within(0.0, 1.0)
temperatures = within(-30.0, 110.0)
sections = st.lists(st.tuples(flows, loads), min_size=1, max_size=6)
compensations = st.sampled_from(["before_edge", "flow_sharing"])
oils = st.builds(
    lambda warm, thinner, density: Oil(warm, 1.5e-6 + thinner * (warm - 1.5e-6), density, 1900.0, 1.5e9),
    within(5e-6, 200e-6), within(0.05, 0.5), within(850.0, 900.0),
)  # fmt: skip
lines = st.builds(Line, within(0.1, 30.0), within(0.004, 0.05))


# -------------------------------------------------------------------------------------------- valve sections


@given(sections, flows, compensations, st.integers(0, 6))
def test_no_more_flows_out_than_the_pump_gives_and_none_is_lost(
    asked_of: list[tuple[float, float]], available: float, compensation: str, first: int
) -> None:
    asked, against = zip(*asked_of, strict=True)
    given_flows = hydraulics.split_flow(asked, against, available, compensation, first)
    assert all(0.0 <= got <= want for got, want in zip(given_flows, asked, strict=True))
    # Either everyone has what he asked for, or all of the pump's flow is out.
    assert math.fsum(given_flows) == pytest.approx(min(math.fsum(asked), available), rel=1e-12, abs=1e-18)


@given(sections, flows, st.integers(0, 6))
def test_both_compensations_agree_when_there_is_enough_flow(
    asked_of: list[tuple[float, float]], more: float, first: int
) -> None:
    asked, against = zip(*asked_of, strict=True)
    enough = math.fsum(asked) * (1.0 + 1e-12) + more
    before = hydraulics.split_flow(asked, against, enough, "before_edge", first)
    sharing = hydraulics.split_flow(asked, against, enough, "flow_sharing", first)
    assert before == sharing == asked


@given(sections, flows)
def test_flow_sharing_keeps_the_ratios(asked_of: list[tuple[float, float]], available: float) -> None:
    asked, against = zip(*asked_of, strict=True)
    assume(max(asked) > 1e-9)
    given_flows = hydraulics.split_flow(asked, against, available, "flow_sharing")
    share = min(1.0, available / math.fsum(asked))
    assert given_flows == pytest.approx([share * want for want in asked], rel=1e-12, abs=1e-18)
    assert hydraulics.flow_margin_pa(20e5, math.fsum(asked), available) == pytest.approx(20e5 * share**2)


@given(sections, flows)
def test_a_lower_load_is_never_cut_before_a_higher_one(
    asked_of: list[tuple[float, float]], available: float
) -> None:
    asked, against = zip(*asked_of, strict=True)
    given_flows = hydraulics.split_flow(asked, against, available, "before_edge")
    for low, low_load in enumerate(against):
        for high, high_load in enumerate(against):
            if low_load < high_load and given_flows[low] < asked[low]:
                assert given_flows[high] == 0.0


@given(flows, flows, sections, flows, compensations)
def test_steering_and_power_beyond_are_never_cut_by_the_sections(
    steering: float,
    beyond: float,
    asked_of: list[tuple[float, float]],
    available: float,
    compensation: str,
) -> None:
    asked, against = zip(*asked_of, strict=True)
    alone = hydraulics.split_flow((steering, beyond), (200e5, 150e5), available, compensation, 2)
    among = hydraulics.split_flow(
        (steering, beyond, *asked), (200e5, 150e5, *against), available, compensation, 2
    )
    assert among[:2] == alone == (min(steering, available), min(beyond, available - alone[0]))


@given(sections, flows, compensations, within(5e5, 30e5))
def test_the_pumps_power_is_work_and_heat(
    asked_of: list[tuple[float, float]], available: float, compensation: str, margin: float
) -> None:
    asked, against = zip(*asked_of, strict=True)
    got = hydraulics.split_flow(asked, against, available, compensation)
    pump_pa = hydraulics.pump_pressure_pa(max(against), margin, 25e5, 240e5)
    power = hydraulics.hydraulic_power_w(pump_pa, math.fsum(got))
    work = [hydraulics.hydraulic_power_w(load, flow) for load, flow in zip(against, got, strict=True)]
    heat = [hydraulics.throttle_heat_w(pump_pa - load, flow) for load, flow in zip(against, got, strict=True)]
    assert min(heat) >= 0.0
    assert math.fsum((*work, *heat)) == pytest.approx(power, rel=1e-6, abs=1e-9)


@given(st.none() | loads, within(0.0, 40e5), within(0.0, 40e5), within(50e5, 250e5))
def test_the_pump_never_passes_its_cut_off(
    load: float | None, margin: float, standby: float, cutoff: float
) -> None:
    pressure = hydraulics.pump_pressure_pa(load, margin, standby, cutoff)
    assert pressure <= cutoff
    if load is not None:
        assert pressure == cutoff or pressure - load == pytest.approx(margin, abs=1e-6)


@given(within(0.0, 250e5), within(1e12, 1e14), flows)
def test_flow_at_cut_off_is_the_most_the_pump_can_push(static: float, slope: float, asked: float) -> None:
    def load_at(flow: float) -> float:
        return static + slope * flow * flow

    flow = hydraulics.flow_at_cutoff_m3_s(load_at, 200e5, asked)
    assert 0.0 <= flow <= asked
    if flow > 0.0:
        assert load_at(flow) <= 200e5
    if flow < asked:
        assert load_at(flow + 2e-12) > 200e5


def test_an_unknown_compensation_or_a_negative_flow_is_refused() -> None:
    with pytest.raises(ValueError, match="before_edge"):
        hydraulics.split_flow((1.0,), (1.0,), 1.0, "after")
    with pytest.raises(ValueError, match="negative"):
        hydraulics.split_flow((-1.0,), (1.0,), 1.0, "flow_sharing")
    with pytest.raises(ValueError, match="one load"):
        hydraulics.split_flow((1.0,), (), 1.0, "flow_sharing")


# ------------------------------------------------------------------------------------ oil, lines and couplers


@given(oils, temperatures, within(0.1, 20.0))
def test_warmer_oil_is_thinner(oil: Oil, temperature: float, warmer: float) -> None:
    cold = hydraulics.kinematic_viscosity_m2_s(oil, temperature)
    assert 0.0 < hydraulics.kinematic_viscosity_m2_s(oil, temperature + warmer) < cold


@given(oils)
def test_viscosity_goes_through_both_of_its_points(oil: Oil) -> None:
    for temperature, viscosity in ((40.0, oil.viscosity_40_m2_s), (100.0, oil.viscosity_100_m2_s)):
        assert hydraulics.kinematic_viscosity_m2_s(oil, temperature) == pytest.approx(viscosity, rel=1e-9)


@given(lines, oils, temperatures)
def test_loss_rises_without_a_jump_from_laminar_to_turbulent(
    line: Line, oil: Oil, temperature: float
) -> None:
    viscosity = hydraulics.kinematic_viscosity_m2_s(oil, temperature)
    flow_at_1 = viscosity / line.bore_m * math.pi / 4.0 * line.bore_m**2
    losses = [
        hydraulics.line_loss_pa(line, flow_at_1 * reynolds, oil, temperature)
        for reynolds in range(2000, 4001, 10)
    ]
    for before, after in pairwise(losses):
        # Half a per cent more flow may cost a few per cent more pressure in the change, never a jump.
        assert before < after < 1.03 * before


@given(lines, oils, temperatures, within(0.0, 1500.0))
def test_churchill_is_laminar_at_low_reynolds_numbers(
    line: Line, oil: Oil, temperature: float, reynolds: float
) -> None:
    viscosity = hydraulics.kinematic_viscosity_m2_s(oil, temperature)
    flow = reynolds * viscosity / line.bore_m * math.pi / 4.0 * line.bore_m**2
    laminar = hydraulics.laminar_line_loss_pa(line, flow, oil, temperature)
    assert hydraulics.line_loss_pa(line, flow, oil, temperature) == pytest.approx(laminar, rel=0.01)


@given(lines, flows)
def test_loss_turns_round_with_the_flow(line: Line, flow: float) -> None:
    there = hydraulics.line_loss_pa(line, flow, TRACTOR_OIL, 50.0)
    assert hydraulics.line_loss_pa(line, -flow, TRACTOR_OIL, 50.0) == -there


@given(loads, within(1e-5, 1e-3), within(1e5, 5e5), shares)
def test_a_closed_coupler_passes_exactly_nothing_and_an_open_one_what_it_costs(
    drop: float, rated_flow: float, rated_loss: float, opening: float
) -> None:
    assert hydraulics.coupler_flow_m3_s(drop, rated_flow, rated_loss, opening=0.0) == 0.0
    assert hydraulics.coupler_loss_pa(rated_flow, rated_flow, rated_loss, opening=0.0) == math.inf
    assert hydraulics.coupler_loss_pa(0.0, rated_flow, rated_loss, opening=0.0) == 0.0
    assume(opening > 1e-6)
    flow = hydraulics.coupler_flow_m3_s(drop, rated_flow, rated_loss, opening)
    assert hydraulics.coupler_loss_pa(flow, rated_flow, rated_loss, opening) == pytest.approx(drop)


@given(loads, st.floats(-400e5, 400e5), within(1e-3, 1e-2), within(0.2, 0.95), within(-3e5, 3e5))
def test_absolute_pressure_is_never_below_nought(
    bore_pa: float, gauge: float, area: float, ratio: float, load_n: float
) -> None:
    assert hydraulics.absolute_pressure_pa(gauge) >= 0.0
    shut = hydraulics.shut_rod_side_pressure_pa(bore_pa, area, ratio * area, load_n)
    carried = hydraulics.cylinder_pressure_pa(load_n, area, bore_pa, ratio * area)
    assert hydraulics.absolute_pressure_pa(shut) >= 0.0
    assert hydraulics.absolute_pressure_pa(carried) >= 0.0
    assert min(shut, carried) >= -hydraulics.STANDARD_ATMOSPHERE_PA


# ---------------------------------------------------------------------------------------------------- motors


@given(within(0.0, 1e6), within(0.0, 1e-4), lines, oils, temperatures)
def test_the_case_is_never_below_the_end_of_its_drain(
    end: float, leakage: float, drain: Line, oil: Oil, temperature: float
) -> None:
    assert hydraulics.case_pressure_pa(end, leakage, drain, oil, temperature) >= end


@given(temperatures, temperatures, within(1e-16, 1e-15))
def test_case_pressure_does_not_depend_on_viscosity_when_motor_and_drain_are_equally_warm(
    one: float, other: float, gap: float
) -> None:
    drain = Line(8.0, 0.0095)

    def case(temperature: float) -> float:
        leakage = gap * 85e5 / hydraulics.kinematic_viscosity_m2_s(TRACTOR_OIL, temperature)
        return hydraulics.case_pressure_pa(0.5e5, leakage, drain, TRACTOR_OIL, temperature)

    assert case(one) == pytest.approx(case(other), rel=1e-9)


@given(within(1e-5, 2e-3), within(5e-6, 2e-5), within(0.7, 1.0), within(0.7, 1.0), within(0.0, 30.0),
       temperatures, shares)  # fmt: skip
def test_oil_and_power_that_enter_a_motor_circuit_leave_it(
    flow: float, displacement: float, volumetric: float, mechanical: float, torque: float,
    temperature: float, case_share: float,
) -> None:  # fmt: skip
    pressure_line, return_line = Line(4.0, 0.0127), Line(4.0, 0.019)
    size_12, size_20 = hydraulics.rated_coupler("12.5"), hydraulics.rated_coupler("20")
    made = hydraulics.motor_circuit(
        flow_m3_s=flow,
        displacement_m3=displacement,
        volumetric_efficiency=volumetric,
        mechanical_efficiency=mechanical,
        torque_n_m=torque,
        pressure_line=pressure_line,
        pressure_coupler=size_12,
        return_line=return_line,
        return_coupler=size_20,
        drain_line=Line(8.0, 0.0095),
        tank_pa=0.5e5,
        oil=TRACTOR_OIL,
        temperature_c=temperature,
        case_leakage_share=case_share,
    )
    assert made.return_flow_m3_s + made.drain_flow_m3_s == pytest.approx(flow, rel=1e-12)
    assert min(made.outlet_pa, made.case_pa) >= 0.5e5
    power_in = hydraulics.hydraulic_power_w(made.supply_pa, flow)
    shaft = math.tau * made.speed_rev_s * torque
    motor_drop = made.inlet_pa - made.outlet_pa
    heat = (
        hydraulics.throttle_heat_w(made.supply_pa - made.inlet_pa, flow),
        # What neither turns the shaft nor leaves at outlet pressure is lost inside the motor.
        hydraulics.throttle_heat_w(motor_drop, flow) * (1.0 - volumetric * mechanical),
        hydraulics.throttle_heat_w(made.outlet_pa - 0.5e5, made.return_flow_m3_s),
        hydraulics.throttle_heat_w(made.outlet_pa - 0.5e5, made.drain_flow_m3_s),
    )
    left = hydraulics.hydraulic_power_w(0.5e5, flow)
    assert math.fsum((shaft, *heat, left)) == pytest.approx(power_in, rel=1e-6)


@given(within(0.0, 30e5), within(0.0, 200e5))
def test_a_bar_of_back_pressure_raises_the_inlet_by_a_bar(back: float, drop: float) -> None:
    torque = hydraulics.motor_torque_n_m(drop, 10e-6, 0.9)
    inlet = back + hydraulics.motor_pressure_drop_pa(torque, 10e-6, 0.9)
    assert inlet - drop == pytest.approx(back, abs=1e-3)


@given(within(0.0, 120.0), within(0.05, 5.0), within(10.0, 120.0), within(0.0, 3.0), shares)
def test_coasting_in_two_steps_is_coasting_in_one(
    speed: float, constant: float, at_constant: float, time: float, share: float
) -> None:
    whole = hydraulics.coast_step_rev_s(speed, constant, at_constant, time)
    half = hydraulics.coast_step_rev_s(speed, constant, at_constant, share * time)
    assert hydraulics.coast_step_rev_s(half, constant, at_constant, (1.0 - share) * time) == pytest.approx(
        whole, rel=1e-9
    )
    assert 0.0 <= whole <= speed


@given(within(-20.0, 100.0), within(0.0, 40e3), within(-20.0, 40.0), within(0.0, 800.0), within(0.0, 600.0),
       shares)  # fmt: skip
def test_a_tank_warms_in_two_steps_as_in_one(
    temperature: float, heat: float, air: float, cooler: float, time: float, share: float
) -> None:
    def step(start: float, seconds: float) -> float:
        return hydraulics.tank_temperature_step_c(start, heat, air, cooler, TRACTOR_OIL, 0.06, seconds)

    assert step(step(temperature, share * time), (1.0 - share) * time) == pytest.approx(
        step(temperature, time), rel=1e-9, abs=1e-7
    )


@given(within(0.0, 100e5), within(0.001, 0.1), within(1.0, 100.0), within(2e8, 1.5e9), within(1e-4, 1e-2))
def test_blocking_a_spinning_motor_never_lowers_the_pressure(
    start: float, inertia: float, speed: float, modulus: float, volume: float
) -> None:
    peak = hydraulics.blocked_motor_peak_pa(start, inertia, speed, modulus, volume)
    assert peak >= start
    stored = (peak**2 - start**2) * volume / (2.0 * modulus)
    # The difference of two squares loses digits when the rotor's energy is small beside the oil's.
    assert stored == pytest.approx(0.5 * inertia * (math.tau * speed) ** 2, rel=1e-6, abs=1e-6)


# --------------------------------------------------------------------------------------------------- linkage

angles = within(math.radians(-25.0), math.radians(25.0))


@given(angles, within(0.6, 1.1))
def test_the_links_close(angle: float, top_link: float) -> None:
    top, ball = mast_top_m(INVENTED, angle, top_link), ball_m(INVENTED, angle)
    assert math.dist(top, INVENTED.top_pivot_m) == pytest.approx(top_link)
    assert math.dist(top, ball) == pytest.approx(INVENTED.mast_height_m)


@given(angles, within(0.6, 1.1), within(0.001, 0.05))
def test_a_longer_top_link_turns_the_nose_up(angle: float, top_link: float, longer: float) -> None:
    assert mast_pitch_rad(INVENTED, angle, top_link + longer) < mast_pitch_rad(INVENTED, angle, top_link)


@given(angles, within(0.0, 0.2))
def test_the_plumb_top_link_stands_the_mast_plumb(angle: float, offset: float) -> None:
    linkage = Linkage((0.05, 0.55), (0.30, 1.10), 1.05, 0.685, offset)
    assert mast_pitch_rad(linkage, angle, plumb_top_link_m(linkage, angle)) == pytest.approx(0.0, abs=1e-7)


@given(angles, within(0.3, 0.9))
def test_equal_parallel_links_keep_the_implement_level(angle: float, apart: float) -> None:
    linkage = Linkage((0.0, 0.5), (0.0, 0.5 + apart), 1.0, apart)
    assert mast_pitch_rad(linkage, angle, 1.0) == pytest.approx(0.0, abs=1e-7)
    assert virtual_hitch_point_m(linkage, angle, 1.0) is None
    assert lift_force_factor(distance_to_virtual_point_m(linkage, angle, 1.0), 1.6) == 1.0


@given(angles, within(0.6, 1.0))
def test_pitch_per_lift_is_the_slope_of_the_pitch(angle: float, top_link: float) -> None:
    step = 1e-5
    slope = (
        mast_pitch_rad(INVENTED, angle + step, top_link) - mast_pitch_rad(INVENTED, angle - step, top_link)
    ) / (2.0 * step)
    assert pitch_per_lift(INVENTED, angle, top_link) == pytest.approx(slope, rel=1e-5, abs=1e-6)


@given(angles)
def test_the_mast_turns_about_the_virtual_hitch_point(angle: float) -> None:
    top_link = plumb_top_link_m(INVENTED, 0.0)
    centre = virtual_hitch_point_m(INVENTED, angle, top_link)
    assert centre is not None
    step = 1e-6
    before, after = (ball_m(INVENTED, angle + way * step) for way in (-1, 1))
    turned = pitch_per_lift(INVENTED, angle, top_link) * 2.0 * step
    ball = ball_m(INVENTED, angle)
    # A turn about the centre moves the ball across its radius.
    assert after[0] - before[0] == pytest.approx(-turned * (ball[1] - centre[1]), rel=1e-4, abs=1e-10)
    assert after[1] - before[1] == pytest.approx(turned * (ball[0] - centre[0]), rel=1e-4, abs=1e-10)


@given(angles, within(0.01, 3.0))
def test_a_top_link_that_cannot_reach_is_told_with_the_lengths_that_can(
    angle: float, top_link: float
) -> None:
    shortest, longest = top_link_reach_m(INVENTED, angle)
    if shortest <= top_link <= longest:
        assert math.isfinite(mast_pitch_rad(INVENTED, angle, top_link))
    else:
        with pytest.raises(OutOfReach) as told:
            mast_pitch_rad(INVENTED, angle, top_link)
        assert (told.value.shortest_m, told.value.longest_m) == (shortest, longest)


@given(within(-0.5, 1.6))
def test_ball_heights_and_angles_go_back_and_forth(height: float) -> None:
    assert ball_height_m(INVENTED, angle_for_ball_height_rad(INVENTED, height)) == pytest.approx(height)
    with pytest.raises(ValueError, match="cannot bring"):
        angle_for_ball_height_rad(INVENTED, height + 2.2)


def test_the_short_rule_for_a_level_top_link_agrees_with_the_linkage() -> None:
    level = Linkage((0.05, 0.55), (0.30, 1.235), 1.05, 0.685)
    for longer in (-0.01, 0.005, 0.01):
        exact = mast_pitch_rad(level, 0.0, 0.80 + longer)
        assert exact == pytest.approx(pitch_change_rad(longer, 0.685), rel=0.02)


def test_lift_gets_harder_as_the_implement_rises() -> None:
    top_link = plumb_top_link_m(INVENTED, 0.0)
    factors = [
        lift_force_factor(distance_to_virtual_point_m(INVENTED, math.radians(angle), top_link), 1.6)
        for angle in range(-15, 26, 5)
    ]
    assert all(lower < higher for lower, higher in pairwise(factors))


# ------------------------------------------------------------------------- balance, driveline, plugs, seeding

masses = within(0.0, 6000.0)


@given(
    within(3000.0, 15000.0), within(0.3, 0.5), masses, within(2.0, 3.5), within(0.5, 2.0), within(0.5, 3.0)
)
def test_axle_loads_carry_all_the_weight_and_least_ballast_is_enough(
    tractor: float, share: float, implement: float, wheelbase: float, ahead: float, behind: float
) -> None:
    where = {
        "tractor_kg": tractor,
        "front_unladen_kg": share * tractor,
        "wheelbase_m": wheelbase,
        "ballast_ahead_m": ahead,
        "implement_kg": implement,
        "hitch_behind_m": 1.1,
        "implement_behind_m": behind,
    }
    ballast = balance.least_front_ballast_kg(**where)
    front, rear = balance.axle_loads_kg(ballast_kg=ballast, **where)
    assert front + rear == pytest.approx(tractor + implement + ballast)
    assert balance.front_share(front, tractor) >= 0.20 - 1e-12
    if ballast > 0.0:
        assert balance.front_share(front, tractor) == pytest.approx(0.20)


@given(masses, within(0.3, 1.5), within(2.0, 3.5))
def test_a_drawbar_load_is_carried_by_both_axles(load: float, behind: float, wheelbase: float) -> None:
    front, rear = balance.drawbar_shift_kg(load, behind, wheelbase)
    assert front + rear == pytest.approx(load, abs=1e-9)
    assert front <= 0.0 <= rear
    assert math.fsum(balance.pull_shift_kg(load, behind, wheelbase)) == 0.0


@given(within(0.2, 1.0), within(0.3, 2.0), within(-1.4, 1.4))
def test_the_joints_share_the_turn_and_the_span_closes(before: float, behind: float, turn: float) -> None:
    tractor, implement = driveline.joint_angles_rad(before, behind, turn)
    span = driveline.turning_span_m(before, behind, turn)
    assert tractor + implement == pytest.approx(turn, abs=1e-12)
    assert span == pytest.approx(
        math.sqrt(before**2 + behind**2 + 2 * before * behind * math.cos(turn)), rel=1e-9
    )
    assert math.sin(tractor) == pytest.approx(behind * math.sin(turn) / span, abs=1e-12)
    assert span <= driveline.turning_span_m(before, behind, 0.0) + 1e-12


@given(within(1.0, 25.0), within(0.0, 1.2))
def test_a_joint_swings_the_speed_about_its_own(speed: float, bend: float) -> None:
    slow, fast = driveline.single_joint_speeds_rev_s(speed, bend)
    assert slow <= speed <= fast
    assert slow * fast == pytest.approx(speed**2)


@given(within(0.0, 400.0), within(0.5, 5.0))
def test_a_supply_holds_while_there_is_saving_to_do_and_no_longer_than_the_cap(
    save: float, minimum: float
) -> None:
    hold = electrics.supply_hold_s(minimum, save, 180.0)
    assert minimum <= hold <= 180.0
    if hold < 180.0:
        assert hold >= save - 1e-6
        assert hold - minimum < max(save, 1e-6)
        assert hold / minimum == pytest.approx(round(hold / minimum))


@given(st.integers(1, 20))
def test_ends_of_a_bus_are_in_parallel(ends: int) -> None:
    assert 1.0 / electrics.termination_ohm(ends) == pytest.approx(ends / 120.0)
    assert (
        electrics.termination_ohm(ends + 1) < electrics.termination_ohm(ends) < electrics.termination_ohm(0)
    )


@given(within(9.0, 15.0), within(0.0, 5.0), within(0.1, 30.0))
def test_a_bad_pin_takes_what_the_load_loses(supply: float, pin_ohm: float, rated: float) -> None:
    left = electrics.load_voltage_v(supply, pin_ohm, rated)
    current = left * rated / 12.0
    assert left + current * pin_ohm == pytest.approx(supply)


def test_the_pins_of_both_plugs_are_numbered_through() -> None:
    assert [pin.number for pin in electrics.NINE_PIN] == list(range(1, 10))
    assert [pin.name for pin in electrics.NINE_PIN][2:4] == ["PWR", "ECU_PWR"]
    assert [pin.name for pin in electrics.NINE_PIN][7:] == ["CAN_H", "CAN_L"]
    assert [pin.number for pin in electrics.SEVEN_PIN] == list(range(1, 8))
    colours = ("white", "black", "yellow", "red", "green", "brown", "blue")
    assert tuple(pin.colour for pin in electrics.SEVEN_PIN) == colours
    assert electrics.SEVEN_PIN[electrics.SEVEN_PIN_GROUND - 1].name == "ground"
    assert electrics.SEVEN_PIN_GROUND != electrics.ISO_1724_GROUND


@given(within(1.0, 60.0), within(0.2, 1.2), within(0.5, 5.0))
def test_spacing_and_rate_are_two_faces_of_one_population(
    population: float, row: float, speed: float
) -> None:
    per_second = seeding.seeds_per_s_per_row(population, row, speed)
    assert speed / per_second == pytest.approx(seeding.seed_spacing_m(population, row))
    thousandth = seeding.seeds_per_m(population, row) * seeding.thousandth_acre_row_m(row)
    assert thousandth == pytest.approx(population * seeding.ACRE_M2 / 1000.0)


@given(within(0.0, 0.9), within(0.5, 5.0))
def test_a_slipping_wheel_over_reads(slip: float, ground: float) -> None:
    wheel_speed = ground / (1.0 - slip)
    assert seeding.population_error("wheel", slip) == pytest.approx(wheel_speed / ground - 1.0, abs=1e-12)
    for source in ("ground_radar", "navigation", "blended"):
        assert seeding.population_error(source, slip) == 0.0
    assert seeding.population_error("simulated", slip) == math.inf
    assert seeding.simulated_population_error(wheel_speed, ground) == pytest.approx(
        seeding.population_error("wheel", slip), abs=1e-12
    )


def test_codes_of_speed_sources_are_known_to_the_population_error() -> None:
    assert [source.code for source in seeding.SPEED_SOURCES] == [0, 1, 2, 3, 4]
    for source in seeding.SPEED_SOURCES:
        assert seeding.population_error(source.name, 0.1) >= 0.0
    with pytest.raises(ValueError, match="no such source"):
        seeding.population_error("guess", 0.1)


# ---------------------------------------------------------------------------------------------------- hoses

spans = st.tuples(within(-1.0, 3.0), within(-1.2, 1.2))
excesses = within(0.0, 1.5)
facings = within(-90.0, 90.0)


@given(spans, excesses, facings, facings)
def test_a_hose_joins_its_ports_has_its_length_and_its_numbers_make_sense(
    span: tuple[float, float], excess: float, leaving: float, facing: float
) -> None:
    chord = math.hypot(*span)
    assume(chord > 0.1)
    start, end = (0.4, 1.0), (0.4 + span[0], 1.0 + span[1])
    length = chord * (1.0 + excess) + 1e-9
    lie = hose_lie(start, end, leaving, 180.0 + facing, length)
    assert lie.points[0] == start
    assert math.dist(lie.points[-1], end) < 1e-6
    assert lie.slack_m == pytest.approx(length - math.dist(start, end), abs=1e-12)
    assert 0.0 <= lie.smallest_bend_radius_m <= STRAIGHT_RADIUS_M
    assert lie.sag_m == pytest.approx(max(0.0, min(start[1], end[1]) - min(z for _, z in lie.points)))
    run = math.fsum(math.dist(a, b) for a, b in pairwise(lie.points))
    # The points are corners on a curve, so their run is a little shorter than the hose; a hose too tight to
    # be resolved is drawn with the least slack that can be.
    assert 0.97 * length <= run <= 1.045 * length


@given(spans, within(0.02, 1.0), facings, facings)
def test_a_hose_hangs_the_same_seen_from_the_other_side(
    span: tuple[float, float], excess: float, leaving: float, facing: float
) -> None:
    chord = math.hypot(*span)
    # Straight above one another a hose may bulge either way, and which of the two is found is chance.
    assume(chord > 0.1 and abs(span[0]) > 0.05)
    length = chord * (1.0 + excess)
    one = hose_lie((0.0, 0.0), span, leaving, 180.0 + facing, length)
    other = hose_lie((0.0, 0.0), (-span[0], span[1]), 180.0 - leaving, -facing, length)
    assert other.smallest_bend_radius_m == pytest.approx(one.smallest_bend_radius_m, rel=1e-5)
    assert other.sag_m == pytest.approx(one.sag_m, abs=1e-6)


@given(spans, within(0.0, 1.0), within(-1.3, 1.3))
def test_turning_the_plane_of_a_hose_changes_no_number(
    span: tuple[float, float], excess: float, turn: float
) -> None:
    chord = math.hypot(*span)
    assume(chord > 0.1 and abs(span[0]) > 0.05)
    length = chord * (1.0 + excess) + 1e-9
    flat = hose_lie((0.0, 1.0), (span[0], 1.0 + span[1]), 0.0, 180.0, length)
    end = (span[0] * math.cos(turn), abs(span[0]) * math.sin(turn), 1.0 + span[1])
    turned = hose_lie((0.0, 0.0, 1.0), end, 0.0, 180.0, length)
    assert turned.smallest_bend_radius_m == pytest.approx(flat.smallest_bend_radius_m, rel=1e-5)
    assert turned.sag_m == pytest.approx(flat.sag_m, abs=1e-7)
    assert math.dist(turned.points[-1], end) < 1e-6


@given(spans, within(0.001, 1.0))
def test_a_hose_that_is_too_short_says_by_how_much(span: tuple[float, float], missing: float) -> None:
    chord = math.hypot(*span)
    assume(chord > missing + 0.01)
    length = chord - missing
    assert reach_shortfall_m((0.0, 0.0), span, length) == pytest.approx(missing)
    with pytest.raises(TooShort) as told:
        hose_lie((0.0, 0.0), span, 0.0, 180.0, length)
    assert told.value.missing_m == pytest.approx(missing)
    assert reach_shortfall_m((0.0, 0.0), span, chord + missing) == 0.0


@given(within(0.3, 3.0))
def test_between_ports_that_face_each_other_more_slack_bends_and_hangs_more(gap: float) -> None:
    lies = [
        hose_lie((0.0, 1.0), (gap, 1.0), 0.0, 180.0, gap * (1.0 + excess))
        for excess in (0.0, 0.005, 0.02, 0.05, 0.1, 0.2, 0.35, 0.5)
    ]
    for tighter, looser in pairwise(lies):
        assert looser.smallest_bend_radius_m < tighter.smallest_bend_radius_m
        assert looser.sag_m > tighter.sag_m
    assert lies[1].smallest_bend_radius_m < STRAIGHT_RADIUS_M


@given(within(0.5, 2.5), within(25.0, 60.0))
def test_a_tight_hose_out_of_line_with_its_ports_eases_with_slack(gap: float, up: float) -> None:
    radii = [
        hose_lie((0.0, 1.0), (gap, 1.0), up, 180.0 - up, gap * (1.0 + excess)).smallest_bend_radius_m
        for excess in (0.0, 0.0005, 0.001, 0.002, 0.005, 0.01)
    ]
    assert radii[0] < 1e-3 * gap
    assert all(tighter < looser for tighter, looser in pairwise(radii))


@given(within(0.05, 0.9), within(0.5, 2.0))
def test_a_stiffer_hose_bends_less_sharply(excess: float, gap: float) -> None:
    limp, stiff = (
        hose_lie((0.0, 1.0), (gap, 1.0), 0.0, 180.0, gap * (1.0 + excess), bending) for bending in (0.3, 0.9)
    )
    assert limp.smallest_bend_radius_m < stiff.smallest_bend_radius_m


def test_a_hose_refuses_what_is_no_hose() -> None:
    with pytest.raises(ValueError, match="stiffness"):
        hose_lie((0.0, 0.0), (1.0, 0.0), 0.0, 180.0, 1.2, 0.0)
    with pytest.raises(ValueError, match="both places"):
        reach_shortfall_m((0.0, 0.0), (1.0, 0.0, 0.0), 1.2)


# --------------------------------------------------------------------------------------------------- refusals


@pytest.mark.parametrize(
    ("refused", "error", "why"),
    [
        (lambda: hydraulics.walther_constants(5e-6, 9e-6), ValueError, "at least as thick"),
        (lambda: hydraulics.kinematic_viscosity_m2_s(TRACTOR_OIL, 400.0), ValueError, "no viscosity"),
        (lambda: hydraulics.viscosity_from_saybolt_m2_s(31.0), ValueError, "start at 32 s"),
        (lambda: hydraulics.viscosity_grade_limits_m2_s(1), ValueError, "VG 2"),
        (lambda: hydraulics.gear_pump_displacement_m3(0.05, 0.07, 0.02), ValueError, "root circle"),
        (lambda: hydraulics.dial_flow_m3_s(1.1, 1e-3), ValueError, "between 0 and 1"),
        (lambda: hydraulics.friction_factor(0.0, 0.0), ValueError, "still oil"),
        (lambda: hydraulics.coupler_loss_pa(1e-3, 1e-3, 1e5, 1.1), ValueError, "between 0 and 1"),
        (lambda: hydraulics.coupler_flow_m3_s(1e5, 1e-3, 1e5, -0.1), ValueError, "between 0 and 1"),
        (lambda: hydraulics.rated_coupler("7"), KeyError, "7"),
        (lambda: hydraulics.annulus_area_m2(0.04, 0.04), ValueError, "thinner than its bore"),
        (lambda: hydraulics.regenerative_cylinder(1e-3, 1e7, 2e-3, 2e-3), ValueError, "smaller than"),
        (lambda: linkage.parallel_arm_pitch_rad(0.5, 0.4), ValueError, "shorter than the bar is out"),
        (lambda: linkage.hitch_category("0N"), KeyError, "0N"),
        (lambda: linkage.hitch_category("5"), KeyError, "5"),
        (lambda: driveline.pto_stub("5"), KeyError, "5"),
        (lambda: driveline.single_joint_speeds_rev_s(9.0, 1.6), ValueError, "right angle"),
        (lambda: electrics.wire(13), KeyError, "13"),
        (lambda: electrics.termination_ohm(-1), ValueError, "no fewer than no ends"),
        (lambda: electrics.supply_hold_s(0.0, 1.0, 180.0), ValueError, "some time"),
        (lambda: seeding.population_error("wheel", 1.0), ValueError, "from 0 to below 1"),
    ],
)
def test_what_has_no_answer_is_refused(
    refused: Callable[[], object], error: type[Exception], why: str
) -> None:
    with pytest.raises(error, match=why):
        refused()


# ------------------------------------------------------------------------------------------ the table above


def test_every_test_in_the_table_of_invariants_is_there() -> None:
    assert __doc__ is not None
    named = re.findall(r"\btest_\w+(?!\.py)\b", re.sub(r"``[^`]*``", "", __doc__))
    here = Path(__file__)
    sources = "".join(
        path.read_text("utf-8") for path in (here, here.with_name("test_circuit_properties.py"))
    )
    assert len(named) >= 20
    assert len(set(named)) == len(named)
    assert [name for name in named if f"\ndef {name}(" not in sources] == []
