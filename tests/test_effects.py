"""What moves only to the eye: sizes by geometry and handbook formulas, stillness on request, and its cost."""

import math
import time
from collections.abc import Callable, Iterator

import pygame
import pytest
from hypothesis import given
from hypothesis import strategies as st

from test_scene import Sitting, sittings
from test_stations import Ground
from trainer.authoring.compile import load_job
from trainer.core.actions import Action
from trainer.core.case import Case
from trainer.core.engine import digest
from trainer.core.state import Working
from trainer.scene.effects import (
    CONE_S,
    FILM_M,
    GLIDE_S,
    MOST_DROPS,
    Effects,
    Needle,
    beside,
    engine_load,
    jet_length,
    pool_radius_m,
)
from trainer.scene.ropes import NODES, Ropes, bend_radius, draw_tube
from trainer.scene.stations.hands import Handwork
from trainer.scene.stations.lines import flatness, hang

COUPLE = "first-week/couple"
FRAME_S = 1 / 60


@pytest.fixture(scope="module")
def case() -> Case:
    return load_job(COUPLE).case


@pytest.fixture
def yard(case: Case) -> Iterator[Ground]:
    ground = Ground(case)
    ground.calm = False
    yield ground
    pygame.display.quit()


@pytest.fixture
def sit() -> Iterator[Callable[..., Sitting]]:
    yield from sittings()


def seen(yard: Ground) -> bytes:
    return pygame.image.tobytes(yard.surface, "RGB")


def changed(before: bytes, after: bytes) -> int:
    """How many bytes of two pictures differ."""
    return sum(a != b for a, b in zip(before[::3], after[::3], strict=True))


# --- oil on the ground --------------------------------------------------------------------------------------


@given(st.floats(1e-6, 0.1), st.floats(2e-4, 5e-3))
def test_a_pool_holds_the_oil_that_was_lost(volume_m3: float, film_m: float) -> None:
    assert math.pi * pool_radius_m(volume_m3, film_m) ** 2 * film_m == pytest.approx(volume_m3)


def test_a_pool_lies_as_thick_as_a_flat_drop_stands() -> None:
    """The height of a wide drop on a plane, 2·sqrt(γ/ρg)·sin(θ/2): textbook of wetting (Young and Laplace),
    with the surface tension, density and edge angle that the module states."""
    length_m = math.sqrt(0.03 / (870 * 9.81))
    assert pytest.approx(2 * length_m * math.sin(math.radians(47) / 2), rel=0.02) == FILM_M


@pytest.mark.parametrize("litres", [0.25, 1.0, 3.0])
def test_a_pool_is_drawn_as_wide_as_its_volume_makes_it(yard: Ground, litres: float) -> None:
    yard.stand("yard")
    here, px_per_m = yard.here, 80.0
    blank = pygame.Surface((1280, 720))
    blank.fill((255, 255, 255))
    Effects(here).draw_pool(blank, (490.0, 400.0), round(litres * 1e6), px_per_m)
    blank.set_colorkey((255, 255, 255))
    wide = pygame.mask.from_threshold(blank, (255, 255, 255), (1, 1, 1))
    wide.invert()
    drawn = max(box.width for box in wide.get_bounding_rects()) / here.view.scale
    assert drawn == pytest.approx(2 * pool_radius_m(litres / 1000) * px_per_m, rel=0.06)


def test_the_pool_lies_under_what_lost_it_and_grows(yard: Ground) -> None:
    index = next(i for i, one in enumerate(yard.case.implement.functions) if one.kind == "fan")
    works = list(yard.state.works)
    works[index] = works[index]._replace(blown=True)
    for station in ("yard", "implement"):
        yard.change(works=tuple(works), lost_oil_mm3=0)
        yard.stand(station)
        pictures = []
        for litres in (0.0, 0.4, 2.5):
            yard.change(lost_oil_mm3=round(litres * 1e6))
            yard.frame()
            pictures.append(seen(yard))
        small, large = (changed(pictures[0], each) for each in pictures[1:])
        assert 50 < small < large


# --- needles ------------------------------------------------------------------------------------------------


