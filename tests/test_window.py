"""What the window shows and when: tooltips, whole lines, what counts as done, papers that give way again."""

from collections.abc import Callable, Iterator
from typing import Any

import pygame
import pytest

from test_scene import COUPLE, SIZES, Sitting, sittings
from trainer.authoring.compile import Job, load_job
from trainer.core.actions import Action, mask
from trainer.scene.guide import Guide
from trainer.scene.screens import draw_paper


@pytest.fixture
def sit() -> Iterator[Callable[..., Sitting]]:
    yield from sittings()


@pytest.fixture(scope="module")
def couple() -> Job:
    return load_job(COUPLE)


def test_in_guided_mode_the_next_steps_come_back_after_a_paper(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    shell = sitting.begin()
    sitting.click("yard.side.papers")
    sitting.click("yard.paper.weights")
    assert shell.side.tab == "papers"
    shell.do(Action("go", "bench"))
    assert shell.side.tab == "next"
    sitting.until(lambda: shell.here == "bench" and not shell.busy)
    sitting.click("paper:hitch_card")
    assert (shell.side.tab, shell.side.paper) == ("papers", "hitch_card")
    sitting.click("paper:close")
    assert shell.side.tab == "next"
    sitting.click("yard.side.papers")
    sitting.click("yard.paper.weights")
    sitting.click("yard.paper.weights")
    assert (shell.side.tab, shell.side.paper) == ("next", "")


def test_a_step_is_told_as_done_when_it_is_and_after_what_happened(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    shell = sitting.begin()
    assert shell.guide.count == 0
    assert [message for message in shell.messages if message.kind == "done"] == []
    shell.do(Action("go", "hitch"))
    shell.do(Action("drawbar", "stow"))
    sitting.until(lambda: shell.state.drawbar_stowed)
    assert shell.hands_busy
    assert shell.messages[-1].kind == "happened"
    assert shell.guide.count == 0
    sitting.until(lambda: not shell.busy)
    assert [message.kind for message in shell.messages][-2:] == ["happened", "done"]
    assert shell.guide.count == 1


def test_a_step_that_held_from_the_start_counts_once_it_was_lost_and_made_good(couple: Job) -> None:
    guide = Guide(couple.case)
    stop = next(step for step in couple.case.steps if step.name == "safe_stop")
    before = [step for step in couple.case.steps if couple.case.steps.index(step) < 9]
    held = mask(*stop.done)
    guide.see(held)
    assert guide.given == {"safe_stop"}
    assert "safe_stop" not in [step.name for step in guide.next_steps()]
    assert not guide.see(0)
    guide.see(held)
    assert guide.given == {"safe_stop"}  # its turn has not come
    done = mask(*{name for step in before for name in step.done})
    guide.see(done)
    assert guide.count == 9
    assert guide.see(done | held)
    assert not guide.given
    assert guide.count == 10


def test_the_strip_shows_whole_lines_wherever_it_is_scrolled(sit: Callable[..., Sitting]) -> None:
    for size in SIZES:
        sitting = sit(size)
        shell = sitting.begin()
        for number in range(9):
            shell._put("note", f"Line {number}. " + "More of it. " * (3 * number), number)
        sitting.frame()
        area = sitting.kit.areas["yard.messages"]
        step = sitting.kit.line(13)
        assert area.rect.height // step >= 4
        assert area.most > 0
        for _ in range(6):
            assert (area.rect.height % step, area.offset % step) == (0, 0)
            sitting.event(pygame.MOUSEMOTION, pos=area.rect.center, rel=(0, 0), buttons=(0, 0, 0))
            sitting.event(pygame.MOUSEWHEEL, x=0, y=1)


def shown_texts(sitting: Sitting) -> list[str]:
    """What the next frame writes."""
    shown: list[str] = []
    picture = sitting.kit.picture

    def listen(text: str, *given: Any, **named: Any) -> pygame.Surface:
        shown.append(text)
        return picture(text, *given, **named)

    sitting.kit.picture = listen  # type: ignore[method-assign]
    sitting.frame()
    sitting.kit.picture = picture  # type: ignore[method-assign]
    return shown


def test_a_tooltip_waits_until_no_button_is_held_and_what_was_pressed_is_left(
    sit: Callable[..., Sitting],
) -> None:
    sitting = sit()
    shell = sitting.begin()
    shell.do(Action("go", "hitch"))
    sitting.until(lambda: shell.here == "hitch" and not shell.busy)
    at, aside = sitting.target("tape").rect.center, sitting.target("level").rect.center
    hint = sitting.target("tape").hint
    first_line = sitting.kit.wrap(hint, min(sitting.kit.tx(300), sitting.kit.width(hint, 13) + 1), 13)[0]

    def rest(where: tuple[int, int]) -> bool:
        sitting.event(pygame.MOUSEMOTION, pos=where, rel=(0, 0), buttons=(0, 0, 0))
        sitting.frame(40)
        return first_line in shown_texts(sitting)

    assert rest(at)
    sitting.event(pygame.MOUSEBUTTONDOWN, pos=at, button=1)
    assert not rest(at)
    sitting.event(pygame.MOUSEBUTTONUP, pos=at, button=1)
    sitting.key(pygame.K_ESCAPE)
    assert not rest(at)
    rest(aside)
    assert rest(at)


def test_no_tooltip_says_what_stands_on_the_button_nor_leaves_the_stage(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    shell = sitting.begin()
    for station in ("seat", "bench"):
        shell.do(Action("go", station))
        sitting.until(lambda station=station: shell.here == station and not shell.busy)  # type: ignore[misc]
        sitting.frame()
        if station == "seat":
            names = ["drive:reverse", "drive:off", "page:speed", "engine:start", "brake"]
        else:
            sitting.click("paper:weights")
            names = ["paper:close", "paper:open"]
        assert [sitting.target(name).hint for name in names] == [""] * len(names)
        for target in sitting.kit.targets:
            if target.hint and target.clip is not None:
                sitting.desk.kit._tooltip(sitting.program.surface, target)
                assert target.clip == shell.stage


def test_a_sentence_with_a_colon_in_it_is_no_row_of_a_paper(sit: Callable[..., Sitting], couple: Job) -> None:
    sitting = sit()
    paper = next(paper for paper in couple.case.papers if paper.name == "flow_table")
    assert any("is not a flow: find" in line for line in paper.lines)
    figures = [line.partition(": ")[2] for line in paper.lines if line.startswith("Pump")]
    assert len(set(figures)) == len(figures)
    bold: list[str] = []
    paragraph = sitting.kit.paragraph

    def listen(surface: pygame.Surface, text: str, *given: Any, **named: Any) -> int:
        if True in given:
            bold.append(text)
        return paragraph(surface, text, *given, **named)

    sitting.kit.paragraph = listen  # type: ignore[method-assign]
    draw_paper(sitting.kit, sitting.program.surface, paper, 0, 0, 300, 14)
    assert not any("find" in text for text in bold)
