"""A later look at a delivery: ask again, show what changed, say when to look next, close."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.advice.assess import assess
from advisor.advice.facts.sheet import day_unknown, lots_of
from advisor.ask.answers.choosing import is_yes
from advisor.ask.answers.field_numbers import read_number
from advisor.ask.between import MENDING, SinceLastLook, change, signs_there
from advisor.ask.closing import close_case
from advisor.ask.finish import finish
from advisor.ask.hours import about, clock_at, due_words, hours_since_exact, in_words
from advisor.ask.inquiry import Inquiry
from advisor.ask.keys import LEGEND, Back, Enough, Same
from advisor.ask.next_question import SEALED_FROM
from advisor.ask.order_of_lots import worst_told_first
from advisor.ask.rechecks import (
    AFTER_FIRST_H,
    QUARANTINE_H,
    next_look,
    open_reasons,
)
from advisor.ask.records import Ask, ShowTrend, Talking
from advisor.ask.rounds import ask_one, by_worth
from advisor.ask.summary import line_of
from advisor.case import Lot
from advisor.rulebase.entries import Question
from advisor.wording.names import STANDING
from advisor.wording.numbers import exact, fixed

#: Asked first where nobody told that the fish are in the tank by now.
WHERE = "where_are_they"
COUNTS = "counts"
#: Questions of every later look, by id; others follow from what was seen and read before.
LOOK = (COUNTS, "breathing_and_posture", MENDING)
#: At most this many readings are asked for again.
MOST_READINGS = 4
_MOST_CAUSES = 5


def later_look(at: Inquiry) -> Talking[None]:
    """Ask again at every lot, and say what has changed since the look before."""
    if at.case.outcome.closed:
        at.say("This case is closed. A new look is added to it all the same.")
    at.say(LEGEND)
    _say_schedule(at)
    at.emergencies()  # what the look before called for and nobody has ticked
    before = at.case.last_hour
    if clock_at(at.case) is None:
        yield from _ask_hour(at)
    if at.at_hours <= before:
        at.at_hours = before + max(0.001, at.hours_now() - before)
    for name in worst_told_first(at, [lot.id for lot in lots_of(at.case)]):
        yield from _ask_lot(at, at.lot(name))
        at.lot_before = name
    for lot in lots_of(at.case):
        _say_change(at, lot, change(at.case, lot, before, at.at_hours, at.reasoner))
    at.show(ShowTrend(at.case))
    yield from _after(at)


def _say_schedule(at: Inquiry) -> None:
    hours = hours_since_exact(at.case, at.clock())
    due = next_look(at.case)
    since = in_words(hours).removeprefix("in ")
    received = "just now" if since == "now" else f"{since} ago"
    came = "Received" if not day_unknown(at.case, at.reasoner.base) else "First told of here"
    line = f"{came} {received}." if clock_at(at.case) else ""
    if due is not None:
        line += f" Next look {due_words(at.case, due, at.clock())}."
    at.say(line.strip())
    marks = ", ".join(f"{exact(h)} h" if h >= 1 else f"{exact(h * 60)} min" for h in AFTER_FIRST_H)
    days = ", ".join(fixed(h / 24) for h in QUARANTINE_H)
    at.say(f"The looks: {marks} after the first; in quarantine day {days}.")


def _ask_hour(at: Inquiry) -> Talking[None]:
    """The hour of this look, when the case does not say when the delivery came."""
    text = "How many hours after the delivery is this look?"
    ask = Ask("", "", "line", text, follows="hour")
    while True:
        try:
            hours = yield from at.until(
                ask, lambda line: read_number(line, "look.at_hours").value, None, at.first_lot
            )
        except (Back, Same, Enough):
            continue
        if hours is not None:
            at.at_hours = hours
        return


def _ask_lot(at: Inquiry, lot: Lot) -> Talking[None]:
    """One look at one lot; "b" takes the last answer back, "e" ends the lot."""
    questions = list(look_questions(at, lot))
    place = 0
    while place < len(questions):
        question, again = questions[place]
        if question.id != COUNTS and _all_dead(at, lot):
            place += 1
            continue
        try:
            yield from ask_one(at, question, lot.id, again=again)
            place += 1
        except Back:
            if place and (yield from at.undo()):
                place -= 1
        except Enough:
            return


def _all_dead(at: Inquiry, lot: Lot) -> bool:
    """Nobody of the lot is left to be asked about; a count may still be set right."""
    return ("finding", "all_dead") in at.thoughts[lot.id].reasoned.facts


def look_questions(at: Inquiry, lot: Lot) -> Iterable[tuple[Question, frozenset[str]]]:
    """The questions of a later look, and the readings each is to take again."""
    questions = at.reasoner.base.questions
    situation = at.thoughts[lot.id].reasoned.sheet.situation
    if WHERE in questions and (situation.place != "tank" or not situation.told):
        yield questions[WHERE], frozenset()
    yield from ((questions[name], frozenset()) for name in LOOK if name in questions)
    asked = {sign for name in LOOK if name in questions for sign in questions[name].signs}
    still = tuple(
        sign
        for sign in signs_there(at.thoughts[lot.id].reasoned, at.reasoner.base)
        if sign not in asked
    )
    if still and "still_there" in questions:
        yield questions["still_there"].model_copy(update={"signs": still}), frozenset()
    wanted = _readings_again(at, lot)
    for question in questions.values():
        mine = tuple(name for name in question.reading if name in wanted)
        if mine and (question.opening or 0) < SEALED_FROM:
            wanted -= set(mine)
            yield question.model_copy(update={"reading": mine}), frozenset(mine)


def _readings_again(at: Inquiry, lot: Lot) -> set[str]:
    """Tank readings taken before: they are taken again, the quickest first."""
    if lot.id != lots_of(at.case)[0].id:
        return set()
    base = at.reasoner.base
    records = at.thoughts[lot.id].reasoned.sheet.records
    names = [
        name for kind, name in records
        if kind == "reading" and base.quantities[name].water == "tank"
    ]  # fmt: skip
    return set(sorted(names, key=lambda n: base.quantities[n].cost_seconds)[:MOST_READINGS])


# -- what changed ---------------------------------------------------------------


def _say_change(at: Inquiry, lot: Lot, found: SinceLastLook) -> None:
    """Better, same or worse, and why; signs gone and new; causes that moved."""
    verdict = "THE SAME as" if found.verdict == "same" else f"{found.verdict.upper()} than"
    name = f"{about(lot)}: " if len(at.case.lot) > 1 else ""
    at.say()
    at.say(f"{name}{verdict} at the last look.", strong=True)
    at.say(f"Because: {'; '.join(found.reasons)}.", level=1)
    if found.against:
        at.say(f"Against it: {'; '.join(found.against)}.", level=1)
    if found.called:
        called = "; ".join(found.called)
        at.say(f"{called[:1].upper()}{called[1:]}.", level=1)
    if found.still:
        at.say(f"Still there: {', '.join(found.still)}.", level=1)
    for cause, was, now in found.causes[:_MOST_CAUSES]:
        at.say(f"{cause}: {STANDING[was]} before, {STANDING[now]} now", "-", 1)
    dead = at.thoughts[lot.id].reasoned.sheet.quantity("dead_fraction")
    if lot.count and dead is not None:
        at.say(f"Alive: {lot.count - round(dead.number * lot.count)} of {lot.count}.", level=1)


def _after(at: Inquiry) -> Talking[None]:
    """The plan, more questions if wanted, the next look, and whether the case may close."""
    at.say()
    for lot in assess(at.case, at.reasoner).lots:
        at.say(line_of(lot, at.case), "-")
    reasons = why_open(at)
    if reasons:
        at.say(f"Keep the case open: {'; '.join(reasons)}.")
    else:
        at.say()
        text = "The case may be closed. y closes it now; Enter keeps it open."
        if is_yes((yield from _enter(at, text, "close"))):
            yield from close_case(at)
            return
    text = "More questions about what is wrong? Enter for the whole plan instead, y for more."
    if is_yes((yield from _enter(at, text, "more"))):
        yield from by_worth(at)
    yield from finish(at)


def _enter(at: Inquiry, text: str, follows: str) -> Talking[str]:
    try:
        return (yield from at.enter(text, follows))
    except (Back, Same, Enough):
        return ""


def why_open(at: Inquiry) -> list[str]:
    """Why the case should not be closed yet."""
    base = at.reasoner.base
    likely = [
        cause.name
        for thought in at.thoughts.values()
        for cause in thought.reasoned.ranking.causes
        if cause.is_likely and base.causes[cause.id].direction != "leave_alone"
    ]
    last = at.case.last_hour
    texts = [step.text for step in at.standing.open()]
    return open_reasons(at.case, texts, list(dict.fromkeys(likely)), last)
