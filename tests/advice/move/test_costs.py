"""What each way of opening costs, and which costs least, on computed waters made for each test.

Sums are worked by hand; the limits are round numbers of the test, not those of the rules.
"""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from advisor.advice.move.cost_of_ways import (
    SLOW_ACTIONS,
    cheapest_way,
    gap_at_move,
    slow_change,
    slow_limits,
)
from advisor.bag.banded import Band

LIMITS = {
    "nh3_gill": 0.04, "ph_step_large": 1.0, "act_temperature_gap": 3.0, "act_bag_tan": 5.0,
    "conductivity_doubled": 2.0, "conductivity_halved": 0.5, "hardness_step_slow": 150.0,
    "hardness_step_slow_down": -100.0, "salinity_step_slow": 4.0, "salinity_step_slow_down": -2.0,
}  # fmt: skip


def rules(**actions: str) -> Any:
    from advisor.advice.facts.forecast import GILL_LIMIT

    values = {**LIMITS, GILL_LIMIT: LIMITS["nh3_gill"]}
    return SimpleNamespace(
        limits={name: SimpleNamespace(value=value) for name, value in values.items()},
        actions={n: SimpleNamespace(text=f"do {n}", because=t) for n, t in actions.items()},
    )


def opening(
    name: str, kind: str = "netted", stays: float | None = 0.0, *, dose: float = 1.0,
    peak: float = 0.02, ph: float = 0.5, bag_c: tuple[float, ...] = (20.0, 22.0, 25.0),
    start_nh3: float = 0.01, tan_high: float = 1.0, told: str | None = None,
) -> Any:  # fmt: skip
    """A way computed at 0, 10 and 20 minutes: peak NH3, pH step, dose, warmth met."""
    return SimpleNamespace(
        name=name, nh3_dose_mg_h_l=Band(dose, dose, dose), peak_nh3_n_mg_l=Band(peak, peak, peak),
        steepest_ph_step=Band(ph, ph, ph), minutes=(0.0, 10.0, 20.0), slow_change_because=told,
        samples=SimpleNamespace(method=SimpleNamespace(kind=kind, in_bag_min=stays)),
        paths={
            "nh3_n_mg_l": SimpleNamespace(value=(start_nh3, 1.0)),
            "tan_mg_l": SimpleNamespace(high=(tan_high, 0.0)),
            "temperature_c": SimpleNamespace(value=bag_c),
        },
    )  # fmt: skip


def best(*openings: Any, oxygen_hours: float | None = None) -> Any:
    left = None if oxygen_hours is None else Band(oxygen_hours, 0.0, 99.0)
    return cheapest_way(openings, rules(), left)


def test_strains_are_measures_over_their_limits() -> None:
    (cost,) = best(opening("netted", peak=0.03, ph=0.25)).costs
    assert cost.strains == pytest.approx({"nh3": 0.75, "ph": 0.25, "temperature": 2.0 / 3.0})
    assert (cost.name, cost.moves, cost.barred) == ("netted", True, None)


def test_of_the_ways_within_limits_the_least_dose_is_taken() -> None:
    found = best(
        opening("a", dose=0.5), opening("b", dose=0.2, ph=1.0), opening("c", dose=0.1, ph=1.01)
    )
    assert found.name == "b"
    assert found.because == (
        "least ammonia of the ways that keep un-ionised ammonia, pH step and temperature gap "
        "in limits"
    )
    assert best(opening("a", dose=0.5), opening("b", dose=0.2, peak=0.041)).name == "a"
    assert best(opening("a", dose=0.5), opening("b", dose=0.2, bag_c=(20.0, 23.1, 25))).name == "a"


