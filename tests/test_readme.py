"""What the README says is so: its commands exist, its tables are the program's, its worked example works."""

import json
import os
import re
import shlex
import shutil
import subprocess
import sys
import tomllib
from functools import cache
from pathlib import Path

import pygame
import pytest
import typer
from typer.testing import CliRunner

from test_scene import Sitting
from trainer import cli
from trainer.authoring.compile import load_job
from trainer.authoring.qualify import qualify, read_reference
from trainer.core.actions import QUANTITIES, WORDS
from trainer.core.case import STATIONS
from trainer.core.rules import FAILING, SEVERITIES
from trainer.core.scoring import FULL_MARKS, POINTS
from trainer.lang import Texts
from trainer.scene.screens import JobSheet

REPOSITORY = Path(__file__).resolve().parent.parent
README = (REPOSITORY / "README.md").read_text("utf-8")
DEVELOPERS = (REPOSITORY / "DEVELOPERS.md").read_text("utf-8")
EXAMPLE_JOB = "scenarios/jobs/own/small_fan.yaml"
EXAMPLE_MACHINE = "scenarios/machines/implements/planter_small_fan.yaml"


def section(title: str) -> str:
    """The text of a section of the README."""
    found = re.search(rf"^## {re.escape(title)}\n(.*?)(?=^## |\Z)", README, re.DOTALL | re.MULTILINE)
    assert found, title
    return found[1]


def blocks(title: str, kind: str = "") -> list[str]:
    """The fenced blocks of a section, in their order."""
    found = re.findall(r"^```(\w+)\n(.*?)^```$", section(title), re.DOTALL | re.MULTILINE)
    return [text for written_in, text in found if kind in ("", written_in)]


def commands(text: str) -> list[str]:
    """Every line of a fenced block and every piece of code in a sentence that starts the program."""
    fenced = re.findall(r"^(coupling-yard\b.*)$", text, re.MULTILINE)
    return fenced + re.findall(r"`(coupling-yard(?: [^`]*)?)`", text)


def ran(*arguments: str, folder: Path, status: int = 0) -> str:
    """What the program prints, started in a folder with the program's files in it or with this tree's."""
    root = folder if (folder / "trainer").is_dir() else REPOSITORY
    done = subprocess.run(
        [sys.executable, "-m", "trainer", *arguments],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(root), "COLUMNS": "120", "PYTHONUTF8": "1"},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == status, done.stdout + done.stderr
    return done.stdout + (done.stderr if status else "")


@cache
def first_steps() -> str:
    """The list of actions that the examples use."""
    return blocks("Command line", "yaml")[0]


# --- commands ---------------------------------------------------------------------------------------------


def test_it_installs_as_the_check_of_the_whole_project_does() -> None:
    line = 'pip install -e ".[test]"'
    assert README.count(line) == 2, "one line for each kind of system"
    assert line.replace("install", "install --quiet") in (REPOSITORY / ".ci" / "run").read_text("utf-8")
    project = tomllib.loads((REPOSITORY / "pyproject.toml").read_text("utf-8"))["project"]
    assert "test" in project["optional-dependencies"]
    assert "coupling-yard" in project["scripts"]
    assert f"Python {project['requires-python'].removeprefix('>=')} or newer" in README


@pytest.mark.parametrize("line", sorted(set(commands(README) + commands(DEVELOPERS))))
def test_every_command_written_down_can_be_understood(line: str) -> None:
    group = typer.main.get_command(cli.app)
    words = shlex.split(line)[1:]
    if not words or words[0].startswith("-"):
        known = {name for option in group.params for name in option.opts}
        assert {word for word in words if word.startswith("-")} <= known | {"--help"}
        return
    assert words[0] in group.commands, f"no command {words[0]!r}"
    arguments = [word for word in words[1:] if word != "..."]
    if arguments:
        group.commands[words[0]].make_context(words[0], arguments)


def test_every_command_is_written_down() -> None:
    group = typer.main.get_command(cli.app)
    shown = {line.split()[1] for line in commands(section("Command line")) if " " in line}
    assert set(group.commands) <= shown


