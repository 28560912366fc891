"""What one more answer is worth: the weight of evidence it may still bring.

For every rule that cannot be decided yet, its weight is spread over the things
that are missing, and counts more for causes that are still open (odds near
even) than for those all but settled (after Good & Card 1971: expected weight of
evidence, here with weights that are judgement).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from advisor import conditions
from advisor.compiled import Compiled
from advisor.conditions import Facts, Leaf, Node
from advisor.facts.computed import NEEDS
from advisor.results import CauseResult
from advisor.rulebase import RuleBase

#: A thing one can find out: ("reading", "tank_ph"), ("sign", ...), ("history", ...), ("field", ...).
Item = tuple[str, str]


@dataclass(frozen=True)
class Worth:
    """Worth of one item in decibans, and the causes it bears on, weightiest first."""

    item: Item
    decibans: float
    causes: tuple[str, ...]


def openness(decibans: float) -> float:
    """1 where a cause is at even odds, falling towards 0 as it is settled either way."""
    odds = 10 ** (max(-60.0, min(60.0, decibans)) / 10)
    share = odds / (1 + odds)
    return 4 * share * (1 - share)


def worth_of_items(
    base: RuleBase,
    compiled: Compiled,
    facts: Facts,
    causes: tuple[CauseResult, ...],
) -> list[Worth]:
    """Everything not yet known that some undecided rule asks for, most telling first."""
    open_now = {cause.id: openness(cause.decibans) for cause in causes}
    total: dict[Item, dict[str, float]] = {}
    for rule in base.rules.values():
        cause = rule.supports or rule.opposes or ""
        missing = missing_items(compiled.nodes[f"rule:{rule.id}"], compiled.nodes, facts)
        if not missing:
            continue
        weight = base.settings.decibans[rule.strength] * open_now.get(cause, 0.0) / len(missing)
        for item in missing:
            by_cause = total.setdefault(item, {})
            by_cause[cause] = by_cause.get(cause, 0.0) + weight
    found = [
        Worth(item, sum(by.values()), tuple(sorted(by, key=lambda c: (-by[c], c))))
        for item, by in total.items()
    ]
    return sorted(found, key=lambda worth: (-worth.decibans, worth.item))


def missing_items(node: Node, nodes: Mapping[str, Node], facts: Facts) -> set[Item]:
    """Items that could still decide an undecided condition; empty when it is decided."""
    if conditions.evaluate(node, facts) is not None:
        return set()
    return {item for leaf in _open_leaves(node, facts) for item in _items(leaf, nodes, facts)}


def _open_leaves(node: Node, facts: Facts) -> Iterator[Leaf]:
    """Unknown leaves that still matter: inside no part that is already decided."""
    if isinstance(node, Leaf):
        if node.holds(facts) is None:
            yield node
        return
    for part in node.parts:
        if conditions.evaluate(part, facts) is None:
            yield from _open_leaves(part, facts)


def _items(leaf: Leaf, nodes: Mapping[str, Node], facts: Facts) -> Iterator[Item]:
    if leaf.kind in ("value", "low", "high"):
        yield from _readings(leaf.name, facts)
    elif leaf.kind in ("sign", "history"):
        yield leaf.kind, leaf.name
    elif leaf.kind == "finding":
        yield from missing_items(nodes[f"finding:{leaf.name}"], nodes, facts)
    elif leaf.kind == "trait":
        yield "field", "lot.species"


def _readings(name: str, facts: Facts) -> Iterator[Item]:
    """A reading itself, or the missing readings a computed value rests on."""
    if name not in NEEDS:
        yield "reading", name
        return
    for alternatives in NEEDS[name]:
        if not any(("value", each) in facts for each in alternatives):
            yield from _readings(alternatives[0], facts)
