"""CSV out: a spreadsheet opens it, and nothing in it computes."""

from __future__ import annotations

import csv
import io
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.advice.reasoner import Reasoner
from advisor.case import Case
from advisor.case.readings import Reading, Readings
from advisor.papers.csv_out import events_csv, inert, readings_csv

# OWASP, "CSV Injection": cells must not begin with = + - @ tab or carriage return.
OWASP = "=+-@\t\r"


def _rows(text: str, delimiter: str = ",") -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text.lstrip("\ufeff")), delimiter=delimiter))


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=40))
def test_no_text_begins_like_a_formula(text: str) -> None:
    cell = inert(text)
    assert cell[:1] not in OWASP or not cell
    assert unicodedata.normalize("NFKC", cell.lstrip())[:1] not in "=+-@" or not cell.strip()
    assert "\n" not in cell and "\r" not in cell


@pytest.mark.parametrize("kind", ["readings", "events"])
def test_hostile_cells_are_inert(hostile: Case, reasoner: Reasoner, kind: str) -> None:
    text = readings_csv(hostile) if kind == "readings" else events_csv(hostile, reasoner.base)
    cells = [cell for row in _rows(text) for cell in row.values()]
    assert any("cmd|" in cell or "=6.5" in cell for cell in cells)
    for cell in cells:
        assert _is_number(cell) or cell[:1] not in OWASP or not cell, cell
        assert "\x1b" not in cell


def test_numbers_stay_numbers_and_heads_have_units(delivery: Case) -> None:
    rows = _rows(readings_csv(delivery))
    assert "temperature [°C]" in rows[0] and "total ammonia [mg/L as N]" in rows[0]
    first = next(row for row in rows if row["water"] == "bag" and row["lot"] == "A")
    assert first["hours after receipt [h]"] == "0.3"
    assert first["date and time"] == "2027-03-02 14:28:00"
    assert first["total ammonia [mg/L as N]"] == "8"
    assert (first["total ammonia low [mg/L as N]"], first["pH low"]) == ("4", "6.2")
    assert "pH: drops" in first["kits"]


def test_water_of_a_tub_is_among_the_readings(delivery: Case) -> None:
    look = delivery.observation[0]
    tub = look.model_copy(update={"tub": Readings(ph=Reading(value=6.87))})
    case = delivery.model_copy(update={"observation": [tub, *delivery.observation[1:]]})
    assert [row["pH"] for row in _rows(readings_csv(case)) if row["water"] == "tub"] == ["6.87"]


def test_files_carry_a_byte_order_mark_and_pipes_do_not(delivery: Case) -> None:
    assert readings_csv(delivery).startswith("\ufeff") and "\r\n" in readings_csv(delivery)
    piped = readings_csv(delivery, pipe=True)
    assert not piped.startswith("\ufeff") and "\r" not in piped


def test_decimal_commas_come_with_semicolons(delivery: Case) -> None:
    rows = _rows(readings_csv(delivery, decimal_comma=True), ";")
    assert rows[0]["temperature [°C]"] == "18,5"


def test_events_stand_in_time_order(delivery: Case, reasoner: Reasoner) -> None:
    rows = _rows(events_csv(delivery, reasoner.base))
    hours = [float(row["hours after receipt [h]"]) for row in rows]
    assert hours == sorted(hours)
    kinds = {row["kind"] for row in rows}
    assert {"journey", "step", "look", "done", "loss", "sample"} <= kinds
