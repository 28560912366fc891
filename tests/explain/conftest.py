"""Cases and reasoner shared by the audit's tests."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.advice.reasoner import Reasoner, default_reasoner

HERE = Path(__file__).parent
OWN = sorted((HERE / "cases").glob("*.toml"))
SHIPPED = sorted((HERE.parents[1] / "cases").rglob("*.toml"))


@pytest.fixture(scope="session")
def reasoner() -> Reasoner:
    return default_reasoner()
