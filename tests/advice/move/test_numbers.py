"""Every way of the move in numbers, worked out by the bag's physics."""

from __future__ import annotations

from pathlib import Path

from advisor.advice.assess import assess, default_reasoner, reason
from advisor.advice.move.way_numbers import ways_in_numbers
from advisor.case import load_case

DEMO = Path(__file__).parents[3] / "cases" / "demo" / "four-lots-bags-still-sealed.toml"


def test_clean_water_at_once_costs_less_ammonia_than_a_drip() -> None:
    """The chemistry behind "net them over" (zebrafish news 1997; Emerson et al. 1975)."""
    case, reasoner = load_case(DEMO), default_reasoner()
    reasoned = reason(case, case.lot[0], reasoner)
    found = {each.move: each for each in ways_in_numbers(case, reasoned.sheet, reasoner.base)}
    assert {"float", "open_and_net_over", "slow_change", "tub_like_bag"} <= set(found)
    netted, dripped = found["open_and_net_over"], found["slow_change"]
    assert netted.nh3_dose_n_mg_h_l.value < dripped.nh3_dose_n_mg_h_l.value
    assert netted.ph_step.value > dripped.ph_step.value  # what the drip is bought with


def test_the_order_says_the_move_of_each_lot() -> None:
    result = assess(load_case(DEMO))
    moves = {lot.lot: lot.move.chosen for lot in result.lots if lot.move is not None}
    assert result.opening_order
    assert all(place.move == moves[place.lot] for place in result.opening_order)
    kept = [place.move == "stay_shut" for place in result.opening_order]
    assert kept == sorted(kept)  # what stays shut is never opened before the rest
