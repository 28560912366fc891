"""When it is told since when the fish are out, every time of the file stays the time it was.

As a foreman met it: a step ticked at 07:12 stood at 06:52 once "20 min" was told. What is kept in
hours after receipt moves with receipt, all of it; a clock on the wall does not.
"""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from advisor.ask.answers.looks import arrived_ago
from advisor.ask.answers.parts import Place
from advisor.case import Case, loads_case
from advisor.wording.times import iso_moment
from tests.ask.conftest import Play
from tests.ask.test_ticks import ONE_GASPS
from tests.clock import NOON, Clock

CAME = '[delivery]\nreceived = "2026-03-02T12:00:00"\n'
FULL = (
    CAME
    + """
[receiving]
added = [{ substance = "salt", at_hours = 0.1 }]
[claim]
reported_at_hours = 0.4
[[lot]]
id = "a"
species = "guppy"
sealed = "no"
released_at_hours = 0
[[observation]]
seen = ["gasping_at_surface"]
[[observation]]
at_hours = 0.2
done = ["air_tank"]
[[step]]
at_hours = 0.25
what = "box opened"
[[sample]]
at_hours = 0.3
what = "bag water"
[outcome]
deaths = [{ at_hours = 0.35, dead = 1 }]
"""
)


def _at(case: Case, hours: float | None) -> datetime:
    assert hours is not None and case.delivery.received is not None
    return iso_moment(case.delivery.received).replace(tzinfo=None) + timedelta(hours=hours)


def _moments(case: Case) -> list[datetime]:
    hours = [
        *(look.at_hours for look in case.observation),
        *(each.at_hours for part in (case.step, case.sample) for each in part),
        *(each.at_hours for part in (case.receiving.added, case.outcome.deaths) for each in part),
        case.claim.reported_at_hours,
    ]
    return [_at(case, each) for each in hours]


def test_all_that_is_kept_after_receipt_moves_with_it() -> None:
    case = loads_case(FULL)
    moved = arrived_ago(case, 0.5, Place("a", 0.0))
    assert _at(moved, 0.0) == NOON - timedelta(minutes=30)
    assert _moments(moved) == pytest.approx(_moments(case), abs=timedelta(seconds=1))


def _done_at(case: Case) -> set[datetime]:
    moments = {_at(case, look.at_hours) for look in case.observation if look.done}
    return {(each + timedelta(seconds=30)).replace(second=0, microsecond=0) for each in moments}


LATER = NOON + timedelta(minutes=12)


@pytest.mark.parametrize(
    "lines",
    [
        ["d", "20 min"],
        ["20 min", "d"],
        ["20 min", "d", "b"],
        ["d", "20 min", "b", "30 min"],
        ["20 min", "d", "b", "3 h"],
    ],
)
def test_a_tick_keeps_its_time_of_day(lines: list[str], play: Play) -> None:
    """Before or after the answer, and when that is taken back and given anew."""
    clock = Clock(LATER)
    played = play([*lines, "s"], loads_case(CAME + ONE_GASPS), clock)
    assert _done_at(played.case) == {LATER}, played.screen


def test_a_tick_taken_back_is_gone_from_earlier_states_too(play: Play) -> None:
    """The answer that moved receipt is taken back after it."""
    clock = Clock(LATER)
    played = play(["20 min", "d", "d b", "b", "s"], loads_case(CAME + ONE_GASPS), clock)
    assert _done_at(played.case) == set()


def test_fish_seen_before_they_came_out_move_no_receipt(play: Play) -> None:
    """Seen in the bag at noon, out since twelve minutes at half past: they came at noon."""
    case = loads_case(FULL)
    told = arrived_ago(case, 0.2, Place("a", 0.5))
    assert told.delivery.received == case.delivery.received
    assert _moments(told) == _moments(case)
    assert _at(told, told.lot[0].released_at_hours) == NOON + timedelta(minutes=18)
