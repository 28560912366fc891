"""Where the fish have been and since when, and what their waters read, told from the case alone."""

from __future__ import annotations

from collections.abc import Iterable
from types import SimpleNamespace
from typing import Any

import pytest

from advisor.advice.facts.record import Record
from advisor.advice.facts.situation import (
    Situation,
    Stay,
    foreseen_now,
    hidden_names,
    place_record,
    situation_of,
    water_records,
)
from advisor.case import Case
from advisor.rulebase import RuleBase, load_rulebase

ACTIONS = {
    "into_a_tub": SimpleNamespace(puts="tub"), "into_the_tank": SimpleNamespace(puts="tank"),
    "lights_down": SimpleNamespace(puts=None),
}  # fmt: skip
DOING: Any = SimpleNamespace(actions=ACTIONS, history={})


@pytest.fixture(scope="module")
def base() -> RuleBase:
    return load_rulebase()


def case_of(lot: dict[str, Any], *looks: dict[str, Any]) -> Case:
    other = {"id": "other", "species": "guppy", "count": 3}
    mine = {"id": "a", "species": "tiger barb", "count": 20, **lot}
    return Case.model_validate({"lot": [other, mine], "observation": list(looks)})


def stays(lot: dict[str, Any], *looks: dict[str, Any], now: float = 2.0) -> list[tuple[Any, ...]]:
    case = case_of(lot, *looks)
    return [(s.place, s.since_hours) for s in situation_of(case, case.lot[1], DOING, now).stays]


SHUT = ("closed_bag", None)


@pytest.mark.parametrize(
    ("lot", "looks", "found"),
    [
        ({"sealed": "yes"}, (), [SHUT]),
        ({"sealed": "unknown"}, (), [("unknown", None)]),
        ({"opened_at_hours": 2.0}, (), [SHUT, ("open_bag", 2.0)]),
        ({"opened_at_hours": 2.01}, (), [SHUT]),
        ({"sealed": "no"}, (), [SHUT, ("open_bag", None)]),
        ({"sealed": "no", "opened_at_hours": 3.0}, (), [SHUT]),
        ({"released_at_hours": 2.0}, (), [("tank", 2.0)]),
        ({"released_at_hours": 2.01, "release_method": "netted"}, (), [SHUT]),
        ({"release_method": "poured"}, (), [SHUT, ("tank", None)]),
        ({"release_method": "floated_open"}, (), [SHUT, ("open_bag", None)]),
        ({"release_method": "unknown"}, (), [("unknown", None)]),
        ({"opened_at_hours": 0.5, "released_at_hours": 1.0}, (),
         [SHUT, ("open_bag", 0.5), ("tank", 1.0)]),
        # what a look says; looks of another lot and of a later hour say nothing
        ({"sealed": "yes"}, ({"at_hours": 1.0, "minutes_after_opening": 30},),
         [SHUT, ("open_bag", 0.5)]),
        ({"sealed": "yes"}, ({"at_hours": 1.0, "minutes_after_opening": 30, "lot": "other"},),
         [SHUT]),
        ({"sealed": "yes"}, ({"at_hours": 2.1, "minutes_after_opening": 30},), [SHUT]),
        ({"sealed": "yes"}, ({"at_hours": 2.0, "lot": "a", "done": ["into_a_tub"]},),
         [SHUT, ("tub", 2.0)]),
        ({"sealed": "yes"}, ({"at_hours": 1.0, "done": ["lights_down", "no such step"]},), [SHUT]),
        ({"sealed": "yes"}, ({"at_hours": 1.0, "tub": {"ph": 7.0}},), [SHUT, ("tub", 1.0)]),
        ({"sealed": "yes"}, ({"at_hours": 1.0, "bag": {"ph": 6.5}},), [SHUT]),
        ({}, ({"at_hours": 1.0, "bag": {"ph": 6.5}},), [("open_bag", None)]),
        ({}, ({"at_hours": 1.0, "bag": {"tan_mg_l": 1.0}},), [("open_bag", None)]),
        ({}, ({"at_hours": 1.0, "bag": {"temperature_c": 20.0}},), [("unknown", None)]),
        # water of a bag they had left is no bag they are in; opened as they were let out, it is
        ({"released_at_hours": 0.5}, ({"at_hours": 1.5, "minutes_after_opening": 30},),
         [("tank", 0.5)]),
        ({"released_at_hours": 1.0}, ({"at_hours": 1.5, "minutes_after_opening": 30},),
         [("open_bag", 1.0), ("tank", 1.0)]),
        ({"released_at_hours": 0.5}, ({"at_hours": 1.5, "done": ["into_a_tub"]},),
         [("tank", 0.5), ("tub", 1.5)]),
        ({"sealed": "yes", "history": {"fish_are_in": "tub"}}, (), [SHUT, ("tub", 2.0)]),
        # no fish goes back into its bag: a stamp after the look has them out of what was answered
        ({"opened_at_hours": 0.5, "history": {"fish_are_in": "closed_bag"}}, ({"at_hours": 0.1},),
         [SHUT, ("open_bag", 0.5)]),
        ({"released_at_hours": 0.5, "history": {"fish_are_in": "tub"}}, ({"at_hours": 0.1},),
         [("tub", 0.1), ("tank", 0.5)]),
        ({"released_at_hours": 0.5, "history": {"fish_are_in": "tub"}}, ({"at_hours": 1.0},),
         [("tank", 0.5), ("tub", 2.0)]),
        ({"opened_at_hours": 0.5, "history": {"fish_are_in": "tank"}}, ({"at_hours": 0.1},),
         [SHUT, ("open_bag", 0.5), ("tank", 2.0)]),
        ({"sealed": "yes", "history": {"fish_are_in": "unknown"}}, (), [SHUT]),
        ({"sealed": "yes", "history": {"fish_are_in": "pond"}}, (), [SHUT]),
        # two that say the same are one stay, since the first
        ({"released_at_hours": 0.5}, ({"at_hours": 1.5, "done": ["into_the_tank"]},),
         [("tank", 0.5)]),
    ],
)  # fmt: skip
def test_stays_in_order(
    lot: dict[str, Any], looks: Iterable[dict[str, Any]], found: list[tuple[Any, ...]]
) -> None:
    assert stays(lot, *looks) == found


