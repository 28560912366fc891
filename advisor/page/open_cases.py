"""The cases of a folder and the people at them.

Who works on a delivery holds it (``at``), so that answers to it come one after the other; who
has the rules think holds ``thinking`` besides, and only for that. So a page that is only drawn,
or a file that is written, waits for no thought about another delivery. The order is always
``at`` before ``thinking``, and nobody holds two deliveries.
"""

from __future__ import annotations

import hashlib
import json
import os
import threading
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner
from advisor.advice.results import Assessment
from advisor.ask.again import may_change
from advisor.ask.answered import Answered, answers
from advisor.ask.answers.apply import FIRST_LOT, asked_key
from advisor.ask.hours import started
from advisor.ask.session import session
from advisor.ask.shelf import Shelved, shelved
from advisor.case import ABSENT, Case, ChangedOnDisk, load_with_stamp, save_case
from advisor.case.folder import make_folder, mark_of, new_path
from advisor.errors import AdvisorError
from advisor.page.latest import Latest
from advisor.page.log import AnswerLog, LoggedAnswer
from advisor.page.seat import Seat, To, asked_of

#: Sessions held in memory, two for each of twenty people; one that was put away begins again from
#: its file.
MOST_SEATS = 40
#: Folder of deliveries that were put away.
PUT_AWAY = "put-away"
_MOST_KEPT, _MOST_LISTED = 30, 1000
#: Deliveries share this many locks; two that meet in one merely wait for each other.
_LOCKS = 64
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


