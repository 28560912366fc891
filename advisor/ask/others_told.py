"""A line at one lot's question that names other lots: what goes to them, and what stays here."""

from __future__ import annotations

import re
from typing import Any

from advisor.ask.boxes_named import Shared, group_of_lot, shared_out
from advisor.ask.heads_told import NO_FACTS, asked_back, heard_of, of_lot
from advisor.ask.hear.line import plain
from advisor.ask.hear.listen import listen
from advisor.ask.hear.whereabouts import where
from advisor.ask.hours import about
from advisor.ask.inquiry import FIRST_LOOK, Inquiry
from advisor.case import Case

#: Of which lot a line told, beside what it told.
LOT = "of_lot"
#: What is taken of a lot that was not asked about.
TAKEN = ("signs_seen", "signs_not_seen", "counts", "dead_said", "place", "bag_open_hours")
#: Told of a lot at its own question "where are they" and not known there.
NOT_KNOWN = (None, "unknown")


def shared_by_lot(at: Inquiry, asked: str, line: str) -> Shared | None:
    """What a line says of each lot; None where it names no other than the one asked about."""
    lots, base = at.case.lot, at.reasoner.base
    if len(lots) < 2 or not any(letter.isalpha() for letter in line):
        return None
    shared = shared_out(line, lots, asked, base)
    own = shared.said.get(asked, [])
    group = group_of_lot(at.lot(asked), base)
    for lot in lots:
        if lot.id != asked and group is not None and group_of_lot(lot, base) == group:
            # "corys" asked of one lot of corys is no word of the other
            left = [part for part in shared.said.pop(lot.id, []) if part not in own]
            shared.said |= {lot.id: left} if left else {}
    return shared if shared.said.keys() - {asked} else None


def own_part(
    at: Inquiry, asked: str, line: str, *, question: str = FIRST_LOOK, of_all: bool = False
) -> str:
    """The line without what it says of other lots, which is noted for them; "" if that is all.

    question : that is asked
    of_all   : the question is put of the whole delivery, so what is no fact of a lot may answer it
    """
    shared = shared_by_lot(at, asked, line)
    if shared is None:
        return line
    own = list(shared.said.pop(asked, ()))
    told = {lot: _facts(at, lot, ", ".join(parts), question) for lot, parts in shared.said.items()}
    if of_all and not any(told.values()):
        return line
    for part in shared.nobody:
        at.complain(f'"{part}" is told of no one lot here; nothing of it was taken.')
    for lot, parts in shared.said.items():
        _note(at, lot, ", ".join(parts), told[lot])
    if not own:
        at.complain(f"That is told of another lot. And {about(at.lot(asked))}?")
    return ", ".join(own)


def refused_for_others(at: Inquiry, asked: str, line: str) -> bool:
    """Whether a line names other lots where an answer is for one alone; that is said."""
    shared = shared_by_lot(at, asked, line)
    if shared is None:
        return False
    names = ", ".join(about(at.lot(lot)) for lot in shared.said if lot != asked)
    at.complain(f"That names {names}; nothing was taken. This is asked of {about(at.lot(asked))}.")
    return True


def told_with_kinds(at: Inquiry, case: Case, line: str) -> list[dict[str, Any]]:
    """What a line that named the lots said of each: "12 neons shut, 6 corys open n gasping".

    case : with the lots that were named
    """
    base, found = at.reasoner.base, []
    if len(case.lot) < 2:
        return []
    for part in re.split(r"[,;.\n]", re.sub(r"\d+", " ", line)):
        said = shared_out(part, case.lot, "", base).said
        for lot in case.lot:
            text = ", ".join(said.get(lot.id, ()))
            if not text:
                continue
            heard = listen(FIRST_LOOK, text, of_lot(case, lot.id), base, at.clock(), at.at_hours)
            facts: dict[str, Any] = {k: heard[k] for k in ("signs_seen",) if heard.get(k)}
            place = where(plain(text)).place
            if place and lot.sealed in NOT_KNOWN:
                facts["place"] = place
            elif place:
                at.say(f'"{text}": where {about(lot)} are stays as told before.', level=1)
            if facts:
                found.append({**facts, LOT: lot.id})
        if "" in said and where(plain(part)).place:
            at.complain(f'"{part.strip()}" is told of no one lot here; it was not taken.')
    return found


def without_heads_and_signs(facts: dict[str, Any]) -> dict[str, Any]:
    """What a line told besides, without what is of some lot and not known of which."""
    return {key: value for key, value in facts.items() if key not in TAKEN}


def _facts(at: Inquiry, lot: str, text: str, question: str) -> dict[str, Any]:
    """What is heard of a lot that was not asked about, with all else that the words say."""
    heard = heard_of(at, at.case, lot, text)
    case = of_lot(at.case, lot)
    here = listen(question, text, case, at.reasoner.base, at.clock(), at.at_hours)
    if "place" in here:  # asked where they are, "open" is the bag
        heard["place"] = here["place"]
    return heard if heard.keys() & set(TAKEN) else {}


def _note(at: Inquiry, lot: str, text: str, heard: dict[str, Any]) -> None:
    """Keep what was said of another lot for the case, and say what of it was not taken."""
    facts: dict[str, Any] = {key: heard[key] for key in TAKEN if key in heard}
    if "place" in facts and at.lot(lot).sealed not in NOT_KNOWN:
        del facts["place"]
        facts.pop("bag_open_hours", None)
        at.say(f"Where {about(at.lot(lot))} are stays as told before.", level=1)
    for sentence in asked_back(heard) if facts else ():
        at.complain(sentence)
    rest = heard.keys() - {*TAKEN, *NO_FACTS} or any(letter.isdigit() for letter in text)
    if not facts:
        at.complain(f'"{text}": nothing of it was taken for {about(at.lot(lot))}.')
        return
    if rest and not facts.keys() & {"counts", "dead_said", "bag_open_hours"}:
        at.say(f'"{text}": its times and figures were not taken.', level=1)
    at.told.append({**facts, LOT: lot})
