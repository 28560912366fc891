"""The times of a log's rows: from one column or several, from a count, or from start and step."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta, tzinfo

from advisor.case.logs.asking import Doubts
from advisor.case.logs.column_words import squash
from advisor.case.logs.counted import (
    NUMBER,
    START,
    Moment,
    Times,
    from_numbers,
    from_spans,
    from_step,
)
from advisor.case.logs.dates import check_weekdays, order_of, zone_above
from advisor.case.logs.decimals import is_missing
from advisor.case.logs.halves import seconds_of_day
from advisor.case.logs.headings import Heading
from advisor.case.logs.moments import WrittenTime, read_written
from advisor.case.logs.table import LogTable

_DATE = re.compile(r"\b(?:date|datum|day|fecha|jour)\b[\s:=,;]+(.+)", re.I)


def read_times(table: LogTable, headings: list[Heading], doubts: Doubts) -> Times:
    """The time of every row. What is not said is asked; what cannot be is refused."""
    columns = _time_columns(table, headings, doubts)
    if not columns:
        return from_step(table, doubts)
    first = columns[0]
    heading = headings[first]
    cells = [cells[first] for _, cells in table.rows]
    given = [cell for cell in cells if cell and not is_missing(cell)]
    if not given:
        raise doubts.refuse(f'the column "{heading.title}" holds no times.')
    numbers = all(NUMBER.fullmatch(cell) for cell in given[:200])
    if heading.role == "year":
        return _from_parts(table, headings, doubts)
    if heading.role == "after_receipt" or (
        heading.role in ("moment", "elapsed", "epoch") and numbers
    ):
        return from_numbers(table, heading, cells, doubts)
    if heading.role == "elapsed":
        return from_spans(table, heading, cells, doubts)
    return _from_text(table, headings, columns, doubts)


def _time_columns(table: LogTable, headings: list[Heading], doubts: Doubts) -> list[int]:
    """Columns that make up the time, the leading one first."""
    told = doubts.answer("time_column")
    if told:
        for i, heading in enumerate(headings):
            if squash(heading.title) == squash(told):
                return [i]
        raise doubts.refuse(f'no column is called "{told}".')
    by_role: dict[str, list[int]] = {}
    for i, heading in enumerate(headings):
        if any(cells[i] for _, cells in table.rows[:500]):
            by_role.setdefault(heading.role, []).append(i)
    epochs, moments, dates = (by_role.get(r, []) for r in ("epoch", "moment", "date"))
    if epochs:
        _check_same(table, headings, epochs[0], moments, doubts)
        return epochs[:1]
    with_zone = [i for i in moments if headings[i].zone]
    if len(moments) > 1 and not dates:
        if len(with_zone) == 1 and len(moments) == 2:
            return with_zone
        doubts.ask(
            "time_column", None,
            f"Several columns hold times: {', '.join(headings[i].title for i in moments)}.",
            headings[moments[0]].title,
        )  # fmt: skip
        return moments[:1]
    clocks = [*by_role.get("clock", []), *moments, *by_role.get("hour", [])]
    if dates:
        return [dates[0], *clocks[:1], *by_role.get("am_pm", [])[:1]]
    if by_role.get("year"):
        return by_role["year"]
    for role in ("after_receipt", "moment", "clock", "elapsed"):
        if role in by_role:
            return [by_role[role][0], *by_role.get("am_pm", [])[:1]]
    return []


def _check_same(
    table: LogTable, headings: list[Heading], epoch: int, moments: list[int], doubts: Doubts
) -> None:
    """A readable time beside seconds since 1970 must be the same moment, give or take a zone."""
    for line, cells in table.rows[:1]:
        for i in moments:
            written = read_written(cells[i])
            number = float(cells[epoch]) if NUMBER.fullmatch(cells[epoch]) else 0.0
            number /= 1000 if number > 1e11 else 1
            if written is None or written.seconds is None or len(written.days) != 1:
                continue
            day = next(iter(written.days.values()))
            there = datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp() + written.seconds
            apart = abs(there - number) / 900
            if apart > 57 or abs(apart - round(apart)) > 0.01:
                doubts.ask(
                    "time_column", None,
                    f'On line {line} "{headings[epoch].title}" and "{headings[i].title}" are '
                    "different times.", headings[i].title,
                )  # fmt: skip


def _from_parts(table: LogTable, headings: list[Heading], doubts: Doubts) -> Times:
    """Year, month, day, hour and minute in columns of their own."""
    at = {role: table.column(role) for role in ("year", "month", "day", "hour", "minute", "second")}
    if at["month"] is None or at["day"] is None or at["hour"] is None:
        raise doubts.refuse("year, month, day and hour do not all stand there.")
    moments: list[Moment | None] = []
    zone = zone_above(table, None, doubts)
    for line, cells in table.rows:
        try:
            numbers = [int(float(cells[i])) if i is not None else 0 for i in at.values()]
            moments.append(datetime(*numbers, tzinfo=zone))  # type: ignore[arg-type,misc]
        except ValueError:
            raise doubts.refuse("is no date and time.", line) from None
    return Times(moments, "year")


def _from_text(
    table: LogTable, headings: list[Heading], columns: list[int], doubts: Doubts
) -> Times:
    """Dates and times of day as text, in one column or several."""
    half_column = next((i for i in columns if headings[i].role == "am_pm"), None)
    own = [i for i in columns if i != half_column]
    hours = [i for i in own if headings[i].role == "hour"]
    cache: dict[str, WrittenTime | None] = {}
    written: list[WrittenTime | None] = []
    for line, cells in table.rows:
        parts = [f"{cells[i]}:00" if i in hours and cells[i].isdigit() else cells[i] for i in own]
        text = " ".join(part for part in parts if part)
        if half_column is not None and text:
            text = f"{text} {cells[half_column]}"
        if text not in cache:
            cache[text] = None if is_missing(text) else read_written(text)
        found = cache[text]
        if found is None and not is_missing(text):
            raise doubts.refuse(f'"{text[:50]}" is no time that can be read.', line)
        written.append(found)
    whole = seconds_of_day(written, table, doubts)
    title = headings[columns[0]].title
    known = [each for each in written if each is not None]
    if any(each.seconds is None for each in known):
        line = next(
            r[0] for r, w in zip(table.rows, written, strict=True) if w and w.seconds is None
        )
        raise doubts.refuse("has a date and no time of day.", line)
    form = next((headings[i].form for i in own if headings[i].form), "")
    zone = _row_zone(table, headings, own, known, doubts)
    if not any(each.days for each in known):
        return Times(_without_dates(whole, table, zone, doubts), title)
    order = order_of([each for each in known if each.days], doubts, form)
    check_weekdays(written, order, table, doubts)
    moments: list[Moment | None] = []
    before: datetime | None = None
    for (line, _), each, seconds in zip(table.rows, written, whole, strict=True):
        if each is None or seconds is None:
            moments.append(None)
            continue
        day = each.days.get(order) or each.days.get("named") or next(iter(each.days.values()), None)
        if day is None:
            raise doubts.refuse("has a time of day and no date.", line)
        at = _dated(day, seconds, each.zone or zone, before, line, doubts)
        moments.append(at)
        before = at
    return Times(moments, title)


def _dated(
    day: date,
    seconds: float,
    zone: tzinfo | None,
    before: datetime | None,
    line: int,
    doubts: Doubts,
) -> datetime:
    """A moment; in a zone with summer time the hour that comes twice goes by the row before."""
    if seconds >= 86400 + 1:
        raise doubts.refuse("has an hour over 24.", line)
    at = datetime(day.year, day.month, day.day, tzinfo=zone) + timedelta(seconds=seconds)
    if zone is None or not hasattr(zone, "key"):
        return at
    if at.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != at.replace(tzinfo=None):
        doubts.ask(
            "zone", None,
            f"Line {line}: {at:%Y-%m-%d %H:%M} is no time in {zone}: clocks went forward.",
            "UTC+01:00",
        )  # fmt: skip
    late = at.replace(fold=1)
    if before is not None and late.utcoffset() != at.utcoffset() and at <= before.replace(fold=0):
        return late
    if before is not None and before.fold and late.utcoffset() != at.utcoffset():
        return late
    return at


def _row_zone(
    table: LogTable,
    headings: list[Heading],
    own: list[int],
    known: list[WrittenTime],
    doubts: Doubts,
) -> tzinfo | None:
    letters = {each.letters for each in known if each.letters}
    said = next((headings[i].zone for i in own if headings[i].zone), None)
    column = table.column("zone")
    if column is not None and not said:
        zones = {cells[column] for _, cells in table.rows if cells[column]}
        said = zones.pop() if len(zones) == 1 else None
    if letters and not doubts.answer("zone"):
        doubts.ask("zone", None, f'"{sorted(letters)[0]}" stands for several zones.', "UTC+05:30")
    return zone_above(table, said, doubts)


def _without_dates(
    seconds: list[float | None], table: LogTable, zone: tzinfo | None, doubts: Doubts
) -> list[Moment | None]:
    """Times of day alone: the date is told or stands above the table; midnight begins the next."""
    told = doubts.answer("date")
    texts = [told] if told else [m[1] for m in map(_DATE.search, table.preamble) if m]
    texts += [] if told else [m.string[m.end() :] for m in map(START.search, table.preamble) if m]
    day: date | None = None
    for text in texts:
        written = read_written(text.strip(' ,;"'))
        if written and written.days:
            day = written.days[order_of([written], doubts, None)]
            break
    if day is None:
        doubts.ask("date", None, "Times of day stand there, and no date.", "2027-03-02")
        return [None] * len(seconds)
    moments: list[Moment | None] = []
    last = -1.0
    for each in seconds:
        if each is None:
            moments.append(None)
            continue
        if each < last - 6 * 3600:
            day += timedelta(days=1)
        last = each
        moments.append(
            datetime(day.year, day.month, day.day, tzinfo=zone) + timedelta(seconds=each)
        )
    return moments
