"""Numbered sources of a paper: each named once at its end, by number where it is leaned on."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.papers.blocks import Items, ListItem
from advisor.rulebase import RuleBase
from advisor.rulebase.cited_words import citation_words, passage_words
from advisor.rulebase.works import Citation


class CitedWorks:
    """Sources in the order in which they are first leaned on, with what each says."""

    def __init__(self) -> None:
        self._numbers: dict[str, int] = {}
        self._said: dict[str, str] = {}

    def mark(self, sources: Iterable[str]) -> str:
        """``[1, 3]`` for these sources; empty for none."""
        numbers = [self._numbers.setdefault(s, len(self._numbers) + 1) for s in sources if s]
        return f"[{', '.join(map(str, numbers))}]" if numbers else ""

    def citations(self, citations: Iterable[Citation], base: RuleBase) -> str:
        """The numbers of these citations; what their passages say is noted for the list."""
        words = []
        for citation in citations:
            words.append(citation_words(citation, base.sources))
            passage = base.passage(citation)
            if passage is not None:
                self._said[words[-1]] = passage_words(passage)
        return self.mark(words)

    def listed(self, *, full: bool) -> Items:
        """All of them under their numbers; ``full``: a passage once with what it says."""
        told: set[str] = set()
        entries = []
        for source in self._numbers:
            said = self._said.get(source)
            entries.append(
                ListItem(source, under=(said,) if full and said and said not in told else ())
            )
            told.add(said or "")
        return Items(tuple(entries), "number")
