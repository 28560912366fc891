"""The parameters a person may write, each with its stored unit and its bounds.

``low``/``high`` are what the quantity can be at all: a value beyond them is
refused. ``odd_low``/``odd_high`` are what a fish keeper normally meets: a value
beyond them is possible and is questioned once. The odd bounds are judgement.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from advisor.units.quantity import UnitError
from advisor.wording.nearest import nearest

Family = Literal[
    "temperature",
    "difference",
    "ph",
    "nitrogen",
    "solute",
    "oxygen",
    "alkalinity",
    "hardness",
    "conductivity",
    "salinity",
    "percent",
    "volume",
    "mass",
    "length",
    "time",
]


@dataclass(frozen=True, slots=True)
class Parameter:
    """One parameter.

    key               : name with the stored unit in it
    name              : plain name for a sentence
    family            : which units may be written for it
    unit              : the stored unit, as shown
    stored            : the stored unit, as the unit table knows it
    low, high         : physical bounds, both allowed
    odd_low, odd_high : outside these the value is questioned once
    decimals          : places shown on a screen
    first_mark        : lowest mark above zero on common colour cards, where cards
                        exist (common practice, no source)
    write             : an example of how to write it
    """

    key: str
    name: str
    family: Family
    unit: str
    stored: str
    low: float
    high: float
    odd_low: float
    odd_high: float
    decimals: int
    write: str
    first_mark: float | None = None


_MG = "mg/L"
_CACO3 = "mg/L as CaCO3"
_TABLE = (
    Parameter("temperature_c", "temperature", "temperature", "°C", "degC",
              -2, 45, 4, 34, 1, "25.5 °C or 78 °F"),
    Parameter("ph", "pH", "ph", "", "ph",
              2, 12.5, 5, 9.5, 2, "7.4"),
    Parameter("tan_mg_l", "total ammonia", "nitrogen", "mg/L as N", _MG,
              0, 500, 0, 30, 2, "0.5 mg/L as N", 0.25),
    Parameter("nitrite_mg_l", "nitrite", "nitrogen", "mg/L as N", _MG,
              0, 500, 0, 10, 2, "0.5 mg/L as NO2", 0.25),
    Parameter("nitrate_mg_l", "nitrate", "nitrogen", "mg/L as N", _MG,
              0, 2000, 0, 60, 1, "20 mg/L as NO3", 5.0),
    Parameter("do_mg_l", "dissolved oxygen", "oxygen", "mg/L", _MG,
              0, 60, 0, 40, 1, "6.5 mg/L", 1.0),
    Parameter("alkalinity_mg_l_caco3", "alkalinity", "alkalinity", _CACO3, _MG,
              0, 2000, 0, 500, 0, "5 dKH or 90 ppm", 40.0),
    Parameter("hardness_mg_l_caco3", "hardness", "hardness", _CACO3, _MG,
              0, 20000, 0, 800, 0, "8 dGH or 140 ppm", 25.0),
    Parameter("conductivity_us_cm", "conductivity", "conductivity", "µS/cm", "uS/cm",
              0, 100_000, 5, 60_000, 0, "350 µS/cm or 1.2 mS/cm"),
    Parameter("salinity_g_kg", "salinity", "salinity", "g/kg", "permille",
              0, 60, 0, 40, 1, "35 ppt or 1.025 SG"),
    Parameter("chlorine_mg_l", "chlorine", "solute", "mg/L", _MG,
              0, 50, 0, 4, 2, "0.1 mg/L", 0.1),
    Parameter("co2_mg_l", "carbon dioxide", "solute", "mg/L", _MG,
              0, 3000, 0, 250, 0, "15 mg/L", 5.0),
    Parameter("total_gas_pressure_pct", "total gas pressure", "percent", "%", "percent",
              50, 300, 90, 130, 0, "104 %"),
    Parameter("chloride_mg_l", "chloride", "solute", "mg/L", _MG,
              0, 40_000, 0, 22_000, 0, "50 mg/L", 25.0),
    Parameter("copper_mg_l", "copper", "solute", "mg/L", _MG,
              0, 100, 0, 2, 2, "0.15 mg/L", 0.25),
    Parameter("sulfide_mg_l", "sulfide", "solute", "mg/L", _MG,
              0, 100, 0, 1, 3, "0.02 mg/L", 0.1),
    Parameter("volume_l", "volume", "volume", "L", "liter",
              0.001, 10_000_000, 0.05, 100_000, 1, "95 L or 25 gal"),
    Parameter("mass_g", "mass", "mass", "g", "gram",
              0.0001, 1_000_000, 0.01, 50_000, 1, "12 g or 2 lb"),
    Parameter("length_cm", "length", "length", "cm", "centimeter",
              0.05, 2000, 0.5, 150, 1, "6 cm or 3 in"),
    Parameter("hours", "time", "time", "h", "hour",
              0, 20_000, 0, 120, 1, "36 h or 2 days"),
    Parameter("minutes", "time", "time", "min", "minute",
              0, 1_200_000, 0, 1440, 0, "90 min or 1.5 h"),
    Parameter("age_days", "age", "time", "days", "day",
              0, 40_000, 0, 11_000, 0, "10 days or 6 weeks"),
)  # fmt: skip

#: Parameter key -> its description.
PARAMETERS: Mapping[str, Parameter] = MappingProxyType({p.key: p for p in _TABLE})

#: A step between two temperatures: in °F it has no 32 to take off.
DIFFERENCE = Parameter(
    "temperature_difference_c", "temperature difference", "difference", "°C", "delta_degC",
    -50, 50, -20, 20, 1, "3 °C or 5 °F",
)  # fmt: skip


def look_up(key: str) -> Parameter:
    """The parameter of this key. Raises UnitError with the nearest name."""
    found = PARAMETERS.get(key)
    if found is None:
        raise UnitError(f'There is no reading named "{key}"{nearest(key, PARAMETERS) or "."}')
    return found
