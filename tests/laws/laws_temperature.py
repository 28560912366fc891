"""Laws of warmth: injury limits are not comfort, and a change is slower than the fish."""

from __future__ import annotations

import re

from tests.laws.danger import disagrees, harms_now, hours_sealed, water_faults
from tests.laws.law import PRACTICE, law
from tests.laws.plan import Line, Plan
from tests.laws.situation import Situation

LIM = (
    "Lim, Dhert & Sorgeloos 2003, Aquaculture Research 34:923-935 (float shut until within 2 °C, "
    "half an hour for 4 to 5 °C); read through ilovetranslation.com/Q2Gkcz01JQX=d"
)
JOHNSON = (
    "drjohnson.com/acclimating-fish-as-they-come-in-from-shipping (5 °F nothing, 20 °F often kills)"
)
COLD_BOX = (
    "angelsplus.com/ArticleColdWeather.htm: chilled fish look dead, are warmed at once, acclimated "
    "slowly after"
)
LIMITS = "lower and upper lethal temperatures as cited in the table of kinds"
KHV = "WOAH Manual of Diagnostic Tests for Aquatic Animals 2.3.6 (koi herpesvirus, 16 to 28 °C)"
ICH = "Francis-Floyd, Yanong & Pouder, White Spot, UF/IFAS CIR920 (edis.ifas.ufl.edu/fa006)"


def _warming(s: Situation, p: Plan) -> list[Line]:
    """Lines that warm the water the fish are in, but for a temperature aimed at a parasite."""
    verbs = ("warm", "warm_tank") if s.place == "tank" else ("warm",)
    lines = [line for verb in verbs for line in p.orders(verb)]
    return [line for line in lines if not (s.place == "tank" and _target_c(line))]


def _target_c(line: Line) -> float | None:
    """The temperature a line aims at: "to 28 °C", "to the top of their range, 28 °C at most"."""
    found = re.findall(r"\b(?:to|range,) (\d+(?:\.\d+)?) ?°", line.text)
    return float(found[-1]) if found else None


@law(f"{LIMITS}; {PRACTICE}")
def no_warming_of_fish_that_are_warm(s: Situation, p: Plan) -> bool:
    """Fish whose present water stands within or above their usual range are not warmed."""
    low = s.kind.low_c
    return low is None or not s.present.read_at_least("temperature_c", low) or not _warming(s, p)


@law(LIMITS)
def no_urgent_warming_above_the_injury_limit(s: Situation, p: Plan) -> bool:
    """Above the limit at which cold injures the kind, warming is no emergency and not first."""
    cold = s.kind.cold_injury_c
    if cold is None or not s.present.surely_at_least("temperature_c", cold + 1):
        return True
    return not any(line.emergency or line.at == 0 for line in _warming(s, p))


@law(f"{LIMITS}; {PRACTICE}")
def no_cooling_of_fish_that_are_cool(s: Situation, p: Plan) -> bool:
    """Fish whose present water stands within or under their usual range are not cooled."""
    high = s.kind.high_c
    if high is None or not s.present.read_at_most("temperature_c", high):
        return True
    return not p.any_of("cool", *(("cool_tank",) if s.place == "tank" else ()))


@law(LIMITS)
def no_urgent_cooling_below_the_injury_limit(s: Situation, p: Plan) -> bool:
    """Below the limit at which heat injures the kind, cooling is no emergency and not first."""
    heat = s.kind.heat_injury_c
    if heat is None or not s.present.surely_at_most("temperature_c", heat - 1.5):
        return True
    cooling = [*p.orders("cool"), *(p.orders("cool_tank") if s.place == "tank" else ())]
    return not any(line.emergency or line.at == 0 for line in cooling)


def _read_again(s: Situation, p: Plan) -> bool:
    """Whether a thermometer that swimming fish gainsay is read again before anything rests on it.

    Plain logic: it costs a minute, and no such fish swims normally in water that injures it.
    """
    return "swimming_normally" in s.seen and not s.distress and p.any_of("read_again", first=2)


@law(f"{LIMITS}; {COLD_BOX}", kind="must")
def fish_injured_by_cold_are_warmed(s: Situation, p: Plan) -> bool:
    """Fish at or under their injury limit for cold are brought to warmth, slowly."""
    if "cold" not in harms_now(s) or s.lacks & {"heater", "power"} or _read_again(s, p):
        return True
    # Waking ammonia or poison comes first; out of it, a tub of their own warmth tempers them.
    return p.any_of("warm", "warm_tank", "float", "tub", first=6)


@law(f"{LIMITS}; {PRACTICE}", kind="must")
def fish_injured_by_heat_are_cooled(s: Situation, p: Plan) -> bool:
    """Fish at or over their injury limit for heat are cooled, or the source of heat is cut."""
    if "heat" not in harms_now(s) or _read_again(s, p):
        return True
    ways = ("cool", "cool_tank", "unplug_heater", "stop_heater", "float", "tub", "clean_water")
    return p.any_of(*ways, first=6)


@law(f"{PRACTICE}; {JOHNSON}")
def no_hot_water_and_no_ice_on_fish(s: Situation, p: Plan) -> bool:
    """Nobody pours hot water or ice into water that holds fish."""
    pattern = re.compile(
        r"\b(pour|add|put|drop|tip)\b[^.;]*\b(hot|boiling) water\b|"
        r"\b(pour|add|put|drop|tip)\b(?![^.;]*\b(sealed|bags? of ice|ice packs?|bottles?|wrapped|"
        r"frozen)\b)[^.;]*\bice\b[^.;]*\b(water|tanks?|tubs?|bags?|ponds?)\b"
    )
    return not any(
        clause.mood in ("order", "if") and pattern.search(clause.text)
        for line in p.lines
        for clause in line.parts
    )


