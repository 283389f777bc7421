"""A photo of one's own tractor at the rear panel: seen where the file says, worked by hand as the drawn one.

The picture is invented and drawn here; no photo of a real machine is kept anywhere.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pygame
import pytest
from hypothesis import given
from hypothesis import strategies as st

from test_stations import Ground, by_hand
from trainer import app
from trainer.authoring.compile import Job, folders_of, load_job
from trainer.authoring.new import new_file
from trainer.authoring.orders import actions_of, answer_items
from trainer.authoring.photos import LEAST_APART, ROOM, photo_of, photo_problems, scale_in_room
from trainer.core.actions import from_line
from trainer.core.attempt import Attempt
from trainer.core.case import Photo
from trainer.scene import stations
from trainer.scene.stations.hands import Handwork
from trainer.scene.stations.photo import FRAME, PhotoLayout

WIDE, TALL = 1600, 1000
MARK = (230, 20, 210)
"""A colour that nothing drawn has, at a corner of the picture."""
WAYS = [((1280, 720), 1.0), ((1920, 1080), 1.0), ((1280, 720), 2.0)]


def places(job: Job) -> dict[str, tuple[int, int]]:
    """Two rows of valve ports, the others below, as somebody would find them on a photo."""
    tractor = job.case.tractor
    found: dict[str, tuple[int, int]] = {}
    for port in tractor.ports:
        if port.kind in ("extend", "retract"):
            found[port.name] = (520 + 170 * port.valve, 180 if port.kind == "extend" else 330)
        elif port.kind == "pto":
            found[port.name] = (800, 760)
    rest = [thing.name for thing in (*tractor.ports, *tractor.sockets) if thing.name not in found]
    return found | {name: (180 + 190 * at, 540) for at, name in enumerate(rest)}


@pytest.fixture(scope="module")
def own(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A folder of somebody's own, and the job in it."""
    folder = tmp_path_factory.mktemp("own")
    tractor = new_file("tractor", "blue_one", folder, "three_point", "", "", "couple")
    job = new_file("job", "spring/plant", folder, "", "blue_one", "planter_8row", "couple")
    at = places(load_job(job))
    picture = pygame.Surface((WIDE, TALL))
    picture.fill((88, 96, 84))
    for x, y in at.values():
        pygame.draw.circle(picture, (150, 152, 155), (x, y), 48)
        pygame.draw.circle(picture, (25, 26, 28), (x, y), 30)
    pygame.draw.rect(picture, MARK, (0, TALL - 60, 60, 60))
    (tractor.parent / "photos").mkdir()
    pygame.image.save(picture, tractor.parent / "photos" / "rear.png")
    listed = "".join(f"    {name}: [{x}, {y}]\n" for name, (x, y) in at.items())
    photo = f"photo:\n  picture: photos/rear.png\n  size: [{WIDE}, {TALL}]\n  places:\n{listed}"
    tractor.write_text(tractor.read_text("utf-8") + photo, "utf-8")
    return folder, job


@pytest.fixture(scope="module")
def job(own: tuple[Path, Path]) -> Job:
    return load_job(own[1])


def standing(job: Job, path: Path, size: tuple[int, int] = (1280, 720), text_scale: float = 1.0) -> Ground:
    """A yard with the machines together and someone at the panel, the photo at hand."""
    yard = Ground(job.case, size, text_scale)
    yard.art.photo = photo_of(job.files, job.name, folders_of(path))
    yard.places = stations.make(yard)
    yard.change(gap_um=0)
    yard.stand("panel")
    yard.here.enter()
    yard.frame(2)
    return yard


def middle(yard: Ground, name: str) -> tuple[float, float]:
    """Where a place of the picture is seen, in pixels of the window."""
    x, y = places_seen(yard)[name]
    return yard.here.view.at(x, y)


def places_seen(yard: Ground) -> dict[str, tuple[float, float]]:
    scale = min(ROOM[0] / WIDE, ROOM[1] / TALL)
    left = FRAME[0] + (ROOM[0] - WIDE * scale) / 2
    top = FRAME[1] + (ROOM[1] - TALL * scale) / 2
    photo = yard.case.tractor.photo
    assert photo is not None
    return {name: (left + x * scale, top + y * scale) for name, x, y in photo.places_px}


