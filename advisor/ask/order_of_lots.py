"""Which lot is asked about first: the one told to be worst, in the order of the case otherwise."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.ask.emergency import certain_emergencies
from advisor.ask.hands import pressing_of
from advisor.ask.inquiry import Inquiry
from advisor.ask.trouble import signs_of_trouble

#: What was told of a lot, the worst smallest.
Told = tuple[bool, bool, bool, bool]


def as_told(at: Inquiry, lot: str) -> Told:
    """It fails, an emergency is certain, trouble is seen, it lies in an opened bag: False if so.

    What is advised because nobody knows anything counts for nothing.
    """
    thought = at.thoughts[lot]
    sheet = thought.reasoned.sheet
    fails = not pressing_of(thought.reasoned, thought.plan)[0]
    trouble = any(
        (record := sheet.records.get(("sign", sign))) is not None and record.value is True
        for sign in signs_of_trouble(at.reasoner)
    )
    return (
        not fails,
        not certain_emergencies(thought.reasoned, thought.plan),
        not trouble,
        sheet.situation.place != "open_bag",
    )


def worst_told_first(at: Inquiry, lots: Iterable[str]) -> list[str]:
    """These lots, those told to be worst first."""
    return sorted(lots, key=lambda lot: as_told(at, lot))
