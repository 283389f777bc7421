"""Quantities as authors write them (`180 bar`, `1 7/16 in`, `20-22 in`), read into floats in SI units.

Only the units of the table below are known, each under one spelling, so that files look alike and
can be searched; a unit spelled another way is refused with the spelling to use. pint does the arithmetic
of dimensions and offset temperatures, with a registry made from this table alone: the one that ships with
pint takes a hundred times longer to make and takes an angle for a plain number, which would let `40 %`
pass where an angle is asked for.
"""

from __future__ import annotations

import difflib
import functools
import math
import re
from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pint

# Spelling in files -> definition. Names on the right are the registry's own. All factors are exact by
# definition (yard and pound agreement of 1959, gallon of 231 cubic inches, standard gravity 9.80665 m/s2).
_DEFINITIONS: dict[str, str] = {
    "m": "metre = [length]",
    "mm": "millimetre = 0.001 * metre",
    "cm": "centimetre = 0.01 * metre",
    "km": "kilometre = 1000 * metre",
    "in": "inch = 0.0254 * metre",
    "ft": "foot = 0.3048 * metre",
    "mi": "mile = 1609.344 * metre",
    "s": "second = [time]",
    "ms": "millisecond = 0.001 * second",
    "min": "minute = 60 * second",
    "h": "hour = 3600 * second",
    "kg": "kilogram = [mass]",
    "g": "gram = 0.001 * kilogram",
    "t": "tonne = 1000 * kilogram",
    "lb": "pound = 0.45359237 * kilogram",
    "A": "ampere = [current]",
    "mA": "milliampere = 0.001 * ampere",
    "rad": "radian = [angle]",
    "mrad": "milliradian = 0.001 * radian",
    "deg": f"degree = {math.pi!r} / 180 * radian",
    "rev": f"revolution = {2 * math.pi!r} * radian",
    "K": "kelvin = [temperature]; offset: 0",
    "°C": "celsius = kelvin; offset: 273.15",
    "°F": "fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9",
    "N": "newton = kilogram * metre / second ** 2",
    "kN": "kilonewton = 1000 * newton",
    "lbf": "pound_force = 4.4482216152605 * newton",
    "Pa": "pascal = newton / metre ** 2",
    "kPa": "kilopascal = 1000 * pascal",
    "MPa": "megapascal = 1000000 * pascal",
    "mbar": "millibar = 100 * pascal",
    "bar": "bar = 100000 * pascal",
    "psi": "psi = pound_force / inch ** 2",
    "L": "litre = 0.001 * metre ** 3",
    "mL": "millilitre = 0.001 * litre",
    "gal": "gallon = 231 * inch ** 3",
    "ha": "hectare = 10000 * metre ** 2",
    "ac": "acre = 43560 * foot ** 2",
    "J": "joule = newton * metre",
    "kJ": "kilojoule = 1000 * joule",
    "W": "watt = joule / second",
    "kW": "kilowatt = 1000 * watt",
    "hp": "horsepower = 550 * foot * pound_force / second",
    "V": "volt = watt / ampere",
    "mV": "millivolt = 0.001 * volt",
    "ohm": "ohm = volt / ampere",
    "cSt": "centistokes = 0.000001 * metre ** 2 / second",
    "%": "percent = 0.01",
}
_REGISTRY_NAMES: dict[str, str] = {
    spelling: definition.partition(" = ")[0] for spelling, definition in _DEFINITIONS.items()
} | {"degC": "celsius", "degF": "fahrenheit"}  # many keyboards have no degree sign
SPELLINGS: tuple[str, ...] = tuple(_REGISTRY_NAMES)
"""Every unit that others are made of."""

