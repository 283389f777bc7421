"""A job proves itself: its answer earns full marks, each slip is found by the rules it is meant to earn.

What cannot be read is told as `source.Problem`s with their places; what reads well and plays wrong is told
here as faults, one sentence each.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

from trainer.authoring.compile import Job, Slip, folders_of, list_jobs, load_job, trade_edges
from trainer.authoring.edits import Item
from trainer.authoring.machines import nearest, read_implement, read_tractor
from trainer.authoring.orders import actions_of, answer_items, slip_items, stands
from trainer.authoring.photos import photo_problems
from trainer.authoring.quantities import quoted
from trainer.authoring.reader import Reader, read_as
from trainer.authoring.source import ContentError, MapNode, Problem, Scalar, read_source
from trainer.authoring.translation import Untranslated, content_files, untranslated
from trainer.content import content_root
from trainer.core.actions import as_line
from trainer.core.attempt import Attempt
from trainer.core.rules import Finding
from trainer.core.scoring import FULL_MARKS, Score
from trainer.core.units import TICKS_PER_S
from trainer.lang import Texts

TEXTS_OF_A_RULE = ("title", "harm", "typical", "right")


@dataclass(frozen=True, slots=True)
class Run:
    """One run that was played: the answer (its name is `answer`) or a slip.

    `refused` lists what the yard did not let happen, `faults` what is wrong with the run, in words.
    """

    name: str
    title: str
    points: int
    passed: bool
    ended: str
    time_s: float
    findings: tuple[Finding, ...]
    refused: tuple[str, ...]
    faults: tuple[str, ...]

    @property
    def ok(self) -> bool:
        return not self.faults

    def to_json(self) -> dict[str, Any]:
        """Return the run as plain values for `json.dumps`; measured values in the unit they are shown in."""
        return {
            "name": self.name,
            "title": self.title,
            "points": self.points,
            "passed": self.passed,
            "ended": self.ended,
            "time_s": self.time_s,
            "findings": [
                {
                    "rule": finding.rule,
                    "severity": finding.severity,
                    "thing": finding.thing,
                    "at_s": finding.at_s,
                    "measured": finding.measured_shown,
                    "limit": finding.limit_shown,
                    "unit": finding.unit,
                    "root": finding.root,
                }
                for finding in self.findings
            ],
            "refused": list(self.refused),
            "faults": list(self.faults),
        }


@dataclass(frozen=True, slots=True)
class Report:
    """What came of one job. `unguarded` names orders of kind I or D that no rule watches over: to know,
    not a fault."""

    job: str
    runs: tuple[Run, ...]
    faults: tuple[str, ...]
    unguarded: tuple[str, ...]

    @property
    def ok(self) -> bool:
        return not self.faults and all(run.ok for run in self.runs)

    def all_faults(self) -> Iterator[str]:
        """Yield every fault with the run it belongs to."""
        yield from self.faults
        for run in self.runs:
            for fault in run.faults:
                yield f"{run.name}: {fault}"

    def to_json(self) -> dict[str, Any]:
        """Return the report as plain values for `json.dumps`."""
        return {
            "job": self.job,
            "ok": self.ok,
            "runs": [run.to_json() for run in self.runs],
            "faults": list(self.faults),
            "unguarded": list(self.unguarded),
        }


@dataclass(frozen=True, slots=True)
class Checked:
    """What came of several jobs: a report for each that could be read, the problems of those that could
    not (`unlisted` more were found), faults of the rules that concern all jobs, and the texts of these jobs
    that the language asked for does not have (they are shown in English, which is no fault)."""

    reports: tuple[Report, ...]
    problems: tuple[Problem, ...]
    unlisted: int
    faults: tuple[str, ...]
    untranslated: tuple[Untranslated, ...] = ()
    machines: tuple[str, ...] = ()
    """Files of machines that were asked about and have nothing wrong with them."""

    @property
    def ok(self) -> bool:
        return not self.problems and not self.faults and all(report.ok for report in self.reports)

    def to_json(self) -> dict[str, Any]:
        """Return everything as plain values for `json.dumps`."""
        return {
            "ok": self.ok,
            "jobs": [report.to_json() for report in self.reports],
            "machines": list(self.machines),
            "problems": [problem.to_json() for problem in self.problems],
            "unlisted": self.unlisted,
            "faults": list(self.faults),
            "untranslated": [each.to_json() for each in self.untranslated],
        }


def check_job(job: Job, texts: Texts | None = None) -> Report:
    """Play a job's answer and all its slips and look up the texts of its rules.

    >>> from dataclasses import replace
    >>> job = load_job("first-week/couple")
    >>> report = check_job(replace(job, answer=job.answer[:1], slips=()))
    >>> report.ok, report.runs[0].ended
    (False, '')
    """
    posed = [job.posed(fault.name) for fault in job.case.faults] or [job]
    runs = [*(_answer(one) for one in posed), *(_slip(job.posed(slip.fault), slip) for slip in job.slips)]
    guarded = {edge for rule in job.rules for edge in rule.guards}
    unguarded = tuple(name for name, kind in edges_of(job) if kind in ("I", "D") and name not in guarded)
    missing = tuple(_missing_texts(job, Texts.load() if texts is None else texts))
    return Report(job.name, tuple(runs), missing, unguarded)


def check_paths(paths: Sequence[str | Path], root: Path | None = None, texts: Texts | None = None) -> Checked:
    """Check jobs by name or path; without any, all jobs under `root` (the folder that holds `scenarios/`).

    A path below `machines/tractors` or `machines/implements` is that of a machine, read by itself.

    >>> checked = check_paths(["first-week/cuple"])
    >>> checked.ok, checked.problems[0].advice
    (False, 'first-week/couple')
    """
    reports: list[Report] = []
    problems: dict[Problem, None] = {}
    unlisted = 0
    jobs: dict[str, Job] = {}
    names = list_jobs(root)
    texts = Texts.load() if texts is None else texts
    machines: list[str] = []
    for path in paths or names:
        if shape_of(path) is not None:
            wrong = tuple(machine_problems(Path(path)))
            problems.update(dict.fromkeys(wrong))
            machines += [] if wrong else [str(path)]
            continue
        try:
            job = load_job(path, root)
        except ContentError as error:
            problems.update(dict.fromkeys(error.problems))
            unlisted += error.unlisted
            continue
        jobs[job.name] = job
        problems.update(dict.fromkeys(look_problems(job.files)))
        problems.update(dict.fromkeys(photo_problems(job.files, job.name, folders_of(path, root))))
        reports.append(check_job(job, texts))
    faults: tuple[str, ...] = ()
    if not problems and (jobs or not machines):
        faults = tuple(_rule_faults(_all_jobs(jobs, names, root)))
    files: dict[str, str] = {} if paths else content_files(root)
    for job in jobs.values():
        files.update(job.files)
    lacking = tuple(untranslated(files, texts))
    return Checked(tuple(reports), tuple(problems), unlisted, faults, lacking, tuple(machines))


def shape_of(path: str | Path) -> Callable[[Reader], object] | None:
    """Return the shape of a machine's file by the folder it lies in; None for what is no machine's.

    >>> shape_of("mine/machines/tractors/blue_one.yaml").__name__, shape_of("first-week/couple")
    ('read_tractor', None)
    """
    folders = Path(path).parts[:-1]
    found = (_SHAPES.get(inner) for outer, inner in pairwise(folders) if outer == "machines")
    return next((shape for shape in found if shape is not None), None)


def machine_problems(path: Path, name: str | None = None) -> Iterator[Problem]:
    """Yield what is wrong in a machine's file, by itself; `name` is what messages call it."""
    shape = shape_of(path)
    if shape is None:
        return
    try:
        read_as(path, shape, name)
        group = next(part for part in _LOOKS if part in path.parts)
        text = path.read_text("utf-8-sig")
    except ContentError as error:
        yield from error.problems
        return
    for problem in look_problems({f"machines/{group}/x.yaml": text}):
        yield replace(problem, place=replace(problem.place, file=name or str(path)))


