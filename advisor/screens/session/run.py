"""``advisor ask`` from the first line to the last, whatever ends it."""

from __future__ import annotations

import argparse
import sys
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from advisor.case.folder import cases_folder, find_case
from advisor.errors import AdvisorError
from advisor.screens.session.draw import LEGEND, draw
from advisor.screens.session.ending import Ended, ending_signals, status_of
from advisor.screens.session.loading import Loading, first_entry
from advisor.screens.session.talk import Leave, Talk

if TYPE_CHECKING:
    from advisor.case import Case
    from advisor.screens.session.session import Session

INTRO = (
    "What cannot wait is shown as soon as it is certain. 'Not known' is always an answer. This "
    "ranks possibilities by rules and is no veterinarian."
)


def ask(args: argparse.Namespace) -> int:
    """Run the guided session and return the exit status."""
    talk = Talk(lines=read_answers(args.answers))
    loading = Loading(args.rules)
    try:
        with ending_signals():
            return _ask(args, talk, loading)
    finally:
        loading.settle()


def _ask(args: argparse.Namespace, talk: Talk, loading: Loading) -> int:
    drawn = False
    if not args.resume:
        talk.say(INTRO)
        talk.say(LEGEND)
        entry = first_entry(args.rules)
        if entry is not None:
            try:
                _first_line(talk, entry)
            except Leave:
                talk.say("Nothing was answered, so nothing is kept.")
                return 0
            except (KeyboardInterrupt, Ended) as stop:
                with suppress(OSError):
                    talk.say("\nNothing was answered, so nothing is kept.")
                return status_of(stop)
            drawn = True
    try:
        session = begin(args, talk, loading)
    except (KeyboardInterrupt, Ended) as stop:
        with suppress(OSError):
            talk.say("\nStopped while the rules were being read; nothing is kept of this sitting.")
        return status_of(stop)
    return guarded(session, lambda: _questions(session, drawn))


def _first_line(talk: Talk, entry: Any) -> None:
    """The first question, shown and answered while the rules load."""
    draw(talk, 1, str(entry["text"]), dict(entry["choices"]))
    talk.push(talk.ask(str(entry.get("id", ""))))


def begin(args: argparse.Namespace, talk: Talk, loading: Loading) -> Session:
    """A session on a new case, or on one that was kept."""
    folder = cases_folder(args.cases)
    ready = loading.get(talk)
    from advisor.advice.facts.vocabulary import check_vocabulary
    from advisor.case import ABSENT, Case, load_with_stamp
    from advisor.screens.session.keep import Keeper
    from advisor.screens.session.session import Session, look_hour, started

    clock = datetime.now
    path: Path | None = None
    stamp, case = ABSENT, Case()
    if args.resume:
        path = find_case(args.resume, folder)
        case, stamp = load_with_stamp(path)
        check_vocabulary(case, ready.reasoner.base, path.name)
    title = getattr(args, "title", None) or ""
    case = started(case, clock())
    if title and not case.delivery.title:
        case = _titled(case, title)
    held = case if args.resume else None
    keeper = Keeper(talk, folder, clock, title=title, path=path, stamp=stamp, case=held)
    return Session(talk, ready, keeper, case, clock, look_hour(case, clock()))


def _titled(case: Case, title: str) -> Case:
    from advisor.ask.answers.parts import changed

    return changed(case, delivery=changed(case.delivery, title=title))


def _questions(session: Session, drawn: bool) -> int:
    from advisor.screens.session.release import finish_open, open_bags

    if session.keeper.path is not None:
        title = session.case.delivery.title
        session.talk.say(title or session.keeper.path.name, strong=True)
        session.talk.say(f"Going on with {session.keeper.path}. {LEGEND}")
        session.show_news()
    if drawn:
        _first_answer(session)
    finish_open(session)
    session.first_questions()
    if _is_shut(session):
        open_bags(session)
        session.left_out.clear()
        session.first_questions()
    session.by_worth()
    return finish(session)


def _first_answer(session: Session) -> None:
    """The question already on the screen gets the line already typed."""
    from advisor.screens.session.controls import Back, Enough

    lot = next(iter(session.thoughts))
    asking = session.next_for(lot)
    if asking is None:
        return
    try:
        session.put(asking.question, lot, asking, drawn=True)
    except Back:
        session.talk.say("This is the first question.")
    except Enough:
        session.left_out.add(lot)


def _is_shut(session: Session) -> bool:
    return any(lot.sealed == "yes" and lot.opened_at_hours is None for lot in session.case.lot)


def finish(session: Session) -> int:
    """No more questions: all lots, the next look, where the case is kept."""
    from advisor.screens.session.closing import keep_result, say_next_look
    from advisor.screens.session.summary import show_all

    result = show_all(session.talk, session.case, session.reasoner)
    keep_result(session, result)
    say_next_look(session)
    session.keeper.farewell(session.case)
    return 2 if session.misread and session.talk.by_name else 0


def guarded(session: Session, work: Any) -> int:
    """Run ``work``; however it ends, say where the answers are. Returns the exit status."""
    talk = session.talk
    try:
        return int(work())
    except Leave as left:
        if left.how == "end" and not talk.interactive:
            return finish(session)
        talk.say("Left here. Everything up to your last answer is kept.")
        session.keeper.farewell(session.case)
        return 0
    except (KeyboardInterrupt, Ended) as stop:
        with suppress(OSError, ValueError):  # the terminal may be gone
            talk.say("\nStopped. Everything up to your last answer is kept.")
            session.keeper.farewell(session.case)
            talk.out.flush()
        return status_of(stop)


def read_answers(name: str | None) -> list[str] | None:
    """The lines of a file of answers ("-" for standard input); None to ask at the keyboard."""
    if name is None:
        return None
    try:
        if name == "-":
            return sys.stdin.read().splitlines()
        return Path(name).read_text(encoding="utf-8-sig").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or "not UTF-8 text"
        raise AdvisorError(f"{name}: answers cannot be read ({reason.lower()})") from None
