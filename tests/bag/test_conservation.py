"""Nothing is lost: oxygen, carbon, nitrogen and alkalinity over random runs, and no NaN."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from advisor.bag import SealedBag, TankWater, TemperaturePath, compare_openings, forecast_sealed
from advisor.bag.draws import Draws
from advisor.bag.integrator import run
from advisor.bag.methods import OPENING_METHODS
from advisor.bag.seal import seal
from advisor.bag.tankwater import sample_tank
from advisor.bag.ways import Opened, _start
from tests.bag.strategies import bags

RELATIVE = 1e-6
#: A tenth of a millilitre of gas: its wall must not empty it in one step.
HARDLY_ANY_GAS = SealedBag(
    water_l=1.0, gas_l=1.001685e-4, fish_count=3, fish_mass_g=1.0, hours=3.0, gas="air",
    temperature=TemperaturePath(start_c=28.0, outside_c=1.0, time_constant_h=9.0),
)  # fmt: skip


@example(HARDLY_ANY_GAS, 2)
@example(replace(HARDLY_ANY_GAS, fish_count=0, gas="oxygen"), 0)
@given(bags(), st.integers(0, 12))
@settings(max_examples=60)
def test_sealed_bag_balances(bag: SealedBag, samples: int) -> None:
    sealed = seal(bag, Draws(samples, 1))
    done = run(sealed.start, sealed.course, 1 + samples)
    start, used = sealed.start, done.used_o2
    oxygen = start.o2_mmol + start.gas_o2_mmol
    np.testing.assert_allclose(
        done.o2 + done.gas_o2 + used + done.lost_o2,
        np.broadcast_to(oxygen, used.shape),
        rtol=RELATIVE,
    )
    carbon = start.dic_mmol + start.gas_co2_mmol + done.made_co2
    held = done.dic + done.gas_co2 + done.lost_co2
    np.testing.assert_allclose(held, carbon, rtol=RELATIVE, atol=1e-12)
    excreted = done.tan - start.tan_mmol  # a base: as much alkalinity
    np.testing.assert_allclose(
        done.alkalinity, start.alkalinity_meq + excreted, rtol=RELATIVE, atol=1e-12
    )
    # never less than the quotients ask for; more only where oxygen was short
    course = sealed.course
    step_h = np.diff(course.hours)[:, None]
    given_off = course.quotient[1:] * np.diff(used, axis=0) + step_h * course.dead_n[1:]
    least = np.cumsum(given_off, axis=0)
    assert (excreted[1:] >= least * (1.0 - RELATIVE) - 1e-12).all()
    assert (done.made_co2 >= sealed.fish.co2_per_o2 * used * (1.0 - RELATIVE) - 1e-12).all()
    ample = (done.o2 / course.volume_l * 32.0 > 2.0).all(axis=0)
    np.testing.assert_allclose(excreted[1:, ample], least[:, ample], rtol=RELATIVE, atol=1e-12)
    made = np.broadcast_to(sealed.fish.co2_per_o2 * used, used.shape)
    np.testing.assert_allclose(done.made_co2[:, ample], made[:, ample], rtol=RELATIVE, atol=1e-12)
    assert (np.diff(used, axis=0) >= -1e-12).all()
    assert (done.o2 >= 0.0).all()


@given(bags())
@settings(max_examples=40)
def test_every_band_is_finite_and_holds_its_value(bag: SealedBag) -> None:
    forecast = forecast_sealed(bag, samples=15)
    for path in forecast.paths.values():
        for low, value, high in zip(path.low, path.value, path.high, strict=True):
            assert low <= value <= high
            assert np.isfinite([low, value, high]).all()
    left = forecast.oxygen_hours_left
    assert (left is None) == (bag.fish_count == 0)
    if left is not None:
        assert 0.0 <= left.low <= left.value <= left.high <= 240.0


@given(bags(), st.floats(0.1, 6.0))
@settings(max_examples=20)
def test_dripping_adds_what_the_tank_water_carries(bag: SealedBag, per_h: float) -> None:
    """Total ammonia in the bag after an hour: what was there, what dripped in, what fish gave."""
    forecast = forecast_sealed(bag, samples=0)
    tank = TankWater(volume_l=100.0, temperature_c=24.0, alkalinity_mg_l_caco3=80.0, tan_mg_l=0.7)
    dripped = next(method for method in OPENING_METHODS if method.kind == "dripped")
    method = type(dripped)(name="d", label="d", kind="dripped", in_bag_min=None, drip_per_h=per_h)
    result = compare_openings(forecast, tank, (method,), minutes=60.0)[0]
    volume = float(forecast.state.water_l[0])
    before = forecast.end["tan_mg_l"].value * volume
    after = result.paths["tan_mg_l"].value[-1] * volume * (1.0 + per_h)
    draws = Draws(0, 0)
    opened = Opened.of(forecast.state, sample_tank(tank, draws), draws)
    use = opened.bag.fish.use(np.linspace(0.0, 1.0, 50), np.full((50, 1), 30.0))
    most_excreted = float(use.max()) * 0.0875 * 32.0 * 1.5
    came_in = 0.7 * volume * per_h
    assert before + came_in <= after * (1 + 1e-9)
    assert after <= (before + came_in + most_excreted) * (1 + 1e-9)


def test_start_amounts_follow_the_volume() -> None:
    bag = SealedBag(water_l=2.0, gas_l=4.0, fish_count=5, fish_mass_g=1.0, hours=10.0)
    state = forecast_sealed(bag, samples=0).state
    start = _start(state, state.water_l)
    assert start.tan_mmol[0] == pytest.approx(state.tan[0] * 2.0)
    assert start.gas_o2_mmol[0] == 0.0
