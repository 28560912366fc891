"""The card of what to do meanwhile: in bag, tub or tank, sharpened by every answer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from advisor.advice.plan import Plan
from advisor.advice.reasoner import Reasoned
from advisor.advice.results import ActionResult
from advisor.ask.records import Say
from advisor.ask.standing import short

#: Steps on a card at most, as emergency checklists keep it.
MOST_STEPS = 5
HEADS = {
    "closed_bag": "DO NOT CUT YET",
    "open_bag": "OPENED BAG",
    "tub": "IN THE TUB",
}
#: In the tank, once something was asked of the fish themselves.
MEANWHILE = "FOR NOW"
MOST_MEANWHILE = 3


class Card(NamedTuple):
    """Its head, what stands there in full, and the steps under it.

    way   : the card is a new one when this changes
    first : number of the first of the steps
    """

    head: str
    way: str
    text: str
    steps: tuple[str, ...]
    first: int = 1


def card_of(reasoned: Reasoned, plan: Plan, *, looked: bool) -> Card | None:
    """The card of one lot; None where an emergency says it already.

    looked : whether somebody was asked what the fish do
    """
    place = reasoned.sheet.situation.place
    way = reasoned.way
    now = [action for action in plan.actions if action.when == "now"]
    if any(action.emergency for action in now):
        return None
    if place == "closed_bag" and way is not None:
        name = way.move.name
        head = HEADS[place] if name.startswith("keep") else name.upper()
        because = " ".join(call.because for call, _ in way.calls[:1])
        return Card(head, name, because, _steps(now[:MOST_STEPS]))
    waiting = place in HEADS and way is not None
    if not now or not (looked or waiting):
        return None
    # what to do now says the way out of bag or tub, and to where
    first, *others = now[: MOST_STEPS if waiting else MOST_MEANWHILE]
    return Card(HEADS.get(place, MEANWHILE), first.text, first.text, _steps(others), 2)


def _steps(actions: Iterable[ActionResult]) -> tuple[str, ...]:
    return tuple(short(action.text) for action in actions)


def show(cards: Mapping[str, Card | None], before: Mapping[str, Card | None]) -> Iterator[Say]:
    """Cards that are new or whose way has changed, once for lots that share one; new steps."""
    told: set[Card] = set()
    for lot, card in cards.items():
        was = before.get(lot) or next(iter(before.values()), None)
        if card is None or card in told or card == was:
            continue
        told.add(card)
        alone = len(set(cards.values())) == 1
        if was is not None and (was.head, was.way) == (card.head, card.way):
            for step in card.steps:
                if step not in was.steps:
                    yield Say(f"Now also: {ended(step)}", mark=">")
            continue
        yield Say()
        whose = "" if alone else f" ({lot})"
        yield Say(f"{card.head}{whose}: {card.text}", strong=True)
        for at, step in enumerate(card.steps, card.first):
            yield Say(ended(step), mark=f"{at}.", level=0)


def ended(step: str) -> str:
    """A step with its full stop; dots stay as they are."""
    return step if step.endswith("...") else f"{step}."
