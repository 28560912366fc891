"""The end of a sitting: what was concluded is noted, and the next look is named."""

from __future__ import annotations

from datetime import datetime

from advisor.advice.results import Assessment
from advisor.ask.answers.parts import changed
from advisor.ask.rechecks import Due, next_look
from advisor.case import Case
from advisor.case.model import Saved
from advisor.screens.session.session import Session, about, hours_since, received_at

_MOST_KEPT = 40


def keep_result(session: Session, result: Assessment) -> None:
    """Note the assessment in the case, and a title made of the lots when it has none."""
    made = session.clock().replace(microsecond=0).isoformat()
    fresh = tuple(
        Saved(
            made=made,
            program=result.program,
            rulebase=result.rulebase.version,
            fingerprint=result.rulebase.fingerprint,
            lot=lot.lot,
            causes={cause.id: cause.decibans for cause in lot.causes[:5]},
            actions=tuple(action.id for action in lot.actions),
        )
        for lot in result.lots
    )
    case = changed(session.case, assessment=(*session.case.assessment, *fresh)[-_MOST_KEPT:])
    if not case.delivery.title and any(lot.species for lot in case.lot):
        title = ", ".join(about(lot) for lot in case.lot)[:120]
        case = changed(case, delivery=changed(case.delivery, title=title))
    session.case = case
    session.keeper.save(case)


def say_next_look(session: Session) -> None:
    """When to look again."""
    if any(lot.sealed == "yes" for lot in session.case.lot):
        session.talk.say("Bags are still shut; going on with the case leads through opening them.")
        return
    due = next_look(session.case, urgent=bool(session.standing.open()))
    if due is None:
        return
    session.talk.say()
    session.talk.say(f"Next look: {due_words(session.case, due, session.clock())}.", strong=True)
    if session.keeper.path is not None:
        session.talk.say(f"Then: advisor recheck {session.keeper.path}")


def due_words(case: Case, due: Due, now: datetime) -> str:
    """ "in 45 min, at 14:32 (1 hour after the first look)" """
    left = due.at_hours - hours_since_exact(case, now)
    received = received_at(case)
    at = ""
    if received is not None:
        from datetime import timedelta

        moment = received + timedelta(hours=due.at_hours)
        same_day = moment.date() == now.date()
        at = f", at {moment:%H:%M}" if same_day else f", {moment:%d %b %H:%M}"
    return f"{in_words(left)}{at} ({due.name})"


def in_words(hours: float) -> str:
    """ "in 12 min", "in 5 h", "in 3 days", "overdue by 2 h" """
    size = abs(hours)
    if size < 1 / 60:
        return "now"
    span = (
        f"{size * 60:.0f} min" if size < 1.5 else f"{size:.0f} h" if size < 48
        else f"{size / 24:.0f} days"
    )  # fmt: skip
    return f"in {span}" if hours > 0 else f"overdue by {span}"


def hours_since_exact(case: Case, now: datetime) -> float:
    """Hours since receipt; the last look's when that is not known."""
    received = received_at(case)
    return hours_since(case, now) if received is None else (now - received).total_seconds() / 3600
