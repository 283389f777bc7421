"""The first lesson: whoever does what is pointed at, and nothing else, comes to its end without a finding."""

from collections.abc import Callable

import pygame
import pytest

from test_scene import COUPLE, Sitting, sit
from trainer.records import results
from trainer.scene.pointing import Gesture
from trainer.scene.screens import FirstScreen
from trainer.scene.shell import Shell

__all__ = ["sit"]
_MOST_GESTURES = 80


def open_lesson(sitting: Sitting) -> Shell:
    sitting.click("first.lesson")
    sitting.click("sheet.start")
    shell = sitting.desk.screen
    assert isinstance(shell, Shell)
    assert (shell.mode, shell.case.course) == ("guided", "first-week")
    sitting.frame(3)
    return shell


def follow(sitting: Sitting, shell: Shell) -> str:
    """Do what is pointed at; gives what kind of gesture it was."""
    sitting.until(lambda: not shell.busy or bool(shell.state.ended))
    sitting.frame(2)
    gesture = shell.pointing.next()
    assert gesture is not None, f"nothing is pointed at; {[s.name for s in shell.guide.next_steps()]}"
    held = bool(shell.station.in_hand)
    names = gesture.to if held and gesture.to else gesture.at
    name = next((name for name in names if sitting.kit.find(name) is not None), "")
    assert name, f"{gesture} is not there: {sitting.ids()}"
    if gesture.kind == "set" and name == "adjust:set":
        sitting.key(pygame.K_6, text="6")  # the number stands on the card
    sitting.click(name)
    return gesture.kind


def test_what_is_pointed_at_leads_to_the_end(sit: Callable[..., Sitting]) -> None:
    sitting = sit(name="Ana")
    shell = open_lesson(sitting)
    kinds = set()
    for _ in range(_MOST_GESTURES):
        if shell.dialog == "hand_in":
            sitting.click("dialog.hand_in")
            sitting.until(lambda: bool(shell.state.ended))
            break
        if shell.station.in_hand and shell.pointing.next() is None:
            sitting.key(pygame.K_ESCAPE)
        kinds.add(follow(sitting, shell))
    assert shell.state.ended == "handed in", str([str(entry.action) for entry in shell.attempt.log][-8:])
    assert shell.attempt.findings == []
    score = shell.attempt.score()
    assert (score.points, score.passed) == (100, True)
    assert kinds >= {"walk", "look", "paper", "set", "press", "wipe", "carry", "pull"}
    sitting.frame(2)
    sitting.click("dialog.debrief")
    sitting.program.first()
    first = sitting.desk.screen
    assert isinstance(first, FirstScreen)
    sitting.frame()
    assert "first.lesson" not in sitting.ids(), "who has finished a job is not taken for new"
    done = results.load()
    assert [(each.trainee, each.job, each.mode, each.points) for each in done] == [
        ("Ana", results.LESSON, "guided", 100)
    ]


@pytest.mark.parametrize("percent", [100, 200])
def test_the_words_beside_the_ring_cover_neither_end_of_the_gesture(
    sit: Callable[..., Sitting], monkeypatch: pytest.MonkeyPatch, percent: int
) -> None:
    sitting = sit(text_percent=percent)
    shell = open_lesson(sitting)
    drawn: list[pygame.Rect] = []
    paint = sitting.kit.box

    def seen(surface: pygame.Surface, rect: pygame.Rect, *look: object, **more: object) -> None:
        drawn.append(rect.copy())
        paint(surface, rect, *look, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(sitting.kit, "box", seen)
    sitting.frame()
    said = drawn[-1]
    gesture = shell.pointing.next()
    assert gesture is not None
    ends = [sitting.target(gesture.at[0]).rect, sitting.target(gesture.to[0]).seen]
    assert all(said.clip(end).size == (0, 0) for end in ends)
    assert sitting.program.surface.get_rect().contains(said)


def test_nothing_is_pointed_at_for_who_knows_or_does_not_want_help(sit: Callable[..., Sitting]) -> None:
    sitting = sit(name="Ana")
    results.add(results.Result("Ana", COUPLE, "practice", 90, True, results.date(2030, 1, 1)))
    sitting.program.first()
    for mode in ("guided", "practice", "check_out"):
        shell = sitting.begin(COUPLE, mode)
        sitting.frame(2)
        assert shell.pointing.next() is None
        shell.side.how = {step.name for step in shell.case.steps}
        assert (shell.pointing.next() is not None) == (mode == "guided")
        sitting.program.first()


def test_for_a_look_one_is_sent_to_where_the_thing_is_to_be_seen(sit: Callable[..., Sitting]) -> None:
    sitting = sit(name="Ana")
    shell = sitting.begin(COUPLE, "guided")
    sitting.frame(2)
    look = next(step for step in shell.case.steps if step.name == "verify_latches")
    assert look.actions == ("go: hitch", "look: latches")
    state = shell.attempt.state
    shell.attempt.state = state._replace(station="implement", engine=False, brake=True, key="out")
    assert shell.pointing._of(look) == Gesture("walk", ("yard.go.hitch",))
    shell.attempt.state = shell.attempt.state._replace(station="hitch")
    assert shell.pointing._of(look) == Gesture("look", ("eye",), ("latch:left",))
