"""Every lot with its next look, the most endangered first, and how things went over the looks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from advisor.ask.alarms import alarms
from advisor.ask.hands import view
from advisor.ask.hours import about
from advisor.page.entry import Guest
from advisor.page.house import House, called, known
from advisor.wording.times import day_and_time, span, time_of_day


@dataclass(frozen=True)
class WatchRow:
    """A lot and when it is looked at again; ``danger``: emergencies that stand against it."""

    mark: str
    id: str
    lot: str
    title: str
    at: datetime
    when: str
    left: str
    name: str
    danger: int
    thought: str
    first: str


def routes(house: House) -> list[Route]:
    return [Route("/watch", known(house, show))]


def show(house: House, request: Request, guest: Guest) -> Response:
    rows, faults = _rows(house)
    return house.page(request, "watch.html.j2", rows=rows, faults=faults)


def _rows(house: House) -> tuple[list[WatchRow], list[str]]:
    desk = house.desk
    rows: list[WatchRow] = []
    faults: list[str] = []
    now = desk.clock()
    for mark, waiting in desk.waiting():
        if isinstance(waiting, str):
            faults.append(waiting)
            continue
        case, result = desk.result(mark)
        lots = {lot.lot: lot for lot in result.lots}
        named = {lot.id: about(lot) for lot in case.lot}
        for alarm in alarms(case, result, now):
            lot = lots[alarm.lot]
            left = (alarm.at - now).total_seconds() / 3600
            same_day = alarm.at.date() == now.date()
            rows.append(
                WatchRow(
                    mark, alarm.lot, named.get(alarm.lot, lot.label), called(case),
                    alarm.at, time_of_day(alarm.at) if same_day else day_and_time(alarm.at),
                    f"in {span(left)}" if left > 0 else f"{span(-left)} ago",
                    alarm.name, sum(action.emergency for action in lot.actions), view(lot),
                    lot.actions[0].text if lot.actions else "",
                )
            )  # fmt: skip
    return sorted(rows, key=lambda row: (-row.danger, row.at)), faults
