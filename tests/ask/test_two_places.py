"""A lot of which some bags are shut and some open: two lots, and nothing that was typed is lost.

As a foreman met it: one lot in several bags had one place, so a part of it was in the wrong one.
"""

from __future__ import annotations

import pytest

from advisor.advice.facts.sheet import lots_of, place_of
from advisor.advice.reasoner import Reasoner
from advisor.ask.answers.split_lot import split_lot
from advisor.ask.parts_of_lot import number_out
from advisor.case import Case, Lot, loads_case
from tests.ask.conftest import Play
from tests.said import joined

NAMED = "12 neons in 3 bags"
SPLIT = "2 bags shut, 1 opened n gasping"


def _places(case: Case, reasoner: Reasoner) -> dict[str, str]:
    return {lot.id: place_of(case, lot, reasoner.base).place for lot in lots_of(case)}


def _seen(case: Case, lot: str) -> set[str]:
    return {sign for look in case.observation if look.lot == lot for sign in look.seen}


def test_said_before_the_fish_had_names(play: Play, reasoner: Reasoner) -> None:
    """It is asked again of the only lot, and becomes two there."""
    played = play([SPLIT, "u", NAMED, SPLIT, "4", "s"])
    screen = joined(played.screen)
    assert _places(played.case, reasoner) == {"neons": "closed_bag", "neons-2": "open_bag"}
    assert [(lot.count, lot.bags) for lot in played.case.lot] == [(8, 2), (4, 1)]
    assert _seen(played.case, "neons-2") == {"gasping_at_surface"}
    assert not _seen(played.case, "neons")
    assert "12 neons are two lots from here on: neons, still shut, and neons-2" in screen
    assert "DO NOW (neons-2): Out of that bag now" in screen
    assert "4 neons (neons-2): How many are dead so far" in screen, "the worse part first"


def test_enter_takes_the_share_of_the_bags_and_says_so(play: Play) -> None:
    played = play(["9", "u", NAMED, SPLIT, "", "s"])
    assert "Enter takes 4, by the number of bags" in joined(played.screen)
    assert [lot.count for lot in played.case.lot] == [8, 4]


def test_by_number_the_others_place_is_asked(play: Play, reasoner: Reasoner) -> None:
    played = play(["9", "u", NAMED, "9", "5", "netted", "s"])
    assert "And where are those?" in joined(played.screen)
    assert _places(played.case, reasoner) == {"neons": "closed_bag", "neons-2": "tank"}
    assert played.case.lot[1].release_method == "netted"
    assert played.case.lot[0].release_method is None
    assert [lot.count for lot in played.case.lot] == [7, 5]


def test_b_makes_them_one_lot_again(play: Play) -> None:
    one = play(["9", "u", NAMED, "s"]).case
    back = play(["9", "u", NAMED, SPLIT, "4", "b", "s"]).case
    assert back.lot == one.lot and back.observation == one.observation
    whole = play(["9", "u", NAMED, SPLIT, "4", "b", "1", "s"]).case
    assert [(lot.id, lot.count, lot.sealed) for lot in whole.lot] == [("neons", 12, "yes")]


def test_the_place_that_is_not_known_leaves_one_lot(play: Play) -> None:
    played = play(["9", "u", NAMED, "9", "5", "", "s"])
    assert [(lot.count, lot.sealed) for lot in played.case.lot] == [(12, "unknown")]


@pytest.mark.parametrize(
    ("line", "count", "bags", "out"),
    [
        ("2 bags shut, 1 opened", 12, 3, (None, 1)),
        ("two bags still shut, one open", 12, 3, (None, 1)),
        ("8 shut, 4 open", 12, 3, (4, None)),
        ("2 shut, 1 open", 12, 3, (None, 1)),
        ("1 bag open, the others shut", 12, 3, (None, 1)),
        ("some shut, some open", 12, 3, (None, None)),
        ("8 still shut, the rest in the tank", 12, None, (4, None)),
    ],
)
def test_numbers_of_a_line(
    line: str, count: int, bags: int | None, out: tuple[int | None, int | None]
) -> None:
    assert number_out(line, Lot(id="neons", count=count, bags=bags)) == out


OF_ALL = """
[delivery]
received = "2026-03-02T12:00:00"
[[lot]]
id = "neons"
species = "neon tetra"
count = 12
bags = 3
dead_on_arrival = 1
[[observation]]
at_hours = 0.1
seen = ["gasping_at_surface"]
words = ["all at top"]
counts = { dead = 1, down = 2 }
tank = { ph = 7.0 }
[session]
answered = ["kinds", "counts/neons", "breathing_and_posture/neons"]
"""


def test_what_was_told_of_the_whole_is_lost_in_neither_way() -> None:
    case = loads_case(OF_ALL)
    for whose, seen in (
        ("stay", {"neons"}),
        ("new", {"neons-2"}),
        ("both", {"neons", "neons-2"}),
    ):
        found = split_lot(case, "neons", count=4, bags=1, whose=whose)  # type: ignore[arg-type]
        assert {look.lot for look in found.observation if look.seen} == seen
        (tank,) = [look for look in found.observation if look.tank.given()]
        assert tank.lot == "all"
        told = [
            str(look.counts.model_dump(exclude_none=True)) + (look.note or "")
            for look in found.observation
            if look.note or look.counts.dead is not None
        ]
        assert len(told) == 1 and "1" in told[0] and "2" in told[0], "heads stand once"
        assert [word for look in found.observation for word in look.words] == ["all at top"]
        assert sum(lot.count or 0 for lot in found.lot) == 12
        assert [lot.dead_on_arrival for lot in found.lot] == [1, None]
        assert "breathing_and_posture/neons-2" in found.session.answered
        assert "counts/neons-2" not in found.session.answered


def test_heads_are_asked_of_the_part(play: Play) -> None:
    case = loads_case(OF_ALL)
    played = play(["2 bags shut, 1 open", "4", "3", "2", "0", "s"], case)
    heads = {
        look.lot: (look.counts.dead, look.counts.down)
        for look in played.case.observation
        if look.seen
    }
    assert heads == {"neons": (1, 0), "neons-2": (0, 2)}, joined(played.screen)
