"""Content files: what is read, and what an author is told about each kind of mistake."""

import json
import math
import os
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from trainer.authoring import quantities
from trainer.authoring.quantities import Refused, convert, read_quantity, read_quantity_range
from trainer.authoring.reader import Reader, read_as, read_into
from trainer.authoring.source import (
    MAX_BYTES,
    MAX_DEPTH,
    MAX_NODES,
    MAX_PROBLEMS,
    ContentError,
    MapNode,
    Place,
    Problem,
    Problems,
    Scalar,
    place_at,
    plain,
    read_source,
    safe_child,
)

PROBLEMS = Path(__file__).parent / "problems" / "source"


# --- a shape with one value of every kind, read from the files of tests/problems/source ---


def read_port(port: Reader) -> dict[str, object]:
    return {
        "name": port.name("name"),
        "pressure": port.quantity("pressure", "Pa", low=0, high=40e6, default=None),
        "flow": port.quantity("flow", "m3/s", low=0, default=None),
        "float": port.flag("float", default=False),
    }


_Value = TypeVar("_Value")

ACTIONS: dict[str, Callable[[Reader], object]] = {
    "push": Reader.name,
    "wait": lambda action: action.quantity(None, "s", low=0),
    "turn": lambda action: action.sub(
        None, lambda dial: (dial.name("dial"), dial.whole("to", low=0, high=10))
    ),
}


def read_planter(top: Reader) -> dict[str, object]:
    return {
        "name": top.name("name"),
        "title": top.text("title", default=""),
        "kind": top.choice("kind", ("planter", "tillage", "baler"), default="planter"),
        "folds": top.flag("folds", default=True),
        "rows": top.whole("rows", low=1, high=48, default=None),
        "ratio": top.number("ratio", low=0, high=10, default=None),
        "width": top.quantity("width", "m", low=0.5, high=40, default=None),
        "oil": top.quantity("oil", "K", low=233.15, high=383.15, default=None),
        "speed": top.quantity("speed", "rad/s", low=0, high=120, default=None),
        "drawbar": top.quantity_range("drawbar", "m", low=0.2, high=1, default=None),
        "manual": top.file_in(PROBLEMS, "manual", default=None),
        "frame": top.sub(
            "frame", lambda frame: (frame.text("steel"), frame.quantity("mass", "kg", low=1)), default=None
        ),
        "ports": top.list_of("ports", read_port, at_least=1, at_most=4, default=()),
        "texts": top.map_of("texts", Reader.text, dotted=True, default={}),
        "answer": top.list_of("answer", lambda entry: entry.one_of(None, ACTIONS), default=()),
    }


def test_a_good_file_is_read_whole() -> None:
    planter = read_as(PROBLEMS.parent / "source_good.yaml", read_planter)
    assert planter == {
        "name": "sand_planter",
        "title": "Planter: eight rows, off the field at 12:30",
        "kind": "planter",
        "folds": False,
        "rows": 8,
        "ratio": 1.4375,
        "width": pytest.approx(20 * 0.3048, rel=1e-12),
        "oil": pytest.approx(82 + 273.15, rel=1e-12),
        "speed": pytest.approx(540 * 2 * math.pi / 60, rel=1e-11),
        "drawbar": (pytest.approx(0.508), pytest.approx(0.5588)),
        "manual": PROBLEMS / "name.txt",
        "frame": ("St 52", pytest.approx(2000 * 0.45359237, rel=1e-12)),
        "ports": (
            {"name": "lift", "pressure": 18e6, "flow": pytest.approx(45e-3 / 60), "float": True},
            {"name": "fan", "pressure": None, "flow": None, "float": False},
        ),
        "texts": {"hello": "first line\nsecond line", "debrief.end": "no"},
        "answer": ("lift", 3.0, ("flow", 7)),
    }


BAD_FILES = sorted(path.stem for path in PROBLEMS.glob("*.yaml"))


def test_every_bad_file_has_its_message_and_every_message_its_file() -> None:
    assert len(BAD_FILES) >= 50
    assert sorted(path.stem for path in PROBLEMS.glob("*.txt")) == BAD_FILES