def test_where_no_way_keeps_all_the_least_worst_strain_is_taken_and_named() -> None:
    found = best(opening("a", ph=1.6, dose=0.1), opening("b", ph=1.3, peak=0.06, dose=9.0))
    assert found.name == "b"
    assert found.because == (
        "no way keeps every limit; this one passes them least (un-ionised ammonia 1.5 times its "
        "limit)"
    )
    alike = opening("a", ph=1.5, dose=0.3), opening("b", ph=1.52, peak=0.001, dose=0.2)
    assert best(*alike).name == "b", "to a tenth; then the sum of strains"
    same = opening("a", ph=1.5, dose=0.3), opening("b", ph=1.52, dose=0.2)
    assert best(*same).name == "b", "to a tenth they are alike; then the dose"


def test_ammonia_over_its_limit_already_is_no_measure_of_the_ways() -> None:
    over = opening("a", peak=0.09, dose=0.5, start_nh3=0.041), opening("b", peak=0.05, dose=0.6)
    found = best(*over)
    assert (found.name, found.because) == (
        "a",
        "least ammonia of the ways that keep pH step and temperature gap in limits; ammonia is "
        "over its limit in the shut bag already",
    )
    at = opening("a", peak=0.09, dose=0.5, start_nh3=0.04), opening("b", peak=0.03, dose=0.6)
    assert best(*at).name == "b", "at the limit is not over it"


def test_what_does_not_move_them_or_is_barred_is_not_chosen() -> None:
    left_open = opening("left", "left_open", None, dose=0.0)
    assert best(left_open) is None
    found = best(left_open, opening("poured", dose=0.0), opening("netted"))
    assert found.name == "netted"
    assert {c.name: (c.moves, c.barred) for c in found.costs} == {
        "left": (False, None), "poured": (True, "bag water stays out of the tank"),
        "netted": (True, None),
    }  # fmt: skip
    assert found.costs[0].strains["temperature"] == 0.0, "who stays meets no gap"


def test_no_dripping_into_a_bag_with_ammonia_waiting() -> None:
    dripped = opening("dripped", "dripped", 10.0, dose=0.1, tan_high=5.0)
    found = best(dripped, opening("netted"))
    assert (found.name, found.costs[0].barred) == (
        "netted", "the rules drip into no bag with ammonia waiting in it",
    )  # fmt: skip
    fresh = opening("dripped", "dripped", 10.0, dose=0.1, tan_high=4.9)
    assert best(fresh, opening("netted")).name == "dripped"
    assert best(opening("netted", dose=0.1, tan_high=9.0), fresh).costs[0].barred is None


@pytest.mark.parametrize(
    ("bag_c", "oxygen_hours", "stays", "barred"),
    [
        ((20.0, 24.0, 25.0), None, 20.0, None),
        ((20.0, 24.0, 25.0), 0.34, 20.0, None),  # 20.4 min
        ((20.0, 24.0, 25.0), 0.32, 20.0, "the oxygen in the shut bag lasts about 19 min only"),
        ((22.0, 24.0, 25.0), None, 20.0, "bag and tank are within 3 °C already"),
        ((28.0, 26.0, 25.0), 9.0, 20.0, "bag and tank are within 3 °C already"),
        ((21.9, 24.0, 25.0), None, 20.0, None),
        ((25.0, 25.0, 25.0), None, 0.0, None),  # not floated at all
    ],
)
def test_floating_is_barred_without_need_or_without_oxygen(
    bag_c: tuple[float, ...], oxygen_hours: float | None, stays: float, barred: str | None
) -> None:
    floated = opening("floated", "floated", stays, bag_c=bag_c)
    (cost,) = [
        each
        for each in best(floated, opening("netted"), oxygen_hours=oxygen_hours).costs
        if each.name == "floated"
    ]
    assert cost.barred == barred


def test_who_floats_until_the_thermometer_says_so_meets_no_more_than_the_limit() -> None:
    floated = opening("floated", "floated", 0.0, bag_c=(10.0, 24.0, 25.0))
    netted = opening("netted", bag_c=(10.0, 24.0, 25.0))
    costs = {cost.name: cost.strains["temperature"] for cost in best(floated, netted).costs}
    assert costs == pytest.approx({"floated": 1.0, "netted": 14.0 / 3.0})