def test_the_examples_of_the_command_line_run(tmp_path: Path) -> None:
    (tmp_path / "first-steps.yaml").write_text(first_steps(), "utf-8")
    wanted = ("run", "grade", "replay", "jobs", "actions")
    lines = [line for line in commands(section("Command line")) if line.split()[1:2] and "=" not in line]
    done = [line for line in lines if line.split()[1] in wanted]
    for line in done:
        assert ran(*shlex.split(line)[1:], folder=tmp_path)
    assert {line.split()[1] for line in done} == set(wanted)
    assert {"first.jsonl", "first.html"} <= {path.name for path in tmp_path.iterdir()}


# --- tables -----------------------------------------------------------------------------------------------


def action_row(name: str) -> str:
    word, texts = WORDS[name], Texts.load()
    where = (
        texts.say("cli.actions.anywhere")
        if set(word.stations) == set(STATIONS)
        else ", ".join(texts.say(f"cli.stations.{station}") for station in word.stations)
    )
    busy = f"{word.busy_s:g} s" if word.busy_s else ""
    return f"| `{name}` | {word.says} | {where} | {busy} | `- {word.example}` |"


def test_the_table_of_actions_is_the_programs() -> None:
    rows = [line for line in section("Action words").splitlines() if line.startswith("| `")]
    assert rows == [action_row(name) for name in WORDS]


def test_all_that_can_be_measured_is_named() -> None:
    said = re.search(r"`measure`\s+takes\s+one\s+of\s+([^.]*)\.", section("Action words"))
    assert said is not None
    assert tuple(re.findall(r"`(\w+)`", said[1])) == QUANTITIES


def test_the_points_are_the_programs() -> None:
    rows = re.findall(r"^\| (\w+) \| [^|]+ \| (\d+) \|$", section("How it judges"), re.MULTILINE)
    assert {name: int(points) for name, points in rows} == POINTS
    assert tuple(name for name, _ in rows) == SEVERITIES
    said = " ".join(section("How it judges").split())
    assert f"starts at {FULL_MARKS} points" in said
    assert f"One {FAILING[0]} or {FAILING[1]} finding fails the attempt" in said


def test_the_rules_are_counted_right() -> None:
    said = re.search(r"(\d+)\s+of\s+them", section("How it judges"))
    assert said is not None
    assert int(said[1]) == len(load_job("first-week/couple").rules)


def test_every_source_that_is_named_is_in_the_table() -> None:
    """Standards and reports by the names the data and the core give them."""
    named = re.compile(
        r"\b(ISO \d+(?:-\d+)?|SAE J\d+|ASTM D\d+|29 CFR \d+\.\d+|MIL-STD-\w+|NIOSH FACE \w+|S217\.11)"
    )
    held = [
        *(REPOSITORY / "trainer" / "core").glob("*.py"),
        *(REPOSITORY / "scenarios").rglob("*.yaml"),
    ]
    used = {name for path in held for name in named.findall(path.read_text("utf-8"))}
    assert len(used) > 10
    assert sorted(used - set(named.findall(section("Sources")))) == []


def test_every_source_of_the_reference_data_is_in_the_table() -> None:
    generic = ("practice", "memory", "derived")
    table = read_reference()
    titles = [use.source.title for use in qualify(table).sources() if use.source.name not in generic]
    assert len(titles) > 10
    assert [title for title in titles if title not in section("Sources")] == []


def test_every_standing_that_is_used_is_explained() -> None:
    told = set(re.findall(r"^\| (\w+) \| ", section("Sources"), re.MULTILINE))
    assert {rule.standing for rule in load_job("first-week/couple").rules} <= told
    rows = re.findall(r"^\| [^|]+ \| [^|]+ \| (\w+) \|$", section("Sources"), re.MULTILINE)
    assert len(rows) > 20
    assert set(rows) - {"standing"} <= told


# --- a graded run -----------------------------------------------------------------------------------------


def test_a_graded_run_is_printed_as_shown(tmp_path: Path) -> None:
    (tmp_path / "first-steps.yaml").write_text(first_steps(), "utf-8")
    line = next(line for line in commands(section("A graded run as JSON")) if " run " in line)
    shown = json.loads(blocks("A graded run as JSON", "json")[0])
    assert json.loads(ran(*shlex.split(line)[1:], folder=tmp_path)) == shown


