"""Many lots at once: all alike, or a line for each box."""

from __future__ import annotations

from advisor.ask.answers.apply import asked_key, mark
from advisor.ask.answers.looks import copied_from
from advisor.ask.answers.parts import Place
from advisor.ask.besides import with_facts
from advisor.ask.heads_told import of_lot
from advisor.ask.hear.listen import listen
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
#: Of what a line says, not what a box holds.
DULL = ("lots", "place", "format", "question", "text", "ask_back", "not_understood", "unknown")


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
    base = at.reasoner.base
    look = base.questions[FIRST_LOOK]
    before = first
    at.say("Enter: looks like the one before. Packing is taken from the first lot. e ends this.")
    for lot in others:
        key = asked_key(look, lot.id)
        ask = Ask(FIRST_LOOK, key, "line", f"{about(lot)}?", follows="box")
        try:
            line = yield from at.line(ask, look, lot.id)
        except (Back, Same, Enough):
            return
        case = copied_from(at.case, first, lot, at.at_hours, base, packed=True, looks=False)
        if is_unknown(line):
            case = copied_from(case, before, lot, at.at_hours, base)
        else:
            alone = of_lot(case, lot.id)
            heard = listen(FIRST_LOOK, line, alone, base, at.clock(), at.at_hours)
            told = {key_: value for key_, value in heard.items() if key_ not in DULL}
            case = with_facts(case, told, Place(lot.id, at.at_hours), base)
            for sentence in heard.get("ask_back", ()):
                at.complain(sentence)
            at.say(" ".join(in_words(told, base)) or "Nothing taken.", level=1)
        case = mark(case, key, known=True)
        yield from at.keep(case)
        at.left_out.add(lot.id)
        at.alike.add(lot.id)
        before = lot


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
