"""What the tank the fish live in was read to hold within the last day, at its worst.

A water made good again says nothing of what it did before: gills burned an hour ago are
burned. The newest reading is of the water of now; these are of what the fish met.
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.advice.facts.measured import reading_record
from advisor.advice.facts.record import Record
from advisor.advice.facts.situation import WATER_OF, Situation
from advisor.case import Case, Lot
from advisor.rulebase import RuleBase

#: So long a reading of the tank counts as met [h] (judgement).
LATELY_H = 24.0
#: Parameter, and whether the lowest figure is the worst.
_WORST = (
    ("chlorine_mg_l", False),
    ("tan_mg_l", False),
    ("nitrite_mg_l", False),
    ("sulfide_mg_l", False),
    ("copper_mg_l", False),
    ("do_mg_l", True),
)


def met_records(
    case: Case, lot: Lot, base: RuleBase, situation: Situation, now: float, until: float
) -> Iterator[Record]:
    """``met_<parameter>``: the worst read in the tank within the last day, once they were in it."""
    tank = next((stay for stay in situation.stays if WATER_OF[stay.place] == "tank"), None)
    if tank is None:
        return
    since = max(now - LATELY_H, tank.since_hours if tank.since_hours is not None else -1.0)
    for parameter, lowest in _WORST:
        name = f"met_{parameter}"
        if name not in base.quantities:
            continue
        found = [
            reading_record(name, parameter, reading, f"observation {at}, tank.{parameter}",
                           look.at_hours, base)._replace(kind="computed")
            for at, look in case.looks_at(lot.id, until)
            if look.at_hours >= since - 1e-6
            and (reading := getattr(look.tank, parameter)) is not None
        ]  # fmt: skip
        if found:
            yield (min if lowest else max)(found, key=lambda record: float(record.value))
