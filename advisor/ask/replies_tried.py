"""Replies a question may get, to try each on a copy of the case.

Readings and numbers are tried in spans between the figures that rules compare them with, and
each is named by the very value that was tried.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

from advisor.advice.facts.computed import NEEDS
from advisor.advice.reasoner import Reasoned, Reasoner
from advisor.advice.settled_by import choices_of, several, single
from advisor.ask.answers.replies import Counted, Filled, Read, Reply, Seen, Settled
from advisor.ask.answers.typed_reading import BOXES, as_reading, asks_kit, kits_of
from advisor.ask.next_question import is_open
from advisor.case import Case, Lot
from advisor.case.model import Counts
from advisor.case.readings import RANGES, Kit
from advisor.rulebase.conditions import leaves
from advisor.rulebase.entries import Question
from advisor.units import Quantity
from advisor.wording.numbers import short

MOST_REPLIES = 14
#: So many figures of the rules divide the range of a reading.
MOST_MARKS = 4
#: Field -> the fact rules compare, its unit, the span it can have.
_NUMBERS: dict[str, tuple[str, str, tuple[float, float]]] = {
    "transit.hours_sealed": ("hours_sealed", "h", (0.0, 240.0)),
    "transit.fasted_hours": ("fasted_hours", "h", (0.0, 400.0)),
    "receiving.age_days": ("tank_age_days", "days", (0.0, 3650.0)),
}
#: Hours after receipt inside each phase, and how that is said.
_DAYS = (("within the first day", 1.0), ("two to four days", 48.0), ("five days or more", 200.0))


def possible_replies(
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
                yield from _levels(name, reasoner, kits_of(case))
    elif single(question):
        for key, words in lines[:MOST_REPLIES]:
            yield words, Settled.of_line(key)
    elif question.history is not None:
        for answer, words in lines[:MOST_REPLIES]:
            yield words, Settled({question.history: answer})
    elif question.field is not None:
        yield from _fields(question.field, lot, reasoner)
    elif several(question):
        for item, words in lines[:MOST_REPLIES]:
            yield words, Settled({item: "yes"})
        yield "none of these", Settled(dict.fromkeys(question.choices, "no"))


def _fields(field: str, lot: Lot, reasoner: Reasoner) -> Iterator[tuple[str, Reply]]:
    """Numbers of the case, told apart where rules tell them apart."""
    if field == "look.at_hours":
        for words, hours in _DAYS:
            yield words, Filled({field: hours})
    elif field == "look.counts":
        heads = lot.count or 10
        for share in (0.0, 0.05, 0.5):
            count = min(heads, max(round(heads * share), int(share > 0)))
            yield (
                f"{count} dead, none down",
                Counted(Counts(dead=count, down=0, normal=heads - count)),
            )
    elif field in _NUMBERS:
        name, unit, (floor, ceiling) = _NUMBERS[field]
        marks = _spread(sorted(m for m in limits_on(name, reasoner) if floor < m < ceiling), 3)
        for value in dict.fromkeys(_values(marks, floor, ceiling)):
            yield f"{short(value, 3)} {unit}", Filled({field: value})


def _levels(
    name: str, reasoner: Reasoner, kits: Mapping[str, Kit | None]
) -> Iterator[tuple[str, Reply]]:
    """Readings on both sides of numbers that rules compare them with, as a person types them."""
    quantity = reasoner.base.quantities[name]
    floor, ceiling = RANGES[quantity.parameter or name]
    marks = _spread(sorted(m for m in limits_on(name, reasoner) if floor < m < ceiling), MOST_MARKS)
    unit = "" if quantity.unit == "pH" else quantity.unit
    parameter = quantity.parameter or name
    for value in dict.fromkeys(_values(marks, floor, ceiling)):
        typed = Quantity(value, value, value, short(value, 3))
        words = f"{quantity.name} {short(value, 3)} {unit}".strip()
        kit = kits.get(BOXES.get(parameter, "tubes")) if asks_kit(parameter) else None
        if asks_kit(parameter) and kit is None:
            words += " (kind of kit not told)"
        yield words, Read({name: as_reading(typed, parameter, kit)})


def _values(marks: list[float], floor: float, ceiling: float) -> Iterator[float]:
    """A value inside every span that the marks cut the range into, as it is written.

    It stands for itself alone: other rules may tell apart what lies in one span.
    """
    if marks:
        for low, high in pairwise([floor, *marks, ceiling]):
            yield float(short(_inside(low, high, marks), 3))


def _inside(low: float, high: float, marks: list[float]) -> float:
    """A value well inside a span; beyond the last mark a step of the usual size."""
    step = (marks[-1] - marks[0]) / max(1, len(marks) - 1) if len(marks) > 1 else abs(marks[0])
    if low == marks[-1]:
        return min(high, low + max(step, 0.1 * abs(low), 1e-6))
    if high == marks[0]:
        return max(low, high - max(step, 0.1 * abs(high), 1e-6))
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
        if leaf.name == name and isinstance(leaf.value, float)
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
