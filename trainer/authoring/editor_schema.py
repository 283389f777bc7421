"""The shapes of content files as JSON Schema (draft 2020-12), for editors that complete and underline.

Nothing here says what a file looks like: the shape functions that read files are run with a reader that has
no file and notes what they ask for. Where they ask for other keys after another answer (`kind: fan` needs a
case pressure, `kind: lift` a bore), they are run with each answer, and the schema gets a branch. So a key
that is read is in the schema, and one that is not read is not.

What stands beside a key in the files to start from (`scenarios/templates`) is its description. A schema knows
shapes only: names that belong to another part of a file, and figures that have to agree, are `check`'s.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from trainer.authoring import new, quantities
from trainer.authoring.catalogue import read_catalogue, read_passage
from trainer.authoring.machines import nearest, read_implement, read_tractor
from trainer.authoring.precedence import read_deed, read_steps
from trainer.authoring.quantities import Refused, quoted
from trainer.authoring.reader import NAME, REQUIRED, Reader, read_as
from trainer.authoring.schema import read_action, read_job
from trainer.authoring.source import MapNode, Node, Place, Problems, Scalar, read_source
from trainer.content import content_root
from trainer.core.actions import WORDS

DRAFT: Final = "https://json-schema.org/draft/2020-12/schema"

Json = dict[str, Any]
_Shape = Callable[[Reader], Any]
_Question = tuple[str, str]
"""`choice` or `has`, and the key that was asked about."""
_Answers = Mapping[_Question, Any]

_SHAPES: Final[dict[str, _Shape]] = {
    "tractor": read_tractor,
    "implement": read_implement,
    "job": read_job,
    "papers": read_catalogue,
    "steps": read_steps,
}
KINDS: Final = tuple(_SHAPES)
_OWN_NAME: Final = "a_name_of_the_file"
"""Stands for every name an author may choose; a choice among such names is any name."""
_LEFT_OUT: Final = object()
_NOWHERE: Final = MapNode((), Place("", 1, 1))


def editor_schema(kind: str) -> Json:
    """Return the JSON Schema of a kind of file; raise Refused for a kind there is not.

    >>> schema = editor_schema("tractor")
    >>> schema["properties"]["pump"]["properties"]["standby"]["description"]
    'a pressure such as 50 bar or 730 psi, from 0 bar to 100 bar'
    >>> editor_schema("tracktor")
    Traceback (most recent call last):
    trainer.authoring.quantities.Refused: there is no schema for 'tracktor'. Write: tractor
    """
    if kind not in _SHAPES:
        raise Refused(f"there is no schema for {quoted(kind)}", nearest(kind, KINDS))
    schema = _schema_of(_SHAPES[kind])
    for text in _told_in(kind):
        _describe(schema, read_source(text, kind), text.splitlines())
    title = f"{kind} file" if kind in new.KINDS else f"{kind}.yaml"
    return {"$schema": DRAFT, "title": title, **schema, **_definitions(schema)}


def write_schemas(folder: Path) -> list[Path]:
    """Write the schema of each kind into a folder, which is made; return their paths. Raises OSError."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = [folder / f"{kind}.schema.json" for kind in KINDS]
    for kind, path in zip(KINDS, paths, strict=True):
        path.write_text(as_text(editor_schema(kind)), "utf-8")
    return paths


def _told_in(kind: str) -> Iterator[str]:
    """Files to start from, whose comments describe their keys."""
    templates = content_root() / "scenarios" / "templates"
    if kind == "job":
        on, brought = (
            (templates / f"{name}.yaml").read_text("utf-8").replace("name: NAME", "name: any")
            for name in ("tractor", "implement_three_point")
        )
        yield new.bare_text(read_as(on, read_tractor).tractor, read_as(brought, read_implement).implement)
    for path in sorted(templates.glob(f"{kind}*.yaml")):
        yield path.read_text("utf-8")


