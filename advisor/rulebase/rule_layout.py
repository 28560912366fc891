"""Rules laid out for the engine: small rule sets, and which fact is told to which of them.

It takes plain rules (a choice of branches, each a list of tests that must all hold). Names
become addresses and values become places, small whole numbers that compare as the values
would; branches that ask for the same are joined, and the joins are dealt into rule sets as
durable-rules is given them. A layout is plain data, so it can be kept between starts.
"""

from __future__ import annotations

import json
import math
from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from advisor.errors import AdvisorError
from advisor.rulebase.conditions import Op, Value

MAX_CONDITIONS = 12
"""Different facts that one branch may ask for (times JOINS_PER_SET: far below the 255
properties of a fact in durable-rules)."""

JOINS_PER_SET = 4
"""What one rule set holds. More are slower to open, fewer are more to open; 64 would be the
most tests that one fact may meet."""


class EngineError(AdvisorError):
    """Rules or facts that the engine refuses, or a run that it cannot finish."""


class Fact(NamedTuple):
    """One thing known: ``Fact("reading", "ph", 7.4)``."""

    kind: str
    name: str
    value: Value


class Test(NamedTuple):
    """One comparison with a fact's value: ``Test("reading", "ph", ">=", 7.8)``."""

    kind: str
    name: str
    op: Op
    value: Value


Test.__test__ = False  # type: ignore[attr-defined]  # not for pytest to collect


class CompiledRule(NamedTuple):
    """A rule that fires when every test of one of its branches is met.

    derives : a fact that becomes known when it fires, or None
    """

    id: str
    branches: tuple[tuple[Test, ...], ...]
    derives: Fact | None = None


# --- what is refused -----------------------------------------------------------------

_SORTS: Mapping[type, str] = {bool: "true or false", int: "a number", str: "text"}


def sort_of(value: object) -> str:
    """Which sort of value this is. Raises EngineError for what cannot be compared."""
    sort = _SORTS.get(type(value))
    if sort is not None:
        return sort
    if isinstance(value, int) or (isinstance(value, float) and math.isfinite(value)):
        return "a number"
    if isinstance(value, str):
        return "text"
    raise EngineError(f"{value!r} is not a finite number, text, true or false")


def limits_exceeded(rules: Iterable[CompiledRule]) -> list[str]:
    """Everything the engine would refuse in these rules, a sentence each.

    There is no limit on how many rules share a condition, how many names are of one
    kind, or how many tests are put to one name.
    """
    faults: list[str] = []
    ids: set[str] = set()
    for rule in rules:
        found = ["another rule has the same id"] if rule.id in ids else []
        ids.add(rule.id)
        if not rule.branches:
            found.append("it has no branch, so it could never fire")
        for number, branch in enumerate(rule.branches):
            found += [f"branch {number}: {fault}" for fault in _branch_faults(branch)]
        if rule.derives is not None:
            try:
                sort_of(rule.derives.value)
            except EngineError as error:
                found.append(f"derived fact: {error}")
        faults += [f"rule {rule.id}: {fault}" for fault in found]
    return faults


def _branch_faults(branch: Sequence[Test]) -> Iterator[str]:
    if not branch:
        yield "it has no conditions, so it would always fire"
    sorts: dict[tuple[str, str], str] = {}
    for kind, name, op, value in branch:
        try:
            sort = sort_of(value)
        except EngineError as error:
            yield f"{kind} {name}: {error}"
            continue
        known = sorts.setdefault((kind, name), sort)
        if known != sort:
            yield f"{kind} {name}: compared both with {known} and with {sort}"
        allowed = ("==", "!=", "<", "<=", ">", ">=") if sort == "a number" else ("==", "!=")
        if op not in allowed:
            yield f"{kind} {name}: {op!r} cannot compare {sort}, allowed: {' '.join(allowed)}"
    if len(sorts) > MAX_CONDITIONS:
        yield (
            f"{len(sorts)} conditions, at most {MAX_CONDITIONS} are allowed; "
            "make a finding of some of them"
        )


