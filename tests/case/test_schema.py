"""The documented form of a case agrees with what is read and written."""

from __future__ import annotations

import tomllib
from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings

from advisor.case import Case, case_schema, dumps_case
from advisor.case.readings import RANGES
from tests.case.fuzz import SEED
from tests.case.strategies import cases

jsonschema = pytest.importorskip("jsonschema", reason="the reference validator is not installed")


@cache
def validator() -> jsonschema.Draft202012Validator:
    jsonschema.Draft202012Validator.check_schema(case_schema())
    return jsonschema.Draft202012Validator(case_schema())


def test_a_hand_written_case_fits_the_schema() -> None:
    content = tomllib.loads(SEED)
    content["delivery"]["received"] = content["delivery"]["received"].isoformat()
    validator().validate(content)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(cases())
def test_every_written_case_fits_the_schema(case: Case) -> None:
    validator().validate(tomllib.loads(dumps_case(case)))


@pytest.mark.parametrize("name", sorted(RANGES))
def test_a_reading_may_be_a_number_text_or_a_table(name: str) -> None:
    low, high = RANGES[name]
    fitting = [low, high, "any", {"value": low}]
    unfit = [low - 1, high + 1, True, [], {"value": "x"}]
    for written in fitting + unfit:
        found = validator().is_valid({"observation": [{"tank": {name: written}}]})
        assert found == any(written is one for one in fitting), written


def test_an_unknown_name_does_not_fit() -> None:
    assert not validator().is_valid({"delivery": {"colour": "red"}})
