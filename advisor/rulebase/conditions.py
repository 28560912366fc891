"""The one condition of the rule base: a small tree of comparisons.

:mod:`advisor.rulebase.condition_text` reads it from TOML. Negation is pushed to the leaves,
where it becomes the opposite comparison, so a condition never asks for the absence of a fact:
what is unknown satisfies neither a leaf nor its negation (Kleene's strong three-valued logic:
S. C. Kleene, Introduction to Metamathematics, 1952, section 64).

From the tree come two things that must agree, as a property test says: the alternatives the
engine runs (:func:`branches`), and a plain evaluation (:func:`evaluate`), by which the audit says
why a rule did not fire.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, NamedTuple

Value = bool | int | float | str
Op = Literal["==", "!=", "<", "<=", ">", ">="]
Facts = Mapping[tuple[str, str], Value]

OPERATORS: dict[str, Op] = {
    "below": "<",
    "at_most": "<=",
    "above": ">",
    "at_least": ">=",
    "equals": "==",
}
OPPOSITE: dict[Op, Op] = {"<": ">=", "<=": ">", ">": "<=", ">=": "<", "==": "!=", "!=": "=="}
BANDS = {
    "surely": {"<": "high", "<=": "high", ">": "low", ">=": "low", "==": "value"},
    # upward "most": of a test that found nothing no presence is possible, whatever its step
    "possibly": {"<": "low", "<=": "low", ">": "most", ">=": "most", "==": "value"},
}
#: Kinds of fact that are numbers of a reading or a computed value.
NUMBERS = ("value", "low", "high", "most")
STANDINGS = ("unlikely", "possible", "likely", "very_likely")
PHASES = ("arrival", "day_2_4", "day_5_14")
PLACES = ("closed_bag", "open_bag", "tub", "tank", "unknown")
FITS = ("fit", "not_known", "not_fit")
MAX_LEAVES = 12
MAX_BRANCHES = 32


class ConditionFault(Exception):
    """One sentence on what is wrong with a condition."""


class Leaf(NamedTuple):
    """One comparison with one fact.

    kind, name : the fact, such as ("value", "tank_ph"), ("low", "bag_nh3_n_mg_l") for the low end
                 of a band, ("sign", "brown_gills"), ("known", "tank_ph") for whether it was read
    op, value  : the comparison; numbers are in the stored unit of the quantity
    limit      : id of the ``[[limit]]`` that the number comes from, None for one written out
    """

    kind: str
    name: str
    op: Op
    value: Value
    limit: str | None = None

    def negated(self) -> Leaf:
        """The opposite comparison: known, and it fails."""
        return Leaf(self.kind, self.name, OPPOSITE[self.op], self.value, self.limit)

    def holds(self, facts: Facts) -> bool | None:
        """True or False when the fact is known, None when it is not."""
        known = facts.get((self.kind, self.name))
        if known is None:
            return None
        return _compare(known, self.op, self.value)


@dataclass(frozen=True, slots=True)
class All:
    """Every part must hold."""

    parts: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Any_:
    """At least one part must hold."""

    parts: tuple[Node, ...]


Node = Leaf | All | Any_


def _compare(known: Value, op: Op, value: Value) -> bool:
    if op == "==":
        return known == value
    if op == "!=":
        return known != value
    a, b = float(known), float(value)
    return a < b if op == "<" else a <= b if op == "<=" else a > b if op == ">" else a >= b


def negate(node: Node) -> Node:
    """The strong negation: true where ``node`` is surely false, unknown where it is unknown.

    >>> negate(Leaf("value", "tank_ph", "<", 6.0))
    Leaf(kind='value', name='tank_ph', op='>=', value=6.0, limit=None)
    """
    if isinstance(node, Leaf):
        return node.negated()
    parts = tuple(negate(part) for part in node.parts)
    return Any_(parts) if isinstance(node, All) else All(parts)


def leaves(node: Node) -> Iterator[Leaf]:
    """All leaves, in the order written."""
    if isinstance(node, Leaf):
        yield node
    else:
        for part in node.parts:
            yield from leaves(part)


def evaluate(node: Node, facts: Facts) -> bool | None:
    """Plain three-valued evaluation: True, False, or None where not enough is known.

    facts : value by (kind, name), in stored units; what is absent is unknown, never "no"

    >>> evaluate(All((Leaf("value", "tank_ph", "<", 6.0), Leaf("sign", "dead", "==", True))),
    ...          {("value", "tank_ph"): 7.0}) is False
    True
    """
    if isinstance(node, Leaf):
        return node.holds(facts)
    results = [evaluate(part, facts) for part in node.parts]
    decisive = isinstance(node, Any_)
    if decisive in results:
        return decisive
    return None if None in results else not decisive


def branches(node: Node) -> tuple[tuple[Leaf, ...], ...]:
    """The condition as alternatives, each a conjunction; impossible ones are dropped.

    At most MAX_BRANCHES alternatives of at most MAX_LEAVES comparisons each: what durable-rules
    joins. Possible means that one set of values meets all comparisons; chemistry is not asked.
    Raises ConditionFault when nothing possible is left or the limits are passed.
    """
    kept: list[tuple[Leaf, ...]] = []
    for branch in _expand(node):
        distinct = tuple(dict.fromkeys(branch))
        if _possible(distinct) and distinct not in kept:
            kept.append(distinct)
    if not kept:
        raise ConditionFault("its conditions contradict each other, it can never hold")
    longest = max(len(branch) for branch in kept)
    if longest > MAX_LEAVES or len(kept) > MAX_BRANCHES:
        raise ConditionFault(
            f"{longest} conditions on {len(kept)} alternatives; at most {MAX_LEAVES} on "
            f"{MAX_BRANCHES}. Make a finding of a part of it"
        )
    return tuple(kept)


def _expand(node: Node) -> list[tuple[Leaf, ...]]:
    if isinstance(node, Leaf):
        return [(node,)]
    if isinstance(node, Any_):
        return [branch for part in node.parts for branch in _expand(part)]
    product: list[tuple[Leaf, ...]] = [()]
    for part in node.parts:
        product = [have + more for have in product for more in _expand(part)]
        if len(product) > 4096:
            raise ConditionFault("too many alternatives; make a finding of a part of it")
    return product


def _possible(branch: tuple[Leaf, ...]) -> bool:
    """Whether one set of values can satisfy all leaves (values, not chemistry)."""
    by_fact: dict[tuple[str, str], list[Leaf]] = {}
    for leaf in branch:
        by_fact.setdefault((leaf.kind, leaf.name), []).append(leaf)
    return all(_satisfiable(group) for group in by_fact.values())


def _satisfiable(group: list[Leaf]) -> bool:
    equals = [leaf.value for leaf in group if leaf.op == "=="]
    if equals:
        return all(_compare(equals[0], leaf.op, leaf.value) for leaf in group)
    numbers = [float(leaf.value) for leaf in group if leaf.op not in ("==", "!=")]
    if numbers:
        ordered = sorted(numbers)
        tries = [
            ordered[0] - 1,
            ordered[-1] + 1,
            *ordered,
            *((a + b) / 2 for a, b in pairwise(ordered)),
        ]
        return any(all(_compare(t, leaf.op, leaf.value) for leaf in group) for t in tries)
    refused = {leaf.value for leaf in group}
    return not {True, False} <= refused
