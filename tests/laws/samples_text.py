"""Samples for the laws of the text itself."""

from tests.laws.plan import Plan, written
from tests.laws.samples import fish, sample
from tests.laws.samples_move import CALM, DOWN, m

here = fish("guppy", "tank", CALM, hours=5, tank=m(temperature_c=25))
sample(
    "no_two_lines_give_opposite_orders",
    here,
    ["Lift the cover.", "Cover the tank."],
    ["Lift the cover.", "Air the tank."],
)
bag = fish("guppy", "open", CALM)
sample(
    "no_line_forbids_what_another_orders",
    bag,
    ["Net nobody.", "Net them straight over."],
    ["Net them straight over.", "Lights down. Nobody nets anything."],
)
sample(
    "water_changes_agree_in_size",
    here,
    ["Change half the water.", "Change a tenth of it: 10 %.", "Change 10 % of the water."],
    ["Change half the water.", "Change half the water again."],
)
sample(
    "alone_means_alone",
    here,
    ["Leave them alone.", "Net them into a tub."],
    ["Leave them alone.", "Look again in an hour."],
)
sample(
    "a_held_step_is_not_also_ordered",
    here,
    written("Air the tank.", held=["Air the tank."]),
    written("Air the tank.", held=["Feed them."]),
)
sample(
    "fish_in_a_tank_are_not_told_of_bags",
    here,
    "Float the bags for 20 minutes.",
    "Look again in an hour.",
)
sample(
    "fish_in_a_tank_are_not_released_again",
    here,
    "Net them straight into the matched tank.",
    "Net nobody.",
)
sample(
    "an_open_bag_is_not_opened_again",
    bag,
    "Before you cut a bag: tank aired, nets in reach.",
    "Net them straight over.",
)
dosed = fish(
    "guppy", "tank", CALM, done=("dechlorinator given for 200 L",), tank=m(chlorine_mg_l=0)
)
sample("what_was_done_is_not_ordered_again", dosed, "Dose dechlorinator.", "Test chlorine.")
frozen = fish("cherry barb", "tank", CALM + " eating", hours=50, tank=m(temperature_c=4))
AGAIN = "Read the thermometer again with a second one."
sample("a_number_that_the_fish_gainsay_is_read_again", frozen, "Leave them alone.", AGAIN)
sample(
    "nothing_rests_on_a_number_that_fish_gainsay",
    frozen,
    "Warm the tank slowly.",
    [AGAIN, "Warm the tank slowly if it still reads 4 °C."],
)
unread = fish("guppy", "tank", "weak_response")
sample("leave_alone_needs_water_that_was_read", unread, "Leave them alone.", "Test ammonia.")
no_tank = fish("guppy", "open", DOWN, receiving={"notes": "There is no tank yet."})
sample(
    "no_tank_is_ordered_where_there_is_none",
    no_tank,
    "Net them straight into the tank.",
    "Move them into a tub of clean water.",
)
single = fish("guppy", "open", DOWN, no_other_tank="yes")
sample(
    "no_second_tank_is_ordered_where_there_is_none",
    single,
    "Move them into another tank.",
    "Move them into a tub of clean water.",
)
no_tub = fish("guppy", "open", DOWN, receiving={"notes": "We have no tubs or buckets."})
sample(
    "no_tub_is_ordered_where_there_is_none",
    no_tub,
    "Move them into a tub of clean water.",
    "Net them straight into the tank.",
)
dark = fish("guppy", "shut", CALM, receiving={"notes": "The power is off."})
sample("no_heater_is_ordered_in_a_power_cut", dark, "Turn the heater up.", "Wrap the bags.")
sample(
    "numbers_read_like_a_persons",
    here,
    "Change 2.6e+03 L of the water.",
    "Change 2600 L of the water.",
)
sample("a_plan_says_what_to_do", here, Plan(()), "Leave them alone.")
chlorine = fish("guppy", "tank", DOWN, tank=m(chlorine_mg_l=0.9))
BIND = "Dose dechlorinator for the whole tank."
sample(
    "the_headline_is_not_about_something_else",
    chlorine,
    written(BIND, headline="Nothing leaves."),
    written(BIND, headline=BIND),
)
sample(
    "a_guess_is_not_called_very_likely",
    fish("guppy", "tank", "refusing_food", hours=2),
    written("Test ammonia.", causes=(("ammonia_tank", "very_likely"),)),
    written("Test ammonia.", causes=(("ammonia_tank", "possible"),)),
)
# Fish that lie and do not answer were seen in one way, and the bag's figure is not the tank's.
sample(
    "a_guess_is_not_called_very_likely",
    fish("guppy", "tank", "lying_on_side unresponsive", hours=2, bag=m(tan_mg_l=4)),
    written("Test ammonia.", causes=(("settling", "likely"), ("ammonia_tank", "very_likely"))),
    written("Test ammonia.", causes=(("settling", "likely"), ("ammonia_tank", "likely"))),
)
