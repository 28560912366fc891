"""A step that empties one bag: of which lot it was, and whether other bags of it stay shut.

Two lots may wait for the same step and a lot may lie in several bags. Whoever opened one bag has
left the others shut: they stay where they are, with what was seen of them.
"""

from __future__ import annotations

from collections.abc import Sequence

from advisor.ask.answers.split_lot import part_id, split_lot
from advisor.ask.hours import about
from advisor.ask.inquiry import Inquiry
from advisor.ask.keys import Back, Enough, Same
from advisor.ask.parts_of_lot import heads_of_part, how_many, said_of_split, told_of
from advisor.ask.records import Ask, Talking
from advisor.case import Case, Lot

#: What these questions follow, in a session and on a page.
FOLLOWS = frozenset(["opened_bag", "only_bag", "part", "whose", "heads_of_part"])
_ONLY = {"only": "its only bag", "more": "others of it are still shut"}


def emptied_bags(at: Inquiry, lots: Sequence[str]) -> Talking[tuple[str, ...]]:
    """The lots whose fish are out of a bag now; a lot of which a part is becomes two.

    Empty where it is not said of which lot the bag was.
    """
    try:
        opened = yield from _of_which(at, lots)
        found = []
        for lot in opened:
            found.append((yield from _one_of(at, at.lot(lot))))
    except (Back, Same, Enough):
        return ()
    return tuple(found)


def _of_which(at: Inquiry, lots: Sequence[str]) -> Talking[Sequence[str]]:
    if len(lots) < 2:
        return lots
    names = {lot: about(at.lot(lot)) for lot in lots}
    ask = Ask("", "", "several", "Of which of these was a bag opened?", follows="opened_bag")
    return (yield from at.menu(ask, names, None, lots[0])) or ()


def _one_of(at: Inquiry, lot: Lot) -> Talking[str]:
    """The lot that was in the bag: the whole of it, or a new one beside those still shut."""
    if lot.bags == 1 or lot.count == 1 or not at.case.lot:
        return lot.id
    if lot.bags is None:
        text = f"{about(lot)}: was that"
        ask = Ask("", "", "one", f"{text} its only bag?", follows="only_bag")
        if (yield from at.menu(ask, _ONLY, None, lot.id)) == ("only",):
            return lot.id
    text = f"{about(lot)}: how many were in that bag?"
    fish = yield from how_many(at, lot, text, 1, "")
    whose = yield from told_of(at, lot, "those still shut", "those of the opened bag")
    heads: dict[str, int] = {}
    if whose == "both":
        heads = yield from heads_of_part(at, lot, "were in that bag", fish)
    fresh = part_id(at.case, lot.id)
    at.say(said_of_split(at, lot, "still shut", "out of the opened bag"), level=1)

    def split(case: Case) -> Case:
        if lot.id not in [each.id for each in case.lot]:
            return case
        bags = 1 if lot.bags else None
        return split_lot(case, lot.id, count=fish, bags=bags, whose=whose, heads=heads)

    at.case = split(at.case)
    at.past = [(split(case), hours) for case, hours in at.past]
    return fresh
