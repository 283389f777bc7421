"""The scripts that check the project on a machine nobody has seen before."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

CI = Path(__file__).resolve().parent.parent / ".ci"
BASH = shutil.which("bash")

pytestmark = pytest.mark.skipif(BASH is None, reason="the scripts are written for bash")


def interpreter(folder: Path, name: str, version: str) -> Path:
    """A command that calls itself a Python of this version."""
    path = folder / name
    path.write_text(f"#!{BASH}\necho {version}\n", "utf-8")
    path.chmod(0o755)
    return path


def python313(path: Path, cache: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [str(BASH), str(CI / "python313"), str(cache)],
        env={"PATH": str(path), "HOME": str(cache)},
        capture_output=True,
        text=True,
        check=False,
    )


def test_the_machines_own_python313_is_taken(tmp_path: Path) -> None:
    own = interpreter(tmp_path, "python3.13", "3 13 cpython")
    done = python313(tmp_path, tmp_path / "cache")
    assert (done.returncode, done.stdout) == (0, f"{own}\n")
    assert not (tmp_path / "cache").exists()


def test_a_python3_that_is_313_is_taken(tmp_path: Path) -> None:
    interpreter(tmp_path, "python3.13", "3 13 pypy")
    own = interpreter(tmp_path, "python3", "3 13 cpython")
    assert python313(tmp_path, tmp_path / "cache").stdout == f"{own}\n"


def test_no_other_version_is_taken_for_it(tmp_path: Path) -> None:
    interpreter(tmp_path, "python3", "3 12 cpython")
    done = python313(tmp_path, tmp_path / "cache")
    assert (done.returncode, done.stdout) == (3, "")
    assert "cannot be had: no python3.13 on this machine, and no apt-get" in done.stderr


def test_the_scripts_can_be_started_and_read() -> None:
    for script in (CI / "run", CI / "python313"):
        assert os.access(script, os.X_OK), script
        assert subprocess.run([str(BASH), "-n", str(script)], check=False).returncode == 0


def test_no_address_of_a_registry_is_written_down() -> None:
    written = [CI / "run", CI / "python313", CI.parent / "pyproject.toml"]
    assert not [path.name for path in written if "://" in path.read_text("utf-8")]
