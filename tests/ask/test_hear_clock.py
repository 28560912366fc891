"""Times of the clock and lengths of time in a typed line, against the calendar.

What each line means is written down from the words and a calendar: it is Wednesday
25 November 2026, 15:00, unless the line says otherwise. The drawn ones are reckoned by
``datetime``.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import advisor
from tests.ask.hearing import hear

DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


def sealed(text: str, now: datetime | None = None) -> float | None:
    heard = advisor.hear("hours_sealed", text, now=now) if now else hear("hours_sealed", text)
    hours = heard.get("hours_sealed")
    assert (hours is None) != ("ask_back" not in heard), heard
    return None if hours is None else round(float(hours), 2)


@pytest.mark.parametrize(
    "text, hours",
    [
        # two times of the clock
        ("packed 6pm, opened 10am", 16),
        ("packed 6 pm opened 10 am", 16),
        ("packed 18:00 yesterday, opened 10:00 today", 16),
        ("packed at 9 pm mon, opened 9 am wed", 36),
        ("packed tue 6am opened wed 6am", 24),
        ("packed friday 22:00 opened saturday 06:00", 8),
        ("packed midnight, opened noon", 12),
        ("packed noon yesterday, opened noon today", 24),
        ("packed noon yesterday opened midnight", 12),
        ("packed 12am, opened 12pm", 12),
        ("packed 12 pm yesterday opened 12 am", 12),
        ("packed 2200 opened 0600", 8),
        ("packed 20:00, opened the next day 08:00", 12),
        ("packed 8am, opened 8pm the next day", 36),
        ("packed 8 am opened 8 am", 24),
        ("packed at noon, opened 8am the next day", 20), ("packed noon, opened 2pm next day", 26),
        # half and quarter hours, minutes to and past
        ("tied half past 8 last night, opened half past 10 this morning", 14),
        ("packed quarter to 9 last night opened quarter past 9 this morning", 12.5),
        ("packed 20 past 8 last night, opened 20 to 9 this morning", 12.33),
        ("packed 10 to 12 last night, opened 10 past 12 today", 12.33),
        ("packed quarter to 1 this morning, opened quarter to 1 this afternoon", 12),
        # parts of the day
        ("bagged 11 last night, opened 7 this morning", 8),
        ("packed 5 in the afternoon, opened 9 in the morning", 16),
        ("packed 2 at night, opened 2 in the afternoon", 12),
        ("packed 9 in the evening, opened 5 in the morning", 8),
        ("packed 5 in the evening yesterday, opened 5 in the morning", 12),
        ("packed 10 oclock last night, opened 6 oclock this morning", 8),
        ("packed 12 at noon, opened 8 in the evening", 8),
        # one time: until now
        ("packed yesterday 14:00", 25),
        ("since 6 this morning", 9),
        ("packed 7am", 8),
        ("packed 16:00", 23),  # later than now: it was yesterday
        ("packed mon 15:00", 48),
        ("packed sunday 15:00", 72),
        ("packed thursday 15:00", 144),
        ("packed day before yesterday 15:00", 48),
        ("tied last night at 11", 16),
        ("packed last night at 2", 13),  # two at night is this morning
        ("packed noon", 3),
        # one zone for both is none; two are asked (below)
        ("tied 7am EST, opened 5pm EST", 10), ("packed 5pm got them 9am", 16),
        ("from 22h to 14h", 16), ("mon 10am to wed 10am", 48),
        ("packed mon 10am, opened mon 6pm", 8),
        # dates, day or month first
        ("packed 24/11 16:00, opened 25/11 1400", 22),
        ("packed 11/24 16:00, opened 11/25 14:00", 22),
        ("packed 30/11 20:00 opened 01/12 08:00", 12),
        ("packed 28.02 22:00, opened 01.03 22:00", 24),  # of this year, which has no 29th
        ("packed 2026-11-24 16:00, opened 2026-11-25 14:00", 22),
        ("packed 2026-11-24 16:00", 23),
        # told at three in the afternoon: what lies ahead was yesterday, and the time before it
        ("packed noon, opened 8 pm", 8),
        ("packed 10 am, opened 11 pm", 13),
        ("packed 13:00, landed 15:30, opened 17:00", 4),
        # a part of the day tells which half it is
        ("packed 5:30 in the evening, opened 9:30 in the morning", 16),
        ("packed 8:30 last night opened 8:30 this morning", 12),
        ("packed 12:30 at night, opened 12:30 in the afternoon", 12),
        ("packed 12:30 in the morning, opened 9:30 in the morning", 9),
        ("packed at 8 yesterday evening, landed at 6 this morning, opened at 10", 14),
        ("packed 8pm, opened 9", 13),
        ("packed 15:00 day before yesterday", 48),
    ],
)  # fmt: skip
def test_from_when_to_when(text: str, hours: float) -> None:
    assert sealed(text) == pytest.approx(hours, abs=0.01)


@pytest.mark.parametrize(
    "text, hours",
    [
        ("30", 30), ("30 h", 30), ("30 hours", 30), ("about 30 hrs", 30), ("26-30 h", 28),
        ("26 to 30 hours", 28), ("between 20 and 24 hours", 22), ("a day", 24), ("2 days", 48),
        ("one and a half days", 36), ("a day and a half", 36), ("2 and a half days", 60),
        ("1 day 6 hrs", 30), ("1 day and 6 hours", 30), ("36h plus 3 in customs", 39),
        ("20 + 6", 26), ("20h + 6h", 26), ("24 hours flight then 6 hours drive", 30),
        ("3 hours drive each end plus 20 hours flight", 26), ("26.5 h", 26.5),
        ("30,25 hours", 30.25),
        ("1.25 h", 1.25), ("26 - 30 h", 28),
        ("20 h flight, 3 h drive each side", 26), ("30 hours total, 20 of it flight", 30),
        ("20 h flight, 30 h in all", 30), ("90 min", 1.5), ("half an hour", 0.5),
        ("three quarters of an hour", 0.75), ("an hour and a quarter", 1.25),
        ("one week", 168), ("5", None), ("3", None), ("4-5", None), ("over 30", None),
        ("more than 30 hours", None), ("less than a day", None), ("30?", None),
        ("2 day shipping", None), ("ages", None), ("overnight", None), ("30 gallons", None),
        ("packed 30 hours ago, fasted 48 hours", 30), ("24 h, opened 2 h ago", 24),
        ("30 in all", 30), ("about 30 door to door", 30), ("30 max", 30), ("30 ish", 30),
        ("500 hours", None), ("400 hours", 400), ("24h flight plus 2 drive", 26),
        ("36h plus 3 each end", 42),
        ("opened 2 h ago, shut 30 h", 30), ("48 h fasted, 30 h sealed", 30),
        ("packed earlier", None),
        ("tied 7am GMT, opened 5pm CET", None), ("tied 7am tokyo time, opened 5pm", None),
        ("20 h, 30 h", None), ("20 h and 20 h", 20), ("6", 6), ("120", 120), ("under 30", None),
        ("just over 30 hours", 30), ("from 8 to 10 days", 216), ("40 h door to door", 40),
        ("12 h, no 14 h", 14), ("20 hours. no wait, 30 hours", 30),
    ],
)  # fmt: skip
def test_how_long(text: str, hours: float | None) -> None:
    found = sealed(text)
    assert found == (None if hours is None else pytest.approx(hours, abs=0.01))


@pytest.mark.parametrize(
    "text, hours",
    [
        ("now", 0), ("just now", 0), ("20 min ago", 0.333), ("2 h ago", 2), ("an hour ago", 1),
        ("half an hour ago", 0.5), ("3 pm yesterday", 24), ("yesterday 15:00", 24),
        ("monday 10am", 53), ("at 14:00", 1), ("at 16:00", 23), ("2026-11-24 15:00", 24),
        ("2026-11-25 13:30", 1.5), ("since 9 oclock", 6), ("this morning at 9", 6),
        ("two days ago", 48), ("a week ago", 168), ("last night at 11 pm", 16),
        ("tomorrow", None), ("ages ago", None), ("-2 h", None), ("a while ago", None),
        ("over 2 hours ago", None), ("more than a day ago", None), ("1 day 6 hours ago", 30),
        ("1 h 20 min ago", 1.333), ("an hour and a half ago", 1.5), ("wed 9am", 6),
        ("packed 5pm yesterday, opened 1pm", 2), ("1:30", 1.5), ("7:30", None), ("5", None),
        ("packed 5pm, landed 9am", None), ("day 2", None), ("20 min, 2 hours", None),
        ("opened 1pm, now its 3pm", 2), ("wed 4pm", 167), ("3pm the day before yesterday", 48),
        ("6 - 8 hours ago", 7),
        ("2026-11-26 15:00", None), ("2026-13-45 15:00", None), ("1.25 h ago", 1.25),
        ("just over an hour ago", 1),
    ],
)  # fmt: skip
def test_since_when_they_are_out(text: str, hours: float | None) -> None:
    heard = hear("arrived", text)
    assert heard.get("at_hours") == (None if hours is None else pytest.approx(hours, abs=0.001))
    assert (hours is None) == ("ask_back" in heard)


# -- drawn: any day, over midnight, months and years --------------------------------------

#: To the minute, from 2024 on: leap days, ends of months and of years are among them.
MOMENTS = st.datetimes(datetime(2024, 1, 8), datetime(2030, 1, 1)).map(
    lambda at: at.replace(second=0, microsecond=0)
)


def clock_24(at: datetime) -> str:
    return f"{at:%H:%M}"


def clock_12(at: datetime) -> str:
    return f"{at:%I:%M %p}".lstrip("0").lower()


@given(
    now=MOMENTS, back=st.integers(60, 6 * 1440), share=st.floats(0, 0.97),
    clock=st.sampled_from([clock_24, clock_12]), short=st.booleans(),
)  # fmt: skip
@settings(max_examples=150)
def test_days_of_the_week_agree_with_the_calendar(
    now: datetime, back: int, share: float, clock: Any, short: bool
) -> None:
    """ "packed mon 17:20, opened tue 9:05": the last such moments before now."""
    packed = now - timedelta(minutes=back)
    opened = packed + timedelta(minutes=max(30, int(back * (1 - share))))
    days = [DAYS[at.weekday()][: 3 if short else None] for at in (packed, opened)]
    text = f"packed {days[0]} {clock(packed)}, opened {days[1]} {clock(opened)}"
    assert sealed(text, now) == pytest.approx((opened - packed).total_seconds() / 3600, abs=0.01)


@given(now=MOMENTS, minutes=st.integers(5, 1439), clock=st.sampled_from([clock_24, clock_12]))
@settings(max_examples=100)
def test_a_time_without_a_day_is_the_last_one(now: datetime, minutes: int, clock: Any) -> None:
    at = now - timedelta(minutes=minutes)
    heard = advisor.hear("arrived", f"at {clock(at)}", now=now)
    assert heard["at_hours"] == pytest.approx(minutes / 60, abs=0.001)
    assert sealed(f"packed at {clock(at)}", now) == pytest.approx(minutes / 60, abs=0.01)


@given(
    now=MOMENTS, minutes=st.integers(0, 1439), days=st.sampled_from([1, 2]),
    clock=st.sampled_from([clock_24, clock_12]), first=st.booleans(),
)  # fmt: skip
@settings(max_examples=100)
def test_yesterday_and_the_day_before(
    now: datetime, minutes: int, days: int, clock: Any, first: bool
) -> None:
    at = now.replace(hour=0, minute=0) - timedelta(days=days) + timedelta(minutes=minutes)
    day = {1: "yesterday", 2: "day before yesterday"}[days]
    text = f"packed {day} {clock(at)}" if first else f"packed {clock(at)} {day}"
    assert sealed(text, now) == pytest.approx((now - at).total_seconds() / 3600, abs=0.01)


@given(
    now=MOMENTS, minutes=st.integers(6 * 60, 40 * 60), order=st.sampled_from(["%d/%m", "%d.%m"]),
    back=st.integers(0, 2000),
)  # fmt: skip
@settings(max_examples=100)
def test_dates_agree_with_the_calendar(now: datetime, minutes: int, order: str, back: int) -> None:
    """Over the end of a month and of a year, or the line is asked about: never another number."""
    opened = now - timedelta(minutes=back)
    packed = opened - timedelta(minutes=minutes)
    text = f"packed {packed:{order} %H:%M}, opened {opened:{order} %H:%M}"
    found = sealed(text, now)
    assert found is None or found == pytest.approx(minutes / 60, abs=0.01), text


@given(
    days=st.integers(0, 3), hours=st.integers(0, 23), minutes=st.integers(0, 59),
    units=st.sampled_from([("d", "h", "min"), (" days", " hours", " mins"), (" day", " hrs",
    " min")]),
    joined=st.sampled_from([" ", ", ", " and "]),
)  # fmt: skip
@settings(max_examples=100)
def test_lengths_add_up(
    days: int, hours: int, minutes: int, units: tuple[str, str, str], joined: str
) -> None:
    told = [f"{n}{unit}" for n, unit in zip((days, hours, minutes), units, strict=True) if n]
    whole = timedelta(days=days, hours=hours, minutes=minutes).total_seconds() / 3600
    if told and whole > 0.1:
        assert sealed(joined.join(told)) == pytest.approx(whole, abs=0.006)


@given(
    number=st.integers(501, 9900).map(lambda n: f"{n / 100:.2f}"),
    unit=st.sampled_from(["h", " h", " hours", "hrs"]),
)
@settings(max_examples=60)
def test_hours_with_decimals_are_no_time_of_the_clock(number: str, unit: str) -> None:
    assert sealed(f"{number}{unit}") == pytest.approx(float(number), abs=0.006)


@given(low=st.integers(6, 60), more=st.integers(1, 40), word=st.sampled_from(["-", " to ", " - "]))
@settings(max_examples=40)
def test_a_range_is_its_middle(low: int, more: int, word: str) -> None:
    assert sealed(f"{low}{word}{low + more} h") == pytest.approx(low + more / 2)
