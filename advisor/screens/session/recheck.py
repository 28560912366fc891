"""A later look at a delivery: ask again, show what changed, say when to look next, close."""

from __future__ import annotations

import argparse
from collections.abc import Iterable

from advisor.advice.facts.sheet import lots_of
from advisor.ask.answers.choosing import is_no, is_yes, says_unknown
from advisor.ask.answers.numbers import read_number
from advisor.ask.change import MENDING, Change, change
from advisor.ask.choose import SEALED_FROM
from advisor.ask.rechecks import AFTER_FIRST_H, QUARANTINE_H, next_look, open_reasons
from advisor.case import Lot
from advisor.errors import AdvisorError
from advisor.rulebase.model import Question
from advisor.screens.session.closing import due_words, hours_since_exact
from advisor.screens.session.closing import in_words as span_words
from advisor.screens.session.controls import Back, Enough, Same
from advisor.screens.session.draw import LEGEND
from advisor.screens.session.ending import Ended, ending_signals, status_of
from advisor.screens.session.loading import Loading
from advisor.screens.session.outcome import close_case
from advisor.screens.session.run import begin, guarded, read_answers
from advisor.screens.session.session import Session, about, received_at
from advisor.screens.session.summary import console_for, line_of
from advisor.screens.session.talk import Talk
from advisor.screens.show_assessment import STANDING

#: Questions of every later look, by id; others follow from what was seen and read before.
LOOK = ("counts", "breathing_and_posture", MENDING)
#: At most this many readings are asked for again.
MOST_READINGS = 4
_MOST_CAUSES = 5


def recheck(args: argparse.Namespace) -> int:
    """Run a later look and return the exit status."""
    talk = Talk(lines=read_answers(args.answers))
    loading = Loading(args.rules)
    args.resume = args.case
    try:
        with ending_signals():
            session = begin(args, talk, loading)
            if args.close:
                return guarded(session, lambda: close_case(session))
            return guarded(session, lambda: _look(session))
    except Ended as stop:  # while the rules were being read
        return status_of(stop)
    finally:
        loading.settle()


def _look(session: Session) -> int:
    talk, case = session.talk, session.case
    talk.say(case.delivery.title or str(session.keeper.path), strong=True)
    if case.outcome.closed:
        talk.say("This case is closed. A new look is added to it all the same.")
    talk.say(LEGEND)
    _say_schedule(session)
    before = max((look.at_hours for look in case.observation), default=0.0)
    if received_at(case) is None:
        _ask_hour(session)
    if session.at_hours <= before:
        session.at_hours = before + max(0.001, session.hours_now() - before)
    for lot in lots_of(session.case):
        _ask_lot(session, lot)
    found = [change(session.case, lot, before, session.at_hours, session.reasoner)
             for lot in lots_of(session.case)]  # fmt: skip
    for lot, each in zip(lots_of(session.case), found, strict=True):
        show_change(session, lot, each)
    _plots(session)
    return _after(session)


def _say_schedule(session: Session) -> None:
    hours = hours_since_exact(session.case, session.clock())
    due = next_look(session.case)
    since = span_words(hours).removeprefix("in ")
    line = f"Received {since} ago." if received_at(session.case) else ""
    if due is not None:
        line += f" Look due {due_words(session.case, due, session.clock())}."
    session.talk.say(line.strip())
    marks = ", ".join(f"{h:g} h" if h >= 1 else f"{h * 60:g} min" for h in AFTER_FIRST_H)
    days = ", ".join(f"{h / 24:.0f}" for h in QUARANTINE_H)
    session.talk.say(f"The looks: {marks} after the first; in quarantine day {days}.")


def _ask_hour(session: Session) -> None:
    """The hour of this look, when the case does not say when the delivery came."""
    session.talk.say("How many hours after the delivery is this look?")
    while True:
        try:
            line = session._line(None, next(iter(session.thoughts)))
        except (Back, Same, Enough):
            continue
        if says_unknown(line):
            return
        try:
            session.at_hours = read_number(line, "look.at_hours").value
            return
        except AdvisorError as fault:
            session.talk.say(str(fault))


def _ask_lot(session: Session, lot: Lot) -> None:
    """One look at one lot; "b" takes the last answer back, "e" ends the lot."""
    questions = list(look_questions(session, lot))
    at = 0
    while at < len(questions):
        question, again = questions[at]
        try:
            session.put(question, lot.id, again=again)
            at += 1
        except Back:
            if at and session.undo():
                at -= 1
        except Enough:
            return


