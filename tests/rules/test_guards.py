"""Guards against closing the search too soon."""

from __future__ import annotations

import pytest

from tests.rules.conftest import SOUND, Judge, decibans, ids, standing

KOI = {"group": "koi_carp", "count": 12, "released_at_hours": 0.0}


def notices(result: object) -> set[str]:
    return {notice.id for notice in result.notices}  # type: ignore[attr-defined]


def test_one_parasite_found_does_not_lift_the_koi_report(judge: Judge) -> None:
    koi = judge(
        ("gasping_at_surface", "flared_gill_covers", "signs_after_first_day"),
        hours=16 * 24,
        lot={**KOI, "history": {"scrape_done": "parasite_found", "scrape_parasite": "costia"}},
        tank={"temperature_c": 22.0},
        carp_mixed_lately="yes",
    )
    assert "koi_herpesvirus" in [c.id for c in koi.causes[:3]]
    assert ids(koi)[0] == "stop_movement"
    assert "report_suspicion" in ids(koi)
    assert {"one-parasite-is-not-the-end", "carp-report-whatever-the-scrape"} <= notices(koi)


@pytest.mark.parametrize("temperature", [16.0, 22.0, 27.5])
@pytest.mark.parametrize("scrape", ["parasite_found", "clean", "not_done"])
def test_mixed_and_dying_koi_stop_all_movement(
    judge: Judge, temperature: float, scrape: str
) -> None:
    koi = judge(
        ("delayed_deaths", "rapid_gill_movement"),
        hours=200,
        lot={**KOI, "history": {"scrape_done": scrape}},
        tank={"temperature_c": temperature},
        carp_mixed_lately="yes",
    )
    assert ids(koi)[0] == "stop_movement"
    assert not {"warm_for_white_spot", "less_crowding", "isolate_the_sick"} & set(ids(koi))


def test_a_parasite_found_leaves_the_water_in_the_ranking(judge: Judge) -> None:
    told = judge(
        ("gasping_at_surface", "brown_gills"),
        hours=150,
        lot={
            "group": "barbs",
            "history": {"scrape_done": "parasite_found", "scrape_parasite": "flukes"},
        },
        tank={"nitrite_mg_l": 1.5, "do_mg_l": 7.5},
    )
    assert {"flukes", "nitrite"} <= {c.id for c in told.causes[:2]}
    assert "change_water_for_nitrite" in ids(told)


def test_a_used_conditioner_does_not_clear_chlorine(judge: Judge) -> None:
    seen = ("gasping_at_surface", "sudden_deaths", "signs_within_hours_of_water_change")
    burned = {"hours": 8.0, "lot": {"group": "barbs"}, "water_changed_last_day": "yes"}
    used = judge(seen, **burned, dechlorinator_used="yes")
    assert used.causes[0].id == "chlorine"
    assert "conditioner-used-is-not-proof" in notices(used)
    unknown = judge(seen, **burned)
    assert 0 < decibans(unknown, "chlorine") - decibans(used, "chlorine") <= 10


def test_tested_fine_is_not_a_test(judge: Judge) -> None:
    seen = ("lying_on_bottom_upright", "pale_body_colour_loss")
    plain = judge(seen, lot={"group": "barbs"})
    fine = judge(seen, lot={"group": "barbs"}, tested_fine_without_number="yes")
    assert [c.decibans for c in fine.causes] == [c.decibans for c in plain.causes]
    assert "fine-without-a-number" in notices(fine)
    assert fine.measure_next


def test_called_cycled_is_not_a_nitrite_reading(judge: Judge) -> None:
    told = judge(
        ("gasping_at_surface",),
        hours=200,
        receiving={"filter": "part"},
        called_cycled_without_number="yes",
    )
    assert "cycled-without-a-number" in notices(told)
    assert standing(told, "nitrite") != "unlikely"


def test_a_dying_newcomer_does_not_clear_the_tank(judge: Judge) -> None:
    told = judge(
        ("newcomers_only_affected", "weak_response", "sudden_deaths"),
        hours=30,
        receiving={"filter": "mature", "residents": "yes", "residents_well": "yes"},
    )
    assert "newcomer-dying-proves-nothing" in notices(told)
    assert standing(told, "old_tank_acid") != "unlikely"


def test_fish_from_a_cold_bag_are_not_counted_dead(judge: Judge) -> None:
    cold = judge(
        ("unresponsive", "lying_on_side"),
        hours=0.3,
        lot={"group": "softwater_tetras", "count": 50, "sealed": "no", "dead_on_arrival": 10},
        bag={"temperature_c": {"value": 14.0, "kit": "meter"}},
        tank=SOUND,
        box_arrived_cold="yes",
    )
    shown = ids(cold)
    assert shown[0] == "rewarm_in_tub"
    assert "do_not_count_cold_fish_dead" in shown
    assert "remove_dead_and_waste" not in shown
    assert "net_out_of_open_bag" not in shown
    assert "cold-is-not-dead" in notices(cold)


def test_a_rescue_with_tap_water_is_warned_of(judge: Judge) -> None:
    told = judge(("gasping_at_surface",), tap_water_rescue="yes", receiving={"supply": "chlorine"})
    assert "tap-water-rescue" in notices(told)
    assert "dechlorinate_now" in ids(told)


