"""What people write about water, fish and time, turned into the stored units.

    parse("78 F", "temperature_c")            -> 25.56 °C
    parse("6 dKH", "alkalinity_mg_l_caco3")   -> 107.1 mg/L as CaCO3
    parse("0.5 ppm", "nitrite_mg_l")          -> AmbiguousBasis: as N or as NO2?

Importing this package is cheap: each name is loaded when it is first used; pint
at the first unit that differs from the stored one, and never for a plain number.
"""

from __future__ import annotations

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
