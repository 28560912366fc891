"""Which hour after receipt a look has, and how a lot and a due look are called."""

from __future__ import annotations

import re
from datetime import UTC, datetime

from advisor.ask.answers.looks import SAME_LOOK_H
from advisor.ask.answers.parts import changed
from advisor.ask.rechecks import Due
from advisor.case import Case, Lot
from advisor.wording.numbers import fixed
from advisor.wording.times import iso_moment, moment_after

#: The number behind the id of a lot whose kind has several.
_PART = re.compile(r"-\d+$")
#: A clock may be this much before what was written down; a case sleeps no longer than the second.
_CLOCK_H, _LONG_H = 0.1, 24.0 * 120
#: Within so long what is seen belongs to the look before [h].
FRESH_AFTER_H = 0.25


def about(lot: Lot) -> str:
    """A lot in words: "12 neon tetras"."""
    name = lot.species or lot.group or lot.id
    if _PART.search(lot.id) and name != lot.id:  # one of several lots of a kind
        name = f"{name} ({lot.id})"
    return f"{lot.count} {name}" if lot.count else name


def clock_at(case: Case, hours: float = 0.0) -> datetime | None:
    """Local time so many hours after receipt; None when that is not known."""
    try:
        at = moment_after(iso_moment(case.delivery.received or ""), hours)
    except (ValueError, OverflowError):
        return None
    return at if at.tzinfo is None else at.astimezone().replace(tzinfo=None)


def hours_since(case: Case, now: datetime) -> float:
    """Hours from receipt to now; the last look's hour when receipt is not known."""
    last = case.last_hour
    elapsed = _elapsed(case, now)
    return last if elapsed is None else max(last, round(elapsed, 3))


def hours_since_exact(case: Case, now: datetime) -> float:
    """Hours since receipt; the last look's when that is not known, or the clock stands before it.

    A clock that was set back after the last look says nothing of the time since.
    """
    elapsed = _elapsed(case, now)
    return hours_since(case, now) if elapsed is None or clock_fault(case, now) else elapsed


def _elapsed(case: Case, now: datetime) -> float | None:
    """Hours by this computer's clock, summer time and zones reckoned with; None when not known."""
    try:
        received = iso_moment(case.delivery.received or "")
        # times without a zone are those of this place; an hour that summer time takes was none
        return (now.astimezone(UTC) - received.astimezone(UTC)).total_seconds() / 3600
    except (ValueError, OverflowError, OSError):
        return None


def hours_between(case: Case, later: Case) -> float:
    """Hours from the receipt of one state of a case to that of another; 0 where not known."""
    try:
        first, second = (iso_moment(each.delivery.received or "") for each in (case, later))
        return round((second.astimezone(UTC) - first.astimezone(UTC)).total_seconds() / 3600, 4)
    except (ValueError, OverflowError, OSError):
        return 0.0


def clock_fault(case: Case, now: datetime) -> str:
    """What is wrong with this computer's clock beside the case; empty when nothing is."""
    elapsed = _elapsed(case, now)
    last = case.last_hour
    if elapsed is None:
        return ""
    if elapsed < last - _CLOCK_H:
        return (
            f"the clock stands {in_words(last - elapsed).removeprefix('in ')} before the last look "
            "written down: set it right"
        )
    if elapsed > last + _LONG_H:
        return f"{fixed((elapsed - last) / 24)} days lie behind the last look: is the clock right?"
    return ""


def started(case: Case, now: datetime) -> Case:
    """A case with its time of receipt: now, unless it says otherwise."""
    if case.delivery.received is not None or case.observation:
        return case
    # with its zone: the file may be read in another, or after summer time has ended
    received = now.astimezone().isoformat(timespec="seconds")
    return changed(case, delivery=changed(case.delivery, received=received))


def look_hour(case: Case, now: datetime) -> float:
    """The hour this look counts as: the last one's when it was minutes ago, else now."""
    last = case.last_hour
    hours = hours_since(case, now)
    return last if hours - last < FRESH_AFTER_H + SAME_LOOK_H else hours


def due_words(case: Case, due: Due, now: datetime) -> str:
    """ "in 45 min, at 14:32 (1 hour after the first look)" """
    fault = clock_fault(case, now)
    if fault:
        last = case.last_hour
        after = in_words(due.at_hours - last).removeprefix("in ")
        return f"{after} after the last one ({due.name}); {fault}"
    left = due.at_hours - hours_since_exact(case, now)
    moment = clock_at(case, due.at_hours)
    at = ""
    if moment is not None:
        same_day = moment.date() == now.date()
        at = f", at {moment:%H:%M}" if same_day else f", {moment:%d %b %H:%M}"
    return f"{in_words(left)}{at} ({due.name})"


def in_words(hours: float) -> str:
    """ "in 12 min", "in 5 h", "in 3 days", "overdue by 2 h" """
    size = abs(hours)
    if size < 1 / 60:
        return "now"
    span = (
        f"{fixed(size * 60)} min" if size < 1.5 else f"{fixed(size)} h" if size < 48
        else f"{fixed(size / 24)} days"
    )  # fmt: skip
    return f"in {span}" if hours > 0 else f"overdue by {span}"
