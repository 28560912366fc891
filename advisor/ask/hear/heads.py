"""Heads counted: how many dead, down and well, and what must be asked because it is no number.

The line becomes tokens - amounts, states, what joins and what takes away - and each amount is
bound to one state. An amount or a state that stays alone is asked back: no number is dropped.
"""

# ruff: noqa: E501 - a pattern is easier to read on one line
from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from advisor.ask.hear.head_words import HeadToken, tokens
from advisor.ask.hear.on_file import PART_IN_BRACKETS

#: Words of a share, as part of the whole.
_SHARES = {"half": 1 / 2, "third": 1 / 3, "quarter": 1 / 4, "fifth": 1 / 5, "tenth": 1 / 10}
_ASK = {
    "dead": "How many are dead, as a number?", "down": "How many are down, as a number?",
    "normal": "How many are well, and the others: dead or down?",
}  # fmt: skip


_LEFT = re.compile(r"left|alive|surviv|remain|living|made it|live")


@dataclass
class Heads:
    """Counts taken; ``ask`` says what has to be asked back, ``on_arrival`` dead in the bags,
    ``more`` how many of the dead were told as more."""

    counts: dict[str, int] = field(default_factory=dict)
    on_arrival: int | None = None
    ask: str = ""
    left: list[str] = field(default_factory=list)
    more: int = 0

    def add(self, state: str, number: int) -> None:
        self.counts[state] = self.counts.get(state, 0) + number


@dataclass
class _Bound:
    """An amount with its state, as they stand in the line."""

    amount: HeadToken | None
    state: HeadToken | None


def heads(text: str, came: int | None) -> Heads:
    """What a line says about heads.

    text : small letters, numbers in figures
    came : fish in the lot, where that is known
    """
    found = Heads()
    if re.search(r"\b(?:nearly|almost|could have) (?:lost|died)\b", text):
        found.ask = "How many are dead, how many down?"
        return found
    text = _DETAIL.sub(_without_detail, PART_IN_BRACKETS.sub(r"\1", text))
    text = _GOES_ON.sub(r"\1", _TOTAL_FIRST.sub("", text))
    part = _PART.search(text)
    if part is not None:
        text = f"{text[: part.start()]} {text[part.end() :]}"
    told = tokens(text)
    found.left = [t.text for t in told if t.kind == "word"]
    if any(t.kind == "part" for t in told):
        found.ask = "Fish are counted whole: how many are dead, how many down?"
        return found
    if any(t.kind == "ratio" for t in told):
        found.ask = "How many are dead, how many down, as numbers?"
        return found
    pairs, free = _bind(told, came)
    unsure = bool(re.search(r"\b(?:dont know|not sure|unsure|no idea|not counted)\b", text))
    rest: list[str] = []
    for pair in pairs:
        if pair.amount is None and unsure:
            continue
        _count(pair, came, found, rest)
    _more(free, told, found)
    _rest(rest, came, found)
    _loose(free, told, came, found)
    if part is not None and int(part[1]) <= found.counts.get("dead", 0):
        found.on_arrival = int(part[1])
    _sane(came, found)
    return found


#: "still dying, 3 more dead": deaths go on; nobody is down by that.
_GOES_ON = re.compile(
    r"(^|[,;.:] ?|\b(?:and|but) )(?:(?:they|fish|these|it)(?: are)? )?(?:still|keep(?:s|ing)?|kept|go(?:es|ing)? on|slowly) dying\b(?= *(?:[,;.:]|and\b|but\b|$))"
)
#: "total 14 dead": all so far, no number that came.
_TOTAL_FIRST = re.compile(
    r"\b(?:in )?(?:totals?|total of|altogether|all told|in all|so far)[: ]+(?=\d+ (?:\w+ )?(?:dead|died|deaths?|doa|gone|lost|loss(?:es)?)\b)"
)
#: "4 (3 doa, 1 in quarantine)": the parts of a number.
_DETAIL = re.compile(r"(\d+)([^()\d]*)\(([^)]*)\)")

#: "8 dead of which 3 doa": a part of the dead.
_PART = re.compile(
    r"[,;( ]+(?:of (?:which|them|those|these|whom)|including|incl\.?|inc)[,:]? (\d+) (?:\w+ )?(?:doa|dead on arrival|(?:dead |already )*in the (?:bags?|box|transit)|on arrival)\)?"
)


def _without_detail(hit: re.Match[str]) -> str:
    parts = [int(n) for n in re.findall(r"\d+", hit[3])]
    return f"{hit[1]}{hit[2]}" if parts and sum(parts) == int(hit[1]) else hit[0]


