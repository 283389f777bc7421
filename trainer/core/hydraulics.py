"""Oil, pumps, valve sections, motors, cylinders, lines and tanks as pure functions of SI floats.

Pressures are gauge pressures in Pa unless a name says otherwise, flows m³/s, displacements m³/rev, speeds
rev/s, temperatures °C, areas m². Nothing here rounds: the engine rounds what it keeps. The check values
for these formulas, each with its source and standing, are in scenarios/reference/check_values.yaml.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from trainer.core.rising import Rising

STANDARD_ATMOSPHERE_PA: Final = 101_325.0
STANDARD_GRAVITY_M_S2: Final = 9.80665
_KELVIN_AT_ZERO_C: Final = 273.15
_WALTHER_SHIFT: Final = 0.7
_CREEPING_REYNOLDS: Final = 1.0
_CUTOFF_FLOW_M3_S: Final = 1e-13
_COMMON_PRESSURE_PA: Final = 1e-6
_CV_GALLON_M3_S: Final = 3.785411784e-3 / 60.0
_PSI_PA: Final = 6894.757293168
_WATER_DENSITY_KG_M3: Final = 1000.0


# ---------------------------------------------------------------------------------------------- oil


@dataclass(frozen=True, slots=True)
class Oil:
    """A hydraulic oil.

    `viscosity_40_m2_s` and `viscosity_100_m2_s` are the kinematic viscosities at 40 and 100 °C (a generic
    tractor oil 60e-6 and 9.5e-6, from memory), `density_kg_m3` 850 to 900, `heat_capacity_j_kg_k` about
    1900, `bulk_modulus_pa` of the oil itself, about 1.5e9.
    """

    viscosity_40_m2_s: float
    viscosity_100_m2_s: float
    density_kg_m3: float
    heat_capacity_j_kg_k: float
    bulk_modulus_pa: float


@lru_cache(maxsize=256)
def walther_constants(viscosity_40_m2_s: float, viscosity_100_m2_s: float) -> tuple[float, float]:
    """Return A and B of log10 log10(ν + 0.7) = A - B log10 T, ν in mm²/s and T in K (Walther, ASTM D341).

    Raises ValueError unless the oil is thicker at 40 °C than at 100 °C and above 0.4 mm²/s at both.

    >>> a, b = walther_constants(32e-6, 5.4e-6)
    >>> round(a, 3), round(b, 3)
    (9.531, 3.747)
    """
    if not viscosity_40_m2_s >= viscosity_100_m2_s > 0.4e-6:
        raise ValueError("an oil is at least as thick at 40 °C as at 100 °C, and above 0.4 mm²/s at both")
    warm, hot = (
        math.log10(math.log10(viscosity * 1e6 + _WALTHER_SHIFT))
        for viscosity in (viscosity_40_m2_s, viscosity_100_m2_s)
    )
    log_warm, log_hot = math.log10(40.0 + _KELVIN_AT_ZERO_C), math.log10(100.0 + _KELVIN_AT_ZERO_C)
    slope = (warm - hot) / (log_hot - log_warm)
    return warm + slope * log_warm, slope


def kinematic_viscosity_m2_s(oil: Oil, temperature_c: float) -> float:
    """Return the oil's kinematic viscosity in m²/s at -100 to 300 °C (Walther, ASTM D341).

    Raises ValueError outside that range, where the formula says nothing about a tractor's oil.

    >>> tractor_oil = Oil(60e-6, 9.5e-6, 870.0, 1900.0, 1.5e9)
    >>> round(kinematic_viscosity_m2_s(tractor_oil, -10.0) * 1e6)
    1376
    """
    if not -100.0 <= temperature_c <= 300.0:
        raise ValueError(f"no viscosity for oil at {temperature_c} °C")
    a, b = walther_constants(oil.viscosity_40_m2_s, oil.viscosity_100_m2_s)
    double_log = a - b * math.log10(temperature_c + _KELVIN_AT_ZERO_C)
    return float((10.0 ** (10.0**double_log) - _WALTHER_SHIFT) * 1e-6)


def viscosity_from_saybolt_m2_s(saybolt_s: float) -> float:
    """Return the kinematic viscosity in m²/s for a Saybolt universal time in s (two-branch textbook fit).

    Valid from 32 s up. Raises ValueError below. Source: A. Esposito, Fluid Power with Applications, ch. 2.

    >>> round(viscosity_from_saybolt_m2_s(230.0) * 1e6, 1)
    50.0
    """
    if saybolt_s < 32.0:
        raise ValueError("Saybolt times start at 32 s")
    if saybolt_s <= 100.0:
        return (0.226 * saybolt_s - 195.0 / saybolt_s) * 1e-6
    return (0.220 * saybolt_s - 135.0 / saybolt_s) * 1e-6


def viscosity_grade_limits_m2_s(grade: int) -> tuple[float, float]:
    """Return the least and greatest kinematic viscosity in m²/s at 40 °C of ISO 3448 grade VG `grade`.

    A grade is its number in mm²/s, give or take a tenth. Raises ValueError for a grade below 2.

    >>> tuple(round(limit * 1e6, 1) for limit in viscosity_grade_limits_m2_s(46))
    (41.4, 50.6)
    """
    if grade < 2:
        raise ValueError("ISO 3448 grades start at VG 2")
    return grade * 0.9e-6, grade * 1.1e-6


def compression_volume_change_m3(volume_m3: float, pressure_rise_pa: float, bulk_modulus_pa: float) -> float:
    """Return the change of volume in m³, negative for a rise of pressure: dV = -V dp / K, with K > 0.

    >>> round(compression_volume_change_m3(10.0, 1900.0, 250_000.0), 3)
    -0.076
    """
    return -volume_m3 * pressure_rise_pa / bulk_modulus_pa


def trapped_pressure_rise_pa(
    expansion_per_k: float, bulk_modulus_pa: float, temperature_rise_k: float
) -> float:
    """Return the pressure rise in Pa of oil shut in and warmed by `temperature_rise_k`: β K ΔT.

    Between rigid walls the oil's own bulk modulus gives about 11 bar per kelvin (published rule). In a
    hose take the effective modulus of oil and hose together, which is several times smaller.

    >>> round(trapped_pressure_rise_pa(7.0e-4, 1.6e9, 1.0) / 1e5, 1)
    11.2
    """
    return expansion_per_k * bulk_modulus_pa * temperature_rise_k


def absolute_pressure_pa(gauge_pa: float) -> float:
    """Return the absolute pressure in Pa for a gauge pressure, never below nought: oil cannot be pulled.

    >>> absolute_pressure_pa(-3e5)
    0.0
    """
    return max(0.0, gauge_pa + STANDARD_ATMOSPHERE_PA)


# ---------------------------------------------------------------------------------------- power and heat


def hydraulic_power_w(pressure_pa: float, flow_m3_s: float) -> float:
    """Return the power in W carried by a flow under a pressure: p Q.

    >>> hydraulic_power_w(200e5, 60 / 60_000)
    20000.0
    """
    return pressure_pa * flow_m3_s


def throttle_heat_w(pressure_drop_pa: float, flow_m3_s: float) -> float:
    """Return the heat in W that a flow leaves in the oil where it drops `pressure_drop_pa`: Δp Q.

    >>> round(throttle_heat_w(1000 * 6894.757, 20 * 3.785411784 / 60_000) / 745.7, 1)
    11.7
    """
    return pressure_drop_pa * flow_m3_s


def throttle_rise_k(pressure_drop_pa: float, density_kg_m3: float, heat_capacity_j_kg_k: float) -> float:
    """Return how many K oil warms in one pass through a throttle: Δp / (ρ c), with ρ and c above nought.

    >>> round(50.0 + throttle_rise_k(70e5, 895.0, 1800.0), 1)
    54.3
    """
    return pressure_drop_pa / (density_kg_m3 * heat_capacity_j_kg_k)


def tank_temperature_step_c(
    temperature_c: float,
    heat_w: float,
    air_c: float,
    cooler_w_k: float,
    oil: Oil,
    volume_m3: float,
    dt_s: float,
) -> float:
    """Return the temperature in °C of well-mixed oil of `volume_m3` after `dt_s` of steady heat.

    `cooler_w_k` is what tank and cooler give off per kelvin above the air; nought means no cooling. The
    step is the exact solution of ρ c V dT/dt = heat - cooler (T - air), so two half steps equal one whole.

    >>> oil = Oil(60e-6, 9.5e-6, 870.0, 1900.0, 1.5e9)
    >>> round(tank_temperature_step_c(40.0, 20_000.0, 20.0, 0.0, oil, 0.060, 60.0) - 40.0, 1)
    12.1
    """
    capacity_j_k = oil.density_kg_m3 * oil.heat_capacity_j_kg_k * volume_m3
    if cooler_w_k <= 0.0:
        return temperature_c + heat_w * dt_s / capacity_j_k
    settled_c = air_c + heat_w / cooler_w_k
    return temperature_c + (temperature_c - settled_c) * math.expm1(-cooler_w_k * dt_s / capacity_j_k)


# -------------------------------------------------------------------------------------------------- pump


def pump_flow_m3_s(displacement_m3: float, speed_rev_s: float, volumetric_efficiency: float) -> float:
    """Return the flow in m³/s a pump can give: ηv D n, with ηv from 0 to 1.

    >>> round(pump_flow_m3_s(60e-6, 2200 / 60, 0.95) * 60_000, 1)
    125.4
    """
    return volumetric_efficiency * displacement_m3 * speed_rev_s


def gear_pump_displacement_m3(outer_diameter_m: float, inner_diameter_m: float, width_m: float) -> float:
    """Return the displacement in m³/rev of an external gear pump: π/4 (Do² - Di²) b.

    `inner_diameter_m` is the circle of the tooth roots. Source: A. Esposito, Fluid Power with
    Applications, ch. 5. Raises ValueError when the inner diameter is not the smaller.

    >>> round(gear_pump_displacement_m3(0.075, 0.050, 0.025) * 1e6, 2)
    61.36
    """
    if not 0.0 <= inner_diameter_m < outer_diameter_m:
        raise ValueError("the root circle is smaller than the outer circle")
    return math.pi / 4.0 * (outer_diameter_m**2 - inner_diameter_m**2) * width_m


def volumetric_efficiency(least_m3_s: float, greatest_m3_s: float) -> float:
    """Return the smaller of two flows as a share of the greater, which is above nought.

    For a pump that is what it delivers against what it displaces; for a motor what it displaces against
    what it takes in.

    >>> round(volumetric_efficiency(28.0, 30.6), 3)
    0.915
    """
    return least_m3_s / greatest_m3_s


def pump_pressure_pa(
    highest_load_pa: float | None, margin_pa: float, standby_pa: float, cutoff_pa: float
) -> float:
    """Return the outlet pressure in Pa of a load-sensing pump.

    `highest_load_pa` is what the load-sense line carries, or None when nothing asks and the pump rests at
    standby. The pump holds its margin above the load up to its cut-off. A load-sense line joined to the
    pump's own outlet reports the cut-off and keeps the pump there.

    >>> [round(pump_pressure_pa(load, 20e5, 25e5, 200e5) / 1e5) for load in (None, 80e5, 195e5)]
    [25, 100, 200]
    """
    if highest_load_pa is None:
        return min(standby_pa, cutoff_pa)
    return min(cutoff_pa, highest_load_pa + margin_pa)


def flow_margin_pa(margin_pa: float, asked_m3_s: float, available_m3_s: float) -> float:
    """Return the margin in Pa left over the metering edges of flow-sharing sections.

    With enough flow the pump holds its full margin; short of flow it falls with the square of the share.

    >>> flow_margin_pa(20e5, 200 / 60_000, 100 / 60_000) / 1e5
    5.0
    """
    if asked_m3_s <= available_m3_s:
        return margin_pa
    return margin_pa * (max(0.0, available_m3_s) / asked_m3_s) ** 2


# -------------------------------------------------------------------------------------------- valve sections


def dial_flow_m3_s(share: float, full_flow_m3_s: float) -> float:
    """Return the flow in m³/s asked by a dial at `share` (0 to 1) of its valve's full flow.

    The figure on a dial is a share, never a flow. Raises ValueError outside 0 to 1.

    >>> round(dial_flow_m3_s(0.45, 100 / 60_000) * 60_000, 3)
    45.0
    """
    if not 0.0 <= share <= 1.0:
        raise ValueError("a dial stands between 0 and 1 of its valve's full flow")
    return share * full_flow_m3_s


def flow_in_hand_m3_s(set_flow_m3_s: float, needed_flow_m3_s: float) -> float:
    """Return the flow in m³/s by which a setting exceeds a need; negative when it falls short.

    >>> round(flow_in_hand_m3_s(28.3, 25.0), 1)
    3.3
    """
    return set_flow_m3_s - needed_flow_m3_s


def split_flow(
    asked_m3_s: Sequence[float],
    loads_pa: Sequence[float],
    available_m3_s: float,
    compensation: str,
    first: int = 0,
) -> tuple[float, ...]:
    """Return what each consumer gets, in m³/s and in the order asked.

    The first `first` entries have priority (steering, brakes, then power beyond) and are served one after
    the other before the valve sections. With enough flow every section gets what it asks. Short of flow,
    sections compensated 'before_edge' of metering are served in order of rising load, equal loads in
    order of place; sections with 'flow_sharing' compensation, after the edge, are all cut by one ratio.
    Raises ValueError for another compensation, a negative flow, or lists of different length.

    >>> lpm = 1 / 60_000
    >>> asked, loads = (100 * lpm, 60 * lpm), (80e5, 170e5)
    >>> [round(flow / lpm, 2) for flow in split_flow(asked, loads, 150 * lpm, "before_edge")]
    [100.0, 50.0]
    >>> [round(flow / lpm, 2) for flow in split_flow(asked, loads, 150 * lpm, "flow_sharing")]
    [93.75, 56.25]
    """
    if len(asked_m3_s) != len(loads_pa):
        raise ValueError("each flow asked for has one load")
    if any(flow < 0.0 for flow in asked_m3_s):
        raise ValueError("a section asks for no negative flow")
    left_m3_s = max(0.0, available_m3_s)
    given = [0.0] * len(asked_m3_s)
    sections = range(min(first, len(given)), len(given))
    for place in range(sections.start):
        given[place] = min(asked_m3_s[place], left_m3_s)
        left_m3_s -= given[place]
    if compensation == "flow_sharing":
        wanted_m3_s = math.fsum(asked_m3_s[place] for place in sections)
        share = 1.0 if wanted_m3_s <= left_m3_s else left_m3_s / wanted_m3_s
        for place in sections:
            given[place] = share * asked_m3_s[place]
    elif compensation == "before_edge":
        for place in sorted(sections, key=lambda place: loads_pa[place]):
            given[place] = min(asked_m3_s[place], left_m3_s)
            left_m3_s -= given[place]
    else:
        raise ValueError(f"compensation is 'before_edge' or 'flow_sharing', not {compensation!r}")
    return tuple(given)


def flow_at_cutoff_m3_s(load_at: Callable[[float], float], cutoff_pa: float, asked_m3_s: float) -> float:
    """Return the largest flow in m³/s, up to `asked_m3_s`, whose load does not exceed the cut-off.

    `load_at` gives the pressure in Pa a flow needs and must not fall with rising flow; as a `Rising` it keeps
    what it told for the next search. The answer is found to 1e-13 m³/s, from below, so its load is never
    above the cut-off; it is exactly nought when even standing oil needs more than the cut-off.

    >>> round(flow_at_cutoff_m3_s(lambda q: 100e5 + 1e13 * q * q, 190e5, 0.01), 6)
    0.000949
    """
    rising = load_at if isinstance(load_at, Rising) else Rising(load_at)
    return rising.largest_within(cutoff_pa, asked_m3_s, _CUTOFF_FLOW_M3_S)


def common_pressure_pa(taken_at: Callable[[float], float], available_m3_s: float, highest_pa: float) -> float:
    """Return the pressure in Pa, up to `highest_pa`, at which several loads take just what there is.

    `taken_at` gives the flow in m³/s all loads together take at a pressure and must not fall with rising
    pressure. Sections compensated before the metering edge stand at this pressure when the pump cannot give
    all they ask for. Found from below to 1e-6 Pa.

    >>> round(common_pressure_pa(lambda p: 1e-11 * p + 2e-11 * max(0.0, p - 50e5), 2e-4, 200e5) / 1e5, 3)
    100.0
    """
    return Rising(taken_at).largest_within(available_m3_s, highest_pa, _COMMON_PRESSURE_PA)


# --------------------------------------------------------------------------------------------------- lines


@dataclass(frozen=True, slots=True)
class Line:
    """A hose or pipe: length and bore in m, `roughness_m` of its inner wall (1.5e-6 for a drawn hose)."""

    length_m: float
    bore_m: float
    roughness_m: float = 1.5e-6


def reynolds(speed_m_s: float, bore_m: float, viscosity_m2_s: float) -> float:
    """Return the Reynolds number v d / ν of flow in a round line, with ν above nought.

    >>> round(reynolds(5.0, 0.050, 1e-3), 9)
    250.0
    """
    return speed_m_s * bore_m / viscosity_m2_s


def friction_factor(reynolds_number: float, relative_roughness: float) -> float:
    """Return the Darcy friction factor by Churchill (1977), one smooth formula for every regime.

    A formula that switches from laminar to turbulent would make a root finder hunt at the step.
    Raises ValueError unless the Reynolds number is above nought.

    >>> round(friction_factor(1e5, 1e-4), 6)
    0.018463
    """
    if reynolds_number <= 0.0:
        raise ValueError("still oil has no friction factor")
    laminar = 64.0 / reynolds_number
    if reynolds_number < _CREEPING_REYNOLDS:
        # Churchill's other terms are below the last digit here, and its powers would overflow.
        return laminar
    rough = (2.457 * math.log(1.0 / ((7.0 / reynolds_number) ** 0.9 + 0.27 * relative_roughness))) ** 16
    smooth = (37_530.0 / reynolds_number) ** 16
    eighth = (8.0 / reynolds_number) ** 12 + (rough + smooth) ** -1.5
    return float(8.0 * eighth ** (1.0 / 12.0))


def line_loss_pa(line: Line, flow_m3_s: float, oil: Oil, temperature_c: float) -> float:
    """Return the pressure in Pa lost along a line by Darcy-Weisbach with Churchill's friction factor.

    The loss has the sign of the flow and is exactly nought without flow. It is continuous and rises with
    the flow through the change from laminar to turbulent.

    >>> oil = Oil(60e-6, 9.5e-6, 870.0, 1900.0, 1.5e9)
    >>> round(line_loss_pa(Line(4.0, 0.0127), 45 / 60_000, oil, 50.0) / 1e5, 2)
    1.64
    """
    return line_law(line, oil, kinematic_viscosity_m2_s(oil, temperature_c))(flow_m3_s)


def line_law(line: Line, oil: Oil, viscosity_m2_s: float) -> Callable[[float], float]:
    """Return how the loss in Pa along a line goes with the flow in m³/s: `line_loss_pa` at one viscosity.

    What does not hang on the flow is worked out once: a solver asks for the same line many times.

    >>> oil = Oil(60e-6, 9.5e-6, 870.0, 1900.0, 1.5e9)
    >>> law = line_law(Line(4.0, 0.0127), oil, kinematic_viscosity_m2_s(oil, 50.0))
    >>> round(law(45 / 60_000) / 1e5, 2)
    1.64
    """
    area_m2 = math.pi / 4.0 * line.bore_m**2
    number_per_flow = reynolds(1.0 / area_m2, line.bore_m, viscosity_m2_s)
    roughness = line.roughness_m / line.bore_m
    creeping_pa_s_m3 = _laminar_loss_pa(line, 1.0, oil, viscosity_m2_s)
    head_pa = line.length_m / line.bore_m * oil.density_kg_m3 / (2.0 * area_m2**2)

    def loss_pa(flow_m3_s: float) -> float:
        number = number_per_flow * abs(flow_m3_s)
        if number < _CREEPING_REYNOLDS:
            # The same value, without 64 / Re, which has none for a flow next to nought.
            return creeping_pa_s_m3 * flow_m3_s
        return friction_factor(number, roughness) * head_pa * flow_m3_s * abs(flow_m3_s)

    return loss_pa


def laminar_line_loss_pa(line: Line, flow_m3_s: float, oil: Oil, temperature_c: float) -> float:
    """Return the pressure in Pa lost by laminar flow in a line: 128 ν ρ L Q / (π d⁴), linear in the flow.

    >>> oil = Oil(60e-6, 9.5e-6, 870.0, 1900.0, 1.5e9)
    >>> drain = Line(8.0, 0.0095)
    >>> round(laminar_line_loss_pa(drain, 1.575 / 60_000, oil, 50.0) / 1e5, 3)
    0.366
    """
    return _laminar_loss_pa(line, flow_m3_s, oil, kinematic_viscosity_m2_s(oil, temperature_c))


def _laminar_loss_pa(line: Line, flow_m3_s: float, oil: Oil, viscosity_m2_s: float) -> float:
    dynamic_viscosity_pa_s = viscosity_m2_s * oil.density_kg_m3
    return 128.0 * dynamic_viscosity_pa_s * line.length_m * flow_m3_s / (math.pi * line.bore_m**4)


def coupler_loss_pa(
    flow_m3_s: float, rated_flow_m3_s: float, rated_loss_pa: float, opening: float = 1.0
) -> float:
    """Return the pressure in Pa lost in a coupler: rated loss times (Q / Q rated)² / opening².

    `opening` is the open share of its area, 1 when home. A closed coupler (opening nought) costs an
    infinite pressure for any flow and nothing for none. The loss has the sign of the flow. Raises
    ValueError for an opening outside 0 to 1.

    >>> [coupler_loss_pa(45 / 60_000, 45 / 60_000, 1.5e5, opening) / 1e5 for opening in (1.0, 0.2)]
    [1.5, 37.5]
    """
    if not 0.0 <= opening <= 1.0:
        raise ValueError("a coupler's opening lies between 0 and 1")
    if flow_m3_s == 0.0:
        return 0.0
    if opening == 0.0:
        return math.copysign(math.inf, flow_m3_s)
    return math.copysign(rated_loss_pa * (flow_m3_s / (rated_flow_m3_s * opening)) ** 2, flow_m3_s)


def coupler_flow_m3_s(
    pressure_drop_pa: float, rated_flow_m3_s: float, rated_loss_pa: float, opening: float = 1.0
) -> float:
    """Return the flow in m³/s through a coupler under a pressure drop; exactly nought when it is closed.

    The inverse of coupler_loss_pa. Raises ValueError for an opening outside 0 to 1.

    >>> coupler_flow_m3_s(200e5, 45 / 60_000, 1.5e5, opening=0.0)
    0.0
    """
    if not 0.0 <= opening <= 1.0:
        raise ValueError("a coupler's opening lies between 0 and 1")
    if opening == 0.0 or pressure_drop_pa == 0.0:
        return 0.0
    flow = opening * rated_flow_m3_s * math.sqrt(abs(pressure_drop_pa) / rated_loss_pa)
    return math.copysign(flow, pressure_drop_pa)


@dataclass(frozen=True, slots=True)
class RatedCoupler:
    """A row of the ISO 14541 table of rated points: nominal size, flow in m³/s and loss there in Pa."""

    size: str
    rated_flow_m3_s: float
    rated_loss_pa: float
    standing: str
    source: str


RATED_COUPLERS: Final = tuple(
    RatedCoupler(size, flow_l_min / 60_000.0, loss_bar * 1e5, "published", "ISO 14541 table")
    for size, flow_l_min, loss_bar in (
        ("6.3", 12.0, 2.5),
        ("10", 23.0, 2.0),
        ("12.5", 45.0, 1.5),
        ("20", 106.0, 2.2),
    )
)


def rated_coupler(size: str) -> RatedCoupler:
    """Return the rated point of a coupler of nominal size '6.3', '10', '12.5' or '20' (ISO 14541 table).

    Raises KeyError for a size that is not in the table.

    >>> round(rated_coupler("12.5").rated_flow_m3_s * 60_000, 1)
    45.0
    """
    for row in RATED_COUPLERS:
        if row.size == size:
            return row
    raise KeyError(size)


def orifice_flow_m3_s(
    discharge_coefficient: float, area_m2: float, pressure_drop_pa: float, density_kg_m3: float
) -> float:
    """Return the flow in m³/s through a sharp orifice: C A √(2 Δp / ρ), with the sign of the drop.

    >>> round(orifice_flow_m3_s(0.6, 1e-6, 100e5, 870.0) * 60_000, 2)
    5.46
    """
    return math.copysign(
        discharge_coefficient * area_m2 * math.sqrt(2.0 * abs(pressure_drop_pa) / density_kg_m3),
        pressure_drop_pa,
    )


def fitting_loss_pa(loss_coefficient: float, density_kg_m3: float, speed_m_s: float) -> float:
    """Return the pressure in Pa lost in a fitting of loss coefficient K: K ρ v² / 2.

    >>> fitting_loss_pa(10.0, 870.0, 5.0)
    108750.0
    """
    return loss_coefficient * density_kg_m3 * speed_m_s**2 / 2.0


def valve_flow_coefficient_cv(flow_m3_s: float, pressure_drop_pa: float, density_kg_m3: float) -> float:
    """Return a valve's Cv in US gal/min at 1 psi of water (taken as 1000 kg/m³), with the drop above nought.

    >>> round(valve_flow_coefficient_cv(25 * 3.785411784 / 60_000, 100 * 6894.757, 900.0), 2)
    2.37
    """
    relative_density = density_kg_m3 / _WATER_DENSITY_KG_M3
    return flow_m3_s / _CV_GALLON_M3_S / math.sqrt(pressure_drop_pa / _PSI_PA / relative_density)


def metric_flow_coefficient_kv(cv: float) -> float:
    """Return Kv in m³/h at 1 bar for a Cv in US gal/min at 1 psi.

    >>> round(metric_flow_coefficient_kv(1.0), 5)
    0.86498
    """
    return cv * _CV_GALLON_M3_S * 3600.0 / math.sqrt(_PSI_PA / 1e5)


def jet_speed_m_s(pressure_pa: float, density_kg_m3: float) -> float:
    """Return the speed in m/s of a jet from a pinhole under a gauge pressure: √(2 p / ρ), p not negative.

    >>> round(jet_speed_m_s(138e5, 870.0))
    178
    """
    return math.sqrt(2.0 * pressure_pa / density_kg_m3)


def coupling_force_n(pressure_pa: float, seat_diameter_m: float, free_force_n: float = 45.0) -> float:
    """Return the force in N by hand to push a coupler home against trapped pressure on its seat.

    `free_force_n` is what the coupler takes without pressure; 45 N is the limit given for ISO 5675
    couplers of size 12.5 (published). The pressure adds π/4 d² p. A vacuum does not help: it counts as none.

    >>> [round(coupling_force_n(bar * 1e5, 0.010)) for bar in (0, 10, 100)]
    [45, 124, 830]
    """
    return free_force_n + math.pi / 4.0 * seat_diameter_m**2 * max(0.0, pressure_pa)


# --------------------------------------------------------------------------------------------------- motor


def motor_speed_rev_s(flow_m3_s: float, displacement_m3: float, volumetric_efficiency: float) -> float:
    """Return a motor's speed in rev/s: ηv Q / D, with the sign of the flow.

    >>> round(motor_speed_rev_s(45 / 60_000, 10e-6, 0.93) * 60)
    4185
    """
    return volumetric_efficiency * flow_m3_s / displacement_m3


def motor_torque_n_m(pressure_drop_pa: float, displacement_m3: float, mechanical_efficiency: float) -> float:
    """Return a motor's torque in N·m: ηm D Δp / 2π, where Δp is inlet less outlet pressure.

    >>> round(motor_torque_n_m(70e5, 82e-6, 1.0), 1)
    91.4
    """
    return mechanical_efficiency * displacement_m3 * pressure_drop_pa / math.tau


def motor_pressure_drop_pa(torque_n_m: float, displacement_m3: float, mechanical_efficiency: float) -> float:
    """Return the pressure drop in Pa a motor needs for a torque: 2π T / (ηm D).

    The inlet is that drop above the outlet, so each bar of back-pressure raises the inlet by one.

    >>> round(motor_pressure_drop_pa(12.0, 10e-6, 0.90) / 1e5, 2)
    83.78
    """
    return math.tau * torque_n_m / (mechanical_efficiency * displacement_m3)


def motor_leakage_m3_s(flow_m3_s: float, volumetric_efficiency: float) -> float:
    """Return the flow in m³/s that slips through a motor without turning it: Q (1 - ηv).

    Part of it goes to the case drain, the rest to the outlet.

    >>> round(motor_leakage_m3_s(45 / 60_000, 0.93) * 60_000, 2)
    3.15
    """
    return flow_m3_s * (1.0 - volumetric_efficiency)


def case_leakage_m3_s(flow_m3_s: float, volumetric_efficiency: float, case_share: float = 0.5) -> float:
    """Return the flow in m³/s that leaves a motor through its case: a share (0 to 1) of its leakage.

    >>> round(case_leakage_m3_s(6.5, 0.959), 2)
    0.13
    """
    return case_share * motor_leakage_m3_s(flow_m3_s, volumetric_efficiency)


def fan_torque_n_m(rated_torque_n_m: float, rated_speed_rev_s: float, speed_rev_s: float) -> float:
    """Return the torque in N·m of a fan, which goes with the square of its speed and opposes it.

    >>> fan_torque_n_m(12.0, 70.0, 35.0)
    3.0
    """
    share = speed_rev_s / rated_speed_rev_s
    return rated_torque_n_m * share * abs(share)


def case_pressure_pa(
    end_pressure_pa: float, leakage_m3_s: float, drain_line: Line, oil: Oil, temperature_c: float
) -> float:
    """Return the gauge pressure in Pa in a motor's case.

    That is the pressure where the drain line ends plus the drain line's own laminar loss at the leakage
    flow. `temperature_c` is that of the oil in the drain: a drain colder than the motor is what makes a
    cold start dangerous. A drain that ends on a pressure port brings that port's pressure to the seal.

    >>> oil = Oil(60e-6, 9.5e-6, 870.0, 1900.0, 1.5e9)
    >>> round(case_pressure_pa(0.5e5, 1.575 / 60_000, Line(8.0, 0.0095), oil, 50.0) / 1e5, 3)
    0.866
    """
    return end_pressure_pa + laminar_line_loss_pa(drain_line, leakage_m3_s, oil, temperature_c)


@dataclass(frozen=True, slots=True)
class MotorCircuit:
    """What a gauge on each part of a motor circuit would show: pressures in Pa, flows in m³/s, rev/s."""

    speed_rev_s: float
    supply_pa: float
    inlet_pa: float
    outlet_pa: float
    case_pa: float
    return_flow_m3_s: float
    drain_flow_m3_s: float


def motor_circuit(
    *,
    flow_m3_s: float,
    displacement_m3: float,
    volumetric_efficiency: float,
    mechanical_efficiency: float,
    torque_n_m: float,
    pressure_line: Line,
    pressure_coupler: RatedCoupler,
    return_line: Line,
    return_coupler: RatedCoupler,
    drain_line: Line,
    tank_pa: float,
    oil: Oil,
    temperature_c: float,
    case_leakage_share: float = 0.5,
) -> MotorCircuit:
    """Return the pressures around a motor fed through a hose, a return and its own drain to the tank.

    All couplers are home. `case_leakage_share` (0 to 1) of the leakage goes down the drain and the rest
    of the oil through the return, so what enters the motor leaves it. `supply_pa` is the load the valve
    feels at its port.

    >>> circuit = motor_circuit(
    ...     flow_m3_s=45 / 60_000, displacement_m3=10e-6, volumetric_efficiency=0.93,
    ...     mechanical_efficiency=0.90, torque_n_m=12.0, pressure_line=Line(4.0, 0.0127),
    ...     pressure_coupler=rated_coupler("12.5"), return_line=Line(4.0, 0.019),
    ...     return_coupler=rated_coupler("20"), drain_line=Line(8.0, 0.0095), tank_pa=0.5e5,
    ...     oil=Oil(60e-6, 9.5e-6, 870.0, 1900.0, 1.5e9), temperature_c=50.0)
    >>> round(circuit.supply_pa / 1e5, 1), round(circuit.case_pa / 1e5, 3)
    (88.1, 0.866)
    """
    drain_flow = case_leakage_m3_s(flow_m3_s, volumetric_efficiency, case_leakage_share)
    return_flow = flow_m3_s - drain_flow
    outlet_pa = math.fsum(
        (
            tank_pa,
            line_loss_pa(return_line, return_flow, oil, temperature_c),
            coupler_loss_pa(return_flow, return_coupler.rated_flow_m3_s, return_coupler.rated_loss_pa),
        )
    )
    inlet_pa = outlet_pa + motor_pressure_drop_pa(torque_n_m, displacement_m3, mechanical_efficiency)
    supply_pa = math.fsum(
        (
            inlet_pa,
            line_loss_pa(pressure_line, flow_m3_s, oil, temperature_c),
            coupler_loss_pa(flow_m3_s, pressure_coupler.rated_flow_m3_s, pressure_coupler.rated_loss_pa),
        )
    )
    return MotorCircuit(
        speed_rev_s=motor_speed_rev_s(flow_m3_s, displacement_m3, volumetric_efficiency),
        supply_pa=supply_pa,
        inlet_pa=inlet_pa,
        outlet_pa=outlet_pa,
        case_pa=case_pressure_pa(tank_pa, drain_flow, drain_line, oil, temperature_c),
        return_flow_m3_s=return_flow,
        drain_flow_m3_s=drain_flow,
    )


def coast_time_constant_s(inertia_kg_m2: float, power_w: float, speed_rev_s: float) -> float:
    """Return the time in s in which a coasting fan falls to half speed: τ = I ω0² / P.

    `power_w` is the fan's power at `speed_rev_s`, both above nought. With torque k ω² and P = k ω0³ that
    equals I / (k ω0).

    >>> round(coast_time_constant_s(0.02, 8000.0, 4000 / 60), 4)
    0.4386
    """
    return inertia_kg_m2 * (math.tau * speed_rev_s) ** 2 / power_w


def coast_step_rev_s(
    speed_rev_s: float, time_constant_s: float, speed_at_constant_rev_s: float, dt_s: float
) -> float:
    """Return a coasting fan's speed in rev/s after `dt_s`, oil circling freely round its motor.

    Exact solution of dω/dt = -ω² / (ω0 τ), with ω0 the speed at which the time constant holds; steps of
    any size add up to the same. Speeds are not negative, time constant and its speed above nought.

    >>> round(coast_step_rev_s(70.0, 0.44, 70.0, 0.44), 6)
    35.0
    """
    return speed_rev_s / (1.0 + speed_rev_s * dt_s / (speed_at_constant_rev_s * time_constant_s))


def blocked_motor_peak_pa(
    start_pressure_pa: float,
    inertia_kg_m2: float,
    speed_rev_s: float,
    effective_bulk_modulus_pa: float,
    volume_m3: float,
) -> float:
    """Return the highest pressure in Pa behind a spinning motor whose outlet is shut.

    All the rotor's energy goes into the oil and hose behind it: √(p0² + 2 E K / V), an upper bound. The
    effective modulus is that of oil and hose together, about 0.5e9 (from memory).

    >>> round(blocked_motor_peak_pa(88e5, 0.02, 4000 / 60, 0.5e9, 1e-3) / 1e5, -1)
    430.0
    """
    energy_j = 0.5 * inertia_kg_m2 * (math.tau * speed_rev_s) ** 2
    return math.sqrt(start_pressure_pa**2 + 2.0 * energy_j * effective_bulk_modulus_pa / volume_m3)


def blocked_motor_stop_s(
    displacement_m3: float, inertia_kg_m2: float, effective_bulk_modulus_pa: float, volume_m3: float
) -> float:
    """Return the time in s in which a spinning motor comes to rest against its shut outlet.

    Rotor and shut-in oil are a mass on a spring: J dω/dt = −p d, dp/dt = K d ω / V with d = D / 2π. From its
    highest speed the rotor is at rest after a quarter of the oscillation, whatever that speed was; friction
    and leakage, which shorten it, are left out. `displacement_m3` is per revolution.

    >>> round(blocked_motor_stop_s(10e-6, 0.02, 0.7e9, 1e-3), 3)
    0.167
    """
    per_radian_m3 = displacement_m3 / math.tau
    return math.pi / 2.0 * math.sqrt(inertia_kg_m2 * volume_m3 / effective_bulk_modulus_pa) / per_radian_m3


# ------------------------------------------------------------------------------------------------ cylinder


def piston_area_m2(bore_m: float) -> float:
    """Return the area in m² of a piston of diameter `bore_m`.

    >>> round(piston_area_m2(0.080) * 1e4, 2)
    50.27
    """
    return math.pi / 4.0 * bore_m**2


def annulus_area_m2(bore_m: float, rod_m: float) -> float:
    """Return the area in m² of a piston's rod side.

    Raises ValueError unless the rod is thinner than the bore.

    >>> round(annulus_area_m2(0.080, 0.040) * 1e4, 2)
    37.7
    """
    if not 0.0 <= rod_m < bore_m:
        raise ValueError("a rod is thinner than its bore")
    return math.pi / 4.0 * (bore_m**2 - rod_m**2)


def cylinder_speed_m_s(flow_m3_s: float, area_m2: float) -> float:
    """Return a cylinder's speed in m/s: Q / A of the driven side.

    >>> round(cylinder_speed_m_s(60 / 60_000, 50e-4), 3)
    0.2
    """
    return flow_m3_s / area_m2


def cylinder_stroke_time_s(stroke_m: float, area_m2: float, flow_m3_s: float) -> float:
    """Return the time in s for a stroke: A s / Q; infinite without flow, which is not negative.

    >>> round(cylinder_stroke_time_s(0.6, 50e-4, 60 / 60_000), 3)
    3.0
    """
    return math.inf if flow_m3_s == 0.0 else area_m2 * stroke_m / flow_m3_s


def cylinder_force_n(
    bore_pressure_pa: float, bore_area_m2: float, rod_side_pressure_pa: float, rod_side_area_m2: float
) -> float:
    """Return the force in N a cylinder pushes with: p1 A1 - p2 A2; negative when it pulls.

    >>> cylinder_force_n(100e5, 50e-4, 10e5, 40e-4)
    46000.0
    """
    return bore_pressure_pa * bore_area_m2 - rod_side_pressure_pa * rod_side_area_m2


def cylinder_pressure_pa(
    load_n: float, driven_area_m2: float, back_pressure_pa: float = 0.0, back_area_m2: float = 0.0
) -> float:
    """Return the gauge pressure in Pa on the driven side that carries a load against a back-pressure.

    A load that runs ahead cannot pull the oil below an absolute pressure of nought.

    >>> round(cylinder_pressure_pa(46_000.0, 50e-4, 10e5, 40e-4) / 1e5, 6)
    100.0
    """
    pressure = (load_n + back_pressure_pa * back_area_m2) / driven_area_m2
    return max(-STANDARD_ATMOSPHERE_PA, pressure)


def shut_rod_side_pressure_pa(
    bore_pressure_pa: float, bore_area_m2: float, rod_side_area_m2: float, load_n: float
) -> float:
    """Return the gauge pressure in Pa on a rod side that is shut off: (p1 A1 - F) / A2.

    With no load to carry, the full pump pressure is raised by the ratio of the areas and nothing moves. It
    cannot fall below an absolute pressure of nought.

    >>> round(shut_rod_side_pressure_pa(200e5, 50e-4, 37.5e-4, 0.0) / 1e5)
    267
    """
    pressure = (bore_pressure_pa * bore_area_m2 - load_n) / rod_side_area_m2
    return max(-STANDARD_ATMOSPHERE_PA, pressure)


@dataclass(frozen=True, slots=True)
class RegenerativeCylinder:
    """Speeds in m/s and forces in N of a cylinder that extends with its two sides joined."""

    extend_speed_m_s: float
    extend_force_n: float
    retract_speed_m_s: float
    retract_force_n: float


def regenerative_cylinder(
    flow_m3_s: float, pressure_pa: float, piston_area: float, rod_area: float
) -> RegenerativeCylinder:
    """Return speeds and forces of a regenerative cylinder; areas in m² with the rod's the smaller.

    Extending, the rod side's oil joins the pump's, so only the rod's area counts.
    Raises ValueError unless 0 < rod area < piston area.

    >>> made = regenerative_cylinder(1e-3, 100e5, 50e-4, 20e-4)
    >>> round(made.extend_speed_m_s, 3), round(made.extend_force_n)
    (0.5, 20000)
    """
    if not 0.0 < rod_area < piston_area:
        raise ValueError("a rod's area is smaller than its piston's")
    return RegenerativeCylinder(
        extend_speed_m_s=flow_m3_s / rod_area,
        extend_force_n=pressure_pa * rod_area,
        retract_speed_m_s=flow_m3_s / (piston_area - rod_area),
        retract_force_n=pressure_pa * (piston_area - rod_area),
    )


def intensifier(ratio: float, pressure_pa: float, flow_m3_s: float) -> tuple[float, float]:
    """Return pressure in Pa and flow in m³/s behind an intensifier of area ratio `ratio` above nought.

    >>> intensifier(5.0, 35e5, 1e-3)
    (17500000.0, 0.0002)
    """
    return ratio * pressure_pa, flow_m3_s / ratio


def relief_pressure_pa(
    seat_area_m2: float, spring_rate_n_m: float, preload_m: float, lift_m: float = 0.0
) -> float:
    """Return the pressure in Pa at which a spring-loaded relief valve stands `lift_m` open: k (x0 + x) / A.

    Without lift that is the pressure at which it cracks.

    >>> round(relief_pressure_pa(4.84e-4, 438_000.0, 0.00508) / 1e5, 1)
    46.0
    """
    return spring_rate_n_m * (preload_m + lift_m) / seat_area_m2
