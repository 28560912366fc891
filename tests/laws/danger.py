"""What is surely wrong with a water for these fish, by published limits and the test's table.

Only what is sure counts here: found by its kit, with the whole band beyond the limit.
"""

from __future__ import annotations

import re

from tests.laws.situation import Situation, Water

# Francis-Floyd, Dissolved Oxygen for Fish Production, UF/IFAS FA27 (text read at
# aquameds.com/blogs/news/dissolved-oxygen): distress at 2 to 4 mg/L, deaths mostly under 2.
OXYGEN_KILLS_MG_L, OXYGEN_DISTRESS_MG_L, OXYGEN_HARM_MG_L = 2.0, 3.0, 4.0
# 96 h LC50 of NH3-N 0.62 (curimbata), 0.75 (clownfish, Medeiros 2014), 0.93 (carp, Abbas 2006);
# harm begins near 0.05 (Tucker 1984 in Fundamentals of Aquatic Veterinary Medicine).
NH3_KILLS_MG_L, NH3_UNFIT_MG_L, NH3_HARM_MG_L = 0.4, 0.1, 0.05
# 0.2 to 0.3 mg/L kills most fish fairly rapidly (koinet.net, Chlorine and Chloramine; WikiVet,
# Chlorine: any measurable amount is extremely harmful).
CHLORINE_KILLS_MG_L, CHLORINE_UNFIT_MG_L = 0.1, 0.05
# As N. Matrinxa LC50 0.86 (Avilez 2004), silver catfish safe to 1.19 (Lima 2011), zebrafish far
# higher with chloride (Voslarova 2006): 1 is taken as surely unfit for fresh kinds without salt.
NITRITE_UNFIT_MG_L = 1.0
# Copper is lethal for most invertebrates at strengths used for fish (Yanong, UF/IFAS FA165).
COPPER_INVERTEBRATES_MG_L, COPPER_FISH_MG_L = 0.05, 0.5
# From memory: hydrogen sulfide harms fish from hundredths of a mg/L; gas from some 110 %.
SULFIDE_MG_L, GAS_PCT = 0.05, 110.0
# drjohnson.com, acclimating shipped fish: 5 °F is nothing, 20 °F often kills; 5 °C lies between.
STEP_C = 5.0
_REMEDIES = (
    "formalin_in_water", "oxidiser_in_water", "dye_in_water", "antibiotic_in_water",
    "other_medicine_in_water",
)  # fmt: skip


def water_faults(s: Situation, water: Water, killing: bool) -> set[str]:
    """What is surely wrong in ``water`` for this lot; with ``killing`` only what kills soon."""
    k, found = s.kind, set()
    if k.cold_injury_c is not None and water.surely_at_most("temperature_c", k.cold_injury_c):
        found.add("cold")
    if k.heat_injury_c is not None and water.surely_at_least("temperature_c", k.heat_injury_c):
        found.add("heat")
    oxygen = OXYGEN_KILLS_MG_L if killing else OXYGEN_DISTRESS_MG_L
    if water.surely_at_most("do_mg_l", oxygen) and not (killing and k.air_breather):
        found.add("oxygen")
    nh3 = water.nh3_mg_l("low")
    if nh3 is not None and nh3 >= (NH3_KILLS_MG_L if killing else NH3_UNFIT_MG_L):
        found.add("ammonia")
    chlorine = CHLORINE_KILLS_MG_L if killing else CHLORINE_UNFIT_MG_L
    if water.surely_at_least("chlorine_mg_l", chlorine):
        found.add("chlorine")
    if _nitrite_bites(s, water) and (not killing or s.seen & {"brown_gills", "gasping_at_surface"}):
        found.add("nitrite")
    if wrong_salinity(s, water):
        found.add("salt")
    if k.ph_harm_low is not None and k.ph_harm_high is not None:
        if water.surely_at_most("ph", k.ph_harm_low):
            found.add("acid")
        if water.surely_at_least("ph", k.ph_harm_high):
            found.add("alkaline")
    copper = COPPER_INVERTEBRATES_MG_L if k.invertebrate else COPPER_FISH_MG_L
    if water.surely_at_least("copper_mg_l", copper):
        found.add("copper")
    if water.surely_at_least("sulfide_mg_l", SULFIDE_MG_L):
        found.add("sulfide")
    if water.surely_at_least("total_gas_pressure_pct", GAS_PCT + (5 if killing else 0)):
        found.add("gas")
    return found


