"""The scored core against general-purpose libraries: fluids for lines, scipy for whatever is integrated."""

import math

import fluids
import oracles
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from trainer.core import hoses, hydraulics
from trainer.core.hydraulics import Line, Oil

TRACTOR_OIL = Oil(60e-6, 9.5e-6, 870.0, 1900.0, 1.5e9)


@pytest.mark.parametrize("relative_roughness", [0.0, 1e-5, 1.2e-4, 1e-3, 1e-2])
@pytest.mark.parametrize("reynolds", [1.5, 20.0, 600.0, 1999.0, 2041.0, 2800.0, 4000.0, 15_665.0, 1e5, 1e7])
def test_friction_factor_is_churchills(reynolds: float, relative_roughness: float) -> None:
    ours = hydraulics.friction_factor(reynolds, relative_roughness)
    assert ours == pytest.approx(fluids.Churchill_1977(reynolds, relative_roughness), rel=1e-12)


@pytest.mark.parametrize("reynolds", [1e4, 3e4, 1e5, 1e6])
def test_turbulent_friction_is_near_colebrooks(reynolds: float) -> None:
    ours = hydraulics.friction_factor(reynolds, 1.2e-4)
    assert ours == pytest.approx(fluids.Colebrook(reynolds, 1.2e-4), rel=0.02)


@pytest.mark.parametrize("flow_l_min", [2.0, 20.0, 45.0, 90.0, 150.0])
@pytest.mark.parametrize("temperature", [-10.0, 20.0, 50.0, 80.0])
def test_line_loss_is_darcys(flow_l_min: float, temperature: float) -> None:
    line, flow = Line(4.0, 0.0127), flow_l_min / 60_000
    viscosity = hydraulics.kinematic_viscosity_m2_s(TRACTOR_OIL, temperature)
    speed = flow / (math.pi / 4 * 0.0127**2)
    theirs = fluids.one_phase_dP(
        m=flow * 870.0,
        rho=870.0,
        mu=viscosity * 870.0,
        D=0.0127,
        roughness=1.5e-6,
        L=4.0,
        Method="Churchill_1977",
    )
    if fluids.Reynolds(V=speed, D=0.0127, nu=viscosity) < 2000.0:
        # The library takes 64 / Re below its own laminar limit whatever the method.
        assert hydraulics.line_loss_pa(line, flow, TRACTOR_OIL, temperature) == pytest.approx(
            theirs, rel=0.01
        )
        laminar = hydraulics.laminar_line_loss_pa(line, flow, TRACTOR_OIL, temperature)
        assert laminar == pytest.approx(theirs, rel=1e-9)
    else:
        assert hydraulics.line_loss_pa(line, flow, TRACTOR_OIL, temperature) == pytest.approx(
            theirs, rel=1e-9
        )


@pytest.mark.parametrize("cv", [0.1, 1.0, 2.37, 40.0])
def test_flow_coefficients_are_converted_alike(cv: float) -> None:
    assert hydraulics.metric_flow_coefficient_kv(cv) == pytest.approx(fluids.Cv_to_Kv(cv), rel=1e-6)


@pytest.mark.parametrize(("loss_coefficient", "speed"), [(10.0, 5.0), (0.5, 2.0), (1.2, 8.0)])
def test_fitting_loss_is_alike(loss_coefficient: float, speed: float) -> None:
    theirs = fluids.dP_from_K(K=loss_coefficient, rho=870.0, V=speed)
    assert hydraulics.fitting_loss_pa(loss_coefficient, 870.0, speed) == pytest.approx(theirs, rel=1e-12)


@pytest.mark.parametrize("seconds", [0.05, 0.4386, 2.0, 10.0])
def test_coasting_is_the_fan_law_integrated(seconds: float) -> None:
    inertia, power, speed = 0.02, 8000.0, 4000 / 60
    omega = math.tau * speed
    drag = power / omega**3
    integrated = solve_ivp(
        lambda _, y: -drag * y**2 / inertia, (0.0, seconds), [omega], rtol=1e-10, atol=1e-10
    )
    constant = hydraulics.coast_time_constant_s(inertia, power, speed)
    ours = hydraulics.coast_step_rev_s(speed, constant, speed, seconds)
    assert math.tau * ours == pytest.approx(float(integrated.y[0, -1]), rel=1e-7)


