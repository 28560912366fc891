"""One case against its ``[expected]``, and what a set of cases comes to.

A question that the expectation leaves open counts neither way. Starting odds
alone, the causes in the order of their prior on that day, are judged beside
the advisor in the same run, so that a share can be read against something.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from advisor.advice.assess import lots_heard, measure_next, reason, steps_of
from advisor.advice.facts.forecast import foresee_lots
from advisor.advice.facts.vocabulary import check_vocabulary
from advisor.advice.reasoner import Reasoned, Reasoner
from advisor.advice.results import CauseResult, LotResult, Measure
from advisor.case import Case, Lot, load_case
from advisor.case.model import Expected
from advisor.errors import AdvisorError
from advisor.explain.replay.archive import judged_lot
from advisor.rulebase import RuleBase
from advisor.rulebase.entries import Action

#: What is judged, in the order of the table.
ASKED = ("first_cause", "in_first_three", "first_action", "never", "measure_next")
SETS = ("published", "field", "constructed")
#: Causes and actions kept of a result; enough for any list of failures.
_KEPT = 4
#: Failures a table keeps, however many there are.
MOST_KEPT = 1000


@dataclass(frozen=True)
class Judged:
    """How one case came out.

    met   : question -> whether the expectation was met; questions left open are missing
    odds  : the same for starting odds alone (causes only)
    given : actions advised although they must not be
    fault : why the case could not be assessed, else empty
    """

    path: str
    kind: str = ""
    after_arrival: bool = True
    lot: str = ""
    causes: tuple[str, ...] = ()
    decibans: tuple[float, ...] = ()
    standing: str = ""
    not_enough: bool = False
    actions: tuple[str, ...] = ()
    measure: tuple[str, ...] = ()
    given: tuple[str, ...] = ()
    met: dict[str, bool] = field(default_factory=dict)
    odds: dict[str, bool] = field(default_factory=dict)
    wanted: dict[str, tuple[str, ...]] = field(default_factory=dict)
    fault: str = ""

    @property
    def failed(self) -> tuple[str, ...]:
        """Questions whose expectation was not met."""
        return tuple(name for name in ASKED if self.met.get(name) is False)

    def got(self, name: str) -> tuple[str, ...]:
        """What the advisor said to a question."""
        if name == "never":
            return self.given
        if name == "measure_next":
            return self.measure
        return self.actions[:1] if name == "first_action" else self.causes[: _first(name)]


def _first(name: str) -> int:
    return 1 if name == "first_cause" else 3


class CaseOutcome(NamedTuple):
    """What of a lot's result an expectation speaks of; a check needs no texts."""

    lot: str
    phase: str
    causes: tuple[CauseResult, ...]
    actions: tuple[Action, ...]
    not_enough: bool
    measure_next: tuple[Measure, ...] = ()


def outcome(reasoned: Reasoned, reasoner: Reasoner, *, measure: bool) -> CaseOutcome:
    """Causes and actions; what to measure next, the dearest to find, only when asked for."""
    sheet, ranking, steps = reasoned.sheet, reasoned.ranking, steps_of(reasoned, reasoner)
    next_ = measure_next(reasoned, reasoner, [a.id for a in steps]) if measure else ()
    return CaseOutcome(
        sheet.lot.id, sheet.phase, ranking.causes, steps, ranking.not_enough, tuple(next_)
    )


def judge_all(paths: Sequence[str], reasoners: tuple[Reasoner, ...]) -> Iterator[Judged]:
    """Every case read, assessed and judged, their bags simulated together.

    A fault of a file becomes part of its result.

    In the form that ``advisor.explain.replay.crowd`` takes.
    """
    reasoner = reasoners[0]
    read = [_read(path, reasoner.base) for path in paths]
    foresee_lots(
        (
            (case, each)
            for case, lot in (found for found in read if not isinstance(found, str))
            for each in (lot, *lots_heard(case, lot, reasoner.base))
        ),
        reasoner.base,
        math.inf,
    )
    for path, found in zip(paths, read, strict=True):
        if isinstance(found, str):
            yield Judged(path, fault=found)
            continue
        case, lot = found
        asks = case.expected is not None and bool(case.expected.measure_next)
        reasoned = reason(case, lot, reasoner)
        yield judge(case, outcome(reasoned, reasoner, measure=asks), reasoner.base, path)


