"""Classes of deliveries whose plan blind judges found short.

Expectations are those of two blind judges, 2026-11-27, who read the printed advice alone, unless
a test names the law or the physics.
"""

from __future__ import annotations

from typing import Any

import pytest

from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner
from advisor.advice.results import LotResult
from advisor.case import Case

from .conftest import SOUND, Judge, ids

IN_TANK = {"released_at_hours": 0, "sealed": "no"}
SHUT = {"sealed": "yes", "bag_gas_l": 4.0, "gas": "oxygen"}
SCREEN = 5
#: Lines that speak of other bags than the one in hand.
OF_OTHERS = {"other_bags_after_it", "hungry_bags_first"}


def first(lot: LotResult, lines: int = SCREEN) -> str:
    return " ".join(each.text for each in lot.actions[:lines])


def failing_in_the_bag(judge: Judge, **bags: Any) -> LotResult:
    return judge(
        ("lying_on_side", "weak_response", "signs_before_bag_opened"),
        hours=0.1,
        lot={"species": "zebra pleco", "count": 5, "mass_g": 6, "bag_water_l": 2.0, **SHUT, **bags},
        bag={"temperature_c": 24.0},
        tank={**SOUND, "temperature_c": 26.0},
        transit={"hours_sealed": 48.0},
    )


@pytest.mark.parametrize(
    ("bags", "spoken_of"), [({"bags": 1}, False), ({"bags": 2}, True), ({}, True)]
)
def test_other_bags_are_spoken_of_only_where_there_may_be_some(
    judge: Judge, bags: dict[str, int], spoken_of: bool
) -> None:
    assert bool(OF_OTHERS & set(ids(failing_in_the_bag(judge, **bags)))) is spoken_of


@pytest.mark.parametrize("second", [{"bags": 1}, {}])
def test_the_bags_of_every_lot_count(reasoner: Reasoner, second: dict[str, int]) -> None:
    lots = [
        {"id": "a", "species": "zebra pleco", "count": 5, "bag_water_l": 2.0, "bags": 1, **SHUT}
    ]
    lots.append({"id": "b", "species": "guppy", "count": 5, "bag_water_l": 2.0, **SHUT, **second})
    seen = ["lying_on_side", "weak_response", "signs_before_bag_opened"]
    case = Case.model_validate(
        {
            "format": "arrival-case-1",
            "delivery": {"title": "told in a test", "invented": True},
            "transit": {"hours_sealed": 48.0},
            "lot": lots,
            "observation": [{"at_hours": 0.1, "lot": "a", "seen": seen}],
        }
    )
    assert set(ids(assess(case, reasoner).lots[0])) & OF_OTHERS


@pytest.mark.parametrize(
    "sign", ["weak_response", "rapid_gill_movement", "excess_mucus_cloudy_skin"]
)
def test_koi_ill_after_mixing_hear_of_the_virus_and_of_the_authority(
    judge: Judge, sign: str
) -> None:
    # Regulation 23, Aquatic Animal Health Regulations 2009: a suspicion is reported.
    lot = judge(
        (sign,),
        ("sudden_deaths", "delayed_deaths"),
        hours=3,
        lot={"species": "koi", "count": 20, **IN_TANK},
        tank={**SOUND, "temperature_c": 20.0},
        receiving={"volume_l": 5000, "residents": "yes", "residents_well": "yes"},
        carp_mixed_lately="yes",
    )
    said = first(lot)
    assert "koi herpesvirus" in said.lower()
    assert "authority" in said


def test_koi_well_after_mixing_need_no_authority(judge: Judge) -> None:
    lot = judge(
        ("swimming_normally", "answers_a_hand"),
        ("weak_response", "gasping_at_surface", "rapid_gill_movement"),
        hours=3,
        lot={"species": "koi", "count": 20, **IN_TANK},
        tank={**SOUND, "temperature_c": 20.0},
        carp_mixed_lately="yes",
    )
    assert not [each for each in lot.actions if "authority" in each.text]


