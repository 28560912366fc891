"""Every figure of tests/reference/chemistry.toml, within its own tolerance.

A figure is matched to the function it checks by its ``quantity``; one that
nothing answers for fails, so that no row can be added and forgotten. Sources
stand beside each figure in that file.
"""

from __future__ import annotations

import math
import tomllib
from collections import Counter
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from advisor.water import (
    ammonia,
    arithmetic,
    carbonate,
    chlorine,
    criteria,
    gas,
    hardness,
    masses,
    nitrogen,
    oxygen,
    salinity,
    seawater,
)
from tests.water import exact_units as exact

FILE = Path(__file__).parents[1] / "reference" / "chemistry.toml"
CHECKS: list[dict[str, Any]] = tomllib.loads(FILE.read_text("utf-8"))["check"]

Inputs = Mapping[str, Any]
T = "temperature_C"
ALK = "alkalinity_mg_per_L_as_CaCO3"
TAN = "TAN_mg_per_L_as_N"


def fraction(i: Inputs) -> float:
    return ammonia.unionised_fraction(i["pH"], i[T], i["salinity_g_per_kg"])


def percent(i: Inputs) -> float:
    return 100.0 * fraction(i)


def clegg_whitfield(i: Inputs) -> float:
    """Total scale by the fit itself; free scale by taking bisulfate out of it."""
    total = ammonia.pka_total_scale(i[T], i["salinity_g_per_kg"])
    if i["pH_scale"] == "total":
        return total
    scales = seawater.ph_scales(i[T], i["salinity_g_per_kg"])
    return total + math.log10(scales.total_over_free)


def acute(i: Inputs) -> float:
    return criteria.acute_criterion_tan_mg_l(i["pH"], i[T], i["salmonids_present"])


def chronic(i: Inputs) -> float:
    return criteria.chronic_criterion_tan_mg_l(i["pH"], i[T])


def chronic_1999(i: Inputs) -> float:
    return criteria.chronic_criterion_1999_tan_mg_l(i["pH"], i[T], i["early_life_stages_present"])


def acute_1999(i: Inputs) -> float:
    return criteria.acute_criterion_1999_tan_mg_l(i["pH"], i["salmonids_present"])


def saturation(i: Inputs) -> float:
    salt = i.get("salinity_g_per_kg", i.get("salinity_psu"))
    return oxygen.oxygen_saturation_mg_l(i[T], salt, i.get("pressure_mmHg", 760.0))


def minus_log(name: str) -> Callable[[Inputs], float]:
    return lambda i: -math.log10(getattr(carbonate.equilibrium_constants(i[T]), name))


def ideal(ph: float, alkalinity: float, temperature: float) -> carbonate.Solution:
    """From pH and alkalinity as handbooks do: no activity correction."""
    return carbonate.solve_from_ph(ph, alkalinity, 0.0, temperature, ionic_strength_mol_l=0.0)


def co2_factor(i: Inputs) -> float:
    """A factor stands for water whose alkalinity is all bicarbonate: taken at 1000 mg/L."""
    return ideal(i["pH"], 1000.0 * i[ALK], i[T]).co2_mg_l / 1000.0


def co2_bicarbonate(i: Inputs) -> float:
    alkalinity = i["bicarbonate_mg_per_L_as_HCO3"] * hardness.MG_L_PER_BICARBONATE
    return ideal(i["pH"], alkalinity, i[T]).co2_mg_l


def umol_alkalinity(i: Inputs) -> float:
    return i["alkalinity_umol_per_kg"] / 1000.0 * hardness.MG_L_PER_MEQ


def co2_in_air(i: Inputs) -> float:
    mmhg = (
        i["pressure_atm"] * 760.0 if "pressure_atm" in i else i["pressure_kPa"] * exact.MMHG_PER_KPA
    )
    pco2 = gas.co2_pressure_of_moist_air_atm(i["xCO2_dry_ppm"], i[T], mmhg)
    return gas.co2_with_gas_mg_l(pco2, i[T])


def sealed(i: Inputs) -> carbonate.Solution:
    carbon = i[ALK] / hardness.MG_L_PER_MEQ + i["CO2_added_mg_per_L"] / masses.CO2
    if "headspace_L" in i:
        water = i["water_L"]
        return carbonate.solve_with_headspace(
            i[ALK], carbon * water, i[TAN], i[T], water, i["headspace_L"]
        )
    return carbonate.solve(i[ALK], carbon, i[TAN], i[T])


def aired(i: Inputs) -> carbonate.Solution:
    return carbonate.solve_with_air(i[ALK], i[TAN], i[T], i["pCO2_atm"])


