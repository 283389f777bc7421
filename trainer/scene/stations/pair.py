"""Both machines from the side at one scale: where everything of them stands, and how it is drawn.

The stations that show whole machines place the pair with `parked_x` and draw it in the order they need.
What stands where comes from the core's own pages and the state; the drawings only give their named points.
"""

from __future__ import annotations

import math
from functools import cached_property

import pygame

from trainer.core import linkage
from trainer.core.readings import pin_height_um, pitch_urad
from trainer.scene.effects import Effects, blurred_blades, engine_load
from trainer.scene.looks import (
    SIDE_PX_PER_M,
    ImplementLook,
    Part,
    Spin,
    TractorLook,
    implement_look,
    movers,
    tractor_look,
)
from trainer.scene.palette import GRAPHITE, INK, PLUM, SAND, STEEL, mix
from trainer.scene.stations.hands import Handwork, Place
from trainer.scene.stations.lines import hang, slack

STAND_UP_M = 0.34
"""How far a stand, or the foot of a jack, is drawn up."""
_SWIVEL_DEG = 84.0
_CRANK_UM = 8000
"""What one turn of a jack's crank lifts."""
_SLOWED = 0.06
"""Above a few turns a second the eye sees a blur, so what turns is shown slower than it runs."""
_HOOKED_DRAWBAR_CM = 22.0
_NARROWEST = 0.07
_HOSES_SHOWN = 4
_LEAK_DEG = 118.0
"""Where oil flies that a burst seal throws: down and ahead."""


