"""Laws of the move: into what water, over what step, and in what order of hands."""

from __future__ import annotations

import re

from tests.laws.danger import NITRITE_UNFIT_MG_L, tempering, unfit, wrong_salinity
from tests.laws.law import PRACTICE, law
from tests.laws.plan import Line, Plan
from tests.laws.situation import Situation

READY = "common practice: open only when ready (fishforums.net 200684)"
BAG = (
    "bio.net zbrafish 1997-October/003747 (no air into shipping water: it raises pH and un-ionised "
    "ammonia); southwestaquaculture.com/acclimating-saltwater-fish (opening the bag lets pH rise)"
)
NET_OUT = "tropical-fish-keeping.com/?p=4568 (no bag water to the tank, no tank water to the bag)"
SALT_STEP = (
    "Clinical Guide to Fish Medicine, salinity (rapid change is the harm, most when fish are moved "
    "between systems; newlib.net/nw_rd962787/p38); McGraw & Scarpa 2004, Aquaculture 236:285"
)
ANY_CHLORINE = "WikiVet, Chlorine: any measurable amount is extremely harmful"
FA16 = "Francis-Floyd et al., Ammonia in Aquatic Systems, UF/IFAS FA16"
SRAC = "Durborow, Crosby & Brunson, Nitrite in Fish Ponds, SRAC 462"
FA165 = "Yanong, Use of Copper in Marine Aquaculture, UF/IFAS FA165: lethal for most invertebrates"
FA27 = "Francis-Floyd, Dissolved Oxygen for Fish Production, UF/IFAS FA27: deaths under 2 mg/L"
OCELLARIS = "clownfish in distress at 8, dead at 7 ppt (researcher.life, salinity variations)"
QUARANTINE = (
    "common practice, no source; the other way round in reefs.com/magazine 2004 (newcomers kept "
    "apart for weeks so that disease does not pass)"
)
SPINES = (
    "blogs.thatpetplace.com 2010, Proper Handling of Aquarium Catfish (fin spines; nets); "
    "common practice: cup, not net"
)


def _into(s: Situation, p: Plan) -> list[Line]:
    """Lines that put this lot into the receiving water, while it is not in it yet."""
    return p.orders("release") if s.place != "tank" else []


def _blocked(s: Situation, p: Plan, reason: str, put_right: tuple[str, ...] = ()) -> bool:
    """No release while ``reason`` makes the tank unfit, unless an earlier line puts it right.

    What takes hours (warming, thinning, gas) puts nothing right by the next line: such a plan must
    say when ("once it reads ..."), and a line with a condition is no plain order.
    """
    if reason not in unfit(s):
        return True
    mended = p.place_of(*put_right) if put_right else None
    return all(mended is not None and mended < line.at for line in _into(s, p))


@law(ANY_CHLORINE)
def no_release_into_chlorine(s: Situation, p: Plan) -> bool:
    """Fish are not put into water in which chlorine was found before it is dechlorinated."""
    return _blocked(s, p, "chlorine", ("dechlorinate",))


@law(SRAC)
def no_release_into_nitrite(s: Situation, p: Plan) -> bool:
    """Fresh-water fish are not put into water with a harmful nitrite reading."""
    return _blocked(s, p, "nitrite")


@law(FA16)
def no_release_into_ammonia(s: Situation, p: Plan) -> bool:
    """Fish are not put into water whose un-ionised ammonia is surely harmful."""
    return _blocked(s, p, "ammonia")


@law(FA27)
def no_release_into_water_without_oxygen(s: Situation, p: Plan) -> bool:
    """Fish are not put into water without oxygen, or that has neither air nor filter running."""
    return _blocked(s, p, "oxygen", ("air_tank",)) and _blocked(s, p, "no air", ("air_tank",))


@law(FA165)
def no_release_into_copper(s: Situation, p: Plan) -> bool:
    """Shrimp, snails and corals are not put into water that holds copper."""
    said = s.kind.invertebrate and s.yes("copper_in_water") and s.place != "tank"
    return _blocked(s, p, "copper") and not (said and _into(s, p))


@law(f"{OCELLARIS}; salinity limits of the table of kinds")
def no_release_into_the_wrong_salinity(s: Situation, p: Plan) -> bool:
    """Sea fish are not put into fresh water, nor fresh-water fish into salt that kills them."""
    return _blocked(s, p, "salt")


@law("lethal temperatures as cited in the table of kinds")
def no_release_into_killing_warmth_or_cold(s: Situation, p: Plan) -> bool:
    """Fish are not put into water beyond the temperatures that injure their kind."""
    return _blocked(s, p, "cold") and _blocked(s, p, "heat")


