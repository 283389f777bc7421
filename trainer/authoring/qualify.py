"""The qualification table: the scored core's physics beside reference data, within stated tolerances.

`scenarios/reference/check_values.yaml` says of which functions of the core, and with which inputs, a figure
is worked out, and what it is by a source outside the program. Here that file is read and every figure worked
out with the very functions the yard runs on. Nothing in the file executes: a function or a constant is looked
up by name among what the physics modules make public, and an input is a number, a quantity with a unit, a
word, a list, or another such call.

>>> table = qualify(read_reference())
>>> table.ok, len(table.rows) > 70
(True, True)
"""

from __future__ import annotations

import inspect
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType, ModuleType
from typing import Any, Final

from trainer.authoring.quantities import Refused, quoted
from trainer.authoring.reader import Reader, read_as
from trainer.authoring.source import ListNode, MapNode, Place, Scalar
from trainer.content import content_root
from trainer.core import (
    accumulators,
    balance,
    driveline,
    electrics,
    hoses,
    hydraulics,
    linkage,
    seeding,
    wiring,
)

PHYSICS: Final[Mapping[str, ModuleType]] = MappingProxyType(
    {
        "hydraulics": hydraulics,
        "accumulators": accumulators,
        "linkage": linkage,
        "balance": balance,
        "driveline": driveline,
        "electrics": electrics,
        "wiring": wiring,
        "seeding": seeding,
        "hoses": hoses,
    }
)
"""The modules whose public names the file may call."""

MODELS: Final = (
    "pump",
    "valve_sections",
    "motor_and_case",
    "cylinder",
    "lines_and_couplers",
    "oil",
    "heat",
    "trapped_oil",
    "accumulators",
    "hose_lie",
    "linkage",
    "sway",
    "balance_and_lift",
    "pto_joint_and_turning",
    "wiring_and_bus",
    "seeding_and_speed",
)
"""What is qualified, in the order of the table."""

OUTSIDE: Final = ("published", "book", "library", "practice")
"""Standings of figures that come from outside the program."""
STANDINGS: Final = (*OUTSIDE, "memory", "derived")

_ROUNDING: Final = 1e-9
_INCH, _FOOT, _POUND, _GALLON, _GRAVITY = 0.0254, 0.3048, 0.45359237, 3.785411784e-3, 9.80665
UNITS: Final[Mapping[str, float]] = MappingProxyType(
    {
        "mm": 1e-3, "m": 1.0, "in": _INCH, "ft": _FOOT, "/ft": 1.0 / _FOOT, "/acre": 1.0 / 4046.8564224,
        "in2": _INCH**2, "in3": _INCH**3, "cm3": 1e-6, "L": 1e-3,
        "L/min": 1e-3 / 60, "gal/min": _GALLON / 60, "rev/min": 1.0 / 60, "deg": math.pi / 180,
        "in/s": _INCH, "ft/s": _FOOT, "mph": 5280 * _FOOT / 3600, "mm2/s": 1e-6, "in2/s": _INCH**2,
        "bar": 1e5, "psi": _POUND * _GRAVITY / _INCH**2, "lbf": _POUND * _GRAVITY,
        "lbf/in": _POUND * _GRAVITY / _INCH, "kN": 1e3, "kW": 1e3, "hp": 550 * _FOOT * _POUND * _GRAVITY,
        "kg/m3": 1.0, "BTU/lb/degF": 1055.05585262 / _POUND * 1.8, "delta_degF": 1.0 / 1.8, "min": 60.0,
        "s": 1.0, "%": 0.01,
    }
)  # fmt: skip
"""Units a figure may be written in, and what one of each is in SI (turns in rev/s). Exact by definition, the
BTU being that of the International Table."""

_AMOUNT = re.compile(r"([-+]?\d+(?:\.\d+)?(?:e[-+]?\d+)?)(?: (\S.*))?")
_WORD = re.compile(r"[a-z][a-z0-9_]*")
_SHARE = re.compile(r"(\d+(?:\.\d+)?) %")


@dataclass(frozen=True, slots=True)
class Source:
    """Where figures come from: a book, a standard's table, a library with its version, the trade."""

    name: str
    title: str
    remark: str


@dataclass(frozen=True, slots=True)
class Amount:
    """A figure in SI as it was written; `unit` is '' for a bare number."""

    value_si: float
    unit: str

    @property
    def one_si(self) -> float:
        """What one of the unit is in SI."""
        return UNITS[self.unit] if self.unit else 1.0