def as_text(schema: Json) -> str:
    """Return a schema as the text of its file."""
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


# --- what a shape function asks for -----------------------------------------------------------------------


@dataclass(slots=True)
class _Asked:
    """What came of one run of a shape function."""

    keys: dict[str, list[Any]] = field(default_factory=dict)
    required: dict[str, None] = field(default_factory=dict)
    itself: list[Any] = field(default_factory=list)
    """Schemas of the value itself, where the shape is that of one value or list."""
    questions: dict[_Question, Sequence[Any]] = field(default_factory=dict)
    """Each with the answers it can have."""
    refused: bool = False

    def schema(self, optional: Mapping[str, Any]) -> Any:
        if self.refused:
            return False
        if self.itself:
            return _either(self.itself)
        if not (self.keys or optional):
            return {"type": "object"}
        return {
            "type": "object",
            "properties": {**{key: _either(schemas) for key, schemas in self.keys.items()}, **optional},
            **({"required": list(self.required)} if self.required else {}),
            "additionalProperties": False,
        }

    def without(self, key: str) -> str:
        """The schema but for one key, to be compared."""
        keys = {name: each for name, each in self.keys.items() if name != key}
        required = {name: None for name in self.required if name != key}
        return _text(_Asked(keys, required, self.itself, {}, self.refused).schema({}))


