"""What answers for each figure of tests/reference/chemistry.toml.

Conversions go through what reads typed text (``advisor.units``), the rest through the
equations that assessments use.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

from advisor.units import parse
from advisor.units.registry import convert
from advisor.water import (
    ammonia,
    arithmetic,
    carbonate,
    criteria,
    gas,
    masses,
    nitrogen,
    oxygen,
    salinity,
)

Inputs = Mapping[str, Any]
T = "temperature_C"
ALK = "alkalinity_mg_per_L_as_CaCO3"
TAN = "TAN_mg_per_L_as_N"

US_GALLON_L = convert(1.0, "us_gal", "liter")
CUBIC_FOOT_L = convert(1.0, "ft3", "liter")
FOOT_M = convert(1.0, "ft", "m")
POUND_G = convert(1.0, "lb", "gram")
#: Pressure is not among the units people write here: 760 mmHg and 101.325 kPa are the standard
#: atmosphere, 25.4 mm the inch, by definition.
KPA = 101.325


def read(text: str, parameter: str) -> float:
    """What the program takes a typed reading to be, in the stored unit."""
    return parse(text, parameter).value


def alkalinity(text: str) -> float:
    return read(text, "alkalinity_mg_l_caco3")


def hardness(text: str) -> float:
    return read(text, "hardness_mg_l_caco3")


def fraction(i: Inputs) -> float:
    return ammonia.unionised_fraction(i["pH"], i[T], i["salinity_g_per_kg"])


def percent(i: Inputs) -> float:
    return 100.0 * fraction(i)


def acute(i: Inputs) -> float:
    return criteria.acute_criterion_tan_mg_l(i["pH"], i[T], i["salmonids_present"])


def chronic(i: Inputs) -> float:
    return criteria.chronic_criterion_tan_mg_l(i["pH"], i[T])


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
    ions = i["bicarbonate_mg_per_L_as_HCO3"]
    return ideal(i["pH"], ions * alkalinity("1 mg/L as HCO3"), i[T]).co2_mg_l


def umol_alkalinity(i: Inputs) -> float:
    return i["alkalinity_umol_per_kg"] / 1000.0 * alkalinity("1 meq/L")


def co2_in_air(i: Inputs) -> float:
    """Pure water under moist air: the vapour's share leaves the dry air its part (Dalton)."""
    mmhg = i["pressure_atm"] * 760.0 if "pressure_atm" in i else i["pressure_kPa"] / KPA * 760.0
    dry = mmhg - oxygen.vapour_pressure_mmhg(i[T])
    return carbonate.solve_with_air(0.0, 0.0, i[T], i["xCO2_dry_ppm"] * 1e-6 * dry / 760.0).co2_mg_l


def co2_pressure(i: Inputs) -> float:
    """Henry's law with the constant that the water was solved with."""
    return sealed(i).co2_mg_l / 1e3 / masses.CO2 / carbonate.equilibrium_constants(i[T]).kh


def sealed(i: Inputs) -> carbonate.Solution:
    carbon = i[ALK] / alkalinity("1 meq/L") + i["CO2_added_mg_per_L"] / masses.CO2
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
    litres = i["volume_acre_ft"] * 43_560 * CUBIC_FOOT_L
    return nitrogen.salt_for_chloride(i["chloride_rise_mg_per_L"] * litres) / 1e3 / POUND_G


def kit_reading(i: Inputs) -> float:
    tan = i["kit_reading_mg_per_L_as_NH4"] * read("1 mg/L as NH4", "tan_mg_l")
    return ammonia.unionised_ammonia_mg_l(tan, i["pH"], i[T])


def dose_lb(i: Inputs) -> float:
    litres = i["volume_million_US_gal"] * 1e6 * US_GALLON_L
    return arithmetic.dose_g(i["target_mg_per_L"] / 1e3, litres, i["active_fraction"]) / POUND_G


def salt_100_gallons(i: Inputs) -> float:
    litres = i["volume_US_gal"] * US_GALLON_L
    return nitrogen.salt_for_chloride(i["chloride_rise_mg_per_L"]) / 1e3 * litres


def blended(i: Inputs) -> float:
    return arithmetic.blend(
        [(i["volume_1_L"], i["value_1_dKH"]), (i["volume_2_L"], i["value_2_dKH"])]
    )


def feet(i: Inputs, *names: str) -> list[float]:
    return [i[name] * FOOT_M for name in names]


def psu(i: Inputs) -> float:
    celsius = i[T] if T in i else i["temperature_C_ITS68"] / 1.00024
    return salinity.salinity_from_conductivity(1000.0 * i["conductivity_mS_per_cm"], celsius)


