"""All a trainee can do and all that can happen, as small frozen values.

An action is a word, at most two names and at most one amount. The amount is a whole number of
thousandths of the word's unit (`hitch 620 mm` is 620 000), so that a record never holds a fraction that
two machines could read differently. One table, `WORDS`, says for every word what it takes, where it is
done and how long it keeps the hands busy; the file reader, the command line's help and the window all
read that table.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import NamedTuple

from trainer.core.wiring import PROBED


@dataclass(frozen=True, slots=True)
class Action:
    """One thing done. `thing` and `place` are names from the case or fixed choices; '' where unused."""

    word: str
    thing: str = ""
    place: str = ""
    amount: int | None = None


class Refusal(NamedTuple):
    """Why the yard does not let an action happen: a key into the texts and what goes into its gaps."""

    reason: str
    values: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened, with the readings of the yard at that moment.

    `values` are (name, whole number) pairs with the quantum in the name; `standing` is a bit per entry of
    `CONDITIONS`, as things stood *before* the action that caused the event.
    """

    kind: str
    tick: int
    thing: str = ""
    place: str = ""
    values: tuple[tuple[str, int], ...] = ()
    standing: int = 0

    def value(self, name: str, default: int | None = None) -> int:
        """The reading called `name`.

        >>> Event("coupled", 7, values=(("pressure_pa", 90),)).value("pressure_pa")
        90
        """
        for key, number in self.values:
            if key == name:
                return number
        if default is None:
            raise KeyError(f"event {self.kind} carries no {name}")
        return default

    def stands(self, condition: str) -> bool:
        return bool(self.standing >> CONDITIONS.index(condition) & 1)


CONDITIONS = (
    "engine_off",
    "brake_set",
    "key_out",
    "key_off",
    "seated",
    "fan_still",
    "pto_off",
    "area_clear",
    "fit_checked",
    "bushings_right",
    "drawbar_clear",
    "sway_free",
    "sway_set",
    "hooks_low",
    "backed_in",
    "pins_seated",
    "latched",
    "latches_open",
    "latches_seen",
    "top_hook_right",
    "balanced",
    "raised",
    "lift_locked",
    "lift_unlocked",
    "stands_down",
    "stands_up",
    "parked",
    "at_work",
    "chocked",
    "unchocked",
    "supports_seen",
    "folded",
    "site_level",
    "frame_down",
    "bled",
    "supplies_down",
    "waited",
    "lines_all_on",
    "lines_all_off",
    "plugs_all_on",
    "plugs_all_off",
    "clean",
    "routed",
    "lines_stored",
    "hooks_clear",
    "crept",
    "lines_seen",
    "driven_off",
    "plumb",
    "height_right",
    "source_right",
    "lights_proved",
    "bus_proved",
    "functions_proved",
    "drain_on",
    "others_off",
    "no_pressure_here",
    "running",
    "drawn",
    "tongue_right",
    "pinned",
    "unpinned",
    "clipped",
    "chained",
    "unchained",
    "joints_secured",
    "drawbar_right",
    "drawbar_strong",
    "jack_carries",
    "jack_stowed",
    "level",
    "shaft_right",
    "shaft_guarded",
    "shaft_fits",
    "parts_locked",
    "site_holds",
    "shaft_on",
    "shaft_off",
    "locks_in",
    "bus_ended",
)
"""States of the yard that rules look at. Every one can be lost again and is taken afresh at each event."""

_BITS = {name: 1 << index for index, name in enumerate(CONDITIONS)}


def mask(*names: str) -> int:
    """The bits of the named conditions.

    >>> mask("engine_off", "brake_set")
    3
    """
    bits = 0
    for name in names:
        bits |= _BITS[name]
    return bits


@dataclass(frozen=True, slots=True)
class Word:
    """What one action word takes. `thing` and `place` name a kind of name: a tuple of fixed choices, or
    one of `hose`, `end` (hose or plug), `line_or_port`, `port`, `plug`, `socket`, `valve`, `paper`,
    `station`, `function`, `joint`, `unit` (or `off`), `site`, `source`, `part`; '' where the word takes
    none."""

    name: str
    thing: str | tuple[str, ...] = ""
    joint: str = ""
    place: str | tuple[str, ...] = ""
    unit: str = ""
    low: int = 0
    high: int = 0
    stations: tuple[str, ...] = ()
    busy_s: float = 0.0
    says: str = ""
    example: str = ""


