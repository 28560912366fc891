"""Laws of rescue: whoever fails gets a way out first, and paper comes after."""

from __future__ import annotations

import re

from tests.laws.danger import (
    disagrees,
    harms_now,
    hours_sealed,
    leaks,
    may_be_failing,
    oxygen_surely_out,
    tempering,
    unfit,
    water_faults,
)
from tests.laws.law import PRACTICE, law
from tests.laws.plan import Line, Plan, soon
from tests.laws.situation import Situation

BAG = (
    "bio.net zbrafish 1997-October/003747; southwestaquaculture.com/acclimating-saltwater-fish: "
    "once open, pH rises and ammonia turns poisonous"
)
FA27 = "Francis-Floyd, Dissolved Oxygen for Fish Production, UF/IFAS FA27 (emergency aeration)"
MERCK = "Merck Veterinary Manual, Environmental Diseases of Aquatic Animals in Aquatic Systems"
WIKIVET = "WikiVet, Chlorine: at once into chlorine-free water, aerate vigorously"
CITES = (
    "CITES Transport guidelines Ps/2 1.6: fish that fell sick on the way are treated as soon as "
    "possible (cites.org/eng/resources/transport/ps2.shtml)"
)
FREE = (
    "weresokoi.com/when-your-fish-arrive: fish that gasp or lie on one side leave the bag "
    "at once, others float first"
)
LEAK = "tangledupincichlids.com/acclimation: out of a bag that lost its water at once"
POWER = (
    "reefdoctor.tripod.com/id14.html and jaljeev.com, power outages: battery pump, or pour water "
    "back from a height"
)
_OUT = ("release", "tub", "other_tank", "clean_water")

#: What helps against each sure harm of the water in a tank.
WAYS = {
    "cold": ("warm", "warm_tank", "tub", "clean_water"),
    "heat": ("cool", "cool_tank", "unplug_heater", "stop_heater", "air_tank", "cut_power"),
    "oxygen": ("air_tank", "lift_cover", "splash", "tub", "clean_water"),  # a tub is aired
    "ammonia": ("change_water", "tub", "clean_water", "other_tank", "bind"),
    "chlorine": ("dechlorinate", "bind_chlorine", "tub", "clean_water", "other_tank", "stop_hose"),
    "nitrite": ("salt", "change_water", "tub", "clean_water", "other_tank"),
    "salt": ("tub", "clean_water", "other_tank", "change_water"),
    "acid": ("change_water", "tub", "clean_water", "other_tank"),
    "alkaline": ("change_water", "tub", "clean_water", "other_tank"),
    "copper": ("tub", "clean_water", "other_tank", "change_water", "carbon", "stop_source"),
    "sulfide": ("air_tank", "splash", "change_water", "tub", "clean_water", "other_tank"),
    "gas": ("stop_gas", "splash", "tub", "clean_water", "other_tank"),
    "current": ("cut_power",),
}


@law(f"{MERCK}; {WIKIVET}; {FA27}", kind="must")
def failing_fish_in_a_tank_get_a_way_out(s: Situation, p: Plan) -> bool:
    """For fish down or gulping in water that surely kills, help stands in the first three steps."""
    harms = harms_now(s)
    if s.place != "tank" or not s.distress or not harms:
        return True
    poisons = harms - {"cold", "heat"}  # warmth helps nobody in poison
    ways = [verb for harm in poisons or harms for verb in WAYS[harm]]
    if "acid" in harms and s.yes("co2_dosed"):  # carbon dioxide is an acid, and air drives it off
        ways += ["stop_co2", "air_tank"]
    # What is shut off is a hand's turn and makes no way out late; five lines are the first screen.
    in_time = p.any_of(*ways, first=5) and soon(p, *ways, first=3)
    return in_time or p.any_of(*ways, first=3, conditional=True)


@law(f"{FREE}; {BAG}", kind="must")
def failing_fish_in_an_open_bag_get_out_of_it(s: Situation, p: Plan) -> bool:
    """Fish that lie or gulp in an opened bag leave its water within the first three steps."""
    if s.place != "open_bag" or not s.distress:
        return True
    return p.any_of(*_OUT, *tempering(s), first=3)


@law(f"{BAG}; past some 8 h ammonia is the main thing in a bag (Sampaio & Freire 2016)",
     kind="must")  # fmt: skip
