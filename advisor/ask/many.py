"""Many lots at once: all alike, or a line for each box."""

from __future__ import annotations

from advisor.ask.answers.apply import asked_key, mark
from advisor.ask.answers.looks import copied_from
from advisor.ask.answers.parts import Place
from advisor.ask.besides import with_facts
from advisor.ask.boxes_named import shared_out
from advisor.ask.heads_told import NO_FACTS, asked_back, heads_settled, heard_of
from advisor.ask.hear.said import in_words
from advisor.ask.hours import about
from advisor.ask.inquiry import FIRST_LOOK, Inquiry
from advisor.ask.keys import Back, Enough, Same
from advisor.ask.records import Ask, Talking
from advisor.ask.trouble import signs_of_trouble
from advisor.case import Case, Lot
from advisor.units import is_unknown

#: From so many lots on it is offered to take them together.
FROM = 3
WAYS = {
    "each": "each one by itself",
    "lines": "one line for each box: what is seen, dead, down",
    "alike": "all packed alike and looking like the first",
}


def together(at: Inquiry) -> Talking[None]:
    """Ask once how the other lots are to be gone through, and do it."""
    first, *others = at.case.lot
    at.say()
    text = f"{len(others)} more lots. How do you go on?"
    hint = "Enter goes through each one."
    ask = Ask(FIRST_LOOK, "", "one", text, follows="together", hint=hint)
    try:
        keys = yield from at.menu(ask, WAYS, None, first.id)
    except (Back, Same, Enough):
        return
    if keys == ("alike",):
        case = at.case
        for lot in others:
            case = copied_from(case, first, lot, at.at_hours, at.reasoner.base, packed=True)
        yield from at.keep(case)
        at.left_out |= {lot.id for lot in others}
        at.alike |= {lot.id for lot in others}
        at.say(f"Taken like {about(first)}: {', '.join(about(lot) for lot in others)}.")
    elif keys == ("lines",):
        yield from _a_line_each(at, first, tuple(others))


def _a_line_each(at: Inquiry, first: Lot, others: tuple[Lot, ...]) -> Talking[None]:
    """A line for each box; one that names several goes to each of them."""
    look = at.reasoner.base.questions[FIRST_LOOK]
    left, before = list(others), first
    at.say("Enter: looks like the one before. Packing is taken from the first lot. e ends this.")
    while left:
        lot = left[0]
        ask = Ask(FIRST_LOOK, asked_key(look, lot.id), "line", f"{about(lot)}?", follows="box")
        try:
            line = yield from at.line(ask, look, lot.id)
        except (Back, Same, Enough):
            return
        if is_unknown(line):
            yield from _one_box(at, first, lot, None if line.strip() else before)
            told = [lot.id]
        else:
            told = yield from _in_words(at, first, lot, line)
            if lot.id not in told:
                at.say(f"Nothing was taken of {about(lot)}.", level=1)
        before = next((each for each in left if each.id in told[-1:]), before)
        left = [each for each in left if each.id not in told]


def _one_box(at: Inquiry, first: Lot, lot: Lot, like: Lot | None) -> Talking[None]:
    """A box of which no words were said: as the one before, or not looked at."""
    base, key = at.reasoner.base, asked_key(at.reasoner.base.questions[FIRST_LOOK], lot.id)
    case = copied_from(at.case, first, lot, at.at_hours, base, packed=True, looks=False)
    if like is not None:
        case = copied_from(case, like, lot, at.at_hours, base)
    yield from _keep_box(at, mark(case, key, known=like is not None), lot)


def _in_words(at: Inquiry, first: Lot, asked: Lot, line: str) -> Talking[list[str]]:
    """What a line says of each lot, kept; the lots that something was taken of."""
    base = at.reasoner.base
    shared = shared_out(line, at.case.lot, asked.id, base)
    for words in shared.nobody:
        at.complain(f'"{words}" is told of no one lot here; nothing of it was taken.')
    taken = []
    for lot in (each for each in at.case.lot if each.id in shared.said):
        case = at.case
        if lot.id != first.id:
            case = copied_from(case, first, lot, at.at_hours, base, packed=True, looks=False)
        text = ", ".join(shared.said[lot.id])
        heard = heard_of(at, case, lot.id, text)
        told = {key: value for key, value in heard.items() if key not in (*NO_FACTS, "place")}
        yield from heads_settled(at, told, lot)
        for sentence in asked_back(heard):
            at.complain(sentence)
        for words in heard.get("not_understood", ()):
            at.say(f'"{words}" means no sign here.', level=1)
        if not told:
            continue
        at.say(f"{about(lot)}: {' '.join(in_words(told, base))}", level=1)
        case = with_facts(case, told, Place(lot.id, at.at_hours), base)
        key = asked_key(base.questions[FIRST_LOOK], lot.id)
        yield from _keep_box(at, mark(case, key, known=True), lot, first=lot.id == first.id)
        taken.append(lot.id)
    return taken


def _keep_box(at: Inquiry, case: Case, lot: Lot, *, first: bool = False) -> Talking[None]:
    yield from at.keep(case)
    if not first:
        at.left_out.add(lot.id)
        at.alike.add(lot.id)


def packed_alike(at: Inquiry) -> Talking[None]:
    """What was said since of the first lot's bags holds for those packed as it was."""
    case = at.case
    for lot in case.lot[1:]:
        if lot.id in at.alike:
            case = copied_from(
                case, case.lot[0], lot, at.at_hours, at.reasoner.base, packed=True, looks=False
            )
    if case != at.case:
        yield from at.keep(case)


def still_alike(at: Inquiry) -> set[str]:
    """Lots that need no questions of their own: packed as the first, and nothing wrong of them
    was seen that it does not show too."""
    if not at.case.lot:
        return set()
    trouble = signs_of_trouble(at.reasoner)
    first = _seen_last(at.case, at.case.lot[0].id)
    return {
        lot.id for lot in at.case.lot[1:]
        if lot.id in at.alike and not (_seen_last(at.case, lot.id) & trouble) - first
    }  # fmt: skip


def _seen_last(case: Case, lot: str) -> set[str]:
    looks = [look for _, look in case.looks_at(lot)]
    return {sign for look in looks if look.at_hours == looks[-1].at_hours for sign in look.seen}
