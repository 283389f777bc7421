"""Every figure that stands in the reference data as a library's is asked of that library again.

The program itself never imports these libraries: the data hold numbers, this file holds where they come from.
"""

import importlib.metadata
import math
from collections.abc import Callable

import fluids
import oracles
import pytest
import scipy.constants
from CoolProp.CoolProp import PropsSI
from oracles import Bars

from trainer.authoring.qualify import Check, read_reference

ROWS = {check.quantity: check for check in read_reference().checks if check.standing == "library"}

GALLON_M3, PSI_PA, L_MIN = 3.785411784e-3, 6894.757293168, 1e-3 / 60
ASKED, LOADS, THERE = (60 * L_MIN, 40 * L_MIN, 50 * L_MIN), (150e5, 60e5, 110e5), 100 * L_MIN
INVENTED = Bars((0.05, 0.55), (0.30, 1.10), 1.05, 0.685, 0.80)
DODECANE = ("T", 293.15, "P", 101_325.0, "n-Dodecane")


def hose_loss_pa(flow: float, viscosity: float, bore: float, length: float, **method: str) -> float:
    return float(
        fluids.one_phase_dP(
            m=flow * 870.0, rho=870.0, mu=viscosity * 870.0, D=bore, roughness=1.5e-6, L=length, **method
        )
    )


def cv_of_a_valve() -> float:
    kv_m3_s = fluids.size_control_valve_l(
        rho=900.0, Psat=1.0, Pc=1e7, mu=1e-6, P1=20e5, P2=20e5 - 100 * PSI_PA, Q=25 * GALLON_M3 / 60
    )
    return float(fluids.Kv_to_Cv(kv_m3_s))


def dodecane_pressure_rise_pa() -> float:
    """Ten kelvin at the volume it had at 20 degC."""
    density = PropsSI("D", *DODECANE)
    return float(PropsSI("P", "T", 303.15, "D", density, "n-Dodecane") - 101_325.0)


def dodecane_volume_change_m3() -> float:
    at_ends = [PropsSI("D", "T", 293.15, "P", pressure, "n-Dodecane") for pressure in (1e5, 101e5)]
    return float(at_ends[0] / at_ends[1] - 1.0) * 1e-3


def nitrogen_let_in_m3(precharge: float, pressure: float) -> float:
    """Oil that takes the room of 0.75 L of nitrogen pressed together at 20 degC, by its real density."""
    at_ends = [
        PropsSI("D", "T", 293.15, "P", gauge + scipy.constants.atm, "Nitrogen")
        for gauge in (precharge, pressure)
    ]
    return float(1.0 - at_ends[0] / at_ends[1]) * 0.75e-3


def mast_top_m() -> tuple[float, float]:
    ball = INVENTED.ball(math.radians(-10.0))
    return oracles.circles_meet((float(ball[0]), float(ball[1])), 0.685, (0.30, 1.10), 0.80)


def virtual_point_m() -> tuple[float, float]:
    ball = INVENTED.ball(math.radians(15.0))
    here = (float(ball[0]), float(ball[1]))
    top = oracles.circles_meet(here, 0.685, (0.30, 1.10), 0.80)
    return oracles.lines_meet(((0.05, 0.55), here), ((0.30, 1.10), top))


def axle_loads_kg() -> tuple[float, float]:
    """Ballast 700 kg 1.1 m ahead of the front axle, the tractor's centre 1.22 m ahead of the rear axle."""
    axles = (1.10, 1.10 + 3.05)
    weights = ((700.0, 0.0), (9800.0, axles[1] - 3.05 * 3920 / 9800), (3200.0, axles[1] + 1.15 + 1.60))
    return oracles.axle_reactions(axles, weights, 8.0)


