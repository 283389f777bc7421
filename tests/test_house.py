"""The house rules, read off the source: who may import whom, what the core may call, what lies where."""

import ast
import os
import re
import socket
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).resolve().parent.parent
PACKAGE = REPOSITORY / "trainer"
PROJECT = tomllib.loads((REPOSITORY / "pyproject.toml").read_text("utf-8"))["project"]

# Imports point inwards only. A room may import itself, the rooms named here, and of other people's packages
# the ones named in LIBRARIES.
ROOMS = {
    "core": set(),
    "content": set(),
    "lang": {"core", "content"},
    "authoring": {"core", "content", "lang"},
    # Re-grading compiles the job text that the record carries.
    "records": {"core", "content", "lang", "authoring"},
    "scene": {"core", "content", "lang", "authoring", "records"},
    "app": {"core", "content", "lang", "authoring", "records", "scene"},
    "terminal": {"core", "lang", "records"},
    "cli": {"core", "content", "lang", "authoring", "records", "app", "terminal"},
    "__main__": {"cli"},
    "__init__": set(),
}

# Where each library may be imported, so that replacing one touches one room.
LIBRARIES = {
    "yaml": {"authoring", "records", "lang"},
    "pint": {"authoring"},
    "platformdirs": {"records", "app", "cli"},
    "jinja2": {"records"},
    "markupsafe": {"records"},
    "rich": {"cli", "terminal"},
    "typer": {"cli"},
    "pygame": {"scene", "app"},
    "pymunk": {"scene"},
}
DISTRIBUTIONS = {"yaml": "pyyaml", "pygame": "pygame-ce", "markupsafe": "jinja2"}

# The scored core computes the same on every machine and every day: what it may use of the standard library
# neither reads a clock, a file, the locale or the environment nor draws lots.
CORE_STANDARD_LIBRARY = {
    "__future__",
    "abc",
    "bisect",
    "collections",
    "contextlib",
    "dataclasses",
    "decimal",
    "enum",
    "fractions",
    "functools",
    "hashlib",
    "heapq",
    "itertools",
    "json",
    "math",
    "numbers",
    "operator",
    "re",
    "string",
    "struct",
    "textwrap",
    "types",
    "typing",
    "zlib",
}

# `sum` of floats differs between Python 3.11 and 3.12; `hash` and `id` differ between two runs.
CORE_FORBIDDEN_CALLS = {
    "__import__",
    "breakpoint",
    "compile",
    "eval",
    "exec",
    "globals",
    "hash",
    "id",
    "input",
    "open",
    "print",
    "sum",
    "vars",
}

TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "trainer",
    "scenarios",
    "art",
    "tests",
}


def module_name(path: Path) -> str:
    parts = path.relative_to(REPOSITORY).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" and len(parts) > 2 else parts)


def room_of(module: str) -> str:
    """The second part of ``trainer.room.module``; the package itself counts as ``__init__``."""
    parts = module.split(".")
    return parts[1] if len(parts) > 1 else "__init__"


def imports(source: str, path: Path) -> Iterator[tuple[int, str]]:
    """Line and absolute name of each import, also of those inside functions and under TYPE_CHECKING."""
    package = list(path.relative_to(REPOSITORY).parts[:-1])
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node.lineno, alias.name
        elif isinstance(node, ast.ImportFrom):
            stem = package[: len(package) - node.level + 1] if node.level else []
            base = ".".join([*stem, *([node.module] if node.module else [])])
            if base == "trainer":
                for alias in node.names:
                    yield node.lineno, f"trainer.{alias.name}"
            else:
                yield node.lineno, base
        elif isinstance(node, ast.Call) and node.args:
            called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            name = node.args[0]
            if called in {"import_module", "__import__"}:
                if not (isinstance(name, ast.Constant) and isinstance(name.value, str)):
                    yield node.lineno, "<computed at run time>"
                else:
                    yield node.lineno, name.value


