"""Entries of the rule base by id, by a kind's name of the trade, or by words they hold."""

from __future__ import annotations

from typing import Any

from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase
from advisor.rulebase.base import KINDS
from advisor.rulebase.species import could_be, find_species, kin_group
from advisor.wording.nearest import nearest

Hit = tuple[str, Any]
MOST = 20


def found(wanted: str, base: RuleBase) -> tuple[list[Hit], list[Hit]]:
    """Entries to show whole, and those to list because many are meant.

    Raises AdvisorError with the nearest ids and names when nothing holds the words.
    """
    tables = {kind: getattr(base, attribute) for kind, (_, attribute) in KINDS.items()}
    key = wanted.strip()
    for spelling in (key, key.replace(" ", "_").casefold(), key.replace(" ", "-").casefold()):
        hits = [(kind, table[spelling]) for kind, table in tables.items() if spelling in table]
        if hits:
            return hits, []
    if kinds := _kinds(key, base):
        return kinds, []
    words = key.casefold().split()
    holding = [
        (kind, entry)
        for kind, table in tables.items()
        for entry in table.values()
        if words and set(words) <= set(_said(entry).split())
    ]
    if len(holding) == 1:
        return holding, []
    if holding:
        return [], holding[:MOST]
    known = [name for table in tables.values() for name in table]
    names = [str(entry.name).casefold() for t in tables.values() for entry in t.values()
             if getattr(entry, "name", None)]  # fmt: skip
    hint = nearest(key, known) or nearest(key.casefold(), [*names, *base.species_index], 3) or "."
    raise AdvisorError(f'"{key}": no such id in the rule base{hint}')


def _kinds(text: str, base: RuleBase) -> list[Hit]:
    """The kind of fish of that name, or those that share it, with the group behind it."""
    one = find_species(text, base)
    several = [one] if one is not None else list(could_be(text, base))
    group = kin_group(text, base) if not several else None
    hits: list[Hit] = [("species", species) for species in several]
    groups = dict.fromkeys(species.group for species in several)
    hits += [("group", base.groups[name]) for name in groups if name in base.groups]
    return [*hits, ("group", group)] if group is not None else hits


def _said(entry: Any) -> str:
    fields = (getattr(entry, name, None) for name in ("id", "name", "text", "because", "summary"))
    return " ".join(str(field) for field in fields if field).replace("_", " ").casefold()
