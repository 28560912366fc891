"""Laws of the text itself: one voice, nothing done twice, nothing impossible."""

from __future__ import annotations

import re

from tests.laws.danger import disagrees, harms_now
from tests.laws.law import PRACTICE, law
from tests.laws.laws_water import _fraction
from tests.laws.plan import Line, Plan
from tests.laws.situation import Situation

_OPPOSITE = (
    ("lift_cover", "cover"),
    ("keep_shut", "open_bag"),
    ("warm", "cool"),
    ("feed", "no_food"),
    ("hold_temperature", "warm"),
    ("hold_temperature", "cool"),
)


@law(f"{PRACTICE}: one order, one voice")
def no_two_lines_give_opposite_orders(s: Situation, p: Plan) -> bool:
    """No two lines that hold now order a thing and its opposite."""
    now = [line for line in p.lines if line.when in ("now", "within_hour")]
    for one, other in _OPPOSITE:
        first = one == "keep_shut"  # "shut until the tank is aired", then opened: an order of acts
        a = [x for x in now if x.orders(one) and not re.search(r"\b(rest|others) stay\b", x.text)]
        b = [x for x in now if x.orders(other) or (other == "no_food" and x.stands(other))]
        if any(x.at != y.at and not (first and _until(x, y)) for x in a for y in b):
            return False
    return True


def _until(first: Line, later: Line) -> bool:
    """Whether ``first`` only sets a time or a condition after which ``later`` follows."""
    timed = re.search(r"\b(until|till|before|unless)\b", first.text, re.IGNORECASE)
    return bool(timed) and first.at < later.at


@law(f"{PRACTICE}: one order, one voice")
def no_line_forbids_what_another_orders(s: Situation, p: Plan) -> bool:
    """No line says not to do what another line of the same hour orders."""
    now = [line for line in p.lines if line.when in ("now", "within_hour")]
    for verb in ("net", "float", "drip", "warm", "cool", "open_bag", "release", "salt"):
        orders = [x for x in now if x.orders(verb)]
        against = [x for x in now if x.forbids(verb) and not x.orders(verb)]
        if verb == "net":  # "not a net" beside "net or cup" of another line
            against = [x for x in against if not x.orders("cup") or x.orders("net")]
        # "Lights down, nobody nets anything" after the move speaks of the hour after it.
        against = [x for x in against if not x.orders("dim") or any(x.at < o.at for o in orders)]
        if any(x.at != y.at and not _until(y, x) for x in orders for y in against):
            return False
    return True


@law(f"{PRACTICE}: one order, one voice")
def water_changes_agree_in_size(s: Situation, p: Plan) -> bool:
    """Two lines of the same hour do not order water changes of different size."""
    sizes = {
        round(share, 2)
        for line in p.orders("change_water")
        if line.when in ("now", "within_hour") and (share := _fraction(line.text)) is not None
    }
    return len(sizes) <= 1


@law(PRACTICE)
def alone_means_alone(s: Situation, p: Plan) -> bool:
    """Fish that are to be left alone are not netted, moved or given new water in the same hour."""
    alone = [line for line in p.orders("leave_alone") if line.when == "now"]
    busy = ("net", "release", "tub", "change_water", "clean_water", "salt")
    return not alone or not any(x.when == "now" for verb in busy for x in p.orders(verb))


@law(PRACTICE)
def a_held_step_is_not_also_ordered(s: Situation, p: Plan) -> bool:
    """A step that stands under NOT NOW does not stand among the orders too."""
    return not {x.text for x in p.lines} & {x.text for x in p.held}


@law(PRACTICE)
def fish_in_a_tank_are_not_told_of_bags(s: Situation, p: Plan) -> bool:
    """Fish in a tub, or for an hour in the tank, get no orders about opening or floating bags."""
    settled = s.place == "tub" or (s.place == "tank" and (s.hours_in_place or 0) >= 1)
    if not settled:
        return True
    of_bags = any(re.search(r"\bout of (that|the|this) bag\b", x.text, re.I) for x in p.lines)
    return not of_bags and not p.any_of("open_bag", "float", "empty_bag", "keep_shut")


@law(PRACTICE)
def fish_in_a_tank_are_not_released_again(s: Situation, p: Plan) -> bool:
    """Fish that are in the tank are not netted straight into the tank."""
    return s.place != "tank" or not any(
        re.search(r"straight|into the matched tank|into aired tank water", x.text)
        for x in p.orders("release")
    )


