"""First cause and first action of changed cases, foreseen without the engine.

The plain evaluation of conditions (:mod:`advisor.rulebase.conditions`) says what would
fire; ranking and plan are the real ones. Only conditions that ask for a changed
fact are looked at again. What is foreseen so is always confirmed by the engine
before it is told (:func:`advisor.explain.flip.flip`).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

from advisor.advice.assess import LEVELS, reason
from advisor.advice.facts.sheet import FactSheet, fact_sheet
from advisor.advice.plan import by_id, choose
from advisor.advice.ranking import Ranking, rank, standing_facts
from advisor.case import Case
from advisor.explain.change import Scope
from advisor.explain.study import Study
from advisor.explain.what_if import Change
from advisor.rulebase import conditions
from advisor.rulebase.conditions import Value
from advisor.rulebase.engine import Fact, Firing

Key = tuple[str, str]
Given = dict[Key, Value]

#: Facts that come after ranking; none of them is given by the case.
_LATER = ("standing", "first", "not_enough")
_OF_ACTIONS = ("action", "forbid", "require")


class Outcome(NamedTuple):
    """What the advice begins with."""

    first_cause: str
    first_action: str


@dataclass
class Runs:
    """Outcomes of changed cases of one study.

    foreseen : how many were worked out; ``spared`` of them could change nothing
    ran      : how many were run for real
    balances : decibans by cause of the last one foreseen
    """

    study: Study
    foreseen: int = 0
    spared: int = 0
    ran: int = 0
    balances: dict[str, float] = field(default_factory=dict)

    @cached_property
    def now(self) -> Outcome:
        """The outcome as things stand."""
        result = self.study.result
        return Outcome(
            result.causes[0].id if result.causes else "",
            result.actions[0].id if result.actions else "",
        )

    @property
    def scope(self) -> Scope:
        return Scope(self.study.lot, self.study.until_hours)

    def changed(self, changes: Iterable[Change]) -> Case:
        """The case with those answers."""
        case = self.study.case
        for change in changes:
            case = change.apply(case, self.scope, self.study.base)
        return case

    def foresee(self, changes: Sequence[Change]) -> Outcome:
        """The outcome of changed answers, by plain evaluation."""
        self.foreseen += 1
        given, sheet = self._given(changes)
        return self._foresee(given, sheet)

    def run(self, changes: Sequence[Change]) -> Outcome:
        """The outcome of changed answers, by the engine, from the case read afresh."""
        self.ran += 1
        case = Case.model_validate(self.changed(changes).model_dump(warnings=False))
        study = self.study
        reasoned = reason(case, self.scope.lot_in(case), study.reasoner, study.until_hours)
        chosen, _ = choose(by_id(reasoned.firings), reasoned.ranking, study.base)
        causes = reasoned.ranking.causes
        return Outcome(causes[0].id if causes else "", chosen[0][0].id if chosen else "")

    # -- facts ------------------------------------------------------------

    @cached_property
    def _given_now(self) -> Given:
        not_given = (*_LATER, "finding")
        return {k: v for k, v in self.study.reasoned.facts.items() if k[0] not in not_given}

    def _given(self, changes: Sequence[Change]) -> tuple[Given, FactSheet]:
        """Facts of the changed case. Signs and answers of their own touch no other fact."""
        study = self.study
        if study.case.observation and all(self._alone(change) for change in changes):
            given = dict(self._given_now)
            for change in changes:
                kind, _, name = change.key.partition(":")
                given.pop((kind, name), None)
                if change.value is not None:
                    given[(kind, name)] = change.value
                known = ("known", f"{kind}:{name}")
                if known in given:
                    given[known] = change.value is not None
            return given, study.reasoned.sheet
        case = self.changed(changes)
        sheet = fact_sheet(case, self.scope.lot_in(case), study.base, study.until_hours)
        used = study.reasoner.compiled.used
        return {(k, n): v for k, n, v in sheet.engine_facts(study.base, used)}, sheet

    def _alone(self, change: Change) -> bool:
        kind, _, name = change.key.partition(":")
        return kind == "sign" or (kind == "history" and self.study.base.history[name].field is None)

    # -- what fires -------------------------------------------------------

    def _foresee(self, given: Given, sheet: FactSheet) -> Outcome:
        study, nodes = self.study, self.study.nodes
        facts, changed = self._with_findings(given)
        held = self._reconsider(self._held, facts, changed)
        ranking = study.reasoned.ranking
        if sheet.phase != study.result.phase or _rules(held) != _rules(self._held):
            ranking = self._rank(held, sheet.phase)
            later = {(f.kind, f.name): f.value for f in standing_facts(ranking, LEVELS)}
            moved = {key for key, value in later.items() if facts.get(key) != value}
            facts.update(later)
            held = self._reconsider(held, facts, moved)
            changed |= moved
        self.balances = {cause.id: cause.decibans for cause in ranking.causes}
        asked = {node for key in changed for node in self._asked_by.get(key, ())}
        same_order = _order(ranking) == _order(study.reasoned.ranking)
        if same_order and not any(node.partition(":")[0] in _OF_ACTIONS for node in asked):
            self.spared += 1
            return self.now
        firings = [
            firing
            for node in held
            if node.partition(":")[0] in _OF_ACTIONS and node in nodes
            for firing in self._firings(node, facts)
        ]
        chosen, _ = choose(by_id(firings), ranking, study.base)
        causes = ranking.causes
        return Outcome(causes[0].id if causes else "", chosen[0][0].id if chosen else "")

    def _rank(self, held: frozenset[str], phase: str) -> Ranking:
        """The ranking; causes no rule of which fires otherwise are not weighed again."""
        base, now = self.study.base, self.study.reasoned.ranking
        kept = {}
        if phase == self.study.result.phase:
            other = _rules(held) ^ _rules(self._held)
            rules = [base.rules[node.removeprefix("rule:")] for node in other]
            moved = {rule.supports or rule.opposes for rule in rules}
            kept = {cause.id: cause for cause in now.causes if cause.id not in moved}
        return rank([Firing(node, 0, ()) for node in _rules(held)], phase, base, kept)

    def _with_findings(self, given: Given) -> tuple[Given, set[Key]]:
        """The facts with findings worked out again, and what is other than now."""
        old = self.study.facts
        facts = {**{k: v for k, v in old.items() if k[0] in (*_LATER, "finding")}, **given}
        changed = {key for key in {*old, *facts} if old.get(key) != facts.get(key)}
        for name in self.study.findings_in_order:
            node, key = f"finding:{name}", ("finding", name)
            if not changed & self._asks[node]:
                continue
            state = conditions.evaluate(self.study.nodes[node], facts)
            if state is None:
                facts.pop(key, None)
            else:
                facts[key] = state
            if state != old.get(key):
                changed.add(key)
        return facts, changed

    def _reconsider(self, held: frozenset[str], facts: Given, changed: set[Key]) -> frozenset[str]:
        """Conditions that hold, those that ask for something changed evaluated again."""
        touched = {node for key in changed for node in self._asked_by.get(key, ())}
        nodes = self.study.nodes
        now = {node for node in touched if conditions.evaluate(nodes[node], facts) is True}
        return (held - touched) | now

    def _firings(self, node: str, facts: Given) -> Iterable[Firing]:
        """Firings of a condition that holds, one for each alternative that does."""
        for number, branch in enumerate(self.study.branches(node)):
            if all(leaf.holds(facts) for leaf in branch):
                met = tuple(
                    Fact(leaf.kind, leaf.name, facts[(leaf.kind, leaf.name)]) for leaf in branch
                )
                yield Firing(node, number, met)

    @cached_property
    def _held(self) -> frozenset[str]:
        """Conditions that hold as things stand."""
        facts = self.study.facts
        nodes = self.study.nodes.items()
        return frozenset(n for n, c in nodes if conditions.evaluate(c, facts) is True)

    @cached_property
    def _asks(self) -> dict[str, set[Key]]:
        return {
            node: {(leaf.kind, leaf.name) for leaf in conditions.leaves(condition)}
            for node, condition in self.study.nodes.items()
        }

    @cached_property
    def _asked_by(self) -> dict[Key, list[str]]:
        found: dict[Key, list[str]] = {}
        for node, keys in self._asks.items():
            for key in keys:
                found.setdefault(key, []).append(node)
        return found


def _rules(held: Iterable[str]) -> set[str]:
    return {node for node in held if node.startswith("rule:")}


def _order(ranking: Ranking) -> list[str]:
    """The first cause, and those that can call for something: their order orders actions."""
    first = [cause.id for cause in ranking.causes[:1]]
    return first + [cause.id for cause in ranking.causes if cause.standing != "unlikely"]
