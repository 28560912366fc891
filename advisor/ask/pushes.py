"""Why a question is asked: help, reason, and what each reply would really do to the ranking.

Every reply is tried on a copy of the case and the rules are run on it; nothing
here is prose about what ought to happen.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from advisor.advice.assess import plan_of, reason
from advisor.advice.facts.sheet import lots_of
from advisor.advice.reasoner import Reasoned, Reasoner
from advisor.ask.answers.apply import apply
from advisor.ask.answers.parts import Place
from advisor.ask.emergency import certain_emergencies
from advisor.ask.hands import first_sentence
from advisor.ask.keys import LEGEND
from advisor.ask.records import Say
from advisor.ask.replies_tried import possible_replies
from advisor.case import Case, Lot
from advisor.rulebase import RuleBase
from advisor.rulebase.entries import Question
from advisor.wording.names import STANDING

_MOST_CAUSES = 6
_MOST_SHIFTS = 4
#: Size of a shift in decibans -> word (the words of the rule base's own strengths).
_WORDS = ((20.0, "decisively"), (10.0, "strongly"), (6.0, "clearly"), (0.0, "slightly"))
#: Shifts smaller than this say nothing [decibans].
_LEAST = 1.0
#: A cause below the least odds after every reply is not worth naming [decibans]; they lie lower
#: by what is taken off while nothing speaks for it.
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
    before = _emergencies(reasoned, reasoner)
    floor = _FLOOR - reasoner.base.settings.nothing_for_it
    found = []
    for words, reply in possible_replies(case, lot, question, reasoned, reasoner):
        tried = apply(case, question, reply, Place(lot.id, at_hours), reasoner.base)
        same = next((each for each in lots_of(tried) if each.id == lot.id), lots_of(tried)[0])
        after = reason(tried, same, reasoner)
        shifts = [
            (cause.id, cause.decibans - now[cause.id], cause.standing)
            for cause in after.ranking.causes
            if abs(cause.decibans - now[cause.id]) >= _LEAST
            and max(cause.decibans, now[cause.id]) >= floor
        ]
        shifts.sort(key=lambda shift: (-abs(shift[1]), shift[0]))
        fresh = tuple(sorted(_emergencies(after, reasoner) - before))
        found.append(Push(words, tuple(shifts), fresh))
    return tuple(found)


def _emergencies(reasoned: Reasoned, reasoner: Reasoner) -> set[str]:
    return {a.id for a in certain_emergencies(reasoned, plan_of(reasoned, reasoner))}


def explain(
    question: Question,
    case: Case,
    lot: Lot,
    reasoned: Reasoned,
    reasoner: Reasoner,
    at_hours: float,
) -> Iterator[Say]:
    """Help, reason, and the computed effect of each reply."""
    yield Say(question.help, level=1)
    yield Say(f"Why: {question.because}", level=1)
    found = pushes(case, lot, question, reasoned, reasoner, at_hours)
    causes = _causes(found)
    if causes:
        names = ", ".join(reasoner.base.causes[cause].name for cause in causes[:_MOST_CAUSES])
        yield Say(f"It tells apart: {names}.", level=1)
    moving = [push for push in found if push.shifts or push.emergencies]
    for push in moving:
        yield Say(_sentence(push, reasoner.base), "-", 1)
    if moving and len(moving) < len(found):
        yield Say("the others change nothing by themselves.", "-", 1)
    if not moving:
        yield Say("It fills in an amount or the record rather than the ranking.", level=1)
    yield Say(LEGEND, level=1)


def _causes(found: Sequence[Push]) -> list[str]:
    """Causes that some reply moves, the most moved first."""
    most: dict[str, float] = {}
    for push in found:
        for cause, shift, _ in push.shifts:
            most[cause] = max(most.get(cause, 0.0), abs(shift))
    return sorted(most, key=lambda cause: (-most[cause], cause))


def _sentence(push: Push, base: RuleBase) -> str:
    parts = [
        f"{base.causes[cause].name} {_how(shift)} {'up' if shift > 0 else 'down'} "
        f"({STANDING[standing]})"
        for cause, shift, standing in push.shifts[:_MOST_SHIFTS]
    ]
    more = len(push.shifts) - _MOST_SHIFTS
    if more > 0:
        parts.append(f"and {more} more")
    acts = [first_sentence(base.actions[name].text).rstrip(".") for name in push.emergencies]
    parts += [f"at once: {act}" for act in acts]
    return f"{push.reply}: {'; '.join(parts) or 'changes nothing by itself'}."


def _how(shift: float) -> str:
    return next(word for least, word in _WORDS if abs(shift) >= least)
