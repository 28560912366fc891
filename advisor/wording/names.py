"""Names of what the rule base counts in ids: standings, times, kits, checks."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

#: Where a cause stands.
STANDING = {
    "very_likely": "very likely",
    "likely": "likely",
    "possible": "possible",
    "unlikely": "unlikely",
}
#: Days since receipt that starting odds differ by.
PHASES = {"arrival": "day of arrival", "day_2_4": "day 2 to 4", "day_5_14": "day 5 to 14"}
#: When an action is due, or a person is called, in the order of time.
TIMES = {
    "now": "now",
    "within_hour": "within the hour",
    "today": "today",
    "until_48h": "until 48 hours",
    "quarantine": "through quarantine",
    "when_convenient": "when convenient",
}
#: What a reading was taken with.
KITS = {
    "colour_card": "colour card",
    "strip": "test strip",
    "drops": "drop test",
    "meter": "meter",
    "lab": "laboratory",
}
#: How far a citation was checked.
BASIS = {
    "read": "read in the source",
    "abstract": "read in its abstract",
    "opening": "read in its opening",
    "second-hand": "seen quoted, not read in the source",
    "memory": "from memory, not looked up",
    "derived": "worked out from the source",
    "practice": "common practice, no source",
    "judgement": "our judgement",
}
#: What a passage brings.
SHOWS = {
    "measured": "a figure measured",
    "defined": "defined by law or by a standard",
    "trial": "a controlled finding",
    "repeated": "found by several",
    "reported": "one account",
    "taught": "common teaching",
}
#: References that are no published work.
UNPUBLISHED = {"bench-practice": "bench practice", "judgement": "judgement"}


def with_unit(name: str, unit: str) -> str:
    """``nitrite [mg/L as N]``; the name alone where there is no unit."""
    return f"{name} [{unit}]" if unit else name


class Cited(Protocol):
    """A citation: key of the work, place in it, how far it was checked."""

    @property
    def ref(self) -> str: ...
    @property
    def at(self) -> str | None: ...
    @property
    def basis(self) -> str: ...


class Said(Protocol):
    """What a passage of a work says in our words, and of what it says it."""

    @property
    def at(self) -> str | None: ...
    @property
    def says(self) -> str: ...
    @property
    def scope(self) -> str: ...


class Work(Protocol):
    """A published work."""

    @property
    def citation(self) -> str: ...


def citation_words(cited: Cited, works: Mapping[str, Work]) -> str:
    """Where a statement comes from and how far it was checked.

    works : the published works by their keys
    """
    work = works.get(cited.ref)
    text = UNPUBLISHED[cited.ref] if work is None else work.citation
    place = f", {cited.at}" if cited.at else ""
    return f"{text}{place} [{BASIS[cited.basis]}]"


def passage_words(said: Said) -> str:
    """What a passage says and of which fish and water, as one line."""
    place = f"{said.at}: " if said.at else ""
    return f"{place}{said.says.rstrip('.')}. Speaks of: {said.scope.rstrip('.')}."


def stretched_words(to: str) -> str:
    """That a rule speaks of fish which its sources do not speak of."""
    return f"Stretched to {to.rstrip('.')}: judgement."


def exception_words(reason: str) -> str:
    """Why a rule may be stronger than its sources carry."""
    return f"Stronger than its sources carry: {reason}"
