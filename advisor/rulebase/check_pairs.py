"""Entries that get in each other's way: evidence counted twice, rules at odds, undone steps."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from advisor.rulebase import conditions
from advisor.rulebase.base import RuleBase
from advisor.rulebase.condition_text import read_condition
from advisor.rulebase.entries import Action, Rule
from advisor.rulebase.implied import Branches, implies
from advisor.rulebase.remarks import Remark, fault, remark

Told = tuple[Rule, Branches]


def pair_remarks(base: RuleBase) -> Iterator[Remark]:
    """Remarks on pairs of rules and pairs of actions."""
    by_cause: dict[str, list[Told]] = defaultdict(list)
    for rule in base.rules.values():
        branches = conditions.branches(read_condition(rule.when, base.names))
        by_cause[rule.supports or rule.opposes or ""].append((rule, branches))
    for told in by_cause.values():
        for at, one in enumerate(told):
            for other in told[at + 1 :]:
                yield from _rules(one, other)
        yield from _needless(told)
    yield from _undone(base)


def _rules(one: Told, other: Told) -> Iterator[Remark]:
    (first, first_branches), (second, second_branches) = one, other
    forward = implies(first_branches, second_branches)
    back = implies(second_branches, first_branches)
    if not (forward or back):
        return
    narrow, wide = (first, second) if forward else (second, first)
    if wide.id in narrow.counts_with and not (forward and back):
        return  # its author saw it and means it
    same_side = (first.supports is None) == (second.supports is None)
    if forward and back:
        if not same_side:
            text = f"the same condition speaks for and against in rule {first.id}"
            yield fault("rule", second, text)
        elif not _grouped(first, second):
            text = f"the same condition counts again in rule {first.id}; give both one group"
            yield fault("rule", second, text)
    elif not same_side:
        side = "for" if narrow.supports else "against"
        text = f"whenever it speaks {side} the cause, rule {wide.id} speaks the other way; "
        text += "if meant, say counts_with"
        yield remark("rule", narrow, text)
    elif not _grouped(first, second):
        text = f"whenever it fires rule {wide.id} fires and counts too; one group, or counts_with?"
        yield remark("rule", narrow, text)


def _needless(told: list[Told]) -> Iterator[Remark]:
    """``counts_with`` that no longer says anything."""
    wholes = {rule.id: (rule, branches) for rule, branches in told}
    for rule, branches in told:
        for name in rule.counts_with:
            other = wholes.get(name)
            if other is None or _grouped(rule, other[0]) or not implies(branches, other[1]):
                yield remark("rule", rule, f"counts_with {name}, but the two need not meet")


def _grouped(one: Rule, other: Rule) -> bool:
    return one.group is not None and one.group == other.group


def _undone(base: RuleBase) -> Iterator[Remark]:
    """Two steps for one cause at one time of which one undoes the other."""
    for action in base.actions.values():
        for name in action.undoes:
            other = base.actions[name]
            shared = sorted(set(action.needed_for) & set(other.needed_for))
            if shared and action.time == other.time:
                text = f"undoes {name}, and both are called for at once by {', '.join(shared)}"
                yield remark("action", action, text)
        yield from _self_defeating(action, base)


def _self_defeating(action: Action, base: RuleBase) -> Iterator[Remark]:
    """What forbids it, or what it requires, leaves no case in which it could be advised."""
    names = base.names
    level = conditions.STANDINGS.index(action.at_standing)
    calls: list[tuple[conditions.Leaf, ...]] = [
        (conditions.Leaf("standing", cause, ">=", level),) for cause in action.needed_for
    ]
    if action.when is not None:
        calls += conditions.branches(read_condition(action.when, names, later=True))
    if not calls:
        return  # that nothing proposes it is said elsewhere
    if action.requires is not None:
        required = read_condition(action.requires, names, later=True)
        wanted = conditions.Any_(tuple(conditions.All(branch) for branch in calls))
        try:
            calls = list(conditions.branches(conditions.All((wanted, required))))
        except conditions.ConditionFault:
            yield fault("action", action, "what it requires contradicts what calls for it")
            return
    for forbid in action.forbidden:
        against = conditions.branches(read_condition(forbid.when, names, later=True))
        if implies(calls, against):
            yield fault("action", action, f"forbidden whenever it is called for: {forbid.because}")
