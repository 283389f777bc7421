"""The qualification table as one page to print: HTML that needs nothing from outside."""

from __future__ import annotations

from pathlib import Path

from trainer.authoring.qualify import MODELS, STANDINGS, Qualification
from trainer.lang import Texts
from trainer.records.pages import template
from trainer.records.replay import NOW


def write(path: Path, table: Qualification, texts: Texts) -> None:
    """Write the table to a file."""
    path.write_text(render(table, texts), "utf-8")


def render(table: Qualification, texts: Texts) -> str:
    """The table, and every source with its standing, as the text of an HTML page.

    The same table gives the same page.
    """
    return template("qualification.html.j2").render(
        language=texts.language,
        say=texts.say,
        table=table,
        models=MODELS,
        standings=STANDINGS,
        versions=NOW,
    )
