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

from advisor.advice.assess import Reasoner, assess
from advisor.advice.facts.sheet import lots_of
from advisor.advice.results import Assessment
from advisor.ask.answered import Answered, without_signs
from advisor.ask.answers import UNKNOWN, Filled, Reply, Seen, Unknown, apply, asked_key
from advisor.ask.answers.looks import copied_from
from advisor.ask.answers.parts import Place, changed
from advisor.ask.answers.phrases import SignBook
from advisor.ask.besides import with_facts
from advisor.ask.hear.said import in_words
from advisor.ask.hours import about, started
from advisor.ask.inquiry import Inquiry
from advisor.ask.keys import Back, Enough, Leave, Same
from advisor.ask.many import FROM, packed_alike, still_alike, together
from advisor.ask.next_question import Asking
from advisor.ask.prompt import Prompt, put
from advisor.ask.records import Keep, NoMoreLines, Say, ShowPlan, Sitting, Talking
from advisor.ask.trouble import signs_of_trouble
from advisor.case import Case
from advisor.case.model import Saved
from advisor.errors import AdvisorError
from advisor.rulebase.entries import Question

#: The sign that says just this: already there in the closed bag.
IN_SHUT_BAG = "signs_before_bag_opened"
_MOST_KEPT = 40
Wanted = Callable[[Asking], bool]


def session(
    case: Case,
    reasoner: Reasoner,
    now: Callable[[], datetime],
    *,
    book: SignBook | None = None,
    to: Literal["ask", "look", "close"] = "ask",
) -> Talking[Sitting]:
    """A sitting on one delivery.

    case : as it was last kept; an empty one starts a delivery received now
    now  : the local time, asked for again at every step of the clock
    book : the rule base's phrases, when they were read already
    to   : "ask" what is wrong, take a later "look", or "close" the case
    """
    from advisor.ask.closing import close_case
    from advisor.ask.later_look import later_look

    book = book or SignBook(reasoner.base)
    at = Inquiry(started(case, now()), reasoner, book, now)
    at.ask_anew = lambda each: _anew(at, each)
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


def _questions(at: Inquiry) -> Talking[None]:
    from advisor.ask.release import finish_open, open_bags

    if at.case.session.answered:
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


def first_questions(at: Inquiry) -> Talking[None]:
    """The first questions for every lot, each lot introduced once there are several."""
    yield from _all_lots(at, lambda asking: asking.why != "worth")


def by_worth(at: Inquiry) -> Talking[None]:
    """What is still worth asking, lot by lot."""
    yield from _all_lots(at, lambda asking: True)


def _all_lots(at: Inquiry, wanted: Wanted) -> Talking[None]:
    """Lots in order; the list may grow while the first one is asked about."""
    done: list[str] = []
    while left := [lot.id for lot in lots_of(at.case) if lot.id not in done]:
        lot = left[0]
        if not done or _introduce(at, lot, done[-1], wanted):
            yield from _ask_while(at, lot, wanted)
        ids = [each.id for each in lots_of(at.case)]
        done.append(lot if lot in ids else ids[0])


def _introduce(at: Inquiry, lot: str, before: str, wanted: Wanted) -> bool:
    """Say which lot comes next. False when there is nothing to ask about it."""
    asking = None if lot in at.left_out else at.next_for(lot)
    if asking is None or not wanted(asking):
        return False
    at.say()
    at.say(f"Next lot: {about(at.lot(lot))}.", strong=True)
    at.say(f"= the same as {before}; e leaves this lot out.")
    return True


def _ask_while(at: Inquiry, lot: str, wanted: Wanted) -> Talking[None]:
    while lot not in at.left_out:
        lot = at.lot(lot).id  # the first lot may have got its name meanwhile
        if len(at.case.lot) >= FROM and not at.offered:
            at.offered = True
            yield from together(at)
        asking = at.next_for(lot)
        if asking is None or not wanted(asking):
            return
        try:
            yield from ask_one(at, asking.question, lot, left=asking.left)
        except Back:
            if not (yield from at.undo()):
                at.say("This is the first question.")
        except Enough:
            at.left_out.add(lot)


