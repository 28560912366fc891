"""Finding the kind of fish a person wrote, and what its group bears."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple, Protocol

from advisor.rulebase.model import Group, Injury, InjuryName, Species

if TYPE_CHECKING:
    from advisor.rulebase.load import RuleBase

FALLBACK_GROUP = "unknown_fish"


class Written(Protocol):
    """The two things of a lot that say what fish it is."""

    @property
    def species(self) -> str | None: ...
    @property
    def group(self) -> str | None: ...


class InjuryLimit(NamedTuple):
    """Where harm begins for one kind of fish. ``stretched``: its source speaks of other kinds."""

    value: float
    entry: Injury
    stretched: bool


class Kind(NamedTuple):
    """A species group, the species if known, and whether the match is certain.

    ``injuries`` : by name of the limit, where harm begins; without the names nothing is known of.
    """

    group: Group
    species: Species | None
    certain: bool
    note: str | None = None
    injuries: Mapping[str, InjuryLimit] = MappingProxyType({})

    @property
    def traits(self) -> frozenset[str]:
        """What the group has, with what the species has besides and without what it lacks."""
        own = self.species
        shared = frozenset(self.group.traits)
        return shared if own is None else (shared | set(own.traits)) - set(own.lacks)

    def tolerance(self, name: str) -> float | None:
        """A keeping range or an injury limit by name; the species' own figure before the group's.

        Units stand in the name. None where nothing is known.
        """
        if name in self.injuries:
            return self.injuries[name].value
        own = getattr(self.species, name, None) if self.species else None
        value = own if own is not None else getattr(self.group, name, None)
        return None if value is None else float(value)

    def injury(self, name: InjuryName) -> InjuryLimit | None:
        """Where harm of that name begins, with its source; None where nothing is known."""
        return self.injuries.get(name)


def kind_of(lot: Written, base: RuleBase) -> Kind | None:
    """The kind of fish of a lot; the cautious group when the name is not in the table."""
    species = find_species(lot.species, base) if lot.species else None
    if lot.group is not None and lot.group in base.groups:
        return _kind(base, base.groups[lot.group], species)
    if species is not None:
        return _kind(base, base.groups[species.group], species)
    fallback = base.groups.get(FALLBACK_GROUP)
    if fallback is None:
        return None
    written = f'"{lot.species}" is not in the species table' if lot.species else "no species given"
    note = f"{written}; judged as a delicate unknown fish"
    return _kind(base, fallback, None)._replace(certain=False, note=note)


def _kind(base: RuleBase, group: Group, species: Species | None) -> Kind:
    """A kind with its injury limits; limits of the species go before those of the group."""
    ids: dict[str, str] = dict(base.injury_index.get(group.id, {}))
    if species is not None:
        ids |= base.injury_index.get(species.id, {})
    limits: dict[str, InjuryLimit] = {}
    for name, entry_id in ids.items():
        entry = base.injuries[entry_id]
        # a species in a work's own group is meant by it; one it is stretched to is not
        own = {*entry.groups, *entry.species}
        spoken_of = group.id in own or (species is not None and species.id in own)
        limits[name] = InjuryLimit(float(entry.value), entry, not spoken_of)
    return Kind(group, species, True, injuries=MappingProxyType(limits))


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


def injuries_by_kind(injuries: Iterable[Injury]) -> dict[str, dict[str, str]]:
    """Group or species id -> name of the limit -> id of the entry that gives it."""
    index: dict[str, dict[str, str]] = {}
    for entry in injuries:
        for kind in entry.kinds:
            index.setdefault(kind, {}).setdefault(entry.limit, entry.id)
    return index


def _plain(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", " ", text.casefold()).strip()


def _shorter(plain: str) -> list[str]:
    """The last two words and the last word, so that "wild green swordtail" finds a swordtail."""
    words = plain.split()
    tails = [" ".join(words[-n:]) for n in (3, 2) if len(words) > n]
    return [form for tail in tails for form in (tail, tail.removesuffix("s"))]
