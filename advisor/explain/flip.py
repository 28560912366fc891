"""What would change the advice: single answers changed, each run by the engine."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations, zip_longest
from typing import Any, Literal, NamedTuple

from advisor.advice.assess import plan_of, reason, reason_others
from advisor.advice.reasoner import Reasoned
from advisor.advice.results import CauseResult, Result, RuleBaseMark
from advisor.case import Case
from advisor.errors import AdvisorError
from advisor.explain.candidates import Number, OtherAnswer, choices, numbers
from advisor.explain.change import Change, Scope, changed_case
from advisor.explain.study import Study
from advisor.version import PROGRAM

FORMAT: Literal["advisor-flip-2"] = "advisor-flip-2"
Progress = Callable[[int, int], None]
#: Answers tried in pairs: those that move the leading causes most.
MOST_IN_PAIRS = 18
_WORDS = {True: "yes", False: "no", None: "not known"}


class Answer(Result):
    """One answer changed. ``open``: it is not known yet, so it may still turn out so.

    key : as ``--what-if`` takes it
    """

    key: str
    label: str
    was: str
    becomes: str
    open: bool


class Flip(Result):
    """The fewest changed answers that change the first cause or the first action.

    Each (before, after); None where it stays.
    """

    answers: tuple[Answer, ...]
    first_cause: tuple[str, str] | None
    first_action: tuple[str, str] | None


class Edge(Result):
    """Where a number changes the advice, and to what. ``at`` is the first value that does."""

    at: float
    first_cause: str
    first_action: str


class Holds(Result):
    """The span of one number within which first cause and first action stay.

    now         : what it is; None for a reading not taken
    low, high   : the span; the end of the plausible range where there is no edge
    within_band : an edge lies inside the reading's own band: the kit cannot tell
    """

    name: str
    label: str
    unit: str
    now: float | None
    low: float
    high: float
    low_edge: Edge | None
    high_edge: Edge | None
    within_band: bool


class Firmness(Result):
    """What the first cause and the first action of a lot stand and fall with.

    margin : decibans between the first cause and the second
    pairs  : asked only for what no single answer changes
    ran    : changed cases that were run
    """

    format: Literal["advisor-flip-2"] = FORMAT
    program: str
    rulebase: RuleBaseMark
    lot: str
    first_cause: str
    first_action: str
    second_cause: str
    margin: float
    holds: tuple[Holds, ...]
    singles: tuple[Flip, ...]
    pairs: tuple[Flip, ...]
    ran: int


#: Standings at which a cause is more than one among others.
_STANDS_OUT = ("likely", "very_likely")


class AdviceHead(NamedTuple):
    """What the advice begins with, and decibans by cause."""

    first_cause: str
    first_action: str
    balance: dict[str, float]

    def same(self, other: AdviceHead) -> bool:
        return self[:2] == other[:2]


def flip(study: Study, progress: Progress | None = None) -> Firmness:
    """What the first cause and first action stand and fall with.

    progress : called with (done, of how many)
    """
    return _Search(study, progress or (lambda done, of: None)).firmness()


@dataclass
class _Search:
    study: Study
    progress: Progress
    ran: int = 0
    moves: dict[str, tuple[float, OtherAnswer]] = field(default_factory=dict)

    def firmness(self) -> Firmness:
        words, figures = list(choices(self.study)), list(numbers(self.study))
        steps, done = len(words) + len(figures), 0
        singles: list[Flip] = []
        holds: list[Holds] = []
        for choice in words:
            singles += self._single(choice)
            self.progress(done := done + 1, steps)
        for number in figures:
            holds += self._span(number)
            self.progress(done := done + 1, steps)
        pairs = tuple(self._pairs(singles, holds))
        result, base = self.study.result, self.study.base
        first, second = result.causes[0], result.causes[1]
        return Firmness(
            program=PROGRAM,
            rulebase=RuleBaseMark(version=base.version, fingerprint=base.fingerprint),
            lot=result.lot,
            first_cause=first.id,
            first_action=self.now.first_action,
            second_cause=second.id,
            margin=round(first.decibans - second.decibans, 6),
            holds=tuple(holds),
            singles=tuple(sorted(singles, key=_plausible_first)),
            pairs=pairs,
            ran=self.ran,
        )

    # -- running ----------------------------------------------------------

    @cached_property
    def now(self) -> AdviceHead:
        """The outcome as things stand."""
        result = self.study.result
        balance = {cause.id: cause.decibans for cause in result.causes}
        first_action = result.actions[0].id if result.actions else ""
        return AdviceHead(self._leading(result.causes), first_action, balance)

    def _leading(self, causes: Sequence[CauseResult]) -> str:
        """The first cause; none where one stood out and now none is more than possible."""
        stood_out = self.study.result.causes[0].standing in _STANDS_OUT
        return "" if stood_out and causes[0].standing not in _STANDS_OUT else causes[0].id

    def _run(self, *changes: Change) -> AdviceHead | None:
        """The outcome of other answers; None where no case, or no water, can hold them."""
        study = self.study
        self.ran += 1
        try:
            case = changed_case(study, changes)
            lot = Scope(study.lot, study.until_hours).lot_in(case)
            others = self._others if self._leaves_others(case, changes) else None
            reasoned = reason(case, lot, study.reasoner, study.until_hours, others)
        except AdvisorError:
            return None
        actions = plan_of(reasoned, study.reasoner).actions
        causes = reasoned.ranking.causes
        balance = {cause.id: cause.decibans for cause in causes}
        return AdviceHead(self._leading(causes), actions[0].id if actions else "", balance)

    @cached_property
    def _others(self) -> list[Reasoned]:
        """The lots that this one hears of, as things stand."""
        study = self.study
        return reason_others(study.case, study.lot, study.reasoner, study.until_hours)

    def _leaves_others(self, case: Case, changes: Sequence[Change]) -> bool:
        """Only signs are changed, and only in looks at this lot alone: the others stay."""
        return all(change.key.startswith("sign:") for change in changes) and all(
            look.lot == self.study.lot.id or look == before
            for look, before in zip_longest(case.observation, self.study.case.observation)
            if look is not None
        )

    def _flip(self, outcome: AdviceHead, *chosen: OtherAnswer) -> Flip:
        pairs = (
            (self.now.first_cause, outcome.first_cause),
            (self.now.first_action, outcome.first_action),
        )
        cause, action = (pair if pair[0] != pair[1] else None for pair in pairs)
        answers = tuple(_answer(each) for each in chosen)
        return Flip(answers=answers, first_cause=cause, first_action=action)

    # -- answers in words -------------------------------------------------

    def _single(self, choice: OtherAnswer) -> Iterator[Flip]:
        outcome = self._run(choice.change)
        if outcome is None:
            return
        if not outcome.same(self.now):
            yield self._flip(outcome, choice)
        elif outcome.balance != self.now.balance:
            pull = self._lead(self.now) - self._lead(outcome)
            kept = self.moves.get(choice.change.key)
            if kept is None or pull > kept[0]:
                self.moves[choice.change.key] = pull, choice

    def _lead(self, outcome: AdviceHead) -> float:
        """By how much the cause that leads now stands before the next one."""
        others = (d for c, d in outcome.balance.items() if c != self.now.first_cause)
        return outcome.balance[self.now.first_cause] - max(others)

    def _pairs(self, singles: Sequence[Flip], holds: Sequence[Holds]) -> Iterator[Flip]:
        """Two answers together, for what no single answer changes."""
        now = self.now
        edges = [e for h in holds for e in (h.low_edge, h.high_edge) if e is not None]
        cause_moves = any(f.first_cause for f in singles) or any(
            e.first_cause != now.first_cause for e in edges
        )
        action_moves = any(f.first_action for f in singles) or any(
            e.first_action != now.first_action for e in edges
        )
        if cause_moves and action_moves:
            return
        ranked = sorted(self.moves.values(), key=lambda pair: (-pair[0], pair[1].change.key))
        tried = list(combinations([choice for _, choice in ranked[:MOST_IN_PAIRS]], 2))
        for done, (one, two) in enumerate(tried, 1):
            outcome = self._run(one.change, two.change)
            if outcome is not None and (
                (not cause_moves and outcome.first_cause != now.first_cause)
                or (not action_moves and outcome.first_action != now.first_action)
            ):
                yield self._flip(outcome, one, two)
            self.progress(done, len(tried))

    # -- numbers ----------------------------------------------------------

    def _span(self, number: Number) -> Iterator[Holds]:
        """The span of a number that leaves the advice as it is; nothing where all of it does."""
        now = number.now
        start = now if now is not None else self._neutral(number)
        if start is None:
            return
        down = [s for s in reversed(number.steps) if s < start]
        up = [s for s in number.steps if s > start]
        low, low_edge = self._walk(number, start, down, number.low)
        high, high_edge = self._walk(number, start, up, number.high)
        if low_edge is None and high_edge is None and now is None:
            return
        band = number.band or (start, start)
        inside = [e for e in (low_edge, high_edge) if e and band[0] <= e.at <= band[1]]
        yield Holds(
            name=number.key,
            label=number.label,
            unit=number.unit,
            now=now,
            low=low,
            high=high,
            low_edge=low_edge,
            high_edge=high_edge,
            within_band=bool(inside) and now is not None,
        )

    def _neutral(self, number: Number) -> float | None:
        """A value of a reading not taken that would change nothing; None when all would."""
        for value in number.steps:
            if self._differs(number, value) is None:
                return value
        return None

    def _differs(self, number: Number, value: float) -> AdviceHead | None:
        """The outcome at a value, where it is another; a value that cannot be changes nothing."""
        outcome = self._run(number.change(value))
        return None if outcome is None or outcome.same(self.now) else outcome

    def _walk(
        self, number: Number, start: float, values: list[float], end: float
    ) -> tuple[float, Edge | None]:
        """Out from ``start`` to the first value that changes the advice, closed in on."""
        same = start
        for value in values:
            outcome = self._differs(number, value)
            if outcome is None:
                same = value
                continue
            differs = value
            while abs(differs - same) > max(number.grain, abs(same) * 0.01):
                middle = (same + differs) / 2
                tried = self._differs(number, middle)
                if tried is None:
                    same = middle
                else:
                    differs, outcome = middle, tried
            cause, action, _ = outcome
            return same, Edge(at=differs, first_cause=cause, first_action=action)
        return end, None


def _answer(choice: OtherAnswer) -> Answer:
    return Answer(
        key=choice.change.key,
        label=choice.label,
        was=_word(choice.was),
        becomes=_word(choice.change.value),
        open=choice.was is None,
    )


def _word(value: Any) -> str:
    return value.replace("_", " ") if isinstance(value, str) else _WORDS[value]


def _plausible_first(flip: Flip) -> tuple[bool, bool, str]:
    """Answers still open first, then those that would be otherwise, then those taken away."""
    answer = flip.answers[0]
    return not answer.open, answer.becomes == _WORDS[None], answer.key
