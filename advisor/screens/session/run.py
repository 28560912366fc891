"""``advisor ask`` and ``advisor recheck``: a reader of the session, whatever ends it."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from advisor.case.folder import cases_folder, find_case
from advisor.errors import AdvisorError
from advisor.screens.session.ending import Ended, ending_signals, status_of, unbroken
from advisor.screens.session.first_screen import Loading, first_question
from advisor.screens.session.show_yielded import draw, draw_question
from advisor.screens.session.talk import Talk, TalkEnded

if TYPE_CHECKING:
    from advisor.ask.records import Ask, Sitting, Talking
    from advisor.screens.session.keep import Keeper

INTRO = (
    "What cannot wait is shown as soon as it is certain. 'Not known' is always an answer. This "
    "ranks possibilities by rules and is no veterinarian."
)
#: Letters of a file of answers; what is longer, or never ends, is none.
MOST_ANSWERS = 1_000_000
KEPT = "Everything up to your last answer is kept."


@dataclass
class Reader:
    """A session read on a terminal, from a pipe or from a file of answers.

    early   : (question, line) of the question that was shown while the rules were loading
    stopped : what ended the sitting meanwhile: that line is kept, and no other is asked for
    """

    talk: Talk
    keeper: Keeper
    early: tuple[str, str] | None = None
    stopped: BaseException | None = None

    def read(self, steps: Talking[Sitting]) -> int:
        """Run the session; however it ends, say where the answers are. The exit status."""
        talk = self.talk
        try:
            sitting = self._through(steps)
        except TalkEnded:
            talk.say(f"Left here. {KEPT}")
            self.keeper.farewell()
            return 0
        except (KeyboardInterrupt, Ended) as stop:
            with suppress(OSError, ValueError):  # the terminal may be gone
                talk.say(f"\nStopped. {KEPT}")
                self.keeper.farewell()
                talk.out.flush()
            return status_of(stop)
        except Exception:  # whatever it is, nothing that was answered goes with it
            self.keeper.rescue()
            raise
        finally:
            with suppress(Exception):
                steps.close()
        try:
            if sitting.how == "left":
                talk.say(f"Left here. {KEPT}")
            self.keeper.farewell(closed=sitting.how == "closed")
        except Exception:
            self.keeper.rescue()
            raise
        return 2 if sitting.misread and talk.by_name else 0

    def _through(self, steps: Talking[Sitting]) -> Sitting:
        from advisor.ask.records import Keep, NoMoreLines, Show

        reply: str | None = None
        ended = False
        while True:
            try:
                step = steps.throw(NoMoreLines()) if ended else steps.send(reply)
            except StopIteration as end:
                return end.value  # type: ignore[no-any-return]
            reply, ended = None, False
            if isinstance(step, Show):
                for block in step.blocks:
                    draw(self.talk, block, self.keeper.named)
            elif isinstance(step, Keep):
                self.keeper.save(step.case)
            else:
                try:
                    reply = self._line(step)
                except TalkEnded:
                    if self.talk.interactive:
                        raise
                    ended = True

    def _line(self, ask: Ask) -> str:
        early, self.early = self.early, None
        if early is not None and early[0] == ask.question:
            return early[1]
        if self.stopped is not None:
            raise self.stopped
        if ask.number and not ask.again:
            self.keeper.remind()
        draw_question(self.talk, ask)
        return self.talk.ask(ask.key)


def ask(args: argparse.Namespace) -> int:
    """Run the guided session and return the exit status."""
    return _sit(args, "ask")


def recheck(args: argparse.Namespace) -> int:
    """Run a later look, or close the case, and return the exit status."""
    args.resume = args.case
    return _sit(args, "close" if args.close else "look")


def _sit(args: argparse.Namespace, to: Literal["ask", "look", "close"]) -> int:
    talk = Talk(lines=read_answers(args.answers))
    loading = Loading(args.rules)
    said = "Nothing was answered, so nothing is kept."
    reader: Reader | None = None
    try:
        with ending_signals():
            try:
                early = None if args.resume else _early(talk, args.rules)
                said = "Stopped while the rules were being read; nothing is kept of this sitting."
                with unbroken():  # the line already typed is kept first
                    reader, steps = begin(args, talk, loading, to)
                    reader.early = early
            except TalkEnded:
                talk.say(said)
                return 0
            except (KeyboardInterrupt, Ended) as stop:
                if reader is None or early is None:
                    with suppress(OSError):
                        talk.say(f"\n{said}")
                    return status_of(stop)
                reader.stopped = stop
            return reader.read(steps)
    finally:
        loading.settle()


def _early(talk: Talk, rules: str | None) -> tuple[str, str] | None:
    """The first question, shown and answered while the rules load."""
    from advisor.ask.keys import LEGEND

    talk.say(INTRO)
    talk.say(LEGEND)
    ask = first_question(rules)
    if ask is None:
        return None
    draw_question(talk, ask)
    return ask.question, talk.ask(ask.key)


def begin(
    args: argparse.Namespace,
    talk: Talk,
    loading: Loading,
    to: Literal["ask", "look", "close"],
    clock: Callable[[], datetime] = datetime.now,
) -> tuple[Reader, Talking[Sitting]]:
    """A session on a new case, or on one that was kept."""
    folder = cases_folder(args.cases)
    reasoner = loading.get(talk)
    from advisor.advice.facts.vocabulary import check_vocabulary
    from advisor.ask.answers.parts import changed
    from advisor.ask.keys import LEGEND
    from advisor.ask.session import session
    from advisor.case import ABSENT, Case, load_with_stamp
    from advisor.screens.session.keep import Keeper

    path: Path | None = None
    title = getattr(args, "title", None) or ""
    stamp, case = ABSENT, Case()
    if title:
        case = changed(case, delivery=changed(case.delivery, title=title))
    if args.resume:
        path = find_case(args.resume, folder)
        case, stamp = load_with_stamp(path, weighed=False)
        check_vocabulary(case, reasoner.base, path.name)
        talk.say(case.delivery.title or path.name, strong=True)
        if to == "ask":
            talk.say(f"Going on with {path}. {LEGEND}")
    keeper = Keeper(
        talk, folder, clock, title=title, path=path, stamp=stamp, case=case, looking=to == "look"
    )
    return Reader(talk, keeper), session(case, reasoner, clock, to=to)


def read_answers(name: str | None) -> list[str] | None:
    """The lines of a file of answers ("-" for standard input); None to ask at the keyboard."""
    if name is None:
        return None
    try:
        if name == "-":
            text = sys.stdin.read(MOST_ANSWERS + 1)
        else:
            with open(name, encoding="utf-8-sig") as file:
                text = file.read(MOST_ANSWERS + 1)
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or "not UTF-8 text"
        raise AdvisorError(f"{name}: answers cannot be read ({reason.lower()})") from None
    if len(text) > MOST_ANSWERS:
        raise AdvisorError(f"{name}: holds over a million letters; no session has so many answers")
    return text.splitlines()
