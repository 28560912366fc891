"""A few causes and steps to choose from, where nobody types: the right ones among look-alikes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.advice.results import LotResult
from advisor.case import Case
from advisor.explain.replay.score import harmful, right_causes
from advisor.rulebase import RuleBase

#: So many of each kind stand to choose from.
MOST = 8
#: Of the expected ones and of the harmful ones not more than this, so that no kind stands out.
_OF_A_KIND = 3


def causes_to_choose(case: Case, result: LotResult, base: RuleBase) -> list[tuple[str, str]]:
    """(id, name), by name: what may stand first, and what the advisor ranks highest."""
    names = {cause.id: cause.name for cause in base.causes.values()}
    return _by_words((*right_causes(case)[:_OF_A_KIND], *(c.id for c in result.causes)), names)


def steps_to_choose(case: Case, result: LotResult, base: RuleBase) -> list[tuple[str, str]]:
    """(id, text), by text: expected, advised and harmful steps, then emergencies of any kind."""
    expected = case.expected.first_action if case.expected else ()
    texts = {action.id: action.text for action in base.actions.values()}
    wanted = (
        *expected[:_OF_A_KIND],
        *(action.id for action in result.actions[:2]),
        *harmful(case, result)[:_OF_A_KIND],
        *(action.id for action in base.actions.values() if action.emergency),
    )
    return _by_words(wanted, texts)


def _by_words(wanted: Iterable[str], words: Mapping[str, str]) -> list[tuple[str, str]]:
    known = [name for name in dict.fromkeys(wanted) if name in words][:MOST]
    return sorted(((name, words[name]) for name in known), key=lambda each: each[1])
