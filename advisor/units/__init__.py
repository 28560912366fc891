"""What people write about water, fish and time, turned into the stored units.

    parse("78 F", "temperature_c")            -> 25.56 °C
    parse("6 dKH", "alkalinity_mg_l_caco3")   -> 107.1 mg/L as CaCO3
    parse("0.5 ppm", "nitrite_mg_l")          -> AmbiguousBasis: as N or as NO2?

Importing this package is cheap: each name is loaded when it is first used; pint
at the first unit that differs from the stored one, and never for a plain number.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.first_use import parts_of

if TYPE_CHECKING:
    from advisor.units.bounds import is_odd as is_odd
    from advisor.units.display import format_value as format_value
    from advisor.units.kits import Kit as Kit
    from advisor.units.kits import kit_band as kit_band
    from advisor.units.parameters import PARAMETERS as PARAMETERS
    from advisor.units.parameters import Parameter as Parameter
    from advisor.units.quantity import AmbiguousBasis as AmbiguousBasis
    from advisor.units.quantity import Quantity as Quantity
    from advisor.units.quantity import UnitError as UnitError
    from advisor.units.quantity import WordNotReading as WordNotReading
    from advisor.units.reading import parse as parse
    from advisor.units.reading import parse_difference as parse_difference
    from advisor.units.saturation import saturated_mg_l as saturated_mg_l
    from advisor.units.words import is_unknown as is_unknown

__getattr__, __dir__ = parts_of(
    __name__,
    {
        "advisor.units.bounds": "is_odd",
        "advisor.units.display": "format_value",
        "advisor.units.kits": "Kit kit_band",
        "advisor.units.parameters": "PARAMETERS Parameter",
        "advisor.units.quantity": "AmbiguousBasis Quantity UnitError WordNotReading",
        "advisor.units.reading": "parse parse_difference",
        "advisor.units.saturation": "saturated_mg_l",
        "advisor.units.words": "is_unknown",
    },
)
