"""What the command line shows, as tables and panels; what stands in them is worked out elsewhere."""

from __future__ import annotations

import math
from collections.abc import Sequence

from rich import box
from rich.console import Console
from rich.padding import Padding
from rich.panel import Panel
from rich.table import Table
from rich.text import Text

from trainer.core import budget as budgets
from trainer.core.attempt import Attempt
from trainer.core.budget import Draw
from trainer.core.case import Case
from trainer.core.rules import LIKELIHOODS, RISKS, SEVERITIES, Finding
from trainer.core.scoring import FULL_MARKS
from trainer.core.units import TICKS_PER_S
from trainer.lang import Texts
from trainer.records import debriefing, rulebook, telling
from trainer.records.charts import clock

_SEVERITY_STYLES = {
    "catastrophic": "bold red",
    "critical": "bold red",
    "marginal": "yellow",
    "negligible": "dim",
}


def print_plain(console: Console, text: str) -> None:
    """Print a text as it is: names and places in it are no markup, and lines are not folded."""
    console.print(text, markup=False, highlight=False, soft_wrap=True)


def table_of(title: Text, columns: Sequence[str], left: Sequence[str]) -> Table:
    """A table with a title; columns are right-aligned but those named in `left`."""
    table = Table(
        title=title,
        title_justify="left",
        title_style="",
        box=box.SIMPLE_HEAD,
        pad_edge=False,
        collapse_padding=True,
    )
    for column in columns:
        table.add_column(
            Text(column), justify="left" if column in left else "right", no_wrap=column not in left
        )
    return table


# --- the debrief ---


def print_debrief(console: Console, attempt: Attempt, texts: Texts, title: str) -> None:
    """What an attempt came to, and everything found in it."""
    say, score = texts.say, attempt.score()
    verdict = say("cli.verdict.passed" if score.passed else "cli.verdict.failed")
    ended = say(f"cli.ended.{score.ended.replace(' ', '_') or 'not_yet'}")
    head = Text()
    head.append(verdict, style="bold green" if score.passed else "bold red")
    head.append("  " + say("cli.debrief.score", points=score.points, full=FULL_MARKS) + "\n")
    head.append(
        say(
            "cli.debrief.facts",
            ended=ended,
            time=clock(attempt.state.tick),
            par=clock(round(attempt.case.par_s * TICKS_PER_S)),
            points=attempt.case.pass_points,
        ),
        style="dim",
    )
    head.append("\n" + debriefing.parts_line(score, texts))
    console.print(Panel(head, title=Text(title), title_align="left", expand=False))
    if not attempt.findings:
        print_plain(console, say("cli.debrief.no_findings"))
    else:
        console.print(_findings_table(attempt.case, attempt.findings, texts))
        for row in debriefing.taken(attempt.case, score, attempt.findings, texts):
            number = f"{row.numbers[0]}. " if row.numbers else ""
            gaps = {"points": row.points, "title": number + row.title, "why": row.why}
            print_plain(console, say("cli.points.of_mistake", **gaps))
        if any(finding.fails for finding in attempt.findings):
            print_plain(console, say("cli.debrief.one_fails"))
    console.print(Text(say("caution.debrief").strip(), style="italic"))


def _findings_table(case: Case, findings: Sequence[Finding], texts: Texts) -> Table:
    say = texts.say
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_lines=False)
    table.add_column(say("cli.debrief.number"), justify="right")
    table.add_column(say("cli.debrief.at"), justify="right")
    table.add_column(say("cli.debrief.severity"))
    table.add_column(say("cli.debrief.finding"), ratio=1)
    table.add_column(say("cli.debrief.measured"), justify="right", no_wrap=True)
    table.add_column(say("cli.debrief.limit"), justify="right", no_wrap=True)
    for told in debriefing.turns(findings):
        finding = findings[told.number - 1]
        unit = "" if finding.unit == "1" else f" {finding.unit}"
        what = Text(telling.say_finding(case, finding, texts))
        if told.follows:
            what = Text(say("cli.points.followed", number=told.follows) + ": ", style="italic").append_text(
                what
            )
        what.append(f"\n{telling.source_of(finding, texts)}", style="dim")
        table.add_row(
            str(told.number),
            clock(finding.tick),
            Text(say(f"cli.severity.{finding.severity}"), style=_SEVERITY_STYLES[finding.severity]),
            Padding(what, (0, 0, 0, 4 if told.follows else 0)),
            Text(telling.number(finding.measured_shown) + unit),
            Text(telling.number(finding.limit_shown) + unit),
        )
    return table


# --- the rules ---


