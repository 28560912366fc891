"""Words that fish mend are no sign of trouble: "slower", "less", "stopped".

As a foreman met it: "better, breathing slower" at a later look was taken as slow gills, and made
carbon dioxide likely. What each line must not be taken for follows from what its words say.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.advice.reasoner import Reasoner
from advisor.ask.hear import hear
from tests.ask.test_recheck import case_of, look, sitting
from tests.said import joined

BREATH, SKIN = "breathing_and_posture", "skin"
GASPED = look(0, '["gasping_at_surface", "rapid_gill_movement"]')


def _signs(question: str, line: str) -> tuple[set[str], set[str], set[str]]:
    heard = hear(question, line)
    keys = "signs_seen", "signs_not_seen", "signs_eased"
    seen, absent, eased = (set(heard.get(key, ())) for key in keys)
    return seen, absent, eased


@pytest.mark.parametrize(
    "line",
    [
        "better, breathing slower",
        "breathing slower than before",
        "breathing slower than at the last look",
        "breathing calmer",
        "breathing easier now",
        "slower breathing, much better",
    ],
)
def test_slower_and_better_is_calmer(line: str) -> None:
    assert _signs(BREATH, line) == ({"breathing_settling"}, set(), set())


@pytest.mark.parametrize(
    "line",
    [
        "breathing slow",
        "breathing slower",
        "breathing slower than normal",
        "breathing slower and weaker",
        "worse, breathing slower",
        "better, but breathing very slow",
        "still breathing slow",
    ],
)
def test_slow_stays_slow(line: str) -> None:
    """With no look before it, or beside what says that they fail."""
    assert "slow_gill_movement" in _signs(BREATH, line)[0]


@pytest.mark.parametrize(
    ("question", "line", "sign"),
    [
        (BREATH, "less gasping", "gasping_at_surface"),
        (BREATH, "gasping less", "gasping_at_surface"),
        (BREATH, "hardly gasping now", "gasping_at_surface"),
        (BREATH, "breathing less fast", "rapid_gill_movement"),
        (BREATH, "flashing less", "flashing_rubbing"),
        (SKIN, "fewer white spots", "white_spots"),
        (SKIN, "less clamped", "clamped_fins"),
    ],
)
def test_less_of_it_is_neither_seen_nor_gone(question: str, line: str, sign: str) -> None:
    seen, absent, eased = _signs(question, line)
    assert sign not in seen | absent and sign in eased


@pytest.mark.parametrize(
    ("question", "line", "sign"),
    [
        (BREATH, "stopped flashing", "flashing_rubbing"),
        (BREATH, "quit flashing", "flashing_rubbing"),
        (BREATH, "stopped gasping", "gasping_at_surface"),
        (BREATH, "no longer gasping", "gasping_at_surface"),
        (SKIN, "not so red any more on the belly", "red_streaks"),
    ],
)
def test_what_has_stopped_is_not_seen(question: str, line: str, sign: str) -> None:
    seen, _, eased = _signs(question, line)
    assert sign not in seen | eased


@pytest.mark.parametrize(
    "line",
    [
        "gasping more or less",
        "less than 5 gasping",
        "filter stopped gasping",
        "less active, gasping",
    ],
)
def test_words_that_ease_something_else_ease_no_sign(line: str) -> None:
    assert "gasping_at_surface" in _signs(BREATH, line)[0]


@pytest.mark.parametrize("line", ["better, breathing slower", "breathing slower", "gills slower"])
def test_a_later_look_takes_it_as_mending(line: str, reasoner: Reasoner, tmp_path: Path) -> None:
    """After a look at which they panted, slower is slower than that."""
    played = sitting("look", case_of(GASPED), ["0", line, "s"], reasoner, tmp_path, 1.0)
    seen = {sign for each in played.case.observation if each.at_hours > 0 for sign in each.seen}
    assert seen == {"breathing_settling"}, joined(played.screen)
    assert "slow gill movement" not in joined(played.screen).rpartition(line)[2]


def test_less_of_it_at_a_later_look(reasoner: Reasoner, tmp_path: Path) -> None:
    """Neither seen anew nor gone: what the look before saw stands as it was."""
    gasped = sitting("look", case_of(GASPED), ["0", "less gasping", "s"], reasoner, tmp_path, 1.0)
    later = [each for each in gasped.case.observation if each.at_hours > 0]
    assert {sign for each in later for sign in each.seen} == {"breathing_settling"}
    assert not {sign for each in later for sign in each.not_seen}
    (tmp_path / "2").mkdir()
    darted = case_of(look(0, '["darting"]'))
    played = sitting("look", darted, ["0", "darting less", "s"], reasoner, tmp_path / "2", 1.0)
    assert "neither seen anew nor gone: darting" in joined(played.screen)
    later = [each for each in played.case.observation if each.at_hours > 0]
    assert not {sign for each in later for sign in (*each.seen, *each.not_seen)}
    assert any("darting less" in each.words for each in later), "the words stay"


def test_slower_where_they_breathed_slowly_before_is_slow(
    reasoner: Reasoner, tmp_path: Path
) -> None:
    case = case_of(look(0, '["slow_gill_movement"]'))
    played = sitting("look", case, ["0", "breathing slower", "s"], reasoner, tmp_path, 1.0)
    later = [each for each in played.case.observation if each.at_hours > 0]
    assert {sign for each in later for sign in each.seen} == {"slow_gill_movement"}
