"""What a careful reader of the rule base would object to.

Faults that stop the rules from loading are raised by ``load``; these are the
softer ones. Each is a :class:`Remark` with a severity: ``fault`` fails the check,
``remark`` only deserves a look.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Literal

from advisor import conditions
from advisor.conditions import Leaf
from advisor.rulebase.load import KINDS, RuleBase, conditions_of


@dataclass(frozen=True, slots=True)
class Remark:
    """One objection: where, and what."""

    severity: Literal["fault", "remark"]
    where: str
    text: str


def check(base: RuleBase) -> list[Remark]:
    """All remarks on a loaded rule base, faults first."""
    leaves = list(_all_leaves(base))
    found = [
        *_unused(base, leaves),
        *_one_sided(base),
        *_unreachable(base),
        *_limits(base),
        *_twins(base),
    ]
    return sorted(found, key=lambda remark: (remark.severity, remark.where, remark.text))


def _where(kind: str, entry: Any) -> str:
    return f"rules/{entry.file}, {kind} {entry.id}"


def _all_leaves(base: RuleBase) -> Iterator[tuple[str, Leaf]]:
    """(kind of entry, leaf) over every condition."""
    for kind, (_, attribute) in KINDS.items():
        for entry in getattr(base, attribute).values():
            for later, condition in conditions_of(entry):
                for leaf in conditions.leaves(conditions.read(condition, base.names, later=later)):
                    yield kind, leaf


def _unused(base: RuleBase, leaves: list[tuple[str, Leaf]]) -> Iterator[Remark]:
    used: dict[str, set[str]] = defaultdict(set)
    for _, leaf in leaves:
        kind = "limit" if leaf.limit else leaf.kind
        used[leaf.kind].add(leaf.name)
        if kind == "limit" and leaf.limit:
            used["limit"].add(leaf.limit)
        if leaf.kind == "known" and ":" in leaf.name:
            what, _, name = leaf.name.partition(":")
            used[what].add(name)
    given = {str(v) for a in base.actions.values() if a.amount for v in a.amount.given.values()}
    used["limit"] |= given
    for kind, table, word in (
        ("sign", base.signs, "no rule, finding or action uses this sign"),
        ("history", base.history, "no condition uses this item"),
        ("finding", base.findings, "no condition uses this finding"),
        ("limit", base.limits, "no condition or amount uses this limit"),
        ("trait", base.traits, "no condition uses this trait"),
    ):
        for entry in table.values():
            if entry.id not in used[kind]:
                yield Remark("remark", _where(kind, entry), word)
    yield from _uncited(base)


def _uncited(base: RuleBase) -> Iterator[Remark]:
    cited = set()
    for _, attribute in KINDS.values():
        for entry in getattr(base, attribute).values():
            cited |= {c.ref for c in getattr(entry, "source", ())}
            cited |= {c.ref for f in getattr(entry, "forbidden", ()) for c in f.source}
    for source in base.sources.values():
        if source.id not in cited:
            yield Remark("remark", _where("source", source), "nothing cites this source")


def _one_sided(base: RuleBase) -> Iterator[Remark]:
    sides = Counter(
        (r.supports, "for") if r.supports else (r.opposes, "against") for r in base.rules.values()
    )
    for cause in base.causes.values():
        if not sides[(cause.id, "for")]:
            yield Remark("fault", _where("cause", cause), "no rule supports this cause")
        if not sides[(cause.id, "against")]:
            yield Remark("fault", _where("cause", cause), "nothing can speak against this cause")
    proposed = {c for a in base.actions.values() for c in a.needed_for}
    for cause in base.causes.values():
        if cause.id not in proposed:
            yield Remark("fault", _where("cause", cause), "no action is needed for this cause")


def _unreachable(base: RuleBase) -> Iterator[Remark]:
    for action in base.actions.values():
        if action.when is None and not action.needed_for:
            yield Remark("fault", _where("action", action), "nothing ever proposes this action")
    for note in base.vet_notes.values():
        if note.when is None and not note.needed_for:
            yield Remark("fault", _where("vet", note), "nothing ever brings up this note")
    attached = {c for a in base.actions.values() for c in a.cautions}
    for caution in base.cautions.values():
        if not (caution.always or caution.when or caution.id in attached):
            yield Remark("fault", _where("caution", caution), "no action or condition shows it")


def _limits(base: RuleBase) -> Iterator[Remark]:
    """Limits outside what the quantity can be, and one meaning with two values."""
    by_meaning: dict[tuple[str, str, str | None], list[Any]] = defaultdict(list)
    for limit in base.limits.values():
        by_meaning[(limit.parameter, limit.meaning, limit.applies_to)].append(limit)
    for same in by_meaning.values():
        if len({limit.value for limit in same}) > 1:
            names = ", ".join(limit.id for limit in same)
            text = f"one meaning with different values: {names}"
            yield Remark("fault", _where("limit", same[0]), text)
    for _, leaf in _all_leaves(base):
        quantity = base.quantities.get(leaf.name)
        if quantity is None or leaf.kind not in ("value", "low", "high"):
            continue
        number = float(leaf.value)
        if not quantity.low <= number <= quantity.high:
            span = f"{quantity.low:g} to {quantity.high:g}"
            text = f"compared with {number:g}, outside its possible {span}"
            yield Remark("fault", _where("quantity", quantity), text)


def _twins(base: RuleBase) -> Iterator[Remark]:
    """Two rules with the same condition for one cause: the same evidence counted twice."""
    seen: dict[tuple[str | None, frozenset[frozenset[Leaf]]], Any] = {}
    for rule in base.rules.values():
        node = conditions.read(rule.when, base.names)
        key = (
            rule.supports or rule.opposes,
            frozenset(frozenset(branch) for branch in conditions.branches(node)),
        )
        first = seen.setdefault(key, rule)
        if first is not rule:
            same_side = bool(first.supports) == bool(rule.supports)
            grouped = rule.group is not None and rule.group == first.group
            if not same_side:
                text = f"the same condition speaks for and against in rule {first.id}"
                yield Remark("fault", _where("rule", rule), text)
            elif not grouped:
                text = f"the same condition counts again in rule {first.id}"
                yield Remark("fault", _where("rule", rule), text)


def by_basis(base: RuleBase) -> Counter[str]:
    """Evidence rules by their best basis; ``read`` is the best."""
    order = ("read", "second-hand", "derived", "memory", "practice", "judgement")
    best: Iterable[str] = (
        min((c.basis for c in rule.source), key=order.index) for rule in base.rules.values()
    )
    return Counter(best)
