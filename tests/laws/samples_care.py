"""Samples for the laws of clean hands, and second samples for laws that were mended."""

from tests.laws.samples import fish, sample
from tests.laws.samples_move import CALM, DOWN, m

NET = "Net them straight into the tank."
TUB = "Move them into an aired tub of dechlorinated water matched to the bag."
WELL = {"residents": "yes", "residents_well": "yes"}

sample(
    "newcomers_stand_apart_before_they_join_residents",
    fish("guppy", "open", CALM, receiving=WELL),
    NET,
    ["Four weeks of quarantine in a tank of their own come first.", NET],
)
failing = fish("guppy", "open", DOWN)
sample("a_tub_is_aired_freed_of_chlorine_and_matched", failing, "Net them into a tub.", TUB)
sample(
    "a_humane_end_is_offered_where_nothing_helps",
    fish("guppy", "tank", "unresponsive", hours=10, counts=(1, 8, 6)),
    "Air the tank hard.",
    ["Air the tank hard.", "Ask a vet about a humane end."],
)
sample(
    "the_dead_and_bag_water_are_contained",
    fish("guppy", "tank", DOWN, counts=(3, 2, 2)),
    "Take out the dead.",
    "Take out the dead: into a sealed bag, in the cool.",
)
sample(
    "gloves_are_worn_with_ulcers_and_wasting",
    fish("koi", "open", "ulcers"),
    TUB,
    ["Gloves on.", TUB],
)
sample(
    "the_dead_of_a_suspicion_are_not_frozen",
    fish("koi", "tank", "white_gill_patches", tank=m(temperature_c=20), counts=(0, 0, 5)),
    "Freeze the dead in a bag.",
    "Keep the dead cool in a sealed bag; do not freeze them.",
)
