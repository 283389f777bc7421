"""Every public function of the core says what it takes and gives, and the examples shown there are run."""

import ast
import doctest
import importlib
import inspect
import pkgutil
from collections.abc import Iterator
from types import FunctionType

import pytest

import trainer.core

PHYSICS = ("hydraulics", "linkage", "balance", "driveline", "electrics", "seeding", "hoses")
MODULES = sorted(
    module.name for module in pkgutil.walk_packages(trainer.core.__path__, prefix="trainer.core.")
)


def public_functions(name: str) -> Iterator[tuple[str, FunctionType]]:
    module = importlib.import_module(name)
    for label, member in vars(module).items():
        # A kept answer (lru_cache) wraps the function that carries the docstring.
        function = inspect.unwrap(member) if callable(member) else member
        if not label.startswith("_") and inspect.isfunction(function) and function.__module__ == name:
            yield label, function


def without_example(name: str) -> list[str]:
    """Public functions of a module without an example that calls them by name."""
    missing = []
    for label, function in public_functions(name):
        examples = doctest.DocTestParser().get_examples(inspect.getdoc(function) or "")
        called = {
            node.func.id
            for example in examples
            for node in ast.walk(ast.parse(example.source))
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
        }
        if label not in called:
            missing.append(f"{name}.{label}")
    return missing


def test_the_walk_finds_the_physics() -> None:
    assert {f"trainer.core.{name}" for name in PHYSICS} <= set(MODULES)
    assert len(list(public_functions("trainer.core.hydraulics"))) > 30


@pytest.mark.parametrize("name", MODULES)
def test_every_public_function_has_a_docstring(name: str) -> None:
    silent = [label for label, function in public_functions(name) if not inspect.getdoc(function)]
    assert not silent, f"{name} says nothing about {', '.join(silent)}"


@pytest.mark.parametrize("name", PHYSICS)
def test_every_public_function_of_the_physics_shows_an_example_of_itself(name: str) -> None:
    assert without_example(f"trainer.core.{name}") == []


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_hold(name: str) -> None:
    results = doctest.testmod(importlib.import_module(name), optionflags=doctest.FAIL_FAST)
    assert results.failed == 0, f"{results.failed} of {results.attempted} examples fail, see above"


@pytest.mark.parametrize(
    "docstring", [None, "Return the area.", ">>> 2 + 2\n4", ">>> area_of_something_else(2.0)\n4.0"]
)
def test_a_function_without_an_example_of_itself_is_found(
    docstring: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    def bare_area_m2(side_m: float) -> float:
        return side_m * side_m

    bare_area_m2.__doc__ = docstring
    bare_area_m2.__module__ = "trainer.core.hydraulics"
    monkeypatch.setattr("trainer.core.hydraulics.bare_area_m2", bare_area_m2, raising=False)
    assert without_example("trainer.core.hydraulics") == ["trainer.core.hydraulics.bare_area_m2"]
