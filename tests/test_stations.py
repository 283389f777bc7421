"""The stations by hand: whatever can be done in the yard is done here with mouse and keys.

The yard of these tests is the real attempt without the window round it: what a station asks for is done at
once, as soon as the hands are free, and kept as the list of what was asked.
"""

import math
import random
from collections.abc import Callable
from typing import Any

import pygame
import pytest

from trainer.authoring.compile import Job, load_job
from trainer.authoring.orders import actions_of, answer_items
from trainer.core.actions import WORDS, Action, Refusal, amount_text, as_line, from_line
from trainer.core.attempt import Attempt
from trainer.core.case import STATIONS, Case
from trainer.core.engine import digest, legal
from trainer.core.state import State
from trainer.lang import Texts
from trainer.records.settings import Settings
from trainer.scene import stations
from trainer.scene.art import Art
from trainer.scene.desk import Desk
from trainer.scene.kit import Kit, Target
from trainer.scene.report import Draft, Report
from trainer.scene.ropes import NODES, Ropes, curve, draw_tube
from trainer.scene.stations.hands import Handwork

COUPLE, UNCOUPLE = "first-week/couple", "first-week/uncouple"
DRAWN = ("class/couple_baler", "class/uncouple_baler")
SIZES = [(1280, 720), (1920, 1200)]
FRAME_S = 1 / 60


