"""A rule base made ready to run, and what running it over one lot leaves."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from advisor.advice.facts.sheet import FactSheet
from advisor.advice.move.choose import Way, choose_way
from advisor.advice.ranking import Ranking
from advisor.advice.results import DoubtResult, FitResult
from advisor.advice.soundness import refuse_unsound
from advisor.rulebase import RuleBase, load_rulebase
from advisor.rulebase.compiled import Compiled
from advisor.rulebase.conditions import Value
from advisor.rulebase.engine import Engine, Firing


class Reasoner(NamedTuple):
    """A rule base made ready to run: compiled once, used for every case."""

    base: RuleBase
    compiled: Compiled
    engine: Engine

    @classmethod
    def of(cls, base: RuleBase) -> Reasoner:
        refuse_unsound(base)
        return cls(base, base.compiled, Engine(base.compiled.layout))

    @classmethod
    def load(cls, folder: Path | None = None) -> Reasoner:
        """Of the rules in a folder (default: the shipped rules)."""
        base = load_rulebase(folder)
        if folder is not None:  # of the shipped rules a test says so
            refuse_unsound(base)
        return cls(base, base.compiled, Engine(base.compiled.layout))


class Reasoned(NamedTuple):
    """One lot reasoned about, with everything the audit and the session need."""

    sheet: FactSheet
    facts: dict[tuple[str, str], Value]
    firings: tuple[Firing, ...]
    ranking: Ranking
    fits: tuple[FitResult, ...] = ()
    ways: tuple[Way, ...] = ()
    doubts: tuple[DoubtResult, ...] = ()
    doubted: frozenset[Firing] = frozenset()

    @property
    def way(self) -> Way | None:
        """The move chosen for these fish."""
        return choose_way(self.ways)


@lru_cache(maxsize=2)
def default_reasoner(folder: Path | None = None) -> Reasoner:
    """The reasoner of the shipped rules (or of ``folder``), made once per process."""
    return Reasoner.load(folder)
