"""Signs that speak against mere tiredness, as the rules themselves have it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from advisor.advice.reasoner import Reasoner
from advisor.rulebase.conditions import Leaf, Node

#: Direction of causes that need nothing but rest.
REST = "leave_alone"


def signs_of_trouble(reasoner: Reasoner) -> frozenset[str]:
    """Signs that, when seen, oppose a cause of the journey that only needs rest."""
    base, nodes = reasoner.base, reasoner.compiled.nodes
    resting = {c.id for c in base.causes.values() if c.direction == REST and c.kind == "journey"}
    return frozenset(
        sign
        for rule in base.rules.values()
        if rule.opposes in resting
        for sign in _seen(nodes[f"rule:{rule.id}"], nodes)
        if base.signs[sign].scope == "fish"
    )


def _seen(node: Node, nodes: Mapping[str, Node]) -> Iterator[str]:
    if not isinstance(node, Leaf):
        for part in node.parts:
            yield from _seen(part, nodes)
    elif node.kind == "sign" and node.value is True and node.op == "==":
        yield node.name
    elif node.kind == "finding" and node.value is True and node.op == "==":
        yield from _seen(nodes[f"finding:{node.name}"], nodes)
