"""What a session yields, on the screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.screens.session.talk import Talk
from advisor.wording.numbers import short

if TYPE_CHECKING:
    from rich.console import Console

    from advisor.ask.records import Ask, Block

#: Columns by which a paragraph of each level stands in.
INDENT = (0, 3, 5)


def draw(talk: Talk, block: Block, named: str = "CASE") -> None:
    """One block of a ``Show``. ``named``: how the case is called on the command line."""
    from advisor.ask.records import Say, ShowPlan

    if isinstance(block, Say):
        lead = f"{block.mark} " if block.mark else ""
        indent = INDENT[block.level]
        talk.say(lead + block.text, indent=indent, hang=len(lead), strong=block.strong)
    elif isinstance(block, ShowPlan):
        from advisor.screens.show_plan import show_plan

        show_plan(block.result, block.case, console_for(talk), named)
    else:
        from advisor.advice.over_time import watch_of
        from advisor.screens.plots import plot_readings

        series = watch_of(block.case)
        for line in series.readings:
            if len(line.points) > 1:
                values = ", ".join(
                    f"{short(p.value, 3)} at {short(p.hours, 3)} h" for p in line.points[-4:]
                )
                talk.say(f"{line.label}: {values} {line.unit}".rstrip(), indent=2, hang=2)
        plot_readings(series, console_for(talk))


def draw_question(talk: Talk, ask: Ask) -> None:
    """Number, question, numbered lines, one line on how to answer; less for what follows."""
    if ask.again:
        return
    if ask.number:
        talk.say()
        lead = f"{ask.number}. "
        about = f"{ask.about}: " if ask.about else ""
        left = f" (about {ask.left} left)" if ask.left else ""
        talk.say(lead + about + ask.text + left, hang=len(lead), strong=True)
    elif ask.text and not ask.part:
        talk.say(ask.text, indent=INDENT[bool(ask.question)], strong=not ask.question)
    indent = 2 if ask.number else INDENT[2]
    wide = len(str(len(ask.choices)))
    for at, choice in enumerate(ask.choices, 1):
        talk.item(f"{at:>{wide}}", choice.line, indent=indent)
    if ask.hint:
        talk.say(ask.hint, indent=0 if ask.number else INDENT[1])
    if ask.part:
        talk.say(ask.part, indent=INDENT[1])


def console_for(talk: Talk) -> Console:
    """A console as wide as the talk, writing where it writes."""
    from advisor.screens.console import make_console

    console = make_console()
    console.file = talk.out
    console.width = talk.width
    return console
