"""After a move: what was seen before spoke of the water they left, and the tub is as warm as it."""

from __future__ import annotations

import pytest

from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner, default_reasoner
from advisor.advice.results import LotResult
from advisor.case import loads_case

CASE = """
[transit]
hours_sealed = 30
[[lot]]
id = "guppies"
species = "guppy"
count = 20
sealed = "no"
opened_at_hours = 0.0
[[observation]]
at_hours = 0.0
seen = ["gasping_at_surface", "lying_on_side"]
"""


@pytest.fixture(scope="module")
def reasoner() -> Reasoner:
    return default_reasoner()


def judged(reasoner: Reasoner, *looks: str, head: str = "") -> LotResult:
    text = CASE + head + "".join(f"[[observation]]\n{look}\n" for look in looks)
    return assess(loads_case(text), reasoner).lots[0]


def steps(lot: LotResult) -> list[str]:
    return [action.id for action in lot.actions]


MOVES = ("tub_while_tank_unread", "tub_from_open_bag", "rewarm_in_tub", "own_tub_for_suspects")


@pytest.mark.parametrize("move", MOVES)
def test_a_tub_of_a_minute_ago_is_not_blamed_for_what_was_seen_in_the_bag(
    move: str, reasoner: Reasoner
) -> None:
    lot = judged(reasoner, f'at_hours = 0.05\ndone = ["{move}"]')
    assert lot.place == "tub"
    assert "help_in_the_tub" not in steps(lot) and "air_tank" not in steps(lot)
    assert "look_at_them_now" in steps(lot)
    seen = 'at_hours = 0.5\nseen = ["gasping_at_surface", "lying_on_side"]'
    later = judged(reasoner, f'at_hours = 0.05\ndone = ["{move}"]', seen)
    assert "help_in_the_tub" in steps(later), "seen in the tub itself"
    assert "look_at_them_now" not in steps(later)


def test_a_look_at_the_other_lot_is_no_look_at_these(reasoner: Reasoner) -> None:
    other = '[[lot]]\nid = "tetras"\nspecies = "neon tetra"\ncount = 9\nsealed = "yes"\n'
    text = CASE.replace("[[observation]]", other + "[[observation]]\nlot = 'guppies'")
    done = '[[observation]]\nat_hours = 0.1\nlot = "guppies"\ndone = ["tub_from_open_bag"]\n'
    look = '[[observation]]\nat_hours = 0.4\nlot = "tetras"\nnot_seen = ["lying_on_side"]\n'
    lot = assess(loads_case(text + done + look), reasoner).lots[0]
    assert "look_at_them_now" in steps(lot)


def hours(lot: LotResult) -> float | None:
    step = next(action for action in lot.actions if action.id.startswith("rewarm"))
    return next(a.value for a in step.amounts if a.label == "time for the change of temperature")


def test_warming_in_the_tub_counts_from_the_bag_they_came_from(reasoner: Reasoner) -> None:
    """9 °C in the bag, 25 °C in the tank: the hours stay what they were before the move."""
    cold = "bag.temperature_c = 9\ntank.temperature_c = 25\n"
    moved = 'at_hours = 0.1\ndone = ["rewarm_in_tub"]'
    before = judged(reasoner, head=cold)
    after = judged(reasoner, moved, head=cold)
    again = judged(reasoner, moved, 'at_hours = 1.0\nseen = ["lying_on_side"]', head=cold)
    assert hours(before) == hours(after) == hours(again) == 7.5  # (22 - 9 - 3) / 2 and / 1
    read = judged(reasoner, moved, "at_hours = 2.0\ntub.temperature_c = 14", head=cold)
    assert (hours(read) or 0.0) < 7.5, "read since: from there on"


def test_no_tank_is_said_to_hold_fish_that_lie_in_a_tub(reasoner: Reasoner) -> None:
    cold = "bag.temperature_c = 9\ntank.temperature_c = 25\n"
    warm = ('at_hours = 0.1\ndone = ["rewarm_in_tub"]', "at_hours = 2.0\ntub.temperature_c = 24")
    for lot in (judged(reasoner, *warm[:1], head=cold), judged(reasoner, *warm, head=cold)):
        assert not [held for held in lot.withheld if "tank they are in" in held.because]
    assert "rewarm_in_tank" not in steps(lot), "the tub is warm enough"
