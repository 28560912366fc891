"""Losses, their interval and the claim."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from advisor.advice.losses import claims, dead_by, losses_of, wilson_interval
from advisor.case import Case, Lot

# Newcombe RG (1998), Statistics in Medicine 17:857-872, table I, method 3 (score, no
# continuity correction); read through handbooks that reprint it.
NEWCOMBE = [
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0000, 0.1611),
    (1, 29, 0.0061, 0.1718),
]


@pytest.mark.parametrize("dead, count, low, high", NEWCOMBE)
def test_interval_matches_the_published_table(
    dead: int, count: int, low: float, high: float
) -> None:
    found = wilson_interval(dead, count)
    assert found == (pytest.approx(low, abs=5e-5), pytest.approx(high, abs=5e-5))


@given(st.integers(1, 20_000).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_interval_matches_scipy(pair: tuple[int, int]) -> None:
    dead, count = pair
    low, high = wilson_interval(dead, count)
    theirs = binomtest(dead, count).proportion_ci(method="wilson")
    assert low == pytest.approx(theirs.low, abs=1e-9)
    assert high == pytest.approx(theirs.high, abs=1e-9)
    assert 0 <= low <= dead / count <= high <= 1


def test_a_share_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError):
        wilson_interval(0, 0)


def _case(*looks: dict[str, object], **lot: object) -> Case:
    return Case.model_validate(
        {
            "lot": [{"id": "A", "count": 60, **lot}],
            "observation": [{"lot": "A", **look} for look in looks],
        }
    )


def test_heads_that_leave_out_the_dead_on_arrival_are_added_to_them() -> None:
    # 50 normal + 3 down + 3 dead = 56 = 60 less the 4 dead on arrival
    case = _case({"at_hours": 1, "counts": {"normal": 50, "down": 3, "dead": 3}}, dead_on_arrival=4)
    assert [loss.dead for loss in losses_of(case, case.lot[0])] == [4, 7]


def test_heads_that_hold_the_dead_on_arrival_are_taken_as_they_stand() -> None:
    case = _case({"at_hours": 1, "counts": {"normal": 50, "down": 3, "dead": 7}}, dead_on_arrival=4)
    assert [loss.dead for loss in losses_of(case, case.lot[0])] == [4, 7]


def test_the_number_of_dead_never_falls_and_never_passes_the_lot() -> None:
    case = _case(
        {"at_hours": 1, "counts": {"dead": 9}},
        {"at_hours": 2, "counts": {"dead": 5}},
        {"at_hours": 3, "counts": {"dead": 99}},
    )
    assert [loss.dead for loss in losses_of(case, case.lot[0])] == [9, 9, 60]


def test_not_counted_is_not_none_dead() -> None:
    case = _case()
    assert losses_of(case, case.lot[0]) == ()
    assert dead_by((), None) is None
    assert claims(case)[0].amount is None


@pytest.mark.parametrize(
    "until, dead, amount",
    [(0, 4, "5.40"), (1, 5, "6.75"), (24, 7, "9.45"), (None, 7, "9.45")],
)
def test_the_claim_counts_what_the_terms_count(
    delivery: Case, until: float | None, dead: int, amount: str
) -> None:
    terms = delivery.claim.model_copy(update={"losses_within_hours": until})
    first = claims(delivery.model_copy(update={"claim": terms}))[0]
    assert (first.dead, first.amount) == (dead, Decimal(amount))  # by hand: dead x 1.35


def test_money_is_counted_exactly() -> None:
    lot = Lot(id="A", count=3, dead_on_arrival=3, price_each=0.1)
    assert claims(Case(lot=(lot,)))[0].amount == Decimal("0.3")  # not 0.30000000000000004
