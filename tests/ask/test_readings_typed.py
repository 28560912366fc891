"""Readings typed in a session: odd ones questioned, bases asked for, words no numbers."""

from __future__ import annotations

import pytest

from tests.ask.conftest import Begin
from tests.said import shown


def test_an_odd_value_is_questioned_once_and_accepted(begin: Begin) -> None:
    readings = _readings(begin(["12", "y", "", ""]), "ph")
    assert readings.tank.ph.value == 12
    readings = _readings(begin(["12", "7.2", "", ""]), "ph")
    assert readings.tank.ph.value == 7.2
    assert _readings(begin(["12", "", "", ""]), "ph") is None


def test_an_impossible_value_is_refused_and_another_unit_offered(begin: Begin) -> None:
    session = begin(["78", "y", ""])
    assert abs(_readings(session, "thermometer").tank.temperature_c.value - 25.56) < 0.01
    session = begin(["900", "", ""])
    assert _readings(session, "thermometer") is None


def _readings(session, name):  # type: ignore[no-untyped-def]
    session.put(name)
    return session.case.observation[0] if session.case.observation else None


def test_a_bag_reading_at_the_prompt_of_the_tank_is_kept_of_the_bag(begin: Begin) -> None:
    session = begin(["bag 6.4 meter", "7.6", ""])
    session.put("ph")
    held = {
        water: reading.value
        for look in session.case.observation
        for water in ("tank", "bag")
        if (reading := getattr(look, water).ph) is not None
    }
    assert held == {"tank": 7.6, "bag": 6.4}


def test_an_unsaid_basis_is_asked_and_not_knowing_widens(begin: Begin) -> None:
    known = _readings(begin(["1.0", "1", "4", ""]), "ammonia_nitrite").tank.tan_mg_l
    wide = _readings(begin(["1.0", "", "4", ""]), "ammonia_nitrite").tank.tan_mg_l
    assert wide.high - wide.low > known.high - known.low
    assert wide.low < wide.value < wide.high
    assert "the band spans them all" in wide.note


def test_the_basis_and_the_kit_are_asked_once(begin: Begin) -> None:
    session = begin(["1.0", "2", "1", "0.5", "1", "2.0 ppm", "0.2 ppm"])
    _readings(session, "ammonia_nitrite")
    session.put("bag_ammonia")
    text = session.screen
    assert text.count("What kind of kit") == 1
    assert "as before" in text
    assert session.case.observation[0].bag.tan_mg_l.kit == "colour_card"


def test_a_word_is_not_a_reading(begin: Begin) -> None:
    session = begin(["fine", "perfect", ""])
    _readings(session, "ammonia_nitrite")
    assert session.screen.count("What number did it read") == 1
    assert session.case.history == {"tested_fine_without_number": True}
    assert not any(look.tank.given() for look in session.case.observation)


def test_a_number_after_all_takes_the_word_back(begin: Begin) -> None:
    session = begin(["fine", "0.5 mg/L as N meter", ""])
    reading = _readings(session, "ammonia_nitrite").tank.tan_mg_l
    assert reading.value == 0.5
    assert session.case.history == {}


def test_cycled_opens_one_follow_up_and_is_kept_as_said(begin: Begin) -> None:
    session = begin(["cycled", "fully cycled"])
    session.put("filter_state")
    assert session.case.history == {"called_cycled_without_number": True}
    assert session.case.receiving.filter is None


@pytest.mark.parametrize(
    "question, word, ask",
    [
        ("already_added", "conditioned", "What was used, how much of it, for what volume"),
        ("dechlorinator_used", "treated", "What was used, how much of it, for what volume"),
        ("where_are_they", "acclimated", "How was it done"),
    ],
)
def test_words_that_say_too_little_open_one_follow_up(
    question: str, word: str, ask: str, begin: Begin
) -> None:
    """ "Conditioned" says neither that ammonia was bound nor that no salt went in."""
    session = begin([word, word])
    session.put(question)
    shown(session.screen, ask, "Kept as not known.")
    assert session.case.history == {}
    assert len(session.case.session.unknown) == 1


def test_the_top_mark_means_at_least(begin: Begin) -> None:
    reading = _readings(begin(["8 as N card", "y", ""]), "ammonia_nitrite").tank.tan_mg_l
    assert reading.at_least and reading.high == 500


def test_a_bag_far_from_its_fellows_or_the_tank_is_asked_back_once(begin: Begin) -> None:
    """7 meant as pH at the bag's temperature: not believed before a y."""
    for given, kept in ((["7", "23"], 23.0), (["7", "y"], 7.0), (["21"], 21.0)):
        session = begin(["25", *given])
        session.put("thermometer")
        assert session.case.observation[0].bag.temperature_c.value == kept
        assert session.screen.count("far from the") == (given[0] == "7")
