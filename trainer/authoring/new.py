"""New files to start from: a tractor, an implement or a job, commented and ready to be checked.

Machines come from `scenarios/templates`, with a name put in. A job is written for its pair: which function
draws from what is worked out, the yard is found as the goal needs it, and the usual time is what its answer
takes and half as much again.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import MappingProxyType

from trainer.authoring.check import check_job
from trainer.authoring.compile import Job, compile_texts, machine_files
from trainer.authoring.machines import nearest, read_implement, read_tractor
from trainer.authoring.pair import Pair
from trainer.authoring.quantities import Refused, quoted
from trainer.authoring.reader import read_as
from trainer.authoring.supplies import ports_for, supplies_of, worked_out
from trainer.content import content_root
from trainer.core.case import COUPLINGS, Case, Implement, Tractor
from trainer.core.units import whole

KINDS = ("tractor", "implement", "job")
GOALS = ("couple", "uncouple")
_NO_MACHINES = {"tractor": "machines/tractors/any.yaml", "implement": "machines/implements/any.yaml"}
_PAR_STEP_S = 300
_LONG_S = 3600
_PAR_SPARE = 1.5
_LIMIT_SPARE = 2.5


def new_file(
    kind: str, name: str, into: Path | None, coupling: str, tractor: str, implement: str, goal: str
) -> Path:
    """Write a file of a kind into a folder laid out like `scenarios` (None: that one); return its path.

    Raises Refused for what is no name or is taken, ContentError where a job's machines do not go together.
    """
    folder = content_root() / "scenarios" if into is None else into
    if kind not in KINDS:
        raise Refused(f"{quoted(kind)} is nothing to write a file for", nearest(kind, KINDS))
    if kind != "job":
        return new_machine(kind, name, folder, coupling)
    for option, given in (("--tractor", tractor), ("--implement", implement)):
        if not given:
            raise Refused(f"a job needs {option}", f"{option} and the name of one")
    return new_job(name, folder, tractor, implement, goal)


def new_machine(kind: str, name: str, folder: Path, coupling: str = "three_point") -> Path:
    """Write a tractor or an implement called `name` below `folder` (a `scenarios` folder); return its path.

    Raises Refused for a name that is none or is taken.
    """
    if coupling not in COUPLINGS:
        raise Refused(f"{quoted(coupling)} is no way to couple", nearest(coupling, COUPLINGS))
    template = kind if kind == "tractor" else f"{kind}_{coupling}"
    text = (content_root() / "scenarios" / "templates" / f"{template}.yaml").read_text("utf-8")
    _check_name(name)
    title = name.replace("_", " ").capitalize()
    text = text.replace("name: NAME", f"name: {name}", 1).replace("title: TITLE", f"title: {title}", 1)
    return _write(folder / "machines" / f"{kind}s" / f"{name}.yaml", text.replace("NAME", name))


def new_job(name: str, folder: Path, tractor: str, implement: str, goal: str) -> Path:
    """Write a job called `name` (`course/job`, or a name alone) below `folder`; return its path.

    `tractor` and `implement` are names of machines below `folder` or among the shipped ones. Raises Refused
    for names that are none, ContentError where the machines do not go together.
    """
    course, _, alone = name.rpartition("/")
    for part in (course or "own", alone):
        _check_name(part.replace("-", "_"))
    if goal not in GOALS:
        raise Refused(f"{quoted(goal)} is no goal", nearest(goal, GOALS))
    path = folder / "jobs" / (course or "own") / f"{alone}.yaml"
    if path.exists():
        raise Refused(f"{path} is there already", "another name")
    files = machine_files(folder)
    machines = {
        kind: _machine(files, f"machines/{kind}s", given)
        for kind, given in (("tractor", tractor), ("implement", implement))
    }
    called = f"{course or 'own'}/{alone}"

    def compiled(text: str) -> Job:
        return compile_texts(called, {**files, f"jobs/{called}.yaml": text})

    on = read_as(files[machines["tractor"]], read_tractor, machines["tractor"]).tractor
    brought = read_as(files[machines["implement"]], read_implement, machines["implement"]).implement
    # The pair as it stands apart says what fits and what is needed; the job is written from that.
    pair = _pair(compiled(bare_text(on, brought, machines)).case)
    parts = (_settings(pair, goal), _start(pair, goal))
    time_s = check_job(compiled(_text(alone, goal, machines, parts, _LONG_S))).runs[0].time_s
    par_s = math.ceil(time_s * _PAR_SPARE / _PAR_STEP_S) * _PAR_STEP_S
    return _write(path, _text(alone, goal, machines, parts, par_s))


def bare_text(
    tractor: Tractor, implement: Implement, machines: Mapping[str, str] = MappingProxyType(_NO_MACHINES)
) -> str:
    """Return a job that says no more of a pair than it must: the two stand apart and nothing is coupled."""
    bare = (_bare_settings(tractor, implement), _bare_start(tractor, implement))
    return _text("bare", "couple", machines, bare, _LONG_S)


def _check_name(name: str) -> None:
    if not re.fullmatch(r"[a-z][a-z0-9_]{0,63}", name):
        raise Refused(
            f"{quoted(name)} is not a name", "small letters, digits and underscores, such as small_tractor"
        )


def _machine(files: Mapping[str, str], group: str, given: str) -> str:
    names = sorted(Path(file).stem for file in files if file.startswith(f"{group}/"))
    stem = Path(given).stem
    if stem not in names:
        kind = group.rpartition("/")[2].removesuffix("s")
        raise Refused(f"there is no {kind} called {quoted(given)}", nearest(stem, names))
    return next(file for file in files if file.startswith(f"{group}/") and Path(file).stem == stem)


def _write(path: Path, text: str) -> Path:
    if path.exists():
        raise Refused(f"{path} is there already", "another name")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
    except OSError:
        raise Refused(f"{path} cannot be written", "a folder you may write to") from None
    return path


def _pair(case: Case) -> Pair:
    supplies = supplies_of(case, dict(case.start.lines_on)) or worked_out(case)
    return Pair(case, supplies, ports_for(case, supplies, lambda *_: None))


# --- the text of a job ------------------------------------------------------------------------------------


_Parts = tuple[Sequence[str], Sequence[str]]
"""Lines of the settings and of the start."""


def _text(name: str, goal: str, machines: Mapping[str, str], parts: _Parts, par_s: int) -> str:
    settings, start = parts
    title = name.replace("_", " ").replace("-", " ").capitalize()
    lines = [
        "# A job. Its steps follow from the machines, the goal and how the yard is found: `coupling-yard",
        "# check` plays them. What is special to it may stand under steps:, typical mistakes under slips:.",
        f"title: {title}                # what the first screen and the job sheet call it",
        f"goal: {goal}                    # couple | uncouple",
        f"tractor: {machines['tractor']}   # below this folder, else among the shipped ones",
        f"implement: {machines['implement']}",
        "text:                           # what the trainee is told",
        f'  - "{_TOLD[goal]}"',
        "",
    ]
    lines += settings
    lines += [
        f"par: {whole(par_s / 60)} min                     # what the answer takes, and half as much again",
        f"time_limit: {whole(par_s * _LIMIT_SPARE / 60)} min                # then the attempt is over",
        "pass_points: 80                 # of 100",
        "",
        "sites:",
        "  pad: {title: Concrete pad, slope: 0.5 %}",
        *(["  apron: {title: Sloping apron, slope: 4 %}"] if goal == "uncouple" else []),
        "",
        "# How the yard is found. What is wrong here is what the trainee has to see and put right.",
        "start:",
        *(f"  {line}" for line in start),
        "",
        "# papers:                       # beside the usual ones (papers.yaml) and those of the machines",
        "#   hitch_card:                 # one of the same name takes the usual one's place",
        "#     title: Hitch card",
        '#     lines: ["Hooks of the tractor: {tractor.hook_diameter_m as 1/16 in, 0.1 mm}"]',
        "",
        "# slips:                        # typical mistakes: edits of the answer, and what finds them",
        "#   nobody_looked:",
        "#     title: Nobody looked round the pair",
        "#     change:",
        '#       - leave_out: "look: area"',
        "#     earns: [area_unseen_backing]",
    ]
    return "\n".join(lines) + "\n"


_TOLD = {
    "couple": "The implement stands on the pad. Couple it, connect it, prove it and hand the pair over.",
    "uncouple": "The pair comes in from the field. Put the implement away where it can stand for good.",
}


def _bare_start(tractor: Tractor, implement: Implement) -> Sequence[str]:
    """A start that any pair of that kind can have."""
    mounted = "bushings: no, top_hook: no, latches: open, lift_lock: no, sway: 0 mm"
    return (
        "{station: yard, site: pad, distance: 3 m, key: out, engine: stopped, brake: set, drawbar: extended,",
        f" hitch: {tractor.hitch_low_m * 1000:g} mm, top_link: {tractor.top_link_short_m * 1000:g} mm,",
        f" {'pin: out' if implement.drawn else mounted}, stands: down, chocks: yes,",
        f" ballast: {min(tractor.ballast_steps_kg)} kg, speed_source: {tractor.speed_sources[0]},",
        " oil: 40 °C, air: 15 °C, couplers: clean}",
    )


def _bare_settings(tractor: Tractor, implement: Implement) -> list[str]:
    source = [f"speed_source: {_best_source(tractor)}   # by which it seeds"] if _seeds(implement) else []
    return [*source, f"engine_work: {tractor.rated_rev_min:g} rev/min         # engine speed at work"]


def _best_source(tractor: Tractor) -> str:
    """The last the tractor lists that measures the ground: a simulated speed is for the workshop."""
    ground = [name for name in tractor.speed_sources if name != "simulated"]
    return (ground or tractor.speed_sources)[-1]


def _settings(pair: Pair, goal: str) -> list[str]:
    lines = _bare_settings(pair.case.tractor, pair.case.implement)
    if goal == "couple" and pair.supplies:
        chosen = ", ".join(f"{function}: {supply}" for function, supply in pair.supplies.items())
        lines.insert(0, f"supplies: {{{chosen}}}   # worked out: every hose fits and reaches")
    return lines


def _seeds(implement: Implement) -> bool:
    return implement.row_width_m > 0.0 and any(plug.role == "bus" for plug in implement.plugs)


def _start(pair: Pair, goal: str) -> list[str]:
    case = pair.case
    drawn, tractor = case.implement.drawn, case.tractor
    parked, seen = case.implement.parked_ball_m, goal == "uncouple"
    lines = [f"station: {'seat' if seen else 'yard'}", f"site: {'apron' if seen else 'pad'}"]
    lines += [f"distance: {'0 m' if seen else '3 m'}", f"key: {'on' if seen else 'out'}"]
    lines += [f"engine: {_engine(pair) if seen else 'stopped'}", "brake: set"]
    if drawn:
        lines += ["drawbar: extended", f"pin: {'seen' if seen else 'out'}"]
        lines += [f"chain: {'hooked' if seen and _chain(case) else 'off'}"]
        if case.implement.joints and seen:
            lines.append(f"joints: [{', '.join(joint.name for joint in case.implement.joints)}]")
    else:
        low, high = tractor.top_link_short_m * 1000, tractor.top_link_long_m * 1000
        top_link = pair.top_link_mm() + (0 if seen else 20)
        lines += [f"hitch: {pair.hitch(parked + 0.28 if seen else parked - 0.17)}"]
        lines += [f"top_link: {min(max(top_link, low), high):g} mm"]
        lines += [f"sway: {case.implement.sway_target_m * 1000:g} mm"]
        lines += [f"drawbar: {'stowed' if seen else 'extended'}"]
        lines += [f"bushings: {'yes' if seen and pair.bushings_needed() else 'no'}"]
        lines += [f"top_hook: {'yes' if seen and case.implement.uses_top_hook else 'no'}"]
        lines += [f"latches: {'seen' if seen else 'open'}", "lift_lock: no"]
    lines += [f"stands: {'up' if seen else 'down'}", f"chocks: {'no' if seen or drawn else 'yes'}"]
    lines += [f"ballast: {pair.ballast_kg() if seen else min(tractor.ballast_steps_kg)} kg"]
    lines += [f"speed_source: {_best_source(tractor) if seen else tractor.speed_sources[0]}"]
    lines += [f"oil: {'55 °C' if seen else '30 °C'}", "air: 18 °C"]
    lines += [f"couplers: {'clean' if seen else 'dirty'}"]
    return lines + (_at_work(pair) if seen else _apart(pair))


def _chain(case: Case) -> bool:
    return case.implement.tongue is not None and case.implement.tongue.chain_rating_kg > 0.0


def _engine(pair: Pair) -> str:
    speed = math.ceil(pair.speed_for(pair.motors) / 100.0) * 100
    return f"{max(speed, math.ceil(pair.case.tractor.idle_rev_min / 100.0) * 100)} rev/min"


def _apart(pair: Pair) -> list[str]:
    lines = [f"locks: [{', '.join(pair.lockable)}]"] if pair.lockable else []
    used = [port for port in pair.ports.values() if pair.case.tractor.ports[pair.case.port(port)].valve >= 0]
    if used:
        left = ", ".join(f"{port}: 100 bar" for port in used)
        lines.append(f"pressures: {{{left}}}   # what the last machine left behind the ports")
    return lines


def _at_work(pair: Pair) -> list[str]:
    case = pair.case
    lines = [f"lines: {{{', '.join(f'{hose}: {port}' for hose, port in pair.ports.items())}}}"]
    sockets = {socket.form: socket.name for socket in case.tractor.sockets}
    lines += [
        f"plugs: {{{', '.join(f'{plug.name}: {sockets[plug.form]}' for plug in case.implement.plugs)}}}"
    ]
    levers = [
        f"{pair.supplies[one.name]}: {{to: extend, dial: {pair.dial(one)}}}" for one in pair.valve_motors
    ]
    if levers:
        lines.append(f"levers: {{{', '.join(levers)}}}")
        fans = [one.rated_rev_min for one in pair.valve_motors if one.kind == "fan"]
        lines += [f"fan: {max(fans):g} rev/min"] if fans else []
    out = [
        f"{one.name}: {'0' if one.rest == 'out' else '100'} %" for one in pair.cylinders if one.rest != "any"
    ]
    if out:
        lines.append(f"cylinders: {{{', '.join(out)}}}")
    if pair.stub_rev_min() and case.tractor.pto_speeds_rev_min:
        lines.append(f"pto_speed: {pair.stub_rev_min():g} rev/min")
    return lines
