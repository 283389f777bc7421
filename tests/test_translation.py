"""What authors write in English, shown in the reader's language; judged and recorded as it was."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pygame
import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner

from trainer import app, cli
from trainer.authoring import orders
from trainer.authoring.check import Report, check_paths
from trainer.authoring.compile import Job, list_jobs, load_job
from trainer.authoring.source import ContentError
from trainer.authoring.translation import (
    content_files,
    load_texts,
    read_phrases,
    show_in,
    translated,
    untranslated,
)
from trainer.content import content_root
from trainer.core.actions import Action
from trainer.core.case import Case
from trainer.lang import FALLBACK, Texts, languages
from trainer.lang.phrases import Phrases, numbered
from trainer.records import journal, telling
from trainer.records.journal import record_of
from trainer.records.pages import render
from trainer.records.settings import Settings
from trainer.scene.debrief import Debrief
from trainer.scene.desk import Screen
from trainer.scene.planning import PlanBoard
from trainer.scene.screens import FirstScreen, JobSheet
from trainer.scene.shell import Shell

COUPLE = "first-week/couple"
OTHERS = sorted(set(languages()) - {FALLBACK})


@pytest.fixture(scope="module")
def spanish() -> Texts:
    return load_texts("es")


@pytest.mark.parametrize("language", OTHERS)
def test_nothing_that_is_shipped_is_untranslated(language: str) -> None:
    lacking = untranslated(content_files(), load_texts(language))
    assert [f"{each.place} {each.text}" for each in lacking] == []


@pytest.mark.parametrize("language", OTHERS)
def test_the_shipped_phrases_keep_the_rules_for_phrases(language: str) -> None:
    path = content_root() / "scenarios" / "lang" / f"{language}.yaml"
    phrases = read_phrases(path)
    assert phrases == load_texts(language).phrases.table


def read_texts(case: Case) -> list[str]:
    """Everything a trainee reads in a case."""
    said = [case.title, *case.text, case.tractor.title, case.implement.title]
    said += [function.title for function in case.implement.functions]
    said += [site.title for site in case.sites]
    for paper in case.papers:
        said += [paper.title, *paper.lines]
    for step in case.steps:
        said += [step.title, *(edge.why for edge in step.after)]
    return said


@pytest.mark.parametrize("name", list_jobs())
def test_every_text_of_a_job_is_put_over_also_where_its_gaps_are_filled(name: str, spanish: Texts) -> None:
    job = load_job(name)
    shown = translated(job, spanish)
    pairs = list(zip(read_texts(job.case), read_texts(shown.case), strict=True))
    pairs += [(slip.title, put.title) for slip, put in zip(job.slips, shown.slips, strict=True)]
    left = [
        english for english, put in pairs if english == put and spanish.phrases.table.get(english) is None
    ]
    assert left == []
    assert not [put for _, put in pairs if "{" in put]


def test_a_job_in_another_language_plays_grades_and_is_recorded_as_the_original(spanish: Texts) -> None:
    job = load_job(COUPLE)
    shown = translated(job, spanish)
    slip = job.slip("drain_on_power_beyond")
    one = orders.play_items(job.case, job.rules, slip.items)
    other = orders.play_items(shown.case, shown.rules, shown.slip(slip.name).items)
    assert one.findings == other.findings
    assert one.score() == other.score()
    assert record_of(job, one) == record_of(shown, other)


def test_the_debrief_is_told_in_spanish_with_its_sources(spanish: Texts) -> None:
    job = load_job(COUPLE)
    attempt = orders.play_items(job.case, job.rules, job.slip("drain_on_power_beyond").items)
    shown = show_in(job, attempt, spanish)
    page = render(shown, attempt, spanish)
    assert '<html lang="es">' in page
    assert "Acoplar la sembradora" in page
    blown = next(finding for finding in attempt.findings if finding.rule == "seal_blown")
    assert telling.say_finding(attempt.case, blown, spanish).startswith("Retén del eje reventado")
    assert telling.source_of(blown, spanish).startswith("banda de calificación")
    for english in ("Vacuum fan", "vacuum fan", "Couple the planter", "scoring band"):
        assert english not in page


def test_what_an_author_did_not_translate_stays_english(spanish: Texts) -> None:
    assert spanish.translated("A winch of the moon") == "A winch of the moon"
    assert Texts.load("es").translated("Vacuum fan") == "Vacuum fan"


def own_job(folder: Path) -> Path:
    """A job of an instructor's own, in a folder of its own."""
    text = (content_root() / "scenarios" / "jobs" / f"{COUPLE}.yaml").read_text("utf-8")
    path = folder / "jobs" / "mine.yaml"
    path.parent.mkdir(parents=True)
    path.write_text(text.replace("title: Couple the planter", "title: Couple it by noon", 1), "utf-8")
    return path