@pytest.mark.parametrize("stem", BAD_FILES)
def test_a_bad_file_gets_its_message(stem: str) -> None:
    with pytest.raises(ContentError) as caught:
        read_as(PROBLEMS / f"{stem}.yaml", read_planter, name=f"{stem}.yaml")
    assert str(caught.value) + "\n" == (PROBLEMS / f"{stem}.txt").read_text(encoding="utf-8")


# --- what cannot be kept as a file ---


def error_of(origin: Path | str | bytes, name: str = "job.yaml") -> ContentError:
    with pytest.raises(ContentError) as caught:
        read_source(origin, name)
    return caught.value


def outcome(read: Callable[[], _Value]) -> _Value | ContentError | Refused:
    """What reading gave: a value, or one of the two ways to say no. Anything else fails the test."""
    try:
        return read()
    except (ContentError, Refused) as error:
        return error


def message_of(origin: Path | str | bytes, name: str = "job.yaml") -> str:
    return str(error_of(origin, name))


def test_a_file_of_fifty_megabytes_is_refused_without_reading_it(tmp_path: Path) -> None:
    big = tmp_path / "big.yaml"
    with big.open("wb") as file:
        file.truncate(50_000_000)
    tracemalloc.start()
    try:
        message = message_of(big, "big.yaml")
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    expected = "big.yaml:1:1: the file is longer than 1000000 bytes. Write: several smaller files"
    assert message == expected
    assert peak < 4 * MAX_BYTES
    assert message_of("a: " + "x" * MAX_BYTES, "big.yaml") == expected
    assert message_of("a: " + "é" * (MAX_BYTES // 2), "big.yaml") == expected


def test_the_largest_file_allowed_is_read() -> None:
    text = "a: " + "x" * (MAX_BYTES - 3)
    node = read_source(text)
    assert isinstance(node, MapNode)
    assert node.get("a") == Scalar("x" * (MAX_BYTES - 3), Place("text", 1, 4))


@pytest.mark.parametrize(
    ("opening", "place"),
    [("[", "job.yaml:1:33"), ("{a: ", "job.yaml:1:129"), ("- ", "job.yaml:1:65"), ("? ", "job.yaml:1:65")],
)
def test_deep_nesting_is_refused_at_its_place(opening: str, place: str) -> None:
    error = error_of(opening * 100_000)
    deepest = error.problems[-1]
    assert str(deepest.place) == place
    assert deepest.message == "lists and maps are nested more than 32 deep"
    assert deepest.advice == "fewer levels"


def test_nesting_up_to_the_limit_is_read() -> None:
    assert read_source("[" * MAX_DEPTH + "]" * MAX_DEPTH)
    assert "nested more than" in message_of("[" * (MAX_DEPTH + 1) + "]" * (MAX_DEPTH + 1))


def test_too_many_values_are_refused() -> None:
    # The list itself counts as one.
    assert len(plain(read_source("- a\n" * (MAX_NODES - 1)))) == MAX_NODES - 1
    message = message_of("- a\n" * MAX_NODES)
    assert message.startswith(
        f"job.yaml:{MAX_NODES}:3: the file holds more than 50000 values. Write: several"
    )


def test_an_alias_bomb_is_refused_and_never_unfolded() -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 12)]
    error = error_of("\n".join(lines))
    assert error.problems[0].message == "'&a0' names a place for reuse"
    assert len(error.problems) == MAX_PROBLEMS
    assert error.unlisted == 12 + 11 * 9 - MAX_PROBLEMS
    assert str(error).endswith(f"and {error.unlisted} more problems")


@pytest.mark.parametrize(
    "text",
    [
        "[" * 900_000,
        "{" * 900_000,
        "? " * 400_000,
        "- " * 400_000,
        "a: {" * 200_000,
        "[a, " * 200_000,
        "{a: 1, " * 100_000,
        '"' * 900_000,
        "'a': " * 150_000,
        "a\n" * 400_000,
        "# \n" * 300_000,
        "&a " * 300_000,
        "!" * 900_000,
        ": " * 400_000,
        "%" * 900_000,
        "\t\n" * 400_000,
        "\x01\n" * 400_000,
        "- a\n" * 240_000,
        "".join(f"{n}: 1\n" for n in range(90_000)),
        "a: |\n" + " x\n" * 300_000,
        " " * 999_000,
        "a: 1\n" * 190_000,
    ],
    ids=lambda text: ascii(text[:6]),
)
def test_hostile_files_are_refused_in_bounded_time(text: str) -> None:
    started = time.process_time()
    result = outcome(lambda: read_source(text))
    assert not isinstance(result, ContentError) or len(str(result)) < 100_000
    # A plain megabyte takes under a second here; without the bounds the first of these takes two minutes.
    assert time.process_time() - started < 20


