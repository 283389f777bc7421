"""The steps of a job, derived: the trade's steps (`scenarios/steps.yaml`) for these machines and this start.

The file holds each step once, by goal, in an order that keeps every edge::

    couple:
      check_ballast_lift:
        title: Check the front axle and hang the ballast
        titled: {not front_light: Check the front axle}   # another title where a fact stands
        when: [three_point]            # all of these; left out: always
        ready: ground
        do:
          - read: weights              # left out where the job has no such paper
          - go: yard
          - when: [front_light]
            do:
              - ballast: <ballast>     # a gap: worked out for this pair
          - each: oil_hoses            # once for every part; its gaps are <hose> and <port>
            do:
              - wipe: <hose>
        done: [balanced]
        after:                         # held to only where both steps are there
          area_clear: {kind: I, why: somebody may stand there, when: [drawbar_out]}

Facts, sets and amounts are those of `trainer.authoring.pair`. Keys that are the same as in a job
(`ready`, `also`, `done`, kinds of edges) are told in `trainer.authoring.schema`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from trainer.authoring.machines import nearest, read_title
from trainer.authoring.pair import AMOUNTS, FACTS, PART_EXAMPLES, SETS, Pair, Unmet
from trainer.authoring.quantities import Refused, quoted
from trainer.authoring.reader import Reader
from trainer.authoring.schema import ALSO, EDGE_KINDS, GOALS, READY, Placed, StepText, read_action
from trainer.authoring.source import MapNode, Place, Problems, Scalar
from trainer.core.actions import CONDITIONS, WORDS, NotAnAction, as_line, from_line

_GAP = re.compile(r"<([^<>]*)>")


@dataclass(frozen=True, slots=True)
class Deed:
    """An action with gaps (`line`), or a block of deeds done for `each` part or only `when` facts stand."""

    line: Placed | None
    when: tuple[str, ...] = ()
    each: str = ""
    do: tuple[Deed, ...] = ()


@dataclass(frozen=True, slots=True)
class TradeEdge:
    before: Placed
    kind: str
    why: str
    when: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TradeStep:
    """One step of the trade, for every pair it is called for."""

    name: str
    title: str
    titled: tuple[tuple[str, str], ...]
    when: tuple[str, ...]
    ready: str
    also: tuple[str, ...]
    do: tuple[Deed, ...]
    done: tuple[str, ...]
    after: tuple[TradeEdge, ...]
    place: Place


TradeSteps = Mapping[str, tuple[TradeStep, ...]]
"""By goal, in an order that keeps every edge."""


# --- the file ---------------------------------------------------------------------------------------------


def read_steps(reader: Reader) -> TradeSteps:
    """Read `steps.yaml`; whether an edge can be kept is looked at too."""
    found: dict[str, tuple[TradeStep, ...]] = {}
    for goal in GOALS:
        if not reader.has(goal):
            continue
        node = reader.node.get(goal) if isinstance(reader.node, MapNode) else None
        keys = {key.text: key.place for key, _ in node.entries} if isinstance(node, MapNode) else {}
        shaped = reader.map_of(goal, _step)
        steps = tuple(make(name, keys.get(name, reader.place(goal))) for name, make in shaped.items())
        _check_order(reader.problems, steps)
        found[goal] = steps
    return found


def _check_order(problems: Problems, steps: Sequence[TradeStep]) -> None:
    """Each step stands below those it waits for, so that the order of the file is a safe one for any pair."""
    names = [step.name for step in steps]
    for position, step in enumerate(steps):
        for edge in step.after:
            if edge.before.text not in names:
                message = f"there is no step called {quoted(edge.before.text)}"
                problems.add(edge.before.place, message, nearest(edge.before.text, names))
            elif edge.before.text not in names[:position]:
                message = f"{step.name} stands above {edge.before.text}, which has to come first"
                problems.add(edge.before.place, message, f"{edge.before.text} above {step.name}")


def _step(reader: Reader) -> Callable[[str, Place], TradeStep]:
    title = read_title(reader)
    titled = _titled(reader)
    when = read_when(reader)
    ready = reader.choice("ready", READY, default="")
    also = reader.list_of("also", lambda item: item.choice(None, ALSO), default=())
    do = reader.list_of("do", read_deed, default=())
    done = reader.list_of("done", lambda item: item.choice(None, CONDITIONS), default=())
    edges = reader.map_of("after", _edge, default={})
    after = tuple(make(name) for name, make in edges.items())
    return lambda name, place: TradeStep(name, title, titled, when, ready, also, do, done, after, place)


def _titled(reader: Reader) -> tuple[tuple[str, str], ...]:
    if not reader.has("titled"):
        return ()
    return reader.sub("titled", _titles)


def _titles(reader: Reader) -> tuple[tuple[str, str], ...]:
    facts = reader.keys()
    for key in facts:
        reader.has(key)
        problem = _not_a_fact(key)
        if problem:
            reader.refuse(key, *problem)
    return tuple((key, reader.text(key, longest=120)) for key in facts)


def _edge(reader: Reader) -> Callable[[str], TradeEdge]:
    kind, why = reader.choice("kind", EDGE_KINDS), reader.text("why", longest=300)
    when, place = read_when(reader), reader.place()
    return lambda name: TradeEdge(Placed(name, place), kind, why, when)


def read_when(reader: Reader) -> tuple[str, ...]:
    """Read the facts under `when`, if there are any."""
    return reader.list_of("when", _fact, default=())


def _not_a_fact(text: str) -> tuple[str, str] | None:
    name = text.removeprefix("not ").strip()
    if name in FACTS:
        return None
    return f"there is no fact called {quoted(name)}", nearest(name, tuple(FACTS))


def _fact(reader: Reader) -> str:
    def convert(text: str) -> str:
        problem = _not_a_fact(text)
        if problem:
            raise Refused(*problem)
        return text

    return reader.parsed(None, convert, stand_in="", advice="a fact such as three_point")


def read_deed(reader: Reader, gaps: Sequence[str] = ()) -> Deed:
    """Read an action, or a block of deeds; `gaps` are those that the blocks around it fill."""
    node = reader.node
    if not isinstance(node, MapNode) or not {"each", "when"} & set(node.keys()):
        return Deed(_gapped(reader, gaps))
    each = reader.choice("each", tuple(SETS), default="")
    when = read_when(reader)
    within = (*gaps, *SETS[each][0]) if each in SETS else gaps
    do = reader.list_of("do", lambda item: read_deed(item, within), at_least=1)
    return Deed(None, when, each, do)


def _gapped(reader: Reader, gaps: Sequence[str]) -> Placed:
    """An action, its gaps looked up and tried with examples; what it takes is looked up for each pair."""
    node = reader.node
    entry = node.entries[0] if isinstance(node, MapNode) and len(node.entries) == 1 else None
    if entry is None or not isinstance(entry[1], Scalar) or not _GAP.search(entry[1].text):
        return read_action(reader)
    reader.has(entry[0].text)
    place, line = entry[1].place, f"{entry[0].text}: {entry[1].text}"
    if entry[0].text not in WORDS:
        reader.problems.add(
            entry[0].place, f"{quoted(entry[0].text)} is not an action", nearest(entry[0].text, sorted(WORDS))
        )
        return Placed("", place)
    examples = {name: example for name, (example, _) in AMOUNTS.items()}
    examples.update({name: PART_EXAMPLES.get(name, name) for name in gaps})
    for gap in _GAP.findall(line):
        if gap not in examples:
            reader.problems.add(
                place, f"nothing fills the gap <{gap}> here", f"<{nearest(gap, tuple(examples))}>"
            )
            return Placed("", place)
    try:
        from_line(_filled(line, examples))
    except NotAnAction as wrong:
        message, _, advice = str(wrong).partition(". Write: ")
        reader.problems.add(place, message, advice)
        return Placed("", place)
    return Placed(line, place)


def _filled(line: str, values: Mapping[str, str]) -> str:
    return _GAP.sub(lambda gap: values[gap[1]], line)


# --- one job ----------------------------------------------------------------------------------------------


def derive(
    steps: Sequence[TradeStep],
    pair: Pair,
    papers: Collection[str],
    wrong: Callable[[tuple[str, ...], str, str], None],
) -> tuple[StepText, ...]:
    """Return the steps that this pair calls for, their gaps filled, the edges between those that are there.

    `papers` are the papers of the job. `wrong(path, message, advice)` is told what the machines or the yard
    of the job cannot give; the path leads to the key of the job to look at.
    """
    worked: dict[str, str] = {}

    def amount(gap: str) -> str:
        if gap not in worked:
            worked[gap] = AMOUNTS[gap][1](pair)
        return worked[gap]

    def lines(deeds: Sequence[Deed], part: Mapping[str, str]) -> Iterator[Placed]:
        for deed in deeds:
            if not stands(pair, deed.when):
                continue
            if deed.line is None:
                parts = SETS[deed.each][1](pair) if deed.each else [{}]
                for one in parts:
                    yield from lines(deed.do, {**part, **one})
                continue
            line = deed.line
            try:
                values = {gap: part[gap] if gap in part else amount(gap) for gap in _GAP.findall(line.text)}
                action = from_line(_filled(line.text, values))
            except Unmet as unmet:
                wrong(unmet.path, unmet.message, unmet.advice)
                continue
            except NotAnAction as refused:  # an amount these machines come to, and no hand can do
                message, _, advice = str(refused).partition(". Write: ")
                wrong(("implement",), f"these machines do not go together: {message}", advice)
                continue
            if action.word == "read" and action.thing not in papers:
                continue
            yield Placed(as_line(action), line.place)

    called = [step for step in steps if stands(pair, step.when)]
    names = {step.name for step in called}
    found = []
    for step in called:
        title = next((title for fact, title in step.titled if stands(pair, (fact,))), step.title)
        after = tuple(
            (edge.before, edge.kind, edge.why)
            for edge in step.after
            if edge.before.text in names and stands(pair, edge.when)
        )
        do = tuple(lines(step.do, {}))
        found.append(StepText(step.name, title, step.ready, step.also, do, step.done, after, step.place))
    return tuple(found)


def merged(
    trade: Sequence[StepText], own: Sequence[StepText], without: Sequence[Placed], problems: Problems
) -> tuple[StepText, ...]:
    """The trade's steps with a job's own put in the place of those of their name, or added, each right behind
    the last one it waits for, and those it leaves out taken away with their edges."""
    steps = list(trade)
    for name in without:
        if name.text not in [step.name for step in steps]:
            message = f"there is no step called {quoted(name.text)} to leave out"
            problems.add(name.place, message, nearest(name.text, [step.name for step in steps]))
        steps = [_unlinked(step, name.text) for step in steps if step.name != name.text]
    for step in own:
        names = [one.name for one in steps]
        if step.name in names:
            steps[names.index(step.name)] = step
            continue
        waits = [names.index(edge.text) + 1 for edge, _, _ in step.after if edge.text in names]
        wanted = [names.index(edge.text) for edge, _, _ in step.before if edge.text in names]
        last = len(steps) - 1 if steps and steps[-1].hands_in else len(steps)
        steps.insert(max(waits) if waits else min([last, *wanted]), step)
    return _linked(steps, problems)


def _unlinked(step: StepText, name: str) -> StepText:
    return replace(step, after=tuple(edge for edge in step.after if edge[0].text != name))


def _linked(steps: Sequence[StepText], problems: Problems) -> tuple[StepText, ...]:
    """Edges written at the earlier step (`before`) noted at the later one."""
    more: dict[str, list[tuple[Placed, str, str]]] = {step.name: [] for step in steps}
    for step in steps:
        for later, kind, why in step.before:
            if later.text not in more:
                message = f"there is no step called {quoted(later.text)}"
                problems.add(later.place, message, nearest(later.text, tuple(more)))
                continue
            more[later.text].append((Placed(step.name, later.place), kind, why))
    return tuple(replace(step, after=(*step.after, *more[step.name])) for step in steps)


def stands(pair: Pair, facts: Sequence[str]) -> bool:
    """Whether all facts stand; one with `not` before it must not."""
    return all(FACTS[fact.removeprefix("not ")](pair) != fact.startswith("not ") for fact in facts)
