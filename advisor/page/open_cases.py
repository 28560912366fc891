"""The cases of a folder and the people at them. One thought at a time: the engine is one."""

from __future__ import annotations

import hashlib
import json
import os
import threading
from collections import OrderedDict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from advisor.advice.assess import Reasoner, assess
from advisor.advice.results import Assessment
from advisor.ask.again import may_change
from advisor.ask.answered import Answered, answers
from advisor.ask.answers.apply import FIRST_LOT, asked_key
from advisor.ask.answers.phrases import SignBook
from advisor.ask.hours import started
from advisor.ask.records import Ask
from advisor.case import ABSENT, Case, ChangedOnDisk, load_with_stamp, save_case
from advisor.case.folder import make_folder, new_path
from advisor.errors import AdvisorError
from advisor.page.log import AnswerLog, LoggedAnswer
from advisor.page.seat import Seat, To

#: Sessions held in memory; one that was put away begins again from its file.
MOST_SEATS = 60
_MOST_KEPT = 40
#: A question page older than this is asked again instead of answered.
STALE = timedelta(hours=4)


@dataclass(frozen=True)
class Given:
    """A reply as it came from a page.

    asked : what the page had asked ("key|follows|part"); ``made``: when, ISO 8601
    once  : mark of this form
    """

    line: str
    shown: str
    asked: str
    made: str
    once: str
    who: str


class NoSuchCase(AdvisorError):
    """No case of the folder has that mark."""


def asked_of(ask: Ask | None) -> str:
    """What is asked, as a page names it when it sends the reply."""
    return "" if ask is None else f"{ask.key}|{ask.follows}|{ask.part[:40]}"


