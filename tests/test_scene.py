"""The window's frame without a screen: what it shows fits, and what it offers can be reached and done."""

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pygame
import pytest

from trainer.app import Program, bench, draw_offscreen
from trainer.authoring.compile import Job, load_job
from trainer.authoring.orders import actions_of, answer_items
from trainer.authoring.translation import translated
from trainer.authoring.whatif import Alternative, Edit
from trainer.core import engine
from trainer.core.actions import CONDITIONS, WORDS, Action, from_line
from trainer.core.attempt import Attempt
from trainer.core.case import STATIONS
from trainer.core.engine import digest
from trainer.lang import TextMissing, Texts
from trainer.records import attempt_file, journal, settings
from trainer.records.settings import MODES, Settings
from trainer.scene import palette
from trainer.scene.art import Art, ArtMissing
from trainer.scene.debrief import Debrief
from trainer.scene.desk import Desk
from trainer.scene.guide import LOOK_TICKS, Guide
from trainer.scene.kit import Kit, Target
from trainer.scene.planning import PlanBoard
from trainer.scene.replaying import Replaying
from trainer.scene.screens import FirstScreen, JobSheet
from trainer.scene.shell import Shell

COUPLE, UNCOUPLE = "first-week/couple", "first-week/uncouple"
SIZES = [(1280, 720), (1920, 1080)]
FRAME_S = 1 / 60


class Sitting:
    """Someone at the window: events go in, frames come out."""

    def __init__(self, size: tuple[int, int] = (1280, 720), **settings: object) -> None:
        self.program = Program(pygame.display.set_mode(size), Settings(**settings))  # type: ignore[arg-type]
        self.now_s = 0.0
        self.program.first()
        self.frame()

    @property
    def desk(self) -> Desk:
        return self.program.desk

    @property
    def kit(self) -> Kit:
        return self.desk.kit

    @property
    def shell(self) -> Shell:
        assert isinstance(self.desk.screen, Shell)
        return self.desk.screen

    def frame(self, count: int = 1) -> None:
        for _ in range(count):
            self.program.advance(FRAME_S)
            self.now_s += FRAME_S
            self.program.draw(self.now_s)

    def event(self, kind: int, **values: object) -> None:
        self.program.handle(pygame.event.Event(kind, **values))
        self.frame()

    def ids(self) -> list[str]:
        return [target.id for target in self.kit.targets]

    def target(self, ident: str) -> Target:
        target = self.kit.find(ident)
        assert target is not None, f"no target {ident}; there are {self.ids()}"
        return target

    def click(self, ident: str) -> None:
        at = self.target(ident).seen.center
        self.event(pygame.MOUSEMOTION, pos=at, rel=(0, 0), buttons=(0, 0, 0))
        self.event(pygame.MOUSEBUTTONDOWN, pos=at, button=1)
        self.event(pygame.MOUSEBUTTONUP, pos=at, button=1)

    def key(self, key: int, mod: int = 0, text: str = "") -> None:
        self.event(pygame.KEYDOWN, key=key, mod=mod, unicode=text)

    def to_key(self, ident: str) -> None:
        """Tab until a target has the focus."""
        for _ in range(len(self.kit.targets) + 1):
            self.key(pygame.K_TAB)
            if self.kit.focus == ident:
                return
        raise AssertionError(f"Tab never reaches {ident}; there are {self.ids()}")

    def until(self, predicate: Callable[[], bool], frames: int = 3000) -> None:
        for _ in range(frames):
            if predicate():
                return
            self.frame()
        raise AssertionError("it did not come about")

    def begin(self, job: str = COUPLE, mode: str = "guided") -> Shell:
        self.program.yard(translated(load_job(job), self.desk.texts), mode)
        self.frame()
        return self.shell


def sittings() -> Iterator[Callable[..., Sitting]]:
    """What the fixture `sit` yields, for other files of tests too."""
    made: list[Sitting] = []

    def make(size: tuple[int, int] = (1280, 720), **settings: object) -> Sitting:
        pygame.display.init()
        pygame.font.init()
        made.append(Sitting(size, **settings))
        return made[-1]

    yield make
    for sitting in made:
        sitting.program._close_journal()
    pygame.display.quit()


@pytest.fixture
def sit() -> Iterator[Callable[..., Sitting]]:
    yield from sittings()


@pytest.fixture(scope="module")
def couple() -> Job:
    return load_job(COUPLE)


