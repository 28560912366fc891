"""Unit factors that are exact by definition."""

from __future__ import annotations

US_GALLON_L = 3.785411784  # 231 cubic inches
IMPERIAL_GALLON_L = 4.54609
US_FLUID_OUNCE_ML = 29.5735295625
POUND_G = 453.59237
GRAIN_MG = 64.79891
FOOT_M = 0.3048
CUBIC_FOOT_L = 28.316846592
ACRE_FOOT_L = 43_560 * CUBIC_FOOT_L
MMHG_PER_ATM = 760.0
MMHG_PER_INHG = 25.4
MMHG_PER_KPA = 760.0 / 101.325


def celsius_from_fahrenheit(temperature_f: float) -> float:
    """A temperature [°C] from °F."""
    return (temperature_f - 32.0) / 1.8


def fahrenheit_from_celsius(temperature_c: float) -> float:
    """A temperature [°F] from °C."""
    return 1.8 * temperature_c + 32.0


def celsius_step_from_fahrenheit_step(step_f: float) -> float:
    """A *difference* of temperature [°C] from one in °F: no 32."""
    return step_f / 1.8