def look_questions(session: Session, lot: Lot) -> Iterable[tuple[Question, frozenset[str]]]:
    """The questions of a later look, and the readings each is to take again."""
    questions = session.reasoner.base.questions
    yield from ((questions[name], frozenset()) for name in LOOK if name in questions)
    asked = {sign for name in LOOK if name in questions for sign in questions[name].signs}
    still = tuple(sign for sign in _seen_before(session, lot) if sign not in asked)
    if still and "still_there" in questions:
        yield questions["still_there"].model_copy(update={"signs": still}), frozenset()
    wanted = _readings_again(session, lot)
    for question in questions.values():
        mine = tuple(name for name in question.reading if name in wanted)
        if mine and (question.opening or 0) < SEALED_FROM:
            wanted -= set(mine)
            yield question.model_copy(update={"reading": mine}), frozenset(mine)


def _seen_before(session: Session, lot: Lot) -> list[str]:
    base = session.reasoner.base
    records = session.thoughts[lot.id].reasoned.sheet.records
    seen = (name for (kind, name), record in records.items() if kind == "sign" and record.value)
    return [name for name in seen if base.signs[name].scope != "pattern"]


def _readings_again(session: Session, lot: Lot) -> set[str]:
    """Tank readings taken before: they are taken again, the quickest first."""
    if lot.id != lots_of(session.case)[0].id:
        return set()
    base = session.reasoner.base
    records = session.thoughts[lot.id].reasoned.sheet.records
    names = [
        name for kind, name in records
        if kind == "reading" and base.quantities[name].water == "tank"
    ]  # fmt: skip
    return set(sorted(names, key=lambda n: base.quantities[n].cost_seconds)[:MOST_READINGS])


# -- what changed ---------------------------------------------------------------


def show_change(session: Session, lot: Lot, found: Change) -> None:
    """Better, same or worse, and why; signs gone and new; causes that moved."""
    talk = session.talk
    talk.say()
    name = f"{about(lot)}: " if len(session.case.lot) > 1 else ""
    talk.say(f"{name}{found.verdict.upper()} than at the last look.".replace(
        "SAME than at", "THE SAME as at"), strong=True)  # fmt: skip
    talk.say(f"Because: {'; '.join(found.reasons)}.", indent=2, hang=2)
    if found.still:
        talk.say(f"Still there: {', '.join(found.still)}.", indent=2, hang=2)
    for cause, was, now in found.causes[:_MOST_CAUSES]:
        talk.item("-", f"{cause}: {STANDING[was]} before, {STANDING[now]} now", indent=2)
    _alive(session, lot)


def _alive(session: Session, lot: Lot) -> None:
    dead = session.thoughts[lot.id].reasoned.sheet.quantity("dead_fraction")
    if lot.count and dead is not None:
        heads = round(dead.number * lot.count)
        session.talk.say(f"Alive: {lot.count - heads} of {lot.count}.", indent=2)


def _plots(session: Session) -> None:
    """Readings and survivors over time, in plain characters."""
    from advisor.papers.watch import watch_of
    from advisor.screens.plots import plot_readings

    series = watch_of(session.case)
    for line in series.readings:
        if len(line.points) > 1:
            values = ", ".join(f"{p.value:.3g} at {p.hours:.3g} h" for p in line.points[-4:])
            session.talk.say(f"{line.label}: {values} {line.unit}".rstrip(), indent=2, hang=2)
    plot_readings(series, console_for(session.talk))


def _after(session: Session) -> int:
    """The plan, more questions if wanted, the next look, and whether the case may close."""
    from advisor.advice.assess import assess
    from advisor.screens.session.run import finish

    talk = session.talk
    talk.say()
    for lot in assess(session.case, session.reasoner).lots:
        talk.item("-", line_of(lot, session.case), indent=0)
    reasons = why_open(session)
    if not reasons:
        talk.say()
        talk.say("The case may be closed. y closes it now; Enter keeps it open.", strong=True)
        if is_yes(_plain_line(session)):
            return close_case(session)
    else:
        talk.say(f"Keep the case open: {'; '.join(reasons)}.")
    talk.say("More questions about what is wrong? Enter for the whole plan instead, y for more.")
    answer = _plain_line(session)
    if is_yes(answer) and not is_no(answer):
        session.by_worth()
    return finish(session)


def why_open(session: Session) -> list[str]:
    """Why the case should not be closed yet."""
    base = session.reasoner.base
    likely = [
        cause.name
        for thought in session.thoughts.values()
        for cause in thought.reasoned.ranking.causes
        if cause.standing in ("likely", "very_likely")
        and base.causes[cause.id].direction != "leave_alone"
    ]
    last = max((look.at_hours for look in session.case.observation), default=0.0)
    texts = [text for _, text in session.standing.open()]
    return open_reasons(session.case, texts, list(dict.fromkeys(likely)), last)


def _plain_line(session: Session) -> str:
    try:
        return session._line(None, next(iter(session.thoughts)))
    except (Back, Same, Enough):
        return ""
