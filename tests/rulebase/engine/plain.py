"""The engine's meaning in obvious Python, written apart from it, to compare with.

Nothing here is shared with advisor.rulebase.engine but the forms of rules, facts and
firings. It is slow and has no limits.
"""

from __future__ import annotations

import itertools
import operator
from collections.abc import Callable, Iterable, Sequence

from advisor.rulebase.conditions import Value
from advisor.rulebase.engine import CompiledRule, Fact, Firing, Test

COMPARE: dict[str, Callable[[object, object], bool]] = {
    "==": operator.eq,
    "!=": operator.ne,
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
}


def sort(value: Value) -> str:
    if value is True or value is False:
        return "truth"
    return "text" if isinstance(value, str) else "number"


def meets(fact: Fact, test: Test) -> bool:
    return (
        fact.kind == test.kind
        and fact.name == test.name
        and sort(fact.value) == sort(test.value)
        and COMPARE[test.op](fact.value, test.value)
    )


def values_meeting(branch: Sequence[Test], facts: Sequence[Fact]) -> list[list[Fact]]:
    """Name by name, as the branch first asks for them: the facts that meet its tests."""
    names: list[tuple[str, str]] = []
    for test in branch:
        if (test.kind, test.name) not in names:
            names.append((test.kind, test.name))
    found = []
    for name in names:
        tests = [test for test in branch if (test.kind, test.name) == name]
        met = [fact for fact in facts if all(meets(fact, test) for test in tests)]
        found.append(sorted(met, key=lambda fact: fact.value))
    return found


def add_new(known: list[Fact], facts: Iterable[Fact]) -> bool:
    """Adds what is not yet known, and says whether anything was."""
    before = len(known)
    for fact in facts:
        if not any(fact == old and sort(fact.value) == sort(old.value) for old in known):
            known.append(fact)
    return len(known) > before


def fire(rules: Sequence[CompiledRule], known: list[Fact]) -> tuple[Firing, ...]:
    """All firings, after chaining until nothing new is derived."""
    while True:
        firings: list[Firing] = []
        derived: list[Fact] = []
        for rule in rules:
            for number, branch in enumerate(rule.branches):
                met = values_meeting(branch, known)
                if all(met):
                    firings.append(Firing(rule.id, number, tuple(itertools.chain(*met))))
                    if rule.derives is not None:
                        derived.append(rule.derives)
        if not add_new(known, derived):
            return tuple(sorted(firings, key=lambda firing: (firing.rule_id, firing.branch)))


More = Callable[[tuple[Firing, ...]], Iterable[Fact]]


def settle(
    rules: Sequence[CompiledRule], facts: Iterable[Fact], more: More | None
) -> tuple[list[Fact], tuple[Firing, ...]]:
    known: list[Fact] = []
    add_new(known, facts)
    firings = fire(rules, known)
    if more is not None:
        add_new(known, more(firings))
        firings = fire(rules, known)
    return known, firings


def run(
    rules: Sequence[CompiledRule], facts: Iterable[Fact], more: More | None = None
) -> tuple[Firing, ...]:
    return settle(rules, facts, more)[1]