def _nitrite_bites(s: Situation, water: Water) -> bool:
    """Nitrite beyond the limit, in fresh water whose chloride does not shield the fish."""
    # SRAC 462: ten parts of chloride to one of nitrite shield; sea salt is somewhat over half
    # chloride.
    chloride = water.value("chloride_mg_l") or 550 * (water.value("salinity_g_kg") or 0)
    return (
        s.kind.water != "marine"
        and chloride < 10 * (water.value("nitrite_mg_l") or 0)
        and water.surely_at_least("nitrite_mg_l", NITRITE_UNFIT_MG_L * 0.5)
        and water.read_at_least("nitrite_mg_l", NITRITE_UNFIT_MG_L)
    )


def _salt_gainsaid(water: Water) -> bool:
    """Salinity, conductivity and chloride of one water that cannot all be true.

    A gram of sea salt a kilogram conducts some 1,500 to 2,000 µS/cm at 25 °C and holds 550 mg of
    chloride (Millero et al. 2008, reference composition; from memory): fourfold less is none.
    """
    salt = water.readings.get("salinity_g_kg")
    if salt is None or salt.low < 2:
        return False
    thin = water.surely_at_most("conductivity_us_cm", 400 * salt.low)
    return thin or water.surely_at_most("chloride_mg_l", 137 * salt.low)


def wrong_salinity(s: Situation, water: Water) -> bool:
    """Surely too salt for a fresh kind, or too fresh for one of the sea."""
    lethal = s.kind.salt_lethal_g_kg
    if lethal is None or (s.kind.water != "marine" and _salt_gainsaid(water)):
        return False
    if s.kind.water == "marine":
        thin = water.surely_at_most("conductivity_us_cm", 5000)
        return water.surely_at_most("salinity_g_kg", lethal) or thin
    return water.surely_at_least("salinity_g_kg", lethal)


def came_in_such_water(s: Situation) -> bool:
    """Sea fish whose bag was read as thin as the tank that they are in.

    No fish of the sea lives through a journey in fresh water (ocellaris die at 7 g/kg, lowered over
    weeks): the reading or the name is wrong, and neither is sure.
    """
    bag = s.bag if "salinity_g_kg" in s.bag.readings else s.packed
    return s.kind.water == "marine" and s.place == "tank" and wrong_salinity(s, bag)


def unfit(s: Situation) -> set[str]:
    """Why the water they are to go into is surely not fit for them."""
    water = s.next
    found = water_faults(s, water, killing=False)
    here, there = s.present.value("temperature_c"), water.value("temperature_c")
    if here is not None and there is not None and abs(here - there) >= STEP_C:
        found.add("step")
    if s.said("residents_well") == "no" and s.said("residents") != "no":
        found.add("sick residents")
    if s.yes("electric_fault_suspected"):
        found.add("current")
    if s.said("aerated") == "no" and (s.yes("filter_stopped") or "power" in s.lacks):
        found.add("no air")
    if any(s.yes(name) for name in _REMEDIES):
        found.add("remedy")
    return found


def harms_now(s: Situation) -> set[str]:
    """What is surely harming this lot where it is; readings that calm fish gainsay do not count."""
    found = set() if disagrees(s) else water_faults(s, s.present, killing=True)
    if came_in_such_water(s):
        found.discard("salt")
    if s.in_bag and s.distress:
        found.add("spent bag")
    if s.yes("electric_fault_suspected") and s.place == "tank":
        found.add("current")
    if s.place == "tank" and "rotten_egg_smell" in s.seen and s.distress:
        found.add("sulfide")
    return found


