"""Closing a case: losses by lot, survivors, and a cause that was confirmed."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TypeVar

from advisor.advice.facts.sheet import lots_of
from advisor.ask.answers.choosing import NotUnderstood, is_none, is_yes, pick, plain
from advisor.ask.answers.field_numbers import whole_number
from advisor.ask.answers.parts import changed
from advisor.ask.boxes_named import shared_out
from advisor.ask.days_of_deaths import deaths_by_day
from advisor.ask.emergency import certain_emergencies
from advisor.ask.hands import first_sentence
from advisor.ask.hear.line import with_numbers
from advisor.ask.hear.on_file import NONE_SINCE, WHOLE, OnFile, doubt, in_all
from advisor.ask.hours import about
from advisor.ask.inquiry import Inquiry
from advisor.ask.keys import Back, Enough, Same
from advisor.ask.rechecks import COUNT_H, dead_at, nobody_lives
from advisor.ask.records import Ask, Keep, Talking
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
        told = [] if dead is None else [(COUNT_H if _asks_of_count(now) else now, dead)]
        if dead and now >= LATE_H:
            told = yield from _by_when(at, lot, dead, now)
        for hours, by_then in told:
            _say_fewer(at, lot, by_then, hours)
            where = lot.id if at.case.lot else "all"
            deaths.append(Death(at_hours=hours, lot=where, dead=by_then))
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
    at.case = changed(at.case, outcome=outcome)
    yield from at.out()
    yield Keep(at.case)
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
        if nobody_lives(at.case, thought.lot):
            continue
        sheet = thought.reasoned.sheet
        if sheet.situation.place == "closed_bag" and sheet.situation.told:
            open_still.setdefault("The bag is told shut", []).append(lot)
        for action in certain_emergencies(thought.reasoned, thought.plan):
            if action.id not in sheet.settled:
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


def _by_when(at: Inquiry, lot: Lot, dead: int, now: float) -> Talking[list[tuple[float, int]]]:
    """(hours, dead by then): asked of those that no look counted, now where it is not known."""
    counted = dead_at(at.case, lot, now) or 0
    more = dead - counted
    if more <= 0:
        return [(now, dead)]

    def read(line: str) -> list[tuple[float, int]]:
        return deaths_by_day(line, more, now)

    which = f"{more} more than the looks counted" if counted else f"these {more}"
    text = (
        f"{about(lot)}: when did {which} die? By day, like 2 on day 3, 4 on day 10; or one time "
        "for all, like 3 days. Enter if it is not known."
    )
    told = (yield from _until(at, text, "died_by", read)) or []
    found = []
    counts = {hours for hours in _counted_at(at, lot) if told and hours > told[0][0]}
    for hours in sorted({hours for hours, _ in told} | counts):
        looks = dead_at(at.case, lot, hours) or 0
        found.append((hours, looks + sum(heads for by, heads in told if by <= hours)))
    return found if found and found[-1][1] == dead else [*found, (now, dead)]


def _counted_at(at: Inquiry, lot: Lot) -> set[float]:
    """The hours of the looks that counted the dead of a lot."""
    looks = (look for _, look in at.case.looks_at(lot.id))
    return {look.at_hours for look in looks if look.counts.dead is not None}


def _say_fewer(at: Inquiry, lot: Lot, dead: int, hours: float) -> None:
    """Said at once where a look counted otherwise than what is told now."""
    before = dead_at(at.case, lot, hours)
    same = any(abs(each - hours) < 1e-6 for each in _counted_at(at, lot))
    if before is not None and (before > dead or (same and before < dead)):
        when = f"{span(hours)} after they came" if same else "by then"
        at.say(
            f"A look counted {before} dead {when} and this is {dead}: one of the two is wrong, "
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
    """A scrape told of with its parasite, kept of the lots it was of and asked no more."""
    history = at.reasoner.base.history
    if not at.case.lot or not {SCRAPE, PARASITE} <= set(history):
        return
    found = [cause for cause in causes if cause in history[PARASITE].answers]
    if not found or not _SCRAPED.search(line) or _UNSCRAPED.search(line):
        return
    mine = yield from _scraped_lots(at, found[0], line)
    told = {SCRAPE: "parasite_found", PARASITE: found[0]}
    lots = tuple(
        changed(lot, history={**lot.history, **told}) if lot.id in mine else lot
        for lot in at.case.lot
    )
    at.case = changed(at.case, lot=lots)
    name, which = history[SCRAPE].name, f" ({', '.join(mine)})" if len(at.case.lot) > 1 else ""
    at.say(f"{name[:1].upper()}{name[1:]}{which}: parasite found.")


def _scraped_lots(at: Inquiry, cause: str, line: str) -> Talking[tuple[str, ...]]:
    """The lots a scrape was of: the only one, those the line names, those likely ill; or asked."""
    lots = at.case.lot
    named = tuple(lot for lot in shared_out(line, lots, "", at.reasoner.base).said if lot)
    ill = tuple(
        lot
        for lot, thought in at.thoughts.items()
        if any(each.id == cause and each.is_likely for each in thought.reasoned.ranking.causes)
    )
    if len(lots) == 1 or named or len(ill) == 1:
        return named or (ill if len(lots) > 1 else (lots[0].id,))
    names = {lot.id: about(lot) for lot in lots}
    ask = Ask("", "", "several", "Of which fish was the scrape?", follows="scraped")
    while True:
        try:
            return (yield from at.menu(ask, names, None, lots[0].id)) or ()
        except (Back, Same, Enough):
            at.say("u if it is not known; s leaves the case open.")


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
