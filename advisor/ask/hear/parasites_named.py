"""Several parasites named from one scrape: which one leads is asked, none is left out."""

from __future__ import annotations

from advisor.advice.settled_by import choices_of
from advisor.ask.hear import patterns
from advisor.ask.hear.ears import Ears
from advisor.ask.hear.line import Clause

_ITEM = "scrape_parasite"


def several_parasites(ears: Ears, cut: list[Clause]) -> None:
    """Of several parasites none is taken as the one; at the question for it, it is asked back."""
    offered = frozenset(f"history {_ITEM} {each}" for each in ears.base.history[_ITEM].answers)
    found = dict.fromkeys(
        match.pattern.fact.split()[-1]
        for clause in cut
        for match in patterns.find(clause, offered, ears.held, offered.__contains__)
        if match.seen
    )
    if len(found) < 2:
        return
    history = ears.out.setdefault("history", {})
    history.pop(_ITEM, None)
    ears.ask = [ask for ask in ears.ask if not ask.startswith("Which is it")]
    if ears.asked == "scrape":
        history["scrape_done"] = "parasite_found"
        return
    lines = choices_of(ears.question, ears.base)
    names = " or ".join(lines[each] for each in found)
    ears.ask.append(f"Only one can be kept: which was there in the greatest number, {names}?")
