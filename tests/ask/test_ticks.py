"""The key d: numbers that stay, what is done shown with its time, and a tick taken back.

As foremen met it: "d 1" then "d 2", as shown before, ticked another step or none; a wrong tick
could not be undone, least of all in the next sitting.
"""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path

import pytest

from advisor.advice.facts.sheet import lots_of, place_of
from advisor.advice.reasoner import Reasoner
from advisor.case import Case, loads_case
from advisor.wording.times import iso_moment
from tests.ask.conftest import Play
from tests.ask.test_done import TWO, TWO_STEPS
from tests.ask.test_recheck import sitting
from tests.clock import NOON
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
    one, two = first.split("d 1 !! ")[1][:20], first.split("d 2 !! ")[1][:20]
    after = joined(play(["d 1", "d 2", "d", "s"], case).screen)
    assert f"d 2 !! {two}" in after.split("> d 1 ")[1].split("> d 2 ")[0]
    assert f"Done and noted, 12:00: {one}" in after and f"Done and noted, 12:00: {two}" in after
    for lines in (["d 1", "d 2"], ["d 1 2"]):
        assert len(_done(play([*lines, "s"], case).case)) == 2


def test_what_is_done_is_shown_with_its_time(play: Play) -> None:
    screen = joined(play([COUNT, "d 1", "d", "s"], loads_case(TWO)).screen)
    shown = screen.rpartition("> d ")[2]
    assert "!!" not in shown
    assert "done " in shown and "Open the bag" in shown and "(d 1 takes it back)" in shown
    assert "There is no d 9 now:" in joined(play([COUNT, "d 9", "s"], loads_case(TWO)).screen)


def test_any_step_that_the_plan_begins_with_is_ticked(play: Play, reasoner: Reasoner) -> None:
    """As a foreman met it: nothing but emergencies could be ticked under a plan of five steps."""
    shown = joined(play([COUNT, "d 1", "d", "s"], loads_case(TWO)).screen).rpartition("> d ")[2]
    number = re.findall(r"d (\d+) No food today", shown)[0]
    played = play([COUNT, "d 1", "d", f"d {number}", "d", "s"], loads_case(TWO))
    assert "hold_food" in _done(played.case)
    assert f"(d {number} takes it back)" in joined(played.screen).rpartition("> d ")[2]


#: Fish of two lots on their sides, in bags that are shut; the guppies in two of them.
BAGS = """
[transit]
hours_sealed = 30
[[lot]]
id = "guppies"
species = "guppy"
count = 20
bags = 2
sealed = "yes"
[[lot]]
id = "mollies"
species = "molly"
count = 10
sealed = "yes"
[[observation]]
lot = "guppies"
seen = ["lying_on_side"]
counts = { dead = 1, down = 5 }
[[observation]]
lot = "mollies"
seen = ["lying_on_side"]
"""


def test_one_opened_bag_leaves_all_others_shut(play: Play, reasoner: Reasoner) -> None:
    """As a foreman met it: d for one bag emptied all bags of both lots."""
    played = play(["d", "1", "8", "2", "s"], loads_case(BAGS))
    screen = joined(played.screen)
    assert "Of which of these was a bag opened? 1 20 guppy 2 10 molly" in screen
    places = _places(played.case, reasoner)
    assert places == {"guppies": "closed_bag", "guppies-2": "tub", "mollies": "closed_bag"}
    counts = {lot.id: (lot.count, lot.bags) for lot in played.case.lot}
    assert counts == {"guppies": (12, 1), "guppies-2": (8, 1), "mollies": (10, None)}
    assert {look.lot for look in played.case.observation if look.done} == {"guppies-2"}
    told = {look.lot: (look.seen, look.counts.down) for look in played.case.observation
            if look.seen}  # fmt: skip
    assert told == {
        "guppies-2": (("lying_on_side",), 5), "mollies": (("lying_on_side",), None),
    }  # fmt: skip
    assert "Open the bag with the weakest fish (mollies)" in screen


def test_its_only_bag_makes_no_second_lot(play: Play, reasoner: Reasoner) -> None:
    played = play(["d", "2", "1", "s"], loads_case(BAGS))
    assert _places(played.case, reasoner)["mollies"] == "tub"
    assert len(played.case.lot) == 2
    nothing = play(["d", "", "s"], loads_case(BAGS))
    assert not _done(nothing.case) and "Nothing was ticked" in joined(nothing.screen)


def test_heads_of_both_parts_are_shared_out_and_none_is_lost(play: Play) -> None:
    played = play(["d", "1", "8", "3", "4", "1", "s"], loads_case(BAGS))
    heads = {look.lot: look.counts for look in played.case.observation
             if look.lot.startswith("guppies") and look.seen}  # fmt: skip
    assert (heads["guppies"].dead, heads["guppies"].down) == (0, 1)
    assert (heads["guppies-2"].dead, heads["guppies-2"].down) == (1, 4)
    unknown = play(["d", "1", "8", "3", "", "", "s"], loads_case(BAGS))
    notes = [look.note for look in unknown.case.observation if look.note]
    assert notes == ["of guppies and guppies-2 together: 5 down, 1 dead"]


def test_the_end_after_every_bag_was_ticked_open(play: Play) -> None:
    """As a foreman met it three times: d, e, e ended in a fault of the program."""
    played = play(["d", "1 2", "8", "2", "1", "d", "1", *["e"] * 12], loads_case(BAGS))
    assert "All out" not in played.screen and "DO NOW" in joined(played.screen)


def test_a_tick_keeps_its_hour_when_receipt_is_told_later(play: Play) -> None:
    """Aired at noon; then they came out twenty minutes before: it was done at noon all the same."""
    case = loads_case('[delivery]\nreceived = "2026-03-02T12:00:00"\n' + ONE_GASPS)
    played = play(["d", "20 min", "s"], case)
    (done,) = [look for look in played.case.observation if look.done]
    received = iso_moment(played.case.delivery.received or "")
    assert received.replace(tzinfo=None) == NOON - timedelta(minutes=20)
    assert done.at_hours == pytest.approx(1 / 3, abs=0.01)


def test_b_after_a_tick_goes_back_to_the_question(play: Play) -> None:
    """As a foreman met it: the time was dropped and not asked again."""
    case = loads_case('[delivery]\nreceived = "2026-03-02T12:00:00"\n' + ONE_GASPS)
    screen = joined(play(["d", "20 min", "b", "30 min", "s"], case).screen)
    assert screen.count("How long ago did they come out of the bag?") == 3, screen
    played = play(["d", "20 min", "b", "30 min", "s"], case)
    received = iso_moment(played.case.delivery.received or "").replace(tzinfo=None)
    assert received == NOON - timedelta(minutes=30)


ONE_GASPS = """
[[lot]]
id = "a"
species = "guppy"
count = 12
sealed = "no"
released_at_hours = 0
release_method = "netted"
[[observation]]
seen = ["gasping_at_surface"]
counts = { dead = 0, down = 1 }
[session]
answered = ["where_are_they/a", "kinds", "breathing_and_posture/a", "counts/a", "changed_last_day"]
"""


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
