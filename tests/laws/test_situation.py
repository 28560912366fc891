"""What the test reads out of a case, before any law is asked."""

from __future__ import annotations

from typing import Any

import pytest

from tests.laws.danger import (
    disagrees,
    harms_now,
    leaks,
    may_be_failing,
    oxygen_surely_out,
    unfit,
    wrong_salinity,
)
from tests.laws.kinds import UNKNOWN, kind_of, known_kinds
from tests.laws.samples import fish
from tests.laws.samples_move import CALM, DOWN, m
from tests.laws.situation import Figure, Water, lots_of


def one(lot: dict[str, Any], *looks: dict[str, Any], **more: Any) -> Any:
    data = {"lot": [{"id": "a", "species": "guppy", **lot}], "observation": looks, **more}
    return lots_of(data)["a"]


@pytest.mark.parametrize(
    ("lot", "look", "place"),
    [
        ({"sealed": "yes"}, {}, "closed_bag"),
        ({"sealed": "no", "opened_at_hours": 0.1}, {"at_hours": 0.5}, "open_bag"),
        ({"sealed": "no", "released_at_hours": 0.3}, {"at_hours": 2}, "tank"),
        ({"sealed": "yes", "released_at_hours": 3}, {"at_hours": 1}, "tank"),
        ({"sealed": "no"}, {"minutes_after_opening": 20}, "open_bag"),
        ({"sealed": "no", "release_method": "poured"}, {}, "tank"),
        ({"sealed": "no", "release_method": "poured", "released_at_hours": 3}, {}, "tank"),
        ({"sealed": "no"}, {"tank": {"ph": 7}}, "tank"),
        ({"sealed": "no", "opened_at_hours": 0}, {"at_hours": 30}, "unknown"),
        ({"sealed": "no"}, {"done": ["moved into a clean tub"]}, "tub"),
        ({"sealed": "no", "history": {"fish_are_in": "tub"}}, {}, "tub"),
        ({"released_at_hours": 0, "history": {"fish_are_in": "open_bag"}}, {}, "open_bag"),
        ({"opened_at_hours": 0.3, "history": {"fish_are_in": "closed_bag"}}, {}, "open_bag"),
        ({"opened_at_hours": 0.3, "history": {"fish_are_in": "tank"}}, {}, "tank"),
        ({"released_at_hours": 0.1, "release_method": "netted"}, {}, "tank"),
        ({"released_at_hours": 0.4, "release_method": "netted"}, {}, "tank"),
        ({}, {}, "unknown"),
    ],
)
def test_where_the_fish_are(lot: dict[str, Any], look: dict[str, Any], place: str) -> None:
    assert one(lot, {"at_hours": 0.2, **look}).place == place


def test_a_release_is_ahead_of_an_earlier_hour_only() -> None:
    """A file tells of acts: what is stamped after the last look was done."""
    lot = {"id": "a", "species": "guppy", "sealed": "yes", "released_at_hours": 3}
    data = {"lot": [lot], "observation": [{"at_hours": 1}]}
    assert lots_of(data)["a"].place == "tank"
    assert lots_of(data, 1)["a"].place == "closed_bag"


def test_the_newest_look_leads() -> None:
    s = one(
        {"sealed": "no", "released_at_hours": 0.2},
        {"at_hours": 1, "seen": ["lying_on_side"], "tank": {"ph": 6.8, "tan_mg_l": 2}},
        {"at_hours": 5, "seen": ["swimming_normally"], "tank": {"ph": 7.2}},
    )
    assert s.seen == {"swimming_normally"}
    assert s.present.value("ph") == 7.2 and s.present.value("tan_mg_l") == 2
    assert not s.distress and "lying_on_side" in s.ever_seen


@pytest.mark.parametrize(
    ("later", "still"),
    [
        ({"at_hours": 5, "seen": ["ulcers"]}, True),
        ({"at_hours": 5, "not_seen": ["lying_on_side"]}, False),
        ({"at_hours": 30, "seen": ["ulcers"]}, False),
    ],
)
def test_who_lay_down_may_lie_until_a_look_or_a_day_says_else(
    later: dict[str, Any], still: bool
) -> None:
    """Davis 2005: moved ill for 3 h and more, well by 24 h."""
    s = one({"released_at_hours": 0.2}, {"at_hours": 1, "seen": ["lying_on_side"]}, later)
    assert ("lying_on_side" in s.lately) is still
    assert may_be_failing(s) is still


def test_a_log_is_no_look() -> None:
    s = one(
        {"sealed": "no", "released_at_hours": 0.2},
        {"at_hours": 1, "seen": ["lying_on_side"]},
        {"at_hours": 5, "tank": {"temperature_c": 25}, "from_log": "probe"},
    )
    assert s.is_down and s.present.value("temperature_c") == 25


@pytest.mark.parametrize("kit", ["colour_card", "drops", "strip", "meter", None])
def test_a_kit_at_zero_found_nothing(kit: str | None) -> None:
    reading = {"value": 0} if kit is None else {"value": 0, "kit": kit}
    s = one(
        {"sealed": "no", "released_at_hours": 0}, {"at_hours": 1, "tank": {"tan_mg_l": reading}}
    )
    assert s.tank.none_found("tan_mg_l")
    assert not s.tank.surely_at_least("tan_mg_l", 0.0)


