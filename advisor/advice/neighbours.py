"""Lots in shared water share what one of them shows: a catching or a notifiable disease.

The words are history items of the rule base, so that conditions ask for them like for
anything else that was told.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from advisor.advice.facts.record import Record
from advisor.rulebase import RuleBase

if TYPE_CHECKING:
    from advisor.advice.reasoner import Reasoned

NOTIFIABLE = "neighbours_notifiable"
CATCHING = "neighbours_catching"


def neighbours(thoughts: Sequence[Reasoned], base: RuleBase) -> list[tuple[Record, ...]]:
    """For each lot what the others that live in the tank show; empty where nothing does."""
    shown = {each.sheet.lot.id: tuple(_shows(each, base)) for each in thoughts}
    found = []
    for each in thoughts:
        told: dict[str, Record] = {}
        for other, words in shown.items():
            if other != each.sheet.lot.id:
                for word in words:
                    told.setdefault(word, _record(word, other))
        found.append(tuple(told.values()))
    return found


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
