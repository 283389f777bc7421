"""From content files to a job that can be played: two machines, a yard, the rules, an answer and its slips.

`load_job` reads the files of a folder, `compile_texts` the same from texts alone (what a record carries);
both give equal jobs. Everything wrong is told at once, each thing with file, line, column and what to write.

File names are relative to `scenarios/`, also inside a job: `machines/tractors/rowcrop_mid.yaml`.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from typing import Generic, Protocol, TypeVar

from trainer.authoring.catalogue import PAPERS_FILE, Catalogue, figures, read_catalogue, usual_papers
from trainer.authoring.edits import Item, Unfit, edited_items, items_of, new_items
from trainer.authoring.fits import key_place, note_misfits
from trainer.authoring.machines import (
    ImplementFile,
    PaperText,
    TractorFile,
    nearest,
    read_implement,
    read_tractor,
)
from trainer.authoring.pair import Pair
from trainer.authoring.papers import filled
from trainer.authoring.precedence import TradeSteps, derive, merged, read_steps
from trainer.authoring.quantities import Refused, quoted
from trainer.authoring.reader import Reader, read_into
from trainer.authoring.schema import (
    GOALS,
    FaultText,
    JobFile,
    Placed,
    SlipText,
    StepText,
    read_job,
    read_rules,
)
from trainer.authoring.source import (
    MAX_BYTES,
    ContentError,
    MapNode,
    Node,
    Place,
    Problem,
    Problems,
    place_at,
    read_source,
    safe_child,
)
from trainer.authoring.supplies import choices, ports_for, supplies_of, worked_out
from trainer.content import content_root
from trainer.core import faults
from trainer.core.actions import TESTS, WORDS, Action, from_line
from trainer.core.case import STATIONS, Case, Fault, Implement, Paper, Start, Tractor
from trainer.core.rules import Rule
from trainer.core.units import micro, milli
from trainer.core.wiring import Wiring

RULES_FILE = "rules.yaml"
STEPS_FILE = "steps.yaml"
_JOBS, _MACHINES = "jobs", "machines"

_NO_NODE = MapNode((), Place("", 1, 1))

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class Slip:
    """A typical wrong run and the rules it must be found by."""

    name: str
    title: str
    items: tuple[Item, ...]
    earns: tuple[str, ...]
    fault: str = ""
    """The fault it is made for, in a job to find one."""


@dataclass(frozen=True, slots=True)
class Job:
    """A job ready to be played. `answer` names its steps in a safe order; `files` holds, by name relative to
    `scenarios/`, the full text of every file it was compiled from."""

    name: str
    case: Case
    rules: tuple[Rule, ...]
    answer: tuple[str, ...]
    slips: tuple[Slip, ...]
    files: dict[str, str]
    answers: dict[str, tuple[Item, ...]] = field(default_factory=dict)
    """By fault, in a job to find one: the run that finds, names, mends and proves it."""

    @property
    def draws(self) -> bool:
        """Whether each attempt draws one of several faults."""
        return bool(self.case.faults)

    def drawn(self, seed: int) -> Job:
        """The job with the fault that a seed draws; the job itself where there is none to be found."""
        return replace(self, case=faults.draw(self.case, seed)) if self.draws else self

    def posed(self, name: str) -> Job:
        """The job with the fault of that name, in the middle of its range; '' is the first one."""
        if not self.draws:
            return self
        found = {fault.name: fault for fault in self.case.faults}
        fault = found[name] if name else self.case.faults[0]
        return replace(self, case=faults.posed(self.case, faults.middling(fault)))

    def slip(self, name: str) -> Slip:
        """Return the slip called `name`; raises KeyError with the names there are."""
        for slip in self.slips:
            if slip.name == name:
                return slip
        raise KeyError(f"no slip called {name!r}; there are {', '.join(slip.name for slip in self.slips)}")


# --- files ------------------------------------------------------------------------------------------------


def list_jobs(root: Path | None = None) -> list[str]:
    """Return the names of all jobs, sorted: `first-week/couple`. `root` holds `scenarios/`.

    >>> "first-week/couple" in list_jobs()
    True
    """
    folder = (content_root() if root is None else root) / "scenarios" / _JOBS
    return sorted(path.relative_to(folder).with_suffix("").as_posix() for path in folder.rglob("*.yaml"))


def load_job(name_or_path: str | Path, root: Path | None = None, folder: Path | None = None) -> Job:
    """Read and compile a job by its name, or by the path of its file.

    A file in a folder of somebody's own, laid out like `scenarios/` (`jobs` beside `machines`), takes its
    machines from there first; `folder` names it where that is known. Any other file outside `scenarios/jobs`
    is a job of the course `own`. What is not in its folder, rules and steps mostly, is that of `scenarios/`.
    Raises ContentError with everything that is wrong.

    >>> load_job("first-week/couple").case.goal
    'couple'
    """
    base = (content_root() if root is None else root) / "scenarios"
    path = _job_path(base, name_or_path)
    own = folder or _own_folder(path, base)
    try:
        name = path.resolve().relative_to((own / _JOBS).resolve()).with_suffix("").as_posix()
    except ValueError:
        name = f"own/{path.stem}"
    return _compile(name, _Folder(own, {_job_file(name): path}, base))


def _own_folder(path: Path, base: Path) -> Path:
    """The folder laid out like `scenarios/` that a job lies in, or `scenarios/` itself."""
    for parent in path.absolute().parents:
        if parent.name == _JOBS and (parent.parent / _MACHINES).is_dir():
            return parent.parent
    return base


def folders_of(
    name_or_path: str | Path, root: Path | None = None, folder: Path | None = None
) -> tuple[Path, ...]:
    """Return the folders a job's machines are looked for in, the nearest first.

    >>> [folder.name for folder in folders_of("first-week/couple")]
    ['scenarios']
    """
    base = (content_root() if root is None else root) / "scenarios"
    own = folder or _own_folder(_job_path(base, name_or_path), base)
    return (own,) if own == base else (own, base)


def machine_files(folder: Path) -> dict[str, str]:
    """Return the texts of all machines, the rules and the steps: those of a folder laid out like
    `scenarios/`, and where it has none of that name the shipped ones. Raises ContentError."""
    files = _Folder(folder, {}, content_root() / "scenarios")
    texts = {name: files.text(name) for name in (RULES_FILE, STEPS_FILE, PAPERS_FILE, *files.names())}
    return {name: text for name, text in texts.items() if text is not None}


def compile_texts(job: str, files: Mapping[str, str]) -> Job:
    """Compile a job from texts alone; `files` is what `Job.files` holds. Raises ContentError.

    >>> job = load_job("first-week/couple")
    >>> compile_texts(job.name, job.files) == job
    True
    """
    return _compile(job, _Texts(files))


def trade_edges(job: Job) -> frozenset[str]:
    """Return every order of two steps that the trade's file of a job holds, as `before<after`, whether or not
    this job has both.

    >>> "pin_in<pin_retainer" in trade_edges(load_job("first-week/couple"))
    True
    """
    if STEPS_FILE not in job.files:
        return frozenset()
    steps, _, _ = _shaped(read_steps, job.files[STEPS_FILE], STEPS_FILE)
    found = [step for goal in (steps or {}).values() for step in goal]
    return frozenset(f"{edge.before.text}<{step.name}" for step in found for edge in step.after)


class _Files(Protocol):
    """Where content comes from: a folder, or texts that a record carries."""

    def text(self, name: str) -> str | None:
        """The text of a file by its name relative to `scenarios/`; None where there is none."""

    def shown(self, name: str) -> str:
        """What messages call the file."""

    def names(self) -> Sequence[str]:
        """The names of the machines there are."""


class _Texts:
    def __init__(self, files: Mapping[str, str]) -> None:
        self._files = dict(files)

    def text(self, name: str) -> str | None:
        return self._files.get(name)

    def shown(self, name: str) -> str:
        return name

    def names(self) -> Sequence[str]:
        return sorted(self._files)


class _Folder:
    """`base` first, then `shipped`; files in `elsewhere` by their own path."""

    def __init__(self, base: Path, elsewhere: Mapping[str, Path], shipped: Path) -> None:
        self._base = base
        self._elsewhere = elsewhere
        self._shipped = shipped

    def text(self, name: str) -> str | None:
        path = self._path(name)
        if path is None or not path.exists():
            return None
        try:
            small = path.is_file() and path.stat().st_size <= MAX_BYTES
            text = path.read_bytes().decode("utf-8-sig") if small else None
        except (OSError, UnicodeDecodeError):
            text = None
        if text is None:
            read_source(path, _shown(path))  # says what is wrong with it
            raise _one_problem(Place(_shown(path), 1, 1), "the file cannot be read", "a YAML file in UTF-8")
        return text.replace("\r\n", "\n").replace("\r", "\n")

    def shown(self, name: str) -> str:
        return _shown(self._path(name) or self._base / name)

    def names(self) -> Sequence[str]:
        return sorted(
            {
                file.relative_to(base).as_posix()
                for base in (self._base, self._shipped)
                for file in (base / _MACHINES).rglob("*.yaml")
            }
        )

    def _path(self, name: str) -> Path | None:
        if name in self._elsewhere:
            return self._elsewhere[name]
        try:
            own = safe_child(self._base, name)
            return own if own.exists() else safe_child(self._shipped, name)
        except Refused:
            return None


def _job_file(name: str) -> str:
    return f"{_JOBS}/{name}.yaml"


def _job_path(base: Path, name_or_path: str | Path) -> Path:
    text = str(name_or_path)
    if isinstance(name_or_path, Path) or text.endswith((".yaml", ".yml")):
        return Path(name_or_path)
    names = sorted(
        path.relative_to(base / _JOBS).with_suffix("").as_posix() for path in (base / _JOBS).rglob("*.yaml")
    )
    if text not in names:
        raise _one_problem(Place(text, 1, 1), f"there is no job called {quoted(text)}", nearest(text, names))
    return base / _JOBS / f"{text}.yaml"


def _shown(path: Path) -> str:
    """Return the path as a person at this folder would type it."""
    try:
        relative = os.path.relpath(path)
    except ValueError:  # another drive
        return str(path)
    return str(path) if relative.startswith("..") else Path(relative).as_posix()


def _one_problem(place: Place, message: str, advice: str) -> ContentError:
    return ContentError((Problem(place, message, advice),))


# --- compiling --------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Read(Generic[_T]):
    """What a shape function gave, the node it was given, and whether nothing was wrong with it."""

    value: _T | None = None
    node: Node = _NO_NODE
    clean: bool = False


@lru_cache(maxsize=16)
def _shaped(
    shape: Callable[[Reader], _T], text: str, name: str
) -> tuple[_T | None, Node, ContentError | None]:
    """Shape one file; kept, because jobs share machines and rules, and reading takes most of the time."""
    problems = Problems()
    nodes: list[Node] = [_NO_NODE]

    def noting(reader: Reader) -> _T:
        nodes.append(reader.node)
        return shape(reader)

    value = read_into(problems, text, noting, name)
    return value, nodes[-1], problems.error()


def _compile(name: str, files: _Files) -> Job:
    problems = Problems()
    texts: dict[str, str] = {}

    def read(file: str, shape: Callable[[Reader], _T]) -> _Read[_T]:
        try:
            text = files.text(file)
        except ContentError as error:
            problems.take(error)
            return _Read()
        if text is None:
            message = "there is no such file"
            problems.add(Place(files.shown(file), 1, 1), message, "the name of a file that is there")
            return _Read()
        texts[file] = text
        value, node, wrong = _shaped(shape, text, files.shown(file))
        if wrong is not None:
            problems.take(wrong)
        return _Read(value, node, wrong is None)

    def read_machine(machine: Placed, shape: Callable[[Reader], _T]) -> _Read[_T]:
        return read(machine.text, shape) if _is_there(machine, files, problems) else _Read()

    found = read(_job_file(name), read_job)
    job, node = found.value, found.node
    if job is None:
        problems.raise_if_any()
        raise AssertionError("a file that gives nothing has a problem")
    tractor = read_machine(job.tractor, read_tractor)
    implement = read_machine(job.implement, read_implement)
    rules = read(RULES_FILE, read_rules).value or ()
    # A record of before the steps were derived carries a job that lists them all, and no such file.
    derived = job.trade_steps and not (job.steps and files.text(STEPS_FILE) is None)
    steps: _Read[TradeSteps] = read(STEPS_FILE, read_steps) if derived else _Read({}, clean=True)
    # A record of before there was such a file carries all its papers in the job.
    papers_file: _Read[Catalogue] = (
        read(PAPERS_FILE, read_catalogue) if files.text(PAPERS_FILE) is not None else _Read({}, clean=True)
    )
    if tractor.value is None or implement.value is None or not (tractor.clean and implement.clean):
        problems.raise_if_any()
        raise AssertionError("a machine that is not there or not clean has a problem")
    if steps.value is None or not steps.clean or not papers_file.clean:
        problems.raise_if_any()
        raise AssertionError("a file of steps or papers that is not there or not clean has a problem")
    note_misfits(tractor.value.tractor, implement.value.implement, implement.node, problems)
    case = case_of(name, job, tractor.value, implement.value)
    before = len(problems)
    pair = _pair(case, job, node, problems) if derived else Pair(case, {}, {})
    own = (*tractor.value.papers, *implement.value.papers, *job.papers)
    usual: list[PaperText] = []
    if pair is not None and papers_file.value is not None:
        usual = usual_papers(
            papers_file.value.get(job.goal, ()), pair, [paper.name for paper in own], problems.add
        )
    papers = (*own, *usual)
    if derived:
        trade: tuple[StepText, ...] = ()
        if pair is not None:
            names = [paper.name for paper in papers]
            wrong = _at_key(node, problems)
            trade = derive(steps.value.get(job.goal, ()), pair, names, wrong)
        job = replace(job, steps=merged(trade, job.steps, job.without, problems))
        case = replace(case, steps=tuple(step.step() for step in job.steps))
    look = _Lookup(case, job, node, problems)
    look.start()
    look.job()
    if not job.steps and len(problems) > before:
        problems.raise_if_any()  # without the steps, everything that speaks of them would be told as well
    case = look.papers(papers)
    look.actions()
    answer = look.answer()
    look.order(answer)
    items = tuple(items_of(job.steps, answer))
    case, answers = look.faults()
    if job.faults:
        answer, items = (), next(iter(answers.values()), ())
    slips = tuple(look.slip(slip, answers.get(slip.fault.text, items), rules) for slip in job.slips)
    problems.raise_if_any()
    return Job(name, case, rules, answer, slips, {key: texts[key] for key in sorted(texts)}, answers)


def _is_there(machine: Placed, files: _Files, problems: Problems) -> bool:
    """Whether a machine's file is at hand; notes what is wrong with its path otherwise."""
    try:
        safe_child(Path(), machine.text)
        if files.text(machine.text) is not None:
            return True
    except Refused as refused:
        problems.add(machine.place, refused.message, refused.advice)
    except ContentError:
        return True  # reading it says what is wrong
    else:
        message = f"there is no file {quoted(machine.text, 80)} in scenarios"
        problems.add(machine.place, message, nearest(machine.text, files.names()))
    return False


