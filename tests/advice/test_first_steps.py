"""First steps that hands found wanting: what each class must come to.

Written from the findings of people who judged plans word for word and from handling practice
(common practice, no source, unless one is named), not read from the rules.
"""

from __future__ import annotations

import re
from typing import Any

import pytest

from advisor.advice.assess import assess
from advisor.advice.results import LotResult
from advisor.ask.hands import first_steps
from advisor.case import Case
from tests.advice.move.test_move import CALM, LIMP, READY, SHUT, SOUND, bag, ids, move, number, told

STEP = {**SOUND, "temperature_c": number(20.0)}
OPENED = {"sealed": "no", "opened_at_hours": 0.1}
RELEASED = {"sealed": "no", "opened_at_hours": 0.1, "released_at_hours": 0.2}
DYING = {"seen": ["sudden_deaths", "loss_of_equilibrium", "rapid_gill_movement"]}


def text(lot: LotResult, action: str) -> str:
    return next(each.text for each in lot.actions if each.id == action)


def shown_as_held(lot: LotResult) -> list[str]:
    return [held.action for held in lot.withheld if not held.moot]


# Lim, Dhert & Sorgeloos 2003: a floated bag closes 4 to 5 °C in half an hour.
def test_a_wide_step_goes_at_one_pace_to_its_end() -> None:
    fish = {**SHUT, "species": "goldfish", "bag_water_l": 6, "bag_gas_l": 12, "gas": "oxygen"}
    lot = told(fish, {**CALM, "bag": bag(8.0), "tank": STEP})
    assert ids(lot)[0] == "bring_it_part_way" and "float" not in lot.actions[0].text.lower()
    hours = lot.actions[0].amounts[0]
    assert (hours.low, hours.high) == pytest.approx(
        (5.0, 10.0), abs=1.0
    )  # 10 °C at 2 and 1 an hour


def test_without_oxygen_for_the_slow_way_a_tub_is_warmed_instead() -> None:
    fish = {**SHUT, "species": "goldfish", "mass_g": 12, "bag_water_l": 4, "bag_gas_l": 8,
            "gas": "oxygen", "hours_sealed": 20}  # fmt: skip
    lot = told(fish, {**CALM, "bag": bag(8.0), "tank": STEP})
    assert {"bring_it_part_way", "tub_at_bag_temperature"} & {*ids(lot)}
    if lot.move is not None and lot.move.hours_left is not None and lot.move.hours_left <= 8:
        assert "tub_at_bag_temperature" in ids(lot) and "bring_it_part_way" not in ids(lot)


@pytest.mark.parametrize("bag_c", [11.0, 20.0])
def test_koi_are_not_floated_among_others(bag_c: float) -> None:
    beside = {**READY, "residents": "yes", "residents_well": "yes"}
    koi = {**SHUT, "species": "koi", "mass_g": 100}
    lot = told(koi, {**CALM, "bag": bag(bag_c), "tank": STEP}, beside)
    assert ids(lot)[0] == "own_vat_for_carp_kinds"
    assert not {"float_closed", "net_straight_over", "bring_it_part_way"} & {*ids(lot)}
    alone = told(koi, {**CALM, "bag": bag(20.0), "tank": STEP})
    assert "own_vat_for_carp_kinds" not in ids(alone)


def test_over_full_of_gas_means_splash_and_no_deep_air() -> None:
    gas = {"total_gas_pressure_pct": number(113.0)}
    bound = told(
        OPENED, {**LIMP, "bag": bag(25.0), "tank": {**SOUND, **gas}}, {**READY, "aerated": "no"}
    )
    assert "degas_tank_before_release" in ids(bound)
    home = told(RELEASED, {"seen": ["gasping_at_surface"], "tank": {**SOUND, **gas}})
    assert "break_surface_coarsely" in ids(home)[:3]
    for lot in (bound, home):
        orders = " ".join(each.text for each in lot.actions)
        assert not re.search(r"airstone or pump on full", orders, re.IGNORECASE)


