"""Writing a reply into a case. Each step gives a new frozen case; nothing is guessed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from advisor.ask.answers import looks
from advisor.ask.answers.lots import lot_ids
from advisor.ask.answers.parts import Place, changed
from advisor.ask.answers.replies import (
    Counted,
    Draft,
    Filled,
    Lots,
    Read,
    Reply,
    Seen,
    Settled,
    Split,
    Unknown,
)
from advisor.ask.answers.split_lot import part_id, split_lot
from advisor.ask.answers.tanks import in_same_tank, reads_tank
from advisor.case import Case, Lot
from advisor.case.model import HistoryValue, Session
from advisor.rulebase import RuleBase
from advisor.rulebase.entries import Question

#: The lot a session speaks of before any kind was named; as in advisor.advice.facts.sheet.
FIRST_LOT = "fish"
#: The item of the question where the fish are that says whether the bag is shut.
SHUT = "bags_sealed"


def asked_key(question: Question, lot: str | None) -> str:
    """How the session remembers that a question was put: once, or once a lot."""
    return question.id if question.scope == "delivery" or lot is None else f"{question.id}/{lot}"


def key_at(case: Case, question: Question, lot: str | None, base: RuleBase) -> str:
    """The same in a case: of a tank, where the delivery goes to several, once a tank."""
    mates = in_same_tank(case, lot)
    if mates and question.scope == "delivery" and reads_tank(question, base):
        return f"{question.id}/{mates[0]}"
    return asked_key(question, lot)


def apply(case: Case, question: Question, reply: Reply, place: Place, base: RuleBase) -> Case:
    """``case`` with the reply to ``question`` in it, and the question marked as asked.

    Raises AdvisorError when a value cannot stand in a case.
    """
    known = not isinstance(reply, Unknown)
    if isinstance(reply, Seen):
        lot = None if question.scope == "delivery" else place.lot
        case = looks.with_signs(case, reply, Place(lot, place.at_hours))
    elif isinstance(reply, Settled):
        case = settle(case, reply, place, base)
        known = any(value != "unknown" for value in reply.values.values()) or reply.released
    elif isinstance(reply, Split):
        return _in_two(case, question, reply, place, base)
    elif isinstance(reply, Read):
        case = looks.with_readings(case, reply.readings, place, base)
        case = settle(case, Settled(reply.said), place, base)
        known = bool(reply.readings)
    elif isinstance(reply, Filled):
        for field, value in reply.values.items():
            case = with_field(case, field, value, place)
    elif isinstance(reply, Counted):
        case = looks.with_counts(case, reply, place)
    elif isinstance(reply, Lots):
        return mark(_with_lots(case, reply), asked_key(question, None), known=True)
    return mark(case, key_at(case, question, place.lot, base), known=known)


def _in_two(case: Case, question: Question, reply: Split, place: Place, base: RuleBase) -> Case:
    lot = place.lot or FIRST_LOT
    fresh = part_id(case, lot)
    case = split_lot(
        case, lot, count=reply.count, bags=reply.bags, whose=reply.whose, heads=reply.heads
    )
    case = settle(case, Settled({SHUT: "yes"}), place, base)
    case = settle(case, reply.out, Place(fresh, place.at_hours), base)
    for each in (lot, fresh):
        case = mark(case, asked_key(question, each), known=True)
    return case


def mark(case: Case, key: str, *, known: bool) -> Case:
    """Remember a question as asked, and whether it was left unknown."""
    session = case.session
    answered = tuple(dict.fromkeys((*session.answered, key)))
    unknown = tuple(k for k in session.unknown if k != key)
    if not known:
        unknown = (*unknown, key)
    return changed(case, session=Session(answered=answered, unknown=unknown))


def with_field(case: Case, field: str, value: Any, place: Place) -> Case:
    """Put one value at a dotted place of the case ("lot.mass_g", "history.hose_left_running")."""
    part, _, name = field.partition(".")
    if field == "look.at_hours":
        return looks.arrived_ago(case, float(value), place)
    if field == "lot.bag_open_hours":
        return _opened_ago(case, float(value), place)
    if part == "history":
        return changed(case, history={**case.history, name: value})
    if part == "lot":
        return _on_lot(case, place.lot, lambda lot: _lot_value(lot, name, value))
    return changed(case, **{part: changed(getattr(case, part), **{name: value})})


def _lot_value(lot: Lot, name: str, value: Any) -> Lot:
    if name.startswith("history."):
        return changed(lot, history={**lot.history, name.removeprefix("history."): value})
    return changed(lot, **{name: value})


def _on_lot(case: Case, lot_id: str | None, change: Callable[[Lot], Lot]) -> Case:
    """Change one lot, or every lot when none is meant; the first lot is made when missing."""
    lots = case.lot or (Lot(id=FIRST_LOT),)
    meant = {lot.id for lot in lots} if lot_id is None or not case.lot else {lot_id}
    return changed(case, lot=tuple(change(lot) if lot.id in meant else lot for lot in lots))


def _opened_ago(case: Case, hours: float, place: Place) -> Case:
    """The bag they are still in was opened so long before this look."""
    case = looks.with_time_before(case, max(0.0, hours - place.at_hours))
    opened = max(0.0, round(place.at_hours - hours, 4))
    return _on_lot(case, place.lot, lambda lot: changed(lot, opened_at_hours=opened))


def settle(case: Case, reply: Settled, place: Place, base: RuleBase) -> Case:
    for item, value in reply.values.items():
        entry = base.history[item]
        case = with_field(case, entry.field or f"history.{item}", _plain(value, entry.field), place)
    if reply.values.get("bags_sealed") == "yes":  # so it was told wrongly that they were opened
        for stamp in ("opened_at_hours", "released_at_hours", "release_method"):
            case = with_field(case, f"lot.{stamp}", None, place)
    if reply.released:
        case = with_field(case, "lot.released_at_hours", place.at_hours, place)
        case = _on_lot(case, place.lot, _out_of_the_tub)
    return case


def _out_of_the_tub(lot: Lot) -> Lot:
    """A tub told of before has no hour of its own: it is left where they are in the tank now."""
    if lot.history.get("fish_are_in") != "tub":
        return lot
    return changed(lot, history={**lot.history, "fish_are_in": "tank"})


def _plain(value: HistoryValue, field: str | None) -> HistoryValue:
    """Yes and no as the case keeps them: words in its own fields, true and false in history."""
    if field is not None and ".history." not in field:
        return value
    return {"yes": True, "no": False}.get(value, value) if isinstance(value, str) else value


def _with_lots(case: Case, reply: Lots) -> Case:
    """The lots by name. What the session said so far of "the fish" goes to each of them."""
    ids = lot_ids(reply.drafts)
    before = case.lot[0] if case.lot else Lot(id=FIRST_LOT)
    pairs = zip(ids, reply.drafts, strict=True)
    lots = tuple(_named(before, lot_id, draft) for lot_id, draft in pairs)
    looked_at = ids if reply.looked_at is None else tuple(ids[at] for at in reply.looked_at)
    observation = looks.shared_out(case, before.id, ids, looked_at)
    return changed(case, lot=lots, observation=observation, session=_keys_for(case, ids, looked_at))


def _named(before: Lot, lot_id: str, draft: Draft) -> Lot:
    given: Mapping[str, Any] = {
        name: value
        for name, value in (
            ("species", draft.species),
            ("count", draft.count),
            ("bags", draft.bags),
            ("group", draft.group),
        )
        if value is not None
    }  # fmt: skip
    return changed(before, id=lot_id, **given)


def _keys_for(case: Case, ids: tuple[str, ...], looked_at: tuple[str, ...]) -> Session:
    """Questions asked of the unnamed lot count for every lot the looks were at.

    What was left unknown of it is asked again where there are several lots, or one told to be
    partly shut.
    """
    partly = any(lot.sealed == "unknown" for lot in case.lot)
    again = case.session.unknown if len(ids) > 1 or partly else ()

    def renamed(keys: tuple[str, ...]) -> tuple[str, ...]:
        out: list[str] = []
        for key in keys:
            question, _, lot = key.partition("/")
            if not lot:
                out.append(key)
            if not lot or key in again:
                continue
            meant = looked_at if question == "breathing_and_posture" else ids
            out += [f"{question}/{each}" for each in meant]
        return tuple(dict.fromkeys(out))

    return Session(answered=renamed(case.session.answered), unknown=renamed(case.session.unknown))