# Spellings in use elsewhere -> the one spelling used here.
_MEANT: dict[str, str] = {
    "gpm": "gal/min", "lpm": "L/min", "rpm": "rev/min", "mph": "mi/h", "kph": "km/h", "kmh": "km/h",
    "inch": "in", "inches": "in", '"': "in", "''": "in", "feet": "ft", "foot": "ft", "'": "ft",
    "l": "L", "liter": "L", "litre": "L", "liters": "L", "litres": "L", "ml": "mL", "gallon": "gal",
    "gallons": "gal", "cc": "cm3", "cu in": "in3", "bars": "bar", "lbs": "lb", "pound": "lb", "pounds": "lb",
    "ton": "t", "tons": "t", "tonnes": "t", "sec": "s", "secs": "s", "second": "s", "seconds": "s",
    "mins": "min", "minute": "min", "minutes": "min", "hr": "h", "hrs": "h", "hour": "h", "hours": "h",
    "volt": "V", "volts": "V", "amp": "A", "amps": "A", "ω": "ohm", "c": "°C", "f": "°F", "celsius": "°C",
    "fahrenheit": "°F", "°": "deg", "degree": "deg", "degrees": "deg", "percent": "%", "pct": "%",
    "turn/min": "rev/min", "r/min": "rev/min", "ft-lb": "lbf ft", "lb-ft": "lbf ft", "ft lb": "lbf ft",
    "nm": "N m", "acre": "ac", "acres": "ac", "kgs": "kg", "ps": "hp", "psig": "psi",
}  # fmt: skip

# What is asked for, in the author's words, and two ways to write it. The first of equal dimension is used.
_KINDS: tuple[tuple[str, str, str], ...] = (
    ("a pressure", "180 bar", "2600 psi"),
    ("a flow", "26 gal/min", "45 L/min"),
    ("a length", "30 in", "760 mm"),
    ("a time", "3 min", "20 s"),
    ("a speed of rotation", "540 rev/min", "56 rad/s"),
    ("a temperature", "180 °F", "82 °C"),
    ("an angle", "5.3 deg", "0.1 rad"),
    ("a voltage", "12 V", "12000 mV"),
    ("a share", "40 %", "0.4"),
    ("a mass", "2000 lb", "900 kg"),
    ("a force", "500 lbf", "2 kN"),
    ("a torque", "300 lbf ft", "400 N m"),
    ("a power", "134 hp", "100 kW"),
    ("a volume", "2 gal", "8 L"),
    ("an area", "2 in2", "12 cm2"),
    ("a speed", "5 mi/h", "8 km/h"),
    ("a current", "3 A", "300 mA"),
    ("a resistance", "10 ohm", "10 V/A"),
    ("a density", "870 kg/m3", "7.2 lb/gal"),
    ("a viscosity", "46 cSt", "46 mm2/s"),
    ("a displacement", "15 in3/rev", "250 cm3/rev"),
    ("a spring rate", "200 lbf/in", "35 N/mm"),
    ("a mass per length", "0.8 lb/ft", "1.2 kg/m"),
    ("an acceleration", "9.8 m/s2", "32 ft/s2"),
    ("a bending stiffness", "3 N m2", "1000 lbf in2"),
    ("a heat loss", "200 W/K", "0.2 kW/K"),
    ("a heat capacity", "1900 J/kg/K", "1.9 kJ/kg/K"),
    ("a work rate", "12 ac/h", "5 ha/h"),
    ("a rate of pressure", "2 bar/s", "30 psi/s"),
    ("a rate of temperature", "2 K/min", "4 K/min"),
)

_UNSIGNED = (
    r"(?:[0-9]{1,18}[ ]+[0-9]{1,9}/[0-9]{1,9}|[0-9]{1,9}/[0-9]{1,9}"
    r"|(?:[0-9]{1,18}(?:\.[0-9]{0,18})?|\.[0-9]{1,18})(?:[eE][+-]?[0-9]{1,3})?)(?![0-9.])"
)
_NUMBER = re.compile(rf"[ ]*([+-]?{_UNSIGNED})[ ]*")
_RANGE_UNIT = r"(?!to\b)[^0-9 +.-](?:(?!\bto\b)[^0-9])*?[23]?"
_RANGE = re.compile(
    rf"[ ]*([+-]?{_UNSIGNED})[ ]*({_RANGE_UNIT})?[ ]*(?:-|–|\bto\b)[ ]*([+-]?{_UNSIGNED})[ ]*"
)
_UNUSABLE = re.compile(r"[ ]*[+-]?\.?(?:nan|inf|infinity|∞)\b", re.IGNORECASE)
_COMMA = re.compile(r"([0-9]),([0-9])")
_FACTOR = re.compile(r"([^\W\d_]+|°[CF]|%|1)(?:\^?(-?[0-9]))?")
_PLAIN = str.maketrans({"²": "2", "³": "3", "−": "-", "·": "*", "º": "°", "\xa0": " "})
_LONGEST = 80
_DIFFERENCE = "difference "