# --- names and values as small whole numbers -------------------------------------------

_TOP = 2**31  # above every place


class Scale:
    """The values that rules compare one name with, and the places between them.

    Place 1 is the lowest such value, 3 the next; 0, 2, 4 and so on are below, between
    and above. Comparing places gives what comparing values would.
    """

    def __init__(self, address: int, limits: Iterable[Any]) -> None:
        self.address = address
        self.limits = sorted(limits)

    def place(self, value: Value) -> int:
        below = bisect_left(self.limits, value)
        return 2 * below + (below < len(self.limits) and self.limits[below] == value)


#: Kind, name and sort of value -> its scale. Values of another sort meet no test.
Scales = Mapping[tuple[str, str, str], Scale]


class _Span(NamedTuple):
    """The places on one scale that meet every test a branch puts to it."""

    address: int
    lowest: int
    highest: int
    holes: tuple[int, ...]

    @classmethod
    def of(cls, scale: Scale, tests: Iterable[Test]) -> _Span:
        lowest, highest, holes = 0, _TOP, set()
        for test in tests:
            place = scale.place(test.value)
            if test.op == "!=":
                holes.add(place)
            if test.op in ("==", ">=", ">"):
                lowest = max(lowest, place + (test.op == ">"))
            if test.op in ("==", "<=", "<"):
                highest = min(highest, place - (test.op == "<"))
        return cls(scale.address, lowest, highest, tuple(sorted(holes)))

    def tests(self) -> Iterator[dict[str, Any]]:
        """As durable-rules is told them."""
        name = wire_name(self.address)
        if self.lowest == self.highest:
            yield {name: self.lowest}
        else:
            yield {"$gte": {name: self.lowest}}
            if self.highest < _TOP:
                yield {"$lte": {name: self.highest}}
        for hole in self.holes:
            yield {"$neq": {name: hole}}


def wire_name(address: int) -> str:
    """What durable-rules calls a name (it tells names apart by 32 bits of a hash)."""
    return f"n{address}"


# --- rules joined and dealt ----------------------------------------------------------


class Branch(NamedTuple):
    """A branch of a rule, by its number there."""

    rule_id: str
    number: int
    derives: Fact | None


class Join(NamedTuple):
    """Names that are asked for together, and the branches that ask for just the same of them."""

    addresses: tuple[int, ...]
    branches: tuple[Branch, ...]


class RuleSet(NamedTuple):
    """Joins that durable-rules runs together, as it is told them."""

    definition: str
    joins: tuple[Join, ...]


class Readers(NamedTuple):
    """Rule sets in which a place in this span meets what some join asks of its name."""

    lowest: int
    highest: int
    holes: tuple[int, ...]
    sets: tuple[int, ...]


class Layout(NamedTuple):
    """All that the engine needs to know of rules; made once, read by every run.

    reads : by address
    asks  : of each rule set, the names each join asks for
    sets  : by number
    """

    scales: Scales
    reads: Mapping[int, Sequence[Readers]]
    asks: Sequence[Sequence[Sequence[int]]]
    sets: Mapping[int, RuleSet]

    @classmethod
    def of(cls, rules: Iterable[CompiledRule]) -> Layout:
        """Raises EngineError for rules it refuses."""
        rules = list(rules)
        if faults := limits_exceeded(rules):
            raise EngineError("\n".join(faults))
        scales = _scales(rules)
        dealt = _dealt(_joins(rules, scales))
        reading: dict[_Span, list[int]] = {}
        for number, joins in enumerate(dealt):
            for span in dict.fromkeys(each for spans, _ in joins for each in spans):
                reading.setdefault(span, []).append(number)
        reads: dict[int, list[Readers]] = {}
        for (address, lowest, highest, holes), sets in reading.items():
            reads.setdefault(address, []).append(Readers(lowest, highest, holes, tuple(sets)))
        asks = [[[span.address for span in spans] for spans, _ in joins] for joins in dealt]
        return cls(scales, reads, asks, dict(enumerate(map(_rule_set, dealt))))

    def lines(self) -> list[str]:
        """As it can be kept: how facts are read, then each rule set (JSON)."""
        scales = [(*name, scale.limits) for name, scale in self.scales.items()]
        reads = [self.reads[scale.address] for scale in self.scales.values()]
        lines = [[scales, reads, self.asks], *(self.sets[at] for at in range(len(self.asks)))]
        return [json.dumps(each, separators=(",", ":")) for each in lines]

    @classmethod
    def of_lines(cls, lines: Sequence[str]) -> Layout:
        """What ``lines`` made; a rule set is made when it is first visited."""
        names, reads, asks = json.loads(lines[0])
        scales = {tuple(name): Scale(at, its) for at, (*name, its) in enumerate(names)}
        by_address = {at: [Readers(*each) for each in its] for at, its in enumerate(reads)}
        return cls(scales, by_address, asks, _KeptSets(lines[1:]))


