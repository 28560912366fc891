"""Help of the commands at any width: an example too long for a line goes on below, set in."""

from __future__ import annotations

import argparse
import re
import textwrap
from itertools import groupby

#: How far in the meaning of an example stands, where it has no room beside it.
DEEP = 6
_LONG_EXAMPLE = re.compile(r"(?P<command> {2}\S.*?) {2,}(?P<means>\S.*)")


class ExampleLines(argparse.RawDescriptionHelpFormatter):
    """Keeps the lines of a text, and cuts between words what is wider than the screen."""

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        lines: list[str] = []
        for plain, run in groupby(text.splitlines(), key=lambda line: line[:1].strip() != ""):
            kept = [indent + line for line in run]
            if plain and max(map(len, kept)) > width:
                kept = [" ".join(kept)]  # a paragraph is set anew
            lines += [cut for line in kept for cut in _within(line, width)]
        return "\n".join(lines)


def _within(line: str, width: int) -> list[str]:
    if len(line) <= width:
        return [line]
    example = _LONG_EXAMPLE.fullmatch(line)
    if example is None:
        depth = len(line) - len(line.lstrip())
        if depth > DEEP:  # what an example means, below it
            return _cut(line.lstrip(), width, " " * DEEP, " " * DEEP)
        return _cut(line, width, "", " " * (depth + 4) if depth else "")
    means = _cut(example["means"], width, " " * DEEP, " " * DEEP)
    return [*_within(example["command"], width), *means]


def _cut(line: str, width: int, first: str, further: str) -> list[str]:
    # a path or an option with a hyphen in it is typed as one word
    return textwrap.wrap(
        line, width, initial_indent=first, subsequent_indent=further,
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip
