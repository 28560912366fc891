"""Keeping the case on disk after every answer, and saying clearly when that fails."""

from __future__ import annotations

import os
import shlex
import sys
import tempfile
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from advisor.case import ABSENT, Case, ChangedOnDisk, dumps_case, load_with_stamp, save_case
from advisor.case.folder import (
    beside,
    cases_folder,
    expanded,
    find_case,
    make_folder,
    new_path,
)
from advisor.errors import AdvisorError
from advisor.screens.session.ending import unbroken
from advisor.screens.session.talk import Talk, TalkEnded


class Keeper:
    """Where the case is kept. At most the answer being typed is ever lost.

    folder, title     : for a case that has no file yet
    path, stamp, case : of a case that was read from a file
    looking           : the sitting is a later look
    """

    def __init__(
        self,
        talk: Talk,
        folder: Path,
        clock: Callable[[], datetime],
        *,
        title: str = "",
        path: Path | None = None,
        stamp: str = ABSENT,
        case: Case | None = None,
        looking: bool = False,
    ) -> None:
        self.talk = talk
        self.path = path
        self.unsaved = False
        self._folder, self._title, self._clock = folder, title, clock
        self._stamp = stamp
        self._told = path is not None
        self._asked = False
        self._looking = looking
        self._written = self._wanted = case or Case()

    def save(self, case: Case) -> None:
        """Write the case; on failure say so, keep it in memory and offer another folder once."""
        self._wanted = case
        try:
            with unbroken():
                self._write(case)
                self._written = case
        except ChangedOnDisk:
            self._elsewhere(case)
        except AdvisorError as fault:
            self._failed(case, fault)
        else:
            self._kept()

    def _write(self, case: Case) -> None:
        if self.path is None:
            make_folder(self._folder)
            for _ in range(5):
                path = new_path(self._folder, self._clock(), self._title)
                try:
                    self._stamp = save_case(case, path, expected_stamp=ABSENT)
                except ChangedOnDisk:
                    continue  # another session took the name between the two steps
                self.path = path
                return
        assert self.path is not None
        self._stamp = save_case(case, self.path, expected_stamp=self._stamp)

    def _kept(self) -> None:
        if not self._told:
            self.talk.say(f"Kept after every answer in {self.path}")
        elif self.unsaved:
            self.talk.say(f"Saved again, in {self.path}")
        self._told, self.unsaved = True, False

    def _elsewhere(self, case: Case) -> None:
        """Another session wrote to the file: its work stays, ours goes on beside it."""
        assert self.path is not None
        other = self.path
        failed: AdvisorError | None = None
        for _ in range(5):
            self.path, self._stamp, failed = beside(other), ABSENT, None
            try:
                with unbroken():
                    self._write(case)
                    self._written = case
            except ChangedOnDisk as fault:
                failed = fault  # a third session took the name between the two steps
                continue
            except AdvisorError as fault:
                failed = fault
            break
        self.talk.say(
            f"Another session has changed {other.name} meanwhile. It is left as it is; your "
            f"answers are kept in {self.path} from here on.",
            strong=True,
        )
        if failed is None:
            self.unsaved = False
        else:
            self._failed(case, failed)

    def _failed(self, case: Case, fault: AdvisorError) -> None:
        first = not self.unsaved
        self.unsaved = True
        if not first:
            return
        self.talk.say(f"{fault}.".replace("..", "."), strong=True)
        self.talk.say(
            "Your answers are kept in memory and nothing asked so far is lost. Free some space, or "
            "name another folder now; Enter goes on and tries again after the next answer."
        )
        if self._asked or not self.talk.interactive:
            return
        self._asked = True
        try:
            folder = self.talk.ask("", "folder> ").strip()
        except TalkEnded:
            return
        if folder:
            try:
                self._folder, self.path, self._stamp = expanded(folder), None, ABSENT
            except AdvisorError as wrong:
                self.talk.say(f"{wrong}", strong=True)
                return
            self.save(case)

    @property
    def case(self) -> Case:
        """The case last given to be kept."""
        return self._wanted

    @property
    def named(self) -> str:
        """How the case is called on the command line."""
        return "CASE" if self.path is None else shlex.quote(self.path.stem)

    def _called(self) -> str:
        """The case on a command line: by its name where that finds it, else by its file."""
        with suppress(AdvisorError):
            if self.path is not None and find_case(self.path.stem, cases_folder()) == self.path:
                return shlex.quote(self.path.stem)
        return shlex.quote(str(self.path))

    def remind(self) -> None:
        """One line as long as answers are nowhere but in memory."""
        if self.unsaved:
            self.talk.say("! Not saved: your answers are in memory only.", strong=True)

    def farewell(self, *, closed: bool = False) -> None:
        """Where it is kept and how to go on; the case itself when it could not be kept."""
        case = self._wanted
        quoted = self._called()
        if case is not self._written and not self.unsaved:
            self.save(case)  # stopped between the answer and its writing
        if self.unsaved:
            self.talk.say("It could not be saved. Copy what follows into a file to keep it:")
            self.talk.out.write(shown_case(case))
        elif self.path is not None and closed:
            self.talk.say(
                f"Papers: advisor paper {quoted} --for vet, supplier or log", whole=quoted
            )
        elif self.path is not None:
            self.talk.say(f"Kept in {self.path}")
            self.talk.say(f"Go on with: advisor ask --resume {quoted}", whole=quoted)
            shut = any(lot.sealed == "yes" for lot in case.lot)
            if self._looking or (case.observation and not shut):
                self.talk.say(f"A later look: advisor recheck {quoted}", whole=quoted)

    def rescue(self) -> None:
        """After a fault of the program: the answers on disk, else in a copy, else on the screen.

        Counts on nothing that worked before; never raises an ordinary error.
        """
        case = self._wanted
        if case == Case():
            return
        for path in (self.path, Path(tempfile.gettempdir()) / f"advisor-case-{os.getpid()}.toml"):
            with suppress(Exception):
                if path is not None and load_with_stamp(path, weighed=False)[0] == case:
                    self._tell(f"Your answers are in {path}")
                    return
            with suppress(Exception):
                if path is not None and not os.path.lexists(path):
                    save_case(case, path, expected_stamp=ABSENT)
                    self._tell(f"Your answers are in {path}")
                    return
        for out in (self.talk.out, sys.stderr):
            with suppress(Exception):
                out.write("Copy what follows into a file to keep your answers:\n")
                out.write(shown_case(case))
                out.flush()
                return

    def _tell(self, text: str) -> None:
        for out in (self.talk.out, sys.stderr):
            with suppress(Exception):
                out.write(f"{text}\n")
                out.flush()
                return


def shown_case(case: Case) -> str:
    """The case as TOML in which no character steers a terminal; read again, it is the same."""
    return "".join(_written(letter) for letter in dumps_case(case))


def _written(letter: str) -> str:
    if letter.isprintable() or letter == "\n":
        return letter
    return f"\\u{ord(letter):04X}" if ord(letter) < 0x10000 else f"\\U{ord(letter):08X}"
