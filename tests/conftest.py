"""Shared by all tests."""

from __future__ import annotations

import pytest

from advisor.rulebase import RuleBase, load_rulebase


@pytest.fixture(scope="session")
def base() -> RuleBase:
    """The shipped rule base."""
    return load_rulebase()
