"""What cannot be is answered with one clear sentence, and the edge of what can with a limit."""

from __future__ import annotations

import math
from typing import Any

import pytest

from advisor.bag import Band, Measured, SealedBag, TankWater, TemperaturePath, forecast_sealed
from advisor.errors import AdvisorError

GOOD: dict[str, Any] = {
    "water_l": 2.0,
    "gas_l": 4.0,
    "fish_count": 20,
    "fish_mass_g": 1.0,
    "hours": 24.0,
    "temperature": 24.0,
}

REFUSED = [
    ({"water_l": -1.0}, "water_l: -1 is outside"),
    ({"water_l": 0.0}, "water_l: 0 is outside"),
    ({"gas_l": -0.1}, "gas_l: -0.1 is outside"),
    ({"gas": "none"}, 'gas_l: 4 L of gas, but gas is "none"'),
    ({"gas": "helium"}, 'gas: "helium" is not known'),
    ({"fish_count": -3}, "fish_count: -3"),
    ({"fish_count": 2.5}, "fish_count: 2.5"),
    ({"fish_mass_g": None}, "fish_mass_g: missing"),
    ({"fish_mass_g": 150.0}, "more than the 2000 g of water"),
    ({"hours": -1.0}, "hours: -1 is outside"),
    ({"hours": 1000.0}, "hours: 1000 is outside"),
    ({"temperature": 300.0}, "temperature_c: 300 is outside 0 to 40 °C"),
    ({"temperature": 78.0}, "Is that °F\\? 78 °F is 25.6 °C"),
    ({"ph": 19.0}, "ph: 19 is outside"),
    ({"ph": math.nan}, "ph: .*nan"),
    ({"tan_mg_l": math.inf}, "tan_mg_l: inf is outside"),
    ({"tan_mg_l": "much"}, "tan_mg_l: 'much' is not a number"),
    ({"alkalinity_mg_l_caco3": -5.0}, "alkalinity_mg_l_caco3: -5"),
    ({"salinity_g_kg": 80.0}, "salinity_g_kg: 80"),
    ({"ph": Band(7.0, 7.2, 7.4)}, "ph: the band 7.2 to 7.4 lacks its value 7"),
    ({"oxygen_use_factor": 0.0}, "oxygen_use_factor: 0 is outside"),
    ({"fasted_hours": -2.0}, "fasted_hours: -2"),
    ({"ph": 9.8, "alkalinity_mg_l_caco3": 2.0}, "higher than an alkalinity of 2"),
]


@pytest.mark.parametrize("change, sentence", REFUSED, ids=[str(c) for c, _ in REFUSED])
def test_refused_with_a_sentence(change: dict[str, Any], sentence: str) -> None:
    with pytest.raises(AdvisorError, match=sentence) as caught:
        forecast_sealed(SealedBag(**{**GOOD, **change}), samples=0)
    assert "\n" not in str(caught.value)


def test_temperature_path_tank_and_readings_are_checked_too() -> None:
    with pytest.raises(AdvisorError, match="outside_c: 140 is outside"):
        TemperaturePath(outside_c=140.0)
    with pytest.raises(AdvisorError, match="volume_l: 0 is outside"):
        TankWater(volume_l=0.0, temperature_c=25.0, alkalinity_mg_l_caco3=80.0)
    with pytest.raises(AdvisorError, match="do_mg_l: 100 is outside"):
        Measured(do_mg_l=100.0)
    with pytest.raises(AdvisorError, match="samples"):
        forecast_sealed(SealedBag(**GOOD), samples=-1)


FREEZING = TemperaturePath(start_c=2.0, outside_c=-30.0, time_constant_h=1.0)
LIMITS = {
    "no fish": {"fish_count": 0, "fish_mass_g": None},
    "no gas": {"gas": "none", "gas_l": 0.0},
    "oxygen but no room for it": {"gas_l": 0.0},
    "alkalinity zero": {"alkalinity_mg_l_caco3": 0.0},
    "no time": {"hours": 0.0},
    "one second": {"hours": 0.0003},
    "fish as heavy as the water": {"fish_count": 20, "fish_mass_g": 100.0},
    "a fry in a drum": {"water_l": 1000.0, "gas_l": 1000.0, "fish_count": 1, "fish_mass_g": 0.001},
    "freezing": {"temperature": TemperaturePath(start_c=2.0, outside_c=-30.0, time_constant_h=1.0)},
    "boiling outside": {"temperature": TemperaturePath(start_c=30.0, outside_c=60.0)},
    "soda lake": {"alkalinity_mg_l_caco3": 2000.0, "ph": 10.0},
    "sour": {"ph": 3.5, "alkalinity_mg_l_caco3": 0.0},
    "full of ammonia": {"tan_mg_l": 500.0, "ph": 9.0, "alkalinity_mg_l_caco3": 2000.0},
    "nothing known": {"temperature": TemperaturePath()},
}


@pytest.mark.parametrize("name", LIMITS)
def test_limits_give_numbers(name: str) -> None:
    forecast = forecast_sealed(SealedBag(**{**GOOD, **LIMITS[name]}), samples=30)
    for path in forecast.paths.values():
        assert all(math.isfinite(x) for x in (*path.value, *path.low, *path.high))
        assert min(path.low) >= -1e-9
    for band in forecast.end.values():
        assert band.low <= band.value <= band.high


def test_alkalinity_zero_is_held_by_the_ammonia_alone() -> None:
    """Unbuffered water: all its final alkalinity is what the fish excreted, 3.57 mg/L per mg N."""
    bag = SealedBag(**{**GOOD, "alkalinity_mg_l_caco3": 0.0, "tan_mg_l": 0.0})
    end = forecast_sealed(bag, samples=0).end
    assert end["alkalinity_mg_l_caco3"].value == pytest.approx(
        3.57 * end["tan_mg_l"].value, rel=2e-3
    )
    assert 4.0 < end["ph"].value < 6.0
