"""Before the yard and after it: the plan board, what would have happened, and a second try."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pygame
import pytest

from test_scene import COUPLE, Sitting, sittings
from trainer.authoring.compile import Job, load_job
from trainer.authoring.plan import cards
from trainer.core.actions import Action, from_line
from trainer.core.attempt import Attempt
from trainer.records import journal
from trainer.scene.debrief import Debrief
from trainer.scene.planning import PlanBoard
from trainer.scene.shell import Shell


@pytest.fixture
def sit() -> Iterator[Callable[..., Sitting]]:
    yield from sittings()


@pytest.fixture(scope="module")
def couple() -> Job:
    return load_job(COUPLE)


def laid(sitting: Sitting) -> list[str]:
    board = sitting.desk.screen
    assert isinstance(board, PlanBoard)
    return board.plan


def test_a_plan_is_laid_by_dragging_by_clicks_and_by_keys(sit: Callable[..., Sitting], couple: Job) -> None:
    sitting = sit(mode="guided")
    sitting.program.sheet(COUPLE)
    sitting.frame()
    sitting.click("sheet.paper.weights")
    sitting.click("sheet.plan")
    first, second, third, fourth = cards(couple.case)[:4]

    def drag(ident: str, to: tuple[int, int]) -> None:
        at = sitting.target(ident).seen.center
        sitting.event(pygame.MOUSEMOTION, pos=at, rel=(0, 0), buttons=(0, 0, 0))
        sitting.event(pygame.MOUSEBUTTONDOWN, pos=at, button=1)
        for share in (0.2, 0.6, 1.0):
            pos = round(at[0] + (to[0] - at[0]) * share), round(at[1] + (to[1] - at[1]) * share)
            sitting.event(pygame.MOUSEMOTION, pos=pos, rel=(0, 0), buttons=(1, 0, 0))
        sitting.event(pygame.MOUSEBUTTONUP, pos=to, button=1)

    drag(f"plan.card.{first}", sitting.target("plan.end").rect.center)
    assert laid(sitting) == [first]
    place = sitting.target(f"plan.card.{first}").rect
    drag(f"plan.card.{second}", (place.centerx, place.top + 4))
    assert laid(sitting) == [second, first]
    sitting.click(f"plan.card.{third}")
    sitting.click(f"plan.card.{first}")
    assert laid(sitting) == [second, third, first]
    sitting.click(f"plan.card.{second}")
    sitting.click("plan.end")
    assert laid(sitting) == [third, first, second]
    drag(f"plan.card.{first}", (sitting.target(f"plan.card.{fourth}").rect.centerx, 600))
    assert laid(sitting) == [third, second]
    sitting.click(f"plan.card.{second}")
    sitting.click("plan.pile")
    assert laid(sitting) == [third]

    sitting.to_key(f"plan.card.{fourth}")
    sitting.key(pygame.K_RIGHT)
    assert laid(sitting) == [third, fourth]
    sitting.key(pygame.K_UP)
    assert laid(sitting) == [fourth, third]
    sitting.key(pygame.K_UP)
    sitting.key(pygame.K_DOWN)
    assert laid(sitting) == [third, fourth]
    sitting.key(pygame.K_DELETE)
    assert laid(sitting) == [third]
    sitting.to_key(f"plan.card.{first}")
    sitting.key(pygame.K_RETURN)
    sitting.to_key("plan.end")
    sitting.key(pygame.K_RETURN)
    assert laid(sitting) == [third, first]

    sitting.click("plan.back")
    assert sitting.desk.screen.name == "sheet"
    sitting.click("sheet.plan")
    assert laid(sitting) == [third, first]
    sitting.click("plan.start")
    sitting.until(lambda: not sitting.shell.busy)
    assert sitting.shell.state.papers == ("weights",)
    assert sitting.program.journal is not None
    assert sitting.program.journal.notes.plan == (third, first)


@pytest.mark.parametrize(("mode", "skips"), [("guided", True), ("practice", True), ("check_out", False)])
def test_the_plan_may_be_skipped_unless_it_counts(
    sit: Callable[..., Sitting], couple: Job, mode: str, skips: bool
) -> None:
    sitting = sit(mode=mode)
    sitting.program.plan(couple)
    sitting.frame()
    assert ("plan.skip" in sitting.ids()) is skips
    assert not sitting.target("plan.start").enabled
    if skips:
        sitting.click("plan.skip")
        assert sitting.shell.mode == mode
        assert sitting.program.journal is not None
        assert sitting.program.journal.notes.plan == ()


def test_a_long_plan_scrolls_under_a_card_held_at_its_edge(sit: Callable[..., Sitting], couple: Job) -> None:
    sitting = sit(text_percent=200)
    sitting.program.plan(couple, plan=cards(couple.case)[1:])
    sitting.frame(2)
    name = cards(couple.case)[0]
    at = sitting.target(f"plan.card.{name}").seen.center
    sitting.event(pygame.MOUSEBUTTONDOWN, pos=at, button=1)
    area = sitting.kit.areas["plan.rail"]
    low = area.rect.centerx, area.rect.bottom - 4
    sitting.event(pygame.MOUSEMOTION, pos=low, rel=(0, 0), buttons=(1, 0, 0))
    sitting.until(lambda: sitting.kit.areas["plan.rail"].offset == sitting.kit.areas["plan.rail"].most > 0)
    sitting.event(pygame.MOUSEBUTTONUP, pos=low, button=1)
    assert laid(sitting).index(name) > len(laid(sitting)) - 4


def begun_badly(sitting: Sitting, mode: str) -> Shell:
    """The key left in while the hoses were gone to, after a while."""
    shell = sitting.begin(COUPLE, mode)
    for action in (Action("go", "seat"), Action("key", "on"), Action("wait", amount=20_000)):
        shell.do(action)
    shell.do(Action("go", "panel"))
    sitting.until(lambda: shell.state.station == "panel" and not shell.busy)
    shell.do(Action("hand_in"))
    sitting.frame()
    sitting.click("dialog.hand_in")
    sitting.until(lambda: shell.dialog == "ended")
    sitting.frame()
    sitting.click("dialog.debrief")
    sitting.frame(2)
    return shell


def test_one_tries_again_from_before_a_finding_and_the_first_try_stays(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    first = begun_badly(sitting, "practice")
    assert first.attempt.findings[0].rule == "key_left_in"
    (kept,) = journal.finished()
    before = kept.read_bytes()
    sitting.click("debrief.again.1")
    shell = sitting.shell
    wait = first.attempt.log[2]
    assert [entry.action for entry in shell.attempt.log] == [entry.action for entry in first.attempt.log[:2]]
    assert wait.tick <= shell.state.tick <= wait.tick + 2
    assert first.attempt.findings[0].tick - wait.tick >= 100
    assert sitting.program.journal is not None
    assert sitting.program.journal.notes.branch_of == kept.name
    assert sitting.program.journal.notes.branch_tick == wait.tick
    shell.do(Action("key", "out"))
    sitting.until(lambda: not shell.busy)
    assert not shell.attempt.findings
    assert kept.read_bytes() == before


def test_nobody_tries_again_in_a_check_out(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    begun_badly(sitting, "check_out")
    assert "debrief.finding.1" in sitting.ids()
    assert not [ident for ident in sitting.ids() if ident.startswith("debrief.again.")]


def test_a_finding_opens_to_what_would_have_happened(
    sit: Callable[..., Sitting], couple: Job, tmp_path: Path
) -> None:
    sitting = sit()
    attempt = Attempt(couple.case, couple.rules)
    for line in ("go: seat", "key: on", "wait: 9 s", "go: panel", "go: seat", "go: hitch", "hand_in:"):
        attempt.settle()
        attempt.do(from_line(line))
    debrief = Debrief(sitting.desk, couple, attempt, "practice", tmp_path)
    debrief.finish_drawing()
    debrief.review.finish()
    sitting.desk.show(debrief)
    sitting.frame(2)
    other = debrief.review.others[1]
    assert other.edit is not None
    assert other.score.points > debrief.score.points
    said = debrief.review.say_edit(other.edit)
    assert said == "First: took the key. Only then: walked to the rear panel."
    assert debrief.review.picked == 1
    sitting.click("debrief.finding.1")
    assert debrief.review.picked == 0
    assert "debrief.again.1" not in sitting.ids()
    sitting.to_key("debrief.finding.2")
    sitting.key(pygame.K_RETURN)
    assert debrief.review.picked == 2