def _read(path: str, base: RuleBase) -> tuple[Case, Lot] | str:
    """A case and the lot it is judged by, or the fault of its file."""
    try:
        case = load_case(path)
        check_vocabulary(case, base, path)
        return case, judged_lot(case)
    except AdvisorError as fault:
        return str(fault).split("\n", 1)[0]


def judge(case: Case, result: CaseOutcome | LotResult, base: RuleBase, path: str = "") -> Judged:
    """What a result is worth against the case's expectation."""
    expected = case.expected
    causes = tuple(cause.id for cause in result.causes)
    # an expectation names the step; its wording for another place is the same step
    actions = tuple(base.actions[a.id].variant_of or a.id for a in result.actions)
    measure = tuple(reading.name for reading in result.measure_next)
    first = result.causes[0] if result.causes else None
    given = tuple(a for a in actions if expected and a in expected.never)
    met = {} if expected is None else met_by(expected, causes, actions, measure)
    odds = {} if expected is None else met_by(expected, by_odds(base, result.phase))
    return Judged(
        path=path,
        kind=expected.kind if expected else "",
        after_arrival=expected.after_arrival if expected else True,
        lot=result.lot,
        causes=causes[:_KEPT],
        decibans=tuple(cause.decibans for cause in result.causes[:_KEPT]),
        standing=first.standing if first else "",
        not_enough=result.not_enough,
        actions=actions[:_KEPT],
        measure=measure,
        given=given,
        met=met,
        odds=odds,
        wanted={name: getattr(expected, name) for name in met},
    )


def by_odds(base: RuleBase, phase: str) -> tuple[str, ...]:
    """Causes by their starting odds alone on a day, likeliest first."""
    prior = {cause.id: cause.prior[phase] for cause in base.causes.values()}  # type: ignore[index]
    return tuple(sorted(prior, key=lambda name: (-prior[name], name)))


def met_by(
    expected: Expected,
    causes: Sequence[str],
    actions: Sequence[str] | None = None,
    measure: Sequence[str] | None = None,
) -> dict[str, bool]:
    """Question -> met, for those the expectation speaks of. None = not answered at all."""
    met: dict[str, bool] = {}
    if expected.first_cause:
        met["first_cause"] = bool(causes) and causes[0] in expected.first_cause
    if expected.in_first_three:
        met["in_first_three"] = bool(set(causes[:3]) & set(expected.in_first_three))
    if actions is not None:
        if expected.first_action:
            met["first_action"] = bool(actions) and actions[0] in expected.first_action
        if expected.never:
            met["never"] = not set(actions) & set(expected.never)
    if measure is not None and expected.measure_next:
        met["measure_next"] = bool(set(measure) & set(expected.measure_next))
    return met


@dataclass
class Count:
    """Met of asked."""

    met: int = 0
    asked: int = 0

    def add(self, met: bool) -> None:
        self.met += met
        self.asked += 1

    @property
    def share(self) -> float | None:
        return self.met / self.asked if self.asked else None


@dataclass
class TableRow:
    """One set of cases in the table."""

    name: str
    cases: int = 0
    advisor: dict[str, Count] = field(default_factory=lambda: {n: Count() for n in ASKED})
    odds: dict[str, Count] = field(default_factory=lambda: {n: Count() for n in ASKED})

    def add(self, judged: Judged) -> None:
        self.cases += 1
        for counts, met in ((self.advisor, judged.met), (self.odds, judged.odds)):
            for name, value in met.items():
                counts[name].add(value)


