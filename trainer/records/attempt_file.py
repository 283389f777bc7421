"""The attempt file: JSON lines that hold all it takes to run an attempt again, on any machine, years later.

=======  ==================================================================================================
line     what it holds
=======  ==================================================================================================
first    `attempt` (version of this format), `versions` of engine, rules and scoring, `job` by name and
         `files`: the full text of every file the job was compiled from; where the job is to find a fault,
         the `seed` that drew it; where there are any also `notes`,
         which nobody judges: the `plan` made beforehand, and the `branch` at which a second try left the
         record of a first one
then     one line per action: the `tick` before it, what was done (`do`), why it was `refused` ('' where it
         was not) and the `digest` of the yard after it
between  a `tick` and its `digest`, every `MARK_TICKS` ticks without an action
last     the `tick` at which the attempt was graded and its `result`
=======  ==================================================================================================

Keys are sorted, nothing but ASCII is written, lines end in one newline, and no clock, place or person goes
in: the same attempt gives the same bytes. A line counts once its newline is written, so a killed program
costs no more than the line it was writing.

Every line carries `chain`: the SHA-256 of the `chain` of the line above it and of the line itself without
its `chain`. Whatever is changed, put in or taken out in a line, or taken out between two lines, the first
line that no longer fits is refused; so is a line that says the same in other bytes (spaces, order of keys,
another end of line). Lines taken from the end leave an attempt that was never graded, and that is told. The
chain shows that a file was touched; it is no signature, and whoever works it out again from the change on
is found out only by running the attempt again. Files of format 1 were written before lines were chained.

Sizes are bounded, and the reader trusts nothing: whatever is wrong is a `ContentError` with file, line and
column. What an action does is not the reader's business; `replay` finds that out.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any, Final

from trainer.authoring.source import ContentError, Place, Problem
from trainer.core.actions import Action, NotAnAction, as_line, from_line
from trainer.core.units import TICKS_PER_S

FORMAT: Final = 2
UNCHAINED: Final = 1
"""The format before lines were chained: still read, and gone on with as it was begun."""
MARK_TICKS: Final = 1200
MAX_BYTES: Final = 32_000_000
MAX_LINES: Final = 100_000
MAX_LINE_BYTES: Final = 4_000_000
MAX_HEADER_BYTES: Final = 8_000_000
MAX_TICK: Final = 24 * 3600 * TICKS_PER_S
MAX_FILES: Final = 32
MAX_FINDINGS: Final = 10_000
MAX_SEED: Final = 2**31 - 1
_SHOWN: Final = 40

MAX_PLAN: Final = 200
_HEADER_KEYS: Final = ("attempt", "files", "job", "versions")
_NOTES_KEYS: Final = ("branch", "plan")
_BRANCH_KEYS: Final = ("of", "tick")
_ACTION_KEYS: Final = ("digest", "do", "refused", "tick")
_MARK_KEYS: Final = ("digest", "tick")
_RESULT_KEYS: Final = ("result", "tick")
_VERSION_KEYS: Final = ("engine", "rules", "scoring")
_SCORE_KEYS: Final = ("ended", "findings", "passed", "points")
_FINDING_KEYS: Final = (
    "harm",
    "limit",
    "measure",
    "measured",
    "place",
    "root",
    "rule",
    "severity",
    "source",
    "standing",
    "thing",
    "tick",
    "unit",
)
_WHOLE_IN_FINDING: Final = ("limit", "measured", "tick")


@dataclass(frozen=True, slots=True)
class Versions:
    """What judged an attempt: what happened, what it meant, what it was worth."""

    engine: int
    rules: int
    scoring: int


@dataclass(frozen=True, slots=True)
class Notes:
    """What belongs to an attempt and is not judged: the steps in the order in which the trainee meant to do
    them, and the record that it went on from, at which tick (none: it began at the beginning)."""

    plan: tuple[str, ...] = ()
    branch_of: str = ""
    branch_tick: int = 0


@dataclass(frozen=True, slots=True)
class Done:
    """One action. `tick` is the tick before it, `digest` that of the yard after it."""

    tick: int
    action: Action
    refused: str
    digest: str
    place: Place


@dataclass(frozen=True, slots=True)
class Mark:
    """The yard at a tick at which nothing was done."""

    tick: int
    digest: str
    place: Place


@dataclass(frozen=True, slots=True)
class Claim:
    """What the file says the attempt came to. `result` holds `points`, `passed`, `ended`, `findings`."""

    tick: int
    result: Mapping[str, Any]
    place: Place


@dataclass(frozen=True, slots=True)
class Record:
    """An attempt as read from its file.

    `cut` tells of a last line that was never finished (its program was killed); `whole_bytes` is how far the
    file is good. `chain` is that of its last whole line, None in a file of format 1.
    """

    name: str
    job: str
    versions: Versions
    files: Mapping[str, str]
    entries: tuple[Done | Mark, ...]
    claim: Claim | None = None
    cut: Problem | None = None
    whole_bytes: int = 0
    notes: Notes = Notes()
    chain: str | None = None
    seed: int | None = None
    """What drew the fault to be found; None in the record of any other job."""

    @property
    def last_tick(self) -> int:
        """The last tick that the record tells of."""
        if self.claim is not None:
            return self.claim.tick
        if not self.entries:
            return 0
        last = self.entries[-1]
        return last.tick + 1 if isinstance(last, Done) else last.tick


# --- writing ---


def header_line(
    job: str, versions: Versions, files: Mapping[str, str], notes: Notes = Notes(), seed: int | None = None
) -> str:
    """The first line.

    >>> print(header_line("first-week/couple", Versions(1, 2, 3), {"a.yaml": "a: 1"}), end="")
    {"attempt":2,"files":{"a.yaml":"a: 1"},"job":"first-week/couple","versions":{"engine":1,"rules":2,\
"scoring":3}}
    """
    header: dict[str, Any] = {
        "attempt": FORMAT,
        "versions": {"engine": versions.engine, "rules": versions.rules, "scoring": versions.scoring},
        "job": job,
        "files": dict(files),
    }
    if seed is not None:
        header["seed"] = seed
    told: dict[str, Any] = {"plan": list(notes.plan)} if notes.plan else {}
    if notes.branch_of:
        told["branch"] = {"of": notes.branch_of, "tick": notes.branch_tick}
    if told:
        header["notes"] = told
    return _line(header)


def action_line(tick: int, action: Action, refused: str, digest: str) -> str:
    """The line of one action.

    >>> print(action_line(4, Action("key", "out"), "", "00ff"), end="")
    {"digest":"00ff","do":"key: out","refused":"","tick":4}
    """
    return _line({"tick": tick, "do": as_line(action), "refused": refused, "digest": digest})


def mark_line(tick: int, digest: str) -> str:
    """The line of a tick at which nothing was done."""
    return _line({"tick": tick, "digest": digest})


def result_line(tick: int, result: Mapping[str, Any]) -> str:
    """The last line."""
    return _line({"tick": tick, "result": result})


def _line(value: Mapping[str, Any]) -> str:
    text = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=True, allow_nan=False)
    return text + "\n"


class Chain:
    """What ties each line of a file to all lines above it. `last` is the chain of the line above."""

    def __init__(self, last: str = "") -> None:
        self.last = last

    def seal(self, line: str) -> str:
        """The line with its chain in it.

        >>> print(Chain().seal(mark_line(1200, "00ff"))[:40], end="")
        {"chain":"e4685165989320cdca174bf1c15574
        """
        self.last = hashlib.sha256(f"{self.last}{line}".encode("ascii")).hexdigest()
        return _line({**json.loads(line), "chain": self.last})


class Writer:
    """Appends lines to an attempt file; each is on the disk before the call returns.

    A write that fails raises OSError and may be tried again: what it left of a line is written over.
    """

    def __init__(self, file: IO[bytes], good_bytes: int = 0) -> None:
        self._file = file
        self._good_bytes = good_bytes

    @classmethod
    def create(cls, path: Path, opener: Callable[[Path, str], IO[bytes]] | None = None) -> Writer:
        """Start a file that must not be there yet; `opener` takes the place of a plain unbuffered open."""
        writer = cls((opener or _unbuffered)(path, "xb"))
        _settle_folder(path.parent)
        return writer

    @classmethod
    def go_on(cls, path: Path, whole_bytes: int, lock: Callable[[int], None]) -> Writer:
        """Go on with a file, dropping what stands after its good part; `lock` gets its descriptor first."""
        file = _unbuffered(path, "r+b")
        try:
            lock(file.fileno())
        except BaseException:
            file.close()
            raise
        file.truncate(whole_bytes)
        return cls(file, whole_bytes)

    def write(self, line: str) -> None:
        """Write one line and wait until it is on the disk."""
        data = memoryview(line.encode("ascii"))
        self._file.seek(self._good_bytes)
        at = 0
        while at < len(data):
            at += self._file.write(data[at:])
        self._file.flush()
        os.fsync(self._file.fileno())
        self._good_bytes += len(data)

    def leads_to(self, path: Path) -> bool:
        """Whether this path still leads to the file that is written; its folder may be gone."""
        try:
            return os.path.samestat(os.stat(path), os.fstat(self.descriptor))
        except OSError:
            return False

    @property
    def closed(self) -> bool:
        return self._file.closed

    @property
    def descriptor(self) -> int:
        return self._file.fileno()

    def close(self) -> None:
        self._file.close()


def _unbuffered(path: Path, mode: str) -> IO[bytes]:
    return open(path, mode, buffering=0)


def _settle_folder(folder: Path) -> None:
    """Make the folder's entry of a new file durable where the system can do that."""
    try:
        descriptor = os.open(folder, os.O_RDONLY)
    except OSError:  # no folder can be opened on this system; its entries are durable there
        return
    try:
        os.fsync(descriptor)
    except OSError:  # nor on this file system
        pass
    finally:
        os.close(descriptor)


def save(path: Path, lines: Iterable[str]) -> None:
    """Write a whole file at once: either all of it is there afterwards or what was there before."""
    beside = path.with_name(path.name + ".part")
    with open(beside, "wb") as file:
        file.write("".join(lines).encode("ascii"))
        file.flush()
        os.fsync(file.fileno())
    os.replace(beside, path)


# --- reading ---


def read(path: Path, name: str | None = None) -> Record:
    """Read an attempt file, or raise a ContentError that says what is wrong and where."""
    name = name if name is not None else str(path)
    start = Place(name, 1, 1)
    try:
        if not path.is_file():
            missing = "this is not a file" if path.exists() else "there is no such file"
            raise _wrong(start, missing, "the name of an attempt file")
        with open(path, "rb") as file:
            data = file.read(MAX_BYTES + 1)
    except (OSError, ValueError):
        raise _wrong(start, "the file cannot be read", "the name of a file you may read") from None
    return parse(data, name)


def parse(data: bytes, name: str) -> Record:
    """Read an attempt from the bytes of its file.

    >>> chain = Chain()
    >>> lines = chain.seal(header_line("a", Versions(1, 1, 1), {}))
    >>> lines += chain.seal(action_line(4, Action("key", "out"), "", "0" * 16))
    >>> record = parse((lines + '{"tick": 7').encode(), "a.jsonl")
    >>> record.entries[0].action, record.last_tick, str(record.cut.place)
    (Action(word='key', thing='out', place='', amount=None), 5, 'a.jsonl:3:1')
    """
    if len(data) > MAX_BYTES:
        raise _wrong(Place(name, 1, 1), f"the file is longer than {MAX_BYTES} bytes", "an attempt file")
    if not data.strip():
        raise _wrong(Place(name, 1, 1), "the file is empty", "an attempt file")
    lines = data.split(b"\n")
    rest = lines.pop()
    if len(lines) + bool(rest) > MAX_LINES:
        raise _wrong(Place(name, MAX_LINES + 1, 1), f"more than {MAX_LINES} lines", "a shorter attempt")
    if not lines:
        raise _wrong(Place(name, 1, 1), "the first line was never finished", "a whole attempt file")
    reader = _Reader(name, lines.pop(0))
    for number, line in enumerate(lines, start=2):
        reader.take(number, line)
    cut = None
    if rest:
        place = Place(name, len(lines) + 2, 1)
        reader.nothing_after_the_result(place)
        cut = Problem(
            place,
            "the last line was never finished: the program was stopped while it wrote it",
            "nothing; the attempt counts up to the line above",
        )
    return reader.record(cut, len(data) - len(rest))


def _wrong(place: Place, message: str, advice: str) -> ContentError:
    return ContentError([Problem(place, message, advice)])


class _Reader:
    """Takes one line after the other and remembers what may still come."""

    def __init__(self, name: str, first: bytes) -> None:
        self._name = name
        line = _Line(name, 1, first, MAX_HEADER_BYTES)
        self._chain = Chain() if _format(line) == FORMAT else None
        chained = self._chained(line)
        self._header = _header(line)
        self._fits(line, chained)
        self._entries: list[Done | Mark] = []
        self._claim: Claim | None = None
        self._free_from = 0  # the first tick that the next line may name

    def record(self, cut: Problem | None, whole_bytes: int) -> Record:
        versions = self._header["versions"]
        return Record(
            self._name,
            self._header["job"],
            Versions(**versions),
            self._header["files"],
            tuple(self._entries),
            self._claim,
            cut,
            whole_bytes,
            self._header["notes"],
            self._chain.last if self._chain is not None else None,
            self._header["seed"],
        )

    def nothing_after_the_result(self, place: Place) -> None:
        if self._claim is not None:
            raise _wrong(place, "a line stands after the result", "the result last")

    def _chained(self, line: _Line) -> bytes:
        """The line as it must stand in the file; its chain is taken out of what is looked at further."""
        if self._chain is None:
            return line.data
        line.value.pop("chain", None)
        return self._chain.seal(_line(line.value)).encode("ascii").rstrip(b"\n")

    def _fits(self, line: _Line, chained: bytes) -> None:
        """Refuse a line that is not, byte for byte, what the chain of the line above it asks for."""
        if line.data == chained:
            return
        if line.data == chained + b"\r":
            raise line.wrong("the line ends as another system ends lines", "the file as it was saved")
        message = "this is not the line that was written here: it was changed, or a line above it is missing"
        raise line.wrong(message, "the file as it was saved", "chain")

    def take(self, number: int, data: bytes) -> None:
        self.nothing_after_the_result(Place(self._name, number, 1))
        line = _Line(self._name, number, data, MAX_LINE_BYTES)
        chained = self._chained(line)
        self._take(line)
        self._fits(line, chained)

    def _take(self, line: _Line) -> None:
        if "attempt" in line.value:
            raise line.wrong("a second header", "one header, in line 1", "attempt")
        if "result" in line.value:
            line.keys(_RESULT_KEYS)
            tick = self._tick(line)
            self._claim = Claim(tick, _result(line), line.place)
        elif "do" in line.value or "refused" in line.value:
            line.keys(_ACTION_KEYS)
            tick = self._tick(line)
            self._entries.append(Done(tick, _action(line), _reason(line), _digest(line), line.place))
            self._free_from = tick + 1
        else:
            line.keys(_MARK_KEYS)
            tick = self._tick(line)
            self._entries.append(Mark(tick, _digest(line), line.place))
            self._free_from = tick

    def _tick(self, line: _Line) -> int:
        tick = line.whole("tick", 0, MAX_TICK)
        if tick < self._free_from:
            raise line.wrong(f"tick {tick} goes backwards", f"a tick from {self._free_from} on", "tick")
        return tick


class _Line:
    """One line as a mapping, with the places of what is in it."""

    def __init__(self, name: str, number: int, data: bytes, most_bytes: int) -> None:
        self.place = Place(name, number, 1)
        self.data = data
        self._text = ""
        if len(data) > most_bytes:
            raise self.wrong(f"the line is longer than {most_bytes} bytes", "a line of an attempt file")
        self._text = text = self._decoded(data)
        advice = 'a line such as {"digest":"...","do":"key: out","refused":"","tick":40}'
        try:
            value = json.loads(
                text,
                object_pairs_hook=self._once,
                parse_constant=self._no_number,
                parse_float=self._no_number,
            )
        except json.JSONDecodeError as error:
            raise _wrong(self._at(error.colno), f"this is not JSON ({error.msg.lower()})", advice) from None
        except (RecursionError, ValueError):  # nested without end; a whole number of thousands of digits
            raise self.wrong("this is not JSON that an attempt file holds", advice) from None
        if not isinstance(value, dict):
            raise self.wrong("this is not a mapping", advice)
        self.value: dict[str, Any] = value

    def _decoded(self, data: bytes) -> str:
        try:
            return data.decode("ascii").rstrip("\r")
        except UnicodeDecodeError as error:
            place = Place(self.place.file, self.place.line, error.start + 1)
            raise _wrong(
                place,
                f"byte {data[error.start]:02X} hex stands here, and an attempt file is plain ASCII",
                "the file as it was saved",
            ) from None

    def _once(self, pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for key, value in pairs:
            if key in found:
                raise self.wrong(f"{_quoted(key)} stands here twice", "each key once", key)
            found[key] = value
        return found

    def _no_number(self, text: str) -> Any:
        raise self.wrong(f"{text[:_SHOWN]} is not a whole number", "a whole number")

    def _at(self, column: int) -> Place:
        """A place in this line that can show it."""
        number = self.place.line
        return Place(self.place.file, number, max(1, column), "\n" * (number - 1) + self._text)

    def where(self, key: str, value: bool = False) -> Place:
        """Place of a key in this line, or of its value; the start of the line where it is not there."""
        written = json.dumps(key)
        start = self._text.find(written)
        if not key or start < 0:
            return self._at(1)
        if value:
            start += len(written)
            while start < len(self._text) - 1 and self._text[start] in ": ":
                start += 1
        return self._at(start + 1)

    def wrong(self, message: str, advice: str, key: str = "", value: bool = False) -> ContentError:
        return _wrong(self.where(key, value), message, advice)

    def keys(self, wanted: Sequence[str], inside: Mapping[str, Any] | None = None) -> None:
        """Refuse a key that does not belong and one that is missing."""
        mapping = self.value if inside is None else inside
        for key in mapping:
            if key not in wanted:
                raise self.wrong(f"{_quoted(key)} is not a key here", " or ".join(wanted), key)
        for key in wanted:
            if key not in mapping:
                raise self.wrong(f"{_quoted(key)} is missing", f'"{key}":...')

    def whole(self, key: str, low: int, high: int) -> int:
        value = self.value[key]
        if isinstance(value, int) and not isinstance(value, bool) and low <= value <= high:
            return value
        message = f"{_quoted(key)} is not a whole number from {low} to {high}"
        raise self.wrong(message, f'"{key}":{low}', key, value=True)

    def text(self, key: str, most: int) -> str:
        value = self.value[key]
        if isinstance(value, str) and len(value) <= most:
            return value
        message = f"{_quoted(key)} is not a text of at most {most} letters"
        raise self.wrong(message, f'"{key}":"..."', key, value=True)


def _quoted(text: str) -> str:
    return f"'{text[:_SHOWN]}{'...' if len(text) > _SHOWN else ''}'"


def _is_whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _format(line: _Line) -> int:
    if "attempt" not in line.value:
        raise line.wrong("the header is missing", f'a first line that starts {{"attempt":{FORMAT},...')
    number = line.value["attempt"]
    if not _is_whole(number) or number not in (UNCHAINED, FORMAT):
        advice = f'"attempt":{FORMAT}, or take a newer program'
        raise line.wrong("this attempt file is of another version", advice, "attempt", True)
    return int(number)


def _header(line: _Line) -> dict[str, Any]:
    line.keys((*_HEADER_KEYS, *(key for key in ("notes", "seed") if key in line.value)))
    line.text("job", 200)
    versions, files = line.value["versions"], line.value["files"]
    if not isinstance(versions, dict):
        raise line.wrong("'versions' is not a mapping", '"versions":{"engine":1,...}', "versions", True)
    line.keys(_VERSION_KEYS, versions)
    for key, number in versions.items():
        if not _is_whole(number) or not 1 <= number <= 1_000_000:
            raise line.wrong(f"the version of {key} is not a whole number", f'"{key}":1', key, True)
    if not isinstance(files, dict) or len(files) > MAX_FILES:
        message = f"'files' is not a mapping of at most {MAX_FILES} files"
        raise line.wrong(message, '"files":{...}', "files", True)
    for key, text in files.items():
        if not isinstance(text, str):
            raise line.wrong(f"the file {_quoted(key)} is not a text", f'"{key[:_SHOWN]}":"..."', key, True)
    seed = line.whole("seed", 0, MAX_SEED) if "seed" in line.value else None
    return {**line.value, "notes": _notes(line), "seed": seed}


def _notes(line: _Line) -> Notes:
    told = line.value.get("notes", {})
    if not isinstance(told, dict):
        raise line.wrong("'notes' is not a mapping", '"notes":{"plan":[...]}', "notes", True)
    for key in told:
        if key not in _NOTES_KEYS:
            raise line.wrong(f"{_quoted(key)} is not a key here", " or ".join(_NOTES_KEYS), key)
    plan = told.get("plan", [])
    if not isinstance(plan, list) or len(plan) > MAX_PLAN or not all(_is_name(step) for step in plan):
        raise line.wrong(f"'plan' is not a list of at most {MAX_PLAN} steps", '"plan":["..."]', "plan", True)
    if "branch" not in told:
        return Notes(tuple(plan))
    branch = told["branch"]
    if not isinstance(branch, dict):
        raise line.wrong("'branch' is not a mapping", '"branch":{"of":"...","tick":0}', "branch", True)
    line.keys(_BRANCH_KEYS, branch)
    of, tick = branch["of"], branch["tick"]
    if not _is_name(of) or not _is_whole(tick) or not 0 <= tick <= MAX_TICK:
        message = "'branch' does not name a record and a tick of it"
        raise line.wrong(message, '"branch":{"of":"...","tick":0}', "branch", True)
    return Notes(tuple(plan), of, tick)


def _is_name(value: object) -> bool:
    return isinstance(value, str) and 0 < len(value) <= 200


def _action(line: _Line) -> Action:
    text = line.text("do", 200)
    try:
        return from_line(text)
    except NotAnAction as error:
        message, _, advice = str(error).partition(". Write: ")
        raise line.wrong(message, advice, "do", value=True) from None


def _reason(line: _Line) -> str:
    return line.text("refused", 80)


def _digest(line: _Line) -> str:
    digest = line.text("digest", 64)
    if not digest or digest.strip("0123456789abcdef"):
        advice = '"digest":"0123456789abcdef"'
        raise line.wrong("'digest' is not in hexadecimal digits", advice, "digest", True)
    return digest


def _result(line: _Line) -> dict[str, Any]:
    result = line.value["result"]
    if not isinstance(result, dict):
        raise line.wrong("'result' is not a mapping", '"result":{"ended":...}', "result", True)
    line.keys(_SCORE_KEYS, result)
    if not _is_whole(result["points"]):
        raise line.wrong("'points' is not a whole number", '"points":0', "points", True)
    if not isinstance(result["passed"], bool):
        raise line.wrong("'passed' is neither true nor false", '"passed":false', "passed", True)
    if not isinstance(result["ended"], str):
        raise line.wrong("'ended' is not a text", '"ended":"..."', "ended", True)
    findings = result["findings"]
    if not isinstance(findings, list) or len(findings) > MAX_FINDINGS:
        message = f"'findings' is not a list of at most {MAX_FINDINGS}"
        raise line.wrong(message, '"findings":[]', "findings", True)
    for number, finding in enumerate(findings, start=1):
        if not isinstance(finding, dict):
            raise line.wrong(f"finding {number} is not a mapping", '"findings":[{...}]', "findings", True)
        line.keys(_FINDING_KEYS, finding)
        for key, value in finding.items():
            if not (_is_whole(value) if key in _WHOLE_IN_FINDING else isinstance(value, str)):
                wanted = "a whole number" if key in _WHOLE_IN_FINDING else "a text"
                raise line.wrong(f"'{key}' of finding {number} is not {wanted}", wanted, key, True)
    return result
