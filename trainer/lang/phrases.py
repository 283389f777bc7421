"""Texts that authors write in English (titles, job sheets, papers, reasons), put over for the reader.

A file of phrases maps an English text to its translation. Gaps of the English text are numbered in the order
they stand in, whatever is written inside them: `"Weight: {tractor.mass_kg as 10 lb}"` is looked up as
`"Weight: {1}"`, and the translation puts `{1}` where it belongs. What was filled in already (a paper that is
read in the yard) is recognised by the words around the gaps. What is not in the file stays English.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

_GAP = re.compile(r"\{[^{}]*\}")
_NUMBERED = re.compile(r"\{(\d+)\}")
_WORDS = re.compile(r"[^\W\d_]+(?: [^\W\d_]+)*")


def numbered(text: str) -> str:
    """A text with its gaps numbered.

    >>> numbered("Weight: {tractor.mass_kg as 10 lb}, on {place}")
    'Weight: {1}, on {2}'
    """
    count = 0

    def number(_: re.Match[str]) -> str:
        nonlocal count
        count += 1
        return f"{{{count}}}"

    return _GAP.sub(number, text)


def gaps_of(text: str) -> list[str]:
    """Numbers of the gaps of a phrase, sorted, each once.

    >>> gaps_of("{2} of {1}, {2}")
    ['1', '2']
    """
    return sorted(set(_NUMBERED.findall(text)))


class Phrases:
    """English texts and their translations in one language.

    >>> phrases = Phrases({"Weight: {1}": "Peso: {1}", "Use the hook: {1}": "Use el gancho: {1}", "yes": "sí",
    ...     "in": "pulg"})
    >>> phrases.say("Weight: 1320 lb"), phrases.say("Use the hook: yes"), phrases.say("Weight: 3 in (76 mm)")
    ('Peso: 1320 lb', 'Use el gancho: sí', 'Peso: 3 pulg (76 mm)')
    >>> phrases.say("Look round"), phrases.knows("Look round"), phrases.knows("Weight: {mass as 1 kg}")
    ('Look round', False, True)
    """

    def __init__(self, table: Mapping[str, str] | None = None) -> None:
        self.table = dict(table or {})
        found = []
        for source, put in self.table.items():
            if _NUMBERED.search(source):
                parts = _NUMBERED.split(source)  # words, number, words, number, words
                names = parts[1::2]
                words = [re.escape(part) for part in parts[::2]]
                found.append((len(_GAP.sub("", source)), re.compile("(.+?)".join(words)), names, put))
        # The phrase with the most words of its own fits best.
        self._patterns = [each[1:] for each in sorted(found, key=lambda each: -each[0])]

    def say(self, text: str) -> str:
        """The translation of a text, with or without its gaps filled; the text itself where there is none."""
        return self._found(text) or text

    def knows(self, text: str) -> bool:
        """Whether there is a translation of a text as its author wrote it."""
        return self._found(numbered(text)) is not None

    def _found(self, text: str) -> str | None:
        if text in self.table:
            return self.table[text]
        for pattern, names, put in self._patterns:
            match = pattern.fullmatch(text)
            if match is not None:
                given = dict(zip(names, map(self._value, match.groups()), strict=True))
                return _NUMBERED.sub(lambda gap, given=given: given.get(gap[1], gap[0]), put)  # type: ignore[misc]
        return None

    def _value(self, value: str) -> str:
        """What fills a gap: a phrase itself, or figures whose unit has another name."""
        if value in self.table:
            return self.table[value]
        return _WORDS.sub(lambda words: self.table.get(words[0], words[0]), value)
