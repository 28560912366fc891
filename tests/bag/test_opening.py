"""What the fish meet: order of the methods, moves, limits, measured water."""

from __future__ import annotations

from dataclasses import replace

import pytest

from advisor.bag import (
    OPENING_METHODS,
    Band,
    Measured,
    OpeningResult,
    SealedBag,
    SlowChange,
    TankWater,
    compare_openings,
    forecast_sealed,
)
from advisor.errors import AdvisorError
from advisor.water.ammonia import unionised_ammonia_mg_l

BAG = SealedBag(
    water_l=2.0, gas_l=4.0, fish_count=25, fish_mass_g=1.0, hours=36.0, temperature=22.0,
    fasted_hours=30.0, ph=7.4, alkalinity_mg_l_caco3=120.0, tan_mg_l=0.1, conductivity_us_cm=400.0,
)  # fmt: skip
TANK = TankWater(
    volume_l=150.0, temperature_c=26.0, alkalinity_mg_l_caco3=90.0, ph=7.6, conductivity_us_cm=500.0
)
FORECAST = forecast_sealed(BAG, samples=60)


@pytest.fixture(scope="module")
def results() -> dict[str, OpeningResult]:
    return {result.name: result for result in compare_openings(FORECAST, TANK)}


def test_every_usual_method_is_compared(results: dict[str, OpeningResult]) -> None:
    assert list(results) == [method.name for method in OPENING_METHODS]
    for result in results.values():
        assert result.minutes[0] == 0.0 and result.minutes[-1] == 120.0
        assert "computed" in result.statement and "No controlled trial" in result.statement
        assert {"ph", "nh3_n_mg_l", "co2_mg_l", "do_mg_l", "salinity_g_kg"} <= result.paths.keys()
        assert "conductivity_us_cm" in result.paths


def test_all_begin_in_the_bag(results: dict[str, OpeningResult]) -> None:
    for result in results.values():
        for name, band in FORECAST.end.items():
            assert result.paths[name].value[0] == pytest.approx(band.value, rel=1e-6), name


def test_netting_out_ends_in_the_tank_at_once(results: dict[str, OpeningResult]) -> None:
    netted = results["netted"]
    assert netted.paths["ph"].value[1] == pytest.approx(7.6, abs=1e-6)
    assert netted.paths["temperature_c"].value[1] == 26.0
    assert netted.steepest_temperature_step_c.value == pytest.approx(4.0)
    assert netted.steepest_ph_step.value == pytest.approx(7.6 - FORECAST.end["ph"].value, abs=1e-6)


def test_air_stone_costs_most_ammonia_and_netting_least(results: dict[str, OpeningResult]) -> None:
    """Air drives off CO2, pH and NH3 rise: the published warning against it (bio.net, 1997)."""
    dose = {name: result.nh3_dose_mg_h_l.value for name, result in results.items()}
    assert max(dose, key=lambda name: dose[name]) == "aerated"
    assert min(dose, key=lambda name: dose[name]) == "netted"
    aerated = results["aerated"]
    assert aerated.peak_nh3_n_mg_l.value > 5.0 * FORECAST.end["nh3_n_mg_l"].value
    # alkalinity and TAN alone decide where it ends: PHREEQC agrees (test_phreeqc)
    assert aerated.paths["ph"].value == tuple(sorted(aerated.paths["ph"].value))


def test_nh3_path_is_the_published_share_of_tan(results: dict[str, OpeningResult]) -> None:
    """Emerson (1975) from TAN, pH and temperature; the simulation adds the Davies correction."""
    path = results["aerated"].paths
    for i in (0, 10, 30, -1):
        expected = unionised_ammonia_mg_l(
            path["tan_mg_l"].value[i], path["ph"].value[i], path["temperature_c"].value[i]
        )
        assert path["nh3_n_mg_l"].value[i] == pytest.approx(expected, rel=0.08)
        assert path["nh3_n_mg_l"].value[i] < expected


def test_dripping_and_floating_soften_the_steps(results: dict[str, OpeningResult]) -> None:
    netted, dripped, floated = results["netted"], results["dripped"], results["floated"]
    assert dripped.steepest_ph_step.value < netted.steepest_ph_step.value
    assert floated.steepest_temperature_step_c.value < netted.steepest_temperature_step_c.value
    assert dripped.paths["temperature_c"].value[-1] == 26.0


def test_pouring_takes_the_ammonia_along(results: dict[str, OpeningResult]) -> None:
    poured = results["poured"]
    mixed = FORECAST.end["tan_mg_l"].value * 2.0 / 152.0
    assert poured.paths["tan_mg_l"].value[1] == pytest.approx(mixed, rel=0.02)
    assert results["netted"].paths["tan_mg_l"].value[1] == 0.0


def test_minutes_to_a_limit(results: dict[str, OpeningResult]) -> None:
    aerated = results["aerated"]
    path, end = aerated.paths["nh3_n_mg_l"], aerated.paths["nh3_n_mg_l"].value[-1]
    when = aerated.minutes_to_nh3_limit(0.5 * end)
    assert when.minutes is not None and when.earliest is not None
    before = max(i for i, minute in enumerate(aerated.minutes) if minute <= when.minutes)
    assert path.value[before] <= 0.5 * end <= path.value[before + 1]
    assert when.earliest <= when.minutes
    assert aerated.minutes_to_nh3_limit(0.5 * path.low[0]).passed == "surely"
    assert aerated.minutes_to_nh3_limit(0.5 * path.low[0]).minutes == 0.0
    never = aerated.minutes_to_nh3_limit(500.0)
    assert (never.passed, never.minutes, never.earliest) == ("not", None, None)
    with pytest.raises(AdvisorError, match="limit_mg_l"):
        aerated.minutes_to_nh3_limit(0.0)