def test_what_is_in_the_water_is_asked_before_more_is_added(judge: Judge) -> None:
    seen = ("brown_gills", "gasping_at_surface")
    lot = {"group": "barbs", "count": 10}
    tank = {"nitrite_mg_l": 1.0, "do_mg_l": 7.5, "temperature_c": 25.0, "ph": 7.2, "tan_mg_l": 0.1}
    receiving = {"volume_l": 100, "plants": "no", "invertebrates": "no"}
    untold = judge(seen, hours=200, lot=lot, tank=tank, receiving=receiving)
    assert "ask_what_was_added" in ids(untold)
    assert "salt_against_nitrite" not in ids(untold)
    asked = judge(
        seen,
        hours=200,
        lot=lot,
        tank=tank,
        receiving=receiving,
        salt_in_water="no",
        zeolite_in_filter="no",
    )
    assert "salt_against_nitrite" in ids(asked)


def test_a_binder_makes_the_ammonia_kit_doubtful(judge: Judge) -> None:
    tank = {"tan_mg_l": 3.0, "ph": 8.2, "temperature_c": 26.0}
    plain = judge((), hours=60, lot={"group": "barbs"}, tank=tank)
    bound = judge((), hours=60, lot={"group": "barbs"}, tank=tank, ammonia_binder_in_water="yes")
    assert decibans(bound, "ammonia_tank") < decibans(plain, "ammonia_tank")
    assert "binder-makes-ammonia-doubtful" in notices(bound)
    assert "bind_ammonia" not in ids(bound)
    assert "change_water_for_ammonia" in ids(bound)  # doubt does not stop the safe step


def test_a_good_ammonia_reading_after_zeolite_clears_less(judge: Judge) -> None:
    tank = {"tan_mg_l": {"value": 0.0, "high": 0.1}, "ph": 7.0, "temperature_c": 25.0}
    plain = judge(("weak_response",), hours=60, tank=tank)
    taken = judge(("weak_response",), hours=60, tank=tank, zeolite_in_filter="yes")
    assert decibans(taken, "ammonia_tank") > decibans(plain, "ammonia_tank")


def test_deaths_in_imported_goldfish_stop_movement_until_explained(judge: Judge) -> None:
    goldfish = {"group": "goldfish_fancy", "count": 40}
    unexplained = judge(("sudden_deaths", "signs_after_first_day"), hours=150, lot=goldfish)
    assert ids(unexplained)[0] == "stop_movement"
    burned = judge(
        ("sudden_deaths", "gasping_at_surface", "signs_within_hours_of_water_change"),
        hours=150,
        lot=goldfish,
        untreated_tap_water="yes",
    )
    assert burned.causes[0].id == "chlorine"
    assert "stop_movement" not in ids(burned)


@pytest.mark.parametrize(
    ("kind", "speaks"),
    [("guppy", True), ("clownfish", False), ("a fish nobody named", True)],
)
def test_nitrite_of_the_bag_speaks_for_fish_not_known_to_be_of_the_sea(
    judge: Judge, kind: str, speaks: bool
) -> None:
    """Its work sampled freshwater fish only (ncsu-ship); chloride guards (merck-env)."""
    told = judge(
        ("weak_response",), hours=1, lot={"species": kind, "count": 20}, bag={"nitrite_mg_l": 1.5}
    )
    fired = {e.rule for c in told.causes for e in c.evidence_for}
    assert ("nitrite-in-the-bag" in fired) is speaks


def test_lively_fish_in_a_bag_gainsay_no_number_of_the_tank(judge: Judge) -> None:
    """Fish contradict a reading only of the water they are in (plain logic)."""
    lot = judge(
        ("swimming_normally", "answers_a_hand"),
        hours=0.3,
        lot={"species": "tiger barb", "count": 20, "sealed": "no", "opened_at_hours": 0.1},
        bag={"temperature_c": 25.0},
        tank={**SOUND, "temperature_c": 6.0, "chlorine_mg_l": 2.0, "tan_mg_l": 9.0, "ph": 8.8},
    )
    assert not {"read_temperature_again", "read_chlorine_again", "read_water_test_again"} & {
        *ids(lot)
    }
    assert not [held for held in lot.withheld if held.by == "doubted"]


def test_a_hot_bag_that_lively_fish_gainsay_is_read_before_it_is_left_for_cooler(
    judge: Judge,
) -> None:
    told = {
        "hours": 0.3,
        "lot": {"species": "tiger barb", "count": 20, "sealed": "no", "opened_at_hours": 0.1},
        "bag": {"temperature_c": {"value": 40.0, "kit": "meter"}},
        "tank": SOUND,
    }
    steps = ids(judge(("swimming_normally", "answers_a_hand"), **told))
    assert "read_temperature_again" in steps and "out_of_hot_bag" not in steps
    steps = ids(judge(("lying_on_side",), **told))
    assert "out_of_hot_bag" in steps and "read_temperature_again" not in steps


def test_urchins_are_no_kind_for_bare_hands(judge: Judge) -> None:
    """Florida Poison Information Center: urchins have venomous spines, soaked in hot water."""
    lot = judge(
        hours=0.2,
        lot={"species": "diadema", "count": 3, "sealed": "yes", "bag_water_l": 2.0},
        tank=SOUND,
    )
    assert "keep_hands_from_the_sting" in ids(lot)


def test_a_warm_tank_with_calm_fish_in_it_is_no_emergency(judge: Judge) -> None:
    """Injury limits are not keeping ranges: 31 °C injures no chromis at once."""
    lot = judge(
        ("swimming_normally",),
        hours=30,
        lot={"species": "blue-green chromis", "count": 10, "sealed": "no", "released_at_hours": 0},
        tank={**SOUND, "temperature_c": {"value": 31.0, "kit": "meter"}, "salinity_g_kg": 33.0},
    )
    heater = next(a for a in lot.actions if a.id == "unplug_the_heater")
    assert not heater.emergency