def test_binary_and_other_encodings_are_told_apart() -> None:
    assert message_of(b"\x7fELF\0\0\1") == (
        "job.yaml:1:1: this is not a text file: it holds zero bytes. Write: a YAML file in UTF-8"
    )
    assert message_of(b"PK\3\4\0\0\xff\xfe") == message_of(b"\0")
    assert message_of("title: Beet\n".encode("utf-16")) == (
        "job.yaml:1:1: the file is saved as UTF-16. Write: the same text, saved as UTF-8"
    )
    assert message_of("name: a\ntitle: Überzug\n".encode("latin-1")) == (
        "job.yaml:2:8: byte DC hex is not UTF-8. Write: the same text, saved as UTF-8\n"
        "    title: \ufffdberzug\n"
        "           ^"
    )


def test_byte_order_mark_and_line_ends_leave_places_alone() -> None:
    for text in ("\ufeffa: 1\nb: 2", "a: 1\r\nb: 2", "a: 1\rb: 2", "\ufeffa: 1\r\nb: 2"):
        for origin in (text, text.encode()):
            node = read_source(origin, "x.yaml")
            assert plain(node) == {"a": "1", "b": "2"}
            assert str(place_at(node, "b")) == "x.yaml:2:4"
            assert str(place_at(node)) == "x.yaml:1:1"


@pytest.mark.parametrize(
    ("letter", "code"),
    [
        ("\x07", "0007"),
        ("\x1b", "001B"),
        ("\x85", "0085"),
        ("\u2028", "2028"),
        ("\u202e", "202E"),
        ("\ufeff", "FEFF"),
    ],
)
def test_letters_that_cannot_be_seen_are_refused_and_not_printed(letter: str, code: str) -> None:
    message = message_of(f"a: 1\nb: x{letter}y")
    assert message == (
        f"job.yaml:2:5: a character that cannot be seen (U+{code}) stands here. Write: the line without it\n"
        "    b: x?y\n"
        "        ^"
    )


def test_files_that_are_not_there_or_no_files(tmp_path: Path) -> None:
    assert message_of(tmp_path / "no.yaml", "no.yaml") == (
        "no.yaml:1:1: there is no such file. Write: the name of a file that is there"
    )
    assert message_of(tmp_path, "folder") == "folder:1:1: this is not a file. Write: the name of a YAML file"
    assert message_of(Path("a\0b"), "zero").startswith("zero:1:1: the file cannot be read.")
    assert message_of(tmp_path / ("x" * 300), "long").startswith("long:1:1: the file cannot be read.")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the platform has no named pipes")
def test_a_pipe_is_refused_instead_of_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    assert (
        message_of(tmp_path / "pipe", "pipe")
        == "pipe:1:1: this is not a file. Write: the name of a YAML file"
    )


