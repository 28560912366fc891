"""``advisor water convert``: one written value in the stored unit, or in another one."""

from __future__ import annotations

import re
from collections.abc import Mapping

from advisor.errors import AdvisorError
from advisor.screens.show_water.sums import Banded, SumFigure, SumResult
from advisor.screens.show_water.typed_values import read_value, renamed
from advisor.units import PARAMETERS, Quantity, parse, parse_difference
from advisor.wording.nearest import nearest

#: What may stand before "=", beside the keys of PARAMETERS.
NAMES: Mapping[str, str] = {
    "temp": "temperature_c", "temperature": "temperature_c", "ph": "ph",
    "tan": "tan_mg_l", "ammonia": "tan_mg_l", "nitrite": "nitrite_mg_l",
    "nitrate": "nitrate_mg_l", "do": "do_mg_l", "oxygen": "do_mg_l",
    "alkalinity": "alkalinity_mg_l_caco3", "kh": "alkalinity_mg_l_caco3",
    "hardness": "hardness_mg_l_caco3", "gh": "hardness_mg_l_caco3",
    "conductivity": "conductivity_us_cm", "ec": "conductivity_us_cm",
    "salinity": "salinity_g_kg", "salt": "salinity_g_kg", "chlorine": "chlorine_mg_l",
    "co2": "co2_mg_l", "chloride": "chloride_mg_l", "copper": "copper_mg_l",
    "volume": "volume_l", "mass": "mass_g", "weight": "mass_g", "length": "length_cm",
    "time": "hours", "difference": "difference",
}  # fmt: skip
#: Tried in this order for a value without a name: units of these are told apart by their look.
_BY_LOOK = (
    "temperature_c", "mass_g", "length_cm", "hours", "volume_l", "alkalinity_mg_l_caco3",
    "hardness_mg_l_caco3", "conductivity_us_cm", "salinity_g_kg",
)  # fmt: skip
_CONCENTRATION = re.compile(r"\b(?:ppm|ppb|mg\s*/\s*l|mg|ug\s*/\s*l)\b", re.I)
EXAMPLES = ("78 F", "nitrite=0.5 ppm as NO2", "6 dKH to ppm", "difference=5 F")
_EXAMPLES = f"Examples: {', '.join(EXAMPLES)}."


def convert(pairs: Mapping[str, str], bare: str) -> SumResult:
    """The answer for ``convert 78 F``, ``convert nitrite=0.5 ppm as NO2``, ``... to dKH``.

    Raises AdvisorError.
    """
    if len(pairs) + bool(bare) != 1:
        raise AdvisorError(f"convert: give one value. {_EXAMPLES}")
    key, text = next(iter(pairs.items())) if pairs else ("", bare)
    text, _, wanted = (
        piece.strip() for piece in re.sub(r"\s+in\s+", " to ", text).partition(" to ")
    )
    if not text:
        raise AdvisorError(f"convert: give a value. {_EXAMPLES}")
    if NAMES.get(key) == "difference":
        try:
            found = parse_difference(text)
        except AdvisorError as fault:
            raise AdvisorError(renamed(fault, "temperature_difference_c", key)) from None
        return _answer(found, "temperature difference", "°C", 2)
    parameter = _parameter(key) if key else _by_look(text)
    found = read_value(text, parameter, key or "convert")
    known = PARAMETERS[parameter]
    if wanted:
        return _shown_in(found, parameter, wanted)
    return _answer(found, known.name, known.unit, max(known.decimals, 2))


def _parameter(key: str) -> str:
    if key in NAMES:
        return NAMES[key]
    if key in PARAMETERS:
        return key
    raise AdvisorError(f"{key}: not something that is converted{nearest(key, NAMES) or '.'}")


def _by_look(text: str) -> str:
    """Which reading a value without a name is, from its unit."""
    if not re.search(r"\d", text):
        raise AdvisorError(f'convert: "{text}" holds no number. {_EXAMPLES}')
    if not re.search(r"[^\d\s.,+-]", text):
        raise AdvisorError(f'convert: "{text}" has no unit. {_EXAMPLES}')
    if not _CONCENTRATION.search(text):
        for parameter in _BY_LOOK:
            try:
                parse(text, parameter)
            except AdvisorError:
                continue
            return parameter
    raise AdvisorError(
        f'convert: "{text}" does not say what it is; put a name before it, like nitrite={text}.'
    )


def _shown_in(found: Quantity, parameter: str, wanted: str) -> SumResult:
    """The value in the unit asked for."""
    from advisor.units.conversion import from_stored
    from advisor.units.spellings import key_of, unit_names

    known = PARAMETERS[parameter]
    names = unit_names(known.family)
    unit = names.get(key_of(wanted))
    if unit is None:
        raise AdvisorError(f'"{wanted}" is not a unit of {known.name}.')
    value, low, high = (
        from_stored(end, unit, known) for end in (found.value, found.low, found.high)
    )
    shown = Quantity(value, low, high, found.entered, found.note)
    return _answer(shown, known.name, wanted, None)


def _answer(found: Quantity, name: str, unit: str, places: int | None) -> SumResult:
    part = SumFigure(name, found.value, unit, places=places)
    notes = (f"Understood as: {found.note}.",) if found.note else ()
    return SumResult(
        "convert",
        {"value": (found,)},
        {"value": unit},
        (Banded(part, found.low, found.high),),
        notes,
    )
