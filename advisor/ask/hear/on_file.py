"""Dead that a line tells beside those on file: more of them, or all of them so far.

"3 more dead" and "none since" go on top of what the case holds, "12 dead in all" stands for
itself. Fewer than the case holds, or a number of one night, may be either and is asked back.
"""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from dataclasses import dataclass

from advisor.ask.answers.looks import SAME_LOOK_H
from advisor.case import Case

_TIMES = r"(?:last|the last|that|this)(?: (?:time|look|count|check|visit|report))?"
#: On top of what was told before.
_MORE = re.compile(
    r"\b(?:more|another|further|extra|additional(?:ly)?|new(?:ly)?|fresh(?:ly)?|on top|besides|since(?! (?:they|we|it|arriv\w*|unpack\w*|release|the (?:start|beginning|fish)|day (?:one|1))\b))\b"
)
#: All so far.
WHOLE = re.compile(
    r"\b(?:in all|all told|in total|totals?|totall?ing|altogether|all together|so far|overall|to date|up to|makes?(?: it)?|now (?:at|up to|stands?)|stands? at"
    r"|since (?:they|we|it) (?:came|arrived|landed|got here)|since (?:arriv\w*|unpack\w*|release|the (?:start|beginning)|day (?:one|1)))\b"
)
#: Of one night or hour: more, or the count of that morning.
_LATELY = re.compile(
    r"\b(?:today|tonight|overnight|yesterday|last night|(?:this|in the|by) (?:morning|afternoon|evening)|just (?:now|died)|(?:in|within|over) the (?:last|past) \w+)\b"
)
#: "11 dead (2 more)": a part of the number before it.
PART_IN_BRACKETS = re.compile(
    r"(\d+\D{0,12})\((?:\d+|\w+) (?:more|new|since|extra|today|overnight|last night|this morning)[^()]*\)"
)
#: "none since", "no more": nobody died after the last look.
NONE_SINCE = re.compile(
    rf"(?:still )?(?:no|none|nothing|nobody|nil|zero|0)(?: (?:more|new|further|else|others?|extra|another|changes?))*(?: (?:dead|died|deaths?|loss(?:es)?|casualties|lost))?(?: since(?: (?:then|{_TIMES}))?| than {_TIMES})?"
)
#: Dead and down as the last look had them.
SAME = re.compile(
    rf"(?:(?:still |just |all |exactly )?(?:the )?same(?: (?:as|like) (?:before|{_TIMES}|earlier))?(?: numbers?| counts?)?|(?:counts? |numbers? )?unchanged|no changes?(?: since(?: {_TIMES})?)?|as (?:before|{_TIMES}))"
)


@dataclass(frozen=True)
class OnFile:
    """Dead and down of a lot as told last; ``before`` is the dead before the present look."""

    dead: int | None = None
    down: int | None = None
    before: int | None = None
    this_look: bool = False


def on_file(case: Case | None, hour: float | None) -> OnFile:
    """What the case holds of its one lot. hour: of the look being taken, where that is known."""
    if case is None or len(case.lot) > 1:
        return OnFile()
    arrived = case.lot[0].dead_on_arrival if case.lot else None
    dead, before, down, this_look = arrived, arrived, None, False
    for look in sorted(case.observation, key=lambda each: each.at_hours):
        if case.lot and look.lot not in ("all", case.lot[0].id):
            continue
        heads, present = look.counts, hour is not None and abs(look.at_hours - hour) < SAME_LOOK_H
        down = down if heads.down is None else heads.down
        if heads.dead is None:
            continue
        dead, this_look = heads.dead, present
        before = before if present else heads.dead
    return OnFile(dead, down, before, this_look)


def in_all(said: int, text: str, more_only: bool, file: OnFile) -> int | None:
    """All dead so far by a line that says ``said``; None when it has to be asked.

    text      : the parts of the line that speak of the dead, in small letters
    more_only : every number of them was told as more ("another 3", "2 more")
    """
    if not file.dead:
        return said
    if not WHOLE.search(text):
        if more_only or _MORE.search(text):
            return _added(said, file)
        if _LATELY.search(text) and said != file.dead:
            return None
    return said if said >= file.dead else None


def _added(said: int, file: OnFile) -> int | None:
    """On top of the file; what this look has told already is not told twice."""
    assert file.dead is not None
    if not file.this_look:
        return file.dead + said
    return file.dead if (file.before or 0) + said == file.dead else None


def doubt(said: int, held: int) -> str:
    """The question back."""
    more = str(said) if said else "none"
    were = "was" if held == 1 else "were"
    return f"{held} dead {were} on file: {more} more, or {more} in all?"
