"""What a value can be, what is worth a second look, and which unit may have been meant."""

from __future__ import annotations

import math

from advisor.errors import AdvisorError
from advisor.units.conversion import Surroundings, to_stored
from advisor.units.parameters import Parameter, look_up
from advisor.units.quantity import UnitError
from advisor.wording.numbers import exact, fixed, short

# Units worth asking about when a number without one does not fit: (unit, as shown).
_LIKELY: dict[str, tuple[tuple[str, str], ...]] = {
    "temperature": (("degF", "°F"), ("K", "K")),
    "salinity": (("ppm", "ppm"),),
    "conductivity": (("mS/cm", "mS/cm"),),
    "hours": (("minute", "min"),),
    "minutes": (("second", "s"),),
    "length": (("mm", "mm"),),
    "volume": (("mL", "mL"),),
    "mass": (("mg", "mg"),),
    "nitrogen": (("ug/L", "µg/L"),),
    "solute": (("ug/L", "µg/L"),),
}


def check_physical(value: float, shown: str, parameter: Parameter, *, bare: bool) -> None:
    """Refuse a value the parameter cannot have; ``bare`` when it came without a unit.

    Raises UnitError naming the field, the value as written, the range, and the
    unit that may have been meant.
    """
    if math.isfinite(value) and parameter.low <= value <= parameter.high:
        return
    if not bare:
        shown = f"{shown} ({short(value, 4)} {parameter.unit}".rstrip() + ")"
    allowed = f"{exact(parameter.low, 8)} to {exact(parameter.high, 8)} {parameter.unit}".rstrip()
    hint = other_unit(value, parameter) if bare else ""
    raise UnitError(f"{parameter.key}: {shown} is outside {allowed}.{hint}")


def is_odd(value: float, parameter: str) -> str | None:
    """The question to put once when a value is possible but far from the usual; else None.

    >>> is_odd(12, "ph")
    'pH 12 is far from the usual 5 to 9.5. Is that right?'
    """
    known = look_up(parameter)
    if known.odd_low <= value <= known.odd_high:
        return None
    usual = f"{exact(known.odd_low, 8)} to {exact(known.odd_high, 8)} {known.unit}".rstrip()
    hint = other_unit(value, known) or " Is that right?"
    return f"{known.name} {exact(value, 8)} is far from the usual {usual}.{hint}"


def other_unit(value: float, parameter: Parameter) -> str:
    """ " Is that °F? 78 °F is 25.6 °C." when the number makes sense in another unit; else empty."""
    if parameter.family == "oxygen" and parameter.high < value <= 300:
        return " Is that % of saturation? Write the % with it."
    if parameter.family == "salinity" and 1000 < value <= 1040:
        return f" Is that a specific gravity of {short(value / 1000, 4)}?"
    family = parameter.key if parameter.family == "time" else parameter.family
    for unit, shown in _LIKELY.get(family, ()):
        try:
            meant = to_stored(value, unit, parameter, Surroundings()).value
        except AdvisorError:
            continue
        if math.isfinite(meant) and parameter.odd_low <= meant <= parameter.odd_high:
            in_unit = (
                f"{exact(value, 8)} {shown} is {fixed(meant, parameter.decimals)} {parameter.unit}"
            )
            return f" Is that {shown}? {in_unit}."
    return ""
