"""Oxygen at saturation, percent saturation, and oxygen under another gas."""

from __future__ import annotations

import math

from advisor.water.constants import KELVIN
from advisor.water.formulas import published
from advisor.water.input_checks import check, check_not_negative

STANDARD_MMHG = 760.0

_BENSON = (
    "Benson BB, Krause D (1984) Limnol. Oceanogr. 29:620-632, as in APHA Standard Methods 4500-O "
    "and USGS; pressure terms from memory"
)
_RANGES = {
    "temperature_c": (0.0, 40.0, "°C"),
    "salinity_g_kg": (0.0, 40.0, "g/kg"),
    "pressure_mmhg": (380.0, 836.0, "mmHg"),
}


@published(
    _BENSON,
    equation="exp(11.8571 - 3840.70/T - 216961/T^2) atm, T = {temperature_c} + 273.15",
    unit="mmHg",
    ranges={"temperature_c": (0.0, 40.0, "°C")},
)
def vapour_pressure_mmhg(temperature_c: float) -> float:
    """Vapour pressure of water."""
    check("temperature_c", temperature_c)
    t = temperature_c + KELVIN
    return STANDARD_MMHG * math.exp(11.8571 - 3840.70 / t - 216961.0 / t**2)


@published(
    _BENSON,
    equation="exp(-139.34411 + 157570.1/T - 66423080/T^2 + 1.2438e10/T^3 - 8.621949e11/T^4"
    " - {salinity_g_kg} (0.017674 - 10.754/T + 2140.7/T^2))"
    " (P - u)(1 - q P)/((1 - u)(1 - q)), T = {temperature_c} + 273.15, P = {pressure_mmhg}/760",
    unit="mg/L",
    ranges=_RANGES,
)
def oxygen_saturation_mg_l(
    temperature_c: float, salinity_g_kg: float = 0.0, pressure_mmhg: float = STANDARD_MMHG
) -> float:
    """Oxygen in water in equilibrium with moist air.

    pressure_mmhg : barometric pressure at the place (not reduced to sea level)
    """
    check("temperature_c", temperature_c)
    check("salinity_g_kg", salinity_g_kg)
    check("pressure_mmhg", pressure_mmhg)
    t = temperature_c + KELVIN
    fresh = -139.34411 + 1.575701e5 / t - 6.642308e7 / t**2 + 1.243800e10 / t**3
    salt = salinity_g_kg * (1.7674e-2 - 1.0754e1 / t + 2.1407e3 / t**2)
    at_sea_level = math.exp(fresh - 8.621949e11 / t**4 - salt)
    p = pressure_mmhg / STANDARD_MMHG
    u = vapour_pressure_mmhg(temperature_c) / STANDARD_MMHG
    q = 0.000975 - 1.426e-5 * temperature_c + 6.436e-8 * temperature_c**2
    return at_sea_level * (p - u) * (1.0 - q * p) / ((1.0 - u) * (1.0 - q))


@published(
    f"ratio to saturation; {_BENSON}",
    equation="100 * {do_mg_l} / {saturation_mg_l}",
    unit="%",
    ranges=_RANGES,
    parts={"saturation_mg_l": oxygen_saturation_mg_l},
)
def percent_saturation(
    do_mg_l: float,
    temperature_c: float,
    salinity_g_kg: float = 0.0,
    pressure_mmhg: float = STANDARD_MMHG,
) -> float:
    """Dissolved oxygen in percent of air saturation."""
    check_not_negative("do_mg_l", do_mg_l, "mg/L")
    return 100.0 * do_mg_l / oxygen_saturation_mg_l(temperature_c, salinity_g_kg, pressure_mmhg)


@published(
    f"ratio to saturation; {_BENSON}",
    equation="{percent} / 100 * {saturation_mg_l}",
    unit="mg/L",
    ranges=_RANGES,
    parts={"saturation_mg_l": oxygen_saturation_mg_l},
)
def oxygen_from_percent_mg_l(
    percent: float,
    temperature_c: float,
    salinity_g_kg: float = 0.0,
    pressure_mmhg: float = STANDARD_MMHG,
) -> float:
    """Dissolved oxygen from percent of air saturation."""
    check_not_negative("percent", percent, "%")
    return percent / 100.0 * oxygen_saturation_mg_l(temperature_c, salinity_g_kg, pressure_mmhg)
