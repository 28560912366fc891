"""Times of a log as hours after receipt: elapsed, ISO 8601, dates with day or month first."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from advisor.errors import AdvisorError

Order = Literal["day-first", "month-first"]
_DATE = re.compile(
    r"(\d{1,4})([./-])(\d{1,2})\2(\d{2,4})[ T,]+"
    r"(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,]\d+)?)?\s*([ap]m)?",
    re.IGNORECASE,
)
#: Dates farther from receipt than this many hours are taken for a mistake.
EARLIEST_H, LATEST_H = -24.0 * 60, 24.0 * 366
_UNSURE = (
    'dates such as "{}" can be day first or month first; say which with '
    "--dates day-first or --dates month-first."
)


@dataclass(frozen=True)
class Clock:
    """How the times of one log are read.

    start   : moment of receipt, None when the case does not say it
    per_unit: hours in one unit of elapsed time
    zero_h  : hours after receipt at which elapsed time is 0
    order   : of dates in numbers
    """

    start: datetime | None
    per_unit: float = 1.0
    zero_h: float = 0.0
    order: Order = "day-first"

    def hours(self, text: str) -> float:
        """Hours after receipt. Raises AdvisorError with the reason why not."""
        number = _number(text)
        if number is not None:
            return self._near(self.zero_h + number * self.per_unit)
        at = moment_in(text, self.order)
        if at is None:
            raise AdvisorError("not a time")
        if self.start is None:
            raise AdvisorError("the case does not say when the delivery was received")
        return self._near(_apart(at, self.start))

    def _near(self, hours: float) -> float:
        if not EARLIEST_H <= hours <= LATEST_H:
            raise AdvisorError("time is months away from receipt")
        return round(hours, 5)


def _apart(at: datetime, start: datetime) -> float:
    """Hours between; where only one of them names its zone both are taken as written."""
    if (at.tzinfo is None) != (start.tzinfo is None):
        at, start = at.replace(tzinfo=None), start.replace(tzinfo=None)
    return (at - start) / timedelta(hours=1)


def _number(text: str) -> float | None:
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return None


def moment_in(text: str, order: Order) -> datetime | None:
    """A date and time as it stands in a log, None when it is none."""
    text = text.strip()
    try:
        return datetime.fromisoformat(text) if len(text) > 10 else None
    except ValueError:
        pass
    found = _DATE.fullmatch(text)
    if found is None:
        return None
    first, second, year = int(found[1]), int(found[3]), int(found[4])
    if len(found[1]) == 4:
        year, month, day = first, second, int(found[4])
    else:
        day, month = (first, second) if order == "day-first" else (second, first)
        year += 2000 if year < 100 else 0
    hour = int(found[5])
    if found[8]:
        hour = hour % 12 + (12 if found[8].lower() == "pm" else 0)
    try:
        return datetime(year, month, day, hour, int(found[6]), int(found[7] or 0))
    except ValueError:
        return None


def order_of(texts: Iterable[str], start: datetime | None) -> Order:
    """Whether dates in numbers name the day or the month first.

    Points between the numbers mean day first; a number over 12 settles it; else
    the receipt does, if only one reading lies within a year of it on every row.
    Raises AdvisorError when it stays open.
    """
    some = ""
    kept: list[str] = []
    for text in texts:
        found = _DATE.fullmatch(text.strip())
        if found is None or len(found[1]) == 4 or found[2] == ".":
            continue
        if int(found[1]) > 12:
            return "day-first"
        if int(found[3]) > 12:
            return "month-first"
        some = some or text.strip()
        kept.append(text)
    if not some or all(_same_both_ways(text) for text in kept):
        return "day-first"
    fits = [order for order in _ORDERS if start and _near_receipt(kept, order, start)]
    if len(fits) == 1:
        return fits[0]
    raise AdvisorError(_UNSURE.format(some[:40]))


_ORDERS: tuple[Order, Order] = ("day-first", "month-first")
#: A log begins within this many days of the receipt, in the reading that is right.
_NEAR_DAYS = 20


def _same_both_ways(text: str) -> bool:
    found = _DATE.fullmatch(text.strip())
    return found is not None and found[1].lstrip("0") == found[3].lstrip("0")


def _near_receipt(texts: list[str], order: Order, start: datetime) -> bool:
    moments = [moment_in(text, order) for text in (texts[0], texts[-1])]
    limit = 24 * _NEAR_DAYS
    return all(at is not None and abs(_apart(at, start)) <= limit for at in moments)