def test_there_is_nothing_wrong_with_the_photo(job: Job, own: tuple[Path, Path]) -> None:
    assert list(photo_problems(job.files, job.name, folders_of(own[1]))) == []


@pytest.mark.parametrize(("size", "text_scale"), WAYS)
def test_ports_lie_where_the_file_says_and_tags_can_be_read(
    job: Job, own: tuple[Path, Path], size: tuple[int, int], text_scale: float, monkeypatch: Any
) -> None:
    yard = standing(job, own[1], size, text_scale)
    corner = yard.here.view.at(*places_seen_corner())
    seen = yard.surface.get_at(corner)[:3]
    assert max(abs(one - other) for one, other in zip(seen, MARK, strict=True)) < 6
    for target in yard.here.targets():
        kind, _, name = target.id.partition(":")
        if kind in ("port", "socket"):
            assert math.dist(target.rect.center, middle(yard, name)) <= 2
            assert min(target.rect.size) >= 24
    tags: list[tuple[str, pygame.Rect]] = []
    plain: Callable[..., pygame.Rect] = Handwork.tag

    def listening(
        hand: Handwork, surface: pygame.Surface, tag: str, *given: Any, **named: Any
    ) -> pygame.Rect:
        tags.append((tag, plain(hand, surface, tag, *given, **named)))
        return tags[-1][1]

    monkeypatch.setattr(Handwork, "tag", listening)
    hoses = [hose for hose in job.case.implement.hoses if hose.role != "shaft"]
    ports = [port.form for port in job.case.tractor.ports]
    at = []
    for hose in job.case.implement.hoses:  # each on a port of its form
        at.append(ports.index(hose.form) if hose in hoses and hose.form in ports else -1)
        if at[-1] >= 0:
            ports[at[-1]] = ""
    yard.change(hose_at=tuple(at))
    yard.frame(2)
    tags.clear()
    yard.frame()
    on_picture = [(tag, box) for tag, box in tags if box.bottom < yard.here.view.at(0, 520)[1]]
    assert len(on_picture) >= len(job.case.tractor.ports) + sum(one >= 0 for one in at) - 1
    for index, (tag, box) in enumerate(on_picture):
        assert yard.stage.contains(box), tag
        for other, beside in on_picture[:index]:
            shared = box.clip(beside)
            assert shared.width * shared.height <= 0.2 * box.width * box.height, (tag, other)


def places_seen_corner() -> tuple[float, float]:
    """A point of the drawing inside the marked corner of the picture."""
    scale = min(ROOM[0] / WIDE, ROOM[1] / TALL)
    left = FRAME[0] + (ROOM[0] - WIDE * scale) / 2
    return left + 30 * scale, FRAME[1] + (ROOM[1] + TALL * scale) / 2 - 40 * scale


@pytest.mark.parametrize(("size", "text_scale"), WAYS[::2])
def test_all_that_is_done_at_the_panel_is_done_by_hand_on_the_photo(
    job: Job, own: tuple[Path, Path], size: tuple[int, int], text_scale: float
) -> None:
    yard = standing(job, own[1], size, text_scale)
    yard.attempt.state = Attempt(job.case, ()).state
    told = Attempt(job.case, ())
    done = []
    for item in answer_items(job):
        for action in actions_of(told, item):
            told.settle()
            assert told.do(action) is None
            told.settle()
            at_panel = yard.state.station == "panel" and action.word not in ("go", "read", "look", "wait")
            if at_panel:
                yard.here.enter()
                yard.frame()
                by_hand(yard, action)
                done.append(action.word)
            else:
                yard.do(action)
            yard.attempt.settle()
    assert yard.refused == []
    assert yard.state.ended == "handed in"
    assert {"wipe", "couple", "plug", "route"} <= set(done)
    assert done.count("couple") >= 8


