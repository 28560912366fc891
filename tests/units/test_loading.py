"""What is loaded when: pint only at the first conversion, and nothing heavy on import."""

import doctest
import subprocess
import sys
from importlib import import_module
from pkgutil import iter_modules

import pytest

import advisor.units
from advisor.units import PARAMETERS
from advisor.units.registry import PINT_NAME
from advisor.units.spellings import UNITS

SCRIPT = """
import sys
import advisor.units as u
heavy = {"pint", "numpy", "scipy", "pydantic", "rich"}
assert not heavy & set(sys.modules), heavy & set(sys.modules)
u.parse("7.4", "ph"), u.parse("25.5 °C", "temperature_c"), u.parse("1 mg/L as NO2", "nitrite_mg_l")
u.parse("36", "hours"), u.parse("1.025", "salinity_g_kg"), u.parse("95 L", "volume_l")
assert "pint" not in sys.modules
u.parse("78 F", "temperature_c")
assert "pint" in sys.modules
"""


def test_pint_waits_for_the_first_unit_that_differs() -> None:
    subprocess.run([sys.executable, "-c", SCRIPT], check=True, timeout=60)


def test_every_unit_is_known_to_the_registry_or_handled_apart() -> None:
    apart = {"", "ph", "saturation", "tds", "sg", "psu", "mmol/L", "umol/L"}
    named = {unit for table in UNITS.values() for unit in table}
    assert named - apart <= set(PINT_NAME)


@pytest.mark.parametrize("key", sorted(PARAMETERS))
def test_parameters_are_in_order(key: str) -> None:
    known = PARAMETERS[key]
    assert known.low <= known.odd_low < known.odd_high <= known.high
    assert known.family in UNITS


def test_bounds_fit_the_case_model() -> None:
    """A value read here must not be refused when it is stored."""
    readings = pytest.importorskip("advisor.case.readings")
    for key, (low, high) in readings.RANGES.items():
        assert (PARAMETERS[key].low, PARAMETERS[key].high) == (low, high), key


@pytest.mark.parametrize("name", [m.name for m in iter_modules(advisor.units.__path__)])
def test_the_examples_in_the_docstrings_hold(name: str) -> None:
    assert doctest.testmod(import_module(f"advisor.units.{name}")).failed == 0