def test_slow_change_is_marked_where_it_wins(results: dict[str, OpeningResult]) -> None:
    assert not any(result.slow_change_because for result in results.values())
    limits = SlowChange(salinity_step_g_kg=3.0, conductivity_ratio=2.0)

    def marked(tank: TankWater, slow: SlowChange | None = limits) -> str | None:
        netted = OPENING_METHODS[4:5]
        return compare_openings(FORECAST, tank, netted, slow_change=slow)[0].slow_change_because

    assert marked(TANK) is None
    saltier = replace(TANK, salinity_g_kg=8.0)
    assert "salinity" in (marked(saltier) or "")
    assert "conductivity" in (marked(replace(TANK, conductivity_us_cm=900.0)) or "")
    assert marked(saltier, None) is None, "the limits are the caller's"


def test_readings_alone_are_enough() -> None:
    read = Measured(
        ph=Band(6.4, 6.2, 6.6), tan_mg_l=Band(4.0, 2.0, 8.0), temperature_c=23.0,
        alkalinity_mg_l_caco3=80.0, water_l=1.5, fish_total_g=20.0,
    )  # fmt: skip
    result = compare_openings(read, TANK, OPENING_METHODS[:1], minutes=30.0)[0]
    assert result.paths["ph"].value[0] == pytest.approx(6.4, abs=1e-6)
    tan = result.paths["tan_mg_l"].at(0)
    assert (tan.value, tan.low, tan.high) == pytest.approx((4.0, 2.0, 8.0), rel=0.02)
    assert any(a.name == "open_exchange" for a in result.assumptions)
    with pytest.raises(AdvisorError, match="tan_mg_l: missing"):
        compare_openings(Measured(ph=6.4), TANK)


def test_measured_bag_conditions_the_forecast() -> None:
    read = Measured(ph=Band(6.9, 6.7, 7.1), tan_mg_l=Band(9.0, 7.0, 11.0), temperature_c=21.0)
    told = forecast_sealed(BAG, samples=60, measured=read)
    # alkalinity and packing pH are known exactly: the reading pulls, the fish's CO2 holds
    assert FORECAST.end["ph"].value < told.end["ph"].value < 7.1
    assert 7.0 < told.end["tan_mg_l"].value < 11.0
    assert told.end["temperature_c"] == Band(21.0, 21.0, 21.0)
    verdicts = {d.quantity: d.verdict for d in told.distances}
    assert verdicts["tan_mg_l"] == "above"
    assert all(d.plausible for d in told.distances)
    opened = compare_openings(told, TANK, OPENING_METHODS[:1])[0]
    for name in ("tan_mg_l", "ph", "do_mg_l", "co2_mg_l"):
        assert opened.paths[name].value[0] == pytest.approx(told.end[name].value, rel=1e-5)


def test_comparing_again_gives_the_same(results: dict[str, OpeningResult]) -> None:
    assert tuple(results.values()) == compare_openings(FORECAST, TANK)
    assert len({a.name for a in results["netted"].assumptions}) == len(
        results["netted"].assumptions
    )


def test_late_ph_reading_is_flagged() -> None:
    told = forecast_sealed(BAG, samples=0, measured=Measured(ph=7.0, minutes_after_opening=25.0))
    assert any("25 minutes after opening" in notice for notice in told.notices)


def test_ph_no_alkalinity_can_carry_is_refused() -> None:
    with pytest.raises(AdvisorError, match="higher than an alkalinity"):
        forecast_sealed(BAG, measured=Measured(ph=10.5, alkalinity_mg_l_caco3=5.0))


def test_sea_water_bag() -> None:
    """A marine bag goes acid on the way (white paper: 8.2 to about 6.4 in 40-60 h) and back."""
    from tests.bag.experiments import rule

    told = rule("marine-40h")
    bag = replace(
        BAG, salinity_g_kg=34.0, ph=told["ph_start"], alkalinity_mg_l_caco3=115.0,
        conductivity_us_cm=None, hours=told["hours"][0], fish_count=5, fish_mass_g=5.0,
    )  # fmt: skip
    forecast = forecast_sealed(bag, samples=60)
    assert forecast.end["ph"].low <= told["ph_end"] <= forecast.end["ph"].high
    tank = TankWater(
        volume_l=150.0, temperature_c=25.0, alkalinity_mg_l_caco3=125.0, ph=8.1, salinity_g_kg=34.0
    )
    results = {r.name: r for r in compare_openings(forecast, tank)}
    assert results["netted"].paths["ph"].value[-1] == pytest.approx(8.1, abs=1e-6)
    assert not results["netted"].slow_change_because
    assert results["aerated"].paths["ph"].value[-1] > 7.5


def test_openings_refuse_nonsense() -> None:
    with pytest.raises(AdvisorError, match="minutes"):
        compare_openings(FORECAST, TANK, minutes=1.0)
    with pytest.raises(AdvisorError, match="methods"):
        compare_openings(FORECAST, TANK, ())
