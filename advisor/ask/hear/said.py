"""What was heard, said back in a line: the facts as they will be kept."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from advisor.rulebase import RuleBase
from advisor.units import format_value
from advisor.wording.numbers import exact

_PLACES = {
    "closed_bag": "in the shut bag", "open_bag": "in the opened bag",
    "tub": "in a tub or bucket", "tank": "in the tank",
}  # fmt: skip
_FIELDS = {
    "hours_sealed": "sealed {} h", "at_hours": "out of the bag for {} h",
    "bag_open_hours": "bag open for {} h",
    "fasted_hours": "{} h without food", "bag_water_l": "{} L of water in a bag",
    "bags": "{} bags", "mass_g": "{} g a fish", "volume_l": "{} L", "age_days": "{} days",
    "dead_on_arrival": "{} dead on arrival", "air_low_c": "air down to {} \u00b0C",
    "air_high_c": "air up to {} \u00b0C",
}  # fmt: skip


def in_words(heard: Mapping[str, Any], base: RuleBase) -> Iterator[str]:
    """One phrase for each kind of thing heard."""
    seen = [base.signs[sign].name for sign in heard.get("signs_seen", ())]
    absent = [base.signs[sign].name for sign in heard.get("signs_not_seen", ())]
    if seen:
        yield f"Seen: {', '.join(seen)}."
    if absent:
        yield f"Not seen: {', '.join(absent)}."
    counts = heard.get("counts", {})
    if counts:
        yield f"{', '.join(f'{number} {state}' for state, number in counts.items())}."
    if heard.get("place"):
        yield f"Fish are {_PLACES[heard['place']]}."
    for lot in heard.get("lots", ()):
        yield f"{_lot(lot, base)}."
    for reading in heard.get("readings", ()):
        limit = {"above": " or more", "below": " or less"}.get(reading.get("limit", ""), "")
        value = format_value(reading["value"], reading["parameter"])
        name = base.quantities.get(f"{reading['water']}_{reading['parameter']}")
        yield f"{name.name if name else reading['parameter']}: {value}{limit}."
    for item, answer in heard.get("history", {}).items():
        yield f"{base.history[item].name}: {answer.replace('_', ' ')}."
    for field, words in _FIELDS.items():
        if heard.get(field) is not None:
            yield f"{words.format(exact(heard[field]))}.".capitalize()
    if heard.get("unknown"):
        yield "Not known."
    if heard.get("nothing"):
        yield "None of these."


def _lot(lot: Mapping[str, Any], base: RuleBase) -> str:
    group = base.groups.get(str(lot.get("group")))
    kind = lot.get("species") or (group.name if group else "fish")
    said = f' ("{lot["said"]}")' if lot.get("said") and lot["said"] != kind else ""
    more = [
        f"{exact(lot[key])} {unit}"
        for key, unit in (("bags", "bags"), ("bag_water_l", "L a bag"), ("length_cm", "cm"))
        if lot.get(key) is not None
    ]
    return " ".join(filter(None, (str(lot.get("count") or ""), f"{kind}{said}", ", ".join(more))))
