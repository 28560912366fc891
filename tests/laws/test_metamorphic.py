"""Two deliveries that differ in one thing: the comparison itself.

The advice under it is tried in test_advice.
"""

from __future__ import annotations

from tests.laws.metamorphic import differing, draw, rescue_lost, worse_readings
from tests.laws.plan import written


def test_a_lost_rescue_is_seen() -> None:
    before = written("!Net them straight over.", "Air the tank.")
    assert rescue_lost(before, before) == []
    assert rescue_lost(before, written("!Move them into a tub.", "Air the tank.")) == []
    assert rescue_lost(before, written("Leave them alone.")) == [
        "air: no more",
        "out of this water: no more",
        "emergency: no more",
    ]


def test_plans_that_part_are_seen() -> None:
    one = written("Air the tank.", "No food.")
    assert differing(one, one) == []
    assert differing(one, written("!Air the tank.", "No food."))
    assert differing(one, written("Air the tank.", "Feed them."))
    assert differing(one, written("Air the tank.")) == ["2 or 1 steps"]


def test_worse_means_worse() -> None:
    made = [what for seed in range(40) for what, _ in worse_readings(draw(seed, "failing now"))]
    assert any("tan_mg_l" in what for what in made) and any("do_mg_l" in what for what in made)
    for what in made:
        name, before, _, after = what.split()[1:]
        assert (float(after) < float(before)) == (name == "do_mg_l"), what
