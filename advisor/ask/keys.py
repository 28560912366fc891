"""Keys that are not answers, the same at every question."""

from __future__ import annotations

import re

LEGEND = (
    "? why and help, Enter or u not known, b back, a all answers, p plan so far, d done, "
    "e enough, s save and leave."
)


class Back(Exception):
    """Back to the question before."""


class Enough(Exception):
    """No more questions about this lot."""


class Same(Exception):
    """The same as for the last lot."""


class Leave(Exception):
    """The person leaves."""


#: What is typed -> which key it is.
KEYS: dict[str, str] = {
    "?": "?", "help": "?", "why": "?",
    "b": "b", "back": "b",
    "s": "s", "save": "s", "q": "s", "quit": "s", "exit": "s",
    "p": "p", "plan": "p",
    "e": "e", "enough": "e",
    "=": "=", "same": "=",
}  # fmt: skip


#: What may stand behind "d".
_DONE = re.compile(r"\s*(?:[0-9]{1,4}[\s,]*)*(?:b\s*)?")


def key_of(line: str) -> str:
    """The key a line stands for; empty for an answer. "d" and "a" may name a number: "d 2".

    "d b" takes the last step ticked back, "d 2 b" that of one step.
    """
    said = line.strip().casefold()
    if said in KEYS:
        return KEYS[said]
    first, _, rest = said.partition(" ")
    if first in ("d", "done") and _DONE.fullmatch(rest):
        return "d"
    if first in ("a", "answers") and (not rest or rest.strip().isdecimal()):
        return "a"
    return ""
