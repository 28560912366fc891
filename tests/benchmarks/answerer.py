"""A simulated person who knows only what a case holds, and plays the session with it.

Not a test: ``session_worth.py`` uses it to count questions, and the tests of the
session use it to walk through whole sessions.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from advisor.advice.assess import plan_of, reason
from advisor.advice.facts.sheet import fact_sheet, lots_of
from advisor.advice.facts.told import answer_in
from advisor.advice.plan import Plan
from advisor.advice.reasoner import Reasoned, Reasoner
from advisor.advice.settled_by import KITS, settings, several, single
from advisor.ask.answers.apply import apply
from advisor.ask.answers.parts import Place
from advisor.ask.answers.replies import (
    UNKNOWN,
    Counted,
    Draft,
    Filled,
    Lots,
    Read,
    Reply,
    Seen,
    Settled,
    Unknown,
)
from advisor.ask.emergency import certain_emergencies
from advisor.ask.next_question import askable, next_question
from advisor.case import Case, Lot
from advisor.case.model import Counts, Delivery
from advisor.rulebase.entries import Question


@dataclass(frozen=True)
class Standing:
    """Where a session is: the case so far, its lot, what was concluded."""

    case: Case
    lot: Lot
    reasoned: Reasoned
    plan: Plan


#: The next question, and whether the session by itself would have ended before it.
Order = Callable[[Standing], tuple[Question | None, bool]]


@dataclass(frozen=True)
class Step:
    """What stood after one question. ``emergencies`` are ids of emergency actions shown."""

    question: str
    known: bool
    first_cause: str
    first_action: str | None
    emergencies: frozenset[str]
    session_would_stop: bool = False


class Person:
    """Knows one lot of one case, and nothing else."""

    def __init__(self, case: Case, reasoner: Reasoner, lot: Lot | None = None) -> None:
        self.case = case
        self.reasoner = reasoner
        self.lot = lot or lots_of(case)[0]
        self.sheet = fact_sheet(case, self.lot, reasoner.base)

    def reply(self, question: Question) -> Reply:
        """What this person would answer; UNKNOWN when the case does not say."""
        if question.kind == "signs":
            return self._signs(question)
        if question.kind == "reading":
            return self._readings(question)
        if question.id == KITS:
            return self._kits(question)
        if single(question):
            return self._line(question)
        if several(question) or question.history is not None:
            return self._history(question)
        return self._field(question)

    def _signs(self, question: Question) -> Reply:
        told = {s: self.sheet.records.get(("sign", s)) for s in question.signs}
        seen = tuple(s for s, record in told.items() if record and record.value)
        not_seen = tuple(s for s, record in told.items() if record and not record.value)
        return Seen(seen, not_seen) if seen or not_seen else UNKNOWN

    def _readings(self, question: Question) -> Reply:
        found = {}
        for name in question.reading:
            quantity = self.reasoner.base.quantities[name]
            for look in self.case.observation:
                if look.lot in ("all", self.lot.id):
                    reading = getattr(getattr(look, quantity.water or "tank"), quantity.parameter)
                    if reading is not None:
                        found[name] = reading
        words = ("tested_fine_without_number", "called_cycled_without_number")
        said = {} if found else {w: True for w in words if self._told(w) == "yes"}
        return Read(found, said) if found or said else UNKNOWN

    def _kits(self, question: Question) -> Reply:
        """At hand is what some reading of the case was taken with, and nothing else."""
        base = self.reasoner.base
        had = {
            base.quantities[name].kit
            for kind, name in self.sheet.records
            if kind == "reading" and name in base.quantities
        }
        return Settled({kit: "yes" if kit in had else "no" for kit in question.choices})

    def _told(self, item: str) -> str | float | None:
        record = self.sheet.records.get(("history", item))
        return None if record is None else record.value

    def _line(self, question: Question) -> Reply:
        """The line that says most and contradicts nothing."""
        best: tuple[int, str] | None = None
        for key in question.choices:
            wanted = settings(key)
            released = wanted.pop("released", None) is not None
            if released != (self.lot.released_at_hours is not None):
                continue
            held = [self._told(item) == answer for item, answer in wanted.items()]
            if held and all(held) and (best is None or len(held) > best[0]):
                best = (len(held), key)
        if best is None:
            return UNKNOWN
        values = settings(best[1])
        released = values.pop("released", None) is not None
        return Settled(values, released)

    def _history(self, question: Question) -> Reply:
        names = [question.history] if question.history else list(question.choices)
        told = {name: self._told(name) for name in names}
        return (
            Settled({n: v for n, v in told.items() if v is not None})
            if any(v is not None for v in told.values())
            else UNKNOWN
        )

    def _field(self, question: Question) -> Reply:
        field = question.field or ""
        if field == "lots":
            lot = self.lot
            if not (lot.species or lot.group or lot.count):
                return UNKNOWN
            return Lots((Draft(lot.species, lot.count, lot.bags, lot.group),))
        if field == "look.counts":
            counts = [
                look.counts
                for look in self.case.observation
                if look.lot in ("all", self.lot.id) and look.counts != Counts()
            ]
            return Counted(counts[-1]) if counts else UNKNOWN
        if field == "look.at_hours":
            return Filled({field: self.sheet.at_hours}) if self.sheet.at_hours > 0 else UNKNOWN
        if field == "transit.air_c":
            transit = self.case.transit
            air = {f"transit.{n}": getattr(transit, n) for n in ("air_low_c", "air_high_c")}
            air = {name: value for name, value in air.items() if value is not None}
            return Filled(air) if air else UNKNOWN
        value = answer_in(self.case, self.lot, field)[1]
        return Filled({field: value}) if value is not None else UNKNOWN


def by_worth(person: Person) -> Order:
    """The session's own order; when it would stop, the rest in the order of the file."""
    reasoner = person.reasoner

    def order(at: Standing) -> tuple[Question | None, bool]:
        shown = [action.id for action in at.plan.actions]
        asking = next_question(at.case, at.lot, at.reasoned, reasoner, shown)
        if asking is not None:
            return asking.question, False
        return next(iter(askable(at.case, at.lot, at.reasoned, reasoner)), None), True

    return order


