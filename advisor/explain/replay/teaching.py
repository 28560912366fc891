"""A closed delivery turned into a case for training.

Kept is what a lesson needs: fish, journey, tank, looks, readings and the outcome.
Taken out is what names people, places, firms or money, and free text, because free
text may hold any of these.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from advisor.case import Case
from advisor.case.model import Expected
from advisor.case.readings import WATERS
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase
from advisor.wording.nearest import nearest

#: Fields emptied, by part of the case. "kit notes" of readings go as well.
EMPTIED: dict[str, tuple[str, ...]] = {
    "delivery": ("receiver", "place", "supplier", "invoice", "notes"),
    "transit": ("notes",),
    "receiving": ("name", "notes"),
    "lot": ("price_each", "ordered", "notes"),
    "observation": ("note", "words", "done", "from_log"),
    "outcome": ("note",),
}
#: Parts left out whole: papers, evidence and traces of the delivery at hand.
LEFT_OUT = ("claim", "step", "sample", "photo", "assessment", "session", "expected")
_TEXT_OF_READING = ("entered", "note")


@dataclass(frozen=True)
class Wanted:
    """What a person expects of the advisor on the lesson."""

    first_cause: tuple[str, ...] = ()
    in_first_three: tuple[str, ...] = ()
    first_action: tuple[str, ...] = ()
    never: tuple[str, ...] = ()


def lesson_of(case: Case, wanted: Wanted, base: RuleBase, lot: str | None = None) -> Case:
    """The case without names, texts, papers and dates, with what is expected of it.

    lot : the lot it is about; needed when there are several

    Raises AdvisorError when the delivery is not closed or a word is not known.
    """
    closed(case)
    ids = [each.id for each in case.lot]
    if lot is not None and lot not in ids:
        raise AdvisorError(f'lot: no lot "{lot}"; the lots are {", ".join(ids) or "none"}.')
    _known("first_cause", (*wanted.first_cause, *wanted.in_first_three), base.causes)
    _known("first_action", (*wanted.first_action, *wanted.never), base.actions)
    first = wanted.first_cause or case.outcome.confirmed_causes
    if not first:
        raise AdvisorError(
            "expected.first_cause: name at least one cause that may stand first; "
            "no cause was confirmed in the outcome."
        )
    data = case.model_dump(exclude_unset=True, exclude=set(LEFT_OUT))
    names = _new_names(ids)
    _strip(data, names)
    data["delivery"] = {k: v for k, v in data.get("delivery", {}).items() if k == "law"}
    data["delivery"]["title"] = "A delivery for training"
    data["expected"] = Expected(
        kind="field",
        first_cause=first,
        in_first_three=wanted.in_first_three or first,
        first_action=wanted.first_action,
        never=wanted.never,
        lot=names[lot] if lot else None,
        source="a closed delivery, names and notes taken out",
        basis="judgement",
    ).model_dump(exclude_unset=True)
    return Case.model_validate(data)


def closed(case: Case) -> None:
    """Raises AdvisorError when nobody has noted how the delivery ended."""
    if not case.outcome.closed and not case.outcome.confirmed_causes:
        raise AdvisorError(
            "outcome: the delivery is not closed; note how it ended first (advisor recheck), "
            "a lesson needs an end."
        )


def _known(field: str, words: Iterable[str], known: Iterable[str]) -> None:
    names = tuple(known)
    for word in words:
        if word not in names:
            hint = nearest(word, names) or "."
            raise AdvisorError(f'expected.{field}: "{word}" is not known{hint}')


def _new_names(ids: Iterable[str]) -> dict[str, str]:
    """Lots get plain numbers: their ids may hold a name."""
    return {old: f"lot-{number}" for number, old in enumerate(ids, 1)} | {"all": "all"}


def _strip(data: dict[str, Any], names: dict[str, str]) -> None:
    for part, fields in EMPTIED.items():
        entries = data.get(part, {})
        for entry in entries if isinstance(entries, (list, tuple)) else (entries,):
            for field in fields:
                entry.pop(field, None)
    for lot in data.get("lot", ()):
        lot["id"] = names[lot["id"]]
        _plain_readings(lot, ("packed",))
    for look in data.get("observation", ()):
        look["lot"] = names[look.get("lot", "all")]
        _plain_readings(look, WATERS)
    for death in data.get("outcome", {}).get("deaths", ()):
        death["lot"] = names.get(death.get("lot", "all"), "all")
    if data.get("outcome", {}).get("confirmed_by"):
        data["outcome"]["confirmed_by"] = "as the delivery was closed"
    for added in data.get("receiving", {}).get("added", ()):
        added.pop("amount", None)


def _plain_readings(entry: dict[str, Any], waters: Iterable[str]) -> None:
    for water in waters:
        for reading in entry.get(water, {}).values():
            if isinstance(reading, dict):
                for text in _TEXT_OF_READING:
                    reading.pop(text, None)