def test_the_name_in_messages_is_what_the_caller_gave(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "jobs").mkdir()
    (tmp_path / "jobs" / "air.yaml").write_text("a: '", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    with pytest.raises(ContentError) as caught:
        read_source(Path("jobs/air.yaml"))
    assert str(caught.value).startswith(f"{Path('jobs/air.yaml')}:1:4: ")


# --- scalars stay text; nodes and places ---


@pytest.mark.parametrize(
    "written",
    ["off", "no", "12:30", "0777", "1e3", "null", "~", "2026-11-25", "0x10", "1_000", ".inf", "=", "y"],
)
def test_scalars_stay_the_text_that_was_written(written: str) -> None:
    assert plain(read_source(f"value: {written}")) == {"value": written}


def test_nodes_know_their_places() -> None:
    node = read_source("ports:\n  - name: a\n    to: {x: 1}\n  - name: b\nend: '!'\n", "p.yaml")
    assert isinstance(node, MapNode)
    assert node.keys() == ("ports", "end")
    assert str(place_at(node, "ports")) == "p.yaml:2:3"
    assert str(place_at(node, "ports", 0, "to", "x")) == "p.yaml:3:13"
    assert str(place_at(node, "ports", 1, "name")) == "p.yaml:4:11"
    assert str(place_at(node, "ports", 2, "name")) == "p.yaml:2:3"
    assert str(place_at(node, "ports", "name")) == "p.yaml:2:3"
    key = node.key("end")
    assert key is not None
    assert str(key.place) == "p.yaml:5:1"


def test_problems_render_with_a_text_given_late_and_as_plain_values() -> None:
    problem = Problem(Place("a.yaml", 2, 3), "wrong", "right")
    assert problem.render("x\r\nyy z\r\n") == "a.yaml:2:3: wrong. Write: right\n    yy z\n      ^"
    assert problem.render("only one line") == "a.yaml:2:3: wrong. Write: right"
    error = ContentError((problem,))
    assert json.loads(json.dumps(error.to_json())) == [
        {"file": "a.yaml", "line": 2, "column": 3, "message": "wrong", "advice": "right"}
    ]


def test_problems_of_several_files_come_out_in_one_error() -> None:
    problems = Problems()
    job = read_into(problems, "name: Air\nrows: many", read_planter, "job.yaml")
    assert job is not None
    assert job["rows"] == 1  # a stand-in inside the range
    assert read_into(problems, "name: [", read_planter, "planter.yaml") is None
    with pytest.raises(ContentError) as caught:
        problems.raise_if_any()
    assert [str(problem.place) for problem in caught.value.problems] == [
        "job.yaml:1:7",
        "job.yaml:2:7",
        "planter.yaml:1:8",
    ]


# --- the reader ---


def problems_of(text: str, shape: Callable[[Reader], object]) -> list[str]:
    with pytest.raises(ContentError) as caught:
        read_as(text, shape, name="x")
    return [
        f"{one.place.line}:{one.place.column} {one.message} | {one.advice}" for one in caught.value.problems
    ]


def test_defaults_stand_for_what_is_left_out_but_not_for_what_is_empty() -> None:
    def read(top: Reader) -> tuple[object, ...]:
        return (
            top.text("a", default=None),
            top.quantity("b", "Pa", default=None),
            top.list_of("c", Reader.text, default=None),
            top.sub("d", Reader.text, default=None),
            top.has("e"),
        )

    assert read_as("e: 1", read) == (None, None, None, None, True)
    assert problems_of("a:\nb:\nc:\nd:\n", read) == [
        "1:3 'a' has no value | a text",
        "2:3 'b' has no value | a pressure such as 180 bar or 2600 psi",
        "3:3 'c' has no value | a list, each entry after a dash",
        "4:3 'd' has no value | a map of keys and values",
    ]


def test_a_missing_map_does_not_hide_other_problems_nor_make_new_ones() -> None:
    def read(top: Reader) -> tuple[object, ...]:
        frame = top.sub(
            "frame", lambda frame: (frame.name("steel"), frame.list_of("bars", read_port, at_least=1))
        )
        assert frame[1][0]["name"]  # stand-ins are there to run on with
        return frame, top.whole("rows"), top.name("name")

    assert problems_of("rows: x\nname: Y", read) == [
        "1:1 'frame' is missing in the file | frame: with a map of keys and values",
        "1:7 'x' is not a whole number | a whole number such as 12",
        "2:7 'Y' is not a name | y",
    ]


def test_a_shape_that_holds_itself_ends() -> None:
    def read_rule(rule: Reader) -> object:
        kind = rule.choice("kind", ("not", "all", "is"))
        if kind == "not":
            return rule.sub("of", read_rule)
        if kind == "all":
            return rule.list_of("of", read_rule, at_least=1)
        return rule.name("of")

    def read_tagged(rule: Reader) -> object:
        return rule.one_of(None, {"not": lambda one: one.sub("of", read_tagged), "is": Reader.name})

    assert read_as("kind: all\nof:\n- {kind: is, of: a}", read_rule) == ("a",)
    assert problems_of("kind: not", read_rule) == [
        "1:1 'of' is missing in the file | of: with a map of keys and values"
    ]
    assert len(problems_of("of: {}", read_rule)) == 2
    assert len(problems_of("not: 3", read_tagged)) == 1
    assert len(problems_of("[]", read_tagged)) == 1


def test_a_wrong_choice_does_not_make_its_own_keys_unknown() -> None:
    def read(top: Reader) -> object:
        if top.choice("kind", ("motor", "cylinder")) == "cylinder":
            return top.quantity("stroke", "m")
        return top.quantity("displacement", "m3/rad")

    assert problems_of("kind: cilinder\nstroke: 30 in", read) == [
        "1:7 'cilinder' is not one of motor, cylinder | cylinder"
    ]
    assert problems_of("kind: ram\nstroke: 30 in", read) == [
        "1:7 'ram' is not one of motor, cylinder | one of motor, cylinder"
    ]


def test_ok_is_asked_before_checks_between_values() -> None:
    asked: list[bool] = []

    def read(top: Reader) -> None:
        low, high = top.whole("low"), top.whole("high")
        asked.append(top.ok)
        if top.ok and low > high:
            top.refuse("low", f"low is {low}, above high", f"at most {high}")

    assert problems_of("low: 5\nhigh: 3", read) == ["1:6 low is 5, above high | at most 3"]
    assert problems_of("low: x\nhigh: -3", read) == [
        "1:6 'x' is not a whole number | a whole number such as 12"
    ]
    assert len(problems_of("low: 7", read)) == 1
    assert asked == [True, False, False]


def test_parsed_takes_the_words_of_a_refusal_and_of_any_value_error() -> None:
    def half(text: str) -> int:
        if text == "odd":
            raise Refused("odd cannot be halved", "even")
        return int(text) // 2

    def read(top: Reader) -> int:
        return top.parsed("n", half, stand_in=0, advice="a number")

    assert read_as("n: 8", read) == 4
    assert problems_of("n: odd", read) == ["1:4 odd cannot be halved | even"]
    assert problems_of("n: x", read)[0].endswith("| a number")


def test_keys_of_many_unknown_kinds_are_named_once_each() -> None:
    assert problems_of("name: a\nnane: b\nzzz: 1", lambda top: top.name("name")) == [
        "2:1 'nane' is not a key here | one of name, or leave it out",
        "3:1 'zzz' is not a key here | one of name, or leave it out",
    ]


# --- quantities ---


def test_every_unit_agrees_with_the_registry_that_pint_ships() -> None:
    import pint

    shipped = pint.UnitRegistry()
    names = {
        "t": "metric_ton",
        "%": "percent",
        "°C": "degC",
        "°F": "degF",
        "h": "hour",
        "rev": "turn",
        "ac": "acre",
    }
    for spelling in quantities._DEFINITIONS:
        ours = quantities._registry().Quantity(10.0, quantities._unit(spelling)).to_base_units().magnitude
        theirs = shipped.Quantity(10.0, names.get(spelling, spelling)).to_base_units().magnitude
        # There an acre is that of the land survey; here it is 43560 ft2 with a foot of 0.3048 m.
        assert ours == pytest.approx(theirs, rel=5e-6 if spelling == "ac" else 1e-12), spelling


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("180 bar", "Pa", 18e6),
        ("2600 psi", "Pa", 2600 * 4.4482216152605 / 0.0254**2),
        ("26 gal/min", "m3/s", 26 * 231 * 0.0254**3 / 60),
        ("45 L/min", "m3/s", 0.045 / 60),
        ("1/4 in", "m", 0.00635),
        ("1 7/16 in", "m", 1.4375 * 0.0254),
        ("-1 1/2 in", "m", -1.5 * 0.0254),
        ("3 min", "s", 180),
        ("1500 rev/min", "rad/s", 1500 * 2 * math.pi / 60),
        ("1500 rev/min", "rev/s", 25),
        ("82 °C", "K", 355.15),
        ("180 °F", "K", (180 - 32) / 1.8 + 273.15),
        ("180 degF", "°C", (180 - 32) / 1.8),
        ("0 K", "°C", -273.15),
        ("9 °F", "difference K", 5),
        ("5.3 deg", "rad", math.radians(5.3)),
        ("12 V", "V", 12),
        ("40 %", "1", 0.4),
        ("0.4", "1", 0.4),
        ("900 kg", "kg", 900),
        ("2000 lb", "kg", 907.18474),
        ("15 in3/rev", "m3/rad", 15 * 0.0254**3 / (2 * math.pi)),
        ("300 lbf ft", "N m", 300 * 4.4482216152605 * 0.3048),
        ("46 cSt", "m2/s", 46e-6),
        ("46 mm²/s", "m2/s", 46e-6),
        ("1900 J/kg/K", "J/kg/K", 1900),
        ("1.9 kJ/kg/°C", "J/kg/K", 1900),
        ("5 kg·m/s^2", "N", 5),
        ("−5 deg", "deg", -5),
        ("1e5 Pa", "bar", 1),
        (".5 in", "in", 0.5),
        ("12V", "V", 12),
    ],
)
def test_quantities_as_the_trade_writes_them(text: str, unit: str, value: float) -> None:
    assert read_quantity(text, unit) == pytest.approx(value, rel=1e-11)


