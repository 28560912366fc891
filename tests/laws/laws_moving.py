"""Laws of the move: into what water, over what step, and in what order of hands."""

from __future__ import annotations

import re

from tests.laws.clauses import clauses, sentences
from tests.laws.danger import (
    NH3_HARM_MG_L,
    NITRITE_UNFIT_MG_L,
    OXYGEN_HARM_MG_L,
    came_in_such_water,
    tempering,
    unfit,
    wrong_salinity,
)
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
QUARANTINE = "Yanong & Erlacher-Reid, Biosecurity in Aquaculture 1, SRAC 4707 (quarantine)"
SPINES = (
    "blogs.thatpetplace.com 2010, Proper Handling of Aquarium Catfish (fin spines; nets); "
    "common practice: cup, not net"
)


#: Words of a condition that say the water was put right, whatever was wrong with it.
_CURED = re.compile(
    r"\b(?:reads?|shows?|tests?|tested|falls?|under|below|above|over|down to|up to|within|fit|"
    r"ready|right|clear|clean|safe|sound|matched|match|agree|aired|air is|dechlorinated|treated|"
    r"settled|well|healthy|mended|put right|is (?:off|out|gone)|off at|nothing found|nil|zero|"
    r"quarantine\w*)\b"
)


def _into(s: Situation, p: Plan) -> list[Line]:
    """Lines that put this lot into the receiving water, while it is not in it yet.

    A conditional line counts too, unless its condition names the cure ("once it reads ...").
    """
    if s.place == "tank":
        return []
    plain = p.orders("release")
    hung = [x for x in p.orders("release", conditional=True) if x not in plain]
    return [*plain, *(line for line in hung if not _hangs_on_the_cure(line))]


def _hangs_on_the_cure(line: Line) -> bool:
    """Whether every sentence that releases under a condition names the water put right."""
    return all(
        any(_CURED.search(c.text) for c in clauses(one) if c.mood == "aside")
        for one in sentences(line.text)
        if Line(0, one).orders("release", conditional=True)
    )


def _blocked(
    s: Situation, p: Plan, reason: str, put_right: tuple[str, ...] = (), found: bool = False
) -> bool:
    """No release while ``reason`` makes the tank unfit, unless an earlier line puts it right.

    ``found`` adds what is read without being sure: enough to hold a release back. What takes
    hours (warming, thinning, gas) puts nothing right by the next line: such a plan must say
    when ("once it reads ...").
    """
    if reason not in unfit(s) and not found:
        return True
    mended = p.place_of(*put_right) if put_right else None
    return all(mended is not None and mended < line.at for line in _into(s, p))


@law(ANY_CHLORINE)
def no_release_into_chlorine(s: Situation, p: Plan) -> bool:
    """Fish are not put into water with chlorine, read or surely brought, before it is bound."""
    raw = s.yes("untreated_tap_water") and s.said("supply") in ("chlorine", "chloramine")
    raw = raw and "chlorine_mg_l" not in s.tank.readings
    found = raw or s.tank.read_at_least("chlorine_mg_l", 0.02)
    return _blocked(s, p, "chlorine", ("dechlorinate", "bind_chlorine"), found)


@law(SRAC)
def no_release_into_nitrite(s: Situation, p: Plan) -> bool:
    """Fresh-water fish are not put into water with a harmful nitrite reading."""
    return _blocked(s, p, "nitrite")


@law(FA16)
def no_release_into_ammonia(s: Situation, p: Plan) -> bool:
    """Fish are not put into water whose ammonia, by its read value, reaches harm (0.05 as N)."""
    nh3, unread = s.tank.nh3_mg_l("value"), "ph" not in s.tank.readings
    # With pH unread 5 mg/L reaches that at pH 7.3 and 25 °C.
    found = (nh3 or 0) >= NH3_HARM_MG_L or (unread and s.tank.read_at_least("tan_mg_l", 5))
    return _blocked(s, p, "ammonia", found=s.place != "tank" and found)


@law(FA27)
def no_release_into_water_without_oxygen(s: Situation, p: Plan) -> bool:
    """Fish are not put into water without oxygen, or that has neither air nor filter running."""
    low = s.tank.read_at_most("do_mg_l", OXYGEN_HARM_MG_L) and not s.kind.air_breather
    no_air = _blocked(s, p, "no air", ("air_tank",))
    return no_air and _blocked(s, p, "oxygen", ("air_tank",), low)


