"""Every figure of tests/reference/chemistry.toml, within its own tolerance.

A figure is matched to what answers for it by its ``quantity``; one that nothing
answers for fails, so that no row can be added and forgotten. Sources stand beside
each figure in that file.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from advisor.water import chlorine
from tests.water.answers_to_published import ANSWERS

FILE = Path(__file__).parents[1] / "reference" / "chemistry.toml"
CHECKS: list[dict[str, Any]] = tomllib.loads(FILE.read_text("utf-8"))["check"]


def test_the_file_is_whole() -> None:
    assert len(CHECKS) == 237
    assert len({check["id"] for check in CHECKS}) == 237


def test_every_answer_is_asked_for() -> None:
    assert set(ANSWERS) == {check["quantity"] for check in CHECKS}


@pytest.mark.parametrize("check", CHECKS, ids=[check["id"] for check in CHECKS])
def test_published_value(check: dict[str, Any]) -> None:
    answer = ANSWERS.get(check["quantity"])
    assert answer is not None, f"nothing computes: {check['quantity']}"
    expected = check["expected"]
    tolerance = check.get("tolerance_abs") or check["tolerance_rel"] * abs(expected)
    value = answer(check["inputs"])
    assert abs(value - expected) <= tolerance, (
        f"{value:.6g}, expected {expected:g} +/- {tolerance:g} {check['unit']}: {check['source']}"
    )


def test_activity_correction_is_needed_for_the_sealed_bags() -> None:
    """An ideal solution misses the NH3 of the bags of 300 mg/L alkalinity by far."""
    rows = [c for c in CHECKS if "nh3n" in c["id"] and "alk300" in c["id"]]
    assert rows
    for row in rows:
        off = row["expected_ideal_solution"] / row["expected"] - 1.0
        assert off > 2 * row["tolerance_rel"]


@pytest.mark.parametrize(
    ("per_mg", "expected"),
    [
        # 7.0 mg of the pentahydrate per mg of chlorine: sample instructions of a photometer maker
        # (support article TE213, 2017); 0.88: the least, full oxidation to sulfate, by the same
        # molar masses
        (chlorine.THIOSULFATE_TO_TETRATHIONATE, 7.0),
        (chlorine.THIOSULFATE_TO_SULFATE, 0.88),
        # about 0.20 mg/L ammonia-N freed per mg/L chlorine of chloramine (from memory)
        (chlorine.ammonia_freed_mg_l(1.0), 0.20),
    ],
)
def test_dechlorination_stoichiometry(per_mg: float, expected: float) -> None:
    assert per_mg == pytest.approx(expected, abs=0.006)
