"""Cases and reasoner shared by these tests."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.advice.reasoner import Reasoner, default_reasoner

ROOT = Path(__file__).parents[2]
CASES = ROOT / "cases"
BURNED = CASES / "demo" / "four-lots-one-burned-on-opening.toml"
KOI = CASES / "constructed" / "koi-mixed-and-warm.toml"


@pytest.fixture(scope="session")
def reasoner() -> Reasoner:
    return default_reasoner()
