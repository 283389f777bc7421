"""Where ports, sockets and hose ends lie on the rear panel, and how each end stands: home, stored, loose."""

from __future__ import annotations

import math
from dataclasses import dataclass

from trainer.scene.palette import GRAPHITE, ICE, PLUM, SAND, Colour, mix
from trainer.scene.station import Yard
from trainer.scene.stations import photo as photos
from trainer.scene.stations.hands import Place
from trainer.scene.stations.photo import PhotoLayout

_USUAL_VALVES = 5
SECTION_WIDE = 92.0
_BESIDE = 76.0
"""How far a second port of a kind sits beside the first."""
TO_TANK = ("free_return", "case_drain")
_TO_TANK_LEFT, _TO_TANK_RIGHT = 54.0, 52.0
"""How far beyond their usual places the outer ones stand where a tractor has more than one of each."""
_WIDE_PLATE = 1.4
_FENDER: Place = (126.0, 178.0)
_SPANNER: Place = (24.0, 300.0)
_GUIDES: dict[str, Place] = {"guide": (392.0, 500.0), "guide:right": (590.0, 500.0)}
_DIALS: dict[str, Place] = {"gauge": (788.0, 158.0), "flow_meter": (788.0, 262.0)}
"""Where the dials hang, on the fender, clear of ports and tags; a thin line leads to each."""
_TINTS: tuple[Colour, ...] = (
    GRAPHITE[3],
    mix(GRAPHITE[3], PLUM[2], 0.45),
    mix(GRAPHITE[3], ICE[0], 0.5),
    mix(GRAPHITE[3], SAND[0], 0.5),
)


@dataclass(slots=True)
class End:
    """A hose end, plug or shaft as it is drawn."""

    name: str
    tag: str
    sign: str
    art: str
    home: str
    """The drawing of it pushed home."""
    slot: Place
    width: float
    tint: Colour
    plug: bool
    shaft: bool