@law(PRACTICE)
def an_open_bag_is_not_opened_again(s: Situation, p: Plan) -> bool:
    """A bag that stands open is not told how to be prepared and cut."""
    if s.place != "open_bag" or any(o.place == "closed_bag" for o in s.others):
        return True
    return not any(
        re.search(r"before you cut|float the bags closed", x.text, re.I) for x in p.lines
    )


@law(PRACTICE)
def what_was_done_is_not_ordered_again(s: Situation, p: Plan) -> bool:
    """A step that the looks of the last six hours say was done is not ordered once more."""
    done = {
        "float": r"\bfloated\b",
        "dechlorinate": r"\b(dechlorinator|thiosulfate|conditioner) (given|added|dosed|went in)\b|"
        r"\bdechlorinated\b|\b(dosed|added|gave) (the )?(dechlorinator|thiosulfate|conditioner)",
        "salt": r"\bsalt (given|added|dosed)\b|\b(added|gave|dosed) salt\b",
        "cut_power": r"\bpower (is )?(off|cut) at the (wall|board|breaker)\b|\bunplugged all\b",
        "unplug_heater": r"\bheater (is )?unplugged\b|\bunplugged the heater\b",
    }
    again = {verb for verb, said in done.items() if re.search(said, s.done_lately)}
    if "dechlorinate" in again and s.tank.surely_at_least("chlorine_mg_l", 0.05):
        again.discard("dechlorinate")
    return not any(p.any_of(verb) for verb in again)


@law(f"{PRACTICE}: fish and number disagree", kind="must")
def a_number_that_the_fish_gainsay_is_read_again(s: Situation, p: Plan) -> bool:
    """Where calm fish gainsay a deadly number, reading it again is among the first two steps."""
    if not disagrees(s) or s.place == "tub":
        return True
    return p.any_of("read_again", first=2) or any(
        re.search(r"\b(second|other|another) (thermometer|kit|meter|test)\b|\bread (it )?again\b",
                  x.text, re.I)
        for x in p.lines[:2]
    )  # fmt: skip


@law(f"{PRACTICE}: fish and number disagree")
def nothing_rests_on_a_number_that_fish_gainsay(s: Situation, p: Plan) -> bool:
    """Before such a number is read again nobody warms, cools, moves or doses because of it."""
    if not disagrees(s):
        return True
    again = p.place_of("read_again")
    bold = p.place_of("warm", "warm_tank", "cool", "cool_tank", "tub", "salt", "change_water")
    return bold is None or (again is not None and again < bold)


@law(PRACTICE)
def leave_alone_needs_water_that_was_read(s: Situation, p: Plan) -> bool:
    """Fish with trouble to be seen are not left alone while nothing of their water was read."""
    trouble = s.seen & {"weak_response", "rapid_gill_movement", "darting", "clamped_fins",
                        "slow_gill_movement", "hanging_at_surface", "unresponsive"}  # fmt: skip
    read = set(s.present.readings) & {"temperature_c", "ph", "tan_mg_l", "nitrite_mg_l", "do_mg_l"}
    return not trouble or bool(read) or not p.any_of("leave_alone")


@law(PRACTICE)
def no_tank_is_ordered_where_there_is_none(s: Situation, p: Plan) -> bool:
    """Where the house has no tank, fish are not sent into one: a tub must do."""
    return "tank" not in s.lacks or not p.any_of("release")


@law(PRACTICE)
def no_second_tank_is_ordered_where_there_is_none(s: Situation, p: Plan) -> bool:
    """Where the house has no other tank, fish are not sent into one."""
    return "other_tank" not in s.lacks or not p.any_of("other_tank")


@law(PRACTICE)
def no_tub_is_ordered_where_there_is_none(s: Situation, p: Plan) -> bool:
    """Where the house has no tub or bucket, none is ordered without another way."""
    return "tub" not in s.lacks or not p.any_of("tub") or p.any_of("release", "other_tank")


@law(PRACTICE)
def no_heater_is_ordered_in_a_power_cut(s: Situation, p: Plan) -> bool:
    """In a power cut nobody is told to turn up or plug in a heater."""
    if "power" not in s.lacks:
        return True
    orders = (c.text for x in p.lines for c in x.parts if c.mood == "order")
    return not any(
        re.search(r"\b(turn|plug|switch)\b[^.;]*\bheater (on|up|in)\b", t) for t in orders
    )


