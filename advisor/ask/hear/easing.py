"""Words that a sign has become less or has ended: neither is the sign itself.

"Less gasping" says that it goes on, and that it mends: it is neither seen anew nor gone.
"Stopped gasping" says that it is gone, "breathing slower, better" that they breathe calmer.
"""

from __future__ import annotations

import re
from typing import Literal

from advisor.ask.hear.ears import Ears
from advisor.ask.hear.line import Clause, clauses, plain
from advisor.ask.hear.patterns import Match

SLOW, CALMER = "slow_gill_movement", "breathing_settling"
Turn = Literal["less", "over", "calmer"]
_THAN_BEFORE = re.compile(
    r"\bthan (?:before|earlier|yesterday|(?:at )?(?:the )?last|it was|they were)\b"
)


def turned(ears: Ears, clause: Clause, match: Match, taken: set[int]) -> Turn | None:
    """What the words beside a sign make of it; None where it is the sign as it is said.

    taken : places of the clause that other facts hold ("the filter stopped")
    """
    kind, _, name = match.pattern.fact.partition(" ")
    if kind != "sign" or not match.seen:
        return None
    if name == SLOW and _slower(clause, match, ears) and calmer_than_before(ears):
        return "calmer"
    said = [word.word for word in clause.words]
    lists = ears.held.lists
    before = _next(said, min(match.places), -1, ears.held.small)
    after = _next(said, max(match.places), 1, ears.held.small)
    if before is not None and before not in taken and said[before] in lists["ended"]:
        return "over"
    if ears.asked == "still_there":
        return None  # less of it is still there
    inside = range(min(match.places), max(match.places))
    if any(said[i] in lists["less"] for i in inside if i not in match.places):
        return "less"  # "breathing less fast"
    if before is not None and said[before] in lists["less"]:
        counted = said[before + 1] == "than"  # "less than 5 gasping"
        denied = before > 0 and said[before - 1] in ears.held.deny
        return None if counted or denied else "less"
    if after is not None and said[after] in lists["less"]:
        return None if said[after - 1] == "or" else "less"  # "more or less"
    return None


def calmer_than_before(ears: Ears) -> bool:
    """Whether the line compares with how it was, and for the better.

    By its own words ("better", "than before"), or because a look before saw the fish and not
    slow gills: then "slower" is slower than that. Never beside "worse" or "weaker".
    """
    lists = ears.held.lists
    said = {w.word for clause in clauses(ears.text, ears.held.joins) for w in clause.words}
    if said & lists["worse"]:
        return False
    compared = bool(_THAN_BEFORE.search(plain(ears.text)))
    return compared or bool(said & lists["better"]) or _seen_before(ears)


def _seen_before(ears: Ears) -> bool:
    """A look before this one, at which they did not breathe slowly."""
    if ears.case is None or ears.hour is None:
        return False
    seen = {s for look in ears.case.observation if look.at_hours < ears.hour for s in look.seen}
    return bool(seen) and SLOW not in seen


def _slower(clause: Clause, match: Match, ears: Ears) -> bool:
    return any(clause.words[place].word in ears.held.lists["slower"] for place in match.places)


def _next(said: list[str], place: int, step: int, small: frozenset[str]) -> int | None:
    """The nearest place on that side whose word is none of the small ones."""
    at = place + step
    while 0 <= at < len(said):
        if said[at] not in small:
            return at
        at += step
    return None
