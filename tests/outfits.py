"""Pairs of machines for tests of the window: any look, mounted or drawn, without a file of its own."""

from __future__ import annotations

from dataclasses import replace

from trainer.core.case import Case, Drawbar, Function, Hose, Joint, Tongue, Unit
from trainer.scene.art import Art

DRAWBAR = Drawbar(0.48, 0.03, 0.0318, (0.3556, 0.4064, 0.508), 2000.0, 14_000.0)
TONGUE = Tongue(0.0334, 0.48, 4.0, 900.0, 0.52, 0.30, 0.80, 9000.0, 0.0175, 1.0, 0.02)
MOVED = {"up": "fold", "along": "fold"}


def pair(case: Case, tractor: str = "row_crop", implement: str = "planter") -> Case:
    """The case with machines of these looks, and with something for each part to move by."""
    look = Art().looks["implements"][implement]
    drawn = look["coupling"] == "drawbar"
    functions = [replace(function) for function in case.implement.functions]
    for part in look.get("parts", ()):
        for word in part.get("moved_by", ())[:1]:
            if not any(word in (function.name, function.kind) for function in functions):
                kind = MOVED.get(part.get("fold", ""), "cylinder")
                functions.append(
                    Function(
                        word,
                        word,
                        kind,
                        3e-4,
                        bore_area_m2=0.004,
                        rod_side_area_m2=0.003,
                        stroke_m=0.6,
                        load_n=5000.0,
                        longest_s=20.0,
                        held_kg=200.0,
                        lockable=True,
                    )
                )
    hoses = case.implement.hoses
    if drawn:
        hoses = tuple(_over_tongue(hose) for hose in hoses)
    return replace(
        case,
        tractor=replace(case.tractor, look=tractor, drawbar=DRAWBAR, pto_speeds_rev_min=(1000.0, 540.0)),
        implement=replace(
            case.implement,
            look=implement,
            coupling=str(look["coupling"]),
            tongue=TONGUE if drawn else None,
            functions=tuple(functions),
            hoses=hoses,
            parked_ball_m=TONGUE.parked_m if drawn else case.implement.parked_ball_m,
            joints=(Joint("cart", "Cart"),) if implement == "air_seeder" else (),
            units=(Unit("tool", "Tool"), Unit("cart", "Cart")) if implement == "air_seeder" else (),
        ),
        start=replace(
            case.start,
            drawbar_stowed=case.start.drawbar_stowed and not drawn,
            drawbar_reach_m=DRAWBAR.reaches_m[1],
            jack_m=TONGUE.parked_m if drawn else 0.0,
            terminator="cart" if implement == "air_seeder" else "",
        ),
    )


def _over_tongue(hose: Hose) -> Hose:
    x, _, z = hose.root_m
    return replace(hose, root_m=(x, 0.6, z + 0.5))


def with_valves(case: Case, count: int) -> Case:
    """The case with so many valves on its tractor, each with its two ports, and nothing coupled."""
    tractor = case.tractor
    others = tuple(port for port in tractor.ports if port.kind not in ("extend", "retract"))
    valves = tuple(replace(tractor.valves[0], name=f"v{index + 1}") for index in range(count))
    ports = tuple(
        replace(
            next(port for port in tractor.ports if port.kind == kind),
            name=f"v{index + 1}_{kind}",
            valve=index,
        )
        for index in range(count)
        for kind in ("extend", "retract")
    )
    start = replace(case.start, lines_on=(), levers=(), pressures=())
    return replace(case, tractor=replace(tractor, valves=valves, ports=(*ports, *others)), start=start)


def with_hoses(case: Case, count: int) -> Case:
    """The case with so many hoses on its implement and the shaft, and nothing coupled."""
    hoses = [hose for hose in case.implement.hoses if hose.role != "shaft"]
    shaft = [hose for hose in case.implement.hoses if hose.role == "shaft"]
    many = [
        replace(hoses[index % len(hoses)], name=f"hose_{index}", tag=f"H{index}") for index in range(count)
    ]
    start = replace(case.start, lines_on=(), levers=(), pressures=())
    return replace(case, implement=replace(case.implement, hoses=(*many, *shaft)), start=start)
