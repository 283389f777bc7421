"""Whether what an implement brings finds its counterpart on a tractor, and no two things share a name.

One list of what does not go together serves the compiler, which tells it at its place in the implement's
file, and the match of machines (`trainer.authoring.matching`), which tells it in a table.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from trainer.authoring.machines import nearest
from trainer.authoring.quantities import quoted
from trainer.authoring.source import MapNode, Node, Place, Problems, place_at
from trainer.core.actions import TESTS
from trainer.core.case import Hose, Implement, Tractor


@dataclass(frozen=True, slots=True)
class Misfit:
    """One thing of an implement that finds no counterpart on a tractor.

    `kind` says what (`port_form`, `plug_form`, `name_taken`, `no_drawbar`, `eye`, `jack`, `hitch_height`),
    `path` where it stands in the implement's file (`of_key`: at the key itself), then the message and what
    to write instead.
    """

    kind: str
    path: tuple[str, ...]
    message: str
    advice: str
    of_key: bool = False


def misfits(tractor: Tractor, implement: Implement) -> Iterator[Misfit]:
    """Yield what of an implement does not go with a tractor, in the order of the file.

    >>> from dataclasses import replace
    >>> from trainer.authoring.compile import load_job
    >>> case = load_job("first-week/couple").case
    >>> list(misfits(case.tractor, case.implement))
    []
    >>> high = replace(case.implement, work_ball_m=1.8)
    >>> [(one.kind, one.path) for one in misfits(case.tractor, high)]
    [('hitch_height', ('frame', 'work'))]
    """
    port_forms = sorted({port.form for port in tractor.ports})
    socket_forms = sorted({socket.form for socket in tractor.sockets})
    taken = [port.name for port in tractor.ports] + [plug.name for plug in implement.plugs]
    for hose in implement.hoses:
        if hose.form not in port_forms and not _spared(implement, hose, port_forms):
            message = f"no port of {tractor.name} has the form {quoted(hose.form)}"
            yield Misfit("port_form", ("hoses", hose.name, "form"), message, nearest(hose.form, port_forms))
        if hose.name in taken:
            message = f"{quoted(hose.name)} is also the name of a port or plug"
            yield Misfit("name_taken", ("hoses", hose.name), message, "a name of its own", of_key=True)
    for plug in implement.plugs:
        if plug.form not in socket_forms:
            message = f"no socket of {tractor.name} has the form {quoted(plug.form)}"
            yield Misfit("plug_form", ("plugs", plug.name, "form"), message, nearest(plug.form, socket_forms))
    for function in implement.functions:
        if function.name in TESTS:
            message = f"{quoted(function.name)} is already what the {function.name} test proves"
            yield Misfit(
                "name_taken", ("functions", function.name), message, "a name of its own", of_key=True
            )
    yield from _tongue_misfits(tractor, implement)
    if implement.drawn:
        return
    heights = [("work", implement.work_ball_m), ("parked", implement.parked_ball_m)]
    if implement.works_hanging:
        heights.append(("rests", implement.rests_ball_m))
    for key, height in heights:
        if not tractor.hitch_low_m <= height <= tractor.hitch_high_m:
            message = f"the hitch of {tractor.name} does not reach this height"
            advice = f"a height from {tractor.hitch_low_m * 1000:g} mm to {tractor.hitch_high_m * 1000:g} mm"
            yield Misfit("hitch_height", ("frame", key), message, advice)


def _spared(implement: Implement, hose: Hose, port_forms: Collection[str]) -> bool:
    """Whether what a hose serves can run without it: by a shaft that fits, or (a shaft itself) by oil."""
    others = [
        other
        for other in implement.hoses
        if other.function == hose.function and (other.role == "shaft") != (hose.role == "shaft")
    ]
    return bool(others) and all(other.form in port_forms for other in others)


def _tongue_misfits(tractor: Tractor, implement: Implement) -> Iterator[Misfit]:
    """A drawn implement needs a drawbar that its eye goes into, and a jack that reaches it."""
    tongue, drawbar = implement.tongue, tractor.drawbar
    if tongue is None:
        return
    if drawbar is None:
        message = f"{tractor.name} has no drawbar to draw it by"
        yield Misfit("no_drawbar", ("coupling",), message, "a tractor whose file has a drawbar")
        return
    if tongue.eye_diameter_m < drawbar.pin_diameter_m:
        message = f"the drawbar pin of {tractor.name} does not go through this eye"
        advice = f"at least {drawbar.pin_diameter_m * 1000:g} mm"
        yield Misfit("eye", ("tongue", "eye"), message, advice)
    if not tongue.jack_low_m <= drawbar.height_m <= tongue.jack_high_m:
        message = f"the jack does not bring the eye to the drawbar of {tractor.name}"
        advice = f"a range with {drawbar.height_m * 1000:g} mm in it"
        yield Misfit("jack", ("tongue", "jack"), message, advice)


def note_misfits(tractor: Tractor, implement: Implement, node: Node, problems: Problems) -> None:
    """Note every misfit at its place in the implement's file."""
    for one in misfits(tractor, implement):
        place = key_place(node, *one.path) if one.of_key else place_at(node, *one.path)
        problems.add(place, one.message, one.advice)


def key_place(node: Node, group: str, name: str) -> Place:
    """Return the place of a name used as a key."""
    below = node.get(group) if isinstance(node, MapNode) else None
    key = below.key(name) if isinstance(below, MapNode) else None
    return key.place if key is not None else place_at(node, group)
