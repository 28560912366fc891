"""What people write about water, fish and time, turned into the stored units.

    parse("78 F", "temperature_c")            -> 25.56 °C
    parse("6 dKH", "alkalinity_mg_l_caco3")   -> 107.1 mg/L as CaCO3
    parse("0.5 ppm", "nitrite_mg_l")          -> AmbiguousBasis: as N or as NO2?

Importing this package is cheap: each name is loaded when it is first used; pint
at the first unit that differs from the stored one, and never for a plain number.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from advisor.units.bounds import is_odd
    from advisor.units.display import format_value
    from advisor.units.kits import Kit, kit_band
    from advisor.units.parameters import PARAMETERS, Parameter
    from advisor.units.quantity import AmbiguousBasis, Quantity, UnitError, WordNotReading
    from advisor.units.reading import parse, parse_difference
    from advisor.units.words import is_unknown

#: Module of each name.
_HOMES = {
    "bounds": "is_odd",
    "display": "format_value",
    "kits": "Kit kit_band",
    "parameters": "PARAMETERS Parameter",
    "quantity": "AmbiguousBasis Quantity UnitError WordNotReading",
    "reading": "parse parse_difference",
    "words": "is_unknown",
}
_LAZY = {name: home for home, names in _HOMES.items() for name in names.split()}

__all__ = [
    "PARAMETERS",
    "AmbiguousBasis",
    "Kit",
    "Parameter",
    "Quantity",
    "UnitError",
    "WordNotReading",
    "format_value",
    "is_odd",
    "is_unknown",
    "kit_band",
    "parse",
    "parse_difference",
]


def __getattr__(name: str) -> Any:
    if name not in _LAZY:
        raise AttributeError(f"module 'advisor.units' has no attribute {name!r}")
    return getattr(import_module(f"advisor.units.{_LAZY[name]}"), name)
