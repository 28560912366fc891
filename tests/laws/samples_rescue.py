"""Samples for the laws of rescue and of the source."""

from tests.laws.plan import Line, Plan, written
from tests.laws.samples import fish, sample
from tests.laws.samples_move import CALM, DOWN, m

GULP = "gasping_at_surface rapid_gill_movement"
TUB = "Move them into an aired tub of clean matched water."
NET = "Net them straight into the matched tank."
TESTS = ["Read the thermometer.", "Test ammonia.", "Count them.", "Photograph them."]


def held_back(*steps: str, held: str, because: str) -> Plan:
    """A plan whose one held step is held for ``because``."""
    plan = written(*steps)
    return Plan(plan.lines, held=(Line(0, held, because=because),))


chlorine = fish("guppy", "tank", GULP, tank=m(chlorine_mg_l=0.8), counts=(5, 10, 2))
BIND = "Dose dechlorinator for the whole tank."
sample("failing_fish_in_a_tank_get_a_way_out", chlorine, [*TESTS, BIND], ["Air the tank.", BIND])
spent = fish("guppy", "open", DOWN, bag=m(tan_mg_l=12))
sample("failing_fish_in_an_open_bag_get_out_of_it", spent, [*TESTS[:3], NET], NET)
limp = fish("guppy", "shut", DOWN, bag=m(temperature_c=24))
OPEN = "Open the bag and net them straight over."
sample("failing_fish_in_a_shut_bag_are_opened", limp, [*TESTS[:3], OPEN], OPEN)
leak = fish("guppy", "shut", CALM, lot={"notes": "One bag leaks."})
sample(
    "a_leaking_bag_is_seen_to_first",
    leak,
    [*TESTS[:2], OPEN],
    "Set the leaking bag in a second bag.",
)
airless = fish("swordtail", "shut", "", bag=m(temperature_c=24),
               lot={"count": 60, "mass_g": 2, "bags": 1, "bag_water_l": 3, "bag_gas_l": 2,
                    "gas": "air", "hours_sealed": 60})  # fmt: skip
sample("a_bag_without_oxygen_does_not_wait", airless, [*TESTS[:3], OPEN], OPEN)
sample("distress_is_never_left_alone", chlorine, "Leave them alone.", BIND)
sample(
    "nobody_is_forbidden_to_move_the_way_out",
    spent,
    ["Lights down. Nobody nets or moves anything.", NET],
    [NET, "Lights down. Nobody nets or moves anything."],
)
sample(
    "rescue_comes_before_paper",
    chlorine,
    ["Telephone the fish health authority.", BIND],
    [BIND, "Telephone the authority."],
)
sample(
    "failing_fish_do_not_wait_for_tests",
    chlorine,
    ["Test ammonia and pH.", BIND],
    [BIND, "Test ammonia and pH."],
)
clown = fish("clownfish", "tank", DOWN, tank=m(salinity_g_kg=0.3, nitrite_mg_l=0))
sample(
    "a_zero_never_holds_a_rescue",
    clown,
    held_back(
        "Air the tank.",
        held="Put them in a tub of sea water.",
        because="Chasing may kill fish with nitrite in the blood.",
    ),
    held_back("Put them in a tub of sea water.", held="Leave them alone.", because="They fall."),
)
clean = fish("guppy", "tank", "refusing_food", tank=m(nitrite_mg_l=0))
sample(
    "a_zero_never_stands_as_presence",
    clean,
    written("Air the tank.", causes=(("nitrite", "likely"),)),
    written("Air the tank.", causes=(("settling", "likely"),)),
)
sample(
    "the_last_way_out_is_never_held",
    spent,
    held_back("Warm them slowly.", held=NET, because="These fish are cold."),
    held_back(TUB, held=NET, because="The tank is not fit."),
)
sample("what_fails_now_carries_the_word", chlorine, BIND, "!" + BIND)
lively = fish("guppy", "tank", CALM, tank=m(temperature_c=25, do_mg_l=7.5, nitrite_mg_l=0))
sample(
    "the_word_emergency_needs_something_failing", lively, "!Air the tank hard.", "Leave them alone."
)
shut = fish("guppy", "shut", CALM, bag=m(temperature_c=25), tank=m(temperature_c=25.5))
sample(
    "lively_fish_in_sound_bags_read_calm",
    shut,
    "Move them into a tub of clean water.",
    ["Float the bags shut.", "Open one bag and net them straight over."],
)
sample(
    "calm_fish_in_sound_water_read_calm",
    lively,
    "Put them into a tub of clean water.",
    "Leave them alone. Look again in an hour.",
)
still = fish("guppy", "tank", GULP, tank=m(do_mg_l=2))
sample("gulping_fish_in_a_tank_get_air", still, TESTS, "Air the tank hard.")
lidded = fish("honey gourami", "tank", "rapid_gill_movement", surface_covered="yes")
sample("a_cover_over_air_breathers_is_lifted", lidded, "Cover the tank.", "Lift the cover.")
live = fish("guppy", "tank", "spinning_convulsions", electric_fault_suspected="yes")
sample(
    "hands_stay_out_of_a_live_tank",
    live,
    ["Change half the water.", "Pull the plugs."],
    ["Hands off. Switch off at the wall and pull the plugs.", "Change half the water."],
)
dark = fish("guppy", "shut", CALM, receiving={"notes": "Power cut since noon."})
sample(
    "without_mains_air_comes_by_hand",
    dark,
    "Air the tank with the pump on full.",
    "Air the tank by hand: lift water in a jug and pour it back.",
)
sample(
    "a_rescue_is_followed_up",
    chlorine,
    [BIND, "Take out the dead.", "Test chlorine."],
    [BIND, "No food today.", "Look again in 15 minutes."],
)

