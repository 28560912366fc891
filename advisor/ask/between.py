"""What changed between two looks at one lot: computed, and with its reasons."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from advisor.advice.assess import plan_of, reason
from advisor.advice.reasoner import Reasoned, Reasoner
from advisor.ask.emergency import certain_emergencies
from advisor.ask.hands import first_sentence
from advisor.ask.rechecks import dead_at
from advisor.case import Case, Lot
from advisor.rulebase import RuleBase

Verdict = Literal["better", "same", "worse"]
#: The entry of rules/questions.toml that lists what a mending fish does.
MENDING = "mending"


@dataclass(frozen=True)
class SinceLastLook:
    """From the look before to this one.

    gone, new, still : names of signs of trouble
    mending, lost    : signs of recovery newly seen, and no longer seen
    reasons          : what the verdict rests on, in words
    causes           : (name, standing before, standing now) of those that moved
    """

    verdict: Verdict
    reasons: tuple[str, ...]
    gone: tuple[str, ...]
    new: tuple[str, ...]
    still: tuple[str, ...]
    mending: tuple[str, ...]
    lost: tuple[str, ...]
    causes: tuple[tuple[str, str, str], ...]


def change(case: Case, lot: Lot, before: float, now: float, reasoner: Reasoner) -> SinceLastLook:
    """Compare what was known of a lot at two hours after receipt."""
    base = reasoner.base
    earlier, later = (reason(case, lot, reasoner, hours) for hours in (before, now))
    recovery = set(base.questions[MENDING].signs) if MENDING in base.questions else set()
    was, is_now = set(_seen(earlier)), set(_seen(later))
    trouble = {sign for sign in was | is_now if _of_the_body(sign, base)} - recovery
    gone = [s for s in base.signs if s in trouble and s in was and s not in is_now]
    new = [s for s in base.signs if s in trouble and s in is_now and s not in was]
    still = [s for s in base.signs if s in trouble and s in is_now and s in was]
    mending = [s for s in base.signs if s in recovery and s in is_now and s not in was]
    lost = [s for s in base.signs if s in recovery and s in was and s not in is_now]
    worse, better = _counts(case, lot, before, now)
    emergencies = _emergencies(earlier, later, reasoner)
    worse += emergencies[0] + [f"new: {_names(new, base)}"] * bool(new)
    better += emergencies[1] + [f"gone: {_names(gone, base)}"] * bool(gone)
    better += [f"seen again: {_names(mending, base)}"] * bool(mending)
    worse += [f"no longer: {_names(lost, base)}"] * bool(lost)
    verdict = _verdict(case, lot, before, now, len(new) + len(lost), len(gone) + len(mending),
                       bool(emergencies[0]), bool(emergencies[1]))  # fmt: skip
    return SinceLastLook(
        verdict=verdict,
        reasons=tuple(worse + better) or ("nothing that was looked at has changed",),
        gone=tuple(base.signs[s].name for s in gone),
        new=tuple(base.signs[s].name for s in new),
        still=tuple(base.signs[s].name for s in still),
        mending=tuple(base.signs[s].name for s in mending),
        lost=tuple(base.signs[s].name for s in lost),
        causes=_moved(earlier, later),
    )


def _seen(reasoned: Reasoned) -> list[str]:
    records = reasoned.sheet.records.values()
    return [record.name for record in records if record.kind == "sign" and record.value is True]


def signs_there(reasoned: Reasoned, base: RuleBase) -> list[str]:
    """Signs seen of fish and water that may be there still."""
    return [sign for sign in _seen(reasoned) if _of_the_body(sign, base)]


def _of_the_body(sign: str, base: RuleBase) -> bool:
    """A sign of a fish or the water, which can go; not a memory of how it began."""
    return base.signs[sign].scope != "pattern"


def _names(signs: Iterable[str], base: RuleBase) -> str:
    return ", ".join(base.signs[sign].name for sign in signs)


def _down(case: Case, lot: Lot, until: float) -> int | None:
    found: int | None = None
    for look in sorted(case.observation, key=lambda each: each.at_hours):
        mine = look.lot == lot.id or (look.lot == "all" and len(case.lot) <= 1)
        if mine and look.at_hours <= until and look.counts.down is not None:
            found = look.counts.down
    return found


def _counts(case: Case, lot: Lot, before: float, now: float) -> tuple[list[str], list[str]]:
    """(worse, better) in words, from heads counted."""
    worse: list[str] = []
    better: list[str] = []
    for word, pair in (
        ("dead", (dead_at(case, lot, before), dead_at(case, lot, now))),
        ("down", (_down(case, lot, before), _down(case, lot, now))),
    ):
        earlier, later = pair
        if later is not None and later > (earlier or 0):
            was = "not counted before" if earlier is None else earlier
            worse.append(f"{word}: {was}, now {later}")
        elif earlier is not None and later is not None and later < earlier:
            better.append(f"{word}: {earlier}, now {later}")
    return worse, better


def _emergencies(
    earlier: Reasoned, later: Reasoned, reasoner: Reasoner
) -> tuple[list[str], list[str]]:
    was, is_now = (
        {a.id: a.text for a in certain_emergencies(each, plan_of(each, reasoner))}
        for each in (earlier, later)
    )
    fresh = [
        f"now called for: {first_sentence(is_now[a]).rstrip('.')}" for a in is_now if a not in was
    ]
    over = [
        f"no longer called for: {first_sentence(was[a]).rstrip('.')}"
        for a in was
        if a not in is_now
    ]
    return fresh, over


def _verdict(
    case: Case, lot: Lot, before: float, now: float, bad: int, good: int, alarm: bool, calm: bool
) -> Verdict:
    """Deaths and new emergencies outweigh signs; signs are counted, not weighed (judgement)."""
    if (dead_at(case, lot, now) or 0) > (dead_at(case, lot, before) or 0) or alarm:
        return "worse"
    down_before, down_now = _down(case, lot, before), _down(case, lot, now)
    if down_before is not None and down_now is not None and down_before != down_now:
        return "better" if down_now < down_before else "worse"
    if good + calm > bad:
        return "better"
    return "worse" if bad > good + calm else "same"


def _moved(earlier: Reasoned, later: Reasoned) -> tuple[tuple[str, str, str], ...]:
    was = {cause.id: cause.standing for cause in earlier.ranking.causes}
    return tuple(
        (cause.name, was[cause.id], cause.standing)
        for cause in later.ranking.causes
        if was[cause.id] != cause.standing
    )
