"""One number with one unit into the stored unit of its parameter, with the band it opens."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.units.parameters import Parameter
from advisor.units.quantity import UnitError
from advisor.units.registry import convert
from advisor.water import masses
from advisor.wording.numbers import exact

#: Unit of air pressure -> mmHg. One standard atmosphere is 760 mmHg and 1013.25 hPa (exact).
PRESSURE_MMHG = {
    "mmHg": 1.0, "hPa": 760.0 / 1013.25, "mbar": 760.0 / 1013.25, "kPa": 7600.0 / 1013.25,
    "bar": 760.0 / 1.01325, "inHg": 25.4, "atm": 760.0,
}  # fmt: skip
# A conductivity meter that shows ppm multiplies by a factor of its own.
TDS_FACTOR_LOW, TDS_FACTOR, TDS_FACTOR_HIGH = 0.5, 0.64, 0.7

# mg in the stored basis per mmol: nitrogen as N; hardness as CaCO3; alkalinity
# counted as charge, so half of that.
_MG_PER_MMOL = {
    "nitrogen": masses.N,
    "hardness": masses.CACO3,
    "alkalinity": masses.CACO3 / 2,
}

#: Specific gravities that every reference temperature below can give.
GRAVITY_LOW, GRAVITY_HIGH = 0.999, 1.035
_SIXTY_F = (60 - 32) / 1.8
# Sea-water density is published to about 50 g/kg.
_G_L_HIGH = 51.0
# TEOS-10: 35 of practical salinity is 35.16504 g/kg in sea water.
_G_KG_PER_PSU = 35.16504 / 35


@dataclass(frozen=True, slots=True)
class ConvertedBand:
    """A value in the stored unit, the ends of its band, and how it was understood."""

    value: float
    low: float
    high: float
    note: str = ""


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What some conversions need to know of the water; None when unknown."""

    temperature_c: float | None = None
    salinity_g_kg: float | None = None
    pressure_mmhg: float | None = None


def pressure_at_mmhg(altitude_m: float) -> float:
    """Mean air pressure at an altitude of -450 to 9,000 m."""
    from advisor.water.gas import pressure_at_altitude_mmhg

    return pressure_at_altitude_mmhg(altitude_m)


def to_stored(
    number: float, unit: str | None, parameter: Parameter, around: Surroundings
) -> ConvertedBand:
    """``number`` in ``unit`` (None: the stored unit) as a band in the stored unit.

    Rising in ``number`` for every unit, so that the ends of a range stay its ends.
    Raises AdvisorError when the conversion needs something that is not known, or
    the number lies outside what its formula covers.
    """
    unit = unit or parameter.stored
    if parameter.family == "salinity":
        return _salinity(number, unit)
    if unit == "tds":
        return _from_dissolved_solids(number)
    if unit == "saturation":
        return _from_saturation(number, around)
    if unit in ("mmol/L", "umol/L"):
        scale = 1.0 if unit == "mmol/L" else 1e-3
        return _sharp(number * scale * _MG_PER_MMOL[parameter.family])
    note = "US measure" if unit.startswith("us_") else ""
    return _sharp(convert(number, unit, parameter.stored), note)


def from_stored(value: float, unit: str, parameter: Parameter) -> float:
    """The stored ``value`` in another unit of the parameter, for a screen.

    Only units with one fixed factor, and temperatures; raises UnitError otherwise.
    """
    loose = ("sg", "psu", "g/L", "mg/L") if parameter.family == "salinity" else ()
    if unit in (*loose, "tds", "saturation", "mmol/L", "umol/L", ""):
        raise UnitError(f"{parameter.key}: cannot be shown in {unit or 'degrees alone'}.")
    return convert(value, parameter.stored, unit)


def _sharp(value: float, note: str = "") -> ConvertedBand:
    return ConvertedBand(value, value, value, note)


def _from_dissolved_solids(ppm: float) -> ConvertedBand:
    return ConvertedBand(
        value=ppm / TDS_FACTOR,
        low=ppm / TDS_FACTOR_HIGH,
        high=ppm / TDS_FACTOR_LOW,
        note=f"from dissolved solids; meters use a factor of {TDS_FACTOR_LOW} to {TDS_FACTOR_HIGH}",
    )


def _salinity(number: float, unit: str) -> ConvertedBand:
    if unit == "sg":
        return _from_specific_gravity(number)
    if unit in ("g/L", "mg/L"):
        return _sharp(_from_g_l(number if unit == "g/L" else number / 1000.0))
    if unit == "psu":
        note = "practical salinity taken as g/kg"
        return ConvertedBand(number, number, number * _G_KG_PER_PSU, note)
    return _sharp(convert(number, unit, "permille"))


def _from_g_l(grams_per_litre: float) -> float:
    """Salt per kilogram of solution at 25 °C; density hardly moves, so a few rounds settle it."""
    from advisor.water.salinity import density_kg_l

    if grams_per_litre <= 0:
        return grams_per_litre
    if grams_per_litre > _G_L_HIGH:
        raise UnitError(
            f"salinity_g_kg: {exact(grams_per_litre)} g/L is outside 0 to {exact(_G_L_HIGH)} g/L."
        )
    salinity = grams_per_litre / 1.04
    for _ in range(12):
        salinity = grams_per_litre / density_kg_l(25.0, salinity)
    return salinity


def _from_specific_gravity(gravity: float) -> ConvertedBand:
    """Best: water at 25 °C against water at 25 °C, as swing-arm scales and refractometers are made.

    Low end: both at 60 °F, the reference of older glass hydrometers; high end: such
    a hydrometer read in water of 25 °C without correction.
    """
    from advisor.water.salinity import salinity_from_specific_gravity as solve

    if not GRAVITY_LOW <= gravity <= GRAVITY_HIGH:
        raise UnitError(
            f"salinity_g_kg: {exact(gravity)} as a specific gravity is outside "
            f"{exact(GRAVITY_LOW)} to {exact(GRAVITY_HIGH)}. Write it like 1.025."
        )
    note = "specific gravity at 25 °C; the band allows for a hydrometer made for 60 °F"
    matched = max(gravity, 1.0)
    return ConvertedBand(
        value=solve(matched, 25.0, 25.0) if matched > 1.0 else 0.0,
        low=solve(matched, _SIXTY_F, _SIXTY_F) if matched > 1.0 else 0.0,
        high=solve(gravity, 25.0, _SIXTY_F),
        note=note,
    )


def _from_saturation(percent: float, around: Surroundings) -> ConvertedBand:
    if around.temperature_c is None:
        raise UnitError(
            "do_mg_l: a percentage needs the water temperature; give the oxygen in mg/L, "
            "or the temperature first."
        )
    from advisor.water.oxygen import oxygen_from_percent_mg_l

    salinity = around.salinity_g_kg or 0.0
    pressure = () if around.pressure_mmhg is None else (around.pressure_mmhg,)
    value = oxygen_from_percent_mg_l(percent, around.temperature_c, salinity, *pressure)
    water = "fresh water" if not salinity else f"{exact(salinity)} g/kg"
    note = f"{exact(percent)} % of saturation at {exact(around.temperature_c)} °C, {water}, " + (
        "sea-level pressure" if not pressure else f"{exact(pressure[0], 4)} mmHg of air"
    )
    return _sharp(value, note)
