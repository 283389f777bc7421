"""The command line as it is used: by hand, by scripts, without a window library, where there is no screen."""

import json
import os
import subprocess
import sys
from functools import cache
from importlib import metadata
from pathlib import Path
from typing import Any

import pytest

from trainer import cli
from trainer.authoring.compile import Job, load_job
from trainer.authoring.orders import answer_items, play_items
from trainer.core.actions import WORDS, as_line
from trainer.core.attempt import Attempt
from trainer.core.rules import RULES_VERSION
from trainer.records import attempt_file
from trainer.records.journal import record_of

REPOSITORY = Path(__file__).resolve().parent.parent
JOB = "first-week/couple"
SLIP = "drain_on_power_beyond"
KEYS = ["job", "score", "passed", "ended", "findings", "deductions", "parts"]
FINDING_KEYS = ["rule", "severity", "at_s", "measured", "limit", "unit", "text", "source", "root"]

# Stands in for a machine on which the window's libraries are not installed.
WITHOUT_WINDOW = (
    "import sys; sys.modules.update(dict.fromkeys(['pygame', 'pymunk']));from trainer.cli import main; main()"
)


def trainer(
    *arguments: str, cwd: Path, program: str = "", give: str = "", **environment: str
) -> subprocess.CompletedProcess[str]:
    start = ["-c", program] if program else ["-m", "trainer"]
    surroundings = {**os.environ, "PYTHONPATH": str(REPOSITORY), "COLUMNS": "120", **environment}
    surroundings = {name: value for name, value in surroundings.items() if value}
    return subprocess.run(
        [sys.executable, *start, *arguments],
        cwd=cwd,
        env=surroundings,
        input=give,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )


def plain(*arguments: str, cwd: Path, give: str = "") -> subprocess.CompletedProcess[str]:
    """A command that has to work where there is no window library."""
    done = trainer(*arguments, cwd=cwd, program=WITHOUT_WINDOW, give=give)
    assert "Traceback" not in done.stderr
    return done


@cache
def couple() -> Job:
    return load_job(JOB)


@cache
def played(run: str) -> Attempt:
    items = answer_items(couple()) if run == "answer" else couple().slip(run).items
    return play_items(couple().case, couple().rules, items)


def actions_file(folder: Path, run: str) -> Path:
    path = folder / f"{run}.yaml"
    lines = [f"- {as_line(entry.action)}" for entry in played(run).log]
    path.write_text("\n".join(lines) + "\n", "utf-8")
    return path


def saved(folder: Path, run: str = SLIP) -> Path:
    path = folder / f"{run}.jsonl"
    attempt_file.save(path, record_of(couple(), played(run)))
    return path


def graded(text: str) -> dict[str, Any]:
    result: dict[str, Any] = json.loads(text)
    assert list(result) == KEYS
    assert all(list(finding) == FINDING_KEYS for finding in result["findings"])
    return result


# --- running and grading ---


