"""What an ordinary year brings, scene by scene. Each spoils a sound delivery in one way."""

from __future__ import annotations

from collections.abc import Callable

from tests.laws.mixes import CALM, Scene, Sold

_SHELLED = ("cherry shrimp", "mystery snail", "cleaner shrimp")


def bags_shut_and_lively(s: Scene) -> None:
    s.close()
    s.seen = list(CALM)


def bags_shut_nothing_known(s: Scene) -> None:
    s.close(0.1)
    s.often = 0.2


def bags_shut_resting(s: Scene) -> None:
    s.close()
    s.seen = ["lying_on_bottom_upright", "answers_a_hand"]


def released_and_eating(s: Scene) -> None:
    s.release(s.rng.uniform(20, 120))
    s.seen = [*CALM, "eating"]


def released_and_swimming(s: Scene) -> None:
    s.release(s.rng.uniform(0.5, 6))
    s.seen = list(CALM)


def released_and_hiding(s: Scene) -> None:
    s.release(s.rng.uniform(0.5, 20))
    s.seen = ["hiding", "pale_body_colour_loss", "answers_a_hand"]


def air_gulpers_at_rest(s: Scene) -> None:
    s.release(s.rng.uniform(1, 30))
    s.seen = ["hanging_at_surface", "answers_a_hand"]


def a_little_cool_and_lively(s: Scene) -> None:
    s.close()
    s.bag["temperature_c"] = s.warm_c - s.rng.uniform(3, 4.5)
    s.seen = list(CALM)


def dull_and_off_food(s: Scene) -> None:
    s.release(s.rng.uniform(10, 40))
    s.seen = ["lying_on_bottom_upright", "refusing_food", "answers_a_hand"]


def one_or_two_dead_on_arrival(s: Scene) -> None:
    s.close()
    s.lot["dead_on_arrival"] = min(2, s.lot["count"])
    s.seen = list(CALM)


def trace_of_ammonia_beside_calm_fish(s: Scene) -> None:
    s.release(s.rng.uniform(30, 100))
    s.tank["tan_mg_l"] = 0.3
    s.seen = [*CALM, "eating"]


def trace_of_nitrite_in_a_young_tank(s: Scene) -> None:
    s.release(s.rng.uniform(60, 200))
    s.data["receiving"] |= {"filter": "part", "age_days": 20}
    s.tank["nitrite_mg_l"] = 0.15
    s.seen = [*CALM, "eating"]


def pale_and_clamped_after_a_long_trip(s: Scene) -> None:
    s.data["transit"]["hours_sealed"] = 46
    s.release(s.rng.uniform(1, 5))
    s.seen = ["clamped_fins", "pale_body_colour_loss", "answers_a_hand"]


def white_spot_after_days(s: Scene) -> None:
    s.release(s.rng.uniform(90, 200))
    s.seen = ["white_spots", "flashing_rubbing", "signs_after_first_day"]
    s.counts = (s.lot["count"], 0, 0)


def ammonia_in_a_new_tank(s: Scene) -> None:
    s.release(s.rng.uniform(30, 90))
    s.data["receiving"] |= {"filter": "new", "age_days": 6}
    s.tank["tan_mg_l"] = s.rng.uniform(1.5, 4)
    s.seen = ["rapid_gill_movement", "clamped_fins"]


def nitrite_without_signs(s: Scene) -> None:
    s.release(s.rng.uniform(120, 300))
    s.data["receiving"] |= {"filter": "part", "age_days": 18}
    s.tank["nitrite_mg_l"] = s.rng.uniform(0.5, 1.2)
    s.seen = ["refusing_food", "answers_a_hand"]


def torn_fins_and_a_chaser(s: Scene) -> None:
    s.release(s.rng.uniform(20, 80))
    s.data["receiving"] |= {"residents": "yes", "residents_well": "yes"}
    s.say(chaser_seen="yes")
    s.seen = ["frayed_fins", "hiding", "one_or_few_fish_affected"]


def tank_cold_heater_off(s: Scene) -> None:
    s.close()
    s.say(heater_fault="yes")
    s.tank["temperature_c"] = s.warm_c - s.rng.uniform(6, 10)
    s.seen = list(CALM)


def tank_unfit_bags_sound(s: Scene) -> None:
    s.close()
    s.data["receiving"] |= {"filter": "new", "age_days": 8}
    s.tank |= {"tan_mg_l": 4.0, "nitrite_mg_l": 2.0, "ph": 8.0}
    s.seen = list(CALM)


