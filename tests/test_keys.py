"""Keys of one's own choosing, the page that changes them, and a game controller asking for the same."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pygame
import pytest

from test_scene import COUPLE, Sitting, sittings
from trainer.lang import Texts, languages
from trainer.records import settings
from trainer.scene import controller, keys
from trainer.scene.controller import Controller
from trainer.scene.keys import COMMANDS, GROUPS, Keys
from trainer.scene.settings_page import TABS, SettingsPage
from trainer.scene.stations.hands import Handwork

SCENE = Path(keys.__file__).parent


@pytest.fixture
def sitting() -> Iterator[Sitting]:
    for make in sittings():
        yield make()


def press(key: int, mod: int = 0, text: str = "") -> pygame.event.Event:
    return pygame.event.Event(pygame.KEYDOWN, key=key, mod=mod, unicode=text)


# --- the table ---------------------------------------------------------------------------------------------


def test_no_other_module_looks_at_a_key() -> None:
    files = [*SCENE.rglob("*.py"), SCENE.parent / "app.py"]
    assert len(files) > 20
    for path in files:
        if path == SCENE / "keys.py":
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            name = getattr(node, "attr", getattr(node, "id", ""))
            assert not str(name).startswith(("K_", "KMOD_", "KSCAN_")), f"{path.name}:{node.lineno} {name}"


def test_every_command_has_a_key_of_its_own_and_words() -> None:
    texts = Texts.load()
    laid = [key for command in COMMANDS for key in (command.key, *command.also)]
    assert len(set(laid)) == len(laid)
    for command in COMMANDS:
        assert command.group in GROUPS
        assert texts.say(f"keys.commands.{command.name}")
        for key in (command.key, *command.also):
            assert keys.is_key(key)
    listed = {key.removeprefix("keys.commands.") for key in texts.under("keys.commands")}
    assert listed == {command.name for command in COMMANDS}
    for key in texts.under("keys.names"):
        part = key.removeprefix("keys.names.")
        assert part in ("ctrl", "alt", "shift") or keys.is_key(part), part


def test_a_key_laid_elsewhere_asks_there_and_no_longer_here() -> None:
    mine = Keys({"pause": "f4", "units": "f4x"})
    assert mine.asked(press(pygame.K_F4)) == "pause"
    assert mine.asked(press(pygame.K_p)) == ""
    assert mine.asked(press(pygame.K_m)) == "units", "what is no key stays as it was"
    assert Keys({"pause": "m"}).changed == {}, "two on one key: all stay where the program has them"
    assert Keys({"pause": "m", "units": "p"}).asked(press(pygame.K_p)) == "units"


def test_a_key_that_did_the_same_gives_way() -> None:
    mine = Keys()
    assert mine.asked(press(pygame.K_SPACE)) == "press"
    assert mine.lay("pause", "space") == ""
    assert mine.asked(press(pygame.K_SPACE)) == "pause"
    assert mine.asked(press(pygame.K_RETURN)) == "press"


def test_a_swap_leaves_no_command_without_a_key() -> None:
    mine = Keys()
    assert mine.lay("pause", "return", swap=True) == "press"
    assert (mine.key("pause"), mine.key("press")) == ("return", "p")
    mine.reset()
    assert mine.changed == {}
    with pytest.raises(ValueError, match="how a key is written"):
        mine.lay("pause", "ctrl")


def test_letters_typed_into_a_field_ask_for_nothing() -> None:
    mine = Keys()
    for command in COMMANDS:
        event = mine.event(command.name)
        assert mine.asked(event) == command.name
        letters = command.key in ("p", "f", "w", "h", "n", "m")
        assert mine.asked(event, typing=True) == ("" if letters else command.name)
    assert mine.asked(press(pygame.K_LEFT, pygame.KMOD_LSHIFT)) == "left"
    assert mine.asked(press(pygame.K_EQUALS, pygame.KMOD_LCTRL | pygame.KMOD_LSHIFT)) == "larger"
    assert mine.asked(press(pygame.K_LCTRL)) == ""


def test_a_held_key_moves_on_and_on_but_presses_once() -> None:
    mine, held = Keys(), keys.Repeat()
    held.see(mine.event("next"))
    assert held.wait(0.2, mine) == []
    assert [mine.asked(one) for one in held.wait(0.2, mine)] == ["next"]
    assert [mine.asked(one) for one in held.wait(0.06, mine)] == ["next"]
    held.see(pygame.event.Event(pygame.KEYUP, key=pygame.K_TAB, mod=0))
    assert held.wait(1.0, mine) == []
    held.see(mine.event("press"))
    assert held.wait(5.0, mine) == []
    held.see(press(pygame.K_BACKSPACE))
    assert held.wait(1.0, mine) == []
    assert len(held.wait(1.0, mine, typing=True)) == 1


# --- the page ----------------------------------------------------------------------------------------------


def test_the_page_opens_over_the_yard_which_stands_still_below(sitting: Sitting) -> None:
    shell = sitting.begin(COUPLE)
    sitting.frame(20)
    focus, tick = sitting.kit.focus, shell.state.tick
    sitting.key(pygame.K_F2)
    assert isinstance(sitting.desk.front, SettingsPage)
    sitting.frame(60)
    assert shell.state.tick == tick
    assert not [ident for ident in sitting.ids() if ident.startswith("yard.")]
    sitting.key(pygame.K_ESCAPE)
    assert sitting.desk.front is shell
    assert not shell.dialog
    assert sitting.kit.focus == focus
    sitting.frame(20)
    assert shell.state.tick > tick


def test_the_page_can_be_reached_from_the_first_screen_and_from_the_pause(sitting: Sitting) -> None:
    sitting.click("settings.open")
    sitting.click("settings.done")
    sitting.begin(COUPLE)
    sitting.key(pygame.K_p)
    sitting.click("dialog.settings")
    assert isinstance(sitting.desk.front, SettingsPage)
    sitting.click("settings.done")
    assert sitting.shell.dialog == "pause"


def test_what_is_chosen_takes_effect_at_once_and_is_kept(sitting: Sitting) -> None:
    sitting.key(pygame.K_F2)
    sitting.click("settings.units.metric")
    sitting.click("settings.reduced_motion.on")
    sitting.to_key("settings.text")
    for _ in range(5):
        sitting.key(pygame.K_RIGHT)
    assert sitting.kit.text_scale == 1.25
    sitting.click("settings.tab.sound")
    sitting.click("settings.mute.on")
    sitting.click("settings.captions.off")
    box = sitting.target("settings.volume").rect
    sitting.event(pygame.MOUSEBUTTONDOWN, pos=box.center, button=1)
    sitting.event(pygame.MOUSEBUTTONUP, pos=box.center, button=1)
    sitting.click("settings.done")
    kept = settings.load().settings
    assert kept == sitting.desk.settings
    assert (kept.units, kept.reduced_motion, kept.text_percent) == ("metric", True, 125)
    assert (kept.mute, kept.captions, kept.volume) == (True, False, 50)


@pytest.mark.parametrize("language", sorted(languages()))
@pytest.mark.parametrize("percent", [100, 150, 200])
def test_the_page_fits(sitting: Sitting, language: str, percent: int) -> None:
    sitting.desk.text_size(percent)
    sitting.key(pygame.K_F2)
    sitting.click(f"settings.language.{language}")
    assert sitting.desk.texts.language == language
    for tab in TABS:
        sitting.click(f"settings.tab.{tab}")
        assert not sitting.kit.overflows, (tab, sitting.kit.overflows)


def test_a_key_is_changed_by_keyboard_alone_and_a_taken_one_told(sitting: Sitting) -> None:
    page = open_keys(sitting)
    sitting.to_key("settings.key.fast")
    sitting.key(pygame.K_RETURN)
    assert page.listening == "fast"
    sitting.key(pygame.K_LCTRL)
    assert page.listening == "fast", "Ctrl alone is not yet a key"
    sitting.key(pygame.K_g, pygame.KMOD_CTRL)
    assert sitting.kit.keys.key("fast") == "ctrl+g"
    sitting.key(pygame.K_RETURN)
    sitting.key(pygame.K_F1)
    assert page.conflict == ("fast", "f1", "help"), "told, and nothing changed yet"
    assert sitting.kit.keys.key("fast") == "ctrl+g"
    sitting.key(pygame.K_ESCAPE)
    assert sitting.desk.front is page
    sitting.to_key("settings.key.fast")
    sitting.key(pygame.K_RETURN)
    sitting.key(pygame.K_F1)
    sitting.click("settings.swap")
    assert (sitting.kit.keys.key("fast"), sitting.kit.keys.key("help")) == ("f1", "ctrl+g")
    sitting.click("settings.done")
    assert settings.load().settings.keys == {"fast": "f1", "help": "ctrl+g"}
    sitting.key(pygame.K_g, pygame.KMOD_CTRL)
    sitting.to_key("settings.reset")
    sitting.key(pygame.K_RETURN)
    assert sitting.desk.settings.keys == {}


def test_escape_while_a_key_is_waited_for_changes_nothing(sitting: Sitting) -> None:
    page = open_keys(sitting)
    sitting.to_key("settings.key.fast")
    sitting.key(pygame.K_RETURN)
    sitting.key(pygame.K_ESCAPE)
    assert (page.listening, page.conflict[0]) == ("", "")
    assert sitting.desk.front is page


def open_keys(sitting: Sitting) -> SettingsPage:
    sitting.key(pygame.K_F1)
    page = sitting.desk.front
    assert isinstance(page, SettingsPage)
    assert page.tab == "keys"
    return page


# --- the controller ----------------------------------------------------------------------------------------


def hat(sitting: Sitting, right: int, up: int) -> None:
    sitting.event(pygame.JOYHATMOTION, instance_id=0, hat=0, value=(right, up))


def button(sitting: Sitting, number: int) -> None:
    sitting.event(pygame.JOYBUTTONDOWN, instance_id=0, button=number)


def test_a_controller_moves_takes_and_puts_down(sitting: Sitting) -> None:
    shell = sitting.begin(COUPLE)
    sitting.click("yard.go.panel")
    sitting.until(lambda: shell.here == "panel" and not shell.busy)
    station = shell.station
    assert isinstance(station, Handwork)
    line = f"end:{shell.case.implement.hoses[0].name}"
    while sitting.kit.focus != line:
        button(sitting, 5)
    button(sitting, 0)
    assert station.held is not None
    button(sitting, 1)
    assert station.held is None
    before = sitting.kit.focus
    hat(sitting, 0, -1)
    assert sitting.kit.focus != before
    hat(sitting, 0, 0)
    button(sitting, 7)
    assert shell.dialog == "pause"
    sitting.event(pygame.JOYBUTTONDOWN, instance_id=0, button=31)


def test_a_stick_counts_once_until_it_is_let_go_and_then_again_while_held() -> None:
    pad, mine = Controller(), Keys({"right": "d"})

    def push(value: float, axis: int = 0) -> list[str]:
        event = pygame.event.Event(pygame.JOYAXISMOTION, instance_id=0, axis=axis, value=value)
        return [mine.asked(one) for one in pad.keys(event, mine) or ()]

    assert push(0.3) == []
    assert push(0.9) == ["right"]
    assert push(0.5) == push(1.0) == []
    assert pad.wait(0.2, mine) == []
    assert [mine.asked(one) for one in pad.wait(0.2, mine)] == ["right"]
    assert push(0.0) == []
    assert pad.wait(5.0, mine) == []
    assert push(-1.0, axis=1) == ["up"]
    assert push(1.0, axis=5) == [], "a trigger at its end is no direction"


def test_one_that_is_not_wanted_or_not_there_is_no_trouble(sitting: Sitting) -> None:
    sitting.desk.settings.controller = False
    focus = sitting.kit.focus
    button(sitting, 5)
    assert sitting.kit.focus == focus
    sitting.event(pygame.JOYDEVICEADDED, device_index=99)
    sitting.event(pygame.JOYDEVICEREMOVED, instance_id=99)
    assert set(controller.BUTTONS.values()) <= {command.name for command in COMMANDS}
