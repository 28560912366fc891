"""Answers in the units that were typed: asked in gallons a sum answers in ounces, grams beside."""

from __future__ import annotations

import re
from collections.abc import Mapping

from advisor.screens.show_water.sums import InTyped, Sum
from advisor.units import PARAMETERS, Quantity
from advisor.units.conversion import PRESSURE_MMHG, from_stored
from advisor.units.grammar import read
from advisor.units.parameters import Parameter
from advisor.water import masses
from advisor.wording.settings import setting

#: Unit that an answer is worked out in -> parameter that tells how to turn it into another.
_BY_UNIT = {
    "°C": "temperature_c", "mg/L as CaCO3": "alkalinity_mg_l_caco3", "L": "volume_l", "g": "mass_g",
}  # fmt: skip
#: Short unit name -> how it is shown; only these are answered in.
_SHOWN = {
    "degF": "°F", "K": "K", "dH": "dKH", "fH": "°fH", "eH": "°e", "gpg": "grains/US gal",
    "meq/L": "meq/L", "us_gal": "US gal", "imp_gal": "imp gal", "us_qt": "US qt",
    "imp_qt": "imp qt", "us_floz": "US fl oz", "imp_floz": "imp fl oz", "ft3": "ft³",
    "in3": "in³", "m3": "m³", "mL": "mL", "oz": "oz", "lb": "lb", "kg": "kg", "mg": "mg",
}  # fmt: skip
_CUSTOMARY = re.compile(r"us_|imp_|oz$|lb$|ft|in|gpg|degF")
#: From so many ounces on pounds are shown.
_OZ_MOST = 32.0
#: Who types these for a volume or a length weighs in ounces, and fills in gallons.
_OUNCES = re.compile(r"us_|imp_|ft3|in3")
#: Unit of air pressure, as typed -> mmHg.
PRESSURES = {unit.lower(): size for unit, size in PRESSURE_MMHG.items() if unit != "bar"}
_NITROGEN = {"NH3": masses.NH3 / masses.N, "NH4": masses.NH4 / masses.N}


def typed_units(entry: Sum, given: Mapping[str, tuple[Quantity, ...]]) -> dict[str, str]:
    """Parameter (or "length", "basis", "pressure") -> the unit first typed for its kind."""
    found: dict[str, str] = {}
    for take in entry.takes:
        for quantity in given.get(take.key, ()):
            if take.how == "pressure":
                found.setdefault("pressure", re.sub(r"[^a-z]", "", quantity.entered.lower()))
            if take.parameter:
                _note(PARAMETERS[take.parameter], quantity.entered, found)
    if setting("units") == "metric":
        found = {key: unit for key, unit in found.items() if not _CUSTOMARY.match(unit)}
    if found.pop("length_cm", "") in ("inch", "ft"):
        found.setdefault("volume_l", "us_gal")
    if _OUNCES.match(found.get("volume_l", "")):
        found.setdefault("mass_g", "oz")
    return found


def _note(parameter: Parameter, entered: str, found: dict[str, str]) -> None:
    said = read(entered, parameter.family)
    unit = next((term.unit for term in said.terms if term.unit), "")
    if unit and unit != parameter.stored:
        found.setdefault(parameter.key, unit)
    if parameter.key == "tan_mg_l":
        basis = next((name for name in said.substances if name in _NITROGEN), "")
        if basis:
            found.setdefault("basis", basis)


def in_typed(
    typed: Mapping[str, str], name: str, unit: str, value: float, low: float, high: float
) -> InTyped | None:
    """A figure in the unit that was typed for its kind; None where it stands in that unit."""
    if unit.startswith("mg/L") and unit.endswith("as N") and "basis" in typed:
        basis = "NH3" if name.startswith("un-ionised") else typed["basis"]
        size = _NITROGEN[basis]
        return value * size, low * size, high * size, unit.removesuffix("N") + basis
    if unit == "mmHg" and "pressure" in typed:
        return _pressure(typed["pressure"], value, low, high)
    key = _BY_UNIT.get(unit, "")
    wanted = typed.get(key, "")
    if wanted not in _SHOWN:
        return None
    if wanted == "oz" and from_stored(value, "oz", PARAMETERS[key]) >= _OZ_MOST:
        wanted = "lb"
    value, low, high = (from_stored(end, wanted, PARAMETERS[key]) for end in (value, low, high))
    return value, low, high, _SHOWN[wanted]


def _pressure(wanted: str, value: float, low: float, high: float) -> InTyped | None:
    size = PRESSURES.get(wanted, 1.0)
    shown = {"hpa": "hPa", "mbar": "mbar", "kpa": "kPa", "inhg": "inHg", "atm": "atm"}.get(wanted)
    return (value / size, low / size, high / size, shown) if shown else None