def residents_ill_bags_sound(s: Scene) -> None:
    s.close()
    s.data["receiving"] |= {"residents": "yes", "residents_well": "no"}
    s.seen = list(CALM)


def power_cut_bags_sound(s: Scene) -> None:
    s.close()
    s.say(filter_stopped="yes", power_out="yes")
    s.data["receiving"] |= {"aerated": "no"}
    s.tank["do_mg_l"] = 4.5
    s.seen = list(CALM)


def salt_step_ahead(s: Scene) -> None:
    s.close()
    s.bag["salinity_g_kg"], s.tank["salinity_g_kg"] = 26.0, 35.0
    s.seen = list(CALM)


def shrimp_for_a_tank_with_copper(s: Scene) -> None:
    s.close()
    s.say(copper_in_water="yes")
    s.tank["copper_mg_l"] = 0.15
    s.seen = ["swimming_normally"]


def wounds_from_the_net(s: Scene) -> None:
    s.release(s.rng.uniform(12, 48))
    s.lot["history"] = {"netted_roughly": "yes"}
    s.seen = ["missing_scales", "frayed_fins", "one_or_few_fish_affected"]


def thin_and_off_food(s: Scene) -> None:
    s.release(s.rng.uniform(48, 100))
    s.seen = ["sunken_belly", "refusing_food", "answers_a_hand"]


def gulping_in_a_still_tank(s: Scene) -> None:
    s.release(s.rng.uniform(1, 30))
    s.data["receiving"]["aerated"] = "no"
    s.tank["do_mg_l"] = s.rng.uniform(1.2, 2.5)
    s.seen = ["gasping_at_surface", "rapid_gill_movement"]
    s.share_down(0.1)


def open_bag_waking_ammonia(s: Scene) -> None:
    s.open(s.rng.uniform(10, 40))
    s.bag |= {"ph": 7.6, "tan_mg_l": s.rng.uniform(8, 15)}
    s.seen = ["darting", "gasping_at_surface", "loss_of_equilibrium"]
    s.share_down(0.4)


def limp_in_the_shut_bag(s: Scene) -> None:
    s.data["transit"]["hours_sealed"] = 44
    s.close()
    s.seen = ["lying_on_side", "weak_response", "slow_gill_movement", "signs_before_bag_opened"]
    s.share_down(0.6)


def chlorine_after_a_top_up(s: Scene) -> None:
    s.release(s.rng.uniform(10, 60))
    s.say(untreated_tap_water="yes", water_changed_last_day="yes", dechlorinator_used="no")
    s.data["receiving"]["supply"] = "chlorine"
    if s.rng.random() < 0.3:
        s.say(no_dechlorinator="yes")
    s.tank["chlorine_mg_l"] = s.rng.uniform(0.5, 1.5)
    s.seen = ["gasping_at_surface", "darting", "excess_mucus_cloudy_skin",
              "signs_within_hours_of_water_change"]  # fmt: skip
    s.share_down(0.4, 0.1)


def brown_gills_in_nitrite(s: Scene) -> None:
    s.release(s.rng.uniform(150, 300))
    s.data["receiving"] |= {"filter": "new", "age_days": 15}
    s.tank["nitrite_mg_l"] = s.rng.uniform(1.5, 3)
    s.seen = ["brown_gills", "gasping_at_surface", "signs_after_first_day"]
    s.share_down(0.15)


def heater_stuck_on(s: Scene) -> None:
    s.release(s.rng.uniform(20, 80))
    s.say(heater_fault="yes")
    s.tank |= {"temperature_c": s.rng.uniform(36.5, 38), "do_mg_l": 4.6}
    s.seen = ["gasping_at_surface", "rapid_gill_movement", "sudden_deaths"]
    s.share_down(0.3, 0.1)


def chilled_in_the_box(s: Scene) -> None:
    s.close()
    s.say(box_arrived_cold="yes")
    s.bag["temperature_c"] = max(3.0, s.warm_c - 14)
    s.seen = ["lying_on_side", "slow_gill_movement", "weak_response", "signs_before_bag_opened"]
    s.share_down(0.8)


def sea_fish_in_fresh_water(s: Scene) -> None:
    s.release(0.3)
    s.tank |= {"salinity_g_kg": 0.4, "ph": 7.2}
    s.seen = ["lying_on_side", "loss_of_equilibrium", "rapid_gill_movement"]
    s.share_down(1.0)


def rotten_eggs_after_stirring(s: Scene) -> None:
    s.release(s.rng.uniform(20, 60))
    s.say(gravel_or_filter_disturbed="yes")
    s.seen = ["rotten_egg_smell", "gasping_at_surface", "loss_of_equilibrium", "sudden_deaths"]
    s.share_down(0.5, 0.2)


