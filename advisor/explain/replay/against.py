"""Which cases move between two rule bases, by which rules, for better or worse."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from types import SimpleNamespace
from typing import Any, Literal, NamedTuple, cast

from advisor.advice.assess import reason
from advisor.advice.facts.vocabulary import check_vocabulary
from advisor.advice.reasoner import Reasoner
from advisor.advice.results import CauseResult
from advisor.case import Case, load_case
from advisor.errors import AdvisorError
from advisor.explain.replay.archive import judged_lot
from advisor.explain.replay.check_cases import ASKED, CaseOutcome, Judged, judge, outcome
from advisor.explain.replay.drawn import delivery
from advisor.rulebase import RuleBase

Verdict = Literal["better", "worse", "both", "neither"]
#: (rule or "starting odds", cause, decibans before, after)
Piece = tuple[str, str, float, float]
DRAW = "draw "


@dataclass(frozen=True)
class MovedCase:
    """A case under the older and the newer rules.

    changed : what differs of first cause, its standing and first action
    rules   : what of the evidence made it so, of the first two causes; empty when the
              difference lies in actions or settings
    steps   : conditions of the first actions that fire under one rule base only, such as
              "forbid:feed:2"
    verdict : against the expectation; "neither" when that is met as much as before
    """

    path: str
    older: Judged
    newer: Judged
    changed: tuple[str, ...] = ()
    rules: tuple[Piece, ...] = ()
    steps: tuple[str, ...] = ()
    verdict: Verdict = "neither"

    @property
    def group(self) -> MovedGroup:
        """What moved, from which first step to which, and the foremost reason."""
        ends = ("", "")
        if "first action" in self.changed:
            ends = (_first(self.older), _first(self.newer))
        reason = next((f"{rule} for {cause}" for rule, cause, _, _ in self.rules), "")
        return MovedGroup(
            self.changed, *ends, next(iter(self.steps), reason) or "order or settings"
        )


class MovedGroup(NamedTuple):
    """Cases that moved alike, for the same reason."""

    changed: tuple[str, ...]
    before: str
    after: str
    reason: str


@dataclass
class Groups:
    """Moved cases counted by group; of each a few are named. Verdicts of all together."""

    moved: int = 0
    counts: dict[MovedGroup, int] = field(default_factory=dict)
    examples: dict[MovedGroup, tuple[str, ...]] = field(default_factory=dict)
    verdicts: dict[str, int] = field(default_factory=dict)

    def add(self, case: MovedCase, most: int = 3) -> None:
        group = case.group
        self.moved += 1
        self.counts[group] = self.counts.get(group, 0) + 1
        self.examples[group] = (*self.examples.get(group, ()), case.path)[:most]
        self.verdicts[case.verdict] = self.verdicts.get(case.verdict, 0) + 1

    @property
    def ordered(self) -> list[MovedGroup]:
        return sorted(self.counts, key=lambda group: (-self.counts[group], group))


def _first(judged: Judged) -> str:
    return judged.actions[0] if judged.actions else "no action"


def draws(count: int, seed: int) -> Iterator[str]:
    """Names of random deliveries, as :func:`compare` takes them."""
    return (f"{DRAW}{seed}/{number}" for number in range(count))


def compare_all(tasks: Sequence[str], reasoners: tuple[Reasoner, ...]) -> Iterator[MovedCase]:
    """Each in turn, in the form that ``advisor.explain.replay.crowd`` takes."""
    return (compare(task, reasoners) for task in tasks)


def compare(task: str, reasoners: tuple[Reasoner, ...]) -> MovedCase:
    """One case, or one random delivery, under two rule bases, the older first."""
    older, newer = reasoners
    try:
        case = _drawn(task, older, newer) if task.startswith(DRAW) else load_case(task)
    except AdvisorError as fault:
        unread = _faulty(task, fault)
        return MovedCase(task, unread, unread)
    before, after = _Side.of(case, task, older), _Side.of(case, task, newer)
    ends = (before.judged, after.judged)
    if before.result is None or after.result is None:
        same = before.result is after.result
        return MovedCase(task, *ends, () if same else ("whether it can be assessed",))
    changed = _changed(before.result, after.result)
    if not changed:
        return MovedCase(task, *ends)
    rules = _by_which(before.result, after.result)
    return MovedCase(task, *ends, changed, rules, _steps(before, after), _verdict(*ends))


@dataclass(frozen=True)
class _Side:
    """A case under one rule base; ``fired``: conditions of actions."""

    judged: Judged
    result: CaseOutcome | None = None
    fired: frozenset[str] = frozenset()

    @classmethod
    def of(cls, case: Case, task: str, reasoner: Reasoner) -> _Side:
        try:
            check_vocabulary(case, reasoner.base, task)
            reasoned = reason(case, judged_lot(case), reasoner)
        except AdvisorError as fault:
            return cls(_faulty(task, fault))
        asks = case.expected is not None and bool(case.expected.measure_next)
        result = outcome(reasoned, reasoner, measure=asks)
        fired = frozenset(firing.rule_id for firing in reasoned.firings)
        return cls(judge(case, result, reasoner.base, task), result, fired)


def _faulty(task: str, fault: AdvisorError) -> Judged:
    return Judged(task, fault=str(fault).split("\n", 1)[0])


def _drawn(task: str, older: Reasoner, newer: Reasoner) -> Case:
    """A random delivery in the words that both rule bases hold."""
    a, b = older.base, newer.base
    tables: dict[str, Any] = {
        name: {key: each for key, each in getattr(b, name).items() if key in getattr(a, name)}
        for name in ("signs", "species", "groups")
    }
    tables["history"] = {
        key: item
        for key, item in b.history.items()
        if key in a.history and a.history[key].answers == item.answers
    }
    rng = random.Random(task.removeprefix(DRAW))
    return delivery(rng, cast(RuleBase, SimpleNamespace(**tables)))


def _changed(before: CaseOutcome, after: CaseOutcome) -> tuple[str, ...]:
    ends = (before, after)
    told: dict[str, list[Any]] = {
        "first cause": [r.causes[0].id for r in ends],
        "standing": [r.causes[0].standing for r in ends],
        "enough to tell": [r.not_enough for r in ends],
        "first action": [[a.id for a in r.actions[:1]] for r in ends],
    }
    return tuple(name for name, both in told.items() if both[0] != both[1])


def _steps(before: _Side, after: _Side) -> tuple[str, ...]:
    """Conditions of the two first actions that fire on one side only."""
    assert before.result is not None and after.result is not None
    firsts = {a.id for r in (before.result, after.result) for a in r.actions[:1]}
    if len(firsts) < 2:
        return ()
    differ = before.fired ^ after.fired
    return tuple(
        sorted(each for each in differ if each.partition(":")[2].partition(":")[0] in firsts)
    )


def _by_which(before: CaseOutcome, after: CaseOutcome) -> tuple[Piece, ...]:
    """Evidence that differs for the causes that stood first or second, before or after."""
    found = []
    for name in dict.fromkeys(c.id for r in (before, after) for c in r.causes[:2]):
        old, new = _pieces(before, name), _pieces(after, name)
        for rule in dict.fromkeys((*old, *new)):
            if old.get(rule, 0.0) != new.get(rule, 0.0):
                found.append((rule, name, old.get(rule, 0.0), new.get(rule, 0.0)))
    return tuple(sorted(found, key=lambda each: (-abs(each[3] - each[2]), each[0])))


def _pieces(result: CaseOutcome, name: str) -> dict[str, float]:
    cause: CauseResult | None = next((c for c in result.causes if c.id == name), None)
    if cause is None:
        return {}
    pieces = {"starting odds": cause.prior}
    for each in (*cause.evidence_for, *cause.evidence_against):
        if each.counts:
            pieces[each.rule] = each.decibans
    return pieces


def _verdict(older: Judged, newer: Judged) -> Verdict:
    gained = any(newer.met.get(n) and older.met.get(n) is False for n in ASKED)
    lost = any(older.met.get(n) and newer.met.get(n) is False for n in ASKED)
    if gained and lost:
        return "both"
    return "better" if gained else "worse" if lost else "neither"
