"""Questions that settle nothing or what does not exist, and facts that no question asks for."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.rulebase.base import RuleBase
from advisor.rulebase.entries import Question
from advisor.rulebase.remarks import Remark, fault, remark

Used = dict[str, set[str]]
#: Kept as an hour of the lot instead of a history item.
_RELEASED = "released"


def question_remarks(base: RuleBase, used: Used) -> Iterator[Remark]:
    """Remarks on questions; none where a rule base brings no questions at all.

    used : names that conditions ask for, by kind of fact
    """
    if not base.questions:
        return
    asked: Used = {"sign": set(), "history": {_RELEASED}, "reading": set()}
    for question in base.questions.values():
        items = _items(question)
        yield from _choices(question, base)
        if not (items or question.signs or question.reading or question.field):
            yield remark("question", question, "settles no sign, reading, history item or field")
        asked["sign"] |= set(question.signs)
        asked["reading"] |= set(question.reading)
        asked["history"] |= items
        if question.field is not None:
            asked["history"] |= {h.id for h in base.history.values() if h.field == question.field}
    yield from _unasked(base, used, asked)


def _items(question: Question) -> set[str]:
    """History items a question settles."""
    if question.history is not None:
        return {question.history}
    if question.kind != "choice":
        return set()
    return {part.partition("=")[0] for key in question.choices for part in key.split()}


def _choices(question: Question, base: RuleBase) -> Iterator[Remark]:
    """Every choice must lead to an item and an answer that exist."""
    if question.kind != "choice":
        return
    for key in question.choices:
        if question.history is not None:
            pairs = [(question.history, key)]
        else:
            pairs = [(p.partition("=")[0], p.partition("=")[2] or "yes") for p in key.split()]
        for name, answer in pairs:
            item = base.history.get(name)
            if item is None and name != _RELEASED:
                yield fault("question", question, f'choice "{key}": no history item "{name}"')
            elif item is not None and not item.number and answer not in (*item.answers, "unknown"):
                yield fault(
                    "question", question, f'choice "{key}": {name} has no answer "{answer}"'
                )


def _unasked(base: RuleBase, used: Used, asked: Used) -> Iterator[Remark]:
    for kind, table, word in (
        ("sign", base.signs, "conditions use this sign, but no question asks for it"),
        ("history", base.history, "conditions use this item, but no question asks for it"),
    ):
        for entry in table.values():
            if entry.id in used[kind] and entry.id not in asked[kind]:
                yield remark(kind, entry, word)
    for quantity in base.quantities.values():
        wanted = quantity.id in used["quantity"] and quantity.kind == "reading"
        if wanted and quantity.id not in asked["reading"]:
            text = "conditions use this reading, but no question asks for it"
            yield remark("quantity", quantity, text)
