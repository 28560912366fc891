"""Numbers in papers: a few figures, never an exponent, never a false zero."""

from __future__ import annotations

import math

#: Smaller amounts are told apart by no instrument in this trade.
LEAST = 1e-4


def short(value: float, places: int = 2) -> str:
    """A number in ``places`` significant figures without an exponent.

    >>> short(131.7), short(0.0864), short(0.00002), short(7.0)
    ('130', '0.086', '<0.0001', '7')
    """
    if not math.isfinite(value):
        return "unknown"
    if value == 0:
        return "0"
    if abs(value) < LEAST:
        return f"<{LEAST:g}" if value > 0 else f">−{LEAST:g}"
    decimals = places - 1 - math.floor(math.log10(abs(value)))
    text = f"{round(value, decimals):.{max(0, decimals)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def with_band(value: float, low: float, high: float) -> str:
    """``0.086 (0.04 to 0.2)``; the number alone where the band says nothing more."""
    text, ends = short(value), (short(low), short(high))
    return text if ends[0] == ends[1] else f"{text} ({ends[0]} to {ends[1]})"
