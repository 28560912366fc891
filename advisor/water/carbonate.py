"""Inorganic carbon, alkalinity and ammonia: pH solved, never averaged.

pH is always found from the quantities that mix and add up: alkalinity,
inorganic carbon and total ammonia. CO2 that comes or goes changes the
inorganic carbon, never the alkalinity. The charge balance, with NH4+ and free
CO2 as the zero level of alkalinity:

    Alk = [HCO3-] + 2 [CO3--] + [B(OH)4-] + [OH-] - [H+] + [NH3]

Ammonia put in as an ammonium salt adds no alkalinity; ammonia given off by
fish as NH3 adds one equivalent per mole (3.57 mg/L as CaCO3 per mg N), which
the caller adds.

Two descriptions of the water, by salinity:

- under 5 g/kg, fresh or salted water: constants at infinite dilution, Davies
  activity correction for the alkalinity, the TAN and the salt, and sodium's ion
  pairs, the alkalinity being taken as that of NaHCO3; pH is -log10 of the
  hydrogen-ion activity; a litre is taken as a kilogram;
- from 5 g/kg, sea salt: :mod:`advisor.water.seawater`, with borate, on the free
  scale. The pH *number* steps down by about 0.11 there, as the two scales
  differ; CO2 and NH3 stay within some 5 and 10 %. In water with less inorganic
  carbon than alkalinity (pH over about 8.5) plain salt and sea salt truly
  differ, and the step reaches 0.3.

Left out: phosphate, silicate, organic acids, and the ion pairs and scaling of
calcium and magnesium, which lower pH in hard water above about 8.3.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from advisor.errors import AdvisorError
from advisor.water.charge_balance import (
    Solution,
    carbonate_left,
    close,
    conditional,
    medium,
    solution,
    start,
)
from advisor.water.constants import GAS_CONSTANT_L_ATM, KELVIN, Constants, equilibrium_constants
from advisor.water.formulas import published, shares
from advisor.water.input_checks import check, check_not_negative, check_positive
from advisor.water.seawater import SEA_FROM_G_KG
from advisor.wording.numbers import exact

__all__ = [
    "Constants",
    "Solution",
    "Water",
    "co2_mg_l_from",
    "dic_mmol_l_from",
    "equilibrium_constants",
    "gas_share",
    "mix",
    "ph_from",
    "ph_with_air",
    "solve",
    "solve_from_ph",
    "solve_with_air",
    "solve_with_headspace",
]

#: CO2 in outdoor air [atm], taken as the actual partial pressure.
OUTDOOR_PCO2_ATM = 0.00042
_BALANCE = (
    "charge balance; constants Plummer & Busenberg (1982), Emerson et al. (1975), Davies (1962); "
    "from 5 g/kg Millero (2010), Dickson (1990), Bell et al. (2008)"
)
_RANGES = {
    "alkalinity_mg_l_caco3": (0.0, 1000.0, "mg/L as CaCO3"),
    "tan_mg_l": (0.0, 100.0, "mg/L as N"),
}


def _constants_formula(salinity_g_kg: float) -> str:
    return "sea_constants" if salinity_g_kg >= SEA_FROM_G_KG else "equilibrium_constants"


class Water(NamedTuple):
    """An amount of water by the quantities that add up on mixing."""

    volume_l: float
    alkalinity_mg_l_caco3: float
    dic_mmol_l: float
    tan_mg_l: float
    temperature_c: float
    salinity_g_kg: float = 0.0


@published(
    _BALANCE,
    equation="-log10 h from HCO3 + 2 CO3 + OH - H + NH3 = Alk, with Alk {alkalinity_mg_l_caco3}"
    " mg/L as CaCO3, DIC {dic_mmol_l} mmol/L, TAN {tan_mg_l} mg N/L, {temperature_c} °C",
    unit="pH",
    ranges=_RANGES,
    rests_on=_constants_formula,
)
def solve(
    alkalinity_mg_l_caco3: float,
    dic_mmol_l: float,
    tan_mg_l: float,
    temperature_c: float,
    salinity_g_kg: float = 0.0,
) -> Solution:
    """pH, free CO2 and un-ionised ammonia of a sealed water.

    alkalinity_mg_l_caco3 : total alkalinity [mg/L as CaCO3], 0 or more
    dic_mmol_l            : inorganic carbon [mmol/L], 0 or more
    tan_mg_l              : total ammonia nitrogen [mg N/L], 0 or more
    temperature_c         : water temperature [°C]
    salinity_g_kg         : salinity [g/kg], 0 for fresh water

    Ionic strength is that of NaHCO3 water with the TAN as NH4Cl, plus the
    salt. Raises AdvisorError for a negative or impossible input.
    """
    check("dic_mmol_l", dic_mmol_l)
    return close(
        alkalinity_mg_l_caco3, dic_mmol_l, tan_mg_l, temperature_c, salinity_g_kg, 0.0, 0.0
    )


@published(
    f"Henry's law with {_BALANCE}",
    equation="-log10 h from HCO3 + 2 CO3 + OH - H + NH3 = Alk, with CO2 = KH {pco2_atm} atm,"
    " Alk {alkalinity_mg_l_caco3} mg/L as CaCO3, TAN {tan_mg_l} mg N/L, {temperature_c} °C",
    unit="pH",
    ranges=_RANGES,
    rests_on=_constants_formula,
)
def solve_with_air(
    alkalinity_mg_l_caco3: float,
    tan_mg_l: float,
    temperature_c: float,
    pco2_atm: float = OUTDOOR_PCO2_ATM,
    salinity_g_kg: float = 0.0,
) -> Solution:
    """The same water once its CO2 is in equilibrium with air of this pCO2 [atm].

    Alkalinity and TAN stay; the inorganic carbon is what the air allows.
    """
    check_not_negative("pco2_atm", pco2_atm, "atm")
    return close(alkalinity_mg_l_caco3, 0.0, tan_mg_l, temperature_c, salinity_g_kg, 0.0, pco2_atm)


@published(
    f"Henry's law and the ideal gas law with {_BALANCE}",
    equation="-log10 h from HCO3 + 2 CO3 + OH - H + NH3 = Alk, with {dic_total_mmol} mmol ="
    " {water_l} L DIC + {gas_l} L CO2/(KH R T), Alk {alkalinity_mg_l_caco3} mg/L as CaCO3,"
    " TAN {tan_mg_l} mg N/L, {temperature_c} °C",
    unit="pH",
    ranges=_RANGES,
    rests_on=_constants_formula,
)
def solve_with_headspace(
    alkalinity_mg_l_caco3: float,
    dic_total_mmol: float,
    tan_mg_l: float,
    temperature_c: float,
    water_l: float,
    gas_l: float,
    salinity_g_kg: float = 0.0,
) -> Solution:
    """A sealed water that shares its CO2 with the gas above it, which keeps its volume.

    dic_total_mmol : inorganic carbon in water and gas together [mmol]
    water_l, gas_l : volumes [L]; water_l more than 0
    """
    check_positive("water_l", water_l, "L")
    check_not_negative("gas_l", gas_l, "L")
    check_not_negative("dic_total_mmol", dic_total_mmol, "mmol")
    carbon = dic_total_mmol / water_l
    ratio = gas_l / water_l
    return close(alkalinity_mg_l_caco3, carbon, tan_mg_l, temperature_c, salinity_g_kg, ratio, 0.0)


def gas_share(
    temperature_c: float, water_l: float, gas_l: float, salinity_g_kg: float = 0.0
) -> float:
    """Moles of CO2 in the gas per mole of free CO2 in the water: V_gas/(V_water KH R T)."""
    check_positive("water_l", water_l, "L")
    check_not_negative("gas_l", gas_l, "L")
    m = medium(temperature_c, salinity_g_kg)
    return gas_l / (water_l * m.kh * m.kg_per_l * GAS_CONSTANT_L_ATM * (temperature_c + KELVIN))


@shares("solve", "pH")
def ph_from(
    alkalinity_mg_l_caco3: float,
    dic_mmol_l: float,
    tan_mg_l: float,
    temperature_c: float,
    salinity_g_kg: float = 0.0,
) -> float:
    """pH of a sealed water; arguments as in :func:`solve`."""
    return solve(alkalinity_mg_l_caco3, dic_mmol_l, tan_mg_l, temperature_c, salinity_g_kg).ph


@shares("solve_with_air", "pH")
def ph_with_air(
    alkalinity_mg_l_caco3: float,
    tan_mg_l: float,
    temperature_c: float,
    pco2_atm: float = OUTDOOR_PCO2_ATM,
    salinity_g_kg: float = 0.0,
) -> float:
    """pH after equilibrium with air; arguments as in :func:`solve_with_air`."""
    return solve_with_air(
        alkalinity_mg_l_caco3, tan_mg_l, temperature_c, pco2_atm, salinity_g_kg
    ).ph


@published(
    _BALANCE,
    equation="CO2 = (Alk - OH + H - NH3) h/(K1 (1 + 2 K2/h)), with h = 10^-{ph},"
    " Alk {alkalinity_mg_l_caco3} mg/L as CaCO3, TAN {tan_mg_l} mg N/L, {temperature_c} °C",
    unit="mg/L",
    ranges=_RANGES,
    rests_on=_constants_formula,
)
def solve_from_ph(
    ph: float,
    alkalinity_mg_l_caco3: float,
    tan_mg_l: float,
    temperature_c: float,
    salinity_g_kg: float = 0.0,
    *,
    ionic_strength_mol_l: float | None = None,
) -> Solution:
    """Free CO2, inorganic carbon and NH3 from a measured pH and alkalinity.

    ph                   : as an ordinary meter reads it
    ionic_strength_mol_l : where known better than from alkalinity and salt
                           (hard water); 0 gives what handbook tables print

    Raises AdvisorError when the pH is higher than this alkalinity can carry
    (one of the two readings is then wrong).
    """
    check("ph", ph)
    alk, tan, m = start(alkalinity_mg_l_caco3, tan_mg_l, temperature_c, salinity_g_kg)
    h = 10.0**-ph
    if ionic_strength_mol_l is not None:
        check("ionic_strength_mol_l", ionic_strength_mol_l)
        if ionic_strength_mol_l == 0.0:  # an ideal solution has no ion pairs either
            m = m._replace(pair1=0.0, pair2=0.0)
    base, sodium = alk + tan + m.salt_ionic, alk + m.salt_sodium
    ionic = base if ionic_strength_mol_l is None else ionic_strength_mol_l
    for _ in range(50):
        k = conditional(m, ionic, sodium, 1.0)
        left = carbonate_left(h, k, alk, tan, m.kb, m.borate)
        hco3 = max(0.0, left) / (1.0 + 2.0 * k.k2 / h)
        nh3 = tan * k.kn / (k.kn + h)
        before = ionic
        if ionic_strength_mol_l is None:
            ionic = min(1.0, base - nh3 + k.free * h + hco3 * k.k2 / h)
        if abs(ionic - before) <= 1e-13:
            break
    if left < 0.0:
        raise AdvisorError(
            f"ph: {exact(ph)} is higher than an alkalinity of "
            f"{exact(alkalinity_mg_l_caco3)} mg/L as CaCO3 "
            "can carry; measure pH and alkalinity again."
        )
    co2 = hco3 * h / k.k1
    return solution(ph, co2, nh3, co2 + hco3 * (1.0 + k.k2 / h), ionic, m)


@shares("solve_from_ph", "mg/L")
def co2_mg_l_from(
    ph: float,
    alkalinity_mg_l_caco3: float,
    tan_mg_l: float,
    temperature_c: float,
    salinity_g_kg: float = 0.0,
) -> float:
    """Free CO2 [mg/L] from pH and alkalinity; arguments as in :func:`solve_from_ph`."""
    return solve_from_ph(ph, alkalinity_mg_l_caco3, tan_mg_l, temperature_c, salinity_g_kg).co2_mg_l


@shares("solve_from_ph", "mmol/L")
def dic_mmol_l_from(
    ph: float,
    alkalinity_mg_l_caco3: float,
    tan_mg_l: float,
    temperature_c: float,
    salinity_g_kg: float = 0.0,
) -> float:
    """Inorganic carbon [mmol/L] from pH and alkalinity; as in :func:`solve_from_ph`."""
    return solve_from_ph(
        ph, alkalinity_mg_l_caco3, tan_mg_l, temperature_c, salinity_g_kg
    ).dic_mmol_l


def mix(waters: Sequence[Water]) -> Water:
    """Several waters poured together, without gas exchange.

    Alkalinity, inorganic carbon, TAN, salinity and heat are shared out by
    volume (mass of solutes and heat balance; the density difference is left
    out). Raises AdvisorError without any water.
    """
    for water in waters:
        check_not_negative("volume_l", water.volume_l, "L")
    volume = math.fsum(water.volume_l for water in waters)
    check_positive("volume_l", volume, "L")
    means = (
        math.fsum(water[i] * water.volume_l for water in waters) / volume
        for i in range(1, len(Water._fields))
    )
    return Water(volume, *means)
