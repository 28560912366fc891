"""Exact factors for hardness and alkalinity, and hardness from calcium and magnesium.

What people type ("6 dKH") is read by :mod:`advisor.units`; these are the
numbers behind it.
"""

from __future__ import annotations

from advisor.water import masses
from advisor.water.formulas import published
from advisor.water.input_checks import check_not_negative

#: Exact by definition.
GRAIN_MG = 64.79891
IMPERIAL_GALLON_L = 4.54609
US_GALLON_L = 3.785411784

#: mg/L as CaCO3 per German degree (10 mg/L CaO); 17.8, 17.86 and 17.9 are also printed.
MG_L_PER_GERMAN_DEGREE = 10.0 * masses.CACO3 / masses.CAO
#: mg/L as CaCO3 per English (Clark) degree: one grain per imperial gallon.
MG_L_PER_CLARK_DEGREE = GRAIN_MG / IMPERIAL_GALLON_L
#: mg/L as CaCO3 per grain per US gallon.
MG_L_PER_GRAIN_PER_US_GALLON = GRAIN_MG / US_GALLON_L
#: mg/L as CaCO3 per meq/L.
MG_L_PER_MEQ = masses.CACO3_MG_PER_MEQ
#: mg/L as CaCO3 per mg/L of bicarbonate ion.
MG_L_PER_BICARBONATE = masses.CACO3_MG_PER_MEQ / masses.HCO3


@published(
    "APHA Standard Methods 2340 B (from memory); molar masses, IUPAC",
    equation="2.497 {calcium_mg_l} + 4.118 {magnesium_mg_l}",
    unit="mg/L as CaCO3",
)
def hardness_mg_l_caco3(calcium_mg_l: float, magnesium_mg_l: float) -> float:
    """Total hardness from calcium and magnesium."""
    check_not_negative("calcium_mg_l", calcium_mg_l, "mg/L")
    check_not_negative("magnesium_mg_l", magnesium_mg_l, "mg/L")
    return masses.CACO3 * (calcium_mg_l / masses.CA + magnesium_mg_l / masses.MG)


@published(
    "one equivalent per mole; molar masses, IUPAC",
    equation="{rise_mg_l_caco3} / 50.043 * 84.006 * {volume_l} / 1000",
    unit="g NaHCO3",
)
def bicarbonate_for_alkalinity_g(rise_mg_l_caco3: float, volume_l: float) -> float:
    """Sodium bicarbonate that raises alkalinity by this much in this volume."""
    check_not_negative("rise_mg_l_caco3", rise_mg_l_caco3, "mg/L")
    check_not_negative("volume_l", volume_l, "L")
    return rise_mg_l_caco3 / masses.CACO3_MG_PER_MEQ * masses.NAHCO3 * volume_l / 1000.0


@published(
    "one equivalent per mole NH3; molar masses, IUPAC",
    equation="{nitrogen_mg_l} * 50.043 / 14.007",
    unit="mg/L as CaCO3",
)
def alkalinity_from_excreted_mg_l(nitrogen_mg_l: float) -> float:
    """Alkalinity that fish add with ammonia given off as NH3 (3.57 per mg N)."""
    check_not_negative("nitrogen_mg_l", nitrogen_mg_l, "mg/L")
    return nitrogen_mg_l * masses.CACO3_MG_PER_MEQ / masses.N


@published(
    "NH4+ + 2 O2 -> NO3- + 2 H+ + H2O, two equivalents per mole; molar masses, IUPAC",
    equation="2 * {nitrogen_mg_l} * 50.043 / 14.007",
    unit="mg/L as CaCO3",
)
def alkalinity_used_by_nitrification_mg_l(nitrogen_mg_l: float) -> float:
    """Alkalinity that a filter uses up as it turns ammonia into nitrate (7.15 per mg N)."""
    check_not_negative("nitrogen_mg_l", nitrogen_mg_l, "mg/L")
    return 2.0 * nitrogen_mg_l * masses.CACO3_MG_PER_MEQ / masses.N
