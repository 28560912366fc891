"""Laws between two deliveries that differ in one thing: worse, told more, other units, other order.

Each answers with sentences about what went wrong; none means that the law held.
"""

from __future__ import annotations

import copy
import random
from collections.abc import Callable
from typing import Any

from tests.laws.check import lots
from tests.laws.mixes import load, natural_data
from tests.laws.plan import Plan
from tests.laws.situation import Situation

#: Rescues by what they do: one of a group may stand in for another.
RESCUES = {
    "out of this water": ("release", "tub", "other_tank", "clean_water", "open_bag"),
    "warmth": ("warm", "warm_tank"),
    "coolness": ("cool", "cool_tank", "unplug_heater"),
    "chlorine bound": ("dechlorinate", "bind"),
    "air": ("air_tank", "lift_cover"),
    "thinning": ("change_water",),
    "salt": ("salt",),
    "current off": ("cut_power",),
}
#: A reading made worse: by these factors, or from nothing found to this.
_WORSE = {
    "tan_mg_l": (2.0, 5.0), "nitrite_mg_l": (2.0, 4.0), "chlorine_mg_l": (2.0, 4.0),
    "do_mg_l": (0.7, 0.4), "sulfide_mg_l": (3.0,), "copper_mg_l": (3.0,),
}  # fmt: skip
_FROM_NOTHING = {"tan_mg_l": 6.0, "nitrite_mg_l": 3.0, "chlorine_mg_l": 1.0}
_MORE = (
    ("history", "bright_light", "no"), ("history", "carp_mixed_lately", "no"),
    ("transit", "fasted_hours", 24), ("receiving", "altitude_m", 50),
    ("history", "quarantine_tank", "yes"), ("receiving", "plants", "no"),
)  # fmt: skip


def draw(seed: int, only: str | None = None) -> dict[str, Any]:
    """Plain data of one natural delivery."""
    return natural_data(random.Random(f"metamorphic {seed}"), only)[0]


def _plans(data: dict[str, Any]) -> dict[str, tuple[Situation, Plan]]:
    return lots(load(data))


def _rescues(plan: Plan, first: int | None = None) -> set[str]:
    return {
        what
        for what, verbs in RESCUES.items()
        if plan.any_of(*verbs, first=first, conditional=True)
    }


def rescue_lost(before: Plan, after: Plan) -> list[str]:
    """What stood among the first four steps and stands nowhere any more; or the word emergency."""
    lost = sorted(_rescues(before, 4) - _rescues(after))
    said = [f"{what}: no more" for what in lost]
    if before.emergency and not after.emergency:
        said.append("emergency: no more")
    return said


