"""Actions, refusals, events and findings in the words of the yard, with names and numbers put in.

The texts are in the language file (`actions`, `refusals`, `events`, `rules`). A text's gaps are filled from
what the value itself carries: `{thing}` and `{place}` by the tag or title the trainee sees, and every reading
by its name without the quantum (`limit_pa` fills `{limit}`), in the units of the shop.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from trainer.core.actions import BARE_UNITS, WORDS, Action, Event, Refusal, amount_text
from trainer.core.attempt import Attempt
from trainer.core.case import Case
from trainer.core.rules import Finding
from trainer.core.wiring import PROBED
from trainer.lang import Texts

_KINDS: Final[Mapping[str, tuple[str, float, int | None]]] = {
    "_mm3_s": ("flow", 1e-9, None),
    "_rev_min": ("speed_of_turn", 1.0, None),
    "_permille": ("share", 1e-3, 1),
    "_count": ("", 1.0, None),
    "_milli": ("", 1e-3, None),
    "_mohm": ("", 1e-3, None),
    "_urad": ("angle", 1e-6, None),
    "_mm3": ("volume", 1e-9, None),
    "_pa": ("pressure", 1.0, None),
    "_um": ("length", 1e-6, 2),
    "_mn": ("force", 1e-3, None),
    "_ms": ("time", 1e-3, 1),
    "_mv": ("voltage", 1e-3, None),
    "_mc": ("temperature", 1e-3, None),
    "_kg": ("mass", 1.0, None),
}
"""Ending of a reading's name -> kind of quantity, its quantum in SI, decimals shown (None: the usual)."""


def name_of(case: Case, name: str, texts: Texts) -> str:
    """What a trainee knows a thing by: the tag of a hose, port or plug, the title of a function or place."""
    implement, tractor = case.implement, case.tractor
    known: dict[str, str] = {}
    for hose in implement.hoses:
        known.setdefault(hose.name, hose.tag)
    for port in tractor.ports:
        known.setdefault(port.name, port.tag)
    for plug in implement.plugs:
        known.setdefault(plug.name, plug.tag)
    for socket in tractor.sockets:
        known.setdefault(socket.name, socket.tag)
    for function in implement.functions:
        # Told within a sentence: "the vacuum fan".
        known.setdefault(function.name, function.title[:1].lower() + function.title[1:])
    for unit in implement.units:
        known.setdefault(unit.name, unit.title[:1].lower() + unit.title[1:])
    for paper in case.papers:
        known.setdefault(paper.name, paper.title)
    for site in case.sites:
        known.setdefault(site.name, site.title)
    if name in known:
        return known[name]
    if name in PROBED:
        connector, _, number = name.rpartition("_")
        return texts.say(f"pins.{connector}", number=number) if connector else texts.say(f"pins.{name}")
    for key in (f"cli.stations.{name}", f"names.{name}", f"parts.{name}", f"wrongs.{name}"):
        if texts.has(key):
            return texts.say(key)
    return name.replace("_", " ")


def reading(name: str, value: int, texts: Texts, metric: bool = False) -> str:
    """A reading in the units of the shop.

    >>> texts = Texts({"units": {"psi": "psi", "bar": "bar"}})
    >>> reading("case_pa", 500_000, texts), reading("case_pa", 500_000, texts, metric=True)
    ('73 psi', '5.0 bar')
    >>> reading("wait_ms", 10_000, Texts({"units": {"s": "s"}}))
    '10 s'
    >>> reading("torn_count", 3, texts), reading("dial_milli", 5900, texts)
    ('3', '5.9')
    """
    for ending, (kind, quantum, decimals) in _KINDS.items():
        if f"_{name}".endswith(ending):
            if kind:
                if kind == "length" and metric:
                    decimals = 0
                if kind == "time" and value % 1000 == 0:
                    decimals = 0
                return texts.amount(kind, value * quantum, metric, decimals)
            return f"{value * quantum:g}"
    return str(value)


def short_name(name: str) -> str:
    """A reading's name without its quantum.

    >>> short_name("limit_pa"), short_name("rev_min"), short_name("asked_mm3_s")
    ('limit', 'rev_min', 'asked')
    """
    for ending in _KINDS:
        if name.endswith(ending) and len(name) > len(ending):
            return name.removesuffix(ending)
    return name


def _sentence(text: str) -> str:
    """A text that begins with a capital, whatever fills its first gap.

    >>> _sentence("vacuum fan: good."), _sentence("12 bar")
    ('Vacuum fan: good.', '12 bar')
    """
    return text[:1].upper() + text[1:]


