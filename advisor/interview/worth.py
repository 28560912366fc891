"""What a question is worth: expected weight of evidence, and what it may change in the plan.

After Good & Card (1971), The diagnostic process with special reference to
errors: the expected weight of evidence of a test, here over every rule the
answer may decide. A rule counts

- for the chance that it fires, taken from its own likelihood ratio and from how
  likely its cause stands now,
- for the decibans it would add beyond what its group already counts,
- and as far as its cause is still open (nothing moves a settled cause).

Emergencies and what a proposed action still requires count besides. All
weights, chances and seconds are judgement.
"""

from __future__ import annotations

import inspect
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from advisor.amounts.work_out import FORMULAS
from advisor.assess import Reasoned, Reasoner
from advisor.interview.needs import Needs, Shares
from advisor.interview.shape import Item
from advisor.results import CauseResult
from advisor.rulebase.model import Action, Rule
from advisor.worth import openness

#: Chance that a rule's evidence is met when its cause is absent, at most (judgement).
BY_CHANCE = 0.15
#: Chance that it is met when the cause is there, at most (judgement).
WHEN_THERE = 0.6
#: Chance that evidence against is met, when the cause is absent (judgement).
AGAINST = 0.4
#: Worth in decibans of an emergency that may come to light, of what an action
#: requires or is forbidden by, and of a number an amount waits for (judgement).
EMERGENCY, GATE, AMOUNT = 20.0, 4.0, 3.0
#: Worth of what an advised action waits for ("measure first"): of the plan's first
#: action, and of any other (judgement).
WAITS_FIRST, WAITS = 8.0, 2.0
#: Chance that a condition of an action holds (judgement).
PLAIN_CHANCE = 0.1
#: Reading the question, turning from the fish and typing cost this much besides [s] (judgement).
OVERHEAD_S = 60.0


@dataclass
class QuestionWorth:
    """Worth of one question.

    evidence : expected decibans of evidence over open causes
    plan     : the same for what may change in the plan
    causes   : what it bears on, by cause
    """

    question: str
    cost_seconds: float
    evidence: float = 0.0
    plan: float = 0.0
    causes: dict[str, float] = field(default_factory=dict)

    @property
    def total(self) -> float:
        return self.evidence + self.plan

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
) -> dict[str, QuestionWorth]:
    """Worth of every question that may be asked.

    questions : id -> (cost in seconds, items it settles)
    shown     : ids of the actions advised now, the first one first
    """
    found = {name: QuestionWorth(name, cost) for name, (cost, _) in questions.items()}
    by_item: dict[Item, list[str]] = {}
    for name, (_, items) in questions.items():
        for item in items:
            by_item.setdefault(item, []).append(name)
    for cause, weight, shares in _evidence(needs, reasoned, reasoner):
        for name, share in _spread(shares, by_item):
            found[name].evidence += share * weight
            found[name].causes[cause] = found[name].causes.get(cause, 0.0) + share * weight
    proposed = {firing.rule_id for firing in reasoned.firings}
    for weight, shares in _plan(needs, reasoner, tuple(shown), proposed):
        for name, share in _spread(shares, by_item):
            found[name].plan += share * weight
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
    needs: Needs, reasoned: Reasoned, reasoner: Reasoner
) -> Iterator[tuple[str, float, Shares]]:
    """(cause, expected decibans, shares) of every rule that can still be decided."""
    base = reasoner.base
    causes = {cause.id: cause for cause in reasoned.ranking.causes}
    counted = {cause: _counted(result) for cause, result in causes.items()}
    for rule in base.rules.values():
        cause = rule.supports or rule.opposes or ""
        weight = base.settings.decibans[rule.strength]
        have = counted[cause].get((rule.group or "", rule.supports is not None), 0.0)
        gain = weight - (have if rule.group else 0.0)
        open_now = openness(causes[cause].decibans)
        if gain <= 0 or open_now < 0.02:
            continue
        shares = needs.of(f"rule:{rule.id}")
        if shares:
            yield cause, gain * open_now * _chance(rule, weight, causes[cause]), shares


def _counted(cause: CauseResult) -> dict[tuple[str, bool], float]:
    """Decibans each group of evidence already counts, by side."""
    return {
        (piece.group or "", piece.decibans > 0): abs(piece.decibans)
        for piece in (*cause.evidence_for, *cause.evidence_against)
        if piece.counts and piece.group
    }


def _chance(rule: Rule, decibans: float, cause: CauseResult) -> float:
    """Chance that the rule fires once its facts are known."""
    ratio = 10 ** (decibans / 10)
    odds = 10 ** (max(-40.0, min(40.0, cause.decibans)) / 10)
    share = odds / (1 + odds)
    if rule.opposes:
        return (1 - share) * AGAINST + share * AGAINST / ratio
    absent = min(BY_CHANCE, WHEN_THERE / ratio)
    return (1 - share) * absent + share * min(WHEN_THERE, absent * ratio)


def _plan(
    needs: Needs, reasoner: Reasoner, shown: Sequence[str], fired: set[str]
) -> Iterator[tuple[float, Shares]]:
    """(worth, shares) of what could still change the plan."""
    nodes = reasoner.compiled.nodes
    for action in reasoner.base.actions.values():
        proposal = f"action:{action.id}"
        if action.emergency and action.id not in shown and proposal in nodes:
            yield EMERGENCY * PLAIN_CHANCE, needs.of(proposal)
        if proposal in fired and action.requires is not None:
            yield GATE, needs.of(f"require:{action.id}")
        if action.id not in shown:
            continue
        if proposal in nodes:
            yield WAITS_FIRST if action.id == shown[0] else WAITS, needs.waiting(proposal)
        for at in range(1, len(action.forbidden) + 1):
            yield GATE * PLAIN_CHANCE, needs.of(f"forbid:{action.id}:{at}")
        yield AMOUNT, _amount(action, needs)
    for note in reasoner.base.vet_notes.values():
        if f"vet:{note.id}" in nodes and f"vet:{note.id}" not in fired:
            yield GATE * PLAIN_CHANCE, needs.of(f"vet:{note.id}")


def _amount(action: Action, needs: Needs) -> Shares:
    """What the action's figure waits for."""
    if action.amount is None or action.amount.formula not in FORMULAS:
        return {}
    given = action.amount.given
    parameters = inspect.signature(FORMULAS[action.amount.formula]).parameters
    names = [given.get(name, name) for name in parameters]
    return needs.of_values([name for name in names if isinstance(name, str)])
