"""Cards while the fish are not settled: what to do with the bag, sharpened by every answer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from advisor.advice.assess import Reasoned
from advisor.advice.plan import Plan
from advisor.ask.records import Say
from advisor.ask.standing import short

#: Steps on a card at most, as emergency checklists keep it.
MOST_STEPS = 5
HEADS = {
    "closed_bag": "DO NOT CUT YET",
    "open_bag": "OPENED BAG",
    "tub": "IN THE TUB",
}


class Card(NamedTuple):
    """Where the fish are, the way chosen for them, why, and the first steps."""

    place: str
    way: str
    because: str
    steps: tuple[str, ...]


def card_of(reasoned: Reasoned, plan: Plan) -> Card | None:
    """The card of one lot; None in a tank, and where an emergency says it already."""
    place = reasoned.sheet.situation.place
    way = reasoned.way
    now = [action for action in plan.actions if action.when == "now"]
    if place not in HEADS or way is None or any(action.emergency for action in now):
        return None
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
        head = HEADS[card.place] if card.way.startswith("keep") else card.way.upper()
        yield Say()
        yield Say(f"{head}{'' if alone else f' ({lot})'}: {card.way}. {card.because}", strong=True)
        for at, step in enumerate(card.steps, 1):
            yield Say(f"{step}.", mark=f"{at}.", level=0)