def test_a_needle_swings_past_by_what_its_damping_says_and_rests_on_its_value() -> None:
    """Overshoot of a damped second-order system after a step, exp(-πζ/sqrt(1-ζ²)): textbook of control."""
    needle, damping = Needle(0.0), 0.62
    run = [needle.follow(1.0, 0.002) for _ in range(2000)]
    assert max(run) - 1.0 == pytest.approx(math.exp(-math.pi * damping / math.sqrt(1 - damping**2)), abs=0.01)
    assert run[-1] == pytest.approx(1.0, abs=1e-4)


@given(st.lists(st.tuples(st.floats(0, 1), st.floats(0, 2)), min_size=1, max_size=40))
def test_a_needle_stays_finite_and_near_whatever_the_frames_take(goals: list[tuple[float, float]]) -> None:
    needle = Needle(0.0)
    for goal, dt_s in goals:
        assert -1.0 < needle.follow(goal, dt_s) < 2.0
    assert needle.follow(0.25, 0.1, calm=True) == 0.25


def test_the_figure_beside_a_needle_is_the_engines(yard: Ground) -> None:
    yard.stand("seat")
    yard.frame(60)
    yard.change(engine=True, engine_mrev_min=2_000_000)
    yard.frame()
    assert yard.here.needle("gauge_engine_speed", 0.8) < 0.4  # still on its way
    told = []
    write = yard.kit.text
    yard.kit.text = lambda surface, text, *rest, **more: (  # type: ignore[method-assign]
        told.append(text),
        write(surface, text, *rest, **more),
    )[1]
    yard.frame()
    assert "2,000" in told or "2000" in told


# --- jets and drips -----------------------------------------------------------------------------------------


def test_a_jet_reaches_with_the_speed_of_the_oil() -> None:
    """Outflow under a pressure goes with its root (Bernoulli), up to the length that fits the stage."""
    nothing, some, more = (jet_length(pa) for pa in (0.0, 2e6, 8e6))
    assert more - nothing == pytest.approx(2 * (some - nothing))


@pytest.mark.parametrize("calm", [False, True])
def test_a_coupler_pulled_under_pressure_shows_its_danger_cone(yard: Ground, calm: bool) -> None:
    yard.calm = calm
    hose = max(yard.case.hose("fan_pressure"), 0)
    form = yard.case.implement.hoses[hose].form
    port = next(i for i, one in enumerate(yard.case.tractor.ports) if one.form == form)
    name = yard.case.implement.hoses[hose].name

    def pulled(pressure_pa: int) -> bytes:
        at = [-1] * len(yard.state.hose_at)
        at[hose] = port
        pa = [0] * len(at)
        pa[hose] = pressure_pa
        yard.change(hose_at=tuple(at), hose_pa=tuple(pa), engine=False)
        yard.stand("panel")
        yard.do(Action("uncouple", name))
        yard.frame(4)
        return seen(yard)

    slack, live = pulled(0), pulled(15_000_000)
    assert changed(slack, live) > 3000
    assert yard.here._effects._jets  # type: ignore[attr-defined]
    yard.frame(round(CONE_S / FRAME_S) + 2)
    assert not yard.here._effects._jets, "it stays for ever"  # type: ignore[attr-defined]


def test_open_ends_drip_and_capped_ones_do_not(yard: Ground) -> None:
    yard.stand("panel")
    ends = {hose.name for hose in yard.case.implement.hoses if hose.role != "shaft"}
    count = len(yard.state.hose_capped)
    yard.change(hose_capped=(False,) * count, hose_clean=(False,) * count, hose_stored=(True,) * count)
    yard.frame()
    panel = yard.here
    assert ends <= set(panel._effects._dripping)  # type: ignore[attr-defined]
    for _ in range(200):
        yard.pass_time(1)
    assert panel._effects._drops or any(panel._effects._drips.values())  # type: ignore[attr-defined]
    yard.change(hose_capped=(True,) * count)
    yard.frame()
    assert not ends & set(panel._effects._dripping)  # type: ignore[attr-defined]


def test_never_more_in_the_air_than_a_frame_can_bear(yard: Ground) -> None:
    yard.stand("panel")
    effects = Effects(yard.here)
    for number in range(20):
        effects.jet((100.0 + 20 * number, 200.0), 90.0, 2e7)
        effects.spill((100.0 + 20 * number, 200.0), 30)
        effects.update(FRAME_S)
        assert len(effects._drops) <= MOST_DROPS


# --- exhaust and load ---------------------------------------------------------------------------------------


