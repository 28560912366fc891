"""A trainee's decision beside the advisor's, the expected one and what happened."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from advisor.advice.results import LotResult
from advisor.case import Case
from advisor.rulebase import RuleBase

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

    What the person expected as the first step is never among them, nor what is only of no
    use here: a step that another one covers does no harm.
    """
    never = case.expected.never if case.expected else ()
    barred = (h.action for h in result.withheld if h.by == "forbidden" and not h.moot)
    right = case.expected.first_action if case.expected else ()
    return tuple(name for name in dict.fromkeys((*never, *barred)) if name not in right)


def alike(steps: Iterable[str], base: RuleBase) -> tuple[str, ...]:
    """Steps by the one they are a wording of, as a check of cases compares them."""
    return tuple(
        (base.actions[name].variant_of or name) if name in base.actions else name for name in steps
    )


def score(
    decision: Decision,
    case: Case,
    result: LotResult,
    base: RuleBase,
    *,
    asked: int,
    seconds: float,
) -> Score:
    """Compare a decision with what the case and the advisor say.

    A step is right in the wording of any place: out of the bag into a tub, or into the tank.
    """
    right, harm = right_causes(case), harmful(case, result)
    three = case.expected.in_first_three if case.expected else ()
    actions = alike(case.expected.first_action if case.expected else (), base)
    wanted = (*actions, *alike((action.id for action in result.actions), base))
    return Score(
        first=_hit(decision.causes[:1], right),
        in_three=_hit(decision.causes[:3], (*three, *right)),
        action=_hit(alike((decision.action,), base), actions),
        harm_avoided=decision.action not in harm if decision.action else None,
        named=tuple(name for name in decision.never if name in harm),
        of=len(harm),
        wrongly=tuple(
            name
            for name in decision.never
            if name not in harm and alike((name,), base)[0] in wanted
        ),
        asked=asked,
        seconds=seconds,
    )


def named_steps(case: Case, result: LotResult, base: RuleBase) -> tuple[tuple[str, ...], int]:
    """The one or two expected steps that fit best here, and how many more are accepted.

    First what the advisor gives too, in its order and its wording for where the fish are;
    else what was expected and is not held back as of no use here.
    """
    expected = case.expected.first_action if case.expected else ()
    kin = set(alike(expected, base))
    given = [a.id for a in result.actions if alike((a.id,), base)[0] in kin]
    idle = {held.action for held in result.withheld if held.moot}
    best = (given or [name for name in expected if name not in idle] or list(expected))[:2]
    return tuple(best), len(kin - set(alike(best, base)))


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
