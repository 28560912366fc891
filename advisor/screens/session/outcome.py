"""Closing a case: losses at 48 hours by lot, survivors, and a cause that was confirmed."""

from __future__ import annotations

from advisor.advice.facts.sheet import lots_of
from advisor.ask.answers import NotUnderstood, pick
from advisor.ask.answers.choosing import is_none, plain, says_unknown
from advisor.ask.answers.numbers import whole_number
from advisor.ask.answers.parts import changed
from advisor.ask.rechecks import COUNT_H, dead_at
from advisor.case import Lot
from advisor.case.model import Death, Outcome
from advisor.screens.session.controls import Back, Enough, Same
from advisor.screens.session.session import Session, about


def close_case(session: Session) -> int:
    """Ask how it ended, write it down, and close the case."""
    talk = session.talk
    talk.say()
    talk.say("Closing the case. Enter where it is not known; s leaves it open.", strong=True)
    deaths: list[Death] = []
    alive: list[int | None] = []
    for lot in lots_of(session.case):
        dead = _losses(session, lot)
        if dead is not None:
            deaths.append(Death(at_hours=COUNT_H, lot=_lot_name(session, lot), dead=dead))
        alive.append(None if dead is None or lot.count is None else max(0, lot.count - dead))
    causes, by = _confirmed(session)
    known = [heads for heads in alive if heads is not None]
    outcome = changed(
        session.case.outcome,
        closed=True,
        deaths=tuple(deaths) or session.case.outcome.deaths,
        survivors_48h=sum(known) if known and len(known) == len(alive) else None,
        confirmed_causes=causes,
        confirmed_by=by,
    )
    session.keep(changed(session.case, outcome=outcome))
    _say_closed(session, outcome)
    return 0


def _lot_name(session: Session, lot: Lot) -> str:
    return lot.id if session.case.lot else "all"


def _losses(session: Session, lot: Lot) -> int | None:
    """Fish of a lot dead within 48 hours; the last count is offered."""
    talk = session.talk
    counted = dead_at(session.case, lot.id, COUNT_H + 1)
    offer = "" if counted is None else f" Counted so far: {counted}; Enter takes that."
    talk.say(f"{about(lot)}: how many had died 48 hours after they came?{offer}")
    while True:
        line = _line(session)
        if says_unknown(line):
            return counted
        try:
            dead = whole_number(line)
        except NotUnderstood as fault:
            talk.say(str(fault))
            continue
        if lot.count is not None and dead > lot.count:
            talk.say(f"{dead} is more than the {lot.count} that came.")
            continue
        return dead


def _confirmed(session: Session) -> tuple[tuple[str, ...], str | None]:
    """Causes somebody proved, and who; none when it stayed a likelihood."""
    talk, base = session.talk, session.reasoner.base
    talk.say(
        "Was a cause confirmed - by a vet, a laboratory, a microscope, a reading? Its name, "
        "or 0 if none was."
    )
    names = {cause.id: cause.name for cause in base.causes.values()}
    while True:
        line = _line(session)
        if says_unknown(line) or is_none(line):
            return (), None
        try:
            picked = pick(line, names, several=True)
        except NotUnderstood as fault:
            talk.say(str(fault))
            continue
        if not picked.keys:
            talk.say(f'"{plain(line)[:40]}" is no cause of the rule base; try another word of it.')
            continue
        talk.say(f"Noted: {', '.join(names[key] for key in picked.keys)}. By whom?")
        by = _line(session).strip()
        return picked.keys, by[:120] or None


def _line(session: Session) -> str:
    while True:
        try:
            return session._line(None, next(iter(session.thoughts)))
        except (Back, Same, Enough):
            session.talk.say("Enter if it is not known.")


def _say_closed(session: Session, outcome: Outcome) -> None:
    talk = session.talk
    if outcome.survivors_48h is not None:
        talk.say(f"Alive at 48 hours: {outcome.survivors_48h}.")
    talk.say("The case is closed.")
    path = session.keeper.path
    if path is not None:
        talk.say(f"Papers: advisor paper {path} --for vet, supplier or log")
    session.keeper.farewell(session.case)