def test_load_is_what_the_pump_and_the_shaft_ask_of_the_engine(case: Case, yard: Ground) -> None:
    idle = yard.state._replace(engine_mrev_min=1_000_000, pump_pa=0, pump_mm3_s=0, pto=False)
    full = round(case.tractor.pump_displacement_m3 * case.tractor.pump_ratio * 1000 / 60 * 1e9)
    busy = idle._replace(pump_pa=round(case.tractor.pump_cutoff_pa), pump_mm3_s=full)
    assert engine_load(case, idle) == 0.0
    assert engine_load(case, busy._replace(pump_mm3_s=full // 2)) == pytest.approx(0.5, abs=0.01)
    assert engine_load(case, busy) == pytest.approx(1.0, abs=0.01)
    assert 0 < engine_load(case, idle._replace(pto=True)) < 1
    assert engine_load(case, busy._replace(engine_mrev_min=0)) == 0.0


def test_exhaust_is_darker_under_load_and_there_even_when_it_stands_still(yard: Ground) -> None:
    yard.stand("yard")
    found = {}
    for calm in (False, True):
        yard.calm = calm
        for load in (0.0, 1.0):
            sheet = pygame.Surface(yard.surface.get_size())
            sheet.fill((255, 255, 255))
            Effects(yard.here).draw_exhaust(sheet, (490.0, 400.0), FRAME_S, 1.0, load, 1.0)
            spots = [(x, y) for x in range(450, 700, 2) for y in range(300, 420, 2)]
            found[calm, load] = sum(sheet.get_at(spot)[0] for spot in spots)
    for calm in (False, True):
        assert found[calm, 1.0] < found[calm, 0.0] < 255 * 125 * 60


# --- hoses --------------------------------------------------------------------------------------------------


def test_a_rope_lies_on_the_ground_and_on_what_stands_out() -> None:
    ropes = Ropes()
    ropes.bar("ground", (-500.0, 306.0), (900.0, 306.0), 6.0)
    ropes.bar("drawbar", (150.0, 240.0), (210.0, 240.0), 8.0)
    ropes.add("free", (40.0, 200.0), (320.0, 200.0), 4.0)
    ropes.fix("free", (320.0, 200.0), 1.9)
    for _ in range(240):
        ropes.step(FRAME_S)
    points = ropes.points("free")
    assert max(y for _, y in points) <= 300.0 - 4.0 + 1.5, "through the ground"
    assert sum(y > 285.0 for _, y in points) >= 3, "not down on it"
    over = [y for x, y in points if 155.0 < x < 205.0]
    assert max(over, default=0.0) <= 240.0 - 8.0 - 4.0 + 2.5, "through the drawbar"
    ropes.remove("free")
    ropes.step(FRAME_S)
    assert ropes.names() == []


def test_a_kink_folds_a_rope_where_it_is_bent_most_and_springs_back() -> None:
    ropes = Ropes()
    ropes.add("hose", (100.0, 100.0), (300.0, 100.0), 4.0)
    ropes.fix("hose", (300.0, 100.0), 1.3)
    for _ in range(120):
        ropes.step(FRAME_S)
    _, before = ropes.tightest("hose")
    ropes.kink("hose", 0.8)
    fold, _ = ropes.kinked("hose")
    assert 2 <= fold < NODES
    for _ in range(120):
        ropes.step(FRAME_S)
    points = ropes.points("hose")
    assert bend_radius(*points[fold - 1 : fold + 2]) < 0.6 * before
    ropes.kink("hose", 0.0)
    assert ropes.kinked("hose") == (0, 0.0)
    for _ in range(120):
        ropes.step(FRAME_S)
    assert ropes.tightest("hose")[1] > 0.8 * before


def test_a_kinked_hose_is_seen_to_be_pinched() -> None:
    points = [(20.0 + 10 * step, 50.0) for step in range(13)]
    tall = {}
    for flat in (0.0, 0.8):
        sheet = pygame.Surface((160, 100))
        draw_tube(sheet, points, 20.0, 20.0, (90, 90, 90), (30, 30, 30), (90, 90, 90), (6, flat))
        tall[flat] = sum(sheet.get_at((80, y))[:3] == (90, 90, 90) for y in range(100))
    assert tall[0.8] < 0.7 * tall[0.0]


def test_flatness_begins_at_the_least_radius_the_core_judges_by() -> None:
    assert flatness(180_000, 180_000) == 0.0
    assert flatness(179_000, 180_000) > 0.0
    assert flatness(5, 0) == flatness(math.inf, 180_000) == 0.0


@given(st.floats(1.0, 1.15))
def test_a_hanging_hose_is_as_long_as_it_is(longer: float) -> None:
    """Length of a parabola along its points against the figure it was made from, as near as the first two
    terms of its series are for so flat an arc."""
    sag = hang(1.0, longer)
    dots = [(t / 200, 4 * sag * (t / 200) * (1 - t / 200)) for t in range(201)]
    assert sum(map(math.dist, dots, dots[1:])) == pytest.approx(longer, rel=0.02)


# --- the camera ---------------------------------------------------------------------------------------------


def test_the_camera_glides_to_the_place_walked_to(sit: Callable[..., Sitting]) -> None:
    def shown(calm: bool) -> list[bytes]:
        sitting = sit(reduced_motion=calm)
        shell = sitting.begin()
        sitting.frame(40)
        shell.shown = "seat"
        found = []
        for _ in range(round(GLIDE_S / FRAME_S) + 4):
            sitting.frame()
            stage = sitting.program.surface.subsurface(shell.stage)
            found.append(pygame.image.tobytes(stage, "RGB"))
        return found

    moving, still = shown(False), shown(True)
    assert changed(moving[3], moving[-1]) > 20 * changed(still[3], still[-1])
    assert changed(moving[-1], still[-1]) < len(still[-1]) / 3 * 0.02


def test_every_walk_has_a_way() -> None:
    places = ("yard", "seat", "panel", "hitch", "implement", "bench")
    for old in places:
        for new in places:
            assert (beside(old, new) == "") == (old == new)
            if "yard" not in (old, new) and old != new:
                assert {beside(old, new), beside(new, old)} == {"left", "right"}


# --- stillness, truth, cost ---------------------------------------------------------------------------------


def everything_moving(yard: Ground) -> None:
    """Engine and fan at full speed, a burst seal that throws oil, open dirty ends."""
    state, case = yard.state, yard.case
    works = tuple(
        replace_work(work) if function.kind == "fan" else work
        for function, work in zip(case.implement.functions, state.works, strict=True)
    )
    count = len(state.hose_at)
    yard.change(
        engine=True,
        engine_mrev_min=2_100_000,
        pump_pa=15_000_000,
        pump_mm3_s=1_000_000,
        works=works,
        lost_oil_mm3=800_000,
        hose_clean=(False,) * count,
        hose_capped=(False,) * count,
    )


def replace_work(work: Working) -> Working:
    return work._replace(speed_mrad_s=450_000, blown=True, flow_mm3_s=500_000, case_pa=1_500_000)


@pytest.mark.parametrize("station", ["yard", "seat", "panel", "hitch", "implement", "bench"])
def test_with_motion_reduced_nothing_moves_by_itself(yard: Ground, station: str) -> None:
    def differing(calm: bool) -> int:
        yard.calm = calm
        everything_moving(yard)
        yard.stand(station)
        yard.frame(90)
        before = seen(yard)
        yard.frame(40)
        return changed(before, seen(yard))

    assert differing(True) == 0
    if station in ("yard", "panel", "implement"):
        assert differing(False) > 40


def test_what_is_seen_changes_nothing_that_is_judged(yard: Ground) -> None:
    everything_moving(yard)
    for station in ("yard", "panel", "hitch", "implement", "seat"):
        yard.stand(station)
        before = digest(yard.state)
        yard.frame(20)
        assert digest(yard.state) == before


def test_effects_cost_a_small_share_of_a_frame(yard: Ground) -> None:
    yard.stand("panel")
    here: Handwork = yard.here
    effects = Effects(here)
    for number in range(2):
        effects.jet((300.0 + 200 * number, 200.0), 90.0, 2e7)
        effects.leak(f"leak {number}", (300.0, 300.0), 90.0, 1e7)
    took = []
    for _ in range(60):
        effects.leak("leak 0", (300.0, 300.0), 90.0, 1e7)
        for number in range(6):
            effects.drip(f"drip {number}", (200.0 + 60 * number, 500.0), 2.0)
        began = time.perf_counter()
        effects.update(FRAME_S)
        effects.draw(yard.surface)
        took.append(time.perf_counter() - began)
    # A third of what a whole frame may take; by the quicker half, as other work may run beside this.
    assert sorted(took)[20] < 0.008 / 3
