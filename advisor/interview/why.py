"""Why a question is asked: what each reply would really do to the ranking.

Every reply is tried on a copy of the case and the rules are run on it; nothing
here is prose about what ought to happen.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from advisor.answers.apply import apply
from advisor.answers.parts import Place
from advisor.answers.replies import Read, Reply, Seen, Settled
from advisor.assess import Reasoned, Reasoner, reason
from advisor.case import Case, Lot, Reading
from advisor.case.readings import RANGES
from advisor.conditions import leaves
from advisor.facts.computed import NEEDS
from advisor.facts.sheet import lots_of
from advisor.interview.choose import is_open
from advisor.interview.shape import choices_of, settings, several, single
from advisor.rulebase import RuleBase
from advisor.rulebase.model import Question

#: Shifts smaller than this say nothing [decibans].
_LEAST = 1.0
#: A cause below the least odds after every reply is not worth naming [decibans].
_FLOOR = -15.0
MOST_REPLIES = 14


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
    for words, reply in _replies(case, lot, question, reasoned, reasoner):
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


def _replies(
    case: Case, lot: Lot, question: Question, reasoned: Reasoned, reasoner: Reasoner
) -> Iterator[tuple[str, Reply]]:
    base = reasoner.base
    lines = list(choices_of(question, base).items())
    if question.kind == "signs":
        for sign, words in lines[:MOST_REPLIES]:
            yield words, Seen((sign,))
        yield "none of these", Seen((), tuple(question.signs))
    elif question.kind == "reading":
        for name in question.reading:
            if is_open(("reading", name), case, lot, reasoned, base):
                yield from _levels(name, reasoner)
    elif single(question):
        for key, words in lines[:MOST_REPLIES]:
            values = settings(key)
            released = values.pop("released", None) is not None
            yield words, Settled(values, released)
    elif question.history is not None:
        for answer, words in lines[:MOST_REPLIES]:
            yield words, Settled({question.history: answer})
    elif several(question):
        for item, words in lines[:MOST_REPLIES]:
            yield words, Settled({item: "yes"})
        yield "none of these", Settled(dict.fromkeys(question.choices, "no"))


def _levels(name: str, reasoner: Reasoner) -> Iterator[tuple[str, Reply]]:
    """A reading in each span between the numbers that rules compare it with."""
    quantity = reasoner.base.quantities[name]
    floor, ceiling = RANGES[quantity.parameter or name]
    marks = sorted(m for m in limits_on(name, reasoner) if floor < m < ceiling)
    marks = _spread(marks, 3)
    ends = [floor, *marks, ceiling]
    unit = "" if quantity.unit == "pH" else f" {quantity.unit}"
    for at, (low, high) in enumerate(pairwise(ends)):
        if not marks:
            return
        first, last = at == 0, at == len(marks)
        value = _inside(low, high, marks)
        words = (
            f"{quantity.name} below {high:.3g}{unit}" if first
            else f"{quantity.name} {low:.3g}{unit} or more" if last
            else f"{quantity.name} {low:.3g} to {high:.3g}{unit}"
        )  # fmt: skip
        yield words, Read({name: Reading(value=value)})


def _inside(low: float, high: float, marks: list[float]) -> float:
    """A value well inside a span; beyond the last mark a step of the usual size."""
    step = (marks[-1] - marks[0]) / max(1, len(marks) - 1) if len(marks) > 1 else abs(marks[0])
    if low == marks[-1]:
        return min(high, low + max(step, 0.5 * abs(low), 1e-6))
    if high == marks[0]:
        return max(low, high - max(step, 0.5 * abs(high), 1e-6))
    return (low + high) / 2


def _spread(marks: list[float], most: int) -> list[float]:
    """At most ``most`` marks, the ends kept."""
    if len(marks) <= most:
        return marks
    step = (len(marks) - 1) / (most - 1)
    return [marks[round(n * step)] for n in range(most)]


def limits_on(name: str, reasoner: Reasoner) -> set[float]:
    """Numbers that evidence and findings compare a reading with, itself and not through others."""
    return {
        float(leaf.value)
        for engine_id, node in reasoner.compiled.nodes.items()
        if engine_id.partition(":")[0] in ("rule", "finding")
        for leaf in leaves(node)
        if leaf.kind in ("value", "low", "high") and leaf.name == name
    } | _through_computed(name, reasoner)


def _through_computed(name: str, reasoner: Reasoner) -> set[float]:
    """Where only computed values use a reading, its usual bounds stand in for limits."""
    if not any(name in group for needs in NEEDS.values() for group in needs):
        return set()
    from advisor.units import PARAMETERS

    parameter = PARAMETERS.get(reasoner.base.quantities[name].parameter or "")
    if parameter is None:
        return set()
    low, high = parameter.odd_low, min(parameter.odd_high, 10 * (parameter.first_mark or 1e9))
    return {low + (high - low) / 3, low + 2 * (high - low) / 3}
