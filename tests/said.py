"""What a program said, wherever its lines wrapped.

Where a line wraps depends on the width, and on the length of every path in it. A test that
waits for words waits for them with any line end between them.
"""

from __future__ import annotations

import re

import pexpect

#: ECMA-48, 8.3.117 (SGR), and the private modes that a line editor sets (bracketed paste).
CODES = r"\x1b\[[0-9;?]*[a-zA-Z]"


def joined(text: str) -> str:
    """The text as one line: no codes, one space wherever there was any white space."""
    return " ".join(re.sub(CODES, "", text).split())


class Terminal(pexpect.spawn):  # type: ignore[misc]
    """A program on a terminal of its own."""

    def until_said(self, words: str) -> str:
        """Wait for these words, wrapped or not; gives what came before, as one line."""
        between = rf"(?:\s|{CODES})+"
        self.expect(between.join(re.escape(word) for word in words.split()))
        return joined(str(self.before))


def shown(screen: str, *texts: str) -> list[int]:
    """Where each text stands on the screen; a missing one fails with what there is."""
    flat = joined(screen)
    places = []
    for text in texts:
        assert text in flat, f"{text!r} is not on the screen:\n{screen}"
        places.append(flat.index(text))
    return places
