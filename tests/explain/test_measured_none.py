"""A test that finds none takes its cause down hard, and what only stood for the reading with it.

The cases are this file's own. What a veterinarian expects of each reading: un-ionised ammonia is
total ammonia times a share below one (Emerson et al. 1975): none of the one is none of the other;
water of 8 mg/L at 24 °C is all but saturated (Benson and Krause 1984 give 8.4); without nitrite in
the water no new nitrite goes into the blood (Tomasso 1986). Chlorine leaves water while fish still
suffer from it (Merck Veterinary Manual, environmental hazards), so a zero counts little: the tap is
read.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.advice.reasoner import Reasoner
from advisor.case import load_case, loads_case
from advisor.explain import Study, study
from advisor.explain.change import changed_study, read_change
from advisor.explain.flip import _Search

SHIPPED = Path(__file__).parents[2] / "cases"
BODY = """
format = "arrival-case-1"
[delivery]
title = "a delivery of this test"
invented = true
[transit]
hours_sealed = {hours}
[receiving]
volume_l = 200
{receiving}
[history]
{history}
[[lot]]
id = "platies"
species = "Xiphophorus maculatus"
count = 30
mass_g = 1.5
bags = 1
bag_water_l = 3
bag_gas_l = 6
gas = "oxygen"
{lot}
[[observation]]
at_hours = {at}
lot = "platies"
seen = [{seen}]
not_seen = [{not_seen}]
{readings}
"""
OPENED = 'sealed = "no"\nopened_at_hours = 0.0'
IN_TANK = 'sealed = "no"\nopened_at_hours = 0.2\nreleased_at_hours = 0.3'
STUNG = '"darting", "gasping_at_surface", "signs_within_an_hour_of_opening_bag"'
FED_AND_AIRED = 'bag_aerated_with_fish = "yes"\nfed_within_day_of_packing = "yes"'
TANK = "tank = {{ temperature_c = 24, ph = 7.8{} }}"
#: cause: the case, the change of its reading, and the word that its standing may keep at most
CASES = {
    "ammonia_bag": (
        {"hours": 30, "lot": OPENED, "history": FED_AND_AIRED, "at": 0.8, "seen": STUNG},
        ["bag.tan=0"],
        "possible",
    ),
    "ammonia_tank": (
        {
            "lot": IN_TANK,
            "at": 72,
            "receiving": 'filter = "new"\nage_days = 3',
            "seen": '"gasping_at_surface", "bright_red_gills", "darting"',
            "readings": TANK.format(", tan_mg_l = 4"),
        },
        ["tank.tan=0"],
        "possible",
    ),
    "nitrite": (
        {
            "lot": IN_TANK,
            "at": 230,
            "receiving": 'filter = "new"\nage_days = 14',
            "seen": '"gasping_at_surface", "weak_response", "signs_after_first_day"',
            "readings": TANK.format(", nitrite_mg_l = 1.5, do_mg_l = 8"),
        },
        ["tank.nitrite=0"],
        "possible",
    ),
    "low_oxygen": (
        {
            "lot": IN_TANK,
            "at": 10,
            "history": 'filter_stopped = "yes"',
            "seen": '"gasping_at_surface", "large_fish_first"',
            "readings": TANK.format(""),
        },
        ["tank.do=8"],
        "possible",
    ),
    "carbon_dioxide": (
        {
            "hours": 30,
            "lot": OPENED,
            "at": 0.1,
            "seen": '"weak_response", "lying_on_side", "signs_before_bag_opened"',
        },
        ["bag.co2=2"],
        "possible",
    ),
    "ph_rise": (
        {
            "hours": 20,
            "lot": IN_TANK,
            "at": 1,
            "seen": STUNG + ', "excess_mucus_cloudy_skin"',
            "readings": "bag = { ph = 6.2 }\ntank = { temperature_c = 24, ph = 9.4 }",
        },
        ["tank.ph=6.3"],
        "possible",
    ),
    "chlorine": (
        {
            "lot": IN_TANK,
            "at": 3,
            "history": 'untreated_tap_water = "yes"',
            "receiving": 'supply = "chlorine"',
            "readings": TANK.format(", chlorine_mg_l = 0.6"),
            "seen": '"gasping_at_surface", "signs_within_hours_of_water_change"',
        },
        ["tank.chlorine=0"],
        "likely",
    ),
}
ORDER = ("unlikely", "possible", "likely", "very_likely")


def delivery(reasoner: Reasoner, told: dict[str, object]) -> Study:
    blank = dict.fromkeys(("receiving", "history", "not_seen", "readings"), "")
    return study(loads_case(BODY.format(**{"hours": 10, **blank, **told})), reasoner)


def standing(of: Study, cause: str) -> tuple[str, float]:
    found = next(c for c in of.result.causes if c.id == cause)
    return found.standing, found.decibans


@pytest.mark.parametrize("cause", CASES)
def test_none_found_takes_the_cause_down_hard(reasoner: Reasoner, cause: str) -> None:
    told, change, most = CASES[cause]
    before = delivery(reasoner, told)
    after = changed_study(before, [read_change(text, before) for text in change])
    (was, had), (now, has) = standing(before, cause), standing(after, cause)
    assert ORDER.index(was) >= ORDER.index("likely"), (was, had)
    assert ORDER.index(now) <= ORDER.index(most) and has <= had - 10.0, (had, now, has)


def test_a_zero_that_the_load_gainsays_is_doubted_and_the_fish_still_get_out(
    reasoner: Reasoner,
) -> None:
    """Seventy fed fish, 34 hours in 2 L: none found cannot well be, and they gasp."""
    demo = SHIPPED / "demo" / "four-lots-one-burned-on-opening.toml"
    before = study(load_case(demo), reasoner, lot="swordtails")
    after = changed_study(before, [read_change("bag.tan=0", before)])
    assert standing(after, "ammonia_bag")[0] == "possible"
    doubted = {name for doubt in after.result.doubts for name in doubt.readings}
    assert "bag_tan_mg_l" in doubted
    first = after.result.actions[0]
    assert first.emergency and first.id == before.result.actions[0].id


def test_how_firm_it_stands_counts_a_cause_that_falls_to_possible(reasoner: Reasoner) -> None:
    """Ammonia very likely at 12 mg/L, possible at none: it does not hold for any reading."""
    demo = SHIPPED / "demo" / "four-lots-one-burned-on-opening.toml"
    search = _Search(study(load_case(demo), reasoner, lot="swordtails"), lambda done, of: None)
    none = search._run(read_change("bag.tan=0", search.study))
    assert none is not None and search.now.first_cause == "ammonia_bag"
    assert none.first_cause == "" and not none.same(search.now)