class _Onlooker(Reader):
    """A reader without a file: it answers as asked, and notes what is asked for."""

    def __init__(self, answers: _Answers) -> None:
        super().__init__(_NOWHERE, Problems())
        self._answers = answers
        self.asked = _Asked()

    @property
    def ok(self) -> bool:
        return False  # there are no values to be held against each other

    def has(self, key: str) -> bool:
        question = ("has", key)
        self.asked.questions.setdefault(question, (False, True))
        return bool(self._answers.get(question, False))

    def keys(self) -> tuple[str, ...]:
        return ()

    def refuse(self, key: str | None, message: str, advice: str) -> None:
        del key, message, advice
        self.asked.refused = True

    def text(
        self, key: str | None = None, *, default: Any = REQUIRED, longest: int = 4000, empty: bool = False
    ) -> Any:
        # Editors take a bare 12 or true for a number or a flag; here it is as good a text as any.
        shape: Json = {"type": ["string", "number", "boolean"], "maxLength": longest}
        return self._note(key, shape if empty else {**shape, "pattern": r"\S"}, default, "")

    def name(self, key: str | None = None, *, default: Any = REQUIRED) -> Any:
        return self._note(key, _name(), default, "unnamed")

    def choice(self, key: str | None = None, options: Sequence[str] = (), *, default: Any = REQUIRED) -> Any:
        if _OWN_NAME in options:
            return self._note(key, _name(), default, _OWN_NAME)
        numbers = [json.loads(option) for option in options if _is_number(option)]
        self._note(key, {"enum": [*options, *numbers]}, default, "")
        if key is None:
            return options[0]
        question = ("choice", key)
        can_be = tuple(options) if default is REQUIRED else (*options, _LEFT_OUT)
        self.asked.questions.setdefault(question, can_be)
        answer = self._answers.get(question, can_be[0])
        return default if answer is _LEFT_OUT else answer

    def flag(self, key: str | None = None, *, default: Any = REQUIRED) -> Any:
        return self._note(key, {"enum": ["yes", "no"]}, default, False)

    def whole(
        self,
        key: str | None = None,
        *,
        low: int | None = None,
        high: int | None = None,
        default: Any = REQUIRED,
    ) -> Any:
        bounds = _bounds(-math.inf if low is None else low, math.inf if high is None else high)
        return self._note(key, {"type": "integer", **bounds}, default, low or 0)

    def number(
        self,
        key: str | None = None,
        *,
        low: float = -math.inf,
        high: float = math.inf,
        default: Any = REQUIRED,
    ) -> Any:
        return self._note(key, _number(low, high), default, _between(low, high))

    def quantity(
        self,
        key: str | None,
        unit: str,
        *,
        low: float = -math.inf,
        high: float = math.inf,
        default: Any = REQUIRED,
    ) -> Any:
        told = quantities.told_of(unit, low, high)
        shape: Json = {"$ref": "#/$defs/quantity", "description": told}
        if unit == "1":
            shape = {"anyOf": [_number(low, high), {"$ref": "#/$defs/quantity"}], "description": told}
        return self._note(key, shape, default, _between(low, high))

    def quantity_range(
        self,
        key: str | None,
        unit: str,
        *,
        low: float = -math.inf,
        high: float = math.inf,
        default: Any = REQUIRED,
    ) -> Any:
        told = quantities.range_advice_for(unit, low, high)
        shape = {"$ref": "#/$defs/range", "description": told}
        return self._note(key, shape, default, (_between(low, high), _between(low, high)))

    def parsed(
        self,
        key: str | None,
        convert: Callable[[str], Any],
        *,
        stand_in: Any,
        advice: str,
        default: Any = REQUIRED,
    ) -> Any:
        del convert
        return self._note(key, {"type": ["string", "number"], "description": advice}, default, stand_in)

    def sub(self, key: str | None, shape: _Shape, *, default: Any = REQUIRED) -> Any:
        return self._note(key, _schema_of(shape), default, _stand_in(shape), given=True)

    def list_of(
        self,
        key: str | None,
        shape: _Shape,
        *,
        at_least: int = 0,
        at_most: int = 1000,
        default: Any = REQUIRED,
    ) -> Any:
        counted = {**({"minItems": at_least} if at_least else {}), "maxItems": at_most}
        entries = () if shape in _LOOK_THEMSELVES else (_stand_in(shape),) * max(1, at_least)
        schema = {"type": "array", "items": _schema_of(shape), **counted}
        return self._note(key, schema, default, entries, given=True)

    def map_of(self, key: str | None, shape: _Shape, *, dotted: bool = False, default: Any = REQUIRED) -> Any:
        names = rf"^{NAME}(\.{NAME})*$" if dotted else f"^{NAME}$"
        schema = {
            "type": "object",
            "propertyNames": {"pattern": names},
            "additionalProperties": _schema_of(shape),
        }
        return self._note(key, schema, default, {_OWN_NAME: _stand_in(shape)}, given=True)

    def _note(self, key: str | None, schema: Any, default: Any, stand_in: Any, *, given: bool = False) -> Any:
        """Note one question; gives the stand-in, or the default of an optional value that is one alone."""
        if key is None:
            self.asked.itself.append(schema)
        else:
            self.asked.keys.setdefault(key, []).append(schema)
            if default is REQUIRED:
                self.asked.required[key] = None
        return stand_in if given or default is REQUIRED else default


def _run(shape: _Shape, answers: _Answers) -> tuple[_Asked, Any]:
    onlooker = _Onlooker(answers)
    name = getattr(shape, "__name__", "")
    # `list_of("ports", Reader.name)` names the reader's own getter: here the onlooker's is meant.
    value = getattr(onlooker, name)() if getattr(Reader, name, None) is shape else shape(onlooker)
    return onlooker.asked, value


def _stand_in(shape: _Shape) -> Any:
    return _run(shape, {})[1]


def _schema_of(shape: _Shape) -> Any:
    by_itself = _LOOK_THEMSELVES.get(shape)
    return {"$ref": f"#/$defs/{by_itself}"} if by_itself else _explored(shape, {}, {})


