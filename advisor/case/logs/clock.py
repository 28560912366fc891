"""The times of a log's rows: from one column or several, from a count, or from start and step."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, tzinfo

from advisor.case.logs.asking import Doubts
from advisor.case.logs.figures import is_missing
from advisor.case.logs.headings import Heading
from advisor.case.logs.moments import ORDERS, Written, read_written, zone_of
from advisor.case.logs.table import Table
from advisor.case.logs.words import squash, unit_of
from advisor.wording.numbers import exact

#: A time of a row: a moment, or hours after the receipt where only those are known.
Moment = datetime | float
_SECONDS = {"s": 1.0, "min": 60.0, "h": 3600.0, "d": 86400.0, "ms": 1e-3}
#: Sure to be seconds, or thousandths, since 1970: years 2001 to 2100.
_EPOCH_S, _EPOCH_MS = (1e9, 4.2e9), (1e12, 4.2e12)
_NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?")
_START = re.compile(
    r"\b(?:start(?:ed)?(?: time| date| at)?|mission start|zero\b.*?|begin|beginn|t0|first sample"
    r"|logging started|start of (?:log|run)|date of start)\b(?:[^\d]*?)[\s:=,;]+(?=\d)", re.I,
)  # fmt: skip
_INTERVAL = re.compile(
    r"\b(?:interval|sample rate|step|sampling interval|log interval|sample interval|every|rate"
    r"|logging interval|intervall)\b[\s:=,;]*(.+)", re.I,
)  # fmt: skip
_ZONE = re.compile(r"\b(?:utc offset|time ?zone|zeitzone|tz|gmt offset|fuseau horaire)\b[\s:=,;]*(.+)", re.I)
_DATE = re.compile(r"\b(?:date|datum|day|fecha|jour)\b[\s:=,;]+(.+)", re.I)


@dataclass(frozen=True)
class Times:
    """Moment of each row, None where it has none; ``column``: where they came from."""

    moments: list[Moment | None]
    column: str


def read_times(table: Table, headings: list[Heading], doubts: Doubts) -> Times:
    """The time of every row. What is not said is asked; what cannot be is refused."""
    columns = _time_columns(table, headings, doubts)
    if not columns:
        return _from_step(table, doubts)
    first = columns[0]
    heading = headings[first]
    cells = [cells[first] for _, cells in table.rows]
    given = [cell for cell in cells if cell and not is_missing(cell)]
    if not given:
        raise doubts.refuse(f'the column "{heading.title}" holds no times.')
    numbers = all(_NUMBER.fullmatch(cell) for cell in given[:200])
    if heading.role == "year":
        return _from_parts(table, headings, doubts)
    if heading.role == "after_receipt" or (heading.role in ("moment", "elapsed", "epoch") and numbers):
        return _from_numbers(table, heading, cells, doubts)
    if heading.role == "elapsed":
        return _from_spans(table, heading, cells, doubts)
    return _from_text(table, headings, columns, doubts)


def _time_columns(table: Table, headings: list[Heading], doubts: Doubts) -> list[int]:
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
    table: Table, headings: list[Heading], epoch: int, moments: list[int], doubts: Doubts
) -> None:
    """A readable time beside seconds since 1970 must be the same moment, give or take a zone."""
    for line, cells in table.rows[:1]:
        for i in moments:
            written = read_written(cells[i])
            number = float(cells[epoch]) if _NUMBER.fullmatch(cells[epoch]) else 0.0
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


def _from_step(table: Table, doubts: Doubts) -> Times:
    """No times in the rows: start and interval, from the preamble or told."""
    start, step = _start(table, doubts), _interval(table, doubts)
    if start is None or step is None:
        return Times([None] * len(table.rows), "")
    return Times([_later(start, n * step) for n in range(len(table.rows))], "start and interval")


def _start(table: Table, doubts: Doubts) -> Moment | None:
    told = doubts.answer("start")
    if told:
        if squash(told) == "receipt":
            return 0.0
        hours = re.fullmatch(r"([+-]?\d+(?:\.\d+)?)\s*(?:h|hours)?(?: after receipt)?", told)
        if hours:
            return float(hours[1])
    texts = [told] if told else [m.string[m.end() :] for m in map(_START.search, table.preamble) if m]
    for text in texts:
        written = read_written(text.strip(" ,;\"'"))
        if written and written.days and written.seconds is not None:
            order = _order([written], doubts, None)
            return _at(written.days[order], written, _zone(table, None, doubts))
    if told:
        raise doubts.refuse(f'start "{told}": write a date and time such as 2027-03-02T14:10.')
    doubts.ask("start", None, "The log does not say when it began.", "2027-03-02T14:10")
    return None


def _interval(table: Table, doubts: Doubts) -> float | None:
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


def _from_numbers(table: Table, heading: Heading, cells: list[str], doubts: Doubts) -> Times:
    """A count of time: since 1970, since the start, or not said."""
    values = [float(c.replace(",", ".")) if _NUMBER.fullmatch(c) else None for c in cells]
    given = [value for value in values if value is not None]
    bad = next((n for n, cell in enumerate(cells) if values[n] is None and not is_missing(cell)), None)
    if bad is not None:
        raise doubts.refuse(f'"{cells[bad][:40]}" is no time like those above.', table.rows[bad][0])
    if heading.role == "after_receipt":
        return Times(list(values), heading.title)
    told = doubts.answer("time_unit", heading.title)
    since = _since_1970(heading, given, told, doubts)
    if since:
        for (line, _), cell, value in zip(table.rows, cells, values, strict=True):
            if value is not None and not _EPOCH_S[0] <= value * since <= _EPOCH_S[1]:
                raise doubts.refuse(f'the time "{cell}" lies decades from the rows around it.', line)
        moments = [None if v is None else datetime.fromtimestamp(v * since, UTC) for v in values]
        return Times(list(moments), heading.title)
    if told and re.search(r"18(99|00)|1904|spreadsheet|excel", told):
        found = re.search(r"\d{4}-\d\d-\d\d", told)
        zero = datetime.fromisoformat(found[0] if found else "1899-12-30")
        days = [None if v is None else zero + timedelta(seconds=round(v * 86400)) for v in values]
        return Times(list(days), heading.title)
    unit = _SECONDS.get(unit_of(told, "time")[0]) if told and unit_of(told, "time") else None
    unit = unit or _SECONDS.get(heading.unit or "")
    if unit is None:
        serial = all(30000 < value < 70000 for value in given)
        doubts.ask(
            "time_unit", heading.title,
            f'"{cells[0]}" under "{heading.title}" does not say what it counts.',
            "days since 1899-12-30" if serial else "min",
        )  # fmt: skip
        if serial:
            return Times([None] * len(cells), heading.title)
    back = next((n for n, (a, b) in enumerate(zip(given, given[1:], strict=False), 1) if b < a and b <= given[0]), 0)
    if back and len(given) == len(values):
        return _two_runs(table, heading, given, back, unit, doubts)
    start = _start(table, doubts)
    if start is None or unit is None:
        return Times([None] * len(cells), heading.title)
    return Times([None if v is None else _later(start, v * unit) for v in values], heading.title)


def _two_runs(
    table: Table, heading: Heading, given: Sequence[float], back: int, unit: float | None,
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
    order = _order([second], doubts, None)
    other = _at(second.days[order], second, _zone(table, None, doubts))
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
        raise doubts.refuse(f'"{exact(low, 14)}" under "{heading.title}" is no time of our century.')
    return None


def _from_spans(table: Table, heading: Heading, cells: list[str], doubts: Doubts) -> Times:
    """Elapsed time as hours, minutes and seconds between colons."""
    start = _start(table, doubts)
    moments: list[Moment | None] = []
    for (line, _), cell in zip(table.rows, cells, strict=True):
        found = re.fullmatch(r"(?:(\d+)\s*(?:d|days?|[. ])\s*)?(-)?(\d+):(\d{2})(?::(\d{2})(?:[.,]\d+)?)?", cell)
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


def _from_parts(table: Table, headings: list[Heading], doubts: Doubts) -> Times:
    """Year, month, day, hour and minute in columns of their own."""
    at = {role: table.column(role) for role in ("year", "month", "day", "hour", "minute", "second")}
    if at["month"] is None or at["day"] is None or at["hour"] is None:
        raise doubts.refuse("year, month, day and hour do not all stand there.")
    moments: list[Moment | None] = []
    zone = _zone(table, None, doubts)
    for line, cells in table.rows:
        try:
            numbers = [int(float(cells[i])) if i is not None else 0 for i in at.values()]
            moments.append(datetime(*numbers, tzinfo=zone))  # type: ignore[arg-type,misc]
        except ValueError:
            raise doubts.refuse("is no date and time.", line) from None
    return Times(moments, "year")


def _from_text(table: Table, headings: list[Heading], columns: list[int], doubts: Doubts) -> Times:
    """Dates and times of day as text, in one column or several."""
    half_column = next((i for i in columns if headings[i].role == "am_pm"), None)
    own = [i for i in columns if i != half_column]
    hours = [i for i in own if headings[i].role == "hour"]
    cache: dict[str, Written | None] = {}
    written: list[Written | None] = []
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
    whole = _halves(written, table, doubts)
    title = headings[columns[0]].title
    known = [each for each in written if each is not None]
    if any(each.seconds is None for each in known):
        line = next(r[0] for r, w in zip(table.rows, written, strict=True) if w and w.seconds is None)
        raise doubts.refuse("has a date and no time of day.", line)
    form = next((headings[i].form for i in own if headings[i].form), "")
    zone = _row_zone(table, headings, own, known, doubts)
    if not any(each.days for each in known):
        return Times(_without_dates(whole, table, zone, doubts), title)
    order = _order([each for each in known if each.days], doubts, form)
    _check_weekdays(written, order, table, doubts)
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
    day: date, seconds: float, zone: tzinfo | None, before: datetime | None, line: int, doubts: Doubts
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
            f"Line {line}: {at:%Y-%m-%d %H:%M} does not exist in {zone}, where clocks went forward.",
            "UTC+01:00",
        )  # fmt: skip
    late = at.replace(fold=1)
    if before is not None and late.utcoffset() != at.utcoffset() and at <= before.replace(fold=0):
        return late
    if before is not None and before.fold and late.utcoffset() != at.utcoffset():
        return late
    return at


def _halves(
    written: Sequence[Written | None], table: Table, doubts: Doubts
) -> list[float | None]:
    """Seconds of the day, halves of it put right."""
    halves = {each.half for each in written if each}
    told = doubts.answer("am_pm") if halves == {""} else None
    if halves == {""} and _looks_halved(written):
        if not told:
            doubts.ask("am_pm", None, "Hours run to 12 and begin again, with no AM or PM.", "AM at the first row")
        else:
            return _unrolled(written, "pm" in told.lower())
    found: list[float | None] = []
    for (line, _), each in zip(table.rows, written, strict=True):
        if each is None or each.seconds is None:
            found.append(None)
            continue
        late = each.half == "p"
        if each.half and each.hour > 12 and not late or (each.hour == 0 and late):
            raise doubts.refuse("has an hour that its AM or PM contradicts.", line)
        twelve = bool(each.half) and each.hour <= 12
        hour = each.hour % 12 + (12 if late else 0) if twelve else each.hour
        found.append(each.seconds + (hour - each.hour) * 3600)
    return found


def _looks_halved(written: Sequence[Written | None]) -> bool:
    """Whether 12:xx is followed by 1:xx of the same date, no hour being 0 or over 12."""
    hours = [each.hour for each in written if each and each.seconds is not None]
    if not hours or max(hours) > 12 or min(hours) < 1:
        return False
    return any(a == 12 and b == 1 for a, b in zip(hours, hours[1:], strict=False)) or any(
        a > b + 6 for a, b in zip(hours, hours[1:], strict=False)
    ) and 12 in hours


def _unrolled(written: Sequence[Written | None], late: bool) -> list[float | None]:
    """Hours of halves of a day: each step back begins the next half."""
    found: list[float | None] = []
    last = -1.0
    for each in written:
        if each is None or each.seconds is None:
            found.append(None)
            continue
        seconds = each.seconds % 43200
        if seconds < last:
            late = not late
        last = seconds
        found.append(seconds + (43200 if late else 0))
    return found


def _row_zone(
    table: Table, headings: list[Heading], own: list[int], known: list[Written], doubts: Doubts
) -> tzinfo | None:
    letters = {each.letters for each in known if each.letters}
    said = next((headings[i].zone for i in own if headings[i].zone), None)
    column = table.column("zone")
    if column is not None and not said:
        zones = {cells[column] for _, cells in table.rows if cells[column]}
        said = zones.pop() if len(zones) == 1 else None
    if letters and not doubts.answer("zone"):
        doubts.ask("zone", None, f'"{sorted(letters)[0]}" stands for several zones.', "UTC+05:30")
    return _zone(table, said, doubts)


def _zone(table: Table, said: str | None, doubts: Doubts) -> tzinfo | None:
    """Zone told, of the heading, or of the preamble; None where none is named."""
    told = doubts.answer("zone")
    texts = [m[1] for m in map(_ZONE.search, table.preamble) if m]
    text = told or said or (texts[0].strip(" ,;\"") if texts else "")
    if not text or squash(text) in ("local", "localtime"):
        return None
    found = zone_of(text)
    if found is None:
        if told:
            raise doubts.refuse(f'zone "{told}" is none that is known; write +01:00 or Europe/Berlin.')
        doubts.ask("zone", None, f'The zone "{text[:40]}" is none that is known.', "+01:00")
    return found


def _order(written: Sequence[Written], doubts: Doubts, form: str | None) -> str:
    """The one order of day and month that fits every date; asked where several do."""
    named = [each for each in written if "named" in each.days]
    dates = list({tuple(each.days.items()): each.days for each in written if each not in named}.values())
    if not dates:
        return "named"
    told = squash(doubts.answer("date_order") or "")
    if told:
        return next((order for order in ORDERS if squash(order) == told), "day first")
    fitting = [order for order in ORDERS if all(order in days for days in dates)]
    if not fitting:  # the form changes midway: each date must then have one meaning of its own
        loose = [days for days in dates if len(set(days.values())) > 1 and len(days) > 1]
        if not loose:
            return "mixed"
        fitting = [order for order in ORDERS if any(order in days for days in dates)]
    if form and len(fitting) > 1:
        places = {form.find(letter): name for letter, name in (("d", "day first"), ("m", "month first"),
                  ("j", "day first"), ("y", "year first")) if form.find(letter) >= 0}  # fmt: skip
        first = places[min(places)] if places else ""
        fitting = [first] if first in fitting else fitting
    if len(fitting) > 1 and all(len({days[o] for o in fitting}) == 1 for days in dates):
        return fitting[0]
    if len(fitting) > 1:
        fitting = _even(dates, fitting) or fitting
    weekdays = [each for each in written if each.weekday is not None]
    if len(fitting) > 1 and weekdays:
        fits = [o for o in fitting if all(e.days[o].weekday() == e.weekday for e in weekdays)]
        fitting = fits if len(fits) == 1 else fitting
    if len(fitting) > 1:
        shown = " or ".join(str(dates[0][order]) for order in fitting)
        doubts.ask("date_order", None, f"The first date can be {shown}.", fitting[0])
    return fitting[0]


def _even(dates: list[dict[str, date]], fitting: list[str]) -> list[str]:
    """The order in which dates follow day upon day, when the others leap by weeks."""
    if len(dates) < 2:
        return []
    leaps = {
        order: max(abs((b[order] - a[order]).days) for a, b in zip(dates, dates[1:], strict=False))
        for order in fitting
    }
    best = min(leaps, key=lambda order: leaps[order])
    return [best] if leaps[best] <= 3 and all(v > 20 for o, v in leaps.items() if o != best) else []


def _check_weekdays(
    written: Sequence[Written | None], order: str, table: Table, doubts: Doubts
) -> None:
    for (line, _), each in zip(table.rows, written, strict=True):
        if each is None or each.weekday is None:
            continue
        day = each.days.get(order) or each.days.get("named")
        if day is not None and day.weekday() != each.weekday:
            raise doubts.refuse(f"names a weekday that {day} is not.", line)


def _without_dates(
    seconds: list[float | None], table: Table, zone: tzinfo | None, doubts: Doubts
) -> list[Moment | None]:
    """Times of day alone: the date is told or stands above the table; midnight begins the next."""
    told = doubts.answer("date")
    texts = [told] if told else [m[1] for m in map(_DATE.search, table.preamble) if m]
    texts += [] if told else [m.string[m.end() :] for m in map(_START.search, table.preamble) if m]
    day: date | None = None
    for text in texts:
        written = read_written(text.strip(" ,;\""))
        if written and written.days:
            day = written.days[_order([written], doubts, None)]
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
        moments.append(datetime(day.year, day.month, day.day, tzinfo=zone) + timedelta(seconds=each))
    return moments


def _at(day: date, written: Written, zone: tzinfo | None) -> datetime:
    seconds = written.seconds or 0.0
    if written.half:
        seconds += (written.hour % 12 + (12 if written.half == "p" else 0) - written.hour) * 3600
    at = datetime(day.year, day.month, day.day, tzinfo=written.zone or zone)
    return at + timedelta(seconds=seconds)
