"""Dead told at a later look: put to those on file, or asked; what a line of counts says besides.

Expected heads are sums done by hand from nine dead and two down on file of forty.
"""

from __future__ import annotations

from pathlib import Path

import pytest

import advisor
from advisor.advice.assess import reason
from advisor.advice.reasoner import Reasoner
from advisor.case import Case, loads_case
from advisor.papers.history import events_of
from tests.ask.test_recheck import HEAD, case_of, look, sitting
from tests.ask.utterances import NOW
from tests.said import joined

NINE = "counts={dead=9, down=2}"


def hear(text: str, case: Case | None = None) -> dict[str, object]:
    return advisor.hear("counts", text, case or case_of(look(1, more=NINE)), now=NOW)


@pytest.mark.parametrize(
    "line, dead",
    [
        ("3 more dead", 12), ("another 3 dead since", 12), ("lost 2 more", 11),
        ("3 dead since last time", 12), ("2 more died overnight", 11), ("a further 4 died", 13),
        ("one more gone, rest fine", 10), ("1 more doa found", 10), ("five more losses", 14),
        ("still dying, 3 more dead", 12), ("no more dead", 9), ("no new deaths", 9),
        ("none since", 9), ("same as before", 9), ("9 dead, none since", 9),
        ("9 dead, 2 more since", 11), ("12 dead now", 12), ("12 dead in all", 12),
        ("total 14 dead", 14), ("10 dead altogether, 3 of them today", 10),
        ("dead: 11 (2 more)", 11), ("12 dead since they came", 12),
    ],
)  # fmt: skip
def test_more_is_added_and_a_total_stands(line: str, dead: int) -> None:
    heard = hear(line)
    assert heard["counts"]["dead"] == dead  # type: ignore[index]
    assert "ask_back" not in heard and "dead_on_arrival" not in heard


@pytest.mark.parametrize("line", ["3 dead", "0 dead", "0", "14 died overnight", "3 dead in all"])
def test_fewer_or_of_one_night_is_asked(line: str) -> None:
    heard = hear(line)
    assert "dead" not in heard.get("counts", {})  # type: ignore[operator]
    assert str(heard["ask_back"]).startswith("['9 dead were on file: ")


def test_more_than_came_is_asked() -> None:
    assert "more than the 40" in str(hear("35 more dead")["ask_back"])


def test_with_nothing_on_file_a_number_is_all() -> None:
    assert hear("3 more dead", case_of(look(1)))["counts"] == {"dead": 3}


@pytest.mark.parametrize(
    "answer, dead", [("1", 12), ("3 more", 12), ("2", 3), ("in all", 3), ("", None)]
)
def test_what_is_asked_is_settled_in_the_session(
    answer: str, dead: int | None, reasoner: Reasoner, tmp_path: Path
) -> None:
    case = case_of(look(1, more=NINE))
    played = sitting("look", case, ["3 dead, flashing", answer], reasoner, tmp_path, 3.0)
    screen = joined(played.screen)
    assert "9 dead were on file: 3 more, or 3 in all?" in screen
    later = [each for each in played.case.observation if each.at_hours == 3.0]
    assert later and later[-1].counts.dead == dead
    assert "flashing_rubbing" in later[-1].seen


def test_a_number_told_beside_another_answer_is_asked_too(
    reasoner: Reasoner, tmp_path: Path
) -> None:
    head = HEAD.split('sealed = "no"')[0] + 'sealed = "yes"\n'
    case = loads_case(head + look(1, more=NINE))
    lines = ["netted in the tank, 3 dead", "1"]
    played = sitting("look", case, lines, reasoner, tmp_path, 3.0)
    assert "3 more, or 3 in all?" in joined(played.screen)
    assert played.case.observation[-1].counts.dead == 12


