"""The next question for a lot: the first ones in fixed order, then the one worth most."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from advisor.advice.facts.sheet import FactSheet
from advisor.advice.facts.told import answer_in
from advisor.advice.needs import Needs
from advisor.advice.reasoner import Reasoned, Reasoner
from advisor.advice.settled_by import (
    KITS,
    RELEASED_WORD,
    THERMOMETER,
    Item,
    has_kit,
    is_asked,
    items_of,
    settings,
    single,
)
from advisor.advice.worth import QuestionWorth, worths
from advisor.ask.answers.apply import key_at
from advisor.ask.chance import answered_by
from advisor.case import Case, Lot
from advisor.rulebase import RuleBase
from advisor.rulebase.entries import QuantityEntry, Question

#: The first questions are put whatever they are worth: whether this is an emergency, which
#: fish, and how long ago (the starting odds of every cause depend on the day).
ALWAYS_FIRST = 7
#: Opening places from here on serve the forecast of bags that are still shut.
SEALED_FROM = 20
#: A question that would bring less than this many expected decibans is not put any more by
#: itself (judgement; over development cases it ends sessions after some thirty questions,
#: and before what would still change the first cause or action in one of fifty).
LEAST = 2.5
#: What a bag's water loses within the day; its minerals can be read in a cup kept aside.
FLEETING = ("temperature_c", "ph", "do_mg_l", "co2_mg_l")
#: What so much of a dose or a gate waits for is asked before all else, if it takes no longer
#: than this [s] and the person has answered such things (judgement).
LEAST_DOSE, QUICK_S, LIKELY_SAID = 2.0, 10.0, 0.3


@dataclass(frozen=True)
class Asking:
    """A question to put now.

    why   : "opening", "worth", or "sealed" (for bags still shut)
    worth : None for the first questions
    left  : questions still worth putting about this lot, this one among them; 0 where not known
    """

    question: Question
    lot: str | None
    why: str
    worth: QuestionWorth | None = None
    left: int = 0


def next_question(
    case: Case,
    lot: Lot,
    reasoned: Reasoned,
    reasoner: Reasoner,
    shown: Iterable[str] = (),
    *,
    skip: Iterable[str] = (),
) -> Asking | None:
    """The question to put next about ``lot``, None when nothing more would change much.

    shown : ids of the actions advised now; skip: question ids not to be put
    """
    skipped = set(skip)
    may = [q for q in askable(case, lot, reasoned, reasoner) if q.id not in skipped]
    opening = sorted(
        (place, q.id)
        for q in may
        if (place := _place(q, reasoned)) is not None
        and (place >= SEALED_FROM or _untouched(q, case, lot, reasoned, reasoner.base))
    )
    if opening and opening[0][0] <= ALWAYS_FIRST:
        return Asking(reasoner.base.questions[opening[0][1]], lot.id, "opening")
    found = question_worths(case, lot, may, reasoned, reasoner, shown)
    for place, name in opening:
        if place >= SEALED_FROM or _matters(found[name], reasoned, reasoner.base, case):
            why = "sealed" if place >= SEALED_FROM else "opening"
            question = _with_what(reasoner.base.questions[name], may)
            return Asking(question, lot.id, why, found[question.id])
    phase = reasoned.sheet.phase
    chance = {q.id: answered_by(q, case, reasoner.base, phase) for q in may}
    worth_it = [w for w in found.values() if w.total * chance[w.question] >= LEAST]
    best = max(worth_it, key=lambda w: _rank(w, chance[w.question]), default=None)
    if best is None:
        return None
    question = _with_what(reasoner.base.questions[best.question], may)
    return Asking(question, lot.id, "worth", found[question.id], len(worth_it))


def _matters(worth: QuestionWorth, reasoned: Reasoned, base: RuleBase, case: Case) -> bool:
    """Whether a question of the opening is to be put: signs and a journey long past by worth."""
    question = base.questions[worth.question]
    long_past = question.of_journey and reasoned.sheet.phase != "arrival"
    if question.kind != "signs" and not long_past:
        return worth.total > 0
    return worth.total * answered_by(question, case, base, reasoned.sheet.phase) >= LEAST


def left_open(
    case: Case, lot: Lot, reasoned: Reasoned, reasoner: Reasoner
) -> Iterator[tuple[Question, float]]:
    """(question, worth) of what would matter still, if only it were known."""
    may = [q for q in askable(case, lot, reasoned, reasoner) if q.id != KITS]
    for name, worth in question_worths(case, lot, may, reasoned, reasoner).items():
        if worth.total >= LEAST:
            yield reasoner.base.questions[name], worth.total


def _rank(worth: QuestionWorth, chance: float) -> tuple[bool, float, str]:
    """What a dose or a gate of the plan waits for comes first, then the most for the time."""
    waited_for = worth.dose >= LEAST_DOSE and worth.cost_seconds <= QUICK_S
    return waited_for and chance >= LIKELY_SAID, worth.per_second * chance, worth.question


def _with_what(question: Question, may: Iterable[Question]) -> Question:
    """Before the first reading that takes a kit, what there is to measure with."""
    if question.kind != "reading" or question.id == THERMOMETER:
        return question
    return next((each for each in may if each.id == KITS), question)


def _place(question: Question, reasoned: Reasoned) -> int | None:
    """Its place among the first for fish that are where these are; None: by worth."""
    early = f"early:{question.id}"
    if question.opening_when is None or any(f.rule_id == early for f in reasoned.firings):
        return question.opening
    return question.opening_else


def _untouched(
    question: Question, case: Case, lot: Lot, reasoned: Reasoned, base: RuleBase
) -> bool:
    """Whether the case holds nothing yet of what the question settles."""
    return not any(is_known(i, case, lot, reasoned, base) for i in items_of(question, base))


def askable(case: Case, lot: Lot, reasoned: Reasoned, reasoner: Reasoner) -> list[Question]:
    """Questions not yet put of which something is still unknown and whose condition holds."""
    base = reasoner.base
    fired = {firing.rule_id for firing in reasoned.firings}
    return [
        question
        for question in base.questions.values()
        if is_asked(question)
        and key_at(case, question, lot.id, base) not in case.session.answered
        and (question.ask_when is None or f"ask:{question.id}" in fired)
        and any(is_open(item, case, lot, reasoned, base) for item in items_of(question, base))
        and not (single(question) and _line_holds(question, reasoned))
    ]


def _line_holds(question: Question, reasoned: Reasoned) -> bool:
    """Whether the case already says one line of a single choice, and no line says more."""
    lines = [
        {pair for pair in settings(key).items() if pair[0] != RELEASED_WORD}
        for key in question.choices
    ]
    told = {
        (name, record.value)
        for (kind, name), record in reasoned.sheet.records.items()
        if kind == "history"
    }
    return any(line <= told and not any(line < other for other in lines) for line in lines)


def question_worths(
    case: Case,
    lot: Lot,
    may: Iterable[Question],
    reasoned: Reasoned,
    reasoner: Reasoner,
    shown: Iterable[str] = (),
) -> dict[str, QuestionWorth]:
    """Worth of each of these questions at this moment."""
    base = reasoner.base
    may = list(may)
    items = {question.id: items_of(question, base) for question in may}
    open_now = {
        item for each in items.values() for item in each if is_open(item, case, lot, reasoned, base)
    }
    waiting = [q for q in _behind_a_door(case, lot, reasoned, reasoner) if q.id not in items]
    later = {item for question in waiting for item in items_of(question, base)}
    needs = Needs(
        reasoner.compiled.nodes,
        reasoned.facts,
        lambda name: reasoned.sheet.quantity(name) is not None,
        lambda item: item in open_now or item in later,
        lambda item: is_known(item, case, lot, reasoned, base),
        _unread(reasoned),
    )
    costs = {q.id: (q.cost_seconds, items[q.id]) for q in may}
    behind = {q.id: (q.cost_seconds, items_of(q, base)) for q in waiting}
    return worths(costs, needs, reasoned, reasoner, shown, behind)


def _unread(reasoned: Reasoned) -> Iterator[Item]:
    """What keeps the next water from being known to fit."""
    for fit in reasoned.fits:
        if fit.kills and fit.state == "not_known":
            yield from (("reading", name) for name in fit.reads)
            yield from (("history", name) for name in fit.asks)


def _behind_a_door(case: Case, lot: Lot, reasoned: Reasoned, reasoner: Reasoner) -> list[Question]:
    """Questions that wait for another answer: out of reach now, not for good."""
    fired = {firing.rule_id for firing in reasoned.firings}
    return [
        question
        for question in reasoner.base.questions.values()
        if is_asked(question)
        and question.ask_when is not None
        and f"ask:{question.id}" not in fired
        and key_at(case, question, lot.id, reasoner.base) not in case.session.answered
    ]


def is_open(item: Item, case: Case, lot: Lot, reasoned: Reasoned, base: RuleBase) -> bool:
    """Whether the item is unknown and can be found out now: a shut bag cannot be dipped into."""
    kind, name = item
    if kind == "reading" and not can_be_taken(name, reasoned.sheet, base):
        return False
    return not is_known(item, case, lot, reasoned, base)


def can_be_taken(name: str, sheet: FactSheet, base: RuleBase) -> bool:
    """Whether a reading can be had: not out of a shut bag, nor what has long left the water."""
    quantity = base.quantities[name]
    shut = sheet.records.get(("history", "bags_sealed"))
    inside = quantity.water == "bag" and quantity.parameter != "temperature_c"
    if inside and shut is not None and shut.value == "yes":
        return False
    return not _is_gone(quantity, sheet) and has_kit(name, sheet, base)


def _is_gone(quantity: QuantityEntry, sheet: FactSheet) -> bool:
    fleeting = quantity.water == "bag" and quantity.parameter in FLEETING
    return fleeting and not quantity.at_hand(sheet.phase)


def text_of(question: Question, sheet: FactSheet, base: RuleBase) -> str:
    """The question; of the tank alone where no reading of the bag can be had any more."""
    gone = any(_is_gone(base.quantities[name], sheet) for name in question.reading)
    return question.text_tank if gone and question.text_tank else question.text


def is_known(item: Item, case: Case, lot: Lot, reasoned: Reasoned, base: RuleBase) -> bool:
    """Whether the case already holds this item for the lot."""
    kind, name = item
    if kind in ("sign", "history"):
        return (kind, name) in reasoned.sheet.records
    if kind == "reading":
        return reasoned.sheet.quantity(name) is not None
    if name == "lots":
        return lot.species is not None or lot.group is not None
    if name == "look.counts":
        return reasoned.sheet.quantity("dead_fraction") is not None
    if name == "look.at_hours":
        looks = (look for look in case.observation if look.tells or not look.done)
        return any(look.at_hours > 0 for look in looks)
    if name == "transit.air_c":
        return case.transit.air_low_c is not None or case.transit.air_high_c is not None
    return answer_in(case, lot, _own_place(name))[1] not in (None, "unknown")


def _own_place(name: str) -> str:
    """Hours and fasting are asked once but may be given for a lot."""
    lots_own = ("transit.hours_sealed", "transit.fasted_hours")
    return f"lot.{name.partition('.')[2]}" if name in lots_own else name
