"""Every text a trainee reads, by key, in one file per language; and quantities in the units of the shop.

A text is asked for by its path in the file (`screens.first.title`). Whatever is missing is an error at once:
a text that quietly shows its own key would be found by a trainee instead of by a test.
"""

from __future__ import annotations

import locale
import os
import re
from collections.abc import Iterable, Iterator, Mapping
from importlib import resources
from typing import NamedTuple

import yaml

from trainer.lang.phrases import Phrases

FALLBACK = "en"
"""The language that is there whatever else is: others are measured against it."""
_GAP = re.compile(r"\{(\w+)\}")
_LOADER = getattr(yaml, "CBaseLoader", yaml.BaseLoader)  # several times as fast, where it was built
_NAMING = re.compile(r"^language:\n(?:[ ]+.*\n)+", re.MULTILINE)


class TextMissing(KeyError):
    """No such text, or a text with a gap that nothing was given for."""

    def __str__(self) -> str:
        return str(self.args[0])


def languages() -> dict[str, str]:
    """Code of each language there is -> what it calls itself, as its file says; sorted by code.

    >>> languages()["en"]
    'English'
    """
    names = {}
    for file in sorted(resources.files(__name__).iterdir(), key=lambda file: file.name):
        if file.name.endswith(".yaml"):
            block = _NAMING.search(file.read_text("utf-8"))
            tree = _tree(block[0]) if block else {}
            names[file.name.removesuffix(".yaml")] = Texts(tree).say("language.name")
    return names


def chosen(asked: str = "", kept: str = "", tags: Iterable[str] = (), known: Iterable[str] = ()) -> str:
    """The language to speak: the one asked for, the one kept from last time, the first of the system's tags
    that is known, or English. What is asked for and not known is passed over like all others.

    >>> chosen("", "", ["pt_BR.UTF-8", "es_MX.UTF-8", "en_US"], known=["en", "es"])
    'es'
    >>> chosen("en", "es", ["es"], known=["en", "es"]), chosen("xx", known=["en", "es"])
    ('en', 'en')
    """
    there = set(known) or set(languages())
    for tag in (asked, kept, *tags):
        code = re.split(r"[-_.@]", tag.strip().lower())[0]
        if code in there:
            return code
    return FALLBACK


def system_tags(environ: Mapping[str, str] | None = None) -> list[str]:
    """The languages the person's system speaks, the most wanted first.

    >>> system_tags({"LANGUAGE": "es_MX:en", "LANG": "en_US.UTF-8"})
    ['es_MX', 'en']
    >>> system_tags({"LC_ALL": "C", "LANGUAGE": "es", "LANG": "es_MX.UTF-8"})
    ['C']
    """
    given = os.environ if environ is None else environ
    spoken = next((given[name] for name in ("LC_ALL", "LC_MESSAGES", "LANG") if given.get(name)), "")
    if spoken.partition(".")[0] in ("C", "POSIX"):
        return [spoken.partition(".")[0]]  # a system that was asked for no language at all
    if given.get("LANGUAGE"):
        return given["LANGUAGE"].split(":")
    if not spoken and environ is None:
        spoken = locale.getlocale()[0] or ""  # where no variable says it
        spoken = _LOCALE_NAMES.get(spoken.partition("_")[0], spoken)
    return [spoken] if spoken else []


_LOCALE_NAMES = {"English": "en", "Spanish": "es", "French": "fr", "German": "de", "Portuguese": "pt"}
"""Windows names a language in English words where the others use its code."""


class _Scale(NamedTuple):
    """A unit: value = SI value * factor + offset, shown with this many decimals."""

    unit: str
    factor: float
    decimals: int  # -1 for whole tens
    offset: float = 0.0


# For each kind of quantity the US shop's unit, then the metric one. Factors are exact by definition
# (the inch, the pound, the US gallon) or their quotient, written to nine digits.
_SCALES: dict[str, tuple[_Scale, _Scale]] = {
    "pressure": (_Scale("psi", 1 / 6894.75729, 0), _Scale("bar", 1e-5, 1)),
    "flow": (_Scale("gal_min", 15850.3231, 1), _Scale("l_min", 60000.0, 1)),
    "length": (_Scale("in", 1 / 0.0254, 1), _Scale("mm", 1000.0, 0)),
    "height": (_Scale("in", 1 / 0.0254, 1), _Scale("cm", 100.0, 1)),
    "distance": (_Scale("ft", 1 / 0.3048, 1), _Scale("m", 1.0, 1)),
    "mass": (_Scale("lb", 1 / 0.45359237, -1), _Scale("kg", 1.0, 0)),
    "force": (_Scale("lbf", 0.224808943, 0), _Scale("n", 1.0, 0)),
    "temperature": (_Scale("deg_f", 1.8, 0, 32.0), _Scale("deg_c", 1.0, 0)),
    "speed_of_turn": (_Scale("rev_min", 1.0, 0), _Scale("rev_min", 1.0, 0)),
    "angle": (_Scale("deg", 57.2957795, 1), _Scale("deg", 57.2957795, 1)),
    "share": (_Scale("percent", 100.0, 0), _Scale("percent", 100.0, 0)),
    "time": (_Scale("s", 1.0, 0), _Scale("s", 1.0, 0)),
    "volume": (_Scale("gal", 264.172052, 2), _Scale("l", 1000.0, 2)),
    "voltage": (_Scale("volt", 1.0, 1), _Scale("volt", 1.0, 1)),
    "current": (_Scale("ampere", 1.0, 1), _Scale("ampere", 1.0, 1)),
}