WRONGS = (
    "open",
    "shorted",
    "high_resistance",
    "too_high",
    "too_low",
    "too_long",
    "too_short",
    "wrong_place",
    "not_home",
    "not_closed",
    "left_on",
    "missing",
    "one_too_many",
    "blocked",
    "leaks",
    "worn",
    "cold",
)
"""What can be said to be wrong with a part."""

_ANY = ("yard", "seat", "panel", "hitch", "implement", "bench")
_BOTH_SIDES = ("left", "right")
QUANTITIES = (
    "bar_height",
    "bar_pitch",
    "sway",
    "mast_pins",
    "slope",
    "front_axle",
    "pressure",
    "case_pressure",
    "fan_speed",
    "flow",
    "oil_temperature",
    "supply_volts",
    "bus_ohms",
    "tongue_height",
    "tongue_pitch",
    "overlap",
    "gauge",
    "flow_meter",
    "lift_height",
    "speed_source",
)

WORDS: dict[str, Word] = {
    word.name: word
    for word in (
        Word("go", "station", stations=_ANY, says="walk to a station", example="go: panel"),
        Word(
            "read", "paper", stations=_ANY, busy_s=8, says="look a paper through", example="read: hitch_card"
        ),
        Word(
            "look",
            ("area", "latches", "supports", "lines"),
            stations=_ANY,
            busy_s=6,
            says="look and make sure: area from the yard or the seat, latches at the hitch, "
            "supports at the implement, lines from the seat or the yard",
            example="look: latches",
        ),
        Word(
            "brake", ("set", "release"), stations=("seat",), busy_s=1, says="park brake", example="brake: set"
        ),
        Word(
            "key",
            ("out", "off", "on"),
            stations=("seat",),
            busy_s=1,
            says="turn or take the key; off also stops the engine",
            example="key: out",
        ),
        Word(
            "engine",
            ("start", "stop"),
            stations=("seat", "yard", "panel"),
            busy_s=2,
            says="start or stop the engine",
            example="engine: start",
        ),
        Word(
            "throttle",
            unit="rev/min",
            low=600,
            high=2600,
            stations=("seat",),
            busy_s=1,
            says="set the engine speed",
            example="throttle: 2000 rev/min",
        ),
        Word(
            "hitch",
            unit="mm",
            low=200,
            high=1200,
            stations=("seat", "panel", "hitch"),
            says="set the height of the lower link ends; at the seat by lever, beside the coupler by the "
            "outside button",
            example="hitch: 620 mm",
        ),
        Word("reverse", ("in",), stations=("seat",), says="back in under the pins", example="reverse: in"),
        Word(
            "creep", ("ahead",), stations=("seat",), says="creep half a metre ahead", example="creep: ahead"
        ),
        Word(
            "drive", ("off",), joint="", place="", stations=("seat",), says="drive away", example="drive: off"
        ),
        Word(
            "park_at",
            "site",
            stations=("seat",),
            says="drive the coupled pair to another place of the yard",
            example="park_at: pad",
        ),
        Word(
            "bushings",
            ("fit", "remove"),
            stations=("hitch", "implement"),
            busy_s=25,
            says="bushings on the implement's pins",
            example="bushings: fit",
        ),
        Word(
            "top_hook",
            ("fit", "remove"),
            stations=("hitch",),
            busy_s=20,
            says="centre top hook of the quick coupler",
            example="top_hook: fit",
        ),
        Word(
            "sway",
            unit="mm",
            low=0,
            high=200,
            stations=("hitch",),
            busy_s=25,
            says="set the sway blocks to this much total play",
            example="sway: 6 mm",
        ),
        Word(
            "top_link",
            unit="mm",
            low=500,
            high=1200,
            stations=("hitch",),
            busy_s=15,
            says="turn the top link to this length",
            example="top_link: 812 mm",
        ),
        Word(
            "latch",
            _BOTH_SIDES,
            stations=("hitch",),
            busy_s=4,
            says="close a lower latch",
            example="latch: left",
        ),
        Word(
            "unlatch",
            _BOTH_SIDES,
            stations=("hitch",),
            busy_s=4,
            says="open a lower latch",
            example="unlatch: left",
        ),
        Word(
            "drawbar",
            ("stow", "extend"),
            stations=("hitch",),
            busy_s=20,
            says="drawbar in or out",
            example="drawbar: stow",
        ),
        Word(
            "drawbar_reach",
            unit="mm",
            low=200,
            high=800,
            stations=("hitch",),
            busy_s=30,
            says="set the drawbar so that its pin stands this far behind the PTO stub",
            example="drawbar_reach: 406.4 mm",
        ),
        Word(
            "jack",
            unit="mm",
            low=100,
            high=1200,
            stations=("hitch", "implement"),
            busy_s=20,
            says="crank the jack until it holds the tongue's eye at this height",
            example="jack: 480 mm",
        ),
        Word(
            "pin",
            ("fit", "remove"),
            stations=("hitch",),
            busy_s=8,
            says="drawbar pin through clevis and eye",
            example="pin: fit",
        ),
        Word(
            "clip",
            ("fit", "remove"),
            stations=("hitch",),
            busy_s=3,
            says="clip that keeps the drawbar pin in",
            example="clip: fit",
        ),
        Word(
            "chain",
            ("hook", "unhook"),
            stations=("hitch",),
            busy_s=10,
            says="safety chain from the tongue to the tractor",
            example="chain: hook",
        ),
        Word(
            "secure",
            "joint",
            stations=("implement",),
            busy_s=25,
            says="pin, clip and chain a further joint behind",
            example="secure: cart",
        ),
        Word(
            "release",
            "joint",
            stations=("implement",),
            busy_s=25,
            says="take pin and chain of a further joint out",
            example="release: cart",
        ),
        Word(
            "terminator",
            "unit",
            stations=("implement",),
            busy_s=12,
            says="plug the terminator of the bus into the outlet of one of the machine's units, and the "
            "units before it to one another; off hangs it in its holder",
            example="terminator: cart",
        ),
        Word(
            "ballast",
            unit="kg",
            low=0,
            high=3000,
            stations=("yard",),
            busy_s=60,
            says="hang this much front ballast",
            example="ballast: 600 kg",
        ),
        Word(
            "chock",
            _BOTH_SIDES,
            stations=("implement",),
            busy_s=5,
            says="lay a chock at a wheel",
            example="chock: left",
        ),
        Word(
            "unchock",
            _BOTH_SIDES,
            stations=("implement",),
            busy_s=5,
            says="take a chock away",
            example="unchock: left",
        ),
        Word(
            "stands",
            ("down", "up"),
            stations=("implement",),
            busy_s=20,
            says="parking stands",
            example="stands: up",
        ),
        Word(
            "lift_lock",
            ("set", "release"),
            stations=("implement", "hitch"),
            busy_s=8,
            says="mechanical lock that holds the raised machine",
            example="lift_lock: set",
        ),
        Word(
            "lock",
            "function",
            stations=("implement",),
            busy_s=8,
            says="mechanical lock of a part that oil holds up (wings, gate, boom)",
            example="lock: wings",
        ),
        Word(
            "unlock",
            "function",
            stations=("implement",),
            busy_s=8,
            says="take the lock of such a part off",
            example="unlock: wings",
        ),
        Word(
            "wipe",
            "line_or_port",
            stations=("panel",),
            busy_s=3,
            says="uncap and wipe a coupler face",
            example="wipe: fan_drain",
        ),
        Word(
            "couple",
            "hose",
            "to",
            "port",
            stations=("panel",),
            busy_s=4,
            says="push a hose end home",
            example="couple: fan_drain to case_drain",
        ),
        Word(
            "uncouple",
            "hose",
            stations=("panel",),
            busy_s=4,
            says="pull a hose end out",
            example="uncouple: fan_drain",
        ),
        Word(
            "plug",
            "plug",
            "to",
            "socket",
            stations=("panel",),
            busy_s=5,
            says="push a plug home and lock it",
            example="plug: bus to implement_bus",
        ),
        Word("unplug", "plug", stations=("panel",), busy_s=4, says="pull a plug", example="unplug: bus"),
        Word(
            "cap",
            "line_or_port",
            stations=("panel",),
            busy_s=2,
            says="put the cap on",
            example="cap: fan_drain",
        ),
        Word(
            "store",
            "end",
            stations=("panel",),
            busy_s=3,
            says="hang a hose end, plug or shaft in its holder",
            example="store: fan_drain",
        ),
        Word(
            "route",
            ("lines",),
            stations=("panel",),
            busy_s=15,
            says="lay the connected lines through the guides with slack for the full lift",
            example="route: lines",
        ),
        Word(
            "lever",
            "valve",
            "to",
            ("block", "extend", "retract", "float"),
            stations=("seat",),
            busy_s=1,
            says="set a valve lever",
            example="lever: v1 to float",
        ),
        Word(
            "dial",
            "valve",
            "to",
            unit="step",
            low=0,
            high=10,
            stations=("seat",),
            busy_s=1,
            says="set a valve's flow dial",
            example="dial: v1 to 5.9",
        ),
        Word("pto", ("on", "off"), stations=("seat",), busy_s=1, says="power take-off", example="pto: off"),
        Word(
            "pto_speed",
            unit="rev/min",
            low=100,
            high=2000,
            stations=("seat",),
            busy_s=3,
            says="shift the power take-off to this speed, while it stands",
            example="pto_speed: 540 rev/min",
        ),
        Word(
            "shaft_guard",
            ("fit", "remove"),
            stations=("panel",),
            busy_s=10,
            says="shield over the stub, tubes and joints of the drive shaft, with its chains hooked",
            example="shaft_guard: fit",
        ),
        Word(
            "speed_source",
            "source",
            stations=("seat",),
            busy_s=3,
            says="choose the speed source on the terminal",
            example="speed_source: ground_radar",
        ),
        Word(
            "measure",
            QUANTITIES,
            stations=_ANY,
            busy_s=6,
            says="measure with the tool for it, where it can be measured",
            example="measure: bar_height",
        ),
        Word(
            "volts",
            PROBED,
            "to",
            PROBED,
            stations=("panel",),
            busy_s=6,
            says="read the meter on volts from one pin of a socket or plug to another, or to the frame",
            example="volts: bus_4 to bus_2",
        ),
        Word(
            "ohms",
            PROBED,
            "to",
            PROBED,
            stations=("panel",),
            busy_s=6,
            says="read the meter on ohms between two pins; it tells nothing while they have power",
            example="ohms: bus_8 to bus_9",
        ),
        Word(
            "test",
            "function_or_line",
            stations=("seat",),
            busy_s=4,
            says="prove a function, the lights or the bus: watch it and read its figure",
            example="test: fan",
        ),
        Word(
            "gauge",
            "line_or_port",
            stations=("panel",),
            busy_s=45,
            says="tee the pressure gauge in behind a hose's coupler or at a port; its line reaches the seat",
            example="gauge: fan_pressure",
        ),
        Word(
            "flow_meter",
            "hose",
            stations=("panel",),
            busy_s=60,
            says="put the flow meter into a hose; its display reaches the seat",
            example="flow_meter: fan_pressure",
        ),
        Word(
            "evidence",
            unit="no",
            low=1,
            high=999,
            stations=("bench", "seat"),
            busy_s=1,
            says="put one of the measurements taken, by its number, under the fault report",
            example="evidence: 3",
        ),
        Word(
            "name",
            "part",
            "as",
            WRONGS,
            stations=("bench", "seat"),
            busy_s=5,
            says="sign the fault report: where it sits and what is wrong there",
            example="name: fan_drain as blocked",
        ),
        Word(
            "mend",
            "part",
            stations=("panel", "hitch", "implement"),
            busy_s=90,
            says="put a part right with what the yard has: clean, straighten, push home, swap a small part",
            example="mend: fan_drain",
        ),
        Word("wait", unit="s", low=0, high=3600, stations=_ANY, says="let time pass", example="wait: 180 s"),
        Word("hand_in", stations=_ANY, says="say that the job is done", example="hand_in:"),
    )
}

