"""From a case to facts: which reading counts, its band, and the numbers worked out of it.

Chemistry values here are rows of the fraction table of Emerson et al. (1975) as
printed in UF/IFAS FA16; the equation itself is tested in tests/water.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.advice.assess import assess
from advisor.advice.facts.sheet import FactSheet, fact_sheet, lots_of, phase_of
from advisor.case import Case
from advisor.rulebase import RuleBase


def sheet_of(base: RuleBase, until: float = float("inf"), **case: Any) -> FactSheet:
    made = Case.model_validate(case)
    return fact_sheet(made, lots_of(made)[0], base, until)


def look(at: float, **parts: Any) -> dict[str, Any]:
    return {"at_hours": at, **parts}


def test_of_the_bag_the_first_reading_counts_of_the_tank_the_last(base: RuleBase) -> None:
    sheet = sheet_of(
        base,
        observation=[
            look(2.0, bag={"ph": 7.4}, tank={"ph": 7.2}),
            look(0.2, bag={"ph": 6.3}, tank={"ph": 7.6}),
        ],
    )
    assert sheet.number("bag_ph") == 6.3
    assert sheet.number("tank_ph") == 7.2
    assert sheet.number("ph_step") == pytest.approx(0.9)


def test_until_hides_what_was_seen_later(base: RuleBase) -> None:
    observation = [look(0.2, seen=["darting"]), look(6.0, not_seen=["darting"])]
    early = sheet_of(base, until=1.0, observation=observation)
    late = sheet_of(base, observation=observation)
    assert early.records[("sign", "darting")].value is True
    assert late.records[("sign", "darting")].value is False


@pytest.mark.parametrize(
    ("counts", "count", "dead", "down"),
    [
        ({"dead": 9}, None, (0.0, 1.0), None),  # nine dead of nobody knows how many
        ({"dead": 9}, 30, (0.3, 0.3), None),
        ({"dead": 9}, 9, (1.0, 1.0), None),
        ({"normal": 3, "dead": 1}, None, (0.0, 0.25), None),
        ({"normal": 0, "down": 4, "dead": 1}, None, (0.2, 0.2), (0.8, 0.8)),
        ({"down": 4}, None, None, (0.0, 1.0)),
        ({"dead": 0}, None, None, None),
        ({"normal": 6, "dead": 0}, None, (0.0, 0.0), None),
    ],
)
def test_heads_nobody_counted_are_unknown_not_none(
    base: RuleBase,
    counts: dict[str, int],
    count: int | None,
    dead: tuple[float, float] | None,
    down: tuple[float, float] | None,
) -> None:
    lot = {"id": "pond", "species": "koi", "count": count}
    sheet = sheet_of(base, lot=[lot], observation=[look(1.0, lot="pond", counts=counts)])
    for name, band in (("dead_fraction", dead), ("down_fraction", down)):
        record = sheet.quantity(name)
        assert (record.band if record else None) == band, name


@pytest.mark.parametrize(
    ("ph", "temperature_c", "fraction"), [(7.0, 24, 0.0052), (7.4, 10, 0.0046), (7.6, 28, 0.0271)]
)
def test_unionised_ammonia_follows_the_printed_fraction(
    base: RuleBase, ph: float, temperature_c: float, fraction: float
) -> None:
    tank = {"tan_mg_l": 1.0, "ph": ph, "temperature_c": temperature_c}
    record = sheet_of(base, observation=[look(1.0, tank=tank)]).quantity("tank_nh3_n_mg_l")
    assert record is not None
    assert record.number == pytest.approx(fraction, abs=0.0001)
    assert set(record.inputs) == {"tank_tan_mg_l", "tank_ph", "tank_temperature_c"}
    assert record.working is not None
    assert f"{ph:g}" in record.working


@settings(max_examples=200)
@given(
    tan=st.floats(0.1, 8.0),
    spread=st.floats(0.0, 1.0),
    ph=st.floats(6.0, 9.0),
    ph_spread=st.floats(0.0, 0.5),
)
def test_a_band_spans_every_value_its_inputs_may_have(
    base: RuleBase, tan: float, spread: float, ph: float, ph_spread: float
) -> None:
    tank = {
        "tan_mg_l": {"value": tan, "low": max(0.0, tan - spread), "high": tan + spread},
        "ph": {"value": ph, "low": ph - ph_spread, "high": ph + ph_spread},
        "temperature_c": 25.0,
    }
    record = sheet_of(base, observation=[look(1.0, tank=tank)]).quantity("tank_nh3_n_mg_l")
    assert record is not None
    low, high = record.band
    assert low <= record.number <= high
    if spread > 0.01 or ph_spread > 0.01:
        assert low < high


def test_a_kit_at_its_top_mark_means_at_least(base: RuleBase) -> None:
    tank = {"tan_mg_l": {"value": 8.0, "at_least": True}}
    record = sheet_of(base, observation=[look(1.0, tank=tank)]).quantity("tank_tan_mg_l")
    assert record is not None
    assert record.band == (8.0, 500.0)


def test_a_colour_card_leaves_a_band_and_a_bare_number_none(base: RuleBase) -> None:
    card = sheet_of(
        base, observation=[look(1.0, tank={"tan_mg_l": {"value": 0.5, "kit": "colour_card"}})]
    ).quantity("tank_tan_mg_l")
    bare = sheet_of(base, observation=[look(1.0, tank={"tan_mg_l": 0.5})]).quantity("tank_tan_mg_l")
    assert card is not None
    assert bare is not None
    assert card.band[0] < 0.5 < card.band[1]
    assert bare.band == (0.5, 0.5)


def test_a_lots_own_journey_replaces_the_deliverys(base: RuleBase) -> None:
    both = {"transit": {"hours_sealed": 30.0, "sedative": "no"}}
    own = sheet_of(base, **both, lot=[{"id": "A", "hours_sealed": 12.0, "sedative": "yes"}])
    none = sheet_of(base, **both, lot=[{"id": "A", "sedative": "unknown"}])
    assert own.number("hours_sealed") == 12.0
    assert own.records[("history", "sedative_used")].value == "yes"
    assert none.number("hours_sealed") == 30.0
    assert none.records[("history", "sedative_used")].value == "no"


def test_unknown_yields_no_fact(base: RuleBase) -> None:
    sheet = sheet_of(base, receiving={"aerated": "unknown"}, history={"heater_fault": "unknown"})
    assert ("history", "aerated") not in sheet.records
    assert ("history", "heater_fault") not in sheet.records


def test_an_answer_written_among_the_history_is_heard_where_its_own_field_is_silent(
    base: RuleBase,
) -> None:
    told = {"aerated": "no", "tank_age_days": 22}
    sheet = sheet_of(base, history=told)
    assert sheet.records[("history", "aerated")].value == "no"
    assert sheet.records[("history", "aerated")].where == ("history.aerated",)
    assert sheet.records[("history", "tank_age_days")].value == 22
    sheet = sheet_of(base, receiving={"aerated": "yes"}, history=told)
    assert sheet.records[("history", "aerated")].value == "yes"


@pytest.mark.parametrize(
    "tell",
    [
        {"lot": [{"id": "A", "opened_at_hours": 0.1}]},
        {"lot": [{"id": "A", "release_method": "netted"}]},
        {"lot": [{"id": "A"}], "observation": [look(0.1, minutes_after_opening=2)]},
        {"lot": [{"id": "A"}], "observation": [look(0.1, bag={"ph": 6.5})]},
    ],
)
def test_a_bag_known_to_be_open_is_not_sealed(base: RuleBase, tell: dict[str, Any]) -> None:
    assert sheet_of(base, **tell).records[("history", "bags_sealed")].value == "no"


def test_a_bag_opened_later_is_not_yet_open(base: RuleBase) -> None:
    case = {
        "lot": [{"id": "A", "opened_at_hours": 0.5, "released_at_hours": 1.0}],
        "observation": [look(0.1, seen=["lying_on_side"]), look(2.0, seen=["hiding"])],
    }
    early, late = sheet_of(base, until=0.2, **case), sheet_of(base, **case)
    assert ("history", "bags_sealed") not in early.records
    assert early.quantity("hours_since_release") is None
    assert late.records[("history", "bags_sealed")].value == "no"
    assert late.number("hours_since_release") == 1.0


def test_a_reading_through_the_bag_does_not_mean_it_is_open(base: RuleBase) -> None:
    sheet = sheet_of(base, lot=[{"id": "A"}], observation=[look(0.1, bag={"temperature_c": 21.0})])
    assert ("history", "bags_sealed") not in sheet.records


@pytest.mark.parametrize(
    "lot", [{"species": "zebra-striped wobblefish"}, {"group": "unknown_fish"}]
)
def test_an_unknown_kind_is_judged_with_caution_and_says_so(
    base: RuleBase, lot: dict[str, str]
) -> None:
    known = sheet_of(base, lot=[{"id": "A", "species": "Corydoras paleatus"}])
    strange = sheet_of(base, lot=[{"id": "A", **lot}])
    assert known.records[("trait", "bottom_rester")].value is True
    assert known.records[("trait", "marine")].value is False
    assert ("trait", "marine") not in strange.records
    traits = [record for record in strange.records.values() if record.kind == "trait"]
    assert traits
    assert all(record.value is True and record.note for record in traits)


def test_days_of_the_journey_home() -> None:
    hours = [0, 23.9, 24, 95.9, 96, 330]
    phases = ["arrival", "arrival", "day_2_4", "day_2_4", "day_5_14", "day_5_14"]
    assert [phase_of(h) for h in hours] == phases


def test_no_forecast_without_a_load(base: RuleBase) -> None:
    bag = {"id": "A", "count": 40, "mass_g": 0.5, "bag_water_l": 2.0, "hours_sealed": 30.0}
    full = sheet_of(base, lot=[bag])
    assert full.quantity("forecast_bag_tan_mg_l") is not None
    for missing in ("count", "mass_g", "bag_water_l", "hours_sealed"):
        partial = {key: value for key, value in bag.items() if key != missing}
        assert sheet_of(base, lot=[partial]).quantity("forecast_bag_tan_mg_l") is None


def test_oxygen_is_not_foreseen_where_the_gas_was_not_told(base: RuleBase) -> None:
    bag = {"id": "a", "species": "guppy", "count": 40, "mass_g": 0.4, "bag_water_l": 2.0}

    def foreseen(**more: Any) -> FactSheet:
        return sheet_of(base, transit={"hours_sealed": 30}, lot=[{**bag, **more}])

    told, untold = foreseen(gas="oxygen", bags=1), foreseen()
    for name in ("forecast_bag_do_mg_l", "oxygen_hours_left"):
        assert told.quantity(name) is not None
        assert untold.quantity(name) is None
    known, guessed = told.quantity("forecast_bag_ph"), untold.quantity("forecast_bag_ph")
    assert known is not None and known.note is None
    assert guessed is not None and guessed.note is not None
    assert "gas" in guessed.note and "number of bags" in guessed.note


def test_every_computed_fact_is_a_word_of_the_rule_base(base: RuleBase) -> None:
    from advisor.advice.facts.computed import COMPUTED, NEEDS

    computed = {q.id for q in base.quantities.values() if q.kind == "computed"}
    assert {entry.name for entry in COMPUTED} <= computed
    for alternatives in NEEDS.values():
        for names in alternatives:
            assert set(names) <= set(base.quantities)


BAG: dict[str, Any] = {
    "gas": "oxygen",
    "bag_water_l": 1.5,
    "bag_gas_l": 3,
    "opened_at_hours": 0.2,
    "sealed": "no",
}


def test_a_load_past_all_reason_still_gets_advice() -> None:
    """960 g of koi said to be in one bag of 1.5 L: its water is past what any tank may hold."""
    case = Case.model_validate(
        {
            "transit": {"hours_sealed": 16},
            "lot": [{"id": "a", "species": "koi", "count": 16, "mass_g": 60, **BAG}],
            "observation": [
                {
                    "at_hours": 0.8,
                    "seen": ["gasping_at_surface", "loss_of_equilibrium"],
                    "bag": {"ph": {"value": 7.5, "kit": "strip"}},
                }
            ],
        }
    )
    assert assess(case).lots[0].actions


@pytest.mark.parametrize(
    ("counts", "lot", "lost"),
    [
        ({"normal": 30, "down": 10, "dead": 5}, {}, 15 / 45),
        ({"down": 5}, {"count": 40, "dead_on_arrival": 9}, 14 / 40),
        ({"down": 5, "dead": 12}, {"count": 40, "dead_on_arrival": 9}, 17 / 40),
        ({"normal": 6}, {}, None),
    ],
)
def test_who_is_lost_is_down_or_dead(
    base: RuleBase, counts: dict[str, int], lot: dict[str, int], lost: float | None
) -> None:
    """By definition; who came dead is among the dead that are counted later."""
    told = {"id": "pond", "species": "koi", **lot}
    record = sheet_of(
        base, lot=[told], observation=[look(1.0, lot="pond", counts=counts)]
    ).quantity("lost_fraction")
    assert (record.number if record else None) == pytest.approx(lost)


@pytest.mark.parametrize(("dead", "least"), [(10, 1.0), (11, 0.9), (40, 0.9)])
def test_more_dead_than_came_leave_it_open_whether_one_lives(
    base: RuleBase, dead: int, least: float
) -> None:
    """Plain logic: forty dead of ten is a wrong number, and nobody is given up on it."""
    lot = {"id": "pond", "species": "koi", "count": 10}
    record = sheet_of(
        base, lot=[lot], observation=[look(1.0, lot="pond", counts={"dead": dead})]
    ).quantity("dead_fraction")
    assert record is not None
    assert record.band == pytest.approx((least, 1.0))


@pytest.mark.parametrize(
    ("later", "dead"),
    [({"down": 3}, 7 / 10), ({"normal": 1, "down": 1}, 8 / 10), ({}, 1.0), ({"dead": 10}, 1.0)],
)
def test_fish_counted_alive_later_are_not_among_the_dead_told_before(
    base: RuleBase, later: dict[str, int], dead: float
) -> None:
    """By arithmetic: ten came; who is seen alive at two hours had not died at one."""
    lot = {"id": "pond", "species": "koi", "count": 10}
    looks = [look(1.0, lot="pond", counts={"dead": 10}), look(2.0, lot="pond", counts=later)]
    record = sheet_of(base, lot=[lot], observation=looks).quantity("dead_fraction")
    assert record is not None
    assert record.band == pytest.approx((dead, dead))
