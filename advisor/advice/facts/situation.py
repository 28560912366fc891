"""Where a lot is, the water it is in, the water it is bound for, and what it has met.

Causes say why; the first step follows from where the fish are. What a look says
later stands before what was said earlier, and what was *done* counts like what
was told. A water the fish have never been in says nothing about what ails them:
its readings stand as those of the next water, for the move alone.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Literal, NamedTuple

from advisor.advice.facts.measured import reading_record
from advisor.advice.facts.record import Record
from advisor.advice.facts.told import answer_in, answer_of
from advisor.case import Case, Lot
from advisor.case.model import Observation
from advisor.case.readings import Readings
from advisor.rulebase import RuleBase

Place = Literal["closed_bag", "open_bag", "tub", "tank", "unknown"]
#: The water of the case that belongs to a place.
WATER_OF: Mapping[str, str] = {
    "closed_bag": "bag",
    "open_bag": "bag",
    "tub": "tub",
    "tank": "tank",
    "unknown": "tank",
}
#: Ways of release, by where the fish are once it has begun.
_BY_METHOD: Mapping[str, Place] = {
    "netted": "tank",
    "poured": "tank",
    "dripped": "open_bag",
    "floated_open": "open_bag",
}
#: From this hour on a bag is no longer where fish are, unless a look says so.
_FIRST_DAY_H = 24.0
#: So long after it was opened a bag is no longer surely where they are, unless a look spoke of it.
_OPEN_BAG_H = 12.0


class Stay(NamedTuple):
    """A place, from when on (None: not known) and where the case says so."""

    place: Place
    since_hours: float | None
    told: str


class Situation(NamedTuple):
    """Where a lot is at one time.

    stays : the places it has been in, in order; the last is where it is now
    """

    stays: tuple[Stay, ...]

    @property
    def place(self) -> Place:
        return self.stays[-1].place

    @property
    def since_hours(self) -> float | None:
        return self.stays[-1].since_hours

    @property
    def told(self) -> str:
        return self.stays[-1].told

    @property
    def water(self) -> str:
        """The water of the case they are in: bag, tub or tank."""
        return WATER_OF[self.place]

    @property
    def next_water(self) -> str | None:
        """The water they are bound for; none once they are in the tank."""
        return "tank" if self.water != "tank" else None

    def has_met(self, water: str) -> bool:
        """Whether they have been in it; tap water meets them through what was done only."""
        return water != "tank" or any(WATER_OF[stay.place] == "tank" for stay in self.stays)


#: Of a lot of which nothing is told.
NOWHERE = Situation((Stay("unknown", None, ""),))


def situation_of(case: Case, lot: Lot, base: RuleBase, now: float) -> Situation:
    """Where ``lot`` is at ``now`` hours after receipt, by all that was told up to then."""
    told = sorted(_told(case, lot, base, now), key=lambda stay: _when(stay, now))
    stays: list[Stay] = []
    for stay in told:
        if not stays or stays[-1].place != stay.place:
            stays.append(stay)
    if not stays:
        return NOWHERE if now < _FIRST_DAY_H else Situation((Stay("tank", None, ""),))
    last = stays[-1]
    told_at = told[-1].since_hours
    lately = told_at is not None and now - told_at < _FIRST_DAY_H
    if now >= _FIRST_DAY_H and last.place in ("closed_bag", "open_bag") and not lately:
        stays.append(Stay("tank", None, ""))  # a day has gone by since the delivery came
    elif last.place == "open_bag" and told_at is not None:
        spoken = max((told_at, *_bag_looks(case, lot, now)))
        if now - spoken >= _OPEN_BAG_H:
            stays.append(Stay("unknown", None, ""))
    return Situation(tuple(stays))


def _bag_looks(case: Case, lot: Lot, now: float) -> Iterator[float]:
    """Hours of the looks that read the bag's water."""
    for _, look in case.looks_at(lot.id, now):
        if look.bag.given():
            yield look.at_hours


def _when(stay: Stay, now: float) -> tuple[float, int]:
    """Order in time; of what has no time the bag comes first, then what replaces it."""
    rank = ("closed_bag", "open_bag", "tub", "tank", "unknown").index(stay.place)
    at = stay.since_hours
    if at is None:
        at = float("-inf") if stay.place == "closed_bag" else min(0.0, now)
    return at, rank


