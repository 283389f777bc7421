"""Content in the language of the reader: applied when it is shown, never when it is judged or recorded.

Authors write English. `scenarios/lang/<code>.yaml` maps each English text to its translation (see
`lang.phrases`); a folder of one's own may bring a `lang/<code>.yaml` beside its jobs. A translated `Job`
plays and grades as the original does: only what is read differs, and its record carries the original files.
"""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any, Final, TypeVar

from trainer.authoring.compile import Job
from trainer.authoring.source import (
    ContentError,
    ListNode,
    MapNode,
    Node,
    Place,
    Problem,
    Scalar,
    read_source,
)
from trainer.content import content_root
from trainer.core.actions import WORDS
from trainer.core.attempt import Attempt
from trainer.lang import FALLBACK, Texts, flat
from trainer.lang.phrases import Phrases, gaps_of, numbered

READ_KEYS: Final = frozenset({"title", "text", "lines", "why", "source"})
"""Keys of content files whose texts are read by a trainee; below `titled` stand several."""
_TITLED: Final = "titled"
_FOR_WHOM: Final = frozenset({"when", "each"})
"""What says for which pairs a text is there; nobody reads it."""
_SHOWN_FIELDS: Final = frozenset({"title", "text", "lines", "why", "symptom"})
_FOLDER: Final = "lang"
_NOT_READ: Final = ("reference", "templates", _FOLDER)
_HOW_FAR_UP: Final = 4  # from a job's file to the folder that holds its jobs, machines and `lang`
_Shown = TypeVar("_Shown")


def load_texts(language: str = FALLBACK, beside: Path | None = None, root: Path | None = None) -> Texts:
    """The texts of a language, with what it has for the content: the shipped file's, then those of the
    folders that hold `beside` (a job's file), the nearest last.

    Raises ContentError where a file of phrases cannot be read, with the place.

    >>> load_texts("es").translated("Look round the pair")
    'Revisar alrededor de las dos máquinas'
    """
    texts = Texts.load(language)
    if language == FALLBACK:
        return texts
    shipped = (content_root() if root is None else root) / "scenarios" / _FOLDER / f"{language}.yaml"
    table: dict[str, str] = {}
    if shipped.is_file():  # held against its rules by a test, so that the window need not do it at each start
        table.update(flat(shipped.read_text("utf-8")))
    for path in _own_files(language, beside, shipped) if beside is not None else ():
        table.update(read_phrases(path))
    texts.phrases = Phrases({source: put for source, put in table.items() if put.strip()})
    return texts


def _own_files(language: str, beside: Path, shipped: Path) -> Iterator[Path]:
    for folder in reversed(beside.resolve().parents[:_HOW_FAR_UP]):
        path = folder / _FOLDER / f"{language}.yaml"
        if path.is_file() and path.resolve() != shipped.resolve():
            yield path


def read_phrases(origin: Path | str, name: str | None = None) -> dict[str, str]:
    """Read a file of phrases: a mapping from English texts to their translations.

    >>> read_phrases('"Weight: {1}": "Peso: {1}"', "es.yaml")
    {'Weight: {1}': 'Peso: {1}'}
    >>> try:
    ...     read_phrases('"Weight: {1}": "Peso"', "es.yaml")
    ... except ContentError as error:
    ...     print(error.problems[0].message)
    the translation has not the gaps of the text: {1}
    """
    node = read_source(origin, name)
    if not isinstance(node, MapNode):
        raise _fault(node.place, "this is no mapping of texts", '"Hitch card": "Ficha del enganche"')
    table: dict[str, str] = {}
    for source in node.keys():  # noqa: SIM118  no dict
        put = node.get(source)
        if not isinstance(put, Scalar):
            place = put.place if put is not None else node.place
            raise _fault(place, "a translation is one text", '"Hitch card": "Ficha del enganche"')
        gaps = gaps_of(source)
        if gaps_of(put.text) != gaps:
            listed = ", ".join(f"{{{gap}}}" for gap in gaps) or "none"
            if not put.text.strip():
                continue  # still to be written
            raise _fault(put.place, f"the translation has not the gaps of the text: {listed}", f'"{source}"')
        table[source] = put.text
    return table


def _fault(place: Place, message: str, advice: str) -> ContentError:
    return ContentError([Problem(place, message, advice)])


def translated(job: Job, texts: Texts) -> Job:
    """The job with everything a trainee reads in it put over; the same job in English.

    >>> from trainer.authoring.compile import load_job
    >>> job = load_job("first-week/couple")
    >>> translated(job, load_texts("es")).case.title, translated(job, load_texts("en")) == job
    ('Acoplar la sembradora', True)
    """
    if not texts.phrases.table:
        return job
    slips = tuple(put_over(slip, texts) for slip in job.slips)
    return dataclasses.replace(job, case=put_over(job.case, texts), slips=slips)


