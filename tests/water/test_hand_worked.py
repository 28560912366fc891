"""Figures worked by hand or read in a table, each with its source, and slips refused by name."""

from __future__ import annotations

import math
from itertools import product

import pytest

from advisor.errors import AdvisorError
from advisor.water import arithmetic, chlorine, nitrogen
from advisor.water.ammonia import unionised_ammonia_mg_l, unionised_fraction
from advisor.water.carbonate import Water, dic_mmol_l_from
from advisor.water.salinity import (
    density_kg_l,
    salinity_from_conductivity,
    salinity_from_specific_gravity,
    specific_gravity,
)
from advisor.water.seawater import sea_constants
from advisor.water.water_change import after_change, water_change_plan
from tests.water.registered import ALL


@pytest.mark.parametrize(
    ("salt", "celsius", "kg_m3"),
    # check values of the one-atmosphere equation of state: UNESCO (1981) Technical Papers in
    # Marine Science 36; Millero & Poisson (1981), table 1. Five decimals printed.
    [
        (0.0, 5.0, 999.96675),
        (0.0, 25.0, 997.04796),
        (35.0, 5.0, 1027.67547),
        (35.0, 25.0, 1023.34306),
    ],
)
def test_density_check_values(salt: float, celsius: float, kg_m3: float) -> None:
    assert 1000.0 * density_kg_l(celsius, salt) == pytest.approx(kg_m3, abs=6e-6)


def test_carbon_dioxide_solubility_in_sea_water() -> None:
    """ln K0 = -3.5617 at 35 g/kg and 25 °C: Dickson, Sabine & Christian (2007) Guide to Best
    Practices for Ocean CO2 Measurements, chapter 5, check value of Weiss (1974) (from memory)."""
    assert math.log(sea_constants(25.0, 35.0).kh) == pytest.approx(-3.5617, abs=6e-5)


def test_carbon_dioxide_solubility_against_pyco2sys() -> None:
    """The same in warm, cold and brackish water, by PyCO2SYS (its k_CO2 is Weiss's too)."""
    library = pytest.importorskip("PyCO2SYS")
    for celsius, salt in product((5.0, 15.0, 25.0, 32.0), (6.0, 20.0, 40.0)):
        theirs = library.sys(temperature=celsius, salinity=salt)["k_CO2"]
        assert sea_constants(celsius, salt).kh == pytest.approx(theirs, rel=1e-5)


def test_practical_salinity_to_its_fourth_decimal() -> None:
    """TEOS-10's SP_from_C is the scale of 1978; the low-salinity term is under 2e-5 up here."""
    gsw = pytest.importorskip("gsw")
    for ms_cm, celsius in product((20.0, 35.0, 50.0), (5.0, 15.0, 25.0, 30.0)):
        theirs = gsw.SP_from_C(ms_cm, celsius, 0)
        if 12.0 < theirs < 42.0:
            found = salinity_from_conductivity(1000.0 * ms_cm, celsius)
            assert found == pytest.approx(theirs, abs=5e-5)


def test_a_hydrometer_tells_slightly_salted_from_fresh() -> None:
    """Round trip at half a gram per kilogram; up to 0.00001 over pure water is fresh."""
    gravity = specific_gravity(24.0, 0.5)
    assert salinity_from_specific_gravity(gravity, 24.0) == pytest.approx(0.5, abs=1e-6)
    assert salinity_from_specific_gravity(1.00001, 25.0) == 0.0


def test_hydrometer_bounds_are_told_to_four_decimals() -> None:
    """Pure water at 24 against 25 °C: 0.9972994 / 0.9970480 = 1.000252 (CRC Handbook, water
    density table, from memory), told rounded outwards."""
    with pytest.raises(AdvisorError, match=r"0\.9 is outside 1\.0002 to 1\.\d{4}\.$"):
        salinity_from_specific_gravity(0.9, 24.0)


def test_thiosulfate_for_a_tank() -> None:
    """2 mg/L chlorine in 100 L is 200 mg; at 7.0 mg/mg that takes 1400 mg, so 1.4 g.

    7.0 mg/mg: source beside test_dechlorination_stoichiometry.
    """
    assert chlorine.thiosulfate_g(2.0, 100.0) == pytest.approx(1.4, rel=0.001)


