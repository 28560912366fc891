"""Words of a case that the rule base must know: signs, history, answers, causes, actions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from advisor.case import Case, Lot
from advisor.case.figures import unlikely
from advisor.case.model import HistoryValue
from advisor.errors import ManyFaults
from advisor.rulebase import RuleBase
from advisor.rulebase.kinds import Species
from advisor.rulebase.species import find_species, kind_of, similar_species
from advisor.wording.nearest import nearest


def check_vocabulary(case: Case, base: RuleBase, label: str = "case") -> None:
    """Raise ManyFaults when the case uses words the rule base does not hold."""
    faults = [f"{label}, {fault}" for fault in vocabulary_faults(case, base)]
    if faults:
        raise ManyFaults(faults)


def vocabulary_faults(case: Case, base: RuleBase) -> Iterator[str]:
    """One sentence per unknown word, with the nearest known one."""
    for at, look in enumerate(case.observation, 1):
        for field in ("seen", "not_seen"):
            where = f"observation {at}, {field}"
            for word in getattr(look, field):
                if word not in base.signs:
                    yield f'{where}: no sign "{word}"' + _sign_meant(word, base)
    yield from _history("history", case.history, base)
    for lot in case.lot:
        yield from _history(f'lot "{lot.id}", history', lot.history, base)
        if lot.group is not None:
            where = f'lot "{lot.id}", group'
            yield from _unknown(where, "species group", (lot.group,), base.groups)
            yield from _other_group(lot, base)
    if case.expected is not None:
        for field, what, known in (
            ("first_cause", "cause", base.causes),
            ("in_first_three", "cause", base.causes),
            ("first_action", "action", base.actions),
            ("never", "action", base.actions),
            ("measure_next", "reading", base.quantities),
        ):
            words = getattr(case.expected, field)
            yield from _unknown(f"expected.{field}", what, words, known)


def _other_group(lot: Lot, base: RuleBase) -> Iterator[str]:
    """A kind in a group with which its own shares nothing would be judged by strange limits."""
    species = _in_other_group(lot, base)
    if species is not None and not _shared_traits(species.group, lot.group or "", base):
        own = base.groups[species.group]
        yield (
            f'lot "{lot.id}", group: {species.name} is of the group "{own.id}", not '
            f'"{lot.group}"; leave group out, or mend the species'
        )


def _in_other_group(lot: Lot, base: RuleBase) -> Species | None:
    species = find_species(lot.species, base) if lot.species else None
    other = species is not None and lot.group in base.groups and species.group != lot.group
    return species if other else None


def _shared_traits(one: str, other: str, base: RuleBase) -> set[str]:
    return set(base.groups[one].traits) & set(base.groups[other].traits)


def written_remarks(case: Case, base: RuleBase) -> Iterator[str]:
    """What may be a slip of the pen, and is taken as it stands: to be said beside the advice."""
    for lot in case.lot:
        kind = kind_of(lot, base)
        if lot.species and kind is not None and not kind.certain:
            near = similar_species(lot.species, base)
            meant = f"; did you mean {' or '.join(near)}?" if near else "."
            yield (
                f'lot "{lot.id}": {kind.note}, so what only concerns its real kind, notifiable '
                f"disease included, is not said{meant}"
            )
        species = _in_other_group(lot, base)
        if species is not None:
            yield (
                f'lot "{lot.id}": {species.name} is of the group "{species.group}", and is judged '
                f'by "{lot.group}" as the case says'
            )
    yield from unlikely(case)


def _sign_meant(word: str, base: RuleBase) -> str:
    """The sign that goes by that word among people ("gasping"), else one written much alike."""
    said = set(str(word).casefold().replace("_", " ").split())
    meant = {
        sign.id
        for sign in base.signs.values()
        for phrase in (sign.id.replace("_", " "), sign.name, *sign.phrases)
        if said and said <= set(phrase.casefold().split())
    }
    if len(meant) == 1:
        return f'; did you mean "{meant.pop()}"?'
    return nearest(word, base.signs, closeness=0.75) or "."


def _unknown(where: str, what: str, words: Iterable[str], known: Iterable[str]) -> Iterator[str]:
    names = tuple(known)
    for word in words:
        if word not in names:
            yield f'{where}: no {what} "{word}"' + (nearest(word, names) or ".")


def _history(where: str, given: Mapping[str, HistoryValue], base: RuleBase) -> Iterator[str]:
    for key, value in given.items():
        item = base.history.get(key)
        if item is None:
            yield f'{where}: no item "{key}"' + (nearest(key, base.history) or ".")
        elif item.number:
            if isinstance(value, (bool, str)) and value != "unknown":
                yield f'{where}.{key}: "{value}" is not a number; give one in {item.unit}.'
        else:
            word = (
                {True: "yes", False: "no"}.get(value, value) if isinstance(value, bool) else value
            )
            if word not in (*item.answers, "unknown"):
                allowed = ", ".join((*item.answers, "unknown"))
                yield f'{where}.{key}: "{value}" is not an answer here; use one of {allowed}.'
