"""Boxes written down in a grid, made into the lots of a case as the session would make them."""

from __future__ import annotations

from itertools import zip_longest

from starlette.datastructures import FormData

from advisor.ask.answers.apply import apply, with_field
from advisor.ask.answers.choosing import plain
from advisor.ask.answers.field_numbers import whole_number
from advisor.ask.answers.parts import Place, changed
from advisor.ask.answers.replies import Draft, Lots
from advisor.ask.answers.tanks import tank_note
from advisor.case import Case
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase
from advisor.rulebase.species import find_species, kin_group, similar_species
from advisor.wording.text import one_line

FIELDS = ("kind", "count", "bags", "tank")
EMPTY = dict.fromkeys(FIELDS, "")
ROWS, MOST_ROWS = 12, 40
_MOST_TEXT = 80


def rows_of(form: FormData, *more: str) -> list[dict[str, str]]:
    """The rows of the grid in which something stands; ``more``: hidden columns it has."""
    fields = (*FIELDS, *more)
    columns = [form.getlist(name) for name in fields]
    rows = []
    for values in list(zip_longest(*columns, fillvalue=""))[:MOST_ROWS]:
        texts = [one_line(str(value))[:_MOST_TEXT].strip() for value in values]
        if any(texts):
            rows.append(dict(zip(fields, texts, strict=True)))
    return rows


def received(rows: list[dict[str, str]], supplier: str, base: RuleBase) -> Case:
    """A case with a shut lot for each row. Raises AdvisorError naming the row and the field."""
    if not rows:
        raise AdvisorError("Nothing is written down yet: at least the kind of one box.")
    drafts = []
    for at, row in enumerate(rows, 1):
        if not row["kind"]:
            raise AdvisorError(f"Box {at}, kind: is missing; any name will do.")
        drafts.append(Draft(row["kind"], *box_numbers(at, row)))
    question = next(q for q in base.questions.values() if q.field == "lots")
    case = apply(Case(), question, Lots(tuple(drafts)), Place(None, 0.0), base)
    for lot, row in zip(case.lot, rows, strict=True):
        case = with_field(case, "lot.sealed", "yes", Place(lot.id, 0.0))
        if row["tank"]:
            case = with_field(case, "lot.notes", tank_note(row["tank"]), Place(lot.id, 0.0))
    if name := one_line(supplier)[:_MOST_TEXT].strip():
        case = changed(case, delivery=changed(case.delivery, supplier=name))
    return case


def box_numbers(at: int, row: dict[str, str]) -> tuple[int | None, int | None]:
    """Fish and bags of a box as they were written. Raises AdvisorError naming box and field."""
    count = _whole(row["count"], f"Box {at}, number of fish")
    bags = _whole(row["bags"], f"Box {at}, bags")
    for number, what in ((count, "number of fish"), (bags, "bags")):
        if number == 0:
            raise AdvisorError(
                f"Box {at}, {what}: 0 cannot be; leave it empty when nobody counted, or leave "
                "the box out."
            )
    return count, bags


def unknown_kinds(rows: list[dict[str, str]], kept: list[str], base: RuleBase) -> list[str]:
    """A sentence for each kind that the table does not hold, once.

    kept : kinds that were asked about already and left as they are
    """
    return [
        f'Box {at}, kind: "{row["kind"]}" is not in the table.{_near(row["kind"], base)} '
        "Left as it is, it is judged as a delicate unknown fish."
        for at, row in enumerate(rows, 1)
        if row["kind"] and row["kind"] not in kept and not understood(row["kind"], base)
    ]


def _near(kind: str, base: RuleBase) -> str:
    names = dict.fromkeys(
        found.name if (found := find_species(name, base)) else name
        for name in similar_species(kind, base)
    )
    return f" Is it {' or '.join(names)}?" if names else ""


def understood(kind: str, base: RuleBase) -> str:
    """What a kind as it was written is taken for; empty when it is in no table."""
    if found := find_species(kind, base):
        return f"{found.name} ({found.scientific})"
    if kin := kin_group(kind, base):
        return f"kept like {kin.name}"
    group = base.groups.get(plain(kind).replace(" ", "_"))
    return group.name if group else ""


def _whole(text: str, where: str) -> int | None:
    if not text:
        return None
    try:
        return whole_number(text)
    except AdvisorError as fault:
        raise AdvisorError(f'{where}: "{text}" is no whole number. {fault}') from None
