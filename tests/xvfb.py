"""A real window for tests: a virtual X server, a hand on its mouse and keyboard, an eye on its pixels.

The program under test runs as its own process, as a trainee would start it, on a screen of 1280 x 720 that
nobody sees. A test moves the pointer, and finds out what happened by reading the screen, the files that the
program writes or what it prints. Nothing here sleeps for a fixed time: `until` asks until the answer is yes.
"""

import os
import select
import shutil
import struct
import subprocess
import sys
import time
import zlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

import pytest

WIDTH_PX = 1280
HEIGHT_PX = 720
PATIENCE_S = 20.0  # long enough for a loaded machine; only a failing test waits this long
POLL_S = 0.01
TOOLS = {"Xvfb": "xvfb", "xdotool": "xdotool"}

Answer = TypeVar("Answer")
Point = tuple[int, int]
Colour = tuple[int, int, int]


def until(
    predicate: Callable[[], Answer],
    what: str = "the condition",
    timeout_s: float = PATIENCE_S,
    program: "Program | None" = None,
) -> Answer:
    """Ask until the answer is true, and return it; fail when time is up or when ``program`` has ended."""
    deadline = time.monotonic() + timeout_s
    while True:
        if answer := predicate():
            return answer
        if program is not None and program.process.poll() is not None:
            if answer := predicate():
                return answer
            pytest.fail(
                f"the program ended with {program.process.returncode} before {what}{program.end_of_said()}"
            )
        if time.monotonic() > deadline:
            said = program.end_of_said() if program is not None else ""
            pytest.fail(f"waited {timeout_s} s for {what} in vain{said}")
        select.select([], [], [], POLL_S)


def require_tools() -> None:
    """Skip where the X tools are not installed; on CI, which installs them, their absence is a failure."""
    missing = [package for tool, package in TOOLS.items() if shutil.which(tool) is None]
    if missing:
        reason = f"needs the packages {', '.join(missing)}"
        (pytest.fail if os.environ.get("CI") else pytest.skip)(reason)


@dataclass(frozen=True)
class Picture:
    """The screen at one moment: ``rgb`` holds three bytes a pixel, rows from the top."""

    width_px: int
    height_px: int
    rgb: bytes

    def pixel(self, x: int, y: int) -> Colour:
        if not (0 <= x < self.width_px and 0 <= y < self.height_px):
            raise IndexError(f"({x}, {y}) lies outside {self.width_px} x {self.height_px}")
        start = 3 * (y * self.width_px + x)
        red, green, blue = self.rgb[start : start + 3]
        return red, green, blue

    def colours(self) -> set[bytes]:
        """Every colour that occurs: a blank window has one."""
        return {self.rgb[start : start + 3] for start in range(0, len(self.rgb), 3)}

    def save(self, path: Path) -> None:
        """Write a PNG, to look at after a failure."""

        def chunk(kind: bytes, body: bytes) -> bytes:
            return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

        row = 3 * self.width_px
        rows = b"".join(b"\0" + self.rgb[start : start + row] for start in range(0, len(self.rgb), row))
        header = struct.pack(">IIBBBBB", self.width_px, self.height_px, 8, 2, 0, 0, 0)
        path.write_bytes(
            b"\x89PNG\r\n\x1a\n"
            + chunk(b"IHDR", header)
            + chunk(b"IDAT", zlib.compress(rows))
            + chunk(b"IEND", b"")
        )


def read_xwd(data: bytes) -> Picture:
    """Decode an X window dump of 32 bits a pixel, which is how Xvfb keeps its screen."""
    words = struct.unpack(">25I", data[:100])
    header_bytes, width_px, height_px = words[0], words[4], words[5]
    byte_order, bits_per_pixel, row_bytes, masks, colours = (
        words[7],
        words[11],
        words[12],
        words[14:17],
        words[19],
    )
    if bits_per_pixel != 32 or byte_order != 0 or masks != (0xFF0000, 0xFF00, 0xFF):
        raise ValueError(f"not a dump of 32 bits a pixel, blue first: {words}")
    start = header_bytes + 12 * colours
    rows = [data[at : at + 4 * width_px] for at in range(start, start + row_bytes * height_px, row_bytes)]
    pixels = b"".join(rows)
    rgb = bytearray(3 * width_px * height_px)
    rgb[0::3], rgb[1::3], rgb[2::3] = pixels[2::4], pixels[1::4], pixels[0::4]
    return Picture(width_px, height_px, bytes(rgb))


