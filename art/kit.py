"""Drawing kit: writes plain SVG that pygame-ce's loader draws faithfully.

Only paths, circles, ellipses, groups, opacity and gradients in user space are used: the loader knows
no text, no clip paths, no masks and no object-box gradients. Side views are drawn in centimetres with
y up (``flip=True``), panels in pixels with y down.
"""

from __future__ import annotations

import math
import re
from pathlib import Path

HERE = Path(__file__).parent

# plum-grey (bodywork), sand (rims, boxes, pale parts), graphite (chassis, rubber), steel, ice (accent)
PLUM = ["#2b232f", "#40354a", "#5a4d62", "#786a80", "#9c8fa3", "#c6bccb", "#e2dce5"]
SAND = ["#4f4435", "#77674f", "#a08c6c", "#c3b08e", "#dccdb0", "#ece3d0", "#f6f1e6"]
GRAPH = ["#131417", "#1e2024", "#2c2f34", "#3e4248", "#565b62", "#757b83", "#999fa6"]
STEEL = ["#4b5158", "#737a82", "#9aa1a8", "#bfc5ca", "#dde1e4", "#f2f4f5"]
ICE = ["#173f45", "#28676d", "#3f939a", "#74bec2", "#b3dfe0", "#e0f3f3"]
LINE = "#1c191f"
SOFT = "#3a343e"

Point = tuple[float, float]
Stop = str | tuple[float, str] | tuple[float, str, float]

DRAWN: dict[str, Sheet] = {}  # every sheet written in this run, by name

_TOKEN = re.compile(r"[MLHVCSQTAZ]|-?\d*\.?\d+(?:e-?\d+)?")
_ARITY = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}


def num(value: float) -> str:
    """Shortest text of a coordinate, two decimals at most.

    >>> num(3.0), num(-0.001), num(2.456)
    ('3', '0', '2.46')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def mix(first: str, second: str, share: float) -> str:
    """Colour between two hex colours, `share` in 0..1 of the second.

    >>> mix("#000000", "#ffffff", 0.5)
    '#808080'
    """
    one = [int(first[i : i + 2], 16) for i in (1, 3, 5)]
    two = [int(second[i : i + 2], 16) for i in (1, 3, 5)]
    return "#" + "".join(f"{round(a + (b - a) * share):02x}" for a, b in zip(one, two, strict=True))


def polar(cx: float, cy: float, radius: float, degrees: float) -> Point:
    """Point on a circle, degrees from +x in the sheet's own axes."""
    angle = math.radians(degrees)
    return cx + radius * math.cos(angle), cy + radius * math.sin(angle)


def rounded(points: list[Point], radius: float | list[float], close: bool = True) -> str:
    """Path through points with corners rounded by quadratic curves; radius in drawing units."""
    count = len(points)
    radii = radius if isinstance(radius, list) else [radius] * count
    parts: list[str] = []
    for i, (x, y) in enumerate(points):
        if not close and i in (0, count - 1):
            parts.append(f"{'M' if i == 0 else 'L'} {x} {y}")
            continue
        ends: list[Point] = []
        for ox, oy in (points[i - 1], points[(i + 1) % count]):
            length = math.hypot(ox - x, oy - y) or 1.0
            cut = min(radii[i], length * 0.5)
            ends.append((x + (ox - x) * cut / length, y + (oy - y) * cut / length))
        parts.append(f"{'M' if not parts else 'L'} {ends[0][0]} {ends[0][1]}")
        if radii[i] > 0:
            parts.append(f"Q {x} {y} {ends[1][0]} {ends[1][1]}")
    return " ".join(parts) + (" Z" if close else "")


