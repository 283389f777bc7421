"""What the happenings mean: rules that look at events only, never at the state.

A rule is data (`scenarios/rules.yaml`): which event it looks at, what must have stood or between which
limits a reading must lie, how bad it is and where that is written. Two kinds cover the trade:

* a rule with `needs` finds when any of the named conditions did not stand as the event happened; its
  measure shows by how much;
* a rule without `needs` finds when its measure lies outside its limits.

A rule finds once for each thing it concerns, or once in an attempt. What follows from a mistake that was
found already is told under it and does not count again.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from trainer.core.actions import Event, mask
from trainer.core.units import TICKS_PER_S

RULES_VERSION = 2
"""Raised, with a line of reason in `CHANGES`, whenever the same events would give other findings."""

CHANGES: tuple[tuple[int, str], ...] = (
    (1, "the first"),
    (
        2,
        (
            "whether a finding follows from an earlier one can hang on a condition at that moment; a limit "
            "can be a range of the machine; harm that a drawn fault does by itself is charged to no one "
            "until the fault is found"
        ),
    ),
)

SEVERITIES = ("catastrophic", "critical", "marginal", "negligible")
"""Severity categories of MIL-STD-882E (public), I to IV, worst first."""

FAILING = ("catastrophic", "critical")
"""Injury and destruction: one such finding fails the attempt whatever the points."""

LIKELIHOODS = ("frequent", "probable", "occasional", "remote", "improbable", "eliminated")
"""Probability levels of MIL-STD-882E (public), A to F. A rule is never F: what cannot happen needs none."""

RISKS: dict[str, tuple[str, str, str, str]] = {
    "frequent": ("high", "high", "serious", "medium"),
    "probable": ("high", "high", "serious", "medium"),
    "occasional": ("high", "serious", "medium", "low"),
    "remote": ("serious", "medium", "medium", "low"),
    "improbable": ("medium", "medium", "medium", "low"),
    "eliminated": ("eliminated", "eliminated", "eliminated", "eliminated"),
}
"""Risk by probability level (row) and severity category (column, in the order of `SEVERITIES`): the risk
assessment table of MIL-STD-882E, written from memory."""

HARMS = ("injury", "destruction", "damage", "function", "workmanship")

SHOWN: dict[tuple[str, str], tuple[int, int]] = {
    ("pa", "bar"): (1, 100_000),
    ("pa", "psi"): (10_000, 68_947_573),
    ("um", "mm"): (1, 1_000),
    ("um", "in"): (1, 25_400),
    ("um", "m"): (1, 1_000_000),
    ("mm3_s", "L/min"): (60, 1_000_000),
    ("mm3_s", "gal/min"): (60_000_000, 3_785_411_784_000),
    ("mm3", "L"): (1, 1_000_000),
    ("ms", "s"): (1, 1_000),
    ("urad", "deg"): (572_957_795, 10_000_000_000_000),
    ("permille", "%"): (1, 10),
    ("rev_min", "rev/min"): (1, 1),
    ("mn", "N"): (1, 1_000),
    ("kg", "kg"): (1, 1),
    ("mv", "V"): (1, 1_000),
    ("mohm", "ohm"): (1, 1_000),
    ("mc", "degC"): (1, 1_000),
    ("count", "1"): (1, 1),
}
"""(quantum of a reading, unit shown) -> numerator and denominator of the conversion."""


LINE_CONDITIONS = ("clean", "drain_on", "others_off", "no_pressure_here")
_OF_A_LINE = ("coupled", "uncoupled")
"""Conditions that are meant for one hose where an event is about one, and those events."""


def risk(severity: str, likely: str) -> str:
    """Risk of a severity category at a probability level; '' where no level was given.

    >>> risk("catastrophic", "remote"), risk("marginal", "frequent"), risk("critical", "")
    ('serious', 'serious', '')
    """
    return RISKS[likely][SEVERITIES.index(severity)] if likely else ""


def quantum(measure: str) -> str:
    """The quantum a reading's name ends in.

    >>> quantum("case_pa"), quantum("flow_mm3_s"), quantum("lines_on_count")
    ('pa', 'mm3_s', 'count')

    Raises ValueError for a name without one.
    """
    known = sorted({key for key, _ in SHOWN}, key=len, reverse=True)
    for ending in known:
        if measure.endswith("_" + ending):
            return ending
    raise ValueError(f"'{measure}' does not end in a quantum; write one of {', '.join(sorted(known))}")


def shown(value: int, measure: str, unit: str) -> float:
    """A reading in the unit shown, to three decimals.

    >>> shown(18_700_000, "case_pa", "bar"), shown(533_400, "bar_um", "in")
    (187.0, 21.0)
    """
    numerator, denominator = SHOWN[quantum(measure), unit]
    return round(value * numerator / denominator, 3)


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule. Names in `needs`, `unless` and `only` are conditions; limits are in the measure's quantum.

    `on` is the event kind; `things` and `places` narrow it (empty: any). `unless` silences the rule where
    any of its conditions stood, `only` where any did not. `limit_from` names a reading of the event that
    holds the limit of this machine. `guards` names the edges of the precedence the rule stands for.
    """

    name: str
    on: str
    things: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    goals: tuple[str, ...] = ()
    """The kinds of job it is meant for; none: all."""
    needs: tuple[str, ...] = ()
    unless: tuple[str, ...] = ()
    only: tuple[str, ...] = ()
    measure: str = ""
    bound: str = "most"
    low: int = 0
    high: int = 0
    limit_from: str = ""
    limit_to: str = ""
    unit: str = "1"
    severity: str = "marginal"
    harm: str = "function"
    likely: str = ""
    """One of `LIKELIHOODS`: how sure the harm follows where the mistake is left to happen, by our judgement
    of the trade; '' in rules written before this was asked for."""
    source: str = ""
    standing: str = ""
    guards: tuple[str, ...] = ()
    once: str = "thing"
    """`thing`: one finding for each thing it concerns; `attempt`: one in all."""
    follows: tuple[str, ...] = ()
    """Rules whose mistake brings this one about: found after one of them, it is listed under it."""
    apart: tuple[tuple[str, str, bool], ...] = ()
    """A rule of `follows`, a condition, and how that has to be: once it was so in an event since the other
    mistake, that one is over, and this is a mistake of its own."""


