"""What the hands do first: lots that share their first steps, and what is held back from them.

Whatever shows a plan on one screenful takes its lines from here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from advisor.advice.amounts.doses import SALT
from advisor.advice.plan import Plan
from advisor.advice.reasoner import Reasoned
from advisor.advice.results import ActionResult, AmountResult, LotResult, VetResult, Withheld
from advisor.ask.done_steps import ticked_at
from advisor.ask.rechecks import looked_at, next_look
from advisor.case import Case
from advisor.wording.measures import salt_in_teaspoons, with_us
from advisor.wording.names import STANDING
from advisor.wording.numbers import short
from advisor.wording.text import one_line
from advisor.wording.times import moment, span, time_of_day

MOST_STEPS = 5
#: Part of a lot dead or down that puts it before the others (judgement).
FAILS = 0.2
EARLY = ("now", "within_hour", "today")
#: What the order of lots is worked out from, the most pressing smallest.
Pressing = tuple[bool, bool, bool, int]
_SENTENCE = re.compile(r"(?<=[.!?])\s+(?=[A-Z])")


@dataclass
class SharedPlan:
    """Lots that share their steps."""

    lots: list[LotResult]

    @property
    def emergency(self) -> bool:
        return any(lot.urgent for lot in self.lots)


def grouped(lots: Iterable[LotResult]) -> list[SharedPlan]:
    """Lots by their first steps: those that fail first, then emergencies, then most to do."""
    groups: dict[tuple[str, ...], SharedPlan] = {}
    for lot in lots:
        key = tuple(step.id for step in first_steps(lot) if step.emergency or step.when == "now")
        groups.setdefault(key, SharedPlan([])).lots.append(lot)
    return sorted(groups.values(), key=_pressing)


def steps_of(group: SharedPlan) -> list[ActionResult]:
    """The first steps that all lots of the group share."""
    shared = set.intersection(*({a.id for a in lot.actions} for lot in group.lots))
    return [step for step in first_steps(group.lots[0]) if step.id in shared]


def first_steps(lot: LotResult) -> tuple[ActionResult, ...]:
    """What the hands do first: at most five steps of today, in the order of the plan."""
    early = [action for action in lot.actions if action.when in EARLY]
    chosen = sorted(early, key=lambda action: EARLY.index(action.when))
    return tuple(chosen[:MOST_STEPS])


def _pressing(group: SharedPlan) -> Pressing:
    return min(map(_pressing_lot, group.lots))


def _pressing_lot(lot: LotResult) -> Pressing:
    parts = {fact.name: fact.value for fact in lot.computed}
    dead, down = (parts.get(f"{name}_fraction") for name in ("dead", "down"))
    return pressing(
        lot,
        dead if isinstance(dead, float) else 0.0,
        down if isinstance(down, float) else 0.0,
    )


def pressing(plan: LotResult | Plan, dead: float, down: float) -> Pressing:
    """What lots are sorted by: those that fail, emergencies, a way out of harm, most to do now."""
    now = [action for action in plan.actions if action.when == "now"]
    urgent = any(a.emergency for a in plan.actions) or any(h.emergency for h in plan.withheld)
    return (
        not fails(plan.vet, dead, down),
        not urgent,
        not any(action.step == "rescue" for action in now),
        -len(now),
    )


def pressing_of(reasoned: Reasoned, plan: Plan) -> Pressing:
    """The same of a lot that was thought through."""
    dead, down = (reasoned.sheet.number(f"{name}_fraction") or 0.0 for name in ("dead", "down"))
    return pressing(plan, dead, down)


def fails(vet: Iterable[VetResult], dead: float, down: float) -> bool:
    """A call for the lot cannot wait, or fish of it live still and a fifth are dead or down.

    dead, down : parts of the lot, 0 where nobody counted
    """
    urgent = any(note.urgency == "now" for note in vet)
    return urgent or (dead < 1.0 and dead + down >= FAILS)


def who(group: SharedPlan) -> str:
    """The lots of a group by their names."""
    return ", ".join(lot.lot for lot in group.lots)


def held_back(group: SharedPlan) -> list[tuple[Withheld, list[str]]]:
    """What is held back from lots of the group, and from which; what bars more of them first."""
    return sorted(held_from(group.lots), key=lambda pair: -len(pair[1]))


def held_from(lots: Iterable[LotResult]) -> list[tuple[Withheld, list[str]]]:
    """Each step held back, and from which of the lots."""
    found: dict[str, tuple[Withheld, list[str]]] = {}
    for lot in lots:
        for held in (each for each in lot.withheld if not each.moot):
            found.setdefault(held.action, (held, []))[1].append(lot.lot)
    return list(found.values())


def done_words(group: SharedPlan, case: Case) -> list[str]:
    """Each step that stands among what was done for all lots of the group, and when it was."""
    shared = set.intersection(*(_done(lot) for lot in group.lots))
    found = []
    for held in (each for each in group.lots[0].withheld if each.action in shared):
        hours = max(look.at_hours for look in case.observation if held.action in look.done)
        found.append(f"{first_sentence(held.text).rstrip('.')} ({ticked_at(case, hours)})")
    return found


def done_before(action: str, group: SharedPlan, case: Case) -> bool:
    """Whether the step was done for all lots of the group, and a look since calls for it anew."""
    lots = {look.lot for look in case.observation if action in look.done}
    return "all" in lots or {lot.lot for lot in group.lots} <= lots


def _done(lot: LotResult) -> set[str]:
    return {held.action for held in lot.withheld if held.by == "done"}


def view(lot: LotResult) -> str:
    """What is thought of a lot, in one phrase."""
    return " ".join(view_parts(lot)).rstrip()


def view_parts(lot: LotResult) -> tuple[str, str]:
    """The cause that stands first and how likely it is; what is sure without one, and nothing."""
    if lot.not_enough or not lot.causes:
        sure = next((each.certain for each in lot.findings if each.holds and each.certain), None)
        return (f"{sure}, cause not told yet" if sure else "not enough to tell yet"), ""
    return lot.causes[0].name, STANDING[lot.causes[0].standing]


def thought_words(group: SharedPlan) -> str:
    """The day, and what is thought of the lots of a group."""
    standings: dict[str, list[str]] = {}
    for lot in group.lots:
        cause, standing = view_parts(lot)
        standings.setdefault(cause, []).append(standing)
    thought = "; ".join(
        f"{cause} {' or '.join(dict.fromkeys(each))}".rstrip() for cause, each in standings.items()
    )
    days = " or ".join(dict.fromkeys(lot.day for lot in group.lots))
    return f"{days}, {thought}"


def held_words(held: Withheld) -> tuple[str, str]:
    """A step held back and its reason, as both go on in a sentence."""
    return lowered(first_sentence(held.text)).rstrip("."), lowered(held.because)


def read_next(lot: LotResult) -> str:
    """The two readings worth most."""
    return ", ".join(each.label for each in lot.measure_next[:2])


def calls_now(lot: LotResult) -> list[str]:
    """Whom to call at once, a sentence each."""
    return [first_sentence(note.text) for note in lot.vet if note.urgency == "now"]


def amount_words(amount: AmountResult) -> str:
    """An amount with its band; empty while it cannot be worked out."""
    if amount.value is None:
        return ""
    low, high = amount.low, amount.high
    text = f"{short(amount.value)} {amount.unit}".rstrip()
    if low is not None and high is not None and low != high:
        text += f" ({short(low)} to {short(high)})"
    text = with_us(text, amount.value, amount.unit)
    spoons = salt_in_teaspoons(amount.value) if amount.label == SALT and amount.unit == "g" else ""
    return f"{text}, {spoons}" if spoons else text


def next_look_words(case: Case, *, emergency: bool) -> str:
    """``10:25 (15 min after the last look)``; empty when no look is due."""
    due = next_look(case, urgent=emergency)
    if due is None:
        return ""
    last = max(looked_at(case))
    at = moment(case.delivery.received, due.at_hours)
    after = f"{span(due.at_hours - last)} after the last look"
    if at is None:
        return after
    day = "" if due.at_hours - last < 12 else f"{at.day} {at:%b} "
    return f"{day}{time_of_day(at)} ({after})"


def sentences(text: str) -> list[str]:
    """The text cut behind each sentence."""
    return _SENTENCE.split(one_line(text))


def first_sentence(text: str) -> str:
    """The first sentence."""
    return sentences(text)[0]


def lowered(text: str) -> str:
    """A sentence as it goes on after a comma; a name keeps its capitals."""
    first, _, _ = text.partition(" ")
    named = len(first) > 1 and any(letter.isupper() for letter in first[1:])
    return text if named else text[:1].lower() + text[1:]
