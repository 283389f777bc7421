"""Accumulators on an implement's lines: how much oil they hold, and how a charged one bleeds.

A gas charge behind a bladder or piston, taken as an ideal gas that keeps its temperature (Boyle's law): work
is slow against the heat that goes through its shell. Pascal above ambient, cubic metres, seconds.
"""

from typing import Final

from trainer.core import hydraulics as hyd

DISCHARGE: Final = 0.6
"""Share of a sharp orifice's ideal flow (book)."""
_STEPS: Final = 8


def oil_held_m3(pressure_pa: float, volume_m3: float, precharge_pa: float) -> float:
    """Return the oil in m³ in an accumulator of that gas volume and precharge, none up to its precharge.

    >>> round(oil_held_m3(199e5, 1e-3, 99e5) * 1e3, 3)
    0.5

    Raises ValueError where the volume is not above nought or the precharge is at or below a vacuum.
    """
    if volume_m3 <= 0.0 or precharge_pa <= -hyd.STANDARD_ATMOSPHERE_PA:
        raise ValueError("an accumulator has a volume and a charge of gas")
    if pressure_pa <= precharge_pa:
        return 0.0
    ratio = (precharge_pa + hyd.STANDARD_ATMOSPHERE_PA) / (pressure_pa + hyd.STANDARD_ATMOSPHERE_PA)
    return volume_m3 * (1.0 - ratio)


def bled_pa(
    pressure_pa: float,
    tank_pa: float,
    volume_m3: float,
    precharge_pa: float,
    orifice_area_m2: float,
    density_kg_m3: float,
    seconds: float,
) -> float:
    """Return the pressure in Pa after oil has gone to tank through the accumulator's orifice for that long.

    It ends at the precharge, where no oil is left, or at the tank's pressure where that is higher. In
    Runge-Kutta steps of the oil held: its rate is the flow of the orifice at the pressure that oil is under.

    >>> bled = [bled_pa(150e5, 2e5, 0.75e-3, 90e5, 1.77e-6, 870.0, s) for s in (0.0, 0.5, 30.0)]
    >>> [round(pressure / 1e5) for pressure in bled]
    [150, 124, 90]
    """
    floor = max(tank_pa, precharge_pa)
    if pressure_pa <= floor or seconds <= 0.0:
        return pressure_pa
    gas_pa_m3 = (precharge_pa + hyd.STANDARD_ATMOSPHERE_PA) * volume_m3
    step_s = seconds / _STEPS
    oil = oil_held_m3(pressure_pa, volume_m3, precharge_pa)

    def pressure_at(held_m3: float) -> float:
        return gas_pa_m3 / (volume_m3 - max(held_m3, 0.0)) - hyd.STANDARD_ATMOSPHERE_PA

    def out_m3_s(held_m3: float) -> float:
        drop = max(0.0, pressure_at(held_m3) - tank_pa)
        return (
            hyd.orifice_flow_m3_s(DISCHARGE, orifice_area_m2, drop, density_kg_m3) if held_m3 > 0.0 else 0.0
        )

    for _ in range(_STEPS):
        first = out_m3_s(oil)
        second = out_m3_s(oil - first * step_s / 2)
        third = out_m3_s(oil - second * step_s / 2)
        fourth = out_m3_s(oil - third * step_s)
        oil = max(0.0, oil - step_s / 6 * (first + 2 * second + 2 * third + fourth))
    return max(floor, pressure_at(oil))
