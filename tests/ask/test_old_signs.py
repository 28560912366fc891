"""What an earlier look saw, at a later one: asked about where words leave it out, and compared.

As foremen met it: "swim ok, eating" left the "lying on side" of the day before standing, and fish
that were well were to be netted out; every lot's list of answers showed the last lot's count.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.advice.facts.sheet import place_of
from advisor.advice.reasoner import Reasoner
from advisor.ask.between import change
from advisor.ask.rechecks import next_look
from advisor.case import Case, loads_case
from tests.ask.conftest import Play
from tests.ask.test_recheck import HEAD, case_of, look, sitting
from tests.said import joined

#: In a tub since yesterday, on their sides then.
TUB = """
[delivery]
received = "2026-03-02T12:00:00"
[[lot]]
id = "discus"
species = "discus"
count = 8
sealed = "no"
history.fish_are_in = "tub"
[[observation]]
at_hours = 0.1
seen = ["lying_on_side"]
counts = { dead = 0, down = 4 }
bag = { temperature_c = 17.0 }
"""


def _now(case: Case, sign: str) -> bool | None:
    """Seen, not seen or not told at the last look."""
    last = [each for each in case.observation if each.at_hours == case.last_hour]
    seen, absent = ({s for each in last for s in getattr(each, of)} for of in ("seen", "not_seen"))
    return True if sign in seen else False if sign in absent else None


@pytest.mark.parametrize(("answer", "now"), [("0", False), ("1", True), ("", None)])
def test_a_sign_that_words_leave_out_is_asked_about(
    answer: str, now: bool | None, reasoner: Reasoner, tmp_path: Path
) -> None:
    lines = ["3", "0 dead 0 down", "swim ok, eating", answer, "1 4"]
    later = sitting("look", loads_case(TUB), lines, reasoner, tmp_path, 24.0)
    screen = joined(later.screen)
    assert "Seen at a look before, and you said nothing of it. Still there now?" in screen
    assert _now(later.case, "lying_on_side") is now
    assert _now(later.case, "swimming_normally") is True


def test_numbers_and_what_is_spoken_of_ask_nothing(reasoner: Reasoner, tmp_path: Path) -> None:
    for line in ("12", "nobody on their side any more, swim ok", "0"):
        lines = ["3", "0 dead 0 down", line, "1 4"]
        later = sitting("look", loads_case(TUB), lines, reasoner, tmp_path, 24.0)
        assert "you said nothing of it" not in joined(later.screen), line


def test_at_the_first_look_nothing_is_asked(play: Play) -> None:
    played = play(["3", "on side", "12 guppies", "0", "swim ok", "s"])
    assert "you said nothing of it" not in joined(played.screen)


def test_fish_told_to_be_in_the_tank_are_in_no_tub_any_more(
    reasoner: Reasoner, tmp_path: Path
) -> None:
    later = sitting("look", loads_case(TUB), ["3", "0 dead 0 down"], reasoner, tmp_path, 24.0)
    (lot,) = later.case.lot
    assert lot.history.get("fish_are_in") != "tub"
    assert place_of(later.case, lot, reasoner.base).place == "tank"


def test_fewer_down_is_better_whatever_is_called_for(reasoner: Reasoner) -> None:
    """As a foreman met it: six down, then two, none died: WORSE, for a step now called for."""
    before = look(0.5, '["rapid_gill_movement"]', more="counts={dead=0,down=6}")
    now = look(2, '["gasping_at_surface"]', more="counts={dead=0,down=2}")
    case = case_of(before, now)
    found = change(case, case.lot[0], 0.5, 2, reasoner)
    assert found.verdict == "better"
    assert "down: 6, now 2" in found.reasons and "down: 6, now 2" not in found.against
    assert any("gasping" in words for words in found.against)


def test_what_was_ticked_is_no_sign_of_mending(reasoner: Reasoner) -> None:
    done = look(0.6, more='done=["air_tank"]')
    case = case_of(look(0.5, '["gasping_at_surface"]'), done, look(2, "[]", '["darting"]'))
    found = change(case, case.lot[0], 0.5, 2, reasoner)
    said = " ".join((*found.reasons, *found.against))
    assert "no longer called for: Air the tank hard" not in said


def test_a_sign_of_mending_is_seen_now_and_not_again(reasoner: Reasoner) -> None:
    now = look(2, '["breathing_settling"]', more="counts={dead=2}")
    case = case_of(look(0.5, '["gasping_at_surface"]', more="counts={dead=0}"), now)
    found = change(case, case.lot[0], 0.5, 2, reasoner)
    assert found.verdict == "worse" and found.reasons[0] == "dead: 0, now 2"
    assert not any("calmer" in words for words in found.reasons)
    assert next(words for words in found.against if "calmer" in words).startswith("seen now: ")


def test_a_lot_of_which_nobody_lives_is_not_asked_how_it_breathes(
    reasoner: Reasoner, tmp_path: Path
) -> None:
    case = loads_case(TUB.replace("dead = 0, down = 4", "dead = 8, down = 0"))
    screen = joined(sitting("look", case, ["", "", "", ""], reasoner, tmp_path, 24.0).screen)
    assert "How do they breathe" not in screen and "What looks better" not in screen
    closing = joined(sitting("close", case, ["", "0"], reasoner, tmp_path, 24.0).screen)
    assert "Not done yet" not in closing and "The case is closed" in closing


def test_every_lot_has_its_own_count_in_the_list(play: Play) -> None:
    case = loads_case(
        HEAD + look(0.1, more='lot="a"\ncounts={dead=2,down=3}')
        + '[[lot]]\nid = "b"\nspecies = "discus"\ncount = 6\n'
        + look(0.1, more='lot="b"\ncounts={dead=0,down=1}')
        + '[session]\nanswered = ["counts/a", "counts/b"]\n'
    )  # fmt: skip
    listed = joined(play(["a", "s"], case).screen).split("> a ")[1]
    assert "(a) 3 down, 2 dead" in listed and "(b) 1 down, 0 dead" in listed


def test_a_tick_is_no_look_and_puts_none_off() -> None:
    """As a keeper met it: a look due at 07:12 was put off by a tick at 07:03."""
    looked = case_of(look(0.0, '["gasping_at_surface"]'))
    ticked = case_of(
        look(0.0, '["gasping_at_surface"]'), look(0.2, more='done=["air_tank"]')
    )  # fmt: skip
    assert next_look(ticked, urgent=True) == next_look(looked, urgent=True)
    assert next_look(ticked) == next_look(looked)


def test_a_look_a_little_early_was_that_look() -> None:
    """Not: look again in six minutes, after one at 24 hours less six minutes."""
    due = next_look(case_of(look(0.1), look(24.0)))
    assert due is not None and due.at_hours == 48.1