def test_a_cold_bag_of_long_hours_says_what_else_is_read() -> None:
    calm = told(SHUT, {"seen": ["lying_on_bottom_upright"], "bag": bag(9.0), "tank": SOUND})
    assert {"rewarm_slowly", "read_one_cold_bag"} <= {*ids(calm)}
    assert "ammonia" in text(calm, "read_one_cold_bag")
    look = {"seen": ["lying_on_bottom_upright"], "bag": bag(9.0), "tank": SOUND}
    short = told({**SHUT, "hours_sealed": 3}, look)
    assert "read_one_cold_bag" not in ids(short)


# AVMA Guidelines for the Euthanasia of Animals 2020, S6.
def test_after_a_shock_a_vet_is_asked_about_a_humane_end() -> None:
    look = {"at_hours": 30, "seen": ["spinning_convulsions", "sudden_deaths"],
            "counts": {"normal": 2, "down": 12, "dead": 6}}  # fmt: skip
    lot = told(RELEASED, look, electric_fault_suspected="yes")
    assert ids(lot)[0] == "cut_power"
    assert any("humane" in note.text for note in lot.vet)


def test_whoever_fails_has_a_way_out_among_the_first_three() -> None:
    harms = {
        "co2_dosed": "yes", "formalin_in_water": "yes", "spraying_nearby": "yes",
        "tangled_in_net": "yes",
    }  # fmt: skip
    tank = {**SOUND, "tan_mg_l": number(14.0), "ph": number(9.0), "nitrite_mg_l": number(12.0)}
    lot = told(RELEASED, {"seen": ["gasping_at_surface"], "tank": tank}, **harms)
    assert {"air_tank", "change_water_for_ammonia"} <= {*ids(lot)[:3]}
    assert {"stop_carbon_dioxide", "stop_dosing", "free_from_net"} <= {*ids(lot)}


def test_a_bag_opened_half_a_day_ago_is_no_known_place() -> None:
    look = {"at_hours": 15, "seen": ["weak_response"], "tank": SOUND}
    lot = told(OPENED, look)
    assert ids(lot)[0] == "say_where_they_are" and "net_out_of_open_bag" not in ids(lot)
    spoken = told(OPENED, {**look, "bag": bag(24.0)})
    assert "say_where_they_are" not in ids(spoken)


# SRAC 462: fresh-water kinds; an unknown kind is taken as one in water that is no sea.
def test_nitrite_bars_the_tank_for_a_kind_nobody_named() -> None:
    lot = told(
        {**OPENED, "species": None},
        {
            "seen": ["weak_response"],
            "bag": bag(25.0),
            "tank": {**SOUND, "nitrite_mg_l": number(5.0)},
        },
    )
    assert {each.dimension: each.state for each in lot.fit}["nitrite"] == "not_fit"
    assert "net_out_of_open_bag" not in ids(lot)


# UF/IFAS on fish kills: water is sampled before anything is done to it (from memory).
def test_water_is_sampled_before_it_is_changed() -> None:
    poisoned = told(RELEASED, {"at_hours": 30, **DYING, "tank": SOUND}, formalin_in_water="yes")
    steps = ids(poisoned)
    change = next(
        name for name in steps if name in ("change_water_after_poison", "thin_the_remedy")
    )
    assert steps.index("keep_water_sample") < steps.index(change)
    chlorine = told(
        RELEASED, {"at_hours": 30, **DYING, "tank": {**SOUND, "chlorine_mg_l": number(0.8)}},
        {**READY, "supply": "chlorine"}, untreated_tap_water="yes",
    )  # fmt: skip
    assert text(chlorine, "dechlorinate_now").startswith("Fill one bottle")
    assert "keep_water_sample" not in ids(chlorine)


