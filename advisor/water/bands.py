"""Ends of a computed quantity from the ends of its inputs, also where it is not monotone.

Corners alone are not enough: CO2 from pH, alkalinity and total ammonia, or NH3
once CO2 has left, rise and fall again inside their bands. So corners and inner
points are tried, and the best of them is followed to the turn.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import product

from advisor.errors import AdvisorError
from advisor.wording.numbers import exact

Ends = tuple[float, float]

#: Golden section: share of a span kept at each turn, and turns to a thousandth of it.
_KEPT = 0.6180339887498949
_TURNS = 15


def band_of(
    function: Callable[..., float], *inputs: Ends, inner: int = 3, monotone: bool = False
) -> Ends:
    """Lowest and highest value of ``function`` while each input lies between its ends.

    inputs   : (low, high) of each argument, in order; equal ends for an exact one
    inner    : points tried between the ends of each input, besides the ends
    monotone : the function rises or falls in each argument by itself: corners are enough

    Points at which the function raises AdvisorError are no possible water and
    are left out. Raises AdvisorError when none is possible, or for ends the
    wrong way round.
    """
    for low, high in inputs:
        if not low <= high:
            raise AdvisorError(f"band: {exact(low)} to {exact(high)} is the wrong way round.")
    values = _tried(function, inputs, 0 if monotone else inner)
    if not values:
        raise AdvisorError("No value within these bands is possible; measure them again.")
    if monotone:
        found = [value for value, _ in values]
        return min(found), max(found)
    lowest, at_lowest = min(values)
    highest, at_highest = max(values)
    steps = [(high - low) / (inner + 1) for low, high in inputs]
    down = _followed(function, inputs, steps, at_lowest, 1.0)
    up = _followed(function, inputs, steps, at_highest, -1.0)
    return min(lowest, down), max(highest, up)


def _tried(
    function: Callable[..., float], inputs: Sequence[Ends], inner: int
) -> list[tuple[float, tuple[float, ...]]]:
    levels = [
        [low] if low == high else [low + (high - low) * i / (inner + 1) for i in range(inner + 2)]
        for low, high in inputs
    ]
    values = []
    for point in product(*levels):
        value = _value(function, point)
        if value is not None:
            values.append((value, point))
    return values


def _value(function: Callable[..., float], point: Sequence[float]) -> float | None:
    try:
        return float(function(*point))
    except AdvisorError:
        return None


def _followed(
    function: Callable[..., float],
    inputs: Sequence[Ends],
    steps: Sequence[float],
    point: tuple[float, ...],
    sign: float,
) -> float:
    """The least of sign x function near a point, one input after the other, twice round."""
    at = list(point)

    def cost(place: int, x: float) -> float:
        value = _value(function, [*at[:place], x, *at[place + 1 :]])
        return float("inf") if value is None else sign * value

    for _ in range(2):
        for place, ((low, high), step) in enumerate(zip(inputs, steps, strict=True)):
            if step == 0.0:
                continue
            left, right = max(low, at[place] - step), min(high, at[place] + step)
            for _ in range(_TURNS):
                a, b = right - _KEPT * (right - left), left + _KEPT * (right - left)
                if cost(place, a) <= cost(place, b):
                    right = b
                else:
                    left = a
            best = min((left, right, 0.5 * (left + right), at[place]), key=lambda x: cost(place, x))
            at[place] = best
    return sign * cost(0, at[0])
