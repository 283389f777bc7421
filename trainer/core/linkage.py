"""The three-point linkage in side view: reach, pitch, virtual hitch point, sway, and its dimension tables.

x runs rearward from the rear axle, z up, lengths in m, angles in rad. P1 and P2 are the tractor's lower and
top pivots, B the ball at the end of the lower link, C the top of the implement's mast. A pitch above nought
is nose down. Nothing clamps: what cannot be reached is told.
"""

import math
from dataclasses import dataclass
from typing import Final

Point = tuple[float, float]

_PARALLEL: Final = 1e-9
_INCH_M: Final = 0.0254
_HORSEPOWER_W: Final = 745.699872


class OutOfReach(ValueError):
    """The top link cannot join its pivot to the mast.

    `shortest_m` and `longest_m` are the lengths between which it could.

    >>> OutOfReach(1.2, 0.4, 1.1).longest_m
    1.1
    """

    def __init__(self, top_link_m: float, shortest_m: float, longest_m: float) -> None:
        super().__init__(
            f"a top link of {top_link_m:.3f} m cannot reach: {shortest_m:.3f} to {longest_m:.3f} m would"
        )
        self.top_link_m = top_link_m
        self.shortest_m = shortest_m
        self.longest_m = longest_m


@dataclass(frozen=True, slots=True)
class Linkage:
    """A tractor's linkage with an implement's mast: pivots P1 and P2, lower link P1-B, mast B-C.

    `mast_height_m` is C above B and `mast_offset_m` C behind B when the implement stands plumb.
    """

    lower_pivot_m: Point
    top_pivot_m: Point
    lower_link_m: float
    mast_height_m: float
    mast_offset_m: float = 0.0


def ball_m(linkage: Linkage, angle_rad: float) -> Point:
    """Return the place of the lower ball for a lower link `angle_rad` above level.

    >>> ball_m(Linkage((0.05, 0.55), (0.30, 1.10), 1.05, 0.685), 0.0)
    (1.1, 0.55)
    """
    return (
        linkage.lower_pivot_m[0] + linkage.lower_link_m * math.cos(angle_rad),
        linkage.lower_pivot_m[1] + linkage.lower_link_m * math.sin(angle_rad),
    )


def ball_height_m(linkage: Linkage, angle_rad: float) -> float:
    """Return the height in m of the lower ball above the level the pivots are measured from.

    >>> round(ball_height_m(Linkage((0.05, 0.55), (0.30, 1.10), 1.05, 0.685), math.radians(30.0)), 3)
    1.075
    """
    return ball_m(linkage, angle_rad)[1]


def angle_for_ball_height_rad(linkage: Linkage, height_m: float) -> float:
    """Return the lower link's angle in rad, -π/2 to π/2, that puts the ball at `height_m`.

    Raises ValueError for a height the link cannot reach.

    >>> angle_for_ball_height_rad(Linkage((0.05, 0.55), (0.30, 1.10), 1.05, 0.685), 0.55)
    0.0
    """
    rise = (height_m - linkage.lower_pivot_m[1]) / linkage.lower_link_m
    if not -1.0 <= rise <= 1.0:
        raise ValueError(f"the lower link cannot bring its ball to {height_m:.3f} m")
    return math.asin(rise)


def top_link_reach_m(linkage: Linkage, angle_rad: float) -> tuple[float, float]:
    """Return the shortest and the longest top link in m that can join its pivot to the mast.

    >>> shortest, longest = top_link_reach_m(Linkage((0.05, 0.55), (0.30, 1.10), 1.05, 0.685), 0.0)
    >>> round(shortest, 3), round(longest, 3)
    (0.286, 1.656)
    """
    ball = ball_m(linkage, angle_rad)
    distance = math.hypot(linkage.top_pivot_m[0] - ball[0], linkage.top_pivot_m[1] - ball[1])
    mast = math.hypot(linkage.mast_offset_m, linkage.mast_height_m)
    return abs(distance - mast), distance + mast


