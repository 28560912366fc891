"""Numbers that are counted or written down rather than measured in water."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from advisor.advice.facts.record import Record
from advisor.advice.facts.told import answer_in
from advisor.case import Case, Lot
from advisor.case.model import Counts
from advisor.rulebase import RuleBase
from advisor.rulebase.species import Kind
from advisor.wording.numbers import exact, short

#: Looks no further apart were taken as one [h].
_SAME_LOOK_H = 0.02
#: Shipping mass from a table is a guess of size: the true fish may be half or double.
_GUESS = 2.0


def shape_records(
    case: Case, lot: Lot, base: RuleBase, kind: Kind | None, now: float, until: float
) -> Iterator[Record]:
    """Times, counts, loads and volumes of the lot, for the names the rule base lists."""
    for record in (*_times(case, lot, now), *_counts(case, lot, until), *_loads(case, lot, kind)):
        if record.name in base.quantities:
            yield record


def _told(name: str, value: float, unit: str, *where: str) -> Record:
    return Record("computed", name, value, "answered", value, value, unit, where)


def _times(case: Case, lot: Lot, now: float) -> Iterator[Record]:
    where, sealed = answer_in(case, lot, "lot.hours_sealed")
    if sealed is not None:
        yield _told("hours_sealed", sealed, "h", where)
    where, fasted = answer_in(case, lot, "lot.fasted_hours")
    if fasted is not None:
        yield _told("fasted_hours", fasted, "h", where)
    if case.observation:
        yield _told("hours_since_received", now, "h", "observation, at_hours")
    if lot.released_at_hours is not None and lot.released_at_hours <= now:
        since = now - lot.released_at_hours
        yield _told("hours_since_release", since, "h", f'lot "{lot.id}", released_at_hours')
    if case.receiving.age_days is not None:
        yield _told("tank_age_days", case.receiving.age_days, "d", "receiving.age_days")


def _counts(case: Case, lot: Lot, until: float) -> Iterator[Record]:
    if lot.count:
        yield _told("fish_count", lot.count, "fish", f'lot "{lot.id}", count')
        if lot.dead_on_arrival is not None:
            share = lot.dead_on_arrival / lot.count
            where = (f'lot "{lot.id}", dead_on_arrival', f'lot "{lot.id}", count')
            yield _told("dead_on_arrival_fraction", share, "of 1", *where)
    yield from _heads(case, lot, until)
    yield from _newly_dead(case, lot, until)


@dataclass(frozen=True)
class _Told:
    """Heads of one state as last told: at which look, and whether of this lot alone."""

    look: int
    at_hours: float
    heads: int
    own: bool


def _heads(case: Case, lot: Lot, until: float) -> Iterator[Record]:
    """Shares of dead, down and lost. What a look leaves out stands as the look before told it."""
    told = _latest(case, lot, until)
    dead, down = told.get("dead"), told.get("down")
    counts = _together(told, lot)
    risen = _risen(case, lot, down, dead)
    for name, heads, parts in (
        ("dead_fraction", counts.dead, (dead,)),
        ("down_fraction", counts.down, (down,)),
        ("lost_fraction", _lost(lot, counts), (dead, down)),
    ):
        if heads is None:
            continue
        own = all(part.own for part in parts if part is not None)

        def share(number: int, own: bool = own) -> dict[str, Any] | None:
            if own:
                return _share(number, lot, counts)
            return _share_of_all(number, case, lot, counts)

        band = share(heads)
        if band is None:
            continue
        if risen and down is not None and down in parts:
            least = share(heads - min(risen, down.heads)) or band
            note = "counted at an earlier look; some of these may be the dead since"
            band |= {"low": min(band["low"], least["low"]), "note": note}
        if dead in parts and dead is not None and lot.count and dead.heads > lot.count:
            note = "more dead were told than came: one of the two is wrong, and some may live"
            band |= {"low": min(band["low"], 1.0 - 1.0 / lot.count), "note": note}
        looked = [f"observation {part.look}, counts" for part in parts if part is not None]
        came_dead = name == "lost_fraction" and lot.dead_on_arrival is not None
        own_fields = [
            *(["dead_on_arrival"] if came_dead else []),
            *(["count"] if lot.count else []),
        ]
        where = (*dict.fromkeys(looked), *(f'lot "{lot.id}", {field}' for field in own_fields))
        yield _told(name, 0.0, "of 1", *where)._replace(**band)


def _newly_dead(case: Case, lot: Lot, until: float) -> Iterator[Record]:
    """Heads told dead at the newest look of the fish beyond those of the count before."""
    looks = [(at, look) for at, look in case.looks_at(lot.id, until) if look.of_the_fish]
    if not looks:
        return
    last = looks[-1][1].at_hours
    told = [(at, look) for at, look in looks if look.counts.dead is not None]
    before = [look.counts.dead or 0 for _, look in told if look.at_hours < last - _SAME_LOOK_H]
    lately = [(at, look) for at, look in told if look.at_hours >= last - _SAME_LOOK_H]
    if before:
        at, now = (lately[-1][0], lately[-1][1].counts.dead or 0) if lately else (None, before[-1])
        where = f"observation {looks[-1][0] if at is None else at}, counts"
        yield _told("newly_dead", float(max(0, now - before[-1])), "fish", where)


def _lost(lot: Lot, counts: Counts) -> int | None:
    """Heads down or dead, those that came dead among them; None when none of it was said."""
    told = (counts.down, counts.dead, lot.dead_on_arrival)
    if all(each is None for each in told):
        return None
    return (counts.down or 0) + max(counts.dead or 0, lot.dead_on_arrival or 0)


def _latest(case: Case, lot: Lot, until: float) -> dict[str, _Told]:
    """Of each state the heads that were told last."""
    latest: dict[str, _Told] = {}
    for at, look in case.looks_at(lot.id, until):
        own = look.lot == lot.id or len(case.lot) <= 1
        for state, heads in look.counts.model_dump(exclude_none=True).items():
            latest[state] = _Told(at, look.at_hours, heads, own)
    return latest


def _together(told: dict[str, _Told], lot: Lot) -> Counts:
    """The heads last told; well ones only where nothing was counted after them.

    Fish counted alive after the dead were told leave fewer dead than were told.
    """
    heads = {state: each.heads for state, each in told.items()}
    normal, dead = told.get("normal"), told.get("dead")
    if dead is not None and dead.own and lot.count:
        since = [each for state, each in told.items() if state != "dead" and each.own]
        alive = sum(each.heads for each in since if each.at_hours > dead.at_hours)
        heads["dead"] = min(dead.heads, max(0, lot.count - alive))
    if normal is not None and any(each.at_hours > normal.at_hours for each in told.values()):
        del heads["normal"]
    return Counts(**heads)


def _risen(case: Case, lot: Lot, down: _Told | None, dead: _Told | None) -> int:
    """Dead since the look that counted those down."""
    if down is None or dead is None or dead.at_hours <= down.at_hours:
        return 0
    before = _latest(case, lot, down.at_hours).get("dead")
    return max(0, dead.heads - (before.heads if before else 0))


def _share(heads: int, lot: Lot, counts: Counts) -> dict[str, Any] | None:
    """Value and band of ``heads`` over the lot; heads nobody counted may be any number."""
    counted = sum(each or 0 for each in (counts.normal, counts.down, counts.dead))
    whole = lot.count or counted
    if not whole:
        return None
    share = min(1.0, heads / whole)
    if lot.count or heads == 0 or None not in (counts.normal, counts.down, counts.dead):
        return {"value": share, "low": share, "high": share}
    middle = share / 2 if counts.normal is None else share
    return {"value": middle, "low": 0.0, "high": share, "note": "not every head was counted"}


def _share_of_all(heads: int, case: Case, lot: Lot, counts: Counts) -> dict[str, Any] | None:
    """Counted over all lots: of this one it may be none of them, or as many as it has.

    The value is the share were they all of this lot, for whoever is down is not left there;
    where the well ones were counted too, it is the share of the heads that were counted.
    """
    counted = sum(each or 0 for each in (counts.normal, counts.down, counts.dead))
    came = sum(each.count or 0 for each in case.lot) if lot.count else 0
    of_all = counted if counts.normal is not None else came or counted
    whole = min(lot.count or of_all, of_all)
    if not whole:
        return None
    share = min(1.0, heads / whole)
    if not lot.count and counts.normal is None:
        share /= 2
    note = "counted over all lots together"
    return {"value": share, "low": 0.0, "high": 1.0 if heads else 0.0, "note": note}


def _loads(case: Case, lot: Lot, kind: Kind | None) -> Iterator[Record]:
    volume = case.receiving.volume_l
    if volume is not None:
        yield _told("tank_volume_l", volume, "L", "receiving.volume_l")
    mass = mass_of(lot, kind)
    if mass is None or not lot.count:
        return
    each, low, high, where, note = mass
    label = f'lot "{lot.id}"'
    yield Record(
        "computed",
        "lot_mass_g",
        each * lot.count,
        "computed",
        low * lot.count,
        high * lot.count,
        "g",
        (f"{label}, count", where),
        formula="count x mass_g",
        working=f"{lot.count} x {exact(each)} g = {short(each * lot.count, 3)} g",
        note=note,
    )
    bags = (f"{label}, bag_water_l", *((f"{label}, bags",) if lot.bags else ()))
    for name, litres, places in (
        ("bag_loading_g_l", _bag_water(lot), bags),
        ("tank_loading_g_l", volume, ("receiving.volume_l",)),
    ):
        if litres:
            per = lot.count / litres
            working = (
                f"{lot.count} x {exact(each)} g / {exact(litres)} L = {short(each * per, 3)} g/L"
            )
            yield Record(
                "computed",
                name,
                each * per,
                "computed",
                low * per,
                high * per,
                "g/L",
                (f"{label}, count", where, *places),
                formula="count x mass_g / water_l",
                working=working,
                note=note,
            )


def _bag_water(lot: Lot) -> float | None:
    return None if lot.bag_water_l is None else lot.bag_water_l * (lot.bags or 1)


def mass_of(lot: Lot, kind: Kind | None) -> tuple[float, float, float, str, str | None] | None:
    """(mass of one fish, low, high, where, note); from the species table when not given."""
    if lot.mass_g is not None:
        return lot.mass_g, lot.mass_g, lot.mass_g, f'lot "{lot.id}", mass_g', None
    typical = kind.species.typical_mass_g if kind and kind.species else None
    if typical is None:
        return None
    note = "mass guessed from the species table, band half to double"
    return typical, typical / _GUESS, typical * _GUESS, f'lot "{lot.id}", species', note