class Refused(ValueError):
    """A value that cannot be taken as written: what is wrong, and what to write instead.

    >>> error = Refused("'180' has no unit", "180 bar")
    >>> error.message, error.advice
    ("'180' has no unit", '180 bar')
    """

    def __init__(self, message: str, advice: str) -> None:
        super().__init__(message, advice)
        self.message = message
        self.advice = advice

    def __str__(self) -> str:
        return f"{self.message}. Write: {self.advice}"


def quoted(text: str, longest: int = 40) -> str:
    """Return text in quotation marks for a message: short, on one line, nothing unseen in it.

    >>> quoted("two\\nlines")
    "'two lines'"
    """
    flat = "".join(letter if letter.isprintable() else " " for letter in text[: longest + 1])
    return f"'{flat[:longest]}...'" if len(text) > longest else f"'{flat}'"


def read_whole(text: str, low: int | None = None, high: int | None = None) -> int:
    """Read a whole number, plainly written, within `low` to `high`.

    >>> read_whole("12", low=0, high=20)
    12
    >>> read_whole("12.5")
    Traceback (most recent call last):
    trainer.authoring.quantities.Refused: '12.5' is not a whole number. Write: a whole number such as 12
    """
    lower = -math.inf if low is None else low
    upper = math.inf if high is None else high
    plain = text.strip().translate(_PLAIN)
    example = 12 if lower <= 12 <= upper else low if low is not None else high
    if not re.fullmatch(r"[+-]?[0-9]{1,15}", plain):
        raise Refused(f"{quoted(text)} is not a whole number", f"a whole number such as {example}")
    value = int(plain)
    if not lower <= value <= upper:
        bounds = _bounds_in_words(None if low is None else str(low), None if high is None else str(high))
        raise Refused(f"{quoted(text)} is outside what is allowed here", f"a whole number {bounds}")
    return value


def read_number(text: str, low: float = -math.inf, high: float = math.inf) -> float:
    """Read a number without a unit (`0.35`, `1/4`, `1 7/16`, `2e-5`) within `low` to `high`.

    >>> read_number("1 7/16")
    1.4375
    >>> read_number("nan")
    Traceback (most recent call last):
    trainer.authoring.quantities.Refused: 'nan' is not a number to reckon with. Write: a number such as 0.5
    """
    example = _number_between(low, high, 0.5)
    number, rest = _leading_number(text, f"a number such as {example:g}")
    if rest:
        advice = f"a number without a unit, such as {example:g}"
        raise Refused(f"{quoted(text)} is not a plain number", advice)
    if not low <= number <= high:
        bounds = _bounds_in_words(
            None if low == -math.inf else _short(low, ROUND_CEILING),
            None if high == math.inf else _short(high, ROUND_FLOOR),
        )
        raise Refused(f"{quoted(text)} is outside what is allowed here", f"a number {bounds}")
    return number


def read_quantity(text: str, unit: str, low: float = -math.inf, high: float = math.inf) -> float:
    """Read `text`, a number and a unit, and return it in `unit`, within `low` to `high` (in `unit` too).

    `unit` is written as authors write units: "Pa", "m3/s", "rad/s", "K", "1" for a share. A step between two
    temperatures is asked for as "difference K". The result is rounded to twelve significant digits, so that
    it does not hang on the order in which factors are multiplied.

    >>> read_quantity("180 bar", "Pa", low=0, high=40e6)
    18000000.0
    >>> read_quantity("1 7/16 in", "m")
    0.0365125
    >>> read_quantity("82 °C", "K"), read_quantity("9 °F", "difference K")
    (355.15, 5.0)
    >>> read_quantity("500 bar", "Pa", low=0, high=40e6)
    Traceback (most recent call last):
    trainer.authoring.quantities.Refused: '500 bar' is out of range. Write: a pressure from 0 bar to 400 bar
    """
    advice = advice_for(unit, low, high)
    number, written_unit = _leading_number(text, advice)
    return _in_range(text, number, written_unit, unit, low, high, advice)