@law("Oliveira et al. 2008 (lethal pH); Baldisserotto 2011 (pH 6 to 9 for most fresh kinds)")
def no_release_into_harmful_ph(s: Situation, p: Plan) -> bool:
    """Fish are not put into water whose pH harms their kind."""
    return _blocked(s, p, "acid") and _blocked(s, p, "alkaline")


@law(QUARANTINE)
def no_release_among_sick_residents(s: Situation, p: Plan) -> bool:
    """Newcomers are not put into a tank whose own fish are ill."""
    return _blocked(s, p, "sick residents")


@law(f"{PRACTICE}: live current kills fish and people")
def no_release_into_a_live_current(s: Situation, p: Plan) -> bool:
    """Fish and hands stay out of a tank with an electrical fault until it is off at the wall."""
    return _blocked(s, p, "current", ("cut_power",))


@law("Merck Veterinary Manual, Environmental Diseases of Aquatic Animals (gas supersaturation)")
def no_release_into_too_much_gas(s: Situation, p: Plan) -> bool:
    """Fish are not put into water surely over-full of gas."""
    return _blocked(s, p, "gas")


@law(f"{PRACTICE}: newcomers are not put into a bath")
def no_release_into_a_remedy(s: Situation, p: Plan) -> bool:
    """Newcomers are not put into water that holds formalin, dye, oxidiser or another remedy."""
    return _blocked(s, p, "remedy")


@law("Merck Veterinary Manual, Environmental Diseases (hydrogen sulfide)")
def no_release_into_sulfide(s: Situation, p: Plan) -> bool:
    """Fish are not put into water in which sulfide was found."""
    return _blocked(s, p, "sulfide")


@law(SALT_STEP)
def no_straight_release_over_a_step_of_salt(s: Situation, p: Plan) -> bool:
    """Over a step of five grams of salt a kilogram fish go by way of a tub of their own salt."""
    bag, tank = s.bag.readings.get("salinity_g_kg"), s.tank.readings.get("salinity_g_kg")
    if not s.in_bag or bag is None or tank is None or abs(bag.value - tank.value) < 5:
        return True
    soft = p.place_of("tub", "drip", "other_tank", "clean_water")
    return all(soft is not None and soft <= line.at for line in p.orders("release"))


@law(f"{SALT_STEP}; {PRACTICE}")
def no_straight_release_over_a_step_of_minerals(s: Situation, p: Plan) -> bool:
    """Where tank and bag differ fivefold in conductivity, fish that are well go by way of a tub."""
    bag = s.bag.value("conductivity_us_cm") or s.packed.value("conductivity_us_cm")
    tank = s.tank.value("conductivity_us_cm")
    if not s.in_bag or not bag or not tank or s.distress or abs(bag - tank) < 400:
        return True
    if max(bag, tank) / min(bag, tank) < 5:
        return True
    soft = p.place_of("tub", "drip", "other_tank")
    return all(soft is not None and soft <= line.at for line in p.orders("release"))


@law(SALT_STEP)
def invertebrates_are_not_netted_over_a_step(s: Situation, p: Plan) -> bool:
    """Shrimp, snails, corals and stars are brought over slowly where salt or minerals differ."""
    salt = [w.value("salinity_g_kg") for w in (s.bag, s.tank)]
    minerals = [w.value("conductivity_us_cm") for w in (s.bag, s.tank)]
    step = (None not in salt and abs(salt[0] - salt[1]) >= 2) or (
        None not in minerals
        and min(minerals) > 0
        and max(minerals) / min(minerals) >= 1.5
        and abs(minerals[0] - minerals[1]) >= 100
    )
    if not (s.in_bag and s.kind.invertebrate and step):
        return True
    soft = p.place_of("drip", "tub")
    return all(soft is not None and soft <= line.at for line in p.orders("release"))


@law(f"{PRACTICE}; {BAG}", kind="must")
def a_tub_stands_in_for_a_tank_that_is_not_fit(s: Situation, p: Plan) -> bool:
    """Fish that fail in the bag while the tank is surely unfit get a tub or another tank."""
    reasons = unfit(s) - {"step", "current"}
    if not (s.in_bag and s.distress and reasons) or "tub" in s.lacks:
        return True
    # Chilled fish are tempered in the shut bag first; the tub may hang on how they take it.
    cold = s.place == "closed_bag" and bool(tempering(s))
    return p.any_of("tub", "other_tank", "clean_water", first=4, conditional=cold)


@law(READY)
def sound_shut_bags_are_not_opened_into_an_unfit_tank(s: Situation, p: Plan) -> bool:
    """Shut bags with lively fish stay shut while the tank they would go into is surely unfit."""
    if s.place != "closed_bag" or not s.calm or not unfit(s) - {"step"}:
        return True
    quick = {"chlorine": "dechlorinate", "oxygen": "air_tank", "no air": "air_tank",
             "current": "cut_power"}  # fmt: skip
    mends = {quick[reason] for reason in unfit(s) if reason in quick}
    shut_first = p.place_of("keep_shut", "tub", "other_tank", *mends)
    opened = p.place_of("open_bag", "empty_bag")
    return opened is None or (shut_first is not None and shut_first < opened)