def case_of(name: str, job: JobFile, tractor: TractorFile, implement: ImplementFile) -> Case:
    """Put two machines and what a job says of them together, whether or not they fit; papers are left out."""
    linkage = replace(tractor.tractor.linkage, mast_height_m=implement.implement.mast_height_m)
    course, _, _ = name.rpartition("/")
    return Case(
        job=name,
        title=job.title,
        course=course,
        goal=job.goal,
        text=job.text,
        tractor=replace(tractor.tractor, linkage=linkage),
        implement=implement.implement,
        start=_found_start(job.start, tractor.tractor, implement.implement),
        sites=job.sites,
        papers=(),
        steps=tuple(step.step() for step in job.steps),
        speed_source=job.speed_source.text,
        par_s=job.par_s,
        time_limit_s=job.time_limit_s,
        pass_points=job.pass_points,
        engine_work_rev_min=job.engine_work_rev_min,
        fit_paper=job.fit_paper.text,
        limits=job.limits,
        wiring=Wiring(
            supply_v=tractor.tractor.supply_volt,
            power_a=implement.implement.bus_current_a,
            lamps_a=implement.implement.lighting_current_a,
        ),
    )


def _found_start(begin: Start, tractor: Tractor, implement: Implement) -> Start:
    """The start with what a job may leave out filled in from the machines."""
    drawbar, tongue = tractor.drawbar, implement.tongue
    begin = replace(
        begin,
        terminator=begin.terminator or (implement.units[-1].name if implement.units else ""),
        speed_source=begin.speed_source or tractor.speed_sources[0],
        drawbar_reach_m=begin.drawbar_reach_m or (drawbar.reaches_m[0] if drawbar is not None else 0.0),
        pto_rev_min=begin.pto_rev_min or tractor.pto_rev_min,
    )
    if tongue is None:
        return begin
    return replace(
        begin,
        jack_m=begin.jack_m or tongue.parked_m,
        hitch_m=begin.hitch_m or tractor.hitch_low_m,
        top_link_m=begin.top_link_m or tractor.top_link_short_m,
    )