def mast_top_m(linkage: Linkage, angle_rad: float, top_link_m: float) -> Point:
    """Return the place of the mast's top pin for a lower link angle and a top link length.

    Of the two places where the circles round B and P2 meet, the higher one. Raises OutOfReach.

    >>> linkage = Linkage((0.05, 0.55), (0.30, 1.10), 1.05, 0.685)
    >>> top = mast_top_m(linkage, 0.0, plumb_top_link_m(linkage, 0.0))
    >>> round(top[0], 6), round(top[1], 6)
    (1.1, 1.235)
    """
    ball = ball_m(linkage, angle_rad)
    towards_x, towards_z = linkage.top_pivot_m[0] - ball[0], linkage.top_pivot_m[1] - ball[1]
    distance = math.hypot(towards_x, towards_z)
    mast = math.hypot(linkage.mast_offset_m, linkage.mast_height_m)
    if distance == 0.0 or not abs(distance - mast) <= top_link_m <= distance + mast:
        raise OutOfReach(top_link_m, abs(distance - mast), distance + mast)
    unit_x, unit_z = towards_x / distance, towards_z / distance
    along = (mast**2 - top_link_m**2 + distance**2) / (2.0 * distance)
    # The bounds above leave at most a rounding error below nought here.
    across = math.copysign(math.sqrt(max(0.0, mast**2 - along**2)), unit_x)
    return ball[0] + along * unit_x - across * unit_z, ball[1] + along * unit_z + across * unit_x


def mast_pitch_rad(linkage: Linkage, angle_rad: float, top_link_m: float) -> float:
    """Return the implement's pitch in rad, above nought when it is nose down.

    A longer top link turns the nose up. Raises OutOfReach, with the lengths that would reach.

    >>> linkage = Linkage((0.05, 0.55), (0.30, 1.10), 1.05, 0.685)
    >>> plumb = plumb_top_link_m(linkage, 0.0)
    >>> round(math.degrees(mast_pitch_rad(linkage, math.radians(-10.0), plumb)), 3)
    -2.163
    """
    ball = ball_m(linkage, angle_rad)
    top = mast_top_m(linkage, angle_rad, top_link_m)
    pitch = math.atan2(top[1] - ball[1], top[0] - ball[0]) - math.atan2(
        linkage.mast_height_m, linkage.mast_offset_m
    )
    return math.remainder(pitch, math.tau)


def plumb_top_link_m(linkage: Linkage, angle_rad: float) -> float:
    """Return the top link length in m that stands the mast plumb at a lower link angle.

    >>> round(plumb_top_link_m(Linkage((0.05, 0.55), (0.30, 1.10), 1.05, 0.685), 0.0), 4)
    0.8113
    """
    ball = ball_m(linkage, angle_rad)
    return math.hypot(
        ball[0] + linkage.mast_offset_m - linkage.top_pivot_m[0],
        ball[1] + linkage.mast_height_m - linkage.top_pivot_m[1],
    )


def virtual_hitch_point_m(linkage: Linkage, angle_rad: float, top_link_m: float) -> Point | None:
    """Return where the lines of lower and top link cross, or None when they are parallel.

    The implement turns about that point at this moment. Raises OutOfReach.

    >>> linkage = Linkage((0.05, 0.55), (0.30, 1.10), 1.05, 0.685)
    >>> crossing = virtual_hitch_point_m(linkage, 0.0, plumb_top_link_m(linkage, 0.0))
    >>> round(crossing[0], 3), round(crossing[1], 3)
    (-2.959, 0.55)
    """
    top = mast_top_m(linkage, angle_rad, top_link_m)
    lower_x, lower_z = math.cos(angle_rad), math.sin(angle_rad)
    upper_x, upper_z = top[0] - linkage.top_pivot_m[0], top[1] - linkage.top_pivot_m[1]
    turn = lower_x * upper_z - lower_z * upper_x
    if abs(turn) <= _PARALLEL * top_link_m:
        return None
    from_x = linkage.top_pivot_m[0] - linkage.lower_pivot_m[0]
    from_z = linkage.top_pivot_m[1] - linkage.lower_pivot_m[1]
    along = (from_x * upper_z - from_z * upper_x) / turn
    return linkage.lower_pivot_m[0] + along * lower_x, linkage.lower_pivot_m[1] + along * lower_z


def distance_to_virtual_point_m(linkage: Linkage, angle_rad: float, top_link_m: float) -> float:
    """Return how far forward of the balls the virtual hitch point lies, in m.

    Infinite for parallel links; below nought when the links cross behind the balls. Raises OutOfReach.

    >>> linkage = Linkage((0.05, 0.55), (0.30, 1.10), 1.05, 0.685)
    >>> round(distance_to_virtual_point_m(linkage, 0.0, plumb_top_link_m(linkage, 0.0)), 3)
    4.059
    """
    crossing = virtual_hitch_point_m(linkage, angle_rad, top_link_m)
    return math.inf if crossing is None else ball_m(linkage, angle_rad)[0] - crossing[0]


