"""Clocks set back or forward, summer time and zones: no look is lost for a year without a word."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta

import pytest

from advisor.ask.answers.looks import arrived_ago
from advisor.ask.answers.parts import Place
from advisor.ask.hours import (
    clock_at,
    clock_fault,
    due_words,
    hours_since,
    hours_since_exact,
    started,
)
from advisor.ask.rechecks import Due
from advisor.case import Case, loads_case
from advisor.case.logs import LogAsks, read_log
from advisor.case.logs.into_case import add_log
from advisor.wording.times import clock

DUE = Due(1.25, "15 min after the last look")


def _case(received: str, last: float = 1.0) -> Case:
    return loads_case(f'delivery.received = "{received}"\n[[observation]]\nat_hours = {last}\n')


@pytest.fixture
def zone(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[str], None]]:
    """Moves this computer to another zone."""

    def move(name: str) -> None:
        monkeypatch.setenv("TZ", name)
        time.tzset()

    yield move
    monkeypatch.undo()
    time.tzset()


@pytest.fixture
def berlin(zone: Callable[[str], None]) -> None:
    zone("Europe/Berlin")


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


# Offsets of the tz database (IANA 2024a) on 2 March and 2 July 2027; the last two as POSIX TZ
# texts, whose sign is turned round (IEEE Std 1003.1, 8.3).
ZONES = {
    "UTC": ("+00:00", "+00:00"),
    "Europe/Berlin": ("+01:00", "+02:00"),
    "Europe/London": ("+00:00", "+01:00"),
    "America/St_Johns": ("-03:30", "-02:30"),
    "America/Los_Angeles": ("-08:00", "-07:00"),
    "Asia/Kolkata": ("+05:30", "+05:30"),
    "Asia/Kathmandu": ("+05:45", "+05:45"),
    "Australia/Lord_Howe": ("+11:00", "+10:30"),
    "Pacific/Kiritimati": ("+14:00", "+14:00"),
    "XXX3": ("-03:00", "-03:00"),
    "YYY-9:30": ("+09:30", "+09:30"),
}


@pytest.mark.parametrize("name", ZONES)
def test_a_receipt_written_by_the_program_says_its_zone(
    name: str, zone: Callable[[str], None]
) -> None:
    zone(name)
    for now, offset in zip(
        (datetime(2027, 3, 2, 14, 10, 0, 7), datetime(2027, 7, 2, 14, 10)), ZONES[name], strict=True
    ):
        case = started(Case(), now)
        assert case.delivery.received == f"{now:%Y-%m-%dT%H:%M:%S}{offset}"
        assert hours_since_exact(case, now + timedelta(hours=3)) == pytest.approx(3, abs=1e-6)


@pytest.mark.parametrize("there", ZONES)
def test_a_case_taken_to_another_zone_keeps_its_hours(
    there: str, zone: Callable[[str], None]
) -> None:
    zone("Europe/Berlin")
    case = started(Case(), datetime(2027, 3, 2, 14, 10))
    zone(there)
    # three hours after 14:10 in Berlin it is 16:10 UTC, wherever one is
    now = datetime.fromtimestamp(datetime(2027, 3, 2, 16, 10, tzinfo=UTC).timestamp())
    assert hours_since_exact(case, now) == 3.0
    assert clock_at(case, 3.0) == now  # the alarm rings by the clock of this place
    assert clock(case.delivery.received, 3.0).startswith("2 Mar 17:10")  # a paper says the room's


@pytest.mark.usefixtures("berlin")
@pytest.mark.parametrize(
    ("received", "hours", "shown"),
    [
        ("2027-03-27T14:10:00", 24.0, datetime(2027, 3, 28, 15, 10)),
        ("2027-03-27T14:10:00+01:00", 24.0, datetime(2027, 3, 28, 15, 10)),
        ("2027-10-30T14:10:00+02:00", 48.0, datetime(2027, 11, 1, 13, 10)),
        # the hour from 02:00 to 03:00 comes twice on 31 October; its receipt says which it was
        ("2027-10-31T02:30:00+02:00", 1.0, datetime(2027, 10, 31, 2, 30)),
        ("2027-10-31T02:30:00+01:00", 1.0, datetime(2027, 10, 31, 3, 30)),
        ("2027-03-27T14:10:00+05:30", 24.0, datetime(2027, 3, 28, 10, 40)),
    ],
)
def test_a_look_is_due_when_the_clock_on_the_wall_says_so(
    received: str, hours: float, shown: datetime
) -> None:
    case = _case(received)
    assert clock_at(case, hours) == shown
    now = shown.replace(fold=1)
    assert hours_since_exact(case, now) == pytest.approx(hours)
    assert f"{shown:%H:%M}" in due_words(case, Due(hours, "then"), now)


@pytest.mark.usefixtures("berlin")
def test_fish_that_came_before_the_change_are_said_to_have_come_by_the_old_clock() -> None:
    case = started(Case(), datetime(2027, 3, 28, 4, 0))
    earlier = arrived_ago(case, 3.0, Place(None, 0.0))
    assert earlier.delivery.received == "2027-03-28T00:00:00+01:00"
    assert hours_since_exact(earlier, datetime(2027, 3, 28, 4, 0)) == 3.0


@pytest.mark.usefixtures("berlin")
@pytest.mark.parametrize("received", ["2027-03-27T20:00:00", "2027-03-27T20:00:00+01:00"])
def test_a_log_across_the_change_is_asked_whether_its_clock_followed(received: str) -> None:
    raw = b"Time,pH\n2027-03-27 23:00,7.4\n2027-03-28 05:00,7.3\n"
    case = _case(received, last=0.0)
    with pytest.raises(LogAsks, match="Summer time begins or ends here"):
        add_log(case, read_log(raw, "x.csv"), lot="all", water="tank", kit=None)
    for told, last in (("Europe/Berlin", 8.0), ("+01:00", 9.0)):
        log = read_log(raw, "x.csv", {("zone", None): told})
        answers = {("receipt_zone", None): "Europe/Berlin"}
        done = add_log(case, log, answers, lot="all", water="tank", kit=None)
        assert [look.at_hours for look in done.case.observation if look.from_log] == [3.0, last]


@pytest.mark.parametrize("received", ["0001-01-01T00:00:00", "9999-12-31T23:59:59-12:00"])
def test_a_receipt_at_the_end_of_the_calendar_is_no_fault(received: str) -> None:
    case = _case(received)
    due_words(case, DUE, datetime(2027, 3, 2, 18, 25))
    clock_at(case, 9e6)
