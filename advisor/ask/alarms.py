"""When each lot of a delivery is looked at again, by the clock."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from advisor.advice.results import Assessment
from advisor.ask.hours import clock_at
from advisor.ask.rechecks import next_look
from advisor.case import Case


@dataclass(frozen=True)
class Alarm:
    """When a lot is to be looked at, and which look that is."""

    lot: str
    at: datetime
    name: str


def alarms(case: Case, result: Assessment, now: datetime) -> list[Alarm]:
    """The next look at each lot, the soonest first; none for a closed case.

    Without a time of receipt the last look is taken to be now.
    """
    last = case.last_hour
    found = []
    for lot in result.lots:
        due = next_look(case, urgent=lot.urgent)
        if due is not None:
            at = clock_at(case, due.at_hours) or now + timedelta(hours=due.at_hours - last)
            found.append(Alarm(lot.lot, at, due.name))
    return sorted(found, key=lambda alarm: alarm.at)
