"""Asking a lot in two: how many are elsewhere, and of which of them was what was told so far."""

from __future__ import annotations

import re

from advisor.ask.answers.choosing import NotUnderstood
from advisor.ask.answers.field_numbers import whole_number
from advisor.ask.answers.split_lot import Whose, part_id
from advisor.ask.hear.line import with_numbers
from advisor.ask.hours import about
from advisor.ask.inquiry import Inquiry
from advisor.ask.records import Ask, Talking
from advisor.case import Lot
from advisor.case.model import Counts

_SHUT = r"(?:are |is |still )*(?:shut|sealed|closed|tied|unopened)"
_OUT = r"(?:are |is )*(?:open(?:ed)?|cut|out|in (?:the |a )?(?:tank|tub|bucket))"


def number_out(line: str, lot: Lot) -> tuple[int | None, int | None]:
    """(fish, bags) that a line tells to be out of the shut bags; None where it does not say.

    "2 bags shut, 1 opened" of three bags; "8 shut, 4 open" of twelve fish.
    """
    text = with_numbers(line).casefold()
    shut = re.search(rf"(\d+) ?(bags?|boxes|box)? ?(?:of \w+ )?{_SHUT}", text)
    out = re.search(rf"(\d+) ?(bags?|boxes|box)? ?(?:of \w+ )?{_OUT}", text)
    numbers = [int(hit[1]) for hit in (shut, out) if hit]
    bags = any(hit[2] for hit in (shut, out) if hit)
    if not numbers:
        return None, None
    whole = lot.bags if bags or sum(numbers) == lot.bags else lot.count
    found = int(out[1]) if out else None
    if found is None and whole is not None and shut is not None:
        found = whole - int(shut[1])
    if found is None or found < 1:
        return None, None
    return (None, found) if bags or whole == lot.bags else (found, None)


def how_many(at: Inquiry, lot: Lot, text: str, bags: int | None, key: str) -> Talking[int | None]:
    """How many fish the part has, asked; its share by bags is offered where that can be told.

    Gives None where it is not known.
    """
    if lot.count is None:
        return None
    most = lot.count - 1
    share = round(lot.count * (bags or 1) / lot.bags) if lot.bags else None
    share = min(max(share, 1), most) if share is not None and most >= 1 else None

    def read(line: str) -> int:
        number = whole_number(line)
        if not 1 <= number <= most:
            raise NotUnderstood(f"1 to {most}: the others of the {lot.count} are elsewhere.")
        return number

    end = "Enter if it is not known."
    if share is not None:
        end = f"Enter takes {share}, by the number of bags; u if it is not known."
    ask = Ask("", key, "line", f"{text} {end}", follows="part", kept=str(share or ""))
    number = yield from at.until(ask, read, None, lot.id)
    return share if number is None and not at.last_line.strip() else number


def told_of(at: Inquiry, lot: Lot, stay: str, new: str) -> Talking[Whose]:
    """Of which part was what was told of the lot so far; asked where there is anything."""
    alone = len(at.case.lot) == 1
    looks = [each for each in at.case.observation if each.lot == lot.id or alone]
    signs = at.reasoner.base.signs
    names = [signs[sign].name for look in looks for sign in look.seen if sign in signs]
    names += [
        f"{number} {state}"
        for look in looks
        for state, number in look.counts.model_dump(exclude_none=True).items()
        if number
    ]
    if not names:
        return "both"
    lines = {"stay": stay, "new": new, "both": "both, or not known"}
    text = f"Told of them so far: {', '.join(dict.fromkeys(names))}. Of which is that?"
    keys = yield from at.menu(Ask("", "", "one", text, follows="whose"), lines, None, lot.id)
    return "both" if not keys else keys[0]  # type: ignore[return-value]


def heads_of_part(at: Inquiry, lot: Lot, where: str, most: int | None) -> Talking[dict[str, int]]:
    """Dead and down of the last count that are of the new part, asked; empty if nothing is."""
    last = _last_heads(at, lot)
    found: dict[str, int] = {}
    for state, number in last.items():
        top = number if most is None else min(number, most)

        def read(line: str, top: int = top, number: int = number) -> int:
            heads = number if line.strip().casefold() == "all" else whole_number(line)
            if not 0 <= heads <= top:
                raise NotUnderstood(f"0 to {top}, of the {number}.")
            return heads

        if number == 0:
            found[state] = 0
            continue
        text = f"Of the {number} {state}, how many {where}? Enter if it is not known."
        ask = Ask("", "", "line", text, follows="heads_of_part")
        heads = yield from at.until(ask, read, None, lot.id)
        if heads is not None:
            found[state] = heads
    return found


def _last_heads(at: Inquiry, lot: Lot) -> dict[str, int]:
    alone = len(at.case.lot) == 1
    mine = [
        look
        for look in at.case.observation
        if (look.lot == lot.id or (alone and look.lot == "all")) and look.counts != Counts()
    ]
    last = max(mine, key=lambda look: look.at_hours, default=None)
    return {} if last is None else last.counts.model_dump(exclude_none=True, exclude={"normal"})


def said_of_split(at: Inquiry, lot: Lot, stay: str, new: str) -> str:
    """What the two lots are called from here on."""
    fresh = part_id(at.case, lot.id)
    return f"{about(lot)} are two lots from here on: {lot.id}, {stay}, and {fresh}, {new}."