def _told(case: Case, lot: Lot, base: RuleBase, now: float) -> Iterator[Stay]:
    where = f'lot "{lot.id}"'
    opened, released = lot.opened_at_hours, lot.released_at_hours
    shut_at, sealed = _answer("sealed", "bags_sealed", case, lot, base)
    way_at, release = _answer("release_method", "release_method", case, lot, base)
    if sealed in ("yes", "no"):
        yield Stay("closed_bag", None, shut_at)
    elif opened is not None or release is not None:
        yield Stay("closed_bag", None, way_at if opened is None else f"{where}, opened_at_hours")
    if opened is not None and opened <= now:
        yield Stay("open_bag", opened, f"{where}, opened_at_hours")
    elif sealed == "no" and opened is None:
        yield Stay("open_bag", None, shut_at)
    method = _BY_METHOD.get(release or "")
    if released is not None and released <= now:
        yield Stay("tank", released, f"{where}, released_at_hours")
    elif method is not None and released is None:
        yield Stay(method, None, way_at)
    said, item = answer_in(case, lot, "lot.history.fish_are_in")
    seen: list[Stay] = []
    for at, look in case.looks_at(lot.id, now):
        where = f"observation {at}"
        seen += _seen_at(look, where, lot, base, sealed, alone=len(case.lot) < 2)
    yield from seen
    if item == "tub" and any(_tub_before_release(stay, lot, now) for stay in seen):
        return  # the tub that was told of is the one they have been netted out of since
    if isinstance(item, str) and item in WATER_OF and item != "unknown":
        yield Stay(item, _answered_at(item, case, lot, now), said)  # type: ignore[arg-type]


def _answered_at(place: str, case: Case, lot: Lot, now: float) -> float:
    """The hour of an answer on where they are, which has none of its own: now, or the last look.

    No fish goes back into its bag: where a stamp after that look says that they have left the
    place, the answer is the older of the two.
    """
    looked = max((look.at_hours for _, look in case.looks_at(lot.id, now)), default=0.0)
    left = {
        "closed_bag": (lot.opened_at_hours, lot.released_at_hours),
        "open_bag": (lot.released_at_hours,),
        "tub": (lot.released_at_hours,),
    }
    gone = any(at is not None and looked < at <= now for at in left.get(place, ()))
    return looked if gone else now


def _tub_before_release(stay: Stay, lot: Lot, now: float) -> bool:
    out, into = lot.released_at_hours, stay.since_hours
    return stay.place == "tub" and out is not None and into is not None and into < out <= now


def _seen_at(
    look: Observation, where: str, lot: Lot, base: RuleBase, sealed: str | None, *, alone: bool
) -> Iterator[Stay]:
    if look.minutes_after_opening is not None:
        opened = look.at_hours - look.minutes_after_opening / 60.0
        released = lot.released_at_hours
        if released is None or opened <= released:  # else water of a bag they had left was read
            yield Stay("open_bag", opened, f"{where}, minutes_after_opening")
    elif sealed != "yes" and (look.bag.ph is not None or look.bag.tan_mg_l is not None):
        yield Stay("open_bag", None, f"{where}, bag")  # read once it was open, whenever that was
    if look.tub.given():
        yield Stay("tub", look.at_hours, f"{where}, tub")
    for done in done_at(look, lot, base, sealed=sealed, alone=alone):
        action = base.actions.get(done)
        if action is not None and action.puts is not None:
            yield Stay(action.puts, look.at_hours, f"{where}, done")


def done_for(case: Case, lot: Lot, base: RuleBase, until: float = math.inf) -> Iterator[str]:
    """What was done for the lot up to that hour, by the ids of actions and in words."""
    sealed = _answer("sealed", "bags_sealed", case, lot, base)[1]
    for look in case.observation:
        if look.at_hours <= until:
            yield from done_at(look, lot, base, sealed=sealed, alone=len(case.lot) < 2)


def settled_for(case: Case, lot: Lot, base: RuleBase, until: float = math.inf) -> frozenset[str]:
    """What was done for the lot and no look at it came after: nobody has seen yet that it helps."""
    sealed = _answer("sealed", "bags_sealed", case, lot, base)[1]
    looks = [each.at_hours for _, each in case.looks_at(lot.id, until) if each.tells]
    last = max(looks, default=-math.inf)
    return frozenset(
        done
        for look in case.observation
        if last <= look.at_hours <= until
        for done in done_at(look, lot, base, sealed=sealed, alone=len(case.lot) < 2)
    )


