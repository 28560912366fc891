"""Samples for the laws of warmth and of the move."""

from tests.laws.samples import fish, sample

CALM = "swimming_normally answers_a_hand"
DOWN = "lying_on_side loss_of_equilibrium"


def m(**readings: float) -> dict[str, dict[str, object]]:
    """Readings by a meter."""
    return {name: {"value": value, "kit": "meter"} for name, value in readings.items()}


warm_bag = fish("neon tetra", "shut", CALM, bag=m(temperature_c=26))
sample(
    "no_warming_of_fish_that_are_warm",
    warm_bag,
    "Warm them slowly in the shut bag.",
    "Keep the bags warm and dark.",
)
sample(
    "no_urgent_warming_above_the_injury_limit",
    fish("ram cichlid", "shut", DOWN, bag=m(temperature_c=24)),
    "!Warm them slowly.",
    ["Open the bag and net them straight over.", "Warm the bag later."],
)
sample(
    "no_cooling_of_fish_that_are_cool",
    fish("goldfish", "shut", CALM, bag=m(temperature_c=18)),
    "Cool the bag by a degree an hour.",
    "Leave the bag where it is.",
)
sample(
    "no_urgent_cooling_below_the_injury_limit",
    fish("neon tetra", "tank", CALM, tank=m(temperature_c=30)),
    "!Cool the tank at once.",
    ["Air the tank hard.", "Cool the tank over the day."],
)
sample(
    "fish_injured_by_cold_are_warmed",
    fish("neon tetra", "shut", DOWN, bag=m(temperature_c=12)),
    "Open the bag and look.",
    "Warm them slowly, 1 to 2 °C an hour.",
)
sample(
    "fish_injured_by_heat_are_cooled",
    fish("koi", "tank", "gasping_at_surface", tank=m(temperature_c=36)),
    "Air the tank hard.",
    "Cool the tank by 1 to 2 °C an hour.",
)
sample(
    "no_hot_water_and_no_ice_on_fish",
    warm_bag,
    "Pour hot water into the tub until it reads 25 °C.",
    "Never pour hot water.",
)
sample(
    "no_warming_past_the_kinds_own_limit",
    fish("rosy barb", "tank", "white_spots", tank=m(temperature_c=22)),
    "Raise the tank 1 °C every half day to 28 °C.",
    "Raise the tank 1 °C a day to 25 °C.",
)
sample(
    "no_change_of_warmth_faster_than_fish_bear",
    warm_bag,
    "Bring the tub up 5 °C an hour.",
    "Bring the tub up 1 to 2 °C an hour.",
)
cold_tank = fish("ram cichlid", "shut", CALM, bag=m(temperature_c=26), tank=m(temperature_c=14))
sample(
    "no_floating_in_water_that_injures",
    cold_tank,
    "Float the bags shut for half an hour.",
    ["Warm the tank first.", "Float the bags once the tank reads 24 °C."],
)
opened = fish("guppy", "open", CALM, bag=m(temperature_c=24, tan_mg_l=4))
sample("no_floating_of_an_open_bag", opened, "Float the bag.", "Net them straight over.")
limp = fish("guppy", "shut", DOWN, bag=m(temperature_c=24))
sample(
    "no_floating_of_fish_that_fail_in_the_bag",
    limp,
    ["Float the bag shut.", "Open it and net them straight over."],
    "Open it and net them straight over.",
)
sample(
    "a_stuck_heater_is_unplugged",
    fish("guppy", "tank", "gasping_at_surface", tank=m(temperature_c=40), heater_fault="yes"),
    ["Air the tank.", "Cool the tank."],
    ["Unplug the heater now.", "Air the tank."],
)
sample(
    "temperature_is_held_only_where_it_does_not_injure",
    fish("koi", "tank", "gasping_at_surface", tank=m(temperature_c=36)),
    "Leave the temperature where it is.",
    "Cool the tank slowly.",
)
sample(
    "carp_under_suspicion_are_not_warmed",
    fish("koi", "tank", "white_gill_patches sunken_eyes", tank=m(temperature_c=20)),
    "Warm the tank to 30 °C.",
    "Do not warm or cool these fish.",
)
sample(
    "a_hot_shut_bag_gets_no_tank_recipe",
    fish("golden orfe", "shut", CALM, bag=m(temperature_c=29)),
    "Cool them: lid off, fan across the surface.",
    "Stand the bag in a cool dark place.",
)
sample(
    "no_straight_release_over_a_step_of_warmth",
    fish("goldfish", "shut", CALM, bag=m(temperature_c=8), tank=m(temperature_c=20)),
    "Net them straight into the tank.",
    ["Put them into a tub at 8 °C.", "Net them straight over after that."],
)


def ahead(law: str, species: str, tank: dict[str, object], keeps: object, **more: object) -> None:
    """A lot in an open bag, and a tank that must not take it."""
    at = fish(species, "open", CALM, bag=m(temperature_c=25), tank=tank, **more)
    sample(law, at, "Net them straight into the matched tank.", keeps)


