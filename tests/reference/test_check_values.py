"""The qualification table as a test: the core against textbooks, standards, libraries and the trade.

The figures, and what each of them means, are in ``scenarios/reference/check_values.yaml``; they are read and
worked out by the very code that prints the table (``coupling-yard qualify``), so that the two cannot differ.
"""

import inspect
import json
import math
import re
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pint
import pytest

from trainer.authoring.qualify import (
    MODELS,
    OUTSIDE,
    PHYSICS,
    STANDINGS,
    UNITS,
    Call,
    Row,
    Term,
    qualify,
    read_reference,
    reference_file,
)
from trainer.authoring.source import ContentError
from trainer.lang import Texts
from trainer.records import qualification

REFERENCE = read_reference()
TABLE = qualify(REFERENCE)
BY_QUANTITY = {row.check.quantity: row for row in TABLE.rows}
LINE = """
sources:
  table: {title: A table}
checks:
  - quantity: flow of a pump
    model: pump
    of: {call: hydraulics.pump_flow_m3_s, with: [60 cm3, 2200 rev/min, 0.95]}
    is: {value: 125.4 L/min, within: 0.1 %, standing: published, source: table}
"""


@pytest.mark.parametrize("quantity", sorted(BY_QUANTITY))
def test_the_core_agrees(quantity: str) -> None:
    row = BY_QUANTITY[quantity]
    assert row.ok, (
        f"{row.shown(row.model_si)}, by {row.cited} ({row.check.standing}) "
        f"{row.shown(row.check.value.value_si)} within {row.check.within}"
    )


@pytest.mark.parametrize("quantity", sorted(BY_QUANTITY))
def test_a_check_is_tight_enough_to_fail(quantity: str) -> None:
    check = BY_QUANTITY[quantity].check
    assert check.value.value_si != 0
    # The widest is a published figure given to half a step of its last digit.
    assert 0 < check.tolerance_si <= 0.09 * abs(check.value.value_si)


def test_there_are_enough_figures_and_enough_of_them_from_outside() -> None:
    standings = TABLE.standings()
    assert len(TABLE.rows) == len(REFERENCE.checks) >= 240
    assert standings["published"] + standings["book"] + standings["library"] >= 170
    assert standings["book"] >= 30
    assert standings["published"] >= 80
    assert standings["library"] >= 50


@pytest.mark.parametrize("model", MODELS)
def test_every_model_is_held_against_something_outside(model: str) -> None:
    assert TABLE.from_outside(model) >= 3
    assert TABLE.from_outside(model) == len(
        [row for row in TABLE.of_model(model) if row.check.standing in OUTSIDE]
    )


def test_every_figure_has_a_standing_that_fits_its_source() -> None:
    titles = {row.check.quantity: row.source.title for row in TABLE.rows}
    assert {row.check.standing for row in TABLE.rows} == set(STANDINGS)
    assert all(title.strip() for title in titles.values())
    for row in TABLE.rows:
        own = {"practice": "practice", "memory": "memory", "derived": "derived"}.get(row.check.standing)
        assert own is None or row.check.source == own
        assert (row.check.standing == "library") == row.source.title.endswith(" (library)")
        if row.check.standing == "book":
            assert re.match(r"ex\. \d+\.\d+", row.check.at)
            assert "pages were not seen" in row.source.remark


def test_every_source_is_used_and_listed_once() -> None:
    listed = [use.source.name for use in TABLE.sources()]
    assert sorted(listed) == sorted(source.name for source in REFERENCE.sources)
    counted = Counter(row.check.source for row in TABLE.rows)
    for use in TABLE.sources():
        assert math.fsum(count for _, count in use.standings) == counted[use.source.name]


def called(term: Term) -> set[str]:
    """Every name of the core that a term stands on."""
    if isinstance(term, tuple):
        return {name for part in term for name in called(part)}
    if not isinstance(term, Call):
        return set()
    inputs = (term.by_place or ()) + tuple(part for _, part in term.by_name or ())
    return {f"{term.module}.{term.name}"} | called(inputs)


