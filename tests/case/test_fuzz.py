"""A sample of the damaged files of ``python -m tests.case.fuzz``, which draws 20,000."""

from __future__ import annotations

from pathlib import Path

from tests.case import fuzz


def test_damaged_files_load_or_are_refused_in_plain_sentences() -> None:
    tally = fuzz.run(1_500, seed=20300304)
    assert tally.wrong == []
    # Both ways must have been taken, else the sample proves nothing.
    assert min(tally.kinds["loaded"], tally.kinds["refused"]) > 50


def test_the_checker_notices_what_must_not_be_said(tmp_path: Path) -> None:
    path = tmp_path / "case.toml"
    assert fuzz._bad(f"{path}: Input should be a valid number", path)
    assert fuzz._bad("another.toml: is empty", path)
    assert fuzz._bad(f"{path}: \x1b[2J", path)
    assert not fuzz._bad(f"{path}, lot 1: count is missing", path)
