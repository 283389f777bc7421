"""Every language says everything that English says, with the same gaps; and which language is spoken."""

from __future__ import annotations

import pytest
from typer.testing import CliRunner

from trainer import cli
from trainer.lang import FALLBACK, Texts, chosen, languages, system_tags
from trainer.records import settings

OTHERS = sorted(set(languages()) - {FALLBACK})


def faults(texts: Texts, against: Texts) -> list[str]:
    """What one language has to do to say what another says."""
    mine, theirs = set(texts.under()), set(against.under())
    found = [f"{key} is missing" for key in sorted(theirs - mine)]
    found += [f"{key} is said nowhere" for key in sorted(mine - theirs)]
    for key in sorted(mine & theirs):
        gaps, wanted = sorted(set(texts.gaps(key))), sorted(set(against.gaps(key)))
        if gaps != wanted:
            found.append(f"{key} has the gaps {gaps} in place of {wanted}")
        if not texts.say(key, **dict.fromkeys(gaps, "x")).strip():
            found.append(f"{key} is empty")
    return found


def test_there_are_english_and_spanish_under_the_names_they_give_themselves() -> None:
    assert languages()["en"] == "English"
    assert languages()["es"] == "Español"


@pytest.mark.parametrize("language", OTHERS)
def test_a_language_says_everything_with_the_same_gaps(language: str) -> None:
    assert faults(Texts.load(language), Texts.load(FALLBACK)) == []


def test_a_missing_text_one_too_many_and_another_gap_are_told_by_key() -> None:
    english = Texts({"a": {"one": "{count} hoses", "two": "Two"}})
    other = Texts({"a": {"one": "{number} mangueras"}, "b": "B"}, "xx")
    assert faults(other, english) == [
        "a.two is missing",
        "b is said nowhere",
        "a.one has the gaps ['number'] in place of ['count']",
    ]


@pytest.mark.parametrize("language", OTHERS)
def test_no_sentence_was_left_in_english(language: str) -> None:
    """A text of several words that is the same in both languages was not put over."""
    english, texts = Texts.load(FALLBACK), Texts.load(language)

    def words(text: str) -> list[str]:
        return [word for word in text.split() if word.strip('.,:;()"').isalpha()]

    both = set(english.under()) & set(texts.under())
    same = [
        key for key in sorted(both) if texts.raw(key) == english.raw(key) and len(words(texts.raw(key))) > 2
    ]
    assert same == []


@pytest.mark.parametrize(
    ("surroundings", "language"),
    [
        ({}, "en"),
        ({"LANG": "es_MX.UTF-8"}, "es"),
        ({"LANG": "es"}, "es"),
        ({"LC_ALL": "es_AR.UTF-8", "LANG": "en_US.UTF-8"}, "es"),
        ({"LANGUAGE": "qu:es:en", "LANG": "en_US.UTF-8"}, "es"),
        ({"LANG": "xx_YY"}, "en"),
        ({"LC_ALL": "C", "LANGUAGE": "es", "LANG": "es_MX.UTF-8"}, "en"),
    ],
)
def test_the_first_guess_is_what_the_system_speaks(surroundings: dict[str, str], language: str) -> None:
    assert chosen(tags=system_tags(surroundings)) == language


def test_asked_for_goes_before_kept_and_kept_before_the_system() -> None:
    assert chosen("en", "es", ["es_MX"]) == "en"
    assert chosen("", "en", ["es_MX"]) == "en"
    assert chosen("", "gone", ["es_MX"]) == "es"


@pytest.mark.parametrize(
    "line", [["--language", "es", "jobs"], ["jobs", "--language", "es"], ["jobs", "--language=es"]]
)
def test_a_command_speaks_the_language_it_is_asked_for_and_only_that_once(line: list[str]) -> None:
    assert "Tiempo usual" in CliRunner().invoke(cli.app, line).stdout
    assert "Usual time" in CliRunner().invoke(cli.app, ["jobs"]).stdout


def test_a_command_speaks_the_language_that_was_kept() -> None:
    settings.save(settings.Settings(language="es"))
    assert "Tiempo usual" in CliRunner().invoke(cli.app, ["jobs"]).stdout
    assert "Usual time" in CliRunner().invoke(cli.app, ["jobs", "--language", "en"]).stdout


def test_a_language_that_is_not_there_is_told_with_those_that_are() -> None:
    ran = CliRunner().invoke(cli.app, ["jobs", "--language", "xx"])
    assert ran.exit_code == 2
    assert "en (English)" in ran.output
    assert "es (Español)" in ran.output
