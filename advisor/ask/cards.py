"""The card of what to do meanwhile: in bag, tub or tank, sharpened by every answer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from advisor.advice.plan import Plan
from advisor.advice.reasoner import Reasoned
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
    """Where the fish are, the way chosen for them, why, and the first steps."""

    place: str
    way: str
    because: str
    steps: tuple[str, ...]


def card_of(reasoned: Reasoned, plan: Plan, *, looked: bool) -> Card | None:
    """The card of one lot; None where an emergency says it already.

    looked : whether somebody was asked what the fish do
    """
    place = reasoned.sheet.situation.place
    way = reasoned.way
    now = [action for action in plan.actions if action.when == "now"]
    if any(action.emergency for action in now):
        return None
    if place not in HEADS or way is None:
        if not now or not looked:
            return None
        first, *others = now[:MOST_MEANWHILE]
        return Card(MEANWHILE, first.text, "", tuple(short(a.text) for a in others))
    because = " ".join(call.because for call, _ in way.calls[:1])
    return Card(place, way.move.name, because, tuple(short(a.text) for a in now[:MOST_STEPS]))


def show(cards: Mapping[str, Card | None], before: Mapping[str, Card | None]) -> Iterator[Say]:
    """Cards that are new or whose way has changed, once for lots that share one; new steps."""
    told: set[Card] = set()
    for lot, card in cards.items():
        was = before.get(lot) or next(iter(before.values()), None)
        if card is None or card in told or card == was:
            continue
        told.add(card)
        alone = len(set(cards.values())) == 1
        if was is not None and (was.place, was.way) == (card.place, card.way):
            for step in card.steps:
                if step not in was.steps:
                    yield Say(f"Now also: {step}.", mark=">")
            continue
        yield Say()
        whose = "" if alone else f" ({lot})"
        if card.place == MEANWHILE:
            yield Say(f"{MEANWHILE}{whose}: {card.way}", strong=True)
        else:
            head = HEADS[card.place] if card.way.startswith("keep") else card.way.upper()
            yield Say(f"{head}{whose}: {card.way}. {card.because}", strong=True)
        for at, step in enumerate(card.steps, 1 if card.place in HEADS else 2):
            yield Say(f"{step}.", mark=f"{at}.", level=0)
