"""Every tractor beside every implement: what fits, what needs adapting, what is short.

A pair is put together as a job would put it (`compile.case_of`), its supplies worked out as for a job, and
asked with the functions that the yard, the budget and the steps ask: nothing here has a figure of its own.

Three levels: `fits`; `adapt` (something the shop does to the pair it has: bushings, ballast, a setting, a
coupler half, a way of driving); `short` (the pair cannot do its work as these two machines stand).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, Final

from trainer.authoring.compile import case_of, machine_files
from trainer.authoring.fits import misfits
from trainer.authoring.machines import ImplementFile, TractorFile, nearest, read_implement, read_tractor
from trainer.authoring.new import bare_text
from trainer.authoring.pair import Pair, Unmet
from trainer.authoring.quantities import Refused, quoted
from trainer.authoring.reader import read_as
from trainer.authoring.schema import read_job
from trainer.authoring.source import ContentError, Problems
from trainer.authoring.supplies import (
    SHAFT,
    backed_up,
    choices,
    hoses_in_order,
    port_kinds,
    ports_for,
    worked_out,
)
from trainer.authoring.supplies import reaches as hose_reaches
from trainer.core import budget, drawbar, readings
from trainer.core import linkage as link
from trainer.core.case import Case, Function

LEVELS: Final = ("fits", "adapt", "short")
SUBJECTS: Final = ("hitch", "mast", "drawbar", "load", "ports", "oil", "pto", "plugs", "current", "axles")

_ENOUGH: Final = 0.98
"""Share of what a function needs that counts as enough, as in the budget's table."""
_SI_UNITS: Final = {
    "pressure": "Pa",
    "flow": "m3/s",
    "length": "m",
    "mass": "kg",
    "speed_of_turn": "rev/min",
    "share": "1",
    "time": "s",
    "current": "A",
}


@dataclass(frozen=True, slots=True)
class Figure:
    """A value in SI units (speeds in rev/min) and the kind of quantity, by which `Texts.amount` shows it."""

    kind: str
    value_si: float
    decimals: int | None = None


Gap = str | Figure


@dataclass(frozen=True, slots=True)
class Line:
    """One thing found about a pair: what it is about, how it stands, and the text `match.says.<says>` with
    what fills its gaps."""

    subject: str
    level: str
    says: str
    gaps: Mapping[str, Gap] = field(default_factory=dict)

    def to_json(self) -> dict[str, Any]:
        """Return the line as plain values for `json.dumps`, figures in SI units."""
        gaps: dict[str, Any] = {}
        for name, gap in self.gaps.items():
            if isinstance(gap, Figure):
                value = gap.value_si if math.isfinite(gap.value_si) else None
                gaps[name] = {"value": value, "unit": _SI_UNITS[gap.kind]}
            else:
                gaps[name] = gap
        return {"subject": self.subject, "level": self.level, "says": self.says, "figures": gaps}


@dataclass(frozen=True, slots=True)
class Match:
    """One tractor with one implement: their names and titles, what was found, what draws from what."""

    tractor: str
    tractor_title: str
    implement: str
    implement_title: str
    lines: tuple[Line, ...]
    supplies: Mapping[str, str]

    def level(self, subject: str = "") -> str:
        """Return the worst level of a subject, or of all; '' where nothing is about it."""
        levels = [LEVELS.index(line.level) for line in self.lines if subject in ("", line.subject)]
        return LEVELS[max(levels)] if levels else ""

    def to_json(self) -> dict[str, Any]:
        """Return the match as plain values for `json.dumps`."""
        return {
            "tractor": self.tractor,
            "implement": self.implement,
            "level": self.level(),
            "subjects": {subject: self.level(subject) for subject in SUBJECTS if self.level(subject)},
            "supplies": dict(self.supplies),
            "lines": [line.to_json() for line in self.lines],
        }


def match_all(folder: Path, tractors: Sequence[str] = (), implements: Sequence[str] = ()) -> list[Match]:
    """Match every tractor with every implement of a folder laid out like `scenarios/` (and of the shipped one
    where it lies elsewhere); with names, those alone. Sorted by tractor, then implement.

    Raises ContentError with all that is wrong in the files, Refused for a name that none of them has.
    """
    drawing, drawn = _machines(folder)
    chosen = _chosen(drawing, tractors, "tractor"), _chosen(drawn, implements, "implement")
    return [match(drawing[tractor], drawn[implement]) for tractor in chosen[0] for implement in chosen[1]]


