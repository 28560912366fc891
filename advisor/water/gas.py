"""Pressure, total gas in the water, and CO2 against air."""

from __future__ import annotations

from advisor.water import masses
from advisor.water.constants import equilibrium_constants
from advisor.water.formulas import published
from advisor.water.input_checks import check, check_between, check_not_negative
from advisor.water.oxygen import STANDARD_MMHG, vapour_pressure_mmhg

_APHA_2810 = "APHA Standard Methods 2810 (definition), from memory"


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
    _APHA_2810,
    equation="100 ({barometric_mmhg} + {delta_p_mmhg}) / {barometric_mmhg}",
    unit="% of barometric pressure",
)
def total_gas_pressure_pct(delta_p_mmhg: float, barometric_mmhg: float = STANDARD_MMHG) -> float:
    """Total dissolved gas pressure from the excess over the barometric pressure."""
    check("pressure_mmhg", barometric_mmhg)
    check_between("delta_p_mmhg", delta_p_mmhg, -barometric_mmhg, 10_000.0, "mmHg")
    return 100.0 * (barometric_mmhg + delta_p_mmhg) / barometric_mmhg


@published(
    _APHA_2810,
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


@published(
    "Plummer & Busenberg (1982) KH; vapour pressure Benson & Krause (1984); Dalton's law",
    equation="{dry_air_ppm} 1e-6 ({pressure_mmhg} - u)/760",
    unit="atm",
    ranges={"temperature_c": (0.0, 50.0, "°C")},
)
def co2_pressure_of_moist_air_atm(
    dry_air_ppm: float, temperature_c: float, pressure_mmhg: float = STANDARD_MMHG
) -> float:
    """Partial pressure of CO2 in air saturated with water vapour, from ppm of dry air."""
    check_between("dry_air_ppm", dry_air_ppm, 0.0, 1e6, "ppm")
    check("pressure_mmhg", pressure_mmhg)
    dry = pressure_mmhg - vapour_pressure_mmhg(temperature_c)
    return dry_air_ppm * 1e-6 * dry / STANDARD_MMHG


@published(
    "Henry's law, KH Plummer LN, Busenberg E (1982)",
    equation="44009 KH({temperature_c}) {pco2_atm}",
    unit="mg/L",
    ranges={"temperature_c": (0.0, 50.0, "°C")},
)
def co2_with_gas_mg_l(pco2_atm: float, temperature_c: float) -> float:
    """Free CO2 in fresh water in equilibrium with this partial pressure."""
    check_not_negative("pco2_atm", pco2_atm, "atm")
    return 1e3 * masses.CO2 * equilibrium_constants(temperature_c).kh * pco2_atm


@published(
    "Henry's law, KH Plummer LN, Busenberg E (1982)",
    equation="{co2_mg_l} / (44009 KH({temperature_c}))",
    unit="atm",
    ranges={"temperature_c": (0.0, 50.0, "°C")},
)
def co2_pressure_atm(co2_mg_l: float, temperature_c: float) -> float:
    """Partial pressure of the free CO2 in fresh water."""
    check("co2_mg_l", co2_mg_l)
    return co2_mg_l / (1e3 * masses.CO2 * equilibrium_constants(temperature_c).kh)
