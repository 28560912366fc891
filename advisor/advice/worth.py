"""What one more reading is worth: the weight of evidence it may still bring.

For every rule that cannot be decided yet, its weight is spread over the things
that are missing, and counts more for causes that are still open (odds near
even) than for those all but settled (after Good & Card 1971: expected weight of
evidence, here with weights that are judgement).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterator, Mapping
from typing import NamedTuple

from advisor.advice.facts.computed import NEEDS
from advisor.advice.results import CauseResult
from advisor.rulebase import RuleBase
from advisor.rulebase.compiled import Compiled
from advisor.rulebase.conditions import Any_, Facts, Leaf, Node

#: A thing one can find out: ("reading", "tank_ph"), ("sign", ...), ("field", ...).
Item = tuple[str, str]
#: What a finding, a reading or a computed value lacks, by kind and name.
Known = dict[tuple[str, str], set[Item]]


class Worth(NamedTuple):
    """Worth of one reading in decibans, and the causes it bears on, weightiest first."""

    reading: str
    decibans: float
    causes: tuple[str, ...]


def openness(decibans: float) -> float:
    """1 where a cause is at even odds, falling towards 0 as it is settled either way."""
    odds = 10 ** (max(-60.0, min(60.0, decibans)) / 10)
    share = odds / (1 + odds)
    return 4 * share * (1 - share)


def worth_of_readings(
    base: RuleBase,
    compiled: Compiled,
    facts: Facts,
    causes: tuple[CauseResult, ...],
    unmet: Container[str] = (),
) -> list[Worth]:
    """Every reading not yet taken that some undecided rule asks for, most telling first.

    unmet : names of readings of a water these fish have not met: they would tell nothing
    """
    open_now = {cause.id: openness(cause.decibans) for cause in causes}
    total: defaultdict[str, dict[str, float]] = defaultdict(dict)
    known: Known = {}
    for rule, (cause, strength, by_reading) in compiled.bears_on.items():
        if not by_reading:
            continue
        missing = missing_items(compiled.nodes[f"rule:{rule}"], compiled.nodes, facts, known)
        missing = {item for item in missing if item[1] not in unmet}
        if not missing:
            continue
        weight = base.settings.decibans[strength] * open_now.get(cause, 0.0) / len(missing)
        for kind, name in missing:
            if kind == "reading":
                by_cause = total[name]
                by_cause[cause] = by_cause.get(cause, 0.0) + weight
    found = [
        Worth(name, sum(by.values()), tuple(sorted(by, key=lambda c: (-by[c], c))))
        for name, by in total.items()
    ]
    return sorted(found, key=lambda worth: (-worth.decibans, worth.reading))


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