def refusal(text: str, unit: str, low: float = -math.inf, high: float = math.inf) -> tuple[str, str]:
    with pytest.raises(Refused) as caught:
        read_quantity(text, unit, low, high)
    return caught.value.message, caught.value.advice


@pytest.mark.parametrize(
    ("text", "unit", "advice"),
    [
        ("180", "Pa", "a pressure such as 180 bar or 2600 psi"),
        ("180 bars", "Pa", "180 bar"),
        ("180 Bar", "Pa", "180 bar"),
        ("26 gpm", "m3/s", "26 gal/min"),
        ("26 GPM", "m3/s", "26 gal/min"),
        ("540 rpm", "rad/s", "540 rev/min"),
        ('1/4"', "m", "1/4 in"),
        ("82 C", "K", "82 °C"),
        ("5 furlongs", "m", "a length such as 30 in or 760 mm"),
        ("5 gal", "m3/s", "a flow such as 26 gal/min or 45 L/min"),
        ("40 %", "rad", "an angle such as 5.3 deg or 0.1 rad"),
        ("5 rad", "1", "a share such as 40 % or 0.4"),
        ("900 lb", "N", "a force such as 500 lbf or 2 kN"),
        ("5 m5", "m", "a length such as 30 in or 760 mm"),
        ("1,5 bar", "Pa", "1.5 bar"),
        ("1,500,000 Pa", "Pa", "1500000 Pa"),
        ("1-7/16 in", "m", "1 7/16 in"),
        ("1 7/3 in", "m", "a number such as 1 7/16"),
        ("1/0 in", "m", "a fraction such as 1/4"),
        ("1e999 Pa", "Pa", "a number of ordinary size"),
        ("NaN bar", "Pa", "a pressure such as 180 bar or 2600 psi"),
        ("-inf bar", "Pa", "a pressure such as 180 bar or 2600 psi"),
        ("٣ bar", "Pa", "a pressure such as 180 bar or 2600 psi"),
        ("180 bar**9**9**9", "Pa", "a pressure such as 180 bar or 2600 psi"),
        ("180 __import__", "Pa", "a pressure such as 180 bar or 2600 psi"),
        ("9" * 5000 + " bar", "Pa", "a pressure such as 180 bar or 2600 psi"),
        ("", "Pa", "a pressure such as 180 bar or 2600 psi"),
        ("5 K/K/K/K m", "V", "a voltage such as 12 V or 12000 mV"),
        ("20-22 in", "m", "a length such as 30 in or 760 mm"),
    ],
)
def test_refused_quantities_say_what_to_write(text: str, unit: str, advice: str) -> None:
    assert refusal(text, unit)[1] == advice


