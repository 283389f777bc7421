"""Files no author means to write, put where a job or a machine belongs: each is told, and none costs memory.

The messages about single values are in `tests/problems`; here whole files are wrong, read from the disk the
way `check` reads them. Large ones are made here.
"""

from __future__ import annotations

import os
import shutil
import struct
import tracemalloc
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest

from trainer.authoring.check import check_paths
from trainer.authoring.compile import compile_texts, load_job
from trainer.authoring.machines import read_tractor
from trainer.authoring.new import new_file
from trainer.authoring.photos import photo_problems
from trainer.authoring.reader import read_as
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


# --- pictures ----------------------------------------------------------------------------------------------


def png(width: int, height: int) -> bytes:
    """A whole picture where it is small, else its head alone: nobody may look further."""
    body = b"IHDR" + struct.pack(">2I5B", width, height, 8, 2, 0, 0, 0)
    rows = zlib.compress(b"".join(b"\0" + b"\x80" * 3 * width for _ in range(height if height < 2000 else 1)))
    parts = [body, b"IDAT" + rows, b"IEND"]
    chunks = [struct.pack(">I", len(part) - 4) + part + struct.pack(">I", zlib.crc32(part)) for part in parts]
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


def jpeg(width: int, height: int, turned: int = 1, padding: int = 0) -> bytes:
    """The head of a picture as a camera writes it: its notes, then a frame with the size."""
    tiff = b"MM\0*" + struct.pack(">IHHHIHHI", 8, 1, 0x0112, 3, 1, turned, 0, 0)
    exif = b"Exif\0\0" + tiff
    notes = b"\xff\xe1" + struct.pack(">H", len(exif) + 2) + exif
    notes += b"".join(b"\xff\xe2" + struct.pack(">H", 60_002) + b"\0" * 60_000 for _ in range(padding))
    return b"\xff\xd8" + notes + b"\xff\xc2" + struct.pack(">HBHHB", 17, 8, height, width, 3) + b"\0" * 40


PICTURES: dict[str, tuple[bytes | None, str]] = {
    "one_that_is_not_there": (None, "there is no such picture. Write: a path below the tractor's own folder"),
    "an_empty_one": (b"", "this is not a picture that can be read. Write: a picture saved as .png or .jpg"),
    "a_text": (b"title: no picture", "this is not a picture that can be read"),
    "a_drawing_in_vectors": (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "not a picture that can be read"),
    "the_first_bytes_alone": (png(1200, 800)[:20], "this is not a picture that can be read"),
    "a_jpeg_without_a_frame": (b"\xff\xd8\xff\xe0\0\x02" * 40, "this is not a picture that can be read"),
    "no_pixels": (png(0, 0), "this is not a picture that can be read"),
    "a_bomb_of_pixels": (png(60_000, 60_000), "the picture has 60000 by 60000 pixels. Write: the same"),
    "a_jpeg_of_many_pixels": (jpeg(6000, 5000), "at most 16 million pixels, 8000 to a side"),
    "a_long_ribbon": (png(9000, 100), "the picture has 9000 by 100 pixels"),
    "fifty_megabytes": (b"\xff\xd8\xff" + b"\0" * 50_000_000, "the picture is longer than 12 MB"),
    "another_size": (png(640, 480), "640 by 480 pixels. Write: [640, 480], and places to match"),
    "a_jpeg_of_another_size": (jpeg(640, 480, padding=3), "the picture has 640 by 480 pixels"),
    "one_that_is_shown_turned": (jpeg(1200, 800, turned=6), "shown turned by a note in it. Write: it turned"),
}  # fmt: skip


@pytest.fixture
def pictured(own: dict[str, Path]) -> Path:
    """The tractor with a photo, which is still to be written; gives its path."""
    places = "".join(f"    {name}: [{x}, {y}]\n" for name, (x, y) in places_of(own["tractor"]).items())
    photo = f"photo:\n  picture: photos/rear.png\n  size: [1200, 800]\n  places:\n{places}"
    own["tractor"].write_text(own["tractor"].read_text("utf-8") + photo, "utf-8")
    path = own["tractor"].parent / "photos" / "rear.png"
    path.parent.mkdir()
    return path


def places_of(tractor: Path) -> dict[str, tuple[int, int]]:
    """A place for each port and socket, in rows of six."""
    machine = read_as(tractor, read_tractor).tractor
    names = [thing.name for thing in (*machine.ports, *machine.sockets)]
    return {name: (100 + 190 * (at % 6), 100 + 200 * (at // 6)) for at, name in enumerate(names)}


def looked_at(own: dict[str, Path]) -> list[str]:
    """What is told of the photo, without playing the job; memory in bounds."""
    folder = own["tractor"].parents[2]
    files = {
        own[kind].relative_to(folder).as_posix(): own[kind].read_text("utf-8") for kind in ("job", "tractor")
    }
    tracemalloc.start()
    try:
        told = [one.render() for one in photo_problems(files, "own/try", (folder,))]
        _, most = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert most < MOST_MEMORY
    return told


@pytest.mark.parametrize("name", PICTURES)
def test_a_bad_picture_is_told(name: str, own: dict[str, Path], pictured: Path) -> None:
    data, message = PICTURES[name]
    if data is not None:
        pictured.write_bytes(data)
    (told,) = looked_at(own)
    assert message in told
    line = "size: [1200, 800]" if "another_size" in name else "picture: photos/rear.png"
    assert f"    {line}" in told
    number = own["tractor"].read_text("utf-8").splitlines().index(f"  {line}") + 1
    assert told.startswith(f"machines/tractors/mine.yaml:{number}:")


def test_check_tells_of_a_bad_picture(own: dict[str, Path], pictured: Path) -> None:
    pictured.write_bytes(png(60_000, 60_000))
    (told,) = told_of(own["job"])
    assert "the picture has 60000 by 60000 pixels" in told


@pytest.mark.parametrize("data", [png(1200, 800), jpeg(1200, 800), jpeg(1200, 800, padding=5)])
def test_a_good_picture_is_none(data: bytes, own: dict[str, Path], pictured: Path) -> None:
    pictured.write_bytes(data)
    assert looked_at(own) == []


@pytest.mark.skipif(not hasattr(os, "symlink"), reason="no links here")
def test_a_picture_linked_from_elsewhere_is_not_shown(
    own: dict[str, Path], pictured: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere") / "private.png"
    elsewhere.write_bytes(png(1200, 800))
    pictured.symlink_to(elsewhere)
    (told,) = looked_at(own)
    assert "is a link that leads out of its folder" in told


def test_a_picture_is_no_part_of_a_record(own: dict[str, Path], pictured: Path) -> None:
    pictured.write_bytes(png(1200, 800))
    job = load_job(own["job"])
    pictured.unlink()
    assert compile_texts(job.name, job.files) == job


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
    assert listed + len(BAD) + len(PICTURES) >= 90
