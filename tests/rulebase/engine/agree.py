"""Compares the engine with plain Python on random rule bases and facts.

    python -m tests.rulebase.engine.agree --draws 1000000 [--seed 0] [--from 0]

A draw is one rule base and one set of facts; each of its rules is evaluated on
them. It ends with the number of both, how many draws fired anything, and how
many disagreed.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from dataclasses import dataclass, field

from advisor.rulebase import rule_layout as layout
from advisor.rulebase.engine import Engine

from . import draws, plain

CASES_PER_BASE = 5
SIZE = layout.JOINS_PER_SET


@dataclass
class Tally:
    draws: int = 0
    evaluated: int = 0
    fired: int = 0
    chained: int = 0
    disagreements: list[str] = field(default_factory=list)


def compare(seed: str, tally: Tally) -> None:
    """One rule base with several sets of facts, half of the time in rule sets of another size."""
    rng = random.Random(seed)
    rules, words = draws.rule_base(rng)
    try:
        if rng.random() < 0.5:
            layout.JOINS_PER_SET = rng.choice((1, 2, 16, 60))
        engine = Engine(rules)
    finally:
        layout.JOINS_PER_SET = SIZE
    for number in range(CASES_PER_BASE):
        facts = draws.facts(rng, words, rules)
        more = draws.second_layer(rng, words, facts) if rng.random() < 0.3 else None
        tally.draws += 1
        tally.evaluated += len(rules)
        expected = plain.run(rules, facts, more)
        found = engine.run(facts, *filter(None, [more]))
        tally.fired += bool(expected)
        tally.chained += any(fact not in facts for firing in expected for fact in firing.facts)
        if repr(found) != repr(expected) and not same(found, expected):
            tally.disagreements.append(f"seed {seed}, facts {number}")
    engine.close()


def same(found: object, expected: object) -> bool:
    """Equal, with 1 and True apart; 7 and 7.0 may stand for each other."""
    return found == expected and repr(found).count("True") == repr(expected).count("True")


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--draws", type=int, default=1_000_000)
    parser.add_argument("--seed", default="0")
    parser.add_argument("--from", type=int, default=0, dest="start", help="first rule base")
    options = parser.parse_args()
    tally, base, begun = Tally(), options.start, time.monotonic()
    while tally.draws < options.draws:
        compare(f"{options.seed}-{base}", tally)
        base += 1
        if base % 2000 == 0:
            took = time.monotonic() - begun
            print(
                f"{tally.draws} draws, {len(tally.disagreements)} disagreements, {took:.0f} s",
                file=sys.stderr,
                flush=True,
            )
    print(
        f"{tally.draws} draws on {base - options.start} rule bases, {tally.evaluated} rules "
        f"evaluated: {tally.fired} fired, "
        f"{tally.chained} on derived facts, "
        f"{len(tally.disagreements)} disagreements"
    )
    print("\n".join(tally.disagreements[:20]))
    return 1 if tally.disagreements else 0


if __name__ == "__main__":
    sys.exit(main())