class Program:
    """The program under test, running on a screen."""

    def __init__(self, command: Sequence[str], environment: dict[str, str], folder: Path) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self._output = folder / "said.txt"
        with self._output.open("wb") as output:
            self.process = subprocess.Popen(
                command, env=environment, stdin=subprocess.DEVNULL, stdout=output, stderr=subprocess.STDOUT
            )
        self._display = environment["DISPLAY"]

    def said(self) -> str:
        """All it has printed so far, errors included."""
        return self._output.read_text("utf-8", "replace")

    def end_of_said(self) -> str:
        """What a failing test shows of it."""
        return "\nIt printed at the end:\n" + self.said()[-2000:]

    def until(
        self,
        predicate: Callable[[], Answer],
        what: str = "the condition",
        timeout_s: float = PATIENCE_S,
    ) -> Answer:
        """As the function of this name, and fails at once when the program ends instead."""
        return until(predicate, what, timeout_s, self)

    def until_window(self) -> str:
        """Wait for its window, give it the keyboard, return the window's id.

        There is no window manager on the screen, so nobody else hands out the keyboard.
        """
        search = ["search", "--onlyvisible", "--pid", str(self.process.pid)]

        def window() -> str:
            found = _xdotool(self._display, *search, check=False).split()
            return found[0] if found else ""

        def focused() -> str:
            # A window that is not up yet takes no focus, and one that was made anew has another number.
            found = window()
            if found:
                _xdotool(self._display, "windowfocus", found, check=False)
            has = _xdotool(self._display, "getwindowfocus", check=False).strip()
            return found if found == has else ""

        self.until(window, "its window")
        return self.until(focused, "the keyboard's focus")

    def ended(self, timeout_s: float = PATIENCE_S) -> int:
        """Wait for it to end by itself; its exit status."""
        try:
            return self.process.wait(timeout_s)
        except subprocess.TimeoutExpired:
            pytest.fail(f"still running after {timeout_s} s{self.end_of_said()}")

    def stop(self) -> None:
        """End it as a closing session would; at once if it does not listen."""
        if self.process.poll() is None:
            self.process.terminate()
            try:
                self.process.wait(5)
            except subprocess.TimeoutExpired:
                self.process.kill()
                self.process.wait()


class Pointer:
    """The trainee's hand: mouse and keyboard of one screen, in pixels from the top left."""

    def __init__(self, display: str) -> None:
        self._display = display

    def move(self, at: Point) -> None:
        self._do(*_to(at))

    def press(self, at: Point, button: int = 1) -> None:
        self._do(*_to(at), "mousedown", str(button))

    def release(self, at: Point, button: int = 1) -> None:
        self._do(*_to(at), "mouseup", str(button))

    def carry(self, start: Point, end: Point, steps: int) -> None:
        """Press at ``start`` and move to ``end`` in ``steps`` moves, the button still down."""
        moves = (word for at in _line(start, end, steps) for word in _to(at))
        self._do(*_to(start), "mousedown", "1", *moves)

    def click(self, at: Point, button: int = 1, times: int = 1) -> None:
        self._do(*_to(at), *(["mousedown", str(button), "mouseup", str(button)] * times))

    def scroll(self, at: Point, notches: int) -> None:
        """Turn the wheel; away from the hand is positive."""
        button = "4" if notches > 0 else "5"
        self._do(*_to(at), *(["click", button] * abs(notches)))

    def drag(self, start: Point, end: Point, steps: int = 12) -> None:
        """Press at ``start``, move to ``end`` in ``steps`` moves, release there."""
        self.carry(start, end, steps)
        self.release(end)

    def key(self, *names: str, delay_ms: int = 8) -> None:
        """Press and release keys by their X names, in turn: ``Return``, ``Escape``, ``shift+Tab``.

        A key that is released and pressed again within two milliseconds counts as held. On a loaded machine
        that befalls the same key twice in a row whatever the delay: whoever sends one must count with it.
        """
        self._do("key", "--delay", str(delay_ms), *names)

    def type(self, text: str) -> None:
        self._do("type", "--delay", "0", "--", text)

    def _do(self, *words: str) -> None:
        _xdotool(self._display, *words)


