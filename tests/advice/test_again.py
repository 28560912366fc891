"""``advisor.assess`` in a process of its own: twice, and whatever was imported before."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

DEMO = Path(__file__).parents[2] / "cases" / "demo" / "four-lots-bags-still-sealed.toml"


@pytest.mark.parametrize(
    "before",
    ["", "import advisor.advice.assess", "import advisor.advice", "import advisor.explain"],
)
def test_assess_can_be_called_again_and_again(before: str) -> None:
    code = f"""
{before}
import advisor
case = advisor.load_case({str(DEMO)!r})
first = advisor.assess(case)
second = advisor.assess(case)
assert first == second and len(first.lots) == 4
assert callable(advisor.assess)
print("well")
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.stdout.strip() == "well", done.stderr
