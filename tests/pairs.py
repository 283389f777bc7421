"""Machines of these tests' own, as files beside the shipped ones: a tractor with a drawbar and a stub of two
speeds, a drawn planter (a joint behind, wings with locks) and a baler on the shaft. All figures invented."""

from __future__ import annotations

from functools import cache

from trainer.authoring.compile import Job, compile_texts, load_job

TRACTOR = "machines/tractors/rowcrop_mid.yaml"
PLANTER = "machines/implements/planter_drawn.yaml"
BALER = "machines/implements/baler_round.yaml"

_DRAWBAR = """\
pto: 1000 rev/min
pto_speeds: [1000 rev/min, 540 rev/min]
drawbar:
  height: 480 mm
  play: 20 mm
  pin: 31 mm
  reach: [14 in, 16 in, 20 in]
  most_load: 1500 kg
  most_mass: 12000 kg
"""

DRAWN_PLANTER = """\
name: planter_drawn
title: Drawn planter with a cart behind (invented)
invented: yes
coupling: drawbar
weight: {mass: 6200 kg}
tongue:
  eye: 32 mm
  height: 480 mm
  length: 4 m
  load: 900 kg
  parked: 560 mm
  jack: 300-700 mm
  chain: 12000 kg
  level_limit: 1 deg
joints:
  cart: {title: Tool to cart}
electrics: {save: 95 s, boot: 8 s, bus_current: 32 A, lighting_current: 9 A}
planting: {row: 30 in, population: 34000 1/ac}
functions:
  fan:
    title: Fan
    kind: fan
    needs: 40 L/min
    displacement: 10 cm3/rev
    volumetric_efficiency: 0.93
    mechanical_efficiency: 0.90
    torque: 12 N m
    rated: 3720 rev/min
    band: 3500-4050 rev/min
    overspeed: 4650 rev/min
    inertia: 0.02 kg m2
    case_share: 50 %
    case_good: 2 bar
    case_limit: 5 bar
    case_burst: 20 bar
    return_limit: 5 bar
    one_way_return: yes
    hose_volume: 1 L
    hose_bulk_modulus: 700 MPa
  wings:
    title: Wings
    kind: fold
    needs: 20 L/min
    count: 2
    bore: 63 mm
    rod: 32 mm
    stroke: 600 mm
    load: 15 kN
    back_load: 8 kN
    longest: 20 s
    mass: 800 kg
    lock: yes
  frame_lift:
    title: Frame lift
    kind: lift
    needs: 40 L/min
    count: 2
    bore: 80 mm
    rod: 40 mm
    stroke: 400 mm
    load: 55 kN
    back_load: 0 kN
    longest: 8 s
hoses:
  fan_pressure: {tag: F-P, function: fan, role: pressure, form: poppet, bore: 12.7 mm, length: 2.0 m,
                 line: 2.9 m, bend: 125 mm, rated: 250 bar, root: [0.02 m, 0.6 m, 0.55 m]}
  fan_return: {tag: F-R, function: fan, role: return, form: poppet, bore: 19 mm, length: 2.0 m,
               line: 2.9 m, bend: 190 mm, rated: 100 bar, root: [-0.02 m, 0.6 m, 0.55 m]}
  fan_drain: {tag: F-D, function: fan, role: drain, form: flush, bore: 9.5 mm, length: 2.0 m,
              line: 2.9 m, bend: 100 mm, rated: 100 bar, root: [-0.06 m, 0.6 m, 0.55 m]}
  wing_out: {tag: W-E, function: wings, role: extend, form: poppet, bore: 12.7 mm, length: 2.0 m,
             line: 2.7 m, bend: 125 mm, rated: 250 bar, root: [0.2 m, 0.6 m, 0.55 m]}
  wing_in: {tag: W-R, function: wings, role: retract, form: poppet, bore: 12.7 mm, length: 2.0 m,
            line: 2.7 m, bend: 125 mm, rated: 250 bar, root: [0.24 m, 0.6 m, 0.55 m]}
  lift_up: {tag: L-E, function: frame_lift, role: extend, form: poppet, bore: 12.7 mm, length: 2.0 m,
            line: 2.7 m, bend: 125 mm, rated: 250 bar, root: [0.3 m, 0.6 m, 0.55 m]}
  lift_down: {tag: L-R, function: frame_lift, role: retract, form: poppet, bore: 12.7 mm, length: 2.0 m,
              line: 2.7 m, bend: 125 mm, rated: 250 bar, root: [0.34 m, 0.6 m, 0.55 m]}
plugs:
  bus: {tag: BUS, form: nine_pin, role: bus}
  lighting: {tag: LAMPS, form: seven_pin, role: lighting}
"""

