"""A lot of which nobody lives is asked nothing of breath, skin and fins, and has no emergency."""

from __future__ import annotations

import pytest

from advisor.advice.assess import assess, plan_of, reason
from advisor.advice.reasoner import Reasoner
from advisor.ask.next_question import askable
from advisor.case import loads_case

#: As a foreman met it: three gouramis gasped under a cover, and all three are dead.
LOT = """
[[lot]]
id = "gouramis"
species = "dwarf gourami"
count = 3
{place}
history.surface_covered = "yes"
[[observation]]
at_hours = 0.2
seen = ["gasping_at_surface", "lying_on_side"]
counts.dead = {dead}
"""
TANK = 'release_method = "netted"\nreleased_at_hours = 0.0'
OPEN = 'sealed = "no"\nopened_at_hours = 0.0'
OF_THE_LIVING = {"hand_test", "food", "body_at_a_glance", "skin", "gills", "behaviour"}


@pytest.mark.parametrize("place", [TANK, OPEN])
def test_all_dead(place: str, reasoner: Reasoner) -> None:
    """With two of three dead the same questions and emergencies stand; with three none does."""
    found = {}
    for dead in (2, 3):
        case = loads_case(LOT.format(place=place, dead=dead))
        reasoned = reason(case, case.lot[0], reasoner)
        asked = {each.id for each in askable(case, case.lot[0], reasoned, reasoner)}
        urgent = [a.id for a in plan_of(reasoned, reasoner).actions if a.emergency]
        found[dead] = asked & OF_THE_LIVING, urgent
    assert found[2][0] == OF_THE_LIVING and found[2][1]
    assert found[3] == (set(), [])


def test_what_counts_then_is_the_proof(reasoner: Reasoner) -> None:
    """The water is tested and the dead are kept: neighbours live in that tank."""
    case = loads_case(LOT.format(place=TANK, dead=3))
    steps = {action.id for action in assess(case, reasoner).lots[0].actions}
    assert "test_water_first" in steps
