"""A sample of the damaged rule bases of ``python -m tests.trust.fuzz_rules``."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.trust import fuzz_rules


def test_damaged_rules_load_or_are_refused_in_plain_sentences() -> None:
    tally = fuzz_rules.run(60, seed=20300305)
    assert tally.wrong == []
    # Both ways must have been taken, else the sample proves nothing.
    loaded = sum(times for kind, times in tally.kinds.items() if kind.startswith("loaded"))
    assert min(loaded, tally.kinds["refused"]) > 10


@pytest.mark.slow
def test_rules_built_to_keep_a_reader_busy_do_not() -> None:
    tally = fuzz_rules.run(0, seed=1, with_bombs=True)
    assert tally.wrong == []
    assert tally.slowest_s < fuzz_rules.SLOW_S, tally.slowest


@pytest.mark.parametrize(
    "sentence",
    ["rules/a.toml: Input should be a number", "a.toml: is empty", "rules/a.toml: \x1b[2J",
     "rules/a.toml: " + "x" * 600],
)  # fmt: skip
def test_the_checker_notices_what_must_not_be_said(sentence: str, tmp_path: Path) -> None:
    assert fuzz_rules.bad(sentence, tmp_path)
    assert not fuzz_rules.bad("rules/a.toml, rule b: because is missing", tmp_path)
