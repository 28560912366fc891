"""What a case tells in words: signs, history, the kind of fish and its traits."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from advisor.advice.facts.record import Record
from advisor.case import Case, Lot
from advisor.case.model import Observation
from advisor.rulebase import RuleBase
from advisor.rulebase.entries import HistoryItem
from advisor.rulebase.species import Kind, kind_of

#: Transit fields a lot may give for itself.
FROM_TRANSIT = ("hours_sealed", "fasted_hours", "sedative")


def sign_records(case: Case, lot: Lot, base: RuleBase, until: float) -> list[Record]:
    """Signs seen or looked for and not seen; a later look replaces an earlier one.

    A later look that says the fish swim as they should ends the posture of the look before,
    unless some of them are still counted down; lying down later ends that good word.
    """
    chosen: dict[str, Record] = {}
    down: int | None = None
    for at, look in case.looks_at(lot.id, until):
        down = down if look.counts.down is None else look.counts.down
        _end(chosen, look, at, base, down)
        for field, seen in (("seen", True), ("not_seen", False)):
            for name in getattr(look, field):
                if name in base.signs:
                    chosen[name] = Record(
                        kind="sign",
                        name=name,
                        value=seen,
                        how="seen",
                        where=(f"observation {at}, {field}",),
                        at_hours=look.at_hours,
                    )
    return list(chosen.values())


def _end(
    chosen: dict[str, Record], look: Observation, at: int, base: RuleBase, down: int | None
) -> None:
    """Take out of ``chosen`` what a later look contradicts."""
    for good in (sign for sign in base.signs.values() if sign.ends):
        if good.id in look.seen and not down:
            for name in set(good.ends) - set(look.seen):
                old = chosen.get(name)
                if old is not None and old.value is True and _before(old, look):
                    where = (f"observation {at}, seen",)
                    chosen[name] = old._replace(value=False, where=where, at_hours=look.at_hours)
            continue
        said = chosen.get(good.id)
        lies = bool(set(good.ends) & set(look.seen))
        if lies and said is not None and said.value is True and _before(said, look):
            del chosen[good.id]


def _before(record: Record, look: Observation) -> bool:
    return record.at_hours is not None and record.at_hours < look.at_hours


def history_records(case: Case, lot: Lot, base: RuleBase, until: float) -> Iterator[Record]:
    """Answers on journey, tank and last days; "unknown" and nothing given yield no fact."""
    for item in base.history.values():
        where, value = answer_of(case, lot, item)
        if item.field == "lot.sealed" and value in (None, "unknown"):
            where, value = _opened(case, lot, until)
        if item.added and value in (None, "unknown"):
            where, value = _added(case, item.added, until)
        if isinstance(value, bool):
            value = "yes" if value else "no"
        if value is None or value == "unknown":
            continue
        if not item.number:
            value = str(value)
            if value not in item.answers:
                continue  # reported by vocabulary_faults, never guessed
        yield Record(
            kind="history",
            name=item.id,
            value=value,
            how="answered",
            unit=item.unit or "",
            where=(where,),
        )


def answer_of(case: Case, lot: Lot, item: HistoryItem) -> tuple[str, Any]:
    """(where, value) of an answer, kept in a field of its own or among those on history."""
    where, value = answer_in(case, lot, item.field or f"history.{item.id}")
    if item.field and value in (None, "unknown"):
        where, value = answer_in(case, lot, f"history.{item.id}")
    if isinstance(value, bool):
        value = "yes" if value else "no"
    return where, value


def _added(case: Case, words: tuple[str, ...], until: float) -> tuple[str, str | None]:
    """Whether one of these substances stands among what was put into the receiving water."""
    for added in case.receiving.added:
        known = added.at_hours is None or added.at_hours <= until
        if known and any(word in added.substance.casefold() for word in words):
            return "receiving.added", "yes"
    return "receiving.added", None


def _opened(case: Case, lot: Lot, until: float) -> tuple[str, str | None]:
    """Whether the bag is closed, where the case tells of an opened one without that field."""
    for name, at_hours in (
        ("opened_at_hours", lot.opened_at_hours),
        ("released_at_hours", lot.released_at_hours),
        ("release_method", lot.released_at_hours or 0.0),
    ):
        told = getattr(lot, name) not in (None, "unknown")
        if told and at_hours is not None and at_hours <= until:
            return f'lot "{lot.id}", {name}', "no"
    for at, look in case.looks_at(lot.id, until):
        if look.minutes_after_opening is not None:
            return f"observation {at}, minutes_after_opening", "no"
        if look.bag.ph is not None or look.bag.tan_mg_l is not None:
            return f"observation {at}, bag", "no"
    return "lot.sealed", None


def answer_in(case: Case, lot: Lot | None, field: str) -> tuple[str, Any]:
    """(place in the case, value) for a dotted field; a lot's own word comes first."""
    part, _, name = field.partition(".")
    if part == "lot":
        if lot is None:
            return field, None
        if name.startswith("history."):
            key = name.removeprefix("history.")
            if key in lot.history:
                return f'lot "{lot.id}", history.{key}', lot.history[key]
            return f"history.{key}", case.history.get(key)
        own = getattr(lot, name)
        if own in (None, "unknown") and name in FROM_TRANSIT:
            return f"transit.{name}", getattr(case.transit, name)
        return f'lot "{lot.id}", {name}', own
    if part == "history":
        if lot is not None and name in lot.history:
            return f'lot "{lot.id}", history.{name}', lot.history[name]
        return field, case.history.get(name)
    return field, getattr(getattr(case, part), name)


def kind_places(lot: Lot) -> tuple[str, ...]:
    """Where the case says what kind of fish it is; nowhere, when it does not."""
    fields = ("species", "group")
    return tuple(f'lot "{lot.id}", {name}' for name in fields if getattr(lot, name) is not None)


def trait_records(lot: Lot, base: RuleBase) -> Iterator[Record]:
    """Traits of the lot's species group.

    Of a kind that is not in the table only the cautious traits are stated;
    the others stay unknown rather than "no".
    """
    kind: Kind | None = kind_of(lot, base)
    if kind is None:
        return
    traits = kind.traits
    for trait in base.traits:
        has = trait in traits
        if has or kind.certain:
            yield Record(
                kind="trait",
                name=trait,
                value=has,
                how="table",
                where=kind_places(lot),
                entered=lot.species or lot.group,
                note=None if kind.certain else kind.note,
                source=f"species group {kind.group.id}",
                entry=kind.group.id,
            )
