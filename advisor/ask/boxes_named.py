"""A line that names several lots of the delivery: what it says of each of them."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from advisor.ask.hear.kind_names import Named, name_of
from advisor.ask.hear.line import with_numbers
from advisor.ask.hear.patterns import words
from advisor.case import Lot
from advisor.rulebase import RuleBase
from advisor.rulebase.species import find_species

_PARTS = re.compile(r"([,;.\n]|\b(?:and|but|while|whereas|plus)\b)")
_WORD = re.compile(r"[^\W\d_][^\W_]*(?:['-][^\W_]+)*")
#: "gasping, same for the corys": all that was said before holds for these too.
_SAME = re.compile(r"\b(?:same|likewise|ditto|also|too|as well)\b")
_HEADS = re.compile(r"\d|\b(?:dead|died|down)\b")
_MOST_WORDS = 4
_DULL = frozenset(["the", "my", "our", "those", "these", "both", "all", "of", "also"])


@dataclass
class Shared:
    """``said``: the words for each lot; ``nobody``: parts that speak of no lot of the delivery."""

    said: dict[str, list[str]] = field(default_factory=dict)
    nobody: list[str] = field(default_factory=list)

    def add(self, lots: list[str], part: str) -> None:
        for lot in lots:
            self.said.setdefault(lot, []).append(part)


def shared_out(line: str, lots: tuple[Lot, ...], asked: str, base: RuleBase) -> Shared:
    """Each part of a line to the lots it names; one without a name goes where the last one went.

    asked : the lot that was asked about; it is meant until another is named
    """
    found = Shared()
    current, waiting = [asked], ""
    for part in _parts(line):
        named, other, rest = _named(part, lots, base)
        if other and not named:
            found.nobody.append(part)
            current = []
            continue
        if named and not rest and not re.search(r"\d", part):  # "neons and corys gasping"
            current = [*current, *named] if waiting else named
            waiting = part
            continue
        if named:
            current = list(dict.fromkeys([*current, *named])) if waiting else named
        waiting = ""
        if named and _SAME.search(part) and _only_same(rest):
            for told in [text for texts in list(found.said.values())[-1:] for text in texts]:
                found.add(named, told)
        elif not current or (len(current) > 1 and _HEADS.search(with_numbers(part))):
            found.nobody.append(part)  # so many of which?
        else:
            found.add(current, part)
    return found


def _parts(line: str) -> list[str]:
    pieces = _PARTS.split(re.sub(r":", " ", line))
    return [piece.strip() for piece in pieces[::2] if piece.strip()]


def _only_same(rest: list[str]) -> bool:
    return all(_SAME.fullmatch(word) or word in words().small or word == "for" for word in rest)


def _named(part: str, lots: tuple[Lot, ...], base: RuleBase) -> tuple[list[str], bool, list[str]]:
    """(lots named, whether another kind is, the words that name none) of a part."""
    said = [word.casefold() for word in _WORD.findall(part)]
    named: list[str] = []
    rest: list[str] = []
    other, at = False, 0
    while at < len(said):
        for size in range(min(_MOST_WORDS, len(said) - at), 0, -1):
            run = " ".join(said[at : at + size])
            mine = _lots_of(run, lots, base)
            kind = None if mine or run in words().no_names else name_of(run, base)
            if mine or kind is not None:
                named += [lot for lot in mine if lot not in named]
                other = other or not mine
                at += size
                break
        else:
            if said[at] not in _DULL:
                rest.append(said[at])
            at += 1
    return named, other, rest


def _lots_of(run: str, lots: tuple[Lot, ...], base: RuleBase) -> list[str]:
    """Lots that a name may mean: those of that very kind, else those of its family."""
    names = {
        lot.id: {_bare(lot.id), _bare(lot.species or ""), _bare(lot.group or "")} for lot in lots
    }
    exact = [lot for lot, own in names.items() if _bare(run) in own]
    if exact:
        return exact
    kind = name_of(run, base)
    if kind is not None:
        return _of_kind(kind, lots, base)
    last = [
        lot
        for lot, own in names.items()
        if _bare(run) in {name.split()[-1] for name in own if name}
    ]
    return last if len(_bare(run)) > 3 and not words().means(run) else []


def _bare(name: str) -> str:
    return " ".join(word.removesuffix("s") for word in re.split(r"[\s_-]+", name.casefold()))


def _of_kind(kind: Named, lots: tuple[Lot, ...], base: RuleBase) -> list[str]:
    kinds = {lot.id: find_species(lot.species, base) if lot.species else None for lot in lots}
    names = {kind.species, *kind.may_be} - {None}
    same = [lot for lot, found in kinds.items() if found is not None and found.name in names]
    if same or (kind.species and not kind.loose):
        return same
    group = kind.group or next((s.group for n in names if (s := find_species(str(n), base))), None)
    return [lot.id for lot in lots if group and group == group_of_lot(lot, base)]


def group_of_lot(lot: Lot, base: RuleBase) -> str | None:
    """The group of a lot, by its species where the table has it; None when neither is known."""
    found = find_species(lot.species, base) if lot.species else None
    return found.group if found is not None else lot.group
