"""A question on the screen."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.screens.session.talk import Talk

LEGEND = (
    "? why and help, Enter or u not known, b back, p plan so far, d done, e enough, "
    "s save and leave."
)
SEVERAL = (
    "Numbers or words, several at once: 1 4 7. Lines left out count as looked for and not "
    "seen; add u if you did not look. 0 none of these."
)
SEVERAL_SHORT = "1 4 7 or words; 0 none; 1 4 u = the rest not looked for."
SEVERAL_TOLD = "1 4 7 or words; 0 none; 1 4 u = the rest not known."


def draw(
    talk: Talk,
    number: int,
    text: str,
    lines: Mapping[str, str],
    *,
    about: str = "",
    hint: str = "",
) -> None:
    """Number, question, numbered lines, one line on how to answer."""
    talk.say()
    lead = f"{number}. {about}: " if about else f"{number}. "
    talk.say(lead + text, hang=len(f"{number}. "), strong=True)
    wide = len(str(len(lines)))
    for at, label in enumerate(lines.values(), 1):
        talk.item(f"{at:>{wide}}", label, indent=2)
    if hint:
        talk.say(hint)
