"""Times as a person says them: hours after receipt, with the clock where it is known.

``received`` is always the moment of receipt as the case has it: ISO 8601 text or None.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

from advisor.wording.numbers import exact

#: Longer spans than a thousand years are figures, not times.
LONGEST_H = 9e6
_ISO = re.compile(r"\d{4}-?\d{2}-?\d{2}(?:[Tt ]\d.*)?", re.ASCII)


def iso_moment(text: str) -> datetime:
    """ISO 8601 text as a moment, a date alone as its midnight. Raises ValueError for any other.

    Python itself takes any letter between date and time, so that in 2026-03-16210:30 a digit
    would be passed over.
    """
    if not _ISO.fullmatch(text.strip()):
        raise ValueError("no date and time of ISO 8601")
    return datetime.fromisoformat(text.strip())


def read_moment(text: str | None) -> datetime | None:
    """ISO 8601 text as a moment; None for nothing, a date alone and what is no date."""
    if not text or len(text.strip()) <= 10:
        return None
    try:
        return iso_moment(text)
    except ValueError:
        return None


def day_words(seen_hours: float, latest_hours: float) -> str:
    """Which day of their stay it is; and on which they were looked at last, if on another."""
    seen, now = _day(seen_hours), _day(latest_hours)
    return now if seen == now else f"{now}, last looked at {_ON.get(seen, seen)}"


def _day(hours: float) -> str:
    if hours < 24:
        return "day of arrival"
    if hours < 96:
        return "day 2 to 4"
    return "day 5 to 14" if hours < 14 * 24 else f"day {int(hours // 24) + 1}"


_ON = {"day of arrival": "on the day of arrival", "day 2 to 4": "on day 2 to 4"}


def moment(received: str | None, hours: float) -> datetime | None:
    """Clock time so many hours after receipt, None when it is not known."""
    start = read_moment(received)
    try:
        return None if start is None else moment_after(start, hours)
    except OverflowError:
        return None


def moment_after(start: datetime, hours: float) -> datetime:
    """What the clock in the room shows so many hours after ``start``.

    A start without a zone, or with this computer's, follows summer time here; one of another
    place keeps its own zone. Raises OverflowError beyond what a date can be.
    """
    at = start + timedelta(hours=hours)
    offset, later = offset_here(start), offset_here(at)
    if None in (offset, later) or start.utcoffset() not in (None, offset):
        return at
    at = (start.astimezone(UTC) + timedelta(hours=hours)).astimezone()
    return at if start.tzinfo else at.replace(tzinfo=None)


def offset_here(at: datetime) -> timedelta | None:
    """How far this computer's clock stands from UTC then; None in a year it has no clock for."""
    try:
        return at.astimezone().utcoffset()
    except (ValueError, OverflowError, OSError):
        return None


def clock(received: str | None, hours: float) -> str:
    """``2 Mar 14:20 (+1 h 15 min)``, or the second part alone without a clock."""
    after = after_receipt(hours)
    at = moment(received, hours)
    return after if at is None else f"{day_and_time(at)} ({after})"


def day_and_time(at: datetime) -> str:
    """``2 Mar 14:20``."""
    return f"{at.day} {at:%b} {time_of_day(at)}"


def time_of_day(at: datetime) -> str:
    """``14:20``."""
    return f"{at:%H:%M}"


def day(at: datetime) -> str:
    """``2 March 2027``."""
    return f"{at.day} {at:%B %Y}"


def after_receipt(hours: float) -> str:
    """``+1 h 15 min``; before receipt with a minus; at receipt in words."""
    if abs(hours) < 1 / 120:
        return "at receipt"
    return ("+" if hours > 0 else "−") + span(abs(hours))


def span(hours: float) -> str:
    """A length of time: ``45 min``, ``1 h 15 min``, ``30 h``, ``6 days 4 h``."""
    if not abs(hours) < LONGEST_H:  # a slip in a file; it is shown as it stands there
        return f"{exact(hours)} h"
    minutes = round(hours * 60)
    if minutes < 60:
        return f"{minutes} min"
    if minutes < 72 * 60:
        whole, rest = divmod(minutes, 60)
        return f"{whole} h" + (f" {rest} min" if rest else "")
    days, rest = divmod(round(hours), 24)
    return f"{days} days" + (f" {rest} h" if rest else "")