def tempering(s: Situation) -> tuple[str, ...]:
    """For fish in a shut bag that cold alone may have felled, warming is a way.

    Not for gulping fish, nor where the bag's ammonia is high or, after 8 h, was not read.
    """
    if s.place != "closed_bag" or s.gasps or s.bag.read_at_least("tan_mg_l", 3):
        return ()
    if "tan_mg_l" not in s.bag.readings and (hours_sealed(s) is None or hours_sealed(s) >= 8):
        return ()
    # Of a kind not known: goldfish lose their balance at 2.6 to 6.5 °C, most others before.
    limit = 5.0 if s.kind.cold_injury_c is None else s.kind.cold_injury_c + 1
    cold = s.bag.read_at_most("temperature_c", limit)
    cold = cold or (s.yes("box_arrived_cold") and "temperature_c" not in s.bag.readings)
    return ("warm",) if cold else ()


def hours_sealed(s: Situation) -> float | None:
    """Hours in the shut bag, of the lot or of the delivery."""
    hours: float | None = s.own.get("hours_sealed", s.transit.get("hours_sealed"))
    return hours


def disagrees(s: Situation) -> bool:
    """Fish that swim and eat or answer, in warmth or oxygen that should have felled them.

    Not so with poisons: a 96 h limit is not gainsaid by fish that still swim.
    """
    awake = {"swimming_normally", "eating", "answers_a_hand"}
    return s.calm and len(s.seen & awake) >= 2 and bool(
        water_faults(s, s.present, killing=True) & {"cold", "heat", "oxygen"}
    )  # fmt: skip


def failing_now(s: Situation) -> bool:
    """Fish that are down or gulping, or water that kills within the hour."""
    return bool(harms_now(s)) or s.distress


def may_be_failing(s: Situation) -> bool:
    """Anything that could honestly carry the word emergency, sure or not."""
    acute = {"darting", "rapid_gill_movement", "sudden_deaths", "jumping", "weak_response",
             "deaths_with_mouth_open_gills_flared", "brown_gills", "hanging_at_surface",
             "slow_gill_movement", "unresponsive", "delayed_deaths", "rotten_egg_smell",
             "excess_mucus_cloudy_skin", "invertebrates_die_first", "sunken_eyes",
             "white_gill_patches", "flared_gill_covers",
             "bubbles_under_skin_fins_eyes"}  # fmt: skip
    alarms = ("electric_fault_suspected", "hose_left_running", "spraying_nearby", "jumped_out",
              "tangled_in_net", "box_arrived_hot", "box_arrived_cold", "water_feels_cold",
              "water_feels_hot", "tap_water_rescue", "untreated_tap_water")  # fmt: skip
    lately = Situation(**{**s.__dict__, "seen": s.seen | s.lately})
    return (
        failing_now(s)
        or lately.distress
        # Gouramis come up for air as a habit, and swim on; gasping without end is trouble
        # (enviroliteracy.org, gouramis at the surface). Nobody saw these swim on.
        or ("gasping_at_surface" in s.seen and "swimming_normally" not in s.seen)
        or bool(lately.seen & acute)
        or _many_dead(s)
        or any(s.yes(name) for name in alarms)
        or (  # changed from a disinfected supply, and nothing bound it: tap water as it came
            s.yes("water_changed_last_day")
            and s.said("dechlorinator_used") == "no"
            and s.said("supply") in ("chlorine", "chloramine", "disinfected")
        )
        or leaks(s)
        or (s.yes("chaser_seen") and bool(s.seen & {"missing_scales", "ulcers", "frayed_fins"}))
        or oxygen_surely_out(s)
        or _shut_for_long_unwatched(s)
        or _spent_and_open(s)
        or _possible_faults(s)
        or any(failing_now(o) for o in s.others)
    )


def _spent_and_open(s: Situation) -> bool:
    """An opened bag that was shut for hours: its pH climbs and its ammonia turns poisonous.

    bio.net zbrafish 1997-October/003747; past about 8 h ammonia is the main issue in a sealed bag
    (Sampaio & Freire 2016).
    """
    hours, nh3 = hours_sealed(s), s.bag.nh3_mg_l("high")
    if s.bag.none_found("tan_mg_l") or (nh3 is not None and nh3 < NH3_HARM_MG_L):
        return False
    open_now = s.place == "open_bag" or (s.place == "unknown" and s.own.get("sealed") == "no")
    return open_now and hours is not None and hours >= 8


