"""Every formula carries its equation, unit, range and source, and they can be printed."""

from __future__ import annotations

import doctest
import re
import subprocess
import sys
from importlib import import_module

import pytest

from advisor.water import ammonia
from advisor.water.formulas import FORMULAS
from tests.water.registered import ALL, MODULES


@pytest.mark.parametrize("name", ALL)
def test_each_formula_is_complete(name: str) -> None:
    formula = ALL[name]
    assert formula.name == name
    assert formula.unit
    assert len(formula.source) > 8
    assert formula.equation
    for span in formula.ranges.values():
        assert span.low < span.high


def functions() -> dict[str, object]:
    return {name: getattr(m, name) for m in MODULES for name in ALL if hasattr(m, name)}


def test_braces_name_inputs_of_the_function_or_worked_out_parts() -> None:
    found = functions()
    for name, formula in ALL.items():
        code = getattr(found[name], "__wrapped__", found[name]).__code__
        inputs = set(code.co_varnames[: code.co_argcount + code.co_kwonlyargcount])
        named = set(re.findall(r"\{(\w+)\}", formula.equation))
        assert named <= inputs | set(formula.parts), name
        assert set(formula.ranges) <= inputs, name


def test_docstrings_end_with_equation_and_source() -> None:
    doc = ammonia.pka_fresh.__doc__ or ""
    assert "0.09018 + 2729.92 / (temperature_c + 273.15)" in doc
    assert "Emerson" in doc
    assert "0 to 50 °C" in doc


def test_numbers_are_put_in() -> None:
    formula = FORMULAS["unionised_ammonia_mg_l"]
    filled = formula.filled(tan_mg_l=2.0, ph=7.8, temperature_c=26.0)
    assert filled == "2 / (1 + 10^(9.21577 - 7.8))"
    # and what is printed gives the value
    assert eval(filled.replace("^", "**")) == pytest.approx(
        ammonia.unionised_ammonia_mg_l(2.0, 7.8, 26.0), rel=1e-5
    )


def test_an_input_not_given_keeps_its_name() -> None:
    assert FORMULAS["pka_fresh"].filled() == "0.09018 + 2729.92 / (temperature_c + 273.15)"


def test_outside_its_range_is_said_at_the_edge_and_beyond() -> None:
    formula = FORMULAS["pka_seawater"]
    assert formula.outside(temperature_c=10.0, salinity_g_kg=35.0) == ()
    (sentence,) = formula.outside(temperature_c=9.9, salinity_g_kg=35.0)
    assert "temperature_c 9.9 is outside 10 to 30 °C" in sentence
    assert len(formula.outside(temperature_c=31.0, salinity_g_kg=36.0)) == 2


def test_the_range_follows_the_salinity() -> None:
    """Fresh water by Emerson (0-50 °C), sea water by Bell (10-30 °C)."""
    formula = FORMULAS["unionised_ammonia_mg_l"]
    values = {"tan_mg_l": 1.0, "ph": 8.0, "temperature_c": 6.0}
    assert formula.outside(**values) == ()
    assert formula.outside(**values, salinity_g_kg=0.0) == ()
    (sentence,) = formula.outside(**values, salinity_g_kg=34.0)
    assert "10 to 30 °C" in sentence


@pytest.mark.parametrize("module", ["ammonia", "formulas"])
def test_examples_in_the_docstrings_run(module: str) -> None:
    result = doctest.testmod(import_module(f"advisor.water.{module}"))
    assert result.attempted > 0
    assert result.failed == 0


def test_scalar_chemistry_imports_nothing_heavy() -> None:
    arrays = "advisor.water.charge_balance"
    names = ", ".join(m.__name__ for m in MODULES if m.__name__ != arrays)
    code = (
        f"import sys, {names};"
        "heavy = {'numpy', 'scipy', 'pint', 'pydantic', 'inspect'} & set(sys.modules);"
        "assert not heavy, heavy"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
