"""The move follows from where the fish are; nothing sends them into water surely unfit.

What is asked for here was written from handling practice (common practice, no source,
unless one is named), not read from the rules.
"""

from __future__ import annotations

from typing import Any

import pytest

from advisor.advice.assess import assess
from advisor.advice.results import LotResult
from advisor.case import Case

METER = "meter"


def number(value: float, kit: str = METER) -> dict[str, Any]:
    return {"value": value, "kit": kit}


SOUND: dict[str, Any] = {
    "temperature_c": number(25.0),
    "ph": number(7.2),
    "tan_mg_l": number(0.0, "drops"),
    "nitrite_mg_l": number(0.0, "drops"),
    "do_mg_l": number(7.8),
}
READY: dict[str, Any] = {
    "volume_l": 200,
    "filter": "mature",
    "age_days": 400,
    "aerated": "yes",
    "residents": "no",
}


def told(
    lot: dict[str, Any],
    look: dict[str, Any],
    receiving: dict[str, Any] | None = None,
    **history: Any,
) -> LotResult:
    lot = {"id": "a", "species": "tiger barb", "count": 20, "mass_g": 2, **lot}
    case = Case.model_validate(
        {
            "transit": {"hours_sealed": 26},
            "receiving": READY if receiving is None else receiving,
            "history": history,
            "lot": [lot],
            "observation": [{"at_hours": 0.3, "lot": "a", **look}],
        }
    )
    return assess(case).lots[0]


SHUT = {"sealed": "yes"}
CALM = {"seen": ["swimming_normally"], "not_seen": ["gasping_at_surface", "lying_on_side"]}
LIMP = {"seen": ["lying_on_side", "signs_before_bag_opened"]}


def bag(celsius: float, **more: Any) -> dict[str, Any]:
    return {"temperature_c": number(celsius), **more}


def move(lot: LotResult) -> str:
    assert lot.move is not None
    return lot.move.chosen


def ids(lot: LotResult) -> list[str]:
    return [action.id for action in lot.actions]


@pytest.mark.parametrize(
    ("tank", "receiving", "history", "dimension"),
    [
        ({"temperature_c": number(9.0)}, {}, {}, "temperature"),
        ({"temperature_c": number(40.0)}, {}, {}, "temperature"),
        ({"tan_mg_l": number(4.0, "drops"), "ph": number(8.2)}, {}, {}, "ammonia"),
        ({"nitrite_mg_l": number(3.0, "drops")}, {}, {}, "nitrite"),
        ({"chlorine_mg_l": number(1.5)}, {}, {}, "chlorine"),
        ({"do_mg_l": number(1.5)}, {}, {}, "oxygen"),
        ({"salinity_g_kg": number(35.0)}, {}, {}, "salinity"),
        ({"ph": number(11.0)}, {}, {}, "ph"),
        ({}, {"residents": "yes", "residents_well": "no"}, {}, "residents"),
        ({}, {}, {"pure_ro_water": "yes"}, "minerals"),
        ({}, {}, {"formalin_in_water": "yes"}, "copper"),
    ],
)
def test_shut_bags_stay_shut_before_unfit_water(
    tank: dict[str, Any], receiving: dict[str, Any], history: dict[str, Any], dimension: str
) -> None:
    look = {**CALM, "bag": bag(25.0), "tank": {**SOUND, **tank}}
    lot = told(SHUT, look, {**READY, **receiving}, **history)
    fit = {each.dimension: each for each in lot.fit}[dimension]
    assert fit.state == "not_fit" and fit.because
    assert move(lot) == "stay_shut"
    assert "keep_shut" in ids(lot)[:2]
    assert not {"float_closed", "net_straight_over", "open_worst_bag_first"} & {*ids(lot)}


def test_an_ordinary_delivery_floats_and_goes_over() -> None:
    apart = told(SHUT, {**CALM, "bag": bag(21.0), "tank": SOUND})
    assert move(apart) == "float" and ids(apart)[0] == "float_closed"
    alike = told(SHUT, {**CALM, "bag": bag(24.5), "tank": SOUND})
    assert move(alike) == "open_and_net_over"
    assert not any(action.emergency for lot in (apart, alike) for action in lot.actions)


def test_what_was_not_read_and_may_kill_is_read_first() -> None:
    lot = told(SHUT, CALM, {})
    assert move(lot) == "stay_shut"
    assert ids(lot)[:2] == ["keep_shut", "read_tank_before_release"]
    assert lot.move is not None and lot.move.would_change