def _shut_for_long_unwatched(s: Situation) -> bool:
    """A bag shut for half a day on air or no gas, in which nobody saw them swim.

    Common practice, no source: without oxygen bags are packed for hours, not for the night.
    """
    hours = hours_sealed(s)
    unseen = not s.seen & {"swimming_normally", "answers_a_hand", "eating", "breathing_settling"}
    airless = s.own.get("gas") in ("none", "air")
    airless = airless and not s.kind.air_breather
    return s.place == "closed_bag" and airless and unseen and hours is not None and hours >= 12


def _many_dead(s: Situation) -> bool:
    """Two in a hundred and more dead, or some of a number not known (common practice)."""
    total = s.count or (s.normal or 0) + s.down + s.dead
    return s.dead > 0 and s.dead >= 0.02 * total


def _possible_faults(s: Situation) -> bool:
    """A figure, taken at its word, beyond an injury limit, in a water that may be theirs."""
    theirs = (s.tank, s.bag) if s.place == "unknown" else (s.present,)  # nobody said which
    return any(_possibly_harms(s, water) for water in theirs)


def _possibly_harms(s: Situation, w: Water) -> bool:
    k = s.kind
    return bool(
        (k.cold_injury_c is not None and w.read_at_most("temperature_c", k.cold_injury_c + 1))
        or (k.heat_injury_c is not None and w.read_at_least("temperature_c", k.heat_injury_c - 1))
        or w.read_at_most("do_mg_l", 4)
        or (w.nh3_mg_l("high") or 0) >= NH3_UNFIT_MG_L
        or w.read_at_least("chlorine_mg_l", 0.02)
        or w.read_at_least("nitrite_mg_l", 0.5)
        or w.read_at_least("sulfide_mg_l", 0.01)
        or w.read_at_least("copper_mg_l", 0.05)
        or w.read_at_least("total_gas_pressure_pct", 108)
        or w.read_at_least("tan_mg_l", 3)
        or w.read_at_least("co2_mg_l", 60)
        or wrong_salinity(s, w)
        or (k.ph_harm_low is not None and w.read_at_most("ph", k.ph_harm_low + 0.3))
        or (k.ph_harm_high is not None and w.read_at_least("ph", k.ph_harm_high - 0.3))
    )


def leaks(s: Situation) -> bool:
    """An answer or the words say that a bag has lost its water or its gas."""
    if s.yes("bag_leaks"):
        return True
    denied = r"\b(none of (the|them)[\w ]*|no (bag|one)s?|nothing|not a bag|not|never|n't) leak\w*"
    notes = re.sub(denied, "", s.notes)
    return bool(re.search(r"\b(leak\w*|burst|punctur\w*|gone flat|half empty|lost (its|the) "
                          r"(water|gas|oxygen)|no gas left|split bag)\b", notes))  # fmt: skip


def oxygen_surely_out(s: Situation) -> bool:
    """A shut bag whose fish, at the lowest published rate, have used more than was packed.

    Starved pikeperch use 106 mg/kg/h at 20 °C and 146 at 24 (Zakes & Karpinski 1999), zebrafish
    364 at rest (Lucas & Priede 1992); 100 is taken from 22 °C and 50 below. A litre of oxygen
    weighs 1.31 g at 25 °C, air holds 0.275 g of it, water 8 mg. A tenth over all of it is asked.
    """
    own = dict(s.own)
    if own.get("gas") == "none":
        own["bag_gas_l"] = 0.0
    hours = own.get("hours_sealed", s.transit.get("hours_sealed"))
    parts = (hours, *(own.get(p) for p in ("mass_g", "count", "bag_water_l", "bag_gas_l")))
    share = {"oxygen": 1310.0, "air": 275.0, "none": 0.0}.get(own.get("gas"))
    if s.place != "closed_bag" or None in parts or share is None or s.kind.air_breather:
        return False
    rate = 100 if (s.bag.value("temperature_c") or 0) >= 22 else 50
    kg = own["mass_g"] * own["count"] / (own.get("bags") or 1) / 1000
    packed_mg = own["bag_gas_l"] * share + own["bag_water_l"] * 8
    # More fish than water in a bag is a wrong figure, and no sum rests on it.
    return bool(kg * rate * hours > 1.1 * packed_mg) and kg <= float(own["bag_water_l"])
