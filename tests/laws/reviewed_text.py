"""The second reviewer's examples for the laws of warmth, of what goes in, and of the text."""

from __future__ import annotations

from dataclasses import replace

from tests.laws.plan import Line
from tests.laws.reviewed import allowed, condemned, drops
from tests.laws.samples import fish
from tests.laws.samples_move import CALM, DOWN, m
from tests.laws.situation import lots_of

# -- warmth --
COLD = fish("neon tetra", "tank", DOWN, tank=m(temperature_c=12))
LOOK = "Look again in an hour."
condemned("fish_injured_by_cold_are_warmed", COLD, *[LOOK] * 6, "If you like, warm the tank.")
HOT = fish("neon tetra", "tank", DOWN, tank=m(temperature_c=38))
condemned("fish_injured_by_heat_are_cooled", HOT, *[LOOK] * 6, "If they die, cool the tank.")
allowed(
    "no_hot_water_and_no_ice_on_fish",
    fish("koi", "shut", CALM),
    "Put a sealed bag of ice into the tub.",
)
condemned(
    "no_hot_water_and_no_ice_on_fish", fish("koi", "tank", CALM), "Put ice cubes into the tank."
)
allowed(
    "no_change_of_warmth_faster_than_fish_bear",
    fish("guppy", "shut", CALM),
    "Float the bags closed: they come nearer by 5 °C an hour.",
)
SHOP = lots_of(
    {
        "transit": {"hours_sealed": 0.7},
        "lot": [{"id": "a", "species": "guppy", "sealed": "no", "opened_at_hours": 0.0}],
        "observation": [{"at_hours": 0.1, "seen": CALM.split()}],
    }
)["a"]
allowed("no_floating_of_an_open_bag", SHOP, "Float the opened bag with its top rolled down.")
allowed(
    "a_hot_shut_bag_gets_no_tank_recipe",
    fish("guppy", "shut", CALM, bag=m(temperature_c=33)),
    "Take the lid off the box.",
)
# -- what goes in --
allowed(
    "no_base_while_ammonia_stands",
    fish("guppy", "shut", CALM, bag=m(tan_mg_l=4), tank=m(ph=4.3, tan_mg_l=0)),
    "Add bicarbonate to the empty tank before any bag is opened.",
)
HERE = fish("guppy", "tank", CALM, tank=m(temperature_c=25))
condemned("no_untreated_mains_water", HERE, "Change half the water straight from the tap.")
CHLORAMINE = fish("guppy", "tank", CALM, receiving={"supply": "chloramine"})
condemned(
    "no_untreated_mains_water",
    CHLORAMINE,
    "Change half the water; let it stand, it has stood a day.",
)
condemned("no_untreated_mains_water", CHLORAMINE, "Change half the water for matched tap water.")
condemned(
    "chlorine_is_taken_out",
    fish("guppy", "tank", "darting", tank=m(chlorine_mg_l=0.5)),
    "Check the fish again.",
)
allowed(
    "chlorine_that_is_gone_is_not_dosed_again",
    fish("guppy", "tank", CALM, tank=drops(chlorine_mg_l=0), receiving={"supply": "chloramine"},
         dechlorinator_used="yes"),
    "Dose dechlorinator that binds ammonia too.",
)  # fmt: skip
allowed(
    "no_salt_dose_for_sea_fish",
    fish("clownfish", "tank", DOWN, tank=m(salinity_g_kg=0.5)),
    "Mix marine salt to 33 g/kg in a tub.",
)
SNAILS = fish("guppy", "tank", CALM, receiving={"invertebrates": "yes"})
condemned("no_salt_on_plants_snails_or_shrimp", SNAILS, "Dissolve salt, 5 g/L, in the tank.")
PLANTS = fish("guppy", "tank", CALM, receiving={"plants": "yes"})
condemned("no_salt_on_plants_snails_or_shrimp", PLANTS, "Dissolve salt, 5 g/L, in the tank.")
condemned(
    "no_food_into_poisoned_water",
    fish("guppy", "tank", CALM, tank=m(tan_mg_l=3, ph=8.2, temperature_c=26)),
    "Feed them a little.",
)
allowed(
    "no_second_binder",
    fish("guppy", "tank", DOWN, tank=m(tan_mg_l=20, ph=8.5, temperature_c=26),
         ammonia_binder_in_water="yes"),
    "If the label allows it, dose the ammonia binder again after a day.",
)  # fmt: skip
SHARK = fish("marine_sharks", "tank", CALM)
condemned("no_copper_with_invertebrates", SHARK, "Dose copper.")
condemned(
    "no_fine_bubbles_into_too_much_gas",
    fish("guppy", "open", CALM, tank=m(total_gas_pressure_pct=118)),
    "Hang an airstone in the tank.",
)
condemned(
    "failing_fish_in_a_tank_get_a_way_out",
    fish("guppy", "tank", DOWN, tank=m(total_gas_pressure_pct=120)),
    "Hang an airstone in the tank.",
)
TINY = Line(0, "Dose it for this stocking.", amounts=({"value": 0.01, "unit": "g"},))
condemned("amounts_can_be_weighed", HERE, TINY)
condemned("amounts_can_be_weighed", HERE, replace(TINY, amounts=({"value": 4.0, "unit": "mg"},)))
# -- the text itself --
SHUT = fish("guppy", "shut", CALM)
IN_TURN = ("Keep the bags shut until the tank is aired.", "Air the tank.", "Open one bag.")
allowed("no_two_lines_give_opposite_orders", SHUT, *IN_TURN)
allowed(
    "no_line_forbids_what_another_orders",
    SHUT,
    "Do not open a bag before the tank is aired.",
    "Air the tank.",
    "Open one bag.",
)
SETTLED = fish("guppy", "tank", CALM, hours=5)
allowed("fish_in_a_tank_are_not_told_of_bags", SETTLED, "Keep the lid shut: they jump.")
SALTED = lots_of(
    {
        "lot": [{"id": "a", "species": "guppy", "sealed": "no", "released_at_hours": 0.1}],
        "observation": [
            {"at_hours": 1, "seen": ["brown_gills"], "done": ["salt given"]},
            {"at_hours": 20, "seen": ["brown_gills"], "tank": m(nitrite_mg_l=5)},
        ],
    }
)["a"]
allowed("what_was_done_is_not_ordered_again", SALTED, "Dissolve salt in a jug and pour it in.")
LIVELY_COLD = fish("neon tetra", "tank", CALM, tank=m(temperature_c=5))
condemned(
    "a_number_that_the_fish_gainsay_is_read_again", LIVELY_COLD, "Check the fish again in an hour."
)
LIVELY_AMMONIA = fish("guppy", "tank", CALM, tank=m(tan_mg_l=20, ph=8.5, temperature_c=26))
allowed("nothing_rests_on_a_number_that_fish_gainsay", LIVELY_AMMONIA, "Change half the water.")
condemned(
    "a_guess_is_not_called_very_likely",
    fish("guppy", "tank", "frayed_fins missing_scales"),
    "Change a fifth of the water.",
    causes=(("nitrite", "very_likely"),),
)