def played(job: Job, leave_out: tuple[str, ...] = ()) -> Attempt:
    """The job's answer, without some words."""
    attempt = Attempt(job.case, job.rules)
    for item in answer_items(job):
        for action in actions_of(attempt, item):
            if action.word in leave_out:
                continue
            attempt.do(action)
            attempt.settle()
    return attempt


@pytest.fixture(scope="module")
def good(couple: Job) -> Attempt:
    return played(couple)


@pytest.fixture(scope="module")
def careless(couple: Job) -> Attempt:
    return played(couple, ("look", "wipe", "read"))


def every_kind_of_alternative(job: Job, attempt: Attempt) -> Iterator[Alternative]:
    """One for each finding, of every kind in turn, worked out beforehand."""
    did, put = (Action("go", "panel"),), tuple(from_line(line) for line in job.case.steps[0].actions)
    edits = [
        None,
        Edit("left_out", 0, did),
        Edit("instead", 0, did, put),
        Edit("first", 0, did, put),
        Edit("added", 0, did, put),
        Edit("later", 0, did, put),
        Edit("first", 0, did, put, job.answer[0]),
    ]
    for number, finding in enumerate(attempt.findings):
        edit = edits[number % len(edits)]
        findings = tuple(attempt.findings[number:])
        measured = None if number % 2 else finding.limit
        yield Alternative(finding, edit, attempt.score(), findings, measured, attempt.state.tick)


def screens(sitting: Sitting, job: Job, attempt: Attempt) -> Iterator[str]:
    """Put up every screen in turn."""
    yield "first"
    sitting.program.sheet(job.name)
    sitting.frame(2)
    yield "sheet"
    for paper in job.case.papers:
        assert isinstance(sitting.desk.screen, JobSheet)
        sitting.click(f"sheet.paper.{paper.name}")
        yield f"sheet with {paper.name}"
    for mode in MODES:
        sitting.desk.settings.mode = mode
        sitting.program.plan(job, plan=job.answer[:12])
        sitting.frame(2)
        yield f"plan board, {mode}"
    board = sitting.desk.screen
    assert isinstance(board, PlanBoard)
    for name in (board.pile[0], board.plan[3]):
        board.held = name
        sitting.frame(2)
        yield f"plan board with {name} picked up"
    for mode in MODES:
        shell = sitting.begin(job.name, mode)
        sitting.frame()
        yield f"yard, {mode}"
    for tab in ("job", "papers"):
        sitting.click(f"yard.side.{tab}")
        yield f"yard, {tab}"
    for paper in job.case.papers:
        shell.side._reader(paper.name)()
        sitting.until(lambda: not shell.busy)
        sitting.frame()
        yield f"yard with {paper.name}"
    for dialog in ("pause", "hand_in"):
        shell.dialog = dialog
        sitting.frame()
        yield f"dialog {dialog}"
    debrief = Debrief(sitting.desk, job, attempt, "practice", Path("pages"), job.answer[-2::-1])
    debrief.finish_drawing()
    debrief.review.stop()
    sitting.desk.show(debrief)
    sitting.frame(2)
    yield "debrief"
    debrief.review.others = dict(enumerate(every_kind_of_alternative(job, attempt), start=1))
    for row in debrief.rows:
        debrief.review.picked = row.number
        sitting.frame(2)
        yield f"debrief with finding {row.number} open"


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("percent", [100, 150, 200])
def test_every_screen_fits(
    sit: Callable[..., Sitting], couple: Job, careless: Attempt, size: tuple[int, int], percent: int
) -> None:
    sitting = sit(size, text_percent=percent)
    window = pygame.Rect((0, 0), size)
    shown = []
    for name in screens(sitting, couple, careless):
        shown.append(name)
        assert not sitting.kit.overflows, name
        ids = sitting.ids()
        assert len(set(ids)) == len(ids), name
        for target in sitting.kit.targets:
            if target.seen.size != (0, 0):
                assert window.contains(target.seen), (name, target)
        assert any(target.act is not None for target in sitting.kit.targets), name
    assert len(shown) > 12


def test_text_that_does_not_fit_is_reported(sit: Callable[..., Sitting]) -> None:
    kit, surface = sit().kit, pygame.Surface((400, 100))
    kit.begin(0.0)
    kit.button(surface, pygame.Rect(0, 0, 60, 20), "A label far too long for it", "a", lambda: None)
    kit.text(surface, "This is too wide by far", (0, 0), width=40)
    assert len(kit.overflows) == 2
    kit.begin(0.0)
    kit.button(surface, pygame.Rect(0, 0, 300, 40), "It fits", "a", lambda: None)
    assert not kit.overflows