def case_of_names(folder: Path, tractor: str, implement: str) -> Case:
    """Put two machines of a folder together by their names, everything on the port worked out for it.

    Raises ContentError or Refused, as `match_all`.
    """
    drawing, drawn = _machines(folder)
    _chosen(drawing, (tractor,), "tractor")
    _chosen(drawn, (implement,), "implement")
    return _pair(drawing[tractor], drawn[implement]).case


def _machines(folder: Path) -> tuple[dict[str, TractorFile], dict[str, ImplementFile]]:
    problems = Problems()
    drawing: dict[str, TractorFile] = {}
    drawn: dict[str, ImplementFile] = {}
    for name, text in sorted(machine_files(folder).items()):
        try:
            if name.startswith("machines/tractors/"):
                drawing[Path(name).stem] = read_as(text, read_tractor, name)
            elif name.startswith("machines/implements/"):
                drawn[Path(name).stem] = read_as(text, read_implement, name)
        except ContentError as error:
            problems.take(error)
    problems.raise_if_any()
    return drawing, drawn


def _chosen(there: Mapping[str, object], asked: Sequence[str], kind: str) -> list[str]:
    for name in asked:
        if name not in there:
            raise Refused(f"there is no {kind} called {quoted(name)}", nearest(name, list(there)))
    return [name for name in there if not asked or name in asked]


def match(tractor: TractorFile, implement: ImplementFile) -> Match:
    """Match one tractor with one implement.

    >>> from trainer.content import content_root
    >>> (found,) = match_all(content_root() / "scenarios", ["rowcrop_mid"], ["planter_8row"])
    >>> found.level("mast"), found.level("axles")
    ('fits', 'adapt')
    """
    pair = _pair(tractor, implement)
    lines = [line for about in _ABOUT for line in about(pair)]
    lines.sort(key=lambda line: SUBJECTS.index(line.subject))
    machine, brought = tractor.tractor, implement.implement
    return Match(machine.name, machine.title, brought.name, brought.title, tuple(lines), pair.supplies)


def _pair(tractor: TractorFile, implement: ImplementFile) -> Pair:
    """The two as a job would have them, but with warm oil and every hose on, for the budget."""
    job = read_as(bare_text(tractor.tractor, implement.implement), read_job, "bare.yaml")
    case = case_of("own/bare", job, tractor, implement)
    supplies = worked_out(case)
    ports = ports_for(case, supplies, lambda *_: None)
    start = replace(case.start, oil_c=budget.WORKING_OIL_C, lines_on=tuple(ports.items()))
    return Pair(replace(case, start=start), supplies, ports)


def _length(value_m: float) -> Figure:
    return Figure("length", value_m, 2)


# --- how the two are held together ------------------------------------------------------------------------


def _hitch(pair: Pair) -> Iterator[Line]:
    case = pair.case
    tractor, implement = case.tractor, case.implement
    bad = {one.kind: one for one in misfits(tractor, implement)}
    if implement.drawn:
        yield from _clevis(pair, bad)
        return
    hook, pin = tractor.hook_diameter_m, implement.pin_diameter_m
    gaps: dict[str, Gap] = {
        "hook": Figure("length", hook, 3),
        "pin": Figure("length", pin, 3),
        "category": _category(pin),
    }
    if not readings.bushings_right(case, True):
        yield Line("hitch", "fits", "pins_fit", gaps)
    elif pin > hook:
        yield Line("hitch", "short", "pins_thick", gaps)
    else:
        yield Line("hitch", "adapt", "pins_bushed", gaps)
    if "hitch_height" in bad:
        low, high = _length(tractor.hitch_low_m), _length(tractor.hitch_high_m)
        for height in (implement.work_ball_m, implement.parked_ball_m):
            if not tractor.hitch_low_m <= height <= tractor.hitch_high_m:
                yield Line(
                    "hitch", "short", "hitch_height", {"height": _length(height), "low": low, "high": high}
                )
        return
    yield from _mast(pair)


def _category(pin_m: float) -> str:
    """The hitch category whose lower pins are nearest."""
    return min(link.HITCH_CATEGORIES, key=lambda row: abs(row.lower_pin_m - pin_m)).name