def pitch_per_lift(linkage: Linkage, angle_rad: float, top_link_m: float) -> float:
    """Return how many rad the implement pitches per rad of lower link: (Ll/m) sin(t - a) / sin(ψ - t).

    t is the top link's direction and ψ the mast's. Nought for equal parallel links. Raises OutOfReach, and
    ZeroDivisionError where top link and mast lie in one line.

    >>> linkage = Linkage((0.0, 0.5), (0.0, 1.1), 1.0, 0.6)
    >>> round(abs(pitch_per_lift(linkage, 0.2, 1.0)), 9)
    0.0
    """
    ball = ball_m(linkage, angle_rad)
    top = mast_top_m(linkage, angle_rad, top_link_m)
    top_link_rad = math.atan2(top[1] - linkage.top_pivot_m[1], top[0] - linkage.top_pivot_m[0])
    mast_rad = math.atan2(top[1] - ball[1], top[0] - ball[0])
    mast_m = math.hypot(linkage.mast_offset_m, linkage.mast_height_m)
    return (
        linkage.lower_link_m / mast_m * math.sin(top_link_rad - angle_rad) / math.sin(mast_rad - top_link_rad)
    )


def pitch_change_rad(top_link_change_m: float, mast_height_m: float) -> float:
    """Return the change of pitch in rad for a level top link made longer: -ΔLt / h, for small changes.

    >>> round(math.degrees(pitch_change_rad(0.010, 0.610)), 3)
    -0.939
    """
    return -top_link_change_m / mast_height_m


def point_height_m(ball_height_m: float, pitch_rad: float, behind_m: float, above_m: float) -> float:
    """Return the height in m of a point of the implement `behind_m` and `above_m` its lower pins.

    >>> round(point_height_m(0.50, math.radians(2.0), 0.350, 0.0) - 0.50, 4)
    0.0122
    """
    return ball_height_m + behind_m * math.sin(pitch_rad) + above_m * math.cos(pitch_rad)


def parallel_arm_pitch_rad(bar_error_m: float, arm_m: float) -> float:
    """Return the angle in rad by which a bar `bar_error_m` too high turns parallel arms of length `arm_m`.

    Raises ValueError when the error is longer than the arms.

    >>> round(math.degrees(parallel_arm_pitch_rad(0.025, 0.400)), 2)
    3.58
    """
    if abs(bar_error_m) > arm_m:
        raise ValueError("the arms are shorter than the bar is out")
    return math.asin(bar_error_m / arm_m)


def level_reading_m(level_m: float, pitch_rad: float) -> float:
    """Return the gap in m under the end of a spirit level of length `level_m` held level on a pitched bar.

    >>> round(level_reading_m(0.600, math.radians(1.0)) * 1000, 1)
    10.5
    """
    return level_m * math.tan(pitch_rad)


def frame_pitch_rad(height_error_m: float, tongue_m: float) -> float:
    """Return the pitch in rad of a drawn frame whose hitch is `height_error_m` off: atan(dh / tongue).

    >>> round(math.degrees(frame_pitch_rad(0.050, 4.0)), 3)
    0.716
    """
    return math.atan2(height_error_m, tongue_m)


def sway_at_ball_m(block_gap_m: float, block_radius_m: float, lower_link_m: float) -> float:
    """Return the sideways play in m at the ball for a gap at the sway block: g L / r.

    `block_radius_m`, above nought, is how far from its pivot along the link the block sits.

    >>> round(sway_at_ball_m(0.002, 0.350, 1.05), 4)
    0.006
    """
    return block_gap_m * lower_link_m / block_radius_m


def convergence_ahead_m(front_spacing_m: float, rear_spacing_m: float, lower_link_m: float) -> float:
    """Return how far ahead of the balls, in m, the lower links meet in plan view; infinite if they do not.

    >>> round(convergence_ahead_m(0.60, 0.965, 1.05), 3)
    2.776
    """
    narrowing = rear_spacing_m - front_spacing_m
    return math.inf if narrowing <= 0.0 else lower_link_m * rear_spacing_m / narrowing


def row_shift_m(sway_m: float, behind_m: float, convergence_m: float) -> float:
    """Return the sideways shift in m of a row `behind_m` the balls: y (1 + s / D).

    The shift between passes, guess row to guess row, is up to twice that.

    >>> round(row_shift_m(0.006, 1.388, 2.776), 6)
    0.009
    """
    return sway_m * (1.0 + behind_m / convergence_m)


