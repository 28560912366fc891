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
  firing, cannot free a rule set, and takes several times as long
  (python -m tests.benchmarks.engine_speed measures it).
- Only small whole numbers reach it (:mod:`advisor.rulebase.rule_layout`): exponents, a decimal
  comma, quotes, Unicode, and text that looks like a number cannot be misread.
- Rules are dealt into small rule sets. 256 rules on one condition crash it, 65 tests met
  by one fact fail, 512 names of one kind hang.
- A visit tells a rule set all it reads of what is known as one fact, a property for each
  name, so that a rule is a test of one fact and nothing has to be matched up. A set is told
  only what some rule of it asks for, and visited only when it was told every name that some
  rule asks for: opening a session takes longer than the tests.
- Facts are never retracted. Each visit is a session of its own, in which a rule that does
  nothing fires (a session in which no rule fired crashes when it is deleted), and which is
  deleted at the end (else each leaks megabytes).

>>> rule = CompiledRule("warm", ((Test("reading", "temperature_c", ">", 28.0),),))
>>> Engine([rule]).run([Fact("reading", "temperature_c", 30)])[0].rule_id
'warm'
"""

from __future__ import annotations

import itertools
import weakref
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from json import JSONDecoder
from operator import itemgetter
from threading import Lock
from typing import NamedTuple, Protocol, cast

from advisor.rulebase.conditions import Value
from advisor.rulebase.rule_layout import (
    CompiledRule,
    EngineError,
    Fact,
    Layout,
    Readers,
    RuleSet,
    Scale,
    Test,
    limits_exceeded,
    sort_of,
    wire_name,
)

__all__ = [
    "CompiledRule",
    "Engine",
    "EngineError",
    "EngineUnavailable",
    "Fact",
    "Firing",
    "Layout",
    "Test",
    "limits_exceeded",
]


class EngineUnavailable(EngineError):
    """durable-rules is missing or does not load."""


class Firing(NamedTuple):
    """A branch that fired, by its number in the rule, with the facts that met its tests,
    in the order in which the branch first asks for them."""

    rule_id: str
    branch: int
    facts: tuple[Fact, ...]


class _Core(Protocol):
    """What is used of durable-rules' compiled module."""

    def create_ruleset(self, name: str, definition: str) -> int: ...
    def delete_ruleset(self, handle: int) -> None: ...
    def assert_fact(self, handle: int, fact: str) -> tuple[int, int]: ...
    def start_action_for_state(self, handle: int, state: int) -> tuple[str, str]: ...
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


class _Name:
    """A name that rules ask for, and which rule sets are told of a value of it."""

    def __init__(self, scale: Scale, reads: Sequence[Readers]) -> None:
        self.address = scale.address
        self._scale, self._reads = scale, reads
        self._told: dict[int, tuple[str, tuple[int, ...]]] = {}

    def told(self, value: Value) -> tuple[str, tuple[int, ...]]:
        """How durable-rules is told it, and the rule sets of which some join is met by it."""
        place = self._scale.place(value)
        if place not in self._told:  # few are ever met, so each is looked for once
            reads = (r for r in self._reads if r.lowest <= place <= r.highest)
            sets = (number for r in reads if place not in r.holes for number in r.sets)
            wire = f',"{wire_name(self.address)}":{place}'
            self._told[place] = wire, tuple(dict.fromkeys(sets))
        return self._told[place]


_Names = Mapping[tuple[str, str, str], _Name]