def density(i: Inputs) -> float:
    return i["concentration_mg_per_kg"] * salinity.density_kg_l(i[T], i["salinity_psu"])


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
    "pKa of ammonium in sea water by the Bell et al. linear fit": lambda i: ammonia.pka_seawater(
        i[T], i["salinity_g_per_kg"]
    ),
    # c: criteria
    "EPA 2013 freshwater acute ammonia criterion (CMC)": acute,
    "EPA 2013 freshwater chronic ammonia criterion (CCC, 30-day average)": chronic,
    "EPA 2013 acute criterion at the reference condition": acute,
    "EPA 2013 chronic criterion at the reference condition": chronic,
    # d: oxygen
    DO + "fresh water, 1 atm": saturation,
    DO + "saline water, 1 atm (table value less linear salinity correction)": saturation,
    DO + "fresh water, reduced pressure": saturation,
    DO + "fresh water, reduced pressure, full vapour-pressure correction": saturation,
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
    "CO2 partial pressure in the headspace": co2_pressure,
    # h: units
    "1 German degree (10 mg/L CaO) as mg/L CaCO3": (lambda i: i["hardness_dH"] * hardness("1 dGH")),
    "1 German degree as mg/L CaCO3 in a three-figure table": (
        lambda i: i["hardness_dH"] * hardness("1 dGH")
    ),
    "1 dKH as milliequivalents per litre": (
        lambda i: i["alkalinity_dKH"] * alkalinity("1 dKH") / alkalinity("1 meq/L")
    ),
    "alkalinity 50 mg/L CaCO3 in meq/L": lambda i: i[ALK] / alkalinity("1 meq/L"),
    "1 dKH as bicarbonate ion": (
        lambda i: i["alkalinity_dKH"] * alkalinity("1 dKH") / alkalinity("1 mg/L as HCO3")
    ),
    "1 grain per US gallon as mg/L CaCO3": (
        lambda i: i["hardness_grain_per_US_gal"] * hardness("1 gpg")
    ),
    "1 English (Clark) degree as mg/L CaCO3": (lambda i: i["hardness_Clark"] * hardness("1 clark")),
    "1 US gallon in litres": lambda i: i["volume_US_gal"] * US_GALLON_L,
    "1 US gallon in litres, report rounding": lambda i: i["volume_US_gal"] * US_GALLON_L,
    "1 imperial gallon in litres": lambda i: i["volume_imp_gal"] * read("1 imp gal", "volume_l"),
    "1 US fluid ounce in millilitres": lambda i: (
        i["volume_US_floz"] * 1000.0 * read("1 fl oz", "volume_l")
    ),
    "1 lb in grams": lambda i: i["mass_lb"] * POUND_G,
    "1 cubic foot in US gallons": (lambda i: i["volume_ft3"] * CUBIC_FOOT_L / US_GALLON_L),
    "75 degF in Celsius": lambda i: read(f"{i['temperature_F']} F", "temperature_c"),
    "25 C in Fahrenheit": lambda i: convert(i[T], "degC", "degF"),
    "a temperature DIFFERENCE of 5 degF in C degrees": (
        lambda i: convert(i["delta_temperature_F"], "delta_degF", "delta_degC")
    ),
    "1 ppm by mass in sea water as mg/L": density,
    "practical salinity from conductivity": psu,
    "practical salinity from conductivity, brackish": psu,
    "TDS estimate from conductivity with a stated factor": (
        lambda i: i["conductivity_uS_per_cm_at_25C"] / read("1 ppm tds", "conductivity_us_cm")
    ),
    "1 atm in mmHg": lambda i: i["pressure_atm"] * 760.0,
    "29.92 inHg in mmHg": lambda i: i["pressure_inHg"] * 25.4,
    # i: nitrogen and chloride
    "convert total ammonia expressed as NH3 to total ammonia expressed as N": (
        lambda i: i["total_ammonia_mg_per_L_as_NH3"] * read("1 mg/L as NH3", "tan_mg_l")
    ),
    "ammonia to nitrogen factor": (
        lambda i: i["ammonia_mg_per_L_as_NH3"] * read("1 mg/L as NH3", "tan_mg_l")
    ),
    "nitrate ion to nitrate-nitrogen": (
        lambda i: i["nitrate_mg_per_L_as_NO3"] * read("1 mg/L as NO3", "nitrate_mg_l")
    ),
    "nitrite ion to nitrite-nitrogen": (
        lambda i: i["nitrite_mg_per_L_as_NO2"] * read("1 mg/L as NO2", "nitrite_mg_l")
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
    "sodium chloride that supplies 1 g of chloride": (
        lambda i: nitrogen.salt_for_chloride(i["chloride_g"])
    ),
    "salt that raises 1 acre-foot by 1 mg/L chloride": acre_foot_salt_lb,
    # j: salt and dilution
    "3 percent salt in parts per thousand": (
        lambda i: i["salt_percent"] * read("1 %", "salinity_g_kg")
    ),
    "3 percent salt in ppm": lambda i: 1000.0 * i["salt_percent"] * read("1 %", "salinity_g_kg"),
    "rectangular tank volume": (
        lambda i: (
            arithmetic.rectangular_volume_l(*feet(i, "length_ft", "width_ft", "depth_ft"))
            / CUBIC_FOOT_L
        )
    ),
    "round tank volume": (
        lambda i: arithmetic.round_volume_l(*feet(i, "diameter_ft", "depth_ft")) / CUBIC_FOOT_L
    ),
    "tank of 108 ft3 in US gallons at 7.48 gal/ft3": (
        lambda i: i["volume_ft3"] * CUBIC_FOOT_L / US_GALLON_L
    ),
    "product mass for a target concentration with partial activity": dose_lb,
    "salt for 10 US gallons at 5 g/L": (
        lambda i: arithmetic.dose_g(i["target_g_per_L"], i["volume_US_gal"] * US_GALLON_L)
    ),
    "chloride from 1 g/L sodium chloride": (
        lambda i: 1000.0 * i["NaCl_g_per_L"] / nitrogen.salt_for_chloride(1.0)
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
        lambda i: arithmetic.bicarbonate_for_alkalinity_g(
            i["rise_dKH"] * alkalinity("1 dKH"), i["volume_L"]
        )
    ),
    # k: gas saturation
    "oxygen percent saturation at 25 C, fresh water, 1 atm": (
        lambda i: oxygen.percent_saturation(
            i["oxygen_mg_per_L"], i[T], i["salinity_g_per_kg"], i["pressure_mmHg"]
        )
    ),
    "excess gas pressure from total gas pressure in percent of barometric pressure": (
        lambda i: gas.excess_gas_pressure_mmhg(i["total_gas_pressure_pct"], i["barometric_mmHg"])
    ),
}