@law(READY)
def no_bag_is_cut_before_its_water_is_ready(s: Situation, p: Plan) -> bool:
    """Before the first sound bag is cut, the tank or a tub has been made ready or read."""
    if s.place != "closed_bag" or s.distress:
        return True
    opened = p.place_of("open_bag")
    ready = p.place_of("ready", "float", "tub", "test", "air_tank", "dechlorinate")
    words = [x.at for x in p.lines if re.search(r"\bready\b|before you cut|at hand", x.text, re.I)]
    first = min([at for at in (ready, *words) if at is not None], default=None)
    return opened is None or (first is not None and first <= opened)


@law(f"{PRACTICE}: what the fish go into comes before what they came in goes away")
def the_tub_comes_before_the_bag_is_emptied(s: Situation, p: Plan) -> bool:
    """Where a tub or drip is ordered, it stands before bags are emptied and water thrown away."""
    now = Plan(tuple(line for line in p.lines if line.when == "now"))
    tub = now.place_of("tub", "drip")
    gone = now.place_of("empty_bag", "pour_away")
    return not s.in_bag or tub is None or gone is None or tub <= gone


@law(NET_OUT)
def bag_water_never_goes_into_the_tank(s: Situation, p: Plan) -> bool:
    """Bag water is not poured into the tank."""
    return not p.any_of("bag_water_in", conditional=True)


@law(BAG)
def no_air_into_a_bag(s: Situation, p: Plan) -> bool:
    """No air stone hangs in a bag that holds fish and their ammonia."""
    return not p.any_of("air_bag", conditional=True)


@law(f"{NET_OUT}; {BAG}")
def no_drip_into_a_spent_bag(s: Situation, p: Plan) -> bool:
    """Fish in an open bag with ammonia, or failing in it, are not dripped in its water."""
    spent = s.distress or s.bag.surely_at_least("tan_mg_l", 2)
    if s.place != "open_bag" or not spent or s.kind.invertebrate:
        return True
    return all(line.orders("tub") or line.orders("clean_water") for line in p.orders("drip"))


@law(SPINES)
def spiny_kinds_go_in_a_cup(s: Situation, p: Plan) -> bool:
    """Catfish and other kinds with locking spines are not netted without a cup being offered."""
    if not s.kind.net_spines or not p.any_of("net"):
        return True
    return all(line.orders("cup") for line in p.orders("net")) or p.any_of("cup")


@law(OCELLARIS, kind="must")
def sea_fish_are_lifted_out_of_fresh_water(s: Situation, p: Plan) -> bool:
    """Sea fish that stand in fresh water are brought to sea water among the first three steps."""
    if not (s.place == "tank" and s.kind.water == "marine" and wrong_salinity(s, s.tank)):
        return True
    return p.any_of("tub", "clean_water", "other_tank", first=3)


@law("salinity limits of the table of kinds (goldfish, platy, barb trials)", kind="must")
def fresh_water_fish_are_lifted_out_of_killing_salt(s: Situation, p: Plan) -> bool:
    """Fresh-water fish in salt that kills their kind are taken out, or it is thinned, at once."""
    if not (s.place == "tank" and s.kind.water == "fresh" and wrong_salinity(s, s.tank)):
        return True
    return p.any_of("tub", "clean_water", "other_tank", "change_water", first=3)


@law(f"{SRAC}: such blood carries little oxygen; {PRACTICE}: they bear no chase")
def fish_with_brown_blood_are_not_chased(s: Situation, p: Plan) -> bool:
    """Fish with brown gills in water with nitrite are helped by the water, not chased with nets."""
    brown = "brown_gills" in s.seen and s.tank.surely_at_least("nitrite_mg_l", 0.25)
    brown = brown and s.tank.read_at_least("nitrite_mg_l", NITRITE_UNFIT_MG_L * 0.5)
    if s.place != "tank" or not brown or wrong_salinity(s, s.tank):
        return True
    return not p.any_of("net")


@law(QUARANTINE)
def a_catching_disease_keeps_newcomers_out(s: Situation, p: Plan) -> bool:
    """A lot still in its bag is not put into water where another lot shows a catching disease."""
    catching = {"white_spots", "gold_dust", "saddle_shaped_pale_patch", "white_gill_patches"}
    ill = any(o.place == "tank" and o.seen & catching for o in s.others)
    return not ill or not s.in_bag or not _into(s, p)
