"""Lots as they were named; and what a line tells of one lot in several places, put together.

"cardinals, pajama, 25" is one lot, "20 corys, pandas" are pandas, "fancy goldfish: two orandas and
one ryukin" no third lot, "2 emperors" beside other sea fish are angelfish.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from advisor.ask.hear.kind_names import Named, name_of
from advisor.rulebase import RuleBase
from advisor.rulebase.name_index import plain_name
from advisor.rulebase.species import find_species


@dataclass(frozen=True)
class NamedLot:
    """One lot as it was named. ``said``: its words; species and group as the table has them."""

    said: str = ""
    species: str | None = None
    group: str | None = None
    count: int | None = None
    bags: int | None = None
    bag_water_l: float | None = None
    length_cm: float | None = None


@dataclass
class NamedLots:
    """NamedLots found; ``ask`` what has to be asked back; ``rest`` words that name no kind."""

    lots: list[NamedLot] = field(default_factory=list)
    ask: list[str] = field(default_factory=list)
    rest: list[str] = field(default_factory=list)
    unsure: list[tuple[int, Named]] = field(default_factory=list)


def joined(found: NamedLots, base: RuleBase, *, parts: bool) -> None:
    """Pieces of one lot put together; what stays without a number is asked.

    parts : a colon or brackets lead from a whole to its parts
    """
    _by_company(found, base)
    if parts:
        found.lots = _whole_and_parts(found.lots)
    bare = [lot for lot in found.lots if lot.count is None and lot.said]
    if not bare or len(found.lots) < 2:
        return
    lots: list[NamedLot] = []
    for lot in found.lots:
        before = lots[-1] if lots else None
        if before is not None and not before.said and before.count and lot.count is None:
            lots[-1] = replace(lot, count=before.count)  # "thirty, all neons"
            continue
        if before is not None and before.said and None in (lot.count, before.count):
            one = _told_apart(before, lot, base)
            if one is not None:
                count = lot.count if before.count is None else before.count
                cm = before.length_cm if lot.length_cm is None else lot.length_cm
                lots[-1] = replace(one, count=count, length_cm=cm)
                if count is not None:
                    done = {f"How many {each.said}?" for each in (before, lot)}
                    found.ask = [ask for ask in found.ask if ask not in done]
                continue
        lots.append(lot)
    if all(lot.count is None for lot in lots):
        found.lots = lots
        return
    lots = _once(lots)
    asked = {lot.said for lot in lots if f"How many {lot.said}?" in found.ask}
    doubt = [lot for lot in lots if lot.count is None and lot.said not in asked]
    found.ask += [f"How many {lot.said}, or is that the same lot?" for lot in doubt]
    found.lots = [lot for lot in lots if lot not in doubt]


def _by_company(found: NamedLots, base: RuleBase) -> None:
    """Names of several kinds: the one that goes with the rest of the line, else it is asked."""
    sure = [lot for lot in found.lots if lot.said]
    groups = {group for lot in sure if (group := _group_of(lot, base))}
    salt = {"marine" in base.groups[group].traits for group in groups}
    for at, named in found.unsure:
        kinds = [kind for name in named.may_be if (kind := find_species(name, base))]
        near = [kind for kind in kinds if kind.group in groups]
        if len(near) != 1 and len(salt) == 1:
            near = [k for k in kinds if ("marine" in base.groups[k.group].traits) in salt]
        if len(near) == 1:
            found.lots[at] = replace(found.lots[at], said=named.said, species=near[0].name)
            continue
        names = " or ".join(filter(None, (", ".join(named.may_be[:-1]), named.may_be[-1])))
        found.ask.append(f'Which are "{named.said}": {names}?')
        found.lots[at] = NamedLot()
    found.lots = [lot for lot in found.lots if lot.said or lot.count is not None]


def _group_of(lot: NamedLot, base: RuleBase) -> str | None:
    species = find_species(lot.species, base) if lot.species else None
    return species.group if species is not None else lot.group


def _whole_and_parts(lots: list[NamedLot]) -> list[NamedLot]:
    """ "three fancy goldfish: two orandas and one ryukin": the first is the sum of the others."""
    if len(lots) < 3 or any(lot.count is None for lot in lots):
        return lots
    first, *parts = lots
    kinds = {(lot.species, lot.group) for lot in lots}
    whole = len(kinds) == 1 and first.count == sum(lot.count or 0 for lot in parts)
    return parts if whole and len({lot.said for lot in lots}) > 2 else lots


def _told_apart(one: NamedLot, other: NamedLot, base: RuleBase) -> NamedLot | None:
    """The lot that two names tell of together: a kind, and the family it belongs to."""
    named = _one_name(other.said, one.said, base)
    if named is not None:
        return replace(one, said=named.said, species=named.species, group=named.group)
    for wide, close in ((one, other), (other, one)):
        kin = _group_of(wide, base) == _group_of(close, base)
        if kin and close.species and _is_wide(wide, base):
            return replace(one, said=close.said, species=close.species, group=None)
    return None


def _is_wide(lot: NamedLot, base: RuleBase) -> bool:
    """Whether a lot is named by its family alone."""
    species = find_species(lot.species, base) if lot.species else None
    return species is None or "kind not given" in species.scientific


def _once(lots: list[NamedLot]) -> list[NamedLot]:
    """A second name of a counted lot adds nothing: "6 killifish, E. annulatus"."""
    counted = {(lot.species, lot.group) for lot in lots if lot.count is not None}
    return [lot for lot in lots if lot.count is not None or (lot.species, lot.group) not in counted]


def _one_name(one: str, other: str, base: RuleBase) -> Named | None:
    for first in _singular(one):
        for second in _singular(other):
            for text in (f"{first} {second}", f"{second} {first}"):
                named = name_of(text, base)
                if named is not None and named.species is not None:
                    return named
    return None


def _singular(name: str) -> Iterable[str]:
    return dict.fromkeys((name, name.removesuffix("s")))


def closer(words: list[str], lot: NamedLot, base: RuleBase) -> NamedLot | None:
    """The lot told closer by words that are no name: "rams, 240. the german blue ones"."""
    said = plain_name(" ".join(words))
    species = find_species(lot.species, base) if lot.species else None
    for family in (lot.said, lot.said.split()[-1], species.name if species else ""):
        named = _one_name(said, family, base) if family and said else None
        if named is not None:
            return replace(lot, said=named.said, species=named.species, group=named.group)
    return None
