"""The window: the only loop and the only clock of the program.

The clock is an accumulator: real time, times the pace of what is on the screen, is turned into whole ticks of
the yard. Nothing here or in the scene decides what happens in the yard; that is the core's.
"""

from __future__ import annotations

import contextlib
import gc
import json
import math
import os
import secrets
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import partial
from pathlib import Path

import pygame

from trainer.authoring.compile import Job, compile_texts, list_jobs, load_job
from trainer.authoring.own import OwnFolder, look_into
from trainer.authoring.photos import photo_of
from trainer.authoring.source import ContentError, Problem, plain, read_source
from trainer.authoring.translation import course_title, load_texts, put_over, show_in, translated
from trainer.content import content_root
from trainer.core.actions import Event
from trainer.core.attempt import Attempt
from trainer.core.case import STATIONS, Case
from trainer.core.units import TICK_S
from trainer.lang import FALLBACK, Texts, chosen, system_tags
from trainer.records import journal, results
from trainer.records import settings as settings_file
from trainer.records.attempt_file import MAX_SEED, Notes
from trainer.records.charts import clock
from trainer.records.settings import MODES, Loaded, Settings
from trainer.scene.art import Art
from trainer.scene.controller import Controller
from trainer.scene.debrief import Debrief
from trainer.scene.desk import Desk, Screen
from trainer.scene.keys import Repeat, name_of
from trainer.scene.kit import BASE, Kit
from trainer.scene.palette import INK, SHEET, VERMILLION
from trainer.scene.planning import PlanBoard
from trainer.scene.replaying import Replaying
from trainer.scene.screens import FirstScreen, JobSheet, Listed, Unfinished
from trainer.scene.settings_page import SettingsPage
from trainer.scene.shell import Driver, Shell

FRAMES_PER_S = 60
TARGETS_VARIABLE = "COUPLING_YARD_TARGETS"
UNSEEN_DRIVERS = ("dummy", "offscreen")
PICTURED = ("yard", "panel", "hitch", "seat", "debrief")
_LONGEST_STEP_S = 0.25
_RETRY_S = 3.0
_SETTLE_FRAMES = 150
_SLOW_PRESENT_S = 0.003
_SWING_FRAMES = 40
_GLIDE_FRAMES = 30
MOVING = ("panel", "yard", "hitch", "implement")
"""Stations whose frames are timed."""


class NoDisplay(RuntimeError):
    """There is no display a window could be opened on."""