def look_problems(files: Mapping[str, str]) -> Iterator[Problem]:
    """Yield each machine file's `look` that `art/looks.yaml` does not have.

    It is told here and not where files are read: a record must be re-graded whatever became of the drawings.

    >>> for problem in look_problems({"machines/tractors/x.yaml": "name: x\\nlook: row_corp\\n"}):
    ...     print(problem.render())
    machines/tractors/x.yaml:2:7: there is no look called 'row_corp'. Write: row_crop
        look: row_corp
              ^
    """
    for name, text in files.items():
        group = next((one for one in _LOOKS if name.startswith(f"machines/{one}/")), "")
        if not group:
            continue
        node = read_source(text, name)
        look = node.get("look") if isinstance(node, MapNode) else None
        if isinstance(look, Scalar) and _looks(group) and look.text not in _looks(group):
            message = f"there is no look called {quoted(look.text)}"
            yield Problem(look.place, message, nearest(look.text, _looks(group)))


_LOOKS = ("tractors", "implements")
_SHAPES: dict[str, Callable[[Reader], object]] = {"tractors": read_tractor, "implements": read_implement}


@cache
def _looks(group: str) -> tuple[str, ...]:
    """The names of the looks of tractors or of implements; none where the drawings are not at hand."""
    file = content_root() / "art" / "looks.yaml"
    if not file.is_file():
        return ()
    node = read_source(file)
    found = node.get(group) if isinstance(node, MapNode) else None
    return tuple(key.text for key, _ in found.entries) if isinstance(found, MapNode) else ()


