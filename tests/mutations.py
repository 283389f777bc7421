"""Deliberate faults in the formulas of the core: does the qualification table notice each of them?

    python tests/mutations.py

Every fault is put into a copy of a module's source, in memory; the copy takes the module's place while the
table is worked out. A fault that no row notices is missed; one whose text does not stand in the source just
once has gone stale. Status 1 for either.
"""

import sys
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from trainer.authoring.qualify import OUTSIDE, PHYSICS, Qualification, Reference, qualify, read_reference


@dataclass(frozen=True)
class Fault:
    """A text of a module's source, what is written in its place, and what that does."""

    module: str
    what: str
    right: str
    wrong: str


@dataclass(frozen=True)
class Outcome:
    """How many rows noticed a fault, how many of them from outside, and one of them."""

    fault: Fault
    noticed: int
    outside: int
    first: str


class Stale(Exception):
    """The text of a fault does not stand in the source exactly once."""


def faults_of(module: str, *rows: tuple[str, str, str]) -> tuple[Fault, ...]:
    return tuple(Fault(module, *row) for row in rows)


FAULTS = (
    *faults_of(
        "hydraulics",
        # oil
        ("viscosity rises with warmth", "double_log = a - b * math", "double_log = a + b * math"),
        ("degrees Celsius for kelvin", "temperature_c + _KELVIN_AT_ZERO_C)", "temperature_c + 0.0)"),
        ("Walther's shift", "_WALTHER_SHIFT: Final = 0.7", "_WALTHER_SHIFT: Final = 0.6"),
        ("wrong fixed point", "log_hot = math.log10(40.0 +", "log_hot = math.log10(50.0 +"),
        ("Saybolt, the other branch", "if saybolt_s <= 100.0:", "if saybolt_s <= 1000.0:"),
        ("grade wider than a tenth", "grade * 0.9e-6, grade * 1.1e-6", "grade * 0.85e-6, grade * 1.15e-6"),
        (
            "compressed oil grows",
            "return -volume_m3 * pressure_rise_pa",
            "return volume_m3 * pressure_rise_pa",
        ),
        (
            "trapped oil, K for 1/K",
            "expansion_per_k * bulk_modulus_pa *",
            "expansion_per_k / bulk_modulus_pa *",
        ),
        ("gauge for absolute", "gauge_pa + STANDARD_ATMOSPHERE_PA)\n\n\n# -", "gauge_pa)\n\n\n# -"),
        # heat
        ("power halved", "return pressure_pa * flow_m3_s", "return pressure_pa * flow_m3_s / 2.0"),
        (
            "heat with the root",
            "return pressure_drop_pa * flow_m3_s",
            "return pressure_drop_pa**0.5 * flow_m3_s",
        ),
        ("density left out", "/ (density_kg_m3 * heat_capacity_j_kg_k)", "/ heat_capacity_j_kg_k"),
        ("cooler heats", "math.expm1(-cooler_w_k * dt_s", "math.expm1(cooler_w_k * dt_s"),
        ("air left out", "settled_c = air_c + heat_w / cooler_w_k", "settled_c = heat_w / cooler_w_k"),
        ("volume left out", "heat_capacity_j_kg_k * volume_m3\n", "heat_capacity_j_kg_k\n"),
        # pump
        (
            "efficiency divides a pump",
            "return volumetric_efficiency * displacement_m3 * speed_rev_s",
            "return displacement_m3 * speed_rev_s / volumetric_efficiency",
        ),
        (
            "radians for turns",
            "return volumetric_efficiency * displacement_m3 * speed_rev_s",
            "return volumetric_efficiency * displacement_m3 * speed_rev_s * math.tau",
        ),
        (
            "gear pump, inner diameter for outer",
            "(outer_diameter_m**2 - inner_diameter_m**2) * width_m",
            "(2 * inner_diameter_m**2 - outer_diameter_m**2) * width_m",
        ),
        (
            "gear pump, radii for diameters",
            "return math.pi / 4.0 * (outer_diameter_m**2",
            "return math.pi * (outer_diameter_m**2",
        ),
        ("efficiency upside down", "return least_m3_s / greatest_m3_s", "return greatest_m3_s / least_m3_s"),
        ("margin taken off", "highest_load_pa + margin_pa)", "highest_load_pa - margin_pa)"),
        (
            "the greater of cut-off and load",
            "return min(cutoff_pa, highest_load_pa",
            "return max(cutoff_pa, highest_load_pa",
        ),
        # valve sections
        (
            "margin linear",
            "(max(0.0, available_m3_s) / asked_m3_s) ** 2",
            "(max(0.0, available_m3_s) / asked_m3_s)",
        ),
        (
            "before the edge for after",
            'if compensation == "flow_sharing":\n        wanted',
            'if compensation == "before_edge":\n        wanted',
        ),
        ("highest load first", "key=lambda place: loads_pa[place]", "key=lambda place: -loads_pa[place]"),
        ("in order of place", "sorted(sections, key=lambda place: loads_pa[place])", "sorted(sections)"),
        (
            "equal shares",
            "given[place] = share * asked_m3_s[place]",
            "given[place] = left_m3_s / len(sections)",
        ),
        (
            "need less setting",
            "return set_flow_m3_s - needed_flow_m3_s",
            "return needed_flow_m3_s - set_flow_m3_s",
        ),
        ("relief, lift taken off", "(preload_m + lift_m)", "(preload_m - lift_m)"),
        (
            "orifice without its 2",
            "math.sqrt(2.0 * abs(pressure_drop_pa) / density_kg_m3)",
            "math.sqrt(abs(pressure_drop_pa) / density_kg_m3)",
        ),
        (
            "Cv times density",
            "pressure_drop_pa / _PSI_PA / relative_density",
            "pressure_drop_pa / _PSI_PA * relative_density",
        ),
        ("Kv without the root", "3600.0 / math.sqrt(_PSI_PA / 1e5)", "3600.0 / (_PSI_PA / 1e5)"),
        # lines and couplers
        (
            "Reynolds with the radius",
            "speed_m_s * bore_m / viscosity_m2_s",
            "speed_m_s * bore_m / 2.0 / viscosity_m2_s",
        ),
        ("Fanning for Darcy", "return float(8.0 * eighth", "return float(2.0 * eighth"),
        ("Churchill's exponent", "(8.0 / reynolds_number) ** 12", "(8.0 / reynolds_number) ** 11"),
        ("Churchill's root", "eighth ** (1.0 / 12.0)", "eighth ** (1.0 / 16.0)"),
        ("Churchill's smooth wall", "37_530.0", "375_300.0"),
        ("Churchill's rough wall", "0.27 * relative_roughness", "2.7 * relative_roughness"),
        (
            "roughness not relative",
            "roughness = line.roughness_m / line.bore_m",
            "roughness = line.roughness_m",
        ),
        (
            "no half of ρ v²",
            "oil.density_kg_m3 / (2.0 * area_m2**2)",
            "oil.density_kg_m3 / area_m2**2",
        ),
        (
            "speed from the radius",
            "area_m2 = math.pi / 4.0 * line.bore_m**2",
            "area_m2 = math.pi * line.bore_m**2",
        ),
        ("laminar, third power", "(math.pi * line.bore_m**4)", "(math.pi * line.bore_m**3)"),
        ("laminar, 64 for 128", "return 128.0 * dynamic", "return 64.0 * dynamic"),
        ("kinematic for dynamic", "viscosity_m2_s * oil.density_kg_m3\n", "viscosity_m2_s\n"),
        (
            "coupler linear",
            "(flow_m3_s / (rated_flow_m3_s * opening)) ** 2",
            "(flow_m3_s / (rated_flow_m3_s * opening))",
        ),
        (
            "coupler's opening upside down",
            "(rated_flow_m3_s * opening)) ** 2",
            "(rated_flow_m3_s / opening)) ** 2",
        ),
        (
            "fitting without its half",
            "density_kg_m3 * speed_m_s**2 / 2.0\n\n\n",
            "density_kg_m3 * speed_m_s**2\n\n\n",
        ),
        (
            "jet without its 2",
            "math.sqrt(2.0 * pressure_pa / density_kg_m3)",
            "math.sqrt(pressure_pa / density_kg_m3)",
        ),
        ("rated couplers in bar for Pa", "loss_bar * 1e5", "loss_bar * 1e6"),
        ("seat by its radius", "free_force_n + math.pi / 4.0 * seat", "free_force_n + math.pi * seat"),
        # motors
        (
            "efficiency divides a motor",
            "return volumetric_efficiency * flow_m3_s / displacement_m3",
            "return flow_m3_s / displacement_m3 / volumetric_efficiency",
        ),
        ("torque without 2π", "pressure_drop_pa / math.tau", "pressure_drop_pa"),
        ("pressure drop without 2π", "return math.tau * torque_n_m", "return torque_n_m"),
        (
            "efficiency multiplies the drop",
            "torque_n_m / (mechanical_efficiency * displacement_m3)",
            "torque_n_m * mechanical_efficiency / displacement_m3",
        ),
        (
            "leakage as the rest",
            "flow_m3_s * (1.0 - volumetric_efficiency)",
            "flow_m3_s * volumetric_efficiency",
        ),
        ("all leakage to the case", "return case_share * motor_leakage", "return motor_leakage"),
        ("case without its drain's end", "return end_pressure_pa + laminar", "return laminar"),
        ("back-pressure forgotten", "inlet_pa = outlet_pa + motor", "inlet_pa = motor"),
        (
            "coast-down in turns",
            "inertia_kg_m2 * (math.tau * speed_rev_s) ** 2 / power_w",
            "inertia_kg_m2 * speed_rev_s**2 / power_w",
        ),
        (
            "coasting under a steady torque",
            "speed_rev_s / (1.0 + speed_rev_s * dt_s",
            "speed_rev_s * (1.0 - 0.1 * speed_rev_s * dt_s",
        ),
        ("rotor's energy doubled", "energy_j = 0.5 * inertia", "energy_j = inertia"),
        ("start pressure added", "math.sqrt(start_pressure_pa**2 + 2.0", "start_pressure_pa + math.sqrt(2.0"),
        # cylinders
        ("piston by its radius", "return math.pi / 4.0 * bore_m**2", "return math.pi * bore_m**2"),
        ("rod side with the rod added", "(bore_m**2 - rod_m**2)", "(bore_m**2 + rod_m**2)"),
        ("speed times area", "return flow_m3_s / area_m2", "return flow_m3_s * area_m2"),
        ("stroke time upside down", "area_m2 * stroke_m / flow_m3_s", "flow_m3_s / (area_m2 * stroke_m)"),
        (
            "shut rod side, areas swapped",
            "(bore_pressure_pa * bore_area_m2 - load_n) / rod_side_area_m2",
            "(bore_pressure_pa * rod_side_area_m2 - load_n) / bore_area_m2",
        ),
        (
            "regenerative with the piston",
            "extend_speed_m_s=flow_m3_s / rod_area",
            "extend_speed_m_s=flow_m3_s / piston_area",
        ),
        (
            "intensifier upside down",
            "return ratio * pressure_pa, flow_m3_s / ratio",
            "return pressure_pa / ratio, flow_m3_s * ratio",
        ),
    ),
    *faults_of(
        "linkage",
        (
            "the lower root",
            "math.sqrt(max(0.0, mast**2 - along**2)), unit_x)",
            "math.sqrt(max(0.0, mast**2 - along**2)), -unit_x)",
        ),
        (
            "top link and mast swapped",
            "(mast**2 - top_link_m**2 + distance**2)",
            "(top_link_m**2 - mast**2 + distance**2)",
        ),
        (
            "nose down for up",
            "return math.remainder(pitch, math.tau)",
            "return -math.remainder(pitch, math.tau)",
        ),
        (
            "pitch in degrees",
            "return math.remainder(pitch, math.tau)",
            "return math.degrees(math.remainder(pitch, math.tau))",
        ),
        (
            "offset left out of plumb",
            "ball[1] + linkage.mast_height_m - linkage.top_pivot_m[1]",
            "ball[1] - linkage.mast_height_m - linkage.top_pivot_m[1]",
        ),
        (
            "crossing behind for ahead",
            "lower_pivot_m[0] + along * lower_x",
            "lower_pivot_m[0] - along * lower_x",
        ),
        (
            "sine and cosine swapped",
            "linkage.lower_link_m * math.sin(angle_rad),",
            "linkage.lower_link_m * math.cos(angle_rad),",
        ),
        (
            "slope of the pitch upside down",
            "linkage.lower_link_m / mast_m * math.sin",
            "mast_m / linkage.lower_link_m * math.sin",
        ),
        (
            "longer top link, nose down",
            "return -top_link_change_m / mast_height_m",
            "return top_link_change_m / mast_height_m",
        ),
        (
            "arms in degrees",
            "return math.asin(bar_error_m / arm_m)",
            "return math.degrees(math.asin(bar_error_m / arm_m))",
        ),
        ("tool above for behind", "behind_m * math.sin(pitch_rad)", "behind_m * math.cos(pitch_rad)"),
        ("level in degrees", "level_m * math.tan(pitch_rad)", "level_m * math.tan(math.radians(pitch_rad))"),
        (
            "tongue upside down",
            "math.atan2(height_error_m, tongue_m)",
            "math.atan2(tongue_m, height_error_m)",
        ),
        (
            "sway by the short arm",
            "block_gap_m * lower_link_m / block_radius_m",
            "block_gap_m * block_radius_m / lower_link_m",
        ),
        (
            "convergence from the front",
            "lower_link_m * rear_spacing_m / narrowing",
            "lower_link_m * front_spacing_m / narrowing",
        ),
        (
            "row shift the other way",
            "sway_m * (1.0 + behind_m / convergence_m)",
            "sway_m * (1.0 - behind_m / convergence_m)",
        ),
        ("lift factor the other way", "return 1.0 + behind_m / distance", "return 1.0 - behind_m / distance"),
        (
            "narrow category keeps its span",
            "place[row.name] - 1].lower_span_m",
            "place[row.name]].lower_span_m",
        ),
    ),
    *faults_of(
        "balance",
        (
            "ballast on the front axle",
            "ballast_kg * (ballast_ahead_m + wheelbase_m)",
            "ballast_kg * wheelbase_m",
        ),
        ("implement presses the front", "-implement_kg * (hitch_behind_m", "implement_kg * (hitch_behind_m"),
        (
            "implement at the balls",
            "-implement_kg * (hitch_behind_m + implement_behind_m)",
            "-implement_kg * hitch_behind_m",
        ),
        ("share of the wheelbase", "moment / (ballast_ahead_m + wheelbase_m)", "moment / wheelbase_m"),
        (
            "drawbar load, lever upside down",
            "drawbar_load_kg * behind_axle_m / wheelbase_m",
            "drawbar_load_kg * wheelbase_m / behind_axle_m",
        ),
        ("rear without the load", "return -lever, drawbar_load_kg + lever", "return -lever, lever"),
        ("newtons for kilograms", "wheelbase_m) / _STANDARD_GRAVITY_M_S2", "wheelbase_m)"),
    ),
    *faults_of(
        "driveline",
        ("joint, sine for cosine", "bend = math.cos(joint_angle_rad)", "bend = math.sin(joint_angle_rad)"),
        (
            "joint in degrees",
            "bend = math.cos(joint_angle_rad)",
            "bend = math.cos(math.radians(joint_angle_rad))",
        ),
        ("span folded", "hypot(\n        stub_to_pin_m + pin", "hypot(\n        stub_to_pin_m - pin"),
        ("joints swapped", "return tractor, turn_rad - tractor", "return turn_rad - tractor, tractor"),
        ("torque without 2π", "power_w / (math.tau * speed_rev_s)", "power_w / speed_rev_s"),
        (
            "energy with the speed",
            "overspeed_ratio(driven_rev_s, rated_rev_s) ** 2",
            "overspeed_ratio(driven_rev_s, rated_rev_s)",
        ),
        ("ratio upside down", "return driven_rev_s / rated_rev_s", "return rated_rev_s / driven_rev_s"),
        ("540 for 1000", '"2", 1000 / 60', '"2", 540 / 60'),
    ),
    *faults_of(
        "electrics",
        ("one conductor for two", "conductors: int = 2", "conductors: int = 1"),
        ("feet for metres", "1.588 / (1000 * _FOOT_M)", "1.588 / 1000"),
        ("terminators in a row", "TERMINATOR_OHM / ends if ends", "TERMINATOR_OHM * ends if ends"),
        (
            "voltage over the pin",
            "supply_v * load_ohm / (load_ohm + series_ohm)",
            "supply_v * series_ohm / (load_ohm + series_ohm)",
        ),
        ("no cap on the hold", "return min(cap_s, holds * minimum_hold_s)", "return holds * minimum_hold_s"),
        ("ohms for siemens", "1.0 / one.resistance_ohm, one.emf_v)", "one.resistance_ohm, one.emf_v)"),
        ("a node without its neighbour", "row[place[there]] -= siemens", "pass"),
        ("elimination adds", "row[index] -= share * top[index]", "row[index] += share * top[index]"),
    ),
    *faults_of(
        "accumulators",
        (
            "gauge for absolute, charge",
            "ratio = (precharge_pa + hyd.STANDARD_ATMOSPHERE_PA)",
            "ratio = (precharge_pa)",
        ),
        ("oil for gas", "volume_m3 * (1.0 - ratio)", "volume_m3 * ratio"),
        ("the orifice as a whole hole", "DISCHARGE: Final = 0.6", "DISCHARGE: Final = 1.0"),
        ("oil that adds to the gas", "(volume_m3 - max(held_m3, 0.0))", "(volume_m3 + max(held_m3, 0.0))"),
        ("one slope for the four", "2 * second + 2 * third", "second + third"),
        ("tank's pressure left out", "pressure_at(held_m3) - tank_pa)", "pressure_at(held_m3))"),
    ),
    *faults_of(
        "wiring",
        (
            "contact left out",
            '"bus_plug_{pin}", wiring.bus_contact_ohm',
            '"bus_plug_{pin}", wiring.bus_feed_ohm',
        ),
        ("lamps grounded on pin 3", "pin == electrics.SEVEN_PIN_GROUND", "pin == electrics.ISO_1724_GROUND"),
        ("load by its current squared", "_LAMP_V / current_a if", "_LAMP_V / current_a**2 if"),
        (
            "ends of one machine twice",
            '(wiring.terminators_implement, "high_far"',
            '(wiring.terminators_tractor, "high_far"',
        ),
        (
            "twice the rest voltage",
            "rest_v = electrics.RECESSIVE_V.value",
            "rest_v = 2.0 * electrics.RECESSIVE_V.value",
        ),
        ("ground on a supply pin", "2: FRAME, 7: FRAME", "3: FRAME, 7: FRAME"),
    ),
    *faults_of(
        "seeding",
        (
            "spacing upside down",
            "return 1.0 / (population_per_m2 * row_spacing_m)",
            "return population_per_m2 * row_spacing_m",
        ),
        ("a rounded acre", "4046.8564224", "4046.0"),
        ("slip as the error", "return slip / (1.0 - slip)", "return slip"),
        (
            "rate without its speed",
            "population_per_m2 * row_spacing_m * speed_m_s",
            "population_per_m2 * row_spacing_m / speed_m_s",
        ),
        (
            "a hundredth for a thousandth",
            "ACRE_M2 / 1000.0 / row_spacing_m",
            "ACRE_M2 / 100.0 / row_spacing_m",
        ),
    ),
    *faults_of(
        "hoses",
        (
            "a hose nine times as stiff",
            "_Shape(over_m, rise_m, length_m, bending_length_m)",
            "_Shape(over_m, rise_m, length_m, 9.0 * bending_length_m)",
        ),
        ("bending length squared", "bending_length_m**3", "bending_length_m**2"),
        ("bend as a slope", "(after - before) ** 2 / cell", "(after - before) ** 2 / cell**2"),
    ),
)


