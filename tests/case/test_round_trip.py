"""What is saved is what is read: no field, band or character of a case gets lost."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import HealthCheck, given, settings

from advisor.case import Case, dumps_case, loads_case
from tests.case.strategies import cases


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(cases())
def test_reading_what_was_written_gives_an_equal_case(case: Case) -> None:
    again = loads_case(dumps_case(case), weighed=False)
    assert again == case
    # Python holds 1, 1.0 and True for equal; the JSON form tells them apart.
    assert again.model_dump_json() == case.model_dump_json()


@pytest.mark.slow
@settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(cases())
def test_writing_twice_gives_the_same_text(case: Case) -> None:
    text = dumps_case(case)
    assert dumps_case(loads_case(text, weighed=False)) == text
    assert tomllib.loads(text)["format"] == case.format
