"""How readings weigh draws, part by part, against published formulas worked out here.

Normal quantiles are scipy's; the tail of a range is Huber's loss (Huber 1964, scipy.special);
draws that carry a weighted sample are counted by Kish (1965), 1 / sum of squared weights;
systematic resampling takes each draw floor(nw) or ceil(nw) times (Kitagawa 1996).
"""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import huber
from scipy.stats import norm

from advisor.bag.banded import Band, Range
from advisor.bag.condition import distances, place_in, weigh
from advisor.bag.draws import Draws
from advisor.bag.inputs import Measured
from advisor.bag.likeness import far_off, place_cost, reading_of, resampled

Z95 = float(norm.ppf(0.95))


@pytest.mark.parametrize(
    "name, value, kit, model",
    [
        # absolute error and share of the value of instrument and simulation, as tabled there
        ("ph", 7.0, 0.05, 0.1),
        ("tan_mg_l", 1.0, 0.02 + 0.05, 0.02 + 0.08),
        ("tan_mg_l", 4.0, 0.02 + 0.20, 0.02 + 0.32),
        ("alkalinity_mg_l_caco3", 100.0, 7.0, 7.0),
        ("do_mg_l", 10.0, 0.1 + 0.3, 0.5 + 1.5),
    ],
)
def test_an_exact_number_errs_as_instrument_and_model_together(
    name: str, value: float, kit: float, model: float
) -> None:
    reading = reading_of(name, value)
    assert reading.below == pytest.approx(math.hypot(kit, model))
    assert reading.above == pytest.approx(math.hypot(kit, model))


def test_a_kits_band_errs_by_its_own_ends_and_never_less_than_an_instrument() -> None:
    wide = reading_of("ph", Band(7.0, 6.5, 7.2))
    assert wide.below == pytest.approx(math.hypot(0.5 / Z95, 0.1), rel=1e-3)
    assert wide.above == pytest.approx(math.hypot(0.2 / Z95, 0.1), rel=1e-3)
    assert reading_of("ph", Band(7.0, 6.99, 7.01))[2:] == reading_of("ph", 7.0)[2:]


def test_a_draw_misses_by_deviations_of_its_own_side() -> None:
    reading = reading_of("ph", Band(7.0, 6.0, 7.4))
    draws = 7.0 + np.array([0.0, 2 * reading.above, -3 * reading.below])
    assert reading.misfit(draws) == pytest.approx([0.0, 4.0, 9.0])


def test_draws_aim_through_the_whole_band_and_never_below_nothing() -> None:
    draws = Draws(400, 3)
    ph, tan = reading_of("ph", Band(7.0, 6.0, 7.4)), reading_of("tan_mg_l", Band(1.0, 0.0, 9.0))
    at = ph.targets(draws)
    assert at[0] == 7.0
    assert at[1:].min() == pytest.approx(7.0 - Z95 * ph.below, rel=1e-3)
    assert at[1:].max() == pytest.approx(7.0 + Z95 * ph.above, rel=1e-3)
    assert (at[1:] < 7.0).mean() == pytest.approx(0.5, abs=0.01)
    at = tan.targets(draws)
    assert at[0] == 1.0 and at.min() == pytest.approx(0.02 * 1.0)
    assert at.max() == pytest.approx(1.0 + Z95 * tan.above, rel=1e-3)
    tan = reading_of("tan_mg_l", Band(4.0, 0.0, 40.0))
    assert tan.targets(draws).min() == pytest.approx(0.02 * 4.0), "a share of the reading"
    assert reading_of("ph", Band(0.01, -1.0, 1.0)).targets(draws).min() < 0, "pH has no such floor"


def test_leaving_a_range_costs_as_hubers_loss() -> None:
    places = np.array([-3.0, -1.01, -1.0, -0.5, 0.0, 0.3, 1.0, 1.5, 4.0])
    costs = place_cost(places)
    assert costs == pytest.approx(2 * Z95**2 * huber(1.0, places), rel=1e-3)
    assert costs / costs[2] == pytest.approx(2 * huber(1.0, places), rel=1e-9)


def normal(middle: float, deviation: float, count: int = 2001) -> Any:
    return norm.ppf((np.arange(count) + 0.5) / count, middle, deviation)


@pytest.mark.parametrize("side", [1, -1])
def test_a_ph_is_far_off_past_five_deviations_of_draws_and_kit(side: int) -> None:
    draws = normal(7.0, 0.2)
    for times, far in ((4.9, False), (5.1, True)):
        width = (0.3, 1.5) if side > 0 else (1.5, 0.3)  # narrow towards the draws
        value = 7.0 + side * times * math.hypot(0.2, math.hypot(0.3 / Z95, 0.1))
        reading = reading_of("ph", Band(value, value - width[0], value + width[1]))
        assert far_off(reading, draws) is far


