"""A log read whole: what was understood of every column, and every row's readings.

Nothing is taken by default. What a log does not say is asked (``LogAsks``), what cannot be is
refused with its line (``LogRefused``); then nothing of it is stored.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from itertools import pairwise

from advisor.case.logs.asking import Doubts
from advisor.case.logs.clock import read_times
from advisor.case.logs.column_words import set_of, squash
from advisor.case.logs.columns import Column, LeftOut, find_sources
from advisor.case.logs.counted import Moment, Times
from advisor.case.logs.log_lines import lines_of
from advisor.case.logs.table import LogTable, find_table, with_units
from advisor.case.logs.values import read_columns
from advisor.units import Quantity
from advisor.wording.numbers import exact

_BAD_STATUS = set_of("cal|calibration|calibrating|error|err|bad|fail|failed|invalid|fault")
#: More oxygen than tanks hold, those fed with pure oxygen included (judgement).
MOST_OPEN_MG_L = 25.0
#: No two neighbours of one log lie farther apart than this.
_MOST_GAP = timedelta(days=400)


@dataclass(frozen=True)
class LogRow:
    """Readings of one time; ``line`` from 1."""

    line: int
    at: Moment
    values: dict[str, Quantity]


@dataclass(frozen=True)
class Understood:
    """What was taken from one column: the first and the last value by time, and how written."""

    title: str
    parameter: str
    unit: str
    first: float
    last: float
    first_written: str
    last_written: str
    count: int
    missing: int


@dataclass
class Log:
    """A log that can be stored.

    rows    : by time; times are moments, or hours after receipt
    columns : what was understood; left_out: columns that give no reading, with the reason
    skipped : reason -> lines of rows that give none; remarks: what else should be known
    """

    name: str
    sha256: str
    rows: list[LogRow]
    columns: list[Understood]
    left_out: list[LeftOut]
    skipped: dict[str, list[int]] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)
    time_column: str = ""


def read_log(
    raw: bytes,
    name: str,
    told: Mapping[tuple[str, str | None], str] | None = None,
    *,
    water: str | None = None,
    lot: str | None = None,
) -> Log:
    """All readings of a log.

    name       : its name in sentences
    told       : (what, column or None) -> answer, for what a log leaves open; see TELLABLE
    water, lot : where the log has such columns, rows of another water or lot are skipped

    Raises LogAsks with the questions that are open, LogRefused with the line that cannot be.
    """
    doubts = Doubts(name, told or {})
    table = find_table(lines_of(raw, doubts), doubts)
    headings = with_units(table, doubts)
    if not table.rows:
        raise doubts.refuse("has headings and no readings below them.", table.header_line)
    rows = _rows_meant(table, doubts, water, lot)
    sources, left_out = find_sources(table, headings, doubts)
    if not sources:
        raise doubts.refuse(
            "no column holds a reading of water that a case keeps.", table.header_line
        )
    times = read_times(table, headings, doubts)
    columns = read_columns(table, headings, sources, rows, doubts)
    _check_open_water(columns, water, doubts)
    doubts.settle()
    for source in sources:
        if not any(c.source is source for c in columns):
            left_out.append(LeftOut(source.title, source.heading.written, "says the same"))
    found = _rows(table, times, columns, rows, doubts)
    if not found:
        raise doubts.refuse("holds no readings.", table.rows[0][0])
    understood = [_understood(column, found, times) for column in columns if column.values]
    return Log(
        name, hashlib.sha256(raw).hexdigest(), [row for _, row in found], understood, left_out,
        table.skipped, doubts.remarks, times.column,
    )  # fmt: skip


def _check_open_water(columns: list[Column], water: str | None, doubts: Doubts) -> None:
    """Water open to the air holds no oxygen that only a bag under oxygen does."""
    if water in (None, "bag"):
        return
    for column in columns:
        high = max((q.value for q in column.values.values()), default=0.0)
        told = doubts.told.get(("unit", column.source.title))
        if column.key == "do_mg_l" and high > MOST_OPEN_MG_L and not told:
            doubts.ask(
                "unit", column.source.title,
                f'"{column.source.title}" reaches {exact(high)} mg/L, which water open to air does '
                "not hold: is it percent, or the log of a bag?", "%",
            )  # fmt: skip


def _rows_meant(table: LogTable, doubts: Doubts, water: str | None, lot: str | None) -> list[int]:
    """Numbers of the rows of the site, water and lot that are meant."""
    meant = list(range(len(table.rows)))
    for role, wanted in (("water", water), ("lot", lot), ("site", None), ("status", None)):
        at = table.column(role)
        if at is None:
            continue
        title = table.headings[at].title
        if role == "site":
            wanted = _site(table, at, title, doubts)
        kept = []
        for n in meant:
            line, cells = table.rows[n]
            if (role == "status" and squash(cells[at]) in _BAD_STATUS) or (
                role != "status" and wanted is not None and cells[at] not in ("", wanted)
            ):
                table.skip(f"{title} is {cells[at][:40]}", line)
            else:
                kept.append(n)
        meant = kept
    return meant


def _site(table: LogTable, at: int, title: str, doubts: Doubts) -> str | None:
    sites = list(dict.fromkeys(cells[at] for _, cells in table.rows if cells[at]))
    told = doubts.answer("site", title)
    if told is not None and told not in sites:
        raise doubts.refuse(f'"{title}" is never "{told}"; it is {", ".join(sites[:8])}.')
    if len(sites) > 1 and told is None:
        doubts.ask("site", title, f'"{title}" names several: {", ".join(sites[:8])}.', sites[0])
    return told


def _rows(
    table: LogTable, times: Times, columns: list[Column], meant: list[int], doubts: Doubts
) -> list[tuple[int, LogRow]]:
    """(row number, readings) by time; what stands twice is merged or asked."""
    found: list[tuple[int, LogRow]] = []
    for n in meant:
        line, at = table.rows[n][0], times.moments[n]
        values = {c.key: c.values[n] for c in columns if n in c.values}
        if not values:
            table.skip("no value", line)
        elif at is None:
            table.skip("no time", line)
        else:
            found.append((n, LogRow(line, at, values)))
    if not found:
        return []
    _check_kind(found, doubts)
    _check_clock(found, doubts)
    return _once(found, table, columns, doubts)


def _check_kind(found: list[tuple[int, LogRow]], doubts: Doubts) -> None:
    """All times carry a zone or none does."""
    zoned = {isinstance(row.at, datetime) and row.at.tzinfo is not None for _, row in found}
    if len(zoned) > 1:
        doubts.ask("zone", None, "Some times name a zone and some do not.")
        doubts.settle()


def _check_clock(found: list[tuple[int, LogRow]], doubts: Doubts) -> None:
    moments = [(row.at, row.line) for _, row in found if isinstance(row.at, datetime)]
    if not moments:
        return
    ordered = sorted(moments)
    middle = ordered[len(ordered) // 2][0]
    for (before, first), (after, second) in pairwise(ordered):
        if after - before > _MOST_GAP:
            at, line = max(
                ((before, first), (after, second)), key=lambda pair: abs(pair[0] - middle)
            )
            raise doubts.refuse(f"the time {at:%Y-%m-%d} lies years from the rows around it.", line)
    if middle.year < 2001:
        raise doubts.refuse(
            f"its times are of {middle.year}: the clock of the logger was not set.", ordered[0][1]
        )
    _check_hour_twice(moments, doubts)


def _check_hour_twice(moments: list[tuple[datetime, int]], doubts: Doubts) -> None:
    """A clock that falls back by up to an hour, once, in a month of such changes."""
    if moments[0][0].tzinfo is not None:
        return
    back = [(a, b, line) for (a, _), (b, line) in pairwise(moments) if b < a]
    if (
        len(back) == 1
        and back[0][0] - back[0][1] <= timedelta(hours=1)
        and (back[0][0].month in (3, 4, 10, 11))
    ):
        a, b, line = back[0]
        again = {at for at, _ in moments[: [x[1] for x in moments].index(line)]}
        if any(at in again for at, at_line in moments if at_line >= line):
            doubts.ask(
                "zone", None,
                f"Line {line}: the clock goes back from {a:%H:%M} to {b:%H:%M}, so times stand "
                "twice; was that the end of summer time, and in which zone?", "Europe/Berlin",
            )  # fmt: skip
            doubts.settle()


def _once(
    found: list[tuple[int, LogRow]], table: LogTable, columns: list[Column], doubts: Doubts
) -> list[tuple[int, LogRow]]:
    """Rows of one time: the same again goes, other readings are joined, contradictions asked."""
    told = doubts.answer("row") or ""
    by_time: dict[Moment, tuple[int, LogRow]] = {}
    for n, row in found:
        at = row.at.astimezone(UTC) if isinstance(row.at, datetime) and row.at.tzinfo else row.at
        if at not in by_time:
            by_time[at] = (n, row)
            continue
        first_n, first = by_time[at]
        both = first.values.keys() & row.values.keys()
        if all(first.values[key] == row.values[key] for key in both):
            by_time[at] = (first_n, LogRow(first.line, first.at, {**row.values, **first.values}))
        elif told:
            keep, drop = ((n, row), first) if "last" in told else ((first_n, first), row)
            by_time[at] = keep
            table.skip("its time stands twice", drop.line)
        else:
            doubts.ask(
                "row", None,
                f"Lines {first.line} and {row.line} have one time, different values.", "the first",
            )  # fmt: skip
    doubts.settle()
    return [by_time[at] for at in sorted(by_time)]


def _understood(column: Column, found: list[tuple[int, LogRow]], times: Times) -> Understood:
    rows = [(n, row) for n, row in found if column.key in row.values]
    heading = column.source.heading
    if not rows:
        return Understood(
            column.source.title, column.key, heading.written, 0, 0, "", "", 0, column.missing
        )
    (first_n, first), (last_n, last) = rows[0], rows[-1]
    return Understood(
        title=column.source.title,
        parameter=column.key,
        unit=f"{heading.written} {heading.basis or ''}".strip(),
        first=first.values[column.key].value,
        last=last.values[column.key].value,
        first_written=column.written.get(first_n, ""),
        last_written=column.written.get(last_n, ""),
        count=len(rows),
        missing=column.missing,
    )