def test_ranges_are_told_in_the_unit_of_the_author_and_from_the_inside() -> None:
    assert refusal("9000 psi", "Pa", 0, 40e6)[1] == "a pressure from 0 psi to 5801 psi"
    assert refusal("500 bar", "Pa", 0, 40e6)[1] == "a pressure from 0 bar to 400 bar"
    assert refusal("700 °F", "K", 233.15, 383.15)[1] == "a temperature from -40 °F to 230 °F"
    assert refusal("50 °C", "difference K", 0, 20)[1] == "a temperature difference from 0 °C to 20 °C"
    assert refusal("140 %", "1", 0, 1)[1] == "a share from 0 % to 100 %"
    assert refusal("7", "1", 0, 1)[1] == "a share from 0 to 1"
    assert refusal("-1 in", "m", low=0)[1] == "a length of at least 0 in"
    assert refusal("90 deg", "rad", high=1)[1] == "an angle of at most 57.29 deg"
    # What is advised is itself allowed.
    assert read_quantity("5801 psi", "Pa", 0, 40e6) < 40e6
    assert read_quantity("57.29 deg", "rad", high=1) < 1


def test_bounds_themselves_are_allowed_in_any_unit() -> None:
    assert read_quantity("400 bar", "Pa", 0, 40e6) == 40e6
    assert read_quantity("40000 kPa", "Pa", 0, 40e6) == 40e6
    assert read_quantity("180 deg", "rad", 0, math.pi) == math.pi
    assert read_quantity("100 %", "1", 0, 1) == 1
    assert read_quantity("-40 °F", "K", 233.15, 400) == 233.15


