"""What every test can rely on: no screen, no sound card, no network, no folder of the person running them.

The window tests that need a real X server take their environment from ``xvfb.py`` instead.
"""

import ipaddress
import os
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

import xvfb

# Before anything imports pygame: SDL reads these once.
os.environ.setdefault("SDL_VIDEODRIVER", "dummy")
os.environ.setdefault("SDL_AUDIODRIVER", "dummy")
# The system's language is the first guess where none is asked for.
os.environ["LC_ALL"] = "C.UTF-8"
os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")

# The same examples on every machine and in every run: what fails here fails for whoever looks into it.
settings.register_profile(
    "yard",
    derandomize=True,
    deadline=None,
    max_examples=60,
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("yard")

_NAMED_LOOPBACK = frozenset({"", "localhost", "localhost.localdomain", "ip6-localhost"})
_CALLS_OUT = frozenset({"socket.connect", "socket.sendto", "socket.sendmsg"})


class NetworkRefused(RuntimeError):
    """A test tried to reach another machine."""


def _is_this_machine(host: object) -> bool:
    if host is None:
        return True
    name = host.decode("ascii", "replace") if isinstance(host, bytes) else str(host)
    if name in _NAMED_LOOPBACK:
        return True
    try:
        return ipaddress.ip_address(name.partition("%")[0]).is_loopback
    except ValueError:
        return False


def _refuse_network(event: str, arguments: tuple[object, ...]) -> None:
    if event in _CALLS_OUT:
        address = arguments[1]
        # An AF_UNIX address is a path; an internet address is a tuple that starts with the host.
        if isinstance(address, tuple) and address and not _is_this_machine(address[0]):
            raise NetworkRefused(f"{event} to {address[0]!r}: tests stay on this machine")
    elif event in {"socket.getaddrinfo", "socket.gethostbyname"} and not _is_this_machine(arguments[0]):
        raise NetworkRefused(f"{event} of {arguments[0]!r}: tests stay on this machine")


# An audit hook sees every call, whichever library makes it, and cannot be taken out again by one.
sys.addaudithook(_refuse_network)


@pytest.fixture(autouse=True)
def user_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A user folder of the test's own; ``COUPLING_YARD_HOME`` takes the place of the platform's."""
    home = tmp_path / "coupling-yard-home"
    monkeypatch.setenv("COUPLING_YARD_HOME", str(home))
    return home


@pytest.fixture
def screen(tmp_path: Path) -> Iterator[xvfb.Screen]:
    """A virtual screen of the test's own; programs started on it are stopped with it."""
    with xvfb.virtual_screen(tmp_path / "screen") as screen:
        yield screen
