"""Laws of hands on the fish: under water, moved once, in the dark; what is dosed is watched."""

from __future__ import annotations

import re

from tests.laws.law import PRACTICE, law
from tests.laws.plan import Line, Plan
from tests.laws.situation import Situation

PUFFER = (
    "fishforums.net 101643 (out of water a puffer fills with air and may not rid itself of it: it "
    "is bagged under water); enviroliteracy.org, can puffer fish inflate above water"
)
WOAH = (
    "WOAH Aquatic Animal Health Code, chapter 7.2: loaded and unloaded in a manner that avoids "
    "injury and causes minimum stress"
)
DIM = (
    "coralsdepot.com, fish acclimation guide (lights off: they come out of a dark box); "
    "internationalaquatics.com, acclimation guide (a dim spot)"
)
VM061 = (
    "Francis-Floyd & Pouder, Use of Formalin to Control Fish Parasites, UF/IFAS VM061: it takes "
    "oxygen out of the water; always vigorous aeration"
)
THIOSULFATE = (
    "fishyou.com/saltwater/sodiumthio.html; koiclubsandiego.org/library/chloramine.php: ammonia "
    "stays behind when chloramine is broken"
)
SRAC_4707 = (
    "Yanong & Erlacher-Reid, Biosecurity in Aquaculture 1, SRAC 4707 (dead fish are taken out at "
    "once; from memory)"
)
_HANDLE = ("net", "cup", "release", "tub", "other_tank", "clean_water")
_PUFFS_UP = re.compile(
    r"puffer|porcupine|\b(Arothron|Diodon|Canthigaster|Tetraodon|Carinotetraodon|Colomesus|Pao|"
    r"Dichotomyctere)\b",
    re.IGNORECASE,
)


@law(PUFFER, kind="must")
def puffers_are_moved_under_water(s: Situation, p: Plan) -> bool:
    """Where puffers are netted, cupped or moved, the plan says: under water, not into the air."""
    if not _PUFFS_UP.search(s.species or "") and s.kind.id != "freshwater_puffers":
        return True
    return not p.any_of(*_HANDLE) or p.says(
        r"\bunder ?water\b|\bunder the (water|surface)\b|\b(out of|into|in) (the )?air\b|"
        r"\bpuff\w* up\b|\b(swallow|gulp|fill)\w*[^.;]* air\b"
    )


#: What a line says of the warmth, the salt and the pH of the water it sends fish into.
_WARMTH = {
    "warmer": r"degrees? warmer|\bwarmer (tub|water)\b",
    "cooler": r"degrees? cooler|\bcooler (tub|water)\b",
    "own": r"\bown (temperature|warmth)|as warm as (now|they)|\b(their|its|the bag'?s?) (own )?"
    r"(temperature|warmth)|of their warmth|\bown salt and warmth",
}
_SALT = {
    "that they came in": r"\b(salt|salinity|conductivity)[^.;]*\bthey came (from|in)\b",
    "own": r"\b(its|their|the bag'?s?|own|their warmth and|minerals and|pH and|temperature and) "
    r"salt\b",
}
_PH = {"old": r"\bold pH\b", "own": r"\bown[^.;]*\bpH\b"}


@law(f"{WOAH}; {PRACTICE}: one order, one voice")
def fish_are_sent_into_one_water(s: Situation, p: Plan) -> bool:
    """No two lines of the hour send the same fish into waters of different warmth, salt or pH."""
    lines = [x for x in p.lines if x.when == "now" and x.orders("tub")]
    for told in (_WARMTH, _SALT, _PH):
        if len({what for line in lines if (what := _told(line, told))}) > 1:
            return False
    return True


def _told(line: Line, told: dict[str, str]) -> str | None:
    return next((w for w, words in told.items() if re.search(words, line.text, re.I)), None)


@law(DIM, kind="must")
def bags_are_opened_in_dim_light(s: Situation, p: Plan) -> bool:
    """Where a shut bag is to be opened, dim light or darkness is named."""
    if s.place != "closed_bag" or not p.any_of("open_bag"):
        return True
    return p.says(r"\bdim\w*\b|\bdark\w*\b|\blights? (down|off|low)\b|\bshade\w*\b|\bsubdued\b")


@law(VM061, kind="must")
def formalin_calls_for_air(s: Situation, p: Plan) -> bool:
    """Where formalin is in the water of fish that labour, air is ordered or they leave it."""
    labour = s.distress or "rapid_gill_movement" in s.seen
    if s.place != "tank" or not s.yes("formalin_in_water") or not labour:
        return True
    if s.yes("electric_fault_suspected"):
        return True
    return p.any_of("air_tank", "splash", "lift_cover", "tub", "clean_water", "other_tank")


@law(THIOSULFATE, kind="must")
def broken_chloramine_is_followed_by_an_ammonia_test(s: Situation, p: Plan) -> bool:
    """Where chloramine is to be broken, the ammonia that it leaves is spoken of."""
    if s.said("supply") != "chloramine" or not p.any_of("dechlorinate", "bind_chlorine"):
        return True
    return p.says(r"\bammonia\b")


@law(f"plain arithmetic; {PRACTICE}")
def no_change_exceeds_the_tank(s: Situation, p: Plan) -> bool:
    """No line asks for more litres of new water than the tank holds."""
    volume = s.receiving.get("volume_l")
    if not volume:
        return True
    litres = (
        float(amount["value"])
        for line in p.orders("change_water", conditional=True)
        for amount in line.amounts
        if amount.get("unit") == "L" and amount.get("value") is not None
    )
    return all(each <= 1.01 * float(volume) for each in litres)


@law(SRAC_4707, kind="must")
def the_dead_do_not_lie_among_the_living(s: Situation, p: Plan) -> bool:
    """Where some died and some live in the tank or tub, the dead are taken out."""
    came_dead = s.own.get("dead_on_arrival") or 0  # those stayed behind with the bag
    if s.place not in ("tank", "tub") or s.dead <= came_dead or s.none_alive:
        return True
    # Chilled or drugged fish lie as if dead: nobody is thrown away before they had warmth or time.
    chilled = s.present.read_at_most("temperature_c", (s.kind.cold_injury_c or 5) + 2)
    if chilled or s.yes("box_arrived_cold", "water_feels_cold") or s.said("sedative") == "yes":
        return True
    if s.yes("electric_fault_suspected"):  # hands stay out until it is off
        return True
    if p.says(r"\bcount (them|these|it|a cold fish) dead yet\b"):  # they are cold by what was told
        return True
    return p.says(r"\bdead\b[^.;]*\bout\b|\bout\b[^.;]*\bdead\b|\b(remove|siphon)\b[^.;]*\bdead\b")
