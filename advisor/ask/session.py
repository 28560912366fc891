"""The guided session: what to show, what to ask and what to keep, one step at a time.

    steps = session(case, reasoner, datetime.now)
    reply = None
    while True:
        step = steps.send(reply)        # StopIteration.value is the Sitting
        reply = ...                     # a line or a Chosen where step is an Ask, else None

It prints nothing and reads nothing. All it knows is the case and this sitting: begun again
from the case last kept, it goes on with the question that comes next.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Literal

from advisor.advice.reasoner import Reasoner
from advisor.ask.finish import finish
from advisor.ask.hours import started
from advisor.ask.inquiry import Inquiry
from advisor.ask.keys import Leave
from advisor.ask.many import FROM, packed_alike, still_alike
from advisor.ask.records import NoMoreLines, Sitting, Talking
from advisor.ask.rounds import ask_anew, by_worth, first_questions
from advisor.ask.ticks import tick
from advisor.case import Case
from advisor.wording.times import span

#: Longer ago than this nobody goes on from what was seen without a word [h] (judgement).
OLD_H = 2.0


def session(
    case: Case,
    reasoner: Reasoner,
    now: Callable[[], datetime],
    *,
    to: Literal["ask", "look", "close"] = "ask",
) -> Talking[Sitting]:
    """A sitting on one delivery.

    case : as it was last kept; an empty one starts a delivery received now
    now  : the local time, asked for again at every step of the clock
    to   : "ask" what is wrong, take a later "look", or "close" the case
    """
    from advisor.ask.closing import close_case
    from advisor.ask.later_look import later_look

    at = Inquiry(started(case, now()), reasoner, now)
    at.ask_anew = lambda each: ask_anew(at, each)
    at.tick = lambda line: tick(at, line)
    at.offered = len(case.lot) >= FROM  # of a case that goes on the boxes are known
    ways = {"ask": _questions, "look": later_look, "close": close_case}
    how: Literal["done", "left", "closed"] = "done"
    try:
        yield from ways[to](at)
        how = "closed" if at.case.outcome.closed else "done"
    except NoMoreLines:
        yield from finish(at)
    except Leave:
        how = "left"
        yield from at.out()
    return Sitting(at.case, how, at.misread)


def _say_how_old(at: Inquiry) -> None:
    """What was seen hours ago is no look of now."""
    hours = at.hours_now() - at.case.last_hour
    if at.case.observation and hours > OLD_H:
        at.say(
            f"Last looked at {span(hours)} ago: what follows is from then. A look at them now is "
            "advisor recheck; s leaves here.",
            strong=True,
        )


def _questions(at: Inquiry) -> Talking[None]:
    from advisor.ask.release import finish_open, open_bags

    if at.case.session.answered or at.case.observation:
        _say_how_old(at)
        at.news()
    yield from finish_open(at)
    yield from first_questions(at)
    if any(lot.sealed == "yes" and lot.opened_at_hours is None for lot in at.case.lot):
        yield from packed_alike(at)
        yield from open_bags(at)
        at.left_out = still_alike(at)
        yield from first_questions(at)
    yield from by_worth(at)
    if not at.left_out - at.alike:
        at.say()
        at.say("Settled: nothing you could still tell would change the plan.", strong=True)
        if found_out := at.worth_finding_out():
            at.say(f"Could still change it, once somebody finds it out: {found_out}.")
    yield from finish(at)
