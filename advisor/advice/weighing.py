"""What speaks for and against a cause in sum, and which causes are worth showing so."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.advice.results import CauseResult

MOST = 6


def sums(cause: CauseResult) -> tuple[float, float]:
    """Decibans that count for and against a cause; the second is 0 or less."""
    supports = sum(piece.decibans for piece in cause.evidence_for if piece.counts)
    against = sum(piece.decibans for piece in cause.evidence_against if piece.counts)
    return supports, against


def shown(causes: Sequence[CauseResult]) -> list[CauseResult]:
    """Causes worth a bar: those not unlikely, and unlikely ones something speaks for.

    The first stands in any case.
    """
    kept = [
        cause
        for place, cause in enumerate(causes)
        if place == 0 or cause.standing != "unlikely" or (place < 4 and sums(cause)[0] > 0)
    ]
    return kept[:MOST]
