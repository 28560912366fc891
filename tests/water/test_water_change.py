"""The water change that lowers NH3 without too large a step of pH."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.water.ammonia import unionised_ammonia_mg_l
from advisor.water.carbonate import Water, dic_mmol_l_from, ph_from
from advisor.water.water_change import after_change, water_change_plan

LIMIT = 0.05


def water(ph: float, alkalinity: float, tan: float, celsius: float = 25.0, litres: float = 100.0):
    carbon = dic_mmol_l_from(ph, alkalinity, tan, celsius)
    return Water(litres, alkalinity, carbon, tan, celsius)


def test_same_ph_on_both_sides_is_plain_dilution() -> None:
    """Mass balance: halving TAN at one pH halves NH3."""
    tank, new = water(7.8, 100.0, 2.0), water(7.8, 100.0, 0.0)
    now = after_change(tank, new, 0.0)
    half = after_change(tank, new, 0.5)
    assert half.water.tan_mg_l == pytest.approx(1.0)
    assert half.nh3_mg_l == pytest.approx(now.nh3_mg_l / 2.0, rel=0.02)
    plan = water_change_plan(tank, new, now.nh3_mg_l / 2.0, 0.3)
    assert plan.reached
    assert plan.limited_by == "limit"
    assert sum(change.fraction for change in plan.changes) == pytest.approx(0.5, abs=0.02)


def test_starting_nh3_is_that_of_the_reading() -> None:
    tank = water(7.9, 80.0, 1.5)
    expected = unionised_ammonia_mg_l(1.5, 7.9, 25.0)
    assert after_change(tank, tank, 0.0).nh3_mg_l == pytest.approx(expected, rel=1e-4)


def test_hard_new_water_raises_nh3_before_it_lowers_it() -> None:
    """Acid bag water full of ammonium into alkaline water: less TAN, yet more NH3 on the way."""
    tank, new = water(6.4, 40.0, 8.0), water(8.3, 250.0, 0.0)
    plan = water_change_plan(tank, new, 0.01, 0.3, most_changes=60)
    assert plan.peak_nh3_mg_l > 3.0 * after_change(tank, new, 0.0).nh3_mg_l
    assert plan.limited_by == "ph step"
    assert plan.changes[0].fraction < 0.5


def test_new_water_over_the_limit_is_said() -> None:
    plan = water_change_plan(water(8.0, 150.0, 3.0), water(8.5, 150.0, 1.0), LIMIT, 0.5)
    assert not plan.reached
    assert plan.limited_by == "new water"
    assert plan.changes == ()


def test_nothing_to_do() -> None:
    plan = water_change_plan(water(7.0, 50.0, 0.5), water(7.5, 50.0, 0.0), LIMIT, 0.5)
    assert plan.reached
    assert plan.changes == ()


def test_largest_change_is_kept() -> None:
    tank, new = water(8.2, 200.0, 6.0), water(8.2, 200.0, 0.0)
    plan = water_change_plan(tank, new, 0.02, 1.0, largest_fraction=0.25)
    assert plan.limited_by == "largest change"
    assert all(change.fraction <= 0.25 for change in plan.changes)


number = st.floats


@settings(max_examples=40)
@given(
    number(6.0, 8.6),
    number(20.0, 300.0),
    number(0.1, 10.0),
    number(6.5, 8.6),
    number(20.0, 300.0),
    number(0.05, 0.5),
)
def test_no_step_is_overstepped(ph, alkalinity, tan, new_ph, new_alkalinity, step) -> None:
    tank, new = water(ph, alkalinity, tan), water(new_ph, new_alkalinity, 0.0, 23.0)
    plan = water_change_plan(tank, new, LIMIT, step, most_changes=6)
    before = ph_from(*tank[1:])
    for change in plan.changes:
        assert abs(change.ph - before) <= step + 1e-6
        assert 0.0 < change.fraction <= 0.5
        before = change.ph
    if plan.changes:
        assert plan.reached == (plan.changes[-1].nh3_mg_l <= LIMIT)
        assert plan.peak_nh3_mg_l >= max(change.nh3_mg_l for change in plan.changes) - 1e-12
