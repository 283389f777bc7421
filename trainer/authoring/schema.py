"""The shapes of content files: tractors, implements, jobs and rules, each read into the core's own values.

Quantities stand with their unit (`180 bar`, `1 7/16 in`), yes and no as such, names in lower case with
underscores. The shipped files in `scenarios/` use every key; what is peculiar to jobs and rules is this.

**Supplies** say which function draws from what: a valve, `power_beyond`, or `pto` for the drive shaft. Left
out, those that are on at the start count, else a choice is worked out (`trainer.authoring.supplies`)::

    supplies: {fan: v1, frame_lift: v2, generator: power_beyond}

**Steps** are derived from the trade's (`scenarios/steps.yaml`, `trainer.authoring.precedence`). A job leaves
some of them out (`without: [top_hook_fit]`), puts its own in the place of one of the same name, adds others,
or does without the trade's altogether (`trade_steps: no`). `do` lists actions as
`trainer.core.actions.as_line` prints them::

    steps:
      verify_latches:
        title: Look at both lower latches
        ready: ground            # ground | key_on | running; left out: as the yard is
        also: [supplies_down]    # conditions to be made good again if they were lost
        do:
          - go: hitch
          - look: latches
        done: [latches_seen]     # conditions that show it done
        after:                   # steps that come before it; kind I(njury), D(amage) or F(unction)
          safe_stop: {kind: I, why: nobody goes between the machines until everything stands}
        before:                  # steps that wait for it, where it is one that the job adds
          raise_slow_clear: {kind: I, why: a half-latched frame falls when it is lifted}

**Ready** is brought about by real actions that depend on the moment (`trainer.authoring.orders`): `ground`
is fan and shaft at rest, brake set, engine stopped and key out; `key_on` is in the seat, brake set, engine
stopped, key on; `running` is in the seat, brake set, engine running. `also` can name `supplies_down`,
`waited`, `area_clear`, `bled`.

**Answer**: a list of step names; left out, all steps: the trade's in its order, an added one right behind
what it waits for. **Slips** are edits of it::

    answer: [area_clear, drawbar_clear, back_align]
    slips:
      drain_on_power_beyond:
        title: Case drain pushed onto power beyond
        change:                                        # one after the other, each on what the last one left
          - instead: "couple: fan_drain to case_drain" # the first such action, or the one that nth: 2 says
            do: ["couple: fan_drain to pb_pressure"]
          - leave_out: "wipe: fan_drain"               # wherever it stands
          - before: "engine: start"                    # or after:
            do:
              - look: area
              - step: site_level                       # a step with its ready state and its actions
          - swap_steps: [hyd_connect, bleed_zero]      # the first one is done right before the second one
          - raw: verify_latches                        # without bringing the yard into the step's ready state
          - leave_out_step: check_fit
          - stop_after: "hitch: 900 mm"                # nothing of the answer after this action
        earns: [case_pressure, seal_blown]             # rules that must be found; no other failing one may

An action in an edit may be written with any spacing. An edit that fits nothing is a fault of the file.

**Start** says how the yard is found. A pair with a three-point hitch has `hitch`, `top_link`, `sway`,
`bushings`, `top_hook` and `latches`; a drawn one these instead::

    start:
      drawbar_reach: 14 in       # left out: the first setting of the tractor
      jack: 460 mm               # height of the eye on the jack; left out: as it is parked
      stands: down               # the foot of the jack
      pin: out                   # out | in | clipped | seen (clipped and looked at)
      chain: off                 # hooked | off
      joints: [cart]             # further joints that are secured
      terminator: tool           # unit that holds the bus terminator, or off; left out: the last
      shaft_guard: yes
      pto_speed: 540 rev/min     # left out: the tractor's first
      locks: [wings]             # functions whose own lock is in
      turning: {flywheel: 900 rev/min}
**Find jobs** (`goal: find`) hold what the operator told and what it may be; each attempt draws one::

    symptom: "Markers do not move. Lamps are dark too."
    proof: [lights, markers]         # tests that have to come out good once it is mended
    faults:
      lighting_not_home:
        kind: plug_not_home          # one of trainer.core.faults.KINDS
        at: lighting                 # what it sits at; to: a second name, where the kind takes one
        answer:                      # a safe run that finds, names, mends and proves it
          - step: look_round         # a step with its ready state; then actions
          - "test: lights"
          - "evidence: 1"            # number of a measurement, from 1
          - "name: lighting as not_home"
      worn_pump: {kind: pump_worn, amount: 0.55-0.65, answer: [...]}   # drawn in this range

Slips of a find job say for which fault they are made (`fault: lighting_not_home`; left out, the first).
What is measured in an answer has to tell its fault from every other of the list and from the sound machine.

**Papers** may hold figures of the machines, so that a paper cannot disagree with them::

    lines: ["Hooks: {tractor.hook_diameter_m as 1/16 in, 0.1 mm}"]   # Hooks: 1 7/16 in (36.5 mm)

What stands before `as` is the path of a value of the compiled case; behind it each unit has the step that
the figure is rounded to. `trainer.authoring.papers` says what else can be reached.

**Rules** (`rules.yaml`) are a map of names::

    case_pressure:
      on: case_pressure                 # kind of event
      things: [fan]                     # only these things and places; left out: any
      goal: couple                      # couple | uncouple | find, or a list of them; left out: all
      needs: [engine_off]               # conditions that must stand; a missing one is the finding
      unless: [supplies_down]           # conditions that silence the rule
      only: [running]                   # conditions without which the rule does not look
      measure: case_pa                  # the event's reading that is shown; its quantum is in its name
      most: 5 bar                       # or least: 9 V, or within: 20-22 in, or the machine's own limit:
                                        # most: from limit_pa, or within: from bar_low_um to bar_high_um
      unit: bar                         # unit shown
      severity: critical                # catastrophic | critical | marginal | negligible
      harm: destruction                 # injury | destruction | damage | function | workmanship
      likely: frequent                  # frequent | probable | occasional | remote | improbable: a judgement
      source: scoring bands of the trade
      standing: practice                # published | book | library | practice | memory | derived
      guards: ["hyd_connect<function_test"]   # orders of two steps it watches over
      once: thing                       # one finding for each thing it concerns (thing) or in all (attempt)
      follows: [drain_not_first unless drain_on]  # found after one of these, it is told under it and not
                                        # counted again. `unless`: a condition that, once it stands, ends
                                        # the other mistake; `while`: one that has to stand all the time
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from trainer.authoring.machines import PaperText, nearest, read_papers, read_title, read_whole_kg
from trainer.authoring.quantities import Refused, quoted, read_quantity
from trainer.authoring.reader import Reader
from trainer.authoring.source import MapNode, Place, Scalar
from trainer.core.actions import CONDITIONS, WORDS, NotAnAction, as_line, from_line
from trainer.core.case import LEVER_STATES, SKIES, SPEED_SOURCES, STATIONS, Edge, Limits, Site, Start, Step
from trainer.core.faults import KINDS, Kind
from trainer.core.rules import HARMS, LIKELIHOODS, SEVERITIES, SHOWN, Rule, quantum
from trainer.core.units import whole

GOALS = ("couple", "uncouple", "find")
READY = ("ground", "key_on", "running")
ALSO = ("supplies_down", "waited", "area_clear", "bled")
EDGE_KINDS = ("I", "D", "F")


@dataclass(frozen=True, slots=True)
class Placed:
    """A text (an action's line or a step's name) and where it stands."""

    text: str
    place: Place


@dataclass(frozen=True, slots=True)
class StepText:
    """A step as written, before its actions and the steps it comes after are looked up."""

    name: str
    title: str
    ready: str
    also: tuple[str, ...]
    do: tuple[Placed, ...]
    done: tuple[str, ...]
    after: tuple[tuple[Placed, str, str], ...]
    place: Place
    before: tuple[tuple[Placed, str, str], ...] = ()

    @property
    def hands_in(self) -> bool:
        return any(line.text.startswith("hand_in") for line in self.do)

    def step(self) -> Step:
        """Return the step of the compiled case."""
        edges = tuple(Edge(before.text, kind, why) for before, kind, why in self.after)
        return Step(
            self.name,
            self.title,
            self.ready,
            self.also,
            tuple(line.text for line in self.do),
            self.done,
            edges,
        )


@dataclass(frozen=True, slots=True)
class Edit:
    """One change of the answer: its key, its action or step, and the second step of a swap."""

    kind: str
    what: Placed
    other: Placed | None = None
    nth: int = 1
    do: tuple[Placed, ...] = ()


@dataclass(frozen=True, slots=True)
class SlipText:
    name: str
    title: str
    change: tuple[Edit, ...]
    earns: tuple[Placed, ...]
    place: Place
    fault: Placed


@dataclass(frozen=True, slots=True)
class FaultText:
    """A fault as written, before the parts it sits at are looked up. `answer` finds, names and mends it."""

    name: str
    kind: str
    at: Placed
    to: Placed
    low: float
    high: float
    answer: tuple[Placed, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class JobFile:
    """A job as written; names of parts of the machines are looked up once both are known."""

    title: str
    goal: str
    tractor: Placed
    implement: Placed
    text: tuple[str, ...]
    speed_source: Placed
    engine_work_rev_min: float
    fit_paper: Placed
    par_s: float
    time_limit_s: float
    pass_points: int
    limits: Limits
    sites: tuple[Site, ...]
    start: Start
    papers: tuple[PaperText, ...]
    supplies: tuple[tuple[str, Placed], ...]
    trade_steps: bool
    without: tuple[Placed, ...]
    steps: tuple[StepText, ...]
    answer: tuple[Placed, ...]
    slips: tuple[SlipText, ...]
    symptom: str
    proof: tuple[Placed, ...]
    faults: tuple[FaultText, ...]


def _placed_name(reader: Reader) -> Placed:
    return Placed(reader.name(), reader.place())


def _condition(reader: Reader) -> str:
    return reader.choice(None, CONDITIONS)


# --- jobs -------------------------------------------------------------------------------------------------


def read_job(reader: Reader) -> JobFile:
    """Read a job file; names that belong to the machines are looked up by `trainer.authoring.compile`."""
    title, goal = read_title(reader), reader.choice("goal", GOALS)
    tractor = Placed(reader.text("tractor", longest=200), reader.place("tractor"))
    implement = Placed(reader.text("implement", longest=200), reader.place("implement"))
    text = reader.list_of("text", lambda item: item.text(None, longest=600), at_least=1, at_most=20)
    source = Placed(reader.choice("speed_source", SPEED_SOURCES, default=""), reader.place("speed_source"))
    work = reader.quantity("engine_work", "rev/min", low=500.0, high=3500.0)
    fit_paper = Placed(reader.name("fit_paper", default="hitch_card"), reader.place("fit_paper"))
    par = reader.quantity("par", "s", low=10.0, high=6 * 3600.0)
    limit = reader.quantity("time_limit", "s", low=10.0, high=12 * 3600.0)
    if reader.ok and limit <= par:
        reader.refuse("time_limit", "the time limit is not above the time a good run takes", "a longer time")
    points = reader.whole("pass_points", low=1, high=100, default=80)
    limits = reader.sub("limits", _limits, default=Limits())
    sites = tuple(Site(name, *parts) for name, parts in reader.map_of("sites", _site).items())
    if reader.ok and not sites:
        reader.refuse("sites", "there is no place to stand on", "pad: {title: Concrete pad, slope: 0.5 %}")
    start = reader.sub("start", lambda item: _start(item, [site.name for site in sites]))
    supplies = reader.map_of("supplies", _placed_name, default={})
    trade_steps = reader.flag("trade_steps", default=True)
    without = reader.list_of("without", _placed_name, default=())
    steps = tuple(_named_steps(reader))
    if reader.ok and not steps and not trade_steps:
        reader.refuse("trade_steps", "the job has no steps at all", "yes, or steps of its own")
    answer = reader.list_of("answer", _placed_name, default=())
    slips = tuple(SlipText(name, *parts) for name, parts in reader.map_of("slips", _slip, default={}).items())
    symptom, proof, faults = _to_find(reader, goal)
    return JobFile(
        title,
        goal,
        tractor,
        implement,
        text,
        source,
        work,
        fit_paper,
        par,
        limit,
        points,
        limits,
        sites,
        start,
        read_papers(reader),
        tuple(supplies.items()),
        trade_steps,
        without,
        steps,
        answer,
        slips,
        symptom,
        proof,
        faults,
    )


def _to_find(reader: Reader, goal: str) -> tuple[str, tuple[Placed, ...], tuple[FaultText, ...]]:
    """Symptom, proof and faults: a find job has them all, another has none."""
    if goal != "find":
        for key in ("symptom", "proof", "faults"):
            if reader.has(key):
                reader.refuse(key, f"a job to {goal} has no fault to be found", "goal: find")
                return "", (), ()
        return "", (), ()
    symptom = reader.text("symptom", longest=600)
    proof = reader.list_of("proof", _placed_name, default=())
    shaped = reader.map_of("faults", _fault)
    if reader.ok and len(shaped) < 2:
        reader.refuse("faults", "with one fault alone there is nothing to find", "two faults or more")
    return symptom, proof, tuple(made(name) for name, made in shaped.items())


def _fault(reader: Reader) -> Callable[[str], FaultText]:
    name_of_kind = reader.choice("kind", tuple(KINDS))
    kind = KINDS[name_of_kind]
    at, to = _end_of(reader, "at", kind.at), _end_of(reader, "to", kind.to)
    low = high = 0.0
    if kind.unit:
        low, high = _amount(reader, kind)
    elif reader.has("amount"):
        reader.refuse("amount", f"a fault of the kind {name_of_kind} has no amount", "no amount")
    answer = reader.list_of("answer", read_action, at_least=1, at_most=200)
    place = reader.place()
    return lambda name: FaultText(name, name_of_kind, at, to, low, high, answer, place)


def _end_of(reader: Reader, key: str, wanted: str) -> Placed:
    if wanted:
        return Placed(reader.name(key), reader.place(key))
    if reader.has(key):
        reader.refuse(key, "this kind of fault sits at one place of its own", f"no {key}")
    return Placed("", reader.place())


def _amount(reader: Reader, kind: Kind) -> tuple[float, float]:
    unit = "1" if kind.unit == "step" else kind.unit
    return reader.quantity_range("amount", unit, low=kind.low, high=kind.high)


def _limits(reader: Reader) -> Limits:
    usual = Limits()
    return Limits(
        reader.quantity("front_share", "1", low=0.0, high=1.0, default=usual.front_share),
        reader.quantity("couple_pressure", "Pa", low=0.0, high=50e5, default=usual.couple_pressure_pa),
        reader.quantity("couple_force", "N", low=45.0, high=1000.0, default=usual.couple_force_n),
        reader.quantity("slope", "1", low=0.0, high=0.5, default=usual.slope),
        reader.quantity("unplug_wait", "s", low=0.0, high=3600.0, default=usual.unplug_wait_s),
        reader.quantity("still", "rev/min", low=1.0, high=500.0, default=usual.still_rev_min),
        reader.quantity("plumb", "rad", low=0.0, high=0.2, default=usual.plumb_rad),
    )


def _site(reader: Reader) -> tuple[str, float]:
    return read_title(reader), reader.quantity("slope", "1", low=0.0, high=0.5)


def _start(reader: Reader, sites: Sequence[str]) -> Start:
    engine = reader.text("engine", longest=40)
    turning = 0.0
    if engine != "stopped":
        turning = reader.parsed(
            "engine",
            lambda text: read_quantity(text, "rev/min", low=100.0, high=3500.0),
            stand_in=0.0,
            advice="stopped, or a speed such as 1000 rev/min",
        )
    key = reader.choice("key", ("out", "off", "on"))
    if reader.ok and turning and key != "on":
        reader.refuse("key", "the engine runs without the key on", "on")
    latches = reader.choice("latches", ("open", "closed", "seen"), default="open")
    lines, plugs = (
        reader.map_of("lines", Reader.name, default={}),
        reader.map_of("plugs", Reader.name, default={}),
    )
    levers = reader.map_of("levers", _lever, default={})
    pressures = reader.map_of(
        "pressures", lambda item: item.quantity(None, "Pa", low=0.0, high=400e5), default={}
    )
    strokes = reader.map_of("cylinders", lambda item: item.quantity(None, "1", low=0.0, high=1.0), default={})
    pin = reader.choice("pin", ("out", "in", "clipped", "seen"), default="out")
    turning_at = reader.map_of(
        "turning", lambda item: item.quantity(None, "rev/min", low=0.0, high=20_000.0), default={}
    )
    return Start(
        station=reader.choice("station", STATIONS),
        site=reader.choice("site", sites),
        distance_m=reader.quantity("distance", "m", low=0.0, high=50.0),
        key=key,
        engine=turning > 0.0,
        engine_rev_min=turning,
        brake=reader.choice("brake", ("set", "released")) == "set",
        hitch_m=reader.quantity("hitch", "m", low=0.05, high=2.0, default=0.0),
        top_link_m=reader.quantity("top_link", "m", low=0.2, high=2.0, default=0.0),
        sway_m=reader.quantity("sway", "m", low=0.0, high=0.2, default=0.0),
        drawbar_stowed=reader.choice("drawbar", ("stowed", "extended")) == "stowed",
        bushings=reader.flag("bushings", default=False),
        top_hook=reader.flag("top_hook", default=False),
        latched=latches != "open",
        latches_seen="seen" in (latches, pin),
        lift_locked=reader.flag("lift_lock", default=False),
        stands=reader.choice("stands", ("down", "up")) == "down",
        chocked=reader.flag("chocks"),
        ballast_kg=read_whole_kg(reader, "ballast"),
        speed_source=reader.choice("speed_source", SPEED_SOURCES, default=""),
        oil_c=reader.quantity("oil", "°C", low=-30.0, high=120.0),
        air_c=reader.quantity("air", "°C", low=-40.0, high=60.0),
        lines_on=tuple(lines.items()),
        plugs_on=tuple(plugs.items()),
        levers=tuple((valve, to, dial) for valve, (to, dial) in levers.items()),
        pressures=tuple(pressures.items()),
        cylinders=tuple(strokes.items()),
        fan_rev_min=reader.quantity("fan", "rev/min", low=0.0, high=20_000.0, default=0.0),
        clean=reader.choice("couplers", ("clean", "dirty")) == "clean",
        drawbar_reach_m=reader.quantity("drawbar_reach", "m", low=0.2, high=0.8, default=0.0),
        jack_m=reader.quantity("jack", "m", low=0.05, high=1.5, default=0.0),
        pinned=pin != "out",
        clipped=pin in ("clipped", "seen"),
        chained=reader.choice("chain", ("hooked", "off"), default="off") == "hooked",
        joints_secured=reader.list_of("joints", Reader.name, default=()),
        terminator=reader.name("terminator", default=""),
        locked=reader.list_of("locks", Reader.name, default=()),
        shaft_guard=reader.flag("shaft_guard", default=True),
        pto_rev_min=reader.quantity("pto_speed", "rev/min", low=100.0, high=2000.0, default=0.0),
        turning=tuple(turning_at.items()),
        sky=reader.choice("sky", SKIES, default="midday"),
    )


def _lever(reader: Reader) -> tuple[str, float]:
    return reader.choice("to", LEVER_STATES), reader.number("dial", low=0.0, high=10.0)


def _named_steps(reader: Reader) -> list[StepText]:
    node = reader.node.get("steps") if isinstance(reader.node, MapNode) else None
    keys = {key.text: key.place for key, _ in node.entries} if isinstance(node, MapNode) else {}
    shaped = reader.map_of("steps", _step, default={})
    return [placed(name, keys.get(name, reader.place("steps"))) for name, placed in shaped.items()]


def _step(reader: Reader) -> Callable[[str, Place], StepText]:
    title = read_title(reader)
    ready = reader.choice("ready", READY, default="")
    also = reader.list_of("also", lambda item: item.choice(None, ALSO), default=())
    do = reader.list_of("do", read_action, default=())
    done = reader.list_of("done", _condition, default=())
    edges = reader.map_of("after", _edge, default={})
    later = reader.map_of("before", _edge, default={})
    after = tuple((Placed(name, place), kind, why) for name, (kind, why, place) in edges.items())
    before = tuple((Placed(name, place), kind, why) for name, (kind, why, place) in later.items())
    return lambda name, place: StepText(name, title, ready, also, do, done, after, place, before)


def _edge(reader: Reader) -> tuple[str, str, Place]:
    return reader.choice("kind", EDGE_KINDS), reader.text("why", longest=300), reader.place()


def read_action(reader: Reader) -> Placed:
    """Read `- couple: fan_drain to case_drain`, or the same in quotation marks, as the line `as_line` prints.

    A `step: name` entry comes back as `step: name`; whether it may stand there is the caller's business.
    """
    node = reader.node
    if isinstance(node, Scalar):
        line, at, after = node.text, node.place, node.place
    else:
        key, value = node.entries[0] if isinstance(node, MapNode) and len(node.entries) == 1 else (None, None)
        if key is None or not isinstance(value, Scalar):
            advice = "couple: fan_drain to case_drain"
            reader.refuse(None, "an action is one word, a colon and what it takes", advice)
            return Placed("", reader.place())
        line, at, after = f"{key.text}: {value.text}", key.place, value.place
    word = line.partition(":")[0].strip()
    if word == "step":
        return Placed(f"step: {line.partition(':')[2].strip()}", after)
    try:
        return Placed(as_line(from_line(line)), after)
    except NotAnAction as refused:
        message, advice = _advised(word, refused)
        reader.problems.add(after if word in WORDS else at, message, advice)
        return Placed("", after)


def _advised(word: str, refused: NotAnAction) -> tuple[str, str]:
    """Return what is wrong and what to write, with a guess where the word itself is not known."""
    if word not in WORDS:
        return f"{quoted(word)} is not an action", nearest(word, sorted(WORDS))
    message, _, advice = str(refused).partition(". Write: ")
    return message, advice


_EDITS = ("instead", "leave_out", "before", "after", "swap_steps", "raw", "leave_out_step", "stop_after")


def _slip(reader: Reader) -> tuple[str, tuple[Edit, ...], tuple[Placed, ...], Place, Placed]:
    title = read_title(reader)
    change = reader.list_of("change", _edit, at_least=1, at_most=40)
    earns = reader.list_of("earns", _placed_name, at_least=1, at_most=20)
    fault = Placed(reader.name("fault", default=""), reader.place("fault"))
    return title, change, earns, reader.place(), fault


def _edit(reader: Reader) -> Edit:
    kinds = [kind for kind in _EDITS if reader.has(kind)]
    if len(kinds) != 1:
        message = "an edit has one of its keys" if kinds else "this edit says nothing to do"
        reader.refuse(None, message, f"one of {', '.join(_EDITS)}")
        return Edit("", Placed("", reader.place()))
    kind = kinds[0]
    if kind == "swap_steps":
        first, second = (*reader.list_of(kind, _placed_name, at_least=2, at_most=2), None, None)[:2]
        nowhere = Placed("", reader.place(kind))
        return Edit(kind, first or nowhere, second or nowhere)
    if kind in ("raw", "leave_out_step"):
        return Edit(kind, Placed(reader.name(kind), reader.place(kind)))
    what = reader.parsed(kind, _normal_line, stand_in="", advice='an action such as "engine: start"')
    do: tuple[Placed, ...] = ()
    if kind in ("instead", "before", "after"):
        do = reader.list_of("do", read_action, at_least=1, at_most=100)
    nth = 1 if kind == "leave_out" else reader.whole("nth", low=1, high=100, default=1)
    return Edit(kind, Placed(what, reader.place(kind)), None, nth, do)


def _normal_line(text: str) -> str:
    try:
        return as_line(from_line(text))
    except NotAnAction as refused:
        raise Refused(*_advised(text.partition(":")[0].strip(), refused)) from None


# --- rules ------------------------------------------------------------------------------------------------

STANDINGS = ("published", "book", "library", "practice", "memory", "derived")
_QUANTA: dict[str, tuple[str, float]] = {
    "pa": ("Pa", 1.0),
    "um": ("m", 1e6),
    "mm3_s": ("m3/s", 1e9),
    "mm3": ("m3", 1e9),
    "ms": ("s", 1e3),
    "urad": ("rad", 1e6),
    "permille": ("1", 1e3),
    "rev_min": ("rev/min", 1.0),
    "mn": ("N", 1e3),
    "kg": ("kg", 1.0),
    "mv": ("V", 1e3),
    "mohm": ("ohm", 1e3),
    "mc": ("°C", 1e3),
    "count": ("1", 1.0),
}
"""Unit in which a limit on a reading is asked for, and how many of the reading's quanta make one of it."""


