"""What must hold for any water: monotone laws, round trips, conservation, arrays as scalars."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from advisor.units import parse
from advisor.water import masses
from advisor.water.ammonia import (
    pka,
    unionised_fraction,
)
from advisor.water.arithmetic import blend, change_to_reach, left_after_changes
from advisor.water.carbonate import (
    Water,
    co2_mg_l_from,
    dic_mmol_l_from,
    gas_share,
    mix,
    ph_from,
    ph_with_air,
    solve,
    solve_from_ph,
    solve_with_air,
    solve_with_headspace,
)
from advisor.water.constants import log_gamma1_davies
from advisor.water.criteria import acute_criterion_tan_mg_l, chronic_criterion_tan_mg_l
from advisor.water.gas import excess_gas_pressure_mmhg
from advisor.water.nitrogen import from_nitrogen_mg_l
from advisor.water.oxygen import (
    oxygen_from_percent_mg_l,
    oxygen_saturation_mg_l,
    percent_saturation,
)


def number(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


celsius = number(0.0, 40.0)
alkalinity = number(0.0, 1000.0)
carbon = number(0.0, 60.0)
tan = number(0.0, 50.0)
salt = number(0.0, 42.0)
step = number(1e-3, 1.0)


@given(number(0.0, 13.5), celsius, salt, step)
def test_fraction_rises_with_ph_and_stays_a_fraction(ph, t, s, more) -> None:
    low, high = unionised_fraction(ph, t, s), unionised_fraction(min(14.0, ph + more), t, s)
    assert 0.0 < low < high < 1.0


@given(number(4.0, 11.0), celsius, salt, number(0.01, 10.0))
def test_fraction_rises_with_temperature(ph, t, s, warmer) -> None:
    assert unionised_fraction(ph, t + warmer, s) > unionised_fraction(ph, t, s)


@given(number(4.0, 11.0), number(15.0, 30.0), number(0.0, 40.0), number(0.1, 5.0))
def test_salt_lowers_the_fraction(ph, t, s, more) -> None:
    """From 15 °C; in colder water the fresh and sea fits cross by up to 0.03 in pKa."""
    assert unionised_fraction(ph, t, s + more) < unionised_fraction(ph, t, s)


@given(celsius)
def test_pka_does_not_jump_where_the_equations_meet(t) -> None:
    assert pka(t, 4.999999) == pytest.approx(pka(t, 5.0), abs=1e-6)
    assert pka(t, 1e-9) == pytest.approx(pka(t, 0.0), abs=1e-6)


@given(alkalinity, carbon, tan, celsius, salt, number(0.1, 200.0))
def test_ph_rises_with_alkalinity(a, c, n, t, s, more) -> None:
    assert ph_from(a + more, c, n, t, s) > ph_from(a, c, n, t, s)


@given(alkalinity, carbon, tan, celsius, salt, number(0.01, 20.0))
def test_ph_falls_with_inorganic_carbon(a, c, n, t, s, more) -> None:
    assert ph_from(a, c + more, n, t, s) < ph_from(a, c, n, t, s)


@given(number(1.0, 500.0), carbon, tan, celsius, number(0.0, 10.0), number(0.1, 10.0))
def test_more_gas_over_the_water_means_higher_ph(a, c, n, t, gas, more) -> None:
    assume(c > 0.01)
    before = solve_with_headspace(a, c, n, t, 1.0, gas).ph
    assert solve_with_headspace(a, c, n, t, 1.0, gas + more).ph > before


@given(number(5.0, 500.0), tan, celsius)
def test_huge_and_no_headspace_are_the_limits(a, n, t) -> None:
    """No gas: the sealed water. Gas without end at a pressure: the open water."""
    c = 1.2 * a / masses.CACO3_MG_PER_MEQ
    sealed = solve_with_headspace(a, c, n, t, 1.0, 0.0).ph
    assert sealed == pytest.approx(ph_from(a, c, n, t), abs=1e-7)
    gas_l, pco2 = 1e7, 0.00042
    opened = solve_with_air(a, n, t, pco2)
    held = opened.co2_mg_l / masses.CO2 * gas_share(t, 1.0, gas_l) + opened.dic_mmol_l
    under = solve_with_headspace(a, held, n, t, 1.0, gas_l).ph
    assert under == pytest.approx(opened.ph, abs=1e-5)


@given(number(0.0, 500.0), carbon, tan, celsius, salt, number(0.0, 20.0))
def test_headspace_keeps_the_carbon(a, c, n, t, s, gas) -> None:
    water_l = 1.7
    found = solve_with_headspace(a, c * water_l, n, t, water_l, gas, s)
    in_gas = found.co2_mg_l / masses.CO2 * gas_share(t, water_l, gas, s)
    assert (found.dic_mmol_l + in_gas) * water_l == pytest.approx(c * water_l, rel=1e-6, abs=1e-9)


@given(number(1.0, 1000.0), number(0.01, 60.0), tan, celsius, salt)
def test_carbon_comes_back_from_ph(a, c, n, t, s) -> None:
    found = solve(a, c, n, t, s)
    assume(found.ph < 9.5)  # above, pH hardly depends on the carbon
    assert dic_mmol_l_from(found.ph, a, n, t, s) == pytest.approx(c, rel=1e-3, abs=1e-4)
    assert co2_mg_l_from(found.ph, a, n, t, s) == pytest.approx(found.co2_mg_l, rel=1e-3, abs=1e-4)
    back = solve_from_ph(found.ph, a, n, t, s)
    assert back.nh3_mg_l == pytest.approx(found.nh3_mg_l, rel=1e-5, abs=1e-12)


@given(number(1.0, 1000.0), carbon, number(0.001, 50.0), celsius)
def test_salts_hold_ammonium_back(a, c, n, t) -> None:
    """Never more NH3 than the tables say at that pH; by Davies' activity of NH4+ as much less."""
    found = solve(a, c, n, t)
    by_table = unionised_fraction(found.ph, t)
    assert found.nh3_mg_l <= n * by_table * (1.0 + 1e-6)
    gamma = 10.0 ** log_gamma1_davies(found.ionic_strength_mol_l, t)
    odds = by_table / (1.0 - by_table) * gamma
    assert found.nh3_mg_l == pytest.approx(n * odds / (1.0 + odds), rel=1e-5)


