"""Samples for the laws of what goes into the water, and of people."""

from tests.laws.plan import Line, written
from tests.laws.samples import fish, sample
from tests.laws.samples_move import CALM, DOWN, m

GULP = "gasping_at_surface rapid_gill_movement"
MAINS = {"supply": "chlorine"}


def dosed(text: str, value: float, unit: str):
    """A plan of one line with one amount."""
    return written(Line(0, text, amounts=({"value": value, "unit": unit},)))


ammonia = fish("guppy", "tank", "clamped_fins", tank=m(tan_mg_l=3, ph=7.2), tap=m(ph=8.4))
sample(
    "no_base_while_ammonia_stands",
    ammonia,
    "Dissolve sodium bicarbonate and raise the pH.",
    "Leave the pH where it is. No buffer.",
)
sample(
    "no_water_change_that_wakes_ammonia",
    ammonia,
    "Change half the water.",
    "Change a tenth of the water a day.",
)
sample("no_acid_into_water_with_fish", ammonia, "Add acid to lower the pH.", "No acid, no peat.")
mains = fish("guppy", "tank", "clamped_fins", tank=m(tan_mg_l=2), receiving=MAINS)
sample(
    "no_untreated_mains_water",
    mains,
    "Change half the water.",
    "Change half the water, dechlorinated and matched.",
)
none = fish(
    "guppy",
    "tank",
    GULP,
    tank=m(chlorine_mg_l=0.8),
    receiving={**MAINS, "notes": "No dechlorinator in the house."},
)
sample(
    "no_dechlorinator_where_there_is_none",
    none,
    "Dose dechlorinator at once.",
    "Move them into a tub of clean water from another source.",
)
sample(
    "chlorine_is_taken_out",
    fish("guppy", "tank", GULP, tank=m(chlorine_mg_l=0.8)),
    ["Air the tank.", "No food.", "Count them."],
    ["Dose dechlorinator for the whole tank."],
)
sample(
    "chlorine_that_is_gone_is_not_dosed_again",
    fish("guppy", "tank", CALM, tank=m(chlorine_mg_l=0), dechlorinator_used="yes"),
    "Dose dechlorinator.",
    "Test chlorine tonight.",
)
cory = fish("bronze corydoras", "tank", "clamped_fins", tank=m(temperature_c=24))
sample("no_salt_where_it_kills", cory, "Give them a bath in 5 g/L salt water.", "No salt.")
clown = fish("clownfish", "tank", "clamped_fins", tank=m(salinity_g_kg=34))
sample(
    "no_salt_dose_for_sea_fish",
    clown,
    "Dissolve plain salt and pour it in.",
    "Mix marine salt to 33 g/kg in a tub.",
)
zeolite = fish("tiger barb", "tank", "brown_gills", tank=m(nitrite_mg_l=3), zeolite_in_filter="yes")
sample(
    "no_salt_beside_zeolite",
    zeolite,
    "Dissolve plain salt in a jug and pour it in.",
    "Take the zeolite out. Then dissolve plain salt and pour it in.",
)
snails = fish("guppy", "tank", "clamped_fins", receiving={"invertebrates": "yes"})
sample(
    "no_salt_on_plants_snails_or_shrimp",
    snails,
    dosed("Dissolve plain salt and pour it in.", 3, "g/L"),
    "No salt.",
)
brown = fish("tiger barb", "tank", "brown_gills gasping_at_surface", tank=m(nitrite_mg_l=3))
sample(
    "nitrite_with_brown_gills_is_answered",
    brown,
    ["Air the tank.", "Net nobody."],
    ["Air the tank.", "Dissolve plain salt in a jug and pour it in."],
)
sample("no_food_for_fish_in_distress", brown, "Feed a little tonight.", "No food today.")
sample("no_food_in_the_bag", fish("guppy", "shut", CALM), "Offer a little food.", "No food.")
lethal = fish("guppy", "tank", "clamped_fins", tank=m(tan_mg_l=12, ph=8.2, temperature_c=26))
sample("no_food_into_poisoned_water", lethal, "One small meal tonight.", "Hold the food.")
thin = fish(
    "tiger barb",
    "tank",
    "sunken_belly refusing_food",
    hours=60,
    tank=m(temperature_c=25, tan_mg_l=0, nitrite_mg_l=0),
)
sample("thin_calm_fish_are_not_starved", thin, "No food today.", "Feed three pinches a day.")
sample(
    "no_second_binder",
    fish("guppy", "tank", "clamped_fins", ammonia_binder_in_water="yes"),
    "Add an ammonia binder by its label.",
    "Change half the water.",
)
spots = fish("tiger barb", "tank", "white_spots")
sample(
    "no_dose_of_a_drug_is_ordered",
    spots,
    "Give formalin, 25 mg per litre.",
    "Ask the vet which remedy.",
)
sample(
    "no_drug_without_a_veterinarian",
    spots,
    "Treat with malachite green.",
    "Ask a vet about malachite green.",
)
sample("no_copper_with_invertebrates", snails, "Dose copper against the parasite.", "No copper.")
full = fish("goldfish", "tank", "bubbles_under_skin_fins_eyes", tank=m(total_gas_pressure_pct=116))
sample(
    "no_fine_bubbles_into_too_much_gas",
    full,
    "Put in an air stone on full.",
    "Break the surface with a coarse splash - no fine bubbles.",
)
sample(
    "no_dip_for_fish_that_fail",
    fish("clownfish", "tank", DOWN),
    "A dip of 3 minutes in fresh water.",
    "No dip.",
)
sea = fish(
    "royal gramma",
    "tank",
    CALM + " eating",
    hours=200,
    tank=m(nitrite_mg_l=3, salinity_g_kg=34, temperature_c=25),
)
sample(
    "calm_sea_fish_in_nitrite_need_no_great_change",
    sea,
    "Change 50 % of the water.",
    "Change a tenth of the water this week.",
)
black = fish("chocolate gourami", "tank", CALM, tank=m(ph=5.4, temperature_c=26))
sample(
    "sound_black_water_is_left_soft",
    black,
    "Mix tap water into this pure water.",
    "Leave them alone.",
)
sample(
    "amounts_can_be_weighed",
    mains,
    dosed("Dose sodium thiosulfate.", 0.04, "g"),
    dosed("Dose sodium thiosulfate.", 2.5, "g"),
)
sample(
    "without_a_pump_air_is_made_by_hand",
    fish("guppy", "tank", GULP, receiving={"notes": "There is no air pump."}),
    "Air the tank with an air stone.",
    "Air the tank: pour water from a height.",
)

