"""The command line: it parses, prints and exits; what it prints is worked out elsewhere.

Without a command the window opens; where there is no display a demonstration runs off-screen. Status 0 when
a command did its work (a failed attempt is work done), 1 for input that cannot be used (each fault with file,
line, column and what to write instead), 2 for a command line that cannot be understood.
"""

from __future__ import annotations

import dataclasses
import inspect
import json
import math
import os
import sys
import tempfile
import time
from collections.abc import Callable
from contextvars import ContextVar
from enum import StrEnum
from functools import wraps
from importlib import metadata
from pathlib import Path
from typing import Annotated, Any, NoReturn

import typer
from rich.console import Console
from rich.table import Table
from rich.text import Text

from trainer.authoring import audit as audits
from trainer.authoring import orders
from trainer.authoring.check import Checked, check_paths
from trainer.authoring.compile import Job, list_jobs, load_job
from trainer.authoring.criteria import CRITERIA, NONE
from trainer.authoring.machines import nearest
from trainer.authoring.new import new_file
from trainer.authoring.qualify import MODELS, Qualification, qualify, read_reference
from trainer.authoring.quantities import Refused
from trainer.authoring.source import ContentError
from trainer.authoring.translation import load_texts, show_in, to_write, translated
from trainer.content import ContentMissing
from trainer.core import budget as budgets
from trainer.core.actions import WORDS, as_line
from trainer.core.attempt import Attempt
from trainer.core.case import STATIONS
from trainer.core.units import TICKS_PER_S
from trainer.lang import Texts, chosen, languages, system_tags
from trainer.records import action_list, attempt_file, debriefing, rulebook, settings, telling
from trainer.records.attempt_file import MAX_SEED
from trainer.records.charts import clock
from trainer.records.journal import Recorder, record_of
from trainer.records.replay import Regrade, regrade
from trainer.terminal import print_budget, print_debrief, print_plain, print_risk_tables, print_rule, table_of

DEMONSTRATION_JOB = "first-week/couple"
DEMONSTRATION_SLIP = "drain_on_power_beyond"
_OFF_SCREEN_DRIVERS = ("dummy", "offscreen")
_WIDE = 160  # columns for a table with sources; what no terminal shows is never narrower
_asked: ContextVar[str] = ContextVar("_asked", default="")
"""The language this command line asks for; '' where it asks for none."""


def _speak(code: str | None) -> str | None:
    if code is not None:
        known = languages()
        if code not in known:
            listed = ", ".join(f"{each} ({name})" for each, name in known.items())
            raise typer.BadParameter(f"there is no language '{code}'. Write: {listed}")
        _asked.set(code)
    return code


Language = Annotated[
    str | None,
    typer.Option(
        "--language",
        metavar="CODE",
        callback=_speak,
        is_eager=True,
        help=f"Language of what is shown: {', '.join(languages())}.",
    ),
]


class _App(typer.Typer):
    """Every command takes `--language`, before its name or behind it."""

    def command(self, name: str | None = None, **given: Any) -> Callable[[Any], Any]:
        register = super().command(name, **given)

        def with_language(function: Any) -> Any:
            @wraps(function)
            def spoken(*args: Any, language: str | None = None, **named: Any) -> Any:
                del language  # taken by its callback
                return function(*args, **named)

            asked = inspect.Parameter(
                "language", inspect.Parameter.KEYWORD_ONLY, default=None, annotation=Language
            )
            signature = inspect.signature(function, eval_str=True)
            parameters = [*signature.parameters.values(), asked]
            spoken.__signature__ = signature.replace(parameters=parameters)  # type: ignore[attr-defined]
            spoken.__annotations__ = {each.name: each.annotation for each in parameters}
            register(spoken)
            return function

        return with_language


app = _App(add_completion=False, pretty_exceptions_enable=False, rich_markup_mode=None)


class Format(StrEnum):
    """How results come out."""

    text = "text"
    json = "json"


class Unusable(Exception):
    """Input that cannot be used; the message says what and what to write instead."""


