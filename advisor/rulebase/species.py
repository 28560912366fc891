"""Finding the kind of fish a person wrote, and what its group bears."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple, Protocol

from advisor.rulebase.base import RuleBase
from advisor.rulebase.kinds import Group, Injury, Species
from advisor.rulebase.name_index import plain_name
from advisor.wording.nearest import near_words

FALLBACK_GROUP = "unknown_fish"


class Written(Protocol):
    """The two things of a lot that say what fish it is."""

    @property
    def species(self) -> str | None: ...
    @property
    def group(self) -> str | None: ...


class Kind(NamedTuple):
    """A species group, the species if known, and whether the match is certain.

    ``injuries`` : by name of the limit, where harm begins; without the names nothing is known of.
    """

    group: Group
    species: Species | None
    certain: bool
    note: str | None = None
    injuries: Mapping[str, Injury] = MappingProxyType({})

    @property
    def id(self) -> str:
        """Of the species, where it is known; else of the group."""
        return self.species.id if self.species else self.group.id

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
            return float(self.injuries[name].value)
        own = getattr(self.species, name, None) if self.species else None
        value = own if own is not None else getattr(self.group, name, None)
        return None if value is None else float(value)


def kind_of(lot: Written, base: RuleBase) -> Kind | None:
    """The kind of fish of a lot; the cautious group when the name is not in the table.

    The cautious group written outright says no more than no group: its traits are not known.
    """
    species = find_species(lot.species, base) if lot.species else None
    kin = kin_group(lot.species, base) if lot.species and species is None else None
    if lot.group is not None and lot.group != FALLBACK_GROUP and lot.group in base.groups:
        return _kind(base, base.groups[lot.group], species)
    if species is not None:
        return _kind(base, base.groups[species.group], species)
    if kin is not None:
        return _kind(base, kin, None)
    fallback = base.groups.get(FALLBACK_GROUP)
    if fallback is None:
        return None
    note = f"{_not_known(lot.species, base)}; judged as a delicate unknown fish"
    return _kind(base, fallback, None)._replace(certain=False, note=note)


def _kind(base: RuleBase, group: Group, species: Species | None) -> Kind:
    """A kind with its injury limits; limits of the species go before those of the group."""
    ids: dict[str, str] = dict(base.injury_index.get(group.id, {}))
    if species is not None:
        ids |= base.injury_index.get(species.id, {})
    limits = {name: base.injuries[entry] for name, entry in ids.items()}
    return Kind(group, species, True, injuries=MappingProxyType(limits))


def find_species(text: str, base: RuleBase) -> Species | None:
    """The species of that scientific, common or trade name, or None.

    None too for a name several kinds share, and for kin that the table lacks.
    """
    found, key = _found(text, base)
    return base.species_index[key] if found == "species" else None


def kin_group(text: str, base: RuleBase) -> Group | None:
    """The group of a name that is known but names no species of the table, or None.

    Such names are those of kin that are kept alike, and shared names whose kinds are all
    of one group.
    """
    found, key = _found(text, base)
    if found == "kin":
        return base.groups[base.kin_index[key]]
    groups = {each.group for each in could_be(text, base)}
    return base.groups[groups.pop()] if len(groups) == 1 else None


def could_be(text: str, base: RuleBase) -> tuple[Species, ...]:
    """The species a shared name may mean; none for any other name."""
    found, key = _found(text, base)
    if found != "shared":
        return ()
    return tuple(base.species[kind] for kind in base.shared_names[base.shared_index[key]].kinds)


def similar_species(text: str, base: RuleBase, most: int = 3) -> list[str]:
    """Names in the table that may be meant: those of a shared name, else those written alike."""
    shared = could_be(text, base)
    if shared:
        return [each.name for each in shared[:most]]
    return near_words(plain_name(text), base.species_index, most, 0.7)


def _found(text: str, base: RuleBase) -> tuple[str, str]:
    """("species", "shared", "kin" or "", the key): the whole text first, then its last words."""
    tables: tuple[tuple[str, Mapping[str, object]], ...] = (
        ("species", base.species_index),
        ("shared", base.shared_index),
        ("kin", base.kin_index),
    )
    plain = plain_name(text)
    cut = plain_name(re.split(r"[,;(]", text, maxsplit=1)[0])  # "koi, 15 cm", "koi (red)"
    for key in (plain, plain.removesuffix("s"), *_shorter(plain), cut, cut.removesuffix("s")):
        for name, table in tables:
            if key in table:
                return name, key
    return "", ""


def _not_known(text: str | None, base: RuleBase) -> str:
    if not text:
        return "no species given"
    names = [each.name for each in could_be(text, base)]
    if names:
        return f'"{text}" may be {", ".join(names[:-1])} or {names[-1]}'
    return f'"{text}" is not in the species table'


def _shorter(plain: str) -> list[str]:
    """The last three words and the last two, so that "wild green swordtail" finds a swordtail."""
    words = plain.split()
    tails = [" ".join(words[-n:]) for n in (3, 2) if len(words) > n]
    return [form for tail in tails for form in (tail, tail.removesuffix("s"))]
