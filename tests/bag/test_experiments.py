"""The published bags: what the forecast meets, and what it is known to miss.

The figures behind: ``python -m tests.bag.experiments``. Misses are listed by
name, so that neither a new one nor a lost one passes unseen.
"""

from __future__ import annotations

import pytest

from tests.bag.experiments import EXPERIMENTS, LATER, Comparison, compare, suffocated

#: CO2 was titrated after opening, and is a mean over many lighter loads (Jones 1955): the ammonia
#: of the same jars asks for about 300 mg/L at the oxygen use of starved fish.
KNOWN_MISSES = {
    ("goldfish-26c", "co2_mg_l"),
    ("goldfish-16c", "co2_mg_l"),
    # the same 1.1-1.7 mg/L at 83 to 206 g/L: crowding that ours does not know
    ("matrinxa-168", "tan_mg_l"),
    ("matrinxa-206", "tan_mg_l"),
}
#: Found afterwards; as the goldfish rows it is a mean over lighter loads.
LATER_MISSES = {("fathead-26c", "co2_mg_l")}


def rows_of(experiments: list) -> list[Comparison]:  # type: ignore[type-arg]
    return [c for experiment in experiments for c in compare(experiment)]


@pytest.fixture(scope="module")
def known() -> list[Comparison]:
    return rows_of(EXPERIMENTS)


@pytest.fixture(scope="module")
def later() -> list[Comparison]:
    return rows_of(LATER)


def missed(rows: list[Comparison]) -> set[tuple[str, str]]:
    return {(c.experiment, c.quantity) for c in rows if not c.agrees}


def test_rows_known_when_constants_were_chosen(known: list[Comparison]) -> None:
    assert missed(known) == KNOWN_MISSES


def test_rows_found_afterwards(later: list[Comparison]) -> None:
    assert len(LATER) >= 10
    assert missed(later) == LATER_MISSES


def test_no_bag_without_deaths_is_forecast_as_suffocated() -> None:
    """At their centre; findings of October had 7 of 11 under 3 mg/L within half an hour."""
    assert sum(bool(e.get("no_deaths")) for e in (*EXPERIMENTS, *LATER)) >= 25
    assert suffocated(EXPERIMENTS) == [] and suffocated(LATER) == []


def test_tan_is_within_a_factor_two_in_less_than_half(
    known: list[Comparison], later: list[Comparison]
) -> None:
    """Said as it is: 4 of 9. Matrinxa are over-estimated throughout, hauled catfish under."""
    tan = [
        0.5 <= c.forecast.value / c.centre <= 2.0
        for c in (*known, *later)
        if c.has_value and c.quantity == "tan_mg_l"
    ]
    assert (sum(tan), len(tan)) == (4, 9)


def test_final_ph_is_within_half_a_unit_where_alkalinity_is_known(known: list[Comparison]) -> None:
    told = {e["id"] for e in EXPERIMENTS if "alkalinity_mg_l_caco3" in e["bag"]}
    ph = [c for c in known if c.quantity == "ph" and c.has_value and c.experiment in told]
    assert len(ph) == 4
    assert all(abs(c.forecast.value - c.centre) <= 0.5 for c in ph)


def test_every_row_has_its_source() -> None:
    for experiment in (*EXPERIMENTS, *LATER):
        assert experiment["source"] and experiment["basis"] in ("published text read", "derived")
    assert len({e["id"] for e in (*EXPERIMENTS, *LATER)}) == len(EXPERIMENTS) + len(LATER)