@dataclass(frozen=True, slots=True)
class Call:
    """A public name of a physics module with its inputs, and what is picked out of what it gives.

    `by_place` and `by_name` hold the inputs; both are None for a constant of the module.
    """

    module: str
    name: str
    by_place: tuple[Term, ...] | None
    by_name: tuple[tuple[str, Term], ...] | None
    item: int | None
    field: str | None


@dataclass(frozen=True, slots=True)
class Given:
    """One of the file's `given` things, and what is picked out of it."""

    name: str
    item: int | None
    field: str | None


Term = Amount | str | tuple["Term", ...] | Call | Given
"""An input: a figure, a word, a list of inputs, or something worked out first."""


@dataclass(frozen=True, slots=True)
class Check:
    """One line of the file: what is worked out, what it is by its source, and how near the two must be."""

    model: str
    quantity: str
    of: Term
    value: Amount
    within: str
    tolerance_si: float
    standing: str
    source: str
    at: str
    place: Place


@dataclass(frozen=True, slots=True)
class Reference:
    """The whole file, read."""

    sources: tuple[Source, ...]
    given: tuple[tuple[str, Term], ...]
    checks: tuple[Check, ...]

    def source(self, name: str) -> Source:
        """The source of that name."""
        return next(source for source in self.sources if source.name == name)


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table. `model_si` is not a number where the core refused the inputs."""

    check: Check
    source: Source
    model_si: float

    @property
    def difference_si(self) -> float:
        return self.model_si - self.check.value.value_si

    @property
    def ok(self) -> bool:
        return abs(self.difference_si) <= self.check.tolerance_si

    @property
    def share(self) -> float:
        """The difference as a share of what is allowed; infinite where there is no figure."""
        share = abs(self.difference_si) / self.check.tolerance_si
        return math.inf if math.isnan(share) else share

    def shown(self, value_si: float, digits: int = 6) -> str:
        """A figure of this row in the unit of its reference."""
        number = f"{value_si / self.check.value.one_si:.{digits}g}"
        return f"{number} {self.check.value.unit}".rstrip()

    @property
    def cited(self) -> str:
        """The source with the place in it."""
        return ", ".join(part for part in (self.source.title, self.check.at) if part)


@dataclass(frozen=True, slots=True)
class SourceUse:
    """A source with the standings under which figures are taken from it, and how many of each."""

    source: Source
    standings: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Qualification:
    """All lines of the table, in the order of the models."""

    rows: tuple[Row, ...]

    @property
    def ok(self) -> bool:
        return all(row.ok for row in self.rows)

    @property
    def failed(self) -> tuple[Row, ...]:
        return tuple(row for row in self.rows if not row.ok)

    def of_model(self, model: str) -> tuple[Row, ...]:
        return tuple(row for row in self.rows if row.check.model == model)

    def standings(self, model: str = "") -> dict[str, int]:
        """How many lines there are of each standing, of one model or of all."""
        rows = self.of_model(model) if model else self.rows
        return {name: len([row for row in rows if row.check.standing == name]) for name in STANDINGS}

    def from_outside(self, model: str = "") -> int:
        """How many lines hold a model (or all) against a figure from outside."""
        counted = self.standings(model)
        return math.floor(math.fsum(counted[name] for name in OUTSIDE))

    def sources(self) -> tuple[SourceUse, ...]:
        """Every source with its standings, the strongest standing first."""
        used: dict[Source, dict[str, int]] = {}
        for row in self.rows:
            counts = used.setdefault(row.source, {})
            counts[row.check.standing] = counts.get(row.check.standing, 0) + 1
        uses = [
            SourceUse(source, tuple((name, counts[name]) for name in STANDINGS if name in counts))
            for source, counts in used.items()
        ]
        return tuple(
            sorted(uses, key=lambda use: (STANDINGS.index(use.standings[0][0]), use.source.title.lower()))
        )

    def to_json(self) -> dict[str, Any]:
        """The table as plain values; figures in SI, not a number where there is none."""
        return {
            "qualified": self.ok,
            "rows": [
                {
                    "model_of": row.check.model,
                    "quantity": row.check.quantity,
                    "model": row.shown(row.model_si),
                    "reference": row.shown(row.check.value.value_si),
                    "model_si": row.model_si,
                    "reference_si": row.check.value.value_si,
                    "difference_si": row.difference_si,
                    "tolerance_si": row.check.tolerance_si,
                    "tolerance": row.check.within,
                    "within": row.ok,
                    "source": row.cited,
                    "standing": row.check.standing,
                }
                for row in self.rows
            ],
            "sources": [
                {"source": use.source.title, "remark": use.source.remark, "used_as": dict(use.standings)}
                for use in self.sources()
            ],
        }


def reference_file() -> Path:
    """Where the reference data lie."""
    return content_root() / "scenarios" / "reference" / "check_values.yaml"


def read_reference(origin: Path | str | None = None, name: str | None = None) -> Reference:
    """Read reference data from a file, or from their text; without either, from the file that comes along.

    Raises ContentError with every place where something is wrong.

    >>> read_reference('''
    ... sources: {table: {title: A table}}
    ... checks:
    ...   - quantity: flow of a pump
    ...     model: pump
    ...     of: {call: hydraulics.pump_flow, with: [60 cm3, 2200 rev/min, 0.95]}
    ...     is: {value: 125.4 L/min, within: 0.1 %, standing: published, source: table}
    ... ''', name="x.yaml")
    Traceback (most recent call last):
    trainer.authoring.source.ContentError: x.yaml:6:16: 'hydraulics.pump_flow' is not public in the core's \
physics. Write: hydraulics.pump_flow_m3_s
            of: {call: hydraulics.pump_flow, with: [60 cm3, 2200 rev/min, 0.95]}
                       ^
    """
    return read_as(reference_file() if origin is None else origin, _reference, name)


def qualify(reference: Reference, physics: Mapping[str, ModuleType] = PHYSICS) -> Qualification:
    """Work every figure out and hold it against its reference.

    `physics` names the modules whose functions are called: the core's own, or others with the same names.
    """
    given: dict[str, Any] = {}

    def value_of(term: Term) -> Any:
        if isinstance(term, Amount):
            return term.value_si
        if isinstance(term, str):
            return term
        if isinstance(term, tuple):
            return tuple(value_of(part) for part in term)
        if isinstance(term, Given):
            made = given[term.name]
        else:
            made = getattr(physics[term.module], term.name)
            if term.by_place is not None:
                made = made(*(value_of(part) for part in term.by_place))
            elif term.by_name is not None:
                made = made(**{name: value_of(part) for name, part in term.by_name})
        if term.item is not None:
            made = made[term.item]
        return made if term.field is None else getattr(made, term.field)

    def figure(term: Term) -> float:
        try:
            return float(value_of(term))
        except (ValueError, ArithmeticError, LookupError, TypeError, AttributeError):
            return math.nan

    for name, term in reference.given:
        try:
            given[name] = value_of(term)
        except (ValueError, ArithmeticError, LookupError, TypeError, AttributeError):
            given[name] = math.nan
    rows = [Row(check, reference.source(check.source), figure(check.of)) for check in reference.checks]
    return Qualification(tuple(sorted(rows, key=lambda row: MODELS.index(row.check.model))))


# --- reading ---


def _reference(top: Reader) -> Reference:
    sources = top.map_of("sources", _source)
    given = _given(top)
    names: dict[str, Place] = {}

    def check(entry: Reader) -> Check:
        made = _check(entry, tuple(sources), given)
        first = names.setdefault(made.quantity, made.place)
        if first is not made.place:
            entry.refuse("quantity", f"this quantity stands already in line {first.line}", "another name")
        return made

    return Reference(
        tuple(Source(name, title, remark) for name, (title, remark) in sources.items()),
        tuple(given.items()),
        top.list_of("checks", check, at_least=1, at_most=2000),
    )


def _given(top: Reader) -> dict[str, Term]:
    """Things worked out first. Each may use those above it and no others: so nothing can stand on itself."""
    given: dict[str, Term] = {}
    if not top.has("given"):
        return given
    node = top.node.get("given") if isinstance(top.node, MapNode) else None
    names = iter(node.keys() if isinstance(node, MapNode) else ())

    def read(entry: Reader) -> Term:
        name = next(names)
        term = _term(entry, given)
        given[name] = term
        return term

    top.map_of("given", read)
    return given


def _source(entry: Reader) -> tuple[str, str]:
    return entry.text("title", longest=200), entry.text("remark", default="", longest=400)


def _check(entry: Reader, sources: tuple[str, ...], given: Mapping[str, Term]) -> Check:
    quantity = entry.text("quantity", longest=120)
    model = entry.choice("model", MODELS)
    of = entry.sub("of", lambda below: _term(below, given))
    value, within, tolerance, standing, source, at = entry.sub("is", lambda below: _stated(below, sources))
    return Check(model, quantity, of, value, within, tolerance, standing, source, at, entry.place("quantity"))


def _stated(entry: Reader, sources: tuple[str, ...]) -> tuple[Amount, str, float, str, str, str]:
    value = entry.parsed("value", _amount, stand_in=Amount(1.0, ""), advice="a figure such as 45 L/min")
    within = entry.text("within", longest=40)
    tolerance = 0.0
    if entry.ok:
        try:
            tolerance = _tolerance_si(within, value)
        except Refused as refused:
            entry.refuse("within", refused.message, refused.advice)
    standing = entry.choice("standing", STANDINGS)
    source = entry.choice("source", sources)
    return value, within, tolerance, standing, source, entry.text("at", default="", longest=300)


def _tolerance_si(within: str, value: Amount) -> float:
    """How far the core may be off, in SI: a share (`0.3 %`), a figure, or `exact` but for rounding."""
    if within == "exact":
        return _ROUNDING * abs(value.value_si)
    share = _SHARE.fullmatch(within)
    # A share given in per cent has a tolerance in per cent of itself, as every other figure.
    tolerance = float(share[1]) / 100.0 * abs(value.value_si) if share else _amount(within).value_si
    if not tolerance > 0.0:
        raise Refused(f"{quoted(within)} leaves no room, or would never fail", "0.3 %, a figure, or exact")
    return tolerance


def _amount(text: str) -> Amount:
    found = _AMOUNT.fullmatch(text)
    if found is None:
        raise Refused(f"{quoted(text)} is not a figure", "a number, or a number and a unit such as 45 L/min")
    unit = found[2] or ""
    if unit and unit not in UNITS:
        raise Refused(f"{quoted(unit)} is not a unit here", f"one of {', '.join(UNITS)}")
    return Amount(float(found[1]) * (UNITS[unit] if unit else 1.0), unit)


def _term(entry: Reader, given: Mapping[str, Term]) -> Term:
    node = entry.node
    if isinstance(node, Scalar):
        if _WORD.fullmatch(node.text):
            return entry.text(None)
        return entry.parsed(None, _amount, stand_in=Amount(1.0, ""), advice="a figure or a word")
    if isinstance(node, ListNode):
        return entry.list_of(None, lambda below: _term(below, given))
    if entry.has("text"):
        return entry.text("text", longest=40)
    if entry.has("given"):
        return Given(entry.choice("given", tuple(given)), _item(entry), _field(entry))
    if entry.has("constant"):
        module, name = entry.parsed("constant", _public(False), stand_in=("", ""), advice="seeding.ACRE_M2")
        return Call(module, name, None, None, _item(entry), _field(entry))
    return _call(entry, given)


def _call(entry: Reader, given: Mapping[str, Term]) -> Term:
    module, name = entry.parsed(
        "call", _public(True), stand_in=("", ""), advice="a function such as hydraulics.pump_flow_m3_s"
    )
    entry.has("with")
    by_place: tuple[Term, ...] | None = None
    by_name: tuple[tuple[str, Term], ...] | None = None
    if isinstance(entry.node, MapNode) and isinstance(entry.node.get("with"), MapNode):
        by_name = tuple(entry.map_of("with", lambda below: _term(below, given)).items())
    else:
        by_place = entry.list_of("with", lambda below: _term(below, given))
    if entry.ok:
        try:
            inspect.signature(getattr(PHYSICS[module], name)).bind(*(by_place or ()), **dict(by_name or ()))
        except TypeError as error:
            entry.refuse("with", f"{module}.{name} does not take these inputs: {error}", "what it takes")
    return Call(module, name, by_place, by_name, _item(entry), _field(entry))


def _public(function: bool) -> Callable[[str], tuple[str, str]]:
    """How to read the name of a public function (or of a constant) of a physics module."""

    def convert(text: str) -> tuple[str, str]:
        module, _, name = text.partition(".")
        known = _public_names(module, function)
        if name not in known:
            close = next((each for each in known if each.startswith(name)), known[0] if known else "")
            better = f"{module}.{close}" if close else f"a name in {', '.join(PHYSICS)}"
            raise Refused(f"{quoted(text)} is not public in the core's physics", better)
        return module, name

    return convert


def _public_names(module: str, function: bool) -> tuple[str, ...]:
    if module not in PHYSICS:
        return ()
    own = []
    for name, member in vars(PHYSICS[module]).items():
        if name.startswith("_"):
            continue
        if function:
            # Classes count: a Line or an Oil is made by calling it. What is only imported does not.
            made_here = getattr(member, "__module__", "") == PHYSICS[module].__name__
            if callable(member) and made_here:
                own.append(name)
        elif name.isupper():
            own.append(name)
    return tuple(own)


def _item(entry: Reader) -> int | None:
    return entry.whole("item", low=0, high=99, default=None)


def _field(entry: Reader) -> str | None:
    return entry.name("field", default=None)
