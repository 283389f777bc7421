"""The fault report by hand: a fault is found, named with its evidence, mended and proved on the scene."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pygame
import pytest

from test_scene import Sitting, sittings
from test_stations import Ground, by_hand
from trainer.authoring.compile import Job, load_job
from trainer.authoring.orders import actions_of, answer_items
from trainer.authoring.translation import show_in
from trainer.core import faults
from trainer.core.actions import WRONGS, Action, as_line, from_line
from trainer.core.attempt import Attempt, play
from trainer.core.engine import digest
from trainer.lang import Texts, languages
from trainer.records import inquiry, pages
from trainer.scene.debrief import Debrief
from trainer.scene.report import Report
from trainer.scene.shell import Shell

MARKERS, WANDER = "class/find_markers_dead", "class/find_rows_wander"


def page(yard: Ground) -> Report:
    """The report as it is drawn now; what it offers stands in the kit."""
    assert yard.report is not None
    yard.kit.begin(yard.now_s)
    yard.report.draw(yard.surface)
    assert yard.kit.overflows == []
    return yard.report


def press(yard: Ground, name: str) -> None:
    """Press a thing on the report."""
    page(yard)
    target = yard.kit.find(name)
    assert target is not None, f"no {name}: {[one.id for one in yard.kit.targets]}"
    assert target.enabled, name
    assert target.act is not None, name
    target.act()


def write_down(yard: Ground, action: Action) -> None:
    """Tick a measurement, or point out part and fault and sign."""
    yard.open_report()
    if action.word == "evidence":
        press(yard, f"report.tick.{(action.amount or 0) // 1000}")
        return
    group = next(group for group, names in faults.parts(yard.case).items() if action.thing in names)
    press(yard, f"report.group.{group}")
    press(yard, f"report.part.{action.thing}")
    if action.word == "name":
        press(yard, f"report.wrong.{action.place}")
    press(yard, "report.sign" if action.word == "name" else "report.mend")


def work(yard: Ground, job: Job) -> Attempt:
    """The job's answer by hand, beside an attempt that is only told it."""
    told = Attempt(job.case, ())
    yard.here.enter()
    yard.frame()
    for item in answer_items(job):
        for action in actions_of(told, item):
            told.settle()
            assert told.do(action) is None
            told.settle()
            if action.word in ("evidence", "name"):
                write_down(yard, action)
            elif action.word == "mend":
                assert yard.here.name == "panel"
                kind = "plug" if yard.case.plug(action.thing) >= 0 else "end"
                yard.drag("spanner", f"{kind}:{action.thing}")
            else:
                by_hand(yard, action)
            yard.attempt.settle()
    return told


@pytest.mark.parametrize(("name", "fault"), [(MARKERS, "extend_half_home"), (WANDER, "left_latch_open")])
def test_a_fault_is_found_named_mended_and_proved_by_hand(name: str, fault: str) -> None:
    job = load_job(name).posed(fault)
    yard = Ground(job.case)
    told = work(yard, job)
    assert yard.refused == []
    assert yard.asked == [as_line(entry.action) for entry in told.log]
    assert digest(yard.state) == digest(told.state)
    assert yard.state.found
    assert not faults.left(job.case, yard.state)
    assert yard.state.ended == "handed in"


@pytest.fixture
def measured() -> Ground:
    """The job of the rows at the bench, with three measurements taken."""
    yard = Ground(load_job(WANDER).posed("nose_up").case)
    for line in ("go: hitch", "measure: sway", "measure: bar_pitch", "look: latches", "go: bench"):
        yard.do(from_line(line))
    yard.attempt.settle()
    yard.here.enter()
    yard.frame()
    yard.asked.clear()
    return yard


def test_every_part_of_both_machines_can_be_pointed_out_and_every_wrong_said(measured: Ground) -> None:
    measured.open_report()
    shown = set()
    for group in faults.parts(measured.case):
        press(measured, f"report.group.{group}")
        page(measured)
        shown |= {target.id for target in measured.kit.targets}
    for part in faults.part_names(measured.case):
        assert f"report.part.{part}" in shown
    for wrong in WRONGS:
        assert f"report.wrong.{wrong}" in shown


def test_signing_asks_for_the_evidence_first_and_what_was_unticked_is_left_out(measured: Ground) -> None:
    measured.open_report()
    for number in (3, 2, 1, 3):
        press(measured, f"report.tick.{number}")
    page(measured)
    sign = measured.kit.find("report.sign")
    assert sign is not None
    assert not sign.enabled, "nothing is pointed out yet"
    press(measured, "report.group.hitch")
    press(measured, "report.part.top_link")
    press(measured, "report.wrong.too_long")
    press(measured, "report.sign")
    assert measured.asked == ["evidence: 1", "evidence: 2", "name: top_link as too_long"]
    assert measured.draft.ticked == set()
    measured.attempt.settle()
    measured.open_report()
    page(measured)
    offered = [target.id for target in measured.kit.targets]
    assert "report.sign" not in offered, "it is named"
    assert not any(name.startswith("report.part") for name in offered)


def test_a_report_is_read_in_the_yard_but_not_signed_there(measured: Ground) -> None:
    measured.do(from_line("go: yard"))
    measured.attempt.settle()
    measured.here.enter()
    measured.frame()
    measured.click("report")
    press(measured, "report.group.hitch")
    press(measured, "report.part.top_link")
    press(measured, "report.wrong.too_long")
    page(measured)
    sign = measured.kit.find("report.sign")
    assert sign is not None
    assert not sign.enabled


