"""The schema that editors get says what the reader reads: held against the reader itself, key by key.

Checked with a library that knows JSON Schema (jsonschema), as an editor would: YAML read by the rules of its
version 1.2, where `yes` is a text and `12` a number.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator
from typer.testing import CliRunner

from trainer.authoring.editor_schema import _SHAPES, KINDS, as_text, editor_schema, write_schemas
from trainer.authoring.new import new_file
from trainer.authoring.reader import Reader, _shaped
from trainer.authoring.source import ListNode, MapNode, Node, Place, Problems, Scalar
from trainer.cli.base import app
from trainer.content import content_root

SCENARIOS = content_root() / "scenarios"
BAD = yaml.safe_load((Path(__file__).parent / "problems" / "content.yaml").read_text("utf-8"))


class Core(yaml.SafeLoader):
    """YAML 1.2, core schema, as editors read it."""

    yaml_implicit_resolvers: dict[str, Any] = {}  # noqa: RUF012  PyYAML's own way


for tag, pattern, first in (
    ("bool", "true|True|TRUE|false|False|FALSE", "tTfF"),
    ("int", "[-+]?[0-9]+", "-+0123456789"),
    ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", "-+.0123456789"),
    ("null", "~|null|Null|NULL|", ["~", "n", "N", ""]),
):
    Core.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(f"^(?:{pattern})$"), list(first))


def kind_of(name: str) -> str:
    """The kind of a file by its name below `scenarios`."""
    for part, kind in (("/tractor", "tractor"), ("/implement", "implement"), ("jobs/", "job")):
        if part in f"/{name}" and (kind == "job" or not name.startswith("jobs/")):
            return kind
    return Path(name).stem


@cache
def validator(kind: str) -> Draft202012Validator:
    return Draft202012Validator(editor_schema(kind))


def faults(kind: str, text: str) -> list[str]:
    read = yaml.load(text, Core)  # noqa: S506  a safe loader
    return [f"{error.json_path}: {error.message}" for error in validator(kind).iter_errors(read)]


def shipped() -> list[str]:
    names = [path.relative_to(SCENARIOS).as_posix() for path in sorted(SCENARIOS.rglob("*.yaml"))]
    return [name for name in names if kind_of(name) in KINDS]


@pytest.mark.parametrize("kind", KINDS)
def test_it_is_a_schema(kind: str) -> None:
    schema = editor_schema(kind)
    Draft202012Validator.check_schema(schema)
    assert json.loads(as_text(schema)) == schema


@pytest.mark.parametrize("name", shipped())
def test_every_shipped_file_is_valid(name: str) -> None:
    text = (SCENARIOS / name).read_text("utf-8").replace("name: NAME", "name: a_name")
    assert faults(kind_of(name), text) == []


def test_what_new_writes_is_valid(tmp_path: Path) -> None:
    for kind, coupling in (("tractor", "three_point"), ("implement", "drawbar")):
        path = new_file(kind, "mine", tmp_path, coupling, "", "", "couple")
        assert faults(kind, path.read_text("utf-8")) == []
    job = new_file("job", "try", tmp_path, "", "mine", "mine", "couple")
    assert faults("job", job.read_text("utf-8")) == []


def test_a_photo_is_valid_and_its_slips_are_not() -> None:
    text = (SCENARIOS / "machines/tractors/utility_small.yaml").read_text("utf-8")
    photo = "photo: {picture: photos/rear.jpg, size: [1600, 1000], places: {v1_extend: [520, 180.5]}}"
    assert faults("tractor", f"{text}\n{photo}\n") == []
    for good, bad in (("1600", "wide"), ("[520, 180.5]", "[520]"), ("size", "sizes"), ("1000]", "90000]")):
        assert faults("tractor", f"{text}\n{photo.replace(good, bad)}\n") != []


SHAPELY = re.compile(
    r"has no unit|is not a key here|is missing in|is not a unit known|is not a name|is not yes or no"
    r"|is a (text|list|map) where|has no value|has \d+ entr|is not a whole number|is not a plain number"
    r"|does not start with a number|is a range where one value|is one value where a range|is not an action"
    r"|is not one of"
)
"""Messages about the shape of a file; the others hold its parts against each other, or weigh figures."""
OF_OWN_NAMES = ("a_valve_that_is_not_there", "a_hose_of_a_function_that_is_not_there")
"""A schema does not know which names a file gives to its parts."""


def test_bad_files_whose_shape_is_wrong_are_not_valid() -> None:
    tried, missed = 0, []
    for name, case in BAD.items():
        kind, text = kind_of(case["file"]), (SCENARIOS / case["file"]).read_text("utf-8")
        if kind not in KINDS or not SHAPELY.search(case["message"]) or case["old"] not in text:
            continue
        tried += 1
        if name not in OF_OWN_NAMES and not faults(kind, text.replace(case["old"], case["new"], 1)):
            missed.append(name)
    assert missed == []
    assert tried >= 8


# --- held against the reader -------------------------------------------------------------------------------


def maps_in(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """The paths of all maps."""
    if isinstance(value, dict):
        yield path
    for key, below in value.items() if isinstance(value, dict) else enumerate(value):
        if isinstance(below, (dict, list)):
            yield from maps_in(below, (*path, key))


def with_change(value: Any, path: tuple[str | int, ...], change: str) -> Any:
    """A copy without one key (`-key`) of the map at a path, or with one more (`+key`)."""
    if path:
        copy = dict(value) if isinstance(value, dict) else list(value)
        copy[path[0]] = with_change(value[path[0]], path[1:], change)
        return copy
    copy = {key: each for key, each in value.items() if f"-{key}" != change}
    return copy if change[0] == "-" else {**copy, change[1:]: "what"}


def as_node(value: Any) -> Node:
    place = Place("x.yaml", 1, 1)
    if isinstance(value, dict):
        return MapNode(tuple((Scalar(key, place), as_node(each)) for key, each in value.items()), place)
    if isinstance(value, list):
        return ListNode(tuple(map(as_node, value)), place)
    return Scalar(
        "" if value is None else str(value).lower() if isinstance(value, bool) else str(value), place
    )


def reads(kind: str, value: Any) -> bool:
    """Whether the reader takes it without a word about a key that is missing or not known."""
    problems = Problems()
    _shaped(Reader(as_node(value), problems), _SHAPES[kind])
    error = problems.error()
    told = [one.message for one in error.problems] if error is not None else []
    return not [
        one for one in told if "missing in" in one or "not a key here" in one or "not an action" in one
    ]


@pytest.mark.parametrize(
    "name",
    [
        "machines/tractors/rowcrop_mid.yaml",
        "machines/implements/planter_8row.yaml",
        "machines/implements/round_baler.yaml",
        "jobs/first-week/uncouple.yaml",
    ],
)
def test_a_key_left_out_or_unknown_is_a_fault_where_it_is_one_for_the_reader(name: str) -> None:
    kind = kind_of(name)
    good = yaml.load((SCENARIOS / name).read_text("utf-8"), Core)  # noqa: S506  a safe loader
    assert reads(kind, good)
    tried = 0
    for path in maps_in(good):
        at = good
        for step in path:
            at = at[step]
        for change in (*(f"-{key}" for key in at), "+Zz"):
            changed = with_change(good, path, change)
            if change[0] == "-" and not with_change(at, (), change):
                continue  # an empty map is told in other words
            valid = validator(kind).is_valid(changed)
            if change == "+Zz" and not valid and not reads(kind, changed):
                tried += 1
                continue
            if change[0] == "-":
                assert valid == reads(kind, changed), (path, change)
                tried += 1
            else:
                assert not valid, (path, change)
    assert tried > 100


def test_descriptions_tell_units_bounds_and_what_the_templates_say() -> None:
    tractor = editor_schema("tractor")["properties"]
    assert tractor["electrics"]["properties"]["cap"]["description"] == (
        "at most, after key off (published in code citing ISO 11783-9)\n"
        "a time such as 3 min or 20 s, from 0 min to 60 min"
    )
    assert tractor["pump"]["properties"]["cut_off"]["description"].startswith("a pressure such as 180 bar")


def test_the_command_prints_and_writes(tmp_path: Path) -> None:
    run = CliRunner()
    printed = run.invoke(app, ["schema", "tractor"])
    assert json.loads(printed.stdout) == editor_schema("tractor")
    done = run.invoke(app, ["schema", "tractor", "--out", str(tmp_path / "one.json")])
    assert done.exit_code == 0
    assert (tmp_path / "one.json").read_text("utf-8") == printed.stdout
    assert {path.name for path in write_schemas(tmp_path / "all")} == {
        f"{kind}.schema.json" for kind in KINDS
    }
    wrong = run.invoke(app, ["schema", "tracktor"])
    assert (wrong.exit_code, "Write: tractor" in wrong.output) == (1, True)
    assert run.invoke(app, ["schema"]).exit_code == 1
