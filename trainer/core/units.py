"""Ticks, quanta and the conversions the trade uses.

Inside a function the core works in SI floats. Whatever is *kept* (state, events, findings) is a whole
number of a stated quantum and is judged after rounding, so that the same actions give the same record
on every platform.

=============  =======================
kept quantity  quantum
=============  =======================
pressure       1 Pa
flow           1 mm3/s
temperature    1 mK (from 0 degC)
length         1 um
angle          1 urad
speed of turn  1 mrad/s
mass           1 g
time           1 tick (50 ms)
=============  =======================
"""

from __future__ import annotations

import math

TICKS_PER_S = 20
TICK_S = 1.0 / TICKS_PER_S

PA_PER_BAR = 100_000.0
PA_PER_PSI = 6_894.757_293_168
M3_S_PER_L_MIN = 1.0e-3 / 60.0
L_PER_US_GALLON = 3.785_411_784
M_PER_INCH = 0.0254
RAD_S_PER_REV_MIN = 2.0 * math.pi / 60.0


def whole(value: float) -> int:
    """Round to the nearest whole quantum (ties to even); refuse what is not a finite number.

    >>> whole(2.5), whole(3.5), whole(-0.4)
    (2, 4, 0)
    """
    if not math.isfinite(value):
        raise ValueError(f"not a finite number: {value!r}")
    return round(value)


def ticks(seconds: float) -> int:
    """Whole ticks that cover a time in seconds (at least the time asked for).

    >>> ticks(1.0), ticks(0.01), ticks(0.0)
    (20, 1, 0)
    """
    return max(0, math.ceil(seconds * TICKS_PER_S - 1e-9))


def micro(value_si: float) -> int:
    """Metres to um, radians to urad.

    >>> micro(0.62)
    620000
    """
    return whole(value_si * 1e6)


def milli(value_si: float) -> int:
    """Seconds to ms, rad/s to mrad/s, degC to mK above zero, volts to mV.

    >>> milli(12.6)
    12600
    """
    return whole(value_si * 1e3)


def mm3(value_m3: float) -> int:
    """Cubic metres (or m3/s) to mm3 (or mm3/s).

    >>> mm3(1e-6)
    1000
    """
    return whole(value_m3 * 1e9)


def rev_min(speed_mrad_s: int) -> int:
    """Kept speed of turn in mrad/s as whole rev/min.

    >>> rev_min(389_557)
    3720
    """
    return whole(speed_mrad_s / 1e3 / RAD_S_PER_REV_MIN)


def mrad_s(speed_rev_min: float) -> int:
    """rev/min as kept speed of turn in mrad/s.

    >>> mrad_s(3720)
    389557
    """
    return whole(speed_rev_min * RAD_S_PER_REV_MIN * 1e3)