def broken(fault: Fault) -> ModuleType:
    """The module with the fault in it. Raises Stale."""
    module = PHYSICS[fault.module]
    assert module.__file__ is not None
    source = Path(module.__file__).read_text("utf-8")
    if source.count(fault.right) != 1 or fault.right == fault.wrong:
        raise Stale(f"{fault.module}, {fault.what}: stands {source.count(fault.right)} times in the source")
    made = ModuleType(module.__name__)
    code = compile(source.replace(fault.right, fault.wrong), f"{fault.module} with a fault", "exec")
    exec(code, made.__dict__)  # noqa: S102 (our own source, changed above)
    return made


def outcome(fault: Fault, reference: Reference) -> Outcome:
    """The table worked out with a fault in it."""
    table: Qualification = qualify(reference, {**PHYSICS, fault.module: broken(fault)})
    off = table.failed
    outside = [row for row in off if row.check.standing in OUTSIDE]
    first = (outside or off)[0].check.quantity if off else ""
    return Outcome(fault, len(off), len(outside), first)


def outcomes() -> list[Outcome]:
    """All faults, one after the other. Raises Stale."""
    reference = read_reference()
    assert qualify(reference).ok
    return [outcome(fault, reference) for fault in FAULTS]


def main() -> int:
    """Print what noticed each fault."""
    try:
        found = outcomes()
    except Stale as stale:
        sys.stderr.write(f"{stale}\n")
        return 1
    for each in found:
        seen = (
            f"{each.noticed:3} rows, {each.outside:3} from outside: {each.first}"
            if each.noticed
            else "MISSED"
        )
        sys.stdout.write(f"{each.fault.module:10}  {each.fault.what:38}  {seen}\n")
    missed = [each for each in found if not each.noticed]
    outside = [each for each in found if each.outside]
    sys.stdout.write(
        f"{len(found)} faults: {len(found) - len(missed)} caught, {len(outside)} of them by a figure from "
        f"outside, {len(missed)} missed\n"
    )
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