def _at_key(node: Node, problems: Problems) -> Callable[[tuple[str, ...], str, str], None]:
    """Notes what is wrong at a key of the job, given as its path."""
    return lambda path, message, advice: problems.add(place_at(node, *path), message, advice)


def _pair(case: Case, job: JobFile, node: Node, problems: Problems) -> Pair | None:
    """The pair with its supplies; None, and notes, where its machines cannot give what they are to."""
    wrong, before = _at_key(node, problems), len(problems)
    supplies = _supplies(case, job, node, problems)
    ports = ports_for(case, supplies, lambda name, *said: wrong(("supplies", name), *said))
    return Pair(case, supplies, ports) if len(problems) == before else None


def _supplies(case: Case, job: JobFile, node: Node, problems: Problems) -> dict[str, str]:
    """What each function draws from: as the job says, as it is found, or as worked out."""
    found = {name: choice.text for name, choice in job.supplies}
    names = [function.name for function in case.implement.functions]
    for name, choice in job.supplies:
        if name not in names:
            message = f"there is no function called {quoted(name)}"
            problems.add(key_place(node, "supplies", name), message, nearest(name, names))
            del found[name]
            continue
        options = choices(case, names.index(name))
        if choice.text not in options:
            message = f"{name} cannot draw from {quoted(choice.text)}"
            problems.add(choice.place, message, nearest(choice.text, options))
            del found[name]
    if job.supplies:
        return found
    return supplies_of(case, dict(case.start.lines_on)) or worked_out(case)


