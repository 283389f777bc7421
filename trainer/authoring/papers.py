"""Figures in the papers a trainee reads, filled in from the machines they are about.

A line holds gaps in braces: the path of a value of the compiled job and, behind `as`, the units it is shown
in, each with the step it is rounded to (`{tractor.hook_diameter_m as 1/16 in, 0.1 mm}`). Paths start at
`tractor`, `implement`, `limits`, `sites`, `case` or `derived`; parts of a list are reached by name or by
position from 0. A paper that takes its figures from there cannot disagree with the yard.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

from trainer.authoring.machines import nearest
from trainer.authoring.quantities import Refused, convert, quoted

_GAP = re.compile(r"\{([^{}]*)\}")
_SHOWN_AS = re.compile(r"\s*([0-9]+/[0-9]+|[0-9]+(?:\.[0-9]+)?)\s+(\S.*?)\s*")
_PER = {"ac": "acre", "ha": "hectare", "m2": "m²"}

# Ends of field names -> unit of the value, longest first where one ends in another.
_UNITS = (
    ("_m3_s", "m3/s"),
    ("_rev_min", "rev/min"),
    ("_per_m2", "1/m2"),
    ("_m3", "m3"),
    ("_m2", "m2"),
    ("_pa", "Pa"),
    ("_kg", "kg"),
    ("_rad", "rad"),
    ("_volt", "V"),
    ("_m", "m"),
    ("_s", "s"),
    ("_n", "N"),
    ("_a", "A"),
    ("_c", "°C"),
    ("_share", "1"),
    ("slope", "1"),
    ("wheel_slip", "1"),
)


def filled(line: str, roots: Mapping[str, object]) -> str:
    """Return a line with its gaps filled from `roots`; raise Refused where a gap cannot be.

    >>> from trainer.core.case import Site
    >>> filled("At most {pad.slope as 0.1 %} here: {pad.title}", {"pad": Site("pad", "Pad", 0.005)})
    'At most 0.5 % here: Pad'
    """
    rest = _GAP.sub("", line)
    if "{" in rest or "}" in rest:
        raise Refused("a brace of this line has no partner", "{tractor.hook_diameter_m as 1/16 in}")
    return _GAP.sub(lambda gap: _figure(gap[1], roots), line)


def part_names(path: str, roots: Mapping[str, object]) -> tuple[str, ...]:
    """Return the names, or positions from 0, of what a path holds; raise Refused where it is no list.

    >>> from trainer.core.case import Site
    >>> part_names("sites", {"sites": (Site("pad", "Pad", 0.005), Site("yard", "Yard", 0.02))})
    ('pad', 'yard')
    """
    _, value = _value_at(path.strip(), roots)
    if not isinstance(value, tuple):
        raise Refused(f"{quoted(path)} is not a list", "sites, or another list of the case")
    return tuple(_parts_of(value))


def _figure(gap: str, roots: Mapping[str, object]) -> str:
    path, shown, units = gap.partition(" as ")
    name, value = _value_at(path.strip(), roots)
    if not shown:
        return _plain(path, value)
    unit = next((unit for end, unit in _UNITS if name.endswith(end)), None)
    if unit is None or isinstance(value, bool) or not isinstance(value, (int, float)):
        raise Refused(f"{quoted(path)} has no unit", f"{{{path}}}")
    texts = [_in_unit(float(value), unit, wanted) for wanted in units.split(",")]
    return texts[0] + (f" ({', '.join(texts[1:])})" if texts[1:] else "")


def _value_at(path: str, roots: Mapping[str, object]) -> tuple[str, object]:
    """Return the name of the field a path leads to and its value."""
    value: object = roots
    field = ""
    for part in path.split("."):
        below = _parts_of(value)
        if part not in below:
            raise Refused(f"{quoted(path)} leads nowhere at {quoted(part)}", nearest(part, tuple(below)))
        if not isinstance(value, Sequence):
            field = part
        value = below[part]
    return field, value


def _parts_of(value: object) -> Mapping[str, object]:
    if isinstance(value, Mapping):
        return value
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: getattr(value, field.name) for field in dataclasses.fields(value)}
    if isinstance(value, tuple):
        return {str(getattr(item, "name", position)): item for position, item in enumerate(value)}
    return {}


def _plain(path: str, value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value.replace("_", " ")
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        raise Refused(
            f"{quoted(path)} is a figure without its unit", f"{{{path} as 1 mm}}, with its own unit"
        )
    raise Refused(
        f"{quoted(path)} is not one value", f"{path}., followed by {nearest('', tuple(_parts_of(value)))}"
    )


def _in_unit(value: float, unit: str, wanted: str) -> str:
    match = _SHOWN_AS.fullmatch(wanted)
    if match is None:
        raise Refused(f"{quoted(wanted.strip())} is not a step and a unit", "0.1 mm or 1/16 in")
    step_text, to_unit = match.groups()
    try:
        figure = convert(value, unit, to_unit)
    except (KeyError, TypeError, ValueError):
        raise Refused(f"{quoted(to_unit)} does not measure what stands here", f"{step_text} {unit}") from None
    step = Fraction(step_text)
    if step == 0:
        raise Refused(f"{quoted(wanted.strip())} has a step of nought", f"1 {to_unit}")
    if to_unit.startswith("1/"):
        to_unit = f"per {_PER.get(to_unit[2:], to_unit[2:])}"
    return f"{_rounded(figure, step, '/' in step_text)} {to_unit}"


def _rounded(figure: float, step: Fraction, as_fraction: bool) -> str:
    """Return a figure rounded to a step, as a mixed fraction or a decimal.

    >>> _rounded(1.4375, Fraction(1, 16), True), _rounded(36.5125, Fraction("0.1"), False)
    ('1 7/16', '36.5')
    """
    rounded = round(Fraction(figure) / step) * step
    if not as_fraction:
        places = max(0, -Decimal(str(float(step))).normalize().as_tuple().exponent)  # type: ignore[operator]
        exact = Decimal(rounded.numerator) / Decimal(rounded.denominator)
        return f"{exact.quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN):f}"
    whole, rest = divmod(rounded, 1)
    parts = [str(whole)] if whole or not rest else []
    return " ".join([*parts, str(rest)] if rest else parts)