class Screen:
    """One virtual screen. Get it from the fixture ``screen``."""

    def __init__(self, display: str, folder: Path) -> None:
        self.display = display
        self.pointer = Pointer(display)
        self._folder = folder
        self._programs: list[Program] = []

    def environment(self, **extra: str) -> dict[str, str]:
        """For a program that opens a real window here: the tests' own dummy drivers do not apply to it."""
        environment = {
            name: value
            for name, value in os.environ.items()
            if name not in {"SDL_VIDEODRIVER", "WAYLAND_DISPLAY", "XAUTHORITY"}
        }
        return {**environment, "DISPLAY": self.display, "SDL_AUDIODRIVER": "dummy", **extra}

    def run(self, *command: str, **extra_environment: str) -> Program:
        """Start a program on this screen; it is stopped with the screen.

        ``screen.run("-m", "trainer", "play")`` runs this Python with these arguments.
        """
        folder = self._folder / f"program-{len(self._programs)}"
        program = Program([sys.executable, *command], self.environment(**extra_environment), folder)
        self._programs.append(program)
        return program

    def picture(self) -> Picture:
        """The screen as it is now, the X server's own pointer included."""
        return read_xwd((self._folder / "Xvfb_screen0").read_bytes())

    def pixel(self, x: int, y: int) -> Colour:
        return self.picture().pixel(x, y)

    def stop_programs(self) -> None:
        for program in self._programs:
            program.stop()


@contextmanager
def virtual_screen(folder: Path) -> Iterator[Screen]:
    """Start an X server on a free display and stop it, and what runs on it, at the end."""
    require_tools()
    folder.mkdir(parents=True, exist_ok=True)
    reader, writer = os.pipe()
    command = ["Xvfb", "-displayfd", str(writer), "-screen", "0", f"{WIDTH_PX}x{HEIGHT_PX}x24"]
    # -noreset: the server would start afresh whenever its last client leaves, as xdotool does each time.
    # -r: a key held long by a loaded machine would be pressed again by the server itself.
    command += ["-fbdir", str(folder), "-nolisten", "tcp", "-noreset", "-r"]
    with (folder / "xvfb.txt").open("wb") as log:
        server = subprocess.Popen(
            command, pass_fds=[writer], stdin=subprocess.DEVNULL, stdout=log, stderr=subprocess.STDOUT
        )
    os.close(writer)
    try:
        with os.fdopen(reader, "rb") as pipe:
            ready, _, _ = select.select([pipe], [], [], PATIENCE_S)
            number = pipe.readline().strip().decode() if ready else ""
        if not number:
            pytest.fail(f"Xvfb did not start\n{(folder / 'xvfb.txt').read_text('utf-8', 'replace')}")
        screen = Screen(f":{number}", folder)
        try:
            yield screen
        finally:
            screen.stop_programs()
    finally:
        server.terminate()
        server.wait()


def _to(at: Point) -> tuple[str, str, str]:
    return "mousemove", str(at[0]), str(at[1])


def _line(start: Point, end: Point, steps: int) -> Iterable[Point]:
    for step in range(1, steps + 1):
        yield (
            start[0] + round((end[0] - start[0]) * step / steps),
            start[1] + round((end[1] - start[1]) * step / steps),
        )


def _xdotool(display: str, *words: str, check: bool = True) -> str:
    done = subprocess.run(
        ["xdotool", *words],
        env={**os.environ, "DISPLAY": display},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=PATIENCE_S,
        check=False,
    )
    if check and done.returncode:
        pytest.fail(f"xdotool {' '.join(words)}: {done.stderr.strip()}")
    return done.stdout
