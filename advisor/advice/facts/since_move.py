"""What the move itself changes: which looks were made since, and the water the fish left."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.advice.facts.measured import reading_record
from advisor.advice.facts.record import Record
from advisor.advice.facts.situation import WATER_OF, Situation
from advisor.case import Case, Lot
from advisor.case.model import Observation
from advisor.rulebase import RuleBase

#: Hours written down by two clocks of one move [h].
_SAME_H = 1e-6


def move_records(
    case: Case, lot: Lot, base: RuleBase, situation: Situation, until: float
) -> Iterator[Record]:
    """Whether the fish were looked at since they were moved, and how warm the water was they left.

    looked_since_move  : 1 or 0; only where the move has an hour and they were looked at at all
    left_temperature_c : newest reading of the water they were in before the tub
    """
    if situation.place not in ("tub", "tank"):
        return
    looks = case.looks_at(lot.id, until)
    yield from _looked(looks, situation, base)
    if situation.place == "tub":
        yield from _left(looks, situation, base)


def _looked(
    looks: list[tuple[int, Observation]], situation: Situation, base: RuleBase
) -> Iterator[Record]:
    since = _moved_after(situation)
    seen = [(at, look) for at, look in looks if look.of_the_fish]
    if since is None or not seen or "looked_since_move" not in base.quantities:
        return
    _, last = seen[-1]
    value = 1.0 if last.at_hours >= since else 0.0
    where = ("observation, at_hours", situation.told)
    yield Record("computed", "looked_since_move", value, "answered", value, value, "of 1", where)


def _moved_after(situation: Situation) -> float | None:
    """The hour of the move; where only its end was told, they lay in the opened bag till then."""
    if situation.told.endswith((", done", ", tub", ", released_at_hours")):
        return None if situation.since_hours is None else situation.since_hours - _SAME_H
    opened = next((s.since_hours for s in situation.stays if s.place == "open_bag"), None)
    return None if opened is None else opened + _SAME_H


def _left(
    looks: list[tuple[int, Observation]], situation: Situation, base: RuleBase
) -> Iterator[Record]:
    before = next((s for s in reversed(situation.stays) if s.place != "tub"), None)
    if before is None or "left_temperature_c" not in base.quantities:
        return
    water = WATER_OF[before.place]
    read = [(at, look) for at, look in looks if getattr(look, water).temperature_c is not None]
    if not read:
        return
    at, look = read[-1]
    reading = getattr(look, water).temperature_c
    where = f"observation {at}, {water}.temperature_c"
    record = reading_record(
        "left_temperature_c", "temperature_c", reading, where, look.at_hours, base
    )
    yield record._replace(
        kind="computed", where=(where, situation.told), note="the water they were moved out of"
    )
