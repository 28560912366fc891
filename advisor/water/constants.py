"""Equilibrium constants of fresh water: carbonate, water, ammonium, activity.

``h`` is hydrogen-ion activity; the other species are concentrations.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

from advisor.water.formulas import published
from advisor.water.input_checks import check

KELVIN = 273.15
LN10 = math.log(10.0)
#: Gas constant [L atm/(mol K)]: CODATA 2018, 8.314462618 J/(mol K) over 101.325 J/(L atm).
GAS_CONSTANT_L_ATM = 0.082057366

#: log10 K = a + b T + c/T + d log10 T + e/T^2 for K1, K2, KH, Kw (T in kelvin).
LOG_K = (
    (-356.3094, -0.06091964, 21834.37, 126.8339, -1684915.0),
    (-107.8871, -0.03252849, 5151.79, 38.92561, -563713.9),
    (108.3865, 0.01985076, -6919.53, -40.45154, 669365.0),
    (-283.9710, -0.05069842, 13323.00, 102.24447, -1119669.0),
)
#: log10 K at 25 °C and enthalpy over the gas constant [K] of NaHCO3 and NaCO3-.
SODIUM_PAIRS = ((-0.25, -1.0 / 1.98720426e-3), (1.27, 8.91 / 1.98720426e-3))
#: pKa of ammonium = a + b/T.
EMERSON = (0.09018, 2729.92)

_PLUMMER = (
    "Plummer LN, Busenberg E (1982) Geochim. Cosmochim. Acta 46:1011-1040; "
    "as in the wateq4f and phreeqc data files"
)


class Constants(NamedTuple):
    """Equilibrium constants [mol/L; kh mol/L/atm] at one temperature and ionic strength.

    k1 = h [HCO3-]/[CO2], k2 = h [CO3--]/[HCO3-], kw = h [OH-],
    kn = h [NH3]/[NH4+], kh = [CO2]/pCO2. ``gamma1`` is the activity
    coefficient of a singly charged ion, so [H+] = h / gamma1.
    """

    k1: float
    k2: float
    kh: float
    kw: float
    kn: float
    gamma1: float


@lru_cache(maxsize=512)
@published(
    f"{_PLUMMER}; ammonium Emerson et al. (1975); activity Davies (1962)",
    equation="10^(a + b T + c/T + d log10 T + e/T^2), T = {temperature_c} + 273.15",
    unit="mol/L",
    ranges={"temperature_c": (0.0, 50.0, "°C"), "ionic_strength_mol_l": (0.0, 0.5, "mol/L")},
)
def equilibrium_constants(temperature_c: float, ionic_strength_mol_l: float = 0.0) -> Constants:
    """Carbonate, water and ammonium constants of fresh water.

    temperature_c        : water temperature [°C]
    ionic_strength_mol_l : ionic strength [mol/L], 0 for infinite dilution

    Raises AdvisorError outside -2 to 50 °C or 0 to 1 mol/L.
    """
    check("temperature_c", temperature_c)
    check("ionic_strength_mol_l", ionic_strength_mol_l)
    k1, k2, kh, kw, kn = infinite_dilution(temperature_c)
    g1 = 10.0 ** log_gamma1_davies(ionic_strength_mol_l, temperature_c)
    return Constants(k1 / g1, k2 / g1**3, kh, kw / g1, kn * g1, g1)


class SodiumPairs(NamedTuple):
    """Association of sodium: [NaHCO3]/([Na+][HCO3-]) and [NaCO3-]/([Na+][CO3--]) [L/mol]."""

    bicarbonate: float
    carbonate: float


@published(
    "Nordstrom DK et al. (1990) ACS Symp. Ser. 416:398-413, as in the phreeqc data files",
    equation="10^-0.25 and 10^1.27 at 25 °C, moved to {temperature_c} °C by -1 and 8.91 kcal/mol",
    unit="L/mol",
    ranges={"temperature_c": (0.0, 50.0, "°C")},
)
def sodium_pairs(temperature_c: float) -> SodiumPairs:
    """Association constants of sodium with bicarbonate and carbonate, infinite dilution.

    They hold back a few percent of the carbonate of a strongly buffered water.
    """
    hotter = 1.0 / 298.15 - 1.0 / (temperature_c + KELVIN)
    (log_k1, slope1), (log_k2, slope2) = SODIUM_PAIRS
    return SodiumPairs(
        math.exp(LN10 * log_k1 + slope1 * hotter), math.exp(LN10 * log_k2 + slope2 * hotter)
    )


def davies_a(temperature_c: float) -> float:
    """The A of the Davies equation: 1.82e6 (e T)^-1.5; 0.509 at 25 °C.

    Permittivity of water e = 60954/(T + 116) - 68.937, T in kelvin (Stumm &
    Morgan 1996, Aquatic Chemistry, from memory).
    """
    t = temperature_c + KELVIN
    return float(1.82e6 * ((60954.0 / (t + 116.0) - 68.937) * t) ** -1.5)


def infinite_dilution(temperature_c: float) -> tuple[float, float, float, float, float]:
    """K1, K2, KH, Kw and the ammonium constant, unchecked and without activity."""
    t = temperature_c + KELVIN
    inverse, log_t, square = 1.0 / t, math.log10(t), 1.0 / (t * t)
    k1, k2, kh, kw = [
        math.exp(LN10 * (a + b * t + c * inverse + d * log_t + e * square))
        for a, b, c, d, e in LOG_K
    ]
    return k1, k2, kh, kw, math.exp(-LN10 * (EMERSON[0] + EMERSON[1] / t))


@published(
    "Davies CW (1962) Ion Association, Butterworths; A as in Stumm & Morgan (1996), from memory",
    equation="-A (sqrt({ionic_strength_mol_l})/(1 + sqrt({ionic_strength_mol_l}))"
    " - 0.3 {ionic_strength_mol_l})",
    unit="1",
    ranges={"ionic_strength_mol_l": (0.0, 0.5, "mol/L")},
)
def log_gamma1_davies(ionic_strength_mol_l: float, temperature_c: float) -> float:
    """log10 of the activity coefficient of a singly charged ion; times 4 for a doubly charged."""
    root = math.sqrt(ionic_strength_mol_l)
    return -davies_a(temperature_c) * (root / (1.0 + root) - 0.3 * ionic_strength_mol_l)