@dataclass(frozen=True, slots=True)
class Finding:
    """What a rule found, with its number. `measured` and `limit` are kept in the measure's quantum."""

    rule: str
    severity: str
    harm: str
    tick: int
    thing: str
    place: str
    measure: str
    unit: str
    measured: int
    limit: int
    source: str
    standing: str
    root: str = ""
    """The rule whose finding this one follows from; '' for a mistake of its own."""

    @property
    def at_s(self) -> float:
        return round(self.tick / TICKS_PER_S, 2)

    @property
    def measured_shown(self) -> float:
        return shown(self.measured, self.measure, self.unit)

    @property
    def limit_shown(self) -> float:
        return shown(self.limit, self.measure, self.unit)

    @property
    def fails(self) -> bool:
        return self.severity in FAILING


@dataclass(slots=True)
class Memory:
    """What is kept of an attempt from event to event: what was found, and which mistakes are over.

    `found` holds rules with what they concern, `over` pairs of a rule and one it no longer follows from.
    """

    found: set[tuple[str, str]] = field(default_factory=set)
    over: set[tuple[str, str]] = field(default_factory=set)

    def copy(self) -> Memory:
        return Memory(set(self.found), set(self.over))

    def end(self, rules: Iterable[Rule], event: Event) -> None:
        """Note which mistakes found before this event are over by what stands in it."""
        found = {name for name, _ in self.found}
        for rule in rules:
            for cause, condition, wanted in rule.apart:
                told = event.kind not in _OF_A_LINE or condition not in LINE_CONDITIONS
                if cause in found and told and event.stands(condition) == wanted:
                    self.over.add((rule.name, cause))

    def root_of(self, rule: Rule, event: Event) -> str:
        """The mistake that brought this one about; '' where none did.

        What is found in the same event may be a cause too: it is held against the conditions here.
        """
        found = {name for name, _ in self.found}
        own = {cause for cause, condition, wanted in rule.apart if event.stands(condition) == wanted}
        own.update(cause for cause in rule.follows if (rule.name, cause) in self.over)
        return next((cause for cause in rule.follows if cause in found and cause not in own), "")


def find(rule: Rule, event: Event, goal: str) -> Finding | None:
    """What one rule finds in one event."""
    if event.kind != rule.on or (rule.goals and goal not in rule.goals):
        return None
    if (rule.things and event.thing not in rule.things) or (rule.places and event.place not in rule.places):
        return None
    only, unless = mask(*rule.only), mask(*rule.unless)
    if event.standing & only != only or event.standing & unless:
        return None
    measured = event.value(rule.measure)
    low, high = rule.low, rule.high
    if rule.limit_from:
        low = high = event.value(rule.limit_from)
        if rule.limit_to:
            high = event.value(rule.limit_to)
    if rule.needs:
        needs = mask(*rule.needs)
        if event.standing & needs == needs:
            return None
        limit = low if rule.bound == "least" else high
    elif rule.bound == "least":
        if measured >= low:
            return None
        limit = low
    elif rule.bound == "most":
        if measured <= high:
            return None
        limit = high
    else:
        if low <= measured <= high:
            return None
        limit = low if measured < low else high
    return Finding(
        rule.name,
        rule.severity,
        rule.harm,
        event.tick,
        event.thing,
        event.place,
        rule.measure,
        rule.unit,
        measured,
        limit,
        rule.source,
        rule.standing,
    )


def judge(
    rules: Iterable[Rule],
    events: Iterable[Event],
    goal: str,
    memory: Memory | None = None,
) -> Iterator[Finding]:
    """Findings of these events, in their order. `memory` is kept from call to call of one attempt.

    >>> rule = Rule("case_pressure", on="case_pressure", measure="case_pa", high=500_000, unit="bar")
    >>> event = Event("case_pressure", 40, "fan", values=(("case_pa", 18_700_000),))
    >>> [(f.at_s, f.measured_shown, f.limit_shown) for f in judge([rule], [event], "couple")]
    [(2.0, 187.0, 5.0)]
    """
    kept = Memory() if memory is None else memory
    every = tuple(rules)
    by_kind: dict[str, list[Rule]] = {}
    for rule in every:
        by_kind.setdefault(rule.on, []).append(rule)
    for event in events:
        if kept.found and event.standing:
            kept.end(every, event)
        for rule in by_kind.get(event.kind, ()):
            key = (rule.name, event.thing if rule.once == "thing" else "")
            finding = find(rule, event, goal) if key not in kept.found else None
            if finding is not None:
                root = kept.root_of(rule, event)
                kept.found.add(key)
                yield replace(finding, root=root) if root else finding
