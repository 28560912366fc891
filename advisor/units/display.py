"""Values in words for a screen: never not-a-number, never a false zero."""

from __future__ import annotations

import math

from advisor.units.conversion import from_stored
from advisor.units.parameters import look_up
from advisor.units.quantity import UnitError
from advisor.units.spellings import key_of, unit_names
from advisor.wording.numbers import exact, fixed

# Places shown in units other than the stored one; others use the parameter's own.
_DECIMALS = {"degF": 1, "us_gal": 1, "imp_gal": 1, "dH": 1, "meq/L": 2, "mS/cm": 2, "K": 1}

# Smaller amounts are told apart by no instrument in this trade.
_LEAST = 1e-6


def format_value(value: float, parameter: str, *, unit: str | None = None) -> str:
    """A stored ``value`` as text with its unit, such as "25.6 °C" or "0.004 mg/L as N".

    unit : another unit of the parameter, in any common spelling ("°F", "US gal", "dKH");
           raises UnitError when there is none such

    A value that is not a number reads "unknown". A small value other than zero
    keeps two significant figures instead of showing as 0; below a millionth it
    reads "<0.000001".

    >>> format_value(25.5556, "temperature_c", unit="°F")
    '78.0 °F'
    """
    known = look_up(parameter)
    if not math.isfinite(value):
        return "unknown"
    shown, decimals = known.unit, known.decimals
    if unit is not None:
        name = unit_names(known.family).get(key_of(unit))
        if name is None:
            raise UnitError(f'{parameter}: "{unit}" is not a unit of {known.name}.')
        value = from_stored(value, name, known)
        shown, decimals = unit, _DECIMALS.get(name, known.decimals)
    return f"{_digits(value, decimals)} {shown}".rstrip()


def _digits(value: float, decimals: int) -> str:
    if 0 < value < _LEAST:
        return f"<{exact(_LEAST)}"
    if _LEAST <= abs(value) < 10**-decimals:
        decimals = 1 - math.floor(math.log10(abs(value)))
    return fixed(value, decimals)