def ask_one(
    at: Inquiry,
    question: Question,
    lot: str,
    *,
    again: frozenset[str] = frozenset(),
    left: int = 0,
) -> Talking[Reply | None]:
    """Put a question and keep its reply; None when it was answered by "=" """
    at.remind()
    at.number += 1
    try:
        reply = yield from put(Prompt(at, question, lot, again, left))
    except Same:
        yield from _same(at, question, lot)
        return None
    except (Back, Enough):
        at.told.clear()
        at.number -= 1
        raise
    try:
        yield from _take(at, question, reply, lot)
    except AdvisorError as fault:  # no case can hold it: it is asked once more
        at.told.clear()
        at.number -= 1
        at.complain(fault)
        return None
    return reply


def _take(at: Inquiry, question: Question, reply: Reply, lot: str) -> Talking[None]:
    """Write a reply into the case, keep it, rank anew and say what changed."""
    if isinstance(reply, Seen):
        reply = _in_the_bag(at, reply, lot)
    case = apply(at.case, question, reply, Place(lot, at.at_hours), at.reasoner.base)
    hours = reply.values.get("look.at_hours") if isinstance(reply, Filled) else None
    for facts in at.told:
        try:
            case = with_facts(case, facts, Place(lot, at.at_hours), at.reasoner.base)
        except AdvisorError as fault:
            at.complain(fault)
            continue
        hours = facts.get("at_hours", hours)
        at.say(f"Also noted: {' '.join(in_words(facts, at.reasoner.base))}", level=1)
    at.told.clear()
    yield from at.keep(case, at_hours=None if hours is None else float(hours))


def _in_the_bag(at: Inquiry, reply: Seen, lot: str) -> Seen:
    """Trouble seen in a bag that is still shut was, by that, there before it was opened."""
    trouble = signs_of_trouble(at.reasoner) & set(reply.seen)
    known = IN_SHUT_BAG in at.reasoner.base.signs
    if at.lot(lot).sealed != "yes" or not trouble or not known:
        return reply
    return Seen((*reply.seen, IN_SHUT_BAG), reply.not_seen, reply.words)


def _anew(at: Inquiry, each: Answered) -> Talking[None]:
    """One answer given before, asked once more; Enter leaves it as it was."""
    lot = each.lot or at.first_lot
    before = at.case
    question = each.question
    at.case = without_signs(at.case, question, each.lot)
    try:
        reply = yield from put(Prompt(at, question, lot, frozenset(question.reading)))
    except (Back, Enough, Same):
        reply = UNKNOWN
    if isinstance(reply, Unknown):
        at.case = before
        at.told.clear()
        at.say("Left as it was.", level=1)
        return
    yield from _take(at, question, reply, lot)


def _same(at: Inquiry, question: Question, lot: str) -> Talking[None]:
    """Copy this one answer from the lot before."""
    ids = [each.id for each in at.case.lot]
    place = ids.index(lot) if lot in ids else 0
    if place == 0:
        at.say("There is no lot before this one.")
        at.number -= 1
        return
    before = at.lot(ids[place - 1])
    base = at.reasoner.base
    yield from at.keep(copied_from(at.case, before, at.lot(lot), at.at_hours, base))
    if asked_key(question, lot) not in at.case.session.answered:
        had = asked_key(question, before.id) in at.case.session.answered
        at.say(
            "Numbers are not copied from lot to lot: this one by itself."
            if had
            else f"{before.id} was not asked this."
        )
        at.number -= 1


# -- the end --------------------------------------------------------------------


def finish(at: Inquiry) -> Talking[None]:
    """No more questions: the plan of all lots, with the next look."""
    result = assess(at.case, at.reasoner)
    at.show(Say(), ShowPlan(result, at.case))
    at.case = with_result(at.case, result, at.clock())
    yield from at.out()
    yield Keep(at.case)
    if any(lot.sealed == "yes" for lot in at.case.lot):
        at.say("Bags are still shut; going on with the case leads through opening them.")
    yield from at.out()


def with_result(case: Case, result: Assessment, now: datetime) -> Case:
    """The assessment noted in the case, and a title made of the lots when it has none."""
    made = now.replace(microsecond=0).isoformat()
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
    case = changed(case, assessment=(*case.assessment, *fresh)[-_MOST_KEPT:])
    if not case.delivery.title and any(lot.species for lot in case.lot):
        title = ", ".join(about(lot) for lot in case.lot)[:120]
        case = changed(case, delivery=changed(case.delivery, title=title))
    return case
