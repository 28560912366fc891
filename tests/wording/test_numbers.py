"""How numbers and times are written: Python's own decimal module says what a number is worth."""

from __future__ import annotations

import doctest
import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.wording import numbers, times
from advisor.wording.numbers import LEAST, exact, fixed, short, signed, with_band

FINITE = st.floats(-1e15, 1e15, allow_nan=False)


@given(FINITE, st.integers(1, 8))
def test_no_number_has_an_exponent_and_each_keeps_its_worth(value: float, figures: int) -> None:
    text = exact(value, figures)
    assert not set(text) - set("-0123456789.")
    worth = Decimal(text)  # decimal of the standard library reads it back
    assert abs(worth - Decimal(value)) <= abs(Decimal(value)) * Decimal(10) ** (1 - figures)


@given(FINITE)
def test_what_is_there_is_never_written_as_nothing(value: float) -> None:
    assert (short(value) in ("0", "-0")) == (value == 0)
    assert (exact(value) == "0") == (value == 0)


@given(FINITE, st.integers(0, 4))
def test_a_zero_has_no_minus(value: float, decimals: int) -> None:
    text = fixed(value, decimals)
    assert not text.startswith("-") or float(text) != 0
    assert signed(value)[0] in "+-"


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_unknown_and_a_refusal_names_it(value: float) -> None:
    assert short(value) == fixed(value) == signed(value) == "unknown"
    assert exact(value) == str(value)


def test_under_the_least_it_says_so() -> None:
    assert short(LEAST / 2) == "<0.001"
    assert short(-LEAST / 2) == ">−0.001"
    assert with_band(0.086, 0.04, 0.2) == "0.086 (0.04 to 0.2)"
    assert with_band(7.0, 7.0, 7.0) == "7"


@pytest.mark.parametrize("module", [numbers, times])
def test_the_examples_hold(module: object) -> None:
    assert not doctest.testmod(module).failed  # type: ignore[arg-type]


def test_times() -> None:
    received = "2027-03-02T13:05"
    assert times.clock(received, 1.25) == "2 Mar 14:20 (+1 h 15 min)"
    assert times.clock("2027-03-02", 0.0) == times.clock(None, 0.0) == "at receipt"
    assert times.span(74.0) == "3 days 2 h"
