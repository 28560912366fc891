"""Text laid out in columns of a terminal or a letter, never taken for markup."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.wording.text import one_line, plain

if TYPE_CHECKING:
    from rich.console import Console
    from rich.text import Text


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
