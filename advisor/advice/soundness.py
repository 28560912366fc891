"""What the rules ask of the program: places in a case, formulas for amounts.

Looked at before a rule base is run, so that a slip in a rule file ends in a
sentence and not in the middle of an assessment.
"""

from __future__ import annotations

from collections.abc import Iterator

from advisor.advice.amounts import FORMULAS, unknown_names
from advisor.case import Case, Lot
from advisor.case.readings import RANGES
from advisor.rulebase import RuleBase
from advisor.rulebase.entries import Figure, HistoryItem, QuantityEntry
from advisor.wording.nearest import nearest
from advisor.wording.toml_file import raise_faults


def refuse_unsound(base: RuleBase) -> None:
    """Raise AdvisorError or ManyFaults, one sentence for each thing the program does not have."""
    raise_faults(unsound(base), "rules")


def unsound(base: RuleBase) -> list[str]:
    """One sentence for each thing the rules ask for and the program does not have."""
    return [*_lost_fields(base), *_lost_amounts(base), *_lost_readings(base)]


def _lost_fields(base: RuleBase) -> Iterator[str]:
    for item in base.history.values():
        if item.field is not None and not _in_a_case(item.field):
            near = nearest(item.field, _PLACES)
            yield f"{_where('history', item)}: field: a case has no {item.field}{near}"


def _where(kind: str, entry: HistoryItem | QuantityEntry) -> str:
    return f"rules/{entry.file}, {kind} {entry.id}"


def _in_a_case(field: str) -> bool:
    own = field.removeprefix("lot.")
    return field in _PLACES or (own.startswith("history.") and own != "history.")


#: Places a history item may be read from, but for [history] itself, which may hold any name.
_PLACES = frozenset(
    [f"lot.{name}" for name in Lot.model_fields]
    + [
        f"{part}.{name}"
        for part in ("delivery", "transit", "receiving")
        for name in getattr(Case.model_fields[part].annotation, "model_fields", ())
    ]
)


def _lost_readings(base: RuleBase) -> Iterator[str]:
    for quantity in base.quantities.values():
        if quantity.kind != "reading":
            continue
        name = f"{quantity.water}_{quantity.parameter}"
        if quantity.parameter not in RANGES:
            near = nearest(quantity.parameter or "", RANGES)
            yield f"{_where('quantity', quantity)}: parameter: no case holds it{near}"
        elif quantity.id != name:
            yield f"{_where('quantity', quantity)}: its id must be {name}, water and parameter"


def _lost_amounts(base: RuleBase) -> Iterator[str]:
    for action in base.actions.values():
        for amount in (action.amount, action.amount.beside) if action.amount else ():
            if amount is not None:
                where = f"rules/{action.file}, action {action.id}: amount"
                yield from _lost_in(amount, where, base)


def _lost_in(amount: Figure, where: str, base: RuleBase) -> Iterator[str]:
    for name in unknown_names(amount):
        if amount.formula in FORMULAS:
            yield f'{where}: {amount.formula} takes no "{name}"'
        else:
            yield f'{where}: no formula "{name}"{nearest(name, FORMULAS)}'
    for fact in amount.given.values():
        if isinstance(fact, str) and fact not in base.quantities:
            yield f'{where}: no reading or computed "{fact}"{nearest(fact, base.quantities)}'
