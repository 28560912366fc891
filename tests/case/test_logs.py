"""Instrument logs: 260 invented logs judged by meaning, and what becomes of them in a case."""

from __future__ import annotations

import time
import tracemalloc
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.case import Case, dumps_case, load_case, loads_case
from advisor.case.logs import Log, LogAsks, LogRefused, read_log, told_from
from advisor.case.logs.into_case import MOST_LOOKS, add_log
from advisor.errors import AdvisorError
from advisor.papers.csv_out import readings_csv
from advisor.papers.log_understood import understood_lines
from tests.case.log_judge import ROOT, Told, differs, expectations, judge, outcome_of
from tests.case.log_mutants import trial
from tests.reference.logs.large import LARGE

RECEIVED = "2026-11-02T08:00:00"
FIXTURES = {name: (path, expect) for name, path, expect in expectations()}


@pytest.mark.parametrize(
    "name", [name for name in FIXTURES if FIXTURES[name][1].get("after") is None]
)
def test_a_log_is_taken_as_a_careful_person_takes_it(name: str) -> None:
    path, expect = FIXTURES[name]
    assert judge(path.read_bytes(), expect) == ""


def test_there_are_logs_of_many_styles() -> None:
    assert len(FIXTURES) >= 250 and len({name.split("/")[0] for name in FIXTURES}) >= 12


@pytest.mark.slow
@pytest.mark.parametrize("make", LARGE, ids=lambda make: make.__name__)
def test_large_logs_within_bounds_of_time_and_memory(make: Any, tmp_path: Path) -> None:
    path = tmp_path / "large.csv"
    expect = make(path)
    raw = path.read_bytes()
    tracemalloc.start()
    began = time.process_time()
    got = outcome_of(raw, "large.csv")
    spent = time.process_time() - began
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    if expect["outcome"] == "taken":
        assert isinstance(got, Log) and differs(got, expect) == ""
    else:
        assert isinstance(got, LogRefused) and got.line == expect["line"]
    assert peak / 1e6 < 250 and spent < 60  # tracing alone costs several times the reading


def _case() -> Case:
    return loads_case(
        f'format = "arrival-case-1"\n[delivery]\nreceived = "{RECEIVED}"\n[[lot]]\nid = "A"\n'
    )


def _logged(case: Case) -> list[float]:
    return [look.at_hours for look in case.observation if look.from_log]


@pytest.mark.parametrize("name", [name for name in FIXTURES if FIXTURES[name][1].get("after")])
def test_logs_of_one_name_do_not_take_each_other_away(name: str) -> None:
    path, expect = FIXTURES[name]
    case = _case()
    for before in expect["after"]:
        log = read_log((ROOT / before).read_bytes(), Path(before).name)
        case = add_log(case, log, lot="all", water="tank", kit="meter").case
    log = read_log(path.read_bytes(), path.name)
    told: Told = {(a["what"], a.get("column")): a["answer"] for a in expect.get("asks", [])}
    if told:
        with pytest.raises(LogAsks):
            add_log(case, log, lot="all", water="tank", kit="meter")
    done = add_log(case, log, told, lot="all", water="tank", kit="meter")
    assert len(_logged(done.case)) == expect["rows_together"]
    first = done.case.observation[-1].tank.temperature_c
    column = expect["columns"][0]
    if told:  # the values of the log that was told to replace the other
        assert first is not None and first.value == pytest.approx(column["last"])


def test_the_same_log_again_changes_nothing() -> None:
    path = FIXTURES["named_alike/monday/LOG"][0]
    log = read_log(path.read_bytes(), path.name)
    once = add_log(_case(), log, lot="all", water="tank", kit="meter")
    again = add_log(once.case, log, lot="all", water="tank", kit="meter")
    assert again.case == once.case and again.replaced == once.looks
    other = add_log(once.case, log, lot="all", water="tap", kit="meter")
    assert len(_logged(other.case)) == 2 * once.looks


# What was taken silently wrong before: each told apart now.
NEVER = {
    "percent as mg/L": "Time,Temp (°C),DO (%)\n2026-11-02 09:00,25,38\n",
    "°F as °C": "Time,Temp\n,°F\n2026-11-02 09:00,76\n",
    "minutes as hours": "min,Temp (°C)\n5,25\n90,25\n",
    "thousands lost": 'Time,EC (µS/cm)\n2026-11-02 09:00,"1,234"\n2026-11-02 09:10,"1,250"\n',
    "rows lost in a quote": 'Time,Temp (°C),Note\n2026-11-02 09:00,25,"a\n2026-11-02 10:00,26,b\n',
}


