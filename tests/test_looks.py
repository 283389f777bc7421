"""Every look at every station, and what is done by hand at machines that are drawn."""

from pathlib import Path
from typing import Any

import pygame
import pytest

from outfits import pair, with_hoses, with_valves
from test_stations import AT_A_DRAWBAR, COUPLE, Ground, by_hand, measure_by_hand
from trainer.authoring.compile import load_job
from trainer.authoring.source import plain, read_source
from trainer.content import content_root
from trainer.core.actions import WORDS, Action, from_line
from trainer.core.case import STATIONS, Case
from trainer.scene.art import Art
from trainer.scene.looks import implement_look, movers, tractor_look

TRACTORS = tuple(Art().looks["tractors"])
IMPLEMENTS = tuple(Art().looks["implements"])
MACHINES = sorted((content_root() / "scenarios" / "machines").glob("*/*.yaml"))
SIZES = {"1280x720": ((1280, 720), 1.0), "1920x1080": ((1920, 1080), 1.0), "large text": ((1280, 720), 2.0)}


@pytest.fixture(scope="module")
def case() -> Case:
    return load_job(COUPLE).case


def looked_at(yard: Ground) -> None:
    """All that can be pointed at has a name and a place inside the stage; nothing is painted outside."""
    yard.frame(2)
    outside = yard.surface.get_at((yard.surface.get_width() - 2, yard.surface.get_height() // 2))[:3]
    assert outside == (255, 0, 255), "a station paints outside its stage"
    names = [target.id for target in yard.here.targets()]
    assert len(names) == len(set(names)) >= 8
    for target in yard.here.targets():
        assert target.label
        if not target.id.startswith("go:"):
            seen = target.rect.clip(yard.stage)
            assert min(seen.size) >= 12, f"{target.id} at {yard.here.name}"


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("implement", IMPLEMENTS)
def test_every_implement_is_drawn_at_every_station(case: Case, implement: str, size: str) -> None:
    tractor = TRACTORS[IMPLEMENTS.index(implement) % len(TRACTORS)]
    window, text_scale = SIZES[size]
    yard = Ground(pair(case, tractor, implement), window, text_scale)
    yard.surface.fill((255, 0, 255))
    for station in STATIONS:
        yard.stand(station)
        looked_at(yard)


@pytest.mark.parametrize("tractor", TRACTORS)
def test_every_tractor_is_drawn_at_every_station(case: Case, tractor: str) -> None:
    yard = Ground(pair(case, tractor, "grain_cart"))
    yard.surface.fill((255, 0, 255))
    for station in STATIONS:
        yard.stand(station)
        looked_at(yard)


@pytest.mark.parametrize("valves", [1, 3, 6, 8])
def test_panel_and_seat_have_room_for_any_number_of_valves(case: Case, valves: int) -> None:
    """No two couplers, levers or dials share a place, and none lies outside."""
    yard = Ground(with_valves(case, valves))
    yard.surface.fill((255, 0, 255))
    for station, kinds in (("panel", ("port",)), ("seat", ("lever", "dial"))):
        yard.stand(station)
        looked_at(yard)
        spots = [target for target in yard.here.targets() if target.id.partition(":")[0] in kinds]
        assert len([spot for spot in spots if spot.id.startswith(("port:v", "dial:"))]) >= valves
        for index, first in enumerate(spots):
            for second in spots[index + 1 :]:
                if first.id.split(":")[1] != second.id.split(":")[1]:
                    shared = first.rect.clip(second.rect)
                    assert min(shared.size) <= 2, f"{first.id} and {second.id}"


@pytest.mark.parametrize("hoses", [1, 16])
def test_the_holder_has_a_cup_for_every_end(case: Case, hoses: int) -> None:
    yard = Ground(with_hoses(case, hoses))
    yard.surface.fill((255, 0, 255))
    yard.stand("panel")
    looked_at(yard)
    holders = [target.rect.centerx for target in yard.here.targets() if target.id.startswith("holder:")]
    assert len(set(holders)) == len(yard.case.implement.hoses) + len(yard.case.implement.plugs)


@pytest.mark.parametrize("implement", IMPLEMENTS)
def test_what_moves_is_seen_to_move(case: Case, implement: str) -> None:
    """With every cylinder out the picture is another one, wherever the look has a part for it."""
    changed = pair(case, "row_crop", implement)
    look = implement_look(Art(), changed.implement)
    moved = movers(look.parts, changed.implement.functions)
    yard = Ground(changed)
    pictures = []
    for out in (0.0, 1.0):
        works = tuple(
            work._replace(stroke_um=round(function.stroke_m * 1e6 * out))
            for work, function in zip(yard.state.works, changed.implement.functions, strict=True)
        )
        yard.change(works=works)
        yard.stand("yard")
        pictures.append(pygame.image.tobytes(yard.surface.subsurface(yard.stage), "RGB"))
    assert (pictures[0] != pictures[1]) == any(function >= 0 for function in moved)


@pytest.mark.parametrize("path", MACHINES, ids=lambda path: path.stem)
def test_every_shipped_machine_names_a_look_that_is_there(path: Path) -> None:
    told = plain(read_source(path))
    assert isinstance(told, dict)
    kind = path.parent.name
    look = Art().looks[kind].get(told.get("look"))
    assert look is not None, f"{path.name}: look: one of {', '.join(Art().looks[kind])}"
    assert look.get("coupling", "") == (told.get("coupling", "three_point") if kind == "implements" else "")


def test_a_look_names_only_drawings_and_points_that_are_there() -> None:
    art = Art()
    for name, look in art.looks["implements"].items():
        points = {
            "drawbar": ("eye", "wheel_ground", "jack", "level"),
            "three_point": ("lower_pin", "top_pin", "jack", "level"),
        }
        for point in (*points[look["coupling"]], "centre", "hose_root", "underside"):
            assert art.anchor(look["side"], point), name
        assert art.anchor(look["front"], "ground")
        for part in look.get("parts", ()):
            assert art.anchor(part["art"], "pivot"), name
            assert art.anchor(look["side"], part["at"]), name
    for look in art.looks["tractors"].values():
        for point in (
            "rear_axle_ground",
            "front_axle",
            "pto_stub",
            "cab_door",
            "ballast_hook",
            "exhaust_tip",
            "drawbar_root",
        ):
            assert art.anchor(look["side"], point)
        for wheel in (look["rear"], look["front"]):
            assert art.size(f"{wheel}_light")


def test_sizes_follow_the_machines_own_figures(case: Case) -> None:
    small = pair(case, "row_crop", "round_baler")
    art = Art()
    tongue = small.implement.tongue
    assert tongue is not None
    shown = implement_look(art, small.implement)
    drawn_m = (art.anchor(shown.side, "wheel_ground")[0] - art.anchor(shown.side, "eye")[0]) / 90
    assert shown.size == pytest.approx(min(1.3, tongue.length_m / drawn_m), abs=0.001)
    assert tractor_look(art, small.tractor).size == pytest.approx(small.tractor.wheelbase_m / 3.05, abs=0.001)


def test_a_machine_without_a_look_of_its_own_gets_the_general_one(case: Case) -> None:
    art = Art()
    strange = pair(case, "no_such_thing", "round_baler")
    assert tractor_look(art, strange.tractor).name == "general"
    for look, shown in (
        ("", "general_mounted"),
        ("nothing_known", "general_mounted"),
        ("sprayer", "general_mounted"),
    ):
        mounted = case.implement
        changed = type(mounted)(
            **{name: getattr(mounted, name) for name in mounted.__slots__} | {"look": look}
        )
        assert implement_look(art, changed).name == shown


# --- by hand ------------------------------------------------------------------------------------------------

COUPLED = {"gap_um": 0, "gap_target_um": 0, "jack_um": 480_000}
ROWS: dict[str, list[tuple[str, str, dict[str, Any]]]] = {
    # word: the line, the station it is done at by hand, and how the yard is found
    "drawbar_reach": [("drawbar_reach: 508 mm", "hitch", {})],
    "jack": [("jack: 480 mm", "hitch", {}), ("jack: 415 mm", "implement", {})],
    "pin": [("pin: fit", "hitch", COUPLED), ("pin: remove", "hitch", COUPLED | {"pin_in": True})],
    "clip": [
        ("clip: fit", "hitch", COUPLED | {"pin_in": True}),
        ("clip: remove", "hitch", COUPLED | {"pin_in": True, "pin_clipped": True}),
    ],
    "chain": [("chain: hook", "hitch", COUPLED), ("chain: unhook", "hitch", COUPLED | {"chained": True})],
    "secure": [("secure: cart", "implement", {"joints_secured": (False,)})],
    "release": [("release: cart", "implement", {"joints_secured": (True,)})],
    "terminator": [
        ("terminator: cart", "implement", {"terminator_at": "tool"}),
        ("terminator: off", "implement", {"terminator_at": "cart"}),
        ("terminator: cart", "implement", {"terminator_at": "off"}),
    ],
    "lock": [("lock: wings", "implement", {})],
    "unlock": [("unlock: wings", "implement", {"locked": (True,) * 5})],
    "pto_speed": [("pto_speed: 540 rev/min", "seat", {})],
    "shaft_guard": [
        ("shaft_guard: remove", "panel", COUPLED),
        ("shaft_guard: fit", "panel", COUPLED | {"shaft_guard": False}),
    ],
}


def test_there_is_a_gesture_for_every_word_of_drawn_machines() -> None:
    assert set(ROWS) == AT_A_DRAWBAR


@pytest.mark.parametrize(("line", "station", "found"), [row for rows in ROWS.values() for row in rows])
def test_a_gesture_asks_for_exactly_its_action(
    case: Case, line: str, station: str, found: dict[str, Any]
) -> None:
    action = from_line(line)
    assert station in WORDS[action.word].stations
    yard = Ground(pair(case, "row_crop", "air_seeder"))
    yard.change(**found)
    yard.stand(station)
    by_hand(yard, action)
    assert yard.asked == [line]
    assert yard.refused == []


@pytest.mark.parametrize("station", ["hitch", "implement"])
def test_a_crank_that_is_dragged_shows_its_height_and_sets_it_once(case: Case, station: str) -> None:
    yard = Ground(pair(case, "row_crop", "round_baler"))
    yard.stand(station)
    before = yard.state.jack_um
    yard.drag("jack", (0, round(-40 * yard.scale)))
    assert len(yard.asked) == 1
    yard.attempt.settle()
    assert yard.state.jack_um > before


@pytest.mark.parametrize("quantity", ["tongue_height", "tongue_pitch", "overlap"])
def test_what_a_drawn_machine_has_is_measured_by_hand(case: Case, quantity: str) -> None:
    for station in ("hitch", "implement"):
        yard = Ground(pair(case, "row_crop", "round_baler"))
        yard.change(**COUPLED)
        yard.stand(station)
        if yard.legal(Action("measure", quantity)) is None:
            measure_by_hand(yard, quantity)
            assert yard.asked == [f"measure: {quantity}"]
            yard.frame(2)


def test_pin_clip_and_chain_are_looked_at_with_the_magnifier(case: Case) -> None:
    for place in ("pin_hole", "clip_hole", "chain_hook", "eye_hole"):
        yard = Ground(pair(case, "row_crop", "round_baler"))
        yard.change(**COUPLED)
        yard.stand("hitch")
        yard.drag("eye", place)
        assert yard.asked == ["look: latches"]
        yard.frame(2)


def test_the_keyboard_takes_and_puts_the_pin(case: Case) -> None:
    """Every target's own deed is what Enter does on it."""
    yard = Ground(pair(case, "row_crop", "round_baler"))
    yard.change(**COUPLED)
    yard.stand("hitch")
    yard.target("pin").act()
    yard.frame()
    yard.target("pin_hole").act()
    yard.frame()
    yard.attempt.settle()
    assert yard.asked == ["pin: fit"]
    assert yard.state.pin_in
