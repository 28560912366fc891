"""Runs compiled rules over facts with durable-rules 2.0.28; nothing else imports it.

It takes plain rules (a choice of branches, each a list of tests that must all hold)
and plain facts, and says which branches fired and on which facts. What that means:

- A name of a kind has one value. A test is met by it when the value is of the same
  sort (number, text, true/false) and compares as asked: ``1``, ``True`` and ``"1"``
  are three different things, and only numbers have an order.
- A branch fires when all its tests are met.
- What a rule derives is a fact like any other: rules chain until nothing new follows.

How durable-rules is used, each point instead of a crash, a hang or a wrong answer that
was seen:

- Its compiled core is called, not ``durable.engine.Host``: that swallows what an action
  raises, Ctrl-C too, calls a clock function deprecated since Python 3.12 at every
  firing, cannot free a rule set, and takes 2.7 times as long as CLIPS where 1.5 times
  is allowed (python -m tests.benchmarks.engine_speed measures both).
- Only small whole numbers reach it. A kind and name become an address, a value becomes
  its place among the values that rules compare that name with: exponents, a decimal
  comma, quotes, Unicode, and text that looks like a number cannot be misread.
- Facts carry ids of ours, since its own are 32-bit hashes and a clash drops a fact.
- Facts are never retracted. Each visit to a rule set is a session of its own: opened by
  a fact whose rule does nothing (a session in which no rule fired crashes when it is
  deleted) and deleted at the end (else each leaks megabytes).
- Rules are dealt into small rule sets. 256 rules on one condition crash it, 65 tests met
  by one fact fail, 512 names of one kind hang. A session clears memory for each of its
  conditions, so small sets are also faster: one is visited only when all that some rule
  of it asks for is known.

>>> rule = CompiledRule("warm", ((Test("reading", "temperature_c", ">", 28.0),),))
>>> Engine([rule]).run([Fact("reading", "temperature_c", 30)])[0].rule_id
'warm'
"""

from __future__ import annotations

import itertools
import json
import math
import weakref
from bisect import bisect_left
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from threading import Lock
from typing import Any, Literal, NamedTuple, Protocol, cast

from advisor.errors import AdvisorError

Value = float | int | bool | str
Operator = Literal["==", "!=", "<", "<=", ">", ">="]

MAX_CONDITIONS = 12
"""Different facts that one branch may ask for (durable-rules joins 16)."""

CONDITIONS_PER_SET = 16
"""What one rule set holds; a branch of more than this is never made."""

_TOP = 2**31  # above every place


class EngineError(AdvisorError):
    """Rules or facts that the engine refuses, or a run that it cannot finish."""


class EngineUnavailable(EngineError):
    """durable-rules is missing or does not load."""


class Fact(NamedTuple):
    """One thing known: ``Fact("reading", "ph", 7.4)``."""

    kind: str
    name: str
    value: Value


class Test(NamedTuple):
    """One comparison with a fact's value: ``Test("reading", "ph", ">=", 7.8)``."""

    kind: str
    name: str
    op: Operator
    value: Value


Test.__test__ = False  # type: ignore[attr-defined]  # not for pytest to collect


class CompiledRule(NamedTuple):
    """A rule that fires when every test of one of its branches is met.

    derives : a fact that becomes known when it fires, or None
    """

    id: str
    branches: tuple[tuple[Test, ...], ...]
    derives: Fact | None = None


class Firing(NamedTuple):
    """A branch that fired, by its number in the rule, with the facts that met its tests,
    in the order in which the branch first asks for them."""

    rule_id: str
    branch: int
    facts: tuple[Fact, ...]


# --- what is refused -----------------------------------------------------------------


def sort_of(value: object) -> str:
    """Which sort of value this is. Raises EngineError for what cannot be compared."""
    if isinstance(value, bool):
        return "true or false"
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


# --- rules laid out ------------------------------------------------------------------


class _Scale:
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
_Scales = Mapping[tuple[str, str, str], _Scale]


class _Span(NamedTuple):
    """The places on one scale that meet every test a branch puts to it."""

    address: int
    lowest: int
    highest: int
    holes: tuple[int, ...]

    @classmethod
    def of(cls, scale: _Scale, tests: Iterable[Test]) -> _Span:
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

    def condition(self) -> dict[str, Any]:
        """As durable-rules is told it."""
        tests: list[dict[str, Any]] = [{"n": self.address}]
        if self.lowest == self.highest:
            tests.append({"v": self.lowest})
        else:
            tests += [{"$gte": {"v": self.lowest}}] if self.lowest > 0 else []
            tests += [{"$lte": {"v": self.highest}}] if self.highest < _TOP else []
        return {"$and": tests + [{"$neq": {"v": hole}} for hole in self.holes]}


class _Branch(NamedTuple):
    rule_id: str
    number: int
    derives: Fact | None


class _Join(NamedTuple):
    """Spans that must all be met, and the branches, often several, that ask for just that."""

    spans: tuple[_Span, ...]
    branches: list[_Branch]

    @property
    def addresses(self) -> frozenset[int]:
        return frozenset(span.address for span in self.spans)