def read_rules(reader: Reader) -> tuple[Rule, ...]:
    """Read a rules file."""
    return tuple(shaped(name) for name, shaped in reader.map_of(None, _rule).items())


def _rule(reader: Reader) -> Callable[[str], Rule]:
    measure = reader.parsed(
        "measure", _measure, stand_in="lines_on_count", advice="a reading such as case_pa"
    )
    ending = quantum(measure)
    units = [unit for key, unit in SHOWN if key == ending]
    bounds = [key for key in ("most", "least", "within") if reader.has(key)]
    needs = reader.list_of("needs", _condition, default=())
    if len(bounds) > 1 or not (bounds or needs):
        message = "a rule has one limit" if bounds else "this rule neither needs anything nor has a limit"
        reader.refuse(bounds[1] if bounds else None, message, "one of most, least, within")
    bound = bounds[0] if bounds else "most"
    low, high, limit_from, limit_to = _limit(reader, bound, ending) if bounds else (0, 0, "", "")
    unit = reader.choice("unit", units, default=units[0])
    things = reader.list_of("things", Reader.name, default=())
    places = reader.list_of("places", Reader.name, default=())
    unless = reader.list_of("unless", _condition, default=())
    only = reader.list_of("only", _condition, default=())
    on, goals = reader.name("on"), _goals(reader)
    severity, harm = reader.choice("severity", SEVERITIES), reader.choice("harm", HARMS)
    likely = reader.choice("likely", LIKELIHOODS[:-1], default="")
    source, standing = reader.text("source", longest=300), reader.choice("standing", STANDINGS)
    guards = reader.list_of("guards", _guard, default=())
    once = reader.choice("once", ("thing", "attempt"), default="thing")
    causes = reader.list_of("follows", _cause, default=())
    return lambda name: Rule(
        name=name,
        on=on,
        things=things,
        places=places,
        goals=goals,
        needs=needs,
        unless=unless,
        only=only,
        measure=measure,
        bound=bound,
        low=low,
        high=high,
        limit_from=limit_from,
        limit_to=limit_to,
        unit=unit,
        severity=severity,
        harm=harm,
        likely=likely,
        once=once,
        follows=tuple(cause for cause, _, _ in causes),
        apart=tuple((cause, condition, wanted) for cause, condition, wanted in causes if condition),
        source=source,
        standing=standing,
        guards=guards,
    )


