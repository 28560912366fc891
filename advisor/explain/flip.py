"""What would change the advice: the smallest changes of answers, each run for real."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations
from typing import Any

from advisor.advice.results import RuleBaseMark
from advisor.errors import AdvisorError
from advisor.explain.candidates import Choice, Number, choices, numbers
from advisor.explain.firmness import Answer, Edge, Firmness, Flip, Holds
from advisor.explain.outcome import Outcome, Runs
from advisor.explain.study import Study
from advisor.explain.what_if import Change
from advisor.version import PROGRAM

Progress = Callable[[int, int], None]
#: Answers tried in pairs: those that move the leading causes most.
MOST_IN_PAIRS = 18
_WORDS = {True: "yes", False: "no", None: "not known"}


def flip(study: Study, progress: Progress | None = None) -> Firmness:
    """What the first cause and first action stand and fall with.

    progress : called with (done, of how many)
    """
    search = _Search(study, Runs(study), progress or (lambda done, of: None))
    return search.firmness()


@dataclass
class _Search:
    study: Study
    runs: Runs
    progress: Progress
    disagreed: int = 0
    moves: dict[str, tuple[float, Choice]] = field(default_factory=dict)

    def firmness(self) -> Firmness:
        words, figures = list(choices(self.study)), list(numbers(self.study))
        steps, done = len(words) + len(figures), 0
        singles: list[Flip] = []
        holds: list[Holds] = []
        for choice in words:
            singles += self._single(choice)
            self.progress(done := done + 1, steps)
        for number in figures:
            span = self._span(number)
            if span is not None:
                holds.append(span)
            self.progress(done := done + 1, steps)
        singles.sort(key=_plausible_first)
        pairs = list(self._pairs(singles, holds))
        result, base = self.study.result, self.study.base
        first, second = result.causes[0], result.causes[1]
        return Firmness(
            program=PROGRAM,
            rulebase=RuleBaseMark(version=base.version, fingerprint=base.fingerprint),
            lot=result.lot,
            first_cause=first.id,
            first_action=self.runs.now.first_action,
            second_cause=second.id,
            margin=round(first.decibans - second.decibans, 6),
            holds=tuple(holds),
            singles=tuple(singles),
            pairs=tuple(pairs),
            foreseen=self.runs.foreseen,
            ran=self.runs.ran,
            disagreed=self.disagreed,
        )

    # -- running ----------------------------------------------------------

    def _confirmed(self, expected: Outcome, *changes: Change) -> bool:
        """A real run on the changed case gives what was foreseen."""
        agrees = self.runs.run(changes) == expected
        self.disagreed += not agrees
        return agrees

    def _flip(self, outcome: Outcome, *chosen: Choice) -> Flip:
        now = self.runs.now
        cause = (now.first_cause, outcome.first_cause)
        action = (now.first_action, outcome.first_action)
        return Flip(
            answers=tuple(_answer(each) for each in chosen),
            first_cause=cause if cause[0] != cause[1] else None,
            first_action=action if action[0] != action[1] else None,
            verified=self._confirmed(outcome, *(each.change for each in chosen)),
        )

    # -- answers in words -------------------------------------------------

    def _single(self, choice: Choice) -> Iterator[Flip]:
        outcome = self.runs.foresee((choice.change,))
        if outcome != self.runs.now:
            yield self._flip(outcome, choice)
        elif self.runs.balances != self._balances_now:
            self.moves[choice.change.key] = self._pull(choice), choice

    @cached_property
    def _balances_now(self) -> dict[str, float]:
        return {cause.id: cause.decibans for cause in self.study.result.causes}

    def _pull(self, choice: Choice) -> float:
        """How far the answer moves the leading cause against the others."""
        before, after = self._balances_now, self.runs.balances
        lead = self.runs.now.first_cause
        gap = max(d for c, d in before.items() if c != lead) - before[lead]
        new_gap = max(d for c, d in after.items() if c != lead) - after[lead]
        kept = self.moves.get(choice.change.key)
        return max(new_gap - gap, kept[0] if kept else new_gap - gap)

    def _pairs(self, singles: list[Flip], holds: list[Holds]) -> Iterator[Flip]:
        """Two answers together, for what no single answer changes."""
        edges = [e for h in holds for e in (h.low_edge, h.high_edge) if e is not None]
        now = self.runs.now
        cause_moves = any(f.first_cause for f in singles) or any(
            e.first_cause != now.first_cause for e in edges
        )
        action_moves = any(f.first_action for f in singles) or any(
            e.first_action != now.first_action for e in edges
        )
        if cause_moves and action_moves:
            return
        ranked = sorted(self.moves.values(), key=lambda pair: (-pair[0], pair[1].change.key))
        kept = [choice for _, choice in ranked[:MOST_IN_PAIRS]]
        tried = list(combinations(kept, 2))
        for done, (one, two) in enumerate(tried, 1):
            outcome = self.runs.foresee((one.change, two.change))
            if (not cause_moves and outcome.first_cause != now.first_cause) or (
                not action_moves and outcome.first_action != now.first_action
            ):
                yield self._flip(outcome, one, two)
            self.progress(done, len(tried))

    # -- numbers ----------------------------------------------------------

    def _span(self, number: Number) -> Holds | None:
        """The span of a number that leaves the advice as it is; None where nothing moves it."""
        now = number.now
        start = now if now is not None else self._neutral(number)
        if start is None:
            return None
        down = [s for s in reversed(number.steps) if s < start]
        up = [s for s in number.steps if s > start]
        low, low_edge = self._walk(number, start, down, number.low)
        high, high_edge = self._walk(number, start, up, number.high)
        if low_edge is None and high_edge is None and now is None:
            return None
        band = number.band or (start, start)
        inside = [e for e in (low_edge, high_edge) if e and band[0] <= e.at <= band[1]]
        return Holds(
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
            if self._at(number, value) == self.runs.now:
                return value
        return None

    def _at(self, number: Number, value: float) -> Outcome:
        try:
            return self.runs.foresee((number.change(value),))
        except AdvisorError:
            return self.runs.now  # a value the chemistry cannot hold is no change of advice

    def _walk(
        self, number: Number, start: float, values: list[float], end: float
    ) -> tuple[float, Edge | None]:
        """Out from ``start`` to the first value that changes the advice, closed in on."""
        same = start
        for value in values:
            outcome = self._at(number, value)
            if outcome == self.runs.now:
                same = value
                continue
            differs = value
            while abs(differs - same) > max(number.grain, abs(same) * 0.01):
                middle = (same + differs) / 2
                tried = self._at(number, middle)
                if tried == self.runs.now:
                    same = middle
                else:
                    differs, outcome = middle, tried
            edge = Edge(
                at=round(differs, 6),
                first_cause=outcome.first_cause,
                first_action=outcome.first_action,
                verified=self._confirmed(outcome, number.change(differs))
                and self._confirmed(self.runs.now, number.change(same)),
            )
            return round(same, 6), edge
        return end, None


def _answer(choice: Choice) -> Answer:
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
