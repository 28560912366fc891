"""A few hundred requests of ``fuzz.py``."""

from __future__ import annotations

import asyncio

import pytest

from tests.page import fuzz


@pytest.mark.slow
def test_requests_without_sense_cause_no_fault_and_show_no_path() -> None:
    found = asyncio.run(fuzz.run(400, seed=5, served=False))
    assert sum(found.values()) == 400 and -1 not in found
    assert found[200] > 10 and found[404] > 10  # some are let in, some are not
