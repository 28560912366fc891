"""A trainee's decision beside the advisor's, the expected one and what happened."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from advisor.advice.results import LotResult
from advisor.case import Case

Difficulty = Literal["easy", "middling", "hard"]
#: Bounds of difficulty, in decibans between the first two causes and in look-alikes. Judgement.
_CLEAR, _CLOSE = 10.0, 4.0
_FEW, _MANY = 1, 4


@dataclass(frozen=True)
class Decision:
    """What the trainee commits to: causes in order, a first action, what must not be done."""

    causes: tuple[str, ...] = ()
    action: str = ""
    never: tuple[str, ...] = ()


@dataclass(frozen=True)
class Score:
    """How a decision compares. None = nothing to compare with.

    first, in_three : the cause, against the expectation, or what was confirmed
    action          : the first action is an expected one
    harm_avoided    : the first action is none that must not be done; None without a first action
    named, of       : things not to be done that were named, of those there were
    wrongly         : steps called harmful that are expected or advised
    """

    first: bool | None
    in_three: bool | None
    action: bool | None
    harm_avoided: bool | None
    named: tuple[str, ...]
    of: int
    wrongly: tuple[str, ...]
    asked: int
    seconds: float


def right_causes(case: Case) -> tuple[str, ...]:
    """Causes that may stand first: what was expected, and what was confirmed."""
    expected = case.expected.first_cause if case.expected else ()
    return tuple(dict.fromkeys((*expected, *case.outcome.confirmed_causes)))


def right_actions(case: Case, result: LotResult) -> tuple[str, ...]:
    """What may be done first: what was expected, else what the rules put first."""
    expected = case.expected.first_action if case.expected else ()
    return expected or tuple(action.id for action in result.actions[:1])


def harmful(case: Case, result: LotResult) -> tuple[str, ...]:
    """Actions that must not be done here: named by the expectation or forbidden by the rules.

    What the person expected as the first step is never among them.
    """
    never = case.expected.never if case.expected else ()
    barred = (held.action for held in result.withheld if held.by == "forbidden")
    right = case.expected.first_action if case.expected else ()
    return tuple(name for name in dict.fromkeys((*never, *barred)) if name not in right)


def score(
    decision: Decision, case: Case, result: LotResult, *, asked: int, seconds: float
) -> Score:
    """Compare a decision with what the case and the advisor say."""
    right, harm = right_causes(case), harmful(case, result)
    three = case.expected.in_first_three if case.expected else ()
    actions = case.expected.first_action if case.expected else ()
    wanted = (*actions, *(action.id for action in result.actions))
    return Score(
        first=_hit(decision.causes[:1], right),
        in_three=_hit(decision.causes[:3], (*three, *right)),
        action=_hit((decision.action,), actions),
        harm_avoided=decision.action not in harm if decision.action else None,
        named=tuple(name for name in decision.never if name in harm),
        of=len(harm),
        wrongly=tuple(name for name in decision.never if name in wanted),
        asked=asked,
        seconds=seconds,
    )


def _hit(said: Iterable[str], right: tuple[str, ...]) -> bool | None:
    return bool(set(said) & set(right)) if right else None


def difficulty(result: LotResult) -> Difficulty:
    """From the margin of the first cause and the number of causes that look alike.

    Look-alikes stand at least at "possible" and less than 10 decibans below the first.
    """
    first, *others = result.causes
    margin = first.decibans - others[0].decibans if others else _CLEAR
    alike = [
        cause
        for cause in others
        if cause.standing != "unlikely" and first.decibans - cause.decibans < _CLEAR
    ]
    if result.not_enough or margin < _CLOSE or len(alike) >= _MANY:
        return "hard"
    return "easy" if margin >= _CLEAR and len(alike) <= _FEW else "middling"