def _filled(key: str, texts: Texts, values: Mapping[str, int], metric: bool, **words: str) -> str:
    wanted = set(texts.gaps(key))
    gaps = dict(words)
    for name, value in values.items():
        gap = short_name(name)
        if gap in wanted and gap not in gaps:
            gaps[gap] = reading(name, value, texts, metric)
    return _sentence(texts.say(key, **gaps))


def _key(texts: Texts, section: str, name: str, *variants: str) -> str:
    """The most particular text there is: `section.name_variant`, else `section.name`."""
    for variant in variants:
        if variant and texts.has(f"{section}.{name}_{variant}"):
            return f"{section}.{name}_{variant}"
    return f"{section}.{name}"


def amount_of(action: Action, texts: Texts) -> str:
    """The amount of an action in its own unit, and in the shop's where that is another."""
    if action.amount is None:
        return ""
    word = WORDS[action.word]
    number = amount_text(action.amount)
    if word.unit == "mm":
        return f"{texts.amount('length', action.amount / 1e6, decimals=2)} ({number} mm)"
    if word.unit == "kg":
        return f"{texts.amount('mass', action.amount / 1e3)} ({number} kg)"
    return number if word.unit in BARE_UNITS else f"{number} {word.unit}"


def say_action(case: Case, action: Action, texts: Texts) -> str:
    """What was done, as a short sentence."""
    key = _key(texts, "actions", action.word, action.place, action.thing)
    return texts.say(
        key,
        thing=name_of(case, action.thing, texts),
        place=name_of(case, action.place, texts),
        amount=amount_of(action, texts),
    )


def say_refusal(case: Case, action: Action, refusal: Refusal, texts: Texts, metric: bool = False) -> str:
    """Why the yard does not let it happen."""
    return say_reason(case, action, refusal.reason, dict(refusal.values), texts, metric)


def say_reason(
    case: Case, action: Action, reason: str, values: Mapping[str, int], texts: Texts, metric: bool = False
) -> str:
    """Why the yard did not let it happen, from the reason and the numbers on record."""
    return _filled(
        f"refusals.{reason}",
        texts,
        values,
        metric,
        thing=name_of(case, action.thing, texts),
        place=name_of(case, action.place, texts),
        amount=amount_of(action, texts),
    )


def refusal_on_record(attempt: Attempt, number: int, texts: Texts, metric: bool = False) -> str:
    """Why the action at this place of an attempt's log was refused, with its numbers; '' where it was not."""
    entry = attempt.log[number]
    if not entry.refused:
        return ""
    for event in attempt.events:
        if event.kind == "refused" and event.tick == entry.tick:
            return say_reason(attempt.case, entry.action, entry.refused, dict(event.values), texts, metric)
    raise LookupError(f"the refusal at tick {entry.tick} left no event")


def say_event(case: Case, event: Event, texts: Texts, metric: bool = False) -> str:
    """What happened, as a short sentence with its numbers.

    Where the first number reads as nothing, or is below nothing, a text of its own may say so in words: the
    same key with `_zero`, or with `_below`, which is given the number without its sign.
    """
    key = _key(texts, "events", event.kind, event.place, event.thing)
    values = dict(event.values)
    if event.values:
        name, value = event.values[0]
        shown = reading(name, abs(value), texts, metric)
        if not any(figure in shown for figure in "123456789"):
            key = f"{key}_zero" if texts.has(f"{key}_zero") else key
        elif value < 0 and texts.has(f"{key}_below"):
            key, values[name] = f"{key}_below", -value
    return _filled(
        key,
        texts,
        values,
        metric,
        thing=name_of(case, event.thing, texts),
        place=name_of(case, event.place, texts),
    )


def say_finding(case: Case, finding: Finding, texts: Texts, field: str = "title") -> str:
    """What a rule found (`title`), what that leads to (`harm`) or what is `right`; both numbers filled in."""
    unit = f" {finding.unit}" if finding.unit != "1" else ""
    return texts.say(
        f"rules.{finding.rule}.{field}",
        thing=name_of(case, finding.thing, texts),
        place=name_of(case, finding.place, texts),
        measured=number(finding.measured_shown) + unit,
        limit=number(finding.limit_shown) + unit,
    )


def source_of(finding: Finding, texts: Texts) -> str:
    """Where the limit comes from, and what standing that has."""
    return f"{texts.translated(finding.source)} ({texts.say(f'standing.{finding.standing}')})"


def number(value: float) -> str:
    """A measured number as it is read off: three figures, whole where it is large.

    >>> number(187.0), number(5.0), number(0.8661), number(1976.4)
    ('187', '5', '0.866', '1976')
    """
    if abs(value) >= 100 or value == int(value):
        return f"{value:.0f}"
    return f"{value:.3g}"