def chloride_to_add(i: Inputs) -> float:
    return nitrogen.chloride_to_add_mg_l(
        i["nitrite_mg_per_L_as_stated_by_kit"],
        i.get("chloride_present_mg_per_L", 0.0),
        i["ratio"],
    )


def acre_foot_salt_lb(i: Inputs) -> float:
    litres = i["volume_acre_ft"] * exact.ACRE_FOOT_L
    return nitrogen.salt_for_chloride(i["chloride_rise_mg_per_L"] * litres) / 1e3 / exact.POUND_G


def kit_reading(i: Inputs) -> float:
    tan = nitrogen.as_nitrogen_mg_l(i["kit_reading_mg_per_L_as_NH4"], "NH4")
    return ammonia.unionised_ammonia_mg_l(tan, i["pH"], i[T])


def dose_lb(i: Inputs) -> float:
    litres = i["volume_million_US_gal"] * 1e6 * exact.US_GALLON_L
    return (
        arithmetic.dose_g(i["target_mg_per_L"] / 1e3, litres, i["active_fraction"]) / exact.POUND_G
    )


def salt_100_gallons(i: Inputs) -> float:
    litres = i["volume_US_gal"] * exact.US_GALLON_L
    return nitrogen.salt_for_chloride(i["chloride_rise_mg_per_L"]) / 1e3 * litres


def blended(i: Inputs) -> float:
    return arithmetic.blend(
        [(i["volume_1_L"], i["value_1_dKH"]), (i["volume_2_L"], i["value_2_dKH"])]
    )


def feet(i: Inputs, *names: str) -> list[float]:
    return [i[name] * exact.FOOT_M for name in names]


def psu(i: Inputs) -> float:
    celsius = i[T] if T in i else i["temperature_C_ITS68"] / 1.00024
    return salinity.salinity_from_conductivity(1000.0 * i["conductivity_mS_per_cm"], celsius)


def density(i: Inputs) -> float:
    return i["concentration_mg_per_kg"] * salinity.density_kg_l(i[T], i["salinity_psu"])


def oxygen_bag(i: Inputs) -> float:
    full = oxygen.oxygen_under_gas_mg_l(i[T], 1.0, 0.0, 760.0 * i["pressure_atm"])
    return oxygen.percent_saturation(full, i[T])


def garcia(i: Inputs) -> float:
    return oxygen.oxygen_saturation_umol_kg(i["temperature_C_ITS68"] / 1.00024, i["salinity_psu"])


UIA = "percent of TAN present as un-ionised ammonia, "
UIA_PART = "fraction of TAN present as un-ionised ammonia, fresh water"
DO = "dissolved oxygen at saturation, "

