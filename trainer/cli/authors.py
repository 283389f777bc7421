"""Commands for those who write jobs and machines, and for those who doubt the models."""

from __future__ import annotations

import dataclasses
import time
from collections.abc import Sequence
from dataclasses import replace
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.text import Text

from trainer.authoring import audit as audits
from trainer.authoring import editor_schema, matching, own, watching
from trainer.authoring.check import Checked, check_paths
from trainer.authoring.compile import list_jobs, load_job
from trainer.authoring.criteria import CRITERIA, NONE
from trainer.authoring.new import new_file
from trainer.authoring.qualify import MODELS, Qualification, qualify, read_reference
from trainer.authoring.quantities import Refused
from trainer.authoring.source import ContentError
from trainer.authoring.translation import to_write, translated
from trainer.cli.base import (
    WIDE,
    Format,
    Formatted,
    app,
    fail,
    finite,
    print_json,
    texts_for,
    writing,
)
from trainer.content import content_root
from trainer.core import budget as budgets
from trainer.lang import Texts
from trainer.records import matches
from trainer.records.charts import clock
from trainer.terminal import print_budget, print_plain, table_of

OwnFolder = Annotated[
    Path | None, typer.Option("--folder", help="A folder of your own laid out like scenarios; else that.")
]
Metric = Annotated[bool, typer.Option("--metric", help="Metric units in place of the US shop's.")]


@app.command()
def budget(
    job: Annotated[
        str, typer.Argument(metavar="[JOB]", help="A job by name or file; or name two machines.")
    ] = "",
    tractor: Annotated[str, typer.Option(help="In place of a job: a tractor ...")] = "",
    implement: Annotated[str, typer.Option(help="... and an implement.")] = "",
    folder: OwnFolder = None,
    metric: Metric = False,
    format: Formatted = Format.text,  # noqa: A002
) -> None:
    """Work out what a coupling needs against what the tractor has: oil by phase, axle loads, current."""
    texts = texts_for(job)
    if bool(job) == bool(tractor or implement) or bool(tractor) != bool(implement):
        raise typer.BadParameter("name a job, or both --tractor and --implement")
    if job:
        case = translated(load_job(job), texts).case
    else:
        try:
            case = matching.case_of_names(_own(folder), tractor, implement)
        except Refused as error:
            fail(str(error))
        case = replace(
            case, title=f"{texts.translated(case.tractor.title)} + {texts.translated(case.implement.title)}"
        )
    worked = budgets.budget(case)
    if format is Format.json:
        named = {"job": case.job} if job else {"tractor": tractor, "implement": implement}
        print_json({**named, **finite(dataclasses.asdict(worked))})
        return
    console = Console()
    print_plain(console, texts.say("cli.budget.title", title=case.title))
    print_budget(console, case, worked, texts, metric)


def _own(folder: Path | None) -> Path:
    return content_root() / "scenarios" if folder is None else folder


class MatchFormat(StrEnum):
    """How matches come out."""

    text = "text"
    json = "json"
    html = "html"


@app.command()
def match(
    tractor: Annotated[list[str] | None, typer.Option(help="Only this tractor; may be repeated.")] = None,
    implement: Annotated[list[str] | None, typer.Option(help="Only this implement; likewise.")] = None,
    folder: OwnFolder = None,
    page: Annotated[Path | None, typer.Option(help="Write the page (HTML) to this file.")] = None,
    metric: Metric = False,
    format: Annotated[  # noqa: A002
        MatchFormat, typer.Option("--format", help="Table to read, JSON for a program, HTML page to print.")
    ] = MatchFormat.text,
) -> None:
    """Match every tractor with every implement: what fits, what needs adapting, what is short."""
    texts = texts_for()
    try:
        found = matching.match_all(_own(folder), tractor or (), implement or ())
    except Refused as error:
        fail(str(error))
    if page is not None:
        with writing(page):
            matches.write(page, found, texts, metric)
        print_plain(Console(stderr=True), texts.say("match.saved", path=page))
    if format is MatchFormat.json:
        print_json({"pairs": [one.to_json() for one in found]})
    elif format is MatchFormat.html:
        print(matches.render(found, texts, metric), end="")
    else:
        _matched(found, folder, texts, metric)


