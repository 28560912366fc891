"""Exact factors the checks of published values need, as the program's own units have them.

Pressure is not among the units people write here: 760 mmHg and 101.325 kPa are
the standard atmosphere, 25.4 mm the inch, by definition.
"""

from __future__ import annotations

from advisor.units.registry import convert

US_GALLON_L = convert(1.0, "us_gal", "liter")
IMPERIAL_GALLON_L = convert(1.0, "imp_gal", "liter")
US_FLUID_OUNCE_ML = convert(1.0, "us_floz", "mL")
POUND_G = convert(1.0, "lb", "gram")
FOOT_M = convert(1.0, "ft", "m")
CUBIC_FOOT_L = convert(1.0, "ft3", "liter")
ACRE_FOOT_L = 43_560 * CUBIC_FOOT_L
MMHG_PER_ATM = 760.0
MMHG_PER_INHG = 25.4
MMHG_PER_KPA = 760.0 / 101.325


def celsius_from_fahrenheit(temperature_f: float) -> float:
    return convert(temperature_f, "degF", "degC")


def fahrenheit_from_celsius(temperature_c: float) -> float:
    return convert(temperature_c, "degC", "degF")


def celsius_step_from_fahrenheit_step(step_f: float) -> float:
    return convert(step_f, "delta_degF", "delta_degC")