def test_an_answer_run_by_hand_earns_full_marks(tmp_path: Path) -> None:
    path = actions_file(tmp_path, "answer")
    done = plain("run", JOB, "--actions", path.name, "--format", "json", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    result = graded(done.stdout)
    assert result == {
        "job": JOB,
        "score": 100,
        "passed": True,
        "ended": "handed in",
        "findings": [],
        "deductions": [],
        "parts": {"safety": 0, "workmanship": 0, "result": 0, "time": 0},
    }


def test_a_failed_attempt_is_a_command_that_worked(tmp_path: Path) -> None:
    path = actions_file(tmp_path, SLIP)
    done = plain("run", JOB, "--actions", path.name, "--save", "a.jsonl", "--format", "json", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    result = graded(done.stdout)
    assert not result["passed"]
    found = {finding["rule"]: finding for finding in result["findings"]}
    assert set(couple().slip(SLIP).earns) <= set(found)
    seal = found["seal_blown"]
    assert (seal["severity"], seal["unit"]) == ("critical", "bar")
    assert seal["measured"] > seal["limit"] > 0
    assert seal["text"]
    assert seal["source"]
    assert (seal["root"], found["case_pressure"]["root"]) == ("case_pressure", "")
    assert result["parts"] == {"safety": 0, "workmanship": 35, "result": 0, "time": 0}
    (deduction,) = result["deductions"]
    assert (deduction["rule"], deduction["points"], deduction["part"]) == ("case_pressure", 35, "workmanship")
    assert deduction["findings"] == list(range(1, len(result["findings"]) + 1))
    assert "the worst of" in deduction["why"]
    again = plain("grade", "a.jsonl", "--format", "json", cwd=tmp_path)
    assert again.returncode == 0, again.stderr
    assert again.stdout == done.stdout
    assert "agrees with the record" in again.stderr


def test_two_runs_save_the_same_bytes(tmp_path: Path) -> None:
    actions_file(tmp_path, SLIP)
    for name in ("a.jsonl", "b.jsonl"):
        done = plain("run", JOB, "--actions", f"{SLIP}.yaml", "--save", name, cwd=tmp_path)
        assert done.returncode == 0
        assert f"Saved: {name}" in done.stdout
    assert (tmp_path / "a.jsonl").read_bytes() == (tmp_path / "b.jsonl").read_bytes()
    assert (tmp_path / "a.jsonl").read_bytes() == saved(tmp_path).read_bytes()


def test_a_refused_action_is_told_and_the_run_goes_on(tmp_path: Path) -> None:
    lines = "- engine: start\n- look: area\n- hand_in:\n"
    done = plain("run", JOB, "--actions", "-", cwd=tmp_path, give=lines)
    assert done.returncode == 0, done.stderr
    assert "standard input:1:3: 'engine: start' is not possible. The key is not on." in done.stdout
    assert "handed in" in done.stdout
    told = plain("run", JOB, "--actions", "-", "--format", "json", cwd=tmp_path, give=lines)
    assert graded(told.stdout)["ended"] == "handed in"
    assert "The key is not on." in told.stderr


def test_a_run_that_is_not_handed_in_is_told(tmp_path: Path) -> None:
    done = plain("run", JOB, "--actions", "-", cwd=tmp_path, give="- look: area\n")
    assert done.returncode == 0
    assert "before the job was handed in. Write: hand_in:" in done.stdout
    assert "Not passed" in done.stdout


def test_a_debrief_is_read_and_printed(tmp_path: Path) -> None:
    saved(tmp_path)
    done = plain("grade", f"{SLIP}.jsonl", "--page", "page.html", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "Not passed" in done.stdout
    assert "65 of 100 points" in done.stdout
    assert "One finding of injury or destruction fails an attempt" in done.stdout
    assert "Case pressure" in done.stdout
    assert "agrees with the record" in done.stdout
    assert (tmp_path / "page.html").read_text("utf-8").startswith("<!DOCTYPE html>")


def rechained(text: str) -> str:
    """The same lines, their chain worked out again by whoever changed them."""
    chain = attempt_file.Chain()
    bare = [
        {key: value for key, value in json.loads(line).items() if key != "chain"}
        for line in text.splitlines()
    ]
    return "".join(
        chain.seal(json.dumps(line, sort_keys=True, separators=(",", ":")) + "\n") for line in bare
    )


def test_an_edited_record_is_refused_by_its_line(tmp_path: Path) -> None:
    path = saved(tmp_path)
    text = path.read_text()
    path.write_text(text.replace('"passed":false', '"passed":true'))
    done = plain("grade", path.name, cwd=tmp_path)
    lines = text.count("\n")
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.startswith(f"{SLIP}.jsonl:{lines}:2: this is not the line that was written here")


def test_an_older_record_is_graded_and_told_what_changed_since(tmp_path: Path) -> None:
    old = REPOSITORY / "tests" / "records" / "uncouple_long_wait_v1.jsonl"
    done = plain("grade", str(old), cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    said = " ".join(done.stdout.split())
    assert "scoring: version 1 in the record" in said
    assert "scoring 2: what is waited with the key off before a plug is pulled" in said
    assert "written before lines were chained" in said


def test_a_record_that_was_touched_up_is_told(tmp_path: Path) -> None:
    path = saved(tmp_path)
    text = path.read_text()
    path.write_text(rechained(text.replace('"passed":false', '"passed":true')))
    done = plain("grade", path.name, "--format", "json", cwd=tmp_path)
    assert done.returncode == 1
    assert graded(done.stdout)["passed"] is False, "graded from its actions all the same"
    lines = text.count("\n")
    assert done.stderr.startswith(f"{SLIP}.jsonl:{lines}:1: at tick ")
    assert "passed is True in the record and False when run again" in done.stderr


def test_other_versions_are_told_and_no_fault(tmp_path: Path) -> None:
    path = saved(tmp_path)
    now = f'"rules":{RULES_VERSION}'
    text = path.read_text().replace(now, '"rules":99').replace('"passed":false', '"passed":true')
    path.write_text(rechained(text))
    done = plain("grade", path.name, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "rules: version 99 in the record" in done.stdout
    assert "passed was True and is False" in done.stdout


def test_a_record_cut_off_is_told_and_graded(tmp_path: Path) -> None:
    path = saved(tmp_path)
    path.write_bytes(path.read_bytes()[:-30])
    done = plain("grade", path.name, "--format", "json", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "the last line was never finished" in done.stderr
    assert "the attempt was never graded" in done.stderr
    assert graded(done.stdout)["passed"] is False


def test_a_replay_tells_what_was_done_and_what_followed(tmp_path: Path) -> None:
    saved(tmp_path)
    done = plain("replay", f"{SLIP}.jsonl", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "Pushed F-D home on PB-P" in done.stdout
    assert "the shaft seal blows" in " ".join(done.stdout.split())
    told = plain("replay", f"{SLIP}.jsonl", "--format", "json", cwd=tmp_path)
    course = json.loads(told.stdout)["course"]
    assert [row["do"] for row in course] == [as_line(entry.action) for entry in played(SLIP).log]
    assert [row["digest"] for row in course] == [entry.digest for entry in played(SLIP).log]
    assert sum(len(row["findings"]) for row in course) == len(played(SLIP).findings)


# --- what cannot be used ---


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["run", JOB, "--actions", "bad.yaml"], "bad.yaml:2:3: no action word 'fly'. Write: one of ballast,"),
        (
            ["run", JOB, "--actions", "bad.yaml"],
            "bad.yaml:3:3: 'dial: v1 5' is not complete. Write: dial: v1 to 5.9",
        ),
        (
            ["run", JOB, "--actions", "map.yaml"],
            "map.yaml:1:1: this is not a list of actions. Write: - couple:",
        ),
        (["run", JOB, "--actions", "gone.yaml"], "gone.yaml:1:1: there is no such file. Write: "),
        (
            ["run", "first-week/copple", "--actions", "good.yaml"],
            "there is no job called 'first-week/copple'. Write: ",
        ),
        (
            ["run", JOB, "--actions", "good.yaml", "--save", "no/a.jsonl"],
            "this cannot be written. Write: a place",
        ),
        (
            ["run", JOB, "--actions", "good.yaml", "--page", "no/a.html"],
            "this cannot be written. Write: a place",
        ),
        (["grade", "good.yaml"], "good.yaml:1:1: this is not JSON"),
        (
            ["grade", "gone.jsonl"],
            "gone.jsonl:1:1: there is no such file. Write: the name of an attempt file",
        ),
        (["replay", "."], ".:1:1: this is not a file. Write: the name of an attempt file"),
        (["budget", "nothing"], "there is no job called 'nothing'. Write: "),
        (["bench", "nothing"], "there is no job called 'nothing'. Write: "),
    ],
)
def test_bad_input_is_told_with_its_place_and_what_to_write(
    tmp_path: Path, arguments: list[str], message: str
) -> None:
    (tmp_path / "bad.yaml").write_text("- look: area\n- fly: home\n- dial: v1 5\n")
    (tmp_path / "map.yaml").write_text("look: area\n")
    (tmp_path / "good.yaml").write_text("- look: area\n")
    done = plain(*arguments, cwd=tmp_path)
    assert done.returncode == 1
    assert message in done.stderr
    assert ":1:" in done.stderr or ":3:" in done.stderr


@pytest.mark.parametrize(
    "arguments", [["fly"], ["run"], ["run", JOB], ["grade"], ["jobs", "--format", "xml"], ["--colour"]]
)
def test_a_command_line_that_cannot_be_understood_has_its_own_status(
    tmp_path: Path, arguments: list[str]
) -> None:
    done = plain(*arguments, cwd=tmp_path)
    assert done.returncode == 2
    assert "Usage:" in done.stderr


def test_a_job_with_a_fault_is_told_by_check(tmp_path: Path) -> None:
    text = (REPOSITORY / "scenarios" / "jobs" / f"{JOB}.yaml").read_text("utf-8")
    (tmp_path / "own.yaml").write_text(text.replace("pass_points:", "pass_pionts:"), "utf-8")
    done = plain("check", "own.yaml", cwd=tmp_path)
    assert done.returncode == 1
    line = 1 + text[: text.index("pass_points:")].count("\n")
    assert (
        f"own.yaml:{line}:1: 'pass_pionts' is not a key here. Write: pass_points" in done.stdout + done.stderr
    )
    told = plain("check", "own.yaml", "--format", "json", cwd=tmp_path)
    assert told.returncode == 1
    result = json.loads(told.stdout)
    assert not result["ok"]
    assert (result["problems"][0]["file"], result["problems"][0]["line"]) == ("own.yaml", line)


# --- what there is ---


def test_the_jobs_are_listed(tmp_path: Path) -> None:
    done = plain("jobs", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert JOB in done.stdout
    listed = json.loads(plain("jobs", "--format", "json", cwd=tmp_path).stdout)
    job = next(each for each in listed if each["job"] == JOB)
    assert job["title"] == couple().case.title
    assert SLIP in job["slips"]


def test_every_action_word_is_shown(tmp_path: Path) -> None:
    done = plain("actions", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    shown = {line.split()[0] for line in done.stdout.splitlines() if line.strip()}
    assert set(WORDS) <= shown
    assert all(f"- {word.example}" in done.stdout for word in WORDS.values())
    words = json.loads(plain("actions", "--format", "json", cwd=tmp_path).stdout)
    assert [word["name"] for word in words] == list(WORDS)


def test_a_budget_is_read_in_both_units_and_by_programs(tmp_path: Path) -> None:
    done = plain("budget", JOB, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "gal/min asked" in done.stdout
    assert "TOO LIGHT" in done.stdout
    metric = plain("budget", JOB, "--metric", cwd=tmp_path)
    assert "L/min asked" in metric.stdout
    assert "1600" in metric.stdout or "1594" in metric.stdout
    worked = json.loads(plain("budget", JOB, "--format", "json", cwd=tmp_path).stdout)
    assert list(worked) == [
        "job", "phases", "axles", "front_share_limit", "least_ballast_kg", "plugs", "supply_hold_s"
    ]  # fmt: skip
    working = next(phase for phase in worked["phases"] if phase["name"] == "working")
    assert 0.0 < working["asked_m3_s"] < working["available_m3_s"]


def test_times_are_measured(tmp_path: Path) -> None:
    done = plain("bench", "--no-window", "--format", "json", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    figures = json.loads(done.stdout)
    assert figures["agrees"] is True
    assert figures["attempt_ticks"] == played("answer").state.tick
    assert 0.0 < figures["still_tick_s"] < figures["tick_s"]


# --- without a screen ---


def test_without_a_screen_the_demonstration_runs(tmp_path: Path) -> None:
    done = trainer(cwd=tmp_path, SDL_VIDEODRIVER="dummy")
    assert done.returncode == 0, done.stderr
    assert "Passed  100 of 100 points" in done.stdout
    assert "Not passed  65 of 100 points" in done.stdout
    said = " ".join(done.stdout.split())
    assert "case drain" in said
    seal = next(finding for finding in played(SLIP).findings if finding.rule == "case_pressure")
    assert f"{seal.measured_shown:g} bar" in said
    assert "coupling-yard-demo" in said
    written = {path.name: path for path in (tmp_path / "coupling-yard-demo").iterdir()}
    pictures = [path for name, path in written.items() if name.endswith(".png")]
    assert len(pictures) >= 4
    assert all(path.read_bytes().startswith(b"\x89PNG") for path in pictures)
    for run in ("answer", SLIP):
        assert (written[f"{run}.html"]).read_text("utf-8").startswith("<!DOCTYPE html>")
        assert written[f"{run}.jsonl"].read_bytes() == "".join(record_of(couple(), played(run))).encode()


def test_a_display_that_cannot_be_opened_leads_to_the_demonstration(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    program = (
        "from trainer import cli\ncli._demonstrate = lambda out: print('demonstration', out)\ncli.main()\n"
    )
    done = trainer(cwd=tmp_path, program=program, SDL_VIDEODRIVER="", WAYLAND_DISPLAY="", DISPLAY=":9876")
    assert (done.returncode, done.stdout) == (0, "demonstration None\n"), done.stderr


@pytest.mark.parametrize(
    ("surroundings", "platform", "expected"),
    [
        ({}, "linux", False),
        ({"DISPLAY": ":0"}, "linux", True),
        ({"WAYLAND_DISPLAY": "wayland-0"}, "linux", True),
        ({"DISPLAY": ":0", "SDL_VIDEODRIVER": "dummy"}, "linux", False),
        ({"DISPLAY": ":0", "SDL_VIDEODRIVER": "offscreen"}, "linux", False),
        ({"DISPLAY": ":0", "SDL_VIDEODRIVER": "x11"}, "linux", True),
        ({}, "win32", True),
        ({"SDL_VIDEODRIVER": "dummy"}, "darwin", False),
    ],
)
def test_where_a_window_is_tried(
    monkeypatch: pytest.MonkeyPatch, surroundings: dict[str, str], platform: str, expected: bool
) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER"):
        monkeypatch.delenv(name, raising=False)
    for name, value in surroundings.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(sys, "platform", platform)
    assert cli._display_expected() is expected


def test_the_demonstration_writes_over_nothing(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.chdir(tmp_path)
    assert [cli._new_folder(None).name for _ in range(2)] == ["coupling-yard-demo", "coupling-yard-demo-2"]
    with pytest.raises(cli.Unusable, match="this is there already"):
        cli._new_folder(tmp_path)
    assert cli._new_folder(tmp_path / "a" / "b").is_dir()


def test_where_nothing_can_be_written_the_demonstration_takes_a_temporary_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def refuse(path: Path, *_: object, **__: object) -> None:
        raise PermissionError(path)

    monkeypatch.setattr(Path, "mkdir", refuse)
    monkeypatch.setattr(cli.tempfile, "tempdir", str(tmp_path))
    assert cli._new_folder(None).parent == tmp_path


def test_the_version_is_that_of_the_package_or_of_a_clone(tmp_path: Path) -> None:
    done = plain("--version", cwd=tmp_path)
    assert done.returncode == 0
    try:
        version = metadata.version("coupling-yard")
    except metadata.PackageNotFoundError:
        version = "from a clone"
    assert done.stdout == f"coupling-yard {version}\n"