UNIT_PAIRS = (
    *(("bar", "Pa"), ("psi", "Pa"), ("gal/min", "m3/s"), ("in", "m"), ("°F", "K"), ("°C", "K"), ("%", "1")),
    *(
        ("rev/min", "rad/s"),
        ("deg", "rad"),
        ("lb", "kg"),
        ("lbf ft", "N m"),
        ("hp", "W"),
        ("in3/rev", "m3/rad"),
    ),
)


@given(
    value=st.floats(min_value=-1e9, max_value=1e9).filter(lambda value: not 0 < abs(value) < 1e-6),
    pair=st.sampled_from(UNIT_PAIRS),
)
def test_quantities_go_there_and_back(value: float, pair: tuple[str, str]) -> None:
    written, asked = pair
    # Twelve digits of a temperature in kelvin leave fewer digits of one near freezing.
    slack = 1e-9 if written.startswith("°") else 1e-30
    text = f"{value:.11e} {written}"
    there = read_quantity(text, asked)
    assert convert(there, asked, written) == pytest.approx(value, rel=1e-10, abs=slack)
    assert read_quantity(text, written) == pytest.approx(value, rel=1e-10)


@given(
    whole=st.integers(0, 999), numerator=st.integers(0, 63), eighths=st.integers(0, 3), negative=st.booleans()
)
def test_mixed_fractions_are_exact(whole: int, numerator: int, eighths: int, negative: bool) -> None:
    denominator = 64 << eighths
    sign = "-" if negative else ""
    value = read_quantity(f"{sign}{whole} {numerator}/{denominator} in", "in")
    # Read values are rounded to twelve digits.
    assert value == pytest.approx((-1 if negative else 1) * (whole + numerator / denominator), rel=1e-11)


@given(
    low=st.integers(-500, 500),
    width=st.integers(0, 500),
    form=st.sampled_from(["{}-{} in", "{} to {} in", "{} in to {} in"]),
)
def test_ranges_are_read_in_every_form(low: int, width: int, form: str) -> None:
    assert read_quantity_range(form.format(low, low + width), "in") == (low, low + width)
    if width:
        with pytest.raises(Refused) as caught:
            read_quantity_range(form.format(low + width, low), "in")
        # The advice is a range that can be read.
        assert read_quantity_range(caught.value.advice, "in") == (low, low + width)


@given(
    text=st.text(max_size=60) | st.from_regex(r"[0-9 ./,eE+-]{0,12} ?[a-z°%/* 0-9^-]{0,12}", fullmatch=True)
)
@example("1 1/")
@example("1-")
@example("5 ²")
@example("5 °")
@example("1 in-")
def test_any_text_is_a_quantity_or_refused(text: str) -> None:
    for read in (read_quantity, read_quantity_range):
        result = outcome(lambda read=read: read(text, "Pa"))
        if isinstance(result, Refused):
            assert result.message
            assert result.advice
            assert "\n" not in result.message
        else:
            ends = result if isinstance(result, tuple) else (result,)
            assert all(math.isfinite(end) for end in ends)


# --- any text at all ---

PIECES = (
    *(
        "a",
        "b",
        ": ",
        ":",
        "- ",
        "\n",
        "  ",
        "[",
        "]",
        "{",
        "}",
        ", ",
        "'",
        '"',
        "|",
        ">",
        "&a",
        "*a",
        "!",
        "!!",
        "?",
    ),
    *("%", "#", "---", "...", "\t", "\\", "\\x", "\\U", "@", "`", "<<", "~", "1", "é", "\r", "\ufeff", "0"),
    *("name", "ports", "%YAML 1.1\n", "answer:\n- "),
)
YAMLISH = st.lists(st.sampled_from(PIECES), max_size=40).map("".join)