class Desk:
    """Everything the pages work on. Methods may be called from several threads."""

    def __init__(
        self, folder: Path, reasoner: Reasoner, clock: Callable[[], datetime] = datetime.now
    ) -> None:
        make_folder(folder)
        self.folder, self.reasoner, self.clock = folder, reasoner, clock
        self.book = SignBook(reasoner.base)
        self.lock = threading.RLock()
        self.beside = folder / ".page"
        self.beside.mkdir(mode=0o700, exist_ok=True)
        self._seats: OrderedDict[tuple[str, str, str], Seat] = OrderedDict()
        self._logs: OrderedDict[str, AnswerLog] = OrderedDict()
        self._results: OrderedDict[tuple[Path, str], Assessment] = OrderedDict()

    # -- cases --------------------------------------------------------------

    def paths(self) -> dict[str, Path]:
        """Mark of each case -> its file. A mark is no path: only what is listed can be opened."""
        found = sorted(path for path in self.folder.glob("*.toml") if path.is_file())
        return {mark_of(path): path for path in found}

    def path(self, mark: str) -> Path:
        """The file of a mark. Raises NoSuchCase."""
        path = self.paths().get(mark)
        if path is None:
            raise NoSuchCase("There is no such delivery here.")
        return path

    def new(self, case: Case, title: str = "") -> str:
        """Keep a new case and give its mark."""
        with self.lock:
            for _ in range(5):
                path = new_path(self.folder, self.clock(), title or "delivery")
                try:
                    save_case(started(case, self.clock()), path, expected_stamp=ABSENT)
                except ChangedOnDisk:
                    continue
                return mark_of(path)
        raise AdvisorError("No free name for a new case was found; try again.")

    def case(self, mark: str) -> Case:
        return load_with_stamp(self.path(mark))[0]

    def change(self, mark: str, change: Callable[[Case], Case]) -> Case:
        """Change a case in one step, whoever else is at it."""
        with self.lock:
            path = self.path(mark)
            case, stamp = load_with_stamp(path)
            case = change(case)
            save_case(case, path, expected_stamp=stamp)
            return case

    def result(self, mark: str) -> tuple[Case, Assessment]:
        """The case and what the rules make of it as it lies on disk."""
        with self.lock:
            path = self.path(mark)
            case, stamp = load_with_stamp(path)
            kept = self._results.get((path, stamp))
            if kept is None:
                kept = self._results[path, stamp] = assess(case, self.reasoner)
                while len(self._results) > _MOST_KEPT:
                    self._results.popitem(last=False)
            return case, kept

    # -- sessions -------------------------------------------------------------

    def seat(self, mark: str, who: str, to: To = "ask", key: str = "") -> Seat:
        """The session of somebody at a case, in step with the file."""
        with self.lock:
            name = (mark, who, key or to)
            seat = self._seats.get(name)
            others = frozenset(lot for lot, by in self.claims(mark).items() if by != who)
            if seat is None or seat.others_lots != others:
                seat = Seat(self.path(mark), self.reasoner, self.book, self.clock, to, key, others)
                self._seats[name] = seat
                while len(self._seats) > MOST_SEATS:
                    self._seats.popitem(last=False)
            self._seats.move_to_end(name)
            seat.fresh()
            return seat

    def leave(self, mark: str, who: str, to: str) -> None:
        """Put a session away; the case stays as it is."""
        with self.lock:
            self._seats.pop((mark, who, to), None)

    def reply(self, mark: str, given: Given, to: To = "ask", key: str = "") -> str:
        """Take a reply. Gives "" when it was taken, else why not: "stale", "moved" or "clash"."""
        with self.lock:
            log = self.log(mark)
            if given.once and given.once in log.seen:
                return ""  # the phone sent it twice
            if self._is_old(given.made):
                return "stale"
            seat = self.seat(mark, given.who, to, key)
            ask = seat.ask
            if ask is None or asked_of(ask) != given.asked:
                return self._late(log, given)
            seat.reply(given.line)
            log.add(
                LoggedAnswer(
                    self.now(), given.who, given.once, ask.key, given.line, given.shown,
                    ask.text, ask.follows,
                )
            )  # fmt: skip
            return ""

    def _late(self, log: AnswerLog, given: Given) -> str:
        """Somebody was faster. The same answer is no quarrel; another is shown to both."""
        key, follows, _ = f"{given.asked}||".split("|", 2)
        stands = log.last(key)
        if stands is None or follows or stands.said == given.line:
            return "" if stands is not None and stands.said == given.line else "moved"
        log.add(
            LoggedAnswer(
                self.now(), given.who, given.once, key, given.line, given.shown, stands.text,
                clash=True,
            )
        )  # fmt: skip
        return "clash"

    def settle(self, mark: str, key: str, who: str) -> None:
        """The answer that stands is kept: the quarrel about it is over."""
        with self.lock:
            log = self.log(mark)
            stands = log.last(key)
            if stands is not None:
                log.add(
                    LoggedAnswer(self.now(), who, "", key, stands.said, stands.shown, stands.text)
                )

    def _is_old(self, made: str) -> bool:
        try:
            return self.clock() - datetime.fromisoformat(made) > STALE
        except (ValueError, TypeError):
            return True

    def now(self) -> str:
        return self.clock().replace(microsecond=0).isoformat()

    def log(self, mark: str) -> AnswerLog:
        """Who answered what at a case."""
        with self.lock:
            log = self._logs.get(mark)
            if log is None:
                self.path(mark)
                log = self._logs[mark] = AnswerLog(self.beside / f"{mark}.jsonl")
                while len(self._logs) > _MOST_KEPT:
                    self._logs.popitem(last=False)
            return log

    def answers(self, mark: str) -> Iterator[tuple[str, Answered, LoggedAnswer | None, bool]]:
        """(key, answer as the case holds it, who gave it here, whether it can be changed)."""
        log, base = self.log(mark), self.reasoner.base
        for each in answers(self.case(mark), base):
            key = asked_key(each.question, each.lot)
            said = log.last(key) or log.last(asked_key(each.question, FIRST_LOT))
            yield key, each, said, may_change(key, base)

    # -- who has which lot ------------------------------------------------------

    def claims(self, mark: str) -> dict[str, str]:
        """Lot -> who has taken it on."""
        try:
            kept = json.loads((self.beside / f"{mark}.lots.json").read_text(encoding="utf-8"))
            return {str(lot): str(who) for lot, who in kept.items()}
        except (OSError, ValueError, AttributeError):
            return {}

    def claim(self, mark: str, lot: str, who: str) -> None:
        """Take a lot on, or give it back when it is one's own already."""
        with self.lock:
            if lot not in [each.id for each in self.case(mark).lot]:
                raise AdvisorError("There is no such lot here.")
            kept = self.claims(mark)
            if kept.get(lot) == who:
                del kept[lot]
            else:
                kept[lot] = who
            path = self.beside / f"{mark}.lots.json"
            fresh = path.with_suffix(".new")
            fresh.write_text(json.dumps(kept), encoding="utf-8")
            os.replace(fresh, path)


def mark_of(path: Path) -> str:
    """A short mark of a file's name, for addresses."""
    return hashlib.sha256(path.stem.encode("utf-8", "surrogateescape")).hexdigest()[:16]
