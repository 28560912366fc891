"""Times of day in halves: AM and PM, or hours that run to 12 and begin again."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from advisor.case.logs.asking import Doubts
from advisor.case.logs.moments import WrittenTime
from advisor.case.logs.table import LogTable


def seconds_of_day(
    written: Sequence[WrittenTime | None], table: LogTable, doubts: Doubts
) -> list[float | None]:
    """Seconds of the day, halves of it put right."""
    halves = {each.half for each in written if each}
    told = doubts.answer("am_pm") if halves == {""} else None
    if halves == {""} and _looks_halved(written):
        if not told:
            doubts.ask(
                "am_pm",
                None,
                "Hours run to 12 and begin again, with no AM or PM.",
                "AM at the first row",
            )
        else:
            return _unrolled(written, "pm" in told.lower())
    found: list[float | None] = []
    for (line, _), each in zip(table.rows, written, strict=True):
        if each is None or each.seconds is None:
            found.append(None)
            continue
        late = each.half == "p"
        if (each.half and each.hour > 12 and not late) or (each.hour == 0 and late):
            raise doubts.refuse("has an hour that its AM or PM contradicts.", line)
        twelve = bool(each.half) and each.hour <= 12
        hour = each.hour % 12 + (12 if late else 0) if twelve else each.hour
        found.append(each.seconds + (hour - each.hour) * 3600)
    return found


def _looks_halved(written: Sequence[WrittenTime | None]) -> bool:
    """Whether 12:xx is followed by 1:xx of the same date, no hour being 0 or over 12."""
    hours = [each.hour for each in written if each and each.seconds is not None]
    if not hours or max(hours) > 12 or min(hours) < 1:
        return False
    return any(a == 12 and b == 1 for a, b in pairwise(hours)) or (
        any(a > b + 6 for a, b in pairwise(hours)) and 12 in hours
    )


def _unrolled(written: Sequence[WrittenTime | None], late: bool) -> list[float | None]:
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
