"""Text from a case or a log, which may hold anything, as a person may safely see it."""

from __future__ import annotations

import re
import unicodedata

#: Kinds of character (Unicode's general categories) that steer instead of being seen:
#: control, format (direction, joining, invisible), lone surrogates, line and paragraph ends.
_STEERING = frozenset(("Cc", "Cf", "Cs", "Zl", "Zp"))

#: First characters that make a spreadsheet compute what follows.
_STARTERS = "=+-@"
#: The same behind a sign that parts cells where another separator is expected.
_BEHIND = re.compile(r"([;,|\t]\s*[\"'·]*)(?=[=+\-@＝＋－＠﹢﹣﹫﹦])")


def plain(text: object) -> str:
    """``text`` with control and direction codes made visible as a middle dot; tabs as spaces.

    Line ends stay; where text stands in a line of ours, :func:`one_line` is meant.
    """
    found = unicodedata.normalize("NFC", str(text)).expandtabs(4)
    if found.isprintable():
        return found
    return "".join(map(_seen, found))


def one_line(text: object) -> str:
    """:func:`plain` text on one line, so that a name cannot pose as a line of advice."""
    first, *more = plain(text).strip("\n").split("\n")
    return " / ".join([first.rstrip() if more else first, *filter(None, map(str.strip, more))])


def _seen(character: str) -> str:
    if character == "\n" or unicodedata.category(character) not in _STEERING:
        return character
    return "·"


def inert(text: str) -> str:
    """Text that no spreadsheet computes, whichever sign it parts cells at.

    One line, no control codes, no formula at its beginning or behind a separator.

    >>> inert("=1+1")
    "'=1+1"
    >>> inert("seen;=1+1")
    "seen;'=1+1"
    """
    line = " / ".join(part.strip() for part in plain(text).splitlines() if part.strip())
    first = unicodedata.normalize("NFKC", line.lstrip(" ·'\""))[:1]
    line = _BEHIND.sub(r"\1'", line)
    return f"'{line}" if first and first in _STARTERS else line