def test_every_field_of_a_graded_run_is_explained() -> None:
    shown = json.loads(blocks("A graded run as JSON", "json")[0])
    named: set[str] = set()
    for cell in re.findall(r"^\| (`[^|]+`) \|", section("A graded run as JSON"), re.MULTILINE):
        names = re.findall(r"`([\w\[\].]+)`", cell)
        before, dot, _ = names[0].rpartition(".")  # `findings[].measured`, `limit`: both of a finding
        named |= {names[0], *(f"{before}{dot}{name}" for name in names[1:])}
    inside = {
        f"{key}[].{name}" for key, value in shown.items() if isinstance(value, list) for name in value[0]
    }
    assert named == set(shown) | inside


# --- the worked example -----------------------------------------------------------------------------------


def edited(text: str, diff: str) -> str:
    """A text with the lines of a block that begin with - replaced by those that begin with +."""
    lines = diff.splitlines()
    old = "".join(f"{line[1:]}\n" for line in lines if line.startswith("-"))
    new = "".join(f"{line[1:]}\n" for line in lines if line.startswith("+"))
    assert f"\n{text}".count(f"\n{old}") == 1, f"these lines stand there once:\n{old}"
    return f"\n{text}".replace(f"\n{old}", f"\n{new}")[1:]


def shown_output(text: str) -> str:
    return "\n".join(line.rstrip() for line in text.strip().splitlines())


def test_the_worked_example_goes_as_it_is_told(tmp_path: Path) -> None:
    for folder in ("trainer", "scenarios"):
        ignored = shutil.ignore_patterns("__pycache__", ".*")
        shutil.copytree(REPOSITORY / folder, tmp_path / folder, ignore=ignored)
    copying, checking = blocks("Write a job", "sh")
    for line in copying.splitlines():
        word, *paths = line.split()
        if word == "mkdir":
            (tmp_path / paths[0]).mkdir()
        else:
            assert word == "cp"
            shutil.copyfile(tmp_path / paths[0], tmp_path / paths[1])
    machine, job = tmp_path / EXAMPLE_MACHINE, tmp_path / EXAMPLE_JOB
    assert machine.is_file()
    assert job.is_file()

    diffs = blocks("Write a job", "diff")
    for path, some in ((machine, diffs[:2]), (job, diffs[2:4])):
        for diff in some:
            path.write_text(edited(path.read_text("utf-8"), diff), "utf-8")
    begin, _, _ = job.read_text("utf-8").partition("\nslips:\n")
    job.write_text(begin + "\n" + blocks("Write a job", "yaml")[0], "utf-8")

    arguments = shlex.split(checking)[1:]
    first, second, third = (shown_output(text) for text in blocks("Write a job", "text"))
    assert shown_output(ran(*arguments, folder=tmp_path, status=1)) == first
    said = re.search(r"Make\s+it\s+`(.*?)`\s+and\s+check\s+again", section("Write a job"))
    assert said is not None
    wrong = "    needs: 32\n"
    assert machine.read_text("utf-8").count(wrong) == 1
    machine.write_text(machine.read_text("utf-8").replace(wrong, f"    {said[1]}\n"), "utf-8")
    assert shown_output(ran(*arguments, folder=tmp_path, status=1)) == second
    job.write_text(edited(job.read_text("utf-8"), diffs[4]), "utf-8")
    assert shown_output(ran(*arguments, folder=tmp_path)) == third
    assert "own/small_fan" in ran("jobs", folder=tmp_path)


# --- a machine of one's own -------------------------------------------------------------------------------


def steps_of_the_guide() -> list[tuple[str, str, str]]:
    """Each fenced block with what it is written in, and the file that was named last before it."""
    found, named = [], ""
    pieces = re.split(
        r"^```(\w+)\n(.*?)^```$", section("Describe your own machine"), flags=re.DOTALL | re.MULTILINE
    )
    for prose, kind, text in zip(pieces[::3], [*pieces[1::3], ""], [*pieces[2::3], ""], strict=True):
        told = re.findall(r"`(mine/[\w/]+\.yaml)`", re.sub(r"^\|.*$", "", prose, flags=re.MULTILINE))
        named = told[-1] if told else named
        found.append((kind, text, named))
    return found[:-1]


