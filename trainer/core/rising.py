"""Where a quantity that rises reaches a limit."""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Callable
from typing import Final

_MOST_STEPS: Final = 200
_PATIENCE: Final = 3
"""Guesses in a row that may leave more than half of the bracket before it is halved."""


class Rising:
    """A quantity that does not fall as another one grows, and that keeps what it has told.

    A solver asks one load about many limits. Whatever was worked out once brackets the next answer, so a
    later search begins next to its end.

    >>> load_at = Rising(lambda flow: 100e5 + 1e13 * flow * flow)
    >>> [round(load_at.largest_within(limit_pa, 0.01, 1e-12), 6) for limit_pa in (190e5, 140e5)]
    [0.000949, 0.000632]
    """

    __slots__ = ("_at", "_law", "_values")

    def __init__(self, law: Callable[[float], float]) -> None:
        self._law, self._at, self._values = law, list[float](), list[float]()

    def __call__(self, at: float) -> float:
        """Return the quantity there."""
        place = bisect_left(self._at, at)
        if place < len(self._at) and self._at[place] == at:
            return self._values[place]
        value = self._law(at)
        self._at.insert(place, at)
        self._values.insert(place, value)
        return value

    def largest_within(self, limit: float, highest: float, step: float) -> float:
        """Return the largest argument from nought to `highest`, to within `step` and from below, at which the
        quantity is within its limit; nought where it never is."""
        if self(highest) <= limit:
            return highest
        if self(0.0) > limit:
            return 0.0
        beyond = bisect_right(self._values, limit)
        passes, fails = self._at[beyond - 1], self._at[beyond]
        under, over = self._values[beyond - 1] - limit, self._values[beyond] - limit
        third = beyond - 2 if beyond > 1 else beyond + 1
        known = third < len(self._at)
        third_at, aside = (self._at[third], self._values[third] - limit) if known else (0.0, 0.0)
        slow = 0
        for _ in range(_MOST_STEPS):
            width = fails - passes
            if width <= step:
                break
            if slow == _PATIENCE or math.isinf(over):
                along, slow = 0.5, 0
            elif known and not math.isinf(aside):
                # The parabola through three points: losses of oil are next to square in the flow.
                slope = (over - under) / width
                bend = ((over - aside) / (fails - third_at) - (under - aside) / (passes - third_at)) / width
                first = slope - bend * width
                steep = first + math.sqrt(max(0.0, first * first - 4.0 * bend * under))
                along = -2.0 * under / (steep * width) if steep > 0.0 else 0.0
            else:
                along = math.sqrt(under / (under - over))
            # At least half a step within the bracket: once the guess is good, the far end comes near as well.
            middle = min(max(passes + along * width, passes + 0.5 * step), fails - 0.5 * step)
            excess = self(middle) - limit
            if excess <= 0.0:
                third_at, aside, passes, under = passes, under, middle, excess
            else:
                third_at, aside, fails, over = fails, over, middle, excess
            known = True
            slow = slow + 1 if fails - passes > 0.5 * width else 0
        return passes