gas = fish("neon tetra", "tank", GULP, co2_dosed="yes")
sample(
    "carbon_dioxide_dosing_is_shut_off",
    gas,
    "Air the tank hard.",
    ["Air the tank hard.", "Shut the carbon dioxide off."],
)
hose = fish("koi", "tank", GULP, tank=m(chlorine_mg_l=0.5), hose_left_running="yes")
sample("a_running_hose_is_shut", hose, BIND, ["Shut the tap.", BIND])
eggs = fish(
    "guppy", "tank", "rotten_egg_smell gasping_at_surface", gravel_or_filter_disturbed="yes"
)
sample(
    "stirred_ground_is_left_still",
    eggs,
    "Air the tank hard.",
    ["Stop stirring the gravel.", "Air the tank hard."],
)
bubbles = fish("goldfish", "tank", "bubbles_under_skin_fins_eyes", pump_sucks_air="yes")
sample(
    "a_pump_that_draws_air_is_mended",
    bubbles,
    "Air the tank hard.",
    "Stop what presses gas in: the leak on the pump's suction side.",
)
spray = fish("zebra danio", "tank", "spinning_convulsions sudden_deaths", spraying_nearby="yes")
sample("spraying_is_stopped", spray, "Air the tank hard.", "Stop the source: no more spray.")
torn = fish("guppy", "tank", "frayed_fins hiding", chaser_seen="yes")
sample(
    "a_chaser_is_parted_from_its_victim",
    torn,
    "Give shelter.",
    "Slide a divider between chaser and victim.",
)
sample(
    "a_filter_is_not_switched_on_foul",
    fish("guppy", "tank", CALM, filter_stopped="yes"),
    "Switch on the filter.",
    "Rinse the media, then switch on the filter.",
)
rolled = fish("zebra danio", "tank", DOWN, formalin_in_water="yes")
sample("a_remedy_that_fells_fish_is_thinned", rolled, TESTS, "Change half the water, matched.")
sample(
    "shrimp_leave_copper",
    fish("cherry shrimp", "tank", DOWN, copper_in_water="yes"),
    "Air the tank.",
    TUB,
)
