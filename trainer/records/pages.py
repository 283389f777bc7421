"""The debrief as one page to print and hand to the service manager: HTML that needs nothing from outside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup

from trainer.authoring.compile import Job
from trainer.authoring.whatif import Alternative, alternatives
from trainer.core.attempt import Attempt
from trainer.core.case import Case
from trainer.core.rules import Finding
from trainer.core.scoring import FULL_MARKS, Score
from trainer.core.state import digest
from trainer.lang import Texts
from trainer.records import charts, comparing, debriefing, inquiry, telling, traces
from trainer.records.charts import Chart, Curve, Flag, Limit, Scale
from trainer.records.replay import NOW

_PSI, _BAR = Scale("psi", 1 / 6_894.757_293_168), Scale("bar", 1e-5)
_GALLONS, _LITRES = Scale("gal/min", 60_000 / 3.785_411_784), Scale("L/min", 60_000.0)
_DEGREES, _MM_M = Scale("deg", 57.295_779_513), Scale("mm/m", 1000.0)
_PITCH_SHOWN_RAD = 0.07


@dataclass(frozen=True, slots=True)
class FindingRow:
    """A finding as the page shows it."""

    number: int
    at: str
    severity: str
    severity_name: str
    fails: bool
    title: str
    harm: str
    right: str
    measured: str
    limit: str
    measured_share: float
    limit_share: float
    source: str
    follows: int
    """Number of the finding this one followed from; 0 for a mistake of its own."""

    @property
    def bars(self) -> tuple[Markup, Markup]:
        """What was measured and the limit, as bars."""
        measured = charts.draw_bar(self.measured_share, True, self.measured)
        return measured, charts.draw_bar(self.limit_share, False, self.limit)


@dataclass(frozen=True, slots=True)
class DoneRow:
    """One action of the attempt; `why` where the yard refused it."""

    at: str
    text: str
    why: str
    findings: str


def write(
    path: Path,
    job: Job,
    attempt: Attempt,
    texts: Texts,
    title: str = "",
    plan: Sequence[str] = (),
    found: Sequence[Alternative] | None = None,
) -> None:
    """Write the debrief of an attempt to a file."""
    path.write_text(render(job, attempt, texts, title, plan, found), "utf-8")


def render(
    job: Job,
    attempt: Attempt,
    texts: Texts,
    title: str = "",
    plan: Sequence[str] = (),
    found: Sequence[Alternative] | None = None,
) -> str:
    """The debrief of an attempt as the text of an HTML page. The same attempt gives the same page.

    `plan` is what was laid on the plan board; `found` the other endings, worked out here where not given.
    """
    case = attempt.case
    if found is None:
        found = alternatives(job, attempt)
    score = attempt.score()
    drawn = traces.record(case, attempt.log, attempt.state.tick)
    findings = finding_rows(case, attempt.findings, texts)
    flags = flags_of(attempt.findings)
    return template("debrief.html.j2").render(
        language=texts.language,
        say=texts.say,
        title=title or case.title,
        job=job.name,
        case=case,
        score=score,
        full_marks=FULL_MARKS,
        verdict=texts.say("cli.verdict.passed" if score.passed else "cli.verdict.failed"),
        ended=ended(score, texts),
        time=charts.clock(attempt.state.tick),
        par=charts.clock(int(case.par_s) * 20),
        taken=debriefing.taken(case, score, attempt.findings, texts),
        parts=debriefing.parts(score, texts),
        findings=findings,
        strip=strip(drawn, flags, texts),
        charts=[charts.draw(chart, drawn.end_tick, flags) for chart in charts_of(case, drawn, texts)],
        searched=inquiry.inquiry(job, attempt, texts),
        clock=charts.clock,
        others=comparing.others(attempt, found, texts),
        orders=comparing.orders(attempt, plan, texts),
        done=_done(attempt, texts),
        cautions=[texts.say("caution.debrief"), texts.say("caution.injection")],
        versions=NOW,
        digest=digest(attempt.state),
    )


def template(name: str) -> Template:
    """Return a page's template; a gap in it that nothing is given for is an error, never an empty place."""
    environment = Environment(
        loader=PackageLoader("trainer.records", "."),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template(name)


def ended(score: Score, texts: Texts) -> str:
    """How the attempt ended, in words."""
    return texts.say(f"cli.ended.{score.ended.replace(' ', '_') or 'not_yet'}")


def finding_rows(case: Case, findings: Sequence[Finding], texts: Texts) -> list[FindingRow]:
    """The findings, numbered from 1 as they happened, each mistake with what followed from it behind it."""
    rows = []
    for told in debriefing.turns(findings):
        finding = findings[told.number - 1]
        most = max(abs(finding.measured_shown), abs(finding.limit_shown)) or 1.0
        unit = f" {finding.unit}" if finding.unit != "1" else ""
        rows.append(
            FindingRow(
                told.number,
                charts.clock(finding.tick),
                finding.severity,
                texts.say(f"cli.severity.{finding.severity}"),
                finding.fails,
                telling.say_finding(case, finding, texts),
                telling.say_finding(case, finding, texts, "harm"),
                telling.say_finding(case, finding, texts, "right"),
                telling.number(finding.measured_shown) + unit,
                telling.number(finding.limit_shown) + unit,
                abs(finding.measured_shown) / most,
                abs(finding.limit_shown) / most,
                telling.source_of(finding, texts),
                told.follows,
            )
        )
    return rows


def flags_of(findings: Sequence[Finding]) -> list[Flag]:
    """Numbered flags on a time axis; findings of one moment share one."""
    at: dict[int, list[str]] = {}
    for number, finding in enumerate(findings, start=1):
        at.setdefault(finding.tick, []).append(str(number))
    return [
        Flag(tick, numbers[0] if len(numbers) == 1 else f"{numbers[0]}–{numbers[-1]}")
        for tick, numbers in sorted(at.items())
    ]


def charts_of(case: Case, drawn: traces.Traces, texts: Texts) -> list[Chart]:
    """The four charts: flow, case pressure, pitch of the toolbar, front axle."""
    case_limit = min(
        (function.case_limit_pa for function in case.implement.functions if function.case_limit_pa > 0.0),
        default=0.0,
    )
    plumb = case.implement.plumb_limit_rad
    share = case.limits.front_share
    percent = Scale("%", 100.0)
    tons = Scale("kg", case.tractor.mass_kg)
    return [
        Chart(
            texts.say("cli.charts.flow"),
            (
                Curve(texts.say("cli.charts.asked"), drawn.flow_asked_m3_s),
                Curve(texts.say("cli.charts.there"), drawn.flow_there_m3_s, main=False),
            ),
            _GALLONS,
            _LITRES,
            None,
            0.0,
            1e-3,
        ),
        Chart(
            texts.say("cli.charts.case"),
            (Curve(texts.say("cli.charts.case"), drawn.case_pa),),
            _PSI,
            _BAR,
            Limit(texts.say("cli.charts.case_limit"), high=case_limit),
            0.0,
            case_limit * 1.6,
        ),
        Chart(
            texts.say("cli.charts.pitch"),
            (Curve(texts.say("cli.charts.pitch"), drawn.pitch_rad),),
            _DEGREES,
            _MM_M,
            Limit(texts.say("cli.charts.plumb"), low=-plumb, high=plumb),
            -_PITCH_SHOWN_RAD / 2,
            _PITCH_SHOWN_RAD / 2,
        ),
        Chart(
            texts.say("cli.charts.front"),
            (Curve(texts.say("cli.charts.front"), drawn.front_share),),
            percent,
            tons,
            Limit(texts.say("cli.charts.front_limit"), low=share),
            0.0,
            share * 1.5,
        ),
    ]


def strip(drawn: traces.Traces, flags: Sequence[Flag], texts: Texts) -> Markup:
    """Where the trainee stood, as a strip over time, with the findings on it."""
    places = [(tick, texts.say(f"cli.stations.{station}"), station) for tick, station in drawn.station]
    return charts.draw_strip(places, drawn.end_tick, flags, texts.say("cli.charts.places"))


def _done(attempt: Attempt, texts: Texts) -> list[DoneRow]:
    rows = []
    ticks = [entry.tick for entry in attempt.log]
    for number, entry in enumerate(attempt.log):
        until = ticks[number + 1] if number + 1 < len(ticks) else attempt.state.tick + 1
        found = [
            str(index)
            for index, finding in enumerate(attempt.findings, start=1)
            if entry.tick <= finding.tick < until
        ]
        why = telling.refusal_on_record(attempt, number, texts)
        rows.append(
            DoneRow(
                charts.clock(entry.tick),
                telling.say_action(attempt.case, entry.action, texts),
                why,
                ", ".join(found),
            )
        )
    return rows
