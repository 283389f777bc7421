"""Files to start from: what `coupling-yard new` writes passes `check`, in a folder of somebody's own."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from trainer.authoring.check import check_job
from trainer.authoring.compile import compile_texts, load_job
from trainer.authoring.new import new_file
from trainer.authoring.quantities import Refused
from trainer.cli.base import app


def write(folder: Path, kind: str, name: str, **given: str) -> Path:
    said = {"coupling": "three_point", "tractor": "", "implement": "", "goal": "couple", **given}
    return new_file(kind, name, folder, **said)


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """A folder with a tractor, a mounted and a drawn implement as they are written."""
    write(tmp_path, "tractor", "blue_one")
    write(tmp_path, "implement", "cultivator")
    write(tmp_path, "implement", "trailed_tool", coupling="drawbar")
    return tmp_path


@pytest.mark.parametrize(
    ("tractor", "implement", "goal"),
    [
        ("blue_one", "cultivator", "couple"),
        ("rowcrop_mid", "cultivator", "uncouple"),
        ("blue_one", "trailed_tool", "couple"),
        ("blue_one", "trailed_tool", "uncouple"),
        ("rowcrop_mid", "planter_8row", "couple"),
        ("blue_one", "planter_8row", "uncouple"),
    ],
)
def test_a_job_that_is_written_passes(own: Path, tractor: str, implement: str, goal: str) -> None:
    path = write(own, "job", "spring/try_out", tractor=tractor, implement=implement, goal=goal)
    job = load_job(path)
    assert (job.name, job.case.goal, job.case.implement.name) == ("spring/try_out", goal, implement)
    assert compile_texts(job.name, job.files) == job
    (answer,) = check_job(job).runs
    assert [fault for fault in answer.faults if "step " in fault or "refuses" in fault] == []
    assert answer.ok, answer.faults
    assert answer.time_s < job.case.par_s <= answer.time_s * 1.5 + 300


def test_files_are_commented_and_say_their_name(own: Path) -> None:
    for file in sorted(own.rglob("*.yaml")):
        text = file.read_text("utf-8")
        assert text.startswith("# ")
        assert f"\nname: {file.stem} " in text
        assert "NAME" not in text
        assert "TITLE" not in text


def test_supplies_are_worked_out(own: Path) -> None:
    path = write(own, "job", "planting", tractor="blue_one", implement="planter_8row")
    assert path == own / "jobs" / "own" / "planting.yaml"
    supplies = "supplies: {fan: v1, frame_lift: v2, markers: v3, generator: power_beyond}"
    assert supplies in path.read_text("utf-8")


@pytest.mark.parametrize(
    ("kind", "name", "given", "message"),
    [
        ("tractor", "Blue One", {}, "'Blue One' is not a name"),
        ("tractor", "blue_one", {}, "is there already"),
        ("tracktor", "x", {}, "'tracktor' is nothing to write a file for. Write: tractor"),
        ("implement", "x", {"coupling": "drawbra"}, "'drawbra' is no way to couple. Write: drawbar"),
        ("job", "x", {"implement": "cultivator"}, "a job needs --tractor"),
        (
            "job",
            "x",
            {"tractor": "blu_one", "implement": "cultivator"},
            "no tractor called 'blu_one'",
        ),
        ("job", "../x", {"tractor": "blue_one", "implement": "cultivator"}, "is not a name"),
        (
            "job",
            "x",
            {"tractor": "blue_one", "implement": "cultivator", "goal": "park"},
            "'park' is no goal",
        ),
    ],
)
def test_what_cannot_be_written_is_told(
    own: Path, kind: str, name: str, given: dict[str, str], message: str
) -> None:
    with pytest.raises(Refused) as caught:
        write(own, kind, name, **given)
    assert message in str(caught.value)


def test_the_command_writes_and_says_where(tmp_path: Path) -> None:
    runner = CliRunner()
    done = runner.invoke(app, ["new", "tractor", "grey_one", "--into", str(tmp_path)])
    assert (done.exit_code, done.stdout.strip()) == (0, str(tmp_path / "machines/tractors/grey_one.yaml"))
    again = runner.invoke(app, ["new", "tractor", "grey_one", "--into", str(tmp_path)])
    assert again.exit_code != 0
    assert "is there already" in again.output
