"""Actions that promise more than they may: gentle ones that dose, emergencies that wait."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.rulebase.base import RuleBase
from advisor.rulebase.entries import Action
from advisor.rulebase.remarks import Remark, fault, remark


def action_remarks(base: RuleBase) -> Iterator[Remark]:
    """Remarks on each action by itself."""
    for action in base.actions.values():
        if action.when is None and not action.needed_for:
            yield fault("action", action, "nothing ever proposes this action")
        if action.emergency and action.time != "now":
            yield fault("action", action, f"an emergency whose time is {action.time}; make it now")
        if action.requires is not None and not action.requires_because:
            text = "requires something but does not say why; give requires_because"
            yield fault("action", action, text)
        if action.requires is None and action.requires_because:
            yield remark("action", action, "requires_because stands without requires")
        if action.doses and not action.cautions:
            yield fault("action", action, "puts a substance into the water and carries no caution")
        yield from _gentle(action)
        yield from _proofs(action)


def _proofs(action: Action) -> Iterator[Remark]:
    """What kind of step it is, and by what proof it is held, must be said in the entry."""
    if "step" not in action.model_fields_set:
        text = "says not what kind of step it is: rescue, treatment, comfort, duty or look"
        yield fault("action", action, text)
    for at, forbid in enumerate(action.forbidden, 1):
        if "proof" not in forbid.model_fields_set:
            text = f"forbidden {at} says not by what proof: sure, possible, moot or people"
            yield fault("action", action, text)
        elif action.step == "rescue" and forbid.proof == "possible":
            text = f"forbidden {at} has only a possible harm, which holds no rescue: sure, or none"
            yield fault("action", action, text)


def _gentle(action: Action) -> Iterator[Remark]:
    if not action.gentle:
        return
    if action.doses:
        text = "is called gentle, yet puts a substance into the water; that cannot be undone"
        yield fault("action", action, text)
    if action.authority != "keeper":
        text = f"is called gentle, yet needs the {action.authority}'s word"
        yield fault("action", action, text)
