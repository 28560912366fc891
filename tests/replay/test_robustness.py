"""The light re-ranking of tests.replay.robustness agrees with the real one."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from advisor.advice.assess import reason
from advisor.advice.facts.sheet import lots_of
from advisor.advice.reasoner import Reasoner
from advisor.case import load_case
from advisor.explain.replay.archive import judged_lot
from tests.replay.conftest import BURNED, CASES, KOI
from tests.replay.robustness import (
    answers,
    balance,
    first,
    in_another_order,
    moved,
    weighed,
    with_wrong_reading,
    without,
)

SOME = [BURNED, KOI, *sorted((CASES / "published").glob("*.toml"))[:6]]


@pytest.mark.parametrize("path", SOME, ids=lambda path: path.stem)
def test_unmoved_strengths_give_the_ranking_itself(path: Path, reasoner: Reasoner) -> None:
    case = load_case(path)
    reasoned = reason(case, judged_lot(case), reasoner)
    base = reasoner.base
    weights = {rule.id: base.settings.decibans[rule.strength] for rule in base.rules.values()}
    total = balance(weighed(reasoned, base), weights)
    assert total == pytest.approx({c.id: c.decibans for c in reasoned.ranking.causes})
    assert first(total) == reasoned.ranking.causes[0].id


def test_strengths_move_one_step(reasoner: Reasoner) -> None:
    base = reasoner.base
    scale = sorted(base.settings.decibans.values())
    weights = moved(random.Random(1), base)
    steps = {
        abs(scale.index(weights[r.id]) - scale.index(base.settings.decibans[r.strength]))
        for r in base.rules.values()
    }
    assert steps == {0, 1}


@pytest.mark.parametrize("path", [BURNED, KOI], ids=lambda path: path.stem)
def test_a_removed_answer_is_gone(path: Path, reasoner: Reasoner) -> None:
    case = load_case(path)
    lot = judged_lot(case)
    told = answers(reason(case, lot, reasoner).sheet)
    for answer in told[::4]:
        other = without(case, lot, answer, reasoner.base)
        left = answers(reason(other, judged_lot(other), reasoner).sheet)
        # whether bags are shut is also read off other answers
        assert answer not in left or answer == ("history", "bags_sealed"), answer
        assert len(left) >= len(told) - 2


@pytest.mark.parametrize("path", SOME, ids=lambda path: path.stem)
def test_the_order_of_typing_changes_nothing(path: Path, reasoner: Reasoner) -> None:
    case = load_case(path)
    lot = judged_lot(case)
    mixed = in_another_order(case, random.Random(path.stem))
    if path == BURNED:  # a case with much to mix
        assert mixed.model_dump_json(exclude_unset=True) != case.model_dump_json(exclude_unset=True)
    own = next(each for each in lots_of(mixed) if each.id == lot.id)
    again, before = reason(mixed, own, reasoner), reason(case, lot, reasoner)
    assert again.ranking.causes == before.ranking.causes


def test_a_wrong_reading_is_one_that_was_not_taken(reasoner: Reasoner) -> None:
    case = load_case(BURNED)
    found = with_wrong_reading(case, judged_lot(case), random.Random(1))
    assert found is not None
    before, after = (answers(reason(c, judged_lot(c), reasoner).sheet) for c in (case, found[0]))
    assert len(after) == len(before) + 1
