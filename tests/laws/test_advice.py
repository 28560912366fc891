"""The laws laid on the advice as it stands, over fixed samples of drawn deliveries."""

from __future__ import annotations

import pytest

from tests.laws.known import differences, found


@pytest.mark.parametrize(
    "sample",
    [
        "wild_quick",
        *(pytest.param(s, marks=pytest.mark.slow) for s in ("natural_quick", "between_quick")),
    ],
)
def test_no_law_is_broken_more_often_than_is_known(sample: str) -> None:
    assert differences(sample, found(sample)) == []


@pytest.mark.slow
@pytest.mark.parametrize("sample", ["wild_slow", "natural_slow", "between_slow"])
def test_no_law_is_broken_more_often_over_many_deliveries(sample: str) -> None:
    assert differences(sample, found(sample)) == []