def a_cold_bag_of_long_hours_is_read(s: Situation, p: Plan) -> bool:
    """A chilled bag shut for 8 h and more, its ammonia unread, is read or left, not only warmed."""
    hours = hours_sealed(s)
    cold = "cold" in water_faults(s, s.bag, killing=True) or s.yes("box_arrived_cold")
    if s.place != "closed_bag" or not cold or hours is None or hours < 8:
        return True
    if "tan_mg_l" in s.bag.readings or not p.any_of("warm", conditional=True):
        return True
    read = [x for x in p.lines if x.orders("test") and re.search("ammonia", x.text, re.I)]
    return bool(read) or p.any_of(*_OUT, first=4, conditional=True)


@law(FREE, kind="must")
def failing_fish_in_a_shut_bag_are_opened(s: Situation, p: Plan) -> bool:
    """A shut bag whose fish lie or gulp, and are not chilled, is opened and left within steps."""
    if s.place != "closed_bag" or not s.distress:
        return True
    if p.any_of(*_OUT, *tempering(s), first=3):
        return True
    out = p.any_of(*_OUT, first=6, conditional=True)  # opened water wakes ammonia: a way out too
    return p.any_of("open_bag", first=3) and out


@law(LEAK, kind="must")
def a_leaking_bag_is_seen_to_first(s: Situation, p: Plan) -> bool:
    """A bag that leaks or has lost its gas is moved, doubled or opened in the first two steps."""
    if s.place != "closed_bag" or not leaks(s):
        return True
    inside = any(
        re.search(r"\b(second|whole|new|sound) bag\b|\bdouble\b", x.text) for x in p.lines[:2]
    )
    return inside or p.any_of("open_bag", *_OUT, first=2)


@law(f"oxygen sums after the transport data; {PRACTICE}", kind="must")
def a_bag_without_oxygen_does_not_wait(s: Situation, p: Plan) -> bool:
    """A shut bag whose oxygen must be used up, by the lowest rates, is opened or looked into."""
    if not oxygen_surely_out(s):
        return True
    looked = any(re.search(r"\blook\b[^.]*\bbag", x.text, re.IGNORECASE) for x in p.lines[:3])
    return looked or p.any_of("open_bag", *_OUT, first=3)


@law(f"{FA27}; {CITES}")
def distress_is_never_left_alone(s: Situation, p: Plan) -> bool:
    """Fish that lie, roll, convulse or gulp are not left alone; after the rescue they rest."""
    if not s.distress:
        return True
    rescue = p.place_of(*_OUT, *(verb for ways in WAYS.values() for verb in ways))
    rests = [x for x in p.orders("leave_alone") if re.search(r"\b(rest|settle)\b", x.text, re.I)]
    rests = [x for x in rests if rescue is not None and rescue < x.at]
    return all(line in rests for line in p.orders("leave_alone"))


@law(FREE)
def nobody_is_forbidden_to_move_the_way_out(s: Situation, p: Plan) -> bool:
    """Where the way out is to leave the bag, no line before it says that nobody nets or moves."""
    if not s.in_bag or not s.distress:
        return True
    out = p.place_of(*_OUT, *tempering(s), "open_bag")
    # "No thin net near it: move it in a rigid box" says how the way out is gone, it bars none.
    box = re.compile(r"\bmove (?:it|them) (?:alone, herded )?in(?:to)? a (?:rigid )?box\b", re.I)
    forbids = [x.at for x in p.forbids("net") if not (x.orders("cup") or box.search(x.text))]
    return not forbids or (out is not None and out < min(forbids))


@law(f"{CITES}; {PRACTICE}")
def rescue_comes_before_paper(s: Situation, p: Plan) -> bool:
    """Where water kills now, the step against it stands before counting, writing and reporting."""
    harms = harms_now(s) & set(WAYS)
    if s.place != "tank" or not harms or not s.distress:
        return True
    first = min((line.at for line in p.lines if _only_paper(line)), default=None)
    ways = [verb for harm in harms for verb in WAYS[harm]]
    rescue = p.place_of(*ways, conditional=True)
    return first is None or (rescue is not None and rescue < first)


def _only_paper(line: Line) -> bool:
    """A line that counts, writes, reports or forbids removal, and does nothing for the fish."""
    paper = any(line.orders(v) for v in ("paper", "authority", "scrape"))
    shut = bool(re.match(r"nothing leaves", line.text, re.IGNORECASE))
    helps = any(
        line.orders(v) for v in ("stop_source", *(w for ways in WAYS.values() for w in ways))
    )
    return (paper or shut) and not helps


