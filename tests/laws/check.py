"""The laws laid against what the advisor publishes for a case."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterable, Mapping
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from functools import cache
from importlib import import_module
from typing import Any

from tests.laws.every import LAWS
from tests.laws.mixes import natural
from tests.laws.plan import Plan, plan_of
from tests.laws.situation import Situation, lots_of
from tests.laws.words import frozen_words

#: The law that a delivery without an answer breaks.
NO_ANSWER = "a_plan_says_what_to_do"
#: What is asked where no fish of the lot lives.
OF_THE_DEAD = (
    "suspicion_of_the_koi_virus_is_told",
    "the_dead_of_a_suspicion_are_not_frozen",
    "no_fish_or_bag_water_into_a_stream",
)


@dataclass(frozen=True)
class Breach:
    """A law broken for one lot; ``where`` is a file or the mix and seed that drew the delivery."""

    law: str
    lot: str
    where: str
    shown: tuple[str, ...]


@dataclass
class Tally:
    """What a run found: lots seen, lots of each truth and how many are called an emergency."""

    lots: int = 0
    emergencies: int = 0
    breaches: list[Breach] = field(default_factory=list)
    truths: Counter[str] = field(default_factory=Counter)
    loud: Counter[str] = field(default_factory=Counter)

    def add(self, other: Tally) -> None:
        self.lots += other.lots
        self.emergencies += other.emergencies
        self.breaches += other.breaches
        self.truths += other.truths
        self.loud += other.loud

    def counts(self) -> dict[str, int]:
        """Breaches by law, most broken first."""
        return dict(Counter(b.law for b in self.breaches).most_common())


@cache
def assess() -> Any:
    """The function of the package that assesses a case, wherever its room is."""
    for home in ("advisor.advice", "advisor.advice.assess", "advisor.assess"):
        try:
            found = getattr(import_module(home), "assess", None)
        except ModuleNotFoundError:
            continue
        if callable(found):
            return found
    raise AssertionError("the package offers no assess(case)")


def lots(case: Any, until_hours: float | None = None) -> dict[str, tuple[Situation, Plan]]:
    """Situation and plan of every lot, the plan from the published JSON."""
    more = {} if until_hours is None else {"until_hours": until_hours}
    shown = assess()(case, **more).model_dump(mode="json")
    stands = lots_of(case, until_hours)
    return {one["lot"]: (stands[one["lot"]], plan_of(one)) for one in shown["lots"]}


def broken(situation: Situation, plan: Plan) -> list[str]:
    """The names of the laws that ``plan`` breaks. Of the dead only what law asks is asked."""
    names = OF_THE_DEAD if situation.none_alive else tuple(LAWS)
    return [name for name in names if not LAWS[name].holds(situation, plan)]


def check(case: Any, where: str = "case") -> Tally:
    """Every law on every lot of one case."""
    tally = Tally()
    try:
        answered = lots(case)
    except Exception as error:  # whatever it is: a delivery that could be typed gets no answer
        said = (f"no answer: {type(error).__name__}: {error}",)
        names = list(lots_of(case))
        return Tally(len(names), breaches=[Breach(NO_ANSWER, name, where, said) for name in names])
    for lot, (situation, plan) in answered.items():
        tally.lots += 1
        tally.emergencies += plan.emergency
        shown = tuple(f"{'! ' if x.emergency else ''}{x.text}" for x in plan.lines[:6])
        tally.breaches += [Breach(name, lot, where, shown) for name in broken(situation, plan)]
    return tally


def drawn(mix: str, seed: int) -> tuple[Any, str]:
    """The delivery that ``mix`` (wild or natural) draws for ``seed``, and its ground truth."""
    rng = random.Random(f"{mix} {seed}")
    if mix == "natural":
        return natural(rng)
    from tests.replay.deliveries import delivery

    return delivery(rng, frozen_words()), "wild"


def run(mix: str, seeds: Iterable[int]) -> Tally:
    """Every law on the deliveries drawn for ``seeds``."""
    tally = Tally()
    for seed in seeds:
        case, truth = drawn(mix, seed)
        one = check(case, f"{mix} {seed}")
        one.truths[truth] += one.lots
        one.loud[truth] += one.emergencies
        tally.add(one)
    return tally


def run_many(mix: str, seeds: range, processes: int = 1) -> Tally:
    """``run`` over several processes."""
    if processes <= 1:
        return run(mix, seeds)
    parts = [range(seeds.start + k, seeds.stop, processes) for k in range(processes)]
    tally = Tally()
    with ProcessPoolExecutor(processes) as pool:
        for part in pool.map(run, [mix] * processes, parts):
            tally.add(part)
    return tally


def check_files(paths: Iterable[str]) -> Tally:
    """Every law on case files."""
    from advisor.case import load_case

    tally = Tally()
    for path in paths:
        tally.add(check(load_case(path), str(path)))
    return tally


def per_thousand(tally: Tally) -> Mapping[str, float]:
    """Breaches per 1,000 lots, by law."""
    return {name: 1000 * n / max(1, tally.lots) for name, n in tally.counts().items()}
