"""What a question is worth: expected weight of evidence, and what it may change in the plan.

After Good & Card (1971), The diagnostic process with special reference to
errors: the expected weight of evidence of a test, here over every rule the
answer may decide. A rule counts

- for the chance that it fires, taken from its own likelihood ratio and from how
  likely its cause stands now,
- for the decibans it would add beyond what its group already counts (of several
  rules of a group that one question may decide, the weightiest),
- as far as these would move the probability of its cause (little moves a
  settled cause, and weak evidence little moves an unlikely one),
- and more when they would put another cause first or make one likely.

Emergencies and what a proposed action still requires count besides, and so
does what the questions are worth that an answer may open. All weights, chances
and seconds are judgement.
"""

from __future__ import annotations

import inspect
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from advisor.advice.amounts.work_out import FORMULAS
from advisor.advice.facts.sheet import FactSheet
from advisor.advice.needs import Needs, Shares
from advisor.advice.results import CauseResult
from advisor.advice.settled_by import Item, has_kit
from advisor.rulebase.compiled import Bearing
from advisor.rulebase.entries import Action

if TYPE_CHECKING:
    from advisor.advice.reasoner import Reasoned, Reasoner

#: Chance that a rule's evidence is met when its cause is absent, at most (judgement).
BY_CHANCE = 0.15
#: Chance that it is met when the cause is there, at most (judgement).
WHEN_THERE = 0.6
#: Chance that evidence against is met, when the cause is absent (judgement).
AGAINST = 0.4
#: Worth in decibans of another cause coming first (judgement).
OVERTAKES = 20.0
#: Worth in decibans of a cause becoming likely, or no longer so: actions hang on it (judgement).
CROSSES = 10.0
#: Less than this is left out of the sum [decibans].
LEAST_COUNTED = 0.002
#: Chance that an answer opens the question that waits behind it (judgement).
OPENS = 0.3
#: Worth in decibans of an emergency that may come to light, of what an action
#: requires or is forbidden by, and of a number an amount waits for (judgement).
EMERGENCY, GATE, AMOUNT = 20.0, 4.0, 3.0
#: Chance that what is called for already turns out to be an emergency (judgement).
URGENT_CHANCE = 0.3
#: Worth of what an advised action waits for ("measure first"): of the plan's first
#: action, its amount too, and of any other (judgement).
WAITS_FIRST, WAITS = 8.0, 2.0
#: Worth of a reading that alone holds a rescue back (judgement).
RESCUE_WAITS = 30.0
#: Chance that a condition of an action holds (judgement).
PLAIN_CHANCE = 0.1
#: Reading the question, turning from the fish and typing cost this much besides [s] (judgement).
OVERHEAD_S = 90.0
#: Taking up the kit or meter for a reading costs this much besides [s] (judgement).
KIT_S = 30.0


@dataclass
class QuestionWorth:
    """Worth of one question.

    evidence : expected decibans of evidence over open causes
    plan     : the same for what may change in the plan
    dose     : its part that an amount or a gate of the present plan waits for
    beyond   : share in the worth of questions that its answer may open
    causes   : what it bears on, by cause
    """

    question: str
    cost_seconds: float
    evidence: float = 0.0
    plan: float = 0.0
    dose: float = 0.0
    beyond: float = 0.0
    causes: dict[str, float] = field(default_factory=dict)

    @property
    def total(self) -> float:
        return self.evidence + self.plan + self.beyond

    @property
    def per_second(self) -> float:
        return self.total / (self.cost_seconds + OVERHEAD_S)

    @property
    def tells_apart(self) -> tuple[str, ...]:
        """Causes it bears on, weightiest first."""
        return tuple(sorted(self.causes, key=lambda cause: (-self.causes[cause], cause)))


def worths(
    questions: Mapping[str, tuple[float, Iterable[Item]]],
    needs: Needs,
    reasoned: Reasoned,
    reasoner: Reasoner,
    shown: Iterable[str],
    waiting: Mapping[str, tuple[float, Iterable[Item]]] = MappingProxyType({}),
) -> dict[str, QuestionWorth]:
    """Worth of every question that may be asked.

    questions : id -> (cost in seconds, items it settles)
    shown     : ids of the actions advised now, the first one first
    waiting   : the same of questions that wait for another answer
    """
    found = {name: QuestionWorth(name, cost) for name, (cost, _) in questions.items()}
    found |= {name: QuestionWorth(name, cost) for name, (cost, _) in waiting.items()}
    by_item = _by_item({**questions, **waiting})
    readings_only = all(kind == "reading" for kind, _ in by_item)
    evidence = _evidence(needs, reasoned, reasoner, readings_only)
    for name, cause, weight in _of_groups(evidence, by_item):
        found[name].evidence += weight
        found[name].causes[cause] = found[name].causes.get(cause, 0.0) + weight
    proposed = {firing.rule_id for firing in reasoned.firings}
    for weight, shares, dose in _plan(needs, reasoner, tuple(shown), proposed):
        for name, share in _spread(shares, by_item):
            found[name].plan += share * weight
            found[name].dose += share * weight if dose else 0.0
    behind = {name: found.pop(name) for name in waiting}
    by_item = _by_item(questions)
    for name, each in behind.items():
        for door, share in _spread(needs.of(f"ask:{name}"), by_item):
            found[door].beyond += OPENS * share * each.total
    return found


