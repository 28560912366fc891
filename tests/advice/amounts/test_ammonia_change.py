"""The water change against ammonia: it must not make matters worse on the way."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from phreeqpython import PhreeqPython

from advisor.advice.amounts.changes import water_change_for_ammonia_l
from advisor.advice.amounts.worked import NotWorkedOut, Worked
from advisor.water.carbonate import Water, solve_from_ph
from advisor.water.water_change import after_change

RULE = {"most_nh3_n": 0.0164, "least_share": 0.25, "most_share": 0.5, "most_ph_rise": 0.3}


def test_clean_tap_of_the_same_ph_allows_half() -> None:
    outcome = water_change_for_ammonia_l(
        200.0,
        **RULE,
        tank_tan_mg_l=3.0,
        tank_ph=7.6,
        tank_temperature_c=25.0,
        tank_alkalinity_mg_l_caco3=80.0,
        tap_ph=7.6,
        tap_alkalinity_mg_l_caco3=80.0,
        tap_tan_mg_l=0.0,
    )
    assert isinstance(outcome, Worked)
    assert outcome.value == pytest.approx(100.0, rel=0.01)


def test_acid_tank_and_hard_tap_are_kept_apart() -> None:
    outcome = water_change_for_ammonia_l(
        200.0,
        **RULE,
        tank_tan_mg_l=8.0,
        tank_ph=6.2,
        tank_temperature_c=25.0,
        tank_alkalinity_mg_l_caco3=8.0,
        tap_ph=7.9,
        tap_alkalinity_mg_l_caco3=180.0,
    )
    # at pH 7.9 even a tenth of 8 mg/L is toxic, so the answer is small or a refusal
    assert isinstance(outcome, NotWorkedOut) or outcome.value <= 20.0


def test_higher_tap_ph_without_alkalinity_keeps_it_small() -> None:
    outcome = water_change_for_ammonia_l(
        200.0, **RULE, tank_tan_mg_l=3.0, tank_ph=6.8, tank_temperature_c=25.0, tap_ph=8.0
    )
    assert isinstance(outcome, Worked)
    assert outcome.value <= 25.0
    assert "kept small" in outcome.working


def test_nothing_measured_gives_a_span() -> None:
    outcome = water_change_for_ammonia_l(200.0, **RULE)
    assert isinstance(outcome, Worked)
    assert (outcome.low, outcome.high) == (50.0, 100.0)


@settings(max_examples=60)
@given(
    tan=st.floats(0.2, 15.0),
    ph=st.floats(6.5, 8.5),
    tap_ph=st.floats(6.5, 8.8),
    alkalinity=st.floats(30.0, 250.0),
    tap_alkalinity=st.floats(30.0, 250.0),
    warm=st.floats(15.0, 30.0),
)
def test_the_change_never_leaves_more_toxic_ammonia_than_it_found(
    tan: float, ph: float, tap_ph: float, alkalinity: float, tap_alkalinity: float, warm: float
) -> None:
    outcome = water_change_for_ammonia_l(
        100.0,
        **RULE,
        tank_tan_mg_l=tan,
        tank_ph=ph,
        tank_temperature_c=warm,
        tank_alkalinity_mg_l_caco3=alkalinity,
        tap_ph=tap_ph,
        tap_alkalinity_mg_l_caco3=tap_alkalinity,
    )
    if isinstance(outcome, NotWorkedOut):
        return
    old = Water(100.0, alkalinity, solve_from_ph(ph, alkalinity, tan, warm).dic_mmol_l, tan, warm)
    dic = solve_from_ph(tap_ph, tap_alkalinity, 0.0, warm).dic_mmol_l
    new = Water(100.0, tap_alkalinity, dic, 0.0, warm)
    before = after_change(old, new, 0.0).nh3_mg_l
    after = after_change(old, new, outcome.value / 100.0).nh3_mg_l
    assert after <= max(before, RULE["most_nh3_n"]) + 1e-9


def test_ph_after_the_change_agrees_with_phreeqc() -> None:
    """Half tank (pH 7.0, 60 mg/L) and half tap (pH 7.8, 150 mg/L) at 25 °C, mixed by PHREEQC."""
    phreeqc = PhreeqPython()
    meq = 1 / 50.0435
    tank = phreeqc.add_solution(
        {"pH": 7.0, "temp": 25, "units": "mmol/kgw", "Alkalinity": 60 * meq, "Na": 60 * meq}
    )
    tap = phreeqc.add_solution(
        {"pH": 7.8, "temp": 25, "units": "mmol/kgw", "Alkalinity": 150 * meq, "Na": 150 * meq}
    )
    mixed = phreeqc.mix_solutions({tank: 0.5, tap: 0.5})
    old = Water(1.0, 60.0, solve_from_ph(7.0, 60.0, 0.0, 25.0).dic_mmol_l, 0.0, 25.0)
    new = Water(1.0, 150.0, solve_from_ph(7.8, 150.0, 0.0, 25.0).dic_mmol_l, 0.0, 25.0)
    assert after_change(old, new, 0.5).ph == pytest.approx(mixed.pH, abs=0.02)