class Desk:
    """Everything the pages work on. Methods may be called from several threads."""

    def __init__(
        self, folder: Path, reasoner: Reasoner, clock: Callable[[], datetime] = datetime.now
    ) -> None:
        make_folder(folder)
        self.folder, self.reasoner, self.clock = folder, reasoner, clock
        self.thinking = threading.RLock()
        self._held = [threading.RLock() for _ in range(_LOCKS)]
        self.beside = folder / ".page"
        self.beside.mkdir(mode=0o700, exist_ok=True)
        self._begun = AnswerLog(self.beside / "begun.jsonl")
        self._files: dict[str, Path] = {}
        self._shelf: Latest[str, tuple[tuple[int, ...], Shelved | Case | str]] = Latest(
            _MOST_LISTED
        )
        self._seats: Latest[tuple[str, str, str], Seat] = Latest(MOST_SEATS)
        self._logs: Latest[str, AnswerLog] = Latest(_MOST_KEPT)
        self._results: Latest[str, tuple[str, Assessment]] = Latest(_MOST_KEPT)

    def make_ready(self) -> None:
        """Make of the rules what is otherwise made when first asked for."""
        assess(Case(), self.reasoner)
        for _ in session(Case(), self.reasoner, self.clock):
            break

    def at(self, mark: str) -> threading.RLock:
        """Held by whoever works on this delivery."""
        return self._held[hash(mark) % _LOCKS]

    # -- cases --------------------------------------------------------------

    def paths(self) -> dict[str, Path]:
        """Mark of each case -> its file. A mark is no path: only what is listed can be opened."""
        found = sorted(path for path in self.folder.glob("*.toml") if path.is_file())
        return {mark_of(path): path for path in found}

    def path(self, mark: str) -> Path:
        """The file of a mark. Raises NoSuchCase."""
        path = self._files.get(mark)
        if path is None or not path.is_file():  # new, or gone: only then is the folder read
            self._files = self.paths()
            path = self._files.get(mark)
        if path is None:
            raise NoSuchCase("There is no such delivery here.")
        return path

    def new(self, case: Case, title: str = "", once: str = "", who: str = "") -> str:
        """Keep a new case and give its mark; a form that comes again (``once``) gets the same."""
        with self.at(""):
            for entry in self._begun.entries:
                if once and entry.once == once:
                    return entry.key
            for _ in range(5):
                path = new_path(self.folder, self.clock(), title or "delivery")
                try:
                    save_case(started(case, self.clock()), path, expected_stamp=ABSENT)
                except ChangedOnDisk:
                    continue
                self._begun.add(LoggedAnswer(self.now(), who, once, mark_of(path), "", ""))
                return mark_of(path)
        raise AdvisorError("No free name for a new case was found; try again.")

    def first_time(self, once: str, who: str, what: str) -> bool:
        """Whether a form that makes no case has not come before."""
        with self.at(""):
            if once in self._begun.seen:
                return False
            self._begun.add(LoggedAnswer(self.now(), who, once, "", "", "", what))
            return True

    def case(self, mark: str) -> Case:
        return load_with_stamp(self.path(mark))[0]

    def change(self, mark: str, change: Callable[[Case], Case]) -> Case:
        """Change a case in one step, whoever else is at it."""
        with self.at(mark):
            path = self.path(mark)
            case, stamp = load_with_stamp(path)
            case = change(case)
            save_case(case, path, expected_stamp=stamp)
            return case

    # -- put away: in a folder of its own, out of every list ---------------------

    def put_away(self, mark: str) -> None:
        """Put a delivery out of sight; its file and what stands beside it stay."""
        with self.at(mark):
            path = self.path(mark)
            aside = self.folder / PUT_AWAY
            aside.mkdir(exist_ok=True)
            if (aside / path.name).exists():
                raise AdvisorError("One of that name is put away already.")
            os.replace(path, aside / path.name)

    def take_out(self, mark: str) -> None:
        """Put it back among the others."""
        with self.at(mark):
            for path in (self.folder / PUT_AWAY).glob("*.toml"):
                if mark_of(path) == mark and not (self.folder / path.name).exists():
                    os.replace(path, self.folder / path.name)
            self.path(mark)

    def put_aways(self) -> list[tuple[str, Case]]:
        """(mark, case) of what is put away and can be read."""
        found = []
        for path in sorted((self.folder / PUT_AWAY).glob("*.toml")):
            with suppress(AdvisorError):
                found.append((mark_of(path), load_with_stamp(path)[0]))
        return found

    def change_once(
        self, mark: str, once: str, who: str, what: str, change: Callable[[Case], Case]
    ) -> None:
        """The same for a form that a phone may send twice; ``once`` is the mark of the form."""
        with self.at(mark):
            log = self.log(mark)
            if once and once in log.seen:
                return
            self.change(mark, change)
            log.add(LoggedAnswer(self.now(), who, once, "", "", "", what, follows="form"))

    def result(self, mark: str) -> tuple[Case, Assessment]:
        """The case and what the rules make of it as it lies on disk."""
        with self.at(mark):
            case, stamp = load_with_stamp(self.path(mark))
            kept = self._results.get(mark)
            if kept is None or kept[0] != stamp:
                with self.thinking:
                    kept = stamp, assess(case, self.reasoner)
                self._results.put(mark, kept)
            return case, kept[1]

    def waiting(self) -> Iterator[tuple[str, Shelved | str]]:
        """(mark, open case as it waits; or a sentence on why it cannot be read)."""
        now = self.clock()
        for mark, kept in self._listed():
            if not isinstance(kept, Case):
                yield mark, kept.at(now) if isinstance(kept, Shelved) else kept

    def closed(self) -> list[tuple[str, Case]]:
        """(mark, case) of what is closed, the latest to come first."""
        found = [(mark, kept) for mark, kept in self._listed() if isinstance(kept, Case)]
        return sorted(found, key=lambda pair: pair[1].delivery.received or "", reverse=True)

    def _listed(self) -> Iterator[tuple[str, Shelved | Case | str]]:
        """All cases: open as it waits, closed, or why it cannot be read.

        A file is read again only when it was written anew.
        """
        for mark, path in self.paths().items():
            try:
                about = path.stat()
            except OSError:  # taken away meanwhile
                continue
            written = (about.st_ino, about.st_mtime_ns, about.st_size)
            kept = self._shelf.get(mark)
            if kept is None or kept[0] != written:
                kept = written, self._as_it_waits(path)
                self._shelf.put(mark, kept)
            yield mark, kept[1]

    def _as_it_waits(self, path: Path) -> Shelved | Case | str:
        try:
            case = load_with_stamp(path)[0]
            if case.outcome.closed:
                return case
            with self.thinking:
                return shelved(path, case, self.reasoner, self.clock())
        except AdvisorError as fault:
            return str(fault).split("\n", 1)[0]

    # -- sessions -------------------------------------------------------------

    def seat(self, mark: str, who: str, to: To = "ask", key: str = "") -> Seat:
        """The session of somebody at a case, in step with the file."""
        with self.at(mark):
            name = (mark, who, key or to)
            seat = self._seats.get(name)
            others = frozenset(lot for lot, by in self.claims(mark).items() if by != who)
            if seat is None or seat.others_lots != others:
                marked = hashlib.sha256("|".join(name).encode("utf-8", "replace")).hexdigest()[:24]
                seat = Seat(
                    self.path(mark), self.reasoner, self.clock, self.thinking,
                    self.beside / f"{marked}.parts", to, key, others,
                )  # fmt: skip
                self._seats.put(name, seat)
            seat.fresh()
            return seat

    def leave(self, mark: str, who: str, to: str) -> None:
        """Put a session away; the case stays as it is."""
        self._seats.drop((mark, who, to))

    def reply(self, mark: str, given: Given, to: To = "ask", key: str = "") -> str:
        """Take a reply. Gives "" when it was taken, else why not: "stale", "moved" or "clash"."""
        with self.at(mark):
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
        with self.at(mark):
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
        with self.at(mark):
            log = self._logs.get(mark)
            if log is None:
                self.path(mark)
                log = AnswerLog(self.beside / f"{mark}.jsonl")
                self._logs.put(mark, log)
            return log

    def answers(self, mark: str) -> Iterator[tuple[str, Answered, LoggedAnswer | None, bool]]:
        """(key, answer as the case holds it, who gave it here, whether it can be changed)."""
        log, base = self.log(mark), self.reasoner.base
        for each in answers(self.case(mark), base):
            said = log.last(each.key) or log.last(asked_key(each.question, FIRST_LOT))
            yield each.key, each, said, may_change(each.key, base)

    # -- who has which lot ------------------------------------------------------

    def claims(self, mark: str) -> dict[str, str]:
        """Lot -> who has taken it on."""
        try:
            kept = json.loads((self.beside / f"{mark}.lots.json").read_text(encoding="utf-8"))
            return {str(lot): str(who) for lot, who in kept.items()}
        except (OSError, ValueError, AttributeError):
            return {}

    def claim(self, mark: str, lot: str, who: str, *, take: bool) -> None:
        """Take a lot on, or give back what is one's own."""
        with self.at(mark):
            if lot not in [each.id for each in self.case(mark).lot]:
                raise AdvisorError("There is no such lot here.")
            kept = self.claims(mark)
            if take:
                kept[lot] = who
            elif kept.get(lot) == who:
                del kept[lot]
            path = self.beside / f"{mark}.lots.json"
            fresh = path.with_suffix(".new")
            fresh.write_text(json.dumps(kept), encoding="utf-8")
            os.replace(fresh, path)