def done_as_told(line: str, folder: Path) -> str:
    """Do a command line of the guide in a folder; gives what it prints."""
    word, *arguments = shlex.split(line)
    if word == "mkdir":
        (folder / arguments[0]).mkdir()
    elif word == "cp":
        shutil.copyfile(folder / arguments[0], folder / arguments[1])
    else:
        assert word == "coupling-yard"
        done = CliRunner().invoke(cli.app, arguments, env={"COLUMNS": "160"})
        assert not isinstance(done.exception, Exception), done.output
        return done.output.replace("\\", "/") if os.sep == "\\" else done.output
    return ""


def assert_shown(shown: str, printed: str) -> None:
    """What is shown is what was printed; with `...` for lines left out, the others in their order, however
    wide the columns are."""
    lines = [line.rstrip() for line in printed.splitlines()]
    if "..." not in shown.splitlines():
        assert [line.rstrip() for line in shown.splitlines()] == [line for line in lines if line]
        return
    lines = [" ".join(line.split()) for line in lines]
    for line in (" ".join(line.split()) for line in shown.splitlines() if line != "..."):
        assert line in lines, printed
        lines = lines[lines.index(line) + 1 :]


def test_the_guide_to_ones_own_machine_goes_as_it_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COUPLING_YARD_HOME", str(tmp_path / "home"))
    picture = pygame.Surface((1600, 1000))  # the reader's own photo: here a drawn one
    picture.fill((90, 100, 80))
    pygame.image.save(picture, tmp_path / "rear.jpg")
    printed, kinds = "", []
    for kind, text, file in steps_of_the_guide():
        kinds.append(kind)
        path = tmp_path / file
        if kind == "sh":
            printed = "".join(done_as_told(line, tmp_path) for line in text.splitlines())
        elif kind == "text":
            assert_shown(text, printed)
        elif kind == "diff":
            path.write_text(edited(path.read_text("utf-8"), text), "utf-8")
        else:
            assert kind == "yaml"
            path.write_text(path.read_text("utf-8") + "\n" + text, "utf-8")
    assert [kinds.count(kind) for kind in ("sh", "text", "diff", "yaml")] == [10, 9, 10, 2]
    pygame.display.init()
    pygame.font.init()
    sitting = Sitting(folder=str(tmp_path / "mine"), job="spring/plant")
    sitting.click("first.open")
    assert isinstance(sitting.desk.screen, JobSheet)
    assert sitting.desk.screen.case.title == "Couple the planter to the blue one"
    assert sitting.desk.art.photo == tmp_path / "mine/machines/tractors/photos/blue_one.jpg"


# --- the files themselves ---------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_what_is_linked_is_there(name: str) -> None:
    text = (REPOSITORY / name).read_text("utf-8")
    links = re.findall(r"\]\(([^)#]+)", text)
    assert [link for link in links if not (REPOSITORY / link).is_file()] == []


def test_every_picture_is_shown() -> None:
    pictures = {path.relative_to(REPOSITORY).as_posix() for path in (REPOSITORY / "art/pictures").glob("*")}
    assert pictures <= set(re.findall(r"!\[[^]]+\]\(([^)]+)\)", README))
    assert len(pictures) <= 3


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_lines_of_prose_are_not_too_long(name: str) -> None:
    text = re.sub(r"^```.*?^```$", "", (REPOSITORY / name).read_text("utf-8"), flags=re.DOTALL | re.MULTILINE)
    lines = text.splitlines()
    assert [line for line in lines if len(line) > 110 and not line.startswith("|")] == []


def test_files_and_folders_that_are_named_are_there() -> None:
    own = (EXAMPLE_JOB, EXAMPLE_MACHINE, "scenarios/jobs/own")
    for text in (README, DEVELOPERS):
        named = re.findall(r"`((?:trainer|scenarios|tests|art|\.ci)/[\w./-]*\w/?)`", text)
        assert named
        assert [name for name in named if name not in own and not (REPOSITORY / name).exists()] == []