# -- binding -------------------------------------------------------------------------


def _bind(told: list[HeadToken], came: int | None) -> tuple[list[_Bound], list[HeadToken]]:
    """Pairs of amount and state; amounts that are left."""
    told = [t for t in told if t.kind in ("amount", "state", "stop", "but", "sign")]
    first = next((t.kind for t in told if t.kind in ("amount", "state")), "")
    last = next((t.kind for t in reversed(told) if t.kind in ("amount", "state")), "")
    after = first == "state" and last == "amount" and not _verb_first(told)
    pairs: list[_Bound] = []
    waiting: list[HeadToken] = []
    free: list[HeadToken] = []
    taken: set[int] = set()
    for at, token in enumerate(told):
        if at in taken:
            continue
        if token.kind == "amount":
            waiting.append(token)
        elif token.kind == "sign":
            if at + 1 < len(told) and told[at + 1].kind == "state":
                continue
            waiting = waiting[:-1]  # so many gasp: a sign, no head count
        elif token.kind == "state":
            following = told[at + 1] if at + 1 < len(told) else None
            if following is not None and following.kind == "amount" and (after or token.verb):
                pairs.append(_Bound(following, token))
                taken.add(at + 1)
                free += waiting
                waiting = []
                continue
            pairs += _before(waiting, token, pairs, came, free)
            waiting = []
    return pairs, free + waiting


def _verb_first(told: list[HeadToken]) -> bool:
    first = next((t for t in told if t.kind == "state"), None)
    return first is not None and first.verb


def _before(
    waiting: list[HeadToken],
    state: HeadToken,
    pairs: list[_Bound],
    came: int | None,
    free: list[HeadToken],
) -> list[_Bound]:
    """The amount that stands before a state; several of them where bags are named one by one."""
    if not waiting:
        if pairs and state.joined and pairs[-1].amount is not None:
            return _joined(pairs, state)
        return [_Bound(None, state)]
    placed = [t for t in waiting if t.placed]
    if len(placed) > 1 and len(placed) == len(waiting):
        return [_Bound(t, state) for t in placed]
    *others, amount = waiting
    free += others
    return [_Bound(amount, state)]


def _joined(pairs: list[_Bound], state: HeadToken) -> list[_Bound]:
    """ "none dead or down" is both; "5 belly up and dead" is dead; "5 dead or dying" is asked."""
    before = pairs[-1]
    assert before.amount is not None and before.state is not None
    if before.amount.name in ("none", "all") or before.state.name == state.name:
        return [_Bound(before.amount, state)] if before.state.name != state.name else []
    if state.name == "dead" and state.joined == "and":
        pairs[-1] = _Bound(before.amount, state)
    elif state.name in ("dead", "down") and before.state.name in ("dead", "down"):
        pairs[-1] = _Bound(replace(before.amount, name="vague"), before.state)
    return []


# -- counting ------------------------------------------------------------------------


def _count(pair: _Bound, came: int | None, found: Heads, rest: list[str]) -> None:
    state, amount = pair.state, pair.amount
    assert state is not None
    name = "dead" if state.name == "doa" else state.name
    if amount is None:
        if name == "normal" and came == 1 and _LEFT.search(state.text) and not state.denied:
            found.counts.setdefault("dead", 0)
        if not state.denied and name in ("dead", "down") and not state.verb:
            if came == 1:
                found.counts.setdefault(name, 1)
            elif name not in found.counts and state.alone:
                found.ask = found.ask or _ASK[name]
        return
    if name == "normal" and (state.denied or amount.name == "none"):
        found.ask = found.ask or _ASK["normal"]
        return
    if state.denied and amount.name != "none":
        return
    if name == "unsure":
        if amount.name == "none":
            return
        found.ask = found.ask or f"Are the {amount.text} down (on their side, or no answer)?"
        return
    if amount.name == "rest":
        rest.append(name)
        return
    number = _number(amount, came)
    if amount.name == "some" and (found.counts or name == "normal"):
        return
    if name == "normal" and number is not None and came is not None and _LEFT.search(state.text):
        if set(found.counts) <= {"dead"} and number <= came:
            found.counts["dead"] = came - number
        return
    if amount.name == "all" and name == "normal":
        if amount.but is None:
            found.counts.setdefault("dead", 0)
            if not re.fullmatch(r"(?:still )?(?:a?live|living|left|remain\w*|here)", state.text):
                found.counts.setdefault("down", 0)
        else:
            found.ask = "The others: dead or down, how many of each?"
        return
    if amount.name == "all" and name == "down" and found.counts.get("dead"):
        found.ask = found.ask or _ASK["down"]
        return
    if number is None:
        found.ask = found.ask or _ASK[name]
        return
    found.add(name, number)
    if name == "dead" and amount.more:
        found.more += number
    if state.name == "doa" or (state.verb and number == 0 and len(found.counts) == 1):
        found.on_arrival = (found.on_arrival or 0) + number