@law(f"{PRACTICE}: photographs and tests wait for gulping fish")
def failing_fish_do_not_wait_for_tests(s: Situation, p: Plan) -> bool:
    """For fish that lie or gulp the first step is no test, count, photograph or telephone call."""
    if not s.distress or not (harms_now(s) or s.gasps) or not p.lines or disagrees(s):
        return True
    first = p.lines[0]
    idle = any(first.orders(v) for v in ("paper", "test", "scrape", "authority", "look_again"))
    helps = any(first.orders(v) for ways in (*WAYS.values(), ("open_bag", "release")) for v in ways)
    return helps or not idle


_NAMES = {
    "nitrite_mg_l": r"nitrite|brown blood",
    "chlorine_mg_l": r"chlorin|chloramine",
    "tan_mg_l": r"ammonia",
    "copper_mg_l": r"copper",
}


@law(f"{PRACTICE}: a kit at zero found nothing")
def a_zero_never_holds_a_rescue(s: Situation, p: Plan) -> bool:
    """No step is held back because of a substance of which the kit found none."""
    for held in p.held:
        if not any(held.orders(v, True) for v in (*_OUT, "open_bag", "change_water", "warm")):
            continue
        for name, pattern in _NAMES.items():
            waters = [w for w in (s.present, s.tank) if name in w.readings]
            clear = waters and all(w.none_found(name) for w in waters)
            own_words = re.sub('"[^"]*"', "", held.because)  # a step quoted is no ground
            if clear and re.search(pattern, own_words, re.IGNORECASE):
                return False
    return True


@law(f"{PRACTICE}: a kit at zero found nothing")
def a_zero_never_stands_as_presence(s: Situation, p: Plan) -> bool:
    """A substance that its kit did not find, without a sign of it, does not head the causes."""
    likely = {name for name, standing in p.causes[:1] if standing in ("very_likely", "likely")}
    water = s.tank if s.place == "tank" else s.bag
    signs = {
        "nitrite": ("nitrite_mg_l", {"brown_gills"}),
        "chlorine": ("chlorine_mg_l", {"excess_mucus_cloudy_skin", "darting", "jumping"}),
        "ammonia_tank": ("tan_mg_l", {"bright_red_gills", "darting", "excess_mucus_cloudy_skin"}),
    }
    said = s.yes("untreated_tap_water", "hose_left_running", "tap_water_rescue",
                 "ammonia_binder_in_water")  # fmt: skip
    said = said or s.said("supply") == "chloramine"  # a kit for free chlorine misses it
    return not any(
        cause in likely and water.none_found(name) and not s.seen & marks and not said
        for cause, (name, marks) in signs.items()
    )


@law(f"{BAG}; {CITES}")
def the_last_way_out_is_never_held(s: Situation, p: Plan) -> bool:
    """Where fish fail in a bag, a way out is not held back unless another stands in the plan."""
    if not s.in_bag or not s.distress:
        return True
    held = any(p.holds(verb) for verb in (*_OUT, "open_bag"))
    return not held or p.any_of(*_OUT, *tempering(s), "open_bag")


@law(PRACTICE, kind="must")
def what_fails_now_carries_the_word(s: Situation, p: Plan) -> bool:
    """Fish down or gulping in water that surely kills are called an emergency."""
    if not s.distress or not harms_now(s):
        return True
    return p.emergency


@law(f"{PRACTICE}: the word must stay rare")
def the_word_emergency_needs_something_failing(s: Situation, p: Plan) -> bool:
    """No step is called an emergency where nothing fails or could be failing now."""
    return may_be_failing(s) or not p.emergency


@law(f"{PRACTICE}: the word must stay rare")
def calm_fish_in_sound_water_read_calm(s: Situation, p: Plan) -> bool:
    """Lively fish in water without a fault are offered no remedy, no rescue and no vet's call."""
    if not s.calm or may_be_failing(s) or s.place != "tank" or s.yes("chaser_seen"):
        return True
    loud = ("tub", "clean_water", "salt", "bind", "warm", "cool", "authority", "kill")
    return not p.any_of(*loud) and not any(re.search(r"call a vet now", v, re.I) for v in p.vet)


