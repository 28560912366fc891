"""Logs of probes and meters into a case."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.case import Case, dumps_case, loads_case
from advisor.errors import AdvisorError
from advisor.papers.csv_out import readings_csv
from advisor.papers.log_file import LogRead, read_log, skipped_in_all
from advisor.papers.log_import import MOST_LOOKS, add_log
from advisor.papers.log_times import order_of

RECEIVED = datetime(2027, 3, 2, 14, 10)


def _read(text: str | bytes, **options: object) -> LogRead:
    raw = text if isinstance(text, bytes) else text.encode()
    return read_log(raw, "log.csv", RECEIVED, **options)  # type: ignore[arg-type]


def _values(log: LogRead) -> list[tuple[float, str, float]]:
    return [(row.hours, row.key, round(row.quantity.value, 3)) for row in log.rows]


SAME = [
    (0.0, "temperature_c", 25.0),
    (0.0, "ph", 7.4),
    (1.0, "temperature_c", 25.5),
    (1.0, "ph", 7.5),
]
SHAPES = {
    "long": "time,parameter,value,unit\n2027-03-02 14:10,temperature,25,°C\n"
            "2027-03-02 14:10,pH,7.4,\n2027-03-02 15:10,temp,25.5,C\n2027-03-02 15:10,ph,7.5,\n",
    "long, Fahrenheit": "time,parameter,value,unit\n2027-03-02T14:10:00,temperature,77,°F\n"
            "2027-03-02T14:10:00,pH,7.4,pH\n2027-03-02T15:10:00,temperature,77.9,F\n"
            "2027-03-02T15:10:00,pH,7.5,pH\n",
    "wide": "hours,Temperature (°C),pH\n0,25,7.4\n1,25.5,7.5\n",
    "semicolons, decimal commas": "Zeit;Time;Temp [°C];pH\nx;02.03.2027 14:10;25,0;7,4\n"
            "x;02.03.2027 15:10:00;25,5;7,5\n",
    "tabs, two columns of time": "Date\tTime\tWater temp (C)\tpH\n"
            "2027-03-02\t14:10:00\t25\t7.4\n2027-03-02\t15:10:00\t25.5\t7.5\n",
    "month first with am and pm": "Timestamp,Temp (°C),pH\n03/02/2027 2:10 PM,25,7.4\n"
            "03/02/2027 3:10 PM,25.5,7.5\n",
    "preamble": "Logger 3 (invented)\nserial,0001\n\nminutes,Temp (°C),pH\n0,25,7.4\n60,25.5,7.5\n",
    "no header": "0,temperature,25,°C\n0,pH,7.4,\n1,temperature,25.5,°C\n1,pH,7.5,\n",
    "seconds": "elapsed [s],Temp (°C),pH\n0,25,7.4\n3600,25.5,7.5\n",
}  # fmt: skip


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_the_same_log_in_many_shapes(shape: str, encoding: str) -> None:
    log = _read(SHAPES[shape].encode(encoding))
    assert sorted(_values(log)) == sorted(SAME)
    assert not log.skipped


def test_each_skipped_row_is_told_with_its_line_and_reason() -> None:
    log = _read(
        "time,parameter,value,unit\n"
        "0,temperature,25,°C\n"
        "0,turbidity,3,NTU\n"  # line 3
        "0,pH,,\n"  # line 4
        "0,pH,ERR,\n"  # line 5
        "someday,pH,7,\n"  # line 6
        "0,pH,77,\n"  # line 7
        "90000,pH,7,\n"  # line 8
        "1,pH,7.2 bananas,\n"  # line 9
    )
    assert _values(log) == [(0.0, "temperature_c", 25.0)]
    where = {line: why for why, lines in log.skipped.items() for line in lines}
    assert sorted(where) == [3, 4, 5, 6, 7, 8, 9]
    assert "turbidity" in where[3] and where[4] == where[5] == "no value of pH"
    assert where[6] == "not a time" and "2 to 12.5" in where[7] and "months away" in where[8]
    assert skipped_in_all(log) == 7


def test_a_number_without_basis_spans_its_meanings() -> None:
    log = _read("hours,parameter,value,unit\n0,nitrite,1,mg/L\n0,NO2-N,1,mg/L\n")
    open_basis, nitrogen = (row.quantity for row in log.rows)
    # 1 mg/L NO2 is 14.007/46.005 = 0.3045 mg/L N (IUPAC atomic masses)
    assert open_basis.low == pytest.approx(0.3045, abs=1e-3) and open_basis.high == 1
    assert nitrogen.low == nitrogen.high == 1


def test_free_ammonia_is_not_taken_for_total() -> None:
    log = _read("hours,NH3 (mg/L),pH\n0,0.02,7.4\n")
    assert [row.key for row in log.rows] == ["ph"]
    assert any("free ammonia" in note for note in log.notes)


def test_what_was_taken_for_granted_is_said() -> None:
    log = _read("hours,temp,battery\n0,25,99\n")
    assert any("taken as °C" in note for note in log.notes)
    assert any("battery" in note for note in log.notes)
    assert any("count from receipt" in note for note in log.notes)


def test_dates_that_could_be_either_are_asked_about() -> None:
    received = datetime(2027, 3, 4, 12)
    with pytest.raises(AdvisorError, match="--dates"):
        order_of(["03/04/2027 10:00", "04/04/2027 10:00"], None)
    # within days of the receipt only as day-first 2 April ... or as month-first 4 March
    assert order_of(["03/04/2027 10:00"], received) == "month-first"
    assert order_of(["03/04/2027 10:00", "13/04/2027 10:00"], received) == "day-first"
    assert order_of(["04.03.2027 10:00"], received) == "day-first"


def test_a_log_with_dates_needs_the_time_of_receipt() -> None:
    with pytest.raises(AdvisorError, match="received"):
        read_log(b"time,pH\n2027-03-02 14:10,7\n", "log.csv", None)


@pytest.mark.parametrize("raw", [b"", b"hello\nworld\n", b"\x00\x01\x02", b"a,b,c\n1,2,3\n"])
def test_what_is_no_log_is_refused_in_one_sentence(raw: bytes) -> None:
    with pytest.raises(AdvisorError) as fault:
        _read(raw)
    assert "\n" not in str(fault.value)


@given(st.binary(max_size=300))
def test_no_bytes_end_in_anything_but_a_sentence(raw: bytes) -> None:
    try:
        _read(raw)
    except AdvisorError as fault:
        assert str(fault)


CELLS = st.text(st.sampled_from("0123456789.,;:/-+ \t\"'=apmTZNH3°C[]()\n"), max_size=60)


@given(CELLS)
def test_no_cells_end_in_anything_but_a_sentence(cells: str) -> None:
    try:
        _read("time,parameter,value,unit\n" + cells)
    except AdvisorError as fault:
        assert str(fault)


def _long_log(rows: int, minutes: float = 1.0) -> LogRead:
    lines = ["hours,temperature [°C],DO [mg/L]"]
    lines += [
        f"{at * minutes / 60:.5f},{24 + at % 7 / 10},{8 - at % 60 / 20}" for at in range(rows)
    ]
    return _read("\n".join(lines))


def test_a_short_log_goes_in_row_by_row(delivery: Case) -> None:
    done = add_log(delivery, _long_log(100), "p.csv", lot="all", water="tank", kit="meter")
    assert (done.looks, done.step_h) == (100, None)
    assert done.case.observation[0].tank.temperature_c is not None
    assert done.case.observation[0].tank.temperature_c.kit == "meter"


def test_a_long_log_is_thinned_and_its_extremes_stay(delivery: Case) -> None:
    log = _long_log(10_000)
    done = add_log(delivery, log, "p.csv", lot="all", water="tank", kit="meter")
    assert done.looks <= MOST_LOOKS and done.step_h == 1.0
    mine = [look for look in done.case.observation if look.from_log]
    oxygen = [look.tank.do_mg_l for look in mine]
    lows = [reading.low for reading in oxygen if reading]
    # the lowest row of each hour (5.05) less what a meter cannot tell apart (0.3)
    assert min(low for low in lows if low is not None) == pytest.approx(5.05 - 0.3)
    last = log.rows[-1]
    assert mine[-1].at_hours == last.hours and "60 rows in 1 h" in (mine[0].note or "")


def test_a_log_taken_in_again_replaces_itself(delivery: Case) -> None:
    first = add_log(delivery, _long_log(500), "p.csv", lot="all", water="tank", kit="meter")
    again = add_log(first.case, _long_log(900), "p.csv", lot="all", water="tank", kit="meter")
    assert again.replaced == first.looks
    assert len(again.case.observation) == len(delivery.observation) + again.looks


def test_a_case_with_a_log_can_be_saved_and_read(delivery: Case) -> None:
    done = add_log(delivery, _long_log(10_000), "p.csv", lot="A", water="tank", kit="meter")
    assert loads_case(dumps_case(done.case)) == done.case


def test_what_was_written_out_can_be_read_back(delivery: Case) -> None:
    log = _read(readings_csv(delivery).encode(), water="tank", lot="A")
    mine = [
        (look.at_hours, name, reading.value)
        for look in delivery.observation
        if look.lot == "A"
        for name, reading in look.tank.given().items()
    ]
    assert sorted(_values(log)) == sorted((h, n, round(v, 3)) for h, n, v in mine)
    assert any("water is bag" in why for why in log.skipped)


def test_rows_of_one_time_and_reading_count_once(delivery: Case) -> None:
    done = add_log(
        delivery, _read("hours,pH\n1,7\n1,8\n"), "p.csv", lot="all", water="tank", kit=None
    )
    assert (done.looks, done.twice) == (1, 1)
    look = next(look for look in done.case.observation if look.from_log)
    assert look.tank.ph is not None and look.tank.ph.value == 8


def test_times_before_receipt_are_kept() -> None:
    text = f"time,pH\n{RECEIVED - timedelta(hours=5):%Y-%m-%d %H:%M:%S},7\n"
    assert _values(_read(text)) == [(-5.0, "ph", 7.0)]
