"""A log's readings into a case: as looks that no one took, thinned where there are many.

A case is a file people read and write, and no rule uses more than the latest
reading of a tank. So a log of up to ``MOST_LOOKS`` times goes in row by row;
a longer one is thinned to a step of time that gives no more than that, and each
look then keeps the last value of its step and, as the band, the lowest and the
highest of the step widened by what the instrument can tell apart. A dip of
oxygen in the small hours so stays visible. The log itself stays the record.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from advisor.case import Case, Observation, Reading, Readings
from advisor.case.readings import RANGES, Kit, Water
from advisor.papers.log_file import LogRead, Row
from advisor.units import Quantity, kit_band
from advisor.wording.times import span

MOST_LOOKS = 240
#: Steps of time a log may be thinned to [h]: five minutes to a day.
STEPS_H = (1 / 12, 1 / 6, 0.25, 0.5, 1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 48.0)


@dataclass(frozen=True)
class Imported:
    """What became of a log.

    looks    : looks it gave; step_h: the step it was thinned to, None = row by row
    replaced : looks of an earlier import of the same log that were taken out
    twice    : rows of a time and reading that had another; the last counts
    """

    case: Case
    looks: int
    step_h: float | None
    replaced: int
    twice: int


def add_log(
    case: Case, log: LogRead, name: str, *, lot: str, water: Water, kit: Kit | None
) -> Imported:
    """``case`` with the readings of ``log``; those of an earlier log of that name are replaced."""
    kept = tuple(
        look
        for look in case.observation
        if not (look.from_log == name and look.lot == lot and getattr(look, water).given())
    )
    last: dict[tuple[float, str], Row] = {(row.hours, row.key): row for row in log.rows}
    rows = sorted(last.values(), key=lambda row: row.hours)
    step = step_for(sorted({row.hours for row in rows}))
    looks = tuple(
        Observation(
            at_hours=at,
            lot=lot,
            note=None if step is None else f"{count} rows in {span(step)}; bands span them",
            from_log=name,
        ).model_copy(update={water: Readings(**readings)})
        for at, count, readings in _looks(rows, step, kit)
    )
    together = sorted((*kept, *looks), key=lambda look: look.at_hours)
    return Imported(
        case.model_copy(update={"observation": tuple(together)}),
        len(looks),
        step,
        len(case.observation) - len(kept),
        len(log.rows) - len(rows),
    )


def step_for(times: list[float]) -> float | None:
    """The shortest step that leaves no more than MOST_LOOKS; None when none is needed."""
    if len(times) <= MOST_LOOKS:
        return None
    for step in STEPS_H:
        if len({math.floor(at / step) for at in times}) <= MOST_LOOKS:
            return step
    return STEPS_H[-1]


def _looks(
    rows: list[Row], step: float | None, kit: Kit | None
) -> Iterable[tuple[float, int, dict[str, Reading]]]:
    """(time, number of rows, readings) of each look."""
    groups: dict[float, list[Row]] = {}
    for row in rows:
        groups.setdefault(row.hours if step is None else math.floor(row.hours / step), []).append(
            row
        )
    for group in groups.values():
        by_key: dict[str, list[Row]] = {}
        for row in group:
            by_key.setdefault(row.key, []).append(row)
        readings = {key: _reading(key, mine, kit) for key, mine in by_key.items()}
        yield group[-1].hours, len({row.line for row in group}), readings


def _reading(key: str, rows: list[Row], kit: Kit | None) -> Reading:
    last = rows[-1].quantity
    low = min(row.quantity.low for row in rows)
    high = max(row.quantity.high for row in rows)
    given: dict[str, object] = {"value": last.value, "kit": kit, "note": last.note or None}
    if last.entered and len(rows) == 1:
        given["entered"] = last.entered
    if low < high:
        if kit is not None:
            widened = kit_band(Quantity(last.value, low, high, ""), key, kit)
            low, high = widened.low, widened.high
        floor, ceiling = RANGES[key]
        given |= {"low": max(low, floor), "high": min(high, ceiling)}
    return Reading.model_validate(given)
