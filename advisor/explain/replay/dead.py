"""Conditions of a rule base that nothing meets: not the cases at hand, not aimed random ones.

A delivery is aimed at one condition: its facts are given, everything else is chance. What
chemistry or the form of a case does not allow stays out: a computed value cannot be given,
only the readings it may come from, and those are drawn.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from advisor.advice.assess import reason
from advisor.advice.facts.measured import NAMED_WATERS
from advisor.advice.facts.sheet import lots_of
from advisor.advice.reasoner import Reasoner
from advisor.case import Case
from advisor.case.readings import RANGES
from advisor.errors import AdvisorError
from advisor.rulebase import RuleBase, conditions
from advisor.rulebase.compiled import Compiled
from advisor.rulebase.conditions import Leaf, Node

#: Told how far the search is: (done, of).
Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Silent:
    """Ids that never fired (as in ``advisor.rulebase.compiled``), and on how much that rests."""

    never: tuple[str, ...]
    only_drawn: tuple[str, ...]  # in no case of the library, but in a drawn delivery
    cases: int
    draws: int


def search(
    reasoner: Reasoner,
    cases: Iterable[Case],
    *,
    draws_each: int = 200,
    seed: int = 1,
    told: Progress | None = None,
) -> Silent:
    """What no case and no aimed delivery makes fire.

    draws_each : aimed deliveries tried for a condition before it counts as dead
    """
    left = dict.fromkeys(reasoner.compiled.nodes)
    count = 0
    for case in cases:
        count += 1
        _strike_out(case, reasoner, left)
    unseen = tuple(left)
    aimed = Aimed(reasoner.base, reasoner.compiled, random.Random(seed))
    draws = 0
    for number, engine_id in enumerate(unseen):
        if told is not None:
            told(number, len(unseen))
        for _ in range(draws_each):
            if engine_id not in left:
                break
            drawn = aimed.delivery(engine_id)
            if drawn is not None:
                draws += 1
                _strike_out(drawn, reasoner, left)
    only_drawn = tuple(each for each in unseen if each not in left)
    return Silent(tuple(left), only_drawn, count, draws)


def _strike_out(case: Case, reasoner: Reasoner, left: dict[str, None]) -> None:
    for lot in lots_of(case):
        try:
            firings = reason(case, lot, reasoner).firings
        except AdvisorError:
            continue
        for firing in firings:
            left.pop(firing.rule_id, None)


# -- deliveries aimed at a condition ---------------------------------------------

#: Hours of a look in each phase.
HOURS = {"arrival": (0.0, 20.0), "day_2_4": (24.0, 90.0), "day_5_14": (100.0, 300.0)}
#: Of ten readings of each water so many are taken by chance, besides those aimed at.
_CHANCE = 0.3
_DEEPEST = 4


class Aimed:
    """Draws deliveries for the conditions of one rule base."""

    def __init__(self, base: RuleBase, compiled: Compiled, rng: random.Random) -> None:
        self.base, self.compiled, self.rng = base, compiled, rng
        self._near: dict[str, list[float]] = {}
        for node in compiled.nodes.values():
            for leaf in conditions.leaves(node):
                if leaf.kind in conditions.NUMBERS:
                    self._near.setdefault(leaf.name, []).append(float(leaf.value))

    def delivery(self, engine_id: str) -> Case | None:
        """One delivery aimed at the condition; None when its parts cannot stand together."""
        draft = _Draft(self.base, self.rng)
        self._chance(draft)
        self._aim(self.compiled.nodes[engine_id], draft, 0)
        try:
            return Case.model_validate(draft.case())
        except ValidationError:
            return None

    def _chance(self, draft: _Draft) -> None:
        base, rng = self.base, self.rng
        for sign in rng.sample(list(base.signs), min(len(base.signs), rng.choice((0, 2, 5)))):
            draft.signs[sign] = rng.random() < 0.6
        often = rng.choice((0.05, 0.3))
        for item in base.history.values():
            if rng.random() < often:
                draft.answer(item.id, self._answer(item.id))
        for quantity in base.quantities.values():
            if quantity.kind == "reading" and rng.random() < _CHANCE:
                draft.read(quantity.id, self._number(quantity.id, lambda value: True))

    def _answer(self, item: str) -> Any:
        entry = self.base.history[item]
        if entry.number:
            return round(self.rng.choice(self._near.get(item, [10.0])) * self.rng.uniform(0, 2), 2)
        return self.rng.choice(entry.answers)

    def _number(self, name: str, fits: Callable[[float], bool]) -> float | None:
        """A possible value, half of the time close to one that some rule asks about."""
        quantity = self.base.quantities[name]
        low, high = RANGES.get(quantity.parameter or "", (quantity.low, quantity.high))
        low, high = max(low, quantity.low), min(high, quantity.high)
        for _ in range(40):
            near = self._near.get(name)
            if near and self.rng.random() < 0.7:
                value = self.rng.uniform(self.rng.choice(near), self.rng.choice(near))
                value *= self.rng.choice((0.5, 1.0, 1.0, 1.0, 1.5))
            else:
                value = low + (high - low) * self.rng.random() ** 3
            value = round(min(max(value, low), high), 3)
            if fits(value):
                return value
        return None

    def _aim(self, node: Node, draft: _Draft, depth: int) -> None:
        for leaf in self.rng.choice(conditions.branches(node)):
            self._meet(leaf, draft, depth)

    def _meet(self, leaf: Leaf, draft: _Draft, depth: int) -> None:
        kind, name, rng = leaf.kind, leaf.name, self.rng
        if kind == "sign":
            draft.signs[name] = bool(leaf.value) == (leaf.op == "==")
        elif kind == "history":
            entry = self.base.history[name]
            words = [self._answer(name) for _ in range(30)] if entry.number else entry.answers
            fitting = [w for w in words if leaf.holds({("history", name): w})]
            if fitting:
                draft.answer(name, rng.choice(fitting))
        elif kind in conditions.NUMBERS and name in self.base.quantities:
            draft.read(name, self._number(name, draft.bound(leaf)))
        elif kind == "trait":
            draft.traits[name] = bool(leaf.value) == (leaf.op == "==")
        elif kind == "phase":
            fitting = [p for p in HOURS if leaf.holds({("phase", "phase"): p})]
            draft.hours = round(rng.uniform(*HOURS[rng.choice(fitting)]), 1)
        elif kind == "known":
            self._known(name, bool(leaf.value) == (leaf.op == "=="), draft)
        elif kind == "finding" and depth < _DEEPEST:
            holds = bool(leaf.value) == (leaf.op == "==")
            node = self.compiled.nodes[f"finding:{name}"]
            self._aim(node if holds else conditions.negate(node), draft, depth + 1)
        elif kind in ("standing", "first") and depth < _DEEPEST:
            self._raise(name, leaf, draft, depth)

    def _known(self, name: str, known: bool, draft: _Draft) -> None:
        what, _, plain = name.rpartition(":")
        if what == "sign":
            draft.signs.setdefault(plain, self.rng.random() < 0.5)
            if not known:
                del draft.signs[plain]
        elif what == "history":
            draft.answer(plain, self._answer(plain) if known else None)
        elif plain in self.base.quantities:
            draft.read(plain, self._number(plain, lambda value: True) if known else None)

    def _raise(self, cause: str, leaf: Leaf, draft: _Draft, depth: int) -> None:
        """Evidence for (or against) a cause, enough to move it where the leaf wants it."""
        upward = leaf.op in (">", ">=", "==") and leaf.value is not False
        rules = [r for r in self.base.rules.values() if cause in (r.supports, r.opposes)]
        rules = [r for r in rules if (r.supports is not None) == upward]
        for rule in self.rng.sample(rules, min(len(rules), 4)):
            self._aim(self.compiled.nodes[f"rule:{rule.id}"], draft, depth + 1)


class _Draft:
    """A delivery of one lot and one look, as it is put together."""

    def __init__(self, base: RuleBase, rng: random.Random) -> None:
        self.base, self.rng = base, rng
        self.signs: dict[str, bool] = {}
        self.traits: dict[str, bool] = {}
        self.hours = round(rng.uniform(*HOURS[rng.choice(list(HOURS))]), 1)
        self._readings: dict[str, dict[str, Any]] = {water: {} for water in NAMED_WATERS}
        self._bounds: dict[str, list[Leaf]] = {}
        self._parts: dict[str, dict[str, Any]] = {"lot": {"history": {}}, "history": {}}

    def bound(self, leaf: Leaf) -> Callable[[float], bool]:
        """Whether a value fits this leaf and all aimed at before on the same reading."""
        bounds = self._bounds.setdefault(leaf.name, [])
        bounds.append(leaf)
        return lambda value: all(b.holds({(b.kind, b.name): value}) for b in bounds)

    def answer(self, item: str, value: Any) -> None:
        """Give a history item's answer in its place of the case, or take it away (None)."""
        field = self.base.history[item].field or f"history.{item}"
        part, _, name = field.partition(".")
        table = self._parts.setdefault(part, {})
        if name.startswith("history."):
            table, name = table["history"], name.removeprefix("history.")
        if value is None:
            table.pop(name, None)
        else:
            table[name] = value

    def read(self, name: str, value: float | None) -> None:
        """Give a reading, or take it away (None); computed values cannot be given."""
        quantity = self.base.quantities[name]
        if (
            quantity.kind != "reading"
            or quantity.water not in NAMED_WATERS
            or not quantity.parameter
        ):
            return
        table = self._readings[quantity.water]
        if value is None:
            table.pop(quantity.parameter, None)  # or nothing fits: better none than a wrong one
        else:
            kit = self.rng.choice((None, "meter", "drops"))
            table[quantity.parameter] = {"value": value, "kit": kit}

    def case(self) -> Mapping[str, Any]:
        """The case as a table, of a kind of fish that has the wanted traits."""
        rng = self.rng
        count = rng.choice((1, 10, 10))
        lot = {"id": "a", "count": count, "bag_water_l": 2.0, "mass_g": rng.choice((1.0, 20.0))}
        group = _first_fitting(
            rng.sample(list(self.base.groups.values()), len(self.base.groups)), self.traits
        )
        if group is not None:
            lot["group"] = group
        look = {
            "at_hours": self.hours,
            "seen": [sign for sign, seen in self.signs.items() if seen],
            "not_seen": [sign for sign, seen in self.signs.items() if not seen],
            "counts": {"normal": rng.choice((0, 5, 10)), "down": rng.choice((0, 5)), "dead": 0},
            **self._readings,
        }
        transit = {"hours_sealed": rng.choice((2.0, 20.0, 50.0)), "fasted_hours": 24.0}
        receiving = {"volume_l": 100.0, "age_days": rng.choice((1.0, 20.0, 400.0))}
        return {
            **{part: dict(table) for part, table in self._parts.items() if part != "lot"},
            "transit": transit | self._parts.get("transit", {}),
            "receiving": receiving | self._parts.get("receiving", {}),
            "lot": [lot | self._parts["lot"]],
            "observation": [look],
        }


def _first_fitting(groups: Iterable[Any], traits: Mapping[str, bool]) -> str | None:
    for group in groups:
        if all((trait in group.traits) == has for trait, has in traits.items()):
            return str(group.id)
    return None
