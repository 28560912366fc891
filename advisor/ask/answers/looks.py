"""Observations: one look at one time, at one lot or at all of them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, TypeVar

from advisor.ask.answers.parts import Place, changed
from advisor.ask.answers.replies import Counted, Seen
from advisor.ask.answers.tanks import in_same_tank
from advisor.case import Case, Observation, Reading, Readings
from advisor.case.model import Added, Counts, Death, Lot, Sample, Step
from advisor.rulebase import RuleBase
from advisor.wording.times import iso_moment, moment_after

#: Parts of a case that say when they were.
T = TypeVar("T", Added, Death, Step, Sample)
#: Two answers this close belong to one look [h].
SAME_LOOK_H = 0.001


def with_signs(case: Case, reply: Seen, place: Place) -> Case:
    """Signs seen and not seen at this look; a later word on a sign replaces an earlier one."""

    def change(look: Observation) -> Observation:
        fresh = {*reply.seen, *reply.not_seen}
        return changed(
            look,
            seen=(*(s for s in look.seen if s not in fresh), *reply.seen),
            not_seen=(*(s for s in look.not_seen if s not in fresh), *reply.not_seen),
            words=tuple(dict.fromkeys((*look.words, *reply.words))),
        )

    return _at(case, place.lot, place.at_hours, change)


def with_counts(case: Case, reply: Counted, place: Place) -> Case:
    """Heads told at this look: a state that is not told stays, well ones only with the rest."""
    told = reply.counts.model_dump(exclude_none=True)

    def change(look: Observation) -> Observation:
        kept = look.counts.model_dump(exclude_none=True) | {"normal": None} | told
        return changed(look, counts=Counts(**kept))

    return _at(case, place.lot, place.at_hours, change)


def with_done(case: Case, action: str, lots: Iterable[str], at_hours: float) -> Case:
    """An action done at this hour for the lots it was advised for, kept by its id with each.

    It comes after what was seen: a look of the same hour is not changed.
    """
    named = {lot.id for lot in case.lot}
    if any(
        abs(look.at_hours - at_hours) < SAME_LOOK_H and (look.seen or look.not_seen)
        for look in case.observation
    ):
        at_hours = round(at_hours + 2 * SAME_LOOK_H, 4)
    for lot in (lot for lot in lots if len(named) < 2 or lot in named):
        case = _at(
            case,
            lot,
            at_hours,
            lambda look: changed(look, done=tuple(dict.fromkeys((*look.done, action)))),
        )
    return case


def without_done(case: Case, action: str, lots: Iterable[str], at_hours: float) -> Case:
    """The case without that step in the looks of that hour at these lots; other things stay."""
    named = {lot.id for lot in case.lot}
    theirs = {lot if lot in named and len(named) > 1 else "all" for lot in lots}
    kept = []
    for look in case.observation:
        near = abs(look.at_hours - at_hours) < SAME_LOOK_H
        if look.lot in theirs and near and action in look.done:
            look = changed(look, done=tuple(each for each in look.done if each != action))
            if look == Observation(at_hours=look.at_hours, lot=look.lot):
                continue
        kept.append(look)
    return changed(case, observation=tuple(kept))


def with_readings(
    case: Case, readings: Mapping[str, Reading], place: Place, base: RuleBase
) -> Case:
    """Readings by quantity id; the bag's belong to the lot, the tap's to the delivery.

    The tank's belong to the delivery, or where it goes to several to the lots of that tank.
    """
    for name, reading in readings.items():
        quantity = base.quantities[name]
        water, parameter = quantity.water or "tank", quantity.parameter or name
        shared = in_same_tank(case, place.lot) if water == "tank" else ()
        lots = (place.lot,) if water == "bag" else shared or (None,)
        minutes = _minutes_open(case, place) if water == "bag" else None

        def change(
            look: Observation,
            water: str = water,
            parameter: str = parameter,
            reading: Reading = reading,
            minutes: float | None = minutes,
        ) -> Observation:
            held: Readings = getattr(look, water)
            given: dict[str, Any] = {water: changed(held, **{parameter: reading})}
            if minutes is not None and look.minutes_after_opening is None:
                given["minutes_after_opening"] = minutes
            return changed(look, **given)

        for lot in lots:
            case = _at(case, lot, place.at_hours, change)
    return case


def _minutes_open(case: Case, place: Place) -> float | None:
    opened = [lot.opened_at_hours for lot in case.lot if place.lot in (None, lot.id)]
    if len(opened) != 1 or opened[0] is None:
        return None
    return round(max(0.0, (place.at_hours - opened[0]) * 60), 1)


def _at(case: Case, lot: str | None, at_hours: float, change: Any) -> Case:
    """Change the look at this hour at this lot; made when there is none."""
    name = lot if lot is not None and len(case.lot) > 1 else "all"
    looks = list(case.observation)
    for at, look in enumerate(looks):
        if look.lot == name and abs(look.at_hours - at_hours) < SAME_LOOK_H:
            looks[at] = change(look)
            break
    else:
        looks.append(change(Observation(at_hours=at_hours, lot=name)))
    return changed(case, observation=tuple(looks))


def with_time_before(case: Case, hours: float) -> Case:
    """Receipt lies so much further back than was known: every time told since moves with it."""
    if not hours:
        return case

    def later(at: float | None) -> float | None:
        return None if at is None else max(0.0, round(at + hours, 4))

    looks = tuple(changed(look, at_hours=later(look.at_hours)) for look in case.observation)
    lots = tuple(
        changed(
            lot,
            opened_at_hours=later(lot.opened_at_hours),
            released_at_hours=later(lot.released_at_hours),
        )
        for lot in case.lot
    )
    receiving = changed(case.receiving, added=_timed(case.receiving.added, later))
    outcome = changed(case.outcome, deaths=_timed(case.outcome.deaths, later))
    told = later(case.claim.reported_at_hours)
    saved = tuple(changed(each, until_hours=later(each.until_hours)) for each in case.assessment)
    return changed(
        case,
        observation=looks,
        lot=lots,
        step=_timed(case.step, later),
        sample=_timed(case.sample, later),
        receiving=receiving,
        outcome=outcome,
        claim=changed(case.claim, reported_at_hours=told),
        assessment=saved,
        delivery=changed(case.delivery, received=_moved(case.delivery.received, -hours)),
    )


def _timed(parts: Iterable[T], later: Callable[[float | None], float | None]) -> tuple[T, ...]:
    return tuple(changed(each, at_hours=later(each.at_hours)) for each in parts)


def _moved(received: str | None, hours: float) -> str | None:
    try:
        at = moment_after(iso_moment(received or ""), hours)
    except (ValueError, OverflowError):
        return received
    return at.isoformat(timespec="seconds")


def _receipt_stands(case: Case, hours: float, place: Place) -> bool:
    """Whether the fish are known to have been here before they came out of the bag.

    A bag is stamped as opened, or a look was taken earlier than they came out: then receipt is
    no guess, and what is told is the hour of their release.
    """
    if any(lot.opened_at_hours is not None for lot in case.lot):
        return True
    out = place.at_hours - hours
    return any(look.tells and look.at_hours < out - SAME_LOOK_H for look in case.observation)


def hour_told(case: Case, hours: float, place: Place) -> float:
    """The hour that a look has once it was told that the fish came out ``hours`` before it.

    case : as it was before that was written into it
    """
    return max(place.at_hours, hours) if _receipt_stands(case, hours, place) else hours


def arrived_ago(case: Case, hours: float, place: Place) -> Case:
    """The fish came out ``hours`` ago: this look moves there, and receipt with it.

    Where they were seen before they came out, receipt moves only as far back as it must.
    """
    if _receipt_stands(case, hours, place):
        case = with_time_before(case, max(0.0, hours - place.at_hours))
        out = max(0.0, round(place.at_hours - hours, 4))
        lots = tuple(
            lot if lot.released_at_hours is None else changed(lot, released_at_hours=out)
            for lot in case.lot
        )
        return changed(case, lot=lots)
    case = with_time_before(case, hours - place.at_hours)
    looks = case.observation
    if not any(abs(look.at_hours - hours) < SAME_LOOK_H for look in looks):
        looks = (*looks, Observation(at_hours=hours))
    lots = tuple(
        lot if lot.released_at_hours is None else changed(lot, released_at_hours=0.0)
        for lot in case.lot
    )
    return changed(case, observation=looks, lot=lots)


def shared_out(
    case: Case, before: str, ids: Iterable[str], looked_at: tuple[str, ...]
) -> tuple[Observation, ...]:
    """Looks made before the lots were named, given to the lots they were at.

    What was seen of the fish goes to each of those lots; tank and tap readings,
    and signs of the water, stay with all.
    """
    ids = tuple(ids)
    out: list[Observation] = []
    for look in case.observation:
        if len(ids) == 1 or set(looked_at) == set(ids):
            out.append(changed(look, lot="all") if look.lot in (before, "all") else look)
            continue
        if look.tank.given() or look.tap.given():
            out.append(Observation(at_hours=look.at_hours, tank=look.tank, tap=look.tap))
        for lot in looked_at:
            out.append(changed(look, lot=lot, tank=Readings(), tap=Readings()))
    return tuple(out)


def copied_from(
    case: Case,
    source: Lot,
    target: Lot,
    at_hours: float,
    base: RuleBase,
    *,
    packed: bool = False,
    looks: bool = True,
) -> Case:
    """ "Same as the last lot": looks of this hour and the lot's own answers, not its numbers.

    packed : water and gas of a bag too; looks: what was seen
    """
    signs = [
        look
        for look in case.observation
        if looks and look.lot == source.id and abs(look.at_hours - at_hours) < SAME_LOOK_H
    ]
    copies = [
        Observation(at_hours=look.at_hours, lot=target.id, seen=look.seen, not_seen=look.not_seen)
        for look in signs
    ]
    kept = {
        name: getattr(source, name)
        for name in ("sealed", "release_method", "released_at_hours", "opened_at_hours", "gas",
                     "sedative", "hours_sealed", "fasted_hours",
                     *(("bag_water_l", "bag_gas_l") if packed else ()))
        if getattr(target, name) is None
    }  # fmt: skip
    history = {**source.history, **target.history}
    lots = tuple(
        changed(lot, history=history, **kept) if lot.id == target.id else lot for lot in case.lot
    )
    asked, unknown = (
        _copied_keys(keys, source.id, target.id, base)
        for keys in (case.session.answered, case.session.unknown)
    )
    session = changed(case.session, answered=asked, unknown=unknown)
    return changed(case, lot=lots, observation=(*case.observation, *copies), session=session)


def _copied_keys(
    keys: tuple[str, ...], source: str, target: str, base: RuleBase
) -> tuple[str, ...]:
    """Questions asked of one lot, asked of the other too; those for numbers stay open."""
    fresh = [
        f"{name}/{target}"
        for name, _, lot in (key.partition("/") for key in keys)
        if lot == source and name in base.questions and base.questions[name].field is None
    ]
    return tuple(dict.fromkeys((*keys, *fresh)))