def test_fish_failing_behind_the_plastic_come_out_at_once() -> None:
    lot = told(SHUT, {**LIMP, "bag": bag(24.0), "tank": SOUND})
    assert ids(lot)[0] == "open_worst_bag_first" and lot.actions[0].emergency
    foul = told(SHUT, {**LIMP, "bag": bag(24.0), "tank": {**SOUND, "chlorine_mg_l": number(1.0)}})
    assert ids(foul)[0] == "tub_like_the_bag" and foul.actions[0].emergency


def test_hot_and_cold_bags_go_part_of_the_way() -> None:
    hot = told(SHUT, {"seen": ["gasping_at_surface"], "bag": bag(38.0), "tank": SOUND})
    assert ids(hot)[0] == "out_of_the_heat"
    assert hot.actions[0].amounts[0].value == pytest.approx(35.0)
    cold = told(SHUT, {**LIMP, "bag": bag(9.0, tan_mg_l=number(0.5, "drops")), "tank": SOUND})
    assert ids(cold)[0] == "rewarm_slowly"
    unread = told(SHUT, {**LIMP, "bag": bag(9.0), "tank": SOUND})
    assert ids(unread)[0] == "rewarm_opened"  # 26 h shut, and nobody read the ammonia
    assert not {"rewarm_in_tank", "cool_slowly"} & {*ids(hot), *ids(cold)}


def test_a_fall_that_lies_ahead_warms_nobody() -> None:
    """A bag at 34 beside a tank at 23: nobody is cold."""
    lot = told(
        SHUT,
        {
            **CALM,
            "bag": bag(34.0),
            "tank": {**SOUND, "temperature_c": number(23.0)},
        },
    )
    assert not any(name.startswith("rewarm") for name in ids(lot))


def test_opened_bags_are_left() -> None:
    opened = {"sealed": "no", "opened_at_hours": 0.1}
    look = {"seen": ["rapid_gill_movement"], "bag": bag(24.0)}
    assert ids(told(opened, {**look, "tank": SOUND}))[0] == "net_out_of_open_bag"
    unfit = {**SOUND, "nitrite_mg_l": number(5.0)}
    assert ids(told(opened, {**look, "tank": unfit}))[0] == "tub_from_open_bag"
    none = told(opened, look, {}, tank_at_hand="no")
    assert ids(none)[0] == "tub_from_open_bag" and "make_do_tub" in ids(none)


def test_fish_in_water_of_the_wrong_salt_leave_it() -> None:
    tank = {**SOUND, "salinity_g_kg": number(0.3)}
    sea = {"species": "clownfish", "released_at_hours": 0.1, "sealed": "no"}
    lot = told(sea, {"seen": ["lying_on_side"], "tank": tank})
    assert move(lot) == "own_salinity_tub" and ids(lot)[0] == "own_salinity_now"


def test_invertebrates_are_never_netted_over() -> None:
    shrimp = {"species": "cherry shrimp", **SHUT}
    lot = told(shrimp, {**CALM, "bag": bag(24.5), "tank": SOUND}, copper_in_water="no")
    assert move(lot) == "slow_change"
    copper = told(shrimp, {**CALM, "bag": bag(24.5), "tank": SOUND}, copper_in_water="yes")
    assert move(copper) == "stay_shut"


def test_every_way_says_why_it_is_not_taken() -> None:
    lot = told(SHUT, {**CALM, "bag": bag(21.0), "tank": SOUND})
    assert lot.move is not None
    states = {way.move: way.state for way in lot.move.ways}
    assert states["float"] == "chosen" and list(states.values()).count("chosen") == 1
    assert all(way.because for way in lot.move.ways)


@pytest.mark.parametrize("tank", [{}, {"nitrite_mg_l": number(3.0)}, {"chlorine_mg_l": number(2)}])
def test_a_worse_tank_never_takes_the_way_out_away(tank: dict[str, Any]) -> None:
    lot = told(SHUT, {**LIMP, "bag": bag(24.0), "tank": {**SOUND, **tank}})
    assert any(action.step == "rescue" for action in lot.actions[:3])


def test_lively_fish_and_a_thermometer_at_four_degrees() -> None:
    released = {"released_at_hours": 0.1, "sealed": "no"}
    tank = {**SOUND, "temperature_c": number(4.0)}
    lot = told(released, {**CALM, "tank": tank})
    assert [doubt.id for doubt in lot.doubts] == ["tank_cold_and_fish_lively"]
    assert ids(lot)[0] == "read_temperature_again"
    assert "rewarm_in_tank" not in ids(lot)
    limp = told(released, {"seen": ["lying_on_side"], "tank": tank})
    assert not limp.doubts and ids(limp)[0] == "out_of_cold_tank"