@given(text=st.text(max_size=200) | YAMLISH)
@example("%YAML 1." + "9" * 5000 + "\n---\na: 1")
@example('a: "\\UFFFFFFFF"')
@example('a: "\\ud800"')
@example("\ud800")
@example("a: 1\n...\n")
@example("- - ?")
def test_any_text_is_read_or_refused_with_places(text: str) -> None:
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    result = outcome(lambda: read_as(text, read_planter, name="any.yaml"))
    if isinstance(result, ContentError):
        assert result.problems
        for problem in result.problems:
            assert problem.place.file == "any.yaml"
            assert 1 <= problem.place.line <= len(lines)
            assert 1 <= problem.place.column <= len(lines[problem.place.line - 1]) + 1
            assert problem.message
            assert problem.advice
        assert all(letter.isprintable() or letter == "\n" for letter in str(result))
    else:
        assert isinstance(result, dict)
        assert result["name"]


@given(data=st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    result = outcome(lambda: read_source(data))
    assert not isinstance(result, Refused)
    assert not isinstance(result, ContentError) or result.problems


LEAVES = st.text("abcXYZ019 :-#'\"[]{},&*!|>%@`\\\n", max_size=20)
TREES = st.recursive(
    LEAVES,
    lambda below: (
        st.lists(below, max_size=4)
        | st.dictionaries(st.text("abc xyz:#-", min_size=1, max_size=8).filter(str.strip), below, max_size=4)
    ),
    max_leaves=12,
)


@given(tree=TREES.filter(lambda tree: not isinstance(tree, str) or bool(tree.strip())))
def test_what_is_written_as_json_is_read_back(tree: object) -> None:
    # JSON is YAML, and quotes every text: nothing may be lost or taken for something else.
    assert plain(read_source(json.dumps(tree, ensure_ascii=False))) == tree


# --- paths named in files ---


OUTSIDE = ("../x", "a/../../x", "/etc/passwd", "C:/x", "c:x", "\\\\host\\x", "a\\b", "~/x")
NOT_EVERYWHERE = (
    *(
        "",
        ".",
        "a//b",
        "a/./b",
        "a/",
        "nul",
        "aux.yaml",
        "a/COM1",
        "a\0b",
        "a\nb",
        "a.",
        "a ",
        "a:b",
        "a|b",
        "a*b",
    ),
    "x" * 300,
)


@pytest.mark.parametrize("path", OUTSIDE + NOT_EVERYWHERE)
def test_paths_that_leave_their_folder_or_work_only_somewhere_are_refused(tmp_path: Path, path: str) -> None:
    with pytest.raises(Refused):
        safe_child(tmp_path, path)


def test_paths_below_are_taken_as_they_are(tmp_path: Path) -> None:
    for path in ("a.yaml", "machines/sand planter.yaml", ".hidden", "über/x-1_2.yaml", "commander.yaml"):
        assert safe_child(tmp_path, path) == tmp_path / path


def test_links_that_lead_out_or_in_circles_are_refused(tmp_path: Path) -> None:
    inside = tmp_path / "inside"
    inside.mkdir()
    (tmp_path / "secret").mkdir()
    try:
        (inside / "out").symlink_to(tmp_path / "secret")
        (inside / "circle").symlink_to(inside / "circle")
        (inside / "real").mkdir()
        (inside / "in").symlink_to(inside / "real")
    except OSError:
        pytest.skip("this account may not make links")
    for path in ("out/x.yaml", "out"):
        with pytest.raises(Refused, match="leads out of its folder"):
            safe_child(inside, path)
    with pytest.raises(Refused):
        safe_child(inside, "circle/x.yaml")
    assert safe_child(inside, "in/x.yaml") == inside / "in" / "x.yaml"


def test_the_module_reads_a_thousand_values_quickly() -> None:
    text = "".join(f"- {{name: port_{n}, pressure: {n} bar, flow: {n} L/min}}\n" for n in range(300))
    started = time.process_time()
    ports = read_as(text, lambda top: top.list_of(None, read_port))
    assert len(ports) == 300
    assert time.process_time() - started < 5
