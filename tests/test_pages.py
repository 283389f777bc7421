"""The debrief page and its charts: complete, the same each time, and nothing in them from outside."""

import html
import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.authoring.compile import Job, load_job
from trainer.authoring.orders import answer_items, play_items
from trainer.authoring.plan import broken, cards, nearest_safe
from trainer.authoring.whatif import alternatives
from trainer.core.attempt import Attempt
from trainer.core.case import STATIONS
from trainer.lang import Texts
from trainer.records import charts, comparing, pages, telling, traces
from trainer.records.charts import Chart, Curve, Flag, Limit, Scale
from trainer.records.traces import Trace

TEXTS = Texts.load("en")
VOID = {"meta", "br", "link", "img", "input", "hr"}


@cache
def couple() -> Job:
    return load_job("first-week/couple")


@cache
def slipped() -> Attempt:
    return play_items(couple().case, couple().rules, couple().slip("drain_on_power_beyond").items)


@cache
def good() -> Attempt:
    return play_items(couple().case, couple().rules, answer_items(couple()))


@cache
def drawn() -> traces.Traces:
    return traces.record(couple().case, slipped().log, slipped().state.tick)


@cache
def page() -> str:
    return pages.render(couple(), slipped(), TEXTS)


def parsed(svg: str) -> ET.Element:
    return ET.fromstring(svg)  # noqa: S314 (drawn by this program)


