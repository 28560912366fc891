"""When to look again, and when a case may be closed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from advisor.advice.facts.sheet import lots_of
from advisor.advice.losses import COUNTED, dead_by, losses_of
from advisor.case import Case, Lot
from advisor.wording.numbers import fixed

#: Looks after the first one: 15 minutes, 1 h, 6 h, a day, two days (common practice, no source).
AFTER_FIRST_H = (0.25, 1.0, 6.0, 24.0, 48.0)
#: A look that came after so much of its gap was that look (judgement).
EARLY_PART = 0.9
#: Then through quarantine, in hours after receipt: day 4, 7, 10, 14 (common practice, no source).
QUARANTINE_H = (96.0, 168.0, 240.0, 336.0)
#: With an emergency standing the next look is this soon [h] (judgement).
URGENT_H = 0.25
#: Losses of the journey are counted up to this hour; many suppliers' terms end here or before.
COUNT_H = 48.0
_WORDS = {0.25: "15 minutes", 1.0: "1 hour", 6.0: "6 hours", 24.0: "24 hours", 48.0: "48 hours"}


@dataclass(frozen=True)
class Due:
    """The next look: hours after receipt, and which of the series it is."""

    at_hours: float
    name: str


def next_look(case: Case, *, urgent: bool = False) -> Due | None:
    """The look that is due after those the case holds; None when the series is over.

    urgent : an emergency stands, so the next look is soon whatever the hour
    """
    return next(looks_due(case, urgent=urgent), None)


def looks_due(case: Case, *, urgent: bool = False) -> Iterator[Due]:
    """All looks that are still due, in their order."""
    if case.outcome.closed or not case.observation:
        return
    first = _first_look(case)
    last = max(looked_at(case))
    if urgent:
        last += URGENT_H
        yield Due(last, "15 minutes after the last look")
    for gap in AFTER_FIRST_H:
        if first + gap * EARLY_PART > last:
            yield Due(first + gap, f"{_WORDS[gap]} after the first look")
    for hours in QUARANTINE_H:
        if hours > max(last, first + AFTER_FIRST_H[-1]):
            yield Due(hours, f"quarantine, day {fixed(hours / 24)}")


def looked_at(case: Case) -> list[float]:
    """Hours at which somebody looked, in their order: a step that was only ticked is no look."""
    hours = sorted(look.at_hours for look in case.observation)
    ticked = {look.at_hours for look in case.observation if look.done and not look.tells}
    return [hour for hour in hours if hour not in ticked] or hours[:1]


def _first_look(case: Case) -> float:
    """The first look in the tank, or the first of all while bags are shut."""
    hours = looked_at(case)
    released = [lot.released_at_hours for lot in case.lot if lot.released_at_hours is not None]
    out = min(released, default=hours[0])
    return next((hour for hour in hours if hour >= out), hours[-1])


def dead_at(case: Case, lot: Lot, until: float) -> int | None:
    """Dead of a lot up to an hour, those that came dead included; None when no look counted."""
    counted = tuple(loss for loss in losses_of(case, lot) if loss.basis == COUNTED)
    return dead_by(counted, until)


def nobody_lives(case: Case, lot: Lot) -> bool:
    """Whether all fish of a lot were counted dead."""
    dead = dead_at(case, lot, case.last_hour)
    return dead is not None and lot.count is not None and dead >= lot.count


def open_reasons(
    case: Case, emergencies: Sequence[str], likely_causes: Sequence[str], last_hours: float
) -> list[str]:
    """Why the case should stay open, in sentences; empty when it may be closed.

    emergencies   : texts of emergency actions still called for
    likely_causes : names of causes at least likely, resting after the journey left out
    """
    reasons = [f"still to do now: {text}" for text in emergencies]
    if last_hours < COUNT_H:
        reasons.append("the count at 48 hours is still to come")
    looks = sorted({look.at_hours for look in case.observation})
    if likely_causes and last_hours < QUARANTINE_H[-1]:
        reasons.append(f"{' and '.join(likely_causes)} stands as likely; watch through day 14")
    if len(looks) >= 2 and _died_between(case, looks[-2], looks[-1]):
        reasons.append("fish died since the look before")
    return reasons


def _died_between(case: Case, earlier: float, later: float) -> bool:
    pairs = [(dead_at(case, lot, earlier), dead_at(case, lot, later)) for lot in lots_of(case)]
    return any(  # what was not counted before is not none
        before is not None and after is not None and after > before for before, after in pairs
    )
