"""A probe's or meter's log read from CSV: every row used, or skipped with its reason.

Two shapes are read: long (time, parameter, value, unit) and wide (time, and a
column for each reading with its unit in the header). Cells may be parted by
commas, semicolons, tabs or bars; decimals may have a comma; lines before the
header are passed over.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import lru_cache

from advisor.case.readings import RANGES
from advisor.errors import AdvisorError
from advisor.papers.log_times import Clock, Order, order_of
from advisor.papers.log_words import ELAPSED, Column, column, is_stored, parameter
from advisor.units import PARAMETERS, AmbiguousBasis, Quantity, parse
from advisor.wording.numbers import exact, grouped

MOST_BYTES = 50_000_000
MOST_ROWS = 1_000_000
_HEADER_WITHIN = 60
_MISSING = {"", "-", "--", "---", "nan", "n/a", "na", "null", "none", "err", "error", "#n/a", "?"}
_COMMA = re.compile(r"[+-]?\d+,\d+")
_THOUSANDS = re.compile(r"\d{1,3}(,\d{3})+\.\d+")


@dataclass(frozen=True)
class Row:
    """One reading of a log: hours after receipt, parameter, and the value with its band."""

    line: int
    hours: float
    key: str
    quantity: Quantity


@dataclass
class LogRead:
    """What was read. ``skipped``: reason -> line numbers; ``notes``: what was taken for granted."""

    rows: list[Row] = field(default_factory=list)
    skipped: dict[str, list[int]] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    lines: int = 0

    def skip(self, why: str, line: int) -> None:
        self.skipped.setdefault(why, []).append(line)

    def note(self, text: str) -> None:
        if text not in self.notes:
            self.notes.append(text)


def read_log(
    raw: bytes,
    where: str,
    received: datetime | None,
    *,
    start_h: float | None = None,
    dates: Order | None = None,
    water: str = "tank",
    lot: str = "all",
) -> LogRead:
    """All readings of a log.

    where    : its name in sentences
    received : moment of receipt, needed where the log has dates
    start_h  : hours after receipt at which its elapsed time is 0; None = at receipt
    dates    : order of day and month; None finds out
    water, lot : where the log has such columns, rows of another water or lot are skipped

    Raises AdvisorError when it is no log at all, or its dates cannot be told.
    """
    result = LogRead()
    text = _decoded(raw, where, result)
    table, columns, first = _table(text, where)
    result.lines = len(table)
    clock = _clock(columns, table, received, start_h, dates, result)
    comma = _decimal_comma(columns, table)
    read = _read_wide if any(c.role == "reading" for c in columns) else _read_long
    for line, cells in enumerate(table, first):
        if any(cells) and not _elsewhere(result, line, cells, columns, water, lot):
            read(result, line, cells, columns, clock, comma)
    unused = [c.title.strip() for c in columns if not c.role and c.title.strip()]
    if unused:
        result.note(f"columns not used: {', '.join(unused[:12])}")
    if any(c.role == "free_ammonia" for c in columns):
        result.note(
            "a column of free ammonia (NH3) was not used; the case keeps total ammonia: "
            'call the column "total ammonia" if it is that'
        )
    return result


def _elsewhere(
    result: LogRead, line: int, cells: Cells, columns: list[Column], water: str, lot: str
) -> bool:
    """Whether a row says itself that it is of another water or lot; it is then skipped."""
    for c, cell in zip(columns, cells, strict=False):
        wanted = {"water": water, "lot": lot}.get(c.role)
        if wanted is not None and cell and cell != wanted:
            result.skip(f"{c.role} is {cell[:40]}; take it in with --{c.role} {cell[:40]}", line)
            return True
    return False


def _decoded(raw: bytes, where: str, result: LogRead) -> str:
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        return raw.decode("utf-16", errors="replace")
    if b"\0" in raw[:10_000]:
        raise AdvisorError(f"{where}: is not a text file; save the log as CSV.")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        result.note("not UTF-8; read as Western European (Windows-1252)")
        return raw.decode("cp1252", errors="replace")


Cells = Sequence[str]


def _table(text: str, where: str) -> tuple[list[list[str]], list[Column], int]:
    """(rows below the header, meaning of the columns, line of the first row)."""
    lines = text.splitlines()
    if len(lines) > MOST_ROWS:
        raise AdvisorError(f"{where}: has more than {grouped(MOST_ROWS)} lines; cut it into parts.")
    best: tuple[int, int, str, list[Column]] | None = None
    for at, line in enumerate(lines[:_HEADER_WITHIN]):
        for delimiter in ",;\t|":
            columns = [column(cell) for cell in _split(line, delimiter)]
            if _is_header(columns) and (best is None or len(columns) > best[0]):
                best = (len(columns), at, delimiter, columns)
        if best:
            break
    if best is None:
        return _headless(lines, where)
    _, at, delimiter, columns = best
    return _rows(lines[at + 1 :], delimiter), columns, at + 2


def _split(line: str, delimiter: str) -> list[str]:
    try:
        return next(csv.reader([line], delimiter=delimiter), [])
    except csv.Error:
        return []


def _rows(lines: list[str], delimiter: str) -> list[list[str]]:
    try:
        reader = csv.reader(io.StringIO("\n".join(lines)), delimiter=delimiter)
        return [[cell.strip() for cell in row] for row in reader]
    except csv.Error as error:
        raise AdvisorError(f"the log cannot be read as CSV ({error}).") from None


def _is_header(columns: list[Column]) -> bool:
    roles = [c.role for c in columns]
    timed = "time" in roles or "date" in roles
    return timed and ("reading" in roles or {"parameter", "value"} <= set(roles))


def _headless(lines: list[str], where: str) -> tuple[list[list[str]], list[Column], int]:
    """A log without a header: time, parameter, value and, if there is one, unit."""
    for delimiter in ",;\t|":
        rows = _rows(lines[:20], delimiter)
        full = [row for row in rows if len(row) >= 3 and parameter(row[1])[0]]
        if rows and len(full) * 2 > len(rows):
            columns = [Column("time"), Column("parameter"), Column("value"), Column("unit")]
            return _rows(lines, delimiter), columns, 1
    raise AdvisorError(
        f"{where}: no header with a time and a reading was found; the first line may read "
        "time,parameter,value,unit or time,temperature [°C],pH."
    )


def _clock(
    columns: list[Column],
    table: list[list[str]],
    received: datetime | None,
    start_h: float | None,
    dates: Order | None,
    result: LogRead,
) -> Clock:
    times = [text for text in (_time(row, columns) for row in table) if text]
    unit = next((c.unit for c in columns if c.role == "time"), "").lower()
    elapsed = bool(times) and all(re.fullmatch(r"[+-]?[\d.,]+", text) for text in times[:50])
    if elapsed and start_h is None:
        result.note("elapsed times count from receipt; give --start if the log began another time")
    if not elapsed and times and received is None:
        raise AdvisorError(
            "the log has dates, and the case does not say when the delivery was received; "
            'write received = "2027-03-02T14:10:00" under [delivery].'
        )
    order: Order = dates or ("day-first" if elapsed else order_of(times, received))
    zoned = any(re.search(r"(Z|[+-]\d\d:?\d\d)$", text) for text in times[:1])
    if zoned and received is not None and received.tzinfo is None:
        result.note(
            "the log names a time zone, the case does not: clock times are taken as written"
        )
    return Clock(received, ELAPSED.get(unit, 1.0), start_h or 0.0, order)


def _time(cells: Cells, columns: list[Column]) -> str:
    """The time of a row; date and time of day may stand in two columns."""
    parts = {c.role: cell for c, cell in zip(columns, cells, strict=False) if cell}
    return " ".join(filter(None, (parts.get("date"), parts.get("time"))))


def _decimal_comma(columns: list[Column], table: list[list[str]]) -> bool:
    values = [
        cell
        for row in table[:400]
        for c, cell in zip(columns, row, strict=False)
        if c.role in ("reading", "value")
    ]
    return any(map(_COMMA.fullmatch, values)) and not any("." in value for value in values)


def _read_long(
    result: LogRead, line: int, cells: Cells, columns: list[Column], clock: Clock, comma: bool
) -> None:
    parts = {c.role: cell for c, cell in zip(columns, cells, strict=False)}
    key, basis = parameter(parts.get("parameter", ""))
    if not key:
        what = parts.get("parameter", "")[:40]
        result.skip(f'"{what}" is not a reading the case keeps' if what else "no parameter", line)
        return
    unit = " ".join(filter(None, (parts.get("unit", ""), basis)))
    _one(result, line, _time(cells, columns), clock, [(key, unit, parts.get("value", ""))], comma)


def _read_wide(
    result: LogRead, line: int, cells: Cells, columns: list[Column], clock: Clock, comma: bool
) -> None:
    found = [
        (c.key, c.unit, cell)
        for c, cell in zip(columns, cells, strict=False)
        if c.role == "reading"
    ]
    found.sort(key=lambda part: part[0] != "temperature_c")  # oxygen in % needs it
    _one(result, line, _time(cells, columns), clock, found, comma)


def _one(
    result: LogRead, line: int, time: str, clock: Clock, found: Iterable[tuple[str, str, str]],
    comma: bool,
) -> None:  # fmt: skip
    """The readings of one line, each used or skipped."""
    try:
        hours = clock.hours(time)
    except AdvisorError as fault:
        result.skip(str(fault) if time else "no time", line)
        return
    temperature: float | None = None
    for key, unit, cell in found:
        if cell.lower() in _MISSING:
            result.skip(f"no value of {PARAMETERS[key].name}", line)
            continue
        try:
            quantity = _quantity(key, unit, _dotted(cell, comma), temperature)
        except AdvisorError as fault:
            result.skip(str(fault), line)
            continue
        if not unit.strip() and PARAMETERS[key].unit:
            result.note(f"{PARAMETERS[key].name} has no unit; taken as {PARAMETERS[key].unit}")
        if key == "temperature_c":
            temperature = quantity.value
        result.rows.append(Row(line, hours, key, quantity))


def _dotted(cell: str, comma: bool) -> str:
    if comma:
        return cell.replace(",", ".")
    return cell.replace(",", "") if _THOUSANDS.fullmatch(cell) else cell


def _quantity(key: str, unit: str, cell: str, temperature_c: float | None) -> Quantity:
    """A value in the stored unit. The quick way for what needs no conversion."""
    if is_stored(key, unit):
        try:
            value = float(cell)
        except ValueError:
            pass
        else:
            low, high = RANGES[key]
            if not low <= value <= high:  # not-a-number and infinite values end here too
                raise AdvisorError(f"{PARAMETERS[key].name} outside {exact(low)} to {exact(high)}")
            return Quantity(value, value, value, "")
    warmth = None if temperature_c is None else round(temperature_c, 1)
    return _converted(key, unit, cell, warmth)


@lru_cache(maxsize=20_000)
def _converted(key: str, unit: str, cell: str, temperature_c: float | None) -> Quantity:
    try:
        found = parse(f"{cell} {unit}".strip(), key, temperature_c=temperature_c)
    except AmbiguousBasis as question:
        found = question.widened
    except AdvisorError as fault:
        raise AdvisorError(_short(str(fault), cell)) from None
    return replace(found, entered=f"{cell} {unit}".strip())


def _short(sentence: str, cell: str) -> str:
    """The reason without the row's own number, so that like rows are counted together."""
    return sentence.replace(cell, "...")[:160].rstrip(".")


def skipped_in_all(result: LogRead) -> int:
    """Cells and rows that were not used."""
    return sum(len(lines) for lines in result.skipped.values())


def lines_words(lines: list[int], most: int = 5) -> str:
    """``line 3``, ``lines 3, 7, 9 ...``."""
    shown = ", ".join(str(line) for line in lines[:most])
    return f"line{'s' if len(lines) > 1 else ''} {shown}{' ...' if len(lines) > most else ''}"
