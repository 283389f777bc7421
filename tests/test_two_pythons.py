"""The same actions give the same record, byte for byte: in two processes, and under two versions of Python.

.ci/run sets COUPLING_YARD_OTHER_PYTHON to an interpreter of another version, with another C library under it;
it carries what replaying needs and no window library. Without it the two versions are not compared.
"""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from trainer.authoring.compile import load_job
from trainer.authoring.orders import answer_items, play_items, slip_items
from trainer.core.actions import as_line

REPOSITORY = Path(__file__).resolve().parent.parent
NAMES = (
    "class/couple_air_seeder",
    "class/couple_baler",
    "class/couple_drawn_planter",
    "class/couple_flow_sharing",
    "class/couple_mower",
    "class/couple_sprayer",
    "class/couple_tillage",
    "class/find_rows_wander",
    "class/flow_budget_small",
    "class/uncouple_spreader",
    "first-week/couple",
    "first-week/couple_grain_cart",
    "first-week/uncouple",
    "refresher/change_tractors",
)
"""Jobs that between them have every machine and every goal; each is played several times over."""
ANSWER = ""
SLIPS_EACH = 2  # of a job, spread over its list; a run takes some seconds
OTHER_PYTHON = os.environ.get("COUPLING_YARD_OTHER_PYTHON", "")

# Two surroundings that differ in all that a record must not depend on.
AT_HOME = {"PYTHONHASHSEED": "0", "TZ": "UTC", "LC_ALL": "C", "COLUMNS": "80"}
ABROAD = {
    "PYTHONHASHSEED": "4711",
    "TZ": "Pacific/Chatham",
    "LC_ALL": "C.UTF-8",
    "COLUMNS": "200",
    "PYTHONOPTIMIZE": "1",  # without its asserts the program decides the same
}

Played = Callable[[str, str], "Outcome"]
needs_other_python = pytest.mark.skipif(
    not OTHER_PYTHON, reason="COUPLING_YARD_OTHER_PYTHON names no second Python"
)


@dataclass(frozen=True)
class Outcome:
    """What a run leaves: the attempt file and the graded result."""

    record: bytes
    result: bytes


@cache
def actions_of(name: str, slip: str) -> str:
    """A job's own safe run, or one of its typical wrong ones, as a list of actions."""
    job = load_job(name)
    attempt = play_items(job.case, job.rules, slip_items(job, slip) if slip else answer_items(job))
    return "".join(f"- {as_line(entry.action)}\n" for entry in attempt.log)


def trainer(
    python: str, folder: Path, surroundings: dict[str, str], *arguments: str
) -> subprocess.CompletedProcess[bytes]:
    kept = {name: os.environ[name] for name in ("PATH", "HOME", "SYSTEMROOT") if name in os.environ}
    environment = {**kept, "PYTHONPATH": str(REPOSITORY), **surroundings}
    return subprocess.run(
        [python, "-m", "trainer", *arguments], cwd=folder, env=environment, capture_output=True, check=False
    )


def play(python: str, folder: Path, surroundings: dict[str, str], job: str, actions: str) -> Outcome:
    folder.mkdir(parents=True)
    (folder / "actions.yaml").write_text(actions, "utf-8", newline="\n")
    arguments = ["run", job, "--actions", "actions.yaml", "--save", "attempt.jsonl", "--format", "json"]
    done = trainer(python, folder, surroundings, *arguments)
    assert done.returncode == 0, done.stderr.decode("utf-8", "replace")
    return Outcome((folder / "attempt.jsonl").read_bytes(), done.stdout)


@pytest.fixture(scope="module")
def played_at_home(tmp_path_factory: pytest.TempPathFactory) -> Played:
    @cache
    def played(name: str, slip: str) -> Outcome:
        folder = tmp_path_factory.mktemp("home") / "run"
        return play(sys.executable, folder, AT_HOME, name, actions_of(name, slip))

    return played


def some_slips(name: str) -> list[str]:
    slips = [slip.name for slip in load_job(name).slips]
    return slips[:: max(1, len(slips) // SLIPS_EACH)][:SLIPS_EACH]


def test_every_machine_and_every_goal_is_compared() -> None:
    machines = (REPOSITORY / "scenarios" / "machines").glob("*/*.yaml")
    there = {path.relative_to(REPOSITORY / "scenarios").as_posix() for path in machines}
    jobs = [load_job(name) for name in NAMES]
    assert there <= {file for job in jobs for file in job.files}
    assert {job.case.goal for job in jobs} == {"couple", "uncouple", "find"}


@pytest.mark.parametrize("name", NAMES)
def test_two_processes_write_the_same_record(name: str, played_at_home: Played, tmp_path: Path) -> None:
    here = played_at_home(name, ANSWER)
    there = play(sys.executable, tmp_path / "there", ABROAD, name, actions_of(name, ANSWER))
    assert json.loads(here.result)["job"] == name
    assert len(here.record.splitlines()) > len(actions_of(name, ANSWER).splitlines())
    assert there == here


@needs_other_python
@pytest.mark.parametrize("name", NAMES)
def test_another_version_of_python_writes_the_same_record(
    name: str, played_at_home: Played, tmp_path: Path
) -> None:
    results = set()
    for slip in (ANSWER, *some_slips(name)):
        here = played_at_home(name, slip)
        there = play(OTHER_PYTHON, tmp_path / f"there-{slip}", ABROAD, name, actions_of(name, slip))
        assert there == here, slip or "answer"
        results.add(here.result)
    assert len(results) > 1  # a slip is graded otherwise than the answer


@needs_other_python
@pytest.mark.parametrize("name", NAMES)
def test_another_version_of_python_agrees_with_a_record(
    name: str, played_at_home: Played, tmp_path: Path
) -> None:
    here = played_at_home(name, ANSWER)
    (tmp_path / "attempt.jsonl").write_bytes(here.record)
    graded = trainer(OTHER_PYTHON, tmp_path, ABROAD, "grade", "attempt.jsonl", "--format", "json")
    assert graded.returncode == 0, graded.stderr.decode("utf-8", "replace")
    assert graded.stdout == here.result

    # It can say no as well: a record with one digest changed is not believed.
    start = here.record.index(b'"digest":"') + len(b'"digest":"')
    other = b"0" if here.record[start : start + 1] != b"0" else b"1"
    (tmp_path / "attempt.jsonl").write_bytes(here.record[:start] + other + here.record[start + 1 :])
    refused = trainer(OTHER_PYTHON, tmp_path, ABROAD, "grade", "attempt.jsonl")
    assert refused.returncode == 1
    assert b"digest" in refused.stderr