def plan_line(front: float, rear: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """A lower link in plan: half its pivots' and half its balls' spacing, x rearward from the balls."""
    return (-1.05, front / 2), (0.0, rear / 2)


AGAIN: dict[str, Callable[[], float]] = {
    # lines and couplers, valves
    "friction factor, Churchill 1977": lambda: fluids.Churchill_1977(1e5, 1e-4),
    "friction factor, Churchill 1977, at Reynolds 3000": lambda: fluids.Churchill_1977(3000.0, 1e-3),
    "friction factor, Churchill 1977, rough": lambda: fluids.Churchill_1977(1e6, 1e-2),
    "friction factor, laminar": lambda: fluids.friction_laminar(600.0),
    "friction factor, default of the library": lambda: fluids.friction_factor(Re=1e5, eD=1e-4),
    "friction factor, Haaland": lambda: fluids.Haaland(1e5, 1e-4),
    "metric flow coefficient": lambda: fluids.Cv_to_Kv(1),
    "loss of a fitting": lambda: fluids.dP_from_K(K=10, rho=870, V=5),
    "coupler at twice its rated flow": lambda: (
        1.5e5 * fluids.dP_from_K(K=2, rho=870, V=12) / fluids.dP_from_K(K=2, rho=870, V=6)
    ),
    "turbulent loss of a hose": lambda: hose_loss_pa(75 * L_MIN, 8e-6, 0.0127, 3.0),
    "laminar loss of a drain": lambda: hose_loss_pa(1.575 * L_MIN, 8e-6, 0.0095, 8.0),
    "Reynolds number in a hose": lambda: fluids.Reynolds(V=5.9, D=0.0127, nu=42e-6),
    "speed of a jet": lambda: float(
        oracles.brentq(lambda speed: fluids.dP_from_K(K=1, rho=870, V=speed) - 138e5, 1.0, 1000.0, xtol=1e-12)
    ),
    "absolute pressure of 3 bar": lambda: scipy.constants.atm + 3e5,
    "valve flow coefficient, sized": cv_of_a_valve,
    "highest load of three, compensated before the edge": (
        lambda: oracles.lowest_load_first(ASKED, LOADS, THERE)[0]
    ),
    "lowest load of three, compensated before the edge": (
        lambda: oracles.lowest_load_first(ASKED, LOADS, THERE)[1]
    ),
    "middle load of three, compensated before the edge": (
        lambda: oracles.lowest_load_first(ASKED, LOADS, THERE)[2]
    ),
    "first of three edges under one drop": lambda: (
        ASKED[0] * math.sqrt(oracles.common_drop_pa(ASKED, 20e5, THERE) / 20e5)
    ),
    "last of three edges under one drop": lambda: (
        ASKED[2] * math.sqrt(oracles.common_drop_pa(ASKED, 20e5, THERE) / 20e5)
    ),
    "drop over the edges, short of flow": lambda: oracles.common_drop_pa(ASKED, 20e5, THERE),
    # motors
    "coasting for two seconds": lambda: oracles.coasted_rev_s(0.02, 8000.0, 4000 / 60, 2.0),
    "spike behind a motor stopped in block": lambda: oracles.spike_pa(88e5, 0.02, 4000 / 60, 0.5e9, 1e-3),
    "time in which a motor stops in block": lambda: oracles.stop_s(0.02, 4000 / 60, 0.7e9, 1e-3),
    "pressure in a case, drain laminar": lambda: 0.5e5 + hose_loss_pa(1.575 * L_MIN, 8e-6, 0.0095, 8.0),
    # heat, trapped oil
    "oil in a tank with a cooler": lambda: oracles.warmed_c(
        10.0, 12_000.0, 25.0, 400.0, 870 * 1900 * 0.060, 900.0
    ),
    "trapped n-dodecane, warmed by 10 K": dodecane_pressure_rise_pa,
    "n-dodecane under 100 bar": dodecane_volume_change_m3,
    # accumulators
    "oil in an accumulator, nitrogen from 60 to 150 bar": lambda: nitrogen_let_in_m3(60e5, 150e5),
    "oil in an accumulator, nitrogen from 20 to 30 bar": lambda: nitrogen_let_in_m3(20e5, 30e5),
    "accumulator bled for half a second": lambda: oracles.accumulator_bled_pa(0.5),
    "accumulator bled for two seconds": lambda: oracles.accumulator_bled_pa(2.0),
    "accumulator bled to the end": lambda: oracles.accumulator_bled_pa(60.0),
    # hoses
    "smallest radius of a hose between ports on a level": (
        lambda: oracles.heavy_elastica(1.5, 0.0, 1.8, 0.0, 0.0, 0.6)[0]
    ),
    "sag of a hose between ports on a level": lambda: oracles.heavy_elastica(1.5, 0.0, 1.8, 0.0, 0.0, 0.6)[1],
    "smallest radius of a hose to a lower port": (
        lambda: oracles.heavy_elastica(1.5, -0.3, 1.7, 0.0, 0.0, 0.6)[0]
    ),
    "smallest radius of a limp hose": lambda: oracles.heavy_elastica(1.5, 0.0, 1.8, 0.0, 0.0, 0.3)[0],
    "sag of a limp hose hung from its ends": lambda: oracles.catenary(1.5, 2.2)[1],
    # linkage, sway
    "mast top at 10 deg down, rearward": lambda: mast_top_m()[0],
    "mast top at 10 deg down, height": lambda: mast_top_m()[1],
    "pitch of an invented linkage at 20 deg up": lambda: INVENTED.pitch(math.radians(20.0)),
    "pitch per lift at 15 deg up": lambda: INVENTED.pitch_slope(math.radians(15.0)),
    "virtual hitch point at 15 deg up, rearward": lambda: virtual_point_m()[0],
    "virtual hitch point at 15 deg up, height": lambda: virtual_point_m()[1],
    "lower links meet ahead of the balls": lambda: (
        -oracles.lines_meet(plan_line(0.55, 0.90), plan_line(-0.55, -0.90))[0]
    ),
    "play at the ball, 2 mm at the block": lambda: oracles.lines_meet(
        ((0.0, 0.0), (0.35, 0.002)), ((1.05, 0.0), (1.05, 1.0))
    )[1],
    "shift of a row 1.5 m behind, 6 mm at the ball": lambda: oracles.lines_meet(
        ((-2.7, 0.0), (0.0, 0.006)), ((1.5, 0.0), (1.5, 1.0))
    )[1],
    # balance and lift
    "front reaction of a loaded beam": lambda: axle_loads_kg()[0],
    "rear reaction of a loaded beam": lambda: axle_loads_kg()[1],
    "front reaction under a drawbar load": lambda: oracles.axle_reactions(
        (0.0, 3.05), ((2000.0, 3.05 + 0.85),), 5.0
    )[0],
    "rear reaction under a drawbar load": lambda: oracles.axle_reactions(
        (0.0, 3.05), ((2000.0, 3.05 + 0.85),), 5.0
    )[1],
    "ballast for a fifth in front": lambda: oracles.ballast_for_share(
        (1.10, 4.15), (9800.0, 4.15 - 3.05 * 0.4), (3200.0, 4.15 + 2.75), 0.2
    ),
    "work of lifting, level": lambda: INVENTED.lift_ratio(0.0, 1.6),
    "work of lifting, 15 deg up": lambda: INVENTED.lift_ratio(math.radians(15.0), 1.6),
    "pull of 9.80665 kN, carried over in kg": lambda: 9806.65 * 0.45 / 3.05 / scipy.constants.g,
    # driveline
    "slowest behind a joint at 25 deg": lambda: 9.0 * oracles.joint_speed_ratios(math.radians(25.0))[0],
    "fastest behind a joint at 25 deg": lambda: 9.0 * oracles.joint_speed_ratios(math.radians(25.0))[1],
    "span of a shaft in a turn of 60 deg": (
        lambda: oracles.shaft_in_turn(0.4064, 0.6, math.radians(60.0))[0]
    ),
    "tractor's joint in a turn of 60 deg": (
        lambda: oracles.shaft_in_turn(0.4064, 0.6, math.radians(60.0))[1]
    ),
    "implement's joint in a turn of 60 deg": (
        lambda: oracles.shaft_in_turn(0.4064, 0.6, math.radians(60.0))[2]
    ),
    # wiring, seeding
    "lamps behind a quarter of an ohm": lambda: oracles.behind_resistance_v(13.2, 0.25, 12.0 / 6.0),
    "meter over that ground pin itself": lambda: 12.6 - oracles.behind_resistance_v(12.6, 0.5, 12.0 / 4.2),
    "drive of 24 A on PWR behind 0.1 ohm in each cable": lambda: oracles.behind_resistance_v(
        12.0, 0.2, 12.0 / 24.0
    ),
    "meter on ohms, two ohm between the lines of the bus": lambda: oracles.joined_ohm(120.0, 120.0, 2.0),
    "a bridge of five resistors, end to end": lambda: oracles.bridge_ohm(10, 20, 30, 40, 50),
    "four ends on a bus": lambda: oracles.ends_joined_ohm(4),
    "an acre": lambda: scipy.constants.acre,
}


@pytest.mark.parametrize("quantity", sorted(ROWS))
def test_the_library_still_gives(quantity: str) -> None:
    # Solvers step differently from version to version; closed formulas do not.
    assert AGAIN[quantity]() == pytest.approx(ROWS[quantity].value.value_si, rel=1e-6)


def test_every_librarys_figure_is_asked_again() -> None:
    assert sorted(AGAIN) == sorted(ROWS)


@pytest.mark.parametrize("quantity", sorted(ROWS))
def test_its_version_stands_with_it(quantity: str) -> None:
    check: Check = ROWS[quantity]
    title = read_reference().source(check.source).title
    name, version = title.removesuffix(" (library)").split()
    assert version[0].isdigit()
    # Named as the registry names it, so that a reader can fetch the very one.
    assert importlib.metadata.version(name)
