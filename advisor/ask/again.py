"""One answer taken back and its question put again, in a session begun anew or by another hand."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from advisor.advice.reasoner import Reasoner
from advisor.advice.settled_by import items_of
from advisor.ask.answers.apply import FIRST_LOT, with_field
from advisor.ask.answers.looks import SAME_LOOK_H
from advisor.ask.answers.parts import Place, changed
from advisor.ask.inquiry import Inquiry
from advisor.ask.keys import Back, Enough, Leave
from advisor.ask.records import Sitting, Talking
from advisor.ask.rounds import ask_one
from advisor.ask.ticks import tick
from advisor.case import Case, Observation
from advisor.case.model import Counts
from advisor.rulebase import RuleBase
from advisor.rulebase.entries import Question

#: Answers that shape the delivery itself; they are corrected in the file.
LASTING = frozenset(("lots", "look.at_hours"))


def may_change(key: str, base: RuleBase) -> bool:
    """Whether the question of this key can be put again by itself."""
    question = base.questions.get(key.partition("/")[0])
    return question is not None and question.field not in LASTING


def again(
    case: Case, reasoner: Reasoner, now: Callable[[], datetime], key: str
) -> Talking[Sitting]:
    """Put the question of ``key`` again. The case keeps the old answer until there is a new one.

    What belongs to a look is changed at the last look.
    """
    name, _, lot = key.partition("/")
    base = reasoner.base
    question = base.questions[name]
    hour = case.last_hour
    bare = forgotten(case, question, lot or None, hour, base)
    at = Inquiry(bare, reasoner, now)
    at.at_hours = hour
    at.tick = lambda line: tick(at, line)
    at.given.on_file(key, case, base)
    try:
        yield from ask_one(at, question, lot or at.first_lot)
        yield from at.out()
    except (Back, Enough, Leave):
        return Sitting(case, "left", at.misread)
    return Sitting(at.case, "done", at.misread)


def forgotten(case: Case, question: Question, lot: str | None, hour: float, base: RuleBase) -> Case:
    """``case`` without what the answer to a question put into it, at one look."""
    items = items_of(question, base)
    signs = {name for kind, name in items if kind == "sign"}
    readings = [base.quantities[name] for kind, name in items if kind == "reading"]

    def without(look: Observation) -> Observation:
        if abs(look.at_hours - hour) >= SAME_LOOK_H or look.lot not in ("all", lot or look.lot):
            return look
        kept = {
            "seen": tuple(sign for sign in look.seen if sign not in signs),
            "not_seen": tuple(sign for sign in look.not_seen if sign not in signs),
        }
        given = {
            water: changed(
                getattr(look, water),
                **{q.parameter or q.id: None for q in readings if (q.water or "tank") == water},
            )
            for water in {q.water or "tank" for q in readings}
        }
        heads = {"counts": Counts()} if question.field == "look.counts" else {}
        return changed(look, **kept, **given, **heads)

    case = changed(case, observation=tuple(without(look) for look in case.observation))
    place = Place(lot, hour)
    for kind, name in items:
        entry = base.history[name].field or f"history.{name}" if kind == "history" else name
        if kind == "history" and entry == f"history.{name}":
            history = {item: value for item, value in case.history.items() if item != name}
            case = changed(case, history=history)
        elif kind in ("history", "field") and not entry.startswith(("look.", "lots")):
            case = _without_field(case, entry, place)
    return case


def _without_field(case: Case, field: str, place: Place) -> Case:
    part, _, name = field.partition(".")
    if part == "lot" and name.startswith("history."):
        item = name.removeprefix("history.")
        lots = tuple(
            changed(lot, history={k: v for k, v in lot.history.items() if k != item})
            if place.lot in (None, lot.id, FIRST_LOT)
            else lot
            for lot in case.lot
        )
        return changed(case, lot=lots)
    return with_field(case, field, None, place) if case.lot or part != "lot" else case
