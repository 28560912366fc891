"""Questions put lot by lot: each asked, its reply kept, what it changed said."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from copy import deepcopy
from typing import Any

from advisor.advice.facts.sheet import lots_of
from advisor.ask.answered import Answered, without_answer
from advisor.ask.answers.apply import apply, asked_key, key_at
from advisor.ask.answers.looks import copied_from, hour_told
from advisor.ask.answers.parts import Place
from advisor.ask.answers.replies import UNKNOWN, Filled, Lots, Reply, Seen, Unknown
from advisor.ask.besides import with_facts
from advisor.ask.heads_told import heads_settled
from advisor.ask.hear.said import in_words
from advisor.ask.hours import about
from advisor.ask.inquiry import Inquiry
from advisor.ask.keys import Back, Enough, Leave, Same
from advisor.ask.many import FROM, together
from advisor.ask.next_question import Asking
from advisor.ask.order_of_lots import as_told, worst_told_first
from advisor.ask.others_told import LOT, told_with_kinds, without_heads_and_signs
from advisor.ask.prompt import Prompt
from advisor.ask.put import put
from advisor.ask.records import Keep, NoMoreLines, Talking
from advisor.ask.trouble import signs_of_trouble
from advisor.case import Case
from advisor.case.figures import impossible
from advisor.errors import AdvisorError
from advisor.rulebase.entries import Question

#: The sign that says just this: already there in the closed bag.
IN_SHUT_BAG = "signs_before_bag_opened"
Wanted = Callable[[Asking], bool]


def first_questions(at: Inquiry) -> Talking[None]:
    """The first questions for every lot, each lot introduced once there are several."""
    yield from _all_lots(at, lambda asking: asking.why != "worth")


def by_worth(at: Inquiry) -> Talking[None]:
    """What is still worth asking, lot by lot."""
    yield from _all_lots(at, lambda asking: True)


def _all_lots(at: Inquiry, wanted: Wanted) -> Talking[None]:
    """Lots in order, the worst first; the list may grow while the first one is asked about.

    One that is told to be worse meanwhile is asked about before the rest of the others.
    """
    done: set[str] = set()
    last = ""
    while left := worst_told_first(at, (x.id for x in lots_of(at.case) if x.id not in done)):
        lot = left[0]
        if not last or lot == last or _introduce(at, lot, last, wanted):
            lot, ended = yield from _ask_while(at, lot, done, wanted)
            last = lot
        else:
            ended = True
        if ended:
            done.add(lot)


def _introduce(at: Inquiry, lot: str, before: str, wanted: Wanted) -> bool:
    """Say which lot comes next. False when there is nothing to ask about it."""
    asking = None if lot in at.left_out else at.next_for(lot)
    if asking is None or not wanted(asking):
        return False
    at.lot_before = before
    at.say()
    at.say(f"Next lot: {about(at.lot(lot))}.", strong=True)
    at.say(f"= the same as {before}; e leaves this lot out.")
    return True


def _ask_while(
    at: Inquiry, lot: str, done: Collection[str], wanted: Wanted
) -> Talking[tuple[str, bool]]:
    """Ask about a lot; its name then, and whether that is all: not where another is worse."""
    while lot not in at.left_out:
        lot = at.lot(lot).id  # the first lot may have got its name meanwhile
        if len(at.case.lot) >= FROM and not at.offered:
            at.offered = True
            yield from together(at)
        if _worse(at, lot, done, wanted):
            return lot, False
        asking = at.next_for(lot)
        if asking is None or not wanted(asking):
            return lot, True
        try:
            yield from ask_one(at, asking.question, lot, left=asking.left)
        except Back:
            if not (yield from at.undo()):
                at.say("This is the first question.")
        except Enough:
            at.left_out.add(lot)
    return lot, True


def _worse(at: Inquiry, lot: str, done: Collection[str], wanted: Wanted) -> bool:
    """Whether another lot that is still to be asked about is told to be worse than this one."""
    here = as_told(at, lot)
    return any(
        as_told(at, other) < here and (asking := at.next_for(other)) is not None and wanted(asking)
        for other in at.thoughts
        if other != lot and other not in at.left_out and other not in done
    )


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
    before = at.case
    old = at.given.taken_back(key_at(at.case, question, lot, at.reasoner.base))
    if old is not None:
        at.say(f"Your answer was: {old.words}. Enter keeps it; u makes it not known.", level=1)
        if more := " ".join(_told_words(at, old.told)):
            at.say(f"With it you told: {more}", level=1)
    try:
        reply = yield from put(Prompt(at, question, lot, again, left, old))
    except Same:
        yield from _same(at, question, lot)
        return None
    except Back:
        at.told.clear()
        at.number -= 1
        at.without_part(before)
        raise
    except (Enough, Leave, NoMoreLines):
        at.told.clear()
        at.number -= 1
        if at.case is not before:  # part of it was answered
            yield Keep(at.case)
            at.thoughts = at.think()
        raise
    at.without_part(before)
    if old is not None and isinstance(reply, Unknown) and not at.last_line.strip():
        if old.reply is None:
            raise Enough
        reply = old.reply
        at.told[:] = deepcopy(list(old.told))
    elif old is not None:
        told = _told_words(at, at.told)
        gone = [words for words in _told_words(at, old.told) if words not in told]
        if gone:
            at.say(f"Gone with your answer before: {' '.join(gone)}", level=1)
    try:
        yield from _take(at, question, reply, lot)
    except AdvisorError as fault:  # no case can hold it: it is asked once more
        at.told.clear()
        at.number -= 1
        at.complain(fault)
        return None
    return reply


def _told_words(at: Inquiry, told: Iterable[Mapping[str, Any]]) -> list[str]:
    """What lines told besides their answers, a phrase for each thing."""
    return [words for facts in told for words in in_words(facts, at.reasoner.base)]


def _take(at: Inquiry, question: Question, reply: Reply, lot: str) -> Talking[None]:
    """Write a reply into the case, keep it, rank anew and say what changed."""
    if isinstance(reply, Seen):
        reply = _in_the_bag(at, reply, lot)
    case = apply(at.case, question, reply, Place(lot, at.at_hours), at.reasoner.base)
    _refuse_impossible(at.case, case)
    if isinstance(reply, Lots):
        by_lot = told_with_kinds(at, case, at.last_line)
        if by_lot:  # what the line tells of some lots is not the first one's
            at.told[:] = [f for f in map(without_heads_and_signs, at.told) if f] + by_lot
    hours = reply.values.get("look.at_hours") if isinstance(reply, Filled) else None
    here = Place(lot, at.at_hours)
    hours = None if hours is None else hour_told(at.case, float(hours), here)
    said: set[str] = set()
    for facts in at.told:
        of = str(facts.get(LOT, lot))
        yield from heads_settled(at, facts, at.lot(of))
        try:
            more = with_facts(case, facts, Place(of, at.at_hours), at.reasoner.base)
            _refuse_impossible(case, more)
            before, case = case, more
        except AdvisorError as fault:
            at.complain(fault)
            continue
        if "at_hours" in facts:
            hours = hour_told(before, float(facts["at_hours"]), here)
        elif "bag_open_hours" in facts:
            hours = max(here.at_hours if hours is None else hours, float(facts["bag_open_hours"]))
        theirs = next((each for each in case.lot if each.id == of), at.lot(of))
        whose = f" of {about(theirs)}" if LOT in facts else ""
        words = f"{whose}: {' '.join(in_words(facts, at.reasoner.base))}"
        if words not in said:  # a line typed again after a question back tells it twice
            at.say(f"Also noted{words}", level=1)
        said.add(words)
    told = list(at.told)
    at.told.clear()
    yield from at.keep(case, at_hours=None if hours is None else float(hours))
    at.given.note(key_at(at.case, question, lot, at.reasoner.base), reply, told, at.case)


def _refuse_impossible(before: Case, after: Case) -> None:
    """Raises AdvisorError for what an answer makes of the case and no delivery can be."""
    if after is before:
        return
    known = {said for _, said in impossible(before)}
    said = next((said for _, said in impossible(after) if said not in known), None)
    if said is not None:
        raise AdvisorError(f"That cannot be: {said}.")


def _in_the_bag(at: Inquiry, reply: Seen, lot: str) -> Seen:
    """Trouble seen in a bag that is still shut was, by that, there before it was opened."""
    trouble = signs_of_trouble(at.reasoner) & set(reply.seen)
    known = IN_SHUT_BAG in at.reasoner.base.signs
    if at.lot(lot).sealed != "yes" or not trouble or not known:
        return reply
    return Seen((*reply.seen, IN_SHUT_BAG), reply.not_seen, reply.words)


def ask_anew(at: Inquiry, each: Answered) -> Talking[None]:
    """One answer given before, asked once more; Enter leaves it as it was."""
    lot = each.lot or at.first_lot
    before = at.case
    question = each.question
    at.case = without_answer(at.case, question, each.lot)
    try:
        again = frozenset(question.reading)
        reply = yield from put(Prompt(at, question, lot, again, before=before))
    except (Back, Enough, Same):
        reply = UNKNOWN
    if isinstance(reply, Unknown):
        at.case = before
        at.told.clear()
        yield Keep(before)
        at.say("Left as it was.", level=1)
        return
    yield from _take(at, question, reply, lot)


def _same(at: Inquiry, question: Question, lot: str) -> Talking[None]:
    """Copy this one answer from the lot that was asked about before."""
    if at.lot_before in ("", lot):
        at.say("There is no lot before this one.")
        at.number -= 1
        return
    before = at.lot(at.lot_before)
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