BALER_ROUND = """\
name: baler_round
title: Round baler (invented)
invented: yes
coupling: drawbar
weight: {mass: 2600 kg}
tongue:
  eye: 32 mm
  height: 480 mm
  length: 3 m
  load: 450 kg
  parked: 480 mm
  jack: 300-700 mm
  chain: 6000 kg
  level_limit: 1.5 deg
  turn: 40 deg
electrics: {lighting_current: 6 A}
functions:
  pickup:
    title: Bale chamber
    kind: driven
    pto: 540 rev/min
    drag: 60 N m
    rated: 540 rev/min
    band: 430-560 rev/min
    overspeed: 650 rev/min
    inertia: 8 kg m2
  gate:
    title: Tailgate
    kind: cylinder
    needs: 20 L/min
    count: 2
    bore: 50 mm
    rod: 28 mm
    stroke: 500 mm
    load: 12 kN
    back_load: 0 kN
    longest: 10 s
    mass: 300 kg
    lock: yes
hoses:
  gate_open: {tag: G-E, function: gate, role: extend, form: poppet, bore: 9.5 mm, length: 2.0 m,
              line: 3.0 m, bend: 100 mm, rated: 250 bar, root: [0.2 m, 0.6 m, 0.55 m]}
  gate_shut: {tag: G-R, function: gate, role: retract, form: poppet, bore: 9.5 mm, length: 2.0 m,
              line: 3.0 m, bend: 100 mm, rated: 250 bar, root: [0.24 m, 0.6 m, 0.55 m]}
  drive_shaft: {tag: S-X, function: pickup, role: shaft, form: pto, length: 1.2 m, root: [0 m, 0.5 m, 0.2 m]}
plugs:
  lighting: {tag: LAMPS, form: seven_pin, role: lighting}
"""

_START = {
    "couple": """\
start:
  {station: yard, site: pad, distance: 3 m, key: out, engine: stopped, brake: set, drawbar: stowed,
   stands: down, chocks: no, ballast: 0 kg, oil: 40 °C, air: 20 °C, couplers: dirty, pin: out, chain: off,
   pressures: {v1_extend: 100 bar}@}
""",
    "uncouple": """\
start:
  {station: seat, site: apron, distance: 0 m, key: on, engine: 1200 rev/min, brake: set, drawbar: extended,
   stands: up, chocks: no, ballast: 600 kg, oil: 55 °C, air: 20 °C, couplers: clean,
   pin: seen, chain: hooked@}
""",
}
_REST = {
    (PLANTER, "couple"): ", locks: [wings], speed_source: wheel",
    (PLANTER, "uncouple"): (
        ", joints: [cart], speed_source: wheel, fan: 3720 rev/min,"
        " cylinders: {wings: 100 %, frame_lift: 100 %},"
        " levers: {v1: {to: extend, dial: 6}}, pressures: {v2_extend: 60 bar, v3_extend: 55 bar},"
        " plugs: {bus: implement_bus, lighting: lighting},"
        " lines: {fan_pressure: v1_extend, fan_return: free_return, fan_drain: case_drain,"
        " wing_out: v2_extend, wing_in: v2_retract, lift_up: v3_extend, lift_down: v3_retract}"
    ),
    (BALER, "couple"): ", shaft_guard: no, locks: [gate]",
    (BALER, "uncouple"): (
        ", turning: {pickup: 400 rev/min}, pto_speed: 540 rev/min, plugs: {lighting: lighting},"
        " lines: {gate_open: v1_extend, gate_shut: v1_retract, drive_shaft: pto_stub}"
    ),
}


def job_text(implement: str, goal: str) -> str:
    """A job with nothing in it that could be derived."""
    source = "speed_source: ground_radar\n" if implement == PLANTER else ""
    return f"""\
title: A job of the tests
goal: {goal}
tractor: {TRACTOR}
implement: {implement}
text: [Do it.]
{source}engine_work: 2200 rev/min
par: 60 min
time_limit: 120 min
sites: {{pad: {{title: Pad, slope: 0.5 %}}, apron: {{title: Apron, slope: 4 %}}}}
papers: {{hitch_card: {{title: Hitch card, lines: [Drawbar and eye]}}}}
""" + _START[goal].replace("@", _REST[implement, goal])


@cache
def machines() -> dict[str, str]:
    files = dict(load_job("first-week/couple").files)
    text = files[TRACTOR]
    if "\ndrawbar:" not in text:
        text = text.replace("pto: 1000 rev/min", _DRAWBAR + "#", 1)
    return {
        "rules.yaml": files["rules.yaml"],
        "steps.yaml": files["steps.yaml"],
        TRACTOR: text,
        PLANTER: DRAWN_PLANTER,
        BALER: BALER_ROUND,
    }


def drawn_job(implement: str, goal: str) -> Job:
    """A job on a drawn machine of these tests."""
    return compile_texts("tests/drawn", {**machines(), "jobs/tests/drawn.yaml": job_text(implement, goal)})
