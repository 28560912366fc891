"""Times that are counted: since 1970, since a start, or by rows at an even step."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import pairwise

from advisor.case.logs.asking import Doubts
from advisor.case.logs.column_words import squash, unit_of
from advisor.case.logs.dates import moment_of, order_of, zone_above
from advisor.case.logs.decimals import is_missing
from advisor.case.logs.headings import Heading
from advisor.case.logs.moments import read_written
from advisor.case.logs.table import LogTable
from advisor.wording.numbers import exact

#: A time of a row: a moment, or hours after the receipt where only those are known.
Moment = datetime | float
_SECONDS = {"s": 1.0, "min": 60.0, "h": 3600.0, "d": 86400.0, "ms": 1e-3}
#: Sure to be seconds, or thousandths, since 1970: years 2001 to 2100.
_EPOCH_S, _EPOCH_MS = (1e9, 4.2e9), (1e12, 4.2e12)
NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?")
START = re.compile(
    r"\b(?:start(?:ed)?(?: time| date| at)?|mission start|zero\b.*?|begin|beginn|t0|first sample"
    r"|logging started|start of (?:log|run)|date of start)\b(?:[^\d]*?)[\s:=,;]+(?=\d)", re.I,
)  # fmt: skip
_INTERVAL = re.compile(
    r"\b(?:interval|sample rate|step|sampling interval|log interval|sample interval|every|rate"
    r"|logging interval|intervall)\b[\s:=,;]*(.+)", re.I,
)  # fmt: skip


@dataclass(frozen=True)
class Times:
    """Moment of each row, None where it has none; ``column``: where they came from."""

    moments: list[Moment | None]
    column: str


def from_step(table: LogTable, doubts: Doubts) -> Times:
    """No times in the rows: start and interval, from the preamble or told."""
    start, step = _start(table, doubts), _interval(table, doubts)
    if start is None or step is None:
        return Times([None] * len(table.rows), "")
    return Times([_later(start, n * step) for n in range(len(table.rows))], "start and interval")


def _start(table: LogTable, doubts: Doubts) -> Moment | None:
    told = doubts.answer("start")
    if told:
        if squash(told) == "receipt":
            return 0.0
        hours = re.fullmatch(r"([+-]?\d+(?:\.\d+)?)\s*(?:h|hours)?(?: after receipt)?", told)
        if hours:
            return float(hours[1])
    texts = (
        [told] if told else [m.string[m.end() :] for m in map(START.search, table.preamble) if m]
    )
    for text in texts:
        written = read_written(text.strip(" ,;\"'"))
        if written and written.days and written.seconds is not None:
            order = order_of([written], doubts, None)
            return moment_of(written.days[order], written, zone_above(table, None, doubts))
    if told:
        raise doubts.refuse(f'start "{told}": write a date and time such as 2027-03-02T14:10.')
    doubts.ask("start", None, "The log does not say when it began.", "2027-03-02T14:10")
    return None


def _interval(table: LogTable, doubts: Doubts) -> float | None:
    """Seconds between rows."""
    told = doubts.answer("interval")
    texts = [told] if told else [m[1] for m in map(_INTERVAL.search, table.preamble) if m]
    for text in texts:
        found = re.match(r"\s*(\d{1,3}):(\d{2})(?::(\d{2}))?", text)
        if found:
            return int(found[1]) * 3600.0 + int(found[2]) * 60 + int(found[3] or 0)
        found = re.match(r"\s*(\d+(?:[.,]\d+)?)\s*([a-zA-Z]+)", text)
        unit = unit_of(found[2], "time") if found else None
        if found and unit:
            return float(found[1].replace(",", ".")) * _SECONDS[unit[0]]
    doubts.ask("interval", None, "The log does not say how far its rows are apart.", "15 min")
    return None


def _later(start: Moment, seconds: float) -> Moment:
    if isinstance(start, float):
        return start + seconds / 3600
    return start + timedelta(seconds=seconds)


def from_numbers(table: LogTable, heading: Heading, cells: list[str], doubts: Doubts) -> Times:
    """A count of time: since 1970, since the start, or not said."""
    values = [float(c.replace(",", ".")) if NUMBER.fullmatch(c) else None for c in cells]
    given = [value for value in values if value is not None]
    bad = next(
        (n for n, cell in enumerate(cells) if values[n] is None and not is_missing(cell)), None
    )
    if bad is not None:
        raise doubts.refuse(f'"{cells[bad][:40]}" is no time like those above.', table.rows[bad][0])
    if heading.role == "after_receipt":
        return Times(list(values), heading.title)
    told = doubts.answer("time_unit", heading.title)
    since = _since_1970(heading, given, told, doubts)
    if since:
        for (line, _), cell, value in zip(table.rows, cells, values, strict=True):
            if value is not None and not _EPOCH_S[0] <= value * since <= _EPOCH_S[1]:
                raise doubts.refuse(
                    f'the time "{cell}" lies decades from the rows around it.', line
                )
        moments = [None if v is None else datetime.fromtimestamp(v * since, UTC) for v in values]
        return Times(list(moments), heading.title)
    if told and re.search(r"18(99|00)|1904|spreadsheet|excel", told):
        found = re.search(r"\d{4}-\d\d-\d\d", told)
        zero = datetime.fromisoformat(found[0] if found else "1899-12-30")
        days = [None if v is None else zero + timedelta(seconds=round(v * 86400)) for v in values]
        return Times(list(days), heading.title)
    of_time = unit_of(told, "time") if told else None
    unit = _SECONDS.get(of_time[0] if of_time else heading.unit or "")
    if unit is None:
        serial = all(30000 < value < 70000 for value in given)
        doubts.ask(
            "time_unit", heading.title,
            f'"{cells[0]}" under "{heading.title}" does not say what it counts.',
            "days since 1899-12-30" if serial else "min",
        )  # fmt: skip
        if serial:
            return Times([None] * len(cells), heading.title)
    back = next(
        (n for n, (a, b) in enumerate(pairwise(given), 1) if b < a and b <= given[0]),
        0,
    )
    if back and len(given) == len(values):
        return _two_runs(table, heading, given, back, unit, doubts)
    start = _start(table, doubts)
    if start is None or unit is None:
        return Times([None] * len(cells), heading.title)
    return Times([None if v is None else _later(start, v * unit) for v in values], heading.title)


def _two_runs(
    table: LogTable, heading: Heading, given: Sequence[float], back: int, unit: float | None,
    doubts: Doubts,
) -> Times:  # fmt: skip
    """A count that falls back to its beginning: a second run, whose start must be told."""
    told = doubts.answer("start") or ""
    found = re.match(r"(\S+)\s+for the second run", told)
    second = read_written(found[1]) if found else None
    if second is None or not second.days or second.seconds is None:
        doubts.ask(
            "start", None,
            f"On line {table.rows[back][0]} the count falls back: a second run, whose start is not "
            "told.", "2027-03-02T14:10 for the second run",
        )  # fmt: skip
        return Times([None] * len(given), heading.title)
    above = Doubts(doubts.where, {k: v for k, v in doubts.told.items() if k[0] != "start"})
    first = _start(table, above)
    doubts.questions += above.questions
    if first is None or unit is None:
        return Times([None] * len(given), heading.title)
    order = order_of([second], doubts, None)
    other = moment_of(second.days[order], second, zone_above(table, None, doubts))
    moments = [_later(first if n < back else other, v * unit) for n, v in enumerate(given)]
    return Times(list(moments), heading.title)


def _since_1970(
    heading: Heading, given: Sequence[float], told: str | None, doubts: Doubts
) -> float | None:
    """Seconds in one unit of a count since 1970; None when it is no such count."""
    if told and "1970" in told:
        return _SECONDS.get((unit_of(told.split()[0], "time") or ("",))[0])
    low, high = sorted(given)[len(given) // 2], max(given)
    said = heading.unit if heading.role == "epoch" or heading.unit in ("ms", "s") else None
    for (least, most), unit, name in ((_EPOCH_S, 1.0, "s"), (_EPOCH_MS, 1e-3, "ms")):
        if least <= low <= most and high < 1e3 * most:
            if said not in (None, name):
                doubts.ask(
                    "time_unit", heading.title,
                    f'"{exact(low, 14)}" under "{heading.title}" counts in {name} since 1970 if it '
                    f"is of our time, and the heading says {said}.", f"{name} since 1970",
                )  # fmt: skip
            return unit
    if heading.role == "epoch":
        raise doubts.refuse(
            f'"{exact(low, 14)}" under "{heading.title}" is no time of our century.'
        )
    return None


def from_spans(table: LogTable, heading: Heading, cells: list[str], doubts: Doubts) -> Times:
    """Elapsed time as hours, minutes and seconds between colons."""
    start = _start(table, doubts)
    moments: list[Moment | None] = []
    for (line, _), cell in zip(table.rows, cells, strict=True):
        found = re.fullmatch(
            r"(?:(\d+)\s*(?:d|days?|[. ])\s*)?(-)?(\d+):(\d{2})(?::(\d{2})(?:[.,]\d+)?)?", cell
        )
        if found is None:
            if is_missing(cell):
                moments.append(None)
                continue
            raise doubts.refuse(f'"{cell[:40]}" is no elapsed time.', line)
        two = found[5] is None
        minutes_first = two and (heading.form or "").replace(" ", "") in ("mm:ss", "m:ss")
        scale = (60.0, 1.0, 0.0) if minutes_first else (3600.0, 60.0, 1.0)
        seconds = sum(int(x or 0) * k for x, k in zip(found.group(3, 4, 5), scale, strict=True))
        seconds = int(found[1] or 0) * 86400 + (-seconds if found[2] else seconds)
        moments.append(None if start is None else _later(start, seconds))
    return Times(moments, heading.title)
