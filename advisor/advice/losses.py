"""Losses of a delivery: dead by lot and time, the claim."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from advisor.case import Case, Lot

#: ``basis`` of what a look counted.
COUNTED = "counted"


@dataclass(frozen=True)
class Loss:
    """Dead of a lot up to a time, the dead on arrival included; ``basis`` is where it stands."""

    at_hours: float
    dead: int
    basis: str


def losses_of(case: Case, lot: Lot) -> tuple[Loss, ...]:
    """Dead of ``lot`` in time order; the number never falls.

    ``counts.dead`` of a look and ``outcome.deaths`` count all dead so far. Where a
    look's heads add up to the lot only with the dead on arrival put beside them,
    or are fewer than those, they are taken to leave them out.
    """
    alone = len(case.lot) <= 1
    found = sorted(_told(case, lot, alone), key=lambda loss: loss.at_hours)
    kept: list[Loss] = []
    for loss in found:
        most = max(loss.dead, kept[-1].dead if kept else 0)
        kept.append(Loss(loss.at_hours, min(most, _whole(lot, most)), loss.basis))
    return tuple(kept)


def _whole(lot: Lot, dead: int) -> int:
    return dead if lot.count is None else lot.count


def _told(case: Case, lot: Lot, alone: bool) -> Iterator[Loss]:
    arrived_dead = lot.dead_on_arrival or 0
    if lot.dead_on_arrival is not None:
        yield Loss(lot.opened_at_hours or 0.0, arrived_dead, "dead on arrival")
    for look in case.observation:
        heads = look.counts
        if heads.dead is None or not (look.lot == lot.id or (look.lot == "all" and alone)):
            continue
        seen = [heads.normal, heads.down, heads.dead]
        full = None not in seen and sum(h or 0 for h in seen) + arrived_dead == lot.count
        beside = arrived_dead if full or heads.dead < arrived_dead else 0
        yield Loss(look.at_hours, heads.dead + beside, COUNTED)
    for death in case.outcome.deaths:
        if death.lot == lot.id or (death.lot == "all" and alone):
            yield Loss(death.at_hours, max(death.dead, arrived_dead), "written down")
    if case.outcome.survivors_48h is not None and alone and lot.count is not None:
        dead = max(0, lot.count - case.outcome.survivors_48h)
        yield Loss(48.0, dead, "survivors at 48 h")


def dead_by(losses: tuple[Loss, ...], hours: float | None) -> int | None:
    """Dead up to a time (None = at the last count); None when nothing was counted by then."""
    counted = [loss.dead for loss in losses if hours is None or loss.at_hours <= hours + 1e-9]
    return counted[-1] if counted else None


@dataclass(frozen=True)
class LotClaim:
    """What is claimed for a lot. ``amount`` is None without a price or a count of dead."""

    lot: Lot
    dead: int | None
    amount: Decimal | None


def claims(case: Case) -> tuple[LotClaim, ...]:
    """Dead that count under the stated terms, times the price of one fish, lot by lot."""
    return tuple(_claim(case, lot) for lot in case.lot)


def _claim(case: Case, lot: Lot) -> LotClaim:
    until = case.claim.losses_within_hours
    dead = lot.dead_on_arrival if until == 0 else dead_by(losses_of(case, lot), until)
    if dead is None or lot.price_each is None:
        return LotClaim(lot, dead, None)
    return LotClaim(lot, dead, dead * Decimal(str(lot.price_each)))