class _KeptSets(dict[int, RuleSet]):
    """Rule sets, each made of its line when it is first asked for."""

    def __init__(self, lines: Sequence[str]) -> None:
        self._lines = lines

    def __missing__(self, number: int) -> RuleSet:
        definition, joins = json.loads(self._lines[number])
        made = self[number] = RuleSet(definition, tuple(map(_join, joins)))
        return made


def _join(kept: Any) -> Join:
    addresses, branches = kept
    return Join(
        tuple(addresses),
        tuple(Branch(rule, at, derives and Fact(*derives)) for rule, at, derives in branches),
    )


def _scales(rules: Iterable[CompiledRule]) -> Scales:
    limits: dict[tuple[str, str, str], set[Any]] = {}
    for rule in rules:
        for branch in rule.branches:
            for kind, name, _, value in branch:
                limits.setdefault((kind, name, sort_of(value)), set()).add(value)
    return {key: Scale(address, limits[key]) for address, key in enumerate(limits)}


_Spans = tuple[_Span, ...]
_Joined = tuple[_Spans, list[Branch]]


def _joins(rules: Iterable[CompiledRule], scales: Scales) -> list[_Joined]:
    """Spans that must all be met, and the branches, often several, that ask for just that."""
    joins: dict[_Spans, list[Branch]] = {}
    for rule in rules:
        for number, branch in enumerate(rule.branches):
            groups: dict[tuple[str, str, str], list[Test]] = {}
            for test in branch:
                groups.setdefault((test.kind, test.name, sort_of(test.value)), []).append(test)
            spans = tuple(_Span.of(scales[name], tests) for name, tests in groups.items())
            joins.setdefault(spans, []).append(Branch(rule.id, number, rule.derives))
    return list(joins.items())


def _dealt(joins: Sequence[_Joined]) -> list[list[_Joined]]:
    """Joins in small rule sets: first those that derive facts, so that few are visited twice.

    Joins that ask for the same name, the least asked for of theirs, stand together, so that
    many sets can be left alone while that name is not known.
    """
    uses = Counter(span.address for spans, _ in joins for span in spans)

    def place(join: _Joined) -> tuple[bool, int, int]:
        rarest = min((uses[span.address], span.address) for span in join[0])
        return not any(branch.derives for branch in join[1]), *rarest

    placed = sorted(joins, key=place)
    return [placed[at : at + JOINS_PER_SET] for at in range(0, len(placed), JOINS_PER_SET)]


def _rule_set(joins: Iterable[_Joined]) -> RuleSet:
    """As durable-rules is given them: joins by number, and the one that opens a session."""
    # dist 0: else one fact cannot meet conditions of two rules
    rules: dict[str, Any] = {"begin": {"all": [{"c": {"begin": 1}}], "dist": 0}}
    told = []
    for number, (spans, branches) in enumerate(joins):
        tests = [test for span in spans for test in span.tests()]
        rules[str(number)] = {"all": [{"c": {"$and": tests}}], "dist": 0}
        told.append(Join(tuple(span.address for span in spans), tuple(branches)))
    return RuleSet(json.dumps(rules), tuple(told))