@pytest.mark.parametrize("station", ["panel", "hitch", "implement"])
def test_a_part_out_of_sight_is_put_right_from_the_report(measured: Ground, station: str) -> None:
    measured.stand(station)
    write_down(measured, Action("mend", "fuse_lamps"))
    assert measured.asked == ["mend: fuse_lamps"]


@pytest.mark.parametrize(
    ("station", "spot", "part"),
    [
        ("hitch", "sway", "sway_blocks"),
        ("implement", "stands", "stands"),
        ("panel", "end:fan_drain", "fan_drain"),
    ],
)
def test_the_spanner_mends_what_it_is_put_to(measured: Ground, station: str, spot: str, part: str) -> None:
    measured.stand(station)
    for by_key in (False, True):
        measured.asked.clear()
        if by_key:
            measured.here.activate("spanner")
            measured.frame()
            measured.here.activate(spot)
        else:
            measured.drag("spanner", spot)
        assert measured.asked == [f"mend: {part}"]


def test_what_hangs_in_a_line_is_moved_and_read_and_keys_do_the_same(measured: Ground) -> None:
    measured.stand("panel")
    measured.drag("gauge", "end:lift_extend")
    measured.here.activate("gauge")
    measured.frame()
    measured.here.activate("tee:v2_extend")
    measured.frame()
    assert measured.asked == ["gauge: lift_extend", "gauge: v2_extend"]
    measured.attempt.settle()
    measured.here.activate("gauge:read")
    assert measured.asked[-1] == "measure: gauge"


def test_escape_lays_the_report_down(measured: Ground) -> None:
    measured.open_report()
    report = page(measured)
    measured.desk.lay_over(report)
    assert report.handle(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_ESCAPE, mod=0, unicode=""))
    assert measured.desk.over is None


def searched() -> tuple[Job, Attempt]:
    """A wrong name for nothing, then the right one with too little under it."""
    job = load_job(WANDER).posed("nose_up")
    lines = (
        *("go: bench", "name: sway_blocks as worn", "go: hitch", "measure: sway", "measure: bar_pitch"),
        *("look: latches", "go: bench", "evidence: 1", "name: top_link as too_long", "hand_in:"),
    )
    return job, play(job.case, job.rules, [from_line(line) for line in lines])


def test_a_debrief_tells_the_fault_the_namings_and_what_would_have_told_it() -> None:
    job, attempt = searched()
    told = inquiry.inquiry(job, attempt, Texts.load())
    assert told is not None
    assert (told.part, told.wrong, told.others) == ("Top link", "too long", len(job.case.faults))
    assert [one.verdict for one in told.namings] == ["wrong_part", "right"]
    assert [one.evidence for one in told.namings] == [(), (1,)]
    assert [len(one.open_still) for one in told.namings] == [0, len(attempt.not_told_apart((1,)))]
    assert [one.station for one in told.measured] == ["hitch"] * 3
    assert [one.rules_out for one in told.measured] == [
        told.others - len(attempt.not_told_apart((number,))) for number in (1, 2, 3)
    ]
    assert max(one.rules_out for one in told.telling) == told.others, "the answer rules all of them out"


def test_the_saved_page_tells_the_same() -> None:
    job, attempt = searched()
    page = pages.render(job, attempt, Texts.load(), found=[])
    for said in ("Top link: too long", "Sway blocks: worn", "Still possible then", "rules out 5 of 5"):
        assert said in page


@pytest.fixture
def sit() -> Iterator[Callable[..., Sitting]]:
    yield from sittings()


def test_another_language_in_the_middle_of_a_search_keeps_the_fault(sit: Callable[..., Sitting]) -> None:
    shown = sit(text_percent=200)
    shell = shown.begin(WANDER, "practice")
    fault = shell.attempt.case.fault
    shown.program.open_settings()
    shown.desk.speak("es")
    shown.desk.take_off()
    assert fault is not None
    assert shown.shell.attempt.case.fault == fault
    assert shown.shell.texts.language == "es"
    shown.click("yard.report")
    assert shown.desk.over is not None
    assert shown.kit.overflows == []


@pytest.mark.parametrize("percent", [100, 200])
@pytest.mark.parametrize("language", sorted(languages()))
def test_the_report_fits_in_every_language(sit: Callable[..., Sitting], language: str, percent: int) -> None:
    sitting = sit((1280, 720), text_percent=percent, language=language)
    _, attempt = searched()
    shown = show_in(load_job(WANDER).posed("nose_up"), attempt, sitting.desk.texts)
    fresh = Attempt(shown.case, shown.rules)
    for line in ("go: hitch", "measure: sway", "measure: bar_pitch", "look: latches", "go: bench"):
        fresh.settle()
        fresh.do(from_line(line))
    fresh.settle()
    window = pygame.Rect(0, 0, 1280, 720)

    def look() -> None:
        sitting.frame(2)
        assert sitting.kit.overflows == []
        for target in sitting.kit.targets:
            assert target.seen.size == (0, 0) or window.contains(target.seen), target.id

    shell = Shell(sitting.desk, fresh, fresh, "practice", resumed=True)
    sitting.desk.show(shell)
    look()
    shell.open_report()
    report = sitting.desk.over
    assert isinstance(report, Report)
    for part in ("told", "where", "what"):
        report.part = part
        for group in report.groups:
            report.draft.group = group
            look()
    report.tick_off(2)
    report.draft.part, report.draft.wrong = "top_link", "too_long"
    look()
    report.sign()
    sitting.until(lambda: shell.dialog == "named")
    look()
    sitting.click("dialog.go_on")
    shell.open_report()
    look()
    debrief = Debrief(sitting.desk, shown, attempt, "practice", Path())
    sitting.desk.show(debrief)
    debrief.finish_drawing()
    look()
    assert debrief.inquiry is not None
