"""A reader that shapes nodes into values and reports every problem at once.

The Reader alone gives shapes, without pydantic on top: a shape function already reads like a table and knows
key, place and advice of each value, while pydantic would know none of the places and would need each message
translated back from its error list.

>>> def read_port(port: Reader) -> tuple[str, float, bool]:
...     return (
...         port.name("name"),
...         port.quantity("pressure", "Pa", low=0, high=40e6),
...         port.flag("float", default=False),
...     )
>>> read_as("name: left\\npressure: 180 bar\\n", read_port, name="port.yaml")
('left', 18000000.0, False)
>>> read_as("name: Left Port\\npresure: 180\\n", read_port, name="port.yaml")
Traceback (most recent call last):
trainer.authoring.source.ContentError: port.yaml:1:7: 'Left Port' is not a name. Write: left_port
    name: Left Port
          ^
port.yaml:2:1: 'presure' is not a key here. Write: pressure
    presure: 180
    ^
"""

from __future__ import annotations

import difflib
import enum
import math
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Final, TypeVar, cast

from trainer.authoring import quantities
from trainer.authoring.quantities import Refused, quoted
from trainer.authoring.source import (
    ContentError,
    ListNode,
    MapNode,
    Node,
    Place,
    Problems,
    Scalar,
    read_source,
    safe_child,
)

_T = TypeVar("_T")
_D = TypeVar("_D")


class Required(enum.Enum):
    """The default of a key that has none: it has to be there."""

    REQUIRED = "required"


REQUIRED: Final = Required.REQUIRED


class _Unreadable(Exception):
    """There is no value to go on with; the reason has been noted already."""


NAME: Final = "[a-z][a-z0-9_]{0,63}"
"""What a name looks like."""
_MUTED_DEPTH: Final = 6
_FLAGS: Final = {"yes": True, "no": False}
_FLAGS_MEANT: Final = {
    **dict.fromkeys(("true", "on", "y", "1"), "yes"),
    **dict.fromkeys(("false", "off", "n", "0"), "no"),
}


def read_into(
    problems: Problems, origin: Path | str | bytes, shape: Callable[[Reader], _T], name: str | None = None
) -> _T | None:
    """Read one file of several with a shape function and note its problems; None where nothing came of it.

    >>> problems = Problems()
    >>> read_into(problems, "speed: fast", lambda top: top.quantity("speed", "m/s"), name="air.yaml")
    0.0
    >>> len(problems)
    1
    """
    try:
        node = read_source(origin, name)
    except ContentError as error:
        problems.take(error)
        return None
    try:
        return _shaped(Reader(node, problems), shape)
    except _Unreadable:
        return None


def read_as(origin: Path | str | bytes, shape: Callable[[Reader], _T], name: str | None = None) -> _T:
    """Read one file (a Path, or its text or bytes) with a shape function, or raise a ContentError."""
    problems = Problems()
    value = read_into(problems, origin, shape, name)
    problems.raise_if_any()
    return cast(_T, value)  # None here only where the shape function itself gave None


