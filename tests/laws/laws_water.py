"""Laws of what goes into the water, and what comes out of it: chlorine, salt, base, food, drugs."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tests.laws.danger import (
    CHLORINE_KILLS_MG_L,
    NH3_UNFIT_MG_L,
    harms_now,
    may_be_failing,
    water_faults,
)
from tests.laws.law import PRACTICE, law
from tests.laws.plan import Line, Plan, soon
from tests.laws.situation import Situation, Water

FA16 = (
    "Francis-Floyd et al., Ammonia in Aquatic Systems, UF/IFAS FA16 (NH3 share rises with pH; more "
    "feed, more ammonia); aquameds.com/articles/ammonia (pH is not raised while ammonia stands)"
)
ZEOLITE = "theaquariumwiki.com, Zeolite: never salt in its tank; fishdoc.co.uk/water/zeolite.htm"
WIKIVET = "WikiVet, Chlorine: chlorine-free water and aeration at once"
SRAC = "Durborow, Crosby & Brunson, Nitrite in Fish Ponds, SRAC 462 (chloride against nitrite)"
SALT = "Kubitza, Common salt in aquaculture 1 and 2, globalseafood.org; table of kinds"
FA27 = "Francis-Floyd, Dissolved Oxygen for Fish Production, UF/IFAS FA27"
MEDEIROS = "Medeiros 2014 (FURG): clownfish nitrite LC50 109 mg/L as N; the sea shields"
MERCK = "Merck Veterinary Manual, Environmental Diseases of Aquatic Animals"
COPATTI = "Oliveira et al. 2008; Exceptional tolerance to low pH of blackwater fish (pH 3.35 borne)"
VET = "UF/IFAS FA120: consult a fish health specialist; drugs only through a veterinarian"
_DRUGS = (
    r"formalin|formaldehyde|malachite green|copper sulfate|copper sulphate|methylene blue|"
    r"permanganate|chloroquine|metronidazole|praziquantel|levamisole|fenbendazole|"
    r"oxytetracycline|kanamycin|nitrofurazone|erythromycin|enrofloxacin|florfenicol|acriflavine|"
    r"hydrogen peroxide|chloramine-?t|trichlorfon|antibiotic"
)
_DISINFECTED = ("chlorine", "chloramine", "disinfected")


def _fraction(text: str) -> float | None:
    """What share of the water a line changes; None if it names none."""
    words = {"a tenth": 0.1, "a fifth": 0.2, "a quarter": 0.25, "a third": 0.33, "half": 0.5,
             "two thirds": 0.67, "most of the": 0.8, "all the water": 1.0}  # fmt: skip
    number = re.search(r"(\d+)(?: to (\d+))? ?%", text)
    if number:
        return float(number[2] or number[1]) / 100
    return next((share for word, share in words.items() if word in text.lower()), None)


def _amounts(line: Line, unit: str) -> Iterator[float]:
    for amount in line.amounts:
        if amount.get("unit") == unit and amount.get("value") is not None:
            yield float(amount["value"])


@law(FA16)
def no_base_while_ammonia_stands(s: Situation, p: Plan) -> bool:
    """Nothing that lifts pH goes into water in which ammonia was found, nor into a bag."""
    lines = p.orders("raise_ph")
    if s.in_bag and s.tank.read_at_most("tan_mg_l", 0.2):  # an empty, clean tank may be buffered
        lines = [x for x in lines if not re.search(r"\b(the|receiving|empty) tank\b", x.text, re.I)]
    return not lines or not (s.in_bag or s.present.read_at_least("tan_mg_l", 0.2))


@law(f"{FA16}; answers.seneye.com: the new water has a similar pH")
def no_water_change_that_wakes_ammonia(s: Situation, p: Plan) -> bool:
    """Ammonia in a tank is not thinned with a quarter and more of water of far higher pH."""
    tap, tank = s.tap.value("ph"), s.tank.value("ph")
    if s.place != "tank" or tap is None or tank is None or tap - tank < 0.7:
        return True
    if not s.tank.surely_at_least("tan_mg_l", 1):
        return True
    of_the_tank = [x for x in p.orders("change_water") if not re.search(r"\btub\b", x.text)]
    return not any((_fraction(line.text) or 0) >= 0.25 for line in of_the_tank)


@law(PRACTICE)
def no_acid_into_water_with_fish(s: Situation, p: Plan) -> bool:
    """No acid, peat or other thing that lowers pH goes into water with newly come fish."""
    return not p.any_of("lower_ph")


@law(f"{WIKIVET}; {PRACTICE}")
def no_untreated_mains_water(s: Situation, p: Plan) -> bool:
    """Where mains water is or may be disinfected, new water is freed of it; standing frees none."""
    supply = s.said("supply")
    raw = re.compile(r"straight from the (tap|mains)|\b(raw|untreated) (tap|mains)|\btap as it "
                     r"comes", re.IGNORECASE)  # fmt: skip
    lines = p.orders("change_water")
    if supply in (None, "unknown") and any(raw.search(line.text) for line in lines):
        return False
    if supply not in _DISINFECTED:
        return True
    freed = r"dechlorin|conditioner|thiosul|(?<!un)treated|another source|tank(?:'s)? water|" \
            r"binds chlorine|unchlorinated|chlorine-free|well water"  # fmt: skip
    freed += "" if supply == "chloramine" else r"|\baged|\bstood"
    return all(re.search(freed, line.text, re.IGNORECASE) for line in lines)


@law("Fish kill sampling: water is taken before treatment (UF/IFAS FA-series on fish kills; "
     "from memory); common practice")  # fmt: skip
def a_sample_is_taken_before_the_water_is_changed(s: Situation, p: Plan) -> bool:
    """A bottle of the water comes before what doses or changes it, or after a first rescue."""
    bottle = next((x.at for x in p.lines if re.search(r"\bbottle of this water\b", x.text)), None)
    alters = ("change_water", "dechlorinate", "bind_chlorine", "salt", "bind")
    changed = min((x.at for v in alters for x in p.orders(v) if x.when == "now"), default=None)
    if bottle is None or changed is None or bottle <= changed:
        return True
    return changed == 2 and bottle == 3  # the one way out among the first three waits for nothing


@law(PRACTICE)
def no_dechlorinator_where_there_is_none(s: Situation, p: Plan) -> bool:
    """Where the house has no dechlorinator, none is ordered."""
    return "dechlorinator" not in s.lacks or not p.any_of("dechlorinate")


@law(WIKIVET, kind="must")
def chlorine_is_taken_out(s: Situation, p: Plan) -> bool:
    """Where chlorine surely stands in the tank it is bound, or the fish leave, in three steps."""
    if s.place != "tank" or not s.tank.surely_at_least("chlorine_mg_l", CHLORINE_KILLS_MG_L):
        return True
    ways = ("dechlorinate", "bind_chlorine", "clean_water", "tub", "other_tank", "bind")
    return soon(p, *ways, first=3)


@law(PRACTICE)
def chlorine_that_is_gone_is_not_dosed_again(s: Situation, p: Plan) -> bool:
    """After dechlorinator was given and chlorine reads nil, it is not dosed again."""
    given = s.yes("dechlorinator_used") or re.search(r"dechlor|thiosul", s.done)
    clear = s.tank.none_found("chlorine_mg_l") and s.place == "tank"
    tap_runs = s.yes("hose_left_running", "untreated_tap_water", "tap_water_rescue")
    if s.said("supply") == "chloramine":  # a kit for free chlorine misses what is combined
        return True
    return not (given and clear and not tap_runs) or not p.any_of("dechlorinate")


@law(SALT)
def no_salt_where_it_kills(s: Situation, p: Plan) -> bool:
    """No salt bath or salt dose for kinds that bear little salt, but a trace against nitrite."""
    lines = p.orders("salt")
    if not lines or s.kind.salt_bears_g_kg is None or s.kind.water == "marine":
        return True
    bears = s.kind.salt_bears_g_kg
    for line in lines:
        doses = [
            *_amounts(line, "g/L"),
            *(float(n) for n in re.findall(r"([\d.]+) ?g/[Lk]", line.text)),
        ]
        if any(dose > bears for dose in doses):
            return False
        against_nitrite = s.tank.read_at_least("nitrite_mg_l", 0.1)
        if not doses and bears <= 1.5 and not against_nitrite:
            return False
    return True


@law(f"{PRACTICE}: salt dosed for fresh kinds")
def no_salt_dose_for_sea_fish(s: Situation, p: Plan) -> bool:
    """Sea fish are given sea water, not a dose of plain salt."""
    sea = re.compile(r"\b(marine|sea|reef) salt\b|\bsalt mix\b|\bsea ?water\b", re.IGNORECASE)
    return s.kind.water != "marine" or all(sea.search(x.text) for x in p.orders("salt"))


@law(ZEOLITE)
def no_salt_beside_zeolite(s: Situation, p: Plan) -> bool:
    """No salt goes into water with zeolite in the filter unless the zeolite is taken out first."""
    if not s.yes("zeolite_in_filter"):
        return True
    out = p.place_of("stop_zeolite")
    return all(out is not None and out <= line.at for line in p.orders("salt"))


@law(SALT)
def no_salt_on_plants_snails_or_shrimp(s: Situation, p: Plan) -> bool:
    """No salt bath strength goes into a tank with plants, shrimp or snails."""
    shelled = s.kind.invertebrate or s.said("invertebrates") == "yes" or s.said("plants") == "yes"
    if not shelled or s.place != "tank":
        return True
    told = re.compile(r"([\d.]+\d|\d) ?g/[Lk]")
    return not any(
        dose >= 2
        for line in p.orders("salt")
        for dose in (*_amounts(line, "g/L"), *map(float, told.findall(line.text)))
    )


@law(SRAC, kind="must")
def nitrite_with_brown_gills_is_answered(s: Situation, p: Plan) -> bool:
    """Brown gills in nitrite call for chloride, thinning or other water among the first steps."""
    surely = "brown_gills" in s.seen and "nitrite" in harms_now(s)
    if s.place != "tank" or not surely:
        return True
    return soon(p, "salt", "change_water", "tub", "clean_water", "other_tank", first=4)


@law(f"{PRACTICE}; {FA27}: fish short of oxygen stop feeding")
def no_food_for_fish_in_distress(s: Situation, p: Plan) -> bool:
    """Fish that lie, roll or gulp are not fed, unless hunger itself has felled some of them."""
    starved = "sunken_belly" in s.seen and not s.gasps and not harms_now(s)
    return not s.distress or starved or not p.any_of("feed")


@law(PRACTICE)
def no_food_in_the_bag(s: Situation, p: Plan) -> bool:
    """Fish in a bag are not fed."""
    return not s.in_bag or not p.any_of("feed")


@law(FA16 + "; " + FA27)
def no_food_into_poisoned_water(s: Situation, p: Plan) -> bool:
    """Fish in water unfit by ammonia (0.1 as N, as read), nitrite or chlorine are not fed."""
    bad = harms_now(s) & {"ammonia", "nitrite", "chlorine", "oxygen", "heat", "cold"}
    bad |= water_faults(s, s.present, killing=False) & {"ammonia", "nitrite", "chlorine"}
    if (s.present.nh3_mg_l("value") or 0) >= NH3_UNFIT_MG_L:
        bad.add("ammonia")
    return not bad or not p.any_of("feed")


@law(PRACTICE, kind="must")
def thin_calm_fish_are_not_starved(s: Situation, p: Plan) -> bool:
    """Thin fish, in sound water and past the first day, are not told "no food"."""
    thin = "sunken_belly" in s.seen and s.place == "tank" and (s.hours_in_place or 0) > 24
    if not thin or s.distress or may_be_failing(s) or "bloating" in s.seen:
        return True
    return not any(line.stands("no_food") for line in p.lines)


@law("label practice: a binder is given once; common practice, no source")
def no_second_binder(s: Situation, p: Plan) -> bool:
    """Where an ammonia binder is in already no other is added, unless its label allows it."""
    lines = p.orders("bind", conditional=True)
    lines = [x for x in lines if x.orders("bind") or "label" not in x.text.lower()]
    return not s.yes("ammonia_binder_in_water") or not lines


@law(VET)
def no_dose_of_a_drug_is_ordered(s: Situation, p: Plan) -> bool:
    """No line orders a strength of a drug: that is for the label or the veterinarian."""
    dose = re.compile(
        rf"(?:{_DRUGS})\b[^.]{{0,40}}\d+(?:\.\d+)? ?(?:mg|g|ml|ppm)|"
        rf"\d+(?:\.\d+)? ?(?:mg|g|ml|ppm)[^.]{{0,30}}\b(?:{_DRUGS})\b",
        re.I,
    )
    return not any(dose.search(line.text) for line in p.lines)


@law(VET)
def no_drug_without_a_veterinarian(s: Situation, p: Plan) -> bool:
    """No line tells the keeper to dose a named drug; a vet is asked for it."""
    give = re.compile(
        rf"\b(?:dose|give|add|use|treat with|bathe in)\b[^.;]{{0,40}}\b(?:{_DRUGS})\b"
    )
    for line in p.lines:
        for clause in line.parts:
            if clause.mood == "order" and give.search(clause.text) and not line.orders("vet"):
                return False
    return True


@law("Yanong, UF/IFAS FA165: copper is lethal for most invertebrates; sharks, rays from memory")
def no_copper_with_invertebrates(s: Situation, p: Plan) -> bool:
    """Copper is not ordered where shrimp, snails, corals, sharks or rays live."""
    frail = s.kind.invertebrate or s.kind.id.endswith(("_rays", "marine_sharks"))
    shelled = frail or s.said("invertebrates") == "yes"
    orders = (c for x in p.lines for c in x.parts if c.mood in ("order", "if"))
    dosing = re.compile(r"\b(dose|add|use|give|treat)\b[^.;]*\bcopper\b")
    return not shelled or not any(dosing.search(clause.text) for clause in orders)


@law(MERCK + ": gas supersaturation")
def no_fine_bubbles_into_too_much_gas(s: Situation, p: Plan) -> bool:
    """Water over-full of gas is splashed, not fed with fine bubbles or oxygen."""
    water = s.tank if s.in_bag else s.present
    if not water.surely_at_least("total_gas_pressure_pct", 110):
        return True
    orders = (c.text for x in p.lines for c in x.parts if c.mood == "order")
    fine = re.compile(r"(?<!coarse )\bair ?stone|\bfine bubble|\boxygen (?:in|on)\b")
    return not any(fine.search(text) and not _of_a_tub(text) for text in orders)


def _of_a_tub(text: str) -> bool:
    """Whether the stone hangs in other water than the one over-full of gas."""
    return bool(re.search(r"\b(tub|bucket|bag)s?\b", text)) and "tank" not in text


@law(f"{PRACTICE}: a dip is a second shock")
def no_dip_for_fish_that_fail(s: Situation, p: Plan) -> bool:
    """Fish that gulp, roll or lie are not dipped in fresh water or a salt bath."""
    bath = any(re.search(r"\bbath\b", x.text) and x.orders("salt") for x in p.lines)
    return not s.distress or not (p.any_of("dip") or bath)


@law(MEDEIROS)
def calm_sea_fish_in_nitrite_need_no_great_change(s: Situation, p: Plan) -> bool:
    """Sea fish bear nitrite: calm ones under 10 mg/L are spared half a tank of new water."""
    if s.kind.water != "marine" or not s.calm or not s.tank.read_at_most("nitrite_mg_l", 10):
        return True
    if not s.tank.read_at_least("nitrite_mg_l", 0.3) or may_be_failing(_without_nitrite(s)):
        return True
    return not any((_fraction(x.text) or 0) >= 0.5 for x in p.orders("change_water"))


def _without_nitrite(s: Situation) -> Situation:
    kept = {k: v for k, v in s.tank.readings.items() if k != "nitrite_mg_l"}
    return Situation(**{**s.__dict__, "tank": Water(kept, s.tank.hours)})


@law(COPATTI)
def sound_black_water_is_left_soft(s: Situation, p: Plan) -> bool:
    """Soft-water kinds that are lively in soft water are not given hard tap water."""
    soft = s.tank.read_at_most("hardness_mg_l_caco3", 40) or s.tank.read_at_most("ph", 6.5)
    if not (
        s.kind.soft_water and s.kind.water == "fresh" and s.place == "tank" and s.calm and soft
    ):
        return True
    return not p.any_of("minerals", "raise_ph")


@law(f"{PRACTICE}: what a kitchen scale and a bucket can measure")
def amounts_can_be_weighed(s: Situation, p: Plan) -> bool:
    """No line asks for less than a tenth of a gram, a drop of liquid or a tub of under a litre."""
    least = {"mg": 100, "g": 0.1, "mL": 0.1, "ml": 0.1, "L": 1.0, "kg": 0.01}
    for line in p.lines:
        for amount in line.amounts:
            value, unit = amount.get("value"), amount.get("unit")
            if value and unit in least and float(value) < least[unit]:
                told = str(amount.get("label") or line.text)
                diluted = r"\bstock( solution)?\b|\bdissolve\b.* in .* and (use|give|take)\b"
                if not re.search(diluted, told, re.I):
                    return False
    return True


@law(f"{PRACTICE}: an air pump cannot be bought within the minute")
def without_a_pump_air_is_made_by_hand(s: Situation, p: Plan) -> bool:
    """Where the house has no air pump, air is ordered by pouring or splashing."""
    if "air" not in s.lacks or not p.any_of("air_tank"):
        return True
    return p.says(r"\bpour|\bsplash|\bby hand\b|\bjug\b|\bbail\b|\bspray bar\b")
