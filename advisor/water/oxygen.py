"""Oxygen at saturation, percent saturation, and oxygen under another gas."""

from __future__ import annotations

import math

from advisor.water.constants import KELVIN
from advisor.water.formulas import published
from advisor.water.input_checks import check, check_between, check_not_negative

#: Oxygen in dry air by volume (Gnaiger 1983 and later tables).
OXYGEN_IN_DRY_AIR = 0.20946
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


@published(
    f"Henry's law against air saturation; oxygen in dry air 0.20946; {_BENSON}",
    equation="{oxygen_fraction} / 0.20946 * {saturation_mg_l}",
    unit="mg/L",
    ranges=_RANGES,
    parts={"saturation_mg_l": oxygen_saturation_mg_l},
)
def oxygen_under_gas_mg_l(
    temperature_c: float,
    oxygen_fraction: float,
    salinity_g_kg: float = 0.0,
    pressure_mmhg: float = STANDARD_MMHG,
) -> float:
    """Oxygen in water in equilibrium with a moist gas, such as that of a bag.

    oxygen_fraction : share of oxygen in the dry gas, 0 to 1 (1 for pure oxygen)
    """
    check_between("oxygen_fraction", oxygen_fraction, 0.0, 1.0)
    saturation = oxygen_saturation_mg_l(temperature_c, salinity_g_kg, pressure_mmhg)
    return oxygen_fraction / OXYGEN_IN_DRY_AIR * saturation


_GARCIA_A = (5.80871, 3.20291, 4.17887, 5.10006, -9.86643e-2, 3.80369)
_GARCIA_B = (-7.01577e-3, -7.70028e-3, -1.13864e-2, -9.51519e-3)


@published(
    "Garcia HE, Gordon LI (1992) Limnol. Oceanogr. 37:1307-1312, fit to Benson & Krause",
    equation="exp(sum A Ts^i + {salinity_g_kg} sum B Ts^i - 2.75915e-7 {salinity_g_kg}^2),"
    " Ts = ln((298.15 - t)/(273.15 + t)), t = 1.00024 {temperature_c}",
    unit="µmol/kg",
    ranges={"temperature_c": (-1.0, 40.0, "°C"), "salinity_g_kg": (0.0, 42.0, "g/kg")},
)
def oxygen_saturation_umol_kg(temperature_c: float, salinity_g_kg: float) -> float:
    """Oxygen at saturation per kilogram of sea water, 1 atm; temperature on the scale of 1990."""
    check("temperature_c", temperature_c)
    check("salinity_g_kg", salinity_g_kg)
    t = 1.00024 * temperature_c
    ts = math.log((298.15 - t) / (KELVIN + t))
    fresh = sum(a * ts**i for i, a in enumerate(_GARCIA_A))
    salt = salinity_g_kg * sum(b * ts**i for i, b in enumerate(_GARCIA_B))
    return math.exp(fresh + salt - 2.75915e-7 * salinity_g_kg**2)


@published(
    "Weiss RF (1970) Deep-Sea Res. 17:721-735, volumetric equation",
    equation="exp(-173.4292 + 249.6339 (100/T) + 143.3483 ln(T/100) - 21.8492 (T/100)"
    " + {salinity_g_kg} (-0.033096 + 0.014259 (T/100) - 0.0017 (T/100)^2)),"
    " T = {temperature_c} + 273.15",
    unit="mL/L",
    ranges={"temperature_c": (-2.0, 40.0, "°C"), "salinity_g_kg": (0.0, 40.0, "g/kg")},
)
def oxygen_saturation_ml_l(temperature_c: float, salinity_g_kg: float) -> float:
    """Oxygen at saturation by volume (STP), for figures printed in mL/L; 1 atm."""
    check("temperature_c", temperature_c)
    check("salinity_g_kg", salinity_g_kg)
    t = (temperature_c + KELVIN) / 100.0
    salt = salinity_g_kg * (-0.033096 + 0.014259 * t - 0.0017 * t**2)
    return math.exp(-173.4292 + 249.6339 / t + 143.3483 * math.log(t) - 21.8492 * t + salt)
