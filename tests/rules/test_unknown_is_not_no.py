"""What was not told counts neither for nor against."""

from __future__ import annotations

import pytest

from tests.rules.conftest import Judge, decibans, ids, standing

#: cause, a sign whose absence speaks against it, the rest of the picture.
ABSENCE = [
    ("white_spot", "white_spots", ("flashing_rubbing",)),
    ("gas_supersaturation", "bubbles_under_skin_fins_eyes", ("popeye",)),
    ("hydrogen_sulfide", "rotten_egg_smell", ("sudden_deaths",)),
    ("starvation", "sunken_belly", ("weak_response",)),
    ("water_mould", "cotton_tufts", ("frayed_fins",)),
]


@pytest.mark.parametrize("cause, sign, seen", ABSENCE)
def test_absence_counts_only_when_looked_for(
    judge: Judge, cause: str, sign: str, seen: tuple[str, ...]
) -> None:
    unasked = judge(seen, hours=60.0)
    looked = judge(seen, (sign,), hours=60.0)
    present = judge((*seen, sign), hours=60.0)
    assert decibans(looked, cause) < decibans(unasked, cause) < decibans(present, cause)


#: cause, history item whose "no" speaks against it.
ANSWERS = [
    ("chlorine", {"water_changed_last_day": "no", "untreated_tap_water": "no"}),
    ("poison", {"spraying_nearby": "no", "new_metal_or_plumbing": "no"}),
    ("electric_shock", {"electric_fault_suspected": "no"}),
    ("hydrogen_sulfide", {"gravel_or_filter_disturbed": "no"}),
]


@pytest.mark.parametrize("cause, answers", ANSWERS)
def test_an_unknown_answer_is_not_a_no(judge: Judge, cause: str, answers: dict[str, str]) -> None:
    seen = ("sudden_deaths", "all_species_at_once")
    unknown = judge(seen, hours=60.0)
    said_unknown = judge(seen, hours=60.0, **dict.fromkeys(answers, "unknown"))
    no = judge(seen, hours=60.0, **answers)
    assert decibans(said_unknown, cause) == decibans(unknown, cause)
    assert decibans(no, cause) < decibans(unknown, cause)


def test_no_reading_clears_nothing(judge: Judge) -> None:
    for cause, tank in (
        ("ammonia_tank", {"tan_mg_l": {"value": 0.0, "high": 0.05}, "ph": 7.0}),
        ("nitrite", {"nitrite_mg_l": {"value": 0.0, "high": 0.02}}),
        ("low_oxygen", {"do_mg_l": {"value": 8.0, "kit": "meter"}}),
    ):
        warm = {"temperature_c": 25.0}
        unread = judge(("gasping_at_surface",), hours=200.0, tank=warm)
        read = judge(("gasping_at_surface",), hours=200.0, tank={**warm, **tank})
        assert decibans(read, cause) < decibans(unread, cause)
        assert standing(unread, cause) != "unlikely"


def test_a_banded_reading_neither_proves_nor_clears(judge: Judge) -> None:
    """A colour card that may stand on either side of the gill limit moves no strong rule."""
    about = {"temperature_c": 25.0, "ph": 7.6}
    doubtful = judge(
        ("weak_response",),
        hours=60.0,
        tank={**about, "tan_mg_l": {"value": 1.5, "low": 0.3, "high": 4.0}},
    )
    fired = {e.rule for c in doubtful.causes for e in (*c.evidence_for, *c.evidence_against)}
    assert "tank-ammonia-possibly-passed" in fired
    assert not {"tank-ammonia-surely-passed", "tank-ammonia-surely-low"} & fired


def test_salt_waits_until_the_kind_is_known(judge: Judge) -> None:
    nameless = judge(
        ("brown_gills",),
        hours=200,
        tank={"nitrite_mg_l": 1.0},
        salt_in_water="no",
        zeolite_in_filter="no",
    )
    assert "salt_against_nitrite" not in ids(nameless)


def test_a_kind_not_in_the_table_rules_nothing_out(judge: Judge) -> None:
    """Koi virus is ruled out by another kind, not by a name nobody knows."""
    unknown = judge(("white_gill_patches",), hours=150, lot={"species": "speckled wonderfish"})
    other = judge(("white_gill_patches",), hours=150, lot={"group": "barbs"})
    assert decibans(unknown, "koi_herpesvirus") > decibans(other, "koi_herpesvirus")