def worse_readings(data: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    """The delivery with one reading of the fish's own water worse, and what was made worse."""
    (lot,) = data["lot"]
    water = "tank" if "released_at_hours" in lot else "bag"
    found = []
    for name, reading in data["observation"][0].get(water, {}).items():
        if not isinstance(reading, dict) or name not in _WORSE:
            continue
        value = reading["value"]
        worse = [value * f for f in _WORSE[name]] if value else [_FROM_NOTHING.get(name)]
        for bad in (b for b in worse if b is not None):
            changed = copy.deepcopy(data)
            changed["observation"][0][water][name]["value"] = round(bad, 3)
            found.append((f"{water} {name} {value} -> {round(bad, 3)}", changed))
    return found


def worse_reading_keeps_the_rescue(seed: int) -> list[str]:
    """A worse reading of the fish's own water takes no rescue from fish in distress."""
    data = draw(seed, "failing now")
    situation, before = _plans(data)["a"]
    if not situation.distress:
        return []
    return [
        f"{what}: {loss}"
        for what, worse in worse_readings(data)
        for loss in rescue_lost(before, _plans(worse)["a"][1])
    ]


def telling_more_keeps_the_rescue(seed: int) -> list[str]:
    """An answer that has no bearing on the trouble takes no rescue from fish in distress."""
    data = draw(seed, "failing now")
    situation, before = _plans(data)["a"]
    if not situation.distress:
        return []
    said = []
    for part, name, answer in _MORE:
        if name in data.get(part, {}):
            continue
        more = copy.deepcopy(data)
        more.setdefault(part, {})[name] = answer
        after = _plans(more)["a"][1]
        losses = rescue_lost(before, after)
        if after.orders("leave_alone") and not before.orders("leave_alone"):
            losses.append("leave them alone: new")
        said += [f"{part}.{name} = {answer}: {loss}" for loss in losses]
    return said


def zero_takes_no_rescue(seed: int) -> list[str]:
    """A kit that found nothing takes away no rescue that stands where nobody tested.

    What answers the very substance may go: without chlorine nothing need be bound.
    """
    answers = {"chlorine_mg_l": {"chlorine bound", "thinning"}, "tan_mg_l": {"thinning"},
               "nitrite_mg_l": {"thinning", "salt"}}  # fmt: skip
    data = draw(seed, "failing now")
    situation, with_zero = _plans(data)["a"]
    if not situation.distress:
        return []
    said = []
    for water in ("bag", "tank"):
        for name, reading in data["observation"][0].get(water, {}).items():
            if name not in answers or not isinstance(reading, dict) or reading["value"]:
                continue
            untested = copy.deepcopy(data)
            del untested["observation"][0][water][name]
            without = _plans(untested)["a"][1]
            own = {f"{what}: no more" for what in answers[name]}
            losses = [x for x in rescue_lost(without, with_zero) if x not in own]
            said += [f"{water} {name} = 0: {loss}" for loss in losses]
    return said


def other_units_same_plan(seed: int) -> list[str]:
    """The same warmth typed in °F gives the same steps in the same order."""
    data = draw(seed)
    look = data["observation"][0]
    changed = copy.deepcopy(data)
    any_changed = False
    for water in ("bag", "tank"):
        reading = look.get(water, {}).get("temperature_c")
        if isinstance(reading, dict):
            exact = reading["value"]
            changed["observation"][0][water]["temperature_c"] = f"{exact * 9 / 5 + 32:.2f} F"
            look[water]["temperature_c"] = f"{exact:.2f} C"
            any_changed = True
    if not any_changed:
        return []
    one, other = _plans(data)["a"][1], _plans(changed)["a"][1]
    return [f"°C and °F: {difference}" for difference in differing(one, other)]


def other_lot_order_same_plans(seed: int) -> list[str]:
    """Lots written in another order get the same steps, lot by lot."""
    first, second = draw(seed), draw(seed + 100_000)
    both = copy.deepcopy(first)
    lot, look = copy.deepcopy(second["lot"][0]), copy.deepcopy(second["observation"][0])
    lot["id"], look["lot"] = "b", "b"
    both["lot"].append(lot)
    both["observation"].append(look)
    turned = copy.deepcopy(both)
    turned["lot"].reverse()
    turned["observation"].reverse()
    one, other = _plans(both), _plans(turned)
    return [
        f"lot {name}: {difference}"
        for name in one
        for difference in differing(one[name][1], other[name][1])
    ]


#: The same kinds under the name of the book (FishBase and ITIS, from memory).
_BOOK_NAMES = {
    "neon tetra": "Paracheirodon innesi", "cardinal tetra": "Paracheirodon axelrodi",
    "harlequin rasbora": "Trigonostigma heteromorpha", "zebra danio": "Danio rerio",
    "tiger barb": "Puntigrus tetrazona", "rosy barb": "Pethia conchonius",
    "guppy": "Poecilia reticulata", "platy": "Xiphophorus maculatus",
    "swordtail": "Xiphophorus hellerii", "sailfin molly": "Poecilia latipinna",
    "siamese fighting fish": "Betta splendens", "honey gourami": "Trichogaster chuna",
    "pearl gourami": "Trichopodus leerii", "paradise fish": "Macropodus opercularis",
    "clown loach": "Chromobotia macracanthus", "ram cichlid": "Mikrogeophagus ramirezi",
    "yellow tang": "Zebrasoma flavescens", "royal gramma": "Gramma loreto",
}  # fmt: skip


def other_wording_same_plan(seed: int) -> list[str]:
    """The same kind in capitals, with the blanks of a hurry or by its book name: one plan."""
    data = draw(seed)
    name = data["lot"][0].get("species")
    if not name:
        return []
    one = _plans(data)["a"][1]
    said = []
    for other in (name.upper(), f"  {name.replace(' ', '  ')} ", _BOOK_NAMES.get(name, name)):
        changed = copy.deepcopy(data)
        changed["lot"][0]["species"] = other
        plan = _plans(changed)["a"][1]
        said += [f"{other!r}: {difference}" for difference in differing(one, plan)]
    return said


#: Answers that bear on trouble; none of them makes fish that fail into fish to be left.
_BEARS = (
    ("history", "untreated_tap_water", "no"), ("history", "dechlorinator_used", "yes"),
    ("history", "water_changed_last_day", "no"), ("history", "heater_fault", "no"),
    ("history", "chaser_seen", "no"), ("history", "filter_stopped", "no"),
    ("history", "rewarmed", "yes"), ("history", "tested_fine_without_number", "yes"),
    ("receiving", "residents_well", "yes"), ("receiving", "filter", "mature"),
)  # fmt: skip


def telling_more_never_leaves_them_alone(seed: int) -> list[str]:
    """An answer that bears on it may change the rescue; failing fish are not left alone for it.

    Where a rescue is gone for an answer, a held step or another step has to say why.
    """
    data = draw(seed, "failing now")
    situation, before = _plans(data)["a"]
    if not situation.distress:
        return []
    said = []
    for part, name, answer in _BEARS:
        more = copy.deepcopy(data)
        more.setdefault(part, {})[name] = answer
        after = _plans(more)["a"][1]
        if after.orders("leave_alone") and not before.orders("leave_alone"):
            said.append(f"{part}.{name} = {answer}: leave them alone: new")
        if before.emergency and not after.emergency and not after.held:
            said.append(f"{part}.{name} = {answer}: emergency: no more, and no reason shown")
    return said


def differing(one: Plan, other: Plan) -> list[str]:
    """Where two plans first part in step or in the word emergency; nothing if they do not."""
    for a, b in zip(one.lines, other.lines, strict=False):
        if (a.text, a.emergency) != (b.text, b.emergency):
            return [f"step {a.at + 1}: {a.text[:60]!r} or {b.text[:60]!r}"]
    if len(one.lines) != len(other.lines):
        return [f"{len(one.lines)} or {len(other.lines)} steps"]
    return []


LAWS_BETWEEN: tuple[Callable[[int], list[str]], ...] = (
    worse_reading_keeps_the_rescue,
    telling_more_keeps_the_rescue,
    zero_takes_no_rescue,
    other_units_same_plan,
    other_lot_order_same_plans,
    other_wording_same_plan,
    telling_more_never_leaves_them_alone,
)
