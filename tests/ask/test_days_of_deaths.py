"""Closing a delivery weeks later: days of deaths, a scrape told with its vet, steps undone.

As a foreman met it: eleven deaths over three weeks went in as dead by 48 hours.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.advice.reasoner import Reasoner
from advisor.ask.answers.choosing import NotUnderstood
from advisor.ask.days_of_deaths import deaths_by_day
from advisor.case import Case, loads_case
from tests.ask.conftest import Played
from tests.ask.test_recheck import case_of, look, sitting
from tests.said import joined

WEEKS_H = 21 * 24.0


@pytest.mark.parametrize(
    ("line", "days"),
    [
        ("2 on day 3, 4 on day 10, 5 on day 20", [(3, 2), (10, 4), (20, 5)]),
        ("day 3: 2, day 10: 4, rest day 20", [(3, 2), (10, 4), (20, 5)]),
        ("two died on day 3 and the others by day 10", [(3, 2), (10, 9)]),
        ("3 after 2 days, 8 after 9 days", [(2, 3), (9, 8)]),
        ("week 1: 3, week 2: 8", [(7, 3), (14, 8)]),
        ("3 days", [(3, 11)]),
        ("day 10", [(10, 11)]),
        ("5 on day 10, 2 on day 3", [(3, 2), (10, 5)]),
    ],
)
def test_days_as_a_line_tells_them(line: str, days: list[tuple[int, int]]) -> None:
    assert deaths_by_day(line, 11, WEEKS_H) == [(day * 24.0, heads) for day, heads in days]


@pytest.mark.parametrize("line", ["20 on day 3", "2 on day 30", "some early", "2", "day x: 3"])
def test_what_tells_no_day_is_asked_again(line: str) -> None:
    with pytest.raises(Exception) as fault:
        deaths_by_day(line, 11, WEEKS_H)
    assert isinstance(fault.value, NotUnderstood)


def _closed(case: Case, lines: list[str], reasoner: Reasoner, folder: Path, hours: float) -> Played:
    return sitting("close", case, lines, reasoner, folder, hours)


def _deaths(case: Case) -> list[tuple[float, int]]:
    return [(death.at_hours / 24, death.dead) for death in case.outcome.deaths]


def test_each_day_stands_in_the_file(reasoner: Reasoner, tmp_path: Path) -> None:
    lines = ["11", "2 on day 3, 4 on day 10, 5 on day 20", "0"]
    played = _closed(case_of(look(0.1)), lines, reasoner, tmp_path, WEEKS_H)
    assert _deaths(played.case) == [(3, 2), (10, 6), (20, 11)], "dead in all by then"
    assert "Alive now: 29." in joined(played.screen)


def test_only_those_that_no_look_counted_are_asked_about(
    reasoner: Reasoner, tmp_path: Path
) -> None:
    counted = case_of(look(0.1), look(120, more="counts={dead=3}"))
    played = _closed(counted, ["5", "day 10", "0"], reasoner, tmp_path, WEEKS_H)
    assert "when did 2 more than the looks counted die?" in joined(played.screen)
    assert _deaths(played.case) == [(10, 5)]
    same = _closed(counted, ["", "0"], reasoner, tmp_path, WEEKS_H)
    assert "when did" not in joined(same.screen) and _deaths(same.case) == [(21, 3)]


def test_what_a_look_counted_otherwise_is_said_at_once(reasoner: Reasoner, tmp_path: Path) -> None:
    counted = case_of(look(0.1), look(120, more="counts={dead=3}"))
    played = _closed(counted, ["5", "day 2", "0"], reasoner, tmp_path, WEEKS_H)
    assert "A look counted 3 dead 5 days after they came and this is 5" in joined(played.screen)
    assert _deaths(played.case) == [(2, 2), (5, 5)]


def test_days_that_are_not_known_are_now(reasoner: Reasoner, tmp_path: Path) -> None:
    played = _closed(case_of(look(0.1)), ["11", "", "0"], reasoner, tmp_path, WEEKS_H)
    assert _deaths(played.case) == [(21, 11)]


TWO_ILL = """
[delivery]
received = "2026-03-02T12:00:00"
[[lot]]
id = "guppies"
species = "guppy"
count = 40
released_at_hours = 0
[[lot]]
id = "neons"
species = "neon tetra"
count = 60
released_at_hours = 0
[[observation]]
at_hours = 0.1
lot = "guppies"
not_seen = ["gasping_at_surface"]
"""


@pytest.mark.parametrize(
    ("lines", "scraped"),
    [
        (["white spot, vet scraped guppies"], {"guppies"}),
        (["white spot, vet scraped", "2"], {"neons"}),
        (["white spot, vet scraped", ""], set()),
        (["white spot, not scraped, vet looked"], set()),
    ],
)
def test_a_scrape_told_at_closing_is_done(
    lines: list[str], scraped: set[str], reasoner: Reasoner, tmp_path: Path
) -> None:
    """And who proved it is in the line: neither is asked."""
    case = loads_case(TWO_ILL)
    played = _closed(case, ["0", "0", *lines], reasoner, tmp_path, WEEKS_H)
    found = {lot.id for lot in played.case.lot if lot.history.get("scrape_done")}
    assert found == scraped
    for lot in played.case.lot:
        assert lot.history.get("scrape_parasite") in (None, "white_spot")
    assert played.case.outcome.confirmed_by == "vet"
    assert "By whom?" not in joined(played.screen)
    assert "DO NOW" not in joined(played.screen), "a closed case calls for nothing"


def test_a_step_ticked_weeks_ago_is_not_done_now(reasoner: Reasoner, tmp_path: Path) -> None:
    aired = look(0.2, more='done=["air_tank"]')
    failing = look(500, '["gasping_at_surface"]', more="counts={dead=9, down=9}")
    played = _closed(case_of(look(0.1), aired, failing), [""], reasoner, tmp_path, WEEKS_H)
    assert "Not done yet: Air the tank hard" in joined(played.screen)
    assert not played.case.outcome.closed
