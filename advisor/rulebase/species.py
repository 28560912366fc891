"""Finding the kind of fish a person wrote, and what its group bears."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import TYPE_CHECKING, NamedTuple, Protocol

from advisor.rulebase.model import Group, Species

if TYPE_CHECKING:
    from advisor.rulebase.load import RuleBase

FALLBACK_GROUP = "unknown_fish"


class Written(Protocol):
    """The two things of a lot that say what fish it is."""

    @property
    def species(self) -> str | None: ...
    @property
    def group(self) -> str | None: ...


class Kind(NamedTuple):
    """A species group, the species if known, and whether the match is certain."""

    group: Group
    species: Species | None
    certain: bool
    note: str | None = None

    def tolerance(self, name: str) -> float | None:
        """A tolerance by field name; the species' own figure before the group's."""
        own = getattr(self.species, name, None) if self.species else None
        value = own if own is not None else getattr(self.group, name, None)
        return None if value is None else float(value)


def kind_of(lot: Written, base: RuleBase) -> Kind | None:
    """The kind of fish of a lot; the cautious group when the name is not in the table."""
    species = find_species(lot.species, base) if lot.species else None
    if lot.group is not None and lot.group in base.groups:
        return Kind(base.groups[lot.group], species, certain=True)
    if species is not None:
        return Kind(base.groups[species.group], species, certain=True)
    fallback = base.groups.get(FALLBACK_GROUP)
    if fallback is None:
        return None
    written = f'"{lot.species}" is not in the species table' if lot.species else "no species given"
    return Kind(fallback, None, certain=False, note=f"{written}; judged as a delicate unknown fish")


def find_species(text: str, base: RuleBase) -> Species | None:
    """The species of that scientific, common or trade name, or None."""
    index = base.species_index
    plain = _plain(text)
    for key in (plain, plain.removesuffix("s"), *_shorter(plain)):
        if key in index:
            return index[key]
    return None


def similar_species(text: str, base: RuleBase, most: int = 3) -> list[str]:
    """Names in the table close to what was written."""
    import difflib  # only when a word is not known

    return difflib.get_close_matches(_plain(text), base.species_index, n=most, cutoff=0.7)


def index_of(species: Iterable[Species]) -> dict[str, Species]:
    """Every name of every species, in plain letters; the first entry keeps a shared name."""
    index: dict[str, Species] = {}
    for entry in species:
        for name in (entry.scientific, entry.name, *entry.also):
            index.setdefault(_plain(name), entry)
            index.setdefault(_plain(name).removesuffix("s"), entry)
    return index


def _plain(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", " ", text.casefold()).strip()


def _shorter(plain: str) -> list[str]:
    """The last two words and the last word, so that "wild green swordtail" finds a swordtail."""
    words = plain.split()
    tails = [" ".join(words[-n:]) for n in (3, 2) if len(words) > n]
    return [form for tail in tails for form in (tail, tail.removesuffix("s"))]
