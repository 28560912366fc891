"""Five lines to choose from, of which some are right: causes, first steps, and what must not be.

Wrong lines are those nearest to right: causes that stand next in the ranking, steps that
belong to them, steps held back here. The order is drawn from the case, the same every time.
"""

from __future__ import annotations

import random
from collections.abc import Iterable
from dataclasses import dataclass

from advisor.advice.results import LotResult
from advisor.case import Case
from advisor.explain.replay.score import alike, harmful, named_steps, right_actions, right_causes
from advisor.rulebase import RuleBase

FIVE = 5
#: Of five steps at most so many are harmful here.
MOST_HARMFUL = 2


@dataclass(frozen=True)
class Offers:
    """Ids to choose from, each at most five."""

    causes: tuple[str, ...]
    steps: tuple[str, ...]
    never: tuple[str, ...]


def offers(case: Case, result: LotResult, base: RuleBase) -> Offers:
    """What a trainee chooses from for one judged lot."""
    draw = random.Random(case.model_dump_json(include={"delivery", "lot"}))
    right = right_causes(case)
    ranked = [cause.id for cause in result.causes]
    causes = _five([*right[:2], *(c for c in ranked if c not in right)], draw)
    harm = [name for name in harmful(case, result) if name in base.actions]
    best, _ = named_steps(case, result, base)
    good = [n for n in (*best, *right_actions(case, result)) if n in base.actions and n not in harm]
    apart = {*harm, *good, *best}
    others = list(_others(ranked, apart, result, base))
    steps = _five([*good[:1], *harm[:MOST_HARMFUL], *others], draw)
    never = _five([*harm[:3], *good[:2], *others], draw)
    return Offers(causes, steps, never)


def _five(names: Iterable[str], draw: random.Random) -> tuple[str, ...]:
    chosen = list(dict.fromkeys(names))[:FIVE]
    draw.shuffle(chosen)
    return tuple(chosen)


def _others(ranked: list[str], apart: set[str], result: LotResult, base: RuleBase) -> Iterable[str]:
    """Early steps that belong to the causes next in the ranking and are not advised here."""
    advised = {action.id for action in result.actions}
    for cause in ranked:
        for action in base.actions.values():
            early = action.time in ("now", "within_hour")
            kin = alike((action.id,), base)[0]
            if cause in action.needed_for and early and not {action.id, kin} & (apart | advised):
                yield action.id
