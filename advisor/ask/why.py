"""Why a question is asked: what each reply would really do to the ranking.

Every reply is tried on a copy of the case and the rules are run on it; nothing
here is prose about what ought to happen.
"""

from __future__ import annotations

from dataclasses import dataclass

from advisor.advice.assess import Reasoned, Reasoner, reason
from advisor.advice.facts.sheet import lots_of
from advisor.ask.answers.apply import apply
from advisor.ask.answers.parts import Place
from advisor.ask.replies_tried import possible_replies
from advisor.case import Case, Lot
from advisor.rulebase import RuleBase
from advisor.rulebase.model import Question

#: Shifts smaller than this say nothing [decibans].
_LEAST = 1.0
#: A cause below the least odds after every reply is not worth naming [decibans].
_FLOOR = -15.0


@dataclass(frozen=True)
class Push:
    """What one reply would do: (cause, decibans up or down, standing after), strongest first.

    emergencies : ids of emergency actions it would bring up
    """

    reply: str
    shifts: tuple[tuple[str, float, str], ...]
    emergencies: tuple[str, ...] = ()


def pushes(
    case: Case,
    lot: Lot,
    question: Question,
    reasoned: Reasoned,
    reasoner: Reasoner,
    at_hours: float,
) -> tuple[Push, ...]:
    """What each possible reply to ``question`` would push, by running the rules on it."""
    now = {cause.id: cause.decibans for cause in reasoned.ranking.causes}
    before = _emergencies(reasoned, reasoner.base)
    found = []
    for words, reply in possible_replies(case, lot, question, reasoned, reasoner):
        tried = apply(case, question, reply, Place(lot.id, at_hours), reasoner.base)
        same = next((each for each in lots_of(tried) if each.id == lot.id), lots_of(tried)[0])
        after = reason(tried, same, reasoner)
        shifts = [
            (cause.id, cause.decibans - now[cause.id], cause.standing)
            for cause in after.ranking.causes
            if abs(cause.decibans - now[cause.id]) >= _LEAST
            and max(cause.decibans, now[cause.id]) >= _FLOOR
        ]
        shifts.sort(key=lambda shift: (-abs(shift[1]), shift[0]))
        fresh = tuple(sorted(_emergencies(after, reasoner.base) - before))
        found.append(Push(words, tuple(shifts), fresh))
    return tuple(found)


def _emergencies(reasoned: Reasoned, base: RuleBase) -> set[str]:
    """Emergency actions that some fact calls for."""
    return {
        name
        for firing in reasoned.firings
        for kind, _, name in [firing.rule_id.partition(":")]
        if kind == "action"
        and base.actions[name].emergency
        and any(fact.kind != "not_enough" for fact in firing.facts)
    }
