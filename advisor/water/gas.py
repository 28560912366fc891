"""Pressure, total gas in the water, and CO2 against air."""

from __future__ import annotations

from advisor.water.formulas import published
from advisor.water.input_checks import check, check_between, check_not_negative
from advisor.water.oxygen import STANDARD_MMHG


@published(
    "ISO 2533 standard atmosphere (from memory)",
    equation="760 (1 - 2.25577e-5 * {altitude_m})^5.25588",
    unit="mmHg",
    ranges={"altitude_m": (-400.0, 11_000.0, "m")},
)
def pressure_at_altitude_mmhg(altitude_m: float) -> float:
    """Mean barometric pressure at an altitude; the weather moves it by some 3 %."""
    check_between("altitude_m", altitude_m, -450.0, 9_000.0, "m")
    return float(STANDARD_MMHG * (1.0 - 2.25577e-5 * altitude_m) ** 5.25588)


@published(
    "APHA Standard Methods 2810 (definition), from memory",
    equation="{barometric_mmhg} ({total_gas_pressure_pct} / 100 - 1)",
    unit="mmHg",
)
def excess_gas_pressure_mmhg(
    total_gas_pressure_pct: float, barometric_mmhg: float = STANDARD_MMHG
) -> float:
    """Excess gas pressure (delta-P) from total gas pressure in percent; negative below 100 %."""
    check("pressure_mmhg", barometric_mmhg)
    check_not_negative("total_gas_pressure_pct", total_gas_pressure_pct, "%")
    return barometric_mmhg * (total_gas_pressure_pct / 100.0 - 1.0)
