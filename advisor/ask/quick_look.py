"""A later look at one lot in one go: the last look stands there, only what changed is touched."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import datetime

from advisor.advice.assess import assess, reason
from advisor.advice.facts.sheet import lots_of
from advisor.advice.reasoner import Reasoner
from advisor.ask.answers.looks import SAME_LOOK_H, with_counts, with_signs
from advisor.ask.answers.parts import Place
from advisor.ask.answers.replies import Counted, Seen
from advisor.ask.between import MENDING, SinceLastLook, change, signs_there
from advisor.ask.finish import with_result
from advisor.ask.hours import hours_since
from advisor.ask.rechecks import dead_at
from advisor.case import Case, Lot
from advisor.case.model import Counts
from advisor.errors import AdvisorError

#: Looked at at every later look; signs seen before stand first.
ALWAYS = ("breathing_and_posture", MENDING)


@dataclass(frozen=True)
class QuickLook:
    """What to look for at a lot: (sign, its name, whether it was there at the last look).

    dead : counted at the last look; None where nobody counted
    """

    lot: Lot
    signs: tuple[tuple[str, str, bool], ...]
    dead: int | None


def quick_look(case: Case, lot: str, reasoner: Reasoner) -> QuickLook:
    """Raises AdvisorError when there is no such lot, or nobody has looked at it yet."""
    this = next((each for each in lots_of(case) if each.id == lot), None)
    if this is None or not case.observation:
        raise AdvisorError("There is no look at such a lot yet; answer the questions first.")
    return QuickLook(this, tuple(_signs(case, this, reasoner)), dead_at(case, this, case.last_hour))


def _signs(case: Case, lot: Lot, reasoner: Reasoner) -> Iterator[tuple[str, str, bool]]:
    base = reasoner.base
    there = signs_there(reason(case, lot, reasoner), base)
    questions = (base.questions[name] for name in ALWAYS if name in base.questions)
    always = [sign for question in questions for sign in question.signs]
    for name in dict.fromkeys((*there, *always)):
        yield name, base.signs[name].name, name in there


def looked(
    case: Case,
    lot: str,
    seen: Collection[str],
    dead: int | None,
    reasoner: Reasoner,
    now: datetime,
) -> tuple[Case, SinceLastLook]:
    """The case with this look, and what has changed since the one before.

    seen : signs there now; the others of the list were looked for and are not there
    dead : counted now; None when nobody counted
    """
    found = quick_look(case, lot, reasoner)
    before = case.last_hour
    hours = before + max(2 * SAME_LOOK_H, hours_since(case, now) - before)
    names = [name for name, _, _ in found.signs]
    reply = Seen(tuple(n for n in names if n in seen), tuple(n for n in names if n not in seen))
    place = Place(lot, hours)
    case = with_signs(case, reply, place)
    if dead is not None:
        case = with_counts(case, Counted(Counts(dead=dead)), place)
    case = with_result(case, assess(case, reasoner), now)
    return case, change(case, found.lot, before, hours, reasoner)


def since(case: Case, lot: str, reasoner: Reasoner) -> SinceLastLook:
    """What the last two looks differ in. Raises AdvisorError when there were not two."""
    hours = sorted({look.at_hours for look in case.observation})
    this = next((each for each in lots_of(case) if each.id == lot), None)
    if this is None or len(hours) < 2:
        raise AdvisorError("There is no later look at such a lot yet.")
    return change(case, this, hours[-2], hours[-1], reasoner)