_LEVEL_STYLES = {"fits": "green", "adapt": "yellow", "short": "bold red", "": "dim"}


def _matched(found: Sequence[matching.Match], folder: Path | None, texts: Texts, metric: bool) -> None:
    """One row for each pair; below, whatever does not fit as it stands (all of it, for a single pair)."""
    say = texts.say
    console = Console() if Console().is_terminal else Console(width=WIDE)
    columns = [say("match.tractor"), say("match.implement"), say("match.verdict")]
    columns += [say(f"match.subjects.{subject}") for subject in matching.SUBJECTS]
    title = Text(say("match.title", folder="scenarios" if folder is None else folder), style="bold")
    table = table_of(title, columns, columns)
    for one in found:
        levels = [one.level(), *(one.level(subject) for subject in matching.SUBJECTS)]
        cells = [Text(say(f"match.levels.{level or 'none'}"), style=_LEVEL_STYLES[level]) for level in levels]
        table.add_row(Text(one.tractor), Text(one.implement), *cells)
    console.print(table)
    for one in found:
        lines = [line for line in one.lines if line.level != "fits" or len(found) == 1]
        if lines:
            print_plain(console, f"{one.tractor} + {one.implement}")
        for line in lines:
            subject, level = say(f"match.subjects.{line.subject}"), say(f"match.levels.{line.level}")
            print_plain(console, f"  {subject} ({level}): {matches.say_line(line, texts, metric)}")
    print_plain(console, matches.say_about(found, texts))
    print_plain(console, say("match.note"))


@app.command()
def check(
    files: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[FILE]...", help="Jobs by file or name, machines by file; all jobs without any."
        ),
    ] = None,
    folder: Annotated[
        Path | None,
        typer.Option(
            "--folder", help="All jobs and machines of a folder of your own laid out like scenarios."
        ),
    ] = None,
    watch: Annotated[
        bool, typer.Option("--watch", help="Check again whenever a file changes, until Ctrl+C.")
    ] = False,
    format: Formatted = Format.text,  # noqa: A002
) -> None:
    """Check jobs: read them, play their answer and their slips, and hold each to what it must earn.

    Status 1 where something is wrong.
    """
    texts = texts_for(files[0] if files else "")
    folders = watching.folders_of(files or (), content_root() / "scenarios")
    if folder is not None:
        if files:
            raise typer.BadParameter("name files, or a --folder")
        folders = (*folders, folder)
    good = True
    try:
        for changed in watching.changes(folders, _until_next_look if watch else lambda: False):
            if changed:
                names = ", ".join(path.name for path in changed)
                print_plain(Console(stderr=True), texts.say("cli.check.changed", files=names))
            checked = (
                check_paths(files or [], texts=texts) if folder is None else own.check_folder(folder, texts)
            )
            good = checked.ok
            if format is Format.json:
                print_json(checked.to_json())
            else:
                if folder is not None:
                    print_plain(Console(), _of_folder(folder, checked, texts))
                _checked(checked, texts)
    except KeyboardInterrupt:
        pass  # that is how a watch ends
    if not good:
        raise typer.Exit(1)


def _of_folder(folder: Path, checked: Checked, texts: Texts) -> str:
    """How many machines and jobs a folder holds, before what came of each job."""
    counts = {"machines": len(own.own_machines(folder)), "jobs": len(own.own_jobs(folder))}
    wrong = checked.unlisted + len(checked.problems)
    return texts.say("cli.check.folder", folder=folder, mistakes=wrong, **counts)


def _until_next_look() -> bool:
    time.sleep(watching.LOOK_S)
    return True


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
        fail(str(error))


@app.command()
def schema(
    kind: Annotated[
        str,
        typer.Argument(metavar="[KIND]", help=f"{', '.join(editor_schema.KINDS)}; with --out all of them."),
    ] = "",
    out: Annotated[
        Path | None, typer.Option(help="Write to this file; without a kind, all into this folder.")
    ] = None,
) -> None:
    """Show what a kind of file looks like as JSON Schema, for editors that complete and underline."""
    try:
        if kind:
            text = editor_schema.as_text(editor_schema.editor_schema(kind))
        elif out is None:
            raise Refused("no kind is named", f"one of {', '.join(editor_schema.KINDS)}, or --out FOLDER")
    except Refused as error:
        fail(str(error))
    if out is None:
        print(text, end="")
        return
    with writing(out):
        if kind:
            out.write_text(text, "utf-8")
        paths = [out] if kind else editor_schema.write_schemas(out)
    for path in paths:
        print(path)


