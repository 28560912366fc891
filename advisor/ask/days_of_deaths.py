"""Days on which fish died, as a line at closing tells them: "2 on day 3, 4 on day 10, rest day 20".

Day 3 is 72 hours after the fish came, as the looks of quarantine count their days.
"""

from __future__ import annotations

import re

from advisor.ask.answers.choosing import NotUnderstood
from advisor.ask.answers.field_numbers import read_number
from advisor.ask.hear.line import with_numbers
from advisor.errors import AdvisorError
from advisor.wording.times import span

_PARTS = re.compile(r"[,;\n]|\band\b|\bthen\b")
_HEADS = r"(?P<heads>\d+|rest|the rest|others|the others|all|all of them)"
_DEAD = r"(?: ?(?:more|fish|dead|died|of them))*"
_DAY = r"(?P<unit>day|week) ?(?P<number>\d+)"
_HEADS_FIRST = re.compile(rf"{_HEADS}{_DEAD} ?(?:on|by|at|in|until|:|-)? ?(?:the )?{_DAY}")
_DAY_FIRST = re.compile(rf"(?:on |by |at |in )?{_DAY}(?: ?[:=-] ?| ){_HEADS}{_DEAD}")
_ONE_DAY = re.compile(rf"(?:on |by |at |in )?{_DAY}")
_AFTER = re.compile(rf"{_HEADS}{_DEAD} ?(?:after|within|at|by|in) ?(?P<span>\d.*)")
_LIKE = '"{}" tells no day; type it like 2 on day 3, 9 on day 10.'
_WEEK_H = 7 * 24.0


def deaths_by_day(line: str, dead: int, now: float) -> list[tuple[float, int]]:
    """(hours after receipt, how many died then), in order; together at most ``dead``.

    now : hours since receipt
    Raises NotUnderstood where the line tells no days, more heads, or days ahead.
    """
    found: list[tuple[float, int]] = []
    left = dead
    parts = [part.strip() for part in _PARTS.split(with_numbers(line).casefold()) if part.strip()]
    for part in parts:
        hours, heads = _one(part, left)
        if hours > now:
            raise NotUnderstood(f"They came only {span(now)} ago.")
        found.append((hours, heads))
        left -= heads
    if left < 0:
        raise NotUnderstood(f"That makes {dead - left} dead, and it is asked of {dead}.")
    return sorted(found)


def _one(part: str, left: int) -> tuple[float, int]:
    part = part.strip(" .!")
    for form in (_HEADS_FIRST, _DAY_FIRST, _AFTER, _ONE_DAY):
        hit = form.fullmatch(part)
        if hit is None:
            continue
        told = hit.groupdict()
        said = told.get("heads") or "all"
        heads = int(said) if said.isdigit() else left
        if told.get("span"):
            return read_number(told["span"], "look.at_hours").value, heads
        unit_h = _WEEK_H if told["unit"] == "week" else 24.0
        return int(told["number"]) * unit_h, heads
    if not re.search(r"[^\W\d_]", part):
        raise NotUnderstood(_LIKE.format(part[:40]))
    try:
        return read_number(part, "look.at_hours").value, left
    except AdvisorError as fault:
        raise NotUnderstood(_LIKE.format(part[:40])) from fault