def lift_force_factor(distance_to_virtual_point_m: float, behind_m: float) -> float:
    """Return the force at the balls per weight of an implement `behind_m` them: (Dh + d) / Dh.

    `distance_to_virtual_point_m` runs forward from the balls; infinite (parallel links) gives 1. The
    factor grows as the implement rises. Raises ZeroDivisionError for a point at the balls themselves.

    >>> lift_force_factor(math.inf, 1.6), round(1 / lift_force_factor(2.4, 0.61), 3)
    (1.0, 0.797)
    """
    return 1.0 + behind_m / distance_to_virtual_point_m


# -------------------------------------------------------------------------------------------------- tables


@dataclass(frozen=True, slots=True)
class HitchCategory:
    """Pins and span in m and drawbar power in W of a hitch category, with the standing of the row."""

    name: str
    least_power_w: float
    greatest_power_w: float
    upper_pin_m: float
    lower_pin_m: float
    lower_span_m: float
    standing: str
    source: str


HITCH_CATEGORIES: Final = tuple(
    HitchCategory(
        name,
        least_hp * _HORSEPOWER_W,
        greatest_hp * _HORSEPOWER_W,
        upper_in * _INCH_M,
        lower_in * _INCH_M,
        span_in * _INCH_M,
        "published",
        "encyclopedia table of hitch categories",
    )
    for name, least_hp, greatest_hp, upper_in, lower_in, span_in in (
        ("0", 0.0, 20.0, 5 / 8, 5 / 8, 20.0),
        ("1", 20.0, 45.0, 3 / 4, 7 / 8, 28.0),
        ("2", 40.0, 100.0, 1.0, 1 + 1 / 8, 34.0),
        ("3", 80.0, 225.0, 1 + 1 / 4, 1 + 7 / 16, 40.0),
        ("4", 180.0, math.inf, 1 + 3 / 4, 2.0, 48.0),
    )
)


@dataclass(frozen=True, slots=True)
class MastHeight:
    """Mast height in m of a hitch category, with its standing."""

    category: str
    height_m: float
    standing: str
    source: str


MAST_HEIGHTS: Final = (
    MastHeight("1", 0.460, "memory", "ISO 730 mast heights"),
    MastHeight("2", 0.610, "published", "ISO 730 mast heights"),
    MastHeight("3", 0.685, "published", "ISO 730 mast heights"),
)


@dataclass(frozen=True, slots=True)
class Limits:
    """A range of the trade with its standing; lengths in m."""

    least_m: float
    greatest_m: float
    standing: str
    source: str


TOOLBAR_UNDERSIDE_M: Final = Limits(
    20 * _INCH_M, 22 * _INCH_M, "practice", "planter toolbar at planting depth"
)
SWAY_IN_ROW_CROPS_M: Final = Limits(
    0.0, 0.25 * _INCH_M, "practice", "total sway of an implement in row crops"
)
DRAWBAR_HEIGHT_M: Final = Limits(17 * _INCH_M, 21 * _INCH_M, "published", "drawbar pin above the ground")
QUICK_COUPLER_SET_BACK_M: Final = Limits(0.100, 0.150, "memory", "U-frame quick coupler, ISO 11001-1 type")
OLD_MAST_SHORTER_M: Final = Limits(
    0.125, 0.125, "published", "foreword on S217.11: about so much shorter, categories 2 and 3"
)


def hitch_category(name: str) -> HitchCategory:
    """Return the row of a hitch category '0' to '4', or of a narrow one such as '3N'.

    A narrow category has its own pins and the span of the next smaller. Raises KeyError for another name.

    >>> round(hitch_category("3N").lower_span_m / 0.0254), round(hitch_category("3N").lower_pin_m * 1000, 1)
    (34, 36.5)
    """
    place = {row.name: index for index, row in enumerate(HITCH_CATEGORIES)}
    row = HITCH_CATEGORIES[place[name.removesuffix("N")]]
    if not name.endswith("N"):
        return row
    if row.name == "0":
        raise KeyError(name)
    return HitchCategory(
        name,
        row.least_power_w,
        row.greatest_power_w,
        row.upper_pin_m,
        row.lower_pin_m,
        HITCH_CATEGORIES[place[row.name] - 1].lower_span_m,
        row.standing,
        row.source,
    )