def _explored(shape: _Shape, answers: _Answers, optional: Mapping[str, Any]) -> Any:
    """The schema of a shape function, with a branch wherever an answer changes what else is asked for."""
    base, _ = _run(shape, answers)
    for question, can_be in base.questions.items():
        if question in answers:
            continue
        kind, key = question
        runs = [_run(shape, {**answers, question: answer})[0] for answer in can_be]
        if kind == "has":
            off, on = runs
            if on.refused and not off.refused:
                continue  # a key that may not be there is no key
            if on.without(key) == off.without(key):
                there = {**optional, **({key: _either(on.keys[key])} if key in on.keys else {})}
                return _explored(shape, {**answers, question: False}, there)
            off_schema = _explored(shape, {**answers, question: False}, optional)
            on_schema = _explored(shape, {**answers, question: True}, optional)
            return _branched([({"required": [key]}, on_schema), (None, off_schema)])
        groups: dict[str, list[Any]] = {}
        for answer, run in zip(can_be, runs, strict=True):
            groups.setdefault(run.without(key), []).append(answer)
        if len(groups) > 1:
            # What is left out, or the largest group, is what else there is.
            alike = sorted(groups.values(), key=lambda group: (_LEFT_OUT in group, len(group)))
            branches: list[tuple[Json | None, Any]] = [
                (
                    {"properties": {key: {"enum": group}}, "required": [key]},
                    _explored(shape, {**answers, question: group[0]}, optional),
                )
                for group in alike
            ]
            branches[-1] = (None, branches[-1][1])
            return _branched(branches)
    return base.schema(optional)


def _branched(branches: Sequence[tuple[Json | None, Any]]) -> Any:
    """One schema out of several and when each holds; what they have in common is told once."""
    shapes = [schema for _, schema in branches if isinstance(schema, dict)]
    first = shapes[0]["properties"]
    common = {
        key: schema
        for key, schema in first.items()
        if all(_text(shape["properties"].get(key)) == _text(schema) for shape in shapes)
    }
    for shape in shapes:
        shape["properties"] = {key: key in common or schema for key, schema in shape["properties"].items()}
    chain = branches[-1][1]
    for condition, schema in reversed(branches[:-1]):
        chain = {"if": condition, "then": schema, "else": chain}
    return {"type": "object", "properties": common, **chain}


# --- single values ----------------------------------------------------------------------------------------

_NUMERAL = (
    r"[+\-−]?(?:[0-9]+ +[0-9]+/[0-9]+|[0-9]+/[0-9]+|(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+\-]?[0-9]+)?)"
)
_FACTOR = rf"(?:{'|'.join(sorted(quantities.SPELLINGS, key=len, reverse=True))}|1)(?:\^?-?[0-9]|²|³)?"
_UNIT = rf"{_FACTOR}(?:(?: *[/*·] *| +){_FACTOR})*"
_QUANTITY = rf"^ *{_NUMERAL} *{_UNIT} *$"
_RANGE = rf"^ *{_NUMERAL} *(?:{_UNIT})? *(?:-|–|to) *{_NUMERAL} *(?:{_UNIT})? *$"


def _name() -> Json:
    return {"type": "string", "pattern": f"^{NAME}$"}


def _number(low: float, high: float) -> Json:
    return {
        "anyOf": [
            {"type": "number", **_bounds(low, high)},
            {"type": "string", "pattern": f"^ *{_NUMERAL} *$"},
        ]
    }


def _bounds(low: float, high: float) -> Json:
    found: Json = {} if math.isinf(low) else {"minimum": low}
    return found if math.isinf(high) else {**found, "maximum": high}


def _between(low: float, high: float) -> float:
    return min(max(0.0, low), high)


def _is_number(text: str) -> bool:
    return text.replace(".", "", 1).isdecimal()


def _either(schemas: Sequence[Any]) -> Any:
    """One schema where a value is asked for in several ways."""
    different = list({_text(schema): schema for schema in schemas}.values())
    return different[0] if len(different) == 1 else {"anyOf": different}


def _text(schema: Any) -> str:
    return json.dumps(schema, sort_keys=True, default=str)


# --- shapes that look at what is written themselves -------------------------------------------------------


