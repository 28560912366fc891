"""The terminal a person looks at: width, colour, and text that cannot do harm.

Text from a case file may hold anything. It reaches the screen only through
:func:`advisor.wording.text.plain`, which takes out control codes, and as ``Text``, never as markup.
"""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

from advisor.wording.layout import styled
from advisor.wording.numbers import without_exponents
from advisor.wording.text import plain

if TYPE_CHECKING:
    from rich.console import Console

#: Narrower terminals still work; lines then wrap sooner.
WIDEST = 100
NARROWEST = 40


def make_console(*, stderr: bool = False) -> Console:
    """A console as wide as the terminal, at most WIDEST; plain when piped or NO_COLOR is set."""
    from rich.console import Console, ConsoleDimensions

    stream = sys.stderr if stderr else sys.stdout
    console = Console(
        file=stream,
        highlight=False,
        markup=False,
        emoji=False,
        soft_wrap=False,
        no_color=bool(os.environ.get("NO_COLOR")) or None,
    )
    wanted = console.width if stream.isatty() or os.environ.get("COLUMNS") else 80
    # both are set, or the terminal would be asked again at every line
    console.size = ConsoleDimensions(max(NARROWEST, min(wanted, WIDEST)), console.height)
    return console


def print_json(text: str) -> None:
    """Print JSON so that no string in it can steer a terminal or be spoilt by its encoding.

    Such characters are written as JSON's own escapes: the content stays the same.
    """
    text = without_exponents(text)
    utf8 = (sys.stdout.encoding or "").lower().replace("-", "") in ("utf8", "utf8sig")
    if not (text.replace("\n", "").isprintable() and (utf8 or text.isascii())):
        text = "".join(_escaped(c, utf8) for c in text)
    print(text)


def _escaped(character: str, utf8: bool) -> str:
    if character == "\n" or (character.isprintable() and (utf8 or character.isascii())):
        return character
    units = character.encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{units[at : at + 4]}" for at in range(0, len(units), 4))


def complain(message: object) -> None:
    """One or more sentences for the person, on standard error."""
    console = make_console(stderr=True)
    for line in plain(message).split("\n"):
        console.print(styled(line))
