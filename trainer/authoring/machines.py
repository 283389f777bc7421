"""The shapes of machine files: a tractor or an implement, read into the core's own values.

A tractor knows no mast: its linkage gets the implement's when both are compiled into a case. Each shape
function of a part returns the fields it fills, by their names in `trainer.core.case`.
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from trainer.authoring.photos import LEAST_APART, MOST_PIXELS, MOST_SIDE_PX, picture_name, scale_in_room
from trainer.authoring.quantities import quoted
from trainer.authoring.reader import Reader
from trainer.authoring.source import Place, place_at
from trainer.core import hydraulics as hyd
from trainer.core.case import (
    COUPLINGS,
    CYLINDER_KINDS,
    FUNCTION_KINDS,
    MOTOR_KINDS,
    RESTS,
    SPEED_SOURCES,
    Drawbar,
    Function,
    Hose,
    Implement,
    Joint,
    Photo,
    Plug,
    Port,
    Socket,
    Tongue,
    Tractor,
    Unit,
    Valve,
)
from trainer.core.linkage import Linkage

PORT_KINDS = ("extend", "retract", "pb_pressure", "pb_return", "pb_sense", "free_return", "case_drain", "pto")
COUPLER_SIZES = tuple(row.size for row in hyd.RATED_COUPLERS)
HOSE_ROLES = ("pressure", "return", "drain", "sense", "extend", "retract", "shaft")
PLUG_ROLES = ("bus", "lighting")
MOST_DIAL_STEPS = 10

_Fields = dict[str, Any]


@dataclass(frozen=True, slots=True)
class PaperText:
    """A paper as written: its lines still hold the gaps for figures of the machines."""

    name: str
    title: str
    lines: tuple[tuple[str, Place], ...]


@dataclass(frozen=True, slots=True)
class TractorFile:
    """A tractor with the papers that lie in it. Its linkage has a mast height of nought."""

    tractor: Tractor
    papers: tuple[PaperText, ...]


@dataclass(frozen=True, slots=True)
class ImplementFile:
    """An implement with the papers that come with it."""

    implement: Implement
    papers: tuple[PaperText, ...]


def nearest(text: str, options: Sequence[str]) -> str:
    """Return the option closest to a slip of the pen, or all of them as a list to choose from.

    >>> nearest("fan_drian", ("fan_drain", "fan_return"))
    'fan_drain'
    >>> nearest("pump", ("fan_drain", "fan_return"))
    'one of fan_drain, fan_return'
    """
    close = difflib.get_close_matches(text.strip().lower().replace(" ", "_")[:64], options, n=1)
    if close:
        return close[0]
    if not options:
        return "nothing: there is nothing of that kind here"
    shown = ", ".join(options[:12]) + (f" and {len(options) - 12} more" if len(options) > 12 else "")
    return f"one of {shown}" if len(options) > 1 else shown


def read_title(reader: Reader) -> str:
    """Read the title that every thing a trainee meets has."""
    return reader.text("title", longest=120)


def read_papers(reader: Reader) -> tuple[PaperText, ...]:
    """Read the map of papers, if there is one."""
    papers = reader.map_of("papers", _paper, default={})
    return tuple(PaperText(name, title, lines) for name, (title, lines) in papers.items())


def _paper(reader: Reader) -> tuple[str, tuple[tuple[str, Place], ...]]:
    return read_title(reader), reader.list_of("lines", _line, at_least=1, at_most=60)


def _line(reader: Reader) -> tuple[str, Place]:
    return reader.text(None, longest=400), reader.place()


def _coordinate(reader: Reader) -> float:
    return reader.quantity(None, "m", low=-5.0, high=5.0)


def _pair(reader: Reader, key: str) -> tuple[float, float]:
    x, z, *_ = (*reader.list_of(key, _coordinate, at_least=2, at_most=2), 0.0, 0.0)
    return x, z


def _triple(reader: Reader, key: str) -> tuple[float, float, float]:
    x, y, z, *_ = (*reader.list_of(key, _coordinate, at_least=3, at_most=3), 0.0, 0.0, 0.0)
    return x, y, z


# --- tractors ---------------------------------------------------------------------------------------------


def read_tractor(reader: Reader) -> TractorFile:
    """Read a tractor file."""
    fields: _Fields = {
        "name": reader.name("name"),
        "title": read_title(reader),
        "invented": reader.flag("invented"),
        "look": reader.name("look", default=""),
    }
    for key, shape in (
        ("engine", _engine),
        ("pump", _pump),
        ("oil", _oil),
        ("returns", _returns),
        ("hitch", _hitch),
        ("weight", _tractor_weight),
        ("electrics", _supply),
    ):
        fields |= reader.sub(key, shape)
    valves = tuple(Valve(name=name, **parts) for name, parts in reader.map_of("valves", _valve).items())
    names = [valve.name for valve in valves]
    shaped_ports = reader.map_of("ports", lambda item: _port(item, names))
    ports = tuple(Port(name=name, **parts) for name, parts in shaped_ports.items())
    _check_valve_ports(reader, valves, ports)
    sockets = reader.map_of("sockets", _socket)
    fields |= {
        "valves": valves,
        "ports": ports,
        "sockets": tuple(Socket(name=name, **parts) for name, parts in sockets.items()),
        "pto_rev_min": reader.quantity("pto", "rev/min", low=100.0, high=2000.0),
        "pto_speeds_rev_min": reader.list_of("pto_speeds", _stub_speed, at_least=2, at_most=4, default=()),
        "drawbar": reader.sub("drawbar", _drawbar, default=None),
        "speed_sources": reader.list_of(
            "speed_sources", lambda item: item.choice(None, SPEED_SOURCES), at_least=1
        ),
        "wheel_slip": reader.quantity("wheel_slip", "1", low=0.0, high=0.5),
    }
    fields["photo"] = _photo_of(reader, [thing.name for thing in (*ports, *fields["sockets"])])
    speeds = fields["pto_speeds_rev_min"]
    if reader.ok and speeds and speeds[0] != fields["pto_rev_min"]:
        advice = f"{fields['pto_rev_min']:g} rev/min first"
        reader.refuse("pto_speeds", "the speeds of the stub do not begin with the one under 'pto'", advice)
    if reader.ok and fields["drawbar"] is not None and not any(port.kind == "pto" for port in ports):
        message = "the drawbar's reach counts from the PTO stub, and there is no port of kind pto"
        reader.refuse("drawbar", message, "a port with kind: pto")
    return TractorFile(Tractor(**fields), read_papers(reader))


def _stub_speed(reader: Reader) -> float:
    return reader.quantity(None, "rev/min", low=100.0, high=2000.0)


def _drawbar(reader: Reader) -> Drawbar:
    reaches = reader.list_of(
        "reach", lambda item: item.quantity(None, "m", low=0.2, high=0.8), at_least=1, at_most=6
    )
    if reader.ok and list(reaches) != sorted(set(reaches)):
        reader.refuse("reach", "the settings do not rise", "[14 in, 16 in, 20 in]")
    return Drawbar(
        height_m=reader.quantity("height", "m", low=0.2, high=1.0),
        play_m=reader.quantity("play", "m", low=0.0, high=0.1),
        pin_diameter_m=reader.quantity("pin", "m", low=0.01, high=0.1),
        reaches_m=reaches,
        most_load_kg=reader.quantity("most_load", "kg", low=50.0, high=10_000.0),
        most_mass_kg=reader.quantity("most_mass", "kg", low=100.0, high=60_000.0),
    )


def _engine(reader: Reader) -> _Fields:
    idle = reader.quantity("idle", "rev/min", low=300.0, high=1500.0)
    rated = reader.quantity("rated", "rev/min", low=1000.0, high=3500.0)
    if reader.ok and rated <= idle:
        reader.refuse("rated", "the rated speed is not above idle", f"a speed above {idle:g} rev/min")
    return {
        "idle_rev_min": idle,
        "rated_rev_min": rated,
        "engine_rise_rev_min_s": reader.quantity("rise", "rev/min/s", low=10.0, high=5000.0),
    }


def _pump(reader: Reader) -> _Fields:
    cutoff = reader.quantity("cut_off", "Pa", low=10e5, high=400e5)
    standby = reader.quantity("standby", "Pa", low=0.0, high=100e5)
    if reader.ok and standby >= cutoff:
        reader.refuse("standby", "standby pressure is not below cut-off", "a pressure below cut-off")
    return {
        "pump_displacement_m3": reader.quantity("displacement", "m3/rev", low=1e-6, high=1e-3),
        "pump_ratio": reader.number("ratio", low=0.1, high=10.0),
        "pump_volumetric_efficiency": reader.number("volumetric_efficiency", low=0.1, high=1.0),
        "pump_cutoff_pa": cutoff,
        "pump_margin_pa": reader.quantity("margin", "Pa", low=0.0, high=60e5),
        "pump_standby_pa": standby,
        "compensation": reader.choice("compensation", ("before_edge", "flow_sharing", "open_centre")),
        "steering_flow_m3_s": reader.quantity("steering", "m3/s", low=0.0, high=0.002),
    }


def _oil(reader: Reader) -> _Fields:
    warm = reader.quantity("viscosity_40", "m2/s", low=1e-6, high=1e-3)
    hot = reader.quantity("viscosity_100", "m2/s", low=1e-6, high=1e-3)
    if reader.ok and hot >= warm:
        reader.refuse("viscosity_100", "oil is thinner at 100 °C than at 40 °C", "a lower viscosity")
    return {
        "oil": hyd.Oil(
            viscosity_40_m2_s=warm,
            viscosity_100_m2_s=hot,
            density_kg_m3=reader.quantity("density", "kg/m3", low=700.0, high=1200.0),
            heat_capacity_j_kg_k=reader.quantity("heat_capacity", "J/kg/K", low=1000.0, high=5000.0),
            bulk_modulus_pa=reader.quantity("bulk_modulus", "Pa", low=1e8, high=5e9),
        ),
        "oil_volume_m3": reader.quantity("volume", "m3", low=0.001, high=1.0),
        "cooler_w_k": reader.quantity("cooler", "W/K", low=0.0, high=5000.0),
    }


def _returns(reader: Reader) -> _Fields:
    return {
        "tank_pressure_pa": reader.quantity("tank", "Pa", low=0.0, high=5e5),
        "free_return_pa_at_full": reader.quantity("free_return", "Pa", low=0.0, high=20e5),
        "power_beyond_return_pa_at_full": reader.quantity("power_beyond_return", "Pa", low=0.0, high=30e5),
        "full_flow_m3_s": reader.quantity("full_flow", "m3/s", low=1e-4, high=0.01),
    }


def _dial_flow(reader: Reader) -> float:
    return reader.quantity(None, "m3/s", low=0.0, high=0.01)


def _valve(reader: Reader) -> _Fields:
    table = reader.list_of("dial", _dial_flow, at_least=2, at_most=MOST_DIAL_STEPS + 1)
    for step in range(1, len(table)):
        if reader.ok and table[step] <= table[step - 1]:
            place = place_at(reader.node, "dial", step)
            message = f"dial step {step} gives no more flow than step {step - 1}"
            reader.problems.add(place, message, "flows that rise from step to step")
    return {
        "dial_flow_m3_s": table,
        "return_loss_pa": reader.quantity("return_loss", "Pa", low=0.0, high=200e5),
    }


def _port(reader: Reader, valves: Sequence[str]) -> _Fields:
    fields: _Fields = {
        "tag": reader.text("tag", longest=12),
        "kind": reader.choice("kind", PORT_KINDS),
        "form": reader.name("form"),
        "valve": -1,
        "seat_diameter_m": 0.0,
        "rated_flow_m3_s": 0.0,
        "rated_loss_pa": 0.0,
    }
    if fields["kind"] in ("extend", "retract"):
        valve = reader.choice("valve", valves)
        fields["valve"] = valves.index(valve) if valve in valves else -1
    if fields["kind"] != "pto":
        row = hyd.rated_coupler(reader.choice("size", COUPLER_SIZES))
        fields["rated_flow_m3_s"], fields["rated_loss_pa"] = row.rated_flow_m3_s, row.rated_loss_pa
        fields["seat_diameter_m"] = reader.quantity("seat", "m", low=0.001, high=0.1)
    fields["at_m"] = _triple(reader, "at")
    return fields


def _check_valve_ports(reader: Reader, valves: Sequence[Valve], ports: Sequence[Port]) -> None:
    """Each section has one port to extend and one to retract."""
    if not reader.ok:
        return
    for index, valve in enumerate(valves):
        for kind in ("extend", "retract"):
            count = len([port for port in ports if port.valve == index and port.kind == kind])
            if count != 1:
                place = place_at(reader.node, "valves", valve.name)
                message = f"valve {valve.name} has {count} ports to {kind}"
                reader.problems.add(place, message, f"one port of kind {kind} for it")


def _socket(reader: Reader) -> _Fields:
    return {"tag": reader.text("tag", longest=12), "form": reader.name("form")}


def _photo_of(reader: Reader, names: Sequence[str]) -> Photo | None:
    """The photo of the rear panel; where the parts it shows are in order, it has a place for each."""
    known = tuple(names) if reader.ok else ()
    return reader.sub("photo", lambda item: _photo(item, known), default=None)


def _photo(reader: Reader, names: Sequence[str]) -> Photo:
    picture = reader.parsed(
        "picture", picture_name, stand_in="", advice="the path of a picture, such as photos/rear.jpg"
    )
    wide, tall, *_ = (*reader.list_of("size", _side, at_least=2, at_most=2), 1, 1)
    if reader.ok and wide * tall > MOST_PIXELS:
        advice = f"a picture of at most {MOST_PIXELS // 1_000_000} million pixels"
        reader.refuse("size", f"{wide} by {tall} pixels are too many", advice)
    places = reader.map_of("places", _pixel)
    found = tuple((name, *at) for name, at in places.items())
    if reader.ok and names:
        _check_places(reader, found, (wide, tall), names)
    return Photo(picture, wide, tall, found)


def _side(reader: Reader) -> int:
    return reader.whole(None, low=100, high=MOST_SIDE_PX)


def _pixel(reader: Reader) -> tuple[float, float]:
    right, down, *_ = (*reader.list_of(None, _pixels, at_least=2, at_most=2), 0.0, 0.0)
    return right, down


def _pixels(reader: Reader) -> float:
    return reader.number(None, low=-MOST_SIDE_PX, high=2 * MOST_SIDE_PX)


def _check_places(
    reader: Reader, found: Sequence[tuple[str, float, float]], size: tuple[int, int], names: Sequence[str]
) -> None:
    """Each port and socket stands once in the picture, where a hand can tell it from its neighbours."""
    for name, right, down in found:
        place = place_at(reader.node, "places", name)
        if name not in names:
            message = f"there is no port or socket called {quoted(name)}"
            reader.problems.add(place, message, nearest(name, names))
        elif not (0 <= right <= size[0] and 0 <= down <= size[1]):
            message = f"{name} lies outside the picture"
            reader.problems.add(place, message, f"a place from [0, 0] to [{size[0]}, {size[1]}]")
    missing = [name for name in names if name not in [each[0] for each in found]]
    if missing:
        message = (
            f"the photo does not say where {', '.join(missing[:4])} {'is' if len(missing) == 1 else 'are'}"
        )
        reader.refuse("places", message, f"{missing[0]}: [pixels to the right, pixels down]")
    if not reader.ok:
        return
    least = LEAST_APART / scale_in_room(*size)
    for index, (name, right, down) in enumerate(found):
        for other, x, y in found[:index]:
            if math.dist((right, down), (x, y)) < least:
                message = f"{name} and {other} lie too close together in this picture to tell them apart"
                advice = f"places at least {math.ceil(least)} pixels apart: a picture taken from nearer"
                reader.problems.add(place_at(reader.node, "places", name), message, advice)


def _hitch(reader: Reader) -> _Fields:
    link = reader.quantity("lower_link", "m", low=0.3, high=2.0)
    linkage = Linkage(_pair(reader, "lower_pivot"), _pair(reader, "top_pivot"), link, mast_height_m=0.0)
    low, high = reader.quantity_range("height", "m", low=0.05, high=2.0)
    pivot = linkage.lower_pivot_m[1]
    if reader.ok and max(abs(low - pivot), abs(high - pivot)) >= link:
        advice = f"heights within {link:g} m of the lower pivot"
        reader.refuse("height", "the lower links cannot reach these heights", advice)
    short, long = reader.quantity_range("top_link", "m", low=0.2, high=2.0)
    return {
        "linkage": linkage,
        "hitch_low_m": low,
        "hitch_high_m": high,
        "hitch_speed_m_s": reader.quantity("speed", "m/s", low=0.01, high=1.0),
        "top_link_short_m": short,
        "top_link_long_m": long,
        "hook_diameter_m": reader.quantity("hook", "m", low=0.01, high=0.1),
        "coupler_offset_m": reader.quantity("coupler_offset", "m", low=0.0, high=0.5),
        "coupler_mass_kg": reader.quantity("coupler_mass", "kg", low=0.0, high=1000.0),
        "sway_free_m": reader.quantity("sway", "m", low=0.0, high=0.2),
        "drawbar_clear_m": reader.quantity("drawbar", "m", low=0.0, high=1.0),
    }


def _tractor_weight(reader: Reader) -> _Fields:
    mass = reader.quantity("mass", "kg", low=500.0, high=50_000.0)
    front = reader.quantity("front", "kg", low=100.0, high=50_000.0)
    if reader.ok and front >= mass:
        message = "the front axle carries no less than the whole tractor"
        reader.refuse("front", message, "a part of the tractor's mass")
    steps = reader.list_of("ballast_steps", read_whole_kg, at_least=1, at_most=20)
    if reader.ok and (steps[0] != 0 or list(steps) != sorted(set(steps))):
        reader.refuse("ballast_steps", "ballast steps start at 0 kg and rise", "[0 kg, 300 kg, 600 kg]")
    return {
        "mass_kg": mass,
        "front_load_kg": front,
        "wheelbase_m": reader.quantity("wheelbase", "m", low=1.0, high=6.0),
        "ballast_arm_m": reader.quantity("ballast_arm", "m", low=0.0, high=3.0),
        "ballast_steps_kg": steps,
    }


def read_whole_kg(reader: Reader, key: str | None = None) -> int:
    """Read a mass that is a whole number of kilograms."""
    mass = reader.quantity(key, "kg", low=0.0, high=5000.0)
    if mass != int(mass):
        reader.refuse(key, f"{mass:g} kg is not a whole number of kilograms", f"{round(mass)} kg")
    return int(mass)


def _supply(reader: Reader) -> _Fields:
    return {
        "supply_volt": reader.quantity("supply", "V", low=6.0, high=48.0),
        "supply_hold_s": reader.quantity("hold", "s", low=0.0, high=60.0),
        "supply_cap_s": reader.quantity("cap", "s", low=0.0, high=3600.0),
    }


# --- implements -------------------------------------------------------------------------------------------


def read_implement(reader: Reader) -> ImplementFile:
    """Read an implement file."""
    fields: _Fields = {
        "name": reader.name("name"),
        "title": read_title(reader),
        "invented": reader.flag("invented"),
        "look": reader.name("look", default=""),
        "coupling": reader.choice("coupling", COUPLINGS, default="three_point"),
    }
    if fields["coupling"] == "drawbar":
        fields |= reader.sub("weight", _drawn_weight)
        fields |= _of_tongue(reader.sub("tongue", _tongue), fields["mass_kg"])
        joints = reader.map_of("joints", read_title, default={})
        fields["joints"] = tuple(Joint(name, title) for name, title in joints.items())
    else:
        for key, shape in (
            ("hitch", _implement_hitch),
            ("weight", _implement_weight),
            ("frame", _frame),
        ):
            fields |= reader.sub(key, shape)
    fields |= reader.sub("electrics", _implement_electrics)
    fields |= reader.sub("planting", _planting, default={"row_width_m": 0.0, "population_per_m2": 0.0})
    functions = tuple(
        Function(name=name, **parts) for name, parts in reader.map_of("functions", _function).items()
    )
    names = [function.name for function in functions]
    shaped_hoses = reader.map_of("hoses", lambda item: _hose(item, names))
    hoses = tuple(Hose(name=name, **parts) for name, parts in shaped_hoses.items())
    _check_hoses(reader, functions, hoses)
    plugs = tuple(
        Plug(name=name, **parts) for name, parts in reader.map_of("plugs", _plug, default={}).items()
    )
    if reader.ok:
        roles = [plug.role for plug in plugs]
        for function in functions:
            if function.power_from and function.power_from not in roles:
                place = place_at(reader.node, "functions", function.name, "power_from")
                message = f"no plug has the role {function.power_from}"
                reader.problems.add(place, message, f"a plug with role: {function.power_from}")
        for plug in plugs:
            if roles.count(plug.role) > 1:
                place = place_at(reader.node, "plugs", plug.name, "role")
                reader.problems.add(place, f"two plugs have the role {plug.role}", "one plug for each role")
        if fields["units"] and "bus" not in roles:
            place = place_at(reader.node, "electrics", "units")
            message = "units stand on a bus, and no plug has the role bus"
            reader.problems.add(place, message, "a plug with role: bus, or no units")
    fields |= {"functions": functions, "hoses": hoses, "plugs": plugs}
    return ImplementFile(Implement(**fields), read_papers(reader))


def _implement_hitch(reader: Reader) -> _Fields:
    return {
        "pin_diameter_m": reader.quantity("pin", "m", low=0.01, high=0.1),
        "mast_height_m": reader.quantity("mast", "m", low=0.1, high=1.5),
        "uses_top_hook": reader.flag("top_hook"),
    }


def _drawn_weight(reader: Reader) -> _Fields:
    return {"mass_kg": reader.quantity("mass", "kg", low=50.0, high=60_000.0)}


def _tongue(reader: Reader) -> Tongue:
    low, high = reader.quantity_range("jack", "m", low=0.05, high=1.5)
    parked = reader.quantity("parked", "m", low=0.05, high=1.5)
    if reader.ok and not low <= parked <= high:
        advice = f"a height from {low * 1000:g} mm to {high * 1000:g} mm"
        reader.refuse("parked", "the jack does not hold the eye at this height", advice)
    return Tongue(
        eye_diameter_m=reader.quantity("eye", "m", low=0.01, high=0.1),
        eye_height_m=reader.quantity("height", "m", low=0.2, high=1.0),
        length_m=reader.quantity("length", "m", low=0.5, high=15.0),
        load_kg=reader.quantity("load", "kg", low=0.0, high=10_000.0),
        parked_m=parked,
        jack_low_m=low,
        jack_high_m=high,
        chain_rating_kg=reader.quantity("chain", "kg", low=0.0, high=60_000.0),
        level_limit_rad=reader.quantity("level_limit", "rad", low=0.0, high=0.2),
        turn_rad=reader.quantity("turn", "rad", low=0.1, high=1.58, default=1.0472),
        wheel_roll_resistance=reader.quantity("roll", "1", low=0.0, high=0.2, default=0.02),
    )


def _of_tongue(tongue: Tongue, mass_kg: float) -> _Fields:
    """The fields of a drawn implement: those of the three-point hitch stay at nought."""
    return {
        "tongue": tongue,
        "pin_diameter_m": tongue.eye_diameter_m,
        "mast_height_m": 0.61,
        "uses_top_hook": False,
        "carried_share": min(1.0, tongue.load_kg / mass_kg) if mass_kg else 0.0,
        "behind_balls_m": 0.0,
        "underside_behind_m": 0.0,
        "underside_above_m": 0.0,
        "parked_ball_m": tongue.parked_m,
        "lifted_clear_m": 0.0,
        "work_ball_m": tongue.eye_height_m,
        "underside_low_m": 0.0,
        "underside_high_m": 0.0,
        "plumb_limit_rad": tongue.level_limit_rad,
        "sway_target_m": 0.0,
        "sway_limit_m": 0.0,
    }


def _implement_weight(reader: Reader) -> _Fields:
    return {
        "mass_kg": reader.quantity("mass", "kg", low=50.0, high=30_000.0),
        "carried_share": reader.quantity("carried", "1", low=0.0, high=1.0),
        "behind_balls_m": reader.quantity("behind", "m", low=0.0, high=5.0),
    }


def _frame(reader: Reader) -> _Fields:
    behind, above = _pair(reader, "underside")
    low, high = reader.quantity_range("underside_height", "m", low=0.0, high=2.0)
    return {
        "underside_behind_m": behind,
        "underside_above_m": above,
        "parked_ball_m": reader.quantity("parked", "m", low=0.1, high=2.0),
        "lifted_clear_m": reader.quantity("lifted_clear", "m", low=0.0, high=0.5),
        "work_ball_m": reader.quantity("work", "m", low=0.1, high=2.0),
        "rests_ball_m": reader.quantity("rests", "m", low=0.05, high=2.0, default=0.0),
        "underside_low_m": low,
        "underside_high_m": high,
        "plumb_limit_rad": reader.quantity("plumb_limit", "rad", low=0.0, high=0.2),
        "sway_target_m": reader.quantity("sway", "m", low=0.0, high=0.2),
        "sway_limit_m": reader.quantity("sway_limit", "m", low=0.0, high=0.2),
    }


def _function(reader: Reader) -> _Fields:
    kind = reader.choice("kind", FUNCTION_KINDS)
    fields: _Fields = {"title": read_title(reader), "kind": kind, "needs_m3_s": 0.0}
    if kind in (*MOTOR_KINDS, *CYLINDER_KINDS):
        fields["needs_m3_s"] = reader.quantity("needs", "m3/s", low=1e-6, high=0.01)
    if kind in MOTOR_KINDS:
        return fields | _motor(reader, kind)
    return fields | (_cylinders(reader, kind) if kind in CYLINDER_KINDS else _driven(reader))


def _driven(reader: Reader) -> _Fields:
    """What the shaft alone turns. Its drag is constant, so it runs down in inertia x speed / drag."""
    return _speeds(reader) | {
        "pto_rev_min": reader.quantity("pto", "rev/min", low=100.0, high=2000.0),
        "rated_torque_n_m": reader.quantity("drag", "N m", low=0.1, high=10_000.0),
        "inertia_kg_m2": reader.quantity("inertia", "kg m2", low=1e-5, high=1000.0),
        "exposed": reader.flag("exposed", default=True),
    }


def _speeds(reader: Reader) -> _Fields:
    low, high = reader.quantity_range("band", "rev/min", low=1.0, high=20_000.0)
    overspeed = reader.quantity("overspeed", "rev/min", low=1.0, high=30_000.0)
    if reader.ok and overspeed < high:
        reader.refuse("overspeed", "overspeed lies inside the band", f"a speed above {high:g} rev/min")
    return {
        "rated_rev_min": reader.quantity("rated", "rev/min", low=1.0, high=20_000.0),
        "low_rev_min": low,
        "high_rev_min": high,
        "overspeed_rev_min": overspeed,
    }


def _motor(reader: Reader, kind: str) -> _Fields:
    fields: _Fields = _speeds(reader) | {
        "displacement_m3": reader.quantity("displacement", "m3/rev", low=1e-7, high=1e-3),
        "volumetric_efficiency": reader.number("volumetric_efficiency", low=0.1, high=1.0),
        "mechanical_efficiency": reader.number("mechanical_efficiency", low=0.1, high=1.0),
        "rated_torque_n_m": reader.quantity("torque", "N m", low=0.1, high=10_000.0),
        "inertia_kg_m2": reader.quantity("inertia", "kg m2", low=1e-5, high=100.0),
        "return_limit_pa": reader.quantity("return_limit", "Pa", low=0.0, high=400e5),
        "one_way_return": reader.flag("one_way_return", default=False),
        "pto_rev_min": reader.quantity("pto", "rev/min", low=0.0, high=2000.0, default=0.0),
        "hose_volume_m3": reader.quantity("hose_volume", "m3", low=1e-5, high=0.1, default=1e-3),
        "hose_bulk_modulus_pa": reader.quantity("hose_bulk_modulus", "Pa", low=1e7, high=5e9, default=7e8),
        "exposed": reader.flag("exposed", default=kind == "fan"),
        "power_from": reader.choice("power_from", PLUG_ROLES, default=""),
    }
    if kind == "fan" or reader.has("case_limit"):
        fields |= _motor_case(reader)
    return fields


def _motor_case(reader: Reader) -> _Fields:
    good = reader.quantity("case_good", "Pa", low=0.0, high=100e5)
    limit = reader.quantity("case_limit", "Pa", low=0.0, high=100e5)
    burst = reader.quantity("case_burst", "Pa", low=0.0, high=400e5)
    if reader.ok and not good < limit < burst:
        message = "case pressures do not rise from good over limit to burst"
        reader.refuse("case_limit", message, "such as 2 bar, 5 bar and 20 bar")
    return {
        "case_share": reader.quantity("case_share", "1", low=0.0, high=1.0),
        "case_good_pa": good,
        "case_limit_pa": limit,
        "case_burst_pa": burst,
    }


def _cylinders(reader: Reader, kind: str) -> _Fields:
    """Areas and loads are those of all cylinders of the function together."""
    held: _Fields = {}
    if kind in ("fold", "cylinder"):
        held = {
            "held_kg": reader.quantity("mass", "kg", low=0.0, high=20_000.0, default=0.0),
            "lockable": reader.flag("lock", default=False),
            "rest": reader.choice("rest", RESTS, default="in"),
        }
    charged: _Fields = reader.sub("accumulator", _accumulator, default={})
    count = reader.whole("count", low=1, high=20, default=1)
    bore = reader.quantity("bore", "m", low=0.005, high=0.5)
    rod = reader.quantity("rod", "m", low=0.001, high=0.4)
    if reader.ok and rod >= bore:
        reader.refuse("rod", "the rod is not thinner than the bore", f"a rod below {bore * 1000:g} mm")
    return (
        held
        | charged
        | {
            "bore_area_m2": count * hyd.piston_area_m2(bore),
            "rod_side_area_m2": count * hyd.annulus_area_m2(bore, rod) if rod < bore else 0.0,
            "stroke_m": reader.quantity("stroke", "m", low=0.01, high=5.0),
            "count": count,
            "load_n": reader.quantity("load", "N", low=0.0, high=1e6),
            "back_load_n": reader.quantity("back_load", "N", low=0.0, high=1e6),
            "longest_s": reader.quantity("longest", "s", low=0.1, high=300.0),
            "power_from": reader.choice("power_from", PLUG_ROLES, default=""),
        }
    )


def _accumulator(reader: Reader) -> _Fields:
    """What keeps a line charged after key off: gas volume, precharge above ambient, the orifice before it.

    A machine whose line has one needs it said here and, in the papers of its jobs, how the line is bled.
    """
    return {
        "accumulator_volume_m3": reader.quantity("volume", "m3", low=1e-5, high=0.1),
        "accumulator_precharge_pa": reader.quantity("precharge", "Pa", low=1e5, high=300e5),
        "accumulator_orifice_m2": hyd.piston_area_m2(reader.quantity("orifice", "m", low=1e-4, high=0.02)),
    }


def _hose(reader: Reader, functions: Sequence[str]) -> _Fields:
    function, length = (
        reader.choice("function", functions),
        reader.quantity("length", "m", low=0.1, high=20.0),
    )
    fields: _Fields = {
        "tag": reader.text("tag", longest=12),
        "function": functions.index(function) if function in functions else 0,
        "role": reader.choice("role", HOSE_ROLES),
        "form": reader.name("form"),
        "length_m": length,
        "line": hyd.Line(length, 0.0),
        "least_bend_m": 0.0,
        "work_pressure_pa": 0.0,
        "root_m": _triple(reader, "root"),
    }
    if fields["role"] != "shaft":
        bore = reader.quantity("bore", "m", low=0.001, high=0.1)
        run = reader.quantity("line", "m", low=0.1, high=50.0)
        if reader.ok and run < length:
            message = "the whole run of oil is shorter than the free end"
            reader.refuse("line", message, f"a length of at least {length:g} m")
        fields["line"] = hyd.Line(run, bore)
        fields["least_bend_m"] = reader.quantity("bend", "m", low=0.0, high=1.0)
        fields["work_pressure_pa"] = reader.quantity("rated", "Pa", low=1e5, high=700e5)
    elif reader.has("closed"):
        closed = reader.quantity("closed", "m", low=0.2, high=5.0)
        overlap = reader.quantity("overlap", "m", low=0.05, high=4.0)
        if reader.ok and overlap >= closed:
            reader.refuse("overlap", "the tubes overlap by more than the shaft is long", "a shorter overlap")
        fields["closed_m"], fields["closed_overlap_m"] = closed, overlap
        fields["most_angle_rad"] = reader.quantity("angle", "rad", low=0.05, high=1.57, default=0.0)
    return fields


def _check_hoses(reader: Reader, functions: Sequence[Function], hoses: Sequence[Hose]) -> None:
    """A motor has pressure and return, a cylinder extend and retract, what the shaft turns a shaft, and none
    anything twice."""
    if not reader.ok:
        return
    for index, function in enumerate(functions):
        own = [hose for hose in hoses if hose.function == index]
        roles = [hose.role for hose in own]
        wanted: tuple[str, ...] = ("pressure", "return") if function.is_motor else ("extend", "retract")
        if function.kind == "driven":
            wanted = ("shaft",)
        fitting = (*wanted, "drain", "sense", "shaft") if function.is_motor else wanted
        if function.case_limit_pa:
            wanted = (*wanted, "drain")
        place = place_at(reader.node, "functions", function.name)
        for role in wanted:
            if role not in roles:
                reader.problems.add(place, f"{function.name} has no {role} hose", f"a hose with role: {role}")
        for hose in own:
            at = place_at(reader.node, "hoses", hose.name, "role")
            if hose.role not in fitting:
                what = "driven function" if function.kind == "driven" else function.kind
                message = f"a {what} has no {hose.role} hose"
                reader.problems.add(at, message, nearest(hose.role, fitting))
            elif roles.count(hose.role) > 1:
                message = f"{function.name} has {roles.count(hose.role)} hoses with the role {hose.role}"
                reader.problems.add(at, message, "one hose for each role")


def _plug(reader: Reader) -> _Fields:
    return {
        "tag": reader.text("tag", longest=12),
        "form": reader.name("form"),
        "role": reader.choice("role", PLUG_ROLES),
    }


def _implement_electrics(reader: Reader) -> _Fields:
    return {
        "save_time_s": reader.quantity("save", "s", low=0.0, high=600.0, default=0.0),
        "boot_s": reader.quantity("boot", "s", low=0.0, high=120.0, default=0.0),
        "bus_current_a": reader.quantity("bus_current", "A", low=0.0, high=200.0, default=0.0),
        "lighting_current_a": reader.quantity("lighting_current", "A", low=0.0, high=100.0, default=0.0),
        "units": _units(reader),
    }


def _units(reader: Reader) -> tuple[Unit, ...]:
    """The units of its bus, from the tractor on; one alone has its terminator built in."""
    units = tuple(Unit(name, title) for name, title in reader.map_of("units", read_title, default={}).items())
    if reader.ok and len(units) == 1:
        reader.refuse("units", "one unit alone ends its bus itself", "two units or more, or no units")
    if reader.ok and any(unit.name == "off" for unit in units):
        reader.refuse("units", "off is where no unit holds the terminator", "another name")
    return units


def _planting(reader: Reader) -> _Fields:
    return {
        "row_width_m": reader.quantity("row", "m", low=0.1, high=2.0),
        "population_per_m2": reader.quantity("population", "1/m2", low=0.1, high=1000.0),
    }
