"""What the engine is given and gives back, and what it refuses."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Literal, NamedTuple

from advisor.errors import AdvisorError

Value = float | int | bool | str
Operator = Literal["==", "!=", "<", "<=", ">", ">="]

MAX_CONDITIONS = 12
"""Different facts that one branch may ask for (durable-rules joins 16)."""

MAX_COMBINATIONS = 1000
"""Ways in which one branch may be met in one run, when names hold several values."""


class EngineError(AdvisorError):
    """Rules or facts that the engine refuses, or a run it cannot finish."""


class EngineUnavailable(EngineError):
    """durable-rules is missing or does not load."""


class Fact(NamedTuple):
    """One thing known: ``Fact("reading", "ph", 7.4)``."""

    kind: str
    name: str
    value: Value


class Test(NamedTuple):
    """One comparison with a fact's value: ``Test("reading", "ph", ">=", 7.8)``."""

    kind: str
    name: str
    op: Operator
    value: Value


Test.__test__ = False  # type: ignore[attr-defined]  # not for pytest to collect


class CompiledRule(NamedTuple):
    """A rule that fires when every test of one of its branches is met."""

    id: str
    branches: tuple[tuple[Test, ...], ...]
    derives: Fact | None = None


class Firing(NamedTuple):
    """A branch that fired, with every fact that met its tests.

    Facts stand in the order in which the branch first asks for them; several
    values of one name stand in rising order.
    """

    rule_id: str
    branch: int
    facts: tuple[Fact, ...]


def sort_of(value: object) -> str:
    """Which sort of value this is; refuses what cannot be compared."""
    if isinstance(value, bool):
        return "true or false"
    if isinstance(value, int) or (isinstance(value, float) and math.isfinite(value)):
        return "a number"
    if isinstance(value, str):
        return "text"
    raise EngineError(f"{value!r} is not a finite number, text, true or false")


def limits_exceeded(rules: Iterable[CompiledRule]) -> list[str]:
    """Everything the engine would refuse in these rules, a sentence each.

    There is no limit on how many rules share a condition, how many names are of
    one kind, or how many tests are put to one name.
    """
    faults: list[str] = []
    ids: set[str] = set()
    for rule in rules:
        found = ["another rule has the same id"] if rule.id in ids else []
        ids.add(rule.id)
        if not rule.branches:
            found.append("it has no branch, so it could never fire")
        for number, branch in enumerate(rule.branches):
            found += [f"branch {number}: {fault}" for fault in _branch_faults(branch)]
        if rule.derives is not None:
            try:
                sort_of(rule.derives.value)
            except EngineError as error:
                found.append(f"derived fact: {error}")
        faults += [f"rule {rule.id}: {fault}" for fault in found]
    return faults


def _branch_faults(branch: Sequence[Test]) -> Iterator[str]:
    if not branch:
        yield "it has no conditions, so it would always fire"
    sorts: dict[tuple[str, str], str] = {}
    for kind, name, op, value in branch:
        try:
            sort = sort_of(value)
        except EngineError as error:
            yield f"{kind} {name}: {error}"
            continue
        known = sorts.setdefault((kind, name), sort)
        if known != sort:
            yield f"{kind} {name}: compared both with {known} and with {sort}"
        allowed = ("==", "!=", "<", "<=", ">", ">=") if sort == "a number" else ("==", "!=")
        if op not in allowed:
            yield f"{kind} {name}: {op!r} cannot compare {sort}, allowed: {' '.join(allowed)}"
    if len(sorts) > MAX_CONDITIONS:
        yield (
            f"{len(sorts)} conditions, at most {MAX_CONDITIONS} are allowed; "
            "make a finding of some of them"
        )
