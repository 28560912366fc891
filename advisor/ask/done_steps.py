"""Steps that were ticked: which, for which lots and when, and a tick taken back.

The case holds what was done, and nothing of a tick that was wrong: whoever reads it reads
what happened.
"""

from __future__ import annotations

from dataclasses import dataclass

from advisor.ask.answers.looks import SAME_LOOK_H, without_done
from advisor.case import Case
from advisor.rulebase import RuleBase
from advisor.wording.times import day_and_time, moment, span, time_of_day


@dataclass(frozen=True)
class DoneStep:
    """A step of the rules that stands as done; ``lots`` are ids, or "all"."""

    action: str
    lots: tuple[str, ...]
    at_hours: float


def ticked_at(case: Case, hours: float) -> str:
    """The time of day, with its date where a look came on a later one; else how long after them."""
    at = moment(case.delivery.received, hours)
    if at is None:
        return f"{span(hours)} after they came"
    last = moment(case.delivery.received, case.last_hour)
    return time_of_day(at) if last is None or last.date() == at.date() else day_and_time(at)


def done_steps(case: Case, base: RuleBase) -> list[DoneStep]:
    """The last tick of each step, in the order of time."""
    last: dict[str, float] = {}
    for look in case.observation:
        for action in (each for each in look.done if each in base.actions):
            last[action] = max(look.at_hours, last.get(action, look.at_hours))
    found = []
    for action, hours in sorted(last.items(), key=lambda pair: pair[1]):
        lots = [
            look.lot
            for look in case.observation
            if action in look.done and abs(look.at_hours - hours) < SAME_LOOK_H
        ]
        found.append(DoneStep(action, tuple(dict.fromkeys(lots)), hours))
    return found


def taken_back(case: Case, step: DoneStep) -> Case:
    """The case without that tick."""
    return without_done(case, step.action, step.lots, step.at_hours)