def edges_of(job: Job) -> Iterator[tuple[str, str]]:
    """Yield each order of two steps as `before<after`, with its kind.

    >>> dict(edges_of(load_job("first-week/couple")))["area_clear<back_align"]
    'I'
    """
    for step in job.case.steps:
        for edge in step.after:
            yield f"{edge.before}<{step.name}", edge.kind


def _all_jobs(checked: dict[str, Job], names: Iterable[str], root: Path | None) -> list[Job]:
    """The jobs checked and those that lie beside them and can be read."""
    jobs = list(checked.values())
    for name in names:
        if name not in checked:
            try:
                jobs.append(load_job(name, root))
            except ContentError:
                continue  # it was not asked about
    return jobs


def _rule_faults(jobs: Sequence[Job]) -> Iterator[str]:
    """A rule guards orders that the trade knows or some job has, and follows from rules there are."""
    edges = {name for job in jobs for name, _ in edges_of(job)}.union(*(trade_edges(job) for job in jobs))
    told: set[tuple[str, str]] = set()
    for job in jobs:
        names = {rule.name for rule in job.rules}
        for rule in job.rules:
            for cause in rule.follows:
                if cause not in names and (rule.name, cause) not in told:
                    told.add((rule.name, cause))
                    yield f"rule {rule.name} follows {cause}, but there is no rule of that name"
            for edge in rule.guards:
                if edge not in edges and (rule.name, edge) not in told:
                    told.add((rule.name, edge))
                    missing = "neither the trade nor a job has these two steps in that order"
                    yield f"rule {rule.name} guards {edge}, but {missing}"


def _missing_texts(job: Job, texts: Texts) -> Iterator[str]:
    for rule in job.rules:
        for part in TEXTS_OF_A_RULE:
            if not texts.has(f"rules.{rule.name}.{part}"):
                yield f"rule {rule.name} has no text rules.{rule.name}.{part} in {texts.language}.yaml"
        when = "_".join((rule.on, *rule.things, *rule.places))
        for key in (f"cli.rules.when.{when}", f"cli.rules.measures.{rule.measure}"):
            if not texts.has(key):
                yield f"rule {rule.name} has no text {key} in {texts.language}.yaml"


