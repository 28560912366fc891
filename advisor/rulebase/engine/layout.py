"""Rules laid out for durable-rules: addresses, places and rule sets of a safe size."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain
from typing import Any, NamedTuple

from advisor.rulebase.engine.terms import (
    MAX_COMBINATIONS,
    CompiledRule,
    EngineError,
    Fact,
    Test,
    Value,
    limits_exceeded,
    sort_of,
)

# What one rule set holds: few, so that sets none of whose rules can fire are left alone,
# but not so few that facts are read again and again (tests/benchmarks/engine_speed.py).
# Far under the 255 rules on one condition, the 64 conditions met by one fact and the 511
# names that durable-rules can take. A rule of more conditions has a set to itself.
CONDITIONS_PER_SET = 16

_TOP = 2**31  # above every place


class Scale:
    """The values that rules compare one name with, and the places between them.

    Place 1 is the lowest such value, 3 the next; 0, 2, 4 and so on are below,
    between and above. Comparing places gives what comparing values would.
    """

    def __init__(self, address: int, limits: list[Any]) -> None:
        self.address = address
        self.limits = limits
        self.wire = f'"n":{address},"v":'

    def place(self, value: Value) -> int:
        below = bisect_left(self.limits, value)
        exact = below < len(self.limits) and self.limits[below] == value
        return 2 * below + exact


Scales = Mapping[tuple[str, str, str], Scale]


def scales_of(rules: Iterable[CompiledRule]) -> Scales:
    limits: dict[tuple[str, str, str], set[Any]] = {}
    for rule in rules:
        for branch in rule.branches:
            for kind, name, _, value in branch:
                limits.setdefault((kind, name, sort_of(value)), set()).add(value)
    return {
        key: Scale(address, sorted(values)) for address, (key, values) in enumerate(limits.items())
    }


class Span(NamedTuple):
    """The places on one scale that meet every test a branch puts to it."""

    address: int
    lowest: int
    highest: int
    holes: frozenset[int]

    @classmethod
    def of(cls, scale: Scale, tests: Iterable[Test]) -> Span:
        lowest, highest, holes = 0, _TOP, set()
        for test in tests:
            place = scale.place(test.value)
            if test.op == "!=":
                holes.add(place)
            if test.op in ("==", ">=", ">"):
                lowest = max(lowest, place + (test.op == ">"))
            if test.op in ("==", "<=", "<"):
                highest = min(highest, place - (test.op == "<"))
        return cls(scale.address, lowest, highest, frozenset(holes))

    def holds(self, place: int) -> bool:
        return self.lowest <= place <= self.highest and place not in self.holes

    def condition(self) -> str:
        tests = [f'{{"n":{self.address}}}']
        if self.lowest == self.highest:
            tests.append(f'{{"v":{self.lowest}}}')
        else:
            if self.lowest > 0:
                tests.append(f'{{"$gte":{{"v":{self.lowest}}}}}')
            if self.highest < _TOP:
                tests.append(f'{{"$lte":{{"v":{self.highest}}}}}')
        tests += [f'{{"$neq":{{"v":{hole}}}}}' for hole in sorted(self.holes)]
        return f'{{"$and":[{",".join(tests)}]}}'


class Branch(NamedTuple):
    """What firing means for one branch of one rule."""

    rule_id: str
    number: int
    derives: Fact | None


class Join:
    """Spans that must all be met, and the branches, often several, that ask for just that."""

    def __init__(self, spans: tuple[Span, ...]) -> None:
        self.spans = spans
        self.branches: list[Branch] = []

    @property
    def addresses(self) -> frozenset[int]:
        return frozenset(span.address for span in self.spans)

    def plain(self) -> list[Any]:
        """What this holds, as JSON can keep it."""
        spans = [[*span[:3], sorted(span.holes)] for span in self.spans]
        return [spans, self.branches]

    @classmethod
    def of_plain(cls, plain: list[Any]) -> Join:
        spans, branches = plain
        join = cls(tuple(Span(at, low, high, frozenset(holes)) for at, low, high, holes in spans))
        join.branches = [Branch(i, n, Fact(*fact) if fact else None) for i, n, fact in branches]
        return join


def joins_of(rules: Iterable[CompiledRule], scales: Scales) -> list[Join]:
    joins: dict[tuple[Span, ...], Join] = {}
    for rule in rules:
        for number, branch in enumerate(rule.branches):
            groups: dict[tuple[str, str, str], list[Test]] = {}
            for test in branch:
                groups.setdefault((test.kind, test.name, sort_of(test.value)), []).append(test)
            spans = tuple(Span.of(scales[name], tests) for name, tests in groups.items())
            if spans not in joins:
                joins[spans] = Join(spans)
            joins[spans].branches.append(Branch(rule.id, number, rule.derives))
    return list(joins.values())


def layered(rules: Sequence[CompiledRule]) -> list[CompiledRule]:
    """Rules that derive facts first, and of those the ones that need none of the others'.

    Only for speed, as it saves second visits to a rule set; so a circle, or a
    chain longer than the passes made here, does no harm.
    """
    makers = [rule for rule in rules if rule.derives]
    made = {rule.derives[:2] for rule in makers if rule.derives}
    needs = {
        rule.id: {test[:2] for branch in rule.branches for test in branch} & made for rule in makers
    }
    depth = dict.fromkeys(needs, 0)
    for _ in range(8):
        makers.sort(key=lambda rule: depth[rule.id])
        below = {rule.derives[:2]: depth[rule.id] + 1 for rule in makers if rule.derives}
        deeper = {
            rule: max(map(below.__getitem__, names), default=0) for rule, names in needs.items()
        }
        if deeper == depth:
            break
        depth = deeper
    return makers + [rule for rule in rules if not rule.derives]


class Ruleset:
    """Joins that durable-rules runs together."""

    def __init__(self) -> None:
        self._joins: list[Join | list[Any]] = []
        self._definition = ""
        self._room = CONDITIONS_PER_SET
        self._asked: set[frozenset[int]] = set()
        self.reach: dict[int, tuple[int, int]] = {}  # address -> places that may meet a condition

    def has_room(self, join: Join) -> bool:
        return len(join.spans) <= self._room

    def take(self, join: Join) -> None:
        self._joins.append(join)
        self._room -= len(join.spans)
        self._asked.add(join.addresses)
        for span in join.spans:
            low, high = self.reach.get(span.address, span[1:3])
            self.reach[span.address] = min(low, span.lowest), max(high, span.highest)

    def may_fire(self, known: set[int]) -> bool:
        """Whether every name that some rule asks for is known, by address."""
        return any(map(known.issuperset, self._asked))

    def definition(self) -> str:
        """What durable-rules is given."""
        self._definition = self._definition or self._defined()
        return self._definition

    def _defined(self) -> str:
        rules = ['"begin":{"all":[{"c":{"begin":1}}],"dist":0}']
        for number, join in enumerate(self._all()):
            conditions = [f'{{"c{n}":{span.condition()}}}' for n, span in enumerate(join.spans)]
            rules.append(f'"{number}":{{"all":[{",".join(conditions)}],"dist":0}}')
        return f"{{{','.join(rules)}}}"

    def plain(self) -> list[Any]:
        """What this holds, as JSON can keep it."""
        reach = [[address, *ends] for address, ends in self.reach.items()]
        asked = sorted(map(sorted, self._asked))
        return [self.definition(), reach, asked, [join.plain() for join in self._all()]]

    @classmethod
    def of_plain(cls, plain: list[Any]) -> Ruleset:
        """The same again; it takes no further joins."""
        ruleset = cls()
        ruleset._definition, reach, asked, ruleset._joins = plain
        ruleset.reach = {address: (low, high) for address, low, high in reach}
        ruleset._asked = set(map(frozenset, asked))
        return ruleset

    def join(self, number: int) -> Join:
        """A join by its number; one that was kept is made again when first asked for."""
        found = self._joins[number]
        if not isinstance(found, Join):
            found = self._joins[number] = Join.of_plain(found)
        return found

    def _all(self) -> Iterator[Join]:
        return map(self.join, range(len(self._joins)))

    def refuse_explosion(self, places: Iterable[tuple[int, int]]) -> None:
        """Several values of several names multiply: stop before memory runs out."""
        given: dict[int, list[int]] = {}
        for address, place in places:
            given.setdefault(address, []).append(place)
        for join in self._all():
            ways = 1
            for span in join.spans:
                ways *= sum(map(span.holds, given.get(span.address, ())))
                if ways > MAX_COMBINATIONS:
                    rule_id, number, _ = join.branches[0]
                    raise EngineError(
                        f"rule {rule_id}: over {MAX_COMBINATIONS} ways to meet branch "
                        f"{number}; give fewer values for one name"
                    )


class Layout:
    """Rules laid out, ready to be given to durable-rules.

    readers : address -> (number of a rule set, lowest and highest place it wants to see)
    """

    def __init__(self, scales: Scales, rulesets: list[Ruleset]) -> None:
        self.scales = scales
        self.rulesets = rulesets
        self.readers: dict[int, list[tuple[int, int, int]]] = {}
        for number, ruleset in enumerate(rulesets):
            for address, ends in ruleset.reach.items():
                self.readers.setdefault(address, []).append((number, *ends))

    @classmethod
    def of(cls, rules: Iterable[CompiledRule]) -> Layout:
        """Raises EngineError for rules the engine refuses."""
        rules = list(rules)
        if faults := limits_exceeded(rules):
            raise EngineError("\n".join(faults))
        scales = scales_of(rules)
        return cls(scales, deal(rules, scales))

    def plain(self) -> list[Any]:
        """What this holds, as JSON can keep it."""
        scales = [[*name, scale.limits] for name, scale in self.scales.items()]
        return [scales, [ruleset.plain() for ruleset in self.rulesets]]

    @classmethod
    def of_plain(cls, plain: list[Any]) -> Layout:
        """The layout that was kept; what it was made of is not looked through again."""
        names, rulesets = plain
        scales = {
            (kind, name, sort): Scale(address, limits)
            for address, (kind, name, sort, limits) in enumerate(names)
        }
        return cls(scales, [Ruleset.of_plain(ruleset) for ruleset in rulesets])


def deal(rules: Sequence[CompiledRule], scales: Scales) -> list[Ruleset]:
    """The rules' joins, dealt into small rule sets: those that derive facts first.

    Joins that ask for the same name, the least asked for of theirs, stand together,
    so that many sets can be left alone while those names are not known.
    """
    joins = joins_of(layered(rules), scales)
    uses = Counter(address for join in joins for address in join.addresses)
    waiting: dict[tuple[bool, int], list[Join]] = {}
    for join in joins:
        derives = any(branch.derives for branch in join.branches)
        rarest = min(join.addresses, key=lambda address: (uses[address], address))
        waiting.setdefault((derives, rarest), []).append(join)
    rulesets: list[Ruleset] = []
    for part in (True, False):
        rulesets.append(Ruleset())
        for join in chain(*(group for key, group in waiting.items() if key[0] == part)):
            if not rulesets[-1].has_room(join):
                rulesets.append(Ruleset())
            rulesets[-1].take(join)
    return [ruleset for ruleset in rulesets if ruleset.reach]
