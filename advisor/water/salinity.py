"""Sea salt: density, specific gravity, and salinity from conductivity.

Salinity in g/kg and on the practical scale are taken as the same number
(they differ by 0.5 %). Sea-salt proportions are assumed throughout: hard tap
water of the same conductivity holds less salt by mass.
"""

from __future__ import annotations

import math
from typing import Any

from advisor.errors import AdvisorError
from advisor.water.formulas import published
from advisor.water.input_checks import check, check_between
from advisor.wording.numbers import exact

_EOS80 = (
    "Millero FJ, Poisson A (1981) Deep-Sea Res. 28A:625-629 (one-atmosphere equation of state, "
    "UNESCO 1981)"
)
_SEA = {"temperature_c": (0.0, 40.0, "°C"), "salinity_g_kg": (0.0, 42.0, "g/kg")}


def eos80_kg_m3(t: Any, s: Any) -> Any:
    """The polynomial of :func:`density_kg_l` [kg/m3], for numbers and for arrays."""
    pure = 999.842594 + t * (
        6.793952e-2 + t * (-9.095290e-3 + t * (1.001685e-4 + t * (-1.120083e-6 + t * 6.536332e-9)))
    )
    a = 0.824493 + t * (-4.0899e-3 + t * (7.6438e-5 + t * (-8.2467e-7 + t * 5.3875e-9)))
    b = -5.72466e-3 + t * (1.0227e-4 - t * 1.6546e-6)
    return pure + s * (a + b * s**0.5 + 4.8314e-4 * s)


@published(
    _EOS80,
    equation="rho_water(t) + A(t) S + B(t) S^1.5 + 0.00048314 S^2,"
    " t = {temperature_c}, S = {salinity_g_kg}",
    unit="kg/L",
    ranges=_SEA,
)
def density_kg_l(temperature_c: float, salinity_g_kg: float = 0.0) -> float:
    """Density of fresh, brackish or sea water [kg/L] at one atmosphere.

    Also what turns mg/kg ("ppm") into mg/L.
    """
    check("temperature_c", temperature_c)
    check("salinity_g_kg", salinity_g_kg)
    return float(eos80_kg_m3(temperature_c, salinity_g_kg)) / 1000.0


@published(
    _EOS80,
    equation="rho({temperature_c}, {salinity_g_kg}) / rho({reference_c}, 0)",
    unit="1",
    ranges=_SEA,
)
def specific_gravity(
    temperature_c: float, salinity_g_kg: float, reference_c: float = 25.0
) -> float:
    """Specific gravity against pure water at the temperature a hydrometer is made for."""
    return density_kg_l(temperature_c, salinity_g_kg) / density_kg_l(reference_c)


def salinity_from_specific_gravity(
    gravity: float, temperature_c: float, reference_c: float = 25.0
) -> float:
    """Salinity [g/kg] from a specific gravity: :func:`specific_gravity` solved for salinity.

    Raises AdvisorError when no salinity from 0 to 50 g/kg gives that reading.
    """
    low, high = 0.0, 50.0
    least = specific_gravity(temperature_c, low, reference_c)
    most = specific_gravity(temperature_c, high, reference_c)
    if least - 0.001 < gravity <= least + 1e-5:
        return 0.0  # a hydrometer reads to 0.001: fresh water
    # printed to four places, rounded outwards so that no possible reading is refused
    lowest, highest = math.floor(least * 1e4) / 1e4, math.ceil(most * 1e4) / 1e4
    check_between("specific gravity", gravity, lowest, highest)
    for _ in range(60):
        middle = 0.5 * (low + high)
        if specific_gravity(temperature_c, middle, reference_c) < gravity:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


_RT = (0.6766097, 2.00564e-2, 1.104259e-4, -6.9698e-7, 1.0031e-9)
_A = (0.0080, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081)
_B = (0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144)
#: Conductivity of standard sea water, S = 35 at 15 °C (IPTS-68) [µS/cm].
_STANDARD_US_CM = 42_914.0


@published(
    "UNESCO (1981) Practical Salinity Scale 1978, with the low-salinity extension of Hill KD, "
    "Dauphinee TM, Woods DJ (1986) IEEE J. Oceanic Eng. 11:109-112",
    equation="PSS-78(R = {conductivity_us_cm} / 42914, t = {temperature_c})",
    unit="g/kg",
    ranges={"temperature_c": (-2.0, 35.0, "°C"), "conductivity_us_cm": (0.0, 70_000.0, "µS/cm")},
)
def salinity_from_conductivity(conductivity_us_cm: float, temperature_c: float = 25.0) -> float:
    """Salinity of diluted or full sea water from conductivity.

    conductivity_us_cm : conductivity *at* temperature_c [µS/cm]; a meter that
                         compensates to 25 °C wants temperature_c = 25
    temperature_c      : °C (ITS-90; the scale of 1968 is put in inside)

    Raises AdvisorError for a negative conductivity or a result over 42 g/kg.
    """
    check("temperature_c", temperature_c)
    check_between("conductivity_us_cm", conductivity_us_cm, 0.0, 90_000.0, "µS/cm")
    t = 1.00024 * temperature_c
    ratio = conductivity_us_cm / _STANDARD_US_CM / sum(c * t**i for i, c in enumerate(_RT))
    f = (t - 15.0) / (1.0 + 0.0162 * (t - 15.0))
    root = ratio**0.5
    plain = sum((a + f * b) * root**i for i, (a, b) in enumerate(zip(_A, _B, strict=True)))
    x, y = 400.0 * ratio, 100.0 * ratio
    low = 0.0080 / (1.0 + 1.5 * x + x * x) + 0.0005 * f / (1.0 + y**0.5 + y**1.5)
    salinity = plain - low
    if salinity > 50.0:
        raise AdvisorError(
            f"conductivity_us_cm: {exact(conductivity_us_cm)} at {exact(temperature_c)} "
            "°C is saltier than "
            "50 g/kg; check the unit (µS/cm, not mS/cm)."
        )
    return max(0.0, float(salinity))
