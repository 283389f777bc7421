"""Files no author means to write, put where a job or a machine belongs: each is told, and none costs memory.

The messages about single values are in `tests/problems`; here whole files are wrong, read from the disk the
way `check` reads them. Large ones are made here.
"""

from __future__ import annotations

import os
import shutil
import tracemalloc
from collections.abc import Callable
from pathlib import Path

import pytest

from trainer.authoring.check import check_paths
from trainer.authoring.new import new_file
from trainer.authoring.source import MAX_BYTES

PROBLEMS = Path(__file__).parent / "problems"
MOST_MEMORY = 64 * MAX_BYTES
"""Nodes and their places may take some tens of times the longest file that is read, whatever it holds."""


def edited(old: str, new: str) -> Callable[[str], bytes]:
    def made(text: str) -> bytes:
        assert old in text
        return text.replace(old, new, 1).encode()

    return made


def anchors(_: str) -> bytes:
    """Each list holds the one above it nine times over: nine to the power of nine entries."""
    lines = ["a0: &a0 [x]"]
    lines += [f"a{level}: &a{level} [{', '.join([f'*a{level - 1}'] * 9)}]" for level in range(1, 10)]
    return "\n".join(lines).encode()


BAD: dict[str, tuple[str, Callable[[str], bytes], str]] = {
    "empty": ("job", lambda _: b"", "the file is empty"),
    "only_spaces": ("job", lambda _: b"   \n\n", "the file is empty"),
    "only_a_mark_at_the_start": ("job", lambda _: b"\xef\xbb\xbf", "the file is empty"),
    "binary": ("job", lambda _: bytes(range(256)) * 40, ""),
    "a_picture": ("tractor", lambda _: b"\x89PNG\r\n\x1a\n" + b"\0" * 900, ""),
    "noughts": ("implement", lambda _: b"\0" * 5000, ""),
    "two_bytes_a_letter": ("job", lambda text: text.encode("utf-16"), ""),
    "four_bytes_a_letter": ("job", lambda text: text.encode("utf-32"), ""),
    "western_letters": ("job", lambda text: ("# Größe é\n" + text).encode("latin-1"), "is not UTF-8"),
    "fifty_megabytes": ("job", lambda _: b"a: b\n" * 10_000_000, f"longer than {MAX_BYTES} bytes"),
    "a_machine_of_fifty_megabytes": ("tractor", lambda _: b"x" * 50_000_000, f"than {MAX_BYTES} bytes"),
    "one_long_line": ("job", lambda _: b"a: [" + b"1," * 10_000 + b"1]", ""),
    "deep_brackets": ("job", lambda _: b"[" * 200_000, ""),
    "deep_braces": ("implement", lambda _: b"{a: " * 100_000, ""),
    "deep_dashes": ("job", lambda _: b"- " * 200_000, ""),
    "deep_indents": ("job", lambda _: "\n".join(" " * n + f"k{n}:" for n in range(900)).encode(), ""),
    "an_anchor_bomb": ("job", anchors, "names a place for reuse"),
    "a_tag_that_would_run": ("job", lambda _: b"!!python/object/apply:os.getcwd []", ""),
    "two_documents": ("job", lambda text: f"{text}---\n{text}".encode(), ""),
    "a_list_for_a_job": ("job", lambda _: b"- a\n- b\n", ""),
    "a_word_for_a_machine": ("tractor", lambda _: b"tractor", ""),
    "a_tractor_for_an_implement": ("implement", lambda _: b"name: x\npump: {}\n", "'pump' is not a key here"),
    "the_same_key_twice": ("job", edited("goal: couple", "goal: couple\ngoal: couple"), "a second time"),
    "a_tab": ("job", edited("  station:", "\tstation:"), "tab"),
    "not_a_number": ("tractor", edited("displacement: 63 cm3/rev", "displacement: nan cm3/rev"), ""),
    "endless": ("tractor", edited("cut_off: 200 bar", "cut_off: inf bar"), ""),
    "beyond_all_numbers": ("tractor", edited("cut_off: 200 bar", "cut_off: 1e999 bar"), ""),
    "a_negative_mass": ("tractor", edited("  mass: ", "  mass: -"), ""),
    "a_negative_bore": ("implement", edited("bore: ", "bore: -"), ""),
    "a_bore_of_nought": ("implement", edited("bore: ", "bore: 0 mm # "), ""),
    "the_wrong_unit": ("tractor", edited("cut_off: 200 bar", "cut_off: 200 L/min"), "is a flow; a pressure"),
    "a_machine_out_of_the_folder": ("job", edited("tractor: machines", "tractor: ../machines"), "leads out"),
    "a_machine_from_the_root": ("job", edited("tractor: machines", "tractor: /machines"), "leads out"),
    "a_machine_on_a_drive": ("job", edited("tractor: machines", "tractor: C:/machines"), "leads out"),
    "a_machine_that_is_a_device": ("job", edited("tractors/mine", "tractors/con"), "keep for devices"),
    "a_machine_that_is_not_there": ("job", edited("tractors/mine", "tractors/mien"), "there is no file"),
    "a_machine_of_the_other_kind": ("job", edited("machines/tractors", "machines/implements"), ""),
}  # fmt: skip


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A tractor, a mounted implement and their job, as they are written to start from."""
    folder = tmp_path_factory.mktemp("written")
    new_file("tractor", "mine", folder, "drawbar", "", "", "couple")
    new_file("implement", "mine", folder, "three_point", "", "", "couple")
    new_file("job", "try", folder, "three_point", "mine", "mine", "couple")
    return folder


@pytest.fixture
def own(written: Path, tmp_path: Path) -> dict[str, Path]:
    """A copy of them that may be spoilt."""
    folder = shutil.copytree(written, tmp_path / "own")
    machines = folder / "machines"
    return {
        "job": folder / "jobs" / "own" / "try.yaml",
        "tractor": machines / "tractors" / "mine.yaml",
        "implement": machines / "implements" / "mine.yaml",
    }


def told_of(job: Path) -> list[str]:
    """Every problem of a job, with the memory that finding it took in bounds."""
    tracemalloc.start()
    try:
        checked = check_paths([job])
        _, most = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert most < MOST_MEMORY
    assert not checked.ok
    assert all(one.message and one.advice and one.place.line >= 1 for one in checked.problems)
    return [one.render() for one in checked.problems]


@pytest.mark.parametrize("name", BAD)
def test_a_bad_file_is_told(name: str, own: dict[str, Path]) -> None:
    kind, made, message = BAD[name]
    own[kind].write_bytes(made(own[kind].read_text("utf-8")))
    told = told_of(own["job"])
    assert [one for one in told if message in one], told
    assert any(".yaml:" in one.splitlines()[0] for one in told), told
    assert all(len(line) < 1000 for one in told for line in one.splitlines())


def test_other_line_ends_and_a_mark_at_the_start_are_no_fault(own: dict[str, Path]) -> None:
    text = own["job"].read_text("utf-8").replace("\n", "\r\n")
    own["job"].write_bytes(b"\xef\xbb\xbf" + text.encode())
    assert check_paths([own["job"]]).problems == ()


@pytest.mark.skipif(not hasattr(os, "symlink"), reason="no links here")
def test_a_link_out_of_the_folder_is_not_followed(
    own: dict[str, Path], tmp_path_factory: pytest.TempPathFactory
) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere") / "secret.yaml"
    elsewhere.write_text(own["tractor"].read_text("utf-8"), "utf-8")
    own["tractor"].unlink()
    own["tractor"].symlink_to(elsewhere)
    assert any("mine.yaml" in one for one in told_of(own["job"]))


def test_a_folder_in_place_of_a_file(own: dict[str, Path]) -> None:
    own["tractor"].unlink()
    own["tractor"].mkdir()
    assert told_of(own["job"])


def test_there_are_at_least_sixty_kinds() -> None:
    listed = (PROBLEMS / "content.yaml").read_text("utf-8").count("\n  message:")
    listed += (PROBLEMS / "steps.yaml").read_text("utf-8").count("\n  message:")
    assert listed + len(BAD) >= 60
