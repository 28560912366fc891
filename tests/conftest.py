"""Shared by all tests."""

from __future__ import annotations

import pytest
from hypothesis import settings

from advisor.rulebase import RuleBase, load_rulebase

# A busy machine is no fault of the code: how long a thing takes is measured in tests/benchmarks.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")


@pytest.fixture(scope="session")
def base() -> RuleBase:
    """The shipped rule base."""
    return load_rulebase()