class _Ruleset:
    """Joins that durable-rules runs together."""

    def __init__(self, joins: Sequence[_Join]) -> None:
        self.joins = joins
        self._asked = {join.addresses for join in joins}
        self.addresses = frozenset(itertools.chain(*self._asked))

    def may_fire(self, known: set[int]) -> bool:
        """Whether every name that some join asks for is known."""
        return any(map(known.issuperset, self._asked))

    def definition(self) -> str:
        """What durable-rules is given: joins by number, and the one that opens a session."""
        # dist 0: else one fact cannot meet conditions of two rules
        rules: dict[str, Any] = {"begin": {"all": [{"c": {"begin": 1}}], "dist": 0}}
        for number, join in enumerate(self.joins):
            conditions = [{f"c{n}": span.condition()} for n, span in enumerate(join.spans)]
            rules[str(number)] = {"all": conditions, "dist": 0}
        return json.dumps(rules)


def _scales(rules: Iterable[CompiledRule]) -> _Scales:
    limits: dict[tuple[str, str, str], set[Any]] = {}
    for rule in rules:
        for branch in rule.branches:
            for kind, name, _, value in branch:
                limits.setdefault((kind, name, sort_of(value)), set()).add(value)
    return {key: _Scale(address, limits[key]) for address, key in enumerate(limits)}


def _joins(rules: Iterable[CompiledRule], scales: _Scales) -> list[_Join]:
    joins: dict[tuple[_Span, ...], _Join] = {}
    for rule in rules:
        for number, branch in enumerate(rule.branches):
            groups: dict[tuple[str, str, str], list[Test]] = {}
            for test in branch:
                groups.setdefault((test.kind, test.name, sort_of(test.value)), []).append(test)
            spans = tuple(_Span.of(scales[name], tests) for name, tests in groups.items())
            join = joins.setdefault(spans, _Join(spans, []))
            join.branches.append(_Branch(rule.id, number, rule.derives))
    return list(joins.values())


def _dealt(joins: Sequence[_Join]) -> list[_Ruleset]:
    """Joins in small rule sets: first those that derive facts, so that few are visited twice.

    Joins that ask for the same name, the least asked for of theirs, stand together, so that
    many sets can be left alone while that name is not known.
    """
    uses = Counter(address for join in joins for address in join.addresses)

    def place(join: _Join) -> tuple[bool, int, int]:
        rarest = min((uses[address], address) for address in join.addresses)
        return not any(branch.derives for branch in join.branches), *rarest

    sets: list[list[_Join]] = []
    room = 0
    for join in sorted(joins, key=place):
        if len(join.spans) > room:
            sets.append([])
            room = CONDITIONS_PER_SET
        sets[-1].append(join)
        room -= len(join.spans)
    return [_Ruleset(each) for each in sets]


# --- running -------------------------------------------------------------------------


class _Core(Protocol):
    """What is used of durable-rules' compiled module."""

    def create_ruleset(self, name: str, definition: str) -> int: ...
    def delete_ruleset(self, handle: int) -> None: ...
    def assert_fact(self, handle: int, fact: str) -> tuple[int, int]: ...
    def start_action_for_state(self, handle: int, state: int) -> tuple[str, str] | None: ...
    def complete_and_start_action(self, handle: int, state: int) -> str | None: ...
    def delete_state(self, handle: int, sid: str) -> None: ...


def _load_core() -> _Core:
    try:
        import durable_rules_engine
    except Exception as error:  # built for another Python, it fails in many ways
        raise EngineUnavailable(
            f"durable-rules cannot be loaded ({error}); install it with: "
            "CPPFLAGS=-DPyEval_CallObject=PyObject_CallObject "
            "pip install --no-cache-dir --force-reinstall durable-rules==2.0.28"
        ) from error
    return cast(_Core, durable_rules_engine)


class _Run:
    """What is known and what has fired in one run."""

    def __init__(self, scales: _Scales, readers: Mapping[int, Sequence[int]]) -> None:
        self._scales = scales
        self._readers = readers
        self._values: dict[tuple[str, str], Value] = {}
        self._hits: dict[int, tuple[_Join, tuple[Fact, ...]]] = {}
        self.facts: list[Fact] = []
        self.wires: list[str] = []  # as durable-rules is told them
        self.known: set[int] = set()  # addresses
        self.wanted: dict[int, list[int]] = {}  # facts by the number of the set that reads them
        self.new: set[int] = set()  # sets with facts they have not seen

    def add(self, fact: Fact) -> None:
        """Keeps a fact if any rule asks for its name. Raises EngineError for a second value."""
        kind, name, value = fact
        try:
            sort = sort_of(value)
        except EngineError as error:
            raise EngineError(f"{kind} {name}: {error}") from None
        first = self._values.setdefault((kind, name), value)
        if first != value or sort_of(first) != sort:
            raise EngineError(f"{kind} {name}: told as {first!r} and as {value!r}; one can hold")
        scale = self._scales.get((kind, name, sort))
        if scale is None or scale.address in self.known:
            return
        self.known.add(scale.address)
        index = len(self.facts)
        self.facts.append(fact)
        self.wires.append(f'"id":"{index}","n":{scale.address},"v":{scale.place(value)}}}')
        for number in self._readers[scale.address]:
            self.wanted.setdefault(number, []).append(index)
            self.new.add(number)

    def record(self, ruleset: _Ruleset, message: str) -> None:
        """Keeps a firing as durable-rules reports it, and what it derives."""
        ((number, matched),) = json.loads(message).items()
        join = ruleset.joins[int(number)]
        met = (int(matched[f"c{n}"]["id"]) for n in range(len(join.spans)))
        self._hits[id(join)] = join, tuple(self.facts[index] for index in met)
        for branch in join.branches:
            if branch.derives is not None:
                self.add(branch.derives)

    def firings(self) -> tuple[Firing, ...]:
        found = [
            Firing(branch.rule_id, branch.number, facts)
            for join, facts in self._hits.values()
            for branch in join.branches
        ]
        return tuple(sorted(found, key=lambda firing: firing[:2]))