BARE_UNITS = ("step", "no")
"""Units that are not written behind their number."""

TESTS = ("lights", "bus")
"""What `test` proves beside the implement's functions."""


def amount_text(thousandths: int) -> str:
    """Thousandths as the shortest decimal.

    >>> amount_text(5900), amount_text(620000), amount_text(250)
    ('5.9', '620', '0.25')
    """
    sign = "-" if thousandths < 0 else ""
    units, rest = divmod(abs(thousandths), 1000)
    return f"{sign}{units}" + (f".{rest:03d}".rstrip("0") if rest else "")


def as_line(action: Action) -> str:
    """An action as one line of an action list: the form trainees and instructors read and write.

    >>> as_line(Action("couple", "fan_drain", "case_drain"))
    'couple: fan_drain to case_drain'
    >>> as_line(Action("hitch", amount=620000))
    'hitch: 620 mm'
    >>> as_line(Action("dial", "v1", amount=5900))
    'dial: v1 to 5.9'
    """
    word = WORDS[action.word]
    parts = [action.thing] if action.thing else []
    if action.place:
        parts += [word.joint, action.place]
    if action.amount is not None:
        if action.thing:
            parts.append(word.joint)
        parts.append(amount_text(action.amount))
        if word.unit not in (*BARE_UNITS, ""):
            parts.append(word.unit)
    return f"{action.word}: {' '.join(parts)}".rstrip()