@pytest.mark.parametrize("what", NEVER)
def test_nothing_is_taken_by_default(what: str) -> None:
    got = outcome_of(NEVER[what].encode(), "x.csv")
    if what == "°F as °C":
        assert isinstance(got, Log) and got.columns[0].first == pytest.approx(24.444, abs=0.001)
    else:
        assert isinstance(got, (LogAsks, LogRefused))


def test_a_tank_holds_no_oxygen_of_a_bag() -> None:
    raw = b"Time,Temp (C),DO (mg/L)\n2026-11-02 09:00,25,36\n2026-11-02 09:10,25,38\n"
    assert isinstance(read_log(raw, "x.csv", water="bag"), Log)
    with pytest.raises(LogAsks, match="percent"):
        read_log(raw, "x.csv", water="tank")
    assert isinstance(read_log(raw, "x.csv", {("unit", "DO (mg/L)"): "mg/L"}, water="tank"), Log)


def test_times_with_a_zone_ask_for_that_of_the_receipt() -> None:
    log = read_log(b"Time,pH\n2026-11-02T10:00:00Z,7.4\n", "x.csv")
    with pytest.raises(LogAsks, match="receipt_zone"):
        add_log(_case(), log, lot="all", water="tank", kit=None)
    told: Told = {("receipt_zone", None): "Europe/Berlin"}
    assert _logged(add_log(_case(), log, told, lot="all", water="tank", kit=None).case) == [3.0]


def test_a_log_of_another_year_is_no_log_of_this_delivery() -> None:
    log = read_log(b"Time,pH\n2024-11-02 10:00,7.4\n", "x.csv")
    with pytest.raises(LogRefused, match="before the delivery"):
        add_log(_case(), log, lot="all", water="tank", kit=None)


def test_a_log_with_dates_needs_the_time_of_receipt() -> None:
    log = read_log(b"Time,pH\n2026-11-02 10:00,7.4\n", "x.csv")
    with pytest.raises(LogRefused, match="received"):
        add_log(loads_case('format = "arrival-case-1"'), log, lot="all", water="tank", kit=None)


def test_what_was_understood_is_said_of_every_column() -> None:
    path = FIXTURES["controller/hourly"][0]
    lines = "\n".join(understood_lines(read_log(path.read_bytes(), "hourly.csv")))
    assert "2026-09-06 00:00 to 2026-09-06 11:00 (11 h)" in lines
    assert (
        '"Cond (mS/cm)": conductivity in mS/cm, "52.8" to "53.1", kept as 52800 to 53100' in lines
    )
    assert '"ORP (mV)" is left out' in lines


def _long_log(rows: int, minutes: float = 1.0) -> Log:
    lines = ["hours after receipt,temperature [°C],DO [mg/L]"]
    lines += [
        f"{n * minutes / 60:.5f},{24 + n % 7 / 10},{8 - n % 60 / 20:.2f}" for n in range(rows)
    ]
    return read_log("\n".join(lines).encode(), "p.csv")


def test_a_long_log_is_thinned_and_its_extremes_stay() -> None:
    done = add_log(_case(), _long_log(10_000), lot="all", water="tank", kit="meter")
    assert done.looks <= MOST_LOOKS and done.step_h == 1.0
    oxygen = [look.tank.do_mg_l for look in done.case.observation]
    lows = [reading.low for reading in oxygen if reading and reading.low is not None]
    # the lowest row of each hour (5.05) less what a meter cannot tell apart (0.3)
    assert min(lows) == pytest.approx(5.05 - 0.3)
    assert loads_case(dumps_case(done.case)) == done.case


def test_what_was_written_out_can_be_read_back() -> None:
    delivery = load_case(Path(__file__).parents[1] / "papers" / "delivery.toml")
    log = read_log(readings_csv(delivery).encode(), "out.csv", water="tank", lot="A")
    mine = [
        (look.at_hours, name, round(reading.value, 3))
        for look in delivery.observation
        if look.lot == "A"
        for name, reading in look.tank.given().items()
    ]
    got = [(row.at, key, round(q.value, 3)) for row in log.rows for key, q in row.values.items()]
    assert sorted(got) == sorted(mine)  # type: ignore[type-var]
    assert any("water is bag" in why for why in log.skipped)