def test_every_physics_module_is_held_and_nearly_every_function() -> None:
    held = {name for check in REFERENCE.checks for name in called(check.of)}
    held |= {name for _, term in REFERENCE.given for name in called(term)}
    assert {name.partition(".")[0] for name in held} == set(PHYSICS)
    functions = {
        f"{module}.{name}"
        for module, made in PHYSICS.items()
        for name, member in vars(made).items()
        if inspect.isfunction(inspect.unwrap(member))
        and not name.startswith("_")
        and inspect.unwrap(member).__module__ == made.__name__
    }
    # Held by properties instead: they go there and back, pick a row of a table, or only count.
    by_properties = {
        "driveline.pto_speed_rev_s",
        "driveline.shaft_fit_m",
        "hoses.reach_shortfall_m",
        "hydraulics.common_pressure_pa",
        "electrics.node_voltages_v",
        "hydraulics.coupler_flow_m3_s",
        "hydraulics.line_law",
        "hydraulics.dial_flow_m3_s",
        "hydraulics.fan_torque_n_m",
        "hydraulics.flow_at_cutoff_m3_s",
        "hydraulics.motor_leakage_m3_s",
        "linkage.angle_for_ball_height_rad",
        "linkage.ball_height_m",
        "linkage.ball_m",
        "linkage.top_link_reach_m",
        "seeding.simulated_population_error",
        "wiring.bus_ends_ohm",
        "wiring.bus_reaches",
        "wiring.bus_talks",
        "wiring.circuit",
        "wiring.fed",
        "wiring.lamp_v",
        "wiring.powered",
        "wiring.without_end",
    }
    assert sorted(functions - held) == sorted(by_properties)


def test_units_are_what_they_are_elsewhere() -> None:
    registry = pint.UnitRegistry()
    elsewhere = {
        "in2": "in**2", "in3": "in**3", "cm3": "cm**3", "gal/min": "gallon/min", "mm2/s": "mm**2/s",
        "in2/s": "in**2/s", "lbf": "lbf", "kg/m3": "kg/m**3", "delta_degF": "delta_degF", "/ft": "1/ft",
        "mph": "mile/hour", "BTU/lb/degF": "Btu_it/lb/delta_degF", "%": "percent", "hp": "horsepower",
        "/acre": "1/international_acre" if "international_acre" in registry else "1/(43560*ft**2)",
    }  # fmt: skip
    for unit, one in UNITS.items():
        if unit == "rev/min":  # the core counts turns, others radians
            assert one == 1 / 60
            continue
        theirs = registry.parse_expression(elsewhere.get(unit, unit)).to_base_units()
        # pint's base mass is the kilogram here, so that forces and heats come out in SI.
        assert theirs.magnitude == pytest.approx(one, rel=1e-9), unit


# --- the file is read as every other content file: with places, and nothing in it runs


@pytest.mark.parametrize(
    ("old", "new", "place", "says"),
    [
        ("hydraulics.pump_flow_m3_s", "hydraulics.math.sqrt", "6:16", "not public"),
        ("hydraulics.pump_flow_m3_s", "hydraulics._walther", "6:16", "not public"),
        ("hydraulics.pump_flow_m3_s", "hydraulics.lru_cache", "6:16", "not public"),
        ("hydraulics.pump_flow_m3_s", "os.system", "6:16", "not public"),
        ("hydraulics.pump_flow_m3_s", "circuits.solve", "6:16", "not public"),
        ("hydraulics.pump_flow_m3_s", "__import__", "6:16", "not public"),
        ("[60 cm3, 2200 rev/min, 0.95]", "[60 cm3, 2200 rev/min]", "6:49", "does not take these inputs"),
        ("60 cm3", "60 ccm", "6:50", "not a unit here"),
        ("60 cm3", "60 + 1", "6:50", "not a unit here"),
        ("60 cm3", "{given: oil}", "6:58", "not known"),
        ("125.4 L/min", "many", "7:17", "not a figure"),
        ("0.1 %", "0 %", "7:38", "leaves no room"),
        ("0.1 %", "about", "7:38", "not a figure"),
        ("published", "official", "7:55", "not one of"),
        ("source: table", "source: memory", "7:74", "not one of"),
        ("model: pump", "model: pumps", "5:12", "not one of"),
    ],
)
def test_what_is_wrong_in_the_file_is_told_with_its_place(old: str, new: str, place: str, says: str) -> None:
    assert LINE.count(old) == 1
    with pytest.raises(ContentError) as told:
        read_reference(LINE.strip().replace(old, new), "x.yaml")
    assert f"x.yaml:{place}: " in str(told.value)
    assert says in str(told.value)


def test_a_quantity_stands_once() -> None:
    twice = LINE.strip() + "\n" + LINE[LINE.index("  - quantity") :]
    with pytest.raises(ContentError, match="stands already in line 4"):
        read_reference(twice, "x.yaml")


