"""Laws of clean hands: newcomers apart, sound tubs, a humane end, the dead and waste kept in."""

from __future__ import annotations

import re

from tests.laws.law import PRACTICE, law
from tests.laws.plan import Plan
from tests.laws.situation import Situation

SRAC_4707 = "Yanong & Erlacher-Reid, Biosecurity in Aquaculture 1, SRAC 4707"
AVMA = "AVMA Guidelines for the Euthanasia of Animals 2020, S6 (fish)"
GLOVES = (
    "mycobacteria of fish enter by broken skin (Francis-Floyd, Mycobacterial Infections of Fish, "
    "SRAC 4706; from memory)"
)
_HANDLE = ("net", "cup", "release", "tub", "other_tank", "clean_water", "remove_dead", "siphon")
_DISINFECTED = ("chlorine", "chloramine", "disinfected", "unknown", None)


@law(f"{SRAC_4707}: new fish stand apart before they join others", kind="must")
def newcomers_stand_apart_before_they_join_residents(s: Situation, p: Plan) -> bool:
    """Where the tank has fish of its own, quarantine is named before newcomers go in."""
    if s.place == "tank" or s.said("residents") != "yes" or not p.any_of("release"):
        return True
    return p.says(r"quarantin|\bapart\b|\bisolat|\b(another|separate|second|own) (tank|system)\b")


@law(f"WikiVet, Chlorine; UF/IFAS FA27 (aeration); {PRACTICE}: matched in warmth", kind="must")
def a_tub_is_aired_freed_of_chlorine_and_matched(s: Situation, p: Plan) -> bool:
    """Where fish are ordered into a tub, its air, its freed water and its warmth are named."""
    tubs = [line.text for line in p.orders("tub")]
    if not tubs:
        return True
    told = " ".join([*(x.text for x in p.lines if re.search(r"\btub|bucket", x.text)), *tubs])
    freed = re.search(
        r"dechlorin|another source|unchlorinated|chlorine-free|condition|thiosul|(?<!un)treated|"
        r"vitamin c|"
        r"\b(tank(?:'s)?|aged|well|rain|sea|bag|bottled|spring|own) water|\bbag's|their own water",
        told, re.IGNORECASE,
    )  # fmt: skip
    matched = re.search(
        r"\bmatch|\btemper|\bwarmth|\bwarm\b|°|like the bag|as the bag|\b(tank|bag|own) water|"
        r"own (warmth|temperature)|close in",
        told, re.IGNORECASE,
    )  # fmt: skip
    aired = re.search(r"\b(air|aired|airstone|air-stone|aerat\w+|splash\w*)\b", told, re.IGNORECASE)
    mains = s.said("supply") in _DISINFECTED
    return bool(aired and matched and (freed or not mains))


@law(f"{AVMA}: suffering that nothing can end is ended by accepted means", kind="must")
def a_humane_end_is_offered_where_nothing_helps(s: Situation, p: Plan) -> bool:
    """Where most lie without an answer hours after release, a vet is asked about a humane end."""
    total = s.count or (s.normal or 0) + s.down + s.dead
    hopeless = s.seen & {"unresponsive", "spinning_convulsions"} and s.down + s.dead >= 0.75 * total
    late = s.place == "tank" and (s.hours_in_place or 0) >= 6
    revive = s.yes("box_arrived_cold") or s.said("sedative") == "yes" or "answers_a_hand" in s.seen
    if not (hopeless and late and s.down and s.dead) or revive:
        return True
    return p.says(r"humane|euthan|end (its|their|the) suffering|put (it|them) down|merciful")


@law(f"{SRAC_4707}: the dead and waste water are kept in", kind="must")
def the_dead_and_bag_water_are_contained(s: Situation, p: Plan) -> bool:
    """Lines that take out the dead or pour bag water away say into what."""
    where = re.compile(
        r"\b(bucket|bin|bags?|bagged|sealed|container|box|drain|sewer|sink|toilet|fridge|freezer|"
        r"cool|waste|disinfect\w*|incinerat\w*|bury|buried|lime|jar|pot)\b",
        re.IGNORECASE,
    )
    told = " ".join([*(line.text for line in p.lines), *p.asides])
    if p.any_of("remove_dead") and not re.search(r"\bdead\b.*" + where.pattern, told, re.I | re.S):
        return False
    # "bag water" itself names a bag: what follows it must say where it goes.
    poured = [re.sub(r"bag(?:'s)? water", "", x.text) for x in p.orders("pour_away")]
    return not poured or bool(where.search(" ".join([*poured, *p.asides])))


@law(GLOVES, kind="must")
def gloves_are_worn_with_ulcers_and_wasting(s: Situation, p: Plan) -> bool:
    """Where fish with ulcers or wasting are handled, gloves or whole skin are spoken of."""
    wasted = "sunken_belly" in s.seen and s.dead > 0
    if not ("ulcers" in s.seen or wasted) or not p.any_of(*_HANDLE):
        return True
    return p.says(r"\bglove|\b(cut|cuts|broken skin|open wounds?)\b|wash (your )?hands")