class Reader:
    """Reads typed values out of one node and notes what is wrong, instead of stopping at the first problem.

    Every getter takes a key; with None (the default) it reads the node itself, which is how entries of lists
    are read. A getter with a `default` is for an optional key. After a problem the getter returns a stand-in
    of the right type (inside the range, the closest option, ...), so that the shape function runs on; its
    result is thrown away with the ContentError. `ok` tells whether this reader has noted anything: ask it
    before checks between values, so that one mistake is not reported twice.

    Shape functions are called through `read_as`, `read_into`, `sub`, `list_of`, `map_of` and `one_of`,
    which all end with `finish()`: unknown and missing keys are reported there.

    >>> def read_bar(bar: Reader) -> tuple[float, tuple[str, ...]]:
    ...     return bar.quantity("width", "m", low=0), bar.list_of("rows", Reader.name, at_least=1)
    >>> read_as("bar:\\n  width: 30 ft\\n  rows: [left, right]", lambda top: top.sub("bar", read_bar))
    (9.144, ('left', 'right'))
    """

    def __init__(self, node: Node, problems: Problems, label: str = "the file", *, muted: int = 0) -> None:
        self.node = node
        self.label = label
        self._problems = problems
        self._muted = muted
        self._known: dict[str, None] = {}
        self._missing: dict[str, str] = {}
        self._doubtful = False
        self._before = len(problems)
        self._values: dict[str, Node] = (
            {key.text: value for key, value in node.entries} if isinstance(node, MapNode) else {}
        )
        self._finished = False

    @property
    def ok(self) -> bool:
        """Whether nothing has been found wrong through this reader, nor through those below it."""
        return not self._muted and not self._missing and len(self._problems) == self._before

    @property
    def problems(self) -> Problems:
        """The collection that this reader notes into, to read another file in the same pass."""
        return self._problems

    def has(self, key: str) -> bool:
        """Return whether a key is there, and count it as known."""
        self._known.setdefault(key)
        return key in self._values

    def keys(self) -> tuple[str, ...]:
        """Return the keys that are there, in the order of the file, without counting them as known."""
        return tuple(self._values)

    def place(self, key: str | None = None) -> Place:
        """Return the place of a value, or of this node where there is no such key."""
        node = self.node if key is None else self._values.get(key, self.node)
        return node.place

    def refuse(self, key: str | None, message: str, advice: str) -> None:
        """Note a problem of the shape function's own at the value of a key (None: at this node)."""
        self._problems.add(self.place(key), message, advice)

    def text(
        self,
        key: str | None = None,
        *,
        default: _D | Required = REQUIRED,
        longest: int = 4000,
        empty: bool = False,
    ) -> str | _D:
        """Read a text; line breaks at its end are dropped.

        >>> read_as("title: 12:30", lambda top: top.text("title"))
        '12:30'
        """

        def convert(text: str) -> str:
            if len(text) > longest:
                raise Refused(f"the text is longer than {longest} characters", "a shorter text")
            return text.rstrip("\n")

        return self._scalar(key, default, "", "a text", convert, empty=empty)

    def name(self, key: str | None = None, *, default: _D | Required = REQUIRED) -> str | _D:
        """Read a name that other places refer to: lower-case letters, digits and underscores.

        >>> read_as("port: left_2", lambda top: top.name("port"))
        'left_2'
        """
        return self._scalar(key, default, "unnamed", "a name such as left_port", _to_name)

    def choice(
        self, key: str | None = None, options: Sequence[str] = (), *, default: _D | Required = REQUIRED
    ) -> str | _D:
        """Read one of a few words; after a slip of the pen the closest one stands in.

        >>> read_as("kind: farmer", lambda top: top.choice("kind", ("former", "planter")))
        Traceback (most recent call last):
        trainer.authoring.source.ContentError: text:1:7: 'farmer' is not one of former, planter. Write: former
            kind: farmer
                  ^
        """
        if not options:
            advice = "nothing: there is nothing to choose from"
        else:
            advice = f"one of {_listed(options)}" if len(options) > 1 else options[0]
        guesses: list[str] = []

        def convert(text: str) -> str:
            if text in options:
                return text
            guesses.extend(_closest(text, options))
            wrong = f"is not one of {_listed(options)}" if options else "is not known"
            raise Refused(f"{quoted(text)} {wrong}", guesses[0] if guesses else advice)

        before = len(self._problems), len(self._missing)
        value = self._scalar(key, default, options[0] if options else "", advice, convert)
        if (len(self._problems), len(self._missing)) != before:
            # Other keys may hang on this choice: without a good guess, none of them can be called unknown.
            self._doubtful = self._doubtful or not guesses
            return guesses[0] if guesses else value
        return value

    def flag(self, key: str | None = None, *, default: _D | Required = REQUIRED) -> bool | _D:
        """Read yes or no.

        >>> read_as("clean: yes", lambda top: top.flag("clean"))
        True
        """

        def convert(text: str) -> bool:
            if text in _FLAGS:
                return _FLAGS[text]
            meant = _FLAGS_MEANT.get(text.lower(), text.lower())
            raise Refused(f"{quoted(text)} is not yes or no", meant if meant in _FLAGS else "yes or no")

        return self._scalar(key, default, False, "yes or no", convert)

    def whole(
        self,
        key: str | None = None,
        *,
        low: int | None = None,
        high: int | None = None,
        default: _D | Required = REQUIRED,
    ) -> int | _D:
        """Read a whole number within `low` to `high`."""
        stand_in = low if low is not None else min(0, high) if high is not None else 0
        return self._scalar(
            key, default, stand_in, "a whole number", lambda text: quantities.read_whole(text, low, high)
        )

    def number(
        self,
        key: str | None = None,
        *,
        low: float = -math.inf,
        high: float = math.inf,
        default: _D | Required = REQUIRED,
    ) -> float | _D:
        """Read a number without a unit within `low` to `high`."""
        return self._scalar(
            key, default, _inside(low, high), "a number", lambda text: quantities.read_number(text, low, high)
        )

    def quantity(
        self,
        key: str | None,
        unit: str,
        *,
        low: float = -math.inf,
        high: float = math.inf,
        default: _D | Required = REQUIRED,
    ) -> float | _D:
        """Read a number with a unit; the result, `low` and `high` are in `unit` ("Pa", "m3/s", "K", "1").

        >>> read_as("flow: 26 gal/min", lambda top: top.quantity("flow", "m3/s", low=0))
        0.0016403451064
        """
        return self._scalar(
            key,
            default,
            _inside(low, high),
            quantities.advice_for(unit, low, high),
            lambda text: quantities.read_quantity(text, unit, low, high),
        )

    def quantity_range(
        self,
        key: str | None,
        unit: str,
        *,
        low: float = -math.inf,
        high: float = math.inf,
        default: _D | Required = REQUIRED,
    ) -> tuple[float, float] | _D:
        """Read a range such as `20-22 in`; both ends are returned in `unit`, the lower end first."""
        return self._scalar(
            key,
            default,
            (_inside(low, high), _inside(low, high)),
            quantities.range_advice_for(unit, low, high),
            lambda text: quantities.read_quantity_range(text, unit, low, high),
        )

    def parsed(
        self,
        key: str | None,
        convert: Callable[[str], _T],
        *,
        stand_in: _T,
        advice: str,
        default: _D | Required = REQUIRED,
    ) -> _T | _D:
        """Read a scalar with a function of the shape's own, which raises Refused or ValueError.

        >>> read_as("at: 12:30", lambda top: top.parsed("at", str.upper, stand_in="", advice="a time of day"))
        '12:30'
        """
        return self._scalar(key, default, stand_in, advice, convert)

    def file_in(self, root: Path, key: str | None = None, *, default: _D | Required = REQUIRED) -> Path | _D:
        """Read the path of a file that has to be there and to lie inside `root`."""

        def convert(text: str) -> Path:
            path = safe_child(root, text)
            if not path.is_file():
                raise Refused(f"{quoted(text)} is not there", "the path of a file that is there")
            return path

        return self._scalar(key, default, root, "the path of a file, such as machines/planter.yaml", convert)

    def sub(
        self, key: str | None, shape: Callable[[Reader], _T], *, default: _D | Required = REQUIRED
    ) -> _T | _D:
        """Read a map below a key with its own shape function."""
        node = self._find(key, default, "a map of keys and values")
        if node is None and default is not REQUIRED:
            return default
        if node is not None and not isinstance(node, MapNode):
            self._wrong_kind(node, key, "keys and values belong", "key: value, indented below it")
            node = None
        return _shaped(self._below(node, self._name_of(key)), shape)

    def list_of(
        self,
        key: str | None,
        shape: Callable[[Reader], _T],
        *,
        at_least: int = 0,
        at_most: int = 1000,
        default: _D | Required = REQUIRED,
    ) -> tuple[_T, ...] | _D:
        """Read a list, each entry with a shape function: `list_of("ports", Reader.name)`."""
        node = self._find(key, default, "a list, each entry after a dash")
        if node is None and default is not REQUIRED:
            return default
        label = self._name_of(key)
        if isinstance(node, ListNode):
            if not at_least <= len(node) <= at_most:
                bound = f"at least {at_least}" if len(node) < at_least else f"at most {at_most}"
                self._problems.add(node.place, f"{label} has {_entries(len(node))}", _entries(bound))
            readers = [
                self._below(item, f"entry {position} of {label}")
                for position, item in enumerate(node.items[:at_most], start=1)
            ]
            readers.extend(self._below(None, label) for _ in range(at_least - len(readers)))
        else:
            if node is not None:
                self._wrong_kind(
                    node, key, "a list belongs", "entries on lines of their own, each after a dash"
                )
            deep = self._muted >= _MUTED_DEPTH
            readers = [] if deep else [self._below(None, label) for _ in range(at_least)]
        return tuple(_all_shaped(readers, shape))

    def map_of(
        self,
        key: str | None,
        shape: Callable[[Reader], _T],
        *,
        dotted: bool = False,
        default: _D | Required = REQUIRED,
    ) -> dict[str, _T] | _D:
        """Read a map whose keys are names of the author's own (with `dotted`: names joined by dots)."""
        node = self._find(key, default, "a map of names")
        if node is None and default is not REQUIRED:
            return default
        values: dict[str, _T] = {}
        if isinstance(node, MapNode):
            for name, below in node.entries:
                try:
                    for part in name.text.split(".") if dotted else (name.text,):
                        _to_name(part)
                except Refused as refused:
                    self._problems.add(name.place, refused.message, refused.advice)
                try:
                    values[name.text] = _shaped(self._below(below, quoted(name.text)), shape)
                except _Unreadable:
                    continue
            if key is None:
                self._known.update(dict.fromkeys(self._values))
        elif node is not None:
            self._wrong_kind(node, key, "names with values belong", "name: value, indented below it")
        return values

    def one_of(self, key: str | None, shapes: Mapping[str, Callable[[Reader], _T]]) -> _T:
        """Read a map with exactly one key, which says how its value is to be read; fit for lists of actions.

        >>> shapes = {"push": Reader.name, "wait": lambda item: item.quantity(None, "s")}
        >>> def read_actions(top: Reader) -> tuple[str | float, ...]:
        ...     return top.list_of(None, lambda item: item.one_of(None, shapes))
        >>> read_as("- push: left\\n- wait: 3 s", read_actions)
        ('left', 3.0)
        """
        advice = f"one of {_listed(tuple(shapes))}, a colon and its value"
        node = self._find(key, REQUIRED, advice)
        if node is None:
            raise _Unreadable
        if not isinstance(node, MapNode):
            options = _closest(node.text, tuple(shapes)) if isinstance(node, Scalar) else ()
            better = f"{options[0]}: ..." if options else advice
            self._wrong_kind(node, key, "a key and its value belong", better)
            raise _Unreadable
        if key is None:
            self._known.update(dict.fromkeys(self._values))
        for name, _ in node.entries[1:]:
            message = f"{quoted(name.text)} is one key too many here"
            self._problems.add(name.place, message, "one key per entry")
        if not node.entries:
            self._problems.add(node.place, f"{self._name_of(key)} is an empty map", advice)
            raise _Unreadable
        name, below = node.entries[0]
        if name.text not in shapes:
            close = _closest(name.text, tuple(shapes))
            message = f"{quoted(name.text)} is not known here"
            self._problems.add(name.place, message, close[0] if close else advice)
            raise _Unreadable
        return _shaped(self._below(below, quoted(name.text)), shapes[name.text])

    def finish(self, *, unknown: bool = True) -> None:
        """Report keys that no getter asked for and required keys that are missing; once."""
        if self._finished:
            return
        self._finished = True
        explained: set[str] = set()
        if isinstance(self.node, MapNode) and unknown and self._known and not self._doubtful:
            unused = [name for name in self._known if name not in self._values]
            for key, _ in self.node.entries:
                if key.text not in self._known:
                    close = _closest(key.text, unused)
                    explained.update(close[:1])
                    advice = close[0] if close else f"one of {_listed(tuple(self._known))}, or leave it out"
                    self._problems.add(key.place, f"{quoted(key.text)} is not a key here", advice)
        for missing, advice in self._missing.items():
            if missing not in explained:
                message = f"'{missing}' is missing in {self.label}"
                self._problems.add(self.node.place, message, f"{missing}: with {advice}")

    def _scalar(
        self,
        key: str | None,
        default: _D | Required,
        stand_in: _T,
        advice: str,
        convert: Callable[[str], _T],
        *,
        empty: bool = False,
    ) -> _T | _D:
        node = self._find(key, default, advice, empty=empty)
        if node is None:
            return stand_in if isinstance(default, Required) else default
        if not isinstance(node, Scalar):
            self._wrong_kind(node, key, "one value belongs", advice)
            return stand_in
        try:
            return convert(node.text)
        except Refused as refused:
            self._problems.add(node.place, refused.message, refused.advice)
        except ValueError as error:
            self._problems.add(node.place, str(error) or f"{quoted(node.text)} does not fit", advice)
        return stand_in

    def _find(self, key: str | None, default: object, advice: str, *, empty: bool = False) -> Node | None:
        """Return the node to read; None where it is missing or empty, which has then been noted."""
        if key is None:
            node: Node | None = None if self._muted else self.node
        else:
            self._known.setdefault(key)
            node = self._values.get(key)
            # After a doubtful choice, another kind's keys may rightly be absent.
            if node is None and default is REQUIRED and not self._muted and not self._doubtful:
                if isinstance(self.node, MapNode):
                    self._missing.setdefault(key, advice)
                elif isinstance(self.node, Scalar) and not self.node.text.strip():
                    self._problems.add(self.node.place, f"{self.label} has no value", "key: value")
                else:
                    self._wrong_kind(self.node, None, "keys and values belong", "key: value")
        if isinstance(node, Scalar) and not node.text.strip() and not empty:
            self._problems.add(node.place, f"{self._name_of(key)} has no value", advice)
            # Noted: from here on it is as good as a stand-in, not as good as left out.
            return None
        return node

    def _below(self, node: Node | None, label: str) -> Reader:
        """Return a reader for a node below this one; without a node, one that reads only stand-ins."""
        if node is not None:
            return Reader(node, self._problems, label)
        if self._muted >= _MUTED_DEPTH:  # a shape that holds itself would go on for ever
            raise _Unreadable
        return Reader(MapNode((), self.node.place), Problems(), label, muted=self._muted + 1)

    def _wrong_kind(self, node: Node, key: str | None, wanted: str, advice: str) -> None:
        found = "a text" if isinstance(node, Scalar) else "a list" if isinstance(node, ListNode) else "a map"
        self._problems.add(node.place, f"{self._name_of(key)} is {found} where {wanted}", advice)

    def _name_of(self, key: str | None) -> str:
        return self.label if key is None else f"'{key}'"