def test_jumpers_get_a_lid_before_the_first_bag_is_cut() -> None:
    fish = {**SHUT, "species": "silver arowana", "count": 2, "mass_g": 300}
    lot = told(fish, {**CALM, "bag": bag(27.0), "tank": {**SOUND, "temperature_c": number(27.0)}})
    steps = ids(lot)
    assert steps.index("cover_ready_for_jumpers") < steps.index("net_straight_over")
    gasping = told({**RELEASED, "species": "silver arowana"}, {"seen": ["gasping_at_surface"]})
    assert "net_over_the_tank" in ids(gasping) and "cover_the_tank" not in shown_as_held(gasping)


# SRAC 4707: tanks on one water are one unit.
def test_a_shared_system_is_cut_off_from_what_catches() -> None:
    look = {"at_hours": 40, "seen": ["gold_dust", "rapid_gill_movement"], "tank": SOUND}
    shared = told(RELEASED, look, {**READY, "shared_system": "yes"})
    assert "cut_off_from_the_system" in ids(shared)
    assert "cut_off_from_the_system" not in ids(told(RELEASED, look))


# NSW list of notifiable finfish diseases; Queensland: epizootic ulcerative syndrome.
def test_sores_in_australia_name_the_authority() -> None:
    look = {"at_hours": 60, "seen": ["ulcers", "delayed_deaths"],
            "counts": {"normal": 10, "down": 4, "dead": 6}, "tank": SOUND}  # fmt: skip
    case = Case.model_validate(
        {
            "delivery": {"law": "australia"},
            "lot": [{"id": "a", "species": "dwarf gourami", "count": 20, **RELEASED}],
            "observation": [look],
        }
    )
    australia = [note for note in assess(case).lots[0].vet if note.id == "law-australia-sores"]
    assert australia and australia[0].who == "authority"


def test_ranchu_and_goldfish_go_to_the_same_authority() -> None:
    look = {"at_hours": 60, "seen": ["red_streaks", "bloating", "popeye", "delayed_deaths"],
            "counts": {"normal": 10, "down": 4, "dead": 6},
            "tank": {**SOUND, "temperature_c": number(17.0)}}  # fmt: skip
    plain, fancy = (told({**RELEASED, "species": name}, look) for name in ("goldfish", "ranchu"))
    told_whom = [[note.id for note in lot.vet if note.who == "authority"] for lot in (plain, fancy)]
    assert told_whom[0] == told_whom[1] and told_whom[0]


@pytest.mark.parametrize(
    "look",
    [
        {"at_hours": 20, "seen": ["refusing_food"], "tank": SOUND},
        {"at_hours": 3, "seen": ["gasping_at_surface"], "tank": SOUND},
        {
            "at_hours": 30,
            "seen": ["lying_on_side"],
            "tank": {**SOUND, "temperature_c": number(9.0)},
        },
        {
            "at_hours": 30,
            "seen": ["red_streaks", "popeye"],
            "tank": {**SOUND, "temperature_c": number(34.0)},
        },
    ],
)
def test_nothing_is_held_that_nobody_would_do(look: dict[str, Any]) -> None:
    lot = told({**RELEASED, "species": "koi"}, look)
    texts = [held.text for held in lot.withheld if not held.moot]
    assert not [each for each in texts if re.match(r"(No|Do not|Nobody|Never|Leave the) ", each)]
    assert "first_small_meal" not in shown_as_held(lot)


def test_a_third_lost_and_fish_failing_bring_a_vet() -> None:
    look = {
        "seen": ["lying_on_side"],
        "counts": {"normal": 10, "down": 4, "dead": 6},
        "tank": SOUND,
    }
    lot = told(RELEASED, look)
    assert any(re.match("call a vet now", note.text, re.IGNORECASE) for note in lot.vet)


def test_moves_hold_their_name() -> None:
    lot = told({**SHUT, "species": "goldfish"}, {**CALM, "bag": bag(8.0), "tank": STEP})
    assert move(lot) == "tub_part_way"


