"""Seed spacing and rate, the length of row that makes a thousandth of an acre, and speed source errors.

Populations in seeds per m², row spacings and lengths in m, speeds in m/s.
"""

import math
from dataclasses import dataclass
from typing import Final

ACRE_M2: Final = 4046.8564224


@dataclass(frozen=True, slots=True)
class SpeedSource:
    """A source of machine-selected speed by its code (ISO 11783-7), with its standing."""

    code: int
    name: str
    standing: str


SPEED_SOURCES: Final = tuple(
    SpeedSource(code, name, "published")
    for code, name in enumerate(("wheel", "ground_radar", "navigation", "blended", "simulated"))
)


def seed_spacing_m(population_per_m2: float, row_spacing_m: float) -> float:
    """Return the spacing in m of seeds in the row: 1 / (population x row spacing), both above nought.

    >>> round(seed_spacing_m(30_000 / ACRE_M2, 30 * 0.0254) / 0.0254, 1)
    7.0
    """
    return 1.0 / (population_per_m2 * row_spacing_m)


def seeds_per_m(population_per_m2: float, row_spacing_m: float) -> float:
    """Return how many seeds lie in a metre of row.

    >>> round(seeds_per_m(200_000 / ACRE_M2, 15 * 0.0254) * 0.3048, 2)
    5.74
    """
    return population_per_m2 * row_spacing_m


def seeds_per_s_per_row(population_per_m2: float, row_spacing_m: float, speed_m_s: float) -> float:
    """Return how many seeds per s one row drops at a ground speed.

    >>> round(seeds_per_s_per_row(34_000 / ACRE_M2, 30 * 0.0254, 5 * 0.44704), 2)
    14.31
    """
    return population_per_m2 * row_spacing_m * speed_m_s


def thousandth_acre_row_m(row_spacing_m: float) -> float:
    """Return the length of row in m that makes a thousandth of an acre at a row spacing above nought.

    >>> feet = thousandth_acre_row_m(30 * 0.0254) / 0.3048
    >>> int(feet), round(feet % 1 * 12)
    (17, 5)
    """
    return ACRE_M2 / 1000.0 / row_spacing_m


def population_error(source: str, slip: float) -> float:
    """Return by what share more seeds drop than set, when speed comes from `source` at a wheel slip.

    'wheel' over-reads by s / (1 - s). 'ground_radar', 'navigation' and 'blended' see the ground and are
    taken as free of slip. 'simulated' has nothing to do with the ground: seeds drop standing, and the
    error has no bound (infinite). Raises ValueError for another source, or a slip outside 0 to below 1.

    >>> [round(100 * population_error("wheel", slip), 1) for slip in (0.05, 0.15)]
    [5.3, 17.6]
    >>> population_error("ground_radar", 0.15), population_error("simulated", 0.0)
    (0.0, inf)
    """
    if not 0.0 <= slip < 1.0:
        raise ValueError("a wheel slips by a share from 0 to below 1")
    if source == "wheel":
        return slip / (1.0 - slip)
    if source == "simulated":
        return math.inf
    if source in ("ground_radar", "navigation", "blended"):
        return 0.0
    raise ValueError(f"no such source of speed: {source!r}")


def simulated_population_error(simulated_m_s: float, ground_m_s: float) -> float:
    """Return by what share more seeds drop than set with a simulated speed left on, at a ground speed.

    Infinite when the machine stands and the simulated speed does not.

    >>> simulated_population_error(3.0, 2.0), simulated_population_error(3.0, 0.0)
    (0.5, inf)
    """
    if ground_m_s == 0.0:
        return 0.0 if simulated_m_s == 0.0 else math.inf
    return simulated_m_s / ground_m_s - 1.0
