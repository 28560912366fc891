"""How a citation, a passage, and how far a rule goes beyond its sources are said."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.rulebase.works import Citation, Passage, Source

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


def citation_words(cited: Citation, works: Mapping[str, Source]) -> str:
    """Where a statement comes from and how far it was checked.

    works : the published works by their keys
    """
    work = works.get(cited.ref)
    text = UNPUBLISHED[cited.ref] if work is None else work.citation
    place = f", {cited.at}" if cited.at else ""
    return f"{text}{place} [{BASIS[cited.basis]}]"


def passage_words(said: Passage) -> str:
    """What a passage says and of which fish and water, as one line."""
    place = f"{said.at}: " if said.at else ""
    return f"{place}{said.says.rstrip('.')}. Speaks of: {said.scope.rstrip('.')}."


def stretched_words(to: str) -> str:
    """That a rule speaks of fish which its sources do not speak of."""
    return f"Stretched to {to.rstrip('.')}: judgement."


def exception_words(reason: str) -> str:
    """Why a rule may be stronger than its sources carry."""
    return f"Stronger than its sources carry: {reason}"
