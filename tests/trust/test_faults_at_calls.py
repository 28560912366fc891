"""A sample of ``python -m tests.trust.faults_at_calls``: file calls fail or meet a signal."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from tests.trust.faults_at_calls import NoStrace, run

#: Command -> only each Nth pair of call and fault; primes, so that all faults come up.
SAMPLE = {"scores": 31, "import": 53, "csv": 53, "paper": 67}


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLE)
def test_a_fault_at_a_file_call_loses_nothing_and_leaves_nothing(name: str, tmp_path: Path) -> None:
    required = os.environ.get("ADVISOR_STRACE") == "required"
    if shutil.which("strace") is None and not required:
        pytest.skip("strace is not installed; ADVISOR_STRACE=required makes it a must")
    try:
        reached, faults = run(name, tmp_path, SAMPLE[name], start=len(name))
    except NoStrace as reason:
        if required:
            raise
        pytest.skip(f"strace may not look at other processes here: {reason}")
    assert faults == [] and reached >= 3