@pytest.mark.parametrize("side", [1, -1])
def test_amounts_are_far_off_by_factors(side: int) -> None:
    draws = np.exp(normal(math.log(2.0), 0.3))
    found = []
    for deviations in np.arange(3.0, 9.0, 0.05):
        value = 2.0 * math.exp(side * deviations * 0.3)
        reading = reading_of("tan_mg_l", value)
        own = math.hypot(0.02 + 0.05 * value, 0.02 + 0.08 * value) / value
        if abs(abs(math.log(value / 2.0)) - 5 * math.hypot(0.3, own)) > 0.03:
            found.append(far_off(reading, draws) == (deviations * 0.3 > 5 * math.hypot(0.3, own)))
    assert len(found) > 100 and all(found)


@pytest.mark.parametrize("side", [1, -1])
def test_far_is_told_to_a_thousandth(side: int) -> None:
    """Draws spread evenly over two units of pH: their 5 and 95 % points lie 0.9 from the middle."""
    draws = np.linspace(6.0, 8.0, 2001)
    own = math.hypot(0.05, 0.1)
    away = 5 * math.hypot(0.9 / 1.645, own)  # 1.645 as tabled there
    for times, far in ((0.9995, False), (1.0005, True)):
        assert far_off(reading_of("ph", 7.0 + side * times * away), draws) is far
    for times, far in ((0.995, False), (1.005, True)):
        alike = np.full(50, 7.0)
        assert far_off(reading_of("ph", 7.0 + side * times * 5 * own), alike) is far


def test_draws_that_lean_to_one_side_reach_further_there() -> None:
    leaning = np.concatenate([np.linspace(5.0, 7.0, 1001), np.linspace(7.0, 7.05, 1000)])
    assert not far_off(reading_of("ph", 5.0), leaning)
    assert far_off(reading_of("ph", 9.0), leaning)


def kish(log_weight: Any) -> float:
    weight = np.exp(log_weight - log_weight.max())
    weight = weight / weight.sum()
    return float(1 / (weight**2).sum())


def test_draws_alike_all_carry_once() -> None:
    order, agreeing = resampled(np.full(40, -700.0), np.zeros(40))
    assert list(order) == list(range(40)) and agreeing == pytest.approx(40)


def test_draws_are_taken_in_proportion_and_counted() -> None:
    rng = np.random.default_rng(4)
    read, before = rng.normal(0, 0.8, 300), rng.normal(0, 0.3, 300)
    order, agreeing = resampled(read, before)
    assert agreeing == pytest.approx(kish(read + before)) and agreeing > 20
    weight = np.exp(read + before)
    wanted = 300 * weight / weight.sum()
    counts = np.bincount(order, minlength=300)
    assert (np.floor(wanted - 1e-9) <= counts).all() and (counts <= np.ceil(wanted + 1e-9)).all()
    assert (np.diff(order) >= 0).all() and len(order) == 300


def test_steps_through_the_weights_start_half_a_step_in() -> None:
    """Carpenter and others 1999: equal steps; two draws are marked at 1/4 and 3/4."""
    assert list(resampled(np.log([0.252, 0.748]), np.zeros(2))[0]) == [0, 1]
    assert list(resampled(np.log([0.248, 0.752]), np.zeros(2))[0]) == [1, 1]


def test_what_was_held_likely_counts_whole_where_enough_carry() -> None:
    before = normal(0.0, 1.0, 4000)
    order, agreeing = resampled(np.zeros(4000), before)
    wanted = 4000 * np.exp(before) / np.exp(before).sum()
    counts = np.bincount(order, minlength=4000)
    assert agreeing > 20
    assert (np.floor(wanted - 1e-9) <= counts).all() and (counts <= np.ceil(wanted + 1e-9)).all()


@pytest.mark.parametrize("count, least", [(300, 20.0), (40, 10.0)])
def test_what_was_held_likely_counts_for_less_until_enough_draws_carry(
    count: int, least: float
) -> None:
    read, before = np.zeros(count), -0.5 * np.arange(count, dtype=float) ** 2
    order, agreeing = resampled(read, before)
    assert agreeing == pytest.approx(kish(before)) and agreeing < 5, "said as it was"
    taken = np.bincount(order, minlength=count) / count
    assert 1 / (taken**2).sum() == pytest.approx(least, rel=0.25), "and no further than asked"
    share = brentq(lambda power: kish(power * before) - least, 1e-6, 1.0)
    wanted = np.exp(share * before) / np.exp(share * before).sum()
    assert abs(taken - wanted).max() <= 1.05 / count
    assert taken[0] >= taken.max() - 1 / count  # within one draw of rounding


def test_readings_that_few_draws_explain_come_first() -> None:
    read = np.where(np.arange(300) == 7, 0.0, -50.0)
    order, agreeing = resampled(read, np.linspace(0.0, -30.0, 300))
    assert set(order) == {7} and agreeing == pytest.approx(1.0)


def test_the_place_in_a_range_goes_by_factors() -> None:
    r = Range("x", "", 10.0, 5.0, 160.0, "", "")
    places = place_in(r, np.array([10.0, 5.0, 2.5, 160.0, 40.0]))
    assert places == pytest.approx([0.0, -1.0, -2.0, 1.0, 0.5])


