"""What was said of a tank speaks for nothing in fish that never met it; tubs are reckoned.

Written from handling practice (common practice, no source, unless one is named).
"""

from __future__ import annotations

from typing import Any

import pytest

from advisor.advice.amounts import tubs
from advisor.advice.amounts.worked import Worked
from advisor.advice.assess import assess
from advisor.advice.results import LotResult
from advisor.case import Case

SHUT = {"sealed": "yes"}
OUT = {"sealed": "no", "opened_at_hours": 0.1, "released_at_hours": 0.2, "release_method": "netted"}
TANK_TALE = {
    "untreated_tap_water": "yes",
    "hose_left_running": "yes",
    "filter_rinsed_or_replaced": "yes",
    "copper_in_water": "yes",
    "spraying_nearby": "yes",
}


def told(lot: dict[str, Any], look: dict[str, Any], **history: Any) -> LotResult:
    case = Case.model_validate(
        {
            "transit": {"hours_sealed": 20},
            "receiving": {"volume_l": 100, "filter": "new", "supply": "chlorine"},
            "history": history,
            "lot": [{"id": "a", "species": "tiger barb", "count": 20, "mass_g": 2, **lot}],
            "observation": [{"at_hours": 1.0, "lot": "a", **look}],
        }
    )
    return assess(case).lots[0]


def weights(lot: LotResult) -> dict[str, float]:
    return {cause.id: cause.decibans for cause in lot.causes}


@pytest.mark.parametrize("item", sorted(TANK_TALE))
def test_a_tale_of_the_tank_moves_no_cause_of_fish_still_bagged(item: str) -> None:
    look = {"seen": ["darting", "rapid_gill_movement"]}
    without = weights(told(SHUT, look))
    assert weights(told(SHUT, look, **{item: TANK_TALE[item]})) == without


def test_the_same_tale_speaks_once_they_swim_in_it() -> None:
    look = {"seen": ["darting", "rapid_gill_movement"]}
    before, after = weights(told(OUT, look)), weights(told(OUT, look, untreated_tap_water="yes"))
    assert after["chlorine"] > before["chlorine"]


def test_bag_ammonia_turned_deadly_is_met_by_fish_dripped_in_their_bag() -> None:
    # zfnews 1997: opened, the bag's pH rises and its ammonia turns toxic.
    lot = told(
        {**OUT, "released_at_hours": 0.9, "release_method": "dripped"},
        {
            "seen": ["darting"],
            "bag": {"tan_mg_l": {"value": 18, "kit": "drops"}},
            "tank": {
                "ph": {"value": 8.2, "kit": "meter"},
                "temperature_c": {"value": 25, "kit": "meter"},
            },
        },
    )
    bag = next(cause for cause in lot.causes if cause.id == "ammonia_bag")
    assert "bag-ammonia-turned-deadly" in {piece.rule for piece in bag.evidence_for}


def hours(litres: float, grams: float, ph: float) -> float:
    found = tubs.carries_h(litres, 0.0411, 20, grams, ph, 26.0)
    assert isinstance(found, Worked)
    return found.value


def test_a_fuller_or_more_alkaline_tub_carries_fish_for_less_long() -> None:
    assert hours(20.0, 200.0, 8.2) < hours(60.0, 200.0, 8.2)
    assert hours(20.0, 200.0, 8.2) < hours(20.0, 200.0, 7.2)


def test_hours_of_a_tub_against_a_sum_by_hand() -> None:
    """Unfed, unfiltered: TAN grows in proportion, so the hours go with the litres.

    Emerson et al. (1975): at pH 8.2 and 26 °C 8.6 % of TAN is NH3, so 0.0411 mg/L is reached
    at 0.48 mg/L of TAN. At the 3 to 15 mg of N per kg and hour of fasted small fish (Lim et al.
    2003 and the bag's own sources) 0.2 kg in 20 L take 3 to 16 h.
    """
    assert 3.0 <= hours(20.0, 200.0, 8.2) <= 16.0


def test_a_make_do_tub_says_how_long_it_carries_them() -> None:
    lot = told(SHUT, {"seen": ["swimming_normally"]}, tank_at_hand="no")
    make_do = next(step for step in lot.actions if step.id == "make_do_tub")
    labels = {amount.label: amount for amount in make_do.amounts}
    carried = labels[tubs.CARRIES]
    assert carried.value is not None and carried.unit == "h"
    assert "should the air stop" in (carried.working or "")


def test_more_fish_than_a_tub_holds_get_another_way() -> None:
    lot = told(
        {"sealed": "yes", "count": 12, "mass_g": 500},
        {"seen": ["lying_on_side"], "tank": {"chlorine_mg_l": {"value": 1.0, "kit": "meter"}}},
    )
    assert "more_fish_than_a_tub_holds" in [step.id for step in lot.actions]


def packed(**bag: Any) -> LotResult:
    """A crowded bag an hour after packing, the fish calm."""
    case = Case.model_validate(
        {
            "transit": {"hours_sealed": 1},
            "receiving": {"volume_l": 500, "filter": "mature", "residents": "no"},
            "lot": [
                {"id": "a", "species": "tiger barb", "count": 900, "mass_g": 2, "bags": 1,
                 "bag_water_l": 10, "bag_gas_l": 30, "gas": "oxygen", "sealed": "yes", **bag}
            ],
            "observation": [
                {"at_hours": 0.2, "lot": "a", "seen": ["swimming_normally"],
                 "not_seen": ["lying_on_side", "gasping_at_surface"]}
            ],
        }
    )  # fmt: skip
    return assess(case).lots[0]


def test_gas_that_does_not_reach_the_water_is_turned_in() -> None:
    assert "turn_the_bags" in [step.id for step in packed().actions]
    assert "turn_the_bags" not in [step.id for step in packed(count=30).actions]


def test_a_bag_reading_that_no_load_explains_is_read_again_and_weighs_little() -> None:
    look = {"seen": ["swimming_normally"], "bag": {"tan_mg_l": {"value": 90, "kit": "drops"}}}
    lot = told({**SHUT, "bag_water_l": 10, "bag_gas_l": 20, "gas": "oxygen"}, look)
    assert "bag_tan_no_draw_explains" in [doubt.id for doubt in lot.doubts]
    assert "read_bag_again" in [step.id for step in lot.actions]
