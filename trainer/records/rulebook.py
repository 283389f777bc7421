"""The rules as a book: what each asks, how bad and how likely its harm is, and where its limit comes from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from trainer.core.rules import LIKELIHOODS, RISKS, SEVERITIES, Rule, risk, shown
from trainer.lang import Texts
from trainer.records.telling import number

NUMERALS = dict(zip(SEVERITIES, ("I", "II", "III", "IV"), strict=True))
LETTERS = dict(zip(LIKELIHOODS, "ABCDEF", strict=True))
_GAPS = ("measured", "thing", "place")


@dataclass(frozen=True, slots=True)
class Page:
    """What the book says of one rule; every field is a text to read or a name of the rules' own."""

    rule: str
    title: str
    severity: str
    harm: str
    likely: str
    risk: str
    asks: str
    why: str
    typical: str
    source: str
    standing: str
    right: str
    follows: tuple[str, ...]

    def to_json(self) -> dict[str, Any]:
        """Return the page as plain values for `json.dumps`."""
        return {
            "rule": self.rule,
            "title": self.title,
            "severity": self.severity,
            "category": NUMERALS[self.severity],
            "harm": self.harm,
            "likely": self.likely,
            "level": LETTERS.get(self.likely, ""),
            "risk": self.risk,
            "asks": self.asks,
            "why": self.why,
            "typical": self.typical,
            "source": self.source,
            "standing": self.standing,
            "right": self.right,
            "follows": list(self.follows),
        }


def pages(rules: Iterable[Rule], texts: Texts) -> list[Page]:
    """One page a rule, in the order of the rules.

    >>> rule = Rule("overspeed", on="overspeed", measure="speed_rev_min", limit_from="limit_rev_min",
    ...     unit="rev/min", harm="damage", likely="occasional", source="trade", standing="practice")
    >>> page = pages([rule], Texts.load())[0]
    >>> page.risk, page.asks
    ('medium', "While a motor turns: speed of the motor, at most the machine's limit")
    """
    return [_page(rule, texts) for rule in rules]


def _page(rule: Rule, texts: Texts) -> Page:
    gaps = {**dict.fromkeys(_GAPS, "…"), "limit": _limit(rule, texts)}
    say = {
        part: texts.say(f"rules.{rule.name}.{part}", **gaps) for part in ("title", "harm", "right", "typical")
    }
    return Page(
        rule.name,
        say["title"][:1].upper() + say["title"][1:],
        rule.severity,
        rule.harm,
        rule.likely,
        risk(rule.severity, rule.likely),
        asks(rule, texts),
        say["harm"],
        say["typical"],
        texts.translated(rule.source),
        rule.standing,
        say["right"],
        rule.follows,
    )


def _limit(rule: Rule, texts: Texts) -> str:
    """The limit in the unit shown; a range where the rule has one."""
    if rule.limit_from:
        return texts.say("cli.rules.machine_limit")
    unit = f" {rule.unit}" if rule.unit != "1" else ""
    low, high = (number(shown(value, rule.measure, rule.unit)) for value in (rule.low, rule.high))
    return f"{low}–{high}{unit}" if rule.bound == "within" else f"{low}{unit}"


def asks(rule: Rule, texts: Texts) -> str:
    """What a rule asks for, in one sentence put together from its data."""
    measure, when = _in_words(measure_key(rule), texts), _in_words(when_key(rule), texts)
    if rule.needs:
        asked = texts.say("cli.rules.needs", conditions=_conditions(rule.needs, texts), measure=measure)
    else:
        asked = texts.say(f"cli.rules.{rule.bound}", measure=measure, limit=_limit(rule, texts))
    asked = texts.say("cli.rules.where", asked=asked, event=when[:1].upper() + when[1:])
    if rule.goals:
        asked = texts.say(f"cli.rules.goal_{'_'.join(rule.goals)}", asked=asked)
    for key, names in (("only", rule.only), ("unless", rule.unless)):
        if names:
            asked = texts.say(f"cli.rules.{key}", asked=asked, conditions=_conditions(names, texts))
    return asked


def measure_key(rule: Rule) -> str:
    """Key of the text that says what a rule measures."""
    return f"cli.rules.measures.{rule.measure}"


def when_key(rule: Rule) -> str:
    """Key of the text that says when a rule looks.

    >>> when_key(Rule("left_running", on="went", things=("seat",)))
    'cli.rules.when.went_seat'
    """
    return "cli.rules.when." + "_".join((rule.on, *rule.things, *rule.places))


def _in_words(key: str, texts: Texts) -> str:
    """A text; of a rule that an author is just writing, the name with its words apart."""
    return texts.say(key) if texts.has(key) else key.rpartition(".")[2].replace("_", " ")


def _conditions(names: Iterable[str], texts: Texts) -> str:
    return ", ".join(texts.say(f"screens.conditions.{name}") for name in names)


def to_json(rules: Iterable[Rule], texts: Texts) -> dict[str, Any]:
    """Return the whole book as plain values: categories, levels, table and pages."""
    return {
        "severities": [
            {
                "name": name,
                "category": NUMERALS[name],
                "means": texts.say(f"cli.rules.severity_means.{name}"),
            }
            for name in SEVERITIES
        ],
        "likelihoods": [
            {
                "name": name,
                "level": LETTERS[name],
                "means": texts.say(f"cli.rules.likelihood_means.{name}"),
            }
            for name in LIKELIHOODS
        ],
        "risk": {likely: dict(zip(SEVERITIES, row, strict=True)) for likely, row in RISKS.items()},
        "tailoring": texts.say("cli.rules.tailoring"),
        "rules": [page.to_json() for page in pages(rules, texts)],
    }
