"""The instrument before the measurement: do clicks, drags and keys arrive where they aim?"""

import json
from pathlib import Path

import pytest

import xvfb

WINDOW = """
import json, os
import pygame
pygame.display.init()
surface = pygame.display.set_mode((1280, 720))
pygame.display.set_caption("harness")
colour = (40, 60, 80)
frame = 0
while True:
    for event in pygame.event.get():
        if event.type == pygame.QUIT or event.type == pygame.KEYDOWN and event.key == pygame.K_ESCAPE:
            raise SystemExit(7)
        if event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
            colour = (200, 120, 40)
        names = {
            pygame.MOUSEBUTTONDOWN: ("down", "pos", "button"), pygame.MOUSEBUTTONUP: ("up", "pos", "button"),
            pygame.MOUSEMOTION: ("motion", "pos", "buttons"), pygame.MOUSEWHEEL: ("wheel", "y"),
            pygame.KEYDOWN: ("key", "key"), pygame.TEXTINPUT: ("text", "text"),
        }.get(event.type)
        if names:
            print(json.dumps([names[0], *(getattr(event, name) for name in names[1:])]), flush=True)
    surface.fill((40, 60, 80))
    surface.fill(colour, (300, 200, 50, 40))
    pygame.display.flip()
    frame += 1
    print(json.dumps(["frame", frame]), flush=True)
    pygame.time.wait(5)
"""


@pytest.fixture
def program(screen: xvfb.Screen, tmp_path: Path) -> xvfb.Program:
    script = tmp_path / "window.py"
    script.write_text(WINDOW, "utf-8")
    program = screen.run(str(script))
    program.until_window()
    program.until(lambda: screen.pixel(310, 210) == (40, 60, 80), "its first frame")
    return program


def printed(program: xvfb.Program) -> list[list[object]]:
    # What stands after the last line's end is still on its way.
    whole, _, _ = program.said().rpartition("\n")
    return [json.loads(line) for line in whole.splitlines() if line.startswith("[")]


def events(program: xvfb.Program, kind: str) -> list[list[object]]:
    return [event[1:] for event in printed(program) if event[0] == kind]


def test_a_click_arrives_at_the_pixel_it_aims_at(screen: xvfb.Screen, program: xvfb.Program) -> None:
    for at in [(0, 0), (1279, 719), (641, 359), (17, 703)]:
        before = len(events(program, "up"))
        screen.pointer.click(at)
        program.until(lambda count=before: len(events(program, "up")) > count, "the release")
        assert events(program, "down")[-1] == [list(at), 1]
        assert events(program, "up")[-1] == [list(at), 1]
    screen.pointer.click((5, 5), button=3)
    program.until(lambda: [[5, 5], 3] in events(program, "up"), "the right button")


def test_a_picture_shows_what_the_program_draws(
    screen: xvfb.Screen, program: xvfb.Program, tmp_path: Path
) -> None:
    screen.pointer.click((900, 600))
    program.until(lambda: screen.pixel(325, 220) == (200, 120, 40), "the new colour")
    picture = screen.picture()
    assert (picture.width_px, picture.height_px) == (1280, 720)
    corners = [(299, 200), (300, 199), (300, 200), (349, 239), (350, 239), (349, 240)]
    inside = [picture.pixel(*corner) == (200, 120, 40) for corner in corners]
    assert inside == [False, False, True, True, False, False]
    with pytest.raises(IndexError):
        picture.pixel(1280, 0)

    picture.save(tmp_path / "screen.png")
    import pygame

    saved = pygame.image.load(tmp_path / "screen.png")
    assert saved.get_size() == (1280, 720)
    assert pygame.image.tobytes(saved, "RGB") == picture.rgb


def test_a_drag_sends_each_move_with_the_button_held(screen: xvfb.Screen, program: xvfb.Program) -> None:
    screen.pointer.drag((100, 100), (700, 400), steps=6)
    program.until(lambda: events(program, "up"), "the release")
    held = [place for place, buttons in events(program, "motion") if buttons == [1, 0, 0]]
    assert held == [[200, 150], [300, 200], [400, 250], [500, 300], [600, 350], [700, 400]]
    assert events(program, "down") == [[[100, 100], 1]]
    assert events(program, "up") == [[[700, 400], 1]]


def test_what_is_carried_is_let_go_when_the_program_has_seen_it_come(
    screen: xvfb.Screen, program: xvfb.Program
) -> None:
    screen.pointer.carry((100, 600), (130, 600), steps=3)
    program.until(lambda: [[130, 600], [1, 0, 0]] in events(program, "motion"), "the last move")
    assert events(program, "up") == []
    screen.pointer.release((130, 600))
    program.until(lambda: events(program, "up"), "the release")
    assert events(program, "up") == [[[130, 600], 1]]


def test_a_button_pressed_again_and_again_is_counted(screen: xvfb.Screen, program: xvfb.Program) -> None:
    screen.pointer.click((40, 40), times=7)
    program.until(lambda: len(events(program, "up")) == 7, "seven releases")
    assert events(program, "down") == [[[40, 40], 1]] * 7


def test_keys_text_and_wheel_arrive(screen: xvfb.Screen, program: xvfb.Program) -> None:
    screen.pointer.key("Tab", "shift+Tab")
    screen.pointer.type("Plum 4-7")
    screen.pointer.scroll((640, 360), 2)
    screen.pointer.scroll((640, 360), -1)
    program.until(lambda: len(events(program, "wheel")) == 3, "three notches of the wheel")
    assert events(program, "wheel") == [[1], [1], [-1]]
    assert [key for (key,) in events(program, "key") if key == 9] == [9, 9]
    assert "".join(text for (text,) in events(program, "text") if isinstance(text, str)) == "Plum 4-7"
    screen.pointer.key("Escape")
    assert program.ended() == 7


def test_waiting_fails_with_what_the_program_said(screen: xvfb.Screen) -> None:
    program = screen.run("-c", "print('no such job'); raise SystemExit(2)")
    with pytest.raises(pytest.fail.Exception, match=r"ended with 2 before its window\n(.*\n)*no such job"):
        program.until(lambda: False, "its window")
    with pytest.raises(pytest.fail.Exception, match="in vain"):
        xvfb.until(lambda: False, timeout_s=0.05)


@pytest.mark.parametrize(("on_ci", "outcome"), [("", pytest.skip.Exception), ("true", pytest.fail.Exception)])
def test_missing_tools_skip_at_a_desk_and_fail_on_ci(
    on_ci: str, outcome: type[BaseException], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setenv("CI", on_ci)
    with pytest.raises(outcome, match="xvfb, xdotool"):
        xvfb.require_tools()


def test_a_display_that_is_there_is_found_and_opened_for_timing(screen: xvfb.Screen) -> None:
    """`coupling-yard bench` takes it beside the driver that shows for nothing."""
    program = screen.run(
        "-c",
        "import pygame\n"
        "from trainer.app import _Aside, display_driver\n"
        "print(display_driver(), pygame.display.get_init())\n"
        "aside = _Aside((800, 600), seen=True)\n"
        "print(pygame.display.get_driver(), aside.surface.get_size())\n",
    )
    assert program.ended() == 0, program.said()
    assert program.said().splitlines()[-2:] == ["x11 False", "x11 (800, 600)"]
