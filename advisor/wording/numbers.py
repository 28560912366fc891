"""Numbers as a person reads them: never an exponent, never a false zero.

``exact`` writes what was given, ``short`` what was worked out, ``fixed`` what stands in
columns, ``signed`` a weight. No other file formats a number; a test says so.
"""

from __future__ import annotations

import math
import re
from decimal import Decimal

#: Smaller amounts are told apart by no instrument in this trade.
LEAST = 1e-3
#: A number of JSON (RFC 8259) with an exponent, where a value stands.
_EXPONENT = re.compile(r"(?<=[\s:\[,])-?\d+(?:\.\d+)?[eE][-+]?\d+(?=[\s,\]}])")


def exact(value: float, figures: int = 6) -> str:
    """A number as it was given, to ``figures`` significant figures; what is none by its name.

    >>> exact(4000.0), exact(0.1 + 0.2), exact(1234567.0), exact(0.00002)
    ('4000', '0.3', '1234570', '0.00002')
    """
    if not math.isfinite(value):
        return str(value)
    if value == 0:
        return "0"
    return _trimmed(value, figures - 1 - math.floor(math.log10(abs(value))))


def short(value: float, places: int = 2) -> str:
    """A worked-out number in ``places`` significant figures.

    >>> short(131.7), short(0.0864), short(0.00002), short(7.0)
    ('130', '0.086', '<0.001', '7')
    """
    if not math.isfinite(value):
        return "unknown"
    if 0 < abs(value) < LEAST:
        return "<0.001" if value > 0 else ">−0.001"
    return exact(value, places)


def fixed(value: float, decimals: int = 0) -> str:
    """A number with so many decimals; no minus before a zero.

    >>> fixed(25.25, 1), fixed(-0.2), fixed(1e7)
    ('25.2', '0', '10000000')
    """
    if not math.isfinite(value):
        return "unknown"
    text = f"{value:.{decimals}f}"
    return text.lstrip("-") if not text.strip("-0.") else text


def signed(value: float, decimals: int = 0) -> str:
    """A weight with its sign: ``+6``, ``-10``, ``+0``."""
    text = fixed(value, decimals)
    return text if text.startswith("-") or not math.isfinite(value) else f"+{text}"


def percent(share: float) -> str:
    """A share from 0 to 1 as ``25%``."""
    return f"{fixed(100 * share)}%"


def grouped(count: int) -> str:
    """A large count with commas: ``12,000``."""
    return f"{count:,}"


def with_band(value: float, low: float, high: float, places: int = 2) -> str:
    """``0.086 (0.04 to 0.2)``; the number alone where the band says nothing more."""
    text, ends = short(value, places), (short(low, places), short(high, places))
    return text if ends[0] == ends[1] else f"{text} ({ends[0]} to {ends[1]})"


def without_exponents(json: str) -> str:
    """JSON with the same numbers, none of them written as an exponent.

    >>> without_exponents('{"low": 5.4e-06, "high": 1E3}')
    '{"low": 0.0000054, "high": 1000}'
    """
    return _EXPONENT.sub(lambda found: format(Decimal(found[0]), "f"), json)


def _trimmed(value: float, decimals: int) -> str:
    text = f"{round(value, decimals):.{max(0, decimals)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
