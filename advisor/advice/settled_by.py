"""What a question settles, read from its entry in the rule base."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.advice.facts.sheet import FactSheet
from advisor.rulebase import RuleBase
from advisor.rulebase.entries import Question

#: A thing one can find out: ("sign", id), ("reading", id), ("history", id), ("field", place).
Item = tuple[str, str]

#: The entry of rules/questions.toml that holds the words never taken for a sign.
NEVER = "words_that_are_not_signs"

#: The entry that asks what there is to measure with, and the one reading that needs no kit.
KITS, THERMOMETER = "kits_at_hand", "thermometer"

#: Out of the bag: kept as an hour of the lot rather than as a history item.
RELEASED: Item = ("field", "lot.released_at_hours")
RELEASED_WORD = "released"


def has_kit(name: str, sheet: FactSheet, base: RuleBase) -> bool:
    """Whether there may be something to take a reading with: not known is not no."""
    kit = base.quantities[name].kit
    record = None if kit is None else sheet.records.get(("history", kit))
    return record is None or record.value != "no"


def several(question: Question) -> bool:
    """Several lines may hold: each line is a history item of its own."""
    return bool(question.choices) and question.history is None and not single(question)


def single(question: Question) -> bool:
    """One line of several holds; its key names every item it settles."""
    return any("=" in key for key in question.choices)


def settings(key: str) -> dict[str, str]:
    """The items a line of a single choice settles: "a=yes b=no" -> {"a": "yes", "b": "no"}."""
    return dict(part.split("=", 1) for part in key.split())


#: Entries that are not put by worth: words never taken for a sign, and later looks' own questions.
APART = frozenset({NEVER, "mending", "still_there"})


def is_asked(question: Question) -> bool:
    """Whether the session may choose this question by itself."""
    return question.id not in APART


def choices_of(question: Question, base: RuleBase) -> Mapping[str, str]:
    """Lines of a question, key -> words shown."""
    if question.kind == "signs":
        return {sign: base.signs[sign].name for sign in question.signs}
    if question.history is not None:
        answers = base.history[question.history].answers
        return {answer: question.choices.get(answer, answer) for answer in answers}
    return question.choices


def items_of(question: Question, base: RuleBase) -> tuple[Item, ...]:
    """Everything the question settles."""
    found: list[Item] = [("sign", sign) for sign in question.signs]
    found += [("reading", name) for name in question.reading]
    if question.history is not None:
        found.append(("history", question.history))
    for key in question.choices if question.history is None and question.id != NEVER else ():
        names = settings(key) if "=" in key else {key: ""}
        found += [RELEASED if name == RELEASED_WORD else ("history", name) for name in names]
    if question.field is not None:
        found.append(("field", question.field))
        found += [("history", h.id) for h in base.history.values() if h.field == question.field]
    return tuple(dict.fromkeys(found))
