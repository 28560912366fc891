"""A log's readings into a case: as looks that no one took, thinned where there are many.

A case is a file people read and write, and no rule uses more than the latest
reading of a tank. So a log of up to ``MOST_LOOKS`` times goes in row by row;
a longer one is thinned to a step of time that gives no more than that, and each
look then keeps the last value of its step and, as the band, the lowest and the
highest of the step widened by what the instrument can tell apart. A dip of
oxygen in the small hours so stays visible. The log itself stays the record.

A log is known by its content and its place (lot and water), never by its name alone:
``from_log`` is the name and the beginning of the SHA-256 of its bytes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import PurePath

from advisor.case.logs.asking import Doubts
from advisor.case.logs.moments import zone_of
from advisor.case.logs.read import Log
from advisor.case.model import Case, Observation
from advisor.case.readings import RANGES, Kit, Reading, Readings, Water
from advisor.units import Quantity, kit_band
from advisor.wording.numbers import grouped
from advisor.wording.times import offset_here, read_moment, span

MOST_LOOKS = 240
#: Steps of time a log may be thinned to [h]: five minutes to two days.
STEPS_H = (1 / 12, 1 / 6, 0.25, 0.5, 1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 48.0)
#: Rows farther from receipt than this [h] are left out, and said.
EARLIEST_H, LATEST_H = -24.0 * 60, 24.0 * 366
#: What a name may be in a case file, and letters of the hash behind it.
_MOST_NAME, _HASH = 60, 12


@dataclass(frozen=True)
class Imported:
    """What became of a log.

    looks    : looks it gave; step_h: the step it was thinned to, None = row by row
    replaced : looks of an earlier import that were taken out
    known    : rows that the case already held, from this log or another
    far      : rows too far from receipt
    """

    case: Case
    looks: int
    step_h: float | None
    replaced: int
    known: int
    far: int


@dataclass(frozen=True)
class _Timed:
    hours: float
    values: Mapping[str, Quantity]


def add_log(
    case: Case,
    log: Log,
    told: Mapping[tuple[str, str | None], str] | None = None,
    *,
    lot: str,
    water: Water,
    kit: Kit | None,
) -> Imported:
    """``case`` with the readings of ``log``.

    Rows that the case holds already from another log, time and values alike, are not stored again.
    Raises LogAsks where rows of another log would stand beside other values of the same time, or
    the receipt does not say which zone it is in; LogRefused when no row lies near the receipt.
    """
    doubts = Doubts(log.name, told or {})
    rows, far = _hours(case, log, doubts)
    name = log_name(log)
    mine = [look for look in case.observation if _of_place(look, lot, water)]
    same = [look for look in mine if look.from_log == name]
    others = [look for look in mine if look.from_log != name]
    step = step_for(sorted({row.hours for row in rows}))
    fresh, gone = _beside(rows, others, water, step, doubts)
    looks = tuple(
        Observation(
            at_hours=at,
            lot=lot,
            note=None if step is None else f"{count} rows in {span(step)}; bands span them",
            from_log=name,
        ).model_copy(update={water: Readings(**readings)})
        for at, count, readings in _looks(fresh, step, kit)
    )
    out = {id(look) for look in (*same, *gone)}
    kept = [look for look in case.observation if id(look) not in out]
    together = sorted((*kept, *looks), key=lambda look: look.at_hours)
    return Imported(
        case.model_copy(update={"observation": tuple(together)}),
        len(looks), step, len(out), len(rows) - len(fresh), far,
    )  # fmt: skip


def log_name(log: Log) -> str:
    """Name and beginning of the hash, as a case keeps it."""
    return f"{PurePath(log.name).name[-_MOST_NAME:]} {log.sha256[:_HASH]}"


def _of_place(look: Observation, lot: str, water: Water) -> bool:
    return bool(look.from_log) and look.lot == lot and bool(getattr(look, water).given())


def _hours(case: Case, log: Log, doubts: Doubts) -> tuple[list[_Timed], int]:
    """(rows in hours after receipt, how many lie too far from it)."""
    start = None
    if isinstance(log.rows[0].at, datetime):
        start = _receipt(case, log, doubts)
    rows = []
    for row in log.rows:
        hours = row.at
        if isinstance(hours, datetime):
            assert start is not None
            if start.tzinfo:  # in UTC: within one zone Python counts by the clock on the wall
                hours = hours.astimezone(UTC)
            hours = (hours - start) / timedelta(hours=1)
        rows.append(_Timed(round(hours, 5), row.values))
    near = [row for row in rows if EARLIEST_H <= row.hours <= LATEST_H]
    if not near:
        days = grouped(abs(round(rows[0].hours / 24)))
        raise doubts.refuse(
            f"begins {days} days {'before' if rows[0].hours < 0 else 'after'} the delivery was "
            "received: it is another delivery's, or one of the two dates is wrong."
        )
    return near, len(rows) - len(near)


def _receipt(case: Case, log: Log, doubts: Doubts) -> datetime:
    """Moment of receipt, with a zone where the log has one and without where not."""
    start = read_moment(case.delivery.received)
    if start is None:
        raise doubts.refuse(
            "has dates, and the case does not say when the delivery was received; write "
            'received = "2027-03-02T14:10:00" under [delivery].'
        )
    at = log.rows[0].at
    assert isinstance(at, datetime)
    if at.tzinfo is not None and start.tzinfo is None:
        told = doubts.answer("receipt_zone")
        zone = zone_of(told) if told else None
        if zone is None:
            doubts.ask(
                "receipt_zone", None,
                f"The log's times name a zone ({at:%H:%M %Z}), the receipt at {start:%H:%M} does "
                "not: in which zone was it?", "Europe/Berlin",
            )  # fmt: skip
            doubts.settle()
        return start.replace(tzinfo=zone)
    if at.tzinfo is None:
        changed = _clock_changed(start, log)
        if changed is not None:
            doubts.ask(
                "zone", None,
                f"Summer time begins or ends here between the receipt and {changed:%Y-%m-%d %H:%M}:"
                " does the log's clock follow it (then name the place), or keep one zone?",
                "Europe/Berlin",
            )  # fmt: skip
            doubts.settle()
        return start.replace(tzinfo=None)  # the log's clock hangs in the same room
    return start


def _clock_changed(start: datetime, log: Log) -> datetime | None:
    """The first time of the log on the other side of a change of this place's clocks."""
    here = offset_here(start)
    if here is None or start.utcoffset() not in (None, here):
        return None
    for row in log.rows:
        assert isinstance(row.at, datetime)
        hours = (row.at - start.replace(tzinfo=None)) / timedelta(hours=1)
        if EARLIEST_H <= hours <= LATEST_H and offset_here(row.at) != here:
            return row.at
    return None


