"""Checking again when a file changes (no test waits), and looks that no drawing shows."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from typer.testing import CliRunner

from trainer.authoring.check import check_paths, look_problems
from trainer.authoring.new import new_file
from trainer.authoring.watching import changes, folders_of
from trainer.cli import app, authors
from trainer.content import content_root


def after(*deeds: Callable[[], object]) -> Callable[[], bool]:
    """A wait in which something happens each time, until nothing is left to happen."""
    left: Iterator[Callable[[], object]] = iter(deeds)

    def wait() -> bool:
        deed = next(left, None)
        if deed is not None:
            deed()
        return deed is not None

    return wait


def test_changes_are_told_once_each(tmp_path: Path) -> None:
    first, second = tmp_path / "a.yaml", tmp_path / "below" / "b.yaml"
    second.parent.mkdir()
    first.write_text("a: 1")
    wait = after(
        lambda: None,
        lambda: second.write_text("b: 1"),
        lambda: (tmp_path / "picture.png").write_text("no content file"),
        lambda: first.write_text("a: 12"),
        second.unlink,
    )
    assert list(changes([tmp_path], wait)) == [(), (second,), (first,), (second,)]


def test_what_is_watched_for_a_job(tmp_path: Path) -> None:
    shipped = tmp_path / "scenarios"
    own = tmp_path / "mine" / "jobs" / "spring" / "one.yaml"
    loose = tmp_path / "loose" / "two.yaml"
    assert folders_of([str(own), str(loose), "first-week/couple"], shipped) == (
        shipped,
        tmp_path / "mine",
        tmp_path / "loose",
    )


def test_the_command_checks_again_until_it_is_stopped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A job that is no job is mended while the command watches it."""
    job = tmp_path / "one.yaml"
    job.write_text("title: [")
    good = content_root() / "scenarios" / "jobs" / "first-week" / "hands.yaml"

    def stop() -> None:
        raise KeyboardInterrupt

    wait = after(lambda: job.write_text(good.read_text("utf-8"), "utf-8"), stop)
    monkeypatch.setattr(authors, "_until_next_look", wait)
    done = CliRunner().invoke(app, ["check", str(job), "--watch"])
    assert done.exit_code == 0, done.output
    assert "one.yaml:1:9:" in done.output
    assert "Changed: one.yaml" in done.output
    assert "own/one: good" in done.output


def test_a_look_that_no_drawing_shows(tmp_path: Path) -> None:
    for kind in ("tractor", "implement"):
        new_file(kind, "mine", tmp_path, "drawbar", "", "", "couple")
    path = new_file("job", "try", tmp_path, "", "mine", "mine", "couple")
    assert not check_paths([path]).problems
    machine = tmp_path / "machines" / "implements" / "mine.yaml"
    text = machine.read_text("utf-8")
    line = next(number for number, one in enumerate(text.splitlines(), 1) if one.startswith("look:"))
    machine.write_text(text.replace("look: general_drawn", "look: general_drown"), "utf-8")
    (problem,) = check_paths([path]).problems
    assert (problem.place.line, problem.place.column, problem.advice) == (line, 7, "general_drawn")
    told = CliRunner().invoke(app, ["check", str(path), "--format", "json"])
    assert told.exit_code == 1
    assert json.loads(told.stdout)["problems"][0]["message"] == "there is no look called 'general_drown'"


def test_every_shipped_machine_has_a_look_there_is() -> None:
    machines = content_root() / "scenarios"
    files = {
        path.relative_to(machines).as_posix(): path.read_text("utf-8")
        for path in machines.glob("machines/*/*.yaml")
    }
    assert len(files) >= 9
    assert list(look_problems(files)) == []