Formatted = Annotated[Format, typer.Option("--format", help="Text to read, or JSON for another program.")]
JobName = Annotated[
    str, typer.Argument(metavar="JOB", help="A job by name, as `jobs` lists them, or its file.")
]
AttemptFile = Annotated[Path, typer.Argument(metavar="ATTEMPT", help="An attempt file.")]


def main() -> None:
    """The entry point of the program; ends the process with its status."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:  # a screen that lacks a letter shows a substitute instead of failing
            reconfigure(errors="replace")
    os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
    try:
        app(prog_name="coupling-yard")
    except ContentError as error:
        _fail(str(error))
    except (Unusable, ContentMissing) as error:
        _fail(str(error))
    except BrokenPipeError:  # the reader of a pipe has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)


def _fail(message: str) -> NoReturn:
    print(message, file=sys.stderr)
    sys.exit(1)


def _show_version(wanted: bool) -> None:
    if wanted:
        try:
            version = metadata.version("coupling-yard")
        except metadata.PackageNotFoundError:
            version = _texts().say("cli.not_installed")
        print(_texts().say("cli.version", version=version))
        raise typer.Exit


@app.callback(invoke_without_command=True)
def front(
    context: typer.Context,
    out: Annotated[Path | None, typer.Option(help="New folder for what the demonstration writes.")] = None,
    version: Annotated[
        bool, typer.Option("--version", callback=_show_version, is_eager=True, help="Show the version.")
    ] = False,
    language: Language = None,
) -> None:
    """Practise coupling an implement to a tractor. Without a command: the window, or without a display a
    demonstration off-screen."""
    del version
    _asked.set(language or "")  # a command's own is taken after this
    if context.invoked_subcommand is not None:
        return
    if out is None and _display_expected():
        from trainer import app as window  # here, so that everything else runs without pygame

        try:
            window.run_window(language=_asked.get())
        except window.NoDisplay:
            pass
        else:
            return
    _demonstrate(out)


def _display_expected() -> bool:
    """Whether it is worth trying to open a window."""
    if os.environ.get("SDL_VIDEODRIVER", "") in _OFF_SCREEN_DRIVERS:
        return False
    platform: str = sys.platform
    if platform.startswith("linux"):
        return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
    return True


# --- playing and grading ---


@app.command()
def run(
    job: JobName,
    actions: Annotated[Path, typer.Option(help="A list of actions (YAML), or - for standard input.")],
    save: Annotated[Path | None, typer.Option(help="Write the attempt to this file.")] = None,
    page: Annotated[Path | None, typer.Option(help="Write the debrief page (HTML) to this file.")] = None,
    format: Formatted = Format.text,  # noqa: A002 (the option is called --format)
    seed: Annotated[
        int,
        typer.Option(min=0, max=MAX_SEED, help="Draws the fault of a job to find one; it goes on record."),
    ] = 0,
) -> None:
    """Play a list of actions through a job and grade it. A refused action is told and the run goes on."""
    texts = _texts(job)
    loaded = translated(load_job(job), texts)
    if str(actions) == "-":
        listed = action_list.read(sys.stdin.buffer.read(), "standard input")
    else:
        listed = action_list.read(actions)
    lines: list[str] = []
    recorder = Recorder.begin(loaded, lines.append, seed=seed)
    loaded = recorder.job
    notes = Console(stderr=True) if format is Format.json else Console()
    for each in listed:
        recorder.settle()
        refusal = recorder.do(each.action)
        if refusal is not None:
            why = telling.say_refusal(loaded.case, each.action, refusal, texts)
            line = as_line(each.action)
            print_plain(notes, texts.say("cli.run.refused", place=each.place, action=line, why=why))
    recorder.settle()
    if not recorder.attempt.state.ended:
        print_plain(notes, texts.say("cli.run.not_handed_in"))
    recorder.grade()
    if save is not None:
        with _writing(save):
            attempt_file.save(save, lines)
        print_plain(notes, texts.say("cli.run.saved", path=save))
    _page(page, loaded, recorder.attempt, texts, notes)
    _result(loaded, recorder.attempt, texts, format)


@app.command()
def grade(
    attempt: AttemptFile,
    page: Annotated[Path | None, typer.Option(help="Write the debrief page (HTML) to this file.")] = None,
    format: Formatted = Format.text,  # noqa: A002
) -> None:
    """Run an attempt again from its actions, grade it, and hold its record against that."""
    texts = _texts()
    record = attempt_file.read(attempt)
    notes = Console(stderr=True)
    if record.cut is not None:
        print_plain(notes, record.cut.render())
    graded = regrade(record)
    job = show_in(graded.job, graded.attempt, texts)
    _result(job, graded.attempt, texts, format)
    _page(page, job, graded.attempt, texts, notes, record.notes.plan)
    _agreement(graded, texts, notes if format is Format.json else Console())


def _agreement(graded: Regrade, texts: Texts, console: Console) -> None:
    """Tell whether the record agrees; one that was changed after it was made is bad input."""
    say = texts.say
    for what, then, now in graded.version_differences:
        print_plain(console, say("cli.grade.versions", what=what, then=then, now=now))
    for what, version, reason in graded.version_reasons:
        print_plain(console, say("cli.grade.change", what=what, version=version, reason=reason))
    if graded.record.chain is None:
        print_plain(console, say("cli.grade.unchained"))
    difference = graded.first_difference
    if difference is None:
        if graded.claimed is None:
            file, tick = graded.record.name, graded.record.last_tick
            print_plain(console, say("cli.grade.unclaimed", file=file, tick=tick))
        else:
            print_plain(console, say("cli.grade.agrees"))
        return
    gaps = {
        "place": difference.place,
        "tick": difference.tick,
        "time": clock(difference.tick),
        "field": difference.field,
        "recorded": difference.recorded or "''",
        "now": difference.now or "''",
    }
    if graded.version_differences:
        print_plain(console, say("cli.grade.versions_differ", **gaps))
        return
    raise Unusable(say("cli.grade.differs", **gaps))


@app.command()
def replay(attempt: AttemptFile, format: Formatted = Format.text) -> None:  # noqa: A002
    """Run an attempt again and tell, action by action, what was done and what followed."""
    texts = _texts()
    record = attempt_file.read(attempt)
    graded = regrade(record)
    show_in(graded.job, graded.attempt, texts)
    if record.cut is not None:
        print_plain(Console(stderr=True), record.cut.render())
    rows = _course(graded.attempt, texts)
    if format is Format.json:
        _print_json({"job": graded.job.name, "course": rows})
        return
    table = Table(box=None, pad_edge=False)
    table.add_column(texts.say("cli.replay.at"), justify="right", style="dim")
    table.add_column(texts.say("cli.replay.done"))
    table.add_column(texts.say("cli.replay.outcome"))
    for row in rows:
        refused = [texts.say("cli.replay.refused", why=row["refused"])] if row["refused"] else []
        outcome = Text("\n".join([*refused, *row["events"]]))
        for title in row["findings"]:
            outcome.append(f"\n{title}" if outcome.plain else title, style="bold red")
        table.add_row(clock(round(row["at_s"] * TICKS_PER_S)), Text(row["text"]), outcome)
    Console().print(table)


def _course(attempt: Attempt, texts: Texts) -> list[dict[str, Any]]:
    """Every action with the events and findings from it on to the next one."""
    case, log = attempt.case, attempt.log
    rows: list[dict[str, Any]] = []
    for number, entry in enumerate(log):
        until = log[number + 1].tick if number + 1 < len(log) else attempt.state.tick + 1
        events = [
            telling.say_event(case, event, texts)
            for event in attempt.events
            if entry.tick <= event.tick < until and not event.kind.startswith("refused")
        ]
        findings = [
            telling.say_finding(case, finding, texts)
            for finding in attempt.findings
            if entry.tick <= finding.tick < until
        ]
        rows.append(
            {
                "at_s": entry.tick / TICKS_PER_S,
                "do": as_line(entry.action),
                "text": telling.say_action(case, entry.action, texts),
                "refused": telling.refusal_on_record(attempt, number, texts),
                "events": events,
                "findings": findings,
                "digest": entry.digest,
            }
        )
    return rows


def graded_json(job: str, attempt: Attempt, texts: Texts) -> dict[str, Any]:
    """A graded run as other programs read it."""
    score = attempt.score()
    return {
        "job": job,
        "score": score.points,
        "passed": score.passed,
        "ended": score.ended,
        "findings": [
            {
                "rule": finding.rule,
                "severity": finding.severity,
                "at_s": finding.at_s,
                "measured": finding.measured_shown,
                "limit": finding.limit_shown,
                "unit": finding.unit,
                "text": telling.say_finding(attempt.case, finding, texts),
                "source": finding.source,
                "root": finding.root,
            }
            for finding in attempt.findings
        ],
        "deductions": [
            row.to_json() for row in debriefing.taken(attempt.case, score, attempt.findings, texts)
        ],
        "parts": dict(score.parts),
    }


def _result(job: Job, attempt: Attempt, texts: Texts, format: Format) -> None:  # noqa: A002
    if format is Format.json:
        _print_json(graded_json(job.name, attempt, texts))
    else:
        print_debrief(Console(), attempt, texts, job.case.title)


def _page(
    path: Path | None,
    job: Job,
    attempt: Attempt,
    texts: Texts,
    notes: Console,
    plan: tuple[str, ...] = (),
) -> None:
    if path is None:
        return
    from trainer.records import pages

    with _writing(path):
        pages.write(path, job, attempt, texts, plan=plan)
    print_plain(notes, texts.say("cli.grade.page", path=path))


# --- what there is ---


@app.command()
def jobs(format: Formatted = Format.text) -> None:  # noqa: A002
    """List the jobs."""
    texts = _texts()
    loaded = [translated(load_job(name), texts) for name in list_jobs()]
    if format is Format.json:
        _print_json(
            [
                {
                    "job": job.name,
                    "title": job.case.title,
                    "course": job.case.course,
                    "goal": job.case.goal,
                    "par_s": job.case.par_s,
                    "pass_points": job.case.pass_points,
                    "slips": [slip.name for slip in job.slips],
                }
                for job in loaded
            ]
        )
        return
    table = Table(box=None, pad_edge=False)
    for column in ("job", "title", "goal", "par", "pass"):
        table.add_column(texts.say(f"cli.jobs.{column}"), no_wrap=column == "job")
    for job in loaded:
        case = job.case
        par = clock(round(case.par_s * TICKS_PER_S))
        table.add_row(
            job.name, Text(case.title), texts.say(f"cli.goal.{case.goal}"), par, str(case.pass_points)
        )
    console = Console() if Console().is_terminal else Console(width=_WIDE)
    console.print(table)


@app.command()
def actions(format: Formatted = Format.text) -> None:  # noqa: A002
    """Show every action word, where it is done, how long it takes and how it is written."""
    texts = _texts()
    if format is Format.json:
        _print_json([dataclasses.asdict(word) for word in WORDS.values()])
        return
    table = Table(box=None, pad_edge=False, expand=True)
    for column in ("word", "says", "where", "busy", "example"):
        ratio = {"says": 3, "where": 2}.get(column)
        table.add_column(texts.say(f"cli.actions.{column}"), no_wrap=ratio is None, ratio=ratio)
    for word in WORDS.values():
        anywhere = set(word.stations) == set(STATIONS)
        where = (
            texts.say("cli.actions.anywhere")
            if anywhere
            else ", ".join(texts.say(f"cli.stations.{station}") for station in word.stations)
        )
        busy = f"{word.busy_s:g} s" if word.busy_s else ""
        table.add_row(word.name, Text(texts.translated(word.says)), where, busy, Text(f"- {word.example}"))
    Console().print(table)


@app.command(name="rules")
def show_rules(
    name: Annotated[str | None, typer.Argument(metavar="[NAME]", help="One rule; all without.")] = None,
    format: Formatted = Format.text,  # noqa: A002
) -> None:
    """Show severity categories, probability levels, the risk table, and every rule with its reason."""
    texts = _texts()
    known = {rule.name: rule for each in list_jobs() for rule in load_job(each).rules}
    if name is not None and name not in known:
        raise Unusable(texts.say("cli.rules.none", name=name, nearest=nearest(name, list(known))))
    if format is Format.json:
        book = rulebook.to_json(known.values(), texts)
        _print_json(book if name is None else next(row for row in book["rules"] if row["rule"] == name))
        return
    console = Console()
    if name is None:
        print_risk_tables(console, texts)
    for page in rulebook.pages(known.values() if name is None else [known[name]], texts):
        print_rule(console, page, texts)


@app.command()
def budget(
    job: JobName,
    metric: Annotated[bool, typer.Option("--metric", help="Metric units in place of the US shop's.")] = False,
    format: Formatted = Format.text,  # noqa: A002
) -> None:
    """Work out what a coupling needs against what the tractor has: oil by phase, axle loads, current."""
    texts = _texts(job)
    case = translated(load_job(job), texts).case
    worked = budgets.budget(case)
    if format is Format.json:
        _print_json({"job": case.job, **_finite(dataclasses.asdict(worked))})
        return
    console = Console()
    print_plain(console, texts.say("cli.budget.title", title=case.title))
    print_budget(console, case, worked, texts, metric)


def _finite(value: Any) -> Any:
    """A tree of values with None in place of what JSON has no number for."""
    if isinstance(value, dict):
        return {key: _finite(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(each) for each in value]
    return None if isinstance(value, float) and not math.isfinite(value) else value


# --- for authors and developers ---


@app.command()
def check(
    files: Annotated[
        list[str] | None,
        typer.Argument(metavar="[FILE]...", help="Jobs by file or name; all jobs without any."),
    ] = None,
    format: Formatted = Format.text,  # noqa: A002
) -> None:
    """Check jobs: read them, play their answer and their slips, and hold each to what it must earn.

    Status 1 where something is wrong.
    """
    texts = _texts(files[0] if files else "")
    checked = check_paths(files or [], texts=texts)
    if format is Format.json:
        _print_json(checked.to_json())
    else:
        _checked(checked, texts)
    if not checked.ok:
        raise typer.Exit(1)


@app.command()
def new(
    kind: Annotated[str, typer.Argument(help="tractor, implement or job.")],
    name: Annotated[str, typer.Argument(help="Its name; of a job: course/name.")],
    into: Annotated[Path | None, typer.Option(help="Folder laid out like scenarios; else that.")] = None,
    coupling: Annotated[str, typer.Option(help="Of an implement: three_point or drawbar.")] = "three_point",
    tractor: Annotated[str, typer.Option(help="Of a job: its tractor.")] = "",
    implement: Annotated[str, typer.Option(help="Of a job: its implement.")] = "",
    goal: Annotated[str, typer.Option(help="Of a job: couple or uncouple.")] = "couple",
) -> None:
    """Write a commented file to start from: a tractor, an implement or a job for a pair."""
    try:
        print(new_file(kind, name, into, coupling, tractor, implement, goal))
    except (Refused, ContentError) as error:
        _fail(str(error))


def _checked(checked: Checked, texts: Texts) -> None:
    """What came of a check: problems with their places first, then each job with its runs."""
    console, say = Console(), texts.say
    for problem in checked.problems:
        print_plain(console, problem.render())
    if checked.unlisted:
        print_plain(console, say("cli.check.unlisted", count=checked.unlisted))
    for report in checked.reports:
        good = [run for run in report.runs if run.ok]
        print_plain(
            console,
            say(
                "cli.check.job",
                job=report.job,
                verdict=say("cli.check.good" if report.ok else "cli.check.bad"),
                good=len(good),
                runs=len(report.runs),
            ),
        )
        for fault in report.all_faults():
            print_plain(console, f"  {fault}")
        if report.unguarded:
            print_plain(console, "  " + say("cli.check.unguarded", orders=", ".join(report.unguarded)))
    for fault in checked.faults:
        print_plain(console, fault)
    if checked.untranslated:
        gaps = {"count": len(checked.untranslated), "language": say("language.name"), "code": texts.language}
        print_plain(console, say("cli.check.untranslated", **gaps))
        print_plain(console, to_write(checked.untranslated))


@app.command()
def audit(
    jobs: Annotated[
        list[str] | None,
        typer.Argument(metavar="[JOB]...", help="Jobs by name or file; all jobs without any."),
    ] = None,
    runs: Annotated[int, typer.Option(min=1, help="Safe orders, and as many runs that do harm.")] = 300,
    seed: Annotated[int, typer.Option(help="The same seed draws the same runs.")] = 1,
    random: Annotated[int, typer.Option(min=0, help="Also play this many sequences of any actions.")] = 0,
    format: Formatted = Format.text,  # noqa: A002
) -> None:
    """Hold the rules against a judge that does not know them, on safe orders and wrong runs by the hundred.

    Status 1 where a run that hurts or breaks is missed, where a safe order earns anything, and where random
    actions break the yard.
    """
    loaded = [load_job(name) for name in jobs or list_jobs()]
    with audits.workers(loaded) as pool:
        reports = [audits.audit_job(job, runs, seed, pool) for job in loaded]
        faults = audits.audit_random(loaded, random, seed, pool)
    if format is Format.json:
        _print_json({"jobs": [report.to_json() for report in reports], "random": random, "faults": faults})
    else:
        texts = _texts()
        for report in reports:
            _audited(report, texts)
        if random:
            print_plain(Console(), texts.say("cli.audit.random", count=random, faults=len(faults)))
        for fault in faults:
            print_plain(Console(), f"  {fault}")
    if faults or not all(report.ok for report in reports):
        raise typer.Exit(1)


def _audited(report: audits.Report, texts: Texts) -> None:
    """What came of one job: counts by class and by criterion, then every run that went astray."""
    console, say = Console(), texts.say
    classes = report.to_json()["classes"]
    columns = [say(f"cli.audit.{key}") for key in ("class", "runs", "caught", "missed", "failed", "alarms")]
    title = Text(say("cli.audit.title", job=report.job, seed=report.seed), style="bold")
    shown = table_of(title, columns, columns[:1])
    alarms = len([run for run in report.safe if run.alarmed])
    shown.add_row(say("cli.audit.safe"), str(len(report.safe)), "", "", "", str(alarms))
    for harm, told in classes.items():
        alarms = len([run for run in report.of_class(harm) if run.alarmed])
        harmful = harm in audits.WEIGHTS
        missed = str(told["runs"] - told["caught"]) if harmful else ""
        caught = "" if harm == NONE else str(told["caught"])
        figures = (str(told["runs"]), caught, missed, str(told["failed"]), "" if harmful else str(alarms))
        shown.add_row(say(f"cli.audit.classes.{harm}"), *figures)
    console.print(shown)
    columns = [say(f"cli.audit.{key}") for key in ("criterion", "class", "runs", "caught", "at_once")]
    shown = table_of(Text(say("cli.audit.criteria")), columns, columns[:2])
    for name, (harm, *counts) in report.by_criterion().items():
        shown.add_row(CRITERIA[name].why, say(f"cli.audit.classes.{harm}"), *map(str, counts))
    console.print(shown)
    for key, astray in (("missed_run", report.missed), ("alarmed_run", report.alarms)):
        for run in astray:
            gaps = {"operator": run.operator, "edit": run.edit, "number": run.number}
            print_plain(console, say(f"cli.audit.{key}", **gaps))
            for mark in run.marks:
                print_plain(console, f"    {clock(mark.tick)} {mark.criterion.why} ({mark.what or '-'})")
            for finding in run.findings:
                print_plain(console, f"    {clock(finding.tick)} {finding.rule} ({finding.severity})")
    print_plain(console, say("cli.audit.good" if report.ok else "cli.audit.bad", job=report.job))


@app.command(name="qualify")
def qualify_models(
    page: Annotated[Path | None, typer.Option(help="Write the table as a page (HTML) to this file.")] = None,
    format: Formatted = Format.text,  # noqa: A002
) -> None:
    """Hold the models against reference data: each figure beside its source, within its tolerance.

    Status 1 where a figure is off.
    """
    from trainer.records import qualification

    texts = _texts()
    table = qualify(read_reference())
    if page is not None:
        with _writing(page):
            qualification.write(page, table, texts)
        print_plain(Console(stderr=True), texts.say("cli.qualify.saved", path=page))
    if format is Format.json:
        _print_json(_finite(table.to_json()))
    else:
        _qualified(table, texts)
    if not table.ok:
        raise typer.Exit(1)


def _qualified(table: Qualification, texts: Texts) -> None:
    """The table model by model, then where its figures come from."""
    say = texts.say
    console = Console() if Console().is_terminal else Console(width=_WIDE)
    keys = ("quantity", "model", "reference", "difference", "tolerance", "verdict", "source", "standing")
    columns = [say(f"cli.qualify.{key}") for key in keys]
    for model in MODELS:
        title = Text(say(f"cli.qualify.models.{model}"), style="bold")
        shown = table_of(title, columns, (columns[0], *columns[5:]))
        for row in table.of_model(model):
            verdict = Text(
                say("cli.qualify.within" if row.ok else "cli.qualify.off"),
                style="green" if row.ok else "bold red",
            )
            made, known = row.shown(row.model_si), row.shown(row.check.value.value_si)
            off, allowed = row.shown(row.difference_si, 2), row.check.within
            if console.width >= _WIDE:
                told = (Text(row.check.quantity), made, known, off, allowed, verdict, Text(row.cited))
                shown.add_row(*told, row.check.standing)
            else:  # no room for columns: one entry below the other, in the order of the columns
                figures = f"{made} | {known} | {off} | {allowed} | "
                title.append(f"\n  {row.check.quantity}\n    {figures}", style="not bold")
                title.append_text(verdict)
                title.append(f"\n    {row.cited} ({row.check.standing})", style="dim not bold")
        console.print(shown if console.width >= _WIDE else title)
    columns = [say("cli.qualify.source"), say("cli.qualify.remark"), say("cli.qualify.used_as")]
    shown = table_of(Text(say("cli.qualify.sources"), style="bold"), columns, columns)
    for use in table.sources():
        used = ", ".join(f"{standing} ({count})" for standing, count in use.standings)
        shown.add_row(Text(use.source.title), Text(use.source.remark), used)
    console.print(shown)
    counts = {"rows": len(table.rows), "outside": table.from_outside(), "failed": len(table.failed)}
    print_plain(console, say("cli.qualify.counts", **counts))
    print_plain(console, say("cli.qualify.qualified" if table.ok else "cli.qualify.not_qualified"))


@app.command()
def bench(
    job: JobName = DEMONSTRATION_JOB,
    window: Annotated[
        bool,
        typer.Option(help="Also time frames of the window, on the driver SDL_VIDEODRIVER names."),
    ] = True,
    format: Formatted = Format.text,  # noqa: A002
) -> None:
    """Measure how long things take on this machine."""
    texts = _texts()
    loaded, compile_s = _timed(lambda: load_job(job))
    items = orders.answer_items(loaded)
    attempt, attempt_s = _timed(lambda: orders.play_items(loaded.case, loaded.rules, items))
    data = "".join(record_of(loaded, attempt)).encode("ascii")
    graded, regrade_s = _timed(lambda: regrade(attempt_file.parse(data, "bench")))
    idle = Attempt(loaded.case, loaded.rules)
    idle.run(TICKS_PER_S)
    _, still_s = _timed(lambda: idle.run(10_000))
    ticks = max(1, attempt.state.tick)
    figures: dict[str, Any] = {
        "compile_s": compile_s,
        "attempt_s": attempt_s,
        "attempt_ticks": ticks,
        "tick_s": attempt_s / ticks,
        "still_tick_s": still_s / 10_000,
        "regrade_s": regrade_s,
        "agrees": graded.agrees,
        "record_bytes": len(data),
    }
    shown = {
        "compile": f"{compile_s * 1e3:.0f} ms",
        "attempt": f"{attempt_s * 1e3:.0f} ms",
        "tick": f"{attempt_s / ticks * 1e6:.1f} µs",
        "still": f"{still_s / 10_000 * 1e6:.1f} µs",
        "regrade": f"{regrade_s * 1e3:.0f} ms",
        "record": f"{len(data) / 1000:.1f} kB",
    }
    driver = os.environ.get("SDL_VIDEODRIVER") or "dummy"
    if window:
        from trainer import app as windows

        frames = windows.bench(loaded)
        figures["frame_ratio"] = frames.panel.p50_ms / frames.bare.p50_ms
        for key, frame in (("panel", frames.panel), ("bare", frames.bare)):
            figures[f"{key}_frame_ms"] = {"p50": frame.p50_ms, "p99": frame.p99_ms, "driver": driver}
            shown[key] = texts.say("cli.bench.frame", p50=f"{frame.p50_ms:.2f}", p99=f"{frame.p99_ms:.2f}")
    if format is Format.json:
        _print_json({"job": loaded.name, **figures})
        return
    table = Table(box=None, pad_edge=False)
    table.add_column(texts.say("cli.bench.what"))
    table.add_column(texts.say("cli.bench.figure"), justify="right")
    for key, figure in shown.items():
        table.add_row(texts.say(f"cli.bench.{key}", driver=driver), figure)
    Console().print(table)


def _timed(work: Any) -> tuple[Any, float]:
    began = time.perf_counter()
    outcome = work()
    return outcome, time.perf_counter() - began


# --- the demonstration ---


def _demonstrate(out: Path | None) -> None:
    """Play a job's answer and one dangerous slip, print both debriefs, write pages, records and pictures."""
    texts = _texts()
    console = Console()
    job = translated(load_job(DEMONSTRATION_JOB), texts)
    slip = job.slip(DEMONSTRATION_SLIP)
    folder = _new_folder(out)
    print_plain(console, texts.say("cli.demo.no_display"))
    plays = (
        ("answer", texts.say("cli.demo.answer", title=job.case.title), orders.answer_items(job)),
        (slip.name, texts.say("cli.demo.slip", title=slip.title), slip.items),
    )
    written: list[Path] = []
    attempts: list[Attempt] = []
    for name, title, items in plays:
        attempt = orders.play_items(job.case, job.rules, items)
        attempts.append(attempt)
        print_debrief(console, attempt, texts, title)
        written += _written(folder, name, title, job, attempt, texts)
    written += _pictures(job, attempts[-1], folder, texts.language)
    print_plain(console, texts.say("cli.demo.wrote", folder=folder))
    for path in written:
        print_plain(console, f"  {path.name}")
    print_plain(console, texts.say("cli.demo.hint"))