def test_a_pulled_hose_comes_off_and_one_let_go_beside_goes_back(job: Job, own: tuple[Path, Path]) -> None:
    yard = standing(job, own[1])
    yard.drag("end:fan_drain", "port:case_drain")
    yard.drag("end:fan_drain", "rag")
    assert [line.split(":")[0] for line in yard.asked] == ["couple", "uncouple"]
    yard.asked.clear()
    yard.drag("end:lift_extend", (-round(300 * yard.scale), 0))
    assert yard.asked == []


def test_gauge_and_flow_meter_go_into_the_lines_of_the_photo(job: Job, own: tuple[Path, Path]) -> None:
    yard = standing(job, own[1])
    port = job.case.port("v1_extend")
    at = [port if hose.name == "fan_pressure" else -1 for hose in job.case.implement.hoses]
    yard.change(hose_at=tuple(at))
    yard.frame()
    lines = ["gauge: v5_extend", "flow_meter: fan_pressure"]
    for line in lines:
        by_hand(yard, from_line(line))
        yard.attempt.settle()
        yard.frame()
    assert (yard.asked, yard.refused) == (lines, [])
    for dial in ("gauge:read", "flow_meter:read"):
        assert yard.stage.contains(yard.target(dial).rect)
        yard.click(dial)
    assert yard.asked[-2:] == ["measure: gauge", "measure: flow_meter"]


def test_off_screen_pictures_show_it_too(job: Job, own: tuple[Path, Path]) -> None:
    attempt = Attempt(job.case, job.rules)

    def marked(**given: Any) -> int:
        seen = app.draw_offscreen(job, attempt, "panel", **given)
        return pygame.mask.from_threshold(seen, MARK, (6, 6, 6, 255)).count()

    assert marked(folder=own[0]) > 200
    assert marked() == 0  # the picture lies in a folder that was not named


def test_a_picture_that_does_not_open_leaves_the_drawn_panel(
    job: Job, own: tuple[Path, Path], tmp_path: Path
) -> None:
    whole = (own[0] / "machines" / "tractors" / "photos" / "rear.png").read_bytes()
    torn = tmp_path / "torn.png"
    torn.write_bytes(whole[:60] + b"\0" * 400)
    yard = Ground(job.case)
    yard.art.photo = torn
    yard.places = stations.make(yard)
    yard.change(gap_um=0)
    yard.stand("panel")
    yard.here.enter()
    yard.frame()
    yard.here.enter()
    assert yard.said == [yard.texts.say("stations.panel.no_photo")]
    yard.drag("end:fan_drain", "port:case_drain")
    assert yard.asked == ["couple: fan_drain to case_drain"]


@given(
    st.sets(st.tuples(st.integers(0, 11), st.integers(0, 7)), min_size=2, max_size=30),
    st.integers(300, 4000),
    st.integers(300, 4000),
)
def test_tags_stay_by_their_ports_and_in_the_frame(
    cells: set[tuple[int, int]], width: int, height: int
) -> None:
    least = LEAST_APART / scale_in_room(width, height)
    spots = [(x * least, y * least) for x, y in sorted(cells)]
    inside = tuple((f"p{at}", x, y) for at, (x, y) in enumerate(spots) if x <= width and y <= height)
    layout = PhotoLayout(Photo("x.png", width, height, inside), {name: "V1" for name, *_ in inside}, ["F-P"])
    left, top, wide, tall = layout.box
    assert left >= FRAME[0] - 1e-6
    assert top >= FRAME[1] - 1e-6
    assert wide <= ROOM[0] + 1e-6
    assert tall <= ROOM[1] + 1e-6
    for name, (x, y) in layout.places.items():
        assert left - 1e-6 <= x <= left + wide + 1e-6
        assert top - 1e-6 <= y <= top + tall + 1e-6
        own = math.dist(layout.tag_at[name], (x, y))
        nearest = min(math.dist(layout.tag_at[name], at) for at in layout.places.values())
        # Where a tag is not nearest to its own port, a line leads to it.
        assert own == nearest or own > layout.leader_from
    assert layout.size >= LEAST_APART / 84 - 1e-9 or len(inside) < 2