@pytest.mark.parametrize(
    ("species", "law", "asked"),
    [
        ("dwarf gourami", "australia", True),
        ("dwarf gourami", "uk", True),
        ("goldfish", "australia", True),
        ("neon tetra", "unknown", True),
        ("clownfish", "australia", False),
    ],
)
def test_sores_of_kinds_that_take_red_spot_are_told_to_the_authority(
    judge: Judge, species: str, law: str, asked: bool
) -> None:
    # Queensland: epizootic ulcerative syndrome is to be reported on suspicion; the world's list.
    lot = judge(
        ("ulcers", "delayed_deaths", "refusing_food", "signs_after_first_day"),
        hours=210,
        lot={"species": species, "count": 20, **IN_TANK},
        tank=SOUND,
        counts={"normal": 12, "down": 4, "dead": 4},
        law=law,
    )
    assert ("authority" in first(lot)) is asked


SEA = {"temperature_c": 25.0, "salinity_g_kg": {"value": 34.0, "kit": "meter"}}


@pytest.mark.parametrize(
    ("species", "moved", "asked"),
    [("some fish", False, True), ("neon tetra", True, False), ("clownfish", False, False)],
)
def test_only_a_known_kind_leaves_salt_water_for_the_salt(
    judge: Judge, species: str, moved: bool, asked: bool
) -> None:
    # Sea water is fatal to fresh-water fish and home to the others.
    lot = judge(
        ("lying_on_side", "rapid_gill_movement"),
        hours=1,
        lot={"species": species, "count": 5, **IN_TANK},
        tank=SEA,
    )
    assert ("own_salinity_now" in ids(lot)) is moved
    assert ("name_the_kind_in_salt" in ids(lot)[:3]) is asked


def test_a_tank_as_salt_as_the_bag_is_not_barred_to_an_unknown_kind(judge: Judge) -> None:
    lot = judge(
        hours=0.2,
        lot={"species": "some fish", "count": 5, "bags": 2, "bag_water_l": 2.0, **SHUT},
        bag=SEA,
        tank=SEA,
    )
    assert "mend_tank_salt" not in ids(lot)


@pytest.mark.parametrize("ph", [4.0, 10.4])
def test_nobody_is_left_in_water_of_a_deadly_ph(judge: Judge, ph: float) -> None:
    # Alabaster and Lloyd: below pH 4 and above 10 to 11 salmonids and most others die.
    lot = judge(
        ("gasping_at_surface", "excess_mucus_cloudy_skin"),
        hours=3,
        lot={"species": "guppy", "count": 20, **IN_TANK},
        tank={**SOUND, "ph": {"value": ph, "kit": "meter"}},
        receiving={"residents": "yes"},
    )
    assert not [each.text for each in lot.actions if "leave the old fish" in each.text.lower()]


def cold_bag(judge: Judge, water_l: float) -> float:
    lot = judge(
        hours=0.2,
        lot={
            "species": "guppy",
            "count": 50,
            "mass_g": 1,
            "bags": 2,
            "bag_water_l": water_l,
            **SHUT,
        },
        bag={"temperature_c": 13.0},
        tank={**SOUND, "temperature_c": 25.0},
        transit={"hours_sealed": 30.0},
    )
    step = next(each for each in lot.actions if each.id == "read_one_cold_bag")
    return next(each.value for each in step.amounts if each.value is not None)


def test_a_cold_bag_stays_shut_no_longer_than_another(judge: Judge) -> None:
    assert cold_bag(judge, 4.0) <= 8.0
    assert cold_bag(judge, 1.0) < cold_bag(judge, 4.0)


@pytest.mark.parametrize(("species", "dripped"), [("cherry shrimp", True), ("guppy", False)])
def test_shut_bags_of_shrimp_hear_of_minerals_and_drip(
    judge: Judge, species: str, dripped: bool
) -> None:
    lot = judge(
        ("swimming_normally",),
        hours=0.2,
        lot={"species": species, "count": 20, "mass_g": 0.2, "bags": 2, "bag_water_l": 1.0, **SHUT},
        bag={"temperature_c": 22.0, "conductivity_us_cm": 300.0},
        tank={**SOUND, "temperature_c": 24.0, "copper_mg_l": {"value": 0.15, "kit": "drops"}},
        transit={"hours_sealed": 30.0},
        copper_in_water="yes",
    )
    said = first(lot)
    assert ("by drip" in said and "conductivity" in said) is dripped


