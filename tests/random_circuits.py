"""Circuits to try the solver on: the demonstration's machines with other figures, hosed up right or wrong."""

import random
from dataclasses import replace

from trainer.authoring.compile import load_job
from trainer.core.case import Case
from trainer.core.circuits import Plumbing

BASE = load_job("first-week/couple").case


def some_circuit(seed: int) -> tuple[Case, Plumbing]:
    """A machine with other loads, hoses and pump, hosed up right or wrong, at some moment."""
    lots = random.Random(seed)  # noqa: S311 (the same circuits on every machine)
    tractor, implement = BASE.tractor, BASE.implement
    tractor = replace(
        tractor,
        compensation=lots.choice(("before_edge", "flow_sharing")),
        pump_displacement_m3=lots.uniform(30e-6, 80e-6),
        pump_cutoff_pa=lots.uniform(110e5, 215e5),
        pump_margin_pa=lots.uniform(12e5, 28e5),
    )
    functions = tuple(
        replace(
            function,
            rated_torque_n_m=function.rated_torque_n_m * lots.uniform(0.3, 2.5),
            load_n=function.load_n * lots.uniform(0.1, 3.5),
            back_load_n=function.back_load_n * lots.uniform(0.1, 3.5),
            needs_m3_s=function.needs_m3_s * lots.uniform(0.5, 2.0),
            case_share=lots.uniform(0.0, 1.0) if function.is_motor else 0.0,
        )
        for function in implement.functions
    )
    hoses = tuple(
        replace(
            hose,
            line=replace(
                hose.line,
                length_m=hose.line.length_m * lots.uniform(0.5, 4.0),
                bore_m=hose.line.bore_m * lots.uniform(0.6, 1.2),
            ),
        )
        for hose in implement.hoses
    )
    # A name of its own: what the solver remembers of a case it finds by its name.
    implement = replace(implement, functions=functions, hoses=hoses)
    case = replace(BASE, job=f"drawn/{seed}", tractor=tractor, implement=implement)
    count = len(tractor.valves)
    return case, Plumbing(
        engine_rev_min=0.0 if lots.random() < 0.03 else lots.uniform(700.0, 2400.0),
        oil_c=lots.uniform(-10.0, 85.0),
        hose_at=hosed_up(case, lots),
        levers=tuple(lots.choices(("extend", "retract", "block", "float"), (6, 2, 1, 1), k=count)),
        dials=tuple(10.0 if lots.random() < 0.1 else lots.uniform(0.0, 10.0) for _ in range(count)),
        valves_live=lots.random() < 0.97,
        controls_live=lots.random() < 0.9,
        speeds_rad_s=tuple(lots.choice((0.0, 300.0)) for _ in functions),
        strokes=tuple(lots.choice((0.0, 0.5, 0.5, 0.5, 1.0)) for _ in functions),
        locked=lots.random() < 0.1,
    )


def hosed_up(case: Case, lots: random.Random) -> tuple[int, ...]:
    """Ports of the hoses: each function on some section or on power beyond, now and then muddled."""
    ports = {port.name: place for place, port in enumerate(case.tractor.ports)}
    at = [-1] * len(case.implement.hoses)
    sections = lots.sample(range(1, 6), 4)
    free = ["free_return", "pb_return"]
    lots.shuffle(free)
    for index, function in enumerate(case.implement.functions):
        own = {hose.role: place for place, hose in enumerate(case.implement.hoses) if hose.function == index}
        section = f"v{sections[index]}"
        if function.is_motor:
            beyond = "sense" in own and lots.random() < 0.7
            at[own["pressure"]] = ports["pb_pressure" if beyond else f"{section}_extend"]
            at[own["return"]] = ports[free.pop() if lots.random() < 0.8 else f"{section}_retract"]
            if "drain" in own:
                at[own["drain"]] = ports["case_drain"]
            if "sense" in own and lots.random() < 0.9:
                at[own["sense"]] = ports["pb_sense"]
        else:
            at[own["extend"]], at[own["retract"]] = ports[f"{section}_extend"], ports[f"{section}_retract"]
    if lots.random() < 0.4:
        muddled = [place for place, hose in enumerate(case.implement.hoses) if hose.role != "shaft"]
        for _ in range(lots.randint(1, 3)):
            one, other = lots.sample(muddled, 2)
            at[one], at[other] = at[other], at[one]
        if lots.random() < 0.5:
            at[lots.choice(muddled)] = -1
    return tuple(at)
