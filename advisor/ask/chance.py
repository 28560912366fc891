"""How likely a question is to be answered, from how those like it fared with this person.

Whoever could not say one thing of a kind as a rule cannot say the next: it is the same kit
that is missing, the same packer who was not asked, the same fish that nobody can get near.
The share is that of a beta distribution learned from answers given and left open, the
beta-binomial (Gelman et al., Bayesian Data Analysis, 2013, section 2.4, from memory).
The figures are judgement.
"""

from __future__ import annotations

from advisor.advice.settled_by import KITS
from advisor.case import Case
from advisor.rulebase import RuleBase
from advisor.rulebase.entries import Question

#: Answers given that everybody is credited with before the first question.
CREDIT = 2.0
#: The very question left open of another lot, and what there is to measure with, count as
#: so many left open.
SAME_AGAIN = 3
#: Of the journey fewer can tell the later it is: the packer's note is thrown away, the bag poured
#: out, and whoever opened it has gone home.
STILL_TOLD = {"arrival": 1.0, "day_2_4": 0.5, "day_5_14": 0.25}


def answered_by(question: Question, case: Case, base: RuleBase, phase: str = "arrival") -> float:
    """Chance that this question gets an answer, over that of a person never asked (0 to 1).

    phase : how long ago they came, as ``FactSheet.phase`` says it
    """
    mine = way_of(question)
    asked = known = 0
    for key in case.session.answered:
        other = base.questions.get(key.partition("/")[0])
        if other is not None and way_of(other) == mine:
            open_still = key in case.session.unknown
            weighty = other is question or other.id == KITS
            asked += SAME_AGAIN if open_still and weighty else 1
            known += not open_still
    still = STILL_TOLD[phase] if question.of_journey else 1.0
    return still * (known + CREDIT) / (asked + CREDIT)


def way_of(question: Question) -> str:
    """How an answer is found: by looking, by reading an instrument, or by having been told."""
    if question.kind == "signs" or question.field == "look.counts":
        return "look"
    return "reading" if question.kind == "reading" or question.id == KITS else "told"