def fixed(person: Person) -> Order:
    """A questionnaire: the order of the file, the first questions included."""
    reasoner = person.reasoner

    def order(at: Standing) -> tuple[Question | None, bool]:
        return next(iter(askable(at.case, at.lot, at.reasoned, reasoner)), None), False

    return order


def shuffled(person: Person, seed: int) -> Order:
    """Any question that may be asked, drawn anew each time."""
    rng = random.Random(seed)

    def order(at: Standing) -> tuple[Question | None, bool]:
        left = askable(at.case, at.lot, at.reasoned, person.reasoner)
        return (rng.choice(left) if left else None), False

    return order


def play(person: Person, order: Order, most: int = 90) -> Iterator[Step]:
    """A session, step by step, until the person has nothing more to tell and it has ended."""
    reasoner, base = person.reasoner, person.reasoner.base
    at = _standing(Case(delivery=Delivery(law=person.case.delivery.law)), reasoner)
    at_hours, ended = 0.0, False
    for _ in range(most):
        question, over = order(at)
        ended = ended or over
        may = askable(at.case, at.lot, at.reasoned, reasoner)
        silent = all(isinstance(person.reply(each), Unknown) for each in may)
        if question is None or (silent and (ended or not order_ends(order))):
            return
        reply = person.reply(question)
        case = apply(at.case, question, reply, Place(at.lot.id, at_hours), base)
        if isinstance(reply, Filled) and "look.at_hours" in reply.values:
            at_hours = float(reply.values["look.at_hours"])
        at = _standing(case, reasoner)
        yield Step(
            question=question.id,
            known=not isinstance(reply, Unknown),
            first_cause=at.reasoned.ranking.causes[0].id,
            first_action=at.plan.actions[0].id if at.plan.actions else None,
            emergencies=frozenset(a.id for a in certain_emergencies(at.reasoned, at.plan)),
            session_would_stop=ended,
        )


def order_ends(order: Order) -> bool:
    """Whether the order has an end of its own before everything is asked."""
    return order.__qualname__.startswith("by_worth")


def _standing(case: Case, reasoner: Reasoner) -> Standing:
    lot = lots_of(case)[0]
    reasoned = reason(case, lot, reasoner)
    plan = plan_of(reasoned, reasoner)
    return Standing(case, lot, reasoned, plan)
