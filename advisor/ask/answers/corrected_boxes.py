"""What was written of the boxes, corrected later: kind, count, bags, tank, one forgotten."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeVar

from advisor.ask.answers.lots import lot_ids
from advisor.ask.answers.parts import changed
from advisor.ask.answers.replies import Draft
from advisor.ask.answers.tanks import tank_note, tank_of
from advisor.case import Case, Lot, Observation, Readings
from advisor.case.model import Part
from advisor.errors import AdvisorError
from advisor.wording.times import iso_moment

P = TypeVar("P", bound=Part)
_STAMPS = ("released_at_hours", "opened_at_hours")


@dataclass(frozen=True)
class Box:
    """A lot as it should stand; ``lot``: its id so far, empty for one that is new."""

    lot: str
    kind: str
    count: int | None
    bags: int | None
    tank: str


def with_boxes(case: Case, boxes: tuple[Box, ...]) -> Case:
    """The case with these boxes; what was told of a lot stays with it, also under a new name.

    Raises AdvisorError for a box that is taken out although something was told of its fish.
    """
    if not boxes:
        raise AdvisorError("A delivery has at least one box; put the whole away instead.")
    kept = {box.lot for box in boxes if box.lot}
    for lot in (each for each in case.lot if each.id not in kept):
        case = _without(case, lot)
    names = _names(case, boxes)
    for box in (box for box in boxes if box.lot):
        case = _renamed(case, box.lot, names[box])
    if any(not box.lot for box in boxes):
        case = _of_those_so_far(case)
    before = {lot.id: lot for lot in case.lot}
    lots = tuple(_as_written(before.get(names[box]), box, names[box]) for box in boxes)
    return changed(case, lot=lots)


def _as_written(lot: Lot | None, box: Box, name: str) -> Lot:
    kind: dict[str, Any] = {"species": box.kind or None}
    if lot is None:
        lot = Lot(id=name, sealed="yes")
    elif not box.kind or box.kind == (lot.species or lot.group):
        kind = {}
    elif lot.group is not None:
        kind["group"] = None
    notes = {"notes": tank_note(box.tank) if box.tank else None} if box.tank != tank_of(lot) else {}
    return changed(lot, count=box.count, bags=box.bags, **kind, **notes)


def _names(case: Case, boxes: tuple[Box, ...]) -> dict[Box, str]:
    """The id of each box: its own, while its kind stays; no two alike."""
    now = {lot.id: lot for lot in case.lot}
    found: dict[Box, str] = {}
    taken = {box.lot for box in boxes if box.lot and _same_kind(now[box.lot], box)}
    for box in boxes:
        if box.lot in taken:
            found[box] = box.lot
            continue
        (stem,) = lot_ids([Draft(box.kind)])
        name, again = stem, 2
        while name in taken or (name in now and name != box.lot):
            name, again = f"{stem}-{again}", again + 1
        found[box] = name
        taken.add(name)
    return found


def _same_kind(lot: Lot, box: Box) -> bool:
    return not box.kind or box.kind == (lot.species or lot.group)


def _without(case: Case, lot: Lot) -> Case:
    told = [look for look in case.observation if look.lot == lot.id]
    if told or lot.opened_at_hours is not None or lot.released_at_hours is not None:
        raise AdvisorError(
            f"{lot.species or lot.id}: something was told of these fish, so the box stays; correct "
            "its kind or count instead."
        )
    session = case.session
    answered, unknown = (
        tuple(key for key in keys if key.partition("/")[2] != lot.id)
        for keys in (session.answered, session.unknown)
    )
    return changed(
        case,
        lot=tuple(each for each in case.lot if each.id != lot.id),
        session=changed(session, answered=answered, unknown=unknown),
    )


def _renamed(case: Case, old: str, new: str) -> Case:
    """The case with a lot under another id wherever it is named."""
    if old == new:
        return case

    def key(text: str) -> str:
        question, slash, lot = text.partition("/")
        return f"{question}{slash}{new}" if lot == old else text

    def all_of(parts: tuple[P, ...]) -> tuple[P, ...]:
        return tuple(
            changed(each, lot=new) if getattr(each, "lot", None) == old else each for each in parts
        )

    session, outcome, expected = case.session, case.outcome, case.expected
    if expected is not None and expected.lot == old:
        expected = changed(expected, lot=new)
    return changed(
        case,
        lot=tuple(changed(lot, id=new) if lot.id == old else lot for lot in case.lot),
        observation=all_of(case.observation),
        step=all_of(case.step),
        sample=all_of(case.sample),
        assessment=all_of(case.assessment),
        outcome=changed(outcome, deaths=all_of(outcome.deaths)),
        expected=expected,
        session=changed(
            session,
            answered=tuple(map(key, session.answered)),
            unknown=tuple(map(key, session.unknown)),
        ),
    )


def _of_those_so_far(case: Case) -> Case:
    """Looks at all, before another lot comes to them: the fish that were seen are the old ones'."""
    looks: list[Observation] = []
    for look in case.observation:
        if look.lot != "all":
            looks.append(look)
            continue
        if look.tank.given() or look.tap.given():
            looks.append(Observation(at_hours=look.at_hours, tank=look.tank, tap=look.tap))
        bare = changed(look, tank=Readings(), tap=Readings())
        if bare != Observation(at_hours=look.at_hours):
            looks += [changed(bare, lot=lot.id) for lot in case.lot]
    return changed(case, observation=tuple(looks))


def came_at(case: Case, when: datetime) -> Case:
    """The case with another hour of receipt: what was seen and done keeps its time of day.

    Who was out of the bag at receipt itself stays so. Raises AdvisorError when something is older.
    """
    try:
        before = iso_moment(case.delivery.received or "")
    except ValueError:
        return changed(
            case, delivery=changed(case.delivery, received=when.isoformat(timespec="seconds"))
        )
    if before.tzinfo is not None:
        when = when.astimezone(before.tzinfo)
    later = (when - before).total_seconds() / 3600

    def moved(hours: float | None) -> float | None:
        if hours is None or (hours == 0.0 and later > 0):
            return hours
        if hours - later < -0.02:
            raise AdvisorError(
                "When they came: something on file is older than that; give an earlier time."
            )
        return max(0.0, round(hours - later, 4))

    return _with_hours(
        changed(case, delivery=changed(case.delivery, received=when.isoformat(timespec="seconds"))),
        moved,
    )


def _with_hours(case: Case, moved: Callable[[float | None], float | None]) -> Case:
    """Every hour after receipt that the case holds, moved."""

    def each_of(parts: tuple[P, ...], *names: str) -> tuple[P, ...]:
        return tuple(changed(part, **_moved_fields(part, names, moved)) for part in parts)

    return changed(
        case,
        lot=tuple(
            changed(lot, **_moved_fields(lot, _STAMPS[lot.released_at_hours == 0.0 :], moved))
            for lot in case.lot
        ),
        observation=each_of(case.observation, "at_hours"),
        step=each_of(case.step, "at_hours"),
        sample=each_of(case.sample, "at_hours"),
        outcome=changed(case.outcome, deaths=each_of(case.outcome.deaths, "at_hours")),
        receiving=changed(case.receiving, added=each_of(case.receiving.added, "at_hours")),
        claim=changed(case.claim, **_moved_fields(case.claim, ("reported_at_hours",), moved)),
    )


def _moved_fields(
    part: Part, names: tuple[str, ...], moved: Callable[[float | None], float | None]
) -> Mapping[str, float | None]:
    return {name: moved(getattr(part, name)) for name in names}
