"""The published experiments: what the forecast meets, and what it is known to miss.

The figures behind: ``python -m tests.bag.experiments``.
"""

from __future__ import annotations

import pytest

from tests.bag.experiments import EXPERIMENTS, Comparison, compare, coverage

#: Means over many lighter loads (Jones 1955): CO2 titrated after opening, a quarter of ours.
KNOWN_MISSES = {
    ("goldfish-26c", "co2_mg_l"),
    ("goldfish-16c", "co2_mg_l"),
    # the same 1.1-1.7 mg/L at 83 to 206 g/L: crowding that ours does not know
    ("matrinxa-168", "tan_mg_l"),
    ("matrinxa-206", "tan_mg_l"),
}


@pytest.fixture(scope="module")
def rows() -> list[Comparison]:
    return [c for experiment in EXPERIMENTS for c in compare(experiment)]


def test_bands_meet_what_was_observed(rows: list[Comparison]) -> None:
    missed = {(c.experiment, c.quantity) for c in rows if not c.agrees}
    assert missed == KNOWN_MISSES


def test_tan_is_within_a_factor_two_in_half_the_rows(rows: list[Comparison]) -> None:
    """Half, not the two thirds first estimates promise: matrinxa are over-estimated throughout."""
    tan = [c.forecast.value / c.centre for c in rows if c.has_value and c.quantity == "tan_mg_l"]
    assert len(tan) >= 6
    assert sum(0.5 <= ratio <= 2.0 for ratio in tan) >= len(tan) / 2


def test_final_ph_is_within_half_a_unit_where_alkalinity_is_known(rows: list[Comparison]) -> None:
    known = {e["id"] for e in EXPERIMENTS if "alkalinity_mg_l_caco3" in e["bag"]}
    ph = [c for c in rows if c.quantity == "ph" and c.has_value and c.experiment in known]
    assert len(ph) == 4
    assert all(abs(c.forecast.value - c.centre) <= 0.5 for c in ph)


def test_every_row_has_its_source() -> None:
    for experiment in EXPERIMENTS:
        assert experiment["source"] and experiment["basis"] in ("published text read", "derived")


def test_coverage_is_printed_in_counts(rows: list[Comparison]) -> None:
    lines = list(coverage(rows))
    assert len(lines) == 4 and all(" of " in line for line in lines)