TUB = "Move them into an aired tub of clean matched water."
ahead(
    "no_release_into_chlorine",
    "guppy",
    m(chlorine_mg_l=0.6),
    ["Dechlorinate the tank: sodium thiosulfate.", "Net them straight into the tank."],
)
ahead("no_release_into_nitrite", "guppy", m(nitrite_mg_l=2), TUB)
ahead("no_release_into_ammonia", "guppy", m(tan_mg_l=4, ph=8.2, temperature_c=25), TUB)
ahead(
    "no_release_into_water_without_oxygen",
    "guppy",
    m(do_mg_l=1.5),
    ["Air the tank hard.", "Net them straight into the tank."],
)
ahead("no_release_into_copper", "cherry shrimp", m(copper_mg_l=0.15), TUB)
ahead("no_release_into_the_wrong_salinity", "clownfish", m(salinity_g_kg=0.3), TUB)
ahead("no_release_into_killing_warmth_or_cold", "discus", m(temperature_c=15), TUB)
ahead("no_release_into_harmful_ph", "cardinal tetra", m(ph=9.4), TUB)
ahead(
    "no_release_among_sick_residents",
    "guppy",
    {},
    TUB,
    receiving={"residents": "yes", "residents_well": "no"},
)
ahead(
    "no_release_into_a_live_current",
    "guppy",
    {},
    ["Switch off at the wall.", "Net them straight into the tank."],
    electric_fault_suspected="yes",
)
ahead("no_release_into_too_much_gas", "guppy", m(total_gas_pressure_pct=118), TUB)
ahead("no_release_into_a_remedy", "guppy", {}, TUB, formalin_in_water="yes")
ahead("no_release_into_sulfide", "guppy", m(sulfide_mg_l=0.3), TUB)
sample(
    "no_straight_release_over_a_step_of_salt",
    fish("clownfish", "open", CALM, bag=m(salinity_g_kg=26), tank=m(salinity_g_kg=35)),
    "Net them straight over.",
    ["Put them in an aired tub of sea water of 26 g/kg.", "Net them straight over in two days."],
)
sample(
    "no_straight_release_over_a_step_of_minerals",
    fish("neon tetra", "open", CALM, bag=m(conductivity_us_cm=90), tank=m(conductivity_us_cm=900)),
    "Net them straight over.",
    ["Put them into a tub like the bag.", "Net them straight over."],
)
shrimp = fish(
    "cherry shrimp", "open", CALM, bag=m(conductivity_us_cm=200), tank=m(conductivity_us_cm=500)
)
sample(
    "invertebrates_are_not_netted_over_a_step",
    shrimp,
    "Net them straight into the tank.",
    "Pour them into a tub and drip tank water in.",
)
sample(
    "a_tub_stands_in_for_a_tank_that_is_not_fit",
    fish("guppy", "open", DOWN, tank=m(chlorine_mg_l=1.5)),
    ["Air the tank hard.", "Read the thermometer."],
    TUB,
)
poor = fish(
    "neon tetra", "shut", CALM, tank=m(tan_mg_l=4, ph=8.2, temperature_c=26, nitrite_mg_l=3)
)
sample(
    "sound_shut_bags_are_not_opened_into_an_unfit_tank",
    poor,
    "Open one bag, empty it, then the next.",
    "Keep the bags shut and dark.",
)
sample(
    "no_bag_is_cut_before_its_water_is_ready",
    fish("guppy", "shut", CALM),
    "Open one bag, then the next.",
    ["Before you cut a bag: tank aired, tubs in reach.", "Open one bag."],
)
sample(
    "the_tub_comes_before_the_bag_is_emptied",
    fish("cherry shrimp", "shut", CALM),
    ["Open one bag, empty it.", "Pour the shrimp into a tub and drip tank water in."],
    ["Pour the shrimp into a tub and drip tank water in.", "Throw the bag water away."],
)
sample(
    "bag_water_never_goes_into_the_tank",
    opened,
    "Pour the bag into the tank.",
    "Bag water never goes into the tank.",
)
sample("no_air_into_a_bag", opened, "Hang an air stone in the bag.", "No air stone in the bag.")
sample(
    "no_drip_into_a_spent_bag",
    fish("guppy", "open", CALM, bag=m(tan_mg_l=8)),
    "Drip tank water into the bag for an hour.",
    "Do not drip into this bag.",
)
sample(
    "spiny_kinds_go_in_a_cup",
    fish("bronze corydoras", "open", CALM),
    "Net them straight over.",
    "Net or cup them straight over.",
)
sample(
    "sea_fish_are_lifted_out_of_fresh_water",
    fish("clownfish", "tank", DOWN, tank=m(salinity_g_kg=0.3)),
    ["Air the tank hard.", "No food."],
    "Lift them out into sea water of 34 g/kg.",
)
sample(
    "fresh_water_fish_are_lifted_out_of_killing_salt",
    fish("neon tetra", "tank", DOWN, tank=m(salinity_g_kg=15)),
    "Air the tank hard.",
    "Move them into a tub of clean water.",
)
sample(
    "fish_with_brown_blood_are_not_chased",
    fish("tiger barb", "tank", "brown_gills gasping_at_surface", tank=m(nitrite_mg_l=3)),
    "Net them and count them.",
    "Change half the water round them; net nobody.",
)
ill = {
    "id": "b",
    "species": "guppy",
    "sealed": "no",
    "released_at_hours": 0.1,
    "look": {"at_hours": 0.3, "lot": "b", "seen": ("white_spots",)},
}
sample(
    "a_catching_disease_keeps_newcomers_out",
    fish("guppy", "open", CALM, others=[ill]),
    "Net them straight into the tank.",
    "Move them into another tank.",
)

sample(
    "no_bag_is_floated_over_a_wide_step",
    fish("goldfish", "shut", CALM, bag=m(temperature_c=8), tank=m(temperature_c=20)),
    "Float the bags shut until within 2 °C.",
    "Bring a tub with the shut bags to the tank's warmth by 2 °C an hour.",
)
sample(
    "a_cold_bag_of_long_hours_is_read",
    fish("neon tetra", "shut", CALM, bag=m(temperature_c=12)),
    "Warm the shut bags slowly.",
    ["Warm the shut bags slowly.", "Read ammonia and pH of one bag."],
)
