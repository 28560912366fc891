"""The open cases of the folder, most urgent first."""

from __future__ import annotations

import shlex
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from advisor.advice.assess import Reasoner, default_reasoner, plan_of, reason
from advisor.advice.facts.sheet import lots_of
from advisor.advice.facts.vocabulary import check_vocabulary
from advisor.ask.emergency import certain_emergencies
from advisor.ask.hours import due_words, hours_since_exact
from advisor.ask.rechecks import Due, next_look
from advisor.ask.standing import short
from advisor.case import Case
from advisor.case.folder import kept_cases, number_in
from advisor.errors import AdvisorError
from advisor.screens.session.talk import Talk
from advisor.wording.names import STANDING

_MOST_SHOWN = 20


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


def show_open_cases(talk: Talk, folder: Path, now: datetime | None = None) -> None:
    """One short paragraph for each open case; files that cannot be read are named."""
    now = now or datetime.now()
    reasoner = default_reasoner()
    found: list[Shelved] = []
    closed, faults = 0, []
    for kept in kept_cases(folder):
        if kept.case is None:
            faults.append(kept.fault)
        elif kept.case.outcome.closed:
            closed += 1
        else:
            try:
                found.append(shelved(kept.path, kept.case, reasoner, now))
            except AdvisorError as fault:
                faults.append(f"{kept.path.name}: {str(fault).splitlines()[0]}")
    found.sort(key=lambda each: each.urgency)
    talk.say(f"Open cases in {folder}" if found else f"No open case in {folder}", strong=True)
    for each in found[:_MOST_SHOWN]:
        _one(talk, number_in(folder, each.path), each, now)
    if len(found) > _MOST_SHOWN:
        talk.say(f"and {len(found) - _MOST_SHOWN} more.")
    if closed:
        talk.say(f"{closed} closed.")
    for sentence in faults:
        talk.say(f"Not readable: {sentence}")


def shelved(path: Path, case: Case, reasoner: Reasoner, now: datetime) -> Shelved:
    """Assess an open case for the list. Raises AdvisorError for words the rules do not hold."""
    check_vocabulary(case, reasoner.base, path.name)
    done = {action for look in case.observation for action in look.done}
    waiting: dict[str, str] = {}
    best = ("", -1000.0)
    reportable = ""
    for lot in lots_of(case):
        reasoned = reason(case, lot, reasoner)
        plan = plan_of(reasoned, reasoner)
        for action in certain_emergencies(reasoned, plan):
            if action.id not in done:
                waiting.setdefault(action.id, short(action.text))
        cause = reasoned.ranking.causes[0]
        if not reasoned.ranking.not_enough and cause.decibans > best[1]:
            best = (f"{cause.name} {STANDING[cause.standing]}", cause.decibans)
        for each in reasoned.ranking.causes:
            if (
                each.standing in ("very_likely", "likely")
                and reasoner.base.causes[each.id].reportable
            ):
                reportable = reportable or each.name
    due = next_look(case, urgent=bool(waiting))
    left = due.at_hours - hours_since_exact(case, now) if due else float("inf")
    return Shelved(path, case, tuple(waiting.values()), best[0], reportable, due, left)


def _one(talk: Talk, at: int, each: Shelved, now: datetime) -> None:
    title = each.case.delivery.title or each.path.stem
    lead = f"{at}. "
    likely = f" - {each.likely}" if each.likely else ""
    talk.say(f"{lead}{title}{likely}", hang=len(lead), strong=bool(each.waiting))
    if each.waiting:
        talk.say(f"!! to do now: {'; '.join(each.waiting[:3])}", indent=3, hang=3)
    if each.reportable:
        talk.say(f"!! notifiable in places: {each.reportable}; ask the authority", indent=3, hang=3)
    if each.due is not None:
        talk.say(f"next look {due_words(each.case, each.due, now)}", indent=3)
    talk.say(f"advisor recheck {at}, or {shlex.quote(each.path.stem)}", indent=3)
