"""One delivery and one of hostile texts, assessed once for all tests of papers."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.advice.assess import assess
from advisor.advice.reasoner import Reasoner, default_reasoner
from advisor.advice.results import Assessment
from advisor.case import Case, load_case
from advisor.papers.one_paper import PURPOSES, make_paper

HERE = Path(__file__).parent
DELIVERY = HERE / "delivery.toml"
HOSTILE = HERE / "hostile.toml"


@pytest.fixture(scope="session")
def reasoner() -> Reasoner:
    return default_reasoner()


@pytest.fixture(scope="session")
def delivery() -> Case:
    return load_case(DELIVERY)


@pytest.fixture(scope="session")
def hostile() -> Case:
    return load_case(HOSTILE)


@pytest.fixture(scope="session")
def assessed(delivery: Case, reasoner: Reasoner) -> Assessment:
    return assess(delivery, reasoner)


@pytest.fixture(scope="session")
def papers(delivery: Case, hostile: Case, reasoner: Reasoner) -> dict[tuple[str, str], object]:
    """Every paper of both cases, by case and purpose."""
    return {
        (name, purpose): make_paper(case, purpose, reasoner)
        for name, case in (("delivery", delivery), ("hostile", hostile))
        for purpose in PURPOSES
    }
