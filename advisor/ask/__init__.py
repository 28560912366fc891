"""Which question next, and why: pure functions of a case and its ranking.

Worth is the expected weight of evidence a question may bring (Good & Card 1971),
with what it may change in the plan, for each second it costs. Weights and
seconds are judgement.
"""

from advisor.ask.choose import Asking, next_question
from advisor.ask.shape import items_of, several, single
from advisor.ask.worth import QuestionWorth, worths

__all__ = [
    "Asking",
    "QuestionWorth",
    "items_of",
    "next_question",
    "several",
    "single",
    "worths",
]