def a_leaking_bag(s: Scene) -> None:
    s.close()
    s.lot["notes"] = "One bag leaks, half its water is gone."
    s.lot["history"] = {**s.lot.get("history", {}), "bag_leaks": "yes"}  # as the session writes it
    s.seen = ["weak_response"]


def tingle_at_the_tank(s: Scene) -> None:
    s.release(s.rng.uniform(5, 40))
    s.say(electric_fault_suspected="yes")
    s.seen = ["spinning_convulsions", "sudden_deaths", "all_species_at_once"]
    s.share_down(0.6, 0.2)


def carbon_dioxide_left_on(s: Scene) -> None:
    s.release(s.rng.uniform(8, 30))
    s.say(co2_dosed="yes")
    s.data["receiving"]["plants"] = "yes"
    s.tank["ph"] = 5.9
    s.seen = ["gasping_at_surface", "weak_response", "worst_at_night_or_dawn"]
    s.share_down(0.2)


#: scene, truth, weight in a hundred or so
SCENES = (
    (bags_shut_and_lively, "needs nothing", 18), (bags_shut_nothing_known, "needs nothing", 4),
    (bags_shut_resting, "needs nothing", 6), (released_and_eating, "needs nothing", 9),
    (released_and_swimming, "needs nothing", 9), (air_gulpers_at_rest, "needs nothing", 3),
    (released_and_hiding, "watch", 5), (a_little_cool_and_lively, "watch", 4),
    (dull_and_off_food, "watch", 4), (one_or_two_dead_on_arrival, "watch", 3),
    (trace_of_ammonia_beside_calm_fish, "watch", 3), (trace_of_nitrite_in_a_young_tank, "watch", 3),
    (pale_and_clamped_after_a_long_trip, "watch", 3), (white_spot_after_days, "trouble", 2),
    (ammonia_in_a_new_tank, "trouble", 2), (nitrite_without_signs, "trouble", 2),
    (torn_fins_and_a_chaser, "trouble", 1.5), (tank_cold_heater_off, "trouble", 1.5),
    (tank_unfit_bags_sound, "trouble", 1.5), (residents_ill_bags_sound, "trouble", 1.5),
    (power_cut_bags_sound, "trouble", 1), (salt_step_ahead, "trouble", 1),
    (shrimp_for_a_tank_with_copper, "trouble", 1), (wounds_from_the_net, "trouble", 1.5),
    (thin_and_off_food, "trouble", 1.5), (gulping_in_a_still_tank, "failing now", 1.5),
    (open_bag_waking_ammonia, "failing now", 2.5), (limp_in_the_shut_bag, "failing now", 2),
    (chlorine_after_a_top_up, "failing now", 1.5), (brown_gills_in_nitrite, "failing now", 1.5),
    (heater_stuck_on, "failing now", 1), (chilled_in_the_box, "failing now", 1.5),
    (sea_fish_in_fresh_water, "failing now", 0.5), (rotten_eggs_after_stirring, "failing now", 0.7),
    (a_leaking_bag, "failing now", 1), (tingle_at_the_tank, "failing now", 0.5),
    (carbon_dioxide_left_on, "failing now", 0.8),
)  # fmt: skip
_ANY = {
    bags_shut_and_lively,
    bags_shut_nothing_known,
    released_and_swimming,
    one_or_two_dead_on_arrival,
}
_ONLY = {
    air_gulpers_at_rest: ("siamese fighting fish", "honey gourami", "pearl gourami"),
    salt_step_ahead: ("clownfish", "royal gramma", "yellow tang", "emperor angelfish"),
    sea_fish_in_fresh_water: ("clownfish", "royal gramma"),
    shrimp_for_a_tank_with_copper: ("cherry shrimp", "mystery snail"),
}
_FRESH = {nitrite_without_signs, brown_gills_in_nitrite, carbon_dioxide_left_on,
          rotten_eggs_after_stirring, tank_unfit_bags_sound}  # fmt: skip
_TROPICAL = {chilled_in_the_box, tank_cold_heater_off, heater_stuck_on, a_little_cool_and_lively}


def takes(make: Callable[[Scene], None], kind: Sold) -> bool:
    """Whether this scene can happen to this kind: shrimp show no gills, goldfish bear the cold."""
    name, *_, warm_c, _, salt = kind
    if make in _ONLY:
        return name in _ONLY[make]
    if name in _SHELLED and make not in _ANY:
        return False
    return (make not in _FRESH or salt is None) and (make not in _TROPICAL or warm_c >= 23)
