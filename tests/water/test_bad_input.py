"""Impossible input gets a sentence, a limit gets its right answer, and nothing gives NaN."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.errors import AdvisorError
from advisor.water import (
    ammonia,
    arithmetic,
    carbonate,
    chlorine,
    criteria,
    gas,
    nitrogen,
    oxygen,
    salinity,
    water_change,
)

IMPOSSIBLE = [
    (lambda: ammonia.unionised_fraction(19.0, 25.0), ("ph: 19", "0 to 14")),
    (lambda: ammonia.unionised_fraction(7.0, 300.0), ("temperature_c: 300", "-2 to 50 °C")),
    (lambda: ammonia.unionised_fraction(7.0, 78.0), ("78", "°F", "25.6 °C")),
    (lambda: ammonia.unionised_ammonia_mg_l(-1.0, 7.0, 25.0), ("tan_mg_l: -1",)),
    (lambda: ammonia.unionised_ammonia_mg_l(math.nan, 7.0, 25.0), ("tan_mg_l: nan",)),
    (lambda: ammonia.unionised_fraction(7.0, 25.0, -3.0), ("salinity_g_kg: -3",)),
    (lambda: carbonate.ph_from(-5.0, 1.0, 1.0, 25.0), ("alkalinity_mg_l_caco3: -5",)),
    (lambda: carbonate.ph_from(50.0, -1.0, 1.0, 25.0), ("dic_mmol_l: -1",)),
    (lambda: carbonate.ph_from(50.0, 1.0, 1.0, 300.0), ("temperature_c: 300",)),
    (lambda: carbonate.ph_from(50.0, 1.0, 1.0, math.nan), ("temperature_c: nan",)),
    (lambda: carbonate.solve_with_headspace(50.0, 1.0, 1.0, 25.0, 0.0, 1.0), ("water_l: 0",)),
    (lambda: carbonate.solve_with_headspace(50.0, 1.0, 1.0, 25.0, -2.0, 1.0), ("water_l: -2",)),
    (lambda: carbonate.solve_with_headspace(50.0, 1.0, 1.0, 25.0, 1.0, -1.0), ("gas_l: -1",)),
    (lambda: carbonate.ph_with_air(50.0, 1.0, 25.0, -0.1), ("pco2_atm: -0.1",)),
    (lambda: carbonate.co2_mg_l_from(11.0, 5.0, 0.0, 25.0), ("ph: 11", "alkalinity of 5", "again")),
    (lambda: carbonate.co2_mg_l_from(8.0, 0.0, 0.0, 25.0), ("ph: 8", "alkalinity of 0")),
    (lambda: carbonate.mix([]), ("volume_l: 0",)),
    (lambda: carbonate.mix([carbonate.Water(-1.0, 50.0, 1.0, 0.0, 25.0)]), ("volume_l: -1",)),
    (lambda: oxygen.oxygen_saturation_mg_l(300.0), ("temperature_c: 300",)),
    (lambda: oxygen.oxygen_saturation_mg_l(25.0, 0.0, 29.9), ("pressure_mmhg: 29.9", "200")),
    (lambda: oxygen.percent_saturation(-1.0, 25.0), ("do_mg_l: -1",)),
    (lambda: criteria.acute_criterion_tan_mg_l(19.0, 25.0, True), ("ph: 19",)),
    (lambda: gas.pressure_at_altitude_mmhg(90_000.0), ("altitude_m: 90000",)),
    (lambda: salinity.salinity_from_conductivity(-1.0), ("conductivity_us_cm: -1",)),
    (lambda: salinity.salinity_from_conductivity(85_000.0), ("saltier", "mS/cm")),
    (lambda: salinity.salinity_from_specific_gravity(1.9, 25.0), ("specific gravity: 1.9",)),
    (lambda: nitrogen.from_nitrogen_mg_l(1.0, "NO4"), ("NO4", "NO2")),
    (lambda: chlorine.thiosulfate_g(1.0, -5.0), ("volume_l: -5",)),
    (lambda: arithmetic.bicarbonate_for_alkalinity_g(-1.0, 1.0), ("rise_mg_l_caco3: -1",)),
    (lambda: arithmetic.dose_g(1.0, 1.0, 0.0), ("active_fraction: 0",)),
    (lambda: arithmetic.change_to_reach(4.0, 1.0, 2.0), ("new_water: 2", "target 1")),
    (lambda: arithmetic.left_after_changes(1.5), ("change_fraction: 1.5",)),
    (
        lambda: water_change.after_change(
            carbonate.Water(0.0, 50.0, 1.0, 1.0, 25.0),
            carbonate.Water(1.0, 50.0, 1.0, 0.0, 25.0),
            0.5,
        ),
        ("volume_l: 0",),
    ),
]


@pytest.mark.parametrize(("call", "words"), IMPOSSIBLE)
def test_impossible_input_gets_a_sentence(call, words) -> None:
    with pytest.raises(AdvisorError) as caught:
        call()
    sentence = str(caught.value)
    assert sentence.endswith(".")
    assert "\n" not in sentence
    for word in words:
        assert word in sentence


@pytest.mark.parametrize(
    ("found", "expected", "within"),
    [
        # pure water at 25 °C: half of pKw 13.996 (Harned & Owen 1958, from memory)
        (lambda: carbonate.ph_from(0.0, 0.0, 0.0, 25.0), 6.998, 0.005),
        # rain: pH 5.61 with 420 ppm CO2 (Stumm & Morgan: 5.65 with 350 ppm; from memory)
        (lambda: carbonate.ph_with_air(0.0, 0.0, 25.0, 0.00042), 5.61, 0.02),
        (lambda: carbonate.ph_with_air(0.0, 0.0, 25.0, 0.00035), 5.65, 0.02),
        # 0.1 mol/L NaOH without carbon: pH 12.88 (handbook, from memory)
        (lambda: carbonate.ph_from(5004.3, 0.0, 0.0, 25.0), 12.88, 0.02),
        # ammonia 0.1 mol/L in water (alkalinity equal to it): pH 11.12 (pKb 4.75, from memory)
        (lambda: carbonate.ph_from(5004.3, 0.0, 1400.7, 25.0), 11.12, 0.03),
        (lambda: ammonia.unionised_ammonia_mg_l(0.0, 8.0, 25.0), 0.0, 0.0),
        (lambda: oxygen.percent_saturation(0.0, 25.0), 0.0, 0.0),
        (lambda: salinity.salinity_from_conductivity(0.0), 0.0, 0.02),
        (lambda: salinity.salinity_from_specific_gravity(0.9999, 25.0), 0.0, 0.0),
        (lambda: nitrogen.chloride_to_add_mg_l(1.0, 500.0), 0.0, 0.0),
        (lambda: arithmetic.change_to_reach(1.0, 2.0), 0.0, 0.0),
        (lambda: gas.excess_gas_pressure_mmhg(100.0, 700.0), 0.0, 0.0),
        # standard atmosphere, ISO 2533: 1000 m is 89.87 kPa, 674.1 mmHg (from memory)
        (lambda: gas.pressure_at_altitude_mmhg(1000.0), 674.1, 0.1),
    ],
)
def test_limits_come_out_right(found, expected, within) -> None:
    assert found() == pytest.approx(expected, abs=within)


anything = st.floats(allow_nan=True, allow_infinity=True) | st.floats(-100.0, 1000.0)

CALLS = {
    "fraction": (ammonia.unionised_fraction, 3),
    "ammonia": (ammonia.unionised_ammonia_mg_l, 4),
    "ph": (carbonate.ph_from, 5),
    "headspace": (lambda *inputs: carbonate.solve_with_headspace(*inputs).ph, 7),
    "air": (carbonate.ph_with_air, 5),
    "co2": (carbonate.co2_mg_l_from, 5),
    "dic": (carbonate.dic_mmol_l_from, 5),
    "oxygen": (oxygen.percent_saturation, 4),
    "chronic": (criteria.chronic_criterion_tan_mg_l, 2),
    "conductivity": (salinity.salinity_from_conductivity, 2),
    "gravity": (salinity.salinity_from_specific_gravity, 3),
    "altitude": (gas.pressure_at_altitude_mmhg, 1),
    "change": (arithmetic.change_to_reach, 3),
    "thiosulfate": (chlorine.thiosulfate_g, 3),
}


@pytest.mark.parametrize("name", CALLS)
@given(data=st.data())
def test_a_number_or_a_sentence_never_nan(name, data) -> None:
    function, count = CALLS[name]
    values = [data.draw(anything) for _ in range(count)]
    try:
        found = function(*values)
    except AdvisorError:
        return
    assert math.isfinite(found)