@pytest.mark.parametrize("cooler_w_k", [0.0, 50.0, 400.0])
def test_warming_is_the_heat_balance_integrated(cooler_w_k: float) -> None:
    heat, air, volume = 12_000.0, 25.0, 0.060
    capacity = 870.0 * 1900.0 * volume
    integrated = solve_ivp(
        lambda _, y: (heat - cooler_w_k * (y - air)) / capacity, (0.0, 900.0), [10.0], rtol=1e-10, atol=1e-10
    )
    temperature = 10.0
    for _ in range(18_000):  # 900 s in the steps of 50 ms in which the yard runs
        temperature = hydraulics.tank_temperature_step_c(
            temperature, heat, air, cooler_w_k, TRACTOR_OIL, volume, 0.05
        )
    assert temperature == pytest.approx(float(integrated.y[0, -1]), abs=1e-5)


@pytest.mark.parametrize("temperature", [-10.0, 10.0, 50.0])
@pytest.mark.parametrize("cutoff_bar", [40.0, 90.0, 190.0])
def test_flow_at_cut_off_is_where_a_root_finder_finds_it(temperature: float, cutoff_bar: float) -> None:
    line, cutoff, asked = Line(6.0, 0.0127), cutoff_bar * 1e5, 300 / 60_000

    def load_at(flow: float) -> float:
        loss = hydraulics.line_loss_pa(line, flow, TRACTOR_OIL, temperature)
        return 30e5 + loss + hydraulics.coupler_loss_pa(flow, 45 / 60_000, 1.5e5)

    ours = hydraulics.flow_at_cutoff_m3_s(load_at, cutoff, asked)
    theirs = brentq(lambda flow: load_at(flow) - cutoff, 0.0, asked, xtol=1e-15)
    assert ours == pytest.approx(theirs, abs=2e-12)


@pytest.mark.parametrize(
    ("over", "rise", "length", "leaving", "arriving", "bending"),
    [
        (1.5, 0.0, 1.52, 0.0, 0.0, 0.6),
        (1.5, 0.0, 1.8, 0.0, 0.0, 0.6),
        (1.5, 0.0, 1.8, 0.0, 0.0, 0.3),
        (1.5, 0.0, 1.8, 0.0, 0.0, 0.9),
        (1.5, -0.3, 1.7, 0.0, 0.0, 0.6),
        (1.5, -0.3, 1.7, 0.5, -0.4, 0.6),
        (1.2, 0.4, 1.6, 0.0, 0.3, 0.6),
        (2.0, 0.0, 3.0, -0.3, 0.3, 0.6),
    ],
)
def test_a_hose_lies_as_a_clamped_rod_with_weight(
    over: float, rise: float, length: float, leaving: float, arriving: float, bending: float
) -> None:
    lie = hoses.hose_lie(
        (0.0, 0.0), (over, rise), math.degrees(leaving), math.degrees(arriving) + 180.0, length, bending
    )
    radius, sag = oracles.heavy_elastica(over, rise, length, leaving, arriving, bending)
    assert lie.smallest_bend_radius_m == pytest.approx(radius, rel=0.02)
    assert lie.sag_m == pytest.approx(sag, abs=0.008)


@pytest.mark.parametrize(("span", "length"), [(1.5, 1.6), (1.5, 2.2), (2.5, 2.7)])
def test_a_limp_hose_hangs_as_a_catenary(span: float, length: float) -> None:
    tension, sag, slope = oracles.catenary(span, length)
    # The ports face along the hanging hose, so stiffness has next to nothing to do.
    lie = hoses.hose_lie((0.0, 0.0), (span, 0.0), -slope, 180.0 + slope, length, 0.05)
    assert lie.sag_m == pytest.approx(sag, abs=0.01)
    assert lie.smallest_bend_radius_m == pytest.approx(tension, rel=0.03)
