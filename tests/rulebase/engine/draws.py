"""Random rule bases and facts, chosen to sit on every boundary at once."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterable

from advisor.rulebase.conditions import Value
from advisor.rulebase.engine import CompiledRule, Fact, Firing, Test

NUMBERS: tuple[float | int, ...] = (
    *(0, -0.0, 1, 1.0, 2, 3, 7, 7.5, 0.1 + 0.2, 0.3, -1, -2.5),
    *(math.nextafter(7.5, 8), math.nextafter(7.5, 7), 1e-7, 1.5e-7, 5e-324, -1e-300),
    *(1e22, 1e22 + 2**22, 10**22, 1.7976931348623157e308, -1e308, 1e16, 123456789.125),
    *(2**31, 2**53, 2**53 + 1, 2.0**53, -(2**63), 2**63, 2**64, 10**40),
)
TEXTS = (
    *(
        "",
        "7",
        "7.0",
        "1",
        "true",
        "True",
        "false",
        "nil",
        "null",
        "sid",
        "id",
        "$s",
        " ",
        "a",
        "A",
    ),
    *(
        'quo"te',
        "back\\slash",
        "it's",
        "{",
        "}",
        "[1]",
        "naïve",
        "naïve",
        "鱼",
        "🐟",
        "\x00",
        "a\x00",
    ),
    *("\n", "\ud800", "x" * 300, "c0", '"id":"1"', "1e5", "{{", "%s"),
)
KINDS = ("reading", "sign", 'q"k', "鱼", "$and", "")
NAMES = ("ph", "piping", "sid", "id", "ph\x00", "$m", "", "tan_mg_l")


def value(rng: random.Random, sort: str) -> Value:
    if sort == "truth":
        return rng.random() < 0.5
    if sort == "text":
        return rng.choice(TEXTS)
    if rng.random() < 0.2:
        return round(rng.uniform(-10, 10), rng.choice((0, 1, 3)))
    return rng.choice(NUMBERS[: rng.choice((6, 12, len(NUMBERS)))])


class Words:
    """The names one rule base speaks of, each with its usual sort of value."""

    def __init__(self, rng: random.Random) -> None:
        kinds = rng.sample(KINDS, rng.randint(1, 4))
        names = [*NAMES, *(f"n{number}" for number in range(rng.choice((0, 6, 40))))]
        self.rng = rng
        self.names = [
            (kind, name, rng.choice(("number", "number", "truth", "text")))
            for kind in kinds
            for name in rng.sample(names, rng.randint(2, len(names)))
        ]

    def fact(self) -> Fact:
        kind, name, sort = self.rng.choice(self.names)
        if self.rng.random() < 0.05:
            sort = self.rng.choice(("number", "truth", "text"))
        return Fact(kind, name, value(self.rng, sort))

    def finding(self) -> Fact:
        """What a rule may derive: a name that no fact is drawn of, always of one value."""
        number = self.rng.randrange(6)
        return Fact("found", f"f{number}", number % 3 != 0)

    def finding_asked(self) -> list[Test]:
        """A test on something that a rule may derive; now and then one that cannot be met."""
        kind, name, made = self.finding()
        return [Test(kind, name, "==", made if self.rng.random() < 0.8 else not made)]

    def tests(self, name: tuple[str, str, str]) -> list[Test]:
        """One to three tests on one name, all of one sort."""
        kind, called, sort = name
        if self.rng.random() < 0.05:
            sort = self.rng.choice(("number", "truth", "text"))
        operators = ("==", "!=", "<", "<=", ">", ">=") if sort == "number" else ("==", "!=")
        count = self.rng.choice((1, 1, 1, 2, 3))
        return [
            Test(kind, called, self.rng.choice(operators), value(self.rng, sort))
            for _ in range(count)
        ]

    def branch(self, longest: int) -> tuple[Test, ...]:
        names = self.rng.sample(self.names, min(len(self.names), self.rng.randint(1, longest)))
        tests = [test for name in names for test in self.tests(name)]
        if self.rng.random() < 0.4:
            few = [] if self.rng.random() < 0.5 or len(names) == 11 else tests
            tests = [*few, *self.finding_asked()]
        self.rng.shuffle(tests)
        return tuple(tests)

    def rule(self, number: int, shared: tuple[Test, ...], longest: int) -> CompiledRule:
        branches = []
        for _ in range(self.rng.choice((1, 1, 2, 3))):
            branch = self.branch(longest)
            names = {test[:2] for test in branch}
            if self.rng.random() < 0.3 and not names & {test[:2] for test in shared}:
                branch = (*shared, *branch)
            branches.append(branch)
        derives = self.finding() if self.rng.random() < 0.4 else None
        return CompiledRule(f"r{number}", tuple(branches), derives)


def rule_base(rng: random.Random) -> tuple[list[CompiledRule], Words]:
    words = Words(rng)
    longest = rng.choice((1, 2, 3, 3, 11))
    count = rng.choice((1, 3, 6, 12, 12, 25))
    shared = tuple(words.tests(rng.choice(words.names)))
    return [words.rule(number, shared, longest) for number in range(count)], words


def facts(rng: random.Random, words: Words, rules: list[CompiledRule]) -> list[Fact]:
    """One value for each name, and repeats.

    Mostly the facts aim at one branch: each stands on the boundary of
    one of its tests.
    """
    drawn = [words.fact() for _ in range(rng.choice((0, 2, 6, 15, 30)))]
    if rng.random() < 0.85:
        aim = rng.choice(rng.choice(rules).branches)
        drawn += [Fact(test.kind, test.name, test.value) for test in aim]
        drawn += [Fact(test.kind, test.name, test.value) for test in rng.choice(rules).branches[0]]
    drawn = list({fact[:2]: fact for fact in drawn if fact.kind != "found"}.values())
    rng.shuffle(drawn)
    return drawn + rng.sample(drawn, len(drawn) // 4)


def second_layer(
    rng: random.Random, words: Words, given: Iterable[Fact]
) -> Callable[[tuple[Firing, ...]], Iterable[Fact]]:
    """Facts that depend on what has fired, as standings of causes do."""
    told = {fact[:2]: fact for fact in (*(words.fact() for _ in range(5)), *given)}
    pool = list(told.values())[:5]

    def more(firings: tuple[Firing, ...]) -> list[Fact]:
        return pool[: len(firings)]

    return more
