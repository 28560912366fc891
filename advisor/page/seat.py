"""One person's session on one delivery: what was shown since the last reply, what is asked.

The case file is the state. A session is begun anew from it whenever somebody else has
changed the file, and after a restart. A question of several parts is in the file once all of
them are answered; until then its parts are noted beside the case.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Literal

from advisor.advice.facts.vocabulary import check_vocabulary
from advisor.advice.reasoner import Reasoner
from advisor.ask.again import again
from advisor.ask.one_bag import FOLLOWS
from advisor.ask.records import Ask, Block, Keep, Show, Sitting, Talking
from advisor.ask.session import session
from advisor.case import Case, ChangedOnDisk, load_with_stamp, save_case, stamp
from advisor.errors import AdvisorError

To = Literal["ask", "look", "close"]
#: After so long without a reply a session is begun anew.
IDLE = timedelta(hours=1)


def asked_of(ask: Ask | None) -> str:
    """What is asked, as a page names it when it sends the reply."""
    return "" if ask is None else f"{ask.key}|{ask.follows}|{ask.part[:40]}"


@dataclass
class Seat:
    """parts : file in which answered parts of an unfinished question are noted

    to : what the session is for; ``key`` of the one question where it only puts that again

    thinking : held while the session thinks, not while its case is written
    others_lots : lots that somebody else has taken on; they are left out here
    """

    path: Path
    reasoner: Reasoner
    clock: Callable[[], datetime]
    thinking: AbstractContextManager[object]
    parts: Path
    to: To = "ask"
    key: str = ""
    others_lots: frozenset[str] = frozenset()
    ask: Ask | None = None
    ended: Sitting | None = None
    unsaved: str = ""
    blocks: list[Block] = field(default_factory=list)
    case: Case = field(default_factory=Case)
    _steps: Talking[Sitting] | None = None
    _stamp: str = ""
    _touched: datetime = datetime.min

    def begin(self) -> None:
        """Begin from the case as it lies on disk."""
        self.case, self._stamp = load_with_stamp(self.path)
        check_vocabulary(self.case, self.reasoner.base, self.path.name)
        self.ask, self.ended, self.blocks, self._touched = None, None, [], self.clock()
        if self.key:
            self._steps = again(self.case, self.reasoner, self.clock, self.key)
        else:
            self._steps = session(self.case, self.reasoner, self.clock, to=self.to)
        self._on(None)
        for asked, line in list(self._noted()):
            if asked != asked_of(self.ask):
                break
            self._on(line)

    def fresh(self) -> None:
        """Begin anew when the file is no longer what this session left, or after a long pause.

        A session writes what is seen to the hour of its look; after a pause it is another look.
        """
        idle = self.clock() - self._touched > IDLE
        moved = self._steps is None or (not self.unsaved and stamp(self.path) != self._stamp)
        if moved or (idle and not self.unsaved):
            self.begin()

    def reply(self, line: str) -> None:
        """Send a reply to what is asked, and go on to what is asked next."""
        asked, stood = self.ask, self._stamp
        self.blocks, self._touched = [], self.clock()
        try:
            self._on(line)
            self._note(asked, line, kept=self._stamp != stood)
        except ChangedOnDisk:
            self.begin()
            raise

    def tick(self, action: str) -> bool:
        """Tick a step that waits as the session does, which asks what it must know of it first.

        False where the step does not wait.
        """
        if self.ask is None:
            self.begin()
        if self.ask is not None and self.ask.follows in FOLLOWS:
            return True  # sent twice: it is being asked
        waiting = self.ask.waiting if self.ask is not None else ()
        number = next((each.number for each in waiting if each.action == action), None)
        if number is None:
            return False
        self.blocks, self._touched = [], self.clock()
        try:
            self._on(f"d {number}")
        except ChangedOnDisk:
            self.begin()
            raise
        return True

    def _note(self, asked: Ask | None, line: str, *, kept: bool) -> None:
        """Note an answered part of a question; none is left once the question is."""
        if kept or asked is None or self.ask is None or asked.key != self.ask.key:
            self.parts.unlink(missing_ok=True)
        elif asked_of(asked) != asked_of(self.ask):
            entry = (self.clock().isoformat(), asked_of(asked), line)
            with open(self.parts, "a", encoding="utf-8") as file:
                file.write(json.dumps(entry, ensure_ascii=False) + "\n")

    def _noted(self) -> Iterator[tuple[str, str]]:
        """(what was asked, reply) of parts answered not long ago; a torn line is passed over."""
        try:
            lines = self.parts.read_text(encoding="utf-8").splitlines()
        except FileNotFoundError:
            return
        for each in lines:
            try:
                at, asked, line = json.loads(each)
                if self.clock() - datetime.fromisoformat(at) <= IDLE:
                    yield str(asked), str(line)
            except (ValueError, TypeError):
                continue

    def _on(self, line: str | None) -> None:
        assert self._steps is not None
        while True:
            try:
                with self.thinking:
                    step = self._steps.send(line)
            except StopIteration as end:
                self.ask, self.ended = None, end.value
                return
            line = None
            if isinstance(step, Show):
                self.blocks += step.blocks
            elif isinstance(step, Keep):
                if not step.part:  # parts of an answer are noted as typed
                    self._keep(step.case)
            elif self._is_others(step):
                line = "e"
            else:
                self.ask = step
                return

    def _is_others(self, ask: Ask) -> bool:
        return ask.key.partition("/")[2] in self.others_lots and not ask.follows and not self.key

    def _keep(self, case: Case) -> None:
        self.case = case
        try:
            self._stamp = save_case(case, self.path, expected_stamp=self._stamp)
            self.unsaved = ""
        except ChangedOnDisk:
            raise
        except AdvisorError as fault:  # a full disk: the session goes on in memory and says so
            self.unsaved = str(fault)