def _mast(pair: Pair) -> Iterator[Line]:
    tractor, implement = pair.case.tractor, pair.case.implement
    gaps: dict[str, Gap] = {
        "mast": _length(implement.mast_height_m),
        "low": _length(tractor.top_link_short_m),
        "high": _length(tractor.top_link_long_m),
    }
    try:
        top_link_m = pair.top_link_mm() / 1000
    except Unmet:
        angle = link.angle_for_ball_height_rad(tractor.linkage, implement.work_ball_m)
        wanted = link.plumb_top_link_m(tractor.linkage, angle)
        yield Line("mast", "short", "mast_short", {**gaps, "top_link": _length(wanted)})
    else:
        yield Line("mast", "fits", "mast_fits", {**gaps, "top_link": _length(top_link_m)})


def _clevis(pair: Pair, bad: Mapping[str, object]) -> Iterator[Line]:
    case = pair.case
    bar, tongue = case.tractor.drawbar, case.implement.tongue
    assert tongue is not None  # a drawn implement has one
    if bar is None:
        yield Line("drawbar", "short", "no_drawbar")
        return
    gaps: dict[str, Gap] = {
        "pin": Figure("length", bar.pin_diameter_m, 3),
        "eye": Figure("length", tongue.eye_diameter_m, 3),
        "height": _length(bar.height_m),
        "low": _length(tongue.jack_low_m),
        "high": _length(tongue.jack_high_m),
    }
    says = [kind for kind in ("eye", "jack") if kind in bad]
    for kind in says:
        yield Line("hitch", "short", f"{kind}_short", gaps)
    if not says:
        yield Line("hitch", "fits", "eye_fits", gaps)
    if any(hose.role == "shaft" and hose.closed_m for hose in case.implement.hoses):
        yield from _reach(pair)
    yield from _drawn_load(case)


def _reach(pair: Pair) -> Iterator[Line]:
    """Which settings of the drawbar suit the shaft, straight and in the sharpest turn."""
    bar = pair.case.tractor.drawbar
    assert bar is not None  # asked before
    good = [reach for reach in bar.reaches_m if pair.reach_fits(reach)]
    if not good:
        fit = drawbar.shaft_fit(pair.case, bar.reaches_m[-1])
        gaps = {
            "reach": _length(bar.reaches_m[-1]),
            "bottom": _length(fit.bottom_um / 1e6),
            "overlap": _length(fit.overlap_um / 1e6),
        }
        yield Line("drawbar", "short", "reach_short", gaps)
        return
    level = "fits" if good == list(bar.reaches_m) else "adapt"
    yield Line("drawbar", level, f"reach_{level}", {"reach": _length(good[0]), "count": str(len(good))})


def _drawn_load(case: Case) -> Iterator[Line]:
    bar, tongue = case.tractor.drawbar, case.implement.tongue
    assert bar is not None  # asked before
    assert tongue is not None
    gaps: dict[str, Gap] = {
        "load": Figure("mass", tongue.load_kg),
        "most_load": Figure("mass", bar.most_load_kg),
        "mass": Figure("mass", case.implement.mass_kg),
        "most_mass": Figure("mass", bar.most_mass_kg),
    }
    over = drawbar.overload_kg(case)
    if over:
        says = "load_short" if tongue.load_kg > bar.most_load_kg else "mass_short"
        yield Line("load", "short", says, {**gaps, "over": Figure("mass", float(over))})
    else:
        yield Line("load", "fits", "load_fits", gaps)
    if tongue.chain_rating_kg and drawbar.chain_short_kg(case):
        yield Line("load", "short", "chain_short", {**gaps, "chain": Figure("mass", tongue.chain_rating_kg)})


# --- lines ------------------------------------------------------------------------------------------------


def _ports(pair: Pair) -> Iterator[Line]:
    case = pair.case
    for function in case.implement.functions:
        if function.name in pair.supplies:
            hoses = [name for name in pair.ports if _belongs(case, name, function)]
            gaps: dict[str, Gap] = {
                "function": function.title,
                "supply": pair.supplies[function.name],
                "ports": ", ".join(pair.ports[name] for name in hoses),
            }
            yield Line("ports", "fits", "ports_fit", gaps)
        else:
            yield _unserved(pair, function)


