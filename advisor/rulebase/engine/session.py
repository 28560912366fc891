"""Sessions with durable-rules 2.0.28: the only module that touches it.

How it is used; each point stands for a crash, a hang or a wrong answer, seen or
read in its source:

- Its compiled core is called directly. The Python layer above it swallows what
  an action raises, Ctrl-C too, calls a clock function deprecated since Python
  3.12 at every firing, and cannot free a rule set.
- Only small whole numbers reach it: kinds and names become addresses, a value
  becomes its place among the values that the rules compare that name with. So
  exponents, a locale's decimal comma, quotes, Unicode, long text, and text that
  looks like a number cannot be misread.
- Facts carry ids of ours: its own are told apart by a 32-bit hash, and a clash
  drops the second fact.
- Facts are never retracted: after a firing that reads and writes outside its
  memory. Each visit to a rule set is a session of its own, opened by a fact
  whose rule does nothing (``delete_state`` crashes if no rule ever fired) and
  deleted at the end.
- Rules are dealt into rule sets too small to meet its limits: 256 rules sharing
  a condition crash it, 65 tests met by one fact fail, 512 names of one kind
  hang. Small sets are faster too, since a session clears 10 kB for every
  condition: a set is made when first visited, and visited only when everything
  that one of its rules asks for is known.

Several engines can live side by side; each frees its rule sets when closed or
collected. One engine may run in several threads at once (the core holds the
interpreter lock); do not close it while it runs.
"""

from __future__ import annotations

import itertools
import re
import weakref
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from threading import Lock
from typing import Protocol, cast

from advisor.rulebase.engine.layout import Join, Layout, Ruleset
from advisor.rulebase.engine.terms import (
    CompiledRule,
    EngineError,
    EngineUnavailable,
    Fact,
    Firing,
    Value,
    sort_of,
)

_MATCHED = re.compile(r'"c(\d+)":\{"sid":"\d+","id":"(\d+)"')


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


@cache
def _keep_freed_memory() -> None:
    """Makes sessions reuse memory instead of giving it back to the system each time.

    Having once freed a block of this size, glibc keeps what is freed later for the
    next session (mallopt(3), M_MMAP_THRESHOLD); fetching it again could take longer
    than the run. Does nothing elsewhere.
    """
    bytes(31 * 2**20)


class _Case:
    """What is known and what has fired in one run."""

    def __init__(self, layout: Layout) -> None:
        self._layout = layout
        self._seen: set[tuple[int, Value]] = set()
        self._hits: dict[Join, set[tuple[str, str]]] = {}
        self.known: set[int] = set()  # addresses
        self.facts: list[Fact] = []
        self.places: list[tuple[int, int]] = []
        self.wires: list[str] = []
        self.several = False  # whether any name holds several values
        # by rule set: the facts it wants to see, and whether any is new to it
        self.wanted: list[list[int]] = [[] for _ in layout.rulesets]
        self.new: set[int] = set()

    def add(self, fact: Fact) -> None:
        """Keeps a fact, once, if any rule asks for its name."""
        kind, name, value = fact
        try:
            scale = self._layout.scales.get((kind, name, sort_of(value)))
        except EngineError as error:
            raise EngineError(f"{kind} {name}: {error}") from None
        if scale is None or (scale.address, value) in self._seen:
            return
        self._seen.add((scale.address, value))
        self.several = self.several or scale.address in self.known
        self.known.add(scale.address)
        place, index = scale.place(value), len(self.facts)
        for number, lowest, highest in self._layout.readers[scale.address]:
            if lowest <= place <= highest:
                self.wanted[number].append(index)
                self.new.add(number)
        self.wires.append(f'"id":"{index}",{scale.wire}{place}}}')
        self.places.append((scale.address, place))
        self.facts.append(fact)

    def record(self, join: Join, message: str) -> None:
        """Keeps a firing as durable-rules reports it, and what it derives."""
        self._hits.setdefault(join, set()).update(_MATCHED.findall(message))
        for branch in join.branches:
            if branch.derives is not None:
                self.add(branch.derives)

    def firings(self) -> tuple[Firing, ...]:
        found = []
        for join, matched in self._hits.items():
            facts = sorted((int(condition), self.facts[int(index)]) for condition, index in matched)
            met = tuple(fact for _, fact in facts)
            found += [Firing(rule_id, number, met) for rule_id, number, _ in join.branches]
        return tuple(sorted(found, key=lambda firing: firing[:2]))