class Rear:
    """The places of a tractor's panel and an implement's hose holder; what is on is read from the state."""

    def __init__(self, yard: Yard) -> None:
        self.yard = yard
        self.valve_x: list[float] = []
        self.section = 1.0
        """How wide a valve section is drawn, of its full width."""
        tractor = yard.case.tractor
        self.photo: PhotoLayout | None = None
        """How things lie on the photo of the tractor, where it has one that can be shown."""
        if tractor.photo is not None and yard.art.photo_at((64, 64)) is not None:
            tags = {port.name: port.tag for port in tractor.ports}
            tags |= {socket.name: socket.tag for socket in tractor.sockets}
            self.photo = PhotoLayout(tractor.photo, tags, [hose.tag for hose in yard.case.implement.hoses])
        shown = self.photo is not None
        self.fender = photos.FENDER if shown else _FENDER
        self.spanner = photos.SPANNER if shown else _SPANNER
        self.guides = photos.GUIDES if shown else _GUIDES
        self.dials = photos.DIALS if shown else _DIALS
        self.places = self.photo.places if self.photo is not None else self._port_places()
        self.ends = self._make_ends()

    def _port_places(self) -> dict[str, Place]:
        """Where each port and socket sits: valves side by side, the others by their kind."""
        tractor, note = self.yard.case.tractor, self.yard.art.note
        count = max(1, len(tractor.valves))
        first, last = float(note("panel_ports", "v1_extend")[0]), float(note("panel_ports", "v5_extend")[0])
        usual = (last - first) / 4
        step = usual if count <= _USUAL_VALVES + 1 else (usual * _USUAL_VALVES) / (count - 1)
        left = first if count >= _USUAL_VALVES else (first + last - step * (count - 1)) / 2
        self.section = min(1.0, step / SECTION_WIDE)
        self.valve_x = [left + step * index for index in range(len(tractor.valves))]
        places: dict[str, Place] = {}
        kinds: list[str] = []
        for port in tractor.ports:
            if port.kind in ("extend", "retract"):
                places[port.name] = (
                    self.valve_x[port.valve],
                    float(note("panel_ports", f"v1_{port.kind}")[1]),
                )
                continue
            x, y = note("panel_ports", "pto_stub" if port.kind == "pto" else port.kind)
            places[port.name] = float(x) + _BESIDE * kinds.count(port.kind), float(y)
            kinds.append(port.kind)
        self._spread(places)
        for socket in tractor.sockets:
            role = "lighting" if "seven" in socket.form else "implement_bus"
            x, y = note("panel_ports", role)
            places[socket.name] = float(x) - _BESIDE * kinds.count(role), float(y)
            kinds.append(role)
        return places

    def _spread(self, places: dict[str, Place]) -> None:
        """More than the usual two ports to tank stand evenly on a wider plate, returns left of drains."""
        home = self._to_tank()
        if len(home) <= len(TO_TANK):
            return
        (left, y), (right, _) = (self.yard.art.note("panel_ports", kind) for kind in TO_TANK)
        first, last = float(left) - _TO_TANK_LEFT, float(right) + _TO_TANK_RIGHT
        step = (last - first) / (len(home) - 1)
        for index, port in enumerate(home):
            places[port] = first + step * index, float(y)

    def _to_tank(self) -> list[str]:
        """Ports that lead straight to the tank, from the left."""
        return [port.name for kind in TO_TANK for port in self.yard.case.tractor.ports if port.kind == kind]

    def plate_to_tank(self) -> tuple[float, float]:
        """How far right of its usual place the plate of these ports stands, and how much wider it is."""
        if len(self._to_tank()) <= len(TO_TANK):
            return 0.0, 1.0
        return (_TO_TANK_RIGHT - _TO_TANK_LEFT) / 2, _WIDE_PLATE

    def _slots(self) -> list[Place]:
        """Where the ends of hoses, then of plugs, hang in the holder: the more, the closer together."""
        implement, note = self.yard.case.implement, self.yard.art.note
        (first, y), last = note("panel_rack", "hose_1"), note("panel_rack", "plug_2")[0]
        apart = last - note("panel_rack", "plug_1")[0]
        plugs = [last - apart * (len(implement.plugs) - 1 - index) for index in range(len(implement.plugs))]
        count = len([hose for hose in implement.hoses if hose.role != "shaft"])
        room = (plugs[0] if plugs else last + apart) - apart - first
        step = min(note("panel_rack", "hose_2")[0] - first, room / max(1, count - 1))
        return [(float(x), float(y)) for x in (*(first + step * index for index in range(count)), *plugs)]

    def _make_ends(self) -> dict[str, End]:
        case, art = self.yard.case, self.yard.art
        ends: dict[str, End] = {}
        hoses = sorted(
            (hose for hose in case.implement.hoses if hose.role != "shaft"), key=lambda one: one.root_m[0]
        )
        slots = self._slots()
        for index, hose in enumerate(hoses):
            function = case.implement.functions[hose.function]
            x, y = slots[index]
            form = "return" if hose.role == "return" and function.one_way_return else hose.form
            width = 5.0 + hose.line.bore_m * 1000 * 0.55
            ends[hose.name] = End(
                hose.name,
                hose.tag,
                function.kind,
                f"end_{form}",
                f"plugged_{form}",
                (float(x), float(y)),
                width,
                _TINTS[hose.function % len(_TINTS)],
                False,
                False,
            )
        for hose in case.implement.hoses:
            if hose.role == "shaft":
                x, y = art.note("panel_rack", "drive_shaft")
                ends[hose.name] = End(
                    hose.name,
                    hose.tag,
                    "shaft",
                    "pto_shaft_end",
                    "pto_shaft_plugged",
                    (float(x), float(y)),
                    32.0,
                    GRAPHITE[3],
                    False,
                    True,
                )
        for index, plug in enumerate(case.implement.plugs):
            x, y = slots[len(hoses) + index]
            ends[plug.name] = End(
                plug.name,
                plug.tag,
                plug.role,
                f"plug_{plug.role}",
                f"plug_{plug.role}_back",
                (float(x), float(y)),
                8.0,
                GRAPHITE[2],
                True,
                False,
            )
        return ends

    def on(self, end: End) -> str:
        """Name of the port or socket an end is home in, or ''."""
        case, state = self.yard.case, self.yard.state
        if end.plug:
            at = state.plug_at[case.plug(end.name)]
            return case.tractor.sockets[at].name if at >= 0 else ""
        at = state.hose_at[case.hose(end.name)]
        return case.tractor.ports[at].name if at >= 0 else ""

    def stored(self, end: End) -> bool:
        case, state = self.yard.case, self.yard.state
        return state.plug_stored[case.plug(end.name)] if end.plug else state.hose_stored[case.hose(end.name)]

    def capped(self, end: End) -> bool:
        return not end.plug and self.yard.state.hose_capped[self.yard.case.hose(end.name)]

    def clean(self, end: End) -> bool:
        return end.plug or end.shaft or self.yard.state.hose_clean[self.yard.case.hose(end.name)]

    def routed(self, end: End) -> bool:
        case, state = self.yard.case, self.yard.state
        index = len(state.hose_at) + case.plug(end.name) if end.plug else case.hose(end.name)
        return state.routed[index]

    def taken_ports(self) -> dict[str, str]:
        """Port or socket name to the end that is in it."""
        return {port: end.name for end in self.ends.values() if (port := self.on(end))}

    @property
    def size(self) -> float:
        """How large what sits in a port is drawn, of its full size."""
        return self.photo.size if self.photo is not None else 1.0

    def leaves(self, port: str) -> float:
        """Angle in degrees, from straight down, at which a hose leaves a port: clear of the one below."""
        if self.photo is not None:
            return self.photo.leans[port]
        if port.endswith("_extend"):
            return 56.0
        if port.endswith("_retract"):
            return -52.0
        return 0.0

    def mouth(self, port: str, far: float = 40.0) -> Place:
        x, y = self.places[port]
        far *= self.size
        angle = math.radians(self.leaves(port))
        return x + far * math.sin(angle), y + far * math.cos(angle)

    def sleeve(self, port: str) -> Place:
        """Where the tag of a hose that is home is read: on the hose, clear of the ports' own plates."""
        if self.photo is not None:
            return self.photo.sleeve_at[port]
        x, y = self.places[port]
        if port.endswith("_extend"):
            return x + 46.0, y + 58.0
        if port.endswith("_retract"):
            return x - 42.0, y + 46.0
        home = self._to_tank()
        if port not in home:
            return x, y + 62.0
        # Where many stand close, every second tag hangs lower.
        return x, y + 46.0 + (22.0 if len(home) > len(TO_TANK) and home.index(port) % 2 else 0.0)

    def tag_at(self, name: str, above: float) -> Place:
        """Where the tag of a port or socket is read: so far above it, or where the photo leaves room."""
        if self.photo is not None:
            return self.photo.tag_at[name]
        x, y = self.places[name]
        return x, y - above

    def rest(self, end: End) -> Place:
        """Where the hose meets the end as things stand."""
        port = self.on(end)
        if port:
            return self.mouth(port)
        x, y = end.slot
        return (x, y + 40.0) if self.stored(end) else (x - 12.0, y + 2.0)
