"""Lots in shared water share what one of them shows: a catching or a notifiable disease.

The words are history items of the rule base, so that conditions ask for them like for
anything else that was told.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from advisor.advice.facts.record import Record
from advisor.rulebase import RuleBase

if TYPE_CHECKING:
    from advisor.advice.reasoner import Reasoned

NOTIFIABLE = "neighbours_notifiable"
CATCHING = "neighbours_catching"


def told_by(others: Iterable[Reasoned], base: RuleBase) -> tuple[Record, ...]:
    """What these lots tell another one in their water; empty where they show nothing."""
    told: dict[str, Record] = {}
    for other in others:
        for word in _shows(other, base):
            told.setdefault(word, _record(word, other.sheet.lot.id))
    return tuple(told.values())


def _shows(thought: Reasoned, base: RuleBase) -> Iterator[str]:
    if not thought.sheet.situation.has_met("tank"):
        return  # still in a bag or tub of its own
    standing = [c.id for c in thought.ranking.causes if c.is_likely]
    names = set(base.history)
    notifiable = any(base.causes[name].reportable for name in standing)
    if (notifiable or thought.facts.get(("finding", "reportable_signs"))) and NOTIFIABLE in names:
        yield NOTIFIABLE
    if any(base.causes[name].infectious for name in standing) and CATCHING in names:
        yield CATCHING


def _record(word: str, other: str) -> Record:
    return Record(
        kind="history",
        name=word,
        value="yes",
        how="answered",
        where=(f'lot "{other}", id',),
        note=f'by what lot "{other}" shows',
    )