def _goals(reader: Reader) -> tuple[str, ...]:
    node = reader.node.get("goal") if isinstance(reader.node, MapNode) else None
    if node is None or isinstance(node, Scalar):
        goal = reader.choice("goal", GOALS, default="")
        return (goal,) if goal else ()
    return reader.list_of("goal", lambda item: item.choice(None, GOALS))


def _measure(text: str) -> str:
    try:
        quantum(text)
    except ValueError as error:
        message, _, advice = str(error).partition("; write ")
        raise Refused(message, advice) from None
    return text


def _limit(reader: Reader, bound: str, ending: str) -> tuple[int, int, str, str]:
    """Return both ends in the reading's quantum, or the readings of the event that hold the limits."""
    unit, per_unit = _QUANTA[ending]
    given = reader.text(bound, longest=80)
    if given.startswith("from "):
        name, _, other = (part.strip() for part in given.removeprefix("from ").partition(" to "))
        for one in (name, other) if bound == "within" else (name,):
            if not one.endswith(f"_{ending}"):
                message = f"{quoted(one)} is not a reading in the quantum of the measure"
                to = f" to most_{ending}" if bound == "within" else ""
                reader.refuse(bound, message, f"from {'least' if to else 'limit'}_{ending}{to}")
        return 0, 0, name, other
    if ending == "count":
        if bound == "within":
            low, high = reader.quantity_range(bound, "1")
        else:
            low = high = float(reader.whole(bound, low=0, high=1_000_000))
    elif bound == "within":
        low, high = reader.quantity_range(bound, unit)
    else:
        low = high = reader.quantity(bound, unit)
    return whole(low * per_unit), whole(high * per_unit), "", ""