Z = (0.0, 50.0, 1.0, 1.0, 25.0)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        # what was given is named, not what a half or nothing of it comes to
        (lambda: after_change(Water(-100.0, *Z[1:]), Water(1.0, *Z[1:]), 0.5), "volume_l: -100 "),
        (lambda: density_kg_l(78.0), "78 °F is 25.6 °C"),
        (lambda: nitrogen.chloride_to_add_mg_l(1.0, 0.0, 0.0), "ratio: 0 "),
        (lambda: nitrogen.chloride_to_add_mg_l(1.0, 0.0, -10.0), "ratio: -10 "),
        (lambda: nitrogen.salt_for_chloride(-3.0), "chloride: -3 "),
        (lambda: arithmetic.left_after_flow_through(-1.0), "tank_volumes: -1 "),
        # the pH scale of kits and meters ends at 14; 5000 mg/L TAN is our own bound (judgement)
        (lambda: unionised_fraction(14.1, 25.0), "ph: 14.1 is outside 0 to 14"),
        (lambda: unionised_ammonia_mg_l(5001.0, 7.0, 25.0), "tan_mg_l: 5001 is outside 0 to 5000"),
    ],
)
def test_a_slip_is_refused_by_name(call, words: str) -> None:
    with pytest.raises(AdvisorError) as caught:
        call()
    assert words in str(caught.value)


@pytest.mark.parametrize(
    ("name", "inside", "beyond"),
    [
        # PSS-78 is defined from -2 to 35 °C (UNESCO 1981, Technical Papers 37)
        ("salinity_from_conductivity", {"temperature_c": -2.0}, {"temperature_c": -2.1}),
        ("salinity_from_conductivity", {"temperature_c": 35.0}, {"temperature_c": 35.1}),
        # boric acid, Dickson (1990): 5 to 45 g/kg
        ("sea_constants", {"salinity_g_kg": 45.0}, {"salinity_g_kg": 45.1}),
        ("sea_constants", {"salinity_g_kg": 5.0}, {"salinity_g_kg": 4.9}),
        # water free of ammonia is covered; less than none is not
        ("solve", {"tan_mg_l": 0.0}, {"tan_mg_l": -0.1}),
        # sea level is covered, and land below it (the lowest shore on Earth is near -430 m)
        ("pressure_at_altitude_mmhg", {"altitude_m": 0.0}, {"altitude_m": -401.0}),
        ("pressure_at_altitude_mmhg", {"altitude_m": -400.0}, {"altitude_m": 11_001.0}),
    ],
)
def test_what_a_source_covers(name: str, inside: dict, beyond: dict) -> None:
    assert ALL[name].outside(**inside) == ()
    assert len(ALL[name].outside(**beyond)) == 1


def test_peak_within_one_pour_is_told() -> None:
    """Acid water full of ammonium, hard new water, one large pour: NH3 is highest midway.

    The peak is looked for anew, by a plain walk over finer steps of the same pour.
    """
    tank = Water(100.0, 40.0, dic_mmol_l_from(6.6, 40.0, 8.0, 25.0), 8.0, 25.0)
    new = Water(100.0, 250.0, dic_mmol_l_from(8.3, 250.0, 0.0, 25.0), 0.0, 25.0)
    plan = water_change_plan(tank, new, 0.01, 5.0, largest_fraction=0.98, most_changes=1)
    (only,) = plan.changes
    assert plan.limited_by == "largest change"
    walk = [after_change(tank, new, only.fraction * i / 1000).nh3_mg_l for i in range(1001)]
    assert max(walk) > 2.0 * max(walk[0], walk[-1])
    assert plan.peak_nh3_mg_l == pytest.approx(max(walk), rel=0.01)


def test_no_possible_gravity_is_refused_by_the_rounding_of_its_bound() -> None:
    """Fresh water at 24 C stands at 1.00025 against 25 C: 1.0003 would be too high a bound."""
    for salt in (0.02, 0.03, 49.99):
        gravity = specific_gravity(24.0, salt)
        assert salinity_from_specific_gravity(gravity, 24.0) == pytest.approx(salt, abs=1e-6)
