"""The kinds of reply a question can get. What is in none of them is not known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from advisor.advice.settled_by import RELEASED_WORD, settings
from advisor.case import Reading
from advisor.case.model import Counts, HistoryValue


@dataclass(frozen=True)
class Unknown:
    """Not known, not looked for, not measured."""


UNKNOWN = Unknown()


@dataclass(frozen=True)
class Seen:
    """Signs seen, signs looked for and not seen, and the person's own words."""

    seen: tuple[str, ...] = ()
    not_seen: tuple[str, ...] = ()
    words: tuple[str, ...] = ()


@dataclass(frozen=True)
class Settled:
    """History items with their answers; ``released`` when the fish are out of the bag."""

    values: Mapping[str, HistoryValue] = field(default_factory=dict)
    released: bool = False

    @classmethod
    def of_line(cls, key: str) -> Settled:
        """What a line of a question of one line settles, by its key."""
        values = settings(key)
        released = values.pop(RELEASED_WORD, None) is not None
        return cls(values, released)


@dataclass(frozen=True)
class Read:
    """Readings by quantity id ("tank_ph"), and history items their words settled."""

    readings: Mapping[str, Reading] = field(default_factory=dict)
    said: Mapping[str, HistoryValue] = field(default_factory=dict)


@dataclass(frozen=True)
class Filled:
    """Fields of the case by their dotted place ("transit.hours_sealed")."""

    values: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Draft:
    """A lot as a person named it. ``species`` is what they wrote, trimmed; ``group`` an id."""

    species: str | None
    count: int | None = None
    bags: int | None = None
    group: str | None = None


@dataclass(frozen=True)
class Lots:
    """The lots of the delivery; ``looked_at``: positions of those the looks so far were at."""

    drafts: tuple[Draft, ...]
    looked_at: tuple[int, ...] | None = None


@dataclass(frozen=True)
class Counted:
    """Heads counted at this look."""

    counts: Counts


@dataclass(frozen=True)
class Split:
    """One lot in two: those still in shut bags stay the lot, the others are a new one.

    out         : where the others are
    count, bags : of the others, None where it is not known
    whose       : of which what was told so far is; heads: the others' part of the last count
    """

    out: Settled
    count: int | None = None
    bags: int | None = None
    whose: Literal["stay", "new", "both"] = "both"
    heads: Mapping[str, int] = field(default_factory=dict)


Reply = Split | Unknown | Seen | Settled | Read | Filled | Lots | Counted
