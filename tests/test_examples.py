"""Every example in a docstring runs, and every formula page of the core has examples to run."""

import ast
import doctest
import importlib
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).resolve().parent.parent
PACKAGE = REPOSITORY / "trainer"

# The pages on which a calculation stands that other pages, and other people, look up.
PAGES = ("units", "hydraulics", "linkage", "balance", "driveline", "electrics", "seeding", "hoses")


def modules_with_examples() -> list[str]:
    found = [path for path in sorted(PACKAGE.rglob("*.py")) if ">>> " in path.read_text("utf-8")]
    return [".".join(path.relative_to(REPOSITORY).with_suffix("").parts) for path in found]


def functions_without(page: Path, sign: str) -> list[str]:
    return [
        f"{page.name}:{node.lineno}: {node.name}"
        for node in ast.parse(page.read_text("utf-8")).body
        if isinstance(node, ast.FunctionDef)
        and not node.name.startswith("_")
        and sign not in (ast.get_docstring(node) or "")
    ]


@pytest.mark.parametrize("name", modules_with_examples())
def test_the_examples_run(name: str) -> None:
    module = importlib.import_module(name.removesuffix(".__init__"))
    result = doctest.testmod(module, optionflags=doctest.ELLIPSIS)
    assert result.attempted > 0
    assert result.failed == 0


@pytest.mark.parametrize("page", PAGES)
def test_every_calculation_shows_an_example(page: str) -> None:
    assert not functions_without(PACKAGE / "core" / f"{page}.py", ">>> ")


def test_every_module_says_what_it_is_for() -> None:
    sources = sorted(PACKAGE.rglob("*.py"))
    assert sources
    assert not [str(path) for path in sources if not ast.get_docstring(ast.parse(path.read_text("utf-8")))]
