"""Closing a case: losses at 48 hours by lot, survivors, and a cause that was confirmed."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TypeVar

from advisor.advice.facts.sheet import lots_of
from advisor.ask.answers import NotUnderstood, pick
from advisor.ask.answers.choosing import is_none, plain
from advisor.ask.answers.field_numbers import whole_number
from advisor.ask.answers.parts import changed
from advisor.ask.hear.line import with_numbers
from advisor.ask.hear.on_file import NONE_SINCE, WHOLE, OnFile, doubt, in_all
from advisor.ask.hours import about
from advisor.ask.inquiry import Inquiry
from advisor.ask.keys import Back, Enough, Same
from advisor.ask.rechecks import COUNT_H, dead_at
from advisor.ask.records import Ask, Talking
from advisor.case import Lot
from advisor.case.model import Death

T = TypeVar("T")


def close_case(at: Inquiry) -> Talking[None]:
    """Ask how it ended, write it down, and close the case."""
    at.say()
    at.say("Closing the case. Enter where it is not known; s leaves it open.", strong=True)
    deaths: list[Death] = []
    alive: list[int | None] = []
    for lot in lots_of(at.case):
        dead = yield from _losses(at, lot)
        if dead is not None:
            where = lot.id if at.case.lot else "all"
            deaths.append(Death(at_hours=COUNT_H, lot=where, dead=dead))
        alive.append(None if dead is None or lot.count is None else max(0, lot.count - dead))
    causes = (yield from _confirmed(at)) or ()
    by = (yield from _until(at, "By whom?", "confirmed_by", str.strip)) if causes else None
    known = [heads for heads in alive if heads is not None]
    outcome = changed(
        at.case.outcome,
        closed=True,
        deaths=tuple(deaths) or at.case.outcome.deaths,
        survivors_48h=sum(known) if known and len(known) == len(alive) else None,
        confirmed_causes=causes,
        confirmed_by=by[:120] if by else None,
    )
    yield from at.keep(changed(at.case, outcome=outcome))
    if outcome.survivors_48h is not None:
        at.say(f"Alive at 48 hours: {outcome.survivors_48h}.")
    at.say("The case is closed.")
    yield from at.out()


def _losses(at: Inquiry, lot: Lot) -> Talking[int | None]:
    """Fish of a lot dead within 48 hours; the last count is offered."""
    counted = dead_at(at.case, lot, COUNT_H + 1)
    offer = "" if counted is None else f" Counted so far: {counted}; Enter takes that."

    def read(line: str) -> int:
        dead = _in_all(line, counted)
        if lot.count is not None and dead > lot.count:
            raise NotUnderstood(f"{dead} is more than the {lot.count} that came.")
        return dead

    text = f"{about(lot)}: how many had died 48 hours after they came?{offer}"
    dead = yield from _until(at, text, "deaths", read)
    return counted if dead is None else dead


def _in_all(line: str, counted: int | None) -> int:
    """All dead by a line; fewer than were counted only when it says so."""
    text = with_numbers(line).casefold()
    if counted is not None and NONE_SINCE.fullmatch(text.strip(" .!")) and text.strip() != "0":
        return counted
    number = re.search(r"\d+", text)
    if number is None or not re.search(r"[^\W\d_]", text):
        dead = whole_number(line)
    else:
        dead = int(number[0])
    if not counted or WHOLE.search(text):
        return dead
    found = in_all(dead, text, False, OnFile(counted))
    if found is None:
        raise NotUnderstood(f"{doubt(dead, counted)} Type it with more, or with in all.")
    return found


def _confirmed(at: Inquiry) -> Talking[tuple[str, ...] | None]:
    """Causes somebody proved; none when it stayed a likelihood."""
    names = {cause.id: cause.name for cause in at.reasoner.base.causes.values()}

    def read(line: str) -> tuple[str, ...]:
        if is_none(line):
            return ()
        keys = pick(line, names, several=True).keys
        if not keys:
            raise NotUnderstood(
                f'"{plain(line)[:40]}" is no cause of the rule base; try another word of it.'
            )
        at.say(f"Noted: {', '.join(names[key] for key in keys)}.")
        return keys

    text = (
        "Was a cause confirmed - by a vet, a laboratory, a microscope, a reading? Its name, "
        "or 0 if none was."
    )
    return (yield from _until(at, text, "confirmed_causes", read))


def _until(at: Inquiry, text: str, follows: str, read: Callable[[str], T]) -> Talking[T | None]:
    ask = Ask("", "", "line", text, follows=follows)
    while True:
        try:
            return (yield from at.until(ask, read, None, at.first_lot))
        except (Back, Same, Enough):
            at.say("Enter if it is not known.")
