"""What is told of time, and what is not known of it: no hour is dropped, no unknown is a day.

As a foreman met it: "opened 1 h ago, still in bag" lost its hour or moved receipt; "u" to how long
ago was "day of arrival" although the signs came after the first day; "0.024 h" among the answers.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest

import advisor
from advisor.advice.facts.sheet import place_of
from advisor.advice.reasoner import Reasoner
from advisor.case import Case
from advisor.wording.times import iso_moment
from tests.ask.conftest import Begin, Play
from tests.ask.test_recheck import sitting
from tests.clock import NOON
from tests.said import joined


@pytest.mark.parametrize(
    ("line", "hours"),
    [
        ("in the bag, opened 1h ago", 1.0),
        ("in the bag open 1h ago, airstone runing in the bag", 1.0),
        ("still in the bags, cut open 20 min ago", 1 / 3),
        ("in open bag since 10 min, gasping", 1 / 6),
    ],
)
def test_since_when_the_bag_is_open(line: str, hours: float) -> None:
    heard = advisor.hear("where_are_they", line, now=NOON)
    assert heard["place"] == "open_bag"
    assert heard["bag_open_hours"] == pytest.approx(hours, abs=1e-3)
    assert "at_hours" not in heard and "hours_sealed" not in heard


@pytest.mark.parametrize("line", ["in the bag, opened, 30 h", "opened bag just now", "bags shut"])
def test_an_hour_of_something_else_is_not_the_opening(line: str) -> None:
    assert "bag_open_hours" not in advisor.hear("where_are_they", line, now=NOON)


def _opened_at(case: Case) -> datetime:
    (lot,) = case.lot
    assert lot.opened_at_hours is not None and case.delivery.received is not None
    received = iso_moment(case.delivery.received).replace(tzinfo=None)
    return received + timedelta(hours=lot.opened_at_hours)


def test_the_hour_is_kept_with_the_lot(play: Play, reasoner: Reasoner) -> None:
    """Opened at 11, told at noon: the look is one hour after it, and they are in the bag."""
    played = play(["in the bag, opened 1h ago, gasping", "12 neons", "0", "s"])
    assert "Bag open for 1 h." in joined(played.screen)
    assert _opened_at(played.case) == NOON - timedelta(hours=1)
    (look,) = played.case.observation
    assert look.at_hours == 1.0 and look.seen == ("gasping_at_surface",)
    assert place_of(played.case, played.case.lot[0], reasoner.base).place == "open_bag"


@pytest.mark.parametrize("first", ["2", "in the bag, opened 1h ago"])
def test_fish_in_a_bag_are_not_asked_since_when_they_are_out(first: str, play: Play) -> None:
    screen = joined(play([first, "1", "12 neons", "0", *[""] * 30]).screen)
    assert "When did it begin" in screen
    assert "How long ago did they come out of the bag?" not in screen


def test_still_in_the_bag_at_how_long_ago_is_where_they_are(begin: Begin) -> None:
    bench = begin(["opened 1 h ago, still in bag"])
    bench.put("arrived")
    assert _opened_at(bench.case) == NOON - timedelta(hours=1)
    assert bench.case.lot[0].sealed == "no" and bench.case.lot[0].released_at_hours is None
    assert bench.case.session.unknown == ("arrived",)


def test_how_long_ago_does_not_move_the_hour_of_an_opened_bag(play: Play) -> None:
    """Corys in a bag opened an hour ago, neons twenty minutes in the tank: both are kept so."""
    lines = ["9", "u", "12 neons, 6 corys", "3", "corys in open bag since 1 h", "1", "0", "u"]
    played = play([*lines, "20 min", "s"])
    neons, corys = played.case.lot
    hour = max(look.at_hours for look in played.case.observation)
    assert corys.opened_at_hours is not None
    assert hour - corys.opened_at_hours == pytest.approx(1.0, abs=0.01)
    if "arrived" in played.case.session.answered:
        assert neons.released_at_hours is not None
        assert hour - neons.released_at_hours == pytest.approx(1 / 3, abs=0.01)


def test_not_known_how_long_ago_is_no_day_of_arrival(
    play: Play, reasoner: Reasoner, tmp_path: Path
) -> None:
    lines = ["3", "2", "12 neons", "0", "0"]
    for told, day in (("5", "day not known, not the first"), ("0", "day not known")):
        played = play([*lines, "u", told, "p", "s"])
        assert "arrived" in played.case.session.unknown, played.screen
        plan = joined(played.screen).split("> p ")[1]
        assert f"neons, {day}, " in plan and "day of arrival" not in plan
    later = sitting("look", played.case, ["s"], reasoner, tmp_path, 30.0)
    assert "Received" not in joined(later.screen)
    known = joined(play([*lines, "20 min", "0", "p", "s"]).screen).split("> p ")[1]
    assert "day of arrival" in known


def test_a_list_of_answers_writes_times_as_times(play: Play) -> None:
    screen = joined(play(["3", "2", "12 neons", "0", "0", "20 min", "a", "s"]).screen)
    assert "How long ago did they come out of the bag? 20 min" in screen.split("> a ")[1]
