"""Which bag first and which way of opening: laws, and agreement with the rule base."""

from __future__ import annotations

import pytest

from advisor.advice.assess import assess, reason
from advisor.advice.move.cost_of_ways import cheapest_way, gap_at_move, slow_change, slow_limits
from advisor.advice.move.order import harm_limits, limit_of, opening_order
from advisor.advice.reasoner import default_reasoner
from advisor.bag import OPENING_METHODS, SealedBag, TankWater, compare_openings, forecast_sealed
from advisor.case import Case, loads_case
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase
from advisor.rulebase.species import kind_of

CASE = """
format = "arrival-case-1"
[delivery]
title = "two lots (invented)"
invented = true
[transit]
hours_sealed = {hours}
air_low_c = 24
air_high_c = 24
fasted_hours = 30
[receiving]
volume_l = 300
[[lot]]
id = "a"
species = "neon tetra"
count = {a}
mass_g = 0.4
bag_water_l = 2
bag_gas_l = 4
gas = "oxygen"
sealed = "{sealed}"
packed = {{ temperature_c = 24, ph = 7, alkalinity_mg_l_caco3 = 60 }}
[[lot]]
id = "b"
species = "neon tetra"
count = {b}
{mass}
bag_water_l = 2
bag_gas_l = 4
gas = "oxygen"
sealed = "yes"
packed = {{ temperature_c = 24, ph = 7, alkalinity_mg_l_caco3 = 60 }}
"""


def case_of(
    a: int, b: int, hours: str = "30", sealed: str = "yes", mass: str = "mass_g = 0.4"
) -> Case:
    return loads_case(CASE.format(a=a, b=b, hours=hours, sealed=sealed, mass=mass))


def order_of(case: Case, base: RuleBase, urgent: frozenset[str] = frozenset()) -> list[str]:
    thoughts = [reason(case, lot, default_reasoner()) for lot in case.lot]
    return [place.lot for place in opening_order(case, thoughts, base, urgent)]


def test_the_more_crowded_of_two_like_bags_comes_first(base: RuleBase) -> None:
    assert order_of(case_of(80, 20), base) == ["a", "b"]
    assert order_of(case_of(20, 80), base) == ["b", "a"]


def test_an_emergency_goes_before_computed_water(base: RuleBase) -> None:
    assert order_of(case_of(80, 20), base, frozenset({"b"})) == ["b", "a"]


def test_a_bag_that_cannot_be_forecast_is_not_taken_as_harmless(base: RuleBase) -> None:
    """Unknown count: before a bag far under its limits, behind one far over them."""
    text = CASE.format(a=3, b=20, hours="2", sealed="yes", mass="mass_g = 0.4")
    unknown = loads_case(text.replace("count = 20\n", ""))
    assert order_of(unknown, base) == ["b", "a"]
    heavy = CASE.format(a=300, b=20, hours="40", sealed="yes", mass="mass_g = 0.4")
    assert order_of(loads_case(heavy.replace("count = 20\n", "")), base) == ["a", "b"]
    thoughts = [reason(unknown, lot, default_reasoner()) for lot in unknown.lot]
    assert "number of fish" in opening_order(unknown, thoughts, base)[0].because


def test_open_bags_have_no_place_in_the_order(base: RuleBase) -> None:
    assert order_of(case_of(80, 20, sealed="no"), base) == ["b"]


def test_assess_fills_the_order_from_the_same_reckoning(base: RuleBase) -> None:
    case = case_of(80, 20)
    result = assess(case)
    assert [(p.lot, p.place) for p in result.opening_order] == [("a", 1), ("b", 2)]
    assert all(p.because for p in result.opening_order)
    assert assess(case_of(80, 20, sealed="no").model_copy(update={"lot": ()})).opening_order == ()


def test_limits_come_from_the_rule_base_and_the_kind(base: RuleBase) -> None:
    limits = harm_limits(base, None)
    assert limits.nh3_n_mg_l == base.limits["nh3_gill_damage"].value
    assert limits.co2_mg_l == base.limits["co2_toxic"].value
    cold = next(g for g in base.groups.values() if "cold_water" in g.traits and g.temperature_low_c)
    kind = kind_of(
        case_of(1, 1).lot[0].model_copy(update={"species": None, "group": cold.id}), base
    )
    assert harm_limits(base, kind).low_c <= 18.0
    with pytest.raises(AdvisorError, match="missing"):
        limit_of(base, "no_such_limit")


