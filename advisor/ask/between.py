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
    reasons          : what of the fish the verdict rests on, in words
    against          : what of the fish speaks the other way
    called           : what the plan has begun or ceased to call for, which is no verdict
    causes           : (name, standing before, standing now) of those that moved
    """

    verdict: Verdict
    reasons: tuple[str, ...]
    against: tuple[str, ...]
    called: tuple[str, ...]
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
    lay = bool(_postures(base) & was)
    worse, better = _counts(case, lot, before, now, lay=lay)
    called = _emergencies(earlier, later, reasoner)
    worse += [f"new: {_names(new, base)}"] * bool(new)
    better += [f"gone: {_names(gone, base)}"] * bool(gone)
    better += [f"seen now: {_names(mending, base)}"] * bool(mending)
    worse += [f"no longer: {_names(lost, base)}"] * bool(lost)
    verdict = _verdict(case, lot, before, now, len(new) + len(lost), len(gone) + len(mending), lay)
    right = _set_right(case, lot, before, now)
    reasons, against = (better, worse) if verdict == "better" else (worse, better)
    if verdict == "same":
        reasons, against = reasons + against, []
    return SinceLastLook(
        verdict=verdict,
        reasons=tuple(reasons + right) or ("nothing that was looked at has changed",),
        against=tuple(against),
        called=called,
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


def _postures(base: RuleBase) -> frozenset[str]:
    """Signs of fish that cannot hold themselves up: those that swimming as they should ends."""
    good = base.signs.get("swimming_normally")
    return frozenset(good.ends if good is not None else ())


def _counts(
    case: Case, lot: Lot, before: float, now: float, *, lay: bool
) -> tuple[list[str], list[str]]:
    """(worse, better) in words, from heads counted. ``lay``: some lay already, uncounted."""
    worse: list[str] = []
    better: list[str] = []
    for word, earlier, later in (
        ("dead", dead_at(case, lot, before), dead_at(case, lot, now)),
        ("down", _down(case, lot, before), _down(case, lot, now)),
    ):
        if later is not None and later > (earlier or 0) and not (lay and earlier is None):
            was = "not counted before" if earlier is None else earlier
            worse.append(f"{word}: {was}, now {later}")
        elif earlier is not None and later is not None and later < earlier:
            better.append(f"{word}: {earlier}, now {later}")
    return worse, better


def _set_right(case: Case, lot: Lot, before: float, now: float) -> list[str]:
    """Fewer dead than were told is no recovery: the count was set right."""
    told = [
        (look.at_hours, look.counts.dead)
        for _, look in case.looks_at(lot.id, now)
        if look.counts.dead is not None and (look.lot == lot.id or len(case.lot) <= 1)
    ]
    was = [dead for hours, dead in told if hours <= before]
    since = [dead for hours, dead in told if hours > before]
    if was and since and since[-1] < was[-1]:
        return [f"dead set right: {was[-1]} told before, {since[-1]} now; nobody came back to life"]
    return []


def _emergencies(earlier: Reasoned, later: Reasoned, reasoner: Reasoner) -> tuple[str, ...]:
    was, is_now = (
        {a.id: a.text for a in certain_emergencies(each, plan_of(each, reasoner))}
        for each in (earlier, later)
    )
    fresh = [f"now called for: {_order(is_now[a])}" for a in is_now if a not in was]
    past = [a for a in was if a not in is_now and a not in later.sheet.done]  # else it was done
    over = [f"no longer called for: {_order(was[a])}" for a in past]
    return (*fresh, *over)


def _order(text: str) -> str:
    return first_sentence(text).rstrip(".")


def _verdict(
    case: Case, lot: Lot, before: float, now: float, bad: int, good: int, lay: bool
) -> Verdict:
    """From the fish alone: deaths, then heads down, then signs counted, not weighed (judgement)."""
    if (dead_at(case, lot, now) or 0) > (dead_at(case, lot, before) or 0):
        return "worse"
    down_before, down_now = _down(case, lot, before), _down(case, lot, now)
    if down_before is None and down_now and not lay:
        return "worse"
    if down_before is not None and down_now is not None and down_before != down_now:
        return "better" if down_now < down_before else "worse"
    if good > bad:
        return "better"
    return "worse" if bad > good else "same"


def _moved(earlier: Reasoned, later: Reasoned) -> tuple[tuple[str, str, str], ...]:
    was = {cause.id: cause.standing for cause in earlier.ranking.causes}
    return tuple(
        (cause.name, was[cause.id], cause.standing)
        for cause in later.ranking.causes
        if was[cause.id] != cause.standing
    )
