"""Which tank each lot goes to, where a delivery goes to several.

The case holds one receiving system; a reading of one tank is then kept for the lots that go
there, and no other tank counts as read.
"""

from __future__ import annotations

from advisor.case import Case, Lot
from advisor.rulebase import RuleBase
from advisor.rulebase.entries import Question

_GOES_TO = "goes to: "


def tank_of(lot: Lot) -> str:
    """The tank written down for a lot; empty when none is."""
    notes = lot.notes or ""
    return notes.removeprefix(_GOES_TO).strip() if notes.startswith(_GOES_TO) else ""


def tank_note(tank: str) -> str:
    """The note of a lot that goes to ``tank``."""
    return f"{_GOES_TO}{tank}"


def in_same_tank(case: Case, lot: str | None) -> tuple[str, ...]:
    """Lots that go where this one goes; empty where the whole delivery goes to one tank."""
    tanks = {each.id: tank_of(each).casefold() for each in case.lot}
    if lot not in tanks or len(set(tanks.values())) < 2:
        return ()
    return tuple(each for each, tank in tanks.items() if tank == tanks[lot])


def reads_tank(question: Question, base: RuleBase) -> bool:
    """Whether a question asks for readings of the tank."""
    return any((base.quantities[name].water or "tank") == "tank" for name in question.reading)
