"""What a meter reads from pin to pin: against figures of the trade, against numpy, and in the yard."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.authoring.compile import Job, load_job
from trainer.core import engine, wiring
from trainer.core.actions import Action, Event, from_line
from trainer.core.attempt import Attempt
from trainer.core.electrics import Branch, node_voltages_v, resistance_ohm
from trainer.core.readings import ecu_live, page_up
from trainer.core.wiring import FRAME, PROBED, Moment, Wiring, ohms, volts, with_ohm
from trainer.lang import Texts
from trainer.records import telling

OPEN = math.inf
OFF = Moment(supply_on=False, key_on=False)
OUT = Moment(bus_home=False, lamps_home=False)


@pytest.fixture(scope="module")
def job() -> Job:
    return load_job("first-week/uncouple")


# --- any circuit, a second time -----------------------------------------------------------------------------

sizes = st.one_of(st.just(0.0), st.floats(0.01, 1e6), st.just(OPEN))


@st.composite
def networks(draw: st.DrawFn) -> tuple[list[Branch], dict[str, float]]:
    count = draw(st.integers(2, 8))
    nodes = [f"n{index}" for index in range(count)]
    branches = []
    for _ in range(draw(st.integers(1, 16))):
        start, end = draw(st.sampled_from(nodes)), draw(st.sampled_from(nodes))
        ohm = draw(sizes)
        emf = draw(st.floats(-14.0, 14.0)) if 0.0 < ohm < OPEN else 0.0
        # Two nodes that are held are never tied: what they are held at would differ.
        if ohm == 0.0 and {start, end} & {"n0", "n1"}:
            ohm = 0.5
        branches.append(Branch(start, end, ohm, emf))
    return branches, {"n0": 0.0, "n1": draw(st.floats(1.0, 14.0))}


def by_matrix(branches: list[Branch], held: dict[str, float]) -> dict[str, float]:
    """Modified nodal analysis with numpy: voltages, and a current for each held node and each tie.

    Every node leaks to nought through 1e13 ohm, so that what floats has a voltage.
    """
    nodes = sorted({node for one in branches for node in (one.start, one.end)} | set(held))
    ties = [one for one in branches if one.resistance_ohm == 0.0 and one.start != one.end]
    size = len(nodes) + len(held) + len(ties)
    matrix, right = np.zeros((size, size)), np.zeros(size)
    at = {node: index for index, node in enumerate(nodes)}
    for one in branches:
        if 0.0 < one.resistance_ohm < OPEN and one.start != one.end:
            a, b, siemens = at[one.start], at[one.end], 1.0 / one.resistance_ohm
            matrix[a, a] += siemens
            matrix[b, b] += siemens
            matrix[a, b] -= siemens
            matrix[b, a] -= siemens
            right[a] += siemens * one.emf_v
            right[b] -= siemens * one.emf_v
    for index in range(len(nodes)):
        matrix[index, index] += 1e-13
    row = len(nodes)
    for node, value in held.items():
        matrix[row, at[node]] = matrix[at[node], row] = 1.0
        right[row] = value
        row += 1
    for one in ties:
        matrix[row, at[one.start]] = matrix[at[one.start], row] = 1.0
        matrix[row, at[one.end]] = matrix[at[one.end], row] = -1.0
        row += 1
    # Ties in a ring leave their currents open, never the voltages: the least-squares solution has those.
    found = np.linalg.lstsq(matrix, right, rcond=1e-16)[0]
    return {node: float(found[index]) for node, index in at.items()}


def reached(branches: list[Branch], start: str) -> set[str]:
    found, grown = {start}, True
    while grown:
        grown = False
        for one in branches:
            if one.resistance_ohm < OPEN and (one.start in found) != (one.end in found):
                found |= {one.start, one.end}
                grown = True
    return found


@given(networks())
@settings(max_examples=250, deadline=None)
def test_a_circuit_has_the_voltages_that_numpy_finds(
    drawn: tuple[list[Branch], dict[str, float]],
) -> None:
    branches, held = drawn
    ours, theirs = node_voltages_v(branches, held), by_matrix(branches, held)
    for node in reached(branches, "n0") | reached(branches, "n1"):
        assert ours[node] == pytest.approx(theirs[node], rel=1e-6, abs=1e-5)


@given(networks())
@settings(max_examples=150, deadline=None)
def test_the_resistance_between_two_nodes_is_that_of_the_laplacians_inverse(
    drawn: tuple[list[Branch], dict[str, float]],
) -> None:
    branches = [replace(one, resistance_ohm=max(one.resistance_ohm, 0.5)) for one in drawn[0]]
    found = resistance_ohm(branches, "n0", "n1")
    if "n1" not in reached(branches, "n0"):
        assert found == OPEN
        return
    nodes = sorted(reached(branches, "n0"))
    laplacian = np.zeros((len(nodes), len(nodes)))
    for one in branches:
        if one.resistance_ohm < OPEN and one.start in nodes and one.start != one.end:
            a, b, siemens = nodes.index(one.start), nodes.index(one.end), 1.0 / one.resistance_ohm
            laplacian[[a, b], [a, b]] += siemens
            laplacian[[a, b], [b, a]] -= siemens
    inverse = np.linalg.pinv(laplacian, rcond=1e-14)
    a, b = nodes.index("n0"), nodes.index("n1")
    expected = inverse[a, a] + inverse[b, b] - 2 * inverse[a, b]
    assert found == pytest.approx(expected, rel=1e-5)


def test_what_is_no_circuit_is_refused() -> None:
    with pytest.raises(ValueError, match="no resistance"):
        node_voltages_v([Branch("a", "b", -1.0)], {"a": 0.0})
    with pytest.raises(ValueError, match="source needs"):
        node_voltages_v([Branch("a", "b", 0.0, 12.0)], {"a": 0.0})
    with pytest.raises(ValueError, match="another voltage"):
        node_voltages_v([Branch("a", "b", 0.0)], {"a": 0.0, "b": 12.0})
    with pytest.raises(ValueError, match="meter's tip"):
        volts(Wiring(), OUT, "bus_4", "bus_12")
    with pytest.raises(ValueError, match="no pin 8"):
        with_ohm(Wiring(), "lamps_feed_ohm", 8, 1.0)
    with pytest.raises(ValueError, match="no resistance"):
        with_ohm(Wiring(), "lamps_feed_ohm", 7, -1.0)


# --- sound wiring -------------------------------------------------------------------------------------------


def test_a_sound_pair_reads_as_it_should_at_every_pin() -> None:
    supply = {3: 12.0, 4: 12.0, 5: 12.0, 6: 12.0, 8: 2.5, 9: 2.5}
    for side in ("bus", "bus_plug"):
        for pin in range(1, 10):
            expected = 0.0 if side == "bus_plug" and pin in (6, 7) else supply.get(pin, 0.0)
            if side == "bus_plug" and pin == 6:
                expected = 12.0
            read = volts(Wiring(), Moment(), f"{side}_{pin}", f"{side}_2")
            assert read == pytest.approx(expected, abs=0.005), f"{side}_{pin}"
    for pin in range(1, 8):
        expected = 12.0 if pin in (3, 5, 6, 7) else 0.0
        assert volts(Wiring(), Moment(), f"lamps_{pin}", "lamps_1") == pytest.approx(expected)


def test_a_reading_changes_its_sign_with_the_tips_and_a_pin_has_no_voltage_to_itself() -> None:
    for first in PROBED[::5]:
        for second in PROBED[1::7]:
            there, back = volts(Wiring(), Moment(), first, second), volts(Wiring(), Moment(), second, first)
            assert there == pytest.approx(-back, abs=1e-9)
            assert ohms(Wiring(), OFF, first, second) == pytest.approx(ohms(Wiring(), OFF, second, first))


def test_pulled_plugs_part_the_two_machines() -> None:
    for pin in (1, 2, 3, 4, 8, 9):
        assert (
            ohms(Wiring(), OUT._replace(supply_on=False, key_on=False), f"bus_{pin}", f"bus_plug_{pin}")
            == OPEN
        )
        assert ohms(Wiring(), OFF, f"bus_{pin}", f"bus_plug_{pin}") == 0.0
    assert volts(Wiring(), OUT, "bus_4", "bus_2") == pytest.approx(12.0)
    assert volts(Wiring(), OUT, "bus_plug_4", "bus_plug_2") == pytest.approx(0.0)
    assert volts(Wiring(), OUT, "lamps_plug_6", "lamps_plug_1") == pytest.approx(0.0)
    assert volts(Wiring(), OUT, "bus_5", "bus_7") == pytest.approx(0.0)


def test_key_off_leaves_the_bus_its_supply_until_it_falls_and_the_lamps_none() -> None:
    held = Moment(supply_on=True, key_on=False)
    assert volts(Wiring(), held, "bus_4", "bus_2") == pytest.approx(12.0)
    assert volts(Wiring(), held, "lamps_6", "lamps_1") == pytest.approx(0.0, abs=1e-9)
    assert volts(Wiring(), held, "lamps_7", "lamps_1") == pytest.approx(12.0)
    assert volts(Wiring(), OFF, "bus_4", "bus_2") == pytest.approx(0.0, abs=1e-9)


# --- what is wrong with it, by the table of symptoms --------------------------------------------------------


@pytest.mark.parametrize(
    ("tractor", "implement", "short", "expected"),
    [(1, 1, OPEN, 60.0), (1, 0, OPEN, 120.0), (1, 2, OPEN, 40.0), (1, 1, 0.0, 0.0), (0, 0, OPEN, OPEN)],
)
def test_ohms_across_the_bus_tell_its_ends(
    tractor: int, implement: int, short: float, expected: float
) -> None:
    """120 with one end missing, 60 sound, 40 with one too many, 0 short (practice, trade press)."""
    wires = Wiring(terminators_tractor=tractor, terminators_implement=implement, bus_short_ohm=short)
    assert ohms(wires, OFF, "bus_8", "bus_9") == pytest.approx(expected)
    assert wiring.bus_talks(wires, True) == (expected == 60.0)


def test_each_half_of_a_parted_bus_has_its_own_end() -> None:
    away = OFF._replace(bus_home=False)
    for side in ("bus", "bus_plug"):
        assert ohms(Wiring(), away, f"{side}_8", f"{side}_9") == pytest.approx(120.0)


def test_half_an_ohm_in_the_ground_pin_dims_the_lamps() -> None:
    """12.6 V, 4.2 A of lamps, 0.5 ohm: 10.7 V left (derived by Ohm's law)."""
    for where in ("lamps_feed_ohm", "lamps_contact_ohm"):
        bad = with_ohm(Wiring(supply_v=12.6, lamps_a=4.2), where, 1, 0.5)
        assert volts(bad, Moment(), "lamps_plug_6", "lamps_plug_1") == pytest.approx(10.72, abs=0.01)
        assert volts(bad, Moment(), "lamps_plug_1", FRAME) == pytest.approx(12.6 - 10.72, abs=0.01)
        assert wiring.lamp_v(bad, Moment(), 6) < wiring.LAMP_DIM_V
    behind = with_ohm(Wiring(supply_v=12.6, lamps_a=4.2), "lamps_lead_ohm", 1, 0.5)
    assert volts(behind, Moment(), "lamps_plug_6", "lamps_plug_1") == pytest.approx(12.6)


def test_a_worn_wire_drops_what_the_copper_table_says() -> None:
    """100 ft of 16 AWG stranded, 4 A, out and back: 4.0 V (published example)."""
    ohm = 4.99 / 1000.0 * 100.0
    bad = with_ohm(with_ohm(Wiring(ecu_a=4.0 * 12.0 / 8.0), "bus_lead_ohm", 4, ohm), "bus_lead_ohm", 2, ohm)
    current = 12.0 / (2 * ohm + 12.0 / 6.0)
    assert wiring.ecu_v(bad, Moment()) == pytest.approx(12.0 - 2 * ohm * current, rel=1e-4)
    assert 2 * ohm * 4.0 == pytest.approx(4.0, abs=0.01)


def test_a_missing_feed_is_seen_beside_a_good_one() -> None:
    no_power = Wiring(fuses_blown=("PWR",))
    assert volts(no_power, Moment(), "bus_3", "bus_1") == pytest.approx(0.0)
    assert volts(no_power, Moment(), "bus_4", "bus_2") == pytest.approx(12.0)
    no_page = Wiring(fuses_blown=("ECU_PWR",))
    assert volts(no_page, Moment(), "bus_3", "bus_1") == pytest.approx(12.0)
    assert volts(no_page, Moment(), "bus_4", "bus_2") == pytest.approx(0.0)
    dark = Wiring(fuses_blown=("lamps",))
    assert [volts(dark, Moment(), f"lamps_{pin}", "lamps_1") for pin in (3, 5, 6, 7)] == [0.0] * 4


def test_an_open_bus_line_has_no_rest_voltage_of_the_tractors_at_the_plug() -> None:
    for pin in (8, 9):
        for where in ("bus_feed_ohm", "bus_contact_ohm"):
            bad = with_ohm(Wiring(), where, pin, OPEN)
            assert ohms(bad, OFF, f"bus_plug_{pin}", "bus_plug_9" if pin == 8 else "bus_plug_8") > 100.0
            assert not wiring.bus_reaches(bad)


def test_a_weak_feed_drops_the_control_unit_when_the_motors_draw() -> None:
    weak = Wiring(supply_ohm=0.2, power_a=32.0)
    assert wiring.ecu_v(weak, Moment(working=False)) > 11.0
    assert wiring.ecu_v(weak, Moment(working=True)) < 9.0


def test_ohms_with_power_on_tell_nothing() -> None:
    assert ohms(Wiring(), OFF, "lamps_6", "lamps_1") == pytest.approx(12.0 / (4.2 / 4), rel=1e-6)
    assert ohms(Wiring(), Moment(), "lamps_6", "lamps_1") == pytest.approx(12_000.0, rel=0.01)


# --- in the yard --------------------------------------------------------------------------------------------


def stood(job: Job, wires: Wiring | None = None, **found: object) -> tuple[Attempt, Texts]:
    case = replace(job.case, wiring=wires) if wires is not None else job.case
    attempt = Attempt(case, ())
    attempt.state = attempt.state._replace(station="panel", engine=False, **found)
    return attempt, Texts.load("en")


def read(attempt: Attempt, texts: Texts, line: str) -> str:
    before = len(attempt.events)
    attempt.settle()
    assert attempt.do(from_line(line)) is None
    told = [event for event in attempt.events[before:] if event.kind.split("_")[0] in ("volts", "ohms")]
    assert len(told) == 1
    return telling.say_event(attempt.case, told[0], texts)


def test_a_reading_is_told(job: Job) -> None:
    attempt, texts = stood(job, key="on")
    assert read(attempt, texts, "volts: bus_4 to bus_2") == "Bus socket 4 to bus socket 2: 12.6 V."
    assert read(attempt, texts, "volts: bus_2 to bus_4") == "Bus socket 2 to bus socket 4: −12.6 V."
    assert read(attempt, texts, "volts: bus_8 to bus_2") == "Bus socket 8 to bus socket 2: 2.5 V."
    assert "means nothing" in read(attempt, texts, "ohms: bus_8 to bus_9")
    attempt, texts = stood(job, key="out", supply_until=0)
    assert read(attempt, texts, "ohms: bus_8 to bus_9") == "Bus socket 8 to bus socket 9: 60 Ω."
    assert read(attempt, texts, "ohms: bus_plug_4 to frame").endswith("Ω.")
    assert read(attempt, texts, "ohms: bus_3 to bus_1").endswith("open, beyond the meter's range.")


def measured(attempt: Attempt) -> Event:
    return next(event for event in reversed(attempt.events) if event.kind == "measured")


def test_the_old_quantities_read_the_same_circuit(job: Job) -> None:
    attempt, _ = stood(job, Wiring(terminators_implement=0), key="out", supply_until=0)
    attempt.settle()
    attempt.do(Action("measure", "bus_ohms"))
    assert measured(attempt).value("bus_mohm") == 120_000
    attempt, _ = stood(job, Wiring(fuses_blown=("ECU_PWR",)), key="on")
    attempt.settle()
    attempt.do(Action("measure", "supply_volts"))
    assert measured(attempt).value("supply_mv") == 0


def test_one_pin_with_both_tips_and_a_plug_that_is_not_there_are_refused(job: Job) -> None:
    attempt, _ = stood(job)
    refused = attempt.do(from_line("volts: bus_4 to bus_4"))
    assert refused is not None
    assert refused.reason == "same_pin"
    bare = replace(job.case, implement=replace(job.case.implement, plugs=job.case.implement.plugs[:1]))
    role = job.case.implement.plugs[1].role
    gone = "bus_plug_1" if role == "bus" else "lamps_plug_1"
    state = engine.start(bare)._replace(station="panel", busy_until=0)
    refusal = engine.legal(bare, state, from_line(f"volts: {gone} to frame"))
    assert refusal is not None
    assert refusal.reason == "no_such_plug"


@pytest.mark.parametrize(
    ("wires", "page", "bus", "lights"),
    [
        (Wiring(), True, True, True),
        (Wiring(terminators_implement=0), True, False, True),
        (Wiring(terminators_implement=2), True, False, True),
        (Wiring(fuses_blown=("ECU_PWR",)), False, False, True),
        (with_ohm(Wiring(), "bus_contact_ohm", 9, OPEN), False, False, True),
        (Wiring(bus_short_ohm=0.0), False, False, True),
        (with_ohm(Wiring(), "lamps_contact_ohm", 1, 0.5), True, True, False),
        (with_ohm(Wiring(), "lamps_feed_ohm", 3, OPEN), True, True, False),
    ],
)
def test_what_is_wrong_shows_where_it_works(
    job: Job, wires: Wiring, page: bool, bus: bool, lights: bool
) -> None:
    attempt, _ = stood(job, wires, key="off", page_tick=-1)
    attempt.state = attempt.state._replace(station="seat")
    for line in ("key: on", "wait: 60 s", "test: bus", "test: lights"):
        attempt.settle()
        assert attempt.do(from_line(line)) is None, line
    attempt.settle()
    assert page_up(attempt.case, attempt.state) == page
    assert ("bus" in attempt.state.proved, "lights" in attempt.state.proved) == (bus, lights)


def test_a_control_unit_that_loses_its_voltage_begins_anew(job: Job) -> None:
    attempt, _ = stood(job, Wiring(supply_ohm=0.2, power_a=32.0), key="on")
    case, state = attempt.case, attempt.state
    fan = case.function("fan")
    calm = state._replace(works=tuple(work._replace(course="idle", speed_mrad_s=0) for work in state.works))
    draws = calm._replace(
        works=tuple(
            work._replace(course="driven") if index == fan else work for index, work in enumerate(calm.works)
        )
    )
    assert ecu_live(case, calm)
    assert not ecu_live(case, draws)
