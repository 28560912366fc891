"""A band holds every value inside it, not only those at its corners."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.errors import AdvisorError
from advisor.water.ammonia import unionised_ammonia_mg_l
from advisor.water.bands import band_of
from advisor.water.carbonate import co2_mg_l_from, solve_from_ph, solve_with_air


def number(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False)


def ends(low: float, high: float) -> st.SearchStrategy[tuple[float, float]]:
    return st.tuples(number(low, high), number(low, high)).map(lambda two: (min(two), max(two)))


def inside(share: float, band: tuple[float, float]) -> float:
    return band[0] + share * (band[1] - band[0])


def slack(band: tuple[float, float]) -> float:
    """A thousandth of the band, where it was followed to its turn; and rounding."""
    return 2e-3 * (band[1] - band[0]) + 1e-9


SHARES = st.tuples(number(0, 1), number(0, 1), number(0, 1), number(0, 1))


@given(ends(5.5, 9.5), ends(0.0, 300.0), ends(0.0, 15.0), ends(5.0, 32.0), SHARES)
@settings(max_examples=60, deadline=None)
def test_co2_from_ph_stays_in_its_band(ph, alkalinity, tan, celsius, shares) -> None:
    """Not monotone: more ammonia leaves less carbonate, a higher pH turns ammonia into a base."""
    inputs = (ph, alkalinity, tan, celsius)
    try:
        band = band_of(co2_mg_l_from, *inputs)
        value = co2_mg_l_from(*(inside(s, e) for s, e in zip(shares, inputs, strict=True)))
    except AdvisorError:
        return
    assert band[0] - slack(band) <= value <= band[1] + slack(band)


def nh3_once_co2_has_left(ph: float, alkalinity: float, tan: float, celsius: float) -> float:
    """NH3 of a bag's water after it came to air; the readings must fit together first."""
    solve_from_ph(ph, alkalinity, tan, celsius)
    open_water = solve_with_air(alkalinity, tan, celsius)
    return unionised_ammonia_mg_l(tan, open_water.ph, celsius)


@given(ends(5.5, 9.0), ends(1.0, 300.0), ends(0.0, 15.0), ends(5.0, 32.0), SHARES)
@settings(max_examples=60, deadline=None)
def test_nh3_after_opening_stays_in_its_band(ph, alkalinity, tan, celsius, shares) -> None:
    inputs = (ph, alkalinity, tan, celsius)
    try:
        band = band_of(nh3_once_co2_has_left, *inputs)
        value = nh3_once_co2_has_left(*(inside(s, e) for s, e in zip(shares, inputs, strict=True)))
    except AdvisorError:
        return
    assert band[0] - slack(band) <= value <= band[1] + slack(band)


def test_a_hump_between_the_corners_is_found() -> None:
    """sin from 0.2 to 3.0: its top, 1, lies inside (a closed form, no water)."""
    low, high = band_of(math.sin, (0.2, 3.0))
    assert high == pytest.approx(1.0, abs=1e-5)
    assert low == pytest.approx(math.sin(3.0))
    assert band_of(math.sin, (0.2, 3.0), monotone=True)[1] < 0.2


def test_exact_inputs_give_a_point() -> None:
    assert band_of(lambda a, b: a * b, (2.0, 2.0), (3.0, 3.0)) == (6.0, 6.0)
    with pytest.raises(AdvisorError, match="wrong way"):
        band_of(math.sin, (3.0, 0.2))


def test_impossible_corners_are_left_out() -> None:
    """pH 10 cannot be carried by 5 mg/L; the rest of the band can."""
    low, high = band_of(co2_mg_l_from, (6.5, 10.0), (5.0, 60.0), (0.0, 0.0), (25.0, 25.0))
    assert 0.0 <= low < high
    with pytest.raises(AdvisorError, match="No value"):
        band_of(co2_mg_l_from, (10.8, 11.0), (1.0, 2.0), (0.0, 0.0), (25.0, 25.0))