ray = fish("motoro stingray", "shut", "lying_on_bottom_upright")
sample(
    "those_who_handle_stinging_fish_are_warned",
    ray,
    "Open the bag and lift them over.",
    ["Its tail spine is venomous: keep hands off.", "Open the bag."],
)
sample(
    "first_aid_for_a_sting_is_told",
    ray,
    "Open the bag and lift them over.",
    ["Open the bag and lift them over.", "Stung: soak the hand in hot water and see a doctor."],
)
cow = fish("longhorn cowfish", "shut", DOWN)
sample(
    "boxfish_poison_is_told",
    cow,
    "Open the bag and net them straight over.",
    "Open the bag; its skin poison kills tank mates: into its own tub.",
)
koi = fish(
    "koi", "tank", "white_gill_patches sunken_eyes", tank=m(temperature_c=20), counts=(10, 2, 3)
)
sample(
    "suspicion_of_the_koi_virus_is_told",
    koi,
    "Air the tank.",
    "Telephone the fish health authority.",
)
sample(
    "koi_under_suspicion_are_not_sent_on",
    koi,
    "Send the koi back to the supplier.",
    "Nothing leaves.",
)
sample(
    "many_dying_fish_bring_a_vet",
    fish("guppy", "tank", DOWN, counts=(2, 10, 6)),
    "Air the tank.",
    ["Air the tank.", "Call a vet now."],
)
sample(
    "killing_is_humane_or_not_advised",
    koi,
    "Kill the worst and freeze them.",
    "Ask a vet to end their suffering.",
)
chilled = fish("guppy", "shut", DOWN, box_arrived_cold="yes")
sample(
    "fish_that_may_live_are_not_given_up",
    chilled,
    "Kill those that lie still.",
    "Do not count them dead yet.",
)
alone = fish("guppy", "shut", CALM, receiving={"notes": "I am alone today."})
sample(
    "a_second_person_is_not_asked_of_one_alone",
    alone,
    "Have one person free at the tank.",
    "Have the tub in reach.",
)
sample(
    "no_fish_or_bag_water_into_a_stream",
    alone,
    "Pour the bag water into the stream.",
    "Pour it into a bucket, not into a stream.",
)

gassed = m(total_gas_pressure_pct=120)
sample(
    "too_much_gas_is_driven_off",
    fish("guppy", "tank", DOWN, tank=gassed),
    "Hang an airstone in the tank.",
    "Let the return splash over a plate.",
)
sample(
    "shared_water_is_cut_off_from_a_catching_disease",
    fish("guppy", "tank", "white_spots", receiving={"shared_system": "yes"}),
    "Wash your hands between tanks.",
    "Close its inflow and overflow and air it.",
)
sample(
    "a_sample_is_taken_before_the_water_is_changed",
    fish("guppy", "tank", DOWN),
    ["Change half the water.", "One bottle of this water before anything is changed."],
    ["One bottle of this water before anything is changed.", "Change half the water."],
)