class Engine:
    """A rule base made ready for many runs.

    Several engines can live side by side; each frees what durable-rules holds for it when
    closed or collected. One engine may run in several threads at once; do not close it
    while it runs.
    """

    def __init__(self, rules: Iterable[CompiledRule]) -> None:
        """Raises EngineError for rules it refuses, EngineUnavailable without durable-rules."""
        rules = list(rules)
        if faults := limits_exceeded(rules):
            raise EngineError("\n".join(faults))
        self._scales = _scales(rules)
        self._sets = _dealt(_joins(rules, self._scales))
        self._readers: dict[int, list[int]] = {}
        for number, ruleset in enumerate(self._sets):
            for address in ruleset.addresses:
                self._readers.setdefault(address, []).append(number)
        self._core = _load_core()
        self._handles: dict[int, int] = {}
        self._making = Lock()
        self._free = weakref.finalize(self, _free, self._core, self._handles)

    def close(self) -> None:
        """Frees what durable-rules holds; a forgotten engine does so when collected."""
        self._free()

    def run(
        self,
        facts: Iterable[Fact],
        *more: Callable[[tuple[Firing, ...]], Iterable[Fact]],
    ) -> tuple[Firing, ...]:
        """Every branch that fires, by rule id and branch.

        facts : what is known; repeats do no harm, names no rule asks for are ignored
        more  : one after the other, each called once when nothing new follows, with the
                firings so far; the facts it returns are added and the rules run on

        Raises EngineError for a value that is not a finite number, text, true or false,
        and for two values of one name.
        """
        if not self._free.alive:
            raise EngineError("this engine is closed, make a new one")
        run = _Run(self._scales, self._readers)
        for fact in facts:
            run.add(fact)
        self._settle(run)
        for each in more:
            for fact in each(run.firings()):
                run.add(fact)
            self._settle(run)
        return run.firings()

    def _settle(self, run: _Run) -> None:
        """Visits each rule set that has something new to fire on, until nothing new follows."""
        while run.new:
            for number in sorted(run.new):
                run.new.discard(number)
                if self._sets[number].may_fire(run.known):
                    self._visit(number, run)

    def _visit(self, number: int, run: _Run) -> None:
        """Runs a rule set, in a session of its own, on all it reads of what is known."""
        core, ruleset, handle = self._core, self._sets[number], self._handle(number)
        wanted, seen = run.wanted[number], 0
        sid, state = self._open(handle)
        try:
            while seen < len(wanted):  # it may derive what it reads itself
                batch, seen = wanted[seen:], len(wanted)
                for index in batch:
                    outcome, _ = core.assert_fact(handle, f'{{"sid":"{sid}",{run.wires[index]}')
                    if outcome > 1:  # 0 is matched, 1 matched nothing
                        raise EngineError(f"durable-rules dropped {run.facts[index]}")
                started = core.start_action_for_state(handle, state)
                message = started[1] if started else None
                while message:
                    run.record(ruleset, message)
                    message = core.complete_and_start_action(handle, state)
        finally:
            core.delete_state(handle, sid)
        run.new.discard(number)

    def _handle(self, number: int) -> int:
        """The rule set in durable-rules, made when first visited."""
        with self._making:
            if number not in self._handles:
                definition = self._sets[number].definition()
                self._handles[number] = self._core.create_ruleset("advisor", definition)
            return self._handles[number]

    def _open(self, handle: int) -> tuple[str, int]:
        """A new session in which a rule has fired, so that it can be deleted.

        A number is taken while its ``begin`` fact is refused as already there: by another
        thread, or by a session that was interrupted right here and stays behind (deleting
        it might crash).
        """
        for number in itertools.count(1):
            begin = f'{{"sid":"{number}","id":"begin","begin":1}}'
            outcome, state = self._core.assert_fact(handle, begin)
            if outcome == 0:
                break
        self._core.start_action_for_state(handle, state)
        self._core.complete_and_start_action(handle, state)
        return str(number), state


def _free(core: _Core, handles: Mapping[int, int]) -> None:
    for handle in handles.values():
        core.delete_ruleset(handle)