def _shaped(reader: Reader, shape: Callable[[Reader], _T]) -> _T:
    try:
        value = shape(reader)
    except _Unreadable:
        reader.finish(unknown=False)
        raise
    reader.finish()
    return value


def _all_shaped(readers: Sequence[Reader], shape: Callable[[Reader], _T]) -> Iterator[_T]:
    for reader in readers:
        try:
            yield _shaped(reader, shape)
        except _Unreadable:
            continue


def _to_name(text: str) -> str:
    if re.fullmatch(NAME, text):
        return text
    better = re.sub(r"[^a-z0-9]+", "_", text.lower()).strip("_").lstrip("0123456789_")[:64]
    raise Refused(f"{quoted(text)} is not a name", better or "a name such as left_port")


def _inside(low: float, high: float) -> float:
    return min(max(0.0, low), high)


def _closest(text: str, options: Sequence[str]) -> tuple[str, ...]:
    wanted = re.sub(r"[\s-]+", "_", text.strip().lower())[:64]
    return tuple(
        difflib.get_close_matches(
            wanted, [option for option in options if len(option) <= 64], n=1, cutoff=0.7
        )
    )


def _entries(count: int | str) -> str:
    return f"{count} entry" if re.fullmatch(r"(at (least|most) )?1", str(count)) else f"{count} entries"


def _listed(options: Sequence[str], most: int = 12) -> str:
    shown = ", ".join(options[:most])
    return f"{shown} and {len(options) - most} more" if len(options) > most else shown