@dataclass
class CheckTable:
    """Counts by set, and the first cases that failed; holds nothing of the others.

    failed, unread : how many there were; of each the first ``MOST_KEPT`` are kept
    silent         : assessed, nothing expected of them
    """

    rows: dict[str, TableRow] = field(default_factory=dict)
    failures: list[Judged] = field(default_factory=list)
    unreadable: list[Judged] = field(default_factory=list)
    failed: int = 0
    unread: int = 0
    silent: int = 0

    @classmethod
    def of(cls, judged: Iterable[Judged]) -> CheckTable:
        table = cls()
        for each in judged:
            table.add(each)
        return table

    def add(self, judged: Judged) -> None:
        """Count one case in."""
        if judged.fault:
            self.unread += 1
            if len(self.unreadable) < MOST_KEPT:
                self.unreadable.append(judged)
        elif not judged.kind:
            self.silent += 1
        else:
            late = "" if judged.after_arrival else ", not new arrivals"
            for name in (f"{judged.kind}{late}", "all"):
                self.rows.setdefault(name, TableRow(name)).add(judged)
            self.failed += bool(judged.failed)
            if judged.failed and len(self.failures) < MOST_KEPT:
                self.failures.append(judged)

    @property
    def ordered(self) -> list[TableRow]:
        """Rows by set, late ones beside their set, all of them last."""
        names = [f"{s}{late}" for s in SETS for late in ("", ", not new arrivals")]
        return [self.rows[name] for name in (*names, "all") if name in self.rows]

    @property
    def done(self) -> int:
        """Cases counted in, whatever became of them."""
        return self.unread + self.silent + (self.rows["all"].cases if self.rows else 0)

    @property
    def holds(self) -> bool:
        """True when every case could be read and met its expectation."""
        return not self.failed and not self.unread


# -- today's exceptions: expectations known not to be met, each with its reason ----

#: Case ("field/name.toml") -> the questions it is known to miss.
Exceptions = Mapping[str, frozenset[str]]


def read_exceptions(path: Path) -> Exceptions:
    """The list kept in a TOML file of ``[[exception]] case, fails, because``.

    Raises AdvisorError when it cannot be read, names a question that is none, or gives
    no reason.
    """
    try:
        entries = tomllib.loads(path.read_text(encoding="utf-8")).get("exception", [])
    except OSError as error:
        raise AdvisorError(f"{path}: cannot be read ({error.strerror})") from None
    except ValueError as error:
        raise AdvisorError(f"{path}: is no TOML file in UTF-8 ({error})") from None
    found: dict[str, frozenset[str]] = {}
    for at, entry in enumerate(entries, 1):
        where, fails = f"{path}, exception {at}", entry.get("fails", [])
        for key in ("case", "fails", "because"):
            if not entry.get(key):
                raise AdvisorError(f"{where}: {key} is missing; give case, fails and because")
        unknown = sorted(set(fails) - set(ASKED))
        if unknown:
            raise AdvisorError(f'{where}: fails: "{unknown[0]}" is none of {", ".join(ASKED)}')
        found[entry["case"]] = frozenset(fails)
    return found


@dataclass
class Unlisted:
    """Where cases came out other than a list of exceptions says; each "case: question".

    A check that always fails tells nothing, and one that passes whatever happens tells
    less. Held against the list it fails on any change either way.
    """

    known: Exceptions
    missed: list[str] = field(default_factory=list)
    met_again: list[str] = field(default_factory=list)

    def add(self, judged: Judged) -> None:
        """One case; an exception of a case never added is left alone."""
        name = short_name(judged.path)
        listed = self.known.get(name, frozenset())
        for question in ASKED:
            if question in judged.failed and question not in listed:
                self.missed.append(f"{name}: {question}")
            elif question in listed and question not in judged.failed:
                self.met_again.append(f"{name}: {question}")


def short_name(path: str) -> str:
    """A case's folder and file name, the same wherever the archive lies."""
    return "/".join(Path(path).parts[-2:])