# --- the way of opening ------------------------------------------------------


def openings(tan: float, tank_c: float, ph: float = 6.5, tank_ph: float = 7.8, salt: float = 0.0):
    bag = SealedBag(
        water_l=2.0, gas_l=4.0, fish_count=20, fish_mass_g=0.4, hours=10, temperature=24.0,
        fasted_hours=30, sedated=False, ph=ph, tan_mg_l=tan, alkalinity_mg_l_caco3=60.0,
        salinity_g_kg=salt,
    )  # fmt: skip
    forecast = forecast_sealed(bag, samples=40)
    tank = TankWater(volume_l=300, temperature_c=tank_c, alkalinity_mg_l_caco3=80.0, ph=tank_ph)
    return forecast, compare_openings(forecast, tank, OPENING_METHODS)


def test_net_at_once_where_the_waters_are_near_in_warmth(base: RuleBase) -> None:
    forecast, ways = openings(tan=3.0, tank_c=24.5)
    choice = cheapest_way(ways, base, forecast.oxygen_hours_left)
    assert choice is not None and choice.name == "netted"


def test_float_where_they_are_not_and_never_when_the_oxygen_is_gone(base: RuleBase) -> None:
    """As rules/actions/opening.toml has it: net_straight_over is barred over 2 °C."""
    forecast, ways = openings(tan=3.0, tank_c=29.0)
    choice = cheapest_way(ways, base, forecast.oxygen_hours_left)
    assert choice is not None and choice.name == "floated"
    from advisor.bag import Band

    gone = cheapest_way(ways, base, Band(0.1, 0.0, 0.2))
    assert gone is not None and gone.name != "floated"
    barred = {cost.name: cost.barred for cost in gone.costs}
    assert "oxygen" in str(barred["floated"])


def test_bag_water_is_never_poured_in_and_no_ammonia_is_dripped_on(base: RuleBase) -> None:
    for tan, tank_c in ((0.0, 24.0), (3.0, 24.0), (20.0, 30.0)):
        forecast, ways = openings(tan=tan, tank_c=tank_c)
        choice = cheapest_way(ways, base, forecast.oxygen_hours_left)
        assert choice is not None and choice.name != "poured"
        if tan >= base.limits["act_bag_tan"].value:
            assert choice.name != "dripped"


def test_ammonia_over_its_limit_already_takes_the_least_dose(base: RuleBase) -> None:
    forecast, ways = openings(tan=10.0, tank_c=24.0, ph=7.8)
    choice = cheapest_way(ways, base, forecast.oxygen_hours_left)
    assert choice is not None and choice.name == "netted"
    assert "already" in choice.because


def test_leaving_it_open_is_no_way_of_moving(base: RuleBase) -> None:
    forecast, ways = openings(tan=3.0, tank_c=24.0)
    still = [way for way in ways if way.name == "left_open"]
    assert cheapest_way(still, base, forecast.oxygen_hours_left) is None
    assert gap_at_move(still[0]) == 0.0


def test_the_gap_at_the_move_is_that_of_bag_and_tank() -> None:
    _, ways = openings(tan=3.0, tank_c=29.0)
    gaps = {way.name: gap_at_move(way) for way in ways}
    assert gaps["netted"] == pytest.approx(5.0, abs=0.01)
    assert 0.0 < gaps["floated"] < gaps["netted"]


def test_slow_change_wins_for_invertebrates_and_salt_alone(base: RuleBase) -> None:
    _, fresh = openings(tan=3.0, tank_c=24.0)
    lot = case_of(1, 1).lot[0]
    shrimp = kind_of(lot.model_copy(update={"species": "red cherry shrimp"}), base)
    fish = kind_of(lot, base)
    assert slow_change(fish, fresh, None, base) is None
    slow = slow_change(shrimp, fresh, None, base)
    assert slow is not None and slow.text == base.actions["drip_invertebrates"].text
    forecast, _ = openings(tan=3.0, tank_c=24.0, salt=8.0, ph=7.5)
    tank = TankWater(volume_l=300, temperature_c=24.0, alkalinity_mg_l_caco3=80.0)
    salty = compare_openings(forecast, tank, slow_change=slow_limits(base))
    slow = slow_change(fish, salty, None, base)
    assert slow is not None and slow.text == base.actions["drip_large_osmotic_step"].text
