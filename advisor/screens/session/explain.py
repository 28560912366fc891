""" "?" at a question: how to answer it, why it is asked, which way each reply would push."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.advice.assess import Reasoned, Reasoner
from advisor.ask.why import Push, pushes
from advisor.case import Case, Lot
from advisor.rulebase import RuleBase
from advisor.rulebase.model import Question
from advisor.screens.session.draw import LEGEND
from advisor.screens.session.talk import Talk
from advisor.screens.show_assessment import STANDING

_MOST_CAUSES = 6
_MOST_SHIFTS = 4
#: Size of a shift in decibans -> word (the words of the rule base's own strengths).
_WORDS = ((20.0, "decisively"), (10.0, "strongly"), (6.0, "clearly"), (0.0, "slightly"))


def explain(
    talk: Talk,
    question: Question,
    case: Case,
    lot: Lot,
    reasoned: Reasoned,
    reasoner: Reasoner,
    at_hours: float,
) -> None:
    """Print help, reason, and the computed effect of each reply."""
    talk.say(question.help, indent=3)
    talk.say(f"Why: {question.because}", indent=3)
    found = pushes(case, lot, question, reasoned, reasoner, at_hours)
    causes = _causes(found)
    if causes:
        names = ", ".join(reasoner.base.causes[cause].name for cause in causes[:_MOST_CAUSES])
        talk.say(f"It tells apart: {names}.", indent=3)
    moving = [push for push in found if push.shifts or push.emergencies]
    for push in moving:
        talk.item("-", _sentence(push, reasoner.base), indent=3)
    if moving and len(moving) < len(found):
        talk.item("-", "the others change nothing by themselves.", indent=3)
    if not moving:
        talk.say("It fills in an amount or the record rather than the ranking.", indent=3)
    talk.say(LEGEND, indent=3)


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
    acts = [base.actions[name].text.split(".")[0] for name in push.emergencies]
    parts += [f"at once: {act}" for act in acts]
    return f"{push.reply}: {'; '.join(parts) or 'changes nothing by itself'}."


def _how(shift: float) -> str:
    return next(word for least, word in _WORDS if abs(shift) >= least)
