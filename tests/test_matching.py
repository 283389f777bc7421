"""Machines matched: every level of every subject, and never another answer than the compiler gives."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from typer.testing import CliRunner

from trainer.authoring import matching
from trainer.authoring.compile import compile_texts, machine_files
from trainer.authoring.machines import ImplementFile, TractorFile
from trainer.authoring.matching import LEVELS, SUBJECTS, Match, match, match_all
from trainer.authoring.new import bare_text
from trainer.authoring.quantities import Refused
from trainer.authoring.source import ContentError
from trainer.cli import app
from trainer.content import content_root
from trainer.core.case import Drawbar
from trainer.lang import Texts, languages
from trainer.records import matches

SHIPPED = content_root() / "scenarios"


@lru_cache(maxsize=1)
def machines() -> tuple[dict[str, TractorFile], dict[str, ImplementFile]]:
    return matching._machines(SHIPPED)


@lru_cache(maxsize=1)
def shipped() -> tuple[Match, ...]:
    return tuple(match_all(SHIPPED))


def pair(tractor: str = "rowcrop_mid", implement: str = "planter_8row", **changed: Any) -> Match:
    """A shipped pair with fields of one machine changed (`on_...` the tractor's, others the implement's)."""
    drawing, drawn = machines()[0][tractor], machines()[1][implement]
    ours = {key.removeprefix("on_"): value for key, value in changed.items() if key.startswith("on_")}
    theirs = {key: value for key, value in changed.items() if not key.startswith("on_")}
    return match(
        replace(drawing, tractor=replace(drawing.tractor, **ours)),
        replace(drawn, implement=replace(drawn.implement, **theirs)),
    )


def test_every_pair_is_there_once() -> None:
    tractors, implements = machines()
    assert [(one.tractor, one.implement) for one in shipped()] == [
        (tractor, implement) for tractor in tractors for implement in implements
    ]
    for one in shipped():
        assert one.level("ports")
        assert one.level("axles")
        assert {line.level for line in one.lines} <= set(LEVELS)
        assert {line.subject for line in one.lines} <= set(SUBJECTS)


def test_the_planter_on_the_row_crop_tractor() -> None:
    """Figures by hand: pins of 1 1/8 in in hooks of 1 7/16 in; least ballast from moments about the rear
    axle, as in the worked example of the README."""
    found = pair()
    said = {line.says: line for line in found.lines}
    assert said["pins_bushed"].gaps["pin"].value_si == pytest.approx(1.125 * 0.0254, abs=1e-4)
    assert said["pins_bushed"].gaps["category"] == "2"
    assert found.supplies == {"fan": "v1", "frame_lift": "v2", "markers": "v3", "generator": "power_beyond"}
    tractor = machines()[0]["rowcrop_mid"].tractor
    least = said["axles_adapt"].gaps["least"].value_si
    share = said["axles_adapt"].gaps["front"].value_si
    ballast = said["axles_adapt"].gaps["ballast"].value_si
    lever = (tractor.ballast_arm_m + tractor.wheelbase_m) / tractor.wheelbase_m
    assert share - (ballast - least) * lever / tractor.mass_kg == pytest.approx(0.20, abs=1e-6)


def no_drain(found: tuple[Any, ...]) -> tuple[Any, ...]:
    return tuple(port for port in found if port.kind != "case_drain")


def renamed(found: tuple[Any, ...], form: str) -> tuple[Any, ...]:
    return tuple(replace(port, form=form) if port.kind == "case_drain" else port for port in found)


def shorter(found: tuple[Any, ...]) -> tuple[Any, ...]:
    return tuple(replace(hose, length_m=hose.length_m * 0.3) for hose in found)


class Two(NamedTuple):
    """A tractor and an implement."""

    on: Any
    by: Any


def fields(tractor: str, implement: str) -> Two:
    return Two(machines()[0][tractor].tractor, machines()[1][implement].implement)


PLANTER = ("rowcrop_mid", "planter_8row")
CART = ("rowcrop_mid", "grain_cart")
BALER = ("rowcrop_mid", "round_baler")

Change = Callable[[Two], dict[str, Any]]

CASES: list[tuple[str, tuple[str, str], str, str, Change]] = [
    ("pins_fit", PLANTER, "hitch", "fits", lambda two: {"pin_diameter_m": two.on.hook_diameter_m}),
    ("pins_thick", PLANTER, "hitch", "short", lambda two: {"pin_diameter_m": two.on.hook_diameter_m + 0.01}),
    ("hitch_height", PLANTER, "hitch", "short", lambda two: {"work_ball_m": two.on.hitch_high_m + 0.1}),
    (
        "mast_short",
        PLANTER,
        "mast",
        "short",
        lambda two: {"on_top_link_long_m": two.on.top_link_short_m + 0.01},
    ),
    ("no_drawbar", CART, "drawbar", "short", lambda _: {"on_drawbar": None}),
    (
        "eye_short",
        CART,
        "hitch",
        "short",
        lambda two: {"tongue": replace(two.by.tongue, eye_diameter_m=0.02)},
    ),
    ("jack_short", CART, "hitch", "short", lambda two: {"tongue": replace(two.by.tongue, jack_high_m=0.45)}),
    ("load_short", CART, "load", "short", lambda two: {"tongue": replace(two.by.tongue, load_kg=9000.0)}),
    ("mass_short", CART, "load", "short", lambda two: {"mass_kg": two.on.drawbar.most_mass_kg + 500.0}),
    (
        "chain_short",
        CART,
        "load",
        "short",
        lambda two: {"tongue": replace(two.by.tongue, chain_rating_kg=500.0)},
    ),
    (
        "reach_short",
        CART,
        "drawbar",
        "short",
        lambda two: {"on_drawbar": replace(two.on.drawbar, reaches_m=(0.21,))},
    ),
    ("ports_none", PLANTER, "ports", "short", lambda two: {"on_ports": no_drain(two.on.ports)}),
    ("ports_form", PLANTER, "ports", "adapt", lambda two: {"on_ports": renamed(two.on.ports, "screwed")}),
    ("ports_reach", PLANTER, "ports", "short", lambda two: {"hoses": shorter(two.by.hoses)}),
    ("plug_short", PLANTER, "plugs", "short", lambda two: {"on_sockets": two.on.sockets[:1]}),
    ("current_short", PLANTER, "current", "short", lambda _: {"bus_current_a": 90.0}),
    (
        "oil_short",
        PLANTER,
        "oil",
        "short",
        lambda two: {"on_pump_displacement_m3": two.on.pump_displacement_m3 / 2},
    ),
    ("hose_weak", PLANTER, "oil", "short", lambda _: {"on_pump_cutoff_pa": 390e5}),
    ("pto_adapt", BALER, "pto", "adapt", lambda _: {}),
    ("pto_short", BALER, "pto", "short", lambda _: {"on_pto_speeds_rev_min": (1000.0,)}),
    ("axles_fits", CART, "axles", "fits", lambda _: {}),
    ("axles_short", PLANTER, "axles", "short", lambda _: {"on_ballast_steps_kg": (0,)}),
]


KEYS = ("says", "names", "subject", "level", "change")


@pytest.mark.parametrize(KEYS, CASES, ids=[case[0] for case in CASES])
def test_each_finding_comes_from_its_cause(
    says: str, names: tuple[str, str], subject: str, level: str, change: Change
) -> None:
    changed = pair(*names, **change(fields(*names)))
    assert (subject, level) in [(line.subject, line.level) for line in changed.lines if line.says == says]
    assert LEVELS.index(changed.level()) >= LEVELS.index(level)
    if change(fields(*names)):
        assert says not in [line.says for line in pair(*names).lines if line.level == level]


def test_too_many_functions_for_the_valves() -> None:
    on, _ = fields(*CART)
    few = tuple(port for port in on.ports if port.valve < 1)
    changed = pair(*CART, on_valves=on.valves[:1], on_ports=few)
    assert [line.says for line in changed.lines if line.subject == "ports" and line.level == "short"] == [
        "ports_taken",
        "ports_taken",
    ]


def test_a_match_says_what_the_compiler_says() -> None:
    """Where the compiler refuses a pair the match finds something short, or to be adapted at the ports; where
    the match finds nothing short, the pair makes a job."""
    files = machine_files(SHIPPED)
    tractors, implements = machines()
    for found in shipped():
        names = {
            "tractor": f"machines/tractors/{found.tractor}.yaml",
            "implement": f"machines/implements/{found.implement}.yaml",
        }
        on, brought = tractors[found.tractor].tractor, implements[found.implement].implement
        text = bare_text(on, brought, names)
        try:
            compile_texts("own/bare", {**files, "jobs/own/bare.yaml": text})
            refused = False
        except ContentError:
            refused = True
        short = {line.says for line in found.lines if line.level == "short"}
        if refused:
            assert short or found.level("ports") != "fits"
        else:
            assert not {"no_drawbar", "eye_short", "jack_short", "hitch_height", "plug_short"} & short


def test_every_text_is_there_in_every_language() -> None:
    for code in languages():
        texts = Texts.load(code)
        for found in shipped():
            for line in found.lines:
                assert "{" not in matches.say_line(line, texts)
                assert "{" not in matches.say_line(line, texts, metric=True)
        page = matches.render(shipped(), texts)
        assert page.count("<section") == len(shipped()) + 1
        assert texts.say("match.note")[:40] in page
        for name in (case[0] for case in CASES):
            assert texts.has(f"match.says.{name}")


def test_the_command_in_its_three_forms(tmp_path: Path) -> None:
    chosen = ["match", "--tractor", "rowcrop_mid", "--implement", "grain_cart"]
    told = json.loads(CliRunner().invoke(app, [*chosen, "--format", "json"]).stdout)
    (one,) = told["pairs"]
    assert one["subjects"]["load"] == "fits"
    load = next(line for line in one["lines"] if line["says"] == "load_fits")
    assert load["figures"]["mass"] == {"value": 5600.0, "unit": "kg"}
    page = tmp_path / "pairs.html"
    text = CliRunner().invoke(app, [*chosen, "--page", str(page)])
    assert text.exit_code == 0
    assert "Unloading auger on pto" in text.stdout
    assert CliRunner().invoke(app, [*chosen, "--format", "html"]).stdout == page.read_text("utf-8")
    wrong = CliRunner().invoke(app, ["match", "--tractor", "rowcorp_mid"])
    assert wrong.exit_code == 1
    assert "Write: rowcrop_mid" in wrong.output


def test_a_budget_of_two_machines() -> None:
    asked = ["budget", "--tractor", "rowcrop_mid", "--implement", "grain_cart", "--format", "json"]
    told = json.loads(CliRunner().invoke(app, asked).stdout)
    road = next(phase for phase in told["phases"] if phase["name"] == "transport")
    assert [draw["function"] for draw in road["draws"]] == ["auger_fold"]
    assert CliRunner().invoke(app, ["budget"]).exit_code == 2
    assert CliRunner().invoke(app, ["budget", "--tractor", "rowcrop_mid"]).exit_code == 2


def test_names_that_are_none_are_refused() -> None:
    with pytest.raises(Refused, match="there is no implement called 'grain_kart'"):
        match_all(SHIPPED, implements=["grain_kart"])
    assert isinstance(machines()[0]["rowcrop_mid"].tractor.drawbar, Drawbar)