class Pair:
    """The tractor and the implement of a case, drawn by a station."""

    def __init__(self, station: Handwork, ground_y: float, size: float, most_gap_m: float) -> None:
        self.station, self.yard = station, station.yard
        self.ground_y, self.size, self.most_gap_m = ground_y, size, most_gap_m
        self.parked_x = 0.0
        """Where the point by which the implement is coupled stands while it is parked."""
        self.effects = Effects(station)
        self._turns = 0.0
        self._crank_um = 0

    @property
    def px_per_m(self) -> float:
        return SIDE_PX_PER_M * self.size

    @cached_property
    def implement(self) -> ImplementLook:
        return implement_look(self.yard.art, self.yard.case.implement)

    @cached_property
    def tractor(self) -> TractorLook:
        return tractor_look(self.yard.art, self.yard.case.tractor)

    @cached_property
    def _moved_by(self) -> tuple[int, ...]:
        return movers(self.implement.parts, self.yard.case.implement.functions)

    @cached_property
    def _turned_by(self) -> tuple[int, ...]:
        return movers(self.implement.spins, self.yard.case.implement.functions)

    @property
    def drawn(self) -> bool:
        return self.yard.case.implement.drawn

    @property
    def _implement_size(self) -> float:
        return self.size * self.implement.size

    @property
    def _tractor_size(self) -> float:
        return self.size * self.tractor.size

    def extent(self) -> tuple[float, float]:
        """How far the tractor reaches ahead of its axle and the implement behind its coupling, at size 1."""
        art, anchor = self.yard.art, self.station.anchor
        ahead = anchor(self.tractor.side, "rear_axle_ground")[0] * self.tractor.size
        behind = art.size(self.implement.side)[0] - anchor(self.implement.side, self.implement.hold)[0]
        for part in self.implement.parts:
            if part.level or part.wheel:
                x = (
                    anchor(self.implement.side, part.at)[0]
                    - anchor(self.implement.side, self.implement.hold)[0]
                )
                behind = max(behind, x + art.size(part.art)[0] - anchor(part.art, "pivot")[0])
        return ahead, behind * self.implement.size

    def tall(self) -> float:
        """How high the implement reaches at size 1, with whatever turns on it at its highest."""
        art, anchor, side = self.yard.art, self.station.anchor, self.implement.side
        ground = anchor(side, "ground")[1]
        highest = ground
        for part, function in self.moved():
            if function < 0 or part.fold:
                continue
            (wide, _), pivot = art.size(part.art), anchor(part.art, "pivot")
            risen = (wide - pivot[0]) * math.sin(math.radians(min(90.0, abs(part.turn_deg))))
            highest = max(highest, ground - anchor(side, part.at)[1] + max(pivot[1], risen))
        return highest * self.implement.size

    # --- where everything stands --------------------------------------------------------------------------

    def gap(self) -> float:
        now = min(self.yard.state.gap_um / 1e6, self.most_gap_m)
        return self.station.eased("gap", now, 6.0) * self.px_per_m

    def reach(self) -> float:
        """From the rear axle to what the implement is coupled by, both as they are parked."""
        case, anchor = self.yard.case, self.station.anchor
        if self.drawn:
            side = self.tractor.side
            stub = (anchor(side, "pto_stub")[0] - anchor(side, "rear_axle_ground")[0]) * self._tractor_size
            return stub + self.station.eased("reach", self.yard.state.drawbar_reach_um / 1e6) * self.px_per_m
        parked = linkage.ball_m(
            case.tractor.linkage,
            linkage.angle_for_ball_height_rad(case.tractor.linkage, case.implement.parked_ball_m),
        )
        hook = anchor("quick_coupler_side", "lower_hook")[0] - anchor("quick_coupler_side", "ball")[0]
        return parked[0] * self.px_per_m + hook * self.size

    def axle_x(self) -> float:
        """Where the tractor's rear axle is."""
        return self.parked_x - self.reach() - self.gap()

    def on_tractor(self, point: str) -> Place:
        """A point of the tractor's side view."""
        at = self.axle_x(), self.ground_y
        return self.station.from_anchor(
            self.tractor.side, "rear_axle_ground", at, point, size=self._tractor_size
        )

    def _from_axle(self, x_m: float, z_m: float) -> Place:
        return self.axle_x() + x_m * self.px_per_m, self.ground_y - z_m * self.px_per_m

    def angle(self) -> float:
        """Of the lower links, in rad."""
        height = self.station.eased("hitch", self.yard.state.hitch_um / 1e6)
        return linkage.angle_for_ball_height_rad(self.yard.case.tractor.linkage, height)

    def ball(self) -> Place:
        """Where the rear ends of the lower links are."""
        return self._from_axle(*linkage.ball_m(self.yard.case.tractor.linkage, self.angle()))

    def coupler_deg(self) -> float:
        """How far the coupler leans, anticlockwise; plumb where the links cannot reach."""
        arm, top_link_m = self.yard.case.tractor.linkage, self.yard.state.top_link_um / 1e6
        try:
            return float(round(math.degrees(linkage.mast_pitch_rad(arm, self.angle(), top_link_m))))
        except linkage.OutOfReach:
            return 0.0

    def drawbar_pin(self) -> Place:
        """Where the drawbar's pin stands, in or out."""
        drawbar = self.yard.case.tractor.drawbar
        height = drawbar.height_m if drawbar is not None else 0.48
        return self.axle_x() + self.reach(), self.ground_y - height * self.px_per_m

    def hold(self) -> Place:
        """The point by which the implement is coupled: its lower pin or the eye of its tongue."""
        state = self.yard.state
        if state.engaged and not self.drawn:
            return self.station.from_anchor(
                "quick_coupler_side", "ball", self.ball(), "lower_hook", self.coupler_deg(), self.size
            )
        height = self.station.eased("pin", pin_height_um(self.yard.case, state) / 1e6)
        return self.axle_x() + self.reach() + self.gap(), self.ground_y - height * self.px_per_m

    def lean(self) -> float:
        """How far the implement leans, in degrees anticlockwise; a drawn one stands on its wheels."""
        if self.drawn:
            eye, wheel = (self.station.anchor(self.implement.side, name) for name in ("eye", "wheel_ground"))
            far = (wheel[0] - eye[0]) * self._implement_size
            off = self.ground_y - self.hold()[1] - (wheel[1] - eye[1]) * self._implement_size
            return round(-math.degrees(math.atan2(off, far)) / 0.2) * 0.2
        pitch = pitch_urad(self.yard.case, self.yard.state) / 1e6
        eased = self.station.eased("pitch", pitch if abs(pitch) < 0.5 else 0.0)
        return round(math.degrees(eased) / 0.2) * 0.2

    def has(self, point: str) -> bool:
        """Whether the implement's side view names this point."""
        named = self.yard.art.note("files", f"{self.implement.side}.svg", "anchors")
        return point in named

    def on(self, point: str) -> Place:
        """A point of the implement's side view."""
        look = self.implement
        return self.station.from_anchor(
            look.side, look.hold, self.hold(), point, self.lean(), self._implement_size
        )

    def wheel(self) -> tuple[Place, float]:
        """The implement's wheel that chocks are laid at: its axle and its radius."""
        look = self.implement
        for part in look.parts:
            if part.wheel:
                turned = self._on_ground_deg(part)
                at = self.station.from_anchor(
                    part.art, "pivot", self.on(part.at), part.wheel, turned, self._implement_size
                )
                return at, self._wheel_radius(part)
            if part.level:
                pivot, wheel = self.station.anchor(part.art, "pivot"), self.station.anchor(part.art, "wheel")
                x = self.on(part.at)[0] + (wheel[0] - pivot[0]) * self._implement_size
                radius = self._level_drop(part, "wheel")
                return (x, self.ground_y - radius), radius
        at = self.on("wheel")
        return at, max(8.0, self.ground_y - at[1])

    def far_end(self) -> Place:
        """The end of the last part that is drawn on wheels of its own, else of the side view."""
        for part in self.implement.parts:
            if part.level:
                pivot, end = self.station.anchor(part.art, "pivot"), self.station.anchor(part.art, "end")
                x = self.on(part.at)[0] + (end[0] - pivot[0]) * self._implement_size
                return x, self.ground_y - self._level_drop(part, "end")
        return self.on("end")

    def chock_at(self, side: str) -> Place:
        """Where a chock touches the ground: `left` lies ahead of the wheel, `right` behind it."""
        (x, _), radius = self.wheel()
        off = (math.sqrt(0.3 * radius / self.px_per_m) + 0.07) * self.px_per_m
        return (x - off, self.ground_y + 4 * self.size) if side == "left" else (x + off, self.ground_y + 1)

    def _on_ground_deg(self, part: Part) -> float:
        """Turn of a wheel's arm that keeps the wheel on the ground, in degrees anticlockwise."""
        pivot = self.on(part.at)
        first, wheel = self.station.anchor(part.art, "pivot"), self.station.anchor(part.art, part.wheel)
        arm = math.dist(first, wheel) * self._implement_size
        rest = math.atan2(wheel[1] - first[1], wheel[0] - first[0])
        down = max(-0.9, min(0.97, (self.ground_y - self._wheel_radius(part) - pivot[1]) / arm))
        return round(math.degrees(rest - math.asin(down)))

    def _wheel_radius(self, part: Part) -> float:
        ground, wheel = self.station.anchor(part.art, "ground"), self.station.anchor(part.art, part.wheel)
        return (ground[1] - wheel[1]) * self._implement_size

    def _level_drop(self, part: Part, point: str) -> float:
        ground, above = self.station.anchor(part.art, "ground"), self.station.anchor(part.art, point)
        return (ground[1] - above[1]) * self._implement_size

    def moved(self) -> list[tuple[Part, int]]:
        """The parts that move and the function that moves each, -1 for none."""
        return list(zip(self.implement.parts, self._moved_by, strict=True))

    # --- what moves ---------------------------------------------------------------------------------------

    def update(self, dt_s: float) -> None:
        """Let what turns turn on for the eye, and what leaks leak."""
        if not self.yard.calm:
            self._turns += dt_s
        case, state = self.yard.case, self.yard.state
        for function, work in zip(case.implement.functions, state.works, strict=True):
            if work.blown and work.flow_mm3_s:
                at = self._place_of(case.function(function.name))
                size, floor = min(1.0, self.size / 1.4), self.ground_y + 10
                self.effects.leak(function.name, at, _LEAK_DEG, work.case_pa, size, floor)
        self.effects.update(dt_s)

    def _place_of(self, function: int) -> Place:
        """Where a function is to be seen: what it turns or moves, else the middle of the machine."""
        for spin, moved_by in zip(self.implement.spins, self._turned_by, strict=True):
            at = self._spin_at(spin) if moved_by == function else None
            if at is not None:
                return at
        return self.on("centre")

    def _spin_at(self, spin: Spin) -> Place | None:
        """Where the middle is of what turns; None where the drawing has no such point."""
        art, _, point = spin.at.rpartition(" ")
        part = next((part for part in self.implement.parts if part.art == art), None)
        if part is not None:
            pivot, at = self.station.anchor(art, "pivot"), self.station.anchor(art, point)
            x = self.on(part.at)[0] + (at[0] - pivot[0]) * self._implement_size
            return x, self.ground_y - self._level_drop(part, point)
        return self.on(point) if self.has(point) else None

    def out(self, function: int) -> float:
        """Share of its stroke that a function's cylinders are out."""
        if function < 0:
            return 0.0
        told, work = self.yard.case.implement.functions[function], self.yard.state.works[function]
        return work.stroke_um / (told.stroke_m * 1e6) if told.stroke_m else 0.0

    def _angle_of(self, function: int) -> float:
        if function < 0:
            return 0.0
        speed = self.yard.state.works[function].speed_mrad_s / 1000
        return min(9.0, speed * _SLOWED) * 6 * self._turns

    def _blur_of(self, function: int) -> float:
        """How far what turns blurs into a disc: from a turn a second on, wholly at some ten."""
        if function < 0:
            return 0.0
        turns_s = abs(self.yard.state.works[function].speed_mrad_s) / 1000 / math.tau
        return min(1.0, max(0.0, (turns_s - 1.0) / 9.0))

    # --- drawing ------------------------------------------------------------------------------------------

    def draw_pools(self, surface: pygame.Surface) -> None:
        """The oil that was lost, on the ground under what lost it."""
        state = self.yard.state
        lost = [index for index, work in enumerate(state.works) if work.blown]
        for index in lost:
            at = self._place_of(index)[0], self.ground_y + 7
            self.effects.draw_pool(surface, at, state.lost_oil_mm3 // len(lost), self.px_per_m)

    def draw_exhaust(self, surface: pygame.Surface, larger: float) -> None:
        """What leaves the stack: by the speed and the load of the engine."""
        case, state = self.yard.case, self.yard.state
        speed = state.engine_mrev_min / 1000 / case.tractor.rated_rev_min
        if speed > 0:
            load = self.station.eased("load", engine_load(case, state), 3.0)
            at = self.on_tractor("exhaust_tip")
            self.effects.draw_exhaust(surface, at, self.station.dt_s, speed, load, larger)

    def draw_shadows(self, surface: pygame.Surface) -> None:
        ahead, behind = self.extent()
        middle = self.axle_x() - ahead * self.size * 0.32
        at = middle, self.ground_y + 4
        self.station.put(surface, "shadow_tractor", at, (240, 11), ahead / 400 * self.size)
        at = self.hold()[0] + behind * self.size * 0.52, self.ground_y + 4
        self.station.put(surface, "shadow_planter", at, (120, 11), behind / 236 * self.size)

    def draw_implement(
        self, surface: pygame.Surface, stand_up: float | None = None, jack_um: int | None = None
    ) -> None:
        """The implement, its parts where the state has them, its stand or jack and what turns.

        `stand_up` is how far the stand is drawn up in metres, and `jack_um` what the crank shows, while a
        hand has hold of them.
        """
        self._crank_um = self.yard.state.jack_um if jack_um is None else jack_um
        look, station = self.implement, self.station
        moved = self.moved()
        for part, function in moved:
            if part.behind:
                self._draw_part(surface, part, function)
        self._draw_stand(surface, stand_up, before=True)
        station.put(
            surface,
            look.side,
            self.hold(),
            station.anchor(look.side, look.hold),
            self._implement_size,
            self.lean(),
        )
        for part, function in moved:
            if not part.behind:
                self._draw_part(surface, part, function)
        self._draw_stand(surface, stand_up, before=False)
        for spin, function in zip(look.spins, self._turned_by, strict=True):
            self._draw_spin(surface, spin, function)

    def _draw_part(self, surface: pygame.Surface, part: Part, function: int) -> None:
        station, size, at = self.station, self._implement_size, self.on(part.at)
        anchor = station.anchor(part.art, "pivot")
        if part.wheel:
            station.put(surface, part.art, at, anchor, size, self._on_ground_deg(part))
        elif part.level:
            at = at[0], self.ground_y - self._level_drop(part, "pivot")
            station.put(surface, part.art, at, anchor, size)
        elif function >= 0:
            out = station.eased(part.art, self.out(function))
            if part.fold:
                left = max(_NARROWEST, round(math.cos(out * math.pi / 2) / 0.04) * 0.04)
                narrowed = (left, 1.0) if part.fold == "along" else (1.0, left)
                station.put(surface, part.art, at, anchor, size, narrowed=narrowed)
            else:
                turned = round(part.turn_deg * out / 2) * 2.0
                station.put(surface, part.art, at, anchor, size, turned)

    def _draw_stand(self, surface: pygame.Surface, held_up: float | None, before: bool) -> None:
        state, station = self.yard.state, self.station
        if not self.drawn:
            up = station.eased("stand", 0.0 if state.stands else STAND_UP_M, 5.0) + (held_up or 0.0)
            up = min(STAND_UP_M, max(0.0, up)) * self.px_per_m
            for name in ("jack_2", "jack"):
                if before == (name == "jack_2") and self.has(name):
                    x, y = self.on(name)
                    if state.stands and state.weight == "stands":  # slid down until it bears
                        pin, foot = station.anchor("stand", "sleeve_pin"), station.anchor("stand", "foot")
                        y = self.ground_y - (foot[1] - pin[1]) * self.size
                    station.put(
                        surface, "stand", (x, y - up), station.anchor("stand", "sleeve_pin"), self.size
                    )
            return
        if before:
            return
        up = station.eased("stand", 0.0 if state.stands else 1.0, 4.0)
        if held_up is not None:
            up = min(1.0, max(0.0, up + held_up / STAND_UP_M))
        x, y = self.on("jack")
        turned = round(_SWIVEL_DEG * max(0.0, 2 * up - 1) / 4) * 4.0
        foot_down = self.ground_y - y
        drawn_in = min(1.0, 2 * up) * (foot_down - 26 * 0.9 * self.size)
        foot = station.anchor("jack_foot", "foot")
        at = station.turned((x, y), (0.0, foot_down - drawn_in), turned)
        station.put(surface, "jack_foot", at, foot, self.size, turned)
        station.put(surface, "jack", (x, y), station.anchor("jack", "sleeve"), self.size, turned)
        gear = station.from_anchor("jack", "sleeve", (x, y), "gear", turned, self.size)
        crank = round(station.eased("jack", self._crank_um / _CRANK_UM * 360) / 6) * 6.0 % 360
        station.put(surface, "jack_crank", gear, station.anchor("jack_crank", "axle"), self.size, crank)

    def _draw_spin(self, surface: pygame.Surface, spin: Spin, function: int) -> None:
        place = self._spin_at(spin)
        if place is None:
            return
        if function < 0 and spin.style == "blades" and self.implement.name.startswith("general"):
            return
        view, px, angle = self.station.view, self.station.px, self._angle_of(function)
        x, y = view.at(*place)
        far = spin.radius * 0.9 * self._implement_size * view.scale
        if spin.style == "disc":  # seen edge on: what stands on it goes to and fro
            for blade in range(4):
                swung = angle + blade * math.pi / 2
                if math.sin(swung) > 0:
                    dx, wide = far * math.cos(swung), max(2.0, far * 0.18 * abs(math.sin(swung)))
                    box = pygame.Rect(0, 0, round(wide), max(2, px(5 * self._implement_size)))
                    box.midbottom = round(x + dx), round(y)
                    pygame.draw.rect(surface, INK, box.inflate(2, 2))
                    pygame.draw.rect(surface, STEEL[4], box)
            return
        count = 12 if spin.style == "tines" else 5
        if spin.style == "blades":
            pygame.draw.aacircle(surface, GRAPHITE[2], (x, y), max(2, round(far * 1.05)))
        elif function < 0 or not self.yard.state.works[function].speed_mrad_s:
            return
        blur = self._blur_of(function)
        for blade in range(count):
            turned = angle + blade * math.tau / count
            first = far * (0.55 if spin.style == "tines" else 0.0)
            start = x + first * math.cos(turned), y + first * math.sin(turned)
            tip = x + far * math.cos(turned), y + far * math.sin(turned)
            thick = max(1, px((2 if spin.style == "tines" else 3) * self._implement_size))
            tone = mix(STEEL[3], GRAPHITE[4], 0.75 * blur)
            pygame.draw.aaline(surface, tone, start, tip, thick)
        if blur > 0:
            radius, key = max(2, round(far)), round(blur * 8)
            disc = self.yard.kit.keep(
                ("blades", radius, key), lambda: blurred_blades(radius, key / 8, STEEL[4])
            )
            surface.blit(disc, disc.get_rect(center=(x, y)))
        pygame.draw.aacircle(surface, PLUM[4], (x, y), max(1, px(3 * self._implement_size)))

    def draw_linkage(self, surface: pygame.Surface) -> None:
        """Drawbar and links; for a mounted machine the coupler, for a drawn one shaft and chain."""
        state, station = self.yard.state, self.station
        arm = self.yard.case.tractor.linkage
        shift = station.eased("drawbar", _HOOKED_DRAWBAR_CM if state.drawbar_stowed else 0.0, 5.0) * self.size
        root = self.on_tractor("drawbar_root")
        if self.drawn:
            x, y = self.drawbar_pin()
            station.put(surface, "drawbar", (x - shift, y), station.anchor("drawbar", "hook"), self.size)
        else:
            at = root[0] - shift, root[1]
            station.put(surface, "drawbar", at, station.anchor("drawbar", "drawbar_root"), self.size)
        low, ball = self._from_axle(*arm.lower_pivot_m), self.ball()
        front, rear = station.anchor("lower_link", "front_ball"), station.anchor("lower_link", "ball")
        long = round(math.dist(low, ball) / math.dist(front, rear), 3)
        station.put(surface, "lower_link", low, front, long, round(math.degrees(self.angle())))
        if self.drawn:
            self._draw_shaft_and_chain(surface, root)
        else:
            self._draw_coupler(surface, ball)
        if any(at >= 0 for at in state.hose_at):
            self._draw_hoses(surface)

    def _draw_coupler(self, surface: pygame.Surface, ball: Place) -> None:
        station, pitch = self.station, self.coupler_deg()
        coupler = station.anchor("quick_coupler_side", "ball")
        station.put(surface, "quick_coupler_side", ball, coupler, self.size, pitch)
        top = self._from_axle(*self.yard.case.tractor.linkage.top_pivot_m)
        end = station.from_anchor("quick_coupler_side", "ball", ball, "top_link_pin", pitch, self.size)
        eye, other = station.anchor("top_link", "tractor_eye"), station.anchor("top_link", "implement_eye")
        size = math.dist(top, end) / math.dist(eye, other)
        lean = round(math.degrees(math.atan2(top[1] - end[1], end[0] - top[0])))
        station.put(surface, "top_link", top, eye, round(size, 2), lean)

    def _draw_shaft_and_chain(self, surface: pygame.Surface, root: Place) -> None:
        view, px, state = self.station.view, self.station.px, self.yard.state
        coupled = any(
            at >= 0 and hose.role == "shaft"
            for hose, at in zip(self.yard.case.implement.hoses, state.hose_at, strict=True)
        )
        if coupled and self.has("drive"):
            first, last = view.at(*self.on_tractor("pto_stub")), view.at(*self.on("drive"))
            for thick, tone in ((10, INK), (7.5, GRAPHITE[3]), (2, GRAPHITE[5])):
                pygame.draw.aaline(surface, tone, first, last, max(1, px(thick * self.size)))
        if state.chained and self.has("chain"):
            end = self.on("chain")
            dots = []
            for step in range(9):
                t = step / 8
                sag = 15 * self.size * 4 * t * (1 - t)
                dots.append(
                    view.at(
                        root[0] + 20 + (end[0] - root[0] - 20) * t, root[1] + (end[1] - root[1]) * t + sag
                    )
                )
            pygame.draw.lines(surface, INK, False, dots, max(2, px(4 * self.size)))
            pygame.draw.lines(surface, STEEL[3], False, dots, max(1, px(2 * self.size)))

    def _draw_hoses(self, surface: pygame.Surface) -> None:
        """The hoses that are on: they hang by what they are longer than the straight way, down to the
        ground and no further."""
        start, end = self.on_tractor("hose_root"), self.on("hose_root")
        state, far = self.yard.state, math.dist(start, end)
        hoses = self.yard.case.implement.hoses
        on = [index for index, at in enumerate(state.hose_at) if at >= 0 and hoses[index].role != "shaft"]
        for place, index in enumerate(on[:_HOSES_SHOWN]):
            sag = hang(far, slack(self.yard.case, state, index)) * (0.8 + 0.1 * place)
            dots = []
            for step in range(13):
                t = step / 12
                x = start[0] + (end[0] - start[0]) * t
                y = start[1] + (end[1] - start[1]) * t + sag * 4 * t * (1 - t)
                dots.append(self.station.view.at(x, min(y, self.ground_y + place)))
            pygame.draw.lines(surface, INK, False, dots, max(2, self.station.px(5 * self.size)))
            pygame.draw.lines(surface, GRAPHITE[4], False, dots, max(1, self.station.px(2.5 * self.size)))

    def draw_tractor(self, surface: pygame.Surface, shake: float = 0.0, turned: bool = True) -> None:
        """The tractor with its ballast; its wheels turn as far as it rolls."""
        look, station, state = self.tractor, self.station, self.yard.state
        at = self.axle_x(), self.ground_y + shake
        station.put(surface, look.side, at, station.anchor(look.side, "rear_axle_ground"), self._tractor_size)
        if state.ballast_kg:
            hook = self.on_tractor("ballast_hook")
            steps = self.yard.case.tractor.ballast_steps_kg
            count = max(1, round(state.ballast_kg / max(1, next((kg for kg in steps if kg), 1))))
            for index in range(count):
                place = hook[0] + (9 - 7 * index) * self.size, hook[1]
                anchor = station.anchor("front_ballast", "ballast_hook")
                station.put(surface, "front_ballast", place, anchor, 0.8 * self.size)
        for name, point in ((look.front, "front_axle"), (look.rear, "rear_axle")):
            self._draw_wheel(surface, name, self.on_tractor(point), turned)

    def draw_rear_wheel(self, surface: pygame.Surface) -> None:
        """What of the tractor is to be seen from beside the implement."""
        x, y = self.on_tractor("rear_axle")
        if x + self.ground_y - y > 0:
            self._draw_wheel(surface, self.tractor.rear, (x, y), False)

    def _draw_wheel(self, surface: pygame.Surface, name: str, at: Place, turned: bool) -> None:
        station, size = self.station, self._tractor_size
        radius = (station.anchor(name, "ground")[1] - station.anchor(name, "axle")[1]) * size
        way = round(math.degrees(self.gap() / radius) / 4) * 4.0 % 360 if turned else 0.0
        station.put(surface, name, at, station.anchor(name, "axle"), size, way)
        light = f"{name}_light"
        station.put(surface, light, at, station.anchor(light, "axle"), size)

    def draw_joint(self, surface: pygame.Surface, at: Place, secured: bool) -> None:
        """Pin, clip and chain of a further joint: home, or lying loose beside it."""
        view, px, s = self.station.view, self.station.px, self.size
        up = 0.0 if secured else 20 * s
        top, low = (at[0], at[1] - 16 * s - up), (at[0], at[1] + 12 * s - up)
        for thick, tone in ((7, INK), (4.5, STEEL[4])):
            pygame.draw.aaline(surface, tone, view.at(*top), view.at(*low), max(1, px(thick * s)))
        pygame.draw.aacircle(surface, INK, view.at(*top), max(2, px(6 * s)))
        pygame.draw.aacircle(surface, SAND[3], view.at(*top), max(1, px(4.4 * s)))
