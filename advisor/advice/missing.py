"""What an undecided condition still lacks: the things that could decide it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from advisor.advice.facts.computed import NEEDS
from advisor.rulebase.conditions import Any_, Facts, Leaf, Node

#: A thing one can find out: ("reading", "tank_ph"), ("sign", ...), ("field", ...).
Item = tuple[str, str]
#: What a finding, a reading or a computed value lacks, by kind and name.
Known = dict[tuple[str, str], set[Item]]


def missing_items(
    node: Node, nodes: Mapping[str, Node], facts: Facts, known: Known | None = None
) -> set[Item]:
    """Items that could still decide an undecided condition; empty when it is decided.

    known : what was met before on the same facts, and what it lacks; filled in on the way
    """
    known = {} if known is None else known
    missing: set[Item] = set()
    for leaf in _standing(node, facts)[1]:
        if leaf.kind in ("sign", "history"):
            missing.add((leaf.kind, leaf.name))
        else:
            missing |= _items(leaf, nodes, facts, known)
    return missing


def _standing(node: Node, facts: Facts) -> tuple[bool | None, list[Leaf]]:
    """True, False or None as ``conditions.evaluate`` has it, and the unknown leaves that matter.

    Those are inside no part that is already decided.
    """
    if isinstance(node, Leaf):
        state = node.holds(facts)
        return state, [node] if state is None else []
    decisive = isinstance(node, Any_)
    left: list[Leaf] = []
    for part in node.parts:
        if isinstance(part, Leaf) and (part.kind, part.name) not in facts:
            left.append(part)  # as below, without the call: most leaves are unknown
            continue
        state, its = _standing(part, facts)
        if state is decisive:
            return decisive, []
        left += its
    return (None, left) if left else (not decisive, [])


def _items(leaf: Leaf, nodes: Mapping[str, Node], facts: Facts, known: Known) -> set[Item]:
    kind = "value" if leaf.kind in ("low", "high", "most") else leaf.kind
    key = (kind, leaf.name)
    if key not in known:
        if kind == "value":
            known[key] = set(_readings(leaf.name, facts))
        elif kind == "finding":
            known[key] = missing_items(nodes[f"finding:{leaf.name}"], nodes, facts, known)
        else:
            known[key] = {("field", "lot.species")} if kind == "trait" else set()
    return known[key]


def _readings(name: str, facts: Facts) -> Iterator[Item]:
    """A reading itself, or the missing readings a computed value rests on."""
    if name not in NEEDS:
        yield "reading", name
        return
    for alternatives in NEEDS[name]:
        if not any(("value", each) in facts for each in alternatives):
            yield from _readings(alternatives[0], facts)