ANSWERS: dict[str, Callable[[Inputs], float]] = {
    # a, b: un-ionised ammonia
    UIA_PART: fraction,
    UIA_PART + " (known-bad table cell)": fraction,
    UIA + "fresh water": percent,
    UIA + "fresh water, top of range": percent,
    UIA + "fresh water (Trussell table)": percent,
    UIA + "sea water, pH as read on an ordinary buffer-calibrated meter": percent,
    "pKa of ammonium in sea or brackish water (mol/kg-seawater)": clegg_whitfield,
    "pKa of ammonium in sea water by the Bell et al. linear fit": lambda i: ammonia.pka_seawater(
        i[T], i["salinity_g_per_kg"]
    ),
    # c: criteria
    "EPA 2013 freshwater acute ammonia criterion (CMC)": acute,
    "EPA 2013 freshwater chronic ammonia criterion (CCC, 30-day average)": chronic,
    "EPA 2013 acute criterion at the reference condition": acute,
    "EPA 2013 chronic criterion at the reference condition": chronic,
    "highest 4-day average allowed within the 30 days = 2.5 x CCC, using the rounded CCC": (
        lambda i: criteria.highest_four_day_mean_tan_mg_l(i["CCC_mg_per_L_as_N"])
    ),
    "EPA 1999 acute criterion, salmonids present": acute_1999,
    "EPA 1999 chronic criterion": chronic_1999,
    "EPA 1999 acute criterion, salmonids absent": acute_1999,
    # d: oxygen
    DO + "fresh water, 1 atm": saturation,
    DO + "saline water, 1 atm (table value less linear salinity correction)": saturation,
    DO + "fresh water, reduced pressure": saturation,
    DO + "fresh water, reduced pressure, full vapour-pressure correction": saturation,
    "oxygen solubility in sea water at 1 atm": garcia,
    "oxygen solubility in sea water at 1 atm, converted to mass per litre with the water density": (
        saturation
    ),
    # e: constants
    "pK1 of carbonic acid (CO2 + H2CO3), infinite dilution": minus_log("k1"),
    "pK2 of carbonic acid, infinite dilution": minus_log("k2"),
    "pKH of carbon dioxide, mol/(kg atm), fresh water": minus_log("kh"),
    "pKw of water": minus_log("kw"),
    # f: CO2
    "mg/L of free CO2 per mg/L CaCO3 of total alkalinity": co2_factor,
    "free CO2 from pH, temperature and alkalinity": lambda i: ideal(i["pH"], i[ALK], i[T]).co2_mg_l,
    "free CO2 from pH and bicarbonate at 25 C": co2_bicarbonate,
    "CO2 dissolved in pure water in equilibrium with air of the table date": co2_in_air,
    "CO2 dissolved in fresh water in equilibrium with moist air": co2_in_air,
    "free CO2 from pH and alkalinity, pure-water constants, no activity correction": (
        lambda i: ideal(i["pH"], umol_alkalinity(i), i[T]).co2_mg_l / masses.CO2 * 1000.0
    ),
    "total inorganic carbon from pH and alkalinity, pure-water constants": (
        lambda i: ideal(i["pH"], umol_alkalinity(i), i[T]).dic_mmol_l * 1000.0
    ),
    # g: sealed bags
    "pH of the sealed water": lambda i: sealed(i).ph,
    "free CO2 in the sealed water": lambda i: sealed(i).co2_mg_l,
    "un-ionised ammonia in the sealed water": lambda i: sealed(i).nh3_mg_l,
    "pH after the same water reaches equilibrium with air (alkalinity and TAN unchanged)": (
        lambda i: aired(i).ph
    ),
    "un-ionised ammonia after equilibrium with air": lambda i: aired(i).nh3_mg_l,
    "pH of sealed water sharing its CO2 with the headspace": lambda i: sealed(i).ph,
    "free CO2 left in the water": lambda i: sealed(i).co2_mg_l,
    "CO2 partial pressure in the headspace": lambda i: gas.co2_pressure_atm(
        sealed(i).co2_mg_l, i[T]
    ),
    # h: units
    "1 German degree (10 mg/L CaO) as mg/L CaCO3": (
        lambda i: i["hardness_dH"] * hardness.MG_L_PER_GERMAN_DEGREE
    ),
    "1 German degree as mg/L CaCO3 in a three-figure table": (
        lambda i: i["hardness_dH"] * hardness.MG_L_PER_GERMAN_DEGREE
    ),
    "1 dKH as milliequivalents per litre": (
        lambda i: i["alkalinity_dKH"] * hardness.MG_L_PER_GERMAN_DEGREE / hardness.MG_L_PER_MEQ
    ),
    "alkalinity 50 mg/L CaCO3 in meq/L": lambda i: i[ALK] / hardness.MG_L_PER_MEQ,
    "1 dKH as bicarbonate ion": (
        lambda i: (
            i["alkalinity_dKH"] * hardness.MG_L_PER_GERMAN_DEGREE / hardness.MG_L_PER_BICARBONATE
        )
    ),
    "total hardness from calcium and magnesium": (
        lambda i: hardness.hardness_mg_l_caco3(i["Ca_mg_per_L"], i["Mg_mg_per_L"])
    ),
    "1 grain per US gallon as mg/L CaCO3": (
        lambda i: i["hardness_grain_per_US_gal"] * hardness.MG_L_PER_GRAIN_PER_US_GALLON
    ),
    "1 English (Clark) degree as mg/L CaCO3": (
        lambda i: i["hardness_Clark"] * hardness.MG_L_PER_CLARK_DEGREE
    ),
    "1 US gallon in litres": lambda i: i["volume_US_gal"] * exact.US_GALLON_L,
    "1 US gallon in litres, report rounding": lambda i: i["volume_US_gal"] * exact.US_GALLON_L,
    "1 imperial gallon in litres": lambda i: i["volume_imp_gal"] * exact.IMPERIAL_GALLON_L,
    "1 US fluid ounce in millilitres": lambda i: i["volume_US_floz"] * exact.US_FLUID_OUNCE_ML,
    "1 lb in grams": lambda i: i["mass_lb"] * exact.POUND_G,
    "1 cubic foot in US gallons": (
        lambda i: i["volume_ft3"] * exact.CUBIC_FOOT_L / exact.US_GALLON_L
    ),
    "75 degF in Celsius": lambda i: exact.celsius_from_fahrenheit(i["temperature_F"]),
    "25 C in Fahrenheit": lambda i: exact.fahrenheit_from_celsius(i[T]),
    "a temperature DIFFERENCE of 5 degF in C degrees": (
        lambda i: exact.celsius_step_from_fahrenheit_step(i["delta_temperature_F"])
    ),
    "1 ppm by mass in sea water as mg/L": density,
    "practical salinity from conductivity": psu,
    "practical salinity from conductivity, brackish": psu,
    "TDS estimate from conductivity with a stated factor": (
        lambda i: salinity.dissolved_solids_mg_l(i["conductivity_uS_per_cm_at_25C"], i["factor"])
    ),
    "1 atm in mmHg": lambda i: i["pressure_atm"] * exact.MMHG_PER_ATM,
    "29.92 inHg in mmHg": lambda i: i["pressure_inHg"] * exact.MMHG_PER_INHG,
    # i: nitrogen and chloride
    "convert total ammonia expressed as NH3 to total ammonia expressed as N": (
        lambda i: nitrogen.as_nitrogen_mg_l(i["total_ammonia_mg_per_L_as_NH3"], "NH3")
    ),
    "ammonia to nitrogen factor": (
        lambda i: nitrogen.as_nitrogen_mg_l(i["ammonia_mg_per_L_as_NH3"], "NH3")
    ),
    "nitrate ion to nitrate-nitrogen": (
        lambda i: nitrogen.as_nitrogen_mg_l(i["nitrate_mg_per_L_as_NO3"], "NO3")
    ),
    "nitrite ion to nitrite-nitrogen": (
        lambda i: nitrogen.as_nitrogen_mg_l(i["nitrite_mg_per_L_as_NO2"], "NO2")
    ),
    "nitrite-nitrogen to nitrite ion": (
        lambda i: nitrogen.from_nitrogen_mg_l(i["nitrite_mg_per_L_as_N"], "NO2")
    ),
    "nitrate-nitrogen to nitrate ion": (
        lambda i: nitrogen.from_nitrogen_mg_l(i["nitrate_mg_per_L_as_N"], "NO3")
    ),
    "TAN as N to total ammonia as NH3": lambda i: nitrogen.from_nitrogen_mg_l(i[TAN], "NH3"),
    "TAN as N to total ammonia as NH4": lambda i: nitrogen.from_nitrogen_mg_l(i[TAN], "NH4"),
    "un-ionised ammonia as NH3-N from a kit that reads NH4": kit_reading,
    "un-ionised ammonia from TAN, pH and temperature": (
        lambda i: ammonia.unionised_ammonia_mg_l(i[TAN], i["pH"], i[T])
    ),
    "chloride needed for a 10:1 ratio": chloride_to_add,
    "chloride to add = 10 x nitrite - chloride present": chloride_to_add,
    "chloride to nitrite mass ratio": (
        lambda i: nitrogen.chloride_to_nitrite_ratio(
            i["chloride_mg_per_L"], i["nitrite_mg_per_L_as_NO2"]
        )
    ),
    "sodium chloride that supplies 1 g of chloride": (
        lambda i: nitrogen.salt_for_chloride(i["chloride_g"])
    ),
    "salt that raises 1 acre-foot by 1 mg/L chloride": acre_foot_salt_lb,
    # j: salt and dilution
    "3 percent salt in parts per thousand": (
        lambda i: arithmetic.g_kg_from_percent(i["salt_percent"])
    ),
    "3 percent salt in ppm": lambda i: 1000.0 * arithmetic.g_kg_from_percent(i["salt_percent"]),
    "rectangular tank volume": (
        lambda i: (
            arithmetic.rectangular_volume_l(*feet(i, "length_ft", "width_ft", "depth_ft"))
            / exact.CUBIC_FOOT_L
        )
    ),
    "round tank volume": (
        lambda i: (
            arithmetic.round_volume_l(*feet(i, "diameter_ft", "depth_ft")) / exact.CUBIC_FOOT_L
        )
    ),
    "tank of 108 ft3 in US gallons at 7.48 gal/ft3": (
        lambda i: i["volume_ft3"] * exact.CUBIC_FOOT_L / exact.US_GALLON_L
    ),
    "product mass for a target concentration with partial activity": dose_lb,
    "salt for 10 US gallons at 5 g/L": (
        lambda i: arithmetic.dose_g(i["target_g_per_L"], i["volume_US_gal"] * exact.US_GALLON_L)
    ),
    "concentration from 1 lb salt in 100 US gallons": (
        lambda i: arithmetic.concentration_g_l(
            i["mass_lb"] * exact.POUND_G, i["volume_US_gal"] * exact.US_GALLON_L
        )
    ),
    "chloride from 1 g/L sodium chloride": (
        lambda i: 1000.0 * nitrogen.chloride_in_salt(i["NaCl_g_per_L"])
    ),
    "salt to raise 100 US gallons by 30 mg/L chloride": salt_100_gallons,
    "fraction left after one 50 % change": (
        lambda i: arithmetic.left_after_changes(i["change_fraction"], i["times"])
    ),
    "fraction left after three 50 % changes": (
        lambda i: arithmetic.left_after_changes(i["change_fraction"], i["times"])
    ),
    "size of one change to bring TAN from 4 to 1 mg/L with clean water": (
        lambda i: arithmetic.change_to_reach(
            i["start_mg_per_L"], i["target_mg_per_L"], i["new_water_mg_per_L"]
        )
    ),
    "fraction left after one tank volume of well-mixed flow-through": (
        lambda i: arithmetic.left_after_flow_through(i["tank_volumes"])
    ),
    "temperature-like property after mixing 2 L of bag water at 10 dKH with 8 L at 3 dKH": blended,
    "sodium bicarbonate to raise 100 L by 1 dKH": (
        lambda i: hardness.bicarbonate_for_alkalinity_g(
            i["rise_dKH"] * hardness.MG_L_PER_GERMAN_DEGREE, i["volume_L"]
        )
    ),
    "alkalinity added when 1 mg/L N is excreted as NH3": (
        lambda i: hardness.alkalinity_from_excreted_mg_l(i["TAN_rise_mg_per_L_as_N"])
    ),
    "alkalinity consumed per mg N nitrified": (
        lambda i: hardness.alkalinity_used_by_nitrification_mg_l(i["TAN_nitrified_mg_per_L_as_N"])
    ),
    # k: gas saturation
    "oxygen percent saturation from a measured concentration": (
        lambda i: (
            100.0 * i["oxygen_mL_per_L"] / oxygen.oxygen_saturation_ml_l(i[T], i["salinity_ppt"])
        )
    ),
    "oxygen percent saturation at 25 C, fresh water, 1 atm": (
        lambda i: oxygen.percent_saturation(
            i["oxygen_mg_per_L"], i[T], i["salinity_g_per_kg"], i["pressure_mmHg"]
        )
    ),
    "oxygen in water equilibrated with pure moist oxygen at 1 atm, as percent of air saturation": (
        oxygen_bag
    ),
    "total gas pressure in percent of barometric pressure": (
        lambda i: gas.total_gas_pressure_pct(i["delta_P_mmHg"], i["barometric_mmHg"])
    ),
}