def print_risk_tables(console: Console, texts: Texts) -> None:
    """Severity categories, probability levels, and the risk of each pair."""
    say = texts.say
    console.print(Text(say("cli.rules.title"), style="bold"))
    print_plain(console, say("cli.rules.tailoring").strip() + "\n")
    categories = [
        say("cli.rules.category_of", number=rulebook.NUMERALS[each], name=say(f"cli.severity.{each}"))
        for each in SEVERITIES
    ]
    levels = [_level(each, texts) for each in LIKELIHOODS]
    for title, column, names, kind, keys in (
        ("severities", "category", categories, "severity_means", SEVERITIES),
        ("levels", "level", levels, "likelihood_means", LIKELIHOODS),
    ):
        columns = (say(f"cli.rules.{column}"), say("cli.rules.means"))
        table = table_of(Text(say(f"cli.rules.{title}"), style="bold"), columns, columns)
        for shown, key in zip(names, keys, strict=True):
            table.add_row(shown, Text(say(f"cli.rules.{kind}.{key}")))
        console.print(table)
    heads = [say("cli.rules.level"), *categories]
    table = table_of(Text(say("cli.rules.table"), style="bold"), heads, heads)
    for level, key in zip(levels, LIKELIHOODS, strict=True):
        table.add_row(level, *(say(f"cli.rules.risk.{risk}") for risk in RISKS[key]))
    console.print(table)


def _level(likely: str, texts: Texts) -> str:
    name = texts.say(f"cli.rules.likelihood.{likely}")
    return texts.say("cli.rules.level_of", letter=rulebook.LETTERS[likely], name=name)


def print_rule(console: Console, page: rulebook.Page, texts: Texts) -> None:
    """One rule: its title, then a line for each thing the book says of it."""
    say = texts.say
    head = Text(page.title, style=_SEVERITY_STYLES[page.severity])
    head.append(f"  ({page.rule})", style="dim")
    console.print(head)
    category = say(
        "cli.rules.category_of",
        number=rulebook.NUMERALS[page.severity],
        name=say(f"cli.severity.{page.severity}"),
    )
    lines = {
        "severity": category,
        "concerns": say(f"cli.rules.harm.{page.harm}"),
        "likely": say("cli.rules.likely_of", level=_level(page.likely, texts)) if page.likely else "",
        "assessed": say(f"cli.rules.risk.{page.risk}") if page.risk else "",
        "asks": page.asks,
        "why": page.why,
        "typical": page.typical,
        "right": page.right,
        "follows": ", ".join(page.follows),
        "source": f"{page.source} ({say(f'standing.{page.standing}')})",
    }
    table = Table(box=None, pad_edge=False, show_header=False, padding=(0, 1, 0, 2))
    table.add_column(style="dim", no_wrap=True)
    table.add_column(overflow="fold")
    for key, line in lines.items():
        if line:
            table.add_row(say(f"cli.rules.{key}"), Text(line))
    console.print(table)
    console.print()


def speed_cell(draw: Draw, texts: Texts) -> Text:
    """How fast a motor turns or how long a stroke takes, red where that is not good."""
    if draw.speed_rev_min is not None and draw.speed_band_rev_min is not None:
        low, high = draw.speed_band_rev_min
        good = low <= draw.speed_rev_min <= high
        shown = texts.say(
            "cli.budget.speed_of", speed=f"{draw.speed_rev_min:.0f}", low=f"{low:.0f}", high=f"{high:.0f}"
        )
        return Text(shown, style="" if good else "bold red")
    if draw.time_s is None or draw.longest_s is None:
        return Text("")
    if not math.isfinite(draw.time_s):
        return Text(texts.say("cli.budget.never"), style="bold red")
    shown = texts.say("cli.budget.stroke_of", time=f"{draw.time_s:.1f}", longest=f"{draw.longest_s:g}")
    return Text(shown, style="" if draw.time_s <= draw.longest_s else "bold red")


# --- the budget ---


def print_budget(console: Console, case: Case, worked: budgets.Budget, texts: Texts, metric: bool) -> None:
    """Every phase's oil, axle loads and current."""
    for phase in worked.phases:
        console.print(_phase_table(case, phase, texts, metric))
    console.print(_axle_table(worked, texts, metric))
    console.print(_plug_table(worked, texts))


