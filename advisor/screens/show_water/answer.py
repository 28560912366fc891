"""An answer of ``advisor water`` as a line, at length, and as JSON."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from advisor.screens.show_water.sums import Banded, InTyped, SumFigure, SumResult
from advisor.units import Quantity
from advisor.water.formulas import FORMULAS, Formula, SourceRange
from advisor.wording.measures import salt_in_teaspoons, with_us
from advisor.wording.numbers import exact, fixed, short
from advisor.wording.text import plain

#: Version of the JSON form; ``in_json`` says what it holds.
FORMAT = "advisor-water-1"


def amount(value: float, unit: str, places: int | None = None) -> str:
    """A figure with its unit; ``places`` decimals, or three significant figures."""
    text = exact(value, 3) if places is None else fixed(value, places)
    return f"{text} {unit}".rstrip()


def line(answer: SumResult) -> str:
    """The answer in one line; a unit several figures share stands after the last."""
    units = [figure.part.unit for figure in answer.figures]
    told = [figure.typed is not None for figure in answer.figures]
    shared = [
        here == after and not first and not second
        for (here, after), (first, second) in zip(pairwise(units), pairwise(told), strict=True)
    ] + [False]
    figures = zip(answer.figures, shared, strict=True)
    return "; ".join(_figure(figure, "" if again else None) for figure, again in figures) + "."


def _figure(figure: Banded, unit: str | None) -> str:
    part = figure.part
    low, high = (amount(end, "", part.places) for end in (figure.low, figure.high))
    band = "" if low == high else f"{low} to {high}"
    if figure.typed is not None:
        stored = amount(part.value, part.unit, part.places)
        return f"{part.name} {_typed_first(figure.typed, stored, band)}"
    said = amount(part.value, part.unit if unit is None else unit, part.places)
    text = f"{part.name} {with_us(said, part.value, part.unit)}"
    return f"{text} ({band})" if band else text


def _typed_first(typed: InTyped, stored: str, band: str) -> str:
    """``10 oz (284 g)``; with a band ``10 oz, 9 to 11 (284 g, 255 to 312)``."""
    value, low, high, unit = typed
    if not band:
        return f"{exact(value, 3)} {unit} ({stored})"
    return f"{exact(value, 3)} {unit}, {exact(low, 3)} to {exact(high, 3)} ({stored}, {band})"


def in_teaspoons(answer: SumResult) -> Iterator[str]:
    """Salt in level teaspoons, where that is set; no other substance."""
    for figure in answer.figures:
        if figure.part.salt and (said := salt_in_teaspoons(figure.part.value)):
            yield f"{amount(figure.part.value, figure.part.unit)} is {said}."


def outside(answer: SumResult) -> list[str]:
    """What lies outside the range a formula covers, one sentence each."""
    found: list[str] = []
    for figure in answer.figures:
        record = formula_of(figure.part)
        if record is not None:
            found += record.outside(**figure.part.inputs)
    return list(dict.fromkeys(found))


def formula_of(part: SumFigure) -> Formula | None:
    """The published formula behind a figure, None for plain arithmetic."""
    return FORMULAS.get(part.formula) if part.formula else None


def covers(record: Formula, part: SumFigure) -> str:
    """The ranges the formula's source covers, in one line."""
    ranges: dict[str, SourceRange] = dict(record.ranges)
    if record.rests_on is not None:
        salinity = part.inputs.get("salinity_g_kg", 0.0)
        ranges |= FORMULAS[record.rests_on(salinity)].ranges
    return "; ".join(
        f"{name} {exact(span.low)} to {exact(span.high)} {span.unit}".rstrip()
        for name, span in ranges.items()
    )


def at_length(answer: SumResult) -> Iterator[tuple[str, str]]:
    """Lead and text of each further line for -v."""
    for key, found in answer.given.items():
        for quantity in found:
            yield "given", f"{key}: {_as_read(quantity, answer.units.get(key, ''))}"
    told = ""
    for figure in answer.figures:
        part = figure.part
        record = formula_of(part)
        if record is None:
            continue
        yield "formula", f"{_subject(part, record)}{record.text()}"
        yield "with numbers", f"{record.filled(**part.inputs)} = {_result_of(part, record)}"
        span = covers(record, part)
        if span:
            yield "covers", span
        if source_of(record) != told:
            told = source_of(record)
            yield "source", told


def _as_read(quantity: Quantity, unit: str) -> str:
    """What was typed, and the value and band it became."""
    said = f'"{quantity.entered}" = {exact(quantity.value)} {unit}'.rstrip()
    if quantity.low != quantity.high:
        said += f" ({short(quantity.low, 4)} to {short(quantity.high, 4)})"
    return f"{said}, {quantity.note}" if quantity.note else said


def _subject(part: SumFigure, record: Formula) -> str:
    """What the equation gives, unless the equation names it itself."""
    if re.match(r"[\w-]+ (?:=|\w+ from) ", record.text()):
        return ""
    return f"{record.name.replace('_', ' ') if part.solved is not None else part.name} = "


def _result_of(part: SumFigure, record: Formula) -> str:
    if part.solved is not None:
        return exact(part.solved)
    unit = part.unit if part.unit == "%" else "" if record.unit in ("1", "pH") else record.unit
    return amount(part.value, unit, part.places)


def source_of(record: Formula) -> str:
    """The source; of a formula that points to another one, that one's."""
    pointed = FORMULAS.get(record.source.removeprefix("as "))
    return record.source if pointed is None else pointed.source


def in_json(answer: SumResult) -> dict[str, Any]:
    """The published form, ``advisor-water-1``.

    asked   : the sum
    given   : key -> what was typed, its value in the stored unit, the band and how it was read
    results : name, value, low, high, unit; "typed", the same in another unit that was typed;
              for a published formula its equation, the same with the numbers put in, its source
              and what lies outside the range it covers
    verdicts: what the answer means for fish, in sentences
    notes   : sentences that go with the answer
    """
    given = {
        key: [
            {"entered": q.entered, "value": q.value, "low": q.low, "high": q.high, "note": q.note}
            for q in found
        ]
        for key, found in answer.given.items()
    }
    return {
        "format": FORMAT,
        "asked": answer.word,
        "given": given,
        "results": [_result(figure) for figure in answer.figures],
        "verdicts": list(answer.verdicts),
        "notes": list(answer.notes),
    }


def _result(figure: Banded) -> dict[str, Any]:
    part = figure.part
    result: dict[str, Any] = {
        "name": part.name,
        "value": part.value,
        "low": figure.low,
        "high": figure.high,
        "unit": part.unit,
    }
    if figure.typed is not None:
        result["typed"] = dict(zip(("value", "low", "high", "unit"), figure.typed, strict=True))
    record = formula_of(part)
    if record is not None:
        result |= {
            "formula": record.text(),
            "working": record.filled(**part.inputs),
            "source": source_of(record),
            "outside": list(record.outside(**part.inputs)),
        }
    return result


def wrapped(lead: str, text: str, width: int) -> list[str]:
    """Lines no wider than ``width``, further ones under the first word."""
    import textwrap

    head = f"  {lead:12} "
    return textwrap.wrap(
        plain(text), max(40, width), initial_indent=head, subsequent_indent=" " * len(head)
    ) or [head]
