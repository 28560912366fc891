"""Conditions of the rule base in plain words."""

from __future__ import annotations

from advisor.rulebase import RuleBase
from advisor.rulebase.conditions import STANDINGS, All, Leaf, Node
from advisor.wording.names import PHASES
from advisor.wording.numbers import exact

COMPARE = {
    "<": "below",
    "<=": "at most",
    ">": "above",
    ">=": "at least",
    "==": "is",
    "!=": "is not",
}


def condition_words(node: Node, base: RuleBase) -> str:
    """A condition as one readable sentence part."""
    if isinstance(node, Leaf):
        return leaf_words(node, base)
    joint = " and " if isinstance(node, All) else " or "
    parts = [condition_words(part, base) for part in node.parts]
    return joint.join(f"({p})" if " or " in p or " and " in p else p for p in parts)


#: Where the fish are, as it is said.
PLACE_WORDS = {
    "closed_bag": "in the closed bag",
    "open_bag": "in an opened bag",
    "tub": "in a tub",
    "tank": "in the tank",
    "unknown": "not told where",
}


def leaf_words(leaf: Leaf, base: RuleBase) -> str:
    """One comparison in words, with the limit's name where it has one."""
    if leaf.kind == "sign":
        return _sign(leaf, base)
    if leaf.kind == "history":
        return f"{base.history[leaf.name].name}: {COMPARE[leaf.op]} {_plain(leaf.value)}"
    if leaf.kind in ("trait", "finding"):
        table = base.traits if leaf.kind == "trait" else base.findings
        holds = (leaf.op == "==") == bool(leaf.value)
        return ("" if holds else "not: ") + table[leaf.name].name
    if leaf.kind == "phase":
        return f"it {COMPARE[leaf.op]} {PHASES.get(str(leaf.value), _plain(leaf.value))}"
    if leaf.kind == "place":
        return f"the fish: {COMPARE[leaf.op]} {PLACE_WORDS[str(leaf.value)]}"
    if leaf.kind == "fit":
        return (
            f"fit of the next water, {_plain(leaf.name)}: {COMPARE[leaf.op]} {_plain(leaf.value)}"
        )
    if leaf.kind == "doubt":
        return f"a reading is in doubt: {base.doubts[leaf.name].because}"
    if leaf.kind == "move":
        return f"the move: {COMPARE[leaf.op]} {_plain(leaf.value)}"
    if leaf.kind == "standing":
        level = STANDINGS[int(leaf.value)].replace("_", " ")
        return f"{base.causes[leaf.name].name} {COMPARE[leaf.op]} {level}"
    if leaf.kind == "first":
        return f"{base.causes[leaf.name].name} stands first"
    if leaf.kind == "not_enough":
        return "there is not enough to tell"
    if leaf.kind == "known":
        return _known(leaf, base)
    return _number(leaf, base)


def _sign(leaf: Leaf, base: RuleBase) -> str:
    seen = (leaf.op == "==") == bool(leaf.value)
    return f"{base.signs[leaf.name].name}{'' if seen else ' looked for and not seen'}"


def _known(leaf: Leaf, base: RuleBase) -> str:
    what, _, name = leaf.name.rpartition(":")
    if what == "sign":
        subject, verb = base.signs[name].name, "looked for"
    elif what == "history":
        subject, verb = base.history[name].name, "known"
    else:
        subject, verb = base.quantities[name].name, "measured"
    return f"{subject} {'' if leaf.value else 'not '}{verb}"


def _number(leaf: Leaf, base: RuleBase) -> str:
    quantity = base.quantities[leaf.name]
    sure = ""
    if leaf.kind in ("low", "high", "most"):
        upward = leaf.op in (">", ">=")
        sure = "surely " if (leaf.kind == "low") == upward else "possibly "
    limit = f" ({base.limits[leaf.limit].meaning})" if leaf.limit else ""
    unit = "" if quantity.unit == "pH" else f" {quantity.unit}"
    return f"{quantity.name} {sure}{COMPARE[leaf.op]} {exact(float(leaf.value))}{unit}{limit}"


def _plain(value: object) -> str:
    return str(value).replace("_", " ")
