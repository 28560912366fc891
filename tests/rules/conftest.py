"""Deliveries made in the test, and the library of cases assessed once."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner
from advisor.advice.results import LotResult
from advisor.case import Case, load_case
from advisor.case.model import Expected
from advisor.rulebase import RuleBase

CASES = Path(__file__).parents[2] / "cases"
Judge = Callable[..., LotResult]


@pytest.fixture(scope="session")
def reasoner(base: RuleBase) -> Reasoner:
    return Reasoner.of(base)


@pytest.fixture(scope="session")
def judge(reasoner: Reasoner) -> Judge:
    """Assess one lot told in a few words; what is not told stays unknown."""

    def told(
        seen: tuple[str, ...] = (),
        not_seen: tuple[str, ...] = (),
        *,
        hours: float = 6.0,
        lot: dict[str, Any] | None = None,
        tank: dict[str, Any] | None = None,
        bag: dict[str, Any] | None = None,
        tap: dict[str, Any] | None = None,
        counts: dict[str, int] | None = None,
        receiving: dict[str, Any] | None = None,
        transit: dict[str, Any] | None = None,
        **history: str,
    ) -> LotResult:
        look = {
            "at_hours": hours,
            "lot": "a",
            "seen": seen,
            "not_seen": not_seen,
            "tank": tank or {},
            "bag": bag or {},
            "tap": tap or {},
            "counts": counts or {},
        }
        case = Case.model_validate(
            {
                "format": "arrival-case-1",
                "delivery": {"title": "told in a test", "invented": True},
                "transit": transit or {},
                "receiving": receiving or {},
                "history": history,
                "lot": [{"id": "a", **(lot or {})}],
                "observation": [look],
            }
        )
        return assess(case, reasoner).lots[0]

    return told


@pytest.fixture(scope="session")
def library(reasoner: Reasoner) -> list[tuple[str, Expected, LotResult]]:
    """Every case with an expectation: its name, what is expected, and the lot it is about."""
    found = []
    for path in sorted(CASES.glob("*/*.toml")):
        case = load_case(path)
        if case.expected is None:
            continue
        lots = assess(case, reasoner).lots
        lot = next((each for each in lots if each.lot == case.expected.lot), lots[0])
        found.append((path.stem, case.expected, lot))
    return found


def ids(result: LotResult) -> list[str]:
    """Actions shown, in order."""
    return [action.id for action in result.actions]


def standing(result: LotResult, cause: str) -> str:
    return next(str(each.standing) for each in result.causes if each.id == cause)


def decibans(result: LotResult, cause: str) -> float:
    return next(each.decibans for each in result.causes if each.id == cause)


#: Four sound readings for a warm-water community fish.
SOUND = {
    "temperature_c": {"value": 25.0, "kit": "meter"},
    "ph": {"value": 7.2, "kit": "meter"},
    "tan_mg_l": {"value": 0.0, "high": 0.1},
    "nitrite_mg_l": {"value": 0.0, "high": 0.02},
}