def names_of(case: Case, kind: str) -> tuple[str, ...]:
    """Return the names that an action may use for a kind of `trainer.core.actions.Word`.

    >>> names_of(load_job("first-week/couple").case, "valve")
    ('v1', 'v2', 'v3', 'v4', 'v5')
    """
    hoses = tuple(hose.name for hose in case.implement.hoses)
    plugs = tuple(plug.name for plug in case.implement.plugs)
    ports = tuple(port.name for port in case.tractor.ports)
    functions = tuple(function.name for function in case.implement.functions)
    return {
        "station": STATIONS,
        "hose": hoses,
        "plug": plugs,
        "end": hoses + plugs,
        "port": ports,
        "line_or_port": hoses + ports,
        "socket": tuple(socket.name for socket in case.tractor.sockets),
        "valve": tuple(valve.name for valve in case.tractor.valves),
        "paper": tuple(paper.name for paper in case.papers),
        "site": tuple(site.name for site in case.sites),
        "source": case.tractor.speed_sources,
        "function": functions,
        "joint": tuple(joint.name for joint in case.implement.joints),
        "unit": (*(unit.name for unit in case.implement.units), "off") if case.implement.units else (),
        "function_or_line": functions + TESTS,
        **{only: faults.names(case, only) for only in ("part", "side", "pin", "fuse")},
    }[kind]