def test_a_folder_of_ones_own_brings_its_own_translations(tmp_path: Path) -> None:
    path = own_job(tmp_path)
    assert load_texts("es", path).translated("Couple it by noon") == "Couple it by noon"
    (tmp_path / "lang").mkdir()
    (tmp_path / "lang" / "es.yaml").write_text('"Couple it by noon": Acoplarla antes del mediodía\n', "utf-8")
    texts = load_texts("es", path)
    assert texts.translated("Couple it by noon") == "Acoplarla antes del mediodía"
    assert texts.translated("Vacuum fan") == "Ventilador de vacío"


def test_check_lists_what_a_language_lacks_ready_to_be_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = own_job(tmp_path)
    lacking = untranslated(load_job(path).files, load_texts("es", path))
    assert [each.text for each in lacking] == ["Couple it by noon"]
    monkeypatch.setattr("trainer.authoring.check.check_job", _nothing_wrong)
    checked = check_paths([path], texts=load_texts("es", path))
    assert checked.ok
    told = json.loads(json.dumps(checked.to_json()))["untranslated"]
    assert [(each["text"], each["line"]) for each in told] == [("Couple it by noon", 2)]
    ran = CliRunner().invoke(cli.app, ["check", str(path), "--language", "es"])
    assert ran.exit_code == 0
    assert '"Couple it by noon": ""' in ran.stdout
    assert not check_paths([path]).untranslated


def _nothing_wrong(job: Job, texts: Texts) -> Report:
    del texts
    return Report(job.name, (), (), ())


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('"Weight: {1}": "Peso"', "es.yaml:1:16: the translation has not the gaps of the text: {1}"),
        ('"Weight": "Peso {1}"', "es.yaml:1:11: the translation has not the gaps of the text: none"),
        ("- Weight", "es.yaml:1:1: this is no mapping of texts"),
        ("Weight: {a: b}", "es.yaml:1:9: a translation is one text"),
        ("Weight: Peso\nWeight: Masa", "es.yaml:2:1"),
    ],
)
def test_a_file_of_phrases_that_cannot_be_used_is_told_with_its_place(text: str, message: str) -> None:
    with pytest.raises(ContentError) as caught:
        read_phrases(text, "es.yaml")
    assert message in str(caught.value)


@given(st.text("ab {}.:1/", max_size=12), st.text("0123456789 ./", min_size=1, max_size=8))
def test_a_filled_text_is_recognised_by_the_words_around_its_gap(words: str, figure: str) -> None:
    source = f"Weight {numbered(words)}: {{mass as 1 kg}}!"
    phrases = Phrases({numbered(source): f"<{numbered(source)}>"})
    assert phrases.knows(source)
    if "{" not in numbered(words):
        assert phrases.say(f"Weight {words}: {figure}!") == f"<Weight {words}: {figure}!>"


def test_the_phrase_with_the_most_words_fits_best() -> None:
    phrases = Phrases({"Dial {1}: {2}": "P {1}: {2}", "Dial {1}: {2}, or all": "P {1}: {2}, o todo"})
    assert phrases.say("Dial 3: 5 L, or all") == "P 3: 5 L, o todo"


@pytest.fixture
def program() -> Iterator[app.Program]:
    """The window's program, on a surface that nobody sees."""
    aside = app._Aside((1280, 720))
    program = app.Program(pygame.Surface((1280, 720)), Settings(language="es"))
    yield program
    program._close_journal()
    aside.close()


def test_an_attempt_left_off_goes_on_in_the_language_of_the_reader(program: app.Program) -> None:
    begun = journal.start(load_job(COUPLE))
    begun.close()
    program.resume(begun.path)
    program.draw(0.0)
    assert program.job is not None
    assert program.job.case.title == "Acoplar la sembradora"
    assert program.journal is not None
    assert program.journal.attempt.case.title == "Acoplar la sembradora"
    assert begun.path.read_text("utf-8").count("Acoplar la sembradora") == 0


def test_another_language_can_be_chosen_over_any_screen(program: app.Program) -> None:
    def choose(language: str) -> Screen:
        program.open_settings()
        program.draw(0.0)
        program.desk.speak(language)
        program.desk.take_off()
        program.draw(0.0)
        assert program.desk.screen is not None
        return program.desk.screen

    program.first()
    first = choose("en")
    assert isinstance(first, FirstScreen)
    assert "Couple the planter" in [job.title for job in first.jobs]
    program.sheet(COUPLE)
    sheet = choose("es")
    assert isinstance(sheet, JobSheet)
    assert sheet.case.title == "Acoplar la sembradora"
    program.plan(sheet.job)
    board = choose("en")
    assert isinstance(board, PlanBoard)
    assert "Stow the drawbar" in board.titles.values()
    program.yard(board.job, "guided")
    attempt = program.desk.screen.attempt  # type: ignore[union-attr]
    shell = choose("es")
    assert isinstance(shell, Shell)
    assert shell.attempt is attempt
    assert shell.case.title == attempt.case.title == "Acoplar la sembradora"
    attempt.do(Action("hand_in"))
    program.debrief(attempt, "guided")
    program.desk.screen.finish_drawing()  # type: ignore[union-attr]
    debrief = choose("en")
    assert isinstance(debrief, Debrief)
    assert debrief.job.case.title == "Couple the planter"
    debrief.finish_drawing()
    debrief.leave()
