"""Why a step must not be done on a delivery, for whoever learns from it."""

from __future__ import annotations

from advisor.advice.results import LotResult
from advisor.rulebase import RuleBase

_LIKELY = ("likely", "very_likely")


def why_not_here(name: str, result: LotResult, base: RuleBase) -> str:
    """The reason in one sentence; never empty.

    What the rules hold against it here; else what it is for, which is not likely here; else
    what it asks for; else that whoever judged the case named it.
    """
    held = next((h for h in result.withheld if h.action == name and not h.moot), None)
    if held is not None:
        return held.because
    action = base.actions.get(name)
    if action is not None and action.needed_for:
        likely = {cause.id for cause in result.causes if cause.standing in _LIKELY}
        if not likely & set(action.needed_for):
            causes = ", ".join(base.causes[each].name for each in action.needed_for)
            return f"It is for {causes}: not likely here."
    if action is not None and action.requires_because:
        return f"Not sure enough for it: {action.requires_because}."
    if action is not None and action.id not in {each.id for each in result.actions}:
        return "Nothing here calls for it, and it takes time or harms; named by the case's judge."
    return "Named by whoever judged this case."
