"""A signs-only vote: what counting signs over the reference table would say.

The table is tests/reference/signs_votes.toml. Every sign seen votes for the causes it
is typical of (+2) or possible in (+1) and against those it rules against (-2). Nothing
else is known to it: no reading, no history, no absence.
"""

from __future__ import annotations

import tomllib
from collections import defaultdict
from collections.abc import Iterable, Mapping
from functools import lru_cache
from pathlib import Path

TABLE = Path(__file__).parents[1] / "reference" / "signs_votes.toml"
VOTES = {"typical": 2, "possible": 1, "rules against": -2}


@lru_cache(maxsize=1)
def table() -> Mapping[str, tuple[tuple[str, int], ...]]:
    """Sign -> (cause, votes)."""
    found: dict[str, list[tuple[str, int]]] = defaultdict(list)
    for row in tomllib.loads(TABLE.read_text(encoding="utf-8"))["row"]:
        found[row["sign"]].append((row["cause"], VOTES[row["relation"]]))
    return {sign: tuple(votes) for sign, votes in found.items()}


def vote(seen: Iterable[str], causes: Iterable[str]) -> tuple[str, ...]:
    """All causes by their votes, most first, by name on a tie."""
    count = dict.fromkeys(causes, 0)
    for sign in seen:
        for cause, votes in table().get(sign, ()):
            if cause in count:
                count[cause] += votes
    return tuple(sorted(count, key=lambda name: (-count[name], name)))