def _phase_table(case: Case, phase: budgets.Phase, texts: Texts, metric: bool) -> Table:
    say, amount = texts.say, texts.amount
    short, spare = phase.short_m3_s, phase.available_m3_s - phase.asked_m3_s
    title = Text()
    title.append(
        say(f"cli.budget.phases.{phase.name}") + (say(f"cli.budget.by_{phase.by}") if phase.by else ""),
        style="bold",
    )
    title.append(
        "\n"
        + say(
            "cli.budget.flow",
            engine=f"{phase.engine_rev_min:.0f}",
            oil=amount("temperature", phase.oil_c, metric),
            asked=amount("flow", phase.asked_m3_s, metric),
            there=amount("flow", phase.available_m3_s, metric),
        )
        + " "
    )
    title.append(
        say("cli.budget.short", short=amount("flow", short, metric))
        if short
        else say("cli.budget.enough", spare=amount("flow", spare, metric)),
        style="bold red" if short else "bold green",
    )
    title.append(
        "\n"
        + say(
            "cli.budget.pump",
            pressure=amount("pressure", phase.pump_pa, metric),
            heat=f"{phase.heat_w / 1000:.1f}",
        )
    )
    _, flow_unit = texts.in_unit("flow", 0.0, metric)
    _, pressure_unit = texts.in_unit("pressure", 0.0, metric)
    units = {
        "gets": flow_unit,
        "pressure": pressure_unit,
        "return": pressure_unit,
        "case": pressure_unit,
    }
    names = {
        key: say(f"cli.budget.{key}") + (f"\n{units[key]}" if key in units else "")
        for key in ("function", "supply", "dial", "gets", "pressure", "return", "case", "speed")
    }
    table = table_of(title, tuple(names.values()), (names["function"], names["supply"]))
    for draw in phase.draws:
        table.add_row(*_draw_row(case, draw, texts, metric))
    return table


def _draw_row(case: Case, draw: budgets.Draw, texts: Texts, metric: bool) -> list[Text]:
    by_oil = draw.by == "oil"

    def bare(kind: str, value_si: float) -> str:
        return texts.amount(kind, value_si, metric).split()[0]

    def gets() -> Text:
        if not by_oil:
            return Text("")
        got, needs = bare("flow", draw.got_m3_s), bare("flow", draw.needs_m3_s)
        if draw.got_m3_s >= 0.98 * draw.needs_m3_s:
            return Text(got)
        return Text(texts.say("cli.budget.starved", got=got, needs=needs), style="bold red")

    def limited(value_pa: float | None, limit_pa: float | None) -> Text:
        if value_pa is None:
            return Text("")
        if limit_pa is None:
            return Text(bare("pressure", value_pa))
        shown = texts.say(
            "cli.budget.limited", value=bare("pressure", value_pa), limit=bare("pressure", limit_pa)
        )
        return Text(shown, style="bold red" if value_pa > limit_pa else "")

    return [
        Text(draw.title),
        Text(telling.name_of(case, draw.supply, texts)),
        Text("" if draw.dial is None else f"{draw.dial:.1f}"),
        gets(),
        limited(draw.pressure_pa if by_oil else None, None),
        limited(draw.return_pa if by_oil else None, draw.return_limit_pa),
        limited(draw.case_pa, draw.case_limit_pa),
        speed_cell(draw, texts),
    ]


def _axle_table(worked: budgets.Budget, texts: Texts, metric: bool) -> Table:
    say, amount = texts.say, texts.amount
    title = Text(
        say(
            "cli.budget.axles",
            share=amount("share", worked.front_share_limit),
            ballast=amount("mass", worked.least_ballast_kg, metric),
        )
    )
    columns = [
        say(f"cli.budget.{key}") for key in ("implement", "ballast", "front", "rear", "share", "verdict")
    ]
    table = table_of(title, columns, (columns[0], columns[-1]))
    for axle in worked.axles:
        table.add_row(
            say("cli.budget.raised" if axle.raised else "cli.budget.lowered"),
            amount("mass", axle.ballast_kg, metric),
            amount("mass", axle.front_kg, metric),
            amount("mass", axle.rear_kg, metric),
            amount("share", axle.front_share, decimals=1),
            Text(
                say("cli.budget.balanced" if axle.enough else "cli.budget.light"),
                style="green" if axle.enough else "bold red",
            ),
        )
    return table


def _plug_table(worked: budgets.Budget, texts: Texts) -> Table:
    say, amount = texts.say, texts.amount
    title = Text(say("cli.budget.plugs", hold=f"{worked.supply_hold_s:g}"))
    columns = [say(f"cli.budget.{key}") for key in ("plug", "role", "current", "offered", "source")]
    table = table_of(title, columns, (columns[0], columns[1], columns[4]))
    for plug in worked.plugs:
        known = plug.offered_a is not None
        offered = amount("current", plug.offered_a or 0.0) if known else say("cli.budget.unknown")
        table.add_row(plug.tag, plug.role, amount("current", plug.current_a), offered, Text(plug.source))
    return table
