"""What a line tells besides the answer to its question: written where it belongs."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from advisor.advice.settled_by import items_of
from advisor.ask.answers import looks
from advisor.ask.answers.apply import FIRST_LOT, apply, settle, with_field
from advisor.ask.answers.parts import Place
from advisor.ask.answers.replies import Counted, Draft, Lots, Seen, Settled
from advisor.ask.answers.typed_reading import as_reading
from advisor.case import Case
from advisor.case.model import Counts
from advisor.rulebase import RuleBase
from advisor.rulebase.entries import Question
from advisor.rulebase.species import find_species
from advisor.units import Quantity

#: Field as heard -> its place in a case.
FIELDS = {
    "hours_sealed": "transit.hours_sealed", "fasted_hours": "transit.fasted_hours",
    "at_hours": "look.at_hours", "bag_open_hours": "lot.bag_open_hours",
    "bag_water_l": "lot.bag_water_l", "bags": "lot.bags",
    "mass_g": "lot.mass_g", "dead_on_arrival": "lot.dead_on_arrival",
    "volume_l": "receiving.volume_l", "age_days": "receiving.age_days",
}  # fmt: skip
_OWN = {"look.counts": "counts", "lots": "lots"}
Told = dict[str, Any]


def besides(heard: Mapping[str, Any], question: Question, base: RuleBase) -> Told:
    """The facts of a line that the question did not ask for."""
    asked = {name for _, name in items_of(question, base)}
    own = {question.field or "", _OWN.get(question.field or "", "")}
    found: Told = {}
    for key in ("signs_seen", "signs_not_seen"):
        found[key] = [sign for sign in heard.get(key, ()) if sign not in asked]
    found["history"] = {k: v for k, v in heard.get("history", {}).items() if k not in asked}
    found["readings"] = [
        row
        for row in heard.get("readings", ())
        if f"{row['water']}_{row['parameter']}" not in question.reading
    ]
    for key in ("counts", "lots"):
        if key not in own:
            found[key] = heard.get(key)
    if "counts" not in own:
        found["dead_said"] = heard.get("dead_said")
    found |= {key: heard[key] for key, place in FIELDS.items() if key in heard and place not in own}
    if "bags_sealed" not in asked:
        found["place"] = heard.get("place")
    return {key: value for key, value in found.items() if value or value == 0}


def with_facts(case: Case, facts: Told, place: Place, base: RuleBase) -> Case:
    """The case with these facts; what it already holds of the place and the lots stays.

    Raises AdvisorError when a value cannot stand in a case.
    """
    if facts.get("lots") and not any(lot.species or lot.group for lot in case.lot):
        drafts = tuple(draft_of(lot, base) for lot in facts["lots"])
        case = apply(case, base.questions["kinds"], Lots(drafts), place, base)
    lots = [lot.id for lot in case.lot] or [FIRST_LOT]
    place = place if place.lot in lots else Place(lots[0], place.at_hours)
    before = case
    if facts.get("place"):
        case = _with_place(case, facts["place"], place)
    for key, field in FIELDS.items():
        if key in facts:
            case = with_field(case, field, facts[key], place)
    if "at_hours" in facts:
        place = Place(place.lot, looks.hour_told(before, float(facts["at_hours"]), place))
    if "bag_open_hours" in facts:
        place = Place(place.lot, max(place.at_hours, float(facts["bag_open_hours"])))
    case = settle(case, Settled(facts.get("history", {})), place, base)
    seen, absent = facts.get("signs_seen", ()), facts.get("signs_not_seen", ())
    if seen or absent:
        case = looks.with_signs(case, Seen(tuple(seen), tuple(absent)), place)
    if facts.get("counts"):
        case = looks.with_counts(case, Counted(Counts(**facts["counts"])), place)
    readings = {
        f"{row['water']}_{row['parameter']}": as_reading(
            Quantity(row["value"], row["low"], row["high"], row["entered"]),
            row["parameter"],
            row.get("kit"),
        )
        for row in facts.get("readings", ())
        if f"{row['water']}_{row['parameter']}" in base.quantities
    }
    return looks.with_readings(case, readings, place, base)


def draft_of(lot: Mapping[str, Any], base: RuleBase) -> Draft:
    """A lot as it was heard: in the person's word for it where that finds the kind by itself."""
    said = lot.get("said")
    known = said is not None and find_species(said, base) is not None
    return Draft(
        said if known else lot.get("species") or (None if lot.get("group") else said),
        lot.get("count"),
        lot.get("bags"),
        None if lot.get("species") else lot.get("group"),
    )


def _with_place(case: Case, name: str, place: Place) -> Case:
    """Where they are, of a lot that nothing was said of yet."""
    lot = next((each for each in case.lot if each.id == place.lot), None)
    if lot is not None and lot.sealed not in (None, "unknown"):
        return case
    case = with_field(case, "lot.sealed", "yes" if name == "closed_bag" else "no", place)
    if name == "tub":
        case = with_field(case, "lot.history.fish_are_in", "tub", place)
    if name == "tank":
        case = with_field(case, "lot.released_at_hours", place.at_hours, place)
    return case