class NotAnAction(ValueError):
    """A line that is no action; the message says what to write instead."""


def from_line(text: str) -> Action:
    """Read one line of an action list. The names in it are not yet looked up in a case.

    >>> from_line("couple: fan_drain to case_drain")
    Action(word='couple', thing='fan_drain', place='case_drain', amount=None)
    >>> from_line("wait: 180 s").amount
    180000

    Raises `NotAnAction` with advice where the line cannot be read.
    """
    name, _, rest = text.partition(":")
    name = name.strip()
    word = WORDS.get(name)
    if word is None:
        raise NotAnAction(f"no action word '{name}'. Write: one of {', '.join(sorted(WORDS))}")
    parts = rest.split()
    try:
        thing = parts.pop(0) if word.thing else ""
        if isinstance(word.thing, tuple) and thing not in word.thing:
            raise NotAnAction(f"'{name}' takes {_or(word.thing)}, not '{thing}'. Write: {word.example}")
        if word.joint and (word.place or word.unit) and parts.pop(0) != word.joint:
            raise IndexError
        place = parts.pop(0) if word.place else ""
        if isinstance(word.place, tuple) and place not in word.place:
            raise NotAnAction(f"'{name}' goes to {_or(word.place)}, not '{place}'. Write: {word.example}")
        amount = _amount(word, parts) if word.unit else None
    except IndexError:
        raise NotAnAction(f"'{text.strip()}' is not complete. Write: {word.example}") from None
    if parts:
        raise NotAnAction(f"'{' '.join(parts)}' is too much after '{name}'. Write: {word.example}")
    return Action(name, thing, place, amount)


def _amount(word: Word, parts: list[str]) -> int:
    try:
        number = Decimal(parts.pop(0))
        thousandths = int(number * 1000)
        if Decimal(thousandths) != number * 1000:
            raise NotAnAction(f"'{number}' is finer than a thousandth. Write: {word.example}")
    except (InvalidOperation, ValueError, OverflowError):
        raise NotAnAction(f"'{word.name}' needs a number. Write: {word.example}") from None
    if word.unit not in BARE_UNITS and parts.pop(0) != word.unit:
        raise NotAnAction(f"'{word.name}' is written in {word.unit}. Write: {word.example}")
    if not word.low * 1000 <= thousandths <= word.high * 1000:
        raise NotAnAction(
            f"'{word.name}' goes from {word.low} to {word.high} {word.unit}. Write: {word.example}"
        )
    return thousandths


def _or(choices: tuple[str, ...]) -> str:
    return " or ".join(f"'{choice}'" for choice in choices)
