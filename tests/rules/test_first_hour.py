"""The safe first hour: what is said while there is not enough to tell."""

from __future__ import annotations

import pytest

from advisor.rulebase import RuleBase
from tests.rules.conftest import SOUND, Judge, ids

#: Thin reports as they come: a few signs, nothing measured.
THIN = [
    (),
    ("hiding",),
    ("weak_response",),
    ("lying_on_side",),
    ("delayed_deaths",),
    ("flashing_rubbing",),
]


@pytest.mark.parametrize("seen", THIN)
@pytest.mark.parametrize("hours", [1.0, 60.0, 200.0])
def test_it_is_gentle(judge: Judge, base: RuleBase, seen: tuple[str, ...], hours: float) -> None:
    told = judge(seen, hours=hours)
    if not told.not_enough:
        return
    shown = ids(told)
    assert {"test_water_first", "hold_medicines", "ready_matched_water"} <= set(shown)
    assert {"dim_and_quiet", "check_air_and_filter"} <= set(shown)
    for name in shown:
        action = base.actions[name]
        assert action.amount is None or action.emergency
        assert name != "leave_alone"


def test_thin_reports_are_not_enough_to_tell(judge: Judge) -> None:
    assert sum(judge(seen, hours=60.0).not_enough for seen in THIN) >= len(THIN) - 1


def test_air_comes_first_where_breath_is_hard_or_nobody_looked(judge: Judge) -> None:
    assert ids(judge(("rapid_gill_movement",)))[0] == "air_tank"
    assert ids(judge(("delayed_deaths", "weak_response"), hours=60.0))[0] == "air_tank"


def test_calm_breath_needs_no_emergency_air(judge: Judge) -> None:
    calm = judge(
        ("weak_response", "delayed_deaths"),
        ("gasping_at_surface", "rapid_gill_movement"),
        hours=60.0,
    )
    assert calm.not_enough
    assert "air_tank" not in ids(calm)
    assert "check_air_and_filter" in ids(calm)


def test_shyness_alone_is_no_emergency(judge: Judge) -> None:
    shy = judge(("hiding", "pale_body_colour_loss"), hours=2.0)
    assert not any(action.emergency for action in shy.actions)


def test_order_is_air_warmth_tests_quiet(judge: Judge) -> None:
    shown = ids(judge(("lying_on_side",), hours=2.0))
    places = [
        shown.index(name)
        for name in ("air_tank", "read_thermometer", "test_water_first", "dim_and_quiet")
    ]
    assert places == sorted(places)


def test_a_sample_is_kept_after_the_air_is_on(judge: Judge) -> None:
    shown = ids(judge(("sudden_deaths", "gasping_at_surface"), hours=60.0))
    assert shown.index("air_tank") < shown.index("keep_water_sample")


def test_a_cause_no_more_than_possible_is_not_enough(judge: Judge) -> None:
    for seen in (("unresponsive",), ("cotton_tufts",), ("stringy_faeces",)):
        told = judge(seen, hours=30.0)
        if told.causes[0].standing in ("possible", "unlikely"):
            assert told.not_enough


def test_nobody_airs_a_tank_of_dead_fish(judge: Judge) -> None:
    gone = judge(
        ("sudden_deaths",), hours=100.0, lot={"count": 30}, counts={"dead": 30, "normal": 0}
    )
    assert not {"air_tank", "dim_and_quiet", "hold_food"} & set(ids(gone))
    assert "keep_water_sample" in ids(gone)


def test_some_dead_of_nobody_knows_how_many_leave_fish_to_air_for(judge: Judge) -> None:
    told = judge(("hanging_near_inflow", "sudden_deaths"), hours=100.0, counts={"dead": 9})
    assert told.actions[0].id == "air_tank"


def test_sound_water_and_a_level_answering_fish_are_enough(judge: Judge) -> None:
    rested = judge(
        ("lying_on_bottom_upright", "answers_a_hand", "breathing_settling"),
        lot={"group": "corydoras", "count": 12, "released_at_hours": 0.5},
        tank=SOUND,
    )
    assert not rested.not_enough
    assert ids(rested)[0] == "leave_alone"