def _written(folder: Path, name: str, title: str, job: Job, attempt: Attempt, texts: Texts) -> list[Path]:
    from trainer.records import pages

    record, page = folder / f"{name}.jsonl", folder / f"{name}.html"
    with _writing(folder):
        attempt_file.save(record, record_of(job, attempt))
        pages.write(page, job, attempt, texts, title)
    return [record, page]


def _pictures(job: Job, attempt: Attempt, folder: Path, language: str) -> list[Path]:
    """Pictures of the yard as an attempt left it, drawn without a display."""
    from trainer import app as window

    with _writing(folder):
        return window.save_pictures(job, attempt, folder, language)


def _new_folder(out: Path | None) -> Path:
    """A folder that was not there before: the one asked for, one where we are, or a temporary one."""
    if out is not None:
        with _writing(out):
            out.mkdir(parents=True)
        return out
    for number in range(1, 1000):
        folder = Path("coupling-yard-demo" if number == 1 else f"coupling-yard-demo-{number}")
        try:
            folder.mkdir()
            return folder
        except FileExistsError:
            continue
        except OSError:
            break
    return Path(tempfile.mkdtemp(prefix="coupling-yard-demo-"))


# --- small things ---


def _texts(job: str = "") -> Texts:
    """Texts in the language asked for, else the one kept in the settings, else the system's; with what lies
    beside a job's file for its own texts."""
    path = Path(job)
    beside = path if job and path.is_file() else None
    return load_texts(chosen(_asked.get(), settings.load().settings.language, system_tags()), beside)


def _print_json(value: Any) -> None:
    print(json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False))


class _writing:  # noqa: N801 (reads as a word in a with statement)
    """Turns a file that cannot be written into a message."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def __enter__(self) -> None:
        return None

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: object) -> None:
        if isinstance(error, FileExistsError):
            raise Unusable(
                f"{self._path}:1:1: this is there already. Write: the name of a new folder"
            ) from None
        if isinstance(error, OSError):
            raise Unusable(
                f"{self._path}:1:1: this cannot be written. Write: a place you may write to"
            ) from None
