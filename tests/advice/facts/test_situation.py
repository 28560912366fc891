"""Where the fish are leads: what they have not met neither helps nor accuses."""

from __future__ import annotations

from typing import Any

import pytest

from advisor.advice.assess import reason
from advisor.advice.reasoner import Reasoned, default_reasoner
from advisor.case import Case

METER = "meter"


def delivery(lot: dict[str, Any], *looks: dict[str, Any], **more: Any) -> Case:
    lot = {"id": "a", "species": "tiger barb", "count": 20, **lot}
    return Case.model_validate({"lot": [lot], "observation": list(looks), **more})


def thought(case: Case, until: float = float("inf")) -> Reasoned:
    return reason(case, case.lot[0], default_reasoner(), until)


TANK = {"temperature_c": {"value": 14.0, "kit": METER}, "ph": {"value": 7.0, "kit": METER}}
BAG = {"temperature_c": {"value": 25.0, "kit": METER}}


@pytest.mark.parametrize(
    ("lot", "look", "place"),
    [
        ({"sealed": "yes"}, {}, "closed_bag"),
        ({"sealed": "no"}, {}, "open_bag"),
        ({"sealed": "no"}, {"tank": TANK}, "open_bag"),  # nobody says that they were let out
        ({"opened_at_hours": 0.1}, {"minutes_after_opening": 10}, "open_bag"),
        ({"sealed": "yes", "opened_at_hours": 0.1}, {}, "open_bag"),
        ({"release_method": "dripped"}, {}, "open_bag"),
        ({"release_method": "netted"}, {}, "tank"),
        ({"released_at_hours": 0.5}, {}, "tank"),
        ({"released_at_hours": 0.5}, {"bag": {"ph": 6.5}}, "tank"),  # kept water, read later
        ({"sealed": "no"}, {"done": ["tub_like_the_bag"]}, "tub"),
        ({"sealed": "no"}, {"tub": {"temperature_c": 25.0}}, "tub"),
        ({"released_at_hours": 0.1}, {"done": ["move_to_clean_water"]}, "tub"),
        ({"sealed": "no", "history": {"fish_are_in": "tub"}}, {}, "tub"),
        ({}, {}, "unknown"),
    ],
)
def test_place(lot: dict[str, Any], look: dict[str, Any], place: str) -> None:
    case = delivery(lot, {"at_hours": 1.0, **look})
    assert thought(case).sheet.situation.place == place


def test_a_later_hour_moves_the_fish() -> None:
    case = delivery(
        {"sealed": "yes", "opened_at_hours": 0.4, "released_at_hours": 0.6},
        {"at_hours": 0.0},
        {"at_hours": 0.5},
        {"at_hours": 1.0},
    )
    places = [thought(case, until).sheet.situation.place for until in (0.1, 0.5, 1.0)]
    assert places == ["closed_bag", "open_bag", "tank"]


def test_a_step_not_taken_is_no_evidence() -> None:
    """A tank nine degrees colder that nobody has entered chills nobody."""
    shut = thought(delivery({"sealed": "yes"}, {"bag": BAG, "tank": TANK}))
    assert ("value", "temperature_step_c") not in shut.facts
    assert ("value", "tank_temperature_c") not in shut.facts
    assert shut.sheet.number("step_ahead_temperature_c") == pytest.approx(-11.0)
    assert not any(piece.counts for piece in cause(shut, "cold").evidence_for)
    let_out = thought(delivery({"released_at_hours": 0.0}, {"bag": BAG, "tank": TANK}))
    assert let_out.facts[("value", "temperature_step_c")] == pytest.approx(-11.0)
    assert ("computed", "step_ahead_temperature_c") not in let_out.sheet.records
    assert any(piece.counts for piece in cause(let_out, "cold").evidence_for)


def cause(reasoned: Reasoned, name: str) -> Any:
    return next(each for each in reasoned.ranking.causes if each.id == name)


def test_oxygen_of_a_tank_they_have_not_met_says_nothing() -> None:
    sound = {**TANK, "do_mg_l": {"value": 8.0, "kit": METER}}
    looks = {"seen": ["gasping_at_surface", "signs_before_bag_opened"], "bag": BAG}
    bare = thought(delivery({"sealed": "yes"}, looks))
    told = thought(delivery({"sealed": "yes"}, {**looks, "tank": sound}))
    assert cause(told, "low_oxygen").decibans == cause(bare, "low_oxygen").decibans


def test_a_kit_that_reads_zero_finds_nothing() -> None:
    card = {"nitrite_mg_l": {"value": 0, "kit": "colour_card"}}
    reasoned = thought(delivery({"released_at_hours": 0.0}, {"tank": card}))
    assert reasoned.facts[("most", "tank_nitrite_mg_l")] == 0
    record = reasoned.sheet.quantity("tank_nitrite_mg_l")
    assert record is not None and record.band[1] > 0  # and it proves no absence either
    assert ("finding", "nitrite_in_tank") not in reasoned.facts or not reasoned.facts[
        ("finding", "nitrite_in_tank")
    ]


def test_the_newest_reading_is_the_present_water() -> None:
    case = delivery(
        {"sealed": "yes"},
        {"at_hours": 0.0, "bag": {"temperature_c": 18.0}},
        {"at_hours": 2.0, "bag": {"temperature_c": 22.0}},
    )
    reasoned = thought(case)
    assert reasoned.sheet.number("bag_temperature_c") == 18.0  # nearest the journey
    assert reasoned.sheet.number("present_temperature_c") == 22.0


def test_salt_stands_as_packed_until_somebody_reads_the_bag() -> None:
    """Salt is neither made nor used up on the way (mass balance)."""
    lot = {"species": "ocellaris clownfish", "sealed": "yes", "packed": {"salinity_g_kg": 25.0}}
    tank = {"salinity_g_kg": {"value": 35.0, "kit": METER}}
    told = thought(delivery(lot, {"at_hours": 0.2, "tank": tank})).sheet
    assert told.number("present_salinity_g_kg") == 25.0
    assert told.number("step_ahead_salinity_g_kg") == pytest.approx(10.0)
    bag = {"salinity_g_kg": {"value": 34.0, "kit": METER}}
    read = thought(delivery(lot, {"at_hours": 0.2, "tank": tank, "bag": bag})).sheet
    assert read.number("present_salinity_g_kg") == 34.0