def _words() -> Json:
    said = {"type": ["string", "number", "boolean", "null"]}
    words: Json = {
        name: {**said, "description": f"{word.says or name}: {word.example}"} for name, word in WORDS.items()
    }
    words["step"] = {**said, "description": "a step with its ready state and its actions, by its name"}
    return words


def _action() -> Json:
    """An action as `word: what it takes`, bare or in quotation marks."""
    words = _words()
    bare = {
        "type": "object",
        "properties": words,
        "minProperties": 1,
        "maxProperties": 1,
        "additionalProperties": False,
    }
    return {"anyOf": [bare, {"type": "string", "pattern": rf"^ *(?:{'|'.join(words)}) *:"}]}


def _block(holds: str, key: str) -> Json:
    """Entries for facts or parts, which may hold blocks again."""
    entries = {"type": "array", "minItems": 1, "items": {"$ref": f"#/$defs/{holds}"}}
    return {
        "type": "object",
        "properties": {"when": {"type": "array", "items": _TEXT}, "each": _TEXT, key: entries},
        "required": [key],
        "additionalProperties": False,
    }


_TEXT: Final[Json] = {"type": ["string", "number", "boolean"]}
_LOOK_THEMSELVES: Final[dict[_Shape, str]] = {
    read_action: "action",
    read_deed: "deed",
    read_passage: "passage",
}
_TOLD_ONCE: Final[dict[str, Callable[[], Json]]] = {
    "quantity": lambda: {"type": "string", "pattern": _QUANTITY},
    "range": lambda: {"type": "string", "pattern": _RANGE},
    "action": _action,
    "deed": lambda: {"anyOf": [{"$ref": "#/$defs/action"}, _block("deed", "do")]},
    "passage": lambda: {"anyOf": [{**_TEXT, "maxLength": 400}, _block("passage", "lines")]},
}


def _definitions(schema: Json) -> Json:
    """What a schema refers to, and what that refers to."""
    found: Json = {}
    text = _text(schema)
    while missing := [name for name in _TOLD_ONCE if f"$defs/{name}" in text and name not in found]:
        found.update({name: _TOLD_ONCE[name]() for name in missing})
        text = _text([schema, found])
    return {"$defs": {name: found[name] for name in sorted(found)}} if found else {}


# --- descriptions -----------------------------------------------------------------------------------------


def _describe(schema: Any, node: Node, lines: Sequence[str]) -> None:
    """Give each key that a file comments on its comment, before what its value is like."""
    if not isinstance(node, MapNode):
        return
    for key, value in node.entries:
        comment = _comment(key, value, lines)
        for below in _schemas_at(schema, key.text):
            told = below.get("description", "")
            if comment and not told.startswith(comment):
                below["description"] = f"{comment}\n{told}".rstrip()
            _describe(below, value, lines)


def _comment(key: Scalar, value: Node, lines: Sequence[str]) -> str:
    """What stands behind a key on its line, or in the lines right above it."""
    line = lines[key.place.line - 1]
    before, sign, behind = line.partition(" # ")
    if sign and before.count('"') % 2 == 0 and (isinstance(value, Scalar) or before.rstrip().endswith(":")):
        return behind.strip()
    above = key.place.line - 2
    indent = " " * (key.place.column - 1)
    told: list[str] = []
    while above >= 0 and lines[above].startswith(f"{indent}# "):
        told.insert(0, lines[above].strip()[2:])
        above -= 1
    return " ".join(told) if above >= 0 else ""  # what stands at the head is about the file


def _schemas_at(schema: Any, key: str) -> Iterator[Json]:
    """Yield every schema that holds for the value of a key."""
    if not isinstance(schema, dict):
        return
    found = schema.get("properties", {}).get(key, schema.get("additionalProperties"))
    if isinstance(found, dict):
        yield found
    for part in ("then", "else"):
        yield from _schemas_at(schema.get(part), key)