class Closed(HTMLParser):
    """Checks that every element that is opened is closed in its place."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.names: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        del attrs
        self.names.add(tag)
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        del attrs
        self.names.add(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_a_page_is_whole_and_needs_nothing_from_outside() -> None:
    closed = Closed()
    closed.feed(page())
    assert closed.open == []
    assert not closed.names & {"script", "link", "img", "iframe", "object", "audio", "video"}
    without_names = page().replace("http://www.w3.org/2000/svg", "")
    assert not re.search(r"https?:|url\(|@import|src=|href=", without_names)


def test_a_page_tells_each_finding_with_its_number_limit_and_source() -> None:
    assert slipped().findings
    for finding in slipped().findings:
        for said in (
            telling.say_finding(couple().case, finding, TEXTS),
            telling.say_finding(couple().case, finding, TEXTS, "harm"),
            telling.say_finding(couple().case, finding, TEXTS, "right"),
            finding.source,
            charts.clock(finding.tick),
        ):
            assert str(html.escape(said, quote=True)).replace("&#x27;", "&#39;") in page()
        assert telling.number(finding.measured_shown) in page()
    assert "case pressure" in page().lower()
    assert "<b>0</b>" in page()
    assert TEXTS.say("cli.verdict.failed") in page()


def test_a_page_warns_that_this_was_practice() -> None:
    for key in ("caution.debrief", "caution.injection"):
        assert html.escape(TEXTS.say(key)).replace("&#x27;", "&#39;") in page()


def test_a_page_of_a_good_attempt_says_so() -> None:
    text = pages.render(couple(), good(), TEXTS)
    assert TEXTS.say("cli.page.no_findings") in text
    assert TEXTS.say("cli.verdict.passed") in text
    assert "<b>100</b>" in text


def test_a_page_tells_what_would_have_happened_with_both_endings() -> None:
    (other,) = comparing.others(slipped(), alternatives(couple(), slipped()), TEXTS)
    assert other.rows[0] == ("Points", "65 (Not passed)", "92 (Passed)")
    said = html.unescape(page())
    for text in (
        other.edit,
        *(cell for row in other.rows for cell in row),
        TEXTS.say("screens.whatif.title"),
    ):
        assert text in said
    assert TEXTS.say("screens.whatif.title") not in pages.render(couple(), good(), TEXTS)


def test_a_page_sets_plan_deed_and_a_safe_order_side_by_side_and_says_what_the_plan_broke() -> None:
    case = couple().case
    row = list(cards(case))
    plan = ("back_align", "area_clear", *(name for name in row if name not in ("back_align", "area_clear")))
    said = html.unescape(pages.render(couple(), good(), TEXTS, plan=plan, found=()))
    told = comparing.orders(good(), plan, TEXTS)
    titles = {step.name: step.title for step in case.steps}
    assert told.plan == tuple(titles[name] for name in plan)
    assert broken(case, nearest_safe(case, plan)) == ()
    assert told.deed_broke == ()
    why = next(
        one.why for one in broken(case, plan) if (one.before, one.after) == ("area_clear", "back_align")
    )
    for text in (*told.plan, *told.deed, *told.safe, why, TEXTS.say("cli.page.safe_order")):
        assert text in said
    without = html.unescape(pages.render(couple(), good(), TEXTS, found=()))
    assert TEXTS.say("screens.orders.plan") not in without
    assert TEXTS.say("screens.orders.deed_kept") in without


def test_the_same_attempt_gives_the_same_page(tmp_path: Path) -> None:
    again = play_items(couple().case, couple().rules, couple().slip("drain_on_power_beyond").items)
    pages.write(tmp_path / "a.html", couple(), again, TEXTS)
    assert (tmp_path / "a.html").read_text("utf-8") == page()


def test_what_a_file_says_is_text_and_not_markup() -> None:
    job = couple()
    case = replace(job.case, title="<script>alert(1)</script> & sons")
    attempt = Attempt(case, job.rules)
    text = pages.render(replace(job, case=case), attempt, TEXTS)
    assert "<script>" not in text
    assert "&lt;script&gt;alert(1)&lt;/script&gt; &amp; sons" in text


def test_a_refused_action_is_on_the_page_with_its_reason() -> None:
    attempt = Attempt(couple().case, couple().rules)
    from_yard = telling.Action("engine", "start")
    attempt.do(from_yard)
    text = pages.render(couple(), attempt, TEXTS)
    assert TEXTS.say(f"refusals.{attempt.log[0].refused}") in text
    assert TEXTS.say("cli.ended.not_yet") in text


def test_findings_of_one_moment_share_a_flag() -> None:
    flags = pages.flags_of(slipped().findings)
    assert [flag.tick for flag in flags] == sorted({finding.tick for finding in slipped().findings})
    assert flags[0].label.startswith("1")


def test_traces_hold_every_peak() -> None:
    """A second run, looked at tick by tick, shows no larger value than the trace."""
    attempt = Attempt(couple().case, ())
    peak, asked = 0, 0
    for entry in slipped().log:
        while attempt.state.tick < entry.tick:
            attempt.run()
            peak = max(peak, *(work.case_pa for work in attempt.state.works))
        attempt.do(entry.action)
        peak = max(peak, *(work.case_pa for work in attempt.state.works))
        asked = max(asked, sum(work.asked_mm3_s for work in attempt.state.works))
    assert peak > 10_000_000, "power beyond stands behind the seal"
    assert drawn().case_pa.largest() == peak
    assert drawn().flow_asked_m3_s.largest() == pytest.approx(asked * 1e-9)
    limit = min(
        function.case_limit_pa for function in couple().case.implement.functions if function.case_limit_pa
    )
    unharmed = traces.record(couple().case, good().log, good().state.tick)
    assert 0.0 < unharmed.case_pa.largest() < limit


def test_traces_begin_at_the_start_and_keep_time() -> None:
    for trace in (drawn().flow_asked_m3_s, drawn().flow_there_m3_s, drawn().pitch_rad, drawn().front_share):
        assert trace.ticks[0] == 0
        assert list(trace.ticks) == sorted(set(trace.ticks))
        assert trace.ticks[-1] <= drawn().end_tick == slipped().state.tick
    assert drawn().station[0] == (0, couple().case.start.station)
    assert {station for _, station in drawn().station} <= set(STATIONS)
    assert drawn().pitch_rad.values[0] is None, "an implement on its stands has no pitch to set"


def test_charts_are_well_formed_and_show_flags() -> None:
    flags = pages.flags_of(slipped().findings)
    for chart in pages.charts_of(couple().case, drawn(), TEXTS):
        root = parsed(charts.draw(chart, drawn().end_tick, flags))
        texts = [element.text for element in root.iter("{http://www.w3.org/2000/svg}text")]
        assert chart.title in texts
        assert {chart.left.unit, chart.right.unit} <= set(texts)
        assert all(flag.label in texts for flag in flags)
        assert chart.limit is None or chart.limit.name in texts
    parsed(pages.strip(drawn(), flags, TEXTS))


def numbers(path: str) -> list[float]:
    return [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", path)]


@given(
    st.lists(st.tuples(st.integers(0, 4000), st.one_of(st.none(), st.floats(-1e7, 1e8)))).map(
        lambda points: sorted(dict(points).items())
    ),
    st.integers(0, 5000),
    st.floats(0.0, 1e6),
)
def test_any_trace_stays_inside_its_chart(
    points: list[tuple[int, float | None]], end_tick: int, limit: float
) -> None:
    trace = Trace(tuple(tick for tick, _ in points), tuple(value for _, value in points))
    chart = Chart(
        "a < b",
        (Curve("c", trace),),
        Scale("psi", 1e-4),
        Scale("bar", 1e-5),
        Limit("l", high=limit),
        0.0,
        1.0,
    )
    root = parsed(charts.draw(chart, end_tick, [Flag(end_tick, "1")]))
    for path in root.iter("{http://www.w3.org/2000/svg}path"):
        found = numbers(path.attrib["d"].replace("h20", ""))
        assert all(0.0 <= number <= charts.WIDTH for number in found)


def test_a_trace_of_many_points_keeps_its_extremes() -> None:
    values: list[float | None] = [float(tick % 7) for tick in range(50_000)]
    values[31_234] = 400.0
    values[12_345] = -300.0
    trace = Trace(tuple(range(50_000)), tuple(values))
    chart = Chart("t", (Curve("c", trace),), Scale("a", 1.0), Scale("b", 1.0), None, -300.0, 400.0)
    drawing = charts.draw(chart, 50_000, [])
    assert len(drawing) < 200_000
    root = parsed(drawing)
    path = next(iter(root.iter("{http://www.w3.org/2000/svg}path"))).attrib["d"]
    heights = [float(number) for number in re.findall(r"V([\d.]+)", path)]
    top, bottom = 26, charts.HEIGHT - 26
    assert min(heights) < top + 0.1 * (bottom - top)
    assert max(heights) > bottom - 0.1 * (bottom - top)


@given(st.floats(1e-9, 1e9))
def test_an_axis_has_few_steps_of_round_numbers(span: float) -> None:
    step = charts.nice_step(span)
    assert 1 <= span / step <= 5.000001 or math.isclose(span / step, 5)
    mantissa = step / 10 ** math.floor(math.log10(step) + 1e-9)
    assert any(math.isclose(mantissa, one, rel_tol=1e-6) for one in (1, 2, 2.5, 5, 10))