@pytest.mark.parametrize(
    ("stays", "gap"),
    [(None, 0.0), (0.0, 2.0), (9.9, 2.0), (10.0, 3.0), (15.0, 3.0), (20.0, 0.0)],
)
def test_the_gap_is_that_between_the_last_minute_before_and_the_first_after(
    stays: float | None, gap: float
) -> None:
    assert gap_at_move(opening("a", stays=stays)) == pytest.approx(gap)
    assert gap_at_move(opening("a", stays=stays, bag_c=(25.0, 23.0, 20.0))) == pytest.approx(gap)


# -- where slow change wins -------------------------------------------------------------

SLOW = {SLOW_ACTIONS["invertebrate"]: "they cannot pump", SLOW_ACTIONS["minerals"]: "cells swell"}
SHRIMP: Any = SimpleNamespace(traits={"invertebrate": True})
FISH: Any = SimpleNamespace(traits={})


def sheet(**steps: tuple[float, float, float]) -> Any:
    records = {
        name: SimpleNamespace(number=number, band=(low, high))
        for name, (number, low, high) in steps.items()
    }
    return SimpleNamespace(quantity=records.get)


def slow(kind: Any = FISH, facts: Any = None, told: str | None = None, **actions: str) -> Any:
    base = rules(**(actions or SLOW))
    return slow_change(kind, (opening("a"), opening("b", told=told)), facts, base)


def test_invertebrates_are_dripped_whatever_the_water() -> None:
    assert slow(SHRIMP) == ("do drip_invertebrates", "they cannot pump")
    assert slow(SHRIMP, none_of_these="x") is None
    assert slow(FISH) is None and slow(None) is None


def test_what_the_computed_ways_say_comes_before_the_readings() -> None:
    large = sheet(salinity_step_g_kg=(9.0, 8.0, 10.0))
    assert slow(facts=large, told="salt is far apart").because == "salt is far apart. cells swell"
    assert slow(told="salt is far apart").text == "do drip_large_osmotic_step"
    assert slow(told="salt is far apart", none_of_these="x") is None


@pytest.mark.parametrize(
    ("name", "step", "words"),
    [
        ("salinity_step_g_kg", (5.0, 4.0, 6.0), "salinity steps by +5.0 g/kg"),
        ("salinity_step_g_kg", (5.0, 3.9, 6.0), None),  # not surely
        ("salinity_step_g_kg", (-3.0, -4.0, -2.0), "salinity steps by -3.0 g/kg"),
        ("salinity_step_g_kg", (-3.0, -4.0, -1.9), None),
        ("hardness_step_mg_l_caco3", (200.0, 150.0, 250.0), "hardness steps by +200.0 mg/L"),
        ("conductivity_ratio", (2.5, 2.0, 3.0), "the tank's conductivity is 2.5 times the bag's"),
        ("conductivity_ratio", (0.4, 0.3, 0.5), "the tank's conductivity is 0.4 times the bag's"),
        ("conductivity_ratio", (1.0, 0.6, 1.9), None),
    ],
)
def test_a_step_in_minerals_counts_when_it_is_sure(
    name: str, step: tuple[float, float, float], words: str | None
) -> None:
    found = slow(facts=sheet(**{name: step}))
    assert (found is None) is (words is None)
    if words is not None:
        said = found.because.replace("\u2212", "-")
        assert said.startswith(words) and said.endswith(". cells swell")


def test_the_first_step_that_is_large_is_said() -> None:
    both = sheet(salinity_step_g_kg=(9.0, 8.0, 10.0), conductivity_ratio=(1.0, 0.9, 1.1))
    assert slow(facts=both).because.startswith("salinity steps")
    limits = slow_limits(rules())
    assert (limits.salinity_step_g_kg, limits.conductivity_ratio) == (4.0, 2.0)