def read_quantity_range(
    text: str, unit: str, low: float = -math.inf, high: float = math.inf
) -> tuple[float, float]:
    """Read `20-22 in`, `20 to 22 in` or `20 in to 22 in`; return both ends in `unit`, the lower end first.

    >>> read_quantity_range("20-22 in", "m")
    (0.508, 0.5588)
    >>> read_quantity_range("-5 to 5 deg", "deg")
    (-5.0, 5.0)
    >>> read_quantity_range("22-20 in", "m")
    Traceback (most recent call last):
    trainer.authoring.quantities.Refused: '22-20 in' runs downwards. Write: 20-22 in
    """
    advice = range_advice_for(unit, low, high)
    plain = _prepared(text, advice)
    match = _RANGE.match(plain)
    if match is None:
        # A better word than "no range" where the text is not even one quantity.
        number, written_unit = _leading_number(text, advice)
        _in_range(text, number, written_unit, unit, low, high, advice)
        raise Refused(f"{quoted(text)} is one value where a range belongs", advice)
    first_text, first_unit, second_text = match.groups()
    second_unit = plain[match.end() :].strip()
    first = _in_range(text, _to_float(first_text, text), first_unit or second_unit, unit, low, high, advice)
    second = _in_range(text, _to_float(second_text, text), second_unit, unit, low, high, advice)
    if first > second:
        separator = " to " if first_unit else "-"
        one = f"{second_text} {second_unit}" if first_unit else second_text
        two = f"{first_text} {first_unit or second_unit}"
        raise Refused(f"{quoted(text)} runs downwards", f"{one}{separator}{two}")
    return first, second


def convert(value: float, unit: str, to_unit: str) -> float:
    """Return `value`, given in `unit`, in `to_unit`, rounded to twelve significant digits.

    >>> convert(18e6, "Pa", "bar")
    180.0
    """
    difference = unit.startswith(_DIFFERENCE)
    source = _unit(unit.removeprefix(_DIFFERENCE), difference)
    target = _unit(to_unit.removeprefix(_DIFFERENCE), difference)
    result = float(_registry().Quantity(value, source).to(target).magnitude)
    return float(f"{result:.12g}")


def advice_for(unit: str, low: float = -math.inf, high: float = math.inf) -> str:
    """Return what to write where `unit` is asked for, with examples inside the range.

    >>> advice_for("Pa")
    'a pressure such as 180 bar or 2600 psi'
    >>> advice_for("Pa", low=0, high=5e5)
    'a pressure such as 2.5 bar or 36 psi'
    """
    kind, examples = _kind(unit, low, high)
    return f"{kind} such as {' or '.join(examples)}"


def told_of(unit: str, low: float = -math.inf, high: float = math.inf) -> str:
    """Return what a quantity in `unit` is and between which bounds it lies, in the unit of its example.

    >>> told_of("Pa", low=0, high=100e5)
    'a pressure such as 50 bar or 730 psi, from 0 bar to 100 bar'
    """
    advice = advice_for(unit, low, high)
    if math.isinf(low) and math.isinf(high):
        return advice
    _, _, spelling = _kind(unit, low, high)[1][0].partition(" ")

    def written(bound: float) -> str | None:
        if math.isinf(bound):
            return None
        return f"{_short(convert(bound, unit, spelling or '1'), None)} {spelling}".rstrip()

    return f"{advice}, {_bounds_in_words(written(low), written(high))}"


def range_advice_for(unit: str, low: float = -math.inf, high: float = math.inf) -> str:
    """Return what to write where a range in `unit` is asked for.

    >>> range_advice_for("m")
    'a range such as 27-30 in'
    """
    _, examples = _kind(unit, low, high)
    upper, _, spelling = examples[0].partition(" ")
    lower = Decimal(upper) * Decimal("0.9") if Decimal(upper) > 0 else Decimal(upper) * Decimal("1.1")
    return f"a range such as {lower.normalize():f}-{upper} {spelling}".rstrip()


@functools.cache
def _registry() -> pint.UnitRegistry[float]:
    import pint  # slow to import, so only where the first quantity is read

    registry: pint.UnitRegistry[float] = pint.UnitRegistry(None, autoconvert_offset_to_baseunit=False)
    for definition in _DEFINITIONS.values():
        registry.define(definition)
    return registry


