"""Losses and the claim."""

from __future__ import annotations

from decimal import Decimal

import pytest

from advisor.advice.losses import claims, dead_by, losses_of
from advisor.case import Case, Lot


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
