"""What a careful reader of the rule base would object to.

Faults that stop the rules from loading are raised by ``load``; these are the
softer ones. Each is a :class:`Remark` with a severity: ``fault`` fails the check,
``remark`` only deserves a look.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from typing import Any, get_args

from advisor.rulebase import conditions
from advisor.rulebase.base import GROUNDS, KINDS, RuleBase
from advisor.rulebase.check_actions import action_remarks
from advisor.rulebase.check_claims import claim_remarks
from advisor.rulebase.check_pairs import pair_remarks
from advisor.rulebase.check_questions import question_remarks
from advisor.rulebase.check_strength import strength_remarks
from advisor.rulebase.condition_text import read_condition
from advisor.rulebase.conditions import Leaf
from advisor.rulebase.name_index import plain_name
from advisor.rulebase.references import conditions_of
from advisor.rulebase.remarks import Remark, fault, remark, where
from advisor.rulebase.works import Basis
from advisor.wording.numbers import exact

__all__ = ["Remark", "by_basis", "check"]
#: A plain number in so many conditions deserves a name.
OFTEN = 3


def check(base: RuleBase) -> list[Remark]:
    """All remarks on a loaded rule base, faults first."""
    leaves = list(_all_leaves(base))
    used = _used(base, leaves)
    found = {
        *_unused(base, used),
        *_one_sided(base),
        *_unreachable(base),
        *_limits(base, leaves),
        *_bare_numbers(base, leaves),
        *_names_twice(base),
        *_own_traits(base),
        *pair_remarks(base),
        *action_remarks(base),
        *claim_remarks(base),
        *strength_remarks(base),
        *question_remarks(base, used),
    }
    return sorted(found, key=lambda each: (each.severity, each.where, each.text))


def _all_leaves(base: RuleBase) -> Iterator[tuple[str, Leaf]]:
    """(place of the entry, leaf) over every condition."""
    for kind, (_, attribute) in KINDS.items():
        for entry in getattr(base, attribute).values():
            for later, condition in conditions_of(entry):
                for leaf in conditions.leaves(read_condition(condition, base.names, later=later)):
                    yield where(kind, entry), leaf


def _used(base: RuleBase, leaves: list[tuple[str, Leaf]]) -> dict[str, set[str]]:
    """Names that conditions and amounts ask for, by kind."""
    used: dict[str, set[str]] = defaultdict(set)
    for _, leaf in leaves:
        what, _, name = leaf.name.rpartition(":")
        used[what or leaf.kind].add(name)
        if leaf.limit:
            used["limit"].add(leaf.limit)
        if leaf.kind in (*conditions.NUMBERS, "known") and not what:
            used["quantity"].add(name)
    used["history"] |= {q.kit for q in base.quantities.values() if q.kit is not None}
    return used


def _unused(base: RuleBase, used: dict[str, set[str]]) -> Iterator[Remark]:
    for kind, table, word in (
        ("sign", base.signs, "no rule, finding or action uses this sign"),
        ("history", base.history, "no condition uses this item"),
        ("finding", base.findings, "no condition uses this finding"),
        ("limit", base.limits, "no condition uses this limit"),
        ("trait", base.traits, "no condition uses this trait"),
    ):
        for entry in table.values():
            if entry.id not in used[kind]:
                yield remark(kind, entry, word)
    yield from _uncited(base)


def _uncited(base: RuleBase) -> Iterator[Remark]:
    cited, told = set(), set()
    for _, attribute in KINDS.values():
        for entry in getattr(base, attribute).values():
            grounds = [g for name in GROUNDS for g in getattr(entry, name, ())]
            for citation in (c for e in (entry, *grounds) for c in getattr(e, "source", ())):
                cited.add(citation.ref)
                passage = base.passage(citation)
                told.add(passage.id if passage is not None else "")
    for source in base.sources.values():
        if source.id not in cited:
            yield remark("source", source, "nothing cites this source")
    for passage in base.passages.values():
        if passage.id not in told:
            yield remark("passage", passage, "nothing cites this passage")


def _one_sided(base: RuleBase) -> Iterator[Remark]:
    sides = Counter(
        (r.supports, "for") if r.supports else (r.opposes, "against") for r in base.rules.values()
    )
    for cause in base.causes.values():
        if not sides[(cause.id, "for")]:
            yield fault("cause", cause, "no rule supports this cause")
        if not sides[(cause.id, "against")]:
            yield fault("cause", cause, "nothing can speak against this cause")
    proposed = {c for a in base.actions.values() for c in a.needed_for}
    for cause in base.causes.values():
        if cause.id not in proposed:
            yield fault("cause", cause, "no action is needed for this cause")


def _unreachable(base: RuleBase) -> Iterator[Remark]:
    for note in base.vet_notes.values():
        if note.when is None and not note.needed_for:
            yield fault("vet", note, "nothing ever brings up this note")
    attached = {c for a in base.actions.values() for c in a.cautions}
    for caution in base.cautions.values():
        if not (caution.always or caution.when or caution.id in attached):
            yield fault("caution", caution, "no action or condition shows it")


def _limits(base: RuleBase, leaves: list[tuple[str, Leaf]]) -> Iterator[Remark]:
    """Limits outside what the quantity can be, and one meaning with two values."""
    by_meaning: dict[tuple[str, str, str | None], list[Any]] = defaultdict(list)
    for limit in base.limits.values():
        by_meaning[(limit.parameter, limit.meaning, limit.applies_to)].append(limit)
    for same in by_meaning.values():
        if len({limit.value for limit in same}) > 1:
            names = ", ".join(limit.id for limit in same)
            text = f"one meaning with different values: {names}"
            yield fault("limit", same[0], text)
    for _, leaf in leaves:
        quantity = base.quantities.get(leaf.name)
        if quantity is None or leaf.kind not in conditions.NUMBERS:
            continue
        number = float(leaf.value)
        if not quantity.low <= number <= quantity.high:
            span = f"{exact(quantity.low)} to {exact(quantity.high)}"
            text = f"compared with {exact(number)}, outside its possible {span}"
            yield fault("quantity", quantity, text)


def _bare_numbers(base: RuleBase, leaves: list[tuple[str, Leaf]]) -> Iterator[Remark]:
    """A number that several conditions compare one quantity with, and that has no name."""
    places: dict[tuple[str, float], set[str]] = defaultdict(set)
    for place, leaf in leaves:
        if leaf.limit is None and leaf.kind in conditions.NUMBERS:
            places[(leaf.name, float(leaf.value))].add(place)
    for (name, value), where_used in places.items():
        quantity = base.quantities[name]
        if len(where_used) >= OFTEN and value:
            text = f"{exact(value)} stands bare in {len(where_used)} entries; make it a limit"
            yield remark("quantity", quantity, text)


def _names_twice(base: RuleBase) -> Iterator[Remark]:
    """A name that two kinds go by finds only one of them; shared names are for that."""
    first: dict[str, Any] = {}
    named = [
        *(
            ("species", each, (each.scientific, each.name, *each.also))
            for each in base.species.values()
        ),
        *(("shared_name", each, each.names) for each in base.shared_names.values()),
        *(("group", each, each.kin) for each in base.groups.values()),
    ]
    for kind, entry, names in named:
        for name in {plain_name(each) for each in names}:
            other = first.setdefault(name, entry)
            if other is not entry:
                yield fault(kind, entry, f'"{name}" is also a name of {other.id}')


def _own_traits(base: RuleBase) -> Iterator[Remark]:
    """A species that adds what its group has already, or lacks what its group has not."""
    for species in base.species.values():
        shared = set(base.groups[species.group].traits)
        for trait in sorted(shared.intersection(species.traits)):
            yield fault("species", species, f"adds {trait}, which its group has already")
        for trait in sorted(set(species.lacks) - shared):
            yield fault("species", species, f"lacks {trait}, which its group has not either")


def by_basis(base: RuleBase) -> Counter[str]:
    """Evidence rules by their best basis; ``read`` is the best."""
    order = get_args(Basis)
    best: Iterable[str] = (
        min((c.basis for c in rule.source), key=order.index) for rule in base.rules.values()
    )
    return Counter(best)