def _unit(spelling: str, difference: bool = False) -> pint.Unit:
    """Return the registry's unit for a spelling; raise KeyError with the part that is not known."""
    import pint.util

    powers: dict[str, int] = {}
    plain = spelling.translate(_PLAIN).strip()
    parts = [] if plain == "1" else re.split(r"[ ]*([/*]|[ ])[ ]*", plain)
    alone = len(parts) == 1
    for position in range(0, len(parts), 2):
        match = _FACTOR.fullmatch(parts[position])
        if match is None or (match[1] == "1" and (position or alone)):
            raise KeyError(parts[position])
        if match[1] == "1":
            continue
        name = _REGISTRY_NAMES[match[1]]
        if name in ("celsius", "fahrenheit") and (difference or not alone):
            name = f"delta_{name}"  # per degree, or a step of degrees: the offset has no meaning there
        power = int(match[2] or 1) * (-1 if position and parts[position - 1] == "/" else 1)
        powers[name] = powers.get(name, 0) + power
    return _registry().Unit(pint.util.UnitsContainer(powers))


def _prepared(text: str, advice: str) -> str:
    """Return text ready for matching, after refusing what no number can start or contain."""
    plain = text.strip().translate(_PLAIN)
    if not plain:
        raise Refused("there is no value here", advice)
    if len(plain) > _LONGEST:
        raise Refused(f"{quoted(text)} is too long for a quantity", advice)
    if _UNUSABLE.match(plain):
        raise Refused(f"{quoted(text)} is not a number to reckon with", advice)
    if _COMMA.search(plain):
        thousands = re.search(r"[0-9],[0-9]{3}(?![0-9])", plain)
        better = _COMMA.sub(r"\1\2" if thousands else r"\1.\2", plain)
        raise Refused(f"{quoted(text)} has a comma in its number", better)
    return plain


def _leading_number(text: str, advice: str) -> tuple[float, str]:
    plain = _prepared(text, advice)
    match = _NUMBER.match(plain)
    if match is None:
        raise Refused(f"{quoted(text)} does not start with a number", advice)
    rest = plain[match.end() :]
    mixed = re.match(r"-[ ]*([0-9]{1,9}/[0-9]{1,9})", rest)
    if mixed and match[1].lstrip("+-").isdigit():
        better = f"{match[1]} {mixed[1]} {rest[mixed.end() :].strip()}".rstrip()
        raise Refused(f"{quoted(text)} can be read as a range", better)
    if re.match(r"(?:-|–|to\b)[ ]*[0-9]", rest):
        raise Refused(f"{quoted(text)} is a range where one value belongs", advice)
    return _to_float(match[1], text), rest.strip()


def _to_float(number: str, text: str) -> float:
    """Return the value of a matched number: decimal, fraction or whole and fraction."""
    sign = -1.0 if number.startswith("-") else 1.0
    whole, _, fraction = number.lstrip("+-").rpartition(" ")
    if "/" not in fraction:
        value = float(fraction)
    else:
        numerator, denominator = (int(part) for part in fraction.split("/"))
        if denominator == 0:
            raise Refused(f"{quoted(text)} divides by zero", "a fraction such as 1/4")
        if whole and numerator >= denominator:
            raise Refused(f"{quoted(text)} has more than a whole in its fraction", "a number such as 1 7/16")
        value = float(int(whole or 0) + Fraction(numerator, denominator))
    if not math.isfinite(value):
        raise Refused(f"{quoted(text)} is not a number to reckon with", "a number of ordinary size")
    return sign * value


