"""A bag's temperature beside its fellows, the air of the journey and the tank."""

from __future__ import annotations

import pytest

from advisor.case import loads_case
from advisor.case.figures import unlikely
from advisor.case.warmth import warmth_doubt

TWO = """
{air}
[[lot]]
id = "a"
species = "guppy"
[[lot]]
id = "b"
species = "neon tetra"
[[observation]]
at_hours = {hour}
lot = "b"
bag.temperature_c = 22.5
"""


def case(air: str = "", hour: float = 0.0):  # type: ignore[no-untyped-def]
    return loads_case(TWO.format(air=f"[transit]\n{air}" if air else "", hour=hour))


@pytest.mark.parametrize(
    ("celsius", "asked"), [(7.0, True), (16.0, True), (17.0, False), (28.0, False), (29.0, True)]
)
def test_bags_of_one_delivery_are_held_against_each_other(celsius: float, asked: bool) -> None:
    assert bool(warmth_doubt(case(), "a", celsius, 0.1)) is asked
    assert warmth_doubt(case(), "b", celsius, 0.1) is None, "its own earlier reading is no fellow"
    assert warmth_doubt(case(hour=-5.0), "a", celsius, 0.1) is None, "read hours apart"


@pytest.mark.parametrize(
    ("celsius", "asked"),
    [(7.0, True), (11.9, True), (13.0, False), (32.0, False), (34.0, True)],
)
def test_no_bag_is_colder_than_the_coldest_air(celsius: float, asked: bool) -> None:
    """Heat flows from warm to cold (the second law): a bag passes the air it lies in by nothing,
    unless it was packed so warm or lies by a heat pack."""
    told = case("air_low_c = 15\nair_high_c = 24", hour=-9.0)
    assert bool(warmth_doubt(told, "a", celsius, 0.0)) is asked


def test_the_tank_is_held_against_it_only_where_no_journey_was_told() -> None:
    alone = case(hour=-9.0)
    assert warmth_doubt(alone, "a", 7.0, 0.0, 25.0) and not warmth_doubt(
        alone, "a", 14.0, 0.0, 25.0
    )
    assert warmth_doubt(case("air_low_c = 4", hour=-9.0), "a", 7.0, 0.0, 25.0) is None
    felt = loads_case('[[lot]]\nid = "a"\nhistory.box_arrived_cold = "yes"\n')
    assert warmth_doubt(felt, "a", 7.0, 0.0, 25.0) is None


def test_it_stands_beside_the_advice_of_a_file() -> None:
    text = TWO.format(air="", hour=0.0) + "[[observation]]\nlot = 'a'\nbag.temperature_c = 7\n"
    assert sum("another bag of this delivery" in each for each in unlikely(loads_case(text))) == 2
