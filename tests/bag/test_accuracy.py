"""The integrator against scipy's on the same equations written out anew (tests/bag/odes.py)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from advisor.bag import SealedBag, TankWater, TemperaturePath, compare_openings, forecast_sealed
from advisor.bag import ways as opening_module
from advisor.bag.draws import Draws
from advisor.bag.seal import seal

BASE = SealedBag(
    water_l=2.0, gas_l=4.0, fish_count=40, fish_mass_g=1.0, hours=48.0, temperature=25.0,
    fasted_hours=36.0, sedated=False, ph=7.2, alkalinity_mg_l_caco3=60.0, tan_mg_l=0.1,
    do_mg_l=7.5, oxygen_use_factor=1.0,
)  # fmt: skip
COOLING = TemperaturePath(start_c=26.0, outside_c=8.0, time_constant_h=12.0)
BAGS = {
    "usual": BASE,
    "cooling": replace(BASE, temperature=COOLING),
    "two hours": replace(BASE, hours=2.0),
    "oxygen-limited": replace(BASE, fish_count=200, hours=30.0),
    "air used up": replace(BASE, gas="air", gas_l=2.0, fish_count=30, hours=40.0),
    "no gas": replace(BASE, gas="none", gas_l=0.0, fish_count=2, hours=10.0),
    "no alkalinity": replace(BASE, alkalinity_mg_l_caco3=0.0, ph=None),
    "hard water": replace(BASE, alkalinity_mg_l_caco3=300.0, ph=8.2, fish_count=3),
    "just fed": replace(BASE, fasted_hours=2.0),
    "jar": replace(BASE, rigid=True, fish_count=100),
}


@pytest.mark.parametrize("name", BAGS)
def test_end_of_a_run_matches_scipy(name: str) -> None:
    pytest.importorskip("scipy")
    from tests.bag.odes import final_state

    bag = BAGS[name]
    expected = final_state(seal(bag, Draws(0, 0)), rtol=1e-8)
    end = forecast_sealed(bag, samples=0).end
    assert end["ph"].value == pytest.approx(expected["ph"], abs=1e-3)
    assert end["tan_mg_l"].value == pytest.approx(expected["tan_mg_l"], rel=2e-3)
    assert end["co2_mg_l"].value == pytest.approx(expected["co2_mg_l"], rel=3e-3)
    assert end["do_mg_l"].value == pytest.approx(expected["do_mg_l"], abs=0.05)


def test_opening_does_not_depend_on_its_time_grid(monkeypatch: pytest.MonkeyPatch) -> None:
    """Half the step changes no pH by more than 0.003 and no peak NH3 by more than 1 %."""
    forecast = forecast_sealed(BASE, samples=0)
    tank = TankWater(volume_l=100.0, temperature_c=27.0, alkalinity_mg_l_caco3=90.0, ph=7.8)
    usual = compare_openings(forecast, tank)
    coarse = opening_module.grid

    def finer(minutes: float, move_at: float | None):  # type: ignore[no-untyped-def]
        import numpy as np

        times = coarse(minutes, move_at)
        return np.sort(np.concatenate([times, 0.5 * (times[1:] + times[:-1])]))

    monkeypatch.setattr(opening_module, "grid", finer)
    for before, after in zip(usual, compare_openings(forecast, tank), strict=True):
        last = before.minutes[-1]
        assert before.paths["ph"].value[-1] == pytest.approx(
            after.paths["ph"].value[after.minutes.index(last)], abs=3e-3
        )
        assert before.peak_nh3_n_mg_l.value == pytest.approx(after.peak_nh3_n_mg_l.value, rel=0.01)


def test_single_and_banded_runs_have_the_same_centre() -> None:
    alone, banded = forecast_sealed(BASE, samples=0), forecast_sealed(BASE, samples=40)
    for name, path in alone.paths.items():
        assert path.value == pytest.approx(banded.paths[name].value, rel=1e-6, abs=1e-9)
