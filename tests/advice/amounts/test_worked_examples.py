"""Amounts against published worked examples, tables and reference libraries.

Values and citations stand in tests/reference/chemistry.toml under the ids used
here; the others name their source beside the check.
"""

from __future__ import annotations

import math
import tomllib
from pathlib import Path

import pint
import pytest

from advisor.advice.amounts import changes, doses, durations, tubs
from advisor.advice.amounts.worked import NotWorkedOut, Worked

REFERENCE = Path(__file__).parents[2] / "reference" / "chemistry.toml"
CHECKS = {c["id"]: c for c in tomllib.loads(REFERENCE.read_text(encoding="utf-8"))["check"]}
US_GALLON_L = pint.UnitRegistry().Quantity(1, "US_liquid_gallon").to("liter").magnitude


def expected(check_id: str) -> object:
    check = CHECKS[check_id]
    return pytest.approx(
        check["expected"],
        rel=check.get("tolerance_rel", 0) or None,
        abs=check.get("tolerance_abs", 0) or None,
    )


def value(outcome: object) -> float:
    assert isinstance(outcome, Worked), outcome
    return outcome.value


def test_salt_for_ten_gallons_at_five_grams_a_litre() -> None:
    grams = value(doses.salt_g(10 * US_GALLON_L, target_g_l=5.0, most_g_l=10.0))
    assert grams == expected("salt-dose-10gal-5ppt")


def test_salt_for_thirty_milligrams_of_chloride_in_a_hundred_gallons() -> None:
    # 3 mg/L of nitrite ion asks for 30 mg/L of chloride (chloride-target-nitrite-3)
    nitrite_n = 3.0 / CHECKS["nitrite-n-to-ion"]["expected"]
    grams = value(doses.salt_for_nitrite_g(100 * US_GALLON_L, nitrite_n, parts=10.0, most_g_l=3.0))
    assert grams == expected("salt-for-chloride-100gal")


def test_chloride_in_the_water_counts_against_the_salt() -> None:
    # chloride-deficit-nitrite-5: 10 x 5 - 12 = 38 mg/L, as salt x 1.6485 (nacl-for-chloride)
    nitrite_n = 5.0 / CHECKS["nitrite-n-to-ion"]["expected"]
    grams = value(
        doses.salt_for_nitrite_g(100.0, nitrite_n, parts=10.0, most_g_l=3.0, chloride_mg_l=12.0)
    )
    chloride = CHECKS["chloride-deficit-nitrite-5"]["expected"]
    salt = CHECKS["nacl-for-chloride"]["expected"]
    assert grams == pytest.approx(chloride * salt * 100 / 1000, rel=5e-4)


def test_bicarbonate_for_one_german_degree_in_a_hundred_litres() -> None:
    degree = CHECKS["dkh-to-mgl-caco3"]["expected"]
    grams = value(doses.bicarbonate_g(100.0, 20.0, 20.0 + degree, most_rise_mg_l_caco3=50.0))
    assert grams == expected("bicarbonate-1dkh-100l")


def test_one_change_from_four_to_one() -> None:
    litres = value(changes.water_change_l(100.0, 1.0, 0.1, 0.9, now=4.0))
    assert litres / 100.0 == expected("water-change-to-target")


def test_thiosulfate_two_to_seven_parts() -> None:
    # A pond forum's worked figure: 2 mg/L chlorine in 100 US gal needs 1.5 to 5.3 g
    # ("2 to 7 parts", https://gardenpondforum.com/threads/adding-water.12229/page-2)
    litres = 100 * US_GALLON_L
    least = value(doses.thiosulfate_g(litres, 0.5, 3.0, parts=2.0, chlorine_mg_l=2.0))
    most = value(doses.thiosulfate_g(litres, 0.5, 3.0, parts=7.0, chlorine_mg_l=2.0))
    assert least == pytest.approx(1.5, abs=0.05)
    assert most == pytest.approx(5.3, abs=0.05)


def test_zeolite_for_a_hundred_gallons_at_one_gram_of_ammonia() -> None:
    # "One gram of ammonia will require 574 grams of zeolite" at 1.74 mg/g, Wang et al. 2006 as
    # quoted at mantablog.nl, section 7.4.4
    grams = value(doses.zeolite_g(1000.0, 1.0, holds_low_mg_g=1.74, holds_high_mg_g=1.74))
    assert grams == pytest.approx(574.0, rel=0.002)


def test_binder_takes_up_one_ammonia_each() -> None:
    # HOCH2SO3Na, 134.09 g/mol (from memory), over 14.007 g/mol of nitrogen: 9.57 mg per mg N
    assert pytest.approx(134.09, abs=0.02) == doses.HYDROXYMETHANESULFONATE
    assert value(doses.binder_active_g(100.0, 1.0)) == pytest.approx(0.957, abs=0.001)


def test_half_an_hour_closes_a_gap_of_four_to_five_degrees() -> None:
    # Lim, Dhert and Sorgeloos 2003: float until within 2 °C, about 30 min for 4 to 5 °C
    minutes = [value(durations.float_minutes(24.0 - gap, 24.0, 2.0)) for gap in (4.0, 5.0)]
    assert minutes[0] < 30.0 < minutes[1]


def test_no_gap_no_floating() -> None:
    assert value(durations.float_minutes(23.0, 24.0, 2.0)) == 0.0


def test_rewarming_five_degrees_takes_two_and_a_half_to_five_hours() -> None:
    outcome = durations.hours_for_change(5.0, slow_c_per_h=1.0, fast_c_per_h=2.0)
    assert isinstance(outcome, Worked)
    assert (outcome.low, outcome.high) == (2.5, 5.0)


