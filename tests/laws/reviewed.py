"""The second reviewer's own examples: for every law called unsound what it must say now.

Each example stands in ``second_review.tsv`` in words. ``condemned`` plans must break the law,
``allowed`` plans must keep it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tests.laws.plan import Line, Plan, written
from tests.laws.samples import fish
from tests.laws.samples_move import CALM, DOWN, m
from tests.laws.situation import Situation, lots_of

GULPS = "gasping_at_surface"


@dataclass(frozen=True)
class Example:
    """A delivery and a plan that the reviewer named for ``law``."""

    law: str
    situation: Situation
    plan: Plan
    allowed: bool


EXAMPLES: list[Example] = []


def condemned(law: str, at: Situation, *steps: str | Line, **more: Any) -> None:
    EXAMPLES.append(Example(law, at, written(*steps, **more), False))


def allowed(law: str, at: Situation, *steps: str | Line, **more: Any) -> None:
    EXAMPLES.append(Example(law, at, written(*steps, **more), True))


def drops(**readings: float) -> dict[str, dict[str, object]]:
    """Readings by a drop kit."""
    return {name: {"value": value, "kit": "drops"} for name, value in readings.items()}


OVER = "Net them straight over into the tank."
# -- into what water --
condemned(
    "no_release_into_chlorine", fish("guppy", "open", CALM, tank=drops(chlorine_mg_l=0.09)), OVER
)
condemned(
    "no_release_into_chlorine",
    fish("guppy", "open", CALM, untreated_tap_water="yes", receiving={"supply": "chlorine"}),
    OVER,
)
condemned(
    "no_release_into_nitrite",
    fish("guppy", "open", CALM, tank=m(nitrite_mg_l=20, chloride_mg_l=100)),
    OVER,
)
condemned(
    "no_release_into_ammonia",
    fish("guppy", "open", CALM, tank=drops(tan_mg_l=2) | m(ph=8.2, temperature_c=26)),
    OVER,
)
condemned("no_release_into_ammonia", fish("guppy", "open", CALM, tank=m(tan_mg_l=8)), OVER)
condemned(
    "no_release_into_water_without_oxygen",
    fish("guppy", "open", CALM, tank=m(do_mg_l=3.2)),
    OVER,
)
condemned(
    "no_release_into_copper",
    fish("marine_sharks", "open", CALM, tank=m(copper_mg_l=0.25)),
    OVER,
)
condemned(
    "no_release_into_copper",
    fish("neon tetra", "open", CALM, tank=m(copper_mg_l=0.3, hardness_mg_l_caco3=20)),
    OVER,
)
condemned(
    "no_release_into_the_wrong_salinity",  # the gap that all shared: a condition of something else
    fish("clownfish", "open", CALM, tank=m(salinity_g_kg=0.3)),
    "If they gasp, net them straight over into the tank.",
)
condemned(
    "no_release_into_sulfide", fish("guppy", "open", CALM, tank=drops(sulfide_mg_l=0.08)), OVER
)
allowed(
    "no_straight_release_over_a_step_of_salt",
    fish("clownfish", "open", CALM, bag=m(salinity_g_kg=35), tank=m(salinity_g_kg=29)),
    OVER,
)
CHLORINE_TANK = m(chlorine_mg_l=1.0)
condemned(
    "a_tub_stands_in_for_a_tank_that_is_not_fit",
    fish("guppy", "shut", DOWN, tank=CHLORINE_TANK),
    "If they gasp, net them into a tub.",
)
NO_TUB = {"notes": "there is no tub and no bucket"}
condemned(
    "a_tub_stands_in_for_a_tank_that_is_not_fit",
    fish("guppy", "shut", DOWN, tank=CHLORINE_TANK, lot=NO_TUB),
    "Open the bag.",
)
condemned(
    "sound_shut_bags_are_not_opened_into_an_unfit_tank",
    fish("guppy", "shut", CALM, tank=m(chlorine_mg_l=1.0, tan_mg_l=6, ph=8.4, temperature_c=26)),
    "Dose dechlorinator.",
    "Open the bag.",
)
condemned(
    "no_bag_is_cut_before_its_water_is_ready",
    fish("guppy", "shut", CALM),
    "Check the label.",
    "Open the bag.",
)
NO_TUB_GULPS = fish("guppy", "open", GULPS, bag=drops(tan_mg_l=0), lot=NO_TUB)
allowed("no_air_into_a_bag", NO_TUB_GULPS, "Hang an airstone in the bag.")
condemned(
    "no_drip_into_a_spent_bag",
    fish("guppy", "shut", CALM, bag=m(tan_mg_l=6)),
    "Open the bag and drip tank water into it.",
)
condemned(
    "no_drip_into_a_spent_bag",
    fish("guppy", "open", CALM, bag=m(tan_mg_l=3.9)),
    "Drip tank water in.",
)
allowed(
    "sea_fish_are_lifted_out_of_fresh_water",
    fish("clownfish", "tank", DOWN, tank=m(salinity_g_kg=0.5), lot=NO_TUB),
    "Change half the water for mixed sea water.",
)
allowed(
    "fish_with_brown_blood_are_not_chased",
    fish("guppy", "tank", "brown_gills", tank=m(nitrite_mg_l=3)),
    "Net them gently into a tub of clean water.",
)
# -- people and law --
RAY = fish("freshwater_rays", "shut", CALM)
condemned(
    "those_who_handle_stinging_fish_are_warned", RAY, "Net the ray into a tub.", "Mind the sting."
)
condemned("first_aid_for_a_sting_is_told", RAY, "Mind the sting.", "Net the ray into a tub.")
condemned(
    "boxfish_poison_is_told",
    fish("longhorn cowfish", "shut", DOWN),
    "Ammonia turns toxic once open.",
)
condemned(
    "suspicion_of_the_koi_virus_is_told",
    fish("koi", "tank", "sunken_eyes lying_on_side", counts=(10, 5, 0)),
    "Air the tank hard.",
)
allowed(
    "koi_under_suspicion_are_not_sent_on",
    fish("koi", "tank", "sunken_eyes"),
    "Send the photographs to the supplier.",
)
condemned(
    "many_dying_fish_bring_a_vet",
    fish("guppy", "open", DOWN, counts=(2, 8, 0)),
    "Out of the bag into an aired tub.",
    vet=["Bring the water readings for the vet."],
)
condemned("killing_is_humane_or_not_advised", fish("guppy"), "Freeze the fish in its bag water.")
condemned(
    "killing_is_humane_or_not_advised", fish("guppy"), "Flush the fish away with plenty of water."
)
allowed("killing_is_humane_or_not_advised", fish("guppy"), "Flush the hose with clean water.")
condemned(
    "fish_that_may_live_are_not_given_up",
    fish("neon tetra", "shut", DOWN, bag=m(temperature_c=11)),
    "Throw the still ones away.",
)
ALONE = fish("guppy", "shut", CALM, lot={"notes": "i am alone here"})
allowed("a_second_person_is_not_asked_of_one_alone", ALONE, "One person can do this.")
allowed(
    "no_fish_or_bag_water_into_a_stream",
    fish("koi", "shut", CALM),
    "Release them into the garden pond.",
)
condemned(
    "no_fish_or_bag_water_into_a_stream",
    fish("guppy", "open"),
    "Pour the bag water into the gutter.",
)
# -- rescue --
condemned(
    "failing_fish_in_a_tank_get_a_way_out",
    fish(
        "neon tetra", "tank", DOWN,
        tank=m(temperature_c=12, chlorine_mg_l=1, tan_mg_l=20, ph=8.5),
    ),
    "Warm the tank.",
)  # fmt: skip
condemned(
    "failing_fish_in_an_open_bag_get_out_of_it",
    fish("guppy", "open", GULPS, bag=drops(tan_mg_l=5), box_arrived_cold="yes"),
    "Warm the bag slowly.",
)
condemned("failing_fish_in_a_shut_bag_are_opened", fish("guppy", "shut", DOWN), "Open the bag.")
condemned(
    "failing_fish_in_a_shut_bag_are_opened",
    fish("guppy", "shut", GULPS, box_arrived_cold="yes"),
    "Warm the bag slowly.",
)
allowed(
    "a_leaking_bag_is_seen_to_first",
    fish("guppy", "shut", CALM, lot={"notes": "none of the bags leak"}),
    "Float the bags closed.",
)
condemned(
    "a_leaking_bag_is_seen_to_first",
    fish("guppy", "shut", CALM, bag_leaks="yes"),
    "Float the bags closed.",
)
allowed(
    "distress_is_never_left_alone",
    fish("guppy", "open", DOWN),
    "Out of the bag into an aired tub.",
    "Lights down and let them rest.",
)
condemned(
    "nobody_is_forbidden_to_move_the_way_out",
    fish("guppy", "open", GULPS, box_arrived_cold="yes"),
    "Warm the bag slowly.",
    "Net nobody.",
)
allowed(
    "failing_fish_do_not_wait_for_tests",
    fish("guppy", "tank", GULPS),
    "Check that the air pump runs.",
    "Air the tank hard.",
)
allowed(
    "a_zero_never_stands_as_presence",
    fish(
        "guppy",
        "tank",
        "gasping_at_surface",
        tank=drops(chlorine_mg_l=0),
        receiving={"supply": "chloramine"},
    ),
    "Air the tank hard.",
    causes=(("chlorine", "likely"),),
)
condemned(
    "the_last_way_out_is_never_held",
    fish("guppy", "open", GULPS, box_arrived_cold="yes"),
    "Warm the bag slowly.",
    held=["Net them into a tub."],
)
condemned(
    "the_word_emergency_needs_something_failing",
    fish("guppy", "open", CALM, bag=drops(tan_mg_l=0)),
    "!Net them straight over.",
)
condemned(
    "the_word_emergency_needs_something_failing",
    fish("guppy", "tank", CALM, counts=(499, 0, 1), lot={"count": 500}),
    "!Air the tank hard.",
)
condemned(
    "calm_fish_in_sound_water_read_calm",
    fish("guppy", "tank", CALM, tank=m(temperature_c=25), chaser_seen="no"),
    "Dissolve salt in a jug and pour it in.",
)
LONG_HAUL = lots_of(
    {
        "transit": {"hours_sealed": 40},
        "lot": [{"id": "a", "species": "clownfish", "sealed": "yes"}],
        "observation": [{"at_hours": 0.2, "seen": CALM.split()}],
    }
)["a"]
allowed(
    "lively_fish_in_sound_bags_read_calm", LONG_HAUL, "Move them into an aired tub of sea water."
)
GULPING_BETTA = fish("betta", "tank", "gasping_at_surface", surface_covered="yes")
condemned("a_cover_over_air_breathers_is_lifted", GULPING_BETTA, "Air the tank hard.")
condemned(
    "a_cover_over_air_breathers_is_lifted", GULPING_BETTA, "Lift the cover.", "Cover the tank."
)
condemned(
    "hands_stay_out_of_a_live_tank",
    fish("guppy", "tank", DOWN, electric_fault_suspected="yes"),
    "Lift them by hand into a tub.",
    "Switch everything off at the wall.",
)
condemned(
    "a_rescue_is_followed_up",
    fish("guppy", "tank", DOWN, tank=m(do_mg_l=1)),
    "Air the tank hard.",
    "Lights down.",
    "Take out the dead.",
)
condemned(
    "spraying_is_stopped",
    fish("guppy", "tank", "gasping_at_surface darting", spraying_nearby="yes"),
    "Air the tank hard.",
)
condemned(
    "a_remedy_that_fells_fish_is_thinned",
    fish("guppy", "tank", DOWN, formalin_in_water="yes"),
    *["Look at the label."] * 5,
    "If they gasp, air the tank.",
)
condemned(
    "shrimp_leave_copper",
    fish("cherry shrimp", "tank", CALM, tank=m(copper_mg_l=0.3)),
    "Look again.",
)