class Engine:
    """A rule base made ready for many runs."""

    def __init__(self, rules: Iterable[CompiledRule] | Layout) -> None:
        """Raises EngineError for rules it refuses, EngineUnavailable without durable-rules."""
        layout = rules if isinstance(rules, Layout) else Layout.of(rules)
        self._core = _load_core()
        _keep_freed_memory()
        self._layout = layout
        self._handles: dict[int, int] = {}
        self._making = Lock()
        self._free = weakref.finalize(self, _free, self._core, self._handles)

    def close(self) -> None:
        """Frees what durable-rules holds; a forgotten engine does so when collected."""
        self._free()

    def run(
        self,
        facts: Iterable[Fact],
        more: Callable[[tuple[Firing, ...]], Iterable[Fact]] | None = None,
    ) -> tuple[Firing, ...]:
        """Every branch that fires, by rule id and branch.

        facts : what is known; repeats do no harm, names no rule asks for are ignored
        more  : called once when nothing new follows, with the firings so far; the
                facts it returns are added and the rules run on

        Raises EngineError for a value that is not a finite number, text, true or
        false, and for a branch that can be met in over MAX_COMBINATIONS ways.
        """
        if not self._free.alive:
            raise EngineError("this engine is closed, make a new one")
        case = _Case(self._layout)
        for fact in facts:
            case.add(fact)
        self._settle(case)
        if more is not None:
            for fact in more(case.firings()):
                case.add(fact)
            self._settle(case)
        return case.firings()

    def _settle(self, case: _Case) -> None:
        """Visits each rule set that has something new to fire on, until nothing new follows."""
        while case.new:
            for number, ruleset in enumerate(self._layout.rulesets):
                if number in case.new:
                    case.new.discard(number)
                    if ruleset.may_fire(case.known):
                        self._visit(number, ruleset, case)

    def _visit(self, number: int, ruleset: Ruleset, case: _Case) -> None:
        """Runs a rule set, in a session of its own, on all it wants of what is known."""
        core, handle, wanted = self._core, self._handle(number, ruleset), case.wanted[number]
        sid, state = self._open(handle)
        try:
            seen = 0
            while seen < len(wanted):
                if case.several:
                    ruleset.refuse_explosion(case.places)
                batch, seen = wanted[seen:], len(wanted)
                for index in batch:
                    outcome, _ = core.assert_fact(handle, f'{{"sid":"{sid}",{case.wires[index]}')
                    if outcome > 1:  # 0 is matched, 1 matched nothing
                        raise EngineError(f"durable-rules dropped {case.facts[index]}")
                started = core.start_action_for_state(handle, state)
                message = started[1] if started else None
                while message:
                    fired = int(message[2 : message.index('"', 2)])
                    case.record(ruleset.join(fired), message)
                    message = core.complete_and_start_action(handle, state)
        finally:
            core.delete_state(handle, sid)
        case.new.discard(number)

    def _handle(self, number: int, ruleset: Ruleset) -> int:
        """The rule set in durable-rules, made when first visited."""
        with self._making:
            if number not in self._handles:
                made = self._core.create_ruleset("advisor", ruleset.definition())
                self._handles[number] = made
            return self._handles[number]

    def _open(self, handle: int) -> tuple[str, int]:
        """A new session in which a rule has fired, so that it can be deleted.

        A number is taken while its ``begin`` fact is refused as already there: by
        another thread, or by a session that was interrupted right here and stays
        behind (deleting it might crash).
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
