"""Written readings against published conversions: tests/reference/units.toml names each source."""

import tomllib
from pathlib import Path
from typing import Any

import gsw
import pint
import pytest

from advisor.units import PARAMETERS, parse, parse_difference
from advisor.units.conversion import from_stored
from advisor.units.registry import PINT_NAME, convert, registry
from advisor.units.spellings import key_of, unit_names

_FILE = Path(__file__).parents[1] / "reference" / "units.toml"
ROWS = tomllib.loads(_FILE.read_text(encoding="utf-8"))["check"]


def _read(row: dict[str, Any]) -> float:
    if row["parameter"] == "temperature_difference_c":
        return parse_difference(row["text"]).value
    value = parse(row["text"], row["parameter"]).value
    if "show" not in row:
        return value
    parameter = PARAMETERS[row["parameter"]]
    unit = unit_names(parameter.family)[key_of(row["show"])]
    return from_stored(value, unit, parameter)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["id"])
def test_conversion_meets_the_published_figure(row: dict[str, Any]) -> None:
    tolerance = row.get("tolerance_abs", row.get("tolerance_rel", 0.0) * abs(row["expected"]))
    assert _read(row) == pytest.approx(row["expected"], abs=tolerance, rel=0)


# Units that pint defines itself: our few lines against pint's own full registry.
IN_PINT = {
    "degC": "degC", "degF": "degF", "K": "kelvin", "delta_degC": "delta_degC",
    "delta_degF": "delta_degF", "liter": "liter", "mL": "milliliter", "cL": "centiliter",
    "dL": "deciliter", "m3": "meter**3", "ft3": "foot**3", "in3": "inch**3",
    "us_gal": "US_liquid_gallon", "imp_gal": "imperial_gallon", "us_qt": "US_liquid_quart",
    "imp_qt": "imperial_quart", "us_pt": "pint", "imp_pt": "imperial_pint",
    "us_cup": "US_liquid_cup", "us_floz": "US_fluid_ounce", "imp_floz": "imperial_fluid_ounce",
    "gram": "gram", "mg": "milligram", "kg": "kilogram", "oz": "ounce", "lb": "pound",
    "centimeter": "centimeter", "mm": "millimeter", "m": "meter", "inch": "inch", "ft": "foot",
    "second": "second", "minute": "minute", "hour": "hour", "day": "day", "week": "week",
    "month": "month", "year": "year",
    "mg/L": "milligram/liter", "ug/L": "microgram/liter", "g/L": "gram/liter",
    "eH": "grain/imperial_gallon", "gpg": "grain/US_liquid_gallon",
    "uS/cm": "microsiemens/centimeter", "mS/cm": "millisiemens/centimeter",
    "mS/m": "millisiemens/meter", "S/m": "siemens/meter",
    "percent": "percent", "permille": "permille", "ppm": "ppm",
}  # fmt: skip


@pytest.fixture(scope="module")
def full_pint() -> pint.UnitRegistry:
    return pint.UnitRegistry(cache_folder=None)


@pytest.mark.parametrize("name", sorted(IN_PINT))
def test_our_short_registry_agrees_with_the_full_one_of_pint(
    name: str, full_pint: pint.UnitRegistry
) -> None:
    theirs = full_pint.Quantity(7.25, IN_PINT[name])
    ours = registry().Quantity(7.25, PINT_NAME[name])
    base = ours.to_base_units().magnitude
    scale = full_pint.Quantity(1.0, "kilogram").to("gram").magnitude
    expected = theirs.to_base_units().magnitude
    if name in ("mg/L", "ug/L", "g/L", "eH", "gpg", "gram", "mg", "kg", "oz", "lb"):
        expected *= scale  # our base of mass is the gram
    if name in ("uS/cm", "mS/cm", "mS/m", "S/m"):
        base = convert(7.25, name, "uS/cm")
        expected = theirs.to("microsiemens/centimeter").magnitude
    assert base == pytest.approx(expected, rel=1e-12)


def test_only_hardness_degrees_are_not_checked_against_pint() -> None:
    """The others are checked above; these four against the printed table."""
    assert set(PINT_NAME) - set(IN_PINT) == {"dH", "fH", "meq/L", "mmol/L CaCO3"}


@pytest.mark.parametrize("salinity", [5.0, 15.0, 25.0, 35.0, 40.0])
@pytest.mark.parametrize("reference_c, end", [(25.0, "value"), ((60 - 32) / 1.8, "low")])
def test_specific_gravity_agrees_with_teos10(salinity: float, reference_c: float, end: str) -> None:
    """gsw (TEOS-10): the gravity of this salinity, read back; EOS-80 is within 0.02 g/kg of it."""
    absolute = salinity * 35.16504 / 35
    density = gsw.rho_t_exact(absolute, reference_c, 0) / gsw.rho_t_exact(0, reference_c, 0)
    read = getattr(parse(f"{density:.9f} SG", "salinity_g_kg"), end)
    assert read == pytest.approx(salinity, abs=0.03)


@pytest.mark.parametrize("salinity", [15.0, 35.0, 40.0])
def test_the_high_end_is_a_sixty_f_hydrometer_read_at_25_c(salinity: float) -> None:
    """gsw (TEOS-10): density at 25 °C over that of pure water at 60 °F."""
    pure = gsw.rho_t_exact(0, (60 - 32) / 1.8, 0)
    gravity = gsw.rho_t_exact(salinity * 35.16504 / 35, 25.0, 0) / pure
    assert parse(f"{gravity:.9f} SG", "salinity_g_kg").high == pytest.approx(salinity, abs=0.03)


def test_grams_per_litre_agree_with_teos10() -> None:
    """gsw (TEOS-10): 35 g/kg at 25 °C holds 35 x density g/L."""
    litre = 35.0 * gsw.rho_t_exact(35.0, 25.0, 0) / 1000
    assert parse(f"{litre:.9f} g/L", "salinity_g_kg").value == pytest.approx(35.0, abs=0.005)