def test_dosing_is_stopped_among_the_first_three(judge: Judge) -> None:
    lot = judge(
        ("loss_of_equilibrium", "darting", "rapid_gill_movement", "sudden_deaths"),
        hours=60,
        lot={"species": "zebra danio", "count": 50, "mass_g": 0.4, **IN_TANK},
        tank=SOUND,
        counts={"normal": 20, "down": 25, "dead": 5},
        receiving={"volume_l": 100, "filter": "mature", "aerated": "yes"},
        formalin_in_water="yes",
        dye_in_water="yes",
    )
    steps = ids(lot)
    assert steps.index("stop_dosing") < 3
    assert (
        steps.index("air_tank")
        < steps.index("stop_dosing")
        < steps.index("change_water_after_poison")
    )


def test_a_vat_for_weeks_is_read_and_changed(judge: Judge) -> None:
    """A blind judge, 2026-11-28: koi apart for weeks in an unfiltered vat sat in their ammonia."""
    lot = judge(
        ("swimming_normally",),
        hours=0.2,
        lot={"species": "koi", "count": 20, "mass_g": 150, "bags": 10, "bag_water_l": 15.0}
        | {"sealed": "yes", "bag_gas_l": 25.0, "gas": "oxygen"},
        bag={"temperature_c": 11.0},
        tank={**SOUND, "temperature_c": 20.0},
        transit={"hours_sealed": 28.0},
        receiving={"volume_l": 4000, "residents": "yes"},
    )
    assert "own_vat_for_carp_kinds" in ids(lot)
    assert "days_in_the_tub" in ids(lot)


@pytest.mark.parametrize(("supply", "tested"), [("chloramine", True), ("well", False)])
def test_brown_gills_without_nitrite_ask_after_chloramine(
    judge: Judge, supply: str, tested: bool
) -> None:
    """Five blind judges, 2026-11-28; Travis and Heath 1981: monochloramine browns the blood."""
    lot = judge(
        ("brown_gills", "gasping_at_surface"),
        hours=50,
        lot={"species": "tiger barb", "count": 30, **IN_TANK},
        tank={**SOUND, "nitrite_mg_l": 0.0},
        receiving={"supply": supply},
    )
    assert ("test_chlorine_for_brown_gills" in ids(lot)[:SCREEN]) is tested


def test_salt_stands_before_half_a_vat_of_new_water(judge: Judge) -> None:
    """A blind judge, 2026-11-28: ten cubic metres take hours, salt acts within one (SRAC 462)."""
    lot = judge(
        ("brown_gills", "gasping_at_surface", "signs_after_first_day"),
        hours=210,
        lot={"species": "tinfoil barb", "count": 900, "mass_g": 10, **IN_TANK},
        tank={**SOUND, "nitrite_mg_l": 6.0, "chloride_mg_l": 30.0},
        counts={"normal": 870, "down": 20, "dead": 10},
        receiving={"volume_l": 20000, "filter": "part"},
        salt_in_water="no",
        zeolite_in_filter="no",
    )
    steps = ids(lot)
    assert steps.index("salt_against_nitrite") < 3
    assert steps.index("salt_against_nitrite") < steps.index("change_water_for_nitrite")


def in_ammonia(judge: Judge, tap_ph: float, **history: str) -> LotResult:
    return judge(
        ("spinning_convulsions", "rapid_gill_movement"),
        hours=8,
        lot={"species": "black molly", "count": 10, "mass_g": 3, **IN_TANK},
        tank={**SOUND, "ph": 8.0, "tan_mg_l": 6.0, "do_mg_l": 7.4},
        tap={"ph": tap_ph, "tan_mg_l": 0.0},
        counts={"normal": 0, "down": 8, "dead": 2},
        receiving={"volume_l": 250, "filter": "mature"},
        **history,
    )


