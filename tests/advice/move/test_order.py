"""Which shut bag first, the move of each lot, and the limits its water is held against."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from advisor.advice.assess import assess
from advisor.advice.move import order
from advisor.advice.move.order import harm_limits, missing_for_forecast, opening_order
from advisor.case import Case, load_case
from advisor.errors import AdvisorError
from advisor.rulebase import load_rulebase

DEMO = Path(__file__).parents[3] / "cases" / "demo" / "four-lots-bags-still-sealed.toml"


def test_the_order_says_the_move_of_each_lot() -> None:
    result = assess(load_case(DEMO))
    moves = {lot.lot: lot.move.chosen for lot in result.lots if lot.move is not None}
    assert result.opening_order
    assert all(place.move == moves[place.lot] for place in result.opening_order)
    kept = [place.move == "stay_shut" for place in result.opening_order]
    assert kept == sorted(kept)  # what stays shut is never opened before the rest


NO_CASE: Any = None
NO_RULES: Any = None


def thought(lot: str, move: str | None = "float", sealed: bool = True) -> Any:
    way = None if move is None else SimpleNamespace(move=SimpleNamespace(id=move))
    return SimpleNamespace(
        sheet=SimpleNamespace(records={}, sealed=sealed, lot=SimpleNamespace(id=lot)), way=way
    )


Strains = dict[str, tuple[float, float]]


def in_order(
    monkeypatch: pytest.MonkeyPatch, strains: Strains, *thoughts: Any, **more: Any
) -> list[tuple[Any, ...]]:
    """Lots with their places; worst strain and sum of strains are given, not computed."""

    def strain(case: Any, sheet: Any, base: Any) -> tuple[float, float, str]:
        return *strains.get(sheet.lot.id, (1.0, 1.0)), "water"

    monkeypatch.setattr(order, "_strain", strain)
    return [tuple(place)[:4] for place in opening_order(NO_CASE, thoughts, NO_RULES, **more)]


def test_failing_fish_come_first_what_stays_shut_last_then_the_worst_water(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    strains = {"a": (1.0, 9.0), "b": (2.0, 2.0), "c": (2.0, 3.0), "d": (9.0, 9.0), "e": (0.1, 0.1)}
    thoughts = [thought(lot) for lot in "abc"]
    thoughts += [thought("d", "stay_shut"), thought("e", None), thought("out", sealed=False)]
    found = in_order(monkeypatch, strains, *thoughts, urgent=frozenset("e"))
    assert found == [
        ("e", 1, "its fish need help at once; water", None),
        ("c", 2, "water", "float"),
        ("b", 3, "water", "float"),
        ("a", 4, "water", "float"),
        ("d", 5, "kept shut until its next water is ready; water", "stay_shut"),
    ]


def test_failing_fish_come_first_though_their_water_is_not_ready(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    thoughts = thought("b", "stay_shut"), thought("a"), thought("c", "stay_shut")
    found = in_order(monkeypatch, {}, *thoughts, urgent=frozenset("b"))
    assert [(lot, place) for lot, place, *_ in found] == [("b", 1), ("a", 2), ("c", 3)]
    assert found[0][2].startswith("its fish need help"), "the greater reason is said"
    alike = in_order(monkeypatch, {}, thought("z"), thought("y"))
    assert [lot for lot, *_ in alike] == ["y", "z"], "of equal ones the same each time"


def test_a_kinds_own_tolerances_stand_before_those_of_most() -> None:
    base = load_rulebase()
    of_most = harm_limits(base, None)
    assert (of_most.low_c, of_most.high_c, of_most.ph_low) == tuple(
        base.limits[name].value for name in ("tropical_cold", "tropical_warm", "ph_low_for_most")
    )
    told = {"cold_injury_c": 0.0, "heat_injury_c": 25.0, "ph_injury_low": 4.5}
    kind: Any = SimpleNamespace(tolerance=told.get)
    own = harm_limits(base, kind)
    assert (own.low_c, own.high_c, own.ph_low) == (0.0, 25.0, 4.5), "nought is a tolerance"
    assert own.co2_mg_l == of_most.co2_mg_l == base.limits["co2_toxic"].value
    bare: Any = SimpleNamespace(limits={})
    with pytest.raises(AdvisorError, match=r"limits\.toml"):
        harm_limits(bare, None)


@pytest.mark.parametrize(
    ("without", "named"),
    [
        ((), ()),
        (("count",), ("number of fish",)),
        (("bag_water_l",), ("water per bag",)),
        (("mass_g",), ("mass of one fish",)),
        (("hours_sealed",), ("hours sealed",)),
    ],
)
def test_what_a_forecast_lacks_is_named(without: tuple[str, ...], named: tuple[str, ...]) -> None:
    lot = {
        "id": "a",
        "species": "fish",
        "count": 5,
        "mass_g": 1.0,
        "bag_water_l": 2.0,
        "hours_sealed": 9,
    }
    case = Case.model_validate({"lot": [{k: v for k, v in lot.items() if k not in without}]})
    sheet: Any = SimpleNamespace(lot=case.lot[0], kind=None)
    assert missing_for_forecast(case, sheet) == named
