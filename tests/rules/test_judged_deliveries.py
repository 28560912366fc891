"""Classes of deliveries in which a judge of the printed advice found a line untrue or out of place.

The judge read the advice alone. What is expected is common practice of fish rooms (no source)
unless a source is named.
"""

from __future__ import annotations

from typing import Any

import pytest

from advisor.advice.results import LotResult
from advisor.ask.hands import view
from advisor.rulebase import RuleBase

from .conftest import SOUND, Judge, ids

IN_TANK = {"released_at_hours": 0, "sealed": "no"}
SHUT = {"sealed": "yes", "bag_gas_l": 4.0, "gas": "oxygen"}


def held(lot: LotResult) -> dict[str, str]:
    return {each.action: each.because for each in lot.withheld if not each.moot}


def place(lot: LotResult, step: str) -> int:
    return ids(lot).index(step) if step in ids(lot) else 99


@pytest.mark.parametrize(
    ("bags", "apart"), [({"bags": 20}, True), ({}, True), ({"bags": 2}, False)]
)
def test_fighters_are_parted_only_where_they_may_have_come_singly(
    judge: Judge, bags: dict[str, int], apart: bool
) -> None:
    fish = {"species": "paradise fish", "count": 20, "mass_g": 3, "bag_water_l": 2.0}
    lot = judge(
        ("swimming_normally",),
        hours=0.2,
        lot={**SHUT, **fish, **bags},
        bag={"temperature_c": 16.5},
        tank={**SOUND, "temperature_c": 20.0},
        receiving={"volume_l": 2000, "filter": "mature", "aerated": "yes", "residents": "no"},
    )
    assert ("fighters_apart" in ids(lot)) is apart
    assert ("float_closed" in ids(lot)) is not apart
    assert "Packed singly" not in " ".join(each.because for each in lot.actions)


def test_released_koi_are_left_alone_and_nobody_is_netted_out(judge: Judge) -> None:
    # Netting and handling are themselves a severe stressor: Portz, Woodley and Cech 2006.
    lot = judge(
        ("weak_response", "lying_on_bottom_upright"),
        ("gasping_at_surface", "rapid_gill_movement"),
        hours=3,
        lot={"species": "koi", "count": 20, **IN_TANK},
        tank=SOUND,
        receiving={"volume_l": 5000, "residents": "yes", "residents_well": "yes"},
        carp_mixed_lately="yes",
    )
    assert place(lot, "leave_alone") < place(lot, "carp_kinds_shut_their_tank") < 99
    assert "carp_kinds_keep_their_own_water" not in ids(lot)


def _before_a_cold_tank(judge: Judge, **history: str) -> LotResult:
    fish = {"species": "ram cichlid", "count": 20, "mass_g": 1.5, "bags": 2, "bag_water_l": 2.0}
    return judge(
        ("swimming_normally",),
        hours=0.2,
        lot={**SHUT, **fish},
        bag={"temperature_c": 25.0},
        tank={**SOUND, "temperature_c": 14.0},
        receiving={"volume_l": 200, "filter": "mature", "aerated": "yes"},
        transit={"hours_sealed": 28.0},
        **history,
    )


def test_shut_bags_before_a_tank_too_cold_have_a_way_out(judge: Judge) -> None:
    assert place(_before_a_cold_tank(judge), "tub_ready_beside_shut_bags") <= 2
    none = _before_a_cold_tank(judge, no_other_tank="yes")
    assert "tub_ready_beside_shut_bags" not in ids(none)


@pytest.mark.parametrize(("species", "salted"), [("tiger barb", True), ("corydoras", False)])
def test_salt_that_is_harmless_on_top_of_what_is_unread_is_not_held(
    judge: Judge, species: str, salted: bool
) -> None:
    # Durborow et al. 1997, SRAC 462: ten parts of chloride to one of nitrite.
    lot = judge(
        ("brown_gills", "gasping_at_surface"),
        hours=210,
        lot={"species": species, "count": 30, "mass_g": 2, **IN_TANK},
        tank={**SOUND, "nitrite_mg_l": 4.0},
        receiving={"volume_l": 300, "filter": "new"},
        salt_in_water="yes",
        zeolite_in_filter="no",
    )
    assert ("salt_against_nitrite" in ids(lot)) is salted
    assert ("salt_against_nitrite" in held(lot)) is not salted
    if not salted:  # what the rescue waits for is read first
        assert lot.measure_next[0].name in ("tank_salinity_g_kg", "tank_chloride_mg_l")


@pytest.mark.parametrize(("volume", "crowded"), [(10, True), (1000, False)])
def test_bags_that_crowd_the_tank_are_floated_a_few_at_a_time(
    judge: Judge, volume: int, crowded: bool
) -> None:
    fish = {"species": "guppy", "count": 50, "mass_g": 1, "bags": 50, "bag_water_l": 0.15}
    lot = judge(
        ("swimming_normally",),
        hours=0.2,
        lot={**fish, "sealed": "yes", "bag_gas_l": 0.2, "gas": "oxygen"},
        bag={"temperature_c": 22.0},
        tank={**SOUND, "temperature_c": 25.5},
        receiving={"volume_l": volume, "filter": "mature", "aerated": "yes", "residents": "no"},
    )
    assert ("float_few_at_a_time" in ids(lot)) is crowded
    assert ("float_closed" in ids(lot)) is not crowded
    afloat = next(each for each in lot.actions if each.id.startswith("float_")).amounts[0]
    assert "0.15 L" in afloat.working and "size not given" not in afloat.working