@pytest.mark.parametrize(("tap_ph", "tub_first"), [(8.6, True), (7.8, False)])
def test_who_fails_in_ammonia_leaves_it_where_a_change_would_wake_it(
    judge: Judge, tap_ph: float, tub_first: bool
) -> None:
    """A blind judge, 2026-11-28; Emerson 1975: each pH unit makes near ten times as much toxic."""
    lot = in_ammonia(judge, tap_ph)
    assert (ids(lot)[0] == "clean_tub_out_of_ammonia") is tub_first
    assert ("clean_tub_if_no_change" in ids(lot)) is not tub_first


@pytest.mark.parametrize("told", [None, "no", "yes"])
def test_nobody_spoke_of_a_binder_and_there_is_no_other_water(
    judge: Judge, told: str | None
) -> None:
    said = {} if told is None else {"ammonia_binder_in_water": told}
    steps = ids(in_ammonia(judge, 8.6, no_other_tank="yes", **said))
    assert ("bind_ammonia_if_none_is_in" in steps[:3]) is (told is None)
    assert ("bind_ammonia_at_once" in steps) is (told == "no")


def test_a_tub_to_be_warmed_is_told_in_litres(judge: Judge) -> None:
    """A blind judge, 2026-11-28: 120 g of fish and no size of tub; air for a tank that has it."""
    lot = judge(
        ("lying_on_side", "slow_gill_movement", "weak_response"),
        hours=0.4,
        lot={"species": "tiger barb", "count": 60, "mass_g": 2, "sealed": "no"}
        | {"opened_at_hours": 0.05},
        bag={"temperature_c": 14.0, "tan_mg_l": 9.0},
        tank={**SOUND, "temperature_c": 26.0, "do_mg_l": 7.6},
        counts={"normal": 10, "down": 44, "dead": 6},
        box_arrived_cold="yes",
    )
    assert lot.actions[0].id == "rewarm_in_tub"
    assert {a.unit: a.value for a in lot.actions[0].amounts}["L"] == pytest.approx(120 / 5)
    assert "air_tank" not in ids(lot)


def test_a_tank_with_more_salt_than_they_bear_is_no_goal_of_a_drip(judge: Judge) -> None:
    """A blind judge, 2026-11-28: corydoras were to be dripped to 3 g/L."""
    lot = judge(
        ("answers_a_hand",),
        hours=0.2,
        lot={"species": "bronze corydoras", "count": 15, "mass_g": 3, "bag_water_l": 3.0, **SHUT},
        bag={"temperature_c": 24.0, "conductivity_us_cm": 300.0},
        tank={**SOUND, "salinity_g_kg": 3.0, "conductivity_us_cm": 5500.0},
        salt_in_water="yes",
    )
    assert "thin_the_salt_first" in ids(lot)[:SCREEN]
    assert "drip_large_osmotic_step" not in ids(lot)


def test_no_line_held_back_speaks_against_the_way_out_of_the_wrong_salt(judge: Judge) -> None:
    """A blind judge, 2026-11-28: "nobody knows which way to go" stood under the way to go."""
    lot = judge(
        ("lying_on_side", "loss_of_equilibrium"),
        hours=0.4,
        lot={"species": "clownfish", "count": 20, "mass_g": 2, **IN_TANK},
        tank={**SOUND, "salinity_g_kg": 0.3},
        counts={"normal": 0, "down": 20, "dead": 0},
    )
    assert ids(lot)[0] == "own_salinity_now"
    assert not [h.action for h in lot.withheld if "salinity" in h.action and not h.moot]


def test_a_make_do_tub_is_tested_each_day(judge: Judge) -> None:
    """A blind judge, 2026-11-28: days in unfiltered water without a word of a test."""
    lot = judge(
        ("swimming_normally", "answers_a_hand"),
        hours=0.2,
        lot={"species": "black skirt tetra", "count": 60, "mass_g": 1, "bag_water_l": 3.0, **SHUT},
        bag={"temperature_c": 24.0},
        tank={"temperature_c": 24.0, "ph": 7.6, "tan_mg_l": 0.0, "nitrite_mg_l": 0.0},
        receiving={"volume_l": 120, "filter": "none", "age_days": 0, "aerated": "no"},
    )
    assert "make_do_tub" in ids(lot)[:SCREEN]
    assert "days_in_the_tub" in ids(lot)