class _Run:
    """What is known and what has fired in one run."""

    def __init__(self, names: _Names) -> None:
        self._names = names
        self._values: dict[tuple[str, str], Value] = {}
        self._facts: dict[int, Fact] = {}  # by address
        self._fired: dict[tuple[int, int], list[Firing]] = {}  # by set and join
        self.told: dict[int, dict[int, str]] = defaultdict(dict)  # by set and address
        self.new: set[int] = set()  # sets with facts they have not seen

    def add(self, fact: Fact) -> None:
        """Keeps a fact if any rule asks for its name. Raises EngineError for a second value."""
        kind, name, value = fact
        try:
            sort = sort_of(value)
        except EngineError as error:
            raise EngineError(f"{kind} {name}: {error}") from None
        first = self._values.setdefault((kind, name), value)
        if first is not value and (first != value or sort_of(first) != sort):
            raise EngineError(f"{kind} {name}: told as {first!r} and as {value!r}; one can hold")
        asked = self._names.get((kind, name, sort))
        if asked is None or asked.address in self._facts:
            return
        self._facts[asked.address] = fact
        wire, sets = asked.told(value)
        for number in sets:
            self.told[number][asked.address] = wire
        self.new.update(sets)

    def record(self, number: int, at: int, ruleset: RuleSet) -> None:
        """Keeps that a join fired, and what it derives."""
        if (number, at) in self._fired:
            return
        join = ruleset.joins[at]
        facts = tuple(self._facts[address] for address in join.addresses)
        self._fired[number, at] = [Firing(b.rule_id, b.number, facts) for b in join.branches]
        for branch in join.branches:
            if branch.derives is not None:
                self.add(branch.derives)

    def firings(self) -> tuple[Firing, ...]:
        return tuple(sorted(itertools.chain(*self._fired.values()), key=itemgetter(0, 1)))


class Engine:
    """A rule base made ready for many runs.

    Several engines can live side by side; each frees what durable-rules holds for it when
    closed or collected. One engine may run in several threads at once; do not close it
    while it runs.
    """

    def __init__(self, rules: Iterable[CompiledRule] | Layout) -> None:
        """Raises EngineError for rules it refuses, EngineUnavailable without durable-rules."""
        layout = rules if isinstance(rules, Layout) else Layout.of(rules)
        self._layout = layout
        self._asked: dict[int, Sequence[frozenset[int]]] = {}
        self._names = {
            name: _Name(scale, layout.reads[scale.address]) for name, scale in layout.scales.items()
        }
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
        run = _Run(self._names)
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
                if any(map(run.told[number].keys().__ge__, self._asked_by(number))):
                    self._visit(number, run)

    def _asked_by(self, number: int) -> Sequence[frozenset[int]]:
        """Names that each join of a set asks for: it may fire when it was told all of them."""
        asked = self._asked.get(number)
        if asked is None:
            asked = self._asked[number] = tuple(map(frozenset, self._layout.asks[number]))
        return asked

    def _visit(self, number: int, run: _Run) -> None:
        """Runs a rule set, in a session of its own, on all it was told."""
        core, ruleset, handle = self._core, self._layout.sets[number], self._handle(number)
        sid, state = self._open(handle, "".join(run.told[number].values()))
        message: str | None = core.start_action_for_state(handle, state)[1]
        try:
            while message:  # {"number of the join": what met it}, of which the number tells all
                name, _ = _JSON.raw_decode(message, 1)
                if name != "begin":
                    run.record(number, int(name), ruleset)
                message = core.complete_and_start_action(handle, state)
        finally:
            core.delete_state(handle, sid)

    def _handle(self, number: int) -> int:
        """The rule set in durable-rules, made when first visited."""
        with self._making:
            if number not in self._handles:
                definition = self._layout.sets[number].definition
                self._handles[number] = self._core.create_ruleset("advisor", definition)
            return self._handles[number]

    def _open(self, handle: int, told: str) -> tuple[str, int]:
        """A new session that was told one fact.

        A number is taken while the fact is refused as already there: by another thread, or
        by a session that was interrupted before its first rule fired and stays behind
        (deleting it might crash).
        """
        for number in itertools.count(1):
            fact = f'{{"sid":"{number}","id":"fact","begin":1{told}}}'
            outcome, state = self._core.assert_fact(handle, fact)
            if outcome == _TAKEN:
                continue
            if outcome != _MET:
                raise EngineError(f"durable-rules dropped {fact} ({outcome})")
            return str(number), state
        raise AssertionError  # count has no end


_JSON = JSONDecoder()
#: What durable-rules answers to a fact: it met some rule, or was there already.
_MET, _TAKEN = 0, 2


def _free(core: _Core, handles: Mapping[int, int]) -> None:
    for handle in handles.values():
        core.delete_ruleset(handle)