def test_a_given_thing_cannot_stand_on_itself() -> None:
    with pytest.raises(ContentError, match=r"nothing: there is nothing|not known"):
        read_reference(LINE.replace("checks:", "given:\n  oil: {given: oil}\nchecks:"), "x.yaml")


def one_row(text: str) -> Row:
    (row,) = qualify(read_reference(text, "x.yaml")).rows
    return row


def test_a_figure_within_its_tolerance_passes_and_one_off_it_does_not() -> None:
    good = one_row(LINE)
    assert good.ok
    assert good.share == pytest.approx(0.0, abs=1e-9)
    off = one_row(LINE.replace("125.4", "125.6"))
    assert not off.ok
    assert off.shown(off.difference_si, 2) == "-0.2 L/min"
    assert off.share == pytest.approx(0.2 / 0.1256)


def test_what_the_core_refuses_is_off() -> None:
    refused = one_row(
        LINE.replace("pump_flow_m3_s", "kinematic_viscosity_m2_s").replace(
            "[60 cm3, 2200 rev/min, 0.95]",
            "[{call: hydraulics.Oil, with: [60 mm2/s, 9.5 mm2/s, 870, 1900, 1.5e+9]}, 400]",
        )
    )
    assert not refused.ok
    assert math.isnan(refused.model_si)
    assert refused.share == math.inf


# --- the table as it is shown


def test_the_page_shows_every_row_and_every_source_and_needs_nothing_from_outside() -> None:
    page = qualification.render(TABLE, Texts.load("en"))
    shown = re.sub(r"\s+", " ", page.replace("&#39;", "'").replace("&amp;", "&").replace("&#34;", '"'))
    for row in TABLE.rows:
        assert f"<td>{row.check.quantity}</td>" in shown
        assert f"<td>{row.cited}</td><td>{row.check.standing}</td>" in shown
    for use in TABLE.sources():
        assert f"<td>{use.source.title}</td><td>{use.source.remark}</td>" in shown
    assert shown.count('<tr class="off">') == 0
    assert not re.findall(r"(?:src|href)=|url\(|@import|https?:", page)
    assert page == qualification.render(qualify(read_reference()), Texts.load("en"))


def test_a_row_that_is_off_is_plain_on_the_page() -> None:
    page = qualification.render(
        qualify(read_reference(LINE.replace("125.4", "140"), "x.yaml")), Texts.load("en")
    )
    assert page.count('<tr class="off">') == 1
    assert "NOT QUALIFIED" in page


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "trainer", "qualify", *arguments],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


def test_the_command_prints_the_table_and_writes_the_page(tmp_path: Path) -> None:
    done = run("--page", str(tmp_path / "table.html"))
    assert done.returncode == 0, done.stderr
    assert "gear pump flow" in done.stdout
    assert "A. Esposito, Fluid Power" in done.stdout
    assert f"{len(TABLE.rows)} figures, {TABLE.from_outside()} of them" in done.stdout
    assert "gear pump flow" in (tmp_path / "table.html").read_text("utf-8")


def test_the_command_gives_the_table_to_other_programs() -> None:
    done = run("--format", "json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["qualified"] is True
    assert [row["quantity"] for row in told["rows"]] == [row.check.quantity for row in TABLE.rows]
    assert {row["standing"] for row in told["rows"]} == set(STANDINGS)


def test_the_command_fails_when_a_figure_is_off(tmp_path: Path) -> None:
    """With reference data that were changed."""
    root = reference_file().parents[2]
    (tmp_path / "scenarios" / "reference").mkdir(parents=True)
    wrong = reference_file().read_text("utf-8").replace("value: 55.3 L/min", "value: 56.3 L/min")
    (tmp_path / "scenarios" / "reference" / "check_values.yaml").write_text(wrong, "utf-8")
    program = (
        "import sys, pathlib, trainer.authoring.qualify as q, trainer.cli as cli\n"
        "root = pathlib.Path(sys.argv.pop(1))\n"
        "q.content_root = lambda: root\n"
        "sys.exit(cli.main())\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, str(tmp_path), "qualify"],
        capture_output=True,
        text=True,
        encoding="utf-8",
        cwd=root,
        check=False,
    )
    assert done.returncode == 1, done.stderr
    assert "NOT QUALIFIED" in done.stdout
    assert "1 not within tolerance" in done.stdout