def spline(points: list[Point], close: bool = False, tension: float = 1.0) -> str:
    """Smooth path through points (Catmull-Rom written as cubic curves)."""
    count = len(points)
    parts = [f"M {points[0][0]} {points[0][1]}"]
    for i in range(count if close else count - 1):
        if close:
            p0, p1, p2, p3 = (points[(i + k) % count] for k in (-1, 0, 1, 2))
        else:
            p0, p1 = points[max(i - 1, 0)], points[i]
            p2, p3 = points[i + 1], points[min(i + 2, count - 1)]
        k = tension / 6
        parts.append(
            f"C {p1[0] + (p2[0] - p0[0]) * k} {p1[1] + (p2[1] - p0[1]) * k} "
            f"{p2[0] - (p3[0] - p1[0]) * k} {p2[1] - (p3[1] - p1[1]) * k} {p2[0]} {p2[1]}"
        )
    return " ".join(parts) + (" Z" if close else "")


class Sheet:
    """One SVG file. Coordinates are drawing units; `scale` px per unit, origin (ox, oy) in px."""

    def __init__(
        self,
        name: str,
        width: float,
        height: float,
        scale: float = 1.0,
        ox: float = 0.0,
        oy: float = 0.0,
        flip: bool = False,
    ) -> None:
        self.name, self.width, self.height = name, width, height
        self.scale, self.ox, self.oy, self.flip = scale, ox, oy, flip
        self.body: list[str] = []
        self.defs: dict[str, str] = {}
        self.placed: list[str] = []
        self.depth = 0
        self.anchors: dict[str, Point] = {}

    # --- mapping -----------------------------------------------------------------------------------
    def px(self, x: float, y: float) -> Point:
        """Drawing units to view-box pixels."""
        return self.ox + x * self.scale, self.oy + (-y if self.flip else y) * self.scale

    def mark(self, **spots: Point) -> None:
        """Name anchor points, given in drawing units, kept in view-box pixels."""
        for name, (x, y) in spots.items():
            self.anchors[name] = self.px(x, y)

    def _path(self, d: str) -> str:
        tokens = _TOKEN.findall(d)
        out: list[str] = []
        i, command = 0, "M"
        while i < len(tokens):
            if tokens[i].isalpha():
                command = tokens[i]
                i += 1
            size = _ARITY[command]
            values = [float(t) for t in tokens[i : i + size]]
            i += size
            if command == "A":
                x, y = self.px(values[5], values[6])
                sweep = int(values[4]) ^ int(self.flip)
                rx, ry = values[0] * self.scale, values[1] * self.scale
                out.append(f"A{num(rx)} {num(ry)} {num(values[2])} {int(values[3])} {sweep} {num(x)} {num(y)}")
            elif command == "H":
                out.append("H" + num(self.px(values[0], 0)[0]))
            elif command == "V":
                out.append("V" + num(self.px(0, values[0])[1]))
            elif command == "Z":
                out.append("Z")
            else:
                pairs = [self.px(values[k], values[k + 1]) for k in range(0, size, 2)]
                out.append(command + " ".join(f"{num(x)} {num(y)}" for x, y in pairs))
                if command == "M":
                    command = "L"
        return "".join(out)

    # --- paint -------------------------------------------------------------------------------------
    def _stops(self, stops: tuple[Stop, ...]) -> str:
        out = []
        for i, stop in enumerate(stops):
            if isinstance(stop, str):
                offset, colour, alpha = i / max(len(stops) - 1, 1), stop, 1.0
            elif len(stop) == 2:
                offset, colour, alpha = stop[0], stop[1], 1.0
            else:
                offset, colour, alpha = stop
            extra = f' stop-opacity="{num(alpha)}"' if alpha < 1 else ""
            out.append(f'<stop offset="{num(offset)}" stop-color="{colour}"{extra}/>')
        return "".join(out)

    def _gradient(self, text: str) -> str:
        if text not in self.defs:
            self.defs[text] = f"g{len(self.defs)}"
        return f"url(#{self.defs[text]})"

    def lin(self, x1: float, y1: float, x2: float, y2: float, *stops: Stop) -> str:
        """Linear gradient between two points in drawing units."""
        (a, b), (c, d) = self.px(x1, y1), self.px(x2, y2)
        at = f'x1="{num(a)}" y1="{num(b)}" x2="{num(c)}" y2="{num(d)}"'
        return self._gradient(
            f'<linearGradient id="@" gradientUnits="userSpaceOnUse" {at}>{self._stops(stops)}</linearGradient>'
        )

    def rad(self, cx: float, cy: float, r: float, *stops: Stop, squash: float = 1.0) -> str:
        """Radial gradient; squash < 1 flattens it vertically."""
        x, y = self.px(cx, cy)
        turn = ""
        if squash != 1.0:
            turn = f' gradientTransform="matrix(1 0 0 {squash:g} 0 {num(y * (1 - squash))})"'
        at = f'cx="{num(x)}" cy="{num(y)}" r="{num(r * self.scale)}"{turn}'
        return self._gradient(
            f'<radialGradient id="@" gradientUnits="userSpaceOnUse" {at}>{self._stops(stops)}</radialGradient>'
        )

    # --- shapes ------------------------------------------------------------------------------------
    def _style(
        self, fill: str | None, stroke: str | None, sw: float, op: float, cap: str = "", dash: str = ""
    ) -> str:
        out = f' fill="{fill or "none"}"'
        if stroke:
            out += f' stroke="{stroke}" stroke-width="{num(sw)}" stroke-linejoin="round"'
            if cap:
                out += f' stroke-linecap="{cap}"'
            if dash:
                out += f' stroke-dasharray="{dash}"'
        if op < 1:
            out += f' opacity="{num(op)}"'
        return out

    def p(
        self,
        d: str,
        fill: str | None = None,
        stroke: str | None = None,
        sw: float = 1.2,
        op: float = 1.0,
        cap: str = "round",
        dash: str = "",
    ) -> None:
        """Path in drawing units, absolute commands only."""
        self.body.append(f'<path d="{self._path(d)}"{self._style(fill, stroke, sw, op, cap if stroke else "", dash)}/>')

    def poly(
        self,
        points: list[Point],
        fill: str | None = None,
        stroke: str | None = None,
        sw: float = 1.2,
        r: float | list[float] = 0.0,
        op: float = 1.0,
    ) -> None:
        """Polygon with rounded corners."""
        self.p(rounded(points, r), fill, stroke, sw, op)

    def box(
        self,
        x: float,
        y: float,
        w: float,
        h: float,
        fill: str | None = None,
        stroke: str | None = None,
        sw: float = 1.2,
        r: float = 0.0,
        op: float = 1.0,
    ) -> None:
        """Box from its corner (x, y) in drawing units."""
        self.poly([(x, y), (x + w, y), (x + w, y + h), (x, y + h)], fill, stroke, sw, r, op)

    def c(
        self,
        cx: float,
        cy: float,
        r: float,
        fill: str | None = None,
        stroke: str | None = None,
        sw: float = 1.2,
        op: float = 1.0,
    ) -> None:
        """Circle."""
        x, y = self.px(cx, cy)
        self.body.append(
            f'<circle cx="{num(x)}" cy="{num(y)}" r="{num(r * self.scale)}"{self._style(fill, stroke, sw, op)}/>'
        )

    def e(
        self,
        cx: float,
        cy: float,
        rx: float,
        ry: float,
        fill: str | None = None,
        stroke: str | None = None,
        sw: float = 1.2,
        op: float = 1.0,
    ) -> None:
        """Ellipse."""
        x, y = self.px(cx, cy)
        at = f'cx="{num(x)}" cy="{num(y)}" rx="{num(rx * self.scale)}" ry="{num(ry * self.scale)}"'
        self.body.append(f"<ellipse {at}{self._style(fill, stroke, sw, op)}/>")

    def line(
        self,
        points: list[Point],
        stroke: str = LINE,
        sw: float = 1.2,
        op: float = 1.0,
        cap: str = "round",
        dash: str = "",
    ) -> None:
        """Open polyline, width in px."""
        d = "M " + " L ".join(f"{x} {y}" for x, y in points)
        self.p(d, None, stroke, sw, op, cap, dash)

    def push(self, transform: str) -> None:
        """Open a group with an SVG transform in view-box pixels."""
        self.body.append(f'<g transform="{transform}">')
        self.depth += 1

    def turn(self, degrees: float, x: float, y: float) -> None:
        """Open a group turned about a point in drawing units; positive is clockwise on the screen."""
        a, b = self.px(x, y)
        self.push(f"rotate({num(degrees)} {num(a)} {num(b)})")

    def pop(self) -> None:
        """Close the last group."""
        self.body.append("</g>")
        self.depth -= 1

    # --- parts made of several shapes -----------------------------------------------------------------
    def tube(
        self,
        d: str,
        width: float,
        tones: tuple[str, str, str] = (GRAPH[1], GRAPH[3], GRAPH[5]),
        edge: str = LINE,
        sw: float = 1.0,
        cap: str = "butt",
    ) -> None:
        """Pipe or hose along a path: edge, body, core of light; width in drawing units."""
        w = width * self.scale
        self.p(d, None, edge, w + 2 * sw, cap=cap)
        self.p(d, None, tones[0], w, cap=cap)
        self.p(d, None, tones[1], w * 0.66, cap=cap)
        self.p(d, None, tones[2], max(w * 0.2, 0.5), 0.8, cap=cap)

    def shade(self, d: str, op: float = 0.25, colour: str = "#0d0b10") -> None:
        """Darken an area."""
        self.p(d, colour, op=op)

    def bolt(self, x: float, y: float, r: float, tone: int = 2) -> None:
        """Hexagon bolt head with washer."""
        self.c(x, y, r * 1.35, STEEL[0], LINE, 0.7)
        points = [polar(x, y, r, 60 * k + 12) for k in range(6)]
        self.poly(points, self.lin(x - r, y, x + r, y, STEEL[min(tone + 2, 5)], STEEL[tone - 1]), LINE, 0.6)

    def pin(self, x: float, y: float, r: float) -> None:
        """Turned pin end seen along its axis, with chamfer and centre."""
        self.c(x, y, r, self.lin(x - r, y, x + r, y, STEEL[4], STEEL[2], STEEL[0]), LINE, 1.0)
        self.c(x, y, r * 0.62, STEEL[3], STEEL[1], 0.6)
        self.c(x, y, r * 0.16, STEEL[0])

    def ground_shadow(self, cx: float, cy: float, rx: float, ry: float, op: float = 0.45) -> None:
        """Soft contact shadow on the ground."""
        fill = self.rad(
            cx, cy, rx, (0, "#120e14", op), (0.55, "#120e14", op * 0.6), (1, "#120e14", 0.0), squash=ry / rx
        )
        self.e(cx, cy, rx, ry, fill)

    def place(self, other: Sheet, x: float, y: float, size: float, dusk: str = "", share: float = 0.0) -> None:
        """Set another sheet into this one: its corner at (x, y) px, `size` times as large, colours drawn to `dusk`."""
        tag = f"p{len(self.placed)}"
        text = "\n".join(other.body).replace("url(#g", f"url(#{tag}g")
        defs = "".join(d.replace('id="@"', f'id="{tag}{key}"') for d, key in other.defs.items())
        if dusk:
            text, defs = (re.sub(r"#[0-9a-f]{6}", lambda m: mix(m.group(), dusk, share), t) for t in (text, defs))
        self.placed.append(defs)
        self.body.append(f'<g transform="translate({num(x)} {num(y)}) scale({size:g})">{text}</g>')

    # --- file ----------------------------------------------------------------------------------------
    def text(self) -> str:
        """The SVG text."""
        if self.depth:
            raise ValueError(f"{self.name}: {self.depth} group(s) left open")
        defs = "".join(text.replace('id="@"', f'id="{key}"') for text, key in self.defs.items())
        defs += "".join(self.placed)
        w, h = num(self.width), num(self.height)
        head = f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}" height="{h}" viewBox="0 0 {w} {h}">'
        lines = [head] + ([f"<defs>{defs}</defs>"] if defs else []) + self.body + ["</svg>", ""]
        return "\n".join(lines)

    def save(self) -> None:
        """Write the file beside this script."""
        (HERE / f"{self.name}.svg").write_text(self.text(), encoding="utf-8")
        DRAWN[self.name] = self
