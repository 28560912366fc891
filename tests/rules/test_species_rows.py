"""Traits of kinds that differ from their group, against what is known of them elsewhere."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from advisor.rulebase import RuleBase, load_rulebase
from advisor.rulebase.species import Kind, kind_of


@pytest.fixture(scope="module")
def base() -> RuleBase:
    return load_rulebase()


def of(species: str, base: RuleBase) -> Kind:
    kind = kind_of(SimpleNamespace(species=species, group=None), base)
    assert kind is not None and kind.certain, species
    return kind


#: Graham 1997, Air-Breathing Fishes, tables of genera and families (from memory); snails and
#: land crabs: general zoology (from memory).
AIR_BREATHERS = (
    "Clarias batrachus",
    "Pangasianodon hypophthalmus",
    "Electrophorus electricus",
    "Xenomystus nigri",
    "Pantodon buchholzi",
    "Polypterus senegalus",
    "Corydoras aeneus",
    "Pterygoplichthys gibbiceps",
    "Misgurnus anguillicaudatus",
    "Channa gachua",
    "Helostoma temminkii",
    "Pomacea diffusa",
)
#: Stream suckers of the subfamily Loricariinae do not take air (Armbruster 1998, from memory).
WATER_BREATHERS = ("Farlowella acus", "Sturisoma panamense", "Danio rerio", "Gnathonemus petersii")


def test_air_breathers_are_known_as_such(base: RuleBase) -> None:
    assert all("air_breather" in of(name, base).traits for name in AIR_BREATHERS)
    assert not any("air_breather" in of(name, base).traits for name in WATER_BREATHERS)


def test_indian_glassfish_is_a_fresh_water_fish(base: RuleBase) -> None:
    """Encyclopaedia entry Parambassis ranga: mostly fresh water, pH 6.5 to 7.5, 20 to 30 °C."""
    kind = of("indian glassfish", base)
    assert not {"brackish", "salt_tolerant", "hard_alkaline_water"} & kind.traits
    assert (kind.tolerance("temperature_low_c"), kind.tolerance("ph_low")) == (20.0, 6.5)
    borne = kind.tolerance("salinity_borne_g_kg")
    assert borne is not None and borne < 10


def test_kinds_of_hard_lakes_are_not_called_soft_water_kinds(base: RuleBase) -> None:
    """Inle Lake and the lakes of New Guinea and Sulawesi are alkaline (from memory, FishBase)."""
    for name in ("Danio erythromicron", "Synodontis petricola", "Tylomelania gemmifera"):
        traits = of(name, base).traits
        assert "hard_alkaline_water" in traits and "soft_acid_water" not in traits, name


def test_mid_water_catfish_do_not_rest_on_the_bottom_when_well(base: RuleBase) -> None:
    """Glass catfish hang in mid-water by day (common practice, no source)."""
    assert "bottom_rester" not in of("Kryptopterus vitreolus", base).traits
    assert "bottom_rester" in of("Corydoras aeneus", base).traits


def test_a_group_alone_keeps_all_its_traits(base: RuleBase) -> None:
    kind = kind_of(SimpleNamespace(species=None, group="brackish_fish"), base)
    assert kind is not None and kind.traits == frozenset(base.groups["brackish_fish"].traits)
