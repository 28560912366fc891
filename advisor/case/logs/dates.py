"""The one order of day and month, the zone, and the moment of a written date."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, datetime, timedelta, tzinfo
from itertools import pairwise

from advisor.case.logs.asking import Doubts
from advisor.case.logs.column_words import squash
from advisor.case.logs.moments import ORDERS, WrittenTime, zone_of
from advisor.case.logs.table import LogTable

#: Letters of a written form, such as dd/mm/yyyy or jj/mm/aaaa.
_LETTERS = (("d", "day first"), ("m", "month first"), ("j", "day first"), ("y", "year first"))
_ZONE = re.compile(
    r"\b(?:utc offset|time ?zone|zeitzone|tz|gmt offset|fuseau horaire)\b[\s:=,;]*(.+)", re.I
)


def order_of(written: Sequence[WrittenTime], doubts: Doubts, form: str | None) -> str:
    """The one order of day and month that fits every date; asked where several do."""
    named = [each for each in written if "named" in each.days]
    dates = list(
        {tuple(each.days.items()): each.days for each in written if each not in named}.values()
    )
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
        places = {form.find(letter): name for letter, name in _LETTERS if letter in form}
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
        order: max(abs((b[order] - a[order]).days) for a, b in pairwise(dates)) for order in fitting
    }
    best = min(leaps, key=lambda order: leaps[order])
    return [best] if leaps[best] <= 3 and all(v > 20 for o, v in leaps.items() if o != best) else []


def check_weekdays(
    written: Sequence[WrittenTime | None], order: str, table: LogTable, doubts: Doubts
) -> None:
    for (line, _), each in zip(table.rows, written, strict=True):
        if each is None or each.weekday is None:
            continue
        day = each.days.get(order) or each.days.get("named")
        if day is not None and day.weekday() != each.weekday:
            raise doubts.refuse(f"names a weekday that {day} is not.", line)


def zone_above(table: LogTable, said: str | None, doubts: Doubts) -> tzinfo | None:
    """Zone told, of the heading, or of the preamble; None where none is named."""
    told = doubts.answer("zone")
    texts = [m[1] for m in map(_ZONE.search, table.preamble) if m]
    text = told or said or (texts[0].strip(' ,;"') if texts else "")
    if not text or squash(text) in ("local", "localtime"):
        return None
    found = zone_of(text)
    if found is None:
        if told:
            raise doubts.refuse(
                f'zone "{told}" is none that is known; write +01:00 or Europe/Berlin.'
            )
        doubts.ask("zone", None, f'The zone "{text[:40]}" is none that is known.', "+01:00")
    return found


def moment_of(day: date, written: WrittenTime, zone: tzinfo | None) -> datetime:
    seconds = written.seconds or 0.0
    if written.half:
        seconds += (written.hour % 12 + (12 if written.half == "p" else 0) - written.hour) * 3600
    at = datetime(day.year, day.month, day.day, tzinfo=written.zone or zone)
    return at + timedelta(seconds=seconds)
