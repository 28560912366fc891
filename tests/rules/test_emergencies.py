"""Emergencies show at once, marked now, whatever the ranking says."""

from __future__ import annotations

from typing import Any

import pytest

from tests.rules.conftest import SOUND, Judge, ids

#: what is known -> the action that must stand first.
FIRST: list[tuple[dict[str, Any], str]] = [
    ({"electric_fault_suspected": "yes"}, "cut_power"),
    ({"hose_left_running": "yes"}, "shut_the_tap"),
    ({"tangled_in_net": "yes"}, "free_from_net"),
    ({"seen": ("rotten_egg_smell",)}, "leave_the_gravel"),
    ({"seen": ("gasping_at_surface",), "lot": {"group": "barbs"}}, "air_tank"),
    ({"tank": {"do_mg_l": 2.5}}, "air_tank"),
    ({"seen": ("bubbles_under_skin_fins_eyes",)}, "stop_gas_source"),
    ({"tank": {"temperature_c": 36.0}, "lot": {"group": "barbs"}}, "unplug_the_heater"),
    ({"seen": ("rapid_gill_movement",), "other_medicine_in_water": "yes"}, "stop_dosing"),
]


@pytest.mark.parametrize("known, first", FIRST, ids=[name for _, name in FIRST])
def test_it_stands_first_and_now(judge: Judge, known: dict[str, Any], first: str) -> None:
    told = judge(**known)
    assert told.actions[0].id == first
    assert told.actions[0].when == "now"
    assert told.actions[0].emergency


def test_current_in_the_water_keeps_hands_out(judge: Judge) -> None:
    told = judge(
        ("sudden_deaths", "bent_body"), electric_fault_suspected="yes", tank={"tan_mg_l": 5.0}
    )
    assert ids(told)[0] == "cut_power"
    wet = {"test_water_first", "read_thermometer", "keep_water_sample", "change_water_for_ammonia"}
    assert not wet & set(ids(told))
    assert "air_tank" not in ids(told)


def test_fish_in_an_opened_bag_come_out_first(judge: Judge) -> None:
    told = judge(
        ("darting", "signs_within_an_hour_of_opening_bag"),
        hours=2.0,
        lot={"group": "barbs", "sealed": "no", "release_method": "dripped", "hours_sealed": 30},
        bag={"tan_mg_l": 6.0, "ph": 7.6, "temperature_c": 24.5},
        tank={**SOUND, "ph": 8.0},
    )
    assert told.causes[0].id == "ammonia_bag"
    assert told.causes[0].standing == "very_likely"
    assert ids(told)[0] == "net_out_of_open_bag"


def test_a_wide_gap_goes_through_a_tub(judge: Judge) -> None:
    told = judge(
        ("gasping_at_surface", "signs_before_bag_opened"),
        hours=0.2,
        lot={"group": "goldfish_plain", "sealed": "no", "hours_sealed": 30},
        bag={"temperature_c": {"value": 15.0, "kit": "meter"}},
        tank={"temperature_c": {"value": 23.0, "kit": "meter"}},
    )
    shown = ids(told)
    assert shown[0] == "tub_from_open_bag"
    assert "net_out_of_open_bag" not in shown


def test_a_hot_box_does_not_blame_the_heater(judge: Judge) -> None:
    told = judge(
        ("gasping_at_surface", "signs_before_bag_opened"),
        hours=0.2,
        lot={"group": "barbs", "sealed": "yes", "hours_sealed": 20},
        bag={"temperature_c": {"value": 36.0, "kit": "meter"}},
        tank=SOUND,
        box_arrived_hot="yes",
    )
    assert told.causes[0].id == "heat"
    shown = ids(told)
    assert not {"unplug_the_heater", "float_closed", "open_worst_bag_first"} & set(shown)
    assert shown[0] == "out_of_the_heat"


def test_treated_water_calls_for_no_dechlorinator(judge: Judge) -> None:
    told = judge(
        ("hiding",),
        receiving={"supply": "chlorine"},
        water_changed_last_day="yes",
        dechlorinator_used="yes",
        tank={**SOUND, "chlorine_mg_l": {"value": 0.0, "high": 0.02}},
    )
    assert "dechlorinate_now" not in ids(told)


def test_sea_fish_are_given_sea_water(judge: Judge) -> None:
    told = judge(
        ("weak_response", "sunken_belly", "newcomers_only_affected"),
        hours=20.0,
        lot={"group": "marine_small", "count": 10, "released_at_hours": 0.3},
        bag={"salinity_g_kg": {"value": 26.0, "kit": "meter"}},
        tank={**SOUND, "ph": 8.2, "salinity_g_kg": {"value": 35.0, "kit": "meter"}},
        counts={"down": 6, "dead": 0, "normal": 4},
    )
    shown = ids(told)
    assert "match_salinity_in_tub" in shown
    assert not {"match_minerals_in_tub", "give_pure_water_minerals", "leave_alone"} & set(shown)
