"""Closing a case: losses by lot, survivors, and a cause that was confirmed."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TypeVar

from advisor.advice.facts.sheet import lots_of
from advisor.ask.answers.choosing import NotUnderstood, is_none, is_yes, pick, plain
from advisor.ask.answers.field_numbers import read_number, whole_number
from advisor.ask.answers.parts import changed
from advisor.ask.emergency import certain_emergencies
from advisor.ask.hands import first_sentence
from advisor.ask.hear.line import with_numbers
from advisor.ask.hear.on_file import NONE_SINCE, WHOLE, OnFile, doubt, in_all
from advisor.ask.hours import about
from advisor.ask.inquiry import Inquiry
from advisor.ask.keys import Back, Enough, Same
from advisor.ask.rechecks import COUNT_H, dead_at
from advisor.ask.records import Ask, Talking
from advisor.case import Lot
from advisor.case.model import Death
from advisor.wording.times import span

T = TypeVar("T")
#: So long after the count at 48 hours was due, nobody is asked for it: what died in all is known.
LATE_H = COUNT_H + 24.0
#: Who proved a cause, and how, where the line that names the cause says it.
_WHO = re.compile(r"\b(?:dr\.? +\w+|vet(?:erinarian|s)?|lab(?:oratory)?)\b", re.I)
_SCRAPED = re.compile(r"\b(?:scrap(?:e|ed|ing)|(?:micro)?scope)\b", re.I)
_UNSCRAPED = re.compile(r"\b(?:no|not|never|without|un)\b", re.I)
#: What the case holds of a scrape.
SCRAPE, PARASITE = "scrape_done", "scrape_parasite"


def close_case(at: Inquiry) -> Talking[None]:
    """Ask how it ended, write it down, and close the case."""
    if not (yield from _close_all_the_same(at)):
        return
    at.say()
    at.say("Closing the case. s leaves it open.", strong=True)
    now = at.hours_now()
    deaths: list[Death] = []
    alive: list[int | None] = []
    for lot in lots_of(at.case):
        dead = yield from _losses(at, lot, now)
        hours = COUNT_H if _asks_of_count(now) else now
        if dead and now >= LATE_H:
            hours = yield from _by_when(at, lot, dead, now)
        if dead is not None:
            _say_fewer(at, lot, dead, hours)
            where = lot.id if at.case.lot else "all"
            deaths.append(Death(at_hours=hours, lot=where, dead=dead))
        alive.append(None if dead is None or lot.count is None else max(0, lot.count - dead))
    causes, by = yield from _proved(at)
    known = [heads for heads in alive if heads is not None]
    left = sum(known) if known and len(known) == len(alive) else None
    outcome = changed(
        at.case.outcome,
        closed=True,
        deaths=tuple(deaths) or at.case.outcome.deaths,
        survivors_48h=left if _asks_of_count(now) else None,
        confirmed_causes=causes,
        confirmed_by=by[:120] if by else None,
    )
    yield from at.keep(changed(at.case, outcome=outcome))
    if left is not None:
        at.say(f"Alive {'at 48 hours' if _asks_of_count(now) else 'now'}: {left}.")
    at.say("The case is closed.")
    yield from at.out()


def _asks_of_count(now: float) -> bool:
    """Whether the count at 48 hours is behind, and near enough to be told."""
    return COUNT_H <= now < LATE_H


def _close_all_the_same(at: Inquiry) -> Talking[bool]:
    """Bags told shut and steps that cannot wait are named; closing over them is asked once."""
    several = len(at.case.lot) > 1
    open_still: dict[str, list[str]] = {}
    for lot, thought in at.thoughts.items():
        sheet = thought.reasoned.sheet
        if sheet.situation.place == "closed_bag" and sheet.situation.told:
            open_still.setdefault("The bag is told shut", []).append(lot)
        for action in certain_emergencies(thought.reasoned, thought.plan):
            if action.id not in sheet.done:
                text = f"Not done yet: {first_sentence(action.text).rstrip('.')}"
                open_still.setdefault(text, []).append(lot)
    if not open_still:
        return True
    at.say()
    for text, lots in open_still.items():
        which = f" ({', '.join(lots)})" if several else ""
        at.say(f"{text}{which}.", "!!", strong=True)
    ask = "Close the case all the same? y closes it now; Enter keeps it open."
    try:
        closes = is_yes((yield from at.enter(ask, "close")))
    except (Back, Same, Enough):
        closes = False
    if not closes:
        at.say("The case stays open.")
        yield from at.out()
    return closes


def _losses(at: Inquiry, lot: Lot, now: float) -> Talking[int | None]:
    """Fish of a lot dead by the hour that is asked of; the last count is offered."""
    counted = dead_at(at.case, lot, COUNT_H + 1 if _asks_of_count(now) else now)
    end = "Enter if it is not known."
    if counted is not None:
        end = f"Counted so far: {counted}; Enter takes that, u if it is not known."

    def read(line: str) -> int:
        dead = _in_all(line, counted)
        if lot.count is not None and dead > lot.count:
            raise NotUnderstood(f"{dead} is more than the {lot.count} that came.")
        return dead

    asked = (
        "had died 48 hours after they came" if _asks_of_count(now) else "have died in all by now"
    )
    kept = "" if counted is None else str(counted)
    text = f"{about(lot)}: how many {asked}? {end}"
    dead = yield from _until(at, text, "deaths", read, kept=kept)
    return counted if dead is None and not at.last_line.strip() else dead


def _by_when(at: Inquiry, lot: Lot, dead: int, now: float) -> Talking[float]:
    """The hour by which they had died, as far as it is told; now otherwise."""

    def read(line: str) -> float:
        hours = read_number(line, "look.at_hours").value
        if hours > now:
            raise NotUnderstood(f"They came only {span(now)} ago.")
        return hours

    text = (
        f"{about(lot)}: how long after they came had the last of these {dead} died, like "
        "3 days? Enter if it is not known."
    )
    hours = yield from _until(at, text, "died_by", read)
    return now if hours is None else hours


def _say_fewer(at: Inquiry, lot: Lot, dead: int, hours: float) -> None:
    """Said at once where a look counted otherwise than what is told now."""
    before = dead_at(at.case, lot, hours)
    if before is not None and before > dead:
        at.say(
            f"A look counted {before} dead by then and this is {dead}: one of the two is wrong, "
            "and the papers say so.",
            strong=True,
        )


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


def _proved(at: Inquiry) -> Talking[tuple[tuple[str, ...], str | None]]:
    """Causes somebody proved, and who: asked only where the same line does not say."""
    causes = (yield from _confirmed(at)) or ()
    if not causes:
        return (), None
    line = at.last_line
    yield from _scraped(at, causes, line)
    who = _WHO.search(line)
    if who is not None:
        at.say(f"By: {who[0]}.")
        return causes, who[0]
    text = "By whom? Enter if it is not known."
    return causes, (yield from _until(at, text, "confirmed_by", str.strip))


def _scraped(at: Inquiry, causes: tuple[str, ...], line: str) -> Talking[None]:
    """A scrape told of with its parasite, kept where there is one lot it can be of."""
    history, lots = at.reasoner.base.history, at.case.lot
    if len(lots) != 1 or len(causes) != 1 or not {SCRAPE, PARASITE} <= set(history):
        return
    found = causes[0] in history[PARASITE].answers
    if not found or not _SCRAPED.search(line) or _UNSCRAPED.search(line):
        return
    told = {**lots[0].history, SCRAPE: "parasite_found", PARASITE: causes[0]}
    yield from at.keep(changed(at.case, lot=(changed(lots[0], history=told),)))
    at.say(f"{history[SCRAPE].name[:1].upper()}{history[SCRAPE].name[1:]}: parasite found.")


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


def _until(
    at: Inquiry, text: str, follows: str, read: Callable[[str], T], *, kept: str = ""
) -> Talking[T | None]:
    ask = Ask("", "", "line", text, follows=follows, kept=kept)
    while True:
        try:
            return (yield from at.until(ask, read, None, at.first_lot))
        except (Back, Same, Enough):
            at.say("u if it is not known; s leaves the case open.")
