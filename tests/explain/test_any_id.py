"""Whatever the rule base holds can be asked for, in any case, and is told in plain words."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from advisor.advice.reasoner import Reasoner
from advisor.case import load_case
from advisor.explain import Study, study, why
from advisor.screens.audit_words import lines

CASES = Path(__file__).parent / "cases"
TABLES = {
    "cause": "causes",
    "action": "actions",
    "caution": "cautions",
    "vet": "vet_notes",
    "notice": "notices",
    "finding": "findings",
    "question": "questions",
    "rule": "rules",
    "reading": "quantities",
    "sign": "signs",
    "history": "history",
    "trait": "traits",
}

NOT_FOR_THE_EYE = re.compile(r"\b(nan|inf|None(?! of)|True|False)\b|\de[+-]\d")


@pytest.fixture(scope="module", params=["opening", "bare", "two_lots"])
def about(request: pytest.FixtureRequest, reasoner: Reasoner) -> Study:
    return study(load_case(CASES / f"{request.param}.toml"), reasoner)


def ids(about: Study) -> list[str]:
    base = about.base
    return [
        f"{base.quantities[name].kind if kind == 'reading' else kind}:{name}"
        for kind, table in TABLES.items()
        for name in getattr(base, table)
    ]


def test_a_draw_of_all_ids_is_told(about: Study) -> None:
    for name in random.Random(6).sample(ids(about), 60):
        tell(about, name)


@pytest.mark.slow
def test_every_id_is_told(about: Study) -> None:
    for name in ids(about):
        tell(about, name)


def tell(about: Study, name: str) -> None:
    told = why(about, [name])
    plain = name.partition(":")[2]
    assert told.statements[0].id in (plain, name)
    said = [line.text for line in lines(told, about.base, everything=True)]
    assert said and plain in said[0]
    for text in said:
        assert not NOT_FOR_THE_EYE.search(text), f"{name}: {text}"
