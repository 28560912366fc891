"""Places of a case, as a trace names them: looked up, and emptied.

Written apart from advisor.explain: it goes by the words of the trace alone.
"""

from __future__ import annotations

import re
from typing import Any

from advisor.case import Case

#: Places that are times, not answers; they cannot be taken away.
TIMES = ("observation, at_hours",)


def look_up(case: Case, place: str, name: str) -> Any:
    """What stands at a place; None when there is nothing. ``name``: the sign meant there."""
    data = case.model_dump()
    if place in TIMES:
        return True
    if found := re.fullmatch(r"observation (\d+), (seen|not_seen)", place):
        listed = data["observation"][int(found[1]) - 1][found[2]]
        return name if name in listed else None
    if found := re.fullmatch(r"observation (\d+), (.+)", place):
        return _path(data["observation"][int(found[1]) - 1], found[2])
    if found := re.fullmatch(r'lot "(.*?)"(?:, (.+))?', place):
        lot = next((each for each in data["lot"] if each["id"] == found[1]), None)
        return lot if found[2] is None or lot is None else _path(lot, found[2])
    return _path(data, place)


def _path(part: Any, dotted: str) -> Any:
    for step in dotted.split("."):
        part = part.get(step) if isinstance(part, dict) else None
        if part is None:
            return None
    return part


def empty(case: Case, place: str, name: str) -> Case:
    """The case without what stands at a place, and without earlier word of the same.

    A reading or sign told at several looks is taken from all of them: otherwise
    the next one would stand in for it.
    """
    data = case.model_dump()
    if found := re.fullmatch(r"observation \d+, (seen|not_seen)", place):
        for look in data["observation"]:
            for field in ("seen", "not_seen"):
                look[field] = [each for each in look[field] if each != name]
    elif found := re.fullmatch(r"observation \d+, (.+)", place):
        for look in data["observation"]:
            _clear(look, found[1])
    elif found := re.fullmatch(r'lot "(.*?)"(?:, (.+))?', place):
        for lot in data["lot"]:
            if lot["id"] == found[1] and found[2] is not None:
                _clear(lot, found[2])
                if found[2] in ("species", "group"):
                    lot["species"] = lot["group"] = None
                if found[2].startswith("history."):  # the delivery's own word would stand in
                    _clear(data, found[2])
    else:
        _clear(data, place)
        for lot in data["lot"] if place.startswith("history.") else ():
            _clear(lot, place)
    return Case.model_validate(data)


def _clear(part: Any, dotted: str) -> None:
    *path, last = dotted.split(".")
    for step in path:
        part = part.get(step)
        if not isinstance(part, dict):
            return
    if last == "counts":
        part[last] = {}
    elif path[-1:] == ["history"]:
        part.pop(last, None)
    elif isinstance(part.get(last), (list, tuple)):
        part[last] = ()
    elif last in part:
        part[last] = {} if last in ("bag", "tank", "tap") else None
