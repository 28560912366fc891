"""The open cases of the folder, most urgent first."""

from __future__ import annotations

import shlex
from datetime import datetime
from pathlib import Path

from advisor.advice.reasoner import default_reasoner
from advisor.ask.hours import due_words
from advisor.ask.shelf import Shelved, shelved
from advisor.case.folder import kept_cases, number_in
from advisor.errors import AdvisorError
from advisor.screens.session.talk import Talk

_MOST_SHOWN = 20


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
    name = shlex.quote(each.path.stem)
    talk.say(f"advisor recheck {at}, or {name}", indent=3, whole=name)