@given(number(5.0, 500.0), tan, celsius, number(1e-5, 0.05), number(1.01, 5.0))
def test_richer_air_means_lower_ph(a, n, t, pco2, times) -> None:
    assert ph_with_air(a, n, t, pco2 * times) < ph_with_air(a, n, t, pco2)


@given(number(5.0, 500.0), number(0.0, 5.0), celsius)
def test_airing_leaves_the_alkalinity_alone(a, n, t) -> None:
    """The aired water, sealed again with the carbon it has, keeps its pH."""
    opened = solve_with_air(a, n, t)
    assert ph_from(a, opened.dic_mmol_l, n, t) == pytest.approx(opened.ph, abs=1e-5)


waters = st.builds(Water, number(0.0, 500.0), alkalinity, carbon, tan, celsius, number(0.0, 40.0))


@given(st.lists(waters, min_size=1, max_size=5))
def test_mixing_keeps_every_amount(parts) -> None:
    assume(sum(part.volume_l for part in parts) > 0.01)
    mixed = mix(parts)
    for i in range(1, len(Water._fields)):
        before = sum(part[i] * part.volume_l for part in parts)
        assert mixed[i] * mixed.volume_l == pytest.approx(before, rel=1e-9, abs=1e-9)


@given(waters, number(0.01, 1.0))
def test_mixing_a_water_with_itself_changes_nothing(water, share) -> None:
    assume(water.volume_l > 0.01)
    same = mix([water, water._replace(volume_l=water.volume_l * share)])
    assert ph_from(*same[1:]) == pytest.approx(ph_from(*water[1:]), abs=1e-6)


@given(st.lists(st.tuples(number(0.001, 100.0), number(0.0, 50.0)), min_size=1, max_size=5))
def test_a_blend_lies_between_its_parts(parts) -> None:
    values = [value for _, value in parts]
    assert min(values) - 1e-9 <= blend(parts) <= max(values) + 1e-9


@given(number(0.0, 100.0), number(0.0, 100.0), number(0.0, 100.0))
def test_the_change_worked_out_reaches_the_target(start, target, new) -> None:
    assume(start <= target or new < target)
    fraction = change_to_reach(start, target, new)
    assert 0.0 <= fraction <= 1.0
    assert start * (1.0 - fraction) + new * fraction <= max(target, start * 0) + 1e-9 or (
        fraction == 0.0 and start <= target
    )


@given(number(0.0, 0.99), st.integers(0, 10))
def test_changes_multiply(fraction, times) -> None:
    by_hand = math.prod([1.0 - fraction] * times)
    assert left_after_changes(fraction, times) == pytest.approx(by_hand)


@pytest.mark.parametrize(
    ("form", "parameter"),
    [
        ("NH3", "tan_mg_l"),
        ("NH4", "tan_mg_l"),
        ("NO2", "nitrite_mg_l"),
        ("NO3", "nitrate_mg_l"),
    ],
)
def test_nitrogen_forms_there_and_back(form, parameter) -> None:
    """What is typed as an ion, stored as nitrogen and told as the ion again."""
    stored = parse(f"1 mg/L as {form}", parameter).value
    assert from_nitrogen_mg_l(stored, form) == pytest.approx(1.0)


@given(number(0.0, 40.0), number(0.0, 40.0), number(400.0, 800.0), number(0.0, 300.0))
def test_oxygen_percent_there_and_back(t, s, mmhg, percent) -> None:
    there = oxygen_from_percent_mg_l(percent, t, s, mmhg)
    assert percent_saturation(there, t, s, mmhg) == pytest.approx(percent)


@given(number(0.0, 39.0), number(0.0, 39.0), number(400.0, 800.0))
def test_warmer_saltier_and_higher_hold_less_oxygen(t, s, mmhg) -> None:
    here = oxygen_saturation_mg_l(t, s, mmhg)
    assert oxygen_saturation_mg_l(t + 1.0, s, mmhg) < here
    assert oxygen_saturation_mg_l(t, s + 1.0, mmhg) < here
    assert oxygen_saturation_mg_l(t, s, mmhg - 20.0) < here


@given(number(500.0, 800.0), number(-100.0, 400.0))
def test_gas_pressure_there_and_back(bar, excess) -> None:
    percent = 100.0 * (bar + excess) / bar  # the definition, Standard Methods 2810
    assert excess_gas_pressure_mmhg(percent, bar) == pytest.approx(excess, abs=1e-6)


@given(number(6.5, 8.9), number(0.0, 30.0))
def test_criteria_tighten_with_ph_and_acute_is_above_chronic(ph, t) -> None:
    for present in (True, False):
        acute = acute_criterion_tan_mg_l(ph, t, present)
        assert acute_criterion_tan_mg_l(ph + 0.1, t, present) < acute
        assert acute > chronic_criterion_tan_mg_l(ph, t)
    assert acute_criterion_tan_mg_l(ph, t, True) <= acute_criterion_tan_mg_l(ph, t, False) * 1.0001