def done_at(
    look: Observation, lot: Lot, base: RuleBase, *, sealed: str | None, alone: bool
) -> Iterator[str]:
    """What was done for the lot at one look.

    A step that moves fish and names no lot moved some lot: none whose bag is told shut.
    A step on the whole tank, done for one lot, is done for all.
    """
    if look.lot == lot.id or (look.lot == "all" and (alone or sealed != "yes")):
        yield from look.done
    elif look.lot == "all":
        yield from (done for done in look.done if not _moves(done, base))
    else:
        yield from (done for done in look.done if _for_all(done, base))


def _for_all(done: str, base: RuleBase) -> bool:
    return done in base.actions and base.actions[done].whole_tank


def _moves(done: str, base: RuleBase) -> bool:
    return done in base.actions and base.actions[done].puts is not None


def _answer(field: str, item: str, case: Case, lot: Lot, base: RuleBase) -> tuple[str, str | None]:
    """(where, what) was told of an item, in that field of the lot or among the answers."""
    entry, where, own = base.history.get(item), f'lot "{lot.id}", {field}', getattr(lot, field)
    if own in (None, "unknown") and entry is not None:
        where, own = answer_of(case, lot, entry)
    return where, own if isinstance(own, str) and own != "unknown" else None


# --- its waters -------------------------------------------------------------


def _told_at(situation: Situation) -> tuple[str, ...]:
    return (situation.told,) if situation.told else ()


def place_record(situation: Situation) -> Record:
    """The place as a fact of its own."""
    return Record(
        kind="place",
        name="place",
        value=situation.place,
        how="answered",
        where=_told_at(situation),
        at_hours=situation.since_hours,
        note=None if situation.told else "supposed, since the case does not say it",
    )


def water_records(
    case: Case, lot: Lot, base: RuleBase, situation: Situation, until: float
) -> Iterator[Record]:
    """The newest readings of the present and of the next water, under names of their own."""
    for which, water in (("present", situation.water), ("next", situation.next_water)):
        if water is None:
            continue
        newest: dict[str, Record] = {}
        if water == "bag":
            newest |= {record.name: record for record in _as_packed(lot, which, base)}
        for at, look in case.looks_at(lot.id, until):
            readings: Readings = getattr(look, water)
            for parameter, reading in readings.given().items():
                name = f"{which}_{parameter}"
                if name in base.quantities:
                    where = f"observation {at}, {water}.{parameter}"
                    record = reading_record(name, parameter, reading, where, look.at_hours, base)
                    newest[name] = record._replace(
                        kind="computed", where=(where, *_told_at(situation))
                    )
        yield from newest.values()


#: What a journey leaves as it was packed: salt and minerals are neither made nor used up.
_KEPT = ("salinity_g_kg", "conductivity_us_cm", "hardness_mg_l_caco3")


def _as_packed(lot: Lot, which: str, base: RuleBase) -> Iterator[Record]:
    """The packer's figures for what stays the same in the bag."""
    for parameter, reading in lot.packed.given().items():
        name = f"{which}_{parameter}"
        if parameter in _KEPT and name in base.quantities:
            where = f'lot "{lot.id}", packed.{parameter}'
            record = reading_record(name, parameter, reading, where, 0.0, base)
            yield record._replace(kind="computed", note="as packed; nobody read it since")


#: What of a shut bag nobody read may be foreseen.
_FORESEEN = {
    "forecast_bag_tan_mg_l": "present_tan_mg_l",
    "forecast_bag_ph": "present_ph",
    "forecast_bag_do_mg_l": "present_do_mg_l",
}


def foreseen_now(
    situation: Situation, records: Mapping[tuple[str, str], Record], base: RuleBase
) -> Iterator[Record]:
    """The water of a shut bag as it is foreseen, for what of it was not read."""
    if situation.place != "closed_bag":
        return
    for forecast, name in _FORESEEN.items():
        record = records.get(("computed", forecast))
        if record is not None and name in base.quantities:
            yield record._replace(
                name=name, inputs=(forecast,), where=(*record.where, *_told_at(situation))
            )


def hidden_names(records: Mapping[tuple[str, str], Record], situation: Situation) -> frozenset[str]:
    """Names of numbers that rest on a water these fish have not met."""
    if situation.has_met("tank"):
        return frozenset()
    hidden = {name for kind, name in records if kind == "reading" and name.startswith("tank_")}
    if not hidden:
        return frozenset()
    for (kind, name), record in records.items():  # in the order they were worked out
        if kind == "computed" and not name.startswith(AHEAD) and hidden & set(record.inputs):
            hidden.add(name)
    return frozenset(hidden)


#: Names that speak of the move itself, and so may rest on the next water.
AHEAD = ("next_", "present_", "step_ahead_")
