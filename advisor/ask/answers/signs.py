"""A line typed at a question about signs: numbers, words of the list, or own words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from advisor.ask.answers.choosing import NotUnderstood, Picked, brief, is_none, pick, plain
from advisor.ask.answers.phrases import SignBook
from advisor.ask.answers.replies import Seen


@dataclass(frozen=True)
class SignsSaid:
    """What a line said.

    reply        : signs that are sure
    guesses      : sign -> words, to be confirmed
    ask_instead  : words that are no signs, with what to ask
    unheard      : pieces nothing is known of
    rest         : "absent" when the other lines count as looked for and not seen,
                   "ask" when only words were typed, "unknown" when the person said so
                   or said something that fits no sign
    """

    reply: Seen
    guesses: Mapping[str, str]
    ask_instead: tuple[tuple[str, str], ...]
    unheard: tuple[str, ...]
    rest: str


def read_signs(
    text: str,
    offered: Mapping[str, str],
    book: SignBook,
) -> SignsSaid:
    """Read a line at a question that offers these signs (id -> name).

    Raises NotUnderstood for numbers out of range and for words that fit nothing.
    """
    if is_none(text):
        return SignsSaid(Seen((), tuple(offered)), {}, (), (), "absent")
    by_number = _numbers(text, offered, book)
    seen = dict.fromkeys(by_number.keys)
    absent: dict[str, None] = {}
    guesses: dict[str, str] = {}
    ask: list[tuple[str, str]] = []
    unheard: list[str] = []
    for piece in by_number.left_over:
        heard = book.hear(piece)
        seen |= dict.fromkeys(heard.seen)
        absent |= dict.fromkeys(heard.absent)
        ask += heard.ask_instead
        if heard.seen or heard.absent or (heard.ask_instead and not heard.guesses):
            continue
        line = _line_meant(piece, offered)
        if line is not None:
            guesses[line] = piece
        else:
            guesses |= heard.guesses
            unheard += heard.unheard if not heard.guesses else ()
    if not (seen or absent or guesses or ask):
        raise NotUnderstood(
            f'"{brief(text)}" fits no sign known here; type numbers, "0" for none of '
            "these, or other words for what is seen."
        )
    words = tuple(dict.fromkeys(piece.strip() for piece in by_number.left_over))
    # what was not understood may be one of the other lines: none of them is "not seen" then
    left_open = by_number.rest_unknown or unheard
    rest = "unknown" if left_open else "absent" if by_number.keys else "ask"
    reply = Seen(tuple(seen), tuple(sign for sign in absent if sign not in seen), words)
    return SignsSaid(
        reply,
        {sign: said for sign, said in guesses.items() if sign not in seen},
        tuple(ask),
        tuple(unheard),
        rest,
    )


def _numbers(text: str, offered: Mapping[str, str], book: SignBook) -> Picked:
    """Lines picked by number; all words are left over, cut at commas unless a phrase holds one."""
    if book.parted(text):
        return Picked((), left_over=(text.strip(),))
    return pick(text, {sign: f"\0{sign}" for sign in offered}, several=True)


def with_rest_absent(reply: Seen, offered: Sequence[str]) -> Seen:
    """The same reply, with every line left out counted as looked for and not seen."""
    others = [sign for sign in offered if sign not in reply.seen and sign not in reply.not_seen]
    return Seen(reply.seen, (*reply.not_seen, *others), reply.words)


def _line_meant(piece: str, offered: Mapping[str, str]) -> str | None:
    """The line of the list whose words were typed, if it is one."""
    if len(plain(piece)) < 3:
        return None
    try:
        picked = pick(piece, offered, several=True)
    except NotUnderstood:
        return None
    return picked.keys[0] if len(picked.keys) == 1 and not picked.left_over else None
