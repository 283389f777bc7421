"""The command line: it parses, prints and exits; what it prints is worked out elsewhere.

Without a command the window opens; where there is no display a demonstration runs off-screen. Status 0 when
a command did its work (a failed attempt is work done), 1 for input that cannot be used (each fault with file,
line, column and what to write instead), 2 for a command line that cannot be understood.
"""

from __future__ import annotations

import dataclasses
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Sequence
from importlib import metadata
from pathlib import Path
from typing import Annotated, Any

import typer
from rich.console import Console
from rich.table import Table
from rich.text import Text

from trainer.authoring import orders
from trainer.authoring.compile import Job, list_jobs, load_job
from trainer.authoring.edits import Item
from trainer.authoring.machines import nearest
from trainer.authoring.own import own_jobs
from trainer.authoring.source import ContentError
from trainer.authoring.translation import show_in, translated
from trainer.cli.base import (
    WIDE,
    AttemptFile,
    Format,
    Formatted,
    JobName,
    Language,
    Unusable,
    app,
    asked_language,
    fail,
    print_json,
    texts_for,
    writing,
)
from trainer.content import ContentMissing
from trainer.core import circuits
from trainer.core.actions import WORDS, as_line
from trainer.core.attempt import Attempt
from trainer.core.case import STATIONS
from trainer.core.readings import plumbing
from trainer.core.units import TICKS_PER_S
from trainer.lang import Texts
from trainer.records import action_list, attempt_file, debriefing, rulebook, telling
from trainer.records.attempt_file import MAX_SEED
from trainer.records.charts import clock
from trainer.records.journal import Recorder, record_of
from trainer.records.replay import Regrade, regrade
from trainer.terminal import print_debrief, print_plain, print_risk_tables, print_rule

DEMONSTRATION_JOB = "first-week/couple"
DEMONSTRATION_SLIP = "drain_on_power_beyond"
_OFF_SCREEN_DRIVERS = ("dummy", "offscreen")


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
        fail(str(error))
    except (Unusable, ContentMissing) as error:
        fail(str(error))
    except BrokenPipeError:  # the reader of a pipe has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(0)


def _show_version(wanted: bool) -> None:
    if wanted:
        try:
            version = metadata.version("coupling-yard")
        except metadata.PackageNotFoundError:
            version = texts_for().say("cli.not_installed")
        print(texts_for().say("cli.version", version=version))
        raise typer.Exit


@app.callback(invoke_without_command=True)
def front(
    context: typer.Context,
    out: Annotated[Path | None, typer.Option(help="New folder for what the demonstration writes.")] = None,
    version: Annotated[
        bool, typer.Option("--version", callback=_show_version, is_eager=True, help="Show the version.")
    ] = False,
    folder: Annotated[
        Path | None,
        typer.Option(help="A folder of your own laid out like scenarios: its jobs are listed in the window."),
    ] = None,
    language: Language = None,
) -> None:
    """Practise coupling an implement to a tractor. Without a command: the window, or without a display a
    demonstration off-screen."""
    del version
    asked_language.set(language or "")  # a command's own is taken after this
    if context.invoked_subcommand is not None:
        return
    if folder is not None and not folder.is_dir():
        raise Unusable(f"{folder}:1:1: this is not a folder. Write: a folder with jobs and machines in it")
    if out is None and _display_expected():
        from trainer import app as window  # here, so that everything else runs without pygame

        try:
            window.run_window(language=asked_language.get(), folder=folder)
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
    texts = texts_for(job)
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
        with writing(save):
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
    texts = texts_for()
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
    texts = texts_for()
    record = attempt_file.read(attempt)
    graded = regrade(record)
    show_in(graded.job, graded.attempt, texts)
    if record.cut is not None:
        print_plain(Console(stderr=True), record.cut.render())
    rows = _course(graded.attempt, texts)
    if format is Format.json:
        print_json({"job": graded.job.name, "course": rows})
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
        print_json(graded_json(job.name, attempt, texts))
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

    with writing(path):
        pages.write(path, job, attempt, texts, plan=plan)
    print_plain(notes, texts.say("cli.grade.page", path=path))


# --- what there is ---