# From here on: two blind judges over 57 deliveries, 2026-11-27.
def test_a_trace_of_nitrite_holds_no_tub_into_which_they_are_cupped() -> None:
    burned = {**SOUND, "tan_mg_l": number(4.0, "drops"), "ph": number(7.6),
              "nitrite_mg_l": number(0.2, "drops")}  # fmt: skip
    lot = told(RELEASED, {"at_hours": 8, "seen": ["spinning_convulsions"], "tank": burned})
    assert "clean_tub_if_no_change" in ids(lot)[:4]
    assert "clean_tub_if_no_change" not in [held.action for held in lot.withheld]


@pytest.mark.parametrize("species", ["rosy barb", "tiger barb", "clown loach", "goldfish"])
def test_white_spot_leads_to_a_vet_whether_or_not_the_kind_bears_warmth(species: str) -> None:
    spots = {"seen": ["white_spots", "flashing_rubbing", "signs_after_first_day"],
             "at_hours": 150, "tank": {**SOUND, "temperature_c": number(22.0)}}  # fmt: skip
    lot = told({**RELEASED, "species": species}, spots)
    assert lot.causes[0].id == "white_spot"
    asks = [each for each in lot.actions if "vet" in each.text and "remedy" in each.text]
    assert asks and asks[0].id in ids(lot)[:6]
    assert "warm" not in asks[0].text.lower()  # a line of its own


def test_a_shut_bag_says_when_it_ends_and_a_crowded_one_keeps_shorter() -> None:
    ill = {**READY, "residents": "yes", "residents_well": "no"}
    look = {**CALM, "bag": bag(25.0), "tank": SOUND}
    fish = {**SHUT, "bags": 1, "bag_water_l": 4, "bag_gas_l": 8, "gas": "oxygen"}
    thin, full = (told({**fish, "count": count}, look, ill) for count in (20, 50))
    for lot in (thin, full):
        assert ids(lot)[0] == "keep_shut" and "make_do_tub" in ids(lot)[:3]
        assert re.search(r"until .*(tub|tank).* over at once", lot.actions[0].text)
    hours = [lot.actions[0].amounts[0].value for lot in (thin, full)]
    assert hours[1] < hours[0] < 12 and hours[1] < 6


def test_a_crowded_cold_bag_long_on_the_way_goes_into_a_tub_to_be_warmed() -> None:
    fish = {**SHUT, "species": "goldfish", "count": 100, "mass_g": 8, "bags": 4, "bag_water_l": 6,
            "bag_gas_l": 10, "gas": "oxygen", "hours_sealed": 30}  # fmt: skip
    lot = told(fish, {**CALM, "bag": bag(8.0), "tank": STEP})
    assert ids(lot)[0] == "tub_at_bag_temperature" and "bring_it_part_way" not in ids(lot)


def test_the_screen_keeps_the_order_of_the_plan() -> None:
    look = {"at_hours": 30, "seen": ["sudden_deaths", "lying_on_side", "spinning_convulsions"],
            "counts": {"normal": 2, "down": 10, "dead": 8}, "tank": SOUND}  # fmt: skip
    lot = told(RELEASED, look, spraying_nearby="yes")
    plan, shown = ids(lot), [step.id for step in first_steps(lot)]
    assert "keep_water_sample" in shown and "change_water_after_poison" in plan
    assert shown == plan[: len(shown)]
    assert plan.index("keep_water_sample") < plan.index("change_water_after_poison")


def test_so_much_salt_goes_into_buckets() -> None:
    brown = {**SOUND, "nitrite_mg_l": number(6.0)}
    history = {"salt_in_water": "no", "zeolite_in_filter": "no"}
    look = {"at_hours": 150, "seen": ["brown_gills"], "tank": brown}
    lot = told(RELEASED, look, {**READY, "volume_l": 20000}, **history)
    assert "jug" not in text(lot, "salt_against_nitrite")


