"""The scored core against figures from outside: textbooks, tables, libraries and the trade.

``check_values.yaml`` says what each entry means and how far it can be trusted.
"""

import importlib
import math
import re
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
import yaml

DATA = yaml.safe_load((Path(__file__).parent / "check_values.yaml").read_text("utf-8"))
CHECKS: list[dict[str, Any]] = DATA["checks"]
MODULES = ("hydraulics", "linkage", "balance", "driveline", "electrics", "seeding", "hoses")
FROM_OUTSIDE = frozenset({"published", "book", "library", "practice"})
STANDINGS = FROM_OUTSIDE | {"memory", "derived"}

INCH, FOOT, POUND, GALLON, GRAVITY = 0.0254, 0.3048, 0.45359237, 3.785411784e-3, 9.80665
# Exact by definition, except the BTU (International Table).
UNITS = {
    "mm": 1e-3, "m": 1.0, "in": INCH, "ft": FOOT, "/ft": 1.0 / FOOT, "/acre": 1.0 / 4046.8564224,
    "in2": INCH**2, "in3": INCH**3, "cm3": 1e-6, "L": 1e-3,
    "L/min": 1e-3 / 60, "gal/min": GALLON / 60, "rev/min": 1.0 / 60, "deg": math.pi / 180,
    "in/s": INCH, "ft/s": FOOT, "mph": 5280 * FOOT / 3600, "mm2/s": 1e-6, "in2/s": INCH**2,
    "bar": 1e5, "psi": POUND * GRAVITY / INCH**2, "lbf": POUND * GRAVITY, "lbf/in": POUND * GRAVITY / INCH,
    "kN": 1e3, "kW": 1e3, "hp": 550 * FOOT * POUND * GRAVITY, "kg/m3": 1.0,
    "BTU/lb/degF": 1055.05585262 / POUND * 1.8, "delta_degF": 1.0 / 1.8, "min": 60.0, "%": 0.01,
}  # fmt: skip
QUANTITY = re.compile(r"([-+]?\d+(?:\.\d+)?(?:e[-+]?\d+)?) ([^\s].*)")


def in_si(text: str) -> float | None:
    found = QUANTITY.fullmatch(text)
    return float(found[1]) * UNITS[found[2]] if found else None


def value_of(entry: Any) -> Any:
    if isinstance(entry, str):
        quantity = in_si(entry)
        return entry if quantity is None else quantity
    if isinstance(entry, list):
        return tuple(value_of(part) for part in entry)
    if not isinstance(entry, dict):
        return entry
    if "given" in entry:
        made = value_of(DATA["given"][entry["given"]])
    elif "constant" in entry:
        made = core_name(entry["constant"])
    else:
        inputs = entry["with"]
        function = core_name(entry["call"])
        if isinstance(inputs, dict):
            made = function(**{name: value_of(part) for name, part in inputs.items()})
        else:
            made = function(*(value_of(part) for part in inputs))
    if "item" in entry:
        made = made[entry["item"]]
    return getattr(made, entry["field"]) if "field" in entry else made


def core_name(dotted: str) -> Any:
    module, _, name = dotted.partition(".")
    assert module in MODULES
    return getattr(importlib.import_module(f"trainer.core.{module}"), name)


def allowed(check: dict[str, Any]) -> float:
    """How far the core may be from the expected value, in SI."""
    expected, tolerance = value_of(check["is"]["value"]), check["is"]["within"]
    if tolerance == "exact":
        return 1e-9 * abs(expected)
    if isinstance(tolerance, str) and tolerance.endswith(" %"):
        return float(tolerance.removesuffix(" %")) / 100 * abs(expected)
    return float(value_of(tolerance))


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check["quantity"])
def test_the_core_agrees_with(check: dict[str, Any]) -> None:
    made, expected = value_of(check["of"]), value_of(check["is"]["value"])
    assert made == pytest.approx(expected, rel=0, abs=allowed(check)), (
        f"{check['is']['standing']}: {check['is']['source']}"
    )


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check["quantity"])
def test_a_check_is_tight_enough_to_fail(check: dict[str, Any]) -> None:
    expected = value_of(check["is"]["value"])
    assert expected != 0
    # The widest is a published figure given to half a step of its last digit.
    assert 0 < allowed(check) <= 0.09 * abs(expected)


def test_there_are_enough_checks_and_enough_of_them_from_outside() -> None:
    standing = Counter(check["is"]["standing"] for check in CHECKS)
    assert standing.total() >= 45
    assert sum(standing[name] for name in FROM_OUTSIDE) >= 30
    assert standing["book"] >= 20
    assert standing["published"] >= 10
    assert standing["library"] >= 5


def test_every_check_names_its_quantity_once_its_standing_and_its_source() -> None:
    names = Counter(check["quantity"] for check in CHECKS)
    assert [name for name, times in names.items() if times > 1] == []
    assert {check["is"]["standing"] for check in CHECKS} <= STANDINGS
    assert all(check["is"]["source"].strip() for check in CHECKS)


def test_every_textbook_check_names_a_book_and_an_example() -> None:
    books = "|".join(DATA["books"])
    sources = [check["is"]["source"] for check in CHECKS if check["is"]["standing"] == "book"]
    assert [source for source in sources if not re.match(rf"({books}) ex\. \d+\.\d+", source)] == []


def test_every_module_with_figures_of_its_own_is_checked() -> None:
    named = re.findall(r"\b(\w+)\.\w+", " ".join(str(check) for check in CHECKS))
    assert set(MODULES) - {"hoses"} <= set(named)