@law(PRACTICE)
def numbers_read_like_a_persons(s: Situation, p: Plan) -> bool:
    """No shown text holds an exponent, an empty place or a number without sense."""
    strange = re.compile(r"\d[eE][+-]?\d|\bnan\b|\bNone\b|\binf\b|\bgive \.|\s\.\s|\{\w*\}")
    shown = [x.text for x in (*p.lines, *p.held)] + [
        str(a.get("working") or "") for x in p.lines for a in x.amounts
    ]
    return not any(strange.search(text) for text in shown)


@law(PRACTICE, kind="must")
def a_plan_says_what_to_do(s: Situation, p: Plan) -> bool:
    """Every lot gets at least one step, and failing fish get one for now."""
    if not p.lines:
        return False
    return not harms_now(s) or any(line.when == "now" for line in p.lines)


@law(f"{PRACTICE}: the first line is the first act", kind="must")
def the_headline_is_not_about_something_else(s: Situation, p: Plan) -> bool:
    """Where fish fail, the headline is one of the first three steps."""
    if not p.headline or not s.distress or not harms_now(s):
        return True
    return any(p.headline.strip() == line.text.strip() for line in p.lines[:3])


#: Ways of seeing one thing: fish down, short of breath, wild, dead. One thing is one sign.
_OF_ANY_POISON = (
    {"lying_on_side", "loss_of_equilibrium", "unresponsive", "weak_response"},
    {"gasping_at_surface", "rapid_gill_movement", "flared_gill_covers"},
    {"darting", "spinning_convulsions"},
    {"sudden_deaths", "delayed_deaths"},
    # All types and sizes at once: warmth, cold or poison (Texas Parks & Wildlife, fish kill clues).
    {"all_species_at_once"},
)
_SIGNS = {
    # SRAC 462: brown blood carries little oxygen; such fish come up, gulp and die mouth agape.
    "nitrite": {
        "brown_gills", "hanging_at_surface", "deaths_with_mouth_open_gills_flared",
        "hanging_near_inflow",
    },
    # Excitement and leaping before they fall: row ammonia of the table of environmental diseases
    # (Merck Veterinary Manual; from memory).
    "ammonia_tank": {"bright_red_gills", "excess_mucus_cloudy_skin", "clamped_fins", "jumping"},
    "chlorine": {"excess_mucus_cloudy_skin", "jumping", "invertebrates_die_first", "pale_gills"},
}  # fmt: skip


@law(f"{PRACTICE}; petplace.com, ammonia poisoning: new tank syndrome")
def a_guess_is_not_called_very_likely(s: Situation, p: Plan) -> bool:
    """A poison of the water that nobody measured or saw a sign of is not called very likely."""
    measured = {"ammonia_tank": "tan_mg_l", "nitrite": "nitrite_mg_l", "chlorine": "chlorine_mg_l"}
    tap = s.yes("untreated_tap_water", "hose_left_running", "tap_water_rescue")
    said = {"chlorine": tap, "ammonia_tank": tap or s.yes("bag_water_in_tank")}
    # Ammonia comes in a new tank and after a filter was cleaned: a ground beside what is seen.
    unripe = s.said("filter") in ("new", "none") or s.yes("filter_rinsed_or_replaced")
    seen = s.seen | s.lately  # a sign of yesterday was seen too
    fallen = {"lying_on_side"} if s.is_down else set()
    dead = {"sudden_deaths"} if s.dead >= 0.1 * (s.count or s.dead + s.down) > 0 else set()
    things = sum(bool(part & (seen | fallen | dead)) for part in _OF_ANY_POISON)
    for cause, standing in p.causes:
        if cause == "nitrite" and "brown_gills" in seen:
            continue  # SRAC 462: it is by brown blood and gills that this poison is told
        name = measured.get(cause)
        # A reading of the bag they have left measures nothing in the tank.
        theirs = (s.tank, s.bag if s.place == "unknown" else s.present)
        unread = name is not None and all(name not in w.readings for w in theirs)
        if (
            unread
            and standing == "very_likely"
            and not said.get(cause)
            and things + len(seen & _SIGNS.get(cause, set())) + (cause == "ammonia_tank" and unripe)
            < 2
        ):
            return False
    return True
