"""A case as it was known at an earlier hour."""

from __future__ import annotations

from advisor.case import Case


def known_until(case: Case, hours: float) -> Case:
    """``case`` without what was written down later than ``hours`` after receipt."""
    outcome = case.outcome.model_copy(
        update={
            "deaths": tuple(d for d in case.outcome.deaths if d.at_hours <= hours),
            "survivors_48h": case.outcome.survivors_48h if hours >= 48 else None,
        }
    )
    reported = case.claim.reported_at_hours
    claim = case.claim
    if reported is not None and reported > hours:
        claim = claim.model_copy(update={"reported_at_hours": None})
    return case.model_copy(
        update={
            "observation": tuple(o for o in case.observation if o.at_hours <= hours),
            "step": tuple(s for s in case.step if s.at_hours <= hours),
            "sample": tuple(s for s in case.sample if s.at_hours is None or s.at_hours <= hours),
            "outcome": outcome,
            "claim": claim,
        }
    )