def _beside(
    rows: list[_Timed], others: list[Observation], water: Water, step: float | None, doubts: Doubts
) -> tuple[list[_Timed], list[Observation]]:
    """(rows not yet in the case, looks of other logs that give way)."""
    if not others or not rows:
        return rows, []
    held = {look.at_hours: getattr(look, water).given() for look in others}
    fresh = []
    against: set[float] = set()
    for row in rows:
        there = held.get(row.hours)
        if there is None:
            fresh.append(row)
        elif any(key in there and not _alike(there[key], q) for key, q in row.values.items()):
            against.add(row.hours)
            fresh.append(row)
        elif not row.values.keys() <= there.keys():
            fresh.append(row)
    thinned = [look for look in others if look.note and "bands span them" in look.note]
    low, high = rows[0].hours, rows[-1].hours
    crossing = {
        look.at_hours for look in (others if step else thinned) if low <= look.at_hours <= high
    }
    if not against and not crossing:
        return fresh, []
    told = (doubts.answer("replace") or "").lower()
    if told not in ("yes", "no"):
        names = ", ".join(sorted({look.from_log or "" for look in others}))
        doubts.ask(
            "replace", None,
            f"The case holds other values of the same times and water from {names}: shall this log "
            "replace them? (no keeps both)", "yes",
        )  # fmt: skip
        doubts.settle()
    if told == "no":
        return fresh, []
    return fresh, [look for look in others if look.at_hours in against | crossing]


def _alike(held: Reading, quantity: Quantity) -> bool:
    return math.isclose(held.value, quantity.value, rel_tol=1e-6, abs_tol=1e-6)


def step_for(times: list[float]) -> float | None:
    """The shortest step that leaves no more than MOST_LOOKS; None when none is needed."""
    if len(times) <= MOST_LOOKS:
        return None
    for step in STEPS_H:
        if len({math.floor(at / step) for at in times}) <= MOST_LOOKS:
            return step
    return STEPS_H[-1]


def _looks(
    rows: list[_Timed], step: float | None, kit: Kit | None
) -> Iterable[tuple[float, int, dict[str, Reading]]]:
    """(time, number of rows, readings) of each look."""
    groups: dict[float, list[_Timed]] = {}
    for row in rows:
        at = row.hours if step is None else math.floor(row.hours / step)
        groups.setdefault(at, []).append(row)
    for group in groups.values():
        by_key: dict[str, list[Quantity]] = {}
        for row in group:
            for key, quantity in row.values.items():
                by_key.setdefault(key, []).append(quantity)
        readings = {key: _reading(key, mine, kit) for key, mine in by_key.items()}
        yield group[-1].hours, len(group), readings


def _reading(key: str, quantities: list[Quantity], kit: Kit | None) -> Reading:
    last = quantities[-1]
    low = min(quantity.low for quantity in quantities)
    high = max(quantity.high for quantity in quantities)
    given: dict[str, object] = {"value": last.value, "kit": kit, "note": last.note or None}
    if last.entered and len(quantities) == 1:
        given["entered"] = last.entered
    if low < high:
        if kit is not None:
            widened = kit_band(Quantity(last.value, low, high, ""), key, kit)
            low, high = widened.low, widened.high
        floor, ceiling = RANGES[key]
        given |= {"low": max(low, floor), "high": min(high, ceiling)}
    return Reading.model_validate(given)