def _number(amount: HeadToken, came: int | None) -> int | None:
    """The amount as a number of fish; None where it has to be asked."""
    if amount.name == "none":
        return 0
    if amount.name == "number":
        return _split(came, amount)
    if amount.name == "all":
        if amount.text.startswith("both") and came not in (None, 2):
            return None
        whole = came if came is not None else amount.number
        if whole is None:
            return None
        return whole - amount.but if amount.but is not None and amount.but <= whole else whole
    if amount.name == "share" and came is not None:
        share = _SHARES.get(amount.unit, 0.01)
        return round(came * share * (amount.number or 1))
    return None


def _more(free: list[HeadToken], told: list[HeadToken], found: Heads) -> None:
    """ "4 doa, 2 more since", "makes 6": more of the dead, or their sum."""
    dead = [t for t in told if t.kind == "state" and t.name in ("dead", "doa")]
    for token in list(free):
        if "dead" not in found.counts or not dead:
            continue
        if token.name == "sum":
            found.counts["dead"] = token.number or 0
        elif token.name == "number" and (token.placed or (token.more and _ends(token, told))):
            found.add("dead", token.number or 0)
            found.more += token.number or 0
        else:
            continue
        free.remove(token)


def _ends(token: HeadToken, told: list[HeadToken]) -> bool:
    """Whether nothing is said of a number but that it is more: "2 more since"."""
    after = told[told.index(token) + 1 :]
    return not after or after[0].kind in ("stop", "time", "state")


def _rest(rest: list[str], came: int | None, found: Heads) -> None:
    """ "the rest down": those that came less those counted; "the rest fine": none down."""
    for name in rest:
        if name == "normal":
            if "dead" in found.counts:
                found.counts.setdefault("down", 0)
            elif "down" in found.counts:
                found.counts.setdefault("dead", 0)
        elif came is not None and found.counts and not found.ask:
            found.add(name, came - sum(found.counts.values()))
        else:
            found.ask = found.ask or _ASK[name]


def _loose(free: list[HeadToken], told: list[HeadToken], came: int | None, found: Heads) -> None:
    """Amounts that no state took: the number that came, parts of a sum, or to be asked."""
    if any(t.name == "vague" and t.more for t in free):  # "3 dead and some more"
        found.ask = found.ask or "How many more: dead or down?"
    parts = found.counts and not found.ask
    numbers = [t for t in free if t.name == "number" and not t.whole]
    numbers = [t for t in numbers if not (parts and t.unit == "part")]
    if any(t.whole for t in free) and found.counts:
        return
    known = {came, *found.counts.values(), sum(found.counts.values())}
    if not numbers or sum(t.number or 0 for t in numbers) in known:
        return
    if all((t.number or 0) in known for t in numbers):
        return
    states = [t for t in told if t.kind == "state"]
    if states and not found.ask:
        said = " and ".join(t.text for t in numbers)
        found.ask = f"What is {said}: dead or down?"


def _adds_up(came: int | None, counts: dict[str, int]) -> bool:
    """Whether dead, down and well make the number that came: all three were told then."""
    return came is None or sum(counts.values()) == came


def _told_all(counts: dict[str, int]) -> bool:
    return {"dead", "down", "normal"} <= set(counts)


def _split(came: int | None, share: HeadToken) -> int | None:
    """ "1/3" of a lot that is not of three: a third of it."""
    parts = [int(n) for n in re.findall(r"\d+", share.text)]
    if "/" not in share.text or len(parts) != 2 or came is None or came == parts[1]:
        return share.number
    return round(came * parts[0] / parts[1]) if 2 <= parts[1] <= 10 else share.number


def _sane(came: int | None, found: Heads) -> None:
    """No more than came, nothing below zero; the well ones only where the others are told."""
    counts = found.counts
    if "normal" in counts:
        if "dead" in counts and not (_told_all(counts) and _adds_up(came, counts)):
            del counts["normal"]
        elif came is not None and counts["normal"] < came and not _told_all(counts):
            found.ask = found.ask or "And the others: how many are dead, how many down?"
    most = max(found.counts.values(), default=0)
    least = min(found.counts.values(), default=0)
    if came is not None and (most > came or least < 0):
        found.counts, found.on_arrival = {}, None
        found.ask = f"That is more than the {came} that came. How many are dead, how many down?"
