"""Whether one condition holds whenever another does, read from the conditions alone.

Sound, not complete: a yes is always right; what only the meaning of a finding, or
two leaves together, could show is not seen.
"""

from __future__ import annotations

from collections.abc import Sequence

from advisor.rulebase.conditions import Leaf

Branches = Sequence[Sequence[Leaf]]
#: Ends of a band by how much they say: upward the low end above a number says most.
_UPWARD = {"low": 0, "value": 1, "most": 2, "high": 3}
_RISING = (">", ">=")
_FALLING = ("<", "<=")


def implies(one: Branches, other: Branches) -> bool:
    """True when ``other`` holds whenever ``one`` does; both as alternatives of conjunctions."""
    return all(any(_branch(strict, loose) for loose in other) for strict in one)


def _branch(strict: Sequence[Leaf], loose: Sequence[Leaf]) -> bool:
    return all(any(leaf_implies(leaf, wanted) for leaf in strict) for wanted in loose)


def leaf_implies(one: Leaf, other: Leaf) -> bool:
    """True when ``other`` holds of every value for which ``one`` does."""
    one, other = _positive(one), _positive(other)
    if one.name != other.name or not _end_says(one, other):
        return False
    if (one.op, one.value) == (other.op, other.value):
        return True
    if one.op == "==":
        return other.holds({(other.kind, other.name): one.value}) is True
    if isinstance(one.value, (str, bool)) or isinstance(other.value, (str, bool)):
        return False
    x, y = float(one.value), float(other.value)
    for rising, beyond in ((_RISING, x - y), (_FALLING, y - x)):
        if one.op in rising and (other.op in rising or other.op == "!="):
            needs_more = other.op in (">", "<", "!=") and one.op in (">=", "<=")
            return beyond > 0 or (beyond == 0 and not needs_more)
    return False


def _positive(leaf: Leaf) -> Leaf:
    """``is not false`` as ``is true``."""
    if isinstance(leaf.value, bool) and leaf.op == "!=":
        return Leaf(leaf.kind, leaf.name, "==", not leaf.value)
    return leaf


def _end_says(one: Leaf, other: Leaf) -> bool:
    """Whether the end of the band that ``one`` asks bounds the end ``other`` asks."""
    if one.kind == other.kind:
        return True
    if one.kind not in _UPWARD or other.kind not in _UPWARD:
        return False
    says_more = _UPWARD[other.kind] - _UPWARD[one.kind]
    if one.op in _RISING and other.op in _RISING:
        return says_more >= 0
    return one.op in _FALLING and other.op in _FALLING and says_more <= 0