#: Rule, what it bears on, expected decibans, shares of what would decide it.
_RuleWorth = tuple[str, Bearing, float, Shares]


def _of_groups(
    evidence: Iterable[_RuleWorth], by_item: Mapping[Item, list[str]]
) -> Iterator[tuple[str, str, float]]:
    """(question, cause, expected decibans): of rules in one group only the weightiest counts."""
    most: dict[tuple[str, str, str], float] = {}
    for rule, bearing, weight, shares in evidence:
        side = "for" if bearing.supports else "against"
        group = f"{side} {bearing.group}" if bearing.group else rule
        for name, share in _spread(shares, by_item):
            place = (name, bearing.cause, group)
            most[place] = max(most.get(place, 0.0), share * weight)
    yield from ((name, cause, weight) for (name, cause, _), weight in most.items())


def _by_item(
    questions: Mapping[str, tuple[float, Iterable[Item]]],
) -> dict[Item, list[str]]:
    found: dict[Item, list[str]] = {}
    for name, (_, items) in questions.items():
        for item in items:
            found.setdefault(item, []).append(name)
    return found


def _spread(shares: Shares, by_item: Mapping[Item, list[str]]) -> Iterator[tuple[str, float]]:
    """How far each question alone would decide the condition."""
    total: dict[str, float] = {}
    for item, share in shares.items():
        for name in by_item.get(item, ()):
            total[name] = total.get(name, 0.0) + share
    for name, share in total.items():
        yield name, min(1.0, share)


def _evidence(
    needs: Needs, reasoned: Reasoned, reasoner: Reasoner, readings_only: bool
) -> Iterator[_RuleWorth]:
    """Of every rule that can still be decided (``readings_only``: by a reading)."""
    base, bears_on = reasoner.base, reasoner.compiled.bears_on
    ranked = reasoned.ranking.causes
    causes = {cause.id: cause for cause in ranked}
    counted = {cause: _counted(result) for cause, result in causes.items()}
    likely = base.settings.standing["likely"]
    expected: dict[tuple[str, bool, float, float], float] = {}
    for rule, (name, supports, strength, group, by_reading) in bears_on.items():
        if readings_only and not by_reading:
            continue
        weight = base.settings.decibans[strength]
        gain = weight - (counted[name].get((group, supports), 0.0) if group else 0.0)
        if gain <= 0:
            continue
        if supports and not causes[name].evidence_for:
            gain += base.settings.nothing_for_it
        alike = (name, supports, weight, gain)  # nothing else of a rule plays a part here
        worth = expected.get(alike)
        if worth is None:
            worth = _moves(causes[name], supports, gain, ranked, likely)
            worth *= _chance(supports, weight, causes[name])
            expected[alike] = worth
        if worth < LEAST_COUNTED:
            continue
        shares = needs.of(f"rule:{rule}")
        if shares:
            yield rule, bears_on[rule], worth, shares


def _moves(
    cause: CauseResult, supports: bool, gain: float, ranked: Sequence[CauseResult], likely: float
) -> float:
    """Decibans that a rule would be worth if it fired and added ``gain`` for or against."""
    first, second = (*(each.decibans for each in ranked[:2]), -math.inf)[:2]
    after = cause.decibans + (gain if supports else -gain)
    worth = gain * 2 * abs(_probability(after) - _probability(cause.decibans))
    leads = cause is ranked[0]
    if (not leads and after > first) if supports else (leads and after < second):
        worth += OVERTAKES
    if (after < likely) != (cause.decibans < likely):
        worth += CROSSES
    return worth


def _counted(cause: CauseResult) -> dict[tuple[str, bool], float]:
    """Decibans each group of evidence already counts, by side."""
    return {
        (piece.group or "", piece.decibans > 0): abs(piece.decibans)
        for piece in (*cause.evidence_for, *cause.evidence_against)
        if piece.counts and piece.group
    }


def _chance(supports: bool, decibans: float, cause: CauseResult) -> float:
    """Chance that a rule of this weight fires once its facts are known."""
    ratio = 10 ** (decibans / 10)
    share = _probability(cause.decibans)
    if not supports:
        return (1 - share) * AGAINST + share * AGAINST / ratio
    absent = min(BY_CHANCE, WHEN_THERE / ratio)
    return (1 - share) * absent + share * min(WHEN_THERE, absent * ratio)


