"""Content files as trees of nodes with places, and problems that show the place and say what to write.

YAML is taken event by event from PyYAML's own parser, in bounded size, depth and number of nodes; every
scalar stays text until a shape (see `reader`) asks for it as something. PyYAML's parser in Python is used
even where its twin in C is at hand: the two word their errors differently, and a file is to get the same
messages everywhere.
"""

from __future__ import annotations

import os
import re
import stat
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

import yaml

from trainer.authoring.quantities import Refused, quoted

MAX_BYTES: Final = 1_000_000
MAX_DEPTH: Final = 32
MAX_NODES: Final = 50_000
MAX_PROBLEMS: Final = 100
_EXCERPT_WIDTH: Final = 96


@dataclass(frozen=True, slots=True)
class Place:
    """Where something stands: file as the caller named it, line and column from 1.

    The text of the file travels along (not shown, not compared), so that a problem found late can still
    show its line.

    >>> str(Place("air.yaml", 3, 7))
    'air.yaml:3:7'
    """

    file: str
    line: int
    column: int
    text: str = field(default="", repr=False, compare=False)

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"

    def excerpt(self, text: str | None = None) -> str:
        """Return the line and a caret under the column, or nothing where there is no such line.

        >>> print(Place("air.yaml", 1, 4, "to: far").excerpt())
            to: far
               ^
        """
        lines = _unix_lines(self.text if text is None else text).split("\n", self.line)
        line = lines[self.line - 1] if 0 < self.line <= len(lines) else ""
        if not line.strip():
            return ""
        column = min(self.column - 1, len(line))
        start = max(0, column - _EXCERPT_WIDTH * 2 // 3) if len(line) > _EXCERPT_WIDTH else 0
        before = _visible(line[start:column])
        after = _visible(line[column : start + _EXCERPT_WIDTH])
        head = "..." if start else ""
        tail = "..." if start + _EXCERPT_WIDTH < len(line) else ""
        pad = len(head) + sum(2 if unicodedata.east_asian_width(letter) in "WF" else 1 for letter in before)
        return f"    {head}{before}{after}{tail}".rstrip() + f"\n    {' ' * pad}^"


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong in a content file: where, what, and what to write instead.

    >>> print(Problem(Place("air.yaml", 1, 8), "'fast' is not a quantity", "5 mi/h").render("speed: fast"))
    air.yaml:1:8: 'fast' is not a quantity. Write: 5 mi/h
        speed: fast
               ^
    """

    place: Place
    message: str
    advice: str

    def render(self, source_text: str | None = None) -> str:
        """Return the message with the line it is about, taken from `source_text` or from the place."""
        excerpt = self.place.excerpt(source_text)
        head = f"{self.place}: {self.message}. Write: {self.advice}"
        return f"{head}\n{excerpt}" if excerpt else head

    def to_json(self) -> dict[str, str | int]:
        """Return the problem as plain values for `json.dumps`."""
        return {
            "file": self.place.file,
            "line": self.place.line,
            "column": self.place.column,
            "message": self.message,
            "advice": self.advice,
        }


class ContentError(Exception):
    """All problems found in one pass, in the order of their places; `str()` renders them all.

    >>> error = ContentError((Problem(Place("air.yaml", 1, 1), "the file is empty", "a job"),), unlisted=2)
    >>> print(error)
    air.yaml:1:1: the file is empty. Write: a job
    and 2 more problems
    """

    def __init__(self, problems: Sequence[Problem], unlisted: int = 0) -> None:
        self.problems = tuple(problems)
        self.unlisted = unlisted
        super().__init__(self.problems, unlisted)

    def __str__(self) -> str:
        rendered = [problem.render() for problem in self.problems]
        if self.unlisted:
            rendered.append(f"and {self.unlisted} more problem{'s' if self.unlisted > 1 else ''}")
        return "\n".join(rendered)

    def to_json(self) -> list[dict[str, str | int]]:
        """Return the problems as plain values for `json.dumps`."""
        return [problem.to_json() for problem in self.problems]


class Problems:
    """Collects problems over one pass, which may take in several files (a job and its machines).

    >>> problems = Problems()
    >>> problems.add(Place("air.yaml", 1, 1), "the file is empty", "a job")
    >>> len(problems)
    1
    """

    def __init__(self) -> None:
        self._found: dict[Problem, None] = {}
        self._files: dict[str, int] = {}
        self._unlisted = 0

    def __len__(self) -> int:
        return len(self._found) + self._unlisted

    def take(self, error: ContentError) -> None:
        """Take over all problems of an error."""
        for problem in error.problems:
            self.add(problem.place, problem.message, problem.advice)
        self._unlisted += error.unlisted

    def add(self, place: Place, message: str, advice: str) -> None:
        """Note one problem; the same problem at the same place is kept once."""
        problem = Problem(place, message, advice)
        if problem in self._found:
            return
        self._files.setdefault(place.file, len(self._files))
        if len(self._found) < MAX_PROBLEMS:
            self._found[problem] = None
        else:
            self._unlisted += 1

    def error(self) -> ContentError | None:
        """Return what was found as an error to raise, or None if all is well."""
        if not self._found:
            return None
        ordered = sorted(
            self._found,
            key=lambda one: (self._files[one.place.file], one.place.line, one.place.column),
        )
        return ContentError(ordered, self._unlisted)

    def raise_if_any(self) -> None:
        """Raise a ContentError with everything found, if anything was."""
        error = self.error()
        if error is not None:
            raise error


@dataclass(frozen=True, slots=True)
class Scalar:
    """A single value, still the text that was written (quotation marks taken off)."""

    text: str
    place: Place


@dataclass(frozen=True, slots=True)
class ListNode:
    """Entries marked with dashes, or in square brackets."""

    items: tuple[Node, ...]
    place: Place

    def __len__(self) -> int:
        return len(self.items)

    def __iter__(self) -> Iterator[Node]:
        return iter(self.items)


@dataclass(frozen=True, slots=True)
class MapNode:
    """Keys with their values, in the order of the file; every key stands once.

    >>> node = read_source("width: 30 in\\nrows: 8", name="planter.yaml")
    >>> node.keys(), node.get("rows").text, node.get("colour"), str(node.key("rows").place)
    (('width', 'rows'), '8', None, 'planter.yaml:2:1')
    """

    entries: tuple[tuple[Scalar, Node], ...]
    place: Place

    def keys(self) -> tuple[str, ...]:
        """Return the texts of the keys."""
        return tuple(key.text for key, _ in self.entries)

    def get(self, key: str) -> Node | None:
        """Return the value under a key, or None."""
        return next((value for name, value in self.entries if name.text == key), None)

    def key(self, key: str) -> Scalar | None:
        """Return the key itself, with its place, or None."""
        return next((name for name, _ in self.entries if name.text == key), None)


Node = Scalar | ListNode | MapNode


def plain(node: Node) -> Any:
    """Return a node as dicts, lists and texts, without places.

    >>> plain(read_source("a: [1, no]", name="x.yaml"))
    {'a': ['1', 'no']}
    """
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, ListNode):
        return [plain(item) for item in node.items]
    return {key.text: plain(value) for key, value in node.entries}


def place_at(node: Node, *path: str | int) -> Place:
    """Return the place of the value at a path of keys and positions, or of the nearest thing above it.

    >>> node = read_source("ports:\\n- name: left", name="x.yaml")
    >>> str(place_at(node, "ports", 0, "name")), str(place_at(node, "ports", 7, "name"))
    ('x.yaml:2:9', 'x.yaml:2:1')
    """
    for step in path:
        below: Node | None = None
        if isinstance(step, str) and isinstance(node, MapNode):
            below = node.get(step)
        elif isinstance(step, int) and isinstance(node, ListNode) and 0 <= step < len(node.items):
            below = node.items[step]
        if below is None:
            break
        node = below
    return node.place


def check_path(relative: str) -> None:
    """Raise Refused for a path, named in a file, that leads out of its folder or does not work everywhere.

    >>> check_path("machines/../../secret.yaml")
    Traceback (most recent call last):
    trainer.authoring.quantities.Refused: 'machines/../../secret.yaml' leads out of its folder. \
Write: a path below it, such as machines/planter.yaml
    """
    parts = relative.split("/")
    if ".." in parts or relative.startswith(("/", "\\", "~")) or re.match(r"[A-Za-z]:", relative):
        raise Refused(f"{quoted(relative)} leads out of its folder", _INSIDE)
    if "\\" in relative:
        raise Refused(f"{quoted(relative)} has a backslash", quoted(relative.replace("\\", "/"))[1:-1])
    if len(relative) > 200 or not all(_PATH_PART.fullmatch(part) for part in parts):
        raise Refused(f"{quoted(relative)} is not a path that works everywhere", _INSIDE)
    if any(part.partition(".")[0].lower() in _DEVICE_NAMES for part in parts):
        raise Refused(f"{quoted(relative)} has a name that some systems keep for devices", "another name")


def safe_child(root: Path, relative: str) -> Path:
    """Return `root / relative`, a path that a file names, if it stays inside `root` on every platform.

    Refused are absolute paths, `..`, drive letters, backslashes, names that some platform keeps for devices,
    and links that lead out. The path need not exist.

    >>> safe_child(Path("scenarios"), "machines/planter.yaml").as_posix()
    'scenarios/machines/planter.yaml'
    >>> safe_child(Path("scenarios"), "../secret.yaml")
    Traceback (most recent call last):
    trainer.authoring.quantities.Refused: '../secret.yaml' leads out of its folder. Write: a path \
below it, such as machines/planter.yaml
    """
    check_path(relative)
    child = root / relative
    try:
        inside = child.resolve().is_relative_to(root.resolve())
        # Since Python 3.13 a ring of links resolves to itself; asking for what it leads to finds it out.
        child.stat()
    except FileNotFoundError:
        pass
    except (OSError, RuntimeError):
        inside = False
    if not inside:
        raise Refused(f"{quoted(relative)} is a link that leads out of its folder", _INSIDE)
    return child


_INSIDE = "a path below it, such as machines/planter.yaml"
_PATH_PART = re.compile(r"(?!\.\.?$)[\w.][\w. +-]{0,79}(?<![. ])")
_DEVICE_NAMES = frozenset(
    ["con", "prn", "aux", "nul", *(f"{port}{digit}" for port in ("com", "lpt") for digit in range(10))]
)


def read_source(origin: Path | str | bytes, name: str | None = None) -> Node:
    """Read YAML from a file (a Path), or from its text or bytes, as nodes with places.

    `name` is what messages call the file; by default the path as given. Every problem that can be found
    before the first broken line is reported; nothing else than a ContentError is raised for any content.

    >>> read_source("valve: off", name="job.yaml").get("valve").text
    'off'
    >>> read_source("a: 1\\na: 2\\n", name="job.yaml")
    Traceback (most recent call last):
    trainer.authoring.source.ContentError: job.yaml:2:1: 'a' stands here a second time; \
the first is in line 1, column 1. Write: each key once
        a: 2
        ^
    """
    name = name if name is not None else (str(origin) if isinstance(origin, Path) else "text")
    data = _read_bytes(origin, name) if isinstance(origin, Path) else origin
    if len(data) > MAX_BYTES:
        raise _only(Place(name, 1, 1), f"the file is longer than {MAX_BYTES} bytes", "several smaller files")
    text = _decoded(data, name) if isinstance(data, bytes) else data
    text = _unix_lines(text.removeprefix("\ufeff"))
    if len(text.encode("utf-8", "replace")) > MAX_BYTES:
        raise _only(Place(name, 1, 1), f"the file is longer than {MAX_BYTES} bytes", "several smaller files")
    problems = Problems()
    _check_letters(text, name, problems)
    problems.raise_if_any()
    node = _Composer(text, name, problems).compose()
    problems.raise_if_any()
    return node


def _only(place: Place, message: str, advice: str) -> ContentError:
    return ContentError((Problem(place, message, advice),))


def _read_bytes(path: Path, name: str) -> bytes:
    """Read at most one byte more than allowed; a pipe or a device is refused before it is opened."""
    place = Place(name, 1, 1)
    try:
        if not stat.S_ISREG(os.stat(path).st_mode):
            raise _only(place, "this is not a file", "the name of a YAML file")
        with open(path, "rb") as file:
            return file.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise _only(place, "there is no such file", "the name of a file that is there") from None
    except (OSError, ValueError):  # no right to read, a broken disk; a zero byte in the name
        raise _only(place, "the file cannot be read", "the name of a file you may read") from None


def _decoded(data: bytes, name: str) -> str:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise _only(Place(name, 1, 1), "the file is saved as UTF-16", "the same text, saved as UTF-8")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = _unix_lines(data[: error.start].decode("utf-8").removeprefix("\ufeff"))
        if "\0" in before:
            raise _binary(name) from None
        line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
        message = f"byte {data[error.start]:02X} hex is not UTF-8"
        shown = before + data[error.start :].decode("utf-8", "replace")
        raise _only(Place(name, line, column, shown), message, "the same text, saved as UTF-8") from None


def _binary(name: str) -> ContentError:
    return _only(Place(name, 1, 1), "this is not a text file: it holds zero bytes", "a YAML file in UTF-8")


# Control characters, line separators that editors do not show as such, marks that turn the reading direction
# round, halves of surrogate pairs, and code points that are no characters.
_UNSEEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufeff\ufffe\uffff]"
)
_TABBED = re.compile(r"^ *\t", re.MULTILINE)


def _check_letters(text: str, name: str, problems: Problems) -> None:
    if "\0" in text:
        raise _binary(name)
    if _UNSEEN.search(text) is None and "\t" not in text:
        return
    for number, line in enumerate(text.split("\n"), start=1):
        if len(problems) >= MAX_PROBLEMS:
            return
        unseen = _UNSEEN.search(line)
        if unseen is not None:
            code = f"U+{ord(unseen[0]):04X}"
            place = Place(name, number, unseen.start() + 1, text)
            message = f"a character that cannot be seen ({code}) stands here"
            problems.add(place, message, "the line without it")
        tabbed = _TABBED.match(line)
        if tabbed is not None:
            place = Place(name, number, tabbed.end(), text)
            problems.add(place, "the line is indented with a tab", "spaces, two for each level")


class _Frame:
    """A list or map whose end has not come yet."""

    def __init__(self, place: Place, is_map: bool) -> None:
        self.place = place
        self.is_map = is_map
        self.items: list[Node] = []
        self.entries: list[tuple[Scalar, Node]] = []
        self.key: Scalar | None = None
        self.seen: dict[str, Place] = {}

    def closed(self) -> Node:
        if self.is_map:
            return MapNode(tuple(self.entries), self.place)
        return ListNode(tuple(self.items), self.place)


class _Composer:
    """Builds nodes from events with a stack of its own, so that no file decides how deep Python recurses."""

    def __init__(self, text: str, name: str, problems: Problems) -> None:
        self._text = text
        self._name = name
        self._problems = problems
        self._open: list[_Frame] = []
        self._root: Node | None = None
        self._count = 0
        self._documents = 0

    def compose(self) -> Node:
        loader: Any = yaml.SafeLoader(self._text)
        try:
            while loader.check_event() and self._take(loader.get_event()):
                pass
        except yaml.MarkedYAMLError as error:
            self._explain(error)
        except (ValueError, OverflowError):  # the parser checks neither \\U escapes nor a directive's version
            message = "the number of an escape or of a version is too large"
            self._problems.add(self._place(loader.get_mark()), message, "the character itself")
        finally:
            loader.dispose()
        if self._root is not None and not (isinstance(self._root, Scalar) and not self._root.text.strip()):
            return self._root
        start = Place(self._name, 1, 1, self._text)
        if not len(self._problems):
            self._problems.add(start, "the file is empty", "its first key, such as title: ...")
        return Scalar("", start)

    def _place(self, mark: Any) -> Place:
        return Place(self._name, mark.line + 1, mark.column + 1, self._text)

    def _take(self, event: Any) -> bool:
        """Take one event in; False where reading further makes no sense."""
        place = self._place(event.start_mark)
        if isinstance(event, yaml.DocumentStartEvent):
            self._documents += 1
            if event.version or event.tags:
                self._problems.add(place, "no line can start with '%'", "the file without it")
            if self._documents > 1:
                self._problems.add(place, "a second document starts here", "one document per file")
                return False
        elif isinstance(event, yaml.NodeEvent):
            self._count += 1
            if self._count > MAX_NODES:
                message = f"the file holds more than {MAX_NODES} values"
                self._problems.add(place, message, "several smaller files")
                return False
            self._check_marks(event, place)
            if isinstance(event, yaml.ScalarEvent):
                self._take_scalar(event, place)
            elif isinstance(event, yaml.AliasEvent):
                self._attach(Scalar("", place))
            else:
                return self._take_start(isinstance(event, yaml.MappingStartEvent), place)
        elif isinstance(event, yaml.CollectionEndEvent):
            self._attach(self._open.pop().closed())
        return True

    def _check_marks(self, event: Any, place: Place) -> None:
        if isinstance(event, yaml.AliasEvent):
            message, advice = f"'*{event.anchor}' refers to another place", "the values once more"
            self._problems.add(place, message, f"{advice}, or the text in quotation marks")
            return
        if event.anchor is not None:
            message = f"'&{event.anchor}' names a place for reuse"
            self._problems.add(place, message, "the value alone, or the text in quotation marks")
        if event.tag is not None:
            tag = event.tag.replace("tag:yaml.org,2002:", "!!")
            message = f"{quoted(tag)} is a tag"
            self._problems.add(place, message, "the value alone, or the text in quotation marks")

    def _take_scalar(self, event: Any, place: Place) -> None:
        unseen = _UNSEEN.search(event.value)
        if unseen is not None:
            message = f"an escape makes a character that cannot be seen (U+{ord(unseen[0]):04X})"
            self._problems.add(place, message, "the text without it")
        frame = self._open[-1] if self._open else None
        if frame is not None and frame.is_map and frame.key is None:
            if event.value == "<<" and event.style is None:
                self._problems.add(place, "'<<' merges another map in", "the keys themselves")
            elif not event.value.strip():
                self._problems.add(place, "a key is missing before the colon", "key: value")
        self._attach(Scalar(event.value, place))

    def _take_start(self, is_map: bool, place: Place) -> bool:
        if len(self._open) >= MAX_DEPTH:
            message = f"lists and maps are nested more than {MAX_DEPTH} deep"
            self._problems.add(place, message, "fewer levels")
            return False
        if self._open and self._open[-1].is_map and self._open[-1].key is None:
            kind = "map" if is_map else "list"
            message = f"a {kind} stands where a key belongs"
            self._problems.add(place, message, "a plain key, or the text in quotation marks")
        self._open.append(_Frame(place, is_map))
        return True

    def _attach(self, node: Node) -> None:
        if not self._open:
            self._root = node
            return
        frame = self._open[-1]
        if not frame.is_map:
            frame.items.append(node)
        elif frame.key is None:
            key = node if isinstance(node, Scalar) else Scalar("", node.place)
            first = frame.seen.setdefault(key.text, key.place)
            if first is not key.place and isinstance(node, Scalar) and key.text:
                where = f"line {first.line}, column {first.column}"
                message = f"{quoted(key.text)} stands here a second time; the first is in {where}"
                self._problems.add(key.place, message, "each key once")
            frame.key = key
        else:
            frame.entries.append((frame.key, node))
            frame.key = None

    def _explain(self, error: yaml.MarkedYAMLError) -> None:
        """Turn a syntax error into plain words, at the place where the author has to change something."""
        context = str(error.context or "")
        problem = str(error.problem or "")
        mark = error.problem_mark or error.context_mark
        message, advice = "this cannot be read as YAML", "plain keys and values, one to a line"
        for fault in _SYNTAX:
            if fault.context in context and fault.problem in problem:
                message, advice = fault.message, fault.advice
                mark = error.context_mark if fault.at_context and error.context_mark else mark
                break
        place = self._place(mark) if mark is not None else Place(self._name, 1, 1, self._text)
        lines = self._text.split("\n")
        if "values are not allowed" in problem:
            place, message, advice = self._explain_colon(place, lines)
        rest = lines[place.line - 1][place.column - 1 :]
        letter = rest[:1]
        if letter == "\t":
            message, advice = "a tab stands here", "a space"
        elif re.match("-[^ -]", rest) and context != "while scanning a block scalar":
            message, advice = "the space after the dash is missing", "- and then the entry"
        self._problems.add(place, message.replace("{letter}", quoted(letter)), advice)

    def _explain_colon(self, place: Place, lines: list[str]) -> tuple[Place, str, str]:
        """Tell three ways to a colon that ends no key apart: in a text, indented too far, one missing."""
        line = lines[place.line - 1]
        first = re.search(r":[ ]+", line[: place.column - 1])
        if first is not None:
            value = line[first.end() :].rstrip()
            mark = "'" if '"' in value else '"'
            better = quoted(value, longest=80)[1:-1].replace(mark, mark * 2 if mark == "'" else mark)
            return (
                place,
                "a text that holds a colon and a space needs quotation marks",
                f"{mark}{better}{mark}",
            )
        above = next((number for number in range(place.line - 1, 0, -1) if lines[number - 1].strip()), 0)
        indent = len(line) - len(line.lstrip())
        indent_above = len(lines[above - 1]) - len(lines[above - 1].lstrip()) if above else indent
        if above and indent <= indent_above and ":" not in lines[above - 1]:
            there = Place(self._name, above, indent_above + 1, self._text)
            return there, "this line has no colon after its key", "key: value"
        here = Place(self._name, place.line, indent + 1, self._text)
        message = "this key is indented below a line that already has its value"
        return here, message, "the key in the column of the keys above it"


@dataclass(frozen=True, slots=True)
class _Fault:
    """A kind of syntax error: words of the parser by which it is known, and ours for it."""

    context: str
    problem: str
    message: str
    advice: str
    at_context: bool = False  # whether the author has to change something where the context starts


_QUOTED: Final = "the text in quotation marks"
_SYNTAX: Final[tuple[_Fault, ...]] = (  # the first that fits is taken
    _Fault(
        "quoted scalar",
        "end of stream",
        "this quotation mark is never closed",
        f"{_QUOTED}, both of them",
        True,
    ),
    _Fault(
        "quoted scalar", "separator", "this quotation mark is never closed", f"{_QUOTED}, both of them", True
    ),
    _Fault(
        "double-quoted",
        "unknown escape",
        "{letter} has no meaning after a backslash",
        "the text in single quotation marks, where a backslash is just a backslash",
    ),
    _Fault("double-quoted", "", "this escape is not complete", "the character itself"),
    _Fault(
        "flow sequence",
        "",
        "this square bracket is not closed, or a comma is missing after it",
        "[one, two, three]",
        True,
    ),
    _Fault(
        "flow mapping",
        "",
        "this brace is not closed, or a comma is missing after it",
        "{key: value, key: value}",
        True,
    ),
    _Fault("simple key", "expected ':'", "this line has no colon after its key", "key: value", True),
    _Fault(
        "",
        "sequence entries are not allowed",
        "a list entry cannot start here",
        "the dash on a line of its own, below its key",
    ),
    _Fault("", "mapping keys are not allowed", "a question mark cannot start a key here", "key: value"),
    _Fault("", "cannot start any token", "no value can start with {letter}", f"a space, or {_QUOTED}"),
    _Fault("block mapping", "found ':'", "a key is missing before the colon", "key: value"),
    _Fault("block mapping", "found '-'", "a list entry stands among keys", "the dash below its own key"),
    _Fault(
        "block mapping",
        "found '<scalar>'",
        "something stands behind the end of the value",
        f"all of {_QUOTED}",
    ),
    _Fault("block mapping", "found ']'", "this bracket closes nothing", _QUOTED),
    _Fault("block mapping", "found '}'", "this brace closes nothing", _QUOTED),
    _Fault(
        "block mapping",
        "",
        "this does not fit the keys above it: check how far it is indented",
        "all keys of one map in the same column",
    ),
    _Fault(
        "block collection",
        "",
        "this does not fit the list above it: check how far it is indented",
        "all dashes of one list in the same column",
    ),
    _Fault("block scalar", "", "only a line break belongs after '|' or '>'", "the text below, indented"),
    _Fault("anchor", "", "no value can start with '&'", _QUOTED, True),
    _Fault("alias", "", "no value can start with '*'", _QUOTED, True),
    _Fault("tag", "", "no value can start with '!'", _QUOTED, True),
    _Fault("parsing a node", "tag handle", "no value can start with '!'", _QUOTED),
    _Fault("directive", "", "no line can start with '%'", _QUOTED, True),
    _Fault("", "directive", "no line can start with '%'", "the file without it"),
    _Fault("", "incompatible YAML", "no line can start with '%'", "the file without it"),
    _Fault(
        "", "<document start>", "the file goes on after its end", "all keys of the file in the first column"
    ),
    _Fault("node", "found ']'", "this bracket closes nothing", _QUOTED),
    _Fault("node", "found '}'", "this brace closes nothing", _QUOTED),
    _Fault(
        "node",
        "found '<stream end>'",
        "the file ends where a value belongs, with a bracket or brace still open",
        "the value, and the bracket or brace that closes",
    ),
    _Fault("node", "found '<document end>'", "the file is empty", "its first key, such as title: ..."),
    _Fault("node", "expected the node content", "a value is missing here", "a value, or no comma before it"),
)


def _unix_lines(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _visible(text: str) -> str:
    return "".join(letter if letter.isprintable() else ("?" if letter != "\t" else " ") for letter in text)
