"""Safety over random deliveries; a sample here, any number with tests.replay.safety."""

from __future__ import annotations

import math
import random

import pytest

from advisor.advice.assess import lot_result, reason
from advisor.advice.reasoner import Reasoner
from advisor.case import load_case
from advisor.explain.replay.archive import judged_lot
from tests.replay.conftest import BURNED
from tests.replay.deliveries import delivery
from tests.replay.safety import _actions, _numbers, dose_faults, faults, unbounded

DRAWS = 150


@pytest.mark.parametrize(
    "block", [0, *(pytest.param(each, marks=pytest.mark.slow) for each in (1, 2))]
)
def test_nothing_harmful_is_shown(block: int, reasoner: Reasoner) -> None:
    found = []
    for number in range(block * DRAWS // 3, (block + 1) * DRAWS // 3):
        case = delivery(random.Random(f"ci/{number}"), reasoner.base)
        found += [f"draw ci/{number}: {fault}" for fault in faults(case, reasoner)]
    assert not found, "\n".join(found)


def test_deliveries_differ_and_come_again(reasoner: Reasoner) -> None:
    cases = [delivery(random.Random(seed), reasoner.base) for seed in (1, 1, 2)]
    assert cases[0] == cases[1] != cases[2]


@pytest.mark.parametrize("by", ["forbidden", "requires"])
def test_a_shown_action_that_is_barred_would_be_found(by: str, reasoner: Reasoner) -> None:
    """The check itself: what was held back is shown by hand, and it must speak up."""
    for number in range(200):
        case = delivery(random.Random(f"held/{number}"), reasoner.base)
        reasoned = reason(case, judged_lot(case), reasoner)
        result = lot_result(reasoned, reasoner)
        held = [each.action for each in result.withheld if each.by == by]
        if held and result.actions:
            break
    assert not list(_actions(reasoned, result, reasoner))
    barred = result.actions[0].model_copy(update={"id": held[0]})
    shown = result.model_copy(update={"actions": (*result.actions, barred)})
    found = list(_actions(reasoned, shown, reasoner))
    assert any(fault.startswith(f"{held[0]} is shown although") for fault in found)


def test_a_missing_or_late_emergency_would_be_found(reasoner: Reasoner) -> None:
    case = load_case(BURNED)
    reasoned = reason(case, judged_lot(case), reasoner)
    result = lot_result(reasoned, reasoner)
    urgent = [action for action in result.actions if action.emergency]
    assert urgent
    without = result.model_copy(update={"actions": ()})
    assert any("not shown" in fault for fault in _actions(reasoned, without, reasoner))
    late = urgent[0].model_copy(update={"when": "today"})
    fault = list(_actions(reasoned, result.model_copy(update={"actions": (late,)}), reasoner))
    assert any("timed today" in each for each in fault)


def test_doses_are_told_from_harmless_figures() -> None:
    assert list(dose_faults("x", "Give oxytetracycline 50 mg/L for five days"))
    assert list(dose_faults("x", "formalin at 25 ppm"))
    assert list(dose_faults("x", "2 mg/kg body mass"))
    assert not list(dose_faults("x", "sodium thiosulfate 7 mg per mg of chlorine, 2 g for 100 L"))
    assert not list(dose_faults("x", "Ask whether praziquantel is allowed here"))


def test_numbers_that_are_none_would_be_found() -> None:
    assert list(_numbers({"a": [1.0, float("nan")]}, "x")) == ["x.a[1] is nan"]
    assert list(_numbers({"a": "about nan mg/L"}, "x"))
    for number in (math.nan, math.inf, -math.inf, "about nan mg/L"):
        assert unbounded({"a": [1.0, number]})
    assert not unbounded({"a": "finance and infection", "b": 1e300})
    assert not list(_numbers({"a": "finance and infection", "b": 1e300}, "x"))
