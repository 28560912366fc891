"""What changes a bag besides load and time: food, heat, CO2, dead fish, film, how it lies."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from advisor.bag import Measured, SealedBag, SealedForecast, TemperaturePath, forecast_sealed
from advisor.bag.batch import run_all
from advisor.bag.draws import Draws
from advisor.bag.fish_defaults import DEAD_N, NARCOSIS, NARCOSIS_CO2_MG_L
from advisor.bag.respiration import N_MG, O2_MG
from advisor.bag.seal import seal
from advisor.bag.shortage import narcosis, rises
from advisor.bag.step_chemistry import NUMBERS
from advisor.errors import AdvisorError
from advisor.screens.show_bag.bag_words import oxygen
from advisor.water.masses import CO2

RATES = {
    rate["id"]: rate
    for rate in tomllib.loads(
        (Path(__file__).parents[1] / "reference" / "transport.toml").read_text()
    )["rate"]
}
BAG = SealedBag(
    water_l=3.0, gas_l=6.0, fish_count=20, fish_mass_g=1.0, hours=24.0, temperature=24.0,
    fasted_hours=48.0, sedated=False, ph=7.4, alkalinity_mg_l_caco3=80.0, tan_mg_l=0.1,
    oxygen_use_factor=1.0,
)  # fmt: skip


def end(bag: SealedBag, name: str, **more: Any) -> float:
    return forecast_sealed(bag, samples=0, **more).end[name].value


def used_mg(bag: SealedBag) -> float:
    """Oxygen used, central run."""
    job = seal(bag, Draws(0, 0)).job()
    return float(run_all([job])[0].used_o2[-1, 0]) * O2_MG


# --- food ----------------------------------------------------------------------


@pytest.mark.parametrize("warmth", [0, 1])
def test_fed_fish_use_and_give_off_as_the_published_fed_ones(warmth: int) -> None:
    rate = RATES["pikeperch"]
    oxygen = rate["fed_oxygen"][warmth] / rate["starved_oxygen"][warmth]
    ammonia = rate["fed_ammonia_n"][warmth] / rate["starved_ammonia_n"][warmth]
    now, settled = np.zeros(1), np.full(1, 20.0)
    fed, starved = (
        seal(replace(BAG, fasted_hours=hours), Draws(0, 0)).fish for hours in (0.0, 48.0)
    )
    used = [float(fish.use(settled, np.full((1, 1), 24.0), now)[0, 0]) for fish in (fed, starved)]
    given = [
        use * float(fish.quotient(now)[0, 0])
        for use, fish in zip(used, (fed, starved), strict=True)
    ]
    assert used[0] / used[1] == pytest.approx(oxygen, rel=0.15)
    assert given[0] / given[1] == pytest.approx(ammonia, rel=0.1)


def test_a_meal_fades() -> None:
    used = [used_mg(replace(BAG, fasted_hours=hours)) for hours in (0.0, 12.0, 24.0, 48.0, 96.0)]
    assert used[0] > used[1] > used[2] > used[3] >= used[4]


def test_last_meal_unknown_reaches_over_both() -> None:
    unknown = forecast_sealed(replace(BAG, fasted_hours=None)).end["tan_mg_l"]
    fasted = forecast_sealed(BAG).end["tan_mg_l"]
    day = forecast_sealed(replace(BAG, fasted_hours=24.0)).end["tan_mg_l"]
    assert unknown.low < 1.3 * fasted.low and unknown.high > 0.8 * day.high


# --- oxygen running out, CO2, heat ------------------------------------------------


def test_quotients_rise_to_the_published_tops() -> None:
    rate = RATES["tilapia-30c"]
    usual, nitrogen = 0.9, 0.03
    at = rises(rate["oxygen_mg_l"] / O2_MG, usual, nitrogen, NUMBERS)
    assert usual * at[0] == pytest.approx(rate["respiratory_quotient"])
    assert nitrogen * at[1] == pytest.approx(rate["ammonia_quotient"])
    ample = rises(rate["quotients_rise_below_mg_l"] / O2_MG, usual, nitrogen, NUMBERS)
    assert ample == pytest.approx((1.0, 1.0))


def test_little_oxygen_means_more_co2_and_ammonia_for_each_oxygen() -> None:
    ample = run_all([seal(BAG, Draws(0, 0)).job()])[0]
    short = run_all([seal(replace(BAG, gas_l=0.0, gas="none"), Draws(0, 0)).job()])[0]

    def per_oxygen(run: Any) -> tuple[float, float]:
        used = float(run.used_o2[-1, 0])
        return float(run.made_co2[-1, 0]) / used, float(run.tan[-1, 0] - run.tan[0, 0]) / used

    assert per_oxygen(ample)[0] == pytest.approx(0.9, rel=1e-6)
    assert per_oxygen(short)[0] > 1.25 * per_oxygen(ample)[0]
    assert per_oxygen(short)[1] > 1.25 * per_oxygen(ample)[1]
    # but not more than a fish with ample oxygen would have given off, times what is assumed
    assert float(short.made_co2[-1, 0]) < 1.25 * float(ample.made_co2[-1, 0])


def test_co2_stills_the_fish() -> None:
    least, full = (mg / CO2 for mg in NARCOSIS_CO2_MG_L)
    assert narcosis(least, NARCOSIS.value, NUMBERS) == 1.0
    assert narcosis(full, NARCOSIS.value, NUMBERS) == pytest.approx(1.0 - NARCOSIS.value)
    crowded = replace(BAG, fish_count=150, gas_l=12.0, hours=36.0)
    job = seal(crowded, Draws(0, 0)).job()
    awake = job._replace(course=job.course._replace(narcosis=0.0 * job.course.narcosis))
    stilled, never = run_all([job, awake])
    assert float(stilled.used_o2[-1, 0]) < 0.95 * float(never.used_o2[-1, 0])


def test_oxygen_use_grows_with_warmth_and_fails_past_the_limit() -> None:
    at = {c: used_mg(replace(BAG, temperature=c, hours=6.0)) for c in (18.0, 24.0, 30.0, 38.0)}
    assert at[18.0] < at[24.0] < at[30.0]
    assert at[38.0] < at[30.0]


# --- the dead --------------------------------------------------------------------


def test_dead_fish_add_ammonia_and_use_no_oxygen() -> None:
    dead = replace(BAG, dead_count=10)
    assert used_mg(dead) < used_mg(BAG)
    half_day_mg_l = 10 * DEAD_N.value * 0.5 / 3.0  # ten of 1 g, dead for half of 24 h, in 3 L
    saved = (used_mg(BAG) - used_mg(dead)) * 0.013 / 3.0
    rise = end(dead, "tan_mg_l") - end(BAG, "tan_mg_l")
    assert rise == pytest.approx(half_day_mg_l - saved, rel=0.1)
    with pytest.raises(AdvisorError, match="dead_count"):
        replace(BAG, dead_count=21)


def test_ammonia_of_the_dead_brings_alkalinity() -> None:
    dead = forecast_sealed(replace(BAG, dead_count=10), samples=0).end
    rise = (dead["tan_mg_l"].value - 0.1) / N_MG
    assert dead["alkalinity_mg_l_caco3"].value == pytest.approx(80.0 + rise * 50.04, rel=1e-3)


# --- film, posture, motion -------------------------------------------------------


def test_film_loses_little_oxygen_in_two_days_and_none_in_a_jar() -> None:
    empty = replace(BAG, fish_count=0, fish_mass_g=None, hours=48.0)
    bag = run_all([seal(empty, Draws(0, 0)).job()])[0]
    lost = float(bag.lost_o2[-1, 0] / bag.gas_o2[0, 0])
    assert 0.01 < lost < 0.2
    assert float(bag.lost_co2[-1, 0]) > -1e-3
    jar = run_all([seal(replace(empty, rigid=True), Draws(0, 0)).job()])[0]
    assert float(jar.lost_o2[-1, 0]) == 0.0


def depth(bag: SealedBag) -> float:
    sealed = seal(bag, Draws(200, 0))
    return float(np.median(np.ravel(sealed.water.depth_cm)))


def test_depth_of_a_bag_follows_volume_and_posture() -> None:
    lying, standing = replace(BAG, posture="lying"), replace(BAG, posture="standing")
    assert depth(lying) < depth(BAG) < depth(standing)
    # Froese: 8 L in a 40 x 30 cm box; Swann: 5.7-7.6 L in a bag 18 inches flat stand some 10 cm
    assert depth(replace(lying, water_l=8.0, gas_l=16.0)) == pytest.approx(6.7, rel=0.05)
    assert depth(replace(standing, water_l=6.6, gas_l=20.0)) == pytest.approx(10.3, rel=0.1)
    assert depth(replace(lying, depth_cm=9.0)) == 9.0


def test_moving_the_bag_brings_oxygen_into_the_water() -> None:
    crowded = replace(BAG, fish_count=120, posture="standing", do_mg_l=7.5)
    by = [end(replace(crowded, motion=how), "do_mg_l") for how in ("still", "carried", "rocked")]
    assert by[0] < by[1] < by[2]


# --- the two oxygens -------------------------------------------------------------


def outlook(bag: SealedBag) -> Any:
    forecast: SealedForecast = forecast_sealed(bag)
    assert forecast.oxygen is not None
    return forecast.oxygen


def test_gas_left_that_does_not_get_into_the_water_says_turn_the_bag() -> None:
    crowded = replace(BAG, fish_count=450, hours=6.0, posture="standing", motion="still")
    found = outlook(crowded)
    assert found.turn_gently and "turn the bag gently" in oxygen(forecast_sealed(crowded))
    assert found.gas_left_share.value > 0.5
    assert found.crossing_share.value < 1.0
    assert found.still_hours.value < found.store_hours.value


def test_an_easy_bag_needs_no_turning() -> None:
    found = outlook(replace(BAG, fish_count=5))
    assert not found.turn_gently and found.crossing_short == "not"
    assert found.crossing_share.low > 1.0


def test_a_bag_without_gas_is_not_told_to_be_turned() -> None:
    found = outlook(replace(BAG, gas_l=0.0, gas="none"))
    assert not found.turn_gently


# --- temperature on the way --------------------------------------------------------


def test_arrival_temperature_bends_the_course_and_leaves_the_way_a_band() -> None:
    told = forecast_sealed(replace(BAG, temperature=TemperaturePath(arrival_c=19.0)))
    course = told.paths["temperature_c"]
    assert course.value[-1] == pytest.approx(19.0, abs=1e-6)
    assert course.low[-1] == pytest.approx(19.0) and course.high[-1] == pytest.approx(19.0)
    assert course.high[0] - course.low[0] > 3.0
    both = forecast_sealed(replace(BAG, temperature=TemperaturePath(start_c=26.0, arrival_c=19.0)))
    assert both.paths["temperature_c"].value[0] == pytest.approx(26.0)
    measured = forecast_sealed(
        replace(BAG, temperature=TemperaturePath()), measured=Measured(temperature_c=19.0)
    )
    assert measured.end["temperature_c"].value == pytest.approx(19.0, abs=0.1)


# --- the water as packed ------------------------------------------------------------


def test_packed_under_oxygen_the_water_holds_more_than_air_gives() -> None:
    gassed, plain = (
        forecast_sealed(replace(BAG, gas=gas)).paths["do_mg_l"] for gas in ("oxygen", "air")
    )
    assert gassed.value[0] > 1.3 * plain.value[0]
    assert gassed.high[0] > 2.5 * plain.value[0]


@pytest.mark.parametrize(("ph", "word"), [(4.5, "ph: 4.5"), (5.5, "ph: 5.5")])
def test_packing_ph_that_water_cannot_have_is_refused_or_questioned(ph: float, word: str) -> None:
    odd = replace(BAG, ph=ph)
    try:
        doubts = forecast_sealed(odd, samples=20).doubts
    except AdvisorError as error:
        assert word in str(error)
        return
    assert doubts and word in doubts[0]


def test_packing_ph_of_three_is_refused() -> None:
    with pytest.raises(AdvisorError, match="ph: 3"):
        forecast_sealed(replace(BAG, ph=3.2), samples=20)