class _Lookup:
    """Looks up, in a case, the names a job file uses, and notes each one that is not there."""

    def __init__(self, case: Case, job: JobFile, node: Node, problems: Problems) -> None:
        self.case = case
        self._job = job
        self._node = node
        self._problems = problems
        self._steps = {step.name: step for step in job.steps}

    def _known(self, place: Place, what: str, name: str, options: Sequence[str]) -> bool:
        """Note a name that is not among the options; stand-ins for unreadable names pass as unknown."""
        if name in options:
            return True
        if name not in ("", "unnamed"):
            self._problems.add(place, f"there is no {what} called {quoted(name)}", nearest(name, options))
        return False

    # - the state the yard is found in

    def start(self) -> None:
        """Look up what the start refers to: machines' parts, and amounts the machines allow."""
        begin, tractor = self._job.start, self.case.tractor
        self._connections("lines", begin.lines_on, "hose", "port")
        self._connections("plugs", begin.plugs_on, "plug", "socket")
        for valve, _, dial in begin.levers:
            if self._known(self._start_key("levers", valve), "valve", valve, names_of(self.case, "valve")):
                top = tractor.valves[self.case.valve(valve)].top
                if dial > top:
                    place = place_at(self._node, "start", "levers", valve, "dial")
                    self._problems.add(
                        place, f"the dial of {valve} ends at {top}", f"a number from 0 to {top}"
                    )
        for port, _ in begin.pressures:
            self._known(self._start_key("pressures", port), "port", port, names_of(self.case, "port"))
        functions = self.case.implement.functions
        cylinders = [item.name for item in functions if item.is_cylinder]
        for function, _ in begin.cylinders:
            self._known(self._start_key("cylinders", function), "cylinder function", function, cylinders)
        turning = [item.name for item in functions if item.turns]
        for function, _ in begin.turning:
            self._known(self._start_key("turning", function), "function that turns", function, turning)
        locks = [item.name for item in functions if item.lockable]
        for group, given, what, names in (
            ("joints", begin.joints_secured, "joint", names_of(self.case, "joint")),
            ("locks", begin.locked, "function with a lock of its own", locks),
        ):
            for number, name in enumerate(given):
                self._known(place_at(self._node, "start", group, number), what, name, names)
        if begin.terminator:
            place = place_at(self._node, "start", "terminator")
            self._known(place, "unit on the bus", begin.terminator, names_of(self.case, "unit"))
        self._start_coupling()
        self._start_amounts()

    def _start_coupling(self) -> None:
        """A start has the keys of its pair's coupling, and amounts that the pair allows."""
        begin, tractor, tongue = self.case.start, self.case.tractor, self.case.implement.tongue
        node = self._node.get("start") if isinstance(self._node, MapNode) else None
        written = {key.text for key, _ in node.entries} if isinstance(node, MapNode) else set()
        mounted = ("hitch", "top_link", "sway", "bushings", "top_hook", "latches", "lift_lock")
        drawn = ("pin", "chain", "jack")
        if tongue is None:
            for key in mounted:
                if key not in written:
                    place = place_at(self._node, "start")
                    self._problems.add(place, f"'{key}' is missing in 'start'", f"{key}: as it is found")
        for key in drawn if tongue is None else ("latches",):
            if key in written:
                message = f"{self.case.implement.name} has no {key}"
                place = place_at(self._node, "start", key)
                self._problems.add(place, message, "the keys of its own coupling")
        stub = tractor.pto_speeds_rev_min or (tractor.pto_rev_min,)
        if milli(begin.pto_rev_min) not in [milli(speed) for speed in stub]:
            speeds = [f"{speed:g} rev/min" for speed in stub]
            place = place_at(self._node, "start", "pto_speed")
            self._problems.add(place, f"{tractor.name} does not have this speed", nearest("", speeds))
        drawbar = tractor.drawbar
        if drawbar is not None and micro(begin.drawbar_reach_m) not in [
            micro(reach) for reach in drawbar.reaches_m
        ]:
            reaches = [f"{reach * 1000:g} mm" for reach in drawbar.reaches_m]
            place = place_at(self._node, "start", "drawbar_reach")
            message = f"the drawbar of {tractor.name} has no such setting"
            self._problems.add(place, message, nearest("", reaches))
        if tongue is not None and not tongue.jack_low_m <= begin.jack_m <= tongue.jack_high_m:
            advice = f"a height from {tongue.jack_low_m * 1000:g} mm to {tongue.jack_high_m * 1000:g} mm"
            place = place_at(self._node, "start", "jack")
            self._problems.add(place, "the jack does not hold the eye at this height", advice)
        if begin.pinned and begin.distance_m > 0.0:
            place = place_at(self._node, "start", "distance")
            self._problems.add(place, "the pin holds a machine that stands apart", "0 m")
        if begin.pinned and begin.drawbar_stowed:
            place = place_at(self._node, "start", "drawbar")
            self._problems.add(place, "the pin is in a drawbar that is stowed", "extended")
        if self.case.implement.plugs and self._job.speed_source.text == "":
            roles = [plug.role for plug in self.case.implement.plugs]
            if "bus" in roles and self.case.implement.row_width_m:
                message = "a machine that seeds by the tractor's speed needs to know from what"
                self._problems.add(place_at(self._node), message, "speed_source: ground_radar")

    def _start_amounts(self) -> None:
        begin, tractor = self.case.start, self.case.tractor
        for key, value, low, high in (
            ("hitch", begin.hitch_m, tractor.hitch_low_m, tractor.hitch_high_m),
            ("top_link", begin.top_link_m, tractor.top_link_short_m, tractor.top_link_long_m),
            ("sway", begin.sway_m, 0.0, tractor.sway_free_m),
        ):
            if not low <= value <= high:
                message = f"{tractor.name} cannot be found like that"
                advice = f"a length from {low * 1000:g} mm to {high * 1000:g} mm"
                self._problems.add(place_at(self._node, "start", key), message, advice)
        if begin.ballast_kg not in tractor.ballast_steps_kg:
            steps = [f"{step} kg" for step in tractor.ballast_steps_kg]
            message = f"{tractor.name} has no ballast of {begin.ballast_kg} kg"
            self._problems.add(place_at(self._node, "start", "ballast"), message, nearest("", steps))
        if begin.latched and begin.distance_m > 0.0:
            place = place_at(self._node, "start", "distance")
            self._problems.add(place, "the latches hold a machine that stands apart", "0 m")
        if begin.lines_on and begin.distance_m > 0.0:
            place = place_at(self._node, "start", "distance")
            self._problems.add(place, "lines are on between machines that stand apart", "0 m")
        source = place_at(self._node, "start", "speed_source")
        self._known(source, "speed source on this tractor", begin.speed_source, tractor.speed_sources)

    def _start_key(self, group: str, name: str) -> Place:
        start = self._node.get("start") if isinstance(self._node, MapNode) else None
        return key_place(start, group, name) if isinstance(start, MapNode) else place_at(self._node, "start")

    def _connections(self, group: str, pairs: Sequence[tuple[str, str]], what: str, where: str) -> None:
        """Each end has to be there, to fit its port or socket, and no port or socket takes two."""
        taken: dict[str, str] = {}
        ends = self.case.implement.hoses if what == "hose" else self.case.implement.plugs
        seats = self.case.tractor.ports if where == "port" else self.case.tractor.sockets
        end_forms = {end.name: end.form for end in ends}
        seat_forms = {seat.name: seat.form for seat in seats}
        for end, seat in pairs:
            place = place_at(self._node, "start", group, end)
            known = self._known(self._start_key(group, end), what, end, tuple(end_forms))
            if not (self._known(place, where, seat, tuple(seat_forms)) and known):
                continue
            if end_forms[end] != seat_forms[seat]:
                fitting = [name for name, form in seat_forms.items() if form == end_forms[end]]
                message = f"{end} ({end_forms[end]}) does not fit {seat} ({seat_forms[seat]})"
                self._problems.add(place, message, nearest(seat, fitting))
            if seat in taken:
                self._problems.add(place, f"{seat} already takes {taken[seat]}", f"another {where}")
            taken[seat] = end

    # - the job itself

    def job(self) -> None:
        """Look up what the job asks for beside its steps."""
        tractor, work = self.case.tractor, self.case.engine_work_rev_min
        source = self._job.speed_source
        if source.text:
            self._known(source.place, "speed source on this tractor", source.text, tractor.speed_sources)
        if not tractor.idle_rev_min <= work <= tractor.rated_rev_min:
            message = f"{tractor.name} does not run at this speed"
            advice = f"a speed from {tractor.idle_rev_min:g} rev/min to {tractor.rated_rev_min:g} rev/min"
            self._problems.add(place_at(self._node, "engine_work"), message, advice)

    def papers(self, texts: Sequence[PaperText]) -> Case:
        """Return the case with all papers in it, their gaps filled, whichever file they come from."""
        roots = figures(self.case)
        papers: dict[str, Paper] = {}
        for text in texts:
            if text.name in papers:
                place = text.lines[0][1] if text.lines else place_at(self._node, "papers")
                message = f"a paper called {quoted(text.name)} lies in another file of this job too"
                self._problems.add(place, message, "another name for one of them")
            papers[text.name] = Paper(text.name, text.title, tuple(self._filled(text, roots)))
        fit = self._job.fit_paper
        self._known(fit.place, "paper", fit.text, tuple(papers))
        self.case = replace(self.case, papers=tuple(papers.values()))
        return self.case

    def _filled(self, text: PaperText, roots: Mapping[str, object]) -> Iterator[str]:
        for line, place in text.lines:
            try:
                yield filled(line, roots)
            except Refused as refused:
                self._problems.add(place, refused.message, refused.advice)

    # - steps, answer and slips

    def actions(self) -> None:
        """Look up the names in all actions of steps and slips."""
        for step in self._job.steps:
            for line in step.do:
                if line.text.startswith("step:"):
                    message = "a step cannot hold another step"
                    self._problems.add(line.place, message, "the actions of that step")
                else:
                    self._action(line)
        for slip in self._job.slips:
            for edit in slip.change:
                for line in edit.do:
                    self._step_or_action(line)
        for fault in self._job.faults:
            for line in fault.answer:
                self._step_or_action(line)

    def _step_or_action(self, line: Placed) -> None:
        if line.text.startswith("step:"):
            name = line.text.removeprefix("step:").strip()
            self._known(line.place, "step", name, tuple(self._steps))
        else:
            self._action(line)

    def _action(self, line: Placed) -> None:
        if not line.text:
            return
        action = from_line(line.text)
        word = WORDS[action.word]
        for kind, name in ((word.thing, action.thing), (word.place, action.place)):
            if isinstance(kind, str) and kind:
                what = {
                    "line_or_port": "line or port",
                    "function_or_line": "function or test",
                    "end": "hose, plug or shaft",
                    "source": "speed source",
                    "part": "part of these machines",
                }.get(kind, kind)
                self._known(line.place, what, name, names_of(self.case, kind))
        valve = self.case.valve(action.thing) if word.thing == "valve" else -1
        if action.word == "dial" and valve >= 0 and action.amount is not None:
            top = self.case.tractor.valves[valve].top
            if action.amount > top * 1000:
                message = f"the dial of {action.thing} ends at {top}"
                self._problems.add(line.place, message, f"dial: {action.thing} to {top}")
        self._amounts_fit(action, line)
        steps = self.case.tractor.ballast_steps_kg
        if action.word == "ballast" and action.amount not in [step * 1000 for step in steps]:
            message = f"{self.case.tractor.name} has no such ballast"
            self._problems.add(line.place, message, nearest("", [f"ballast: {step} kg" for step in steps]))

    def _amounts_fit(self, action: Action, line: Placed) -> None:
        """Settings of drawbar, stub and jack are those the machines have."""
        tractor, tongue = self.case.tractor, self.case.implement.tongue
        if action.amount is None:
            return
        if action.word == "drawbar_reach":
            reaches = tractor.drawbar.reaches_m if tractor.drawbar is not None else ()
            if action.amount not in [micro(reach) for reach in reaches]:
                told = [f"drawbar_reach: {reach * 1000:g} mm" for reach in reaches]
                message = f"the drawbar of {tractor.name} has no such setting"
                self._problems.add(line.place, message, nearest("", told))
        speeds = tractor.pto_speeds_rev_min
        if action.word == "pto_speed" and action.amount not in [milli(speed) for speed in speeds]:
            told = [f"pto_speed: {speed:g} rev/min" for speed in speeds]
            self._problems.add(line.place, f"{tractor.name} has no such speed to shift to", nearest("", told))
        if action.word == "jack" and (
            tongue is None or not micro(tongue.jack_low_m) <= action.amount <= micro(tongue.jack_high_m)
        ):
            low, high = (tongue.jack_low_m, tongue.jack_high_m) if tongue is not None else (0.0, 0.0)
            advice = f"a height from {low * 1000:g} mm to {high * 1000:g} mm"
            self._problems.add(line.place, "the jack does not hold the eye at this height", advice)

    def answer(self) -> tuple[str, ...]:
        """Return the names of the answer's steps; each has to be there once."""
        names = tuple(self._steps)
        if not self._job.answer:
            return names
        answer: list[str] = []
        for entry in self._job.answer:
            if entry.text in answer:
                self._problems.add(
                    entry.place, f"{quoted(entry.text)} is in the answer twice", "each step once"
                )
            elif self._known(entry.place, "step", entry.text, names):
                answer.append(entry.text)
        return tuple(answer)

    def faults(self) -> tuple[Case, dict[str, tuple[Item, ...]]]:
        """Return the case with what may be wrong in it, and the run that finds each."""
        found: list[Fault] = []
        answers: dict[str, tuple[Item, ...]] = {}
        for text in self._job.faults:
            if self._fault_ends(text):
                fault = Fault(text.name, text.kind, text.at.text, text.to.text, text.low, text.high)
                found.append(faults.middling(fault))
            if text.answer and not text.answer[0].text.startswith("step:"):
                message = "a run begins with the step whose ready state it needs"
                self._problems.add(text.answer[0].place, message, f"step: {next(iter(self._steps), 'name')}")
            answers[text.name] = tuple(new_items(self._job.steps, text.answer))
        tests = names_of(self.case, "function_or_line")
        for name in self._job.proof:
            self._known(name.place, "test", name.text, tests)
        for slip in self._job.slips:
            if slip.fault.text:
                self._known(slip.fault.place, "fault of this job", slip.fault.text, tuple(answers))
        proof = tuple(name.text for name in self._job.proof)
        self.case = replace(self.case, symptom=self._job.symptom, faults=tuple(found), proof=proof)
        return self.case, answers

    def _fault_ends(self, text: FaultText) -> bool:
        kind = faults.KINDS[text.kind]
        good = True
        for wanted, end in ((kind.at, text.at), (kind.to, text.to)):
            if wanted:
                good = self._known(end.place, wanted, end.text, names_of(self.case, wanted)) and good
        amiss = (
            faults.misplaced(self.case, Fault(text.name, text.kind, text.at.text, text.to.text))
            if good
            else ""
        )
        if amiss:
            self._problems.add(text.at.place, amiss, "a part that is on when the yard is found")
        return good and not amiss

    def order(self, answer: tuple[str, ...]) -> None:
        """The order of steps has no ring in it, and the answer keeps it."""
        before = {step.name: [edge for edge, _, _ in step.after] for step in self._job.steps}
        for edges in before.values():
            for edge in edges:
                self._known(edge.place, "step", edge.text, tuple(self._steps))
        ring = _ring({name: [edge.text for edge in edges] for name, edges in before.items()})
        if ring:
            place = next(edge.place for edge in before[ring[0]] if edge.text == ring[1])
            message = f"these steps wait for each other: {' < '.join(reversed(ring))}"
            self._problems.add(place, message, "an order without a ring")
            return
        written = {entry.text: entry.place for entry in self._job.answer}
        for position, name in enumerate(answer):
            for edge in before[name]:
                if edge.text in answer[position:]:
                    place = written.get(name, edge.place)
                    message = f"the answer does {name} before {edge.text}, which has to come first"
                    self._problems.add(place, message, f"{edge.text} above {name}")

    def slip(self, slip: SlipText, items: tuple[Item, ...], rules: Sequence[Rule]) -> Slip:
        """Return a slip with its edits carried out on the answer."""
        edited = list(items)
        for edit in slip.change:
            if edit.kind and edit.what.text:
                try:
                    edited = edited_items(self._job.steps, edited, edit)
                except Unfit as unfit:
                    self._problems.add(unfit.place, unfit.message, unfit.advice)
        own = {rule.name: rule for rule in rules if self.case.goal in (rule.goals or GOALS)}
        for rule in slip.earns:
            if rules:
                self._known(rule.place, f"rule for the goal {self.case.goal}", rule.text, tuple(own))
        earns = tuple(rule.text for rule in slip.earns)
        return Slip(slip.name, slip.title, tuple(edited), earns, slip.fault.text)


def _ring(before: Mapping[str, Sequence[str]]) -> list[str]:
    """Return steps that wait for each other, first and last the same; empty where there are none.

    >>> _ring({"a": ["b"], "b": ["c"], "c": ["a"], "d": []})
    ['a', 'b', 'c', 'a']
    >>> _ring({"a": ["b", "gone"], "b": []})
    []
    """
    done: set[str] = set()
    for first in before:
        path: list[str] = []
        ways = [iter([first])]
        while ways:
            name = next(ways[-1], None)
            if name is None:
                ways.pop()
                if path:
                    done.add(path.pop())
            elif name in path:
                return [*path[path.index(name) :], name]
            elif name in before and name not in done:
                path.append(name)
                ways.append(iter(before[name]))
    return []
