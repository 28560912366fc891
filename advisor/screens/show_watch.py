"""Clocks of the lots: how long until each is looked at again; the bell rings for each in turn."""

from __future__ import annotations

import math
import shutil
import sys
import textwrap
import time
from collections.abc import Callable
from datetime import datetime
from typing import TextIO

from advisor.advice.results import Assessment
from advisor.ask.alarms import Alarm, alarms
from advisor.case import Case
from advisor.errors import AdvisorError
from advisor.wording.text import one_line
from advisor.wording.times import day_and_time, span, time_of_day

BELL = "\a"
#: In the last minutes seconds are counted [h].
_SOON_H = 2 / 60


def line(alarm: Alarm, now: datetime) -> str:
    """``14:20  in 12 min  swordtails (15 minutes after the last look)``; in seconds at the end."""
    left = (alarm.at - now).total_seconds() / 3600
    at = time_of_day(alarm.at) if alarm.at.date() == now.date() else day_and_time(alarm.at)
    if 0 < left < _SOON_H:
        when = f"in {math.ceil(left * 3600)} s"
    elif abs(left) < 1 / 120:
        when = "now"
    else:
        when = f"in {span(left)}" if left > 0 else f"{span(-left)} ago"
    return f"{at}  {when:<12} {one_line(alarm.lot)} ({alarm.name})"


def watch(
    case: Case,
    result: Assessment,
    *,
    once: bool = False,
    out: TextIO | None = None,
    clock: Callable[[], datetime] = datetime.now,
    wait: Callable[[float], None] = time.sleep,
) -> int:
    """Show the clocks and ring for each lot when its time has come; ends when all have rung.

    Raises AdvisorError when no look is due. Ctrl-C ends it.
    """
    out = out or sys.stdout
    waiting = alarms(case, result, clock())
    if not waiting:
        why = "the case is closed" if case.outcome.closed else "no look is written down yet"
        raise AdvisorError(f"watch: no look is due: {why}.")
    for alarm in waiting:
        _tell(line(alarm, clock()), out)
    while waiting and not once:
        now = clock()
        if waiting[0].at <= now:
            alarm = waiting.pop(0)
            if out.isatty():
                print("\r" + " " * _room(), end="\r", file=out)
            _tell(f"{BELL}LOOK NOW: {one_line(alarm.lot)}, {alarm.name}", out)
            wait(2.0)  # lots that are due together ring one after the other
            continue
        if out.isatty():
            print(
                f"\r{line(waiting[0], now)[: _room()].ljust(_room())}", end="", flush=True, file=out
            )
        left = (waiting[0].at - now).total_seconds()
        wait(min(1.0 if left < 3600 * _SOON_H else 20.0, max(0.2, left)))
    return 0


def _tell(text: str, out: TextIO) -> None:
    """A line for good; on a terminal it breaks between words."""
    print(textwrap.fill(text, _room()) if out.isatty() else text, flush=True, file=out)


def _room() -> int:
    """Columns that one line may take without going over into the next."""
    return max(20, shutil.get_terminal_size((80, 24)).columns - 1)
