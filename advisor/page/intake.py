"""Boxes written down in a grid, made into the lots of a case as the session would make them."""

from __future__ import annotations

from itertools import zip_longest

from starlette.datastructures import FormData

from advisor.ask.answers.apply import apply, with_field
from advisor.ask.answers.field_numbers import whole_number
from advisor.ask.answers.parts import Place, changed
from advisor.ask.answers.replies import Draft, Lots
from advisor.case import Case
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase
from advisor.wording.text import one_line

FIELDS = ("kind", "count", "bags", "tank")
EMPTY = dict.fromkeys(FIELDS, "")
ROWS, MOST_ROWS = 12, 40
_MOST_TEXT = 80


def rows_of(form: FormData) -> list[dict[str, str]]:
    """The rows of the grid in which something stands."""
    columns = [form.getlist(name) for name in FIELDS]
    rows = []
    for values in list(zip_longest(*columns, fillvalue=""))[:MOST_ROWS]:
        texts = [one_line(str(value))[:_MOST_TEXT].strip() for value in values]
        if any(texts):
            rows.append(dict(zip(FIELDS, texts, strict=True)))
    return rows


def received(rows: list[dict[str, str]], supplier: str, base: RuleBase) -> Case:
    """A case with a shut lot for each row. Raises AdvisorError naming the row and the field."""
    if not rows:
        raise AdvisorError("Nothing is written down yet: at least the kind of one box.")
    drafts = []
    for at, row in enumerate(rows, 1):
        if not row["kind"]:
            raise AdvisorError(f"Box {at}, kind: is missing; any name will do.")
        count = _whole(row["count"], f"Box {at}, number of fish")
        bags = _whole(row["bags"], f"Box {at}, bags")
        drafts.append(Draft(row["kind"], count, bags or None))
    question = next(q for q in base.questions.values() if q.field == "lots")
    case = apply(Case(), question, Lots(tuple(drafts)), Place(None, 0.0), base)
    for lot, row in zip(case.lot, rows, strict=True):
        case = with_field(case, "lot.sealed", "yes", Place(lot.id, 0.0))
        if row["tank"]:
            case = with_field(case, "lot.notes", f"goes to: {row['tank']}", Place(lot.id, 0.0))
    if name := one_line(supplier)[:_MOST_TEXT].strip():
        case = changed(case, delivery=changed(case.delivery, supplier=name))
    return case


def _whole(text: str, where: str) -> int | None:
    if not text:
        return None
    try:
        return whole_number(text)
    except AdvisorError as fault:
        raise AdvisorError(f'{where}: "{text}" is no whole number. {fault}') from None
