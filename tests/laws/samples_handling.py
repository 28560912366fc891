"""Samples for the laws of hands on the fish."""

from tests.laws.plan import Line, written
from tests.laws.samples import fish, sample
from tests.laws.samples_move import CALM, DOWN, m

TUB = "Cup them into an aired dechlorinated tub of their own temperature and salt."

sample(
    "puffers_are_moved_under_water",
    fish("pea puffer", "tank", DOWN),
    TUB,
    [TUB, "Keep it under water in the cup."],
)
sample(
    "fish_are_sent_into_one_water",
    fish("guppy", "tank", DOWN),
    [TUB, "Move them into a tub of clean aired water, few degrees warmer, of its salt."],
    [TUB, "Air the tank hard."],
)
sample(
    "bags_are_opened_in_dim_light",
    fish("guppy", "shut", CALM),
    "Open the first bag and read its water.",
    ["Lights down.", "Open the first bag and read its water."],
)
sample(
    "formalin_calls_for_air",
    fish("guppy", "tank", DOWN, formalin_in_water="yes"),
    "Change half the water, dechlorinated and matched.",
    ["Air the tank hard.", "Change half the water, dechlorinated and matched."],
)
sample(
    "broken_chloramine_is_followed_by_an_ammonia_test",
    fish("guppy", "tank", DOWN, receiving={"supply": "chloramine"}),
    "Dose dechlorinator for the whole tank.",
    ["Dose dechlorinator for the whole tank.", "Test ammonia an hour later."],
)
sample(
    "no_change_exceeds_the_tank",
    fish("guppy", "tank", CALM, receiving={"volume_l": 60}),
    written(Line(0, "Change half the water.", amounts=({"value": 80, "unit": "L"},))),
    written(Line(0, "Change half the water.", amounts=({"value": 30, "unit": "L"},))),
)
sample(
    "the_dead_do_not_lie_among_the_living",
    fish("guppy", "tank", DOWN, tank=m(temperature_c=25), counts=(3, 2, 2)),
    "Air the tank hard.",
    ["Air the tank hard.", "Take the dead out, with gloves."],
)
