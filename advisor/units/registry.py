"""The unit registry: pint, with only the units people write here.

pint's own full registry takes about 0.2 s to build and carries a thousand
units; these few lines take a few milliseconds. Every line that pint also
defines is compared with pint's own in the tests. Importing pint itself is the
larger cost, so nothing here runs until a unit has to be converted.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any, cast

from advisor.water.masses import CACO3, CAO

if TYPE_CHECKING:
    from pint import UnitRegistry

# Exact by definition: NIST SP 811 (2008) appendix B for inch, pound, US gallon
# (231 cubic inches), grain; UK Weights and Measures Act for the imperial gallon.
# Hardness degrees as CaCO3: German = 10 mg/L CaO, French = 10 mg/L CaCO3,
# English (Clark) = 1 grain per imperial gallon.
_DEFINITIONS = f"""
milli- = 1e-3
centi- = 1e-2
deci- = 1e-1
micro- = 1e-6
kilo- = 1e3
meter = [length]
gram = [mass]
second = [time]
siemens = [conductance]
kelvin = [temperature]; offset: 0
degC = kelvin; offset: 273.15
degF = 5 / 9 * kelvin; offset: 233.15 + 200 / 9
liter = 1e-3 * meter ** 3
inch = 0.0254 * meter
foot = 12 * inch
pound = 453.59237 * gram
ounce = pound / 16
grain = pound / 7000
minute = 60 * second
hour = 60 * minute
day = 24 * hour
week = 7 * day
year = 365.25 * day
month = year / 12
us_gallon = 231 * inch ** 3
us_quart = us_gallon / 4
us_pint = us_gallon / 8
us_cup = us_gallon / 16
us_fluid_ounce = us_gallon / 128
imperial_gallon = 4.54609 * liter
imperial_quart = imperial_gallon / 4
imperial_pint = imperial_gallon / 8
imperial_fluid_ounce = imperial_gallon / 160
percent = 1e-2
permille = 1e-3
ppm = 1e-6
milligram_per_liter = milligram / liter
microgram_per_liter = microgram / liter
gram_per_liter = gram / liter
microsiemens_per_cm = microsiemens / centimeter
millisiemens_per_cm = millisiemens / centimeter
millisiemens_per_m = millisiemens / meter
siemens_per_m = siemens / meter
german_degree = {10 * CACO3 / CAO!r} * milligram_per_liter
french_degree = 10 * milligram_per_liter
english_degree = grain / imperial_gallon
grain_per_us_gallon = grain / us_gallon
milliequivalent_per_liter = {CACO3 / 2!r} * milligram_per_liter
millimole_caco3_per_liter = {CACO3!r} * milligram_per_liter
"""

#: Short names of the unit tables -> names in the registry above.
PINT_NAME = {
    "degC": "degC", "degF": "degF", "K": "kelvin",
    "delta_degC": "delta_degC", "delta_degF": "delta_degF",
    "liter": "liter", "mL": "milliliter", "cL": "centiliter", "dL": "deciliter",
    "m3": "meter ** 3", "ft3": "foot ** 3", "in3": "inch ** 3",
    "us_gal": "us_gallon", "imp_gal": "imperial_gallon",
    "us_qt": "us_quart", "imp_qt": "imperial_quart",
    "us_pt": "us_pint", "imp_pt": "imperial_pint", "us_cup": "us_cup",
    "us_floz": "us_fluid_ounce", "imp_floz": "imperial_fluid_ounce",
    "gram": "gram", "mg": "milligram", "kg": "kilogram", "oz": "ounce", "lb": "pound",
    "centimeter": "centimeter", "mm": "millimeter", "m": "meter", "inch": "inch", "ft": "foot",
    "second": "second", "minute": "minute", "hour": "hour", "day": "day", "week": "week",
    "month": "month", "year": "year",
    "mg/L": "milligram_per_liter", "ug/L": "microgram_per_liter", "g/L": "gram_per_liter",
    "dH": "german_degree", "fH": "french_degree", "eH": "english_degree",
    "gpg": "grain_per_us_gallon", "meq/L": "milliequivalent_per_liter",
    "mmol/L CaCO3": "millimole_caco3_per_liter",
    "uS/cm": "microsiemens_per_cm", "mS/cm": "millisiemens_per_cm",
    "mS/m": "millisiemens_per_m", "S/m": "siemens_per_m",
    "percent": "percent", "permille": "permille", "ppm": "ppm",
}  # fmt: skip


@cache
def registry() -> UnitRegistry[float]:
    """The one registry of this process, built at the first conversion.

    A caller that waits for the person anyway may call this early.
    """
    from pint import UnitRegistry

    lines = _DEFINITIONS.strip().splitlines()
    return cast("UnitRegistry[float]", UnitRegistry(lines, cache_folder=None))


def convert(value: float, unit: str, to: str) -> float:
    """``value`` from one named unit into another, both from ``PINT_NAME``.

    No rounding; equal units never touch pint.
    """
    if unit == to:
        return value
    units: Any = registry()
    return float(units.Quantity(value, PINT_NAME[unit]).to(PINT_NAME[to]).magnitude)
