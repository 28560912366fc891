"""What is wanting, dead gear and heads: each where it belongs, and no line's number.

Typed by a foreman who had not seen the program; what the words mean was read by hand.
"""

from __future__ import annotations

import pytest

from advisor.ask.hear import hear
from tests.ask.conftest import Begin
from tests.said import joined


@pytest.mark.parametrize(
    "question", ["counts", "breathing_and_posture", "arrived", "changed_last_day", "hours_sealed"]
)
@pytest.mark.parametrize("line", ["no tub here, alone", "no tub, i am alone", "alone here! no tub"])
def test_no_tub_and_alone_are_the_house_and_no_sign(question: str, line: str) -> None:
    heard = hear(question, line)
    assert heard["history"] == {"no_other_tank": "yes", "alone_here": "yes"}
    assert "signs_seen" not in heard


@pytest.mark.parametrize(
    ("question", "line"),
    [
        ("behaviour", "alone"),
        ("behaviour", "one sits alone"),
        ("skin", "one fish alone"),
        ("who_is_ill", "one alone"),
    ],
)
def test_a_fish_alone_is_a_sign(question: str, line: str) -> None:
    heard = hear(question, line)
    assert "isolation_from_group" in heard.get("signs_seen", ())
    assert "alone_here" not in heard.get("history", {})


def test_fish_in_a_tub_are_not_without_one() -> None:
    assert "no_other_tank" not in hear("where_are_they", "in a tub").get("history", {})
    assert "no_other_tank" not in hear("counts", "2 dead, not in tub").get("history", {})


@pytest.mark.parametrize(
    ("question", "line"),
    [
        ("breathing_and_posture", "all at the top gasping, filter was dead this morning"),
        ("where_are_they", "gold fish tank, filter died last night"),
        ("counts", "filter dead over night, 4 10"),
        ("counts", "2 dead, filter dead"),
    ],
)
def test_a_dead_filter_stood_still(question: str, line: str) -> None:
    assert hear(question, line)["history"] == {"filter_stopped": "yes"}


@pytest.mark.parametrize(
    ("line", "counts"),
    [
        ("filter dead over night", {}),
        ("filter died, 2 dead", {"dead": 2}),
        ("filter dead overnight and 2 dead", {"dead": 2}),
        ("lost the filter, lost 3", {"dead": 3}),
    ],
)
def test_dead_gear_is_no_dead_fish(line: str, counts: dict[str, int]) -> None:
    heard = hear("counts", line)
    assert heard.get("counts", {}) == counts
    assert "How many are dead, as a number?" not in heard.get("ask_back", ())


def test_two_numbers_beside_a_dead_filter_are_asked_back() -> None:
    heard = hear("counts", "filter dead over night, 4 10")
    assert heard["ask_back"] == ["Which of these is dead, and which down?"]


def test_a_filter_that_died_elsewhere_long_ago_is_not_ours() -> None:
    line = "filter died last night at the shippers end, gasping"
    assert "history" not in hear("breathing_and_posture", line)


def test_one_dead_is_no_first_line(begin: Begin) -> None:
    bench = begin(["1 dead", "u"])
    bench.put("when_it_began")
    assert all(not look.seen for look in bench.case.observation)
    assert [look.counts.dead for look in bench.case.observation if look.counts.dead] == [1]


@pytest.mark.parametrize("line", ["1 dead", "2 down", "dead 1"])
def test_heads_are_no_line_of_a_choice(line: str, begin: Begin) -> None:
    bench = begin([line, "u"])
    bench.put("where_are_they")
    assert "tells heads" in joined(bench.screen)
    assert all(lot.sealed in (None, "unknown") for lot in bench.case.lot)


def test_three_koi_at_the_signs_are_no_third_line(begin: Begin) -> None:
    bench = begin(["3 koi", "12"])
    bench.put("breathing_and_posture")
    (look,) = bench.case.observation
    assert look.seen == ("swimming_normally",)
    assert "slow_gill_movement" in look.not_seen
    assert not look.words, "what was refused leaves nothing behind"


def test_a_sign_told_is_not_taken_back_by_none_of_these(begin: Begin) -> None:
    bench = begin(["1 4 gasspingx", "0"])
    bench.put("breathing_and_posture")
    (look,) = bench.case.observation
    assert {"gasping_at_surface", "hanging_at_surface"} == set(look.seen)
    assert not set(look.seen) & set(look.not_seen)


@pytest.mark.parametrize("question", ["arrived", "changed_last_day", "hours_sealed"])
@pytest.mark.parametrize("line", ["no tub", "no test kit", "alone"])
def test_wanting_is_noted_and_the_question_stays(question: str, line: str, begin: Begin) -> None:
    bench = begin([line, "u"])
    bench.put(question)
    assert "That is noted" in joined(bench.screen) and "read 0" not in bench.screen
    assert bench.case.history


def test_no_kit_at_a_reading_is_not_known(begin: Begin) -> None:
    bench = begin(["no test kit", "u"])
    bench.put("thermometer")
    assert "Kept as not known" in bench.screen and "read 0" not in bench.screen
    assert not bench.case.observation


@pytest.mark.parametrize("word", ["running", "runing", "bubbling"])
def test_an_airstone_in_the_bag_is_noted_with_where_they_are(word: str) -> None:
    heard = hear("where_are_they", f"in the bag open 1h ago, airstone {word} in the bag")
    assert heard["place"] == "open_bag"
    assert heard["history"] == {"bag_aerated_with_fish": "yes"}
    tank = hear("where_are_they", f"in the bag, opened, airstone {word} in the tank")
    assert "bag_aerated_with_fish" not in tank.get("history", {})