def test_the_colder_of_bag_and_tank_sets_the_time() -> None:
    outcome = durations.hours_for_change(-2.0, 1.0, 2.0, other_gap_c=9.0, at_once_c=3.0)
    assert isinstance(outcome, Worked)
    assert (outcome.low, outcome.high) == (3.0, 6.0)
    nothing = durations.hours_for_change(None, 1.0, 2.0)
    assert isinstance(nothing, NotWorkedOut)


def test_blending_a_tub() -> None:
    # blend-bag-into-tank: 8 L at 3 and 2 L at 10 give 4.4; so a tub of 10 L at 4.4 from
    # water of 10 and water of 3 takes 8 L of the softer
    wanted = CHECKS["blend-bag-into-tank"]["expected"]
    litres = value(
        durations.soft_water_share(10.0, soft_us_cm=3.0, hard_us_cm=10.0, wanted_us_cm=wanted)
    )
    assert litres == pytest.approx(8.0, rel=1e-3)


def test_a_bag_harder_than_the_tank_is_not_thinned() -> None:
    outcome = durations.soft_water_share(10.0, 10.0, hard_us_cm=300.0, wanted_us_cm=600.0)
    assert isinstance(outcome, NotWorkedOut) and "richer in minerals" in outcome.why


def test_temperature_after_a_half_change_is_the_mean() -> None:
    assert changes.temperature_after(50.0, 100.0, 26.0, 10.0).value == pytest.approx(18.0)


@pytest.mark.parametrize(
    "outcome, word",
    [
        (doses.salt_g(None, 1.0, 3.0), "volume of the tank"),
        (doses.salt_for_nitrite_g(100.0, None, 10.0, 1.0), "nitrite of the tank"),
        (doses.binder_active_g(100.0, None), "total ammonia of the tank"),
        (changes.water_change_share_l(None, 0.5), "volume of the tank"),
        (durations.float_minutes(None, 24.0, 2.0), "temperature of the bag"),
    ],
)
def test_what_is_missing_is_named(outcome: object, word: str) -> None:
    assert isinstance(outcome, NotWorkedOut)
    assert word in outcome.missing


def test_salt_is_never_over_its_ceiling() -> None:
    outcome = doses.salt_for_nitrite_g(100.0, 50.0, parts=10.0, most_g_l=1.0)
    assert isinstance(outcome, Worked)
    assert outcome.value == 100.0
    assert "less than the nitrite asks for" in outcome.working


@pytest.mark.parametrize("alkalinity", [12.0, 20.0, 40.0])
def test_a_step_of_bicarbonate_lifts_ph_by_no_more_than_was_said(alkalinity: float) -> None:
    # At one level of CO2 pH = pK1 + log(HCO3/CO2) (Stumm & Morgan, Aquatic Chemistry, ch. 4):
    # the rise is the logarithm of the ratio of alkalinities.
    grams = value(doses.bicarbonate_g(100.0, alkalinity, 200.0, 100.0, most_ph_rise=0.3))
    added = grams * 1000.0 / 84.01 * 50.04 / 100.0  # mg/L as CaCO3
    assert math.log10((alkalinity + added) / alkalinity) == pytest.approx(0.3, abs=0.002)


def test_water_without_buffer_still_gets_the_least_step() -> None:
    grams = value(doses.bicarbonate_g(100.0, 0.0, 50.0, 18.0, most_ph_rise=0.3))
    assert grams == pytest.approx(doses.LEAST_RISE / 50.04 * 84.01 * 100.0 / 1000.0, rel=1e-3)


def test_vitamin_c_for_a_milligram_of_chlorine() -> None:
    # About 2.5 parts of ascorbic acid to one of chlorine (Land 2005, US Forest Service; the
    # figure from memory). Molar masses 176.12 and 70.90.
    grams = value(doses.ascorbic_acid_g(100.0, usual_high=3.0, chlorine_mg_l=2.0))
    assert grams == pytest.approx(2.0 * 176.12 / 70.90 * 100.0 / 1000.0, rel=1e-3)
    assert grams == pytest.approx(0.5, abs=0.01)


def test_what_a_scale_cannot_weigh_is_poured_from_a_stock() -> None:
    small = doses.thiosulfate_g(8.0, 0.5, 3.0, parts=7.0, chlorine_mg_l=1.5)
    assert isinstance(small, Worked)
    poured = doses.stock_ml(small)
    assert (poured.value, poured.unit) == (pytest.approx(small.value * 100.0), "mL")
    assert poured.value == pytest.approx(8.4, abs=0.01)  # 0.084 g of a stock of 10 g/L
    assert poured.label.startswith(doses.THIOSULFATE)  # its mass is not shown beside it


def test_salt_stops_at_what_the_kind_bears() -> None:
    held = doses.salt_for_nitrite_g(100.0, 20.0, 10.0, 3.0, borne_g_l=0.5, present_g_l=0.1)
    assert value(held) == pytest.approx(40.0)  # 0.4 g/L in 100 L
    assert isinstance(held, Worked) and "bears" in held.working
    small = value(doses.salt_for_nitrite_g(100.0, 0.2, 10.0, 3.0, borne_g_l=0.5))
    assert small == value(doses.salt_for_nitrite_g(100.0, 0.2, 10.0, 3.0))


def test_no_tub_is_smaller_than_worth_setting_up() -> None:
    tiny = tubs.tub_l(5.0, lot_mass_g=2.0, least_l=5.0)
    assert value(tiny) == 5.0
    assert value(tubs.tub_l(5.0, lot_mass_g=200.0, least_l=5.0)) == 40.0