def test_a_band_keeps_a_doubtful_reading_from_being_sure() -> None:
    water = Water({"nitrite_mg_l": Figure(1.0, 0.5, 2.0, "drops")})
    assert water.read_at_least("nitrite_mg_l", 1)
    assert not water.surely_at_least("nitrite_mg_l", 1)
    assert water.surely_at_least("nitrite_mg_l", 0.5)


# Emerson et al. (1975) fractions in the table of UF/IFAS FA16: pH 8.0, 24 °C 0.0502; 7.0, 24 °C
# 0.0052; 8.4, 30 °C 0.1681 (equation of the same paper; last printed digit).
@pytest.mark.parametrize(
    ("ph", "temperature_c", "share"), [(8.0, 24, 0.0502), (7.0, 24, 0.0052), (6.0, 20, 0.0004)]
)
def test_un_ionised_ammonia_after_the_printed_table(
    ph: float, temperature_c: float, share: float
) -> None:
    exact = {
        name: Figure(value, value, value)
        for name, value in (("tan_mg_l", 1.0), ("ph", ph), ("temperature_c", temperature_c))
    }
    assert Water(exact).nh3_mg_l() == pytest.approx(share, abs=6e-5)


def test_what_the_house_lacks_is_heard() -> None:
    s = one({}, {}, receiving={"notes": "Power cut since noon, no dechlorinator left."})
    assert s.lacks == {"power", "dechlorinator"}
    assert one({}, {}, receiving={"notes": "Dechlorinator on the shelf."}).lacks == frozenset()


def test_a_tub_has_readings_of_its_own() -> None:
    s = one({"history": {"fish_are_in": "tub"}}, {"tub": {"temperature_c": 21}, "tank": {"ph": 7}})
    assert s.present.value("temperature_c") == 21 and s.next.value("ph") == 7


def test_kinds_are_found_by_trade_name_group_and_genus() -> None:
    assert len(known_kinds()) >= 60
    assert kind_of("sterba's corydoras").id == "corydoras"
    assert kind_of("Paracheirodon innesi").soft_water
    assert kind_of("flame angelfish").water == "marine"
    assert kind_of("angelfish").water == "fresh"
    assert kind_of(None, "koi_carp").carp_family
    assert kind_of("no such fish") == UNKNOWN


def test_the_table_of_kinds_is_in_order() -> None:
    for kind in known_kinds().values():
        limits = (kind.cold_injury_c, kind.low_c, kind.high_c, kind.heat_injury_c)
        assert None not in limits and list(limits) == sorted(limits), kind.id
        assert kind.ph_harm_low < kind.ph_harm_high, kind.id
        assert kind.water in ("fresh", "brackish", "marine"), kind.id


def test_harm_and_fitness_from_readings() -> None:
    assert harms_now(fish("guppy", "tank", DOWN, tank=m(chlorine_mg_l=0.8))) == {"chlorine"}
    assert harms_now(fish("guppy", "tank", DOWN, tank=m(chlorine_mg_l=0))) == set()
    assert harms_now(fish("guppy", "open", DOWN)) == {"spent bag"}
    assert unfit(fish("clownfish", "shut", CALM, tank=m(salinity_g_kg=1))) == {"salt"}
    assert unfit(fish("guppy", "shut", CALM, bag=m(temperature_c=25),
                      tank=m(temperature_c=18))) == {"step"}  # fmt: skip


def test_fish_and_number_disagree() -> None:
    assert disagrees(fish("cherry barb", "tank", CALM, tank=m(temperature_c=4)))
    assert not disagrees(fish("cherry barb", "tank", DOWN, tank=m(temperature_c=4)))


def test_leak_and_oxygen() -> None:
    assert leaks(fish("guppy", "shut", lot={"notes": "One bag leaks."}))
    assert not leaks(fish("guppy", "shut", lot={"notes": "All bags taut."}))
    full = {"count": 60, "mass_g": 2, "bags": 1, "bag_water_l": 3, "bag_gas_l": 7, "gas": "oxygen"}
    assert not oxygen_surely_out(fish("swordtail", "shut", lot=full))
    spent = full | {"gas": "air", "bag_gas_l": 1, "hours_sealed": 60}
    assert oxygen_surely_out(fish("swordtail", "shut", lot=spent))


def test_salt_that_conductivity_gainsays_is_not_sure() -> None:
    """Sea water of 35 g/kg conducts some 53 mS/cm at 25 °C (Poisson 1980; from memory)."""
    salty = fish("zebra danio", tank=m(salinity_g_kg=16))
    assert wrong_salinity(salty, salty.tank)
    agreeing = fish("zebra danio", tank=m(salinity_g_kg=16, conductivity_us_cm=26000))
    assert wrong_salinity(agreeing, agreeing.tank)
    gainsaid = fish("zebra danio", tank=m(salinity_g_kg=16, conductivity_us_cm=300))
    assert not wrong_salinity(gainsaid, gainsaid.tank)


def test_an_unwatched_bag_without_oxygen_for_half_a_day_may_be_failing() -> None:
    airless = {"gas": "none"}
    assert may_be_failing(fish("guppy", "shut", lot={"hours_sealed": 20, **airless}))
    assert not may_be_failing(fish("guppy", "shut", lot={"hours_sealed": 3, **airless}))
    calm = "swimming_normally answers_a_hand"
    assert not may_be_failing(fish("guppy", "shut", calm, lot={"hours_sealed": 20, **airless}))