def test_what_is_told_is_read_strictly() -> None:
    assert told_from(["unit:DO=mg/L"]) == {("unit", "DO"): "mg/L"}
    for text in ("units:DO=mg/L", "unit:DO", "zone="):
        with pytest.raises(AdvisorError, match="WHAT=ANSWER"):
            told_from([text])


@pytest.mark.parametrize("raw", [b"", b"hello\nworld\n", b"\x00\x01\x02", b"a,b,c\n1,2,3\n"])
def test_what_is_no_log_is_refused_in_one_sentence(raw: bytes) -> None:
    with pytest.raises(AdvisorError) as fault:
        read_log(raw, "x.csv")
    assert "\n" not in str(fault.value)


@given(st.binary(max_size=300))
def test_no_bytes_end_in_anything_but_a_sentence(raw: bytes) -> None:
    assert str(outcome_of(raw, "x.csv"))


CELLS = st.text(st.sampled_from("0123456789.,;:/-+ \t\"'=apmTZNH3°C[]()\n"), max_size=60)


@given(CELLS, st.sampled_from(["time,temp (C),pH\n", "date;time;EC (uS/cm)\n", "t,DO (%),T (C)\n"]))
def test_no_cells_end_in_anything_but_a_sentence(cells: str, headings: str) -> None:
    assert str(outcome_of((headings + cells).encode(), "x.csv"))


@pytest.mark.parametrize(
    "time", ["2026-03-16210:30:00", "2026-03-16210:30:00Z", "2026-03-16x10:30"]
)
def test_a_letter_between_date_and_time_is_not_passed_over(time: str) -> None:
    got = outcome_of(f"Time,pH\n2026-03-16 10:20:00,7.4\n{time},7.5\n".encode(), "x.csv")
    rows = [row.at for row in got.rows] if isinstance(got, Log) else []
    assert len(rows) < 2
    with pytest.raises(AdvisorError, match="received"):
        loads_case(f'delivery.received = "{time}"')


def test_of_two_columns_of_one_name_none_is_taken_that_was_not_told() -> None:
    path, _ = FIXTURES["controller/same-heading-other-values"]
    got = outcome_of(path.read_bytes(), path.name)
    assert isinstance(got, LogAsks) and "Tmp (°C), the first" in str(got)
    firsts = {"Tmp (°C), the first": 25.4, "Tmp (°C), the second": 24.1, "Tmp (°C), the last": 24.1}
    for answer, first in firsts.items():
        log = outcome_of(path.read_bytes(), path.name, {("column", "temperature_c"): answer})
        assert isinstance(log, Log)
        assert {c.parameter: c.first for c in log.columns}["temperature_c"] == first
    for answer in ("Tmp (°C)", "Tmp (°C), the third", "Tmp (°C), the lower"):
        told: Told = {("column", "temperature_c"): answer}
        refused = outcome_of(path.read_bytes(), path.name, told)
        assert isinstance(refused, LogRefused) and "the second" in str(refused)


@pytest.mark.parametrize(
    ("told", "first"), [("Temp (°C)", 25.4), ("Temp quarry (°C)", 21), ("Temp quary (°C)", None)]
)
def test_the_column_told_is_the_one_taken(told: str, first: float | None) -> None:
    rows = (
        "Time,Temp (°C),Temp quarry (°C)",
        "2026-09-06 00:00,25.4,21",
        "2026-09-06 01:00,25.5,22",
    )
    raw = "\n".join(rows).encode()
    assert isinstance(outcome_of(raw, "x.csv"), LogAsks)
    got = outcome_of(raw, "x.csv", {("column", "temperature_c"): told})
    if first is None:
        assert isinstance(got, LogRefused) and told in str(got)
    else:
        assert isinstance(got, Log) and [column.first for column in got.columns] == [first]


def test_moments_keep_their_zone() -> None:
    log = read_log(b"Time (UTC+05:30),pH\n2026-11-02 10:00,7.4\n", "x.csv")
    at = log.rows[0].at
    assert isinstance(at, datetime) and at.utcoffset() is not None


@pytest.mark.parametrize("tenth", range(10))
def test_what_is_stored_stands_in_the_log_however_it_is_written_or_damaged(tenth: int) -> None:
    for number in range(tenth * 25, tenth * 25 + 25):
        outcome, fault = trial(number)
        assert fault == "", f"log {number}: {outcome}, {fault}"


@pytest.mark.trial
def test_forty_thousand_logs_written_in_every_way_and_damaged() -> None:
    faults = [f"{n}: {fault}" for n in range(40_000) if (fault := trial(n)[1])]
    assert faults == []