def _belongs(case: Case, hose_name: str, function: Function) -> bool:
    hose = case.implement.hoses[case.hose(hose_name)]
    return case.implement.functions[hose.function].name == function.name


def _unserved(pair: Pair, function: Function) -> Line:
    """Why a function found nothing to draw from: no such port, another form, too short, or all taken."""
    case = pair.case
    index = case.function(function.name)
    state = backed_up(replace(case, start=replace(case.start, lines_on=())))
    best = Line("ports", "short", "ports_none", {"function": function.title, "hose": "", "form": ""})
    for supply in choices(case, index):
        wrong: list[str] = []
        ports = ports_for(case, {function.name: supply}, lambda *said, to=wrong: to.append(said[1]))
        if not wrong:
            short = [hose for hose, port in ports.items() if not hose_reaches(case, state, hose, port)]
            if not short:
                return Line("ports", "short", "ports_taken", {"function": function.title})
            best = Line("ports", "short", "ports_reach", {"function": function.title, "hose": short[0]})
            continue
        if best.says != "ports_none":
            continue
        for hose_index in hoses_in_order(case, index, supply):
            hose = case.implement.hoses[hose_index]
            if hose.name in ports:
                continue
            kinds = port_kinds(hose, supply)
            forms = sorted({port.form for port in case.tractor.ports if port.kind in kinds})
            gaps: dict[str, Gap] = {"function": function.title, "hose": hose.name, "form": hose.form}
            if forms and hose.role != "shaft":
                best = Line("ports", "adapt", "ports_form", {**gaps, "forms": ", ".join(forms)})
            elif best.level == "short":
                best = Line("ports", "short", "ports_none", gaps)
            break
    return best


def _plugs(pair: Pair) -> Iterator[Line]:
    case = pair.case
    free = [socket.form for socket in case.tractor.sockets]
    forms = ", ".join(sorted(set(free)))
    for plug in case.implement.plugs:
        gaps: dict[str, Gap] = {"plug": plug.tag, "form": plug.form, "forms": forms}
        if plug.form in free:
            free.remove(plug.form)
            yield Line("plugs", "fits", "plug_fits", gaps)
        elif any(socket.form == plug.form for socket in case.tractor.sockets):
            yield Line("plugs", "short", "plug_taken", gaps)
        else:
            yield Line("plugs", "short", "plug_short", gaps)


def _current(pair: Pair) -> Iterator[Line]:
    for load in budget.plug_loads(pair.case):
        if load.offered_a is None:
            continue
        gaps: dict[str, Gap] = {
            "plug": load.tag,
            "current": Figure("current", load.current_a),
            "offered": Figure("current", load.offered_a),
        }
        level = "fits" if load.current_a <= load.offered_a else "short"
        yield Line("current", level, f"current_{level}", gaps)


# --- oil, shaft, weight -----------------------------------------------------------------------------------


def _oil(pair: Pair) -> Iterator[Line]:
    case = pair.case
    phases = [phase for phase in budget.phases(case) if phase.draws]
    lines: list[Line] = []
    by_shaft_good = {
        phase.name for phase in phases if phase.by == "shaft" and not any(_phase_faults(pair, phase))
    }
    for phase in phases:
        faults = list(_phase_faults(pair, phase))
        if not faults or phase.by == "shaft":
            continue
        if phase.name in by_shaft_good:
            lines.append(Line("oil", "adapt", "oil_by_shaft", {"phase": f"@{phase.name}"}))
        elif phase.name == "headland_idle":
            # Enough at work and not at idle: the engine is kept up, which is a way of driving.
            lines += [replace(fault, level="adapt") for fault in faults]
        else:
            lines += faults
    lines += _pressures(case)
    if lines:
        yield from lines
        return
    if phases:
        tight = min(phases, key=lambda phase: phase.available_m3_s - phase.asked_m3_s)
        gaps: dict[str, Gap] = {
            "phase": f"@{tight.name}",
            "asked": Figure("flow", tight.asked_m3_s),
            "there": Figure("flow", tight.available_m3_s),
        }
        yield Line("oil", "fits", "oil_fits", gaps)


