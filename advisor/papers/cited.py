"""Numbered sources of a paper: each named once at its end, by number where it is leaned on."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.papers.blocks import Entry, Items
from advisor.rulebase import RuleBase
from advisor.rulebase.model import Citation
from advisor.wording.names import citation_words


class Cited:
    """Sources in the order in which they are first leaned on."""

    def __init__(self) -> None:
        self._numbers: dict[str, int] = {}

    def mark(self, sources: Iterable[str]) -> str:
        """``[1, 3]`` for these sources; empty for none."""
        numbers = [self._numbers.setdefault(s, len(self._numbers) + 1) for s in sources if s]
        return f"[{', '.join(map(str, numbers))}]" if numbers else ""

    def citations(self, citations: Iterable[Citation], base: RuleBase) -> str:
        return self.mark(citation_words(citation, base.sources) for citation in citations)

    def listed(self) -> Items:
        """All of them, under their numbers."""
        return Items(tuple(Entry(source) for source in self._numbers), "number")
