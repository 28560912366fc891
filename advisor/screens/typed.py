"""What is wrong with a command line, in the words of someone who reads along."""

from __future__ import annotations

import argparse
import math
import re
from collections.abc import Sequence

from advisor.wording.nearest import nearest

#: What argparse says -> what is said instead.
_SAYINGS: tuple[tuple[re.Pattern[str], str], ...] = (
    (re.compile(r"unrecognized arguments: (?P<what>.*)", re.DOTALL), '"{what}" has no place here'),
    (re.compile(r"the following arguments are required: (?P<what>.*)"), "{what} is missing"),
    (re.compile(r"argument (?P<what>\S+): expected one argument"), "{what} needs a value after it"),
    (
        re.compile(r"argument (?P<what>\S+): invalid (?:int|float) value: (?P<given>.*)"),
        "{what}: {given} is not a number",
    ),
    (
        re.compile(r"argument (?P<what>\S+): not allowed with argument (?P<given>\S+)"),
        "{what} and {given} cannot be asked for together",
    ),
)
_CHOICE = re.compile(r"argument (?P<what>\S+): invalid choice: (?P<given>.*) \(choose from (.*)\)")


def command_fault(message: str, commands: Sequence[str]) -> str:
    """One sentence for what argparse refused; its own words where none of ours fits."""
    if found := _CHOICE.match(message):
        given = found["given"].strip("'\"")
        words = re.findall(r"[\w-]+", found[3])
        hint = nearest(given, words) or f"; choose from {', '.join(words)}"
        if words == list(commands):
            return f'there is no command "{given}"{hint}'
        return f'{found["what"]}: "{given}" is no choice here{hint}'
    for pattern, words_of in _SAYINGS:
        if found := pattern.match(message):
            return words_of.format(**found.groupdict())
    return message.removeprefix("argument ")


def hours(text: str) -> float:
    """A number of hours, as argparse takes it."""
    try:
        found = float(text.replace(",", "."))
    except ValueError:
        found = math.nan
    if math.isnan(found):
        raise argparse.ArgumentTypeError(f"{text!r} is no number of hours; write one such as 1.5")
    return found