def import_faults(source: str, path: Path) -> list[str]:
    room = room_of(module_name(path))
    faults = []
    for line, name in imports(source, path):
        place = f"{path.relative_to(REPOSITORY)}:{line}"
        top = name.partition(".")[0]
        if top == "trainer":
            target = room_of(name)
            # `from trainer import something` that is no module: a name out of trainer/__init__.py.
            if target not in ROOMS and not any((PACKAGE / f"{target}{end}").exists() for end in ("", ".py")):
                target = "__init__"
            if target != room and target not in ROOMS.get(room, set()) | {"__init__"}:
                faults.append(f"{place}: {room} may not import {name}")
        elif top in sys.stdlib_module_names:
            if room == "core" and top not in CORE_STANDARD_LIBRARY:
                faults.append(f"{place}: the core may not import {name}")
        elif room not in LIBRARIES.get(top, set()):
            faults.append(f"{place}: {room} may not import {name}")
    return faults


def is_set(node: ast.expr) -> bool:
    if isinstance(node, (ast.Set, ast.SetComp)):
        return True
    return (
        isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id in {"set", "frozenset"}
    )


def core_faults(source: str, path: Path) -> list[str]:
    """What would let two runs of the core differ."""
    faults = []

    def fault(node: ast.AST, what: str) -> None:
        faults.append(f"{path.relative_to(REPOSITORY)}:{getattr(node, 'lineno', 0)}: {what}")

    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load) and node.id in CORE_FORBIDDEN_CALLS:
            fault(node, f"the core may not use {node.id}()")
        elif isinstance(node, ast.Global):
            fault(node, "the core keeps no state in a module")
        elif isinstance(node, (ast.For, ast.comprehension)) and is_set(node.iter):
            fault(node.iter, "the order of a set differs between two runs: sort it")
        elif (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Name)
            and node.func.id in {"list", "tuple", "enumerate", "iter", "next", "map", "zip"}
            and any(is_set(argument) for argument in node.args)
        ):
            fault(node, "the order of a set differs between two runs: sort it")
    return faults


def sources(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*.py") if "__pycache__" not in path.parts)


def tracked_files() -> list[str]:
    """What git keeps or is about to keep; every file where there is no git (an unpacked archive)."""
    command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    try:
        listed = subprocess.run(command, cwd=REPOSITORY, capture_output=True, text=True, check=True)
    except (FileNotFoundError, subprocess.CalledProcessError):
        return sorted(str(path.relative_to(REPOSITORY)) for path in REPOSITORY.rglob("*") if path.is_file())
    return [name for name in listed.stdout.split("\0") if name and (REPOSITORY / name).exists()]


def test_imports_point_inwards_only() -> None:
    found = sources(PACKAGE)
    assert found
    assert not [fault for path in found for fault in import_faults(path.read_text("utf-8"), path)]


def test_every_module_lies_in_a_known_room() -> None:
    assert not sorted({room_of(module_name(path)) for path in sources(PACKAGE)} - set(ROOMS))


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("core/engine.py", "import random"),
        ("core/engine.py", "from time import monotonic"),
        ("core/engine.py", "import os.path"),
        ("core/engine.py", "import yaml"),
        ("core/engine.py", "from trainer.authoring import compile"),
        ("core/engine.py", "from ..records import journal"),
        ("core/engine.py", "from .. import scene"),
        ("core/engine.py", "def late():\n    import datetime"),
        ("authoring/schema.py", "import pygame"),
        ("authoring/schema.py", "from trainer import scene"),
        ("authoring/schema.py", "import importlib\nimportlib.import_module('pymunk')"),
        ("authoring/schema.py", "import importlib\nimportlib.import_module(name)"),
        ("authoring/schema.py", "from trainer.records.journal import Journal"),
        ("records/replay.py", "from trainer.app import main"),
        ("records/replay.py", "import typer"),
        ("scene/hoses.py", "from trainer.cli import main"),
        ("scene/hoses.py", "import scipy"),
        ("cli.py", "import pygame"),
        ("cli.py", "import trainer.scene.hoses"),
        ("records/replay.py", "import hypothesis"),
        ("authoring/check.py", "import fluids"),
        ("__main__.py", "from trainer import app"),
    ],
)
def test_an_import_outwards_is_found(module: str, source: str) -> None:
    assert import_faults(source, PACKAGE / module)


@pytest.mark.parametrize(
    ("module", "source"),
    [
        ("core/engine.py", "import math\nfrom collections.abc import Iterator\nfrom . import units"),
        ("core/engine.py", "from trainer.core.units import TICK"),
        ("authoring/compile.py", "import pathlib\nimport pint\nimport yaml\nfrom trainer.core import case"),
        ("records/replay.py", "from trainer.authoring import compile\nfrom ..core import attempt"),
        ("scene/hoses.py", "import pygame.freetype\nimport pymunk\nfrom ..lang import text"),
        ("cli.py", "import typer\nfrom trainer import app\nfrom .records import replay"),
        ("__main__.py", "from .cli import main"),
    ],
)
def test_an_import_inwards_passes(module: str, source: str) -> None:
    assert not import_faults(source, PACKAGE / module)


def test_every_library_is_declared() -> None:
    declared = {re.split(r"[^\w-]", line, maxsplit=1)[0].lower() for line in PROJECT["dependencies"]}
    assert {DISTRIBUTIONS.get(name, name) for name in LIBRARIES} == declared


def test_nothing_in_the_core_can_differ_between_two_runs() -> None:
    faults = [
        fault for path in sources(PACKAGE / "core") for fault in core_faults(path.read_text("utf-8"), path)
    ]
    assert not faults


@pytest.mark.parametrize(
    "source",
    [
        "total = sum(flows)",
        "key = hash(state)",
        "order = sorted(ports, key=id)",
        "text = open('x').read()",
        "def bump():\n    global count\n    count = 1",
        "for port in {a, b}:\n    close(port)",
        "names = [name for name in set(ports)]",
        "names = tuple(frozenset(ports))",
    ],
)
def test_what_can_differ_between_two_runs_is_found(source: str) -> None:
    assert core_faults(source, PACKAGE / "core" / "engine.py")


@pytest.mark.parametrize(
    "source",
    [
        "import math\ntotal = math.fsum(flows)",
        "for port in sorted({a, b}):\n    close(port)",
        "known = frozenset(ports)\nfound = port in known",
        "self.id = 3\nport.hash()",
    ],
)
def test_what_cannot_differ_passes(source: str) -> None:
    assert not core_faults(source, PACKAGE / "core" / "engine.py")


@pytest.mark.parametrize("room", ["core", "authoring", "records", "lang"])
def test_room_works_where_there_is_no_pygame(room: str) -> None:
    modules = [module_name(path) for path in sources(PACKAGE / room)]
    if not modules:
        pytest.skip(f"trainer/{room} holds no module")
    program = (
        "import importlib, sys\n"
        "sys.modules.update(dict.fromkeys(['pygame', 'pymunk', 'pygame_gui', 'typer']))\n"  # None: not there
        "for name in sys.argv[1:]: importlib.import_module(name)\n"
    )
    environment = {**os.environ, "PYTHONPATH": str(REPOSITORY)}
    done = subprocess.run(
        [sys.executable, "-c", program, *modules],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr


def test_the_top_level_stays_as_it_is() -> None:
    top = {name.partition("/")[0] for name in tracked_files()}
    assert "pyproject.toml" in top
    assert not sorted(name for name in top - TOP_LEVEL if not name.startswith("."))


def test_no_source_file_outgrows_its_subject() -> None:
    found = [name for name in tracked_files() if name.endswith(".py")]
    lengths = {name: len((REPOSITORY / name).read_text("utf-8").splitlines()) for name in found}
    assert "tests/test_house.py" in lengths
    assert not {name: lines for name, lines in lengths.items() if lines > 1000}


def test_every_text_file_ends_its_lines_alike() -> None:
    suffixes = {".py", ".md", ".toml", ".yaml", ".yml", ".svg", ".json", ".jsonl"}
    texts = [REPOSITORY / name for name in tracked_files() if Path(name).suffix in suffixes]
    assert texts
    assert not [str(path) for path in texts if b"\r" in path.read_bytes()]


def test_a_test_cannot_reach_another_machine() -> None:
    with pytest.raises(RuntimeError, match="stay on this machine"):
        socket.getaddrinfo("yard.invalid", 80)
    with (
        socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as far,  # connecting a datagram socket sends nothing
        pytest.raises(RuntimeError, match="stay on this machine"),
    ):
        far.connect(("192.0.2.1", 9))


def test_a_test_can_talk_to_this_machine() -> None:
    with (
        socket.create_server(("127.0.0.1", 0)) as server,
        socket.create_connection(server.getsockname()) as near,
    ):
        near.sendall(b"yard")
        accepted, _ = server.accept()
        with accepted:
            assert accepted.recv(4) == b"yard"