def show_in(job: Job, attempt: Attempt, texts: Texts) -> Job:
    """A translated job, and an attempt at it that tells what is in it in the same words from here on."""
    shown = translated(job, texts)
    attempt.case = shown.case
    return shown


def put_over(value: _Shown, texts: Texts) -> _Shown:
    """A copy of a dataclass (a case, a slip) with the texts in it, at any depth, put over."""
    changed: dict[str, Any] = {}
    for field in dataclasses.fields(value):  # type: ignore[arg-type]
        old = getattr(value, field.name)
        new = _field(field.name, old, texts)
        if new != old:
            changed[field.name] = new
    return dataclasses.replace(value, **changed) if changed else value  # type: ignore[type-var]


def _field(name: str, value: Any, texts: Texts) -> Any:
    if isinstance(value, str):
        return texts.translated(value) if name in _SHOWN_FIELDS else value
    if isinstance(value, tuple):
        return tuple(_field(name, each, texts) for each in value)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return put_over(value, texts)
    return value


# --- what there is to translate ----------------------------------------------------------------------------


def course_title(course: str) -> str:
    """A course's folder name as words.

    >>> course_title("first-week")
    'First week'
    """
    return course.replace("-", " ").capitalize()


def readable(files: Mapping[str, str]) -> Iterator[tuple[str, Place]]:
    """Each English text in content files (name within `scenarios/` -> content) with its place, each once;
    the names of courses too.

    >>> list(readable({"jobs/first-week/x.yaml": "title: Couple it"}))[0]
    ('First week', Place(file='jobs/first-week/x.yaml', line=1, column=1))
    """
    told: set[str] = set()
    for name, content in files.items():
        first = Place(name, 1, 1, content)
        parts = name.split("/")
        in_course = parts[0] == "jobs" and len(parts) > 2
        heads = [(course_title("/".join(parts[1:-1])), first)] if in_course else []
        for text, place in (*heads, *_texts_in(read_source(content, name), False)):
            if numbered(text) not in told and any(letter.isalpha() for letter in text):
                told.add(numbered(text))
                yield text, place


def _texts_in(node: Node, read: bool) -> Iterator[tuple[str, Place]]:
    if isinstance(node, Scalar):
        if read:
            yield node.text, node.place
    elif isinstance(node, ListNode):
        for each in node:
            yield from _texts_in(each, read)
    else:
        for key in node.keys():  # noqa: SIM118  no dict
            below = node.get(key)
            if below is not None:
                here = key in READ_KEYS and not isinstance(below, MapNode)
                yield from _texts_in(below, here or key == _TITLED or (read and key not in _FOR_WHOM))


def words_said() -> list[str]:
    """What the action words do, in English, as `coupling-yard actions` lists it."""
    return [word.says for word in WORDS.values() if word.says]


@dataclasses.dataclass(frozen=True, slots=True)
class Untranslated:
    """A text of the content that a language does not have, and where it stands."""

    text: str
    place: Place

    def to_json(self) -> dict[str, str | int]:
        """Return as plain values for `json.dumps`."""
        return {
            "file": self.place.file,
            "line": self.place.line,
            "column": self.place.column,
            "text": numbered(self.text),
        }


def to_write(lacking: Iterable[Untranslated]) -> str:
    """What a language lacks as lines to put into its file: the place of each, the text, and room behind it.

    >>> print(to_write([Untranslated("Weight: {mass as 1 kg}", Place("jobs/x.yaml", 3, 10))]))
    # jobs/x.yaml:3:10
    "Weight: {1}": ""
    """
    return "\n".join(
        f'# {each.place}\n{json.dumps(numbered(each.text), ensure_ascii=False)}: ""' for each in lacking
    )


def untranslated(files: Mapping[str, str], texts: Texts) -> list[Untranslated]:
    """What a language lacks for these content files; nothing where it is the authors' own.

    >>> [each.text for each in untranslated({"a.yaml": "title: Winch of the moon"}, load_texts("es"))]
    ['Winch of the moon']
    """
    if texts.language == FALLBACK:
        return []
    said = ((text, Place("trainer/core/actions.py", 1, 1)) for text in words_said())
    every: Iterable[tuple[str, Place]] = (*readable(files), *said)
    return [Untranslated(text, place) for text, place in every if not texts.phrases.knows(text)]


def content_files(root: Path | None = None) -> dict[str, str]:
    """All content files a trainee reads from, by name within `scenarios/`."""
    base = (content_root() if root is None else root) / "scenarios"
    found = {}
    for path in sorted(base.rglob("*.yaml")):
        name = path.relative_to(base).as_posix()
        if name.partition("/")[0] not in _NOT_READ:
            found[name] = path.read_text("utf-8")
    return found
