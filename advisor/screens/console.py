"""The terminal a person looks at: width, colour, and text that cannot do harm.

Text from a case file may hold anything. It reaches the screen only through
:func:`advisor.wording.text.plain`, which takes out control codes, and as ``Text``, never as markup.
"""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

from advisor.wording.text import one_line, plain

if TYPE_CHECKING:
    from rich.console import Console
    from rich.text import Text

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


def styled(text: object, style: str = "", *, lines: bool = False) -> Text:
    """Text that is shown as it is, on one line unless ``lines`` lets its own line ends stand."""
    from rich.text import Text

    return Text(plain(text) if lines else one_line(text), style=style)


def hanging(lead: str, text: Text, console: Console) -> None:
    """Print ``text`` after ``lead``; its further lines stand under its first word.

    A lead of more than half the width is set as text itself.
    """
    from rich.cells import cell_len
    from rich.text import Text

    lead = one_line(lead)
    wide = cell_len(lead)
    if wide > console.width // 2:
        lead, wide, text = "", 0, Text(lead).append_text(text)
    whole = Text()
    for place, line in enumerate(text.wrap(console, console.width - wide) or [Text("")]):
        line.rstrip()
        whole.append("\n" + " " * wide if place else lead).append_text(line)
    console.print(whole, soft_wrap=True)  # it is wrapped already


def print_json(text: str) -> None:
    """Print JSON so that no string in it can steer a terminal or be spoilt by its encoding.

    Such characters are written as JSON's own escapes: the content stays the same.
    """
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