@law(FA165)
def no_release_into_copper(s: Situation, p: Plan) -> bool:
    """Shrimp, snails, corals, sharks and rays are not put into water that holds copper."""
    frail = s.kind.invertebrate or s.kind.id.endswith(("_rays", "marine_sharks"))
    soft = s.tank.read_at_most("hardness_mg_l_caco3", 50)
    found = (frail and (s.yes("copper_in_water") or s.tank.read_at_least("copper_mg_l", 0.05))) or (
        soft and s.tank.read_at_least("copper_mg_l", 0.2)
    )
    return _blocked(s, p, "copper", found=found)


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
    return _blocked(s, p, "sulfide", found=s.tank.read_at_least("sulfide_mg_l", 0.01))


@law(SALT_STEP)
def no_straight_release_over_a_step_of_salt(s: Situation, p: Plan) -> bool:
    """Over five grams of salt a kilogram up, ten down, fish go by way of a tub of their own."""
    bag, tank = s.bag.readings.get("salinity_g_kg"), s.tank.readings.get("salinity_g_kg")
    if not s.in_bag or bag is None or tank is None or -10 < tank.value - bag.value < 5:
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
    if not (s.in_bag and s.distress and reasons):
        return True
    if "tub" in s.lacks:  # then the tank is mended, or there is another
        mends = (*_QUICK.values(), "bind_chlorine", "change_water", "warm_tank", "cool_tank")
        return p.any_of("other_tank", "clean_water", *mends, first=5, conditional=True)
    if p.any_of("tub", "other_tank", "clean_water", first=4):
        return True
    # Chilled fish are tempered in the shut bag first; the tub may hang on how they take it.
    warm = p.place_of(*tempering(s)) if tempering(s) else None
    tubs = [line.at for line in p.lines[:4] if line.orders("tub", conditional=True)]
    return warm is not None and any(warm <= at for at in tubs)


#: What a step of minutes puts right in the tank.
_QUICK = {"chlorine": "dechlorinate", "oxygen": "air_tank", "no air": "air_tank",
          "current": "cut_power"}  # fmt: skip


@law(READY)
def sound_shut_bags_are_not_opened_into_an_unfit_tank(s: Situation, p: Plan) -> bool:
    """Shut bags with lively fish stay shut while the tank they would go into is surely unfit."""
    if s.place != "closed_bag" or not s.calm or not unfit(s) - {"step"}:
        return True
    opened = p.place_of("open_bag", "empty_bag")
    shut, other = p.place_of("keep_shut"), p.place_of("tub", "other_tank")
    if opened is None or (shut is not None and shut < opened):
        return True
    if other is not None and other <= opened:  # "open it: out of it into a tub" in one line
        return True
    mends = [p.place_of(_QUICK.get(why, "keep_shut")) for why in unfit(s) - {"step"}]
    return all(at is not None and at < opened for at in mends)


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
    """No air stone hangs in a bag with fish and ammonia; gulping fish without a tub may."""
    clear = s.bag.none_found("tan_mg_l") and s.place == "open_bag"
    if clear and s.gasps and "tub" in s.lacks:
        return True
    return not p.any_of("air_bag", conditional=True)


@law(f"{NET_OUT}; {BAG}")
def no_drip_into_a_spent_bag(s: Situation, p: Plan) -> bool:
    """Fish in a bag with ammonia, or failing in it, are not dripped in its water."""
    spent = s.distress or s.bag.read_at_least("tan_mg_l", 2)
    if not s.in_bag or not spent or s.kind.invertebrate:
        return True
    from_tub = re.compile(r"\bfrom the (clean )?tub\b", re.IGNORECASE)  # they left the bag for it
    return all(
        line.orders("tub") or line.orders("clean_water") or from_tub.search(line.text)
        for line in p.orders("drip")
    )


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
    again = r"\bread the salt\b.*\bagain\b|\bsalinity again\b|\bwhich fish\b"
    if came_in_such_water(s) and any(
        x.when == "now" and re.search(again, x.text, re.I) for x in p.lines
    ):
        return True
    thicken = [x for x in p.lines[:3] if re.search(r"\b(sea|salt|mixed)\b", x.text, re.I)]
    if "tub" in s.lacks and any(line.orders("change_water") for line in thicken):
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
    return all(x.orders("tub") or x.orders("clean_water") for x in p.orders("net"))


@law(QUARANTINE)
def a_catching_disease_keeps_newcomers_out(s: Situation, p: Plan) -> bool:
    """A lot still in its bag is not put into water where another lot shows a catching disease."""
    catching = {"white_spots", "gold_dust", "saddle_shaped_pale_patch", "white_gill_patches"}
    ill = any(o.place == "tank" and o.seen & catching for o in s.others)
    if s.distress and "other_tank" in s.lacks:
        return True  # they fail in the bag and the house has no other water: the last way out
    return not ill or not s.in_bag or not _into(s, p)
