"""One lot reasoned about, opened up for questions: what every condition came to."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from advisor.advice.assess import lot_result, reason
from advisor.advice.facts.sheet import lots_of
from advisor.advice.facts.vocabulary import check_vocabulary
from advisor.advice.reasoner import Reasoned, Reasoner
from advisor.advice.results import LotResult
from advisor.case import Case, Lot
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase, conditions
from advisor.rulebase.conditions import Facts, Leaf, Node, Value
from advisor.wording.nearest import nearest

Branch = tuple[Leaf, ...]


@dataclass(frozen=True)
class Study:
    """A case, one of its lots, and the run that was made of it."""

    case: Case
    reasoner: Reasoner
    until_hours: float
    reasoned: Reasoned
    result: LotResult

    @property
    def base(self) -> RuleBase:
        return self.reasoner.base

    @property
    def lot(self) -> Lot:
        return self.reasoned.sheet.lot

    @cached_property
    def facts(self) -> Facts:
        """Facts of the run, and of every finding whether it holds where that can be told.

        The engine derives a finding's failing only where a condition asks for it;
        an answer to "why not" needs it everywhere.
        """
        known: dict[tuple[str, str], Value] = dict(self.reasoned.facts)
        for name in self.findings_in_order:
            state = conditions.evaluate(self.nodes[f"finding:{name}"], known)
            if state is not None:
                known[("finding", name)] = state
        return known

    @property
    def nodes(self) -> Mapping[str, Node]:
        return self.reasoner.compiled.nodes

    @cached_property
    def findings_in_order(self) -> tuple[str, ...]:
        """Findings, each after those it rests on."""
        ordered: dict[str, None] = {}

        def visit(name: str) -> None:
            for leaf in conditions.leaves(self.nodes[f"finding:{name}"]):
                if leaf.kind == "finding" and leaf.name not in ordered:
                    visit(leaf.name)
            ordered[name] = None

        for name in self.base.findings:
            if name not in ordered:
                visit(name)
        return tuple(ordered)

    @cached_property
    def fired(self) -> dict[str, tuple[int, ...]]:
        """Engine id -> the alternatives of its condition that fired."""
        found: dict[str, list[int]] = {}
        for firing in self.reasoned.firings:
            found.setdefault(firing.rule_id, []).append(firing.branch)
        return {engine_id: tuple(numbers) for engine_id, numbers in found.items()}

    def branches(self, engine_id: str) -> tuple[Branch, ...]:
        """The alternatives of a condition, numbered as the engine numbers them."""
        if engine_id not in self._expanded:
            self._expanded[engine_id] = conditions.branches(self.nodes[engine_id])
        return self._expanded[engine_id]

    @cached_property
    def _expanded(self) -> dict[str, tuple[Branch, ...]]:
        return {}

    def held(self, engine_id: str) -> tuple[Branch, ...]:
        """The alternatives that fired."""
        if engine_id not in self.fired:
            return ()
        all_of_them = self.branches(engine_id)
        return tuple(all_of_them[number] for number in self.fired[engine_id])

    @cached_property
    def fired_on(self) -> dict[tuple[str, str], list[str]]:
        """Fact (kind, name) -> conditions that fired on it."""
        found: dict[tuple[str, str], list[str]] = {}
        for engine_id in self.fired:
            keys = {(leaf.kind, leaf.name) for way in self.held(engine_id) for leaf in way}
            for key in keys:
                found.setdefault(key, []).append(engine_id)
        return found

    def by_nearness(self, node: Node) -> tuple[Branch, ...]:
        """Alternatives of a condition that did not hold, the nearest to holding first."""
        return tuple(sorted(conditions.branches(node), key=self._distance))

    def _distance(self, branch: Branch) -> tuple[int, int]:
        states = [leaf.holds(self.facts) for leaf in branch]
        return states.count(False), states.count(None)

    @cached_property
    def bounds(self) -> frozenset[tuple[str, str, float]]:
        """(kind, fact, number) of every comparison with a number."""
        return frozenset(
            (leaf.kind, leaf.name, float(leaf.value))
            for node in self.nodes.values()
            for leaf in conditions.leaves(node)
            if not isinstance(leaf.value, (bool, str))
        )


def study(
    case: Case, reasoner: Reasoner, *, lot: str | None = None, until_hours: float = math.inf
) -> Study:
    """Run one lot of the case.

    lot : its id; None takes the only lot, or the one the assessment shows first

    Raises AdvisorError for a lot the case does not have, ManyFaults for words the
    rule base does not hold.
    """
    check_vocabulary(case, reasoner.base)
    lots = {each.id: each for each in lots_of(case)}
    if lot is not None and lot not in lots:
        names = ", ".join(lots)
        raise AdvisorError(f'no lot "{lot}"{nearest(lot, lots) or f"; the lots are {names}"}')
    chosen = [lots[lot]] if lot is not None else list(lots.values())
    studies = [_study(case, each, reasoner, until_hours) for each in chosen]
    return min(studies, key=lambda each: each.result.urgency)


def _study(case: Case, lot: Lot, reasoner: Reasoner, until_hours: float) -> Study:
    reasoned = reason(case, lot, reasoner, until_hours)
    return Study(case, reasoner, until_hours, reasoned, lot_result(reasoned, reasoner))