def test_the_file_is_whole() -> None:
    assert len(CHECKS) == 261
    assert Counter(len({c["id"]}) for c in CHECKS) == {1: 261}
    assert len({check["id"] for check in CHECKS}) == 261


def test_every_answer_is_asked_for() -> None:
    assert set(ANSWERS) == {check["quantity"] for check in CHECKS}


@pytest.mark.parametrize("check", CHECKS, ids=[check["id"] for check in CHECKS])
def test_published_value(check: dict[str, Any]) -> None:
    answer = ANSWERS.get(check["quantity"])
    assert answer is not None, f"nothing computes: {check['quantity']}"
    expected = check["expected"]
    tolerance = check.get("tolerance_abs") or check["tolerance_rel"] * abs(expected)
    value = answer(check["inputs"])
    assert abs(value - expected) <= tolerance, (
        f"{value:.6g}, expected {expected:g} +/- {tolerance:g} {check['unit']}: {check['source']}"
    )


def test_activity_correction_is_needed_for_the_sealed_bags() -> None:
    """An ideal solution misses the NH3 of the bags of 300 mg/L alkalinity by far."""
    rows = [c for c in CHECKS if "nh3n" in c["id"] and "alk300" in c["id"]]
    assert rows
    for row in rows:
        off = row["expected_ideal_solution"] / row["expected"] - 1.0
        assert off > 2 * row["tolerance_rel"]


@pytest.mark.parametrize(
    ("per_mg", "expected"),
    [
        # 7.0 mg of the pentahydrate per mg of chlorine: sample instructions of a photometer maker
        # (support article TE213, 2017); 0.88: the least, full oxidation to sulfate, by the same
        # molar masses
        (chlorine.THIOSULFATE_TO_TETRATHIONATE, 7.0),
        (chlorine.THIOSULFATE_TO_SULFATE, 0.88),
        # about 0.20 mg/L ammonia-N freed per mg/L chlorine of chloramine (from memory)
        (chlorine.ammonia_freed_mg_l(1.0), 0.20),
    ],
)
def test_dechlorination_stoichiometry(per_mg: float, expected: float) -> None:
    assert per_mg == pytest.approx(expected, abs=0.006)