def test_warming_by_half_days_and_no_step_over_a_degree_a_day_are_not_both_asked() -> None:
    spots = {"seen": ["white_spots", "flashing_rubbing", "signs_after_first_day"],
             "at_hours": 150, "tank": {**SOUND, "temperature_c": number(24.0)}}  # fmt: skip
    lot = told({**RELEASED, "species": "clown loach"}, spots)
    assert "warm_for_white_spot" in ids(lot) and "hold_at_own_temperature" not in ids(lot)


def test_days_in_a_tub_have_tests_and_changes_and_fighters_for_room_are_parted() -> None:
    sea = {**SOUND, "ph": number(8.2), "salinity_g_kg": number(35.0)}
    fish = {**SHUT, "species": "emperor angelfish", "count": 4, "mass_g": 40, "bags": 4}
    lot = told(fish, {**CALM, "bag": bag(25.0, salinity_g_kg=number(27.0)), "tank": sea})
    assert ids(lot)[0] == "tub_like_the_bag"
    assert {"days_in_the_tub", "part_the_territorial_in_the_tub"} <= {*ids(lot)}
    assert "prepare_before_opening" not in ids(lot)  # the tub's step has opened the bag


def test_what_was_told_of_the_air_is_not_asked() -> None:
    drip = {**SHUT, "species": "cherry shrimp"}
    lot = told(drip, {**CALM, "bag": bag(25.0), "tank": SOUND})
    assert not any("is it aired" in each.text for each in lot.actions)
    assert "settle_whether_it_is_aired" not in ids(lot)


def test_fish_that_gasp_on_a_disinfected_supply_have_its_chlorine_tested() -> None:
    look = {"at_hours": 50, "seen": ["brown_gills", "gasping_at_surface"], "tank": SOUND}
    lot = told(RELEASED, look, {**READY, "supply": "chloramine"})
    assert "test_tap_and_tank_for_chlorine" in ids(lot)


def test_three_things_to_shut_off_do_not_make_the_way_out_late() -> None:
    harms = {"hose_left_running": "yes", "filter_stopped": "yes", "water_feels_hot": "yes",
             "co2_dosed": "yes"}  # fmt: skip
    tank = {**SOUND, "chlorine_mg_l": number(1.0), "temperature_c": number(33.0)}
    look = {"seen": ["lying_on_side", "rotten_egg_smell"], "tank": tank}
    lot = told(RELEASED, look, {**READY, "supply": "chlorine"}, **harms)
    stops = {"stop_the_foul_filter", "unplug_the_heater", "shut_the_tap", "stop_carbon_dioxide"}
    assert stops <= {*ids(lot)}
    assert not {*ids(lot)[:3]} <= stops


# Thiosulfate given for nothing harms no fish (common practice, no source).
def test_chlorine_that_lively_fish_gainsay_is_bound_all_the_same() -> None:
    look = {**CALM, "tank": {**SOUND, "chlorine_mg_l": number(1.0)}}
    lot = told(RELEASED, look, {**READY, "supply": "chlorine"})
    assert {"read_chlorine_again", "dechlorinate_now"} <= {*ids(lot)}


# Emerson et al. 1975: 0.7 of a pH unit is five times the un-ionised share.
def test_far_higher_tap_water_does_not_thin_nitrite_over_ammonia() -> None:
    tank = {**SOUND, "ph": number(6.8), "tan_mg_l": number(6.0), "nitrite_mg_l": number(4.0)}
    look = {"seen": ["brown_gills"], "tank": tank, "tap": {"ph": number(8.2)}}
    lot = told({**RELEASED, "species": "goldfish"}, look)
    assert "change_water_for_nitrite" not in ids(lot)
    assert "salt_with_the_zeolite_out" in ids(lot)  # chloride keeps nitrite out: SRAC 462
    near = told({**RELEASED, "species": "goldfish"}, {**look, "tap": {"ph": number(7.0)}})
    assert "change_water_for_nitrite" in ids(near)