@pytest.mark.parametrize(
    "low, high, verdict",
    [(6.5, 6.9, "below"), (6.5, 7.0, "within"), (7.4, 7.6, "within"), (7.5, 7.6, "within"),
     (7.51, 7.6, "above")],
)  # fmt: skip
def test_a_reading_that_touches_the_band_lies_within(low: float, high: float, verdict: str) -> None:
    untold = {"ph": Band(7.2, 7.0, 7.5), "temperature_c": Band(20.0, 19.0, 21.0)}
    given = Measured(ph=Band((low + high) / 2, low, high), temperature_c=30.0)
    (found,) = distances(given, untold, frozenset(), way_told=False)
    assert (found.verdict, found.plausible) == (verdict, True)
    assert ("the band of" in found.text) is (verdict != "within") and verdict in found.text
    both = distances(given, untold, frozenset({"ph"}), way_told=True)
    assert {d.quantity: d.plausible for d in both} == {"ph": False, "temperature_c": True}
    assert distances(None, untold, frozenset(), True) == ()


# -- all readings at once ---------------------------------------------------------


def bag_of(oxygen: Any, readings: dict[str, Any], **cost: Any) -> tuple[Any, Any]:
    """Draws of one litre that differ in their oxygen [mg/L] alone."""
    width = len(oxygen)
    run = SimpleNamespace(
        o2=np.asarray(oxygen)[None] / 31.998,  # mg of O2 in a mmol
        log_h=np.full((1, width), -7.0 * math.log(10)), tan=np.full((1, width), 1 / 14.007),
        co2=np.ones((1, width)),
        alkalinity=np.ones((1, width)),
    )  # fmt: skip
    sealed = SimpleNamespace(
        course=SimpleNamespace(volume_l=np.ones((1, 1))), draws=Draws(width - 1, 1)
    )
    given = tuple(reading_of(name, amount) for name, amount in readings.items())
    return SimpleNamespace(sealed=sealed, readings=given, cost=cost, log_slope=np.zeros(1)), run


def test_draws_near_a_reading_carry_the_forecast() -> None:
    oxygen = np.concatenate([[8.0], np.linspace(2.0, 14.0, 400)])
    found = weigh(*bag_of(oxygen, {"do_mg_l": 8.0}))
    reading = reading_of("do_mg_l", 8.0)
    assert found.agreeing == pytest.approx(kish(-0.5 * reading.misfit(oxygen[1:])), rel=1e-3)
    taken = oxygen[found.order]
    assert taken[0] == 8.0 and found.order[0] == 0 and len(found.order) == 401
    assert np.mean(taken[1:]) == pytest.approx(8.0, abs=0.05)
    assert np.std(taken[1:]) == pytest.approx(reading.above, rel=0.05)


def test_a_central_run_that_misses_gives_way_to_the_middle_of_those_that_agree() -> None:
    oxygen = np.concatenate([[2.0], np.linspace(2.0, 14.0, 400)])
    found = weigh(*bag_of(oxygen, {"do_mg_l": 8.0}))
    assert found.order[0] != 0 and oxygen[found.order[0]] == pytest.approx(8.0, abs=0.1)


def test_one_run_alone_is_taken_as_it_is() -> None:
    for readings in ({"do_mg_l": 8.0}, {"do_mg_l": 8.0, "tan_mg_l": 60.0}):
        found = weigh(*bag_of([2.0], readings))
        assert (list(found.order), found.agreeing, found.doubted) == ([0], 1.0, None)


def test_one_reading_alone_is_gainsaid_by_no_other() -> None:
    oxygen = np.linspace(7.0, 9.0, 101)
    assert weigh(*bag_of(oxygen, {"tan_mg_l": 60.0})).doubted is None
    assert weigh(*bag_of(oxygen, {"tan_mg_l": 60.0, "do_mg_l": 8.0})).doubted == "tan_mg_l"


def test_of_readings_that_nothing_explains_together_the_worst_is_named() -> None:
    oxygen = np.linspace(7.0, 9.0, 101)
    for ph, tan, worst in ((9.0, 1.0, "ph"), (7.0, 60.0, "tan_mg_l"), (7.0, 1.0, None)):
        found = weigh(*bag_of(oxygen, {"ph": ph, "tan_mg_l": tan, "do_mg_l": 8.0}))
        assert found.doubted == worst
        assert worst is None or (found.agreeing == 0.0 and list(found.order) == list(range(101)))


def test_what_moving_a_number_costs_weighs_like_a_miss() -> None:
    """A number moved to meet pH is held against what was likely before; its miss is made good."""
    oxygen = np.full(401, 8.0)
    places = np.concatenate([[0.0], np.linspace(-2.0, 2.0, 400)])
    case, run = bag_of(oxygen, {"ph": 7.0, "do_mg_l": 8.0}, ph=places**2)
    target = case.readings[0].misfit(case.readings[0].targets(case.sealed.draws))
    found = weigh(case, run)
    assert found.agreeing == pytest.approx(kish((0.5 * target - 0.5 * places**2)[1:]), rel=1e-6)