def test_the_heading_says_what_is_certain_while_the_cause_is_not(judge: Judge) -> None:
    lot = judge(
        ("gasping_at_surface", "rapid_gill_movement", "signs_before_bag_opened"),
        hours=0.1,
        lot={"species": "golden orfe", "count": 20, "bags": 2, "sealed": "yes"},
        bag={"temperature_c": 26.0},
    )
    assert lot.not_enough
    assert view(lot).startswith("fish failing in the shut bag")


def test_no_reading_is_asked_for_that_is_given(judge: Judge) -> None:
    lot = judge(
        hours=0.3,
        lot={"species": "cleaner shrimp", "count": 10, "sealed": "no", "opened_at_hours": 0.1},
        bag={"temperature_c": 23.0, "salinity_g_kg": 36.0, "ph": 7.6},
        tank={**SOUND, "salinity_g_kg": 33.0},
    )
    assert "read_tank_before_release" not in ids(lot)
    assert "settle_what_is_open_of_the_tank" in ids(lot)


def test_ammonia_beside_a_binder_is_read_again(judge: Judge) -> None:
    lot = judge(
        ("swimming_normally", "eating"),
        hours=30,
        lot={"species": "platy", "count": 30, **IN_TANK},
        tank={**SOUND, "tan_mg_l": 4.0, "ph": 7.6},
        ammonia_binder_in_water="yes",
    )
    assert {"ammonia_again_after_binder", "read_water_test_again"} & set(ids(lot))


def test_little_oxygen_beside_much_gas_is_read_again_after_the_gas_is_stopped(
    judge: Judge,
) -> None:
    # Dalton: at 112 % total pressure and 32 % of oxygen, nitrogen would stand at about 134 %.
    lot = judge(
        ("gasping_at_surface", "bubbles_under_skin_fins_eyes", "fine_bubbles_on_glass"),
        hours=40,
        lot={"species": "goldfish", "count": 20, **IN_TANK},
        tank={**SOUND, "do_mg_l": 3.0, "total_gas_pressure_pct": 112.0},
        pump_sucks_air="yes",
    )
    assert 0 < place(lot, "read_oxygen_again") < 5


def test_no_reason_denies_a_sign_that_was_seen(base: RuleBase) -> None:
    forbidden = base.actions["change_water_for_ammonia"].forbidden
    assert not any("nobody saw" in each.because for each in forbidden)


def test_a_clean_tub_is_not_held_for_the_binders_reason(judge: Judge) -> None:
    lot = judge(
        ("lying_on_side", "weak_response"),
        hours=1,
        lot={"species": "angelfish", "count": 30, "mass_g": 4, **IN_TANK},
        tank={**SOUND, "tan_mg_l": 3.0, "ph": 7.8, "temperature_c": 26.0},
    )
    assert "clean_tub_if_no_change" in ids(lot)
    assert not any("tub" in each.text for each in lot.withheld if "binder" in each.because)


@pytest.mark.parametrize(
    ("said", "step"),
    [
        ({"hose_left_running": "yes"}, "shut_the_tap"),
        ({}, "shut_the_tap_if_it_runs"),
        ({"hose_left_running": "no"}, None),
    ],
)
def test_a_hose_is_spoken_of_only_where_one_runs(
    judge: Judge, said: dict[str, Any], step: str | None
) -> None:
    lot = judge(
        ("gasping_at_surface", "darting", "signs_within_hours_of_water_change"),
        hours=30,
        lot={"species": "guppy", "count": 15, **IN_TANK},
        receiving={"volume_l": 200, "supply": "chlorine"},
        untreated_tap_water="yes",
        dechlorinator_used="no",
        **said,
    )
    taps = [each for each in ids(lot) if each.startswith("shut_the_tap")]
    assert taps == ([step] if step else [])


def test_a_step_that_forbids_is_never_itself_held_back(judge: Judge) -> None:
    # "Do not do: do not drip" tells a reader in haste to drip.
    lot = judge(
        hours=0.2,
        lot={"species": "emperor angelfish", "count": 4, "bags": 4, "bag_water_l": 5.0, **SHUT},
        bag={"temperature_c": 25.0, "salinity_g_kg": 26.0},
        tank={**SOUND, "salinity_g_kg": 34.0},
        transit={"hours_sealed": 34.0},
    )
    assert not [each.text for each in lot.withheld if each.text.startswith("Do not")]


def test_the_bag_of_fish_released_long_ago_is_not_asked_for(judge: Judge) -> None:
    lot = judge(
        ("gasping_at_surface",),
        hours=8,
        lot={"species": "guppy", "count": 20, "bags": 2, "bag_water_l": 3.0, **IN_TANK},
        transit={"hours_sealed": 30.0},
    )
    assert lot.measure_next
    assert not [each.name for each in lot.measure_next if each.name.startswith("bag_")]
