"""Clocks set back or forward, summer time and zones: no look is lost for a year without a word."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import datetime, timedelta

import pytest

from advisor.ask.hours import clock_fault, due_words, hours_since, hours_since_exact
from advisor.ask.rechecks import Due
from advisor.case import Case, loads_case

DUE = Due(1.25, "15 min after the last look")


def _case(received: str, last: float = 1.0) -> Case:
    return loads_case(f'delivery.received = "{received}"\n[[observation]]\nat_hours = {last}\n')


@pytest.fixture
def berlin(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("TZ", "Europe/Berlin")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.mark.parametrize("back", [1, 24, 24 * 365, 24 * 3650])
def test_a_clock_set_back_is_said_and_nothing_is_due_in_a_year(back: float) -> None:
    case = _case("2027-03-02T14:10:00")
    now = datetime(2027, 3, 2, 15, 20) - timedelta(hours=back)
    words = due_words(case, DUE, now)
    assert "set it right" in words and words.startswith("15 min after the last one")
    assert hours_since(case, now) == 1.0 and hours_since_exact(case, now) == 1.0


def test_a_clock_set_far_forward_is_asked_about() -> None:
    case = _case("2027-03-02T14:10:00")
    assert "is the clock right?" in due_words(case, DUE, datetime(2029, 3, 2))
    assert "overdue by 3 h" in due_words(case, DUE, datetime(2027, 3, 2, 18, 25))


def test_a_right_clock_is_left_alone() -> None:
    case = _case("2027-03-02T14:10:00")
    assert clock_fault(case, datetime(2027, 3, 2, 15, 20)) == ""
    assert due_words(case, DUE, datetime(2027, 3, 2, 15, 20)).startswith("in 5 min, at 15:25")


@pytest.mark.usefixtures("berlin")
@pytest.mark.parametrize(
    ("received", "now", "hours"),
    [
        # EU summer time begins on 28 March 2027 at 02:00 and ends on 31 October 2027 at 03:00
        # (Directive 2000/84/EC: last Sundays, 01:00 UTC).
        ("2027-03-28T01:30:00", datetime(2027, 3, 28, 3, 30), 1.0),
        ("2027-10-31T01:30:00", datetime(2027, 10, 31, 3, 30), 3.0),
        ("2027-07-01T12:00:00Z", datetime(2027, 7, 1, 15, 0), 1.0),
        ("2027-07-01T12:00:00-05:00", datetime(2027, 7, 1, 20, 0), 1.0),
    ],
)
def test_summer_time_and_zones_make_no_hours(received: str, now: datetime, hours: float) -> None:
    assert hours_since_exact(_case(received, last=0.0), now) == pytest.approx(hours)
