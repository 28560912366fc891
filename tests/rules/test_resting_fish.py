"""Resting is no alarm; something else with a name is."""

from __future__ import annotations

from typing import Any

import pytest

from tests.rules.conftest import SOUND, Judge, decibans, ids

GROUPS = [
    "corydoras",
    "weather_loaches",
    "botiid_loaches",
    "suckermouth_catfish",
    "hardy_tetras",
    "barbs",
]
RELEASED = {"count": 12, "released_at_hours": 0.5}


@pytest.fixture(scope="module")
def groups(base: Any) -> list[str]:
    return [g for g in base.groups if "bottom_rester" in base.groups[g].traits]


def test_bottom_resters_raise_no_alarm_by_resting(judge: Judge, groups: list[str]) -> None:
    assert len(groups) >= 3
    for group in groups:
        resting = judge(
            ("lying_on_bottom_upright", "pale_body_colour_loss", "hiding"),
            lot={"group": group, **RELEASED},
        )
        assert resting.causes[0].id == "settling", group
        assert not any(action.emergency for action in resting.actions), group
        assert "resting-kind" in {notice.id for notice in resting.notices}


@pytest.mark.parametrize("hours", [2.0, 20.0, 40.0])
def test_sound_water_and_nothing_but_rest_is_settling(judge: Judge, hours: float) -> None:
    told = judge(
        ("lying_on_bottom_upright", "refusing_food", "answers_a_hand"),
        ("gasping_at_surface", "rapid_gill_movement", "lying_on_side"),
        hours=hours,
        lot={"group": "hardy_tetras", **RELEASED},
        tank=SOUND,
    )
    assert told.causes[0].id == "settling"
    assert told.causes[0].standing == "very_likely"
    assert ids(told)[0] == "leave_alone"


#: one thing more than rest -> what must then stand first, or that leaving alone is off.
MORE: list[tuple[dict[str, Any], str | None]] = [
    ({"tangled_in_net": "yes", "wound": True}, "injury"),
    ({"chaser_seen": "yes", "wound": True}, None),
    ({"tank": {**SOUND, "nitrite_mg_l": 1.2}}, None),
    ({"counts": {"down": 6, "dead": 1, "normal": 5}}, None),
]


@pytest.mark.parametrize("more, first", MORE)
def test_one_thing_more_than_rest(judge: Judge, more: dict[str, Any], first: str | None) -> None:
    told: dict[str, Any] = {"tank": SOUND, **more}
    seen: tuple[str, ...] = ("lying_on_bottom_upright", "answers_a_hand")
    if told.pop("wound", False):
        seen = (*seen, "missing_scales", "one_or_few_fish_affected")
    plain = judge(seen[:2], lot={"group": "hardy_tetras", **RELEASED}, tank=SOUND)
    result = judge(seen, lot={"group": "hardy_tetras", **RELEASED}, **told)
    assert decibans(result, "settling") < decibans(plain, "settling")
    if first is None:
        assert ids(result)[0] != "leave_alone"
    else:
        assert result.causes[0].id == first


def test_air_gulpers_at_ease_are_not_short_of_oxygen(judge: Judge) -> None:
    told = judge(
        ("gasping_at_surface", "answers_a_hand"),
        ("rapid_gill_movement", "lying_on_side"),
        lot={"group": "gouramis", **RELEASED},
        tank=SOUND,
    )
    assert told.causes[0].id == "settling"


def test_an_itch_is_not_tiredness(judge: Judge) -> None:
    lot = {"group": "hardy_tetras", **RELEASED}
    rest = judge(("hiding",), hours=60.0, lot=lot, tank=SOUND)
    itch = judge(("hiding", "flashing_rubbing"), hours=60.0, lot=lot, tank=SOUND)
    assert decibans(itch, "settling") < decibans(rest, "settling")


def test_fish_still_in_a_closed_bag_are_unpacked_not_left(judge: Judge) -> None:
    told = judge(
        ("lying_on_bottom_upright", "answers_a_hand"),
        hours=0.1,
        lot={"group": "corydoras", "count": 12, "sealed": "yes", "hours_sealed": 20},
        tank=SOUND,
    )
    assert "leave_alone" not in ids(told)
    assert "prepare_before_opening" in ids(told)
