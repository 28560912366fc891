"""One lot in two, where a part of it is somewhere else: a lot is in one place."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from advisor.ask.answers.parts import changed
from advisor.case import Case, Lot, Observation, Readings
from advisor.case.model import Counts

#: Of which part was what was told so far: those that stay, those that are a new lot, or both.
Whose = Literal["stay", "new", "both"]
#: An id may have so many letters; the number of a part stands behind it.
_STEM = 34
#: Questions whose answers are of one part alone.
_OWN_PART = ("counts", "where_are_they")


def part_id(case: Case, lot: str) -> str:
    """The id of the new lot: "neons-2"."""
    taken = {each.id for each in case.lot}
    number = 2
    while f"{lot[:_STEM]}-{number}" in taken:
        number += 1
    return f"{lot[:_STEM]}-{number}"


def split_lot(
    case: Case,
    lot: str,
    *,
    count: int | None,
    bags: int | None,
    whose: Whose = "both",
    heads: Mapping[str, int] | None = None,
) -> Case:
    """The case with ``count`` fish in ``bags`` bags of a lot as a new lot behind it.

    whose : what was told so far is of; heads: dead and down of it among those of the new lot
    Heads told of both together stand in the note of their look, so that none is lost or
    counted twice; the last ones are shared out where ``heads`` says how.
    """
    fresh = part_id(case, lot)
    lots: list[Lot] = []
    for each in case.lot:
        if each.id != lot:
            lots.append(each)
            continue
        left = _less(each.count, count), _less(each.bags, bags) or None
        lots.append(changed(each, count=left[0], bags=left[1]))
        lots.append(changed(each, id=fresh, count=count, bags=bags, dead_on_arrival=None))
    looks: list[Observation] = []
    alone = len(case.lot) == 1
    last = _last_count(case, lot, alone=alone)
    for at, look in enumerate(case.observation):
        if not (look.lot == lot or (alone and look.lot == "all")):
            looks.append(look)
            continue
        told = heads if at == last else None
        looks += _shared(look, lot, fresh, whose, told, alone=alone)
    session = changed(
        case.session,
        answered=_keys(case.session.answered, lot, fresh),
        unknown=_keys(case.session.unknown, lot, fresh),
    )
    return changed(case, lot=tuple(lots), observation=tuple(looks), session=session)


def _less(whole: int | None, part: int | None) -> int | None:
    return None if whole is None or part is None else max(0, whole - part)


def _last_count(case: Case, lot: str, *, alone: bool) -> int | None:
    """The place of the last look that counted heads of the lot."""
    mine = [
        (look.at_hours, at)
        for at, look in enumerate(case.observation)
        if (look.lot == lot or (alone and look.lot == "all")) and look.counts != Counts()
    ]
    return max(mine)[1] if mine else None


def _shared(
    look: Observation,
    lot: str,
    fresh: str,
    whose: Whose,
    heads: Mapping[str, int] | None,
    *,
    alone: bool,
) -> list[Observation]:
    """A look at the whole lot as looks at its parts; the tank's readings stay with all."""
    found = []
    if alone and (look.tank.given() or look.tap.given()):
        found.append(Observation(at_hours=look.at_hours, tank=look.tank, tap=look.tap))
        look = changed(look, tank=Readings(), tap=Readings())
    if whose != "both":
        return [*found, changed(look, lot=lot if whose == "stay" else fresh)]
    told = look.counts.model_dump(exclude_none=True)
    if not told:
        return [*found, changed(look, lot=lot), _seen_too(look, fresh, Counts())]
    words = ", ".join(f"{number} {state}" for state, number in told.items())
    note = f"of {lot} and {fresh} together: {words}"
    note = f"{look.note}; {note}" if look.note else note
    mine = {state: told[state] - number for state, number in (heads or {}).items()}
    return [
        *found,
        changed(look, lot=lot, counts=Counts(**mine), note=note),
        _seen_too(look, fresh, Counts(**(heads or {}))),
    ]


def _seen_too(look: Observation, fresh: str, counts: Counts) -> Observation:
    return Observation(
        at_hours=look.at_hours, lot=fresh, seen=look.seen, not_seen=look.not_seen, counts=counts
    )


def _keys(keys: tuple[str, ...], lot: str, fresh: str) -> tuple[str, ...]:
    """Questions asked of the whole are asked of both parts, but for what is of one alone."""
    more = [
        f"{question}/{fresh}"
        for question, _, of in (key.partition("/") for key in keys)
        if of == lot and question not in _OWN_PART
    ]
    return tuple(dict.fromkeys((*keys, *more)))
