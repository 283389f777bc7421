"""What all commands share: the application with its language, the shapes of results, and bad input."""

from __future__ import annotations

import inspect
import json
import math
import sys
from collections.abc import Callable
from contextvars import ContextVar
from enum import StrEnum
from functools import wraps
from pathlib import Path
from typing import Annotated, Any, NoReturn

import typer

from trainer.authoring.translation import load_texts
from trainer.lang import Texts, chosen, languages, system_tags
from trainer.records import settings

WIDE = 160  # columns for a table with sources; what no terminal shows is never narrower
asked_language: ContextVar[str] = ContextVar("asked_language", default="")
"""The language this command line asks for; '' where it asks for none."""


def _speak(code: str | None) -> str | None:
    if code is not None:
        known = languages()
        if code not in known:
            listed = ", ".join(f"{each} ({name})" for each, name in known.items())
            raise typer.BadParameter(f"there is no language '{code}'. Write: {listed}")
        asked_language.set(code)
    return code


Language = Annotated[
    str | None,
    typer.Option(
        "--language",
        metavar="CODE",
        callback=_speak,
        is_eager=True,
        help=f"Language of what is shown: {', '.join(languages())}.",
    ),
]


class _App(typer.Typer):
    """Every command takes `--language`, before its name or behind it."""

    def command(self, name: str | None = None, **given: Any) -> Callable[[Any], Any]:
        register = super().command(name, **given)

        def with_language(function: Any) -> Any:
            @wraps(function)
            def spoken(*args: Any, language: str | None = None, **named: Any) -> Any:
                del language  # taken by its callback
                return function(*args, **named)

            asked = inspect.Parameter(
                "language", inspect.Parameter.KEYWORD_ONLY, default=None, annotation=Language
            )
            signature = inspect.signature(function, eval_str=True)
            parameters = [*signature.parameters.values(), asked]
            spoken.__signature__ = signature.replace(parameters=parameters)  # type: ignore[attr-defined]
            spoken.__annotations__ = {each.name: each.annotation for each in parameters}
            register(spoken)
            return function

        return with_language


app = _App(add_completion=False, pretty_exceptions_enable=False, rich_markup_mode=None)


class Format(StrEnum):
    """How results come out."""

    text = "text"
    json = "json"


class Unusable(Exception):
    """Input that cannot be used; the message says what and what to write instead."""


Formatted = Annotated[Format, typer.Option("--format", help="Text to read, or JSON for another program.")]
JobName = Annotated[
    str, typer.Argument(metavar="JOB", help="A job by name, as `jobs` lists them, or its file.")
]
AttemptFile = Annotated[Path, typer.Argument(metavar="ATTEMPT", help="An attempt file.")]


def fail(message: str) -> NoReturn:
    print(message, file=sys.stderr)
    sys.exit(1)


def finite(value: Any) -> Any:
    """A tree of values with None in place of what JSON has no number for."""
    if isinstance(value, dict):
        return {key: finite(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [finite(each) for each in value]
    return None if isinstance(value, float) and not math.isfinite(value) else value


def texts_for(job: str = "") -> Texts:
    """Texts in the language asked for, else the one kept in the settings, else the system's; with what lies
    beside a job's file for its own texts."""
    path = Path(job)
    beside = path if job and path.is_file() else None
    return load_texts(chosen(asked_language.get(), settings.load().settings.language, system_tags()), beside)


def print_json(value: Any) -> None:
    print(json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False))


class writing:  # noqa: N801 (reads as a word in a with statement)
    """Turns a file that cannot be written into a message."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def __enter__(self) -> None:
        return None

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: object) -> None:
        if isinstance(error, FileExistsError):
            raise Unusable(
                f"{self._path}:1:1: this is there already. Write: the name of a new folder"
            ) from None
        if isinstance(error, OSError):
            raise Unusable(
                f"{self._path}:1:1: this cannot be written. Write: a place you may write to"
            ) from None
