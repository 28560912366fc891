"""The key d: numbers that stay, what is done shown with its time, and a tick taken back.

As foremen met it: "d 1" then "d 2", as shown before, ticked another step or none; a wrong tick
could not be undone, least of all in the next sitting.
"""

from __future__ import annotations

from pathlib import Path

from advisor.advice.facts.sheet import lots_of, place_of
from advisor.advice.reasoner import Reasoner
from advisor.case import Case, loads_case
from tests.ask.conftest import Play
from tests.ask.test_done import TWO, TWO_STEPS
from tests.ask.test_recheck import sitting
from tests.said import joined

COUNT = "none dead, 3 down"


def _places(case: Case, reasoner: Reasoner) -> dict[str, str]:
    return {lot.id: place_of(case, lot, reasoner.base).place for lot in lots_of(case)}


def _done(case: Case) -> set[str]:
    return {done for look in case.observation for done in look.done}


def test_a_number_keeps_its_step(play: Play) -> None:
    """What stood under d 2 before the first was ticked stands there still."""
    case = loads_case(TWO_STEPS)
    first = joined(play(["d", "s"], case).screen).split("> d ")[1]
    assert "d 1 " in first and "d 2 " in first, first
    one, two = first.split("d 1 ")[1][:20], first.split("d 2 ")[1][:20]
    after = joined(play(["d 1", "d 2", "d", "s"], case).screen)
    assert f"d 2 {two}" in after.split("> d 1 ")[1].split("> d 2 ")[0]
    assert f"Done and noted, 12:00: {one}" in after and f"Done and noted, 12:00: {two}" in after
    assert len(_done(play(["d 1", "d 2", "s"], case).case)) == 2


def test_what_is_done_is_shown_with_its_time(play: Play) -> None:
    screen = joined(play([COUNT, "d 1", "d", "s"], loads_case(TWO)).screen)
    shown = screen.rpartition("> d ")[2]
    assert "Nothing is waiting to be done." in shown
    assert "done " in shown and "Open the bag" in shown and "(d 1 takes it back)" in shown
    assert "There is no d 9 now:" in joined(play([COUNT, "d 9", "s"], loads_case(TWO)).screen)


def test_the_same_again_takes_a_tick_back(play: Play, reasoner: Reasoner) -> None:
    """The fish are where they were told to be before it, and the step waits again."""
    case = loads_case(TWO)
    ticked = play([COUNT, "d 1", "s"], case)
    plain = play([COUNT, "s"], case)
    for back in ("d 1", "d b", "d 1 b"):
        played = play([COUNT, "d 1", back, "s"], case)
        assert "Not done after all: Open the bag" in joined(played.screen)
        assert set(_places(played.case, reasoner).values()) == {"closed_bag"}
        assert played.case == plain.case, "the file holds what happened, and no trace of the slip"
    again = play([COUNT, "d 1", "d 1", "d 1", "s"], case)
    assert again.case == ticked.case
    assert "No step is ticked" in joined(play(["d b", "s"], case).screen)


def test_a_tick_of_an_earlier_sitting_is_taken_back(play: Play, reasoner: Reasoner) -> None:
    case = play([COUNT, "d 1", "s"], loads_case(TWO)).case
    assert _done(case)
    later = play(["d", "d b", "s"], case)
    assert "Open the bag" in joined(later.screen).split("> d ")[1]
    assert not _done(later.case)
    assert set(_places(later.case, reasoner).values()) == {"closed_bag"}


def test_a_later_look_is_sound_after_a_tick_was_taken_back(
    play: Play, reasoner: Reasoner, tmp_path: Path
) -> None:
    """The look belongs to its own hour and is compared with the one before it."""
    came = '[delivery]\nreceived = "2026-03-02T12:00:00"\n'
    case = play([COUNT, "d 1", "s"], loads_case(came + TWO)).case
    (hour,) = {look.at_hours for look in case.observation if look.done}
    lines = ["d 1", "2", "1 dead 3 down", "6", "0", "1", "0 dead 0 down", "12", "0", "", ""]
    later = sitting("look", case, lines, reasoner, tmp_path, 3.0)
    assert not _done(later.case)
    assert hour not in {look.at_hours for look in later.case.observation}
    assert "dead: 0, now 1" in joined(later.screen)
