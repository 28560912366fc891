"""Stocked tank, floating time, opening order, and what importing the package costs."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from advisor.bag import (
    HarmLimits,
    SealedBag,
    TankForecast,
    TemperaturePath,
    WaterChange,
    float_minutes,
    forecast_sealed,
    harm_of,
    tank_after_stocking,
)
from advisor.bag.draws import Draws
from advisor.bag.stocking import _integrate, _Tank
from advisor.errors import AdvisorError
from tests.bag.experiments import rule


def stocked(**changes: Any) -> TankForecast:
    given: dict[str, Any] = {
        "volume_l": 100.0, "fish_count": 30, "fish_mass_g": 1.0, "maturity": "new", "ph": 7.8,
        "temperature_c": 25.0, "samples": 60,
    }  # fmt: skip
    return tank_after_stocking(**{**given, **changes})


def test_a_new_tank_passes_limits_and_a_cycled_one_does_not() -> None:
    new, part, cycled = (stocked(maturity=m) for m in ("new", "part", "cycled"))
    peaks = [t.peak_nh3_n_mg_l.value for t in (new, part, cycled)]
    assert peaks == sorted(peaks, reverse=True)
    assert new.nh3_limit.passed == "surely"
    assert cycled.nh3_limit.passed == "not"
    assert new.change_likely.needed and not cycled.change_likely.needed
    assert cycled.change_likely.text == "no change needed"


def test_ammonia_peaks_before_nitrite_in_a_new_tank() -> None:
    """The order every cycling tank shows (common practice, no source for its days)."""
    tank = stocked(fish_count=120, days=90.0)
    peak = {name: int(np.argmax(tank.paths[name].value)) for name in ("tan_mg_l", "nitrite_mg_l")}
    assert tank.days[peak["tan_mg_l"]] < tank.days[peak["nitrite_mg_l"]] < 90.0
    assert tank.paths["tan_mg_l"].value[-1] < 0.2 * max(tank.paths["tan_mg_l"].value)


def test_advised_change_keeps_the_limits() -> None:
    new = stocked()
    change = new.change_surely.schedule
    assert change is not None
    changed = stocked(change=change)
    assert changed.peak_nh3_n_mg_l.high <= 0.05 * 1.1
    assert changed.peak_nitrite_mg_l.value <= 0.5
    assert changed.peak_nh3_n_mg_l.value < new.peak_nh3_n_mg_l.value
    assert "%" in new.change_surely.text


def test_beyond_any_change_is_said_so() -> None:
    crowded = stocked(fish_count=3000, feed_percent_per_day=5.0)
    assert crowded.change_likely.needed and crowded.change_likely.schedule is None
    assert "fewer fish" in crowded.change_likely.text


def test_food_and_nothing_lost() -> None:
    """Unfed fish give less; TAN, nitrite and what was oxidised further add up to what was given."""
    assert stocked(feed_percent_per_day=0.0).peak_nh3_n_mg_l.value < stocked().peak_nh3_n_mg_l.value
    one = np.ones(1)
    none = _Tank(3.0 * one, 0.0 * one, 0.0 * one, one, one, 0.05 * one, 0.5 * one)
    times, tan, nitrite = _integrate(none, 10.0, (0.5, 0.0), [None])
    np.testing.assert_allclose(tan[:, 0, 0], 0.5 + 3.0 * times, rtol=1e-9)
    first_only = none._replace(capacity_a=5.0 * one)
    times, tan, nitrite = _integrate(first_only, 10.0, (0.5, 0.0), [None])
    np.testing.assert_allclose((tan + nitrite)[:, 0, 0], 0.5 + 3.0 * times, rtol=1e-9)


def test_water_change_takes_its_share() -> None:
    one = np.ones(1)
    still = _Tank(0.0 * one, 0.0 * one, 0.0 * one, one, one, 0.05 * one, 0.5 * one)
    half = WaterChange(fraction=0.5, every_days=1.0)
    _, tan, _ = _integrate(still, 3.5, (8.0, 0.0), [None, half])
    assert tan[-1, 0, 0] == 8.0
    assert tan[-1, 1, 0] == pytest.approx(1.0)


@pytest.mark.parametrize(
    "change, sentence",
    [
        ({"maturity": "old"}, 'maturity: "old"'),
        ({"volume_l": -5.0}, "volume_l: -5"),
        ({"feed_percent_per_day": 90.0}, "feed_percent_per_day: 90"),
        ({"fish_count": -1}, "fish_count: -1"),
        ({"temperature_c": 300.0}, "temperature_c: 300"),
        ({"days": 0.0}, "days: 0"),
    ],
)
def test_tank_refuses_nonsense(change: dict[str, Any], sentence: str) -> None:
    with pytest.raises(AdvisorError, match=sentence):
        stocked(**change)
    with pytest.raises(AdvisorError, match="fraction"):
        WaterChange(fraction=25.0, every_days=7.0)


def test_tank_without_fish_stays_clean() -> None:
    assert stocked(fish_count=0).peak_nh3_n_mg_l.high == 0.0


def test_floating_time_as_published() -> None:
    """About half an hour for 4-5 °C down to 2 °C (tests/reference/transport.toml)."""
    told = rule("float-2c")
    gap = sum(told["gap_c"]) / 2.0
    time = float_minutes(2.5, 25.0 - gap, 25.0, told["target_gap_c"])
    assert time.minutes.value == pytest.approx(told["minutes"], abs=2.0)
    assert time.minutes.low < 20.0 < time.minutes.high  # common practice, no source
    assert float_minutes(8.0, 20.5, 25.0, 2.0).minutes.value > time.minutes.value
    assert float_minutes(2.5, 24.0, 25.0, 2.0).minutes.value == 0.0


def test_floating_time_from_two_readings() -> None:
    """A gap that halved in 10 minutes halves again in 10 more."""
    time = float_minutes(2.5, 17.0, 25.0, 2.0, later_c=21.0, minutes_between=10.0)
    assert time.minutes.value == pytest.approx(10.0)
    assert time.minutes.low < 10.0 < time.minutes.high
    with pytest.raises(AdvisorError, match="later_c"):
        float_minutes(2.5, 17.0, 25.0, 2.0, later_c=16.0, minutes_between=10.0)
    with pytest.raises(AdvisorError, match="minutes_between"):
        float_minutes(2.5, 17.0, 25.0, 2.0, later_c=21.0)
    with pytest.raises(AdvisorError, match="Is that °F"):
        float_minutes(2.5, 66.0, 25.0, 2.0)


#: Limits as the rule base has them (rules/limits.toml, with their sources).
LIMITS = HarmLimits(
    nh3_n_mg_l=0.0411, co2_mg_l=40.0, do_mg_l=4.0, oxygen_hours=4.0, ph_low=6.0, low_c=18.0,
    high_c=30.0, degrees=3.0,
)  # fmt: skip


def bag(**changes: Any) -> SealedBag:
    given: dict[str, Any] = {"water_l": 2.0, "gas_l": 4.0, "fish_count": 10, "fish_mass_g": 1.0}
    given |= {"hours": 30.0, "temperature": 24.0}
    return SealedBag(**{**given, **changes})


def test_what_waiting_costs_a_bag_and_why() -> None:
    cold = TemperaturePath(start_c=24.0, outside_c=2.0, time_constant_h=8.0)
    bags = {
        "roomy": forecast_sealed(bag(), samples=0),
        "crowded": forecast_sealed(bag(fish_count=60), samples=0),
        "no air left": forecast_sealed(bag(gas="air", gas_l=1.0, fish_count=20), samples=0),
        "cold": forecast_sealed(bag(temperature=cold), samples=0),
        "empty": forecast_sealed(bag(fish_count=0), samples=0),
    }
    harm = {name: harm_of(view, LIMITS) for name, view in bags.items()}
    assert max(harm, key=lambda name: harm[name].score) == "no air left"
    assert {name: it.driver for name, it in harm.items() if name != "roomy"} == {
        "crowded": "co2",
        "no air left": "oxygen",
        "cold": "temperature",
        "empty": "none",
    }
    assert all(it.score == max(it.strains.values()) for it in harm.values() if it.driver != "none")
    assert harm["empty"].score == 0.0
    assert all(it.reason for it in harm.values())
    assert harm_of(bags["crowded"], replace(LIMITS, co2_mg_l=1000.0)).driver != "co2"


def test_samples_stay_in_their_range() -> None:
    from advisor.bag.fish_defaults import OXYGEN_USE, RESPIRATORY_QUOTIENT

    draws = Draws(400, 0)
    for r in (OXYGEN_USE, RESPIRATORY_QUOTIENT):
        values = draws.assumed(r)
        assert values[0] == r.value
        assert r.low <= values.min() and values.max() <= r.high
        assert np.median(values) == pytest.approx(r.value, rel=0.01)
        assert np.quantile(values[1:], 0.05) == pytest.approx(r.low, rel=0.02)


def test_importing_the_package_loads_no_numpy() -> None:
    code = (
        "import sys, advisor.bag; assert 'numpy' not in sys.modules; "
        "from advisor.bag import SealedBag, TankWater, Measured, Band, OPENING_METHODS; "
        "assert 'numpy' not in sys.modules and 'pydantic' not in sys.modules; "
        "advisor.bag.forecast_sealed; assert 'scipy' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
