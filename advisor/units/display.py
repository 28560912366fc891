"""Values in words for a screen: never not-a-number, never a false zero."""

from __future__ import annotations

import math

from advisor.units.parameters import look_up
from advisor.wording.numbers import exact, fixed

# Smaller amounts are told apart by no instrument in this trade.
_LEAST = 1e-6


def format_value(value: float, parameter: str) -> str:
    """A stored ``value`` as text with its unit, such as "25.6 °C" or "0.004 mg/L as N".

    A value that is not a number reads "unknown". A small value other than zero
    keeps two significant figures instead of showing as 0; below a millionth it
    reads "<0.000001".

    >>> format_value(25.5556, "temperature_c")
    '25.6 °C'
    """
    known = look_up(parameter)
    if not math.isfinite(value):
        return "unknown"
    return f"{_digits(value, known.decimals)} {known.unit}".rstrip()


def _digits(value: float, decimals: int) -> str:
    if 0 < value < _LEAST:
        return f"<{exact(_LEAST)}"
    if _LEAST <= abs(value) < 10**-decimals:
        decimals = 1 - math.floor(math.log10(abs(value)))
    return fixed(value, decimals)
