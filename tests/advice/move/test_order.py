"""The order of shut bags says the move of each lot."""

from __future__ import annotations

from pathlib import Path

from advisor.advice.assess import assess
from advisor.case import load_case

DEMO = Path(__file__).parents[3] / "cases" / "demo" / "four-lots-bags-still-sealed.toml"


def test_the_order_says_the_move_of_each_lot() -> None:
    result = assess(load_case(DEMO))
    moves = {lot.lot: lot.move.chosen for lot in result.lots if lot.move is not None}
    assert result.opening_order
    assert all(place.move == moves[place.lot] for place in result.opening_order)
    kept = [place.move == "stay_shut" for place in result.opening_order]
    assert kept == sorted(kept)  # what stays shut is never opened before the rest
