"""An open case among others: what waits, what is likely, when to look next."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from advisor.advice.assess import plan_of, reason_all
from advisor.advice.facts.vocabulary import check_vocabulary
from advisor.advice.reasoner import Reasoner
from advisor.ask.emergency import certain_emergencies
from advisor.ask.hands import pressing_of
from advisor.ask.hours import hours_since_exact
from advisor.ask.rechecks import Due, next_look
from advisor.ask.standing import short
from advisor.case import Case
from advisor.wording.names import STANDING


@dataclass(frozen=True)
class Shelved:
    """An open case: what waits, what is likely, when to look next."""

    path: Path
    case: Case
    waiting: tuple[str, ...]
    likely: str
    reportable: str
    due: Due | None
    left_h: float

    @property
    def urgency(self) -> tuple[bool, bool, float]:
        """Emergencies and notifiable suspicions first, then the look that is due soonest."""
        return not (self.waiting or self.reportable), not self.waiting, self.left_h

    def at(self, now: datetime) -> Shelved:
        """The same case as it waits now, when it was assessed before."""
        return replace(self, left_h=_left(self.case, self.due, now))


def shelved(path: Path, case: Case, reasoner: Reasoner, now: datetime) -> Shelved:
    """Assess an open case for the list. Raises AdvisorError for words the rules do not hold."""
    check_vocabulary(case, reasoner.base, path.name)
    waiting: dict[str, str] = {}
    best = ("", -1000.0)
    reportable = ""
    thoughts = reason_all(case, reasoner)
    plans = [(reasoned, plan_of(reasoned, reasoner)) for reasoned in thoughts]
    plans.sort(key=lambda each: pressing_of(*each))  # as an assessment shows its lots
    calls = [action for each in plans for action in certain_emergencies(*each)]
    if calls:  # the first is the one an assessment begins with
        for action in (*plans[0][1].actions[:1], *calls):
            waiting.setdefault(action.id, short(action.text))
    for reasoned in thoughts:
        cause = reasoned.ranking.causes[0]
        if not reasoned.ranking.not_enough and cause.decibans > best[1]:
            best = (f"{cause.name} {STANDING[cause.standing]}", cause.decibans)
        for each in reasoned.ranking.causes:
            if each.is_likely and each.reportable:
                reportable = reportable or each.name
    unseen = any(held.emergency for _, plan in plans for held in plan.withheld)
    due = next_look(case, urgent=bool(waiting) or unseen)
    left = _left(case, due, now)
    return Shelved(path, case, tuple(waiting.values()), best[0], reportable, due, left)


def _left(case: Case, due: Due | None, now: datetime) -> float:
    return due.at_hours - hours_since_exact(case, now) if due else float("inf")
