"""Who answered what: a line for each answer, beside the cases.

It also remembers which sendings have arrived, so that one that a phone repeats counts once.
The case file alone says what is known; this only says who said it and when.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path


@dataclass(frozen=True)
class LoggedAnswer:
    """One answer.

    at    : local time, ISO 8601
    once  : the mark of the form it came with
    key   : question as the case remembers it; ``follows`` for what follows a question
    said  : the reply as sent, ``shown`` as it reads
    clash : it was given when somebody else had answered already, and was not taken
    """

    at: str
    who: str
    once: str
    key: str
    said: str
    shown: str
    text: str = ""
    follows: str = ""
    clash: bool = False


class AnswerLog:
    """The answers of one delivery."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self.entries: list[LoggedAnswer] = list(_read(path))
        self.seen = {entry.once for entry in self.entries if entry.once}

    def add(self, entry: LoggedAnswer) -> None:
        """Write an answer down, beyond the reach of this program's own end."""
        line = json.dumps(asdict(entry), ensure_ascii=False) + "\n"
        with open(self._path, "a", encoding="utf-8") as file:
            file.write(line)
        self.entries.append(entry)
        self.seen.add(entry.once)

    def last(self, key: str) -> LoggedAnswer | None:
        """The answer that stands for a question."""
        found = (e for e in reversed(self.entries) if e.key == key and not e.follows)
        return next((entry for entry in found if not entry.clash), None)

    def clashes(self) -> list[tuple[LoggedAnswer, LoggedAnswer]]:
        """(answer that stands, answer that was not taken) of questions nobody has settled since."""
        open_now: dict[str, LoggedAnswer] = {}
        for entry in self.entries:
            if entry.clash:
                open_now[entry.key] = entry
            elif not entry.follows:
                open_now.pop(entry.key, None)
        pairs = ((self.last(key), other) for key, other in open_now.items())
        return [(stands, other) for stands, other in pairs if stands is not None]


def _read(path: Path) -> Iterator[LoggedAnswer]:
    """Entries of a file; a last line that was cut off by a crash is passed over."""
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except FileNotFoundError:
        return
    for line in lines:
        try:
            yield LoggedAnswer(**json.loads(line))
        except (ValueError, TypeError):
            continue