def _probability(decibans: float) -> float:
    odds = 10 ** (max(-40.0, min(40.0, decibans)) / 10)
    return float(odds / (1 + odds))


def _plan(
    needs: Needs, reasoner: Reasoner, shown: Sequence[str], fired: set[str]
) -> Iterator[tuple[float, Shares, bool]]:
    """(worth, shares, a dose or gate of the plan waits for it) of what could change the plan."""
    nodes, actions = reasoner.compiled.nodes, reasoner.base.actions
    for name in actions:  # entries are read when asked for: only of those that play a part
        proposal = f"action:{name}"
        if name in reasoner.compiled.emergencies and name not in shown and proposal in nodes:
            yield EMERGENCY * PLAIN_CHANCE, needs.of(proposal), False
        if proposal in fired and f"emergency:{name}" in nodes:
            yield EMERGENCY * URGENT_CHANCE, needs.of(f"emergency:{name}"), False
        if proposal not in fired and name not in shown:
            continue
        action = actions[name]
        if proposal in fired and action.requires is not None:
            yield GATE, needs.of(f"require:{action.id}"), True
        if proposal in fired and action.step == "rescue":
            missing = [
                f"forbid:{action.id}:{at}"
                for at, forbid in enumerate(action.forbidden, 1)
                if forbid.proof == "missing" and f"forbid:{action.id}:{at}" in fired
            ]
            if len(missing) == 1:  # of several no one reading frees it
                yield RESCUE_WAITS, needs.waiting(missing[0]), True
        if action.id not in shown:
            continue
        first = action.id == shown[0]
        if proposal in nodes:
            yield WAITS_FIRST if first else WAITS, needs.waiting(proposal), False
        for at in range(1, len(action.forbidden) + 1):
            yield GATE * PLAIN_CHANCE, needs.of(f"forbid:{action.id}:{at}"), False
        yield WAITS_FIRST if first else AMOUNT, _amount(action, needs), True
    for name in reasoner.base.vet_notes:
        if f"vet:{name}" in nodes and f"vet:{name}" not in fired:
            yield GATE * PLAIN_CHANCE, needs.of(f"vet:{name}"), False


def _amount(action: Action, needs: Needs) -> Shares:
    """What the action's figure waits for."""
    if action.amount is None or action.amount.formula not in FORMULAS:
        return {}
    given = action.amount.given
    names = [given.get(name, name) for name in _inputs(action.amount.formula)]
    return needs.of_values([name for name in names if isinstance(name, str)])


@cache
def _inputs(formula: str) -> tuple[str, ...]:
    return tuple(inspect.signature(FORMULAS[formula]).parameters)


def _in_reach(water: str, sheet: FactSheet) -> bool:
    """Whether they have met it and it is still there: a bag is poured away once they are out.

    Where nobody speaks of a bag, by hours, gas or a reading, there is none to read.
    """
    situation = sheet.situation
    if water != "bag" or situation.place in ("closed_bag", "open_bag"):
        return situation.has_met(water)
    spoken_of = any(
        name in ("hours_sealed", "gas_in_bag") or name.startswith("bag_")
        for kind, name in sheet.records
        if kind != "trait"
    )
    return situation.place == "unknown" and spoken_of and situation.has_met(water)


def reading_worths(
    reasoned: Reasoned, reasoner: Reasoner, shown: Iterable[str]
) -> list[QuestionWorth]:
    """The readings worth taking next, by worth per second: the same sums, a reading each.

    Left out are what was read, what can no longer be read, a water these fish have not
    met, and what would bring less than the rule base proposes a reading for.
    """
    base, sheet = reasoner.base, reasoned.sheet
    may = {
        quantity.id: (quantity.cost_seconds, (("reading", quantity.id),))
        for quantity in base.quantities.values()
        if quantity.kind == "reading"
        and sheet.quantity(quantity.id) is None
        and quantity.at_hand(sheet.phase)
        and _in_reach(quantity.water or "tap", sheet)
        and has_kit(quantity.id, sheet, base)
    }
    needs = Needs(
        reasoner.compiled.nodes,
        reasoned.facts,
        lambda name: sheet.quantity(name) is not None,
        lambda item: item[0] == "reading" and item[1] in may,
        lambda item: item[0] == "field" or item in sheet.records,
    )
    found = worths(may, needs, reasoned, reasoner, shown).values()
    least = base.settings.worth_measuring
    return sorted(
        (worth for worth in found if worth.total >= least),
        key=lambda worth: (-worth.total / (worth.cost_seconds + KIT_S), worth.question),
    )
