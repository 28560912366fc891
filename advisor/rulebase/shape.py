"""Conditions that no reader could follow, or that would keep the computer busy, refused early."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from advisor.wording.places import shown

# Twice and ten times what the shipped rules need.
MOST_LEVELS = 10
MOST_ALTERNATIVES = 256
MOST_NUMBER = 1e12  # above every quantity of a fish room


def shape_fault(condition: Any) -> str | None:
    """One sentence on what is wrong with the form of a condition, or None.

    Looks at brackets, lists and numbers only; words are read by advisor.rulebase.conditions.
    """
    try:
        alternatives = _alternatives(condition, True, MOST_LEVELS)
    except _Misshapen as fault:
        return str(fault)
    if alternatives > MOST_ALTERNATIVES:
        return (
            f"its condition has more than {MOST_ALTERNATIVES} alternatives; "
            "make a finding of a part of it"
        )
    return None


class _Misshapen(Exception):
    """The sentence."""


def _alternatives(item: Any, positive: bool, levels: int) -> int:
    """How many alternatives the condition becomes, at most; past the bound it stops growing."""
    if not isinstance(item, Mapping):
        raise _Misshapen(
            f'a condition is a table such as {{ sign = "gasping" }}; found {shown(item)}'
        )
    if not levels:
        raise _Misshapen(
            f"its condition is nested more than {MOST_LEVELS} deep; make a finding of a part of it"
        )
    if "not" in item:
        return _alternatives(item["not"], not positive, levels - 1)
    for word in ("all", "any"):
        if word in item:
            parts = item[word]
            if not isinstance(parts, list):
                raise _Misshapen(f'"{word}" holds a list of conditions; found {shown(parts)}')
            counts = [_alternatives(part, positive, levels - 1) for part in parts]
            bounded = [min(count, MOST_ALTERNATIVES + 1) for count in counts]
            if (word == "any") == positive:
                return sum(bounded)
            return _product(bounded)
    return _leaf(item, positive)


def _product(counts: list[int]) -> int:
    product = 1
    for count in counts:
        product = min(product * count, MOST_ALTERNATIVES + 1)
    return product


def _leaf(item: Mapping[str, Any], positive: bool) -> int:
    for word, value in item.items():
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            if not (abs(value) <= MOST_NUMBER and math.isfinite(value)):
                raise _Misshapen(f"{word}: {shown(value)} is not a number that can be measured")
        elif isinstance(value, list) and word == "is_any":
            if not value:
                raise _Misshapen(f"{word}: the list of answers is empty")
        elif not isinstance(value, (str, bool)):
            raise _Misshapen(f"{word}: found {shown(value)}; use a word, a number, true or false")
        elif word == "is_any":
            raise _Misshapen(
                f"is_any: {shown(value)} is not a list; write is_any = [{shown(value)}]"
            )
        elif word == "not_enough" and not isinstance(value, bool):
            raise _Misshapen(f"not_enough: {shown(value)} is neither true nor false")
    answers = item.get("is_any")
    if isinstance(answers, list):
        return len(answers) if positive else 1
    return 1 if positive else max(1, len(item) - 1)