def _cause(reader: Reader) -> tuple[str, str, bool]:
    """A rule of which this one is an echo, a condition ('' for none), and how that is once it is over."""

    def convert(text: str) -> tuple[str, str, bool]:
        words = text.split()
        rule, joint, condition = words if len(words) == 3 else (*words, "", "", "")[:3]
        named = rule.replace("_", "").isalnum() and rule.islower()
        if not named or len(words) not in (1, 3) or joint not in ("", "unless", "while"):
            raise Refused(f"{quoted(text)} names no mistake", "drain_not_first unless drain_on")
        if joint and condition not in CONDITIONS:
            raise Refused(f"{quoted(condition)} is not a condition", nearest(condition, CONDITIONS))
        return rule, condition, joint == "unless"

    advice = "a rule, such as drain_not_first unless drain_on"
    return reader.parsed(None, convert, stand_in=("", "", True), advice=advice)


def _guard(reader: Reader) -> str:
    def convert(text: str) -> str:
        before, sign, after = (part.strip() for part in text.partition("<"))
        if not (before and sign and after):
            raise Refused(f"{quoted(text)} is not an order of two steps", "safe_stop<verify_latches")
        return f"{before}<{after}"

    return reader.parsed(None, convert, stand_in="", advice="two steps, such as safe_stop<verify_latches")