def test_from_the_first_screen_to_the_rear_panel_by_mouse(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    over = sitting.target("first.mode.practice").seen.center
    sitting.event(pygame.MOUSEMOTION, pos=over, rel=(0, 0), buttons=(0, 0, 0))
    for _ in range(20):  # the list is longer than the window
        if sitting.target(f"first.job.{UNCOUPLE}").seen.height > 10:
            break
        sitting.event(pygame.MOUSEWHEEL, x=0, y=-1, precise_x=0.0, precise_y=-1.0)
    sitting.click(f"first.job.{UNCOUPLE}")
    for _ in range(20):
        sitting.event(pygame.MOUSEWHEEL, x=0, y=1, precise_x=0.0, precise_y=1.0)
    sitting.click("first.mode.practice")
    sitting.click("first.open")
    assert sitting.desk.screen.name == "sheet"
    sitting.click("sheet.start")
    shell = sitting.shell
    assert (shell.case.job, shell.mode) == (UNCOUPLE, "practice")
    begun = shell.state.tick
    sitting.click("yard.go.panel")
    sitting.until(lambda: shell.state.station == "panel" and not shell.busy)
    assert shell.state.tick > begun
    assert shell.attempt.log[-1].action == Action("go", "panel")


def test_from_the_first_screen_to_the_hand_in_by_keys(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    sitting.to_key("first.name")
    sitting.key(pygame.K_RETURN)
    sitting.event(pygame.TEXTINPUT, text="Ana")
    sitting.key(pygame.K_m, text="m")
    assert sitting.desk.settings.name == "Ana"
    assert not sitting.desk.settings.metric
    sitting.key(pygame.K_RETURN)
    sitting.to_key("first.open")
    sitting.key(pygame.K_RETURN)
    sitting.to_key("sheet.start")
    sitting.key(pygame.K_RETURN)
    shell = sitting.shell
    sitting.to_key("yard.go.seat")
    sitting.key(pygame.K_SPACE)
    sitting.until(lambda: shell.state.station == "seat" and not shell.busy)
    sitting.to_key("yard.hand_in")
    sitting.key(pygame.K_RETURN)
    assert sitting.ids() == ["dialog.hand_in", "dialog.back"]
    sitting.key(pygame.K_ESCAPE)
    assert shell.dialog == ""
    sitting.to_key("yard.hand_in")
    sitting.key(pygame.K_RETURN)
    sitting.key(pygame.K_RETURN)
    sitting.until(lambda: shell.dialog == "ended")
    sitting.frame()
    sitting.key(pygame.K_RETURN)
    assert sitting.desk.screen.name == "debrief"
    assert len(journal.finished()) == 1


@pytest.mark.parametrize("station", STATIONS)
def test_tab_reaches_all_that_can_be_done_at_a_station(sit: Callable[..., Sitting], station: str) -> None:
    sitting = sit()
    shell = sitting.begin()
    shell.do(Action("go", station))
    sitting.until(lambda: shell.state.station == station and not shell.busy)
    sitting.frame(30)
    wanted = {t.id for t in sitting.kit.targets if t.act is not None or t.step is not None}
    assert any(not ident.startswith("yard.") or ident.count(".") > 2 for ident in wanted)
    reached = set()
    for _ in range(len(wanted) + 2):
        sitting.key(pygame.K_TAB)
        reached.add(sitting.kit.focus)
    assert wanted <= reached


def test_papers_looked_through_before_the_start_are_on_record(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    sitting.program.sheet(COUPLE)
    sitting.frame()
    sitting.click("sheet.paper.hitch_card")
    sitting.click("sheet.start")
    shell = sitting.shell
    sitting.until(lambda: not shell.busy)
    assert [entry.action for entry in shell.attempt.log] == [Action("read", "hitch_card")]
    assert shell.state.papers == ("hitch_card",)


def test_actions_wait_for_the_hands_and_a_refusal_drops_the_rest(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    shell = sitting.begin()
    shell.do(Action("go", "seat"))
    shell.do(Action("key", "on"))
    sitting.until(lambda: not shell.busy)
    assert shell.state.key == "on"
    assert [entry.refused for entry in shell.attempt.log] == ["", ""]
    shell.do(Action("reverse", "in"))
    shell.do(Action("key", "off"))
    sitting.until(lambda: not shell.busy)
    assert shell.attempt.log[-1].refused == "engine_stands"
    assert shell.state.key == "on"
    assert shell.messages[-1].kind == "refused"
    assert shell.messages[-1].text == shell.texts.say("refusals.engine_stands")


def test_time_runs_faster_while_the_hands_are_busy_and_stands_in_a_pause(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    shell = sitting.begin()
    before = shell.state.tick
    sitting.frame(60)
    assert shell.state.tick - before == pytest.approx(20, abs=1)
    shell.do(Action("wait", amount=60_000))
    sitting.frame(3)
    before = shell.state.tick
    sitting.frame(60)
    assert shell.state.tick - before == pytest.approx(600, abs=2)
    sitting.key(pygame.K_ESCAPE)
    before = shell.state.tick
    sitting.frame(60)
    assert shell.dialog == "pause"
    assert shell.state.tick == before


def test_fast_forward_lasts_as_long_as_it_is_held(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    shell = sitting.begin()
    at = sitting.target("yard.fast").rect.center
    sitting.event(pygame.MOUSEBUTTONDOWN, pos=at, button=1)
    before = shell.state.tick
    sitting.frame(30)
    assert shell.state.tick - before == pytest.approx(600, abs=2)
    sitting.event(pygame.MOUSEBUTTONUP, pos=at, button=1)
    before = shell.state.tick
    sitting.frame(30)
    assert shell.state.tick - before == pytest.approx(10, abs=1)


def test_a_press_of_the_key_passes_a_second_or_what_the_hands_still_need(
    sit: Callable[..., Sitting],
) -> None:
    sitting = sit()
    shell = sitting.begin()
    before = shell.state.tick
    shell.handle(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_f, mod=0, unicode="f"))
    assert shell.state.tick - before == 20
    shell.do(Action("wait", amount=1_500))
    shell.tick()
    begun, free_at = shell.state.tick, shell.state.busy_until
    for passed in (begun + 20, free_at):
        shell.handle(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_f, mod=0, unicode="f"))
        assert shell.state.tick == passed


def test_guided_mode_offers_the_next_safe_steps_with_their_reasons(
    sit: Callable[..., Sitting], couple: Job
) -> None:
    shell = sit().begin()
    offered = shell.guide.next_steps()
    assert offered
    for step in offered:
        assert all(edge.before in shell.guide.done for edge in step.after)
        assert shell.kit.find(f"yard.how.{step.name}") is not None
    assert any(shell.guide.reason(step) is not None for step in offered)
    assert len(shell.guide.done) < len(couple.case.steps)


@pytest.mark.parametrize(("mode", "offers"), [("practice", False), ("check_out", False)])
def test_other_modes_offer_nothing_unasked(sit: Callable[..., Sitting], mode: str, offers: bool) -> None:
    sitting = sit()
    sitting.begin(COUPLE, mode)
    assert any(ident.startswith("yard.how.") for ident in sitting.ids()) is offers
    if mode == "check_out":
        assert "yard.side.help" not in sitting.ids()
        assert "yard.side.next" not in sitting.ids()
    else:
        sitting.click("yard.help")
        assert any(ident.startswith("yard.how.") for ident in sitting.ids())


@pytest.mark.parametrize("name", [COUPLE, UNCOUPLE])
def test_the_guide_follows_the_answer_to_its_end(name: str) -> None:
    job = load_job(name)
    attempt, guide = Attempt(job.case, job.rules), Guide(job.case)
    guide.look(attempt)
    assert guide.done == guide.given
    assert guide.count == 0

    def pass_time() -> None:
        while attempt.state.busy_until > attempt.state.tick and not attempt.state.ended:
            attempt.run()
            if attempt.state.tick % LOOK_TICKS == 0:
                guide.look(attempt)
        guide.look(attempt)

    for item in answer_items(job):
        if item.step and item.step not in guide.done:
            assert item.step in [step.name for step in guide.next_steps()]
        for action in actions_of(attempt, item):
            attempt.do(action)
            pass_time()
            handed_in = attempt.state.ended == "handed in"
            assert ("hand_over" in guide.done) == handed_in
    assert attempt.state.ended == "handed in"
    assert not guide.given
    assert guide.count == len(job.case.steps)
    assert guide.done == {step.name for step in job.case.steps}
    assert not guide.next_steps()
    assert Guide.after(attempt).done == guide.done


def test_an_attempt_left_off_goes_on_where_it_stood(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    shell = sitting.begin(COUPLE, "check_out")
    shell.do(Action("go", "hitch"))
    shell.do(Action("drawbar", "stow"))
    sitting.until(lambda: not shell.busy)
    kept = digest(shell.state)
    sitting.key(pygame.K_ESCAPE)
    sitting.click("dialog.leave")
    assert sitting.desk.screen.name == "first"
    sitting.click("first.resume")
    again = sitting.shell
    assert again is not shell
    assert again.mode == "check_out"
    assert again.state.drawbar_stowed
    assert again.attempt.log == shell.attempt.log
    assert digest(again.state) == kept or again.state.tick > shell.attempt.log[-1].tick


def test_a_station_that_hands_in_is_asked_first(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    shell = sitting.begin()
    shell.do(Action("hand_in"))
    sitting.frame(2)
    assert shell.dialog == "hand_in"
    sitting.click("dialog.back")
    sitting.frame(2)
    assert not shell.state.ended
    shell.do(Action("hand_in"))
    sitting.frame()
    sitting.click("dialog.hand_in")
    sitting.until(lambda: shell.dialog == "ended")
    assert shell.state.ended == "handed in"


def test_a_paper_taken_from_the_bench_is_shown_beside_the_stage(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    shell = sitting.begin(COUPLE, "check_out")
    shell.do(Action("read", "weights"))
    sitting.until(lambda: not shell.busy)
    assert (shell.side.tab, shell.side.paper) == ("papers", "weights")
    assert shell.state.papers == ("weights",)


def test_the_debrief_tells_what_was_found_and_saves_a_page(
    sit: Callable[..., Sitting], couple: Job, careless: Attempt, tmp_path: Path
) -> None:
    sitting = sit()
    debrief = Debrief(sitting.desk, couple, careless, "check_out", tmp_path / "pages")
    debrief.finish_drawing()
    sitting.desk.show(debrief)
    sitting.frame(2)
    assert not debrief.score.passed
    assert sorted(row.number for row in debrief.rows) == list(range(1, len(careless.findings) + 1))
    assert {row.severity for row in debrief.rows} <= set(palette.SEVERITY)
    sitting.click("debrief.save")
    sitting.click("debrief.save")
    pages = sorted((tmp_path / "pages").iterdir())
    assert len(pages) == 2
    assert "<html" in pages[0].read_text("utf-8")
    sitting.click("debrief.jobs")
    assert sitting.desk.screen.name == "first"


def test_a_replay_comes_to_the_same_end(sit: Callable[..., Sitting], careless: Attempt) -> None:
    sitting = sit()
    replaying = Replaying(sitting.desk, careless)
    sitting.desk.show(replaying)
    sitting.frame()
    before = len(replaying.attempt.log)
    sitting.click("replay.next")
    assert len(replaying.attempt.log) == before + 1
    replaying.do(Action("hand_in"))
    while replaying.state.tick < careless.state.tick and not replaying.state.ended:
        replaying.tick()
    assert digest(replaying.state) == digest(careless.state)
    assert [finding.rule for finding in replaying.attempt.findings] == [f.rule for f in careless.findings]


@pytest.mark.parametrize("place", [*STATIONS, "debrief"])
def test_pictures_can_be_taken_without_a_window(couple: Job, good: Attempt, place: str) -> None:
    before = digest(good.state)
    picture = draw_offscreen(couple, good, place, (1280, 720))
    assert picture.get_size() == (1280, 720)
    pixels = pygame.transform.scale(picture, (160, 90))
    colours = {tuple(pixels.get_at((x, y))) for x in range(160) for y in range(90)}
    assert len(colours) > 100
    assert digest(good.state) == before


def test_frames_can_be_timed(couple: Job) -> None:
    found = bench(couple, frames=12)
    assert 0 < found.bare.p50_ms <= found.bare.p99_ms
    assert 0 < found.panel.p50_ms <= found.panel.p99_ms
    assert found.ratio == pytest.approx(found.panel.p50_ms / found.bare.p50_ms, abs=0.06)
    assert found.walk_ms > 0


def test_targets_are_told_in_a_file(
    sit: Callable[..., Sitting], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "targets.json"
    monkeypatch.setenv("COUPLING_YARD_TARGETS", str(path))
    sitting = sit()
    told = json.loads(path.read_text("utf-8"))
    assert told["screen"] == "first"
    assert told["targets"]["first.open"] == list(sitting.target("first.open").rect)
    sitting.begin()
    sitting.frame(60)
    told = json.loads(path.read_text("utf-8"))
    assert (told["screen"], told["station"], told["busy"], told["ended"]) == ("yard", "yard", False, "")
    assert told["tick"] == sitting.shell.state.tick
    assert list(tmp_path.glob("targets*")) == [path]


def test_units_and_text_size_change_at_a_key(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    assert sitting.desk.amount("pressure", 500_000) == "73 psi"
    sitting.key(pygame.K_m)
    assert sitting.desk.amount("pressure", 500_000) == "5.0 bar"
    low = sitting.kit.line()
    sitting.key(pygame.K_EQUALS, pygame.KMOD_CTRL)
    assert sitting.desk.settings.text_percent == 125
    assert sitting.kit.line() > low
    for _ in range(9):
        sitting.key(pygame.K_MINUS, pygame.KMOD_CTRL)
    assert sitting.desk.settings.text_percent == 100


def test_a_job_that_cannot_be_read_is_told_on_the_first_screen(
    sit: Callable[..., Sitting], tmp_path: Path
) -> None:
    sitting = sit()
    bad = tmp_path / "bad.yaml"
    bad.write_text("title: nothing else\n", "utf-8")
    sitting.desk.go("sheet", str(bad))
    sitting.frame()
    assert sitting.desk.screen is not None
    assert sitting.desk.screen.name == "first"
    assert sitting.ids() == ["trouble.ok"]
    sitting.key(pygame.K_RETURN)
    assert "first.open" in sitting.ids()


def test_an_attempt_that_cannot_go_on_can_be_put_away(sit: Callable[..., Sitting]) -> None:
    sitting = sit()
    sitting.begin().do(Action("go", "hitch"))
    sitting.until(lambda: not sitting.shell.busy)
    sitting.program.leave()
    path = journal.pending()
    assert path is not None
    chain, moved = attempt_file.Chain(), []
    for line in path.read_text("utf-8").splitlines():  # as a program writes it whose yard moves otherwise
        value = {key: each for key, each in json.loads(line).items() if key != "chain"}
        if "do" in value:
            value["digest"] = "0123456789abcdef"
        moved.append(chain.seal(json.dumps(value, sort_keys=True, separators=(",", ":")) + "\n"))
    path.write_text("".join(moved), "utf-8")
    sitting.frame()
    sitting.click("first.resume")
    assert sitting.ids() == ["trouble.ok"]
    sitting.key(pygame.K_RETURN)
    sitting.click("first.set_aside")
    assert journal.pending() is None
    assert "first.resume" not in sitting.ids()


def test_trouble_with_the_settings_is_told_once(sit: Callable[..., Sitting]) -> None:
    path = settings.path_of()
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("{broken", "utf-8")
    sitting = sit()
    sitting.program = Program(pygame.display.get_surface())
    sitting.program.first()
    sitting.frame()
    sitting.click("trouble.ok")
    sitting.program.first()
    sitting.frame()
    assert "trouble.ok" not in sitting.ids()
    assert [file.read_text("utf-8") for file in path.parent.glob("settings-kept-*")] == ["{broken"]


def test_an_attempt_that_was_edited_is_named_once_on_the_first_screen_and_left(
    sit: Callable[..., Sitting],
) -> None:
    begun = journal.start(load_job(COUPLE))
    begun.do(Action("look", "area"))
    begun.close()
    header, line = begun.path.read_text("ascii").splitlines(keepends=True)
    edited = header + line.replace("look: area", "look: lines")
    assert edited != header + line
    begun.path.write_text(edited, "ascii")
    sitting = sit()
    first = sitting.desk.screen
    assert isinstance(first, FirstScreen)
    assert str(begun.path) in first.trouble
    assert "line 2" in first.trouble
    sitting.click("trouble.ok")
    assert "first.resume" not in sitting.ids()
    sitting.program.first()
    sitting.frame()
    assert "trouble.ok" not in sitting.ids()
    assert begun.path.read_text("ascii") == edited


def test_a_disk_that_does_not_take_it_is_told_and_the_work_goes_on(
    sit: Callable[..., Sitting], capsys: pytest.CaptureFixture[str]
) -> None:
    sitting = sit()
    sitting.program.yard(load_job(COUPLE), "practice")
    kept = sitting.program.journal
    assert kept is not None

    def full(line: str) -> None:
        raise OSError(28, "No space left on device")

    writer, kept._writer.write = kept._writer, full  # type: ignore[method-assign]
    kept.do(Action("look", "area"))
    before = pygame.image.tobytes(sitting.program.surface, "RGB")
    sitting.frame()
    assert kept.trouble == "No space left on device"
    assert pygame.image.tobytes(sitting.program.surface, "RGB") != before
    sitting.program.first()
    assert sitting.program.unsaved == [kept]
    sitting.frame()
    sitting.program._rescue()
    rescued = Path(capsys.readouterr().err.strip().rpartition(": ")[2])
    assert [one.action for one in journal.resume(rescued).attempt.log] == [Action("look", "area")]
    rescued.unlink()
    assert writer.closed


# --- the kit -----------------------------------------------------------------------------------------------


@pytest.fixture
def kit() -> Kit:
    pygame.font.init()
    kit = Kit(Art().folder / "fonts")
    kit.begin(0.0)
    return kit


def test_lines_break_between_words_and_keep_them_all(kit: Kit) -> None:
    text = "The oil of a motor's case leaves through the case drain, never through a valve."
    lines = kit.wrap(text, 160)
    assert len(lines) > 3
    assert " ".join(lines) == text
    assert all(kit.width(line) <= 160 for line in lines)
    long = kit.wrap("Donaudampfschifffahrtsgesellschaftskapitän", 120)
    assert "".join(long) == "Donaudampfschifffahrtsgesellschaftskapitän"
    assert all(kit.width(line) <= 120 for line in long)
    assert kit.wrap("one\n\ntwo", 200) == ("one", "", "two")


def test_a_text_of_nothing_is_drawn(kit: Kit) -> None:
    assert kit.picture("").get_height() == kit.picture("x").get_height()
    assert kit.cut("A long line of text", kit.width("A long")).endswith("…")


def test_the_font_has_what_the_texts_need(kit: Kit) -> None:
    texts = Texts.load("en")
    said = [texts.say(key, **dict.fromkeys(texts.gaps(key), "")) for key in texts.under()]
    letters = sorted(set("".join(said)))
    letters += list("áéíóúüñ¿¡ÁÑ½¼¾⅜←→↑↓±≤≥°×−–…·")
    font = kit.font(20)
    missing = pygame.image.tobytes(font.render("\U0010fffd", True, (0, 0, 0)), "RGBA")
    for letter in letters:
        if letter.strip():
            assert pygame.image.tobytes(font.render(letter, True, (0, 0, 0)), "RGBA") != missing, letter


def test_a_dialog_takes_everything_below_out_of_reach(kit: Kit) -> None:
    surface = pygame.Surface((1280, 720))
    done: list[str] = []
    kit.button(surface, pygame.Rect(0, 0, 90, 40), "Below", "below", lambda: done.append("below"))
    kit.dialog(surface, "Sure?", "", [("yes", "Yes", "strong", lambda: done.append("yes"))])
    kit.end(surface)
    assert [target.id for target in kit.targets] == ["yes"]
    assert kit.at((10, 10)) is None
    kit.handle(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_RETURN, mod=0))
    assert done == ["yes"]


def test_a_click_counts_only_where_it_began(kit: Kit) -> None:
    surface = pygame.Surface((400, 100))
    done: list[str] = []
    kit.button(surface, pygame.Rect(0, 0, 90, 40), "One", "one", lambda: done.append("one"))
    kit.button(surface, pygame.Rect(100, 0, 90, 40), "Two", "two", lambda: done.append("two"))
    kit.button(surface, pygame.Rect(200, 0, 90, 40), "Off", "off", lambda: done.append("off"), enabled=False)
    down, up = pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP
    for start, end in (((10, 10), (110, 10)), ((110, 10), (110, 12)), ((210, 10), (210, 10))):
        kit.handle(pygame.event.Event(down, pos=start, button=1))
        kit.handle(pygame.event.Event(up, pos=end, button=1))
    assert done == ["two"]


def test_focus_brings_what_is_scrolled_away_into_view(kit: Kit) -> None:
    surface = pygame.Surface((300, 100))

    def draw() -> None:
        kit.begin(0.0)
        with kit.scroll(surface, "list", pygame.Rect(0, 0, 300, 100)) as view:
            for number in range(12):
                box = pygame.Rect(view.left, view.top + number * 40, 200, 36)
                kit.button(surface, box, str(number), f"row.{number}", lambda: None)
            view.bottom = view.top + 12 * 40
        kit.end(surface)

    draw()
    assert kit.find("row.7").seen.size == (0, 0) or not kit.find("row.7").seen  # type: ignore[union-attr]
    for _ in range(8):
        kit.move_focus(1)
        draw()
    target = kit.find("row.7")
    assert target is not None
    assert kit.focus == "row.7"
    assert target.seen == target.rect
    kit.handle(pygame.event.Event(pygame.MOUSEMOTION, pos=(20, 20)))
    kit.handle(pygame.event.Event(pygame.MOUSEWHEEL, y=-50))
    draw()
    assert kit.areas["list"].offset == kit.areas["list"].most == 12 * 40 - 100


def test_text_can_be_read_on_what_it_is_written_on() -> None:
    p = palette
    pairs = [
        (p.INK, p.PAPER),
        (p.INK, p.SHEET),
        (p.INK, p.ACCENT_PALE),
        (p.MUTED, p.PAPER),
        (p.MUTED, p.SHEET),
        (p.ACCENT_DARK, p.PAPER),
        (p.ACCENT_DARK, p.SHEET),
        ((255, 255, 255), p.ACCENT),
        (p.BAR_INK, p.BAR),
        (p.BAR_INK, p.BAR_RAISED),
        (p.BAR_MUTED, p.BAR),
        (p.BAR_MUTED, p.BAR_RAISED),
    ]
    assert all(p.contrast(*pair) >= 4.5 for pair in pairs), [p.contrast(*pair) for pair in pairs]
    seen = [(p.EDGE, p.PAPER), (p.EDGE, p.SHEET), (p.ACCENT, p.PAPER), (p.ACCENT_LIGHT, p.BAR_EDGE)]
    assert all(p.contrast(*pair) >= 3.0 for pair in seen), [p.contrast(*pair) for pair in seen]
    # A sign of a severity has an edge of ink, and the edge stands out from the paper and from its filling.
    for sign, colour in p.SEVERITY.values():
        assert sign
        assert p.contrast(colour, p.INK) >= 3.0


# --- texts -------------------------------------------------------------------------------------------------


def test_there_is_a_text_for_everything_the_frame_can_say() -> None:
    texts = Texts.load("en")
    for name in CONDITIONS:
        assert texts.say(f"screens.conditions.{name}")
    for word in WORDS.values():
        things = word.thing if isinstance(word.thing, tuple) else ("",)
        for thing in things:
            keys = (f"screens.doing.{word.name}", f"screens.doing.{word.name}_{thing}")
            assert any(texts.has(key) for key in keys), keys
    for station in STATIONS:
        assert texts.say(f"screens.stations.{station}")
        assert texts.say(f"screens.station_hints.{station}")


def test_a_drawing_that_is_not_there_is_told() -> None:
    art = Art()
    with pytest.raises(ArtMissing, match=r"no drawing nothing\.svg"):
        art.picture("nothing")
    with pytest.raises(ArtMissing, match=r"panel_ports\.v9_extend"):
        art.note("panel_ports", "v9_extend")
    x, y = art.note("panel_ports", "v1_extend")
    assert 0 < x < 1280
    assert 0 < y < 720


def test_a_language_that_is_not_there_is_told() -> None:
    with pytest.raises(TextMissing, match="no texts for the language 'xx'"):
        Texts.load("xx")


def test_there_is_a_line_for_everything_that_can_happen() -> None:
    texts = Texts.load("en")
    core = Path(engine.__file__).parent
    source = "".join((core / f"{name}.py").read_text("utf-8") for name in ("engine", "motion", "towing"))
    kinds = set(re.findall(r'\b(?:tell|note)\(\s*"(\w+)"', source))
    assert {"coupled", "seal_blown", "refused"} <= kinds
    keys = texts.under("events")
    missing = [kind for kind in sorted(kinds) if not any(_tells(key, kind) for key in keys)]
    assert not missing


def _tells(key: str, kind: str) -> bool:
    name = key.removeprefix("events.")
    return name == kind or name.startswith(f"{kind}_")
