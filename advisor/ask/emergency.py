"""Emergencies that stand on what was seen, read or told - not on knowing nothing."""

from __future__ import annotations

from advisor.advice.plan import Plan
from advisor.advice.reasoner import Reasoned
from advisor.advice.results import ActionResult


def certain_emergencies(reasoned: Reasoned, plan: Plan) -> tuple[ActionResult, ...]:
    """Emergency actions of the plan that some fact calls for, in the plan's order.

    An action advised only because there is not enough to tell is a precaution:
    it stands in the plan, and is not cried out.
    """
    founded = {
        firing.rule_id
        for firing in reasoned.firings
        if any(fact.kind != "not_enough" for fact in firing.facts)
    }
    return tuple(
        action for action in plan.actions if action.emergency and f"action:{action.id}" in founded
    )