def _checked(checked: Checked, texts: Texts) -> None:
    """What came of a check: problems with their places first, then each job with its runs."""
    console, say = Console(), texts.say
    for problem in checked.problems:
        print_plain(console, problem.render())
    if checked.unlisted:
        print_plain(console, say("cli.check.unlisted", count=checked.unlisted))
    for machine in checked.machines:
        print_plain(console, say("cli.check.machine", file=machine, verdict=say("cli.check.good")))
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
    processes: Annotated[int, typer.Option(min=1, help="Processes to play in.")] = audits.PROCESSES,
    format: Formatted = Format.text,  # noqa: A002
) -> None:
    """Hold the rules against a judge that does not know them, on safe orders and wrong runs by the hundred.

    Status 1 where a run that hurts or breaks is missed, where a safe order earns anything, and where random
    actions break the yard.
    """
    loaded = [load_job(name) for name in jobs or list_jobs()]
    with audits.workers(loaded, processes) as pool:
        reports = [audits.audit_job(job, runs, seed, pool) for job in loaded]
        faults = audits.audit_random(loaded, random, seed, pool)
    if format is Format.json:
        print_json({"jobs": [report.to_json() for report in reports], "random": random, "faults": faults})
    else:
        texts = texts_for()
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
    heads = ("class", "runs", "caught", "missed", "failed", "passed", "alarms")
    columns = [say(f"cli.audit.{key}") for key in heads]
    title = Text(say("cli.audit.title", job=report.job, seed=report.seed), style="bold")
    shown = table_of(title, columns, columns[:1])
    alarms = len([run for run in report.safe if run.alarmed])
    shown.add_row(say("cli.audit.safe"), str(len(report.safe)), "", "", "", "", str(alarms))
    for harm, told in classes.items():
        alarms = len([run for run in report.of_class(harm) if run.alarmed])
        harmful = harm in audits.WEIGHTS
        missed = str(told["runs"] - told["caught"]) if harmful else ""
        caught = "" if harm == NONE else str(told["caught"])
        failed, passed = str(told["failed"]), str(told["passed"])
        figures = (str(told["runs"]), caught, missed, failed, passed, "" if harmful else str(alarms))
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

    texts = texts_for()
    table = qualify(read_reference())
    if page is not None:
        with writing(page):
            qualification.write(page, table, texts)
        print_plain(Console(stderr=True), texts.say("cli.qualify.saved", path=page))
    if format is Format.json:
        print_json(finite(table.to_json()))
    else:
        _qualified(table, texts)
    if not table.ok:
        raise typer.Exit(1)


def _qualified(table: Qualification, texts: Texts) -> None:
    """The table model by model, then where its figures come from."""
    say = texts.say
    console = Console() if Console().is_terminal else Console(width=WIDE)
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
            if console.width >= WIDE:
                told = (Text(row.check.quantity), made, known, off, allowed, verdict, Text(row.cited))
                shown.add_row(*told, row.check.standing)
            else:  # no room for columns: one entry below the other, in the order of the columns
                figures = f"{made} | {known} | {off} | {allowed} | "
                title.append(f"\n  {row.check.quantity}\n    {figures}", style="not bold")
                title.append_text(verdict)
                title.append(f"\n    {row.cited} ({row.check.standing})", style="dim not bold")
        console.print(shown if console.width >= WIDE else title)
    columns = [say("cli.qualify.source"), say("cli.qualify.remark"), say("cli.qualify.used_as")]
    shown = table_of(Text(say("cli.qualify.sources"), style="bold"), columns, columns)
    for use in table.sources():
        used = ", ".join(f"{standing} ({count})" for standing, count in use.standings)
        shown.add_row(Text(use.source.title), Text(use.source.remark), used)
    console.print(shown)
    counts = {"rows": len(table.rows), "outside": table.from_outside(), "failed": len(table.failed)}
    print_plain(console, say("cli.qualify.counts", **counts))
    print_plain(console, say("cli.qualify.qualified" if table.ok else "cli.qualify.not_qualified"))
