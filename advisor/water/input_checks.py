"""Checks on what goes into the water formulas.

A reading outside these bounds is a slip of the pen or of the unit, so it is
refused with one sentence. Whether a formula was *measured* over the value is a
different question, answered by :mod:`advisor.water.formulas`.
"""

from __future__ import annotations

from advisor.errors import AdvisorError
from advisor.wording.numbers import exact, fixed

#: What a number of this name can be at all: (lowest, highest, unit).
BOUNDS: dict[str, tuple[float, float, str]] = {
    "temperature_c": (-2.0, 50.0, "°C"),
    "ph": (0.0, 14.0, ""),
    "salinity_g_kg": (0.0, 50.0, "g/kg"),
    "alkalinity_mg_l_caco3": (0.0, 20_000.0, "mg/L as CaCO3"),
    "dic_mmol_l": (0.0, 1_000.0, "mmol/L"),
    "co2_mg_l": (0.0, 20_000.0, "mg/L"),
    "tan_mg_l": (0.0, 5_000.0, "mg/L as N"),
    "pressure_mmhg": (200.0, 1_500.0, "mmHg"),
    "ionic_strength_mol_l": (0.0, 1.0, "mol/L"),
}

#: No amount of water, gas or anything dissolved is larger than this, in any unit used here.
_MOST = 1e12


def check(name: str, value: float) -> None:
    """Refuse a value that a quantity of this name cannot have.

    Raises AdvisorError, naming the field, the value and what is allowed.
    """
    low, high, unit = BOUNDS[name]
    check_between(name, value, low, high, unit)


def check_between(name: str, value: float, low: float, high: float, unit: str = "") -> None:
    """Refuse a value outside ``low`` to ``high`` (both allowed), or not a number."""
    if low <= value <= high:
        return
    allowed = f"{exact(low)} to {exact(high)} {unit}".rstrip()
    hint = _fahrenheit_hint(value, high) if name.endswith("_c") else ""
    raise AdvisorError(f"{name}: {exact(value)} is outside {allowed}.{hint}")


def check_positive(name: str, value: float, unit: str = "") -> None:
    """Refuse zero, negative, absurdly large and not-a-number."""
    if not 0.0 < value <= _MOST:
        raise AdvisorError(f"{name}: {exact(value)} is not allowed; give more than {_zero(unit)}.")


def check_not_negative(name: str, value: float, unit: str = "") -> None:
    """Refuse negative, absurdly large and not-a-number."""
    if not 0.0 <= value <= _MOST:
        raise AdvisorError(f"{name}: {exact(value)} is not allowed; give {_zero(unit)} or more.")


def _zero(unit: str) -> str:
    return f"0 {unit}".rstrip()


def _fahrenheit_hint(value: float, highest_c: float) -> str:
    celsius = (value - 32.0) / 1.8
    if celsius <= highest_c < value:
        return f" Is that °F? {exact(value)} °F is {fixed(celsius, 1)} °C."
    return ""