@dataclass(frozen=True, slots=True)
class FrameTimes:
    """Times of one kind of frame in milliseconds: the middle one, and the one that 99 of 100 stay below."""

    p50_ms: float
    p99_ms: float

    @classmethod
    def of(cls, seconds: list[float]) -> FrameTimes:
        """From single frames.

        >>> FrameTimes.of([0.001, 0.002, 0.003])
        FrameTimes(p50_ms=2.0, p99_ms=3.0)
        """
        ordered = sorted(seconds)
        last = len(ordered) - 1
        return cls(round(ordered[last // 2 + last % 2] * 1e3, 3), round(ordered[round(last * 0.99)] * 1e3, 3))


@dataclass(frozen=True, slots=True)
class Bench:
    """Stations with everything moving, against clearing and showing an empty window of the same size; and
    the longest frame of a walk between them, first frames and the glide."""

    moving: dict[str, FrameTimes]
    bare: FrameTimes
    walk_ms: float

    @property
    def panel(self) -> FrameTimes:
        """The rear panel, where most moves."""
        return self.moving["panel"]

    @property
    def ratio(self) -> float:
        """How much longer a frame of the panel takes than a bare one, by the middle frames."""
        return round(self.panel.p50_ms / max(self.bare.p50_ms, 1e-6), 1)


class Program:
    """Desk, doors and loop. `surface` is the window, or any surface to draw on. `language` is spoken
    whatever the settings say; without it that of the settings, else the system's."""

    def __init__(
        self, surface: pygame.Surface, settings: Settings | Loaded | None = None, language: str = ""
    ) -> None:
        self.folder = journal.user_folder()
        self.settings_file = settings_file.path_of(self.folder)
        if settings is None:
            settings = settings_file.load(self.settings_file)
        loaded = settings if isinstance(settings, Loaded) else Loaded(settings)
        kept = loaded.settings
        art = Art()
        kit = Kit(art.folder / "fonts", text_scale=kept.text_scale)
        kit.resize(surface.get_size())
        self.surface = surface
        texts = load_texts(chosen(language, kept.language, system_tags()))
        self.desk = Desk(kit, art, texts, kept)
        self.own: OwnFolder | None = None
        """What lies in the folder of somebody's own, as it was looked into last."""
        self.desk.texts_in = self.texts_in
        self._about_settings = self._trouble_of(loaded)
        """What was wrong with the settings' file or a folder's texts; told once, on the first screen."""
        if kept.folder:
            self.desk.texts = self.texts_in(texts.language)
        self.desk.doors = {
            "first": self.first,
            "sheet": partial(self._or_tell, self.sheet),
            "plan": self.plan,
            "yard": self.yard,
            "branch": self.branch,
            "resume": partial(self._or_tell, self.resume),
            "set_aside": self.set_aside,
            "leave": self.leave,
            "debrief": self.debrief,
            "settings": self.open_settings,
            "keep_settings": self.keep_settings,
            "full_screen": self.full_screen,
            "folder": self.use_folder,
            "quit": self.quit,
        }
        self.running = True
        self.controller = Controller()
        self.journal: journal.Journal | None = None
        self.seed = 0
        """What drew the fault of the attempt at hand, where its job is to find one."""
        self._job: Job | None = None
        self.unsaved: list[journal.Journal] = []
        """Attempts that are over or left off, and the disk has not taken all of them yet."""
        self._retry_in_s = 0.0
        self._spoiled_told: set[str] = set()
        self.finished: Path | None = None
        """Where the record of the attempt that was debriefed last lies."""
        self._spoken = texts.language
        self._told = ""
        self._left_over_s = 0.0
        self._repeat = Repeat()
        self._last_key = ""
        """The key pressed last: whoever sends keys knows by it that those before have come, too."""

    @property
    def job(self) -> Job | None:
        """The job at hand. The photo of its tractor, if there is one, comes with it."""
        return self._job

    @job.setter
    def job(self, job: Job | None) -> None:
        self._job = job
        self.desk.art.photo = photo_of(job.files, job.name, self.folders) if job is not None else None

    @property
    def folders(self) -> tuple[Path, ...]:
        """Where machines are looked for: a folder of somebody's own before the shipped one."""
        own = self.desk.settings.folder
        return (*([Path(own)] if own else []), content_root() / "scenarios")

    # --- doors ---------------------------------------------------------------------------------------------

    def _or_tell(self, door: Callable[..., None], *what: object) -> None:
        """Go through a door; where it does not open, say so on the first screen."""
        try:
            door(*what)
        except (ContentError, journal.CannotResume, journal.InUse, OSError) as error:
            self.first(str(error))

    def _trouble_of(self, loaded: Loaded) -> str:
        if not loaded.trouble:
            return ""
        told = self.desk.say(f"screens.settings_trouble.{loaded.trouble}", file=self.settings_file)
        if loaded.kept_as is not None:
            told += " " + self.desk.say("screens.settings_trouble.kept", file=loaded.kept_as)
        return told

    def first(self, trouble: str = "") -> None:
        """The first screen, with what can be picked now."""
        self._close_journal()
        trouble, self._about_settings = trouble or self._about_settings, ""
        jobs, folder_trouble = self._to_pick()
        path = journal.pending()
        for problem in journal.spoiled():
            if problem.place.file not in self._spoiled_told:
                self._spoiled_told.add(problem.place.file)
                told = self.desk.say(
                    "screens.first.spoiled",
                    file=problem.place.file,
                    line=problem.place.line,
                    problem=problem.message,
                )
                trouble = f"{trouble}\n\n{told}" if trouble else told
        unfinished = None
        if path is not None:
            name = journal.load(path).job
            unfinished = Unfinished(path, next((job.title for job in jobs if job.name == name), name))
        done = results.load(self.folder)
        self.desk.show(
            FirstScreen(
                self.desk,
                jobs,
                unfinished,
                trouble,
                done=done,
                today=_today(),
                folder=self.desk.settings.folder,
                folder_trouble=folder_trouble,
            )
        )

    def _to_pick(self) -> tuple[list[Listed], list[str]]:
        """The jobs that can be picked, one's own in the place of shipped ones of their name; and what there
        is to say about the folder."""
        shipped = listed_jobs(self.desk.texts)
        name = self.desk.settings.folder
        self.own = look_into(Path(name), self.own) if name else None
        if self.own is None:
            return shipped, []
        told = [_in_a_line(problem) for problem in self.own.problems]
        if not self.own.there:
            told.append(self.desk.say("screens.first.own_missing"))
        elif not self.own.jobs:
            told.append(self.desk.say("screens.first.own_empty"))
        own = [
            _listed(
                job.name, job.path, self.desk.texts, own=True, trouble=tuple(map(_in_a_line, job.problems))
            )
            for job in self.own.jobs
        ]
        names = {job.name for job in own}
        return [*own, *(job for job in shipped if job.name not in names)], told

    def use_folder(self, folder: str) -> None:
        """Take another folder of somebody's own, or none; it is kept in the settings."""
        self.desk.settings.folder = str(Path(folder).absolute()) if folder else ""
        self.desk.texts = self.texts_in(self.desk.texts.language)
        if isinstance(self.desk.screen, FirstScreen):
            over = self.desk.over
            self.first()
            if over is not None:
                self.desk.lay_over(over)

    def texts_in(self, language: str) -> Texts:
        """The texts of a language, with those that one's own folder has for its jobs and that can be read."""
        own = self.desk.settings.folder
        try:
            return load_texts(language, Path(own) / "jobs" / "any.yaml" if own else None)
        except ContentError as error:
            self._about_settings = "\n".join(map(_in_a_line, error.problems))
            return load_texts(language)

    def sheet(self, name: str, read: tuple[str, ...] = (), plan: tuple[str, ...] = ()) -> None:
        self.own = look_into(Path(self.desk.settings.folder), self.own) if self.desk.settings.folder else None
        own = next((job for job in self.own.jobs if job.name == name), None) if self.own is not None else None
        job = load_job(name) if own is None or self.own is None else load_job(own.path, folder=self.own.path)
        self.job = translated(job, self.desk.texts)
        self.desk.settings.job = name
        self.desk.show(JobSheet(self.desk, self.job, read, plan))

    def plan(self, job: Job, read: tuple[str, ...] = (), plan: tuple[str, ...] = ()) -> None:
        self.desk.show(PlanBoard(self.desk, job, read, plan))

    def yard(self, job: Job, mode: str, read: tuple[str, ...] = (), plan: tuple[str, ...] = ()) -> None:
        """Begin an attempt; papers read on the job sheet go on record first, the plan in its header."""
        self._close_journal()
        self.job = job
        # The one draw of chance: the record holds it, so that the attempt can be run again.
        self.seed = secrets.randbelow(MAX_SEED)
        self.journal = journal.start(job, notes=Notes(plan), seed=self.seed)
        self.job = self.journal.job
        self._remember(self.journal.path, mode)
        newcomer = not results.standings(results.load(self.folder), self.desk.settings.name)
        shell = Shell(self.desk, self.journal.attempt, self.journal, mode, newcomer=newcomer)
        shell.read_first(read)
        self.desk.show(shell)

    def resume(self, path: Path) -> None:
        """Go on with an attempt that was left off."""
        self._close_journal()
        self.journal = journal.resume(path)
        self.seed = self.journal.seed
        self.job = show_in(self.journal.job, self.journal.attempt, self.desk.texts)
        settings = self.desk.settings
        mode = settings.running_mode if settings.running == path.name else settings.mode
        self.desk.show(Shell(self.desk, self.journal.attempt, self.journal, mode, resumed=True))

    def branch(self, first: Attempt, mode: str, tick: int, plan: tuple[str, ...] = ()) -> None:
        """Try again from a tick of an attempt that is over; its own record stays as it is."""
        self._close_journal()
        if self.job is None:
            return
        of = self.finished.name if self.finished is not None else self.job.name
        self.journal = journal.branch(self.job, first, tick, of, plan, seed=self.seed)
        self._remember(self.journal.path, mode)
        shell = Shell(self.desk, self.journal.attempt, self.journal, mode, resumed=True)
        shell.say("screens.whatif.branched", time=clock(tick))
        self.desk.show(shell)

    def set_aside(self, path: Path) -> None:
        journal.set_aside(path)
        self.first()

    def leave(self) -> None:
        """Back to the first screen; the attempt can be gone on with."""
        self.first()

    def debrief(self, attempt: Attempt, mode: str) -> None:
        plan: tuple[str, ...] = ()
        if self.journal is not None:
            notes = self.journal.notes
            plan = notes.plan
            self.finished = self.journal.finish()
            if self.journal.trouble:
                self.unsaved.append(self.journal)
            if self.job is not None and not notes.branch_of:  # what was tried again counts for practice only
                score = attempt.score()
                name = self.desk.settings.name
                done = results.Result(name, self.job.name, mode, score.points, score.passed, _today())
                results.add(done, self.folder)
            self.journal = None
        if self.job is not None:
            self.desk.show(Debrief(self.desk, self.job, attempt, mode, self.folder / "pages", plan))

    def quit(self) -> None:
        self.running = False

    def _remember(self, path: Path, mode: str) -> None:
        self.desk.settings.running, self.desk.settings.running_mode = path.name, mode
        self.keep_settings()

    def _close_journal(self) -> None:
        if self.journal is not None:
            if self.journal.trouble and not self.journal.try_again():
                self.unsaved.append(self.journal)
            else:
                self.journal.close()
            self.journal = None

    def _try_again(self, dt_s: float) -> None:
        """Every few seconds: write what the disk did not take."""
        self._retry_in_s -= dt_s
        if self._retry_in_s > 0.0:
            return
        self._retry_in_s = _RETRY_S
        if self.journal is not None and self.journal.trouble:
            self.journal.try_again()
        for late in list(self.unsaved):
            if late.try_again():
                late.close()
                self.unsaved.remove(late)
                if late.attempt.state.ended:
                    self.finished = late.path

    def _rescue(self) -> None:
        """The window closes: what the disk still does not take goes to the folder for passing files."""
        for late in self.unsaved:
            if not late.try_again():
                with contextlib.suppress(OSError):
                    path = late.rescue(Path(tempfile.gettempdir()))
                    sys.stderr.write(self.desk.say("screens.journal_rescued", file=path) + "\n")
            late.close()
        self.unsaved = []

    def _tell_trouble(self) -> None:
        """A bar on whatever screen there is, as long as an attempt is not wholly on the disk."""
        late = [one for one in (self.journal, *self.unsaved) if one is not None and one.trouble]
        if not late:
            return
        kit = self.desk.kit
        told = self.desk.say("screens.journal_trouble", file=late[0].path, why=late[0].trouble)
        wide = self.surface.get_width() - 2 * kit.px(60)
        tall = kit.height(told, wide - 2 * kit.px(14), 14, True) + 2 * kit.px(10)
        bar = pygame.Rect(kit.px(60), kit.px(6), wide, tall)
        kit.box(self.surface, bar, VERMILLION, INK, radius=6)
        at = bar.left + kit.px(14), bar.top + kit.px(10)
        kit.paragraph(self.surface, told, at, wide - 2 * kit.px(14), 14, SHEET, True)

    # --- a frame -------------------------------------------------------------------------------------------

    def advance(self, dt_s: float) -> None:
        """Let `dt_s` seconds of real time pass."""
        kit = self.desk.kit
        for event in (
            *self.controller.wait(dt_s, kit.keys),
            *self._repeat.wait(dt_s, kit.keys, bool(kit.typing)),
        ):
            self._take(event)
        self._try_again(dt_s)
        screen = self.desk.screen
        if screen is None:
            return
        if self.desk.over is not None:
            self._left_over_s = 0.0
            self.desk.over.update(dt_s)
            return
        pace = screen.pace
        self._left_over_s = self._left_over_s + dt_s * pace if pace else 0.0
        while self._left_over_s >= TICK_S and self.desk.screen is screen:
            self._left_over_s -= TICK_S
            screen.tick()
            if screen.pace < pace:
                self._left_over_s = 0.0  # what was hurried through is over
                break
        screen.update(dt_s)

    def draw(self, now_s: float) -> None:
        """Draw the screen as it is now."""
        kit = self.desk.kit
        kit.begin(now_s)
        front = self.desk.front
        if front is not None:
            front.draw(self.surface)
        self._tell_trouble()
        kit.end(self.surface)
        self._tell_targets()

    def handle(self, event: pygame.event.Event) -> None:
        if event.type == pygame.KEYDOWN:
            self._last_key = name_of(event)
        self._repeat.see(event)
        self._take(event)

    def _take(self, event: pygame.event.Event) -> None:
        if event.type == pygame.QUIT:
            self.quit()
        elif event.type == pygame.DROPFILE and Path(event.file).is_dir():
            if isinstance(self.desk.screen, FirstScreen):
                self.use_folder(event.file)
        elif event.type == pygame.VIDEORESIZE:
            self.resized()
        elif (asked := self.controller.keys(event, self.desk.kit.keys)) is not None:
            for key in asked if self.desk.settings.controller else ():
                self._take(key)
        elif event.type == pygame.KEYDOWN and self._shortcut(event):
            return
        else:
            self.desk.handle(event)

    def resized(self) -> None:
        window = pygame.display.get_surface()
        if window is not None:
            self.surface = window
        self.desk.kit.resize(self.surface.get_size(), self.desk.settings.text_scale)

    def name_window(self) -> None:
        pygame.display.set_caption(self.desk.say("screens.first.title"))
        pygame.display.set_icon(self.desk.art.fitted("port_poppet", (64, 64)))

    def _shortcut(self, event: pygame.event.Event) -> bool:
        desk = self.desk
        if isinstance(desk.over, SettingsPage) and desk.over.listening:
            return False
        asked = desk.kit.keys.asked(event, bool(desk.kit.typing))
        if asked == "full_screen":
            self.full_screen()
        elif asked == "units":
            desk.toggle_metric()
        elif asked in ("larger", "smaller"):
            desk.larger(1 if asked == "larger" else -1)
        elif asked == "mute":
            desk.settings.mute = not desk.settings.mute
        elif asked in ("settings", "help") and desk.over is None:
            self.open_settings("keys" if asked == "help" else "")
        else:
            return False
        return True

    def open_settings(self, tab: str = "") -> None:
        """Lay the settings over the screen; what runs there stands still."""
        self.desk.lay_over(SettingsPage(self.desk, tab))

    def keep_settings(self) -> None:
        """Write the settings down; the window may speak another language now."""
        if self._spoken != self.desk.texts.language:
            self._spoken = self.desk.texts.language
            self._say_again()
        if pygame.display.get_surface() is not None:
            self.name_window()
        settings_file.save(self.desk.settings, self.settings_file)

    def _say_again(self) -> None:
        """Make the screen again in the language that was chosen over it; what runs there runs on."""
        desk, screen = self.desk, self.desk.screen
        if self.job is not None:
            job = compile_texts(self.job.name, self.job.files)
            if isinstance(screen, Shell | Debrief):
                job = job.drawn(self.seed)
            self.job = translated(job, desk.texts)
        if isinstance(screen, FirstScreen):
            self.first(screen.trouble)
        elif self.job is None:
            return
        elif isinstance(screen, JobSheet):
            desk.show(JobSheet(desk, self.job, screen.opened, screen.plan))
        elif isinstance(screen, PlanBoard):
            desk.show(PlanBoard(desk, self.job, screen.read, screen.plan))
        elif isinstance(screen, Shell):
            screen.attempt.case = self.job.case
            desk.show(screen.again())
        elif isinstance(screen, Debrief):
            screen.attempt.case = self.job.case
            plan = screen.review.plan
            desk.show(Debrief(desk, self.job, screen.attempt, screen.mode, screen.folder, plan))

    def full_screen(self) -> None:
        """To the whole screen, or back to a window."""
        self.desk.settings.full_screen = not self.desk.settings.full_screen
        pygame.display.quit()  # some window managers keep a part of the old window's size otherwise
        pygame.display.init()
        _set_mode(self.desk.settings.full_screen)
        self.name_window()
        self.resized()

    def _tell_targets(self) -> None:
        """Write what can be pointed at for assistive tools and the mouse test, whenever it changes."""
        name = os.environ.get(TARGETS_VARIABLE)
        screen = self.desk.front
        if not name or screen is None:
            return
        targets = {}
        for target in self.desk.kit.targets:
            seen = target.seen
            if seen.width > 0 and seen.height > 0:
                targets[target.id] = [seen.x, seen.y, seen.width, seen.height]
        kit = self.desk.kit
        keyboard = {
            "focus": kit.focus if kit.focus_shown else "",
            "ring": [one.id for one in kit.ring()],
            "stepped": [one.id for one in kit.ring() if one.step is not None],
            "key": self._last_key,
            "pointer": list(kit.pointer),
        }
        told = json.dumps(
            {"screen": screen.name, **screen.status(), **keyboard, "targets": targets}, sort_keys=True
        )
        if told != self._told:
            self._told = told
            path = Path(name)
            beside = path.with_name(path.name + ".new")
            beside.write_text(told, "utf-8")
            os.replace(beside, path)

    # --- the loop ------------------------------------------------------------------------------------------

    def run(self) -> None:
        """Until the window is closed. Settings and the attempt are kept whatever ends it."""
        gc.collect()
        gc.freeze()
        self.controller.listen()
        last = next_frame = time.perf_counter()
        began = last
        try:
            while self.running:
                for event in pygame.event.get():
                    self.handle(event)
                now = time.perf_counter()
                self.advance(min(now - last, _LONGEST_STEP_S))
                last = now
                self.draw(now - began)
                pygame.display.flip()
                if self.desk.screen is not None and self.desk.screen.warm():
                    last = time.perf_counter()  # the yard's clock does not run meanwhile
                next_frame = max(next_frame + 1 / FRAMES_PER_S, now)
                rest = next_frame - time.perf_counter()
                if rest > 0:
                    time.sleep(rest)
        finally:
            if self.desk.screen is not None:
                self.desk.screen.leave()
            self._close_journal()
            self._rescue()
            self.keep_settings()


def listed_jobs(texts: Texts) -> list[Listed]:
    """Every job with its title, read without compiling it."""
    jobs = content_root() / "scenarios" / "jobs"
    return [_listed(name, jobs / f"{name}.yaml", texts) for name in list_jobs()]


def _listed(
    name: str, path: Path, texts: Texts, *, own: bool = False, trouble: tuple[str, ...] = ()
) -> Listed:
    title, says = name, ""
    with contextlib.suppress(ContentError):
        tree = plain(read_source(path))
        if isinstance(tree, dict):
            title, text = str(tree.get("title", name)), tree.get("text")
            says = str(text[0]) if isinstance(text, list) and text else ""
    put = texts.translated
    course = put(course_title(name.rpartition("/")[0]))
    return Listed(name, put(title), course, put(says), own=own, trouble=trouble)


def _in_a_line(problem: Problem) -> str:
    """A problem without the line it is about: where, what, and what to write."""
    return problem.render().splitlines()[0]


def _today() -> date:
    """The day where the trainee sits."""
    return datetime.now().astimezone().date()


def open_window(full_screen: bool = False) -> pygame.Surface:
    """The window, presented by whichever of SDL's two ways is the faster here.

    Where OpenGL is drawn by software, presenting through it takes many times as long as plain copying.
    """
    pygame.display.init()
    pygame.font.init()
    chosen = "SDL_FRAMEBUFFER_ACCELERATION"
    window = _set_mode(full_screen)
    if chosen not in os.environ:
        as_it_comes = _present_s()
        if as_it_comes > _SLOW_PRESENT_S:
            pygame.display.quit()
            os.environ[chosen] = "0"
            pygame.display.init()
            window = _set_mode(full_screen)
            if _present_s() > as_it_comes:
                pygame.display.quit()
                del os.environ[chosen]
                pygame.display.init()
                window = _set_mode(full_screen)
    return window


def _set_mode(full_screen: bool) -> pygame.Surface:
    if full_screen:
        window = pygame.display.set_mode((0, 0), pygame.FULLSCREEN)
    else:
        window = pygame.display.set_mode(BASE, pygame.RESIZABLE)
    return window


def _present_s() -> float:
    times = []
    for _ in range(5):
        began = time.perf_counter()
        pygame.display.flip()
        times.append(time.perf_counter() - began)
    return sorted(times)[2]


def _opened(language: str = "") -> Program:
    loaded = settings_file.load()
    try:
        pygame.display.init()
        driver = pygame.display.get_driver()
        if driver in UNSEEN_DRIVERS and os.environ.get("SDL_VIDEODRIVER") != driver:
            raise NoDisplay(f"only the {driver} driver opens here")  # what SDL falls back to shows nothing
        window = open_window(loaded.settings.full_screen)
    except pygame.error as error:
        raise NoDisplay(str(error)) from None
    program = Program(window, loaded, language)
    program.name_window()
    return program


def run_window(
    job: str | None = None,
    mode: str = "",
    resume: Path | None = None,
    language: str = "",
    folder: Path | None = None,
) -> None:
    """Open the window: at the first screen, at a job's sheet, or in an attempt that was left off. `folder` is
    one of somebody's own whose jobs are listed too, from now on.

    Raises NoDisplay where no window can be opened, ContentError where the job cannot be read,
    `journal.CannotResume` or `journal.InUse` where the attempt cannot go on.
    """
    try:
        program = _opened(language)
        if folder is not None:
            program.use_folder(str(folder))
        if mode in MODES:
            program.desk.settings.mode = mode
        if resume is not None:
            program.resume(resume)
        elif job is not None:
            program.sheet(job)
        else:
            program.first()
        program.run()
    finally:
        pygame.quit()


def replay_window(attempt: Attempt) -> None:
    """Open the window and show an attempt once more, action by action, at a pace of one's choice."""
    try:
        program = _opened()
        program.desk.doors["leave"] = program.quit
        attempt.case = put_over(attempt.case, program.desk.texts)
        program.desk.show(Replaying(program.desk, attempt))
        program.run()
    finally:
        pygame.quit()


def display_driver() -> str:
    """The driver that opens a window somebody can see; '' where there is no display."""
    if pygame.display.get_init():
        driver = pygame.display.get_driver()
        return "" if driver in UNSEEN_DRIVERS else driver
    try:
        pygame.display.init()
        driver = pygame.display.get_driver()
    except pygame.error:
        return ""
    finally:
        pygame.display.quit()
    return "" if driver in UNSEEN_DRIVERS else driver


class _Aside:
    """A window for pictures and measurements, which nobody sees unless it is to be `seen`; leaves a window
    that is open as it is."""

    def __init__(self, size: tuple[int, int], seen: bool = False) -> None:
        self.opened = not pygame.display.get_init()
        if self.opened and seen:
            open_window()  # as the program does: by the faster way of presenting
            pygame.display.set_mode(size)
        elif self.opened:
            driver = os.environ.get("SDL_VIDEODRIVER")
            os.environ["SDL_VIDEODRIVER"] = driver or "dummy"
            pygame.display.init()
            if driver is None:
                del os.environ["SDL_VIDEODRIVER"]
        pygame.font.init()
        self.surface = pygame.display.get_surface() or pygame.display.set_mode(size)

    def close(self) -> None:
        if self.opened:
            pygame.display.quit()


def draw_offscreen(
    job: Job,
    attempt: Attempt,
    station: str,
    size: tuple[int, int] = BASE,
    mode: str = "guided",
    language: str = FALLBACK,
    folder: Path | None = None,
) -> pygame.Surface:
    """A picture of the yard at a station, or of the `debrief`, as the window would show it.

    `folder` is one of somebody's own that the job lies in: the photo of a rear panel is looked for there.

    The attempt is looked at, not driven. Settings of the person running this are left out of it.
    """
    aside = _Aside(size)
    try:
        surface = pygame.Surface(size)
        program = Program(surface, Settings(mode=mode, folder=str(folder or "")), language)
        job, attempt = translated(job, program.desk.texts), attempt.fork()
        attempt.case = job.case
        program.job = job
        screen: Screen
        if station == "debrief":
            debrief = Debrief(program.desk, job, attempt, mode, program.folder / "pages")
            debrief.finish_drawing()
            debrief.review.finish()
            screen = debrief
        else:
            screen = Shell(program.desk, attempt, _Still(), mode, resumed=True, shown=station)
        program.desk.show(screen)
        for _ in range(3):
            program.draw(0.0)
        for frame in range(_SETTLE_FRAMES if station != "debrief" else 0):
            screen.update(1 / FRAMES_PER_S)
            if frame == 0:
                program.draw(0.0)
        program.draw(_SETTLE_FRAMES / FRAMES_PER_S)
        return surface
    finally:
        aside.close()


def save_pictures(job: Job, attempt: Attempt, folder: Path, language: str = FALLBACK) -> list[Path]:
    """Save a picture of each of the yard's places and of the debrief as PNG files; returns where they lie."""
    saved = []
    for station in PICTURED:
        path = folder / f"{station}.png"
        pygame.image.save(draw_offscreen(job, attempt, station, language=language), path)
        saved.append(path)
    return saved


class _Still:
    """Drives nothing: a picture is taken of things as they are."""

    def do(self, action: object) -> None:
        del action

    def run(self, ticks: int = 1) -> None:
        del ticks


def ports_for(case: Case) -> tuple[int, ...]:
    """For each hose a port of its form, each port once; -1 where none is left."""
    free = [port.form for port in case.tractor.ports]
    found = []
    for hose in case.implement.hoses:
        at = free.index(hose.form) if hose.form in free else -1
        if at >= 0:
            free[at] = ""
        found.append(at)
    return tuple(found)


def at_work(attempt: Attempt) -> None:
    """Put everything that moves in motion: engine, fans, cylinders, seals that have burst, oil on the ground,
    hose ends that hang open and dirty. For pictures and measurements; no run of the engine leads here."""
    case, state = attempt.case, attempt.state
    works = tuple(
        work._replace(
            speed_mrad_s=round(function.rated_rev_min * 1000 * math.tau / 60),
            stroke_um=round(function.stroke_m * 6e5),
            blown=function.is_motor,
            flow_mm3_s=500_000,
            case_pa=1_500_000,
        )
        for function, work in zip(case.implement.functions, state.works, strict=True)
    )
    count = len(state.hose_at)
    attempt.state = state._replace(
        key="on",
        engine=True,
        engine_mrev_min=2_000_000,
        throttle_mrev_min=2_000_000,
        pump_pa=15_000_000,
        pump_mm3_s=1_500_000,
        works=works,
        lost_oil_mm3=900_000,
        hose_capped=(False,) * count,
        hose_clean=(False,) * count,
        hose_stored=(False,) * count,
    )


def bench(job: Job, frames: int = 300, size: tuple[int, int] = BASE, seen: bool = False) -> Bench:
    """Time `frames` frames in the rain of each station in `MOVING` with hoses swinging, jets, drips, spray
    and exhaust, as many bare ones, and every frame of walks from station to station.

    Uses the driver that SDL_VIDEODRIVER names (or SDL's dummy, whose presenting costs nothing), or with
    `seen` the display there is: say which with the numbers. A window that is open keeps its size.
    """
    aside = _Aside(size, seen)
    try:
        window = aside.surface
        start = replace(job.case.start, sky="rain")
        attempt = Attempt(replace(job.case, start=start), job.rules)
        at_work(attempt)
        program = Program(window, Settings(mode="guided"))
        shell = Shell(program.desk, attempt, attempt, "guided", shown="panel")
        program.desk.show(shell)
        program.draw(0.0)
        while shell.warm():
            pass
        gc.collect()  # as when the program opens
        number = 0
        moving: dict[str, FrameTimes] = {}
        for station in MOVING:
            shell.shown = station
            times: list[float] = []
            for frame in range(frames + _SETTLE_FRAMES):
                _stir(attempt, frame, station)
                times.append(_frame_s(program, number))
                number += 1
            moving[station] = FrameTimes.of(times[_SETTLE_FRAMES:])
        walks: list[float] = []
        for walk in range(4 * len(STATIONS)):
            shell.shown = STATIONS[walk % len(STATIONS)]
            for _ in range(_GLIDE_FRAMES):
                walks.append(_frame_s(program, number))
                number += 1
        bare: list[float] = []
        for _ in range(frames + 20):
            began = time.perf_counter()
            window.fill((40, 40, 48))
            pygame.display.flip()
            bare.append(time.perf_counter() - began)
        return Bench(moving, FrameTimes.of(bare[20:]), round(max(walks) * 1e3, 3))
    finally:
        aside.close()


def _stir(attempt: Attempt, frame: int, station: str) -> None:
    """At the panel keep hoses on their way, to the ports and back to the rack, and pull one under pressure
    now and then; elsewhere lift and lower what hangs on the hitch with all hoses on."""
    at_work(attempt)  # the engine itself would soon have stopped what it finds here
    if frame % _SWING_FRAMES:
        return
    case, state = attempt.case, attempt.state
    ports = ports_for(case)
    there = (frame // _SWING_FRAMES) % 2 == 0
    if station != "panel":
        tractor = case.tractor
        low, high = tractor.hitch_low_m + 0.2, tractor.hitch_high_m
        state = state._replace(engaged=True, weight="hitch", stands=False, gap_um=0, gap_target_um=0)
        height = round((high if there else low) * 1e6)
        attempt.state = state._replace(hose_at=ports, hitch_um=height, hitch_target_um=height)
        return
    attempt.state = state._replace(hose_at=ports if there else (-1,) * len(ports))
    for hose, port in zip(case.implement.hoses, ports, strict=True):
        if port >= 0 and hose.role == "pressure":
            pressure = (("pressure_pa", 15_000_000),)
            name = case.tractor.ports[port].name
            attempt.events.append(Event("uncoupled", state.tick, hose.name, name, pressure))
            return


def _frame_s(program: Program, number: int) -> float:
    """How long one whole frame takes."""
    began = time.perf_counter()
    pygame.event.pump()
    program.advance(1 / FRAMES_PER_S)
    program.draw(number / FRAMES_PER_S)
    pygame.display.flip()
    return time.perf_counter() - began


__all__ = [
    "Bench",
    "Driver",
    "NoDisplay",
    "Program",
    "at_work",
    "bench",
    "display_driver",
    "draw_offscreen",
    "ports_for",
    "replay_window",
    "run_window",
    "save_pictures",
]