@law(f"{ICH}: any temperature step for the parasite must be one the kind bears")
def no_warming_past_the_kinds_own_limit(s: Situation, p: Plan) -> bool:
    """No line aims at a temperature more than a degree above the kind's own range."""
    high = s.kind.high_c
    lines = [*p.orders("warm", conditional=True), *p.orders("warm_tank", conditional=True)]
    return high is None or not any((_target_c(line) or 0) > high + 1 for line in lines)


@law(f"{PRACTICE}; {JOHNSON}")
def no_change_of_warmth_faster_than_fish_bear(s: Situation, p: Plan) -> bool:
    """No line changes the warmth of fish by more than 3 °C an hour as a rule of pace."""
    for line in p.lines:
        if line.stands("float"):  # a floated bag follows the tank as it will (Lim 2003)
            continue
        for rate in re.findall(r"(\d+(?:\.\d+)?) ?°C? (?:an|per|each|every) hour", line.text):
            if float(rate) > 3:
                return False
    return True


@law(f"{LIM}; {JOHNSON}")
def no_bag_is_floated_over_a_wide_step(s: Situation, p: Plan) -> bool:
    """Over eight degrees a shut bag is not floated in the tank: it would go there in the hour."""
    bag, tank = s.bag.value("temperature_c"), s.tank.value("temperature_c")
    if s.place != "closed_bag" or bag is None or tank is None or abs(tank - bag) < 8:
        return True
    return not p.any_of("float")


@law(f"{LIM}; {LIMITS}")
def no_floating_in_water_that_injures(s: Situation, p: Plan) -> bool:
    """Bags are not floated in a tank whose water stands beyond the kind's limits of injury."""
    faults = water_faults(s, s.next, killing=True) & {"cold", "heat"}
    if not faults or not s.in_bag:
        return True
    return not p.any_of("float")


@law(f"{LIM}: floating is for the shut bag")
def no_floating_of_an_open_bag(s: Situation, p: Plan) -> bool:
    """A bag that stands open after a long trip is not floated: its fish leave it."""
    if s.place != "open_bag" or not p.any_of("float"):
        return True
    # After a shop's short trip the top is rolled down and the bag floated: retail custom.
    hours = hours_sealed(s)
    short = hours is not None and hours <= 2 and not s.bag.read_at_least("tan_mg_l", 1)
    return short and not s.distress


@law(f"{LIM}; {PRACTICE}")
def no_floating_of_fish_that_fail_in_the_bag(s: Situation, p: Plan) -> bool:
    """Fish that lie or gulp in a shut bag are not made to wait afloat before it is opened."""
    if s.place != "closed_bag" or not s.distress or "cold" in water_faults(s, s.bag, killing=True):
        return True
    out = p.place_of("open_bag", "release", "tub", "clean_water")
    return all(out is not None and out < line.at for line in p.orders("float"))


@law(f"{PRACTICE}: a stuck heater is unplugged first", kind="must")
def a_stuck_heater_is_unplugged(s: Situation, p: Plan) -> bool:
    """Where the tank is beyond the injury limit and the heater is at fault, it is unplugged."""
    if not (s.place == "tank" and s.yes("heater_fault") and "heat" in harms_now(s)):
        return True
    return p.any_of("unplug_heater", "stop_heater", "cut_power", first=3)


@law(f"{KHV}; {PRACTICE}")
def temperature_is_held_only_where_it_does_not_injure(s: Situation, p: Plan) -> bool:
    """The temperature is left where it is for a disease only while it does not itself injure."""
    beyond = water_faults(s, s.present, killing=True) & {"cold", "heat"}
    return not beyond or disagrees(s) or not p.any_of("hold_temperature")


@law(f"{KHV}; {PRACTICE}")
def carp_under_suspicion_are_not_warmed(s: Situation, p: Plan) -> bool:
    """Carp or koi that die with signs of the virus at 15 to 28 °C are not warmed as a cure."""
    signs = {"white_gill_patches", "sunken_eyes"} & s.seen
    band = s.present.read_at_least("temperature_c", 15) and s.present.read_at_most(
        "temperature_c", 28
    )
    if s.kind.id != "koi_carp" or not signs or not band or s.place != "tank":
        return True
    return not p.any_of("warm", "warm_tank")


@law(f"{PRACTICE}: a tank's recipe is no recipe for a bag")
def a_hot_shut_bag_gets_no_tank_recipe(s: Situation, p: Plan) -> bool:
    """A hot shut bag has no lid to lift and no surface for a fan."""
    if s.place != "closed_bag" or not s.bag.read_at_least("temperature_c", s.kind.high_c or 99):
        return True
    recipe = re.compile(r"\bfan\b|\b(?<!box )lid off\b(?! the box)|\blift the lid\b(?! of the box)")
    return not any(
        recipe.search(re.sub(r"box's lid", "box", line.text.lower())) for line in p.lines
    )


@law(f"{LIM}; {JOHNSON}")
def no_straight_release_over_a_step_of_warmth(s: Situation, p: Plan) -> bool:
    """Over five degrees to the tank nobody nets straight across: float or tub first."""
    here, tank = s.present.value("temperature_c"), s.tank.value("temperature_c")
    if s.place == "tank" or here is None or tank is None or abs(here - tank) < 5:
        return True
    softened = p.place_of("float", "tub", "warm", "cool", "warm_tank", "cool_tank", "keep_shut")
    return all(softened is not None and softened <= line.at for line in p.orders("release"))
