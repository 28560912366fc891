"""Words that are no answer: "cycled", "treated", "fine", and what is asked after them."""

from __future__ import annotations

from advisor.advice.settled_by import NEVER
from advisor.ask.answers.choosing import plain
from advisor.ask.answers.replies import UNKNOWN, Reply, Settled
from advisor.rulebase import RuleBase
from advisor.units.spellings import key_of
from advisor.units.words import questions

#: Words that stand where a number was asked for -> the fact of its own that they make.
FACTS = {"cycled": "called_cycled_without_number", "fine": "tested_fine_without_number"}


def asked_instead(line: str, base: RuleBase) -> str | None:
    """What to ask after a word that says too little; None when the word may be an answer."""
    never = base.questions.get(NEVER)
    words = {plain(word): ask for word, ask in (never.choices if never else {}).items()}
    return words.get(plain(line)) or questions().get(key_of(line))


def kept_as_words(line: str) -> Reply:
    """A word again where an answer was asked for: not known; "cycled" and "fine" are facts."""
    fact = fact_of(questions().get(key_of(line), ""))
    return UNKNOWN if fact is None else Settled({fact: "yes"})


def fact_of(ask: str) -> str | None:
    """The fact that a word settles whose follow-up question is ``ask``."""
    return next((name for word, name in FACTS.items() if questions()[key_of(word)] == ask), None)