def _phase_faults(pair: Pair, phase: budget.Phase) -> Iterator[Line]:
    """What a phase of the budget lacks: flow of the pump first, then what single functions get."""
    told: dict[str, Gap] = {"phase": f"@{phase.name}"}
    if phase.short_m3_s > 0.0:
        gaps = {
            **told,
            "asked": Figure("flow", phase.asked_m3_s),
            "there": Figure("flow", phase.available_m3_s),
            "short": Figure("flow", phase.short_m3_s),
        }
        yield Line("oil", "short", "oil_short", gaps)
    for draw in phase.draws:
        of: dict[str, Gap] = {**told, "function": draw.title}
        if not draw.supply or draw.function not in pair.supplies:
            continue  # told under ports
        starved = draw.by == "oil" and draw.got_m3_s < _ENOUGH * draw.needs_m3_s
        if starved and phase.short_m3_s <= 0.0:
            flows = {"got": Figure("flow", draw.got_m3_s), "needs": Figure("flow", draw.needs_m3_s)}
            yield Line("oil", "short", "oil_starved", {**of, **flows})
        elif draw.time_s is not None and draw.longest_s is not None and draw.time_s > draw.longest_s:
            times = {"time": Figure("time", draw.time_s, 1), "longest": Figure("time", draw.longest_s, 1)}
            says = "oil_slow" if math.isfinite(draw.time_s) else "oil_never"
            yield Line("oil", "short", says, {**of, **times})
        for says, value_pa, limit_pa in (
            ("oil_return", draw.return_pa, draw.return_limit_pa),
            ("oil_case", draw.case_pa, draw.case_limit_pa),
        ):
            if value_pa is not None and limit_pa is not None and value_pa > limit_pa:
                gaps = {"value": Figure("pressure", value_pa), "limit": Figure("pressure", limit_pa)}
                yield Line("oil", "short", says, {**of, **gaps})


def _pressures(case: Case) -> Iterator[Line]:
    """Hoses that the pump's cut-off would be too much for."""
    cutoff_pa = case.tractor.pump_cutoff_pa
    for hose in case.implement.hoses:
        if hose.role in ("pressure", "extend", "retract") and hose.work_pressure_pa < cutoff_pa:
            gaps: dict[str, Gap] = {
                "hose": hose.name,
                "rated": Figure("pressure", hose.work_pressure_pa),
                "cutoff": Figure("pressure", cutoff_pa),
            }
            yield Line("oil", "short", "hose_weak", gaps)


def _pto(pair: Pair) -> Iterator[Line]:
    tractor = pair.case.tractor
    speeds = tractor.pto_speeds_rev_min or (tractor.pto_rev_min,)
    for function in pair.case.implement.functions:
        by_shaft = function.kind == "driven" or pair.supplies.get(function.name) == SHAFT
        if not by_shaft or not function.pto_rev_min:
            continue
        gaps: dict[str, Gap] = {
            "function": function.title,
            "made": Figure("speed_of_turn", function.pto_rev_min),
            "there": ", ".join(f"{speed:g}" for speed in speeds),
        }
        off = [not drawbar.stub_suits(speed, function.pto_rev_min) for speed in speeds]
        level = "short" if all(off) else "adapt" if off[0] else "fits"
        yield Line("pto", level, f"pto_{level}", gaps)


def _axles(pair: Pair) -> Iterator[Line]:
    case = pair.case
    most = max(case.tractor.ballast_steps_kg)
    gaps: dict[str, Gap] = {
        "share": Figure("share", case.limits.front_share),
        "least": Figure("mass", budget.least_ballast_kg(case)),
        "most": Figure("mass", float(most)),
    }
    try:
        step = pair.ballast_kg()
    except Unmet:
        loaded = budget.axle_load(case, most, True)
        yield Line("axles", "short", "axles_short", {**gaps, "front": Figure("share", loaded.front_share)})
        return
    loaded = budget.axle_load(case, step, True)
    gaps |= {"front": Figure("share", loaded.front_share), "ballast": Figure("mass", float(step))}
    level = "adapt" if step else "fits"
    yield Line("axles", level, f"axles_{level}", gaps)


_ABOUT: Final[tuple[Callable[[Pair], Iterator[Line]], ...]] = (
    _hitch,
    _ports,
    _oil,
    _pto,
    _plugs,
    _current,
    _axles,
)