def test_a_day_after_the_delivery_came_fish_are_in_the_tank_unless_a_look_says_so() -> None:
    assert stays({}, now=23.9) == [("unknown", None)]
    assert stays({}, now=24.0) == [("tank", None)]
    assert stays({"sealed": "yes"}, now=23.9) == [SHUT]
    assert stays({"sealed": "yes"}, now=24.0) == [SHUT, ("tank", None)]
    late = {"sealed": "no", "opened_at_hours": 10.0}
    assert stays(late, now=21.9)[-1] == ("open_bag", 10.0), "told of less than half a day ago"
    assert stays(late, now=33.9)[-1] == ("unknown", None), "nobody spoke of it for half a day"
    assert stays(late, now=34.0)[-1] == ("tank", None)
    tub = {"at_hours": 1.0, "lot": "a", "done": ["into_a_tub"]}
    assert stays({"sealed": "yes"}, tub, now=90.0)[-1] == ("tub", 1.0)


def test_an_answer_on_history_places_them_as_the_lots_own_field_does(base: RuleBase) -> None:
    """One question, kept in either place of a case: shut bags, and the way into the tank."""
    for told, place in (
        ({"bags_sealed": True}, "closed_bag"),
        ({"release_method": "netted"}, "tank"),
    ):
        lot = {"id": "a", "species": "guppy", "count": 3}
        case = Case.model_validate({"history": told, "lot": [lot]})
        assert situation_of(case, case.lot[0], base, 0.5).place == place
    case = case_of({"sealed": "no"})
    contrary = case.model_copy(update={"history": {"bags_sealed": True}})
    assert situation_of(contrary, contrary.lot[1], base, 0.5).place == "open_bag"


def test_a_situation_knows_its_waters() -> None:
    def at(*places: Any) -> Situation:
        return Situation(tuple(Stay(place, None, "x") for place in places))

    assert [at(place).water for place in ("closed_bag", "open_bag", "tub", "tank", "unknown")] == [
        "bag", "bag", "tub", "tank", "tank",
    ]  # fmt: skip
    assert at("tub").next_water == "tank" and at("tank").next_water is None
    assert at("tank", "tub").has_met("tank") and at("unknown").has_met("tank")
    assert not at("closed_bag", "tub").has_met("tank") and at("tub").has_met("bag")
    told, supposed = place_record(at("tub")), place_record(Situation((Stay("tank", 3.0, ""),)))
    assert (told.where, told.note, told.at_hours) == (("x",), None, None)
    assert supposed.where == () and supposed.note is not None and supposed.at_hours == 3.0


# -- readings of the present and the next water ------------------------------------------