@app.command()
def jobs(
    folder: Annotated[
        Path | None, typer.Option(help="A folder of your own whose jobs are listed before the others.")
    ] = None,
    format: Formatted = Format.text,  # noqa: A002
) -> None:
    """List the jobs."""
    texts = texts_for()
    yours = own_jobs(folder) if folder is not None else {}
    loaded = []
    for name in dict.fromkeys((*yours, *list_jobs())):
        try:
            job = load_job(yours[name], folder=folder) if name in yours else load_job(name)
        except ContentError as error:
            if name not in yours:
                raise
            print(error, file=sys.stderr)  # the others can be used all the same
            continue
        loaded.append(translated(job, texts))
    if format is Format.json:
        print_json(
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
    console = Console() if Console().is_terminal else Console(width=WIDE)
    console.print(table)


@app.command()
def actions(format: Formatted = Format.text) -> None:  # noqa: A002
    """Show every action word, where it is done, how long it takes and how it is written."""
    texts = texts_for()
    if format is Format.json:
        print_json([dataclasses.asdict(word) for word in WORDS.values()])
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
    texts = texts_for()
    known = {rule.name: rule for each in list_jobs() for rule in load_job(each).rules}
    if name is not None and name not in known:
        raise Unusable(texts.say("cli.rules.none", name=name, nearest=nearest(name, list(known))))
    if format is Format.json:
        book = rulebook.to_json(known.values(), texts)
        print_json(book if name is None else next(row for row in book["rules"] if row["rule"] == name))
        return
    console = Console()
    if name is None:
        print_risk_tables(console, texts)
    for page in rulebook.pages(known.values() if name is None else [known[name]], texts):
        print_rule(console, page, texts)


@app.command()
def bench(
    job: JobName = DEMONSTRATION_JOB,
    window: Annotated[
        bool,
        typer.Option(help="Also time frames of the window: aside, and on the display where there is one."),
    ] = True,
    format: Formatted = Format.text,  # noqa: A002
) -> None:
    """Measure how long things take on this machine."""
    texts = texts_for()
    loaded, compile_s = _timed(lambda: load_job(job))
    items = orders.answer_items(loaded)
    attempt, attempt_s = _timed(lambda: orders.play_items(loaded.case, loaded.rules, items))
    data = "".join(record_of(loaded, attempt)).encode("ascii")
    graded, regrade_s = _timed(lambda: regrade(attempt_file.parse(data, "bench")))
    idle = Attempt(loaded.case, loaded.rules)
    idle.run(TICKS_PER_S)
    _, still_s = _timed(lambda: idle.run(10_000))
    solve_s, circuits_solved = _solving(loaded, items)
    ticks = max(1, attempt.state.tick)
    figures: dict[str, Any] = {
        "compile_s": compile_s,
        "attempt_s": attempt_s,
        "attempt_ticks": ticks,
        "tick_s": attempt_s / ticks,
        "still_tick_s": still_s / 10_000,
        "solve_s": solve_s,
        "circuits_solved": circuits_solved,
        "regrade_s": regrade_s,
        "agrees": graded.agrees,
        "record_bytes": len(data),
    }
    shown = {
        "compile": f"{compile_s * 1e3:.0f} ms",
        "attempt": f"{attempt_s * 1e3:.0f} ms",
        "tick": f"{attempt_s / ticks * 1e6:.1f} µs",
        "still": f"{still_s / 10_000 * 1e6:.1f} µs",
        "solve": f"{solve_s * 1e6:.1f} µs" if solve_s is not None else "",
        "regrade": f"{regrade_s * 1e3:.0f} ms",
        "record": f"{len(data) / 1000:.1f} kB",
    }
    drivers = {"": os.environ.get("SDL_VIDEODRIVER") or "dummy"}
    if window:
        from trainer import app as windows

        if drivers[""] == "dummy" and "SDL_VIDEODRIVER" not in os.environ and windows.display_driver():
            drivers["display"] = windows.display_driver()
        figures["driver"] = drivers[""]
        for where, driver in drivers.items():
            told = figures if not where else figures.setdefault(where, {"driver": driver})
            for size in ((1280, 720), (1920, 1080)):
                frames = windows.bench(loaded, size=size, seen=bool(where))
                name = f"{size[0]}x{size[1]}"
                told[name] = {"ratio": frames.ratio, "walk_ms": frames.walk_ms}
                for key, frame in (*frames.moving.items(), ("bare", frames.bare)):
                    told[name][f"{key}_ms"] = {"p50": frame.p50_ms, "p99": frame.p99_ms}
                    shown[f"{key} {name} {driver}"] = texts.say(
                        "cli.bench.frame", p50=f"{frame.p50_ms:.2f}", p99=f"{frame.p99_ms:.2f}"
                    )
                shown[f"ratio {name} {driver}"] = f"{frames.ratio:.1f}"
                shown[f"walk {name} {driver}"] = f"{frames.walk_ms:.1f} ms"
    if format is Format.json:
        print_json({"job": loaded.name, **figures})
        return
    table = Table(box=None, pad_edge=False)
    table.add_column(texts.say("cli.bench.what"))
    table.add_column(texts.say("cli.bench.figure"), justify="right")
    for key, figure in shown.items():
        key, size_shown, driver = (*key.split(), "", "")[:3]
        table.add_row(texts.say(f"cli.bench.{key}", driver=driver, size=size_shown), figure)
    Console().print(table)


def _solving(job: Job, items: Sequence[Item]) -> tuple[float | None, int]:
    """(median time in s of a whole circuit's solution, how many circuits): those in which oil is drawn in the
    answer of a job, each once. A machine without oil has none."""
    attempt = Attempt(job.case, job.rules)
    moments: dict[circuits.Plumbing, None] = {}
    for item in items:
        for action in orders.actions_of(attempt, item):
            attempt.do(action)
            moments[plumbing(job.case, attempt.state)] = None
            attempt.settle()
            moments[plumbing(job.case, attempt.state)] = None
    times = []
    for moment in moments:
        if not any(flow.asked_m3_s for flow in circuits.solve(job.case, moment).functions):
            continue
        _, seconds = _timed(lambda now=moment: [circuits.solve(job.case, now) for _ in range(20)])
        times.append(seconds / 20)
    return statistics.median(times) if times else None, len(times)


def _timed(work: Any) -> tuple[Any, float]:
    began = time.perf_counter()
    outcome = work()
    return outcome, time.perf_counter() - began


# --- the demonstration ---


def _demonstrate(out: Path | None) -> None:
    """Play a job's answer and one dangerous slip, print both debriefs, write pages, records and pictures."""
    texts = texts_for()
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
    with writing(folder):
        attempt_file.save(record, record_of(job, attempt))
        pages.write(page, job, attempt, texts, title)
    return [record, page]


def _pictures(job: Job, attempt: Attempt, folder: Path, language: str) -> list[Path]:
    """Pictures of the yard as an attempt left it, drawn without a display."""
    from trainer import app as window

    with writing(folder):
        return window.save_pictures(job, attempt, folder, language)


def _new_folder(out: Path | None) -> Path:
    """A folder that was not there before: the one asked for, one where we are, or a temporary one."""
    if out is not None:
        with writing(out):
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


from trainer.cli import authors  # noqa: E402, F401 (here, so that its commands are listed behind these)
