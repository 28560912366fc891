"""Injury limits against published tolerances, kept in tests/reference/tolerances.toml."""

from __future__ import annotations

import tomllib
from pathlib import Path
from types import SimpleNamespace
from typing import Any, get_args

import pytest

from advisor.rulebase import RuleBase, load_rulebase
from advisor.rulebase.kinds import InjuryName
from advisor.rulebase.species import Kind, kind_of

REFERENCE = Path(__file__).parents[1] / "reference" / "tolerances.toml"
TOLERANCES = tomllib.loads(REFERENCE.read_text(encoding="utf-8"))["tolerance"]
SEA = "salinity_injury_low_g_kg"
SALT_STEPS = {"salinity_rise_borne_g_kg", "salinity_fall_borne_g_kg"}


@pytest.fixture(scope="module")
def base() -> RuleBase:
    return load_rulebase()


def of_group(group: str, base: RuleBase) -> Kind:
    kind = kind_of(SimpleNamespace(species=None, group=group), base)
    assert kind is not None
    return kind


def of_species(species: str, base: RuleBase) -> Kind:
    kind = kind_of(SimpleNamespace(species=species, group=None), base)
    assert kind is not None and kind.certain, species
    return kind


def figure(kind: Kind, name: InjuryName) -> float:
    found = kind.injuries.get(name)
    assert found is not None, name
    return found.value


@pytest.mark.parametrize("printed", TOLERANCES, ids=lambda each: each["species"])
def test_limits_lie_on_the_safe_side_of_published_deaths(
    printed: dict[str, Any], base: RuleBase
) -> None:
    """Harm begins before what a work reports as lethal; the work is named beside each figure."""
    kind = of_species(printed["species"], base)
    if "lethal_low_c" in printed and "not_low" not in printed:
        # 0.1: a printed 19.6 is kept as 19.5
        assert figure(kind, "cold_injury_c") >= printed["lethal_low_c"] - 0.1
    if "lethal_high_c" in printed:
        assert figure(kind, "heat_injury_c") <= printed["lethal_high_c"]
    if "lethal_low_ph" in printed:
        assert figure(kind, "ph_injury_low") >= printed["lethal_low_ph"]
    if "lethal_high_ph" in printed:
        assert figure(kind, "ph_injury_high") <= printed["lethal_high_ph"]
    if "lc50_salt_g_l" in printed:
        assert figure(kind, "salinity_borne_g_kg") < printed["lc50_salt_g_l"]
        assert figure(kind, "salinity_injury_high_g_kg") <= 1.02 * printed["lc50_salt_g_l"]
    if "none_died_salt_g_l" in printed:
        assert figure(kind, "salinity_borne_g_kg") <= printed["none_died_salt_g_l"]
        assert figure(kind, "salinity_injury_high_g_kg") >= printed["none_died_salt_g_l"] - 2
    if "lethal_low_salt_g_kg" in printed:
        assert figure(kind, SEA) > printed["lethal_low_salt_g_kg"]
        assert figure(kind, SEA) < printed["none_died_low_salt_g_kg"]


def test_every_group_has_every_limit_and_only_sea_kinds_need_salt(base: RuleBase) -> None:
    for group in base.groups.values():
        kind = of_group(group.id, base)
        wanted = set(get_args(InjuryName)) - {SEA} - SALT_STEPS
        if "marine" in group.traits:
            wanted.add(SEA)
        if {"marine", "brackish"} & set(group.traits):
            wanted |= SALT_STEPS
        if group.id == "unknown_fish":  # it may be a fish of the sea: no salt is too much for sure
            wanted.discard("salinity_injury_high_g_kg")
        assert set(kind.injuries) == wanted, group.id


def test_a_kind_of_the_table_is_kept_well_inside_its_limits(base: RuleBase) -> None:
    """A keeping range that touches an injury limit would be read as harm by a cheap thermometer."""
    for species in base.species.values():
        kind = of_species(species.name, base)
        low, high = kind.tolerance("temperature_low_c"), kind.tolerance("temperature_high_c")
        assert low is None or figure(kind, "cold_injury_c") <= low - 0.5, species.id
        assert high is None or figure(kind, "heat_injury_c") >= high + 1.5, species.id


def test_no_kind_is_injured_by_water_it_is_commonly_sold_in(base: RuleBase) -> None:
    """Rams at 24 °C, fighting fish at 22, goldfish at 28 live (common practice, no source)."""
    for name, warmth in (
        ("Mikrogeophagus ramirezi", 24),
        ("Betta splendens", 22),
        ("goldfish", 28),
    ):
        kind = of_species(name, base)
        assert figure(kind, "cold_injury_c") < warmth < figure(kind, "heat_injury_c")


def test_borne_salt_is_less_than_harmful_salt(base: RuleBase) -> None:
    for group in base.groups:
        kind = of_group(group, base)
        if group != "unknown_fish":
            assert figure(kind, "salinity_borne_g_kg") < figure(kind, "salinity_injury_high_g_kg")
        assert figure(kind, "temperature_fall_borne_c") > 0
        assert figure(kind, "temperature_rise_borne_c") > 0


def test_a_species_goes_before_its_group(base: RuleBase) -> None:
    cardinal = of_species("Paracheirodon axelrodi", base)
    neon = of_species("Paracheirodon innesi", base)
    assert figure(cardinal, "cold_injury_c") == 19.5
    group = of_group("softwater_tetras", base)
    assert figure(neon, "cold_injury_c") == group.tolerance("cold_injury_c")


def test_an_unknown_kind_is_judged_with_caution(base: RuleBase) -> None:
    kind = kind_of(SimpleNamespace(species="no such fish", group=None), base)
    assert kind is not None and not kind.certain
    borne = kind.tolerance("salinity_borne_g_kg")
    assert borne == min(of_group(g, base).tolerance("salinity_borne_g_kg") for g in base.groups)