def readings(base: RuleBase, lot: dict[str, Any], *looks: dict[str, Any], **more: Any) -> Any:
    case = case_of(lot, *looks)
    now = more.get("now", 2.0)
    situation = situation_of(case, case.lot[1], base, now)
    found = water_records(case, case.lot[1], base, situation, now)
    return {record.name: record for record in found}


def test_the_newest_reading_up_to_now_of_ones_own_water_counts(base: RuleBase) -> None:
    looks = (
        {"at_hours": 2.0, "bag": {"temperature_c": 22.0}, "tank": {"temperature_c": 25.0}},
        {"at_hours": 1.0, "lot": "a", "bag": {"temperature_c": 20.0, "ph": 6.5}},
        {"at_hours": 1.5, "lot": "other", "bag": {"ph": 9.0}},
        {"at_hours": 2.5, "bag": {"temperature_c": 30.0}},
    )
    found = readings(base, {"sealed": "yes"}, *looks)
    assert {name: record.value for name, record in found.items()} == {
        "present_temperature_c": 22.0, "present_ph": 6.5, "next_temperature_c": 25.0,
    }  # fmt: skip
    present = found["present_temperature_c"]
    assert (present.kind, present.at_hours) == ("computed", 2.0)
    assert present.where == ("observation 1, bag.temperature_c", 'lot "a", sealed')
    tank = readings(base, {"released_at_hours": 0.1}, *looks)
    assert {name: record.value for name, record in tank.items()} == {"present_temperature_c": 25.0}


def test_only_what_a_journey_leaves_stands_as_packed(base: RuleBase) -> None:
    lot = {"sealed": "yes", "packed": {"salinity_g_kg": 1.0, "ph": 7.4, "tan_mg_l": 0.1}}
    found = readings(base, lot)
    assert list(found) == ["present_salinity_g_kg"]
    salt = found["present_salinity_g_kg"]
    assert (salt.kind, salt.value, salt.at_hours) == ("computed", 1.0, 0.0)
    assert salt.where == ('lot "a", packed.salinity_g_kg',) and salt.note is not None
    read = readings(base, lot, {"at_hours": 1.0, "bag": {"salinity_g_kg": 2.0}})
    assert read["present_salinity_g_kg"].value == 2.0
    tub = readings(base, lot, {"at_hours": 1.0, "tub": {"ph": 7.0}})
    assert "present_salinity_g_kg" not in tub, "the tub is no water of the packer's"


def record(kind: Any, name: str, *inputs: str) -> Record:
    return Record(kind, name, 1.0, "forecast", where=("forecast",), inputs=inputs)


def by_name(*records: Record) -> dict[tuple[str, str], Record]:
    return {(each.kind, each.name): each for each in records}


def test_only_of_a_shut_bag_the_forecast_is_the_present_water(base: RuleBase) -> None:
    kept = by_name(record("computed", "forecast_bag_ph"), record("reading", "forecast_bag_do_mg_l"))
    shut = Situation((Stay("closed_bag", None, "told"),))
    (ph,) = foreseen_now(shut, kept, base)
    assert (ph.name, ph.inputs, ph.where) == (
        "present_ph", ("forecast_bag_ph",), ("forecast", "told"),
    )  # fmt: skip
    assert list(foreseen_now(Situation((Stay("open_bag", None, ""),)), kept, base)) == []
    none: Any = SimpleNamespace(quantities={})
    assert list(foreseen_now(shut, kept, none)) == []


def test_what_rests_on_a_tank_they_have_not_met_is_hidden_however_far_down() -> None:
    kept = by_name(
        record("computed", "earlier", "tank_ph"),
        record("reading", "tank_ph"), record("reading", "bag_ph"), record("history", "tank_age"),
        record("computed", "step", "bag_ph", "tank_ph"), record("computed", "of_step", "step"),
        record("computed", "step_ahead_ph", "tank_ph"), record("computed", "next_x", "tank_ph"),
        record("computed", "bag_only", "bag_ph"), record("sign", "odd", "tank_ph"),
    )  # fmt: skip
    tub = Situation((Stay("closed_bag", None, ""), Stay("tub", 1.0, "")))
    assert hidden_names(kept, tub) == {"earlier", "tank_ph", "step", "of_step"}
    assert hidden_names(kept, Situation((Stay("tank", 1.0, ""), Stay("tub", 2.0, "")))) == set()
    kept.pop(("reading", "tank_ph"))
    assert hidden_names(kept, tub) == set()
