"""A folder of somebody's own beside the shipped files, right and wrong: in the window, by command."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pygame
import pytest
from typer.testing import CliRunner

from test_scene import Sitting
from trainer.authoring.new import new_file
from trainer.authoring.own import check_folder, look_into
from trainer.authoring.source import ContentError
from trainer.cli import app as _app  # noqa: F401  so that every command is there
from trainer.cli.base import app
from trainer.scene.screens import FirstScreen, JobSheet, Listed
from trainer.scene.shell import Shell


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The files of a folder with a tractor, an implement nobody couples and a job, by name."""
    folder = tmp_path_factory.mktemp("written")
    new_file("tractor", "blue_one", folder, "three_point", "", "", "couple")
    new_file("implement", "roller", folder, "drawbar", "", "", "couple")
    new_file("job", "spring/plant", folder, "", "blue_one", "planter_8row", "couple")
    return {path.relative_to(folder).as_posix(): path.read_text("utf-8") for path in folder.rglob("*.yaml")}


@pytest.fixture
def own(written: dict[str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("COUPLING_YARD_HOME", str(tmp_path / "home"))
    pygame.display.init()
    pygame.font.init()
    folder = tmp_path / "own"
    for name, text in written.items():
        write(folder / name, text)
    return folder


def write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, "utf-8")


def spoil(path: Path, old: str, new: str) -> None:
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")


def first(sitting: Sitting) -> FirstScreen:
    assert isinstance(sitting.desk.screen, FirstScreen)
    return sitting.desk.screen


def listed(sitting: Sitting, name: str) -> Listed:
    return next(job for job in first(sitting).jobs if job.name == name)


def pick(sitting: Sitting, name: str) -> None:
    act = sitting.target(f"first.job.{name}").act
    assert act is not None
    act()
    sitting.frame(2)


# --- the window --------------------------------------------------------------------------------------------


def test_ones_own_jobs_come_first_and_are_played(own: Path) -> None:
    sitting = Sitting(folder=str(own))
    jobs = first(sitting).jobs
    assert [job.name for job in jobs if job.own] == ["spring/plant"] == [jobs[0].name]
    assert len(jobs) > 20
    pick(sitting, "spring/plant")
    sitting.click("first.open")
    assert isinstance(sitting.desk.screen, JobSheet)
    assert sitting.desk.screen.case.tractor.name == "blue_one"
    sitting.click("sheet.start")
    assert isinstance(sitting.desk.screen, Shell)
    sitting.program.leave()
    assert first(sitting).unfinished is not None
    sitting.frame()
    sitting.click("first.resume")
    assert sitting.shell.case.tractor.name == "blue_one"
    sitting.program.leave()


def test_a_job_with_mistakes_says_so_and_the_others_can_be_done(own: Path, written: dict[str, str]) -> None:
    write(own / "jobs" / "spring" / "second.yaml", written["jobs/spring/plant.yaml"])
    spoil(own / "jobs" / "spring" / "plant.yaml", "brake: set", "brake: sat")
    sitting = Sitting(folder=str(own), job="spring/plant")
    (trouble, *_) = listed(sitting, "spring/plant").trouble
    assert trouble.startswith("jobs/spring/plant.yaml:")
    assert "'sat' is not one of set, released" in trouble
    target = sitting.target("first.job.spring/plant")
    assert "has mistakes" in target.label
    opening = sitting.target("first.open")
    assert opening.act is None or not opening.enabled
    pick(sitting, "spring/second")
    sitting.click("first.open")
    assert isinstance(sitting.desk.screen, JobSheet)
    sitting.program.first()
    sitting.frame()
    pick(sitting, "first-week/couple")
    sitting.click("first.open")
    assert isinstance(sitting.desk.screen, JobSheet)
    sitting.program.first()
    spoil(own / "jobs" / "spring" / "plant.yaml", "brake: sat", "brake: set")
    sitting.program.first()  # put right meanwhile: looked at again
    assert listed(sitting, "spring/plant").trouble == ()


def test_a_job_that_got_mistakes_after_it_was_listed_is_told(own: Path) -> None:
    sitting = Sitting(folder=str(own), job="spring/plant")
    spoil(own / "machines" / "tractors" / "blue_one.yaml", "cut_off: 200 bar", "cut_off: 200")
    sitting.click("first.open")
    assert "has no unit" in first(sitting).trouble


def test_a_machine_that_no_job_uses_is_looked_at_too(own: Path) -> None:
    spoil(own / "machines" / "implements" / "roller.yaml", "mass: ", "mass: -")
    sitting = Sitting(folder=str(own))
    (told,) = first(sitting).folder_trouble
    assert told.startswith("machines/implements/roller.yaml:")
    assert listed(sitting, "spring/plant").trouble == ()


@pytest.mark.parametrize(("there", "key"), [(False, "own_missing"), (True, "own_empty")])
def test_a_folder_with_nothing_in_it_is_told(own: Path, there: bool, key: str) -> None:
    other = own.parent / "other"
    if there:
        other.mkdir()
    sitting = Sitting(folder=str(other))
    assert first(sitting).folder_trouble == (sitting.desk.say(f"screens.first.{key}"),)
    assert len(first(sitting).jobs) > 20


def test_a_folder_is_dropped_on_the_first_screen_kept_and_left_out_again(own: Path) -> None:
    sitting = Sitting()
    assert not [job for job in first(sitting).jobs if job.own]
    sitting.event(pygame.DROPFILE, file=str(own))
    assert listed(sitting, "spring/plant").own
    sitting.event(pygame.DROPFILE, file=str(own / "jobs" / "spring" / "plant.yaml"))  # no folder: nothing
    assert sitting.desk.settings.folder == str(own)
    sitting.program.keep_settings()
    kept = json.loads(sitting.program.settings_file.read_text("utf-8"))
    assert kept["folder"] == str(own)
    sitting.key(pygame.K_F2)
    act = sitting.target("settings.folder").act
    assert act is not None
    act()
    sitting.frame()
    sitting.click("settings.done")
    assert not [job for job in first(sitting).jobs if job.own]
    assert sitting.desk.settings.folder == ""


def test_ones_own_job_takes_the_place_of_a_shipped_one_of_its_name(
    own: Path, written: dict[str, str]
) -> None:
    write(
        own / "jobs" / "first-week" / "couple.yaml",
        written["jobs/spring/plant.yaml"].replace("title: Plant", "title: Ours"),
    )
    sitting = Sitting(folder=str(own), job="first-week/couple")
    assert [job.title for job in first(sitting).jobs if job.name == "first-week/couple"] == ["Ours"]
    sitting.click("first.open")
    assert isinstance(sitting.desk.screen, JobSheet)
    assert sitting.desk.screen.case.title == "Ours"


def test_a_folder_needs_no_machines(own: Path, written: dict[str, str], tmp_path: Path) -> None:
    text = written["jobs/spring/plant.yaml"].replace("tractors/blue_one.yaml", "tractors/rowcrop_mid.yaml")
    write(tmp_path / "jobs_only" / "jobs" / "spring" / "plant.yaml", text)
    found = look_into(tmp_path / "jobs_only")
    assert [(job.name, job.problems) for job in found.jobs] == [("spring/plant", ())]


def test_the_folders_own_words_are_spoken_and_broken_ones_told(own: Path) -> None:
    write(own / "lang" / "es.yaml", "Plant: Sembrar lo nuestro\n")
    sitting = Sitting(folder=str(own), language="es")
    assert listed(sitting, "spring/plant").title == "Sembrar lo nuestro"
    write(own / "lang" / "es.yaml", "Plant: [Sembrar]\n")
    sitting = Sitting(folder=str(own), language="es")
    assert "a translation is one text" in first(sitting).trouble
    assert sitting.desk.texts.language == "es"


def test_nothing_is_read_again_until_a_file_changes(own: Path) -> None:
    found = look_into(own)
    assert look_into(own, found) is found
    path = own / "jobs" / "spring" / "plant.yaml"
    write(own / "jobs" / "spring" / "bad.yaml", "title: x\n")
    more = look_into(own, found)
    assert [job.usable for job in more.jobs] == [False, True]
    assert more.jobs[1] is found.jobs[0]
    os.utime(path, (1, 1))
    again = look_into(own, more)
    assert again.jobs[0] is more.jobs[0]
    assert again.jobs[1] is not more.jobs[1]
    spoil(own / "machines" / "tractors" / "blue_one.yaml", "cut_off: 200 bar", "cut_off: 200")
    assert [job.usable for job in look_into(own, again).jobs] == [False, False]


# --- the command line --------------------------------------------------------------------------------------


def run(*arguments: str, status: int = 0) -> str:
    done = CliRunner().invoke(app, [*arguments])
    assert done.exit_code == status, done.output
    return done.output


def test_a_whole_folder_is_checked(own: Path) -> None:
    told = run("check", "--folder", str(own))
    assert told.splitlines()[0] == f"{own}: machines 2, jobs 1, mistakes 0"
    assert "spring/plant: good" in told
    spoil(own / "machines" / "implements" / "roller.yaml", "mass: ", "mass: -")
    spoil(own / "jobs" / "spring" / "plant.yaml", "brake: set", "brake: sat")
    told = run("check", "--folder", str(own), status=1)
    assert "mistakes 2" in told.splitlines()[0]
    assert "machines/implements/roller.yaml:" in told
    assert "jobs/spring/plant.yaml:" in told
    data = json.loads(run("check", "--folder", str(own), "--format", "json", status=1))
    assert {one["file"] for one in data["problems"]} == {
        "machines/implements/roller.yaml",
        "jobs/spring/plant.yaml",
    }


def test_machines_alone_are_checked(own: Path) -> None:
    (own / "jobs" / "spring" / "plant.yaml").unlink()
    assert run("check", "--folder", str(own)).strip() == f"{own}: machines 2, jobs 0, mistakes 0"
    with pytest.raises(ContentError, match="there is no such folder"):
        check_folder(own / "nowhere")


def test_a_machine_is_checked_by_its_file(own: Path) -> None:
    tractor, roller = (
        own / "machines" / group for group in ("tractors/blue_one.yaml", "implements/roller.yaml")
    )
    assert run("check", str(tractor), str(roller)).splitlines() == [f"{tractor}: good", f"{roller}: good"]
    spoil(roller, "look: ", "look: gneral  # ")
    told = run("check", str(tractor), str(roller), status=1)
    assert f"{tractor}: good" in told
    assert "roller.yaml:" in told
    assert "there is no look called 'gneral'" in told
    spoil(tractor, "cut_off: 200 bar", "cut_off: 200")
    assert "blue_one.yaml:" in run("check", str(tractor), status=1)
    assert "there is no such file" in run("check", str(own / "machines/tractors/blue_two.yaml"), status=1)


def test_jobs_of_a_folder_are_listed_whatever_one_of_them_is_like(own: Path, written: dict[str, str]) -> None:
    write(own / "jobs" / "spring" / "bad.yaml", "title: x\n")
    told = json.loads(CliRunner().invoke(app, ["jobs", "--folder", str(own), "--format", "json"]).stdout)
    assert told[0]["job"] == "spring/plant"
    assert len(told) > 20


def test_the_window_is_asked_for_a_folder_that_is_there(tmp_path: Path) -> None:
    from trainer.cli.base import Unusable

    done = CliRunner().invoke(app, ["--folder", str(tmp_path / "none")])
    assert isinstance(done.exception, Unusable)
    assert "this is not a folder" in str(done.exception)