class Ground:
    """A yard for stations: the real attempt, every wish done as soon as the hands are free."""

    metric = False
    calm = True

    def __init__(self, case: Case, size: tuple[int, int] = (1280, 720), text_scale: float = 1.0) -> None:
        pygame.display.init()
        pygame.font.init()
        self.surface = pygame.display.set_mode(size)
        self.attempt = Attempt(case, ())
        self.art = Art()
        self.kit = Kit(self.art.folder / "fonts")
        self.kit.resize(size, text_scale)
        self.texts = Texts.load("en")
        self.scale = self.kit.scale
        self.stage = pygame.Rect(0, self.kit.px(51), self.kit.px(980), self.kit.px(551))
        self.now_s = 0.0
        self.asked: list[str] = []
        self.refused: list[str] = []
        self.said: list[str] = []
        self.closed = 0
        self.desk = Desk(self.kit, self.art, self.texts, Settings())
        self.desk.doors["keep_settings"] = lambda: None
        self.draft = Draft()
        self.report: Report | None = None
        self.places = stations.make(self)

    @property
    def case(self) -> Case:
        return self.attempt.present

    @property
    def state(self) -> State:
        return self.attempt.state

    @property
    def busy(self) -> bool:
        return self.state.busy_until > self.state.tick

    def do(self, action: Action) -> None:
        self.attempt.settle()
        refusal = self.attempt.do(action)
        self.asked.append(as_line(action))
        if refusal is not None:
            self.refused.append(refusal.reason)

    def open_report(self) -> None:
        self.report = Report(self.desk, self, self.draft)

    def paper_closed(self) -> None:
        self.closed += 1

    def legal(self, action: Action) -> Refusal | None:
        return legal(self.case, self.state, action)

    def say(self, key: str, **gaps: object) -> None:
        self.said.append(self.texts.say(key, **gaps))

    def amount(self, kind: str, value_si: float, decimals: int | None = None) -> str:
        return self.texts.amount(kind, value_si, self.metric, decimals)

    def refusal_text(self, refusal: Refusal) -> str:
        return refusal.reason

    def at(self, x: float, y: float) -> tuple[int, int]:
        return round(x * self.scale), round(y * self.scale)

    def area(self, x: float, y: float, width: float, height: float) -> pygame.Rect:
        return pygame.Rect(self.at(x, y), self.at(width, height))

    def drawn(self, point: tuple[int, int]) -> tuple[float, float]:
        return point[0] / self.scale, point[1] / self.scale

    # --- a person at it -------------------------------------------------------------------------------------

    def change(self, **fields: Any) -> None:
        """Find the yard in another state."""
        self.attempt.state = self.state._replace(moving=True, **fields)

    def stand(self, name: str) -> None:
        """Be at a station, without walking."""
        self.change(station=name, busy_until=self.state.tick)
        self.here.enter()
        self.frame()

    @property
    def here(self) -> Handwork:
        place = self.places[self.state.station]
        assert isinstance(place, Handwork)
        return place

    def pass_time(self, frames: int) -> None:
        """Frames that nobody looks at."""
        for _ in range(frames):
            self.now_s += FRAME_S
            self.here.update(FRAME_S)

    def frame(self, count: int = 1) -> None:
        for _ in range(count):
            self.pass_time(1)
            self.surface.set_clip(self.stage)
            self.here.draw(self.surface)
            self.surface.set_clip(None)

    def target(self, name: str) -> Target:
        found = [target for target in self.here.targets() if target.id == name]
        assert found, f"no {name} at {self.here.name}: {[target.id for target in self.here.targets()]}"
        return found[-1]

    def centre(self, name: str) -> tuple[int, int]:
        return self.target(name).rect.center

    def send(self, kind: int, at: tuple[int, int]) -> None:
        buttons = {"button": 1} if kind != pygame.MOUSEMOTION else {"rel": (0, 0), "buttons": (1, 0, 0)}
        self.here.handle(pygame.event.Event(kind, pos=at, **buttons))

    def click(self, name: str) -> None:
        at = self.centre(name)
        self.send(pygame.MOUSEBUTTONDOWN, at)
        self.send(pygame.MOUSEBUTTONUP, at)
        self.frame()

    def hold(self, name: str, seconds: float) -> None:
        at = self.centre(name)
        self.send(pygame.MOUSEBUTTONDOWN, at)
        self.pass_time(round(seconds / FRAME_S))
        self.send(pygame.MOUSEBUTTONUP, at)

    def drag(self, start: str, end: str | tuple[int, int], stay_s: float = 0.0) -> None:
        """Press at one target, move to another or by so many pixels, and let go there."""
        first = self.centre(start)
        last = self.centre(end) if isinstance(end, str) else (first[0] + end[0], first[1] + end[1])
        self.send(pygame.MOUSEBUTTONDOWN, first)
        for step in range(1, 13):
            self.send(
                pygame.MOUSEMOTION,
                (first[0] + (last[0] - first[0]) * step // 12, first[1] + (last[1] - first[1]) * step // 12),
            )
            self.pass_time(1)
        self.pass_time(round(stay_s / FRAME_S))
        self.send(pygame.MOUSEBUTTONUP, last)
        self.frame()

    def key(self, key: int, text: str = "") -> bool:
        return self.here.handle(pygame.event.Event(pygame.KEYDOWN, key=key, mod=0, unicode=text))

    def set(self, name: str, value: str) -> None:
        """Open a dial by a click, type its value, confirm."""
        self.click(name)
        for letter in value:
            assert self.key(ord(letter), letter)
        self.frame()
        self.key(pygame.K_RETURN, "\r")
        self.frame()


@pytest.fixture(scope="module")
def jobs() -> dict[str, Job]:
    return {name: load_job(name) for name in (COUPLE, UNCOUPLE)}


# --- what is drawn ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES, ids=["1280x720", "1920x1200"])
@pytest.mark.parametrize("name", [COUPLE, UNCOUPLE])
@pytest.mark.parametrize("station", STATIONS)
def test_every_station_draws_and_offers_what_lies_in_its_stage(
    jobs: dict[str, Job], station: str, name: str, size: tuple[int, int]
) -> None:
    yard = Ground(jobs[name].case, size)
    yard.surface.fill((255, 0, 255))
    yard.stand(station)
    yard.frame(3)
    inside = pygame.transform.average_color(yard.surface, yard.stage)[:3]
    assert inside != (255, 0, 255)
    outside = yard.surface.get_at((size[0] - 2, size[1] // 2))[:3]
    assert outside == (255, 0, 255), "a station paints outside its stage"
    names = [target.id for target in yard.here.targets()]
    assert len(names) == len(set(names)) >= 8
    for target in yard.here.targets():
        assert target.label
        if not target.id.startswith("go:"):  # a tractor far off stands partly outside
            assert yard.stage.contains(target.rect.clip(yard.stage)), target.id
            assert target.rect.clip(yard.stage).width >= 12, target.id
    assert yard.kit.overflows == []
    assert yard.asked == []


@pytest.mark.parametrize("station", STATIONS)
def test_text_twice_as_large_still_draws(jobs: dict[str, Job], station: str) -> None:
    yard = Ground(jobs[UNCOUPLE].case, text_scale=2.0)
    yard.stand(station)
    yard.frame(2)
    assert {target.id for target in yard.here.targets()}


# --- what is done: the whole of both jobs, by hand ----------------------------------------------------------


def by_hand(yard: Ground, action: Action) -> None:
    """Do an action with mouse and keys at the station where the trainee stands.

    Walking, waiting, reading and handing in can be done from the window's frame anywhere, so these fall back
    on it where the station has nothing for them.
    """
    word, thing, place = action.word, action.thing, action.place
    here = yard.here.name
    amount = amount_text(action.amount) if action.amount is not None else ""
    taps = {
        "brake": "brake",
        "engine": f"engine:{thing}",
        "key": f"key:{thing}",
        "reverse": "drive:reverse",
        "creep": "drive:creep",
        "drive": "drive:off",
        "park_at": f"park:{thing}",
        "pto": "pto",
        "latch": f"latch:{thing}",
        "unlatch": f"latch:{thing}",
        "lever": f"lever:{thing}:{place}",
        "secure": f"joint:{thing}",
        "release": f"joint:{thing}",
        "shaft_guard": "shaft_guard",
    }
    drags = {
        "pin": ("pin", "pin_hole") if thing == "fit" else ("pin_hole", "pin"),
        "clip": ("clip", "clip_hole") if thing == "fit" else ("clip_hole", "clip"),
        "chain": ("chain", "chain_hook") if thing == "hook" else ("chain_hook", "tape"),
        "lock": ("lock_pin", f"lock:{thing}"),
        "unlock": (f"lock:{thing}", "lock_pin"),
        "couple": (f"end:{thing}", f"port:{place}"),
        "plug": (f"plug:{thing}", f"socket:{place}"),
        "cap": ("caps", f"end:{thing}"),
        "route": ("guide", "guide:right"),
        "chock": ("chock", f"chock:{thing}"),
        "unchock": (f"chock:{thing}", "tape"),
        "bushings": ("bushing", "pins") if thing == "fit" else ("pins", "bushing"),
        "top_hook": ("hook", "top_hook") if thing == "fit" else ("top_hook", "hook"),
        "lift_lock": ("lock_pin", "lift_lock") if thing == "set" else ("lift_lock", "lock_pin"),
    }
    if word == "terminator":
        drags[word] = (f"outlet:{yard.state.terminator_at}", f"outlet:{thing}")
    if word in taps:
        yard.click(taps[word])
    elif word in drags:
        yard.drag(*drags[word])
    elif word in VALUES and (word != "hitch" or here == "seat"):
        yard.set(VALUES[word], amount)
    elif word in SPECIAL:
        SPECIAL[word](yard, action)
    elif (word, here) == ("go", "yard"):
        yard.click(f"go:{thing}")
        yard.here.enter()
        yard.frame()
    elif (word, here) == ("read", "bench"):
        yard.click(f"paper:{thing}")
        yard.click("paper:close")
    elif (word, here) == ("hand_in", "bench"):
        yard.click("hand_in")
    elif (word, here) == ("wait", "bench"):
        yard.set("clock", amount)
    else:
        assert word in ("go", "read", "hand_in", "wait"), f"no gesture for {as_line(action)} at {here}"
        yard.do(action)
        yard.here.enter()
        yard.frame()


VALUES = {
    **{word: word for word in ("throttle", "hitch", "sway", "top_link", "jack", "pto_speed")},
    "drawbar_reach": "reach",
}


def wipe_by_hand(yard: Ground, action: Action) -> None:
    kind = "port" if yard.case.port(action.thing) >= 0 else "end"
    yard.drag("rag", f"{kind}:{action.thing}", stay_s=0.4)


def pull_by_hand(yard: Ground, action: Action) -> None:
    kind = "end" if action.word == "uncouple" else "plug"
    yard.drag(f"{kind}:{action.thing}", "rag")


def store_by_hand(yard: Ground, action: Action) -> None:
    kind = "end" if yard.case.hose(action.thing) >= 0 else "plug"
    yard.click(f"{kind}:{action.thing}")
    yard.click(f"holder:{action.thing}")


def slide_by_hand(yard: Ground, action: Action) -> None:
    far = round((60 if action.thing in ("extend", "down") else -60) * yard.scale)
    yard.drag(action.word, (far, 0) if action.word == "drawbar" else (0, far))


def hang_by_hand(yard: Ground, action: Action) -> None:
    assert action.amount is not None
    yard.drag("weight", "nose")
    for letter in amount_text(action.amount):
        yard.key(ord(letter), letter)
    yard.click("adjust:set")


def terminal_by_hand(yard: Ground, action: Action) -> None:
    page, row = ("speed", "source") if action.word == "speed_source" else ("functions", "test")
    yard.click(f"page:{page}")
    yard.click(f"{row}:{action.thing}")


def probe_by_hand(yard: Ground, action: Action) -> None:
    yard.click("meter:pins")
    if action.word == "ohms":
        yard.click("meter:knob")
    for name in (action.thing, action.place):
        yard.click(f"pin:{name}")


def tee_by_hand(yard: Ground, action: Action) -> None:
    """Take the tool by a click, put it in by another."""
    yard.click(action.word)
    yard.click(f"tee:{action.thing}" if yard.case.port(action.thing) >= 0 else f"end:{action.thing}")


SPECIAL: dict[str, Callable[[Ground, Action], None]] = {
    "wipe": wipe_by_hand,
    "uncouple": pull_by_hand,
    "unplug": pull_by_hand,
    "store": store_by_hand,
    "drawbar": slide_by_hand,
    "stands": slide_by_hand,
    "ballast": hang_by_hand,
    "speed_source": terminal_by_hand,
    "test": terminal_by_hand,
    "dial": lambda yard, action: yard.set(f"dial:{action.thing}", amount_text(action.amount or 0)),
    "look": lambda yard, action: look_by_hand(yard, action.thing),
    "measure": lambda yard, action: measure_by_hand(yard, action.thing),
    "gauge": tee_by_hand,
    "flow_meter": tee_by_hand,
    "volts": probe_by_hand,
    "ohms": probe_by_hand,
}


def look_by_hand(yard: Ground, thing: str) -> None:
    if yard.here.name == "seat":
        yard.click(f"look:{thing}")
    else:
        holds = "pin_hole" if yard.case.implement.drawn else "latch:left"
        where = {"area": "go:implement", "lines": "go:panel", "latches": holds, "supports": "stands"}
        yard.drag("eye", where[thing])


def measure_by_hand(yard: Ground, thing: str) -> None:
    if yard.here.name == "seat":
        yard.click("page:figures")
        yard.click(f"read:{thing}")
        return
    if thing in ("gauge", "flow_meter"):
        yard.click(f"{thing}:read")
        return
    if thing == "bus_ohms":
        yard.click("meter:knob")
    drawn = yard.case.implement.drawn
    tool, place = {
        "bar_height": ("tape", "bar"),
        "bar_pitch": ("level", "bar"),
        "sway": ("tape", "sway"),
        "mast_pins": ("tape", "pin_hole" if drawn and yard.here.name == "hitch" else "mast"),
        "tongue_height": ("tape", "eye_hole"),
        "tongue_pitch": ("level", "frame" if yard.here.name == "hitch" else "bar"),
        "overlap": ("tape", "shaft"),
        "lift_height": ("tape", "go:implement" if yard.here.name == "yard" else "ground"),
        "slope": ("level", "ground"),
        "front_axle": ("axle_scale", "axle"),
        "pressure": ("gauge", "port:v5_extend"),
        "case_pressure": ("gauge", "port:case_drain"),
        "flow": ("flow_meter", "port:v5_extend"),
        "oil_temperature": ("thermometer", "port:v5_extend"),
        "supply_volts": ("meter", "socket:implement_bus"),
        "bus_ohms": ("meter", "socket:implement_bus"),
    }[thing]
    yard.drag(tool, place)


@pytest.mark.parametrize("name", [COUPLE, UNCOUPLE, *DRAWN])
def test_a_safe_run_is_done_by_hand_and_gives_the_same_record(jobs: dict[str, Job], name: str) -> None:
    job = jobs.get(name) or load_job(name)
    yard = Ground(job.case)
    told = Attempt(job.case, ())
    yard.here.enter()
    yard.frame()
    for item in answer_items(job):
        for action in actions_of(told, item):
            told.settle()
            assert told.do(action) is None
            told.settle()
            before = len(yard.asked)
            by_hand(yard, action)
            yard.attempt.settle()
            assert yard.asked[before:] == [as_line(action)], f"at {yard.here.name}"
    assert yard.refused == []
    assert digest(yard.state) == digest(told.state)
    assert yard.state.ended == "handed in"


# --- every word, by some gesture ----------------------------------------------------------------------------

GESTURES: dict[str, tuple[str, str, dict[str, Any]]] = {
    # word: the line, the station it is done at by hand, and how the yard is found
    "go": ("go: hitch", "yard", {}),
    "read": ("read: hitch_card", "bench", {}),
    "look": ("look: area", "yard", {}),
    "brake": ("brake: release", "seat", {"brake": True}),
    "key": ("key: on", "seat", {"key": "off"}),
    "engine": ("engine: start", "seat", {"key": "on"}),
    "throttle": ("throttle: 2000 rev/min", "seat", {"engine": True}),
    "hitch": ("hitch: 620 mm", "seat", {"engine": True}),
    "reverse": ("reverse: in", "seat", {}),
    "creep": ("creep: ahead", "seat", {}),
    "drive": ("drive: off", "seat", {}),
    "park_at": ("park_at: pad", "seat", {"site": "apron"}),
    "bushings": ("bushings: fit", "implement", {"bushings": False}),
    "top_hook": ("top_hook: fit", "hitch", {"top_hook": False}),
    "sway": ("sway: 9 mm", "hitch", {}),
    "top_link": ("top_link: 799 mm", "hitch", {}),
    "latch": ("latch: right", "hitch", {"latch_right": False}),
    "unlatch": ("unlatch: left", "hitch", {"latch_left": True}),
    "drawbar": ("drawbar: stow", "hitch", {"drawbar_stowed": False}),
    "ballast": ("ballast: 900 kg", "yard", {"gap_um": 0}),
    "chock": ("chock: right", "implement", {"chock_right": False}),
    "unchock": ("unchock: left", "implement", {"chock_left": True}),
    "stands": ("stands: up", "implement", {"stands": True}),
    "lift_lock": ("lift_lock: set", "hitch", {"lift_locked": False}),
    "wipe": ("wipe: v5_retract", "panel", {}),
    "couple": ("couple: fan_drain to case_drain", "panel", {"gap_um": 0, "hose_at": (-1,) * 11}),
    "uncouple": ("uncouple: lift_extend", "panel", {}),
    "plug": ("plug: bus to implement_bus", "panel", {"gap_um": 0, "plug_at": (-1, -1)}),
    "unplug": ("unplug: bus", "panel", {}),
    "cap": ("cap: fan_drain", "panel", {"hose_at": (-1,) * 11}),
    "store": ("store: fan_drain", "panel", {"hose_at": (-1,) * 11, "hose_stored": (False,) * 11}),
    "route": ("route: lines", "panel", {}),
    "lever": ("lever: v3 to float", "seat", {"key": "on"}),
    "dial": ("dial: v1 to 5.9", "seat", {"key": "on"}),
    "pto": ("pto: on", "seat", {"engine": True, "pto": False}),
    "speed_source": ("speed_source: ground_radar", "seat", {}),
    "measure": ("measure: slope", "yard", {}),
    "volts": ("volts: bus_4 to bus_2", "panel", {}),
    "ohms": ("ohms: lamps_plug_6 to frame", "panel", {"key": "off"}),
    "test": ("test: markers", "seat", {}),
    "gauge": ("gauge: v5_extend", "panel", {}),
    "flow_meter": ("flow_meter: fan_pressure", "panel", {}),
    "wait": ("wait: 180 s", "bench", {}),
    "hand_in": ("hand_in:", "bench", {}),
}


AT_A_DRAWBAR = {
    *("drawbar_reach", "jack", "pin", "clip", "chain", "secure", "release", "lock", "unlock"),
    *("pto_speed", "shaft_guard", "terminator"),
}
"""Words of machines that neither of these jobs has; they are tried where such a machine stands."""


ON_THE_REPORT = {"evidence", "name", "mend"}
"""Words of jobs that have a fault to be found; they are tried in `test_fault_report.py`."""


def test_there_is_a_gesture_for_every_word_and_no_other() -> None:
    assert set(GESTURES) | AT_A_DRAWBAR | ON_THE_REPORT == set(WORDS)


@pytest.mark.parametrize("word", GESTURES)
def test_a_gesture_asks_for_exactly_its_action(jobs: dict[str, Job], word: str) -> None:
    line, station, found = GESTURES[word]
    assert station in WORDS[word].stations
    yard = Ground(jobs[UNCOUPLE].case)
    yard.change(**found)
    yard.stand(station)
    by_hand(yard, from_line(line))
    assert yard.asked == [line]


WHERE = {
    "bar_height": ("hitch", "implement"),
    "bar_pitch": ("hitch", "implement"),
    "sway": ("hitch",),
    "mast_pins": ("hitch", "implement"),
    "slope": ("yard", "implement"),
    "front_axle": ("yard",),
    "pressure": ("panel",),
    "case_pressure": ("panel", "seat"),
    "fan_speed": ("seat",),
    "flow": ("panel", "seat"),
    "oil_temperature": ("panel", "seat"),
    "supply_volts": ("panel",),
    "bus_ohms": ("panel",),
    "gauge": ("panel", "seat", "yard"),
    "flow_meter": ("panel", "seat", "yard"),
    "lift_height": ("seat", "yard", "implement"),
    "speed_source": ("seat",),
}


@pytest.mark.parametrize("quantity", WHERE)
def test_what_can_be_measured_is_measured_by_hand_wherever_the_yard_lets_it(
    jobs: dict[str, Job], quantity: str
) -> None:
    for station in STATIONS:
        yard = Ground(jobs[UNCOUPLE if quantity == "speed_source" else COUPLE].case)
        yard.change(gap_um=0, key="on", gauge_at="v5_extend", meter_at="fan_pressure")
        yard.stand(station)
        can = yard.legal(Action("measure", quantity)) is None
        assert can == (station in WHERE[quantity])
        if can:
            measure_by_hand(yard, quantity)
            assert yard.asked == [f"measure: {quantity}"]
            yard.frame(2)


@pytest.mark.parametrize("station", ["panel", "hitch"])
def test_the_buttons_outside_move_the_hitch_for_as_long_as_they_are_held(
    jobs: dict[str, Job], station: str
) -> None:
    yard = Ground(jobs[COUPLE].case)
    yard.change(engine=True)
    yard.stand(station)
    before = yard.state.hitch_um
    yard.hold("hitch:up", 1.0)
    yard.attempt.settle()
    moved = yard.state.hitch_um - before
    speed = yard.case.tractor.hitch_speed_m_s
    assert abs(moved / 1e6 - speed) < 0.1 * speed
    yard.click("hitch:down")
    assert yard.asked[-1] == as_line(Action("hitch", amount=before + moved - 20_000))


def test_the_starter_outside_the_cab_is_within_reach_of_panel_and_yard(jobs: dict[str, Job]) -> None:
    for station in ("panel", "yard"):
        yard = Ground(jobs[COUPLE].case)
        yard.change(key="on", gap_um=0)
        yard.stand(station)
        yard.click("engine:start")
        assert yard.asked == ["engine: start"]


# --- hands --------------------------------------------------------------------------------------------------


def test_a_hose_goes_home_click_by_click_and_key_by_key(jobs: dict[str, Job]) -> None:
    for keys in (False, True):
        yard = Ground(jobs[COUPLE].case)
        yard.change(gap_um=0)
        yard.stand("panel")
        for name in ("end:fan_drain", "port:case_drain"):
            if keys:
                act = yard.target(name).act
                assert act is not None
                act()
                yard.frame()
            else:
                yard.click(name)
        assert yard.asked == ["couple: fan_drain to case_drain"]
        assert yard.here.held is None


def test_escape_empties_the_hand_and_nothing_is_done(jobs: dict[str, Job]) -> None:
    yard = Ground(jobs[COUPLE].case)
    yard.stand("panel")
    yard.click("end:fan_return")
    assert yard.here.held is not None
    assert yard.key(pygame.K_ESCAPE)
    yard.frame()
    assert yard.here.held is None
    assert not yard.key(pygame.K_ESCAPE)
    assert yard.asked == []


def test_a_loose_end_put_into_its_holder_close_by_is_dropped_there(jobs: dict[str, Job]) -> None:
    yard = Ground(jobs[COUPLE].case)
    loose = tuple(hose.name != "fan_drain" for hose in yard.case.implement.hoses)
    yard.change(hose_at=(-1,) * 11, hose_stored=loose)
    yard.stand("panel")
    yard.drag("end:fan_drain", (round(4 * yard.scale), round(-2 * yard.scale)))
    assert yard.asked == ["store: fan_drain"]
    assert yard.here.held is None


def test_a_click_that_trembles_over_a_tool_still_takes_it(jobs: dict[str, Job]) -> None:
    yard = Ground(jobs[COUPLE].case)
    yard.stand("panel")
    yard.drag("rag", (round(4 * yard.scale), 0))
    assert yard.here.held is not None
    assert yard.here.held.by_click


@pytest.mark.parametrize("gap_m", [0.0, 0.6, 3.0, 3.6, 9.0, 40.0])
@pytest.mark.parametrize("ballast_kg", [0, 900])
def test_the_yard_keeps_both_machines_whole_in_view(
    jobs: dict[str, Job], gap_m: float, ballast_kg: int
) -> None:
    yard = Ground(jobs[COUPLE].case)
    yard.change(gap_um=round(gap_m * 1e6), ballast_kg=ballast_kg, chock_left=True, chock_right=True)
    put: dict[str, pygame.Rect] = {}
    here = yard.places["yard"]
    assert isinstance(here, Handwork)
    draw = here.put

    def listen(surface: pygame.Surface, name: str, at: Any, anchor: Any, *given: Any, **named: Any) -> Any:
        scale = here.view.scale * (given[0] if given else 1.0)
        width, height = yard.art.size(name)
        left, top = here.view.at(*at)
        left, top = left - anchor[0] * scale, top - anchor[1] * scale
        put[f"{name}{len(put)}"] = pygame.Rect(left, top, width * scale, height * scale)
        return draw(surface, name, at, anchor, *given, **named)

    here.put = listen  # type: ignore[method-assign]
    yard.stand("yard")
    for name, rect in put.items():
        if name.startswith(("tractor_side", "front_ballast", "wheel", "chock", "lift_assist", "person")):
            assert yard.stage.left <= rect.left, name
            assert rect.right <= yard.stage.right, name


def test_what_the_rear_window_shows_follows_the_tractor_and_the_hitch(jobs: dict[str, Job]) -> None:
    yard = Ground(jobs[UNCOUPLE].case)
    views = []
    for fields in (
        {},
        {"hitch_um": 600_000, "hitch_target_um": 600_000},
        {"engaged": False, "gap_um": 3_000_000},
        {"engaged": False, "gap_um": 20_000_000},
        {"engaged": False, "gap_um": 200_000_000},
    ):
        yard.change(**fields)
        yard.stand("seat")
        window = yard.here.view.area(416, 120, 220, 170)
        views.append(pygame.image.tobytes(yard.surface.subsurface(window), "RGB"))
    assert len(set(views)) == len(views)


def test_the_value_of_a_lever_being_dragged_stands_clear_of_its_slot(jobs: dict[str, Job]) -> None:
    yard = Ground(jobs[COUPLE].case)
    yard.change(key="on")
    yard.stand("seat")
    at = yard.centre("lever:v1:block")
    boxes: list[pygame.Rect] = []
    box = yard.kit.box

    def listen(surface: pygame.Surface, rect: pygame.Rect, *given: Any, **named: Any) -> None:
        boxes.append(rect.copy())
        box(surface, rect, *given, **named)

    yard.send(pygame.MOUSEBUTTONDOWN, at)
    yard.send(pygame.MOUSEMOTION, (at[0], at[1] + round(30 * yard.scale)))
    yard.kit.box = listen  # type: ignore[method-assign]
    yard.frame()
    slot = yard.target("lever:v1:extend").rect.unionall(
        [yard.target(f"lever:v1:{place}").rect for place in ("block", "retract", "float")]
    )
    assert boxes[-1].bottom <= slot.top
    assert all(target.hint == "" for target in yard.here.targets())


def test_an_end_let_go_over_nothing_goes_back_where_it_was(jobs: dict[str, Job]) -> None:
    yard = Ground(jobs[COUPLE].case)
    yard.stand("panel")
    yard.drag("end:fan_drain", (0, round(-120 * yard.scale)))
    yard.frame(60)
    assert yard.asked == []
    assert yard.here.held is None


def test_a_small_tug_does_not_pull_a_coupler_off(jobs: dict[str, Job]) -> None:
    yard = Ground(jobs[UNCOUPLE].case)
    yard.stand("panel")
    yard.drag("end:fan_pressure", (round(20 * yard.scale), round(20 * yard.scale)))
    assert yard.asked == []


def test_a_rag_carried_across_a_face_does_not_wipe_it_but_staying_does(jobs: dict[str, Job]) -> None:
    yard = Ground(jobs[COUPLE].case)
    yard.stand("panel")
    yard.drag("rag", "port:v1_extend", stay_s=0.5)
    assert yard.asked == ["wipe: v1_extend"]


def test_a_dial_follows_the_drag_and_acts_once_when_it_is_let_go(jobs: dict[str, Job]) -> None:
    yard = Ground(jobs[COUPLE].case)
    yard.change(key="on")
    yard.stand("seat")
    yard.drag("dial:v2", (round(60 * yard.scale), round(-60 * yard.scale)))
    assert len(yard.asked) == 1
    action = from_line(yard.asked[0])
    assert (action.word, action.thing) == ("dial", "v2")
    assert action.amount is not None
    assert 1000 <= action.amount <= 9000
    assert action.amount % 100 == 0


def test_a_dial_is_set_by_arrows_wheel_and_buttons_alike(jobs: dict[str, Job]) -> None:
    yard = Ground(jobs[COUPLE].case)
    yard.change(top_link_um=800_000)
    yard.stand("hitch")
    yard.click("top_link")
    yard.key(pygame.K_RIGHT)
    yard.click("adjust:more")
    yard.click("adjust:much_more")
    yard.here.handle(pygame.event.Event(pygame.MOUSEWHEEL, x=0, y=-1))
    yard.click("adjust:set")
    assert yard.asked == ["top_link: 811 mm"]


def test_a_lever_is_dragged_from_notch_to_notch(jobs: dict[str, Job]) -> None:
    yard = Ground(jobs[COUPLE].case)
    yard.change(key="on")
    yard.stand("seat")
    down = yard.centre("lever:v1:float")[1] - yard.centre("lever:v1:block")[1]
    yard.drag("lever:v1:block", (0, down))
    assert yard.asked == ["lever: v1 to float"]


def test_what_was_measured_stands_beside_the_tool_in_the_readers_units(jobs: dict[str, Job]) -> None:
    yard = Ground(jobs[COUPLE].case)
    yard.stand("panel")
    yard.drag("gauge", "port:v1_extend")
    yard.frame()
    shown: list[str] = []
    picture = yard.kit.picture

    def listen(text: str, *given: Any, **named: Any) -> pygame.Surface:
        shown.append(text)
        return picture(text, *given, **named)

    yard.kit.picture = listen  # type: ignore[method-assign]
    yard.frame()
    assert yard.amount("pressure", 12_000_000) in shown


# --- ropes --------------------------------------------------------------------------------------------------


def test_ropes_stay_finite_and_near_whatever_the_hand_does() -> None:
    chance = random.Random(5)  # noqa: S311
    ropes = Ropes()
    for number in range(12):
        ropes.add(f"hose_{number}", (100.0 + 66 * number, 720.0), (100.0 + 66 * number, 600.0), 6.0)
    for frame in range(400):
        name = f"hose_{chance.randrange(12)}"
        act: Callable[[], None] = chance.choice(
            (
                lambda name=name: ropes.hold(name, (chance.uniform(-50, 1030), chance.uniform(0, 720))),
                lambda name=name: ropes.fix(name, (chance.uniform(100, 900), chance.uniform(100, 500))),
                lambda name=name: ropes.lay(name, (chance.uniform(100, 900), 600.0), 4.0),
                lambda name=name: ropes.thread(name, chance.choice((None, (400.0, 500.0)))),
            )
        )
        act()
        ropes.step(chance.choice((0.0, FRAME_S, 0.05, 3.0)))
        for rope in ropes.names():
            points = ropes.points(rope)
            assert len(points) == NODES + 1
            assert all(math.isfinite(x) and math.isfinite(y) for x, y in points), frame
            assert all(abs(x) + abs(y) < 5000 for x, y in points), frame


def test_a_held_rope_reaches_the_hand_and_one_let_go_comes_to_rest() -> None:
    ropes = Ropes()
    ropes.add("hose", (500.0, 720.0), (500.0, 600.0), 6.0)
    ropes.hold("hose", (300.0, 200.0))
    for _ in range(120):
        ropes.step(FRAME_S)
    assert math.dist(ropes.points("hose")[-1], (300.0, 200.0)) < 3.0
    ropes.lay("hose", (520.0, 590.0), 4.0)
    for _ in range(600):
        ropes.step(FRAME_S)
    assert math.dist(ropes.points("hose")[-1], (520.0, 590.0)) < 12.0
    assert ropes.still("hose")


def test_a_long_pause_costs_no_more_steps_than_a_bad_frame() -> None:
    ropes = Ropes()
    ropes.add("hose", (0.0, 700.0), (0.0, 500.0), 5.0)
    ropes.hold("hose", (600.0, 100.0))
    ropes.step(1000.0)
    x, y = ropes.points("hose")[-1]
    assert math.dist((x, y), (0.0, 500.0)) < 300.0


def test_a_tube_is_drawn_along_its_curve() -> None:
    surface = pygame.Surface((200, 200))
    line = curve([(20.0, 180.0), (60.0, 60.0), (150.0, 40.0)], 4)
    assert line[0] == (20.0, 180.0)
    assert line[-1] == pytest.approx((150.0, 40.0))
    draw_tube(surface, line, 14.0, 10.0, (90, 90, 90), (10, 10, 10), (200, 200, 200))
    x, y = line[4]
    assert surface.get_at((round(x), round(y)))[:3] != (0, 0, 0)
    assert surface.get_at((190, 190))[:3] == (0, 0, 0)
