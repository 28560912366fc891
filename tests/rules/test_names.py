"""Names of kinds: what people write finds one kind, kin by their group, or asks which is meant."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from advisor.rulebase import RuleBase, load_rulebase
from advisor.rulebase.species import (
    Kind,
    could_be,
    find_species,
    kin_group,
    kind_of,
    similar_species,
)


@pytest.fixture(scope="module")
def base() -> RuleBase:
    return load_rulebase()


def of(species: str, base: RuleBase) -> Kind:
    kind = kind_of(SimpleNamespace(species=species, group=None), base)
    assert kind is not None
    return kind


def test_every_name_finds_its_own_kind_and_no_other(base: RuleBase) -> None:
    names = 0
    for species in base.species.values():
        for name in (species.scientific, species.name, *species.also):
            found = find_species(name, base)
            assert found is not None and found.id == species.id, name
            names += 1
    for group in base.groups.values():
        for name in group.kin:
            found_group = kin_group(name, base)
            assert found_group is not None and found_group.id == group.id, name
    assert names >= 1_500


#: Common trade and older scientific names (common practice, no source).
WRITTEN = {
    "hyphessobrycon innesi": "paracheirodon_innesi",
    "neons": "paracheirodon_innesi",
    "rummynose": "hemigrammus_rhodostomus",
    "brachydanio rerio": "danio_rerio",
    "lebistes": "poecilia_reticulata",
    "barbus tetrazona": "puntigrus_tetrazona",
    "wild green swordtail": "xiphophorus_hellerii",
    "bta": "entacmaea_quadricolor",
}


@pytest.mark.parametrize("text", WRITTEN)
def test_trade_and_older_names_are_known(text: str, base: RuleBase) -> None:
    found = find_species(text, base)
    assert found is not None and found.id == WRITTEN[text]


def test_kin_that_the_table_lacks_are_known_by_their_group(base: RuleBase) -> None:
    kind = of("hyphessobrycon flammeus", base)
    assert kind.certain and kind.species is None
    assert kind.group.id == "hardy_tetras"
    assert kind.tolerance("cold_injury_c") == of("serpae tetra", base).tolerance("cold_injury_c")


def test_a_name_that_several_kinds_share_finds_none_of_them(base: RuleBase) -> None:
    assert find_species("shark", base) is None
    assert {"bala shark", "rainbow shark"} <= {each.name for each in could_be("shark", base)}
    kind = of("shark", base)
    assert not kind.certain and kind.note is not None and "may be bala shark, " in kind.note
    assert similar_species("shark", base)[0] == "bala shark"


def test_a_shared_name_within_one_group_tells_that_group(base: RuleBase) -> None:
    kind = of("wrasse", base)
    assert kind.certain and kind.species is None and kind.group.id == "marine_wrasses"


def test_salt_and_fresh_water_are_never_guessed_from_a_shared_name(base: RuleBase) -> None:
    """Sold on both sides of the shop: butterflyfish, puffers, snails, eels (common practice)."""
    for name in ("butterflyfish", "puffer", "snail", "eel", "goby", "clown", "shrimp"):
        assert not of(name, base).certain, name


def test_nonsense_is_still_unknown(base: RuleBase) -> None:
    kind = of("blorp", base)
    assert not kind.certain and kind.note is not None and "not in the species table" in kind.note
