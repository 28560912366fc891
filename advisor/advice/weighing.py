"""What speaks for and against a cause in sum, which causes are worth showing so, which facts."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.advice.results import ActionResult, CauseResult, Evidence, FindingResult, LotResult

MOST = 6


def sums(cause: CauseResult) -> tuple[float, float]:
    """Decibans that count for and against a cause; the second is 0 or less."""
    supports = sum(piece.decibans for piece in cause.evidence_for if piece.counts)
    against = sum(piece.decibans for piece in cause.evidence_against if piece.counts)
    return supports, against


def names_used(lot: LotResult) -> set[str]:
    """Names of the facts that counted evidence, actions and findings rest on."""
    pieces = [e for c in lot.causes for e in (*c.evidence_for, *c.evidence_against) if e.counts]
    rest: list[Evidence | ActionResult | FindingResult]
    rest = [*pieces, *lot.actions, *lot.findings]
    return {fact.name for each in rest for fact in each.facts}


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
