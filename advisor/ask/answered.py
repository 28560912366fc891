"""The answers a case holds, to be looked at and changed - in this sitting or a later one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from advisor.advice.facts.told import answer_in, answer_of
from advisor.advice.settled_by import choices_of, single
from advisor.ask.answers.field_numbers import parameter_of
from advisor.ask.answers.parts import changed
from advisor.ask.answers.replies import Settled
from advisor.case import Case, Lot, Observation
from advisor.case.model import Counts
from advisor.rulebase import RuleBase
from advisor.rulebase.entries import Question
from advisor.units import format_value
from advisor.wording.numbers import exact
from advisor.wording.times import span

#: Of a question that was put and not answered.
NOT_KNOWN = "not known"


@dataclass(frozen=True)
class Answered:
    """A question that was put, of which lot (None: of the delivery), and what is kept of it."""

    question: Question
    lot: str | None
    kept: str

    @property
    def key(self) -> str:
        """As the case remembers that it was put."""
        return f"{self.question.id}/{self.lot}" if self.lot else self.question.id


def answers(case: Case, base: RuleBase) -> list[Answered]:
    """In the order they were given."""
    found = []
    for key in case.session.answered:
        name, _, lot = key.partition("/")
        question = base.questions.get(name)
        if question is not None:
            kept = "; ".join(_kept(case, question, lot or None, base))
            found.append(Answered(question, lot or None, kept or NOT_KNOWN))
    return found


def _kept(case: Case, question: Question, lot: str | None, base: RuleBase) -> Iterator[str]:
    looks = [look for look in case.observation if lot is None or look.concerns(lot)]
    looks.sort(key=lambda look: look.at_hours)
    seen = {sign for look in looks for sign in look.seen}
    absent = {sign for look in looks for sign in look.not_seen}
    if question.signs:
        names = [base.signs[sign].name for sign in question.signs if sign in seen]
        if names or any(sign in absent for sign in question.signs):
            yield ", ".join(names) or "none of them seen"
    for name in question.reading:
        quantity = base.quantities[name]
        water, parameter = quantity.water or "tank", quantity.parameter or name
        taken = [getattr(getattr(look, water), parameter) for look in looks]
        for reading in [each for each in taken if each is not None][-1:]:
            yield f"{quantity.name} {format_value(reading.value, parameter)}"
    mine = next((each for each in case.lot if each.id == lot), None) or next(
        iter(case.lot), Lot(id="fish")
    )
    if question.field is not None:
        yield from (
            _heads(looks) if question.field == "look.counts" else _field(case, mine, question.field)
        )
    elif question.kind == "choice":
        yield from _history(case, mine, question, base)


def _heads(looks: Sequence[Observation]) -> Iterator[str]:
    """The heads told last of the lot that these looks were at."""
    told = [each for look in looks if (each := look.counts.model_dump(exclude_none=True))]
    for heads in told[-1:]:
        yield ", ".join(f"{number} {state}" for state, number in heads.items())


def _field(case: Case, lot: Lot, field: str) -> Iterator[str]:
    if field == "lots":
        yield ", ".join(
            f"{each.count or ''} {each.species or each.group or each.id}".strip()
            for each in case.lot
        )
    elif field == "look.at_hours":
        yield span(case.last_hour)
    elif field == "transit.air_c":
        ends = (case.transit.air_low_c, case.transit.air_high_c)
        yield " to ".join(exact(end) for end in ends if end is not None)
    else:
        part, _, name = field.partition(".")
        value = getattr(lot if part == "lot" else getattr(case, part), name, None)
        parameter = parameter_of(field)
        if not isinstance(value, float):
            yield from () if value is None else (str(value),)
        elif parameter is not None and parameter.key == "hours":
            yield span(value)
        else:
            yield exact(value) + ("" if parameter is None else f" {parameter.unit}")


def _history(case: Case, lot: Lot, question: Question, base: RuleBase) -> Iterator[str]:
    """What stands in the case of every item that the lines settle."""
    lines = choices_of(question, base)
    if single(question):
        yield from _line_kept(case, lot, question, base)
        return
    items = {question.history} if question.history else {
        part.partition("=")[0] for key in lines for part in key.split()
    }  # fmt: skip
    for item in sorted(items & set(base.history)):
        entry = base.history[item]
        value = answer_in(case, lot, entry.field or f"history.{item}")[1]
        if value is None or (value in (False, "no") and len(lines) > 2):
            continue
        word = {True: "yes", False: "no"}.get(value, value) if isinstance(value, bool) else value
        yield f"{entry.name}: {str(word).replace('_', ' ')}"


def _line_kept(case: Case, lot: Lot, question: Question, base: RuleBase) -> Iterator[str]:
    """The line of a question of one line that says most of what the case holds."""
    found: tuple[int, str] = (0, "")
    for key, label in choices_of(question, base).items():
        line = Settled.of_line(key)
        words = {item: answer_of(case, lot, base.history[item])[1] for item in line.values}
        if words == line.values and line.released == (lot.released_at_hours is not None):
            found = max(found, (len(words), label))
    if found[1]:
        yield found[1]


def without_answer(case: Case, question: Question, lot: str | None) -> Case:
    """The case before these signs or heads were spoken of: a new answer stands alone."""
    if question.field == "look.counts":
        return _without_heads(case, lot)
    gone = set(question.signs)
    if not gone:
        return case
    looks = tuple(
        look
        if lot is not None and not look.concerns(lot)
        else changed(
            look,
            seen=tuple(sign for sign in look.seen if sign not in gone),
            not_seen=tuple(sign for sign in look.not_seen if sign not in gone),
        )
        for look in case.observation
    )
    return changed(case, observation=looks)


def _without_heads(case: Case, lot: str | None) -> Case:
    """Without the heads of the last look that counted any."""
    mine = [look for look in case.observation if look.lot in ("all", lot) or lot is None]
    hours = [look.at_hours for look in mine if look.counts != Counts()]
    looks = tuple(
        changed(look, counts=Counts())
        if look in mine and hours and look.at_hours == max(hours)
        else look
        for look in case.observation
    )
    return changed(case, observation=looks)
