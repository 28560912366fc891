"""A sample of the trial in ``case_mutants``; the whole on demand."""

from __future__ import annotations

import pytest

from tests.case.case_mutants import trial


@pytest.mark.parametrize("tenth", range(10))
def test_what_is_loaded_is_what_a_changed_text_says(tenth: int) -> None:
    outcomes = {trial(number) for number in range(tenth * 20, tenth * 20 + 20)}
    assert {fault for _, fault in outcomes} == {""}


@pytest.mark.trial
def test_forty_thousand_changed_cases() -> None:
    assert [f"{n}: {fault}" for n in range(40_000) if (fault := trial(n)[1])] == []