def test_what_this_look_told_already_is_not_added_twice(reasoner: Reasoner, tmp_path: Path) -> None:
    head = HEAD.split('sealed = "no"')[0] + 'sealed = "yes"\n'
    case = loads_case(head + look(1, more=NINE))
    lines = ["netted in the tank, 3 more dead", "3 more dead"]
    played = sitting("look", case, lines, reasoner, tmp_path, 3.0)
    assert played.case.observation[-1].counts.dead == 12


def test_a_count_left_out_stands_as_the_look_before_told_it(reasoner: Reasoner) -> None:
    """Unknown is not no (DEVELOPERS.md): twenty of forty down at one look, only the dead next."""
    first = look(1, more="counts={dead=2, down=20}")

    def share(case: Case, name: str) -> tuple[float, float]:
        fact = reason(case, case.lot[0], reasoner).sheet.quantity(name)
        assert fact is not None
        return fact.low, fact.high

    assert share(case_of(first, look(2, more="counts={dead=2}")), "down_fraction") == (0.5, 0.5)
    # four more dead may be four of those down: 16 to 20 of 40
    risen = case_of(first, look(2, more="counts={dead=6}"))
    assert share(risen, "down_fraction") == (0.4, 0.5)
    assert share(risen, "lost_fraction") == (22 / 40, 26 / 40)
    assert share(case_of(first, look(2, more="counts={down=3}")), "dead_fraction") == (0.05, 0.05)


def test_closing_adds_more_and_asks_of_fewer(reasoner: Reasoner, tmp_path: Path) -> None:
    case = case_of(look(1, more=NINE))
    for lines, dead in ((["3 more"], 12), (["3", "3 more"], 12), (["3", "3 in all"], 3),
                        (["none since"], 9), (["0", "9"], 9)):  # fmt: skip
        played = sitting("close", case, [*lines, ""], reasoner, tmp_path, 50.0)
        assert [each.dead for each in played.case.outcome.deaths] == [dead]


def test_a_total_that_falls_is_said_in_the_papers(reasoner: Reasoner) -> None:
    case = case_of(look(1, more="counts={dead=14}"), look(2, more=NINE))
    texts = [event.text for event in events_of(case, reasoner.base)]
    assert any("fewer than the 14 dead written down before" in text for text in texts)
    rising = case_of(look(1, more=NINE), look(2, more="counts={dead=14}"))
    assert not any("fewer" in event.text for event in events_of(rising, reasoner.base))


@pytest.mark.parametrize(
    "line",
    ["dying 3 a day", "losing 2 a day", "3 a day are dying", "one dead every day", "2 die each day",
     "about 5 dying per day", "dying one by one", "4 dead a day for a week", "lose a couple daily",
     "3 per day dead", "2/day dying"],
)  # fmt: skip
def test_a_rate_is_no_head_count(line: str) -> None:
    for question in ("counts", "where_are_they"):
        heard = advisor.hear(question, line, now=NOW)
        assert "counts" not in heard
        assert heard["signs_seen"] == ["delayed_deaths"]
    assert "is a rate: how many are dead in all" in str(advisor.hear("counts", line)["ask_back"])
    assert advisor.hear("counts", f"7 dead in all, {line}")["counts"] == {"dead": 7}


@pytest.mark.parametrize(
    ("line", "counts"),
    [
        ("none more, all up", {"dead": 1, "down": 0}),
        ("none since, 2 down", {"dead": 1, "down": 2}),
        ("all up", {"down": 0}),
    ],
)
def test_none_more_is_no_question_back(line: str, counts: dict[str, int]) -> None:
    """As a foreman met it: "1 dead was on file: none more, or none in all?" after just that."""
    case = loads_case(
        '[[lot]]\nid = "a"\nspecies = "guppy"\ncount = 20\n'
        "[[observation]]\nat_hours = 1\ncounts = { dead = 1, down = 3 }\n"
    )
    heard = advisor.hear("counts", line, case)
    assert heard["counts"] == counts and "ask_back" not in heard