class Texts:
    """The texts of one language.

    >>> texts = Texts({"screens": {"first": {"title": "Yard", "hello": "Good day, {name}"}}})
    >>> texts.say("screens.first.title"), texts.say("screens.first.hello", name="Ana")
    ('Yard', 'Good day, Ana')
    >>> texts.say("screens.first.subtitle")
    Traceback (most recent call last):
    trainer.lang.TextMissing: no text 'screens.first.subtitle'
    >>> texts.say("screens.first.hello")
    Traceback (most recent call last):
    trainer.lang.TextMissing: 'screens.first.hello' has a gap 'name' that nothing was given for
    """

    def __init__(self, tree: Mapping[str, object], language: str = "en") -> None:
        self.language = language
        self.phrases = Phrases()
        """What there is in this language for texts that authors wrote in English."""
        self._texts = dict(_flat(tree))

    @classmethod
    def load(cls, language: str = "en") -> Texts:
        """Read `trainer/lang/<language>.yaml`; raises TextMissing where there is no such language."""
        file = resources.files(__name__).joinpath(f"{language}.yaml")
        if not file.is_file():
            raise TextMissing(f"no texts for the language {language!r}")
        return cls(_tree(file.read_text("utf-8")), language)

    def has(self, key: str) -> bool:
        return key in self._texts

    def under(self, path: str = "") -> list[str]:
        """Keys in the order of the file; only those below `path` where one is given."""
        return [key for key in self._texts if not path or key.startswith(f"{path}.")]

    def gaps(self, key: str) -> tuple[str, ...]:
        """Names of the gaps of a text.

        >>> Texts({"a": "{limit} of {limit} {unit}"}).gaps("a")
        ('limit', 'limit', 'unit')
        """
        return tuple(_GAP.findall(self._text(key)))

    def raw(self, key: str) -> str:
        """A text as it stands in the file, its gaps open."""
        return self._text(key)

    def say(self, key: str, **gaps: object) -> str:
        """The text under a key with its gaps filled; what is given beyond them is not used."""
        text = self._text(key)

        def fill(match: re.Match[str]) -> str:
            if match[1] not in gaps:
                raise TextMissing(f"{key!r} has a gap {match[1]!r} that nothing was given for")
            return str(gaps[match[1]])

        return _GAP.sub(fill, text)

    def translated(self, text: str) -> str:
        """A text of the content in this language; as its author wrote it where there is no translation."""
        return self.phrases.say(text)

    def amount(self, kind: str, value_si: float, metric: bool = False, decimals: int | None = None) -> str:
        """A quantity (SI value) as the shop writes it, US units first.

        >>> texts = Texts({"units": {"psi": "psi", "bar": "bar", "in": "in"}})
        >>> texts.amount("pressure", 500_000), texts.amount("pressure", 500_000, metric=True)
        ('73 psi', '5.0 bar')
        >>> texts.amount("length", 0.0365125, decimals=3)
        '1.438 in'
        >>> Texts({"units": {"lb": "lb"}}).amount("mass", 600.0)
        '1320 lb'
        """
        number, unit = self.in_unit(kind, value_si, metric)
        places = _SCALES[kind][metric].decimals if decimals is None else decimals
        shown = f"{number:.{places}f}" if places >= 0 else f"{round(number, places):.0f}"
        if float(shown) == 0:
            shown = shown.lstrip("-")
        return f"{self.number(shown)} {unit}"

    def number(self, shown: str) -> str:
        """A number written with a point, with the decimal sign of the language.

        >>> Texts({"language": {"decimal": ","}}).number("12.5"), Texts({}).number("12.5")
        ('12,5', '12.5')
        """
        return shown.replace(".", self._texts.get("language.decimal", "."))

    def in_unit(self, kind: str, value_si: float, metric: bool = False) -> tuple[float, str]:
        """The number in the unit of the shop, and the unit's name."""
        scale = _SCALES[kind][metric]
        return value_si * scale.factor + scale.offset, self.say(f"units.{scale.unit}")

    def _text(self, key: str) -> str:
        try:
            return self._texts[key]
        except KeyError:
            raise TextMissing(f"no text {key!r}") from None


def flat(text: str) -> dict[str, str]:
    """A file of texts whose keys are texts themselves.

    >>> flat('"Hitch card": "Ficha del enganche"')
    {'Hitch card': 'Ficha del enganche'}
    """
    return {source: str(put) for source, put in _tree(text).items()}


def _flat(tree: Mapping[str, object], above: str = "") -> Iterator[tuple[str, str]]:
    for name, value in tree.items():
        if isinstance(value, Mapping):
            yield from _flat(value, f"{above}{name}.")
        else:
            yield f"{above}{name}", str(value)


def _tree(text: str) -> dict[str, object]:
    """Mappings and texts; every scalar stays the text that was written (`off` is a word here)."""
    node = yaml.compose(text, Loader=_LOADER)
    tree = _node(node)
    if not isinstance(tree, dict):
        raise TextMissing("the file of texts is not a mapping")
    return tree


def _node(node: yaml.Node | None) -> object:
    if not isinstance(node, yaml.MappingNode):
        return node.value if isinstance(node, yaml.ScalarNode) else ""
    tree: dict[str, object] = {}
    for key, value in node.value:
        if key.value in tree:
            raise TextMissing(f"line {key.start_mark.line + 1}: {key.value!r} stands here a second time")
        tree[key.value] = _node(value)
    return tree
