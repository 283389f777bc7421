"""Every module says what it is for, and the examples outside the core run; the core has a test of its own."""

import ast
import doctest
import importlib
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).resolve().parent.parent
PACKAGE = REPOSITORY / "trainer"
SOURCES = sorted(PACKAGE.rglob("*.py"))


def modules_with_examples() -> list[str]:
    found = [path.relative_to(REPOSITORY) for path in SOURCES if ">>> " in path.read_text("utf-8")]
    names = [".".join(path.with_suffix("").parts).removesuffix(".__init__") for path in found]
    return [name for name in names if not name.startswith("trainer.core")]


@pytest.mark.parametrize("name", modules_with_examples())
def test_the_examples_run(name: str) -> None:
    result = doctest.testmod(importlib.import_module(name))
    assert result.attempted > 0
    assert result.failed == 0


def test_every_module_says_what_it_is_for() -> None:
    assert SOURCES
    assert not [str(path) for path in SOURCES if not ast.get_docstring(ast.parse(path.read_text("utf-8")))]
