"""Closing: a death is counted at the hour it is told of, and what is still open is said first."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.advice.reasoner import Reasoner
from advisor.case import loads_case
from advisor.papers.history import effects_of, events_of
from tests.ask.test_recheck import case_of, look, sitting
from tests.said import joined

DAY_21 = 21 * 24.0
TWO_LOTS = """
[delivery]
received = "2026-03-02T12:00:00"
[[lot]]
id = "angels"
species = "angelfish"
count = 6
released_at_hours = 0
[[lot]]
id = "cardinals"
species = "cardinal tetra"
count = 30
released_at_hours = 0
[[observation]]
at_hours = 1
lot = "angels"
done = ["air_tank", "put a lid on it"]
[[observation]]
at_hours = 2
lot = "cardinals"
counts = { down = 3, dead = 2 }
"""


def test_a_death_told_minutes_after_receipt_is_counted_now(
    reasoner: Reasoner, tmp_path: Path
) -> None:
    played = sitting("close", case_of(look(0)), ["5", ""], reasoner, tmp_path, 0.07)
    assert "how many have died in all by now?" in joined(played.screen)
    assert "48 hours" not in joined(played.screen) and "Alive now: 35." in joined(played.screen)
    outcome = played.case.outcome
    assert [(each.at_hours, each.dead) for each in outcome.deaths] == [(0.07, 5)]
    assert outcome.closed and outcome.survivors_48h is None


@pytest.mark.parametrize(
    "line, hours", [("", DAY_21), ("u", DAY_21), ("5 days", 120.0), ("40 days", None)]
)
def test_after_three_weeks_all_dead_are_asked_and_by_when(
    line: str, hours: float | None, reasoner: Reasoner, tmp_path: Path
) -> None:
    case = case_of(look(0), look(100, more="counts={dead=9}"))
    lines = ["11 in all", line, *(["6 days"] if hours is None else []), ""]
    played = sitting("close", case, lines, reasoner, tmp_path, DAY_21)
    assert "Counted so far: 9; Enter takes that, u if it is not known." in joined(played.screen)
    (death,) = played.case.outcome.deaths
    assert (death.at_hours, death.dead) == (hours or 144.0, 11)
    assert played.case.outcome.survivors_48h is None


def test_enter_takes_the_count_and_u_leaves_it_unknown(reasoner: Reasoner, tmp_path: Path) -> None:
    case = case_of(look(0, more="counts={dead=3}"))
    taken = sitting("close", case, ["", ""], reasoner, tmp_path, 50.0)
    assert [each.dead for each in taken.case.outcome.deaths] == [3]
    left = sitting("close", case, ["u", ""], reasoner, tmp_path, 50.0)
    assert left.case.outcome.closed and left.case.outcome.deaths == ()
    assert left.case.outcome.survivors_48h is None
    assert "Enter where it is not known" not in joined(taken.screen)


def test_fewer_than_a_look_counted_is_said_at_closing(reasoner: Reasoner, tmp_path: Path) -> None:
    case = case_of(look(0), look(100, more="counts={dead=9}"))
    played = sitting("close", case, ["7 in all", "", ""], reasoner, tmp_path, DAY_21)
    assert "A look counted 9 dead by then and this is 7" in joined(played.screen)


def test_shut_bags_are_named_and_closing_is_asked_once(reasoner: Reasoner, tmp_path: Path) -> None:
    text = TWO_LOTS.split("[[observation]]")[0].replace("released_at_hours = 0", 'sealed = "yes"')
    for answer, closed in (("", False), ("y", True)):
        played = sitting("close", loads_case(text), [answer, "0", "0", ""], reasoner, tmp_path, 1.0)
        assert "The bag is told shut (angels, cardinals)." in joined(played.screen)
        assert joined(played.screen).count("Close the case all the same?") == 1
        assert played.case.outcome.closed is closed
        assert ("The case stays open." in joined(played.screen)) is not closed


def test_a_step_that_cannot_wait_is_named_before_closing(
    reasoner: Reasoner, tmp_path: Path
) -> None:
    case = case_of(look(0, '["gasping_at_surface", "lying_on_side"]'))
    played = sitting("close", case, [""], reasoner, tmp_path, 1.0)
    assert "Not done yet: " in joined(played.screen) and not played.case.outcome.closed
    calm = case_of(look(0, absent='["gasping_at_surface", "lying_on_side"]'))
    played = sitting("close", calm, ["0", ""], reasoner, tmp_path, 1.0)
    assert "all the same" not in joined(played.screen) and played.case.outcome.closed


@pytest.mark.parametrize(
    "line, by, scrape",
    [
        ("white spot, vet scraped", "vet", "parasite_found"),
        ("white spot, lab", "lab", None),
        ("white spot, vet, not scraped", "vet", None),
    ],
)
def test_who_proved_it_and_how_is_taken_from_the_same_line(
    line: str, by: str, scrape: str | None, reasoner: Reasoner, tmp_path: Path
) -> None:
    calm = case_of(look(0, absent='["gasping_at_surface", "lying_on_side"]'))
    played = sitting("close", calm, ["0", line], reasoner, tmp_path, 50.0)
    assert "By whom?" not in joined(played.screen)
    assert played.case.outcome.confirmed_causes == ("white_spot",)
    assert played.case.outcome.confirmed_by == by
    assert played.case.lot[0].history.get("scrape_done") == scrape


def test_papers_name_a_step_by_words_and_its_next_look_is_of_its_lot(reasoner: Reasoner) -> None:
    case = loads_case(TWO_LOTS)
    done = [each.text for each in events_of(case, reasoner.base) if each.kind == "done"]
    assert "air_tank" not in done and done[0].startswith("Air the tank")
    assert done[1] == "put a lid on it"
    assert all("2 dead" not in each.after for each in effects_of(case, reasoner.base))
    own = TWO_LOTS.replace('lot = "cardinals"\ncounts', 'lot = "angels"\ncounts')
    assert all("3 down, 2 dead" in e.after for e in effects_of(loads_case(own), reasoner.base))
