"""Readings and events as CSV that a spreadsheet opens as it is.

Decisions: a header with units; CRLF ends and a byte order mark in files, because
without the mark a common spreadsheet takes ° and µ for other letters (on a pipe
neither, because other programs stumble over them); comma between cells, or
semicolons with decimal commas for spreadsheets that expect these. Text that a
spreadsheet would take for a formula is made inert with an apostrophe before it
(OWASP, CSV injection); numbers stay numbers.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from datetime import timedelta

from advisor.advice.facts.measured import band
from advisor.case import Case, Observation
from advisor.case.readings import WATERS, Readings
from advisor.papers.history import events_of
from advisor.rulebase import RuleBase
from advisor.units import PARAMETERS
from advisor.wording.names import with_unit
from advisor.wording.numbers import exact
from advisor.wording.text import inert
from advisor.wording.times import moment

Cell = str | float | None
HOURS = "hours after receipt [h]"
CLOCK = "date and time"


def readings_csv(case: Case, *, decimal_comma: bool = False, pipe: bool = False) -> str:
    """One row for each look and water, one column for each reading, ends of bands beside it."""
    rows = [
        (look, water, getattr(look, water))
        for look in sorted(case.observation, key=lambda each: each.at_hours)
        for water in WATERS
        if getattr(look, water).given()
    ]
    names = [name for name in PARAMETERS if any(name in r.given() for _, _, r in rows)]
    banded = {
        name for name in names if any(name in r.given() and _has_band(r, name) for _, _, r in rows)
    }
    heads = [HOURS, CLOCK, "lot", "water", "minutes after opening [min]"]
    for name in names:
        heads += [_head(name), _head(name, "low"), _head(name, "high")][
            : 3 if name in banded else 1
        ]
    table: list[Sequence[Cell]] = [
        [*_about(case, look, water), *_numbers(readings, names, banded), *_notes(look, readings)]
        for look, water, readings in rows
    ]
    return _written([*heads, "kits", "as written and notes"], table, decimal_comma, pipe)


def _about(case: Case, look: Observation, water: str) -> list[Cell]:
    return [look.at_hours, _clock(case, look.at_hours), look.lot, water, look.minutes_after_opening]


def _clock(case: Case, hours: float) -> str:
    at = moment(case.delivery.received, hours)
    if at is None:
        return ""
    nearest = at.replace(tzinfo=None) + timedelta(microseconds=500_000)
    return nearest.isoformat(" ", timespec="seconds")


def _has_band(readings: Readings, name: str) -> bool:
    low, high = band(readings.given()[name], name)
    return low != high


def _head(name: str, end: str = "") -> str:
    parameter = PARAMETERS[name]
    return with_unit(f"{parameter.name} {end}".strip(), parameter.unit)


def _numbers(readings: Readings, names: Sequence[str], banded: set[str]) -> list[Cell]:
    cells: list[Cell] = []
    for name in names:
        reading = readings.given().get(name)
        ends: tuple[Cell, Cell] = (None, None) if reading is None else band(reading, name)
        value = None if reading is None else reading.value
        cells += [value, *ends] if name in banded else [value]
    return cells


def _notes(look: Observation, readings: Readings) -> list[Cell]:
    kits, said = [], []
    for name, reading in readings.given().items():
        label = PARAMETERS[name].name
        if reading.kit:
            kits.append(f"{label}: {reading.kit.replace('_', ' ')}")
        words = ", ".join(filter(None, (reading.entered, reading.note)))
        if words:
            said.append(f"{label}: {words}")
    return ["; ".join(kits), "; ".join(filter(None, (*said, look.note)))]


def events_csv(
    case: Case, base: RuleBase, *, decimal_comma: bool = False, pipe: bool = False
) -> str:
    """What happened, in time order: one row for each event."""
    table: list[Sequence[Cell]] = [
        [event.at_hours, _clock(case, event.at_hours), event.lot, event.kind, event.text]
        for event in events_of(case, base)
    ]
    return _written([HOURS, CLOCK, "lot", "kind", "what"], table, decimal_comma, pipe)


def _written(
    heads: Sequence[str], table: Iterable[Sequence[Cell]], decimal_comma: bool, pipe: bool
) -> str:
    out = io.StringIO()
    writer = csv.writer(
        out, delimiter=";" if decimal_comma else ",", lineterminator="\n" if pipe else "\r\n"
    )
    writer.writerow(heads)
    for row in table:
        writer.writerow([_cell(cell, decimal_comma) for cell in row])
    return ("" if pipe else "\ufeff") + out.getvalue()


def _cell(cell: Cell, decimal_comma: bool) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return inert(cell)
    text = exact(cell, 10)
    return text.replace(".", ",") if decimal_comma else text