def _answer(job: Job) -> Run:
    attempt, faults = _played(job, answer_items(job), watch_done=True)
    score = attempt.score()
    if not score.passed or score.points != FULL_MARKS:
        how = f"{score.points} points, {'passed' if score.passed else 'not passed'}"
        faults.append(f"the answer does not earn full marks: {how}, {score.ended or 'not handed in'}")
    faults.extend(f"the answer is found wanting: {_said(finding)}" for finding in attempt.findings)
    refused = _refused(attempt)
    faults.extend(f"the yard refuses an action of the answer: {line}" for line in refused)
    faults.extend(_not_told(attempt))
    drawn = job.case.fault
    name = f"answer {drawn.name}" if drawn is not None else "answer"
    return _run(name, job.case.title, attempt, score, refused, faults)


def _not_told(attempt: Attempt) -> Iterator[str]:
    """What nothing measured in a run tells the drawn fault from, and what tells it from each other one."""
    fault = attempt.case.fault
    if fault is None:
        return
    numbers = range(1, len(attempt.taken) + 1)
    for name in attempt.not_told_apart(numbers):
        other = f"the fault {name}" if name else "the sound machine"
        yield f"nothing that is measured in the answer tells {fault.name} from {other}"


def _slip(job: Job, slip: Slip) -> Run:
    attempt, faults = _played(job, slip_items(job, slip), watch_done=False)
    found = [finding.rule for finding in attempt.findings]
    faults.extend(f"rule {rule} is not found" for rule in slip.earns if rule not in found)
    faults.extend(
        f"found, but not among what it earns: {_said(finding)}"
        for finding in attempt.findings
        if finding.fails and finding.rule not in slip.earns
    )
    return _run(slip.name, slip.title, attempt, attempt.score(), _refused(attempt), faults)


def _run(
    name: str, title: str, attempt: Attempt, score: Score, refused: tuple[str, ...], faults: Sequence[str]
) -> Run:
    time_s = attempt.state.tick / TICKS_PER_S
    findings = tuple(attempt.findings)
    return Run(name, title, score.points, score.passed, score.ended, time_s, findings, refused, tuple(faults))


def _played(job: Job, items: Sequence[Item], watch_done: bool) -> tuple[Attempt, list[str]]:
    """Play items; with `watch_done`, look after each step whether what shows it done stands."""
    attempt = Attempt(job.case, job.rules)
    faults: list[str] = []
    done: dict[str, tuple[str, ...]] = {step.name: step.done for step in job.case.steps}
    current = ""
    try:
        for item in (*items, Item()):
            if item.step or item == Item():
                lost = [name for name in done.get(current, ()) if watch_done and not stands(attempt, name)]
                faults.extend(f"step {current} is not done after its actions: {name}" for name in lost)
                current = item.step
            if item == Item() or attempt.state.ended:
                break
            for action in actions_of(attempt, item):
                attempt.settle()
                attempt.do(action)
                attempt.settle()
    except KeyError as error:
        faults.append(f"a rule asks for what its event does not tell: {error.args[0]}")
    return attempt, faults


def _refused(attempt: Attempt) -> tuple[str, ...]:
    return tuple(f"{as_line(entry.action)} ({entry.refused})" for entry in attempt.log if entry.refused)


def _said(finding: Finding) -> str:
    """A finding in one line: rule, severity, what was measured and the limit, and when."""
    thing = f" {finding.thing}" if finding.thing else ""
    measured = f"{finding.measured_shown:g} against {finding.limit_shown:g} {finding.unit}"
    return f"{finding.rule}{thing} ({finding.severity}): {measured} at {finding.at_s:g} s"
