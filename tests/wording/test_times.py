"""Spans of time as a person says them."""

from __future__ import annotations

import pytest

from advisor.wording.times import span


@pytest.mark.parametrize("hours", [1e300, 1.7e308, 9.1e6])
def test_a_span_past_all_reason_is_shown_as_it_stands(hours: float) -> None:
    assert span(hours).endswith(" h") and "e" not in span(hours)
