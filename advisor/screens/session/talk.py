"""One line out, one line in: from a keyboard, a pipe or a file of answers.

Kept free of heavy imports: the first question is shown before anything else loads.
"""

from __future__ import annotations

import atexit
import os
import re
import shutil
import signal
import sys
import textwrap
from collections.abc import Iterable
from contextlib import suppress
from types import FrameType
from typing import TextIO

from advisor.screens.console import NARROWEST, WIDEST
from advisor.wording.text import plain

PROMPT = "> "
_KEYED = re.compile(r"^([a-z][a-z0-9_]*(?:/[a-z0-9-]+)?)\s*:\s*(.*)$")
_MOST_LINE = 4000
#: How often signals are looked at while a line is typed [s].
_HEED_S = 0.2


class TalkEnded(Exception):
    """The person leaves, or nobody is there any more. ``how`` says which."""

    def __init__(self, how: str) -> None:
        super().__init__(how)
        self.how = how


class Talk:
    """Where lines come from and go to.

    ``ask`` gives the next line typed. With answers by name ("hours_sealed: 30 h") a
    question gets its own line, parts of it split at "|", and an empty one when
    none is given; otherwise lines are taken in order.
    """

    def __init__(
        self,
        out: TextIO | None = None,
        lines: Iterable[str] | None = None,
        *,
        width: int | None = None,
    ) -> None:
        self.out = out or sys.stdout
        self.interactive = lines is None and sys.stdin.isatty()
        self.width = width or columns_of(self.out)
        self._bold = self.out.isatty() and not os.environ.get("NO_COLOR")
        self._pushed: list[str] = []
        self._named: dict[str, list[str]] | None = None
        self._lines = None if lines is None else self._sorted_out(lines)
        self._heeds = False
        if self.interactive:
            self._heeds = _heed_signals()
            with suppress(ImportError):
                import readline  # noqa: F401  (editing of the line typed)

    def _sorted_out(self, lines: Iterable[str]) -> list[str] | None:
        """Plain lines in order; or, when every line has a name, answers by name."""
        kept = [line.rstrip("\r\n") for line in lines]
        kept = [line for line in kept if not line.lstrip().startswith("#")]
        filled = [line for line in kept if line.strip()]
        matches = [_KEYED.match(line) for line in filled]
        if filled and all(matches):
            self._named = {m.group(1): m.group(2).split("|") for m in matches if m}
            return None
        return list(reversed(kept))

    # -- out ----------------------------------------------------------------

    def say(
        self,
        text: str = "",
        *,
        indent: int = 0,
        hang: int = 0,
        strong: bool = False,
        whole: str = "",
    ) -> None:
        """Print text wrapped to the width; further lines of a paragraph hang by ``hang``.

        Names of files stay in one piece, so that they can be copied; one with spaces is ``whole``.
        """
        kept = plain(whole)
        for line in plain(text).split("\n"):
            pad = " " * indent
            wrapped = textwrap.wrap(
                line.replace(kept, kept.replace(" ", "\0")) if kept else line,
                self.width,
                initial_indent=pad,
                subsequent_indent=pad + " " * hang,
                break_on_hyphens=False,
                break_long_words=os.sep not in max(line.split(), key=len, default=""),
            )
            for piece in (each.replace("\0", " ") for each in wrapped or [""]):
                self._write(f"\x1b[1m{piece}\x1b[0m\n" if strong and self._bold else f"{piece}\n")

    def item(self, mark: str, text: str, *, indent: int = 1) -> None:
        """A marked line whose further lines stand under its first word."""
        self.say(f"{mark} {text}", indent=indent, hang=len(mark) + 1)

    def _write(self, text: str) -> None:
        try:
            self.out.write(text)
        except UnicodeEncodeError:
            self.out.write(text.encode("ascii", "replace").decode())

    # -- in -----------------------------------------------------------------

    def push(self, line: str) -> None:
        """Give a line back: the next ``ask`` returns it."""
        self._pushed.append(line)

    def ask(self, name: str = "", prompt: str = PROMPT) -> str:
        """The next line typed. Raises Leave at the end of input.

        name : id of the question, for answers given by name
        """
        self.out.flush()
        if self._pushed:
            return self._pushed.pop()
        if self.interactive:
            return self._typed(prompt)
        line = self._next(name)
        self._write(f"{prompt}{plain(line)}\n")
        return line

    @property
    def by_name(self) -> bool:
        """Whether answers were given by name."""
        return self._named is not None

    def _typed(self, prompt: str) -> str:
        try:
            if self._heeds:
                signal.setitimer(signal.ITIMER_REAL, _HEED_S, _HEED_S)
            return input(prompt)[:_MOST_LINE]
        except (EOFError, OSError) as error:
            self._write("\n")
            raise TalkEnded("end") from error
        finally:
            if self._heeds:
                signal.setitimer(signal.ITIMER_REAL, 0)

    def _next(self, name: str) -> str:
        if self._named is not None:
            parts = self._named.get(name) or self._named.get(name.partition("/")[0]) or []
            return parts.pop(0).strip() if parts else ""
        if self._lines is None:
            line = sys.stdin.readline(_MOST_LINE)
            if not line:
                raise TalkEnded("end")
            return line.rstrip("\r\n")
        if not self._lines:
            raise TalkEnded("end")
        return self._lines.pop()


def _heed_signals() -> bool:
    """Make an alarm that does nothing but break off the wait for a key.

    Python looks at signals between its own steps and when a wait is broken off. Ctrl-C
    that comes after the last step and before the wait would lie unseen until the line
    is finished. False where there are no such alarms.
    """

    def nothing(number: int, frame: FrameType | None) -> None:
        pass

    if not hasattr(signal, "setitimer"):
        return False
    try:
        signal.signal(signal.SIGALRM, nothing)
    except ValueError:  # not on the main thread
        return False
    # one still running when Python has put its handler away would end the program
    atexit.register(signal.setitimer, signal.ITIMER_REAL, 0)
    return True


def columns_of(out: TextIO) -> int:
    """Columns of a terminal, of anything else 80 unless COLUMNS says more or fewer."""
    columns = shutil.get_terminal_size((80, 24)).columns
    if not out.isatty() and not os.environ.get("COLUMNS"):
        columns = 80
    return max(NARROWEST, min(columns, WIDEST))
