"""What a person has chosen is kept, and no file, however broken, costs more than what was broken in it."""

import dataclasses
import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.records import settings
from trainer.records.settings import MAX_BYTES, Settings

CHOSEN = Settings(
    language="es",
    units="metric",
    text_percent=175,
    reduced_motion=True,
    full_screen=True,
    volume=35,
    mute=True,
    captions=False,
    controller=False,
    keys={"pause": "f10"},
    name="Zoë Peña",
    mode="practice",
    job="first-week/couple",
    folder="/home/zoe/máquinas",
    running="a.jsonl",
    running_mode="check_out",
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "deep" / "settings.json"


def aside(path: Path) -> list[bytes]:
    return [file.read_bytes() for file in sorted(path.parent.glob("settings-kept-*.json"))]


def test_all_that_was_chosen_comes_back(path: Path) -> None:
    assert settings.load(path) == settings.Loaded(Settings())
    assert settings.save(CHOSEN, path)
    assert settings.load(path) == settings.Loaded(CHOSEN)
    assert [file.name for file in path.parent.iterdir()] == ["settings.json"]
    for name in (field.name for field in dataclasses.fields(Settings) if field.name != "beyond"):
        assert getattr(CHOSEN, name) != getattr(Settings(), name), f"{name} is not tried here"


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"[1",
        b"[]",
        b"null",
        b"\xff\xfe{}",
        b'{"name": "An',
        b"[" * 50_000,
        b'"' + b"x" * MAX_BYTES + b'"',
    ],
)
def test_a_broken_file_is_told_and_kept_aside(path: Path, content: bytes) -> None:
    path.parent.mkdir()
    path.write_bytes(content)
    loaded = settings.load(path)
    assert (loaded.settings, loaded.trouble) == (Settings(), "broken")
    assert loaded.kept_as is not None
    assert settings.save(loaded.settings, path)
    assert aside(path) == [content]
    assert settings.load(path) == settings.Loaded(Settings())


def test_a_strange_value_costs_itself_only(path: Path) -> None:
    assert settings.save(CHOSEN, path)
    tree = json.loads(path.read_text("utf-8"))
    for number, (name, strange) in enumerate(
        [
            ("volume", 101),
            ("volume", True),
            ("text_percent", 99),
            ("units", "leagues"),
            ("mode", "cheat"),
            ("mute", "yes"),
            ("keys", {"pause": 7}),
            ("keys", []),
            ("name", "a\nb"),
            ("name", "x" * 900),
            ("language", None),
        ]
    ):
        path.write_text(json.dumps({**tree, name: strange}), "utf-8")
        loaded = settings.load(path)
        expected = dataclasses.replace(CHOSEN, **{name: getattr(Settings(), name)})
        assert (loaded.settings, loaded.trouble) == (expected, "strange"), (name, strange)
        settings.load(path)
        assert len(aside(path)) == number + 1, "the same file is kept once"


def test_what_a_newer_version_wrote_is_written_back(path: Path) -> None:
    path.parent.mkdir()
    path.write_text('{"volume": 10, "lamp": {"bright": 3}}', "utf-8")
    loaded = settings.load(path)
    assert not loaded.trouble
    settings.save(loaded.settings, path)
    assert json.loads(path.read_text("utf-8"))["lamp"] == {"bright": 3}


def test_settings_of_the_first_version_are_understood(path: Path) -> None:
    path.parent.mkdir()
    path.write_text('{"metric": true, "text_size": 1.25, "calm": true, "name": "Ana"}', "utf-8")
    wanted = Settings(units="metric", text_percent=125, reduced_motion=True, name="Ana")
    assert settings.load(path) == settings.Loaded(wanted)
    path.write_text('{"metric": "yes", "text_size": 7.0, "calm": 3, "name": "Ana"}', "utf-8")
    assert settings.load(path)[:2] == (Settings(name="Ana"), "strange")


def test_a_folder_that_cannot_be_written_to_is_no_reason_to_stop(path: Path) -> None:
    path.parent.write_text("a file where the folder should be")
    assert not settings.save(CHOSEN, path)
    assert settings.load(path).settings == Settings()


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner, max_size=3),
    max_leaves=8,
)


@given(st.dictionaries(st.sampled_from([*settings._KNOWN, "metric", "text_size", "calm"]), ANYTHING))
def test_no_content_stops_the_program(tmp_path_factory: pytest.TempPathFactory, tree: object) -> None:
    path = tmp_path_factory.getbasetemp() / "any" / "settings.json"
    path.parent.mkdir(exist_ok=True)
    path.write_text(json.dumps(tree), "utf-8")
    loaded = settings.load(path).settings
    assert 100 <= loaded.text_percent <= 200
    assert 0 <= loaded.volume <= 100
    assert loaded.units in settings.UNITS
    assert settings.save(loaded, path)
    for file in path.parent.glob("settings-kept-*"):
        file.unlink()
    assert settings.load(path) == settings.Loaded(loaded)
