"""Texts of steps as they are read aloud: one act a line, short enough to be shown whole.

Two screen lines and at most two sentences are the project's own measure of "one action a line,
readable at arm's length" in guidance for emergency checklists (Burian 2006).
"""

from __future__ import annotations

import pytest

from advisor.rulebase import RuleBase
from tests.laws.clauses import sentences

from .conftest import SOUND, Judge, ids

#: What two lines of the plan hold; an emergency is shown whole, however long.
TWO_LINES, WHOLE = 150, 170
IN_TANK = {"released_at_hours": 0, "sealed": "no"}


def test_a_step_is_two_sentences_that_two_lines_hold(base: RuleBase) -> None:
    long = {
        each.id: each.text
        for each in base.actions.values()
        if len(sentences(each.text)) > 2
        or len(each.text) > (WHOLE if each.emergency else TWO_LINES)
    }
    assert not long


def test_a_look_stays_where_the_air_beside_it_is_held(judge: Judge) -> None:
    lot = judge(
        ("gasping_at_surface", "rapid_gill_movement", "bubbles_under_skin_fins_eyes"),
        hours=6,
        lot={"species": "goldfish", "count": 10, **IN_TANK},
        tank={**SOUND, "do_mg_l": 3.0},
    )
    assert "air_through_the_night" not in ids(lot)
    assert "look_at_night_and_dawn" in ids(lot)


@pytest.mark.parametrize(("fault", "cut"), [("yes", False), ("no", True)])
def test_other_tanks_are_looked_at_while_hands_stay_out(
    judge: Judge, fault: str, cut: bool
) -> None:
    lot = judge(
        ("white_spots", "flashing_rubbing"),
        hours=60,
        lot={"species": "guppy", "count": 10, **IN_TANK},
        tank=SOUND,
        receiving={"shared_system": "yes"},
        electric_fault_suspected=fault,
    )
    assert ("cut_off_from_the_system" in ids(lot)) is cut
    assert "ask_the_other_tanks" in ids(lot)
