"""Conditions of a rule base that nothing meets: not the cases at hand, not aimed random ones."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from advisor.advice.assess import Reasoner, reason
from advisor.advice.facts.sheet import lots_of
from advisor.case import Case
from advisor.errors import AdvisorError
from advisor.explain.replay.aimed import Aimed

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