def _in_range(
    text: str, number: float, written_unit: str, unit: str, low: float, high: float, advice: str
) -> float:
    difference = unit.startswith(_DIFFERENCE)
    asked = _unit(unit.removeprefix(_DIFFERENCE), difference)
    if not written_unit and not asked.dimensionless:
        raise Refused(f"{quoted(text)} has no unit", advice)
    try:
        written = _unit(written_unit or "1", difference)
    except KeyError:
        raise _unknown_unit(text, written_unit, unit, advice) from None
    if written.dimensionality != asked.dimensionality:
        found = _kind_of_unit(written)
        wrong = f"{quoted(text)} is {found}" if found else f"{quoted(text)} has a unit that does not fit"
        raise Refused(f"{wrong}; {_kind(unit, low, high)[0]} belongs here", advice)
    value = float(_registry().Quantity(number, written).to(asked).magnitude)
    value = float(f"{value:.12g}")
    if not math.isfinite(value):
        raise Refused(f"{quoted(text)} is not a number to reckon with", advice)
    if math.isclose(value, low, rel_tol=1e-11):
        return float(low)
    if math.isclose(value, high, rel_tol=1e-11):
        return float(high)
    if not low <= value <= high:
        same = f"{_DIFFERENCE if difference else ''}{written_unit or '1'}"
        lower = None if low == -math.inf else _short(convert(low, unit, same), ROUND_CEILING)
        upper = None if high == math.inf else _short(convert(high, unit, same), ROUND_FLOOR)
        bounds = _bounds_in_words(
            lower and f"{lower} {written_unit}".rstrip(), upper and f"{upper} {written_unit}".rstrip()
        )
        raise Refused(f"{quoted(text)} is out of range", f"{_kind(unit, low, high)[0]} {bounds}")
    return value


def _unknown_unit(text: str, written_unit: str, unit: str, advice: str) -> Refused:
    message = f"{quoted(written_unit)} is not a unit known here"
    known = {spelling.lower(): spelling for spelling in (*_REGISTRY_NAMES, "gal/min", "L/min", "rev/min")}
    lowered = written_unit.lower().strip()
    guess = _MEANT.get(lowered) or known.get(lowered)
    if guess is None:
        close = difflib.get_close_matches(lowered[:20], [*known, *_MEANT], n=1, cutoff=0.7)
        guess = (_MEANT.get(close[0]) or known[close[0]]) if close else None
    if guess is not None:
        asked = _unit(unit.removeprefix(_DIFFERENCE))
        if _unit(guess).dimensionality == asked.dimensionality:
            number = text.strip()[: text.strip().rindex(written_unit)] if written_unit in text else ""
            if number:
                return Refused(message, f"{number.rstrip()} {guess}")
    return Refused(message, advice)


@functools.lru_cache(maxsize=512)
def _kind(unit: str, low: float, high: float) -> tuple[str, tuple[str, ...]]:
    """Return the words for what `unit` measures and one or two examples inside the range."""
    difference = unit.startswith(_DIFFERENCE)
    if difference:
        kind, stock = "a temperature difference", ("5 K", "9 °F")
    else:
        named = _kind_of_unit(_unit(unit))
        stock = next((kinds[1:] for kinds in _KINDS if kinds[0] == named), (f"1 {unit}", f"1 {unit}"))
        kind = named or f"a quantity in {unit}"
    examples: list[str] = []
    for example in stock:
        number, _, spelling = example.partition(" ")
        same = f"{_DIFFERENCE if difference else ''}{spelling or '1'}"
        value = _number_between(convert(low, unit, same), convert(high, unit, same), float(number))
        written = f"{_short(value, None) if value != float(number) else number} {spelling}".rstrip()
        if written not in examples:
            examples.append(written)
    return kind, tuple(examples)


def _kind_of_unit(unit: pint.Unit) -> str | None:
    for kind, example, _ in _KINDS:
        if _unit(example.partition(" ")[2] or "1").dimensionality == unit.dimensionality:
            return kind
    return None


def _number_between(low: float, high: float, usual: float) -> float:
    """Return the usual example where it is allowed, otherwise a short number that is."""
    if low <= usual <= high:
        return usual
    if math.isinf(low) or math.isinf(high):
        return high if math.isinf(low) else low
    middle = float(f"{(low + high) / 2:.2g}")
    return middle if low <= middle <= high else (low + high) / 2


def _short(value: float, rounding: str | None) -> str:
    """Write a number in four digits, rounded towards the inside of a range so that it is itself allowed."""
    exact = Decimal(f"{value:.10g}")
    rounded = Context(prec=4, rounding=rounding).plus(exact) if rounding else Context(prec=4).plus(exact)
    plain = not rounded or 1e-4 <= abs(rounded) < 1e12
    return f"{rounded.normalize():f}" if plain else f"{rounded.normalize():e}"


def _bounds_in_words(low: str | None, high: str | None) -> str:
    if low is None:
        return f"of at most {high}"
    return f"of at least {low}" if high is None else f"from {low} to {high}"