@law(f"{PRACTICE}: the word must stay rare; {FREE}")
def lively_fish_in_sound_bags_read_calm(s: Situation, p: Plan) -> bool:
    """Lively fish in shut bags beside a sound tank are offered no tub, remedy or vet's call."""
    calm = s.place == "closed_bag" and s.calm and not may_be_failing(s) and not unfit(s)
    if not calm or s.kind.invertebrate or _step_ahead(s):
        return True
    long_haul = s.kind.water == "marine" and (hours_sealed(s) or 0) >= 24
    if long_haul and "ph" not in s.bag.readings:  # a low bag pH is a step: a tub is the custom
        return True
    loud = ("tub", "clean_water", "salt", "bind", "warm", "cool", "authority", "kill", "raise_ph")
    return not p.any_of(*loud) and not any(re.search(r"call a vet now", v, re.I) for v in p.vet)


def _step_ahead(s: Situation) -> bool:
    """Whether bag and tank differ so much in salt, minerals or warmth that a tub has a reason."""
    for name, least in (("salinity_g_kg", 2), ("conductivity_us_cm", 200), ("temperature_c", 4)):
        one, other = s.bag.value(name) or s.packed.value(name), s.tank.value(name)
        if one is not None and other is not None and abs(one - other) >= least:
            return True
    one, other = s.packed.value("ph"), s.tank.value("ph")
    return one is not None and other is not None and abs(one - other) >= 1


@law(FA27, kind="must")
def gulping_fish_in_a_tank_get_air(s: Situation, p: Plan) -> bool:
    """Fish that gulp at the surface of a tank get air, or the cover lifted, in three steps."""
    gas = s.tank.read_at_least("total_gas_pressure_pct", 108) or (
        "bubbles_under_skin_fins_eyes" in s.seen
    )
    if s.place != "tank" or "gasping_at_surface" not in s.seen or s.kind.air_breather or gas:
        return True
    if s.yes("electric_fault_suspected") or wrong_water(s):
        return True
    # Whoever leaves this water for an aired tub at once leaves its want of oxygen too.
    if p.any_of("tub", "clean_water", first=2):
        return True
    # In water over-full of gas it is splashed in: the paddle of an emergency aerator (FA27).
    return soon(p, "air_tank", "lift_cover", "splash", first=3) or p.any_of(
        "air_tank", "lift_cover", first=3, conditional=True
    )


def wrong_water(s: Situation) -> bool:
    """Whether the fish must leave this water whatever its oxygen."""
    return bool(water_faults(s, s.present, killing=True) & {"salt", "chlorine"})


@law(f"{PRACTICE}: labyrinth fish drown under a tight cover", kind="must")
def a_cover_over_air_breathers_is_lifted(s: Situation, p: Plan) -> bool:
    """Where a film or cover shuts the surface and fish labour, it is lifted, and not laid again."""
    if not (s.place == "tank" and s.yes("surface_covered") and s.seen & {
        "gasping_at_surface", "rapid_gill_movement", "lying_on_side"}):  # fmt: skip
        return True
    ways = ("lift_cover",) if s.kind.air_breather else ("lift_cover", "air_tank")
    out = ("tub", "clean_water", "other_tank")  # whoever leaves this water leaves its cover too
    return soon(p, *ways, *out, first=3) and not p.any_of("cover")


@law(f"aquarium electrical safety: unplug before hands go in; {PRACTICE}", kind="must")
def hands_stay_out_of_a_live_tank(s: Situation, p: Plan) -> bool:
    """With an electrical fault the current is cut first, and no line wets a hand before it."""
    if not s.yes("electric_fault_suspected"):
        return True
    cut = p.place_of("cut_power")
    wet = p.place_of("net", "cup", "siphon", "change_water", "remove_dead", "release", "tub",
                     "other_tank", "clean_water")  # fmt: skip
    wet = None if s.in_bag and wet is not None and cut is not None and cut < wet else wet
    return cut is not None and cut <= 1 and (wet is None or cut < wet)


@law(POWER, kind="must")
def without_mains_air_comes_by_hand(s: Situation, p: Plan) -> bool:
    """In a power cut air is ordered by battery, by hand or by pouring, not by the pump alone."""
    if "power" not in s.lacks or not p.any_of("air_tank"):
        return True
    return p.says(r"\bby hand\b|\bbattery\b|\bpour\w* (it )?(back )?from\b|\bjug\b|\bbail\b")


@law(f"{CITES}; {PRACTICE}", kind="must")
def a_rescue_is_followed_up(s: Situation, p: Plan) -> bool:
    """Fish that were failing get another look, and quiet or no food, within the plan."""
    if not harms_now(s) or not s.distress or len(p.lines) < 3:
        return True
    fed = any(line.stands("no_food") for line in p.lines)
    quiet = p.any_of("dim", conditional=True) or fed
    return quiet and p.any_of("look_again", "read_again", conditional=True)
