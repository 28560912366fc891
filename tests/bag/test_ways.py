"""The ways of opening beside one another: many bags as one array, and when a limit is passed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from advisor.bag import (
    OPENING_METHODS,
    Measured,
    OpeningResult,
    SealedForecast,
    compare_many,
    compare_openings,
    forecast_many,
    forecast_sealed,
)
from tests.bag.test_opening import BAG, FORECAST, TANK


@pytest.fixture(scope="module")
def ways() -> dict[str, OpeningResult]:
    return {found.name: found for found in compare_openings(FORECAST, TANK, OPENING_METHODS)}


def test_every_way_has_a_name_of_its_own() -> None:
    assert len({method.name for method in OPENING_METHODS}) == len(OPENING_METHODS)


def test_open_exchange_is_within_what_was_published_for_quiet_water() -> None:
    """Quiet to rippled water: 7 to 18 cm/h (findings 9); its range is the band that is told."""
    told = {a.name: a for a in compare_openings(FORECAST, TANK, OPENING_METHODS[:1])[0].assumptions}
    rate = told["open_exchange"]
    assert rate.low <= 7.0 <= rate.value <= 18.0 <= rate.high
    assert rate.source


def test_doses_and_lows_are_those_of_the_paths(ways: dict[str, OpeningResult]) -> None:
    for found in ways.values():
        path = found.paths["co2_mg_l"].value
        hours = [minute / 60.0 for minute in found.minutes]
        dose = sum(
            0.5 * (path[i] + path[i - 1]) * (hours[i] - hours[i - 1]) for i in range(1, len(hours))
        )
        assert found.co2_dose_mg_h_l.value == pytest.approx(dose, rel=0.02), found.name
        assert found.lowest_do_mg_l.value == pytest.approx(min(found.paths["do_mg_l"].value))


def test_minutes_until_ammonia_passes_a_limit(ways: dict[str, OpeningResult]) -> None:
    air = ways["aerated"]
    path = air.paths["nh3_n_mg_l"].value
    limit = 0.5 * (path[0] + max(path))
    passed = air.minutes_to_nh3_limit(limit)
    assert passed.minutes is not None
    i = max(i for i, minute in enumerate(air.minutes) if minute <= passed.minutes)
    assert path[i] <= limit <= path[i + 1]
    assert air.minutes_to_nh3_limit(2.0 * max(air.paths["nh3_n_mg_l"].high)).passed == "not"


def test_many_bags_as_one_array_are_the_same_as_one_by_one() -> None:
    bags = [
        BAG,
        replace(BAG, hours=20.0, fish_count=60, ph=None, fasted_hours=None),
        replace(BAG, gas="air", temperature=26.0, dead_count=3),
        replace(BAG, salinity_g_kg=30.0, conductivity_us_cm=None),
    ]
    read = [None, Measured(ph=6.5, tan_mg_l=3.0), Measured(temperature_c=25.5), None]
    many = forecast_many(bags, read, 60)
    for bag, measured, together in zip(bags, read, many, strict=True):
        assert isinstance(together, SealedForecast)
        alone = forecast_sealed(bag, 60, measured=measured)
        for name, band in alone.end.items():
            other = together.end[name]
            assert other.value == pytest.approx(band.value, rel=1e-6), name
            assert (other.low, other.high) == pytest.approx((band.low, band.high), rel=1e-5), name
    tanks = [TANK, replace(TANK, temperature_c=22.0), TANK, replace(TANK, salinity_g_kg=33.0)]
    cases = [
        (forecast, tank)
        for forecast, tank in zip(many, tanks, strict=True)
        if isinstance(forecast, SealedForecast)
    ]
    for (forecast, tank), found in zip(cases, compare_many(cases, OPENING_METHODS), strict=True):
        for one, again in zip(
            compare_openings(forecast, tank, OPENING_METHODS), found, strict=True
        ):
            assert one.name == again.name
            for quantity in ("peak_nh3_n_mg_l", "co2_dose_mg_h_l", "lowest_do_mg_l"):
                assert getattr(one, quantity).value == pytest.approx(
                    getattr(again, quantity).value, rel=1e-6, abs=1e-9
                )
